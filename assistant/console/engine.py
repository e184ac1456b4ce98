"""What stands behind the prompt: the talk, its book and its timers, all used from one thread of their own.

The chat loads this while the first line is being typed. A book's connection belongs to the thread that opened it,
so everything that looks into the book is asked for here, and comes back as rows that are ready to be shown.
"""

from __future__ import annotations

import datetime
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

from assistant.batches.shelf import Unreadable
from assistant.console import helping, live, offers
from assistant.console.bar import Standing
from assistant.console.clockwork import Clockwork
from assistant.console.draft import Draft
from assistant.console.front import Front
from assistant.console.keys import help_rows
from assistant.console.lines import caret
from assistant.console.look import Look
from assistant.console.looks import faulty, width
from assistant.console.saving import turn
from assistant.console.session import Session, book_file, goodbye, open_book, prepare, troubles
from assistant.console.settings import Settings
from assistant.console.welcome import Start
from assistant.replies import NotRead, Reply, Timer
from assistant.rules.glossary import glossary
from assistant.talk.state import State
from assistant.trade import CALCULATORS
from assistant.walks.guide import greeting, waits
from grammar.later import make

WARM = (
    "brine for 3 kg of peppers in a 10 L crock at 2.5%", "what is a brine", "new batch", "strained 3 kg of mash",
    "there is white stuff on it",
)  # fmt: skip
"""Lines that are read for nothing, each of another kind, so that whatever they need is loaded."""

AT_ONCE = 8
"""Expressions that are compiled in one step: some milliseconds."""
ANOTHER = "The line is not: say it another way."
CARRIED = 'Carrying on where you stopped; "start over" clears it.'


@dataclass(frozen=True)
class Times:
    """The day and the time of day, handed in."""

    today: Callable[[], datetime.date]
    clock: Callable[[], datetime.datetime]


@dataclass(frozen=True)
class Shown:
    """How rows are made.

    Attributes:
        start: how the talk begins, with the settings in force.
        look: how things look by the settings, on the screen as it is.
        prompt: the width of the prompt before what is typed; None where no row can point at it.
        aloud: replies are said too.
    """

    start: Start
    look: Callable[[Settings], Look]
    prompt: int | None
    aloud: bool = False


@dataclass(frozen=True)
class Turned:
    """What a line brought: rows to show, where the talk stands then, whether it is over, and the words for the ear."""

    rows: tuple[str, ...]
    standing: Standing
    done: bool = False
    aloud: tuple[str, ...] = ()


