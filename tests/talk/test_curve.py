"""A bench trial told point by point: read, corrected, asked about, and entered nowhere."""

from __future__ import annotations

import pytest

from assistant.replies import Answer, Ask, Log
from tests.helpers import kinds, say, talk, value

ONE_LINE = "bench trial on 100 g: 0 g 3.9, 2 g 3.75, 4 g 3.6, 6 g 3.48, want 3.5 in 6 kg"


@pytest.mark.parametrize(
    "lines",
    [
        (ONE_LINE,),
        ("bench trial of 100 g of sauce, pH 3.9 to start", "2 g, 3.75", "another 2 g, 3.6", "2 g more 3.48",
         "how much for 3.5 in 6 kg"),
        ("bench trial 100 g, 2 g steps: 3.9, 3.75, 3.6, 3.48", "i want 3.5 in 6 kg"),
        ("100 g sample, 0 g pH 3.9, 2 g of vinegar pH 3.75, 4 g pH 3.6, 6 g pH 3.48", "want 3.5", "6 kg"),
        ("bench trial: 100 g of sauce at pH 3.9, 2 g of vinegar 3.75, 4 g 3.6", "6 g gives 3.48",
         "want 3.5 in 6 kilos"),
        ("bench trial on 100 g, pH 3.9 to start", "after 2 g it's 3.75", "at 4 g it read 3.6", "pH 3.48 after 6 g",
         "what for 3.5 in 6 kg"),
        ("bench trial on a hundred grams, three point nine to start", "two grams three point seven five",
         "four grams three point six", "six grams three point four eight", "I want three point five in six kilos"),
    ],
)  # fmt: skip
def test_the_same_trial_said_in_several_ways(lines: tuple[str, ...]) -> None:
    """However it is told, 5.67 g in 100 g is 340 g in 6 kg (worked by hand: 4 + 0.1 / 0.12 x 2, x 60)."""
    assert value(say(*lines), "dose", "gram") == pytest.approx(340, abs=0.1)


def test_corrections_and_the_way_back() -> None:
    """Another pH, another batch, a reading put right; undo takes each back."""
    session = talk()
    session.say(ONE_LINE)
    _, replies = session.say("make it 3 kg")
    assert value(replies, "dose", "gram") == pytest.approx(170, abs=0.1)
    _, replies = session.say("what about 3.6")
    assert value(replies, "dose", "gram") == pytest.approx(120, abs=0.1)
    _, replies = session.say("6 g was 3.4")
    _, replies = session.say("want 3.5")
    # worked by hand: 4 + 0.1 / 0.2 x 2 = 5 g in 100 g
    assert value(replies, "dose", "gram") == pytest.approx(150, abs=0.1)
    for _ in range(2):
        session.say("undo")
    _, replies = session.say("want 3.5")
    assert value(replies, "dose", "gram") == pytest.approx(170, abs=0.1)


@pytest.mark.parametrize(
    ("before", "line"),
    [
        ("bench trial on 100 g, 0 g 3.9, 2 g 3.8", "2 g, 3.7"),  # in all, or 2 g more?
        ("bench trial on 100 g, 0 g 3.9, 2 g 3.8", "pH 3.7"),  # the trial's, or the batch's?
        ("bench trial on 100 g, 0 g 3.9, 2 g 3.8", "200 g 3.7"),  # more than the sample
        ("bench trial on 100 g, 0 g 3.9, 2 g 3.8", "4 g 5 g 3.7"),  # two weights and one pH
        ("bench trial on 100 g, 0 g 3.9", "want 3.7 in 6 kg"),  # one point
        ("convert 2 kg to pounds", "bench trial: 2 g 3.8"),  # in how much?
    ],
)
def test_what_is_left_open_is_asked(before: str, line: str) -> None:
    """No number is guessed: it is asked, and the series stands as it was."""
    session = talk()
    session.say(before)
    held = session.talk.now.curve
    _, replies = session.say(line)
    assert any(isinstance(one, Ask) for one in replies)
    assert not any(isinstance(one, Answer | Log) for one in replies)
    now = session.talk.now.curve
    assert (now.points if now else ()) == (held.points if held else ())


