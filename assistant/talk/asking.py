"""While a question for an input is open: fill it, take the usual, say what it is for, drop it."""

from __future__ import annotations

from dataclasses import replace

from assistant.declare import Calculator, Input
from assistant.replies import Answer, Assume, Note, Reply
from assistant.show import said
from assistant.talk import words as say
from assistant.talk.choose import choose
from assistant.talk.convert import convert, direct
from assistant.talk.follow import answered
from assistant.talk.opened import ask, open_question, reopened
from assistant.talk.place import Placement, dimension, place, possible
from assistant.talk.start import UNITS_ASKED, ask_unit, begin, doubt, start, which_input
from assistant.talk.state import Given, Job, Option, Placed, Result, State, Step
from assistant.talk.work import proceed, with_words
from assistant.trade import calculator
from grammar import measures
from grammar.types import Amount, Reading


def fill(step: Step) -> Result:
    """Amounts or words as the answer to the open question."""
    state, reading = step.state, step.reading
    job = state.job
    assert job is not None
    chosen = calculator(job.calculator)
    if direct(reading):
        return state, (*convert(reading, state.kitchen), ask(state))
    if reading.amounts and any(word.kind in ("times", "step") for word in reading.words):
        return state, (Note("Say the amount itself."), ask(state))
    if reading.unit and not reading.amounts and not reading.words:
        return state, (Note("I need the number too."), ask(state))
    if (open_ := doubt(state, Option("", reading, calculator=chosen.name))) is not None:
        return open_
    return fill_with(state, reading, ())


def fill_with(state: State, reading: Reading, placed: Placed) -> Result:
    """The open job with what was said put in: answered, or the next question."""
    job = state.job
    assert job is not None
    chosen = calculator(job.calculator)
    held = {one.name for one in job.given}
    held_units = {one.name: one.amount.unit for one in job.given}
    found = place(
        chosen, reading.amounts, state.kitchen, asking=state.asking, taken=held, placed=placed, later=state.later
    )
    if (salt := _salt_or(state, found, chosen, job)) is not None:
        amount, items = salt
        return which_input(state, Option("", reading, calculator=chosen.name, placed=placed), amount, items)
    if job.calculator == "brine" and any(one.said("vessel") or one.said("produce") for one in reading.amounts):
        amounts = (*(one.amount for one in job.given), *reading.amounts)
        return begin(state.idle(), Option("", replace(reading, amounts=amounts), calculator="packed"))
    if found.unplaced and not found.misfit:
        # a bare number said where something else is asked for is no pH
        loose = [one for one in found.unplaced if not one.unit and one.noun is None and chosen.has("ph")]
        rest = [one for one in found.unplaced if one not in loose]
        more = place(chosen, rest, state.kitchen, held=held_units, taken={one.name for one in found.given})
        found = Placement((*found.given, *more.given), (*more.unplaced, *loose), more.misfit)
    bare = next((one for one in (*found.unplaced, *(one for one, _ in found.misfit)) if not one.unit), None)
    if bare is not None and bare.noun is None:
        units = UNITS_ASKED.get(chosen.input(state.asking[0]).dimension, ())
        if len(units) < 2:
            return state, (Note(f'"{bare.text}" needs its unit.'), ask(state))
        return ask_unit(state, Option("", reading, calculator=chosen.name), bare, units)
    if found.misfit:
        return state, (say.misfit(*found.misfit[0]), ask(state))
    if found.unplaced:
        taken = held | {one.name for one in found.given}
        for amount in found.unplaced:
            items = possible(chosen, amount, taken)
            if len(items) > 1:
                return which_input(state, Option("", reading, calculator=chosen.name, placed=placed), amount, items)
        quoted = say.listed(f'"{one.text}"' for one in found.unplaced)
        return state, (Note(f"I have no place for {quoted} here."), ask(state))
    before = job
    job = with_words(job.with_given(found.given), reading)
    if job == before:
        return state, (Note("That does not answer it."), ask(state))
    after, replies = proceed(state, job, None)
    changed = [one for one in found.given if one.name in held]
    notes: list[Reply] = [Note(f"{chosen.input(one.name).label.capitalize()} is now {one.said}.") for one in changed]
    if after is state or after == state:
        return state, (*replies, ask(state))
    return after, (*notes, *replies)


