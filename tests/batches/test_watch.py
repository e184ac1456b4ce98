"""The watch over a batch: which reading counts for what, whose vessel, and until when."""

from __future__ import annotations

import datetime
import json
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.batches import events as ev
from assistant.batches.batch import Batch, fold, from_json, opened, to_json
from assistant.batches.watch import earliest_bottling, earliest_strain, reading_facts, seen, verdicts, watch
from assistant.rules import cautions
from assistant.rules.watch import RULES, error, unlikely
from assistant.trade.mixture import NOTHING, brine, merge, produce, salt, sugar, vinegar, water

SEVERITY = {"note": 0, "caution": 1, "stop": 2}
CROCK, POT, JAR, JUG = (ev.Place(f"the {name}", name) for name in ("crock", "pot", "jar", "jug"))


def day(number: float) -> datetime.date:
    """The day so many days after the batch was begun."""
    return datetime.date(2026, 3, 2) + datetime.timedelta(number)


def begin(place: ev.Place = CROCK) -> ev.Event:
    """A new batch on day 0."""
    return ev.Begin(1, day(0), place=place)


def fresh(when: int, mass: float = 2.0, vessel: str = "") -> ev.Event:
    """Salted raw chillies."""
    return ev.Add(
        1, day(when), "", vessel, "chillies", merge(produce(mass, "chilli"), salt(0.03 * mass)), True, "chilli"
    )


def roasted(when: int) -> ev.Event:
    """Roasted onions: food, but no raw produce."""
    return ev.Add(1, day(when), "", "", "roasted onions", produce(0.5, "onion"))


def ph(when: int, value: float, method: str = "meter", calibrated: str = "", vessel: str = "") -> ev.Read:
    """A pH reading."""
    return ev.Read(1, day(when), "", vessel, "ph", value, method, calibrated)


def warm(when: int, value: float) -> ev.Read:
    """A temperature reading."""
    return ev.Read(1, day(when), "", "", "temperature", value, "thermometer")


def move(when: int, to: ev.Place, vessel: str = "") -> ev.Event:
    """All of a vessel into another."""
    return ev.Move(1, day(when), "", vessel, to)


def share(when: int, to: ev.Place) -> ev.Event:
    """A twentieth of what was packed, kept apart."""
    return ev.Share(1, day(when), "", "", to, made().holds.share(0.05))


def made(*events: ev.Event) -> Batch:
    """A batch of one packing on day 0, and what else happened."""
    return fold(Batch(1), enumerate((begin(), fresh(0), *events)))


def ids(batch: Batch, today: int, vessel: str = "", doing: str = "") -> list[str]:
    """The rules that hold."""
    return [rule.id for rule in verdicts(batch, day(today), vessel, doing)]


def worst(batch: Batch, today: int, vessel: str = "", doing: str = "") -> int:
    """The worst severity: 2 a stop, 0 a note, -1 nothing to say."""
    return max((SEVERITY[rule.severity] for rule in verdicts(batch, day(today), vessel, doing)), default=-1)


def read_worst(before: Batch, event: ev.Read) -> int:
    """The worst severity on a new reading."""
    held = cautions(reading_facts(before, event, event.day), RULES)
    return max((SEVERITY[rule.severity] for rule in held), default=-1)


# which reading counts --------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("method", "calibrated", "expected"),
    [("meter", "", 0.1), ("meter", "yes", 0.05), ("", "", 0.1), ("strip", "", 0.5), ("strip", "no", 0.5),
     ("meter", "no", 14.0), ("meter", "last week", 14.0), ("", "no", 14.0)],
)  # fmt: skip
def test_error(method: str, calibrated: str, expected: float) -> None:
    """A meter is good to 0.1, calibrated that day to 0.05 (AOAC 981.12); a strip to 0.5 (practice); else to nothing."""
    assert expected == error(method, calibrated)


def test_a_low_reading_is_doubted() -> None:
    """Below 3.0 in two weeks, without vinegar, by a meter not calibrated that day (common practice, no source)."""
    assert [True, False, False, False, False] == [
        unlikely(2.8, "", True, 8), unlikely(3.0, "", True, 8), unlikely(2.8, "yes", True, 8),
        unlikely(2.8, "", False, 8), unlikely(2.8, "", True, 14),
    ]  # fmt: skip


