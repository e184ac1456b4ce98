"""Sugar that goes into a sauce, and the gas that it can make in a closed bottle.

Sugar feeds what lives in a sauce that was not heated. The gas worked out here is a ceiling: all of the sugar
turned to alcohol and carbon dioxide by yeasts, in a bottle that holds.
"""

from __future__ import annotations

import math

from assistant.declare import ARITHMETIC, PRACTICE, Calculator, Default, Example, Input, Limit, Relation, Source
from assistant.trade.mixture import HONEY
from assistant.trade.produce import SUGAR, USDA
from assistant.trade.shared import mass, volume
from assistant.trade.spoon import FOODS

YEAST = Source("atomic weights: C12H22O11 + H2O gives 4 C2H5OH and 4 CO2, 176.04 g of it from 342.30 g")
HENRY = Source(
    "Sander, compilation of Henry's law constants: carbon dioxide 0.034 mol/(L bar) at 25 C, 2400 K", seen=False
)
GAS = Source("22.26 L of carbon dioxide weigh 44.01 g at 0 C and 1 atm: 1 volume is 1.977 g/L")
_SAUCE = ("batch", "mash", "strained", "@vessel")
_FRUIT = ("mango", "pineapple", "tomato")
_SWEET = ("sugar", "honey", "mango", "pineapple", "apple", "peach", "tomato")

CO_TWO_OF_SUGAR = 176.04 / 342.30
"""g of carbon dioxide from a g of table sugar, the most that any sugar gives (YEAST)."""
VOLUME_OF_GAS = 1.977
"""g/L of carbon dioxide in one volume (GAS)."""


def solubility(temperature: float) -> float:
    """mol/L of carbon dioxide that a bar of it keeps in water at degrees C (HENRY); salt and solids keep less."""
    return 0.034 * math.exp(2400.0 * (1 / (temperature + 273.15) - 1 / 298.15))


def bottle_pressure(gas: float, headroom: float, temperature: float) -> float:
    """bar over the outside in a closed bottle that holds, by Henry's and the ideal gas law, up to the next tenth.

    Args:
        gas: kg of carbon dioxide for each L of sauce.
        headroom: the share of the bottle that is air.
        temperature: degrees C.

    Raises:
        ZeroDivisionError: a bottle of nothing but air.
    """
    kept = solubility(temperature)
    air = headroom / (1 - headroom)
    total = 1000 * gas / 44.01
    found = total / (kept + air / (0.083145 * (temperature + 273.15)))
    return math.ceil(found * 10 - 1e-9) / 10


