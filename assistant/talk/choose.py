"""Which calculator a sentence calls."""

from __future__ import annotations

from assistant.declare import Calculator
from assistant.talk.place import SPOONS, dimension, place, possible
from assistant.trade import CALCULATORS
from grammar.types import Reading

_WEIGHT = {"@": 0.9, "#": 0.4, "?": 1.5}
_TIE = 0.25


def tokens(reading: Reading) -> frozenset[str]:
    """What ``called_by`` sets are matched against: terms, @kinds, #dimensions, ?wanted."""
    found = set(reading.terms)
    found |= {f"@{word.kind}" for word in reading.all_words}
    found |= {f"#{dimension(one.unit)}" for one in reading.amounts if dimension(one.unit)}
    found |= {f"?{one}" for one in reading.wanted}
    if any(one.unit.endswith(SPOONS) for one in reading.amounts) or reading.unit.endswith(SPOONS):
        found.add("#spoon")
    if reading.terms & {"fine", "flake", "iodised", "reduced"}:
        found.add("salt")
    return frozenset(found)


def _call(calculator: Calculator, said: frozenset[str]) -> float:
    best = 0.0
    for wanted in calculator.called_by:
        if wanted <= said:
            best = max(best, sum(_WEIGHT.get(one[0], 1.0) for one in wanted))
    return best


def score(calculator: Calculator, reading: Reading, said: frozenset[str], kitchen: str) -> float:
    """How well the calculator answers the sentence; 0 or less means not at all."""
    call = _call(calculator, said)
    if not call:
        return 0.0
    found = place(calculator, reading.amounts, kitchen)
    taken = {one.name for one in found.given}
    lost = len(found.misfit)
    for amount in found.unplaced:
        lost += not possible(calculator, amount, taken)
    total = call + 0.3 * len(found.given) - 2.0 * lost
    for wanted in reading.wanted:
        total += 1.0 if wanted in calculator.wanted else -1.5
    return total


def choose(reading: Reading, kitchen: str) -> tuple[Calculator, ...]:
    """The calculators that fit best: none, one, or several that only the person can tell apart.

    Two are a question only where both start a ferment: taking a dry mash for a brine, or
    the other way, would give too little salt.
    """
    said = tokens(reading)
    ranked = sorted(
        ((score(one, reading, said, kitchen), -order, one) for order, one in enumerate(CALCULATORS)),
        key=lambda entry: entry[:2],
        reverse=True,
    )
    top, _, best = ranked[0]
    if top <= 0:
        return ()
    if not best.starts_ferment:
        return (best,)
    return tuple(one for points, _, one in ranked if points > top - _TIE and one.starts_ferment)
