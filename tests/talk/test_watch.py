"""The rules of the watch, said in a talk: each one's example trips it, and the other spares it."""

from __future__ import annotations

import datetime
import re

import pytest

from assistant.console.session import Session
from assistant.replies import Caution
from assistant.rules.watch import RULES

BEGAN = datetime.date(2026, 3, 2)


def cautions(lines: str) -> set[str]:
    """Every caution of a talk whose lines name their days ("on day 8")."""
    day = BEGAN
    session = Session(lambda: day)
    found: set[str] = set()
    for line in lines.split("\n"):
        named = re.search(r"\bday (\d+)", line)
        day = max(day, BEGAN + datetime.timedelta(days=int(named[1]))) if named else day
        _, replies = session.say(line)
        told = [(one.kind, one.text) for one in replies]
        assert any(kind in ("log", "answer") or text.endswith("It is open now.") for kind, text in told), (line, told)
        found |= {one.rule for one in replies if isinstance(one, Caution)}
    return found


@pytest.mark.parametrize("rule", RULES, ids=[rule.id for rule in RULES])
def test_a_rule_is_said(rule) -> None:  # type: ignore[no-untyped-def]
    """The example that trips the rule makes the talk say it; the one that spares it does not."""
    assert rule.id in cautions(rule.trips)
    assert rule.id not in cautions(rule.spares)
