"""Times of two numbers: hours and minutes, or minutes and seconds; one rule for what is said and logged."""

from __future__ import annotations

import pytest

from grammar.clock import CLOCK, COUNT, HALF_DAY, OPEN, Clock, kind
from grammar.logged import table
from grammar.series import found as found_in

ROWS = {
    "five minutes from ten o'clock": (["10:00", "10:05", "10:10"], CLOCK, [0, 5, 10]),
    "a minute from five past twelve": (["12:05", "12:06", "12:07"], CLOCK, [0, 1, 2]),
    "past midnight": (["23:55", "0:00", "0:05"], "", [0, 5, 10]),
    "past one on a dial": (["12:55", "1:00", "1:05"], "", [0, 5, 10]),
    "an afternoon": (["14:00", "14:02", "14:04"], "", [0, 2, 4]),
    "a count from nothing": (["0:00", "2:00", "4:30"], COUNT, [0, 2, 4.5]),
    "minute 25 is no hour": (["25:00", "25:30", "26:00"], "", [25, 25.5, 26]),
    "one, two, three: minutes or hours": (["1:00", "2:00", "3:00"], OPEN, [1, 2, 3]),
    "all within a minute, or an hour": (["0:05", "0:10", "0:15"], OPEN, [5 / 60, 10 / 60, 15 / 60]),
}
"""Times, how they are taken ("" where they can be nothing else), and the minutes; worked by hand."""


@pytest.mark.parametrize(("times", "taken", "minutes"), ROWS.values(), ids=ROWS)
def test_said_and_logged_are_one(times: list[str], taken: str, minutes: list[float]) -> None:
    """A row told in a line and the same row in a file have the same times, and the same doubt."""
    told = found_in(", ".join(f"{at} {70 + nth} C" for nth, at in enumerate(times)))
    logged = table("Time,Temp (C)\n" + "".join(f"{at},{70 + nth}\n" for nth, at in enumerate(times)))
    for course in (told, logged):
        assert course is not None
        assert course.times == taken
        start = minutes[0] if course is logged else 0
        assert list(course.minutes) == pytest.approx([one - start for one in minutes])


@pytest.mark.parametrize(
    ("head", "minutes"),
    [("Elapsed", [0, 1, 2]), ("mm:ss", [0, 1, 2]), ("hh:mm", [0, 60, 120]), ("local", [0, 60, 120])],
)
def test_the_name_of_the_column_decides(head: str, minutes: list[float]) -> None:
    """What a log calls its times is surer than the times themselves."""
    course = table(f"{head} time,Temp (C)\n1:00,70\n2:00,71\n3:00,72\n")
    assert list(course.minutes) == pytest.approx(minutes)
    assert not course.times


def test_a_row_that_goes_back_a_little_is_no_dial() -> None:
    """Twelve to one is half a day on; a minute back is a fault of the log, and is left as one."""
    on = Clock()
    assert [on(12 * 60 + 58), on(60.0)] == [778, 60 + HALF_DAY]
    back = Clock()
    assert [back(14 * 60), back(14 * 60 - 1)] == [840, 839]
    assert kind([]).name == CLOCK
