"""A damaged book mended: the old file kept aside as it is, all that can be read of it put in a new one."""

from __future__ import annotations

import contextlib
import datetime
import itertools
import os
import sqlite3
import sys
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO

from assistant.batches.events import Event
from assistant.batches.shelf import title_of
from assistant.book import disk
from assistant.book.errors import Damaged
from assistant.book.growing import USUAL
from assistant.book.migrations import migrate
from assistant.book.pages import Value, pages_of
from assistant.book.reading import Numbered, Rows, account_of, event_of, head_of
from assistant.book.writing import rebuild, rows_of, title_row, transaction, write_events

BESIDE = ("", "-wal", "-shm")
"""What belongs to a file: itself, and two that SQLite keeps beside it."""
MENDED = ".mended"
"""The end of a new file's name until the damaged one is out of its place."""

_LOCKS = 0x40000000
"""Where SQLite's locks lie in a file, 512 bytes of them."""


@dataclass(frozen=True)
class Salvage:
    """What could be read. ``about`` is how many events there were, as far as any row tells."""

    events: tuple[Numbered, ...] = ()
    threads: tuple[tuple[int, int | None, int | None], ...] = ()
    lines: tuple[tuple[int, int, str, str, int], ...] = ()
    about: int = 0

    @property
    def sentence(self) -> str:
        """How much it is."""
        numbers = [seq for seq, _ in self.events]
        if not numbers:
            return "Nothing of it could be read." if not self.lines else "None of its events could be read."
        if len(numbers) == self.about:
            return f"All of its {self.about} events could be read."
        lost = next((one for one, seq in enumerate(numbers, 1) if one != seq), numbers[-1] + 1)
        if numbers[-1] < lost:
            return f"Events 1 to {numbers[-1]} of about {self.about} could be read."
        return f"{len(numbers)} of about {self.about} events could be read; the first that is lost is number {lost}."


def salvage(main: bytes, wal: bytes = b"") -> Salvage:
    """Every event and every line that can be read from a file and its -wal, whatever is broken in it."""
    events: dict[int, Event] = {}
    threads: dict[int, tuple[int | None, int | None]] = {}
    lines: dict[int, tuple[int, str, str, int]] = {}
    about = 0
    for number, columns in pages_of(main, wal).rows():
        if number < 1 or not columns or columns[0] is not None:
            continue
        match columns[1:]:
            case (int(), str(kind), str(day), str(data)):
                found = _event(number, columns[1], kind, day, data)
                if found is not None:
                    events[number] = found
            case (int(thread), str(day), str(say), int(head)) if thread > 0 and head >= 0 and _is_day(day):
                lines[number] = (thread, day, say, head)
                about = max(about, head)
            case ((int() | None) as thread, (int() | None) as line):
                threads[number] = (thread, line)
            case (int(), int(touched), str(), str(began), int(), str()) if _is_day(began):
                about = max(about, touched)
    return Salvage(
        tuple(sorted(events.items())), *_whole(threads, lines), about=max(about, max(events, default=0))
    )  # fmt: skip


def _event(number: int, batch: Value, kind: str, day: str, data: str) -> Event | None:
    try:
        event = event_of(number, data)
    except Damaged:
        return None
    return event if (batch, kind, day) == (event.batch, event.kind, event.day.isoformat()) else None


def _is_day(text: str) -> bool:
    with contextlib.suppress(ValueError):
        return bool(datetime.date.fromisoformat(text))
    return False


def _whole(
    threads: dict[int, tuple[int | None, int | None]], lines: dict[int, tuple[int, str, str, int]]
) -> tuple[tuple[tuple[int, int | None, int | None], ...], tuple[tuple[int, int, str, str, int], ...]]:
    """Threads and lines that hang together: one whose thread is lost gets one that follows nothing."""
    kept = []
    for number in sorted({thread for thread, *_ in lines.values()}):
        before, line = threads.get(number, (None, None))
        # the line it forked at may be lost: then the last one before it that is there
        there = [one for one, (thread, *_) in lines.items() if thread == before and line is not None and one <= line]
        kept.append((number, before, max(there)) if there and before and before < number else (number, None, None))
    return tuple(kept), tuple((number, *rest) for number, rest in sorted(lines.items()))


def fill(db: sqlite3.Connection, found: Salvage) -> None:
    """Puts what was read into a new book.

    Raises:
        sqlite3.Error: it cannot be written.
    """
    with transaction(db):
        db.execute("PRAGMA defer_foreign_keys = ON")
        write_events(db, found.events)
        db.executemany("INSERT INTO threads(id, follows_thread, follows_line) VALUES (?, ?, ?)", found.threads)
        db.executemany("INSERT INTO lines(id, thread, day, say, head) VALUES (?, ?, ?, ?, ?)", found.lines)
        rebuild(db, USUAL)


