"""What one pH reading proves: the reading with its instrument's whole error, against three lines.

A line counts as kept only if the reading with the error added is below it; a band that touches
or crosses the line proves nothing, and several readings are never averaged: the highest counts.
How far an instrument may be off stands in ``rules/watch.py``, the lines in ``rules/salt.py``.
No reading shows a sauce to be harmless, so none is ever called that.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from assistant.declare import Source
from assistant.rules.salt import PH_LIMIT, PH_METER, PH_UNHEATED
from assistant.rules.watch import CALIBRATED_ERROR, EDGE, EQUILIBRIUM, METER, SCALE, above, below, error

LINES = (PH_LIMIT, PH_UNHEATED, PH_METER)
"""The limit of acid food, of sauce that is not heated, and the aim, above which only a meter counts."""

COOLEST, WARMEST = 20.0, 30.0
"""degrees C of a sample between which a reading counts; 25 is best (21 CFR 114.90(a)(4), from memory)."""

SOUREST = 2.4
"""5 % vinegar itself is about pH 2.4: hardly any sauce is sourer, and a reading below it is doubted."""

UNHEATED = Source("FDA Food Code 1-201.10 Table B: food that is not heated needs a pH of 4.2 or below")
AIM = Source("21 CFR 114.80(a)(2): above pH 4.0 measure with a meter; 4.0 as the aim is common practice, no source")
MEANS = {PH_LIMIT: EDGE, PH_UNHEATED: UNHEATED, PH_METER: AIM}
"""Where each line comes from."""

VOID = {
    "added": Source(
        "FDA draft Guidance for Industry: Acidified Foods (Sept 2010), fermented foods with low-acid ingredients"
    ),
    "order": EQUILIBRIUM,
    "uncalibrated": Source("AOAC 981.12: standardize at pH 4.0; every day of use is common practice, no source"),
    "odd": Source("weak acid arithmetic: 0.83 mol/L of acetic acid with pKa 4.756 is pH 2.42"),
    "strip": METER,
    "warm": Source("21 CFR 114.90(a)(4): measure at 20 to 30 C", seen=False),
    "early": EQUILIBRIUM,
    "sample": EQUILIBRIUM,
    "before": EQUILIBRIUM,
    "stopped": EDGE,
}
"""What makes a reading count for nothing, the gravest first, and why."""


@dataclass(frozen=True)
class Sample:
    """A pH reading and what was said of how it was taken.

    Attributes:
        ph: the reading; of several the highest.
        method: "meter", "strip" or "" where nobody said.
        calibrated: "yes" (that day), "no", or "".
        said: how far off the instrument may be, as it was said; 0 where nobody did, SCALE for a sample that was
            entered as too warm or too young to count.
        warmth: degrees C of the sample; None where nobody said.
        warm: it was said to be hot or cold, with no figure.
        early: read less than a day after blending or after the last thing that went in.
        rested: a day or more after, as was said.
        blended: said to be blended.
        added: what went in after the reading that can raise the pH, in words.
        unordered: what went in, where the line does not say that the reading came a day or more after it.
        before: read on the day of the last thing that went in, or before it, as the account has it.
        stopped: something in the account stands against the batch, whatever this reads.
    """

    ph: float
    method: str = ""
    calibrated: str = ""
    said: float = 0.0
    warmth: float | None = None
    warm: bool = False
    early: bool = False
    rested: bool = False
    blended: bool = False
    added: str = ""
    unordered: str = ""
    before: bool = False
    stopped: bool = False


@dataclass(frozen=True)
class Verdict:
    """What a sample proves: ``lines`` are those it is shown to be below; none if it is ``void``."""

    sample: Sample
    off: float
    lines: tuple[float, ...] = ()
    void: str = ""

    @property
    def low(self) -> float:
        """The lowest that the pH may be."""
        return max(0.0, self.sample.ph - self.off)

    @property
    def high(self) -> float:
        """The highest that the pH may be."""
        return min(14.0, self.sample.ph + self.off)

    @property
    def over(self) -> bool:
        """Whether it is not below the limit even with the error taken off."""
        return not self.void and above(self.sample.ph, self.off)


def judge(sample: Sample) -> Verdict:
    """The verdict on a sample."""
    off = error(sample.method, sample.calibrated, sample.said)
    why = _void(sample, off)
    lines = () if why else tuple(line for line in LINES if below(sample.ph, off, line))
    return Verdict(sample, off, lines, why)


def _void(sample: Sample, off: float) -> str:
    """Why a reading counts for nothing (a key of VOID), or ""."""
    outside = sample.warmth is not None and not COOLEST <= sample.warmth <= WARMEST
    holds = {
        "added": bool(sample.added),
        "order": bool(sample.unordered) and below(sample.ph, off, PH_LIMIT),
        "uncalibrated": off >= SCALE > sample.said,
        "odd": sample.ph < SOUREST - 1e-9,
        "strip": sample.method == "strip" and sample.ph > PH_METER + 1e-9,
        "warm": outside or (sample.warm and sample.warmth is None),
        "early": sample.early,
        "sample": sample.said >= SCALE,
        "before": sample.before,
        "stopped": sample.stopped,
    }
    return next((name for name in VOID if holds[name]), "")


# the words -------------------------------------------------------------------------------------


def _joined(lines: Iterable[float]) -> str:
    shown = [f"{one:.1f}" for one in lines]
    return shown[0] if len(shown) == 1 else f"{', '.join(shown[:-1])} and {shown[-1]}"


def level(ph: float) -> str:
    """A pH with one decimal at the least: "4.0", "3.95"."""
    return f"{ph:.1f}" if abs(ph - round(ph, 1)) < 1e-9 else f"{ph:.4g}"


def figure(verdict: Verdict) -> str:
    """ "pH 3.9 by meter, 0.1 either way, is between 3.8 and 4.0"."""
    how = {"meter": " by meter", "strip": " on a strip"}.get(verdict.sample.method, "")
    band = f"between {level(verdict.low)} and {level(verdict.high)}"
    return f"pH {level(verdict.sample.ph)}{how}, {verdict.off:.3g} either way, is {band}"


def lead(verdict: Verdict) -> str:
    """The verdict in one sentence, its first word first."""
    one = verdict.sample
    if verdict.void == "added":
        return f"Void: {one.added} went in after that reading; pH {level(one.ph)} was the sauce before it."
    if verdict.void == "order":
        order = f"nothing says that pH {level(one.ph)} was read a day or more after it"
        return f"Not proven: {one.unordered} went in, and {order}."
    if verdict.void == "uncalibrated":
        return f"Not proven: pH {level(one.ph)} from a meter that was not calibrated that day is no number to rely on."
    if verdict.void == "odd":
        return f"Not proven: pH {level(one.ph)} is sourer than vinegar, and hardly any sauce is: look to the meter."
    if verdict.void == "strip":
        return f"Does not count: above pH {PH_METER:.1f} only a meter does, and {figure(verdict)}."
    if verdict.void == "warm":
        return f"Not proven yet: pH {level(one.ph)} was not read at about 25 C, and counts only so."
    if verdict.void == "early":
        return (
            f"Not proven yet: pH {level(one.ph)} was read too soon; pieces still give up their juice, and it can rise."
        )
    if verdict.void == "sample":
        return f"Not proven: pH {level(one.ph)} was read in a way that does not count."
    if verdict.void == "before":
        return f"Not proven for what is in it now: {figure(verdict)}."
    if verdict.void == "stopped":
        return f"Does not clear the batch: {figure(verdict)}."
    if verdict.over:
        return f"Not below {PH_LIMIT}: {figure(verdict)}."
    if not verdict.lines:
        return f"Not proven below {PH_LIMIT}: {figure(verdict)}."
    rest = [line for line in LINES if line not in verdict.lines]
    lacks = f", not below {_joined(rest).replace(' and ', ' or ')}" if rest else ""
    return f"Proven below {_joined(verdict.lines)}{lacks}: {figure(verdict)}."


def onward(verdict: Verdict) -> str:
    """What to do next; "" where the cautions say it."""
    again = "a blended sample at about 25 C, 24 hours after the last thing that went in"
    if verdict.void == "strip":
        return "Red sauce tints a strip."
    if verdict.void in ("warm", "early", "sample", "order"):
        return f"Read {again}."
    if verdict.void or not verdict.lines:
        return ""
    if PH_METER in verdict.lines:
        return "It says nothing of yeast: what goes into bottles is heated or kept cold."
    one = verdict.sample
    line = PH_METER if PH_UNHEATED in verdict.lines else PH_UNHEATED
    closer = one.method == "strip" or (below(one.ph, CALIBRATED_ERROR, line) and verdict.off > CALIBRATED_ERROR)
    better = "give it more days, or try acid on 100 g of it"
    better = f"a meter calibrated today may show it; else {better}" if closer else better
    if PH_UNHEATED in verdict.lines:
        return f"{PH_METER:.1f} is the aim: {better}."
    return f"{PH_UNHEATED} is the limit of sauce that is not heated, {PH_METER:.1f} the aim: {better}."


def taken(verdict: Verdict, *, kept: bool = False, instrument: bool = True) -> str:
    """What nobody said and the verdict rests on, as one sentence; "" where nothing is, or the reading is void.

    Args:
        verdict: the verdict.
        kept: the book knows what went in when.
        instrument: whether to name the instrument, where nothing else does.
    """
    one = verdict.sample
    if verdict.void:
        return ""
    found: list[str] = []
    if not one.method and instrument:
        found.append("by meter (a strip counts only up to 4.0)")
    if one.method != "strip":
        if not one.said and not one.calibrated:
            found.append(f"good to {verdict.off:g}")
        elif one.said and not one.calibrated:
            found.append("calibrated today")
    sample = [] if one.blended else ["a blended sample"]
    sample += [] if one.warmth is not None else ["at about 25 C"]
    sample += [] if one.rested or kept else ["a day after the last thing that went in"]
    found += sample
    return f"Taken: {', '.join(found)}." if found else ""


_MEANING = {
    PH_LIMIT: "4.6 is the limit of acid food: at it and below the spores of botulism do not grow out.",
    PH_UNHEATED: "4.2 is the limit of food that is not heated.",
    PH_METER: "4.0 is the aim, and above it only a meter counts.",
}


def reasons(ph: float, off: float, void: str = "") -> list[tuple[str, Source]]:
    """What a verdict on a reading rests on, each with its source; ``void`` as in Verdict."""
    if void:
        return [(f"pH {level(ph)} counts for nothing here.", VOID[void])]
    band = f"{level(ph)} + {off:.3g} = {level(ph + off)} must be below a line to prove it, by the instrument's error."
    return [(band, EDGE), *((text, MEANS[line]) for line, text in _MEANING.items())]
