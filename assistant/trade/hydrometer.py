"""Density, gravity and salometer degrees of a salt brine, and back to percent."""

from __future__ import annotations

from dataclasses import replace

from assistant.declare import Calculator, Default, Example, Input, Limit, Relation, Source
from assistant.trade.brine import PER_LITRE_BRINE
from assistant.trade.shared import (
    OF_WATER_LIMIT,
    OF_WHOLE_LIMIT,
    PER_LITRE_OF_BRINE,
    STRENGTH_OF_BRINE,
    WATER_AS_VOLUME,
    WHOLE,
    mass,
    volume,
)
from assistant.trade.solution import (
    KELL,
    LALIBERTE,
    SALOMETER,
    SATURATED_60F,
    SOLUBILITY,
    brine_density,
    saturation,
    strength_of_density,
    water_density,
)

HANDBOOK = Source("Perry's Chemical Engineers' Handbook, NaCl density at 20 C (via a stored copy)")

_WHOLE = Input(
    "of_whole",
    "fraction",
    "salt of everything",
    OF_WHOLE_LIMIT,
    ask="Which strength, in % of everything with the salt?",
    terms=("of-whole", "of-total", "brine", "salinity", "salt"),
    marks=("at", "of"),
    basis=WHOLE,
    plain=True,
)
_WATER = Input(
    "of_water",
    "fraction",
    "salt of the water",
    OF_WATER_LIMIT,
    terms=("of-water", "water"),
    basis="the water",
    rival=True,
)


def _temperature(default: Default) -> Input:
    """The brine's temperature, with what is taken when nobody says one."""
    return Input(
        "temperature",
        "temperature",
        "temperature",
        Limit(0, 60, "degree_Celsius", from_low=True),
        terms=("temperature",),
        marks=("at", "in"),
        plain=True,
        default=default,
    )


HYDROMETER = Calculator(
    name="gravity",
    title="Density and gravity of a brine",
    does="density or specific gravity of a salt brine from its strength, and back",
    inputs=(
        _WHOLE,
        _WATER,
        Input("gravity", "gravity", "specific gravity", Limit(0.95, 1.21, "gravity"), terms=("gravity",)),
        Input(
            "density",
            "density",
            "density",
            Limit(0.95, 1.21, "kilogram_per_liter"),
            terms=("density", "brine"),
            plain=True,
        ),
        _temperature(Default(20.0, "degree_Celsius", "measured at 20 C (68 F)", KELL)),
        replace(PER_LITRE_BRINE, rival=False),
    ),
    relations=(
        Relation(
            "density = brine_density(of_whole, temperature)",
            {
                "density": "brine_density(of_whole, temperature)",
                "of_whole": "strength_of_density(density, temperature)",
            },
            LALIBERTE,
            functions={"brine_density": brine_density, "strength_of_density": strength_of_density},
        ),
        Relation(
            "gravity = density / water_density(temperature)",
            {
                "gravity": "density / water_density(temperature)",
                "density": "gravity * water_density(temperature)",
            },
            KELL,
            functions={"water_density": water_density},
        ),
        STRENGTH_OF_BRINE,
        PER_LITRE_OF_BRINE,
    ),
    goals=("density", "gravity", "of_whole"),
    called_by=(
        "density",
        "gravity",
        "density brine",
        "gravity brine",
        "gravity salt",
        "of-brine",
    ),
    headline={
        "density": ("{density}, gravity {gravity}, for {of_whole} of everything at {temperature}.",),
        "gravity": ("Gravity {gravity} ({density}) for {of_whole} of everything at {temperature}.",),
        "of_whole": ("{of_whole} of everything: gravity {gravity} at {temperature}.",),
        "of_water": ("{of_water} of the water: gravity {gravity} at {temperature}.",),
    },
    tail=(
        "{of_whole} of everything is {of_water} of the water, {per_litre_brine} of finished brine.",
        "A reading in a real ferment also counts sugar and acid, so it says little about its salt.",
    ),
    wanted={
        "density": ("density",),
        "gravity": ("gravity",),
        "salinity": ("of_whole",),
        "strength": ("of_whole",),
        "salt": ("of_whole",),
        "brine": ("of_whole",),
    },
    sources=(LALIBERTE, KELL, HANDBOOK),
    examples=(
        Example("density of a 10% brine", "density", 1.0707, "kilogram_per_liter", 0.0005, HANDBOOK),
        Example("gravity 1.0271, how salty is the brine", "of_whole", 3.9, "percent", 0.1, HANDBOOK),
    ),
)
"""Gravity here is against water at the same temperature."""

