"""What is wrong with it: a sign told in plain words, what it likely is, and the questions that tell cases apart.

``answered`` takes a line as the answer to such a question, ``heard`` looks for a sign in it, ``advised`` says what to
do. What the open batch knows (its age, salt, warmth and pH) and what the line says is used and not asked for. No pH
makes anything that is to be thrown out better, and nobody is told to taste.
"""

from __future__ import annotations

import datetime
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import TYPE_CHECKING

from assistant.batches.describe import day_words, level
from assistant.replies import Answer, Ask, Assume, Caution, Note, Refuse, Reply, Why
from assistant.rules.known import known as known_of
from assistant.rules.verdict import judge
from assistant.rules.watch import LATE, METER_ERROR, SCALE, STRIP_ERROR, error
from assistant.show import number
from assistant.talk import known, sample
from assistant.talk import words as say
from assistant.talk.account import telling
from assistant.talk.account.asked import labels
from assistant.talk.account.fact import is_fact
from assistant.talk.account.which import current, phrase
from assistant.talk.opened import open_question
from assistant.talk.place import dimension
from assistant.talk.state import Result, State, Wrong
from assistant.trade import mixture as mx
from grammar import measures
from grammar.later import module, regex
from grammar.numerals import NUMBER_WORDS
from grammar.reader import read
from grammar.told import free
from grammar.types import Misread, Reading
from grammar.vocabulary import vocabulary

if TYPE_CHECKING:
    from assistant.batches import batch as made
    from assistant.batches import watch as watching
    from assistant.batches.batch import Batch
    from assistant.rules import wrong as rules
    from assistant.rules.wrong import Condition, Hit, Question
else:
    made = module("assistant.batches.batch")
    rules = module("assistant.rules.wrong")
    watching = module("assistant.batches.watch")


NAME = "wrong"
"""What answers from here are called."""

VERDICT = {
    "keep": "Keep it for now.",
    "wait": "Do not taste it yet.",
    "chill": "Chill it.",
    "discard": "Throw it out.",
}
UNPROVEN = -1
"""The case of a pH reading that proves nothing."""
SHORT_LINE = 5
"""Words of an answer that is said back whole."""
RECENT = 7
"""Days for which the book's last pH speaks for a batch that nothing went into since (common practice, no source)."""
MOST_PH, MOST_DAYS, MOST_SALT = 14.0, 3650.0, 30.0

_WEIGHED = ("mass", "volume", "length")
_MEDICAL = ("medical", "botulism")
_STEPS = ("undo", "redo", "repeat", "leave", "reset", "help", "why")
_SKIPS = ("skipping", "tasting", "selling", "time", "rescue")
"""What was asked beside a sign and is for someone else: answered too, unless the thing is thrown out anyway."""

_UNSURE = phrase(
    r"\b(?:don'?t know|do not know|no idea|no clue|not sure|unsure|dunno|can'?t (?:tell|say|see|measure|remember)|"
    r"cannot tell|hard to (?:say|tell)|no (?:meter|strips?)|(?:don'?t|do not|haven'?t) (?:have|got|own) (?:a |any )?"
    r"(?:ph )?(?:meter|strips?)|(?:haven'?t|didn'?t|not) (?:measured?|checked?|weighed?)|maybe|who knows)\b"
)
_WHAT = phrase(
    r"\b(?:what(?:'s|s| is| could be| went| has gone| did i do)? (?:gone |going )?wrong|what'?s up with|"
    r"(?:something|anything)(?:'s| is| may be| looks| seems| went| has gone)? (?:wrong|off|amiss|not right)|"
    r"(?:doesn'?t|does not|didn'?t) look(?: quite)? right|(?:looks?|seems) (?:wrong|strange|weird|odd|funny|bad|off)|"
    r"not (?:looking )?right|(?:got|have|had|is|there'?s) a problem)\b"
)
_OF_A_SUM = phrase(r"\b(?:that|number|sum|answer|result|figure|amount|salt|it says|calculat\w+)\b")

_HOW_MUCH = phrase(r"\b(?:how much|how many|what weight|what volume|work out|calculate)\b")
_AVOID = phrase(
    r"\b(?:avoid\w*|prevent\w*|(?:how|what) (?:do|can|should|could) (?:i|you|we) (?:do to )?(?:stop|keep)|"
    r"so (?:that )?it (?:doesn'?t|won'?t|does not)|never get)\b"
)
"""What is asked beforehand."""

_SAVES = phrase(
    r"\b(?:strain\w*|siev\w+|filter\w*|pick(?:ed|ing)? (?:it|them|the)|fish\w* (?:it|them|the|out)|scoop\w*|save|"
    r"rescue|salvage|still (?:use|eat|good|ok|okay)|use it|eat it|shards?|splinters?|pieces|bits of glass|glass in)\b"
)
"""What is asked of food that glass may be in."""

ASK_WHAT = (
    'What do you see, smell or hear, and where? For example "white skin on top", "smells of eggs", "no bubbles", '
    '"the bottle hissed", "pH won\'t drop".'
)