def test_a_doubted_reading_proves_nothing() -> None:
    """A stale meter's 2.8 after a week does not release the batch."""
    assert 0.0 == watch(made(ph(8, 2.8)), day(8)).values["proven"]
    assert 1.0 == watch(made(ph(8, 2.8, "meter", "yes")), day(8)).values["proven"]


def test_a_reading_of_the_same_day_proves_nothing() -> None:
    """What is read on the day that produce went in may be from before it, and has not settled."""
    assert ["reading-before"] == ids(made(ph(0, 3.9)), 0)
    assert "bottle-unproven" in ids(made(ph(0, 3.9)), 40, "", "bottling")
    assert "bottle-unproven" not in ids(made(ph(1, 3.9)), 40, "", "bottling")


def test_no_reading_at_all() -> None:
    """Silent for two days, a note from day 3, a caution from day 7, and a stop only for bottling."""
    assert [[], [], ["ph-unread"], ["ph-unread"], ["ph-unread-late"]] == [ids(made(), one) for one in (0, 2, 3, 6, 7)]
    assert ["bottle-unproven", "ph-unread-late"] == ids(made(), 40, "", "bottling")


def test_an_early_reading_does_not_stand_in_for_a_late_one() -> None:
    """5.2 on day 2 is as it should be; on day 9 nobody knows how it went on."""
    assert ["ph-early", "ph-unread-late"] != ids(made(ph(2, 5.2)), 2)
    assert ["ph-unread-late", "ph-early"] == ids(made(ph(2, 5.2)), 9)


def test_a_rising_reading_ends_the_proof() -> None:
    """4.4 showed it below 4.6, 4.55 a week later does not; the batch is stopped, though no rise is shown."""
    assert ["ph-unproven"] == ids(made(ph(10, 4.4), ph(17, 4.55)), 17)


def test_a_void_reading_ends_no_proof() -> None:
    """An uncalibrated 4.3 after a good 3.9 says nothing; an uncalibrated 4.8 is a reason to look."""
    assert ["meter-void"] == ids(made(ph(10, 3.9), ph(17, 4.3, "meter", "no")), 17)
    assert ["ph-unproven", "meter-void"] == ids(made(ph(10, 3.9), ph(17, 4.8, "meter", "no")), 17)


def test_the_worst_of_a_day_counts() -> None:
    """Top and bottom read on one day: never averaged, the higher one counts."""
    assert ["ph-failed"] == ids(made(ph(9, 3.9), ph(9, 4.9)), 9)
    assert ["ph-failed"] == ids(made(ph(9, 4.9), ph(9, 3.9)), 9)


def test_calibrating_puts_the_day_right() -> None:
    """A meter that read 4.8, calibrated and read again that day: the second reading counts, for good."""
    assert [] == ids(made(ph(9, 4.8), ph(9, 3.9, "meter", "yes")), 9)
    assert [] == ids(made(ph(9, 4.8), ph(9, 3.9, "meter", "yes"), ph(12, 3.8)), 12)
    assert ["ph-failed"] == ids(made(ph(9, 3.9, "meter", "yes"), ph(9, 4.8)), 9)


def test_a_void_reading_beside_a_good_one() -> None:
    """On one day a meter that is not calibrated stands aside for any other reading."""
    assert [] == ids(made(ph(9, 3.9), ph(9, 5.5, "meter", "no")), 9)


def test_a_strip_beside_a_meter() -> None:
    """On one day a strip stands aside for a meter within both errors, not for one beyond them."""
    assert [] == ids(made(ph(9, 3.9), ph(9, 4.4, "strip")), 9)
    assert ["ph-failed", "strip-over-four"] == ids(made(ph(9, 3.9), ph(9, 5.5, "strip")), 9)


def test_a_failure_stays() -> None:
    """4.9 on day 9 and 4.1 on day 14: the time above 4.6 is not vouched for by a later reading."""
    assert ["ph-stood"] == ids(made(ph(9, 4.9), ph(14, 4.1)), 14)
    assert [] == ids(made(ph(6, 4.9), ph(14, 4.1)), 14)


