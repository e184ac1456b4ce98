"""The tables of the book, step by step: an older file takes the steps it lacks, once, when it is opened.

A step that people's files have taken is never changed; what is to be different is a new step.
A new kind of event, or a new field of one, needs one too, if only an empty one: the number of steps is how an older
program knows that it cannot read a newer file. What is worked out from the events is worked
out anew after any step, so no step needs to fill it.
"""

from __future__ import annotations

import sqlite3

from assistant.book.errors import BookError
from assistant.book.growing import USUAL
from assistant.book.writing import rebuild, transaction

APPLICATION = 0x43524B42
"""What marks a file as ours ("CRKB" in its header); see SQLite's ``application_id``."""

NEWER = "{name} was written by a newer version of this program. Update the program, or name another file."

Step = tuple[str, ...]
"""SQL statements."""


def _only_added(table: str) -> tuple[str, ...]:
    """Triggers that hold a table to be only added to."""
    refuse = f"SELECT RAISE(ABORT, '{table} are only ever added')"
    return (
        f"CREATE TRIGGER {table}_stay BEFORE UPDATE ON {table} BEGIN {refuse}; END",
        f"CREATE TRIGGER {table}_remain BEFORE DELETE ON {table} BEGIN {refuse}; END",
    )


_EVENTS: Step = (
    "CREATE TABLE migrations(number INTEGER PRIMARY KEY, name TEXT NOT NULL UNIQUE)",
    """CREATE TABLE events(
        seq INTEGER PRIMARY KEY, batch INTEGER NOT NULL CHECK (batch >= 1), kind TEXT NOT NULL, day TEXT NOT NULL,
        data TEXT NOT NULL)""",
    "CREATE INDEX events_of_batch ON events(batch, seq)",
    *_only_added("events"),
    # without this, INSERT OR REPLACE would put one event in the place of another
    """CREATE TRIGGER events_in_order BEFORE INSERT ON events
        WHEN NEW.seq <= (SELECT coalesce(max(seq), 0) FROM events)
        BEGIN SELECT RAISE(ABORT, 'events are only ever added'); END""",
)

_CACHES: Step = (
    """CREATE TABLE titles(
        number INTEGER PRIMARY KEY, first INTEGER NOT NULL, touched INTEGER NOT NULL, name TEXT NOT NULL,
        began TEXT NOT NULL, closed INTEGER NOT NULL, words TEXT NOT NULL)""",
    """CREATE TABLE checkpoints(
        batch INTEGER NOT NULL, seq INTEGER NOT NULL REFERENCES events(seq), state TEXT NOT NULL,
        PRIMARY KEY (batch, seq))""",
    "CREATE INDEX checkpoints_of_event ON checkpoints(seq)",
)


_TALKS: Step = (
    """CREATE TABLE threads(
        id INTEGER PRIMARY KEY, follows_thread INTEGER REFERENCES threads(id),
        follows_line INTEGER REFERENCES lines(id))""",
    """CREATE TABLE lines(
        id INTEGER PRIMARY KEY, thread INTEGER NOT NULL REFERENCES threads(id), day TEXT NOT NULL, say TEXT NOT NULL,
        head INTEGER NOT NULL)""",
    "CREATE INDEX lines_of_thread ON lines(thread, id)",
    *_only_added("threads"),
    *_only_added("lines"),
    """CREATE TRIGGER threads_in_order BEFORE INSERT ON threads
        WHEN NEW.id <= (SELECT coalesce(max(id), 0) FROM threads)
        BEGIN SELECT RAISE(ABORT, 'threads are only ever added'); END""",
    """CREATE TRIGGER lines_in_order BEFORE INSERT ON lines
        WHEN NEW.id <= (SELECT coalesce(max(id), 0) FROM lines)
        BEGIN SELECT RAISE(ABORT, 'lines are only ever added'); END""",
)

_TIMERS: Step = (
    "CREATE TABLE timers(id INTEGER PRIMARY KEY, due TEXT NOT NULL, label TEXT NOT NULL)",
    "CREATE TABLE timers_over(id INTEGER PRIMARY KEY REFERENCES timers(id))",
    *_only_added("timers"),
    *_only_added("timers_over"),
)
"""Timers; and from this step on a book may hold heatings and how far a walk has come."""

MIGRATIONS: tuple[tuple[str, Step], ...] = (
    ("events", _EVENTS),
    ("titles and checkpoints", _CACHES),
    ("what was said", _TALKS),
    ("heatings, walks and timers", _TIMERS),
)
"""Every step by its name; ``user_version`` is how many a file has taken."""


def version_of(db: sqlite3.Connection) -> int:
    """How many steps a file has taken."""
    return int(db.execute("PRAGMA user_version").fetchone()[0])


def migrate(db: sqlite3.Connection, name: str = "The book", upto: int = len(MIGRATIONS)) -> None:
    """Takes the steps that are lacking, all of them or none.

    Args:
        db: the file, with no transaction open.
        name: what the file is called where it is refused.
        upto: how many steps there are; fewer leave a file of an older version.

    Raises:
        BookError: the file has taken steps that are not known here.
        sqlite3.Error: it could not be written.
    """
    version = version_of(db)
    if version > len(MIGRATIONS):
        raise BookError(NEWER.format(name=name))
    if version >= upto:
        return
    with transaction(db):
        # another window may have done it while this one waited
        version = version_of(db)
        if version == 0:
            db.execute(f"PRAGMA application_id = {APPLICATION}")
        for number, (title, step) in enumerate(MIGRATIONS[version:upto], version + 1):
            for statement in step:
                db.execute(statement)
            db.execute("INSERT INTO migrations(number, name) VALUES (?, ?)", (number, title))
        if 0 < version < upto == len(MIGRATIONS):
            rebuild(db, USUAL)
        db.execute(f"PRAGMA user_version = {max(version, upto)}")
