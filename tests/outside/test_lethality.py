"""Holding times against both printed tables, and the worth of a curve against an integral and a closed form."""

from __future__ import annotations

import itertools
import math

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.integrate import quad

from assistant.trade.lethality import (
    COUNTS_TO,
    HIGH_PH,
    LOW_PH,
    Curve,
    Flaw,
    Process,
    accumulated,
    counted,
    over,
    process_for,
    thinned,
    up,
)


def celsius(fahrenheit: float) -> float:
    """Degrees C of degrees F."""
    return (fahrenheit - 32) / 1.8


# Breidt, Sandeep and Arritt 2010, Food Protection Trends 30(5):268-272 (pH 4.1 or below), even degrees F
TABLE_LOW = {
    140: 12.7, 142: 10.1, 144: 7.9, 146: 6.3, 148: 4.9, 150: 3.9, 152: 3.1, 154: 2.4, 156: 1.9, 158: 1.5, 160: 1.2,
    162: 0.9, 164: 0.7, 166: 0.6, 168: 0.5, 170: 0.4, 172: 0.3, 174: 0.2, 176: 0.2, 178: 0.1,
}  # fmt: skip
# Breidt, Kay, Osborne, Ingham and Arritt 2014, Food Protection Trends 34(3):132-138, Table 4 (pH 4.1 to 4.6)
TABLE_HIGH = {
    142: 67.7, 144: 51.4, 146: 39.0, 148: 29.6, 150: 22.4, 152: 17.0, 154: 12.9, 156: 9.8, 158: 7.4, 160: 5.6,
    162: 4.3, 164: 3.2, 166: 2.5, 168: 1.9, 170: 1.4, 172: 1.1, 174: 0.8, 176: 0.6, 178: 0.5, 180: 0.4,
}  # fmt: skip


@pytest.mark.parametrize(("fahrenheit", "printed"), TABLE_LOW.items())
def test_ph_4_1_or_below(fahrenheit: int, printed: float) -> None:
    """Never below the printed time, and by no more than the rounding above it."""
    found = up(LOW_PH.minutes(celsius(fahrenheit)))
    assert printed <= found <= printed + 0.11


@pytest.mark.parametrize(("fahrenheit", "printed"), TABLE_HIGH.items())
def test_ph_4_1_to_4_6(fahrenheit: int, printed: float) -> None:
    """Never below the printed time, and within 1.5 % and the rounding above it."""
    found = up(HIGH_PH.minutes(celsius(fahrenheit)))
    assert printed <= found <= 1.015 * printed + 0.11


def test_the_ph_decides_which_table() -> None:
    """4.1 is in the lower table, anything over it in the upper, and over 4.6 there is none (21 CFR 114.3)."""
    assert process_for(4.1) is LOW_PH
    assert process_for(4.11) is HIGH_PH
    assert process_for(4.6) is HIGH_PH
    for ph in (4.61, 7.0, math.nan):
        with pytest.raises(ValueError, match=r"4\.6"):
            process_for(ph)


def test_no_credit_outside_the_tables() -> None:
    """Over 180 F a minute counts as at 180 F; under 140 F it counts nothing."""
    assert LOW_PH.rate(100.0) == LOW_PH.rate(COUNTS_TO)
    assert LOW_PH.rate(59.9) == 0.0
    with pytest.raises(ValueError, match="low"):
        LOW_PH.minutes(59.0)
    with pytest.raises(ValueError, match="short"):
        HIGH_PH.temperature(0.1)


@given(st.sampled_from([LOW_PH, HIGH_PH]), st.floats(61, 82))
def test_temperature_and_time_go_back_and_forth(process: Process, temperature: float) -> None:
    """The temperature for the minutes at a temperature is that temperature."""
    assert process.temperature(process.minutes(temperature)) == pytest.approx(temperature)


PLAIN = Process(1.0, 71.1, 10.0, 10.0)


