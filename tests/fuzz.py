"""Lines nobody would say, fed to the reader and to running talks. By hand, for minutes:

    python -m tests.fuzz --lines 200000 --seed 1

Four kinds in turn: bytes, a salad of known words and numbers, corpus lines with letters and
words moved about, and sentences drawn from the grammar itself. A line fails if anything is
raised, if a span lies outside the text, if a number that was typed is neither in the reading
nor named as not understood, or if no reply comes.
"""

from __future__ import annotations

import argparse
import json
import random
import sys
import time
from collections.abc import Callable, Iterator
from functools import lru_cache
from pathlib import Path

from assistant.replies import Reply
from grammar.reader import parser
from grammar.tokens import tokens
from grammar.types import Amount, Misread, Reading
from grammar.vocabulary import COMMANDS, vocabulary
from tests.helpers import talk

CORPUS = Path(__file__).parent / "corpus"
NUMERALS = (
    "3", "2.5", "2,5", "1,500", "0", "-4", "1/2", "2 1/4", "½", "three", "two and a half", "a dozen", "half", "1e9",
    "fifty", "one eighty", "three five", "99999999999999", "03/04/2026", "3 march", "the 5th", "2026-02-30", "a couple",
)  # fmt: skip
TURNS = 12
"""How many lines one talk runs on before a fresh one."""
BATCHES = ("new batch of 3 kg of cabbage in a 10 L crock at 2%", "new batch of 2 kg of reds in a 5 L jar at 3%")
"""What the talks begin with: no batch, one, or two, in turn."""


class Fault(AssertionError):
    """A line that broke a promise."""


@lru_cache(maxsize=1)
def corpus() -> tuple[str, ...]:
    """All lines of the corpus, with those said before them."""
    rows = [json.loads(row) for file in sorted(CORPUS.glob("*.jsonl")) for row in file.read_text("utf-8").splitlines()]
    return tuple(line for row in rows for line in (*row.get("before", ()), row["say"]))


@lru_cache(maxsize=1)
def surfaces() -> dict[str, tuple[str, ...]]:
    """Surface expressions by kind."""
    found: dict[str, list[str]] = {}
    for key, entry in vocabulary().entries.items():
        found.setdefault(entry.kind, []).append(" ".join(key))
    return {kind: tuple(words) for kind, words in found.items()}


@lru_cache(maxsize=1)
def known_words() -> tuple[str, ...]:
    """All surface expressions."""
    words = vocabulary()
    return (*(" ".join(key) for key in words.entries), *sorted(words.plain))


def some_bytes(source: random.Random) -> str:
    """Bytes, read as they come."""
    return source.randbytes(source.randint(0, 60)).decode("utf-8", "surrogateescape")


def salad(source: random.Random) -> str:
    """Known words, numbers and signs in any order."""
    parts = [
        source.choice((known_words(), NUMERALS, tuple("%.,;?!-/→:"), ("zorp", "blit")))
        for _ in range(source.randint(1, 14))
    ]
    return source.choice((" ", " ", "  ", "")).join(source.choice(part) for part in parts)


def mutated(source: random.Random) -> str:
    """A line of the corpus with letters changed, words dropped, doubled or moved."""
    line = source.choice(corpus())
    for _ in range(source.randint(1, 4)):
        words = line.split() or [""]
        at = source.randrange(len(words))
        way = source.randrange(6)
        if way == 0:
            words.pop(at)
        elif way == 1:
            words.insert(at, source.choice(source.choice(corpus()).split() or ["salt"]))
        elif way == 2:
            source.shuffle(words)
        elif way == 3 and words[at]:
            spot = source.randrange(len(words[at]))
            words[at] = words[at][:spot] + source.choice("abcdefghij 0123456789%.,'") + words[at][spot + 1 :]
        elif way == 4 and at + 1 < len(words):
            words[at : at + 2] = ["".join(words[at : at + 2])]
        else:
            words[at] = words[at].upper() if source.random() < 0.5 else words[at] + words[at]
        line = " ".join(words)
    return line


@lru_cache(maxsize=1)
def grammar_rules() -> dict[str, list[list[str]]]:
    """The rules of kitchen.lark: what each name may become."""
    rules: dict[str, list[list[str]]] = {}
    for rule in parser("").rules:
        rules.setdefault(rule.origin.name, []).append([one.name for one in rule.expansion])
    return rules


