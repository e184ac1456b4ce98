"""Scenarios: talks that are documentation and tests at once.

Format of a ``scenarios/*.chat`` file, one line one meaning:

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

A caution's line ends in its rule's name in brackets. Run as a program with ``--bless`` to
rewrite the wording of replies; numbers and what must not occur are never touched:

    python -m tests.scenario --bless
"""

from __future__ import annotations

import contextlib
import datetime
import re
import sys
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from pathlib import Path

from assistant.book.store import Book
from assistant.console.session import Session
from assistant.replies import Answer, Caution, Reply
from assistant.talk.state import State, Talk
from grammar import measures

FOLDER = Path(__file__).parent.parent / "scenarios"
KINDS = ("ask", "answer", "assume", "caution", "refuse", "why", "misread", "note", "log", "done")
_NUMBER = re.compile(r"^(\w+) = (-?[\d.]+)\s*(\S*)\s*±\s*([\d.]+)\s*(\S*)$")
_UNITS = {
    "g": "gram", "kg": "kilogram", "mg": "milligram", "lb": "pound", "oz": "ounce", "L": "liter",
    "mL": "milliliter", "%": "percent", "g/L": "gram_per_liter", "kg/L": "kilogram_per_liter",
    "C": "degree_Celsius", "F": "degree_Fahrenheit", "cm": "centimeter", "in": "inch", "ppm": "ppm",
}  # fmt: skip


class Mismatch(AssertionError):
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
    """What the person says, and what must come back. ``where`` holds file line numbers."""

    say: str
    line: int
    replies: list[tuple[str, str, int]] = field(default_factory=list)
    numbers: list[Number] = field(default_factory=list)
    sources: list[str] = field(default_factory=list)
    never: list[str] = field(default_factory=list)
    today: datetime.date = datetime.date.min


@dataclass
class Scenario:
    """One talk."""

    title: str
    file: Path
    line: int
    today: datetime.date = datetime.date(2026, 3, 2)
    kitchen: str = "us"
    width: int = 80
    after: str = ""
    turns: list[Turn] = field(default_factory=list)
    now: datetime.date = datetime.date.min
    """The day of the turn that ``turns`` gave last: what a talk's clock shows."""


def parse(file: Path) -> list[Scenario]:
    """The scenarios of one file.

    Raises:
        ValueError: a line that means nothing, with its number.
    """
    found: list[Scenario] = []
    settings = Scenario("", file, 0)
    day = settings.today
    for index, raw in enumerate(file.read_text(encoding="utf-8").splitlines(), start=1):
        line = raw.strip()
        if not line or line.startswith("#"):
            continue
        mark, rest = line[0], line[1:].strip()
        if mark == "@":
            settings = _settings(settings, rest, index)
            if found and found[-1].turns and rest.startswith("today"):
                day = settings.today
        elif mark == "=":
            found.append(replace(settings, title=rest, line=index, turns=[]))
            day = settings.today
        elif not found:
            raise ValueError(f"{file.name}:{index}: no scenario yet: {raw}")
        elif mark == "&":
            found[-1].after = rest
        elif mark == ">":
            found[-1].turns.append(Turn(raw.lstrip()[1:].removeprefix(" "), index, today=day))
        elif mark == ";" and rest.startswith("source "):
            found[-1].turns[-1].sources.append(rest.removeprefix("source ").strip('"'))
        elif mark == ";":
            found[-1].turns[-1].numbers.append(_number(rest, index, file))
        elif mark == "!":
            found[-1].turns[-1].never.append(rest)
        else:
            kind, colon, words = line.partition(":")
            if not colon or kind not in KINDS:
                raise ValueError(f"{file.name}:{index}: not a line of a scenario: {raw}")
            found[-1].turns[-1].replies.append((kind, words.strip(), index))
    return found


def _settings(before: Scenario, text: str, index: int) -> Scenario:
    for part in text.split("·"):
        name, _, value = part.strip().partition(" ")
        if name == "today":
            before = replace(before, today=datetime.date.fromisoformat(value))
        elif name == "units":
            before = replace(before, kitchen=value)
        elif name == "width":
            before = replace(before, width=int(value))
        else:
            raise ValueError(f"{before.file.name}:{index}: no setting {name!r}")
    return before


def _number(text: str, index: int, file: Path) -> Number:
    match = _NUMBER.match(text)
    if match is None:
        raise ValueError(f"{file.name}:{index}: not 'name = value unit ± tolerance unit': {text}")
    name, value, unit, within, unit_within = match.groups()
    if unit != unit_within:
        raise ValueError(f"{file.name}:{index}: the tolerance has another unit: {text}")
    return Number(name, float(value), _UNITS.get(unit, unit), float(within), index)


def shown(reply: Reply) -> tuple[str, str]:
    """A reply as a scenario writes it: kind and words."""
    text = f"{reply.text} [{reply.rule}]" if isinstance(reply, Caution) else reply.text
    return reply.kind, text


