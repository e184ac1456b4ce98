"""How fast the chat is at its keys: the first prompt on a terminal, and the look ahead at each letter.

    python tests/benchmarks/screen.py

The first prompt is timed in a pseudo-terminal from the start of the process to the prompt's letters, beside a bare
python and one that imports the units library alone. The look ahead is timed without its pause, letter by letter.
"""

from __future__ import annotations

import datetime
import os
import pty
import statistics
import sys
import tempfile
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent.parent.parent))

from assistant.console import live
from assistant.console.session import Session, prepare

ROOT = Path(__file__).parent.parent.parent
ROUNDS = 5
LINES = (
    "brine for 3 kg of peppers in a 10 L crock at 2.5%",
    "mash of four and a half pounds of reds and 6 oz of garlic at three percent",
    "3 kg of sauce at 3% salt, want 2% salt and 1% acetic, with 5% vinegar and water",
    "walk me through a first ferment", "100 bottles of 150 ml by Christmas", "hold 75 C for ten minutes at pH 3.8",
    "white skin on top", "packed 4 kg of chillies at 3%", "what about 3 percent", "how long do I boil jars",
    "bench trial on 100 g: 0 g 3.9, 2 g 3.75, 4 g 3.6, want 3.7 in 6 kg", "remind me in half an hour to stir",
)  # fmt: skip


def until(wanted: bytes, *command: str) -> float:
    """Seconds from the start of a program on a terminal until it has written something."""
    start = time.perf_counter()
    pid, file = pty.fork()
    if not pid:
        os.chdir(ROOT)
        os.execv(sys.executable, [sys.executable, *command])  # noqa: S606
    seen = b""
    while wanted not in seen:
        more = os.read(file, 65536)
        seen += more
        if b"\x1b[6n" in more:  # where is the cursor? a terminal answers
            os.write(file, b"\x1b[1;1R")
    took = time.perf_counter() - start
    os.kill(pid, 9)
    os.waitpid(pid, 0)
    os.close(file)
    return took


def row(name: str, times: list[float]) -> None:
    """Prints the middle, the 99th of a hundred and the worst in ms."""
    ordered = sorted(times)
    worst = ordered[min(len(ordered) - 1, round(0.99 * len(ordered)))]
    print(f"{name:44} {1e3 * statistics.median(ordered):8.1f} {1e3 * worst:8.1f} {1e3 * ordered[-1]:8.1f}  ms")


def main() -> None:
    """Prints the table."""
    print(f"{'':44} {'median':>8} {'p99':>8} {'worst':>8}")
    with tempfile.TemporaryDirectory() as folder:
        book = str(Path(folder) / "a.book")
        programs = {
            "bare python": (b"say:", "-c", "print('say:')"),
            "python and the units library": (b"say:", "-c", "import pint; print('say:')"),
            "python and the prompt library": (b"say:", "-c", "import prompt_toolkit; print('say:')"),
            "the first prompt": (b"say:", "-m", "assistant", "--book", book),
            "the talk loaded behind it": (b"Ctrl-D", "-m", "assistant", "--book", book),
        }
        for name, (wanted, *command) in programs.items():
            until(wanted, *command)
            row(name, [until(wanted, *command) for _ in range(ROUNDS)])
    prepare()
    session = Session(lambda: datetime.date(2026, 3, 2))
    session.say(LINES[0])
    times: dict[str, list[float]] = {"first": [], "again": []}
    for taken in times.values():
        for line in LINES:
            for end in range(1, len(line) + 1):
                start = time.perf_counter()
                before = session.talk.on(session.now.shelf)
                live.glance(before, *session.tried(line[:end]))
                taken.append(time.perf_counter() - start)
    row("the look ahead, each letter for the first time", times["first"])
    row("the look ahead, each letter once more", times["again"])


if __name__ == "__main__":
    main()
