"""Small pieces that several tests share."""

from __future__ import annotations

import datetime

from assistant.console.session import Session
from assistant.replies import Answer, Reply
from grammar import measures

DAY = datetime.date(2026, 3, 2)


def talk() -> Session:
    """A fresh talk on a fixed day."""
    return Session(lambda: DAY)


def say(*lines: str) -> tuple[Reply, ...]:
    """The replies to the last of these lines, said one after the other."""
    session = talk()
    replies: tuple[Reply, ...] = ()
    for line in lines:
        _, replies = session.say(line)
    return replies


def kinds(replies: tuple[Reply, ...]) -> list[str]:
    """The replies' kinds in order."""
    return [one.kind for one in replies]


def value(replies: tuple[Reply, ...], name: str, unit: str) -> float:
    """A named value of the answer, in a unit.

    Raises:
        KeyError: no answer holds it.
    """
    for one in replies:
        if isinstance(one, Answer):
            for each in one.values:
                if each.name == name:
                    return measures.convert(each.value, each.unit, unit) if unit else each.value
    raise KeyError(name)
