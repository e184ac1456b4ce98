"""What is said where nothing was understood: wrong phrases by reason, each with its message as a person sees it.

``tests/misread/*.txt``, one reason a file: ``> what was typed``, then the screen, each line after ``|``.
Run as a program to write the messages anew after a change of wording, and read every one:

    python -m tests.misread --bless
"""

from __future__ import annotations

import sys
from pathlib import Path

from assistant.console.lines import caret, lines
from assistant.replies import NotRead
from tests.helpers import talk

FOLDER = Path(__file__).parent / "misread"
PROMPT, WIDTH = 2, 80


def screen(say: str) -> list[str]:
    """The lines a person sees below what was typed after a prompt of two columns."""
    _, replies = talk().say(say)
    pointed = [caret(say, one, PROMPT, WIDTH) for one in replies if isinstance(one, NotRead)]
    return [*(one for one in pointed[:1] if one), *lines(replies, WIDTH)]


def entries(file: Path) -> list[tuple[str, list[str]]]:
    """The phrases of a file with their screens."""
    found: list[tuple[str, list[str]]] = []
    for row in file.read_text(encoding="utf-8").splitlines():
        if row.startswith("> "):
            found.append((row[2:], []))
        elif row.startswith("|"):
            found[-1][1].append(row[1:])
    return found


def bless() -> int:
    """Writes every message anew; returns how many files changed."""
    changed = 0
    for file in sorted(FOLDER.glob("*.txt")):
        before = file.read_text(encoding="utf-8")
        rows: list[str] = []
        for row in before.splitlines():
            if not row.startswith("|"):
                rows.append(row)
            if row.startswith("> "):
                rows += [f"|{line}" for line in screen(row[2:])]
        after = "\n".join(rows) + "\n"
        if after != before:
            file.write_text(after, encoding="utf-8")
            changed += 1
    return changed


if __name__ == "__main__" and "--bless" in sys.argv:
    sys.stdout.write(f"{bless()} files changed\n")
