"""Bringing a sauce to several targets at once, with the things that are at hand.

Every share is by weight of everything. It tells no pH: a buffered sauce answers to its own trial and to the meter.
"""

from __future__ import annotations

from collections.abc import Mapping

from assistant.declare import ARITHMETIC, PRACTICE, Calculator, Default, Example, Input, Limit, Source, Worked
from assistant.trade import mixture as mx
from assistant.trade.finishing import BY_SAUCE_VOLUME, LABEL, ON_THE_LABEL, SAUCE, SAUCE_WEIGHS, WITH_GUM
from assistant.trade.levers import KILOGRAMS, LITRES, Plan, Target, plan
from assistant.trade.shared import OF_WHOLE_LIMIT, SATURATION_SAYS, WHOLE, mass, volume
from assistant.trade.solution import WATER_20

BALANCE = Source("definition and arithmetic: what goes in comes out again, target by target")
_PLAIN_SALT = Limit(0, 26.45, "percent", too_high=SATURATION_SAYS, from_low=True)
_ACID = Limit(0, 20, "percent", from_low=True)
_GUM = Limit(0, 1, "percent", from_low=True, too_high="A sauce with more than 1% of gum does not pour")
_HEAT = Limit(0, 16.1e6, "pungency", from_low=True)
_AMOUNT = Limit(0, 50000, "kilogram", from_low=True)

LEVERS = ("salt", "water", "vinegar", "brine", "mash", "gum")
"""What can go in. It is named with its strength ("10 % brine"), or by itself ("with water and salt")."""

_SHU = mx.SHU_PER_MG_KG * 1e6
_HEATS = ("heat_now", "heat_after", "mash_heat")

AT_HAND = "at hand: "
"""Before a thing that was named by itself, among the words of a question: it may go in."""

_TARGETS = (
    ("salt_after", "salt", mx.SALT_WHOLE, "of_whole"),
    ("acid_after", "acetic acid", mx.ACETIC, "acid"),
    ("gum_after", "gum", mx.GUM, "gum_there"),
    ("heat_after", "heat", mx.CAPSAICINOIDS, "heat_now"),
)
"""Each target: its input, its name, how it is measured, and the input that says what it is now."""


def _named(known: Mapping[str, float], words: frozenset[str]) -> set[str]:
    """The things that were said to be at hand."""
    found = {one for one in LEVERS if one != "mash" and AT_HAND + one in words}
    if {AT_HAND + "unsalted", AT_HAND + "mild"} & words or "mash_salt" in known:
        found.add("mash")
    return found | {lever for lever, strength in (("vinegar", "label"), ("brine", "brine_salt")) if strength in known}


def _usual(known: Mapping[str, float]) -> set[str]:
    """What is taken where nothing was named: the plainest thing that moves each target."""
    found = {"salt", "water"}
    if "acid_after" in known:
        found.add("vinegar")
    if "gum_after" in known:
        found.add("gum")
    return found


def _things(known: Mapping[str, float], at_hand: set[str]) -> dict[str, mx.Mixture]:
    """A kilogram of each thing."""
    salted = known.get("mash_salt", 0.0)
    one = {
        "salt": lambda: mx.salt(1),
        "water": lambda: mx.water(1),
        "vinegar": lambda: _kilo(mx.vinegar(1, known["label"])),
        "brine": lambda: mx.brine(1, known["brine_salt"]),
        "mash": lambda: mx.produce(1 - salted, capsaicinoids=known.get("mash_heat", 0.0)) + mx.salt(salted),
        "gum": lambda: mx.gum(1),
    }
    return {name: one[name]() for name in LEVERS if name in at_hand}


def _kilo(mixture: mx.Mixture) -> mx.Mixture:
    return mixture.share(1 / mixture.mass)


def _start(known: Mapping[str, float]) -> mx.Mixture:
    """The sauce as it is; what nothing was said of is counted as water."""
    weight = known["sauce"]
    salt, acetic, gum = (weight * known.get(name, 0.0) for name in ("of_whole", "acid", "gum_there"))
    hot = weight * known.get("heat_now", 0.0)
    return mx.Mixture(
        water=weight - salt - acetic - gum - hot, salt=salt, acetic=acetic, gum=gum, capsaicinoids=hot
    )  # fmt: skip


