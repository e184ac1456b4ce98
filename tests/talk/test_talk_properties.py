"""What holds for every talk, whatever is said."""

from __future__ import annotations

import itertools
import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, rule

from assistant.replies import Answer, Reply
from assistant.talk.state import Talk
from assistant.talk.table import ACTS, TABLE
from assistant.talk.turn import HANDLERS, MOVES, expecting, turn
from assistant.trade import CALCULATORS
from grammar.measures import convert
from grammar.reader import read
from grammar.types import Misread
from tests.helpers import DAY, say, talk, value

LINES = (
    "brine for 3 kg of peppers in a 10 L crock at 2.5%",
    "mash of 4 kg of chillies at 3%",
    "brine for 3 kg",
    "how much salt for five pounds of peppers",
    "brine with 5 L of water at 3.5%",
    "2 kg",
    "10 L",
    "3%",
    "5",
    "1500",
    "0",
    "-3 kg",
    "300%",
    "make it 4 kg",
    "no, make it 2 lb",
    "what about 3 percent",
    "and in a 20 L crock?",
    "yes",
    "no",
    "why?",
    "undo",
    "redo",
    "repeat",
    "help",
    "cancel",
    "start over",
    "in pounds",
    "in grams",
    "the usual",
    "mash",
    "under brine",
    "the vessel",
    "the water",
    "2 or 3 percent, what's the difference?",
    "compare 4 kg and 5 kg",
    "back to the mash",
    "the other one",
    "the 4 kg one again",
    "12 litres, not 10",
    "double it",
    "add another kilo",
    "and if I only have 60 g of salt?",
    "started on 3 february",
    "how long has it been",
    "when is 6 weeks",
    "two weeks ago",
    "03/04/2026",
    "how many ml in a cup",
    "for kilos at too percent",
    "to percent",
    "mix 3 kg at 2.5% with 5 kg at 5%",
    "the second is 4%",
    "nah, 4.5",
    "strained 2 kg of mash at 3%, 600 g of wet pulp",
    "what was the salt again",
    "a kilo each of peppers and carrots",
    "the first one",
    "what's that?",
    "what is headspace",
    "the second one",
    "1,500 g of peppers",
    "3 kilp of peppers mash at 3%",
    "fine",
    "flaky",
    "ten tablespoons weigh 95 g",
    "3 tablespoons of salt in grams",
    "dilute 2 kg from 5% to 3%",
    "raise 10 kg from 1.5% to 3%",
    "mix 3 kg at 2.5% with 5 kg at 5%",
    "top up with a pint",
    "12 oz of water",
    "60 degree brine",
    "salometer",
    "pH 3.9",
    "pH 4.8",
    "convert 180 F to C",
    "5 lb in kg",
    "how big a jar for 3 kg of mash",
    "how many 5 gallon buckets for 50 pounds of mash",
    "imperial units",
    "US units",
    "a crock 25 cm across and 30 cm high",
    "and if I only have 60 g of salt?",
    "what percent",
    "brine for",
    "3 zorgs",
    "without salt",
    "the weather",
    "",
    "   ",
    "hello",
    "two or three percent",
    "with 2 L of water",
    "bye",
    "peppers",
    "salt",
    "filled to 900 mL",
    "headspace 1 L",
    "by weight",
    "percent",
    "kg",
    "5 kg of peppers in a 1 L jar",
)


def reading_is_pick(reading: object) -> bool:
    """Whether a line could settle a choice, which closes it even if what follows is refused."""
    return not isinstance(reading, Misread)


class AnyTalk(RuleBasedStateMachine):
    """Lines in any order: never silent, never an exception, undo always possible to the start."""

    def __init__(self) -> None:
        super().__init__()
        self.talk = Talk()
        self.replies: tuple[Reply, ...] = ()

    @rule(line=st.sampled_from(LINES))
    def say(self, line: str) -> None:
        """A turn gives replies, is a function, and a line not understood changes nothing."""
        reading = read(line, expecting(self.talk))
        after, replies = turn(self.talk, reading, DAY)
        again, same = turn(self.talk, reading, DAY)
        assert (after, replies) == (again, same)
        assert replies
        assert all(one.text for one in replies)
        spoke = {one.kind for one in replies}
        chosen = self.talk.now.mode in ("choosing", "confirming") and reading_is_pick(reading)
        if isinstance(reading, Misread) or (spoke <= {"refuse", "misread"} and not chosen):
            assert after == self.talk
        if len(after.past) == len(self.talk.past) + 1 and reading.act not in ("undo", "redo"):
            back, _ = turn(after, read("undo"), DAY)
            assert back.now == self.talk.now
            forth, _ = turn(back, read("redo"), DAY)
            assert forth == after
        self.talk, self.replies = after, replies

    @invariant()
    def mode_is_whole(self) -> None:
        """A mode always has what it works on."""
        state = self.talk.now
        if state.mode == "asking":
            assert state.job is not None
            assert state.asking
        if state.mode == "choosing":
            assert len(state.options) > 1
        if state.mode == "confirming":
            assert state.confirm is not None

    @invariant()
    def numbers_are_numbers(self) -> None:
        """No answer holds an infinity or a not-a-number."""
        for one in self.replies:
            if isinstance(one, Answer):
                assert all(math.isfinite(each.value) for each in one.values)
            assert "nan" not in one.text.lower().split()
            assert "{" not in one.text