SALOMETER_SCALE = Calculator(
    name="salometer",
    title="Salometer degrees",
    does="salometer degrees of a brine from its strength, and back",
    inputs=(
        _WHOLE,
        _WATER,
        Input(
            "salometer",
            "salometer",
            "salometer reading",
            Limit(0, 105, "salometer"),
            terms=("salometer-reading", "brine"),
            plain=True,
        ),
        _temperature(Default(60.0, "degree_Fahrenheit", "read at 60 F, where the scale is made", SALOMETER)),
        Input("corrected", "salometer", "degrees at 60 F", Limit(0, 105, "salometer")),
    ),
    relations=(
        Relation(
            "corrected = salometer + (temperature * 1.8 + 32 - 60) / 10",
            {
                "corrected": "salometer + (temperature * 1.8 + 32 - 60) / 10",
                "salometer": "corrected - (temperature * 1.8 + 32 - 60) / 10",
            },
            SALOMETER,
        ),
        Relation(
            f"of_whole = corrected / 100 * {SATURATED_60F}",
            {
                "of_whole": f"corrected / 100 * {SATURATED_60F}",
                "corrected": f"100 * of_whole / {SATURATED_60F}",
            },
            SALOMETER,
        ),
        STRENGTH_OF_BRINE,
    ),
    goals=("of_whole", "salometer"),
    called_by=("salometer-reading", "#salometer", "#salometer brine", "salometer-reading brine"),
    headline={
        "of_whole": ("{of_whole} of everything: {salometer} at {temperature}.",),
        "of_water": ("{of_water} of the water: {salometer} at {temperature}.",),
        "salometer": ("{salometer} at {temperature} for {of_whole} of everything.",),
    },
    tail=(
        "{of_whole} of everything is {of_water} of the water.",
        "Some instruments call 25% the full 100 degrees: check yours.",
    ),
    wanted={
        "salinity": ("of_whole",),
        "strength": ("of_whole",),
        "salometer-reading": ("salometer",),
        "salt": ("of_whole",),
    },
    sources=(SALOMETER,),
    examples=(Example("60 degrees salometer, how strong is the brine", "of_whole", 15.84, "percent", 0.01, SALOMETER),),
)
"""100 degrees is a saturated brine at 60 F, 26.395 % of everything."""

SATURATION = Calculator(
    name="saturation",
    title="How much salt dissolves",
    does="the most salt a water can hold at a temperature",
    inputs=(
        volume("water_volume", "water", ask="How much water?", terms=("water",), marks=("in", "with"), plain=True),
        mass("water", "water", terms=("water",)),
        _temperature(Default(20.0, "degree_Celsius", "at 20 C (68 F)", SOLUBILITY)),
        Input("of_whole", "fraction", "salt of everything", Limit(0, 29, "percent"), basis=WHOLE),
        Input("of_water", "fraction", "salt of the water", Limit(0, 40, "percent"), basis="the water"),
        mass("salt", "salt", terms=("salt",)),
    ),
    relations=(
        Relation(
            "of_whole = saturation(temperature)",
            {"of_whole": "saturation(temperature)"},
            SOLUBILITY,
            functions={"saturation": saturation},
        ),
        STRENGTH_OF_BRINE,
        WATER_AS_VOLUME,
        Relation("salt = of_water * water", {"salt": "of_water * water"}),
    ),
    goals=("salt",),
    excluded_by=frozenset({"#salted"}),
    called_by=("dissolving", "dissolving salt", "dissolving salt water", "dissolving water", "fitting salt water"),
    headline={
        "salt": ("{salt} of salt is the most that {water_volume} of water holds at {temperature}.",),
        "of_whole": ("{of_whole} of everything is the most that water holds at {temperature}.",),
    },
    tail=("That is a saturated brine: {of_whole} of everything, {of_water} of the water.",),
    wanted={"salt": ("salt",), "salinity": ("of_whole",), "strength": ("of_whole",)},
    sources=(SOLUBILITY,),
    examples=(
        Example("how much salt dissolves in 1 L of water at 20 C", "salt", 358.8, "gram", 0.5, SOLUBILITY),
        Example("how much salt dissolves in 2 L of water at 60 C", "salt", 743.0, "gram", 3.0, SOLUBILITY),
    ),
)
"""Hot water holds little more salt than cold: 26.4 % at 20 C, 28.1 % at 100 C."""

CALCULATORS = (HYDROMETER, SALOMETER_SCALE, SATURATION)
