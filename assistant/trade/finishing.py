"""Finishing a sauce: gum by weight, a bench trial carried to the batch, the acid that a vinegar brings.

None of it tells the pH of the sauce: a buffered sauce answers to its own trial and to the meter only.
"""

from __future__ import annotations

from assistant.declare import ARITHMETIC, PRACTICE, Calculator, Default, Example, Input, Limit, Relation, Source
from assistant.trade.mixture import vinegar
from assistant.trade.shared import mass, volume

LABEL = Source("FDA CPG 525.825: vinegar holds at least 4 g of acetic acid per 100 mL at 20 C")
FOOD_GUM = Source("21 CFR 172.695: xanthan gum at good manufacturing practice, with no figure; 0.1-0.2 % is practice")
SPOON_OF_GUM = Source("common practice, no source: a teaspoon of xanthan is 2.5 to 3 g")
WITH_GUM = "everything with the gum"
ON_THE_LABEL = "its volume, as on the label"
SAUCE = ("batch", "mash", "brine", "strained", "@vessel")
_GUM_LIMIT = Limit(0, 1, "percent", too_high="A sauce with more than 1% of gum does not pour")
_PLAIN_GUM = Limit(0, 1, "percent", from_low=True, too_high=_GUM_LIMIT.too_high)


def vinegar_density(strength: float) -> float:
    """kg/L of a vinegar of so many kg of acetic acid per L (0.05: 5 % on the label), by the mixture's density model."""
    return vinegar(1.0, strength).mass


SAUCE_WEIGHS = Input(
    "sauce_density",
    "density",
    "what a litre of the sauce weighs",
    Limit(0.8, 1.5, "kilogram_per_liter"),
    terms=("density",),
    default=Default(1.0, "kilogram_per_liter", "1 L of sauce weighs 1 kg", PRACTICE),
)
BY_SAUCE_VOLUME = Relation(
    "sauce = sauce_volume * sauce_density",
    {"sauce": "sauce_volume * sauce_density", "sauce_volume": "sauce / sauce_density"},
)
_SAUCE_NOW = (
    mass(
        "sauce", "sauce", ask="How much sauce is there?", terms=SAUCE, plain=True, instead=("sauce_volume",),
        marks=("in", "for", "to"), reads="mass",
    ),
    volume("sauce_volume", "sauce", terms=SAUCE, plain=True, marks=("in", "for", "to", "per")),
    SAUCE_WEIGHS,
)  # fmt: skip

THICKEN = Calculator(
    name="thicken",
    owns=frozenset({"gum"}),
    title="Thickening with gum",
    does="the weight of xanthan or guar gum for a sauce, and what share of it a weight makes",
    inputs=(
        *_SAUCE_NOW,
        Input(
            "gum_share", "fraction", "gum wanted", _GUM_LIMIT, basis=WITH_GUM, plain=True,
            ask="How much gum, in %? 0.1-0.2 is usual: start at 0.1", suggest=(0.15, "percent"), instead=("gum",),
            terms=("gum",), marks=("at", "to"),
        ),
        Input(
            "gum", "mass", "gum",
            Limit(0, 5000, "kilogram", too_low="There is more than {gum_share} of gum in it already"),
            terms=("gum",), marks=("with",), instead=("gum_volume",),
        ),
        volume("gum_volume", "gum by the spoon", terms=("gum",), marks=("with",)),
        Input(
            "gum_bulk", "density", "what a spoon of gum weighs", Limit(0.2, 1.0, "kilogram_per_liter"),
            default=Default(
                0.558, "kilogram_per_liter", "a US teaspoon of xanthan weighs 2.75 g (2.5 to 3)", SPOON_OF_GUM
            ),
        ),
        Input(
            "gum_there", "fraction", "gum that is in it already", _PLAIN_GUM, basis=WITH_GUM, reads="gum",
            marks=("from",), default=Default(0.0, "percent", "there is no gum in it yet", ARITHMETIC),
        ),
    ),
    relations=(
        BY_SAUCE_VOLUME,
        Relation(
            "gum = gum_volume * gum_bulk", {"gum": "gum_volume * gum_bulk", "gum_volume": "gum / gum_bulk"}
        ),
        Relation(
            "gum_there * sauce + gum = gum_share * (sauce + gum)",
            {
                "gum": "sauce * (gum_share - gum_there) / (1 - gum_share)",
                "sauce": "gum * (1 - gum_share) / (gum_share - gum_there)",
                "gum_share": "(gum_there * sauce + gum) / (sauce + gum)",
            },
        ),
    ),
    goals=("gum", "gum_share"),
    called_by=("thickening", "gum", "gum batch", "gum brine", "thickening gum", "thickening batch", "thickening mash"),
    headline={
        "gum": ("{gum} of gum into {sauce} of sauce makes it {gum_share} of everything.",),
        "gum_share": ("{gum} of gum into {sauce} of sauce makes it {gum_share} of everything.",),
        "gum_volume": ("{gum_volume} of gum, {gum}, into {sauce} of sauce makes it {gum_share} of everything.",),
    },
    tail=(
        "Gum cannot be taken out: start with two thirds, mixed dry with the salt or sugar, under a blender for a "
        "minute or two, and wait half an hour before more.",
        "A gummed sauce slows a pH reading: wait until it stands still.",
    ),
    wanted={"gum": ("gum",), "volume": ("gum_volume",), "strength": ("gum_share",)},
    excluded_by=frozenset({"trial", "diluting", "salt"}),
    sources=(FOOD_GUM, PRACTICE),
    examples=(
        Example("gum for 2.5 litres of sauce at 0.2%", "gum", 5.01, "gram", 0.01, ARITHMETIC),
        Example("thicken a gallon of sauce to 0.15%", "gum", 5.69, "gram", 0.01, ARITHMETIC),
    ),
)  # fmt: skip
"""0.15 % of a US gallon taken as 3,785 g is 5.7 g."""

