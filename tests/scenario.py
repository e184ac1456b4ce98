"""The scenario files, and blessing them: run as a program it rewrites the wording of replies.

Their format stands in ``assistant/console/scenario.py``. Numbers and what must not occur are never touched:

    python -m tests.scenario --bless
"""

from __future__ import annotations

import contextlib
import sys
from collections.abc import Iterator
from pathlib import Path

from assistant.book.store import Book
from assistant.console import scenario as files
from assistant.console.scenario import DEMOS, Scenario, fits, opened, parse, shown, turns
from assistant.console.session import Session

FOLDER = Path(__file__).parent.parent / "scenarios"
FOLDERS = (FOLDER, DEMOS)


@contextlib.contextmanager
def session(scenario: Scenario, path: Path | None = None) -> Iterator[Session]:
    """A talk with the scenario's settings, over an empty book in memory or carried on from the book in a file."""
    with Book.open(path) as book:
        # a test need not wait for the disk
        book._db.execute("PRAGMA synchronous = OFF")
        started = opened(scenario, book)
        started.resume(book.start(fresh=False))
        yield started


def everything(*folders: Path) -> dict[str, Scenario]:
    """All scenarios of these folders, or of all, by title.

    Raises:
        ValueError: a title stands twice.
    """
    return files.everything([file for folder in folders or FOLDERS for file in sorted(folder.glob("*.chat"))])


def bless() -> int:
    """Rewrites the wording of every reply line that no longer holds. Returns how many files changed.

    Numbers, sources and what must not occur stay as they are; lines with ``...`` that still
    hold stay elided.
    """
    all_ = everything()
    changed = 0
    for file in (one for folder in FOLDERS for one in sorted(folder.glob("*.chat"))):
        lines = file.read_text(encoding="utf-8").splitlines()
        fresh: dict[int, list[str]] = {}
        drop: set[int] = set()
        for one in parse(file):
            with session(one) as talk:
                went = [(turn, own, talk.say(turn.say)[1]) for turn, own in turns(one, all_)]
            for turn, own, replies in went:
                if not own:
                    continue
                got = [shown(reply) for reply in replies]
                old = turn.replies
                keep = len(got) == len(old) and all(
                    k == kind and fits(w, text) for (k, w, _), (kind, text) in zip(old, got, strict=True)
                )
                if keep:
                    continue
                drop |= {line for _, _, line in old}
                kept = {(k, t): w for k, w, _ in old for kind, t in got if k == kind and fits(w, t)}
                fresh[turn.line] = [f"{kind}: {kept.get((kind, text), text)}" for kind, text in got]
        if fresh or drop:
            out: list[str] = []
            for index, line in enumerate(lines, start=1):
                if index not in drop:
                    out.append(line)
                out += fresh.get(index, [])
            file.write_text("\n".join(out) + "\n", encoding="utf-8")
            changed += 1
    return changed


if __name__ == "__main__":
    if sys.argv[1:] != ["--bless"]:
        sys.exit("usage: python -m tests.scenario --bless")
    sys.stdout.write(f"{bless()} files changed\n")
