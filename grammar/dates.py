"""Dates as people write and say them: "3 March", "the third of Feb", "2026-03-03", "03/04/2026".

A date is a number yyyymmdd (the basic format of ISO 8601); the year is 0 where none was
said, because which year is meant depends on today, which the language does not know.
"""

from __future__ import annotations

import calendar
import math
from collections.abc import Sequence
from dataclasses import dataclass

from grammar.later import regex
from grammar.numerals import ORDINALS, small
from grammar.tokens import Token, word_at

_NAMES = (
    ("january", "jan"), ("february", "feb"), ("march", "mar"), ("april", "apr"), ("may",), ("june", "jun"),
    ("july", "jul"), ("august", "aug"), ("september", "sept", "sep"), ("october", "oct"),
    ("november", "nov"), ("december", "dec"),
)  # fmt: skip
MONTHS = {name: number for number, names in enumerate(_NAMES, start=1) for name in names}
"""The month's number by its name and its short forms."""
MONTH_NAMES = tuple(names[0] for names in _NAMES)
"""The months in order, written out."""

_SUFFIX = ("st", "nd", "rd", "th")
_LEAP = 2000
_WRITTEN = regex(r"(\d+)([-/.])(\d+)\2(\d+)")


@dataclass(frozen=True)
class Date:
    """A date read from ``tokens[start:end]``: its value, and those it could mean as well.

    ``value`` is not a number where the calendar has no such day.
    """

    value: float
    start: int
    end: int
    rivals: tuple[float, ...] = ()


def value(year: int, month: int, day: int) -> float:
    """The date as yyyymmdd; not a number if there is no such day (29 February needs its year or none)."""
    if not 1 <= month <= 12 or not 1 <= day <= calendar.monthrange(year or _LEAP, month)[1]:
        return float("nan")
    return float(10000 * year + 100 * month + day)


def date(tokens: Sequence[Token], at: int) -> Date | None:
    """The date that starts at a token, or None."""
    if at >= len(tokens):
        return None
    if tokens[at].kind == "date":
        return _written(tokens[at].norm, at)
    if (month := MONTHS.get(tokens[at].norm)) is not None:
        found = _day(tokens, at + 1 + (_norm(tokens, at + 1) == "the"))
        if found is None or _measures(tokens, found[1]):
            return None
        return _with_year(tokens, at, month, *found)
    start = at + (_norm(tokens, at) == "the")
    found = _day(tokens, start)
    if found is None:
        return None
    after = found[1] + (_norm(tokens, found[1]) == "of")
    month = MONTHS.get(_norm(tokens, after))
    if month is None and _norm(tokens, found[1] - 1) in _SUFFIX:  # "the 5th": of which month?
        return Date(float("nan"), at, found[1])
    return None if month is None else _with_year(tokens, at, month, found[0], after + 1)


def _norm(tokens: Sequence[Token], at: int) -> str:
    """A word, also a shortened one: "Feb." is February."""
    return word_at(tokens, at).rstrip(".")


def _written(text: str, at: int) -> Date | None:
    """ "2026-03-03", "3.3.2026", "03/04/2026": with strokes the day or the month may come first."""
    match = _WRITTEN.fullmatch(text)
    if match is None:
        return None
    first, sign, second, third = match.groups()
    if len(first) == 4:
        return Date(value(int(first), int(second), int(third)), at, at + 1)
    year = int(third) + (2000 if len(third) == 2 else 0)
    day_first = value(year, int(second), int(first))
    month_first = value(year, int(first), int(second))
    if sign == ".":
        return Date(day_first, at, at + 1)
    if math.isnan(day_first):
        return Date(month_first, at, at + 1)
    other = () if math.isnan(month_first) or month_first == day_first else (month_first,)
    return Date(day_first, at, at + 1, other)


def _day(tokens: Sequence[Token], at: int) -> tuple[int, int] | None:
    """A day of the month ("3", "3rd", "third", "twenty-first") and where it ends."""
    word = _norm(tokens, at)
    if word in ORDINALS:
        return ORDINALS[word], at + 1
    if f"{word}-{_norm(tokens, at + 1)}" in ORDINALS:  # "twenty first"
        return ORDINALS[f"{word}-{_norm(tokens, at + 1)}"], at + 2
    if word.isdecimal() and len(word) <= 2:
        touching = at + 1 < len(tokens) and tokens[at + 1].span[0] == tokens[at].span[1]
        return int(word), at + 1 + (touching and _norm(tokens, at + 1) in _SUFFIX)
    spoken = small(word)
    return None if spoken is None else (spoken, at + 1)


def _measures(tokens: Sequence[Token], at: int) -> bool:
    """Whether the number before this place goes on as an amount ("may 3 kg fit", "march 2.5")."""
    return at < len(tokens) and (tokens[at].kind == "sign" or _norm(tokens, at) in ("kg", "g", "l", "lb", "oz", "ml"))


def _with_year(tokens: Sequence[Token], start: int, month: int, day: int, end: int) -> Date:
    at = end + (_norm(tokens, end) in (",", "of", "in"))
    year = _norm(tokens, at)
    if year.isdecimal() and len(year) == 4 and 1900 <= int(year) < 2200:
        return Date(value(int(year), month, day), start, at + 1)
    return Date(value(0, month, day), start, end)
