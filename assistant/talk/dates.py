"""Dates as said ("two weeks ago", "3 March", "by Christmas") made into days, given today's."""

from __future__ import annotations

import datetime
from collections.abc import Iterable
from dataclasses import replace

from assistant.replies import Assume, Reply
from assistant.show import WEEKDAYS, said
from assistant.talk.place import FIRST_YEAR, dimension
from assistant.talk.state import State
from assistant.trade.calendar import before_months
from grammar import measures
from grammar.later import regex
from grammar.types import Amount, Reading, Word

AHEAD = frozenset({"to", "by", "before", "for"})
"""Prepositions that point to a day still to come."""

BACK = frozenset({"since", "from", "after"})
"""Prepositions that point to a day gone by."""

_BEGINS = regex(r"\b(do|must|should|shall|to|have to|need to) (i |we |it )?(begin|start|pack)\b")
""" "on which day must I begin": the start is what is asked for, whatever the words before it."""

_FEASTS = {"christmas": 1225, "christmas-eve": 1224, "new-year": 101, "new-years-eve": 1231, "halloween": 1031}
_STEPS = {"today": 0, "yesterday": -1, "day-before-yesterday": -2, "tomorrow": 1, "day-after-tomorrow": 2}
_PAST = frozenset(
    {
        "started", "packed", "was", "were", "made", "put", "filled", "salted", "jarred", "began", "been", "since",
        "did", "old", "went", "bottled",
    }
)  # fmt: skip


def settle(reading: Reading, state: State, today: datetime.date) -> Reading:
    """The reading with every date in full, and with today where the question leaves it out.

    Args:
        reading: from the grammar; years may be missing, "two weeks ago" is still a length.
        state: where the talk stands; an open question or an answered calendar takes no extra day.
        today: the date, handed in.
    """
    amounts = [_settled(one, today) for one in reading.amounts]
    words = list(reading.words)
    whens = [word for word in words if word.kind == "when"]
    if reading.act in ("yes", "no") or not (whens or _dated(reading.amounts) or "span" in reading.wanted):
        return reading
    marks = {*(one.mark for one in amounts), *(word.term for word in words if word.kind == "point")}
    if "date" in reading.wanted and ("before" in marks or _BEGINS.search(reading.text.lower())):
        reading = replace(reading, wanted=("start",))  # "when is 3 weeks before 20 March?"
    back = bool({"since", "ago", "been"} & set(reading.text.lower().split()))
    for word in whens:
        if "span" in reading.wanted and word.term == "today" and len(whens) == 1 and not _dated(reading.amounts):
            continue  # "how long has it been in there now": today is the end, not the start
        point = next((one for one in reversed(words) if one.kind == "point" and one.span[1] <= word.span[0]), None)
        mark = point.term if point is not None else ""
        day = _named(word, mark, back, today)
        mark = "to" if "start" in reading.wanted and not mark else mark
        if not any(one.unit == "date" and one.value == measures.written(day) for one in amounts):
            amounts.append(_amount(day, word.span, word.text, mark))
    words = [word for word in words if word.kind not in ("when", "point")]
    amounts = _years(amounts, reading, today)
    if "span" in reading.wanted and any(_yearless(one) for one in reading.amounts):
        amounts = _from_to(amounts)
    if _open_end(amounts, reading, state):
        at = len(reading.text)
        ahead = [one for one in amounts if one.unit == "date" and (one.mark in AHEAD or _later(one, today))]
        mark = "from" if ahead and len(ahead) == sum(one.unit == "date" for one in amounts) else "to"
        amounts.append(_amount(today, (at, at), "today", mark))
    amounts.sort(key=lambda one: one.span)
    act = "ask" if reading.act == "bare" and whens else reading.act
    return replace(reading, amounts=tuple(amounts), words=tuple(words), act=act)


def guessed(before: Reading, after: Reading) -> tuple[Reply, ...]:
    """What was taken for granted: the year of a date said without one."""
    spans = {one.span for one in before.amounts if _yearless(one)}
    return tuple(
        Assume(
            f'You did not say the year: I took "{one.text}" as {said(one.value, "date")}.', "date", one.value, "date"
        )
        for one in after.amounts
        if one.span in spans
    )


def _dated(amounts: Iterable[Amount]) -> bool:
    return any(dimension(each.unit) == "date" for one in amounts for each in (one, *one.rivals))


