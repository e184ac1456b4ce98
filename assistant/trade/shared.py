"""Quantities and relations that several calculators share."""

from __future__ import annotations

from assistant.declare import PRACTICE, Default, Input, Limit, Relation, Source
from assistant.trade.produce import USDA, WATER
from assistant.trade.solution import WATER_20, brine_density, strength_of_concentration

MASS = Limit(0, 5000, "kilogram")
VOLUME = Limit(0, 5000, "liter")
SPOONS = Source("USDA National Nutrient Database, NDB 02047 table salt: 1 Tbsp 18 g")
SATURATION_SAYS = (
    "A brine cannot hold more than 26.4% salt of everything, which is 35.9% of the water, at "
    "kitchen temperature: the rest stays at the bottom"
)
SATURATED = Source("salt trade association table: saturated brine 26.395 % at 60 F")

OF_WHOLE_LIMIT = Limit(0, 26.45, "percent", too_high=SATURATION_SAYS, source=SATURATED)
OF_WATER_LIMIT = Limit(0, 35.95, "percent", too_high=SATURATION_SAYS, source=SATURATED)


WHOLE = "everything with the salt"


def strength(name: str, label: str, **more: object) -> Input:
    """Salt over everything with the salt, up to what a brine can hold."""
    return Input(name, "fraction", label, OF_WHOLE_LIMIT, basis=WHOLE, **more)  # type: ignore[arg-type]


def mass(name: str, label: str, **more: object) -> Input:
    """A weight: anything above zero up to 5 tonnes."""
    return Input(name, "mass", label, MASS, **more)  # type: ignore[arg-type]


def volume(name: str, label: str, **more: object) -> Input:
    """A volume: anything above zero up to 5000 litres."""
    return Input(name, "volume", label, VOLUME, **more)  # type: ignore[arg-type]


SALT_TERMS = ("salt", "fine", "flake", "iodised", "reduced")

SALT = mass("salt", "salt", terms=SALT_TERMS)
SALT_BY_SPOON = volume("salt_volume", "salt by the spoon", terms=SALT_TERMS)
BULK = Input(
    "bulk",
    "density",
    "weight of a spoonful",
    Limit(0.2, 1.6, "kilogram_per_liter"),
    ask=(
        "Which salt is it: fine (table, canning) or flaky? For flaky salt weigh ten level spoons "
        'and say, for example, "ten tablespoons weigh 95 g"'
    ),
    default=Default(
        None,
        "kilogram_per_liter",
        "fine salt weighs 18 g a US tablespoon",
        SPOONS,
        by_kind={
            "fine": (18.0 / 14.78676478125, "fine salt weighs 18 g a US tablespoon"),
            "iodised": (18.0 / 14.78676478125, "iodised table salt weighs 18 g a US tablespoon"),
        },
    ),
    instead=("sample_volume", "sample_mass"),
    kept=True,
)
SAMPLE_VOLUME = volume("sample_volume", "the spoons you weighed")
SAMPLE_MASS = mass("sample_mass", "what they weighed")
SPOON_INPUTS = (SALT_BY_SPOON, BULK, SAMPLE_VOLUME, SAMPLE_MASS)
SPOON_RELATIONS = (
    Relation(
        "salt = bulk * salt_volume",
        {"salt": "bulk * salt_volume", "salt_volume": "salt / bulk", "bulk": "salt / salt_volume"},
    ),
    Relation("bulk = sample_mass / sample_volume", {"bulk": "sample_mass / sample_volume"}),
)


def share(part: str, fraction: str, whole: str) -> Relation:
    """One quantity as a fraction of another, solved for any of the three."""
    return Relation(
        f"{part} = {fraction} * {whole}",
        {part: f"{fraction} * {whole}", whole: f"{part} / {fraction}", fraction: f"{part} / {whole}"},
    )


WATER_AS_VOLUME = Relation(
    f"water = {WATER_20} * water_volume",
    {"water": f"{WATER_20} * water_volume", "water_volume": f"water / {WATER_20}"},
    Source("CRC Handbook, 53rd ed., F-4: water 0.9982 kg/L at 20 C"),
)
STRENGTH_OF_BRINE = Relation(
    "of_whole = of_water / (1 + of_water)",
    {"of_whole": "of_water / (1 + of_water)", "of_water": "of_whole / (1 - of_whole)"},
)
PER_LITRE = Relation(
    f"per_litre = {WATER_20} * of_water",
    {"per_litre": f"{WATER_20} * of_water", "of_water": f"per_litre / {WATER_20}"},
)
PER_LITRE_OF_BRINE = Relation(
    "per_litre_brine = of_whole * brine_density(of_whole)",
    {
        "per_litre_brine": "of_whole * brine_density(of_whole)",
        "of_whole": "strength_of_concentration(per_litre_brine)",
    },
    functions={
        "brine_density": brine_density,
        "strength_of_concentration": strength_of_concentration,
    },
)

MOISTURE = Input(
    "moisture",
    "fraction",
    "water in the produce",
    Limit(1, 99, "percent"),
    terms=("moisture",),
    default=Default(
        88.0,
        "percent",
        "the produce is 88% water",
        USDA,
        by_kind={kind: (value, "") for kind, value in WATER.items()},
    ),
)
DENSITY = Input(
    "density",
    "density",
    "density of the produce",
    Limit(0.2, 1.5, "kilogram_per_liter"),
    terms=("displaced", "density"),
    kept=True,
    default=Default(1.0, "kilogram_per_liter", "1 kg of produce takes up 1 L", PRACTICE),
)
PRODUCE_VOLUME = volume("produce_volume", "the space the produce takes", terms=("displaced",))
PRODUCE_TAKES = Relation(
    "produce_volume = produce / density",
    {
        "produce_volume": "produce / density",
        "produce": "produce_volume * density",
        "density": "produce / produce_volume",
    },
)
CAPACITY = volume(
    "capacity",
    "vessel",
    terms=("@vessel", "capacity", "volume"),
    marks=("in", "of"),
    kept=True,
    reads="capacity",
)

HEADROOM = Input(
    "headroom", "fraction", "share left free", Limit(0, 99, "percent", from_low=True), terms=("headspace",)
)
LEFT_FREE = Relation("fill = 1 - headroom", {"fill": "1 - headroom"})
"""A headspace said as a share of the vessel ("leave 20 % headspace")."""
