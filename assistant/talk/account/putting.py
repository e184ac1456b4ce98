"""What is put into a batch: produce with its salt, brine, water, salt, vinegar, something sweet, gum."""

from __future__ import annotations

from typing import TYPE_CHECKING

from assistant.replies import Ask, Assume, Refuse
from assistant.talk import words as say
from assistant.talk.account.desk import Desk, Stop, ask_for, fraction, nouns, percent
from assistant.talk.place import dimension
from assistant.trade import mixture as mx
from assistant.trade.produce import NAMES
from assistant.trade.solution import WATER_20, brine_density, saturation
from grammar.later import module
from grammar.types import Amount

if TYPE_CHECKING:
    from assistant.batches import events as ev
    from assistant.batches.batch import Vessel
else:
    ev = module("assistant.batches.events")


SUGAR_BULK = 0.845
"""kg/L of granulated sugar in a cup: USDA NDB 19335, 200 g a US cup."""
HONEY_BULK = 1.433
"""kg/L of honey: USDA NDB 19296, 339 g a US cup."""

OTHERS = ("water", "brine", "vinegar", "sugar", "honey", "gum", "citric", "salt")
LIQUIDS = ("water", "brine", "made-brine", "vinegar")
NOT_PRODUCE = frozenset(
    {
        "water",
        "brine",
        "made-brine",
        "salt",
        "@salt",
        "vinegar",
        "sugar",
        "honey",
        "gum",
        "citric",
        "lactic",
        "naoh",
        "salty-liquid",
        "@vessel",
        "ph",
        "ph-strip",
    }
)


def put_in(desk: Desk) -> None:
    """Everything the line says went in, as events.

    Raises:
        Stop: no batch, an amount that is missing, or one that has no place.
    """
    vessel = desk.source()
    _apart(desk)
    strengths = desk.take(lambda one: percent(one) is not None)
    produce = desk.take(lambda one: _is_produce(one) and not (one.noun is None and _other_stuff(desk, strengths)))
    added = _produce(desk, vessel, produce, strengths)
    added |= _liquids(desk, vessel, strengths)
    added |= _dry(desk, vessel)
    if strengths and added:
        raise Stop(Ask(f'What is "{strengths[0].text}" the strength of? Say, for example, "half a litre of 3% brine".'))
    if not added:
        _nothing(desk, strengths)
    now = desk.open_batch().vessel(vessel.label) or vessel
    if now.holds.salt and mx.SALT_AQUEOUS(now.holds) > saturation():
        salt, water = f"{1000 * now.holds.salt:.4g} g", f"{now.holds.water:.3g} kg"
        text = f"That cannot be entered: it makes {salt} of salt to {water} of water, more than water can hold."
        raise Stop(Refuse(f"{text} Say the amounts again."))


def _apart(desk: Desk) -> None:
    """Amounts that cannot be told apart.

    Raises:
        Stop: several things and several bare amounts, or several bare weights.
    """
    bare = [one for one in desk.left if one.noun is None and dimension(one.unit) in ("mass", "volume")]
    things = {word.term for word in desk.reading.words if word.kind in ("noun", "substance", "salt", "produce")}
    weights = [one for one in bare if dimension(one.unit) == "mass"]
    if (len(bare) > 1 and len(things) > 1) or len(weights) > 1:
        quoted = say.listed(f'"{one.text}"' for one in bare)
        raise Stop(
            Ask(f'What is {quoted}? Say each amount with its thing, for example "500 ml of water and 15 g of salt".')
        )


def _own(amount: Amount, strengths: list[Amount], rest: list[Amount]) -> Amount | None:
    """The strength that is this amount's: by its noun, else the one said right after it, or right before."""
    named = [one for one in strengths if one.noun is not None and nouns(one) & nouns(amount) - {"@noun", "@substance"}]
    if named:
        return named[0]
    liquid = nouns(amount) & set(LIQUIDS)
    free = [one for one in strengths if not nouns(one) & set(LIQUIDS) or not liquid or nouns(one) & liquid]

    def owner(one: Amount) -> Amount:
        before = [each for each in rest if each.span[0] < one.span[0]]
        return max(before, key=lambda each: each.span) if before else min(rest, key=lambda each: each.span)

    mine = [one for one in free if owner(one) is amount]
    return mine[0] if mine else None


