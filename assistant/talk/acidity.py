"""pH readings said in a talk: judged on the safer side, noted, never averaged."""

from __future__ import annotations

import re
from dataclasses import replace

from assistant.replies import Answer, Caution, Log, Note, NotRead, Reply, Value
from assistant.rules import Facts, cautions
from assistant.talk import account
from assistant.talk import words as say
from assistant.talk.account.which import names_batch
from assistant.talk.opened import open_question
from assistant.talk.place import dimension
from assistant.talk.state import Given, Result, Step, style
from grammar import measures
from grammar.types import Amount, Reading

_AIM = re.compile(
    r"\b(?:want|wants|aim|aiming|target|like|goal|going for|hope|hoping|recipe|supposed)\b"
    r"(?:\W+\w+){0,4}?\W+p\W?h\b"
    r"|\b(?:get|bring|take|lower|drop)\b(?:\W+\w+){0,3}\W+to\W+(?:a\W+)?p\W?h\b"
    r"|\bp\W?h\b\W+(?:should|must|ought|has to|needs to|goal|target)\b",
    re.IGNORECASE,
)
"""A pH that is wished for: it was not read, and gets no verdict."""

NO_DOSE = (
    "That pH was not read in the sauce, so nothing was noted; and no dose follows from pH values: a sauce is buffered "
    "and answers only to its own trial. Weigh 100 g of it, stir in 2 g of vinegar at a time, note the pH after each, "
    'and say what it took, for example "bench trial: 100 g took 8 g of vinegar, for 6.5 kg". A pH that you measured, '
    'say by itself: "pH 3.9 by meter".'
)


NO_SUM = (
    "I do not work out the pH of a sauce from what goes into it: a sauce is buffered, and answers only to its own "
    "trial and a meter. Weigh 100 g of it, stir in 2 g at a time, note the pH after each, and say what it took, for "
    'example "bench trial: 100 g took 8 g of vinegar, for 6.5 kg". What I can estimate is one acid in plain water, for '
    'example "pH of 200 ml of 5% vinegar in 800 ml of water".'
)
_ACIDS = frozenset({"vinegar", "acetic", "lactic", "citric"})


def not_a_sum(reading: Reading) -> bool:
    """Whether the pH is asked of something that an acid is in or goes into: no sum gives it."""
    asked = "ph" in reading.wanted or any(word.term == "ph" for word in reading.words)
    return asked and bool(reading.terms & _ACIDS)


NO_READING = (
    "That was no reading, so nothing was noted. Ask for the pH of an acid by itself, with all its amounts, for example "
    '"pH of 5% vinegar" or "pH of 5% vinegar, 1 part to 3 parts of water". A pH that you measured, say by itself: '
    '"pH 3.9 by meter".'
)
_IS_IT = re.compile(r"\s*(?:is|does|would|will|has|can)\b", re.IGNORECASE)


def _of_an_acid(reading: Reading) -> bool:
    """Whether a line with a pH asks about an acid and tells of no reading ("is 5 % vinegar below pH 4.6")."""
    if not reading.terms & _ACIDS:
        return False
    strong = any(dimension(one.unit) == "fraction" for one in reading.amounts)
    numbers = [one for one in reading.amounts if not one.unit]
    halves = any("/" in one.text or one.said("noun") == "water" for one in numbers)
    thinned = halves or ("diluting" in reading.terms and not any(one.said("property") for one in reading.amounts))
    return thinned or (strong and (reading.question or bool(_IS_IT.match(reading.text))))


def log(step: Step) -> Result:
    """One pH reading or several: the highest is judged; everything else said is named."""
    state, reading = step.state, step.reading
    numbers = [one for one in reading.amounts if not names_batch(reading, one)]
    found = [one for amount in numbers for one in (amount, *amount.rivals) if not one.unit]
    if not found:
        return state, (Note('I note pH readings, for example "pH 3.9". Other notes have no place yet.'),)
    if _of_an_acid(reading):
        return state, (Note(NO_READING), *open_question(state))
    if set(reading.wanted) - {"ph"} or _AIM.search(reading.text):
        return state, (Note(NO_DOSE), *open_question(state))
    wrong = next((one for one in found if not 0 <= one.value <= 14), None)
    if wrong is not None:
        text = f"A pH runs from 0 to 14; you said {wrong.value:g}. Nothing was noted."
        return state, (NotRead(text, "unit-fit", wrong.text, *wrong.span),)
    worst = max(found, key=lambda one: one.value)
    facts = _facts(reading, worst)
    shown = style(state, None)
    listed = ", ".join(f"{one.value:g}" for one in found)
    replies: list[Reply] = [
        Log(f"pH {listed}, noted in this talk."),
        Answer(_verdict(worst.value, len(found)), "ph", (Value("ph", worst.value, "pH"),)),
    ]
    booked = account.acid(state, reading, step.today, found)
    if booked is not None:
        return _in_the_book(step, booked, replies, found)
    replies += [say.caution(rule, facts, shown) for rule in cautions(facts)]
    beyond = dict.fromkeys(word.term for word in reading.words if word.kind == "beyond")
    replies += [Note(say.BEYOND[term]) for term in beyond]
    rest = [one for one in reading.amounts if one.unit and dimension(one.unit) != "temperature"]
    replies += [Note(f'I did not use "{one.text}": a pH reading has no place for it.') for one in rest]
    given = Given("ph", worst.value, worst, "noun")
    kept = (*(one for one in state.kept if one.name != "ph"), given)
    return replace(state, kept=kept), (*replies, *open_question(state))


def _in_the_book(step: Step, booked: Result, replies: list[Reply], found: list[Amount]) -> Result:
    """The reading entered in the open batch: its verdict, and what the watch over the batch says."""
    state, said = booked
    if not state.entered:
        return booked  # asked back: nothing was entered
    worst = max(found, key=lambda one: one.value)
    given = Given("ph", worst.value, worst, "noun")
    kept = (*(one for one in state.kept if one.name != "ph"), given)
    facts = _facts(step.reading, worst)
    strips = any(isinstance(one, Caution) and one.rule.startswith("strip") for one in said)
    own = [
        say.caution(rule, facts, style(state, None))
        for rule in cautions(facts)
        if rule.id in _OF_THE_SAMPLE and not (strips and rule.id == "ph-meter")
    ]
    verdict = [one for one in replies if isinstance(one, Answer)]
    beyond = dict.fromkeys(word.term for word in step.reading.words if word.kind == "beyond")
    asides = [Note(say.BEYOND[term]) for term in beyond]
    return replace(state, kept=kept), (said[0], *verdict, *said[1:], *own, *asides)


_OF_THE_SAMPLE = frozenset({"ph-warm", "low-acid", "ph-thin", "ph-meter"})
"""Cautions on how a sample was taken; all others the watch over the batch says better."""


def _facts(reading: Reading, worst: Amount) -> Facts:
    """What the rules look at: the reading, the sample's temperature, the words said with it."""
    values = {"ph": worst.value}
    for one in reading.amounts:
        if dimension(one.unit) == "temperature":
            values["temperature"] = measures.canonical(one.value, one.unit, "temperature")
    words = {word.term for word in reading.all_words} | {word.kind for word in reading.all_words}
    return Facts("ph", values, frozenset(words))


def _verdict(ph: float, count: int) -> str:
    lead = "Of these the highest counts. " if count > 1 else ""
    if ph <= 4.0:
        return f"{lead}pH {ph:g} is at or under 4.0, the aim, if the meter is calibrated and the sample blended."
    return f"{lead}pH {ph:g} is over 4.0, the aim; 4.6 is the limit, and a meter's error counts."
