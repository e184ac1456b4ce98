"""Scenarios: talks that are documentation and tests at once, in files that can be written, read and run anew.

Format of a ``.chat`` file, one line one meaning:

    # prose for the reader
    @ today 2026-03-02 · units imperial · width 60     settings of the scenario below
    @ today 2026-03-09                                 between two turns: from here on it is that day
    = title                                            a scenario; the talk starts fresh
    & title                                            ... or continues from that one
    > what the person says
    kind: the reply's words, ``...`` elides            one line for every reply, in order
    ; salt = 157.9 g ± 0.1 g                           the number itself
    ; source "where the expectation comes from"        required with every number
    ! words                                            must not occur in this turn

A caution's line ends in its rule's name in brackets.
"""

from __future__ import annotations

import datetime
import math
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path

from assistant.console.session import Keeper, Session
from assistant.replies import Answer, Caution, Reply, Value
from assistant.talk.state import State, Talk
from grammar import measures
from grammar.measures import KITCHENS

DEMOS = Path(__file__).parent / "demos"
"""The talks that come with the program; they are run by the tests as all others are."""

KINDS = ("ask", "answer", "assume", "caution", "refuse", "why", "misread", "note", "log", "done")
_NUMBER = re.compile(r"^(\w+) = (-?[\d.]+)\s*(\S*)\s*±\s*([\d.]+)\s*(\S*)$")
_UNITS = {
    "g": "gram", "kg": "kilogram", "mg": "milligram", "lb": "pound", "oz": "ounce", "L": "liter",
    "mL": "milliliter", "%": "percent", "g/L": "gram_per_liter", "kg/L": "kilogram_per_liter",
    "C": "degree_Celsius", "F": "degree_Fahrenheit", "cm": "centimeter", "in": "inch", "ppm": "ppm",
}  # fmt: skip
_DIGITS = 6
"""So many digits of a number are written; the last one may move."""


class Mismatch(Exception):
    """A talk that went another way than its scenario says."""


@dataclass(frozen=True)
class Number:
    """A number a reply must hold."""

    name: str
    value: float
    unit: str
    within: float
    line: int


@dataclass
class Turn:
    """What the person says on a line of the file, and what must come back; ``prose`` stands before it."""

    say: str
    line: int
    replies: list[tuple[str, str, int]] = field(default_factory=list)
    numbers: list[Number] = field(default_factory=list)
    sources: list[str] = field(default_factory=list)
    never: list[str] = field(default_factory=list)
    today: datetime.date = datetime.date.min
    prose: list[str] = field(default_factory=list)


@dataclass
class Scenario:
    """One talk."""

    title: str
    file: Path
    line: int
    today: datetime.date = datetime.date(2026, 3, 2)
    kitchen: str = KITCHENS[0]
    width: int = 80
    after: str = ""
    turns: list[Turn] = field(default_factory=list)
    now: datetime.date = datetime.date.min
    """The day of the turn that ``turns`` gave last: what a talk's clock shows."""


# reading ----------------------------------------------------------------------------------------


def parse(file: Path) -> list[Scenario]:
    """The scenarios of one file.

    Raises:
        ValueError: a line that means nothing, with its number.
        OSError: the file cannot be read.
    """
    try:
        text = file.read_text(encoding="utf-8-sig")
    except UnicodeDecodeError as error:
        raise ValueError(f"{file.name} is no text in UTF-8.") from error
    return parsed(text, file)


