"""Readings of a batch: pH by meter or strip, temperature, each with its day."""

from __future__ import annotations

import datetime
import re
from dataclasses import replace
from typing import TYPE_CHECKING

from assistant.replies import Ask, Assume
from assistant.rules.watch import SCALE
from assistant.talk.account.desk import Desk, Stop
from assistant.talk.account.which import phrase
from assistant.talk.dates import day_said
from assistant.talk.place import dimension
from assistant.trade.meter import grade
from grammar import measures
from grammar.later import module, regex
from grammar.types import Amount, Reading

if TYPE_CHECKING:
    from assistant.batches import events as ev
else:
    ev = module("assistant.batches.events")


COLD, HOT = -10.0, 45.0
"""C between which a cellar or a kitchen is; a bare "degrees" outside it is Fahrenheit."""

DOUBTFUL = (32.0, 50.0)
"""Bare degrees that are a warm room in C and a cold one in F."""

STALE = phrase(
    r"(n[o']?t|\bnever|\bno|\bun\w*|\bneeds)\W+(?:\w+\W+){0,3}calibrat\w*|"
    r"calibrat\w*[^\w,;.!?]+(?!(?:\w+\W+){0,2}(?:(?:that|same) day|today|this morning|now)\b)"
    r"(?:\w+[^\w,;.!?]+){0,4}(ages|since|weeks?|"
    r"months?|days?|years?|yesterday|last|summer|spring|winter|autumn|while|(?:mon|tues|wednes|thurs|fri|satur|sun)day|"
    r"never|january|february|march|april|june|july|august|september|october|november|december)\b|"
    r"calibrat\w*\s*[?:]\s*no\b"
)
"""A meter that was not calibrated that day: "hadn't calibrated it in ages", "calibrated last week"."""

_STRIP = phrase(r"\b(paper|litmus|strips?)\b")
_METER = phrase(r"\b(meter|probe|electrode)\b")


ELSEWHERE = phrase(
    r"\b(limit|target|aim|aiming|recipe|expected|tap|vinegar|above|below|under|over|less than|more than|should|"
    r"buffers?|lemon|water|labels?|bottle says|book|shop|store|bought|brand|website|online|internet|guess|guessing|"
    r"probably|maybe|perhaps|reckon|suppose|estimate|hopefully|i think|might be|must be|could be)\b"
)
"""Words of a pH that is no reading of the batch."""

CALIBRATION = phrase(r"\b(?:re)?calibrat\w*\b(?:[^.,;!?]|[.,](?=\s*\d))*|\bwith (?:fresh )?buffers?\b")
"""What is told of calibrating the meter, buffers and all."""

_ACID = phrase(r"\bp\.? ?h\b|\bstrip")
_OUTSIDE = phrase(r"\b(fridge|freezer|outside|oven|water|garden|keep|put)\b")
"""Words of a temperature that is not the ferment's."""


def of_its_own(said: Reading) -> Reading:
    """The reading without the days that tell when the meter was calibrated."""
    spans = [match.span() for match in STALE.finditer(said.text)]

    def aside(at: int) -> bool:
        return any(start <= at < end for start, end in spans)

    return replace(
        said,
        amounts=tuple(
            one for one in said.amounts if not (dimension(one.unit) in ("date", "time") and aside(one.span[0]))
        ),
        whens=tuple(one for one in said.whens if not aside(one.span[0])),
    )


def method(reading: Reading) -> str:
    """How a pH was taken, as far as it was said: "meter", "strip" or ""."""
    if "ph-strip" in reading.terms or _STRIP.search(reading.text):
        return "strip"
    return "meter" if _METER.search(reading.text) else ""


