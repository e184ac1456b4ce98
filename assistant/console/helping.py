"""What F1 says: the open question with its units, limits and an example, all from the declarations; else where a walk
stands, or what can be said."""

from __future__ import annotations

from assistant.batches.shelf import Unreadable
from assistant.console.keys import KEYS, MORE, WALK, shorts
from assistant.console.welcome import shown_first
from assistant.declare import Input
from assistant.reference import limits
from assistant.replies import Ask
from assistant.show import said, unit_name
from assistant.talk import words as say
from assistant.talk.account import telling
from assistant.talk.account.which import current
from assistant.talk.opened import open_question
from assistant.talk.state import State, style
from assistant.trade import calculator
from assistant.walks.plan import Step, filled, walk
from grammar.vocabulary import vocabulary

SHORT = 'Say a line in your own words. "help" lists what can be asked, "walks" leads step by step.'

TOLD = {
    "ph": "pH", "ph_last": "the last pH", "ph_again": "pH", "shown": "what the meter shows", "strength": "how salty",
    "produce": "what they weigh", "vessel": "how big", "sauce": "how much sauce", "bottles": "how many bottles",
}  # fmt: skip
"""What a step of a walk asks for, in the words of the bottom line."""


def asked(state: State) -> Input | None:
    """The quantity that is being asked for, or None."""
    if state.mode != "asking" or state.job is None:
        return None
    return calculator(state.job.calculator).input(state.asking[0])


def step_of(state: State) -> Step | None:
    """The step of the walk that is under way, or None."""
    on = state.walk
    if on is None or on.paused:
        return None
    plan = walk(on.walk)
    return plan.steps[plan.place(on.step)]


def question(state: State) -> str:
    """The open question as it was put, "" if none is open."""
    if state.mode != "idle":
        return next((one.text for one in open_question(state)), "")
    step = step_of(state)
    if step is not None and step.tell and state.walk is not None:
        return filled(step.ask, state.walk.facts)
    return next((one.text for one in reversed(state.said) if isinstance(one, Ask)), "")


def units_of(item: Input) -> list[str]:
    """The units that a quantity can be said in, by the vocabulary: every one, or those that are declared for it."""
    if item.units:
        return [one for one in item.units if unit_name(one)]
    return [unit for unit, dimension in vocabulary().dimension.items() if dimension == item.dimension]


def rows(state: State) -> list[str]:
    """The help for where the talk stands, a sentence or a few in each row."""
    text = question(state)
    if not text:
        return [*_walking(state), MORE] if step_of(state) is not None else [*_idle(state), MORE]
    out = [f"Asked: {text}"]
    item = asked(state)
    if item is not None:
        fits = say.UNITS_FOR.get(item.dimension, "")
        basis = f", in percent of {item.basis}" if item.basis else ""
        out.append(f"It is the {item.label}{basis}." + (f" Say {fits}." if fits else ""))
        out.append(f"It can be {limits(item)}.")
        if item.suggest is not None:
            out.append(f'"The usual" is {said(*item.suggest)}.')
        if item.dimension in say.FITS:
            out.append(f"For example: {say.FITS[item.dimension]}.")
        out.append('"why" says what it is for, "cancel" drops the question.')
        return [*out, MORE]
    step = step_of(state)
    if step is not None and step.tell and state.mode == "idle":
        out.append(step.why)
        if step.usual:
            out.append(f'"The usual" is {step.usual}.')
        if step.beyond:
            out.append(step.beyond)
        return [*out, MORE]
    options = next((one.options for one in reversed(state.said) if isinstance(one, Ask) and one.options), ())
    labels = [one.label for one in state.options] or list(options)
    if labels:
        out.append(f"Answer with one of these: {'; '.join(labels)}.")
    return [*out, MORE]


def _walking(state: State) -> list[str]:
    """Where a walk stands, and what moves it on."""
    on, step = state.walk, step_of(state)
    if on is None or step is None:
        return []
    plan = walk(on.walk)
    named = [one for one in shorts(True) if one in _ON_WALKS]
    return [
        f'Step {plan.place(on.step) + 1} of {len(plan.steps)} of "{plan.title}". {step.why}',
        f"Keys, with the line empty: {', '.join(named)}.",
        '"skip", "how long", "what do I need" and "stop for today" work too, and any other question in between.',
    ]


_ON_WALKS = {f"{one.name} {one.short}" for one in KEYS if one.when == WALK}


def _idle(state: State) -> list[str]:
    """What can be said with nothing open, and the keys that are needed most."""
    out = [SHORT, f"For example: {'; '.join(shown_first())}."]
    if state.walk is not None and state.walk.paused:
        out.append('"carry on" goes on with the walk.')
    if state.answered is not None:
        out.append('After an answer: "make it 4 kg", "why?", "undo".')
    return [*out, f"Keys: {', '.join(shorts(False))}; the Up key brings earlier lines back."]


def now(state: State) -> str:
    """What the bottom line says of where the talk stands."""
    if state.mode == "asking" and (item := asked(state)) is not None:
        return f"asking: {item.label}"
    if state.mode in ("choosing", "confirming"):
        return "asking: which one"
    if state.walk is not None and not state.walk.paused:
        plan = walk(state.walk.walk)
        step = plan.steps[plan.place(state.walk.step)]
        asking = f", asking: {TOLD.get(step.tell, step.tell)}" if step.tell else ""
        return f"step {plan.place(state.walk.step) + 1} of {len(plan.steps)}{asking}"
    if question(state):
        return "a question is open"
    if state.answered is not None and state.answered.given:
        return ", ".join(one.said for one in state.answered.given if not one.carried)
    return "nothing open"


def batch(state: State) -> str:
    """The open batch by its title, "" if there is none or it cannot be read: the next line says so."""
    try:
        found = current(state)
    except Unreadable:
        return ""
    return telling.titled(found) if found is not None else ""


def units(state: State) -> str:
    """The units that answers are shown in: "in kg, L, C"."""
    shown = style(state, state.job or state.answered)
    fixed = dict(state.fixed)
    kitchen = shown.kitchen or ("" if state.kitchen == "us" else state.kitchen)
    volume = {"us": "US cups", "imperial": "imperial pints", "metric": "metric cups"}.get(kitchen, f"{kitchen} cups")
    found = (
        unit_name(fixed["mass"]) if "mass" in fixed else "lb" if shown.pounds else "kg",
        unit_name(fixed["volume"]) if "volume" in fixed else volume if kitchen else "L",
        unit_name(fixed["temperature"]) if "temperature" in fixed else "F" if shown.fahrenheit else "C",
    )
    return f"in {', '.join(found)}"
