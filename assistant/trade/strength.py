"""Making a brine or a batch stronger or weaker, topping up, and mixing two.

All of it is one salt balance; strengths are salt over everything with the salt.
"""

from __future__ import annotations

from dataclasses import replace

from assistant.declare import ARITHMETIC, Calculator, Default, Example, Input, Limit, Relation
from assistant.trade.shared import OF_WHOLE_LIMIT, SATURATION_SAYS, WATER_AS_VOLUME, WHOLE, mass, strength, volume
from assistant.trade.solution import brine_density

_DENSITY = {"brine_density": brine_density}
_MAYBE_PLAIN = Limit(0, 26.45, "percent", too_high=SATURATION_SAYS, from_low=True)


def _by_volume(amount: str, salt: str) -> Relation:
    """A liquid's weight from its volume, as a salt brine of its strength."""
    return Relation(
        f"{amount} = {amount}_volume * brine_density({salt})",
        {
            amount: f"{amount}_volume * brine_density({salt})",
            f"{amount}_volume": f"{amount} / brine_density({salt})",
        },
        functions=_DENSITY,
    )


_NO_SALT = frozenset({"thickening", "sanitizing", "bleach", "iodophor"})
"""Words of jobs whose "from 0.1 % to 0.2 %" is of gum or chlorine."""
_BATCH = ("brine", "mash", "batch", "produce", "@produce", "@vessel")

_NOW = (
    mass(
        "amount",
        "amount now",
        ask="How much brine or batch is there now?",
        terms=_BATCH,
        plain=True,
        instead=("amount_volume",),
        reads="mass",
    ),
    volume("amount_volume", "amount now", terms=_BATCH, plain=True),
    strength(
        "before",
        "salt now",
        ask="How salty is it now, in %?",
        marks=("from", "at", "of"),
        plain=True,
        terms=_BATCH,
        reads="of_whole",
    ),
)
"""What there is: by weight or volume, and how salty."""

RAISE = Calculator(
    name="raise",
    title="Making it saltier",
    does="salt to add to a brine or a batch to bring it up to a strength",
    inputs=(
        *_NOW[:-1],
        replace(_NOW[-1], limit=_MAYBE_PLAIN),
        Input(
            "after",
            "fraction",
            "salt wanted",
            OF_WHOLE_LIMIT,
            ask="Which % do you want?",
            marks=("to", "for"),
            basis=WHOLE,
            terms=("of-whole", "equilibrium"),
            plain=True,
        ),
        Input(
            "salt",
            "mass",
            "salt to add",
            Limit(0, 5000, "kilogram", too_low="Adding salt cannot take it from {before} down to {after}"),
            terms=("salt", "fine", "flake", "iodised"),
            marks=("with",),
        ),
    ),
    relations=(
        _by_volume("amount", "before"),
        Relation(
            "amount * before + salt = (amount + salt) * after",
            {
                "salt": "amount * (after - before) / (1 - after)",
                "amount": "salt * (1 - after) / (after - before)",
                "after": "(amount * before + salt) / (amount + salt)",
                "before": "after - salt * (1 - after) / amount",
            },
        ),
    ),
    goals=("salt", "after", "amount", "before"),
    called_by=(
        "#up",
        "raising",
        "raising salt",
        "raising brine",
        "mixing #salt",
        "mixing #salt brine",
        "more #salt brine",
        "checking #salt",
        "checking #salt batch",
    ),
    headline={
        "salt": ("Add {salt} of salt to {amount}.",),
        "after": ("{after} of everything, after {salt} of salt into {amount} at {before}.",),
        "amount": ("{amount}, to go from {before} to {after} with {salt} of salt.",),
        "before": ("It was {before} of everything before {salt} of salt went into {amount}.",),
    },
    tail=("That takes it from {before} to {after} of everything. Dissolve it, stir, and measure again.",),
    wanted={"salt": ("salt",), "salinity": ("after",), "strength": ("after",)},
    sources=(ARITHMETIC,),
    excluded_by=frozenset({"diluting", "simmering", "straining", "vinegar"}) | _NO_SALT,
    examples=(Example("raise 10 kg from 1.5% to 3%", "salt", 154.6, "gram", 0.1, ARITHMETIC),),
)
"""The salt adds weight too, so the balance divides by one less the strength wanted."""

