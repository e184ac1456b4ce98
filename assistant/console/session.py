"""A talk with its clock and its book handed in: say a line, get the replies."""

from __future__ import annotations

import contextlib
import datetime
import os
from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Protocol

import platformdirs

from assistant.batches.shelf import Moved, Shelf, Unreadable
from assistant.replies import Note, Refuse, Reply
from assistant.talk.state import State, Talk
from assistant.talk.turn import expecting
from assistant.walks.guide import turn
from grammar import files
from grammar.later import regex
from grammar.reader import keep_tables, read
from grammar.types import Misread, Reading

if TYPE_CHECKING:
    from assistant.batches.events import Event


if TYPE_CHECKING:
    from assistant.book.store import Book
    from assistant.console.settings import Settings

_HALF = regex("[\ud800-\udfff]")


def plain(text: str) -> str:
    """The text with what no encoding can write (bytes that were not text) as U+FFFD; the length is kept."""
    return _HALF.sub("\ufffd", text)


class CacheFolder:
    """Keeps texts as files of a folder; one that cannot be read or written is as good as none."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder

    def get(self, name: str) -> str:
        """What is kept under the name, "" if nothing is."""
        with contextlib.suppress(OSError, UnicodeError):
            return (self._folder / name).read_text(encoding="utf-8")
        return ""

    def put(self, name: str, text: str) -> None:
        """Keeps a text; another start that reads meanwhile sees the old one or the new one."""
        fresh = self._folder / f"{name}.{os.getpid()}"
        with contextlib.suppress(OSError):
            fresh.write_text(text, encoding="utf-8")
            fresh.replace(self._folder / name)


def prepare() -> None:
    """Lets what is made of the program's own tables be kept in the user's cache folder, for faster starts."""
    folder = Path(platformdirs.user_cache_dir("crockside", appauthor=False))
    with contextlib.suppress(OSError):
        folder.mkdir(parents=True, exist_ok=True)
        keep_tables(str(folder / "kitchen.tables"))
        files.keep(CacheFolder(folder))


def book_file() -> Path:
    """Where the book is kept if no other file is named."""
    return Path(platformdirs.user_data_dir("crockside", appauthor=False)) / "batches.book"


def open_book(path: Path | None = None) -> Book:
    """The book in a file, or the person's own.

    Raises:
        BookRefused: the file is of another program or of a newer version; it is not touched.
    """
    from assistant.book.store import Book, BookError  # SQLite only where it is needed: a cold answer stays fast

    try:
        return Book.open(path or book_file())
    except BookError as error:
        raise BookRefused(str(error)) from error


def troubles(book: Book) -> tuple[str, ...]:
    """What is wrong with the book, a sentence each: what opening it found, and what keeps it from being written."""
    return tuple(one for one in (book.notice, book.trouble) if one)


def goodbye(book: Book) -> str:
    """The last sentence of a talk whose book is closed: whether all of it is kept."""
    return LOST if book.trouble else "Goodbye. The talk and the book are kept."


LOST = "Goodbye. Not all that was said is kept: the book could not be written."


class BookRefused(Exception):
    """A book that may not be opened; the message is a sentence."""


class Keeper(Protocol):
    """What keeps a talk and the account of its batches: the book, or memory."""

    @property
    def trouble(self) -> str:
        """A sentence while what is said is not kept, else ""."""

    def shelf(self) -> Shelf:
        """All batches as they are now."""

    def shelf_at(self, head: int) -> Shelf:
        """All batches as they were after event ``head``."""

    def append(self, line: str, day: datetime.date, events: Sequence[Event], after: int) -> Shelf:
        """Keeps a line and what came of it; on disk when this returns.

        Raises:
            Moved: somebody else has written since the shelf was looked at.
        """


class Memory:
    """Keeps the account as long as the program runs."""

    trouble = ""

    def __init__(self) -> None:
        self._shelf = Shelf()

    def shelf(self) -> Shelf:
        """All batches as they are now."""
        return self._shelf

    def shelf_at(self, head: int) -> Shelf:
        """The same: there is nothing to be said again."""
        return self._shelf

    def append(self, line: str, day: datetime.date, events: Sequence[Event], after: int) -> Shelf:
        """Adds the events to the shelf."""
        self._shelf = self._shelf.with_events(events)
        return self._shelf


BUSY = "Other windows are writing to the book all the time. Say it again."
TRIES = 20
"""How often a line is judged anew because another window wrote to the book in between."""


class Session:
    """One running talk."""

    def __init__(self, today: Callable[[], datetime.date], book: Keeper | None = None, every_line: bool = True) -> None:
        self.talk = Talk()
        self.book: Keeper = book if book is not None else Memory()
        self._today = today
        self._every_line = every_line
        self.told: list[tuple[str, datetime.date, tuple[Reply, ...]]] = []
        """What was said, when, and what came back: the talk as it can be saved."""
        self.resumed = 0
        """How many of these lines are of an earlier window; the last ones only, if the talk is long."""
        self._seen = Shelf()

    @property
    def now(self) -> State:
        """Where the talk stands, with the account as it was last seen: after what the last line entered."""
        return self.talk.on(self._seen).now

    def prefer(self, settings: Settings) -> None:
        """Whose cups are meant, and the units that answers are given in, from here on and after an undo."""

        def mine(state: State) -> State:
            return replace(
                state,
                kitchen=settings.cups,
                units="" if settings.units == "as said" else settings.units,
                degrees="" if settings.temperature == "with units" else settings.temperature,
            )

        talk = self.talk
        self.talk = replace(talk, now=mine(talk.now), past=(*map(mine, talk.past),), future=(*map(mine, talk.future),))

    def say(self, line: str) -> tuple[Reading | Misread, tuple[Reply, ...]]:
        """One line of talk: how it was read, and the replies; what it entered is in the book when this returns.

        If another window has written meanwhile, the line is judged again by the account as it is then.
        """
        line, today = plain(line), self._today()
        for _ in range(TRIES):
            try:
                shelf = self.book.shelf()
                reading, talk, replies = self._turn(line, today, shelf)
                if line.strip() and (talk.wrote or self._every_line):
                    shelf = self.book.append(line, today, talk.wrote, shelf.head)
            except Moved:
                continue
            except Unreadable as error:
                return self._unkept(line, today, str(error))
            self.talk, self._seen = talk, shelf
            self.told.append((line, today, replies))
            return reading, replies
        return self._unkept(line, today, BUSY)

    def tried(self, line: str) -> tuple[Reading | Misread, Talk, tuple[Reply, ...]]:
        """What a line would bring, by the account as it was last seen: nothing is kept and nothing moves."""
        return self._turn(plain(line), self._today(), self._seen)

    def _unkept(self, line: str, today: datetime.date, why: str) -> tuple[Reading | Misread, tuple[Reply, ...]]:
        """The line by the account as it was last seen; one that would enter something is refused, and no part of it."""
        self.talk = self.talk.on(self._seen)
        try:
            reading, talk, replies = self._turn(line, today, self._seen)
        except Unreadable:  # not even that can be read any more
            return read(line, expecting(self.talk)), (Refuse(why),)
        if talk.wrote:
            replies = (Refuse(f"Nothing was entered. {why}"),)
        else:
            self.talk, replies = talk, (*replies, Note(why))
        self.told.append((line, today, replies))
        return reading, replies

    def resume(self, said: Iterable[tuple[str, datetime.date, int]]) -> None:
        """Brings the talk to where these lines had taken it, by the account as it stood at each."""
        for line, today, head in said:
            replies: tuple[Reply, ...] = ()
            # a line that once broke the program must not keep it from starting ever after
            with contextlib.suppress(Exception):
                _, self.talk, replies = self._turn(line, today, self.book.shelf_at(head))
            self.told.append((line, today, replies))
            self.resumed += 1
        with contextlib.suppress(Unreadable):
            self._seen = self.book.shelf()
        self.talk = self.talk.on(self._seen)

    def _turn(self, line: str, today: datetime.date, shelf: Shelf) -> tuple[Reading | Misread, Talk, tuple[Reply, ...]]:
        talk = self.talk.on(shelf)
        reading = read(line, expecting(talk))
        return (reading, *turn(talk, reading, today))
