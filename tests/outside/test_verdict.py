"""What a pH reading proves, against the lines that law and codes print and by hand."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.rules.verdict import LINES, SOUREST, VOID, Sample, Verdict, judge, lead, onward, reasons, taken
from assistant.rules.watch import CALIBRATED_ERROR, METER_ERROR, SCALE, STRIP_ERROR
from tests.helpers import say, value

METHODS = st.sampled_from(["", "meter", "strip"])
CALIBRATED = st.sampled_from(["", "yes", "no"])
SAMPLES = st.builds(
    Sample,
    ph=st.floats(0, 14),
    method=METHODS,
    calibrated=CALIBRATED,
    said=st.just(0.0) | st.floats(0.001, 2),
    warmth=st.none() | st.floats(0, 100),
    warm=st.booleans(),
    early=st.booleans(),
    rested=st.booleans(),
    blended=st.booleans(),
    added=st.sampled_from(["", "garlic"]),
    before=st.booleans(),
    stopped=st.booleans(),
)
"""Anything that may be said of a reading."""


def test_the_three_lines() -> None:
    """The limit of acid food, that of food that is not heated, and the one above which a meter is prescribed."""
    # 21 CFR 114.3: 4.6; FDA Food Code 1-201.10 Table B: 4.2; 21 CFR 114.80(a)(2): 4.0
    assert LINES == (4.6, 4.2, 4.0)


def test_how_far_off_an_instrument_may_be() -> None:
    """A meter's scale, its repeatability where it was calibrated that day, and a strip."""
    # AOAC 981.12 (pH of acidified foods): scale 0.1 pH, repeatability 0.05; the strip is common practice, no source
    assert (METER_ERROR, CALIBRATED_ERROR, STRIP_ERROR) == (0.1, 0.05, 0.5)


@pytest.mark.parametrize(
    ("sample", "lines"),
    [
        # worked by hand: the reading and its error must be below the line, not on it (CXS 260-2007: less than 4.6)
        (Sample(4.6, "meter"), ()),  # 4.7
        (Sample(4.5, "meter"), ()),  # 4.6 touches
        (Sample(4.49, "meter"), (4.6,)),  # 4.59
        (Sample(4.5, "meter", "yes"), (4.6,)),  # 4.55
        (Sample(4.55, "meter", "yes"), ()),  # 4.60 touches
        (Sample(4.1, "meter"), (4.6,)),  # 4.2 touches
        (Sample(4.1, "meter", "yes"), (4.6, 4.2)),  # 4.15
        (Sample(3.9, "meter"), (4.6, 4.2)),  # 4.0 touches
        (Sample(3.9, "meter", "yes"), (4.6, 4.2, 4.0)),  # 3.95
        (Sample(3.9, "", ""), (4.6, 4.2)),  # nobody said with what: taken for a meter, 0.1
        (Sample(3.97, "meter", "", 0.02), (4.6, 4.2, 4.0)),  # 3.99, by what was said of the meter
        (Sample(3.98, "meter", "yes", 0.02), (4.6, 4.2)),  # 4.00 touches
        (Sample(3.85, "meter", "", 0.2), (4.6, 4.2)),  # 4.05
        (Sample(4.0, "strip"), (4.6,)),  # 4.5
        (Sample(3.49, "strip"), (4.6, 4.2, 4.0)),  # 3.99
        (Sample(3.5, "strip", "", 0.2), (4.6, 4.2)),  # 4.0 touches: no strip is better than 0.5 in a red sauce
    ],
)
def test_worked_by_hand(sample: Sample, lines: tuple[float, ...]) -> None:
    """What a reading proves, at the edges."""
    found = judge(sample)
    assert (found.lines, found.void) == (lines, "")


def test_a_strip_above_four_does_not_count() -> None:
    """Above pH 4.0 a meter is prescribed; at 4.0 and below any suitable method will do."""
    # 21 CFR 114.80(a)(2)
    assert judge(Sample(4.01, "strip")).void == "strip"
    assert judge(Sample(4.0, "strip")).void == ""
    assert lead(judge(Sample(4.2, "strip"))).startswith("Does not count")


