"""What the assistant says, as data: no markup, no line breaks of a screen.

Every reply has ``kind`` and ``text`` and turns itself into JSON.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import Any, ClassVar


@dataclass(frozen=True)
class Value:
    """A computed number at full precision."""

    name: str
    value: float
    unit: str


@dataclass(frozen=True)
class Reply:
    """Common to all replies."""

    kind: ClassVar[str] = ""
    text: str

    def to_json(self) -> dict[str, Any]:
        """The reply as plain data."""
        out: dict[str, Any] = {"kind": self.kind}
        for one in fields(self):
            value = getattr(self, one.name)
            if one.name == "values":
                value = [{"name": v.name, "value": v.value, "unit": v.unit} for v in value]
            elif isinstance(value, tuple):
                value = [list(each) if isinstance(each, tuple) else each for each in value]
            out[one.name] = value
        return out


@dataclass(frozen=True)
class Ask(Reply):
    """One question; ``roles`` are the inputs an answer may fill, ``options`` the choices."""

    kind: ClassVar[str] = "ask"
    roles: tuple[str, ...] = ()
    options: tuple[str, ...] = ()


@dataclass(frozen=True)
class Answer(Reply):
    """The numbers, and what they were worked out from; ``lead`` is the first sentence alone.

    ``main`` are the numbers that were asked for, as they stand in the lead, each with what it is; ``heard``
    the amounts that it rests on, as they were said.
    """

    kind: ClassVar[str] = "answer"
    calculator: str = ""
    values: tuple[Value, ...] = ()
    lead: str = ""
    main: tuple[tuple[str, str], ...] = ()
    heard: tuple[str, ...] = ()


@dataclass(frozen=True)
class Assume(Reply):
    """Something taken without being said; ``usual`` if it is a default, and no reading of what was said."""

    kind: ClassVar[str] = "assume"
    name: str = ""
    value: float = 0.0
    unit: str = ""
    usual: bool = False


@dataclass(frozen=True)
class Caution(Reply):
    """What a careful practitioner would say. Severity is note, caution or stop."""

    kind: ClassVar[str] = "caution"
    rule: str = ""
    severity: str = "caution"
    source: str = ""


@dataclass(frozen=True)
class Refuse(Reply):
    """No answer, and the reason."""

    kind: ClassVar[str] = "refuse"
    source: str = ""


@dataclass(frozen=True)
class Why(Reply):
    """The relation behind a number, with the numbers in it."""

    kind: ClassVar[str] = "why"
    source: str = ""


@dataclass(frozen=True)
class NotRead(Reply):
    """A sentence that was not understood."""

    kind: ClassVar[str] = "misread"
    reason: str = ""
    found: str = ""
    start: int = 0
    end: int = 0
    near: tuple[str, ...] = ()


@dataclass(frozen=True)
class Note(Reply):
    """Anything said beside an answer."""

    kind: ClassVar[str] = "note"


@dataclass(frozen=True)
class Log(Reply):
    """Something written down."""

    kind: ClassVar[str] = "log"


@dataclass(frozen=True)
class Chart(Note):
    """A course to draw where there is room for it; ``text`` tells it in words.

    ``points`` are (day in ISO form, value, method, vessel), ``marks`` the days on which fresh produce
    went in and what it was, ``of`` "ph" or "temperature" (degrees C).
    """

    of: str = "ph"
    points: tuple[tuple[str, float, str, str], ...] = ()
    marks: tuple[tuple[str, str], ...] = ()
    began: str = ""
    fahrenheit: bool = False


@dataclass(frozen=True)
class HeatChart(Note):
    """A heating to draw where there is room for it: minutes and degrees C; ``text`` tells it in words."""

    minutes: tuple[float, ...] = ()
    degrees: tuple[float, ...] = ()
    fahrenheit: bool = False


@dataclass(frozen=True)
class Timer(Note):
    """A time to count down, for who runs the talk: ``act`` is "start", "list" or "stop"; ``seconds`` from now."""

    act: str = "start"
    seconds: float = 0.0
    label: str = ""


@dataclass(frozen=True)
class Done(Reply):
    """The talk ends."""

    kind: ClassVar[str] = "done"
