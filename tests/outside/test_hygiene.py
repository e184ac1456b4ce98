"""Sanitizers against worked doses, jars against the table of minutes, boiling points against a library."""

from __future__ import annotations

import pytest
from CoolProp.CoolProp import PropsSI

from assistant.evaluate import solve
from assistant.trade import calculator
from assistant.trade.hygiene import boiling_point, jar_minutes
from tests.helpers import say

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
