"""Text to tokens: numbers, words and signs, each with its span. No meaning yet."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from grammar.later import regex
from grammar.types import Span

_FRACTIONS = "½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞"
_QUOTES = str.maketrans(
    {
        "’": "'",
        "‘": "'",
        "“": '"',
        "”": '"',
        "–": "-",
        "—": "-",
        "−": "-",
        "º": "°",
        "\u00a0": " ",
        "\u202f": " ",
        "\u2009": " ",
    }
)

_TOKEN = regex(
    rf"""
    (?P<date>(?<![\d.,/-])(?:\d{{4}}-\d{{1,2}}-\d{{1,2}}|\d{{1,2}}([/.])\d{{1,2}}\2(?:\d{{4}}|(?<=/)\d{{2}}))(?![\d/]))
  | (?P<number>
        \d+\s+\d+\s*/\s*\d+(?![\d/])              # 2 1/4
      | \d+\s*/\s*\d+(?![\d/])                    # 1/2
      | \d+\s*[{_FRACTIONS}] | [{_FRACTIONS}]     # 2½
      | \d{{1,3}}(?:[,.']\d{{3}})+(?:[.,]\d+)?(?![\d])  # 1,500  1.500,5
      | \d+[.,]\d+(?!\d)                          # 2.5  2,5
      | (?<![\w.])\.\d+ | (?<!\S),\d+ | \d+          # .5  ,75
    )
    | (?P<word>
        [gk]{{1,2}}/(?:litre|liter|kg|ml|cc|cm3|m3|l)\b | mg/l\b | (?:lb|oz)/gal\b | [wv]/[wv]\b
      | s\.g\. | cm3\b | h2o\b | °[cf]\b | °sal\b | dry-\w+
      | '(?:s|re|ve|ll|d|m)\b
      | [^\W\d_]+?(?='(?:s|re|ve|ll|d|m)\b) | [^\W\d_]+(?:['-][^\W\d_]+)*
    )
    | (?P<sign>->|[→%‰°@&+=:\#×"?])
    | (?P<dash>-)
    | (?P<sep>[,;.!()\[\]/\n|])
    | (?P<junk>\S)
    """,
    re.VERBOSE | re.IGNORECASE,
)


@dataclass(frozen=True)
class Token:
    """One piece of the text. ``norm`` is what is looked up; ``kind`` is date, number, word,
    sign, dash, sep or junk."""

    kind: str
    norm: str
    span: Span
    text: str

    def renamed(self, norm: str) -> Token:
        """The same place in the text read as another word (a spelling repair)."""
        return replace(self, norm=norm)


def word_at(tokens: Sequence[Token], at: int) -> str:
    """What is looked up of the token at a place, or "" outside the line."""
    return tokens[at].norm if 0 <= at < len(tokens) else ""


def flatten(text: str) -> str:
    """Typographic quotes, dashes and blanks as their plain forms; the length is kept."""
    return text.translate(_QUOTES)


def tokens(text: str) -> list[Token]:
    """The text's tokens in order; blanks are left out."""
    flat = flatten(text)
    found = []
    for match in _TOKEN.finditer(flat):
        kind = match.lastgroup or "junk"
        found.append(Token(kind, match.group().lower(), match.span(), text[slice(*match.span())]))
    return found
