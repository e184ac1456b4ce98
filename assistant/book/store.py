"""The book that the console keeps: all batches as a shelf, and what was said, on disk before it is answered."""

from __future__ import annotations

import datetime
import sqlite3
from collections.abc import Callable, Sequence
from pathlib import Path
from types import TracebackType

from assistant.batches.batch import Account
from assistant.batches.events import Event
from assistant.batches.shelf import Shelf
from assistant.book import disk, opening, recover
from assistant.book.errors import APART, BookError, BookTrouble, Moved, damaged, unread, unwritten
from assistant.book.growing import USUAL, Limits, extend
from assistant.book.reading import Numbered, Result, Rows, events_of, head_of, shelf_of, version_of
from assistant.book.talks import KEEP, Entry, Said, Thread, chain, newest, write_lines
from assistant.book.timers import Running, running, write_over, write_timer
from assistant.book.writing import must_read_back, rows_of, transaction, write_checkpoint, write_events, write_title

__all__ = ["KEEP", "Book", "BookError", "BookTrouble", "Limits", "Moved"]

NEAR = 20
"""So many events by others are added to the shelf in hand; more, and a new one is made."""
END = 2**62
"""After every number that there will ever be."""


class Book:
    """A book; nothing it gives changes afterwards, nothing given to it is held back.

    ``trouble`` is a sentence while what is said is not kept (the disk is full, say), else "";
    the talk goes on all the same, and what was held is written first as soon as that can be.
    ``notice`` is a sentence if a damaged file was mended, else "".
    """

    def __init__(self, opened: opening.Opened, path: Path | None, limits: Limits, patience: float) -> None:
        self._path, self._limits, self._patience = path, limits, patience
        self._thread = Thread()
        self._held: list[Entry] = []
        # the shelf with the events that are held
        self._over: Shelf | None = None
        self._take(opened)

    def _take(self, opened: opening.Opened) -> None:
        """Goes on with another connection."""
        self._db, self._writable = opened.db, opened.writable
        self._lasting = self.trouble = opened.trouble
        self.notice = opened.notice
        self._shelf: Shelf | None = None
        self._before: Shelf | None = None
        self._version = -1

    @classmethod
    def open(cls, path: Path | None, limits: Limits = USUAL, patience: float = 5.0) -> Book:
        """The book in a file, which is made if there is none, or in memory.

        A damaged file is kept aside and mended (``notice``); one that cannot be written is
        read, and one that cannot be opened is done without (``trouble``).

        Args:
            path: the file; None for a book in memory.
            limits: how much of each batch is at hand.
            patience: seconds to wait while others write.

        Raises:
            BookError: the file is of another program or of a newer version; it is not touched.
        """
        path = path.resolve() if path is not None else None
        return cls(opening.open_book(path, patience), path, limits, patience)

    def __enter__(self) -> Book:
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, at: TracebackType | None) -> None:
        self.close()

    def close(self) -> None:
        """Writes what is held, if that can be done now, and lets go of the file."""
        if self._held:
            self._settle(self._held)
        self._db.close()

    # looking ----------------------------------------------------------------------------------

    def shelf(self) -> Shelf:
        """All batches as they are now; nothing is read of one that is not looked at.

        A shelf, and the batches that it gives, can be read only until the book is closed.

        Raises:
            BookTrouble: the book cannot be read.
        """
        return self._current() if self._over is None else self._over

    def shelf_at(self, head: int) -> Shelf:
        """All batches as they were after event ``head``.

        Raises:
            BookTrouble: the book cannot be read.
        """
        now, head = self.shelf(), max(head, 0)
        if head >= now.head:
            return now
        self._before = shelf = self._reach(self._before, min(head, self._kept))
        return extend(shelf, self._events_held[: head - shelf.head], self._earlier)[0]

    def events(self, batch: int | None = None, after: int = 0, upto: int | None = None) -> list[Numbered]:
        """Events in order with their numbers, those above ``after`` up to and with ``upto``.

        Raises:
            BookTrouble: the book cannot be read.
        """
        top = END if upto is None else upto
        found = self.safely(lambda rows: events_of(rows, after, min(top, self._kept), batch))
        held = enumerate(self._events_held, self._kept + 1)
        return found + [(seq, one) for seq, one in held if after < seq <= top and batch in (None, one.batch)]

    def check(self) -> list[str]:
        """Reads the whole book; a sentence for each thing that is wrong with it."""
        return recover.check(self._db)

    def mend(self) -> str:
        """Mends the file if anything is wrong with it; what was done, or "" if it is sound."""
        if self._path is not None and self.check():
            self._mend(self._path)
        return self.notice or self.trouble

    def safely(self, job: Callable[[Rows], Result]) -> Result:
        """Does a piece of reading; if the file turns out to be damaged, mends it and reads again.

        Raises:
            BookTrouble: it cannot be read.
        """
        try:
            return job(rows_of(self._db))
        except sqlite3.DatabaseError as error:
            if self._path is None or not damaged(error):
                raise BookTrouble(unread(error)) from error
            self._mend(self._path)
        try:
            return job(rows_of(self._db))
        except sqlite3.DatabaseError as error:
            raise BookTrouble(unread(error)) from error

    def _mend(self, path: Path) -> None:
        disk.let_go(self._db, path)
        self._take(opening.mend(path, self._patience))

    @property
    def _events_held(self) -> list[Event]:
        return [event for one in self._held for event in one.events]

    @property
    def _kept(self) -> int:
        """The number of the last event that is on disk and counts here."""
        return next((one.after for one in self._held if one.events), END)

    def _current(self) -> Shelf:
        """What is on disk, as a shelf; the one in hand if nobody else has written."""
        version, head = self.safely(lambda rows: (version_of(rows), head_of(rows)))
        if self._shelf is None or version != self._version:
            self._shelf, self._version = self._reach(self._shelf, head), version
        return self._shelf

    def _reach(self, shelf: Shelf | None, head: int) -> Shelf:
        """The shelf after event ``head``, by way of an earlier one if that is near."""
        if shelf is not None and shelf.head == head:
            return shelf
        if shelf is not None and 0 < head - shelf.head <= NEAR:
            between = self.safely(lambda rows: events_of(rows, shelf.head, head))
            # a mended book may lack numbers, and a shelf counts on without
            if len(between) == head - shelf.head:
                return extend(shelf, [one for _, one in between], self._earlier, self._limits)[0]
        return shelf_of(self, head, self._limits.keep)

    def _earlier(self, batch: int, upto: int) -> list[Numbered]:
        return self.safely(lambda rows: events_of(rows, 0, upto, batch))

    # timers ------------------------------------------------------------------------------------

    def timers(self) -> list[Running]:
        """The timers that are not over; none where the book cannot be read."""
        try:
            return self.safely(running)
        except BookTrouble:
            return []

    def start_timer(self, due: datetime.datetime, label: str) -> bool:
        """Keeps a timer; whether it is on disk."""
        return self._now(lambda db: write_timer(db, due, label.encode("utf-8", "replace").decode()))

    def end_timer(self, number: int) -> bool:
        """Marks a timer as over; whether that is on disk."""
        return self._now(lambda db: write_over(db, number))

    def _now(self, job: Callable[[sqlite3.Connection], object]) -> bool:
        try:
            with transaction(self._db):
                job(self._db)
        except (sqlite3.DatabaseError, OSError):
            return False
        return True

    def talk(self) -> list[Said]:
        """Every line of the talk that ``start`` would carry on, oldest first, however long it is.

        Raises:
            BookTrouble: the book cannot be read.
        """
        return self.safely(lambda rows: chain(rows, newest(rows), END))

    # writing ----------------------------------------------------------------------------------

    def start(self, fresh: bool) -> list[Said]:
        """Begins a new thread, and gives the lines to be said again, oldest first, at most KEEP.

        The thread follows the one that was written to last, or none if ``fresh``; nothing is
        written until its first line is.

        Raises:
            BookTrouble: the book cannot be read.
        """
        held: list[Said] = []
        if fresh:
            end = None
        elif self._held:
            # what is held has no number yet that another thread could follow: go on with this one
            end = (self._thread.id, END) if self._thread.id else self._thread.follows
            held = [(one.say, one.day, one.after) for one in self._held if one.thread is self._thread]
        else:
            end = self.safely(newest)
        said = self.safely(lambda rows: chain(rows, end))
        if not held:
            self._thread = Thread(follows=end)
        return [*said, *held][-KEEP:]

    def append(self, line: str, day: datetime.date, events: Sequence[Event], after: int) -> Shelf:
        """Writes a said line and the events that came of it; they are on disk when this returns.

        If they cannot be written (see ``trouble``) they are held, and the shelf has them.

        Args:
            line: what was said.
            day: when.
            events: what happened, to be numbered on from ``after``.
            after: the head of the shelf that the line was judged by.

        Raises:
            Moved: there are events, and somebody else has written since; nothing was written.
            LookupError: an event takes back one that its batch does not have; nothing was written.
            EventError: an event could not be read again as it is; nothing was written.
            BookTrouble: there is trouble with writing, and with reading the batch too.
        """
        # what no encoding can write would keep the line from being written at all
        line = line.encode("utf-8", "replace").decode()
        entry = Entry(self._thread, line, day, after, tuple(events))
        for one in events:
            must_read_back(one)
        if events and self._over is not None and self._over.head != after:
            raise Moved
        trouble = self._settle([*self._held, entry])
        if trouble:
            self._hold(entry)
            self.trouble = trouble
        return self.shelf()

    def _settle(self, entries: list[Entry]) -> str:
        """Writes what is held and more; the trouble with it, or "".

        Raises:
            Moved: somebody else has written, and nothing is held that would be lost by it.
        """
        try:
            try:
                self._write(entries)
            except sqlite3.DatabaseError as error:
                if self._path is None or not damaged(error):
                    raise
                self._mend(self._path)
                self._write(entries)
        except BookTrouble as error:
            return str(error)
        except (sqlite3.DatabaseError, OSError) as error:
            return unwritten(error)
        except Moved:
            if self._over is None:
                # what made the shelf in hand out of date may have been this window, interrupted
                self._shelf = None
                raise
            return APART
        self._held, self._over, self.trouble = [], None, self._lasting
        return ""

    def _write(self, entries: list[Entry]) -> None:
        """Writes lines and events, all or nothing.

        Raises:
            Moved, LookupError, sqlite3.Error: nothing was written.
        """
        if not self._writable and self._path is not None:
            db = disk.writable(self._path, self._patience)
            self._db.close()
            self._take(opening.Opened(db, notice=self.notice))
        events = [event for one in entries for event in one.events]
        after = next((one.after for one in entries if one.events), 0)
        shelf: Shelf | None = None
        short: tuple[Account, ...] = ()
        if events:
            base = self._current()
            if base.head != after:
                raise Moved
            shelf, short = extend(base, events, self._earlier, self._limits)
        db = self._db
        with transaction(db):
            version = version_of(rows_of(db))
            if shelf is not None and head_of(rows_of(db)) != after:
                raise Moved
            numbers = write_lines(db, entries)
            if shelf is not None:
                write_events(db, enumerate(events, after + 1))
                for batch in sorted({one.batch for one in events}):
                    write_title(db, shelf.titles[batch])
                for account in short:
                    write_checkpoint(db, account)
        for thread, number in numbers.items():
            thread.id = number
        if shelf is not None:
            self._shelf, self._version = shelf, version

    def _hold(self, entry: Entry) -> None:
        """Keeps a line and its events in memory.

        Raises:
            Moved: somebody else has written.
        """
        if entry.events:
            base = self.shelf()
            if base.head != entry.after:
                raise Moved
            self._over = extend(base, entry.events, self._earlier)[0]
        self._held.append(entry)
