"""How fast a cold answer, the first prompt, a turn and the live result are, on this machine. Run by hand:

    python tests/benchmarks/speed.py            # everything, about two minutes
    python tests/benchmarks/speed.py cold       # only the starts: "cold", "turn", "live", "length", in any order

- cold: a fresh ``crockside ask`` and a fresh chat up to its drawn prompt, beside ``python -c "import pint;
  pint.UnitRegistry()"`` and a bare interpreter, the processes taking turns so that all meet the same load; then where
  a cold answer's time goes.
- turn: reading and talking, p50 and p99, in a plain talk and in one over a book of 30 batches with a walk under way.
- live: the same for each beginning of 200 sentences, as it is typed letter by letter, the median of five processes.
- length: the time to read a sentence by its words.

Time it in a venv without the test extra: numpy, if it is there, makes pint slower to import. With
PYTHONDONTWRITEBYTECODE set and no .pyc files yet, every start compiles the program anew: the head says whether it is.
The cache folder is one of the benchmark's own, filled by a first start that is not counted.
"""

from __future__ import annotations

import datetime
import gc
import json
import os
import pty
import random
import re
import select
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent.parent.parent))

from assistant.batches.events import Add, Begin, Event, Place, Read
from assistant.batches.shelf import Shelf
from assistant.console.main import SELDOM
from assistant.talk.state import Talk
from assistant.talk.turn import expecting
from assistant.trade.mixture import produce
from assistant.walks.guide import turn
from grammar.later import make
from grammar.reader import read

ROOT = Path(__file__).parent.parent.parent
DAY = datetime.date(2026, 3, 2)
QUESTION = "brine for 3 kg in a 10 L crock at 2.5%"
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


def spoken(count: int) -> list[str]:
    """As many lines of the corpora: questions, things told of a batch, signs that something is wrong."""
    corpus = Path(__file__).parent.parent / "corpus"
    said = [
        json.loads(row)["say"]
        for name in ("heard", "told", "wrong")
        for row in (corpus / f"{name}.jsonl").read_text(encoding="utf-8").splitlines()
    ]
    return random.Random(7).sample(said, count)  # noqa: S311


def shelf() -> Shelf:
    """Thirty batches, the last of them of today."""
    events: list[Event] = []
    for at in range(30):
        day = DAY - datetime.timedelta(days=29 - at)
        events += [
            Begin(at + 1, day, "", f"lot {at + 1}", Place(f"the {5 + at} L crock", "crock", 5.0 + at)),
            Add(at + 1, day, "", "", "chillies", produce(3.0, "chilli"), True, "chilli"),
            Read(at + 1, day, "", "", "ph", 4.2, "meter", "yes"),
        ]
    return Shelf().with_events(events)


def on_a_walk() -> Talk:
    """A talk over thirty batches, on the first step of a walk."""
    talk, _ = turn(Talk().on(shelf()), read("walk me through my first brine"), DAY)
    if talk.now.walk is None:
        raise SystemExit("no walk was begun")
    return talk


def quantiles(took: list[float]) -> str:
    """p50, p99 and the longest, of times in seconds."""
    took = sorted(1000 * one for one in took)
    p50, p99, longest = statistics.median(took), took[int(len(took) * 0.99)], took[-1]
    return f"p50 {p50:5.2f} ms   p99 {p99:5.2f} ms   longest {longest:6.2f} ms"


def turns(talk: Talk, lines: Iterable[str], *, goes_on: bool = True) -> tuple[list[float], list[tuple[float, str]]]:
    """The time of each turn, reading included, and the three slowest lines; ``goes_on``: each after the one before.

    The time of the processor, so that what else runs on the machine does not count.
    """
    took = []
    for line in lines:
        start = time.process_time()
        after, _ = turn(talk, read(line, expecting(talk)), DAY)
        took.append((time.process_time() - start, line))
        talk = after if goes_on else talk
    return [one for one, _ in took], sorted(took, reverse=True)[:3]


def typed(lines: Iterable[str]) -> list[str]:
    """Every beginning of every line."""
    return [line[:end] for line in lines for end in range(1, len(line) + 1)]


