"""A row of temperatures in a line: "55 62 68 72 every two minutes", "0 min 55, 2 min 62, 4 min 68".

It is looked for before the words are read: a run of bare numbers is no phrase of the kitchen, and a
log of a probe has no words at all. What is found is cut out, and the rest of the line is read as any other.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import replace
from itertools import pairwise

from grammar import clock
from grammar.later import regex
from grammar.numerals import small
from grammar.tokens import flatten
from grammar.types import Course, Span

FEWEST = 3
"""Readings that make a course."""

_ONES = "one|two|three|four|five|six|seven|eight|nine"
_TEENS = "ten|eleven|twelve|thirteen|fourteen|fifteen|sixteen|seventeen|eighteen|nineteen"
_TENS = "twenty|thirty|forty|fifty|sixty|seventy|eighty|ninety"
_HUNDRED = r"(?:(?:a|one)\s+hundred(?:\s+and)?|one)"
_UNDER = rf"(?:(?:{_TENS})(?:[\s-]+(?:{_ONES})\b)?|{_TEENS})"
_EARLY = rf"(?:(?:{_TENS})(?:[\s-]+(?!one\s+(?:{_TENS}))(?:{_ONES})\b)?|{_TEENS})"
"""The same with "fifty one sixty" as 50 and 160."""
_WORDS = rf"(?:{_HUNDRED}\s+)?{_UNDER}|(?:a|one)\s+hundred|one\s+oh?\s+(?:{_ONES})"
_POINT = rf"(?:\s+point(?:\s+(?:zero|oh|{_ONES})\b){{1,2}})?"
_NUMBER = rf"(?:\d{{1,3}}(?:\.\d{{1,3}}|,\d(?!\d))?(?![\d:]|\.\d)|(?:{_WORDS})\b{_POINT})"
_SMALL = (
    rf"(?:\d{{1,3}}(?:\.\d{{1,2}})?|(?:{_TENS})(?:[\s-]+(?:{_ONES})\b)?|{_TEENS}|{_ONES}|zero|half(?:\s+an?)?|an?|½)"
)
_SIGN = r"(?:°|º|\bdeg(?:ree)?s?\b\.?)"
_DEGREES = rf"(?:\s*{_SIGN}?\s*(?P<unit{{0}}>°?[cf]\b|celsius\b|centigrade\b|fahrenheit\b)|\s*{_SIGN})?"
_OTHER = (
    r"(?!\s*(?:%|percent|kilos?\b|kgs?\b|g\b|grams?\b|mg\b|lbs?\b|pounds?\b|oz\b|ounces?\b|l\b|ml\b|lit(?:er|re)s?\b|"
    r"cups?\b|tsps?\b|tbsps?\b|gal\w*\b|quarts?\b|pints?\b|ppm\b|jars?\b|bottles?\b|days?\b|weeks?\b|months?\b|"
    r"hours?\b|h\b|min(?:ute)?s?\b|sec(?:ond)?s?\b|s\b|m\b|times\b|mv\b|cm\b|inch\w*\b))"
)
_TIME_UNIT = r"(?P<per{0}>min(?:ute)?s?\b|m\b|sec(?:ond)?s?\b|s\b|h(?:ou)?rs?\b|h\b)"
_BETWEEN = r"(?:\s*(?:[,;/|>→]|->|\.{2,3})\s*(?:and\s+|then\s+)?|\s+(?:and|then|and\s+then)\s+|\s+)"


def _row(number: str) -> tuple[re.Pattern[str], re.Pattern[str]]:
    """What begins a row of readings, and what goes on with it."""
    one = rf"(?P<number>{number}){_OTHER}{_DEGREES.format('')}(?![\w%])"
    return regex(rf"(?<![\w.,:/-]){one}"), regex(rf"{_BETWEEN}{one}")


_LONG_FIRST, _SHORT_FIRST = _row(_NUMBER), _row(_NUMBER.replace(_UNDER, _EARLY))
_TORN = regex(rf"\b(?:{_TENS})\s+one\s+(?:{_TENS})\b")

_CLOCK = (
    r"(?P<clock>(?P<minute>\d{1,3})"
    r"(?:(?::|\.(?=\d\d\s*[ap]\.?m\b))(?P<second>\d\d)(?::(?P<third>\d\d))?|(?=\s*[ap]\.?m\b))"
    r"(?:\s*(?P<half>[ap])\.?m\b\.?)?)(?:\s*h\b)?"
)
_TIME = rf"(?:{_CLOCK}|(?:minute\s+)(?P<at>{_SMALL})\b|(?P<after>{_SMALL})\s*{_TIME_UNIT.format('')})"
_SHOWN = regex(_CLOCK)
_PAIR = regex(
    rf"(?:\b(?:at|after|then|and)\s+|@\s*)*(?<![\w.:]){_TIME}\s*(?:in\b|[:,=-])?\s*(?:it\s+was|was|is|it\s+is)?\s*"
    rf"(?P<number>{_NUMBER}){_OTHER}{_DEGREES.format('')}(?![\w%])"
)
_TURNED = regex(
    rf"(?<![\w.])(?P<number>{_NUMBER}){_DEGREES.format('')}\s*(?:at|@|after)\s*(?:{_CLOCK}|(?:minute\s+)(?P<at>{_SMALL})"
    rf"\b|(?P<after>{_SMALL})\s*{_TIME_UNIT.format('')})"
)

_EVERY = regex(
    rf"\b(?:(?:every|each|per|once\s+(?:a|every|per))\s+(?:other\s+|couple\s+of\s+)?(?P<step>{_SMALL}\s*)??(?:a\s+)?"
    rf"{_TIME_UNIT.format('')}|(?P<apart>{_SMALL})[\s-]*{_TIME_UNIT.format('2')}\s*(?:apart|between(?:\s+(?:them|each))?|"
    rf"(?:steps?|intervals?|spacing)|each\s+time)|(?P<often>twice)\s+a\s+minute|minute\s+by\s+minute|by\s+the\s+minute)"
)
_MAY_BE_WARM = regex(rf"(?![0-2]\d(?!\d))\d\d|hundred|\bone\s|{_TENS}")
"""What stands in every line with a number of thirty or more, in digits or words, and in some others."""
_OTHER_MINUTE = regex(r"\bother\b")
_COUPLE = regex(r"\bcouple\b")
_HALF = regex(r"half")
ABOUT_HEAT = regex(
    r"\b(?:temps?|temperatures?|log(?:ged|ger)?|probe|thermometer|readings?|heat(?:ed|ing)?|past\w*|curve|course|"
    r"core|coldest|lethality|cook(?:ed|ing)?|hot|water\s*bath)\b"
)
"""Words by which a row of numbers is one of temperatures."""
WARM = 30.0
"""A course that never gets there, in C or F, is none of a heating."""
LOWEST, HIGHEST = -10.0, 250.0
"""No thermometer in a kitchen shows less or more, in C or F."""


def found(text: str) -> Course | None:
    """The course that a line tells, or None."""
    low = flatten(text.lower())
    if len(low) != len(text):  # a letter that grows when it is made small: the places would not fit
        low = "".join(one if len(one) == 1 else "?" for one in map(str.lower, text))
    if not _MAY_BE_WARM.search(low):
        return None  # most lines end here, before the long expressions
    return _pairs(low) or _plain(low)


def step_said(text: str) -> float | None:
    """How many minutes lie between readings ("every two minutes", "30 s apart"), or None."""
    step = _step(flatten(text.lower()))
    return step[0] if step is not None else None


def _plain(text: str) -> Course | None:
    """Temperatures with one step between them."""
    if not _TORN.search(text):
        return _run(text, _LONG_FIRST)
    # "fifty one sixty" is 51 and 60, or 50 and 160: only as a row within one hundred can it be either
    ways = [one for shape in (_LONG_FIRST, _SHORT_FIRST) if (one := _run(text, shape)) is not None]
    fitting = [one for one in ways if len({value >= 100 for value in one.degrees}) == 1]
    return fitting[0] if len({(one.minutes, one.degrees) for one in fitting}) == 1 else None


def _run(text: str, shape: tuple[re.Pattern[str], re.Pattern[str]]) -> Course | None:
    first, following = shape
    step = _step(text)
    for start in first.finditer(text):
        items, end = [start], start.end()
        while (more := following.match(text, end)) is not None:
            if step is not None and _overlap((more.start("number"), more.end()), step[1]):
                break
            items.append(more)
            end = more.end()
        values = [_value(one["number"]) for one in items]
        unit = _unit(one["unit"] for one in items)
        enough = FEWEST if step is not None or (unit and unit != "?") else FEWEST + 1
        told = step is not None or unit or ABOUT_HEAT.search(text)
        if len(items) < enough or not told or unit == "?" or not _warm(values):
            continue
        if not (unit or ABOUT_HEAT.search(text) or _bare(text, start.start("number"), end, step)):
            continue
        spans = ((start.start("number"), end), *((step[1],) if step is not None else ()))
        minutes = step[0] if step is not None else 1.0
        times = tuple(at * minutes for at in range(len(values)))
        return Course(
            times, tuple(values), unit, step is not None, spans, rows=len(times), step=0.0 if step is None else step[0]
        )
    return None


def _bare(text: str, start: int, end: int, step: tuple[float, Span] | None) -> bool:
    """Whether little else is said: numbers, a step, a pH, a small question."""
    rest = text[:start] + text[end:]
    return step is not None and len(re.findall(r"[a-z]+", rest)) <= 14


def _pairs(text: str) -> Course | None:
    """Temperatures each with its time, before it or after it: of two ways to pair them the fuller one."""
    ways = [one for shape in (_PAIR, _TURNED) if (one := _paired(text, shape)) is not None]
    return max(ways, key=lambda one: one.rows, default=None)


def _paired(text: str, shape: re.Pattern[str]) -> Course | None:
    run: list[re.Match[str]] = []
    for one in shape.finditer(text):
        gap = text[run[-1].end() : one.start()] if run else ""
        if run and not re.fullmatch(r"\s*(?:[,;.|/>]|->)*\s*(?:(?:and|then)\s*)*", gap):
            if len(run) >= FEWEST:
                break
            run = []
        run.append(one)
    values = [_value(one["number"]) for one in run]
    alone = len(run) == 1 and run[0]["clock"] and _BESIDE.fullmatch(text[: run[0].start()] + text[run[0].end() :])
    if (len(run) < FEWEST and not alone) or not _warm(values):
        return None
    unit = _unit(one["unit"] for one in run)
    if unit == "?":
        return None
    clocked = [one["clock"] for one in run]
    if not all(clocked) and any(one["half"] for one in run):
        return None  # "2 pm 70, 20 min 76": since when?
    row = _clocked(clocked, values, unit) if all(clocked) else None
    if row is None:
        row = Course(tuple(map(_minutes, run)), tuple(values), unit, rows=len(run))
    if any(later <= earlier for earlier, later in pairwise(row.minutes)):
        return None
    return replace(row, spans=((run[0].start(), run[-1].end()),))


def gone_on(before: Course, more: Course) -> Course | None:
    """Readings that were told one by one as one course, or None where the later is not after the earlier."""
    units = {one for one in (before.unit, more.unit) if one}
    if not before.first or not more.first or not before.spans or len(units) > 1:
        return None
    row = _clocked([*before.first, *more.first], [*before.degrees, *more.degrees], "".join(units))
    backwards = any(later <= earlier for earlier, later in pairwise(row.minutes))
    return None if backwards else replace(row, spans=before.spans, rows=len(row.minutes))


def _clocked(shown: list[str], values: list[float], unit: str) -> Course:
    """A row with times of two or three numbers, and how they were taken if there is another way."""
    run = [match for one in shown if (match := _SHOWN.fullmatch(one)) is not None]
    halves = _halves(run)
    found = clock.Kind(clock.CLOCK, True)
    if not any(halves) and not any(one["third"] for one in run):
        found = clock.kind([(int(one["minute"]), int(one["second"])) for one in run])
    if found.name == clock.CLOCK:
        on = clock.Clock(half=all(halves))
        times = [on(_of_day(one, half)) for one, half in zip(run, halves, strict=True)]
        times = [one - times[0] for one in times]
    else:
        times = [int(one["minute"]) + int(one["second"]) / 60 for one in run]
    taken = "" if found.sure else found.name
    return Course(tuple(times), tuple(values), unit, times=taken, first=tuple(shown), rows=len(run))


def _halves(run: list[re.Match[str]]) -> list[str | None]:
    """Morning or afternoon of each time: one without its own goes on from the one before ("2:35 pm 82, 2:50 84")."""
    halves = [one["half"] for one in run]
    if all(halves) or not any(halves) or any(int(one["minute"]) > 12 for one in run):
        return halves
    last, before = next(one for one in halves if one), -1.0
    for at, one in enumerate(run):
        if not halves[at]:
            over = _of_day(one, last) < before  # "11:55 am, 12:05": noon lies between
            halves[at] = {"a": "p", "p": "a"}[last] if over else last
        last = halves[at]
        before = _of_day(one, last)
    return halves


def _of_day(one: re.Match[str], half: str | None) -> float:
    """Minutes since midnight of a clock time, in the morning or the afternoon where that was said."""
    hour = int(one["minute"])
    if half:
        hour = hour % 12 + (12 if half == "p" else 0)
    return hour * 60 + int(one["second"] or 0) + int(one["third"] or 0) / 60  # "2 pm" has no minutes


_BESIDE = regex(r"\W*(?:ph\W*(?:is|was|of|at)?\W*\d{1,2}(?:[.,]\d{1,2})?)?\W*")
"""What may stand beside one reading alone."""


def _warm(values: list[float]) -> bool:
    return all(LOWEST <= one <= HIGHEST for one in values) and max(values) >= WARM


def _overlap(one: Span, other: Span) -> bool:
    return one[0] < other[1] and other[0] < one[1]


def _unit(said: Iterable[str | None]) -> str:
    """The one unit that was said; "?" where two were."""
    letters = {one.strip("°")[0] for one in said if one}
    if len(letters) > 1:
        return "?"
    return {"c": "degree_Celsius", "f": "degree_Fahrenheit"}.get(next(iter(letters), ""), "")


def _value(text: str) -> float:
    """A number in digits or words, up to two hundred."""
    if text[0].isdigit():
        return float(text.replace(",", "."))
    whole, _, part = re.sub(r"[\s-]+", " ", text).partition(" point ")
    words = whole.replace(" and", "").split()
    total = 0.0
    if words[0] in ("a", "one") and len(words) > 1:
        total = 100.0
        words = [one for one in words[1:] if one not in ("hundred", "o", "oh")]
    total += sum(_word(one) for one in words)
    digits = "".join("0" if one in ("zero", "oh") else str(int(_word(one))) for one in part.split())
    return total + (float(f"0.{digits}") if digits else 0.0)


_TENFOLD = {word: 10.0 * at for at, word in enumerate(_TENS.split("|"), 2)}


def _word(word: str) -> float:
    return _TENFOLD[word] if word in _TENFOLD else float(small(word) or 0)


def _count(text: str) -> float:
    """A small number of minutes or seconds."""
    text = text.strip()
    if _HALF.match(text) or text == "½":
        return 0.5
    if text in ("a", "an"):
        return 1.0
    if text[0].isdigit():
        return float(text)
    return sum(_word(one) for one in re.split(r"[\s-]+", text))


def _per(unit: str) -> float:
    """Minutes in a unit of time."""
    return {"s": 1 / 60, "h": 60.0}.get(unit[0], 1.0)


def _minutes(one: re.Match[str]) -> float:
    if one["minute"]:
        return int(one["minute"]) + int(one["second"] or 0) / 60
    if one["at"]:
        return _count(one["at"])
    return _count(one["after"]) * _per(one["per"])


def _step(text: str) -> tuple[float, Span] | None:
    """How far apart the readings are in minutes, and where that is said."""
    match = _EVERY.search(text)
    if match is None:
        return None
    if match["often"]:
        return 0.5, match.span()
    if match["apart"]:
        return _count(match["apart"]) * _per(match["per2"]), match.span()
    if match["per"] is None:
        return 1.0, match.span()
    count = _count(match["step"]) if match["step"] else 1.0
    if _OTHER_MINUTE.search(match[0]) or _COUPLE.search(match[0]):
        count = 2.0
    return count * _per(match["per"]), match.span()
