"""What an answer of the talk would change of a walk's own amounts.

A walk's amounts stand in its steps, and the talk may be asked for the same sum with another number in any wording.
Here the two sums are laid side by side, so that no wording has to be known: the one that the step rests on, and the one
that the talk has just answered.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from assistant.show import said
from assistant.talk.place import dimension
from assistant.talk.state import Given, Job
from assistant.talk.work import outcome_of
from assistant.trade import calculator
from assistant.trade.produce import NAMES
from assistant.walks.facts import DIMENSION
from assistant.walks.plan import Step
from grammar import measures
from grammar.reader import read
from grammar.types import Reading

_NEAR = 1e-9
"""Relative difference up to which two values are one."""


@dataclass(frozen=True)
class Other:
    """How another sum differs from a step's own.

    Attributes:
        facts: the walk's facts as they would be, by their names.
        loose: whether something differs that no fact of the walk holds (a dose that its step fixes).
        wrong: why the walk cannot take one of them, as its step says it.
        derived: whether one of them was worked out from what was said ("200 g of salt").
    """

    facts: tuple[tuple[str, str], ...] = ()
    loose: bool = False
    wrong: str = ""
    derived: bool = False


def compared(steps: Sequence[Step], told: dict[str, str], own: Job, now: Job) -> Other | None:
    """How the sum ``now`` differs from the step's ``own``; None where it is another calculator's or the same sum.

    Args:
        steps: the steps that have told their fact.
        told: these facts, by their names.
        own: the sum of the walk's step.
        now: the sum of the talk.
    """
    if own.calculator != now.calculator:
        return None
    inputs = calculator(own.calculator)
    facts: dict[str, str] = {}
    known: set[str] = set()
    wrong = ""
    derived = False
    before, after = {one.name: one for one in own.given}, {one.name: one for one in now.given}
    for step in steps:
        of = DIMENSION.get(step.kind, "")
        names = [one.name for one in own.given if inputs.input(one.name).dimension == of]
        names = names or [one.name for one in now.given if inputs.input(one.name).dimension == of]
        if step.kind == "ph":
            names = ["ph"] if "ph" in before else []
        if len(names) != 1:
            continue
        name = names[0]
        known.add(name)
        old = before[name].value if name in before else _value(told[step.tell], of)
        held = after.get(name)
        value = held.value if held is not None else outcome_of(now).values.get(name)
        if value is None or old is None or abs(value - old) <= _NEAR * max(abs(value), abs(old)):
            continue
        if held is None and of != "fraction":
            continue  # worked out from the rest, and no fact that a person told
        derived = derived or held is None
        facts |= _words(step, told, held, value)
        shown = round(100 * value if of == "fraction" else value, 9)
        if not step.least <= shown <= step.most:
            wrong = step.beyond
    kinds = tuple(one for one in now.produce if one not in own.produce)
    fresh = [name for name, one in after.items() if name not in before and name not in known]
    fresh = [name for name in fresh if not _assumed(own, after[name])]
    moved = [
        name
        for name, one in after.items()
        if name in before and name not in known and abs(before[name].value - one.value) > _NEAR * abs(one.value)
    ]
    loose = bool(moved) or len(fresh) > (1 if derived else 0)  # what a fact is worked out from is no other thing
    if not facts and not loose:
        return None
    return Other(tuple(facts.items()), loose or (bool(kinds) and not facts), wrong, derived)


def _assumed(own: Job, one: Given) -> bool:
    """Whether an amount more is what the sum assumes or works out anyway."""
    value = outcome_of(own).values.get(one.name)
    return value is not None and abs(value - one.value) <= _NEAR * abs(one.value)


def _value(text: str, of: str) -> float | None:
    """A told fact as a canonical value; None if it holds no one amount."""
    found = read(text)
    if not isinstance(found, Reading) or len(found.amounts) != 1 or dimension(found.amounts[0].unit) != of:
        return None
    return measures.canonical(found.amounts[0].value, found.amounts[0].unit, of)


def _words(step: Step, told: dict[str, str], held: Given | None, value: float) -> dict[str, str]:
    """A fact in words, as the step itself would have kept it."""
    if held is None:
        return {step.tell: f"{100 * value:.4g}%"}
    if step.kind == "vessel":
        noun = held.amount.said("vessel") or told[step.tell].split()[-1]
        return {step.tell: f"{said(held.amount.value, held.amount.unit)} {noun}"}
    if step.kind != "produce":
        return {step.tell: held.said}
    old = told.get(f"{step.tell}_kind", "chillies")
    kinds = [NAMES.get(one.said("produce"), "") or old for one in held.amounts]
    parts = [f"{said(one.value, one.unit)} of {kind}" for one, kind in zip(held.amounts, kinds, strict=True)]
    return {step.tell: " and ".join(parts), f"{step.tell}_kind": kinds[0]}
