"""A batch from its events: nothing is lost on the way, and what is taken back was never there."""

from __future__ import annotations

import datetime
import json
from collections.abc import Iterable
from dataclasses import replace
from unittest import mock

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule

from assistant.batches import batch as ba
from assistant.batches import events as ev
from assistant.batches.batch import Account, Addition, Batch, Point, Portion, Vessel, opened
from assistant.batches.shelf import Shelf
from assistant.trade import mixture as mx
from assistant.trade.mixture import COMPONENTS, NOTHING, SALT_AQUEOUS, SALT_WHOLE, Mixture

DAY = datetime.date(2026, 3, 2)
LABELS = ("jar", "crock", "pot")
WORDS = st.text(max_size=12)
DAYS = st.dates(datetime.date(2020, 1, 1), datetime.date(2030, 12, 31))


def later(days: int) -> datetime.date:
    """So many days after the first."""
    return DAY + datetime.timedelta(days=days)


def told(*events: ev.Event) -> Account:
    """The account after these, numbered from 1."""
    account = opened(1)
    for seq, event in enumerate(events, 1):
        account = account.with_event(seq, event)
    return account


def close(expected: Iterable[float], actual: Iterable[float]) -> None:
    """Both are the same weights in kg, within a milligram.

    Raises:
        AssertionError: they are not.
    """
    assert pytest.approx(list(expected), rel=1e-9, abs=1e-6) == list(actual)


def balanced(batch: Batch) -> None:
    """What went in is in a vessel or came out, each component for itself, and nothing is below zero.

    Raises:
        AssertionError: it is not so.
    """
    close(batch.went_in.parts, (batch.holds + batch.came_out).parts)
    assert all(part >= 0 for one in batch.vessels for part in one.holds.parts)


# the same by hand ------------------------------------------------------------------------------


def by_hand(events: Iterable[ev.Event]) -> tuple[dict[str, list[float]], int]:
    """What each vessel holds after these events, component by component, and how many could not be.

    Written a second time and in the plainest way, to hold the first against.
    """
    vessels: dict[str, list[float]] = {}
    here, odd = "", 0

    def take(label: str, mix: Mixture) -> bool:
        slack = 1e-9 * max(sum(vessels[label]), 1.0)
        left = [was - gone for was, gone in zip(vessels[label], mix.parts, strict=True)]
        if min(left) <= -slack:
            return False
        vessels[label] = [max(one, 0.0) for one in left]
        return True

    def put(label: str, weights: Iterable[float]) -> None:
        was = vessels.get(label, [0.0] * len(COMPONENTS))
        vessels[label] = [one + more for one, more in zip(was, weights, strict=True)]

    for event in events:
        label = getattr(event, "vessel", "") or here
        fine = label in vessels
        if isinstance(event, ev.Begin):
            if fine := not vessels:
                put(event.place.label, NOTHING.parts)
                here = event.place.label
        elif isinstance(event, ev.Move):
            sources = [event.vessel] if event.vessel else [one for one, row in vessels.items() if sum(row) > 1e-6]
            if fine := bool(vessels) and all(one in vessels for one in sources):
                put(event.to.label, NOTHING.parts)
                for one in sources:
                    if one != event.to.label:
                        put(event.to.label, vessels[one])
                        vessels[one] = [0.0] * len(COMPONENTS)
                here = event.to.label
        elif isinstance(event, ev.Share):
            if fine and event.to.label != label and (fine := take(label, event.mix)):
                put(event.to.label, event.mix.parts)
            here = event.to.label if fine else here
        elif isinstance(event, ev.Add | ev.Receive):
            if fine:
                put(label, event.mix.parts)
                here = label
        elif isinstance(event, ev.Take | ev.Pour | ev.Bottle | ev.Boil):
            gone = mx.water(event.water) if isinstance(event, ev.Boil) else event.mix
            if fine := fine and take(label, gone):
                here = label
        else:
            fine = True
        odd += not fine
    return vessels, odd


# any life at all -------------------------------------------------------------------------------

numbers = st.integers(1, 2)
vessels = st.sampled_from(["", "", *LABELS])
grams = st.integers(1, 5000)
OTHERS = ("brine", "salt", "vinegar", "honey", "gum")
eighths = st.integers(0, 10)
"""How many eighths of what there is are taken; more than eight cannot be."""


