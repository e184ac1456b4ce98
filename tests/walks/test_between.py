"""On a walk, what comes between: a word that is no number, a question left open, a wish that lacks its bottle."""

from __future__ import annotations

import pytest

from assistant.replies import Answer, Ask, Note
from assistant.talk.account.mending import LEAST_USUAL, MOST_USUAL
from tests.helpers import kinds, say, talk, value

WALK = ("walk me through a first ferment in brine", "next")


def test_a_name_alone_opens_no_question() -> None:
    """ "Fresno" where a weight is waited for is answered with the step's own question, and opens no sum."""
    session = talk()
    for line in (*WALK, "fresno"):
        _, replies = session.say(line)
    assert session.now.mode == "idle"
    assert isinstance(replies[-1], Ask) and "What do they weigh?" in replies[-1].text


@pytest.mark.parametrize("word", ["next", "skip this", "where was I"])
def test_a_word_of_the_walk_drops_a_question_in_between(word: str) -> None:
    """A sum asked in the middle and left open does not swallow the walk's words; "undo" opens it again."""
    session = talk()
    for line in (*WALK, "how much salt for 3 kg of reds"):
        session.say(line)
    asked = session.now
    assert asked.mode == "choosing"
    _, replies = session.say(word)
    assert replies[0].text == "The question in between is dropped."
    assert session.now.mode == "idle" and session.now.walk is not None
    session.say("undo")
    assert session.now.mode == "choosing" and session.now.options == asked.options


def test_a_yes_in_between_is_for_the_question() -> None:
    """What may answer the open question is its answer, though it is a word of walks too."""
    session = talk()
    for line in (*WALK, "how much salt for 3 kg of reds", "done"):
        _, replies = session.say(line)
    assert session.now.mode == "choosing"
    assert all("dropped" not in one.text for one in replies)


PACKED = ("new batch of 2 kg of reds in a 3 L jar at 3%", "added 500 g of mango")


@pytest.mark.parametrize("number", ["15", "0.5", "12.5"])
def test_a_bare_number_that_may_be_grams_is_asked_about(number: str) -> None:
    """Out of the usual percents a number for the salt of an addition is not guessed: 15 g is no 15 %."""
    assert not LEAST_USUAL <= float(number) <= MOST_USUAL
    session = talk()
    for line in (*PACKED, number):
        _, replies = session.say(line)
    assert kinds(replies) == ["ask"] and "grams of salt or %" in replies[0].text
    _, replies = session.say(f"{number} g")
    assert f"{number} g salt" in replies[0].text


def test_a_usual_percent_needs_no_unit() -> None:
    """ "3" for the salt of what went in is 3 % of it: 15 g of 500 g."""
    assert "15 g salt" in say(*PACKED, "3")[0].text


def test_on_a_walk_no_bare_number_is_salt() -> None:
    """A pH said to the step is never taken for the salt of an addition told just before."""
    session = talk()
    for line in (PACKED[0], "finishing day", PACKED[1], "3.8"):
        _, replies = session.say(line)
    assert kinds(replies)[:1] == ["ask"] and "grams of salt or %" in replies[0].text


def test_only_so_much_went_in_is_asked_about() -> None:
    """ "I only put in 20 g" may put 60 g right or come on top: nothing is entered, and both ways are told."""
    session = talk()
    session.say(PACKED[0])
    before = session.book.shelf().head
    _, replies = session.say("I only put in 20 g of salt")
    assert kinds(replies) == ["ask"] and session.book.shelf().head == before
    assert '"added 20 g more salt"' in replies[0].text
    _, replies = session.say("added 20 g more salt")
    assert "20 g salt put into" in replies[0].text


def test_what_was_noted_line_by_line_is_entered_with_done() -> None:
    """Amounts told while "mash, or brine?" is open go into the batch that "done" begins: 3 % of 2 kg are 60 g."""
    replies = say("first ferment", "2 kg of reds", "5 l crock", "3%", "done")
    assert "2 kg chillies put into the 5 L crock; 60 g salt" in replies[0].text


def test_a_wish_keeps_its_day_while_the_bottle_is_asked() -> None:
    """ "100 bottles by Easter", then "150 ml": the plan counts back from 5 April 2026, 28 + 3 days to 5 March."""
    replies = say("100 bottles by easter", "150 ml")
    assert value(replies, "end", "") == 20260405
    assert value(replies, "start", "") == 20260305


@pytest.mark.parametrize("day", ["my birthday", "thanksgiving", "the wedding"])
def test_a_day_without_a_date_is_asked_for(day: str) -> None:
    """A day that only the person knows, or that countries keep apart, is never dropped in silence."""
    replies = say(f"100 bottles of 150 ml by {day}")
    assert kinds(replies) == ["ask"] and f'"{day}"' in replies[0].text


HELD = ("new batch of 2 kg of reds in a 3 L jar at 3%", "heated it to 82 for 10 minutes")


def test_a_hold_told_without_its_scale() -> None:
    """82 at which a sauce was held is C, 160 is F; told as done it can be entered once its pH is known."""
    session = talk()
    for line in (*HELD, "3.8"):
        _, replies = session.say(line)
    answer = next(one for one in replies if isinstance(one, Answer))
    assert answer.text.startswith("10 min at 82 C")
    assert any(isinstance(one, Note) and "to enter this heating" in one.text for one in replies)
    _, replies = session.say("done")
    assert "the heating, worth" in replies[0].text
    assert "2 min at 160 F" in say("hold at 160 for 2 minutes pH 3.8")[0].text


@pytest.mark.parametrize("line", ["what if I held it at 82 for 10 minutes", "I will hold it at 82 for 10 minutes"])
def test_a_hold_that_was_not_done_is_not_offered(line: str) -> None:
    """A hold that is supposed or planned enters nothing, whatever the pH."""
    replies = say(HELD[0], line, "3.8")
    assert any(isinstance(one, Answer) for one in replies)
    assert all("to enter this heating" not in one.text for one in replies)


@pytest.mark.parametrize(
    "line", ["heated to 50 for 5 minutes", "kept it at 20 for 5 hours", "held it at 115 for 5 min"]
)
def test_a_figure_that_is_no_hold_gets_no_scale(line: str) -> None:
    """Outside 60 to 100 C and 140 to 212 F a bare figure stays a figure, and is asked about."""
    assert kinds(say(line))[0] == "ask"


def test_c_or_f_alone_answers_the_scale() -> None:
    """ "C" is the answer to "74 C or 74 F?"; 74 F is refused, for the tables start at 140 F."""
    line = "hold it at 74 degrees for 5 minutes at pH 3.8"
    assert say(line, "C")[0].text.startswith("5 min at 74 C")
    assert kinds(say(line, "F")) == ["refuse"]