DILUTE = Calculator(
    name="dilute",
    title="Making it less salty",
    does="water or unsalted produce to bring a brine or a batch down to a strength",
    inputs=(
        *_NOW,
        strength(
            "after",
            "salt wanted",
            ask="Which % do you want?",
            marks=("to", "for"),
            terms=("of-whole", "equilibrium"),
            plain=True,
        ),
        Input(
            "water",
            "mass",
            "unsalted to add",
            Limit(
                0, 5000, "kilogram", too_low="Adding something unsalted cannot take the salt from {before} to {after}"
            ),
            terms=("water", "unsalted"),
            marks=("with",),
        ),
        volume("water_volume", "water to add", terms=("water",), marks=("with",)),
    ),
    relations=(
        _by_volume("amount", "before"),
        Relation(
            "amount * before = (amount + water) * after",
            {
                "water": "amount * (before / after - 1)",
                "amount": "water * after / (before - after)",
                "after": "amount * before / (amount + water)",
                "before": "after * (amount + water) / amount",
            },
        ),
        WATER_AS_VOLUME,
    ),
    goals=("water", "after", "amount", "before"),
    called_by=(
        "#thinned",
        "#thinned brine water",
        "#thinned mash water",
        "#down",
        "diluting",
        "diluting water",
        "diluting brine",
    ),
    headline={
        "water": ("Add {water} of unsalted produce or water ({water_volume} of water) to {amount}.",),
        "after": ("{after} of everything, after {water} unsalted into {amount} at {before}.",),
        "amount": ("{amount}, to go from {before} to {after} with {water} unsalted.",),
        "before": ("It was {before} of everything before {water} unsalted went into {amount}.",),
    },
    tail=("That takes it from {before} to {after} of everything.",),
    wanted={"water": ("water",), "unsalted": ("water",), "salinity": ("after",), "strength": ("after",)},
    sources=(ARITHMETIC,),
    excluded_by=_NO_SALT,
    examples=(Example("dilute 2 kg from 5% to 3%", "water", 1.3333, "kilogram", 0.001, ARITHMETIC),),
)
"""Unsalted means all of it: water, produce, vinegar."""


def _pair(prefix: str, words: str, marks: tuple[str, ...], plain_limit: bool) -> tuple[Input, ...]:
    limit = _MAYBE_PLAIN if plain_limit else OF_WHOLE_LIMIT
    terms = ("water", "brine", "mash", "batch", "produce", "salty-liquid", "@produce", "@vessel")
    return (
        mass(
            prefix,
            words,
            ask=f"How much is {words}?",
            terms=terms,
            marks=marks,
            plain=True,
            instead=(f"{prefix}_volume",),
        ),
        volume(f"{prefix}_volume", words, terms=terms, marks=marks, plain=True),
        Input(
            f"{prefix}_salt",
            "fraction",
            f"salt of {words}",
            limit,
            ask=f"How salty is {words}, in %?",
            terms=terms,
            marks=("at", "of"),
            basis=WHOLE,
            plain=True,
            of=(prefix, f"{prefix}_volume"),
        ),
    )


_BALANCE = Relation(
    "(first + second) * after = first * first_salt + second * second_salt",
    {
        "after": "(first * first_salt + second * second_salt) / (first + second)",
        "second": "first * (first_salt - after) / (after - second_salt)",
        "first": "second * (second_salt - after) / (after - first_salt)",
        "first_salt": "((first + second) * after - second * second_salt) / first",
        "second_salt": "((first + second) * after - first * first_salt) / second",
    },
)

