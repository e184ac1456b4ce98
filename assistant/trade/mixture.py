"""What is in a vessel: weights of components, and everything that is read off them.

A mixture is the account of what was put in and what was taken out. Every operation keeps
mass: what goes into one mixture comes out of another. Fermenting is not followed: sugar
stands as it was put in (lactic acid weighs what its sugar did), gas is not counted, and
only a meter knows the pH. Weights are kg, volumes L at 20 C, strengths fractions.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, fields

from assistant.declare import Source
from assistant.trade.produce import SUGAR, WATER
from assistant.trade.solution import WATER_20, brine_density, rising, saturation

CHOI_OKOS = Source(
    "Choi and Okos 1986, effects of temperature and composition on food properties: solids add their own volumes",
    seen=False,
)
CRC = Source("CRC Handbook, densities of aqueous solutions at 20 C", seen=False)
SODIUM = Source("atomic weights: sodium is 39.337 % of sodium chloride (22.98977 / 58.443)")
SCOVILLE = Source("Al Othman et al. 2011, Molecules 16:8919: 16 SHU for each mg/kg of capsaicinoids")
HONEY = Source("USDA National Nutrient Database SR26 (2013), NDB 19296: honey, 17.10 % water, 82.12 % sugars")

SPECIFIC = {
    "solids": 0.70,
    "sugar": 0.62,
    "acetic": 0.857,
    "lactic": 0.79,
    "citric": 0.61,
    "gum": 0.63,
    "capsaicinoids": 0.95,
    "other": 0.70,
}
"""L that a kg adds to the volume of what it is in (CHOI_OKOS for solids and gum, CRC for what dissolves)."""

SALT_CRYSTAL = 1 / 2.165
"""L of a kg of salt that lies undissolved (CRC Handbook, from memory)."""

SODIUM_SHARE = 0.39337
SHU_PER_MG_KG = 16.0

USUAL_MOISTURE = 90.0
"""Water in g per 100 g of produce of an unknown kind (common practice, no source)."""
USUAL_SUGAR = 4.0
"""Sugar in g per 100 g of produce of an unknown kind (between the peppers of the USDA table)."""


@dataclass(frozen=True)
class Mixture:
    """Weights in kg of what a vessel holds; none is below zero."""

    water: float = 0.0
    salt: float = 0.0
    solids: float = 0.0
    sugar: float = 0.0
    acetic: float = 0.0
    lactic: float = 0.0
    citric: float = 0.0
    gum: float = 0.0
    capsaicinoids: float = 0.0
    other: float = 0.0

    def __post_init__(self) -> None:
        for name in COMPONENTS:
            # not "< 0": a weight that is no number is refused too
            if not 0 <= getattr(self, name) < math.inf:
                raise ValueError(f"{name}: {getattr(self, name)} kg cannot be in a vessel")

    def __add__(self, other: Mixture) -> Mixture:
        return Mixture(*(here + there for here, there in zip(self.parts, other.parts, strict=True)))

    @property
    def parts(self) -> tuple[float, ...]:
        """The weights in the order of COMPONENTS."""
        return tuple(getattr(self, name) for name in COMPONENTS)

    @property
    def mass(self) -> float:
        """What it weighs in kg."""
        return sum(self.parts)

    @property
    def volume(self) -> float:
        """What it fills in L at 20 C, without the air and gas trapped in it.

        Water and its salt by the brine density (LALIBERTE), every other component with its
        own volume (SPECIFIC); within 1 % for a mash, by the tables the numbers are from.
        """
        dissolved = min(self.salt, self.water * saturation() / (1 - saturation()))
        brine = self.water + dissolved
        whole = dissolved / brine if brine else 0.0
        own: float = sum(SPECIFIC[name] * getattr(self, name) for name in SPECIFIC)
        undissolved = (self.salt - dissolved) * SALT_CRYSTAL
        return brine / brine_density(whole) + undissolved + own

    @property
    def density(self) -> float:
        """kg/L at 20 C.

        Raises:
            ZeroDivisionError: there is nothing in it.
        """
        return self.mass / self.volume

    @property
    def sodium(self) -> float:
        """kg of sodium in its salt (SODIUM); the produce's own, under 0.1 g per kg, is left out."""
        return SODIUM_SHARE * self.salt

    @property
    def heat(self) -> float:
        """Scoville heat units of the whole (SCOVILLE); 0 if no heat was ever put into the account."""
        return SHU_PER_MG_KG * 1e6 * self.capsaicinoids / self.mass if self.mass else 0.0

    def share(self, fraction: float) -> Mixture:
        """So much of it, the same all through.

        Raises:
            ValueError: less than nothing.
        """
        return Mixture(*(fraction * one for one in self.parts))

    def less(self, taken: Mixture) -> Mixture:
        """What is left when something is taken out; a rounding error below zero counts as nothing.

        Raises:
            ValueError: there was not so much in it.
        """
        slack = 1e-9 * max(self.mass, 1.0)
        left = [here - there for here, there in zip(self.parts, taken.parts, strict=True)]
        if min(left) <= -slack:
            raise ValueError("more than there is")
        return Mixture(*(max(one, 0.0) for one in left))

    def as_dict(self) -> dict[str, float]:
        """The components that are there, in kg."""
        return {name: getattr(self, name) for name in COMPONENTS if getattr(self, name)}


