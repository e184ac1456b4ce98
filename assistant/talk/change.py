"""Corrections and new values for the last answer or the open question."""

from __future__ import annotations

import re
from dataclasses import replace

from assistant.declare import Calculator
from assistant.replies import Answer, Ask, Note, Reply
from assistant.show import number
from assistant.talk import words as say
from assistant.talk.account.which import phrase
from assistant.talk.acidity import log
from assistant.talk.choose import choose
from assistant.talk.convert import convert, direct
from assistant.talk.follow import other_unknown
from assistant.talk.place import SPOONS, Placement, dimension, far, fits, place, possible, which
from assistant.talk.start import (
    afresh,
    begin,
    choosing,
    doubt,
    no_calculator,
    other_way,
    set_kitchen,
    unconfirmed,
    unfit,
)
from assistant.talk.state import Given, Job, Option, Placed, Result, State, Step
from assistant.talk.work import fixed, goals_of, outcome_of, proceed, with_words
from assistant.trade import calculator
from assistant.trade.acids import ESTIMATES
from assistant.trade.produce import NAMES
from assistant.trade.pungency import OF_KIND
from grammar import measures
from grammar.later import regex
from grammar.types import Amount, Reading, Word


def tell(step: Step) -> Result:
    """A statement: a correction of the last answer if it fits one, else a new question."""
    state, reading = unconfirmed(step.state), step.reading
    if kitchen := reading.kinds.get("kitchen"):
        return set_kitchen(step, kitchen[0])
    if direct(reading):
        return begin(state, Option("", reading))
    steps = any(word.kind == "step" for word in reading.words)
    if choose(reading, state.kitchen) and not (steps and state.answered is not None):
        return afresh(state, reading)
    if state.answered is not None:
        return change(step)
    return begin(state, Option("", reading))


def change(step: Step) -> Result:
    """A correction or a new value for the job that is open or was answered last."""
    state, reading = step.state, step.reading
    job = state.job if state.mode in ("asking",) else state.answered
    state = unconfirmed(state)
    if kitchen := reading.kinds.get("kitchen"):
        return set_kitchen(step, kitchen[0])
    if job is not None and job.calculator == "salometer":
        degrees = tuple(
            replace(one, unit="salometer", rivals=())
            if one.text.lower().endswith(("degrees", "degree", "deg"))
            else one
            for one in reading.amounts
        )
        reading = replace(reading, amounts=degrees)
    if job is not None and any(OF_KIND in word for word in job.words) and reading.kinds.get("produce"):
        text = "Say both parts anew, each with its weight: what each is of decides its heat."
        return state, (Ask(text),)
    if job is not None and job.calculator == "adjust" and not _NOW.search(reading.text):
        reading = replace(reading, amounts=tuple(_wished(one) for one in reading.amounts))
    if any(isinstance(one, Answer) and one.calculator == "ph" for one in state.said) and _bare(reading):
        return log(step)  # "no, 4.9" after a pH reading
    if reading.unit and not reading.amounts and (again := _once_more(state, reading)) is not None:
        return again
    if job is None:
        if choose(reading, state.kitchen):
            return begin(state, Option("", reading))
        return state, (no_calculator(reading),)
    if (open_ := doubt(replace(state, mode="idle"), Option("", reading))) is not None:
        return replace(open_[0], resume="change"), open_[1]
    if not reading.amounts and (acid := _other_acid(state, job, reading)) is not None:
        return acid
    if reading.unit and not reading.amounts:
        if _MEANT.search(reading.text) and not _SHOWN_IN.search(reading.text):
            if meant := _other_unit(job, reading.unit, state.kitchen):
                return proceed(state, meant, None)  # "I mean pounds": the number stands, in another unit
            text = f"Which of these is in another unit: {say.listed(labels(job))}? Say its number and unit with it."
            return state, (Ask(text),)
        return _in_unit(state, job, reading)
    if _THE_ONE_IS.search(reading.text.lower()) and any(one.of for one in calculator(job.calculator).inputs):
        text = f'Which changes: {say.listed(labels(job))}? Say "the first is" or "the second is".'
        return state, (Ask(text),)
    if reading.wanted and (other := other_unknown(state, reading)) is not None:
        return other
    return changed(state, job, reading)


