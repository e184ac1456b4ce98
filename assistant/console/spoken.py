"""Replies worded for the ear: units, signs, ranges and dates as a person reads them aloud. Pure.

Whole numbers stay digits, without their commas: every speech program says them. A decimal says its point and then digit
by digit ("157 point 9", "1 point 0 2"), so no program and no language it is set to can make 15 of 1.5.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

from assistant.replies import Assume, Caution, Refuse, Reply
from assistant.show import SYMBOL
from grammar.dates import MONTH_NAMES

_PLURAL = {"inch": "inches", "foot": "feet", "percent": "percent", "millivolt per pH": "millivolts per pH"}
_NAMED = {
    "ppm": ("part per million", "parts per million"),
    "normality": ("normal", "normal"),
    "molarity": ("mole per liter", "moles per liter"),
    "pungency": ("Scoville unit", "Scoville units"),
    "salometer": ("degree salometer", "degrees salometer"),
    "mv_per_ph": ("millivolt per pH", "millivolts per pH"),
}


def _pair(unit: str) -> tuple[str, str]:
    """A unit's name for one and for many: "gram per liter", "grams per liter"."""
    if unit in _NAMED:
        return _NAMED[unit]
    one = unit.removeprefix("delta_").replace("_", " ")
    first, *rest = one.split(" ")
    return one, " ".join([_PLURAL.get(first, f"{first}s"), *rest])


_UNITS: dict[str, tuple[str, str]] = {
    **{symbol: _pair(unit) for unit, symbol in SYMBOL.items()},
    "l": ("liter", "liters"),
    "ml": ("milliliter", "milliliters"),
    "fl oz": ("fluid ounce", "fluid ounces"),
    "tsp": ("teaspoon", "teaspoons"),
    "tbsp": ("tablespoon", "tablespoons"),
    "kJ": ("kilojoule", "kilojoules"),
    "kcal": ("kilocalorie", "kilocalories"),
    "s": ("second", "seconds"),
    "W": ("watt", "watts"),
    "g/l": ("gram per liter", "grams per liter"),
    "m2": ("square meter", "square meters"),
    "m3": ("cubic meter", "cubic meters"),
    "mg/kg": ("milligram per kilogram", "milligrams per kilogram"),
    "\u00b0C": ("degree Celsius", "degrees Celsius"),
    "\u00b0F": ("degree Fahrenheit", "degrees Fahrenheit"),
    "\u00b0": ("degree", "degrees"),
    "degrees C": ("degree Celsius", "degrees Celsius"),
    "degrees F": ("degree Fahrenheit", "degrees Fahrenheit"),
    "lbs": ("pound", "pounds"),
    "shu": ("Scoville unit", "Scoville units"),
}
"""How a unit is written after a number, and what is said for it: of one, and of any other number."""

_LETTER = frozenset({"t", "m", "h", "s", "l", "L", "C", "F", "N", "V", "W", "in"})
"""Units that are words or names of something else where no number stands before them."""

_SIZES = frozenset({"g", "kg", "lb", "oz", "L", "l", "mL", "ml", "fl oz"})

_INCH = r"(?:in(?=[.,;:)?\"]|\s+(?:below|above|wide|high|deep|tall|long|across|of headspace|[-+x/=])\b|\s*$))"
"""Inches, not the word "in": what follows tells them apart."""

_WRITTEN = "|".join(re.escape(one) for one in sorted(set(_UNITS) - {"in", "%"}, key=len, reverse=True))
_NUMBER = r"(?:\d{1,3}(?:,\d{3})+(?![\d,])(?:\.\d+)?|\d+(?:[.,]\d+)?)"
_MONTH = "|".join(one.capitalize() for one in MONTH_NAMES)
_SUMS = r"[-+/x^=\u00d7]"

