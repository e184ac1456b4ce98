"""Sanitizers against worked doses, jars against the table of minutes, boiling points against a library."""

from __future__ import annotations

import pytest
from CoolProp.CoolProp import PropsSI

from assistant.evaluate import solve
from assistant.trade import calculator
from assistant.trade.hygiene import boiling_point, jar_minutes
from tests.helpers import say, value

GALLON, TABLESPOON, OUNCE = 3.785411784, 0.01478676478125, 0.0295735295625


@pytest.mark.parametrize(
    ("stock", "water", "strength", "ppm"),
    # worked by hand, weight by volume: 1 Tbsp of 5.25 % in a gallon 0.0525 x 14.787 / 3800.2 = 204 ppm (Fraser and
    # Lackey, NC State 2004, print 200); 1 tsp 68; 6 % 233; 8.25 % 321; 1/4 cup in 5 gal 164; iodophor of 1.6 %,
    # 1 fl oz in 5 gal 25 ppm
    [
        (TABLESPOON, GALLON, 0.0525, 204), (TABLESPOON / 3, GALLON, 0.0525, 68), (TABLESPOON, GALLON, 0.06, 233),
        (TABLESPOON, GALLON, 0.0825, 321), (4 * TABLESPOON, 5 * GALLON, 0.0525, 164), (OUNCE, 5 * GALLON, 0.016, 25),
    ],
)  # fmt: skip
def test_what_a_dose_makes(stock: float, water: float, strength: float, ppm: float) -> None:
    """A dose in water, in ppm."""
    found = solve(calculator("sanitizer"), {"stock": stock, "water": water, "strength": strength})
    assert 1e6 * found.values["ppm"] == pytest.approx(ppm, abs=0.6)


@pytest.mark.parametrize(
    ("strength", "millilitres"),
    # worked by hand: 200 ppm in a litre of water: 0.2 g / (5.25 % - 0.02 %) = 3.82 mL; 6 % 3.34; 8.25 % 2.43
    [(0.0525, 3.82), (0.06, 3.34), (0.0825, 2.43)],
)
def test_the_dose_for_200_ppm(strength: float, millilitres: float) -> None:
    """The most that need not be rinsed off."""
    found = solve(calculator("sanitizer"), {"ppm": 200e-6, "water": 1.0, "strength": strength})
    assert 1000 * found.values["stock"] == pytest.approx(millilitres, abs=0.01)


@pytest.mark.parametrize(
    ("line", "stopped"),
    [
        ("how much 5.25% bleach for 200 ppm in 5 litres of water", False),
        ("how much 5.25% bleach for 210 ppm in 5 litres of water", True),
        ("how much 1.6% iodophor for 25 ppm in 5 litres of water", False),
        ("how much 1.6% iodophor for 30 ppm in 5 litres of water", True),
    ],
)
def test_over_the_limit_is_stopped(line: str, stopped: bool) -> None:
    """Chlorine over 200 ppm and iodine over 25 ppm must be rinsed (21 CFR 178.1010(c), from memory)."""
    assert any("over the no-rinse limit" in one.text for one in say(line)) == stopped
    assert any("Never mix bleach" in one.text for one in say(line))


@pytest.mark.parametrize("metres", [0, 300, 1000, 1500, 2000, 3000])
def test_boiling_by_altitude(metres: float) -> None:
    """Within 0.1 C of IAPWS water (CoolProp) at the pressure of the standard atmosphere."""
    pascal = 101_325 * (1 - 2.25577e-5 * metres) ** 5.25588
    assert boiling_point(10 * metres) == pytest.approx(PropsSI("T", "P", pascal, "Q", 0, "Water") - 273.15, abs=0.1)


@pytest.mark.parametrize(
    ("feet", "minutes"),
    # USDA AIB 539 / Michigan State Ext.: 10 min to 1,000 ft, then bands of 1,000 ft to 10,000 ft
    [
        (-200, 10),
        (0, 10),
        (1000, 10),
        (1001, 11),
        (2000, 11),
        (2001, 12),
        (3000, 12),
        (5280, 15),
        (9001, 19),
        (10000, 19),
    ],
)
def test_empty_jars(feet: float, minutes: float) -> None:
    """A minute more for each further thousand feet, started bands counted whole."""
    assert 1440 * jar_minutes(3.048 * feet) == pytest.approx(minutes)


@pytest.mark.parametrize(
    ("strength", "parts", "to_water", "in_all"),
    # worked by hand: 52,500 ppm / 65 and / 64; 60,000 / 11 and / 10; 16,000 / 641 and / 640
    [(0.0525, 64, 807.7, 820.3), (0.06, 10, 5454.5, 6000.0), (0.016, 640, 24.96, 25.0)],
)
def test_a_ratio_is_read_two_ways(strength: float, parts: float, to_water: float, in_all: float) -> None:
    """1:64 is one part to 64 of water, or one part in 64 of the whole: both are named."""
    found = solve(calculator("sanitizer-ratio"), {"strength": strength, "parts": parts})
    assert 1e6 * found.values["ppm_to_water"] == pytest.approx(to_water, abs=0.05)
    assert 1e6 * found.values["ppm_in_all"] == pytest.approx(in_all, abs=0.05)


def test_the_amounts_of_a_ratio() -> None:
    """Stock and water in a bucket, by both readings."""
    # worked by hand: 5 / 64 = 78.1 mL to 5 L of water; or 78.1 mL and 4.922 L of water, 5 L together
    found = solve(calculator("sanitizer-ratio"), {"strength": 0.0525, "parts": 64.0, "water": 5.0}).values
    assert found["stock_to_water"] == pytest.approx(0.078125)
    assert found["stock_in_all"] + found["water_in_all"] == pytest.approx(5.0)
    assert found["stock_in_all"] / 5.0 == pytest.approx(1 / 64)


