"""A heating told as a course: judged by the pH, moved by a wrong probe or a colder bottle, entered with a batch."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from assistant.batches.events import Heat
from assistant.console.main import main
from assistant.replies import Answer, Ask, Caution, HeatChart, Log, Note, Reply
from assistant.talk.account.which import current
from tests.helpers import kinds, say, talk, value

COURSE = "55 62 68 72 74 74 70 64 every two minutes"
AT_4_0, AT_4_3 = 12.37, 12.81
"""Minutes at 71.1 C that the course is worth by either table: scipy's quad, in tests/outside/test_lethality.py."""


def texts(replies: tuple[Reply, ...]) -> str:
    """All that was said."""
    return " ".join(one.text for one in replies)


@pytest.mark.parametrize(
    "lines",
    [
        (f"{COURSE}, pH 4.0",),
        (COURSE, "4.0"),
        (f"is this enough for pH 4.0: {COURSE}",),
        ("readings of the coldest bottle: 55 62 68 72 74 74 70 64 C", "two minutes", "pH 4"),
        ("temps 55 62 68 72 74 74 70 64", "every two minutes", "it's 4.0"),
        ("0 min 55, 2 min 62, 4 min 68, 6 min 72, 8 min 74, 10 min 74, 12 min 70, 14 min 64, pH 4.0",),
        ("131 143.6 154.4 161.6 165.2 165.2 158 147.2 F every two minutes pH 4.0",),
        ("Time,Temp (C)\n14:00,55\n14:02,62\n14:04,68\n14:06,72\n14:08,74\n14:10,74\n14:12,70\n14:14,64\n", "4.0"),
        ("0 55\n2 62\n4 68\n6 72\n8 74\n10 74\n12 70\n14 64\n", "C", "2 minutes", "4.0"),
    ],
)
def test_the_same_course_told_in_several_ways(lines: tuple[str, ...]) -> None:
    """However it is told, it is worth the same, and what is missing is asked for one by one."""
    replies = say(*lines)
    assert value(replies, "worth", "minute") == pytest.approx(AT_4_0, abs=0.01)
    assert value(replies, "needed", "minute") == pytest.approx(1.2)


def test_a_course_is_told_in_words_and_drawn() -> None:
    """The answer names the hottest point, the time that counts, and what a degree of the probe is worth."""
    replies = say(f"{COURSE}, pH 4.0")
    text = texts(replies)
    assert "Hottest 74 C at minute 8; 12.5 min at 60 C or over" in text
    assert "If the probe shows 1 C too much it is 9.9 min" in text
    (chart,) = [one for one in replies if isinstance(one, HeatChart)]
    assert chart.degrees[4] == 74
    assert "55 C at the start, 74 C at minute 8, 64 C at minute 14" in chart.text


def test_too_little_is_said_first_and_stops() -> None:
    """Two minutes at 66 C are not enough for pH 4.3, and the stop says what becomes of the bottles."""
    replies = say("64 66 66 64 every minute, pH 4.3")
    assert texts(replies).startswith("Not enough: that course is worth")
    assert [one.rule for one in replies if isinstance(one, Caution) and one.severity == "stop"] == ["hold-short"]


def test_just_enough_is_not_proven() -> None:
    """What one degree of the probe would undo is called not proven: 1.23 of 1.2 min at 71.1 C."""
    replies = say("71.2 71.2 71.2 C every 0.6 minutes, pH 3.9")
    assert value(replies, "reach", "") > 1
    assert "not proven" in texts(replies)


@pytest.mark.parametrize("said", ["what about pH 4.2", "make it 4.2", "pH 4.2", "it's 4.2 really"])
def test_another_ph(said: str) -> None:
    """At 4.3 with the meter's error the other table counts: 5.6 min, with its own z."""
    replies = say(f"{COURSE}, pH 4.0", said)
    assert value(replies, "needed", "minute") == pytest.approx(5.6)
    assert value(replies, "worth", "minute") == pytest.approx(AT_4_3, abs=0.01)


def test_above_4_6_no_heat_of_this_kind_will_do() -> None:
    """pH 4.6 with the meter's error is over the limit; the readings are kept for a lower pH."""
    session = talk()
    _, replies = session.say(f"{COURSE}, pH 4.6")
    assert kinds(replies)[-1] == "ask"
    assert "process authority" in texts(replies)
    _, replies = session.say("4.2")
    assert value(replies, "needed", "minute") == pytest.approx(5.6)


