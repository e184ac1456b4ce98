"""The ends of tables, curves and ranges: the last value still counts, the next one is refused or stands still."""

from __future__ import annotations

import math

import pytest

from assistant.rules.verdict import Sample, judge, lead
from assistant.trade.acid import ACETIC, CITRIC, LACTIC, equal_effect, molarity_by_weight, ph
from assistant.trade.bench_curve import dose_for, ph_after
from assistant.trade.calendar import after_months
from assistant.trade.filled import stays_hot
from assistant.trade.lethality import (
    HIGH_PH,
    LOW_PH,
    Curve,
    Flaw,
    Process,
    accumulated,
    counted,
    holding_heat,
    over,
    thinned,
    up,
)
from assistant.trade.solution import brine_density, saturation, strength_of_density, water_density
from tests.helpers import say, value

MINUTE = 1 / 1440


def test_no_brine_is_stronger_than_at_the_boil() -> None:
    """The salt trade's table ends at 28.12 % at 100 C: 28 % has a density, 29 % and less than none have not."""
    assert brine_density(0.28, 100.0) == pytest.approx(1.17, abs=0.02)  # CRC Handbook, from memory: about 1.16
    for whole in (0.29, 0.30, -0.01):
        with pytest.raises(ValueError, match="strong"):
            brine_density(whole)
    assert saturation(100.0) == pytest.approx(0.2812)
    assert saturation(0.0) == pytest.approx(0.2629)
    for celsius in (-0.1, 100.1):
        with pytest.raises(ValueError, match="0 to 100"):
            saturation(celsius)
        with pytest.raises(ValueError, match="0 to 100"):
            water_density(celsius)


def test_water_is_a_brine_of_nothing() -> None:
    """A density of water's own is no salt, and a lighter one no brine at all."""
    assert strength_of_density(water_density(20.0)) == pytest.approx(0.0, abs=1e-12)
    with pytest.raises(ValueError, match="no strength"):
        strength_of_density(0.997)


def test_no_lye_is_strong_enough_for_ph_15() -> None:
    """Charges that no pH from -1 to 15 balances are refused: 10^(15 - 13.995) is 10 mol/L of hydroxide, not 100."""
    with pytest.raises(ValueError, match="no strength"):
        ph({}, strong=100.0)
    assert ph({}, strong=0.1, ideal=True) == pytest.approx(12.995, abs=0.001)  # worked by hand: 13.995 + log 0.1
    with pytest.raises(ValueError, match="below zero"):
        ph({ACETIC: -0.1})


CURVE = [(0.0, 4.4), (0.01, 4.2), (0.03, 3.9)]


@pytest.mark.parametrize("wanted", [4.2, 3.9])
def test_the_same_acid_takes_the_same_dose(wanted: float) -> None:
    """At each point of a bench curve, the last included, the acid that made it needs what it took, by definition."""
    taken = next(amount for amount, at in CURVE if at == wanted)
    assert equal_effect(CURVE, 2.0, LACTIC, LACTIC, wanted) == pytest.approx(taken / 2.0)


@pytest.mark.parametrize("wanted", [4.41, 3.89])
def test_nothing_is_said_beyond_a_curve(wanted: float) -> None:
    """Outside the points of a trial nothing was measured, and no dose is named."""
    with pytest.raises(ValueError, match="does not reach"):
        equal_effect(CURVE, 2.0, CITRIC, ACETIC, wanted)


def test_a_trial_is_read_at_its_ends() -> None:
    """The first and the last point of a curve are read as they stand; a hair beyond them nothing is."""
    points = ((0.0, 4.4), (0.01, 4.2), (0.03, 3.9))
    for dose, at in points:
        found = dose_for(points, at)
        assert found is not None
        assert found.dose == pytest.approx(dose)
        assert ph_after(points, dose) == pytest.approx(at)
    assert dose_for(points, 4.4001) is None
    assert dose_for(points, 3.8999) is None
    assert ph_after(points, 0.0301) is None
    assert ph_after(points, -0.0001) is None


def test_a_long_hold_need_not_be_under_60_c() -> None:
    """However long it is held, 60 C is the least that is named, and it is named (Breidt 2010: the tables start there).

    Worked by hand: at 60 C pH 3.8 needs 1.2 x 10^((71.11 - 60) / 10.83) = 12.7 min, so 60 min are more than enough.
    """
    assert holding_heat(60 * MINUTE, 3.9) == 60.0
    replies = say("how hot must it be to hold it for 60 minutes at pH 3.8")
    assert value(replies, "hot_enough", "degree_Celsius") == pytest.approx(60.0)


def test_a_hold_is_never_endless_nor_nothing() -> None:
    """No temperature is named for no time, less than none, or for ever."""
    for minutes in (0.0, -1.0, math.inf, math.nan):
        with pytest.raises(ValueError, match="no hold"):
            LOW_PH.temperature(minutes)


