"""What was said, in threads: each chat writes one, and follows the one that was written to last.

Two windows opened side by side follow the same thread and then go their own ways, so
neither is given the other's lines when it is started again.
"""

from __future__ import annotations

import datetime
import sqlite3
from collections.abc import Iterable
from dataclasses import dataclass

from assistant.batches.events import Event
from assistant.book.errors import Damaged
from assistant.book.reading import Rows

KEEP = 100
"""Lines that are said again at the start."""

Said = tuple[str, datetime.date, int]
"""A line, its day, and the number of the book's latest event when it was said."""


@dataclass(eq=False)
class Thread:
    """The lines of one chat. ``id`` is 0 until the first is written; ``follows`` is a thread and its line."""

    id: int = 0
    follows: tuple[int, int] | None = None


@dataclass(frozen=True)
class Entry:
    """A line, and the events that came of it, to be numbered on from ``after``."""

    thread: Thread
    say: str
    day: datetime.date
    after: int
    events: tuple[Event, ...] = ()


def newest(rows: Rows) -> tuple[int, int] | None:
    """The thread written to last and its last line, or None in a book where nothing was said."""
    found = rows("SELECT thread, id FROM lines ORDER BY id DESC LIMIT 1", ())
    return (found[0][0], found[0][1]) if found else None


def chain(rows: Rows, end: tuple[int, int] | None, keep: int = KEEP) -> list[Said]:
    """The last ``keep`` lines up to and with this line of this thread, and of what the thread follows; oldest first.

    Raises:
        Damaged: a line has no day.
    """
    found: list[Said] = []
    while end is not None and len(found) < keep:
        thread, upto = end
        lines = rows(
            "SELECT say, day, head FROM lines WHERE thread = ? AND id <= ? ORDER BY id DESC LIMIT ?",
            (thread, upto, keep - len(found)),
        )
        found += [(say, _day(day), head) for say, day, head in lines]
        before = rows("SELECT follows_thread, follows_line FROM threads WHERE id = ?", (thread,))
        # a thread follows older ones only; were it otherwise, this would not end
        end = before[0] if before and before[0][0] and before[0][0] < thread else None
    return found[::-1]


def _day(text: str) -> datetime.date:
    try:
        return datetime.date.fromisoformat(text)
    except (TypeError, ValueError) as error:
        raise Damaged(f"a line's day: {error}") from error


def write_lines(db: sqlite3.Connection, entries: Iterable[Entry]) -> dict[Thread, int]:
    """Adds the lines, each thread before its first; gives the numbers of all threads written to."""
    numbers: dict[Thread, int] = {}
    for one in entries:
        thread = numbers.get(one.thread) or one.thread.id or _write_thread(db, one.thread)
        numbers[one.thread] = thread
        db.execute(
            """INSERT INTO lines(id, thread, day, say, head)
            VALUES ((SELECT coalesce(max(id), 0) + 1 FROM lines), ?, ?, ?, ?)""",
            (thread, one.day.isoformat(), one.say, one.after),
        )
    return numbers


def _write_thread(db: sqlite3.Connection, thread: Thread) -> int:
    number = int(db.execute("SELECT coalesce(max(id), 0) + 1 FROM threads").fetchone()[0])
    db.execute(
        "INSERT INTO threads(id, follows_thread, follows_line) VALUES (?, ?, ?)",
        (number, *(thread.follows or (None, None))),
    )
    return number
