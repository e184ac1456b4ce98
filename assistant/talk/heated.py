"""A course of temperatures told, pasted or logged: "55 62 68 72 74 74 70 64 every two minutes, pH 4.0".

What it is worth is held against what the pH needs. What is missing (the step, C or F, the pH) is asked for, one after
the other; the pH is never taken from the book, for it may have moved. "The probe reads a degree high" and "one bottle
was only 66" move the whole course. "Done" enters it with the open batch.
"""

from __future__ import annotations

import datetime
import math
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise
from typing import TYPE_CHECKING

from assistant.batches.describe import day_words, level
from assistant.replies import Answer, Ask, Assume, Caution, HeatChart, Log, Note, Reply, Value, Why
from assistant.rules import Facts, cautions
from assistant.rules.watch import CALIBRATED_ERROR, METER_ERROR
from assistant.show import number
from assistant.talk.account import reading as read_off
from assistant.talk.account.which import current, phrase
from assistant.talk.place import dimension
from assistant.talk.state import Heated, Result, State, as_said, style
from assistant.talk.work import HELD, asks_or_plans, was_held
from assistant.trade import calculator
from assistant.trade.lethality import (
    COUNTS_FROM,
    HIGH_PH,
    LONGEST,
    LOW_PH,
    METER,
    PH_EDGE,
    Counted,
    Curve,
    Process,
    counted,
    over,
    process_for,
    thinned,
)
from grammar import clock, measures
from grammar.later import module
from grammar.types import Amount, Course, Misread, Reading

if TYPE_CHECKING:
    from assistant.batches import events as ev
    from assistant.batches import watch as watching
    from assistant.batches.batch import Batch
else:
    ev = module("assistant.batches.events")
    watching = module("assistant.batches.watch")


NAME = "heat-course"

_PROBE = phrase(
    r"\b(?:probe|thermometer|it|sensor|logger|meter)\b.*\b(?:reads?|shows?|is|was|runs?|off|could be|may be)\b"
)
_OF_PH = phrase(r"\bph\W*(?:of|is|was|at|around|about)?\W*$")
_HIGH = phrase(r"\b(?:high|hot|too much|over|more|warm|fast)\b")
_LOW = phrase(r"\b(?:low|cold|too little|under|less|slow)\b")
_BOTTLE = phrase(
    r"\b(?:bottles?|jars?|coldest|edge|corner|middle|bottom|top|side|another|the last|the first|one of them|neck)\b"
)
_CELSIUS, _FAHRENHEIT = phrase(r"\b(?:c|celsius|centigrade)\b|°\s*c\b"), phrase(r"\b(?:f|fahrenheit)\b|°\s*f\b")
_BOILS = 102.0
"""Degrees that no open pot of sauce shows in C; figures up to it are C, for in F they would be a cold room's."""
_POT = 112.0
"""Degrees C that no sauce has in an open pot, salt and sugar in it or not (common practice, no source)."""
_SCALE_F = 115.0
"""From here on figures are F: a pot cannot be that hot in C."""
_BY_CLOCK = phrase(r"\b(?:hours?|o'?clock|clock|time of (?:the )?day|hh?\s?:?\s?mm)\b|\b(?:minutes|mins?) apart\b")
_BY_COUNT = phrase(r"\b(?:seconds?|secs?|since|from the start|elapsed|stop\s?watch|count\w*|timer|mm?\s?:?\s?ss)\b")
"""What tells hours and minutes from minutes and seconds."""
_ALL = phrase(r"^\W*(?:that'?s (?:all|it|the lot)|that (?:was|is) (?:all|it)|done|finished|no more|end)\W*$")
_ASK = {
    "times": "Are these hours and minutes by the clock, or minutes and seconds since the start?",
    "more": "Say the next reading; and the pH when that was all.",
    "step": 'How far apart are the readings? For example "two minutes".',
    "unit": "Is that in C or in F?",
    "ph": "Which pH does the meter show, a day after the last addition?",
}
_ROLE = {"times": ("time",), "more": ("temperature",), "step": ("time",), "unit": ("temperature",), "ph": ("ph",)}
FEWEST = 3
"""Readings, told one by one, that are judged without a word that this was all."""
_LEAST_PH, _MOST_PH = 1.5, 9.0


