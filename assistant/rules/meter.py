"""Cautions on a pH probe's slope and offset. The bounds stand with the calculator."""

from __future__ import annotations

from assistant.declare import Source
from assistant.rules import Facts, Rule
from assistant.trade.meter import ACCEPTANCE, STRICT, grade

CHECK = Source("AOAC 981.12: a meter repeats to 0.05; the check after calibrating is common practice, no source")


def _grade(facts: Facts) -> float | None:
    """The verdict on the probe, by its slope alone where nothing else is known."""
    share = facts.get("efficiency")
    if facts.calculator != "calibration" or share is None:
        return None
    return grade(share, facts.get("offset") or 0.0)


RULES: tuple[Rule, ...] = (
    Rule(
        "probe-void", "stop", ("efficiency", "offset"), lambda facts: _grade(facts) == 0,
        "A pH read with this probe is void. Clean it of oil and protein, soak it in storage solution, never in water, "
        "and calibrate in fresh buffers; if it stays outside 85 to 105% or beyond 30 mV at pH 7, replace the probe.",
        ACCEPTANCE, "15 mV in pH 7 and 160 mV in pH 4", "-15 mV in pH 7 and 160 mV in pH 4",
    ),
    Rule(
        "probe-worn", "caution", ("efficiency",), lambda facts: _grade(facts) == 1,
        "Under 95% the probe is worn or dirty: clean it, take fresh buffers and calibrate again. Until then check it "
        "in the pH 4 buffer before and after each reading.",
        STRICT, "slope 93%", "slope 98%",
    ),
    Rule(
        "probe-check", "note", ("efficiency",), lambda facts: _grade(facts) == 2,
        "Rinse, read the pH 4 buffer once more: within 0.05, and today's readings count. Write it down.",
        CHECK, "slope 98%", "slope 80%",
    ),
)  # fmt: skip
