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


HELD = {rule.id: rule.holds for rule in RULES}
EDGES: tuple[tuple[str, str, dict[str, float], str, bool], ...] = (
    # rule, calculator, values, words, whether it holds
    # half their space covers slices, a tenth less is let pass (common practice, no source)
    ("not-covered", "packed", {"water_volume": 0.45, "produce_volume": 1.0}, "", False),
    ("not-covered", "packed", {"water_volume": 0.449, "produce_volume": 1.0}, "", True),
    ("not-covered", "brine", {"water_volume": 0.1, "produce_volume": 1.0}, "", False),
    # FDA CPG 585.750: sauerkraut has 2 to 3 %
    ("brine-weak", "brine", {"of_water": 0.02}, "", False),
    ("brine-weak", "brine", {"of_water": 0.0199}, "", True),
    ("brine-weak", "brine", {}, "", False),
    ("brine-weak", "packed", {"of_water": 0.01}, "", False),
    # 21 CFR 114.90(a)(4), from memory: measured at 20 to 30 C
    ("ph-warm", "ph", {"temperature": 30.0}, "", False),
    ("ph-warm", "ph", {"temperature": 30.1}, "", True),
    ("ph-warm", "ph", {"temperature": 20.0}, "", False),
    ("ph-warm", "ph", {"temperature": 19.9}, "", True),
    ("ph-warm", "ph", {}, "", False),
    ("ph-warm", "hold", {"temperature": 70.0}, "", False),
    # a tenth free over brine, a quarter over mash (common practice, no source); more than all of it is no fit
    ("overfull-stop", "packed", {"level": 1.0}, "", False),
    ("overfull-stop", "packed", {"level": 1.001}, "", True),
    ("overfull-stop", "vessel", {"fill": 1.001}, "", True),
    ("overfull", "packed", {"level": 0.9}, "", False),
    ("overfull", "packed", {"level": 0.91}, "", True),
    ("overfull", "packed", {}, "brim", True),
    ("overfull", "mash", {"level": 0.75}, "", False),
    ("overfull", "mash", {"level": 0.76}, "", True),
    ("overfull", "vessel", {"level": 0.76}, "mash", True),
    ("overfull", "vessel", {"level": 0.76}, "", False),
    ("overfull", "packed", {"level": 0.76}, "mash", False),
    # a lid that lets the gas out is no closed vessel
    ("closed-vessel", "vessel", {}, "sealed", True),
    ("closed-vessel", "vessel", {}, "sealed vented", False),
    ("closed-vessel", "brine", {}, "sealed", False),
    # what went in after fermenting
    ("low-acid", "mix", {}, "garlic", True),
    ("low-acid", "top-up", {}, "raw", True),
    ("low-acid", "dilute", {}, "honey", True),
    ("low-acid", "ph", {}, "sugar", True),
    ("low-acid", "mix", {}, "chilli", False),
    ("low-acid", "packed", {}, "garlic", False),
    ("low-acid", "sweeten", {}, "mango", True),
    ("low-acid", "sweeten", {}, "sugar", False),
    # where the salt ends is judged of produce, and not of a brine that is only mixed
    ("salt-below-two", "raise", {"after": 0.019}, "", True),
    ("salt-below-two", "dilute", {"after": 0.019}, "brine", False),
    ("salt-below-two", "dilute", {"after": 0.019}, "brine mash", True),
    ("salt-below-two", "top-up", {"after": 0.019}, "brine", True),
    ("salt-below-two", "adjust", {"after": 0.019}, "", False),
    # 21 CFR 178.1010(c), from memory: rinse above 200 ppm of chlorine or 25 ppm of iodine
    ("sanitizer-strong", "sanitizer", {"ppm": 200e-6}, "bleach", False),
    ("sanitizer-strong", "sanitizer", {"ppm": 201e-6}, "bleach", True),
    ("sanitizer-strong", "sanitizer-ratio", {"ppm": 25e-6}, "iodophor", False),
    ("sanitizer-strong", "sanitizer-ratio", {"ppm": 25.1e-6}, "iodophor", True),
    ("sanitizer-strong", "brine", {"ppm": 1.0}, "", False),
    # FDA Food Code 4-501.114: 50 ppm of chlorine, 12.5 of iodine
    ("sanitizer-weak", "sanitizer", {"ppm": 50e-6}, "bleach", False),
    ("sanitizer-weak", "sanitizer", {"ppm": 49e-6}, "bleach", True),
    ("sanitizer-weak", "sanitizer", {"ppm": 12.5e-6}, "iodophor", False),
    ("sanitizer-weak", "sanitizer", {"ppm": 12.4e-6}, "iodophor", True),
    ("sanitizer-weak", "sanitizer", {}, "bleach", False),
    ("sanitizer-weak", "brine", {"ppm": 1e-6}, "", False),
    # as long as needed is enough
    ("hold-short", "hold", {"reach": 1.0}, "", False),
    ("hold-short", "filled", {"reach": 0.999}, "", True),
    ("hold-short", "hold", {}, "", False),
    ("hold-short", "equivalent", {"reach": 0.5}, "", False),
    ("mix-ph", "adjust", {"add_mash": 0.0}, "", False),
    ("mix-ph", "adjust", {"add_mash": 0.1}, "", True),
    ("mix-ph", "adjust", {}, "", False),
    # a void reading says by itself what to do, unless the meter or the strip is at fault
    ("ph-void", "ph", {"ph": 3.8}, "void", True),
    ("ph-void", "ph", {"ph": 3.8}, "void|void early", False),
    ("ph-void", "ph", {"ph": 3.8}, "", False),
    ("ph-above", "ph", {"ph": 5.0, "error": 0.1}, "void", False),
    ("ph-above", "ph", {"ph": 4.6}, "", True),
    ("ph-above", "ph", {"ph": 4.59}, "", False),
    ("ph-above", "ph", {}, "", False),
)


@pytest.mark.parametrize("edge", EDGES, ids=[f"{one[0]} {one[1]} {one[2]} {one[3]}" for one in EDGES])
def test_the_edges_of_the_cautions(edge: tuple[str, str, dict[str, float], str, bool]) -> None:
    """A caution holds from its limit on and not before, for its own calculators, and not of what is unknown."""
    rule, calculator, values, words, holds = edge
    said = frozenset(words.split("|") if "|" in words else words.split())
    assert holds == HELD[rule](Facts(calculator, values, said))


def test_what_needs_a_ferment_begun() -> None:
    """Dried, roasted and hot produce and a tight lid are warned of where a ferment starts, and not elsewhere."""
    for rule, word in (("dried", "dried"), ("roasted", "roasted"), ("gloves", "habanero"), ("closed-vessel", "sealed")):
        for starts in (True, False):
            assert starts == HELD[rule](Facts("mash", {}, frozenset({word}), starts)), rule
        assert not HELD[rule](Facts("mash", {}, frozenset(), True)), rule


def test_how_many_vessels_is_no_overfull_one() -> None:
    """Where the number of vessels is asked for, none of them is too full."""
    assert not HELD["overfull-stop"](Facts("vessel", {"level": 3.0}, goals=frozenset({"count"})))
