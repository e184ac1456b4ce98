"""Dates of a batch: when a length of time is up, when to start, how long it has been.

Dates are day numbers (1 January of year 1 is 1), lengths of time are days, and months are
calendar months: a month after 31 January is the last day of February.
"""

from __future__ import annotations

import calendar
import datetime

from assistant.declare import Calculator, Example, Input, Limit, Relation, Source

GREGORIAN = Source("ISO 8601: dates of the Gregorian calendar, whole days counted")
RIPE = Source("USDA Complete Guide to Home Canning, sauerkraut: 3 to 4 weeks at 70 to 75 F")
_DATES = Limit(19000101, 21991231, "date", from_low=True)


def after_months(start: float, months: float) -> float:
    """The day so many calendar months after another; the month's last day where it is too short.

    Raises:
        ValueError: not a whole number of months, or outside the calendar.
    """
    if months != int(months):
        raise ValueError("months are counted whole")
    first = datetime.date.fromordinal(round(start))
    year, month = divmod(12 * first.year + first.month - 1 + int(months), 12)
    day = min(first.day, calendar.monthrange(year, month + 1)[1])
    return float(datetime.date(year, month + 1, day).toordinal())


def before_months(end: float, months: float) -> float:
    """The day so many calendar months before another; the month's last day where it is too short.

    Raises:
        ValueError: as for ``after_months``.
    """
    return after_months(end, -months)


CALENDAR = Calculator(
    name="calendar",
    title="Dates",
    does="the day a length of time is up, the day to start, or how long it has been",
    inputs=(
        Input(
            "start",
            "date",
            "start",
            _DATES,
            ask='When did it start? Say a date, or for example "two weeks ago"',
            marks=("since", "from", "after", "over"),
            plain=True,
            kept=True,
        ),
        Input(
            "end",
            "date",
            "end",
            _DATES,
            marks=("to", "by", "before", "for"),
            plain=True,
        ),
        Input(
            "span",
            "time",
            "length of time",
            Limit(0, 36525, "day", from_low=True),
            ask="How long: how many days or weeks?",
            plain=True,
            instead=("months",),
        ),
        Input("months", "months", "months", Limit(0, 1200, "month", from_low=True), plain=True),
    ),
    relations=(
        Relation(
            "end = after_months(start, months)",
            {"end": "after_months(start, months)", "start": "before_months(end, months)"},
            GREGORIAN,
            functions={"after_months": after_months, "before_months": before_months},
        ),
        Relation(
            "end = start + span", {"end": "start + span", "start": "end - span", "span": "end - start"}, GREGORIAN
        ),
    ),
    goals=("end", "start", "span"),
    called_by=("#date", "#date #time", "#date #months", "?span", "?date #time", "?date #months", "?start"),
    headline={
        "end": ("{months} from {start} is {end}.", "{span} from {start} is {end}."),
        "start": ("{months} before {end} is {start}.", "{span} before {end} is {start}."),
        "span": ("From {start} to {end} is {span}.",),
    },
    tail=("The pH and the taste say when it is ready, not the calendar.",),
    wanted={"date": ("end", "start"), "start": ("start",), "span": ("span",), "time": ("span",)},
    sources=(GREGORIAN, RIPE),
    examples=(
        Example("started on 3 March 2026, when is 30 days", "end", 20260402.0, "date", 0.1, GREGORIAN),
        Example("how many days from 28 February 2024 to 1 March 2024", "span", 2.0, "day", 0.01, GREGORIAN),
    ),
)

CALCULATORS = (CALENDAR,)
