"""The line format for front ends: one JSON object for each line a person says."""

from __future__ import annotations

import json
from typing import Any

from assistant.replies import Answer, Ask, Assume, Caution, Reply
from assistant.talk.place import settled
from assistant.talk.state import Talk
from grammar.types import Amount, Misread, Reading


def _role(amount: Amount, talk: Talk) -> str:
    """The input the amount became, or the word it belongs to, or ""."""
    for job in (talk.now.job, talk.now.answered):
        for one in job.given if job else ():
            said = [(each.span, each.value, each.text) for each in one.amounts]
            if (amount.span, amount.value, amount.text) in said:
                return one.name
    return amount.noun.term if amount.noun else ""


def as_object(say: str, reading: Reading | Misread, talk: Talk, replies: tuple[Reply, ...]) -> dict[str, Any]:
    """The turn as plain data, in the order of the documented format."""
    read: dict[str, Any]
    if isinstance(reading, Misread):
        found = [reading.found] if reading.found else []
        read = {"act": "misread", "topic": "", "amounts": [], "repaired": [], "left_over": found}
    else:
        answers = [one.calculator for one in replies if isinstance(one, Answer)]
        topic = answers[0] if answers else (talk.now.job.calculator if talk.now.job else "")
        read = {
            "act": reading.act,
            "topic": topic,
            "amounts": [
                {"role": _role(exact, talk), "value": exact.value, "unit": one.unit, "text": one.text}
                for one, exact in ((one, settled(one, talk.now.kitchen)) for one in reading.amounts)
            ],
            "repaired": [{"said": one.said, "read": one.read} for one in reading.repaired],
            "left_over": [word.text for word in reading.left_over],
        }
    return {
        "say": say,
        "reading": read,
        "replies": [one.to_json() for one in replies],
        "values": [
            {"name": value.name, "value": value.value, "unit": value.unit}
            for one in replies
            if isinstance(one, Answer)
            for value in one.values
        ],
        "asks": [role for one in replies if isinstance(one, Ask) for role in one.roles],
        "assumed": [
            {"name": one.name, "value": one.value, "unit": one.unit, "text": one.text}
            for one in replies
            if isinstance(one, Assume)
        ],
        "cautions": [
            {"rule": one.rule, "severity": one.severity, "text": one.text, "source": one.source}
            for one in replies
            if isinstance(one, Caution)
        ],
    }


def as_line(say: str, reading: Reading | Misread, talk: Talk, replies: tuple[Reply, ...]) -> str:
    """The turn as one line of JSON."""
    return json.dumps(as_object(say, reading, talk, replies), ensure_ascii=False)