def _other_stuff(desk: Desk, strengths: list[Amount]) -> bool:
    """Whether a weight with no word beside it is of something other than produce.

    "Sugar, 60 g, mixed in", "500 g of 3% brine", "500 g of 3%": what is *of* a strength is brine.
    """
    free = {word.term for word in desk.reading.words if word.kind in ("noun", "substance", "salt", "produce")}
    free |= {term for one in strengths for term in nouns(one)}
    free -= {"salt"} if strengths else set()  # "2.75 kg of it, 3% salt" is no weight of salt
    kinds = {word.kind for word in desk.reading.words}
    of = any(one.mark == "of" for one in strengths)
    return (of or bool(free & set(OTHERS))) and "produce" not in kinds


def _nothing(desk: Desk, strengths: list[Amount]) -> None:
    strange = next((one for one in desk.left if nouns(one) & {"lactic", "naoh", "salty-liquid"}), None)
    if strange is not None and strange.noun is not None and "salty-liquid" in nouns(strange):
        name = strange.noun.text
        text = (
            f'I keep no account of "{name}": enter its salt as salt, and write it down with no weight, "note: {name}".'
        )
        raise Stop(Ask(text))
    if strange is not None and strange.noun is not None:
        text = f'I keep no account of "{strange.noun.text}". To write it down say "note:" and the words.'
        raise Stop(Ask(text))
    free = [word for word in desk.reading.all_words if word.kind in ("produce", "noun", "substance", "salt")]
    what = f'"{free[0].text}"' if free else "it"
    of_acid = "ph" in desk.reading.text.lower().split()
    loose = ", ".join(f'"{one.text}"' for one in desk.left if of_acid and not one.unit)
    rest = f" {loose} is not entered either: a pH goes in a line of its own, with its day." if loose else ""
    raise Stop(Ask(f'How much was it of {what}? Say the amount with it, for example "added 300 g of garlic".{rest}'))


def _is_produce(amount: Amount) -> bool:
    """A weight of produce: of a kind, or of nothing that is said."""
    if dimension(amount.unit) != "mass":
        return False
    return not nouns(amount) & NOT_PRODUCE


def _kind(amount: Amount) -> tuple[str, str]:
    """The produce's term and its name."""
    term = amount.said("produce")
    if term:
        return term, NAMES.get(term, term)
    return "", "produce"


def _produce(desk: Desk, vessel: Vessel, produce: list[Amount], strengths: list[Amount]) -> bool:
    """Raw produce with the salt that went with it; the salt is asked for if nobody says it."""
    if not produce:
        return False
    words = [word for word in desk.reading.words if word.kind == "produce"]
    masses = [(desk.kg(one), *_kind(one)) for one in produce]
    if len(masses) == 1 and not masses[0][1] and words:
        masses = [(masses[0][0], words[0].term, NAMES.get(words[0].term, words[0].term))]
    elif len(masses) == 1 and not masses[0][1] and desk.batch is not None and len(desk.batch.kinds) == 1:
        kind = desk.batch.kinds[0]
        masses = [(masses[0][0], kind, NAMES.get(kind, kind))]
        desk.notes.append(Assume(f"Of {NAMES.get(kind, kind)}, as before.", "produce", masses[0][0], "kilogram"))
    odd = next((one for one in produce if one.noun is not None and one.noun.kind == "unknown"), None)
    if odd is not None:
        raise Stop(
            Ask(f'I do not know "{odd.noun.text if odd.noun else odd.text}". Call it produce, or by a name I know.')
        )
    states = {word.term for word in desk.reading.all_words if word.kind == "state"}
    if states & {"finished", "dried"}:
        raise Stop(
            Ask("Dried or fermented produce is not what fresh produce is, and I keep no account of it. Say the water, "
                "salt and sugar that went in.")
        )  # fmt: skip
    cooked = "roasted" in states
    if cooked:
        text = "Cooked produce is counted with its raw water and sugar; it restarts no ferment, but raises the pH."
        desk.notes.append(Assume(text, "moisture", 0.0, ""))
    if len(masses) > 1 and any(not term for _, term, _ in masses):
        quoted = say.listed(f'"{one.text}"' for one in produce)
        raise Stop(Ask(f"Which of {quoted} went in, and of what? Say each with its produce, or one a line."))
    total = sum(mass for mass, _, _ in masses)
    water = desk.take(lambda one: "water" in nouns(one) and dimension(one.unit) in ("mass", "volume"))
    wet = sum(desk.kg(one, WATER_20) for one in water)
    salt = _salt(desk, total, wet, strengths)
    for mass, term, name in masses:
        mix = mx.produce(mass, term)
        desk.enter(ev.Add(vessel_batch(desk), desk.day, desk.said, vessel.label, name, mix, not cooked, term or name))
    if wet:
        desk.enter(ev.Add(vessel_batch(desk), desk.day, desk.said, vessel.label, "water", mx.water(wet)))
    if salt:
        desk.enter(ev.Add(vessel_batch(desk), desk.day, desk.said, vessel.label, "salt", mx.salt(salt)))
    return True


