"""Which amount is which input.

An amount goes where its own words say; else to what was asked; else to where its
preposition points; else to the one input such an amount plainly is. An amount is used
once. What has no place is handed back, never dropped.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache

from assistant.declare import BY_OUNCE, Calculator, Input
from assistant.talk.state import Given
from grammar import measures
from grammar.types import Amount, Span, Word
from grammar.vocabulary import vocabulary

NOUN, ASKED, HELD, LATER, MARK, PLAIN = 20, 8, 6, 4, 3, 1
"""What each hint is worth; a word of the amount's own outweighs all others together."""

BINDING = ("per", "by")
"""Prepositions that no input but one that expects them may pass over: "100 g per gallon"
is not 100 g, "from 5 % by 2 %" is not to 2 %."""

DAYS = ("since", "from", "after", "over", "to", "by", "before", "for")
"""Prepositions that tell a start from an end: "by the 20th" is never a start, whatever is held."""

PLAIN_WATER = "plain water, 0%"
"""The strength of water that is mixed in, as it is shown."""

FIRST_YEAR = 10_000
"""Dates (yyyymmdd) below it have no year yet."""

BARE = {"fraction": "percent", "potential": "millivolt"}
"""What a bare number is in, where an input of the dimension was asked for."""

_LEAST_HEAT = 100
"""A number without its unit is a heat only from here."""

_OPEN = ("asked", "held")
"""Hints that two inputs may share evenly: then it is left open which of the two an amount is."""

SPOONS = ("tablespoon", "teaspoon")


@dataclass(frozen=True)
class Placement:
    """Amounts placed, amounts with no place, and amounts whose unit does not fit."""

    given: tuple[Given, ...] = ()
    unplaced: tuple[Amount, ...] = ()
    misfit: tuple[tuple[Amount, Input], ...] = ()


@cache
def dimension(unit: str) -> str:
    """The dimension of a unit, "" for a bare number."""
    known = vocabulary().dimension
    if unit in known:
        return known[unit]
    if unit.startswith("delta_"):
        return "difference"
    plain = unit.replace("_us_", "_").replace("_imperial_", "_")  # "pound_per_us_gallon"
    return known.get(plain, known.get(unit.split("_", 1)[-1], "")) if unit else ""


def settled(amount: Amount, kitchen: str) -> Amount:
    """The amount with a loose unit ("cup", "1 pint 10 fluid ounces") made exact for the kitchen."""
    unit = measures.settle(amount.unit, kitchen)
    if not amount.parts and unit == amount.unit:
        return amount
    whole = bool(amount.parts) and amount.parts[0][1] == amount.unit
    value = measures.together(amount.parts, kitchen) if whole else amount.value
    return replace(amount, value=value, unit=unit, parts=())


FAR = 10.0
"""How many times a number that puts another one right may be off, with no word of what it is of."""


def far(fresh: Amount, old: Amount, kitchen: str, times: float = FAR) -> bool:
    """Whether a number with no noun is so far from the one it would put right that another may be meant."""
    of = dimension(fresh.unit)
    if fresh.noun is not None or of not in ("mass", "volume") or dimension(old.unit) != of:
        return False
    exact = (settled(fresh, kitchen), settled(old, kitchen))
    one, two = (measures.canonical(each.value, each.unit, of) for each in exact)
    return min(one, two) > 0 and not 1 / times < one / two < times


def _fluid(amount: Amount) -> Amount:
    """Ounces, answered to a question for what a bottle holds: fluid ounces."""
    bare = amount.unit == "ounce" and amount.noun is None and "weight" not in amount.text.lower()
    return replace(amount, unit="fluid_ounce", noun=_BOTTLE, rivals=(), parts=()) if bare else amount


_BOTTLE = Word("vessel", "bottle", (0, 0), "")


