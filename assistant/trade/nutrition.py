"""What a serving holds: sodium, sugars and energy, and how a label rounds them.

Salt is not sodium. Protein, fat and the starch of the produce are not counted: a label needs a laboratory or a
composition table for them, and local rules say which figures it must carry.
"""

from __future__ import annotations

import math

from assistant.declare import ARITHMETIC, PRACTICE, Calculator, Default, Example, Input, Limit, Relation, Source
from assistant.trade.mixture import SODIUM, SODIUM_SHARE
from assistant.trade.shared import strength, volume

US_LABEL = Source("21 CFR 101.9(c), FDA Food Labeling Guide App. H (2009): rounding of sodium, sugars and calories")
US_SPOON = Source("21 CFR 101.9(b)(5)(viii): a teaspoon on a label is 5 mL; 101.12(b): hot sauce 1 tsp", seen=False)
ENERGY = Source("Regulation (EU) 1169/2011, Annexes I and XIV: salt is sodium x 2.5; sugars 4, organic acids 3 kcal/g",
                seen=False)  # fmt: skip


def us_sodium(milligrams: float) -> float:
    """mg of sodium as a US label rounds it: under 5 none, to 140 the nearest 5, over it the nearest 10 (US_LABEL)."""
    if milligrams < 5:
        return 0.0
    step = 5 if milligrams <= 140 else 10
    return step * math.floor(milligrams / step + 0.5)


def us_sugars(grams: float) -> float:
    """g of sugars as a US label rounds them: under 0.5 none, else the nearest whole (US_LABEL).

    From 0.5 to under 1 g the label may say "less than 1 g"; 1 stands for it here.
    """
    return 0.0 if grams < 0.5 else max(1.0, math.floor(grams + 0.5))


def us_calories(kilocalories: float) -> float:
    """Calories as a US label rounds them: under 5 none, to 50 the nearest 5, over it the nearest 10 (US_LABEL)."""
    if kilocalories < 5:
        return 0.0
    step = 5 if kilocalories <= 50 else 10
    return step * math.floor(kilocalories / step + 0.5)


_TRACE = Limit(0, 1e9, "milligram", from_low=True)
_SHARE = Limit(0, 90, "percent", from_low=True)

_ALL = (
    "A serving of {serving} holds {sodium} of sodium, {sugars} of sugars, {energy} kcal; a US label says "
    "{sodium_label}, {sugars_label} g and {energy_label}."
)