def test_a_holding_time_is_rounded_up() -> None:
    """1.21 minutes are 1.3, and 1.2 are 1.2: a hold is never shortened, and a rounding error is no tenth more."""
    assert [up(one) for one in (1.2, 1.21, 1.3 - 1e-9, 0.01)] == [1.2, 1.3, 1.3, 0.1]


def test_at_140_f_heat_begins_to_count() -> None:
    """A minute at 60 C counts, a minute a hair under it does not (Breidt 2010: the table's first row is 140 F)."""
    assert LOW_PH.rate(60.0) == pytest.approx(1.2 / 12.7, abs=0.001)
    assert LOW_PH.rate(59.999) == 0.0
    assert accumulated(Curve.of([(0.0, 60.0), (10.0, 60.0)]), LOW_PH) == pytest.approx(10 * LOW_PH.rate(60.0))
    assert accumulated(Curve.of([(0.0, 59.9), (10.0, 59.9)]), LOW_PH) == 0.0
    assert stays_hot(60.0, 20.0, 1.0) == 0.0
    assert stays_hot(60.1, 20.0, 1.0) > 0.0
    assert stays_hot(70.0, 60.0, 1.0) == math.inf


def test_a_level_course_is_no_slope() -> None:
    """Two readings alike, one a millionth of a degree off, and a slope of a thousandth are worth nearly the same."""
    level = accumulated(Curve.of([(0.0, 75.0), (4.0, 75.0)]), HIGH_PH)
    assert level == pytest.approx(4 * HIGH_PH.rate(75.0))
    for off in (1e-7, -1e-7, 1e-3, -1e-3):
        assert accumulated(Curve.of([(0.0, 75.0), (4.0, 75.0 + off)]), HIGH_PH) == pytest.approx(level, rel=2e-4)


def test_two_readings_at_once_are_worth_nothing_and_no_error() -> None:
    """Time may stand still between two readings; only backwards it may not run."""
    assert accumulated(Curve.of([(1.0, 75.0), (1.0, 80.0)]), LOW_PH) == 0.0


def test_a_gap_begins_over_three_steps() -> None:
    """Three usual steps without a reading still count, more do not (common practice, no source)."""
    rows = [(0.0, 70.0), (1.0, 70.0), (2.0, 70.0), (5.0, 70.0), (6.0, 70.0)]
    assert counted(Curve.of(rows)).flaws == ()
    rows[3:] = [(5.1, 70.0), (6.1, 70.0)]
    assert counted(Curve.of(rows)).flaws == (Flaw(2.0, "gap", pytest.approx(3.1)),)


def test_readings_of_one_minute_hide_no_gap() -> None:
    """Of a log that tells several readings by one minute the step is between minutes: an hour's hole is a gap."""
    # worked by hand: 4 minutes at 74 C and then none
    minutes = [float(at) for at in range(5) for _ in range(6)] + [65.0, 65.0]
    what = counted(Curve(minutes, [74.0] * len(minutes)))
    assert what.flaws == (Flaw(4.0, "gap", 61.0),)
    assert what.worth(LOW_PH) == pytest.approx(4 * LOW_PH.rate(74.0))


def test_ten_minutes_between_readings_still_count() -> None:
    """A reading every ten minutes is credited, one every eleven is not (common practice, no source)."""
    assert counted(Curve.of([(0.0, 70.0), (10.0, 70.0)])).worth(LOW_PH) == pytest.approx(10 * LOW_PH.rate(70.0))
    assert counted(Curve.of([(0.0, 70.0), (11.0, 70.0)])).worth(LOW_PH) == 0.0


def test_a_spike_is_over_both_neighbours_by_more_than_eight_degrees() -> None:
    """Eight degrees over both neighbours are believed, more are not; a step up that stays is no spike."""
    assert counted(Curve.of([(0.0, 70.0), (1.0, 78.0), (2.0, 70.0)])).flaws == ()
    assert counted(Curve.of([(0.0, 70.0), (1.0, 78.1), (2.0, 70.0)])).flaws == (Flaw(1.0, "spike", 78.1),)
    assert counted(Curve.of([(0.0, 70.0), (1.0, 62.0), (2.0, 70.0)])).flaws == ()
    assert counted(Curve.of([(0.0, 70.0), (1.0, 61.9), (2.0, 70.0)])).flaws == (Flaw(1.0, "dip", 61.9),)
    assert counted(Curve.of([(0.0, 60.0), (1.0, 75.0), (2.0, 75.0)])).flaws == ()
    assert counted(Curve.of([(0.0, 75.0), (1.0, 60.0), (2.0, 60.0)])).flaws == ()