_NOW = regex(r"\b(?:now|currently|at the moment|it's|it is|there is)\b", re.IGNORECASE)


_MEANT = phrase(r"\b(?:mean|meant|not|instead of|rather than)\b")
_SHOWN_IN = phrase(r"\b(?:in|show|as|to)\b")
"""What tells a unit that was said wrongly from one in which the answer is wanted ("in kilos, not pounds")."""


def _wished(one: Amount) -> Amount:
    """ "Make it 2.4 % salt" after several targets: what is put right is what was wished for, not what there is."""
    share = dimension(one.unit) in ("fraction", "pungency")
    return replace(one, mark="to") if share and not one.mark and one.said("substance") != "vinegar" else one


_ACIDS = frozenset({"vinegar", "acetic", "lactic", "citric"})


def _other_acid(state: State, job: Job, reading: Reading) -> Result | None:
    """ "Make it lactic": the acid that is counted, or put in the other's place; another acid's pH is asked anew."""
    named = reading.terms & _ACIDS
    chosen = calculator(job.calculator)
    if len(named) != 1:
        return None
    if chosen.name in ESTIMATES and not any(named & set(item.terms) for item in chosen.inputs):
        text = 'That is another acid: ask anew, for example "pH of 1% lactic acid" or "pH of 1% citric acid".'
        return state, (Ask(text),)
    if chosen.name not in ("titration", "acid-swap"):
        return None
    given = {one.name for one in job.given}
    goals = [name for name in chosen.wanted.get(next(iter(named)), ()) if name not in given]
    return proceed(state, replace(job, goals=(goals[0],)), None) if goals else None


_THE_ONE_IS = regex(r"\bthe .+ one('s| is| was| has|:)")
""" "the 5 kg one is 4 %": which of the two is meant, and which number changes, is asked."""


def _once_more(state: State, reading: Reading) -> Result | None:
    """The last conversion in yet another unit ("oz?")."""
    last = next((one for one in state.said if isinstance(one, Answer) and one.calculator == "convert"), None)
    if last is None or not last.values:
        return None
    amounts = tuple(
        Amount(one.value, one.unit, (index, index), number(one.value))
        for index, one in enumerate(last.values)
        if dimension(one.unit) == dimension(reading.unit)
    )
    if len(amounts) != len(last.values):
        return None
    return state, convert(replace(reading, amounts=amounts), state.kitchen)


def _bare(reading: Reading) -> bool:
    """Whether a line holds nothing but numbers without units."""
    return bool(reading.amounts) and not any(one.unit or one.noun for one in reading.amounts)


def _other_unit(job: Job, unit: str, kitchen: str) -> Job | None:
    """The job with the one amount of that kind in another unit, its number as it was."""
    held = [one for one in job.given if dimension(one.amount.unit) == dimension(unit) and not one.carried]
    if len(held) != 1 or held[0].more:
        return None
    amount = replace(held[0].amount, unit=measures.settle(unit, kitchen))
    of = calculator(job.calculator).input(held[0].name).dimension
    return job.with_given((replace(held[0], amount=amount, value=measures.canonical(amount.value, amount.unit, of)),))


def _in_unit(state: State, job: Job, reading: Reading) -> Result:
    """The last answer in another unit."""
    unit = reading.unit
    chosen = calculator(job.calculator)
    of = dimension(unit)
    salt = outcome_of(job).values.get("salt")
    if unit.endswith(SPOONS) and salt and not chosen.by_spoon:
        amount = Amount(1000 * salt, "gram", (0, 0), f"{number(1000 * salt)} g", noun=Word("noun", "salt", (0, 0), ""))
        words = replace(reading, act="ask", amounts=(amount,), wanted=("volume",))
        return begin(state, Option("", words, calculator="spoon"))
    if of not in {one.dimension for one in chosen.inputs}:
        return state, (Note(f"There is no {say.UNITS_FOR.get(of, of).split(' (')[0]} in this to show so."),)
    if unit.endswith(SPOONS) and chosen.by_spoon:
        job = replace(job, goals=(chosen.by_spoon,))
    return proceed(fixed(state, unit), job, None)


