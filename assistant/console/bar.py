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
        unkept: whether what is said is not written to the book.
        keyed: whether the usual keys do what they say.
    """

    now: str = "nothing open"
    batch: str = ""
    units: str = ""
    walking: bool = False
    question: str = ""
    unkept: bool = False
    keyed: bool = True


LOADING = Standing(now="getting ready; what you type is kept, and Enter waits")


def bottom(standing: Standing, timers: Sequence[str], columns: int) -> str:
    """The bottom line in so many columns; its rows are parted by line breaks.

    What is needed least goes first: most keys, then the units, the last keys, the batch. A timer, and that nothing
    is kept, is never left out or cut; where they and what is needed beside them do not fit into one row, they stand in
    rows of their own.
    """
    room = max(columns - 2, 20)
    timers = [*([UNKEPT] if standing.unkept else []), *timers]
    keyed = keys.shorts(standing.walking, bool(standing.question)) if standing.keyed else []
    ways = _ways(standing, keyed)
    needed = ways[: len(ways) - LAST]
    for first, tried in ((timers, needed if timers else ways), ((), ways)):
        for parts in tried:
            row = GAP.join([*first, *parts])
            if len(row) <= room:
                return "\n".join(f" {one} " for one in [*([] if first else _rows(timers, room)), row])
    return "\n".join(f" {one} " for one in [*_rows(timers, room), cut(standing.now, room)])


UNKEPT = "NOT KEPT"
"""Stands before everything else while the book cannot be written."""
LAST = 2
"""The last ways to be shorter (no keys, no batch), before which the timers get rows of their own."""


def _ways(standing: Standing, keyed: list[str]) -> list[list[str]]:
    """The parts beside the timers, from everything to what is asked alone."""
    few = min(len(keyed), keys.WALKING if standing.walking and not standing.question else 1)
    batch = [standing.batch] if standing.batch else []
    units = [standing.units] if standing.units else []
    ways = [(batch, units, keyed[:many]) for many in range(len(keyed), few - 1, -1)]
    ways += [(batch, [], keyed[:many]) for many in range(few, 0, -1)]
    ways += [(batch, [], []), ([], [], [])]
    return [[*held, standing.now, *measured, *([", ".join(shown)] if shown else [])] for held, measured, shown in ways]


def _rows(timers: Sequence[str], room: int) -> list[str]:
    """Timers in rows; a label that is wider than a row goes on in the next one."""
    rows: list[str] = []
    for one in timers:
        if rows and len(rows[-1]) + len(GAP) + len(one) <= room:
            rows[-1] += f"{GAP}{one}"
        else:
            rows += textwrap.wrap(one, room) or [one]
    return rows