def test_ramp_hold_and_cool() -> None:
    """A ramp from 20 to 82.2 C in 20 min, a hold of 5 and a cooling of 15, z 10 C, reference 71.1 C."""
    # closed form, worked by hand: a ramp is worth dt (r1 - r0) / ln(r1 / r0), r = 10^((T - 71.1) / 10):
    # 20 x 12.8825 / (6.22 ln 10) + 5 x 12.8825 + 15 x 12.8825 / (6.22 ln 10) = 95.894 (scipy.integrate.quad agrees)
    curve = [(0.0, 20.0), (20.0, 82.2), (25.0, 82.2), (40.0, 20.0)]
    assert accumulated(Curve.of(curve), PLAIN) == pytest.approx(95.894, abs=0.001)
    assert accumulated(Curve.of([(0.0, 82.2), (10.0, 82.2)]), PLAIN) == pytest.approx(128.825, abs=0.001)


def test_coarse_readings_of_a_straight_ramp_lose_nothing() -> None:
    """The mean of the two rates credits nearly twice as much at five-minute readings; the log-mean is exact."""
    # worked by hand: each step the rate grows by k = ln 10 x 6.22 / 4 = 3.58 in the exponent, and the mean of the
    # ends is k / 2 x coth(k / 2) = 1.893 times the logarithmic mean
    ramp = [(float(minute), 20 + 62.2 * minute / 20) for minute in range(0, 21, 5)]
    exact = accumulated(Curve.of([(0.0, 20.0), (20.0, 82.2)]), PLAIN)
    assert accumulated(Curve.of(ramp), PLAIN) == pytest.approx(exact)
    trapezoid = sum(5 * (PLAIN.rate(a) + PLAIN.rate(b)) / 2 for (_, a), (_, b) in itertools.pairwise(ramp))
    assert trapezoid / exact == pytest.approx(1.893, abs=0.001)


@settings(deadline=None, max_examples=60)
@given(st.lists(st.tuples(st.floats(0.2, 10), st.floats(15, 99)), min_size=2, max_size=8), st.booleans())
def test_against_numerical_integration(pieces: list[tuple[float, float]], high: bool) -> None:
    """The worth of any course is the integral of the rate along straight lines (scipy.integrate.quad)."""
    process = HIGH_PH if high else LOW_PH
    curve, now = [], 0.0
    for step, temperature in pieces:
        curve.append((now, temperature))
        now += step
    total = 0.0
    for (start, first), (end, last) in itertools.pairwise(curve):

        def rate(t: float, start: float = start, end: float = end, first: float = first, last: float = last) -> float:
            return process.rate(first + (last - first) * (t - start) / (end - start))

        slope = (last - first) / (end - start)
        cuts = [start + (one - first) / slope for one in (process.counts_from, process.reference, process.counts_to)
                if slope and min(first, last) < one < max(first, last)]  # fmt: skip
        ends = [start, *sorted(cuts), end]
        total += sum(quad(rate, a, b)[0] for a, b in itertools.pairwise(ends))
    assert accumulated(Curve.of(curve), process) == pytest.approx(total, rel=1e-6, abs=1e-9)


@given(st.lists(st.floats(20, 95), min_size=2, max_size=10), st.floats(0.1, 3))
def test_a_probe_that_reads_low_is_worth_less(temperatures: list[float], off: float) -> None:
    """Taking degrees off every reading never makes the course worth more."""
    curve = [(float(minute), one) for minute, one in enumerate(temperatures)]
    assert accumulated(Curve.of(curve), LOW_PH, -off) <= accumulated(Curve.of(curve), LOW_PH) + 1e-12
    assume(max(temperatures) > 62)
    assert accumulated(Curve.of(curve), LOW_PH) >= 0


def test_gaps_and_spikes_are_named_and_not_credited() -> None:
    """A hole in the log counts for nothing, a reading far over both neighbours is left out, one far under stays in."""
    curve = [(0.0, 70.0), (1.0, 70.0), (2.0, 70.0), (3.0, 95.0), (4.0, 70.0), (5.0, 70.0), (12.0, 70.0), (13.0, 70.0)]
    what = counted(Curve.of(curve))
    assert what.flaws == (Flaw(3.0, "spike", 95.0), Flaw(5.0, "gap", 7.0))
    assert what.worth(LOW_PH) == pytest.approx(6 * LOW_PH.rate(70.0))  # by hand: 0 to 5 and 12 to 13
    low = [(0.0, 75.0), (1.0, 75.0), (2.0, 61.0), (3.0, 75.0)]
    assert counted(Curve.of(low)).flaws == (Flaw(2.0, "dip", 61.0),)
    assert counted(Curve.of(low)).worth(LOW_PH) == accumulated(Curve.of(low), LOW_PH)
    assert counted(Curve.of(curve[:3])).flaws == ()


