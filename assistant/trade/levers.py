"""Several targets reached together: how much of each thing goes in.

What a sauce should come to (salt, acetic acid, sugar, gum, heat, litres) are equations in the weights of what can go
in, and each is linear in them but for the litres, which bend a little with the salt. The sum is small (at
most six things, at most six targets), so it is done exactly and not by a solver from a library: a best answer of
a linear program lies where as many things are used as there are targets met to the letter; every such choice is
one small system of equations, and the best of all of them is taken. The same sum, run through a library's linear
program, is a test. Nothing can be taken out: no weight is below zero.
"""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from assistant.trade.mixture import Measure, Mixture

LITRES, KILOGRAMS = "litres", "kilograms"

_ZERO = 1e-9
_ROUNDS = 25
"""Rounds for the litres, which bend: each closes the gap to less than a hundredth of itself."""


@dataclass(frozen=True)
class Target:
    """What the sauce should come to: a share by weight, or in all so many kg or L (``measure`` says which)."""

    name: str
    value: float
    measure: Measure | str


@dataclass(frozen=True)
class Plan:
    """What goes in, in kg by lever, and what it comes to.

    ``missed`` are the targets that are not met, ``clash`` the fewest that cannot be had together
    (empty if all are met).
    """

    added: Mapping[str, float]
    after: Mixture
    missed: tuple[str, ...] = ()
    clash: tuple[str, ...] = ()


@dataclass(frozen=True)
class _Row:
    """One target as an equation: the sum of ``of`` times the weights comes to ``to``; a miss counts ``weight``."""

    of: tuple[float, ...]
    to: float
    weight: float


def reached(target: Target, mixture: Mixture) -> float:
    """What a mixture comes to by the target's measure."""
    if isinstance(target.measure, Measure):
        return target.measure(mixture)
    return mixture.volume if target.measure == LITRES else mixture.mass


def _part(mixture: Mixture, names: Sequence[str]) -> float:
    return float(sum(getattr(mixture, name) for name in names))


def _row(target: Target, start: Mixture, things: Sequence[Mixture], now: Mixture) -> _Row:
    """The target's equation; litres by their slope where ``now`` stands."""
    if target.measure == KILOGRAMS:
        return _Row(tuple(one.mass for one in things), target.value - start.mass, 1 / max(target.value, _ZERO))
    if not isinstance(target.measure, Measure):
        step = 1e-4 * max(now.mass, 1e-9)
        slopes = tuple(((now + one.share(step / one.mass)).volume - now.volume) / step * one.mass for one in things)
        return _Row(slopes, target.value - now.volume, 1 / max(target.value, _ZERO))
    over, of = target.measure.over, target.measure.of
    weights = tuple(_part(one, over) - target.value * _part(one, of) for one in things)
    to = target.value * _part(start, of) - _part(start, over)
    # a miss is counted against what the target asks for; of a target of nothing, against what there is
    scale = max(target.value * _part(start, of), _part(start, over), _ZERO)
    return _Row(weights, to, 1 / scale)


def _solve(rows: Sequence[Sequence[float]], to: Sequence[float]) -> tuple[float, ...] | None:
    """The weights that meet as many equations as there are weights, or None if they are not independent."""
    size = len(to)
    table = [[*row, value] for row, value in zip(rows, to, strict=True)]
    for column in range(size):
        pivot = max(range(column, size), key=lambda at: abs(table[at][column]))
        if abs(table[pivot][column]) < 1e-12:
            return None
        table[column], table[pivot] = table[pivot], table[column]
        for at in range(size):
            if at != column:
                factor = table[at][column] / table[column][column]
                table[at] = [one - factor * other for one, other in zip(table[at], table[column], strict=True)]
    return tuple(table[at][size] / table[at][at] for at in range(size))