def fits(expected: str, got: str) -> bool:
    """Whether the words are those expected, ``...`` standing for any."""
    pattern = ".*".join(re.escape(part.strip()) for part in expected.split("..."))
    return re.fullmatch(r"\s*" + pattern.replace(".*", r"\s*.*\s*") + r"\s*", got, re.DOTALL) is not None


def check(turn: Turn, replies: tuple[Reply, ...], story: str) -> None:
    """Every reply is claimed, in order; numbers hold; nothing forbidden is said.

    Raises:
        Mismatch: with the talk so far.
    """
    got = [shown(one) for one in replies]
    listing = "\n".join(f"    {kind}: {text}" for kind, text in got)
    for index, (kind, words, line) in enumerate(turn.replies):
        if index >= len(got) or got[index][0] != kind or not fits(words, got[index][1]):
            raise Mismatch(f"{story}\n> {turn.say}\nline {line} expects\n    {kind}: {words}\ncame\n{listing}")
    if len(got) > len(turn.replies):
        raise Mismatch(f"{story}\n> {turn.say}\nunclaimed replies; all that came:\n{listing}")
    if turn.numbers and not turn.sources:
        raise Mismatch(f"line {turn.numbers[0].line}: a number without a source")
    for number in turn.numbers:
        check_number(number, replies)
    everything = "\n".join(text for _, text in got).lower()
    for words in turn.never:
        if words.lower() in everything:
            raise Mismatch(f"{story}\n> {turn.say}\n{words!r} must not occur in\n{listing}")


def check_number(number: Number, replies: tuple[Reply, ...]) -> None:
    """The typed value in the answer is the one expected.

    Raises:
        Mismatch: it is not there, or not within the tolerance.
    """
    values = [one for reply in replies if isinstance(reply, Answer) for one in reply.values]
    found = next((one for one in values if one.name == number.name), None)
    if found is None:
        raise Mismatch(f"line {number.line}: no value {number.name} among {[one.name for one in values]}")
    value = found.value
    if number.unit and found.unit != number.unit:
        value = measures.convert(value, found.unit, number.unit)
    if abs(value - number.value) > number.within:
        raise Mismatch(f"line {number.line}: {number.name} is {value} {number.unit}, not {number.value}")


@contextlib.contextmanager
def session(scenario: Scenario, path: Path | None = None) -> Iterator[Session]:
    """A talk with the scenario's settings, over an empty book in memory or carried on from the book in a file."""
    with Book.open(path) as book:
        # a test need not wait for the disk
        book._db.execute("PRAGMA synchronous = OFF")
        started = Session(lambda: scenario.now, book)
        started.talk = Talk(State(kitchen=scenario.kitchen))
        started.resume(book.start(fresh=False))
        yield started


def everything(folder: Path = FOLDER) -> dict[str, Scenario]:
    """All scenarios by title.

    Raises:
        ValueError: a title stands twice.
    """
    found: dict[str, Scenario] = {}
    for file in sorted(folder.glob("*.chat")):
        for one in parse(file):
            if one.title in found:
                raise ValueError(f"two scenarios are called {one.title!r}")
            found[one.title] = one
    return found


def turns(scenario: Scenario, all_: dict[str, Scenario]) -> Iterator[tuple[Turn, bool]]:
    """The scenario's turns, after those it continues from; True where they are its own."""
    if scenario.after:
        for turn, _ in turns(all_[scenario.after], all_):
            scenario.now = turn.today
            yield turn, False
    for turn in scenario.turns:
        scenario.now = turn.today
        yield turn, True


def bless(folder: Path = FOLDER) -> int:
    """Rewrites the wording of every reply line that no longer holds. Returns how many files changed.

    Numbers, sources and what must not occur stay as they are; lines with ``...`` that still
    hold stay elided.
    """
    all_ = everything(folder)
    changed = 0
    for file in sorted(folder.glob("*.chat")):
        lines = file.read_text(encoding="utf-8").splitlines()
        fresh: dict[int, list[str]] = {}
        drop: set[int] = set()
        for one in parse(file):
            with session(one) as talk:
                went = [(turn, own, talk.say(turn.say)[1]) for turn, own in turns(one, all_)]
            for turn, own, replies in went:
                if not own:
                    continue
                got = [shown(reply) for reply in replies]
                old = turn.replies
                keep = len(got) == len(old) and all(
                    k == kind and fits(w, text) for (k, w, _), (kind, text) in zip(old, got, strict=True)
                )
                if keep:
                    continue
                drop |= {line for _, _, line in old}
                kept = {(k, t): w for k, w, _ in old for kind, t in got if k == kind and fits(w, t)}
                fresh[turn.line] = [f"{kind}: {kept.get((kind, text), text)}" for kind, text in got]
        if fresh or drop:
            out: list[str] = []
            for index, line in enumerate(lines, start=1):
                if index not in drop:
                    out.append(line)
                out += fresh.get(index, [])
            file.write_text("\n".join(out) + "\n", encoding="utf-8")
            changed += 1
    return changed


if __name__ == "__main__":
    if sys.argv[1:] != ["--bless"]:
        sys.exit("usage: python -m tests.scenario --bless")
    sys.stdout.write(f"{bless()} files changed\n")
