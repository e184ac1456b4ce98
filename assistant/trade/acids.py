"""Acids by themselves: the pH of one in water, a titration, and one acid in place of another.

No pH of a sauce comes out of any of it. A sauce is buffered by what the produce brought, and
answers only to its own bench trial and to a meter.
"""

from __future__ import annotations

from functools import lru_cache

from assistant.declare import ARITHMETIC, PRACTICE, Calculator, Default, Example, Input, Limit, Relation, Source
from assistant.trade.acid import (
    ACETIC,
    CITRIC,
    CITRIC_WITH_WATER,
    DAVIES,
    LACTIC,
    LACTIC_PKA,
    NORMAL,
    PKA,
    Acid,
    ph,
    salt_molarity,
)
from assistant.trade.finishing import LABEL, ON_THE_LABEL, vinegar_density
from assistant.trade.shared import WHOLE, mass, volume

END_POINT = Source("end point of a titration of acid food: pH 8.1-8.3", seen=False)
DILUTE = "The sum holds for dilute acid, up to 10%"
SAUCES = frozenset({"batch", "mash", "brine", "strained", "produce", "@produce", "trial", "titrating", "swapping"})
"""Words of what is no acid in plain water."""
MIXED = frozenset({"water", "diluting", "#volume", "#part", "#mass"})
"""What says that something was put to the acid."""

ESTIMATE = (
    "That is an estimate for plain water with this acid alone. A sauce is buffered: this is not its pH, takes the "
    "place of no reading, and no verdict rests on it.",
    "The % is taken as g in 100 mL, as on a vinegar label, at 25 C; at 2.5% of salt such sums differ by 0.05 to "
    "0.13 pH, at more by more.",
)


def _of(acid: Acid) -> dict[str, object]:
    """The function of an acid's pH for a formula: of mol/L and the salt's share of everything."""

    @lru_cache(maxsize=256)
    def acid_ph(molarity: float, salt: float) -> float:
        """The pH of the acid in water, or in brine of so much salt."""
        return ph({acid: molarity}, salt=salt_molarity(salt))

    return {f"{acid.name}_ph": acid_ph}


def _strength(term: str, *also: str) -> Input:
    label = "vinegar" if term == "acetic" else f"{term} acid"
    return Input(
        "share", "fraction", f"strength of the {label}", Limit(0, 10, "percent", too_high=DILUTE),
        ask=f"How strong is the {label}, in %?", terms=(term, *also), plain=True, marks=("at", "of"),
        basis=ON_THE_LABEL, suggest=(5, "percent") if term == "acetic" else (1, "percent"),
    )  # fmt: skip


_SALTED = Limit(
    0, 5, "percent", from_low=True, source=DAVIES, too_high="In more than 5% of salt the sum is too weak to be of use",
)  # fmt: skip
_SALT = Input(
    "salt", "fraction", "salt in it", _SALTED, basis=WHOLE, terms=("salt",),
    default=Default(0.0, "percent", "there is no salt in it", ARITHMETIC),
)  # fmt: skip
_MOLES = Input("molarity", "molarity", "acid in mol/L", Limit(0, 5, "molarity"))
_PH = Input("estimate", "acidity", "pH in plain water", Limit(0, 14, "acidity"))
"""Not called "ph": no rule may take it for a reading."""


