"""The kitchen's units against the law's definitions and an independent list."""

from __future__ import annotations

import re
from functools import lru_cache
from importlib import resources

import pint
import pytest

from grammar.measures import CANONICAL, canonical, convert, registry, settle
from tests.helpers import say, value

# NIST Handbook 44, Appendix C: exact US customary units (read in a stored copy).
# Teaspoon, tablespoon and cup are worked out from the gallon: 1/768, 1/256, 1/16.
NIST = (
    ("pound", "gram", 453.59237),
    ("ounce", "gram", 28.349523125),
    ("grain", "milligram", 64.79891),
    ("inch", "millimeter", 25.4),
    ("foot", "centimeter", 30.48),
    ("cubic_inch", "milliliter", 16.387064),
    ("us_gallon", "cubic_inch", 231),
    ("us_gallon", "liter", 3.785411784),
    ("us_quart", "liter", 0.946352946),
    ("us_pint", "milliliter", 473.176473),
    ("us_cup", "milliliter", 236.5882365),
    ("us_fluid_ounce", "milliliter", 29.5735295625),
    ("us_tablespoon", "milliliter", 14.78676478125),
    ("us_teaspoon", "milliliter", 4.92892159375),
)
# UK Weights and Measures Act 1985, Schedule 1 (from memory): the gallon is 4.54609 L exactly,
# a quart, pint and fluid ounce are its 4th, 8th and 160th.
IMPERIAL = (
    ("imperial_gallon", "liter", 4.54609),
    ("imperial_quart", "liter", 1.1365225),
    ("imperial_pint", "milliliter", 568.26125),
    ("imperial_fluid_ounce", "milliliter", 28.4130625),
)
# 21 CFR 101.9(b)(5)(viii) (from memory): in metric, a teaspoon is 5 mL and a tablespoon 15 mL.
METRIC = (
    ("metric_teaspoon", "milliliter", 5),
    ("metric_tablespoon", "milliliter", 15),
)
# Common practice in Australia, from memory: a tablespoon of four teaspoons.
AUSTRALIAN = (("australian_tablespoon", "metric_teaspoon", 4),)
# The SI brochure: prefixes, litre, tonne, and the units of time kept with it.
SI = (
    ("liter", "cubic_centimeter", 1000),
    ("centiliter", "milliliter", 10),
    ("deciliter", "milliliter", 100),
    ("tonne", "kilogram", 1000),
    ("kilogram", "gram", 1000),
    ("gram", "milligram", 1000),
    ("meter", "centimeter", 100),
    ("week", "day", 7),
    ("day", "hour", 24),
    ("hour", "minute", 60),
)
# Percent is 1 in 100 and ppm 1 in 10^6 (ISO 80000-1).
PARTS = (
    ("percent", "ppm", 10_000),
    ("percent", "fraction", 0.01),
    ("ppm", "fraction", 1e-6),
    ("gram_per_kilogram", "percent", 0.1),
)


@pytest.mark.parametrize(("unit", "to", "size"), [*NIST, *IMPERIAL, *METRIC, *AUSTRALIAN, *SI, *PARTS])
def test_a_unit_is_its_definition(unit: str, to: str, size: float) -> None:
    """Every unit has its exact legal size."""
    assert pytest.approx(size, rel=1e-12) == convert(1, unit, to)


@pytest.mark.parametrize(
    ("word", "kitchen", "millilitres"),
    [
        ("cup", "us", 236.5882365),
        ("tablespoon", "us", 14.78676478125),
        ("pint", "us", 473.176473),
        ("gallon", "us", 3785.411784),
        ("pint", "imperial", 568.26125),
        ("gallon", "imperial", 4546.09),
        ("fluid_ounce", "imperial", 28.4130625),
        ("tablespoon", "metric", 15),
        ("teaspoon", "metric", 5),
    ],
)
def test_a_loose_word_means_its_kitchens_unit(word: str, kitchen: str, millilitres: float) -> None:
    """A plain cup, pint or gallon is the legal one of its kitchen (NIST HB 44, UK Act 1985, 21 CFR 101.9)."""
    assert pytest.approx(millilitres, rel=1e-12) == convert(1, settle(word, kitchen), "milliliter")


