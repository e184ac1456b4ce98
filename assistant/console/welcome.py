"""What is said before the first line: what can be said, the usual caution, and once the question for the units."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

from assistant.console.settings import Settings

CAUTION = "A calculator with cautions, not a process authority: local rules decide for anything sold."
HELLO = 'Say what is on the bench. "help" shows how; "bye" ends it, and nothing is lost.'
ASKS = (
    'Do you weigh in pounds or in kilograms? Say "pounds" or "metric", or just begin: answers are then in the units '
    "that you say."
)
KEPT = "The settings keep that."
SHOWN_FIRST = ("packed", "mash", "vessel")
"""The calculators whose examples a newcomer sees."""

_TAKEN = {
    "us": "Answers are in pounds and gallons, with grams and litres beside them.",
    "metric": "Answers are in kilograms and litres.",
}


@dataclass(frozen=True)
class Start:
    """How a talk begins.

    Attributes:
        settings: those in force.
        first: it is the person's first talk, so the units are asked for.
        tip: which tip is shown; another number, another tip.
        keep: keeps the settings with these keys set in them; gives a sentence if it cannot.
    """

    settings: Settings = field(default_factory=Settings)
    first: bool = False
    tip: int = 0
    keep: Callable[[Settings, str], str] = lambda settings, key: ""


AT_ONCE = (HELLO, CAUTION)
"""What stands over the first prompt, before anything else is read."""


def after(start: Start) -> list[str]:
    """What is said as soon as the calculators are read: three examples and the question for the units, or a tip."""
    if start.first:
        return ["For example:", *(f"  {one}" for one in shown_first()), ASKS]
    return [tip(start.tip)] if start.settings.tips else []


def shown_first() -> list[str]:
    """Three things to say, of the calculators' own examples."""
    from assistant.trade import calculator

    return [calculator(one).examples[0].say for one in SHOWN_FIRST]


def tip(number: int) -> str:
    """One thing to say, of the calculators' own examples; each number has its own until all have been shown."""
    from assistant.trade import CALCULATORS

    # the first examples of all calculators before the second of any
    ranked = sorted((at, order) for order, one in enumerate(CALCULATORS) for at in range(len(one.examples)))
    at, order = ranked[number % len(ranked)]
    shown = CALCULATORS[order]
    return f'{shown.title}: say "{shown.examples[at].say}".'


def taken(units: str) -> str:
    """That the choice was understood."""
    return _TAKEN[units]


def next_tip(folder: Path) -> int:
    """A number that is one more each time it is asked for; 0 where nothing can be kept."""
    file = folder / "tip"
    try:
        number = int(file.read_text(encoding="ascii")) + 1
    except (OSError, ValueError):
        number = 0
    try:
        folder.mkdir(parents=True, exist_ok=True)
        file.write_text(str(number), encoding="ascii")
    except OSError:
        return 0
    return number