def test_fresh_produce_does_not_hide_the_old() -> None:
    """Produce added every five days, never below 4.6: the first has stood too long, whatever the youngest's age."""
    batch = made(ph(4, 5.0), fresh(5), ph(9, 5.0))
    assert ["ph-never"] == ids(batch, 9)
    assert ["ph-slow"] == ids(made(ph(4, 4.2), fresh(5), ph(9, 5.0)), 9)


def test_measured_and_topped_up_on_one_day() -> None:
    """Measured first, then topped up, as is usual: the reading shows the old produce, not the new."""
    assert ["ph-slow"] == ids(made(ph(5, 4.0), fresh(5), ph(9, 5.0)), 9)
    assert ["ph-failed"] == ids(made(ph(5, 4.0), fresh(5), ph(12, 5.0)), 12)
    assert 0.0 == watch(made(ph(5, 4.0), fresh(5)), day(9)).values["proven"]


def test_what_went_in_last_may_raise_it_for_a_while() -> None:
    """4.8 a day after roasted onions is a stop, but 4.0 two days later clears it: no week has passed."""
    raised = (ph(20, 3.7), roasted(21), ph(22, 4.8))
    assert ["ph-raised"] == ids(made(*raised), 22)
    assert [] == ids(made(*raised, ph(24, 4.0)), 24)
    assert ["ph-stood"] == ids(made(*raised, ph(28, 4.8), ph(30, 4.0)), 30)


def test_a_week_counts_from_the_youngest_once_it_was_proven() -> None:
    """Proven on day 14, up on day 16, down on day 18: six days after the last produce nothing has stood a week."""
    assert ["ph-crossed"] == ids(made(fresh(10), ph(14, 4.0), ph(16, 5.0)), 16)
    assert [] == ids(made(fresh(10), ph(14, 4.0), ph(16, 5.0), ph(18, 4.0)), 18)


def test_food_that_is_not_raw() -> None:
    """Roasted onions or honey make the reading before them void; water, brine, salt and vinegar do not."""
    honey = ev.Add(1, day(21), "", "", "honey", sugar(0.2))
    for one in (roasted(21), honey):
        assert 0.0 == watch(made(ph(20, 3.7), one), day(22)).values["proven"]
    for mix in (water(0.2), brine(0.2, 0.03), salt(0.01), vinegar(0.1)):
        added = ev.Add(1, day(21), "", "", "something", mix)
        assert 1.0 == watch(made(ph(20, 3.7), added), day(22)).values["proven"]


def test_a_part_of_another_batch_voids() -> None:
    """What came from another batch makes the reading before it void: pH does not average."""
    joined = ev.Receive(1, day(21), "", "", 2, produce(1.0), day(-30).isoformat(), "")
    assert 0.0 == watch(made(ph(20, 3.7), joined), day(22)).values["proven"]
    assert 1.0 == watch(made(ph(20, 3.7), joined, ph(22, 3.8)), day(22)).values["proven"]


def test_a_new_reading_is_judged_as_of_its_day() -> None:
    """Told on day 9, a 5.0 of day 5 is slow, not failed; a 3.8 of before the top-up proves nothing now."""
    facts = reading_facts(made(), ph(5, 5.0), day(9))
    assert (5.0, 9.0) == (facts.values["day"], facts.values["days"])
    assert ["ph-slow"] == [rule.id for rule in cautions(facts, RULES)]
    late = reading_facts(made(fresh(11)), ph(10, 3.8), day(12))
    assert (0.0, True) == (late.values["proven"], "stale" in late.words)


def test_a_temperature_is_judged_alone() -> None:
    """A new temperature brings no word on the pH."""
    assert {"temperature": 29.0} == dict(reading_facts(made(ph(9, 4.9)), warm(9, 29.0), day(9)).values)


def test_an_old_temperature_is_silent() -> None:
    """A hot day is spoken of for a week."""
    assert ["too-warm"] == ids(made(ph(3, 3.8), warm(3, 29.0)), 10)
    assert [] == ids(made(ph(3, 3.8), warm(3, 29.0)), 11)


# whose vessel ----------------------------------------------------------------------------------


