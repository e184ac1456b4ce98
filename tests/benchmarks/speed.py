"""How fast a turn is, and how fast a cold answer, on this machine. Run by hand:

    python tests/benchmarks/speed.py

Prints p50 and p99 of a turn (reading and talking) over 1,000 varied sentences, and a cold
``crockside ask`` beside ``python -c "import pint; pint.UnitRegistry()"`` as a ratio; both
as multiples of a bare interpreter too. Before that a table of the time to read a sentence
by its length. Time it in a venv without the test extra: numpy, if
it is there, makes pint slower to import.
"""

from __future__ import annotations

import datetime
import random
import statistics
import subprocess
import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent.parent.parent))

from assistant.talk.state import Talk
from assistant.talk.turn import expecting, turn
from grammar.reader import read

DAY = datetime.date(2026, 3, 2)
PRODUCE = ("chillies", "red peppers", "habaneros", "cabbage", "carrots", "garlic", "jalapenos")
SHAPES = (
    "brine for {kg} kg of {produce} in a {l} L crock at {p}%",
    "how much salt for {kg} kilos of {produce}",
    "mash of {kg} kg of {produce} at {p} percent",
    "{p}% brine over {kg} kg of {produce} in a {l} l jar, please",
    "I've got {kg} kg of {produce} and {l} litres of water, {g} g of salt, what percent",
    "brine with {l} litres of water at {p}%",
    "I have {g} grams of salt left, how much {p}% brine can I make",
    "dilute {kg} kg from {q}% to {p}%",
    "raise {kg} kg from {p}% to {q}%",
    "mix {kg} kg at {p}% with {l} kg at {q}%",
    "how big a jar for {kg} kg of mash",
    "{g} g in ounces",
    "make it {kg} kg",
    "what about {p} percent",
    "why?",
    "brnie for {kg} kg of peppres at {p} percent",
    "three and a half pounds of {produce} in a half gallon jar, two and a half percent",
    "what's the weather like in the garden today",
)


def sentences(count: int) -> list[str]:
    """Varied sentences, the same every time."""
    source = random.Random(7)  # noqa: S311
    found = []
    for _ in range(count):
        p = round(source.uniform(1, 6), 1)
        found.append(
            source.choice(SHAPES).format(
                kg=round(source.uniform(0.3, 30), 2), l=source.randint(1, 60), p=p, q=round(p + 2, 1),
                g=source.randint(20, 900), produce=source.choice(PRODUCE),
            )
        )  # fmt: skip
    return found


def turns() -> tuple[float, float, float]:
    """p50, p99 and the longest turn in milliseconds, in one running talk."""
    talk = Talk()
    talk, _ = turn(talk, read("mash of 4 kg of chillies at 3%"), DAY)
    took = []
    for line in sentences(1000):
        start = time.perf_counter()
        talk, _ = turn(talk, read(line, expecting(talk)), DAY)
        took.append(1000 * (time.perf_counter() - start))
    took.sort()
    return statistics.median(took), took[989], took[-1]


def cold(*arguments: str, rounds: int = 9) -> float:
    """The median time of a fresh process in milliseconds."""
    took = []
    for _ in range(rounds):
        start = time.perf_counter()
        subprocess.run([sys.executable, *arguments], check=True, capture_output=True)
        took.append(1000 * (time.perf_counter() - start))
    return statistics.median(took)


LONG = (
    "for three kilos of peppers in the ten litre crock I want a brine of two and a half percent of everything please "
    "and the garlic weighs about two hundred grams so tell me how much salt and how much water goes in "
)


def lengths() -> list[tuple[int, float, float]]:
    """Words in a sentence, milliseconds to read it (the median of many), microseconds a word."""
    found = []
    for count in (8, 16, 32, 64, 128):
        line = " ".join((LONG * 4).split()[:count])
        took = []
        for _ in range(60):
            start = time.perf_counter()
            read(line)
            took.append(1000 * (time.perf_counter() - start))
        middle = statistics.median(took)
        found.append((count, middle, 1000 * middle / count))
    return found


def main() -> None:
    """Prints the tables."""
    sys.stdout.write("words in a sentence   read in   a word\n")
    for count, middle, each in lengths():
        sys.stdout.write(f"{count:19}   {middle:4.2f} ms   {each:3.0f} us\n")
    sys.stdout.write("\n")
    p50, p99, longest = turns()
    bare = cold("-c", "pass")
    pint = cold("-c", "import pint; pint.UnitRegistry()")
    ask = cold("-m", "assistant", "ask", "brine for 3 kg in a 10 L crock at 2.5%")
    rows = [
        ("turn p50", f"{p50:.2f} ms", ""),
        ("turn p99", f"{p99:.2f} ms", "aim: under 10 ms"),
        ("turn longest of 1000", f"{longest:.2f} ms", ""),
        ("bare interpreter", f"{bare:.0f} ms", "1"),
        ("import pint and its registry", f"{pint:.0f} ms", f"{pint / bare:.1f} x bare"),
        ("cold ask", f"{ask:.0f} ms", f"{ask / bare:.1f} x bare; {ask / pint:.2f} of pint (aim: at most 1)"),
    ]
    for name, took, note in rows:
        sys.stdout.write(f"{name:32} {took:>10}  {note}\n")


if __name__ == "__main__":
    main()
