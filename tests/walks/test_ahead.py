"""On a walk: facts told before their step, how a pH was taken, another batch by its name, and what is due."""

from __future__ import annotations

import pytest

from assistant.replies import Ask, Assume, Note
from assistant.talk.account.which import current
from tests.walks.test_guide import BATCH, Kitchen, proven

BRINE = ("walk me through a first brine",)


def reading() -> Kitchen:
    """A first mash of two weeks, at the question for its pH."""
    kitchen = Kitchen("walk me through my first mash", "next", "3.2 kg of reds", "8 L crock", "3%", *["next"] * 4)
    kitchen.later(14)
    kitchen.say("next", "next")
    assert kitchen.step == "read"
    return kitchen


def methods(kitchen: Kitchen) -> list[tuple[float, str, str]]:
    """The readings of the open batch: the pH, the instrument, whether it was calibrated."""
    batch = current(kitchen.session.now)
    assert batch is not None
    return [(one.value, one.method, one.calibrated) for one in batch.ph]


def test_facts_before_their_step_are_kept() -> None:
    """A jar, a strength and a weight told at once or early are named as kept, shown at their step, and worked with."""
    kitchen = Kitchen(*BRINE, "i have a 5 L jar")
    assert "Kept for step 3: 5 L jar" in kitchen.text and kitchen.step == "clean"
    kitchen.say("i want 3%")
    assert "Kept for step 4: 3%" in kitchen.text
    kitchen.say("no make it a 6 L jar")
    assert "vessel 6 L jar, was 5 L jar" in kitchen.text
    kitchen.say("next", "2 kg of habaneros")
    assert isinstance(kitchen.replies[-1], Ask) and "You said 6 L jar" in kitchen.replies[-1].text
    kitchen.say("next", "next")
    assert "162 g of salt" in kitchen.text  # 3 % of 2 kg and 3.4 L (3.394 kg), worked by hand: 161.8 g


def test_several_facts_in_one_line() -> None:
    """ "3 kg of reds, 5 L jar, 3 %" answers three steps; a weight of something else is kept for none."""
    kitchen = Kitchen("walk me through my first mash", "next", "3 kg of reds, 5 L jar, 3%")
    assert kitchen.step == "vessel" and "Kept for step 4: 3%" in kitchen.text
    kitchen.say("next", "next")
    assert "90 g of salt" in kitchen.text
    assert "Kept" not in Kitchen(*BRINE, "i have 200 g of sugar").text


def test_the_kind_of_salt_is_asked_nowhere() -> None:
    """The walk weighs its salt: kosher changes no number, and iodised salt's caution is said."""
    kitchen = Kitchen(*BRINE, "the salt is kosher")
    assert "changes no number" in kitchen.text and kitchen.session.now.mode == "idle"
    kitchen.say("the salt is iodised")
    assert "may cloud the brine" in kitchen.text


@pytest.mark.parametrize(
    "line", ["3.75, calibrated today", "calibrated this morning, 3.75", "3.75 and it's calibrated"]
)
def test_a_number_with_its_calibration(line: str) -> None:
    """It is a calibrated meter's, in either order and with no word of pH."""
    kitchen = reading()
    kitchen.say(line)
    assert methods(kitchen) == [(3.75, "meter", "yes")]


def test_a_calibration_told_before_the_number() -> None:
    """It counts for a reading of that day, and is named as kept; on another day it is gone."""
    kitchen = reading()
    kitchen.say("meter calibrated this morning")
    assert "Kept: the meter was calibrated today" in kitchen.text
    kitchen.say("3.9")
    assert methods(kitchen) == [(3.9, "meter", "yes")]
    kitchen.later(14)
    kitchen.say("next", "3.9")
    assert methods(kitchen)[-1] == (3.9, "meter", "")


