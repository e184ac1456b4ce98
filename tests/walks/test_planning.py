"""Plans back from a wish: the days, the amounts and the shopping, by the calculators' own numbers."""

from __future__ import annotations

import pytest

from assistant.replies import Answer, Ask, Caution, Note, Reply
from tests.helpers import kinds, say, value

WISH = "100 bottles of 150 ml by christmas"


def texts(replies: tuple[Reply, ...]) -> str:
    """All that was said."""
    return " ".join(one.text for one in replies)


@pytest.mark.parametrize(
    "line",
    [
        WISH, "I want a hundred bottles of 150 ml by christmas", "100 bottles of 150ml for christmas",
        "could I have 100 bottles of 150 ml ready by christmas?", "by christmas 100 bottles of 150 ml please",
    ],
)  # fmt: skip
def test_bottles_by_a_day(line: str) -> None:
    """Worked by hand: 100 x 0.15 / 0.94 = 15.957 L; / 0.7 = 22.8 kg of mash, / 1.03 = 22.1 kg of produce.

    Times 0.03 that is 663 g of salt; 25 December less 28 + 3 days is 24 November.
    """
    replies = say(line)
    assert value(replies, "sauce_volume", "liter") == pytest.approx(15.957, abs=0.001)
    assert value(replies, "mash", "kilogram") == pytest.approx(22.8, abs=0.05)
    assert value(replies, "produce", "kilogram") == pytest.approx(22.1, abs=0.05)
    assert value(replies, "salt", "gram") == pytest.approx(663, abs=1)
    assert value(replies, "start", "") == 20261124
    assert value(replies, "end", "") == 20261225


def test_other_weeks_and_sizes() -> None:
    """The weeks said count; a small bottle is 5 fl oz, and said so; 1 July less 56 + 3 days is 3 May."""
    replies = say("I want 60 small bottles by 1 july after 8 weeks")
    assert value(replies, "start", "") == 20260503
    assert value(replies, "sauce_volume", "liter") == pytest.approx(60 * 0.148 / 0.94, abs=0.001)
    assert "A small bottle holds 148 ml" in texts(replies)


def test_too_late() -> None:
    """A day that is too near says by how much, and when it would be ready (today is 2 March)."""
    text = texts(say("100 bottles of 5 oz by 20 march"))
    assert "13 days too late" in text
    assert "Started today, it is ready by Thursday 2 April 2026" in text


def test_the_size_is_asked_for() -> None:
    """Bottles have no size of their own."""
    assert any(isinstance(one, Ask) for one in say("a hundred bottles by christmas"))


def test_the_amounts_of_a_plan_go_on() -> None:
    """ "Make it 80 bottles" after a plan works the amounts out anew: 80 x 0.15 / 0.94 L."""
    assert value(say(WISH, "make it 80 bottles"), "sauce_volume", "liter") == pytest.approx(12.766, abs=0.001)


def test_produce_that_is_coming() -> None:
    """20 kg: as a mash 600 g of salt in 20 / 0.72 L; under brine (20 + 10 x 0.998207) x 0.03 kg in 30 / 0.9 L."""
    replies = say("20 kilos coming saturday, what do I need")
    assert value(replies, "salt", "gram") == pytest.approx(600)
    assert value(replies, "room", "liter") == pytest.approx(27.78, abs=0.01)
    assert value(replies, "brine_salt", "gram") == pytest.approx(899.5, abs=0.1)
    assert value(replies, "brine_room", "liter") == pytest.approx(33.33, abs=0.01)
    assert value(replies, "start", "") == 20260307
    assert value(replies, "first", "") == 20260314
    assert any(isinstance(one, Note) and one.text.startswith("To have ready") for one in replies)


@pytest.mark.parametrize(
    "line",
    [
        "what do I need for 12 kg of habaneros at 2.5%", "12 kg of habaneros tomorrow at 2.5%, what should I buy",
        "shopping list for 12 kilos of habaneros at 2.5%",
    ],
)  # fmt: skip
def test_another_strength(line: str) -> None:
    """The share said counts: 12 kg x 2.5 % = 300 g."""
    assert value(say(line), "salt", "gram") == pytest.approx(300)


def test_the_cautions_of_its_sums_are_said() -> None:
    """What is to be known before bottling and before tasting stands in a plan too, once each."""
    rules = [one.rule for one in say(WISH) if isinstance(one, Caution)]
    assert {"bottled", "ph-start"} <= set(rules)
    assert len(rules) == len(set(rules))


def test_in_pounds() -> None:
    """Who speaks in pounds is answered in pounds."""
    assert "lb" in texts(say("50 lb of peppers arriving tomorrow, what do I have to buy"))


def test_why_names_the_questions_behind_it() -> None:
    """Each sum can be asked for on its own."""
    replies = say(WISH, "why")
    assert kinds(replies) == ["why"]
    assert "how big a vessel" in texts(replies)


@pytest.mark.parametrize(
    "line", ["100 bottles of 150 ml", "12 bottles of 150 ml filled yesterday", "mash of 20 kg at 3%", "what do I need"]
)
def test_what_is_no_wish(line: str) -> None:
    """Without a day, or without an amount, it is another question."""
    assert not any(isinstance(one, Answer) and one.calculator == "plan" for one in say(line))


def test_a_plan_is_worked_out_anew_with_another_number() -> None:
    """Worked by hand: 120 x 0.15 / 0.94 = 19.149 L; the day wished stays, 25 December less 31 days is 24 November."""
    replies = say(WISH, "make it 120 bottles")
    assert value(replies, "sauce_volume", "liter") == pytest.approx(19.149, abs=0.001)
    assert value(replies, "start", "") == 20261124
    assert "120 bottles of 150 ml by" in texts(replies) and "120, was 100" in texts(replies)
    assert "not worked out anew" in texts(say(WISH, "make it 10% loss"))