def turned(state: State, said: Reading, today: datetime.date) -> Result | None:
    """The result if the line tells a course or goes on about one, else None."""
    open_ = state.heated
    if said.course is not None and open_ is not None and len(said.course.minutes) == 1:
        return _gone_on(state, said, open_, said.course)
    if said.course is not None:
        return _begun(state, said, said.course)
    done = any(word.term == "done" for word in said.told) and not said.amounts
    if open_ is not None and open_.asking == "more" and _ALL.search(said.text):
        return _told(state, replace(open_, asking=""), whole=True)
    if open_ is None or said.act in ("undo", "redo", "repeat", "leave", "reset", "help"):
        return None
    shown = any(isinstance(one, Answer) and one.calculator in (NAME, "hold") for one in state.said)
    if open_.asking == "more" and done:
        return _told(state, replace(open_, asking=""), whole=True)
    if done and open_.asking:
        return state, (Ask(_ASK[open_.asking], roles=_ROLE[open_.asking]),)
    if said.act == "why" and any(isinstance(one, Answer) and one.calculator == "hold" for one in state.said):
        return None
    if said.act == "why":
        return (state, _why(open_)) if shown and open_.ph is not None else None
    if said.act == "cancel" and open_.asking:
        return replace(state, heated=None), (Note("The course is dropped; nothing was entered."),)
    if done:
        return _done(state, said, today) if shown else None
    if open_.asking:
        return _filled(state, said, open_)
    return _changed(state, said, open_) if not open_.away else None


_HELD_STEP = 2.0
"""Minutes between the readings that a hold is made of."""


def held(state: State, said: Reading, replies: Sequence[Reply]) -> State | None:
    """A hold that was told as done ("held it 10 minutes at 82 C", "pH 3.8") as a course of two readings, or None.

    What is planned, supposed or asked is no heating; a batch must be open to enter it with.
    """
    fresh = any(isinstance(one, Answer) and one.calculator == "hold" for one in replies)
    job = state.answered
    if not fresh or job is None:
        return None
    filled = HELD in job.words and said.act in ("bare", "tell", "log") and not (said.question or said.firm)
    if not (was_held(said.text) or (filled and not asks_or_plans(said.text))):
        return None
    batch = current(state)  # only now: most lines must not read the account
    values = job.values()
    if batch is None or not batch.full or not {"temperature", "time", "ph"} <= values.keys() or values["time"] <= 0:
        return None
    minutes = values["time"] * 1440
    # a hold was at its temperature all the while: readings so close that none of it counts as a gap
    many = max(2, math.ceil(minutes / _HELD_STEP) + 1)
    times = tuple(minutes * at / (many - 1) for at in range(many))
    course = Course(times, (values["temperature"],) * many, "degree_Celsius", rows=many)
    return replace(state, heated=Heated(course, values["ph"], values.get("meter_error", METER_ERROR)))


def offer(state: State) -> tuple[Reply, ...]:
    """That "done" enters a hold that was told as done."""
    batch = current(state)
    return (_offer(batch),) if batch is not None else ()


def _offer(batch: Batch) -> Note:
    return Note(f'Say "done" to enter this heating with {batch.title}.')


def aside(state: State) -> State:
    """The state once another line has come between."""
    if state.heated is None or state.heated.away:
        return state
    return replace(state, heated=replace(state.heated, away=True, asking=""))


def begun(state: State, course: Course, ph: float | None) -> Result:
    """A course that was read from a file, and the pH it is judged by."""
    return _told(replace(state.idle(), heated=None), Heated(course, ph), new=True)


def _begun(state: State, said: Reading, course: Course) -> Result:
    """A new course, with what else its line says."""
    found, left = _taken(said, Heated(course))
    if left:
        texts = " and ".join(f'"{one.text}"' for one in left)
        return state, (
            Ask(
                f"I have no place for {texts} beside a course of temperatures, and took none of the line. "
                'Say, for example: "55 62 68 72 74 74 70 64 every two minutes, pH 4.0".'
            ),
        )
    return _told(state.idle(), found, new=True)


