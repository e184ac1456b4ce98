"""Sodium, sugars and energy of a serving against worked figures and the edges of the label's rounding rule."""

from __future__ import annotations

import pytest

from assistant.evaluate import solve
from assistant.trade import calculator
from assistant.trade.nutrition import us_calories, us_sodium, us_sugars
from assistant.trade.sweet import bottle_pressure, solubility
from tests.helpers import say, value


@pytest.mark.parametrize(
    ("milligrams", "label"),
    # 21 CFR 101.9(c), FDA Food Labeling Guide App. H: < 5 -> 0; 5 to 140 nearest 5; > 140 nearest 10
    [(0, 0), (4.9, 0), (5, 5), (59.3, 60), (60.2, 60), (62.4, 60), (62.5, 65), (140, 140), (140.1, 140), (142, 140),
     (147, 150), (155, 160)],
)  # fmt: skip
def test_sodium_as_a_us_label_rounds_it(milligrams: float, label: float) -> None:
    """Each edge of the rule."""
    assert us_sodium(milligrams) == label


@pytest.mark.parametrize(
    ("grams", "label"),
    # the same guide: < 0.5 g -> 0; under 1 g "less than 1 g" (1 here); else nearest 1 g
    [(0.4, 0), (0.49, 0), (0.5, 1), (0.99, 1), (1.4, 1), (1.5, 2), (12.6, 13)],
)
def test_sugars_as_a_us_label_rounds_them(grams: float, label: float) -> None:
    """Each edge of the rule."""
    assert us_sugars(grams) == label


@pytest.mark.parametrize(
    ("kilocalories", "label"),
    # the same guide: < 5 -> 0; to 50 nearest 5; > 50 nearest 10
    [(4.9, 0), (5, 5), (7.4, 5), (7.5, 10), (50, 50), (52, 50), (56, 60)],
)
def test_calories_as_a_us_label_rounds_them(kilocalories: float, label: float) -> None:
    """Each edge of the rule."""
    assert us_calories(kilocalories) == label


@pytest.mark.parametrize(
    ("litres", "milligrams"),
    # worked by hand: 3 % of a sauce of 1.02 kg/L, 39.337 % of it sodium (atomic weights):
    # 4.929 mL x 1.02 x 0.03 x 393.37 = 59.3 mg; 5 mL: 60.2 mg; both 60 on a US label
    [(0.00492892159375, 59.3), (0.005, 60.2)],
)
def test_three_percent_in_a_teaspoon(litres: float, milligrams: float) -> None:
    """Salt is not sodium."""
    found = solve(calculator("serving"), {"of_whole": 0.03, "serving": litres, "sauce_density": 1.02})
    assert found.values["sodium"] == pytest.approx(milligrams, abs=0.05)
    assert found.values["sodium_label"] == 60


def test_table_salt_by_the_table() -> None:
    """100 g of table salt hold 38,758 mg of sodium in the USDA table (NDB 02047), 1.5 % under pure salt's 39,337."""
    found = solve(calculator("serving"), {"of_whole": 0.2})
    assert found.values["sodium_hundred"] == pytest.approx(0.2 * 39_337)
    assert 0.2 * 38_758 == pytest.approx(found.values["sodium_hundred"], rel=0.016)


def test_energy_of_sugar_and_acid() -> None:
    """4 kcal a gram of sugars, 3 a gram of organic acids (Regulation (EU) 1169/2011, Annex XIV, from memory)."""
    # worked by hand: 15 g of sauce with 20 % sugar and 1 % acid: 3 g x 4 + 0.15 g x 3 = 12.45 kcal
    known = {"serving": 0.015, "sugar_share": 0.2, "acid_share": 0.01}
    found = solve(calculator("serving"), known, ("energy_label", "energy"))
    assert found.values["energy"] == pytest.approx(12.45)
    assert found.values["energy_label"] == 10


def test_sugar_and_fruit() -> None:
    """What sugar, honey and mango make of a sauce."""
    # worked by hand: 0.5 kg of mango (13.66 % sugars, USDA NDB 09176) in 2.5 kg is 20 % of it and 27.3 g of sugar a
    # kilo
    replies = say("half a kilo of mango into two kilos of sauce")
    assert value(replies, "part", "percent") == pytest.approx(20)
    assert value(replies, "sugar_share", "gram_per_kilogram") == pytest.approx(27.3, abs=0.05)
    # worked by hand: 100 g of honey hold 82.12 g of sugars (USDA NDB 19296), in 2.1 kg
    assert value(say("100 g of honey in 2 kg of sauce"), "sugar_share", "percent") == pytest.approx(3.91, abs=0.005)
    # worked by hand: 5 / 95 x 2,000 g
    assert value(say("sweeten 2 kg of sauce to 5% sugar"), "sweet", "gram") == pytest.approx(105.26, abs=0.01)


def test_the_gas_of_forty_grams_a_litre() -> None:
    """About 20 g/L of gas, ten volumes and over 10 bar in a full bottle: a ceiling."""
    # worked by hand: 40 x 176.04 / 342.30 = 20.57 g/L; / 1.977 = 10.4 volumes; 0.4674 mol/L / 0.034 = 13.7 bar
    replies = say("gas pressure from 40 g of sugar per litre")
    assert value(replies, "gas", "gram_per_liter") == pytest.approx(20.57, abs=0.01)
    assert value(replies, "volumes", "") == pytest.approx(10.4, abs=0.01)
    assert value(replies, "pressure", "") == pytest.approx(13.8, abs=0.001)
    assert any(one.kind == "caution" and "glass bursts" in one.text for one in replies)


def test_solubility_of_the_gas() -> None:
    """A litre of water under 1 atm of the gas keeps about 1.5 g of it at 25 C and 2.75 g at 5 C (from memory)."""
    assert 44.01 * solubility(25) * 1.01325 == pytest.approx(1.5, abs=0.06)
    assert 44.01 * solubility(5) * 1.01325 == pytest.approx(2.75, abs=0.1)


def test_air_in_the_bottle_and_cold_lower_it() -> None:
    """More air or less warmth, less pressure; and it is rounded up."""
    gas = 0.0206
    full = [bottle_pressure(gas, head, 25.0) for head in (0.0, 0.05, 0.1, 0.3)]
    assert full == sorted(full, reverse=True)
    assert bottle_pressure(gas, 0.1, 5.0) < bottle_pressure(gas, 0.1, 25.0)
    # worked by hand: 0.4681 / (0.034 + 0.1111 / (0.083145 x 298.15)) = 12.16 bar, up to 12.2
    assert bottle_pressure(gas, 0.1, 25.0) == pytest.approx(12.2)
