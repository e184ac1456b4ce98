"""Cautions on salt, vessels, produce and pH.

Constants first, each with its source; then the rules.
"""

from __future__ import annotations

from assistant.declare import ARITHMETIC, PRACTICE, Source
from assistant.rules import Facts, Rule
from assistant.trade.produce import HOT

FDA_KRAUT = Source("FDA CPG 585.750 (2005): sauerkraut has 2 to 3 % salt")
NCHFP = Source("USDA/NCHFP fermenting guidance: do not reduce the salt, keep 1-2 in. under brine", seen=False)
ACID = Source("21 CFR 114.3: acid food has a pH of 4.6 or below")
FOOD_CODE = Source("FDA Food Code 1-201.10 Table B: unheated food needs pH 4.2 or below")
METER = Source("21 CFR 114.80(a)(2): above pH 4.0 measure with a meter")
SALT_STOCK = Source("salt-stock cucumber study: lactic fermentation still runs at 8 to 12 % salt, slowly")
GUIDANCE = Source(
    "FDA draft Guidance for Industry: Acidified Foods (Sept 2010), fermented foods with low-acid ingredients"
)
GAS = Source("stoichiometry: 1 kg of red chilli can give up to 7 L of gas", seen=True)
BURN = Source("USDA/NCHFP pepper pages", seen=False)
IODISED = Source("extension guidance: iodised salt may cloud brine; reduced-sodium salt is not for ferments")
AIB = Source("USDA Complete Guide to Home Canning, AIB 539 (2009), Guide 6")

LOW_SALT = 0.02
STOP_SALT = 0.01
HIGH_SALT = 0.10
LINE = 0.905
"""Just above the 90 % fill line, so that filling exactly to it is spared."""
MASH_LINE = 0.75
"""A quarter of the vessel free for a rising mash."""
PH_LIMIT = 4.6
PH_UNHEATED = 4.2
PH_METER = 4.0

LOW_ACID = frozenset(
    {"garlic", "carrot", "onion", "mango", "tomato", "oil", "roasted", "honey", "sugar", "beet", "bean"}
)
"""Low-acid or sweet things that people add after fermenting."""

_END = ("of_total", "of_produce", "after")


def _end(facts: Facts) -> float | None:
    """The salt where the ferment ends up, of produce and water (or of the mash)."""
    if facts.calculator in ("packed", "mash"):
        return facts.get("of_total", "of_produce")
    if facts.calculator in ("dilute", "top-up", "mix") and facts.words & {"batch", "mash", "produce"}:
        return facts.get("after")
    return None


def _below(facts: Facts, limit: float) -> bool:
    end = _end(facts)
    return end is not None and end < limit - 1e-9


def _high(facts: Facts) -> bool:
    end = _end(facts)
    return end is not None and end > HIGH_SALT + 1e-9


def _level(facts: Facts) -> float:
    """How full the vessel gets; nothing when the question is how many vessels."""
    if "count" in facts.goals:
        return 0.0
    return facts.get("level", "fill") or 0.0


def _line(facts: Facts) -> float:
    return MASH_LINE if "mash" in facts.words or facts.calculator == "mash" else LINE


def _ph(facts: Facts) -> float | None:
    return facts.get("ph")