def fits(amount: Amount, item: Input, asking: Sequence[str]) -> bool:
    """Whether the amount's unit measures what the input is."""
    of = dimension(amount.unit)
    if item.units and amount.unit and amount.unit not in item.units:
        return False  # 25 ppm of iodophor is no strength of its bottle
    if of == measures.DATE and (amount.unit != measures.DATE or amount.value < FIRST_YEAR):
        return False  # dates.py makes it a day of a year first
    if of:
        return of == item.dimension and amount.unit != "day_of"
    if item.dimension == "pungency" and 0 < amount.value < _LEAST_HEAT and not of:
        return False  # "a half" and "3.9" are no heat
    if item.name == "ph" and not amount.unit and amount.noun is None:
        # "82" is no pH, and a number said where something else is asked for is that
        return 0 <= amount.value <= 14 and (not asking or item.name in asking)
    if item.part and not amount.unit and amount.value >= 1:
        return False  # "3.9" is no part of one
    if item.dimension in measures.UNITLESS:
        return item.dimension != "part" or item.name in asking
    return item.dimension in BARE and item.name in asking and amount.noun is None


_OF_ACID = {"vinegar", "acetic", "lactic", "citric"}


def _named(amount: Amount, item: Input) -> bool | None:
    """True if the amount's noun names the input, False if it names another, None if silent."""
    noun = amount.noun
    if noun is None and item.dimension == "fraction" and any(word.term == "salt" for word in amount.others):
        if item.terms == ("salt",):
            return True
        return False if _OF_ACID & set(item.terms) else None  # "2 % salt" is no strength of an acid
    if noun is None or noun.kind == "unknown":
        return None
    return noun.term in item.terms or f"@{noun.kind}" in item.terms


def _score(
    amount: Amount, item: Input, asking: Sequence[str], held: Mapping[str, str], later: Iterable[str]
) -> tuple[int, str]:
    named = _named(amount, item)
    one = which(amount.others)
    if one and item.name.startswith(("first", "second")) and not item.name.startswith(one):
        return 0, ""
    binds = amount.mark in BINDING and item.dimension not in ("temperature", "date")
    if item.dimension == "date" and amount.mark in DAYS and amount.mark not in item.marks:
        return 0, ""
    if named is False or (binds and amount.mark not in item.marks):
        return 0, ""
    if item.named and not named and item.name not in (*asking, *held):
        return 0, ""
    found: list[tuple[int, str]] = []
    if named:
        found.append((NOUN, "noun"))
    if item.name in asking:
        found.append((ASKED, "asked"))
    if item.name in held:
        found.append((HELD + (2 if amount.unit == held[item.name] else 0), "held"))
    if item.name in later:
        found.append((LATER, "asked"))
    if amount.mark and amount.mark in item.marks:
        found.append((MARK, "mark"))
    if item.plain:
        found.append((PLAIN, "plain"))
    spoon = amount.unit in SPOONS or amount.unit.endswith(SPOONS)
    if item.name == "salt_volume" and spoon and amount.mark != "per":
        found.append((2 * MARK, "mark"))
    if not found:
        return 0, ""
    return sum(points for points, _ in found), found[0][1]


def which(words: Iterable[Word]) -> str:
    """ "first" or "second", where one of the two is said of two things alike; else ""."""
    said = {word.term for word in words} & {"first", "second"}
    return said.pop() if len(said) == 1 else ""


def _aside(amount: Amount, item: Input) -> bool:
    """Whether a strength led by "to" is none of this input, which no "to" leads to and no word names."""
    return amount.mark == "to" and item.dimension == "fraction" and "to" not in item.marks and not _named(amount, item)


def _with_unit(amount: Amount, item: Input) -> Amount:
    """A number without its unit with the one that it must have there, as it is then shown."""
    if item.part and not amount.unit and 0 < amount.value < 1:
        return replace(amount, unit="percent", value=100 * amount.value)
    implied = (
        item.units[0]
        if item.units
        else {**BARE, "normality": "normality", "acidity": "acidity", "count": "count"}.get(item.dimension, "")
    )
    return replace(amount, unit=implied) if implied and not amount.unit else amount


def to_canonical(amount: Amount, item: Input) -> float:
    """The amount in the input's canonical unit; a bare answer to a question is in the unit of BARE."""
    if item.part and not amount.unit and 0 < amount.value < 1:
        return amount.value
    unit = amount.unit or (item.units[0] if item.units else BARE.get(item.dimension, ""))
    return measures.canonical(amount.value, unit, item.dimension)


