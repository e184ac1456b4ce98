"""What people said, read right.

``tests/corpus/heard.jsonl``: phrases, each with what it must become: ``act``, ``calc`` (the
calculator, "" where it must be asked), ``outcome`` (the kind of reply that counts), the
``amounts`` in the order of the text (the words they stand in, value, unit, the input they
become, and ``or`` where they could be read another way), what was ``wanted`` by name, and
``values`` that the answer must hold (worked out by the writer). ``before`` are lines said
earlier in the same talk.

``never.jsonl``: lines that must not yield an answer. ``not_yet.jsonl``: phrases that are
not read as their writer meant; each must go on failing until it is moved to ``heard``.
All were written by people who had not seen the grammar; where a phrase has two fair
readings, the one that asks was pinned.
"""

from __future__ import annotations

import collections
import json
from pathlib import Path
from typing import Any

import pytest

from assistant.replies import Answer, Reply
from assistant.trade import CALCULATORS
from grammar import measures
from grammar.types import Amount, Misread, Reading
from tests.helpers import talk

FOLDER = Path(__file__).parent / "corpus"
COUNTS = {"heard": 600, "never": 150}
"""How many lines the corpus has at the least."""


def lines(name: str) -> list[dict[str, Any]]:
    """The entries of one file."""
    return [json.loads(row) for row in (FOLDER / name).read_text(encoding="utf-8").splitlines() if row.strip()]


def outcome_of(kinds: list[str]) -> str:
    """What came of a line: answer, refuse, misread, ask."""
    return next((kind for kind in ("answer", "refuse", "misread", "ask") if kind in kinds), kinds[0])


def amount(one: Amount, say: str, roles: list[str]) -> dict[str, Any]:
    """An amount as the corpus writes it."""
    text, role = say[slice(*one.span)], next(iter(roles), "")
    found: dict[str, Any] = {"text": text, "value": round(one.value, 6), "unit": one.unit, "role": role}
    if one.rivals:
        found["or"] = [[round(each.value, 6), each.unit] for each in one.rivals]
    return found


def heard(entry: dict[str, Any]) -> tuple[dict[str, Any], tuple[Reply, ...]]:
    """What the line becomes, in the form of the corpus, and the replies."""
    session = talk()
    for line in entry.get("before", ()):
        session.say(line)
    reading, replies = session.say(entry["say"])
    state = session.talk.now
    job = state.job or state.answered
    answers = [one.calculator for one in replies if isinstance(one, Answer)]
    found: dict[str, Any] = {
        "act": reading.act if isinstance(reading, Reading) else "misread",
        "calc": next(iter(answers), state.job.calculator if state.job else ""),
        "outcome": outcome_of([one.kind for one in replies]),
        "amounts": [],
        "wanted": [],
    }
    if isinstance(reading, Misread):
        return found, replies
    found["wanted"] = list(reading.wanted)
    for one in reading.amounts:
        given = job.given if job is not None and job.calculator == found["calc"] else ()
        roles = [each.name for each in given for said in each.amounts if said.span == one.span]
        found["amounts"].append(amount(one, entry["say"], roles if found["outcome"] in ("answer", "ask") else []))
    return found, replies


def holds(value: dict[str, Any], replies: tuple[Reply, ...]) -> bool:
    """Whether an answer has the value."""
    for reply in replies:
        for one in reply.values if isinstance(reply, Answer) else ():
            if value["name"] and not one.name.startswith(value["name"]):
                continue
            there = one.value
            if value["unit"] and one.unit != value["unit"]:
                try:
                    there = measures.convert(
                        one.value, measures.settle(one.unit, "us"), measures.settle(value["unit"], "us")
                    )
                except ValueError:
                    continue
            if abs(there - value["value"]) <= value["within"] + 1e-9:
                return True
    return False


def faults(entry: dict[str, Any]) -> list[str]:
    """What is not as the entry says; empty if all is."""
    found, replies = heard(entry)
    expected = {name: entry.get(name, []) for name in found}
    wrong = [f"{name}: {found[name]}, not {expected[name]}" for name in found if found[name] != expected[name]]
    return wrong + [f"no {value}" for value in entry.get("values", ()) if not holds(value, replies)]


def misses(entry: dict[str, Any]) -> bool:
    """Whether a line that is not yet read as meant still is not: its reply, its calculator, its numbers."""
    found, replies = heard(entry)
    if found["outcome"] != entry["outcome"] or (entry["calc"] and found["calc"] not in ("", entry["calc"])):
        return True
    numbers = [(round(one["value"], 6), one["unit"]) for one in entry["amounts"]]
    got = [(one["value"], one["unit"]) for one in found["amounts"]]
    roles = [one["role"] for one in entry["amounts"]]
    mine = [one["role"] for one in found["amounts"]]
    placed = all(not theirs or theirs == ours for theirs, ours in zip(roles, mine, strict=False))
    return got != numbers or not placed or not all(holds(value, replies) for value in entry.get("values", ()))


HEARD, NEVER, NOT_YET = lines("heard.jsonl"), lines("never.jsonl"), lines("not_yet.jsonl")


def names(rows: list[dict[str, Any]]) -> list[str]:
    """Test names: the phrases."""
    return [one["say"][:60] for one in rows]


@pytest.mark.parametrize("entry", HEARD, ids=names(HEARD))
def test_heard(entry: dict[str, Any]) -> None:
    """The phrase gives its act, calculator, reply, amounts with their words, inputs and values."""
    assert [] == faults(entry)


@pytest.mark.parametrize("entry", NEVER, ids=names(NEVER))
def test_never_answered(entry: dict[str, Any]) -> None:
    """The line yields no answer, whatever else is said."""
    _, replies = heard(entry)
    assert "answer" not in [one.kind for one in replies]


@pytest.mark.parametrize("entry", NOT_YET, ids=names(NOT_YET))
def test_not_yet(entry: dict[str, Any]) -> None:
    """The phrase is still not read as meant."""
    assert misses(entry), "read right now: move it to heard.jsonl"


def test_the_corpus_is_large_enough() -> None:
    """There are phrases for every calculator, lines that must not be answered, and follow-ups."""
    assert len(HEARD) >= COUNTS["heard"]
    assert len(NEVER) >= COUNTS["never"]
    each = collections.Counter(one["calc"] for one in HEARD)
    assert [one.name for one in CALCULATORS if each[one.name] < 4] == []
    assert sum("before" in one for one in HEARD) >= 80


def test_no_phrase_stands_twice() -> None:
    """The corpus has no duplicates."""
    said = [(*one.get("before", ()), one["say"]) for one in (*HEARD, *NEVER, *NOT_YET)]
    assert len(said) == len(set(said))
