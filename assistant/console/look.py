"""How replies look to this person: colours, large type, or plain lines for a screen reader."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from assistant.console import large, named
from assistant.console.lines import TONES, lines
from assistant.console.settings import Settings
from assistant.replies import Reply


@dataclass(frozen=True)
class Look:
    """How to show replies.

    Attributes:
        width: columns.
        shade: "none", "dark", "light", or "both" where nobody knows what the screen is like.
        ascii: there are no letters beyond ASCII to draw with.
        plain: for a screen reader.
        large: large type.
        height: rows of the screen.
    """

    width: int = 80
    shade: str = "none"
    ascii: bool = False
    plain: bool = False
    large: bool = False
    height: int = 24

    def rows(self, replies: Sequence[Reply]) -> list[str]:
        """The replies as lines for the screen."""
        if self.large and not self.plain:
            return large.rows(replies, self.width, self.shade, self.ascii, self.height)
        if self.plain:
            kept, held = large.short(replies) if self.large else (list(replies), [])
            more = [large.offer(held)] if held else []
            return named.rows([*kept, *more], self.width)
        return self.whole(replies)

    def at_once(self, replies: Sequence[Reply]) -> list[str]:
        """The replies where nobody can say "more": large type draws, and the rest follows."""
        kept, held = large.short(replies) if self.large else (replies, [])
        return [*self.rows(kept), *self.whole(held)]

    def whole(self, replies: Sequence[Reply]) -> list[str]:
        """The replies with nothing held back: what "more" gives in large type."""
        if self.plain:
            return named.rows(replies, self.width)
        return lines(replies, self.width, self.shade != "none", self.ascii, TONES.get(self.shade))

    def held(self, replies: Sequence[Reply]) -> list[Reply]:
        """What large type held back of these replies."""
        return large.short(replies)[1] if self.large else []

    def own(self, text: str) -> list[str]:
        """A sentence of the program's own, wrapped."""
        return named.own(text, self.width) if self.plain else large.wrapped(text, self.width)


def look(
    settings: Settings, terminal: bool, size: tuple[int, int], ascii_only: bool, environment: Mapping[str, str]
) -> Look:
    """The look for a stream of so many columns and rows: no colour where it is no terminal, or one that has none."""
    shade = settings.shade
    if not terminal or environment.get("TERM") == "dumb" or settings.plain:
        shade = "none"
    elif shade == "auto":
        shade = ground(environment.get("COLORFGBG", ""))
    return Look(size[0], shade, ascii_only, settings.plain, settings.large, size[1])


def ground(colours: str) -> str:
    """What a terminal says of its own ground in COLORFGBG ("15;0"): "dark", "light", or "both" if it says nothing."""
    last = colours.rsplit(";", maxsplit=1)[-1]
    if not last.isdecimal() or len(last) > 2:
        return "both"
    return "light" if int(last) in (7, *range(9, 16)) else "dark"