_SPELLED = re.compile(
    rf"""
    (?P<code>\b[A-Z]\d+(?:-\d+)+\b)
    | (?P<iso>\b\d{{4}}-\d\d-\d\d\b)
    | (?P<day>\b\d{{1,2}})\s(?P<month>{_MONTH})\b
    | (?P<slashed>\b\d+(?:/\d+){{2,}}\b)
    | (?P<clock>\b\d+(?::\d\d){{1,2}})(?=\sago\b)
    | (?P<parts>\b\d+:\d+\b)
    | (?:(?P<whole>\b\d+)\s)?(?P<over>\b\d+)/(?P<under>\d+)\b(?:\s?(?P<of>%|(?:{_WRITTEN})(?!\w)))?
    | (?P<sign>(?<![\w)])[-\u2212](?=\.?\d))?(?P<number>(?<![\w.])\.\d+|{_NUMBER})
      (?:[-\u2013](?P<upto>{_NUMBER})(?=\s?(?:%|{_WRITTEN}|{_INCH}|$|[\s.,;:)?"])))?
      (?:\s?(?P<unit>%|{_INCH}|(?:{_WRITTEN})(?!\w)))?
      (?:-(?=[a-z])|/(?=\w))?
    """,
    re.VERBOSE,
)

_AMOUNT = re.compile(rf"{_NUMBER}\s?(?:{_WRITTEN}|in)(?:\s{_NUMBER}\s?(?:{_WRITTEN}))?")
"""An amount and nothing more: in brackets it is the one before it in another unit."""

_OF_THAT_SIZE = re.compile(
    r"\s(?:(?!(?:an?|the|of|in|to|per|each|from|and|or|with)\b)\w+\s)?(?:crock|jar|bottle|pot|vessel|bucket|carboy|batch|sample|bag|glass|barrel|tank|pan|tin|trial)s?\b"
)
"""A thing after its size: "a 5 liter jar", not "a 5 liters jar"."""

_PARTS_OF = {2: "half", 3: "third", 4: "quarter", 5: "fifth", 6: "sixth", 8: "eighth", 10: "tenth", 16: "sixteenth"}
_FRACTIONS = {
    "\u00bd": "1/2", "\u00bc": "1/4", "\u00be": "3/4", "\u2153": "1/3", "\u2154": "2/3", "\u215b": "1/8",
    "\u215c": "3/8", "\u215d": "5/8", "\u215e": "7/8",
}  # fmt: skip

_SIGNS = (
    (r"(?<=\bin )C\b|\bC(?= or F\b)", "Celsius"),
    (r"(?<=\bin )F\b|(?<=\bor )F\b", "Fahrenheit"),
    (r"\bL\b", "liters"),
    (r"<=|\u2264", " at most "),
    (r">=|\u2265", " at least "),
    (r"\u00b1|\+/-", " plus or minus "),
    (r"(?<=\s)->(?=\s)|\u2192", " to "),
    (r"[~\u2248]\s*(?=\d)", "about "),
    (r"\s[x\u00d7]\s|(?<=\d)\s?[x\u00d7]\s?(?=\d)|(?<=\d)x\b", " times "),
    (r"(?<=\d)\.(?=\d)", " point "),
    (r"(?<=\d),(?=\d)", " comma "),
    (r"(?<=\d)[eE]-(?=\d)", " e minus "),
    (r"\u00d7", " times "),
    (r"\s/\s", " divided by "),
    (r"\s?\+\s?", " plus "),
    (r"\s=\s", " equals "),
    (r"\^", " to the power of "),
    (r"(?<=[a-z])/(?=[a-z])", " or "),
    (r"<", " less than "),
    (r">", " more than "),
    (r"%", " percent"),
    (r"\u00b2", " squared"),
    (r"\u00b3", " cubed"),
    (r"&", " and "),
    (r"#", " number "),
)

_STANDING = re.compile(
    rf"\b(?P<each>(?i:each|every|per|a))?(?P<gap>\s?)\b"
    rf"(?P<unit>{'|'.join(re.escape(one) for one in sorted(set(_UNITS) - _LETTER - {'%'}, key=len, reverse=True))})"
    rf"(?![\w/])"
)
_CITED = re.compile(r"\s?\(\d+ CFR [^()]*(?:\([^()]*\)[^()]*)*\)")
"""Where a rule is to be looked up: no use to the ear."""