SWEETEN = Calculator(
    name="sweeten",
    owns=frozenset({"sweetening"}),
    title="Sweetening",
    does="the sugar, honey or fruit for a share of sugar in a sauce, and what share a weight of it makes",
    inputs=(
        mass("sauce", "sauce", ask="How much sauce is there?", terms=_SAUCE, plain=True, instead=("sauce_volume",),
             marks=("in", "for", "to", "with"), reads="mass"),
        volume("sauce_volume", "sauce", terms=_SAUCE, plain=True, marks=("in", "for", "to")),
        Input(
            "sauce_density", "density", "what a litre of the sauce weighs", Limit(0.8, 1.5, "kilogram_per_liter"),
            terms=("density",), default=Default(1.0, "kilogram_per_liter", "1 L of sauce weighs 1 kg", PRACTICE),
        ),
        Input(
            "sugar_share", "fraction", "added sugar", Limit(0, 60, "percent"), basis="everything with it", plain=True,
            ask="How much sugar, in % of everything?", instead=("sweet",), terms=("sugar", "honey"),
            marks=("at", "to", "for"),
        ),
        Input(
            "sugar_there", "fraction", "added sugar that is in it already", Limit(0, 60, "percent", from_low=True),
            basis="everything", plain=True, marks=("from", "at"), terms=("sugar", "honey"), reads="sugar",
            default=Default(0.0, "percent", "no sugar was added yet", ARITHMETIC),
        ),
        mass("sweet", "what goes in", terms=_SWEET, marks=("with",), instead=("sweet_volume",)),
        volume("sweet_volume", "what goes in by volume", terms=("sugar", "honey"), marks=("with",)),
        Input(
            "sweet_bulk", "density", "what a litre of it weighs", Limit(0.3, 1.6, "kilogram_per_liter"),
            default=Default(
                0.845, "kilogram_per_liter", "granulated sugar weighs 200 g a US cup", FOODS,
                by_kind={"honey": (1.433, "honey weighs 339 g a US cup")},
            ),
        ),
        Input(
            "sweetness", "fraction", "sugar in what goes in", Limit(0, 100, "percent"),
            default=Default(
                100.0, "percent", "sugar is all sugar", ARITHMETIC,
                by_kind={
                    "honey": (82.12, "honey is 82.1% sugar"),
                    **{kind: (SUGAR[kind], f"{kind} is {SUGAR[kind]:g}% sugar") for kind in _FRUIT},
                },
            ),
        ),
        mass("both", "the sauce with it"),
        Input("part", "fraction", "its share of everything", Limit(0, 100, "percent")),
        Input("sugar", "mass", "sugar that it brings", Limit(0, 5000, "kilogram")),
    ),
    relations=(
        Relation(
            "sauce = sauce_volume * sauce_density",
            {"sauce": "sauce_volume * sauce_density", "sauce_volume": "sauce / sauce_density"},
        ),
        Relation(
            "sweet = sweet_volume * sweet_bulk",
            {"sweet": "sweet_volume * sweet_bulk", "sweet_volume": "sweet / sweet_bulk"},
        ),
        Relation(
            "sugar_there * sauce + sweetness * sweet = sugar_share * (sauce + sweet)",
            {
                "sweet": "sauce * (sugar_share - sugar_there) / (sweetness - sugar_share)",
                "sugar_share": "(sugar_there * sauce + sweetness * sweet) / (sauce + sweet)",
                "sauce": "sweet * (sweetness - sugar_share) / (sugar_share - sugar_there)",
            },
        ),
        Relation("both = sauce + sweet", {"both": "sauce + sweet"}),
        Relation("part = sweet / both", {"part": "sweet / both"}),
        Relation("sugar = sweetness * sweet", {"sugar": "sweetness * sweet"}),
    ),
    goals=("sweet", "sugar_share"),
    called_by=("sweetening", "sweetening batch", "sweetening sugar", "sweetening honey",
               "sweetening #up", "#up sugar", "#up honey", "raising sugar", "raising honey", "sweetening @produce",
               "sugar batch", "honey batch", "#sweets", "#sweets batch"),
    headline={
        "sweet": ("{sweet} of {kind} into {sauce} makes {sugar_share} added sugar in {both}.",),
        "sugar_share": ("{sweet} of {kind} into {sauce} makes {sugar_share} added sugar; it is {part} of {both}.",),
        "sauce": ("{sweet} of {kind} makes {sugar_share} added sugar in {sauce}.",),
    },
    tail=(
        "What was sweet before it fermented is not counted. Salt, acid, gum and heat fall as it grows: read the pH a "
        "day later.",
    ),
    wanted={"sugar": ("sweet",), "honey": ("sweet",), "strength": ("sugar_share",)},
    excluded_by=frozenset({"trial", "serving", "sodium", "brine", "mashing", "fermenting", "gas", "converting"}),
    sources=(ARITHMETIC, HONEY, USDA),
    examples=(Example("sweeten 2 kg of sauce to 5% sugar", "sweet", 105.3, "gram", 0.1, ARITHMETIC),),
)  # fmt: skip
"""105 g of sugar in 2.105 kg is 5 %."""

