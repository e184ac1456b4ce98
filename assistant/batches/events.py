"""What can happen to a batch, as facts: each with its day and the words it was said with.

An event holds the numbers as they were worked out when it was said (the water of the
produce, the salt of the brine), so that a table mended later changes no old batch. Events
are only ever added; one that was a mistake is undone by another.
"""

from __future__ import annotations

import datetime
import math
from collections.abc import Mapping
from dataclasses import dataclass, field, fields
from itertools import pairwise
from typing import Any, ClassVar

from assistant.trade.mixture import NOTHING, Mixture, from_dict

METHODS = ("meter", "strip", "thermometer", "")
"""How a reading was taken; "" where nobody said."""

MEASURED = ("ph", "temperature")
"""What readings are of; temperatures in degrees C."""


class EventError(ValueError):
    """Data that is no event; the message says what is wrong with it."""


@dataclass(frozen=True)
class Place:
    """A vessel as people call it: "the 8 L crock"; ``capacity`` in L to the brim, 0 if not known."""

    label: str
    term: str = "vessel"
    capacity: float = 0.0


@dataclass(frozen=True)
class Event:
    """Something that happened to batch number ``batch`` on ``day``, as ``said``."""

    kind: ClassVar[str] = ""
    batch: int
    day: datetime.date
    said: str = ""


@dataclass(frozen=True)
class Begin(Event):
    """A new batch in a vessel; nothing in it yet."""

    kind: ClassVar[str] = "begin"
    name: str = ""
    place: Place = field(default_factory=lambda: Place("the vessel"))


@dataclass(frozen=True)
class Add(Event):
    """Something put into a vessel. ``what`` is its name; ``fresh`` is raw produce, which restarts the watch."""

    kind: ClassVar[str] = "add"
    vessel: str = ""
    what: str = ""
    mix: Mixture = NOTHING
    fresh: bool = False
    produce: str = ""


@dataclass(frozen=True)
class Take(Event):
    """Something taken out of a vessel and not kept: a sample, a spill, a skimming."""

    kind: ClassVar[str] = "take"
    vessel: str = ""
    why: str = ""
    mix: Mixture = NOTHING


@dataclass(frozen=True)
class Move(Event):
    """All that a vessel holds (every vessel, if ``vessel`` is "") goes into another, new or not."""

    kind: ClassVar[str] = "move"
    vessel: str = ""
    to: Place = field(default_factory=lambda: Place("the vessel"))


@dataclass(frozen=True)
class Share(Event):
    """One kept part of what a vessel held."""

    kind: ClassVar[str] = "share"
    vessel: str = ""
    to: Place = field(default_factory=lambda: Place("the vessel"))
    mix: Mixture = NOTHING
    how: str = ""


@dataclass(frozen=True)
class Boil(Event):
    """Water steamed off, in kg."""

    kind: ClassVar[str] = "boil"
    vessel: str = ""
    water: float = 0.0


@dataclass(frozen=True)
class Pour(Event):
    """Part or all of a vessel poured into another batch; the other batch has a Receive."""

    kind: ClassVar[str] = "pour"
    vessel: str = ""
    into: int = 0
    mix: Mixture = NOTHING


@dataclass(frozen=True)
class Receive(Event):
    """What came from another batch, with the day of its youngest produce and what that was."""

    kind: ClassVar[str] = "receive"
    vessel: str = ""
    source: int = 0
    mix: Mixture = NOTHING
    youngest: str = ""
    produce: str = ""


@dataclass(frozen=True)
class Read(Event):
    """A reading of a vessel.

    ``calibrated`` is what was said of the meter: "yes", "no" or ""; ``error`` how far off it may be, as far as
    that was said (0: nobody did).
    """

    kind: ClassVar[str] = "read"
    vessel: str = ""
    of: str = "ph"
    value: float = 0.0
    method: str = ""
    calibrated: str = ""
    error: float = 0.0


@dataclass(frozen=True)
class Heat(Event):
    """What was heated, by the temperatures of its coldest point.

    ``minutes`` and ``degrees`` (C) are the course, thinned out to be drawn; ``worth`` the minutes at 71.1 C that
    all of it came to, ``needed`` those that ``ph`` (with its ``error``) needs; ``offset`` was added to the readings.
    """

    kind: ClassVar[str] = "heat"
    vessel: str = ""
    minutes: tuple[float, ...] = ()
    degrees: tuple[float, ...] = ()
    ph: float = 0.0
    error: float = 0.0
    worth: float = 0.0
    needed: float = 0.0
    offset: float = 0.0

    @property
    def enough(self) -> bool:
        """Whether it is worth what its pH needs."""
        return 0 < self.needed <= self.worth


@dataclass(frozen=True)
class Remark(Event):
    """Anything seen or done that moves no mass: white film skimmed, stirred, smells fine."""

    kind: ClassVar[str] = "remark"
    text: str = ""


@dataclass(frozen=True)
class Call(Event):
    """A name for the batch."""

    kind: ClassVar[str] = "call"
    name: str = ""


@dataclass(frozen=True)
class Walked(Event):
    """How far a walk has come: its name, the step that is next, the facts told so far as "name=value"."""

    kind: ClassVar[str] = "walked"
    walk: str = ""
    step: str = ""
    told: tuple[str, ...] = ()
    skipped: tuple[str, ...] = ()


@dataclass(frozen=True)
class Bottle(Event):
    """Bottles filled from a vessel: how many, how big (L), and what went into them."""

    kind: ClassVar[str] = "bottle"
    vessel: str = ""
    count: int = 0
    size: float = 0.0
    mix: Mixture = NOTHING


@dataclass(frozen=True)
class Close(Event):
    """The batch is over: eaten, bottled, or thrown out."""

    kind: ClassVar[str] = "close"
    why: str = ""


