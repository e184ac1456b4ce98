"""A window of its own for the tests: ``python tests/book/child.py PATH BATCH COUNT``.

Appends COUNT events to batch BATCH, each in a line of its own, judging a line anew when
another window was faster, and says the number of each once it is kept. COUNT 0: only opens
the book, says so, and waits to be ended.
"""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent.parent.parent))

from assistant.batches.events import Event
from assistant.book.store import Book, Moved
from tests.book.pieces import DAY, begin, remark


def main() -> None:
    """Writes; ends in the middle of it if it is killed."""
    path, batch, count = Path(sys.argv[1]), int(sys.argv[2]), int(sys.argv[3])
    with Book.open(path, patience=60) as book:
        if count == 0:
            say("open")
            sys.stdin.readline()
        for one in range(1, count + 1):
            event: Event = begin(batch) if one == 1 and batch not in book.shelf().titles else remark(str(one), batch)
            shelf = book.shelf()
            while True:
                try:
                    shelf = book.append(f"{batch} {one}", DAY, [event], shelf.head)
                    break
                except Moved:
                    shelf = book.shelf()
            if book.trouble:
                raise SystemExit(book.trouble)
            say(str(shelf.head))


def say(word: str) -> None:
    """One line out, at once."""
    sys.stdout.write(f"{word}\n")
    sys.stdout.flush()


if __name__ == "__main__":
    main()