BOTTLE_GAS = Calculator(
    name="bottle-gas",
    owns=frozenset({"gas"}),
    title="Live sugar in a closed bottle",
    does="the most gas and pressure that sugar can make in a closed bottle of sauce that was not heated",
    inputs=(
        Input(
            "sugar_litre", "density", "sugar that can ferment", Limit(0, 0.9, "kilogram_per_liter"), plain=True,
            terms=("sugar", "honey"), marks=("at", "of", "with"), instead=("sugar",),
            ask="How much sugar can still ferment, in g per litre?",
        ),
        mass("sugar", "sugar that went in", terms=("sugar", "honey"), marks=("with",)),
        volume("sauce_volume", "the sauce it is in", terms=_SAUCE[:-1], marks=("in", "to", "for"), plain=True,
               ask="In how many litres?"),
        Input(
            "headroom", "fraction", "air in the bottle", Limit(0, 90, "percent", from_low=True), terms=("headspace",),
            instead=("air",),
            default=Default(0.0, "percent", "the bottle is full", ARITHMETIC),
        ),
        volume("air", "air in the bottle by volume", terms=("headspace",)),
        volume("capacity", "bottle", terms=("@vessel", "capacity"), marks=("in", "of")),
        Input("sugar_share", "fraction", "sugar by weight", Limit(0, 60, "percent"), plain=True, terms=("sugar",)),
        Input(
            "temperature", "temperature", "temperature", Limit(-2, 60, "degree_Celsius"), plain=True, marks=("at",),
            default=Default(25.0, "degree_Celsius", "a warm kitchen, 25 C", PRACTICE),
        ),
        Input("gas", "density", "carbon dioxide", Limit(0, 1, "kilogram_per_liter")),
        Input("volumes", "count", "volumes of gas", Limit(0, 1000, "count")),
        Input("pressure", "count", "bar over the outside", Limit(0, 10000, "count")),
    ),
    relations=(
        Relation("sugar = sugar_litre * sauce_volume", {
            "sugar_litre": "sugar / sauce_volume", "sugar": "sugar_litre * sauce_volume",
            "sauce_volume": "sugar / sugar_litre",
        }),
        Relation("headroom = air / capacity", {"headroom": "air / capacity"}),
        # a litre of sauce counted as 1.1 kg, the heaviest: the most sugar
        Relation("sugar_litre = 1.1 * sugar_share", {"sugar_litre": "1.1 * sugar_share"}, PRACTICE),
        Relation(f"gas = {CO_TWO_OF_SUGAR:.4f} * sugar_litre", {"gas": f"{CO_TWO_OF_SUGAR:.4f} * sugar_litre"}, YEAST),
        Relation(f"volumes = 1000 * gas / {VOLUME_OF_GAS}", {"volumes": f"1000 * gas / {VOLUME_OF_GAS}"}, GAS),
        Relation("pressure = bottle_pressure(gas, headroom, temperature)",
                 {"pressure": "bottle_pressure(gas, headroom, temperature)"}, HENRY,
                 functions={"bottle_pressure": bottle_pressure}),
    ),
    goals=("pressure",),
    called_by=("gas", "gas sugar", "gas batch", "gas sugar batch", "gas honey", "gas @vessel",
               "gas sugar @vessel", "gas honey @vessel"),
    headline={
        "pressure": (
            "{sugar_litre} of sugar can make up to {gas} of carbon dioxide, {volumes} volumes: up to {pressure} bar "
            "in a closed bottle at {temperature}.",
        ),
    },
    tail=(
        "That is a ceiling: all of it turned to gas by yeasts and none let out. Counted as table sugar, which makes "
        "the most. A lactic ferment makes less, a wild one may make all of it.",
    ),
    wanted={"gas": ("pressure",)},
    sources=(YEAST, HENRY, GAS),
    examples=(Example("gas pressure from 40 g of sugar per litre", "volumes", 10.4, "count", 0.1, YEAST),),
)  # fmt: skip
"""40 g/L of sugar could make 20 g/L of gas, ten volumes."""

CALCULATORS = (SWEETEN, BOTTLE_GAS)
