"""A new question: which calculator it calls, and which of its amounts is which input."""

from __future__ import annotations

import re
from dataclasses import replace

from assistant.declare import Calculator, Input
from assistant.replies import Ask, Assume, Note, Refuse, Reply
from assistant.show import said
from assistant.talk import words as say
from assistant.talk.acidity import NO_SUM, not_a_sum
from assistant.talk.choose import choose
from assistant.talk.convert import convert, direct, mismatch
from assistant.talk.follow import answered, other_unknown
from assistant.talk.place import SPOONS, Placement, dimension, place, possible
from assistant.talk.state import Job, Option, Result, State, Step
from assistant.talk.work import fixed, goals_of, proceed, with_words
from assistant.trade import calculator
from assistant.trade.acids import ESTIMATES
from assistant.trade.pungency import OF_KIND
from grammar import measures
from grammar.later import regex
from grammar.types import Amount, Reading, Word

UNITS_ASKED = {
    "mass": ("kilogram", "gram", "pound", "ounce"),
    "volume": ("liter", "milliliter", "quart", "gallon"),
    "fraction": ("percent",),
    "length": ("centimeter", "inch"),
    "temperature": ("degree_Celsius", "degree_Fahrenheit"),
}
"""The units offered for a number that came without one, by dimension."""

_HEATS = ("minute", "degree_Celsius", "degree_Fahrenheit")
_UNITS_OF = {
    "calibration": ("percent", "mv_per_ph", "millivolt"), "hold": _HEATS, "equivalent": _HEATS,
    "filled": ("degree_Celsius", "degree_Fahrenheit", "gram", "milliliter"),
}  # fmt: skip
"""The same for a calculator that weighs nothing, or other things."""

_ANY = ("percent", "kilogram", "gram", "pound", "liter")


def start(step: Step) -> Result:
    """A new question, or one about the last answer's numbers ("how much salt?")."""
    state = unconfirmed(step.state)
    if (again := _again(state, step.reading)) is not None:
        return again
    last = state.answered if state.mode == "idle" and not step.reading.wanted else None
    if last is not None and (way := other_way(last, step.reading)) is not None:
        return begin(state, way)
    by_unit = set(step.reading.wanted) & {"mass", "volume", "length"}
    if by_unit and not direct(step.reading) and (other := other_unknown(state, step.reading)) is not None:
        return other  # "how many kilos can I do?": of what there was
    return afresh(state, step.reading)


def afresh(state: State, reading: Reading) -> Result:
    """A question of its own; where it would have to be asked about, the last job with what was said in it."""
    fresh = begin(state, Option("", reading))
    job = fresh[0].answered
    if answered(fresh[1]) is not None and job is not None and any(one.how == "bench" for one in job.given):
        # what was worked out just now comes before what the account could fill in
        return other_unknown(state, reading) or fresh
    if answered(fresh[1]) is None and any(isinstance(one, Ask) for one in fresh[1]):
        return other_unknown(state, reading) or fresh
    return fresh


def unconfirmed(state: State) -> State:
    """The state without the repair that a new sentence makes idle."""
    if state.mode != "confirming":
        return state
    return replace(state, mode="idle", resume="idle", confirm=None)


def _again(state: State, reading: Reading) -> Result | None:
    """A quantity of the last answer asked for by name, with nothing new said."""
    job = state.answered
    if job is None or reading.amounts or not reading.wanted or state.mode != "idle":
        return None
    chosen = calculator(job.calculator)
    if any(word.kind in ("topic", "vessel", "basis", "salt") for word in reading.all_words):
        return None
    if reading.wanted == ("filled",) and job.calculator == "packed":
        return proceed(state, replace(job, goals=("level",)), None)
    if not all(one in chosen.wanted for one in reading.wanted) or not (
        chosen.name == "titration" or choose(reading, state.kitchen)
    ):
        return None
    goals = goals_of(chosen, reading, job)
    if reading.unit.endswith(SPOONS) and chosen.by_spoon:
        goals = (chosen.by_spoon,)
    if reading.unit:
        state = fixed(state, reading.unit)
    return proceed(state, replace(job, goals=goals or job.goals), None)


