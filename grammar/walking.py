"""The few words of a walk: "next", "where was I", "stop for today"; and what asks for one.

They stand in walking.toml. A line is one of them only as a whole, small words aside: "next" is a move, "the next
batch is 4 kg" is not.
"""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass
from functools import lru_cache
from importlib import resources

from grammar.tokens import flatten

MOVES = ("next", "back", "repeat", "skip", "long", "where", "ahead", "need", "stop", "resume", "end", "walks")


@dataclass(frozen=True)
class Words:
    """Each phrase with its move, the small words, and the phrases that ask for a walk."""

    moves: dict[str, str]
    small: frozenset[str]
    begin: tuple[str, ...]


@lru_cache(maxsize=1)
def words() -> Words:
    """The words of walking.toml.

    Raises:
        ValueError: a phrase stands there twice.
    """
    text = resources.files("grammar").joinpath("walking.toml").read_text(encoding="utf-8")
    data = tomllib.loads(text)
    moves: dict[str, str] = {}
    for move in MOVES:
        for phrase in data[move]:
            if phrase in moves:
                raise ValueError(f"{phrase!r} stands under {moves[phrase]} and {move}")
            moves[phrase] = move
    return Words(moves, frozenset(data["small"]), tuple(sorted(data["begin"], key=len, reverse=True)))


def plain(text: str) -> str:
    """A line in small letters, with single blanks and no signs but the apostrophe and the hyphen."""
    return " ".join(re.findall(r"[\w'-]+", flatten(text.lower())))


def move(text: str) -> str:
    """Which move a whole line is, or ""."""
    known = words()
    line = plain(text)
    if line in known.moves:
        return known.moves[line]
    parts = line.split()
    while parts and parts[0] in known.small:
        parts = parts[1:]
    while parts and parts[-1] in known.small:
        parts = parts[:-1]
    return known.moves.get(" ".join(parts), "")


def asked(text: str) -> str | None:
    """What a walk is asked for ("a first ferment"), "" where only a walk is, None where none is."""
    line = plain(text)
    for phrase in words().begin:
        found = re.search(rf"\b{re.escape(phrase)}\b", line)
        if found:
            return " ".join((line[: found.start()] + " " + line[found.end() :]).split())
    return None