def test_a_reading_speaks_for_its_own_vessel() -> None:
    """Split into a jar, the crock's reading proves nothing of the jar."""
    batch = made(share(1, JAR), ph(9, 3.8, vessel="the crock"))
    assert (1.0, 0.0) == tuple(watch(batch, day(9), one).values["proven"] for one in ("the crock", "the jar"))


def test_two_vessels_are_not_compared() -> None:
    """3.5 in the crock and 4.1 in the jar are no rise."""
    batch = made(share(1, JAR), ph(8, 3.5, vessel="the crock"), ph(9, 4.1, vessel="the jar"))
    assert [] == ids(batch, 9, "the jar")


def test_a_move_takes_the_readings_along() -> None:
    """All of the crock in the pot: its readings speak for the pot, until something goes in there or a third is used."""
    moved = made(ph(9, 3.6), move(10, POT))
    assert 1.0 == watch(moved, day(10)).values["proven"]
    assert ["ph-rise"] == ids(made(ph(9, 3.6), move(10, POT), ph(20, 4.1)), 20)
    again = made(ph(9, 3.6), move(10, POT), move(11, JUG))
    assert 0.0 == watch(again, day(11)).values["proven"]
    topped = made(ph(9, 3.6), move(10, POT), ev.Add(1, day(11), "", "", "vinegar", vinegar(0.1)))
    assert 0.0 == watch(topped, day(11)).values["proven"]


def test_bad_news_follows_what_was_in_it() -> None:
    """A batch that failed in the crock has failed in the jar that was filled from it afterwards."""
    assert ["ph-stood"] == [one for one in ids(made(ph(9, 4.9), share(10, JAR)), 10, "the jar") if one == "ph-stood"]
    assert "ph-stood" in ids(made(ph(9, 4.9), share(10, JAR), ph(12, 3.9, vessel="the jar")), 12, "the jar")


def test_bad_news_does_not_reach_a_vessel_read_before() -> None:
    """A jar read on its own before the crock failed was apart from it."""
    batch = made(share(1, JAR), ph(6, 3.9, vessel="the jar"), ph(9, 4.9, vessel="the crock"))
    assert [] == [one for one in ids(batch, 9, "the jar") if one.startswith("ph")]
    same_day = made(share(1, JAR), ph(9, 3.9, vessel="the jar"), ph(9, 4.9, vessel="the crock"))
    assert ["ph-stood"] == [one for one in ids(same_day, 9, "the jar") if one.startswith("ph")]  # which came first?


def test_a_vessel_nobody_knows() -> None:
    """Bad news from a vessel that the batch does not have counts for all; good news for none."""
    lost = made(share(1, JAR), ph(6, 3.9, vessel="the jar"), ph(9, 4.9, vessel="the tub"))
    assert "ph-stood" in ids(lost, 9, "the jar")
    good = made(share(1, JAR), ph(9, 3.9, vessel="the tub"))
    assert [0.0, 0.0] == [watch(good, day(9), one).values["proven"] for one in ("the crock", "the jar")]


def test_nothing_begun() -> None:
    """A batch without events, or a vessel that is not there, is judged in silence."""
    assert [] == verdicts(Batch(1), day(0))
    assert (None, None) == (earliest_strain(Batch(1)), earliest_bottling(Batch(1)))
    assert (None, None) == (earliest_strain(made(), "the tub"), earliest_bottling(made(), "the tub"))


def test_an_empty_batch_asks_for_nothing() -> None:
    """What is bottled or closed is not asked to be measured or topped up; what was seen of it stays."""
    done = ev.Bottle(1, day(40), "", "", 10, 0.1, made().holds)
    assert [] == ids(made(done), 60)
    assert [] == ids(made(ev.Close(1, day(40), "", "eaten")), 60)
    assert ["ph-failed"] == ids(made(ph(9, 4.9), done), 60)
    assert ["mould"] == ids(made(done, ev.Remark(1, day(50), "", "mould in a bottle")), 60)


def test_an_empty_vessel_is_not_merged_into() -> None:
    """Pouring into a batch that holds nothing yet is no merging."""
    empty = fold(Batch(1), enumerate((begin(),)))
    assert [] == ids(empty, 0, "", "merging")