def _alone(acid: Acid, name: str, called: tuple[str, ...], *also: str, example: Example) -> Calculator:
    """The pH of one acid in water, with nothing put to it but salt."""
    others = {one.name for one in (ACETIC, LACTIC, CITRIC)} - {acid.name}
    others |= set() if also else {"vinegar"}
    return Calculator(
        name=f"{acid.name}-ph",
        owns=frozenset({acid.name}),
        title=f"The pH of {name}",
        does=f"an estimate of the pH of {name} in plain water or brine",
        inputs=(_strength(acid.name, *also), _SALT, _MOLES, _PH),
        relations=(
            Relation(
                f"molarity = share / {acid.mole:.6g}",
                {"molarity": f"share / {acid.mole:.6g}", "share": f"molarity * {acid.mole:.6g}"},
            ),
            Relation(
                f"estimate = {acid.name}_ph(molarity, salt)",
                {"estimate": f"{acid.name}_ph(molarity, salt)"},
                LACTIC_PKA if acid is LACTIC else PKA,
                functions=_of(acid),  # type: ignore[arg-type]
            ),
        ),
        goals=("estimate",),
        called_by=called,
        headline={"estimate": (f"{name.capitalize()} of {{share}} ({{molarity}}) has a pH of about {{estimate}}.",)},
        tail=ESTIMATE,
        wanted={"ph": ("estimate",)},
        excluded_by=SAUCES | MIXED | others,
        sources=(LACTIC_PKA if acid is LACTIC else PKA, DAVIES),
        examples=(example,),
    )


VINEGAR_PH = _alone(
    ACETIC, "vinegar", ("?ph vinegar", "ph vinegar", "?ph acetic", "ph acetic"), "vinegar",
    example=Example("what pH is 5% vinegar", "estimate", 2.42, "acidity", 0.01, PKA),
)  # fmt: skip
LACTIC_PH = _alone(
    LACTIC, "lactic acid", ("?ph lactic", "ph lactic"),
    example=Example("pH of 1% lactic acid", "estimate", 2.41, "acidity", 0.01, LACTIC_PKA),
)  # fmt: skip
CITRIC_PH = _alone(
    CITRIC, "citric acid", ("?ph citric", "ph citric"),
    example=Example("pH of 1% citric acid", "estimate", 2.24, "acidity", 0.02, PKA),
)  # fmt: skip

DILUTED_PH = Calculator(
    name="diluted-vinegar",
    title="The pH of vinegar in water",
    does="an estimate of the pH of vinegar that water was put to",
    inputs=(
        _strength("acetic", "vinegar"),
        volume("vinegar", "vinegar", ask="How much vinegar?", terms=("vinegar",), plain=True,
               instead=("vinegar_parts", "part")),
        volume("water", "water", ask="How much water goes to it?", terms=("water",), marks=("in", "with", "to"),
               instead=("water_parts",)),
        Input("vinegar_parts", "part", "parts of vinegar", Limit(0, 1e6, "part"), terms=("vinegar",), plain=True),
        Input("water_parts", "part", "parts of water", Limit(0, 1e6, "part"), terms=("water",),
              marks=("in", "with", "to")),
        Input("part", "fraction", "vinegar in the mix", Limit(0, 100, "percent"), basis="the volumes put together"),
        _SALT, _MOLES, _PH,
    ),
    relations=(
        Relation(
            "part = vinegar / (vinegar + water)",
            {"part": "vinegar / (vinegar + water)", "water": "vinegar * (1 - part) / part",
             "vinegar": "water * part / (1 - part)"},
        ),
        Relation(
            "part = vinegar_parts / (vinegar_parts + water_parts)",
            {"part": "vinegar_parts / (vinegar_parts + water_parts)"},
        ),
        Relation(
            f"molarity = share * part / {ACETIC.mole:.6g}",
            {"molarity": f"share * part / {ACETIC.mole:.6g}"},
        ),
        Relation("estimate = acetic_ph(molarity, salt)", {"estimate": "acetic_ph(molarity, salt)"}, PKA,
                 functions=_of(ACETIC)),  # type: ignore[arg-type]
    ),
    goals=("estimate",),
    called_by=("?ph vinegar water", "ph vinegar water", "?ph vinegar diluting", "ph vinegar diluting",
               "?ph vinegar #part", "ph vinegar #part"),
    headline={
        "estimate": (
            "{vinegar} of {share} vinegar in {water} of water ({molarity} of acetic acid) has a pH of about "
            "{estimate}.",
            "{share} vinegar, {vinegar_parts} to {water_parts} of water ({molarity} of acetic acid), has a pH of about "
            "{estimate}.",
        )
    },
    tail=ESTIMATE,
    wanted={"ph": ("estimate",)},
    excluded_by=SAUCES | {"lactic", "citric"},
    sources=(PKA, DAVIES),
    examples=(Example("pH of 200 ml of 5% vinegar in 800 ml of water", "estimate", 2.77, "acidity", 0.01, PKA),),
)  # fmt: skip
"""0.1665 mol/L: [H] = 0.00170 by the charge balance."""

