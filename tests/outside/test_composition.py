"""Water in produce and weights of a cup against the USDA nutrient tables.

USDA National Nutrient Database SR26 (2013), per 100 g raw edible part, read in a plain copy of
the USDA files; the same values stand in FoodData Central, SR Legacy.
"""

from __future__ import annotations

import pytest

from assistant.evaluate import default_value, solve
from assistant.trade import calculator
from assistant.trade.produce import WATER
from assistant.trade.shared import MOISTURE
from grammar.measures import convert

# NDB number, produce term, water g per 100 g.
USDA = (
    ("11819", "chilli", 88.02),  # Peppers, hot chili, red, raw
    ("11670", "green-chilli", 87.74),  # Peppers, hot chili, green, raw
    ("11979", "jalapeno", 91.69),  # Peppers, jalapeno, raw
    ("11821", "sweet-pepper", 92.21),  # Peppers, sweet, red, raw
    ("11215", "garlic", 58.58),  # Garlic, raw
    ("11124", "carrot", 88.29),  # Carrots, raw
    ("11282", "onion", 89.11),  # Onions, raw
    ("09176", "mango", 83.46),  # Mangos, raw
    ("09266", "pineapple", 86.00),  # Pineapple, raw
    # the rest from memory of the same database, not seen in a copy
    ("11109", "cabbage", 92.18),  # Cabbage, raw
    ("11205", "cucumber", 95.23),  # Cucumber, with peel, raw
    ("11529", "tomato", 94.52),  # Tomatoes, red, ripe, raw
    ("11429", "radish", 95.27),  # Radishes, raw
    ("11135", "cauliflower", 92.07),  # Cauliflower, raw
    ("11052", "bean", 90.32),  # Beans, snap, green, raw
    ("11080", "beet", 87.58),  # Beets, raw
)


@pytest.mark.parametrize(("_number", "kind", "water"), USDA)
def test_moisture_of_produce_is_the_databases(_number: str, kind: str, water: float) -> None:
    """The moisture taken for a named produce is its USDA row."""
    taken = default_value(MOISTURE, (kind,))
    assert taken is not None
    assert pytest.approx(water / 100, abs=1e-9) == taken.value


def test_every_moisture_has_its_row() -> None:
    """No produce has a moisture that this table does not check."""
    assert {kind for _, kind, _ in USDA} == set(WATER)


def test_moisture_of_unnamed_produce_is_that_of_red_chilli() -> None:
    """With no produce named, 88 % is taken: USDA NDB 11819, hot red chili, 88.02, rounded."""
    taken = default_value(MOISTURE, ())
    assert taken is not None
    assert pytest.approx(0.8802, abs=0.0005) == taken.value


@pytest.mark.parametrize(("_number", "kind", "water"), USDA)
def test_salt_of_the_juice_rests_on_the_databases_water(_number: str, kind: str, water: float) -> None:
    """30 g of salt on 1 kg settles at 30 / (30 + its USDA water), by the mash calculator."""
    outcome = solve(calculator("mash"), {"produce": 1.0, "of_produce": 0.03}, ("settled",), (kind,))
    assert pytest.approx(30 / (30 + 10 * water), rel=1e-9) == outcome.values["settled"]


# USDA household weights: NDB 02053 distilled vinegar, 19296 honey, 19335 granulated sugar,
# 14411 tap water. Water is 0.35 % lighter here, by the CRC density at 20 C.
@pytest.mark.parametrize(
    ("kind", "grams", "within"),
    [("vinegar", 238, 0.01), ("honey", 339, 0.01), ("sugar", 200, 0.01), ("water", 237, 0.9)],
)
def test_a_cup_weighs_what_the_database_says(kind: str, grams: float, within: float) -> None:
    """A US cup of a named substance has its USDA weight."""
    cup = convert(1, "us_cup", "liter")
    outcome = solve(calculator("substance"), {"volume": cup}, ("mass",), (kind,))
    assert pytest.approx(grams, abs=within) == 1000 * outcome.values["mass"]


# A second household weight of the same rows: spoons, printed to 0.1 g (honey to 1 g).
@pytest.mark.parametrize(
    ("kind", "unit", "grams", "within"),
    [
        ("vinegar", "us_tablespoon", 14.9, 0.05),
        ("honey", "us_tablespoon", 21, 0.5),
        ("sugar", "us_teaspoon", 4.2, 0.05),
    ],
)
def test_a_spoon_weighs_what_the_database_says(kind: str, unit: str, grams: float, within: float) -> None:
    """The cup's weight also gives the USDA spoon weight, to its printed digit."""
    spoon = convert(1, unit, "liter")
    outcome = solve(calculator("substance"), {"volume": spoon}, ("mass",), (kind,))
    assert pytest.approx(grams, abs=within) == 1000 * outcome.values["mass"]
