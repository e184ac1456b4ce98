"""Walking: every step reached, every gate refused and passed, amounts changed, stopped, closed and carried on."""

from __future__ import annotations

import datetime
from pathlib import Path

import pytest

from assistant.book.store import Book
from assistant.console.session import Session
from assistant.replies import Answer, Ask, Caution, Log, Note, Reply
from assistant.talk.account.which import current
from assistant.walks.gates import GATES
from assistant.walks.guide import greeting
from assistant.walks.plan import Step, walk, walks
from tests.helpers import kinds, value

START = datetime.date(2026, 3, 2)
BATCH = ("new batch of reds in the 8 L crock", "packed 4 kg of reds at 3%")
TOLD = {
    "produce": "3.2 kg of jalapenos", "vessel": "8 L crock", "strength": "3%", "ph": "3.8", "ph_again": "3.8",
    "ph_last": "3.8", "sauce": "4.2 kg", "bottles": "24 of 150 ml", "shown": "4.02", "slope": "97%",
}  # fmt: skip


class Kitchen:
    """A talk whose day can be moved on."""

    def __init__(self, *lines: str, book: Book | None = None) -> None:
        self.day = START
        self.session = Session(lambda: self.day, book)
        self.replies: tuple[Reply, ...] = ()
        self.say(*lines)

    def say(self, *lines: str) -> tuple[Reply, ...]:
        """The replies to the last of these lines."""
        for line in lines:
            _, self.replies = self.session.say(line)
        return self.replies

    def later(self, days: int) -> None:
        """So many days pass."""
        self.day += datetime.timedelta(days=days)

    @property
    def step(self) -> str:
        """The step that the walk is at."""
        on = self.session.now.walk
        return on.step if on is not None else ""

    @property
    def text(self) -> str:
        """All that was said last."""
        return " ".join(one.text for one in self.replies)

    def stops(self) -> list[str]:
        """The stops that were said last."""
        return [one.rule for one in self.replies if isinstance(one, Caution) and one.severity == "stop"]


def proven(*lines: str) -> Kitchen:
    """A batch of three weeks with a pH that is proven."""
    kitchen = Kitchen(*BATCH)
    kitchen.later(21)
    kitchen.say("pH 3.8 by meter, calibrated today", *lines)
    return kitchen


def on(kitchen: Kitchen, step: Step) -> None:
    """Does what a step asks for, and goes on."""
    if step.tell:
        kitchen.say(TOLD[step.tell])
        return
    if step.id == "tell":
        kitchen.say("82 82 83 82 82 82 every 2 minutes, pH 3.8", "done")
    kitchen.later(step.wait)
    kitchen.say("next")


@pytest.mark.parametrize("name", [one.name for one in walks()])
def test_every_step_is_reached(name: str) -> None:
    """Told and done one after the other, with the days in between, each walk comes to its end."""
    plan = walk(name)
    kitchen = proven() if plan.batch else Kitchen()
    kitchen.say(f"walk me through {plan.named[0]}")
    reached = []
    for step in plan.steps:
        assert kitchen.step == step.id, kitchen.text
        reached.append(kitchen.step)
        on(kitchen, step)
    assert reached == [one.id for one in plan.steps]
    assert kitchen.step == ""
    assert "last step" in kitchen.text


def test_the_amounts_are_the_calculators() -> None:
    """Salt for 3.2 kg in 8 L at 3 % of everything: (3.2 + 4 x 0.998207) x 0.03 = 215.8 g (worked by hand)."""
    kitchen = Kitchen("walk me through a first ferment", "next", "3.2 kg of jalapenos", "8 L crock")
    replies = kitchen.say("3%")
    assert value(replies, "salt", "gram") == pytest.approx(215.8, abs=0.1)
    assert "216 g of salt" in kitchen.text
    assert "4 L of cold" in kitchen.text


def test_packing_is_entered_in_the_book() -> None:
    """What the step says is in the vessel then: produce, water and salt, and the batch is named after the produce."""
    kitchen = Kitchen(
        "walk me through a first ferment", "next", "3.2 kg of jalapenos", "8 L crock", "3%", "next", "next"
    )
    batch = current(kitchen.session.now)
    assert batch is not None
    assert batch.name == "jalapenos"
    assert batch.holds.salt == pytest.approx(0.2158, abs=1e-4)
    assert [one for one in kinds(kitchen.replies) if one == "log"] == ["log", "log"]
    kitchen.say("undo")
    assert kitchen.step == "pack"
    assert current(kitchen.session.now) is None or not current(kitchen.session.now).full  # type: ignore[union-attr]