END = "Titratable acidity is counted to an end point of pH 8.1 to 8.3"
_SAMPLE = ("titrating", "batch", "mash", "strained", "brine", "pulp")


def _counted(acid: Acid) -> Relation:
    """What a titration comes to, counted as one acid."""
    share, weight = f"as_{acid.name}", f"{acid.equivalent:.5f}"
    return Relation(
        f"{share} * sample = titrant * normality * {weight}",
        {
            share: f"titrant * normality * {weight} / sample",
            "titrant": f"{share} * sample / (normality * {weight})",
            "normality": f"{share} * sample / (titrant * {weight})",
            "sample": f"titrant * normality * {weight} / {share}",
        },
        NORMAL,
    )


def _recounted(acid: Acid) -> Relation:
    """The same titratable acidity counted as lactic acid, and as another one."""
    other, weight, lactic = f"as_{acid.name}", f"{acid.equivalent:.5f}", f"{LACTIC.equivalent:.5f}"
    return Relation(
        f"{other} = as_lactic * {weight} / {lactic}",
        {other: f"as_lactic * {weight} / {lactic}", "as_lactic": f"{other} * {lactic} / {weight}"},
        NORMAL,
    )


def _as(acid: Acid, **more: object) -> Input:
    return Input(
        f"as_{acid.name}", "fraction", f"titratable acidity as {acid.name} acid",
        Limit(0, 30, "percent", too_high="No sauce is that sour"), terms=(acid.name,), basis="the sample's weight",
        **more,  # type: ignore[arg-type]
    )  # fmt: skip


_SAME = ("{as_lactic} titratable acidity as lactic acid is {as_acetic} as acetic and {as_citric} as citric acid.",)