_BUFFER = r"(?:[47](?:\.0\d?)?|10(?:\.0)?)"
_HIGH = r"(?:7(?:\.0\d?)?|10(?:\.0)?)"
HALF = phrase(
    rf"\bcalibrat\w+\b[^.;]*?\b(?:(?:with|in|at|to|on|by) (?:the |a |ph )*{_BUFFER} (?:only|alone|buffer only)|"
    r"only (?:with|in|at|to|on) |(?:one|1|a single) (?:point|buffer)|"
    r"(?:old|expired|stale|out of date|(?<!i\s)(?<!we\s)(?<!,\s)used|dirty) (?:buffers?|solutions?|sachets?))|"
    rf"\bcalibrat\w+\b(?:(?!\b4\b)[^.;])*?\b{_HIGH} and {_HIGH}"  # in 4, 7 and 10 is better than in two
)
"""A calibration that proves nothing of a sour sauce: in one buffer, in 7 and 10, in old buffers."""


def calibrated(reading: Reading) -> str:
    """Whether the meter was said to be calibrated: "yes", "no" (or its slope is that of no probe) or ""."""
    terms = {word.term for word in reading.told}
    slopes = [one.value / 100 for one in reading.amounts if one.said("property") == "slope" and one.unit == "percent"]
    if (
        "uncalibrated" in terms
        or STALE.search(reading.text)
        or HALF.search(reading.text)
        or any(grade(one) == 0 for one in slopes)
    ):
        return "no"
    return "yes" if "calibrated" in terms or "calibrated meter" in " ".join(reading.text.lower().split()) else ""


_FIGURE = r"\d*[.,]?\d+|(?:zero |oh |nought )?point (?:oh |zero |nought )?\w+"
_NO_UNIT = (
    r"(?![\d.,]*\d)(?!\s*[%°])(?!\s*(?:percent|days?|hours?|hrs?|h|weeks?|minutes?|months?|degrees?|[cfgl]|kg|ml)\b)"
)
_OFF = regex(
    r"(?:(?:good|accurate|within|correct|right)\s+to(?:\s+within)?|accuracy\s*(?:of|is|:)?|error\s*(?:of|is|:)?|within"
    r"|plus\s*(?:or|and|/|-)?\s*minus|\+\s*/?\s*-|±|give\s+or\s+take|(?:is|be|can\s+be|may\s+be)\s+off\s+by|off\s+by)"
    r"\s*(?:about\s+|around\s+|\+\s*/\s*-\s*|±\s*|plus\s+or\s+minus\s+)?(?:a\s+)?"
    rf"(?P<a>{_FIGURE}|a tenth|tenth|half){_NO_UNIT}"
    rf"|(?P<b>{_FIGURE})\s*(?:ph\s*)?(?:either\s+way|each\s+way|off\b)",
    re.IGNORECASE,
)
"""How far off a meter may be: "good to 0.02", "plus or minus 0.05", "0.1 either way"."""

_TENTHS = {
    "one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "eight": 8, "nine": 9,
}  # fmt: skip
MOST_OFF = 2.0
"""More than this is no error of an instrument."""


def error_said(text: str) -> tuple[float, int, int] | None:
    """How far off the instrument may be, as it was said, and where the words stand; None if nobody said."""
    match = _OFF.search(text)
    if match is None:
        return None
    words = (match["a"] or match["b"]).lower().replace(",", ".")
    if words in ("a tenth", "tenth"):
        value = 0.1
    elif words == "half":
        value = 0.5
    elif "point" in words:
        *_, last = words.split()
        if last not in _TENTHS:
            return None
        small = re.search(r"point (?:oh|zero|nought) ", words) is not None
        value = _TENTHS[last] / (100 if small else 10)
    else:
        value = float(words)
    return (value, *match.span()) if value > 0 else None


def days_of(reading: Reading, found: list[Amount], today: datetime.date, began: datetime.date) -> list[datetime.date]:
    """The day of each of several readings: the day named right after it, else the one named before all.

    "pH 4.4 yesterday, 3.9 now" has two days; "on 3 March pH 4.4 and 4.5" has one.
    """
    if len(found) < 2:
        return [day_said(reading, today, began)[0] or today for _ in found]
    out = []
    for at, one in enumerate(found):
        end = found[at + 1].span[0] if at + 1 < len(found) else len(reading.text)
        out.append(_between(reading, one.span[1], end, today, began))
    first = _between(reading, 0, found[0].span[0], today, began)
    return [one or first or today for one in out]


