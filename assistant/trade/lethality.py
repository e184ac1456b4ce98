"""What heat does to an acid sauce: minutes that count, at one temperature or along a curve.

The model is log-linear: t(T) = F x 10^((Tref - T) / z). The figures cover a 5-log reduction of vegetative
pathogens (E. coli O157:H7, Salmonella, Listeria) in acid and acidified food, and nothing else: no spores, no
yeasts and moulds for certain, and no pH that is too high. Temperatures are degrees C, times minutes.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import islice, pairwise
from operator import sub

from assistant.declare import ARITHMETIC, Calculator, Default, Example, Input, Limit, Relation, Source
from assistant.trade.hygiene import ATMOSPHERE, HEIGHT, boiling_point

AT_OR_UNDER_4_1 = Source(
    "Breidt, Sandeep and Arritt 2010, Food Protection Trends 30(5):268-272: F(160 F) 1.2 min, z 19.5 F, pH 4.1 or below"
)
OVER_4_1 = Source(
    "Breidt, Kay, Osborne, Ingham and Arritt 2014, Food Protection Trends 34(3):132-138: F(160 F) 5.6 min, pH 4.1 to "
    "4.6; z as its table implies below 160 F (16.6), 16.7 F above"
)
COUNTS_FROM, COUNTS_TO = (140 - 32) / 1.8, (180 - 32) / 1.8
"""The tables run from 140 to 180 F: under it nothing counts, over it no more than at 180 F."""
REFERENCE = (160 - 32) / 1.8
"""160 F, the reference temperature of both tables."""
PH_LIMIT, PH_EDGE = 4.6, 4.1


@dataclass(frozen=True)
class Process:
    """A heat process: F minutes at ``reference`` C; z in degrees C under the reference and over it."""

    f: float
    reference: float
    z_under: float
    z_over: float
    counts_from: float = -math.inf
    counts_to: float = math.inf
    source: Source | None = None

    def rate(self, temperature: float) -> float:
        """What a minute at a temperature is worth in minutes at the reference."""
        if temperature < self.counts_from:
            return 0.0
        held = min(temperature, self.counts_to) - self.reference
        return float(10 ** (held / (self.z_under if held < 0 else self.z_over)))

    def gathered(self, temperature: float) -> float:
        """The integral of the rate over the temperature, from where it begins to count, in minutes times degrees C."""
        if temperature < self.counts_from:
            return 0.0
        over = (temperature - self.counts_to) * self.rate(self.counts_to) if temperature > self.counts_to else 0.0
        return self._primitive(min(temperature, self.counts_to)) - self._primitive(self.counts_from) + over

    def _primitive(self, temperature: float) -> float:
        """The integral from minus infinity, by the exponential on either side of the reference."""
        steps = temperature - self.reference
        under = self.z_under / math.log(10) * 10 ** (min(steps, 0.0) / self.z_under)
        return float(under + self.z_over / math.log(10) * (10 ** (max(steps, 0.0) / self.z_over) - 1))

    def minutes(self, temperature: float) -> float:
        """Minutes to hold at a temperature, unrounded.

        Raises:
            ValueError: under the tables' range nothing counts.
        """
        rate = self.rate(temperature)
        if not rate:
            raise ValueError("no heat counts so low")
        return self.f / rate

    def temperature(self, minutes: float) -> float:
        """The temperature at which so many minutes are enough.

        Raises:
            ValueError: no temperature of the tables' range makes so short or so long a hold enough.
        """
        if not 0 < minutes < math.inf:
            raise ValueError("no hold is that long")
        steps = math.log10(self.f / minutes)
        found = self.reference + steps * (self.z_under if steps < 0 else self.z_over)
        if found > self.counts_to + 1e-9:
            raise ValueError("that is too short at any temperature of the tables")
        return max(found, self.counts_from)


@dataclass(frozen=True)
class Curve:
    """A measured course, column by column: a log may have a million readings.

    Attributes:
        minutes: in order of time.
        degrees: in C, one for each of ``minutes``.
    """

    minutes: Sequence[float]
    degrees: Sequence[float]

    @classmethod
    def of(cls, points: Iterable[tuple[float, float]]) -> Curve:
        """From (minute, degrees C)."""
        points = list(points)
        return cls(tuple(at for at, _ in points), tuple(value for _, value in points))

    def __len__(self) -> int:
        return len(self.minutes)

    @property
    def points(self) -> tuple[tuple[float, float], ...]:
        """(minute, degrees C) of each reading."""
        return tuple(zip(self.minutes, self.degrees, strict=True))

    @property
    def steps(self) -> list[float]:
        """Minutes from each reading to the next."""
        return list(map(sub, islice(self.minutes, 1, None), self.minutes))

    @cached_property
    def slopes(self) -> Mapping[tuple[float, float], float]:
        """How long it ran from one temperature straight to another: a probe shows few temperatures, often.

        Raises:
            ValueError: time that runs backwards.
        """
        steps = self.steps
        if steps and not min(steps) >= 0:
            raise ValueError("time runs backwards")
        found: dict[tuple[float, float], float] = defaultdict(float)
        for slope, minutes in zip(pairwise(self.degrees), steps, strict=True):
            found[slope] += minutes
        return found

    def part(self, first: int, last: int) -> Curve:
        """The readings from one to before another."""
        return Curve(self.minutes[first:last], self.degrees[first:last])


LOW_PH = Process(1.2, REFERENCE, 19.5 / 1.8, 19.5 / 1.8, COUNTS_FROM, COUNTS_TO, AT_OR_UNDER_4_1)
HIGH_PH = Process(5.6, REFERENCE, 16.6 / 1.8, 16.7 / 1.8, COUNTS_FROM, COUNTS_TO, OVER_4_1)


def process_for(ph: float) -> Process:
    """The process for a pH with its error added.

    Raises:
        ValueError: above 4.6 no such process is enough, whatever the hold.
    """
    if not 0 < ph <= PH_LIMIT + 1e-9:
        raise ValueError("above pH 4.6 this heat does not do")
    return LOW_PH if ph <= PH_EDGE + 1e-9 else HIGH_PH


def up(minutes: float) -> float:
    """Minutes rounded up to a tenth: a holding time is never shortened."""
    return math.ceil(minutes * 10 - 1e-6) / 10


def accumulated(curve: Curve, process: Process, offset: float = 0.0) -> float:
    """Minutes at the reference temperature that a measured course is worth.

    Between two readings the temperature is a straight line, along which the rate grows
    exponentially: the piece is worth the logarithmic mean of its end rates, exactly. (The mean of
    the two rates, the common trapezoid, credits too much on every slope.) A course that crosses
    the ends of the range that counts is cut there: the mean along a line is the difference of the
    rate's integral at its ends, over the difference of the ends.

    Args:
        curve: degrees C, in order of time.
        process: its reference, z and range.
        offset: added to every reading, in degrees C (what a probe is off).

    Raises:
        ValueError: time that runs backwards.
    """
    gained = {one: process.gathered(one + offset) for one in set(curve.degrees)}
    return sum(
        [
            minutes * (gained[last] - gained[first]) / (last - first)
            if not -_LEVEL < last - first < _LEVEL
            else minutes * process.rate(min(first, last) + offset)
            for (first, last), minutes in curve.slopes.items()
        ]
    )


_LEVEL = 1e-6
"""Degrees between two readings that are no slope."""


@dataclass(frozen=True)
class Flaw:
    """What does not look right in a course: "gap" or "spike", at which minute, and how long or how hot it is."""

    minute: float
    kind: str
    size: float


@dataclass(frozen=True)
class Counted:
    """A course as it counts: the pieces between its gaps, spikes left out, and the flaws that were found.

    Over a gap nothing is credited, for nobody knows how far it fell; a reading that stands far over both of its
    neighbours is taken for a fault of the probe. One that stands far under them is left in: it can only take credit.
    """

    pieces: tuple[Curve, ...]
    flaws: tuple[Flaw, ...] = ()

    def worth(self, process: Process, offset: float = 0.0) -> float:
        """Minutes at the reference temperature, with every reading moved by ``offset`` degrees C."""
        return sum(accumulated(one, process, offset) for one in self.pieces)


GAP = 3.0
"""A gap is so many times the usual step (common practice, no source)."""
SPIKE = 8.0
"""Degrees C that one reading stands over (or under) both of its neighbours (common practice, no source)."""


LONGEST = 10.0
"""Minutes between two readings over which nothing is credited, unless the step itself was said to be longer."""


def counted(
    curve: Curve,
    gap: float = GAP,
    spike: float = SPIKE,
    longest: float = LONGEST,
    holes: Iterable[float] = (),
) -> Counted:
    """What of a course counts.

    Args:
        curve: degrees C, in order of time.
        gap: times the usual (median) step that no reading may be missing.
        spike: degrees C.
        longest: minutes that no reading may be missing, whatever the usual step is.
        holes: minutes between which and the next reading some could not be read.
    """
    many = max(1, len(curve) // 5000)  # of a long log the usual step is the median of some of them
    apart = curve.steps
    steps = sorted(one for one in apart[::many] if one > 0)  # readings of the same minute are no step
    most = min(gap * steps[len(steps) // 2], longest) if steps else longest
    flaws = _spiked(curve, spike)
    if high := {(one.minute, one.size) for one in flaws if one.kind == "spike"}:
        curve = Curve.of(one for one in curve.points if one not in high)
        apart = curve.steps
    cuts = [at for at, one in enumerate(apart, 1) if one > most > 0] if apart and max(apart) > most > 0 else []
    if unread := set(holes):
        cuts = sorted({*cuts, *(at for at, one in enumerate(curve.minutes[:-1], 1) if one in unread)})
    flaws += [Flaw(curve.minutes[at - 1], "gap", apart[at - 1]) for at in cuts]
    pieces = tuple(curve.part(*ends) for ends in pairwise((0, *cuts, len(curve)))) if cuts else (curve,)
    return Counted(pieces, tuple(sorted(flaws, key=lambda one: one.minute)))


def _spiked(curve: Curve, spike: float) -> list[Flaw]:
    """The readings that stand alone over or under both of their neighbours."""
    rises = list(map(sub, islice(curve.degrees, 1, None), curve.degrees))
    if not rises or (max(rises) <= spike and min(rises) >= -spike):
        return []
    jumps = [at for at, rise in enumerate(rises[:-1]) if not -spike <= rise <= spike]
    high = [at + 1 for at in jumps if rises[at] > spike and rises[at + 1] < -spike]
    low = [at + 1 for at in jumps if rises[at] < -spike and rises[at + 1] > spike]
    return [
        *(Flaw(curve.minutes[at], "spike", curve.degrees[at]) for at in high),
        *(Flaw(curve.minutes[at], "dip", curve.degrees[at]) for at in low),
    ]


def over(curve: Curve, least: float) -> float:
    """Minutes of a course at ``least`` degrees C or over, along straight lines between its readings."""
    total = 0.0
    for (one, two), minutes in curve.slopes.items():
        low, high = min(one, two), max(one, two)
        if low >= least:
            total += minutes
        elif high > least:
            total += minutes * (high - least) / (high - low)
    return total


def thinned(curve: Curve, most: int = 240) -> Curve:
    """A course with few enough readings to draw and to keep: of each stretch its lowest and its highest, in order."""
    if len(curve) <= most:
        return curve
    size = -(-2 * len(curve) // most)
    kept: list[int] = []
    for at in range(0, len(curve), size):
        values = curve.degrees[at : at + size]
        kept += sorted({at + values.index(min(values)), at + values.index(max(values))})
    return Curve(tuple(curve.minutes[at] for at in kept), tuple(curve.degrees[at] for at in kept))


# what is asked of it --------------------------------------------------------------------------

_DAY = 1440.0
"""Minutes in a day, the canonical unit of time."""
METER = Source("AOAC 981.12: a meter's scale is good to about 0.1")
ABOVE = (
    "Above pH 4.6, with the meter's error added, no hold of this kind is enough: it is a low-acid food, and only a "
    "pressure process that a process authority has set will do"
)
BOILS = (
    "Water boils at 100 C (212 F) by the sea and lower in the hills; 3% of salt lifts that by half a degree, which "
    "is not counted on. An open pot gets no hotter"
)
_BOILS_THERE = (
    "At {altitude} water boils at {boiling} and no open pot of sauce holds {temperature}: hold it a little under the "
    "boiling point. 3% of salt lifts that by half a degree, which is not counted on"
)
_SLACK = 0.1
"""Degrees C over the boiling point that are let pass: the air pressure moves it by more."""
_COLD = "Under 60 C (140 F) no heat is credited: the published tables start there"


def holding_time(temperature: float, ph: float) -> float:
    """Days to hold a sauce at degrees C, for its pH with the error added; rounded up to a tenth of a minute.

    Raises:
        ValueError: too cold to count, or too high a pH.
    """
    return up(process_for(ph).minutes(temperature)) / _DAY


def holding_heat(time: float, ph: float) -> float:
    """Degrees C at which so many days of holding are enough, rounded up to a tenth.

    Raises:
        ValueError: too short at any temperature that is credited, or too high a pH.
    """
    return math.ceil(process_for(ph).temperature(time * _DAY) * 10 - 1e-6) / 10


HOLD = Calculator(
    name="hold",
    title="Heat and hold",
    does="how long a sauce is held at a temperature for its pH, how hot for a time, and how far a hold reaches",
    inputs=(
        Input(
            "ph", "acidity", "pH", Limit(0, 4.6, "acidity", too_high=ABOVE, source=OVER_4_1),
            ask="Which pH does the meter show, a day after the last addition?", terms=("ph",), plain=True,
            marks=("at", "for", "of", "with"),
        ),
        Input(
            "meter_error", "acidity", "what the meter may be off", Limit(0, 1, "acidity", from_low=True),
            default=Default(0.1, "acidity", "the meter may be 0.1 off", METER),
        ),
        Input("counted", "acidity", "pH with the error", Limit(0, 4.6, "acidity", too_high=ABOVE, source=OVER_4_1)),
        Input(
            "temperature", "temperature", "temperature",
            Limit(60, 100, "degree_Celsius", too_low=_COLD, too_high=BOILS, from_low=True, source=AT_OR_UNDER_4_1),
            plain=True, ask="How hot is its coldest point?", marks=("at", "to", "for"),
        ),
        Input("altitude", "length", "altitude", HEIGHT, terms=("altitude",), plain=True, marks=("at", "in")),
        Input("boiling", "temperature", "boiling point", Limit(80, 103, "degree_Celsius")),
        Input("excess", "difference", "a rise of the boiling point",
              Limit(-60, _SLACK, "delta_degree_Celsius", too_high=_BOILS_THERE, from_low=True, source=ATMOSPHERE)),
        Input("time", "time", "time it is held", Limit(0, 2, "day"), plain=True, marks=("for", "at")),
        Input("needed", "time", "time needed", Limit(0, 2, "day")),
        Input("hot_enough", "temperature", "temperature needed", Limit(60, 100, "degree_Celsius", from_low=True)),
        Input("reach", "count", "times what is needed", Limit(0, 1e9, "count")),
    ),
    relations=(
        Relation("counted = ph + meter_error", {"counted": "ph + meter_error"}),
        Relation("needed = holding_time(temperature, counted)", {"needed": "holding_time(temperature, counted)"},
                 AT_OR_UNDER_4_1, functions={"holding_time": holding_time}),
        Relation("hot_enough = holding_heat(time, counted)", {"hot_enough": "holding_heat(time, counted)"},
                 AT_OR_UNDER_4_1, functions={"holding_heat": holding_heat}),
        Relation("reach = time / needed", {"reach": "time / needed"}),
        Relation("boiling = boiling_point(altitude)", {"boiling": "boiling_point(altitude)"}, ATMOSPHERE,
                 functions={"boiling_point": boiling_point}),
        Relation("excess = temperature - boiling", {"excess": "temperature - boiling"}),
    ),
    goals=("needed",),
    called_by=("holding", "holding ph", "holding batch", "holding ph batch", "holding checking"),
    headline={
        "needed": (
            "{time} at {temperature}, and pH {ph} needs {needed}: {reach} times that.",
            "Hold it {needed} at {temperature} for pH {ph}.",
        ),
        "hot_enough": ("For {time} at pH {ph} it must be at {hot_enough}.",),
    },
    tail=(
        "Water boils at {boiling} at {altitude}.",
        "The time needed is for a 5-log kill of E. coli, Salmonella and Listeria at the coldest point. It covers no "
        "spores and no high pH, and not every yeast; common practice holds far longer, and for sale a process "
        "authority decides.",
    ),
    wanted={"time": ("needed",), "temperature": ("hot_enough",)},
    sources=(AT_OR_UNDER_4_1, OVER_4_1, ARITHMETIC),
    examples=(
        Example("how long do I hold it at 160 F for pH 4.0", "needed", 1.2, "minute", 0.001, AT_OR_UNDER_4_1),
    ),
)  # fmt: skip
"""160 F for 1.2 minutes at pH 4.1 with the error."""

CALCULATORS = (HOLD,)
