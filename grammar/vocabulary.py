"""The vocabulary as a look-up: surface words to kind and term, longest expression first.

The words themselves stand in vocabulary.toml and nowhere else.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

from grammar import files
from grammar.tokens import tokens

PLURAL = frozenset({"unit", "produce", "vessel"})
"""Kinds whose words also stand in the plural."""

UNREPAIRED = frozenset({"unit", "negation", "yes", "no", "salt", "undo", "redo", "reset", "leave"})
"""Kinds never put in place of a misspelt word without asking first."""

COMMANDS = frozenset({"undo", "redo", "why", "help", "repeat", "reset", "cancel", "leave", "yes", "no", "unsure"})


@dataclass(frozen=True)
class Entry:
    """What one surface expression means. ``dimension`` is set for units only."""

    kind: str
    term: str
    dimension: str = ""


EVERYDAY = Entry("filler", "everyday")
"""A word that is read and never used."""

_ENDINGS = ("s", "es", "ed", "d", "ing", "ly", "er", "est", "ers")


def _stems(word: str) -> Iterable[str]:
    """What a word may be a form of: its ending taken off, with the spelling's usual changes."""
    for ending in _ENDINGS:
        stem = word.removesuffix(ending)
        if stem == word or len(stem) < 3:
            continue
        yield stem
        yield stem + "e"
        if stem[-1] == stem[-2]:
            yield stem[:-1]
        if stem.endswith("i"):
            yield stem[:-1] + "y"


@dataclass(frozen=True)
class Vocabulary:
    """All surface expressions, how many words the longest that begins with a word has (``reach``), the single words
    by kind, and ``plain``, the words of everyday speech."""

    entries: dict[tuple[str, ...], Entry]
    reach: dict[str, int]
    dimension: dict[str, str]
    singles: dict[str, tuple[str, ...]]
    plain: frozenset[str]

    def find(self, words: tuple[str, ...]) -> Entry | None:
        """The entry for exactly these words, or None."""
        found = self.entries.get(words)
        if found is None and len(words) == 1 and words[0] in self.plain:
            return EVERYDAY
        return found

    def everyday(self, word: str) -> bool:
        """Whether a word is one of everyday speech, or a form of one ("floated", "notes", "slowly")."""
        if (word,) in self.entries:
            return False
        return word in self.plain or (word.isalpha() and any(stem in self.plain for stem in _stems(word)))

    def words_of(self, kinds: Iterable[str]) -> list[str]:
        """Single surface words of the kinds, for spelling."""
        return [word for kind in set(kinds) for word in self.singles.get(kind, ())]

    def name(self, term: str) -> str:
        """The first surface expression of a term (the one to show), or the term itself."""
        for key, entry in self.entries.items():
            if entry.term == term:
                return " ".join(key)
        return term


def split(text: str) -> tuple[str, ...]:
    """A surface expression as the words the reader will meet; case is ignored."""
    if text.isascii() and text.replace(" ", "").isalpha():
        return tuple(text.lower().split())  # words and blanks only: the tokens are the words
    return tuple(token.norm for token in tokens(text))


def plural(word: str) -> str | None:
    """The regular English plural, or None for abbreviations and signs."""
    if len(word) < 3 or not word[-1].isalpha() or word.endswith("s"):
        return None
    if word.endswith(("ch", "sh", "x")):
        return word + "es"
    if word.endswith("y") and word[-2] not in "aeiou":
        return word[:-1] + "ies"
    return word + "s"


def _flat(tables: dict[str, object]) -> Iterable[tuple[str, str, str, str]]:
    for kind, terms in tables.items():
        if not isinstance(terms, dict):
            raise ValueError(f"vocabulary.toml: [{kind}] is not a table")
        for term, words in terms.items():
            if isinstance(words, dict):
                for unit, surfaces in words.items():
                    for surface in surfaces:
                        yield kind, unit, term, surface
            else:
                for surface in words:
                    yield kind, term, "", surface


@lru_cache(maxsize=1)
def vocabulary() -> Vocabulary:
    """The kitchen's vocabulary, read once.

    Raises:
        ValueError: two entries claim the same surface expression.
    """
    entries: dict[tuple[str, ...], Entry] = {}
    plurals: dict[tuple[str, ...], Entry] = {}
    entry = EVERYDAY
    dimension = {"date": "date", "day_of": "date"}  # a date is not a word: dates.py and lexemes.py read it
    for kind, term, dim, surface in _flat(files.table("grammar", "vocabulary.toml")):
        key = split(surface)
        if (kind, term, dim) != (entry.kind, entry.term, entry.dimension):
            entry = Entry(kind, term, dim)
        if entries.setdefault(key, entry) != entry:
            raise ValueError(f"vocabulary.toml: {surface!r} stands for {entries[key]} and {entry}")
        if dim:
            dimension[term] = dim
        if kind in PLURAL and (more := plural(key[-1])):
            plurals[(*key[:-1], more)] = entry
    plain = files.text("grammar", "everyday.txt").split("\n")
    for key, entry in plurals.items():
        entries.setdefault(key, entry)
    singles: dict[str, list[str]] = {}
    reach: dict[str, int] = {}
    for key, entry in entries.items():
        if len(key) == 1:
            singles.setdefault(entry.kind, []).append(key[0])
        elif len(key) > reach.get(key[0], 1):
            reach[key[0]] = len(key)
    return Vocabulary(
        entries,
        reach,
        dimension,
        {kind: tuple(one) for kind, one in singles.items()},
        frozenset(plain),
    )
