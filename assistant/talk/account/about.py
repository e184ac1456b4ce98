"""What is asked of the account: what is in it, how old, how sour, which one, what next."""

from __future__ import annotations

import datetime
from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING

from assistant.batches.describe import day_words, level
from assistant.replies import Answer, Ask, Chart, Note, Refuse, Reply, Value
from assistant.show import Style, quantity
from assistant.talk.account import telling
from assistant.talk.account.desk import NO_BATCH
from assistant.talk.account.labelling import LABELS, labelled
from assistant.talk.account.manner import manner
from assistant.talk.account.which import before, current, meant, numbered
from assistant.talk.judged import shown
from assistant.talk.state import Result, State
from assistant.trade import mixture as mx
from assistant.trade.produce import NAMES
from grammar.later import module
from grammar.measures import written
from grammar.types import Reading

if TYPE_CHECKING:
    from assistant.batches import batch as made
    from assistant.batches import chart
    from assistant.batches import watch as watching
    from assistant.batches.batch import Batch, Point
else:
    made = module("assistant.batches.batch")
    chart = module("assistant.batches.chart")
    watching = module("assistant.batches.watch")


LISTED = 12
"""Batches shown in a list; the rest are counted."""


def about(state: State, reading: Reading, today: datetime.date, what: str) -> Result:
    """Answers a question about the account."""
    number = numbered(reading.text)
    if number and state.shelf.batch(number) is None:
        return state, (Note(f'There is no batch {number} in the book. Say "what batches" for the list.'),)
    if what in ("find", "list", "switch"):
        return _ACROSS[what](state, reading, today)
    found = meant(state, reading)
    named = [one for one in found if one.number != (here.number if (here := current(state)) else 0)]
    own = current(state)
    # "what's in the crock": the open batch's own vessel comes before any other batch's
    batch = own if own in found or not found else (named[0] if len(named) == 1 else None)
    if batch is None and len(named) > 1:
        return state, (_choose(named),)
    if batch is None:
        return state, (Ask(NO_BATCH if state.shelf.latest == 0 else "Which batch? Say its number or its name."),)
    moved = _to(state, batch)
    if what in LABELS:
        return moved, labelled(what, batch, reading, today, moved)
    return moved, _ASKED[what](batch, reading, today, state)


def _to(state: State, batch: Batch) -> State:
    """The state with that batch open."""
    here = current(state)
    if here is not None and here.number == batch.number:
        return state
    return replace(state, batch=batch.number, other=here.number if here else state.other)


def _choose(batches: list[Batch]) -> Ask:
    rows = "; ".join(f"batch {one.number}" + (f", {one.name}" if one.name else "") for one in batches[:LISTED])
    return Ask(f"Which one: {rows}?", (), tuple(f"batch {one.number}" for one in batches[:LISTED]))


Asked = Callable[["Batch", Reading, datetime.date, State], tuple[Reply, ...]]


def contents(batch: Batch, reading: Reading, today: datetime.date, state: State) -> tuple[Reply, ...]:
    """What is in it now, and what it was made of."""
    shown = manner(state)
    if not batch.full:
        over = f" ({batch.closed})" if batch.closed else ""
        return (Note(f"{telling.titled(batch)} is empty{over}."),)
    replies: list[Reply] = [telling.stands(list(batch.full), shown)]
    made: dict[str, float] = {}
    for one in batch.added:
        made[one.what] = made.get(one.what, 0.0) + one.mix.mass
    told = ", ".join(f"{quantity(mass, 'mass', shown)} {what}" for what, mass in made.items())
    replies.append(Note(f"{telling.titled(batch)}, begun on {day_words(batch.began)}. Put in: {told}."))
    if batch.taken:
        out = ", ".join(f"{quantity(mix.mass, 'mass', shown)} {why}" for why, mix in batch.taken)
        replies.append(Note(f"Taken out: {out}."))
    return tuple(replies)


def salt(batch: Batch, reading: Reading, today: datetime.date, state: State) -> tuple[Reply, ...]:
    """How salty every vessel is, on every basis."""
    shown = manner(state)
    if not batch.full:
        return (Note(f"{telling.titled(batch)} is empty."),)
    rows = []
    for one in batch.full:
        grams = quantity(one.holds.salt, "mass", shown)
        rows.append(
            f"{one.label}: {telling.strengths(one.holds)}; {grams} of salt in "
            f"{quantity(one.holds.mass, 'mass', shown)}."
        )
    text = f"{telling.titled(batch)}. " + " ".join(rows)
    return (Answer(text, "batch", telling.values(batch.full[0]), text),)


def ages(batch: Batch, reading: Reading, today: datetime.date, state: State) -> tuple[Reply, ...]:
    """How old it is, and its youngest part."""
    young = batch.youngest
    days = (today - batch.began).days
    lead = f"{telling.titled(batch)} began on {day_words(batch.began)}: {telling.age(batch.began, today)}."
    if young is None:
        return (Answer(lead, "batch", (Value("age", float(days), "day"),), lead),)
    name = NAMES.get(young.what, young.what)
    youngest = (today - young.day).days
    text = (
        f"The youngest part is {quantity(young.mass, 'mass', manner(state))} of {name}, put in on "
        f"{day_words(young.day)}: {telling.age(young.day, today)}. {lead}"
    )
    found = (Value("youngest", float(youngest), "day"), Value("age", float(days), "day"))
    return (Answer(text, "batch", found, text),)


