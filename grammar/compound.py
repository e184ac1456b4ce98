"""Units said together as one amount."""

from __future__ import annotations

COMPOUND = {
    ("stone", "pound"),
    ("pound", "ounce"), ("kilogram", "gram"), ("gallon", "quart"), ("gallon", "pint"),
    ("quart", "pint"), ("quart", "cup"), ("pint", "cup"), ("cup", "tablespoon"),
    ("cup", "teaspoon"), ("tablespoon", "teaspoon"), ("liter", "milliliter"),
    ("foot", "inch"), ("pint", "fluid_ounce"), ("gallon", "fluid_ounce"),
    ("quart", "fluid_ounce"), ("cup", "fluid_ounce"), ("meter", "centimeter"),
    ("liter", "deciliter"), ("gallon", "cup"), ("hour", "minute"), ("week", "day"), ("year", "month"),
}  # fmt: skip
"""Unit pairs said as one amount ("4 lb 6 oz"), the larger one first."""
