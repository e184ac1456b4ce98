"""A label in a talk: asked for in many ways, of the batch that is meant, with every number placed or asked about."""

from __future__ import annotations

import datetime

import pytest

from assistant.batches.batch import Account
from assistant.console.lines import lines
from assistant.console.session import Session
from assistant.replies import Reply
from assistant.talk.account.labelling import LEAD, labelled
from assistant.talk.state import State
from assistant.trade.nutrition import us_sodium
from grammar.reader import read
from grammar.types import Misread
from tests.helpers import DAY, kinds, say, talk, value

BATCH = "new batch of 2 kg of reds in a 3 L jar at 3%"


def row(replies: tuple[Reply, ...], heading: str) -> str:
    """The text under a heading; "" where it was not said."""
    return next((one.text for one in replies if one.text.startswith(f"{heading}:")), "")


@pytest.mark.parametrize(
    "line",
    ["label", "label for batch 1", "print the label", "prnt the label", "what goes on the label", "batch 1's label",
     "lable for batch 1", "labels please", "can you do me a label", "what do i need to put on the label", "the label",
     "label for the reds", "I need a label", "label these bottles", "how do i label it"],
)  # fmt: skip
def test_a_label_is_asked_for_in_many_ways(line: str) -> None:
    """All of it, with its ingredients and the law's word."""
    replies = say(BATCH, line)
    assert replies[0].text.startswith(f"{LEAD} batch 1")
    assert row(replies, "Ingredients")
    assert row(replies, "Storage")
    assert "no permission to sell" in replies[-1].text


@pytest.mark.parametrize(
    ("line", "heading"),
    [("ingredients", "Ingredients"), ("what are the ingredients in order", "Ingredients"),
     ("list the ingredients", "Ingredients"), ("what's the lot code", "Lot"), ("any allergens in it", "Allergens"),
     ("net contents", "Net contents"), ("storage line", "Storage")],
)  # fmt: skip
def test_a_part_is_asked_for_alone(line: str, heading: str) -> None:
    """The row asked for, and not all the others."""
    replies = say(BATCH, line)
    assert row(replies, heading)
    assert not row(replies, "Name")


@pytest.mark.parametrize(
    "line",
    ["what strength does the vinegar label say", "the label says 5%", "just checked the label", "the label is 6%",
     "added 300 ml of vinegar, 5% on the label", "nutrition label", "read the label"],
)  # fmt: skip
def test_other_labels_are_not_meant(line: str) -> None:
    """A vinegar's label, a nutrition panel, a label that was read."""
    assert not any(one.text.startswith(LEAD) for one in say(BATCH, line))


@pytest.mark.parametrize(
    ("line", "net"),
    [
        ("label in 150 ml bottles", "5.07 fl oz (150 mL)"),
        ("label for 5 fl oz bottles", "5 fl oz (147 mL)"),
        ("label for six ounce bottles", "6 fl oz (177 mL)"),
        ("label for 6 oz by weight jars", "net wt 6 oz (170 g)"),
        ("net contents of a 250 g jar", "net wt 8.81 oz (250 g)"),
        ("label with a serving of 15 ml, bottles of 250 ml", "8.45 fl oz (250 mL)"),
        ("label please, in pint bottles", "16 fl oz (1 pt), 473 mL"),
        ("label for half a litre bottles", "16.9 fl oz (1 pt 0.9 fl oz), 500 mL"),
    ],
)
def test_the_size_that_is_said_is_taken(line: str, net: str) -> None:
    """By volume or by weight, in either system."""
    assert row(say(BATCH, line), "Net contents").startswith(f"Net contents: {net},")


@pytest.mark.parametrize(
    "line",
    ["label at 3%", "label for 24 bottles of 150 ml", "label for 150 ml and 250 ml bottles", "label, best before june",
     "label, best before 1 june 2020", "lot code of batch 1 on 2 march", "label for 60 litre bottles",
     "ingredients for batch 1 and 2", "label, best before 6 months"],
)  # fmt: skip
def test_a_number_with_no_place_is_asked_about(line: str) -> None:
    """No label is said beside a number that was left out of it."""
    replies = say(BATCH, line)
    assert kinds(replies)[:1] == ["ask"]
    assert not any(one.text.startswith(LEAD) for one in replies)