THIN_OUT = Calculator(
    name="gum-down",
    title="Too much gum",
    does="the sauce without gum that brings an overdose of gum down",
    inputs=(
        *_SAUCE_NOW,
        Input(
            "gum_now", "fraction", "gum now", _GUM_LIMIT, ask="How much gum is in it now, in %?", basis=WITH_GUM,
            reads="gum", plain=True, terms=("gum", *SAUCE), marks=("at", "from", "of"),
        ),
        Input(
            "gum_after", "fraction", "gum wanted", _GUM_LIMIT, ask="How much gum, in %? 0.1-0.2 is usual",
            basis=WITH_GUM, plain=True, terms=("gum",), marks=("to",),
        ),
        Input(
            "ungummed", "mass", "sauce without gum",
            Limit(0, 5000, "kilogram", too_low="More sauce cannot take the gum from {gum_now} up to {gum_after}"),
            terms=("unsalted",), marks=("with",),
        ),
    ),
    relations=(
        BY_SAUCE_VOLUME,
        Relation(
            "sauce * gum_now = (sauce + ungummed) * gum_after",
            {
                "ungummed": "sauce * (gum_now / gum_after - 1)",
                "gum_after": "sauce * gum_now / (sauce + ungummed)",
                "gum_now": "gum_after * (sauce + ungummed) / sauce",
                "sauce": "ungummed * gum_after / (gum_now - gum_after)",
            },
        ),
    ),
    goals=("ungummed", "gum_after"),
    called_by=("diluting gum", "diluting gum batch", "diluting gum mash"),
    headline={
        "ungummed": ("Stir in {ungummed} without gum: {sauce} then goes from {gum_now} to {gum_after} of gum.",),
        "gum_after": ("{gum_after} of gum, after {ungummed} of sauce without gum into {sauce} at {gum_now}.",),
        "gum_now": ("It was {gum_now} of gum before {ungummed} of sauce without gum went in.",),
        "sauce": ("{sauce} of sauce goes from {gum_now} to {gum_after} with {ungummed} without gum.",),
    },
    tail=("Match its salt and its acid, and read the pH of the mix a day later: readings do not average.",),
    sources=(ARITHMETIC,),
    examples=(
        Example("dilute 2 kg of sauce from 0.6% gum to 0.2% gum", "ungummed", 4.0, "kilogram", 0.001, ARITHMETIC),
    ),
)  # fmt: skip
"""2 kg at 0.6 % needs 4 kg to reach 0.2 %."""

TRIAL = Calculator(
    name="trial",
    title="A bench trial carried to the batch",
    does="what a batch needs of something, from what a small weighed trial took",
    inputs=(
        mass("sample", "trial", ask="How much sauce was in the trial?", terms=("trial",), plain=True),
        mass(
            "dose", "what the trial took", ask="How much did the trial take, by weight?",
            terms=("vinegar", "sugar", "honey", "gum", "salt", "water"), plain=True,
        ),
        mass(
            "sauce", "batch", ask="How much sauce is there in all?", terms=("batch", "mash", "@vessel"),
            marks=("for", "in", "to"), plain=True, reads="mass",
        ),
        Input("scale", "count", "times the trial",
              Limit(1, 1e6, "count", too_low="The batch of {sauce} is not larger than the trial of {sample}")),
        Input("rate", "fraction", "what the trial took per trial", Limit(0, 100, "percent")),
        mass("needed", "what the batch needs"),
        mass("first", "what to add first"),
    ),
    relations=(
        Relation("scale = sauce / sample", {"scale": "sauce / sample"}),
        Relation("rate = dose / sample", {"rate": "dose / sample"}),
        Relation("needed = dose * scale", {"needed": "dose * scale"}),
        Relation("first = 0.9 * needed", {"first": "0.9 * needed"}, PRACTICE),
    ),
    goals=("needed",),
    called_by=("trial", "trial vinegar", "trial gum", "trial salt", "trial sugar", "trial honey", "trial water",
               "trial batch"),
    headline={"needed": ("{needed} for {sauce}, {scale} times the {dose} that {sample} took.",)},
    tail=(
        "Add {first} of it first, stir, wait, measure; then creep up to it.",
        "The same ratio holds only for the same bottle and the same sauce, weighed both times.",
        "The trial itself is entered nowhere. A pH is read in the batch, a day after the last addition.",
    ),
    sources=(ARITHMETIC, PRACTICE),
    examples=(
        Example("bench trial: 200 g took 6 g of vinegar, for 13 kg of sauce", "needed", 390, "gram", 0.1, ARITHMETIC),
    ),
)  # fmt: skip
"""6 g to 200 g is 390 g to 13 kg."""

