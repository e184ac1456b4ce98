"""What a screen can show: its width, colour, and which letters. Nothing heavy is imported here."""

from __future__ import annotations

import shutil
import textwrap


def width() -> int:
    """The terminal's width, between 40 and 100 columns."""
    return max(40, min(100, shutil.get_terminal_size((80, 24)).columns))


def ascii_only(stream: object) -> bool:
    """Whether a screen has no letters beyond ASCII to draw with."""
    return "utf" not in str(getattr(stream, "encoding", None) or "").lower()


def lines_of(text: str) -> list[str]:
    """A sentence of our own, wrapped to the screen."""
    return textwrap.wrap(text, width())


def faulty(what: str, error: Exception) -> str:
    """A fault of the program, told in one sentence where it struck; the talk goes on."""
    about = f"{type(error).__name__}: {error}".rstrip(": ")
    return f"{what} the program failed ({about}). What was entered before is kept."


def cut(text: str, room: int) -> str:
    """A text in one row of ``room`` columns: whole words and dots, and never a number without what follows it."""
    text = " ".join(text.split())
    if len(text) <= room:
        return text
    words = text.split()
    while words and len(" ".join(words)) + 4 > room:
        words.pop()
    # "1 lb 8 ..." or "under 4 ..." would be another number than was said
    while words and any(sign.isdigit() for sign in words[-1]):
        words.pop()
    return f"{' '.join(words)} ...".strip()
