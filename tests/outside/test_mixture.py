"""What a mixture weighs and fills, against handbooks, the USDA tables and an independent library."""

from __future__ import annotations

import pytest
from CoolProp.CoolProp import PropsSI

from assistant.trade import mixture as mx
from assistant.trade.mixture import Mixture
from assistant.trade.produce import SUGAR, WATER
from grammar.measures import convert

ATMOSPHERE = 101325.0
"""Pa, standard atmosphere."""


def solution(percent: float, name: str) -> Mixture:
    """A kg of a solution of so many percent by weight of a component."""
    return Mixture(water=1 - percent / 100, **{name: percent / 100})


# Density of aqueous solutions in kg/L at 20 C, percent by weight.
# Acids to 10 %: a table of the CRC family, read in a stored copy. Acetic acid at 20 and 30 %
# (CRC) and sucrose (NBS Circular 440): from memory.
@pytest.mark.parametrize(
    ("name", "percent", "density", "within"),
    [
        ("acetic", 1, 0.9996, 0.0004), ("acetic", 5, 1.0052, 0.0004), ("acetic", 10, 1.0121, 0.001),
        ("acetic", 20, 1.0250, 0.004), ("acetic", 30, 1.0369, 0.008),
        ("lactic", 5, 1.0086, 0.0004), ("lactic", 10, 1.0199, 0.0004),
        ("citric", 5, 1.0189, 0.001), ("citric", 10, 1.0402, 0.002),
        ("sugar", 5, 1.0179, 0.0006), ("sugar", 10, 1.0381, 0.0006), ("sugar", 15, 1.0592, 0.0006),
        ("sugar", 20, 1.0810, 0.0006), ("sugar", 30, 1.1270, 0.0006), ("sugar", 40, 1.1764, 0.002),
        ("sugar", 60, 1.2864, 0.009),
    ],
)  # fmt: skip
def test_density_of_acid_and_sugar_in_water_is_the_handbooks(
    name: str, percent: float, density: float, within: float
) -> None:
    """One volume for each component serves as far as a sauce goes: 10 % of acid, 40 % of sugar.

    Deviations in percent: acetic 0.03 at 5 %, 0.07 at 10 %, 0.29 at 20 %, 0.63 at 30 %; lactic
    0.03; citric -0.08 at 5 %, -0.13 at 10 %; sugar -0.05 at most to 30 %, 0.11 at 40 %, 0.60 at 60 %.
    """
    assert pytest.approx(density, rel=within) == solution(percent, name).density


# Perry's Chemical Engineers' Handbook, kg/L at 20 C (attribution from memory; read in a stored copy).
@pytest.mark.parametrize(
    ("percent", "density"),
    [(1, 1.00534), (2, 1.01246), (4, 1.02680), (8, 1.05589), (10, 1.07068), (14, 1.10085), (20, 1.14779)],
)
def test_a_bucket_of_brine_fills_what_the_handbook_says(percent: float, density: float) -> None:
    """10 kg of brine fill 10 kg over Perry's density, within 0.04 %."""
    assert pytest.approx(10 / density, rel=4e-4) == mx.brine(10, percent / 100).volume


@pytest.mark.parametrize("percent", [1, 2, 3, 5, 8, 10, 15, 20, 22])
def test_salted_water_agrees_with_an_independent_library(percent: float) -> None:
    """Salt stirred into water has the density of CoolProp's INCOMP::MNA (after Melinder, from memory).

    Within 0.45 g/L; largest deviation 0.39 g/L at 15 %.
    """
    mixed = mx.water(3 * (1 - percent / 100)) + mx.salt(3 * percent / 100)
    expected = PropsSI("D", "T", 293.15, "P", ATMOSPHERE, f"INCOMP::MNA[{percent / 100}]")
    assert pytest.approx(expected, abs=0.45) == 1000 * mixed.density


