"""A bench trial as a curve: what went into a weighed sample so far, and the pH after it.

A sauce is buffered by much that nobody measured, so its own curve is all that is known of it. Between two
points the pH is read on a straight line, which shows at a glance how much rests on which reading; outside the
points nothing is said at all.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

Point = tuple[float, float]
"""kg that went into the sample in all, and the pH read after it."""


@dataclass(frozen=True)
class Between:
    """A dose read off the curve, in kg per sample, with the two points it lies between."""

    dose: float
    before: Point
    after: Point


@dataclass(frozen=True)
class Band:
    """The dose for a pH, and the doses for a pH a reading's error higher and lower.

    ``least`` and ``most`` are None where the curve was not measured so far.
    """

    at: Between
    least: float | None
    most: float | None


class RisesError(ValueError):
    """The pH rose while acid went in, by more than the meter can be off."""

    def __init__(self, before: Point, after: Point) -> None:
        super().__init__("the pH rises")
        self.before, self.after = before, after


def level(points: Sequence[Point], error: float) -> tuple[Point, ...]:
    """The curve with small rises levelled, so that more acid never means a higher pH.

    Readings that stand the wrong way round by no more than the meter can be off both times share their
    mean (pooling of adjacent violators, the least-squares monotone fit).

    Args:
        points: by rising dose.
        error: what a reading may be off.

    Raises:
        RisesError: a rise is larger than that; one of the two readings is wrong.
        ValueError: fewer than two points, or doses that do not rise.
    """
    if len(points) < 2 or any(one[0] >= other[0] for one, other in pairwise(points)):
        raise ValueError("a curve has two points or more, each with more in than the one before")
    for one, other in pairwise(points):
        if other[1] - one[1] > 2 * error + 1e-9:
            raise RisesError(one, other)
    pools: list[list[float]] = []
    for _, ph in points:
        pools.append([ph])
        while len(pools) > 1 and _mean(pools[-1]) > _mean(pools[-2]):
            last = pools.pop()
            pools[-1] += last
    levels = [_mean(pool) for pool in pools for _ in pool]
    return tuple((dose, ph) for (dose, _), ph in zip(points, levels, strict=True))


def _mean(values: Sequence[float]) -> float:
    return sum(values) / len(values)


def dose_for(curve: Sequence[Point], ph: float) -> Between | None:
    """The dose that brings the sample to a pH; the larger one where the curve is flat. None outside the curve."""
    if not curve[-1][1] - 1e-12 <= ph <= curve[0][1] + 1e-12:
        return None
    for before, after in reversed(list(pairwise(curve))):
        if after[1] - 1e-12 <= ph <= before[1] + 1e-12:
            fall = before[1] - after[1]
            part = (before[1] - ph) / fall if fall > 1e-12 else 1.0
            return Between(before[0] + min(max(part, 0.0), 1.0) * (after[0] - before[0]), before, after)
    return None  # pragma: no cover - a falling curve holds every pH between its ends


def ph_after(curve: Sequence[Point], dose: float) -> float | None:
    """The pH after a dose, read on the same straight lines; None outside the curve."""
    for before, after in pairwise(curve):
        if before[0] <= dose <= after[0]:
            return before[1] + (after[1] - before[1]) * (dose - before[0]) / (after[0] - before[0])
    return None


def band(points: Sequence[Point], ph: float, error: float) -> Band | None:
    """The dose for a pH with its band; None outside what was measured.

    Raises:
        RisesError, ValueError: see ``level``.
    """
    curve = level(points, error)
    at = dose_for(curve, ph)
    if at is None:
        return None
    least, most = dose_for(curve, ph + error), dose_for(curve, ph - error)
    return Band(at, least.dose if least is not None else None, most.dose if most is not None else None)