def vessel_batch(desk: Desk) -> int:
    """The number of the batch at work."""
    return desk.open_batch().number


def _salt(desk: Desk, produce: float, water: float, strengths: list[Amount]) -> float:
    """The salt with fresh produce, in kg: weighed, by strength, or as answered."""
    if {"salt", "salt_share"} & desk.facts.keys():
        # answered: the spoons that could not be weighed are what was asked about
        desk.take(lambda one: bool(nouns(one) & {"salt", "@salt"}) and dimension(one.unit) == "volume")
        return desk.facts.get("salt", desk.facts.get("salt_share", 0.0) * (produce + water))
    if "unsalted" in desk.reading.terms:
        return 0.0
    weighed = desk.take(lambda one: bool(nouns(one) & {"salt", "@salt"}) and dimension(one.unit) in ("mass", "volume"))
    if weighed:
        spoons = next((one for one in weighed if dimension(one.unit) == "volume"), None)
        if spoons is not None:
            text = f'What does "{spoons.text}" of salt weigh?'
            raise ask_for(
                desk, "salt", f"{text} A spoon of fine salt and one of flakes differ by half: say it in grams."
            )
        return sum(desk.kg(one) for one in weighed)
    brine = any(nouns(one) & {"brine", "made-brine"} for one in desk.left)
    liquids = [one for one in desk.left if nouns(one) & set(LIQUIDS) or dimension(one.unit) == "volume"]
    wet = [one for one in strengths if nouns(one) & {"brine", "made-brine", "vinegar"}]
    if wet and not liquids:
        text = f'How much "{wet[0].noun.text if wet[0].noun else "of it"}" was it? Say its volume or weight too.'
        raise ask_for(desk, "amount", text)
    own = [one for one in strengths if not nouns(one) & {"brine", "made-brine", "vinegar"}]
    if liquids:  # a strength said right after a liquid is the liquid's
        everything = sorted([*desk.reading.amounts], key=lambda one: one.span)
        rest = [one for one in everything if percent(one) is None and dimension(one.unit) in ("mass", "volume")]
        theirs = [found for one in liquids if (found := _own(one, strengths, rest)) is not None]
        own = [one for one in own if one not in theirs or nouns(one) & {"salt", "@salt"}]
    if own:
        one = own[0]
        strengths.remove(one)
        value = percent(one) or 0.0
        return _by_strength(desk, one, value, produce, water)
    if brine:
        return 0.0
    raise ask_for(
        desk, "salt",
        'How much salt went in with it, in grams or in %? Say "no" if none did.',
    )  # fmt: skip


def _by_strength(desk: Desk, one: Amount, value: float, produce: float, water: float) -> float:
    said = nouns(one)
    if not 0 <= value < 0.3:
        raise Stop(Ask(f'"{one.text}" is no strength that salt is used at. Say it again.'))
    if "of-whole" in said:
        return value / (1 - value) * (produce + water)
    if said & {"of-water", "water"} and water:
        return value * water
    if said & {"of-produce", "@produce"}:
        return value * produce
    of = "produce and water" if water else "the produce"
    grams = value * (produce + water)
    desk.notes.append(Assume(f"{fraction(value)} of {of}: {1000 * grams:.4g} g of salt.", "salt", grams, "kilogram"))
    return grams


