"""Work out quantities from those that are known; say which ones are missing.

The missing list is a result, not an error: the next question is read off it.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace

from assistant.declare import Calculator, Default, Input, Limit, Relation, Worked
from grammar import measures

AGREE = 5e-3
"""How far two ways to the same quantity may differ (relative) before they contradict."""


@dataclass(frozen=True)
class Step:
    """One formula that was used: ``name`` came from ``relation``."""

    name: str
    relation: Relation


@dataclass(frozen=True)
class Assumed:
    """A default that was used."""

    name: str
    value: float
    default: Default
    kind: str = ""


@dataclass(frozen=True)
class Outside:
    """A quantity that came out (or was given) outside what is possible."""

    name: str
    value: float
    limit: Limit
    low: bool
    given: bool


@dataclass(frozen=True)
class Clash:
    """Two ways to one quantity that do not agree: as given, and as worked out."""

    name: str
    said: float
    comes_to: float
    relation: Relation


@dataclass(frozen=True)
class Outcome:
    """What evaluating gave. Values are in canonical units (measures.CANONICAL).

    Exactly one of these holds: ``missing`` is not empty, ``outside`` or ``clash`` is set, or
    every goal stands in ``values``. ``headline`` and ``lines`` come of a program (see declare.Worked).
    """

    calculator: Calculator
    goals: tuple[str, ...]
    given: Mapping[str, float]
    values: Mapping[str, float] = field(default_factory=dict)
    steps: tuple[Step, ...] = ()
    assumed: tuple[Assumed, ...] = ()
    missing: tuple[str, ...] = ()
    outside: Outside | None = None
    clash: Clash | None = None
    headline: str = ""
    lines: tuple[str, ...] = ()

    @property
    def solved(self) -> bool:
        """Whether every goal is known and nothing stands against it."""
        return not self.missing and self.outside is None and self.clash is None


def bounds(limit: Limit, dimension: str) -> tuple[float, float]:
    """A limit's two ends in the canonical unit of the dimension."""
    low = measures.canonical(limit.low, limit.unit, dimension)
    high = measures.canonical(limit.high, limit.unit, dimension)
    return low, high


def outside(item: Input, value: float, given: bool) -> Outside | None:
    """The breach of the input's limit, or None. Not-a-number and infinity breach it."""
    low, high = bounds(item.limit, item.dimension)
    slack = 1e-9 * max(abs(low), abs(high), 1e-12)
    if not math.isfinite(value):
        return Outside(item.name, value, item.limit, value < 0, given)
    if value < low - slack or (not item.limit.from_low and value <= low):
        return Outside(item.name, value, item.limit, True, given)
    if value > high + slack:
        return Outside(item.name, value, item.limit, False, given)
    return None


def default_value(item: Input, kinds: Iterable[str], shares: Mapping[str, float] | None = None) -> Assumed | None:
    """The input's default for the kinds of produce and salt that were said, if it has one.

    ``shares`` gives the weights of several kinds of produce; a default that depends on the
    kind is then their mean by weight.
    """
    if item.default is None:
        return None
    own, usual = item.default.by_kind, item.default.value
    # of a kind with no figure of its own the usual one counts: a little garlic does not speak for all
    known = {kind: share for kind, share in (shares or {}).items() if kind in own or usual is not None}
    if len(known) > 1 and own.keys() & known.keys():
        values = {kind: own[kind][0] if kind in own else usual or 0.0 for kind in known}
        mean = sum(values[kind] * share for kind, share in known.items()) / sum(known.values())
        return Assumed(item.name, measures.canonical(mean, item.default.unit, item.dimension), item.default, "+")
    for kind in kinds:
        if kind in item.default.by_kind:
            value, _ = item.default.by_kind[kind]
            amount = measures.canonical(value, item.default.unit, item.dimension)
            return Assumed(item.name, amount, item.default, kind)
    if item.default.value is None:
        return None
    amount = measures.canonical(item.default.value, item.default.unit, item.dimension)
    return Assumed(item.name, amount, item.default)


def _reach(calculator: Calculator, known: Iterable[str]) -> set[str]:
    """Everything that can be worked out once these are known (no numbers yet)."""
    have = set(known)
    grew = True
    while grew:
        grew = False
        for relation in calculator.relations:
            for name, needs in relation.needs.items():
                if name not in have and needs <= have:
                    have.add(name)
                    grew = True
    return have


def _missing(calculator: Calculator, known: set[str], goals: Iterable[str], open_goals: bool) -> tuple[str, ...]:
    """The fewest questions, in declared order, that would make the goals known.

    With ``open_goals`` the goals themselves may be asked for (nobody asked for them by
    name, so a person may well know one). Empty if no answer would do.
    """
    wanted = set(goals)
    closed = set() if open_goals else _alike(calculator, wanted)
    # what was said another way already is not asked for: litres are there, and not how salty they are
    said = {one.name for one in calculator.inputs if set(one.instead) & known}
    found = _fewest(calculator, known, wanted, closed | said) or _fewest(calculator, known, wanted, closed)
    return found or _fewest(calculator, known, wanted, set() if open_goals else wanted)


def _alike(calculator: Calculator, wanted: set[str]) -> set[str]:
    """The wanted quantities, and the same ones measured another way (water by weight and by volume)."""
    labels = {calculator.input(name).label for name in wanted}
    return {one.name for one in calculator.inputs if one.label in labels}


