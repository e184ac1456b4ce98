"""What leans on an earlier answer: another unknown, two values compared, an answer from before."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace

from assistant.declare import Calculator
from assistant.evaluate import AGREE
from assistant.replies import Answer, Assume, Caution, Note, Reply
from assistant.show import quantity
from assistant.talk import words as say
from assistant.talk.choose import choose
from assistant.talk.place import dimension, place, settled, to_canonical
from assistant.talk.state import Given, Job, Result, State, style
from assistant.talk.work import goals_of, outcome_of, proceed, with_words
from assistant.trade import calculator
from assistant.trade.adjust import AT_HAND, LEVERS
from assistant.trade.pungency import OF_KIND
from grammar import heat, measures
from grammar.later import regex
from grammar.types import Amount, Reading

ORDER = {"first-one": 0, "first": 0, "second-one": 1, "second": 1, "third-one": 2}
"""Words for a place in what was said before, or in the options of a choice."""


def answered(replies: tuple[Reply, ...]) -> Answer | None:
    """The answer among the replies, if there is one."""
    return next((one for one in replies if isinstance(one, Answer)), None)


_TOO = regex(r"\b(?:too|also|as well|have|got)\b", re.IGNORECASE)


def more_at_hand(state: State, reading: Reading) -> Result | None:
    """ "With salt too": one more thing may go in, for the targets of the last answer."""
    job = state.answered
    if job is None or job.calculator != "adjust" or reading.amounts or state.mode != "idle":
        return None
    things = {AT_HAND + word.term for word in reading.words if word.term in LEVERS}
    others = any(word.kind not in ("noun", "substance", "led", "sep") for word in reading.words)
    if not things or others or not _TOO.search(reading.text):
        return None
    named = {AT_HAND + one for one in LEVERS if f"add_{one}" in outcome_of(job).values}
    return proceed(state, replace(job, words=job.words | things | named), reading)


# --- another unknown ---------------------------------------------------------


_CLEANERS = ("bleach", "iodophor")


def other_unknown(state: State, reading: Reading) -> Result | None:
    """The last job asked the other way round: "and if I only have 60 g of salt, how much water?".

    None where the sentence is about something else: other produce, a quantity the job does
    not know, an amount that has no place in it.
    """
    job = state.answered
    if job is None or state.mode != "idle" or not (reading.amounts or reading.wanted):
        return None
    if any(one.rivals for one in reading.amounts):
        return None  # what is meant is asked first
    if any(word.kind == "step" for word in reading.words):
        return None  # "how much more": more than what is for the one who says it
    if _another(job, reading, state.kitchen):
        return None
    cleaners = {word.term for word in reading.all_words if word.term in _CLEANERS}
    if cleaners and not cleaners & job.words:
        return None  # the iodophor is not as strong as the bleach was
    if any(OF_KIND in word for word in job.words):
        return None  # what each part was of does not hold for other parts
    chosen = calculator(job.calculator)
    produce = {word.term for word in reading.all_words if word.kind == "produce"}
    if (produce and job.produce and not produce <= set(job.produce)) or not _known(chosen, reading):
        return None
    free = _freed(chosen, reading, job) | _counted(chosen, reading, job)
    base = replace(job, given=tuple(one for one in job.given if one.name not in free))
    held = {} if free else {one.name: one.amount.unit for one in job.given}
    worked = outcome_of(job).goals
    found = place(chosen, reading.amounts, state.kitchen, asking=worked, held=held, taken=free)
    if found.misfit or found.unplaced or (not found.given and not free):
        return None
    if not free and not all(one.name in job.values() for one in found.given):
        return None
    strengths = tuple(one for one in free if chosen.input(one).basis)
    counted = tuple(_counted(chosen, reading, job))
    goals = strengths or counted or goals_of(chosen, reading, base) or worked
    new = with_words(base.with_given(found.given), reading)
    vessel = any(one.name == "capacity" for one in base.given)
    if vessel and any(one.name == "produce" for one in found.given):
        return None  # other produce may go into another vessel
    same = "same" in reading.text.lower().split() or {"strength", "salinity"} & set(reading.wanted)
    if same and outcome_of(replace(new, goals=goals)).missing:
        new = _held(job, new, set(goals) | free)
    new = replace(new, goals=tuple(one for one in goals if one not in new.values()))
    if new == job or not new.goals:
        return None
    after, replies = proceed(state, new, None)
    if answered(replies) is None:
        return None
    fresh = {one.name for one in found.given}
    kept = [f"{chosen.input(one.name).label} {one.said}" for one in new.given if one.name not in fresh]
    notes: tuple[Reply, ...] = (Assume(f"As before: {', '.join(kept)}.", chosen.name),) if kept else ()
    return after, (replies[0], *notes, *replies[1:])


_KINDS = frozenset({"mass", "volume", "length"})


def _known(chosen: Calculator, reading: Reading) -> bool:
    return all(one in chosen.wanted or one in _KINDS for one in reading.wanted)


def _another(job: Job, reading: Reading, kitchen: str) -> bool:
    """Whether the words call another calculation than the last ("brine for 2 kg" after a mash)."""
    names = {one.name for one in choose(reading, kitchen)}
    if not names or job.calculator in names:
        return False
    finishing = any(calculator(job.calculator).has(one) for one in ("sauce", "serving"))
    told = {word.term for word in reading.words} & {"brine", "mash", "mashing", *(_OWN if finishing else ())}
    return bool(told)


_OWN = ("diluting", "raising", "thickening", "sweetening", "milder", "trial", "straining", "simmering")
"""What is done to a sauce: after another finishing answer each calls a question of its own."""


def _counted(chosen: Calculator, reading: Reading, job: Job) -> set[str]:
    """The one input of the kind asked for by its unit alone ("how many pounds can I do?")."""
    kinds = {one for one in reading.wanted if one in _KINDS and one not in chosen.wanted}
    said = {one.said("noun") or one.said("produce") for one in reading.amounts}
    found = {
        one.name
        for one in job.given
        if chosen.input(one.name).dimension in kinds and not said & set(chosen.input(one.name).terms)
    }
    return found if len(found) == 1 else set()


def _freed(chosen: Calculator, reading: Reading, job: Job) -> set[str]:
    """What is asked for now and was given before, so that it must be worked out."""
    names = {name for wanted in reading.wanted for name in chosen.wanted.get(wanted, ())}
    labels = {chosen.input(name).label for name in names}
    names |= {one.name for one in chosen.inputs if one.label in labels}
    names |= {other for name in names for other in chosen.input(name).instead}
    if {"strength", "salinity"} & set(reading.wanted):
        names |= {one.name for one in job.given if chosen.input(one.name).basis}
    return names & set(job.values())


def _held(job: Job, new: Job, but: set[str]) -> Job:
    """The new job with what the old one worked out, for "the same salt"."""
    outcome = outcome_of(job)
    chosen = calculator(job.calculator)
    kept = []
    for name in outcome.goals:
        if name in outcome.values and name not in but and name not in new.values():
            value = outcome.values[name]
            unit = measures.CANONICAL.get(chosen.input(name).dimension, "")
            kept.append(Given(name, value, Amount(value, unit, (0, 0), ""), "kept"))
    return new.with_given(tuple(kept))


# --- two values side by side -------------------------------------------------


def compared(reading: Reading) -> tuple[Reading, Reading] | None:
    """The two readings of a comparison ("2 or 3 percent, what's the difference"), or None."""
    amounts = list(reading.amounts)
    asked = any(word.kind == "compare" for word in reading.all_words)
    ranges = [one for one in amounts if len(one.rivals) == 1 and one.rivals[0].span != one.span]
    if len(ranges) == 1 and (asked or _against(ranges[0])):
        two = ranges[0]
        pair = (replace(two, rivals=()), replace(two.rivals[0], span=two.span))
    elif asked and (found := _alike(amounts)) is not None:
        two = found[0]
        pair = (found[0], replace(found[1], span=found[0].span))
        amounts.remove(found[1])
    else:
        return None
    place_ = amounts.index(two)
    words = tuple(word for word in reading.words if word.kind != "compare")
    if any(one.rivals for one in amounts if one is not two):
        return None
    first, second = (
        replace(reading, words=words, amounts=(*amounts[:place_], one, *amounts[place_ + 1 :])) for one in pair
    )
    return first, second


def _against(amount: Amount) -> bool:
    return bool({"versus", "vs", "against", "compared"} & set(amount.text.lower().replace(".", " ").split()))


def _alike(amounts: list[Amount]) -> tuple[Amount, Amount] | None:
    """The only two amounts of one kind."""
    kinds = [dimension(one.unit) for one in amounts]
    pairs = [kind for kind in set(kinds) if kinds.count(kind) == 2]
    if len(pairs) != 1:
        return None
    first, second = (one for one, kind in zip(amounts, kinds, strict=True) if kind == pairs[0])
    return first, second


def side_by_side(state: State, pair: tuple[Reading, Reading], work: Callable[[Reading], Result]) -> Result | None:
    """Both answers in one, with how far apart they are; None if either is not an answer."""
    results = [work(one) for one in pair]
    answers = [answered(replies) for _, replies in results]
    first, second = answers
    if first is None or second is None:
        return None
    labels = [_label(before, one) for before, one in zip(pair, reversed(pair), strict=True)]
    text = " ".join(f"{label}: {one.lead or one.text}" for label, one in zip(labels, (first, second), strict=True))
    values = (*first.values, *second.values)
    replies: list[Reply] = [Answer(text, first.calculator, values, text)]
    if (apart := _apart(results)) is not None:
        replies.append(Note(apart))
    seen: set[str] = set()
    for _, said in results:
        for one in said:
            if isinstance(one, (Assume, Caution)) and one.text not in seen:
                seen.add(one.text)
                replies.append(one)
    replies.append(Note('Say "the first one" or "the second one" to go on with it.'))
    after = results[0][0]
    return replace(after, compared=tuple(one for one, _ in results)), tuple(replies)


def _label(one: Reading, other: Reading) -> str:
    """The amount in which two readings differ, as said."""
    mine = next((a for a, b in zip(one.amounts, other.amounts, strict=True) if a != b), one.amounts[0])
    return say.amount_said(mine)


def _apart(results: list[Result]) -> str | None:
    """How far the two answers are apart in the first thing they were asked for."""
    jobs = [state.answered for state, _ in results]
    if jobs[0] is None or jobs[1] is None or jobs[0].calculator != jobs[1].calculator:
        return None
    outcomes = [outcome_of(job) for job in jobs if job is not None]
    goal = next((one for one in outcomes[0].goals if one in outcomes[1].values and one in outcomes[0].values), None)
    if goal is None:
        return None
    item = calculator(jobs[0].calculator).input(goal)
    if item.dimension == "date":
        days = outcomes[1].values[goal] - outcomes[0].values[goal]
        return f"They are {quantity(abs(days), 'time', style(results[0][0], jobs[0]))} apart."
    gap = outcomes[1].values[goal] - outcomes[0].values[goal]
    way = "more" if gap > 0 else "less"
    shown = quantity(abs(gap), item.dimension, style(results[0][0], jobs[0]))
    return f"The second is {shown} {way} of {item.label}." if gap else f"Both give the same {item.label}."


def picked(state: State, reading: Reading) -> Result | None:
    """ "The second one", after two were set side by side or one was gone back from."""
    found = [ORDER[word.term] for word in reading.all_words if word.term in ORDER]
    if not state.compared or len(found) != 1 or reading.amounts or state.mode != "idle":
        return None
    if found[0] >= len(state.compared):
        return None
    chosen = state.compared[found[0]]
    if chosen.answered is None:
        return None
    return proceed(replace(state, compared=()), chosen.answered, None)


_THE_ONE = regex(r"\bthe (\S+ ){1,3}(one|mash|brine|jar|crock|batch)( again)?\W*$")
""" "the four percent one again", "the 4 kg one", "the 10 L jar again": one of the answers there have been."""

_PLACED = regex(r"\bthe (first|second|third|other) one\b")
""" "the first one at 4 %": an answer by its place."""


# --- an answer from before ---------------------------------------------------


_RECALLED = regex(r"\b(what was|what were|what's|remind me of)\b")
_AMOUNTS = frozenset({"salt", "water", "brine", "produce"})


def once_more(state: State, reading: Reading) -> Reading:
    """ "What was the salt again?" asks for the last answer's salt, not for another answer."""
    said = {word.term for word in reading.words if word.kind == "noun"}
    asks = _RECALLED.search(reading.text.lower()) and not reading.amounts and len(said) == 1
    current = (
        state.answered is not None and state.mode == "idle" and said <= {*calculator(state.answered.calculator).wanted}
    )
    if not (asks and current and said <= _AMOUNTS and any(word.kind == "recall" for word in reading.words)):
        return reading
    return replace(reading, act="ask", wanted=tuple(said), words=())


