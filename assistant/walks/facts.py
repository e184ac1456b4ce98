"""What a step waits for, picked out of a line: a weight, a vessel, a pH, or that it is done."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from assistant.show import said
from assistant.talk import sample
from assistant.talk.place import dimension
from assistant.trade.produce import NAMES
from grammar import measures
from grammar.later import regex
from grammar.types import Amount, Misread, Reading

if TYPE_CHECKING:
    from assistant.walks.plan import Step


DIMENSION = {"mass": "mass", "produce": "mass", "volume": "volume", "vessel": "volume", "percent": "fraction",
              "temperature": "temperature", "minutes": "time"}  # fmt: skip
_EXAMPLE = {
    "mass": "2 kg", "produce": "2 kg of jalapenos", "volume": "3 litres", "vessel": "8 L crock", "percent": "3%",
    "ph": "3.9", "temperature": "82 C", "minutes": "10 minutes", "words": "a few words",
}  # fmt: skip
_LEAST_PH, _MOST_PH = 1.5, 9.0


@dataclass(frozen=True)
class Told:
    """Facts by their names, or what is wrong with what was said."""

    facts: tuple[tuple[str, str], ...] = ()
    wrong: str = ""
    own: str = ""
    """The line itself, where it says more than the fact: the talk hears it in the place of the step's own words."""


def told(step: Step, reading: Reading | Misread) -> Told | None:
    """The fact that a line tells for a step; None if the line is about something else."""
    if step.kind == "done":
        return None
    if step.kind == "words":
        text = reading.text.strip()
        if step.enter and not (isinstance(reading, Reading) and reading.amounts):
            return None  # "one bottle is bulging" counts none
        return Told(((step.tell, text),)) if text and not text.endswith("?") else None
    if not isinstance(reading, Reading) or reading.wanted:
        return None
    found = reading.amounts
    short = len(reading.text.split()) <= _HESITANT and reading.text.rstrip().endswith("?")
    if (
        step.kind == "ph"
        and short
        and len(found) == 1
        and not found[0].unit
        and not _SUPPOSED_FIRST.match(reading.text)
    ):
        return Told(wrong=f"Is {found[0].text.strip()} what the meter shows? Then say it without the question mark.")
    if reading.question or supposed(reading.text):
        return None
    if step.kind == "ph":
        return _acid(step, reading)
    if not found or any(_of_other(step, one) for one in found) or _of_a_word_aside(step, reading):
        return None
    fitting = [one for one in found if dimension(one.unit) == DIMENSION[step.kind]]
    bare = [one for one in found if not one.unit]
    if bare and not fitting and len(found) == 1 and reading.act in ("bare", "tell", "change"):
        number = found[0].text
        return Told(wrong=f'{number} what? Say it with its unit, for example "{_EXAMPLE[step.kind]}".')
    if not fitting:
        return None
    if len(fitting) < len(found) or any(one.rivals for one in fitting):
        return None
    if step.kind == "produce":
        return _produce(step, reading, fitting)
    if len(fitting) > 1:
        return Told(wrong=f'That is more than one amount. Say one, for example "{_EXAMPLE[step.kind]}".')
    one = fitting[0]
    if one.value <= 0:
        return Told(wrong=f'{one.text} cannot be. Say it again, for example "{_EXAMPLE[step.kind]}".')
    if step.of and (basis := _bases(reading)) and not basis <= {*step.of}:
        return Told(wrong=step.else_)
    if (outside := _outside(step, one.value)) is not None:
        return outside
    if step.kind == "vessel":
        words = [word.term for word in reading.all_words if word.kind == "vessel"]
        return Told(((step.tell, f"{said(one.value, one.unit)} {words[0] if words else 'jar'}"),))
    return Told(((step.tell, said(one.value, one.unit)),))


_SUPPOSED = regex(
    r"^\W*(?:(?:and|but|so|ok|okay|hm+|well)\W+)*(?:what|how|why|when|which|if|suppose|supposing|say i|is|are|does|"
    r"can|could|would|should)\b"
    r"(?!\W+(?:about|if)\b)|"
    r"\b(?:what|how) (?:would|does|do|is)\b|\?\W*$",
    re.IGNORECASE,
)