def _gone_on(state: State, said: Reading, open_: Heated, more: Course) -> Result:
    """One reading after those that were said line by line."""
    from grammar.series import gone_on  # one course needs it, and a cold answer need not wait for it

    found, left = _taken(said, replace(open_, course=more, ph=None))
    course = gone_on(open_.course, more)
    if left:
        return _begun(state, said, more)
    if course is None:
        after, replies = _begun(state, said, more)
        some = " and ".join(f"{number(one)}" for one in open_.course.degrees)
        why = "its time is not after theirs, or its scale is another"
        return after, (Note(f"I begin anew at this reading, without {some} before it: {why}."), *replies)
    ph = found.ph if found.ph is not None else open_.ph
    return _told(state, replace(found, course=course, ph=ph), whole=ph is not None)


def _taken(said: Reading, heated: Heated) -> tuple[Heated, list[Amount]]:
    """What the line says of the pH, the probe and the step; and the amounts that are none of these."""
    off = read_off.error_said(said.text)
    if any(word.term == "calibrated" for word in said.told):
        heated = replace(heated, error=CALIBRATED_ERROR)
    left = []
    for one in said.amounts:
        aside_ = off is not None and off[1] <= one.span[0] < off[2]
        if aside_ and off is not None:
            heated = replace(heated, error=off[0])
        elif (moved := _moved_by(said, one, heated.course)) is not None:
            heated = replace(heated, offset=moved)
        elif one.rivals:
            left.append(one)
        elif not one.unit and heated.ph is None and _LEAST_PH <= one.value <= _MOST_PH:
            heated = replace(heated, ph=one.value)
        elif dimension(one.unit) == "time" and not heated.course.timed:
            heated = replace(heated, course=spaced(heated.course, _minutes(one)))
        else:
            left.append(one)
    return heated, left


def step_said(text: str) -> float | None:
    """How far apart the readings are, if a line says so; the patterns are made when a course is there, not before."""
    from grammar.series import step_said as said_in

    return said_in(text)


def _minutes(one: Amount) -> float:
    return measures.canonical(one.value, one.unit, "time") * 1440


def spaced(course: Course, minutes: float) -> Course:
    """A course whose readings lie so many minutes apart."""
    from statistics import median  # one course needs it, and a cold answer need not wait for it

    usual = median(later - earlier for earlier, later in pairwise(course.minutes))
    times = tuple([at * minutes / usual for at in course.minutes])
    holes = tuple(at * minutes / usual for at in course.holes)
    return replace(course, minutes=times, holes=holes, timed=True, step=minutes)


def _moved_by(said: Reading, one: Amount, course: Course) -> float | None:
    """Degrees C by which the readings are to be moved ("the probe reads 1 degree high": -1), or None."""
    probe = _PROBE.search(said.text)
    if probe is None or abs(one.value) > 20 or not (one.unit in ("", "degree") or "degree" in one.unit):
        return None
    if one.span[0] < probe.start() or _OF_PH.search(said.text[: one.span[0]]):
        return None  # "pH 4.0, probe reads 2 high"
    high, low = _HIGH.search(said.text), _LOW.search(said.text)
    if (high is None) == (low is None):
        return None
    unit = one.unit if one.unit not in ("", "degree") else course.unit
    hot = max(course.degrees) >= _SCALE_F
    fahrenheit = unit == "degree_Fahrenheit" or (not unit and hot)
    size = one.value / 1.8 if fahrenheit else one.value  # a difference: 1.8 F are 1 C
    return -size if high else size


def misread(state: State, found: Misread) -> Result | None:
    """ "C" or "F" alone, which is no line of the kitchen."""
    open_ = state.heated
    if open_ is None or open_.away:
        return None
    if open_.asking == "unit":
        return _scaled(state, found.text, open_)
    if open_.asking == "more" and _ALL.search(found.text):
        return _told(state, replace(open_, asking=""), whole=True)
    return _timed(state, found.text, open_) if open_.course.times else None


def _timed(state: State, text: str, open_: Heated) -> Result | None:
    """The same course by the clock, or by minutes and seconds; None if the line does not tell which."""
    course = open_.course
    hours, count = _BY_CLOCK.search(text), _BY_COUNT.search(text)
    if (hours is None) == (count is None) or any(one.isdecimal() for one in text):
        return None
    name = clock.CLOCK if hours else clock.COUNT
    minute = 1.0 if (course.times == clock.CLOCK) == (name == clock.CLOCK) else 60.0 if hours else 1 / 60
    start = course.minutes[0] if hours else 0.0
    times = tuple((at - start) * minute for at in course.minutes)
    holes = tuple((at - start) * minute for at in course.holes)
    changed = replace(course, minutes=times, holes=holes, times=name)
    return _told(state, replace(open_, course=changed), whole=open_.asking != "more")