def test_a_litre_of_water_agrees_with_an_independent_library() -> None:
    """A litre of water by CoolProp (Wagner and Pruss 2002, from memory) fills a litre within 4 mg."""
    litre = PropsSI("D", "T", 293.15, "P", ATMOSPHERE, "Water") / 1000
    assert pytest.approx(1.0, abs=4e-6) == mx.water(litre).volume


# Vinegar ---------------------------------------------------------------------------------------


def test_a_litre_of_vinegar_weighs_what_the_handbook_says() -> None:
    """A litre of 5 % vinegar weighs 1.0052 to 1.006 kg: CRC family (5 % by weight) and USDA (238 g a cup)."""
    litre = mx.vinegar(1)
    assert pytest.approx(1.0052, abs=0.0005) == litre.mass
    assert pytest.approx(238, abs=0.5) == 1000 * mx.vinegar(convert(1, "us_cup", "liter")).mass
    assert pytest.approx(1.0, abs=3e-6) == litre.volume


# Water of each, USDA SR26 (2013): NDB 02053 distilled, 02068 red wine, 02048 cider.
@pytest.mark.parametrize(("water", "within"), [(94.78, 0.3), (94.47, 0.6), (93.81, 1.3)])
def test_water_of_vinegar_is_near_the_databases(water: float, within: float) -> None:
    """5 % vinegar is 95.03 % water: distilled has 94.78 by the USDA; what else wine and cider hold is not counted."""
    vinegar = mx.vinegar(1)
    assert pytest.approx(water, abs=within) == 100 * vinegar.water / vinegar.mass
    assert vinegar.mass == vinegar.water + vinegar.acetic


def test_vinegar_may_not_be_weaker_than_the_law_has_it() -> None:
    """FDA CPG 525.825 (1995): vinegar holds 4 g of acetic acid in 100 mL at 20 C, and 4 % here is that."""
    assert pytest.approx(4.0) == 1000 * mx.vinegar(0.1, 0.04).acetic


# Composition -----------------------------------------------------------------------------------

# USDA SR26 (2013), g per 100 g raw edible part: water, protein, fat, carbohydrate, fibre, sugars, ash.
# Read in a plain copy of the USDA files, but protein and fat, which are from memory (each row
# adds up to 100 with them).
ROWS = {
    "chilli": (88.02, 1.87, 0.44, 8.81, 1.5, 5.30, 0.87),  # NDB 11819
    "green-chilli": (87.74, 2.00, 0.20, 9.46, 1.5, 5.10, 0.60),  # NDB 11670
    "jalapeno": (91.69, 0.91, 0.37, 6.50, 2.8, 4.12, 0.53),  # NDB 11979
    "sweet-pepper": (92.21, 0.99, 0.30, 6.03, 2.1, 4.20, 0.47),  # NDB 11821
    "garlic": (58.58, 6.36, 0.50, 33.06, 2.1, 1.00, 1.50),  # NDB 11215
    "carrot": (88.29, 0.93, 0.24, 9.58, 2.8, 4.74, 0.97),  # NDB 11124
    "onion": (89.11, 1.10, 0.10, 9.34, 1.7, 4.24, 0.35),  # NDB 11282
    "mango": (83.46, 0.82, 0.38, 14.98, 1.6, 13.66, 0.22),  # NDB 09176
    "pineapple": (86.00, 0.54, 0.12, 13.12, 1.4, 9.85, 0.22),  # NDB 09266
}


@pytest.mark.parametrize("kind", ROWS)
def test_produce_is_the_databases_water_sugar_and_the_rest(kind: str) -> None:
    """100 g hold the row's water and sugars; the solids are the rest, and no less than fibre and ash."""
    water, _, _, _, fibre, sugars, ash = ROWS[kind]
    made = mx.produce(0.1, kind)
    assert pytest.approx(water) == 1000 * made.water
    assert pytest.approx(sugars) == 1000 * made.sugar
    assert pytest.approx(100 - water - sugars) == 1000 * made.solids
    assert pytest.approx(100.0) == 1000 * made.mass
    assert 1000 * made.solids > fibre + ash