_SUPPOSED_FIRST = regex(r"\W*(?:what|how|why|when|if|is|are|does|can|could|would|should)\b", re.IGNORECASE)
_HESITANT = 4
"""Words of a reading that is told with a question mark ("the meter says 3.6?"), at most."""


def supposed(text: str) -> bool:
    """Whether a line asks what would be, and tells of nothing that is ("what would 2 % be")."""
    return _SUPPOSED.search(text) is not None


_ITS_OWN = {
    "mass": frozenset({"batch", "mash", "pulp", "strained", "produce"}),
    "produce": frozenset({"batch", "mash", "produce", "mild"}),
    "vessel": frozenset({"capacity", "volume"}),
    "percent": frozenset({"salt", "salinity", "brine", "slope", "mash", "produce", "batch", "water"}),
}
_OF_THINGS = frozenset({"noun", "substance", "salt", "property"})
"""Kinds of words that say what an amount is of."""


def _of_other(step: Step, amount: Amount) -> bool:
    """Whether an amount is said to be of something that the step does not ask for: "12 g of xanthan" is no sauce."""
    words = [word for word in (amount.noun, *amount.others) if word is not None and word.kind in _OF_THINGS]
    own = _ITS_OWN.get(step.kind, frozenset())
    return any(word.term not in own and not (step.kind == "percent" and word.kind == "salt") for word in words)


def _of_a_word_aside(step: Step, reading: Reading) -> bool:
    """Whether the one amount is of a thing that stands apart from it: "use less water, 1.5 litres" is no jar."""
    if len(reading.amounts) != 1 or reading.amounts[0].noun is not None or reading.kinds.get(step.kind):
        return False
    things = [word for word in reading.words if word.kind in ("noun", "substance")]
    return bool(things) and not any(word.term in _ITS_OWN.get(step.kind, frozenset()) for word in things)


def ahead(steps: Sequence[Step], reading: Reading) -> list[tuple[Step, Told]]:
    """What a line tells of several steps, or of later ones; nothing unless each of its amounts is for one step.

    A weight or a volume alone is no sign of a step that was not asked: it needs its own word ("5 L jar"), or the facts
    of other steps beside it ("3 kg of reds, 5 L, 3 %").
    """
    if reading.act not in ("tell", "bare") or reading.question or reading.wanted or reading.firm or reading.told:
        return []
    if any(word.kind in ("topic", "step", "times") for word in reading.all_words) or supposed(reading.text):
        return []
    parts: dict[str, list[Amount]] = {}
    for one in reading.amounts:
        of = [step for step in steps if step.kind in _OWN_WORD and dimension(one.unit) == DIMENSION[step.kind]]
        of = [step for step in of if not _of_other(step, one)]
        if len(of) != 1:
            return []
        parts.setdefault(of[0].id, []).append(one)
    found: list[tuple[Step, Told]] = []
    for step in steps:
        if step.id not in parts:
            continue
        amounts = tuple(parts[step.id])
        if len(parts) == 1 and not all(_OWN_WORD[step.kind](one) for one in amounts):
            return []
        fact = told(step, replace(reading, amounts=amounts))
        if fact is None or fact.wrong:
            return []
        found.append((step, fact))
    return found


def _kind_of(one: Amount, kind: str) -> bool:
    return any(word is not None and word.kind == kind for word in (one.noun, *one.others))


_OWN_WORD: dict[str, Callable[[Amount], bool]] = {
    "produce": lambda one: _kind_of(one, "produce"),
    "vessel": lambda one: _kind_of(one, "vessel"),
    "percent": lambda one: True,
}
"""The word that says without a question what an amount is."""


_NOT_ALL = regex(
    r"\b(?:but|minus|less|without|except|including|of which|stems?|seeds?|gross|bowl|rubbish|waste)\b", re.IGNORECASE
)


_BASES = {
    "water": "of-water",
    "brine": "of-brine",
    "made-brine": "of-brine",
    "mash": "of-produce",
    "produce": "of-produce",
}