def changed(state: State, job: Job, reading: Reading, merge: bool | None = None) -> Result:
    """The job with what was said put in, worked out anew; what gives way is said.

    ``merge`` is the person's answer where more produce could join the old or replace it.
    """
    chosen = calculator(job.calculator)
    if (other := other_way(job, reading)) is not None:
        return begin(state.idle(), other)
    if reading.amounts and any(word.kind == "times" for word in reading.words):
        return state, (Ask("Say the amount itself, worked out."),)
    if (free := _torn_back(job, reading)) is not None:
        return state, (Ask(f'What shall "{free.text}" change: {say.listed(labels(job))}?'),)
    bare = [
        replace(one, unit=_taken_unit(job, reading) or _like(job, one, state.touched))
        if not (one.unit or _counted(chosen, one))
        else one
        for one in reading.amounts
    ]
    held = {one.name: one.amount.unit for one in job.given}
    if not reading.amounts and (based := _rebased(chosen, job, reading)) is not None:
        return proceed(replace(state, mode="idle"), based, None)
    if _other_stuff(job, reading):
        return begin(state.idle(), Option("", replace(reading, act="ask")))
    aimed = _aimed(chosen, job, reading, bare) or _again_touched(job, reading, state.touched)
    found = place(chosen, bare, state.kitchen, held=held, placed=aimed, taken=_beside(chosen, reading))
    if not aimed and (torn := _torn(job, found, bare, _beside(chosen, reading))) is not None:
        return state, (Ask(f'What shall "{torn.text}" change: {say.listed(labels(job))}?'),)
    if found.misfit:
        return unfit(state, Option("", reading, calculator=chosen.name), *found.misfit[0])
    if len(found.unplaced) == 1:
        items = possible(chosen, found.unplaced[0], {one.name for one in found.given})
        if len(items) == 1:
            found = Placement((*found.given, _as(found.unplaced[0], items[0].name, job)))
    if found.unplaced or not (found.given or reading.words):
        if choose(reading, state.kitchen):
            return begin(state.idle(), Option("", reading))
        if not job.given:
            return state, (no_calculator(reading),)
        what = f'"{found.unplaced[0].text}"' if found.unplaced else "that"
        return state, (Ask(f"What shall {what} change: {say.listed(labels(job))}?"),)
    if (factor := _times(reading)) is not None and (what := _times_what(reading)):
        text = f'"{what}" of what: {say.listed(labels(job))}? Say the new value, for example "make it 6 kg".'
        return state, (Ask(text),)
    if factor is not None:
        found = Placement(tuple(_scaled(chosen, one, factor) for one in job.given if _extensive(chosen, one)))
    if merge is None and not reading.firm and (joins := _joins(job, found)) is not None:
        return _ask_joins(state, joins, reading)
    if (off := _far_off(state, job, found, reading)) is not None:
        return state, (off,)
    given = _stepped(job, found.given, _sign(reading))
    if given is None:
        return state, (Ask(f"More or less of what: {say.listed(labels(job))}?"),)
    if merge:
        given = tuple(_together(job, one) for one in given)
    base = job if merge or not reading.kinds.get("produce") else replace(job, produce=())
    goals = goals_of(chosen, reading, job) or job.goals
    new = with_words(base.with_given(given), reading)
    new = replace(new, goals=tuple(one for one in goals if one not in new.values()))
    new, dropped = _loosen(job, new, {one.name for one in given})
    said = {word for word in new.words - job.words if word not in ("raising", "diluting", "batch", "mash", "brine")}
    if new == job or (replace(new, words=job.words) == job and not said and not reading.unit):
        return state, (Note('Nothing was changed. Say the new value, for example "make it 4 kg".'),)
    after, replies = proceed(replace(state, mode="idle"), new, None)
    if not replies or replies[0].kind == "refuse":
        return state, replies
    old = {one.name: one.said for one in job.given}
    notes: list[Reply] = [_change_note(chosen, job, one) for one in given if old.get(one.name) != one.said]
    notes += [Note(f"The {chosen.input(one).label} is worked out anew from it.") for one in dropped]
    after = replace(after, touched=tuple(one.name for one in given))
    if isinstance(replies[0], Answer):
        return after, (replies[0], *notes, *replies[1:])
    return after, (*notes, *replies)


_WAS = phrase(r"\b(?:was|were|meant|mean)\b")


