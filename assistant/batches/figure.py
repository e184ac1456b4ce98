"""The course of a batch as a drawing (SVG) for its sheet: black on white, told apart by shape alone.

It holds nothing from outside, and its style is the sheet's.
"""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from html import escape

from assistant.batches.axes import (
    GUIDES,
    METHOD_WORDS,
    Days,
    Mark,
    Scale,
    days_of,
    guide_label,
    joined,
    scales,
    shown,
    unit_of,
)
from assistant.batches.batch import Point
from assistant.batches.describe import day_words

WIDTH, HEIGHT = 480, 262
LEFT, RIGHT, TOP, BOTTOM = 34, 408, 34, 208
"""The edges of the chart within the drawing, in its own units."""
STEPS = 8
_LABEL = 11
"""Least height between the labels of two limits."""
_MARK = 4.2
_REACH = 5.4
"""Half the size of a square mark, and of one that stands on its corner."""


def figure(
    points: Sequence[Point],
    of: str,
    *,
    marks: Sequence[Mark] = (),
    days: Days | None = None,
    fahrenheit: bool = False,
) -> str:
    """The drawing as an ``svg`` element; "" if there is no reading.

    Args:
        points: readings; temperatures in degrees C.
        of: "ph" or "temperature".
        marks: days on which fresh produce went in.
        days: the days to draw; those of the readings and marks if not given.
        fahrenheit: temperatures are shown in degrees F.
    """
    if not points:
        return ""
    points = sorted(points, key=lambda one: one.day)
    unit = unit_of(of, fahrenheit)
    limits = GUIDES[of]
    values = [shown(value, unit) for value in (*(one.value for one in points), *(value for value, _ in limits))]
    scale, days = scales(values, unit, STEPS)[0], days or days_of(points, marks, None)
    title = "pH" if of == "ph" else "Temperature"
    return "\n".join(
        [
            f'<svg class="course" viewBox="0 0 {WIDTH} {HEIGHT}" role="img" aria-label="{title} by day">',
            *values_axis(scale),
            *_days_axis(days),
            *limit_lines([(shown(value, unit), guide_label((value, name), unit)) for value, name in limits], scale),
            *_added(marks, days),
            *_readings(points, scale, days),
            *_legend(points, bool(marks)),
            "</svg>",
        ]
    )


def height(scale: Scale, value: float) -> float:
    """Where a value stands, from the top of the drawing."""
    return round(BOTTOM - (BOTTOM - TOP) * scale.share(value), 1)


def _x(days: Days, day: datetime.date) -> float:
    """A single day stands a little in from the axis, so that it can be seen."""
    return round(LEFT + 8 + (RIGHT - LEFT - 16) * days.share(day), 1)


def words(x: float, y: float, text: str, anchor: str = "start") -> str:
    """A piece of text at its place."""
    return f'<text x="{x:g}" y="{y:g}" text-anchor="{anchor}">{escape(text)}</text>'


def stroke(kind: str, left: tuple[float, float], right: tuple[float, float]) -> str:
    """A straight line in the sheet's manner of that kind."""
    (x, y), (to_x, to_y) = left, right
    return f'<line class="{kind}" x1="{x:g}" y1="{y:g}" x2="{to_x:g}" y2="{to_y:g}"/>'


def values_axis(scale: Scale) -> list[str]:
    """The upright axis with its round values."""
    out = [words(LEFT - 8, TOP - 12, scale.unit, "end")]
    for tick in scale.ticks:
        y = height(scale, tick)
        out += [stroke("grid", (LEFT, y), (RIGHT, y)), words(LEFT - 8, y + 4, scale.label(tick), "end")]
    return [*out, f'<path class="axis" d="M{LEFT} {TOP - 6}V{BOTTOM}H{RIGHT}"/>']


def _days_axis(days: Days) -> list[str]:
    out = [words(LEFT - 8, BOTTOM + 24, "day", "end")]
    for tick in days.ticks(8):
        x = _x(days, days.first + datetime.timedelta(days=tick))
        out += [stroke("axis", (x, BOTTOM), (x, BOTTOM + 5)), words(x, BOTTOM + 24, str(tick), "middle")]
    out.append(words(LEFT, BOTTOM + 46, day_words(days.first, short=True)))
    if days.span:
        out.append(words(RIGHT, BOTTOM + 46, day_words(days.last, short=True), "end"))
    return out


def limit_lines(limits: Sequence[tuple[float, str]], scale: Scale) -> list[str]:
    """The dashed lines with their labels to the right, each label clear of the one above."""
    out, free = [], 0.0
    for value, label in sorted(limits, reverse=True):
        y = height(scale, value)
        at = max(y + 4, free)
        free = at + _LABEL
        out += [stroke("limit", (LEFT, y), (RIGHT, y)), words(RIGHT + 6, at, label)]
    return out


def _added(marks: Sequence[Mark], days: Days) -> list[str]:
    return [_triangle(_x(days, day), BOTTOM + 1) for day in dict.fromkeys(day for day, _ in marks)]


def _triangle(x: float, y: float) -> str:
    return f'<path class="added" d="M{x:g} {y:g}l4.5 8h-9z"/>'


def _readings(points: Sequence[Point], scale: Scale, days: Days) -> list[str]:
    spots = {id(one): (_x(days, one.day), height(scale, shown(one.value, scale.unit))) for one in points}
    lines = [stroke("line", spots[id(before)], spots[id(after)]) for before, after in joined(points)]
    return lines + [_mark(one.method, *spots[id(one)]) for one in points]


def _mark(method: str, x: float, y: float) -> str:
    """A disc for a meter or thermometer, an open square for a strip, an open diamond where nobody said."""
    if method == "strip":
        return f'<rect class="open" x="{x - _MARK:g}" y="{y - _MARK:g}" width="{2 * _MARK:g}" height="{2 * _MARK:g}"/>'
    if not method:
        return (
            f'<path class="open" d="M{x:g} {y - _REACH:g}l{_REACH} {_REACH} -{_REACH} {_REACH} -{_REACH} -{_REACH}z"/>'
        )
    return f'<circle class="full" cx="{x:g}" cy="{y:g}" r="{_MARK - 0.6:g}"/>'


def _legend(points: Sequence[Point], added: bool) -> list[str]:
    """The marks that occur, in a row above the chart."""
    found = {one.method for one in points}
    out, x = [], float(LEFT + 14)
    for method in (one for one in METHOD_WORDS if one in found):
        out += [_mark(method, x, 12), words(x + 9, 16, METHOD_WORDS[method])]
        x += 26 + 8.2 * len(METHOD_WORDS[method])
    return [*out, _triangle(x, 8), words(x + 9, 16, "fresh produce")] if added else out