def _salt_or(state: State, found: Placement, chosen: Calculator, job: Job) -> tuple[Amount, list[Input]] | None:
    """A bare weight answered to a question for a percentage: it may be the salt itself."""
    asked = chosen.input(state.asking[0])
    names = {one.name for one in chosen.inputs}
    loose = [one for one in (*found.unplaced, *(one for one, _ in found.misfit)) if dimension(one.unit) == "mass"]
    if asked.dimension != "fraction" or not loose or loose[0].noun is not None or "salt" not in names:
        return None
    held = [chosen.input(one.name) for one in job.given if chosen.input(one.name).dimension == "mass"]
    return (loose[0], [chosen.input("salt"), *held]) if held and "salt" not in job.values() else None


_ASIDES = frozenset({"spoon", "substance", "gravity", "salometer", "saturation", "cylinder", "calendar"})
"""Calculators whose questions are asked in the middle of another, and are no answer to it."""

_OF_THE_JOB = frozenset({"salt", "water", "produce", "strength", "salinity", "unsalted", "brine"})
"""What can be asked for again along with an answer; a weight or a volume by itself is another question."""


def answer_or_start(step: Step) -> Result:
    """Words of a question while one is open: an answer if all of it fits, else a new question."""
    reading, state = step.reading, step.state
    assert state.job is not None
    chosen = calculator(state.job.calculator)
    topics = {word.term for word in reading.words if word.kind == "topic"}
    names = {one.name for one in choose(reading, state.kitchen)}
    produce = any(word.kind == "produce" for word in reading.all_words)
    if reading.question and names & _ASIDES and chosen.name not in names:
        return start(step)
    others = {"density", "gravity", "salometer-reading"} & reading.terms
    if others and chosen.name not in ("gravity", "salometer"):
        return start(step)
    if _another(chosen.name, reading):
        return start(step)
    if (
        names == {chosen.name} and not produce and reading.amounts
    ):  # "bring it down to 4 %, how much water?": part of the same job
        filled = fill(step)
        if answered(filled[1]) is not None:
            return filled
    known = all(one in chosen.wanted and one in _OF_THE_JOB for one in reading.wanted) and not produce
    if known and not topics and reading.amounts:
        found = place(chosen, reading.amounts, state.kitchen, asking=state.asking, taken=state.job.values())
        if found.given and not found.unplaced and not found.misfit:
            return fill(step)
    return start(step)


def _another(calculator: str, reading: Reading) -> bool:
    """Whether a line names a mash or a brine and weighs it: "mash of 3 kg at 3%" is no answer to "how much water?"."""
    named = {word.term for word in reading.words if word.kind == "noun"}
    weighed = any(one.noun is None and one.unit and dimension(one.unit) == "mass" for one in reading.amounts)
    return weighed and (
        ("mash" in named and calculator != "mash") or ("brine" in named and calculator in ("packed", "brine"))
    )


def usual(step: Step) -> Result:
    """ "I don't know": the common value, said as assumed; else where to find it."""
    state = step.state
    job = state.job
    assert job is not None
    chosen = calculator(job.calculator)
    item = chosen.input(state.asking[0])
    if item.suggest is None:
        return state, (Note(f"There is no usual value for the {item.label}: weigh or measure it."), ask(state))
    value, unit = item.suggest
    amount = Amount(value, unit, (0, 0), said(value, unit))
    given = Given(item.name, measures.canonical(value, unit, item.dimension), amount, "noun")
    after, replies = proceed(state, job.with_given((given,)), None)
    note = Assume(f"{said(value, unit)}, the common value. Say another to change it.", item.name, value, unit)
    if replies and isinstance(replies[0], Answer):
        return after, (replies[0], note, *replies[1:])
    return after, (note, *replies)


def why_asked(step: Step) -> Result:
    """What the answer to the open question is needed for."""
    state = step.state
    assert state.job is not None
    chosen = calculator(state.job.calculator)
    name = state.asking[0]
    used = [one.text for one in chosen.relations if name in one.names]
    text = f"I need the {chosen.input(name).label} for: {used[0].replace('_', ' ')}." if used else "I need it to go on."
    return state, (Note(text), ask(state))


def ask_again(step: Step) -> Result:
    """A yes or no where neither answers: the open question once more."""
    return step.state, (Note("That does not answer it."), *open_question(step.state))


def cancel(step: Step) -> Result:
    """The open question is dropped; the last answer stands, and a question it was asked within is open again."""
    state = step.state.idle()
    if not state.suspended:
        return state, (Note("Dropped. What next?"),)
    back = reopened(state)
    return back, (Note("Dropped."), *open_question(back))
