"""Dates as people write and say them."""

from __future__ import annotations

import datetime
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from grammar.dates import date
from grammar.numerals import ORDINALS
from grammar.reader import read
from grammar.tokens import tokens
from grammar.types import Misread, Reading

DAYS = st.dates(datetime.date(1900, 1, 1), datetime.date(2199, 12, 31))
WORDS = {number: word for word, number in ORDINALS.items()}


def found(text: str) -> float | None:
    """The date at the start of a text."""
    one = date(tokens(text), 0)
    return None if one is None else one.value


def suffix(day: int) -> str:
    """ "3rd", "11th"."""
    return "th" if 11 <= day % 100 <= 13 else {1: "st", 2: "nd", 3: "rd"}.get(day % 10, "th")


@given(day=DAYS)
def test_one_date_many_ways(day: datetime.date) -> None:
    """The same day, written and said in a dozen ways, is the same number."""
    number = float(day.strftime("%Y%m%d"))
    month, short, year = day.strftime("%B"), day.strftime("%b"), day.year
    ways = [
        day.isoformat(), f"{day.day} {month} {year}", f"{day.day}{suffix(day.day)} of {month} {year}",
        f"the {day.day}{suffix(day.day)} of {short} {year}", f"{month} {day.day}, {year}", f"{short} {day.day} {year}",
        f"{month} the {day.day}{suffix(day.day)} {year}", f"{WORDS[day.day]} of {month} {year}",
        f"{month.upper()} {day.day} {year}", f"{day.day}.{day.month}.{year}",
    ]  # fmt: skip
    assert {number} == {found(way) for way in ways}, ways


@given(day=DAYS)
def test_strokes_may_be_either_way_round(day: datetime.date) -> None:
    """With strokes both orders are kept where both are days; one alone where only one is."""
    one = date(tokens(f"{day.day}/{day.month}/{day.year}"), 0)
    assert one is not None
    number = float(day.strftime("%Y%m%d"))
    assert one.value == number
    if day.day <= 12 and day.day != day.month:
        assert one.rivals == (float(f"{day.year}{day.day:02}{day.month:02}"),)
    else:
        assert one.rivals == ()


@pytest.mark.parametrize(
    "text",
    ["30 february", "31 april", "31/04/2026", "2026-13-01", "2026-02-29", "29 february 2100", "0 march", "the 5th"],
)
def test_days_that_are_none(text: str) -> None:
    """A day the calendar does not have, or one of no month, is no number."""
    value = found(text)
    assert value is not None
    assert math.isnan(value)


@pytest.mark.parametrize(
    "text",
    ["may 3 kg fit in", "march on", "3 kg", "1/2", "2.5", "second jar", "first one", "may", "3 mayonnaise", "12"],
)
def test_what_is_no_date(text: str) -> None:
    """ "may" as a verb, fractions, and "second" as one of two are no dates."""
    assert found(text) is None


@pytest.mark.parametrize(
    ("line", "value"), [("started 3 march", 303.0), ("feb 29", 229.0), ("on the twenty first of january", 121.0)]
)
def test_without_a_year(line: str, value: float) -> None:
    """A date with no year has year 0: which one is meant depends on today."""
    reading = read(line)
    assert isinstance(reading, Reading)
    assert [(value, "date")] == [(one.value, one.unit) for one in reading.amounts]


def test_a_month_is_asked_for() -> None:
    """A day with no month is a misreading that says what is missing."""
    reading = read("started on the 5th, when is 2 weeks")
    assert isinstance(reading, Misread)
    assert (reading.why, reading.expected) == ("date", ("month",))