COMPONENTS = tuple(one.name for one in fields(Mixture))
"""Every component, in the order of Mixture's fields."""

DISSOLVED = ("salt", "sugar", "acetic", "lactic", "citric", "gum")
"""What goes where the water goes."""

NOTHING = Mixture()


@dataclass(frozen=True)
class Measure:
    """A strength: some components over others, both by weight."""

    name: str
    over: tuple[str, ...]
    of: tuple[str, ...]

    def __call__(self, mixture: Mixture) -> float:
        """The strength of a mixture.

        Raises:
            ZeroDivisionError: none of what it is measured over is there.
        """
        return _sum(mixture, self.over) / _sum(mixture, self.of)


def _sum(mixture: Mixture, names: Iterable[str]) -> float:
    return float(sum(getattr(mixture, name) for name in names))


_UNSALTED = tuple(name for name in COMPONENTS if name != "salt")
SALT_WHOLE = Measure("salt of everything", ("salt",), COMPONENTS)
SALT_TOTAL = Measure("salt of produce and water", ("salt",), _UNSALTED)
SALT_WATER = Measure("salt of the water", ("salt",), ("water",))
SALT_AQUEOUS = Measure("salt in the brine", ("salt",), ("water", "salt"))
ACETIC = Measure("acetic acid", ("acetic",), COMPONENTS)
CITRIC = Measure("citric acid", ("citric",), COMPONENTS)
SUGARS = Measure("sugar", ("sugar",), COMPONENTS)
GUM = Measure("gum", ("gum",), COMPONENTS)
CAPSAICINOIDS = Measure("capsaicinoids", ("capsaicinoids",), COMPONENTS)


def merge(*mixtures: Mixture) -> Mixture:
    """Everything poured together."""
    return sum(mixtures, NOTHING)


# what can be put in ---------------------------------------------------------------------------


def water(mass: float) -> Mixture:
    """Plain water."""
    return Mixture(water=mass)


def salt(mass: float) -> Mixture:
    """Dry salt, counted as sodium chloride throughout."""
    return Mixture(salt=mass)


def brine(mass: float, whole: float) -> Mixture:
    """Ready brine of a strength over everything with the salt.

    Raises:
        ValueError: no brine is that strong.
    """
    if not 0 <= whole <= saturation():
        raise ValueError("no brine is that strong")
    return Mixture(water=mass * (1 - whole), salt=mass * whole)


def brine_volume(volume: float, whole: float) -> Mixture:
    """So many litres of ready brine.

    Raises:
        ValueError: no brine is that strong.
    """
    return brine(volume * brine_density(whole), whole)


def produce(mass: float, kind: str = "", capsaicinoids: float = 0.0) -> Mixture:
    """Raw produce with its own water and sugar (USDA), of a term of the vocabulary.

    Args:
        mass: trimmed and weighed, kg.
        kind: the produce; an unknown one has USUAL_MOISTURE and USUAL_SUGAR.
        capsaicinoids: as a fraction of the fresh weight, if it is known.
    """
    wet = WATER.get(kind, USUAL_MOISTURE) / 100
    sweet = SUGAR.get(kind, USUAL_SUGAR) / 100
    return Mixture(
        water=mass * wet, sugar=mass * sweet, capsaicinoids=mass * capsaicinoids,
        solids=mass * (1 - wet - sweet - capsaicinoids),
    )  # fmt: skip


