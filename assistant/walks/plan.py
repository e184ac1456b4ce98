"""What a walk is: its steps as they stand in its file, checked when it is read.

A file is written for people: ``do`` is what to do, ``why`` the reason, ``tell`` the fact the step needs before it goes
on, ``work`` a line of talk that works the amounts out, ``enter`` the lines that enter the step in the book, ``gate``
what must be proven first, ``wait`` the days until the next step, ``hold`` the minutes of it. ``{produce}`` is what was
told, ``{salt}`` an amount that was worked out.
"""

from __future__ import annotations

import math
import tomllib
from dataclasses import dataclass, fields
from functools import lru_cache

from grammar.later import regex
from grammar.walking import plain

KINDS = ("done", "mass", "produce", "vessel", "volume", "percent", "ph", "temperature", "minutes", "words")
"""What a step may wait for."""
GATES = ("proven", "heated", "ready", "clean")
"""What may have to be proven before a step is left."""
_HOLE = regex(r"\{(\w+)\}")


@dataclass(frozen=True)
class Step:
    """One step.

    Attributes:
        do: what to do, in one or two short sentences.
        why: the reason.
        tell: the name of the fact that is told, "" where it is only done; ``kind`` its sort, ``ask`` its question.
        usual: what is taken on "the usual".
        work: a line of talk that works out the amounts of this step.
        enter: lines of talk that enter it in the book when it is done.
        gate: one of GATES.
        wait: days until the next step is due; ``then`` says what is due.
        hold: minutes that it takes, which are counted down.
        caution: what to beware of here, and its source.
        need: things needed for it.
        of: what a percentage is of (bases of the vocabulary); ``else_`` is said of one of something else.
        least, most: between which a number that is told must lie; ``beyond`` says what it means if it does not.
    """

    id: str
    do: str
    why: str
    tell: str = ""
    kind: str = "done"
    ask: str = ""
    usual: str = ""
    work: str = ""
    enter: tuple[str, ...] = ()
    gate: str = ""
    wait: int = 0
    then: str = ""
    hold: int = 0
    caution: str = ""
    source: str = ""
    need: tuple[str, ...] = ()
    of: tuple[str, ...] = ()
    else_: str = ""
    least: float = -math.inf
    most: float = math.inf
    beyond: str = ""


@dataclass(frozen=True)
class Walk:
    """A whole walk. ``named`` are the words it is asked for by, ``batch`` whether it needs one to be open."""

    name: str
    title: str
    named: tuple[str, ...]
    steps: tuple[Step, ...]
    batch: bool = False

    @property
    def needs(self) -> tuple[str, ...]:
        """All that is needed, each once, in the order it is."""
        return tuple(dict.fromkeys(one for step in self.steps for one in step.need))

    def place(self, id_: str) -> int:
        """The place of a step.

        Raises:
            KeyError: there is none of that name.
        """
        for at, one in enumerate(self.steps):
            if one.id == id_:
                return at
        raise KeyError(id_)


class WalkError(ValueError):
    """A walk's file that cannot be used; the message says what is wrong with it."""


@lru_cache(maxsize=1)
def walks() -> tuple[Walk, ...]:
    """All walks, by the names of their files.

    Raises:
        WalkError: one of the files cannot be used.
    """
    from importlib import resources  # it loads a dozen modules more, and only a walk needs it

    folder = resources.files("assistant.walks")
    files = sorted((one for one in folder.iterdir() if one.name.endswith(".toml")), key=lambda one: one.name)
    return tuple(parsed(one.name.removesuffix(".toml"), one.read_text(encoding="utf-8")) for one in files)


def walk(name: str) -> Walk:
    """A walk by its name.

    Raises:
        KeyError: there is none.
    """
    for one in walks():
        if one.name == name:
            return one
    raise KeyError(name)


def called(text: str) -> list[Walk]:
    """The walks whose names fit these words best."""
    line = f" {plain(text)} "
    scores = {one.name: max((len(each) for each in one.named if f" {each} " in line), default=0) for one in walks()}
    best = max(scores.values())
    return [one for one in walks() if best and scores[one.name] == best]


def parsed(name: str, text: str) -> Walk:
    """A walk from the text of its file.

    Raises:
        WalkError: it cannot be used; the message says why.
    """
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise WalkError(f"{name}: {error}") from error
    rows = data.pop("step", [])
    extra = set(data) - {"title", "named", "batch"}
    if extra or not rows:
        raise WalkError(f"{name}: {', '.join(sorted(extra)) or 'no steps'}")
    steps = tuple(_step(name, row) for row in rows)
    found = Walk(name, data["title"], tuple(plain(one) for one in data["named"]), steps, bool(data.get("batch")))
    _check(found)
    return found


def _step(name: str, row: dict[str, object]) -> Step:
    known = {one.name for one in fields(Step)}
    if extra := set(row) - known:
        raise WalkError(f"{name}, {row.get('id')}: no such entry as {', '.join(sorted(extra))}")
    values = {key: tuple(value) if isinstance(value, list) else value for key, value in row.items()}
    try:
        return Step(**values)  # type: ignore[arg-type]
    except TypeError as error:
        raise WalkError(f"{name}, {row.get('id')}: {error}") from error


def _check(found: Walk) -> None:
    """What a walk must keep to."""
    told: set[str] = set()
    worked: set[str] = set()
    ids = [one.id for one in found.steps]
    if len(set(ids)) < len(ids):
        raise WalkError(f"{found.name}: a step stands twice")
    for one in found.steps:
        where = f"{found.name}, {one.id}"
        if one.kind not in KINDS or (one.gate and one.gate not in GATES):
            raise WalkError(f"{where}: no such kind or gate")
        if (one.kind == "done") is bool(one.tell) or bool(one.tell) is not bool(one.ask):
            raise WalkError(f"{where}: a fact needs a name, a kind and a question")
        if bool(one.of) is not bool(one.else_):
            raise WalkError(f"{where}: a basis needs what is said of another, and that needs a basis")
        if one.caution and not one.source:
            raise WalkError(f"{where}: a caution without its source")
        holes = set(_HOLE.findall(" ".join((one.work, *one.enter))))
        if one.enter:
            holes -= {one.tell}
        if missing := holes - told - (worked if one.enter else set()):
            raise WalkError(f"{where}: {', '.join(sorted(missing))} is not told before")
        if one.work:
            worked |= set(_HOLE.findall(one.do))
        told |= {one.tell, f"{one.tell}_kind"} - {""}


def filled(text: str, facts: dict[str, str]) -> str:
    """A text with its facts and amounts in it; what is not known yet is three dots."""
    return _HOLE.sub(lambda hole: facts.get(hole[1], "..."), text)


def holes(text: str) -> set[str]:
    """The facts and amounts that a text has places for."""
    return set(_HOLE.findall(text))
