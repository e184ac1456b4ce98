"""What every picture of a course shares: round values, days since the start, limits, and what may be joined."""

from __future__ import annotations

import datetime
import itertools
import math
import statistics
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from assistant.batches.batch import Point
from assistant.batches.describe import level
from assistant.declare import Source
from assistant.rules.salt import PH_LIMIT
from assistant.show import number

Guide = tuple[float, str]
"""A value that matters (pH, or degrees C) and what it is called."""

Mark = tuple[datetime.date, str]
"""A day on which fresh produce went in, and what that was."""

GUIDES: dict[str, tuple[Guide, ...]] = {
    "ph": ((PH_LIMIT, "limit"), (4.0, "aim")),
    "temperature": ((24.0, "warm"), (13.0, "cold")),
}
"""The lines that are drawn if no others are asked for."""

GUIDE_SOURCES = {
    "ph": Source("21 CFR 114.3: acid food has a pH of 4.6 or below; an aim of 4.0 is common practice, no source"),
    "temperature": Source(
        "USDA/NCHFP fermenting guidance: 70 to 75 F is best, from 55 F (13 C) it is slow, above 75 F (24 C) it softens",
        seen=False,
    ),
}

METHOD_WORDS = {"meter": "meter", "thermometer": "thermometer", "strip": "strip", "": "not said how"}
"""What a legend calls the ways of reading, in its order."""

SERIES = tuple(first * 10**power for power in range(7) for first in (1, 2, 5))
_STEPS: dict[str, tuple[float, ...]] = {"pH": (0.2, 0.5, *SERIES), "C": SERIES, "F": SERIES[1:]}
_GAP = 30
"""Days without a reading over which no line is drawn, unless such gaps are usual in the course."""


@dataclass(frozen=True)
class Scale:
    """The axis of the values: ``count`` round steps up from ``low``, in "pH", "C" or "F"."""

    low: float
    step: float
    count: int
    unit: str

    @property
    def ticks(self) -> tuple[float, ...]:
        """The round values, the lowest first."""
        return tuple(self.low + self.step * one for one in range(self.count + 1))

    def share(self, value: float) -> float:
        """How far up a value stands: 0 at the bottom, 1 at the top."""
        return (value - self.low) / (self.step * self.count)

    def label(self, tick: float) -> str:
        """A tick as it is written."""
        return f"{tick:.1f}" if self.unit == "pH" else f"{tick:.0f}"


@dataclass(frozen=True)
class Days:
    """The axis of the days: the first, and how many follow."""

    first: datetime.date
    span: int

    @property
    def last(self) -> datetime.date:
        """The last day."""
        return self.first + datetime.timedelta(days=self.span)

    def share(self, day: datetime.date) -> float:
        """How far along a day stands: 0 at the first, 1 at the last."""
        return (day - self.first).days / self.span if self.span else 0.0

    def ticks(self, most: int) -> range:
        """Round numbers of days since the first, at most so many steps."""
        return range(0, self.span + 1, next(one for one in SERIES if self.span <= one * most))


def unit_of(of: str, fahrenheit: bool = False) -> str:
    """What the axis is of: "pH", "C" or "F"."""
    return "pH" if of == "ph" else "F" if fahrenheit else "C"


def shown(value: float, unit: str) -> float:
    """A reading (pH, or degrees C) in the unit of the axis."""
    return value * 9 / 5 + 32 if unit == "F" else value


def scales(values: Iterable[float], unit: str, most: int) -> list[Scale]:
    """The axes that hold these values with at most so many steps (3 or more), the finest first."""
    low, high = math.inf, -math.inf
    for value in values:
        low, high = min(low, value), max(high, value)
    found = []
    for step in _STEPS[unit]:
        bottom, top = math.floor(low / step + 1e-9), math.ceil(high / step - 1e-9)
        if bottom == top:
            bottom, top = bottom - 1, top + 1
        if top - bottom <= most:
            found.append(Scale(bottom * step, step, top - bottom, unit))
    return found


def days_of(points: Iterable[Point], marks: Iterable[Mark], began: datetime.date | None) -> Days:
    """The days from the start (or whatever came before it) to the last reading or mark."""
    days = [*(one.day for one in points), *(day for day, _ in marks), *([began] if began else [])]
    return Days(min(days), (max(days) - min(days)).days)


def guide_label(guide: Guide, unit: str) -> str:
    """A limit with its value: "4.6 limit", "55 F cold"."""
    value = shown(guide[0], unit)
    text = level(value) if unit == "pH" else f"{value:.0f} F" if unit == "F" else f"{number(value)} C"
    return f"{text} {guide[1]}".rstrip()


def joined(points: Sequence[Point]) -> list[tuple[Point, Point]]:
    """The neighbours between which a line is honest.

    Vessels that were read side by side have a line each; one that took over from another
    carries its line on. Over a gap much longer than is usual for the course there is none.
    """
    turns = [vessel for vessel, _ in itertools.groupby(points, key=lambda one: one.vessel)]
    rows = [list(points)]
    if len(turns) > len(set(turns)):
        rows = [[one for one in points if one.vessel == name] for name in dict.fromkeys(turns)]
    pairs = [pair for row in rows for pair in itertools.pairwise(row)]
    gaps = [(after.day - before.day).days for before, after in pairs]
    longest = max(_GAP, 3 * statistics.median(gaps)) if gaps else _GAP
    return [pair for pair, gap in zip(pairs, gaps, strict=True) if gap <= longest]


def listed(marks: Sequence[Mark], days: Days, most: int = 6) -> str:
    """What went in on the marked days: "day 0 chillies, day 11 garlic, 3 more"."""
    parts = [f"day {(day - days.first).days} {text}" for day, text in marks[:most]]
    return ", ".join([*parts, f"{len(marks) - most} more"] if len(marks) > most else parts)
