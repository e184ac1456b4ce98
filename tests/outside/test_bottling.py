"""Bottles, headspace and what so many bottles take, against counts of the trade and figures worked by hand."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.evaluate import Outcome, solve
from assistant.trade import calculator
from grammar.measures import convert
from tests.helpers import say, value

GALLON = convert(1, "us_gallon", "liter")
FIVE = convert(5, "us_fluid_ounce", "liter")


def made(**known: float) -> Outcome:
    """What the calculator makes of it, which must be an answer."""
    outcome = solve(calculator("bottling"), known)
    assert outcome.solved, outcome
    return outcome


@pytest.mark.parametrize(
    ("litres", "size", "bottles", "left"),
    [
        # common practice, no source: a gallon is counted as 24 bottles of 5 fl oz; 128 x 0.94 = 120.32 fl oz
        (GALLON, FIVE, 24, 0.32 / 128 * GALLON),
        # common practice, no source: nine litres in 148 mL bottles are 57; worked by hand: 8460 - 57 x 148 = 24 mL
        (9.0, 0.148, 57, 0.024),
        # worked by hand: 4200 x 0.94 = 3948 = 26 x 150 + 48; 1000 x 0.94 = 940 = 9 x 100 + 40
        (4.2, 0.15, 26, 0.048),
        (1.0, 0.1, 9, 0.04),
    ],
)
def test_bottles_of_a_sauce(litres: float, size: float, bottles: int, left: float) -> None:
    """Full bottles only, and what is left over, after 6 % that stays behind."""
    found = made(sauce_volume=litres, bottle_size=size)
    assert found.values["full_bottles"] == bottles
    assert found.values["left_over"] == pytest.approx(left, abs=1e-4)


def test_a_bottle_that_comes_out_even_is_full() -> None:
    """Rounding of the sum costs no bottle."""
    # worked by hand: 3 L with nothing lost are exactly 20 x 150 mL; 0.3 / 0.1 is 2.9999999999999996 in binary
    assert made(sauce_volume=3.0, bottle_size=0.15, loss=0.0).values["full_bottles"] == 20
    even = made(sauce_volume=0.3, bottle_size=0.1, loss=0.0).values
    assert (even["full_bottles"], even["left_over"]) == (3, 0)


def test_too_little_for_one_bottle() -> None:
    """Refused, not answered with no bottle."""
    assert not solve(calculator("bottling"), {"sauce_volume": 0.1, "bottle_size": 0.15}).solved
    assert "refuse" in [one.kind for one in say("how many 150 ml bottles from 100 ml")]


@pytest.mark.parametrize(
    ("neck", "gap", "millilitres"),
    # worked by hand, dm and pi/4 d^2 h: 2 cm wide, 1.27 cm deep 3.990; 1.5 cm, 2 cm 3.534; 6 cm, 1.27 cm 35.908
    [(0.2, 0.127, 3.990), (0.15, 0.2, 3.534), (0.6, 0.127, 35.908)],
)
def test_a_length_of_headspace_is_a_cylinder_of_the_neck(neck: float, gap: float, millilitres: float) -> None:
    """And the other way: so much left empty stands so far below the brim."""
    found = made(sauce_volume=4.0, bottle_size=0.15, neck=neck, gap=gap)
    assert 1000 * found.values["bottle_headspace"] == pytest.approx(millilitres, abs=0.001)
    back = made(sauce_volume=4.0, bottle_size=0.15, neck=neck, bottle_headspace=millilitres / 1000)
    assert back.values["gap"] == pytest.approx(gap, abs=1e-4)


def test_a_length_without_the_neck_is_asked_about() -> None:
    """Half an inch is no volume until the neck's width is known."""
    found = solve(calculator("bottling"), {"bottle_size": 0.15, "gap": 0.127, "sauce_volume": 4.0})
    assert found.missing == ("neck",)


@pytest.mark.parametrize(
    "said",
    # worked by hand: 4 x 0.94 = 3.76 L; / 0.135 = 27.85
    [{"bottle_headspace": 0.015}, {"headroom": 0.1}, {"fill_share": 0.9}, {"bottle_fill": 0.135}],
)
def test_four_ways_to_say_how_full(said: dict[str, float]) -> None:
    """What is left empty, its share, the share filled, and what goes in are one thing."""
    found = made(sauce_volume=4.0, bottle_size=0.15, **said)
    assert found.values["bottle_fill"] == pytest.approx(0.135)
    assert found.values["full_bottles"] == 27


def test_sauce_mash_and_produce_for_bottles() -> None:
    """100 bottles of 150 mL back to the chillies."""
    # worked by hand: 15 / 0.94 = 15.957 L = kg; / 0.7 = 22.796 kg of mash; x 0.97 = 22.112 kg of produce
    found = made(bottles=100, bottle_size=0.15)
    for name, number in (("sauce_volume", 15.957), ("mash", 22.796), ("produce", 22.112)):
        assert found.values[name] == pytest.approx(number, abs=0.001)


def test_a_loss_said_in_millilitres() -> None:
    """Added once to what so many bottles take, taken once off what there is."""
    # worked by hand: 60 x 0.15 + 0.2 = 9.2 L; 9.2 - 0.2 = 9 L is 60 bottles
    assert made(bottles=60, bottle_size=0.15, lost=0.2).values["sauce_volume"] == pytest.approx(9.2)
    assert made(sauce_volume=9.2, bottle_size=0.15, lost=0.2).values["full_bottles"] == 60


