"""Salt, water and produce: plain brine, a packed vessel under brine, a dry-salted mash."""

from __future__ import annotations

from dataclasses import replace

from assistant.declare import (
    ARITHMETIC,
    PRACTICE,
    Calculator,
    Default,
    Example,
    Input,
    Limit,
    Relation,
    Source,
)
from assistant.trade.shared import (
    CAPACITY,
    DENSITY,
    HEADROOM,
    LEFT_FREE,
    MOISTURE,
    OF_WATER_LIMIT,
    OF_WHOLE_LIMIT,
    PER_LITRE,
    PER_LITRE_OF_BRINE,
    PRODUCE_TAKES,
    PRODUCE_VOLUME,
    SALT,
    SATURATION_SAYS,
    SPOON_INPUTS,
    SPOON_RELATIONS,
    STRENGTH_OF_BRINE,
    WATER_AS_VOLUME,
    WHOLE,
    mass,
    share,
    volume,
)
from assistant.trade.solution import LALIBERTE, brine_density

ADJUSTING = frozenset({"raising", "diluting", "mixing", "topping"})
"""Topics of a brine or batch that exists already."""

WATER = mass("water", "water", terms=("water",))
OF_WATER = Input(
    "of_water",
    "fraction",
    "salt of the water",
    OF_WATER_LIMIT,
    ask="Which strength, in % of the water? 2 to 10 is usual, 3.5 common",
    terms=("of-water", "water", "brine", "salinity"),
    marks=("at",),
    basis="the water",
    plain=True,
    suggest=(3.5, "percent"),
)
OF_WHOLE = Input(
    "of_whole",
    "fraction",
    "salt of everything",
    OF_WHOLE_LIMIT,
    terms=("of-whole", "of-total", "of-liquid", "made-brine"),
    basis=WHOLE,
    rival=True,
)
SETTLED = Input(
    "settled",
    "fraction",
    "salt in all the liquid",
    OF_WHOLE_LIMIT,
    terms=("of-liquid",),
    basis="all the liquid once the juice is out",
)
PER_LITRE_INPUT = Input(
    "per_litre",
    "density",
    "salt per litre of water",
    Limit(0, 359, "gram_per_liter", too_high=SATURATION_SAYS),
    terms=("of-water", "water", "salt", "brine"),
    basis="a litre of water",
    plain=True,
)
PER_LITRE_BRINE = Input(
    "per_litre_brine",
    "density",
    "salt per litre of finished brine",
    Limit(0, 318, "gram_per_liter", too_high=SATURATION_SAYS),
    terms=("of-brine", "made-brine"),
    basis="a litre of finished brine",
    rival=True,
)

BRINE = Calculator(
    name="brine",
    title="Brine by its water",
    does="salt, water and strength of a plain brine",
    inputs=(
        volume(
            "water_volume",
            "water",
            ask="How much water?",
            terms=("water",),
            marks=("per", "for", "with", "in"),
            plain=True,
        ),
        WATER,
        SALT,
        *SPOON_INPUTS,
        OF_WATER,
        OF_WHOLE,
        PER_LITRE_INPUT,
        PER_LITRE_BRINE,
        mass("brine", "brine", terms=("brine", "made-brine")),
        volume("brine_volume", "brine", terms=("brine", "made-brine")),
    ),
    relations=(
        share("salt", "of_water", "water"),
        share("salt", "of_whole", "brine"),
        Relation(
            "brine = water + salt",
            {"brine": "water + salt", "water": "brine - salt", "salt": "brine - water"},
        ),
        STRENGTH_OF_BRINE,
        WATER_AS_VOLUME,
        PER_LITRE,
        PER_LITRE_OF_BRINE,
        Relation(
            "brine = brine_volume * brine_density(of_whole)",
            {
                "brine": "brine_volume * brine_density(of_whole)",
                "brine_volume": "brine / brine_density(of_whole)",
            },
            LALIBERTE,
            functions={"brine_density": brine_density},
        ),
        *SPOON_RELATIONS,
    ),
    goals=("salt", "water", "of_water"),
    called_by=(
        "made-brine",
        "made-brine salt",
        "brine",
        "salt water",
        "brine water",
        "salt brine",
        "salt brine #into",
        "topping brine",
        "water",
        "salinity",
        "#volume #fraction",
        "salt #volume",
        "#spoon #per",
        "#density #into",
        "#fraction #into",
        "#density",
        "#density salt",
        "#density #volume",
    ),
    headline={
        "salt": ("Salt {salt} in {water_volume} of water ({water}).",),
        "water": ("{water_volume} of water ({water}) for {salt} of salt.",),
        "of_water": (
            "{of_water} of the water: {salt} of salt in {water_volume} of water.",
            "{of_water} of the water, {of_whole} of everything with the salt.",
        ),
        "of_whole": (
            "{of_whole} of everything: {salt} of salt in {water_volume} of water.",
            "{of_whole} of everything with the salt.",
        ),
        "per_litre_brine": ("{per_litre_brine} of finished brine.",),
        "brine_volume": ("{brine_volume} of brine ({brine}): {salt} of salt in {water_volume} of water.",),
        "brine": ("{brine} of brine ({brine_volume}): {salt} of salt in {water_volume} of water.",),
        "per_litre": (
            "{per_litre} of water: {salt} of salt in {water_volume} of water.",
            "{of_water} of the water is {per_litre} of water.",
        ),
        "salt_volume": ("{salt_volume} of salt ({salt}) in {water_volume} of water.",),
    },
    tail=(
        "Strength {of_water} of the water, {of_whole} of everything with the salt, "
        "{per_litre} of water, {per_litre_brine} of finished brine.",
    ),
    wanted={
        "salt": ("salt",),
        "water": ("water",),
        "salinity": ("of_water",),
        "strength": ("of_water",),
        "brine": ("brine_volume",),
        "volume": ("brine_volume",),
        "per-litre": ("per_litre",),
    },
    sources=(ARITHMETIC, LALIBERTE),
    excluded_by=ADJUSTING | {"@produce", "produce"},
    examples=(
        Example("brine with 5 litres of water at 3.5 percent", "salt", 174.7, "gram", 0.1, ARITHMETIC),
        Example("50 g of salt, how much 3.5% brine", "water", 1.4286, "kilogram", 0.001, ARITHMETIC),
        Example("100 g salt in 2 L of water, what percent", "of_water", 5.009, "percent", 0.001, ARITHMETIC),
    ),
)
"""Salt over water and salt over everything are two percentages; both are always shown."""

