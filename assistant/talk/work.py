"""One job: work it out, answer with what was assumed and what to beware of, or ask for what is missing."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING

from assistant.declare import Calculator, Input
from assistant.evaluate import Outcome, solve
from assistant.replies import Ask, Assume, Note, Reply
from assistant.rules import Facts, cautions
from assistant.show import quantity, said
from assistant.talk import words as say
from assistant.talk.account.which import current, phrase
from assistant.talk.checked import CHECKING, checked
from assistant.talk.convert import kitchen_notes
from assistant.talk.place import SPOONS, dimension
from assistant.talk.state import Given, Job, Result, State, style
from assistant.trade import calculator
from assistant.trade.adjust import AT_HAND
from assistant.trade.mixture import SALT_WHOLE
from grammar import measures
from grammar.later import module, regex
from grammar.types import Amount, Reading

if TYPE_CHECKING:
    from assistant.batches import watch as watching
else:
    watching = module("assistant.batches.watch")


MATTERS = 0.05
"""How far apart (relative) two meanings of a percentage must be for both to be said."""

KEPT = 20
"""How many answers can be gone back to."""

SALTS = frozenset({"fine", "flake", "iodised", "reduced"})
SUBSTANCES = frozenset({"vinegar", "honey", "sugar"})
_FLUID = regex(r"fl|vol", re.IGNORECASE)
_STATE_KINDS = ("produce", "salt", "state", "vessel", "noun", "topic", "basis", "substance", "property")


HELD = "=held"
"""A word of a job: its hold was told as done, and not asked for."""
_DONE = phrase(r"\b(?:held|heated|kept|pasteuri[sz]ed|cooked|was|were|had|stayed|stood|did|got)\b")
_NOT_YET = phrase(
    r"\b(?:what if|if|suppose|say|will|would|going to|gonna|plan\w*|want|shall|should|could|can|might|tomorrow|later|"
    r"next|how|need|before i|to hold|do i|i'll|ill)\b"
)


def asks_or_plans(text: str) -> bool:
    """Whether a line asks, supposes or plans."""
    return _NOT_YET.search(text) is not None


def was_held(text: str) -> bool:
    """Whether a line tells of a hold as done."""
    return _DONE.search(text) is not None and not asks_or_plans(text)


def with_words(job: Job, reading: Reading) -> Job:
    """The job with what the sentence says of produce, salt, vessel and state."""
    terms = {word.term for word in reading.all_words if word.kind in _STATE_KINDS}
    terms |= {word.kind for word in reading.all_words if word.kind == "produce"}
    terms |= {AT_HAND + word.term for word in reading.words if word.kind in ("noun", "substance")}
    produce = tuple(dict.fromkeys(word.term for word in reading.all_words if word.kind == "produce"))
    if reading.question and not reading.wanted:
        terms.add(CHECKING)
    if job.calculator == "hold" and was_held(reading.text):
        terms.add(HELD)
    held = job.words
    for alike in (SALTS, SUBSTANCES):  # another kind of salt takes the old one's place
        held = held - alike if terms & alike else held
    return replace(
        job,
        words=held | terms,
        produce=tuple(dict.fromkeys((*job.produce, *produce))),
    )


def goals_of(chosen: Calculator, reading: Reading, job: Job) -> tuple[str, ...]:
    """What was asked for by name, as the calculator's quantities."""
    given = {one.name for one in job.given}
    goals = []
    for wanted in reading.wanted:
        spoons = reading.unit.endswith(SPOONS) and wanted in ("volume", "gum")
        for name in (chosen.by_spoon,) if spoons and chosen.by_spoon else chosen.wanted.get(wanted, ()):
            if name not in given:
                goals.append(name)
                if wanted not in chosen.all_of:
                    break
    return tuple(dict.fromkeys(goals))


def outcome_of(job: Job) -> Outcome:
    """What the calculator makes of what the job has."""
    return solve(calculator(job.calculator), job.values(), job.goals, _kinds(job), _shares(job))


def _kinds(job: Job) -> tuple[str, ...]:
    """The words that defaults may depend on, the produce first."""
    return (*(() if job.mixed else job.produce), *sorted(job.words - set(job.produce)))


def _shares(job: Job) -> dict[str, float]:
    """The weights of several kinds of produce said one by one."""
    found: dict[str, float] = {}
    for one in job.given:
        for amount in one.amounts:
            if one.name == "produce" and one.more and amount.noun is not None:
                weight = measures.canonical(amount.value, amount.unit, "mass")
                found[amount.noun.term] = found.get(amount.noun.term, 0.0) + weight
    return found


