"""A heating drawn: temperature over minutes, for a terminal and for the sheet of a batch.

The one line that matters is drawn with it: under 60 C (140 F) nothing is credited.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from assistant.batches import figure as svg
from assistant.batches.axes import SERIES, scales, shown
from assistant.batches.chart import NARROWEST, inked, stroke
from assistant.show import number
from assistant.trade.lethality import COUNTS_FROM

_ROWS = 9
_GUIDE = ("╌", "- ")


def _steps(span: float, most: int) -> list[float]:
    """Round minutes from nought to the end, at most so many steps; of less than a minute, tenths of one."""
    series = (*(one / 10 for one in SERIES[:3]), *SERIES)
    step = next((one for one in series if span <= one * most), span)
    return [step * one for one in range(int(span / step + 1e-9) + 1)]


def drawing(
    minutes: Sequence[float],
    degrees: Sequence[float],
    *,
    width: int = 60,
    plain: bool = False,
    fahrenheit: bool = False,
) -> list[str]:
    """The course as lines of text, none longer than ``width``.

    Args:
        minutes: since the start, in order.
        degrees: degrees C, one for each of the minutes.
        width: columns, NARROWEST or more.
        plain: ASCII only.
        fahrenheit: temperatures are shown in degrees F.
    """
    unit = "F" if fahrenheit else "C"
    scale = min(
        scales([shown(one, unit) for one in (*degrees, COUNTS_FROM)], unit, _ROWS),
        key=lambda one: one.step / (_ROWS // one.count),
    )
    rows = _ROWS - _ROWS % scale.count + 1
    gutter = max(3, *(len(scale.label(one)) for one in scale.ticks))
    columns = max(width, NARROWEST) - gutter - 2
    span = (minutes[-1] - minutes[0]) or 1.0

    def spot(minute: float, value: float) -> tuple[float, float]:
        down = (1 - scale.share(shown(value, unit))) * (rows - 1) + 0.5
        return min(max(down, 0.0), rows - 0.001), (minute - minutes[0]) / span * (columns - 1) + 0.5

    grid = [[" "] * columns for _ in range(rows)]
    limit = math.floor(spot(minutes[0], COUNTS_FROM)[0] + 1e-9)
    grid[limit] = list((_GUIDE[plain] * columns)[:columns])
    dots: dict[tuple[int, int], int] = {}
    places = [spot(*one) for one in zip(minutes, degrees, strict=True)]
    for here, there in pairwise(places):
        stroke(dots, here, there)
    inked(grid, dots, plain)
    ticks = {math.floor((1 - scale.share(one)) * (rows - 1) + 0.5 + 1e-9): scale.label(one) for one in scale.ticks}
    notch, side, corner, dash, tee = ("+", "|", "+", "-", "+") if plain else ("┤", "│", "└", "─", "┬")
    out = [f"{unit:>{gutter}}"]
    for row, cells in enumerate(grid):
        out.append(f"{ticks.get(row, ''):>{gutter}} {notch if row in ticks else side}{''.join(cells)}".rstrip())
    line, names = [dash] * columns, [" "] * columns
    for minute in _steps(span, max(1, columns // 8)):
        at = int(minute / span * (columns - 1) + 0.5)
        line[at] = tee
        text = number(minute)
        start = min(max(0, at - len(text) // 2), columns - len(text))
        names[start : start + len(text)] = text
    out.append(f"{' ' * gutter} {corner}{''.join(line)}")
    out.append(f"{'min':>{gutter}}  {''.join(names)}".rstrip())
    edge = "140 F" if fahrenheit else "60 C"
    out.append(f"{(_GUIDE[plain] * 2).strip()} {edge}: nothing under it is credited")
    return out


def figure(minutes: Sequence[float], degrees: Sequence[float], fahrenheit: bool = False) -> str:
    """The course as an ``svg`` element, in the manner of the other drawings of the sheet."""
    unit = "F" if fahrenheit else "C"
    scale = scales([shown(one, unit) for one in (*degrees, COUNTS_FROM)], unit, svg.STEPS)[0]
    span = (minutes[-1] - minutes[0]) or 1.0

    def x(minute: float) -> float:
        return round(svg.LEFT + 8 + (svg.RIGHT - svg.LEFT - 16) * (minute - minutes[0]) / span, 1)

    line = " ".join(
        f"{x(minute):g},{svg.height(scale, shown(value, unit)):g}"
        for minute, value in zip(minutes, degrees, strict=True)
    )
    axis = [svg.words(svg.LEFT - 8, svg.BOTTOM + 24, "min", "end")]
    for minute in _steps(span, 8):
        at = x(minutes[0] + minute)
        axis += [svg.stroke("axis", (at, svg.BOTTOM), (at, svg.BOTTOM + 5))]
        axis += [svg.words(at, svg.BOTTOM + 24, number(minute), "middle")]
    edge = "140 F" if fahrenheit else "60 C"
    return "\n".join(
        [
            f'<svg class="course" viewBox="0 0 {svg.WIDTH} {svg.HEIGHT - 22}" role="img" '
            'aria-label="Temperature by minute">',
            *svg.values_axis(scale),
            *axis,
            *svg.limit_lines([(shown(COUNTS_FROM, unit), f"{edge} counts")], scale),
            f'<polyline class="line" fill="none" points="{line}"/>',
            "</svg>",
        ]
    )