class Engine:
    """The talk of one window.

    Raises:
        BookRefused: the book may not be opened.
    """

    def __init__(self, path: Path | None, fresh: bool, times: Times, shown: Shown) -> None:
        prepare()
        self._times, self._prompt, self._aloud = times, shown.prompt, shown.aloud
        self.book = open_book(path)
        self.session = Session(times.today, self.book)
        self.front = Front(shown.start, shown.look, self.session)
        before = self.book.start(fresh)
        self.session.resume(before)
        self.timers = Clockwork(self.book, times.clock)
        self._told: tuple[str, ...] = ()
        self._warming = self._warm()
        self._closed = False
        self.history = [say for say, _, _ in before if say.strip()]
        self.examples = [one.say for each in CALCULATORS for one in each.examples]
        self._draft = Draft(path or book_file())
        # a line that was said just before the kill is no half-typed one
        self.left = tuple(one for one in self._draft.left if one not in self.history[-1:])
        if not self.left:
            self._draft.keep("")
        said = self.session.talk.now.said if before else ()
        due = greeting(self.session.now, times.today()) if left_open(self.session.now) else ()
        self.hello = Turned(tuple(self._hello(bool(before))), self.standing(), aloud=self._spoken((*said, *due)))

    def _hello(self, carried: bool) -> list[str]:
        """What is carried on, what is due, and what is wrong with the book."""
        rows = self.front.after()
        rows += [""] if rows else []
        if carried and self.session.talk.now.said:
            rows += [*self.front.look.own(CARRIED), *self._shown(self.session.talk.now.said), ""]
        if left_open(self.session.now):
            rows += self._shown(greeting(self.session.now, self._times.today()))
        return [*rows, *self._troubles()]

    def _shown(self, replies: tuple[Reply, ...]) -> list[str]:
        return self.front.rows(replies)

    def _troubles(self) -> list[str]:
        """What is wrong with the book, each time that it is something new."""
        now = troubles(self.book)
        rows = [row for one in now if one not in self._told for row in self.front.look.own(one)]
        self._told = now
        return rows

    def say(self, line: str) -> Turned:
        """One line of talk; it is on disk when this returns, and no draft any more."""
        if (aside := self.front.aside(line)) is not None:
            self._draft.keep("")
            return Turned((*aside, ""), self.standing())
        try:
            _, replies = turn(self.session, line)
        except Exception as error:  # one line must not cost the talk; it is not kept, so it does not come again
            self._draft.keep("")
            rows = self.front.look.own(f"{faulty('At this line', error)} {ANOTHER}")
            return Turned((*rows, "", *self._troubles()), self.standing())
        self._draft.keep("")
        if any(one.kind == "done" for one in replies):
            return Turned((), self.standing(), done=True)
        point = pointing(line, replies, self._prompt)
        rows = [*([point] if point else []), *self._shown(replies)]
        timed = [row for one in replies if isinstance(one, Timer) for row in self.timers.asked(one)]
        rows += [row for one in timed for row in self.front.look.own(one)]
        return Turned((*rows, "", *self._troubles()), self.standing(), aloud=self._spoken(replies))

    def _spoken(self, replies: tuple[Reply, ...]) -> tuple[str, ...]:
        """The replies for the ear; worded only where somebody says them."""
        if not self._aloud:
            return ()
        from assistant.console.spoken import counted, spoken

        listed = [one for one in replies if isinstance(one, Timer) and one.act == "list"]
        return (spoken(replies), *(counted(row) for row in self.timers.shown() if listed))

    def worded(self, row: str) -> str:
        """A row of the timers for the ear."""
        from assistant.console.spoken import counted

        return counted(row)

    def standing(self) -> Standing:
        """Where the talk stands, for the bottom line."""
        state = self.session.now
        walking = state.walk is not None and not state.walk.paused
        return Standing(
            helping.now(state), helping.batch(state), helping.units(state), walking, helping.question(state),
            bool(self.book.trouble),
        )  # fmt: skip

    def glance(self, line: str) -> tuple[live.Row, ...]:
        """What the line would bring if it were said now; nothing is kept, and nothing is ever raised."""
        self._draft.keep(line)
        if not line.strip() or len(line) > live.LONGEST:
            return ()
        try:
            before = self.session.talk.on(self.session.now.shelf)
            return live.glance(before, *self.session.tried(line))
        except Exception:  # a look ahead must never stop the typing; the line itself will say what is wrong
            return ()

    def warm(self) -> bool:
        """Makes a little of what a later line may need, so that it is read as fast as the next; whether more is left.

        In small steps, because a line that is typed meanwhile waits for the step. Never raises.
        """
        try:
            return next(self._warming, False)
        except Exception:  # as for a look ahead: a line that is said will tell what is wrong
            return False

    def _warm(self) -> Iterator[bool]:
        for one in WARM:
            self.session.tried(one)
            yield True
        offers.offers(self.session.now, WARM[0])
        yield True
        glossary()
        yield True
        while make(AT_ONCE):
            yield True

    def draft(self, line: str) -> None:
        """Keeps the half-typed line."""
        self._draft.keep(line)

    def offers(self, line: str) -> tuple[offers.Offer, ...]:
        """What could come next after the line."""
        try:
            return offers.offers(self.session.now, line)
        except Unreadable:
            return ()

    def help(self, keys: bool = False) -> list[str]:
        """The help for where the talk stands, or all ``keys``."""
        rows = help_rows() if keys else helping.rows(self.session.now)
        return [row for one in rows for row in self.front.look.own(one)]

    def end(self) -> list[str]:
        """Closes the book, and says whether all is kept."""
        rows = self._troubles()
        self.close()  # one more chance to write what could not be written before
        return [*rows, *self.front.look.own(goodbye(self.book))]

    def close(self) -> None:
        """Lets go of the book; what it held is written if that can be done now. A second time does nothing."""
        if self._closed:
            return
        self._closed = True
        self._draft.close()
        self.book.close()


def left_open(state: State) -> bool:
    """Whether a walk waits to be carried on; a book that cannot be read says so with the first line."""
    try:
        return waits(state)
    except Unreadable:
        return False


def pointing(say: str, replies: tuple[Reply, ...], prompt: int | None) -> str:
    """The caret line under what was typed, if something in it was not understood."""
    for one in replies:
        if isinstance(one, NotRead) and prompt is not None:
            return caret(say, one, prompt, width())
    return ""
