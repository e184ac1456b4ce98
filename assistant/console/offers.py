"""What could come next in a line, each with a short note: for the list on Tab.

Everything is derived: the words from the vocabulary, what may stand at a place from the parser, units and options from
the open question, moves from the walk, names from the batches. No number is ever offered: it would be somebody's guess.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

from assistant.batches.describe import day_words
from assistant.console import helping
from assistant.replies import Ask
from assistant.show import said
from assistant.talk.state import State
from assistant.trade import CALCULATORS
from assistant.walks.plan import walks
from grammar.reader import LONGEST, following
from grammar.vocabulary import COMMANDS, vocabulary
from grammar.walking import words

MOST = 60
"""Offers at one place."""

_WORD = re.compile(r"[^\W\d_'-]*(?:['-][^\W\d_]*)*$|[%°#]$")
_NOTE = {
    "unit": "unit", "mark": "before an amount", "topic": "what to work out", "produce": "produce", "vessel": "vessel",
    "salt": "kind of salt", "substance": "what goes in", "noun": "what it is an amount of", "state": "how it is",
    "property": "what is measured", "basis": "what a percentage is of", "kitchen": "whose cups",
    "change": "another value", "asking": "asks for an amount", "when": "asks for a day",
}  # fmt: skip
"""The kinds of word that are offered, and what is said of them."""

_FIRST = {
    "": ("noun", "topic", "asking", "when"),
    "number": ("unit",),
    "unit": ("mark", "produce", "noun", "substance"),
    "of": ("produce", "noun", "substance"),
    "mark": ("produce", "vessel", "topic", "noun"),
    "produce": ("mark", "state"),
    "topic": ("mark", "produce"),
    "noun": ("mark",),
    "vessel": ("mark",),
}
"""What is likely after what; the rest comes behind, once a letter of it is typed."""

_MOVES = {
    "next": "the step is done", "back": "the step before", "repeat": "the step again", "skip": "leave it out",
    "long": "how long it takes", "where": "which step it is", "ahead": "the step after", "need": "what to have ready",
    "stop": "go on another day", "end": "close the walk",
}  # fmt: skip


@dataclass(frozen=True)
class Offer:
    """A text to put in the place of the last ``typed`` letters, and what it is."""

    text: str
    note: str
    typed: int = 0


def offers(state: State, line: str) -> tuple[Offer, ...]:
    """What could come next after the line, the likeliest first."""
    if len(line) > LONGEST or "\n" in line:
        return ()
    begun = _WORD.search(line)
    word = begun[0].lower() if begun is not None else ""
    before = line[: len(line) - len(word)]
    found: dict[str, Offer] = {}
    for text, note in (*_answers(state, before, line), *_start(state, before), *_words(state, before, word)):
        whole = not before.strip() and text.lower().startswith(line.lower().lstrip())
        typed = len(line.lstrip()) if whole else len(word)
        if (whole or text.lower().startswith(word)) and text.lower() != line.strip().lower():
            found.setdefault(text, Offer(text, note, typed))
    return tuple(found.values())[:MOST]


def _answers(state: State, before: str, line: str) -> Iterator[tuple[str, str]]:
    """The answers of the open question, and the moves of a walk; only where the line begins."""
    if before.strip() and not any(one.label.lower().startswith(line.lower()) for one in state.options):
        return
    labels = [one.label for one in state.options]
    asks = [one for one in state.said if isinstance(one, Ask)]
    labels += [label for one in asks[-1:] for label in one.options if label not in labels]
    for at, label in enumerate(labels, 1):
        yield label, f"answer {at} of {len(labels)}"
    if state.mode == "confirming":
        yield from ((vocabulary().name(one), "answer") for one in ("yes", "no"))
    if (item := helping.asked(state)) is not None and item.suggest is not None:
        yield "the usual", said(*item.suggest)
    step = helping.step_of(state)
    if step is not None:
        if step.usual:
            yield "the usual", step.usual
        shown: set[str] = set()
        for phrase, move in words().moves.items():
            if move in _MOVES and move not in shown:
                shown.add(move)
                yield phrase, _MOVES[move]


def _start(state: State, before: str) -> Iterator[tuple[str, str]]:
    """What a line may begin with: a batch, a command, a walk."""
    titles = state.shelf.recent[:12]
    for one in titles:
        note = f"batch {one.number}, since {day_words(one.began, year=False)}" + (", closed" if one.closed else "")
        if one.name and not before.strip():
            yield f"the {one.name} one", note
        elif one.name:
            yield one.name, note
        yield f"batch {one.number}", note if not one.name else one.name
    if before.strip():
        return
    commands = sorted(COMMANDS - {"yes", "no", "unsure"} - ({"cancel"} if state.mode == "idle" else set()))
    if state.mode != "idle":
        yield from ((vocabulary().name(one), "command") for one in commands)
        return
    begin = next((one for one in words().begin if one.startswith("walk me")), "")
    if state.walk is None or state.walk.paused:
        yield from ((f"{begin} {one.named[0]}", "step by step") for one in walks())
    yield from ((vocabulary().name(one), "command") for one in commands)


def _words(state: State, before: str, word: str) -> Iterator[tuple[str, str]]:
    """Words of the vocabulary that the parser would take here."""
    last, kinds = following(before)
    likely = _FIRST.get(last, ("mark", "produce", "noun"))
    item = helping.asked(state)
    if last == "number":
        kinds &= {"unit"}
        fits = helping.units_of(item) if item is not None else []
        yield from ((vocabulary().name(one), f"unit of {item.dimension}") for one in fits if item is not None)
        if fits:
            return
    elif not word:
        kinds &= {*likely}
        if item is not None and not before.strip():
            return
    order = [*likely, *(one for one in _NOTE if one not in likely)]
    for kind in order:
        if kind in kinds and kind in _NOTE:
            yield from _of_kind(kind, word)


def _of_kind(kind: str, word: str) -> Iterator[tuple[str, str]]:
    """One surface for each term of a kind: the first that begins with what is typed."""
    for term, surfaces, note in _terms()[kind]:
        found = next((one for one in surfaces if one.startswith(word)), "")
        if found:
            yield found, note or (term if term != found else "")


@lru_cache(maxsize=1)
def _terms() -> dict[str, list[tuple[str, tuple[str, ...], str]]]:
    """The terms of each kind with their surfaces and what is said of them."""
    titles: dict[str, str] = {}
    for one in CALCULATORS:
        for called in one.calls:
            for term in called:
                titles.setdefault(term, one.title)
    grouped: dict[tuple[str, str, str], list[str]] = {}
    for key, entry in vocabulary().entries.items():
        if entry.kind in _NOTE:
            grouped.setdefault((entry.kind, entry.term, entry.dimension), []).append(" ".join(key).replace(" '", "'"))
    out: dict[str, list[tuple[str, tuple[str, ...], str]]] = {kind: [] for kind in _NOTE}
    for (kind, term, dimension), surfaces in grouped.items():
        note = _NOTE[kind]
        if kind == "unit":
            note = f"unit of {dimension}"
        elif kind == "topic" and term in titles:
            note = titles[term]
        out[kind].append((term, tuple(surfaces), note))
    return out