MIX = Calculator(
    name="mix",
    title="Mixing two",
    does="the salt of two brines or two batches put together",
    inputs=(
        *_pair("first", "the first one", (), True),
        *_pair("second", "the second one", ("with", "in"), True),
        Input(
            "after",
            "fraction",
            "salt of the mix",
            _MAYBE_PLAIN,
            marks=("to", "for"),
            basis=WHOLE,
            terms=("equilibrium", "of-whole"),
        ),
        mass("both", "the mix"),
    ),
    relations=(
        _by_volume("first", "first_salt"),
        _by_volume("second", "second_salt"),
        _BALANCE,
        Relation(
            "both = first + second", {"both": "first + second", "second": "both - first", "first": "both - second"}
        ),
    ),
    goals=("after", "first", "second"),
    excluded_by=frozenset({"#salt"}),
    called_by=(
        "mixing",
        "mixing brine",
        "mixing mash",
        "#pairs",
        "#pairs of-total",
        "salty-liquid",
        "salty-liquid batch",
    ),
    headline={
        "after": ("{both} at {after} of everything, from {first} at {first_salt} and {second} at {second_salt}.",),
        "second": ("{second} of the second one at {second_salt} takes {first} from {first_salt} to {after}.",),
        "first": ("{first} of the first one at {first_salt} takes {second} from {second_salt} to {after}.",),
        "first_salt": ("The first one is {first_salt}.",),
        "second_salt": ("The second one is {second_salt}.",),
    },
    tail=("Salt averages by weight; pH does not. Measure the mix.",),
    wanted={"salinity": ("after",), "strength": ("after",)},
    sources=(ARITHMETIC,),
    examples=(Example("mix 3 kg at 2.5% with 5 kg at 5%", "after", 4.0625, "percent", 0.001, ARITHMETIC),),
)
"""3 kg at 2.5 % and 5 kg at 5 % make 8 kg at 4.06 %."""

TOP_UP = Calculator(
    name="top-up",
    title="Topping up",
    does="what a top-up does to the salt, and the salt it should have carried",
    inputs=(
        mass(
            "first",
            "the batch",
            ask="How much is in the vessel now?",
            terms=("batch", "mash", "produce", "@produce", "@vessel"),
            marks=("for", "to"),
            plain=True,
            instead=("first_volume",),
            reads="mass",
        ),
        volume("first_volume", "the batch", terms=("batch", "mash", "@vessel"), marks=("for", "to")),
        Input(
            "first_salt",
            "fraction",
            "salt of the batch",
            OF_WHOLE_LIMIT,
            ask="How salty is the batch, in %?",
            terms=("batch", "mash", "produce", "@produce"),
            marks=("at", "of"),
            basis=WHOLE,
            plain=True,
            reads="of_whole",
            of=("first", "first_volume"),
        ),
        volume(
            "second_volume",
            "the top-up",
            ask="How much went in, or will?",
            terms=("water", "brine"),
            marks=("with", "by"),
            plain=True,
            instead=("second",),
        ),
        mass("second", "the top-up", terms=("water", "brine"), marks=("with", "by")),
        Input(
            "second_salt",
            "fraction",
            "salt of the top-up",
            _MAYBE_PLAIN,
            ask="How salty is the top-up, in %? Plain water is 0",
            default=Default(None, "percent", "", ARITHMETIC, by_kind={"water": (0.0, "plain water carries no salt")}),
            terms=("brine", "water"),
            marks=("at", "of"),
            basis=WHOLE,
            plain=True,
            of=("second", "second_volume"),
        ),
        Input("after", "fraction", "salt after it", _MAYBE_PLAIN, basis=WHOLE, terms=("equilibrium",)),
        mass("both", "the batch after it"),
        Input("short", "mass", "salt that is short", Limit(-5000, 5000, "kilogram")),
    ),
    relations=(
        _by_volume("first", "first_salt"),
        _by_volume("second", "second_salt"),
        _BALANCE,
        Relation("both = first + second", {"both": "first + second"}),
        Relation(
            "short = second * (first_salt - second_salt) / (1 - first_salt)",
            {"short": "second * (first_salt - second_salt) / (1 - first_salt)"},
        ),
    ),
    goals=("after", "short"),
    called_by=("topping", "topping water", "topping brine", "topping @vessel"),
    headline={
        "after": ("{both} at {after} of everything: {second} at {second_salt} went into {first} at {first_salt}.",),
        "short": ("To hold {first_salt} the top-up needed {short} more salt.",),
    },
    tail=("To stay at {first_salt} the top-up of {second} needs {short} more salt.",),
    wanted={"salinity": ("after",), "strength": ("after",), "salt": ("short",)},
    sources=(ARITHMETIC,),
    examples=(
        Example("topped up a 2 kg batch at 3% with 473 g of water at 0%", "after", 2.426, "percent", 0.001, ARITHMETIC),
    ),
)
"""A pint of plain water takes a 2 kg batch from 3 % to 2.4 %."""

CALCULATORS = (RAISE, DILUTE, MIX, TOP_UP)