def test_what_nobody_said_of_the_meter_is_named() -> None:
    """Without a word of calibration it is 0.1 off, and that is said; said after it, the entry is put right."""
    kitchen = reading()
    kitchen.say("3.9 on the meter")
    assert any(isinstance(one, Assume) and "good to 0.1" in one.text for one in kitchen.replies)
    kitchen.say("calibrated this morning")
    assert methods(kitchen) == [(3.9, "meter", "yes")]
    batch = current(kitchen.session.now)
    assert batch is not None and batch.walked is not None and batch.walked.step == "wait"


def test_a_meter_after_strips() -> None:
    """ "Got a meter now" takes back that there are only strips."""
    kitchen = reading()
    kitchen.say("i only have strips", "got a meter now, it says 3.7")
    assert methods(kitchen) == [(3.7, "meter", "")]


def test_an_addition_beside_the_number_is_not_passed_over() -> None:
    """ "I stirred in a mango and it was 3.7" enters no pH: what was first, and how much, is asked, the number named."""
    kitchen = reading()
    kitchen.say("i stirred in a mango last week and ph was 3.7")
    assert kitchen.step == "read" and methods(kitchen) == []
    assert isinstance(kitchen.replies[0], Ask) and '"3.7" is not entered either' in kitchen.replies[0].text


@pytest.mark.parametrize(
    ("line", "walk"),
    [("brine i think", "first-brine"), ("the mash one", "first-mash"), ("bottling", "heat-and-bottle"),
     ("2", "first-brine"), ("finishing", "finishing-day"), ("the meter", "ph-meter")],
)  # fmt: skip
def test_which_walk_is_answered_by_a_word(line: str, walk: str) -> None:
    """After "which walk?" a word of its title, or its place in the list, is enough."""
    kitchen = Kitchen(*BATCH, "walk me through something", line)
    on = kitchen.session.now.walk
    assert on is not None and on.walk == walk


def two() -> Kitchen:
    """Reds, and habaneros on a walk."""
    return Kitchen(
        *BATCH, "walk me through my first mash", "next", "2 kg of habaneros", "3 L jar", "3%", "next", "next"
    )


@pytest.mark.parametrize("line", ["the reds", "reds", "switch to the reds", "now the reds please", "i mean the reds"])
def test_a_name_alone_switches(line: str) -> None:
    """The walk waits then, so that a pH said next is the reds', and "carry on" comes back to its own batch."""
    kitchen = two()
    kitchen.later(8)
    kitchen.say(line)
    assert "Batch 1, reds" in kitchen.text and 'walk of "habaneros" waits at step 7' in kitchen.text
    kitchen.say("pH 3.8 by meter")
    assert "Batch 1, reds: pH 3.8" in kitchen.text
    kitchen.say("carry on", "next", "next", "next", "3.9")
    assert "Batch 2, habaneros: pH 3.9" in kitchen.text
    kitchen = Kitchen("new batch of carrots in the 5 L jar", "packed 2 kg of carrots at 3%", *BATCH, "the carrots")
    assert "Batch 1, carrots" in kitchen.text
    assert "Batch 1, carrots: pH 3.9" in " ".join(one.text for one in kitchen.say("pH 3.9"))


def test_after_a_line_about_another_batch_it_is_asked() -> None:
    """After "what's in the reds" a reading with no name may be of either: it is asked, and entered with its name."""
    kitchen = two()
    kitchen.later(1)
    kitchen.say("what's in the reds", "pH 4.4 by meter")
    assert isinstance(kitchen.replies[0], Ask) and 'For which batch: "habaneros"' in kitchen.text
    assert "Batch 2, habaneros: pH 4.4" in " ".join(one.text for one in kitchen.say("habaneros pH 4.4 by meter"))
    kitchen.say("added 20 g of salt to the reds", "no 25 g")
    assert "Batch 1, reds: 25 g salt" in kitchen.text