def check(db: sqlite3.Connection) -> list[str]:
    """Reads the whole book; one sentence for each thing that is wrong, none if it is sound."""
    rows = rows_of(db)
    found: list[str] = []
    try:
        found += [f"SQLite: {one}." for (one,) in rows("PRAGMA integrity_check(20)", ()) if one != "ok"]
        for table, *_ in rows("PRAGMA foreign_key_check", ()):
            found.append(f"A row of {table} refers to one that is not there.")
        if not found:
            found += _check_caches(rows)
    except sqlite3.DatabaseError as error:
        found.append(f"It cannot be read: {error}.")
    return found


def _check_caches(rows: Rows) -> Iterator[str]:
    """Whether titles and checkpoints say what the events say."""
    head = head_of(rows)
    titles = {number: tuple(rest) for number, *rest in rows("SELECT * FROM titles", ())}
    for number, first in rows("SELECT batch, min(seq) FROM events GROUP BY batch", ()):
        whole, short = (account_of(rows, number, head, keep) for keep in (head + 1, USUAL.keep))
        assert whole is not None and short is not None
        if whole.now != short.now:
            yield f"A checkpoint of batch {number} does not agree with its events."
        if titles.pop(number, None) != title_row(title_of(whole.now, whole.tail[-1][0]), first)[1:]:
            yield f"The title of batch {number} does not agree with its events."
    for number in titles:
        yield f"There is a title but no event of batch {number}."


def is_sound(path: Path) -> bool:
    """Whether a file is no worse than out of reach: a whole look at it by a connection of its own."""
    try:
        with contextlib.closing(disk.connect(path, "mode=ro", 1.0)) as db:
            return not check(db)
    except sqlite3.Error:
        return False


def content(path: Path) -> Salvage:
    """What can be read of a file that stays where it is.

    Raises:
        OSError: the file cannot even be opened.
    """
    return salvage(path.read_bytes(), _wal(path))


def _wal(path: Path) -> bytes:
    with contextlib.suppress(OSError):
        return path.with_name(f"{path.name}-wal").read_bytes()
    return b""


def replace_file(path: Path) -> tuple[Salvage, Path]:
    """Puts a new file with all that can be read in the place of a damaged one; where that one is now.

    Raises:
        OSError: another window has it open, or nothing can be written there; nothing was changed.
        sqlite3.Error: there is no room for the new one; nothing was changed.
    """
    with _alone(path) as file:
        found = salvage(file.read(), _wal(path))
        part = path.with_name(f"{path.name}{MENDED}-part")
        mended = path.with_name(f"{path.name}{MENDED}")
        part.unlink(missing_ok=True)
        try:
            with contextlib.closing(disk.connect(part, "mode=rwc", 0)) as db:
                db.execute(f"PRAGMA page_size = {disk.PAGE}")
                db.execute("PRAGMA foreign_keys = ON")
                migrate(db)
                fill(db, found)
            # from here on the new file is whole; should the program end now, ``finish`` goes on
            part.replace(mended)
        except BaseException:
            with contextlib.suppress(OSError):
                part.unlink(missing_ok=True)
            raise
        if sys.platform == "win32":
            file.close()
        aside = set_aside(path)
        mended.replace(path)
        _sync(path.parent)
    return found, aside


def finish(path: Path) -> None:
    """Goes on with a mending that was broken off after the damaged file had been moved."""
    mended = path.with_name(f"{path.name}{MENDED}")
    if not mended.exists():
        return
    with contextlib.suppress(OSError), disk.gate(path, alone=True):
        if mended.exists() and not path.exists():
            set_aside(path)
            mended.replace(path)


def set_aside(path: Path) -> Path:
    """Moves a file and what belongs to it to the first free name of NAME.damaged-1, -2, ...

    Raises:
        OSError: it cannot be moved.
    """
    names = (path.with_name(f"{path.name}.damaged-{count}") for count in itertools.count(1))
    aside = next(one for one in names if not any(_beside(one)))
    for one, end in _beside(path):
        one.rename(aside.with_name(f"{aside.name}{end}"))
    return aside


def _beside(path: Path) -> Iterable[tuple[Path, str]]:
    """What there is of a file and the two beside it."""
    named = ((path.with_name(f"{path.name}{end}"), end) for end in BESIDE)
    return [(one, end) for one, end in named if one.exists()]


@contextlib.contextmanager
def _alone(path: Path) -> Iterator[BinaryIO]:
    """The file, while no other program has it open.

    Raises:
        OSError: one has, or it cannot be written.
    """
    with path.open("r+b") as file:
        if sys.platform != "win32":
            import fcntl

            # every window holds one of SQLite's locks as long as it has the book open
            fcntl.lockf(file, fcntl.LOCK_EX | fcntl.LOCK_NB, 512, _LOCKS)
        yield file


def _sync(folder: Path) -> None:
    """Sees to it that the new names are on disk."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
