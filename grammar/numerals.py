"""Numbers as people write and say them: digits, decimal comma, fractions, words.

``numeral`` reads the longest number that starts at a token. It never guesses between two
readings: a number like "1,500" comes back with both values.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass

from grammar.tokens import Token

_SMALL = {
    word: value
    for value, word in enumerate(
        [
            "zero",
            "one",
            "two",
            "three",
            "four",
            "five",
            "six",
            "seven",
            "eight",
            "nine",
            "ten",
            "eleven",
            "twelve",
            "thirteen",
            "fourteen",
            "fifteen",
            "sixteen",
            "seventeen",
            "eighteen",
            "nineteen",
        ]
    )
}
_TENS = {
    word: 10 * value
    for value, word in enumerate(
        ["twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"], start=2
    )
}
_SCALES = {"hundred": 100, "thousand": 1000, "dozen": 12}
_PARTS = {
    "half": 2, "halves": 2, "third": 3, "thirds": 3, "quarter": 4, "quarters": 4,
    "fifth": 5, "fifths": 5, "eighth": 8, "eighths": 8, "tenth": 10, "tenths": 10,
}  # fmt: skip
_DIGIT = {word: str(value) for word, value in _SMALL.items() if value < 10} | {"nought": "0"}
NUMBER_WORDS = frozenset({*_SMALL, *_TENS, *_SCALES, *_PARTS, "point", "couple"})
"""Words that are part of a number, so that spelling never touches them."""

_ARTICLES = ("a", "an")


@dataclass(frozen=True)
class Numeral:
    """A number read from ``tokens[start:end]``; ``rivals`` are other values it could mean."""

    value: float
    start: int
    end: int
    rivals: tuple[float, ...] = ()
    unclear: bool = False


def _digits(text: str) -> tuple[float, tuple[float, ...]] | None:
    """The value of a number written with digits, and its rival values."""
    text = text.replace(" ", " ")
    if "/" in text:
        top, _, bottom = text.rpartition("/")
        whole, _, top = top.strip().rpartition(" ")
        if float(bottom) == 0:
            return None
        return (float(whole) if whole else 0.0) + float(top) / float(bottom), ()
    if not text[-1].isdecimal():
        head = text[:-1].strip()
        return (float(head) if head else 0.0) + unicodedata.numeric(text[-1]), ()
    text = text.replace("'", ",") if text.count("'") > 1 else text.replace("'", "")
    commas, points = text.count(","), text.count(".")
    if commas and points:
        last = max(text.rfind(","), text.rfind("."))
        return float(text[:last].replace(",", "").replace(".", "") + "." + text[last + 1 :]), ()
    mark = "," if commas else "."
    pieces = text.split(mark)
    if len(pieces) > 2:
        return float("".join(pieces)), ()
    if len(pieces) == 2 and len(pieces[1]) == 3 and pieces[0].lstrip("0"):
        decimal, grouped = float(".".join(pieces)), float("".join(pieces))
        return (grouped, (decimal,)) if mark == "," else (decimal, (grouped,))
    return float(text.replace(",", ".")), ()


def _words(tokens: Sequence[Token], at: int) -> tuple[float, int] | None:
    """A whole number in words from ``at``: its value and where it ends."""
    total = current = 0.0
    index, seen, room = at, False, 1e9
    while index < len(tokens):
        word = tokens[index].norm
        if word in _ARTICLES and not seen and _at(tokens, index + 1) in _SCALES:
            current, seen, room = 1.0, True, 1e9
        elif word in _SMALL and (value := _SMALL[word]) < room:
            current, seen, room = current + value, True, 0
        elif word in _TENS and room > 10:
            current, seen, room = current + _TENS[word], True, 10
        elif word in _SCALES and seen:
            scale = _SCALES[word]
            if scale == 1000:
                total, current = total + (current or 1) * scale, 0.0
            else:
                current = (current or 1) * scale
            room = 100
        elif word == "and" and seen and tokens[index - 1].norm in _SCALES:
            after = _at(tokens, index + 1)
            if after not in _SMALL and after not in _TENS:
                break
        elif "-" in word and not seen:
            left, _, right = word.partition("-")
            if left not in _TENS or right not in _SMALL:
                break
            current, seen, room = float(_TENS[left] + _SMALL[right]), True, 0
        else:
            break
        index += 1
    return (total + current, index) if seen else None


def _at(tokens: Sequence[Token], index: int) -> str:
    return tokens[index].norm if 0 <= index < len(tokens) else ""


def part(tokens: Sequence[Token], at: int) -> tuple[float, int] | None:
    """A spoken fraction from ``at`` ("half", "a quarter", "three quarters"): value, end."""
    top, index = 1.0, at
    word = _at(tokens, at)
    counted = False
    if word in _ARTICLES:
        index, counted = at + 1, True
    elif word in _SMALL and _at(tokens, at + 1) in _PARTS:
        top, index, counted = float(_SMALL[word]), at + 1, True
    name = _at(tokens, index)
    if name not in _PARTS or (not counted and name not in ("half", "quarter")):
        return None
    return top / _PARTS[name], index + 1


def tail(tokens: Sequence[Token], at: int) -> tuple[float, int] | None:
    """ "and a half", "and three quarters" from ``at``: the fraction and where it ends."""
    if _at(tokens, at) not in ("and", "&"):
        return None
    return part(tokens, at + 1)


def numeral(tokens: Sequence[Token], at: int) -> Numeral | None:
    """The longest number that starts at ``tokens[at]``, or None.

    ``unclear`` is set where two numbers stand side by side and no rule joins them
    ("three five", "2 500"): the caller must ask.
    """
    if _at(tokens, at) in _ARTICLES and _at(tokens, at + 1) == "couple":
        return Numeral(2.0, at, at + 2 + (_at(tokens, at + 2) == "of"))
    if _at(tokens, at) in _SMALL and (found := part(tokens, at)):  # "three quarters"
        return _closed(tokens, Numeral(found[0], at, found[1]))
    rivals: tuple[float, ...] = ()
    token = tokens[at]
    if token.kind == "number":
        digits = _digits(token.norm)
        if digits is None:
            return Numeral(float("nan"), at, at + 1, unclear=True)
        value, rivals = digits
        index = at + 1
        group = _at(tokens, index)
        if token.norm.isdecimal() and len(token.norm) <= 3 and group.isdecimal() and len(group) == 3:
            # "1 500 ml" may be 1500 mL or one of 500 mL
            value, rivals, index = float(token.norm + group), (float(group),), index + 1
        if _at(tokens, index) in ("hundred", "thousand"):
            value, rivals, index = value * _SCALES[_at(tokens, index)], (), index + 1
        elif _at(tokens, index) == "dozen":
            value, rivals, index = value * 12, (), index + 1
    else:
        whole = _words(tokens, at)
        if whole is None:
            found = part(tokens, at)
            if found is None:
                return None
            return _closed(tokens, Numeral(found[0], at, found[1]))
        value, index = whole
    if _at(tokens, index) == "point":
        decimals, end = "", index + 1
        while (word := _DIGIT.get(_at(tokens, end), "")) or _at(tokens, end) in ("oh", "o"):
            decimals, end = decimals + (word or "0"), end + 1
        if not decimals and end < len(tokens) and tokens[end].norm.isdecimal():
            decimals, end = tokens[end].norm, end + 1
        if decimals:
            value, index, rivals = float(f"{value:.0f}.{decimals}"), end, ()
    elif more := tail(tokens, index):
        value, index, rivals = value + more[0], more[1], ()
    return _closed(tokens, Numeral(value, at, index, rivals))


def _closed(tokens: Sequence[Token], found: Numeral) -> Numeral:
    """Marks a number that another number follows at once."""
    after = _at(tokens, found.end)
    follows = found.end < len(tokens) and tokens[found.end].kind == "number"
    if follows or after in _SMALL or after in _TENS or after in _SCALES:
        return Numeral(found.value, found.start, found.end, found.rivals, unclear=True)
    return found
