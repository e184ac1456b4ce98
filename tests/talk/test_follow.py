"""What leans on an earlier answer, and a question in the middle of another."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.replies import Answer, Reply
from tests.helpers import kinds, say, talk, value


def texts(replies: tuple[Reply, ...]) -> str:
    """All that was said, in one."""
    return " ".join(one.text for one in replies)


@pytest.mark.parametrize(
    ("first", "then", "name", "unit", "expected"),
    [
        ("mash of 5 kg chillies at 3%", "I only have 60 g of salt, how many kilos can I do", "produce", "kilogram", 2),
        ("brine with 3 L of water at 5%", "only got 90 g of salt left, how much water", "water", "gram", 1800),
        ("a pot 30 cm across and 40 cm high", "how tall for just 20 litres", "height", "centimeter", 28.29),
        ("mash of 5 kg chillies at 3%", "what if I chuck in 120 g, what percent am I at", "of_produce", "percent", 2.4),
        ("raise 10 kg from 1.5% to 3%", "and if I only have 60 g of salt?", "after", "percent", 2.087),
    ],
)  # fmt: skip
def test_the_other_unknown(first: str, then: str, name: str, unit: str, expected: float) -> None:
    """The last job is asked the other way round; the rest of it stays (worked by hand)."""
    assert value(say(first, then), name, unit) == pytest.approx(expected, rel=2e-3)


@given(first=st.integers(1, 9), second=st.integers(1, 9))
def test_two_strengths_side_by_side(first: int, second: int) -> None:
    """Each side is what the strength alone gives, and the difference is theirs."""
    replies = say("mash of 4 kg of chillies at 12%", f"compare {first}% and {second}%")
    answers = [one for one in replies if isinstance(one, Answer)]
    salts = [one.value for one in answers[0].values if one.name == "salt"]
    alone = [value(say(f"mash of 4 kg of chillies at {one}%"), "salt", "gram") for one in (first, second)]
    assert salts == pytest.approx(alone) or salts == pytest.approx([one / 1000 for one in alone])
    if first != second:
        assert ("more" if second > first else "less") in texts(replies)


@pytest.mark.parametrize("pick", ["the first one", "the second one"])
def test_one_of_two_is_gone_on_with(pick: str) -> None:
    """After a comparison one of the two becomes the answer that follows lean on."""
    salt = {"the first one": 80, "the second one": 120}[pick]
    replies = say("mash of 4 kg of chillies at 5%", "2 or 3 percent, what's the difference?", pick)
    assert value(replies, "salt", "gram") == pytest.approx(salt)
    more = say("mash of 4 kg of chillies at 5%", "2 or 3 percent, what's the difference?", pick, "make it 8 kg")
    assert value(more, "salt", "gram") == pytest.approx(2 * salt)


MIDDLE = ["how many ml in a cup", "started on 3 february, when is 6 weeks", "density of a 10% brine", "5 lb in kg"]


@pytest.mark.parametrize("aside", MIDDLE)
def test_the_open_question_comes_back(aside: str) -> None:
    """Another question in the middle is answered, the open one is asked again, and its answer fills it."""
    session = talk()
    _, asked = session.say("mash of 4 kg of chillies")
    _, replies = session.say(aside)
    assert "answer" in kinds(replies)
    assert texts(asked).split("?")[0] in texts(replies)
    _, done = session.say("3%")
    assert value(done, "salt", "gram") == pytest.approx(120)


def test_asides_may_be_asked_themselves() -> None:
    """A question in the middle that itself must be asked about is answered first; then the outer one comes back."""
    session = talk()
    session.say("mash of 4 kg of chillies")
    _, inner = session.say("raise 10 kg from 1.5%")
    assert "ask" in kinds(inner)
    _, replies = session.say("3%")
    assert value(replies, "salt", "gram") == pytest.approx(154.64, abs=0.05)
    assert "ask" in kinds(replies)
    _, done = session.say("2%")
    assert value(done, "salt", "gram") == pytest.approx(80)


def test_cancel_in_the_middle_drops_only_the_inner_one() -> None:
    """ "Cancel" drops the question in the middle; the outer one is open again, and nothing comes back after it."""
    session = talk()
    session.say("mash of 4 kg of chillies")
    session.say("raise 10 kg from 1.5%")
    _, replies = session.say("cancel")
    assert "ask" in kinds(replies)
    _, done = session.say("3%")
    assert kinds(done).count("ask") == 0
    _, changed = session.say("2%")
    assert value(changed, "salt", "gram") == pytest.approx(80)


@pytest.mark.parametrize(
    ("line", "salt"),
    [
        ("back to the mash", 120),
        ("back to the garlic", 60),
        ("the 4 kg one", 120),
        ("the 2% one again", 60),
        ("back to the first one", 120),
        ("back to the mash of garlic, make it 3%", 90),
    ],
)
def test_going_back(line: str, salt: float) -> None:
    """An earlier answer is gone back to by its words, its numbers or its place, and changed there."""
    before = ("mash of 4 kg of chillies at 3%", "mash of 3 kg of garlic at 2%", "brine with 5 L of water at 5%")
    if line == "back to the mash":
        before = (before[0], before[2])
    assert value(say(*before, line), "salt", "gram") == pytest.approx(salt)


def test_what_is_not_there_is_not_gone_back_to() -> None:
    """Nothing earlier with that word: it is asked about, not taken from another job."""
    replies = say("mash of 4 kg of chillies at 3%", "brine with 5 L of water at 5%", "back to the cabbage")
    assert "answer" not in kinds(replies)


@pytest.mark.parametrize(
    ("line", "salt"),
    [("make it 5 kg, not 4", 150), ("it's 5 kg, not 4 kg", 150), ("2%, not 3", 80), ("2% instead of 3%", 80)],
)
def test_the_number_taken_back(line: str, salt: float) -> None:
    """ "5, not 4" changes the input that held the 4."""
    assert value(say("mash of 4 kg of chillies at 3%", line), "salt", "gram") == pytest.approx(salt)


def test_a_unit_taken_back_is_of_the_kitchen_that_is_set() -> None:
    """ "I mean pints" in an imperial kitchen is imperial pints, and "the 3 quart one" finds the 3 imperial quarts."""
    before = ("imperial units", "brine with 3 litres of water at 5%", "I mean pints")
    assert value(say(*before), "water_volume", "liter") == pytest.approx(3 * 0.56826125)
    before = ("imperial units", "brine with 3 quarts of water at 5%", "mash of 4 kg of chillies at 3%")
    assert value(say(*before, "the 3 quart one again"), "water_volume", "liter") == pytest.approx(3 * 1.1365225)


@pytest.mark.parametrize("line", ["double the salt", "10% more peppers", "make it a bit saltier"])
def test_changes_of_no_one_thing_are_asked_about(line: str) -> None:
    """What could change several things, or says no number, gives no new answer."""
    assert "answer" not in kinds(say("mash of 4 kg of peppers at 3%", line))


@pytest.mark.parametrize(
    "line",
    ["two spoonfuls of salt for 2 kg of reds", "a spoon of salt in 1 litre", "3 cups of peppers and a handful of salt",
     "two spoons salt in 3 litres", "hand full of salt in 2 l", "a pinch of sugar in 500 g of sauce"],
)  # fmt: skip
def test_what_has_no_size_is_never_dropped(line: str) -> None:
    """A handful or a spoon of no said kind is no amount: the line is not worked out as if it had not been said."""
    replies = say(line)
    assert [one.kind for one in replies] == ["misread"]
    assert "has no size of its own" in replies[0].text


@pytest.mark.parametrize(
    ("lines", "shown"),
    [
        (("brine for 4 kg", "mash of 3 kg at 3%"), "Salt 90 g for 3 kg of mash."),
        (("brine for 4 kg", "5 kg of water", "2.5% of everything"), "Salt 225 g in 5.01 L of water (5 kg)"),
        (("mash at 3%", "a mash of 3 kg"), "Salt 90 g for 3 kg of mash."),
        (("brine for 4 kg at 3%", "brine for 4 kg"), "How much water goes on, or how big is the vessel?"),
        (("brine at 3%", "brine for 4 kg"), "How much water goes on, or how big is the vessel?"),
    ],
)
def test_a_mash_or_a_brine_that_is_weighed_is_no_water(lines: tuple[str, ...], shown: str) -> None:
    """While the water is asked for, a line that names a mash or a brine with its weight is a question of its own."""
    assert say(*lines)[0].text.startswith(shown)