def _best(rows: Sequence[_Row], count: int, size: float) -> tuple[tuple[float, ...], float] | None:
    """The weights with the least miss, and of those the least put in; with that miss.

    Every choice of things and of as many targets met to the letter is one corner of the linear program.
    """
    found: tuple[tuple[float, float], tuple[float, ...], float] | None = None
    for many in range(min(count, len(rows)) + 1):
        for things in itertools.combinations(range(count), many):
            for met in itertools.combinations(range(len(rows)), many):
                exact = _solve([[rows[at].of[one] for one in things] for at in met], [rows[at].to for at in met])
                if exact is None or any(one < -_ZERO * size for one in exact):
                    continue
                amounts = [0.0] * count
                for one, value in zip(things, exact, strict=True):
                    amounts[one] = max(value, 0.0)
                miss = sum(row.weight * abs(_lack(row, amounts)) for row in rows)
                rank = (round(miss, 9), sum(amounts))
                if found is None or rank < found[0]:
                    found = (rank, tuple(amounts), miss)
    return None if found is None else found[1:]


def _lack(row: _Row, amounts: Sequence[float]) -> float:
    return sum(one * value for one, value in zip(row.of, amounts, strict=True)) - row.to


def plan(start: Mixture, levers: Mapping[str, Mixture], targets: Sequence[Target]) -> Plan:
    """What must go in, and the nearest to it where the targets cannot be had together.

    Nearest is the least sum of misses, each counted against what its target asks for. Of several ways
    that meet all targets the one that puts in least is taken.

    Args:
        start: the sauce as it is.
        levers: 1 kg of each thing that can go in.
        targets: what it should come to.

    Raises:
        ValueError: nothing to start from, or nothing asked for.
    """
    if not start.mass or not targets:
        raise ValueError("nothing to adjust")
    names = tuple(levers)
    amounts = _amounts(start, [levers[name] for name in names], targets)
    after = start
    for name, amount in zip(names, amounts, strict=True):
        after = after + levers[name].share(amount)
    missed = tuple(one.name for one in targets if not _met(one, after))
    clash = _clash(start, [levers[name] for name in names], targets) if missed else ()
    return Plan(dict(zip(names, amounts, strict=True)), after, missed, clash)


def _amounts(start: Mixture, things: Sequence[Mixture], targets: Sequence[Target]) -> tuple[float, ...]:
    """The best weights; with litres among the targets again and again, until they stand still."""
    amounts = tuple(0.0 for _ in things)
    for _ in range(_ROUNDS):
        now = start
        for one, amount in zip(things, amounts, strict=True):
            now = now + one.share(amount)
        rows = []
        for target in targets:
            row = _row(target, start, things, now)
            if target.measure == LITRES:  # its slope holds from where it stands, the others count from the start
                here = sum(slope * amount for slope, amount in zip(row.of, amounts, strict=True))
                row = _Row(row.of, row.to + here, row.weight)
            rows.append(row)
        best = _best(rows, len(things), start.mass)
        assert best is not None  # putting in nothing is always one of the choices
        moved = max((abs(one - other) for one, other in zip(best[0], amounts, strict=True)), default=0.0)
        amounts = best[0]
        if moved < 1e-10 * start.mass or all(one.measure != LITRES for one in targets):
            break
    return amounts


def _met(target: Target, after: Mixture) -> bool:
    """Whether it comes to the target, to a part in a million of it."""
    return abs(reached(target, after) - target.value) <= 1e-6 * max(target.value, 1e-3)


def _clash(start: Mixture, things: Sequence[Mixture], targets: Sequence[Target]) -> tuple[str, ...]:
    """The fewest targets that cannot be met together."""
    for many in range(1, len(targets) + 1):
        for some in itertools.combinations(targets, many):
            amounts = _amounts(start, things, some)
            after = start
            for one, amount in zip(things, amounts, strict=True):
                after = after + one.share(amount)
            if not all(_met(one, after) for one in some):
                return tuple(one.name for one in some)
    return ()
