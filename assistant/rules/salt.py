"""Cautions on salt, vessels, produce and pH.

Constants first, each with its source; then the rules.
"""

from __future__ import annotations

from assistant.declare import ARITHMETIC, PRACTICE, Source
from assistant.rules import Facts, Rule
from assistant.rules.heat import RULES as HEAT_RULES
from assistant.rules.meter import RULES as METER_RULES
from assistant.trade.produce import HOT

FDA_KRAUT = Source("FDA CPG 585.750 (2005): sauerkraut has 2 to 3 % salt; 2 % as a floor is common practice")
NCHFP = Source("USDA/NCHFP fermenting guidance: do not reduce the salt, keep 1-2 in. under brine", seen=False)
ACID = Source("21 CFR 114.3: acid food has a pH of 4.6 or below")
PH_PRACTICE = Source("common practice, no source: pH is a logarithm and sauce is buffered")
ONE_PERCENT = Source("common practice, no source, for the 1 % line; USDA/NCHFP: do not reduce the salt (from memory)")
AGED = Source("Awad 1986, LSU dissertation: hot pepper mash aged two years at 6, 8 and 10 % salt")
HEADSPACE = Source("common practice, no source; USDA AIB 539 gives 4 to 5 in. above cabbage")
GUIDANCE = Source(
    "FDA draft Guidance for Industry: Acidified Foods (Sept 2010), fermented foods with low-acid ingredients"
)
GAS = Source("stoichiometry: 1 kg of red chilli can give up to 7 L of gas")
NO_RINSE = Source("21 CFR 178.1010(c): no-rinse chlorine up to 200 ppm, iodine up to 25 ppm", seen=False)
FOOD_CODE = Source("FDA Food Code 4-501.114: least chlorine by temperature, iodine 12.5 to 25 mg/L")
HOLDING = Source(
    "Univ. Wisconsin Extension, hot-fill-hold for acidified foods: the lowest product temperature counts, all through"
)
GLASS = Source("common practice, no source: a bottle of live sugar bursts; heat or cold is the remedy")
ALLERGENS = Source("CXS 1-1985, 4.2.1.4: fish, crustacea, soybeans and gluten are always declared", seen=False)
BURN = Source("USDA/NCHFP pepper pages", seen=False)
LYE = Source(
    "safety data of sodium hydroxide solutions; never eating a titrated sample is laboratory practice", seen=False
)
IODISED = Source("extension guidance: iodised salt may cloud brine; reduced-sodium salt is not for ferments")

SANITIZERS = ("sanitizer", "sanitizer-ratio")
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
    {
        "garlic",
        "carrot",
        "onion",
        "mango",
        "tomato",
        "roasted",
        "honey",
        "sugar",
        "beet",
        "bean",
        "apple",
        "peach",
        "pineapple",
        "raw",
    }
)
"""Low-acid or sweet things that people add after fermenting."""


def _end(facts: Facts) -> float | None:
    """The salt where the ferment ends up, of produce and water (or of the mash)."""
    if facts.calculator in ("packed", "mash"):
        return facts.get("of_total", "of_produce")
    batch = facts.calculator == "top-up" or "brine" not in facts.words or facts.words & {"batch", "mash", "produce"}
    if facts.calculator in ("dilute", "top-up", "mix", "raise") and batch:
        return facts.get("after")
    return None


def _added_fresh(facts: Facts) -> bool:
    """Something low-acid, sweet or raw going into what has fermented, or said with a pH reading."""
    into = facts.calculator in ("mix", "top-up", "dilute", "ph") or (
        facts.calculator == "sweeten" and bool(facts.words & {"mango", "pineapple", "apple", "peach", "tomato"})
    )
    return into and bool(facts.words & LOW_ACID)


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
    mash = facts.calculator == "mash" or (facts.calculator == "vessel" and "mash" in facts.words)
    return MASH_LINE if mash else LINE


def _ph(facts: Facts) -> float:
    """The pH read; 0 if none was."""
    return facts.get("ph") or 0.0