def test_batch_without_raw_produce() -> None:
    """Of a batch that had no raw produce the days are counted from its start; there is no date to strain."""
    batch = fold(Batch(1), enumerate((begin(), roasted(0), ph(9, 4.9))))
    assert "ph-failed" in ids(batch, 9)
    assert None is earliest_strain(batch)


# what is seen on it ----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("green fuzzy spot on top", "mould"), ("some mould around the rim", "mould"), ("Moldy", "mould"),
        ("black specks on the skin", "mould"), ("blue-ish fuzz", "mould"), ("furry patch", "mould"),
        ("not sure if it is mould", "mould"), ("no film, mould", "mould"), ("no film but mould", "mould"),
        ("not only film but mould", "mould film"), ("no more mould", "mould"), ("pink film", "mould film"),
        ("white film", "film"), ("a flat white skin", "film"), ("wrinkly skin", "film"), ("kahm", "film"),
        ("skimmed some scum", "film"), ("yeast layer again", "film"), ("not mould, white film", "film"),
        ("gone pink", "spoilt"), ("smells putrid", "spoilt"), ("slimy", "spoilt"), ("gone off", "spoilt"),
        ("no mould", ""), ("no film or mould", ""), ("no signs of mould yet", ""), ("not slimy", ""),
        ("without any visible mould or film", ""), ("isn't mouldy", ""), ("smells fine, no mould, no film", ""),
        ("white dust at the bottom", ""), ("garlic turned blue", ""), ("cling film over the jar", ""),
        ("plastic film on top", ""), ("red flakes floating", ""), ("pink peppercorns", ""), ("bubbling", ""), ("", ""),
        ("a whiff of rotten eggs", ""), ("pepper skins float", ""), ("further along than the last", ""),
    ],
)  # fmt: skip
def test_seen(text: str, expected: str) -> None:
    """Mould is told from film, and both from sediment and from what is said not to be there; in doubt it is mould."""
    assert set(expected.split()) == seen(text)


def test_mould_outlasts_good_readings() -> None:
    """No reading clears mould, in any vessel; taking the remark back does."""
    batch = made(ev.Remark(1, day(5), "", "fuzzy spot"), ph(9, 3.6), share(10, JAR))
    assert ["mould", "mould"] == [ids(batch, 30, one)[0] for one in ("the crock", "the jar")]
    assert None is earliest_bottling(batch)


def test_film_lasts_until_a_reading() -> None:
    """Film asks for a reading of a later day, and a reading from before it is too old to bottle on."""
    film = ev.Remark(1, day(20), "", "white film")
    assert ["film"] == ids(made(ph(19, 3.6), film), 25)
    assert [] == ids(made(ph(19, 3.6), film, ph(21, 3.6)), 25)
    assert "bottle-unrested" in ids(made(ph(19, 3.6), film), 40, "", "bottling")


# dates -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("celsius", "weeks"),
    [(None, 4), (24.0, 3), (21.0, 3), (20.9, 4), (18.0, 4), (17.9, 5), (15.5, 5), (15.4, 6), (8.0, 6), (30.0, 3)],
)
def test_weeks_to_straining(celsius: float | None, weeks: int) -> None:
    """3 to 4 weeks at 70 to 75 F, 5 to 6 at 60 to 65 F (USDA AIB 539, Guide 6), from the youngest produce."""
    readings = [] if celsius is None else [warm(12, celsius)]
    assert day(11 + 7 * weeks) == earliest_strain(made(fresh(11), *readings))


def test_the_median_of_the_warmth_counts() -> None:
    """One hot afternoon does not make a cold cellar warm, nor does what was before the youngest produce."""
    assert day(5 + 35) == earliest_strain(
        made(warm(1, 25.0), warm(2, 25.0), fresh(5), *map(warm, (6, 7, 8), (16, 16, 30)))
    )


def test_the_youngest_vessel_decides() -> None:
    """Without a vessel named, the batch waits for its youngest part."""
    batch = made(share(1, JAR), fresh(10, vessel="the crock"))
    assert [day(28), day(38), day(38)] == [earliest_strain(batch, one) for one in ("the jar", "the crock", "")]