def recalled(state: State, reading: Reading) -> tuple[Job, Reading] | None:
    """The earlier job a sentence goes back to, and what is left of the sentence for it."""
    text = reading.text.lower()
    kept = state.answered is not None and any(_held_by(state.answered, one, state.kitchen) for one in reading.amounts)
    the_one = _THE_ONE.search(text) and reading.amounts and not kept
    paired = state.answered is not None and any(one.of for one in calculator(state.answered.calculator).inputs)
    by_place = _PLACED.search(text) and len(state.history) > 1 and not paired and not state.compared
    called = any(word.kind == "recall" for word in reading.all_words) or the_one or by_place
    if state.mode != "idle" or not (called or _of_another(state, reading)):
        return None
    past = [one for one in state.history if one != state.answered]
    place_ = next((ORDER[word.term] for word in reading.all_words if word.term in ORDER), None)
    other = "the other" in text
    if other and by_place:
        alike = [one for one in past if one.calculator == _name(state.answered)]
        return (alike[-1], replace(reading, words=(), wanted=(), commands=())) if alike else None
    if place_ is not None and place_ < len(state.history):
        return state.history[place_], replace(reading, words=(), wanted=(), commands=())
    terms = {word.term for word in reading.all_words if word.kind in ("noun", "produce", "vessel", "substance")}
    terms |= {amount.noun.term for amount in reading.amounts if amount.noun is not None}
    best: tuple[int, int, Job, tuple[Amount, ...]] | None = None
    for order, job in enumerate(past):
        same = tuple(one for one in reading.amounts if _held_by(job, one, state.kitchen))
        about = terms & _about(job)
        points = 2 * len(same) + 3 * len(about)
        if terms and not about:
            continue  # "back to the garlic" is never the carrots
        points += other and job.calculator == _name(state.answered)
        if (points or not (terms or reading.amounts)) and (best is None or (points, order) >= best[:2]):
            best = (points, order, job, same)
    if best is None:
        return None
    rest = tuple(one for one in reading.amounts if one not in best[3])
    words = tuple(word for word in reading.words if word.kind not in ("recall", "pick", "noun", "vessel"))
    return best[2], replace(reading, amounts=rest, words=words, wanted=(), commands=())