ANNOUNCED = {"stop": "Stop. ", "caution": "Caution. ", "note": "Remember. ", "refuse": "No. "}
"""What a caution, by its severity, and a refusal are announced by."""


def aloud(replies: Iterable[Reply]) -> str:
    """What is said of these replies, a stop before all else; sources are not read. "" if there is nothing to say.

    A stop comes first though the screen shows it last: an ear cannot look ahead, and whoever stops listening after the
    number must have heard it. All the rest is said in the order of the screen.
    """
    told = list(replies)
    first = [one for one in told if isinstance(one, Caution) and one.severity == "stop"]
    out: list[str] = []
    assuming = False
    for one in [*first, *(one for one in told if one not in first)]:
        said = words(one.text)
        if said:
            before = "Assumed: " if isinstance(one, Assume) and not assuming else ANNOUNCED.get(_manner(one), "")
            out.append(f"{before}{said}")
            assuming = isinstance(one, Assume)
    return " ".join(out)


def _manner(reply: Reply) -> str:
    return reply.severity if isinstance(reply, Caution) else "refuse" if isinstance(reply, Refuse) else ""


def words(text: str) -> str:
    """A sentence as it is read aloud, one line; nothing in it that a speech program takes for an order."""
    text = _CITED.sub("", " ".join(text.split()))
    for sign, plain in _FRACTIONS.items():
        text = re.sub(rf"(?<=\d){sign}", f" {plain}", text).replace(sign, plain)
    text = re.sub(r"\bF\((\d[^()]*)\)", r"F at \1,", text)
    text = _unbracketed(text.replace("[", "(").replace("]", ")").replace("{", "(").replace("}", ")"))
    text = _SPELLED.sub(_number, text)
    # only in a sum is a dash with blanks around it surely a minus
    text = re.sub(r"\s[-\u2212\u2013\u2014]\s", " minus " if " = " in text else " dash ", text)
    for sign, said in _SIGNS:
        text = re.sub(sign, said, text)
    text = _STANDING.sub(_unit, text)
    text = re.sub(r"\bUS\b", "U S", re.sub(r"\b(?:ph|PH)\b", "pH", text))
    text = re.sub(r"[^\w\s.,;:!?'-]", " ", text)
    text = re.sub(r"(?<!\w)-|-(?!\w)|_", " ", text)
    text = re.sub(r"\s+([.,;:!?])", r"\1", " ".join(text.split()))
    text = re.sub(r",(?:\s?,)*\s?([.;:!?,])", r"\1", text)
    return re.sub(r"([.;:!?])\s?,", r"\1", text).strip(" ,")


def _unbracketed(text: str) -> str:
    """Brackets of a sum are said, those of a sentence become pauses."""
    out: list[str] = []
    open_: list[bool] = []
    for at, sign in enumerate(text):
        before, after = text[:at], text[at + 1 :]
        if sign == "(":
            inside = _inside(after)
            called = bool(re.search(r"[a-z]$", before)) and inside != "s"
            behind = after[len(inside) + 1 :]
            summed = called or bool(
                re.search(rf"(?:^|\s){_SUMS}\s", inside) or re.search(rf"(?:^|\s){_SUMS}\s?$", before)
                or (before.endswith("(") and open_ and open_[-1]) or re.match(r"\s[-+/x^]\s|\s=\s", behind)
            )  # fmt: skip
            open_.append(summed)
            cited = bool(re.search(r"[\d)]$", before)) or inside == "s"
            pause = ", that is " if _AMOUNT.fullmatch(inside) and re.search(r"\d", before[-30:]) else ", "
            out.append((" of" if called else "") + " open bracket " if summed else " " if cited else pause)
        elif sign == ")":
            out.append(" close bracket " if open_ and open_.pop() else ", " if re.match(r"\s?[\w\"]", after) else " ")
        else:
            out.append(sign)
    return "".join(out)


