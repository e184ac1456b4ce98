"""The walks as they stand in their files: whole, short, and checked when they are read."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest

from assistant.walks.plan import GATES, WalkError, called, parsed, walk, walks
from grammar.walking import MOVES, asked, move, words

WALKS = walks()
STEPS = [(one, step) for one in WALKS for step in one.steps]
IDS = [f"{one.name}-{step.id}" for one, step in STEPS]


def test_the_six_walks_are_there() -> None:
    """A first ferment in brine and as a mash, a later harvest, finishing, heat and bottles, the pH meter."""
    assert {one.name for one in WALKS} == {
        "first-brine", "first-mash", "later-harvest", "finishing-day", "heat-and-bottle", "ph-meter",
    }  # fmt: skip


@pytest.mark.parametrize(("_walk", "step"), STEPS, ids=IDS)
def test_a_step_is_short(_walk: object, step: object) -> None:
    """One thing at a time: sentences of 24 words at most, five of them at most, and a reason."""
    text = step.do + " " + step.why
    sentences = [one for one in re.split(r"[.!?:;]\s+", text) if one]
    assert all(len(one.split()) <= 24 for one in sentences), sentences
    assert len(re.split(r"[.!?]\s+", step.do)) <= 5
    assert step.why


@pytest.mark.parametrize("name", [one.name for one in WALKS])
def test_a_walk_is_found_by_each_of_its_names(name: str) -> None:
    """Every name in the file, after "walk me through", leads to this walk and to no other."""
    for named in walk(name).named:
        wanted = asked(f"walk me through {named}")
        assert wanted is not None
        assert [one.name for one in called(wanted)] == [name]


def test_bottling_and_opening_stand_behind_a_gate() -> None:
    """No walk comes to tasting, bottling or heating without a proven pH, and to filling without a proven heat."""
    for name in ("first-brine", "first-mash", "later-harvest", "finishing-day"):
        assert "proven" in [one.gate for one in walk(name).steps]
    heat = [one.gate for one in walk("heat-and-bottle").steps]
    fill = walk("heat-and-bottle").place("fill")
    assert heat[0] == "proven"
    assert walk("heat-and-bottle").steps[walk("heat-and-bottle").place("size")].gate == "ready"
    assert "ready" in heat[:fill]


GOOD = """
title = "A walk"
named = ["a walk"]
[[step]]
id = "one"
do = "Do it."
why = "Because."
"""


@pytest.mark.parametrize(
    "wrong",
    [
        "title = ", 'title = "x"\nnamed = []', GOOD.replace("id", "name"), GOOD + 'gate = "open"',
        GOOD + 'tell = "weight"', GOOD + 'kind = "mass"', GOOD + 'work = "mash of {weight}"', GOOD + 'caution = "Hot."',
        GOOD + "colour = 1", "colour = 1" + GOOD, GOOD + GOOD.split("named")[1].split("\n", 1)[1],
    ],
)  # fmt: skip
def test_a_file_that_cannot_be_used_is_refused(wrong: str) -> None:
    """What is missing, unknown or not told before is an error when the file is read, and not on the walk."""
    assert parsed("good", GOOD).steps
    with pytest.raises(WalkError):
        parsed("wrong", wrong)


def test_gates_are_known() -> None:
    """Every gate in the files is one that can be shut."""
    assert {step.gate for _, step in STEPS} - {""} <= set(GATES)


def test_the_words_of_a_walk_stand_once() -> None:
    """A phrase means one move; each move has phrases."""
    assert set(words().moves.values()) == set(MOVES)
    text = Path(__file__).parent.parent.parent / "grammar" / "walking.toml"
    assert set(tomllib.loads(text.read_text(encoding="utf-8"))) == {*MOVES, "small", "begin"}


@pytest.mark.parametrize(
    ("line", "meant"),
    [
        ("next", "next"), ("Next!", "next"), ("ok next please", "next"), ("right, done that", "next"), ("yep", "next"),
        ("go back", "back"), ("um, say that again please", "repeat"), ("what?", "repeat"), ("skip it", "skip"),
        ("can I skip this?", "skip"), ("how long?", "long"), ("so how long does it take", "long"),
        ("where was I?", "where"), ("what’s next after this?", "ahead"), ("what do I need", "need"),
        ("stop for today", "stop"), ("ok that's it for today", "stop"), ("carry on", "resume"),
        ("the next batch is 4 kg", ""), ("go back to 3 kg", ""), ("how long at 75 C", ""), ("done 12 bottles", ""),
        ("stop the fermentation", ""), ("skip the garlic", ""), ("", ""),
    ],
)  # fmt: skip
def test_moves(line: str, meant: str) -> None:
    """A move is a whole line, small words aside; with anything else in it, it is none."""
    assert move(line) == meant
