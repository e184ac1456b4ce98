"""Timers that run on when the program is closed: when each is due, what for, and which are over."""

from __future__ import annotations

import datetime
import sqlite3
from dataclasses import dataclass

from assistant.book.reading import Rows


@dataclass(frozen=True)
class Running:
    """A timer that is not over."""

    id: int
    due: datetime.datetime
    label: str


def running(rows: Rows) -> list[Running]:
    """The timers that are not over, the one due first at the head."""
    found = rows("SELECT id, due, label FROM timers WHERE id NOT IN (SELECT id FROM timers_over) ORDER BY due", ())
    out = []
    for number, due, label in found:
        try:
            out.append(Running(int(number), datetime.datetime.fromisoformat(due), str(label)))
        except (TypeError, ValueError):  # not written by us: it cannot ring
            continue
    return out


def write_timer(db: sqlite3.Connection, due: datetime.datetime, label: str) -> int:
    """Adds a timer; gives its number."""
    number = int(db.execute("SELECT coalesce(max(id), 0) + 1 FROM timers").fetchone()[0])
    db.execute("INSERT INTO timers(id, due, label) VALUES (?, ?, ?)", (number, due.isoformat(), label))
    return number


def write_over(db: sqlite3.Connection, number: int) -> None:
    """Marks a timer as over."""
    db.execute("INSERT OR IGNORE INTO timers_over(id) VALUES (?)", (number,))