def test_bottling_waits_for_two_equal_readings() -> None:
    """Two meter readings a week apart within 0.1; strips and void readings show no such thing."""
    assert day(28) == earliest_bottling(made(ph(15, 3.65), ph(22, 3.6)))
    assert day(22 + 7) == earliest_bottling(made(ph(15, 3.75), ph(22, 3.6)))
    assert day(23 + 7) == earliest_bottling(made(ph(17, 3.6), ph(23, 3.6)))
    assert day(15 + 7 + 7) == earliest_bottling(made(ph(8, 3.6, "strip"), ph(22, 3.6), ph(15, 3.6, "meter", "no")))
    assert day(25 + 7) == earliest_bottling(made(warm(25, 20.0)))


def test_between_two_equal_readings_it_must_stand_still() -> None:
    """3.6, up to 4.0, and back at 3.6 is not standing still."""
    assert [1.0, 0.0] == [
        watch(made(ph(15, 3.6), ph(18, middle), ph(22, 3.6)), day(22)).values["stable"] for middle in (3.7, 4.0)
    ]


def test_bottling_waits_a_day_after_the_last_addition() -> None:
    """24 hours for the pieces to give up what they hold (Univ. Wisconsin fact sheet)."""
    stable = (ph(15, 3.6), ph(22, 3.6))
    assert day(41) == earliest_bottling(made(*stable, ev.Add(1, day(40), "", "", "vinegar", vinegar(0.1))))
    assert day(41) == earliest_bottling(made(*stable, ev.Remark(1, day(40), "", "white film")))


def test_no_date_for_what_is_to_be_binned() -> None:
    """A batch that failed has no date; one that is only slow has."""
    assert (None, None) == (earliest_strain(made(ph(9, 4.9))), earliest_bottling(made(ph(9, 4.9), ph(20, 3.9))))
    assert day(28) == earliest_strain(made(ph(5, 4.9)))


# properties ------------------------------------------------------------------------------------

VALUES = st.integers(28, 60).map(lambda tenths: tenths / 10)
METHOD = st.sampled_from([("meter", ""), ("meter", "yes"), ("meter", "no"), ("strip", ""), ("", "")])


@st.composite
def histories(draw: st.DrawFn, last: int = 30) -> list[ev.Event]:
    """What may happen to a packed batch up to a day, in the order of the days."""
    found: list[ev.Event] = []
    for when in sorted(draw(st.lists(st.integers(1, last), max_size=8))):
        kind = draw(st.sampled_from(["ph", "ph", "ph", "fresh", "roasted", "water", "warm", "film"]))
        if kind == "ph":
            found.append(ph(when, draw(VALUES), *draw(METHOD)))
        elif kind == "fresh":
            found.append(fresh(when, 0.5))
        elif kind == "roasted":
            found.append(roasted(when))
        elif kind == "water":
            found.append(ev.Add(1, day(when), "", "", "water", water(0.1)))
        elif kind == "warm":
            found.append(warm(when, draw(st.floats(5, 40))))
        else:
            found.append(ev.Remark(1, day(when), "", "white film"))
    return found


@given(histories(), st.integers(0, 20), METHOD, st.floats(3.0, 7.0), st.floats(3.0, 7.0))
def test_a_higher_ph_is_never_milder(
    events: list[ev.Event], later: int, how: tuple[str, str], left: float, right: float
) -> None:
    """On the same day, by the same instrument, after the same course."""
    before, low, high = made(*events), min(left, right), max(left, right)
    assert read_worst(before, ph(30 + later, low, *how)) <= read_worst(before, ph(30 + later, high, *how))


@given(histories(10), METHOD, st.floats(4.61, 7.0), st.integers(0, 30), st.integers(0, 30))
def test_a_later_day_is_never_milder(
    events: list[ev.Event], how: tuple[str, str], value: float, left: int, right: int
) -> None:
    """The same pH over 4.6, read later after the same course."""
    before, soon, late = made(*events), 10 + min(left, right), 10 + max(left, right)
    assert read_worst(before, ph(soon, value, *how)) <= read_worst(before, ph(late, value, *how))


