"""The book read: events, accounts from a checkpoint and what came after it, and shelves.

A shelf from here is a snapshot of the book after one event. Nothing is read when it is made;
a batch is read when it is looked at, and never past that event, so that writing by this or
another window cannot change a shelf already in hand.
"""

from __future__ import annotations

import datetime
import json
from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import Any, Protocol, TypeVar

from assistant.batches.batch import Account, fold, from_json, live, opened
from assistant.batches.events import Event, Redo, Undo
from assistant.batches.events import from_json as event_from_json
from assistant.batches.shelf import Shelf, Title, title_of
from assistant.book.errors import Damaged

Result = TypeVar("Result")
Rows = Callable[[str, tuple[Any, ...]], list[Any]]
"""Runs a query and gives all its rows."""
Numbered = tuple[int, Event]
"""An event with its number in the book."""


class Source(Protocol):
    """Where shelves read from."""

    def safely(self, job: Callable[[Rows], Result]) -> Result:
        """Does a piece of reading; a damaged book is mended first, if need be, and it is done again."""


def event_of(seq: int, data: str) -> Event:
    """The event of a row.

    Raises:
        Damaged: the row holds none.
    """
    try:
        return event_from_json(json.loads(data))
    except (ValueError, TypeError, OverflowError, RecursionError) as error:
        raise Damaged(f"event {seq}: {error}") from error


def head_of(rows: Rows) -> int:
    """The number of the latest event; 0 in an empty book."""
    return int(rows("SELECT coalesce(max(seq), 0) FROM events", ())[0][0])


def version_of(rows: Rows) -> int:
    """A number that changes when another connection writes."""
    return int(rows("PRAGMA data_version", ())[0][0])


def events_of(rows: Rows, after: int, upto: int, batch: int | None = None) -> list[Numbered]:
    """Events numbered above ``after`` up to and with ``upto``, in order.

    Raises:
        Damaged: a row holds no event.
    """
    which, args = ("", (after, upto)) if batch is None else ("batch = ? AND ", (batch, after, upto))
    found = rows(f"SELECT seq, data FROM events WHERE {which}seq > ? AND seq <= ? ORDER BY seq", args)  # noqa: S608
    return [(seq, event_of(seq, data)) for seq, data in found]


def taken_back(tail: Iterable[Numbered]) -> Iterator[int]:
    """The numbers of the events that are undone or done again in these."""
    for _, event in tail:
        if isinstance(event, Undo | Redo):
            yield from event.of


def account_of(rows: Rows, batch: int, head: int, keep: int) -> Account | None:
    """A batch as it was after event ``head``, with at least its last ``keep`` events at hand.

    It starts from the newest checkpoint before those. A checkpoint counts only what had been
    undone by then; where a later event takes back one from before it, an older one is used.

    Raises:
        Damaged: a row holds no event.
    """
    floor = rows(
        "SELECT seq FROM events WHERE batch = ? AND seq <= ? ORDER BY seq DESC LIMIT 1 OFFSET ?",
        (batch, head, keep - 1),
    )
    below = floor[0][0] if floor else 0
    while True:
        start = _checkpoint(rows, batch, below)
        tail = tuple(events_of(rows, start.upto, head, batch))
        oldest = min(taken_back(tail), default=start.upto + 1)
        if start.upto == 0 or oldest > start.upto:
            break
        below = oldest
    return Account(fold(start.base, live(tail)), start.base, start.upto, tail) if tail else None


def _checkpoint(rows: Rows, batch: int, below: int) -> Account:
    """The newest checkpoint before event ``below``, or the beginning; one that cannot be read is passed over."""
    while below > 0:
        found = rows(
            "SELECT seq, state FROM checkpoints WHERE batch = ? AND seq < ? ORDER BY seq DESC LIMIT 1", (batch, below)
        )
        if not found:
            break
        below, state = found[0]
        try:
            base = from_json(json.loads(state))
        except (ValueError, TypeError, LookupError, AttributeError, OverflowError, RecursionError):
            continue
        return Account(base, base, below)
    return opened(batch)


class Accounts(Mapping[int, Account]):
    """The accounts of all batches after event ``head``, each read when it is looked at."""

    def __init__(self, source: Source, head: int, keep: int) -> None:
        self._source, self._head, self._keep = source, head, keep
        self._seen: dict[int, Account] = {}
        self._numbers: tuple[int, ...] | None = None

    def __getitem__(self, number: int) -> Account:
        if number not in self._seen:
            found = self._source.safely(lambda rows: account_of(rows, number, self._head, self._keep))
            if found is None:
                raise KeyError(number)
            self._seen[number] = found
        return self._seen[number]

    def __iter__(self) -> Iterator[int]:
        if self._numbers is None:
            query = "SELECT number FROM titles WHERE first <= ? ORDER BY number"
            self._numbers = tuple(one for (one,) in self._source.safely(lambda rows: rows(query, (self._head,))))
        return iter(self._numbers)

    def __len__(self) -> int:
        return sum(1 for _ in self)


_TITLES = "SELECT number, name, began, closed, touched, words FROM titles WHERE first <= ?"


class Titles(Mapping[int, Title]):
    """The titles of all batches after event ``head``; of a batch written to since, from its account."""

    def __init__(self, source: Source, head: int, accounts: Accounts) -> None:
        self._source, self._head, self._accounts = source, head, accounts
        self._seen: dict[int, Title] = {}
        self._all: dict[int, tuple[Any, ...]] | None = None

    def __getitem__(self, number: int) -> Title:
        if number not in self._seen:
            self._seen[number] = self._title(self._row(number))
        return self._seen[number]

    def _row(self, number: int) -> tuple[Any, ...]:
        if self._all is not None:
            return self._all[number]
        query = f"{_TITLES} AND number = ?"
        found: list[tuple[Any, ...]] = self._source.safely(lambda rows: rows(query, (self._head, number)))
        if not found:
            raise KeyError(number)
        return found[0]

    def _title(self, row: tuple[Any, ...]) -> Title:
        number, name, began, closed, touched, words = row
        if touched <= self._head:
            return Title(
                number, name, datetime.date.fromisoformat(began), bool(closed), touched, frozenset(json.loads(words))
            )
        account = self._accounts[number]
        return title_of(account.now, account.tail[-1][0])

    def __iter__(self) -> Iterator[int]:
        if self._all is None:
            query = f"{_TITLES} ORDER BY number"
            self._all = {row[0]: row for row in self._source.safely(lambda rows: rows(query, (self._head,)))}
        return iter(self._all)

    def __len__(self) -> int:
        return sum(1 for _ in self)


def shelf_of(source: Source, head: int, keep: int) -> Shelf:
    """All batches as they were after event ``head``; whatever the size of the book, three short look-ups."""

    def ends(rows: Rows) -> tuple[int, int]:
        latest = rows("SELECT batch FROM events WHERE seq <= ? ORDER BY seq DESC LIMIT 1", (head,))
        last = rows("SELECT batch FROM events WHERE seq <= ? ORDER BY batch DESC LIMIT 1", (head,))
        return (last[0][0], latest[0][0]) if latest else (0, 0)

    last, latest = source.safely(ends)
    accounts = Accounts(source, head, keep)
    return Shelf(head, last, latest, Titles(source, head, accounts), accounts)
