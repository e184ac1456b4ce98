"""The few words of a walk: "next", "where was I", "stop for today"; and what asks for one.

They stand in walking.toml. A line is one of them only as a whole, small words aside: "next" is a move, "the next
batch is 4 kg" is not.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

from grammar import files
from grammar.later import regex
from grammar.numerals import small
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
    data = files.table("grammar", "walking.toml")
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


# a time to count down ---------------------------------------------------------------------------


@dataclass(frozen=True)
class Timing:
    """What is asked of the timers: ``seconds`` to count for ``what``; "list" or "stop" where it is not to start one."""

    act: str
    seconds: float = 0.0
    what: str = ""


_CALL = regex(r"\b(?:tell|remind|wake|shout (?:at|to)|call|ping|warn|alert|nudge|beep) me\b")
_START = regex(
    r"\b(?:set|start) (?:a |the |another )?timer\b|\b(?:min(?:ute)?s?|hours?|h|seconds?) timer\b|"
    r"^(?:a |another )?timer\b|\btimer (?:for|of|at)\b|\bcount down\b"
)
_STOP = regex(
    r"^(?:stop|cancel|kill|clear|end|drop|turn off|switch off|shut off) (?:the |all |all the |that |my )?timers?\b|"
    r"^timers? off\b|^no timer\b"
)
_LIST = regex(
    r"^(?:the )?timers\b|\b(?:how long|how much time|what) (?:is |'s )?(?:left )?(?:on|for) (?:the |my )?timers?\b|"
    r"^how (?:long|much time|much longer) (?:is )?(?:still )?(?:left|to go)(?: on the timer)?$|"
    r"^how much (?:is )?(?:still )?(?:left|to go) on the timer$|\btime left\b"
)
_NUMBERS = (
    r"\d+(?:\.\d+)?|half(?: an?)?|(?:a |three )?quarters? of an?|an?|one|two|three|four|five|six|seven|eight|nine|ten|"
    r"eleven|twelve|fifteen|(?:twenty|forty)[ -]five|twenty|thirty|forty|fifty|sixty|ninety"
)
_PIECE = regex(
    rf"\b(?P<number>{_NUMBERS})\s*(?P<unit>h(?:ou)?rs?|h|min(?:ute)?s?|m|sec(?:ond)?s?|s)\b(?P<half> and a half)?"
)
_PER = {"h": 3600.0, "m": 60.0, "s": 1.0}
_SAID = {
    "half": 0.5, "half a": 0.5, "half an": 0.5, "a": 1.0, "an": 1.0, "fifteen": 15.0, "twenty": 20.0,
    "twenty five": 25.0, "twenty-five": 25.0, "thirty": 30.0, "forty": 40.0, "forty five": 45.0, "forty-five": 45.0,
    "fifty": 50.0, "sixty": 60.0, "ninety": 90.0,
}  # fmt: skip
_FOR = regex(r"\b(?:to|that|for|about|when)\s+(?!the timer)(?P<what>.+)$")


def timing(text: str) -> Timing | None:
    """What a line asks of the timers, or None."""
    line = " ".join(re.findall(r"[\w'.-]+", flatten(text.lower()))).strip(" .")
    if _STOP.search(line):
        return Timing("stop")
    if _LIST.search(line):
        return Timing("list")
    pieces = list(_PIECE.finditer(line))
    begun = _START.search(line)
    if begun is None:
        begun = _CALL.search(line)
        # "tell me how much salt 2 kg take" asks something else: only "in 10 minutes" is a time to call at
        if begun is None or not pieces or not re.search(r"\b(?:in|after)\s*$", line[: pieces[0].start()]):
            return None
    seconds = sum((_number(one["number"]) + (0.5 if one["half"] else 0.0)) * _PER[one["unit"][0]] for one in pieces)
    rest = line[pieces[-1].end() :] if pieces else ""
    before = line[begun.end() : max(begun.end(), pieces[0].start())] if pieces else ""
    found = _FOR.search(rest) or _FOR.search(re.sub(r"\b(?:in|after|for|of)\s*$", "", before))
    return Timing("start", seconds, _as_typed(text, found["what"].strip()) if found else "")


def _as_typed(text: str, words: str) -> str:
    """Words of a line in the letters that were typed: a pH is no "ph"."""
    found = re.search(r"[^\w'.-]+".join(map(re.escape, words.split())), flatten(text), re.IGNORECASE)
    return " ".join(found[0].split()) if found else words


def _number(text: str) -> float:
    if text[0].isdigit():
        return float(text)
    if "quarter" in text:
        return 0.75 if text.startswith("three") else 0.25
    return _SAID[text] if text in _SAID else float(small(text) or 0)