def other_way(job: Job, reading: Reading) -> Option | None:
    """A mash where it was under brine, or the other way round: the same produce and strength anew."""
    if reading.amounts or job.calculator not in ("packed", "mash"):
        return None
    other = "mash" if job.calculator == "packed" else "packed"
    if not reading.terms & ({"mash", "mashing"} if other == "mash" else {"brine"}):
        return None
    kept = tuple(one for one in job.given if one.name in ("produce", "of_total", "of_produce"))
    amounts = tuple(amount for one in kept for amount in one.amounts)
    return Option("", replace(reading, act="ask", amounts=amounts), calculator=other)


def set_kitchen(step: Step, word: Word) -> Result:
    """Whose cups, pints and gallons plain words mean from now on."""
    state = replace(step.state, kitchen=word.term)
    if state.units:  # the answers follow, where they do not go by what was said
        state = replace(state, units="us" if word.term in ("us", "imperial") else "metric")
    name = {"us": "US", "imperial": "imperial", "metric": "metric", "australian": "Australian"}[word.term]
    size = say.listed(
        f"a {unit} is {measures.convert(1, measures.settle(unit, word.term), 'milliliter'):.4g} mL"
        for unit in ("cup", "tablespoon")
    ).replace(" or ", ", ")
    answers = {"us": " Answers are in pounds.", "metric": " Answers are in kilograms and litres.", "": ""}[state.units]
    note = Note(f"From now on plain cups, pints and gallons are {name}: {size}.{answers}")
    return state, (note,)


def doubt(state: State, option: Option) -> Result | None:
    """The question to settle first: a repaired unit or number, or an amount with two readings."""
    reading = option.reading
    unsure = next((one for one in reading.repaired if not one.sure), None)
    if unsure is not None:
        sure = tuple(replace(one, sure=True) for one in reading.repaired)
        confirm = replace(option, reading=replace(reading, repaired=sure))
        ask = Ask(f'Did you mean "{unsure.read}" by "{unsure.said}"? Say yes or no.', (), ("yes", "no"))
        return replace(state, mode="confirming", confirm=confirm, resume=state.mode), (ask,)
    two = next((one for one in reading.amounts if one.rivals), None)
    return None if two is None else choose_reading(state, option, two)


_SOUR = frozenset({"vinegar", "own-vinegar", "acetic", "citric", "lactic"})
_ADDED = regex(r"\s*(?:then\s+)?(?:add|and|plus|with|put|pour|stir|mix|can i add|do i add)\b", re.IGNORECASE)
BLEACH_AND_ACID = (
    "Stop: bleach with vinegar or another acid gives off chlorine gas, and it can kill. Use one or the other, and "
    "rinse well between. Nothing was worked out."
)
"""Said in place of any dose for the two together."""


def begin(state: State, option: Option) -> Result:
    """Find the calculator, place the amounts, and work it out or ask."""
    reading = option.reading
    if (open_ := doubt(state, option)) is not None:
        return open_
    made = state.answered if state.answered is not None else Job("")
    into = "bleach" in made.words and made.calculator.startswith("sanitizer") and _ADDED.match(reading.text)
    if ("bleach" in reading.terms or into) and reading.terms & _SOUR:
        return state, (Refuse(BLEACH_AND_ACID),)
    if not option.calculator:
        if direct(reading):
            return state.idle(), convert(reading, state.kitchen)
        if (wrong := mismatch(reading)) is not None:
            return state, (wrong,)
    chosen = (calculator(option.calculator),) if option.calculator else choose(reading, state.kitchen)
    if not_a_sum(reading) and not any(one.name in ESTIMATES for one in chosen):
        return state, (Note(NO_SUM),)
    if not chosen:
        return state, (no_calculator(reading),)
    last = state.answered.calculator if state.answered is not None else ""
    if len(chosen) > 1 and last in {one.name for one in chosen}:
        after, replies = _placed(state, option, calculator(last))
        return after, (*replies, Assume(f'As before: {_TWINS[last]}. Say "mash" or "under brine" to change.', last))
    if len(chosen) > 1:
        return _choose_calculator(state, option, chosen)
    return _placed(state, option, chosen[0])


def no_calculator(reading: Reading) -> Reply:
    """The question back where nothing was asked for that can be worked out."""
    if reading.amounts:
        shown = say.listed(f'"{one.text}"' for one in reading.amounts)
        return Ask(
            f"What shall I do with {shown}? Ask for a brine, a mash, a vessel, or a conversion, for example: "
            f"{say.EXAMPLE}.",
        )
    return Ask(f"What shall I work out? For example: {say.EXAMPLE}.")