def test_a_fact_that_is_missing_is_asked_for() -> None:
    """ "Next" without the weight does not go on; nor does "skip", for the salt is worked out from it."""
    kitchen = Kitchen("walk me through a first ferment", "next")
    for line in ("next", "skip", "ok done"):
        replies = kitchen.say(line)
        assert isinstance(replies[0], Ask)
        assert kitchen.step == "produce"
    kitchen.say("3.2")
    assert "3.2 what?" in kitchen.text
    kitchen.say("0 kg")
    assert kitchen.step == "produce"


@pytest.mark.parametrize("line", ["make it 4 kg", "no, 4 kg", "actually it's 4 kg", "change it to 4 kg"])
def test_another_weight_changes_what_follows(line: str) -> None:
    """Before it is packed, a new weight is worked out anew, and what changed is said."""
    kitchen = Kitchen("walk me through my first mash", "next", "3.2 kg of jalapenos", "8 L crock", "3%")
    replies = kitchen.say(line)
    assert value(replies, "salt", "gram") == pytest.approx(120)
    assert "salt 120 g, was 96 g" in kitchen.text
    assert "4 kg of jalapenos, was 3.2 kg of jalapenos" in kitchen.text
    assert kitchen.step == "salt"


@pytest.mark.parametrize(
    ("question", "says"),
    [("how much salt for a mash of 4 kg at 3%?", "120 g"), ("what is the pH of 5% vinegar", "pH of about 2.42"),
     ("40 F in C", "4.4444 C"), ("why 4.6", "botulism"), ("brine with 2 litres of water at 3.5%", "alt"),
     ("a quux of snarfs", "know")],
)  # fmt: skip
def test_other_questions_in_the_middle(question: str, says: str) -> None:
    """They are answered as without a walk, and the step is named again."""
    kitchen = Kitchen("walk me through a first ferment", "next")
    kitchen.say(question)
    assert says in kitchen.text
    assert "Back to step 2" in kitchen.text
    assert kitchen.step == "produce"


def test_gates_are_shut_until_it_is_proven() -> None:
    """Neither "next" nor "skip" passes a gate without a proven pH; with one it opens."""
    kitchen = Kitchen(*BATCH, "walk me through heat and bottle day")
    for line in ("next", "skip", "done", "just skip it"):
        kitchen.say(line)
        assert kitchen.stops() == ["gate-proven"], line
        assert kitchen.step == "gate"
    kitchen.say("pH 3.8 by meter, calibrated today", "next")
    assert kitchen.stops() == ["gate-proven"]  # of the day it was packed: it says nothing
    kitchen.later(21)
    kitchen.say("pH 4.6 by meter, calibrated today", "next")
    assert kitchen.stops() == ["gate-proven"]
    kitchen.later(1)
    kitchen.say("pH 3.8 by strip", "next")
    kitchen = proven("walk me through heat and bottle day", "next")
    assert kitchen.stops() == []
    assert kitchen.step == "probe"


def test_how_a_reading_was_taken_is_what_was_said() -> None:
    """A bare number is a meter's, 0.1 off; a strip stays a strip and proves nothing; a calibrated meter is one."""
    lines = ("walk me through my first mash", "next", "3.2 kg of reds", "8 L crock", "3%", *["next"] * 4)
    for said, method, calibrated in (
        ("3.9", "meter", ""), ("it's 3.9", "meter", ""), ("strip says 3.9", "strip", ""),
        ("3.9 on the meter, calibrated it this morning", "meter", "yes"),
    ):  # fmt: skip
        kitchen = Kitchen(*lines)
        kitchen.later(14)
        kitchen.say("next", "next", said)
        batch = current(kitchen.session.now)
        assert batch is not None
        assert [(one.value, one.calibrated) for one in batch.ph] == [(3.9, calibrated)], said
        assert batch.ph[0].method in (method, "meter"), said
        assert (batch.ph[0].method == "strip") is (method == "strip"), said


def test_a_strip_is_no_ph_for_a_hold() -> None:
    """The minutes of heat rest on a meter's number."""
    kitchen = proven("walk me through heat and bottle day", "next", "next", "next", "3.9 by strip")
    assert "read it with a meter" in kitchen.text
    assert kitchen.step == "ph"