RULES: tuple[Rule, ...] = (
    Rule(
        "salt-below-one", "stop", ("of_total", "of_produce"),
        lambda facts: _below(facts, STOP_SALT),
        "Do not start this: it would settle at {end}, under 1%. Too little salt lets spoilage and "
        "dangerous bacteria grow before the acid comes. Use 2% or more.",
        NCHFP, "2% brine over 700 g of peppers in a 1 L jar", "brine for 3 kg of peppers in a 10 L crock at 3%",
        instead_of=("salt-below-two",),
    ),
    Rule(
        "salt-below-two", "caution", ("of_total", "of_produce"),
        lambda facts: _below(facts, LOW_SALT),
        "It would settle at {end}, under 2%: too weak to protect the first days. The produce's own "
        "water thins the brine. For 3% ask: which brine for 3% in the end.",
        FDA_KRAUT, "3.5% brine over 600 g of peppers in a 1 L jar filled to 900 mL",
        "brine for 3 kg of peppers in a 10 L crock at 2.5%",
    ),
    Rule(
        "salt-over-ten", "caution", ("of_total", "of_produce"), _high,
        "{end} is over 10%: it ferments slowly or hardly at all, and needs thinning before it is eaten. "
        "That much is for ageing of a year or more.",
        SALT_STOCK, "mash of 2 kg of chillies at 12%", "mash of 2 kg of chillies at 9%",
    ),
    Rule(
        "brine-thins",
        "note",
        (),
        lambda facts: facts.calculator == "brine",
        "Over produce this thins, because the produce's own water joins in: tell me the produce's weight to see "
        "where the salt ends.",
        ARITHMETIC,
        "brine with 2 L of water at 3%",
        "mash of 4 kg of cabbage at 3%",
    ),
    Rule(
        "floating", "caution", (),
        lambda facts: "floating" in facts.words,
        "Keep everything 1 to 2 in. (2.5 to 5 cm) under the brine with a weight: what stands in air moulds. "
        "Take off and bin what has gone above the line.",
        NCHFP, "brine for 3 kg of floating peppers in a 10 L crock at 3%",
        "brine for 3 kg of peppers in a 10 L crock at 3%",
    ),
    Rule(
        "overfull-stop", "stop", ("level",),
        lambda facts: _level(facts) > 1 + 1e-9,
        "It does not fit: the vessel would be {level_or_fill} full and run over.",
        AIB, "will 12 kg of peppers fit in a 10 L crock", "will 5 kg of peppers fit in a 10 L crock",
        instead_of=("overfull",),
    ),
    Rule(
        "overfull", "caution", ("level", "fill"),
        lambda facts: _level(facts) > _line(facts),
        "{level_or_fill} full leaves too little headspace: gas lifts the produce and pushes brine out. Keep "
        "a tenth free over brine (in a wide crock 4 to 5 in.), a quarter over mash.",
        AIB, "brine for 600 g of peppers in a 1 L jar filled to 980 mL at 3%",
        "brine for 600 g of peppers in a 1 L jar filled to 900 mL at 3%",
    ),
    Rule(
        "closed-vessel", "caution", (),
        lambda facts: bool(facts.words & {"sealed", "bag"}) and (facts.starts_ferment or facts.calculator == "vessel"),
        "A live ferment in a closed vessel is a pressure vessel: glass can burst. Use an airlock, a water "
        "seal or a loose lid, on a tray.",
        GAS, "brine for 600 g of peppers in a 1 L jar with a tight lid at 3%",
        "brine for 600 g of peppers in a 1 L jar at 3%",
    ),
    Rule(
        "iodised", "note", (),
        lambda facts: "iodised" in facts.words,
        "Iodised salt can be used; it may cloud the brine. Weigh it the same.",
        IODISED, "mash of 4 kg of chillies at 3% with iodised salt", "mash of 4 kg of chillies at 3% with fine salt",
    ),
    Rule(
        "reduced-sodium", "stop", (),
        lambda facts: "reduced" in facts.words,
        "Reduced-sodium salt is not for ferments: part of it is not salt, so the numbers here do not hold. "
        "Use plain salt.",
        IODISED, "mash of 4 kg of chillies at 3% with reduced-sodium salt",
        "mash of 4 kg of chillies at 3% with fine salt",
    ),
    Rule(
        "low-acid", "caution", (),
        lambda facts: bool(facts.words & LOW_ACID) and "finished" in facts.words,
        "Anything low-acid or sweet added after fermenting voids the last pH reading: blend, wait 24 hours, "
        "measure again, and keep it cold until it is proven. No oil in a stored sauce.",
        GUIDANCE, "mix 500 g of garlic at 0% into 2 kg of fermented mash at 3%",
        "brine for 500 g of garlic in a 1 L jar at 3%",
    ),
    Rule(
        "roasted", "note", (),
        lambda facts: "roasted" in facts.words and facts.starts_ferment,
        "Roasted or cooked produce carries no live bacteria: keep about half of it raw or add live brine, and "
        "watch the pH closely.",
        PRACTICE, "mash of 4 kg of roasted chillies at 3%", "mash of 4 kg of fresh chillies at 3%",
    ),
    Rule(
        "gloves", "note", (),
        lambda facts: bool(facts.words & HOT) and facts.starts_ferment,
        "Hot chillies: gloves on, hands off the eyes, open a window when you chop, blend or heat.",
        BURN, "mash of 4 kg of habaneros at 3%", "mash of 4 kg of cabbage at 3%",
    ),
    Rule(
        "ph-start", "note", (),
        lambda facts: facts.starts_ferment,
        "Safe to taste only once a meter shows pH 4.6 or lower; aim for 4.0. For anything sold, local rules and "
        "a licensed process authority decide.",
        ACID, "mash of 4 kg of chillies at 3%", "convert 5 lb to kg",
    ),
    Rule(
        "ph-above", "stop", ("ph",),
        lambda facts: (_ph(facts) or 0) >= PH_LIMIT - 1e-9,
        "pH {ph} is not proven below 4.6: do not taste it, do not bottle it. In the first days, wait and measure "
        "again; after a week above 4.6 the careful answer is to bin it. Acid added now does not undo a toxin.",
        ACID, "pH 4.9", "pH 3.8",
    ),
    Rule(
        "ph-thin", "caution", ("ph",),
        lambda facts: PH_UNHEATED < (_ph(facts) or 0) < PH_LIMIT - 1e-9,
        "pH {ph} is under the limit of 4.6 by a thin margin: a meter is needed here (a strip can be 0.5 off), "
        "4.2 is the limit for unheated sauce, and 4.0 the aim.",
        FOOD_CODE, "pH 4.4", "pH 3.8",
    ),
    Rule(
        "ph-meter", "note", ("ph",),
        lambda facts: PH_METER < (_ph(facts) or 0) <= PH_UNHEATED,
        "Above pH 4.0 only a calibrated meter counts, not a strip. 4.0 or lower is the aim.",
        METER, "pH 4.1", "pH 3.8",
    ),
    Rule(
        "ph-odd", "caution", ("ph",),
        lambda facts: 0 < (_ph(facts) or 0) < 3.0,
        "pH {ph} is lower than a plain ferment gets (about 3.2): calibrate the meter with fresh 4.01 and 7.00 "
        "buffers before believing it.",
        PRACTICE, "pH 2.8", "pH 3.8",
    ),
    Rule(
        "mix-ph", "note", (),
        lambda facts: facts.calculator in ("mix", "top-up", "dilute"),
        "pH does not average, and fresh produce restarts the watch: measure it again tomorrow. Never mix a sick "
        "jar into a good one.",
        ACID, "mix 3 kg at 2.5% with 5 kg at 5%", "raise 10 kg from 1.5% to 3%",
    ),
)  # fmt: skip
"""All rules, grouped by subject; ``cautions`` sorts them by severity."""