def _yearless(amount: Amount) -> bool:
    """Whether an amount is a date that was said without its year."""
    return amount.unit == "date" and amount.value < FIRST_YEAR


def _full(amount: Amount) -> bool:
    """Whether an amount is a date with its year."""
    return amount.unit == "date" and not _yearless(amount)


def _later(amount: Amount, today: datetime.date) -> bool:
    return _full(amount) and measures.day(amount.value) > today


def _amount(day: datetime.date, span: tuple[int, int], text: str, mark: str) -> Amount:
    return Amount(measures.written(day), "date", span, text, mark)


BEFORE_ALL = 18000101.0
"""A day before any batch: what "half a month ago" and "-4 days ago" become, so that they are refused."""


def _exists(value: float) -> bool:
    """Whether there is such a day, in its year or (with none said) in a leap year."""
    try:
        measures.day(value if value >= FIRST_YEAR else 20000000 + value)
    except (ValueError, OverflowError):
        return False
    return True


def _settled(amount: Amount, today: datetime.date) -> Amount:
    """ "two weeks ago" as its day; other amounts as they are."""
    if amount.rivals:
        amount = replace(amount, rivals=tuple(_settled(one, today) for one in amount.rivals))
    if amount.unit == "date" and not _exists(amount.value):
        return replace(amount, value=BEFORE_ALL)
    unit, ago, _ = amount.unit.partition("_ago")
    if not ago:
        return amount
    if unit in ("month", "year"):
        months = measures.canonical(amount.value, unit, "months")
        if months != int(months) or not 0 <= months < 1200:
            return replace(amount, value=BEFORE_ALL, unit="date")
        back = datetime.date.fromordinal(int(before_months(today.toordinal(), months)))
    else:
        days = round(measures.canonical(amount.value, unit, "time"))
        if not 0 <= days < 36525:
            return replace(amount, value=BEFORE_ALL, unit="date")
        back = today - datetime.timedelta(days=days)
    return replace(amount, value=measures.written(back), unit="date")


def _named(word: Word, mark: str, back: bool, today: datetime.date) -> datetime.date:
    """ "yesterday", "last Tuesday", "by Christmas" as a day."""
    if word.term in _STEPS:
        return today + datetime.timedelta(days=_STEPS[word.term])
    text = word.text.lower()
    ahead = (mark in AHEAD or text.startswith(("next", "coming"))) and not text.startswith("last")
    ahead = ahead or (mark in ("from", "after") and not back and not text.startswith("last"))
    if (name := word.term.capitalize()) in WEEKDAYS:
        step = (WEEKDAYS.index(name) - today.weekday()) % 7
        if ahead:
            return today + datetime.timedelta(days=step or 7)
        return today - datetime.timedelta(days=(-step) % 7 or 7)
    if word.term == "easter":
        near = [easter(today.year + step) for step in (-1, 0, 1)]
        return min(x for x in near if x >= today) if ahead or not back else max(x for x in near if x <= today)
    return _nearest(_FEASTS[word.term], ahead or not back, today)