def test_another_size_after_a_label_is_the_labels() -> None:
    """ "Make it 250 ml" right after a label changes the label, and never the vessel that was entered before it."""
    session = talk()
    session.say(BATCH)
    session.say("label")
    before = session.book.shelf().head
    for line, net in (
        ("make it 250 ml", "8.45 fl oz"),
        ("in 150 ml bottles", "5.07 fl oz"),
        ("300 g", "net wt 10.5 oz"),
    ):
        assert net in row(session.say(line)[1], "Net contents")
    session.say("label, best before 1 march 2027")
    assert kinds(session.say("make it 250 ml")[1]) == ["ask"]
    assert session.book.shelf().head == before
    assert session.book.shelf().accounts[1].now.vessels[0].place.capacity == 3.0


def test_a_label_is_shown_while_a_question_is_open() -> None:
    """It is said, its size is not taken for the answer, and the question is asked again."""
    replies = say(BATCH, "how much salt for 2 litres of water", "label in 250 ml bottles")
    assert "8.45 fl oz" in row(replies, "Net contents")
    assert kinds(replies)[-1] == "ask"


def test_another_jars_reading_says_nothing_of_the_bottles() -> None:
    """Jar 1 was bottled unread; jar 2 is read at 3.6 and that proves nothing of jar 1."""
    session = talk()
    for line in (BATCH, "split it into two jars", "bottled 6 of 150 ml", "pH 3.6 in jar 2 by meter, calibrated today"):
        session.say(line)
    _, replies = session.say("label, heat treated")
    assert "what was bottled" in replies[0].text
    assert "Keep refrigerated." in row(replies, "Storage")


def test_a_jar_is_labelled_by_its_name() -> None:
    """ "Jar 2" is no number of a label; "in 250 ml jars" is the size of one."""
    split = (BATCH, "split it into two jars", "added 100 ml of 5% cider vinegar to jar 1")
    assert "Chillies, cider vinegar" in row(say(*split, "label for jar 1"), "Ingredients")
    replies = say(*split, "ingredients of jar 2")
    assert row(replies, "Ingredients") == "Ingredients: Chillies, salt."
    assert "Jar 1 holds something else" in row(replies, "Of what")
    assert "8.45 fl oz" in row(say(BATCH, "label for 250 ml jars"), "Net contents")
    assert "Not known" in row(say(BATCH, "label for the 3 L jar"), "Net contents")


def test_a_batch_that_is_to_be_thrown_out_has_no_label() -> None:
    """Mould stops the label; what is in it may still be asked, with the stop beside it."""
    replies = say(BATCH, "there is mould on it", "label")
    assert kinds(replies) == ["caution", "note"]
    assert "no label" in replies[1].text
    replies = say(BATCH, "there is mould on it", "ingredients")
    assert kinds(replies)[-1] == "caution"
    assert row(replies, "Ingredients")


def test_one_label_at_a_time() -> None:
    """Two batches, or one that is not begun, are asked about."""
    assert kinds(say(BATCH, "label batch 1 and batch 2")) == ["ask"]
    assert kinds(say(BATCH, "label for next batch")) == ["ask"]
    assert kinds(say(BATCH, "label 5oz")) == ["ask"]


def test_a_best_before_is_the_persons_own() -> None:
    """With its year said, or the year that was taken for it said."""
    assert "1 March 2027, as you said" in row(say(BATCH, "label, best before 1 March 2027"), "Best before")
    replies = say(BATCH, "label, best before 1 june")
    assert "1 June 2026" in row(replies, "Best before")
    assert "assume" in kinds(replies)


def test_a_serving_that_is_said_is_worked_out() -> None:
    """15 mL hold three times the sodium of 5 mL."""
    small, large = say(BATCH, "label"), say(BATCH, "label with a serving of 15 ml")
    assert value(large, "sodium", "milligram") == pytest.approx(3 * value(small, "sodium", "milligram"))
    assert value(small, "sodium_label", "") == us_sodium(value(small, "sodium", "milligram")) == 60