def proceed(state: State, job: Job, reading: Reading | None) -> Result:
    """Answer the job if it can be, else ask for the first thing missing."""
    # what was read off the batch is read off it again: it may have changed meanwhile
    job = replace(job, given=tuple(one for one in job.given if one.how != "bench"))
    job, carried = _carry(state, job)
    outcome = outcome_of(job)
    if reading is not None and reading.unit and reading.amounts:
        state = fixed(state, reading.unit)
    shown = style(state, job)
    if (lacking := _to_check(job, outcome)) is not None:
        return _ask_missing(state, job, lacking, carried)
    if outcome.outside is not None:
        amount = next((one.amount for one in job.given if one.name == outcome.outside.name), None)
        return state, (say.refuse_outside(outcome.outside, outcome, job, shown, amount),)
    if (found_out := checked(job, outcome, shown)) is not None:
        told, made = found_out
        notes = say.assumptions(shown_outcome(job, made), shown)
        return replace(state.idle(), answered=job), (told, *carried, *notes)
    if outcome.clash is not None:
        return state, (say.refuse_clash(outcome.clash, outcome, shown),)
    if outcome.missing:
        return _ask_missing(state, job, outcome, carried)
    if (spare := _spare(job, outcome)) is not None:
        return state, (say.no_place(spare.amount, outcome.calculator),)
    found = facts(job, outcome)
    replies: list[Reply] = [say.answer(outcome, job, shown)]
    if any(relation.names <= outcome.given.keys() for relation in outcome.calculator.relations):
        replies.append(Note("Yes: the numbers you gave agree."))
    replies += [Note(f'I did not use "{text}": it has no place in this.') for text in job.unused]
    replies += carried
    replies += _basis(job, outcome, state)
    replies += say.assumptions(shown_outcome(job, outcome), shown)
    replies += kitchen_notes({amount.unit for one in job.given for amount in one.amounts if _loose(amount)})
    replies += _ounces(job)
    warned = state.warned if reading is None else frozenset()
    rules = [rule for rule in cautions(found) if rule.severity != "note" or rule.id not in warned]
    replies += [say.caution(rule, found, shown) for rule in rules]
    done = replace(
        state.idle(),
        answered=job,
        history=(*(one for one in state.history if one != job), job)[-KEPT:],
        touched=(),
        compared=(),
        warned=warned | {rule.id for rule in rules},
        kept=_kept(state, job),
        kept_produce=job.produce or state.kept_produce,
        kept_words=state.kept_words | (job.words & SALTS),
    )
    return done, tuple(replies)


def _ounces(job: Job) -> list[Reply]:
    """Which ounces were taken where plain ones were said: what a bottle or a jar holds, or a weight of sauce."""
    replies: list[Reply] = []
    for one in job.given:
        amount, text = one.amount, ""
        if amount.unit.endswith("fluid_ounce") and amount.said("vessel") and not _FLUID.search(amount.text):
            text = f'"{amount.text}" are fluid ounces, by volume.'
        if job.calculator.startswith("sanitizer") and amount.unit.endswith("fluid_ounce"):
            text = "" if _FLUID.search(amount.text) else f'"{amount.text}" are fluid ounces, by volume.'
        if job.calculator == "bottling" and amount.unit == "ounce" and "weight" not in amount.text.lower():
            text = f'"{amount.text}" is a weight; a volume is in "fl oz".'
        replies += [Assume(text, one.name, amount.value, amount.unit)] if text else []
    return replies


def _spare(job: Job, outcome: Outcome) -> Given | None:
    """A quantity that was said and that nothing in the answer could use: it is not left out in silence."""
    relations = outcome.calculator.relations
    templates = (text for goal in outcome.goals for text in outcome.calculator.headline.get(goal, ()))
    fields = (set(say.FIELD.findall(text)) for text in templates)
    shown = next((names for names in fields if names <= outcome.values.keys()), set[str]())
    for one in job.given:
        if one.name in shown:
            continue  # the answer says it: "a minute at 100 ppm"
        with_it = [relation for relation in relations if one.name in relation.names]
        if one.carried or not with_it or outcome.calculator.program is not None:
            continue
        if one.name not in outcome.goals and not any(each.names <= outcome.values.keys() for each in with_it):
            return one
    return None


def _to_check(job: Job, outcome: Outcome) -> Outcome | None:
    """The outcome that asks for how it is now: a question whether an amount is right does not work that out."""
    known = job.values()
    items = [outcome.calculator.input(name) for name in outcome.goals if name not in known]
    now = [one.name for one in items if one.reads and one.dimension == "fraction"]
    if CHECKING not in job.words or outcome.clash is not None or outcome.missing or tuple(now) != outcome.goals:
        return None
    return replace(outcome, missing=outcome.goals, outside=None)


