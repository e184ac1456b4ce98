"""Numbers as people write and say them: digits, decimal comma, fractions, words.

``numeral`` reads the longest number that starts at a token. It never guesses between two
readings: a number like "1,500" comes back with both values.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass

from grammar.tokens import Token, word_at

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
_SMALL["nought"] = 0
_DIGIT = {word: str(value) for word, value in _SMALL.items() if value < 10}
_FIRST = (
    "first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth", "eleventh",
    "twelfth", "thirteenth", "fourteenth", "fifteenth", "sixteenth", "seventeenth", "eighteenth", "nineteenth",
)  # fmt: skip
ORDINALS = {
    **{word: number for number, word in enumerate(_FIRST, start=1)},
    "twentieth": 20,
    "thirtieth": 30,
    **{f"{ten}-{_FIRST[more]}": _TENS[ten] + more + 1 for ten in ("twenty", "thirty") for more in range(9)},
}
"""Words for a place in a row, as days of a month are said."""
NUMBER_WORDS = frozenset({*_SMALL, *_TENS, *_SCALES, *_PARTS, "point", "couple"})
"""Words that are part of a number, so that spelling never touches them."""

BEYOND = 1e12
"""No kitchen number is as large, or as small as one over it."""

_ARTICLES = ("a", "an")


@dataclass(frozen=True)
class Numeral:
    """A number read from ``tokens[start:end]``; ``rivals`` are other values it could mean."""

    value: float
    start: int
    end: int
    rivals: tuple[float, ...] = ()
    unclear: bool = False


def small(word: str) -> int | None:
    """A number word under a hundred on its own ("three", "twenty", "twenty-one"), or None."""
    ten, _, one = word.partition("-")
    if one:
        return _TENS[ten] + _SMALL[one] if ten in _TENS and 0 < _SMALL.get(one, 0) < 10 else None
    return _SMALL.get(word, _TENS.get(word))


def _digits(text: str) -> tuple[float, tuple[float, ...]] | None:
    """The value of a number written with digits, and its rival values."""
    if "/" in text:
        top, _, bottom = text.rpartition("/")
        *whole, top = top.split()
        if float(bottom) == 0 or len(bottom) > 12:
            return None
        return sum(map(float, whole)) + float(top) / float(bottom), ()
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
        if word in _ARTICLES and not seen and word_at(tokens, index + 1) in _SCALES:
            current, seen, room = 1.0, True, 1e9
        elif word in _SMALL and (value := _SMALL[word]) < room:
            current, seen, room = current + value, True, 0
        elif word in _TENS and room > 10:
            current, seen, room = current + _TENS[word], True, 10
        elif word in _SCALES and (seen or index == at):
            scale = _SCALES[word]
            if scale == 1000:
                total, current = total + (current or 1) * scale, 0.0
            else:
                current = (current or 1) * scale
            room, seen = 100, True
        elif word == "and" and seen and tokens[index - 1].norm in _SCALES:
            after = word_at(tokens, index + 1)
            if after not in _SMALL and after not in _TENS and after.partition("-")[0] not in _TENS:
                break
        elif "-" in word and room > 10:
            left, _, right = word.partition("-")
            if left not in _TENS or not 0 < _SMALL.get(right, 0) < 10:
                break
            current, seen, room = current + _TENS[left] + _SMALL[right], True, 0
        else:
            break
        index += 1
    return (total + current, index) if seen else None


def part(tokens: Sequence[Token], at: int) -> tuple[float, int] | None:
    """A spoken fraction from ``at`` ("half", "a quarter", "three quarters"): value, end."""
    if at < len(tokens) and tokens[at].kind == "number":
        digits = _digits(tokens[at].norm) if _is_fraction(tokens[at].norm) else None
        return (digits[0], at + 1) if digits and 0 < digits[0] < 1 else None
    top, index = 1.0, at
    word = word_at(tokens, at)
    counted = False
    count, _, name = word.partition("-")
    if count in _SMALL and name in _PARTS:  # "three-quarters"
        return _SMALL[count] / _PARTS[name], at + 1
    if word in _ARTICLES:
        index, counted = at + 1, True
    elif word in _SMALL and word_at(tokens, at + 1) in _PARTS:
        top, index, counted = float(_SMALL[word]), at + 1, True
    name = word_at(tokens, index)
    if name not in _PARTS or (not counted and name not in ("half", "quarter")):
        return None
    return top / _PARTS[name], index + 1


def _is_fraction(text: str) -> bool:
    return "/" in text or not text[-1].isdecimal()


def tail(tokens: Sequence[Token], at: int) -> tuple[float, int] | None:
    """ "and a half", "and three quarters" from ``at``: the fraction and where it ends."""
    if word_at(tokens, at) not in ("and", "&"):
        return None
    return part(tokens, at + 1)


def numeral(tokens: Sequence[Token], at: int) -> Numeral | None:
    """The longest number that starts at ``tokens[at]``, or None.

    ``unclear`` is set where two numbers stand side by side and no rule joins them
    ("three five", "2 500"): the caller must ask.
    """
    if at >= len(tokens):
        return None
    couple = at + (word_at(tokens, at) in _ARTICLES)
    if word_at(tokens, couple) == "couple":
        return Numeral(2.0, at, couple + 1 + (word_at(tokens, couple + 1) == "of"))
    if word_at(tokens, at) == "point" and (decimals := _decimals(tokens, at + 1)):
        return _closed(tokens, Numeral(float(f"0.{decimals[0]}"), at, decimals[1]))
    if word_at(tokens, at) in _SMALL and (found := part(tokens, at)):  # "three quarters"
        return _closed(tokens, Numeral(found[0], at, found[1]))
    rivals: tuple[float, ...] = ()
    token = tokens[at]
    if token.kind == "number":
        digits = _digits(token.norm)
        if digits is None:
            return Numeral(float("nan"), at, at + 1, unclear=True)
        value, rivals = digits
        index = at + 1
        if value >= BEYOND or (value and value < 1 / BEYOND):
            return Numeral(value, at, index, unclear=True)
        group = word_at(tokens, index)
        if token.norm.isdecimal() and len(token.norm) <= 3 and group.isdecimal() and len(group) == 3:
            # "1 500 ml" may be 1500 mL or one of 500 mL
            value, rivals, index = float(token.norm + group), (float(group),), index + 1
        if word_at(tokens, index) in ("hundred", "thousand"):
            value, rivals, index = value * _SCALES[word_at(tokens, index)], (), index + 1
        elif word_at(tokens, index) == "dozen":
            value, rivals, index = value * 12, (), index + 1
    else:
        whole = _words(tokens, at)
        if whole is None:
            found = part(tokens, at)
            if found is None:
                return None
            scale = _SCALES.get(word_at(tokens, found[1]), 0)
            if not scale and word_at(tokens, found[1]) in _ARTICLES:  # "half a dozen"
                scale = _SCALES.get(word_at(tokens, found[1] + 1), 0)
                found = (found[0], found[1] + bool(scale))
            return _closed(tokens, Numeral(found[0] * (scale or 1), at, found[1] + bool(scale)))
        value, index = whole
    if word_at(tokens, index) == "point" and (decimals := _decimals(tokens, index + 1)):
        if value != int(value):
            return Numeral(value, at, decimals[1], unclear=True)
        value, index, rivals = float(f"{value:.0f}.{decimals[0]}"), decimals[1], ()
    elif more := tail(tokens, index):
        unclear = word_at(tokens, index - 1) in _SCALES  # "a hundred and a half" is 100.5 or 150
        value, index, rivals = value + more[0], more[1], ()
        if unclear:
            return Numeral(value, at, index, unclear=True)
    return _closed(tokens, Numeral(value, at, index, rivals))


def _decimals(tokens: Sequence[Token], at: int) -> tuple[str, int] | None:
    """The digits said after "point" ("oh two eight"), and where they end."""
    digits = ""
    while at < len(tokens):
        word = tokens[at].norm
        more = _DIGIT.get(word, "0" if word in ("oh", "o") else word if word.isdecimal() else "")
        if not more:
            break
        digits, at = digits + more, at + 1
    return (digits, at) if digits else None


_TIMES = ("day", "days", "week", "weeks", "month", "months", "year", "years", "fortnight", "fortnights")


def _closed(tokens: Sequence[Token], found: Numeral) -> Numeral:
    """Marks a number that another number follows at once, and one beyond all measure."""
    if found.value >= BEYOND:
        return Numeral(found.value, found.start, found.end, unclear=True)
    if _glued(tokens, found.end):
        return Numeral(found.value, found.start, found.end, unclear=True)
    after = word_at(tokens, found.end)
    if tokens[found.end - 1].kind == "number" and after in _SMALL and word_at(tokens, found.end + 1) in _TIMES:
        return found  # "pH 4.4 three days ago"
    if _counts(tokens, found):
        return found
    follows = found.end < len(tokens) and tokens[found.end].kind == "number"
    if follows or after in _SMALL or after in _TENS or after in _SCALES:
        return Numeral(found.value, found.start, found.end, found.rivals, unclear=True)
    return found


def _counts(tokens: Sequence[Token], found: Numeral) -> bool:
    """Whether a number in words counts things with a size in digits ("a hundred 150 ml bottles").

    Never before fewer than three digits: "two 50" may be two hundred and fifty.
    """
    in_words = all(one.kind != "number" for one in tokens[found.start : found.end])
    after = tokens[found.end].norm if found.end < len(tokens) else ""
    return in_words and after.isdecimal() and len(after) >= 3


def _glued(tokens: Sequence[Token], at: int) -> bool:
    """Whether a comma or stroke joins another number on ("1,2,3", "1/2/3")."""
    if not 0 < at < len(tokens) - 1 or tokens[at].norm not in (",", "/", "."):
        return False
    before, after = tokens[at - 1], tokens[at + 1]
    touching = before.span[1] == tokens[at].span[0] and tokens[at].span[1] == after.span[0]
    return before.kind == "number" and after.kind == "number" and touching
