"""What goes wrong with a ferment or a sauce, told by its looks, its smell and its sounds: wrong.toml, read and checked.

The table is for people; its head says what each line means. It is read when the first line asks for it, because a
cold answer to a sum need not wait for it. ``found`` gives the conditions that a line's words may mean.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache, cached_property, lru_cache
from typing import Any

from assistant.declare import Source
from grammar import files
from grammar.later import regex
from grammar.spelling import near

OTHERS = ("source", "unwell", "avoid")
"""Tables that are no conditions."""
KEEPS = ("discard", "wait", "chill", "keep")
"""What may be done with it, the strictest first."""
NUMBERS = {"ph": "", "age": "day", "salt": "percent", "warmth": "degree_Celsius"}
"""What is told by a number, with its unit; all else is told in words."""

GAP = 3
"""Other words that may stand between two words of a phrase."""
TOGETHER = 12
"""How far two parts joined by "+" may stand from each other."""
SHORT = 5
"""Letters under which nothing is repaired: "form" is no foam."""
NEAR = 3
"""How near before a word a "not" takes it back."""

_WORD = regex(r"[a-z]+(?:'[a-z]+)?|\d+(?:[.,]\d+)?|[.;!?,:]")
_STOPS = frozenset(".;!?")


def _words(text: str) -> frozenset[str]:
    """Words between blanks."""
    return frozenset(text.split())


_NOT = _words(
    "no not isn't isnt aren't arent wasn't wasnt without never nor neither don't dont doesn't doesnt didn't "
    "didnt hasn't hasnt haven't havent free none nothing"
)
_SPARED = _words("sure only just certain idea know clue wonder matter problem longer doubt")
"""Words after a "not" that leave what follows as it is: "not sure if it is mould"."""
_LITTLE = _words(
    "it it's its is a an the my our i have i've there's there theres some got very really quite all now today "
    "has gone went turned and so help why are they they're looks look seems seem what hey this that that's oh "
    "no um well just kind of sort little bit to be in on me mine getting gets been hi please still again thing "
    "stuff was at one batch mash peppers sauce ferment jar crock top"
)
"""Words that change nothing in a line that is one phrase alone."""


@dataclass(frozen=True)
class Slot:
    """One place of a phrase: the words that may stand there, whole or by their beginning."""

    whole: frozenset[str]
    begin: tuple[str, ...]

    def fits(self, word: str) -> bool:
        """Whether a word may stand here."""
        return word in self.whole or (bool(self.begin) and word.startswith(self.begin))


@dataclass(frozen=True)
class Phrase:
    """What people say: parts that may come in any order, each of words in their order; ``alone`` with no others."""

    parts: tuple[tuple[Slot, ...], ...]
    alone: bool = False

    @cached_property
    def slots(self) -> tuple[Slot, ...]:
        """All its places."""
        return tuple(slot for part in self.parts for slot in part)


@dataclass(frozen=True)
class Case:
    """One answer to a question.

    Attributes:
        words: phrases that mean it; empty for a number.
        least, under: the numbers it holds for, from ``least`` up to but not with ``under``.
        then: what is said; ``keep`` what it makes of it ("" changes nothing); ``goes`` another condition;
        ends: nothing more is asked.
    """

    words: tuple[Phrase, ...]
    least: float
    under: float
    then: str
    keep: str
    goes: str
    ends: bool


@dataclass(frozen=True)
class Question:
    """A question that tells cases apart, about something.

    ``book``: what the batch book knows answers it; ``line``: so do the words of the line that told the sign.
    """

    about: str
    text: str
    cases: tuple[Case, ...]
    book: bool
    line: bool

    @property
    def number(self) -> bool:
        """Whether a number answers it."""
        return self.about in NUMBERS


@dataclass(frozen=True)
class Condition:
    """One thing that goes wrong; the head of wrong.toml says what the attributes mean."""

    id: str
    says: tuple[Phrase, ...]
    likely: str
    do: str
    keep: str
    danger: str
    why: str
    sources: tuple[Source, ...]
    watch: str
    known: str
    asks: tuple[Question, ...]


@dataclass(frozen=True)
class Table:
    """All of it, in the order of the file: the strict ones first."""

    conditions: Mapping[str, Condition]
    unwell: tuple[Phrase, ...]
    doctor: str
    avoid: str

    @cached_property
    def words(self) -> tuple[str, ...]:
        """Every word that stands in a phrase, for misspelt ones."""
        phrases = [*self.unwell, *(one for each in self.conditions.values() for one in each.says)]
        slots = [slot for one in phrases for part in one.parts for slot in part]
        whole = {word for slot in slots for word in slot.whole}
        begun = {f"{stem}{end}" for slot in slots for stem in slot.begin for end in ("", "y", "s", "ed", "ing", "e")}
        return tuple(sorted(one for one in whole | begun if len(one) > 3))


# reading the table -----------------------------------------------------------------------------


@lru_cache(maxsize=1)
def table() -> Table:
    """The table, read once.

    Raises:
        ValueError: something in it is missing or means nothing; the message names the condition.
    """
    return tabled(files.table("assistant.rules", "wrong.toml"))


def tabled(data: Mapping[str, Any]) -> Table:
    """The table made of what the file holds; raises as ``table`` does."""
    sources = {name: Source(one["text"], one.get("seen", True)) for name, one in data["source"].items()}
    found = {name: _condition(name, one, sources) for name, one in data.items() if name not in OTHERS}
    for one in found.values():
        for question in one.asks:
            for case in question.cases:
                if case.goes and case.goes not in found:
                    raise ValueError(f"wrong.toml, {one.id}: there is no condition {case.goes!r}")
    return Table(found, tuple(map(phrase, data["unwell"]["says"])), data["unwell"]["text"], data["avoid"]["text"])


def _condition(name: str, row: Mapping[str, Any], sources: Mapping[str, Source]) -> Condition:
    own = ("likely", "do", "danger") if "known" not in row else ()
    for field in ("says", *own, "keep", "why", "source", "ask"):
        if not row.get(field):
            raise ValueError(f"wrong.toml, {name}: {field} is missing")
    for one in row["source"]:
        if one not in sources:
            raise ValueError(f"wrong.toml, {name}: there is no source {one!r}")
    if row["keep"] not in KEEPS:
        raise ValueError(f"wrong.toml, {name}: keep is one of {', '.join(KEEPS)}")
    return Condition(
        name,
        tuple(map(phrase, row["says"])),
        row.get("likely", ""),
        row.get("do", ""),
        row["keep"],
        row.get("danger", ""),
        row["why"],
        tuple(sources[one] for one in row["source"]),
        row.get("watch", ""),
        row.get("known", ""),
        tuple(_question(name, one) for one in row["ask"]),
    )


def _question(name: str, row: Mapping[str, Any]) -> Question:
    about, cases, low = row["about"], [], float("-inf")
    for one in row["cases"]:
        least, under = low, float("inf")
        if about in NUMBERS:
            edge = re.fullmatch(r"under (\d+(?:\.\d+)?)|(\d+(?:\.\d+)?) or over", one.get("when", ""))
            if edge is None or (edge[2] and float(edge[2]) != low):
                raise ValueError(f"wrong.toml, {name}: {about} has no case {one.get('when')!r} there")
            under = float(edge[1]) if edge[1] else under
            low = under
        elif not one.get("words"):
            raise ValueError(f"wrong.toml, {name}: {about} has a case without words")
        if one.get("keep", "keep") not in KEEPS or not (one.get("then") or one.get("goes")):
            raise ValueError(f"wrong.toml, {name}: {about} has a case that says nothing")
        said_so = tuple(map(phrase, one.get("words", ())))
        goes, keep, ends = one.get("goes", ""), one.get("keep", ""), one.get("ends", False)
        cases.append(Case(said_so, least, under, one.get("then", ""), keep, goes, ends))
    if about in NUMBERS and low != float("inf"):
        raise ValueError(f"wrong.toml, {name}: {about} leaves numbers without a case")
    return Question(about, row["question"], tuple(cases), row.get("book", True), row.get("line", True))


def phrase(text: str) -> Phrase:
    """A phrase as the table writes it: "white/cream skin", "oil + shelf", "=soft"."""
    alone, plain = text.startswith("="), text.removeprefix("=")
    parts = tuple(tuple(map(_slot, part.split())) for part in plain.split(" + "))
    return Phrase(parts, alone)


@cache
def _slot(text: str) -> Slot:
    words = text.split("/")
    whole = frozenset(one for one in words if not one.endswith("*"))
    return Slot(whole, tuple(one[:-1] for one in words if one.endswith("*")))


# finding ---------------------------------------------------------------------------------------


def words_of(text: str) -> list[str]:
    """The words, numbers and stops of a line, in small letters."""
    return _WORD.findall(text.lower().replace("’", "'").replace("-", " "))


def _part(part: Sequence[Slot], words: Sequence[str], start: int) -> list[int] | None:
    """Where a part's words stand from a place on, or None; never over the end of a sentence."""
    for at in range(start, len(words)):
        if not part[0].fits(words[at]):
            continue
        places = [at]
        for slot in part[1:]:
            here, gap = places[-1] + 1, 0
            while here < len(words) and words[here] not in _STOPS and not slot.fits(words[here]):
                gap += words[here] != ","
                if gap > GAP:
                    break
                here += 1
            if here < len(words) and slot.fits(words[here]):
                places.append(here)
            else:
                break
        if len(places) == len(part) and not _denied(words, places):
            return places
    return None


