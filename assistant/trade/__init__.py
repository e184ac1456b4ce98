"""The trade's calculations, one subject a module; ``CALCULATORS`` lists them all."""

from __future__ import annotations

from assistant.declare import Calculator
from assistant.trade import (
    acids,
    adjust,
    bottling,
    brine,
    calendar,
    equivalent,
    filled,
    finishing,
    hydrometer,
    hygiene,
    lethality,
    meter,
    nutrition,
    pungency,
    spoon,
    straining,
    strength,
    sweet,
    vessel,
)

CALCULATORS: tuple[Calculator, ...] = (
    *brine.CALCULATORS,
    *vessel.CALCULATORS,
    *strength.CALCULATORS,
    *straining.CALCULATORS,
    *finishing.CALCULATORS,
    *adjust.CALCULATORS,
    *acids.CALCULATORS,
    *pungency.CALCULATORS,
    *nutrition.CALCULATORS,
    *sweet.CALCULATORS,
    *lethality.CALCULATORS,
    *equivalent.CALCULATORS,
    *filled.CALCULATORS,
    *hygiene.CALCULATORS,
    *bottling.CALCULATORS,
    *hydrometer.CALCULATORS,
    *meter.CALCULATORS,
    *spoon.CALCULATORS,
    *calendar.CALCULATORS,
)
"""Every calculator; where two fit a sentence equally well, the earlier one is asked about first."""


def calculator(name: str) -> Calculator:
    """The calculator of that name.

    Raises:
        KeyError: there is none.
    """
    for one in CALCULATORS:
        if one.name == name:
            return one
    raise KeyError(name)