def place(
    calculator: Calculator,
    amounts: Sequence[Amount],
    kitchen: str,
    *,
    asking: Sequence[str] = (),
    held: Mapping[str, str] | None = None,
    taken: Iterable[str] = (),
    placed: Sequence[tuple[Span, str]] = (),
    later: Iterable[str] = (),
) -> Placement:
    """Assign amounts to a calculator's inputs.

    Args:
        calculator: the declaration.
        amounts: what was said, in order.
        kitchen: whose cups and gallons.
        asking: inputs that a question is open for.
        held: inputs that have a value which a correction would replace, with its unit.
        taken: inputs that must not be filled.
        placed: amounts (by span) whose input the person has chosen.
        later: inputs that will be asked for next.
    """
    poured = any(name in BY_OUNCE for name in asking)
    exact = rates(owning([settled(_fluid(one) if poured else one, kitchen) for one in amounts], calculator))
    fixed = dict(placed)
    free = set(taken)
    given: list[Given] = []
    torn: list[Amount] = []
    open_: list[int] = []
    twin = {name: other for item in calculator.inputs for name in item.of for other in item.of if other != name}
    for index, amount in enumerate(exact):
        name = fixed.get(amount.span)
        if name is None or not fits(amount, calculator.input(name), (name,)):  # an earlier line's, at the same place
            open_.append(index)
            continue
        item = calculator.input(name)
        given.append(Given(name, to_canonical(amount, item), amount, "asked"))
        free.add(name)
    hints = {
        index: _hints(calculator, exact[index], free, asking=asking, held=held or {}, later=later) for index in open_
    }
    while open_:
        best: tuple[int, int, int, str] | None = None
        level = 0
        for index in open_:
            for order, points, how in hints[index]:
                if calculator.inputs[order].name in free:
                    continue
                if best is not None and points == best[0] and index == -best[1] and how in _OPEN:
                    level = points  # the question leaves open which of two it is
                if best is None or (points, -index, -order) > best[:3]:
                    best = (points, -index, -order, how)
        if best is None:
            break
        if level == best[0] and best[3] in _OPEN:
            open_.remove(-best[1])
            torn.append(exact[-best[1]])
            continue
        index, item = -best[1], calculator.inputs[-best[2]]
        amount = exact[index]
        amount = _with_unit(amount, item)
        given.append(Given(item.name, to_canonical(amount, item), amount, best[3]))
        free |= {item.name, twin.get(item.name, item.name)}  # one thing is not said by weight and by volume
        open_.remove(index)
    unplaced, misfit = torn, []
    for index in open_:
        wrong = _misfit(calculator, exact[index], asking)
        if wrong is None:
            unplaced.append(exact[index])
        else:
            misfit.append((exact[index], wrong))
    given = _plain_water(calculator, given, free)
    given = _paired(calculator, sorted(given, key=lambda one: one.amount.span), fixed)
    unplaced, given = _added(calculator, unplaced, given)
    return Placement(tuple(given), tuple(unplaced), tuple(misfit))


def _hints(
    calculator: Calculator, amount: Amount, taken: set[str], *, asking: Sequence[str], held: Mapping[str, str],
    later: Iterable[str],
) -> list[tuple[int, int, str]]:  # fmt: skip
    """The inputs that an amount may be: each by its place in the declaration, with its points and the best hint."""
    aims = any("to" in item.marks and item.dimension == "fraction" for item in calculator.inputs)
    found = []
    for order, item in enumerate(calculator.inputs):
        if item.name in taken or not fits(amount, item, asking):
            continue
        if aims and _aside(amount, item):
            continue  # "take it to 4 %" is what is wanted, not what was measured
        points, how = _score(amount, item, asking, held, later)
        if points:
            found.append((order, points, how))
    return found


def _plain_water(calculator: Calculator, given: list[Given], taken: set[str]) -> list[Given]:
    """Water that is mixed in has no salt, and the one strength said is the other one's."""
    owners = {owner: item.name for item in calculator.inputs for owner in item.of}
    named = {one.name for one in given}
    salts = [one for one in given if one.name in owners.values()]
    water = [one for one in given if one.name in owners and one.amount.said("noun") == "water"]
    if len(water) != 1 or len(salts) > 1 or calculator.input(owners[water[0].name]).default is not None:
        return given
    plain = owners[water[0].name]
    other = next((name for name in owners.values() if name != plain), "")
    if plain in taken - named or not other:
        return given
    moved = [replace(one, name=other) if one.name == plain else one for one in given]
    span = water[0].amount.span
    none = Amount(0.0, "percent", (span[1], span[1]), PLAIN_WATER)
    return [*moved, Given(plain, 0.0, none, "noun")]