def easter(year: int) -> datetime.date:
    """Easter Sunday of a year of the Gregorian calendar.

    Source: Meeus, Astronomical Algorithms (2nd ed. 1998), chapter 8, from memory; tests hold it against its examples.
    """
    golden, (century, of_century) = year % 19, divmod(year, 100)
    leap, rest = divmod(century, 4)
    moved = (century - (century + 8) // 25 + 1) // 3
    moon = (19 * golden + century - leap - moved + 15) % 30
    quarter, over = divmod(of_century, 4)
    week = (32 + 2 * rest + 2 * quarter - moon - over) % 7
    month, day = divmod(moon + week - 7 * ((golden + 11 * moon + 22 * week) // 451) + 114, 31)
    return datetime.date(year, month, day + 1)


def _nearest(value: float, ahead: bool, today: datetime.date) -> datetime.date:
    """The next or the last day of that month and day; 29 February only in a year that has it."""
    month, day = divmod(round(value), 100)
    for step in range(9):
        year = today.year + (step if ahead else -step)
        try:
            found = datetime.date(year, month, day)
        except ValueError:
            continue
        if found >= today if ahead else found <= today:
            return found
    return today  # not reached: within nine years every month and day comes round


def _closest(value: float, near: datetime.date) -> datetime.date:
    """That month and day in the year that brings it closest to a date."""
    both = (_nearest(value, True, near), _nearest(value, False, near))
    return min(both, key=lambda each: abs((each - near).days))


def _years(amounts: list[Amount], reading: Reading, today: datetime.date) -> list[Amount]:
    """Dates without a year in the year meant: to come after "by", past where the words are, else the nearest."""
    span = "span" in reading.wanted
    said = set(reading.text.lower().split())
    past = (bool(_PAST & said) or span) and "will" not in said
    if "start" in reading.wanted:
        amounts = [
            replace(one, mark="by") if one.unit == "date" and one.mark not in AHEAD | BACK else one for one in amounts
        ]
        past = False
    out: list[Amount] = []
    for one in amounts:
        rivals = tuple(_in_year(each, out, today, past=past, said=reading.amounts, span=span) for each in one.rivals)
        out.append(replace(_in_year(one, out, today, past=past, said=reading.amounts, span=span), rivals=rivals))
    return out


def _in_year(
    one: Amount, before: list[Amount], today: datetime.date, *, past: bool, said: tuple[Amount, ...], span: bool
) -> Amount:
    if not _yearless(one) or one.value < 101:
        return one
    exact = next((each.value for each in said if _full(each)), None)
    if exact is not None and one.mark not in AHEAD:
        # "between 28 February and 1 March 2024": the year is both dates'
        return replace(one, value=measures.written(_closest(one.value, measures.day(exact))))
    first = next((each.value for each in before if _full(each) and each.mark not in AHEAD), None)
    if first is not None and one.mark in (("to", "by") if span else ("to", "by", "")):
        day = _nearest(one.value, True, measures.day(first))  # "from 20 December to 3 January"
    elif one.mark in AHEAD:
        day = _nearest(one.value, True, today)
    elif past:
        day = _nearest(one.value, False, today)
    else:
        day = _closest(one.value, today)
    return replace(one, value=measures.written(day))


def _from_to(amounts: list[Amount]) -> list[Amount]:
    """Two dates with nothing between them to say which is the end: the later one is."""
    dates = [one for one in amounts if one.unit == "date"]
    if len(dates) != 2 or any(one.mark in AHEAD for one in dates):
        return amounts
    first = min(dates, key=lambda one: one.value)
    return [replace(one, mark="from" if one is first else "to") if one in dates else one for one in amounts]


def _open_end(amounts: list[Amount], reading: Reading, state: State) -> bool:
    """Whether the sentence leaves today out: "how long since 3 March", "started on 3 March"."""
    dates = sum(one.unit == "date" for one in amounts)
    lengths = any(dimension(one.unit) in ("time", "months") for one in amounts)
    answered = state.answered is not None and state.answered.calculator == "calendar"
    if any(one.said("vessel") == "bottle" for one in amounts):
        return False  # "100 bottles by 24 December"
    if "that" in reading.text.lower().split() and not dates:
        return False  # "how many days is that": of the last answer
    if lengths or dates > 1 or state.mode != "idle" or (reading.wanted and "span" not in reading.wanted):
        return False
    if "span" in reading.wanted:
        return True
    return dates == 1 and reading.act in ("ask", "tell", "bare") and not (answered and reading.act != "ask")


def day_said(
    reading: Reading, today: datetime.date, began: datetime.date | None = None
) -> tuple[datetime.date | None, frozenset[tuple[int, int]]]:
    """The day a line about something done names, and the places of the amounts that name it.

    A date without its year is the last one gone by; a weekday is the last of its name.
    None if the line names no day, or two. "Day 8" is counted from ``began``; without it, it is no day.
    """
    found: list[datetime.date] = []
    spans: set[tuple[int, int]] = set()
    for one in reading.amounts:
        exact = _settled(replace(one, rivals=()), today)
        if exact.unit == "day_of" and began is not None and exact.value < 36525:
            spans.add(one.span)
            found.append(began + datetime.timedelta(days=round(exact.value)))
        if exact.unit != "date":
            continue
        spans.add(one.span)
        if _yearless(exact):
            found.append(_nearest(exact.value, False, today))
        else:
            found.append(measures.day(exact.value))
    found += [_named(word, "", True, today) for word in reading.whens]
    return (found[0] if len(set(found)) == 1 else None), frozenset(spans)