@dataclass(frozen=True)
class Undo(Event):
    """Events (by their place in the book) that do not count any more."""

    kind: ClassVar[str] = "undo"
    of: tuple[int, ...] = ()


@dataclass(frozen=True)
class Redo(Event):
    """Events that count again."""

    kind: ClassVar[str] = "redo"
    of: tuple[int, ...] = ()


KINDS: dict[str, type[Event]] = {
    one.kind: one
    for one in (
        Begin, Add, Take, Move, Share, Boil, Pour, Receive, Read, Heat, Remark, Call, Walked, Bottle, Close, Undo, Redo,
    )
}  # fmt: skip


def to_json(event: Event) -> dict[str, Any]:
    """An event as plain data; what has its default is left out."""
    out: dict[str, Any] = {"kind": event.kind, "batch": event.batch, "day": event.day.isoformat()}
    for one in fields(event):
        value = getattr(event, one.name)
        if one.name in ("batch", "day") or value in ("", 0, 0.0, (), NOTHING, False):
            continue
        if isinstance(value, Mixture):
            value = value.as_dict()
        elif isinstance(value, Place):
            value = {"label": value.label, "term": value.term, "capacity": value.capacity}
        elif isinstance(value, tuple):
            value = list(value)
        out[one.name] = value
    return out


def from_json(data: object) -> Event:
    """An event from plain data.

    Raises:
        EventError: it is not one; the message says why.
    """
    if not isinstance(data, Mapping):
        raise EventError("not an object")
    kind = KINDS.get(str(data.get("kind")))
    if kind is None:
        raise EventError(f"no kind of event is called {data.get('kind')!r}")
    shapes = {one.name: one for one in fields(kind)}
    found: dict[str, Any] = {}
    for name, value in data.items():
        if name == "kind":
            continue
        if name not in shapes:
            raise EventError(f"{kind.kind}: no field {name!r}")
        found[name] = _value(kind.kind, name, str(shapes[name].type), value)
    if "batch" not in found or "day" not in found:
        raise EventError(f"{kind.kind}: needs batch and day")
    event = kind(**found)
    _check(event)
    return event


def _value(kind: str, name: str, shape: str, value: Any) -> Any:
    """One field's value, of the type that it is declared with."""
    try:
        if shape == "datetime.date":
            return datetime.date.fromisoformat(value)
        if shape == "Mixture":
            return from_dict(value)
        if shape == "Place":
            place = Place(str(value["label"]), str(value.get("term", "vessel")), float(value.get("capacity", 0.0)))
            if not 0 <= place.capacity < 1e6:
                raise ValueError(f"capacity {place.capacity}")
            (place.label + place.term).encode()
            return place
        if shape == "tuple[float, ...]":
            if not isinstance(value, list | tuple):
                raise ValueError("not a list of numbers")
            row = tuple(map(float, value))
            if not all(map(math.isfinite, row)):
                raise ValueError("not a number")
            return row
        if shape == "tuple[str, ...]":
            if not isinstance(value, list | tuple) or not all(isinstance(one, str) for one in value):
                raise ValueError("not a list of words")
            "".join(value).encode()
            return tuple(value)
        if shape == "tuple[int, ...]":
            if not isinstance(value, list | tuple) or not all(type(one) is int for one in value):
                raise TypeError(f"{value!r} is no list of numbers")
            return tuple(value)
        # a bool is an int to Python, but True is no number of bottles
        if type(value) not in {"int": (int,), "float": (int, float), "str": (str,), "bool": (bool,)}[shape]:
            raise TypeError(f"{value!r} is not {shape}")
        if shape == "str":
            value.encode()  # half a letter, which JSON can hold, can be written nowhere
        return float(value) if shape == "float" else value
    except (TypeError, ValueError, KeyError, AttributeError, OverflowError) as error:
        raise EventError(f"{kind}: {name}: {error}") from error


def _check_heat(event: Heat) -> None:
    late = any(later < earlier for earlier, later in pairwise(event.minutes))
    if not 2 <= len(event.minutes) == len(event.degrees) <= 1000 or late:
        raise EventError(f"heat: {len(event.minutes)} minutes and {len(event.degrees)} temperatures")
    figures = (event.worth, event.needed)
    if not (0 < event.ph <= 14 and 0 <= event.error <= 14 and all(0 <= one < 1e9 for one in figures)):
        raise EventError(f"heat: pH {event.ph}, worth {event.worth}, needed {event.needed}")
    if not all(-100 <= one <= 500 for one in (*event.degrees, event.offset)):
        raise EventError("heat: a temperature that no thermometer shows")


def _check(event: Event) -> None:
    """What a type cannot say.

    Raises:
        EventError: a value that no such event has.
    """
    if event.batch < 1:
        raise EventError(f"{event.kind}: batch {event.batch}")
    if isinstance(event, Read):
        top = 14.0 if event.of == "ph" else 150.0
        low = 0.0 if event.of == "ph" else -40.0
        if event.of not in MEASURED or event.method not in METHODS or not low <= event.value <= top:
            raise EventError(f"read: {event.of} {event.value} by {event.method!r}")
        if not 0 <= event.error <= top:
            raise EventError(f"read: {event.of} {event.error} off")
    if isinstance(event, Heat):
        _check_heat(event)
    mass = getattr(event, "mix", NOTHING).mass + getattr(event, "water", 0.0)
    if not 0 <= mass < 1e6:
        raise EventError(f"{event.kind}: {mass} kg")
    if isinstance(event, Receive) and event.youngest:
        _value(event.kind, "youngest", "datetime.date", event.youngest)
    if isinstance(event, Bottle) and (event.count < 0 or not 0 <= event.size < 1e4):
        raise EventError(f"bottle: {event.count} of {event.size} L")
