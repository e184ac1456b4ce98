"""Dates against calendars that are not ours: SQLite's date functions, and published examples.

SQLite's ``julianday`` is an implementation of its own (Meeus, Astronomical Algorithms, 1991,
chapter 7, says its documentation); it counts days and leap years independently of Python.
"""

from __future__ import annotations

import datetime
import sqlite3

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.show import day
from assistant.talk.dates import easter
from assistant.trade.calendar import after_months, before_months
from tests.helpers import say, value

DATES = st.dates(datetime.date(1900, 1, 1), datetime.date(2188, 12, 31))
WEEKDAYS = ("Sunday", "Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday")


def sqlite(expression: str, *values: object) -> object:
    """What SQLite makes of an expression."""
    with sqlite3.connect(":memory:") as book:
        return book.execute(f"select {expression}", values).fetchone()[0]


@given(start=DATES, days=st.integers(0, 4000))
def test_the_day_so_many_days_on(start: datetime.date, days: int) -> None:
    """A start and a number of days give the day that SQLite's calendar gives."""
    expected = str(sqlite("date(?, ?)", start.isoformat(), f"+{days} days"))
    replies = say(f"started on {start.isoformat()}, when is {days} days")
    assert float(expected.replace("-", "")) == value(replies, "end", "")


@given(start=DATES, more=st.integers(0, 4000))
def test_how_long_between(start: datetime.date, more: int) -> None:
    """Two dates are as many days apart as their Julian day numbers."""
    end = start + datetime.timedelta(days=more)
    apart = sqlite("julianday(?) - julianday(?)", end.isoformat(), start.isoformat())
    replies = say(f"how many days from {start.isoformat()} to {end.isoformat()}")
    assert apart == value(replies, "span", "day")


@given(one=DATES)
def test_weekdays(one: datetime.date) -> None:
    """The weekday shown is SQLite's."""
    shown = day(float(one.strftime("%Y%m%d")))
    assert shown.split()[0] == WEEKDAYS[int(str(sqlite("strftime('%w', ?)", one.isoformat())))]


@pytest.mark.parametrize(
    ("start", "months", "end"),
    [
        ("2007-03-31", 1, "2007-04-30"),
        ("2008-02-29", 12, "2009-02-28"),
        ("2007-01-31", 1, "2007-02-28"),
        ("2008-01-31", 1, "2008-02-29"),
    ],
)
def test_months_end_where_the_month_does(start: str, months: int, end: str) -> None:
    """A month after the 31st is the last day of a shorter month.

    Source: the rule and the first two examples as the Java SE documentation of
    LocalDate.plusMonths and plusYears gives them; the last two follow from it (worked by hand).
    """
    first = datetime.date.fromisoformat(start).toordinal()
    assert datetime.date.fromisoformat(end).toordinal() == after_months(first, months)


@given(start=DATES.filter(lambda one: one.day <= 28), months=st.integers(0, 60))
def test_months_are_sqlites_months(start: datetime.date, months: int) -> None:
    """Where every month has the day, months on are SQLite's, and back again is where one was."""
    end = after_months(start.toordinal(), months)
    expected = str(sqlite("date(?, ?)", start.isoformat(), f"+{months} months"))
    assert datetime.date.fromisoformat(expected).toordinal() == end
    assert start.toordinal() == before_months(end, months)


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("started 28 february 2024, when is 1 day", "Thursday 29 February 2024"),
        ("started 28 february 1900, when is 1 day", "Thursday 1 March 1900"),
        ("started 28 february 2100, when is 1 day", "Monday 1 March 2100"),
        ("started 28 february 2000, when is 1 day", "Tuesday 29 February 2000"),
    ],
)
def test_leap_years(line: str, said: str) -> None:
    """A year divisible by 4 is a leap year, one by 100 only if by 400 too (ISO 8601, 4.2.1)."""
    assert said in say(line)[0].text


@pytest.mark.parametrize(
    ("year", "month", "day_"),
    [(1818, 3, 22), (1886, 4, 25), (1943, 4, 25), (1954, 4, 18), (1991, 3, 31), (1992, 4, 19), (1993, 4, 11),
     (2000, 4, 23), (2038, 4, 25)],
)  # fmt: skip
def test_easter(year: int, month: int, day_: int) -> None:
    """Easter Sunday as in the examples of Meeus, Astronomical Algorithms, ch. 8 (from memory), with its extremes."""
    assert easter(year) == datetime.date(year, month, day_)