def _paired(calculator: Calculator, given: list[Given], fixed: Mapping[Span, str]) -> list[Given]:
    """Two strengths to the two amounts in the order they were said: "6 kg at 2.5 %, topped up with 0.4 L of 4 %"."""
    owners = {owner: item.name for item in calculator.inputs for owner in item.of}
    strengths = [one for one in given if one.name in owners.values()]
    held = list(dict.fromkeys(owners[one.name] for one in given if one.name in owners))
    if len(strengths) == 2 and len(held) == 1 and not any(one.amount.span in fixed for one in strengths):
        return _right_after(given, strengths, owners)
    if len(strengths) == 1 and len(held) == 2 and strengths[0].amount.span not in fixed:
        return _beside_one(calculator, given, strengths[0], owners)
    if len(strengths) != 2 or len(held) != 2 or any(one.amount.span in fixed for one in strengths):
        return given
    named = dict(zip((one.amount.span for one in strengths), held, strict=True))
    for one in strengths:
        name = _told(calculator, one, given)
        if name in held:  # the words say which: "of 3 % brine", "the second is 4 %"
            other = next(each for each in strengths if each is not one)
            named = {one.amount.span: name, other.amount.span: next(each for each in held if each != name)}
            break
    return [replace(one, name=named[one.amount.span]) if one in strengths else one for one in given]


def _right_after(given: list[Given], strengths: list[Given], owners: Mapping[str, str]) -> list[Given]:
    """Two strengths and one amount: the strength said "of" it right after it is its own, whichever came first."""
    order = sorted(given, key=lambda one: one.amount.span)
    for before, after in itertools.pairwise(order):
        if before.name not in owners or after not in strengths or after.amount.mark not in ("of", "at"):
            continue
        own = owners[before.name]
        if own != after.name and own in {one.name for one in strengths}:
            other = after.name
            swap = {own: other, other: own}
            return [replace(one, name=swap.get(one.name, one.name)) if one in strengths else one for one in given]
    return given


def _dripped(amounts: list[Amount]) -> list[Amount]:
    """Which volume of a titration was dripped in: the one said "with", or right before the normality, or the only one.

    Two volumes of which nothing tells which is the sample are left as they are, to be asked about.
    """
    loose = [
        at for at, one in enumerate(amounts) if dimension(one.unit) == "volume" and one.noun is None and not one.others
    ]
    sampled = any(dimension(one.unit) == "mass" for one in amounts)
    sampled = sampled or any(dimension(one.unit) == "volume" and one.noun is not None for one in amounts)
    told = [at for at in loose if amounts[at].mark == "with"]
    lye = {at for at, one in enumerate(amounts) if one.unit == "normality"}
    if len(loose) == 1 and not sampled:  # "15 ml of 0.1 N" is lye, "titrated 15 ml with 0.1 N" may be the sample
        lye = {at for at in lye if amounts[at].mark != "with"}
    told = told or [at for at in loose if at + 1 in lye]
    told = told or (loose if len(loose) == 1 and sampled else [])
    if len(told) != 1 or any(one.said("substance") == "naoh" for one in amounts if dimension(one.unit) == "volume"):
        return amounts
    out = list(amounts)
    for at in loose:
        kind, term = ("substance", "naoh") if at == told[0] else ("topic", "titrating")
        if at == told[0] or len(loose) == 2:
            out[at] = replace(amounts[at], noun=Word(kind, term, amounts[at].span, amounts[at].text))
    return out


def _beside_one(calculator: Calculator, given: list[Given], strength: Given, owners: Mapping[str, str]) -> list[Given]:
    """One strength and two amounts: it is of the one its words name, else of the one right before it."""
    name = _told(calculator, strength, given)
    before = [one for one in given if one.name in owners and one.amount.span < strength.amount.span]
    if not name and before:
        name = owners[before[-1].name]
    return [replace(one, name=name or one.name) if one is strength else one for one in given]


