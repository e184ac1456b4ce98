"""What is said about the talk itself: why, help, repeat, start over."""

from __future__ import annotations

from dataclasses import replace

from assistant.replies import Answer, Ask, Caution, Done, Log, Note, Reply, Why
from assistant.rules import cautions
from assistant.talk import meaning
from assistant.talk import words as say
from assistant.talk.account import labelling, telling
from assistant.talk.change import labels
from assistant.talk.checked import checked
from assistant.talk.known import why as acid_why
from assistant.talk.opened import ask, open_question
from assistant.talk.state import Result, Step, style
from assistant.talk.why import why as explain
from assistant.talk.work import facts, outcome_of
from assistant.trade import CALCULATORS, calculator


def why(step: Step) -> Result:
    """The sums behind the last answer."""
    if meant := meaning.why(step.state):
        return replace(step.state, meant=()), meant
    job = step.state.answered
    acid = acid_why(step.state.said)
    if acid:
        found = [one for one in step.state.said if isinstance(one, Caution)]
        return step.state, (*acid, *(Why(f"The caution {one.rule} rests on this.", source=one.source) for one in found))
    booked = any(isinstance(one, Answer) and one.calculator == "batch" for one in step.state.said)
    if booked or any(isinstance(one, Log) for one in step.state.said):
        found = [one for one in step.state.said if isinstance(one, Caution)]
        rests: list[Reply] = [Why(f"The caution {one.rule} rests on this.", source=one.source) for one in found]
        replies = (*(labelling.why(step.state) or telling.why(step.state)), *rests)
        return step.state, replies or (Note("4.0 is the aim and 4.6 the limit (21 CFR 114)."),)
    if job is None:
        return step.state, (Note(f"There is no answer to explain yet. Ask something, for example: {say.EXAMPLE}."),)
    outcome = outcome_of(job)
    shown = style(step.state, job)
    if (held := checked(job, outcome, shown)) is not None:
        outcome = held[1]
    return step.state, explain(outcome, job, shown, cautions(facts(job, outcome)))


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
    book = Note(
        'What you do goes into the batch book: "new batch of reds in the 8 L crock", "packed 4 kg of chillies at 3%", '
        '"pH 3.9 by meter", "what\'s in the crock", "show the batch", "what batches".'
    )
    acid = Note('About pH: "what pH do I need", "why 4.6", "is 4.2 good enough", "strips ok?", "the reading drifts".')
    word = Note('A word you do not know: "what is headspace", or "what\'s that?" for the words of the last reply.')
    faults = Note('What is wrong with it: "white skin on top", "smells of eggs", "no bubbles", "the bottle hissed".')
    walked = Note('Step by step: "walk me through a first ferment", or "walks" for the list.')
    return state, (Note("Say it plainly, in any order. For example:"), *lines, after, book, acid, word, faults, walked)


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
    return step.state.anew(), (Note('A clean slate. Say "undo" to have it back. What shall I work out?'),)


def leave(step: Step) -> Result:
    """The talk ends."""
    return step.state, (Done("Goodbye."),)
