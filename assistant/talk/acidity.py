"""pH readings said in a talk: judged with the instrument's whole error, noted, never averaged."""

from __future__ import annotations

import datetime
import re
from dataclasses import replace
from typing import TYPE_CHECKING

from assistant.replies import Answer, Ask, Assume, Caution, Log, Note, NotRead, Reply
from assistant.rules import Facts, cautions
from assistant.rules.verdict import Verdict, judge, taken
from assistant.rules.watch import SCALE
from assistant.show import GRADES
from assistant.talk import account, sample
from assistant.talk import words as say
from assistant.talk.account.fact import is_fact
from assistant.talk.account.reading import CALIBRATION, MOST_OFF, error_said, of_its_own
from assistant.talk.account.which import current, names_batch
from assistant.talk.judged import answer
from assistant.talk.opened import open_question
from assistant.talk.place import dimension
from assistant.talk.state import Given, Result, State, Step, style
from assistant.trade.meter import grade
from grammar import measures
from grammar.later import module, regex
from grammar.reader import read
from grammar.types import Amount, Misread, Reading

if TYPE_CHECKING:
    from assistant.batches import events as ev
else:
    ev = module("assistant.batches.events")


_AIM = regex(
    r"\b(?:want|wants|aim|aiming|target|like|goal|going for|hope|hoping|recipe|supposed)\b"
    r"(?:\W+\w+){0,4}?\W+p\W?h\b"
    r"|\b(?:get|bring|take|lower|drop)\b(?:\W+\w+){0,3}\W+to\W+(?:a\W+)?p\W?h\b"
    r"|\bp\W?h\b\W+(?:should|must|ought|has to|needs to|goal|target)\b"
    r"|^\W*(?:i |we )?(?:want|need|aim|target|going for)\b",
    re.IGNORECASE,
)
"""A pH that is wished for: it was not read, and gets no verdict."""


def _among_targets(reading: Reading) -> bool:
    """Whether strengths are wished for in the same line: "to 2 % salt and a pH of 3.6"."""
    return any(one.mark == "to" and dimension(one.unit) in ("fraction", "pungency") for one in reading.amounts)


_HEARSAY = regex(
    r"\b(?:labels?|bottle says|(?:book|website|internet|recipe) says|shop|store|bought|guess|guessing|probably|maybe|"
    r"perhaps|reckon|hopefully)\b",
    re.IGNORECASE,
)
HEARSAY = (
    "That was not read in your sauce, so nothing was noted and it proves nothing: only a calibrated meter in a blended "
    'sample of it counts. Say a reading by itself: "pH 3.9 by meter".'
)

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
_IS_IT = regex(r"\s*(?:is|does|would|will|has|can)\b", re.IGNORECASE)


def _of_an_acid(reading: Reading) -> bool:
    """Whether a line with a pH asks about an acid and tells of no reading ("is 5 % vinegar below pH 4.6")."""
    if not reading.terms & _ACIDS:
        return False
    strong = any(dimension(one.unit) == "fraction" for one in reading.amounts)
    numbers = [one for one in reading.amounts if not one.unit]
    halves = any("/" in one.text or one.said("noun") == "water" for one in numbers)
    thinned = halves or ("diluting" in reading.terms and not any(one.said("property") for one in reading.amounts))
    return thinned or (strong and (reading.question or bool(_IS_IT.match(reading.text))))


BUFFERS = (
    "That is a buffer's pH and no reading, so nothing was noted. I know the buffers 4.00, 4.01, 6.86, 7.00, 7.01 and "
    '10.01, for example "what does the pH 7 buffer read at 20 C".'
)


_SUPPOSED = regex(
    r"^\W*(?:and|or|what if|if|say|suppose|how (?:long|hot|many|much)|is|are|would|could|can)\b|\benough\b",
    re.IGNORECASE,
)
"""What makes a pH a question or a supposition, and no reading."""
_AHEAD = frozenset({"tomorrow", "day-after-tomorrow"})
NO_FACT = (
    'That is no reading, so nothing was noted. A reading is told as a fact ("pH 3.9 by meter"); a hold is asked for '
    'with its scale and its time: "how long do I hold it at 75 C for pH 3.8".'
)


