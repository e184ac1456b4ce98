"""Cautions on a batch in its vessel: how the pH goes, how warm it stands, what is seen on it.

No authority gives a day by which a pepper ferment must be below pH 4.6; the days here are
practice, taken on the safer side, and say so. What a reading proves goes by its
instrument: a pH counts as below 4.6 only if it is so with the instrument's whole error
added. Constants first, each with its source; then the rules, over the quantities of SHOWN.
"""

from __future__ import annotations

from collections.abc import Callable

from assistant.declare import PRACTICE, Source
from assistant.rules import Facts, Rule
from assistant.rules.salt import ACID, FDA_KRAUT, HEADSPACE, LINE, LOW_SALT, ONE_PERCENT, PH_LIMIT, PH_METER, STOP_SALT

DAYS = Source(
    "common practice, no source, for the days (below 4.6 in 3 to 7 days at 20 to 24 C); 21 CFR 114.3 for the 4.6"
)
EDGE = Source(
    "CXS 260-2007: less than 4.6 (21 CFR 114.3 says 4.6 or below; the stricter is taken); AOAC 981.12: a meter's scale "
    "is good to about 0.1"
)
BUFFERS = Source(
    "AOAC 981.12: standardize at pH 4.0, check the span at 7.0; every day of use is common practice, no source"
)
STRIPS = Source("BCIT 2017: strips were off against a meter, worse in coloured food; their 0.5 is common practice")
METER = Source("21 CFR 114.80(a)(2): above pH 4.0 measure with a meter; BCIT 2017 for strips in coloured food")
LOW = Source(
    "common practice, no source: 3.2 to 3.6 is the usual floor (Alberto, Perera and Arena 2013 saw sweet peppers "
    "with a starter and added glucose end below 3.0)"
)
GROWTH = Source("film yeasts and moulds live on the lactic acid: general food microbiology", seen=False)
MOULD = Source("common practice, no source: makers differ on mould, the stricter answer is taken")
SPOILT = Source("USDA Complete Guide to Home Canning (AIB 539), Guide 6: discard if soft, slimy or of bad odour")
KRAUT = Source(
    "USDA Complete Guide to Home Canning (AIB 539), Guide 6: 3 to 4 weeks at 70 to 75 F, 5 to 6 at 60 to 65 F; below "
    "60 F it may not ferment, above 75 F it softens, avoid above 80 F"
)
COLD_GROWTH = Source(
    "FDA Fish and Fishery Products Hazards guide, App. 4: some C. botulinum grows down to 38 F (3.3 C)", seen=False
)
EQUILIBRIUM = Source(
    "Univ. Wisconsin fact sheet: measure a blended sample after about 24 hours; two readings a week apart within 0.1 "
    "are common practice, no source"
)
ADDED = Source("FDA draft Guidance for Industry: Acidified Foods (Sept 2010); the days are common practice, no source")
NEVER = Source("common practice, no source: never merge a doubtful batch")

METER_ERROR = 0.1
"""What a reading may be off where nothing was said of the meter (AOAC 981.12)."""
CALIBRATED_ERROR = 0.05
"""What a meter calibrated that day may be off (AOAC 981.12: its repeatability)."""
STRIP_ERROR = 0.5
"""What a strip may be off, red sauce and all (common practice, no source)."""
SCALE = 14.0
"""What a meter that is not calibrated may be off: its number is void."""

EARLY = 3
"""Days after the last raw produce in which a pH above 4.6 means nothing yet (common practice, no source)."""
LATE = 7
"""Days by which it must be below 4.6 or counts as failed (common practice, no source)."""
YOUNG = 14
"""Days in which a plain lactic ferment hardly gets below LOWEST (common practice, no source)."""
LOWEST = 3.0

CHILLY, SLOW, SOFT, TOO_WARM, HOT = 13.0, 15.5, 24.0, 27.0, 32.0
"""degrees C: 55, 60, 75, 80 and 90 F (KRAUT; 55 and 90 F are common practice, no source)."""
COLD = 15.0
"""degrees C under which cold explains a slow pH, and excuses nothing."""
HALF = 0.5
"""A vessel less full than this holds much air (common practice, no source)."""

