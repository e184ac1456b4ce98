"""A talk with its clock and its journal handed in: say a line, get the replies."""

from __future__ import annotations

import contextlib
import datetime
import re
from collections.abc import Callable
from pathlib import Path
from typing import Protocol

import platformdirs

from assistant.replies import Reply
from assistant.talk.state import Talk
from assistant.talk.turn import expecting, turn
from grammar.reader import keep_tables, read
from grammar.types import Misread, Reading

_HALF = re.compile("[\ud800-\udfff]")


def plain(text: str) -> str:
    """The text with what no encoding can write (bytes that were not text) as U+FFFD; the length is kept."""
    return _HALF.sub("\ufffd", text)


def prepare() -> None:
    """Lets the parse tables be kept in the user's cache folder, for faster starts."""
    folder = Path(platformdirs.user_cache_dir("crockside", appauthor=False))
    with contextlib.suppress(OSError):
        folder.mkdir(parents=True, exist_ok=True)
        keep_tables(str(folder / "kitchen.tables"))


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
        line, today = plain(line), self._today()
        if self._journal is not None and line.strip():
            self._journal.add(line, today)
        return self._turn(line, today)

    def resume(self, said: list[tuple[str, datetime.date]]) -> None:
        """Brings the talk to where these lines had taken it."""
        for line, today in said:
            # a line that once broke the program must not keep it from starting ever after
            with contextlib.suppress(Exception):
                self._turn(line, today)

    def _turn(self, line: str, today: datetime.date) -> tuple[Reading | Misread, tuple[Reply, ...]]:
        reading = read(line, expecting(self.talk))
        self.talk, replies = turn(self.talk, reading, today)
        return reading, replies
