"""In which units the account speaks to this person: those that they tell it things in."""

from __future__ import annotations

import re

from assistant.show import Style
from assistant.talk.account.which import current
from assistant.talk.state import State, as_said, preferred
from grammar.later import regex

LOOKED_AT = 30
"""Entries of the open batch whose words are looked at."""

_POUNDS = regex(r"\d\s*(?:lbs?|oz)\b|\b(?:pounds?|ounces?|lbs?|oz)\b", re.IGNORECASE)
_GRAMS = regex(r"\d\s*k?g\b|\b(?:kilos?|kilograms?|grams?|grammes?|kg)\b", re.IGNORECASE)
_FAHRENHEIT = regex(r"\d\s*°?\s*f\b|\bfahrenheit\b", re.IGNORECASE)
_CELSIUS = regex(r"\d\s*°?\s*c\b|\b(?:celsius|centigrade)\b", re.IGNORECASE)
_CUPS = regex(r"\b(?:cups?|pints?|quarts?|gallons?|fl oz|fluid ounces?)\b", re.IGNORECASE)
_LITRES = regex(r"\d\s*m?l\b|\b(?:litres?|liters?|mls?|mils?)\b", re.IGNORECASE)


def manner(state: State, said: str = "") -> Style:
    """How to show numbers: as the line, else the last entries of the open batch, gave theirs.

    What the person wants always comes before that, and units asked for by name ("in ounces") before all.
    """
    batch = current(state)
    account = state.shelf.accounts.get(batch.number) if batch is not None else None
    told = [event.said for _, event in account.tail[-LOOKED_AT:]] if account is not None else []
    lines = [said, *reversed(told)]
    pounds = _first(lines, _POUNDS, _GRAMS)
    cups = _first(lines, _CUPS, _LITRES)
    kitchen = ("imperial" if state.kitchen == "imperial" else "us") if cups else ""
    shown = Style(pounds, kitchen, _first(lines, _FAHRENHEIT, _CELSIUS), False, as_said(state, None).fixed)
    return preferred(shown, state)


def _first(lines: list[str], this: re.Pattern[str], that: re.Pattern[str]) -> bool:
    """Whether the newest line that speaks in either of two kinds of unit speaks in the first."""
    for line in lines:
        here, there = this.search(line) is not None, that.search(line) is not None
        if here or there:
            return here and not there
    return False