# The Fahrenheit scale: F = 1.8 C + 32 exactly (NIST SP 811, Appendix B).
@pytest.mark.parametrize(
    ("fahrenheit", "celsius"),
    [(180, 82.2222222222), (-40, -40), (32, 0), (212, 100), (60, 15.5555555556), (68, 20), (160, 71.1111111111)],
)
def test_a_temperature_converts_both_ways(fahrenheit: float, celsius: float) -> None:
    """Fahrenheit and Celsius agree with the definition, both ways."""
    got = (
        convert(fahrenheit, "degree_Fahrenheit", "degree_Celsius"),
        convert(celsius, "degree_Celsius", "degree_Fahrenheit"),
    )
    assert pytest.approx((celsius, fahrenheit), abs=1e-9) == got


def test_absolute_zero() -> None:
    """0 K is -273.15 C (SI brochure) and -459.67 F (NIST SP 811)."""
    got = (convert(0, "kelvin", "degree_Celsius"), convert(0, "kelvin", "degree_Fahrenheit"))
    assert pytest.approx((-273.15, -459.67), abs=1e-9) == got


def test_a_difference_is_not_a_temperature() -> None:
    """A difference of 10 C is 18 F, while 10 C on the scale is 50 F (NIST SP 811)."""
    got = (
        convert(10, "delta_degree_Celsius", "delta_degree_Fahrenheit"),
        canonical(18, "degree_Fahrenheit", "difference"),
        convert(10, "degree_Celsius", "degree_Fahrenheit"),
    )
    assert pytest.approx((18, 10, 50), abs=1e-9) == got


@pytest.mark.parametrize(
    ("unit", "to", "size"),
    [
        ("pound_per_us_gallon", "gram_per_liter", 453.59237 / 3.785411784),
        ("pound_per_imperial_gallon", "gram_per_liter", 453.59237 / 4.54609),
        ("ounce_per_us_gallon", "gram_per_liter", 28.349523125 / 3.785411784),
        ("ounce_per_imperial_gallon", "gram_per_liter", 28.349523125 / 4.54609),
        ("kilogram_per_cubic_meter", "gram_per_liter", 1),
        ("gram_per_milliliter", "kilogram_per_liter", 1),
        ("milligram_per_liter", "gram_per_liter", 0.001),
    ],
)
def test_a_density_unit_is_its_definition(unit: str, to: str, size: float) -> None:
    """A weight per volume is the quotient of two exact units (NIST HB 44, UK Act 1985)."""
    assert pytest.approx(size, rel=1e-12) == convert(1, unit, to)


# --- Every unit of measures.txt against pint's own default registry, an independent list ---

TEMPERATURES = {"kelvin", "degree_Celsius", "degree_Fahrenheit"}
OURS_ALONE = {
    "metric_cup", "metric_tablespoon", "metric_teaspoon", "imperial_tablespoon", "imperial_teaspoon",
    "australian_tablespoon", "mv_per_ph",
}  # fmt: skip
"""Kitchen measures, and the slope of a pH probe, that pint's own list does not have."""


def units() -> list[str]:
    """The names defined in measures.txt."""
    text = resources.files("grammar").joinpath("measures.txt").read_text(encoding="utf-8")
    return re.findall(r"^(\w+) = ", text, re.MULTILINE)


def elsewhere(unit: str) -> str:
    """The name of our unit in pint's own list ("us_cup" -> "cup", "a_per_b" -> "a / b")."""
    if unit == "fraction":
        return "dimensionless"
    return unit.replace("us_", "").replace("cubic_meter", "meter ** 3").replace("_per_", " / ")


@lru_cache(maxsize=1)
def their_registry() -> pint.UnitRegistry:
    """Pint's own default registry."""
    return pint.UnitRegistry()