# From memory of the same database, not seen in a copy.
@pytest.mark.parametrize(
    ("kind", "sugars"),
    [
        ("cabbage", 3.20), ("cucumber", 1.67), ("tomato", 2.63), ("radish", 1.86), ("cauliflower", 1.91),
        ("bean", 3.26), ("beet", 6.76),
    ],
)  # fmt: skip
def test_sugar_of_other_produce_is_the_databases(kind: str, sugars: float) -> None:
    """The rows from memory: USDA NDB 11109, 11205, 11529, 11429, 11135, 11052, 11080."""
    assert pytest.approx(sugars) == 1000 * mx.produce(0.1, kind).sugar


def test_every_produce_has_its_sugar() -> None:
    """Whatever has its water has its sugar too, and every such row is checked here."""
    assert set(WATER) == set(SUGAR)
    assert {"cabbage", "cucumber", "tomato", "radish", "cauliflower", "bean", "beet"} == set(SUGAR) - set(ROWS)


# Choi and Okos 1986, kg/m3 at t C (from memory): 1329.9 - 0.5184 t, 925.59 - 0.41757 t,
# 1599.1 - 0.31046 t, 1311.5 - 0.36589 t, 2423.8 - 0.28063 t; here at 20 C.
PROTEIN, FAT, CARBOHYDRATE, FIBRE, ASH = 1319.5, 917.24, 1592.9, 1304.2, 2418.2


@pytest.mark.parametrize(
    ("kind", "within"),
    [
        ("chilli", 0.005), ("green-chilli", 0.005), ("jalapeno", 0.005), ("sweet-pepper", 0.005), ("carrot", 0.005),
        ("onion", 0.005), ("mango", 0.005), ("pineapple", 0.005), ("garlic", 0.025),
    ],
)  # fmt: skip
def test_density_of_produce_is_that_of_its_parts(kind: str, within: float) -> None:
    """Without the air in it, produce has the density that Choi and Okos give for its USDA row.

    Within 0.5 % (largest: mango 0.43); garlic, which is two fifths solids, reads 2.1 % light.
    """
    water, protein, fat, carbohydrate, fibre, _, ash = ROWS[kind]
    weight = water + protein + fat + carbohydrate + ash
    assert pytest.approx(100.0, abs=0.2) == weight
    fills = water / 998.2 + protein / PROTEIN + fat / FAT + (carbohydrate - fibre) / CARBOHYDRATE
    fills += fibre / FIBRE + ash / ASH
    assert pytest.approx(weight / fills, rel=within) == 1000 * mx.produce(1, kind).density


def test_honey_is_the_databases() -> None:
    """USDA NDB 19296: 17.10 % water, 82.12 % sugars, the rest other; a cup of 339 g, which reads 1.7 % dense."""
    made = mx.honey(1)
    assert pytest.approx({"water": 0.1710, "sugar": 0.8212, "other": 0.0078}) == made.as_dict()
    assert pytest.approx(1.0) == made.mass
    assert pytest.approx(0.339 / convert(1, "us_cup", "liter"), rel=0.02) == made.density


# Salt and heat ---------------------------------------------------------------------------------


def test_sodium_of_a_spoon_of_salt_is_near_the_databases() -> None:
    """Pure salt is 39,337 mg of sodium in 100 g (atomic weights); USDA NDB 02047, table salt, has 38,758."""
    assert pytest.approx(39337, abs=1) == 1e6 * mx.salt(0.1).sodium
    assert pytest.approx(38758, rel=0.016) == 1e6 * mx.salt(0.1).sodium


def test_heat_of_a_measured_pepper_is_the_papers() -> None:
    """Al Othman et al. 2011: 4249.0 micrograms of capsaicin a gram are 67,984.60 Scoville units."""
    assert pytest.approx(67984.6, abs=1) == mx.produce(1, "chilli", 4249.0e-6).heat
