"""The course of a batch over its days: a small chart for a terminal, and the same as one sentence.

The chart's rows stand for round values, and a reading under a limit is never drawn above its
line. Shapes tell a meter from a strip; there is no colour.
"""

from __future__ import annotations

import datetime
import itertools
import math
import textwrap
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass

from assistant.batches.axes import (
    GUIDES,
    METHOD_WORDS,
    Days,
    Guide,
    Mark,
    Scale,
    days_of,
    guide_label,
    joined,
    listed,
    scales,
    shown,
    unit_of,
)
from assistant.batches.batch import Point
from assistant.batches.describe import day_words, how, level, reading
from assistant.show import Style

NARROWEST = 40
"""Columns that a chart needs."""

_INSIDE = 24
"""Columns kept for the readings; labels that would take them go below the chart."""

_MARKS = {"meter": ("●", "o"), "thermometer": ("●", "o"), "strip": ("□", "x"), "": ("◇", "?")}
_SEVERAL = ("■", "#")
_GUIDE = ("╌", "-")
_ADDED = ("▲", "^")
_DOTS = ((0x01, 0x02, 0x04, 0x40), (0x08, 0x10, 0x20, 0x80))
_BRAILLE = 0x2800

_CROWDED = 2
"""Readings a column over which their marks say more than a line between them."""

_SPOKEN = 8
_TELLING = {"ph": 0.1, "temperature": 1.0}
"""A reading this far off the straight line between its neighbours is worth saying (common practice, no source)."""


@dataclass(frozen=True)
class _Frame:
    """Where a value and a day stand in a chart of so many rows and columns."""

    scale: Scale
    days: Days
    rows: int
    columns: int
    limits: tuple[float, ...]
    plain: bool

    def down(self, value: float) -> float:
        """Rows from the top edge, of a value in pH or degrees C; whole numbers are edges between rows."""
        return (1 - self.scale.share(shown(value, self.scale.unit))) * (self.rows - 1) + 0.5

    def along(self, day: datetime.date) -> float:
        """Columns from the left edge."""
        return self.days.share(day) * (self.columns - 1) + 0.5

    def row(self, value: float) -> int:
        """The row of a value, 0 at the top; a hair's breadth of rounding moves nothing."""
        return math.floor(self.down(value) + 1e-9)

    def cell(self, point: Point) -> tuple[int, int]:
        """The cell of a reading: on a limit's line only if it is the limit, else on its side of it if there is room."""
        row = self.row(point.value)
        lines = {self.row(one): one for one in self.limits}
        if row in lines and abs(point.value - lines[row]) > 1e-9:
            beside = row - 1 if point.value > lines[row] else row + 1
            row = beside if 0 <= beside < self.rows and beside not in lines else row
        return row, int(self.along(point.day))

    def spot(self, point: Point) -> tuple[float, float]:
        """Where the line through a reading starts or ends, within its cell: rows down, columns along."""
        row, _ = self.cell(point)
        return min(max(self.down(point.value), row), row + 0.999), self.along(point.day)


