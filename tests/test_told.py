"""What people tell of a batch, entered as they meant it; and what must not be entered.

``tests/corpus/told.jsonl``: lines written by people who had not seen the grammar, with what the
writer meant (``deed``; ``not_a_fact`` is a question, a plan, a "never", somebody else's batch) and
what the line ``enters`` in the book, reviewed by hand. Each is said in the talk of tests/told.py.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from tests.told import entered

LINES = [
    json.loads(row)
    for row in (Path(__file__).parent / "corpus" / "told.jsonl").read_text(encoding="utf-8").splitlines()
]


@pytest.mark.parametrize("entry", LINES, ids=[entry["say"][:60] for entry in LINES])
def test_entered_as_meant(entry: dict[str, Any]) -> None:
    """The line enters these events and no others."""
    assert entry["enters"] == entered(entry["say"], tuple(entry.get("before", ())))[0]


def test_the_corpus_holds_both_kinds() -> None:
    """Lines that are facts and lines that are none, at least so many of each."""
    facts = sum(bool(entry["enters"]) for entry in LINES)
    assert facts >= 80
    assert len(LINES) - facts >= 80
    assert all(not entry["enters"] for entry in LINES if entry["deed"] == "not_a_fact")