def _liquids(desk: Desk, vessel: Vessel, strengths: list[Amount]) -> bool:
    """Brine, water and vinegar; an unnamed volume with a strength is brine."""
    liquids = desk.take(lambda one: dimension(one.unit) in ("mass", "volume") and bool(nouns(one) & set(LIQUIDS)))
    if not liquids and strengths:
        of = any(one.mark == "of" for one in strengths)
        kinds = ("mass", "volume") if of else ("volume",)
        liquids = desk.take(lambda one: dimension(one.unit) in kinds and one.noun is None)
    # "500 ml of 5% vinegar": the word stands with the strength
    plain = {word.term for word in desk.reading.words if word.kind in ("noun", "substance")}
    plain |= {term for one in strengths for term in nouns(one)}
    if not liquids and plain & set(LIQUIDS):
        liquids = desk.take(lambda one: dimension(one.unit) in ("mass", "volume") and one.noun is None)
    for one in liquids:
        known = nouns(one) & set(LIQUIDS) or plain & set(LIQUIDS)
        what = next((term for term in ("vinegar", "water") if term in known), "")
        if what == "water" and not strengths:
            mix = mx.water(desk.kg(one, WATER_20))
            name = "water"
        elif what == "vinegar":
            name, mix = _vinegar(desk, one, strengths)
        else:
            name, mix = _brine(desk, one, strengths)
        desk.enter(ev.Add(vessel_batch(desk), desk.day, desk.said, vessel.label, name, mix))
    return bool(liquids)


def _strength(desk: Desk, one: Amount, strengths: list[Amount], what: str) -> float:
    """The strength said with a liquid, or asked for."""
    rest = [
        each for each in desk.reading.amounts if percent(each) is None and dimension(each.unit) in ("mass", "volume")
    ]
    alone = len(strengths) == 1 and len(rest) == 1 and not nouns(strengths[0]) & set(LIQUIDS) - nouns(one)
    own = _own(one, strengths, rest) or (strengths[0] if alone else None)
    if own is not None:
        strengths.remove(own)
        return percent(own) or 0.0
    lacks = "acid" if what.startswith("vinegar") else "strength"
    if lacks in desk.facts:
        return desk.facts[lacks]
    raise ask_for(desk, lacks, f"How strong is the {what}, in %?")


def _brine(desk: Desk, one: Amount, strengths: list[Amount]) -> tuple[str, mx.Mixture]:
    value = _strength(desk, one, strengths, "brine")
    if not 0 < value <= saturation():
        raise Stop(Ask(f"No brine is {fraction(value)} strong. Say it again."))
    text = f"{fraction(value)} salt in the brine, salt and water together."
    desk.notes.append(Assume(text, "strength", value, "fraction"))
    mass = desk.kg(one, brine_density(value))
    return f"{fraction(value)} brine", mx.brine(mass, value)


def _vinegar(desk: Desk, one: Amount, strengths: list[Amount]) -> tuple[str, mx.Mixture]:
    value = _strength(desk, one, strengths, "vinegar (the label says: 4, 5 or 6%, say)")
    if not 0.01 <= value <= 0.25:
        raise Stop(Ask(f"No vinegar is {fraction(value)} strong. Say what its label says."))
    litre = mx.vinegar(1, value)
    litres = desk.litres(one) if dimension(one.unit) == "volume" else desk.kg(one) / litre.mass
    return f"{fraction(value)} vinegar", mx.vinegar(litres, value)


_DRY_NAMES = {"citric": "citric acid"}


def _dry(desk: Desk, vessel: Vessel) -> bool:
    """Salt, sugar, honey, gum, citric acid by themselves."""
    found = False
    for term, bulk, make in (
        ("honey", HONEY_BULK, mx.honey), ("sugar", SUGAR_BULK, mx.sugar), ("gum", 0.0, mx.gum),
        ("citric", 0.0, mx.citric), ("salt", 0.0, mx.salt),
    ):  # fmt: skip
        names = {term} | ({"@salt"} if term == "salt" else set())
        free = any(word.term == term or f"@{word.kind}" in names for word in desk.reading.words)
        loose = free and len(desk.left) == 1
        own = [one for one in desk.left if nouns(one) & names or (loose and one.noun is None)]
        for one in desk.take(own.__contains__):
            mass = desk.kg(one, bulk)
            desk.enter(
                ev.Add(vessel_batch(desk), desk.day, desk.said, vessel.label, _DRY_NAMES.get(term, term), make(mass))
            )
            found = True
    return found


def used_up(desk: Desk) -> None:
    """Nothing said may be left over.

    Raises:
        Stop: a number has no place.
    """
    if desk.left:
        quoted = say.listed(f'"{one.text}"' for one in desk.left)
        raise Stop(
            Ask(f"I did not enter it: I have no place for {quoted} in this. Say the line again without, or in two.")
        )
