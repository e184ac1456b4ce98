"""What people said, read right.

``tests/corpus/heard.jsonl``: phrases with the amounts (value and unit), the inputs they
must become, the calculator, and whether an answer or a question must follow.
``never.jsonl``: lines that must not yield an answer. ``not_yet.jsonl``: phrases that are
not read as their writer meant; each must go on failing until it is moved to ``heard``.
Written by people who had not seen the grammar.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from grammar.reader import read
from grammar.types import Misread
from tests.helpers import talk

FOLDER = Path(__file__).parent / "corpus"


def lines(name: str) -> list[dict[str, Any]]:
    """The entries of one file."""
    return [json.loads(row) for row in (FOLDER / name).read_text(encoding="utf-8").splitlines() if row.strip()]


def outcome_of(kinds: list[str]) -> str:
    """What came of a line: answer, refuse, misread, ask."""
    return next((kind for kind in ("answer", "refuse", "misread", "ask") if kind in kinds), kinds[0])


def faults(entry: dict[str, Any]) -> list[str]:
    """What is not as the entry says; empty if all is."""
    session = talk()
    reading, replies = session.say(entry["say"])
    found = []
    outcome = outcome_of([one.kind for one in replies])
    if outcome != entry["outcome"]:
        found.append(f"outcome {outcome}, not {entry['outcome']}")
    state = session.talk.now
    job = state.job or state.answered
    answers = [one.calculator for one in replies if one.kind == "answer"]  # type: ignore[attr-defined]
    calculator = job.calculator if job else next(iter(answers), "")
    if entry["calc"] and state.mode != "choosing" and calculator != entry["calc"]:
        found.append(f"calculator {calculator}, not {entry['calc']}")
    if isinstance(reading, Misread):
        return found
    got = [(round(one.value, 6), one.unit) for one in reading.amounts]
    expected = [(round(one["value"], 6), one["unit"]) for one in entry["amounts"]]
    if got != expected:
        return [*found, f"amounts {got}, not {expected}"]
    for one, wanted in zip(reading.amounts, entry["amounts"], strict=True):
        if one.text not in entry["say"] and one.unit in one.text:
            found.append(f"text {one.text}")
        roles = {
            given.name for given in (job.given if job else ()) for each in (given.amount, *given.more)
            if each.span == one.span
        }  # fmt: skip
        if (
            wanted["role"]
            and outcome in ("answer", "ask")
            and job
            and wanted["role"] not in roles
            and calculator != "convert"
        ):
            found.append(f"{one.text} is {roles or 'unplaced'}, not {wanted['role']}")
    return found


HEARD, NEVER, NOT_YET = lines("heard.jsonl"), lines("never.jsonl"), lines("not_yet.jsonl")


@pytest.mark.parametrize("entry", HEARD, ids=[one["say"][:60] for one in HEARD])
def test_heard(entry: dict[str, Any]) -> None:
    """The phrase gives its amounts, its inputs, its calculator and its kind of reply."""
    assert [] == faults(entry)


@pytest.mark.parametrize("entry", NEVER, ids=[one["say"][:60] for one in NEVER])
def test_never_answered(entry: dict[str, Any]) -> None:
    """The line yields no answer, whatever else is said."""
    _, replies = talk().say(entry["say"])
    assert "answer" not in [one.kind for one in replies]


@pytest.mark.parametrize("entry", NOT_YET, ids=[one["say"][:60] for one in NOT_YET])
def test_not_yet(entry: dict[str, Any]) -> None:
    """The phrase is still not read as meant, and it is not answered with a wrong number."""
    assert [] != faults(entry), "read right now: move it to heard.jsonl"


def test_spans_are_the_words() -> None:
    """Every amount's span covers its words in the sentence."""
    for entry in HEARD:
        reading = read(entry["say"])
        if isinstance(reading, Misread):
            continue
        for one in reading.amounts:
            start, end = one.span
            assert 0 <= start <= end <= len(entry["say"])
            first = one.text.split()[0] if one.text.split() else ""
            assert first.lower() in entry["say"][start:end].lower()


def test_no_phrase_stands_twice() -> None:
    """The corpus has no duplicates."""
    said = [one["say"] for one in (*HEARD, *NEVER, *NOT_YET)]
    assert len(said) == len(set(said))
