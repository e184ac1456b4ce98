"""Rows of temperatures in a line, as spoken in a kitchen and as a probe logs them."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from grammar.logged import LogError, table
from grammar.reader import read
from grammar.series import found as found_in
from grammar.series import step_said
from grammar.types import Misread, Reading

Points = list[tuple[float, float]]


def points(text: str) -> tuple[Points, str]:
    """The readings of a line, and their scale."""
    reading = read(text)
    assert isinstance(reading, Reading)
    assert reading.course is not None
    return list(reading.course.points), reading.course.unit.removeprefix("degree_")[:1]


RISING = [55.0, 62.0, 68.0, 72.0, 74.0, 74.0, 70.0, 64.0]


def every(step: float, values: list[float]) -> Points:
    """Readings so many minutes apart."""
    return [(at * step, value) for at, value in enumerate(values)]


@pytest.mark.parametrize(
    ("text", "step", "unit"),
    [
        ("55 62 68 72 74 74 70 64 every two minutes, ok?", 2, ""),
        ("55,62,68,72,74,74,70,64 every 2 min", 2, ""),
        ("temps were 55, 62, 68, 72, 74, 74, 70 and 64 C, two minutes apart", 2, "C"),
        ("every 30 seconds: 55 62 68 72 74 74 70 64", 0.5, ""),
        ("fifty five sixty two sixty eight seventy two seventy four seventy four seventy sixty four once a minute", 1,
         ""),
        ("55 > 62 > 68 > 72 > 74 > 74 > 70 > 64, every half minute", 0.5, ""),
        ("55C 62C 68C 72C 74C 74C 70C 64C at two minute intervals", 2, "C"),
        ("55 then 62 then 68 then 72 then 74 then 74 then 70 then 64 degrees C every other minute", 2, "C"),
        ("55.0 62.0 68.0 72.0 74.0 74.0 70.0 64.0 a reading every minute", 1, ""),
        ("55,0 62,0 68,0 72,0 74,0 74,0 70,0 64,0 °C every couple of minutes", 2, "C"),
        ("I logged the coldest bottle minute by minute: 55 62 68 72 74 74 70 64", 1, ""),
        ("55 62 68 72 74 74 70 64 twice a minute", 0.5, ""),
    ],
)  # fmt: skip
def test_a_row_with_one_step(text: str, step: float, unit: str) -> None:
    """However the row is divided and the step is said, the same readings come out."""
    assert points(text) == (every(step, RISING), unit)


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("0 min 55, 2 min 62, 4 min 70", [(0, 55), (2, 62), (4, 70)]),
        ("55 at 0 min, 62 at 2 min, 70 at 4 min", [(0, 55), (2, 62), (4, 70)]),
        ("minute 0: 55, minute 2: 62, minute 4: 70", [(0, 55), (2, 62), (4, 70)]),
        ("0:00 55, 2:00 62, 4:30 71.5", [(0, 55), (2, 62), (4.5, 71.5)]),
        ("after 30 s 61, after 60 s 66, after 90 s 71", [(0.5, 61), (1, 66), (1.5, 71)]),
        ("at 1 min it was 61 and at 2 min 66 and at three min seventy", [(1, 61), (2, 66), (3, 70)]),
    ],
)
def test_each_reading_with_its_time(text: str, found: Points) -> None:
    """A time before or after each temperature, in minutes, seconds or minutes:seconds."""
    assert points(text)[0] == found


def test_spoken_hundreds_that_can_be_read_two_ways() -> None:
    """ "One fifty one sixty" is 150 and 160 (not 151 and 60); "seventy one sixty" alone with others under 100 is 71."""
    fahrenheit = "one forty one fifty one sixty one sixty five one sixty every minute"
    assert points(fahrenheit)[0] == every(1, [140, 150, 160, 165, 160])
    assert points("seventy one sixty sixty two every minute")[0] == every(1, [71, 60, 62])


@pytest.mark.parametrize(
    "text",
    [
        "bench trial on 100 g: 2 g 3.75, 4 g 3.6, 6 g 3.5",
        "mix 3 kg at 2.5% with 5 kg at 5% and 4 kg",
        "jars of 60, 70 and 80 ml",
        "packed 20, 30 and 40 kg of reds",
        "pH 3.9, 3.8, 3.7 and 3.6",
        "3 kg of reds, 40 g of garlic and 60 g of salt",
        "hold 10 min at 75 C, or 5 min at 80 C",
        "brine for 2 kg, 3 kg and 4 kg at 3%",
        "20 bottles of 150 ml, 30 of 100 ml and 40 of 50 ml",
        "day 1 at 20 C, day 2 at 22 C, day 3 at 24 C",
    ],
)  # fmt: skip
def test_other_rows_of_numbers_are_none(text: str) -> None:
    """Weights, pH, jars and shares stay what they are."""
    reading = read(text)
    assert isinstance(reading, Misread) or reading.course is None


def test_what_else_a_line_says_is_read() -> None:
    """The pH beside a row is an amount as in any line, with its place in the text."""
    text = "55 62 68 72 every two minutes, pH 3.8"
    reading = read(text)
    assert isinstance(reading, Reading)
    assert [(one.value, text[slice(*one.span)]) for one in reading.amounts] == [(3.8, "3.8")]


def test_a_number_beside_a_row_is_not_lost() -> None:
    """A rest that cannot be read and holds a number is no course: the line is not understood."""
    assert isinstance(read("55 62 68 72 every two minutes, 3 frobs of it"), Misread)


@given(
    st.lists(st.integers(40, 99), min_size=4, max_size=20), st.integers(1, 9), st.sampled_from([" ", ", ", "; ", " / "])
)
def test_any_row_comes_back(values: list[int], step: int, between: str) -> None:
    """Any row of whole degrees, divided in any way, is read as it was written."""
    text = f"{between.join(map(str, values))} every {step} minutes"
    assert points(text)[0] == every(step, [float(one) for one in values])


@pytest.mark.parametrize(
    ("text", "minutes"),
    [
        ("every two minutes", 2),
        ("30 s apart", 0.5),
        ("each minute", 1),
        ("make it every 90 seconds", 1.5),
        ("soon", None),
    ],
)
def test_how_far_apart(text: str, minutes: float | None) -> None:
    """The step on its own, for a row that had none."""
    assert step_said(text) == minutes


# --- logs -----------------------------------------------------------------------------------

LOGS = {
    "seconds since the start": "Elapsed (s),Temp (F)\n0,140\n60,150\n120,165\n",
    "semicolons and decimal commas": "Zeit;Temp °F\n00:00:00;140,0\n00:01:00;150,0\n00:02:00;165,0\n",
    "month first, past midnight, the colder of two probes":
        "Date/Time,Ch1 °F,Ch2 °F\n11/28/2026 11:59:00 PM,141,140\n11/29/2026 12:00:00 AM,150,152\n"
        "11/29/2026 12:01:00 AM,170,165\n",
    "day first, in two columns, with humidity and a number":
        "No,Date,Time,Temp(F),RH\n1,28/11/2026,14:00:00,140,40\n2,28/11/2026,14:01:00,150,40\n"
        "3,28/11/2026,14:02:00,165,40\n",
    "seconds since 1970": "timestamp,temperature_f\n1764320000,140\n1764320060,150\n1764320120,165\n",
    "hours and minutes, degrees in the cells": "14:02 140F\n14:03 150F\n14:04 165F\n",
    "lines about the logger first":
        "Logger X,serial 123\nStarted,2026-11-28\n\nTime,Temperature (°F)\n2026-11-28 14:00:00,140\n"
        "2026-11-28 14:01:00,150\n2026-11-28 14:02:00,165\n",
    "with a time zone": "time,temp_f\n2026-11-28T14:00:00Z,140\n2026-11-28T14:01:00Z,150\n2026-11-28T14:02:00Z,165\n",
    "quoted": '"Time","Temp, F"\n"14:00:00","140"\n"14:01:00","150"\n"14:02:00","165"\n',
    "minutes": "t_min\tprobe_F\r\n0.0\t140\r\n1.0\t150\r\n2.0\t165\r\n",
    "hours": "Elapsed [h],core °F\n0,140\n0.0166666666667,150\n0.0333333333333,165\n",
    "milliseconds": "ms,F\n0,140\n60000,150\n120000,165\n",
    "with a byte order mark": "\ufeffTime,Temp (F)\n14:00:00,140\n14:01:00,150\n14:02:00,165\n",
    "the scale run into the name": "time_s,tempF\n0,140\n60,150\n120,165\n",
    "the scale in a line above": "Unit: F\nTime,Temp\n14:00:00,140\n14:01:00,150\n14:02:00,165\n",
    "highest and lowest: the lowest counts": "Time,Max (F),Min (F)\n14:00,180,140\n14:01,180,150\n14:02,180,165\n",
    "half a day clock": "Time,Temp (F)\n11:59:00 AM,140\n12:00:00 PM,150\n12:01:00 PM,165\n",
}  # fmt: skip


@pytest.mark.parametrize("text", LOGS.values(), ids=LOGS)
def test_logs_in_many_forms(text: str) -> None:
    """Three readings a minute apart, 140, 150 and 165 F, however a logger writes them."""
    course = table(text)
    assert course.unit == "degree_Fahrenheit"
    assert [value for _, value in course.points] == [140, 150, 165]
    assert [minute for minute, _ in course.points] == pytest.approx([0, 1, 2], abs=1e-6)
    assert course.timed
    assert not course.bad


def test_bad_rows_are_named_by_their_line() -> None:
    """A dead probe, a missing cell, a time that runs back: each with the line that it stands in, and left out."""
    text = "Time,Temp (C)\n14:00:00,60\n14:01:00,n/a\n14:02:00,850\n\n14:03:00\nlater,70\n14:04:00,72\n14:03:30,73\n"
    course = table(text)
    assert [value for _, value in course.points] == [60, 72]
    assert [line for line, _ in course.bad] == [3, 4, 6, 7, 9]
    told = " ".join(why for _, why in course.bad)
    assert '"n/a" is no temperature' in told
    assert "850" in told
    assert "a cell is missing" in told
    assert '"later 70" has no time' in told
    assert "before the row above" in told
    assert course.rows == 7


def test_a_row_that_cannot_be_read_leaves_a_hole() -> None:
    """What a dead probe did not see is no straight line: the minute before it is kept as the start of a hole."""
    assert table("Time,C\n14:00:00,74\n14:01:00,lunch\n14:02:00,74\n14:03:00,74\n").holes == (0.0,)


def test_kelvin_is_refused() -> None:
    """No scale is taken for another."""
    with pytest.raises(LogError, match="kelvin"):
        table("Time,Temp (K)\n14:00,333\n14:02,335\n14:04,335\n")


def test_a_ph_beside_a_pasted_log() -> None:
    """A line of its own with the pH is read with the log; a table that is none is not read as words."""
    reading = read("Time,Temp (C)\n14:00,70\n14:02,72\n14:04,75\npH 4.0")
    assert isinstance(reading, Reading)
    assert reading.course is not None
    assert [one.value for one in reading.amounts] == [4.0]
    torn = read("Time,Temp (C)\n14:00,70\npH 4.0")
    assert isinstance(torn, Misread)
    assert torn.why == "log"


def test_of_readings_at_one_time_the_lowest_counts() -> None:
    """A log by the minute with several readings in each."""
    assert table("Time,C\n14:00,60\n14:00,65\n14:01,70\n14:01,68\n").points == ((0, 60), (1, 68))


def test_what_a_log_does_not_say_stays_open() -> None:
    """Neither the scale nor the unit of time is guessed."""
    course = table("0 55\n2 62\n4 68\n")
    assert (course.unit, course.timed) == ("", False)


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("", "no row"), ("salt\npepper\n", "no row"), ("0,55,44\n1,66,44\n2,70,44\n", "which column is the temp"),
        ("t (min),T1 C,T2 F\n0,60,140\n1,61,141\n2,62,142\n", "do not mix"), ("0,55\n", "which column is the time"),
        ("Time,RH %\n14:00:00,40\n14:01:00,41\n14:02:00,42\n", "no column of temperatures"),
        ("Time,C\n14:00:00,40\n14:01:00,x\n13:02:00,42\n", "Fewer than two"),
    ],
)  # fmt: skip
def test_a_table_that_is_no_log(text: str, why: str) -> None:
    """One sentence says what is missing."""
    with pytest.raises(LogError, match=why):
        table(text)


def test_a_pasted_log_is_a_course() -> None:
    """Pasted as one line of talk, a log of any length is read."""
    rows = "\n".join(f"14:{at:02d}:00,{60 + at / 4}" for at in range(60))
    reading = read(f"Time,Temp (C)\n{rows}\n")
    assert isinstance(reading, Reading)
    assert reading.course is not None
    assert len(reading.course.points) == 60


@given(st.lists(st.floats(-30, 120).map(lambda one: round(one, 2)), min_size=3, max_size=60), st.integers(1, 600))
def test_any_log_comes_back(values: list[float], step: int) -> None:
    """Written as seconds and degrees, a course is read as it was."""
    text = "seconds,temp C\n" + "".join(f"{at * step},{value}\n" for at, value in enumerate(values))
    assert [value for _, value in table(text).points] == values


def long_log(changed: str | None = None) -> str:
    """A thousand rows, a second apart, with one of them changed."""
    rows = [
        f"2026-11-28 {9 + at // 3600:02d}:{at // 60 % 60:02d}:{at % 60:02d},{60 + at / 100:.2f},44.5"
        for at in range(1000)
    ]
    if changed is not None:
        rows[700] = changed
    return "Time,Temp (C),RH\n" + "\n".join(rows) + "\n"


def test_a_long_log_is_read_as_a_short_one() -> None:
    """Read column by column or row by row, the same readings come out, the minutes to a billionth."""
    whole = table(long_log())
    assert len(whole.points) == 1000
    assert whole.points[999] == (pytest.approx(999 / 60), 69.99)
    torn = table(long_log("2026-11-28 09:11:40,71.00 C,44.5"))
    assert torn.degrees[:700] + torn.degrees[701:] == whole.degrees[:700] + whole.degrees[701:]
    assert torn.minutes == pytest.approx(whole.minutes, rel=0, abs=1e-8)


@pytest.mark.parametrize(
    ("row", "left"), [("2026-11-28 09:11:40,n/a,44.5", 999), ("2026-11-28 08:11:40,67,44.5", 999), ("", 999),
                      ("2026-11-28 09:11:40,850,44.5", 999), ("2026-11-28 09:11:39,67,44.5", 999)],
)  # fmt: skip
def test_one_bad_row_in_a_long_log(row: str, left: int) -> None:
    """A row that is not like the others is found as in a short log."""
    assert len(table(long_log(row)).points) == left


WORDS = ["zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"]
WORDS += ["thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen"]
TENS = ["twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"]


def in_words(number: int) -> str:
    """A number up to 199 as it is spoken."""
    if number >= 100:
        return f"a hundred and {in_words(number - 100)}" if number > 110 else "a hundred"
    if number < 20:
        return WORDS[number]
    return TENS[number // 10 - 2] + (f" {WORDS[number % 10]}" if number % 10 else "")


@pytest.mark.parametrize("warmest", [30, 31, 39, 45, 60, 85, 99, 100, 112, 150, 199])
@pytest.mark.parametrize("spoken", [str, in_words, lambda one: f"one {in_words(one - 100)}" if one > 109 else str(one)])
def test_no_warm_row_is_passed_over(warmest: int, spoken: object) -> None:
    """A row with one reading of thirty or more is found, whether that one is said in digits or in words."""
    row = f"20 C, 22 C, {spoken(warmest)} C, 25 C every minute"  # type: ignore[operator]
    course = found_in(row)
    assert course is not None
    assert max(value for _, value in course.points) == pytest.approx(warmest)


def test_a_row_that_never_gets_warm_is_none() -> None:
    """Readings that all stay under thirty tell of no heating."""
    assert found_in("20 C, 22 C, 29 C, 25 C every minute") is None