def _told(calculator: Calculator, strength: Given, given: list[Given]) -> str:
    """The strength's input that its words name: by "first" or "second", by its owner's noun, by its own terms."""
    if strength.amount.text == PLAIN_WATER:
        return strength.name
    pairs = [item for item in calculator.inputs if item.of]
    noun = strength.amount.noun.term if strength.amount.noun is not None else ""
    if one := which(strength.amount.others):
        return next((item.name for item in pairs if item.name.startswith(one)), "")
    owned = [
        item for item in pairs for one in given if one.name in item.of and noun and one.amount.said("noun") == noun
    ]
    if len(owned) == 1:
        return owned[0].name
    named = [item for item in pairs if noun in item.terms]
    return named[0].name if len(named) == 1 else ""


def owning(amounts: list[Amount], calculator: Calculator | None = None) -> list[Amount]:
    """ "500 ml of 5 % vinegar" is 500 ml of vinegar: an amount takes the noun of the strength that is said of it."""
    out = list(amounts)
    for index, (amount, after) in enumerate(itertools.pairwise(amounts)):
        of = after.mark == "of" and dimension(after.unit) == "fraction" and after.said("substance")
        if of and amount.noun is None and dimension(amount.unit) in ("mass", "volume"):
            out[index] = replace(amount, noun=after.noun)
    return _dripped(out) if calculator is not None and calculator.has("titrant") else out


def rates(amounts: list[Amount]) -> list[Amount]:
    """ "30 g of salt per litre of water" as one strength: pairs with "per" between them joined."""
    out: list[Amount] = []
    for amount in amounts:
        before = out[-1] if out else None
        pair = (dimension(before.unit), dimension(amount.unit)) if before else ("", "")
        if before is None or amount.mark != "per" or pair not in (("mass", "volume"), ("mass", "mass")):
            out.append(amount)
            continue
        kilos = measures.canonical(before.value, before.unit, "mass")
        per = measures.canonical(amount.value, amount.unit, pair[1])
        unit = "gram_per_liter" if pair[1] == "volume" else "gram_per_kilogram"
        noun = amount.noun if amount.noun is not None and amount.noun.kind != "vessel" else None
        span = (before.span[0], amount.span[1])
        value = 1000 * kilos / per if per else float("nan")
        out[-1] = Amount(
            value, unit, span, f"{before.text} per {amount.text}", before.mark, noun, tied=noun is not None
        )
    return out


def _added(calculator: Calculator, unplaced: list[Amount], given: list[Given]) -> tuple[list[Amount], list[Given]]:
    """Further amounts of produce, added to the first: "a pound of reds and 6 oz of garlic"."""
    rest: list[Amount] = []
    for amount in unplaced:
        noun = amount.noun
        for index, one in enumerate(given):
            item = calculator.input(one.name)
            first = one.amount.noun
            more = noun is not None and noun.kind == "produce" and (first is None or first.term != noun.term)
            led = noun is None and amount.mark in ("of", "for") and first is not None and first.kind == "produce"
            same = (more or led) and amount.mark not in BINDING  # a bare weight may be what was thrown out: asked
            if same and one.name == "produce" and fits(amount, item, ()):
                total = one.value + to_canonical(amount, item)
                given[index] = replace(one, value=total, more=(*one.more, amount))
                break
        else:
            rest.append(amount)
    return rest, given


def _misfit(calculator: Calculator, amount: Amount, asking: Sequence[str]) -> Input | None:
    """The input the amount is meant for by its words, if its unit cannot measure it."""
    if any(fits(amount, item, asking) and _named(amount, item) is not False for item in calculator.inputs):
        return None
    if amount.unit or not amount.said("vessel"):  # "three crocks" counts, it does not measure
        for item in calculator.inputs:
            if _named(amount, item) and item.dimension != "fraction":
                return item
    if asking and amount.noun is None and amount.unit:
        return calculator.input(asking[0])
    return None


def possible(calculator: Calculator, amount: Amount, taken: Iterable[str]) -> list[Input]:
    """Inputs a person could have meant by an amount that no word places."""
    if amount.mark in BINDING:
        return []
    asked = {one.name for one in calculator.inputs if one.ask}
    for one in calculator.inputs:
        asked |= {name for name in one.instead if calculator.input(name).dimension == one.dimension}
    return [
        item
        for item in calculator.inputs
        if item.name in asked
        and item.name not in taken
        and fits(amount, item, ())
        and dimension(amount.unit)
        and _named(amount, item) is not False
    ]