def vinegar(volume: float, strength: float = 0.05) -> Mixture:
    """So many litres of vinegar of so many kg of acetic acid a litre (5 % on the label: 0.05).

    Raises:
        ValueError: no vinegar is that strong.
    """
    if not 0 <= strength <= 1:
        raise ValueError("no vinegar is that strong")
    acid = volume * strength
    return Mixture(water=(volume - SPECIFIC["acetic"] * acid) * WATER_20, acetic=acid)


def sugar(mass: float) -> Mixture:
    """Table sugar."""
    return Mixture(sugar=mass)


def honey(mass: float) -> Mixture:
    """Honey, with its own water (HONEY)."""
    return Mixture(water=0.1710 * mass, sugar=0.8212 * mass, other=0.0078 * mass)


def gum(mass: float) -> Mixture:
    """Xanthan or another gum, dry."""
    return Mixture(gum=mass)


def citric(mass: float) -> Mixture:
    """Citric acid, dry (the kind with water in its crystals counts as 8 % too much of it)."""
    return Mixture(citric=mass)


# what can be done -----------------------------------------------------------------------------


def draw(mixture: Mixture, mass: float) -> tuple[Mixture, Mixture]:
    """So many kg taken out as they come (a sample, a spill, a jar filled): what was taken, what is left.

    Raises:
        ValueError: more than there is.
    """
    if not 0 <= mass <= mixture.mass * (1 + 1e-9):
        raise ValueError("more than there is")
    taken = mixture.share(min(mass / mixture.mass, 1.0)) if mass else NOTHING
    return taken, mixture.less(taken)


def draw_volume(mixture: Mixture, volume: float) -> tuple[Mixture, Mixture]:
    """The same by litres.

    Raises:
        ValueError: more than there is.
    """
    if not volume:
        return NOTHING, mixture
    if not mixture.mass:
        raise ValueError("more than there is")
    return draw(mixture, volume * mixture.density)


def split(mixture: Mixture, shares: Iterable[float]) -> tuple[Mixture, ...]:
    """In parts, of which each is like the whole; the shares count against each other.

    Raises:
        ValueError, ZeroDivisionError: shares below zero, or none above.
    """
    shares = tuple(shares)
    return tuple(mixture.share(one / sum(shares)) for one in shares)


def _liquor(mixture: Mixture, wet: float) -> Mixture:
    """So many kg of the mixture's water with all that is dissolved in it.

    Raises:
        ValueError: more than there is.
    """
    if not 0 <= wet <= mixture.water * (1 + 1e-9):
        raise ValueError("more than there is")
    part = min(wet / mixture.water, 1.0) if wet else 0.0
    return Mixture(water=part * mixture.water, **{name: part * getattr(mixture, name) for name in DISSOLVED})


def strain(mixture: Mixture, pulp: float, moisture: float = 0.75) -> tuple[Mixture, Mixture]:
    """Wet pulp taken out: the liquid, and the pulp, which holds liquor of the same strength.

    The solids lost are what the pulp weighs beyond its liquor; what does not dissolve (heat
    too) goes with the solids (common practice, no source).

    Args:
        mixture: what is strained.
        pulp: kg of wet pulp.
        moisture: water as a fraction of the pulp.

    Raises:
        ValueError: the batch has not so much water or solids.
    """
    held = _liquor(mixture, pulp * moisture)
    dry = pulp - held.mass
    lumps = mixture.solids + mixture.capsaicinoids + mixture.other
    if dry < -1e-9 or dry > lumps * (1 + 1e-9):
        raise ValueError("the batch has not so many solids")
    part = min(max(dry, 0.0) / lumps, 1.0) if lumps else 0.0
    out = held + Mixture(
        solids=part * mixture.solids, capsaicinoids=part * mixture.capsaicinoids, other=part * mixture.other
    )
    return mixture.less(out), out


def drain(mixture: Mixture, mass: float) -> tuple[Mixture, Mixture]:
    """Clear brine drawn off from between the solids: the brine, and what is left.

    Raises:
        ValueError: more than there is of it.
    """
    liquor = _liquor(mixture, mixture.water)
    taken, _ = draw(liquor, mass)
    return taken, mixture.less(taken)