def drawn(source: random.Random) -> str:
    """A sentence that the grammar itself derives, its words from the vocabulary."""
    rules = grammar_rules()

    def derive(name: str, depth: int) -> str:
        options = rules[name]
        if depth > 9:
            least = min(len(one) for one in options)
            options = [one for one in options if len(one) == least]
        chosen = source.choice(options)
        return " ".join(derive(one, depth + 1) if one in rules else word(one) for one in chosen)

    def word(terminal: str) -> str:
        fixed: dict[str, tuple[str, ...]] = {
            "NUMBER": NUMERALS, "TAIL": ("and a half", "and a quarter"), "JOIN": ("",), "UPTO": ("to", "-"),
            "SEP": (",", ".", ";"), "UNKNOWN": ("zorp", "blit", "pepprs", "kilp"), "AND": ("and", "&"),
        }  # fmt: skip
        if terminal == "COMMAND":
            return source.choice(surfaces()[source.choice(sorted(COMMANDS))])
        return source.choice(fixed.get(terminal) or surfaces()[terminal.lower()])

    return " ".join(derive("part", 0) for _ in range(source.randint(1, 6)))


KINDS: tuple[Callable[[random.Random], str], ...] = (some_bytes, salad, mutated, drawn)


def covered(reading: Reading) -> list[tuple[int, int]]:
    """The places of the text that the reading accounts for."""
    every: list[Amount] = [each for one in (*reading.amounts, *reading.corrected) for each in (one, *one.rivals)]
    spans = [one.span for one in every]
    spans += [word.span for word in (*reading.all_words, *reading.left_over)]
    spans += [word.span for one in every for word in (one.noun, *one.others) if word is not None]
    return spans + [one.span for one in reading.repaired]


def check(line: str, reading: Reading | Misread, replies: tuple[Reply, ...]) -> None:
    """Whether the promises hold for a line.

    Raises:
        Fault: with the line and what is wrong.
    """
    if not replies or not all(one.text for one in replies):
        raise Fault(f"no reply to {line!r}")
    if isinstance(reading, Misread):
        if not 0 <= reading.span[0] <= reading.span[1] <= len(reading.text):
            raise Fault(f"a misreading outside {line!r}")
        return
    spans = covered(reading)
    if not all(0 <= start <= end <= len(reading.text) for start, end in spans):
        raise Fault(f"a span outside {line!r}")
    if reading.free:
        return  # "call it batch 3 of reds": a name is kept as it was said
    if reading.commands:
        return  # "undo 3": what is done is the command, and it is said
    for token in tokens(reading.text):
        digits = token.kind in ("number", "date") and any(sign.isdecimal() for sign in token.norm)
        if digits and not any(start <= token.span[0] < end for start, end in spans):
            raise Fault(f"{token.text!r} is lost in {line!r}: {reading.amounts}")


def lines(count: int, seed: int) -> Iterator[str]:
    """So many lines, the four kinds in turn, the same for the same seed."""
    source = random.Random(seed)  # noqa: S311 - not for secrets
    for number in range(count):
        yield KINDS[number % len(KINDS)](source)


def run(count: int, seed: int, progress: Callable[[int], None] | None = None) -> tuple[int, float]:
    """Feeds the lines to talks; returns how many, and the slowest microseconds per character.

    Raises:
        Fault: a promise was broken.
    """
    session, slowest = talk(), 0.0
    for number, line in enumerate(lines(count, seed)):
        if number % TURNS == 0:
            session = talk()
            for begun in BATCHES[: number // TURNS % 3]:
                session.say(begun)
        start = time.perf_counter()
        try:
            reading, replies = session.say(line)
        except Exception as error:
            raise Fault(f"{line!r} raised {error!r}") from error
        slowest = max(slowest, 1e6 * (time.perf_counter() - start) / max(len(line), 40))
        check(line, reading, replies)
        if progress is not None and number % 5000 == 0:
            progress(number)
    return count, slowest


def main() -> None:
    """Runs the fuzzer and says how it went."""
    options = argparse.ArgumentParser(description="feed nonsense to the reader and the talk")
    options.add_argument("--lines", type=int, default=20_000)
    options.add_argument("--seed", type=int, default=1)
    given = options.parse_args()
    started = time.perf_counter()
    count, slowest = run(given.lines, given.seed, lambda done: sys.stderr.write(f"\r{done} lines"))
    took = time.perf_counter() - started
    sys.stdout.write(f"{count} lines, no fault, {took:.0f} s, slowest {slowest:.0f} us a character\n")


if __name__ == "__main__":
    main()