SHOWN = {
    "ph": "acidity", "before": "acidity", "error": "acidity", "failed": "acidity",
    "day": "count", "oldest": "count", "waited": "count", "unproven": "count", "since_reading": "count",
    "temperature": "temperature", "warmth": "temperature", "salinity": "fraction", "fill": "fraction",
    "strain": "date", "youngest": "date", "failed_on": "date",
}  # fmt: skip
"""The dimension of every quantity that a sentence here shows; all are in canonical units."""

_EPS = 1e-9


def error(method: str, calibrated: str, said: float = 0.0) -> float:
    """How far off a pH reading may be.

    Args:
        method: "meter", "strip" or "" (taken for a meter).
        calibrated: "yes" (that day), "" (nobody said), anything else is no calibration that counts.
        said: what was said of the instrument ("good to 0.02"); 0 if nothing was. No strip is better than
            STRIP_ERROR in a red sauce, and no figure helps a meter that is not calibrated.
    """
    if method == "strip":
        return max(STRIP_ERROR, said)
    usual = {"yes": CALIBRATED_ERROR, "": METER_ERROR}.get(calibrated, SCALE)
    return said if said and usual < SCALE else usual


def unlikely(ph: float, calibrated: str, plain: bool, age: float) -> bool:
    """Whether a reading is too low to be believed of a young ferment without vinegar."""
    return ph < LOWEST - _EPS and calibrated != "yes" and plain and age < YOUNG


def below(ph: float, off: float, line: float = PH_LIMIT) -> bool:
    """Whether a reading with its error is below a line, 4.6 if not given; the line itself is not below it (EDGE)."""
    return ph + off < line - _EPS


def above(ph: float, off: float, line: float = PH_LIMIT) -> bool:
    """Whether a reading, its error taken off, is still not below a line, 4.6 if not given."""
    return ph - off >= line - _EPS


def _less(name: str, limit: float) -> Callable[[Facts], bool]:
    return lambda facts: name in facts.values and facts.values[name] < limit - _EPS


def _more(name: str, limit: float) -> Callable[[Facts], bool]:
    return lambda facts: name in facts.values and facts.values[name] > limit + _EPS


def _open(facts: Facts) -> bool:
    """A reading that does not show a pH below 4.6, and no earlier one that stands in for it."""
    found = facts.values
    return "ph" in found and not found.get("proven") and not below(found["ph"], found["error"])


def _on(facts: Facts, low: float, high: float = float("inf")) -> bool:
    """That, on a day counted from the youngest produce."""
    return _open(facts) and low <= facts.values.get("day", 0.0) < high


def _sure(facts: Facts) -> bool:
    return above(facts.values["ph"], facts.values["error"])


def _failed(facts: Facts) -> bool:
    """A reading a week after the last raw produce that is not below 4.6 even with its error taken off."""
    return _on(facts, LATE) and _sure(facts)


def _topped(facts: Facts) -> bool:
    """Something other than raw produce went in less than a week before the reading."""
    return facts.values.get("topped", float("inf")) < LATE


def _rises(facts: Facts) -> bool:
    return facts.values.get("rise", 0.0) > facts.values.get("slack", 0.0) + _EPS


def _crossed(facts: Facts) -> bool:
    """It was shown below 4.6, and now reads 4.6 or more, by more than the instruments can be off."""
    return _rises(facts) and bool(facts.values.get("fell")) and facts.values["ph"] >= PH_LIMIT - _EPS


def _no_reading(facts: Facts) -> bool:
    return facts.values.get("proven") == 0 and facts.values.get("waited", 0.0) >= EARLY


def _unlikely(facts: Facts) -> bool:
    found = facts.values
    calibrated = "yes" if "calibrated" in facts.words else ""
    return "ph" in found and unlikely(found["ph"], calibrated, bool(found.get("plain")), found.get("age", 0.0))