def _wanted(known: Mapping[str, float], start: mx.Mixture) -> list[Target]:
    """The targets that were said, as equations."""
    found = [Target(name, known[name], measure) for name, _, measure, _ in _TARGETS if name in known]
    if "end_volume" in known:
        # the sauce fills what it was said to; what goes in adds its own litres
        own = known["sauce"] / known["sauce_density"]
        found.append(Target("end_volume", known["end_volume"] - own + start.volume, LITRES))
    if "end_mass" in known:
        found.append(Target("end_mass", known["end_mass"], KILOGRAMS))
    return found


def _asked(known: Mapping[str, float], at_hand: set[str]) -> tuple[str, ...]:
    """What must be known first, in the order of the questions."""
    found = []
    if "sauce" not in known:
        found.append("sauce")
    if not {name for name, *_ in _TARGETS} & known.keys() | {"end_volume", "end_mass"} & known.keys():
        found.append("salt_after")
    if "of_whole" not in known:
        found.append("of_whole")
    if "heat_after" in known and "heat_now" not in known:
        found.append("heat_now")
    for lever, strength in _STRENGTHS.items():
        if lever in at_hand and strength not in known:
            found.append(strength)
    return tuple(found)


def adjust(known: Mapping[str, float], words: frozenset[str]) -> Worked:
    """What goes in to reach every target; where they clash, which ones and what comes nearest.

    Args:
        known: quantities in canonical units.
        words: what was said; AT_HAND marks what may go in.
    """
    at_hand = _at_hand(known, words)
    if AT_HAND + "unsalted" in words:
        known = {"mash_salt": 0.0, **known}
    # heat is counted as the capsaicinoids that make it
    known = {**known, **{name: known[name] / _SHU for name in _HEATS if name in known}}
    if missing := _asked(known, at_hand):
        return Worked(missing=missing)
    start = _start(known)
    targets = _wanted(known, start)
    found = plan(start, _things(known, at_hand), targets)
    values = _values(known, start, found)
    more = _would_do(known, start, targets, at_hand) if found.missed else ""
    return Worked(values, (), _rests_on(known), _headline(found, values, known) + more, _lines(found, known))


def _at_hand(known: Mapping[str, float], words: frozenset[str]) -> set[str]:
    """What may go in: what was named, or the usual; always what a target cannot do without.

    A vinegar's strength says which vinegar it is, and not that there is nothing else.
    """
    named = _named(known, words)
    dry = {"water"} if "mashing" in words else set()  # "but no water"
    if not named or (named == {"vinegar"} and "acid_after" in known):
        named |= _usual(known)
    if known.get("gum_after", 0.0) > known.get("gum_there", 0.0):
        named.add("gum")
    if known.get("acid_after", 0.0) > known.get("acid", 0.0):
        named.add("vinegar")
    return named - dry


def _rests_on(known: Mapping[str, float]) -> tuple[str, ...]:
    """The inputs whose defaults matter to the answer."""
    found = []
    if "end_volume" in known:
        found.append("sauce_density")
    if "acid_after" in known or "label" in known:
        found.append("acid")
    if "gum_after" in known:
        found.append("gum_there")
    if "mash_salt" in known and "heat_after" in known:
        found.append("mash_heat")
    return tuple(found)


def _would_do(known: Mapping[str, float], start: mx.Mixture, targets: list[Target], at_hand: set[str]) -> str:
    """What else would have to be at hand for all targets, if there is such a thing."""
    for more in (("salt",), ("water",), ("salt", "water")):
        if set(more) & at_hand:
            continue
        if not plan(start, _things(known, at_hand | set(more)), targets).missed:
            return f" With {' and '.join(more)} at hand too, all of it can be had."
    return ""


def _values(known: Mapping[str, float], start: mx.Mixture, found: Plan) -> dict[str, float]:
    """The quantities of the answer."""
    values = {f"add_{name}": amount for name, amount in found.added.items()}
    if values.get("add_vinegar"):
        values["add_vinegar_volume"] = values["add_vinegar"] / mx.vinegar(1, known["label"]).mass
    if values.get("add_water"):
        values["add_water_volume"] = values["add_water"] / WATER_20
    values["both"] = found.after.mass
    own = known["sauce"] / known["sauce_density"]
    values["both_volume"] = own + found.after.volume - start.volume
    values |= {
        "salt_made": mx.SALT_WHOLE(found.after), "acid_made": mx.ACETIC(found.after), "gum_made": mx.GUM(found.after),
        "heat_made": found.after.heat,
    }  # fmt: skip
    return values