TITRATION = Calculator(
    name="titration",
    owns=frozenset({"naoh"}),
    title="Titratable acidity",
    does="the titratable acidity from what a weighed sample took of sodium hydroxide, and the other way round",
    inputs=(
        mass("sample", "sample", ask="How much was titrated, by weight?", terms=_SAMPLE, plain=True,
             instead=("sample_volume",)),
        volume("sample_volume", "sample by volume", ask="How much was titrated, by volume?", terms=_SAMPLE),
        Input("sample_density", "density", "what a litre of the sample weighs",
              Limit(0.8, 1.5, "kilogram_per_liter"), terms=("density",),
              default=Default(1.0, "kilogram_per_liter", "1 mL of the sample weighs 1 g", PRACTICE)),
        volume("titrant", "sodium hydroxide", ask="How many mL of sodium hydroxide did it take?", terms=("naoh",),
               instead=("as_lactic",)),
        Input("normality", "normality", "strength of the sodium hydroxide", Limit(0, 2, "normality"),
              ask="How strong is the sodium hydroxide? 0.1 N is usual", terms=("naoh",), plain=True, marks=("of", "at"),
              suggest=(0.1, "normality")),
        _as(LACTIC, plain=True), _as(ACETIC), _as(CITRIC),
        Input("end", "acidity", "end point", Limit(8.0, 8.5, "acidity", too_high=END, too_low=END, source=END_POINT),
              terms=("ph",)),
    ),
    relations=(
        Relation(
            "sample = sample_volume * sample_density",
            {"sample": "sample_volume * sample_density", "sample_volume": "sample / sample_density"},
        ),
        _counted(LACTIC), _counted(ACETIC), _counted(CITRIC), _recounted(ACETIC), _recounted(CITRIC),
    ),
    goals=("as_lactic", "titrant"),
    called_by=("titrating", "naoh #normality", "titrating naoh", "#normality", "titrating lactic", "titrating acetic",
               "titrating citric", "?naoh"),
    headline={
        "as_lactic": ("{titrant} of {normality} for {sample}: {as_lactic} titratable acidity as lactic acid, "
                      "{as_acetic} as acetic, {as_citric} as citric acid.", *_SAME),
        "as_acetic": ("{titrant} of {normality} for {sample}: {as_acetic} titratable acidity as acetic acid, "
                      "{as_lactic} as lactic, {as_citric} as citric acid.", *_SAME),
        "as_citric": ("{titrant} of {normality} for {sample}: {as_citric} titratable acidity as citric acid, "
                      "{as_lactic} as lactic, {as_acetic} as acetic acid.", *_SAME),
        "titrant": ("{sample} should take {titrant} of {normality}: {as_lactic} as lactic acid is {as_acetic} as "
                    "acetic, {as_citric} as citric acid.",),
        "normality": ("{titrant} for {sample} at {as_lactic} as lactic acid ({as_acetic} as acetic) is a strength of "
                      "{normality}.",),
        "sample": ("{titrant} of {normality} is what {sample} takes at {as_lactic} as lactic acid ({as_acetic} as "
                   "acetic).",),
    },
    tail=(
        "The end point was pH {end}.",
        "The same titration counts differently by acid: always say which. Titrate a blended sample, thinned with "
        "water, to pH 8.1 to 8.3 on the meter.",
        "Acidity in % does not tell the pH.",
    ),
    wanted={
        "lactic": ("as_lactic",), "acetic": ("as_acetic",), "citric": ("as_citric",), "volume": ("titrant",),
        "naoh": ("titrant",), "normality": ("normality",), "mass": ("sample",), "salinity": ("as_lactic",),
        "strength": ("as_lactic",),
    },
    excluded_by=frozenset({"trial", "gum", "swapping"}),
    sources=(NORMAL, END_POINT, PRACTICE),
    examples=(
        Example("titrated 10 g with 15 ml of 0.1 N", "as_lactic", 1.351, "percent", 0.001, NORMAL),
        Example("titrated 10 g with 15 ml of 0.1 N, as acetic acid", "as_acetic", 0.901, "percent", 0.001, NORMAL),
    ),
)  # fmt: skip
"""15.0 mL x 0.1 N is 1.5 meq in 10 g: x 0.09008 is 1.351 %, x 0.06005 0.901 %, x 0.06404 0.961 %."""