def _name(job: Job | None) -> str:
    return job.calculator if job is not None else ""


def _of_another(state: State, reading: Reading) -> bool:
    """ "and at 2 % for the mash?" after a brine: the mash there was before is meant."""
    said = {word.term for word in reading.words}
    terms = ({"mash", "brine"} & said) | {word.term for word in reading.all_words if word.kind == "produce"}
    if reading.act != "change" or len(terms) != 1 or state.answered is None or terms & _about(state.answered):
        return False
    return any(terms & _about(job) for job in state.history)


def _held_by(job: Job, amount: Amount, kitchen: str) -> bool:
    """Whether the job was given this amount."""
    exact = settled(amount, kitchen)
    for one in job.given:
        of = calculator(job.calculator).input(one.name).dimension
        if dimension(exact.unit) == of and not exact.rivals and exact.unit != "day_of":
            there = measures.canonical(exact.value, exact.unit, of)
            if abs(there - one.value) <= 1e-6 * max(abs(one.value), 1e-9):
                return True
    return False


def _about(job: Job) -> set[str]:
    """Words an earlier job can be called by."""
    names = {"packed": {"brine"}, "brine": {"brine", "water"}, "mash": {"mash"}}
    return {*job.words, *job.produce, job.calculator, *names.get(job.calculator, set())}