def _bases(reading: Reading) -> set[str]:
    """What a percentage is said to be of, as terms of the vocabulary's bases."""
    words = reading.all_words
    found = {word.term for word in words if word.kind == "basis"}
    found |= {_BASES[word.term] for word in words if word.kind == "noun" and word.term in _BASES}
    return found | {"of-produce" for word in words if word.kind == "produce"}


def _outside(step: Step, value: float) -> Told | None:
    """What a number means that lies outside what the step can take."""
    return None if step.least <= value <= step.most else Told(wrong=step.beyond)


def _produce(step: Step, reading: Reading, found: list[Amount]) -> Told:
    """Weights with what they are of; the first kind names the batch."""
    if _NOT_ALL.search(reading.text):
        return Told(wrong='Say only what goes in, without stems and bowl: for example "1.7 kg of reds".')
    if any(one.value <= 0 for one in found):
        return Told(wrong=f'That cannot be. Say it again, for example "{_EXAMPLE["produce"]}".')
    loose = [word.term for word in reading.words if word.kind == "produce"]
    kinds = [one.said("produce") or (loose[0] if loose else "chilli") for one in found]
    weights: dict[str, Amount] = {}
    for one, kind in zip(found, (NAMES.get(kind, kind) for kind in kinds), strict=True):
        weights[kind] = _sum(weights[kind], one) if kind in weights else one  # "5 kg of reds and 5 kg of yellows"
    parts = [f"{said(one.value, one.unit)} of {kind}" for kind, one in weights.items()]
    return Told(((step.tell, " and ".join(parts)), (f"{step.tell}_kind", NAMES.get(kinds[0], kinds[0]))))


def _sum(first: Amount, second: Amount) -> Amount:
    """Two weights of one kind, in the unit of the first."""
    kg = measures.canonical(second.value, second.unit, "mass")
    return replace(first, value=round(first.value + measures.in_unit(kg, "mass", first.unit), 6))


_BESIDE = (
    "ph it its it's is s shows show showed reads read says say said the a meter now at and ok okay right so well "
    "um uh probe still got i get just about"
)
_BARE = frozenset(_BESIDE.split())
"""Words beside a pH that say nothing of how it was taken but that it was the meter that was asked for."""
_STRIP = regex(r"\b(?:strips?|papers?|litmus|colou?r|indicator)\b", re.IGNORECASE)


def _acid(step: Step, reading: Reading) -> Told | None:
    """One pH. What the line says of how it was taken goes on to the talk in its own words, and is judged there."""
    bare, _ = sample.numbers(reading, [one for one in reading.amounts if not one.unit])  # buffers are no readings
    if any(_LEAST_PH <= each.value <= _MOST_PH for one in bare for each in one.rivals):
        return Told(wrong="Say one number: the one at which the meter stands still. If it will not, the higher counts.")
    found = [one for one in bare if _LEAST_PH <= one.value <= _MOST_PH]
    if len(found) != 1 or (not step.enter and len(reading.amounts) > 1):
        return None
    if {word.term for word in reading.told if word.kind == "deed"} - _DEEDS_OF_A_READING:
        return None  # something done is told with it: which came first is the talk's to ask
    if _STRIP.search(reading.text) and not step.enter:
        return Told(wrong="A strip may be 0.5 off, and the heat rests on this number: read it with a meter.")
    one = found[0]
    if (outside := _outside(step, one.value)) is not None:
        return outside
    rest = reading.text[: one.span[0]] + " " + reading.text[one.span[1] :]
    more = bool(set(re.findall(r"[\w']+", rest.lower().replace("’", "'"))) - _BARE)
    known = ((step.tell, f"{one.value:g}"),)
    if not more:
        return Told(known)
    if _NAMED.search(reading.text):
        return Told(known, own=reading.text)
    beside = " ".join(part.strip(" ,;.") for part in (rest[: one.span[0]], rest[one.span[0] :]) if part.strip(" ,;."))
    return Told(known, own=f"pH {one.text.strip()} by meter, {beside}")


_NAMED = regex(r"\bp\W?h\b|\b(?:strips?|papers?|litmus|meter|probe|electrode)\b", re.IGNORECASE)
"""Words by which the talk knows a number for a pH and the instrument it came from."""
_DEEDS_OF_A_READING = frozenset({"calibrated", "uncalibrated", "done", "later"})
