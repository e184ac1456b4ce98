"""Cautions: what a careful practitioner would say about an answer's numbers.

A rule is data: what it looks at, when it holds, the sentence, the source, and two
sentences a person could say, one that trips it and one that spares it. Its tests are made
from those two.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field

from assistant.declare import Source


@dataclass(frozen=True)
class Facts:
    """What a rule may look at: the answer's values (canonical units) and the words said."""

    calculator: str
    values: Mapping[str, float]
    words: frozenset[str] = frozenset()
    starts_ferment: bool = False
    given: frozenset[str] = frozenset()
    goals: frozenset[str] = frozenset()

    def get(self, *names: str) -> float | None:
        """The first of the named values that is known."""
        for name in names:
            if name in self.values:
                return self.values[name]
        return None


@dataclass(frozen=True)
class Rule:
    """One caution.

    Attributes:
        severity: "note", "caution" or "stop"; a stop withholds the go-ahead, never a number.
        looks_at: the quantities it needs (any of them), for the reference.
        holds: the predicate.
        sentence: what it says; ``{name}`` is replaced by a quantity in words.
        instead_of: rules that this one makes superfluous when it holds.
    """

    id: str
    severity: str
    looks_at: tuple[str, ...]
    holds: Callable[[Facts], bool]
    sentence: str
    source: Source
    trips: str
    spares: str
    instead_of: tuple[str, ...] = field(default=())


def cautions(facts: Facts, rules: Iterable[Rule] | None = None) -> list[Rule]:
    """The rules that hold, worst first, those made superfluous left out."""
    from assistant.rules.salt import RULES  # the module needs Rule from here

    held = [rule for rule in (RULES if rules is None else rules) if rule.holds(facts)]
    dropped = {one for rule in held for one in rule.instead_of}
    order = {"stop": 0, "caution": 1, "note": 2}
    return sorted((rule for rule in held if rule.id not in dropped), key=lambda rule: order[rule.severity])
