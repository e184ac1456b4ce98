"""Clean glass and true thermometers: no-rinse sanitizers from their stock, jars boiled, water's boiling point.

Concentrations are weight by volume, as the trade's ppm are (mg/L). Local codes and the product's own label come first.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

from assistant.declare import (
    ARITHMETIC,
    PRACTICE,
    Calculator,
    Default,
    Example,
    Input,
    Limit,
    Relation,
    Source,
    Worked,
)
from assistant.trade.shared import volume

NO_RINSE = Source(
    "21 CFR 178.1010(c) and 40 CFR 180.940: no-rinse chlorine up to 200 ppm, titratable iodine up to 25 ppm", seen=False
)
FOOD_CODE = Source(
    "FDA Food Code 4-501.114, 4-703.11: 100 mg/L chlorine at 55 F 10 s; 12.5 to 25 mg/L iodine at 68 F 30 s"
)
OTHER_CODES = Source(
    "10 NYCRR 14-4.112: chlorine 50 ppm or iodine 12.5 ppm for a minute at 75 F; California H&S Code 114099.6: "
    "chlorine 100 ppm for 30 s, iodine 25 ppm for a minute"
)
JAR_BOIL = Source("USDA AIB 539, Michigan State Ext. 01600946: 10 min to 1,000 ft, 1 more for each further 1,000 ft")
ATMOSPHERE = Source("ISO 2533 standard atmosphere (1976): 101,325 Pa at sea level, 6.5 K lapse per km", seen=False)
ANTOINE = Source("Antoine equation of water, 1 to 100 C: 8.07131, 1730.63, 233.426 in mmHg", seen=False)


def boiling_point(altitude: float) -> float:
    """Degrees C at which water boils so many dm over the sea, in the standard atmosphere; weather moves it by 1 C.

    Raises:
        ValueError: no such height.
    """
    pascal = 101_325 * (1 - 2.25577e-6 * altitude) ** 5.25588
    return 1730.63 / (8.07131 - math.log10(pascal / 133.322)) - 233.426


ICE = Source("definition of the Celsius scale to 1948, and ITS-90 within 0.01 C: ice and water at 0 C (32 F)")


def jar_minutes(altitude: float) -> float:
    """Days to boil empty jars so many dm over the sea: 10 min to 1,000 ft, a minute more for each further 1,000 ft."""
    feet = altitude / 3.048
    return (10 + max(0, math.ceil((feet - 1000) / 1000 - 1e-9))) / 1440


_WETTED = (
    "Wash first, wet everything all the time its label says (where it says none, a minute covers what codes ask), and "
    "let it drain, not rinse. Chlorine of 100 ppm or more works from 55 F (13 C), 50 to 99 ppm from 75 F (24 C), "
    "iodine from 68 F (20 C). The label and local rules come first."
)
HEIGHT = Limit(-4300, 55000, "decimeter", from_low=True)
"""Heights that people cook at, in dm over the sea."""

SANITIZER = Calculator(
    name="sanitizer",
    title="A no-rinse sanitizer",
    does="how much bleach or iodophor of a stated strength makes a no-rinse sanitizer, and what a dose makes",
    inputs=(
        volume("water", "water", ask="In how much water?", terms=("water", "@vessel"), plain=True,
               marks=("in", "to", "for", "per")),
        volume("stock", "stock", terms=("bleach", "iodophor"), marks=("with", "of")),
        Input(
            "strength", "fraction", "strength of the stock", Limit(0.1, 30, "percent"), plain=True, marks=("at", "of"),
            units=("percent",),
            ask="Which % does its bottle say? Bleach is sold from 3 to 12%, and it weakens in months",
            terms=("bleach", "iodophor"),
        ),
        Input(
            "ppm", "fraction", "sanitizer", Limit(0, 10000, "ppm"), plain=True, marks=("to", "for", "at"),
            units=("ppm",),
            terms=("bleach", "iodophor"),
            ask="How many ppm? Chlorine 100, never over 200; iodine 12.5 to 25",
        ),
        Input(
            "contact", "time", "contact time", Limit(0, 1, "day"),
            default=Default(1.0, "minute", "the label says no other time: a minute (US Food Code 10 s for chlorine, 30 "
                            "s for iodine; some states a minute)", OTHER_CODES),
        ),
    ),
    relations=(
        Relation(
            "strength * stock = ppm * (water + stock)",
            {
                "stock": "ppm * water / (strength - ppm)", "ppm": "strength * stock / (water + stock)",
                "water": "stock * (strength - ppm) / ppm", "strength": "ppm * (water + stock) / stock",
            },
        ),
    ),
    goals=("stock", "ppm"),
    called_by=("bleach", "iodophor", "sanitizing", "sanitizing bleach", "sanitizing iodophor", "bleach water",
               "iodophor water", "sanitizing @vessel"),
    headline={
        "stock": ("{stock} of a {strength} stock into {water} of water makes {ppm}.",),
        "ppm": ("{stock} of a {strength} stock into {water} of water makes {ppm}.",),
        "water": ("{stock} of a {strength} stock makes {ppm} in {water} of water.",),
        "contact": (
            "Keep it wet for {contact} at {ppm}, from a {strength} stock.", "Keep it wet for {contact} at {ppm}.",
            "Keep it wet for {contact}, from a {strength} stock.", "Keep it wet for {contact}.",
        ),
    },
    tail=(_WETTED,),
    wanted={"bleach": ("stock",), "iodophor": ("stock",), "volume": ("stock",), "strength": ("ppm",),
            "time": ("contact",), "temperature": ("contact",)},
    sources=(NO_RINSE, FOOD_CODE, OTHER_CODES, ARITHMETIC),
    examples=(
        Example("how much 5.25% bleach for 200 ppm in 5 litres of water", "stock", 19.12, "milliliter", 0.01,
                ARITHMETIC),
        Example("how long does 5.25% bleach need at 100 ppm", "contact", 1, "minute", 1e-6, OTHER_CODES),
    ),
)  # fmt: skip
"""3.82 mL for each litre of water."""


def by_ratio(known: Mapping[str, float], words: frozenset[str]) -> Worked:
    """What a ratio makes, read both ways: parts of water to one of stock, and parts of the whole with one of stock.

    Args:
        known: parts to one, the stock's strength, and litres where they were said.
        words: not used.
    """
    names = [name for name in ("parts", "parts_of_water", "parts_in_all") if name in known]
    if len(names) != 1:
        return Worked(missing=("parts",))
    name = names[0]
    parts = known[name]
    if "strength" not in known:
        return Worked(missing=("strength",))
    to_water, in_all = "parts_in_all" not in known, "parts_of_water" not in known and parts > 1
    made: dict[str, float] = {}
    said: list[str] = []
    lines: list[str] = []
    if to_water:
        made["ppm_to_water"] = known["strength"] / (parts + 1)
        text = f"1 part to {{{name}}} of water makes {{ppm_to_water}}"
        lines.append(f"To water: {{strength}} / ({{{name}}} + 1) = {{ppm_to_water}}.")
        if "water" in known:
            made["stock_to_water"] = known["water"] / parts
            text += ": {stock_to_water} of stock into {water} of water"
            lines.append(f"To water: {{water}} / {{{name}}} = {{stock_to_water}} of stock.")
        said.append(text)
    if in_all:
        made["ppm_in_all"] = known["strength"] / parts
        text = f"1 part in {{{name}}} of the whole makes {{ppm_in_all}}"
        lines.append(f"In all: {{strength}} / {{{name}}} = {{ppm_in_all}}.")
        if "water" in known:
            made["stock_in_all"] = known["water"] / parts
            made["water_in_all"] = known["water"] - made["stock_in_all"]
            text += ": {stock_in_all} of stock and {water_in_all} of water, {water} together"
            lines.append(f"In all: {{water}} / {{{name}}} = {{stock_in_all}} of stock.")
        said.append(text)
    made["ppm"] = max(made[one] for one in ("ppm_to_water", "ppm_in_all") if one in made)
    both = "A ratio is read two ways: " if len(said) == 2 else ""
    return Worked(made, headline=f"{both}{'; '.join(said)}.", lines=tuple(lines))


_STOCK = ("bleach", "iodophor")
_PPM = Limit(0, 300_000, "ppm")
_PARTS = Limit(0.1, 100_000, "part")

RATIO = Calculator(
    name="sanitizer-ratio",
    title="A sanitizer by a ratio",
    does="what one part of bleach or iodophor to so many parts makes, in ppm and in amounts, by both readings",
    inputs=(
        Input("parts", "part", "parts to one", _PARTS, ask="How many parts to one of the stock, for example 1:64?",
              terms=_STOCK, plain=True, marks=("in", "to", "per")),
        Input("parts_of_water", "part", "parts of water to one", _PARTS, terms=("water",)),
        Input("parts_in_all", "part", "parts in all with one of stock", _PARTS, terms=("final",)),
        Input(
            "strength", "fraction", "strength of the stock", Limit(0.1, 30, "percent"), plain=True, marks=("at", "of"),
            units=("percent",), terms=_STOCK,
            ask="Which % does its bottle say? Bleach is sold from 3 to 12%, and it weakens in months",
        ),
        volume("water", "amount", terms=("water", "@vessel"), plain=True, marks=("in", "to", "for", "of")),
        Input("ppm_to_water", "fraction", "made with parts of water", _PPM),
        Input("ppm_in_all", "fraction", "made with parts of the whole", _PPM),
        Input("ppm", "fraction", "at most", _PPM),
        volume("stock_to_water", "stock to parts of water"),
        volume("stock_in_all", "stock in parts of the whole"),
        volume("water_in_all", "water in parts of the whole"),
    ),
    relations=(),
    goals=("ppm",),
    called_by=("bleach #part", "iodophor #part", "sanitizing #part", "diluting bleach", "diluting iodophor"),
    headline={"ppm": ("{ppm} at most.",)},
    tail=(_WETTED,),
    wanted={"bleach": ("stock_to_water",), "iodophor": ("stock_to_water",), "strength": ("ppm",),
            "salinity": ("ppm",), "volume": ("stock_to_water",)},
    sources=(ARITHMETIC, NO_RINSE, FOOD_CODE),
    program=by_ratio,
    examples=(
        Example("5.25% bleach 1:64", "ppm_to_water", 807.7, "ppm", 0.1, ARITHMETIC),
        Example("5.25% bleach 1:64", "ppm_in_all", 820.3, "ppm", 0.1, ARITHMETIC),
    ),
)  # fmt: skip
"""52,500 / 65 is 808 ppm, 52,500 / 64 is 820."""

BOILING = Calculator(
    name="boiling",
    title="Boiling point and thermometer",
    does="where water boils at an altitude, how long empty jars are boiled there, and what a thermometer is off",
    inputs=(
        Input("altitude", "length", "altitude", HEIGHT, terms=("altitude",), plain=True, marks=("at", "in"),
              ask="How high over the sea, in m or feet?"),
        Input("boiling", "temperature", "boiling point", Limit(80, 103, "degree_Celsius")),
        Input("shown", "temperature", "what the thermometer shows in boiling water", Limit(70, 115, "degree_Celsius"),
              plain=True),
        Input("correction", "difference", "to add to its readings",
              Limit(-30, 30, "delta_degree_Celsius", from_low=True)),
        Input("jars", "time", "to boil empty jars", Limit(0, 1, "day")),
    ),
    relations=(
        Relation("boiling = boiling_point(altitude)", {"boiling": "boiling_point(altitude)"}, ATMOSPHERE,
                 functions={"boiling_point": boiling_point}),
        Relation("correction = boiling - shown", {"correction": "boiling - shown"}),
        Relation("jars = jar_minutes(altitude)", {"jars": "jar_minutes(altitude)"}, JAR_BOIL,
                 functions={"jar_minutes": jar_minutes}),
    ),
    goals=("boiling",),
    called_by=("boiling", "boiling water", "boiling @vessel"),
    headline={
        "boiling": (
            "Water boils at {boiling} at {altitude}; the thermometer shows {shown}: add {correction} to what it reads.",
            "Water boils at {boiling} at {altitude}.",
        ),
        "jars": ("Boil empty jars {jars} at {altitude}, with water an inch over them.",),
    },
    tail=(
        "By the standard atmosphere; weather moves it by a degree. No hold can be hotter than that in an open pot. "
        "Check the thermometer in crushed ice and water too: 0 C.",
    ),
    wanted={"time": ("jars",), "temperature": ("boiling",)},
    sources=(ATMOSPHERE, ANTOINE, JAR_BOIL, PRACTICE),
    examples=(Example("boiling point at 1500 m", "boiling", 95.0, "degree_Celsius", 0.1, ATMOSPHERE),),
)  # fmt: skip
"""95 C in a town at 1,500 m."""

ICE_POINT = Calculator(
    name="ice-point",
    title="Thermometer in ice",
    does="what a thermometer is off by, from what it shows in crushed ice and water",
    inputs=(
        Input("ice_shown", "temperature", "what it shows in ice and water",
              Limit(-8, 8, "degree_Celsius", from_low=True, source=ICE,
                    too_high="Ice and water stand at 0 C: more ice, crushed, stir, and wait until the reading rests"),
              plain=True, ask="What does it show in crushed ice and water?", terms=("temperature",),
              marks=("at", "in")),
        Input("ice", "temperature", "ice and water", Limit(-1, 1, "degree_Celsius", from_low=True),
              default=Default(0, "degree_Celsius", "ice and water stand at 0 C", ICE)),
        Input("offset", "difference", "to add to its readings", Limit(-10, 10, "delta_degree_Celsius", from_low=True)),
    ),
    relations=(Relation("offset = ice - ice_shown", {"offset": "ice - ice_shown"}),),
    goals=("offset",),
    called_by=("ice-point", "ice-point temperature", "ice-point checking"),
    headline={"offset": ("The thermometer shows {ice_shown} in ice: add {offset} to what it reads.",)},
    tail=(
        "One point tells what it is off there. Check it in boiling water too; where the two differ, go by the one "
        "nearer to what you measure. More than 2 C off at either, and it wants a new battery or a new probe.",
    ),
    sources=(ICE, PRACTICE),
    examples=(Example("thermometer shows 1 C in ice water", "offset", -1.0, "delta_degree_Celsius", 0.001, ICE),),
)  # fmt: skip
"""In crushed ice and water, which stand at 0 C (32 F) wherever one is."""

CALCULATORS = (SANITIZER, RATIO, BOILING, ICE_POINT)
