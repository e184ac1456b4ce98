"""How fast a probe's log of a million rows is read and judged, on this machine. Run by hand:

    python tests/benchmarks/heat.py [ROWS]

Prints the seconds of each step, beside what splitting the lines and turning one column into numbers takes alone.
"""

from __future__ import annotations

import datetime
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

sys.path.insert(0, str(Path(__file__).parent.parent.parent))

from assistant.talk import heated
from assistant.talk.state import State
from assistant.trade.lethality import LOW_PH, Curve, counted, thinned
from grammar.logged import table

Found = TypeVar("Found")


def log(rows: int) -> str:
    """A reading a second: half the time heating up, half of it hot."""
    start = datetime.datetime(2026, 3, 2, 9, 0, 0)
    lines = ["Time,Temp (C),Humidity (%)"]
    for at in range(rows):
        value = 20 + 55 * min(1, 2 * at / rows) + 0.3 * (at % 3)
        lines.append(f"{start + datetime.timedelta(seconds=at)},{value:.2f},44.5")
    return "\n".join(lines)


def timed(name: str, work: Callable[[], Found]) -> Found:
    """Does the work and prints how long it took."""
    start = time.perf_counter()
    found = work()
    print(f"{name:42} {time.perf_counter() - start:6.2f} s")
    return found


def main() -> None:
    """Prints the table."""
    rows = int(sys.argv[1]) if len(sys.argv) > 1 else 1_000_000
    text = log(rows)
    timed(
        "bare: split lines and cells, one float each", lambda: [float(x.split(",")[1]) for x in text.splitlines()[1:]]
    )
    course = timed("read the log", lambda: table(text))
    curve = Curve(course.minutes, course.degrees)
    timed("gaps and spikes", lambda: counted(curve))
    timed("gaps, spikes and lethality", lambda: counted(Curve(course.minutes, course.degrees)).worth(LOW_PH))
    timed("thin out to draw", lambda: thinned(curve))
    timed("the whole answer, after reading", lambda: heated.begun(State(), course, 4.0))


if __name__ == "__main__":
    main()
