"""Pieces that the book's tests share: events to put in, and what a batch must be whatever the book does."""

from __future__ import annotations

import contextlib
import dataclasses
import datetime
import itertools
from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from hypothesis import strategies as st

from assistant.batches import events as ev
from assistant.batches.batch import Batch, fold, live, opened
from assistant.batches.events import Add, Begin, Event, Place, Read, Redo, Remark, Undo
from assistant.batches.shelf import Shelf, Title
from assistant.book.store import Book
from assistant.trade.mixture import Mixture, brine, produce, salt

DAY = datetime.date(2026, 3, 2)
FULL = "The book cannot be written: the disk is full. What is said now is not kept."


def begin(batch: int = 1, name: str = "") -> Begin:
    """A batch begun in an 8 L crock."""
    return Begin(batch, DAY, f"begin batch {batch}", name, Place("the 8 L crock", "crock", 8.0))


def read(value: float, batch: int = 1, days: int = 0) -> Read:
    """A pH reading."""
    return Read(batch, DAY + datetime.timedelta(days=days), f"pH {value}", "", "ph", value, "meter", "yes")


def remark(text: str, batch: int = 1) -> Remark:
    """Something seen."""
    return Remark(batch, DAY, text, text)


def course(count: int, batch: int = 1) -> list[Event]:
    """So many events of one batch: begun, filled, then readings."""
    first: list[Event] = [begin(batch), Add(batch, DAY, "3 kg of chillies", "", "chillies", produce(3, "chilli"), True)]
    return [*first, *(read(round(6 - one / count, 3), batch, one) for one in range(count - 2))][:count]


def looks(count: int, batch: int = 1) -> list[Event]:
    """So many events of one batch that are quickly folded: begun, then looked at."""
    return [begin(batch), *(remark(f"look {one}", batch) for one in range(count - 1))]


def put(book: Book, *events: Event) -> Shelf:
    """Each event said in a line of its own."""
    shelf = book.shelf()
    for one in events:
        shelf = book.append(one.said or "so", DAY, [one], shelf.head)
    return shelf


def folded(events: Iterable[tuple[int, Event]], batch: int) -> Batch:
    """The batch by its definition: everything that counts, from the beginning."""
    return fold(opened(batch).base, live([(seq, one) for seq, one in events if one.batch == batch]))


def titles(shelf: Shelf) -> dict[int, Title]:
    """All titles of a shelf, read."""
    return dict(shelf.titles)


def batches(shelf: Shelf) -> dict[int, Batch]:
    """All batches of a shelf, read."""
    return {number: account.now for number, account in shelf.accounts.items()}


def alike(shelf: Shelf) -> tuple[Any, ...]:
    """Everything that a shelf says."""
    return shelf.head, shelf.last, shelf.latest, titles(shelf), batches(shelf)


# any events -----------------------------------------------------------------------------------

_CROCK, _JAR, _UNKNOWN = "the 8 L crock", "a jar", "the bucket"
_LATER = DAY + datetime.timedelta(days=9)
USUAL: tuple[Event, ...] = (
    begin(name="Red"), Begin(1, _LATER, "again", "", Place(_JAR, "jar", 1.5)),
    Add(1, DAY, "3 kg of chillies", "", "chillies", produce(3, "chilli"), True, "chilli"),
    Add(1, _LATER, "garlic", _JAR, "garlic", produce(0.2, "garlic"), True, "garlic"),
    Add(1, DAY, "brine", _CROCK, "brine", brine(2.2, 0.05)), Add(1, DAY, "salt", _UNKNOWN, "salt", salt(0.1)),
    ev.Take(1, DAY, "a spill", "", "spilled", brine(0.3, 0.05)), ev.Take(1, DAY, "all of it", "", "", brine(90, 0.05)),
    ev.Move(1, DAY, "into the jar", "", Place(_JAR, "jar", 1.5)), ev.Move(1, _LATER, "back", _JAR, Place(_CROCK)),
    ev.Share(1, DAY, "half of it", _CROCK, Place(_JAR), Mixture(water=1.0, solids=0.1), "half"),
    ev.Boil(1, DAY, "boiled down", "", 0.25), ev.Pour(1, DAY, "half into batch 2", "", 2, brine(0.5, 0.05)),
    ev.Receive(1, DAY, "from batch 3", "", 3, produce(0.5, "chilli"), "2026-02-01", "chilli"),
    ev.Receive(1, DAY, "from batch 3", "", 3, brine(0.5, 0.05)), read(5.2), read(3.9, days=20), read(4.4, days=3),
    Read(1, DAY, "19 degrees", _JAR, "temperature", 19.0, "thermometer"), Read(1, DAY, "strip", "", "ph", 0.0, "strip"),
    remark("white film"), remark(""), ev.Call(1, DAY, "call it Green", "Green"), ev.Call(1, DAY, "no name"),
    ev.Bottle(1, DAY, "2 bottles", "", 2, 0.25, brine(0.5, 0.05)), ev.Close(1, DAY, "done", "eaten"),
)  # fmt: skip
"""One or two of each kind of event, possible or not where they come."""


