"""While readings are open to choose from, or a repair to confirm."""

from __future__ import annotations

from dataclasses import replace

from assistant.replies import Note
from assistant.talk.asking import fill_with
from assistant.talk.change import changed
from assistant.talk.choose import choose
from assistant.talk.convert import convert, direct
from assistant.talk.follow import ORDER
from assistant.talk.opened import open_question
from assistant.talk.place import dimension, settled
from assistant.talk.start import begin, choose_reading, start
from assistant.talk.state import Option, Result, State, Step
from grammar import measures
from grammar.types import Amount, Reading, Span, Word


def pick_or_start(step: Step) -> Result:
    """An answer to the choice, or a new question if it is none."""
    found = _picked(step.state, step.reading)
    return _more(step) if found is None else resume(step.state, found)


def named(state: State, text: str) -> Option | None:
    """The option whose label holds the words, whether or not the kitchen knows them."""
    said = " ".join(text.lower().split()).strip(" .!?,")
    if said in ("c", "f"):  # "74 C or 74 F?": no word of the kitchen, and plain here
        found = [one for one in state.options if one.label.lower().split()[-1:] == [said]]
    else:
        found = [one for one in state.options if len(said) > 3 and said in one.label.lower()]
    return found[0] if len(found) == 1 else None


def hinted(state: State, text: str) -> Option | None:
    """The one option that shares a word with the line: "fluid, like on the jug"."""
    words = {word.strip(" .!?,") for word in text.lower().split()} - {"ounces", "litres", "pounds"}
    found = [one for one in state.options if {word for word in one.label.lower().split() if len(word) > 4} & words]
    return found[0] if len(found) == 1 else None


def _more(step: Step) -> Result:
    """What is said instead of choosing: facts for the question that is open, or a new question."""
    state, reading = step.state, step.reading
    if direct(reading):
        return state, (*convert(reading, state.kitchen), *open_question(state))
    joins = state.options[0].calculator and state.options[0].amount is None and not state.options[0].placed
    fresh = choose(reading, state.kitchen)
    if joins and reading.amounts and not reading.wanted and not any(one.rivals for one in reading.amounts):
        options = tuple(replace(one, reading=_joined(one.reading, reading)) for one in state.options)
        held = replace(state, options=options)
        picked = [one for one in options if one.terms & reading.terms]
        if len(picked) == 1:
            return resume(held, picked[0])
        noted = ", ".join(one.text for one in reading.amounts)
        return held, (Note(f"Noted: {noted}."), *open_question(state))
    if reading.act in ("ask", "tell") and fresh:
        return start(replace(step, state=state.idle()))
    listed = "; ".join(f"{number}: {one.label}" for number, one in enumerate(state.options, start=1))
    return state, (Note(f"Pick one of these by its words or number. {listed}."), *open_question(state))


def _joined(first: Reading, later: Reading) -> Reading:
    """One reading of two lines; "no, 6 lb" takes the place of the 5 lb, it does not join them."""
    if later.firm or "no" in later.commands:
        fresh = {dimension(one.unit) for one in later.amounts}
        first = replace(first, amounts=tuple(one for one in first.amounts if dimension(one.unit) not in fresh))
    put = len(first.text) + 2
    moved = tuple(replace(one, span=_after(one.span, put), noun=_moved(one.noun, put)) for one in later.amounts)
    words = tuple(replace(one, span=_after(one.span, put)) for one in later.words)
    text = f"{first.text}, {later.text}"  # what reads the line itself has to find them where they stand
    return replace(first, text=text, amounts=(*first.amounts, *moved), words=(*first.words, *words))


def _after(span: Span, by: int) -> Span:
    return (span[0] + by, span[1] + by)


def _moved(word: Word | None, by: int) -> Word | None:
    return None if word is None else replace(word, span=_after(word.span, by))


