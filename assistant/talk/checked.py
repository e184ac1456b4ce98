"""The double check: what was put in, held against what it was meant to make."""

from __future__ import annotations

from assistant.declare import Calculator
from assistant.evaluate import Outcome, solve
from assistant.replies import Answer
from assistant.show import Style, quantity
from assistant.talk import words as say
from assistant.talk.state import Given, Job

_PARTS = ("salt", "salt_volume", "gum", "vinegar", "vinegar_volume")
"""What is put in, where there are several amounts that could be."""

CHECKING = "checking"
"""The word of a question that asks whether its own numbers are right ("is that right for 2 %?")."""


def checked(job: Job, outcome: Outcome, style: Style) -> tuple[Answer, Outcome] | None:
    """What the amount makes, how much the strength would take, and how far off that is, with the outcome it rests on.

    None where nobody asked whether it is right, or where no amount and strength stand against each other.
    """
    if outcome.clash is None or CHECKING not in job.words:
        return None
    chosen = outcome.calculator
    aim = _aim(job, chosen)
    parts = [one for one in job.given if _added(one, chosen)]
    part = next((one for one in parts if one.name in _PARTS), next(iter(parts), None))
    if aim is None or part is None:
        return None
    made = solve(chosen, job.without(aim.name).values(), (aim.name,), sorted(job.words))
    if not made.solved:
        return None
    item, put = chosen.input(aim.name), chosen.input(part.name)
    basis = f" of {item.basis}" if item.basis else ""
    comes = quantity(made.values[aim.name], item.dimension, style)
    thing = put.label.split(" to ")[0].split(" by ")[0]  # "salt to add", "vinegar by volume"
    text = f"No: {part.said} of {thing} makes {comes}{basis}, not {aim.said}."
    needed = solve(chosen, job.without(part.name).values(), (part.name,), sorted(job.words))
    if needed.solved:
        takes = needed.values[part.name]
        off = takes - part.value
        way = "more" if off > 0 else "too much"
        amounts = [quantity(one, put.dimension, style) for one in (takes, abs(off))]
        text += f" {aim.said} takes {amounts[0]}: {amounts[1]} {way}."
    return Answer(text, chosen.name, say.values(made, style), text), made


def _aim(job: Job, chosen: Calculator) -> Given | None:
    """The strength that it was meant to make: the one led by "for" or "to", else the only one."""
    strengths = [one for one in job.given if chosen.input(one.name).dimension == "fraction" and not one.carried]
    aimed = [one for one in strengths if one.amount.mark in ("for", "to")]
    found = aimed or strengths
    return found[0] if len(found) == 1 else None


def _added(one: Given, chosen: Calculator) -> bool:
    """Whether it is what was put in, and not what it was put into."""
    item = chosen.input(one.name)
    return item.dimension in ("mass", "volume") and not item.plain and not one.carried
