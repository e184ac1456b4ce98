"""The running timers of the book: counted down, rung once in every window that counts them, never rung again."""

from __future__ import annotations

import datetime
import math
from collections.abc import Callable
from typing import TYPE_CHECKING

from assistant.book.timers import Running

if TYPE_CHECKING:
    from assistant.book.store import Book
    from assistant.replies import Timer

JUST = 5.0
"""Seconds in which a timer that another window has ended counts as just rung there, and rings here too."""


def left(seconds: float) -> str:
    """A time still to run, as a kitchen timer shows it: "9:05", "1:02:00"."""
    whole = max(0, math.ceil(seconds))
    hours, rest = divmod(whole, 3600)
    minutes, rest = divmod(rest, 60)
    return f"{hours}:{minutes:02d}:{rest:02d}" if hours else f"{minutes}:{rest:02d}"


class Clockwork:
    """The timers of one window, with those of every other window over the same book."""

    def __init__(self, book: Book, clock: Callable[[], datetime.datetime]) -> None:
        self._book, self._clock = book, clock
        self._kept: list[Running] = book.timers()
        self._unkept: list[Running] = []

    @property
    def running(self) -> tuple[Running, ...]:
        """The timers that run, the one due first at the head."""
        return tuple(sorted([*self._kept, *self._unkept], key=lambda one: one.due))

    def asked(self, timer: Timer) -> list[str]:
        """Starts, lists or stops timers; what is to be said beside the reply."""
        if timer.act == "start":
            due = self._clock() + datetime.timedelta(seconds=timer.seconds)
            if self._book.start_timer(due, timer.label):
                self._kept = self._book.timers()
                return []
            self._unkept.append(Running(-1 - len(self._unkept), due, timer.label))
            return ["It is not on disk: keep this window open."]
        if timer.act == "stop":
            for one in self._book.timers():
                self._book.end_timer(one.id)
            self._kept, self._unkept = [], []
            return []
        self._kept = self._book.timers()
        return self.shown() or ["None runs."]

    def shown(self) -> list[str]:
        """Each timer with the time it still runs: "9:05 stir"."""
        return shown(self.running, self._clock())

    def rung(self) -> list[str]:
        """Looks at the book again; a sentence for each timer that has come due since, each once.

        One that another window has ended rings here too if it is due just now: it was rung there, and both are
        looked at. One that came due while nobody looked and was rung elsewhere does not ring again.
        """
        now = self._clock()
        kept = self._book.timers()
        there = {one.id for one in kept}
        out = []
        for one in self.running:
            if one.due > now:
                continue
            late = (now - one.due).total_seconds()
            if one.id < 0 or one.id in there or late <= JUST:
                ago = f", {left(late)} ago" if late >= 60 else ""
                out.append(f"Time is up{ago}{f': {one.label}' if one.label else ''}.")
            self._book.end_timer(one.id)
        # what another window started and is due already is rung here too
        known = {one.id for one in self._kept}
        for one in kept:
            if one.due <= now and one.id not in known:
                out.append(f"Time is up{f': {one.label}' if one.label else ''}.")
                self._book.end_timer(one.id)
        self._kept = [one for one in kept if one.due > now]
        self._unkept = [one for one in self._unkept if one.due > now]
        return out


def shown(running: tuple[Running, ...], now: datetime.datetime) -> list[str]:
    """Each timer with the time it still runs: "9:05 stir"."""
    return [f"{left((one.due - now).total_seconds())} {one.label}".rstrip() for one in running]