def _denied(words: Sequence[str], places: Sequence[int]) -> bool:
    """Whether a "not" shortly before takes it back."""
    first = places[0]
    for at in range(first - 1, max(-1, first - NEAR - 2), -1):
        if words[at] in _STOPS or words[at] in (",", "but"):
            return False
        if words[at] in _NOT:
            return not _SPARED & set(words[at + 1 : first])
    return False


def places_of(one: Phrase, words: Sequence[str]) -> list[int] | None:
    """Where the words of a phrase stand in a line, or None if it is not said there."""
    if one.alone:
        kept = [word for word in words if word.isalnum() or "'" in word]
        mine = [word for word in kept if any(slot.fits(word) for part in one.parts for slot in part)]
        if not mine or any(word not in mine and word not in _LITTLE for word in kept):
            return None
    found: list[int] = []
    for part in one.parts:
        places = _part(part, words, 0)
        while places is not None and set(places) & set(found):
            places = _part(part, words, places[0] + 1)
        if places is None:
            return None
        found += places
    if len(one.parts) > 1 and max(found) - min(found) > TOGETHER:
        return None
    return found


class _Words:
    """The words of a line, to rule phrases out by: most have a place that no word of the line fits."""

    def __init__(self, words: Sequence[str]) -> None:
        self._all = frozenset(words)
        self._text = f" {' '.join(words)}"
        self._met: dict[int, bool] = {}

    def may_say(self, one: Phrase) -> bool:
        """Whether each place of a phrase has a word somewhere in the line."""
        for slot in one.slots:
            met = self._met.get(id(slot))  # many phrases share a place, and each is kept
            if met is None:
                met = not slot.whole.isdisjoint(self._all) or any(f" {stem}" in self._text for stem in slot.begin)
                self._met[id(slot)] = met
            if not met:
                return False
        return True