_RIGHT = regex(r"\b(?:is|was|are)\b.*\b(?:right|enough|correct|okay|ok|too much|too little)\b", re.IGNORECASE)


def against(state: State, reading: Reading) -> Result | None:
    """ "Is 60 g right?" after an answer: the amount held against what was worked out; None if it is none of it."""
    job = state.answered
    if job is None or state.mode != "idle" or len(reading.amounts) != 1 or not _RIGHT.search(reading.text):
        return None
    amount = settled(reading.amounts[0], state.kitchen)
    outcome = outcome_of(job)
    if not outcome.solved or dimension(amount.unit) not in ("mass", "volume") or reading.amounts[0].rivals:
        return None
    noun = amount.noun
    fit = (outcome.calculator.input(name) for name in outcome.goals)
    item = next((one for one in fit if one.dimension == dimension(amount.unit)), None)
    if item is None or (noun is not None and noun.term not in item.terms and f"@{noun.kind}" not in item.terms):
        return None
    shown = style(state, job)
    takes, off = outcome.values[item.name], to_canonical(amount, item)
    label, right = item.label, quantity(takes, item.dimension, shown)
    if abs(off - takes) <= AGREE * takes:
        text = f"Yes: {label} {right}."
    else:
        way = "too much" if off > takes else "short"
        by = quantity(abs(off - takes), item.dimension, shown)
        text = f"No: {label} {right}; {reading.amounts[0].text} is {by} {way}."
    return state, (Answer(text, outcome.calculator.name, say.values(outcome, shown), text),)


