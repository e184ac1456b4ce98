"""What is due over all open batches: the steps of their walks with their days, and what speaks against a batch."""

from __future__ import annotations

import datetime
from typing import TYPE_CHECKING

from assistant.batches.describe import day_words
from assistant.replies import Caution, Note, Reply
from assistant.rules.verdict import level
from assistant.talk.account import telling
from assistant.talk.account.manner import manner
from assistant.talk.state import State
from assistant.walks import plan as plans
from grammar.later import module

if TYPE_CHECKING:
    from assistant.batches import watch as watching
    from assistant.batches.batch import Batch
    from assistant.walks.plan import Step
else:
    watching = module("assistant.batches.watch")


LISTED = 12
"""Batches that are looked at; the rest are counted."""


def of_step(step: Step, since: datetime.date, today: datetime.date) -> str:
    """What is due of a step that waits: its day, or how many days it has to go; "" where it waits for none."""
    days = (today - since).days if since != datetime.date.min else 0
    if not step.wait:
        return ""
    if days >= step.wait:
        return f"It is day {days} of this step: {step.then}" if step.then else ""
    left = step.wait - days
    return f"It has {left} {'day' if left == 1 else 'days'} to go."


def listed(state: State, today: datetime.date) -> tuple[Reply, ...]:
    """What is due of every open batch, the one written to last first, and of a walk that has no batch yet."""
    replies: list[Reply] = []
    on = state.walk
    if on is not None and not on.batch:
        replies.append(Note(f"{_place(on.walk, on.step, on.since, today)}."))
    numbers = [one.number for one in state.shelf.recent if not one.closed]
    for number in numbers[:LISTED]:
        batch = state.shelf.batch(number)
        if batch is not None:
            replies += _of(batch, state, today)
    if len(numbers) > LISTED:
        replies.append(Note(f"And {len(numbers) - LISTED} more."))
    if not replies:
        return (Note('Nothing is due: no batch is open and no walk under way. "Walks" lists what I can lead through.'),)
    return tuple(replies)


def _place(walk: str, step_id: str, since: datetime.date, today: datetime.date) -> str:
    """ "A first ferment under brine", step 7 of 13, with its day; "" for a walk of another version of the program."""
    try:
        plan = plans.walk(walk)
        place = plan.place(step_id)
    except KeyError:
        return ""
    step = plan.steps[place]
    where = f'"{plan.title}", step {place + 1} of {len(plan.steps)}'
    said = of_step(step, since, today)
    if step.wait:
        end = since + datetime.timedelta(days=step.wait)
        return f"{where}. {said.rstrip('.')}" + (
            "" if today >= end else f", until {day_words(end, year=False)}: {step.then}".rstrip(".")
        )
    return f"{where}: {plans.filled(step.do, {}).split('. ')[0].rstrip('.')}"


def _of(batch: Batch, state: State, today: datetime.date) -> list[Reply]:
    """What is due of one batch."""
    name = telling.titled(batch)
    days = (today - batch.began).days
    walked, on = batch.walked, state.walk
    place = ""
    if on is not None and on.batch == batch.number:
        place = _place(on.walk, on.step, on.since, today)
    elif walked is not None and walked.step:
        place = _place(walked.walk, walked.step, walked.day, today)
    if not batch.full:
        return [Note(f"{name}, day {days}: it is empty.")]
    against = [one for one in telling.watched(batch, today, manner(state)) if isinstance(one, Caution)]
    parts = [f"{name}, day {days}", place or _unwalked(batch, today)]
    return [Note(f"{': '.join(one for one in parts if one)}."), *against]


def _unwalked(batch: Batch, today: datetime.date) -> str:
    """What is next for a batch that nobody walks: its pH, and the earliest day to strain."""
    last = batch.ph[-1] if batch.ph else None
    acid = (
        f"the last pH was {level(last.value)} on {day_words(last.day, year=False)}" if last else "no pH has been read"
    )
    day = watching.earliest_strain(batch)
    if day is None:
        return acid
    ready = "its days are over" if day <= today else f"not before {day_words(day, year=False)}"
    return f"{acid}; to strain, {ready}, and only once the pH stands still below 4.6"