def acidity(batch: Batch, reading: Reading, today: datetime.date, state: State) -> tuple[Reply, ...]:
    """The pH readings so far."""
    if not batch.ph:
        return (Note(f'{telling.titled(batch)}: no pH has been read. Say it when you have one: "pH 3.9 by meter".'),)
    last = batch.ph[-1]
    against = telling.watched(batch, today, manner(state))
    told, judged = telling.judgement(batch, against)
    text = f"{told} {telling.titled(batch)}: {chart.spoken(batch.ph, 'ph')}.".strip()
    values = (Value("ph", last.value, "pH"),) if judged is None else shown(judged)
    return (Answer(text, "batch", values, text), *against)


def show(batch: Batch, reading: Reading, today: datetime.date, state: State) -> tuple[Reply, ...]:
    """The course of pH and warmth drawn, and what it holds."""
    shown = manner(state)
    replies: list[Reply] = [telling.stands(list(batch.full), shown)] if batch.full else []
    replies += [_chart(batch, of, points, shown) for of, points in _courses(batch)]
    if not _courses(batch):
        replies.append(Note(f"{telling.titled(batch)}: nothing has been read yet, so there is no course to draw."))
    replies += telling.watched(batch, today, shown)
    sheet = batch.name or str(batch.number)
    replies.append(Note(f'The whole sheet, to print: crockside sheet "{sheet}".'))
    return tuple(replies)


def _chart(batch: Batch, of: str, points: tuple[Point, ...], shown: Style) -> Chart:
    fresh = tuple(dict.fromkeys((one.day.isoformat(), one.what) for one in batch.added if one.fresh))
    rows = tuple((one.day.isoformat(), one.value, one.method, one.vessel) for one in points)
    text = f"{telling.titled(batch)}: {chart.spoken(points, of, shown.fahrenheit)}"
    return Chart(text, of, rows, fresh, batch.began.isoformat(), shown.fahrenheit)


def _courses(batch: Batch) -> list[tuple[str, tuple[Point, ...]]]:
    return [(of, points) for of, points in (("ph", batch.ph), ("temperature", batch.warmth)) if points]


def going(batch: Batch, reading: Reading, today: datetime.date, state: State) -> tuple[Reply, ...]:
    """Whether it goes as it should."""
    shown = manner(state)
    if batch.closed:
        return (Note(f"{telling.titled(batch)} is over: {batch.closed}."),)
    lead = telling.stands(list(batch.full), shown) if batch.full else Note(f"{telling.titled(batch)} is empty.")
    found = telling.watched(batch, today, shown)
    if found:
        return (lead, *found)
    last = f"The last pH was {level(batch.ph[-1].value)} on {day_words(batch.ph[-1].day)}. " if batch.ph else ""
    return (lead, Note(f"{last}Nothing in the account speaks against it; look at it and smell it too."))


def strain_when(batch: Batch, reading: Reading, today: datetime.date, state: State) -> tuple[Reply, ...]:
    """The earliest sensible day to strain."""
    return _when(batch, today, state, "strain", watching.earliest_strain(batch))


def bottle_when(batch: Batch, reading: Reading, today: datetime.date, state: State) -> tuple[Reply, ...]:
    """The earliest sensible day to bottle."""
    return _when(batch, today, state, "bottle", watching.earliest_bottling(batch))


def _when(batch: Batch, today: datetime.date, state: State, what: str, day: datetime.date | None) -> tuple[Reply, ...]:
    if day is None and (against := telling.watched(batch, today, manner(state))):
        return (Note(f"I give no day to {what} {telling.low(batch)}:"), *against)
    if day is None:
        return (Note(f"{telling.titled(batch)} holds no fresh produce with a date: I cannot tell when to {what} it."),)
    young = batch.youngest
    since = f" {(day - young.day).days} days after the last fresh produce" if young else ""
    text = (
        f"{telling.titled(batch)}: not before {day_words(day)} to {what} it,{since}, and only once the pH stands still "
        "below 4.6."
    )
    value = Value("day", written(day), "date")
    steady = Note("Two readings a week apart within 0.1 say that it is done; common practice, no source.")
    return (Answer(text, "batch", (value,), text), steady, *telling.watched(batch, today, manner(state)))


def differ(batch: Batch, reading: Reading, today: datetime.date, state: State) -> tuple[Reply, ...]:
    """How it differs from the one before it."""
    found = [one for one in meant(state, reading) if one.number != batch.number]
    last = found[0] if found else before(state, batch)
    if last is None:
        return (Note(f"There is no batch before {telling.low(batch)} to set beside it."),)
    rows = differences(last, batch, today)
    if not rows:
        return (Note(f"{telling.titled(batch)} and {telling.low(last)} do not differ in anything I keep."),)
    text = f"{telling.titled(last)} beside {telling.low(batch)}: {'; '.join(rows)}."
    return (Note(text),)


