"""Times of two numbers, "10:05": hours and minutes by the clock, or minutes and seconds since a start.

One rule for what is said and for what is logged. A count of minutes begins at nothing, and a heating lasts more than a
minute; a clock shows no hour over 23, and its minutes do not run backwards but at noon and at midnight. Where both
remain it is open, and whoever reads it asks: by the clock the same figures are sixty times as long.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

CLOCK, COUNT, OPEN = "clock", "count", "open"
DAY, HALF_DAY = 1440.0, 720.0
"""Minutes."""
_LATE_HOUR = 6
"""From this hour on no count of minutes begins (common practice, no source)."""
_SPARSE = 10
"""Steps from which on a row that begins early may be either: a reading every ten seconds, or every ten minutes."""


@dataclass(frozen=True)
class Kind:
    """How such times are read, and whether they can be read in no other way."""

    name: str
    sure: bool


def kind(times: Sequence[tuple[int, int]]) -> Kind:
    """How a row of times of two numbers is read.

    Args:
        times: the two numbers of each, in the order of the row.
    """
    if any(hour > 23 for hour, _ in times):
        return Kind(COUNT, True)
    if not times:
        return Kind(CLOCK, False)
    at = [hour * 60 + minute for hour, minute in times]
    if any(later < earlier for earlier, later in pairwise(at)):
        return Kind(CLOCK, True)
    first, last = times[0][0], times[-1][0]
    if first == 0:
        return Kind(OPEN if last == 0 and len(times) > 1 else COUNT, False)
    if first >= _LATE_HOUR:
        return Kind(CLOCK, first > 12)
    steps = [later - earlier for earlier, later in pairwise(at) if later > earlier]
    from statistics import median  # a plain question need not wait for it

    return Kind(CLOCK if not steps or median(steps) < _SPARSE else OPEN, False)


class Clock:
    """Minutes of clock times in their order, over midnight, and over noon on a dial of twelve hours."""

    def __init__(self, half: bool = False) -> None:
        self._last, self._base, self._half = -1.0, 0.0, half

    def __call__(self, minutes: float) -> float:
        """Minutes since the midnight before the first time.

        Args:
            minutes: since midnight, as the clock shows it.
        """
        now = minutes + self._base
        if now < self._last - HALF_DAY:
            self._base += DAY
        elif now < self._last and not self._half and self._at_one(now):
            self._base += HALF_DAY
        self._last = minutes + self._base
        return self._last

    def _at_one(self, now: float) -> bool:
        """Whether a dial went on from twelve to one: "12:55, 1:00"."""
        return self._last % HALF_DAY < 60 and 0 <= now + HALF_DAY - self._last <= 60