def _between(
    reading: Reading, start: int, end: int, today: datetime.date, began: datetime.date
) -> datetime.date | None:
    """The day named in a stretch of the line."""
    part = replace(
        reading,
        amounts=tuple(one for one in reading.amounts if start <= one.span[0] < end),
        whens=tuple(one for one in reading.whens if start <= one.span[0] < end),
    )
    return day_said(part, today, began)[0]


def acidity(desk: Desk, found: list[Amount], *, flawed: bool = False) -> None:
    """pH readings entered; those of a ``flawed`` sample (too warm, too young) may be off by the whole scale.

    Raises:
        Stop: a day still to come.
    """
    batch = desk.open_batch()
    if len(desk.vessels) > 1 or any(one.count > 1 for one in desk.vessels):
        raise Stop(Ask("Say the pH of one vessel a line."))
    spans = [one.span for one in desk.vessels]
    found = [one for one in found if not any(start <= one.span[0] < end for start, end in spans)]
    if not found:
        raise Stop(Ask('Which pH was it? Say, for example, "jar 1 pH 3.9".'))
    if "ph-strip" in desk.reading.terms and _METER.search(desk.reading.text) and len(found) > 1:
        raise Stop(Ask("Say the strip and the meter in two lines."))
    label = desk.source(sure=False).label if batch.full or desk.vessels else batch.current
    off = error_said(desk.reading.text)
    for one, day in zip(found, days_of(desk.reading, found, desk.today, batch.began), strict=True):
        how = method(desk.reading)
        if day > desk.today:
            raise Stop(Ask("That day is still to come. When was it read?"))
        event = ev.Read(
            batch.number,
            day,
            desk.said,
            label,
            "ph",
            one.value,
            how,
            calibrated(desk.reading) if how != "strip" else "",
            SCALE if flawed else off[0] if off is not None else 0.0,
        )
        desk.enter(event)


def is_temperature(reading: Reading) -> bool:
    """A line that gives a temperature and asks nothing."""
    told = [one for one in reading.amounts if dimension(one.unit) not in ("date", "time")]
    plain = bool(told) and all(dimension(one.unit) == "temperature" for one in told)
    if _ACID.search(reading.text) or _OUTSIDE.search(reading.text):
        return False
    plain = plain or (len(told) == 1 and not told[0].unit and "temperature" in reading.terms)
    topics = [word for word in reading.words if word.kind in ("topic", "noun") and word.text.lower() != "room"]
    return plain and not reading.question and not reading.wanted and not reading.unit and not topics


def warmth(desk: Desk) -> None:
    """Temperatures entered, in degrees C.

    Raises:
        Stop: a bare number of degrees that may be either scale.
    """
    batch = desk.open_batch()
    named = "temperature" in desk.reading.terms
    for one in desk.take(lambda each: dimension(each.unit) == "temperature" or (named and not each.unit)):
        if any(each.value != one.value for each in one.rivals):
            raise Stop(Ask(f'"{one.text}" is two temperatures: say the one it is now.'))
        bare = not one.unit or any(each.unit != one.unit and each.value == one.value for each in one.rivals)
        unit = one.unit
        if bare:
            if DOUBTFUL[0] <= one.value < DOUBTFUL[1]:
                raise Stop(Ask(f'Is "{one.text}" Celsius or Fahrenheit? Say it again with C or F.'))
            unit = "degree_Celsius" if one.value < DOUBTFUL[0] else "degree_Fahrenheit"
            scale = "Celsius" if unit == "degree_Celsius" else "Fahrenheit"
            desk.notes.append(Assume(f"{one.value:g} degrees {scale}.", "temperature", one.value, unit))
        value = measures.canonical(one.value, unit, "temperature")
        if not COLD <= value <= HOT:
            raise Stop(Ask(f'"{one.text}" is no warmth for a ferment. Is it in C or in F?'))
        desk.enter(ev.Read(batch.number, desk.day, desk.said, batch.current, "temperature", value, "thermometer"))
