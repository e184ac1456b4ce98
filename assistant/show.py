"""Quantities as a cook would say them: the person's own units, kitchen precision."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field

from grammar import measures
from grammar.dates import MONTH_NAMES

SYMBOL = {
    "gram": "g", "kilogram": "kg", "milligram": "mg", "pound": "lb", "ounce": "oz", "tonne": "t",
    "liter": "L", "milliliter": "mL", "centiliter": "cL", "deciliter": "dL",
    "millimeter": "mm", "centimeter": "cm", "meter": "m", "inch": "in", "foot": "ft",
    "percent": "%", "ppm": "ppm", "gram_per_kilogram": "g/kg",
    "gram_per_liter": "g/L", "kilogram_per_liter": "kg/L", "milligram_per_liter": "mg/L",
    "gram_per_milliliter": "g/mL", "kilogram_per_cubic_meter": "kg/m3",
    "degree_Celsius": "C", "degree_Fahrenheit": "F", "delta_degree_Celsius": "C",
    "delta_degree_Fahrenheit": "F", "salometer": "degrees salometer",
    "minute": "min", "hour": "h", "pungency": "SHU",
    "millivolt": "mV", "volt": "V", "mv_per_ph": "mV per pH",
    "cubic_centimeter": "cm3", "cubic_inch": "cubic inches",
    "normality": "N", "molarity": "mol/L",
}  # fmt: skip
"""How units are written after a number; others are written out."""

WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")

GRADES = ("Not usable", "Usable with care", "Good")
"""A verdict on an instrument, worst first."""

US_UNITS = frozenset({"pound", "ounce", "inch", "foot", "degree_Fahrenheit"})
"""Units that show a kitchen works in pounds; so do all kitchen volumes (us_, imperial_)."""

_SPELLED = {
    "us": ("gallon", "quart", "cup", "tablespoon", "teaspoon"),
    "imperial": ("gallon", "pint", "fluid_ounce", "tablespoon", "teaspoon"),
}


@dataclass(frozen=True)
class Style:
    """How to show numbers.

    Attributes:
        pounds: weights in pounds and ounces (with grams beside them).
        kitchen: whose cups and gallons ("us", "imperial", "metric"); "" for litres only.
        fixed: a unit asked for by name, by dimension.
    """

    pounds: bool = False
    kitchen: str = ""
    fahrenheit: bool = False
    inches: bool = False
    fixed: Mapping[str, str] = field(default_factory=dict)


def number(value: float, digits: int = 3) -> str:
    """A number to so many significant digits, without an exponent or trailing zeros."""
    if value == 0 or not math.isfinite(value):
        return "0" if value == 0 else "no number"
    places = digits - 1 - math.floor(math.log10(abs(value)))
    rounded = round(value, places)
    if places <= 0 or rounded == int(rounded):
        return f"{rounded:.0f}" if abs(rounded) < 1e15 else f"{rounded:g}"
    return f"{rounded:.{places}f}".rstrip("0").rstrip(".")


def exact(value: float) -> str:
    """A number as it was said, to at most six significant digits."""
    return number(value, 6)


def unit_name(unit: str, value: float = 2) -> str:
    """The unit as it is written after a number."""
    if unit in SYMBOL or not unit:
        return SYMBOL.get(unit, "")
    words = unit.replace("us_", "US ", 1).replace("_", " ")
    if words == "count" or (unit in measures.UNITLESS and unit != "part"):
        return ""
    return words if abs(value) <= 1 or words.endswith("ounce s") else f"{words}s"


def day(value: float) -> str:
    """A date (yyyymmdd) in words, the same in every kitchen: "Tuesday 3 March 2026"."""
    try:
        one = measures.day(value)
    except ValueError:
        return "no such day"
    return f"{WEEKDAYS[one.weekday()]} {one.day} {MONTH_NAMES[one.month - 1].capitalize()} {one.year}"


def lasting(days: float, unit: str) -> str:
    """A length of time in whole days, with the weeks that make it up: "30 days (4 weeks 2 days)"."""
    if not math.isfinite(days):
        return "no time"
    whole = round(days)
    text = with_unit(whole, "day", 9)
    if abs(whole - days) > 1e-6:
        return with_unit(measures.convert(days, "day", unit), unit)
    weeks, rest = divmod(whole, 7)
    if not weeks:
        return text
    split = with_unit(weeks, "week", 9) + (f" {with_unit(rest, 'day')}" if rest else "")
    return f"{split} ({text})" if unit == "week" else f"{text} ({split})"


def with_unit(value: float, unit: str, digits: int = 3) -> str:
    """A number and its unit: "2.5%", "225 g", "2 US gallons"."""
    text = number(value, digits)
    if unit == "count" and value == round(value):
        text = f"{value:.0f}"  # 1,234 bottles are not 1,230
    name = unit_name(unit, value)
    if unit == "percent":
        return f"{text}%"
    return f"{text} {name}".rstrip()


_FAR = 100.0
"""dm from which a length is told in m or feet: no crock is so high, but a town is."""
_SHORT = 0.25
"""Days under which a time is told in minutes."""
_CRUMB = 1e-12
"""A canonical value under which nothing is left but the rounding of a sum: a billionth of a gram."""
_LEAST_OUNCES = 0.01
"""kg below which no kitchen weighs in ounces: gum goes by the gram."""


def unit_for(value: float, dimension: str, style: Style) -> str:
    """The unit to show a canonical value in."""
    if dimension in style.fixed:
        return style.fixed[dimension]
    size = abs(value)
    if dimension == "mass":
        if style.pounds and size >= _LEAST_OUNCES:
            return "pound" if size >= 0.45359237 else "ounce"
        return "kilogram" if size >= 0.9995 else "gram"
    if dimension == "volume":
        if style.kitchen in _SPELLED:
            for name in _SPELLED[style.kitchen]:
                unit = f"{style.kitchen}_{name}"
                if size >= measures.convert(1, unit, "liter") * 0.999 or name == "teaspoon":
                    return unit
        return "liter" if size >= 0.9995 else "milliliter"
    if dimension == "temperature":
        return "degree_Fahrenheit" if style.fahrenheit else "degree_Celsius"
    if dimension == "difference":
        return f"delta_degree_{'Fahrenheit' if style.fahrenheit else 'Celsius'}"
    if dimension == "length" and size >= _FAR:
        return "foot" if style.inches else "meter"
    if dimension == "length":
        return "inch" if style.inches else "centimeter"
    if dimension == "density":
        return "gram_per_liter" if size < 0.5 else "kilogram_per_liter"
    if dimension == "time" and size < _SHORT:
        return "minute"
    if dimension == "trace":
        return "milligram" if size < 1000 else "gram"
    return {
        "fraction": "percent",
        "time": "day",
        "months": "month",
        "potential": "millivolt",
        "slope": "mv_per_ph",
    }.get(dimension, dimension)


def quantity(value: float, dimension: str, style: Style) -> str:
    """A canonical value in words, in the person's units.

    Weights in pounds carry the grams beside them, kitchen volumes the litres, because a
    scale and a jar may be marked either way.
    """
    value = 0.0 if abs(value) < _CRUMB else value
    unit = unit_for(value, dimension, style)
    shown = measures.in_unit(value, dimension, unit)
    if dimension == "grade":
        return GRADES[round(value)]
    if dimension == "acidity":
        return f"{value:.2f}"
    if dimension == "gravity":
        return f"{value:.4f}"
    if dimension == "pungency":
        return f"{float(number(value)):,.0f} SHU" if math.isfinite(value) else "no heat"
    if dimension == "date":
        return day(shown)
    if dimension == "time" and unit in ("day", "week"):
        return lasting(value, unit)
    if unit == "kilogram_per_liter":
        return f"{number(shown, 5)} kg/L"
    if unit == "pound" and "mass" not in style.fixed and shown >= 1:
        pounds = int(shown + 1e-9)
        ounces = round((shown - pounds) * 16, 1)
        if ounces >= 16:
            pounds, ounces = pounds + 1, 0.0
        text = f"{pounds} lb" + (f" {number(ounces)} oz" if ounces else "")
    else:
        text = with_unit(shown, unit)
    if unit in ("pound", "ounce") or unit.startswith(("us_", "imperial_")):
        metric = quantity(value, dimension, Style())
        return f"{text} ({metric})"
    return text


def said(value: float, unit: str) -> str:
    """An amount as the person gave it, for repeating it back."""
    if unit == "percent":
        return f"{exact(value)}%"
    if unit == "date":
        return day(value)
    return f"{exact(value)} {unit_name(unit, value)}".rstrip()