_SPOKEN = {
    name: float(at)
    for at, name in enumerate(
        ("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")
    )
} | {"a": 1.0, "couple": 2.0, "fourteen": 14.0, "twenty": 20.0, "thirty": 30.0}
_UNITS = {
    "day": "day", "week": "week", "month": "month", "hour": "hour", "percent": "percent", "kg": "kilogram",
    "kilo": "kilogram", "g": "gram", "gram": "gram", "lb": "pound", "pound": "pound", "oz": "ounce", "l": "liter",
    "litre": "liter", "liter": "liter", "ml": "milliliter", "gallon": "us_gallon", "quart": "us_quart",
    "c": "degree_Celsius", "f": "degree_Fahrenheit", "degree": "degree",
}  # fmt: skip
_NUMBER = regex(
    rf"(?<![\w.,])(\d+(?:[.,]\d+)?|(?:{'|'.join(_SPOKEN)})\b)(?: of)?\s*(%|(?:{'|'.join(_UNITS)})s?(?![a-z]))?",
    re.IGNORECASE,
)


_DAY = regex(rf"\bday\s+(\d+|(?:{'|'.join(_SPOKEN)})\b)", re.IGNORECASE)
_SPAN = regex(r"\b(?:for|since|last|past|every|within|over|about every)\s*$|^(?:for|since|every|within)\b", re.I)
NOT_ENTERED = "Not entered in the book"
_ONLY_BLANK = regex(r"\s*")
_ACID = phrase(r"\bp\W?h\b|\bmeter\b|\bstrip\b")


@dataclass(frozen=True)
class Said:
    """A number of a line: the value, a unit of measures.txt or "", how it was said.

    ``off`` is what it may be off as a pH, ``acid`` whether the line says that it is one, or it has a fraction; ``age``
    whether a time may be an age: "for two days" is none; ``plain`` whether it can be read one way only.
    """

    value: float
    unit: str
    text: str
    off: float = METER_ERROR
    acid: bool = False
    age: bool = True
    plain: bool = True


@dataclass(frozen=True)
class Heard:
    """A line that tells of a sign: its words, what they may mean, its numbers, and what was put right.

    ``entered``: it counts only if the account takes the rest of it.
    """

    words: tuple[str, ...]
    hits: tuple[Hit, ...]
    numbers: tuple[Said, ...]
    repairs: tuple[tuple[str, str], ...] = ()
    entered: bool = False


# hearing ---------------------------------------------------------------------------------------


def unwell(state: State, said: Reading | Misread) -> Result | None:
    """ "I feel sick" is for a doctor, whatever else the line says; so is what was eaten of a batch that is spoilt."""
    if not (_looks(said) and rules.unwell(rules.words_of(said.text))) and not _eaten(state, said):
        return None
    return state, (Refuse(rules.table().doctor), *open_question(state))


_EATEN = phrase(
    r"\b(?:kid|kids|child|children|son|daughter|baby|toddler|wife|husband|partner|mum|mom|mother|dad|father|friend|"
    r"neighbou?r|dog|cat|he|she|they|we|i|someone|somebody)\b(?: \w+){0,3}? "
    r"(?:tasted|tastes|ate|eaten|drank|licked|swallowed|tried|had some)\b"
)
"""Somebody has eaten of it."""


def _eaten(state: State, said: Reading | Misread) -> bool:
    """Whether somebody ate of a batch that is mouldy or foul, by the book or by what was just said of it."""
    if not _EATEN.search(said.text):
        return False
    open_ = state.wrong
    if open_ is not None and open_.condition and rules.table().conditions[open_.condition].keep == "discard":
        return True
    batch = current(state)
    return batch is not None and bool(watching.watch(batch, batch.last).words & {"mould", "spoilt"})


def heard(state: State, said: Reading | Misread) -> Heard | None:
    """The sign that a line tells of, or None: a sum, a command, or nothing that is known here."""
    if not _looks(said):
        return None
    words = rules.words_of(said.text)
    idle = state.mode == "idle"
    hits = rules.found(words, idle)
    repairs: list[tuple[str, str]] = []
    if (
        not hits
        and idle
        and (isinstance(said, Misread) or ((said.left_over or said.repaired) and not said.amounts and not said.wanted))
    ):
        words, repairs = rules.repaired(words, _right())
        hits = rules.found(words, idle) if repairs else []
    if not hits:
        return None
    if isinstance(said, Misread) and said.why == "beyond" and said.term == "unsized":
        return None  # a capful of bleach is thinned, and tells of no fault
    if isinstance(said, Misread) and said.why == "beyond" and said.term in _MEDICAL and not _smells(hits):
        return None
    if isinstance(said, Reading) and said.act in _STEPS and max(len(one.places) for one in hits) < 2:
        return None
    worst = hits[0].condition
    if known.salty(state, said) is not None:
        return None
    glass = worst.id == "cracked" and _SAVES.search(said.text) is not None
    name = known.which(said)
    if name is not None and (name != "colour" or worst.known == "colour") and not (name == "cold-glass" and glass):
        return None
    if isinstance(said, Reading) and _thinned(said) and not said.told:
        return None
    strict = worst.keep == "discard" and state.answered is None
    if isinstance(said, Reading) and not _free_of_sums(said, strict):
        # "topped up with 200 ml of brine, there is a film": the account has the numbers
        done = {word.term for word in said.told if word.kind == "deed"}
        deeds = current(state) is not None and done and "begun" not in done and not said.question
        grave = worst.keep == "discard" or worst.watch
        return Heard(tuple(words), tuple(hits), (), entered=True) if deeds and grave else None
    found = tuple(numbers(said))
    weighed = isinstance(said, Misread) and any(dimension(one.unit) in _WEIGHED for one in found)
    if weighed and worst.keep != "discard":
        return None  # a sum that could not be read
    shown = [one for one in repairs if any(one[1] == words[at] for hit in hits for at in hit.places)]
    return Heard(tuple(words), tuple(hits), found, tuple(shown))