def parsed(text: str, file: Path) -> list[Scenario]:
    """The scenarios of a text; ``file`` names it.

    Raises:
        ValueError: a line that means nothing, with its number.
    """
    found: list[Scenario] = []
    settings = Scenario("", file, 0)
    day = settings.today
    prose: list[str] = []

    def wrong(why: str) -> ValueError:
        return ValueError(f"{file.name}:{index}: {why}: {raw}")

    for index, raw in enumerate(text.split("\n"), start=1):
        line = raw.strip()
        if not line:
            continue
        mark, rest = line[0], line[1:].strip()
        if mark == "#":
            prose.append(rest)
        elif mark == "@":
            settings = _settings(settings, rest, index)
            if found and found[-1].turns and rest.startswith("today"):
                day = settings.today
        elif mark == "=":
            found.append(replace(settings, title=rest, line=index, turns=[]))
            day = settings.today
        elif not found:
            raise wrong("no scenario yet")
        elif mark == "&":
            found[-1].after = rest
        elif mark == ">":
            found[-1].turns.append(Turn(raw.lstrip()[1:].removeprefix(" "), index, today=day, prose=prose))
            prose = []
        elif not found[-1].turns:
            raise wrong("nothing has been said yet")
        elif mark == ";" and rest.startswith("source "):
            found[-1].turns[-1].sources.append(rest.removeprefix("source ").strip('"'))
        elif mark == ";":
            found[-1].turns[-1].numbers.append(_number(rest, index, file))
        elif mark == "!":
            found[-1].turns[-1].never.append(rest)
        else:
            kind, colon, words = line.partition(":")
            if not colon or kind not in KINDS:
                raise wrong("not a line of a scenario")
            found[-1].turns[-1].replies.append((kind, words.strip(), index))
    return found


def _settings(before: Scenario, text: str, index: int) -> Scenario:
    for part in text.split("·"):
        name, _, value = part.strip().partition(" ")
        try:
            if name == "today":
                before = replace(before, today=datetime.date.fromisoformat(value))
            elif name == "units" and value in KITCHENS:
                before = replace(before, kitchen=value)
            elif name == "width":
                before = replace(before, width=int(value))
            else:
                raise ValueError(name)
        except ValueError as error:
            raise ValueError(f"{before.file.name}:{index}: no setting: {part.strip()}") from error
    return before


def _number(text: str, index: int, file: Path) -> Number:
    match = _NUMBER.match(text)
    if match is None:
        raise ValueError(f"{file.name}:{index}: not 'name = value unit ± tolerance unit': {text}")
    name, value, unit, within, unit_within = match.groups()
    if unit != unit_within:
        raise ValueError(f"{file.name}:{index}: the tolerance has another unit: {text}")
    return Number(name, float(value), _UNITS.get(unit, unit), float(within), index)


def everything(files: Sequence[Path]) -> dict[str, Scenario]:
    """All scenarios of these files by title.

    Raises:
        ValueError: a line that means nothing, a title that stands twice or one to continue from that is nowhere.
        OSError: a file cannot be read.
    """
    found: dict[str, Scenario] = {}
    for file in files:
        for one in parse(file):
            if one.title in found:
                raise ValueError(f"two scenarios are called {one.title!r}")
            found[one.title] = one
    for one in found.values():
        before, seen = one, {one.title}
        while before.after:
            if before.after not in found or before.after in seen:
                raise ValueError(f"{one.file.name}:{one.line}: it cannot continue from {before.after!r}")
            seen.add(before.after)
            before = found[before.after]
    return found


# running ----------------------------------------------------------------------------------------


def opened(scenario: Scenario, book: Keeper) -> Session:
    """A talk with the scenario's settings over a book."""
    started = Session(lambda: scenario.now, book)
    started.talk = Talk(State(kitchen=scenario.kitchen))
    return started


def turns(scenario: Scenario, all_: Mapping[str, Scenario]) -> Iterator[tuple[Turn, bool]]:
    """The scenario's turns, after those it continues from; True where they are its own."""
    if scenario.after:
        for turn, _ in turns(all_[scenario.after], all_):
            scenario.now = turn.today
            yield turn, False
    for turn in scenario.turns:
        scenario.now = turn.today
        yield turn, True


def shown(reply: Reply) -> tuple[str, str]:
    """A reply as a scenario writes it: kind and words."""
    text = f"{reply.text} [{reply.rule}]" if isinstance(reply, Caution) else reply.text
    return reply.kind, text


def fits(expected: str, got: str) -> bool:
    """Whether the words are those expected, ``...`` standing for any."""
    pattern = ".*".join(re.escape(part.strip()) for part in expected.split("..."))
    return re.fullmatch(r"\s*" + pattern.replace(".*", r"\s*.*\s*") + r"\s*", got, re.DOTALL) is not None