SERVING = Calculator(
    name="serving",
    owns=frozenset({"sodium", "energy"}),
    title="Sodium, sugar and energy of a serving",
    does="what a serving of a sauce holds, and what a US label makes of it",
    inputs=(
        strength("of_whole", "salt", ask="How salty is the sauce, in % of everything?", reads="of_whole", plain=True,
                 marks=("at", "of", "with"), terms=("batch", "salinity", "salt", "brine")),
        Input("sugar_share", "fraction", "sugar", _SHARE, basis="everything", terms=("sugar",), named=True,
              ask="How much sugar is in it, in % of everything? What has fermented away does not count"),
        Input("acid_share", "fraction", "acid", _SHARE, basis="everything", terms=("acetic", "lactic"), named=True,
              default=Default(0.0, "percent", "its acid is not counted", ARITHMETIC)),
        volume(
            "serving", "a serving", terms=("serving", "batch"), plain=True, marks=("per", "in", "of", "for"),
            default=Default(0.005, "liter", "a serving is a teaspoon, 5 mL on a US label", US_SPOON),
        ),
        Input(
            "sauce_density", "density", "what a litre of the sauce weighs", Limit(0.8, 1.5, "kilogram_per_liter"),
            terms=("density",), default=Default(1.0, "kilogram_per_liter", "1 L of sauce weighs 1 kg", PRACTICE),
            reads="density",
        ),
        Input("grams", "trace", "what a serving weighs", _TRACE),
        Input("sodium", "trace", "sodium of a serving", _TRACE),
        Input("sodium_label", "trace", "sodium on a US label", _TRACE),
        Input("sodium_hundred", "trace", "sodium of 100 g", _TRACE),
        Input("declared", "fraction", "salt as declared in the EU", Limit(0, 100, "percent", from_low=True)),
        Input("sugars", "trace", "sugars of a serving", _TRACE),
        Input("sugars_label", "count", "g of sugars on a US label", Limit(0, 1e6, "count", from_low=True)),
        Input("energy", "count", "kcal of a serving", Limit(0, 1e6, "count", from_low=True)),
        Input("energy_label", "count", "Calories on a US label", Limit(0, 1e6, "count", from_low=True)),
    ),
    relations=(
        Relation("grams = 1000000 * serving * sauce_density", {"grams": "1000000 * serving * sauce_density"}),
        Relation(
            f"sodium = {SODIUM_SHARE} * of_whole * grams", {"sodium": f"{SODIUM_SHARE} * of_whole * grams"}, SODIUM
        ),
        Relation("sodium_label = us_sodium(sodium)", {"sodium_label": "us_sodium(sodium)"}, US_LABEL,
                 functions={"us_sodium": us_sodium}),
        Relation(f"sodium_hundred = {100000 * SODIUM_SHARE} * of_whole",
                 {"sodium_hundred": f"{100000 * SODIUM_SHARE} * of_whole"}, SODIUM),
        Relation("declared = sodium_hundred * 2.5 / 100000", {"declared": "sodium_hundred * 2.5 / 100000"}, ENERGY),
        Relation("sugars = sugar_share * grams", {"sugars": "sugar_share * grams"}),
        Relation("sugars_label = us_sugars(sugars / 1000)", {"sugars_label": "us_sugars(sugars / 1000)"}, US_LABEL,
                 functions={"us_sugars": us_sugars}),
        Relation("energy = (4 * sugars + 3 * acid_share * grams) / 1000",
                 {"energy": "(4 * sugars + 3 * acid_share * grams) / 1000"}, ENERGY),
        Relation("energy_label = us_calories(energy)", {"energy_label": "us_calories(energy)"}, US_LABEL,
                 functions={"us_calories": us_calories}),
    ),
    goals=("sodium_label",),
    called_by=("sodium", "sodium serving", "serving", "serving batch", "sodium batch", "energy", "energy serving",
               "serving sugar", "nutrition", "nutrition serving"),
    headline={
        "sodium_label": (
            _ALL,
            "A serving of {serving} holds {sodium} of sodium; a US label says {sodium_label}.",
        ),
        "sugars_label": ("A serving of {serving} holds {sugars} of sugars; a US label says {sugars_label} g.",),
        "energy_label": (
            _ALL,
            "A serving of {serving} holds {energy} kcal of sugar and acid; a US label says {energy_label}.",
        ),
    },
    tail=(
        "Salt is not sodium: sodium is 39.3% of it. 100 g hold {sodium_hundred} of sodium; an EU label gives salt as "
        "sodium x 2.5, {declared}.",
        "Rounded by 21 CFR 101.9(c). Other places round otherwise, and local rules say what a label must carry: look "
        "up yours. Protein, fat and starch are not counted.",
    ),
    wanted={
        "sodium": ("sodium_label",), "salt": ("sodium_label",), "sugar": ("sugars_label",),
        "energy": ("energy_label",), "nutrition": ("sodium_label", "sugars_label", "energy_label"),
    },
    all_of=frozenset({"nutrition"}),
    excluded_by=frozenset({"reduced", "mashing"}),
    sources=(US_LABEL, SODIUM, ENERGY),
    examples=(
        Example("how much sodium in a teaspoon of sauce at 3% salt", "sodium", 58.2, "milligram", 0.3, SODIUM),
    ),
)  # fmt: skip
"""3 % salt in the exact teaspoon of 4.93 g is 58 mg of sodium."""

CALCULATORS = (SERVING,)