@pytest.mark.parametrize(
    ("warmth", "void"), [(19.9, "warm"), (20, ""), (25, ""), (30, ""), (30.1, "warm"), (70, "warm")]
)
def test_a_sample_is_read_at_room_temperature(warmth: float, void: str) -> None:
    """Between 20 and 30 C."""
    # 21 CFR 114.90(a)(4), from memory: measure at 20 to 30 C, best 25
    assert judge(Sample(3.5, "meter", "yes", warmth=warmth)).void == void


@pytest.mark.parametrize(
    ("sample", "void"),
    [
        (Sample(3.5, "meter", "no"), "uncalibrated"),
        (Sample(3.5, "meter", "no", 0.02), "uncalibrated"),  # no figure helps a meter that is not calibrated
        (Sample(3.5, early=True), "early"),
        (Sample(3.5, warm=True), "warm"),
        (Sample(3.5, added="garlic"), "added"),
        (Sample(3.5, before=True), "before"),
        (Sample(3.5, stopped=True), "stopped"),
        (Sample(3.5, said=SCALE), "sample"),
    ],
)
def test_what_makes_a_reading_void(sample: Sample, void: str) -> None:
    """A void reading proves nothing, whatever it reads, and says so in its first words."""
    found = judge(sample)
    assert (found.void, found.lines, found.over) == (void, (), False)
    assert lead(found).split()[0] in ("Void:", "Not", "Does")
    assert taken(found) == ""
    assert reasons(3.5, found.off, void)[0][1] is VOID[void]


def test_no_sauce_is_sourer_than_vinegar() -> None:
    """Below the pH of 5 % vinegar a reading is a meter's fault and proves nothing, calibrated or not."""
    # worked by hand: 50 g / 60.05 g/mol = 0.8326 mol/L; sqrt(0.8326 x 10^-4.756) = 0.003821 mol/L: pH 2.42
    assert judge(Sample(2.39, "meter", "yes")).void == "odd"
    assert judge(Sample(2.42, "meter", "yes")).lines == LINES


@given(SAMPLES)
def test_a_band_that_touches_a_line_proves_nothing(sample: Sample) -> None:
    """A line is proven exactly if nothing makes the reading void and its highest possible value is below the line."""
    found = judge(sample)
    for line in LINES:
        assert (line in found.lines) == (not found.void and sample.ph + found.off < line - 1e-9)


def _proven(found: Verdict) -> set[float]:
    return set(found.lines)


@given(st.floats(0, 14), st.floats(0, 14), METHODS, CALIBRATED, st.floats(0.001, 2))
def test_a_higher_reading_never_proves_more(one: float, two: float, method: str, calibrated: str, said: float) -> None:
    """With the same instrument the lower of two readings that can be proves all that the higher one does."""
    low, high = sorted((max(one, SOUREST), max(two, SOUREST)))
    assert _proven(judge(Sample(high, method, calibrated, said))) <= _proven(
        judge(Sample(low, method, calibrated, said))
    )


@given(st.floats(0, 14), METHODS, CALIBRATED, st.floats(0.001, 2), st.floats(0.001, 2))
def test_a_larger_error_never_proves_more(ph: float, method: str, calibrated: str, one: float, two: float) -> None:
    """The better of two instruments proves all that the worse one does."""
    small, large = sorted((one, two))
    assert _proven(judge(Sample(ph, method, calibrated, large))) <= _proven(
        judge(Sample(ph, method, calibrated, small))
    )


@given(st.floats(0, 14))
def test_the_instruments_in_their_order(ph: float) -> None:
    """Calibrated today proves what a meter proves, a meter what a strip does, a stale meter nothing."""
    found = [
        _proven(judge(one))
        for one in (Sample(ph, "meter", "yes"), Sample(ph, "meter"), Sample(ph, "strip"), Sample(ph, "meter", "no"))
    ]
    assert all(more >= less for more, less in itertools.pairwise(found))


@pytest.mark.parametrize("line", ["pH 3.6, 4.1 and 3.9", "pH 4.1, 3.6, 3.9", "pH 3.9 and 4.1"])
def test_readings_are_never_averaged(line: str) -> None:
    """Of several the highest counts: pH is a logarithm and does not average (common practice, no source)."""
    assert value(say(line), "ph", "") == 4.1


@given(SAMPLES)
def test_the_words_promise_nothing(sample: Sample) -> None:
    """The first sentence is the verdict, "proven" is said of no void reading, and no sentence calls a sauce safe."""
    found = judge(sample)
    text = f"{lead(found)} {onward(found)} {taken(found)}".lower()
    assert "safe" not in text
    assert lead(found).startswith("Proven") == bool(found.lines)
    assert len(lead(found)) < 160


