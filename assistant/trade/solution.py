"""Salt in water: density, strength, saturation.

Strengths here are mass fractions (salt over everything), temperatures degrees Celsius,
densities kg/L.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable

from assistant.declare import Source

KELL = Source("Kell 1975, J. Chem. Eng. Data 20:97, water density 0-100 C", seen=False)
LALIBERTE = Source(
    "Laliberte and Cooper 2004, J. Chem. Eng. Data 49:1141, NaCl; within 0.5 g/L of the handbook table to 22 %",
    seen=False,
)
SOLUBILITY = Source("salt trade association table of NaCl solubility, 0-100 C, without its row at 79.44 C")
"""That row (27.62 %) breaks the curve and CRC's 27.50 % at 80 C; left out, the line gives 27.57 %."""
SALOMETER = Source("salometer definition: 100 degrees = 26.395 % at 60 F; 1 degree per 10 F")

WATER_20 = 0.998207
"""kg/L of water at 20 C (CRC Handbook, 53rd ed., F-4)."""

SATURATED_60F = 0.26395
"""Mass fraction of a saturated brine at 60 F, the 100 of a salometer."""

_SATURATION = (
    (0.0, 26.29),
    (10.0, 26.36),
    (15.56, 26.395),
    (21.11, 26.45),
    (26.67, 26.52),
    (37.78, 26.68),
    (51.67, 26.92),
    (65.56, 27.21),
    (93.33, 27.91),
    (100.0, 28.12),
)


def water_density(temperature: float) -> float:
    """Density of air-free water in kg/L at 0 to 100 degrees C, within 0.01 g/L to 40 C.

    Source: Kell 1975 (from memory; tested against the CRC table and CoolProp).

    Raises:
        ValueError: outside 0 to 100 C.
    """
    if not 0 <= temperature <= 100:
        raise ValueError("water density is known from 0 to 100 C")
    t = temperature
    top = 999.83952 + t * (
        16.945176 + t * (-7.9870401e-3 + t * (-46.170461e-6 + t * (105.56302e-9 - 280.54253e-12 * t)))
    )
    return top / (1 + 16.879850e-3 * t) / 1000


def brine_density(whole: float, temperature: float = 20.0) -> float:
    """Density of a sodium chloride brine in kg/L.

    Args:
        whole: salt as a fraction of everything (0 to saturation).
        temperature: degrees C, 0 to 100.

    Source: Laliberte and Cooper 2004 (coefficients from memory; tested against the handbook
    table within 0.5 g/L to 22 % at 10 and 20 C, and CoolProp within 0.6 g/L).

    Raises:
        ValueError: the strength or the temperature is outside.
    """
    if not 0 <= whole <= 0.285:
        raise ValueError("no brine is that strong")
    if whole == 0:
        return water_density(temperature)
    t = temperature
    apparent = (-0.00433 * whole + 0.06471) * math.exp(1e-6 * (t + 3315.6) ** 2)
    apparent /= whole + 1.01660 + 0.014624 * t
    return 1 / ((1 - whole) / water_density(t) + 1000 * whole / apparent)


def saturation(temperature: float = 20.0) -> float:
    """The most salt a brine can hold, as a fraction of everything.

    Linear between the rows of the table (SOLUBILITY); 0 to 100 degrees C.

    Raises:
        ValueError: outside 0 to 100 C.
    """
    for (t0, s0), (t1, s1) in itertools.pairwise(_SATURATION):
        if t0 <= temperature <= t1:
            return (s0 + (s1 - s0) * (temperature - t0) / (t1 - t0)) / 100
    raise ValueError("the solubility table runs from 0 to 100 C")


def rising(function: Callable[[float], float], target: float, low: float, high: float) -> float:
    """Where a rising function meets a target between low and high, by bisection.

    Raises:
        ValueError: it does not meet it there.
    """
    if not function(low) - 1e-12 <= target <= function(high) + 1e-12:
        raise ValueError("no strength gives that")
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if function(middle) < target else (low, middle)
    return (low + high) / 2


def strength_of_density(density: float, temperature: float = 20.0) -> float:
    """The strength (fraction of everything) of a brine of this density in kg/L.

    Raises:
        ValueError: lighter than water or heavier than a saturated brine.
    """
    top = saturation(temperature)
    return rising(lambda one: brine_density(one, temperature), density, 0.0, top)


def strength_of_concentration(concentration: float, temperature: float = 20.0) -> float:
    """The strength (fraction of everything) of a brine with so much salt per volume (kg/L).

    Raises:
        ValueError: more than a saturated brine holds.
    """
    top = saturation(temperature)
    return rising(lambda one: one * brine_density(one, temperature), concentration, 0.0, top)
