"""A bench curve: doses by hand, monotone whatever the noise, and never outside what was measured."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.trade.acid import ACETIC, LACTIC, ph
from assistant.trade.bench_curve import Point, RisesError, band, dose_for, level, ph_after

CURVE: tuple[Point, ...] = ((0.0, 3.9), (0.002, 3.75), (0.004, 3.6), (0.006, 3.48))


@pytest.mark.parametrize(
    ("wanted", "grams"),
    # worked by hand: 4 + (3.6 - 3.5) / (3.6 - 3.48) x 2; 2 + (3.75 - 3.7) / 0.15 x 2; at the points themselves
    [(3.5, 5.6667), (3.7, 2.6667), (3.9, 0.0), (3.6, 4.0), (3.48, 6.0)],
)
def test_a_dose_by_hand(wanted: float, grams: float) -> None:
    """A straight line between the two readings beside the pH."""
    found = dose_for(CURVE, wanted)
    assert found is not None
    assert 1000 * found.dose == pytest.approx(grams, abs=0.0001)


def test_the_band_of_the_meter() -> None:
    """The doses for the pH a reading's error higher and lower; none where nothing was measured."""
    found = band(CURVE, 3.6, 0.1)
    assert found is not None
    # worked by hand: 3.7 is at 2.667 g, 3.5 at 5.667 g
    assert found.least == pytest.approx(0.0026667, abs=1e-6)
    assert found.most == pytest.approx(0.0056667, abs=1e-6)
    low = band(CURVE, 3.5, 0.1)
    assert low is not None
    assert low.most is None  # 3.4 was not measured


@pytest.mark.parametrize("wanted", [3.95, 3.47, 2.0, 7.0])
def test_nothing_outside_what_was_measured(wanted: float) -> None:
    """No dose above the first reading or below the last."""
    assert dose_for(CURVE, wanted) is None
    assert band(CURVE, wanted, 0.05) is None


def test_small_rises_are_levelled_and_large_ones_refused() -> None:
    """Two readings the wrong way round share their mean (pooled violators); a rise no meter makes is an error."""
    # worked by hand: 3.70 and 3.75 both become 3.725
    levelled = level(((0.0, 3.9), (0.002, 3.7), (0.004, 3.75), (0.006, 3.5)), 0.05)
    assert [one[1] for one in levelled] == pytest.approx([3.9, 3.725, 3.725, 3.5])
    flat = dose_for(levelled, 3.725)
    assert flat is not None
    assert flat.dose == pytest.approx(0.004)  # the larger of the doses that the flat allows
    with pytest.raises(RisesError):
        level(((0.0, 3.9), (0.002, 3.7), (0.004, 3.9)), 0.05)


@pytest.mark.parametrize("points", [(), ((0.0, 3.9),), ((0.002, 3.9), (0.002, 3.8)), ((0.004, 3.9), (0.002, 3.8))])
def test_no_curve_of_too_little(points: tuple[Point, ...]) -> None:
    """One point is no curve, and doses must rise."""
    with pytest.raises(ValueError, match="two points"):
        level(points, 0.1)


@settings(deadline=None)
@given(
    st.lists(st.floats(0.0005, 0.005), min_size=2, max_size=8), st.lists(st.floats(0, 0.3), min_size=8, max_size=8),
    st.lists(st.floats(-0.04, 0.04), min_size=8, max_size=8), st.floats(0, 1),
)  # fmt: skip
def test_monotone_and_inside(steps: list[float], falls: list[float], noise: list[float], part: float) -> None:
    """Whatever the noise: a falling curve, doses within the trial, more acid for a lower pH, a band around the dose."""
    points, dose, now = [], 0.0, 4.5
    for step, fall, off in zip(steps, falls, noise, strict=False):
        points.append((dose, now + off))
        dose, now = dose + step, now - fall
    curve = level(points, 0.05)
    levels = [one[1] for one in curve]
    assert levels == sorted(levels, reverse=True)
    wanted = levels[-1] + part * (levels[0] - levels[-1])
    found = band(points, wanted, 0.05)
    assert found is not None
    assert points[0][0] <= found.at.dose <= points[-1][0]
    assert found.least is None or found.least <= found.at.dose + 1e-12
    assert found.most is None or found.at.dose <= found.most + 1e-12
    back = ph_after(curve, found.at.dose)
    assert back is not None
    assert back == pytest.approx(wanted, abs=1e-9)


@settings(deadline=None, max_examples=40)
@given(st.floats(0.05, 0.2), st.floats(0.3, 0.7), st.floats(0.1, 0.9))
def test_a_known_buffer(lactic: float, neutral: float, part: float) -> None:
    """Of a lactic buffer whose curve is known from its charge balance the dose read off lies within the band.

    Eight points of acetic acid; the true dose for a pH between them is found by the same balance that
    ``tests/outside/test_acid.py`` holds against PHREEQC.
    """

    def at(acetic: float) -> float:
        return ph({LACTIC: lactic, ACETIC: acetic}, strong=neutral * lactic)

    doses = [0.02 * step for step in range(8)]
    points = [(one, at(one)) for one in doses]
    true = doses[-1] * part
    found = band(points, at(true), 0.02)
    assert found is not None
    assert (found.least or 0.0) - 1e-9 <= true <= (found.most if found.most is not None else doses[-1]) + 1e-9


def test_a_rise_of_both_errors_is_levelled() -> None:
    """Two readings each off by the meter's error can stand that far the wrong way round, and no further."""
    # worked by hand: 3.70 + 0.05 = 3.75 = 3.80 - 0.05
    assert [one[1] for one in level(((0.0, 3.7), (0.002, 3.8)), 0.05)] == pytest.approx([3.75, 3.75])
    with pytest.raises(RisesError) as caught:
        level(((0.0, 3.9), (0.002, 3.7), (0.004, 3.81)), 0.05)
    assert (caught.value.before, caught.value.after) == ((0.002, 3.7), (0.004, 3.81))


def test_the_ph_after_a_dose() -> None:
    """Read on the same straight lines as the dose, at both ends too, and nowhere outside them."""
    # worked by hand: half way from 3.75 to 3.6; a quarter of the way from 3.6 to 3.48
    for dose, expected in ((0.0, 3.9), (0.003, 3.675), (0.0045, 3.57), (0.006, 3.48)):
        assert ph_after(CURVE, dose) == pytest.approx(expected)
    assert ph_after(CURVE, 0.0061) is None
    assert ph_after(CURVE, -0.0001) is None