def log(step: Step) -> Result:
    """One pH reading or several: the highest is judged; everything else said is named."""
    state, reading = step.state, step.reading
    bare = _bare(reading)
    if not bare:
        return state, (Note('I note pH readings, for example "pH 3.9". Other notes have no place yet.'),)
    if _of_an_acid(reading):
        return state, (Note(NO_READING), *open_question(state))
    if _HEARSAY.search(reading.text):
        return state, (Note(HEARSAY), *open_question(state))
    if set(reading.wanted) - {"ph"} or _AIM.search(reading.text) or _among_targets(reading):
        return state, (Note(NO_DOSE), *open_question(state))
    if _SUPPOSED.search(reading.text) or any(word.term in _AHEAD for word in reading.whens):
        return state, (Note(NO_FACT), *open_question(state))
    if (
        len(bare) == 1
        and any(term.startswith("buffer") for term in reading.terms)
        and not CALIBRATION.search(reading.text)
    ):
        return state, (Note(BUFFERS), *open_question(state))
    found, aside = sample.numbers(reading, bare)
    off = error_said(reading.text)
    if off is not None and off[0] > MOST_OFF:
        text = f"No instrument for pH is {off[0]:g} off. Say how far off it may be, for example 0.1. Nothing was noted."
        return state, (NotRead(text, "unit-fit", reading.text[off[1] : off[2]], off[1], off[2]),)
    wrong = next((one for one in found if not 0 <= one.value <= 14), None)
    if wrong is not None:
        text = f"A pH runs from 0 to 14; you said {wrong.value:g}. Nothing was noted."
        return state, (NotRead(text, "unit-fit", wrong.text, *wrong.span),)
    counted = [one for one in aside if sample.counted(reading, one)]
    own = _without(reading, [one for one in aside if one not in counted])
    aged = _of_its_age(state, own, step.today)
    if isinstance(aged, Ask):
        return state, (aged, *open_question(state))
    own, told = aged
    worst = max(found, key=lambda one: one.value)
    judged = judge(sample.sample(own, worst))
    listed = ", ".join(f"{one.value:g}" for one in found)
    replies: list[Reply] = [Log(f"pH {listed}, noted in this talk."), answer(judged, _in_order(own, found))]
    flawed = judged.void in ("warm", "early", "odd", "order")
    booked = account.acid(state, _without(own, sample.waits(own)), step.today, found, flawed=flawed)
    if booked is not None:
        entered, said = _in_the_book(replace(step, reading=own), booked, _in_order(own, found), judged)
        return entered, (*said, *(told if entered.entered else ()))
    facts, manner = _facts(own, judged), style(state, None)
    if text := taken(judged):
        replies.append(Assume(text, "error", judged.off, "pH"))
    replies += told
    replies += [say.caution(rule, facts, manner) for rule in cautions(facts)]
    beyond = dict.fromkeys(word.term for word in reading.words if word.kind == "beyond")
    replies += [Note(say.BEYOND[term]) for term in beyond]
    rest = [one for one in own.amounts if one.unit and dimension(one.unit) != "temperature"]
    rest = [one for one in rest if one not in sample.waits(own) and one.said("property") != "slope"]
    replies += _slopes(own)
    replies += [Note(f'I did not use "{one.text}": a pH reading has no place for it.') for one in rest]
    return _keeping(state, worst, judged, reading.text), (*replies, *open_question(state))


_NEARLY = 0.25
"""By what share a batch's age may differ from the one that was said: "two weeks" is said of day 16."""


