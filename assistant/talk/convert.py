"""Plain conversions: an amount said in another unit of the same dimension."""

from __future__ import annotations

from assistant.replies import Answer, Assume, NotRead, Reply, Value
from assistant.show import number, unit_name
from assistant.talk.place import dimension, settled
from assistant.talk.words import UNITS_FOR
from grammar import measures
from grammar.types import Amount, Reading


def direct(reading: Reading) -> bool:
    """Whether the sentence only asks for its amounts in another unit."""
    if not reading.unit or not reading.amounts or " can i " in reading.text.lower():
        return False  # "how many kilos can I do with 60 g of salt" is no conversion
    topics = {word.term for word in reading.words if word.kind == "topic"}
    of = dimension(reading.unit)
    if topics - {"converting", "difference"} and of != "temperature":
        return False
    if any(dimension(one.unit) != of for one in reading.amounts):
        return False
    if set(reading.wanted) - {"mass", "volume", "salinity", "length", "span", of}:
        return False
    return len(reading.amounts) == 1 or "converting" in topics


THROUGH = frozenset({("mass", "volume"), ("volume", "mass"), ("density", "fraction"), ("fraction", "density")})
"""Pairs of dimensions that a named substance joins."""


def mismatch(reading: Reading) -> NotRead | None:
    """The sentence for an amount asked for in a unit that can never measure it."""
    if len(reading.amounts) != 1 or not reading.unit or reading.amounts[0].rivals:
        return None
    topics = {word.term for word in reading.words if word.kind == "topic"}
    amount = reading.amounts[0]
    pair = (dimension(amount.unit), dimension(reading.unit))
    known = {"mass", "volume", "length", "temperature", "time"}
    if topics - {"converting", "difference"} or not set(pair) <= known or pair[0] == pair[1] or pair in THROUGH:
        return None
    if any(word.kind in ("noun", "produce", "vessel", "property") for word in reading.all_words):
        return None
    came, asked = (UNITS_FOR.get(one, one).split(" (")[0] for one in pair)
    return NotRead(f'"{amount.text}" is {came}; it cannot be said as {asked}.', "unit-fit", amount.text, *amount.span)


def convert(reading: Reading, kitchen: str) -> tuple[Reply, ...]:
    """The amounts in the unit asked for."""
    target = measures.settle(reading.unit, kitchen)
    difference = any(word.term == "difference" for word in reading.words)
    replies: list[Reply] = []
    values: list[Value] = []
    texts: list[str] = []
    for index, amount in enumerate(settled(one, kitchen) for one in reading.amounts):
        kind = dimension(amount.unit)
        if kind == "temperature" and difference:
            value = measures.convert(amount.value, f"delta_{amount.unit}", f"delta_{target}")
        elif kind == "temperature" and target == measures.CANONICAL[kind]:
            value = measures.canonical(amount.value, amount.unit, kind)
        else:
            value = measures.convert(amount.value, amount.unit, target)
        name = kind if len(reading.amounts) == 1 else f"{kind}_{index + 1}"
        values.append(Value(name, value, target))
        word = "A difference of " if kind == "temperature" and difference else ""
        texts.append(f"{word}{_said(amount)} is {_shown(value, target)}.")
    replies.append(Answer(" ".join(texts), "convert", tuple(values)))
    loose = {one for one in (*(amount.unit for amount in reading.amounts), reading.unit) if one in measures.LOOSE}
    replies += kitchen_notes({measures.settle(one, kitchen) for one in loose})
    return tuple(replies)


def _said(amount: Amount) -> str:
    return _shown(amount.value, amount.unit)


def _shown(value: float, unit: str) -> str:
    name = unit_name(unit, value)
    text = number(value, 5)
    return f"{text}%" if unit == "percent" else f"{text} {name}".rstrip()


def kitchen_notes(units: set[str]) -> list[Reply]:
    """What a plain "cup" or "gallon" was taken for, by the exact units."""
    replies: list[Reply] = []
    for exact in sorted(units):
        side, _, unit = exact.partition("_")
        if side not in measures.KITCHENS or unit not in measures.LOOSE:
            continue
        litres = measures.convert(1, exact, "liter")
        size = f"{litres:.3f} L" if litres >= 0.9 else f"{1000 * litres:.1f} mL"
        name = "US" if side == "us" else side
        text = f"The {name} {unit.replace('_', ' ')}, {size}."
        if not replies:
            text += ' Say "imperial units", "US units" or "metric units" to change.'
        replies.append(Assume(text, unit, litres, "liter"))
    return replies