def _scaled(state: State, text: str, open_: Heated) -> Result | None:
    cold, hot = _CELSIUS.search(text), _FAHRENHEIT.search(text)
    if (cold is None) == (hot is None):
        return None
    unit = "degree_Celsius" if cold else "degree_Fahrenheit"
    return _told(state, replace(open_, course=replace(open_.course, unit=unit)))


def _filled(state: State, said: Reading, open_: Heated) -> Result | None:
    """An answer to what is asked for; None if the line is about something else."""
    if open_.asking == "unit" and not said.amounts:
        return _scaled(state, said.text, open_)
    if open_.asking == "times" and not said.amounts:
        return _timed(state, said.text, open_)
    if open_.asking == "step" and not said.amounts and (every := step_said(said.text)) is not None:
        return _told(state, replace(open_, course=spaced(open_.course, every)))
    found, left = _taken(said, replace(open_, ph=None))
    if left or not said.amounts:
        return None
    filled = found.course.timed if open_.asking == "step" else found.ph is not None
    if not filled:
        return None
    return _told(state, found if found.ph is not None else replace(found, ph=open_.ph), whole=True)


def _changed(state: State, said: Reading, open_: Heated) -> Result | None:
    """The same course with another pH, another probe, another step, or by a colder bottle."""
    if open_.course.times and not said.amounts and (other := _timed(state, said.text, open_)) is not None:
        return other
    if not said.amounts and (every := step_said(said.text)) is not None:
        return _told(state, replace(open_, course=spaced(open_.course, every)))
    if len(said.amounts) != 1:
        return None
    one = said.amounts[0]
    if (moved := _moved_by(said, one, open_.course)) is not None:
        return _told(state, replace(open_, offset=moved))
    if one.rivals and one.unit != "degree":
        return None
    if not one.unit and _LEAST_PH <= one.value <= _MOST_PH and ("ph" in said.terms or said.act in ("change", "bare")):
        return _told(state, replace(open_, ph=one.value))
    if dimension(one.unit) == "time" and (said.firm or step_said(said.text) is not None):
        return _told(state, replace(open_, course=spaced(open_.course, _minutes(one))))
    if _BOTTLE.search(said.text) and (colder := _colder(open_, one)) is not None:
        return _told(state, replace(open_, colder=colder))
    return None


def _colder(open_: Heated, one: Amount) -> float | None:
    """Degrees C between the hottest reading and what a colder bottle came to, as a shift of the whole course."""
    if one.unit and dimension(one.unit) != "temperature":
        return None
    unit = one.unit if one.unit not in ("", "degree") else open_.course.unit
    there = measures.canonical(one.value, unit, "temperature")
    hottest = max(_celsius(replace(open_, offset=0.0, colder=0.0)).degrees)  # by the same probe
    if not 20 <= there < hottest:
        return None
    # with the same probe it would be moved as the readings are; it is moved down so, and never up
    return there - hottest - max(open_.offset, 0.0)


def _celsius(heated: Heated) -> Curve:
    """The readings in degrees C, moved by what the probe is off and the bottle was colder."""
    shift, course = heated.shift, heated.course
    if course.unit == "degree_Fahrenheit":
        return Curve(course.minutes, [(value - 32) / 1.8 + shift for value in course.degrees])
    return Curve(course.minutes, [value + shift for value in course.degrees] if shift else course.degrees)


def _counted(heated: Heated) -> Counted:
    """What of the course counts; a step that was said may be as long as it was said."""
    course = heated.course
    return counted(_celsius(heated), longest=max(LONGEST, course.step), holes=course.holes)