@given(SAMPLES)
def test_what_nobody_said_is_named(sample: Sample) -> None:
    """A verdict that counts says what it takes of the instrument and the sample where nobody said it."""
    found, text = judge(sample), taken(judge(sample))
    if found.void:
        return
    assert ("by meter" in text) == (not sample.method)
    assert ("blended" in text) == (not sample.blended)
    assert ("25 C" in text) == (sample.warmth is None)
    assert ("a day after" in text) == (not sample.rested)
    unsaid = sample.method != "strip" and not sample.calibrated
    assert ("good to" in text or "calibrated today" in text) == unsaid


def test_reasons_name_every_line() -> None:
    """Why a reading counts: its band, and where each line comes from."""
    rows = reasons(3.9, 0.1)
    assert "3.9 + 0.1 = 4.0" in rows[0][0]
    told = " ".join(str(source) for _, source in rows)
    assert all(one in told for one in ("CXS 260", "1-201.10", "114.80(a)(2)"))


def test_a_bare_reading_takes_everything_for_granted_aloud() -> None:
    """Of a reading said with nothing else the instrument, blending, warmth and the day's rest are all named."""
    text = taken(judge(Sample(3.9)))
    assert all(one in text for one in ("by meter", "blended", "25 C", "a day after"))


@pytest.mark.parametrize(
    ("sample", "words"),
    [
        # worked by hand: with a calibrated meter's 0.05 in place of 0.1 or 0.5 the next line would be cleared, or not
        (Sample(3.9, "meter"), "4.0 is the aim: a meter calibrated today may show it"),  # 3.95
        (Sample(3.96, "meter"), "4.0 is the aim: give it more days"),  # 4.01
        (Sample(4.1, "meter"), "4.2 is the limit of sauce that is not heated, 4.0 the aim: a meter calibrated today"),
        (Sample(4.16, "meter"), "4.2 is the limit of sauce that is not heated, 4.0 the aim: give it more days"),  # 4.21
        (Sample(4.1, "meter", "yes"), "4.0 is the aim: give it more days"),
        (Sample(4.0, "strip"), "4.2 is the limit of sauce that is not heated, 4.0 the aim: a meter calibrated today"),
        (Sample(3.6, "strip"), "4.0 is the aim: a meter calibrated today"),  # 4.1
        (Sample(3.8, "meter"), "It says nothing of yeast"),  # 3.9
        (Sample(4.7, "meter"), ""),
        (Sample(4.3, "strip"), "Red sauce tints a strip."),
        (Sample(3.8, early=True), "Read a blended sample"),
        (Sample(3.8, warm=True), "Read a blended sample"),
        (Sample(3.8, added="garlic"), ""),
    ],
)
def test_what_to_do_next(sample: Sample, words: str) -> None:
    """A better meter is spoken of where it could show the next line, days and acid where it could not."""
    text = onward(judge(sample))
    assert text.startswith(words)
    assert bool(text) == bool(words)


@pytest.mark.parametrize(
    ("sample", "kept", "instrument", "named"),
    [
        (Sample(3.8), False, True, ("by meter", "good to 0.1", "blended", "25 C", "a day after")),
        (Sample(3.8), True, False, ("good to 0.1", "blended", "25 C")),
        (Sample(3.8, "meter", "", 0.02), False, True, ("calibrated today", "blended", "25 C", "a day after")),
        (Sample(3.8, "meter", "yes"), False, True, ("blended", "25 C", "a day after")),
        (Sample(3.8, "strip"), False, True, ("blended", "25 C", "a day after")),
        (Sample(3.8, "meter", "yes", warmth=25, rested=True, blended=True), False, True, ()),
    ],
)
def test_what_is_taken_for_granted(sample: Sample, kept: bool, instrument: bool, named: tuple[str, ...]) -> None:
    """Exactly what nobody said and the book does not know is named, and nothing where all was said."""
    text = taken(judge(sample), kept=kept, instrument=instrument)
    every = ("by meter", "good to 0.1", "calibrated today", "blended", "25 C", "a day after")
    assert named == tuple(one for one in every if one in text)
    assert bool(text) == bool(named)
