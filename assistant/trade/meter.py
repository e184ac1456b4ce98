"""The pH meter: what its probe gives in two buffers, and what a buffer's pH is at its temperature.

A probe gives about 59 mV for each unit of pH at 25 C, more when warmer (Nernst); how much of
that it still gives, and how far from 0 mV it stands at pH 7, tells whether it can be trusted.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import replace

from assistant.declare import ARITHMETIC, PRACTICE, Calculator, Default, Example, Input, Limit, Relation, Source

NERNST = Source("Nernst equation, R ln 10 T / F with CODATA 2018 R and F: 59.16 mV per pH at 25 C")
ACCEPTANCE = Source(
    "printed acceptance of a probe in 7.01 and 4.01 at 25 C: 150 to 186 mV apart (85 to 105 %), 7.01 within 30 mV"
)
STRICT = Source("common practice, no source: 95 to 105 % is good, under 95 % is worn")
BUFFERS = Source("JIS Z 8802 for 4.01 and 6.86, an instrument manual's table for the technical 4.00, 7.00 and 10.01")

GOOD, LEAST, MOST = 0.95, 0.85, 1.05
"""Shares of the ideal slope: good from, of use from, of use up to (ACCEPTANCE, STRICT)."""
OFFSET = 30.0
"""mV from 0 at pH 7 that a probe may stand (ACCEPTANCE)."""

R, F, ZERO = 8.314462618, 96485.33212, 273.15
"""J/(mol K), C/mol, and 0 C in K (CODATA 2018)."""

_DEGREES = (5.0, 10.0, 15.0, 20.0, 25.0, 30.0, 35.0, 40.0)
_TABLE: dict[float, tuple[float, ...]] = {
    4.00: (4.00, 4.00, 4.00, 4.00, 4.00, 4.01, 4.02, 4.03),
    4.01: (4.01, 4.00, 4.00, 4.00, 4.01, 4.01, 4.02, 4.03),
    6.86: (6.95, 6.92, 6.90, 6.88, 6.86, 6.85, 6.84, 6.84),
    7.00: (7.09, 7.06, 7.04, 7.02, 7.00, 6.99, 6.99, 6.98),
    10.01: (10.25, 10.18, 10.12, 10.06, 10.01, 9.97, 9.93, 9.89),
}
"""pH of each buffer, by what stands on its bottle, at _DEGREES C (BUFFERS)."""

ALIKE = {4.005: 4.01, 4.006: 4.01, 7.01: 7.00, 10.0: 10.01}
"""Buffers that are sold by another figure; 7.01 is 0.01 over the technical 7.00."""


def buffer_ph(nominal: float, temperature: float) -> float:
    """The pH of a buffer at a temperature, between the table's rows in a straight line.

    Args:
        nominal: what stands on the bottle, for 25 C.
        temperature: degrees C, 5 to 40.

    Raises:
        ValueError: a buffer or a temperature that is not in the table.
    """
    name = next((one for one in (*_TABLE, *ALIKE) if abs(one - nominal) < 5e-4), None)
    if name is None or not _DEGREES[0] <= temperature <= _DEGREES[-1]:
        raise ValueError(f"no buffer {nominal} at {temperature} C")
    row = _TABLE[ALIKE.get(name, name)]
    more = 0.01 if name == 7.01 else 0.0
    for (low, start), (high, end) in itertools.pairwise(zip(_DEGREES, row, strict=True)):
        if temperature <= high:
            return start + (end - start) * (temperature - low) / (high - low) + more
    raise AssertionError("the last row is the highest temperature")  # pragma: no cover


def nernst(temperature: float) -> float:
    """mV for one unit of pH of a perfect probe, at so many degrees C."""
    return 1000.0 * R * math.log(10.0) * (temperature + ZERO) / F


def grade(efficiency: float, offset: float = 0.0) -> float:
    """2 for a good probe, 1 for one of use with care, 0 for none to rely on."""
    if not LEAST <= efficiency <= MOST or abs(offset) > OFFSET:
        return 0.0
    return 2.0 if efficiency >= GOOD else 1.0


_MV = Limit(-1000, 1000, "millivolt", from_low=True)
_NEUTRAL = ("buffer-seven", "buffer-seven-one", "buffer-phosphate")
_ACID = ("buffer-four", "buffer-four-one")
_WARMTH = Input(
    "temperature", "temperature", "temperature of the buffers",
    Limit(5, 40, "degree_Celsius", from_low=True, too_high="The buffers' table runs from 5 to 40 C", source=BUFFERS),
    terms=("temperature", "buffer", *_NEUTRAL, *_ACID), marks=("at", "in"), plain=True,
    default=Default(25.0, "degree_Celsius", "the buffers stand at 25 C (77 F)", PRACTICE),
)  # fmt: skip
_ACIDITY = Limit(3.9, 10.3, "acidity", from_low=True, source=BUFFERS)

CALIBRATION = Calculator(
    name="calibration",
    title="A pH meter in two buffers",
    does="slope and offset of a pH probe from its mV in two buffers, and whether it can be trusted",
    inputs=(
        Input("seven", "potential", "reading in the pH 7 buffer", _MV, terms=_NEUTRAL,
              ask="How many mV does it show in the pH 7 buffer?"),
        Input("four", "potential", "reading in the pH 4 buffer", _MV, terms=_ACID,
              ask="How many mV does it show in the pH 4 buffer?"),
        _WARMTH,
        Input(
            "neutral", "acidity", "the pH 7 buffer at 25 C", _ACIDITY,
            default=Default(7.00, "acidity", "the pH 7 buffer is the technical one, 7.00 at 25 C", BUFFERS, by_kind={
                "buffer-seven-one": (7.01, "the neutral buffer is 7.01 at 25 C"),
                "buffer-phosphate": (6.86, "the neutral buffer is the phosphate one, 6.86 at 25 C"),
            }),
        ),
        Input(
            "acid", "acidity", "the pH 4 buffer at 25 C", _ACIDITY,
            default=Default(4.00, "acidity", "the pH 4 buffer is 4.00 at 25 C", BUFFERS, by_kind={
                "buffer-four-one": (4.01, "the acid buffer is the phthalate one, 4.01 at 25 C"),
            }),
        ),
        Input("neutral_there", "acidity", "the pH 7 buffer at its temperature", _ACIDITY),
        Input("acid_there", "acidity", "the pH 4 buffer at its temperature", _ACIDITY),
        Input("span", "potential", "mV between the buffers",
              Limit(0, 1000, "millivolt", too_low="A probe shows more mV in the pH 4 buffer than in pH 7: were the two "
                    "swapped, or a minus left out")),
        Input("slope", "slope", "slope", Limit(0, 200, "mv_per_ph"), terms=("slope",), plain=True),
        Input("ideal", "slope", "ideal slope", Limit(0, 200, "mv_per_ph")),
        Input("efficiency", "fraction", "slope, of the ideal", Limit(0, 200, "percent"), terms=("slope",), plain=True,
              ask="Which slope does the meter show, in %?"),
        Input("offset", "potential", "mV at pH 7", _MV, terms=("offset",)),
        Input("by_slope", "grade", "verdict on the slope", Limit(0, 2, "grade", from_low=True)),
        Input("verdict", "grade", "verdict on the probe", Limit(0, 2, "grade", from_low=True)),
    ),
    relations=(
        Relation("neutral_there = buffer_ph(neutral, temperature)",
                 {"neutral_there": "buffer_ph(neutral, temperature)"}, BUFFERS, {"buffer_ph": buffer_ph}),
        Relation("acid_there = buffer_ph(acid, temperature)",
                 {"acid_there": "buffer_ph(acid, temperature)"}, BUFFERS, {"buffer_ph": buffer_ph}),
        Relation("span = four - seven", {"span": "four - seven"}),
        Relation("slope = span / (neutral_there - acid_there)", {"slope": "span / (neutral_there - acid_there)"}),
        Relation("ideal = nernst(temperature)", {"ideal": "nernst(temperature)"}, NERNST, {"nernst": nernst}),
        Relation("efficiency = slope / ideal", {"efficiency": "slope / ideal", "slope": "efficiency * ideal"}),
        Relation("offset = seven + slope * (neutral_there - 7)", {"offset": "seven + slope * (neutral_there - 7)"}),
        Relation("by_slope = grade(efficiency)", {"by_slope": "grade(efficiency)"}, ACCEPTANCE, {"grade": grade}),
        Relation("verdict = grade(efficiency, offset)", {"verdict": "grade(efficiency, offset)"}, ACCEPTANCE,
                 {"grade": grade}),
    ),
    goals=("efficiency",),
    called_by=(
        "calibrating", "calibrating slope", "calibrating #potential", "#potential", "#slope", "slope", "offset",
        "slope offset", "slope #fraction", "#potential buffer",
        "#potential buffer-seven buffer-four", "#potential buffer-seven-one buffer-four-one",
        "#potential buffer-phosphate", "buffer-seven buffer-four", "?slope", "?offset",
    ),
    headline={
        "efficiency": (
            "{verdict}: the probe gives {efficiency} of the ideal slope, {slope} with {offset} at pH 7; {span} lie "
            "between the buffers.",
            "{verdict}: {efficiency} of the ideal slope, with {offset} at pH 7.",
            "{by_slope} by its slope: {efficiency} of the ideal.",
        ),
        "slope": ("{slope}, {efficiency} of the ideal: {by_slope}.",),
        "offset": ("{offset} at pH 7, with {efficiency} of the ideal slope: {verdict}.",),
    },
    wanted={"slope": ("slope",), "offset": ("offset",), "strength": ("efficiency",), "salinity": ("efficiency",)},
    sources=(NERNST, ACCEPTANCE, STRICT, BUFFERS),
    examples=(
        Example("-15 mV in pH 7 and 160 mV in pH 4", "efficiency", 98.6, "percent", 0.05, ACCEPTANCE),
        Example("slope 93%", "efficiency", 93, "percent", 0.01, ARITHMETIC),
    ),
)  # fmt: skip
"""The printed example: -15 and +160 mV are 175 mV apart, 98.6 % of 177.5."""

_KINDS = {
    "buffer-four": (4.00, "the buffer is 4.00 at 25 C"),
    "buffer-four-one": (4.01, "the buffer is the phthalate one, 4.01 at 25 C"),
    "buffer-phosphate": (6.86, "the buffer is the phosphate one, 6.86 at 25 C"),
    "buffer-seven": (7.00, "the buffer is the technical one, 7.00 at 25 C"),
    "buffer-seven-one": (7.01, "the buffer is 7.01 at 25 C"),
    "buffer-ten": (10.01, "the buffer is 10.01 at 25 C"),
}

BUFFER = Calculator(
    name="buffer",
    title="The pH of a buffer at its temperature",
    does="what a calibration buffer reads at a temperature",
    inputs=(
        Input(
            "nominal", "acidity", "pH on the bottle, for 25 C", _ACIDITY,
            ask="Which buffer is it: 4.00, 4.01, 6.86, 7.00 or 10.01?",
            default=Default(None, "acidity", "the buffer's pH at 25 C", BUFFERS, by_kind=_KINDS),
        ),
        replace(_WARMTH, label="temperature of the buffer", terms=(*_WARMTH.terms, "buffer-ten")),
        Input("there", "acidity", "pH at that temperature", _ACIDITY),
    ),
    relations=(
        Relation("there = buffer_ph(nominal, temperature)", {"there": "buffer_ph(nominal, temperature)"}, BUFFERS,
                 {"buffer_ph": buffer_ph}),
    ),
    goals=("there",),
    called_by=("buffer", *_KINDS, "buffer #temperature", *(f"{one} #temperature" for one in _KINDS)),
    headline={"there": ("The {nominal} buffer is pH {there} at {temperature}.",)},
    tail=("Set the meter to that figure, or let it find the buffer's temperature; a buffer that was used is poured "
          "away.",),
    wanted={"ph": ("there",), "temperature": ("there",), "buffer": ("there",), **dict.fromkeys(_KINDS, ("there",))},
    excluded_by=frozenset({"#potential", "slope", "offset"}),
    sources=(BUFFERS,),
    examples=(Example("what does the pH 7 buffer read at 20 C", "there", 7.02, "acidity", 0.001, BUFFERS),),
)  # fmt: skip

CALCULATORS = (CALIBRATION, BUFFER)