def test_no_heat_is_credited_without_a_temperature() -> None:
    """The gate before filling wants the course of the coldest point in the book, and enough of it."""
    kitchen = proven("walk me through heat and bottle day", "next", "next", "next", "3.8", "next")
    assert kitchen.step == "tell"
    kitchen.say("next")
    assert kitchen.stops() == ["gate-ready"]
    kitchen.say("62 62 62 62 every minute, pH 3.8", "done", "next")
    assert kitchen.stops() == ["gate-ready"]
    assert "not enough" in kitchen.text
    kitchen.say("held it 10 minutes at 82 C, pH 3.8", "done", "next")
    assert kitchen.step == "fill"


def test_the_gate_looks_at_its_own_batch() -> None:
    """A proven pH of another batch opens nothing; a walk is led for the batch that it is asked for."""
    kitchen = Kitchen("new batch of habaneros in the 5 L jar", "packed 2 kg of habaneros at 3%", *BATCH)
    kitchen.later(21)
    kitchen.say("pH 3.8 by meter, calibrated today", "walk me through heat and bottle day for the habaneros")
    kitchen.say("next")
    assert kitchen.stops() == ["gate-proven"]
    kitchen.say("walk me through finishing day for the tomatoes")
    assert isinstance(kitchen.replies[0], Ask)


def test_a_word_about_another_batch_does_not_move_the_walk() -> None:
    """After "reds pH 3.8" on the habaneros' walk, a step that enters nothing leaves it with the habaneros."""
    kitchen = Kitchen(*BATCH)
    kitchen.later(21)
    kitchen.say("walk me through my first mash", "next", "2 kg of habaneros", "5 L jar", "3%", "next", "next")
    kitchen.later(1)
    kitchen.say("reds pH 3.8 by meter, calibrated today", "next")
    kitchen.later(6)
    kitchen.say("next")
    on_ = kitchen.session.now.walk
    assert on_ is not None
    batch = kitchen.session.now.shelf.batch(on_.batch)
    assert batch is not None
    assert batch.name == "habaneros"
    kitchen.say("4.9")
    batch = kitchen.session.now.shelf.batch(on_.batch)
    assert batch is not None
    assert [one.value for one in batch.ph] == [4.9]


def test_a_gate_stays_shut_for_what_changes_it_on_the_way() -> None:
    """A high reading or an addition after the heating stops the bottling, and so does a heating of weeks ago."""
    lines = ("walk me through heat and bottle day", "next", "next", "next", "3.8", "next",
             "82 82 83 82 82 82 every 2 minutes, pH 3.8", "done", "next", "next")  # fmt: skip
    kitchen = proven(*lines)
    assert kitchen.step == "turn"
    kitchen.say("added 1 kg of carrots with 30 g of salt", "next", "24 of 150 ml")
    assert kitchen.stops() == ["gate-ready"]
    batch = current(kitchen.session.now)
    assert batch is not None
    assert batch.bottles == ()
    kitchen = proven(*lines)
    kitchen.say("added 100 g of salt", "next", "24 of 150 ml")
    assert kitchen.stops() == ["gate-ready"]
    batch = current(kitchen.session.now)
    assert batch is not None
    assert "went in after the heating" in GATES["heated"](batch, kitchen.day)
    kitchen = proven("82 82 83 82 82 82 every 2 minutes, pH 3.8", "done")
    kitchen.later(20)
    kitchen.say(*lines[:6], "next")
    assert kitchen.stops() == ["gate-ready"]
    assert "was not heated in it" in kitchen.text


def test_a_failed_reading_holds_the_walk() -> None:
    """After pH 4.9 in the third week there is nothing to wait for: the walk stays until it is cleared."""
    kitchen = Kitchen("walk me through my first mash", "next", "3 kg of reds", "8 L crock", "3%", *["next"] * 4)
    kitchen.later(20)
    kitchen.say("next", "next", "4.9")
    assert any(isinstance(one, Caution) and one.severity == "stop" for one in kitchen.replies)
    assert kitchen.step == "read"
    assert "stays here" in kitchen.text