def drain_volume(mixture: Mixture, volume: float) -> tuple[Mixture, Mixture]:
    """The same by litres of brine.

    Raises:
        ValueError: more than there is of it.
    """
    if not volume:
        return NOTHING, mixture
    if not mixture.water:
        raise ValueError("more than there is")
    return drain(mixture, volume * _liquor(mixture, mixture.water).density)


def boil(mixture: Mixture, off: float) -> Mixture:
    """Water steamed off; acid that goes with the steam is not counted, so acid reads high.

    Raises:
        ValueError: there was not so much water.
    """
    return mixture.less(Mixture(water=off))


# the same, solved for what it takes -----------------------------------------------------------


def dose(mixture: Mixture, what: Mixture, measure: Measure, target: float) -> float:
    """How much of ``what``, as a multiple of it, brings a strength to the target; exact.

    Args:
        mixture: what there is.
        what: a unit of what goes in (``brine(1, 0.05)``, ``water(1)``, ``salt(1)`` ...).
        measure: the strength.
        target: what it is to be.

    Raises:
        ValueError: no amount of it does (it is weaker than the target, say, or a weight below zero would).
    """
    lack = target * _sum(mixture, measure.of) - _sum(mixture, measure.over)
    brings = _sum(what, measure.over) - target * _sum(what, measure.of)
    if abs(lack) <= 1e-12 * max(mixture.mass, 1e-12):
        return 0.0
    amount = lack / brings if brings else math.inf
    # not "< 0": a target that is no number is refused too
    if (lack > 0) != (brings > 0) or not 0 <= amount < math.inf:
        raise ValueError("no amount of it does")
    return amount


def fill(mixture: Mixture, what: Mixture, volume: float) -> float:
    """How much of ``what``, as a multiple of it, fills up to so many litres (topping up to a line).

    Raises:
        ValueError: it is over the line already, or nothing is poured.
    """
    if not mixture.volume <= volume + 1e-12 or not what.mass:
        raise ValueError("it cannot be filled to that")
    most = volume / what.volume
    return rising(lambda one: (mixture + what.share(one)).volume, volume, 0.0, 2 * most)


def boil_to(mixture: Mixture, measure: Measure, target: float) -> float:
    """How many kg of water must steam off until a strength is reached.

    Raises:
        ValueError: steaming off water does not do it.
    """
    if "water" not in measure.of or "water" in measure.over:
        raise ValueError("water does not change it")
    if not 0 < target < math.inf or not _sum(mixture, measure.over):
        raise ValueError("steaming off water does not do it")
    off = _sum(mixture, measure.of) - _sum(mixture, measure.over) / target
    if not -1e-12 <= off <= mixture.water:
        raise ValueError("steaming off water does not do it")
    return max(off, 0.0)


def before_straining(liquid: Mixture, pulp: Mixture) -> Mixture:
    """What was strained, from what came of it."""
    return liquid + pulp


def pulp_of(mixture: Mixture, liquid: float) -> float:
    """The wet pulp that came out, from the weight of the liquid that was left.

    Raises:
        ValueError: there is more liquid than there was batch.
    """
    if not 0 <= liquid <= mixture.mass * (1 + 1e-9):
        raise ValueError("more than there is")
    return max(mixture.mass - liquid, 0.0)


def from_dict(found: Mapping[str, float]) -> Mixture:
    """A mixture from its components by name.

    Raises:
        TypeError, ValueError: a name that is no component, or a weight that is none.
    """
    if not isinstance(found, Mapping) or not all(type(value) in (int, float) for value in found.values()):
        raise TypeError("not weights by name")
    try:
        return Mixture(**{name: float(value) for name, value in found.items()})
    except OverflowError as error:
        raise ValueError("no vessel holds that much") from error


def blend_heat(parts: Iterable[tuple[float, float]]) -> float:
    """The Scoville heat of a blend from (kg, SHU) of each part on one basis: the mean by weight.

    Raises:
        ZeroDivisionError: nothing is blended.
    """
    first, second = itertools.tee(parts)
    return sum(mass * heat for mass, heat in first) / sum(mass for mass, _ in second)