def said(phrases: Iterable[Phrase], words: Sequence[str]) -> bool:
    """Whether one of the phrases is said."""
    line = _Words(words)
    return any(line.may_say(one) and places_of(one, words) is not None for one in phrases)


def repaired(words: Sequence[str], known: Iterable[str]) -> tuple[list[str], list[tuple[str, str]]]:
    """The words with misspelt ones put right where one word of the table alone is near: (words, what was read as what).

    Args:
        words: as ``words_of`` gives them.
        known: words that are right as they stand.
    """
    right = known if isinstance(known, (frozenset, set)) else frozenset(known)
    out, made = list(words), []
    for at, word in enumerate(words):
        if len(word) < SHORT or word in right or not word.isalpha() or word in _LITTLE or word in _NOT:
            continue
        close = [] if word in table().words else near(word, table().words)
        if close:
            pick = min(close, key=lambda one: (abs(len(one) - len(word)), one))
            out[at] = pick
            made.append((word, pick))
    return out, made


@dataclass(frozen=True)
class Hit:
    """A condition that a line may mean, and where the words that say so stand in it."""

    condition: Condition
    places: frozenset[int]


def found(words: Sequence[str], alone: bool = True) -> list[Hit]:
    """The conditions that the words may mean, the strictest first; ``alone``: also by phrases that are a whole line.

    Of two that share a word the one with the longer phrase is taken, of equal ones the upper in the table.
    """
    line = _Words(words)
    hits: list[tuple[int, int, frozenset[int], Condition]] = []
    for order, one in enumerate(table().conditions.values()):
        best: list[int] | None = None
        for each in one.says:
            places = places_of(each, words) if (alone or not each.alone) and line.may_say(each) else None
            if places is not None and (best is None or len(places) > len(best)):
                best = places
        if best is not None:
            hits.append((-len(best), order, frozenset(best), one))
    taken: set[int] = set()
    kept: list[tuple[int, Hit]] = []
    for _, order, places_, one in sorted(hits, key=lambda hit: hit[:2]):
        if not places_ & taken:
            kept.append((order, Hit(one, places_)))
            taken |= places_
    return [one for _, one in sorted(kept, key=lambda hit: (KEEPS.index(hit[1].condition.keep), hit[0]))]


def unwell(words: Sequence[str]) -> bool:
    """Whether a line tells that somebody is ill."""
    return said(table().unwell, words)


# answers ---------------------------------------------------------------------------------------


def case_of_number(question: Question, value: float, off: float = 0.0) -> int:
    """The case that a number falls in; ``off`` is what it may be off, and is added: the worse side counts for a pH."""
    worst = value + off + 1e-9
    return next(at for at, one in enumerate(question.cases) if one.least <= worst < one.under)


def case_of_words(one: Condition, question: Question, words: Sequence[str]) -> tuple[int, str] | None:
    """The case that a line means, of several the strictest, with the words that say so; None if it says none."""
    meant = []
    for at, case in enumerate(question.cases):
        places = next((found for each in case.words if (found := places_of(each, words)) is not None), None)
        if places is not None:
            meant.append((strictness(one, case), at, " ".join(words[place] for place in places)))
    if not meant:
        return None
    _, at, told = min(meant)
    return at, told


def strictness(one: Condition, case: Case) -> int:
    """How strict a case of a condition is: 0 throws it out."""
    keep = case.keep or (table().conditions[case.goes].keep if case.goes else one.keep)
    return KEEPS.index(keep)


def strictest(one: Condition, question: Question) -> int:
    """The case to be taken where nobody knows: the strictest; of numbers equally strict the last."""
    order = [(strictness(one, case), -at if question.number else at) for at, case in enumerate(question.cases)]
    return order.index(min(order))