ACETIC = Calculator(
    name="acetic",
    title="The acid that vinegar brings",
    does="the acetic acid in a sauce that vinegar went into, and the vinegar for a share of it",
    inputs=(
        *_SAUCE_NOW,
        mass("vinegar", "vinegar", ask="How much vinegar goes in?", terms=("vinegar",), marks=("with",),
             instead=("vinegar_volume", "acetic")),
        Input(
            "vinegar_volume", "volume", "vinegar by volume",
            Limit(0, 5000, "liter", too_low="Vinegar cannot take the acid from {acid_there} down to {acetic}: what "
                  "has no acid in it does, and the pH must then be read again"),
            terms=("vinegar",), marks=("with",),
        ),
        Input(
            "label", "fraction", "strength of the vinegar",
            Limit(3, 30, "percent"), ask="Which % does the bottle of vinegar say?", basis=ON_THE_LABEL,
            terms=("vinegar",), marks=("at", "of"), suggest=(5, "percent"),
        ),
        Input(
            "acetic", "fraction", "acetic acid", Limit(0, 20, "percent"), basis="everything with the vinegar",
            terms=("acetic",), marks=("to", "for"),
        ),
        Input(
            "acid_there", "fraction", "acetic acid that is in it already", Limit(0, 20, "percent", from_low=True),
            terms=("acetic",), marks=("from", "at"), reads="acetic",
            default=Default(0.0, "percent", "there is no acetic acid in it yet", ARITHMETIC),
        ),
        mass("both", "the sauce with the vinegar"),
        Input("poured", "fraction", "vinegar of everything", Limit(0, 100, "percent")),
    ),
    relations=(
        BY_SAUCE_VOLUME,
        Relation(
            "vinegar = vinegar_volume * vinegar_density(label)",
            {
                "vinegar": "vinegar_volume * vinegar_density(label)",
                "vinegar_volume": "vinegar / vinegar_density(label)",
            },
            functions={"vinegar_density": vinegar_density},
        ),
        Relation(
            "acetic * (sauce + vinegar_volume * vinegar_density(label)) = vinegar_volume * label + acid_there * sauce",
            {
                "acetic": "(vinegar_volume * label + acid_there * sauce) "
                "/ (sauce + vinegar_volume * vinegar_density(label))",
                "vinegar_volume": "(acetic - acid_there) * sauce / (label - acetic * vinegar_density(label))",
                "sauce": "vinegar_volume * (label - acetic * vinegar_density(label)) / (acetic - acid_there)",
            },
            LABEL,
            functions={"vinegar_density": vinegar_density},
        ),
        Relation("both = sauce + vinegar", {"both": "sauce + vinegar"}),
        Relation("poured = vinegar / both", {"poured": "vinegar / both"}),
    ),
    goals=("acetic", "vinegar"),
    called_by=("acetic", "acetic vinegar", "acetic batch", "acetic mash", "#soured"),
    headline={
        "vinegar": ("{vinegar} ({vinegar_volume}) of {label} vinegar into {sauce} makes {acetic} acetic acid.",),
        "acetic": ("{acetic} acetic acid, from {vinegar} of {label} vinegar in {sauce}.",),
        "sauce": ("{vinegar} of {label} vinegar makes {acetic} acetic acid in {sauce}.",),
    },
    tail=(
        "It becomes {both}, {poured} of it the vinegar, and its salt, gum and heat fall as it grows.",
        "The share of acid does not tell the pH: a sauce is buffered. Measure it a day after the last addition.",
        "Counted as acetic acid; as lactic it is half as much again.",
    ),
    wanted={"vinegar": ("vinegar",), "acetic": ("acetic",), "strength": ("acetic",)},
    excluded_by=frozenset({"trial"}),
    sources=(LABEL, ARITHMETIC),
    examples=(
        Example("acetic acid of 4 kg of sauce with 1 kg of 5% vinegar", "acetic", 0.994, "percent", 0.002, ARITHMETIC),
    ),
)  # fmt: skip
"""A fifth of 5 % vinegar is about 1 % acetic acid; the label counts by volume, the sauce by weight."""

CALCULATORS = (THICKEN, THIN_OUT, TRIAL, ACETIC)
