"""What the rest of a line says of its amounts: whose share it is, what was salted, what a size is measured in."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import pairwise

from grammar.later import regex
from grammar.types import Amount, Reading, Repair, Word
from grammar.vocabulary import vocabulary


def meant(reading: Reading) -> Reading:
    """The reading with what its other words decide about its amounts."""
    return _tried(_sized(_salted(_soured(reading))))


_TRIED = regex(r"\b(?:tried|trying|try|tasted|tasting|test(?:ed)?|liked|trials?|right|sample)\b", re.IGNORECASE)
_INTO = regex(r"\s*(?:of\s+)?(?:[a-z]+\s+){0,3}?(?:in|into|to|on|per)\s+(?:a\s+|an\s+|every\s+)?", re.IGNORECASE)
_PLACED = frozenset({"batch", "trial"})


def _tried(reading: Reading) -> Reading:
    """ "I tried 3 g in 100 g and liked it, the batch is 4.2 kg": a small trial, told by its sizes.

    What went in is the least of the weights, what it went into the next, and all of the sauce the most: a dose is
    never more than its sauce, and a trial never more than its batch. Where the order is another it is left as it was.
    """
    from grammar import measures  # few lines need it, and a cold answer stays fast

    known = vocabulary().dimension
    weights = [one for one in reading.amounts if known.get(one.unit) == "mass" and not one.rivals]
    if len(weights) != len(reading.amounts) or len(weights) not in (2, 3) or not _TRIED.search(reading.text):
        return reading
    sizes = sorted(weights, key=lambda one: measures.canonical(one.value, one.unit, "mass"))
    dose, sample = sizes[0], sizes[1]
    between = reading.text[dose.span[1] : sample.span[0]] if dose.span < sample.span else ""
    heavy = [measures.canonical(one.value, one.unit, "mass") for one in sizes]
    if not _INTO.fullmatch(between) or heavy[0] <= 0 or any(2 * a > b for a, b in pairwise(heavy)):
        return reading
    topics = {word.term for word in reading.words if word.kind == "topic"}
    other = any(word.kind in ("vessel", "produce") for word in reading.all_words)
    if other or topics - {"trial"} or reading.told or "trial" in _terms(dose):
        return reading
    mine = {sample: replace(sample, noun=Word("topic", "trial", sample.span, sample.text), others=(), mark="")}
    for one in sizes[2:]:
        mine[one] = replace(one, noun=Word("noun", "batch", one.span, one.text), others=(), mark="for")
    words = tuple(one for one in reading.words if one.term not in _PLACED)
    words = (Word("topic", "trial", dose.span, ""), *words)
    left = tuple(one for one in reading.left_over if not _TRIED.fullmatch(one.text))
    amounts = tuple(mine.get(one, one) for one in reading.amounts)
    return replace(reading, act="ask", amounts=amounts, words=words, left_over=left)


_MILLILITRES = (100, 2000)
"""What bottles of so many can only hold in mL: nobody fills by the litre or by the ounce so many."""


def _sized(reading: Reading) -> Reading:
    """ "80 bottles of 150": a size that can be nothing but millilitres, and is said to be read so."""
    counts = [one for one in reading.amounts if not one.unit and one.said("vessel") in ("bottle", "jar")]
    if len(counts) != 1 or reading.unit:
        return reading
    end = max(counts[0].span[1], counts[0].noun.span[1] if counts[0].noun is not None else 0)
    sizes = [one for one in reading.amounts if not one.unit and one.mark == "of" and one is not counts[0]]
    low, high = _MILLILITRES
    if len(sizes) != 1 or sizes[0].noun is not None or not 1 <= sizes[0].value <= high or sizes[0].rivals:
        return reading
    if reading.text[end : sizes[0].span[0]].strip().lower() not in ("of", "each of", "at"):
        return reading
    one = sizes[0]
    sized = replace(one, unit="milliliter", noun=counts[0].noun, text=f"{one.text} ml")
    if one.value < low:  # 5 fl oz, or 33 cl: asked
        ounces = replace(sized, unit="fluid_ounce", text=one.text)
        sized = replace(ounces, rivals=(replace(ounces, unit="milliliter"), replace(ounces, unit="centiliter")))
    amounts = tuple(sized if each is one else each for each in reading.amounts)
    if one.value < low:
        return replace(reading, amounts=amounts)
    return replace(reading, amounts=amounts, repaired=(*reading.repaired, Repair(one.text, f"{one.text} ml", one.span)))


_SALTED = regex(r"\bsalt(?:ed|ing)?\s+(?:the\s+|my\s+|about\s+|some\s+|all\s+)*$", re.IGNORECASE)
_DENSEST = 3.0
"""kg/L that no spoonful of salt weighs: a weight beside it that is heavier is of something else."""


def _salted(reading: Reading) -> Reading:
    """ "Salted 4 kg with 3 tablespoons": the weight is what was salted, and the spoons are the salt."""
    from grammar import measures  # few lines need it, and a cold answer stays fast

    known = vocabulary().dimension
    salty = any(one.said("salt") or one.said("noun") == "salt" for one in reading.amounts)
    if salty:  # the verb says no more than the salt does
        left = tuple(one for one in reading.left_over if one.text.lower() not in ("salted", "salting"))
        reading = replace(reading, left_over=left)
    plain = [one for one in reading.amounts if _terms(one) <= {"salt"} and one.mark not in ("per", "to", "from")]
    spoons = [one for one in plain if one.unit.endswith(("spoon", "cup")) and one.value > 0]
    held = [one for one in reading.amounts if known.get(one.unit) == "mass"]
    if not held or len(held) + len(spoons) != 2 or reading.kinds.get("vessel") or "water" in reading.terms:
        return reading
    heavy = max(held, key=lambda one: measures.canonical(one.value, one.unit, "mass"))
    light = next(one for one in (*held, *spoons) if one is not heavy)
    verb = heavy.span < light.span and light.mark in ("with", "") and _SALTED.search(reading.text[: heavy.span[0]])
    of_it = heavy.noun is not None and heavy.noun.kind == "produce"
    if light not in plain or not (heavy in plain or (of_it and verb)):
        return reading
    if not verb and any(
        word.kind in ("topic", "noun", "produce") and word.term != "salt" for word in reading.all_words
    ):
        return reading
    if spoons and not verb:
        litres = measures.canonical(light.value, measures.settle(light.unit, "us"), "volume")
        if measures.canonical(heavy.value, heavy.unit, "mass") <= _DENSEST * litres:
            return reading
    if not (spoons or verb) or (heavy.tied and _terms(heavy) and not of_it):
        return reading
    stuff, salt = Word("noun", "produce", heavy.span, heavy.text), Word("noun", "salt", light.span, light.text)
    mine = {
        heavy: heavy if of_it else replace(heavy, noun=stuff, others=()),
        light: light if _terms(light) else replace(light, noun=salt),
    }
    left = tuple(one for one in reading.left_over if one.text.lower() not in ("salted", "salting"))
    return replace(reading, amounts=tuple(mine.get(one, one) for one in reading.amounts), left_over=left)


def _soured(reading: Reading) -> Reading:
    """ "Raise the acidity from 0.5 to 1 %": both are of the acid, though the word stands beside one or by itself."""
    known = vocabulary().dimension
    acid = next((word for word in reading.all_words if word.term in ("acetic", "titrating")), None)
    if acid is None:
        return reading
    strong = [one for one in reading.amounts if known.get(one.unit) == "fraction"]
    bare = [one for one in strong if not _terms(one) or _terms(one) == {"acetic"}]
    if len(bare) == 2 and not bare[1].mark and "titrating" in {word.term for word in reading.words}:
        need = _NEED.search(reading.text[bare[0].span[1] : bare[1].span[0]])
        bare[1] = replace(bare[1], mark="to") if need else bare[1]
    now = [one for one in bare if one.mark != "to"]
    if len(bare) - len(now) != 1 or len(now) > 1 or len(strong) > len(bare) + 1:
        return reading
    if len(now) == 1 and not _terms(now[0]) and "vinegar" in reading.terms and now[0].mark != "from":
        return reading  # "5 %, to 1 % acid": the vinegar's
    word = Word("property", "acetic", acid.span, acid.text)
    mine = {one.span: replace(one, noun=word) for one in bare}
    amounts = tuple(mine.get(one.span, one) for one in reading.amounts)
    words = tuple(one for one in reading.words if one is not acid)
    return replace(reading, amounts=amounts, words=words)


def _terms(amount: Amount) -> set[str]:
    return {word.term for word in (amount.noun, *amount.others) if word is not None}


_NEED = regex(r"\b(?:i|we) need\W*$", re.IGNORECASE)