def course(
    points: Sequence[Point],
    *,
    of: str,
    width: int = 60,
    height: int = 10,
    plain: bool = False,
    fahrenheit: bool = False,
    guides: Sequence[Guide] | None = None,
    marks: Sequence[Mark] = (),
    began: datetime.date | None = None,
) -> list[str]:
    """The readings as lines of text, none longer than ``width``; no lines if there is no reading.

    Args:
        points: readings; temperatures in degrees C.
        of: "ph" or "temperature".
        width: columns, NARROWEST or more.
        height: rows above the lowest one at most, 4 or more; axis and legend come below.
        plain: ASCII only.
        fahrenheit: temperatures are shown in degrees F.
        guides: limits to draw, in pH or degrees C; GUIDES if none are given.
        marks: days to mark on the axis (fresh produce went in), with what to call them.
        began: the day that counts as day 0; the first one drawn if not given.
    """
    if not points:
        return []
    points = sorted(points, key=lambda one: one.day)
    width, most = max(width, NARROWEST), max(height, 4)
    unit = unit_of(of, fahrenheit)
    limits = GUIDES[of] if guides is None else tuple(guides)
    values = [shown(value, unit) for value in (*(one.value for one in points), *(value for value, _ in limits))]
    # whole rows for each step, so that a tick's label stands exactly beside its value; the least a row can tell
    scale = min(scales(values, unit, most), key=lambda one: one.step / (most // one.count))
    days = days_of(points, marks, began)
    labels = [_clean(guide_label(one, unit), plain) for one in limits]
    gutter = max(3, *(len(scale.label(one)) for one in scale.ticks))
    aside = max((len(one) + 1 for one in labels), default=0)
    rows, columns, lines = most - most % scale.count + 1, width - gutter - 2, tuple(value for value, _ in limits)
    frame = _Frame(scale, days, rows, columns - aside, lines, plain)
    beside = {frame.row(value): text for (value, _), text in zip(limits, labels, strict=True)}
    if frame.columns < _INSIDE or len(beside) < len(limits):
        frame, beside = _Frame(scale, days, rows, columns, lines, plain), {}
    out = [f"{unit:>{gutter}}"]
    ticks = {frame.row((one - 32) / 1.8 if unit == "F" else one): scale.label(one) for one in scale.ticks}
    notch, side = ("+", "|") if plain else ("┤", "│")
    grid = _grid(points, frame)
    for row, cells in enumerate(grid):
        text = f"{ticks.get(row, ''):>{gutter}} {notch if row in ticks else side}{''.join(cells)}"
        out.append(f"{text} {beside.get(row, '')}".rstrip())
    out += _below(frame, gutter, [day for day, _ in marks])
    legend = [_legend(points, plain, any(_SEVERAL[plain] in cells for cells in grid))]
    if labels and not beside:
        legend.append(f"{_GUIDE[plain] * 2} {', '.join(labels)}")
    if marks:
        legend.append(_clean(f"{_ADDED[plain]} put in: {listed(marks, days)}", plain))
    return [*out, *(row for line in legend for row in _wrapped(line, width))]


def _grid(points: Sequence[Point], frame: _Frame) -> list[list[str]]:
    """The chart's cells: limits, over them the line, over it the readings."""
    grid = [[" "] * frame.columns for _ in range(frame.rows)]
    for value in frame.limits:
        # plain hyphens in every column would look like a frame
        pair = "- " if frame.plain else _GUIDE[0] * 2
        grid[frame.row(value)] = list((pair * frame.columns)[: frame.columns])
    dots: dict[tuple[int, int], int] = {}
    for before, after in joined(points) if len(points) <= _CROWDED * frame.columns else ():
        stroke(dots, frame.spot(before), frame.spot(after))
    inked(grid, dots, frame.plain)
    drawn: dict[tuple[int, int], str] = {}
    for point in points:
        mark, cell = _MARKS[point.method][frame.plain], frame.cell(point)
        drawn[cell] = mark if drawn.get(cell, mark) == mark else _SEVERAL[frame.plain]
    for (row, column), mark in drawn.items():
        grid[row][column] = mark
    return grid


def stroke(dots: dict[tuple[int, int], int], start: tuple[float, float], end: tuple[float, float]) -> None:
    """A straight line between two places (rows down, columns along), as the dots of the cells that it crosses."""
    (top, left), (bottom, right) = start, end
    many = math.ceil(max(2 * abs(right - left), 4 * abs(bottom - top), 1))
    for one in range(many + 1):
        x, y = left + (right - left) * one / many, top + (bottom - top) * one / many
        dots[int(y), int(x)] = dots.get((int(y), int(x)), 0) | _DOTS[int(2 * x) % 2][int(4 * y) % 4]


def inked(grid: list[list[str]], dots: dict[tuple[int, int], int], plain: bool) -> None:
    """Draws the dots of a line into a grid of cells."""
    for (row, column), bits in dots.items():
        grid[row][column] = "." if plain else chr(_BRAILLE + bits)


def _below(frame: _Frame, gutter: int, marked: Sequence[datetime.date]) -> list[str]:
    """The axis of the days: the line with its ticks and marks, the days, the dates at both ends."""
    corner, dash, notch = ("+", "-", "+") if frame.plain else ("└", "─", "┬")
    days, columns = frame.days, frame.columns
    line, numbers = [dash] * columns, [" "] * columns
    for tick in days.ticks(max(1, columns // (len(str(days.span)) + 4))):
        at = int(frame.along(days.first + datetime.timedelta(days=tick)))
        line[at] = notch
        text = str(tick)
        start = min(max(0, at - len(text) // 2), columns - len(text))
        numbers[start : start + len(text)] = text
    for day in marked:
        line[int(frame.along(day))] = _ADDED[frame.plain]
    dates = day_words(days.first, short=True)
    if days.span:
        dates += day_words(days.last, short=True).rjust(columns - len(dates))
    pad = " " * (gutter + 2)
    return [
        f"{' ' * gutter} {corner}{''.join(line)}",
        f"{'day':>{gutter}}  {''.join(numbers)}".rstrip(),
        f"{pad}{dates}",
    ]


def _legend(points: Sequence[Point], plain: bool, several: bool) -> str:
    """What the marks mean, of those that occur; ``several``: some fell into one cell."""
    found = {one.method for one in points}
    means: dict[str, list[str]] = {}
    for method in (one for one in METHOD_WORDS if one in found):
        means.setdefault(_MARKS[method][plain], []).append(METHOD_WORDS[method])
    parts = [f"{mark} {' or '.join(words)}" for mark, words in means.items()]
    return "   ".join([*parts, f"{_SEVERAL[plain]} several at once"] if several else parts)


def _wrapped(line: str, width: int) -> list[str]:
    """A line in rows of so many columns; a script whose letters take two gets half as many."""
    wide = any(unicodedata.east_asian_width(one) in "WF" for one in line)
    return textwrap.wrap(line, width // 2 if wide else width, subsequent_indent="  ")


def _clean(text: str, plain: bool) -> str:
    """Text that keeps to its line; ASCII if plain."""
    text = " ".join("".join(one if one.isprintable() else " " for one in text).split())
    if not plain:
        return text
    bare = "".join(one for one in unicodedata.normalize("NFKD", text) if not unicodedata.combining(one))
    return bare.encode("ascii", "replace").decode("ascii")


def spoken(points: Sequence[Point], of: str, fahrenheit: bool = False) -> str:
    """The course as one sentence without its full stop, for a screen reader.

    Of many readings the first, the last, the lowest, the highest and the turns are said,
    and how many there were.
    """
    if not points:
        return f"No {'pH' if of == 'ph' else 'temperature'} reading yet"
    points = sorted(points, key=lambda one: one.day)
    kept = _telling(points, _TELLING[of])
    style = Style(fahrenheit=fahrenheit)
    years = points[0].day.year != points[-1].day.year
    methods, vessels = {one.method for one in points}, {one.vessel for one in points}
    parts = []
    vessel = ""
    for one in kept:
        words = [level(one.value) if of == "ph" else reading(one.value, of, style), "on", day_words(one.day, years)]
        if len(methods) > 1 and one.method:
            words.append(how(one.method))
        if len(vessels) > 1 and one.vessel and one.vessel != vessel:
            words.append(f"in {one.vessel}")
        vessel = one.vessel
        parts.append(" ".join(words))
    text = f"{'pH' if of == 'ph' else 'Temperature'} {', '.join(parts)}"
    if len(methods) == 1 and points[0].method:
        text += f" ({points[0].method})"
    return text if len(kept) == len(points) else f"{text}; {len(points)} readings in all"


def _telling(points: Sequence[Point], least: float) -> list[Point]:
    """The readings that tell the course, in their order: all of a few; of many the ends, extremes and turns.

    A turn is the reading farthest off the straight lines between those already kept.
    """
    if len(points) <= _SPOKEN:
        return list(points)
    values = [one.value for one in points]
    kept = sorted({0, len(points) - 1, values.index(min(values)), values.index(max(values))})
    while len(kept) < _SPOKEN:
        off, turn = max(
            (_off(points, left, at, right), at) for left, right in itertools.pairwise(kept) for at in range(left, right)
        )
        if off < least:
            break
        kept = sorted([*kept, turn])
    return [points[at] for at in kept]


def _off(points: Sequence[Point], left: int, at: int, right: int) -> float:
    """How far a reading is off the straight line between two others."""
    days = (points[right].day - points[left].day).days
    part = (points[at].day - points[left].day).days / days if days else 0.0
    return abs(points[at].value - points[left].value - part * (points[right].value - points[left].value))