PRODUCE = mass(
    "produce",
    "produce",
    ask="How much produce, trimmed and weighed?",
    terms=("@produce", "produce"),
    marks=("for", "over", "of", "with"),
    plain=True,
    kept=True,
)
FILL_BRINE = Input(
    "fill",
    "fraction",
    "how full to fill",
    Limit(1, 100, "percent", too_high="A vessel of {capacity} cannot be filled to {room}"),
    terms=("filled",),
    default=Default(90.0, "percent", "filled to 90% of the vessel, the rest headspace", PRACTICE),
)
NO_ROOM = (
    "{produce} of produce takes about {produce_volume}, but a {capacity} vessel filled to {room} "
    "has no space left for brine: take a bigger vessel or less produce"
)

PACKED = Calculator(
    name="packed",
    title="Produce under brine",
    does="salt and water for produce in a jar or crock, and where the salt settles",
    inputs=(
        PRODUCE,
        Input(
            "water_volume",
            "volume",
            "water",
            Limit(0, 5000, "liter", too_low=NO_ROOM),
            ask="How much water goes on, or how big is the vessel?",
            terms=("water",),
            marks=("with",),
            instead=("capacity", "water"),
        ),
        WATER,
        SALT,
        *SPOON_INPUTS,
        CAPACITY,
        Input(
            "of_total",
            "fraction",
            "salt of produce + water",
            Limit(0, 30, "percent", too_high=SATURATION_SAYS),
            ask="Which salt, in % of produce + water? 2 to 5 is usual, 3 common",
            terms=("of-total", "equilibrium", "salinity", "batch", "salting"),
            marks=("at", "to"),
            basis="produce + water",
            plain=True,
            suggest=(3.0, "percent"),
        ),
        Input(
            "of_water",
            "fraction",
            "strength of the brine poured",
            replace(OF_WATER_LIMIT, always=True),
            terms=("brine", "of-water", "water"),
            basis="the water poured",
            rival=True,
        ),
        Input(
            "of_whole",
            "fraction",
            "salt of everything",
            OF_WHOLE_LIMIT,
            terms=("of-whole",),
            basis=WHOLE,
        ),
        SETTLED,
        Input(
            "per_litre",
            "density",
            "salt per litre of water poured",
            Limit(0, 359, "gram_per_liter", too_high=SATURATION_SAYS),
            terms=("of-water", "water", "salt", "brine"),
            plain=True,
        ),
        DENSITY,
        PRODUCE_VOLUME,
        MOISTURE,
        volume("headspace", "headspace", terms=("headspace",)),
        HEADROOM,
        FILL_BRINE,
        volume("room", "filled to", terms=("filled",), marks=("to",)),
        Input("level", "fraction", "how full the vessel gets", Limit(0, 1000, "percent")),
        volume("poured", "brine poured", terms=("brine", "made-brine")),
    ),
    relations=(
        PRODUCE_TAKES,
        Relation(
            "room = capacity * fill",
            {"room": "capacity * fill", "fill": "room / capacity"},
        ),
        Relation("level = room / capacity", {"level": "room / capacity"}),
        LEFT_FREE,
        Relation(
            "headspace = capacity - room",
            {"headspace": "capacity - room", "room": "capacity - headspace", "capacity": "room + headspace"},
        ),
        Relation(
            "room = produce_volume + water_volume",
            {
                "water_volume": "room - produce_volume",
                "room": "produce_volume + water_volume",
                "produce_volume": "room - water_volume",
            },
        ),
        WATER_AS_VOLUME,
        Relation(
            "salt = of_total * (produce + water)",
            {
                "salt": "of_total * (produce + water)",
                "of_total": "salt / (produce + water)",
                "water": "salt / of_total - produce",
                "produce": "salt / of_total - water",
            },
        ),
        share("salt", "of_water", "water"),
        Relation(
            "salt = of_whole * (produce + water + salt)",
            {"salt": "of_whole * (produce + water) / (1 - of_whole)", "of_whole": "salt / (produce + water + salt)"},
        ),
        Relation(
            "settled = salt / (salt + water + moisture * produce)",
            {
                "settled": "salt / (salt + water + moisture * produce)",
                "salt": "settled * (water + moisture * produce) / (1 - settled)",
            },
        ),
        PER_LITRE,
        Relation(
            "poured * brine_density(of_water / (1 + of_water)) = water * (1 + of_water)",
            {
                "water": "poured * brine_density(of_water / (1 + of_water)) / (1 + of_water)",
                "poured": "water * (1 + of_water) / brine_density(of_water / (1 + of_water))",
            },
            LALIBERTE,
            functions={"brine_density": brine_density},
        ),
        *SPOON_RELATIONS,
    ),
    goals=("salt", "water", "of_total"),
    called_by=(
        "brine @produce",
        "brine @vessel",
        "@produce water",
        "brine produce",
        "equilibrium",
        "@produce @vessel",
        "salt @produce",
        "fermenting",
        "brine #mass",
        "salt produce",
        "@produce",
        "produce",
        "salt",
        "salt #mass",
        "#mass #fraction",
        "water @vessel",
        "salting",
    ),
    headline={
        "salt": ("Salt {salt} in {water_volume} of water ({water}), over {produce} of {kind}.",),
        "water": (
            "{water_volume} of water ({water}) over {produce} of {kind}, with {salt} of salt.",
            "{water_volume} of water ({water}) over {produce} of {kind}.",
        ),
        "of_total": ("{of_total} of produce + water: {salt} of salt, {water} of water, {produce} of {kind}.",),
        "of_water": (
            "Pour a brine of {of_water} of its water: {salt} of salt in {water_volume} of water, "
            "over {produce} of {kind}.",
        ),
        "of_whole": ("{of_whole} of everything: {salt} of salt, {water} of water, {produce} of {kind}.",),
        "settled": ("{settled} in all the liquid: {salt} of salt, {water} of water, {produce} of {kind}.",),
        "capacity": ("A {capacity} vessel: {produce} of {kind} and {water_volume} of water.",),
        "produce": ("{produce} of {kind} with {water_volume} of water and {salt} of salt.",),
        "level": ("{level} full: {produce} of {kind} and {water_volume} of water in {capacity}.",),
        "fill": ("{fill} full: {produce} of {kind} and {water_volume} of water in {capacity}.",),
        "headspace": ("{headspace} of headspace over {produce} of {kind} and {water_volume} of water.",),
        "salt_volume": ("{salt_volume} of salt ({salt}) in {water_volume} of water, over {produce} of {kind}.",),
    },
    tail=(
        "Salt is {of_total} of produce + water, {of_whole} of everything with the salt, {of_water} of the water "
        "poured; {settled} of all the liquid once the juice is out.",
        "Filled to {room} of {capacity}.",
    ),
    wanted={
        "salt": ("salt",),
        "water": ("water",),
        "salinity": ("of_total", "of_water"),
        "strength": ("of_water",),
        "brine": ("water",),
        "produce": ("produce",),
        "volume": ("salt_volume",),
        "equilibrium": ("of_total",),
    },
    sources=(
        ARITHMETIC,
        Source("USDA Complete Guide to Home Canning, AIB 539 (2009), Guide 6: weigh, brine, keep under"),
    ),
    starts_ferment=True,
    excluded_by=frozenset({"mash", "mashing", "of-produce"}) | ADJUSTING,
    examples=(
        Example(
            "brine for 3 kg in a 10 L crock at 2.5%",
            "salt",
            224.7,
            "gram",
            0.1,
            ARITHMETIC,
        ),
        Example(
            "3.5% brine over 600 g of peppers in a 1 L jar filled to 900 mL",
            "of_total",
            1.166,
            "percent",
            0.01,
            ARITHMETIC,
        ),
        Example(
            "how strong a brine over 600 g of peppers in a 1 L jar filled to 900 mL to end at 3%",
            "of_water",
            9.01,
            "percent",
            0.02,
            ARITHMETIC,
        ),
    ),
)
"""The produce brings its own water, so the brine poured must be stronger than the end."""