def _thinned(said: Reading) -> bool:
    """Whether a cleaner is being thinned by a sum: "1:64 bleach in 5 litres" tells of no fault."""
    return any(one.said("substance") in ("bleach", "iodophor") or one.unit in ("part", "ppm") for one in said.amounts)


def _looks(said: Reading | Misread) -> bool:
    """Whether a line may tell of a sign at all; looked at before the table is read."""
    if isinstance(said, Misread):
        return said.why in ("unknown-word", "beyond", "negation", "stops", "unknown-unit", "number")
    if said.course is not None or said.act in ("leave", "reset") or free(said.text)[0] == "call":
        return False
    if said.act in _STEPS and len(said.text.split()) < 3:
        return False
    weighed = any(dimension(one.unit) in _WEIGHED for one in said.amounts)
    if said.told and not said.question:
        return True  # of a batch; the account has a look at its amounts
    return not (weighed and (said.wanted or any(one.unit == "percent" for one in said.amounts)))


def _free_of_sums(said: Reading, strict: bool) -> bool:
    """Whether no sum is asked for in the line."""
    kinds = {dimension(one.unit) for one in said.amounts}
    sums = bool(said.wanted) or bool(said.kinds.get("topic"))
    if any(word.term == "begun" for word in said.told) or (said.wanted and said.amounts):
        return False
    if kinds & set(_WEIGHED):
        return strict and not sums
    asks = _HOW_MUCH.search(said.text) is not None
    return not (said.amounts and sums) and (not said.wanted or strict or not (said.amounts or asks))


def _smells(hits: Iterable[Hit]) -> bool:
    """ "Smells of vomit" tells of a sauce, not of a person."""
    return any(one.condition.id == "butyric" for one in hits)


@lru_cache(maxsize=1)
def _right() -> frozenset[str]:
    """Words that are right as they stand."""
    words = vocabulary()
    return words.plain | NUMBER_WORDS | {one for key in words.entries for one in key}


def numbers(said: Reading | Misread) -> list[Said]:
    """The numbers of a line, also of one that the kitchen cannot read."""
    names = _ACID.search(said.text) is not None
    aged = {match.start(1): match for match in _DAY.finditer(said.text)}
    if isinstance(said, Misread):
        text = known.digits(said)
        again = read(f"pH {text}") if text != said.text else said
        if isinstance(again, Reading):
            return numbers(again)  # "between three five and four"
        rows = [one for one in _NUMBER.finditer(said.text) if one[1].lower() not in ("a", "one") or one[2]]
        torn = [_ONLY_BLANK.match(said.text, one.end()) for one in rows]
        ends = {match.end() for match in torn if match is not None}
        starts = {one.start(): one for one in rows}
        doubt = {one.start() for one, match in zip(rows, torn, strict=True) if match and match.end() in starts}
        doubt |= {at for at in starts if at in ends}
        off = _off_said(said.text)
        found = [_scanned(one, names, one.start(1) in aged) for one in rows]
        return [replace(one, off=off, plain=at.start() not in doubt) for one, at in zip(found, rows, strict=True)]
    bare = [one for one in said.amounts if not one.unit]
    aside = sample.numbers(said, bare)[1] if bare else []
    found = []
    for one in (each for amount in said.amounts for each in (amount, *(amount.rivals if not amount.unit else ()))):
        if one in aside or (not one.unit and one.value == 1 and not one.text.strip()[:1].isdigit()):
            continue  # "one fuzzy spot" counts spots
        unit, text = one.unit, one.text.strip()
        if not unit and (day := next((each for at, each in aged.items() if at in range(*one.span)), None)) is not None:
            unit, text = "day", day[0]
        off = METER_ERROR
        if not one.unit and 0 < one.value <= MOST_PH:
            judged = judge(sample.sample(said, one))
            off = SCALE if judged.void else judged.off
            off = max(off, STRIP_ERROR) if _off_said(said.text) == STRIP_ERROR else off
        value = one.value
        if unit not in ("", "day") and (match := _DAY.search(one.text)) is not None:  # "on day 2", which is no date
            low = match[1].lower()
            value, unit = _SPOKEN[low] if low in _SPOKEN else float(low), "day"
        since = _SPAN.search(said.text[: one.span[0]]) is None and _SPAN.match(text) is None
        found.append(Said(value, unit, text, off, names or value != int(value), since))
    return found


def _off_said(text: str) -> float:
    """What a pH may be off, of a line that the kitchen cannot read."""
    if re.search(r"uncalibrated|n[o']t calibrated|never calibrated|no calibration", text, re.IGNORECASE):
        return SCALE
    return STRIP_ERROR if re.search(r"\b(?:strips?|paper)\b", text, re.IGNORECASE) else METER_ERROR


def _scanned(match: re.Match[str], names: bool, aged: bool) -> Said:
    """A number of a line that the kitchen cannot read; ``names``: it speaks of pH, ``aged``: "day three"."""
    low = match[1].lower()
    value = _SPOKEN[low] if low in _SPOKEN else float(low.replace(",", "."))
    unit = (match[2] or "").lower()
    unit = "day" if aged else {"%": "percent"}.get(unit, _UNITS.get(unit, _UNITS.get(unit.removesuffix("s"), "")))
    since = _SPAN.search(match.string[: match.start()]) is None
    return Said(value, unit, match[0].strip(), acid=names or value != int(value), age=since)


