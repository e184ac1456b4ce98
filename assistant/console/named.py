"""Replies for a screen reader: no drawing, and each begins with a word that says what it is."""

from __future__ import annotations

from collections.abc import Sequence

from assistant.console import looks
from assistant.console.lines import LABEL, joined
from assistant.replies import Caution, Chart, HeatChart, Reply, Timer

NAMED = {
    "ask": "Question", "answer": "Answer", "assume": "Assumed", "refuse": "Refused", "why": "Reason",
    "misread": "Not understood", "note": "Note", "log": "Log", "done": "End",
}  # fmt: skip
"""What each kind of reply is called aloud."""


def name(reply: Reply) -> str:
    """The word that a reply begins with."""
    if isinstance(reply, Caution):
        return LABEL[reply.severity]
    if isinstance(reply, Chart | HeatChart):
        return "Chart in words"
    if isinstance(reply, Timer):
        return "Timer"
    return NAMED[reply.kind]


def rows(replies: Sequence[Reply], width: int) -> list[str]:
    """The replies as plain lines no wider than ``width``; a chart is its numbers, as they are told.

    What stops is said before any number: who listens may act on the first thing that is heard.
    """
    out: list[str] = []
    for reply, text in joined(sorted(replies, key=lambda one: not _stops(one))):
        out += wrapped(f"{name(reply)}: {text}", width)
    return out


def _stops(reply: Reply) -> bool:
    return isinstance(reply, Caution) and reply.severity == "stop"


def own(text: str, width: int) -> list[str]:
    """A sentence of the program's own."""
    return wrapped(f"Note: {text}", width) if text else [""]


def wrapped(text: str, width: int) -> list[str]:
    """A text in rows no wider than ``width``."""
    return looks.wrapped(text, max(width, 20))