def _told(state: State, heated: Heated, new: bool = False, whole: bool = False) -> Result:
    """The verdict on a course, or the question for what it lacks; ``whole``: no further reading is waited for."""
    assumed: tuple[Reply, ...] = ()
    course = heated.course
    if len(course.minutes) < FEWEST and course.first and course.spans and (not whole or len(course.minutes) == 1):
        return _asked(state, heated, "more")
    if course.times == clock.OPEN:
        return _asked(state, heated, "times")
    if not heated.course.unit:
        top = max(heated.course.degrees)
        # who wants answers in C may still read an old probe in F: what was said counts, beside what is wanted
        shown = as_said(state, state.answered).fahrenheit or style(state, state.answered).fahrenheit
        logged = not heated.course.spans  # a file has no voice: its scale is asked for
        if _BOILS < top < _SCALE_F or (top <= _BOILS and (shown or logged)):
            return _asked(state, heated, "unit")
        unit = "degree_Celsius" if top <= _BOILS else "degree_Fahrenheit"
        heated = replace(heated, course=replace(heated.course, unit=unit))
        assumed = (Assume(f"The readings are in {'C' if top <= _BOILS else 'F'}."),)
    if (hottest := _top(_celsius(heated))[1]) > _POT:
        hot = _degrees(hottest, heated)
        again = replace(
            state, heated=replace(heated, course=replace(heated.course, unit=""), asking="unit", away=False)
        )
        return again, (
            Ask(f"{hot} is hotter than sauce gets in an open pot. Is that in C or in F?", roles=("temperature",)),
        )
    if not heated.course.timed:
        return _asked(state, heated, "step", assumed)
    if heated.ph is None:
        return _asked(state, heated, "ph", assumed)
    taken = (_times_taken(course),) if course.times else ()
    return _judged(state, replace(heated, asking="", away=False), (*assumed, *taken), new)


def _times_taken(course: Course) -> Assume:
    """Which of the two readings of its times was taken, and how to say that it is the other."""
    shown = " and ".join(course.first[:2])
    if course.times == clock.CLOCK:
        return Assume(f'{shown} are hours and minutes by the clock. If not, say "minutes and seconds".')
    return Assume(f'{shown} are minutes and seconds since the start. If not, say "hours and minutes".')


def _asked(state: State, heated: Heated, lacks: str, before: tuple[Reply, ...] = ()) -> Result:
    waiting = replace(state, heated=replace(heated, asking=lacks, away=False))
    text, course = _ASK[lacks], heated.course
    if lacks == "times":
        text = text.replace("these", " and ".join(course.first[:2]))
    if lacks == "more":
        some = "reading" if len(course.minutes) == 1 else "readings"
        text = f"{len(course.minutes)} {some}, the last {number(course.degrees[-1])}. {text}"
    if lacks == "ph":
        rows = len(heated.course.minutes)
        text = f"{rows} readings up to {_degrees(max(_celsius(heated).degrees), heated)}. {text}"
    return waiting, (*before, Ask(text, roles=_ROLE[lacks]))


def _degrees(value: float, heated: Heated) -> str:
    """A temperature in the scale of the course, rounded down to a tenth: none is credited."""
    if heated.course.unit == "degree_Fahrenheit":
        return f"{number(math.floor((value * 1.8 + 32) * 10 + 1e-6) / 10)} F"
    return f"{number(math.floor(value * 10 + 1e-6) / 10)} C"


def _down(minutes: float) -> str:
    """Minutes of heat, rounded down to a tenth: never more than there were; of less than one, to a hundredth."""
    steps = 10 if minutes >= 1 else 100
    return number(math.floor(minutes * steps + 1e-9) / steps)


def _times(ratio: float) -> str:
    """How many times what is needed, rounded down."""
    digits = 10 if ratio < 10 else 1
    return number(math.floor(min(ratio, 1e6) * digits + 1e-9) / digits) if ratio >= 0.1 else "under 0.1"