AS_SOLD = Source("lactic acid is sold as 88 % by weight (food chemicals' usual grade)", seen=False)
SWAP = Calculator(
    name="acid-swap",
    title="One acid for another",
    does="the citric or lactic acid that has as much acid as a vinegar, and the other way round",
    inputs=(
        volume("vinegar_volume", "vinegar", ask="How much vinegar is it?", terms=("vinegar",), plain=True,
               instead=("vinegar", "citric", "lactic")),
        mass("vinegar", "vinegar by weight", terms=("vinegar",), plain=True),
        Input("label", "fraction", "strength of the vinegar", Limit(3, 30, "percent"),
              ask="Which % does the bottle of vinegar say?", basis=ON_THE_LABEL, terms=("vinegar", "own-vinegar"),
              plain=True, marks=("of", "at"), suggest=(5, "percent")),
        mass("citric", "citric acid", terms=("citric",)),
        mass("hydrate", "citric acid with its water"),
        mass("lactic", "lactic acid", terms=("lactic",)),
        Input("lactic_share", "fraction", "strength of the lactic acid", Limit(10, 100, "percent"), basis="its weight",
              terms=("lactic",), default=Default(88.0, "percent", "lactic acid as sold is 88% by weight", AS_SOLD)),
    ),
    relations=(
        Relation(
            "vinegar = vinegar_volume * vinegar_density(label)",
            {"vinegar": "vinegar_volume * vinegar_density(label)",
             "vinegar_volume": "vinegar / vinegar_density(label)"},
            functions={"vinegar_density": vinegar_density},
        ),
        Relation(
            f"citric / {CITRIC.equivalent:.5f} = vinegar_volume * label / {ACETIC.equivalent:.5f}",
            {"citric": f"vinegar_volume * label * {CITRIC.equivalent:.5f} / {ACETIC.equivalent:.5f}",
             "vinegar_volume": f"citric * {ACETIC.equivalent:.5f} / {CITRIC.equivalent:.5f} / label"},
            NORMAL,
        ),
        Relation(
            f"citric / {CITRIC.equivalent:.5f} = lactic * lactic_share / {LACTIC.equivalent:.5f}",
            {"citric": f"lactic * lactic_share * {CITRIC.equivalent:.5f} / {LACTIC.equivalent:.5f}",
             "lactic": f"citric * {LACTIC.equivalent:.5f} / {CITRIC.equivalent:.5f} / lactic_share"},
            NORMAL,
        ),
        Relation(
            f"hydrate = citric * {CITRIC_WITH_WATER / CITRIC.mole:.4f}",
            {"hydrate": f"citric * {CITRIC_WITH_WATER / CITRIC.mole:.4f}"},
        ),
    ),
    goals=("citric", "vinegar_volume"),
    called_by=("swapping citric", "swapping lactic", "swapping citric vinegar", "swapping lactic vinegar",
               "swapping citric lactic", "swapping acetic", "?citric vinegar", "?lactic vinegar"),
    headline={
        "citric": (
            "{citric} of citric acid ({hydrate} of the kind with water in its crystals) has as much acid as "
            "{vinegar_volume} ({vinegar}) of {label} vinegar.",
            "{citric} of citric acid ({hydrate} of the kind with water in its crystals) has as much acid as {lactic} "
            "of {lactic_share} lactic acid.",
        ),
        "lactic": (
            "{lactic} of {lactic_share} lactic acid has as much acid as {vinegar_volume} ({vinegar}) of {label} "
            "vinegar.",
            "{lactic} of {lactic_share} lactic acid has as much acid as {citric} of citric acid.",
        ),
        "vinegar_volume": (
            "{vinegar_volume} ({vinegar}) of {label} vinegar has as much acid as {citric} of citric acid or {lactic} "
            "of {lactic_share} lactic acid.",
        ),
        "vinegar": ("{vinegar} ({vinegar_volume}) of {label} vinegar has as much acid as {citric} of citric acid.",),
    },
    tail=(
        "As much acid is not the same pH: each acid has its own curve, so give it a bench trial of its own and go by "
        "the meter. A tested recipe is not changed so.",
    ),
    wanted={"citric": ("citric",), "lactic": ("lactic",), "vinegar": ("vinegar_volume", "vinegar"),
            "acetic": ("vinegar_volume",)},
    excluded_by=frozenset({"trial", "titrating", "ph"}),
    sources=(NORMAL, PKA, LABEL),
    examples=(
        Example("citric acid instead of 1 litre of 5% vinegar", "citric", 53.3, "gram", 0.1, ARITHMETIC),
    ),
)  # fmt: skip
"""1 L x 50 g / 60.052 = 0.8326 mol of acid; x 192.12 / 3 is 53.3 g of citric acid, with its water 58.3 g."""