def _far_off(state: State, job: Job, found: Placement, reading: Reading) -> Ask | None:
    """The question where "no that was 160 grams" would make 160 g of 3 kg: it may be of something else."""
    old = {one.name: one for one in job.given}
    for one in found.given if _WAS.search(reading.text) else ():
        if one.name in old and far(one.amount, old[one.name].amount, state.kitchen):
            label = calculator(job.calculator).input(one.name).label
            text = one.amount.text.strip()
            return Ask(
                f'Is "{text}" {say.the(label)} ({old[one.name].said})? It is far from that. Say it with its word, for '
                f'example "{text} of salt" or "{text} of {label}".'
            )
    return None


def _aimed(chosen: Calculator, job: Job, reading: Reading, amounts: list[Amount]) -> Placed:
    """The input that "6 %, not 5" is about: the one that holds the number taken back."""
    if len(amounts) != 1:
        return ()
    if amounts[0].noun is None and not reading.corrected:
        free = {word.term for word in reading.words if word.kind in ("property", "produce", "vessel")}
        meant = [one.name for one in job.given if free & {*chosen.input(one.name).terms}]
        fits_ = [name for name in meant if chosen.input(name).dimension == dimension(amounts[0].unit)]
        return ((amounts[0].span, fits_[0]),) if len(fits_) == 1 else ()
    if len(reading.corrected) != 1:
        return ()
    old = reading.corrected[0]
    names = []
    for one in job.given:
        same = old.unit in ("", one.amount.unit) and abs(old.value - one.amount.value) < 1e-9
        if same and dimension(amounts[0].unit) == chosen.input(one.name).dimension:
            names.append(one.name)
    return ((amounts[0].span, names[0]),) if len(names) == 1 else ()


def _rebased(chosen: Calculator, job: Job, reading: Reading) -> Job | None:
    """ "I meant of the water": the same percentage of something else."""
    basis = {word.term for word in reading.words if word.kind == "basis"}
    basis |= {"of-water"} if "of the water" in reading.text.lower() else set()
    held = [one for one in job.given if chosen.input(one.name).basis and chosen.input(one.name).dimension == "fraction"]
    meant = [item for item in chosen.inputs if item.basis and item.dimension == "fraction" and basis & set(item.terms)]
    if len(held) != 1 or len(meant) != 1 or meant[0].name == held[0].name:
        return None
    return job.without(held[0].name).with_given((replace(held[0], name=meant[0].name, how="noun"),))


def _again_touched(job: Job, reading: Reading, touched: tuple[str, ...]) -> Placed:
    """ "nah, 4.5" right after a change: the input that was just changed."""
    if len(reading.amounts) != 1 or len(touched) != 1 or touched[0] not in job.values():
        return ()
    one = reading.amounts[0]
    held = next(each for each in job.given if each.name == touched[0])
    if held.amount.unit in ("", "date"):
        return ()
    bare = not (one.unit or one.noun or one.mark or one.others) and not reading.words
    return ((one.span, touched[0]),) if bare else ()


def _other_stuff(job: Job, reading: Reading) -> bool:
    """Whether another thing is weighed than the last ("2 litres of water" after a cup of honey)."""
    said = reading.terms & {"water", "vinegar", "honey", "sugar", "salt"}
    return job.calculator == "substance" and bool(said) and not said <= job.words and bool(reading.amounts)


def _beside(chosen: Calculator, reading: Reading) -> set[str]:
    """The inputs of the other one, where "the second" or "the first" is said."""
    said = which(reading.all_words)
    if not said:
        return set()
    other = "first" if said == "second" else "second"
    return {one.name for one in chosen.inputs if one.name.startswith(other)}


def _torn(job: Job, found: Placement, amounts: list[Amount], but: set[str]) -> Amount | None:
    """An amount that could as well replace another input: of one kind and unit, with nothing said to tell."""
    chosen = calculator(job.calculator)
    for one in found.given:
        amount = one.amount
        if one.how != "held" or amount.noun is not None or amount.mark or len(amounts) != 1:
            continue
        item = chosen.input(one.name)
        rivals = [
            each
            for each in job.given
            if chosen.input(each.name).dimension == item.dimension
            and fits(amount, chosen.input(each.name), (each.name,))
            and each.name not in {one.name, *but}
            and not each.carried
        ]
        pairs = bool(item.of) or any(one.name in each.of for each in chosen.inputs)
        if rivals and (item.dimension in ("fraction", "length") or pairs):
            return amount
    return None