_DRIED = regex(r"\b(?:dried|dry|powder|powdered|flakes|ground)\b", re.IGNORECASE)
"""Pods whose heat is not that of fresh ones."""

_TWINS = {"packed": "under brine", "mash": "dry-salted as a mash"}
_TWIN_WORDS = {"packed": frozenset({"brine", "water", "wet"}), "mash": frozenset({"mash", "mashing", "dried"})}


def _choose_calculator(state: State, option: Option, chosen: tuple[Calculator, ...]) -> Result:
    """Mash or brine: the two ways to start a ferment, which no one may take for each other."""
    options = tuple(
        replace(option, label=_TWINS[one.name], calculator=one.name, terms=_TWIN_WORDS[one.name])
        for one in sorted(chosen, key=lambda one: one.name != "mash")  # in the order of the question
    )
    text = "Dry-salted as a mash, or put under brine? The salt is not the same."
    stated = option.reading.act == "tell" and not option.reading.question and len(option.reading.amounts) > 1
    return choosing(state, f'{text} Or say "done" if it is packed already.' if stated else text, options)


def choose_reading(state: State, option: Option, two: Amount) -> Result:
    """Two values or units for the same words."""
    found = tuple(_as_read(option, two, one) for one in (replace(two, rivals=()), *two.rivals))
    return choosing(state, f'Is "{two.text}" {say.listed(one.label for one in found)}?', found)


def _label(amount: Amount) -> str:
    if amount.unit == "ounce":
        return f"{said(amount.value, amount.unit)} by weight"
    if amount.unit == "fluid_ounce":
        return f"{said(amount.value, amount.unit)} by volume"
    return said(amount.value, amount.unit)


def choosing(state: State, text: str, options: tuple[Option, ...]) -> Result:
    """The state in which the person chooses between readings."""
    ask = Ask(text, (), tuple(one.label for one in options))
    return replace(state, mode="choosing", options=options, resume=state.mode), (ask,)


def _relative(reading: Reading, chosen: Calculator) -> str | None:
    """A word that needs something before it: "double batch", "how much more salt" where nothing is said to be there."""
    kinds = ("times",) if chosen.name not in ("brine", "packed", "mash") else ("times", "step", "extra")
    words = [word for word in reading.words if word.kind in kinds and word.text.lower() != "add"]
    asked = reading.question or bool(reading.wanted)
    found = [word for word in words if word.kind == "times" or (word.term == "more" and asked)]
    return found[0].text if found and reading.amounts else None


def _unweighed(reading: Reading) -> Word | None:
    """Produce named with no weight beside produce that has one ("3 kg of peppers and some carrots")."""
    bound = {one.said("produce") for one in reading.amounts} - {""}
    free = [word for word in reading.words if word.kind == "produce" and word.term not in bound]
    return free[0] if bound and free else None


def _strange(reading: Reading) -> Amount | None:
    """An amount of something the kitchen does not know ("2 kg of mushrooms")."""
    return next((one for one in reading.amounts if one.noun is not None and one.noun.kind == "unknown"), None)