def _strip(facts: Facts, low: float, high: float = SCALE) -> bool:
    return "strip" in facts.words and low <= facts.values.get("ph", -1.0) <= high


def _doing(what: str, *also: Callable[[Facts], bool]) -> Callable[[Facts], bool]:
    return lambda facts: what in facts.words and all(one(facts) for one in also)


def _doubtful(facts: Facts) -> bool:
    return not facts.values.get("proven") or "failed" in facts.values


_PACKED = "new batch in the crock\npacked 4 kg of chillies with 120 g of salt\n"
"""How most of the examples begin."""
_OTHER = "new batch of carrots in the small jar\npacked 900 g of carrots with 27 g of salt\n"
"""Another batch, to be merged with."""
_POURED = "the other one\npH 3.8 by meter on day 10\nthe other one\npoured it into batch 1"

_SAFE = f"{_PACKED}pH 3.9 by meter on day 8"

RULES: tuple[Rule, ...] = (
    # how the pH goes
    Rule(
        "ph-early", "note", ("ph", "day"), lambda facts: _on(facts, 0, EARLY),
        "pH {ph} says nothing yet: below 4.6 comes in 3 to 7 days at 20 to 24 C (68 to 75 F), later in the cold. Do "
        "not taste it before.",
        DAYS, f"{_PACKED}pH 5.2 on day 2", _SAFE,
    ),
    Rule(
        "ph-slow", "caution", ("ph", "day"), lambda facts: _on(facts, EARLY, LATE),
        "pH {ph} on day {day} does not show it below 4.6: do not taste it. Check that it stands at 20 to 24 C, that "
        "the salt is 2 to 5%, and the meter in fresh buffers; measure again tomorrow. By day 7 it must be below.",
        DAYS, f"{_PACKED}pH 5.2 on day 4", f"{_PACKED}pH 4.2 on day 4",
    ),
    Rule(
        "ph-failed", "stop", ("ph", "day"), _failed,
        "pH {ph} on day {day}: not below 4.6 a week after the last fresh produce counts as failed. Do not taste it; "
        "bin it. Acid added now does not take out a toxin already made.",
        DAYS, f"{_PACKED}pH 5.2 on day 8", f"{_PACKED}pH 5.2 on day 6", instead_of=("ph-unread", "ph-unread-late"),
    ),
    Rule(
        "ph-unproven", "stop", ("ph", "day", "error"), lambda facts: _on(facts, LATE) and not _sure(facts),
        "pH {ph} on day {day} does not prove it below 4.6: it must be below by more than the instrument can be off "
        "(a meter 0.1, calibrated that day 0.05, a strip 0.5). Do not taste or bottle it. Measure today with a meter "
        "calibrated at 4.01 and 7.00; if that does not show it below, bin it.",
        EDGE, f"{_PACKED}pH 4.55 by meter on day 8", f"{_PACKED}pH 4.4 by meter on day 8",
        instead_of=("ph-unread", "ph-unread-late"),
    ),
    Rule(
        "ph-never", "stop", ("ph", "oldest"),
        lambda facts: _on(facts, 0, LATE) and facts.values.get("oldest", 0.0) >= LATE,
        "Nothing shows that the produce that went in {oldest} days before this reading ever fell below 4.6, and pH "
        "{ph} does not either. Do not taste or bottle it; the careful answer is to bin it.",
        DAYS, f"{_PACKED}pH 5.0 on day 5\nadded 500 g of chillies with 15 g of salt on day 6\npH 5.0 on day 8",
        f"{_PACKED}pH 4.0 on day 5\nadded 500 g of chillies with 15 g of salt on day 6\npH 4.8 on day 8",
        instead_of=("ph-early", "ph-slow", "ph-unread", "ph-unread-late"),
    ),
    Rule(
        "ph-stood", "stop", ("failed", "failed_on"),
        lambda facts: "failed" in facts.values and not (_failed(facts) and not _crossed(facts)),
        "It read pH {failed} on {failed_on}, a week or more after its produce went in. A lower reading later does not "
        "vouch for the time above 4.6: do not taste it; bin it. If that reading was a mistake, take it back.",
        DAYS, f"{_PACKED}pH 5.2 on day 8\npH 4.1 on day 12", f"{_PACKED}pH 5.2 on day 5\npH 4.1 on day 12",
    ),
    Rule(
        "ph-crossed", "stop", ("ph", "before"), _crossed,
        "The pH has risen from {before} to {ph}, out of the safe side: something is eating the acid. Do not taste or "
        "bottle it. Look at the surface, measure top and bottom with a calibrated meter; if it is not below 4.6, bin "
        "it.",
        GROWTH, f"{_PACKED}pH 3.9 by meter on day 8\npH 4.8 by meter on day 20",
        f"{_PACKED}pH 3.9 by meter on day 8\npH 4.5 on a strip on day 20",
        instead_of=("ph-rise", "ph-failed", "ph-unproven", "ph-slow", "ph-early"),
    ),
    Rule(
        "ph-raised", "stop", ("ph", "topped"), lambda facts: _on(facts, LATE) and _topped(facts),
        "pH {ph} after what went in last does not show it below 4.6. Do not taste or bottle it. Keep it cold and "
        "measure a blended sample again after 24 hours; if it is not below 4.6 then, bin it.",
        ADDED, f"{_PACKED}pH 3.7 on day 20\nadded 1 kg of roasted onions with 15 g of salt on day 21\npH 4.8 on day 22",
        f"{_PACKED}pH 3.7 on day 20\nadded 100 g of roasted onions with 15 g of salt on day 21\npH 3.8 on day 22",
        instead_of=("ph-failed", "ph-unproven"),
    ),
    Rule(
        "ph-rise", "caution", ("ph", "before", "rise"), _rises,
        "The pH has risen from {before} to {ph}, by more than the instruments can be off. Growth on the surface eats "
        "acid: look, skim, cut the air, and measure top and bottom with a calibrated meter. The higher one counts.",
        GROWTH, f"{_PACKED}pH 3.6 by meter on day 8\npH 3.9 by meter on day 20",
        f"{_PACKED}pH 3.6 by meter on day 8\npH 3.8 by meter on day 20",
    ),
    Rule(
        "ph-unread", "note", ("waited",),
        lambda facts: _no_reading(facts) and facts.values.get("unproven", 0.0) < LATE,
        "No pH reading that counts for {waited} days: measure a blended sample with a calibrated meter. It should be "
        "below 4.6 by day 7 at the latest.",
        DAYS, f"{_PACKED}how is it going on day 4", f"{_PACKED}how is it going on day 2",
    ),
    Rule(
        "ph-unread-late", "caution", ("unproven",),
        lambda facts: (
            facts.values.get("proven") == 0
            and facts.values.get("unproven", 0.0) >= LATE
            and not _on(facts, LATE)
        ),
        "Nothing proves it below 4.6 in {unproven} days: measure a blended sample with a calibrated meter today, and "
        "do not taste it before.",
        DAYS, f"{_PACKED}how is it going on day 9", f"{_PACKED}how is it going on day 6", instead_of=("ph-unread",),
    ),
    Rule(
        "fresh-restarts", "note", ("portions",),
        lambda facts: (
            facts.values.get("portions", 0.0) > 1
            and facts.values.get("days", EARLY) < EARLY
            and "ph" not in facts.values
        ),
        "Fresh produce restarts the watch for the whole vessel: what was read before {youngest} proves nothing now. "
        "Measure again from day 3 on.",
        DAYS, f"{_PACKED}pH 3.8 on day 10\nadded 500 g of chillies with 15 g of salt on day 11",
        f"{_PACKED}pH 3.8 on day 10",
    ),
    Rule(
        "reading-before", "note", ("ph",), lambda facts: "stale" in facts.words and "ph" in facts.values,
        "That reading is from before the last addition, or from the same day: it proves nothing for what is in the "
        "vessel now. Measure again after 24 hours.",
        ADDED, f"{_PACKED}added 500 g of chillies with 15 g of salt on day 11\npH 3.8 on day 10",
        f"{_PACKED}pH 3.8 on day 10",
    ),
    # what it was read with
    Rule(
        "meter-void", "caution", ("ph",), lambda facts: "void" in facts.words and "ph" in facts.values,
        "A meter not calibrated that day gives no number to rely on: pH {ph} counts for nothing. Use fresh buffers of "
        "4.01 and 7.00, rinse, read 4.01 again (within 0.05), then measure.",
        BUFFERS, f"{_PACKED}pH 3.6 on day 8, meter not calibrated", f"{_PACKED}pH 3.6 on day 8, meter calibrated today",
        instead_of=("ph-early", "ph-slow"),
    ),
    Rule(
        "ph-low", "caution", ("ph", "age"), _unlikely,
        "pH {ph} is lower than a ferment without vinegar gets in two weeks: calibrate with fresh 4.01 and 7.00 buffers "
        "before believing it.",
        LOW, f"{_PACKED}pH 2.8 on day 8", f"{_PACKED}pH 3.1 on day 8",
    ),
    Rule(
        "strip-four", "caution", ("ph",), lambda facts: _strip(facts, PH_METER - STRIP_ERROR - _EPS, PH_METER + _EPS),
        "A strip can be 0.5 off, and red sauce tints it: pH {ph} on a strip does not prove 4.0. Good enough to wait "
        "on; before bottling, a calibrated meter.",
        STRIPS, f"{_PACKED}pH 3.5 on a strip on day 8", f"{_PACKED}pH 3.4 on a strip on day 8",
    ),
    Rule(
        "strip-over-four", "caution", ("ph",), lambda facts: _strip(facts, PH_METER + 2 * _EPS),
        "Above pH 4.0 only a meter counts: a strip can be 0.5 off, and red sauce tints it, so {ph} may be on either "
        "side of 4.6 or well off it. Measure with a calibrated meter.",
        METER, f"{_PACKED}pH 4.2 on a strip on day 8", f"{_PACKED}pH 4.2 by meter on day 8",
    ),
    Rule(
        "which-instrument", "note", ("ph",),
        lambda facts: (
            "unsaid" in facts.words
            and not _open(facts)
            and not below(facts.values.get("ph", 0.0), STRIP_ERROR)
        ),
        "I took that for a meter's reading. If it was a strip, it can be 0.5 off and does not prove 4.6: say so.",
        STRIPS, f"{_PACKED}pH 4.2 on day 8", f"{_PACKED}pH 4.2 by meter on day 8",
    ),
    # how warm it stands
    Rule(
        "cold-excuse", "caution", ("warmth", "day"),
        lambda facts: _on(facts, EARLY) and facts.values.get("warmth", COLD) < COLD - _EPS,
        "It has stood at about {warmth}: cold explains a slow pH but excuses nothing. It holds the acid back, not "
        "every dangerous germ, so day 7 stands. Move it to 20 to 24 C.",
        COLD_GROWTH, f"{_PACKED}it is at 12 C\npH 5.2 on day 5", f"{_PACKED}it is at 16 C\npH 5.2 on day 5",
    ),
    Rule(
        "chilly", "caution", ("temperature",), _less("temperature", CHILLY),
        "{temperature} is too cold: below about 13 C (55 F) it may not ferment at all, and nothing else guards it. "
        "Move it to 20 to 24 C (68 to 75 F), and judge it by the pH.",
        KRAUT, f"{_PACKED}it is at 12 C", f"{_PACKED}it is at 14 C", instead_of=("slow",),
    ),
    Rule(
        "slow", "note", ("temperature",), _less("temperature", SLOW),
        "{temperature} is slow: under 60 F (about 16 C) it may not ferment, and it takes 6 weeks or more. Judge it by "
        "the pH, not by bubbles.",
        KRAUT, f"{_PACKED}it is at 14 C", f"{_PACKED}it is at 16 C",
    ),
    Rule(
        "warm", "note", ("temperature",), _more("temperature", SOFT),
        "{temperature} is warm: above 24 C (75 F) it goes faster and softer, and yeasts like it. 20 to 24 C is better.",
        KRAUT, f"{_PACKED}it is at 26 C", f"{_PACKED}it is at 24 C",
    ),
    Rule(
        "too-warm", "caution", ("temperature",), _more("temperature", TOO_WARM),
        "{temperature} is too warm: avoid more than 27 C (80 F), it softens and spoils more easily. Move it somewhere "
        "cooler.",
        KRAUT, f"{_PACKED}it is at 29 C", f"{_PACKED}it is at 26 C", instead_of=("warm",),
    ),
    Rule(
        "hot", "caution", ("temperature",), _more("temperature", HOT),
        "{temperature} is hot: it ferments fast, soft and yeasty, and spoils easily. Move it to 20 to 24 C, look at "
        "the surface, and measure the pH sooner.",
        KRAUT, f"{_PACKED}it is at 34 C", f"{_PACKED}it is at 30 C", instead_of=("warm", "too-warm"),
    ),
    # what is in it, and how full it is
    Rule(
        "no-salt", "stop", ("salinity",),
        lambda facts: not facts.values.get("proven") and facts.values.get("salinity", 1.0) < 1e-6,
        "There is no salt in the account. If none went in, weigh in 2 to 3% today, or bin it if it stood warm for more "
        "than a day; if it did go in, tell me how much.",
        ONE_PERCENT, "new batch in the crock\npacked 4 kg of unsalted chillies", _PACKED.strip(),
        instead_of=("thin", "thin-stop"),
    ),
    Rule(
        "thin-stop", "stop", ("salinity",),
        lambda facts: not facts.values.get("proven") and _less("salinity", STOP_SALT)(facts),
        "By the account it is down to {salinity} salt on produce and water, under 1%: too little to hold spoilage back "
        "until the acid comes. Bring it to 2% or more today, with salt or a strong brine, never plain water.",
        ONE_PERCENT, f"{_PACKED}topped up with 9 L of water", f"{_PACKED}topped up with 3 L of water",
        instead_of=("thin",),
    ),
    Rule(
        "thin", "caution", ("salinity",),
        lambda facts: "finished" not in facts.words and _less("salinity", LOW_SALT)(facts),
        "By the account it is down to {salinity} salt on produce and water, under the 2% floor: softer, and slower "
        "to a safe pH. Top up with brine of the batch's own strength, not with plain water.",
        FDA_KRAUT, f"{_PACKED}topped up with 3 L of water", f"{_PACKED}topped up with 1 L of water",
    ),
    Rule(
        "air", "caution", ("fill",), lambda facts: "moved" in facts.words and _less("fill", HALF)(facts),
        "The vessel is {fill} full: that much air feeds film yeast and mould. Take a smaller vessel, or fill up with "
        "salted brine.",
        HEADSPACE, f"{_PACKED}moved it into a 20 L bucket", f"{_PACKED}moved it into a 6 L bucket",
        instead_of=("half-empty",),
    ),
    Rule(
        "half-empty", "note", ("fill",), _less("fill", HALF),
        "The vessel is {fill} full: less air is better once the first gas is gone. Take a smaller vessel, or fill up "
        "with salted brine or more salted produce.",
        HEADSPACE, "new batch in the 20 L crock\npacked 4 kg of chillies with 120 g of salt",
        "new batch in the 5 L crock\npacked 4 kg of chillies with 120 g of salt",
    ),
    Rule(
        "floods", "caution", ("fill",), _more("fill", LINE),
        "{fill} full: gas will lift it and flood the airlock. Keep a tenth free over brine, a quarter over mash; stand "
        "it on a tray.",
        HEADSPACE, "new batch in the 4 L jar\npacked 4 kg of chillies with 120 g of salt",
        "new batch in the 5 L crock\npacked 4 kg of chillies with 120 g of salt",
    ),
    Rule(
        "over-brim", "caution", ("fill",), _more("fill", 1.0),
        "By the account the vessel is {fill} full, more than it holds: one of the amounts or its size is wrong. Say "
        "which.",
        HEADSPACE, "new batch in the 2 L jar\npacked 4 kg of chillies with 120 g of salt",
        "new batch in the 4.2 L jar\npacked 4 kg of chillies with 120 g of salt", instead_of=("floods",),
    ),
    # what is seen on it
    Rule(
        "mould", "stop", (), lambda facts: "mould" in facts.words,
        "Mould was noted: throw it all out, and do not taste or sniff it. Mould raises the pH and may leave toxins, so "
        "skimming and a good pH reading do not clear it. If it was flat white film, take that note back and say so.",
        MOULD, f"{_PACKED}note: green fuzzy spot on top", f"{_PACKED}note: white dust at the bottom",
        instead_of=("film",),
    ),
    Rule(
        "spoilt", "stop", (), lambda facts: "spoilt" in facts.words,
        "Pink, slimy or putrid means bin it. Do not taste it, whatever the pH.",
        SPOILT, f"{_PACKED}note: gone slimy", f"{_PACKED}note: smells fruity",
    ),
    Rule(
        "pressure", "caution", (), lambda facts: "pressure" in facts.words,
        "A closed vessel that bulges is full of gas and can burst: stand clear of it, cover it with a cloth, and let "
        "the gas out a little at a time. Then give it an airlock or a loose lid. Do not taste it to find out.",
        PRACTICE, f"{_PACKED}note: the lid is bulging", f"{_PACKED}note: smells fruity",
    ),
    Rule(
        "film", "note", (), lambda facts: "film" in facts.words,
        "A flat white skin is likely film yeast: skim it, wipe the rim, cut the air, keep everything under the "
        "brine. It eats acid: measure the pH top and bottom now; readings from before it prove nothing. Fuzzy or "
        "coloured is mould: bin it.",
        GROWTH, f"{_PACKED}note: white film on top", f"{_PACKED}note: no film on top",
    ),
    # bottling, straining, merging
    Rule(
        "bottle-unproven", "stop", ("ph",), _doing("bottling", _doubtful),
        "Do not bottle it: nothing vouches for a pH below 4.6. Only a reading from after the last produce or other "
        "food went in counts, and none undoes a week above 4.6. Measure a blended sample with a calibrated meter.",
        ACID, f"{_PACKED}pH 3.8 on day 30\nadded 500 g of chillies with 15 g of salt on day 31\nbottled 2 L on day 33",
        f"{_PACKED}pH 3.8 on day 30\nbottled 2 L on day 33",
    ),
    Rule(
        "bottle-growth", "stop", (), _doing("bottling", lambda facts: bool(facts.words & {"mould", "spoilt"})),
        "Do not bottle what has had mould, slime or a foul smell: throw it out.",
        MOULD, f"{_PACKED}pH 3.8 on day 30\nnote: green mould\nbottled 2 L on day 33",
        f"{_PACKED}pH 3.8 on day 30\nnote: no mould\nbottled 2 L on day 33",
    ),
    Rule(
        "bottle-unrested", "stop", ("rested",), _doing("bottling", lambda facts: facts.values.get("rested", 1.0) < 1),
        "Do not bottle it yet: the last reading is not 24 hours after the last thing that went in or grew on it. "
        "Wait a day, blend a sample, and measure again.",
        EQUILIBRIUM, f"{_PACKED}pH 3.8 on day 30\nadded 200 mL of 5% vinegar on day 31\nbottled 2 L on day 33",
        f"{_PACKED}added 200 mL of 5% vinegar on day 31\npH 3.6 on day 32\nbottled 2 L on day 33",
    ),
    Rule(
        "bottle-strip", "stop", ("ph",), _doing("bottling", lambda facts: _strip(facts, PH_METER + 2 * _EPS)),
        "Do not bottle it on a strip: above pH 4.0 only a calibrated meter counts.",
        METER, f"{_PACKED}pH 4.2 on a strip on day 30\nbottled 2 L on day 33",
        f"{_PACKED}pH 3.8 on a strip on day 30\nbottled 2 L on day 33",
        instead_of=("strip-over-four",),
    ),
    Rule(
        "bottle-sweet", "caution", (), _doing("bottling", lambda facts: "sweetened" in facts.words),
        "Sugar went into it, and what lives in it can turn that into gas until a closed bottle bursts; a steady pH "
        "does not show that it is spent. Heat-treat it, or keep it cold for good and let the gas out.",
        PRACTICE, f"{_PACKED}added 100 g of sugar on day 20\npH 3.6 by meter on day 30\nbottled 2 L on day 33",
        f"{_PACKED}pH 3.6 by meter on day 30\nbottled 2 L on day 33",
    ),
    Rule(
        "bottle-early", "caution", ("strain", "early"), _doing("bottling", _more("early", 0.0)),
        "That is early: from the youngest produce's day, practice is not to strain or bottle before {strain}. Sugar "
        "that is left can still make gas and burst a closed bottle.",
        KRAUT, f"{_PACKED}pH 3.8 on day 10\nbottled 2 L on day 12", f"{_PACKED}pH 3.8 on day 30\nbottled 2 L on day 33",
    ),
    Rule(
        "bottle-moving", "caution", ("stable",), _doing("bottling", lambda facts: facts.values.get("stable") == 0),
        "It is not shown to be done: two meter readings a week apart should be within 0.1. Until then keep bottles "
        "cold and not tight.",
        EQUILIBRIUM, f"{_PACKED}pH 3.8 by meter on day 30\nbottled 2 L on day 33",
        f"{_PACKED}pH 3.8 by meter on day 30\npH 3.8 by meter on day 38\nbottled 2 L on day 39",
    ),
    Rule(
        "strain-early", "note", ("strain", "early"), _doing("straining", _more("early", 0.0)),
        "That is early: practice is not before {strain}, counted from the youngest produce. The pH and the taste "
        "decide.",
        KRAUT, f"{_PACKED}strained it on day 10, 1 kg of wet pulp", f"{_PACKED}strained it on day 40, 1 kg of wet pulp",
    ),
    Rule(
        "merge-doubtful", "stop", ("ph",), _doing("merging", _doubtful),
        "Do not merge it: nothing vouches for a pH below 4.6 of this batch, and a doubtful batch spoils a good one. pH "
        "does not average. Measure each with a calibrated meter first.",
        NEVER, f"{_OTHER}{_PACKED}{_POURED}", f"{_OTHER}{_PACKED}pH 3.8 on day 10\n{_POURED}",
    ),
    Rule(
        "merge-growth", "stop", (), _doing("merging", lambda facts: bool(facts.words & {"mould", "spoilt"})),
        "Never merge a batch with mould, slime or a foul smell into another: both would be lost.",
        NEVER, f"{_OTHER}{_PACKED}pH 3.8 on day 10\nnote: green mould\n{_POURED}",
        f"{_OTHER}{_PACKED}pH 3.8 on day 10\nnote: no mould\n{_POURED}",
    ),
    Rule(
        "merge-film", "caution", (), _doing("merging", lambda facts: "film" in facts.words),
        "There was film on it: skim it, cut the air, and merge it only when it stays clean and the pH holds.",
        NEVER, f"{_OTHER}{_PACKED}pH 3.8 on day 10\nnote: white film\n{_POURED}",
        f"{_OTHER}{_PACKED}pH 3.8 on day 10\nnote: no film\n{_POURED}",
    ),
    Rule(
        "merge-high", "caution", ("ph",),
        _doing("merging", lambda facts: facts.values.get("ph", 0.0) > PH_METER + _EPS),
        "pH {ph} is over 4.0: merge only batches that are both at 4.0 or lower, and measure the whole again after 24 "
        "hours.",
        PRACTICE, f"{_OTHER}{_PACKED}pH 4.2 by meter on day 10\n{_POURED}",
        f"{_OTHER}{_PACKED}pH 3.9 by meter on day 10\n{_POURED}",
    ),
)  # fmt: skip
"""All rules of the watch, grouped by subject; ``cautions(facts, RULES)`` sorts them by severity."""