class Lives(RuleBasedStateMachine):
    """Two batches, to which anything happens in any order, with any event taken back and put again."""

    def __init__(self) -> None:
        super().__init__()
        self.shelf = Shelf()
        self.days = 0

    def batch(self, number: int) -> Batch:
        """The batch as it is, begun or not."""
        found = self.shelf.accounts.get(number)
        return found.now if found else Batch(number)

    def part(self, number: int, vessel: str, eights: int) -> Mixture:
        """So many eighths of what a vessel holds; too many make it too much."""
        found = self.batch(number).vessel(vessel)
        held = found.holds if found else mx.water(1)
        return held.share(eights / 8) if eights <= 8 else held.share(1.5) + mx.water(0.1)

    def do(self, event: ev.Event) -> None:
        """One event more, which is then seen to be odd or not, and taken back and put again.

        Raises:
            AssertionError: an odd event changed something, or taking back was not exact.
        """
        before = self.batch(event.batch)
        self.shelf, seq = self.shelf.with_events([event]), self.shelf.head + 1
        after = self.batch(event.batch)
        assert before.count + 1 == after.count
        assert len(after.odd) - len(before.odd) in (0, 1)
        if len(after.odd) > len(before.odd):
            assert before == replace(after, odd=before.odd, count=before.count, last=before.last)
        undone = self.shelf.with_events([ev.Undo(event.batch, event.day, "undo", (seq,))])
        assert before == undone.accounts[event.batch].now
        redone = undone.with_events([ev.Redo(event.batch, event.day, "redo", (seq,))])
        assert after == redone.accounts[event.batch].now

    def today(self) -> datetime.date:
        """The day of the next event: mostly later, now and then told late."""
        self.days += 1
        return later(self.days if self.days % 5 else self.days - 4)

    @initialize(early=st.booleans(), eights=st.integers(1, 7))
    def begun(self, early: bool, eights: int) -> None:
        """Mostly two batches are there from the start, one of them in two vessels."""
        if early:
            return
        for number in (1, 2):
            self.do(ev.Begin(number, self.today(), "begin", place=ev.Place("jar", "jar", 4.0)))
            self.do(ev.Add(number, self.today(), "in", "", "chilli", mx.produce(2.0, "chilli", 0.001), True, "chilli"))
            self.do(ev.Add(number, self.today(), "in", "", "brine", mx.brine(1.0, 0.05)))
        self.do(ev.Share(1, self.today(), "part", "jar", ev.Place("crock"), self.part(1, "jar", eights)))
        self.do(ev.Add(1, self.today(), "in", "", "mango", mx.produce(0.5, "mango"), True, "mango"))

    @rule(number=numbers, label=st.sampled_from(LABELS))
    def begin(self, number: int, label: str) -> None:
        """Begun, perhaps for the second time."""
        self.do(ev.Begin(number, self.today(), "begin", place=ev.Place(label, "jar", 4.0)))

    @rule(number=numbers, vessel=vessels, mass=grams, kind=st.sampled_from(["chilli", "jalapeno", "mango"]))
    def fresh(self, number: int, vessel: str, mass: int, kind: str) -> None:
        """Raw produce in."""
        mix = mx.produce(mass / 1000, kind, 0.001)
        self.do(ev.Add(number, self.today(), "in", vessel, kind, mix, True, kind))

    @rule(number=numbers, vessel=vessels, mass=grams, what=st.sampled_from(OTHERS))
    def add(self, number: int, vessel: str, mass: int, what: str) -> None:
        """Anything else in."""
        kilos = mass / 1000
        mix = {
            "brine": mx.brine(kilos, 0.03), "salt": mx.salt(kilos / 20), "vinegar": mx.vinegar(kilos),
            "honey": mx.honey(kilos / 10), "gum": mx.gum(kilos / 1000),
        }[what]  # fmt: skip
        self.do(ev.Add(number, self.today(), "in", vessel, what, mix))

    @rule(number=numbers, vessel=vessels, eights=eighths)
    def take(self, number: int, vessel: str, eights: int) -> None:
        """A sample or a spill."""
        self.do(ev.Take(number, self.today(), "out", vessel, "spilled", self.part(number, vessel, eights)))

    @rule(number=numbers, vessel=vessels, to=st.sampled_from(LABELS))
    def move(self, number: int, vessel: str, to: str) -> None:
        """All of it into another vessel."""
        self.do(ev.Move(number, self.today(), "over", vessel, ev.Place(to)))

    @rule(number=numbers, vessel=vessels, to=st.sampled_from(LABELS), eights=eighths, clear=st.booleans())
    def share(self, number: int, vessel: str, to: str, eights: int, clear: bool) -> None:
        """A part, or only clear brine, into another vessel."""
        mix = self.part(number, vessel, eights)
        if clear:
            mix = replace(mix, solids=0.0, capsaicinoids=0.0, other=0.0)
        self.do(ev.Share(number, self.today(), "part", vessel, ev.Place(to), mix, "drained" if clear else ""))

    @rule(number=numbers, vessel=vessels, eights=eighths)
    def boil(self, number: int, vessel: str, eights: int) -> None:
        """Simmered."""
        self.do(ev.Boil(number, self.today(), "off", vessel, self.part(number, vessel, eights).water))

    @rule(number=numbers, vessel=vessels, eights=eighths)
    def bottle(self, number: int, vessel: str, eights: int) -> None:
        """Bottles filled."""
        self.do(ev.Bottle(number, self.today(), "full", vessel, 3, 0.15, self.part(number, vessel, eights)))

    @rule(number=numbers, vessel=vessels, into=vessels, eights=eighths)
    def pour(self, number: int, vessel: str, into: str, eights: int) -> None:
        """A part of one batch into the other."""
        day, mix, other = self.today(), self.part(number, vessel, eights), 3 - number
        young = self.batch(number).youngest
        self.do(ev.Pour(number, day, "pour", vessel, other, mix))
        since, what = (young.day.isoformat(), young.what) if young else ("", "")
        self.do(ev.Receive(other, day, "pour", into, number, mix, since, what))

    @rule(number=numbers, vessel=vessels, tenths=st.integers(0, 140), of=st.sampled_from(ev.MEASURED))
    def read(self, number: int, vessel: str, tenths: int, of: str) -> None:
        """A reading."""
        self.do(ev.Read(number, self.today(), "read", vessel, of, tenths / 10, "meter", "yes"))

    @rule(number=numbers, text=WORDS, which=st.sampled_from(["remark", "call", "close"]))
    def word(self, number: int, text: str, which: str) -> None:
        """What moves no mass."""
        kinds = {"remark": ev.Remark, "call": ev.Call, "close": ev.Close}
        before = self.batch(number)
        self.do(kinds[which](number, self.today(), "word", text))
        assert before.vessels == self.batch(number).vessels

    @rule(number=numbers, back=st.sets(st.integers(0, 12), max_size=4), again=st.booleans())
    def undo_or_redo(self, number: int, back: set[int], again: bool) -> None:
        """Any of the last events taken back, or put again, in no order."""
        account = self.shelf.accounts.get(number)
        if account is None:
            return
        known = [seq for seq, _ in account.tail]
        of = tuple(known[-1 - one] for one in sorted(back) if one < len(known))
        kind = ev.Redo if again else ev.Undo
        self.shelf = self.shelf.with_events([kind(number, self.today(), "no", of)])

    @invariant()
    def nothing_is_lost(self) -> None:
        """went_in is holds and came_out, for each component, in each batch."""
        for account in self.shelf.accounts.values():
            balanced(account.now)

    @invariant()
    def the_vessels_are_those_worked_out_by_hand(self) -> None:
        """Every vessel holds what the plain account has for it, and as many events were odd."""
        for account in self.shelf.accounts.values():
            expected, odd = by_hand(event for _, event in account.live)
            assert expected.keys() == {one.label for one in account.now.vessels}
            for one in account.now.vessels:
                close(expected[one.label], one.holds.parts)
            assert odd == len(account.now.odd)
            assert len(account.live) == account.now.count

    @invariant()
    def ages_are_days_on_which_something_went_in(self) -> None:
        """Portions lie oldest first, each of a day that raw produce has; the youngest is the last of them."""
        for account in self.shelf.accounts.values():
            fresh = {event.day for _, event in account.live if isinstance(event, ev.Add) and event.fresh}
            came = {event.youngest for _, event in account.live if isinstance(event, ev.Receive)}
            for one in account.now.vessels:
                days = [portion.day for portion in one.portions]
                assert sorted(days) == days
                assert all(day in fresh or day.isoformat() in came for day in days)
                assert (days[-1] if days else None) == (one.youngest and one.youngest.day)
                assert all(portion.mass >= 0 for portion in one.portions)
            all_days = [portion.day for one in account.now.full for portion in one.portions]
            assert max(all_days, default=None) == (account.now.youngest and account.now.youngest.day)

    @invariant()
    def readings_are_by_day(self) -> None:
        """Readings stand in the order of their days, whenever they were told."""
        for account in self.shelf.accounts.values():
            for row in (account.now.ph, account.now.warmth):
                assert sorted(row, key=lambda one: one.day) == list(row)

    @invariant()
    def a_checkpoint_changes_nothing(self) -> None:
        """A batch written down half-way and read again, with the rest of its events, is the same batch."""
        for account in self.shelf.accounts.values():
            live = account.live
            half = ba.fold(account.base, live[: len(live) // 2])
            kept = ba.from_json(json.loads(json.dumps(ba.to_json(half))))
            assert half == kept
            assert account.now == ba.fold(kept, live[len(live) // 2 :])

    @invariant()
    def every_event_can_be_written_and_read(self) -> None:
        """The whole account through JSON makes the same batch."""
        for number, account in self.shelf.accounts.items():
            again = opened(number)
            for seq, event in account.tail:
                again = again.with_event(seq, ev.from_json(json.loads(json.dumps(ev.to_json(event)))))
            assert account == again


Lives.TestCase.settings = settings(max_examples=40, stateful_step_count=25)
TestLives = Lives.TestCase


# events and batches as plain data --------------------------------------------------------------

places = st.builds(ev.Place, st.text(min_size=1, max_size=12), WORDS, st.floats(0, 1e5))
weights = st.one_of(st.just(0.0), st.floats(1e-9, 1e4))
mixtures = st.builds(Mixture, **dict.fromkeys(COMPONENTS, weights))
counts = st.integers(0, 10**6)
HEAD = {"batch": st.integers(1, 10**6), "day": st.dates(), "said": WORDS}
WITH: dict[type[ev.Event], dict[str, st.SearchStrategy[object]]] = {
    ev.Begin: {"name": WORDS, "place": places},
    ev.Add: {"vessel": WORDS, "what": WORDS, "mix": mixtures, "fresh": st.booleans(), "produce": WORDS},
    ev.Take: {"vessel": WORDS, "why": WORDS, "mix": mixtures},
    ev.Move: {"vessel": WORDS, "to": places},
    ev.Share: {"vessel": WORDS, "to": places, "mix": mixtures, "how": WORDS},
    ev.Boil: {"vessel": WORDS, "water": weights},
    ev.Pour: {"vessel": WORDS, "into": counts, "mix": mixtures},
    ev.Receive: {
        "vessel": WORDS, "source": counts, "mix": mixtures, "produce": WORDS,
        "youngest": st.one_of(st.just(""), st.dates().map(datetime.date.isoformat)),
    },
    ev.Read: {
        "vessel": WORDS, "of": st.sampled_from(ev.MEASURED), "value": st.floats(0, 14),
        "method": st.sampled_from(ev.METHODS), "calibrated": st.sampled_from(["yes", "no", ""]),
        "error": st.floats(0, 14),
    },
    ev.Remark: {"text": WORDS},
    ev.Heat: {
        "vessel": WORDS, "minutes": st.just((0.0, 1.5, 4.0)), "ph": st.floats(0.5, 14), "error": st.floats(0, 1),
        "degrees": st.tuples(*[st.floats(-40, 150)] * 3), "worth": weights, "needed": weights,
        "offset": st.floats(-20, 20),
    },
    ev.Call: {"name": WORDS},
    ev.Walked: {
        "walk": WORDS, "step": WORDS, "told": st.lists(WORDS, max_size=3).map(tuple),
        "skipped": st.lists(WORDS, max_size=3).map(tuple),
    },
    ev.Bottle: {"vessel": WORDS, "count": counts, "size": st.floats(0, 9000), "mix": mixtures},
    ev.Close: {"why": WORDS},
    ev.Undo: {"of": st.lists(counts, max_size=5).map(tuple)},
    ev.Redo: {"of": st.lists(counts, max_size=5).map(tuple)},
}  # fmt: skip
everything = st.one_of(*(st.builds(kind, **HEAD, **more) for kind, more in WITH.items()))


@given(everything)
def test_an_event_comes_back_from_json_as_it_was(event: ev.Event) -> None:
    """Written as JSON text and read again, an event of every kind is equal to the last bit."""
    assert event == ev.from_json(json.loads(json.dumps(ev.to_json(event))))


def test_every_kind_of_event_is_tried_here() -> None:
    """The events that are made here are of all the kinds there are, each with its own name."""
    assert set(WITH) == set(ev.KINDS.values())
    assert [kind.kind for kind in ev.KINDS.values()] == list(ev.KINDS)


HEATING = {"minutes": [0, 2, 4], "degrees": [60, 74, 70], "ph": 3.9, "error": 0.1, "worth": 3.0, "needed": 1.2}


@pytest.mark.parametrize(
    "wrong",
    [
        {"minutes": [0, 2]}, {"minutes": [0, 4, 2]}, {"minutes": ["0", "x", "2"]}, {"degrees": [60, 74, 900]},
        {"minutes": [0], "degrees": [60]}, {"ph": 0}, {"ph": 15}, {"needed": -1}, {"worth": 1e12}, {"offset": 700},
        {"degrees": "hot"}, {"degrees": [60, float("nan"), 70]},
    ],
)  # fmt: skip
def test_a_heating_that_cannot_be_is_refused(wrong: dict[str, object]) -> None:
    """Times that run back, a missing temperature, a pH that is none: no such event is read."""
    good = {"kind": "heat", "batch": 1, "day": "2026-03-02", **HEATING}
    assert ev.from_json(good).kind == "heat"
    with pytest.raises(ev.EventError):
        ev.from_json({**good, **wrong})


portions = st.lists(st.builds(Portion, DAYS, WORDS, weights), max_size=3).map(tuple)
points = st.lists(st.builds(Point, DAYS, st.floats(-40, 150), WORDS, WORDS, WORDS), max_size=4).map(tuple)
any_batch = st.builds(
    Batch, counts, WORDS, st.dates(), st.dates(),
    st.lists(st.builds(Vessel, places, mixtures, portions, WORDS), max_size=3).map(tuple), WORDS,
    st.lists(st.builds(Addition, DAYS, WORDS, mixtures, st.booleans(), WORDS), max_size=3).map(tuple),
    st.lists(st.tuples(WORDS, mixtures), max_size=3).map(tuple), points, points,
    st.lists(st.tuples(DAYS, WORDS), max_size=3).map(tuple),
    st.lists(st.tuples(DAYS, counts, weights), max_size=3).map(tuple),
    st.one_of(st.none(), DAYS), WORDS, st.lists(WORDS, max_size=3).map(tuple), counts,
    st.lists(st.builds(ev.Heat, **HEAD, **WITH[ev.Heat]), max_size=2).map(tuple),
    st.one_of(st.none(), st.builds(ev.Walked, **HEAD, **WITH[ev.Walked])), st.booleans(),
)  # fmt: skip


@settings(max_examples=60)
@given(any_batch)
def test_a_batch_comes_back_from_json_as_it_was(batch: Batch) -> None:
    """Written as JSON text and read again, any batch is equal to the last bit."""
    assert batch == ba.from_json(json.loads(json.dumps(ba.to_json(batch))))


KEYS = (*COMPONENTS, "label", "term", "capacity")
junk = st.recursive(
    st.one_of(
        st.none(), st.booleans(), st.integers(), st.floats(), WORDS,
        st.sampled_from([10**400, -1, 0, "2026-03-02", "jar", *COMPONENTS]),
    ),
    lambda inner: st.one_of(
        st.lists(inner, max_size=4),
        st.dictionaries(st.one_of(WORDS, st.sampled_from(KEYS)), inner, max_size=4),
    ),
    max_leaves=8,
)  # fmt: skip
FIELDS = sorted({name for kind in ev.KINDS.values() for name in kind.__dataclass_fields__})
near = st.builds(
    lambda kind, batch, day, rest: {"kind": kind, "batch": batch, "day": day, **rest},
    st.sampled_from(sorted(ev.KINDS)), st.one_of(st.just(1), junk), st.one_of(st.just("2026-03-02"), junk),
    st.dictionaries(st.sampled_from(FIELDS), junk, max_size=3),
)  # fmt: skip


@st.composite
def twisted(draw: st.DrawFn) -> dict[str, object]:
    """A good event with one value that may be anything."""
    data = dict(ev.to_json(draw(everything)))
    data[draw(st.sampled_from(sorted(data)))] = draw(junk)
    return data


@settings(max_examples=400)
@given(st.one_of(junk, near, twisted()))
def test_what_is_no_event_is_said_to_be_none(data: object) -> None:
    """Of any JSON value at all comes an event that can be written, read and applied, or an EventError."""
    try:
        event = ev.from_json(data)
    except ev.EventError as error:
        assert str(error)
        return
    assert event == ev.from_json(json.loads(json.dumps(ev.to_json(event))))
    begun = ba.apply(Batch(event.batch), ev.Begin(event.batch, DAY, place=ev.Place("jar")))
    balanced(ba.apply(begun, event) if not isinstance(event, ev.Undo | ev.Redo) else begun)


GOOD = {"kind": "add", "batch": 1, "day": "2026-03-02", "vessel": "jar", "what": "salt", "mix": {"salt": 0.03}}


@pytest.mark.parametrize(
    "change",
    [
        {"kind": "brew"}, {"batch": 0}, {"batch": True}, {"batch": 1.0}, {"day": "yesterday"}, {"day": 20260302},
        {"mix": {"salt": -0.03}}, {"mix": {"salt": float("nan")}}, {"mix": {"salt": float("inf")}},
        {"mix": {"salt": 10**400}}, {"mix": {"salt": "0.03"}}, {"mix": {"salt": True}}, {"mix": {"pepper": 1.0}},
        {"mix": [0.03]}, {"mix": {"salt": 1e6}}, {"fresh": 1}, {"what": None}, {"colour": "red"},
    ],
)  # fmt: skip
def test_an_addition_with_a_wrong_value_is_refused(change: dict[str, object]) -> None:
    """Each of these in an addition that is good without it is an EventError."""
    assert ev.Add(1, DAY, "", "jar", "salt", mx.salt(0.03)) == ev.from_json(GOOD)
    with pytest.raises(ev.EventError):
        ev.from_json({**GOOD, **change})


@pytest.mark.parametrize(
    "data",
    [
        {"kind": "read", "value": 14.1}, {"kind": "read", "value": -0.1}, {"kind": "read", "of": "brix"},
        {"kind": "read", "method": "tongue"}, {"kind": "read", "of": "temperature", "value": 151},
        {"kind": "read", "value": float("nan")}, {"kind": "boil", "water": -1.0}, {"kind": "bottle", "count": -1},
        {"kind": "bottle", "size": float("inf")}, {"kind": "undo", "of": "12"}, {"kind": "undo", "of": [1.5]},
        {"kind": "undo", "of": [float("inf")]}, {"kind": "undo", "of": [True]}, {"kind": "undo", "of": 3},
        {"kind": "begin", "place": "jar"}, {"kind": "begin", "place": {"capacity": 3}},
        {"kind": "begin", "place": {"label": "jar", "capacity": -1}},
        {"kind": "begin", "place": {"label": "jar", "capacity": 10**400}},
        {"kind": "receive", "youngest": "last week"},
    ],
)  # fmt: skip
def test_an_event_with_a_wrong_value_is_refused(data: dict[str, object]) -> None:
    """A reading off its scale, a weight below zero, a list that is none: EventError, and no other error."""
    with pytest.raises(ev.EventError):
        ev.from_json({"batch": 1, "day": "2026-03-02", **data})


# one thing at a time ---------------------------------------------------------------------------

JAR, CROCK, POT = ev.Place("jar", "jar", 2.0), ev.Place("crock", "crock", 10.0), ev.Place("pot", "pot", 5.0)
BEGUN = ev.Begin(1, DAY, "begin", place=JAR)


def peppers(day: int, mass: float, kind: str = "chilli") -> ev.Add:
    """Raw produce that went in so many days after the first."""
    return ev.Add(1, later(day), "", "", kind, mx.produce(mass, kind), True, kind)


@given(mixtures, mixtures, st.sampled_from(["", "jar"]))
def test_a_move_keeps_everything(first: Mixture, second: Mixture, named: str) -> None:
    """Everything of a vessel is in the other after a move, the produce with its days too; the first is empty."""
    account = told(BEGUN, ev.Add(1, DAY, mix=first, fresh=True, what="a"), ev.Add(1, later(3), mix=second, fresh=True))
    before = account.now
    moved = account.with_event(4, ev.Move(1, later(5), "", named, CROCK)).now
    assert before.went_in == moved.went_in
    assert NOTHING == moved.came_out
    crock, jar = moved.vessel("crock"), moved.vessel("jar")
    assert crock is not None and jar is not None
    if before.holds.mass > ba.TRACE or named:
        assert before.holds == crock.holds
        assert before.vessels[0].portions == crock.portions
        assert (NOTHING, ()) == (jar.holds, jar.portions)
    assert ("crock", later(5)) == (moved.current, moved.moved)


def test_everything_together_in_one_vessel() -> None:
    """Two vessels emptied into a third hold their sum there, the produce of both by its days."""
    account = told(BEGUN, peppers(4, 1.0), ev.Share(1, later(5), "", "", CROCK, mx.produce(0.5, "chilli")))
    account = account.with_event(4, peppers(2, 2.0, "mango"))
    assert ["jar", "crock"] == [one.label for one in account.now.full]
    batch = account.with_event(5, ev.Move(1, later(6), "", "", POT)).now
    assert ["pot"] == [one.label for one in batch.full]
    assert pytest.approx(3.0) == batch.full[0].holds.mass
    assert [(2, 2.0), (4, 0.5), (4, 0.5)] == [
        ((one.day - DAY).days, pytest.approx(one.mass)) for one in batch.full[0].portions
    ]
    same = account.with_event(5, ev.Move(1, later(6), "", "", CROCK)).now
    assert batch.full[0].portions == same.full[0].portions
    assert pytest.approx(batch.holds.parts) == same.full[0].holds.parts


def test_a_move_to_where_it_is_changes_nothing() -> None:
    """A jar moved into itself holds what it held."""
    account = told(BEGUN, peppers(0, 1.0))
    assert account.now.vessels == account.with_event(3, ev.Move(1, later(6), "", "jar", JAR)).now.vessels


def test_what_is_told_late_does_not_turn_back_the_day() -> None:
    """The last day of a batch is its latest, not that of what was told last; the vessel knows what came last."""
    batch = told(BEGUN, peppers(6, 1.0), peppers(2, 1.0, "mango")).now
    assert (DAY, later(6)) == (batch.began, batch.last)
    assert "mango" == batch.vessels[0].last_in


def test_a_second_beginning_throws_nothing_away() -> None:
    """A batch is begun once: a second beginning is odd, and the jar still holds its kilo."""
    batch = told(BEGUN, peppers(0, 1.0), ev.Begin(1, later(2), "begin", place=CROCK)).now
    assert pytest.approx(1.0) == batch.holds.mass
    assert ("2026-03-04 begin: it was begun before",) == batch.odd


@pytest.mark.parametrize("event", [ev.Move(1, DAY, "", "", CROCK), peppers(0, 1.0), ev.Boil(1, DAY, "", "", 0.1)])
def test_nothing_can_happen_before_the_beginning(event: ev.Event) -> None:
    """Without a vessel nothing goes in, out or over."""
    batch = told(event).now
    assert (1, NOTHING, ()) == (len(batch.odd), batch.holds, batch.vessels)


def test_more_taken_than_there_is_is_remembered_as_odd() -> None:
    """The jar keeps its kilo, and what was said stands in ``odd`` with its day and what was wrong."""
    batch = told(BEGUN, peppers(0, 1.0), ev.Take(1, later(1), "spilled 2 kg", "", "spilled", mx.water(2))).now
    assert pytest.approx(1.0) == batch.holds.mass
    assert ((), ("2026-03-03 spilled 2 kg: more than there is",)) == (batch.taken, batch.odd)


def test_taking_back_an_addition_makes_a_later_taking_odd() -> None:
    """2 kg in, 1.5 kg out is fine; without the second kilo it cannot have been, and nothing is below zero."""
    out = ev.Take(1, later(2), "", "", "eaten", mx.produce(1.5, "chilli"))
    account = told(BEGUN, peppers(0, 1.0), peppers(1, 1.0), out)
    assert ((), pytest.approx(0.5)) == (account.now.odd, account.now.holds.mass)
    less = account.with_event(5, ev.Undo(1, later(3), "", (3,)))
    assert (1, pytest.approx(1.0)) == (len(less.now.odd), less.now.holds.mass)
    assert account.now == less.with_event(6, ev.Redo(1, later(3), "", (3,))).now


def test_taking_back_an_undo_does_nothing() -> None:
    """What was undone is put again by a redo and by nothing else."""
    undone = told(BEGUN, peppers(0, 1.0), ev.Undo(1, DAY, "", (2,)))
    assert undone.now == undone.with_event(4, ev.Undo(1, DAY, "", (3,))).now


def test_what_lies_before_a_checkpoint_cannot_be_taken_back() -> None:
    """An account that holds only what came after a checkpoint says so, and stays as it is."""
    whole = told(BEGUN, peppers(0, 1.0), peppers(1, 1.0))
    account = Account(whole.now, ba.fold(Batch(1), whole.tail[:2]), 2, whole.tail[2:])
    for kind in (ev.Undo, ev.Redo):
        with pytest.raises(LookupError, match="too far back"):
            account.with_event(4, kind(1, DAY, "", (2,)))
    assert pytest.approx(1.0) == account.with_event(4, ev.Undo(1, DAY, "", (3,))).now.holds.mass


def test_the_youngest_is_the_last_raw_produce_wherever_it_is() -> None:
    """Salt and brine are no produce; of two vessels the one with the later harvest says how young the batch is."""
    account = told(BEGUN, peppers(0, 1.0), ev.Add(1, later(4), "", "", "salt", mx.salt(0.03)))
    assert account.now.youngest is not None
    assert DAY == account.now.youngest.day
    half = account.now.holds.share(0.5)
    account = account.with_event(4, ev.Share(1, later(5), "", "jar", CROCK, half))
    batch = account.with_event(5, peppers(9, 2.0, "jalapeno")).now
    assert [[DAY], [DAY, later(9)]] == [[portion.day for portion in one.portions] for one in batch.vessels]
    assert Portion(later(9), "jalapeno", pytest.approx(2.0)) == batch.youngest
    assert [pytest.approx(0.5)] == [portion.mass for portion in batch.vessels[0].portions]


def test_produce_told_late_lies_in_its_place() -> None:
    """What is told on the fifth day of the first is older than what was told before it."""
    batch = told(BEGUN, peppers(3, 1.0), peppers(0, 2.0)).now
    assert [(DAY, 2.0), (later(3), 1.0)] == [(one.day, pytest.approx(one.mass)) for one in batch.vessels[0].portions]
    assert batch.youngest is not None
    assert later(3) == batch.youngest.day


def test_an_emptied_vessel_has_no_age() -> None:
    """When everything is out, there is no youngest; new produce begins a new one."""
    account = told(BEGUN, peppers(0, 1.0))
    account = account.with_event(3, ev.Bottle(1, later(30), "", "", 6, 0.15, account.now.holds))
    assert (None, ()) == (account.now.youngest, account.now.vessels[0].portions)
    batch = account.with_event(4, peppers(31, 1.0)).now
    assert batch.youngest is not None
    assert later(31) == batch.youngest.day


def test_clear_brine_takes_its_age_and_leaves_the_produce() -> None:
    """Brine drawn off into a pot is as young as what it stood on; the kilo of peppers stays in the jar."""
    account = told(BEGUN, peppers(2, 1.0), ev.Add(1, later(2), "", "", "brine", mx.brine(1, 0.05)))
    brine, _ = mx.drain(account.now.holds, 0.8)
    batch = account.with_event(4, ev.Share(1, later(9), "", "", POT, brine, "drained")).now
    jar, pot = batch.vessels
    assert [Portion(later(2), "chilli", pytest.approx(1.0))] == list(jar.portions)
    assert pot.youngest is not None
    assert (later(2), pytest.approx(0.8)) == (pot.youngest.day, pot.holds.mass)
    assert pytest.approx(SALT_AQUEOUS(jar.holds)) == SALT_AQUEOUS(pot.holds)


def test_what_is_poured_in_brings_its_age() -> None:
    """A batch with a younger one poured in is as young as that."""
    receive = ev.Receive(1, later(20), "", "", 7, mx.produce(0.5, "mango"), later(15).isoformat(), "mango")
    batch = told(BEGUN, peppers(0, 1.0), receive).now
    assert Portion(later(15), "mango", pytest.approx(0.5)) == batch.youngest
    assert ("chilli", "mango") == batch.kinds
    assert ["chilli", "from batch 7"] == [one.what for one in batch.added]


def test_a_late_reading_lies_in_its_place() -> None:
    """Readings told out of order stand by day; of one day in the order told."""
    days = [(5, 3.9), (1, 5.2), (5, 3.8), (3, 4.4)]
    batch = told(BEGUN, *(ev.Read(1, later(day), "", "", "ph", value, "meter") for day, value in days)).now
    assert [5.2, 4.4, 3.9, 3.8] == [one.value for one in batch.ph]
    assert {"jar"} == {one.vessel for one in batch.ph}


@given(st.lists(st.tuples(st.integers(0, 3), st.sampled_from(LABELS), st.integers(0, 140)), min_size=30, max_size=90))
def test_thinning_keeps_the_ends_of_each_day(told_of: list[tuple[int, str, int]]) -> None:
    """Of ever so many readings each day's lowest and highest of each vessel are there, by day."""
    batch = Batch(1)
    with mock.patch.object(ba, "COURSE", 20):
        for day, vessel, tenths in told_of:
            batch = ba.apply(batch, ev.Read(1, later(day), "", vessel, "ph", tenths / 10, "meter"))
    assert sorted(batch.ph, key=lambda one: one.day) == list(batch.ph)
    assert len(batch.ph) <= 10 + 2 * 4 * 3
    for day, vessel, _ in told_of:
        expected = [tenths / 10 for on, where, tenths in told_of if (on, where) == (day, vessel)]
        kept = [one.value for one in batch.ph if (one.day, one.vessel) == (later(day), vessel)]
        assert (min(expected), max(expected)) == (min(kept), max(kept))
        assert set(kept) <= set(expected)


def test_readings_of_two_vessels_in_turn_are_thinned_too() -> None:
    """A day of 5,000 readings of two vessels by turns comes to no more than are kept one by one."""
    batch = Batch(1)
    readings = [Point(DAY, number % 97 / 10, "meter", "", LABELS[number % 2]) for number in range(5000)]
    kept: tuple[Point, ...] = ()
    for start in range(0, 5000, 500):
        kept = ba._course((*kept, *readings[start : start + 500]))
    assert len(kept) <= ba.COURSE
    assert (0.0, 9.6) == (min(one.value for one in kept), max(one.value for one in kept))
    assert readings[-1000:] == list(kept[-1000:])
    assert () == batch.ph


def test_few_readings_are_all_kept() -> None:
    """Up to 2,000 readings none is left out."""
    readings = tuple(Point(later(number // 10), number % 140 / 10) for number in range(2000))
    assert readings == ba._course(readings)


# a whole life ----------------------------------------------------------------------------------

FIVE = ("water", "salt", "solids", "sugar", "acetic")


def five(mixture: Mixture) -> list[float]:
    """Water, salt, solids, sugar and acetic acid in g; there is nothing else in this life."""
    row = [1000 * getattr(mixture, name) for name in FIVE]
    assert pytest.approx(sum(row)) == 1000 * mixture.mass
    return row


def test_a_whole_life_to_the_gram() -> None:
    """From a small jar by a later, larger harvest, a crock, top-ups, straining and two pots to bottles.

    The weights in g beside each step are worked out here by themselves, with the USDA water
    and sugar of red chillies (88.02 and 5.30 %) and of jalapenos (91.69 and 4.12 %).
    """
    account, seq = opened(1), 0

    def do(event: ev.Event) -> Batch:
        nonlocal account, seq
        seq += 1
        account = account.with_event(seq, event)
        balanced(account.now)
        return account.now

    def holds(label: str) -> Mixture:
        found = account.now.vessel(label)
        assert found is not None
        return found.holds

    def are(label: str, *grams: float) -> None:
        assert pytest.approx(list(grams), abs=0.01) == five(holds(label))

    # day 0: 900 g of chillies, 30 g of salt, 600 g of a 3.5 % brine in a 2 L jar
    do(ev.Begin(1, DAY, "begin", "red", JAR))
    do(peppers(0, 0.900))
    do(ev.Add(1, DAY, "", "", "salt", mx.salt(0.030)))
    do(ev.Add(1, DAY, "", "", "brine", mx.brine(0.600, 0.035)))
    are("jar", 900 * 0.8802 + 579, 51, 900 * 0.0668, 47.7, 0)  # 1371.18, 51, 60.12: 1530 g
    assert pytest.approx(1530) == 1000 * account.now.holds.mass
    assert pytest.approx(51 / 1530) == SALT_WHOLE(account.now.holds)

    # day 3: half a kilo of salt, by mistake, and at once taken back
    do(ev.Add(1, later(3), "", "", "salt", mx.salt(0.500)))
    assert pytest.approx(2030) == 1000 * account.now.holds.mass
    do(ev.Undo(1, later(3), "", (5,)))
    assert pytest.approx(1530) == 1000 * account.now.holds.mass

    # day 5: 30 g out for the meter, as they come: 1500 of 1530 are left
    sample, _ = mx.draw(holds("jar"), 0.030)
    do(ev.Take(1, later(5), "", "", "sample", sample))
    jar = [part * 1500 / 1530 for part in (1371.18, 51, 60.12, 47.7, 0)]  # 1344.294, 50, 58.941, 46.765
    are("jar", *jar)

    # day 21: four times the peppers, 3.6 kg of jalapenos with 108 g of salt; all into a 10 L crock
    do(ev.Move(1, later(21), "", "", CROCK))
    are("jar", 0, 0, 0, 0, 0)
    are("crock", *jar)
    do(peppers(21, 3.600, "jalapeno"))
    do(ev.Add(1, later(21), "", "", "salt", mx.salt(0.108)))
    crock = [jar[0] + 3600 * 0.9169, 158, jar[2] + 3600 * 0.0419, jar[3] + 3600 * 0.0412, 0]
    are("crock", *crock)  # 4645.134, 158, 209.781, 195.085
    assert pytest.approx(5208) == sum(crock)

    # day 24 and 31: topped up with 792 g, then 500 g of 3 % brine
    do(ev.Add(1, later(24), "", "", "brine", mx.brine(0.792, 0.03)))
    do(ev.Add(1, later(31), "", "", "brine", mx.brine(0.500, 0.03)))
    crock[0] += 792 * 0.97 + 500 * 0.97
    crock[1] += 792 * 0.03 + 500 * 0.03
    are("crock", *crock)  # 5898.374, 196.76, 209.781, 195.085: 6500 g
    assert pytest.approx(6500) == sum(crock)
    assert account.now.youngest is not None
    assert (later(21), "jalapeno") == (account.now.youngest.day, account.now.youngest.what)

    # day 75: 3 kg of brine drained off the 6290.2 g there are, into a jug; 3.5 kg of mash stay
    brine, mash = mx.drain(holds("crock"), 3.000)
    do(ev.Share(1, later(75), "", "crock", ev.Place("jug"), brine, "drained"))
    part = 3000 / (crock[0] + crock[1] + crock[3])
    jug = [crock[0] * part, crock[1] * part, 0, crock[3] * part, 0]  # 2813.115, 93.841, 0, 93.042
    crock = [was - gone for was, gone in zip(crock, jug, strict=True)]
    are("jug", *jug)
    are("crock", *crock)
    assert pytest.approx((3000, 3500)) == (sum(jug), sum(crock))
    assert SALT_AQUEOUS(holds("crock")) == pytest.approx(SALT_AQUEOUS(holds("jug")))
    assert (later(21), later(21)) == tuple(one.youngest and one.youngest.day for one in account.now.vessels[1:])

    # day 76: 2 kg of the mash into a first pot, what is left of it into a second
    do(ev.Share(1, later(76), "", "crock", ev.Place("pot 1"), mash.share(2.0 / 3.5)))
    do(ev.Move(1, later(76), "", "crock", ev.Place("pot 2")))
    one, two = [was * 4 / 7 for was in crock], [was * 3 / 7 for was in crock]
    are("crock", 0, 0, 0, 0, 0)
    are("pot 1", *one)
    are("pot 2", *two)

    # to the first 600 g of the brine and 500 mL of 5 % vinegar: 25 g of acid, the rest of its volume water
    do(ev.Share(1, later(76), "", "jug", ev.Place("pot 1"), holds("jug").share(0.600 / 3.000)))
    do(ev.Add(1, later(76), "", "pot 1", "vinegar", mx.vinegar(0.5)))
    one = [was + 0.2 * more for was, more in zip(one, jug, strict=True)]
    one[0] += (500 - 0.857 * 25) * 0.998207
    one[4] += 25
    are("pot 1", *one)

    # to the second 400 of the 2400 g left and 200 mL of 6 % vinegar, 12 g of acid
    jug = [was * 0.8 for was in jug]
    do(ev.Share(1, later(76), "", "jug", ev.Place("pot 2"), holds("jug").share(1 / 6)))
    do(ev.Add(1, later(76), "", "pot 2", "vinegar", mx.vinegar(0.2, 0.06)))
    two = [was + more / 6 for was, more in zip(two, jug, strict=True)]
    two[0] += (200 - 0.857 * 12) * 0.998207
    two[4] += 12
    jug = [was * 5 / 6 for was in jug]
    are("pot 2", *two)
    are("jug", *jug)
    assert pytest.approx(2000) == sum(jug)

    # the first simmered: 250 g of water off; then 120 g of wet pulp of 75 % water sieved out of it
    do(ev.Boil(1, later(76), "", "pot 1", 0.250))
    one[0] -= 250
    are("pot 1", *one)
    smooth, pulp = mx.strain(holds("pot 1"), 0.120, 0.75)
    do(ev.Take(1, later(76), "", "pot 1", "pulp", pulp))
    held = 90 / one[0]
    sieved = [90, one[1] * held, 0, one[3] * held, one[4] * held]
    sieved[2] = 120 - sum(sieved)
    one = [was - gone for was, gone in zip(one, sieved, strict=True)]
    are("pot 1", *one)
    assert pytest.approx(five(smooth)) == five(holds("pot 1"))
    assert pytest.approx([*sieved]) == five(dict(account.now.taken)["pulp"])

    # day 77: 15 bottles of 160 g from the first, 10 of 190 g from the second
    for pot, count, grams in (("pot 1", 15, 160), ("pot 2", 10, 190)):
        filled, _ = mx.draw(holds(pot), count * grams / 1000)
        do(ev.Bottle(1, later(77), "", pot, count, 0.15, filled))
    one = [was * (1 - 2400 / sum(one)) for was in one]
    two = [was * (1 - 1900 / sum(two)) for was in two]
    are("pot 1", *one)
    are("pot 2", *two)

    # half of the brine into another batch, what is left of everything eaten; closed
    half = holds("jug").share(0.5)
    do(ev.Pour(1, later(77), "", "jug", 2, half))
    other = opened(2).with_event(1, ev.Begin(2, later(77), "", "green", JAR))
    other = other.with_event(2, ev.Receive(2, later(77), "", "", 1, half, later(21).isoformat(), "jalapeno"))
    assert pytest.approx([was / 2 for was in jug]) == five(other.now.holds)
    for pot in ("jug", "pot 1", "pot 2"):
        do(ev.Take(1, later(78), "", pot, "eaten", holds(pot)))
    batch = do(ev.Close(1, later(78)))

    assert () == batch.odd
    assert ("red", "done", [(15, 0.15), (10, 0.15)]) == (batch.name, batch.closed, [row[1:] for row in batch.bottles])
    assert (NOTHING, ()) == (batch.holds, batch.full)
    went_in = 900 + 30 + 600 + 3600 + 108 + 792 + 500
    vinegars = (500 - 0.857 * 25 + 200 - 0.857 * 12) * 0.998207 + 25 + 12
    assert pytest.approx(went_in + vinegars) == 1000 * batch.went_in.mass
    eaten = sum(one) + sum(two) + sum(jug) / 2
    expected = {
        "sample": 30, "steamed off": 250, "pulp": 120, "bottled": 2400 + 1900, "poured into batch 2": 1000,
        "eaten": eaten,
    }  # fmt: skip
    assert pytest.approx(expected) == {why: 1000 * mix.mass for why, mix in batch.taken}
    assert pytest.approx(went_in + vinegars) == sum(expected.values())