_INTO = {
    "salt": "{add_salt} of salt",
    "water": "{add_water} of water ({add_water_volume})",
    "vinegar": "{add_vinegar} of {label} vinegar ({add_vinegar_volume})",
    "brine": "{add_brine} of {brine_salt} brine",
    "mash": "{add_mash} of mash at {mash_salt}",
    "gum": "{add_gum} of gum",
}


_STRENGTHS = {"vinegar": "label", "brine": "brine_salt", "mash": "mash_salt"}
"""What says how strong a thing at hand is."""


def _headline(found: Plan, values: Mapping[str, float], known: Mapping[str, float]) -> str:
    """What goes in, and what it comes to; a clash first."""
    parts = [text for name, text in _INTO.items() if values.get(f"add_{name}", 0.0) > 1e-9]
    # nothing of the mash's salt is said where it has none
    parts = [
        one.replace(" of mash at {mash_salt}", " of unsalted mash") if _plain(one, known) else one for one in parts
    ]
    spare = [name for name, strength in _STRENGTHS.items() if strength in known and not values.get(f"add_{name}")]
    none = f" No {' and no '.join(spare)} is needed." if spare else ""
    into = f"{_listed(parts)} into {{sauce}}" if parts else "nothing into {sauce}"
    ends = ["{salt_made} salt"]
    if values["acid_made"] or "acid_after" in known:
        ends.append("{acid_made} acetic acid")
    if values["gum_made"] or "gum_after" in known:
        ends.append("{gum_made} gum")
    if "heat_after" in known:
        ends.append("{heat_made}")
    litres = " ({both_volume})" if "end_volume" in known else ""
    makes = f"{_listed(ends)} in {{both}}{litres}"
    if not found.missed:
        return f"{into[0].upper() + into[1:]}: that makes {makes}.{none}"
    wishes = [_WISH[one] for one in found.clash]
    what = f"{_listed(wishes)} cannot be had together" if len(wishes) > 1 else f"{wishes[0]} cannot be had"
    return f"With what is at hand {what}. Nearest: {into}, which makes {makes}.{none}"


_WISH = {
    "salt_after": "{salt_after} salt",
    "acid_after": "{acid_after} acetic acid",
    "gum_after": "{gum_after} gum",
    "heat_after": "{heat_after}",
    "end_volume": "{end_volume} in all",
    "end_mass": "{end_mass} in all",
}


def _plain(text: str, known: Mapping[str, float]) -> bool:
    return "{mash_salt}" in text and not known.get("mash_salt")


def _listed(parts: list[str]) -> str:
    return parts[0] if len(parts) == 1 else f"{', '.join(parts[:-1])} and {parts[-1]}"


_BRINGS = {
    "of_whole": {"salt": "{add_salt}", "brine": "{brine_salt} x {add_brine}", "mash": "{mash_salt} x {add_mash}"},
    "acid": {"vinegar": "{label} x {add_vinegar_volume}"},
    "gum_there": {"gum": "{add_gum}"},
    "heat_now": {"mash": "{mash_heat} x {add_mash}"},
}
"""What each thing brings towards a target, in words."""


def _lines(found: Plan, known: Mapping[str, float]) -> tuple[str, ...]:
    """Each target as the sum that makes it."""
    used = [name for name, amount in found.added.items() if amount > 1e-9]
    lines = []
    for target, label, _, now in _TARGETS:
        if target not in known:
            continue
        parts = [f"{{{now}}} x {{sauce}}"] if known.get(now) else []
        parts += [
            text for name, text in _BRINGS[now].items() if name in used and (name != "mash" or known["mash_salt"])
        ]
        made = target.replace("after", "made")
        lines.append(f"{label[0].upper() + label[1:]}: ({' + '.join(parts) or '0'}) / {{both}} = {{{made}}}.")
    lines.append(f"In all: {{sauce}} + {' + '.join(f'{{add_{name}}}' for name in used) or '0'} = {{both}}.")
    return tuple(lines)


def _added(name: str, label: str) -> Input:
    return Input(name, "mass", label, _AMOUNT)