_LED = regex(
    r"^\W*(?:(?:and|so|but|then|now) )*"
    r"(?:(?:is|will|would) (?:that|it|this) (?:be )?(?:hot |long )?(?:enough|ok|okay|do) )?"
    r"(?:at|for|with|(?:what )?if it'?s) (?:a )?p\W?h\b",
    re.IGNORECASE,
)
_HEAT = ("filled", "equivalent")
"""Calculators of several temperatures."""


def of_heat(state: State, reading: Reading) -> Reading:
    """A line in the middle of a question of heat, or right after its answer, read as a part of it.

    "At pH 3.9" is the pH for that, and no reading to be noted; "the room is 10 C" is the room of the filled bottle. A
    temperature without its scale takes that of the others that were said.
    """
    asking = state.mode == "asking" and state.job is not None
    job = state.job if asking else state.answered
    last = next((one.calculator for one in state.said if isinstance(one, Answer)), "")
    if asking and job is not None and job.calculator in _HEAT and reading.act == "log" and len(reading.amounts) > 1:
        return replace(reading, act="tell")  # "150 ml, pH 3.9" answers what is asked, and more
    if job is None or len(reading.amounts) != 1 or (not asking and (state.mode != "idle" or last != job.calculator)):
        return reading
    act = "tell" if asking else "change"
    if reading.act == "log" and calculator(job.calculator).has("ph") and _LED.match(" ".join(reading.text.split())):
        return replace(reading, act=act)
    if job.calculator not in _HEAT or reading.act not in ("ask", "tell", "bare", "change") or reading.wanted:
        return reading
    only = reading.amounts[0]
    if asking and state.asking[0] in ("time", "after") and not only.unit and only.noun is None:
        return replace(reading, act=act, amounts=(replace(only, unit="minute"),))  # "how many minutes?" "10"
    scales = {one.amount.unit.removeprefix("delta_") for one in job.given} & set(heat.SCALES)
    of_heat_asked = any(calculator(job.calculator).input(one).dimension == "temperature" for one in state.asking)
    found = heat.beside(reading, scales.pop() if len(scales) == 1 else "", bare=asking and of_heat_asked)
    return found if found is reading else replace(found, act=act)
