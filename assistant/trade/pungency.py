"""How hot a blend is, how much mild stuff cools it down, and what capsaicinoids make in Scoville heat units.

Everything is by weight on one basis, fresh unless said otherwise: a figure of the dry weight is about eight times
that of the same pod fresh. Pods of one variety differ by two to five times, so none of it belongs on a label.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from assistant.declare import ARITHMETIC, PRACTICE, Calculator, Default, Example, Input, Limit, Relation, Source, Worked
from assistant.trade.mixture import SCOVILLE, SHU_PER_MG_KG, blend_heat
from assistant.trade.shared import MOISTURE, mass, volume

POD_RANGES = Source("heat of fresh pods by variety, general literature", seen=False)
SPREAD = Source("Sweat et al. 2016, Food Chem. 210:606-612: wide within one variety; ten pods and more to a sample")
FACTOR = Source("AOAC 995.03: 1 ug/g of capsaicinoids is about 15 SHU, 7 % less than the 16 taken here")

RANGES = {
    "sweet-pepper": (0.0, 0.0), "poblano": (1000.0, 2000.0), "jalapeno": (2500.0, 8000.0),
    "serrano": (10_000.0, 25_000.0), "cayenne": (30_000.0, 50_000.0), "thai": (50_000.0, 100_000.0),
    "habanero": (100_000.0, 350_000.0), "superhot": (1_000_000.0, 1_500_000.0),
    "carrot": (0.0, 0.0), "onion": (0.0, 0.0), "garlic": (0.0, 0.0), "mango": (0.0, 0.0), "tomato": (0.0, 0.0),
    "pineapple": (0.0, 0.0), "cabbage": (0.0, 0.0), "cucumber": (0.0, 0.0),
}  # fmt: skip
"""SHU of fresh pods, low and high (POD_RANGES), by term of the vocabulary; what has no heat has none."""

OF_KIND = " is of kind "
"""Between the name of an amount and its produce, among the words of a question."""

_PURE = SHU_PER_MG_KG * 1e6
"""SHU of capsaicinoids alone."""
_HEAT = Limit(0, 16.1e6, "pungency", from_low=True, too_high="Pure capsaicin is about 16 million SHU")
_HOT = Limit(0, 16.1e6, "pungency", too_high="Pure capsaicin is about 16 million SHU")
_SAUCE = ("batch", "mash", "brine", "strained", "@vessel", "@produce")
_MILD = ("mild", "unsalted", "water", "sweet-pepper", "@produce")
NOT_A_LABEL = "Never print it on a label untested: pods of one variety differ by two to five times."
_NEW_PH = (
    "Its salt, gum and acid fall too unless the mild part has as much. The mild part must be fermented as well, or "
    "the pH proven anew: read it a day later."
)


def _part(known: Mapping[str, float], words: frozenset[str], name: str) -> tuple[float, float] | None:
    """The heat of one part, low and high: as said, else of its kind; None if neither is known."""
    if f"{name}_heat" in known:
        return known[f"{name}_heat"], known[f"{name}_heat"]
    kinds = [RANGES[kind] for kind in RANGES if f"{name}{OF_KIND}{kind}" in words]
    return kinds[0] if len(kinds) == 1 else None


def blend(known: Mapping[str, float], words: frozenset[str]) -> Worked:
    """The heat of two parts put together, low and high.

    Args:
        known: the weights in kg and what heat was said, SHU.
        words: what was said; OF_KIND tells of which produce each part is.
    """
    missing = [name for name in ("first", "second") if name not in known]
    parts = {name: _part(known, words, name) for name in ("first", "second")}
    missing += [f"{name}_heat" for name, heat in parts.items() if heat is None]
    if missing:
        return Worked(missing=tuple(missing))
    first, second = parts["first"], parts["second"]
    assert first is not None
    assert second is not None
    weights = known["first"], known["second"]
    low = blend_heat(zip(weights, (first[0], second[0]), strict=True))
    high = blend_heat(zip(weights, (first[1], second[1]), strict=True))
    values = {
        "low": low, "high": high, "both": sum(weights), "first_low": first[0], "first_high": first[1],
        "second_low": second[0], "second_high": second[1],
    }  # fmt: skip
    how_hot = "{low}" if low == high else "{low} to {high}"
    parts_said = ["{first} at " + _said("first", first), "{second} at " + _said("second", second)]
    sums = [f"({{first}} x {{first_{end}}} + {{second}} x {{second_{end}}}) / {{both}} = {{{end}}}."
            for end in (("low",) if low == high else ("low", "high"))]  # fmt: skip
    return Worked(values, (), (), f"{how_hot} in {{both}}: {' and '.join(parts_said)}.", tuple(sums))


def _said(name: str, heat: tuple[float, float]) -> str:
    return f"{{{name}_low}}" if heat[0] == heat[1] else f"{{{name}_low}} to {{{name}_high}}"


def _pair(name: str, words: str, marks: tuple[str, ...]) -> tuple[Input, ...]:
    return (
        mass(name, words, ask=f"How much is {words}, by weight?", terms=(*_SAUCE, "mild"), marks=marks, plain=True),
        Input(
            f"{name}_heat", "pungency", f"heat of {words}", _HEAT, terms=(*_SAUCE, "mild"), marks=("at", "of"),
            ask=f"How hot is {words}, in SHU? Nothing sweet or mild is 0", plain=True, of=(name,),
        ),
        Input(f"{name}_low", "pungency", f"least heat of {words}", _HEAT),
        Input(f"{name}_high", "pungency", f"most heat of {words}", _HEAT),
    )  # fmt: skip


BLEND = Calculator(
    name="heat-blend",
    owns=frozenset({"pungency"}),
    title="How hot a blend is",
    does="the Scoville heat of two parts put together, as a range where only the variety is known",
    inputs=(
        *_pair("first", "the first part", ()),
        *_pair("second", "the second part", ("with", "in", "to")),
        Input("low", "pungency", "heat of the blend", _HEAT),
        Input("high", "pungency", "heat of the blend at most", _HEAT),
        mass("both", "the blend"),
    ),
    relations=(),
    goals=("low", "high"),
    called_by=("pungency", "pungency @produce", "pungency mixing", "pungency mixing @produce", "pungency batch",
               "#hots", "#hots batch"),
    headline={"low": ("{low} in {both}.",)},
    tail=(
        "Of the fresh weight of both; a figure of the dry weight is about eight times as high and must not be mixed "
        f"in. {NOT_A_LABEL}",
        _NEW_PH,
    ),
    excluded_by=frozenset({"milder"}),
    sources=(ARITHMETIC, POD_RANGES, SPREAD),
    program=blend,
    examples=(
        Example("how hot is 1 kg of mash at 100,000 SHU with 3 kg of bell peppers", "low", 25_000, "pungency", 1,
                ARITHMETIC),
    ),
)  # fmt: skip
"""A kilo in four is a quarter of the heat."""

DOWN = Calculator(
    name="heat-down",
    owns=frozenset({"milder"}),
    title="Making it milder",
    does="the mild stuff that cools a sauce down, and how much milder a weight of it makes",
    inputs=(
        mass("sauce", "sauce", ask="How much sauce is there?", terms=("batch", "mash", "brine", "strained", "@vessel"),
             plain=True, instead=("sauce_volume",), marks=("in", "of", "for"), reads="mass"),
        volume("sauce_volume", "sauce", terms=("batch", "mash", "brine", "strained", "@vessel"), plain=True,
               marks=("in", "of", "for")),
        Input(
            "sauce_density", "density", "what a litre of the sauce weighs", Limit(0.8, 1.5, "kilogram_per_liter"),
            terms=("density",),
            default=Default(1.0, "kilogram_per_liter", "1 L of sauce weighs 1 kg", PRACTICE),
        ),
        Input("left", "fraction", "heat that is to be left", Limit(0, 100, "percent"), plain=True, part=True,
              marks=("to",), ask="To which part of its heat: a half, a third?", instead=("mild", "heat_after")),
        Input("heat_now", "pungency", "heat now", _HOT, plain=True, marks=("from", "at", "of"), terms=("batch",)),
        Input("heat_after", "pungency", "heat wanted", _HOT, plain=True, marks=("to",)),
        mass("mild", "mild stuff", terms=_MILD, marks=("with",)),
        Input(
            "mild_part", "fraction", "heat of the mild stuff against the sauce's",
            Limit(0, 100, "percent", from_low=True),
            default=Default(0.0, "percent", "the mild stuff has no heat", ARITHMETIC),
        ),
        Input("mild_heat", "pungency", "heat of the mild stuff", _HEAT, terms=_MILD, marks=("with",), named=True),
        mass("both", "all of it after"),
    ),
    relations=(
        Relation(
            "sauce = sauce_volume * sauce_density",
            {"sauce": "sauce_volume * sauce_density", "sauce_volume": "sauce / sauce_density"},
        ),
        Relation(
            "heat_after = left * heat_now",
            {"heat_after": "left * heat_now", "left": "heat_after / heat_now", "heat_now": "heat_after / left"},
        ),
        Relation(
            "mild_heat = mild_part * heat_now",
            {"mild_heat": "mild_part * heat_now", "mild_part": "mild_heat / heat_now"},
        ),
        Relation(
            "left * (sauce + mild) = sauce + mild_part * mild",
            {
                "mild": "sauce * (1 - left) / (left - mild_part)",
                "left": "(sauce + mild_part * mild) / (sauce + mild)",
                "sauce": "mild * (left - mild_part) / (1 - left)",
            },
        ),
        Relation("both = sauce + mild", {"both": "sauce + mild"}),
    ),
    goals=("mild", "left"),
    called_by=("milder", "milder diluting", "milder batch", "milder diluting batch", "pungency diluting",
               "pungency diluting batch", "#cooler", "#cooler diluting", "#cooler batch"),
    headline={
        "mild": (
            "Stir {mild} of mild into {sauce}: its heat goes from {heat_now} to {heat_after}, {left} of what it was.",
            "Stir {mild} of mild into {sauce}: {left} of the heat is left in {both}.",
        ),
        "left": (
            "{left} of the heat is left, {heat_after} after {heat_now}, with {mild} of mild in {sauce}.",
            "{left} of the heat is left with {mild} of mild in {sauce}, {both} in all.",
        ),
        "heat_after": ("{heat_after} after {heat_now}, with {mild} of mild in {sauce}.",),
        "sauce": ("{mild} of mild takes {sauce} down to {left} of its heat.",),
    },
    tail=(_NEW_PH,),
    wanted=dict.fromkeys(("mild", "mash", "unsalted", "water"), ("mild",)),
    sources=(ARITHMETIC,),
    examples=(
        Example("too hot, cut the heat of 2 kg of sauce to a third", "mild", 4.0, "kilogram", 0.001, ARITHMETIC),
    ),
)  # fmt: skip
"""A third of the heat is three times the weight: twice as much mild goes in."""

UNITS = Calculator(
    name="heat-units",
    title="Capsaicinoids as Scoville heat units",
    does="Scoville heat units from a measured share of capsaicinoids, and back",
    inputs=(
        Input("capsaicinoids", "fraction", "capsaicinoids", Limit(0, 100, "percent"), plain=True,
              terms=("capsaicin",), ask="How much capsaicinoids were measured, in mg/kg?"),
        Input("heat", "pungency", "heat", _HOT, plain=True),
    ),
    relations=(
        Relation(
            f"heat = {_PURE:.0f} * capsaicinoids",
            {"heat": f"{_PURE:.0f} * capsaicinoids", "capsaicinoids": f"heat / {_PURE:.0f}"},
            SCOVILLE,
        ),
    ),
    goals=("heat", "capsaicinoids"),
    called_by=("capsaicin", "capsaicin pungency"),
    headline={
        "heat": ("{capsaicinoids} of capsaicinoids is {heat}.",),
        "capsaicinoids": ("{heat} is {capsaicinoids} of capsaicinoids.",),
    },
    tail=("Counted at 16 SHU for each mg/kg; some reckon with 15, which is 7% less. Say whether fresh or dry weight.",),
    wanted={"capsaicin": ("capsaicinoids",), "pungency": ("heat",)},
    sources=(SCOVILLE, FACTOR),
    examples=(Example("what is 4249 ppm of capsaicin in scoville", "heat", 67_984, "pungency", 1, SCOVILLE),),
)  # fmt: skip

DRY = Calculator(
    name="heat-dry",
    title="Heat of the dry weight, fresh",
    does="the heat of fresh pods from a figure of their dry weight, and back",
    inputs=(
        Input("dry_heat", "pungency", "heat of the dry weight", _HOT, ask="Which SHU, of the dry weight?", plain=True,
              terms=("dry-basis",)),
        Input("fresh_heat", "pungency", "heat of the fresh weight", _HOT, terms=("fresh-basis",)),
        replace(MOISTURE, terms=("moisture", "water"), plain=True),
    ),
    relations=(
        Relation(
            "fresh_heat = dry_heat * (1 - moisture)",
            {"fresh_heat": "dry_heat * (1 - moisture)", "dry_heat": "fresh_heat / (1 - moisture)"},
        ),
    ),
    goals=("fresh_heat", "dry_heat"),
    called_by=("dry-basis", "dry-basis pungency", "dry-basis @produce", "dry-basis pungency @produce"),
    headline={
        "fresh_heat": ("{dry_heat} of the dry weight is {fresh_heat} fresh, with {moisture} water.",),
        "dry_heat": ("{fresh_heat} fresh is {dry_heat} of the dry weight, with {moisture} water.",),
    },
    tail=(NOT_A_LABEL,),
    wanted={"pungency": ("fresh_heat",)},
    sources=(ARITHMETIC, SPREAD),
    examples=(
        Example("50,000 scoville of the dry weight, red chillies, how hot fresh", "fresh_heat", 5990, "pungency", 1,
                ARITHMETIC),
    ),
)  # fmt: skip

CALCULATORS = (BLEND, DOWN, UNITS, DRY)