ADJUST = Calculator(
    name="adjust",
    title="Several targets at once",
    does="how much vinegar, water, brine, salt, mash and gum take a sauce to its salt, acid, gum and litres together",
    inputs=(
        mass(
            "sauce", "sauce", ask="How much sauce is there?", terms=SAUCE, plain=True, instead=("sauce_volume",),
            marks=("in", "for", "to"), reads="mass",
        ),
        volume("sauce_volume", "sauce", terms=SAUCE, plain=True, marks=("in", "for", "to")),
        SAUCE_WEIGHS,
        Input(
            "of_whole", "fraction", "salt now", _PLAIN_SALT, ask="How salty is it now, in %?", basis=WHOLE,
            terms=("batch", "mash", "salinity"), marks=("at", "from", "of", "with"), plain=True, reads="of_whole",
        ),
        Input(
            "salt_after", "fraction", "salt wanted", OF_WHOLE_LIMIT, ask="Which % of salt do you want in the end?",
            basis=WHOLE, terms=("of-whole", "equilibrium"), marks=("to",), plain=True,
        ),
        Input(
            "acid", "fraction", "acetic acid now", _ACID, basis="everything", named=True,
            terms=("acetic",), marks=("at", "from"), reads="acetic",
            default=Default(0.0, "percent", "there is no acetic acid in it yet", ARITHMETIC),
        ),
        Input(
            "acid_after", "fraction", "acetic acid wanted", _ACID, basis="everything", named=True,
            terms=("acetic",), marks=("to",),
        ),
        Input(
            "gum_there", "fraction", "gum now", _GUM, basis=WITH_GUM, named=True, terms=("gum",), marks=("at", "from"),
            reads="gum", default=Default(0.0, "percent", "there is no gum in it yet", ARITHMETIC),
        ),
        Input("gum_after", "fraction", "gum wanted", _GUM, basis=WITH_GUM, named=True, terms=("gum",), marks=("to",)),
        Input("heat_now", "pungency", "heat now", _HEAT, ask="How hot is it now, in SHU?", plain=True,
              terms=("batch", "mash"), marks=("at", "from", "of", "with")),
        Input("heat_after", "pungency", "heat wanted", _HEAT, plain=True, marks=("to",)),
        Input(
            "mash_heat", "pungency", "heat of the mash that goes in", _HEAT, named=True, terms=("mild",),
            default=Default(0.0, "pungency", "the mash that goes in has no heat", ARITHMETIC),
        ),
        volume("end_volume", "litres in all", named=True, terms=("final",), marks=("to",)),
        mass("end_mass", "weight in all", named=True, terms=("final",), marks=("to",)),
        Input(
            "label", "fraction", "strength of the vinegar", Limit(3, 30, "percent"), basis=ON_THE_LABEL,
            ask="Which % does the bottle of vinegar say?", named=True, terms=("vinegar",), marks=("with",),
            suggest=(5, "percent"),
        ),
        Input(
            "brine_salt", "fraction", "salt of the brine", OF_WHOLE_LIMIT, ask="How salty is the brine, in %?",
            basis=WHOLE, named=True, terms=("brine",), marks=("with",),
        ),
        Input(
            "mash_salt", "fraction", "salt of the mash that goes in", _PLAIN_SALT, basis=WHOLE,
            ask="How salty is the mash that goes in, in %? Unsalted is 0", named=True, terms=("mild",), marks=("with",),
        ),
        _added("add_salt", "salt to add"), _added("add_water", "water to add"), _added("add_vinegar", "vinegar to add"),
        _added("add_brine", "brine to add"), _added("add_mash", "mash to add"), _added("add_gum", "gum to add"),
        volume("add_vinegar_volume", "vinegar to add by volume"), volume("add_water_volume", "water to add by volume"),
        mass("both", "all of it after"), volume("both_volume", "all of it after, by volume"),
        Input("salt_made", "fraction", "salt after", _PLAIN_SALT, basis=WHOLE),
        Input("acid_made", "fraction", "acetic acid after", _ACID, basis="everything"),
        Input("gum_made", "fraction", "gum after", _GUM, basis=WITH_GUM),
        Input("heat_made", "pungency", "heat after", _HEAT),
    ),
    relations=(BY_SAUCE_VOLUME,),
    goals=("both",),
    called_by=("#aims", "#levered", "adjusting"),
    headline={"both": ("{both} in all.",)},
    wanted={name: (f"add_{name}",) for name in ("salt", "water", "vinegar", "brine", "gum")},
    tail=(
        "What was not aimed at falls as it grows. No pH follows: add nine tenths, stir, measure, and read the pH a day "
        "later.",
    ),
    sources=(BALANCE, LABEL, PRACTICE),
    program=adjust,
    examples=(
        Example(
            "4 kg of sauce at 3% salt, want 2.5% salt and 1% acetic with 5% vinegar, water and salt",
            "add_vinegar", 1.0081, "kilogram", 0.0001, ARITHMETIC,
        ),
    ),
)  # fmt: skip

CALCULATORS = (ADJUST,)