def test_another_batch_begun_on_the_way() -> None:
    """Carrots begun and packed in the middle are a batch of their own, and the walk's is entered besides."""
    kitchen = Kitchen(*BATCH, "walk me through a first mash", "next", "2 kg of habaneros", "3 L jar", "3%", "next")
    kitchen.say("new batch of carrots in the 5 L jar", "packed 2 kg of carrots at 3%", "next")
    assert kitchen.step == "close"
    batch = kitchen.session.now.shelf.batch(3)
    assert batch is not None and batch.name == "habaneros"
    assert batch.holds.salt == pytest.approx(0.06, abs=1e-4)
    kitchen = proven("walk me through finishing day", "3.8", "new batch in the 5 L jar", "packed 2 kg of carrots at 3%")
    carrots = kitchen.session.now.shelf.batch(2)
    assert carrots is not None and carrots.holds.salt == pytest.approx(0.06, abs=1e-4)


@pytest.mark.parametrize("line", ["what's due", "what do i do today", "anything due?", "what needs doing today"])
def test_what_is_due(line: str) -> None:
    """Every open batch with its day: the walk's step and its days, and without a walk what the book lacks."""
    kitchen = two()
    kitchen.later(4)
    kitchen.say(line)
    notes = [one.text for one in kitchen.replies if isinstance(one, Note)]
    assert any(one.startswith("Batch 2, habaneros, day 4") and "step 7 of 13" in one for one in notes)
    assert any(one.startswith("Batch 1, reds, day 4: no pH has been read") for one in notes)
    assert kitchen.step == "close"
    assert "Nothing is due" in " ".join(one.text for one in Kitchen().say(line))


def test_due_before_there_is_a_batch() -> None:
    """A walk that has no batch yet is named with its step."""
    kitchen = Kitchen(*BRINE, "next", "what's due")
    assert "step 2 of 13: Put gloves on" in kitchen.text


def test_the_strained_mash_gets_what_goes_into_it() -> None:
    """On finishing day, what goes into the mash goes to the mash, and a pH of it is of it."""
    kitchen = proven("strained, got 2.9 kg of brine and 1.22 kg of mash", "walk me through finishing day", "3.8")
    kitchen.say("added 50 g of sugar into the mash")
    assert "50 g sugar put into the mash" in kitchen.text
    kitchen.say("next", "pH 3.7 in the mash")
    assert "pH 3.7 in the mash" in kitchen.text


def test_a_calibration_of_another_day_counts_as_none() -> None:
    """ "Calibrated yesterday", told before the number, is kept with it: what is read then proves nothing."""
    kitchen = reading()
    kitchen.say("the meter was calibrated yesterday", "4.0")
    assert methods(kitchen) == [(4.0, "meter", "no")]


@pytest.mark.parametrize("line", ["3.9, calibrated in 4 and 7", "4.1 at 24 C, calibrated in 4.01 and 7 just now"])
def test_buffers_are_no_readings(line: str) -> None:
    """The buffers that a meter was set in stand beside the one reading."""
    kitchen = reading()
    kitchen.say(line)
    assert [one[2] for one in methods(kitchen)] == ["yes"] and methods(kitchen)[0][0] in (3.9, 4.1)


@pytest.mark.parametrize("line", ["3.6?", "is 3.6 ok", "is it safe at 3.6?"])
def test_a_question_is_no_reading(line: str) -> None:
    """A number asked about is not entered."""
    kitchen = reading()
    kitchen.say(line)
    assert methods(kitchen) == [] and kitchen.step == "read"


def test_a_name_with_day_begins_its_walk() -> None:
    """ "Bottling day" alone is the walk, as its title is; a word alone stays the talk's."""
    kitchen = Kitchen(*BATCH, "bottling day")
    on = kitchen.session.now.walk
    assert on is not None and on.walk == "heat-and-bottle"
    assert Kitchen(*BATCH, "bottling").session.now.walk is None


def test_the_salt_is_no_fine() -> None:
    """ "Looks fine to me" is of no salt."""
    assert "changes no number" not in Kitchen(*BRINE, "looks fine to me").text
