"""What a screen can show: its width, colour, and which letters. Nothing heavy is imported here."""

from __future__ import annotations

import re
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
    return wrapped(text, width())


_UNIT = r"(?<=\d) (?=(?:%|[^\W\d_]{1,3})(?![^\W\d_]))"
"""The space between a number and a short word after it, which is its unit more often than not."""
_JOINED = "\N{NO-BREAK SPACE}"


def wrapped(text: str, room: int, margin: str = "") -> list[str]:
    """A text in rows, parted between words and never between a number and its unit; a longer word is broken."""
    text = re.sub(_UNIT, _JOINED, text)
    rows = textwrap.wrap(text, max(room, 1), break_on_hyphens=False, initial_indent=margin, subsequent_indent=margin)
    return [one.replace(_JOINED, " ") for one in rows]


def faulty(what: str, error: Exception) -> str:
    """A fault of the program, told in one sentence where it struck; the talk goes on."""
    about = f"{type(error).__name__}: {error}".rstrip(": ")
    return f"{what} the program failed ({about}). What was entered before is kept."


def cut(text: str, room: int, rows: int = 1) -> str:
    """A text in so many rows of ``room`` columns: whole words and dots, and never a part of an amount."""
    words = text.split()
    if _fits(words, room, rows):
        return " ".join(words)
    kept = words[: room * rows]
    while kept and not _fits([*kept, "..."], room, rows):
        kept.pop()
    # "1 lb ..." of "1 lb 8 oz", or "under 4 ...", would be another number than was said
    while kept and (_numbered(kept[-1]) or _goes_on(kept, words[len(kept)])):
        kept.pop()
    return " ".join([*kept, "..."])


def _fits(words: list[str], room: int, rows: int) -> bool:
    return len(wrapped(" ".join(words), room)) <= rows and all(len(one) <= room for one in words)


def _numbered(word: str) -> bool:
    return any(sign.isdigit() for sign in word)


def _goes_on(kept: list[str], after: str) -> bool:
    """Whether an amount goes on after the cut: "1 lb" before "8 oz", "2 hours" before "and 5 minutes"."""
    measured = len(kept) > 1 and _numbered(kept[-2]) and kept[-1].isalpha()
    return kept[-1] in _BETWEEN or (measured and (after[0].isdigit() or after in _BETWEEN))


_BETWEEN = ("and", "to", "or", "-")
"""Words between two parts of an amount."""