def _loose(amount: Amount) -> bool:
    """Whether an exact unit was said without naming its kitchen ("cup" for a US cup)."""
    text = amount.text.lower()
    named = any(one in text for one in ("us ", "imp", "uk ", "metric", "british", "american"))
    return amount.unit.startswith(("us_", "imperial_", "metric_")) and not named


def shown_outcome(job: Job, outcome: Outcome) -> Outcome:
    """The outcome with the defaults that its answer's sentences rest on."""
    fields = {name for one in outcome.calculator.tail for name in say.FIELD.findall(one)}
    shown = [name for name in (*outcome.goals, *sorted(fields)) if name in outcome.values]
    return solve(outcome.calculator, outcome.given, shown, _kinds(job), _shares(job))


def facts(job: Job, outcome: Outcome) -> Facts:
    """What the rules look at."""
    chosen = outcome.calculator
    return Facts(
        chosen.name, outcome.values, job.words | frozenset(job.produce), chosen.starts_ferment,
        frozenset(one.name for one in job.given), frozenset(outcome.goals),
    )  # fmt: skip


def _carry(state: State, job: Job) -> tuple[Job, list[Reply]]:
    """Fills what is missing from what is known of the batch, and says so."""
    chosen = calculator(job.calculator)
    if not job.produce and state.kept_produce and chosen.starts_ferment:
        job = replace(job, produce=state.kept_produce)
    if not job.words & SALTS:
        job = replace(job, words=job.words | state.kept_words)
    outcome = outcome_of(job)
    carried: list[Reply] = []
    while outcome.missing:
        wanted = {outcome.missing[0], *chosen.input(outcome.missing[0]).instead}
        held = next((one for one in state.kept if one.name in wanted), None)
        if held is None or held.name in job.values() or held.name == "ph":
            break  # a pH is asked for anew: what was read before may count no more
        if held.name == "produce" and job.produce and state.kept_produce != job.produce:
            break  # the garlic does not weigh what the peppers did
        if held.name == "capacity" and any(one.name == "produce" and not one.carried for one in job.given):
            break  # other produce may go into another vessel: asked
        if not chosen.has(held.name):
            break
        job = job.with_given((replace(held, how="kept"),))
        label = chosen.input(held.name).label
        text = f"From before: {label} {held.said}."
        carried.append(Assume(text, held.name, held.amount.value, held.amount.unit))
        outcome = outcome_of(job)
    return _off_the_bench(state, job, outcome, carried)


def _off_the_bench(state: State, job: Job, outcome: Outcome, carried: list[Reply]) -> tuple[Job, list[Reply]]:
    """Fills what is still missing from the account of the open batch, and says so.

    Nothing is filled in where the line says otherwise of the batch than the account does:
    then it speaks of something else.
    """
    seen = bench(state) if outcome.missing else None
    if seen is None:
        return job, carried
    name, facts_ = seen
    chosen = calculator(job.calculator)
    for one in job.given:
        fact = facts_.get(chosen.input(one.name).reads)
        if fact is not None and abs(fact - one.value) > 0.05 * fact:
            return job, carried
    own = {name for one in chosen.inputs if one.reads == "mass" for name in (one.name, *one.instead)}
    if any(one.name in own and not one.carried for one in job.given):
        return job, carried  # "dilute 6 L of brine": not the batch
    taken: list[Given] = []
    while outcome.missing:
        ways = (outcome.missing[0], *chosen.input(outcome.missing[0]).instead)
        item = next((one for one in map(chosen.input, ways) if one.reads in facts_), None)
        if item is None or item.name in job.values():
            break
        value = facts_[item.reads]
        taken.append(Given(item.name, value, _read_off(item, value), "bench"))
        job = job.with_given((taken[-1],))
        outcome = outcome_of(job)
    if taken and outcome.solved:  # what is known of the batch comes before what is usual
        for each in outcome.assumed:
            fact = facts_.get(chosen.input(each.name).reads)
            if fact is not None:
                taken.append(Given(each.name, fact, _read_off(chosen.input(each.name), fact), "bench"))
        job = job.with_given(tuple(taken))
    for one in taken:
        item = chosen.input(one.name)
        text = f"From the account of {name}: {item.label} {quantity(one.value, item.dimension, style(state, job))}."
        carried.append(Assume(text, one.name, one.amount.value, one.amount.unit))
    return job, carried


def _read_off(item: Input, value: float) -> Amount:
    """What was read off the account as an amount that nobody said."""
    unit = measures.CANONICAL[item.dimension]
    return Amount(100 * value, "percent", (0, 0), "") if unit == "fraction" else Amount(value, unit, (0, 0), "")