def resume(state: State, option: Option) -> Result:
    """Goes on from the option picked, in the question that was open before."""
    back = closed(state)
    two = next((one for one in option.reading.amounts if one.rivals), None)
    if two is not None and state.resume in ("change", "asking"):
        doubt, replies = choose_reading(back, option, two)
        return replace(doubt, resume=state.resume), replies
    if state.resume == "change" and state.answered is not None:
        return changed(back, state.answered, option.reading, option.merge)
    other = state.job is not None and option.calculator not in ("", state.job.calculator)
    if state.resume == "asking" and state.job is not None and not other:
        return fill_with(back, option.reading, option.placed)
    return begin(back, option)


def _picked(state: State, reading: Reading) -> Option | None:
    """The option the words name: its value, its unit, its terms, or its place in the list."""
    options = state.options
    offered = {one.amount.unit for one in options if one.amount is not None}
    if "fluid_ounce" in offered and "ounce" not in offered:  # "oz", where a volume is asked for
        fluid = [replace(one, unit="fluid_ounce") if one.unit == "ounce" else one for one in reading.amounts]
        unit = "fluid_ounce" if reading.unit == "ounce" else reading.unit
        reading = replace(reading, amounts=tuple(fluid), unit=unit)
    for word in reading.words:
        if ORDER.get(word.term, len(options)) < len(options):
            return options[ORDER[word.term]]
    for amount in reading.amounts:
        same = [one for one in options if one.amount is not None and _same(one.amount, amount, state.kitchen)]
        if len(same) == 1:
            return same[0]
    if len(reading.amounts) == 1 and not reading.amounts[0].unit and not reading.words:
        number = reading.amounts[0].value
        if number in range(1, len(options) + 1) and not any(one.amount for one in options):
            return options[int(number) - 1]
    if (label := named(state, reading.text)) is not None:
        return label
    if reading.unit:
        same = [one for one in options if one.amount is not None and one.amount.unit == reading.unit]
        if len(same) == 1:
            return same[0]
    if reading.amounts:
        return None  # a whole new sentence, not the name of an option
    terms = reading.terms | {word.kind for word in reading.all_words}
    if "weight" in reading.text.lower():
        same = [one for one in options if one.label.endswith("by weight")]
        if same:
            return same[0]
    if "fluid" in reading.text.lower() or "volume" in reading.text.lower():
        same = [one for one in options if one.label.endswith("by volume")]
        if same:
            return same[0]
    same = [one for one in options if one.terms & terms]
    return same[0] if len(same) == 1 else None


def _same(offered: Amount, amount: Amount, kitchen: str) -> bool:
    """Whether an amount is the one offered: "1.5 kg" is the 1500 g, a bare number its own value."""
    if amount.unit in ("", offered.unit):
        return abs(offered.value - amount.value) < 1e-9
    if not dimension(amount.unit) or dimension(amount.unit) != dimension(offered.unit):
        return False
    exact, other = settled(amount, kitchen), settled(offered, kitchen)
    try:
        there = measures.convert(other.value, other.unit, exact.unit)
    except ValueError:
        return False
    return abs(there - exact.value) < 1e-6 * max(abs(there), 1.0)


def confirmed(step: Step) -> Result:
    """Yes to a repair: on with it."""
    assert step.state.confirm is not None
    return resume(step.state, step.state.confirm)


def closed(state: State) -> State:
    """The state with the choice or the confirmation dropped, and what was open before it open again."""
    mode = "idle" if state.resume == "change" else state.resume
    return replace(state, mode=mode, resume="idle", options=(), confirm=None)


def not_confirmed(step: Step) -> Result:
    """No to a repair: the sentence is asked for again."""
    back = closed(step.state)
    return back, (Note("Then say it again with the word you meant."), *open_question(back))


def nod(step: Step) -> Result:
    """Words that are neither yes nor no, where one of two is to be picked: the option they hint at."""
    found = hinted(step.state, step.reading.text)
    if found is None:
        return step.state, (Note("That does not answer it."), *open_question(step.state))
    return resume(step.state, found)


def why_choose(step: Step) -> Result:
    """Why there is a choice at all."""
    text = "Because the readings give different numbers, and I do not guess."
    return step.state, (Note(text), *open_question(step.state))