def told(name: str, found: tuple[list[float], list[tuple[float, str]]]) -> None:
    """Prints what turns took."""
    took, slowest = found
    say(f"{name:46} {quantiles(took)}")
    for seconds, line in slowest:
        say(f"{'':46} {1000 * seconds:6.2f} ms: {line[:70]!r}")


def say(text: str) -> None:
    """One line of the report."""
    sys.stdout.write(f"{text}\n")
    sys.stdout.flush()


# fresh processes -------------------------------------------------------------------------------

ROUNDS = 15
ASK = ("-m", "assistant", "ask", QUESTION)
STARTS: dict[str, tuple[str, ...]] = {
    "bare interpreter": ("-c", "pass"),
    "import pint and its registry": ("-c", "import pint; pint.UnitRegistry()"),
    "cold ask": ASK,
}


def finished(arguments: Sequence[str], home: Path) -> float:
    """Seconds that a fresh process took to its end."""
    start = time.perf_counter()
    subprocess.run([sys.executable, *arguments], check=True, capture_output=True, cwd=ROOT, env=own(home))
    return time.perf_counter() - start


def own(home: Path) -> dict[str, str]:
    """The environment with folders of the benchmark's own, as the three systems name them."""
    names = ("XDG_CACHE_HOME", "XDG_DATA_HOME", "XDG_CONFIG_HOME", "XDG_STATE_HOME", "HOME", "LOCALAPPDATA", "APPDATA")
    return {**os.environ, **{name: str(home / name.lower()) for name in names}, "TERM": "xterm"}


def prompted(home: Path) -> float:
    """Seconds from the start of a chat in a terminal until its prompt is drawn; then it is left."""
    from assistant.console.chat import PROMPT

    shown, seen = PROMPT.strip().encode(), b""
    start = time.perf_counter()
    child, terminal = pty.fork()
    if not child:
        os.chdir(ROOT)
        os.execve(sys.executable, [sys.executable, "-m", "assistant"], own(home))  # noqa: S606
    took = 0.0
    while time.perf_counter() - start < 30:
        ready, _, _ = select.select([terminal], [], [], 1.0)
        try:
            more = os.read(terminal, 65536) if ready else b""
        except OSError:
            break  # the program has ended
        seen += more
        if b"\x1b[6n" in more:
            os.write(terminal, b"\x1b[1;1R")  # where the cursor is, as a terminal answers
        # colours and cursor movements may stand between the letters
        if not took and shown in re.sub(rb"\x1b\[[0-9;?]*[a-zA-Z]", b"", seen):
            took = time.perf_counter() - start
            os.write(terminal, b"\x04")
    os.close(terminal)
    os.waitpid(child, 0)
    if not took:
        raise SystemExit(f"no prompt was drawn: {seen[-300:]!r}")
    return took


def starts(home: Path) -> dict[str, list[float]]:
    """Seconds of every kind of start, taking turns; the first of each is not counted."""
    runs: dict[str, Callable[[], float]] = {
        name: (lambda arguments=arguments: finished(arguments, home)) for name, arguments in STARTS.items()
    }
    runs["first prompt"] = lambda: prompted(home)
    took: dict[str, list[float]] = {name: [] for name in runs}
    for at in range(ROUNDS + 1):
        for name, run in runs.items():
            seconds = run()
            if at:
                took[name].append(seconds)
    return took


WHERE = """
import sys, time
laps, last = [], time.perf_counter()
def lap(name):
    global last
    now = time.perf_counter()
    laps.append((name, now - last))
    last = time.perf_counter()
import argparse, dataclasses, datetime, pathlib, typing, json, textwrap, zlib
lap("the standard library's modules")
import platformdirs
lap("platformdirs")
import lark
lap("lark")
import grammar.reader
lap("the room grammar")
import assistant.trade
lap("the rooms declare and trade")
import assistant.talk.turn
lap("the rooms evaluate, rules, talk")
import assistant.walks.guide
lap("the room walks")
import assistant.console.main, assistant.console.once, assistant.console.session
lap("the room console")
from assistant.console.session import Session, prepare
import grammar.reader as reader, grammar.vocabulary, grammar.measures
prepare()
reader.parser(reader._tables)
lap("the parse tables")
grammar.vocabulary.vocabulary()
lap("the vocabulary")
grammar.measures.factors()
lap("the units")
say = sys.argv[1]
reader.read(say)
lap("reading the line, expressions compiled")
session = Session(datetime.date.today)
session.say(say)
lap("answering it, expressions compiled")
from assistant.console.lines import lines
lines(session.say(say)[1])
lap("the same line once more, and its lines of text")
for name, seconds in laps:
    print(f"{1000 * seconds:7.1f} ms  {name}")
"""


