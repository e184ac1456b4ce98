"""What a line tells of a batch: deeds, questions about it, what is seen on it, and the vessels meant.

These words are fillers to the parser; here they are picked out of its terminals. What they
are worth the talk decides: without a batch they change nothing.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from grammar.later import regex
from grammar.lexemes import TOLD, Lexeme
from grammar.numerals import NUMBER_WORDS
from grammar.tokens import tokens
from grammar.types import Amount, Reading, Span, Word

_PAST = {"straining": "strained", "topping": "topped", "simmering": "boiled", "mixing": "joined", "thickening": "added"}
"""Topics that are also deeds, where they are said in the past ("strained", but not "strain")."""

_IS_PAST = regex(r"(\w+ed|put|poured)\b")
_BEGUN = ("new batch", "start a batch")

_IT = r"(?:it|this|that|this one|that one|this batch|that batch|the batch)"
_FREE = (
    ("call", regex(rf"\W*(?:let's |lets |i'll |we'll |i wanna |i want to |please )?(?:call|name|rename) {_IT}"
                        r"(?: batch| one)?[ ,:]+(?P<free>.+)", re.IGNORECASE | re.DOTALL)),
    ("call", regex(rf"\W*(?:{_IT} is called|it's called|the name of {_IT} is|its name is)[ ,:]+(?P<free>.+)",
                        re.IGNORECASE | re.DOTALL)),
    ("note", regex(r"\W*(?:make a note|note|remark|write down|jot down|diary)(?: that)?[ ,:]+(?P<free>.+)",
                        re.IGNORECASE | re.DOTALL)),
)  # fmt: skip
"""Lines whose rest is anybody's words: a name, a remark."""

_NO_NAMES = ("a day", "quits", "off", "a night")

_ORDINALS = {"first": "1", "second": "2", "third": "3", "fourth": "4"}
SIZES = (
    *_ORDINALS, "big", "bigger", "large", "larger", "small", "smaller", "little", "old", "new", "blue", "brown",
    "green", "white", "red", "glass", "tall", "short", "wide", "plastic", "spare", "square", "other",
)  # fmt: skip
"""Words that tell one vessel from another."""

_ONES = {
    name: at for at, name in enumerate(("one", "two", "three", "four", "five", "six", "seven", "eight", "nine"), 1)
}
_AFTER = regex(
    rf"\s+(?:number\s+|no\.?\s*|#)?(\d|{'|'.join(_ONES)}|(?-i:[A-H]))\b(?!\s*(?:[.,]\d|%|\w*(?:g|l|kg|ml)\b|day|week|hour|month|year|kilo|gram|pound|litre|liter))",
    re.IGNORECASE,
)
"""A number after a vessel that is its name, and no amount of something."""

_BEFORE = regex(
    r"(?P<mark>\b(?:into|in|to|from|out of|inside|off|between)\b)?\W*"
    r"(?:\b(?:the|my|a|an|our|that|this|its|it's|another)\b\W*)?(?:\b(?:separate|clean|empty)\b\W*)?"
    rf"(?P<size>(?:\b(?:{'|'.join(SIZES)})\b\W*)*)$",
    re.IGNORECASE,
)


def free(text: str) -> tuple[str, str]:
    """ "call" or "note" and the words after it, or two empty strings."""
    text = " ".join(text.split())
    for kind, pattern in _FREE:
        if (match := pattern.match(text)) is None:
            continue
        rest = match["free"].strip(" .!\t\n\"'")
        words = tokens(rest)
        numbered = [one.kind == "number" or one.norm in NUMBER_WORDS for one in words]
        if kind == "call" and (not any(numbered[:1]) and rest.lower() not in _NO_NAMES):
            return kind, rest  # "call it three percent" is no name
        if kind == "note" and not any(numbered):
            return kind, rest  # "note pH 4.9" is a reading
    return "", ""