def test_what_is_not_all_of_it_is_asked_again() -> None:
    """Gross weights and a strength that no ferment has are not taken; nor is a buffer that reads 3.2."""
    kitchen = Kitchen("walk me through my first mash", "next", "2 kg of reds but 300 g are stems")
    assert kitchen.step == "produce"
    kitchen.say("1.7 kg of reds", "8 L crock", "30%")
    assert kitchen.step == "strength"
    kitchen = Kitchen("walk me through calibrating my meter", "next", "next", "next", "3.2")
    assert kitchen.step == "check"
    assert "too far off" in kitchen.text
    kitchen.say("4.0", "60%")
    assert kitchen.step == "slope"


def test_only_strips_and_no_meter() -> None:
    """Who has only strips is entered with strips; without a meter nothing is proven."""
    lines = ("walk me through my first mash", "next", "3.2 kg of reds", "8 L crock", "3%", *["next"] * 4)
    kitchen = Kitchen(*lines)
    kitchen.later(14)
    kitchen.say("next", "next", "I don't have a meter")
    assert "nothing here is proven" in kitchen.text
    kitchen.say("I only have strips", "4")
    batch = current(kitchen.session.now)
    assert batch is not None
    assert [(one.value, one.method) for one in batch.ph] == [(4.0, "strip")]


def test_what_goes_into_the_book_is_not_skipped() -> None:
    """Packing is done or not done; in pounds it is entered in grams."""
    kitchen = Kitchen(*BATCH, "walk me through adding a later harvest", "next", "2 lb of reds", "3%", "next", "skip")
    assert kitchen.step == "add"
    kitchen.say("next")
    assert kitchen.step == "wait"
    batch = current(kitchen.session.now)
    assert batch is not None
    assert batch.holds.salt == pytest.approx(0.12 + 0.9072 * 0.03, abs=1e-4)


def test_a_supposed_addition_is_no_new_weight() -> None:
    """ "What if I add 300 g of vinegar" asks the talk, and the sauce stays what it weighs."""
    kitchen = proven("walk me through finishing day", "3.8", "next", "next", "2.5 kg", "next")
    kitchen.say("what if I add 300 g of vinegar")
    on_ = kitchen.session.now.walk
    assert on_ is not None
    assert dict(on_.told)["sauce"] == "2.5 kg"


def test_by_its_title_alone() -> None:
    """ "Finishing day" begins it too."""
    assert proven("finishing day").step == "read"


def test_another_step_may_be_skipped_and_is_noted() -> None:
    """Skipping what nothing rests on is noted, and said at the end."""
    kitchen = Kitchen("walk me through calibrating my meter", "skip")
    assert "Left out, and noted" in kitchen.text
    kitchen.say("next", "next", "4.0", "skip", "next")
    assert "Left out: take fresh buffers" in kitchen.text


def test_back_and_repeat_and_where_and_ahead() -> None:
    """Back forgets what the step was told; the others change nothing."""
    kitchen = Kitchen("walk me through a first ferment", "next", "3.2 kg of jalapenos", "8 L crock")
    before = kitchen.session.talk
    for line, says in (
        ("repeat", "Step 4"), ("where was I", "So far: produce 3.2 kg of jalapenos; vessel 8 L crock"),
        ("what's next after this", "After this: Weigh"), ("what do I need", "Later: "),
        ("how long", "As long as you need"), ("why", "Under 2%"),
    ):  # fmt: skip
        kitchen.say(line)
        assert says in kitchen.text, line
        assert kitchen.session.talk.now.walk == before.now.walk
    kitchen.say("back")
    assert kitchen.step == "vessel"
    kitchen.say("next")
    assert isinstance(kitchen.replies[0], Ask)
    kitchen.say("5 L jar", "3%")
    assert "Step 5" in kitchen.text


def test_back_is_no_undo() -> None:
    """What was entered in the book before a step, or by it, stays there; the talk's "undo" alone takes it out."""
    kitchen = Kitchen("new batch of reds in the 8 L crock", "packed 4 kg of chillies at 3%")
    head = kitchen.session.now.shelf.head
    kitchen.say("walk me through a first mash", "back")
    assert kitchen.text.endswith("This is the first step.")
    kitchen.say("go back")
    assert kitchen.session.now.shelf.head == head


def test_why_gives_the_reason_and_the_sum() -> None:
    """The step's own reason first, then the relations behind its amounts."""
    kitchen = Kitchen("walk me through my first mash", "next", "3.2 kg of jalapenos", "8 L crock", "3%")
    replies = kitchen.say("why")
    assert kinds(replies)[0] == "why"
    assert "draws the juice out" in replies[0].text
    assert any("3% x 3.2 kg" in one.text for one in replies)


