"""Numbers put right on the day of bottling: the unit that was meant, which number gives way, salt weighed after all."""

from __future__ import annotations

import pytest

from assistant.replies import Answer, Ask, Log, Note
from tests.helpers import kinds, talk, value

_BRINE = "brine for {} peppers with {} water at 3%"


@pytest.mark.parametrize(
    ("said", "right", "grams"),
    [
        # worked by hand: 3 % of 4 kg and of 2 L, which is 1.9967 kg at 20 C: 0.03 x 5.9967 = 179.9 g
        (("4 lb", "2 litres"), "i meant kilos not pounds", 179.9),
        (("4 lb", "2 litres"), "kilos, not pounds", 179.9),
        (("4 lb", "2 litres"), "not pounds, kilos", 179.9),
        (("4 lb", "2 litres"), "i meant kilos instead of pounds", 179.9),
        (("4 kg", "2 litres"), "i meant kilos not pounds", 179.9),
        # 0.03 x (1.8144 + 1.9967) = 114.3 g
        (("4 kg", "2 litres"), "pounds not kilos", 114.3),
        (("4 lb", "2 quarts"), "litres not quarts", 114.3),
        # "in" asks for another way to show it: nothing is changed
        (("4 kg", "2 litres"), "in pounds not kilos please", 179.9),
    ],
)
def test_the_unit_that_was_meant_not_the_one_it_is_not(said: tuple[str, str], right: str, grams: float) -> None:
    """ "Kilos, not pounds" makes the number kilos: the unit after "not" is the one that it is none of."""
    session = talk()
    session.say(_BRINE.format(*said))
    _, replies = session.say(right)
    assert value(replies, "salt", "gram") == pytest.approx(grams, abs=0.1)


def test_a_unit_that_none_of_the_numbers_has_is_asked_about() -> None:
    """3.4 kg that were litres: which number it is is asked, and the old answer is not given once more as if it were."""
    session = talk()
    session.say("sauce is 2.2% salt, want 2.8, there's 3.4 kg")
    _, replies = session.say("i meant litres")
    assert kinds(replies) == ["ask"] and "3.4 kg" in replies[0].text


def test_what_takes_the_place_of_a_number_takes_its_unit() -> None:
    """ "2.4 not 2.8" is of the salt that was 2.8 %, not of the tablespoon said last.

    Worked by hand: 14.787 g x 0.024 x 0.3934 = 139.6 mg of sodium, which a label rounds to 140.
    """
    session = talk()
    session.say("serving 1 tsp salt 2.8%")
    session.say("and 1 tbsp")
    _, replies = session.say("2.4 not 2.8")
    assert any(isinstance(one, Note) and one.text == "Salt: 2.4%, was 2.8%." for one in replies)
    answer = next(one for one in replies if isinstance(one, Answer))
    assert "14.8 mL" in answer.text and "140 mg" in answer.text


def test_a_number_in_the_place_of_none_is_asked_about() -> None:
    """No 14 was said, so that "40, not 14" changes nothing before it is known what it is."""
    session = talk()
    session.say("how many 5 oz bottles from 3 gallons")
    _, replies = session.say("no 40 not 14")
    assert isinstance(replies[-1], Ask) and '"40"' in replies[-1].text


@pytest.mark.parametrize("line", ["no 40 not 14 bottles", "make it 40 bottles", "no, 40 bottles"])
def test_so_many_bottles_are_no_size(line: str) -> None:
    """40 bottles are 40 of the 5 fl oz, not bottles of 40 fl oz. Worked by hand: 40 x 147.9 mL / 0.94 = 6.29 L."""
    session = talk()
    session.say("how many 5 oz bottles from 3 gallons")
    _, replies = session.say(line)
    answer = next(one for one in replies if isinstance(one, Answer))
    assert "40 bottles of 5 US fluid ounces" in answer.text and "6.29 L" in answer.text


@pytest.mark.parametrize(
    ("line", "grams", "share"),
    [
        ("it was 160 g of salt", 160, "3.2%"),
        ("no, 160 g of sea salt", 160, "3.2%"),
        ("i meant 175 g of salt", 175, "3.5%"),
    ],
)
def test_salt_that_was_weighed_takes_the_place_of_its_percentage(line: str, grams: int, share: str) -> None:
    """A batch told at 3 % had 160 g: 160 / 5000 = 3.2 % of its produce (by hand), and "undo" brings 3 % back."""
    session = talk()
    session.say("new batch of reds, packed 5 kg at 3%")
    _, replies = session.say(line)
    assert any(isinstance(one, Note) and one.text.startswith('"3%" is now') for one in replies)
    assert any(isinstance(one, Log) and f"{grams} g salt" in one.text for one in replies)
    assert f"{share} salt of produce and water" in " ".join(one.text for one in replies)
    _, back = session.say("undo")
    assert "3% salt of produce and water" in " ".join(one.text for one in back)


def test_salt_does_not_take_the_place_of_the_strength_of_a_brine() -> None:
    """The 3 % of a brine poured in is not the salt on the produce: it is asked."""
    session = talk()
    session.say("new batch with 5 kg chillies and 2 l of 3% brine")
    _, replies = session.say("no it was 160 g of salt")
    assert kinds(replies) == ["ask"]


@pytest.mark.parametrize(
    "lines",
    [
        ("i tried 3 g in 100 g and liked it, whole batch is 4.2 kg",),
        ("i tried 3 g sugar in 100 g and liked it, whole batch is 4.2 kg",),
        ("trying 3 g of salt in 100 g, batch 4.2 kg",),
        ("3 g of salt into 100 g tasted right, i have 4.2 kg",),
        ("bench trial 3 g in 100 g, batch is 4.2 kg",),
        ("small trial 3 g vinegar in 100 g of sauce, 4.2 kg in all",),
        ("i tried 3 g in 100 g", "4.2 kg"),
    ],
)
def test_a_small_trial_is_told_by_its_sizes(lines: tuple[str, ...]) -> None:
    """The dose is the least, the trial the next, the batch the most: 3 / 100 x 4200 = 126 g (by hand)."""
    session = talk()
    for line in lines:
        _, replies = session.say(line)
    assert value(replies, "needed", "gram") == pytest.approx(126, abs=0.1)


def test_salt_on_produce_is_no_trial() -> None:
    """Salt that was tried on peppers is a mash or a brine, and not carried to another weight."""
    session = talk()
    _, replies = session.say("i tried 100 g salt in 4 kg peppers, batch 10 kg")
    assert not any(isinstance(one, Answer) for one in replies)


@pytest.mark.parametrize(
    "line", ["how long does it keep at ph 3.4 in the fridge", "bottled on 3 june, how long does it keep"]
)
def test_how_long_it_keeps_is_no_sum_of_days(line: str) -> None:
    """With a pH or a day beside it the question is the same: no date is proven by a sum, and days gone by are none."""
    session = talk()
    _, replies = session.say(line)
    assert replies[0].text.startswith("By how it was proven, not by the calendar")
    assert any(one.text.startswith("No number of that line was used") for one in replies)


def test_how_long_it_is_kept_hot_is_a_hold() -> None:
    """With a temperature it is a question of the hold, not of the shelf."""
    session = talk()
    _, replies = session.say("how long can i keep it at 80 C for ph 3.8")
    assert isinstance(replies[0], Answer) and replies[0].calculator == "hold"
