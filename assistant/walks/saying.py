"""Lines said to the talk on somebody's behalf: a walk's amounts and entries, the sums of a plan."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from assistant.replies import Reply
from assistant.talk import turn as talking
from assistant.talk.state import State, Talk
from grammar.later import module
from grammar.reader import read

if TYPE_CHECKING:
    from assistant.batches import events as ev
else:
    ev = module("assistant.batches.events")


@dataclass(frozen=True)
class Said:
    """What came of lines that a step said to the talk."""

    state: State
    replies: tuple[Reply, ...]
    wrote: tuple[ev.Event, ...]

    @property
    def stuck(self) -> bool:
        """Whether one of them was refused, asked back or not read."""
        return any(one.kind in ("ask", "refuse", "misread") for one in self.replies)


def say(talk: Talk, lines: Sequence[str], today: datetime.date) -> Said:
    """Says lines to the talk, each by the account as the one before left it."""
    now = Talk(replace(talk.now.idle(), said=()))
    replies: list[Reply] = []
    wrote: list[ev.Event] = []
    for line in lines:
        now, told = talking.turn(now, read(line, talking.expecting(now)), today)
        replies += told
        wrote += now.wrote
        now = now.on(now.now.shelf.with_events(now.wrote))
        if any(one.kind in ("ask", "refuse", "misread") for one in told):
            break
    return Said(now.now, tuple(replies), tuple(wrote))