def _inside(after: str) -> str:
    """What stands in a bracket, up to the one that closes it."""
    deep = 0
    for at, sign in enumerate(after):
        if sign == "(":
            deep += 1
        elif sign == ")":
            if not deep:
                return after[:at]
            deep -= 1
    return after


def _digits(number: str) -> str:
    """A number as said: "1,250" is "1250", "1.05" is "1 point 0 5", "2,5" is "2 point 5"."""
    if re.fullmatch(r"\d{1,3}(,\d{3})+(\.\d+)?", number):
        number = number.replace(",", "")
    whole, _, rest = number.replace(",", ".").partition(".")
    whole = whole or "0"
    if len(whole) > 1 and whole.startswith("0"):
        whole = " ".join(whole)
    return f"{whole} point {' '.join(rest)}" if rest else whole


def _number(match: re.Match[str]) -> str:
    """What is said for a number with all that belongs to it."""
    part = match.groupdict()
    text = match.group()
    after = match.string[match.end() :]
    # two numbers with nothing between them would be heard as one
    pause = "," if re.match(r"\s\d", after) else ""
    if part["code"]:
        groups = [" ".join(one) if one.startswith("0") else one for one in text[1:].split("-")]
        return f"{text[0]} {', '.join(groups)}{pause}"
    if part["iso"]:
        year, month, day = text.split("-")
        if 1 <= int(month) <= 12:
            return f"the {_ordinal(int(day))} of {MONTH_NAMES[int(month) - 1].capitalize()} {year}"
        return " dash ".join(text.split("-"))
    if part["day"]:
        return f"the {_ordinal(int(part['day']))} of {part['month']}"
    if part["slashed"]:
        return " slash ".join(_digits(one) for one in text.split("/"))
    if part["clock"]:
        return _clock(text)
    if part["parts"]:
        return " to ".join(text.split(":"))
    if part["under"]:
        said = _fraction(part["whole"], int(part["over"]), int(part["under"]))
        return f"{said} {_UNITS[part['of']][1 if part['whole'] else 0]}" if part["of"] else said + pause
    said = ("minus " if part["sign"] else "") + _digits(part["number"])
    unit = part["unit"]
    if part["upto"]:
        said = f"{said} to {_digits(part['upto'])}"
    if unit:
        one, many = _UNITS[unit]
        single = not part["upto"] and said in ("1", "minus 1")
        single = single or (unit in _SIZES and _OF_THAT_SIZE.match(after) is not None)
        said = f"{said} {one if single else many}"
    if text.endswith(("-", "/")):
        return f"{said} " if text.endswith("-") else f"{said} per "
    return said if unit else said + pause


def _fraction(whole: str | None, over: int, under: int) -> str:
    name = _PARTS_OF.get(under)
    part = f"{over} over {under}" if name is None else f"{over} {name}"
    if name is not None and over != 1:
        part = f"{over} {'halves' if name == 'half' else f'{name}s'}"
    return f"{whole} and {part}" if whole else part


def _clock(text: str) -> str:
    """A time that ran, "10:00" or "1:02:00"."""
    *hours, minutes, seconds = [int(one) for one in text.split(":")]
    named = zip((*hours, minutes, seconds), ("hour", "minute", "second")[-2 - len(hours) :], strict=True)
    said = [(one, name) for one, name in named if one]
    return " ".join(f"{one} {name if one == 1 else f'{name}s'}" for one, name in said) or "0 seconds"


def _ordinal(number: int) -> str:
    ending = "th" if 10 < number % 100 < 14 else {1: "st", 2: "nd", 3: "rd"}.get(number % 10, "th")
    return f"{number}{ending}"


def _unit(match: re.Match[str]) -> str:
    """A unit with no number before it: "in mL" is "in milliliters", "each mg/kg" is "each milligram per kilogram"."""
    each, gap = match["each"] or "", match["gap"]
    return f"{each}{gap}{_UNITS[match['unit']][0 if each else 1]}"