def _number_for(about: str, one: Said, asked: bool) -> float | None:
    """A number as what is asked about, in its unit; None if it is something else. ``asked``: it may be bare."""
    if not one.plain:
        return None
    kind = dimension(one.unit)
    if about == "ph":
        fits = not one.unit and 0 < one.value <= MOST_PH and (asked or (one.acid and 2 <= one.value <= 7))
        return one.value if fits else None
    if about == "age":
        if kind == "time" and (one.age or asked):
            days = measures.canonical(one.value, one.unit, "time")
            return days if 0 <= days <= MOST_DAYS else None
        return (
            one.value
            if asked and not one.unit and kind != "time" and one.value == int(one.value) and one.value <= MOST_DAYS
            else None
        )
    if about == "salt":
        fits = one.unit == "percent" or (asked and not one.unit)
        return one.value if fits and 0 <= one.value <= MOST_SALT else None
    if kind == "temperature" or (asked and not one.unit):
        unit = (
            one.unit if one.unit not in ("", "degree") else "degree_Celsius" if one.value <= 45 else "degree_Fahrenheit"
        )
        return measures.canonical(one.value, unit, "temperature")
    return None


# what is known ---------------------------------------------------------------------------------


def _booked(state: State, today: datetime.date, about: str) -> tuple[float, float, str] | None:
    """What the open batch knows about it: the value, what it may be off, and the words for it."""
    batch = current(state)
    if batch is None or batch.closed or not batch.full:
        return None
    name = f"batch {batch.number}" + (f", {batch.name}" if batch.name else "")
    vessel = batch.vessel("")
    if about == "age":
        since = batch.youngest.day if batch.youngest is not None else batch.began
        days = (today - since).days
        return float(days), 0.0, f"From the book ({name}): the youngest produce is {_old(days)}."
    if about == "salt" and vessel is not None and vessel.holds.mass > vessel.holds.salt > 0:
        salt = 100 * mx.SALT_TOTAL(vessel.holds)
        return salt, 0.0, f"From the book ({name}): {number(salt, 3)}% salt of produce and water."
    if about == "warmth" and (warm := watching.watch(batch, today).get("temperature", "warmth")) is not None:
        return warm, 0.0, f"From the book ({name}): {number(warm, 3)} C."
    if about == "ph" and (point := _speaks(batch, today)) is not None:
        value, off, day = point
        return value, off, f"From the book ({name}): pH {level(value)} on {day_words(day)}."
    return None


def _speaks(batch: Batch, today: datetime.date) -> tuple[float, float, datetime.date] | None:
    """The last pH of a batch, if it is of the last days, counts, and nothing went in since."""
    point = watching.last_reading(batch)
    if point is None or not 0 <= (today - point.day).days <= RECENT or watching.went_in_since(batch, point) is not None:
        return None
    off = error(point.method, point.calibrated, point.error)
    return None if off >= SCALE else (point.value, off, point.day)


def _days(days: float) -> str:
    return "1 day" if days == 1 else f"{number(days)} days"


def _old(days: float) -> str:
    return f"{_days(days)} old" if days else "of today"


# saying ----------------------------------------------------------------------------------------


@dataclass
class _Told:
    """What is being put together for a condition."""

    state: State
    today: datetime.date
    wrong: Wrong
    sentences: list[str]
    booked: list[Reply]
    keeps: list[tuple[str, str]]
    line: str = ""
    moved: bool = False


def advised(
    state: State, found: Heard, today: datetime.date, said: Reading | Misread, rules_said: Iterable[str] = ()
) -> Result:
    """What to do about a sign.

    Args:
        state: the talk, its shelf as it is after the line.
        found: the sign.
        today: the date.
        said: the line.
        rules_said: cautions of the batch book that were said just before: what they say is not said twice.
    """
    if _AVOID.search(said.text) is not None and not rules_said:
        return _beforehand(state, found)
    first = found.hits[0]
    spare = [word for at, word in enumerate(found.words) if at not in first.places]
    given, unused = _placed(first.condition, found.numbers)
    wrong = Wrong(first.condition.id, numbers=given)
    replies: list[Reply] = [Note(f'I read "{one}" as "{other}".') for one, other in found.repairs]
    state, more = _gone_through(replace(state, wrong=wrong), today, spare, first=True, quiet=tuple(rules_said))
    replies += more
    last = rules.table().conditions[state.wrong.condition] if state.wrong is not None else first.condition
    thrown = any(isinstance(one, Caution) and one.severity == "stop" for one in more) or last.keep == "discard"
    if not thrown:
        asks = [one for one in replies if isinstance(one, Ask)]
        replies = [one for one in replies if not isinstance(one, Ask)]
        replies += [Note(f"And {_short(one.condition)}") for one in found.hits[1:3] if one.condition.id != last.id]
        if isinstance(said, Misread) and said.why == "beyond" and said.term in _SKIPS:
            replies.append(Note(say.BEYOND[said.term]))
        replies += asks
    acid = [each for each in found.numbers if _number_for("ph", each, False) is not None] if thrown else []
    unused += [each for each in acid if each not in unused and "ph" not in _done(state)]
    given = tuple(each for each in given if not (thrown and each[0] == "ph"))
    if not thrown:
        replies += stands(state, today)
    replies += [*_taken(given, state.wrong, replies), *_unused(unused, thrown)]
    return state, (*_asks_last(replies), *open_question(state))


