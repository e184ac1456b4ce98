"""Replies as lines of text: for a terminal, a pipe, or a screen reader."""

from __future__ import annotations

import datetime
import unicodedata
from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING

from assistant.console.looks import wrapped
from assistant.replies import (
    Answer,
    Ask,
    Assume,
    Caution,
    Chart,
    Done,
    HeatChart,
    Log,
    Note,
    NotRead,
    Refuse,
    Reply,
    Why,
)
from grammar.later import module

if TYPE_CHECKING:
    from assistant.batches import batch as made
    from assistant.batches import chart as chart_
    from assistant.batches import heating
else:
    made = module("assistant.batches.batch")
    chart_ = module("assistant.batches.chart")
    heating = module("assistant.batches.heating")


LABEL = {"stop": "STOP", "caution": "Caution", "note": "Remember"}
"""What a caution is called on the screen; the words carry the meaning, colour only repeats it."""

TONES = {
    "dark": {"stop": "\x1b[1;31m", "caution": "\x1b[33m", "answer": "\x1b[1m", "ask": "\x1b[36m", "dim": "\x1b[2m"},
    "light": {"stop": "\x1b[1;31m", "caution": "\x1b[35m", "answer": "\x1b[1m", "ask": "\x1b[34m"},
    "both": {"stop": "\x1b[1;31m", "caution": "\x1b[35m", "answer": "\x1b[1m", "ask": "\x1b[1m"},
}
"""Tones for a dark screen, a light one, and for either; a test measures that each stands off its ground."""
TONE = TONES["both"]
PLAIN = "\x1b[0m"


def caret(said: str, reply: NotRead, prompt: int, width: int) -> str:
    """A line that points at the words that were not understood; "" if it does not fit."""
    start, end = reply.start, reply.end
    found = reply.found.split()
    if not found or not said[start:end].startswith(found[0]):
        return ""  # nothing to point at, or it stands in an earlier line
    if prompt + end > width or "\n" in said:
        return ""
    if "\t" in said[:end] or prompt + across(said[:end]) > width:
        return ""
    return " " * (prompt + across(said[:start])) + "^" * across(said[start:end])


def across(text: str) -> int:
    """How many columns a text takes: letters of some scripts and most small pictures take two, added marks none."""
    wide = sum(unicodedata.east_asian_width(one) in "WF" for one in text)
    return len(text) + wide - sum(unicodedata.category(one) in ("Mn", "Me", "Cf") for one in text)


def _text(reply: Reply) -> tuple[str, str]:
    """One reply as (tone, text)."""
    if isinstance(reply, Caution):
        tone = reply.severity if reply.severity in TONE else "dim"
        return tone, f"{LABEL[reply.severity]}: {_words(reply)}"
    if isinstance(reply, Answer):
        return "answer", reply.text
    if isinstance(reply, Ask):
        return "ask", reply.text
    if isinstance(reply, Refuse):
        return "stop", f"No. {reply.text}"
    if isinstance(reply, NotRead):
        return "caution", reply.text
    return "plain", _words(reply)


def _words(reply: Reply) -> str:
    """What a reply says, with the source of a reason."""
    if isinstance(reply, Why):
        source = f" [{reply.source}]" if reply.source else ""
        return f"{reply.text}{source}"
    if isinstance(reply, Caution | Answer | Ask | Refuse | NotRead | Assume | Note | Log | Done):
        return reply.text
    raise TypeError(type(reply).__name__)


def joined(replies: Sequence[Reply]) -> list[tuple[Reply, str]]:
    """The replies with their words, assumptions that follow one another run together."""
    out: list[tuple[Reply, str]] = []
    for reply in replies:
        if isinstance(reply, Assume) and out and isinstance(out[-1][0], Assume):
            out[-1] = (out[-1][0], f"{out[-1][1]} {reply.text}")
        else:
            out.append((reply, _words(reply)))
    return out


def _joined(replies: Sequence[Reply]) -> list[tuple[str, str]]:
    """The replies' texts: an answer's first sentence alone, assumptions run together."""
    out: list[tuple[str, str]] = []
    for reply, text in joined(replies):
        if isinstance(reply, Assume):
            out.append(("dim", f"Assumed: {text}"))
        elif isinstance(reply, Answer) and reply.lead and text != reply.lead:
            out += [("answer", reply.lead), ("plain", text.removeprefix(reply.lead).strip())]
        else:
            out.append(_text(reply))
    return out


def drawn(chart: Chart | HeatChart, width: int, plain: bool) -> list[str]:
    """The course of a batch, or of a heating, as a small chart, in ASCII if ``plain``."""
    if isinstance(chart, HeatChart):
        return heating.drawing(chart.minutes, chart.degrees, width=width, plain=plain, fahrenheit=chart.fahrenheit)
    day = datetime.date.fromisoformat
    points = [made.Point(day(when), value, method, "", vessel) for when, value, method, vessel in chart.points]
    marks = [(day(when), what) for when, what in chart.marks]
    began = day(chart.began)
    return chart_.course(
        points, of=chart.of, width=width, plain=plain, marks=marks, began=began, fahrenheit=chart.fahrenheit
    )


def lines(
    replies: Iterable[Reply], width: int = 80, colour: bool = False, plain: bool = False,
    tones: Mapping[str, str] | None = None,
) -> list[str]:  # fmt: skip
    """The replies as lines no wider than ``width``; charts in ASCII if ``plain``.

    A word longer than the width is broken; nothing is lost.
    """
    replies, tones = list(replies), (tones or TONE) if colour else {}
    for at, reply in enumerate(replies):
        if isinstance(reply, Chart | HeatChart):
            before = _wrapped(replies[:at], width, tones)
            rows = [*drawn(reply, width, plain), *_wrapped([reply], width, tones)]
            return [*before, *rows, *lines(replies[at + 1 :], width, colour, plain, tones)]
    return _wrapped(replies, width, tones)


def _wrapped(replies: Sequence[Reply], width: int, tones: Mapping[str, str]) -> list[str]:
    out: list[str] = []
    for tone, text in _joined(replies):
        rows = wrapped(text, max(width, 20)) or [""]
        start, stop = (tones[tone], PLAIN) if tones.get(tone) else ("", "")
        out += [f"{start}{one}{stop}" for one in rows]
    return out