def _fewest(calculator: Calculator, known: set[str], wanted: set[str], closed: set[str]) -> tuple[str, ...]:
    """The fewest inputs to ask for, none of them closed; empty if they would not do."""
    asked: list[str] = []
    for item in calculator.inputs:
        reached = _reach(calculator, {*known, *asked})
        if item.ask and item.name not in reached and item.name not in closed:
            asked.append(item.name)
    if not wanted <= _reach(calculator, {*known, *asked}):
        return ()
    for name in reversed(asked[:]):
        rest = [one for one in asked if one != name]
        if wanted <= _reach(calculator, {*known, *rest}):
            asked = rest
    return tuple(asked)


def solve(
    calculator: Calculator,
    given: Mapping[str, float],
    goals: Iterable[str] = (),
    kinds: Iterable[str] = (),
    shares: Mapping[str, float] | None = None,
) -> Outcome:
    """Work out the goals from what is given, with defaults only where needed.

    Args:
        calculator: the declaration.
        given: known quantities in canonical units.
        goals: quantities wanted; the calculator's own goals if empty.
        kinds: vocabulary terms of the produce and salt, for defaults that depend on them.
        shares: weights of several kinds of produce, for the same.

    Returns:
        An Outcome; nothing is raised for numbers a person may say.
    """
    goals = tuple(goals)
    wanted = goals or tuple(one for one in calculator.goals if one not in given)
    wanted = wanted or calculator.goals
    kinds = tuple(kinds)
    for name, value in given.items():
        breach = outside(calculator.input(name), value, True)
        if breach is not None:
            return Outcome(calculator, wanted, dict(given), dict(given), outside=breach)
    values = dict(given)
    steps: list[Step] = []
    assumed: list[Assumed] = []
    clash = _chain(calculator, values, steps, given)
    for item in calculator.inputs:
        if clash is not None:
            break
        taken = default_value(item, kinds, shares) if item.name not in values else None
        if taken is not None:
            values[item.name] = taken.value
            assumed.append(taken)
            clash = _chain(calculator, values, steps, given)
    used = _used(wanted, steps, assumed)
    out = Outcome(calculator, wanted, dict(given), values, tuple(steps), used)
    needed = roots(wanted, steps) | set(wanted)
    for name in [name for name in values if name not in given]:
        breach = outside(calculator.input(name), values[name], False)
        if breach is None:
            continue
        # one that follows from the given numbers alone is their fault, wanted or not
        always = calculator.input(name).limit.always
        if name in needed or always or not roots((name,), steps) & {one.name for one in assumed}:
            return replace(out, outside=breach)
        del values[name]  # worked out on the way, of no use here
    if clash is not None:
        return replace(out, clash=clash)
    if calculator.program is not None:
        words = {*kinds, *(f"?{name}" for name in goals), *(f"={name}" for name in given)}
        return _programmed(out, calculator.program(values, frozenset(words)), assumed)
    if not set(wanted) <= values.keys():
        missing = _missing(calculator, set(values), wanted, not goals)
        return replace(out, assumed=(), missing=missing or wanted)
    return out


def _programmed(out: Outcome, worked: Worked, assumed: list[Assumed]) -> Outcome:
    """The outcome with what the calculator's program made of it, or what it must ask for."""
    if worked.missing:
        return replace(out, assumed=(), missing=worked.missing)
    used = tuple(one for one in assumed if one.name in worked.used)
    values = {**out.values, **worked.values}
    for name, value in worked.values.items():
        breach = outside(out.calculator.input(name), value, False)
        if breach is not None:
            return replace(out, values=values, assumed=used, outside=breach)
    return replace(out, values=values, assumed=used, headline=worked.headline, lines=worked.lines)


def _chain(
    calculator: Calculator, values: dict[str, float], steps: list[Step], given: Mapping[str, float]
) -> Clash | None:
    """Applies every relation that gives something new, and checks those that do not."""
    grew = True
    while grew:
        grew = False
        for relation in calculator.relations:
            for name, needs in relation.needs.items():
                if name in values or not needs <= values.keys():
                    continue
                try:
                    value = relation.give(name, values)
                except (ZeroDivisionError, OverflowError, ValueError, TypeError):
                    value = math.nan  # TypeError: a root of a negative number is complex
                values[name] = value
                steps.append(Step(name, relation))
                grew = True
    return _clash(calculator, values, steps, given)


def _clash(
    calculator: Calculator, values: Mapping[str, float], steps: list[Step], given: Mapping[str, float]
) -> Clash | None:
    """A relation whose quantities are all known and do not agree."""
    used = {id(step.relation) for step in steps}
    known = set(given) | {step.name for step in steps}
    for relation in calculator.relations:
        if id(relation) in used or not relation.names <= values.keys():
            continue
        named = [name for name in relation.solve if name in given]
        # before any default is taken, two ways from the given numbers to one quantity must agree
        for name in named or (list(relation.solve)[:1] if set(values) <= known else []):
            try:
                comes_to = relation.give(name, values)
            except (ZeroDivisionError, OverflowError, ValueError, TypeError):
                continue
            scale = max(abs(values[name]), abs(comes_to), 1e-12)
            if abs(comes_to - values[name]) > AGREE * scale:
                return Clash(name, values[name], comes_to, relation)
    return None


def _used(wanted: Iterable[str], steps: list[Step], assumed: list[Assumed]) -> tuple[Assumed, ...]:
    """The defaults that the wanted quantities rest on."""
    return tuple(one for one in assumed if one.name in roots(wanted, steps) | set(wanted))


def roots(wanted: Iterable[str], steps: Iterable[Step]) -> set[str]:
    """All quantities that the wanted ones were worked out from."""
    came = {step.name: step.relation.needs[step.name] for step in steps}
    open_, seen = list(wanted), set()
    while open_:
        name = open_.pop()
        for need in came.get(name, ()):
            if need not in seen:
                seen.add(need)
                open_.append(need)
    return seen