def test_a_probe_that_is_off_moves_every_reading() -> None:
    """A degree high takes the worth down to what the course one degree colder has; a degree F is 0.56 C."""
    session = talk()
    session.say(f"{COURSE}, pH 4.0")
    _, replies = session.say("the probe reads 1 degree high")
    colder = say("54 61 67 71 73 73 69 63 every two minutes, pH 4.0")
    assert value(replies, "worth", "minute") == pytest.approx(value(colder, "worth", "minute"))
    _, replies = session.say("the probe reads 1.8 F high")
    assert value(replies, "worth", "minute") == pytest.approx(value(colder, "worth", "minute"))
    _, replies = session.say("no, the thermometer shows 1 C too little")
    warmer = say("56 63 69 73 75 75 71 65 every two minutes, pH 4.0")
    assert value(replies, "worth", "minute") == pytest.approx(value(warmer, "worth", "minute"))


def test_one_cold_bottle_counts_for_the_lot() -> None:
    """Eight degrees under the readings, that bottle is worth a sixth: the coldest counts, never the mean."""
    session = talk()
    session.say(f"{COURSE}, pH 4.2")
    _, replies = session.say("one bottle was only 66")
    assert value(replies, "worth", "minute") < 5.6
    text = texts(replies)
    assert text.startswith("Not enough: that bottle is worth")
    assert "8 C under the readings" in text
    assert "never the mean" in text
    _, replies = session.say("undo")
    assert value(replies, "worth", "minute") == pytest.approx(AT_4_3, abs=0.01)


def test_another_step() -> None:
    """ "No, every minute" halves what the course is worth."""
    session = talk()
    session.say(f"{COURSE}, pH 4.0")
    _, replies = session.say("no, every minute")
    assert value(replies, "worth", "minute") == pytest.approx(AT_4_0 / 2, abs=0.01)


def test_c_or_f_is_asked_where_it_may_be_either() -> None:
    """Up to 102 the figures are C, from 115 on F; between them nobody knows."""
    session = talk()
    _, replies = session.say("95 105 110 110 105 every two minutes, pH 4")
    assert [one.roles for one in replies if isinstance(one, Ask)] == [("temperature",)]
    _, replies = session.say("F")
    assert value(replies, "worth", "minute") == 0
    _, replies = say("140 150 160 165 every minute, pH 4"), ()
    assert "Assume" not in texts(replies)


def test_a_fault_of_the_probe_and_a_hole_are_said() -> None:
    """What stands off and what is missing is named, and not credited."""
    replies = say("0:00 62, 1:00 66, 2:00 95, 3:00 66, 10:00 66, 11:00 66; pH 3.9")
    text = texts(replies)
    assert "95 C at minute 2 stands far over" in text
    assert "No reading for 7 min after minute 3" in text
    assert value(replies, "hottest", "degree_Celsius") == 95


def test_why() -> None:
    """The rate, the table of the pH, and the sum."""
    text = texts(say(f"{COURSE}, pH 4.0", "why"))
    assert "10^((T - 71.1 C) / z)" in text
    assert "12.37 min" in text


@pytest.mark.parametrize("line", [f"{COURSE} and 3 kg of sauce", f"{COURSE}, pH 4.0, pH 4.2"])
def test_a_number_with_no_place_stops_the_line(line: str) -> None:
    """What is said beside the readings is placed or asked about."""
    replies = say(line)
    assert kinds(replies) == ["ask"]
    assert "took none of the line" in texts(replies)


def test_done_enters_it_with_the_open_batch() -> None:
    """Worth, need and course stand in the batch's account, and undo takes them back."""
    session = talk()
    for line in ("new batch of reds in the 8 L crock", "packed 4 kg of reds at 3%", f"{COURSE}, pH 4.0"):
        _, replies = session.say(line)
    assert any('Say "done"' in one.text for one in replies if isinstance(one, Note))
    _, replies = session.say("done")
    assert isinstance(replies[0], Log)
    batch = current(session.now)
    assert batch is not None
    (heat,) = batch.heated
    assert heat.enough
    assert heat.worth == pytest.approx(AT_4_0, abs=0.01)
    _, replies = session.say("done")
    assert not any(isinstance(one, Log) for one in replies)
    session.say("undo")
    batch = current(session.now)
    assert batch is not None
    assert batch.heated == ()


def test_another_question_in_between_closes_the_course() -> None:
    """A bare number after something else is no pH of the course any more."""
    session = talk()
    session.say(COURSE)
    session.say("mash of 4 kg of chillies at 3%")
    _, replies = session.say("2")
    assert not any(isinstance(one, Answer) and one.calculator == "heat-course" for one in replies)


