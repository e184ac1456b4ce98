"""What is told on finishing day: how much sauce there is, by the scales or by the jug."""

from __future__ import annotations

import pytest

from assistant.replies import Answer, Ask, Log, Note, Reply
from tests.helpers import talk, value


def texts(replies: tuple[Reply, ...]) -> str:
    """All that was said."""
    return " ".join(one.text for one in replies)


def strained() -> object:
    """A talk with a batch of 4.12 kg that gave 3.6 kg of sauce."""
    session = talk()
    session.say("new batch of 4 kg reds in a 8 L bucket at 3%")
    session.say("strained it, 3.6 kg of sauce")
    return session


@pytest.mark.parametrize(
    "said",
    [
        "the sauce weighs 3.5 kg",
        "weighed the sauce: 3.5 kilos",
        "ended up with 3500 g of sauce",
        "sauce came to 3.5 kg",
    ],
)
def test_a_weight_of_the_sauce_is_entered(said: str) -> None:
    """What is a little less than the account has is lost, and both are in the book: 3.6 - 3.5 kg."""
    session = strained()
    _, replies = session.say(said)  # type: ignore[attr-defined]
    assert any(isinstance(one, Log) and "100 g taken out" in one.text for one in replies)
    assert value(replies, "mass", "kilogram") == pytest.approx(3.5)


@pytest.mark.parametrize(
    ("said", "asks"), [("the sauce weighs 3 kg", "600 g more than 3 kg"), ("got 5 kg of sauce", "5 kg is more")]
)
def test_a_weight_that_cannot_be_so_is_asked_about(said: str, asks: str) -> None:
    """Nothing is entered where the scales and the account are far apart."""
    session = strained()
    _, replies = session.say(said)  # type: ignore[attr-defined]
    assert [asks in one.text for one in replies if isinstance(one, Ask)] == [True]
    assert not any(isinstance(one, Log) for one in replies)


def test_without_a_batch_it_is_asked_what_for() -> None:
    """A weight of a sauce that no batch is open for is no brine."""
    session = talk()
    for said in ("the sauce weighs 3.6 kg", "strained sauce, 3.5 litres, 2.8 percent salt"):
        _, replies = session.say(said)
        assert "What shall I do with" in texts(replies)
        assert not any(isinstance(one, Answer) for one in replies)


@pytest.mark.parametrize("picked", ["5 oz", "oz", "fl oz"])
def test_a_size_without_a_unit(picked: str) -> None:
    """Eighty bottles of 150 are of 150 mL, and it is said; of 5 they may be of ounces, and it is asked."""
    session = talk()
    _, replies = session.say("80 bottles of 150")
    assert any(isinstance(one, Note) and "150 ml" in one.text for one in replies)
    _, replies = session.say("how much sauce for 80 bottles of 5")
    assert [one.kind for one in replies] == ["ask"]
    _, replies = session.say(picked)
    assert value(replies, "bottle_size", "milliliter") == pytest.approx(147.87, abs=0.01)