def cold(home: Path) -> None:
    """Prints the starts as multiples of a bare one and of pint, and where a cold answer's time goes."""
    written = "not " if os.environ.get("PYTHONDONTWRITEBYTECODE") else ""
    say(f"Python {sys.version.split()[0]}, .pyc files {written}written, load {os.getloadavg()[0]:.1f}")
    took = starts(home)
    bare, pint = (took[name] for name in ("bare interpreter", "import pint and its registry"))
    for name, one in took.items():
        ratios = [
            f"{of(one) / of(bare):5.1f} x bare, {of(one) / of(pint):.2f} of pint" for of in (statistics.median, min)
        ]
        say(
            f"{name:30} median {1000 * statistics.median(one):4.0f} ms ({ratios[0]})   "
            f"least {1000 * min(one):4.0f} ms ({ratios[1]})"
        )
    say("\nwhere a cold answer's time goes, after the interpreter's own")
    for _ in range(3):
        where = subprocess.run(
            [sys.executable, "-c", WHERE, QUESTION], check=True, capture_output=True, text=True, cwd=ROOT, env=own(home)
        )
    sys.stdout.write(f"{where.stdout}\n")


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


def length(_home: Path) -> None:
    """Prints the time to read by length."""
    say("words in a sentence   read in   a word")
    for count, middle, each in lengths():
        say(f"{count:19}   {middle:4.2f} ms   {each:3.0f} us")
    say("")


def talking(_home: Path) -> None:
    """Prints what turns take."""
    turns(on_a_walk(), sentences(30))  # everything loaded, every common expression compiled
    told("a turn, made-up questions, one talk", turns(Talk(), sentences(1000)))
    told("a turn, the corpora, one talk", turns(Talk(), spoken(600)))
    told("a turn, the corpora, 30 batches and a walk", turns(on_a_walk(), spoken(600), goes_on=False))
    say("")


def keys(talk: Talk) -> list[float]:
    """The time of each key of the live result, everything made that the chat makes while nobody waits."""
    from assistant.console.engine import WARM
    from assistant.rules.glossary import glossary

    glossary()
    while make(100):
        pass
    turns(talk, WARM, goes_on=False)
    beginnings = typed(spoken(200))
    turns(talk, beginnings[:500], goes_on=False)
    took = []
    for line in beginnings:
        start = time.process_time()
        turn(talk, read(line, expecting(talk)), DAY)
        took.append(time.process_time() - start)
    return took


def live(_home: Path) -> None:
    """Prints what the live result takes at each key: the median of as many fresh processes, so that what else the
    machine did in one of them does not count."""
    beginnings = typed(spoken(200))
    say(f"a key of {len(beginnings)} beginnings of 200 lines, each the median of {PROCESSES} processes")
    for name in TALKS:
        runs = [
            json.loads(subprocess.run([sys.executable, __file__, "keys", name], check=True, capture_output=True,
                                      text=True, cwd=ROOT).stdout)
            for _ in range(PROCESSES)
        ]  # fmt: skip
        took = [statistics.median(each) for each in zip(*runs, strict=True)]
        told(name, (took, sorted(zip(took, beginnings, strict=True), reverse=True)[:3]))
    say("")


PROCESSES = 5
TALKS: dict[str, Callable[[], Talk]] = {"a key, plain": Talk, "a key, 30 batches and a walk": on_a_walk}
PARTS = {"cold": cold, "length": length, "turn": talking, "live": live}


def main(wanted: Sequence[str]) -> None:
    """Prints the tables that are asked for, or all."""
    gc.set_threshold(*SELDOM)  # as the command does
    if wanted[:1] == ["keys"]:
        say(json.dumps(keys(TALKS[wanted[1]]())))
        return
    home = Path(tempfile.mkdtemp())
    try:
        for name in wanted or PARTS:
            PARTS[name](home)
    finally:
        shutil.rmtree(home)


if __name__ == "__main__":
    main(sys.argv[1:])
