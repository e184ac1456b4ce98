"""Weak acids in water: pH by charge balance, buffer capacity, titration, and one acid for another.

Amounts are mol/L at 25 C, pH is what an electrode reads: minus the logarithm of the activity of
hydrogen ions. Activity coefficients are Davies', which are good to an ionic strength of about
0.1 mol/L and weak above 0.5; 2.5 % salt is 0.43 mol/L already, where activity models differ by
0.05 to 0.13 pH. So each pH here is an estimate, for water with nothing in it but what is named.
A sauce is buffered by much that nobody names: only its own bench curve (``equal_effect``) and a
meter speak for it.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from assistant.declare import Source
from assistant.trade.mixture import SPECIFIC
from assistant.trade.solution import WATER_20, brine_density, rising

PKA = Source(
    "acid dissociation constants at 25 C (LibreTexts reference tables E1, E5): acetic 4.756, citric 3.13, 4.76, 6.40"
)
LACTIC_PKA = Source("lactic acid: pKa 3.86 at 25 C (general table of organic acids; 3.858 in Martell and Smith)")
DAVIES = Source("Davies 1962, Ion Association, eq. for activity coefficients with 0.3 I", seen=False)
SALTED_OUT = Source("PHREEQC manual: log gamma = 0.1 I for an uncharged species with no measured value", seen=False)
VAN_SLYKE = Source("Van Slyke 1922, J. Biol. Chem. 52:525, buffer capacity", seen=False)
NORMAL = Source("definition of normality; printed factor: 0.009008 g of lactic acid for each mL of 0.1 N")

DEBYE = 0.509
"""A of the Davies equation in water at 25 C."""
PK_WATER = 13.995
"""Of water at 25 C (CRC Handbook, from memory)."""
SODIUM_CHLORIDE = 0.058443
"""kg/mol."""


@dataclass(frozen=True)
class Acid:
    """A weak acid: kg/mol of it without water of crystals, and its pKa values at 25 C, the strongest first."""

    name: str
    mole: float
    pka: tuple[float, ...]

    @property
    def equivalent(self) -> float:
        """kg that give one mole of acid when all of it is titrated."""
        return self.mole / len(self.pka)


ACETIC = Acid("acetic", 0.060052, (4.756,))
LACTIC = Acid("lactic", 0.090078, (3.86,))
CITRIC = Acid("citric", 0.19212, (3.13, 4.76, 6.40))
ACIDS = {one.name: one for one in (ACETIC, LACTIC, CITRIC)}

CITRIC_WITH_WATER = 0.21014
"""kg/mol of citric acid monohydrate, the coarser crystals some shops sell."""


def activity(charge: int, ionic: float) -> float:
    """The activity coefficient of an ion of this charge, by Davies; of an uncharged acid, salted out (SALTED_OUT).

    Args:
        charge: of the ion; its sign does not count.
        ionic: ionic strength in mol/L; weak above 0.5, and held at 1 above 1.
    """
    ionic = min(ionic, 1.0)
    if not charge:
        return float(10 ** (0.1 * ionic))
    root = math.sqrt(ionic)
    return float(10 ** (-DEBYE * charge**2 * (root / (1 + root) - 0.3 * ionic)))


def shares(acid: Acid, ph: float, ionic: float = 0.0) -> tuple[float, ...]:
    """How much of an acid carries 0, 1, 2 ... charges at a pH; they add up to 1."""
    logs = [0.0]
    for charge, one in enumerate(acid.pka, 1):
        step = ph - one + math.log10(activity(charge - 1, ionic) / activity(charge, ionic))
        logs.append(logs[-1] + step)
    top = max(logs)
    weights = [10 ** (one - top) for one in logs]
    return tuple(one / sum(weights) for one in weights)


def charge(acid: Acid, ph: float, ionic: float = 0.0) -> float:
    """Charges that a mole of the acid carries at a pH: 0 to 1, for citric acid to 3."""
    return sum(count * one for count, one in enumerate(shares(acid, ph, ionic)))


def hydrogen(ph: float, ionic: float = 0.0) -> float:
    """mol/L of hydrogen ions less hydroxide ions at a pH."""
    coefficient = activity(1, ionic)
    return float((10**-ph - 10 ** (ph - PK_WATER)) / coefficient)


def _ionic(totals: Mapping[Acid, float], ph: float, strong: float, salt: float, ionic: float) -> float:
    """The ionic strength that goes with a pH, mol/L."""
    ions = (10**-ph + 10 ** (ph - PK_WATER)) / activity(1, ionic) + abs(strong)
    for acid, total in totals.items():
        ions += total * sum(count**2 * one for count, one in enumerate(shares(acid, ph, ionic)))
    return salt + ions / 2


def ph(totals: Mapping[Acid, float], strong: float = 0.0, salt: float = 0.0, ideal: bool = False) -> float:
    """The pH of acids in water, where positive and negative charges balance.

    Args:
        totals: mol/L of each acid, dissociated or not.
        strong: strong cations less strong anions in mol/L, without the salt: sodium hydroxide
            counts up, hydrochloric acid down.
        salt: sodium chloride, mol/L.
        ideal: leave activity out, as textbook tables do.

    Returns:
        The pH that an electrode would read at 25 C.

    Raises:
        ValueError: a concentration below zero, or no pH from -1 to 15 balances.
    """
    if not (all(0 <= one < math.inf for one in totals.values()) and 0 <= salt < math.inf):
        raise ValueError("a concentration cannot be below zero")

    def needed(at: float, ionic: float) -> float:
        """The strong ions that would hold this pH; more for every step up."""
        return sum(total * charge(acid, at, ionic) for acid, total in totals.items()) - hydrogen(at, ionic)

    ionic = 0.0 if ideal else salt
    for _ in range(100):
        found = rising(lambda at, now=ionic: needed(at, now), strong, -1.0, 15.0)  # type: ignore[misc]
        after = 0.0 if ideal else _ionic(totals, found, strong, salt, ionic)
        if abs(after - ionic) < 1e-12:
            break
        ionic = after
    return found


def ionic_strength(totals: Mapping[Acid, float], strong: float = 0.0, salt: float = 0.0) -> float:
    """The ionic strength in mol/L that goes with ``ph`` of the same; above 0.5 a pH of Davies' is weak.

    Raises:
        ValueError: as ``ph``.
    """
    ionic = salt
    at = ph(totals, strong, salt)
    for _ in range(100):
        ionic = _ionic(totals, at, strong, salt, ionic)
    return ionic


def buffer_capacity(totals: Mapping[Acid, float], at: float, ionic: float = 0.0) -> float:
    """mol/L of strong base for one step of pH (Van Slyke), at a pH and an ionic strength.

    For an acid of several steps, too: the spread of its charges takes the place of C K H / (K + H)^2.
    """
    total = (10**-at + 10 ** (at - PK_WATER)) / activity(1, ionic)
    for acid, amount in totals.items():
        found = shares(acid, at, ionic)
        mean = sum(count * one for count, one in enumerate(found))
        total += amount * sum((count - mean) ** 2 * one for count, one in enumerate(found))
    return math.log(10) * total


def molarity(acid: Acid, per_litre: float) -> float:
    """mol/L from kg of acid a litre: 5 g per 100 mL (% w/v, as a vinegar label counts) is 0.05."""
    return per_litre / acid.mole


def molarity_by_weight(acid: Acid, whole: float) -> float:
    """mol/L from the acid as a fraction of everything by weight (% w/w), by the density at 20 C.

    Raises:
        ValueError: no such strength.
    """
    if not 0 <= whole <= 1:
        raise ValueError("a share is from 0 to 1")
    litres = (1 - whole) / WATER_20 + SPECIFIC[acid.name] * whole
    return whole / litres / acid.mole


def salt_molarity(whole: float) -> float:
    """mol/L of sodium chloride in a brine with salt as a fraction of everything.

    Raises:
        ValueError: no brine is that strong.
    """
    return whole * brine_density(whole) / SODIUM_CHLORIDE


def titrated(acid: Acid, titrant: float, normality: float, sample: float) -> float:
    """mol/L of an acid in a sample from its titration to pH 8.1-8.3, all of it counted as that acid.

    Args:
        acid: the acid it is counted as.
        titrant: L of sodium hydroxide.
        normality: eq/L of it.
        sample: L.

    Raises:
        ZeroDivisionError: no sample.
    """
    return titrant * normality / len(acid.pka) / sample


# a sauce's own buffer -------------------------------------------------------------------------


def uptake(
    points: Sequence[tuple[float, float]], sample: float, acid: Acid, salt: float = 0.0
) -> tuple[tuple[float, float], ...]:
    """What a sauce's own buffer took up on the way down, from its bench curve: (pH, mol of charge per kg).

    At each point the charges that the added acid has let go are what the sauce, with its free
    hydrogen ions, has taken up. This is the sauce's own: it does not depend on which acid brought
    it to that pH (as long as the dose hardly thins the sauce).

    Args:
        points: (mol of acid added to the sample so far, pH after it), from the first on.
        sample: kg of sauce in the trial.
        acid: what was added.
        salt: mol/L of salt in the sauce, for the activity.

    Raises:
        ValueError: fewer than two points, no sample, or a pH that does not fall as acid goes in.
    """
    if len(points) < 2 or not 0 < sample < math.inf:
        raise ValueError("a curve has two points or more, of a sample that was weighed")
    for (before, high), (after, low) in pairwise(points):
        if not (0 <= before < after < math.inf and 0 <= low < high <= 14):
            raise ValueError("more acid must give a lower pH: repeat the reading")
    return tuple((at, amount * charge(acid, at, salt) / sample) for amount, at in points)


def equal_effect(
    points: Sequence[tuple[float, float]], sample: float, acid: Acid, other: Acid, wanted: float, *, salt: float = 0.0
) -> float:
    """mol of another acid per kg of sauce that brings it to a pH which the bench curve of the first one holds.

    Between two points the charge taken up is read on a straight line over the pH. Nothing is said
    outside the curve: there is nothing measured there. A trial of its own must prove the dose.

    Args:
        points: (mol of the first acid added to the sample so far, pH after it).
        sample: kg of sauce in the trial.
        acid: what was added.
        other: what is to go in instead.
        wanted: the pH.
        salt: mol/L of salt in the sauce, for the activity.

    Raises:
        ValueError: the pH is outside the curve, or the curve is none (see ``uptake``).
    """
    curve = uptake(points, sample, acid, salt)
    for (high, before), (low, after) in pairwise(curve):
        if low <= wanted <= high:
            taken = before + (after - before) * (high - wanted) / (high - low)
            return taken / charge(other, wanted, salt)
    raise ValueError("the curve does not reach that pH")
