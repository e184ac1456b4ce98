"""Pieces that the console's tests share: talks worth carrying on, and a session over a book."""

from __future__ import annotations

import contextlib
import datetime
import sqlite3
from collections.abc import Callable, Iterator
from pathlib import Path

from assistant.batches.events import Event
from assistant.book.store import Book
from assistant.console.session import Session
from assistant.talk.state import Talk
from tests.helpers import DAY

TALKS = {
    "asks and corrections": (
        "brine for 2.3 kg of cabbage", "brimble", "why?", "7 L crock", "2.25%", "make it 2.7 kg", "undo", "undo",
        "redo", "what about 3 percent", "make it 0 kg", "", "why?", "repeat",
    ),
    "choices": (
        "mash of 1,250 g of chillies at 3%", "why", "pumpkin", "1250 g", "undo", "1.25 g", "undo", "undo",
        "mash of 2 kilgrams of chillies at 3%", "yes", "2.3 kg of chillies at 3%", "under brine", "cancel", "undo",
    ),
    "keeping the batch": (
        "brine for 3.2 kg of chillies in a 12 L crock at 3%", "pH 4.2", "imperial units",
        "how strong a brine for 4% in the end", "in a 20 L crock", "in pounds", "pH 3.9", "start over", "undo",
        "5 lb 3 oz in kg", "make it 4 kg", "help", "bye", "undo",
    ),
    "one batch": (
        "mash of 2 kg of chillies at 3%", "packed it", "added 300 g of garlic", "undo", "redo", "no", "call it Ember",
        "undo", "undo", "redo", "pH 4.9 by meter", "moved it to a 5 L jar", "undo", "added 100 g of salt",
        "what's in the jar", "start over", "undo", "redo", "pH 4.1 by meter", "undo",
    ),
    "two batches": (
        "new batch of 3 kg of cabbage in a 10 L crock at 2%", "new batch of 2 kg of reds in a 5 L jar at 3%",
        "the cabbage one", "pH 4.2 by meter", "the other one", "pH 4.0 by meter", "undo", "undo", "the cabbage one",
        "what batches do I have", "took a 50 g sample", "undo", "redo", "why?", "undo", "added 200 g of garlic at 3%",
    ),
}  # fmt: skip
"""Talks that use what can be carried on: open questions, choices, undo and redo, entries in the book."""


def days() -> Callable[[], datetime.date]:
    """A clock that is a day later each time it is looked at."""
    later: Iterator[datetime.date] = (DAY + datetime.timedelta(days=one) for one in range(10_000))
    return lambda: next(later)


@contextlib.contextmanager
def running(
    path: Path, today: Callable[[], datetime.date] | None = None, fresh: bool = False, every_line: bool = True
) -> Iterator[Session]:
    """A session over the book in a file, brought to where the last talk stopped."""
    with Book.open(path) as book:
        # a test need not wait for the disk
        book._db.execute("PRAGMA synchronous = OFF")
        session = Session(today or (lambda: DAY), book, every_line)
        session.resume(book.start(fresh))
        yield session


def resumed(path: Path) -> Talk:
    """The talk, as a new session over the file takes it up."""
    with running(path) as session:
        return session.talk


def said(path: Path) -> list[str]:
    """The lines that a new talk over the file is given."""
    with Book.open(path) as book:
        return [say for say, _, _ in book.start(fresh=False)]


def every_line(path: Path) -> list[str]:
    """All lines that were ever written to the file."""
    with contextlib.closing(sqlite3.connect(path)) as db:
        return [say for (say,) in db.execute("SELECT say FROM lines ORDER BY id")]


def events(path: Path) -> list[tuple[int, Event]]:
    """All events on disk with their numbers."""
    with Book.open(path) as book:
        assert [] == book.check()
        return book.events()


def whole(talk: Talk) -> tuple[object, ...]:
    """All of a talk, with the numbers of what it entered, which do not count when two talks are compared."""
    return talk, [one.seqs for one in (*talk.past, talk.now, *talk.future)]


def kinds(found: list[tuple[int, Event]]) -> list[str]:
    """The kinds of these events."""
    return [one.kind for _, one in found]