def _done(state: State) -> tuple[str, ...]:
    return state.wrong.done if state.wrong is not None else ()


def _beforehand(state: State, found: Heard) -> Result:
    """How to keep it from happening, where that is asked."""
    one = found.hits[0].condition
    text = rules.table().avoid
    replies: tuple[Reply, ...] = (Answer(text, NAME, (), text),)
    return replace(state, wrong=Wrong(one.id)), (*replies, *_unused(found.numbers, False), *open_question(state))


def _short(one: Condition) -> str:
    """A condition in one or two sentences, after another that was said in full."""
    text = one.likely or known_of(one.known).says
    rest = {"keep": "", "chill": " Chill it.", "wait": " Do not taste it yet.", "discard": " Throw it out."}[one.keep]
    return f"{text[0].lower()}{text[1:]}{rest}"


def stands(state: State, today: datetime.date) -> list[Reply]:
    """What the book holds against the open batch, for where what is said of a sign is milder."""
    batch = current(state)
    if batch is None or batch.closed or not batch.full or not (stops := telling.stopped(batch, today)):
        return []
    named = ", ".join(stops)
    return [Note(f"But against {telling.low(batch)} there stands in the book: {named}. That holds, whatever this is.")]


def _asks_last(replies: Iterable[Reply]) -> tuple[Reply, ...]:
    """The replies with the question at their end."""
    return tuple(sorted(replies, key=lambda one: isinstance(one, Ask)))


def _unused(left: Sequence[Said], thrown: bool) -> list[Reply]:
    """Numbers that were said and are no part of it."""
    acid = [one for one in left if _number_for("ph", one, False) is not None]
    other = [one for one in left if one not in acid or not thrown]
    notes: list[Reply] = []
    if thrown and acid:
        shown = " and ".join(f"pH {level(one.value)}" for one in acid)
        notes.append(Note(f"{shown} changes nothing here: it goes out whatever the pH."))
    if other:
        notes.append(Note(f"I did not use {say.listed(chr(34) + one.text + chr(34) for one in other)}."))
    return notes


def _taken(given: Iterable[tuple[str, float, float]], wrong: Wrong | None, replies: Iterable[Reply]) -> list[Reply]:
    """Numbers that were said and bear on nothing that was answered, so that they are named."""
    done = wrong.done if wrong is not None else ()
    spoken = " ".join(one.text for one in replies if not isinstance(one, Ask))
    shown = {each[0]: _shown(*each).rstrip(".") for each in given if each[0] not in done}
    texts = [text for about, text in shown.items() if about != "age" or text.removesuffix(" old") not in spoken]
    return [Note(f"Taken too: {say.listed(texts).replace(' or ', ' and ')}.")] if texts else []


def _placed(one: Condition, said: Iterable[Said]) -> tuple[tuple[tuple[str, float, float], ...], list[Said]]:
    """The numbers of a line by what they are about, and those that are about nothing here."""
    given: dict[str, tuple[str, float, float]] = {}
    unused = []
    for each in said:
        for about in rules.NUMBERS:
            value = _number_for(about, each, False)
            mine = any(question.about == about for question in one.asks) or (about == "age" and one.keep != "discard")
            if value is not None and mine and about not in given:
                given[about] = (about, value, each.off if about == "ph" else 0.0)
                break
            if value is not None and mine and about == "ph" and value > given[about][1]:
                # "went up from 3.6 to 4.8": the higher one counts, and the other is named as not used
                unused.append(next(one for one in said if one.value == given[about][1]))
                given[about] = (about, value, each.off)
                break
        else:
            unused.append(each)
    return tuple(given.values()), unused


def _gone_through(
    state: State,
    today: datetime.date,
    words: Sequence[str],
    *,
    first: bool,
    quiet: tuple[str, ...] = (),
    line: str = "",
) -> Result:
    """Goes through the questions of a condition with what is known by now, and asks the first that is left.

    Args:
        state: with ``State.wrong`` as it is so far.
        today: the date.
        words: the words that may answer a question.
        first: the condition is told anew, in full.
        quiet: cautions said just before.
        line: the answer as it was said.
    """
    assert state.wrong is not None
    it = _Told(state, today, state.wrong, [], [], [], line)
    one = rules.table().conditions[it.wrong.condition]
    left: Question | None = None
    seen: set[str] = set()
    ended = False
    while True:
        step = next((each for each in one.asks if each.about not in seen and each.about not in it.wrong.done), None)
        if step is None or ended:
            break
        seen.add(step.about)
        at = _case(it, one, step, words, first)
        if at is None:
            left = left or step
            continue
        it.wrong = replace(it.wrong, done=(*it.wrong.done, step.about))
        if at == UNPROVEN:
            it.keeps.append((step.about, "wait"))
            continue
        case = step.cases[at]
        if case.goes and case.goes != one.id and case.goes not in it.wrong.been:
            been = (*it.wrong.been, one.id)
            it.wrong = replace(it.wrong, condition=case.goes, been=been, done=(), keeps=())
            one = rules.table().conditions[case.goes]
            left, seen, first, it.moved = None, set(), True, True
            it.keeps, it.sentences = [], []
            continue
        it.keeps += [(step.about, case.keep)] if case.keep else []
        if first and one.keep == "discard" and case.keep in ("", "discard"):
            it.sentences.clear()  # the whole of it says so already
        else:
            it.sentences.append(case.then)
        ended = case.ends or case.keep == "discard"
    keeps = (*it.wrong.keeps, *it.keeps)
    late = _late(it)
    if late and one.keep != "discard" and "discard" not in [each for _, each in keeps]:
        keeps = (*keeps, ("age", "discard"))
        it.sentences = [late]
    keep = min((each for _, each in keeps), key=rules.KEEPS.index, default=one.keep)
    if ended or keep == "discard" != one.keep:
        left = None
    busy = state.mode != "idle"
    wrong = replace(it.wrong, keeps=keeps, asking="" if left is None or busy else left.about)
    replies = _worded(one, keep, it, first, one.watch in quiet and bool(one.watch) and not it.moved)
    if left is not None and not busy:
        replies.append(Ask(left.text))
    return replace(state, wrong=wrong), tuple(replies)


