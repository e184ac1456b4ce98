"""Clean glass and true thermometers: no-rinse sanitizers from their stock, jars boiled, water's boiling point.

Concentrations are weight by volume, as the trade's ppm are (mg/L). Local codes and the product's own label come first.
"""

from __future__ import annotations

import math

from assistant.declare import ARITHMETIC, PRACTICE, Calculator, Example, Input, Limit, Relation, Source
from assistant.trade.shared import volume

NO_RINSE = Source(
    "21 CFR 178.1010(c) and 40 CFR 180.940: no-rinse chlorine up to 200 ppm, titratable iodine up to 25 ppm", seen=False
)
FOOD_CODE = Source(
    "FDA Food Code 4-501.114, 4-703.11: 100 mg/L chlorine at 55 F 10 s; 12.5 to 25 mg/L iodine at 68 F 30 s"
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


def jar_minutes(altitude: float) -> float:
    """Days to boil empty jars so many dm over the sea: 10 min to 1,000 ft, a minute more for each further 1,000 ft."""
    feet = altitude / 3.048
    return (10 + max(0, math.ceil((feet - 1000) / 1000 - 1e-9))) / 1440


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
            "strength", "fraction", "strength of the stock", Limit(0.1, 30, "percent"), named=True, marks=("at", "of"),
            ask="Which % does its bottle say? Bleach is sold from 3 to 12%, and it weakens in months",
            terms=("bleach", "iodophor"),
        ),
        Input(
            "ppm", "fraction", "sanitizer", Limit(0, 1000, "ppm"), plain=True, marks=("to", "for", "at"),
            ask="How many ppm? Chlorine 100, never over 200; iodine 12.5 to 25",
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
    },
    tail=(
        "Wash first; wet everything for a minute, chlorine at 55 F (13 C) or warmer, iodine at 68 F (20 C), and let it "
        "drain, not rinse. Its own label and local rules come first.",
    ),
    wanted={"bleach": ("stock",), "iodophor": ("stock",), "volume": ("stock",), "strength": ("ppm",)},
    sources=(NO_RINSE, FOOD_CODE, ARITHMETIC),
    examples=(
        Example("how much 5.25% bleach for 200 ppm in 5 litres of water", "stock", 19.12, "milliliter", 0.01,
                ARITHMETIC),
    ),
)  # fmt: skip
"""3.82 mL for each litre of water."""

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

CALCULATORS = (SANITIZER, BOILING)