def test_minutes_over_a_line_that_is_touched() -> None:
    """On the line counts as over it: 3 level minutes at 60 C are 3; a peak that only touches it is none."""
    assert over(Curve.of([(0, 60), (3, 60)]), 60) == pytest.approx(3)
    assert over(Curve.of([(0, 50), (3, 60), (6, 50)]), 60) == 0.0
    assert over(Curve.of([(0, 50), (3, 59)]), 60) == 0.0


def test_a_short_course_is_not_thinned() -> None:
    """A course of as many readings as are drawn stays as it is; one more is thinned."""
    course = Curve.of([(float(at), 60.0 + at % 7) for at in range(240)])
    assert thinned(course) is course
    longer = Curve.of([(float(at), 60.0 + at % 7) for at in range(241)])
    assert len(thinned(longer)) < 241


def test_a_thinned_course_by_hand() -> None:
    """Of ten readings thinned to four the lowest and the highest of each half stay, at their own minutes."""
    degrees = [61.0, 60.0, 65.0, 70.0, 64.0, 63.0, 72.0, 71.0, 62.0, 66.0]  # lows at 1 and 8, highs at 3 and 6
    found = thinned(Curve.of(enumerate(degrees)), 4)
    assert found.points == ((1, 60.0), (3, 70.0), (6, 72.0), (8, 62.0))


def test_an_endless_process_counts_everything() -> None:
    """A process without a range counts the coldest minute for what it is worth: 10 K under, z 10, a tenth."""
    plain = Process(1.0, 70.0, 10.0, 10.0)
    assert plain.rate(60.0) == pytest.approx(0.1)
    assert plain.minutes(80.0) == pytest.approx(0.1)


def test_a_sample_that_does_not_count_is_named_before_its_meter() -> None:
    """A sample entered as too warm or too young is told as that, though its meter was not calibrated either."""
    assert judge(Sample(3.5, "meter", "no", said=14.0)).void == "sample"
    assert judge(Sample(3.5, "meter", "no", said=13.9)).void == "uncalibrated"


@pytest.mark.parametrize(
    ("sample", "says"),
    [
        (Sample(3.5, "meter", "no"), "not calibrated that day"),
        (Sample(3.5, early=True), "read too soon"),
        (Sample(3.5, warm=True), "not read at about 25 C"),
        (Sample(3.5, added="garlic"), "garlic went in after that reading"),
        (Sample(3.5, before=True), "for what is in it now"),
        (Sample(3.5, stopped=True), "Does not clear the batch"),
        (Sample(3.5, said=14.0), "in a way that does not count"),
        (Sample(2.0), "sourer than vinegar"),
        (Sample(4.3, "strip"), "above pH 4.0 only a meter does"),
        (Sample(4.8, "meter"), "Not below 4.6"),
        (Sample(4.6, "meter"), "Not proven below 4.6"),
    ],
)
def test_a_verdict_says_its_own_reason(sample: Sample, says: str) -> None:
    """The first sentence names what makes the reading void, or that it proves nothing: never another's reason."""
    assert says in lead(judge(sample))


@pytest.mark.parametrize(("ph_", "low", "high"), [(0.05, 0.0, 0.15), (13.95, 13.85, 14.0), (4.0, 3.9, 4.1)])
def test_a_band_stays_on_the_scale(ph_: float, low: float, high: float) -> None:
    """A reading with its error is never under pH 0 or over 14, the ends of the scale."""
    found = judge(Sample(ph_, "meter"))
    assert (found.low, found.high) == (pytest.approx(low), pytest.approx(high))


def test_whether_a_fill_is_enough_needs_its_ph() -> None:
    """Asked whether a hot fill is enough, the pH is asked for: the two published tables differ by their pH."""
    replies = say("150 g of sauce at 85 C into a 140 g bottle at 60 C, is that enough")
    assert [one.kind for one in replies] == ["ask"]
    assert "Which pH" in replies[0].text


def test_a_weight_in_all_is_a_target() -> None:
    """ "2.5 % and 3 kg in all" out of 2 kg at 3 %: 75 g of salt of which 60 g are there, the rest to 3 kg is water."""
    replies = say("2 kg of sauce at 3%, want 2.5% salt and 3 kg in all with water and salt")
    assert value(replies, "add_salt", "gram") == pytest.approx(15.0)
    assert value(replies, "add_water", "gram") == pytest.approx(985.0)


def test_months_are_counted_whole() -> None:
    """Half a calendar month has no length, so no day is named for it (ISO 8601 counts months whole)."""
    with pytest.raises(ValueError, match="whole"):
        after_months(730_000.0, 1.5)


def test_no_acid_is_stronger_than_pure() -> None:
    """By weight pure acetic acid is its own density over its molar mass, and nothing is stronger."""
    with pytest.raises(ValueError, match="0 to 1"):
        molarity_by_weight(ACETIC, 1.01)
    assert molarity_by_weight(ACETIC, 1.0) == pytest.approx(1 / 0.857 / 0.060052)  # pure acid, by its own volume