def _judged(state: State, heated: Heated, assumed: tuple[Reply, ...], new: bool) -> Result:
    """What the course is worth, against what the pH needs."""
    assert heated.ph is not None
    kept = replace(state, heated=heated)
    worst = heated.ph + heated.error
    try:
        process = process_for(worst)
    except ValueError:
        limit = calculator("hold").input("counted").limit
        reason = limit.too_high if limit is not None else ""
        told = f"pH {level(heated.ph)}, with {heated.error:g} for the meter: {level(worst)}. {reason}. "
        after = replace(state, heated=replace(heated, ph=None, asking="ph", away=False))
        return after, (*assumed, Ask(f"{told}Bring it down, let it stand a day, and say the new pH.", roles=("ph",)))
    curve = _celsius(heated)
    what = _counted(heated)
    worth, needed = what.worth(process), process.f
    ratio = worth / needed
    reference = "160 F" if heated.course.unit == "degree_Fahrenheit" else "71.1 C"
    lead = (
        f"{'That course' if not heated.colder else 'That bottle'} is worth {_down(worth)} min at {reference}; pH "
        f"{level(heated.ph)} needs {number(needed)} min: {_times(ratio)} times that."
        if ratio >= 1
        else f"Not enough: {'that course' if not heated.colder else 'that bottle'} is worth {_down(worth)} min at "
        f"{reference}, and pH {level(heated.ph)} needs {number(needed)} min."
    )
    parts = [lead, *_shape(what, heated), *_probe(what, process, heated, ratio)]
    if heated.colder:
        parts.append(f"Counted as if it had run {_degree_span(-heated.colder, heated)} under the readings all the way.")
        if ratio < 1:
            parts.append(
                "The coldest counts, never the mean: heat the lot again from the start, or keep all of it cold."
            )
    text = " ".join((*parts, calculator("hold").tail[-1]))
    values = (
        Value("worth", worth, "minute"), Value("needed", needed, "minute"), Value("reach", ratio, ""),
        Value("hottest", _top(curve)[1], "degree_Celsius"),
    )  # fmt: skip
    replies: list[Reply] = [Answer(text, NAME, values, lead), *assumed]
    error = f"the meter may be {heated.error:g} off, so pH {level(worst)} counts"
    replies.append(Assume(f"{error[0].upper()}{error[1:]}.", "meter_error", heated.error, ""))
    replies += _flawed(what, heated)
    facts = Facts("hold", {"reach": ratio, "ph": heated.ph})
    replies += [Caution(one.sentence, one.id, one.severity, str(one.source)) for one in cautions(facts)]
    if new:
        fahrenheit, drawn = heated.course.unit == "degree_Fahrenheit", thinned(curve)
        replies.append(
            HeatChart(f"{_course_words(curve, heated)}.", tuple(drawn.minutes), tuple(drawn.degrees), fahrenheit)
        )
    batch = current(state)
    if batch is not None and batch.full:
        replies.append(_other_ph(batch, heated) or _offer(batch))
    return kept, tuple(replies)


def _other_ph(batch: Batch, heated: Heated) -> Reply | None:
    """That the book has a higher pH than the one it was judged by; then nothing is entered."""
    point = watching.last_reading(batch)
    if point is None or heated.ph is None or point.value <= heated.ph + 0.1 + 1e-9:
        return None
    return Caution(
        f"The last pH of {batch.title} in the book is {level(point.value)}, of {day_words(point.day)}: it was judged "
        f"by {level(heated.ph)}. Enter the reading that shows it before this heating is entered.",
        "heat-other-ph", "stop", str(METER),
    )  # fmt: skip


def _degree_span(value: float, heated: Heated) -> str:
    """A difference of temperatures in the scale of the course."""
    fahrenheit = heated.course.unit == "degree_Fahrenheit"
    return f"{number(value * 1.8 if fahrenheit else value)} {'F' if fahrenheit else 'C'}"


def _top(*curves: Curve) -> tuple[float, float]:
    """The minute of the hottest reading, the first of several, and how hot it was."""
    hottest = max(max(one.degrees) for one in curves)
    found = next(one for one in curves if hottest in one.degrees)
    return found.minutes[found.degrees.index(hottest)], hottest


def _shape(what: Counted, heated: Heated) -> list[str]:
    """The hottest reading that counts, and how long it was where heat counts."""
    at, hottest = _top(*what.pieces)
    edge = "140 F" if heated.course.unit == "degree_Fahrenheit" else "60 C"
    long = sum(over(piece, COUNTS_FROM) for piece in what.pieces)
    return [f"Hottest {_degrees(hottest, heated)} at minute {number(at)}; {_down(long)} min at {edge} or over."]


def _probe(what: Counted, process: Process, heated: Heated, ratio: float) -> list[str]:
    """What it is worth if the probe shows a degree too much."""
    fahrenheit = heated.course.unit == "degree_Fahrenheit"
    step = 1 / 1.8 if fahrenheit else 1.0
    less = what.worth(process, -step)
    unit = "F" if fahrenheit else "C"
    text = f"If the probe shows 1 {unit} too much it is {_down(less)} min"
    if less < process.f <= process.f * ratio:
        return [f"{text}, which is not enough: it is not proven. Hold longer."]
    return [f"{text} ({_times(less / process.f)} times)."] if ratio >= 1 else []


