"""Each rule against the two sentences it declares, and at its edges."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.replies import Caution
from assistant.rules import Facts, Rule, cautions
from assistant.rules.salt import RULES
from tests.helpers import say

SEVERITY = {"note": 0, "caution": 1, "stop": 2}


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.id)
def test_trips(rule: Rule) -> None:
    """The sentence that trips a rule brings its caution, with its source."""
    found = [one for one in say(rule.trips) if isinstance(one, Caution)]
    assert rule.id in [one.rule for one in found]
    mine = next(one for one in found if one.rule == rule.id)
    assert (rule.severity, str(rule.source)) == (mine.severity, mine.source)
    assert "{" not in mine.text


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.id)
def test_spares(rule: Rule) -> None:
    """The sentence that spares a rule is answered without its caution."""
    replies = say(rule.spares)
    assert "answer" in [one.kind for one in replies]
    assert rule.id not in [one.rule for one in replies if isinstance(one, Caution)]


def test_ids_are_unique() -> None:
    """No two rules share a name."""
    assert len(RULES) == len({rule.id for rule in RULES})


@pytest.mark.parametrize(
    ("percent", "expected"),
    [(0.5, "salt-below-one"), (0.99, "salt-below-one"), (1.0, "salt-below-two"), (1.99, "salt-below-two"),
     (2.0, None), (10.0, None), (10.01, "salt-over-ten")],
)  # fmt: skip
@pytest.mark.parametrize("calculator", ["packed", "mash"])
def test_salt_edges(percent: float, expected: str | None, calculator: str) -> None:
    """Under 1 % stops, 1 to 2 % warns, over 10 % warns; the edges themselves belong to the milder side."""
    name = "of_total" if calculator == "packed" else "of_produce"
    held = cautions(Facts(calculator, {name: percent / 100}))
    assert ([expected] if expected else []) == [rule.id for rule in held]


@pytest.mark.parametrize(
    ("ph", "expected"),
    [(3.0, []), (2.99, ["ph-odd"]), (4.0, []), (4.49, []), (4.5, ["ph-above"]), (4.6, ["ph-above"]),
     (7.0, ["ph-above"])],
)  # fmt: skip
def test_ph_edges(ph: float, expected: list[str]) -> None:
    """A reading whose error of 0.1 reaches 4.6 stops; under 3.0 the meter is doubted."""
    assert expected == [rule.id for rule in cautions(Facts("ph", {"ph": ph, "error": 0.1}))]


@given(st.floats(0.0005, 0.3), st.floats(0.0005, 0.3))
def test_less_salt_is_never_milder(left: float, right: float) -> None:
    """As the salt falls below 10 %, the worst severity never falls."""
    low, high = sorted((left, right))
    if high > 0.10:
        return

    def worst(end: float) -> int:
        held = cautions(Facts("packed", {"of_total": end}))
        return max((SEVERITY[rule.severity] for rule in held), default=-1)

    assert worst(low) >= worst(high)


@given(st.floats(4.2, 14), st.floats(4.2, 14))
def test_higher_ph_is_never_milder(left: float, right: float) -> None:
    """Above 4.2 the severity never falls as the pH rises."""
    low, high = sorted((left, right))

    def worst(ph: float) -> int:
        return max((SEVERITY[rule.severity] for rule in cautions(Facts("ph", {"ph": ph, "error": 0.1}))), default=-1)

    assert worst(low) <= worst(high)


def test_worst_comes_first() -> None:
    """Stops stand before cautions, cautions before notes."""
    facts = Facts("mash", {"of_produce": 0.005, "level": 0.9}, frozenset({"iodised"}), True)
    severities = [SEVERITY[rule.severity] for rule in cautions(facts)]
    assert sorted(severities, reverse=True) == severities
    assert 2 == severities[0]
