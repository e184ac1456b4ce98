"""An outcome as the sums that made it."""

from __future__ import annotations

import re
from collections.abc import Iterable

from assistant.evaluate import Outcome, Step, roots
from assistant.replies import Reply, Why
from assistant.rules import Rule
from assistant.show import Style, quantity
from assistant.talk.state import Job
from assistant.talk.words import fill, spooned
from grammar.later import regex

_NAME = regex(r"[a-z_]+")
_SIGNS = {" * ": " x ", " ** 2": "^2", "0.7853981633974483": "pi/4"}


def _readable(text: str) -> str:
    for sign, shown in _SIGNS.items():
        text = text.replace(sign, shown)
    return text.replace("_", " ")


def line(step: Step, outcome: Outcome, style: Style) -> str:
    """One step: the relation, the numbers in it, the result."""
    calculator = outcome.calculator

    def shown(name: str) -> str:
        item = calculator.input(name)
        text = quantity(outcome.values[name], item.dimension, spooned(style, item))
        return text.split(" (")[0]

    def number(match: re.Match[str]) -> str:
        name = match.group()
        return shown(name) if name in step.relation.needs[step.name] else name

    formula = step.relation.solve[step.name]
    numbers = _readable(_NAME.sub(number, formula))
    words = _readable(f"{step.name} = {formula}")
    return f"{words} = {numbers} = {shown(step.name)}"


def why(outcome: Outcome, job: Job, style: Style, rules: Iterable[Rule]) -> tuple[Reply, ...]:
    """The steps behind the goals, in order, then the sources of the cautions."""
    needed = roots(outcome.goals, outcome.steps) | set(outcome.goals)
    replies: list[Reply] = []
    for step in outcome.steps:
        if step.name in needed:
            text = line(step, outcome, style)
            replies.append(Why(text[0].upper() + text[1:] + ".", source=str(step.relation.source)))
    for text in outcome.lines:
        filled = fill(text, outcome, job, style)
        if filled is not None:
            replies.append(Why(filled, source=str(outcome.calculator.sources[0])))
    for one in outcome.assumed:
        replies.append(Why(f"Taken: {_assumption(outcome, one.name)}.", source=str(one.default.source)))
    for rule in rules:
        replies.append(Why(f"The caution {rule.id} rests on this.", source=str(rule.source)))
    if not replies:
        replies.append(Why("That is as you gave it; nothing was worked out.", source=""))
    return tuple(replies)


def _assumption(outcome: Outcome, name: str) -> str:
    for one in outcome.assumed:
        if one.name == name and one.default is not None:
            return one.default.by_kind.get(one.kind, (0.0, ""))[1] or one.default.text
    return name
