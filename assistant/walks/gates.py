"""What must be proven before a walk goes on: no bottling before a proven pH, no heat credit without a temperature."""

from __future__ import annotations

import datetime
from collections.abc import Callable
from typing import TYPE_CHECKING

from assistant.batches.describe import METRIC, day_words
from assistant.rules import cautions
from assistant.rules.watch import RULES
from assistant.talk.words import watch_caution
from grammar.later import module

if TYPE_CHECKING:
    from assistant.batches import watch as watching
    from assistant.batches.batch import Batch
else:
    watching = module("assistant.batches.watch")


def _proven(batch: Batch, today: datetime.date) -> str:
    """A reading that proves it below the limit, as the book has it; nothing that grew on it."""
    facts = watching.watch(batch, today, "", "bottling")
    if not batch.ph:
        return 'No pH is in the book. Read it on a blended sample and say, for example, "pH 3.8 by calibrated meter".'
    stops = [rule for rule in cautions(facts, RULES) if rule.severity == "stop"]
    return watch_caution(stops[0], facts, METRIC).text if stops else ""


def _heated(batch: Batch, today: datetime.date) -> str:
    """A heating that was worth what the pH needs, after the last thing that went in."""
    if not batch.heated:
        return (
            "No temperature of this heating is in the book, and without one no heat is credited. Tell the coldest "
            'point: "74 76 77 77 every minute, pH 3.8", or "held it 10 minutes at 82 C, pH 3.8"; then "done".'
        )
    last = batch.heated[-1]
    if not last.enough:
        return (
            "The heating in the book was not enough for its pH. Heat it again from the start, or keep all of it cold."
        )
    if (today - last.day).days > 1:
        return f"The heating in the book is of {day_words(last.day)}: what is filled today was not heated in it."
    if not batch.held:
        return "Something went in after the heating: what is in it now was not heated with it. Heat all of it again."
    return ""


def _ready(batch: Batch, today: datetime.date) -> str:
    """Proven, and heated enough since the last thing went in."""
    return _proven(batch, today) or _heated(batch, today)


def _clean(batch: Batch, today: datetime.date) -> str:
    """Nothing grew on it and nothing is foul, as far as the book knows."""
    facts = watching.watch(batch, today)
    found = [rule for rule in cautions(facts, RULES) if rule.id in ("mould", "spoilt", "ph-failed", "ph-never")]
    return watch_caution(found[0], facts, METRIC).text if found else ""


GATES: dict[str, Callable[[Batch, datetime.date], str]] = {
    "proven": _proven, "heated": _heated, "ready": _ready, "clean": _clean,
}  # fmt: skip
"""Each gate gives the reason why it is shut, or ""."""


def shut(gate: str, batch: Batch | None, today: datetime.date) -> str:
    """Why a gate is shut, or ""."""
    if not gate:
        return ""
    if batch is None:
        return "No batch is open, so nothing is proven of it."
    return GATES[gate](batch, today)
