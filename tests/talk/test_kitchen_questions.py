"""Questions of the kitchen around a ferment: glass in food, too much salt, a number put right, what is left."""

from __future__ import annotations

import pytest

from assistant.replies import Answer, Ask, Caution, Log, Note, Reply, Why
from tests.helpers import kinds, say, talk, value

BEGUN = "new batch of 4 kg reds in a 8 L bucket at 3%"


def texts(replies: tuple[Reply, ...]) -> str:
    """All that was said."""
    return " ".join(one.text for one in replies)


@pytest.mark.parametrize(
    "said",
    [
        "the jar cracked, can i strain out the glass",
        "the bottle broke, can i pick the glass out of the sauce",
        "jar cracked, is it still ok to sieve it",
    ],
)
def test_glass_is_not_strained_out(said: str) -> None:
    """Glass in food is a stop, with its source, and no word about warming bottles."""
    stops = [one for one in say(said) if isinstance(one, Caution)]
    assert [one.severity for one in stops] == ["stop"]
    assert "Straining does not get splinters out" in stops[0].text
    assert "cannot be strained out" in stops[0].source


def test_why_a_bottle_cracks_is_still_told() -> None:
    """Hot sauce and cold glass, where no food is to be saved."""
    assert "within about 40 C" in texts(say("why did the bottle crack"))


@pytest.mark.parametrize(
    ("before", "verdict"),
    [
        ("brine for 3 kg in a 10 L crock at 2.5%", "neither too much nor too little"),
        ("mash 4 kg peppers at 7%", "That is much"),
        ("mash 4 kg peppers at 1.5%", "too little"),
        (BEGUN, "neither too much nor too little"),
    ],
)
def test_too_much_salt_is_judged_by_the_strength(before: str, verdict: str) -> None:
    """The strength that was worked out, or that the batch has, beside the usual 2 to 5 %; no pH is asked for."""
    session = talk()
    session.say(before)
    _, replies = session.say("is it too much salt?")
    assert verdict in texts(replies)
    assert "ask" not in kinds(replies)
    _, whys = session.say("why")
    assert any(isinstance(one, Why) and "585.750" in one.source for one in whys)


def test_too_salty_with_nothing_worked_out_is_of_the_taste() -> None:
    """With no strength to judge by, it is a sauce that tastes too salty."""
    assert "thinned later" in texts(say("it's too salty"))


def test_a_number_of_a_line_that_waits_is_put_right() -> None:
    """The garlic was 160 g, and the salt that went in with it is still asked for."""
    session = talk()
    session.say(BEGUN)
    session.say("added 150 g of garlic")
    _, replies = session.say("no that was 160 grams")
    assert any(isinstance(one, Note) and '"150 g" is now 160 grams' in one.text for one in replies)
    _, replies = session.say("5 g")
    assert any(isinstance(one, Log) and "160 g garlic" in one.text for one in replies)


@pytest.mark.parametrize("before", [BEGUN, "mash 4 kg peppers at 3%"])
def test_a_number_far_off_is_asked_about(before: str) -> None:
    """160 g are not what 4 kg should have been: nothing is changed before it is said what they are."""
    session = talk()
    session.say(before)
    _, replies = session.say("no that was 160 grams")
    assert [one.kind for one in replies] == ["ask"]
    assert any(isinstance(one, Ask) and "far from that" in one.text for one in replies)


def test_a_number_near_by_is_put_right() -> None:
    """4.2 kg take the place of 4 kg: 3 % of them are 126 g."""
    session = talk()
    session.say("mash 4 kg peppers at 3%")
    _, replies = session.say("no that was 4.2 kg")
    assert value(replies, "salt", "gram") == pytest.approx(126)


def test_how_much_is_left_is_asked_of_the_batch() -> None:
    """The account of the open batch, and no timer."""
    session = talk()
    session.say(BEGUN)
    session.say("took 500 g out")
    _, replies = session.say("how much is left")
    assert value(replies, "mass", "kilogram") == pytest.approx(3.62)


def test_a_question_of_the_kitchen_beside_an_open_one() -> None:
    """ "Does Epsom salt work" is no answer to where the rust is."""
    session = talk()
    session.say("the lid is rusty")
    _, replies = session.say("does epsom salt work")
    assert any(isinstance(one, Answer) and "magnesium" in one.text for one in replies)