@st.composite
def histories(draw: st.DrawFn, most: int = 40, of: int = 3) -> list[Event]:
    """Events of up to ``of`` batches, numbered from 1 as they stand; some take back or restore earlier ones."""
    kinds = st.integers(-len(USUAL) // 4, len(USUAL) - 1)
    found: list[Event] = []
    least = draw(st.sampled_from((0, most // 2)))
    drawn = st.tuples(kinds, st.integers(1, of), st.integers(0, 30))
    for kind, batch, back in draw(st.lists(drawn, min_size=least, max_size=most)):
        mine = [seq for seq, one in enumerate(found, 1) if one.batch == batch]
        if kind < 0 and mine:
            taken = tuple(sorted({mine[-1 - back % len(mine)], mine[-1 - back // 2 % len(mine)]}))
            found.append((Undo if kind % 2 else Redo)(batch, DAY, "undo", taken))
        else:
            found.append(dataclasses.replace(USUAL[kind], batch=batch))
    return found


_words = st.text(max_size=8)
_weights = st.floats(0, 50, allow_nan=False)
_values = {
    "datetime.date": st.dates(), "str": _words, "bool": st.booleans(), "int": st.integers(0, 10**6), "float": _weights,
    "Place": st.builds(Place, _words, _words, _weights), "tuple[int, ...]": st.just(()),
    "tuple[float, ...]": st.just(()), "tuple[str, ...]": st.lists(_words, max_size=3).map(tuple),
    "Mixture": st.builds(Mixture, _weights, _weights, other=_weights),
}  # fmt: skip
_exact: dict[tuple[type[Event], str], st.SearchStrategy[Any]] = {
    (Read, "of"): st.sampled_from(ev.MEASURED), (Read, "method"): st.sampled_from(ev.METHODS),
    (Read, "value"): st.floats(0, 14), (Read, "error"): st.floats(0, 14),
    (Read, "calibrated"): st.sampled_from(("", "yes", "no")),
    (ev.Pour, "into"): st.integers(1, 3), (ev.Receive, "source"): st.integers(1, 3),
    (ev.Heat, "minutes"): st.just((0.0, 2.0)), (ev.Heat, "degrees"): st.tuples(st.floats(0, 99), st.floats(0, 99)),
    (ev.Heat, "ph"): st.floats(1, 14), (ev.Heat, "error"): st.floats(0, 1),
    (ev.Receive, "youngest"): st.dates().map(str) | st.just(""),
}  # fmt: skip


def events_of(kind: type[Event], batch: int) -> st.SearchStrategy[Event]:
    """Any event of a kind, every field at liberty."""
    return st.builds(
        kind,
        batch=st.just(batch),
        **{one.name: _exact.get((kind, one.name), _values[str(one.type)]) for one in dataclasses.fields(kind)[1:]},
    )


def parted(events: Sequence[Event], cuts: Iterable[int]) -> list[list[Event]]:
    """The events in groups, cut before these places."""
    edges = sorted({0, len(events), *(one for one in cuts if one < len(events))})
    return [list(events[start:end]) for start, end in itertools.pairwise(edges)]


@contextlib.contextmanager
def full(book: Book) -> Iterator[None]:
    """The disk has no room for another page."""
    pages = book._db.execute("PRAGMA page_count").fetchone()[0]
    book._db.execute(f"PRAGMA max_page_count = {pages}")
    yield
    book._db.execute("PRAGMA max_page_count = 1000000")
