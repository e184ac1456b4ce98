"""Lines that tell of a batch, as the corpus writes what they enter.

python -m tests.told < lines.jsonl      writes each line with what it enters now, for review
"""

from __future__ import annotations

import datetime
import json
import sys
from functools import cache
from typing import Any

from assistant.batches import events as ev
from assistant.console.session import Session

TODAY = datetime.date(2025, 10, 14)
BEFORE = (
    (datetime.date(2025, 8, 1), "new batch of garlic in the small jar"),
    (datetime.date(2025, 8, 1), "packed 500 g of garlic and 100 g of carrots at 3%"),
    (datetime.date(2025, 8, 1), "call it Bonfire"),
    (datetime.date(2025, 9, 1), "new batch of carrots in the 5 L crock"),
    (datetime.date(2025, 9, 1), "packed 3 kg of carrots at 2.5%"),
    (datetime.date(2025, 9, 20), "new batch of reds in the 20 L crock"),
    (datetime.date(2025, 9, 20), "packed 10 kg of reds at 3% with 2 L of water"),
    (datetime.date(2025, 9, 26), "pH 4.1 by meter"),
)
"""The talk that every line of the corpus is said in; the last batch is open."""


@cache
def _before() -> Session:
    clock = [TODAY]
    session = Session(lambda: clock[0])
    for clock[0], line in BEFORE:
        session.say(line)
    return session


def entered(say: str, before: tuple[str, ...] = ()) -> tuple[list[list[Any]], str]:
    """What a line enters, each event in short, and the kinds of its replies."""
    session = Session(lambda: TODAY)
    session.talk, session.book = _before().talk, type(session.book)()
    session.book._shelf = _before().book.shelf()  # type: ignore[attr-defined]
    for line in before:
        session.say(line)
    _, replies = session.say(say)
    return [short(one) for one in session.talk.wrote], " ".join(dict.fromkeys(one.kind for one in replies))


def short(event: ev.Event) -> list[Any]:
    """An event in short: its kind, its numbers (kg to the tenth of a gram), and its day if it is not today."""
    found: list[Any] = [event.kind]
    if isinstance(event, ev.Add):
        found += [event.what, round(event.mix.mass, 4), event.vessel]
    elif isinstance(event, ev.Take):
        found += [event.why, round(event.mix.mass, 4), event.vessel]
    elif isinstance(event, ev.Begin):
        found += [event.name, event.place.label, round(event.place.capacity, 4)]
    elif isinstance(event, ev.Move):
        found += [event.vessel, event.to.label, round(event.to.capacity, 4)]
    elif isinstance(event, ev.Share):
        found += [event.to.label, round(event.mix.mass, 4)]
    elif isinstance(event, ev.Boil):
        found += [round(event.water, 4)]
    elif isinstance(event, ev.Read):
        found += [event.of, round(event.value, 3), event.method, event.calibrated]
    elif isinstance(event, ev.Call):
        found += [event.name]
    elif isinstance(event, ev.Close):
        found += [event.why]
    elif isinstance(event, ev.Bottle):
        found += [event.count, round(event.size, 4), round(event.mix.mass, 4)]
    elif isinstance(event, ev.Pour | ev.Receive):
        found += [event.batch, round(event.mix.mass, 4)]
    return [*found, event.day.isoformat()] if event.day != TODAY else found


if __name__ == "__main__":
    for row in sys.stdin:
        entry = json.loads(row)
        events, kinds = entered(entry["say"], tuple(entry.get("before", ())))
        sys.stdout.write(json.dumps({**entry, "enters": events, "replies": kinds}, ensure_ascii=False) + "\n")