def _late(it: _Told) -> str:
    """A week or more and not below 4.6: it has failed, whatever was seen on it."""
    known_ = {about: (value, off) for about, value, off in it.wrong.numbers}
    if "ph" not in known_ or "age" not in known_:
        return ""
    (ph, off), (age, _) = known_["ph"], known_["age"]
    if age < LATE or ph + off < 4.6 - 1e-9 or off >= SCALE:
        return ""
    return f"{_shown('ph', ph, off)} Not below 4.6 at {_days(age)}: it has failed."


def _case(it: _Told, one: Condition, step: Question, words: Sequence[str], first: bool) -> int | None:
    """The case of a question that is known, by what was said or by the book; says what it was taken from."""
    if not step.number:
        if first and not step.line and not it.moved:
            return None
        meant = rules.case_of_words(one, step, words)
        if meant is None:
            return None
        at, told = meant
        case = step.cases[at]
        if first and not it.moved and rules.strictness(one, case) > rules.KEEPS.index(one.keep):
            return None  # what was said by the way makes nothing better: it is asked
        if case.then and not it.moved:
            told = it.line if it.line and len(it.line.split()) <= SHORT_LINE else told
            it.sentences.append(f"{told[0].upper()}{told[1:]}:")
        return at
    value = next(((value, off) for about, value, off in it.wrong.numbers if about == step.about), None)
    if value is None and step.book and (book := _booked(it.state, it.today, step.about)) is not None:
        value = book[:2]
        unit = rules.NUMBERS[step.about]
        it.booked.append(Assume(book[2], step.about, book[0], unit))
        it.wrong = replace(it.wrong, numbers=(*it.wrong.numbers, (step.about, *value)))
    if value is None:
        return None
    if step.about not in {each.name for each in it.booked if isinstance(each, Assume)}:
        it.sentences.append(_shown(step.about, *value))
    if step.about == "ph" and value[1] >= SCALE:
        return UNPROVEN
    return rules.case_of_number(step, value[0], value[1] if step.about == "ph" else 0.0)


def _shown(about: str, value: float, off: float) -> str:
    """A number as it was taken."""
    if about == "ph":
        if off >= SCALE:
            again = "read it again, blended, at 25 C, by a meter calibrated that day"
            return f"pH {level(value)}, by a reading that proves nothing: {again}."
        return f"pH {level(value)}, or {level(value + off)} with what the meter may be off."
    if about == "age":
        return f"{_old(value).capitalize()}."
    return f"{number(value, 3)}{'% salt' if about == 'salt' else ' C'}."


def _worded(one: Condition, keep: str, it: _Told, first: bool, quiet: bool) -> list[Reply]:
    """The answer: what to make of it, what it likely is, what to do, what would make it dangerous."""
    cases = _joined(it.sentences)
    if quiet and not cases:
        return [*it.booked]
    parts = [VERDICT[keep]]
    if first and one.known:
        parts += [known_of(one.known).says, cases]
    elif first:
        parts += [
            one.likely,
            cases,
            "" if quiet or (keep == "discard" and one.keep != "discard") else one.do,
            one.danger,
        ]
    else:
        parts.append(cases)
    text = " ".join(part for part in parts if part)
    if not cases and not first:
        return [*it.booked]
    if keep == "discard":
        sources = "; ".join(str(each) for each in one.sources)
        return [Caution(text, f"{NAME}-{one.id}", "stop", sources), *it.booked]
    return [
        Answer(text, NAME, (), parts[0] if first and one.known else f"{parts[0]} {one.likely if first else cases}"),
        *it.booked,
    ]


def _joined(sentences: Sequence[str]) -> str:
    """Sentences one after the other; "Flat:" takes up what follows it."""
    text = ""
    for one in sentences:
        if text.endswith(":"):
            plain = one.removeprefix("Then ")
            text += f" {plain[0].lower()}{plain[1:]}" if plain and not plain.startswith(("USDA", "I ")) else f" {plain}"
        else:
            text += f" {one}" if text else one
    return text


# answering -------------------------------------------------------------------------------------