TestAnyTalk = AnyTalk.TestCase
TestAnyTalk.settings = settings(max_examples=80, stateful_step_count=15, deadline=None)


def test_table_is_total() -> None:
    """Every mode has a handler for every act, and every handler is real."""
    for mode, row in TABLE.items():
        assert set(ACTS) == set(row), mode
        assert set(row.values()) <= {*HANDLERS, *MOVES}


@settings(deadline=None, max_examples=150)
@given(st.text(max_size=60))
def test_anything_typed_gets_an_answer(line: str) -> None:
    """Any text at all gets a reply; nothing raises."""
    assert say(line)
    assert say("brine for 3 kg", line)


PARTS = {
    "packed": ("brine", "for {produce} of peppers", "in a {vessel} jar", "at {percent}%"),
    "mash": ("mash", "{produce} of chillies", "at {percent} percent"),
    "brine": ("brine", "with {water} of water", "at {percent}%"),
    "raise": ("raise", "{produce}", "from {low}%", "to {high}%"),
}
WEIGHTS = ("2 kg", "2000 g", "4.409245243697551 lb", "70.54792389916082 oz")
VOLUMES = ("8 L", "8000 ml", "2.1133764188651876 US gallons", "1.7597539863927895 imperial gallons")
FIXED = {"percent": "3", "low": "1.5", "high": "3", "produce": "2 kg", "vessel": "8 L", "water": "8 L"}


def salt(line: str) -> float:
    """The salt a line is answered with, in grams."""
    return value(say(line), "salt", "gram")


@pytest.mark.parametrize("name", sorted(PARTS))
def test_order_of_phrases(name: str) -> None:
    """The phrases of a question in any order give the same salt."""
    parts = [one.format(**FIXED) for one in PARTS[name]]
    topic, rest = parts[0], parts[1:]
    expected = salt(" ".join(parts))
    for order in itertools.permutations(rest):
        assert expected == salt(" ".join([topic, *order]))
        if name != "raise":
            assert expected == salt(", ".join([*order, topic]))


@pytest.mark.parametrize("name", sorted(PARTS))
@pytest.mark.parametrize("weight", WEIGHTS)
@pytest.mark.parametrize("volume", VOLUMES)
def test_same_answer_in_any_unit(name: str, weight: str, volume: str) -> None:
    """2 kg, 2000 g and 4.41 lb, 8 L and 2.11 US gallons are the same question."""
    words = {**FIXED, "produce": weight, "vessel": volume, "water": volume}
    plain = salt(" ".join(PARTS[name]).format(**FIXED))
    assert math.isclose(plain, salt(" ".join(PARTS[name]).format(**words)), rel_tol=1e-9)


@settings(deadline=None, max_examples=100)
@given(st.integers(100, 9000), st.integers(10, 90), st.sampled_from(["g", "gram", "grams"]), st.booleans())
def test_no_number_is_dropped(grams: int, tenths: int, unit: str, glued: bool) -> None:
    """Every number said is among the given inputs of the answer."""
    gap = "" if glued else " "
    session = talk()
    session.say(f"mash of {grams}{gap}{unit} of chillies at {tenths / 10}{gap}%")
    job = session.talk.now.answered
    assert job is not None
    assert {grams / 1000, tenths / 1000} == {round(one.value, 9) for one in job.given}


@settings(deadline=None, max_examples=100)
@given(st.integers(2, 30), st.integers(1, 40), st.sampled_from(["temperature", "count", "volume"]))
def test_a_number_with_no_place_is_named(kilos: int, other: int, kind: str) -> None:
    """A number the question has no use for is named or asked about, never passed over."""
    extra = {"temperature": f"{other} C", "count": f"{other} minutes", "volume": f"{other} L of vinegar"}[kind]
    replies = say(f"mash of {kilos} kg of chillies at 3% and {extra}")
    assert any(str(other) in one.text for one in replies)
    if kind == "volume":
        assert "answer" not in [one.kind for one in replies]