def _placed(state: State, option: Option, chosen: Calculator) -> Result:
    """A new job in the calculator chosen, with the amounts placed."""
    reading = option.reading
    sought = [chosen.wanted[one][0] for one in reading.wanted if one in chosen.wanted]
    found = place(chosen, reading.amounts, state.kitchen, taken=sought[:1], placed=option.placed)
    if (
        found.unplaced and sought and all(one.noun for one in found.unplaced)
    ):  # "what does the salometer say for salt at 10 %": the salt is given after all
        freely = place(chosen, reading.amounts, state.kitchen, placed=option.placed)
        found, sought = (freely, []) if not freely.unplaced and not freely.misfit else (found, sought)
    if found.misfit:
        return unfit(state, replace(option, calculator=chosen.name), *found.misfit[0])
    job = Job(chosen.name, found.given)
    if chosen.name not in ("calendar", "convert") and (strange := _strange(reading)) is not None:
        unknown = say.unknown_produce if chosen.starts_ferment else say.unknown_thing
        return state, (unknown(strange),)
    if chosen.starts_ferment and not reading.firm and (loose := _unweighed(reading)) is not None:
        return state, (Ask(f'How much "{loose.text}"? Say its weight too, or leave it out.'),)
    if (odd := _relative(reading, chosen)) is not None:
        return state, (Ask(f'Say the amounts themselves: in a new question I do not work with "{odd}".'),)
    kinds = set()
    if chosen.program is not None and not _DRIED.search(reading.text):
        kinds = {f"{one.name}{OF_KIND}{one.amount.said('produce')}" for one in job.given if one.amount.said("produce")}
    job = with_words(replace(job, words=job.words | kinds), reading)
    job = replace(job, goals=goals_of(chosen, reading, job))
    state = replace(state, fixed=(), warned=frozenset())
    taken = {one.name for one in job.given} | set(sought[:1])
    opened = _place_rest(state, option, chosen, found, taken)
    if opened is not None:
        return opened
    measured = ["mass", "volume", "fraction", "density", "part", "normality"]
    measured += (
        ["temperature", "difference", "time"] if chosen.has("counted") else []
    )  # a hold from 60 to 80 C is none at 80
    lost = [one for one in found.unplaced if dimension(one.unit) in measured]
    if lost:
        return state, (say.no_place(lost[0], chosen),)
    unused = tuple(one.text for one in found.unplaced)
    if not any(one.dimension == "date" for one in chosen.inputs):
        unused += tuple(one.text for one in reading.whens if one.text not in unused)  # "100 bottles by Christmas"
    return proceed(state, replace(job, unused=unused), reading)


def _place_rest(state: State, option: Option, chosen: Calculator, found: Placement, taken: set[str]) -> Result | None:
    """A question for the first amount that could be several inputs, or a bare number."""
    for amount in found.unplaced:
        if not amount.unit and amount.said("vessel") and (amount.value == 1 or chosen.name == "vessel"):
            continue
        if amount.said("noun") == "thing":
            continue
        if not amount.unit and amount.said("vessel"):
            text = f'I work out one vessel at a time, not "{amount.text}". Say what goes into one of them.'
            return state, (Ask(text),)
        if amount.said("property") in ("ph", "ph-strip"):
            return state, (Ask(f'Say the pH in a line of its own ("pH {amount.value:g}"), and the rest without it.'),)
        if not amount.unit:
            return ask_unit(state, option, amount, _UNITS_OF.get(chosen.name, _ANY))
        items = possible(chosen, amount, taken)
        if len(items) == 1 and items[0].named:
            continue  # it is meant only where a word says so: then it has no place
        if len(items) == 1:
            again = replace(option, placed=(*option.placed, (amount.span, items[0].name)), calculator=chosen.name)
            return begin(state, again)
        if items:
            return which_input(state, replace(option, calculator=chosen.name), amount, items)
    return None


def which_input(state: State, option: Option, amount: Amount, items: list[Input]) -> Result:
    """Asks which of several inputs an amount is."""
    options = tuple(
        replace(
            option,
            label=say.the(one.label),
            terms=frozenset(term.lstrip("@") for term in one.terms) | {one.name},
            placed=(*option.placed, (amount.span, one.name)),
        )
        for one in items
    )
    return choosing(state, f'Is "{amount.text}" {say.listed(one.label for one in options)}?', options)


def unfit(state: State, option: Option, amount: Amount, item: Input) -> Result:
    """A unit that cannot measure what it is said of: refused; but a number with no unit is asked about."""
    units = UNITS_ASKED.get(item.dimension, ())
    if amount.unit or not units:
        return state, (say.misfit(amount, item),)
    more = ("percent",) if item.name == "salt" else ()
    return ask_unit(state, option, amount, (*units, *more))


def ask_unit(state: State, option: Option, amount: Amount, units: tuple[str, ...]) -> Result:
    """A number without a unit: which one?"""
    found = tuple(_as_read(option, amount, replace(amount, unit=unit)) for unit in units)
    return choosing(state, f'"{amount.text}" what: {say.listed(one.label for one in found)}?', found)


def _as_read(option: Option, amount: Amount, one: Amount) -> Option:
    """The option in which an amount is read as ``one``."""
    amounts = tuple(one if each.span == amount.span else each for each in option.reading.amounts)
    terms = frozenset({"salometer-reading"} if one.unit == "salometer" else ())
    reading = replace(option.reading, amounts=amounts)
    return replace(option, label=_label(one), amount=one, terms=terms, reading=reading)