@pytest.mark.parametrize(
    "line",
    [
        "1:64 bleach, 6%",
        "6% bleach at 1/64",
        "one part in 64, 6% bleach",
        "bleach one to sixty-four, 6%",
        "2 parts bleach to 128 parts, 6%",
        "1 in 64 bleach 6%",
    ],
)
def test_ways_to_say_a_ratio(line: str) -> None:
    """Digits, words, a colon or a stroke: the same 64 parts."""
    replies = say(line)
    # worked by hand: 60,000 / 64 = 937.5
    assert value(replies, "ppm_in_all", "ppm") == pytest.approx(937.5)
    assert any("two ways" in one.text for one in replies)


@pytest.mark.parametrize(
    ("line", "there", "gone"),
    [
        ("6% bleach one part to 64 parts of water", "ppm_to_water", "ppm_in_all"),
        ("mix one part 8.25% bleach with 400 parts water", "ppm_to_water", "ppm_in_all"),
        ("bleach 1 to 64 in all, 6%", "ppm_in_all", "ppm_to_water"),
    ],
)
def test_a_ratio_that_says_of_what_is_read_one_way(line: str, there: str, gone: str) -> None:
    """ "Parts of water" and "in all" leave nothing open."""
    replies = say(line)
    assert value(replies, there, "ppm") > 0
    with pytest.raises(KeyError):
        value(replies, gone, "ppm")


def test_an_ounce_to_five_gallons_of_iodophor() -> None:
    """The trade's dose: a fluid ounce of 1.6 % iodophor in 5 US gallons is 25 ppm, the most that is not rinsed."""
    # worked by hand: 29.574 x 0.016 / 18,957 = 24.96 ppm
    replies = say("one ounce to five gallons of iodophor", "1.6%")
    assert value(replies, "ppm", "ppm") == pytest.approx(24.96, abs=0.01)
    assert not any("over the no-rinse limit" in one.text for one in replies)
    assert any("fluid ounces" in one.text for one in replies)


@pytest.mark.parametrize("line", ["one ounce to five gallons of iodophor", "1:64 bleach in 5 litres"])
def test_a_stock_of_no_stated_strength_is_asked_about(line: str) -> None:
    """No ppm without what the bottle says."""
    assert [one.kind for one in say(line)][-1] == "ask"


def test_ppm_are_no_strength_of_the_bottle() -> None:
    """25 ppm of iodophor is what is made; the percentage is what it is made from."""
    # worked by hand: 250 mg / (16,000 - 25) mg/L = 15.65 mL
    replies = say("25 ppm iodophor in 10 litres, 1.6%")
    assert value(replies, "stock", "milliliter") == pytest.approx(15.65, abs=0.01)


@pytest.mark.parametrize(
    ("line", "weak"),
    # FDA Food Code 4-501.114: chlorine from 50 mg/L (25 only at 120 F), iodine from 12.5 mg/L
    [
        ("how much 5.25% bleach for 40 ppm in 5 litres of water", True),
        ("how much 5.25% bleach for 50 ppm in 5 litres of water", False),
        ("how much 1.6% iodophor for 12 ppm in 5 litres of water", True),
        ("how much 1.6% iodophor for 12.5 ppm in 5 litres of water", False),
    ],
)
def test_under_the_least_is_warned_of(line: str, weak: bool) -> None:
    """A sanitizer weaker than published rules take."""
    assert any("weaker than published" in one.text for one in say(line)) == weak


def test_contact_time_and_warmth() -> None:
    """The label's time, else a minute (10 NYCRR 14-4.112); 55 F for 100 ppm of chlorine (Food Code 4-501.114)."""
    replies = say("how long does bleach need at 100 ppm")
    assert value(replies, "contact", "minute") == pytest.approx(1)
    assert any("its label says" in one.text and "55 F (13 C)" in one.text for one in replies)


@pytest.mark.parametrize(
    "line", ["bleach and vinegar sanitizer 100 ppm", "5.25% bleach 1:640 with citric acid", "bleach and vinegar 1:1"]
)
def test_bleach_and_acid_are_stopped(line: str) -> None:
    """Refused with the reason, chlorine gas, and no dose beside it."""
    replies = say(line)
    assert [one.kind for one in replies] == ["refuse"]
    assert "chlorine gas" in replies[0].text


def test_acid_put_to_bleach_that_was_just_made_up_is_stopped() -> None:
    """Also where the bleach stands in the answer before."""
    made = "how much 5.25% bleach for 100 ppm in 5 litres of water"
    assert [one.kind for one in say(made, "add 100 ml of vinegar")] == ["refuse"]
    assert "refuse" not in [one.kind for one in say(made, "how much 5% vinegar for 1% acetic acid in 4 kg of sauce")]


def test_parts_with_the_strength_between_them() -> None:
    """ "One part 8.25 % bleach with 400 parts water" is 1 to 400 and never 1 to 1."""
    # worked by hand: 82,500 / 401 = 205.7 ppm
    replies = say("mix one part 8.25% bleach with 400 parts water")
    assert value(replies, "ppm_to_water", "ppm") == pytest.approx(205.7, abs=0.1)


def test_one_to_one_is_half() -> None:
    """1:1 is one part to one of water: one part in one of the whole would be no mixture."""
    # worked by hand: 5.25 % / 2 = 26,250 ppm
    found = solve(calculator("sanitizer-ratio"), {"strength": 0.0525, "parts": 1.0}).values
    assert 1e6 * found["ppm_to_water"] == pytest.approx(26_250)
    assert "ppm_in_all" not in found
