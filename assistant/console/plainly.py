"""The chat for a screen reader, or a terminal that is none: lines in, lines out, and no cursor that moves."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from assistant.book.store import Book
from assistant.console.clockwork import Clockwork
from assistant.console.engine import CARRIED, Times, left_open
from assistant.console.front import Front
from assistant.console.look import Look
from assistant.console.saving import turn
from assistant.console.session import Session, goodbye, open_book, prepare, troubles
from assistant.console.settings import Settings
from assistant.console.speech import Voice
from assistant.console.spoken import counted, spoken
from assistant.console.welcome import Start
from assistant.replies import Timer
from assistant.walks.guide import greeting

PROMPT = "Say: "
UNREAD = "Arrow and function keys do nothing here. The line is not read; say it again."

Looks = Callable[[Settings], Look]
"""How things look by the settings, on the screen as it is."""


def chat(
    start: Start, look: Looks, times: Times, *, fresh: bool = False, path: Path | None = None,
    aloud: Voice | None = None,
    read: Callable[[str], str] = input, show: Callable[[str], None] = print,
) -> int:  # fmt: skip
    """Talks until "bye" or the end of the input; the talk so far is carried on, timers are told at the next line."""
    prepare()
    with open_book(path) as book:
        try:
            return _Plainly(book, start, look, times, Ends(show, aloud)).talk(fresh, read)
        finally:
            if aloud is not None:
                aloud.hush()


@dataclass(frozen=True)
class Ends:
    """Where rows go, and who says them aloud."""

    show: Callable[[str], None]
    aloud: Voice | None


class _Plainly:
    def __init__(self, book: Book, start: Start, look: Looks, times: Times, ends: Ends) -> None:
        self._book, self._times, self._show, self._aloud = book, times, ends.show, ends.aloud
        self._session = Session(times.today, book)
        self._front = Front(start, look, self._session)
        self._timers = Clockwork(book, times.clock)
        self._bell = start.settings.bell
        self._told: tuple[str, ...] = ()

    def _own(self, *texts: str) -> None:
        for text in texts:
            for row in self._front.look.own(text):
                self._show(row)

    def _troubles(self) -> None:
        """What is wrong with the book, each time that it is something new."""
        unspoken = self._aloud.trouble if self._aloud is not None else ""
        now = (*troubles(self._book), *([unspoken] if unspoken else []))
        self._own(*(one for one in now if one not in self._told))
        self._told = now

    def _rung(self) -> None:
        """What rang since the last line; a bell is no drawing."""
        rung = self._timers.rung()
        if rung and self._bell:
            self._show("\a")
        self._own(*rung)
        if rung and self._aloud is not None:  # a hold does not wait until a long answer has been said
            self._aloud.first(" ".join(map(counted, rung)))

    def _say(self, *words: str) -> None:
        """Words aloud, after what is being said."""
        for one in words:
            if self._aloud is not None:
                self._aloud.then(one)

    def _end(self) -> int:
        self._troubles()
        self._book.close()  # one more chance to write what could not be written before
        self._own(goodbye(self._book))
        return 0

    def talk(self, fresh: bool, read: Callable[[str], str]) -> int:
        before = self._book.start(fresh)
        self._session.resume(before)
        for row in self._front.hello():
            self._show(row)
        if before and self._session.now.said:
            self._own(CARRIED)
            for row in self._front.rows(self._session.now.said):
                self._show(row)
        if left_open(self._session.now):
            for row in self._front.rows(greeting(self._session.now, self._times.today())):
                self._show(row)
        self._troubles()
        while True:
            self._rung()
            try:
                line = read(PROMPT)
            except KeyboardInterrupt:
                self._show("")
                self._own('The line is dropped. "bye" or Ctrl-D ends the talk.')
                continue
            except EOFError:
                self._show("")
                return self._end()
            if self._aloud is not None:
                self._aloud.hush()
            self._rung()
            if "\x1b" in line:
                self._own(UNREAD)
                continue
            if (rows := self._front.aside(line)) is not None:
                for row in rows:
                    self._show(row)
                continue
            _, replies = turn(self._session, line)
            self._say(spoken(replies))
            if any(one.kind == "done" for one in replies):
                return self._end()
            for row in self._front.rows(replies):
                self._show(row)
            for one in replies:
                self._own(*(self._timers.asked(one) if isinstance(one, Timer) else ()))
            self._troubles()
