"""The chat on a terminal (prompt_toolkit)."""

from __future__ import annotations

import datetime
import math
import sys
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from prompt_toolkit import PromptSession
from prompt_toolkit.formatted_text import ANSI
from prompt_toolkit.history import InMemoryHistory
from prompt_toolkit.input import Input
from prompt_toolkit.output import Output
from prompt_toolkit.shortcuts import print_formatted_text

from assistant.batches.shelf import Unreadable
from assistant.book.store import Book
from assistant.book.timers import Running
from assistant.console.lines import caret, lines
from assistant.console.once import ascii_only, colour, width
from assistant.console.saving import turn
from assistant.console.session import Session, open_book, prepare, troubles
from assistant.replies import NotRead, Reply, Timer
from assistant.talk.account import telling
from assistant.talk.account.which import current
from assistant.talk.state import State
from assistant.trade import calculator
from assistant.walks.guide import greeting, waits
from assistant.walks.plan import walk

if TYPE_CHECKING:
    from assistant.console.speech import Voice

PROMPT = "say: "

WELCOME = (
    'Say what is on the bench, for example "brine for 3 kg of peppers in a 10 L crock at 2.5%".',
    'Then "make it 4 kg", "why?", "undo", or "help". "bye" ends it; nothing is lost.',
    'What you do goes into the batch book: "new batch of reds in the 8 L crock".',
    "A calculator with cautions, not a process authority: local rules decide for anything sold.",
)


def left(seconds: float) -> str:
    """A time still to run, as a kitchen timer shows it: "9:05", "1:02:00"."""
    whole = max(0, math.ceil(seconds))
    hours, rest = divmod(whole, 3600)
    minutes, rest = divmod(rest, 60)
    return f"{hours}:{minutes:02d}:{rest:02d}" if hours else f"{minutes}:{rest:02d}"


class Clockwork:
    """The running timers: counted down in the bottom line, rung when they are due, kept in the book meanwhile."""

    def __init__(
        self, book: Book, clock: Callable[[], datetime.datetime], bell: Callable[[], None],
        aloud: Callable[[str], None] = lambda _: None,
    ) -> None:  # fmt: skip
        self._book, self._clock, self._bell, self._aloud = book, clock, bell, aloud
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
            self._aloud(self.rung[-1])
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


@dataclass(frozen=True)
class Ends:
    """Where the talk comes from and goes to: keys, screen and voice."""

    terminal: Input | None
    screen: Output | None
    aloud: Voice | None


def left_open(state: State) -> bool:
    """Whether a walk waits to be carried on; a book that cannot be read says so with the first line."""
    try:
        return waits(state)
    except Unreadable:
        return False


def chat(fresh: bool = False, terminal: Input | None = None, screen: Output | None = None, *,
         today: Callable[[], datetime.date] = datetime.date.today, path: Path | None = None,
         clock: Callable[[], datetime.datetime] = datetime.datetime.now,
         aloud: Voice | None = None) -> int:  # fmt: skip
    """Talks until "bye", Ctrl-D or the end of the input; the talk so far is carried on."""
    with open_book(path) as book:
        try:
            return _chat(book, fresh, Ends(terminal, screen, aloud), Times(today, clock))
        finally:
            if aloud is not None:
                aloud.hush()


class Window:
    """What is shown, and said if it is to be; the words for the ear are loaded only then."""

    def __init__(self, screen: Output | None, aloud: Voice | None) -> None:
        self._screen, self._aloud = screen, aloud
        self._shade, self._plain = (colour(sys.stdout), ascii_only(sys.stdout)) if screen is None else (False, False)
        self._told: tuple[str, ...] = ()

    def show(self, text: str) -> None:
        """A line on the screen alone."""
        print_formatted_text(ANSI(text), output=self._screen)

    def speak(self, row: str, first: bool = False) -> None:
        """A line of our own aloud, ``first`` or when what is being said is over; a time left is said as one."""
        if self._aloud is not None:
            from assistant.console.spoken import counted

            (self._aloud.first if first else self._aloud.then)(counted(row))

    def hush(self) -> None:
        """Stops what is being said."""
        if self._aloud is not None:
            self._aloud.hush()

    def give(self, replies: Sequence[Reply]) -> None:
        """Replies, on the screen and aloud."""
        for row in lines(replies, width(), self._shade, self._plain) if replies else ():
            self.show(row)
        if self._aloud is not None:
            from assistant.console.spoken import spoken

            self._aloud.then(spoken(replies))

    def tell(self, book: Book) -> None:
        """What is wrong with the book or the voice, each time that it is something new."""
        unspoken = self._aloud.trouble if self._aloud is not None else ""
        now = (*troubles(book), *([unspoken] if unspoken else []))
        for one in (each for each in now if each not in self._told):
            for row in lines_of(one):
                self.show(row)
            self.speak(one)
        self._told = now


def _chat(book: Book, fresh: bool, ends: Ends, times: Times) -> int:
    prepare()
    session = Session(times.today, book)
    before = book.start(fresh)
    session.resume(before)
    prompt: PromptSession[str] = PromptSession(
        PROMPT, history=InMemoryHistory(), input=ends.terminal, output=ends.screen,
        bottom_toolbar=lambda: standing(session.now, timers.line()),
    )  # fmt: skip

    def bell() -> None:
        prompt.app.output.bell()
        prompt.app.output.flush()

    window = Window(ends.screen, ends.aloud)
    show = window.show
    timers = Clockwork(book, times.clock, bell, lambda row: window.speak(row, True))
    # any key, Enter too, stops what is being said
    prompt.app.key_processor.before_key_press += lambda _: window.hush()
    for say, _, _ in before:
        if say.strip():
            prompt.history.append_string(say)

    def end() -> int:
        window.tell(book)
        show("Goodbye." if book.trouble else "Goodbye. The talk and the book are kept.")
        return 0

    for row in (*(row for line in WELCOME for row in lines_of(line)), ""):
        show(row)
    if before and session.talk.now.said:
        show('Carrying on where you stopped; "start over" clears it.')
        window.give(session.talk.now.said)
        show("")
    window.give(greeting(session.now, times.today()) if left_open(session.now) else ())
    window.tell(book)
    while True:
        for row in timers.told():
            show(row)
        prompt.refresh_interval = 1.0 if timers else 0.0
        try:
            say = prompt.prompt()
        except KeyboardInterrupt:
            show('The line is dropped. "bye" or Ctrl-D ends the talk.')
            continue
        except EOFError:
            return end()
        _, replies = turn(session, say)
        if any(one.kind == "done" for one in replies):
            return end()
        point = pointing(say, replies)
        if point:
            show(point)
        window.hush()
        window.give(replies)
        for one in replies:
            for row in timers.asked(one) if isinstance(one, Timer) else ():
                show(row)
                window.speak(row)
        show("")
        window.tell(book)


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