_OUT = regex(r"\b(take|took|taken|takes|scoop|scooped)\b.*\bout\b|\b(lost|spilt|spilled)\b")


_APART = regex(r"\b(?:less|more|fewer)\b(?:\s+\w+){0,3}\s*[,:;]\s*(?:say |like |about |make it |to )?[\d.]")
""" "Less salt, 2 %": the comma parts the wish from its number, which is the new value and no step."""


def _sign(reading: Reading) -> int:
    """+1 for "500 g more", -1 for "half a percent less", 0 for a new value."""
    steps = {word.term for word in reading.words if word.kind == "step"}
    text = reading.text.lower().strip(" .!?")
    if steps and _APART.search(text):
        return 0
    if not steps and (text.endswith(" up") or _OUT.search(text)):
        return 1 if text.endswith(" up") else -1
    return {frozenset({"more"}): 1, frozenset({"less"}): -1}.get(frozenset(steps), 0)


def _times(reading: Reading) -> float | None:
    """2 for "double it", 0.5 for "half of that"; None where no such word stands alone."""
    words = [word.term for word in reading.words if word.kind == "times"]
    return float(words[0]) if words and not reading.amounts else None


def _times_what(reading: Reading) -> str:
    """The words of "double the salt", which doubles one thing only; "" where the whole batch is meant."""
    alone = any(word.kind in ("noun", "produce", "salt", "property") and word.term != "batch" for word in reading.words)
    return next(word.text for word in reading.words if word.kind == "times") if alone else ""


def _extensive(chosen: Calculator, one: Given) -> bool:
    """Whether an input grows with the batch: weights and liquids do, a vessel does not."""
    return chosen.input(one.name).dimension in ("mass", "volume") and one.name not in ("capacity", "room", "headspace")


def _scaled(chosen: Calculator, one: Given, factor: float) -> Given:
    amounts = [replace(each, value=factor * each.value) for each in one.amounts]
    return replace(one, value=factor * one.value, amount=amounts[0], more=tuple(amounts[1:]))


LARGE = 5.0
"""From so many percent "more" is a share of the batch as often as a strength."""


def _stepped(job: Job, given: tuple[Given, ...], sign: int) -> tuple[Given, ...] | None:
    """The new values where the amounts said are steps from the old ones; None if there is no old one."""
    if not sign:
        return given
    old = {one.name: one for one in job.given}
    out = []
    worked = outcome_of(job).values
    for one in given:
        if one.name not in old and one.name in worked and one.name in outcome_of(job).goals:
            total = worked[one.name] + sign * one.value  # "add 50 g of salt" to the salt worked out
            unit = one.amount.unit or "percent"
            of = calculator(job.calculator).input(one.name).dimension
            out.append(replace(one, value=total, amount=replace(one.amount, value=measures.in_unit(total, of, unit))))
            continue
        if one.name not in old:
            return None
        if one.amount.unit == "percent" and (one.amount.said("produce") or one.amount.value >= LARGE):
            return None  # "10 % more peppers", "10 % more": of what?
        item = calculator(job.calculator).input(one.name)
        before = old[one.name]
        value = before.value + sign * one.value
        unit = before.amount.unit or "percent"
        amount = replace(before.amount, value=measures.in_unit(value, item.dimension, unit), unit=unit)
        out.append(replace(one, value=value, amount=amount))
    return tuple(out)


def _joins(job: Job, found: Placement) -> Given | None:
    """An amount of another kind of produce than the job has: does it join, or take the place?"""
    held = any(one.name == "produce" for one in job.given)
    for one in found.given:
        noun = one.amount.noun
        if one.name == "produce" and held and noun is not None and noun.kind == "produce":
            return one if noun.term not in job.produce else None
    return None


def _together(job: Job, one: Given) -> Given:
    """The produce said now, added to the produce there was."""
    old = next((each for each in job.given if each.name == one.name), None)
    if one.name != "produce" or old is None:
        return one
    return replace(old, value=old.value + one.value, more=(*old.more, *one.amounts))