def _flawed(what: Counted, heated: Heated) -> list[Reply]:
    """What does not look right in the readings, and rows that could not be read."""
    notes = []
    for one in what.flaws[:4]:
        at = f"minute {number(one.minute)}"
        if one.kind == "gap":
            notes.append(f"No reading for {number(one.size)} min after {at}: nothing is credited there.")
        elif one.kind == "spike":
            notes.append(
                f"{_degrees(one.size, heated)} at {at} stands far over the readings beside it: left out as a fault of "
                "the probe."
            )
        else:
            notes.append(f"{_degrees(one.size, heated)} at {at} stands far under the readings beside it: it counts.")
    if len(what.flaws) > 4:
        notes.append(f"{len(what.flaws) - 4} more such places.")
    bad = heated.course.bad
    if bad:
        named = "; ".join(f"line {line}: {why}" for line, why in bad[:3])
        were = "was" if len(bad) == 1 else "were"
        more = f"; and {len(bad) - 3} more" if len(bad) > 3 else ""
        notes.append(f"{len(bad)} of {heated.course.rows} rows could not be read and {were} left out ({named}{more}).")
    return [Note(one) for one in notes]


def _course_words(curve: Curve, heated: Heated) -> str:
    """The course in words."""
    at, hottest = _top(curve)
    first, last = _degrees(curve.degrees[0], heated), _degrees(curve.degrees[-1], heated)
    return (
        f"The course: {first} at the start, {_degrees(hottest, heated)} at minute {number(at)}, "
        f"{last} at minute {number(curve.minutes[-1])}"
    )


def _why(heated: Heated) -> tuple[Reply, ...]:
    """The rate and the sum, with the figures of the table that the pH falls in."""
    assert heated.ph is not None
    try:
        process = process_for(heated.ph + heated.error)
    except ValueError:
        limit = calculator("hold").input("counted").limit
        return (Why(f"{limit.too_high if limit else ''}.", source=str(HIGH_PH.source)),)
    z = process.z_under
    worth = _counted(heated).worth(process)
    low = process is LOW_PH
    table = f"pH up to {PH_EDGE}" if low else f"pH over {PH_EDGE} up to 4.6"
    return (
        Why(
            f"A minute at T is worth 10^((T - 71.1 C) / z) minutes at 71.1 C (160 F), with z {number(z, 4)} C for "
            f"{table}; nothing under 60 C, and over 82.2 C no more than there. Summed along straight lines between the "
            f"readings, exactly: {number(worth, 4)} min. Needed: {number(process.f)} min.",
            source=str(process.source),
        ),
        Why(f"The meter may be {heated.error:g} off.", source=str(METER)),
    )


def _done(state: State, said: Reading, today: datetime.date) -> Result:
    """Enters the heating with the open batch."""
    batch = current(state)
    if batch is not None and state.heated is not None and (other := _other_ph(batch, state.heated)) is not None:
        return state, (other,)
    if batch is None:
        return state, (Note('No batch is open to enter it with. Say "new batch" first, or which one.'),)
    return entered(state, said.text, today)


def entered(state: State, said: str, today: datetime.date) -> Result:
    """The course that was judged last, entered with the open batch.

    Raises:
        LookupError: no batch is open, or no course was judged.
    """
    batch, heated = current(state), state.heated
    if batch is None or heated is None or heated.ph is None:
        raise LookupError("nothing to enter")
    process = process_for(heated.ph + heated.error)
    worth = _counted(heated).worth(process)
    drawn = thinned(_celsius(replace(heated, offset=0.0, colder=0.0)))
    event = ev.Heat(
        batch.number, today, said, batch.current, tuple(drawn.minutes), tuple(drawn.degrees), heated.ph,
        heated.error, worth, process.f, heated.shift,
    )  # fmt: skip
    after = replace(state, heated=None, entered=(event,), batch=batch.number)
    short = "" if event.enough else " It was not enough: heat it again, or keep it cold."
    return after, (Log(f"Entered with {batch.title}: the heating, worth {_down(worth)} min at 71.1 C.{short}"),)