MASH = Calculator(
    name="mash",
    title="Dry-salted mash",
    does="salt for ground or chopped produce with no brine",
    inputs=(
        replace(PRODUCE, terms=(*PRODUCE.terms, "mash")),
        SALT,
        *SPOON_INPUTS,
        Input(
            "of_produce",
            "fraction",
            "salt of the produce",
            Limit(0, 31, "percent", too_high=SATURATION_SAYS),
            ask="Which salt, in % of the produce? 2 to 5 is usual, 3 common",
            terms=("of-produce", "@produce", "mash", "salinity", "of-total", "produce", "batch", "salting"),
            marks=("at", "to"),
            basis="the produce",
            plain=True,
            suggest=(3.0, "percent"),
        ),
        Input(
            "of_whole",
            "fraction",
            "salt of everything",
            OF_WHOLE_LIMIT,
            terms=("of-whole",),
            basis=WHOLE,
            rival=True,
        ),
        SETTLED,
        mass("total", "salted mash"),
        MOISTURE,
        DENSITY,
        PRODUCE_VOLUME,
        CAPACITY,
        Input("level", "fraction", "how full the vessel gets", Limit(0, 1000, "percent")),
    ),
    relations=(
        share("salt", "of_produce", "produce"),
        Relation(
            "of_whole = of_produce / (1 + of_produce)",
            {"of_whole": "of_produce / (1 + of_produce)", "of_produce": "of_whole / (1 - of_whole)"},
        ),
        Relation("total = produce + salt", {"total": "produce + salt"}),
        PRODUCE_TAKES,
        Relation("level = produce_volume / capacity", {"level": "produce_volume / capacity"}),
        Relation(
            "settled = salt / (salt + moisture * produce)",
            {
                "settled": "salt / (salt + moisture * produce)",
                "salt": "settled * moisture * produce / (1 - settled)",
            },
        ),
        *SPOON_RELATIONS,
    ),
    goals=("salt", "produce", "of_produce"),
    called_by=(
        "mash",
        "salt mash",
        "mashing",
        "mash @produce",
        "salt @produce",
        "salt produce",
        "mashing @produce",
        "@produce",
        "produce",
        "fermenting",
        "salt",
        "salt #mass",
        "#mass #fraction",
        "@produce @vessel",
        "mash @vessel",
        "salting",
        "of-produce",
    ),
    headline={
        "salt": ("Salt {salt} for {produce} of {kind}.",),
        "produce": ("{produce} of {kind} for {salt} of salt.",),
        "of_produce": ("{of_produce} of the produce: {salt} of salt in {produce} of {kind}.",),
        "of_whole": ("{of_whole} of everything: {salt} of salt in {produce} of {kind}.",),
        "salt_volume": ("{salt_volume} of salt ({salt}) for {produce} of {kind}.",),
    },
    tail=(
        "Salt is {of_produce} of the produce, {of_whole} of everything with the salt; "
        "{settled} of the juice once it is out.",
        "The vessel gets {level} full.",
    ),
    wanted={
        "salt": ("salt",),
        "produce": ("produce",),
        "salinity": ("of_produce",),
        "strength": ("of_produce",),
        "mash": ("produce",),
        "volume": ("salt_volume",),
    },
    sources=(ARITHMETIC, PRACTICE),
    starts_ferment=True,
    excluded_by=frozenset({"brine", "water"}) | ADJUSTING,
    examples=(
        Example("mash of 4 kg of chillies at 3%", "salt", 120.0, "gram", 0.01, ARITHMETIC),
        Example("dry salted mash, 5 lb of peppers, 3 percent", "salt", 68.04, "gram", 0.01, ARITHMETIC),
    ),
)
"""The trade's mash percentage: salt over the produce; 3 % of the produce is 2.91 % of everything."""

CALCULATORS = (PACKED, BRINE, MASH)