def _ask_joins(state: State, one: Given, reading: Reading) -> Result:
    """Asks whether more produce joins the old or takes its place."""
    name = NAMES[one.amount.noun.term] if one.amount.noun is not None else "produce"
    options = (
        Option("as well as the rest", reading, frozenset({"all", "of-total", "more"}), merge=True),
        Option("in place of it", reading, frozenset({"instead", "less"}), merge=False),
    )
    after, replies = choosing(state, f"{one.said} of {name}: as well as the rest, or in place of it?", options)
    return replace(after, resume="change"), replies


def _as(amount: Amount, name: str, job: Job) -> Given:
    item = calculator(job.calculator).input(name)
    return Given(name, measures.canonical(amount.value, amount.unit, item.dimension), amount, "asked")


def _held_back(job: Job, reading: Reading) -> list[Given]:
    """The given inputs that hold the one number taken back: "2.4, not 2.8"."""
    if len(reading.corrected) != 1 or len(reading.amounts) != 1:
        return []
    old = reading.corrected[0]
    return [one for one in job.given if old.unit in ("", one.amount.unit) and abs(old.value - one.amount.value) < 1e-9]


def _taken_unit(job: Job, reading: Reading) -> str:
    """The unit of the number taken back, before that of the number that was changed last; "" if it is not told."""
    units = {one.amount.unit for one in _held_back(job, reading)}
    return units.pop() if len(units) == 1 else ""


def _torn_back(job: Job, reading: Reading) -> Amount | None:
    """A bare number in the place of one that nobody said: "40, not 14" where no 14 is."""
    amounts = reading.amounts
    bare = len(amounts) == 1 and len(reading.corrected) == 1 and not amounts[0].unit and amounts[0].noun is None
    return amounts[0] if bare and len(job.given) > 1 and not _held_back(job, reading) else None


def _counted(chosen: Calculator, amount: Amount) -> bool:
    """Whether a bare number counts things, "40 bottles", where how many there are can be told."""
    several = amount.noun is not None and amount.noun.kind == "vessel" and amount.noun.text.lower().endswith("s")
    return several and any(
        item.dimension == "count" and amount.noun is not None and amount.noun.term in item.terms
        for item in chosen.inputs
    )


def _like(job: Job, amount: Amount, touched: tuple[str, ...]) -> str:
    """The unit a bare number in a correction takes: that of the number just changed, or of the only one."""
    last = [one for one in job.given if one.name in touched and one.amount.unit not in ("", "date")]
    if len(last) == 1 and amount.noun is None:
        return last[0].amount.unit
    nouned = [
        one
        for one in job.given
        if amount.noun is None or amount.noun.term in calculator(job.calculator).input(one.name).terms
    ]
    units = {one.amount.unit for one in nouned if not one.carried} - {"date"}
    return units.pop() if len(units) == 1 else ""


def labels(job: Job) -> list[str]:
    """The given inputs in words, to choose from."""
    chosen = calculator(job.calculator)
    return [f"{say.the(chosen.input(one.name).label)} ({one.said})" for one in job.given]


def _loosen(before: Job, job: Job, fresh: set[str]) -> tuple[Job, list[str]]:
    """Where a new value leaves too much given, the old value that has to give way.

    A strength gives way first, if it can be worked out from the rest; else a default (a new
    fill line for the usual 90 %); else another amount.
    """
    dropped: list[str] = []
    too_many = _determined(before, fresh)
    chosen = calculator(job.calculator)
    for _ in range(len(job.given)):
        clash = outcome_of(job).clash is not None
        if not clash and not too_many:
            break
        too_many = False
        old = [one.name for one in job.given if one.name not in fresh]
        measured = [one for one in old if "from" in chosen.input(one).marks and chosen.input(one).basis]
        strengths = [one for one in old if chosen.input(one).dimension in ("fraction", "density")]
        strengths = [one for one in strengths if one not in measured]
        rest = [one for one in old if one not in (*strengths, *measured)] if clash or not strengths else []
        rest.sort(key=lambda one: one not in chosen.goals)  # what one doses gives way before what there is
        # what was measured gives way last
        name = next((one for one in (*strengths, *rest, *measured) if _follows(job, one)), None)
        if name is None:
            break
        job, dropped = replace(job.without(name), goals=(name,)), [*dropped, name]
    return job, dropped


def _follows(job: Job, name: str) -> bool:
    """Whether an input can be worked out from what else is given."""
    result = outcome_of(replace(job.without(name), goals=()))
    return result.clash is None and result.outside is None and name in result.values


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
