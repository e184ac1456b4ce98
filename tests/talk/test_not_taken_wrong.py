"""Lines that were once taken for something that could hurt: each is asked about, entered, or refused."""

from __future__ import annotations

import pytest

from assistant.replies import Answer, Caution, Log
from tests.helpers import kinds, say, talk, value

BATCH = "new batch of 2 kg of reds in a 3 L jar at 3%"


@pytest.mark.parametrize(
    "line",
    ["hello im back", "hello I'm back", "i came back and its bubbling", "get it back in the fridge", "ok back to work",
     "put it back in the cupboard", "start again tomorrow"],
)  # fmt: skip
def test_a_back_among_other_words_undoes_nothing(line: str) -> None:
    """What is in the book is taken out by a plain word alone; any other line is asked about."""
    session = talk()
    session.say(BATCH)
    before = session.book.shelf().head
    _, replies = session.say(line)
    assert session.book.shelf().head == before
    assert kinds(replies)[0] == "ask" and "Nothing was changed." in replies[0].text


@pytest.mark.parametrize("line", ["undo", "go back", "back up one", "take that back please", "ok go back", "as it was"])
def test_a_plain_word_still_undoes(line: str) -> None:
    """The words of undo with small ones beside them do what they did."""
    assert "Undone." in [one.text for one in say(BATCH, line)]


def test_mould_shown_by_an_answer_is_in_the_book() -> None:
    """ "Its fuzzy", said to the question that tells film from mould, is entered; no later pH proves the batch."""
    session = talk()
    for line in (BATCH, "white film on top"):
        session.say(line)
    _, replies = session.say("its fuzzy")
    assert isinstance(replies[0], Log) and "mould: its fuzzy" in replies[0].text
    assert any(isinstance(one, Caution) and one.severity == "stop" for one in replies)
    _, replies = session.say("ph 3.5 calibrated meter")
    assert not any(one.text.startswith("Proven") for one in replies)
    assert any(isinstance(one, Caution) and one.severity == "stop" for one in replies)


def test_of_a_ph_that_rose_the_higher_one_counts() -> None:
    """ "Went up from 3.6 to 4.8" is judged by 4.8, which is not below 4.6."""
    text = " ".join(one.text for one in say(BATCH, "ph went up from 3.6 to 4.8"))
    assert "Throw it out" in text and "Still below the limit" not in text
    assert "pH 3.6 changes nothing" in text  # the other number is named


@pytest.mark.parametrize(
    "how", ["calibrated with the 7 only", "calibrated at 7 and 10", "calibrated with old buffers",
            "calibrated at one point", "calibrated in 7.00 only", "calibrated with expired buffer"],
)  # fmt: skip
def test_half_a_calibration_proves_nothing(how: str) -> None:
    """A meter set in one buffer, in 7 and 10, or in old buffers is no calibrated meter for a sour sauce."""
    answer = next(one for one in say(f"ph 3.9 by meter, {how}") if isinstance(one, Answer))
    assert answer.text.startswith("Not proven")


@pytest.mark.parametrize(
    "how", ["calibrated at 4 and 7", "calibrated at 4, 7 and 10", "calibrated today in 4.01, 7.00 and 10.01",
            "calibrated today, used buffers 4 and 7"],
)  # fmt: skip
def test_a_whole_calibration_does(how: str) -> None:
    """In 4 and 7 that day it is one, and in 4, 7 and 10."""
    answer = next(one for one in say(f"ph 3.9 by meter, {how}") if isinstance(one, Answer))
    assert answer.text.startswith("Proven")


@pytest.mark.parametrize("line", ["brine for 1.25 kg in a 1.5 L jar at 3%", "brine 3 kg in 10 l crock at 30%"])
def test_no_brine_is_poured_that_does_not_dissolve(line: str) -> None:
    """Worked by hand: 40.5 g in 99.8 g of water are 40.6 %, and 2.7 kg in 6 L 45 %; water takes 35.9 % (CRC, 20 C)."""
    replies = say(line)
    assert kinds(replies) == ["refuse"] and "35.9% of the water" in replies[0].text


def test_a_little_garlic_does_not_speak_for_all() -> None:
    """Habaneros have no figure of their own: 1361 x 0.88 + 57 x 0.59 = 1231 g, 35.4 / 1266 = 2.8 % (by hand)."""
    replies = say("mash of 3 lb habaneros and 2 oz garlic at 2.5%")
    assert value(replies, "settled", "percent") == pytest.approx(2.8, abs=0.02)