def test_days_are_waited_for() -> None:
    """ "Next" before its day says how long it is still; a second one goes on all the same."""
    kitchen = Kitchen("walk me through a first ferment", "next", "3.2 kg of reds", "8 L crock", "3%", "next", "next")
    assert kitchen.step == "close"
    kitchen.later(1)
    kitchen.say("next")
    assert "day 1 of 3: 2 days to go" in kitchen.text
    assert kitchen.step == "close"
    kitchen.say("how long")
    assert "2 days to go" in kitchen.text
    kitchen.say("next", "next")
    assert kitchen.step == "look"


def test_stopped_and_carried_on() -> None:
    """Stopped for today, the talk goes its own way; "carry on" comes back to the step."""
    kitchen = Kitchen("walk me through a first ferment", "next", "stop for today")
    kitchen.say("mash of 4 kg of chillies at 3%")
    assert "Back to step" not in kitchen.text
    kitchen.say("carry on")
    assert "Step 2" in kitchen.text
    kitchen.say("end the walk", "carry on")
    assert kitchen.session.now.walk is None


def test_a_walk_outlives_its_talk(tmp_path: Path) -> None:
    """In a fresh talk over the same book, weeks later, the open batch knows where its walk stands and what is due."""
    with Book.open(tmp_path / "my.book") as book:
        book.start(True)
        kitchen = Kitchen(
            "walk me through a first ferment", "next", "3.2 kg of reds", "8 L crock", "3%", "next", "next", book=book
        )
    with Book.open(tmp_path / "my.book") as book:
        book.start(True)
        kitchen = Kitchen(book=book)
        kitchen.later(5)
        kitchen.say("help")
        due = greeting(kitchen.session.now, kitchen.day)
        assert "step 7 of 13" in due[0].text
        assert "It is day 5 of this step: Look if the brine" in due[0].text
        kitchen.say("carry on")
        assert kitchen.step == "close"
        kitchen.say("next")
        assert kitchen.step == "look"
        kitchen.say("where was I")
        assert "produce 3.2 kg of chillies" in kitchen.text


def test_resumed_by_its_lines(tmp_path: Path) -> None:
    """Closed in the middle of a step and opened again, the talk is where it was, with what it was told."""
    with Book.open(tmp_path / "my.book") as book:
        book.start(False)
        Kitchen("walk me through my first mash", "next", "3.2 kg of reds", "8 L crock", book=book)
    with Book.open(tmp_path / "my.book") as book:
        session = Session(lambda: START, book)
        session.resume(book.start(False))
        assert session.now.walk is not None
        assert session.now.walk.step == "strength"
        _, replies = session.say("3%")
        assert value(replies, "salt", "gram") == pytest.approx(96)


def test_which_walk() -> None:
    """A walk that is none is asked about; "walks" lists them; one that needs a batch says so."""
    kitchen = Kitchen("walk me through a sausage")
    assert isinstance(kitchen.replies[0], Ask)
    kitchen.say("walks")
    assert all(one.title in kitchen.text for one in walks())
    kitchen.say("walk me through finishing day")
    assert "needs a batch" in kitchen.text
    assert kitchen.session.now.walk is None


def test_done_to_an_answer_in_the_middle_is_the_answers() -> None:
    """Where the talk has just offered to enter something, "done" enters that and leaves the step where it is."""
    kitchen = proven("walk me through finishing day", "3.8", "next", "next", "4 kg", "next")
    assert kitchen.step == "add"
    kitchen.say("raise it to 3.5%")
    assert any(isinstance(one, Note) and one.text.startswith('Say "done"') for one in kitchen.replies)
    kitchen.say("done")
    assert any(isinstance(one, Log) for one in kitchen.replies)
    assert kitchen.step == "add"


def test_an_answer_shows_the_step_as_its_lead() -> None:
    """A step with amounts is an answer of the walk, with its numbers for a front end."""
    kitchen = Kitchen("walk me through my first mash", "next", "3.2 kg of reds", "8 L crock", "3%")
    (answer,) = [one for one in kitchen.replies if isinstance(one, Answer)]
    assert answer.calculator == "walk"
    assert answer.lead.startswith("Step 5 of 13: Weigh 96 g")
