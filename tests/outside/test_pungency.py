"""Scoville heat against a published assay and hand-worked blends."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.evaluate import Outcome, solve
from assistant.trade import calculator
from assistant.trade.pungency import OF_KIND, RANGES


def answer(name: str, *words: str, **given: float) -> Outcome:
    """A calculator's outcome, which must be an answer."""
    outcome = solve(calculator(name), given, kinds=words)
    assert outcome.solved, outcome
    return outcome


def test_capsaicinoids_to_scoville() -> None:
    """The factor of 16 gives the printed figure of an assay."""
    # Al Othman et al. 2011, Molecules 16:8919: 4249.0 ug/g of capsaicin is printed as 67,984.60 SHU
    assert answer("heat-units", capsaicinoids=4249.0e-6).values["heat"] == pytest.approx(67_984.60, abs=1)
    # AOAC 995.03 reckons 15 SHU for each ug/g, which is said in the answer
    assert 15 / 16 == pytest.approx(1 - 0.0625)


@pytest.mark.parametrize(
    ("sauce", "left", "mild"),
    # worked by hand: a third of the heat is three times the weight; a quarter four times
    [(2.0, 1 / 3, 4.0), (3.0, 0.5, 3.0), (4.0, 0.25, 12.0)],
)
def test_cooling_down(sauce: float, left: float, mild: float) -> None:
    """How much mild stuff leaves a part of the heat."""
    found = answer("heat-down", sauce=sauce, left=left)
    assert found.values["mild"] == pytest.approx(mild)


def test_mild_stuff_with_its_own_heat() -> None:
    """What is added counts with its own heat."""
    # worked by hand: 2 kg at 30,000 and x at 2,500 make 10,000: 60,000 + 2.5x = 10 (2 + x), x = 40 / 7.5 = 5.333 kg
    found = answer("heat-down", sauce=2.0, heat_now=30_000, heat_after=10_000, mild_heat=2500)
    assert found.values["mild"] == pytest.approx(5.3333, abs=0.0001)


def test_a_blend_is_weighted_by_mass() -> None:
    """100 g at 30,000 in 400 g in all is 7,500; put into 400 g it is 6,000."""
    # worked by hand: 3,000,000 / 400; 3,000,000 / 500
    known = {"first": 0.1, "first_heat": 30_000.0, "second_heat": 0.0}
    assert answer("heat-blend", second=0.3, **known).values["low"] == pytest.approx(7500)
    assert answer("heat-blend", second=0.4, **known).values["low"] == pytest.approx(6000)


def test_a_variety_gives_a_range() -> None:
    """A kilo of habanero in four is a quarter of its range (100,000 to 350,000 SHU, from memory)."""
    found = answer("heat-blend", f"first{OF_KIND}habanero", f"second{OF_KIND}sweet-pepper", first=1.0, second=3.0)
    # worked by hand: 100,000 / 4 and 350,000 / 4
    assert (found.values["low"], found.values["high"]) == pytest.approx((25_000, 87_500))


def test_the_dry_weight() -> None:
    """A figure of the dry weight times the dry share is that of the fresh pods."""
    # worked by hand: red chillies are 88.02 % water (USDA NDB 11819): 50,000 x 0.1198
    found = answer("heat-dry", "chilli", dry_heat=50_000)
    assert found.values["fresh_heat"] == pytest.approx(5990)


def test_the_heat_of_varieties() -> None:
    """Fresh pods by variety as general literature has them (from memory); what is no chilli has no heat at all."""
    hot = {one: heat for one, heat in RANGES.items() if heat != (0, 0)}
    assert hot == {
        "poblano": (1000, 2000), "jalapeno": (2500, 8000), "serrano": (10_000, 25_000), "cayenne": (30_000, 50_000),
        "thai": (50_000, 100_000), "habanero": (100_000, 350_000), "superhot": (1_000_000, 1_500_000),
    }  # fmt: skip
    mild = {"sweet-pepper", "carrot", "onion", "garlic", "mango", "tomato", "pineapple", "cabbage", "cucumber"}
    assert mild <= RANGES.keys() - hot.keys()


@given(st.sampled_from(sorted(RANGES)), st.sampled_from(sorted(RANGES)), st.floats(0.01, 50), st.floats(0.01, 50))
def test_no_blend_is_hotter_than_its_hottest_part(one: str, other: str, first: float, second: float) -> None:
    """The range of a blend lies between those of its parts, low under high."""
    words = (f"first{OF_KIND}{one}", f"second{OF_KIND}{other}")
    found = answer("heat-blend", *words, first=first, second=second).values
    assert found["low"] <= found["high"] + 1e-9
    assert min(RANGES[one][0], RANGES[other][0]) - 1e-6 <= found["low"]
    assert found["high"] <= max(RANGES[one][1], RANGES[other][1]) + 1e-6
