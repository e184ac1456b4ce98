"""Windows at the same time, and windows killed: nothing that was acknowledged is lost, nothing is told twice.

The number of kills is that of the environment variable CROCKSIDE_KILLS, 25 if it is not set:

    CROCKSIDE_KILLS=500 python -m pytest tests/book/test_together.py -k killed
"""

from __future__ import annotations

import os
import random
import subprocess
import sys
import threading
from contextlib import closing
from pathlib import Path

import pytest

from assistant.batches.shelf import Shelf
from assistant.book.store import Book
from tests.book.pieces import alike, begin, put

CHILD = Path(__file__).parent / "child.py"
KILLS = int(os.environ.get("CROCKSIDE_KILLS", "25"))
EACH = 1000


def started(path: Path, batch: int, count: int) -> subprocess.Popen[str]:
    """A window in a process of its own that appends so many events to a batch."""
    return subprocess.Popen(
        [sys.executable, str(CHILD), str(path), str(batch), str(count)], stdout=subprocess.PIPE, text=True
    )


@pytest.mark.parametrize("batches", [(1, 2), (1, 1)], ids=["a batch each", "the same batch"])
def test_two_windows_write_one_book(batches: tuple[int, int], tmp_path: Path) -> None:
    """Two processes append 1,000 events each: 2,000 are there, each window's in its order, each once."""
    path = tmp_path / "book.db"
    with Book.open(path) as book:
        put(book, begin(1), begin(2))
    children = [started(path, batch, EACH) for batch in batches]
    told = [[int(line) for line in one.communicate(timeout=300)[0].split()] for one in children]
    assert [0, 0] == [one.returncode for one in children]
    with closing(Book.open(path)) as book:
        found = book.events()
        assert list(range(1, 2 * EACH + 3)) == [seq for seq, _ in found] == sorted([1, 2, *told[0], *told[1]])
        for numbers in told:
            assert [str(one) for one in range(1, EACH + 1)] == [found[seq - 1][1].said for seq in sorted(numbers)]
            assert numbers == sorted(numbers)
        assert alike(Shelf().with_events(one for _, one in found)) == alike(book.shelf())
        lines = [say for (say,) in book._db.execute("SELECT say FROM lines WHERE id > 2")]
        assert 2 * EACH == len(lines)
        assert [] == book.check()


def test_no_acknowledged_line_is_lost_when_the_window_is_killed(tmp_path: Path) -> None:
    """Killed at any moment, a window leaves every line it had acknowledged, with its event, in a sound book."""
    path = tmp_path / "book.db"
    chance = random.Random(4)  # noqa: S311
    acknowledged: list[int] = []
    with Book.open(path) as book:
        head = put(book, begin()).head
    for run in range(KILLS):
        with started(path, 1, 100_000) as child:
            assert child.stdout is not None
            acknowledged.append(int(child.stdout.readline()))
            end = threading.Timer(chance.uniform(0, 0.15), child.kill)
            end.start()
            acknowledged += [int(line) for line in child.stdout if line.endswith("\n")]
            end.join()
        with closing(Book.open(path)) as book:
            assert "" == book.trouble == book.notice, run
            last, head = head, book.shelf().head
            assert acknowledged[-1] <= head, run
            assert list(range(last + 1, head + 1)) == [seq for seq, _ in book.events(after=last)], run
            heads = book._db.execute("SELECT head FROM lines WHERE head >= ? ORDER BY id", (last,))
            assert list(range(last, head)) == [after for (after,) in heads], run
            assert book.shelf().accounts[1].now.count == head, run
    with closing(Book.open(path)) as book:
        assert {seq for seq, _ in book.events()}.issuperset(acknowledged)
        assert [] == book.check()
    assert KILLS < len(acknowledged) == len(set(acknowledged))