@pytest.mark.parametrize("wanted", ["3.3", "4.2"])
def test_nothing_outside_the_trial(wanted: str) -> None:
    """A pH that was not measured gets no dose, but the range and what to do."""
    replies = say(ONE_LINE, f"what about {wanted}")
    assert kinds(replies) == ["refuse"]
    assert "3.9 to 3.48" in replies[0].text


def test_a_reading_that_cannot_be() -> None:
    """A pH that rises by more than two errors names the two readings."""
    replies = say("bench trial on 100 g: 0 g 3.9, 2 g 3.6, 4 g 3.95, want 3.7 in 6 kg")
    assert not any(isinstance(one, Answer) for one in replies)
    assert any("2 g, pH 3.6" in one.text and "4 g, pH 3.95" in one.text for one in replies)


BATCH = "new batch of 2 kg of reds in a 3 L jar at 3%"


def test_the_trial_is_no_reading_of_the_batch() -> None:
    """What is read on the bench is entered nowhere; a reading of the batch in its middle is."""
    session = talk()
    session.say(BATCH)
    for line in ("bench trial on 100 g with vinegar, pH 3.9 to start", "2 g, 3.75", "pH 3.6", "4 g 3.6"):
        session.say(line)
        assert session.talk.wrote == ()
    _, replies = session.say("want 3.7")
    assert session.talk.wrote == ()
    assert value(replies, "dose", "gram") == pytest.approx(2060 * 0.026667, abs=0.1)
    _, replies = session.say("pH of the batch 3.8 by meter")
    assert "log" in kinds(replies)
    _, replies = session.say("4 g 3.62")
    assert "log" not in kinds(replies) or "Entered nowhere" in replies[0].text


def test_the_dose_is_entered_when_it_is_in() -> None:
    """ "Done" enters the dose; the strength of the vinegar is asked for first."""
    session = talk()
    for line in (BATCH, "bench trial on 100 g with vinegar: pH 3.9 to start, 2 g 3.75, 4 g 3.6", "want 3.7"):
        session.say(line)
    _, replies = session.say("done")
    assert any("strong" in one.text for one in replies)
    _, replies = session.say("5%")
    assert any(isinstance(one, Log) and "5% vinegar" in one.text for one in replies)


def test_a_half_told_trial_survives() -> None:
    """A talk that is said again line by line stands where it stood."""
    lines = ("bench trial of 100 g of sauce, pH 3.9 to start", "2 g, 3.75", "another 2 g, 3.6")
    first, second = talk(), talk()
    for session in (first, second):
        for line in lines:
            session.say(line)
    assert first.talk.now.curve == second.talk.now.curve
    assert first.talk.now.curve is not None
    assert len(first.talk.now.curve.points) == 3


def test_one_pair_is_the_ratio_alone() -> None:
    """A single dose and no pH goes to the ratio, with no curve opened."""
    session = talk()
    _, replies = session.say("bench trial: 200 g took 6 g of vinegar, for 13 kg of sauce")
    assert value(replies, "needed", "gram") == pytest.approx(390)
    assert session.talk.now.curve is None


def test_a_trial_begun_bare_and_asked_for_again() -> None:
    """A sample alone, then pH by pH; another line between; a wish is no reading of the batch."""
    session = talk()
    for line in (BATCH, "bench trial on 100 g", "3.9", "2 g 3.8", "4 g 3.7", "pH 3.8 in the jar"):
        session.say(line)
    _, replies = session.say("want 3.75")
    assert session.talk.wrote == ()
    # worked by hand: 3 g in 100 g is 61.8 g in 2.06 kg
    assert value(replies, "dose", "gram") == pytest.approx(61.8, abs=0.1)


def test_a_dose_by_volume() -> None:
    """Millilitres from a syringe are counted as vinegar, and said so."""
    replies = say("bench trial on 100 g: 2 ml 3.8, 4 ml 3.7, start 3.9, want 3.75 in 3 kg")
    # worked by hand: 3 mL x 1.0054 g/mL in 100 g is 90.5 g in 3 kg
    assert value(replies, "dose", "gram") == pytest.approx(90.5, abs=0.1)
    assert any("1.005 g" in one.text for one in replies)