def _of_its_age(state: State, said: Reading, today: datetime.date) -> tuple[Reading, tuple[Reply, ...]] | Ask:
    """The reading with "after two weeks" made the day of the batch, or named; a question where it does not fit its age.

    "pH is 4.1 after two weeks" was read today; "pH was 4.4 after a week" was read on the seventh day.
    """
    counted = [one for one in said.amounts if sample.counted(said, one)]
    batch = current(state)
    if counted and len(counted) < len(_bare(said)):
        text = " and ".join(f"{said.text[: one.span[0]].split()[-1]} {one.text}" for one in counted)
        if batch is None or not batch.full:
            left = tuple(one for one in said.amounts if one not in counted)
            return replace(said, amounts=left), (Note(f'I did not use "{text}": no batch is open.'),)
        return Ask(f'On which day was it read? "{text}": say, for example, "pH 4.1 on day 10". Nothing was noted.')
    found = sample.ages(said)
    if not found:
        return said, ()
    if batch is None or not batch.full or said.whens:
        text = " and ".join(f'"{one.text}"' for one in found)
        return said, (Assume(f"I took {text} as the time since the last thing went in.", "time"),)
    age = (today - batch.began).days
    young = (today - batch.youngest.day).days if batch.youngest is not None else age
    back = sample.BACK_THEN.search(said.text) is not None or len(found) > 1
    days = {one.span: round(measures.canonical(one.value, one.unit, "time")) for one in found}
    for one in found:
        said_ = days[one.span]
        fits = said_ <= age if back else any(abs(said_ - each) <= _NEARLY * each for each in (age, young))
        if not fits or (back and young != age):
            part = f", its youngest part {young} days old" if young != age else ""
            return Ask(
                f'"{one.text}" does not fit: "{batch.title}" is on day {age}{part}. Nothing was noted. Say the day '
                f'of the reading with it, for example "pH 4.1 today" or "pH 4.1 on day {min(days[one.span], age)}".'
            )
    if not back:
        left = tuple(one for one in said.amounts if one not in found)
        whose = "its age" if abs(days[found[0].span] - age) <= _NEARLY * age else "the age of its youngest part"
        note = Note(f'Entered for today, day {age} of the batch: I took "{found[0].text}" as {whose}.')
        return replace(said, amounts=left), (note,)
    amounts = tuple(
        replace(one, value=float(days[one.span]), unit="day_of", mark="") if one in found else one
        for one in said.amounts
    )
    taken_ = ", ".join(f'"{one.text}" as day {days[one.span]}' for one in found)
    return replace(said, amounts=amounts), (Note(f"I took {taken_} of the batch."),)


def _bare(reading: Reading) -> list[Amount]:
    """The numbers without a unit, but for the number of a batch; where two stand for one, both."""
    numbers = [one for one in reading.amounts if not names_batch(reading, one)]
    found = [one for amount in numbers for one in (amount, *amount.rivals) if not one.unit]
    # "in jar 2", "on 2 strips": counted, not read
    ends = [word.span[1] for word in reading.all_words if word.kind == "vessel"]
    read = [
        one
        for one in found
        if not one.said("vessel") and not _strips(one) and not any(0 < one.span[0] - end < 3 for end in ends)
    ]
    return read or found


def _strips(one: Amount) -> bool:
    return one.said("property") == "ph-strip" and one.span[1] - one.span[0] == 1 and one.mark == "over"


_COURSE = regex(r"\b(was|were|now|yesterday|ago|before|then|today|since|went|gone|rose)\b", re.IGNORECASE)


def _in_order(reading: Reading, found: list[Amount]) -> list[float]:
    """The readings as they came; the highest first where the line tells of no course."""
    values = [one.value for one in found]
    return values if _COURSE.search(reading.text) else sorted(values, reverse=True)


def _slopes(reading: Reading) -> list[Reply]:
    """What the slope of the probe, said beside a reading, makes of it."""
    found = [one for one in reading.amounts if one.said("property") == "slope" and one.unit == "percent"]
    verdict = {one: GRADES[round(grade(one.value / 100))] for one in found}
    return [Note(f"A slope of {one.value:g}%: {text[0].lower()}{text[1:]}.") for one, text in verdict.items()]


def _without(reading: Reading, aside: list[Amount]) -> Reading:
    """The reading without the numbers that are of the instrument: its error, its buffers, when it was calibrated."""
    left = (one for one in reading.amounts if one not in aside)
    amounts = tuple(replace(one, rivals=tuple(each for each in one.rivals if each not in aside)) for one in left)
    return of_its_own(replace(reading, amounts=amounts))


def _in_the_book(step: Step, booked: Result, values: list[float], judged: Verdict) -> Result:
    """The reading entered in the open batch: its verdict, and what the watch over the batch says."""
    state, said = booked
    if not state.entered:
        return booked  # asked back: nothing was entered
    against = {one.rule: one.severity for one in said if isinstance(one, Caution)}
    stopped = bool(judged.lines) and "stop" in against.values()
    judged = judge(replace(judged.sample, before="reading-before" in against, stopped=stopped))
    worst = max(_bare(step.reading), key=lambda one: one.value)
    facts = _facts(step.reading, judged)
    own: list[Reply] = [
        say.caution(rule, facts, style(state, None)) for rule in cautions(facts) if rule.id in _OF_THE_SAMPLE
    ]
    if text := taken(judged, kept=True, instrument="which-instrument" not in against):
        own.insert(0, Assume(text, "error", judged.off, "pH"))
    beyond = dict.fromkeys(word.term for word in step.reading.words if word.kind == "beyond")
    asides = [*_slopes(step.reading), *(Note(say.BEYOND[term]) for term in beyond)]
    return _keeping(state, worst, judged, step.reading.text), (
        said[0],
        answer(judged, values),
        *said[1:],
        *own,
        *asides,
    )