def answered(state: State, said: Reading | Misread, today: datetime.date) -> Result | None:
    """A line taken as the answer to what is asked, or None if it is about something else."""
    open_ = state.wrong
    if open_ is None or state.mode != "idle":
        return None
    if isinstance(said, Reading) and said.act == "why" and len(said.text.split()) <= 4:
        return state, why(state)
    if (told := _changes_nothing(state, said, today)) is not None:
        return told
    if not open_.asking or known.which(said) in known.KITCHEN:
        return None
    if isinstance(said, Reading) and said.act == "cancel":
        return replace(state, wrong=None), (Note("Left at that."),)
    if isinstance(said, Reading) and not said.amounts and (labels(said) or any(w.kind == "about" for w in said.told)):
        return None  # "label": the account is asked
    if (isinstance(said, Reading) and said.act in _STEPS) or not _looks(said):
        return None
    if not open_.condition:
        return _named(state, said, today)
    deed = current(state) is not None and any(word.kind == "deed" for word in said.told) and is_fact(said.text)
    if deed and not (isinstance(said, Reading) and said.act == "log"):
        return None  # "mouldy, chucked the lot" is told of the batch
    one = rules.table().conditions[open_.condition]
    question = next(each for each in one.asks if each.about == open_.asking)
    words = rules.words_of(_NO_BUT.sub("", said.text))
    if rules.case_of_words(one, question, words) is None and not question.number:
        words, _ = rules.repaired(words, _right())
    signs = rules.found(words)
    if question.number:
        return None if signs and not numbers(said) else _numbered(state, said, today, question)
    meant = rules.case_of_words(one, question, words)
    if meant is None:
        return None if signs else _unsure(state, said, question, today)
    case = question.cases[meant[0]]
    if any(_of_its_own(hit, one, question, case) for hit in signs):
        return None
    given, unused = _placed(one, numbers(said))
    if unused and any(each.unit and dimension(each.unit) in _WEIGHED for each in unused):
        return None
    after = replace(state, wrong=_with(open_, given))
    state, replies = _gone_through(after, today, words, first=False, line=said.text.strip(" .!?,"))
    thrown = any(isinstance(each, Caution) for each in replies)
    if thrown and (batch := current(state)) is not None and not batch.closed:
        replies = (*replies, Note(f'{NOT_ENTERED}; say "note: {said.text.strip(" .!?,")}" to have it there.'))
    against = [] if thrown else stands(state, today)
    taken = _taken(given, state.wrong, replies)
    return state, _asks_last((*replies, *against, *taken, *_unused(unused, thrown)))


_NO_BUT = phrase(
    r"^\W*(?:(?:actually|wait|oh|ah|hm+|well|sorry)\W+)*(?:no|nope|nah|nay)"
    r"(?:\s*[,.;:!]+\s*|\s+(?=(?:it|it'?s|they|they'?re|there|there'?s|that|that'?s)\b))"
)
"""A "no" to what was said before, of which the rest of the line is no part: "no it's hairy" says that it is."""


def _changes_nothing(state: State, said: Reading | Misread, today: datetime.date) -> Result | None:
    """A pH told after something that is to be thrown out: it makes it no better."""
    open_ = state.wrong
    assert open_ is not None
    if not open_.condition or not isinstance(said, Reading):
        return None
    one = rules.table().conditions[open_.condition]
    if one.keep != "discard" or {"keep", "chill"} & {each for _, each in open_.keeps}:
        return None
    found = numbers(said)
    if not found or any(_number_for("ph", each, False) is None for each in found):
        return None
    if said.question or said.wanted or said.told or said.act not in ("log", "bare", "tell", "change"):
        return None
    question = next((each for each in one.asks if each.about == open_.asking), None)
    again = (Ask(question.text),) if question is not None else ()
    return replace(state, wrong=replace(open_)), (*_unused(found, True), *again)


_SMELLS = frozenset(("sharp", "yeasty", "eggs", "solvent", "putrid", "butyric", "smell"))


def _of_its_own(hit: Hit, one: Condition, question: Question, case: rules.Case) -> bool:
    """Whether a sign in an answer is another one: "flat, but it stinks of rot", "garlic turned blue"."""
    there = hit.condition
    if there.id in (one.id, case.goes):
        return False
    if question.about in ("smell", "clean", "strength") and there.id in _SMELLS:
        return False
    worse = there.keep == "discard" and rules.strictness(one, case) > 0
    return worse or len(hit.places) > 1


def _with(open_: Wrong, given: Iterable[tuple[str, float, float]]) -> Wrong:
    """With numbers said now in place of those known before."""
    new = {each[0]: each for each in given}
    kept = [each for each in open_.numbers if each[0] not in new]
    done = tuple(about for about in open_.done if about not in new)
    keeps = tuple(each for each in open_.keeps if each[0] not in new)
    return replace(open_, numbers=(*kept, *new.values()), done=done, keeps=keeps)


def _named(state: State, said: Reading | Misread, today: datetime.date) -> Result | None:
    """The sign itself, which was asked for."""
    if heard(state, said) is not None or not isinstance(said, Misread) or said.why != "unknown-word":
        return None  # a sign is told as any other, and other lines are about something else
    return state, (Note(f'I do not know "{said.text.strip()[:60]}" as a sign.'), Ask(ASK_WHAT))


