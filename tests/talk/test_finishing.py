"""Finishing talks that once went wrong: sugar made salt, heat made a percentage, readings that are none."""

from __future__ import annotations

import pytest

from assistant.evaluate import Outcome
from assistant.replies import Answer
from assistant.talk.account import entering
from assistant.talk.account.desk import Stop
from assistant.talk.state import Job
from assistant.trade import calculator
from tests.helpers import kinds, say, talk, value

BATCH = "new batch of 2 kg of reds in a 5 L jar at 3%"


@pytest.mark.parametrize(
    ("line", "calculator"),
    [
        ("sweeten 2 kg from 2% to 5%", "sweeten"),
        ("bring the sugar from 3% to 6% in 2 kg", "sweeten"),
        ("sodium per teaspoon at 3% brine", "serving"),
        ("thicken 2 kg of sauce from 0.1% to 0.2%", "thicken"),
        ("will the bottle burst with 5 g of sugar per litre", "bottle-gas"),
        ("20 g of honey in 1 litre bottled live, what pressure", "bottle-gas"),
        ("40 g of fermentable sugar per litre, gas pressure", "bottle-gas"),
    ],
)
def test_what_is_not_salt_is_not_salted(line: str, calculator: str) -> None:
    """Sugar, sodium, gas and gum are worked out as what they are."""
    answer = next(one for one in say(line) if isinstance(one, Answer))
    assert answer.calculator == calculator


@pytest.mark.parametrize(
    "line",
    [
        "lower the heat from 3% to 2% in 2 kg",
        "make 2 kg of 20,000 shu 5,000 shu less hot",
        "sodium per teaspoon at 3 no 2% salt",
        "1 kg of dried habanero with 3 kg of bell pepper how hot",
        "gas from 10 g/l of sugar with 20 ml headspace",
        "raise the vinegar from 5% to 10% in 2 L",
        "sanitize 5 L from 100 ppm to 200 ppm",
        "lower the bleach from 200 ppm to 100 ppm in 5 L",
    ],
)
def test_what_is_not_plain_gets_no_number(line: str) -> None:
    """A strength of heat, a step of heat, two strengths, dried pods, air in a bottle of no size, two ppm: asked."""
    assert not any(isinstance(one, Answer) for one in say(line))


@pytest.mark.parametrize(
    ("line", "kilos"),
    # worked by hand: 90 % of the heat is 2 / 0.9 kg; a half is twice the weight
    [("make 2 kg 10% milder", 0.2222), ("make 2 kg half as hot", None), ("halve the heat of 2 kg", 2.0)],
)
def test_milder_by_a_part(line: str, kilos: float | None) -> None:
    """ "10 % milder" leaves nine tenths; a part that is not read is asked for."""
    replies = say(line)
    if kilos is None:
        assert "ask" in kinds(replies)
    else:
        assert value(replies, "mild", "kilogram") == pytest.approx(kilos, abs=0.0001)


@pytest.mark.parametrize(
    "line", ["pH 3.4 on the label", "i guess pH 3.7", "the book says pH 3.5", "probably pH 3.8 by now"]
)
def test_hearsay_is_no_reading(line: str) -> None:
    """A pH that was not read in the sauce is neither noted nor judged, with a batch or without."""
    for before in ((), (BATCH,)):
        session = talk()
        for one in before:
            session.say(one)
        _, replies = session.say(line)
        assert session.talk.wrote == ()
        assert not any(isinstance(one, Answer) or one.kind == "log" for one in replies)


def test_sugar_that_was_added_counts() -> None:
    """A second sweetening takes off what the first one brought, and not what fermented away."""
    session = talk()
    for line in (BATCH, "sweeten it to 4%", "done"):
        session.say(line)
    _, replies = session.say("sweeten it to 5%")
    # worked by hand: 2.1458 kg with 85.8 g of it: (0.05 - 0.04) x 2145.8 / 0.95 = 22.6 g
    assert value(replies, "sweet", "gram") == pytest.approx(22.6, abs=0.1)


def test_the_answer_held_against_an_amount() -> None:
    """ "Is 60 g right?" compares, and changes nothing."""
    session = talk()
    session.say("mash of 4 kg of reds at 3%")
    _, replies = session.say("is 60 g right?")
    assert replies[0].text == "No: salt 120 g; 60 g is 60 g short."
    _, replies = session.say("is 120 g of salt right?")
    assert replies[0].text.startswith("Yes")
    _, replies = session.say("make it 5 kg")
    assert value(replies, "salt", "gram") == pytest.approx(150)


def test_a_corrected_wish_is_the_wish() -> None:
    """After several targets "want 2 %", "and 0.3 % gum" change what is wished for, and not what there is."""
    session = talk()
    session.say("3 kg of sauce at 3% salt, want 2.2% salt and 1% acetic with 5% vinegar")
    session.say("want 2%")
    _, replies = session.say("and 0.3% gum")
    assert value(replies, "salt_made", "percent") == pytest.approx(2)
    assert value(replies, "gum_made", "percent") == pytest.approx(0.3)
    assert value(replies, "of_whole", "percent") == pytest.approx(3)


def test_an_answer_that_says_no_salt_enters_none() -> None:
    """How full a vessel gets is an answer too, but nothing that could be put in the book."""
    outcome = Outcome(calculator("packed"), ("level",), {}, {"produce": 3.0, "water_volume": 6.0, "level": 0.9})
    job = Job("packed")
    with pytest.raises(Stop) as stop:
        entering.puts_of(job, outcome)
    assert "does not say the salt" in stop.value.replies[0].text