_HOW = regex(
    r"\b(strips?|paper|litmus|meter|probe|calibrat\w*|good to|accurate to|plus or minus|give or take|either way|"
    r"blended|hot|warm|cooled|straight after|right after|rested|24 hours)\b",
    re.IGNORECASE,
)
_NOT_HOW = regex(
    r"\bp\W?h\b|\?|\b(add|put|stir|pour|went|pack|bottl|new|batch|note|brine|mash|salt|how|what|why|which|when|did|"
    r"is it)|\bnot? (?:on |by |with )?(?:a |the )?(?:strip|meter|probe)|\bnot (?:hot|warm|blended)",
    re.IGNORECASE,
)


def told_after(state: State, said: Reading | Misread, today: datetime.date) -> Result | None:
    """ "It was a strip", "calibrated today": how the reading just noted was taken; it is judged, and entered, anew."""
    judged = any(isinstance(one, Answer) and one.calculator == "ph" for one in state.said)
    logged = any(isinstance(one, Log) for one in state.said)
    if not (state.noted and judged and logged and state.mode == "idle") or state.pending is not None:
        return None
    text = said.text.strip()
    if len(text.split()) > 10 or not _HOW.search(text) or _NOT_HOW.search(text) or not is_fact(text):
        return None
    whole = read(f"{state.noted.strip(' .!')}, {text}")
    if isinstance(whole, Misread) or whole.act != "log":
        return None
    numbers = [one.value for one in sample.numbers(whole, _bare(whole))[0]]
    before = read(state.noted)
    if isinstance(before, Misread) or numbers != [one.value for one in sample.numbers(before, _bare(before))[0]]:
        return None  # another reading
    note = Note(f'Taken with what you said before: "{state.noted.strip()}".')
    if not state.seqs:
        after, replies = log(Step(state, whole, today))
        return after, (note, *replies)
    taken_back = tuple(
        ev.Undo(number, today, text, tuple(seq for seq, batch in state.seqs if batch == number))
        for number in dict.fromkeys(batch for _, batch in state.seqs)
    )
    try:
        shelf = state.shelf.with_events(taken_back)
    except LookupError:
        return None
    after, replies = log(Step(replace(state, shelf=shelf, seqs=(), deed=None), whole, today))
    if not after.entered:
        return None
    back = replace(after, shelf=state.shelf, entered=(*taken_back, *after.entered), undid=state.seqs)
    return back, (note, *replies)


OFF = "ph_off"
"""What the last reading may be off is kept by this name: the whole scale if it does not count."""


def _keeping(state: State, worst: Amount, judged: Verdict, text: str) -> State:
    """The state with the reading and how far off it may be kept for later questions."""
    off = SCALE if judged.void else judged.off
    given = (Given("ph", worst.value, worst, "noun"), Given(OFF, off, worst, "noun"))
    return replace(state, noted=text, kept=(*(one for one in state.kept if one.name not in ("ph", OFF)), *given))


_OF_THE_SAMPLE = frozenset({"ph-warm", "low-acid"})
"""Cautions on how a sample was taken; all others the watch over the batch says better."""


def _facts(reading: Reading, judged: Verdict) -> Facts:
    """What the rules look at: the reading, its error, the sample's temperature, the words said with it."""
    one = judged.sample
    values = {"ph": one.ph, "error": judged.off}
    if one.warmth is not None:
        values["temperature"] = one.warmth
    aside = [match.span() for match in CALIBRATION.finditer(reading.text)]  # "fresh buffers" are no fresh produce
    said = [word for word in reading.all_words if not any(a <= word.span[0] < b for a, b in aside)]
    words = {word.term for word in said} | {word.kind for word in said}
    words |= {"void", f"void {judged.void}"} if judged.void else set()
    return Facts("ph", values, frozenset(words))
