"""What is put on disk: events, and beside them the titles and checkpoints that are worked out from them."""

from __future__ import annotations

import contextlib
import json
import sqlite3
from collections.abc import Iterable, Iterator

from assistant.batches.batch import Account, to_json
from assistant.batches.events import Event, EventError
from assistant.batches.events import from_json as event_from_json
from assistant.batches.events import to_json as event_to_json
from assistant.batches.shelf import Title, title_of
from assistant.book.growing import Limits, shortened
from assistant.book.reading import Numbered, Rows, account_of, head_of

CHECKPOINTS = 3
"""Checkpoints kept of one batch: the latest, and two for looking at the book as it was a little before."""


def rows_of(db: sqlite3.Connection) -> Rows:
    """Queries of a connection."""
    return lambda sql, args: db.execute(sql, args).fetchall()


@contextlib.contextmanager
def transaction(db: sqlite3.Connection) -> Iterator[None]:
    """All of it or nothing; nobody else writes meanwhile. It is on disk when this ends.

    Raises:
        sqlite3.Error: it could not be written; nothing was.
    """
    if db.in_transaction:
        # Ctrl-C came just after the last one was begun
        db.execute("ROLLBACK")
    db.execute("BEGIN IMMEDIATE")
    try:
        yield
        db.execute("COMMIT")
    except BaseException:
        with contextlib.suppress(sqlite3.Error):
            db.execute("ROLLBACK")
        raise


def must_read_back(event: Event) -> None:
    """Holds an event to be what it would be read as: one that could not be read would later pass for damage.

    Raises:
        EventError: it would be another, or none.
    """
    if event_from_json(json.loads(json.dumps(event_to_json(event)))) != event:
        raise EventError(f"{event.kind}: it would not be read as it is written")


def write_events(db: sqlite3.Connection, events: Iterable[Numbered]) -> None:
    """Adds events under their numbers."""
    db.executemany(
        "INSERT INTO events(seq, batch, kind, day, data) VALUES (?, ?, ?, ?, ?)",
        (
            (seq, one.batch, one.kind, one.day.isoformat(), json.dumps(event_to_json(one), separators=(",", ":")))
            for seq, one in events
        ),
    )


def title_row(title: Title, first: int) -> tuple[int, int, int, str, str, int, str]:
    """A title as its row; ``first`` is the number of the batch's first event."""
    words = json.dumps(sorted(title.words))
    return (title.number, first, title.touched, title.name, title.began.isoformat(), int(title.closed), words)


def write_title(db: sqlite3.Connection, title: Title) -> None:
    """Puts a title as it is now in the place of the batch's earlier one."""
    first = db.execute("SELECT min(seq) FROM events WHERE batch = ?", (title.number,)).fetchone()[0]
    db.execute(
        "INSERT OR REPLACE INTO titles(number, first, touched, name, began, closed, words) VALUES (?,?,?,?,?,?,?)",
        title_row(title, first),
    )


def write_checkpoint(db: sqlite3.Connection, account: Account) -> None:
    """Keeps where an account starts from; the oldest of too many go."""
    number = account.base.number
    db.execute(
        "INSERT OR REPLACE INTO checkpoints(batch, seq, state) VALUES (?, ?, ?)",
        (number, account.upto, json.dumps(to_json(account.base), separators=(",", ":"))),
    )
    db.execute(
        """DELETE FROM checkpoints WHERE batch = ?1 AND seq < (
        SELECT min(seq) FROM (SELECT seq FROM checkpoints WHERE batch = ?1 ORDER BY seq DESC LIMIT ?2))""",
        (number, CHECKPOINTS),
    )


def rebuild(db: sqlite3.Connection, limits: Limits) -> None:
    """Works the titles and checkpoints out anew from the events; within a transaction of the caller.

    Raises:
        Damaged: a row holds no event.
    """
    rows = rows_of(db)
    head = head_of(rows)
    db.execute("DELETE FROM checkpoints")
    db.execute("DELETE FROM titles")
    for (number,) in rows("SELECT DISTINCT batch FROM events ORDER BY batch", ()):
        account = account_of(rows, number, head, limits.keep)
        assert account is not None
        write_title(db, title_of(account.now, account.tail[-1][0]))
        short = shortened(account, limits)
        if short is not account:
            write_checkpoint(db, short)