@settings(deadline=None, max_examples=60)
@given(st.floats(0.2, 30).map(lambda x: round(x, 2)), st.floats(2, 9).map(lambda x: round(x, 1)))
def test_inverse_by_talking(kilos: float, percent: float) -> None:
    """The salt answered, said back with the produce, gives the percentage again."""
    grams = salt(f"mash of {kilos} kg of cabbage at {percent}%")
    replies = say(f"mash of {kilos} kg of cabbage with {grams!r} g of salt, what percent")
    assert math.isclose(percent, value(replies, "of_produce", "percent"), rel_tol=1e-6)


@settings(deadline=None, max_examples=60)
@given(st.floats(0.3, 30).map(lambda x: round(x, 3)))
def test_printed_amounts_read_back(kilos: float) -> None:
    """The salt as printed, said again, is the salt to the three digits printed."""
    replies = say(f"mash of {kilos} kg of cabbage at 3%")
    printed = next(one.text for one in replies if isinstance(one, Answer)).split("Salt ")[1].split(" for ")[0]
    reading = read(printed)
    assert not isinstance(reading, Misread)
    amount = reading.amounts[0]
    assert math.isclose(30 * kilos, convert(amount.value, amount.unit, "gram"), rel_tol=6e-3)


@pytest.mark.parametrize("line", ["make it 300%", "make it 0 kg", "make it -4 kg", "make it 4 zorgs", "brine for", ""])
def test_a_refused_correction_keeps_the_old_value(line: str) -> None:
    """After a correction that cannot be, the first answer still stands."""
    session = talk()
    session.say("mash of 4 kg of chillies at 3%")
    before = session.talk
    session.say(line)
    assert before == session.talk


def test_an_amount_is_used_once() -> None:
    """One weight does not fill two inputs."""
    session = talk()
    session.say("mix 3 kg at 2.5% with 5 kg at 5%")
    job = session.talk.now.answered
    assert job is not None
    assert len(job.given) == len({one.amount.span for one in job.given}) == 4


def test_every_calculator_can_be_asked_its_way() -> None:
    """Starting from its title's example with the numbers left out, each calculator asks for something."""
    asked = {
        "packed": "brine for peppers in a jar",
        "brine": "brine",
        "mash": "mash",
        "vessel": "will it fit",
        "cylinder": "the diameter of a crock",
        "raise": "raise the salt",
        "dilute": "dilute it",
        "mix": "mix two brines",
        "top-up": "top it up",
        "gravity": "gravity of a brine",
        "salometer": "salometer of a brine",
        "saturation": "how much salt dissolves",
        "spoon": "3 tablespoons of salt in grams",
        "substance": "convert honey to grams",
        "calendar": "when is six weeks",
        "strain": "strain the mash",
        "simmer": "simmer it down",
        "thicken": "thicken it",
        "gum-down": "dilute the gum",
        "trial": "bench trial",
        "acetic": "acetic acid of it",
        "adjust": "adjust it",
        "hold": "how do I pasteurise it",
        "equivalent": "equivalent minutes",
        "filled": "filling hot",
        "sanitizer": "make a sanitizer",
        "sanitizer-ratio": "dilute the bleach",
        "boiling": "boiling point",
        "ice-point": "thermometer in ice water",
        "bottling": "how many bottles",
        "heat-blend": "how hot is it",
        "serving": "sodium of a serving",
        "sweeten": "sweeten it",
        "bottle-gas": "how much gas",
        "heat-down": "make it milder",
        "heat-units": "what is capsaicin in scoville",
        "heat-dry": "dry basis to fresh, how hot",
        "acetic-ph": "pH of vinegar",
        "lactic-ph": "pH of lactic acid",
        "citric-ph": "pH of citric acid",
        "diluted-vinegar": "pH of diluted vinegar",
        "titration": "titrate it",
        "acid-swap": "citric acid instead of vinegar",
        "vinegar-strength": "own vinegar",
        "calibration": "slope of the probe",
        "buffer": "what does the buffer read",
    }
    assert {one.name for one in CALCULATORS} == set(asked)
    for name, line in asked.items():
        session = talk()
        _, replies = session.say(line)
        assert "ask" in [one.kind for one in replies], (name, replies)
        assert session.talk.now.job is not None, (name, replies)
        assert name == session.talk.now.job.calculator