def differences(turn: Turn, replies: Sequence[Reply]) -> list[str]:
    """Where the replies are not those claimed, in order; numbers that do not hold; what must not be said and was."""
    got = [shown(one) for one in replies]
    out = _apart(turn, got)
    if turn.numbers and not turn.sources:
        out.append(f"line {turn.numbers[0].line}: a number without a source")
    out += [one for number in turn.numbers if (one := _off(number, replies))]
    said = "\n".join(text for _, text in got).lower()
    out += [f"line {turn.line}: said, and must not be: {one}" for one in turn.never if one.lower() in said]
    return out


def _apart(turn: Turn, got: list[tuple[str, str]]) -> list[str]:
    """Claimed beside said, in order: one too many or too few does not make all that follow it wrong."""
    out: list[str] = []
    claimed, said = list(turn.replies), list(got)
    while claimed or said:
        here = [kind == claimed[0][0] and fits(claimed[0][1], text) for kind, text in said] if claimed else []
        if here and here[0]:
            claimed, said = claimed[1:], said[1:]
        elif said and (any(here) or not claimed):
            out.append(f"line {turn.line}: said and not claimed: {': '.join(said.pop(0))}")
        else:
            kind, words, line = claimed.pop(0)
            later = said and any(kind == said[0][0] and fits(words, said[0][1]) for kind, words, _ in claimed)
            if later or not said:
                out.append(f"line {line}: claimed and not said: {kind}: {words}")
            else:
                out.append(f"line {line}: claimed: {kind}: {words}\n    came: {': '.join(said.pop(0))}")
    return out


def check(turn: Turn, replies: Sequence[Reply], story: str) -> None:
    """Every reply is claimed, in order; numbers hold; nothing forbidden is said.

    Raises:
        Mismatch: with the talk so far.
    """
    if found := differences(turn, replies):
        raise Mismatch("\n".join([story, f"> {turn.say}", *found]))


def _off(number: Number, replies: Sequence[Reply]) -> str:
    """What is wrong with a number, or ""."""
    values = _values(replies)
    found = next((one for one in values if one.name == number.name), None)
    if found is None:
        return f"line {number.line}: no value {number.name} among {[one.name for one in values]}"
    value = found.value
    if number.unit and found.unit != number.unit:
        value = measures.convert(value, found.unit, number.unit)
    if not abs(value - number.value) <= number.within:
        return f"line {number.line}: {number.name} is {value} {number.unit}, not {number.value}"
    return ""


def _values(replies: Sequence[Reply]) -> list[Value]:
    return [one for reply in replies if isinstance(reply, Answer) for one in reply.values]


# writing ----------------------------------------------------------------------------------------


def written(
    title: str, prose: Sequence[str], kitchen: str, told: Sequence[tuple[str, datetime.date, Sequence[Reply]]],
    source: str,
) -> str:  # fmt: skip
    """A talk as the text of a scenario file: what was said, on which day, and what came back, with its numbers."""
    day = told[0][1]
    rows = [*(f"# {one}" for one in prose), "", f"@ today {day.isoformat()} · units {kitchen}", f"= {title}"]
    for say, today, replies in told:
        if today != day:
            rows.append(f"@ today {today.isoformat()}")
            day = today
        rows.append(f"> {say}")
        rows += [f"{kind}: {text}" for kind, text in map(shown, replies)]
        numbers = dict.fromkeys(one for value in _first(_values(replies)) if (one := _claimed(value)))
        rows += [*numbers, *([f'; source "{source}"'] if numbers else [])]
    return "\n".join([*rows, ""])


def _first(values: Sequence[Value]) -> list[Value]:
    """Each name once: the check looks at the first."""
    return list({one.name: one for one in reversed(values)}.values())[::-1]


def _claimed(value: Value) -> str:
    """The line of a number, or "" for one that cannot be written so."""
    if not math.isfinite(value.value) or " " in value.unit:
        return ""
    size = math.floor(math.log10(abs(value.value))) if value.value else 0
    places = max(0, _DIGITS - 1 - size)
    unit = next((short for short, name in _UNITS.items() if name == value.unit), value.unit)
    amounts = [f"{value.value:.{places}f} {unit}".rstrip(), f"{10**-places:.{places}f} {unit}".rstrip()]
    line = f"{value.name} = {' ± '.join(amounts)}"
    return f"; {line}" if _NUMBER.match(line) else ""