def test_another_acid_by_the_same_trial() -> None:
    """Citric acid for the same pH, by the charge that the trial's vinegar brought."""
    lines = ("bench trial on 100 g with 5% vinegar: 0 g 3.9, 2 g 3.75, 4 g 3.6, 6 g 3.48, want 3.5 in 6 kg",)
    # worked by hand: 5.667 g of vinegar in 100 g bring 0.04693 mol/kg of acetic acid, 5.25 % of it dissociated at 3.5;
    # citric acid carries 0.749 charges there: 0.04693 x 0.0525 / 0.749 x 192.12 g x 6 kg = 3.79 g (3.76 on the
    # straight line of the charge between the two readings)
    assert value(say(*lines, "citric acid instead"), "other_dose", "gram") == pytest.approx(3.78, abs=0.03)
    replies = say(lines[0].replace("5% ", ""), "what if i use citric acid instead")
    assert kinds(replies) == ["ask"]


@pytest.mark.parametrize(
    "line",
    [
        "added 2 g vinegar to 100 g, ph 3.6",
        "2 g of vinegar in 100 g gives ph 3.6",
        "ph 3.6 with 2 g vinegar in 100 g",
        "ph went to 3.6 after 2 g in 100 g",
        "ph 3.6 after 2 g of vinegar in 100 g sauce, what for 3 kg",
    ],
)
def test_the_ph_of_a_small_dosed_sample_proves_nothing_of_the_batch(line: str) -> None:
    """What 100 g read after 2 g went in is a point of a trial: no verdict on the sauce, and nothing is dropped."""
    session = talk()
    session.say("new batch of reds, packed 5 kg at 3%")
    _, replies = session.say(line)
    said = " ".join(one.text for one in replies)
    assert "Trial of 100 g: 2 g pH 3.6. Entered nowhere." in said
    assert "Proven" not in said and "did not use" not in said


def test_a_trial_told_line_by_line_with_its_sample_goes_on() -> None:
    """By a straight line between 2 g (3.6) and 4 g (3.4), 3.5 is 3 g in 100 g: 3 / 100 x 6 kg = 180 g (by hand)."""
    session = talk()
    for line in ("2 g of vinegar in 100 g, ph 3.6", "2 more g in the 100 g, ph 3.4", "want 3.5 in 6 kg"):
        _, replies = session.say(line)
    assert any(one.text.startswith("180 g of vinegar for 6 kg") for one in replies)


@pytest.mark.parametrize("line", ["added 100 g of 5% vinegar to 5 kg, ph 3.6", "2 g in 100 g at ph 3.6"])
def test_a_batch_or_a_ph_before_the_dose_is_no_point(line: str) -> None:
    """What is as large as a batch, or a pH that was there before, opens no trial."""
    session = talk()
    _, replies = session.say(line)
    assert not any(one.text.startswith("Trial") for one in replies)


@pytest.mark.parametrize(
    "line",
    [
        "pH of the trial is 3.6", "the trial jar reads pH 3.6", "pH 3.6 in the 100 g test",
        "the pH in my small test: 3.6",
        "trial sample pH 3.6 by meter",
    ],
)  # fmt: skip
def test_a_trials_ph_is_no_verdict_on_the_sauce(line: str) -> None:
    """A sample that something went into proves nothing of the rest: nothing is noted, and it says how each is told."""
    session = talk()
    (only,) = session.say(line)[1]
    assert only.kind == "ask"
    assert only.text.endswith('for example "pH 3.9 by meter".')
    assert "ask" in [one.kind for one in session.say("is 82.2 C for 10 minutes enough")[1]]  # of which pH


@pytest.mark.parametrize(
    "line", ["my test batch reads pH 3.6 by meter", "pH 3.9 on the test strip", "pH test says 3.8"]
)
def test_what_is_only_called_a_test_is_a_reading(line: str) -> None:
    """A test strip measures the sauce, and a test batch is one."""
    assert "log" in [one.kind for one in talk().say(line)[1]]