@given(st.integers(1, 1000), st.floats(0.03, 2.0), st.floats(0.0, 0.4), st.floats(0.9, 1.2))
def test_the_sauce_for_bottles_fills_them(count: int, size: float, loss: float, density: float) -> None:
    """What so many bottles take fills just so many, said by volume or by weight."""
    there = made(bottles=float(count), bottle_size=size, loss=loss, sauce_density=density)
    litres, kilos = there.values["sauce_volume"], there.values["sauce"]
    assert made(sauce_volume=litres, bottle_size=size, loss=loss).values["full_bottles"] == count
    by_weight = made(sauce=kilos, sauce_density=density, bottle_size=size, loss=loss)
    assert by_weight.values["full_bottles"] == count


@pytest.mark.parametrize(
    ("bottles", "per_case", "cases", "beside", "caps"),
    # worked by hand: 60 = 5 x 12; 65 = 5 x 12 + 5; 50 = 2 x 24 + 2; 11 < 12
    [(60, 12, 5, 0, 62), (65, 12, 5, 5, 67), (50, 24, 2, 2, 52), (11, 12, 0, 11, 13)],
)
def test_cases_and_caps(bottles: int, per_case: int, cases: int, beside: int, caps: int) -> None:
    """Full cases, the bottles beside them, and two caps more than bottles."""
    found = made(bottles=bottles, bottle_size=0.15, per_case=per_case).values
    assert (found["full_cases"], found["beside"], found["caps"]) == (cases, beside, caps)


def test_enough_or_not() -> None:
    """A sauce and a number of bottles are held against each other."""
    # worked by hand: 60 x 150 / 0.94 = 9574 mL: 574 short of 9 L, 426 to spare of 10 L
    no, yes = (made(sauce_volume=litres, bottles=60, bottle_size=0.15).values for litres in (9.0, 10.0))
    assert 1000 * no["short"] == pytest.approx(574.5, abs=0.1)
    assert 1000 * yes["spare"] == pytest.approx(425.5, abs=0.1)
    assert no["full_bottles"] == math.floor(8460 / 150)


def test_a_bottle_is_measured_in_fluid_ounces() -> None:
    """A 5 oz bottle holds 147.87 mL (US customary: 29.5735 mL a fluid ounce), and the answer says which ounces."""
    replies = say("two dozen 5 oz bottles")
    assert value(replies, "bottle_size", "milliliter") == pytest.approx(147.87, abs=0.01)
    assert any("fluid ounces, by volume" in one.text for one in replies)
    answered = say("48 woozies", "5 oz")
    assert value(answered, "bottle_size", "milliliter") == pytest.approx(147.87, abs=0.01)


@pytest.mark.parametrize("line", ["100 bottles of 150 ml by christmas", "100 bottles of 150 ml by 24 december"])
def test_a_day_makes_it_a_plan(line: str) -> None:
    """The amounts are the same, and the day is worked back from: 24 or 25 December less 31 days."""
    replies = say(line)
    assert value(replies, "sauce_volume", "liter") == pytest.approx(15 / 0.94)
    assert value(replies, "start", "") in (20261123, 20261124)


def test_bottled_is_still_what_was_done() -> None:
    """With a batch open "bottled 6" enters bottles; "how many bottles" enters none."""
    batch = ("new batch of 2 kg of reds in a 3 L jar at 3%",)
    assert "log" in [one.kind for one in say(*batch, "bottled 6 of 150 ml")]
    asked = say(*batch, "how many 150 ml bottles will I get out of this")
    assert "log" not in [one.kind for one in asked]
    # worked by hand: 2.06 kg at the account's 1.0612 kg/L is 1.941 L; x 0.94 = 1.825 L = 12 x 0.15 + 0.025
    assert value(asked, "full_bottles", "") == 12


def test_a_sauce_of_another_weight() -> None:
    """A weight per litre said with no noun is the sauce's, and its weight is worked out by it."""
    # worked by hand: 20 x 0.15 / (1 - 0.06) = 3.1915 L; x 1.1 kg/L = 3.5106 kg
    replies = say("20 bottles of 150 mL, 1.1 kg/L")
    assert value(replies, "sauce_volume", "liter") == pytest.approx(3.1915, abs=0.0001)
    assert value(replies, "sauce", "kilogram") == pytest.approx(3.5106, abs=0.0001)


def test_why_so_many_bottles() -> None:
    """The sums behind an answer are those of what was asked: cases, bottles, and the weight where none was said."""
    cases = [one.text for one in say("how much sauce for 3 cases of 150 mL bottles", "why")]
    assert [one for one in cases if one.startswith(("Bottles", "By"))] == [
        "Bottles: 3 x 12 = 36.", "By weight: 5.74 L x 1 kg/L = 5.74 kg.",
    ]  # fmt: skip
    counted = [one.text for one in say("how much sauce for 30 bottles of 150 mL", "why")]
    assert not any(one.startswith("Bottles") for one in counted)
    enough = [one.text for one in say("are 2 L of sauce enough for 10 bottles of 150 mL", "why")]
    assert not any(one.startswith("By weight") for one in enough)