def test_nothing_is_credited_over_ten_minutes_or_a_hole() -> None:
    """Two readings 20 minutes apart prove nothing between them, and neither do two with an unreadable one between."""
    assert counted(Curve.of([(0.0, 74.0), (20.0, 74.0)])).worth(LOW_PH) == 0
    assert counted(Curve.of([(0.0, 74.0), (20.0, 74.0)]), longest=20.0).worth(LOW_PH) == pytest.approx(
        20 * LOW_PH.rate(74.0)
    )
    holed = counted(Curve.of([(0.0, 74.0), (1.0, 74.0), (3.0, 74.0), (4.0, 74.0)]), holes=(1.0,))
    assert holed.worth(LOW_PH) == pytest.approx(2 * LOW_PH.rate(74.0))


@given(st.lists(st.floats(40, 95), min_size=3, max_size=40), st.integers(0, 3))
def test_what_counts_is_never_more_than_the_whole(temperatures: list[float], hole: int) -> None:
    """Left-out spikes and gaps take credit away and never give any."""
    curve = [(at + (30.0 if at > hole else 0.0), one) for at, one in enumerate(temperatures)]
    assert counted(Curve.of(curve)).worth(HIGH_PH) <= accumulated(Curve.of(curve), HIGH_PH) * (1 + 1e-9) + 1e-12


