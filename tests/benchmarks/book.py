"""How fast the book opens, however full it is, on this machine. Run by hand:

    python tests/benchmarks/book.py

For books of 100, 10,000 and 100,000 events, all of one batch or 50 of each: the time to open
the file and make its shelf, then to look at the batch written to last,
then to list all titles, then to append an event (synced to disk), then a whole turn that enters a
reading and one that asks about the batch (both after a first turn, which looks at the batch);
each the median of several, the file closed in between. Opening must not grow with the book.
The last columns are what the file weighs, and the time to check the whole of it.
"""

from __future__ import annotations

import datetime
import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

sys.path.insert(0, str(Path(__file__).parent.parent.parent))

from assistant.batches.events import Add, Begin, Event, Place, Read, Remark
from assistant.batches.shelf import Shelf
from assistant.book.store import Book
from assistant.console.session import Session
from assistant.replies import Answer
from assistant.trade.mixture import produce

DAY = datetime.date(2026, 3, 2)
LATER = datetime.date(2100, 1, 1)
ROUNDS = 9
Result = TypeVar("Result")


def event(number: int, each: int) -> Event:
    """The event of that number: every batch is begun, filled, then mostly read."""
    batch, at = divmod(number, each)
    batch, day = batch + 1, DAY + datetime.timedelta(days=at // 4)
    if at == 0:
        return Begin(batch, day, f"begin batch {batch}", f"batch of {batch}", Place("the 8 L crock", "crock", 8.0))
    if at == 1 or at % 100 == 99:
        return Add(batch, day, "3 kg of chillies", "", "chillies", produce(0.3, "chilli"), True, "chilli")
    if at % 10 == 9:
        return Remark(batch, day, "white film skimmed", "white film skimmed")
    return Read(batch, day, "pH 4.2", "", "ph", round(4 + at % 100 / 100, 2), "meter", "yes")


def filled(path: Path, count: int, each: int) -> None:
    """Writes a book in lines of up to 400 events."""
    with Book.open(path) as book:
        shelf = book.shelf()
        for start in range(0, count, 400):
            events = [event(one, each) for one in range(start, min(start + 400, count))]
            shelf = book.append("so", DAY, events, shelf.head)
            if book.trouble:
                raise SystemExit(book.trouble)


def timed(job: Callable[..., Result], *args: object) -> tuple[float, Result]:
    """Milliseconds that it takes, and what it gives."""
    start = time.perf_counter()
    found = job(*args)
    return 1000 * (time.perf_counter() - start), found


def opened(path: Path) -> tuple[Book, Shelf]:
    """The book, and all its batches unread."""
    book = Book.open(path)
    return book, book.shelf()


def said(session: Session, line: str, kind: type) -> None:
    """A line that must be answered so."""
    _, replies = session.say(line)
    if not any(isinstance(one, kind) for one in replies):
        raise SystemExit(f"{line}: {replies}")


def row(path: Path, count: int, each: int) -> str:
    """One row of the table."""
    fill, _ = timed(filled, path, count, each)
    took: list[tuple[float, float, float, float, float, float]] = []
    for _ in range(ROUNDS):
        opening, (book, shelf) = timed(opened, path)
        look, _ = timed(shelf.batch, shelf.latest)
        titles, _ = timed(lambda one: one.recent, shelf)
        append, _ = timed(book.append, "so", DAY, [Remark(shelf.latest, DAY, "so", "so")], shelf.head)
        session = Session(lambda: LATER, book)
        session.say("what's in it")
        tell, _ = timed(said, session, "pH 3.9 by meter", Answer)
        ask, _ = timed(said, session, "how salty is it", Answer)
        took.append((opening, look, titles, append, tell, ask))
        book.close()
    with Book.open(path) as book:
        check, found = timed(book.check)
        if found:
            raise SystemExit(found[0])
    middle = "".join(f"{statistics.median(one):10.2f}" for one in zip(*took, strict=True))
    size = path.stat().st_size / 1e6
    shape = "one batch" if each >= count else f"{each} each"
    return f"{count:8} {shape:>10} {middle} {size:8.1f} {check / 1000:8.1f} {fill / 1000:8.1f}"


def main() -> None:
    """Prints the table."""
    heads = ("open ms", "batch ms", "titles ms", "append ms", "tell ms", "ask ms")
    sys.stdout.write(f"{'events':>8} {'':>10} {''.join(f'{one:>10}' for one in heads)}       MB  check s   fill s\n")
    with tempfile.TemporaryDirectory() as folder:
        for count in (100, 10_000, 100_000):
            for each in (count, 50):
                sys.stdout.write(f"{row(Path(folder) / f'{count}-{each}.db', count, each)}\n")
                sys.stdout.flush()


if __name__ == "__main__":
    main()