def bench(state: State) -> tuple[str, dict[str, float]] | None:
    """The open batch's name and what is read off it (see declare.BENCH), or None."""
    batch = current(state)
    vessel = batch.vessel("") if batch is not None else None
    if batch is None or vessel is None:
        return None
    name = f"batch {batch.number}" + (f", {batch.name}" if batch.name else "")
    mix = vessel.holds
    if not mix.mass:  # an empty vessel is there to be filled; of a full one the free space is not known
        return (name, {"capacity": vessel.place.capacity}) if vessel.place.capacity else None
    if len(batch.full) > 1:
        return None  # which of them is meant is not known
    # what was taken out went out as it stood, so a sweetener's share of all that went in is its share still
    sweet = sum(one.mix.sugar for one in batch.added if one.what in watching.SWEET) / batch.went_in.mass * mix.mass
    shares = (("gum", mix.gum), ("acetic", mix.acetic), ("sugar", min(sweet, mix.sugar)))
    put_in = {what: part / mix.mass for what, part in shares if part > 0}
    return name, {
        "mass": mix.mass,
        "density": mix.mass / mix.volume,
        "of_whole": SALT_WHOLE(mix),
        "moisture": mix.water / mix.mass,
        **put_in,
    }


def _kept(state: State, job: Job) -> tuple[Given, ...]:
    """What is known of the batch after this answer."""
    chosen = calculator(job.calculator)
    fresh = [one for one in job.given if chosen.input(one.name).kept]
    names = {one.name for one in fresh}
    return (*(one for one in state.kept if one.name not in names), *fresh)


def _ask_missing(state: State, job: Job, outcome: Outcome, carried: list[Reply]) -> Result:
    chosen = outcome.calculator
    name = outcome.missing[0]
    item = chosen.input(name)
    asking = (name, *(one for one in item.instead if one not in job.values()))
    if name == "bulk" and "flake" in job.words:
        text = 'Flaky salts differ: weigh ten level spoons and say, for example, "ten tablespoons weigh 95 g".'
        ask = Ask(text, asking)
    else:
        ask = Ask(say.question(chosen, name), asking)
    later = tuple(one for rest in outcome.missing[1:] for one in (rest, *chosen.input(rest).instead))
    asked = replace(state, mode="asking", job=job, asking=asking, later=later, options=(), confirm=None)
    facts_ = facts(job, outcome)
    stops = [say.caution(one, facts_, style(state, job)) for one in cautions(facts_) if one.severity == "stop"]
    return asked, (*carried, *stops, ask)


def _basis(job: Job, outcome: Outcome, state: State) -> list[Reply]:
    """The other thing a percentage with no basis could have meant, if it matters."""
    chosen = outcome.calculator
    replies: list[Reply] = []
    for one in job.given:
        item = chosen.input(one.name)
        vague = one.amount.said("basis") == "of-liquid" and not item.plain
        if item.dimension not in ("fraction", "density") or not item.basis:
            continue
        if not vague and (not item.plain or one.how == "noun"):
            continue
        for rival in chosen.inputs:
            if not rival.rival or rival.dimension != item.dimension:
                continue
            other = job.without(one.name).with_given((replace(one, name=rival.name),))
            second = outcome_of(other)
            if not second.solved:
                continue
            goal = next((name for name in outcome.goals if name not in (one.name, rival.name)), None)
            if goal is None or not outcome.values[goal]:
                continue
            here, there = outcome.values[goal], second.values.get(goal)
            if there is None or abs(there - here) <= MATTERS * abs(here):
                continue
            shown = style(state, job)
            target = chosen.input(goal)
            lead = "Of the liquid" if vague else "You did not say of what"
            text = (
                f"{lead}: I took {_percent_said(one)} of {item.basis}. Of {rival.basis} it is "
                f"{quantity(there, target.dimension, shown)} of {target.label}{_ends(second, item)}."
            )
            replies.append(Assume(text, one.name, one.amount.value, one.amount.unit or "percent"))
    return replies


def _percent_said(one: Given) -> str:
    return said(one.amount.value, one.amount.unit or "percent")


def _ends(outcome: Outcome, item: Input) -> str:
    """Where the other meaning ends up, on the first one's basis."""
    value = outcome.values.get(item.name)
    if value is None or item.dimension != "fraction":
        return ""
    return f", ending at {100 * value:.2g}%" if "produce" in item.basis else ""


def fixed(state: State, unit: str) -> State:
    """The state with a unit asked for by name, for its dimension."""
    exact = measures.settle(unit, state.kitchen)
    of = "spoon" if unit.endswith(SPOONS) else dimension(unit)
    return replace(state, fixed=(*(one for one in state.fixed if one[0] != of), (of, exact)))
