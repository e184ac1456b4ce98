"""A talk killed at any moment: what was acknowledged is in the book, and the talk goes on from there.

Each run talks through a pipe to a program of its own and ends it with SIGKILL after some of the
answers have come, anywhere from the start to the end. By hand, for as long as one likes:

    CROCKSIDE_KILLS=500 python -m pytest -q tests/console/test_kill.py -s
"""

from __future__ import annotations

import collections
import json
import os
import random
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from assistant.book.store import Book
from assistant.console.session import Session
from tests.console.pieces import whole
from tests.helpers import DAY

ROOT = Path(__file__).parent.parent.parent
KILLS = int(os.environ.get("CROCKSIDE_KILLS", "20"))
SCRIPT = (
    "mash of 2 kg of chillies at 3%", "make it 900 g", "packed it", "call it Ember", "21 degrees in here",
    "pH 4.9 by meter", "undo", "redo", "new batch of 3 kg of cabbage in a 10 L crock at 2%", "why?",
    "added 200 g of garlic", "2%", "undo", "undo", "the Ember one", "added 300 g of garlic at 3%", "what's in it",
    "moved it to a 5 L jar", "took a 50 g sample", "brine for 2.3 kg of cabbage", "7 L crock", "2.25%",
    "the cabbage one", "pH 4.2 by meter", "skimmed white film", "undo", "split it into two pots",
)  # fmt: skip
"""Questions and entries in two batches, with undo and redo of both."""


def killed(path: Path, source: random.Random) -> int:
    """A run of the script that is killed somewhere; how many lines were acknowledged before the end."""
    with subprocess.Popen(
        [sys.executable, "-m", "assistant", "--book", str(path), "chat", "--json"],
        stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE, cwd=ROOT,
    ) as talk:  # fmt: skip
        assert talk.stdin is not None
        assert talk.stdout is not None
        assert talk.stderr is not None
        # all lines at once, so that it is at work whenever it is killed
        talk.stdin.write("".join(f"{line}\n" for line in SCRIPT).encode())
        talk.stdin.flush()
        answers = [talk.stdout.readline() for _ in range(source.randrange(len(SCRIPT)))]
        # before the first answer it has to start
        most = 0.02 if answers else 1.0
        time.sleep(source.choice((0, source.uniform(0, most / 10), source.uniform(0, most))))
        talk.kill()
        answers += talk.stdout.read().splitlines(keepends=True)
        assert b"" == talk.stderr.read()
        assert -signal.SIGKILL == talk.wait()
    told = [json.loads(one)["say"] for one in answers if one.endswith(b"\n")]
    assert list(SCRIPT[: len(told)]) == told
    return len(told)


def check(path: Path, acknowledged: int) -> int:
    """Whether the book holds what was acknowledged, or one line more; how many lines it holds."""
    with Book.open(path) as book:
        assert ("", "", []) == (book.trouble, book.notice, book.check())
        lines = book.start(fresh=False)
        kept = len(lines)
        assert acknowledged <= kept <= acknowledged + 1
        assert list(SCRIPT[:kept]) == [say for say, _, _ in lines]
        # the days are those of the program's clock
        last = lines[-1][1] if lines else DAY
        days = iter([*(day for _, day, _ in lines), last])
        with Book.open(None) as other:
            expected = Session(lambda: next(days), other)
            for line in SCRIPT[:kept]:
                expected.say(line)
            assert other.events() == book.events()
            again = Session(lambda: last, book)
            again.resume(lines)
            assert whole(expected.talk) == whole(again.talk)
            assert expected.say("undo")[1] == again.say("undo")[1]
            assert other.events() == book.events()
    return kept


def test_the_script_enters_much() -> None:
    """The script that is killed has events in most of its lines, of two batches, some taken back."""
    with Book.open(None) as book:
        session = Session(lambda: DAY, book)
        wrote = []
        for line in SCRIPT:
            _, replies = session.say(line)
            assert not {one.kind for one in replies} & {"misread", "refuse"}, line
            wrote.append(len(session.talk.wrote))
        assert {"undo", "redo", "begin", "add", "read", "move", "take", "call", "remark", "share"} <= {
            one.kind for _, one in book.events()
        }
    assert len([one for one in wrote if one]) >= 15


def test_no_acknowledged_line_is_lost(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """However often it is killed: every acknowledged line and every event of it is there, in order and nothing twice,
    and the talk is where those lines had taken it, or one line on."""
    started, seen = time.monotonic(), collections.Counter[str]()
    for run in range(KILLS):
        path = tmp_path / f"{run}.book"
        acknowledged = killed(path, random.Random(run))  # noqa: S311 - not for secrets
        kept = check(path, acknowledged)
        seen["a line more" if kept > acknowledged else "as acknowledged"] += 1
        seen["in the middle"] += acknowledged < len(SCRIPT)
        for one in tmp_path.glob(f"{run}.book*"):
            one.unlink()
    assert KILLS == seen["a line more"] + seen["as acknowledged"]
    with capsys.disabled():
        if "CROCKSIDE_KILLS" in os.environ:
            sys.stdout.write(f"\n{KILLS} kills in {time.monotonic() - started:.0f} s: {dict(seen)}\n")
