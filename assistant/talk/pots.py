"""What was worked out, shared over several pots of one sauce; and one pot's addition held against its share.

The pots hold the same sauce, so each takes its part by weight. Nothing here is entered in the book.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from assistant.evaluate import AGREE
from assistant.replies import Answer, Ask, Note, Reply, Value
from assistant.show import Style, quantity
from assistant.talk.place import dimension, settled
from assistant.talk.state import Job, Result, State, style
from assistant.talk.work import outcome_of
from grammar import measures
from grammar.later import regex
from grammar.types import Amount, Reading

_PARTS = {
    "adjust": {
        "salt": "add_salt", "water": "add_water", "vinegar": "add_vinegar", "brine": "add_brine", "mild": "add_mash",
        "gum": "add_gum",
    },
    "thicken": {"gum": "gum"},
    "acetic": {"vinegar": "vinegar"},
    "raise": {"salt": "salt"},
    "dilute": {"water": "water"},
    "trial": {"": "needed"},
}  # fmt: skip
"""What each calculator's answer puts in: by the word for it, the quantity."""

_NAMES = {"mild": "mash"}
_THINGS = ("salt", "water", "vinegar", "brine", "mild", "gum", "sugar", "honey")

_SHARE = regex(
    r"\b(?:shar(?:e|ed|ing)|split|divid(?:e|ed)|spread)\b.*\b(?:over|between|across|among)\b"
    r"|\bhow much (?:of (?:that|it|each|everything) )?(?:goes|go|should go|do i put|for) (?:in|into|to)?\b.*\bpot\b",
    re.IGNORECASE,
)
_READ_LATER = "Stir, wait, and read the pH of each pot a day later: readings of two pots are never averaged."


@dataclass(frozen=True)
class _Whole:
    """An answer that can be shared: what goes in, by word, and what it goes into, in kg."""

    parts: dict[str, float]
    sauce: float
    style: Style


def shared(state: State, reading: Reading) -> Result | None:
    """The last answer's additions pot by pot, or one pot's addition held against them; None if it is neither."""
    whole = _whole(state)
    if whole is None or state.mode != "idle":
        return None
    if (one := _one_pot(state, reading, whole)) is not None:
        return state, one
    named = any(word.term == "sharing" for word in reading.words)
    if not named and not _SHARE.search(" ".join(reading.text.split())):
        return None
    pots = _pots(state, reading, whole)
    if pots is None:
        return state, (Ask("Over which pots? Say what each holds, for example: share it over pots of 4 kg and 2 kg."),)
    return state, _pot_by_pot(whole, pots)


def _whole(state: State) -> _Whole | None:
    """What the last answer puts in, and into how much."""
    job = state.answered
    if job is None or job.calculator not in _PARTS:
        return None
    outcome = outcome_of(job)
    sauce = outcome.values.get("sauce", outcome.values.get("amount"))
    if not outcome.solved or sauce is None:
        return None
    parts = {
        word or _tried(job): outcome.values[name]
        for word, name in _PARTS[job.calculator].items()
        if outcome.values.get(name, 0.0) > 0
    }
    return _Whole(parts, sauce, style(state, job)) if parts else None


def _tried(job: Job) -> str:
    """What the trial was made with, "" where nobody said."""
    nouns = [one.amount.noun.term for one in job.given if one.name == "dose" and one.amount.noun is not None]
    return nouns[0] if nouns else "it"


def _kg(amount: Amount, state: State) -> float | None:
    """What a pot holds in kg (1 L of sauce taken as 1 kg), None for anything else."""
    exact = settled(amount, state.kitchen)
    kind = dimension(exact.unit)
    if kind not in ("mass", "volume"):
        return None
    return measures.canonical(exact.value, exact.unit, kind)


def _pots(state: State, reading: Reading, whole: _Whole) -> list[float] | None:
    """What each pot holds in kg: as said, or so many alike; None if that cannot be told."""
    if any(one.rivals for one in reading.amounts):
        return None  # "3 and 2 kg": said once more, each with its unit
    held = [one for one in reading.amounts if one.unit]
    found = [kilos for one in held if (kilos := _kg(one, state)) is not None and kilos > 0]
    if len(found) != len(held):
        return None
    counts = [one.value for one in reading.amounts if not one.unit and one.said("vessel")]
    loose = len(reading.amounts) - len(held) - len(counts)
    if loose or len(counts) > 1 or any(one != int(one) or not 1 <= one <= 50 for one in counts):
        return None
    if counts and not found:
        return [whole.sauce / counts[0]] * int(counts[0])
    if counts and len(found) == 1:
        return found * int(counts[0])
    if counts and len(found) != counts[0]:
        return None
    return found or None


def _pot_by_pot(whole: _Whole, pots: list[float]) -> tuple[Reply, ...]:
    """Each pot's part of everything that goes in."""
    lines, values = [], []
    for number, pot in enumerate(pots, 1):
        parts = [(word, amount * pot / whole.sauce) for word, amount in whole.parts.items()]
        into = ", ".join(f"{_show(amount, whole)} of {_NAMES.get(word, word)}" for word, amount in parts)
        lines.append(f"Into {_show(pot, whole)}: {into}.")
        values += [Value(f"pot_{number}_{word}", 1000 * amount, "gram") for word, amount in parts]
    text = " ".join(lines)
    replies: list[Reply] = [Answer(f"{text} {_READ_LATER}", "pots", tuple(values), text)]
    together = sum(pots)
    if abs(together - whole.sauce) > 0.01 * whole.sauce:
        all_, there = _show(whole.sauce, whole), _show(together, whole)
        replies.append(Note(f"The pots hold {there} together; it was worked out for {all_}. Each pot's part is right."))
    replies.append(Note("Both must hold the same sauce. None of this is entered in the book."))
    return tuple(replies)


def _one_pot(state: State, reading: Reading, whole: _Whole) -> tuple[Reply, ...] | None:
    """What is to go into one pot, held against its part; None if the line says no such thing."""
    put = [one for one in reading.amounts if _word(one) in _THINGS]
    pots = [one for one in reading.amounts if one.said("vessel") and one.unit]
    asks = reading.question or any(word.term == "checking" for word in reading.words)
    if len(put) != 1 or len(pots) != 1 or len(reading.amounts) != 2 or not asks:
        return None
    amount, pot = _kg(put[0], state), _kg(pots[0], state)
    word = _word(put[0])
    if amount is None or not pot or dimension(put[0].unit) != "mass":
        return None
    if word not in whole.parts:
        goes = " and ".join(_NAMES.get(one, one) for one in whole.parts)
        text = f"No: no {word} was worked out to go in; what goes in is {goes}."
        return (Answer(text, "pots", (), text),)
    part = whole.parts[word] * pot / whole.sauce
    name, takes, holds = _NAMES.get(word, word), _show(part, whole), _show(pot, whole)
    if abs(amount - part) <= max(AGREE * part, 5e-4):  # a kitchen scale shows whole grams
        text = f"Yes: {holds} takes {takes} of {name}."
    else:
        way = "too much" if amount > part else "short"
        text = f"No: {holds} takes {takes} of {name}; {put[0].text} is {_show(abs(amount - part), whole)} {way}."
    return (Answer(text, "pots", (Value(f"pot_{word}", 1000 * part, "gram"),), text),)


def _word(amount: Amount) -> str:
    return amount.noun.term if amount.noun is not None else ""


def _show(kilos: float, whole: _Whole) -> str:
    return quantity(kilos, "mass", whole.style)
