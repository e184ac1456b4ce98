"""Corrections and new values for the last answer or the open question."""

from __future__ import annotations

from dataclasses import replace

from assistant.declare import Calculator
from assistant.replies import Answer, Ask, Note, Reply
from assistant.talk import words as say
from assistant.talk.choose import choose
from assistant.talk.convert import direct
from assistant.talk.place import dimension, place, possible
from assistant.talk.start import begin, doubt, no_calculator, set_kitchen
from assistant.talk.state import Given, Job, Option, Result, State, Step
from assistant.talk.work import fixed, goals_of, outcome_of, proceed, with_words
from assistant.trade import calculator
from grammar import measures
from grammar.types import Amount, Reading


def tell(step: Step) -> Result:
    """A statement: a correction of the last answer if it fits one, else a new question."""
    reading = step.reading
    if kitchen := reading.kinds.get("kitchen"):
        return set_kitchen(step, kitchen[0])
    if direct(reading):
        return begin(step.state, Option("", reading))
    if choose(reading, step.state.kitchen):
        return begin(step.state, Option("", reading))
    if step.state.answered is not None:
        return change(step)
    return begin(step.state, Option("", reading))


def change(step: Step) -> Result:
    """A correction or a new value for the job that is open or was answered last."""
    state, reading = step.state, step.reading
    job = state.job if state.mode in ("asking",) else state.answered
    if state.mode == "confirming":
        state = replace(state, mode="idle", confirm=None)
    if kitchen := reading.kinds.get("kitchen"):
        return set_kitchen(step, kitchen[0])
    if job is None:
        if choose(reading, state.kitchen):
            return begin(state, Option("", reading))
        return state, (no_calculator(reading),)
    if (open_ := doubt(replace(state, mode="idle"), Option("", reading))) is not None:
        return replace(open_[0], resume="change"), open_[1]
    if reading.unit and not reading.amounts:
        return _in_unit(state, job, reading.unit)
    return changed(state, job, reading)


def _in_unit(state: State, job: Job, unit: str) -> Result:
    """The last answer in another unit."""
    chosen = calculator(job.calculator)
    of = dimension(unit)
    if of not in {one.dimension for one in chosen.inputs}:
        return state, (Note(f"There is no {say.UNITS_FOR.get(of, of).split(' (')[0]} in this to show so."),)
    return proceed(fixed(state, unit), job, None)


def changed(state: State, job: Job, reading: Reading) -> Result:
    """The job with what was said put in, worked out anew; what gives way is said."""
    chosen = calculator(job.calculator)
    held = [one.name for one in job.given]
    bare = [replace(one, unit=_like(job, one)) if not one.unit else one for one in reading.amounts]
    found = place(chosen, bare, state.kitchen, held=held)
    if found.misfit:
        return state, (say.misfit(*found.misfit[0]),)
    rest = list(found.unplaced)
    if rest or not (found.given or reading.words):
        amount = rest[0] if rest else None
        if amount is not None:
            items = possible(chosen, amount, {one.name for one in found.given})
            if len(items) == 1:
                found = replace(found, given=(*found.given, _as(amount, items[0].name, job)), unplaced=())
                rest = []
        if rest or not found.given:
            if choose(reading, state.kitchen):
                return begin(state.idle(), Option("", reading))
            what = f'"{rest[0].text}"' if rest else "that"
            return state, (Ask(f"What shall {what} change: {say.listed(labels(job))}?"),)
    goals = goals_of(chosen, reading, job) or job.goals
    new = with_words(job.with_given(found.given), reading)
    new = replace(new, goals=tuple(one for one in goals if one not in new.values()))
    new, dropped = _loosen(job, new, {one.name for one in found.given})
    if new == job:
        return state, (Note("That is how it already stands."),)
    after, replies = proceed(replace(state, mode="idle"), new, None)
    if not replies or replies[0].kind == "refuse":
        return state, replies
    notes: list[Reply] = [_change_note(chosen, job, one) for one in found.given]
    notes += [Note(f"The {chosen.input(one).label} is worked out anew from it.") for one in dropped]
    if isinstance(replies[0], Answer):
        return after, (replies[0], *notes, *replies[1:])
    return after, (*notes, *replies)


def _as(amount: Amount, name: str, job: Job) -> Given:
    item = calculator(job.calculator).input(name)
    return Given(name, measures.canonical(amount.value, amount.unit, item.dimension), amount, "asked")


def _like(job: Job, amount: Amount) -> str:
    """The unit a bare number in a correction takes: that of the one number it can replace."""
    nouned = [
        one
        for one in job.given
        if amount.noun is None or amount.noun.term in calculator(job.calculator).input(one.name).terms
    ]
    units = {one.amount.unit for one in nouned if one.how != "kept"}
    return units.pop() if len(units) == 1 else ""


def labels(job: Job) -> list[str]:
    """The given inputs in words, to choose from."""
    chosen = calculator(job.calculator)
    return [f"the {chosen.input(one.name).label} ({one.said})" for one in job.given]


def _loosen(before: Job, job: Job, fresh: set[str]) -> tuple[Job, list[str]]:
    """Where a new value leaves too much given, the old value that has to give way.

    A strength goes before an amount, and what was said last goes last. A new value that
    only takes the place of a default (a fill line for the usual 90 %) displaces nothing.
    """
    dropped: list[str] = []
    too_many = _determined(before, fresh)
    for _ in range(len(job.given)):
        outcome = outcome_of(job)
        if outcome.clash is None and not too_many:
            return job, dropped
        too_many = False
        chosen = calculator(job.calculator)
        old = [one for one in job.given if one.name not in fresh]
        old.sort(key=lambda one: chosen.input(one.name).dimension not in ("fraction", "density"))
        for one in old:
            trial = replace(job.without(one.name), goals=())
            result = outcome_of(trial)
            if result.clash is None and one.name in result.values and result.outside is None:
                job, dropped = replace(trial, goals=(one.name,)), [*dropped, one.name]
                break
        else:
            return job, dropped
    return job, dropped


def _determined(before: Job, fresh: set[str]) -> bool:
    """Whether a fresh input was already worked out from what the person had given."""
    outcome = outcome_of(before)
    if not outcome.solved:
        return False
    assumed = {one.name for one in outcome.assumed}
    return any(step.name in fresh and not step.relation.needs[step.name] & assumed for step in outcome.steps)


def _change_note(chosen: Calculator, job: Job, one: Given) -> Note:
    before = next((old for old in job.given if old.name == one.name), None)
    label = chosen.input(one.name).label
    now = one.said
    if before is None:
        return Note(f"With {label} {now}.")
    return Note(f"{label[0].upper()}{label[1:]}: {now}, was {before.said}.")
