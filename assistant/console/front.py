"""What the screen itself answers, so that the talk need not know of it: large type, "more", the first question."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from assistant.console.asides import MORE, clean, type_wanted, units_chosen
from assistant.console.look import Look
from assistant.console.session import Session
from assistant.console.settings import Settings
from assistant.console.welcome import KEPT, Start, after, taken
from assistant.replies import Reply


class Front:
    """How one talk is shown: by the settings, and by the screen as it is when something is shown."""

    def __init__(self, start: Start, look: Callable[[Settings], Look], session: Session) -> None:
        self._start, self._look, self._session = start, look, session
        self._settings = start.settings
        self._asking = start.first
        self._held: list[Reply] = []
        session.prefer(start.settings)

    @property
    def look(self) -> Look:
        """How things look now: a window may have been made wider meanwhile."""
        return self._look(self._settings)

    def after(self) -> list[str]:
        """The rows under the caution, before the first line: examples and the question for the units, or a tip."""
        return [row for text in after(self._start) for row in self.look.own(text)]

    def aside(self, line: str) -> list[str] | None:
        """The rows that answer a line meant for the screen; None if the line is for the talk."""
        if not line.strip():
            return None
        if self._asking:
            self._asking = False
            units = units_chosen(line)
            unkept = self._start.keep(Settings(units=units) if units else Settings(), "units")
            if units:
                self._settings = replace(self._settings, units=units)
                self._session.prefer(self._settings)
                return self.look.own(f"{taken(units)} {unkept or KEPT}")
        if (large := type_wanted(line)) is not None:
            self._settings = replace(self._settings, large=large)
            text = 'Large type. "more" gives the rest, "normal type" ends it.' if large else "The usual type again."
            return self.look.own(text)
        if clean(line) in MORE and self._held:
            held, self._held = self._held, []
            return self.look.whole(held)
        return None

    def rows(self, replies: Sequence[Reply]) -> list[str]:
        """The replies as the screen shows them; what large type holds back waits for "more"."""
        look = self.look
        self._held = look.held(replies)
        return look.rows(replies)
