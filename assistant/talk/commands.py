"""What is said about the talk itself: why, help, repeat, start over; and pH readings."""

from __future__ import annotations

from dataclasses import replace

from assistant.replies import Answer, Ask, Done, Log, Note, NotRead, Reply, Value
from assistant.rules import Facts, cautions
from assistant.talk import words as say
from assistant.talk.change import labels
from assistant.talk.state import Given, Result, State, Step, style
from assistant.talk.why import why as explain
from assistant.talk.work import ask, facts, open_question, outcome_of
from assistant.trade import CALCULATORS, calculator
from grammar.types import Reading


def why(step: Step) -> Result:
    """The sums behind the last answer."""
    job = step.state.answered
    if job is None:
        return step.state, (Note(f"There is no answer to explain yet. Ask something, for example: {say.EXAMPLE}."),)
    outcome = outcome_of(job)
    rules = cautions(facts(job, outcome))
    return step.state, explain(outcome, style(step.state, job), rules)


def repeat(step: Step) -> Result:
    """The last replies once more."""
    return step.state, step.state.said or (Note("Nothing has been said yet."),)


def help_(step: Step) -> Result:
    """What can be said now."""
    state = step.state
    if state.mode == "asking" and state.job is not None:
        chosen = calculator(state.job.calculator)
        item = chosen.input(state.asking[0])
        usual = ' Say "the usual" for the common value.' if item.suggest else ""
        unit = say.UNITS_FOR.get(item.dimension, "")
        text = f'An amount will do, {unit}.{usual} "why" says what it is for, "cancel" drops it.'
        return state, (Note(text), ask(state))
    if state.mode in ("choosing", "confirming"):
        return state, (Note("Answer with one of these, or say cancel."), *open_question(state))
    lines = [Note(f"{one.title}: {one.examples[0].say}.") for one in CALCULATORS if one.examples]
    after = Note(
        'After an answer: "make it 4 kg", "what about 3 percent", "in pounds", "why", "undo", "repeat", "start over".'
    )
    return state, (Note("Say it plainly, in any order. For example:"), *lines, after)


def nothing_open(step: Step) -> Result:
    """A yes or a number with nothing open."""
    return step.state, (Note(f"No question is open. Ask something, for example: {say.EXAMPLE}."),)


def say_what(step: Step) -> Result:
    """A no without what is wrong."""
    if step.state.answered is None:
        return nothing_open(step)
    text = f'What is wrong: {say.listed(labels(step.state.answered))}? Say, for example, "make it 4 kg", or "undo".'
    return step.state, (Ask(text),)


def reset(step: Step) -> Result:
    """A clean slate; undo brings the old one back."""
    fresh = State(kitchen=step.state.kitchen)
    return fresh, (Note('A clean slate. Say "undo" to have it back. What shall I work out?'),)


def leave(step: Step) -> Result:
    """The talk ends."""
    return step.state, (Done("Goodbye."),)


def log(step: Step) -> Result:
    """Something to note: a pH reading."""
    logged = _ph(step.state, step.reading)
    if logged is not None:
        return logged
    return step.state, (Note('I note pH readings, for example "pH 3.9". Other notes have no place yet.'),)


def _ph(state: State, reading: Reading) -> Result | None:
    """A pH reading, judged and noted in the talk."""
    amount = next((one for one in reading.amounts if one.said("property") == "ph"), None)
    if amount is None and len(reading.amounts) == 1 and not reading.amounts[0].unit:
        amount = reading.amounts[0]
    if amount is None or amount.unit:
        return None
    if not 0 <= amount.value <= 14:
        text = f"A pH runs from 0 to 14; you said {amount.value:g}. Nothing was noted."
        return state, (NotRead(text, "unit-fit", amount.text, *amount.span),)
    held = Facts("ph", {"ph": amount.value})
    replies: list[Reply] = [
        Log(f"pH {amount.value:g}, noted in this talk."),
        Answer(_verdict(amount.value), "ph", (Value("ph", amount.value, "pH"),)),
    ]
    shown = style(state, None)
    replies += [say.caution(rule, held, shown) for rule in cautions(held)]
    given = Given("ph", amount.value, amount, "noun")
    kept = (*(one for one in state.kept if one.name != "ph"), given)
    return replace(state, kept=kept), (*replies, *open_question(state))


def _verdict(ph: float) -> str:
    if ph <= 4.0:
        return f"pH {ph:g} is at or under 4.0, the aim, if the meter is calibrated and the sample blended."
    return f"pH {ph:g} is over 4.0, the aim; 4.6 is the limit, and a meter's error counts."