def test_heat_that_is_said_is_not_heat_that_is_denied() -> None:
    """ "Not heat treated" must not make a shelf line."""
    assert "Held hot" in row(say(BATCH, "label, heat treated"), "Storage")
    assert "Refrigerate after" not in " ".join(one.text for one in say(BATCH, "label, not heat treated"))
    assert "Refrigerate after" not in " ".join(one.text for one in say(BATCH, "label, unpasteurised"))


def test_a_batch_that_is_not_there_is_not_made_up() -> None:
    """No batch, another number, produce that it does not hold, nothing in it."""
    assert kinds(say("label")) == ["ask"]
    assert "no batch 3" in say(BATCH, "label for batch 3")[0].text
    assert 'no "garlic"' in say(BATCH, "label for the one with garlic")[0].text
    assert "nothing to label" in say("new batch of reds in a 3 L jar", "label")[0].text


def test_another_batch_is_opened_by_its_label() -> None:
    """ "Label for batch 1" speaks of batch 1, and a later line too."""
    session = talk()
    for line in (BATCH, "new batch of 500 g of carrots in the small jar at 2%", "label for batch 1"):
        _, replies = session.say(line)
    assert "Chillies" in row(replies, "Ingredients")
    assert "Chillies" in row(session.say("ingredients")[1], "Ingredients")


def test_fish_sauce_is_no_chilli() -> None:
    """It is not entered as the batch's produce, and a remark of it is named as an allergen."""
    replies = say(BATCH, "added 20 g of fish sauce with no salt")
    assert kinds(replies) == ["ask"]
    assert "fish sauce" in replies[0].text
    after = say(BATCH, "note: a splash of fish sauce", "label")
    assert row(after, "Allergens").startswith("Allergens: Contains: fish from fish sauce.")
    assert "weight of fish sauce" in row(after, "Not known")


def test_a_label_says_what_it_rests_on() -> None:
    """ "Why" after a label gives the sources of the rows that were shown, and of no others."""
    sources = [getattr(one, "source", "") for one in say(BATCH, "label", "why")]
    assert any(one.startswith("21 CFR 101.4(a)(1)") for one in sources)
    assert any("FALCPA 2004" in one for one in sources)
    assert len(say(BATCH, "lot code", "why")) == 1


def test_a_label_enters_nothing_and_undo_goes_past_it() -> None:
    """It only looks: the book has as many events as before."""
    session = talk()
    session.say(BATCH)
    before = session.book.shelf().head
    session.say("label for batch 1 in 150 ml bottles")
    session.say("ingredients")
    assert session.book.shelf().head == before


def test_an_account_cut_short_is_not_guessed_from() -> None:
    """Where the first entries are no longer at hand the talk says where the label is to be had."""
    session = talk()
    session.say(BATCH)
    shelf = session.book.shelf()
    account = shelf.accounts[1]
    cut = Account(account.now, account.now, account.tail[-1][0], ())
    state = State(shelf=type(shelf)(shelf.head, 1, 1, shelf.titles, {1: cut}))
    said = read("label")
    assert not isinstance(said, Misread)
    replies = labelled("label", cut.now, said, DAY, state)
    assert "crockside sheet" in replies[0].text


def test_a_label_reads_on_a_narrow_screen() -> None:
    """At 60 columns no line is wider, and every row begins a line with its heading."""
    rows = lines(say(BATCH, "label in 150 ml bottles"), 60)
    assert max(len(one) for one in rows) <= 60
    for heading in ("Name", "Ingredients", "Net contents", "A serving", "Allergens", "Lot", "Best before", "Storage"):
        assert any(one.startswith(f"{heading}:") for one in rows)


def test_the_lot_is_the_day_it_was_bottled() -> None:
    """Asked weeks later the code is still that day's."""
    day = [datetime.date(2026, 3, 2)]
    session = Session(lambda: day[0])
    session.say(BATCH)
    day[0] = datetime.date(2026, 4, 10)
    session.say("bottled 6 of 150 ml")
    day[0] = datetime.date(2026, 5, 1)
    assert row(session.say("lot code")[1], "Lot").startswith("Lot: B1-2026-100:")