RULES: tuple[Rule, ...] = (
    Rule(
        "salt-below-one", "stop", ("of_total", "of_produce"),
        lambda facts: _below(facts, STOP_SALT),
        "Do not start this: it would settle at {end}, under 1%. Too little salt lets spoilage and "
        "dangerous bacteria grow before the acid comes. Use 2% or more.",
        ONE_PERCENT, "2% brine over 700 g of peppers in a 1 L jar", "brine for 3 kg of peppers in a 10 L crock at 3%",
        instead_of=("salt-below-two",),
    ),
    Rule(
        "salt-below-two", "caution", ("of_total", "of_produce"),
        lambda facts: _below(facts, LOW_SALT),
        "It would settle at {end}, under the 2% floor: softer, and slower to a safe pH. The produce's own "
        "water thins the brine. For 3% ask: which brine for 3% in the end.",
        FDA_KRAUT, "3.5% brine over 600 g of peppers in a 1 L jar filled to 900 mL",
        "brine for 3 kg of peppers in a 10 L crock at 2.5%",
    ),
    Rule(
        "salt-over-ten", "caution", ("of_total", "of_produce"), _high,
        "{end} is over 10%: it ferments more slowly and must be thinned before it is eaten. "
        "Mash aged for two years has used 6 to 10%.",
        AGED, "mash of 2 kg of chillies at 12%", "mash of 2 kg of chillies at 9%",
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
        "brine-weak",
        "caution",
        ("of_water",),
        lambda facts: facts.calculator == "brine" and (facts.get("of_water") or 1) < LOW_SALT - 1e-9,
        "A brine under 2% ends lower still over produce: too weak to ferment in.",
        FDA_KRAUT,
        "brine with 2 L of water at 1%",
        "brine with 2 L of water at 3%",
    ),
    Rule(
        "not-covered",
        "caution",
        ("water_volume", "produce_volume"),
        lambda facts: (
            facts.calculator == "packed"
            and (facts.get("water_volume") or 0) < 0.45 * (facts.get("produce_volume") or 0)
        ),
        "That little brine will hardly cover it: packed slices need about half their own space in brine. Take a "
        "bigger vessel or less produce.",
        PRACTICE,
        "brine for 2 kg of carrots in a 3 L jar at 3%",
        "brine for 2 kg of carrots in a 5 L jar at 3%",
    ),
    Rule(
        "dried",
        "caution",
        (),
        lambda facts: "dried" in facts.words and facts.starts_ferment,
        "Dried pods: weigh them after soaking, with the water they took up, and give them raw produce or live brine "
        "to start from; dry weight makes these numbers wrong.",
        PRACTICE,
        "mash of 2 kg of dried chillies at 3%",
        "mash of 2 kg of chillies at 3%",
    ),
    Rule(
        "ph-warm",
        "caution",
        ("temperature",),
        lambda facts: facts.calculator == "ph" and abs(facts.values.get("temperature", 25.0) - 25.0) > 5.0,
        "Bring a sample to about 25 C (77 F): the meter corrects its probe for temperature, not the sauce.",
        Source("21 CFR 114.90(a)(4): measure at 20 to 30 C", seen=False),
        "pH 3.8 at 60 C",
        "pH 3.8 at 25 C",
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
        HEADSPACE, "will 12 kg of peppers fit in a 10 L crock", "will 5 kg of peppers fit in a 10 L crock",
        instead_of=("overfull",),
    ),
    Rule(
        "overfull", "caution", ("level", "fill"),
        lambda facts: _level(facts) > _line(facts) or "brim" in facts.words,
        "{level_or_fill} full leaves too little headspace: gas lifts the produce and pushes brine out. Keep "
        "a tenth free over brine (in a wide crock 4 to 5 in.), a quarter over mash.",
        HEADSPACE, "brine for 600 g of peppers in a 1 L jar filled to 980 mL at 3%",
        "brine for 600 g of peppers in a 1 L jar filled to 900 mL at 3%",
    ),
    Rule(
        "closed-vessel", "caution", (),
        lambda facts: (
            "sealed" in facts.words
            and "vented" not in facts.words
            and (facts.starts_ferment or facts.calculator == "vessel")
        ),
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
        _added_fresh,
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
        "Safe to taste only once a calibrated meter shows a pH below 4.6; aim for 4.0. For anything sold, local "
        "rules and a licensed process authority decide.",
        ACID, "mash of 4 kg of chillies at 3%", "convert 5 lb to kg",
    ),
    Rule(
        "ph-above", "stop", ("ph",),
        lambda facts: "void" not in facts.words and _ph(facts) + (facts.get("error") or 0.0) >= PH_LIMIT - 1e-9,
        "Do not taste it, do not bottle it. In the first days, wait and measure again; after a week above 4.6 the "
        "careful answer is to bin it. Acid added now does not undo a toxin.",
        Source("21 CFR 114.3 for the 4.6; the week is common practice, no source"), "pH 4.9", "pH 3.8",
    ),
    Rule(
        "ph-void", "caution", ("ph",),
        lambda facts: "void" in facts.words
        and not facts.words & {"void added", "void warm", "void early", "void odd", "void order"},
        "Do not taste or bottle it on that number. Calibrate a meter in fresh 4.01 and 7.00 buffers, rinse, and read a "
        "blended sample.",
        Source("AOAC 981.12: standardize at pH 4.0, check the span at 7.0; 21 CFR 114.80(a)(2) for the meter"),
        "pH 4.2 on a strip", "pH 3.8 on a strip",
    ),
    Rule(
        "ph-odd", "caution", ("ph",),
        lambda facts: facts.values.get("ph", 7.0) < 3.0,
        "pH {ph} is lower than most ferments reach: calibrate the meter with fresh 4.01 and 7.00 "
        "buffers before believing it.",
        PRACTICE, "pH 2.8", "pH 3.8",
    ),
    Rule(
        "mix-ph", "note", (),
        lambda facts: facts.calculator in ("mix", "top-up", "dilute") or facts.values.get("add_mash", 0.0) > 0,
        "pH does not average, and fresh produce restarts the watch: measure it again tomorrow. Never mix a sick "
        "jar into a good one.",
        PH_PRACTICE, "mix 3 kg at 2.5% with 5 kg at 5%", "raise 10 kg from 1.5% to 3%",
    ),
    Rule(
        "bottled", "caution", (),
        lambda facts: facts.calculator == "bottling",
        "Bottle only what a calibrated meter shows below pH 4.6 (aim for 4.0 or lower), a day after the last addition. "
        "Sauce that was not heated goes on living: keep it cold, or a closed bottle can burst.",
        GLASS, "24 bottles of 150 ml, how much sauce", "how big a jar for 3 kg of mash",
    ),
    Rule(
        "live-sugar", "stop", ("pressure",),
        lambda facts: facts.calculator == "bottle-gas",
        "Never close a bottle tight on live sugar: glass bursts long before that. Heat-treat the sauce, or keep it "
        "cold for good and let the gas out.",
        GLASS, "gas pressure from 40 g of sugar per litre", "sweeten 2 kg of sauce to 5% sugar",
    ),
    Rule(
        "sweetened", "caution", (),
        lambda facts: facts.calculator == "sweeten",
        "Sugar feeds what lives in a sauce that was not heated, and a closed bottle can burst: heat-treat it, or "
        "keep it cold for good.",
        GLASS, "sweeten 2 kg of sauce to 5% sugar", "raise 10 kg from 1.5% to 3%",
    ),
    Rule(
        "hold-short", "stop", ("reach",),
        lambda facts: facts.calculator in ("hold", "filled") and facts.values.get("reach", 1.0) < 1 - 1e-9,
        "Not enough: hold it longer or hotter, and measure at the coldest point. A bottle that missed it is heated "
        "again from the start, kept cold, or thrown out.",
        HOLDING, "is 1 minute at 70 C enough for pH 4.2", "hold at 180 F for 10 minutes, pH 3.9",
    ),
    Rule(
        "sanitizer-strong", "stop", ("ppm",),
        lambda facts: facts.calculator in SANITIZERS
        and facts.values.get("ppm", 0.0) > (25e-6 if "iodophor" in facts.words else 200e-6) * 1.001,
        "That is over the no-rinse limit (chlorine 200 ppm, titratable iodine 25 ppm): thin it, or rinse with boiled "
        "water.",
        NO_RINSE, "20 ml of 8.25% bleach in 3 litres of water",
        "how much 5.25% bleach for 100 ppm in 5 litres of water",
    ),
    Rule(
        "sanitizer-weak", "caution", ("ppm",),
        lambda facts: facts.calculator in SANITIZERS
        and 0 < facts.values.get("ppm", 1.0) < (12.5e-6 if "iodophor" in facts.words else 50e-6) * 0.999,
        "That is weaker than published rules take: 12.5 ppm of iodine, 50 ppm of chlorine (25 to 49 only in water of "
        "120 F, 49 C). Make it stronger.",
        FOOD_CODE, "how much 5.25% bleach for 20 ppm in 5 litres of water",
        "how much 5.25% bleach for 100 ppm in 5 litres of water",
    ),
    Rule(
        "bleach-old", "note", (),
        lambda facts: facts.calculator in SANITIZERS and "bleach" in facts.words,
        "Bleach weakens with age, warmth and light: after some months its label no longer holds. Test strips for "
        "chlorine show what the mix really has; make it fresh each day.",
        PRACTICE, "how much 5.25% bleach for 100 ppm in 5 litres of water",
        "how much 1.6% iodophor for 25 ppm in 5 litres of water",
    ),
    Rule(
        "bleach-mixed", "caution", (),
        lambda facts: facts.calculator in SANITIZERS,
        "Never mix bleach with vinegar, another acid or ammonia: the gas can kill. Gloves, fresh air, plain unscented "
        "bleach only, made up the same day.",
        NO_RINSE, "how much 5.25% bleach for 100 ppm in 5 litres of water", "raise 10 kg from 1.5% to 3%",
    ),
    Rule(
        "scald", "caution", (),
        lambda facts: facts.calculator in ("hold", "filled"),
        "Hot sauce sticks and scalds, and its steam burns eyes and lungs: gloves, a lid, a window open. Warm the glass "
        "first, or it cracks.",
        BURN, "hold at 180 F for 10 minutes, pH 3.9", "raise 10 kg from 1.5% to 3%",
    ),
    Rule(
        "allergen", "note", (),
        lambda facts: "salty-liquid" in facts.words,
        "Fish, shellfish, soy and wheat are allergens: a label names them, and so does a gift. Take the salt from the "
        "bottle's own label.",
        ALLERGENS, "put 50 g of fish sauce at 22% in 2 kg of sauce at 2%", "mix 3 kg at 2.5% with 5 kg at 5%",
    ),
    Rule(
        "lye", "caution", (),
        lambda facts: facts.calculator == "titration",
        "Sodium hydroxide burns eyes and skin: goggles, gloves, and water at hand. What was titrated has it in: throw "
        "it away; never taste it, never put it back.",
        LYE, "titrated 10 g with 15 ml of 0.1 N", "citric acid instead of 1 litre of 5% vinegar",
    ),
    Rule(
        "steam", "caution", (),
        lambda facts: facts.calculator == "simmer",
        "Steam from hot peppers burns eyes and lungs: low heat, a lid on, a window open or outside, and no face over "
        "the pot. Boiling does not make up for a high pH.",
        BURN, "simmered 500 g of water off 3 kg of sauce at 3%", "strained 2 kg of mash at 3%, 600 g of wet pulp",
    ),
    *METER_RULES,
    *HEAT_RULES,
)  # fmt: skip
"""All rules, grouped by subject; ``cautions`` sorts them by severity."""