BATCH = ("new batch of reds in the 8 L crock", "packed 4 kg of reds at 3%")


def heated(*lines: str) -> int:
    """How many heatings are in the book after these lines."""
    session = talk()
    for line in (*BATCH, *lines):
        session.say(line)
    batch = current(session.now)
    assert batch is not None
    return len(batch.heated)


@pytest.mark.parametrize(
    "line", ["held it 10 minutes at 82 C, pH 3.8", "heated it, hold was 82 C for 10 minutes, pH 3.8"]
)
def test_a_hold_told_as_done_is_entered(line: str) -> None:
    """What was done is a heating of two readings."""
    assert heated(line, "done") == 1


@pytest.mark.parametrize(
    "line",
    [
        "what if I held it 75 C for 10 minutes pH 3.6", "planning to hold it 75 C for 10 minutes, pH 3.8",
        "I will hold it 75 C for 10 minutes, pH 3.8", "82 C for 10 minutes at pH 3.2, enough?",
        "how long do I hold it at 75 C for pH 3.8", "hold at 82 C for 10 minutes, pH 3.9",
    ],
)  # fmt: skip
def test_a_hold_that_is_only_asked_or_planned_is_not(line: str) -> None:
    """Supposed, planned and asked heat is none."""
    assert heated(line, "done") == 0


def test_a_lower_ph_than_the_books_enters_nothing() -> None:
    """Judged by 3.6 while the book says 4.4, the heating waits for the reading that shows it."""
    session = talk()
    for line in (*BATCH, "pH 4.4 by meter, calibrated today"):
        session.say(line)
    _, replies = session.say(f"{COURSE}, pH 3.6")
    assert "heat-other-ph" in [one.rule for one in replies if isinstance(one, Caution)]
    session.say("done")
    batch = current(session.now)
    assert batch is not None
    assert batch.heated == ()


def test_what_goes_in_after_the_heating_was_not_heated() -> None:
    """Garlic added on the same day ends the credit of the heating: the label keeps it cold, the gate stays shut."""
    session = talk()
    for line in (*BATCH, f"{COURSE}, pH 3.8", "done"):
        session.say(line)
    batch = current(session.now)
    assert batch is not None
    assert batch.held
    session.say("added 500 g of fresh garlic with 15 g of salt")
    batch = current(session.now)
    assert batch is not None
    assert not batch.held
    assert "Keep refrigerated" in texts(session.say("storage line on the label")[1])


def test_done_before_the_ph_is_known_asks_for_it() -> None:
    """The course is not lost, and nothing is entered."""
    session = talk()
    for line in (*BATCH, COURSE):
        session.say(line)
    _, replies = session.say("done")
    assert kinds(replies) == ["ask"]
    assert value(session.say("4.0")[1], "worth", "minute") == pytest.approx(AT_4_0, abs=0.01)


def test_a_probe_and_a_ph_in_one_line() -> None:
    """The pH stays the pH: 158 162 165 F less 2 F (worked by hand: 156, 160, 163 F)."""
    replies = say("158 162 165 every 2 minutes, pH 4.0, probe reads 2 high")
    same = say("156 160 163 F every 2 minutes, pH 4.0")
    assert value(replies, "worth", "minute") == pytest.approx(value(same, "worth", "minute"))


def test_hotter_than_a_pot_can_be() -> None:
    """121 C is no sauce in an open pot: the scale is asked for."""
    assert kinds(say("121 121 121 C every minute pH 4")) == ["ask"]


def test_a_file_without_a_scale_is_asked_about() -> None:
    """85 to 90 with no scale may be a hot day in F."""
    assert kinds(say("Time,Temp\n14:00,85\n14:02,90\n14:04,88\npH 4"))[0] == "ask"


@pytest.mark.parametrize(
    "line",
    [
        "one sixty five F for ten minutes at pH four point three enough?", "how hot for 1 second at pH 4.3",
        "pH 3.9 tomorrow", "how long at 75 for pH 3.8", "what if pH 3.6",
    ],
)  # fmt: skip
def test_a_question_with_a_ph_is_no_reading(line: str) -> None:
    """Nothing is noted of what was only asked or supposed."""
    assert not any(isinstance(one, Log) for one in say(line))


def test_and_another_ph_asks_once_more() -> None:
    """ "And pH 3.6" after a hold is the hold anew: 0.6 min at 75 C."""
    replies = say("how long do I hold it at 75 C for pH 4.4", "and pH 3.6")
    assert value(replies, "needed", "minute") == pytest.approx(0.6)


