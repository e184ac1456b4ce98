"""What leaves a batch: pulp held back by a strainer, water steamed off in the pot.

Salt and acid go with the water, so what is strained keeps its strength, and what is boiled
down grows stronger. Strengths are salt over everything with the salt.
"""

from __future__ import annotations

from dataclasses import replace

from assistant.declare import ARITHMETIC, PRACTICE, Calculator, Default, Example, Input, Limit, Relation, Source
from assistant.trade.shared import MOISTURE, mass, strength

_BATCH = ("batch", "mash", "brine", "produce", "@produce", "@vessel")
WITH_THE_WATER = Source("mass balance: salt is dissolved in the water, so it parts as the water does")


STRAIN = Calculator(
    name="strain",
    title="Straining",
    does="what straining leaves: how much liquid, how salty, and the yield",
    inputs=(
        mass("batch", "the batch", ask="How much was there before straining?", terms=_BATCH, marks=("of", "from"),
             plain=True, reads="mass"),
        strength("batch_salt", "salt of the batch", ask="How salty was it, in % of everything?",
                  terms=("batch", "mash", "brine", "produce", "@produce"), marks=("at", "of"), plain=True,
                 reads="of_whole"),
        mass("pulp", "wet pulp", ask="How much wet pulp came out, or how much liquid?", terms=("pulp",),
             instead=("liquid",)),
        mass("liquid", "liquid", terms=("strained",), marks=("to",)),
        replace(MOISTURE, label="water in the batch", terms=("moisture",), reads="moisture"),
        Input(
            "pulp_moisture", "fraction", "water in the wet pulp", Limit(1, 99, "percent"), terms=("pulp",),
            default=Default(75.0, "percent", "the wet pulp is 75% water", PRACTICE),
        ),
        strength("pulp_salt", "salt of the pulp"),
        strength("liquid_salt", "salt of the liquid", terms=("strained",)),
        Input("yielded", "fraction", "yield", Limit(0, 100, "percent"), terms=("yield",)),
    ),
    relations=(
        Relation(
            "batch = liquid + pulp", {"batch": "liquid + pulp", "liquid": "batch - pulp", "pulp": "batch - liquid"}
        ),
        Relation("liquid = yielded * batch", {"yielded": "liquid / batch", "liquid": "yielded * batch"}),
        Relation(
            "pulp_salt * moisture = batch_salt * pulp_moisture",
            {"pulp_salt": "batch_salt * pulp_moisture / moisture"},
            WITH_THE_WATER,
        ),
        Relation(
            "liquid_salt * liquid = batch_salt * (batch - pulp * pulp_moisture / moisture)",
            {
                "liquid_salt": "batch_salt * (batch - pulp * pulp_moisture / moisture) / liquid",
                "batch_salt": "liquid_salt * liquid / (batch - pulp * pulp_moisture / moisture)",
            },
            WITH_THE_WATER,
        ),
    ),
    goals=("liquid_salt", "liquid", "pulp"),
    called_by=(
        "straining", "straining batch", "straining mash", "straining pulp", "straining strained", "pulp strained",
    ),
    headline={
        "liquid_salt": ("{liquid} at {liquid_salt}: {pulp} of wet pulp came out of {batch} at {batch_salt}.",),
        "liquid": ("{liquid} of liquid: {pulp} of wet pulp came out of {batch}.",),
        "yielded": ("A yield of {yielded}: {liquid} of liquid out of {batch}.",),
        "batch_salt": ("It was {batch_salt} before straining.",),
    },
    tail=(
        "The liquid keeps its strength: salt goes with the water, and the pulp holds {pulp_salt} back in its own.",
        "Yield {yielded}.",
        "Weigh both: together they are what you started with.",
    ),
    wanted={
        "salinity": ("liquid_salt",), "strength": ("liquid_salt",), "strained": ("liquid",), "pulp": ("pulp",),
        "salt": ("liquid_salt",),
    },
    sources=(WITH_THE_WATER,),
    examples=(
        Example("strained 2 kg of mash at 3%, 600 g of wet pulp", "liquid_salt", 3.19, "percent", 0.02, ARITHMETIC),
    ),
)  # fmt: skip
"""2 kg at 3 % less 600 g of pulp with 75 % water is 1.4 kg at 3.2 %."""

SIMMER = Calculator(
    name="simmer",
    title="Simmering down",
    does="how salty a sauce is once water has steamed off, or how far to take it",
    inputs=(
        mass("amount", "the sauce before", ask="How much was in the pot?", terms=_BATCH, marks=("of", "from"),
             plain=True, reads="mass"),
        strength("before", "salt before", ask="How salty was it, in % of everything?",
                  terms=("batch", "mash", "brine", "produce", "@produce"), marks=("from", "at", "of"), plain=True,
                 reads="of_whole"),
        mass("off", "water steamed off", ask="How much steamed off, or how much is left?", terms=("water",),
             marks=("by",), instead=("rest",)),
        mass("rest", "what is left", marks=("to",)),
        strength("after", "salt after", marks=("to",), plain=True),
    ),
    relations=(
        Relation("amount = rest + off", {"rest": "amount - off", "off": "amount - rest", "amount": "rest + off"}),
        Relation(
            "after * rest = before * amount",
            {
                "after": "before * amount / rest", "rest": "before * amount / after",
                "before": "after * rest / amount", "amount": "after * rest / before",
            },
            WITH_THE_WATER,
        ),
    ),
    goals=("after", "rest", "off"),
    called_by=("simmering", "simmering batch", "simmering mash", "simmering water", "simmering brine"),
    headline={
        "after": ("{rest} at {after}: {off} of water steamed off {amount} at {before}.",),
        "rest": ("Simmer it down to {rest}: {off} of water off {amount} takes it from {before} to {after}.",),
        "off": ("{off} of water has to steam off {amount} to take it from {before} to {after}.",),
        "before": ("It was {before} before.",),
    },
    tail=("Salt stays while water goes, and some of a vinegar goes with it: measure the pH again when it is cool.",),
    wanted={"salinity": ("after",), "strength": ("after",), "salt": ("after",), "water": ("off",)},
    sources=(ARITHMETIC,),
    examples=(
        Example("simmered 500 g of water off 3 kg of sauce at 3%", "after", 3.6, "percent", 0.001, ARITHMETIC),
    ),
)  # fmt: skip
"""Half a kilo off 3 kg at 3 % leaves 2.5 kg at 3.6 %."""

CALCULATORS = (STRAIN, SIMMER)
