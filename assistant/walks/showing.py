"""A step of a walk on the screen, with the amounts that its lines were answered with."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from assistant.batches.describe import day_words
from assistant.replies import Answer, Ask, Assume, Caution, Chart, HeatChart, Log, Note, Reply
from assistant.show import Style, number, quantity
from assistant.talk.account import entering
from assistant.talk.place import dimension
from assistant.talk.state import DEPTH, State, Talk, Walking, style
from grammar import measures
from grammar.later import module

if TYPE_CHECKING:
    from assistant.batches import events as ev
    from assistant.walks import plan as plans
    from assistant.walks import saying
    from assistant.walks.plan import Walk
    from assistant.walks.saying import Said
else:
    ev = module("assistant.batches.events")
    plans = module("assistant.walks.plan")
    saying = module("assistant.walks.saying")


NAME = "walk"

Moved = tuple[Talk, tuple[Reply, ...]]


def kept(talk: Talk, state: State, wrote: tuple[ev.Event, ...] = (), said: tuple[Reply, ...] = ()) -> Talk:
    """The talk moved on by one step of undo, whatever lines were said on the way."""
    state = replace(state, said=said or state.said, shelf=talk.now.shelf)
    head = talk.now.shelf.head
    seqs = tuple((head + 1 + at, one.batch) for at, one in enumerate(wrote))
    moved = all(isinstance(one, ev.Walked) for one in wrote)  # a number said next puts no older entry right
    state = replace(state, seqs=seqs, entered=(), undid=(), wrong=None, deed=None if moved else state.deed)
    return Talk(state, (*talk.past, talk.now)[-DEPTH:], (), wrote)


def amounts(said: Said) -> tuple[tuple[str, str], ...]:
    """The numbers of the answers, as they are shown to this person."""
    shown = style(said.state, said.state.answered)
    out: dict[str, str] = {}
    for one in said.replies:
        if isinstance(one, Answer):
            for value in one.values:
                out[value.name] = in_words(value.value, value.unit, shown)
    return tuple(out.items())


def in_words(value: float, unit: str, shown: Style) -> str:
    """A number of an answer in the units of this person."""
    kind = dimension(unit)
    return quantity(measures.canonical(value, unit, kind), kind, shown) if kind else number(value)


def of_its_batch(talk: Talk, on: Walking) -> Talk:
    """The talk about the walk's own batch, whichever was spoken of last."""
    return replace(talk, now=replace(talk.now, batch=on.batch)) if on.batch else talk


def worked(talk: Talk, on: Walking, plan: Walk, today: datetime.date) -> tuple[Walking, Said | None]:
    """The walk with the amounts of its step worked out, and what was said on the way."""
    step = plan.steps[plan.place(on.step)]
    if not step.work or plans.holes(step.work) - on.facts.keys():
        return on, None
    said = saying.say(of_its_batch(talk, on), [plans.filled(step.work, on.facts)], today)
    if said.stuck:
        return on, said
    kept = dict(on.amounts) | dict(amounts(said))
    return replace(on, amounts=tuple(kept.items())), said


def step(talk: Talk, on: Walking, today: datetime.date, *, lead: str = "", before: tuple[Reply, ...] = (),
           wrote: tuple[ev.Event, ...] = (), state: State | None = None) -> Moved:  # fmt: skip
    """A step on the screen: what to do, its amounts, its cautions, and what it waits for."""
    plan = plans.walk(on.walk)
    base = state if state is not None else talk.now
    shelf = base.shelf.with_events(wrote) if wrote and state is None else base.shelf
    at = Talk(replace(base, shelf=shelf))
    on, said = worked(at, on, plan, today)
    step = plan.steps[plan.place(on.step)]
    place = f"Step {plan.place(on.step) + 1} of {len(plan.steps)}: "
    replies: list[Reply] = []
    if said is not None and said.stuck:
        asked_back = tuple(one for one in said.replies if one.kind in ("ask", "refuse", "misread"))
        return talk, (*before, *asked_back, Note("The next step cannot be worked out with that: say it again."))
    values = tuple(value for one in (said.replies if said else ()) if isinstance(one, Answer) for value in one.values)
    text = f"{lead}{place}{plans.filled(step.do, on.facts)}"
    replies.append(Answer(text, NAME, values, f"{place}{plans.filled(step.do, on.facts)}") if values else Note(text))
    warned = base.warned
    if said is not None and not said.stuck:
        replies += [one for one in said.replies if isinstance(one, Assume | Caution)]
        base = replace(said.state, shelf=base.shelf)
        warned = base.warned
    if step.caution:
        replies.append(Caution(step.caution, f"{plan.name}-{step.id}", "caution", step.source))
    if step.hold:
        many = minutes(step.hold)
        replies.append(Note(f'It takes {many}. Say "tell me in {many}" and I count.'))
    if step.tell and step.tell in on.facts and step.tell in dict(on.told):
        replies.append(Ask(f'You said {on.facts[step.tell]}: say "next" if that is it, or say another.'))
    elif step.tell:
        replies.append(Ask(plans.filled(step.ask, on.facts)))
    elif step.wait:
        due = on.since + datetime.timedelta(days=step.wait)
        over = f"The {days(step.wait)} of it are over." if today >= due and step.wait else ""
        replies.append(Note(f"{over or f'Then wait {days(step.wait)}, until {date(due)}.'} {step.then}"))
    final = replace(base.idle(), walk=on, warned=warned, touched=())
    return kept(talk, final, wrote, (*before, *replies)), (*before, *replies)


def days(count: int) -> str:
    """A length of time in days."""
    return f"{count} day" if count == 1 else f"{count} days"


def minutes(count: int) -> str:
    """A length of time in minutes."""
    return f"{count} minute" if count == 1 else f"{count} minutes"


def date(day: datetime.date) -> str:
    """A day without its year."""
    return day_words(day, year=False)


_OF_A_READING = ("Taken:", "Entered for today", "I took ")
"""How what is taken for granted of a reading begins."""


def entered(replies: Sequence[Reply]) -> tuple[Reply, ...]:
    """Of what entering a step said: what was written down, its cautions, and a reading's verdict."""
    kept: list[Reply] = []
    for one in replies:
        if isinstance(one, Chart | HeatChart) or one == entering.OFFER:
            continue
        judged = isinstance(one, Assume | Note) and one.text.startswith(_OF_A_READING)
        if (
            judged
            or isinstance(one, Log | Caution)
            or (isinstance(one, Answer) and one.calculator not in ("packed", "mash"))
        ):
            kept.append(one)
    return tuple(kept)


def changes(plan: Walk, before: dict[str, str], after: dict[str, str]) -> Note:
    """What another value changes of all that the walk's texts name, in words."""
    shown = {name for step in plan.steps for name in plans.holes(step.do)} | {step.tell for step in plan.steps}
    parts = [
        f"{name.replace('_', ' ')} {value}, was {before[name]}"
        for name, value in after.items()
        if name in shown and before.get(name, value) != value
    ]
    return Note(f"Changed: {'; '.join(parts[:6])}." if parts else "Nothing changes.")
