"""Salt by the spoon, and weight from volume for a few named substances."""

from __future__ import annotations

from dataclasses import replace

from assistant.declare import Calculator, Default, Example, Input, Limit, Relation, Source
from assistant.trade.shared import SALT, SPOON_INPUTS, SPOON_RELATIONS, SPOONS, mass, volume
from assistant.trade.solution import WATER_20

SPOON = Calculator(
    name="spoon",
    title="Salt by the spoon",
    does="the weight of spoons of salt, once the kind of salt is known",
    inputs=(
        replace(SPOON_INPUTS[0], ask="How many spoons?", plain=True, instead=("salt",)),
        replace(SALT, plain=True),
        *SPOON_INPUTS[1:],
    ),
    relations=SPOON_RELATIONS,
    goals=("salt", "salt_volume", "bulk"),
    called_by=("#into salt", "#spoon salt", "#spoon @salt", "#spoon", "weighing-spoons"),
    headline={
        "salt": ("{salt_volume} of salt weighs {salt}.",),
        "salt_volume": ("{salt} of salt is {salt_volume}.",),
        "bulk": ("A spoonful weighs {bulk}.",),
    },
    tail=("A spoon is rough: weigh the salt where you can.",),
    wanted={"salt": ("salt",), "volume": ("salt_volume",), "mass": ("salt",)},
    sources=(SPOONS,),
    examples=(Example("3 tablespoons of fine salt in grams", "salt", 54.0, "gram", 0.01, SPOONS),),
)
"""Fine salt is 18 g a tablespoon; flaky salts run from 9 to 15 g, so they must be weighed."""

FOODS = Source("USDA National Nutrient Database, weight of a cup")
WATER_SOURCE = Source("CRC Handbook, 53rd ed., F-4: water 0.9982 kg/L at 20 C")
_CUP = 0.2365882365

SUBSTANCE = Calculator(
    name="substance",
    title="Weight from volume",
    does="the weight of a volume of water, vinegar, honey or sugar, and back",
    inputs=(
        volume(
            "volume",
            "volume",
            ask="How much of it, by volume?",
            terms=("water", "vinegar", "honey", "sugar"),
            plain=True,
            instead=("mass",),
        ),
        mass("mass", "weight", terms=("water", "vinegar", "honey", "sugar"), plain=True),
        Input(
            "density",
            "density",
            "density",
            Limit(0.2, 2, "kilogram_per_liter"),
            ask="Of what? I know water, vinegar, honey, sugar and fine salt by volume",
            terms=("density",),
            default=Default(
                None,
                "kilogram_per_liter",
                "",
                FOODS,
                by_kind={
                    "fine": (18.0 / 14.78676478125, "fine salt weighs 18 g a US tablespoon"),
                    "water": (WATER_20, "water weighs 998 g a litre at 20 C"),
                    "vinegar": (0.238 / _CUP, "vinegar weighs 238 g a US cup"),
                    "honey": (0.339 / _CUP, "honey weighs 339 g a US cup"),
                    "sugar": (0.200 / _CUP, "granulated sugar weighs 200 g a US cup"),
                },
            ),
        ),
    ),
    relations=(
        Relation(
            "mass = volume * density",
            {"mass": "volume * density", "volume": "mass / density", "density": "mass / volume"},
        ),
    ),
    goals=("mass", "volume"),
    excluded_by=frozenset({"brine", "mash"}),
    called_by=("#into", "#into water", "#into @substance", "converting water", "converting @substance", "@substance"),
    headline={"mass": ("{volume} of {kind} weighs {mass}.",), "volume": ("{mass} of {kind} is {volume}.",)},
    wanted={
        "mass": ("mass",),
        "volume": ("volume",),
        "water": ("mass",),
        "vinegar": ("mass",),
        "honey": ("mass",),
        "sugar": ("mass",),
    },
    sources=(FOODS, WATER_SOURCE),
    examples=(Example("weight of a cup of honey", "mass", 339.0, "gram", 0.1, FOODS),),
)
"""Volume to weight only through a named substance."""

CALCULATORS = (SPOON, SUBSTANCE)