def told(items: Sequence[Lexeme]) -> tuple[Word, ...]:
    """The words of the line that tell of a batch, in order."""
    found = []
    for item in items:
        text = " ".join(item.text.lower().split())
        kind, _, term = item.term.partition(" ")
        if kind in TOLD and term:
            found.append(Word(kind, term, item.span, item.text))
        elif item.type == "TOPIC" and item.term in _PAST and _IS_PAST.match(text):
            found.append(Word("deed", _PAST[item.term], item.span, item.text))
        elif item.type == "TOPIC" and text in _BEGUN:
            found.append(Word("deed", "begun", item.span, item.text))
        elif text.startswith("filled") and any(one.term == "bottle" for one in items):
            found.append(Word("deed", "bottled", item.span, item.text))
    return tuple(found)


def whens(items: Iterable[Lexeme]) -> tuple[Word, ...]:
    """The words of the line that name a day."""
    return tuple(Word("when", one.term, one.span, one.text) for one in items if one.type == "WHEN")


@dataclass(frozen=True)
class Holder:
    """A vessel as it was spoken of.

    ``size`` is what tells it from others ("big", "2"), ``capacity`` its volume if said,
    ``count`` how many there are ("two jars"), ``mark`` the preposition before it.
    """

    term: str
    text: str
    span: Span
    size: str = ""
    capacity: Amount | None = None
    count: int = 1
    mark: str = ""

    @property
    def word(self) -> str:
        """What people call it, in the singular: "pot", where the term is "crock"."""
        last = re.sub(r"[^a-z -]", " ", self.text.lower()).split() or [self.term]
        plain = next((one for one in reversed(last) if one not in (*_ONES, "number", "no")), self.term)
        return plain[:-2] if plain.endswith("xes") else plain.removesuffix("s") if not plain.endswith("ss") else plain


def holders(reading: Reading) -> tuple[Holder, ...]:
    """The vessels of a line, in the order of the text."""
    found: list[Holder] = []
    for amount in reading.amounts:
        noun = amount.noun
        if noun is None or noun.kind != "vessel":
            continue
        if amount.unit:
            mark = amount.mark or _before(reading.text, amount.span[0])[0]
            found.append(
                Holder(noun.term, reading.text[amount.span[0] : noun.span[1]], amount.span, "", amount, 1, mark)
            )
        elif amount.span[0] < noun.span[0]:
            mark, size = _before(reading.text, amount.span[0])
            count = int(amount.value) if amount.value == int(amount.value) else 1
            found.append(Holder(noun.term, noun.text, amount.span, size, None, count, amount.mark or mark))
        else:
            mark, size = _before(reading.text, noun.span[0])
            span = (noun.span[0], amount.span[1])
            found.append(Holder(noun.term, noun.text, span, f"{amount.value:g}", None, 1, mark or amount.mark))
    for word in reading.words:
        if word.kind == "vessel":
            if (one := _sized(reading.text, word)) is not None:
                found.append(one)
                continue
            mark, size = _before(reading.text, word.span[0])
            number = _AFTER.match(reading.text[word.span[1] :])
            if number is not None:  # "jar two": its name, not how many
                said = number[1].lower()
                size = str(_ONES.get(said, said))
                end = word.span[1] + number.end()
                found.append(
                    Holder(word.term, reading.text[word.span[0] : end], (word.span[0], end), size, None, 1, mark)
                )
                continue
            found.append(Holder(word.term, word.text, word.span, size, None, 1, mark))
    return tuple(sorted(found, key=lambda one: one.span))


_UNITS = {"gallon": "gallon", "quart": "quart", "pint": "pint", "litre": "liter", "liter": "liter", "cup": "cup"}
_SIZED = regex(rf"\b({'|'.join(_UNITS)})[ -]+$", re.IGNORECASE)


def _sized(text: str, word: Word) -> Holder | None:
    """ "The gallon jar": one of the unit."""
    match = _SIZED.search(text[: word.span[0]])
    if match is None:
        return None
    start = match.start()
    mark, _ = _before(text, start)
    capacity = Amount(1.0, _UNITS[match[1].lower()], (start, word.span[0]), match[1])
    return Holder(word.term, text[start : word.span[1]], (start, word.span[1]), "", capacity, 1, mark)


def _before(text: str, at: int) -> tuple[str, str]:
    """The preposition and the telling words before a place in the text."""
    match = _BEFORE.search(text[:at])
    if match is None:  # pragma: no cover - the pattern may be empty
        return "", ""
    size = " ".join((match["size"] or "").lower().split())
    return (match["mark"] or "").lower(), _ORDINALS.get(size, size)
