"""The bottom line: the timers, what is asked, the open batch, the units, and the few keys, as far as there is room."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from dataclasses import dataclass

from assistant.console import keys
from assistant.console.looks import cut

GAP = " | "


@dataclass(frozen=True)
class Standing:
    """Where the talk stands, in words that are ready to be shown.

    Attributes:
        now: what is being asked, the step of the walk, or what the last answer stands on.
        batch: the open batch, "" if none is.
        units: the units in use.
        walking: whether a walk is under way; its single keys work then.
        question: the open question, "" if none is.
    """

    now: str = "nothing open"
    batch: str = ""
    units: str = ""
    walking: bool = False
    question: str = ""


LOADING = Standing(now="getting ready; what you type is kept, and Enter waits")


def bottom(standing: Standing, timers: Sequence[str], columns: int) -> str:
    """The bottom line in so many columns; its rows are parted by line breaks.

    What is needed least goes first: keys from the last, then the units, then the batch. A timer is never
    left out or cut; where timers and the rest do not fit into one row, they stand in rows of their own.
    """
    room = max(columns - 2, 20)
    tail = keys.shorts(standing.walking and not standing.question)
    row = _fitting([*timers], standing, tail, room)
    if row is not None:
        return f" {row} "
    rows = _rows(timers, room)
    rows.append(_fitting([], standing, tail, room) or cut(standing.now, room))
    return "\n".join(f" {one} " for one in rows)


def _fitting(first: list[str], standing: Standing, tail: list[str], room: int) -> str | None:
    """Everything in one row, with as much left out as must be; None if it does not fit."""
    batch = [standing.batch] if standing.batch else []
    units = [standing.units] if standing.units else []
    ways = [(batch, units, tail[:many]) for many in range(len(tail), 0, -1)]
    for held, measured, shown in [*ways, (batch, units, []), (batch, [], []), ([], [], [])]:
        row = GAP.join([*first, *held, standing.now, *measured, *([", ".join(shown)] if shown else [])])
        if len(row) <= room:
            return row
    return None


def _rows(timers: Sequence[str], room: int) -> list[str]:
    """Timers in rows; a label that is wider than a row goes on in the next one."""
    rows: list[str] = []
    for one in timers:
        if rows and len(rows[-1]) + len(GAP) + len(one) <= room:
            rows[-1] += f"{GAP}{one}"
        else:
            rows += textwrap.wrap(one, room) or [one]
    return rows