@given(st.floats(3.0, 4.4), st.floats(0, 3), st.floats(0, 3), METHOD)
def test_a_larger_rise_is_never_milder(start: float, left: float, right: float, how: tuple[str, str]) -> None:
    """From the same reading by a meter."""
    before = made(ph(10, start))
    small, large = start + min(left, right), start + max(left, right)
    assert read_worst(before, ph(20, small, *how)) <= read_worst(before, ph(20, large, *how))


@given(histories(), st.integers(0, 3), st.lists(st.tuples(st.integers(0, 30), st.floats(3.0, 4.0)), max_size=4))
def test_readings_from_before_the_youngest_produce_never_clear(
    events: list[ev.Event], wait: int, told_later: list[tuple[int, float]]
) -> None:
    """However many good readings there were up to the day of the last produce, whenever they are told."""
    batch = made(*events, fresh(30), *(ph(when, value) for when, value in told_later))
    assert 0.0 == watch(batch, day(30 + wait)).values["proven"]
    assert 2 == worst(batch, 30 + wait, "", "bottling")
    assert 2 == worst(batch, 30 + wait, "", "merging")


@given(histories(), st.floats(4.7, 7.0), st.lists(st.integers(0, 6), max_size=6))
def test_nothing_done_later_undoes_a_failure(events: list[ev.Event], value: float, deeds: list[int]) -> None:
    """A meter reading sure to be over 4.6 two weeks on: moved, split, topped, read again, it stays stopped."""
    kinds: tuple[Callable[[int], ev.Event], ...] = (
        lambda when: fresh(when, 0.5), roasted, lambda when: ph(when, 3.4, "meter", "yes"),
        lambda when: move(when, POT), lambda when: share(when, JAR), lambda when: move(when, JUG),
        lambda when: ev.Add(1, day(when), "", "", "vinegar", vinegar(0.2)),
    )  # fmt: skip
    course = [one for one in events if not isinstance(one, ev.Add)]
    later = [kinds[kind](46 + at) for at, kind in enumerate(deeds)]
    batch = made(*course, ph(45, value), *later)
    assert {2} == {worst(batch, 60, one.label) for one in batch.full}


@given(histories(), st.data())
def test_undo_and_redo_lose_no_verdict(events: list[ev.Event], data: st.DataObject) -> None:
    """What is taken back is as if never said; what is said again holds again, whole and from a checkpoint."""
    rows = [begin(), fresh(0), *events]
    account = opened(1)
    for seq, event in enumerate(rows, 1):
        account = account.with_event(seq, event)
    at = data.draw(st.integers(3, len(rows))) if events else 2
    undone = account.with_event(len(rows) + 1, ev.Undo(1, day(30), of=(at,)))
    without = [event for seq, event in enumerate(rows, 1) if seq != at]
    assert verdicts(fold(Batch(1), enumerate(without)), day(31)) == verdicts(undone.now, day(31))
    redone = undone.with_event(len(rows) + 2, ev.Redo(1, day(30), of=(at,)))
    assert verdicts(account.now, day(31)) == verdicts(redone.now, day(31))
    saved = from_json(json.loads(json.dumps(to_json(account.now))))
    assert watch(account.now, day(31)) == watch(saved, day(31))


@given(histories(), METHOD, VALUES, st.integers(31, 40))
def test_a_reading_and_the_batch_after_it_agree(
    events: list[ev.Event], how: tuple[str, str], value: float, when: int
) -> None:
    """What is said of a new reading is what the batch says of its pH on that day."""
    before, event = made(*events), ph(when, value, *how)
    of_ph = {rule.id for rule in RULES if "ph" in rule.looks_at or "failed" in rule.looks_at} - {"merge-high"}
    said = {rule.id for rule in cautions(reading_facts(before, event, day(when)), RULES)}
    after = made(*events, event)
    assert said & of_ph == {rule.id for rule in verdicts(after, day(when))} & of_ph


def test_long_courses_are_judged_whole() -> None:
    """Three thousand readings: a failure among the first, kept only as its day's highest, still stops."""
    rows = [ph(9, 4.9), *(ph(10 + one // 100, 3.6) for one in range(3000))]
    assert ["ph-stood"] == [one for one in ids(made(*rows), 45) if one.startswith("ph")]
    assert NOTHING != made(*rows).holds