@pytest.mark.parametrize("unit", [one for one in units() if one not in OURS_ALONE | TEMPERATURES])
def test_a_unit_agrees_with_an_independent_list(unit: str) -> None:
    """The unit is as large as in pint's own default registry, and measures the same thing."""
    ours = registry().Quantity(1, unit)
    theirs = their_registry().Quantity(1, elsewhere(unit))
    base = next(one for one in CANONICAL.values() if ours.is_compatible_with(one))
    expected = theirs.to(elsewhere(base)).magnitude
    assert pytest.approx(expected, rel=1e-12) == convert(1, unit, base)


def test_only_known_units_are_missing_from_the_independent_list() -> None:
    """Six kitchen spoons and cups and a probe's slope are ours alone; a new unit must be compared or named here."""
    missing = {one for one in units() if elsewhere(one).split(" ")[0] not in their_registry()}
    assert missing == OURS_ALONE


@pytest.mark.parametrize(
    ("kitchen", "said", "milliliters"),
    [
        ("us", "1 pint 8 fluid ounces", 1.5 * 473.176473),
        ("imperial", "1 pint 10 fluid ounces", 1.5 * 568.26125),
        ("imperial", "1 quart 1 pint", 1.5 * 1136.5225),
        ("metric", "1 cup 2 tablespoons", 250 + 2 * 15),
        ("australian", "1 cup 2 tablespoons", 250 + 2 * 20),
    ],
)
def test_two_units_together_are_of_the_kitchen_that_is_set(kitchen: str, said: str, milliliters: float) -> None:
    """A pint is 16 fluid ounces in US measures (NIST Handbook 44) and 20 in imperial ones (the Act, from memory)."""
    replies = say(f"{kitchen} units", f"{said} in ml")
    assert value(replies, "volume", "milliliter") == pytest.approx(milliliters, rel=1e-9)
    water = say(f"{kitchen} units", f"brine with {said} of water at 5%")
    assert value(water, "water_volume", "milliliter") == pytest.approx(milliliters, rel=1e-9)


@pytest.mark.parametrize("fahrenheit", [-40, 0, 32, 59.9, 98.6, 145, 180, 212])
def test_a_temperature_agrees_with_an_independent_list(fahrenheit: float) -> None:
    """Fahrenheit to Celsius and kelvin is what pint's own default registry gives."""
    theirs = their_registry().Quantity(fahrenheit, "degree_Fahrenheit")
    expected = (theirs.to("degree_Celsius").magnitude, theirs.to("kelvin").magnitude)
    got = tuple(convert(fahrenheit, "degree_Fahrenheit", to) for to in ("degree_Celsius", "kelvin"))
    assert pytest.approx(expected, abs=1e-9) == got


@pytest.mark.parametrize(
    ("fahrenheit", "celsius"),
    # by definition (F - 32) / 1.8; these are whole degrees C, and edges of tables and limits stand on them
    [(32, 0), (41, 5), (50, 10), (68, 20), (77, 25), (86, 30), (104, 40), (140, 60), (149, 65), (158, 70), (212, 100)],
)
def test_a_whole_degree_is_met_to_the_last_bit(fahrenheit: float, celsius: float) -> None:
    """What is said in F is on an edge in C and no rounding error beyond it: 86 F is 30 C, where a pH counts."""
    assert canonical(fahrenheit, "degree_Fahrenheit", "temperature") == celsius


@pytest.mark.parametrize(
    ("line", "kind", "says"),
    [
        ("pH 3.8 at 86 F", "answer", "Proven below"),  # 21 CFR 114.90(a)(4), from memory: 20 to 30 C
        ("pH 3.8 at 87 F", "answer", "Not proven yet"),
        ("what does the pH 7 buffer read at 104 F", "answer", "pH 6.98"),  # the instrument's table ends at 40 C: 6.98
        ("thermometer shows 32 F in ice water", "answer", "add 0 F to"),
        ("how long do I hold it at 140 F for pH 4.0", "answer", "Hold it 12.8 min"),  # Breidt 2010: 12.7, rounded up
    ],
)
def test_an_edge_told_in_fahrenheit(line: str, kind: str, says: str) -> None:
    """An edge of a rule or a table, said in F, is treated as the same edge in C is."""
    first = next(one for one in say(line) if one.kind == kind)
    assert says in first.text