def test_chilled_bottles_gather_no_heat() -> None:
    """Cooled in ice water, the sum for still air is stopped."""
    replies = say("85 C sauce into 20 C bottles 140 g 148 ml, pH 3.8, cooled in ice water")
    assert "filled-chilled" in [one.rule for one in replies if isinstance(one, Caution) and one.severity == "stop"]


def test_one_cleaner_is_not_as_strong_as_the_other() -> None:
    """The bleach's strength is not the iodophor's, and a capful has no size."""
    replies = say("8.25% bleach, 100 ppm in 5 litres", "iodophor 12.5 ppm in 10 litres")
    assert kinds(replies) == ["ask"]
    replies = say("how many ppm is 10 ml of 5.25% bleach in 10 litres", "a capful of bleach in 5 litres")
    assert not any(isinstance(one, Answer) for one in replies)


LOG = "Time,Temp (C)\n14:00,55\n14:02,62\n14:04,68\n14:06,72\n14:08,74\n14:10,74\n14:12,70\n14:14,64\n"


def test_a_log_from_a_file(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """``crockside heat`` judges a CSV, asks for the pH by its exit code, and says what it cannot read."""
    file = tmp_path / "probe.csv"
    file.write_text(LOG)
    assert main(["heat", str(file), "--ph", "4.0"]) == 0
    assert "worth 12.3 min" in capsys.readouterr().out
    assert main(["heat", str(file)]) == 3
    assert "Which pH" in capsys.readouterr().out
    assert main(["heat", str(file), "--fahrenheit", "--ph", "4.0"]) == 0
    assert "Not enough" in capsys.readouterr().out
    file.write_text("0 55\n2 62\n4 75\n")
    assert main(["heat", str(file), "--celsius", "--ph", "4", "--every", "120"]) == 0
    assert "at minute 4" in capsys.readouterr().out
    file.write_text("salt\n")
    assert main(["heat", str(file)]) == 1
    assert "no row with a time" in capsys.readouterr().err
    assert main(["heat", str(tmp_path / "none.csv")]) == 1
    assert "cannot be read" in capsys.readouterr().err


def test_a_log_is_entered_with_a_batch(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """``--enter`` writes it in the book; without a pH nothing is entered; an unknown batch is refused."""
    file, book = tmp_path / "probe.csv", tmp_path / "my.book"
    file.write_text(LOG)
    assert main(["--book", str(book), "ask", "new batch of reds in the 8 L crock"]) == 0
    assert main(["--book", str(book), "heat", str(file), "--enter", "1"]) == 3
    assert main(["--book", str(book), "heat", str(file), "--ph", "4", "--enter", "nobody"]) == 1
    capsys.readouterr()
    assert main(["--book", str(book), "heat", str(file), "--ph", "4", "--enter", "1"]) == 0
    assert "Entered with reds" in capsys.readouterr().out
    assert main(["--book", str(book), "export"]) == 0
    events = [json.loads(one) for one in capsys.readouterr().out.splitlines()]
    assert [one.get("kind") for one in events].count(Heat.kind) == 1
    page = tmp_path / "sheet.html"
    assert main(["--book", str(book), "sheet", "1", "--to", str(page)]) == 0
    assert "Temperature by minute" in page.read_text()


BY_CLOCK = "10:00 65 C, 10:05 70 C, 10:10 72 C, 10:15 73 C, 10:20 73 C"


def test_a_log_by_the_clock_is_hours_and_minutes() -> None:
    """Five minutes between readings, not five seconds: the same as with the step said, and how it was read is said."""
    replies = say(f"{BY_CLOCK}, pH 3.9")
    stepped = say("65 70 72 73 73 C every five minutes, pH 3.9")
    assert value(replies, "worth", "minute") == pytest.approx(value(stepped, "worth", "minute"))
    assert "10:00 and 10:05 are hours and minutes by the clock" in texts(replies)


@pytest.mark.parametrize("said", ["minutes and seconds", "no, it's mm:ss", "that was a stopwatch"])
def test_the_other_reading_of_its_times(said: str) -> None:
    """A log that was minutes and seconds after all is worth a sixtieth."""
    session = talk()
    _, by_clock = session.say(f"{BY_CLOCK}, pH 3.9")
    _, replies = session.say(said)
    assert value(replies, "worth", "minute") == pytest.approx(value(by_clock, "worth", "minute") / 60)
    _, replies = session.say("hours and minutes")
    assert value(replies, "worth", "minute") == pytest.approx(value(by_clock, "worth", "minute"))


@pytest.mark.parametrize(
    ("said", "worth"), [("minutes and seconds", 2.888), ("since the start", 2.888), ("by the clock", 0.0)]
)
def test_times_that_may_be_either_are_asked_about(said: str, worth: float) -> None:
    """From one to four in ones: a reading a minute, or one an hour, over which nothing is credited.

    Worked by hand, log means of the rates 10^((T - 71.11) / 10.83) at 65, 70, 72 and 73 C (0.273, 0.790, 1.208,
    1.494): (0.790 - 0.273) / ln(0.790 / 0.273) = 0.486, 0.984 and 1.346, together 2.82.
    """
    session = talk()
    _, replies = session.say("1:00 65, 2:00 70, 3:00 72, 4:00 73; pH 3.9")
    assert kinds(replies) == ["ask"]
    assert "1:00 and 2:00 hours and minutes by the clock, or minutes and seconds" in texts(replies)
    _, replies = session.say(said)
    assert value(replies, "worth", "minute") == pytest.approx(worth, abs=0.1)


@pytest.mark.parametrize(
    "lines",
    [
        ("12:05 68.5", "12:10 70", "12:15 72 C", "pH 3.9"),
        ("12:05 68.5 C", "12:10 70", "12:15 72 pH 3.9"),
        ("12:05 68.5 C pH 3.9", "12:10 70", "12:15 72"),
        ("12:55 - 68.5", "at 1:00 it was 70", "1:05: 72", "done", "3.9"),
    ],
)
def test_one_reading_in_each_line(lines: tuple[str, ...]) -> None:
    """A log said reading by reading is the course that it is in one line."""
    replies = say(*lines)
    whole = say("68.5 70 72 C every five minutes, pH 3.9")
    assert value(replies, "worth", "minute") == pytest.approx(value(whole, "worth", "minute"))


def test_two_readings_may_be_all() -> None:
    """Two readings wait for a third, for a pH, or for the word that there is no more."""
    session = talk()
    _, replies = session.say("14:05 70 C")
    assert "1 reading, the last 70" in texts(replies)
    _, replies = session.say("14:10 72 C")
    assert "2 readings, the last 72" in texts(replies)
    _, replies = session.say("that's all")
    assert "Which pH" in texts(replies)


_AFTERNOON = "2:30pm 70, 2:35pm 82, 2:40pm 84, 2:45pm 80"


def _worth(replies: tuple[Reply, ...]) -> float:
    return value(replies, "worth", "minute")


@pytest.mark.parametrize(
    "lines",
    [
        ("2:30pm 70", "2:35pm 82", "2:40 84", "2:45 pm 80", "pH 3.8"),
        ("2:30 70", "2:35pm 82", "2:40 84", "2:45 80", "pH 3.8"),
        ("2.30pm 70", "2.35pm 82", "2.40 p.m. 84", "2.45 pm 80", "pH 3.8"),
        ("2.30pm 70, 2.35pm 82, 2.40 pm 84, 2.45pm 80, pH 3.8",),
        ("14:30 70", "2:35 pm 82", "2:40 pm 84", "2:45 pm 80", "pH 3.8"),
        ("2pm 70", "2.05pm 82", "2:10 84", "2:15 pm 80", "pH 3.8"),
        ("70 at 2 pm, 82 at 2.05 pm, 84 at 2.10pm, 80 at 2:15, pH 3.8",),
        ("11:50 am 70", "11:55 82", "12:00 84", "12:05pm 80", "pH 3.8"),
    ],
)
def test_an_afternoon_that_is_said_now_and_then(lines: tuple[str, ...]) -> None:
    """A time without its "pm" goes on from the one before it, and with a point it is the same: no reading is lost."""
    session, whole = talk(), talk()
    for line in lines:
        _, replies = session.say(line)
    _, wanted = whole.say(f"{_AFTERNOON}, pH 3.8")
    assert _worth(replies) == pytest.approx(_worth(wanted))


def test_readings_that_are_left_behind_are_named() -> None:
    """A reading before those that were told begins anew, and what it leaves behind is said."""
    session = talk()
    session.say("2:30pm 70")
    _, replies = session.say("2:20pm 82")
    assert isinstance(replies[0], Note) and "without 70" in replies[0].text


def test_a_clock_and_a_count_of_minutes_are_not_mixed() -> None:
    """ "20 min" beside "2 pm" is since when? The line is not taken, and no course is made of it."""
    session = talk()
    _, replies = session.say("2pm 70, 2.05pm 75, 20 min 76, ph 3.9")
    assert kinds(replies) == ["misread"]
