"""What Tab lists: words that could come next, each with a note, all from what is declared."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from assistant.console import helping
from assistant.console.offers import MOST, offers
from assistant.talk.state import Job
from assistant.trade import CALCULATORS, calculator
from grammar.vocabulary import vocabulary
from grammar.walking import move
from tests.helpers import talk
from tests.test_corpus import HEARD


def found(line: str, *before: str) -> dict[str, str]:
    """The offers after lines that were said: text and note."""
    session = talk()
    for one in before:
        session.say(one)
    return {one.text: one.note for one in offers(session.now, line)}


def test_units_after_a_number() -> None:
    """A number alone wants a unit of anything; letters of it narrow the list."""
    assert {"g", "kg", "lb", "oz", "ml"} <= found("brine for 3 ").keys()
    assert found("brine for 3 ki") == {"kilo": "unit of mass", "kilos per litre": "unit of density"}


def test_the_open_question_offers_the_units_that_fit() -> None:
    """Asked for a strength, only units of strength come, and "the usual" with its value."""
    asked = ("mash of 3 kg of chillies",)
    assert found("", *asked)["the usual"] == "3%"
    units = found("2", *asked)
    assert set(units.values()) == {"unit of fraction"}
    assert "%" in units


def test_the_answers_of_a_choice_come_first() -> None:
    """The readings to choose from stand at the head, in their order."""
    first = list(found("", "mash of 1,250 g of chillies at 3%").items())[:2]
    assert first == [("1250 g", "answer 1 of 2"), ("1.25 g", "answer 2 of 2")]


def test_yes_and_no_where_they_answer() -> None:
    """A question for yes or no offers both, first."""
    assert list(found("", "mash of 2 kilgrams of chillies at 3%"))[:2] == ["yes", "no"]


def test_produce_after_of() -> None:
    """After "of" come produce and what else an amount may be of; no unit and no command."""
    notes = set(found("brine for 3 kg of ").values())
    assert notes <= {"produce", "what it is an amount of", "what goes in"}
    assert found("brine for 3 kg of hab")["habanero"] == "produce"


def test_marks_and_vessels() -> None:
    """After a unit comes what leads to the next amount; a vessel is found by its letters."""
    assert {"at", "in", "for"} <= found("brine for 3 kg ").keys()
    assert found("brine for 3 kg in a 10 L cr")["crock"] == "vessel"


def test_topics_say_what_they_work_out() -> None:
    """A topic's note is the title of the calculator that it calls."""
    titles = {one.title for one in CALCULATORS}
    assert found("titr")["titrate"] in titles


def test_batches_by_their_names() -> None:
    """The batches of the book are offered by name and by number, with the day that they began."""
    said = ("new batch of reds in the 8 L crock", "call it Ember")
    assert found("", *said)["the Ember one"].startswith("batch 1, since ")
    assert found("what's in E", *said)["Ember"].startswith("batch 1, since ")
    assert found("label for ba", *said)["batch 1"] == "Ember"


def test_a_walk_offers_its_moves() -> None:
    """On a walk the moves come first, and each is understood as one."""
    texts = list(found("", "walk me through a first mash"))[:8]
    assert [move(one) for one in texts][:4] == ["next", "back", "repeat", "skip"]
    assert "" not in [move(one) for one in texts]


def test_walks_are_offered_and_begin() -> None:
    """Every walk that is offered is begun by what is offered."""
    texts = [one for one in found("walk") if one.startswith("walk me through")]
    assert len(texts) == 6
    for one in texts:
        session = talk()
        session.say("new batch of reds in the 8 L crock")
        session.say(one)
        assert session.now.walk is not None, one


@pytest.mark.parametrize("line", ["", "brine for 3 kg ", "how much ", "at ", "2", "mash of 3 kg of chillies at "])
def test_no_number_is_offered(line: str) -> None:
    """A number would be somebody's guess: none is put into a line; a buffer has one in its name."""
    assert [one for one in found(line) if re.search(r"(?<!ph )\b(?<!\.)\d", one)] == []


def test_everything_offered_is_known() -> None:
    """Each word that is offered is in the vocabulary, as it stands there; nothing is typed twice."""
    known = {" ".join(key).replace(" '", "'") for key in vocabulary().entries}
    for line in ("brine for 3 ", "brine for 3 kg ", "s", "b", "c"):
        strange = {one for one in found(line) if one not in known and not one.startswith("walk me through")}
        assert strange == set()


def test_it_takes_every_line_and_is_short() -> None:
    """Cut off anywhere, a phrase of the corpus brings a list of at most MOST, and no error."""
    session = talk()
    for line in [one["say"] for one in HEARD][::25]:
        for end in range(0, len(line), 5):
            assert len(offers(session.now, line[:end])) <= MOST


def test_every_asked_input_has_its_help() -> None:
    """F1 says the question, the limits and, where the dimension has one, an example, for whatever is asked."""
    session = talk()
    for one in CALCULATORS:
        for item in calculator(one.name).inputs:
            if item.ask:
                state = replace(session.now, mode="asking", job=Job(one.name), asking=(item.name,))
                rows = helping.rows(state)
                assert rows[0].startswith("Asked: ") and any(row.startswith("It can be ") for row in rows), item.name
