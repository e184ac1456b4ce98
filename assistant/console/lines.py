"""Replies as lines of text: for a terminal, a pipe, or a screen reader."""

from __future__ import annotations

import datetime
import textwrap
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

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

TONE = {"stop": "\x1b[1;31m", "caution": "\x1b[33m", "answer": "\x1b[1m", "ask": "\x1b[36m", "dim": "\x1b[2m"}
PLAIN = "\x1b[0m"


def caret(said: str, reply: NotRead, prompt: int, width: int) -> str:
    """A line that points at the words that were not understood; "" if it does not fit."""
    start, end = reply.start, reply.end
    found = reply.found.split()
    if not found or not said[start:end].startswith(found[0]):
        return ""  # nothing to point at, or it stands in an earlier line
    if prompt + end > width or "\n" in said:
        return ""
    return " " * (prompt + start) + "^" * (end - start)


def _text(reply: Reply) -> tuple[str, str]:
    """One reply as (tone, text)."""
    if isinstance(reply, Caution):
        tone = reply.severity if reply.severity in TONE else "dim"
        return tone, f"{LABEL[reply.severity]}: {reply.text}"
    if isinstance(reply, Answer):
        return "answer", reply.text
    if isinstance(reply, Ask):
        return "ask", reply.text
    if isinstance(reply, Refuse):
        return "stop", f"No. {reply.text}"
    if isinstance(reply, NotRead):
        return "caution", reply.text
    if isinstance(reply, Why):
        source = f" [{reply.source}]" if reply.source else ""
        return "plain", f"{reply.text}{source}"
    if isinstance(reply, Assume | Note | Log | Done):
        return "plain", reply.text
    raise TypeError(type(reply).__name__)


def _joined(replies: Sequence[Reply]) -> list[tuple[str, str]]:
    """The replies' texts: an answer's first sentence alone, assumptions run together."""
    out: list[tuple[str, str]] = []
    assumed: list[str] = []
    for reply in [*replies, None]:
        if isinstance(reply, Assume):
            assumed.append(reply.text)
            continue
        if assumed:
            out.append(("dim", f"Assumed: {' '.join(assumed)}"))
            assumed = []
        if isinstance(reply, Answer) and reply.lead and reply.text != reply.lead:
            out += [("answer", reply.lead), ("plain", reply.text.removeprefix(reply.lead).strip())]
        elif reply is not None:
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


def lines(replies: Iterable[Reply], width: int = 80, colour: bool = False, plain: bool = False) -> list[str]:
    """The replies as lines no wider than ``width``; charts in ASCII if ``plain``.

    A word longer than the width is broken; nothing is lost.
    """
    replies = list(replies)
    for at, reply in enumerate(replies):
        if isinstance(reply, Chart | HeatChart):
            before = _wrapped(replies[:at], width, colour)
            rows = drawn(reply, width, plain)
            return [*before, *rows, *_wrapped([reply], width, colour), *lines(replies[at + 1 :], width, colour, plain)]
    return _wrapped(replies, width, colour)


def _wrapped(replies: Sequence[Reply], width: int, colour: bool) -> list[str]:
    out: list[str] = []
    for tone, text in _joined(replies):
        wrapped = textwrap.wrap(text, max(width, 20), break_on_hyphens=False) or [""]
        start, stop = (TONE.get(tone, ""), PLAIN) if colour and tone in TONE else ("", "")
        out += [f"{start}{one}{stop}" for one in wrapped]
    return out
