"""The chat on a terminal (prompt_toolkit)."""

from __future__ import annotations

import datetime
import math
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from prompt_toolkit import PromptSession
from prompt_toolkit.formatted_text import ANSI
from prompt_toolkit.history import InMemoryHistory
from prompt_toolkit.input import Input
from prompt_toolkit.output import Output
from prompt_toolkit.shortcuts import print_formatted_text

from assistant.batches.shelf import Unreadable
from assistant.book.store import Book
from assistant.book.timers import Running
from assistant.console.front import Front
from assistant.console.lines import caret
from assistant.console.once import look_of, width
from assistant.console.session import Session, open_book, prepare, troubles
from assistant.console.welcome import Start
from assistant.replies import NotRead, Reply, Timer
from assistant.talk.account import telling
from assistant.talk.account.which import current
from assistant.talk.state import State
from assistant.trade import calculator
from assistant.walks.guide import greeting, waits
from assistant.walks.plan import walk

PROMPT = "say: "


def left(seconds: float) -> str:
    """A time still to run, as a kitchen timer shows it: "9:05", "1:02:00"."""
    whole = max(0, math.ceil(seconds))
    hours, rest = divmod(whole, 3600)
    minutes, rest = divmod(rest, 60)
    return f"{hours}:{minutes:02d}:{rest:02d}" if hours else f"{minutes}:{rest:02d}"


class Clockwork:
    """The running timers: counted down in the bottom line, rung when they are due, kept in the book meanwhile."""

    def __init__(self, book: Book, clock: Callable[[], datetime.datetime], bell: Callable[[], None]) -> None:
        self._book, self._clock, self._bell = book, clock, bell
        self._running = book.timers()
        self._unkept = 0
        self.rung: list[str] = []

    def __bool__(self) -> bool:
        return bool(self._running)

    def asked(self, timer: Timer) -> list[str]:
        """Starts, lists or stops timers; what is to be said beside the reply."""
        if timer.act == "start":
            due = self._clock() + datetime.timedelta(seconds=timer.seconds)
            if self._book.start_timer(due, timer.label):
                self._running = self._book.timers()
                return []
            self._unkept -= 1
            self._running = sorted([*self._running, Running(self._unkept, due, timer.label)], key=lambda one: one.due)
            return ["It is not on disk: keep this window open."]
        if timer.act == "stop":
            for one in self._running:
                self._book.end_timer(one.id)
            self._running = []
            return []
        now = self._clock()
        return [f"{left((one.due - now).total_seconds())} {one.label}".rstrip() for one in self._running] or [
            "None runs."
        ]

    def line(self) -> str:
        """The timers for the bottom line; one that is due rings, once."""
        now = self._clock()
        for one in [each for each in self._running if each.due <= now]:
            self._running.remove(one)
            self._book.end_timer(one.id)
            late = (now - one.due).total_seconds()
            ago = f", {left(late)} ago" if late >= 60 else ""
            self.rung.append(f"Time is up{ago}{f': {one.label}' if one.label else ''}.")
            self._bell()
        shown = [f"{left((one.due - now).total_seconds())} {one.label}".rstrip() for one in self._running[:2]]
        return " | ".join([*self.rung[-1:], *shown])

    def told(self) -> list[str]:
        """What rang since it was last told, a sentence each."""
        self.line()
        out, self.rung = self.rung, []
        return out


def standing(state: State, timers: str = "") -> str:
    """The bottom line: the timers, what is being asked or what the last answer stands on, and the keys."""
    if state.mode == "asking" and state.job is not None:
        item = calculator(state.job.calculator).input(state.asking[0])
        now = f"asking: {item.label}"
    elif state.mode in ("choosing", "confirming"):
        now = "asking: which one"
    elif state.answered is not None and state.answered.given:
        given = ", ".join(one.said for one in state.answered.given if not one.carried)
        now = given
    else:
        now = "nothing open"
    try:
        batch = current(state)
    except Unreadable:  # said when the next line is; it must not break the screen
        batch = None
    where = f"{telling.titled(batch)} | " if batch is not None else ""
    if state.walk is not None and not state.walk.paused:
        plan = walk(state.walk.walk)
        now = f"step {plan.place(state.walk.step) + 1} of {len(plan.steps)}"
    counting = f"{timers} | " if timers else ""
    return f" {counting}{where}{now} | help, why, undo, bye "


