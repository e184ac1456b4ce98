"""A talk with its clock and its journal handed in: say a line, get the replies."""

from __future__ import annotations

import datetime
from collections.abc import Callable
from typing import Protocol

from assistant.replies import Reply
from assistant.talk.state import Talk
from assistant.talk.turn import expecting, turn
from grammar.reader import read
from grammar.types import Misread, Reading


class Journal(Protocol):
    """Where said lines are kept until they are needed again."""

    def add(self, say: str, today: datetime.date) -> None:
        """Keep one line; it must be on disk when this returns."""


class Session:
    """One running talk."""

    def __init__(self, today: Callable[[], datetime.date], journal: Journal | None = None) -> None:
        self.talk = Talk()
        self._today = today
        self._journal = journal

    def say(self, line: str) -> tuple[Reading | Misread, tuple[Reply, ...]]:
        """One line of talk: how it was read, and the replies."""
        today = self._today()
        if self._journal is not None and line.strip():
            self._journal.add(line, today)
        return self._turn(line, today)

    def resume(self, said: list[tuple[str, datetime.date]]) -> None:
        """Brings the talk to where these lines had taken it."""
        for line, today in said:
            self._turn(line, today)

    def _turn(self, line: str, today: datetime.date) -> tuple[Reading | Misread, tuple[Reply, ...]]:
        reading = read(line, expecting(self.talk))
        self.talk, replies = turn(self.talk, reading, today)
        return reading, replies