@pytest.mark.parametrize(("process", "worth"), [(LOW_PH, 12.37), (HIGH_PH, 12.81)])
def test_a_course_by_an_integral(process: Process, worth: float) -> None:
    """55 62 68 72 74 74 70 64 C every two minutes, by scipy's quad over the rate along straight lines."""
    degrees = [55, 62, 68, 72, 74, 74, 70, 64]
    curve = [(2.0 * at, float(one)) for at, one in enumerate(degrees)]

    def rate(minute: float) -> float:
        at = min(int(minute // 2), len(degrees) - 2)
        here = degrees[at] + (degrees[at + 1] - degrees[at]) * (minute / 2 - at)
        z = process.z_under if here < process.reference else process.z_over
        return float(10 ** ((here - process.reference) / z)) if here >= 60 else 0.0

    pieces = [0, 10 / 7, 2, 4, 6, 8, 10, 12, 14]  # cut where the rate jumps
    by_quad = sum(quad(rate, start, end, limit=200)[0] for start, end in itertools.pairwise(pieces))
    assert counted(Curve.of(curve)).worth(process) == pytest.approx(by_quad, rel=1e-6)
    assert by_quad == pytest.approx(worth, abs=0.01)


def test_minutes_over_a_temperature() -> None:
    """By hand: up from 50 to 70 in 4 min is over 60 for 2, level for 3, down to 40 in 6 min for 2: 7 in all."""
    assert over(Curve.of([(0, 50), (4, 70), (7, 70), (13, 40)]), 60) == pytest.approx(7)


@given(st.lists(st.floats(20, 95), min_size=2, max_size=900))
def test_a_thinned_course_keeps_its_ends_of_heat(temperatures: list[float]) -> None:
    """Of a long log few readings are kept to be drawn, the coldest and the hottest always among them, in order."""
    curve = [(float(at), one) for at, one in enumerate(temperatures)]
    kept = thinned(Curve.of(curve), 60)
    assert len(kept) <= 60
    assert list(kept.points) == sorted(kept.points)
    assert {min(temperatures), max(temperatures)} <= set(kept.degrees)


def test_time_must_run_on() -> None:
    """A course in which time runs backwards is refused."""
    with pytest.raises(ValueError, match="backwards"):
        accumulated(Curve.of([(0.0, 70.0), (-1.0, 70.0)]), LOW_PH)


def kinds_of(*points: tuple[float, float]) -> list[str]:
    """The flaws found in a course of (minute, degrees C)."""
    return [one.kind for one in counted(Curve.of(points)).flaws]


def test_a_gap_is_more_than_three_steps() -> None:
    """Three usual steps without a reading are let pass, and up to ten minutes (common practice, no source)."""
    steady = [(0.0, 74.0), (1.0, 74.0), (2.0, 74.0), (3.0, 74.0)]
    assert kinds_of(*steady, (6.0, 74.0), (7.0, 74.0)) == []
    assert kinds_of(*steady, (6.1, 74.0), (7.1, 74.0)) == ["gap"]
    assert counted(Curve.of([(0.0, 74.0), (10.0, 74.0)])).worth(LOW_PH) == pytest.approx(10 * LOW_PH.rate(74.0))
    assert counted(Curve.of([(0.0, 74.0), (10.1, 74.0)])).worth(LOW_PH) == 0


def test_a_spike_is_more_than_eight_degrees() -> None:
    """A reading 8 C over or under both neighbours stays, one further off is named (common practice, no source)."""
    assert kinds_of((0, 70), (1, 78), (2, 70)) == []
    assert kinds_of((0, 70), (1, 78.5), (2, 70)) == ["spike"]
    assert kinds_of((0, 70), (1, 62), (2, 70)) == []
    assert kinds_of((0, 70), (1, 61.5), (2, 70)) == ["dip"]
    assert kinds_of((0, 60), (1, 70), (2, 80)) == []  # a steep ramp stands over one neighbour only
    assert kinds_of((0, 70), (1, 78.5), (2, 62.5)) == ["spike"]
    assert kinds_of((0, 70), (1, 78.5), (2, 71)) == []


def test_what_a_dip_and_a_spike_take() -> None:
    """A spike is left out, and the line goes on from its neighbours; a dip stays in and takes its credit away."""
    flat = 4 * LOW_PH.rate(74.0)
    spiked = counted(Curve.of([(0, 74), (1, 74), (2, 90), (3, 74), (4, 74)]))
    assert spiked.worth(LOW_PH) == pytest.approx(flat)
    assert 0 < counted(Curve.of([(0, 74), (1, 74), (2, 62), (3, 74), (4, 74)])).worth(LOW_PH) < flat


def test_the_ends_of_the_tables_count() -> None:
    """At 140 F itself heat counts, a degree under it does not; over 180 F a minute is worth what it is at 180 F."""
    low, high = (140 - 32) / 1.8, (180 - 32) / 1.8
    assert LOW_PH.rate(low) == pytest.approx(10 ** (-20 / 19.5))
    assert LOW_PH.rate(low - 0.5) == 0
    assert LOW_PH.rate(high + 5) == LOW_PH.rate(high) == pytest.approx(10 ** (20 / 19.5))
    # a course along a slope and a level one are worth the same in the limit
    for at in (low + 1, high - 1, high + 2):
        slope = accumulated(Curve.of([(0.0, at), (10.0, at + 1e-5)]), LOW_PH)
        assert slope == pytest.approx(10 * LOW_PH.rate(at), rel=1e-4)


def test_minutes_at_the_temperature_itself() -> None:
    """A course that stands at the temperature is over it; one that only touches it is not."""
    assert over(Curve.of([(0, 60), (4, 60)]), 60) == 4
    assert over(Curve.of([(0, 50), (4, 60)]), 60) == 0
    assert over(Curve.of([(0, 60), (4, 70)]), 60) == 4


def test_a_short_course_is_kept_whole() -> None:
    """Nothing is thinned of a course that is short enough."""
    curve = Curve.of([(float(at), 60.0 + at % 7) for at in range(60)])
    assert thinned(curve, 60) is curve
    assert len(thinned(curve, 59)) <= 59


def test_which_table_at_the_edges() -> None:
    """4.1 itself has the milder table and 4.6 the other; above it, and at no pH at all, there is none."""
    assert process_for(4.1) is LOW_PH
    assert process_for(4.11) is HIGH_PH
    assert process_for(4.6) is HIGH_PH
    for wrong in (4.61, 0.0, -1.0):
        with pytest.raises(ValueError, match=r"above pH 4\.6"):
            process_for(wrong)
