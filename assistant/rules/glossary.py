"""The words of the trade in short plain sentences; they stand in glossary.toml and are read when one is asked for.

Nothing here is worked out, and nothing here judges a batch.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

from assistant.declare import PRACTICE, Source
from grammar import files
from grammar.later import regex

_KEYS = {"names", "text", "source", "seen", "value", "basic", "heard"}
_LONGEST = 3
"""Sentences in a text, at most."""


class BadGlossary(ValueError):
    """glossary.toml cannot be used; the message names the term and what is wrong with it."""


@dataclass(frozen=True)
class Term:
    """One word of the trade.

    Attributes:
        name: as it is shown.
        names: other words for it.
        text: what it is.
        source: what a number or rule in the text rests on.
        value: it is also a quantity, so "what's the slope" may ask for a number.
        basic: most people know it.
        heard: the words by which it is noticed in an answer.
    """

    name: str
    names: tuple[str, ...]
    text: str
    source: Source
    value: bool
    basic: bool
    heard: tuple[str, ...]


def plain(words: str) -> str:
    """A word as it is compared: small letters, a blank for a hyphen, no quotes, dots or ends of sentences."""
    low = words.casefold().replace("’", "'").replace("é", "e")
    low = re.sub(r"(?<!\d)\.|\.(?!\d)|[\"'`“”‘?!,;:()]", "", low)
    return " ".join(re.sub(r"[-–/_]", " ", low).split())


@dataclass(frozen=True)
class Glossary:
    """All terms, in the order of the file."""

    terms: tuple[Term, ...]
    by_name: dict[str, Term]
    spot: re.Pattern[str]

    def find(self, words: str) -> Term | None:
        """The term of that name, in the singular or the plural."""
        low = plain(words)
        for one in (low, low.removesuffix("s"), low.removesuffix("es")):
            if one in self.by_name:
                return self.by_name[one]
        return None

    def said(self, texts: Iterable[str]) -> tuple[Term, ...]:
        """The terms that stand in the texts: those that few people know first, then in the order of the texts."""
        found: dict[str, Term] = {}
        for text in texts:
            for match in self.spot.finditer(text):
                term = self.find(match.group())
                if term is not None:
                    found.setdefault(term.name, term)
        return tuple(sorted(found.values(), key=lambda one: one.basic))


def load(text: str) -> Glossary:
    """The glossary from the text of its file.

    Raises:
        BadGlossary: it is not TOML, or a term lacks its text, has an unknown key, or shares a name with another.
    """
    try:
        rows = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise BadGlossary(f"glossary.toml: {error}") from error
    terms = tuple(_term(name, row) for name, row in rows.items())
    by_name: dict[str, Term] = {}
    for term in terms:
        for name in dict.fromkeys(plain(one) for one in (term.name, *term.names)):
            if by_name.setdefault(name, term) is not term:
                raise BadGlossary(f"glossary.toml: {name!r} stands for {by_name[name].name!r} and {term.name!r}")
    heard = sorted({one for term in terms for one in term.heard}, key=len, reverse=True)
    strange = [one for one in heard if plain(one) not in by_name]
    by_name.update({plain(one): term for term in terms for one in term.heard if one in strange})
    words = "|".join(re.escape(one).replace(r"\ ", r"[\s-]+").replace(r"\-", r"[\s-]+") for one in heard)
    return Glossary(terms, by_name, regex(rf"(?<![\w-])(?:{words})(?:e?s)?(?![\w-])", re.IGNORECASE))


def _term(name: str, row: object) -> Term:
    if not isinstance(row, dict) or set(row) - _KEYS:
        raise BadGlossary(f"glossary.toml: [{name}] may have {', '.join(sorted(_KEYS))}, and nothing else")
    text = row.get("text")
    if not isinstance(text, str) or not text.endswith((".", "?")):
        raise BadGlossary(f"glossary.toml: [{name}] has no text, or one without an end")
    if len(sentences(text)) > _LONGEST:
        raise BadGlossary(f"glossary.toml: [{name}] has more than {_LONGEST} sentences")
    names, heard = row.get("names", []), row.get("heard")
    for each in (names, heard or []):
        if not isinstance(each, list) or not all(isinstance(one, str) and plain(one) for one in each):
            raise BadGlossary(f"glossary.toml: the names of [{name}] are not words in a list")
    source = Source(row["source"], bool(row.get("seen", True))) if "source" in row else PRACTICE
    if any(sign.isdigit() for sign in text) and "source" not in row:
        raise BadGlossary(f"glossary.toml: [{name}] says a number and not what it rests on")
    shown = tuple(heard) if heard is not None else (name, *names)
    return Term(name, tuple(names), text, source, bool(row.get("value")), bool(row.get("basic")), shown)


def sentences(text: str) -> list[str]:
    """The sentences of a text."""
    return [one for one in re.split(r"(?<=[.?!])\s+(?=[A-Z])", text) if one]


@lru_cache(maxsize=1)
def glossary() -> Glossary:
    """The glossary, read once, when the first word is asked for."""
    return load(files.text("assistant.rules", "glossary.toml"))