def _numbered(state: State, said: Reading | Misread, today: datetime.date, question: Question) -> Result | None:
    """A number as the answer; a line with another kind of number is about something else."""
    assert state.wrong is not None
    one = rules.table().conditions[state.wrong.condition]
    found = numbers(said)
    if not found:
        return _unsure(state, said, question, today)
    if any(dimension(each.unit) in _WEIGHED for each in found):
        return None
    if isinstance(said, Reading) and (said.wanted or said.firm):
        return None  # "make it 2%" is of a sum
    values = [(each, value) for each in found if (value := _number_for(question.about, each, True)) is not None]
    if not values:
        other, unused = _placed(one, found)
        if other and not unused:  # "two weeks old" where the pH was asked
            after = replace(state, wrong=_with(state.wrong, other))
            after, replies = _gone_through(after, today, (), first=False)
            return after, _asks_last((*replies, *_taken(other, after.wrong, replies)))
        texts = say.listed(f'"{each.text}"' for each in found)
        return state, (Note(f"I cannot take {texts} for that, and did not use it."), Ask(question.text))
    pick, value = max(values, key=lambda each: each[1])
    rest = [each for each in found if each is not pick]
    other, unused = _placed(one, rest)
    other = tuple(each for each in other if each[0] != question.about)
    off = pick.off if question.about == "ph" else 0.0
    batch = current(state)
    fresh = None
    if question.about == "ph" and batch is not None and not batch.closed and batch.full:
        fresh = watching.went_in_since(batch, made.Point(today, value))
        off = SCALE if fresh is not None else off
    mine = (question.about, value, off)
    after = replace(state, wrong=_with(state.wrong, (mine, *other)))
    after, replies = _gone_through(after, today, (), first=False)
    if len(values) > 1:
        replies = (*replies, Note("The highest of them counts."))
        unused = [each for each in unused if _number_for(question.about, each, True) is None]
    logged = isinstance(said, Reading) and said.act == "log"
    if question.about == "ph" and not logged and current(state) is not None:
        replies = (*replies, Note(f'Not entered in the book; say "pH {level(value)} by meter" to note it.'))
    if fresh is not None:
        replies = (*replies, Note(f"{fresh.what[0].upper()}{fresh.what[1:]} went in today: read it again tomorrow."))
    thrown = any(isinstance(each, Caution) for each in replies)
    against = [] if thrown else stands(state, today)
    taken = _taken(other, after.wrong, replies)
    return after, _asks_last((*replies, *against, *taken, *_unused(unused, thrown)))


def _unsure(state: State, said: Reading | Misread, question: Question, today: datetime.date) -> Result | None:
    """ "I don't know": the strictest case is taken. What is no answer is asked again, or is about something else."""
    assert state.wrong is not None
    one = rules.table().conditions[state.wrong.condition]
    unsure = (isinstance(said, Reading) and said.act == "unsure") or _UNSURE.search(said.text) is not None
    if not unsure:
        empty = isinstance(said, Misread) and said.why == "unknown-word"
        nothing = isinstance(said, Reading) and said.act in ("yes", "no") and not (said.amounts or said.told)
        return (state, (Note("That does not tell them apart."), Ask(question.text))) if empty or nothing else None
    case = question.cases[rules.strictest(one, question)]
    strict = case.keep or (rules.table().conditions[case.goes].keep if case.goes else one.keep)
    text = case.then or rules.table().conditions[case.goes].likely
    age = next((value for about, value, _ in state.wrong.numbers if about == "age"), 0.0)
    if question.about == "ph" and one.keep == "wait" and strict == "wait" and age >= LATE:
        strict, text = "discard", f"at {_days(age)} it must be shown below 4.6."
    done = replace(
        state.wrong, done=(*state.wrong.done, question.about), keeps=(*state.wrong.keeps, (question.about, strict))
    )
    lead = f"{VERDICT[strict]} Not known, so the worse is taken: {_plain(text)}"
    left = next((each for each in one.asks if each.about not in done.done), None) if strict != "discard" else None
    after = replace(state, wrong=replace(done, asking=left.about if left is not None else ""))
    sources = "; ".join(str(each) for each in one.sources)
    first: Reply = (
        Caution(lead, f"{NAME}-{one.id}", "stop", sources) if strict == "discard" else Answer(lead, NAME, (), lead)
    )
    if left is None:
        return after, (first,)
    after, replies = _gone_through(replace(after, wrong=replace(done, asking="")), today, (), first=False)
    return after, (first, *replies)


def _plain(text: str) -> str:
    plain = text.removeprefix("Then ")
    return f"{plain[0].lower()}{plain[1:]}"


def asked_what(state: State, said: Reading | Misread) -> Result | None:
    """ "Something is wrong with it", with no sign: what is seen is asked for."""
    if state.mode != "idle" or not _looks(said) or re.search(r"\d", said.text) or state.pending is not None:
        return None
    if isinstance(said, Reading) and (said.amounts or said.act in _STEPS or said.wanted):
        return None
    if any(isinstance(one, Answer) and one.calculator not in (NAME, known.NAME, "batch") for one in state.said):
        return None  # "that is wrong" is of the sum
    if _WHAT.search(said.text) is None or _OF_A_SUM.search(said.text) is not None:
        return None
    return replace(state, wrong=Wrong("", asking="sign")), (Ask(ASK_WHAT),)


def why(state: State) -> tuple[Reply, ...]:
    """What the advice rests on, with its source."""
    assert state.wrong is not None
    if not state.wrong.condition:
        return (Why("Signs differ in what they mean, so I ask for yours.", source="common practice, no source"),)
    one = rules.table().conditions[state.wrong.condition]
    sources = list(one.sources)
    if one.known:
        sources += [each for each in known_of(one.known).sources if each not in sources]
    replies: list[Reply] = [Why(one.why, source="; ".join(str(each) for each in sources))]
    replies += [
        Why(f"The caution {each.rule} rests on this.", source=each.source)
        for each in state.said
        if isinstance(each, Caution) and not each.rule.startswith(f"{NAME}-")
    ]
    if state.wrong.asking:
        question = next((each for each in one.asks if each.about == state.wrong.asking), None)
        replies += [Ask(question.text)] if question is not None else []
    return tuple(replies)