@dataclass(frozen=True)
class Times:
    """The day and the time of day, handed in."""

    today: Callable[[], datetime.date]
    clock: Callable[[], datetime.datetime]


def left_open(state: State) -> bool:
    """Whether a walk waits to be carried on; a book that cannot be read says so with the first line."""
    try:
        return waits(state)
    except Unreadable:
        return False


def chat(fresh: bool = False, terminal: Input | None = None, screen: Output | None = None, *,
         today: Callable[[], datetime.date] = datetime.date.today, path: Path | None = None,
         clock: Callable[[], datetime.datetime] = datetime.datetime.now,
         start: Start | None = None) -> int:  # fmt: skip
    """Talks until "bye", Ctrl-D or the end of the input; the talk so far is carried on."""
    with open_book(path) as book:
        return _chat(book, fresh, (terminal, screen), Times(today, clock), start or Start())


def _chat(
    book: Book, fresh: bool, ends: tuple[Input | None, Output | None], times: Times, start: Start
) -> int:  # fmt: skip
    prepare()
    terminal, screen = ends
    session = Session(times.today, book)
    front = Front(start, lambda settings: look_of(settings, sys.stdout if screen is None else None), session)
    before = book.start(fresh)
    session.resume(before)
    prompt: PromptSession[str] = PromptSession(
        PROMPT, history=InMemoryHistory([say for say, _, _ in before if say.strip()]), input=terminal, output=screen,
        bottom_toolbar=lambda: standing(session.now, timers.line()),
    )  # fmt: skip

    def bell() -> None:
        if start.settings.bell:
            prompt.app.output.bell()
            prompt.app.output.flush()

    timers = Clockwork(book, times.clock, bell)

    told: tuple[str, ...] = ()

    def show(*rows: str) -> None:
        for row in rows:
            print_formatted_text(ANSI(row), output=screen)

    def tell() -> None:
        """What is wrong with the book, each time that it is something new."""
        nonlocal told
        now = troubles(book)
        for one in now:
            show(*(lines_of(one) if one not in told else ()))
        told = now

    def end() -> int:
        tell()
        show("Goodbye." if book.trouble else "Goodbye. The talk and the book are kept.")
        return 0

    show(*front.hello(), "")
    if before and session.talk.now.said:
        show('Carrying on where you stopped; "start over" clears it.')
        show(*front.rows(session.talk.now.said), "")
    if left_open(session.now):
        show(*front.rows(greeting(session.now, times.today())))
    tell()
    while True:
        show(*timers.told())
        prompt.refresh_interval = 1.0 if timers else 0.0
        try:
            say = prompt.prompt()
        except KeyboardInterrupt:
            show('The line is dropped. "bye" or Ctrl-D ends the talk.')
            continue
        except EOFError:
            return end()
        if (rows := front.aside(say)) is not None:
            show(*rows, "")
            continue
        _, replies = session.say(say)
        if any(one.kind == "done" for one in replies):
            return end()
        show(*([point] if (point := pointing(say, replies)) else []), *front.rows(replies))
        for one in replies:
            show(*(timers.asked(one) if isinstance(one, Timer) else ()))
        show("")
        tell()


def lines_of(text: str) -> list[str]:
    """A sentence of our own, wrapped."""
    import textwrap

    return textwrap.wrap(text, width())


def pointing(say: str, replies: tuple[Reply, ...]) -> str:
    """The caret line under what was typed, if something in it was not understood."""
    for one in replies:
        if isinstance(one, NotRead):
            return caret(say, one, len(PROMPT), width())
    return ""