CANNING = Source("USDA home canning guide: vinegar of 5 percent acidity, as the recipes are tested")
WEAKER = Calculator(
    name="vinegar-strength",
    title="Vinegar of another strength",
    does="how much of a vinegar of another strength has the same acid",
    inputs=(
        mass("first", "vinegar of the recipe", ask="How much vinegar does the recipe say?", terms=("vinegar",),
             plain=True, instead=("first_volume",), marks=("to",)),
        volume("first_volume", "vinegar of the recipe by volume", terms=("vinegar",), plain=True, marks=("to",)),
        Input("first_label", "fraction", "strength in the recipe", Limit(3, 30, "percent"),
              ask="Of which % is the recipe's vinegar? 5 is usual", basis=ON_THE_LABEL, terms=("vinegar",), plain=True,
              marks=("of", "at", "to"), suggest=(5, "percent"), of=("first", "first_volume")),
        Input("second_label", "fraction", "strength of your vinegar", Limit(3, 30, "percent"),
              ask="Which % does your bottle of vinegar say?", basis=ON_THE_LABEL, terms=("own-vinegar", "vinegar"),
              plain=True, marks=("with",), of=("second", "second_volume")),
        mass("second", "your vinegar"),
        volume("second_volume", "your vinegar by volume"),
        Input("thinner", "volume", "liquid more than in the recipe", Limit(-5000, 5000, "liter")),
        Input("thicker", "volume", "liquid less than in the recipe", Limit(-5000, 5000, "liter")),
    ),
    relations=(
        Relation(
            "first = first_volume * vinegar_density(first_label)",
            {"first": "first_volume * vinegar_density(first_label)",
             "first_volume": "first / vinegar_density(first_label)"},
            functions={"vinegar_density": vinegar_density},
        ),
        Relation(
            "second = second_volume * vinegar_density(second_label)",
            {"second": "second_volume * vinegar_density(second_label)",
             "second_volume": "second / vinegar_density(second_label)"},
            functions={"vinegar_density": vinegar_density},
        ),
        Relation(
            "first_volume * first_label = second_volume * second_label",
            {"second_volume": "first_volume * first_label / second_label",
             "first_volume": "second_volume * second_label / first_label"},
            LABEL,
        ),
        Relation("thinner = second_volume - first_volume", {"thinner": "second_volume - first_volume"}),
        Relation("thicker = first_volume - second_volume", {"thicker": "first_volume - second_volume"}),
    ),
    goals=("second",),
    called_by=("#vinegars", "own-vinegar vinegar", "own-vinegar"),
    headline={
        "second": ("{second} ({second_volume}) of {second_label} vinegar has as much acid as {first} ({first_volume}) "
                   "of {first_label}.",),
    },
    tail=(
        "It brings {thinner} more liquid, which thins the salt and everything else.",
        "It brings {thicker} less liquid: that much water makes up for it.",
        "Home canning guidance asks for vinegar of 5%: weaker vinegar has no place in a canning recipe, however much "
        "of it. In a sauce the pH is measured, a day after.",
    ),
    wanted={"vinegar": ("second", "second_volume"), "volume": ("second_volume",), "mass": ("second",)},
    excluded_by=SAUCES - {"swapping"} | {"acetic", "diluting", "raising", "citric", "lactic", "ph", "salt", "water"},
    sources=(LABEL, CANNING, ARITHMETIC),
    examples=(
        Example("the recipe says 500 g of 5% vinegar, mine is 4%", "second", 624.4, "gram", 0.5, ARITHMETIC),
    ),
)  # fmt: skip
"""500 g x 5 / 4 is 625 g; the weaker one is a tenth of a percent lighter by the litre, so 624 g."""

ESTIMATES = frozenset(one.name for one in (VINEGAR_PH, LACTIC_PH, CITRIC_PH, DILUTED_PH))
"""The calculators that give a pH, of water with an acid in it."""

CALCULATORS = (VINEGAR_PH, LACTIC_PH, CITRIC_PH, DILUTED_PH, TITRATION, SWAP, WEAKER)
