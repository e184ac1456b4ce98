"""All batches at one moment: what the talk looks at.

The batches are a mapping that is handed in: a plain one in memory, or one that reads a
batch from the book only when it is looked at, so that a full book opens as fast as an
empty one. A shelf never changes; ``with_events`` gives the next one.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, TypeVar

if TYPE_CHECKING:
    from assistant.batches.batch import Account, Batch
    from assistant.batches.events import Event


class Moved(Exception):
    """Somebody else has written to the account since it was looked at; nothing was written."""


class Unreadable(Exception):
    """The account cannot be read just now; the message is a sentence."""


Value = TypeVar("Value")


@dataclass(frozen=True)
class Title:
    """What a batch is found by, without reading its account.

    ``words`` are the produce terms and vessel names that were said of it.
    """

    number: int
    name: str = ""
    began: datetime.date = datetime.date.min
    closed: bool = False
    touched: int = 0
    words: frozenset[str] = frozenset()


def title_of(batch: Batch, touched: int) -> Title:
    """The title of a batch whose latest event has the number ``touched`` in the book."""
    words = {*batch.kinds, *(one.place.term for one in batch.vessels), *(one.label for one in batch.vessels)}
    return Title(batch.number, batch.name, batch.began, bool(batch.closed), touched, frozenset(words))


@dataclass(frozen=True)
class Shelf:
    """All batches; ``titles`` and ``accounts`` go by batch number.

    ``head`` is the number of the book's latest event, ``last`` that of the latest batch,
    ``latest`` the batch written to last (0: there is none).
    """

    head: int = 0
    last: int = 0
    latest: int = 0
    titles: Mapping[int, Title] = field(default_factory=dict)
    accounts: Mapping[int, Account] = field(default_factory=dict)

    def batch(self, number: int) -> Batch | None:
        """The batch of that number as it is now, or None; one undone from its start is none."""
        found = self.accounts.get(number)
        return found.now if found is not None and found.now.began != datetime.date.min else None

    @property
    def next(self) -> int:
        """The number of the next new batch: after the last that was not undone from its start."""
        number = self.last
        while number and self.batch(number) is None:
            number -= 1
        return number + 1

    @property
    def recent(self) -> tuple[Title, ...]:
        """The batches, the one last written to first; those undone from the start are left out."""
        there = (one for one in self.titles.values() if one.began != datetime.date.min)
        return tuple(sorted(there, key=lambda one: -one.touched))

    def with_events(self, events: Iterable[Event]) -> Shelf:
        """The shelf after these, numbered on from ``head``.

        Raises:
            LookupError: one takes back an event that lies too far back.
        """
        shelf = self
        for event in events:
            from assistant.batches.batch import opened  # here, because most lines enter nothing

            seq = shelf.head + 1
            account = (shelf.accounts.get(event.batch) or opened(event.batch)).with_event(seq, event)
            shelf = replace(
                shelf,
                head=seq,
                last=max(shelf.last, event.batch),
                latest=event.batch,
                titles=Over(shelf.titles, {event.batch: title_of(account.now, seq)}),
                accounts=Over(shelf.accounts, {event.batch: account}),
            )
        return shelf


class Over(Mapping[int, Value]):
    """A mapping with some values over another, which stays unread until it is looked at."""

    def __init__(self, below: Mapping[int, Value], over: dict[int, Value]) -> None:
        self._below: Mapping[int, Value] = below._below if isinstance(below, Over) else below
        self._over: dict[int, Value] = {**below._over, **over} if isinstance(below, Over) else over

    def __getitem__(self, number: int) -> Value:
        return self._over[number] if number in self._over else self._below[number]

    def __iter__(self) -> Iterator[int]:
        return iter({**dict.fromkeys(self._below), **dict.fromkeys(self._over)})

    def __len__(self) -> int:
        return sum(1 for _ in self)
