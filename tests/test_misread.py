"""Misreadings as a person sees them: tests/misread/*.txt, one reason a file."""

from __future__ import annotations

import pytest

from assistant.talk.words import EXAMPLE
from tests.helpers import talk
from tests.misread import FOLDER, entries, screen

FILES = sorted(FOLDER.glob("*.txt"))
ALL = [(file.stem, say, shown) for file in FILES for say, shown in entries(file)]
FOUR = ("unknown-word", "unit-fit", "number-nobody-claimed", "stops-too-soon")
"""The four misunderstandings that have a sentence each."""


@pytest.mark.parametrize(("reason", "say", "shown"), ALL, ids=[f"{reason}-{say[:40]}" for reason, say, _ in ALL])
def test_the_screen(reason: str, say: str, shown: list[str]) -> None:
    """The phrase brings up exactly this screen, and no answer."""
    assert shown == screen(say), reason
    _, replies = talk().say(say)
    assert "answer" not in [one.kind for one in replies]


@pytest.mark.parametrize(("reason", "say", "shown"), ALL, ids=[f"{reason}-{say[:40]}" for reason, say, _ in ALL])
def test_nothing_changes(reason: str, say: str, shown: list[str]) -> None:
    """What is not understood leaves an answer standing: "why" explains the same sum before and after."""
    session = talk()
    session.say("mash of 4 kg of chillies at 3%")
    _, before = session.say("why")
    _, replies = session.say(say)
    if [one.kind for one in replies] == ["misread"]:
        assert before == session.say("why")[1], (reason, shown)


def test_there_are_enough() -> None:
    """At least forty wrong phrases, and at least three for every reason."""
    assert len(ALL) >= 40
    assert [file.stem for file in FILES if len(entries(file)) < 3] == []


def test_four_reasons_four_sentences() -> None:
    """Each of the four kinds of misunderstanding opens with words of its own."""
    starts = {}
    for reason in FOUR:
        _, shown = entries(FOLDER / f"{reason}.txt")[0]
        text = " ".join(line for line in shown if "^" not in line)
        starts[reason] = " ".join(word for word in text.split() if '"' not in word)[:24]
    assert len(set(starts.values())) == len(FOUR), starts


@pytest.mark.parametrize("reason", [*FOUR, "unknown-unit", "number-unclear", "negation", "dates"])
def test_every_message_shows_what_would_be_read(reason: str) -> None:
    """Each message holds an example of what to say."""
    for say, shown in entries(FOLDER / f"{reason}.txt"):
        text = " ".join(shown)
        assert "for example" in text or EXAMPLE in text or "cannot be said as" in text or "I know" in text, say


@pytest.mark.parametrize(
    ("line", "words"), [("brine with 5 miys of water", "mils or mins"), ("12 lirkins of water", "")]
)
def test_the_nearest_words_that_fit_there_are_named(line: str, words: str) -> None:
    """After a number only units are offered, the nearest in spelling; where none is near, none is."""
    text = " ".join(one.text for one in talk().say(line)[1])
    assert f"Did you mean {words}?" in text if words else "Did you mean" not in text