def differences(last: Batch, now: Batch, today: datetime.date) -> list[str]:
    """What differs between two batches, the earlier value first."""
    rows = []
    for name, read in _COMPARED:
        here, there = read(last, today), read(now, today)
        if here != there:
            rows.append(f"{name} {here or 'none'}, then {there or 'none'}")
    return rows


def _went(batch: Batch, today: datetime.date) -> str:
    total = sum(one.mix.mass for one in batch.added if one.fresh)
    return f"{total:.4g} kg" if total else ""


def _kinds(batch: Batch, today: datetime.date) -> str:
    total = sum(one.mix.mass for one in batch.added if one.fresh)
    parts: dict[str, float] = {}
    for one in batch.added:
        if one.fresh:
            parts[one.what] = parts.get(one.what, 0.0) + one.mix.mass
    return " and ".join(f"{what} {100 * mass / total:.0f}%" for what, mass in sorted(parts.items()))


def _salted(batch: Batch, today: datetime.date) -> str:
    put = batch.went_in
    return telling.percent(mx.SALT_TOTAL(put)) if put.mass > put.salt else ""


def _wet(batch: Batch, today: datetime.date) -> str:
    total = sum(one.mix.mass for one in batch.added if one.fresh)
    wet = sum(one.mix.mass for one in batch.added if one.what == "water" or one.what.endswith("brine"))
    return f"{100 * wet / total:.0f}% of the produce" if total and wet else ""


def _warm(batch: Batch, today: datetime.date) -> str:
    values = sorted(one.value for one in batch.warmth)
    if not values:
        return ""
    return f"{values[0]:.3g} C" if len(values) == 1 else f"{values[0]:.3g} to {values[-1]:.3g} C"


def _length(batch: Batch, today: datetime.date) -> str:
    end = batch.last if batch.closed or not batch.full else today
    return f"{(end - batch.began).days} days"


def _below(batch: Batch, today: datetime.date) -> str:
    first = next((one for one in batch.ph if one.value < 4.6), None)
    return f"day {(first.day - batch.began).days}" if first else ""


def _lowest(batch: Batch, today: datetime.date) -> str:
    return level(min(one.value for one in batch.ph)) if batch.ph else ""


def _parts(batch: Batch, today: datetime.date) -> str:
    return str(len({one.day for one in batch.added if one.fresh}))


_COMPARED: tuple[tuple[str, Callable[[Batch, datetime.date], str]], ...] = (
    ("produce", _went), ("of", _kinds), ("salt of produce and water", _salted), ("water and brine", _wet),
    ("fresh produce on so many days:", _parts), ("warmth", _warm), ("pH first under 4.6 on", _below),
    ("lowest pH", _lowest), ("length", _length),
)  # fmt: skip

_ASKED: dict[str, Asked] = {
    "contents": contents, "salt": salt, "youngest": ages, "age": ages, "last-ph": acidity, "show": show,
    "going": going, "strain-when": strain_when, "bottle-when": bottle_when, "differ": differ,
}  # fmt: skip


def find(state: State, reading: Reading, today: datetime.date) -> Result:
    """Which batch held something."""
    found = meant(state, reading)
    if not found:
        return state, (Note('No batch in the book fits that. Say "what batches" for the list.'),)
    rows = _rows(state, [one.number for one in found], today)
    if len(found) == 1:
        return _to(state, found[0]), (Note(f"That was batch {rows[0]}"), Note("It is open now."))
    return state, (Note(f"These: {' '.join(rows)}"), _choose(found))


def list_(state: State, reading: Reading, today: datetime.date) -> Result:
    """All batches, the ones last written to first."""
    recent = state.shelf.recent
    if not recent:
        return state, (Note('The book is empty. Begin with "new batch of reds in the 8 L crock".'),)
    rows = _rows(state, [one.number for one in recent[:LISTED]], today)
    more = f" And {len(recent) - LISTED} more." if len(recent) > LISTED else ""
    return state, (telling.listing([*rows, more.strip()] if more else rows),)


def _rows(state: State, numbers: list[int], today: datetime.date) -> list[str]:
    shown = manner(state)
    return [
        telling.title_line(state.shelf.titles[one], state.shelf.batch(one), today, shown) for one in numbers[:LISTED]
    ]


def switch(state: State, reading: Reading, today: datetime.date) -> Result:
    """Another batch is spoken of from now on."""
    found = meant(state, reading)
    here = current(state)
    found = [one for one in found if here is None or one.number != here.number] or found
    if not found:
        return state, (Refuse('No batch goes by that. Say "what batches" for the list.'),)
    if len(found) > 1:
        return state, (_choose(found),)
    rows = _rows(state, [found[0].number], today)
    return _to(state, found[0]), (Note(f"Batch {rows[0]} It is open now."),)


_ACROSS: dict[str, Callable[[State, Reading, datetime.date], Result]] = {"find": find, "list": list_, "switch": switch}
