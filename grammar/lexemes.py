"""Tokens to the terminals of kitchen.lark: vocabulary look-up and what neighbours decide."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from grammar.compound import COMPOUND
from grammar.dates import date
from grammar.numerals import NUMBER_WORDS, Numeral, numeral, part, tail
from grammar.tokens import Token, word_at
from grammar.types import Span
from grammar.vocabulary import COMMANDS, Entry, vocabulary

TOLD = ("deed", "about", "seen")
"""Kinds of words that tell of a batch: fillers to the parser, handed to the talk as they stand."""

_METRIC = ("kilogram", "liter", "meter")
"""Not joined over an "and": "38 kilo and 600 g garlic" are two amounts."""


@dataclass(frozen=True)
class Lexeme:
    """A terminal with what it stands for."""

    type: str
    term: str
    span: Span
    text: str
    token: int
    value: float = 0.0
    rivals: tuple[float, ...] = ()
    unclear: bool = False
    dimension: str = ""


def lexemes(tokens: Sequence[Token], text: str) -> list[Lexeme]:
    """All terminals of a sentence, in order. Unknown words come as UNKNOWN."""
    found: list[Lexeme] = []
    at = 0
    while at < len(tokens):
        if (day := date(tokens, at)) is not None:
            span = (tokens[day.start].span[0], tokens[day.end - 1].span[1])
            found.append(Lexeme("NUMBER", "", span, text[slice(*span)], at, day.value, day.rivals))
            found.append(Lexeme("UNIT", "date", span, "", at, dimension="date"))
            at = day.end
            continue
        if (counted := _day_of(tokens, at)) is not None:
            number, start = counted
            span = (tokens[start].span[0], tokens[number.end - 1].span[1])
            found.append(Lexeme("NUMBER", "", span, text[slice(*span)], start, number.value))
            found.append(Lexeme("UNIT", "day_of", span, "", start, dimension="date"))
            at = number.end
            continue
        lexeme, at = _next(tokens, at, found, text)
        if lexeme is not None:
            found.append(lexeme)
    for decide in _PASSES:
        found = decide(found)
    return _one_to(found)


def _one_to(found: list[Lexeme]) -> list[Lexeme]:
    """ "Cup to a gallon": a line that starts with a unit and goes on to another amount means one of it."""
    kinds = [one.type for one in found[:4]]
    if kinds != ["UNIT", "MARK", "NUMBER", "UNIT"] or found[1].term != "to" or found[0].term not in _ONE_OF:
        return found
    return [replace(found[0], type="NUMBER", term="", value=1.0), *found]


def _day_of(tokens: Sequence[Token], at: int) -> tuple[Numeral, int] | None:
    """ "on day 8": a day counted from the start of what is spoken of; the number and where the words start."""
    start = at
    at += word_at(tokens, at) in ("on", "by")
    number = numeral(tokens, at + 1) if word_at(tokens, at) == "day" else None
    plain = number is not None and not number.unclear and number.value == int(number.value) and number.value >= 0
    led = start < at or at == 0 or tokens[at - 1].kind == "sep" or word_at(tokens, at - 1) in ("and", "then")
    if number is None or not plain or not led or _unit_follows(tokens, number.end):
        return None
    return number, start


_ONE_OF = ("pint", "cup", "gallon", "quart", "pound", "liter", "kilogram", "tablespoon", "teaspoon", "ounce")


_ANOTHER = ("another", "extra", "a further", "further", "plus another")
"""Words that make a unit without a number one of it ("add another kilo")."""

_SHORT = ("tbsp", "tbs", "tblsp", "tsp", "gal", "ltr", "lit")
"""Short forms ask for a unit ("tbsp of salt for 2 lb") rather than mean one of it."""


_LEVEL = ("level", "whole", "full", "standard", "proper")


def _beside_units(found: list[Lexeme]) -> list[Lexeme]:
    """ "3 level tablespoons": the word between a number and its unit that changes nothing, left out."""
    out: list[Lexeme] = []
    for index, lexeme in enumerate(found):
        after = found[index + 1] if index + 1 < len(found) else None
        between = bool(out) and out[-1].type == "NUMBER" and after is not None and after.type == "UNIT"
        if not (between and lexeme.text.lower() in _LEVEL):
            out.append(lexeme)
    return out


def _described(found: list[Lexeme]) -> list[Lexeme]:
    """ "3 kg of destemmed chillies": a word nobody knows before the produce says how it is, not what."""
    out = list(found)
    for index in range(1, len(found) - 1):
        before, word, after = found[index - 1 : index + 2]
        if word.type == "UNKNOWN" and before.type in ("OF", "UNIT") and after.type in ("PRODUCE", "STATE"):
            rest = [one.type for one in found[index + 1 : index + 4]]
            if "PRODUCE" in rest:
                out[index] = replace(word, type="STATE", term="unheard")
    return out


_NAMED = ("PRODUCE", "NOUN", "STATE", "SALT", "SUBSTANCE", "FILLER", "VESSEL", "PROPERTY", "BASIS", "UNKNOWN", "UNIT")


def _of_what(found: list[Lexeme]) -> list[Lexeme]:
    """ "2 kg of spices", "100 g salt, used 40 g": an amount of a thing from everyday life, or of what is gone."""
    out = list(found)
    for index, lexeme in enumerate(found):
        before = found[index - 1] if index else None
        after = found[index + 1] if index + 1 < len(found) else None
        if lexeme.type == "FILLER" and lexeme.term == "everyday" and before is not None and before.type == "OF":
            measured = index > 1 and found[index - 2].type == "UNIT"
            if measured and (after is None or after.type not in _NAMED):
                out[index] = replace(lexeme, type="UNKNOWN")
        counted = any(one.type == "NUMBER" for one in found[:index])
        gone = [one.type for one in found[index + 1 : index + 3]] == ["NUMBER", "UNIT"]
        gone = gone and (index + 3 >= len(found) or found[index + 3].type != "OF")
        if lexeme.text.lower() == "used" and counted and gone:
            out[index] = replace(lexeme, type="NEGATION", term="not")
    return out


_ALL_OF = frozenset({"of all", "of the total", "of the whole"})


def _of_all(found: list[Lexeme]) -> list[Lexeme]:
    """ "3 % of all the water" is of the water; and of all the liquid it is once the juice is out."""
    out = list(found)
    for index, lexeme in enumerate(found):
        ahead = [one for one in found[index + 1 :] if one.type not in ("DET", "FILLER", "OF")][:1]
        near = found[index + 1 : index + 4]
        there = bool(ahead) and ahead[0] in near and ahead[0].type in ("NOUN", "PRODUCE")
        if lexeme.type == "BASIS" and _plain(lexeme) in _ALL_OF and there:
            out[index] = replace(lexeme, type="OF", term="of")
        if lexeme.type == "NOUN" and _plain(lexeme) == "liquid":
            between = ("DET", "FILLER", "OF", "MARK", "BASIS")
            before = [one for one in found[:index] if one.type not in between and not _is(one, "NOUN", "salt")]
            led = found[index - 1].type in ("DET", "FILLER", "OF", "MARK", "BASIS", "UNIT")
            if led and before and before[-1].type == "UNIT" and before[-1].dimension == "fraction":
                out[index] = replace(lexeme, type="BASIS", term="of-liquid")
    return out


def _with_brine(found: list[Lexeme]) -> list[Lexeme]:
    """ "Raise 3 kg from 2% to 3% with brine" asks for brine, not for dry salt: refused, not answered in salt."""
    if not _shifts(found):
        return found
    out = list(found)
    for index, lexeme in enumerate(found):
        if lexeme.term == "brine" and _helped(found[:index]):
            out[index] = replace(lexeme, type="NEGATION", term="not")
    return out


_WEIGHED = ("mass", "volume")


def _salt_of(found: list[Lexeme]) -> list[Lexeme]:
    """ "Salt of 5 kg" is the salt for 5 kg, and not 5 kg of salt.

    So it is in a change of strength that is still to come ("... from 2% to 3%"); and where the
    sentence starts with it and 5 kg is its one weight, with nothing else asked for.
    """
    out = list(found)
    for index, (salt, of) in enumerate(pairwise(found)):
        before, ahead = found[:index], found[index + 2 :]
        amount = [one for one in ahead if one.type not in ("DET", "FILLER")][:2]
        if salt.term != "salt" or of.type != "OF" or not amount or amount[0].type != "NUMBER":
            continue
        weighed = len(amount) > 1 and amount[1].type == "UNIT" and amount[1].dimension in _WEIGHED
        later = any(one.type == "MARK" and one.term in ("from", "to") for one in ahead)
        weights = sum(one.type == "UNIT" and one.dimension in _WEIGHED for one in ahead)
        first = not any(one.type in ("NUMBER", "MARK") for one in before)
        if weighed and later and _shifts(found) and not _helped(before):
            out[index] = replace(salt, type="FILLER")
        elif first and weights == 1 and not any(one.type == "ASKING" for one in ahead):
            out[index + 1] = replace(of, type="MARK", term="for")
    return out


def _helped(before: list[Lexeme]) -> bool:
    """Whether "with" leads what comes next ("with my leftover ...")."""
    last = next((one for one in reversed(before[-4:]) if one.type in ("MARK", "NUMBER")), None)
    return last is not None and last.term == "with"


def _shifts(found: list[Lexeme]) -> bool:
    """Whether the sentence takes a strength to another one, by its words or by "from" and "to"."""
    marks = [one.term for one, after in pairwise(found) if one.type == "MARK" and after.type == "NUMBER"]
    return _has_shift(found) or ("from" in marks and "to" in marks)


def _steps_first(found: list[Lexeme]) -> list[Lexeme]:
    """ "20 g more salt", "one more kilo": the word of change before its amount, as "more: 20 g of salt"."""
    out = list(found)
    for index in range(len(found) - 1):
        three = out[index : index + 3]
        kinds = [one.type for one in three]
        if kinds == ["NUMBER", "STEP", "UNIT"]:
            out[index], out[index + 1] = out[index + 1], out[index]
        elif kinds == ["NUMBER", "UNIT", "STEP"] and index + 3 < len(out):
            if out[index + 3].type in ("NOUN", "PRODUCE", "SALT", "OF"):
                out[index : index + 3] = [three[2], three[0], three[1]]
        elif kinds[:2] == ["STEP", "VESSEL"] or (kinds[:2] == ["STEP", "NOUN"] and out[index + 1].term == "batch"):
            out[index] = replace(out[index], type="FILLER")  # "another jar" is one of its own
    return out


def _things(found: list[Lexeme]) -> list[Lexeme]:
    """ "two kids", "five minutes' peace": a number of something that is no amount of the kitchen's."""
    out: list[Lexeme] = []
    for index, lexeme in enumerate(found):
        before = out[-1] if out else None
        after = found[index + 1].type if index + 1 < len(found) else ""
        counted = before is not None and before.type == "NUMBER" and lexeme.type == "FILLER"
        plural = lexeme.term == "everyday" and lexeme.text.endswith("s") and len(lexeme.text) > 3
        if counted and plural and after not in ("VESSEL", "PRODUCE", "NOUN", "UNIT"):
            out.append(replace(lexeme, type="NOUN", term="thing"))
            continue
        out.append(lexeme)
    return out


_AGAIN = ("that", "it", "this", "those", "them")


def _many_times(found: list[Lexeme]) -> list[Lexeme]:
    """ "one and a half batches of that", "three times that": one word that says how many times."""
    out: list[Lexeme] = []
    index = 0
    while index < len(found):
        lexeme = found[index]
        rest = [one.text.lower() for one in found[index + 1 : index + 4]]
        batches = len(rest) == 3 and rest[0] in ("batches", "times", "lots") and rest[1] == "of" and rest[2] in _AGAIN
        times = len(rest) > 1 and rest[0] == "times" and rest[1] in _AGAIN
        if lexeme.type == "NUMBER" and not lexeme.unclear and (batches or times):
            end = index + (4 if batches else 3)
            span = (lexeme.span[0], found[end - 1].span[1])
            text = " ".join(one.text for one in found[index:end])
            out.append(Lexeme("TIMES", f"{lexeme.value:g}", span, text, lexeme.token))
            index = end
            continue
        out.append(lexeme)
        index += 1
    return out


_DENIES = ("not", "instead of", "rather than")
"""Words before a number that the other number takes the place of."""


def _alike(found: list[Lexeme], index: int) -> bool:
    """Whether another number of the sentence is of the same kind as the one here (or this one has no unit)."""

    def kind(at: int) -> str:
        after = found[at + 1] if at + 1 < len(found) else None
        return after.dimension if after is not None and after.type == "UNIT" else ""

    mine = kind(index)
    rest = [at for at, one in enumerate(found) if one.type == "NUMBER" and at != index]
    return any(not mine or kind(at) == mine for at in rest)


def _taken_back(found: list[Lexeme]) -> list[Lexeme]:
    """ "12 litres, not 10": the number after "not" is what the other one takes the place of."""
    out: list[Lexeme] = []
    units = sum(one.type == "UNIT" for one in found)
    for index, lexeme in enumerate(found):
        before = out[-1] if out else None
        denied = before is not None and before.type == "NEGATION" and before.text.lower() in _DENIES
        if lexeme.type == "UNIT" and denied and units > 1:
            out[-1] = replace(out[-1], type="SEP")  # "kilos, not pounds": the unit that it is none of
            out.append(replace(lexeme, type="FILLER", term="denied", dimension=""))
            continue
        others = denied and _alike(found, index)
        if lexeme.type == "NUMBER" and denied and others and not (len(out) > 1 and out[-2].text.lower() == "but"):
            out[-1] = replace(out[-1], type="SEP")
            out.append(replace(lexeme, term="denied"))
            continue
        out.append(lexeme)
    return out


def _implied(found: list[Lexeme]) -> list[Lexeme]:
    """ "Pint of water" is one pint; "minus 2 kg" is a negative number."""
    out: list[Lexeme] = []
    for index, lexeme in enumerate(found):
        before = out[-1] if out else None
        after = found[index + 1] if index + 1 < len(found) else None
        starts = before is None or before.type in ("SEP", "AND")
        single = len(lexeme.text) > 2 and not lexeme.text.lower().endswith("s") and lexeme.text.lower() not in _SHORT
        follows = after is not None and after.type in ("OF", "TAIL")
        more = before is not None and before.type == "STEP" and before.text.lower() in _ANOTHER
        if lexeme.type == "UNIT" and more and not lexeme.text.lower().endswith("s") and len(lexeme.text) > 2:
            place = (lexeme.span[0], lexeme.span[0])
            out.append(Lexeme("NUMBER", "", place, "", lexeme.token, 1.0))
            out.append(lexeme)
            continue
        if lexeme.type == "UNIT" and starts and single and lexeme.term in _ONE_OF and follows:
            place = (lexeme.span[0], lexeme.span[0])
            out.append(Lexeme("NUMBER", "", place, "", lexeme.token, 1.0))
        if lexeme.type == "NUMBER" and before is not None and before.text.lower() == "minus":
            out[-1] = replace(lexeme, value=-lexeme.value, span=(before.span[0], lexeme.span[1]))
            continue
        out.append(lexeme)
    return out


def _entry(tokens: Sequence[Token], at: int) -> tuple[Entry, int] | None:
    """The longest vocabulary expression that starts at a token, and where it ends."""
    if at >= len(tokens):
        return None
    known = vocabulary()
    for length in range(min(known.reach.get(tokens[at].norm, 1), len(tokens) - at), 0, -1):
        words = tuple(token.norm for token in tokens[at : at + length])
        if (entry := known.find(words)) is not None:
            return entry, at + length
    return None


def _next(tokens: Sequence[Token], at: int, before: list[Lexeme], text: str) -> tuple[Lexeme | None, int]:
    token = tokens[at]
    previous = before[-1].type if before else ""

    def lexeme(kind: str, term: str, end: int, **more: object) -> Lexeme:
        span = (token.span[0], tokens[end - 1].span[1])
        return Lexeme(kind, term, span, text[slice(*span)], at, **more)  # type: ignore[arg-type]

    if previous == "UNIT" and (half := tail(tokens, at)) and not _own(tokens, half[1]):
        return lexeme("TAIL", "", half[1], value=half[0]), half[1]
    entry = _entry(tokens, at)
    if token.kind == "dash":
        tight = at + 1 < len(tokens) and tokens[at + 1].span[0] == token.span[1]
        loose = at == 0 or tokens[at - 1].span[1] < token.span[0]
        number = numeral(tokens, at + 1) if loose and (tight or _volts(tokens, at + 1)) else None
        if number is not None and tokens[at + 1].kind == "number":
            negative = lexeme("NUMBER", "", number.end, value=-number.value, unclear=number.unclear)
            return negative, number.end
        half = part(tokens, at + 1) if previous == "NUMBER" and tight and not loose else None
        if half is not None and before[-1].value == int(before[-1].value):  # "2-1/2"
            whole = before.pop()
            span = (whole.span[0], tokens[half[1] - 1].span[1])
            mixed = replace(whole, value=whole.value + half[0], span=span, text=text[slice(*span)], rivals=())
            return replace(mixed, unclear=False), half[1]
        if previous in ("NUMBER", "UNIT") and at + 1 < len(tokens) and numeral(tokens, at + 1):
            return lexeme("UPTO", "to", at + 1), at + 1
        return None, at + 1
    number = numeral(tokens, at)
    sized = entry is not None and entry[0].kind == "unit" and previous == "NUMBER"  # "two 20 ml tablespoons"
    if number is not None and not sized and (entry is None or entry[1] <= number.end or token.kind == "number"):
        end = number.end
        if number.value < 1:  # "half a gallon", "three quarters of a pound"
            step = end + (word_at(tokens, end) == "of")
            step += word_at(tokens, step) in ("a", "an")
            if (unit := _entry(tokens, step)) and unit[0].kind == "unit":
                end = step
        unclear = number.unclear and not _counts(tokens, number)
        if token.norm == "one" and number.end == at + 1:
            unclear = False  # "batch one 18 kg": a pronoun, see _pronoun
        made = lexeme("NUMBER", "", number.end, value=number.value, unclear=unclear)
        return replace(made, rivals=number.rivals), end
    article = token.norm in ("a", "an")
    if article and word_at(tokens, at + 1) in ("whole", "full", "single", "hole", "good") and _one_unit(tokens, at + 2):
        return lexeme("NUMBER", "", at + 2, value=1.0), at + 2  # "a whole kilo"
    unit = _entry(tokens, at + 1) if article else None
    if unit and unit[0].kind == "unit" and (len(tokens[at + 1].norm) > 1 or unit[1] > at + 2):
        return lexeme("NUMBER", "per" if previous == "UNIT" else "", at + 1, value=1.0), at + 1
    if entry is not None:
        found, end = entry
        heat = any(one.dimension == "temperature" for one in before)
        loose_c = (token.text == "c" and not heat) or previous != "MARK"
        if token.norm == '"' and previous != "NUMBER":
            return lexeme("SEP", token.norm, at + 1), at + 1
        if found.kind == "unit" and token.norm == "c" and previous != "NUMBER" and loose_c:
            return lexeme("UNKNOWN", token.norm, end), end
        if token.norm == "in" and previous == "NUMBER" and at + 1 == len(tokens) and before[-1].value >= 100:
            return lexeme("FILLER", "in", at + 1), at + 1
        acid = any(one.term in ("ph", "ph-strip") for one in before)  # "pH 3.9 in jar 2"
        if token.norm == "in" and previous == "NUMBER" and not acid and _is_inch(tokens, at):
            return lexeme("UNIT", "inch", at + 1, dimension="length"), at + 1
        if found.kind in TOLD:
            return lexeme("FILLER", f"{found.kind} {found.term}", end), end
        kind = "COMMAND" if found.kind in COMMANDS else found.kind.upper()
        kind = "AND" if kind == "JOIN" else kind
        return lexeme(kind, found.term, end, dimension=found.dimension), end
    if token.kind in ("sep", "junk"):
        return lexeme("SEP", token.norm, at + 1), at + 1
    if token.kind == "sign":
        return lexeme("FILLER" if token.norm != "?" else "SEP", token.norm, at + 1), at + 1
    return lexeme("UNKNOWN", token.norm, at + 1), at + 1


def _volts(tokens: Sequence[Token], at: int) -> bool:
    """Whether a number of millivolts starts here: a dash before it is a minus, with a blank or without."""
    number = numeral(tokens, at)
    unit = _entry(tokens, number.end) if number is not None else None
    return unit is not None and unit[0].dimension == "potential"


def _counts(tokens: Sequence[Token], number: Numeral) -> bool:
    """Whether a number counts vessels of a size: "three 15 litre crocks", "2 x 5 L jars"."""
    sized = _entry(tokens, number.end)
    if sized is not None and sized[0].kind == "unit" and tokens[number.end].kind == "number":
        return True  # "two 20 ml tablespoons"
    size = numeral(tokens, number.end)
    if size is None or size.unclear or number.value not in range(1, 51):
        return False
    unit = _entry(tokens, size.end)
    vessel = _entry(tokens, unit[1]) if unit and unit[0].kind == "unit" else None
    return vessel is not None and vessel[0].kind == "vessel"


def _unit_follows(tokens: Sequence[Token], at: int) -> bool:
    """Whether "and a quarter" is the start of an amount of its own ("and a quarter pound")."""
    unit = _entry(tokens, at + (word_at(tokens, at) in ("a", "an", "of")))
    return unit is not None and unit[0].kind == "unit"


def _one_unit(tokens: Sequence[Token], at: int) -> bool:
    """Whether a unit written out starts here ("kilo", not "g")."""
    unit = _entry(tokens, at)
    return unit is not None and unit[0].kind == "unit" and len(tokens[at].norm) > 2


def _own(tokens: Sequence[Token], at: int) -> bool:
    """Whether "and a half" starts something of its own ("and half full", "and a quarter pound")."""
    return word_at(tokens, at) in ("full", "filled", "empty", "free") or _unit_follows(tokens, at)


def _is_inch(tokens: Sequence[Token], at: int) -> bool:
    """Whether "in" after a number is the unit and not the preposition."""
    after = word_at(tokens, at + 1)
    if after in ("a", "an", "the", "my", "that", "this", "ph", "buffer", "boiling", "ice", "iced", "icy", "crushed"):
        return False
    entry = _entry(tokens, at + 1) if at + 1 < len(tokens) else None
    numbered = at + 1 < len(tokens) and (
        tokens[at + 1].kind == "number" or after in NUMBER_WORDS or part(tokens, at + 1)
    )
    return not numbered and (entry is None or entry[0].kind != "unit")


def _neighbours(found: list[Lexeme]) -> list[Lexeme]:
    """Words whose meaning the words beside them decide."""
    out: list[Lexeme] = []
    for index, lexeme in enumerate(found):
        if lexeme.type == "NUMBER" and lexeme.term == "per":  # "grams a litre"
            out += [replace(lexeme, type="MARK"), replace(lexeme, term="")]
        else:
            out.append(_beside(lexeme, out, found[index + 1 :], found))
    return out


def _beside(lexeme: Lexeme, out: list[Lexeme], ahead: list[Lexeme], found: list[Lexeme]) -> Lexeme:
    """One word, decided by those before it (``out``) and after it (``ahead``)."""
    before = out[-1] if out else None
    after = ahead[0] if ahead else None
    counted = any(one.type == "NUMBER" for one in out)
    if lexeme.type == "BEYOND" and lexeme.term == "time" and _timed(found):
        return replace(lexeme, type="ASKING", term="when" if lexeme.text.lower().startswith("when") else "how-long")
    if lexeme.type == "NEGATION" and lexeme.text.lower() in ("maximum", "minimum"):
        number = (after is not None and after.type == "NUMBER") or (before is not None and before.type == "UNIT")
        return lexeme if number else replace(lexeme, type="FILLER")  # "how much salt maximum"
    timed = before is not None and before.type == "UNIT" and before.dimension in ("time", "months")
    timed = timed and not any(one.dimension == "date" or one.type == "WHEN" for one in found)
    told = any(one.term.startswith("deed ") and one.term != "deed later" for one in found)
    if timed and not told and lexeme.type == "FILLER" and lexeme.text.lower() in ("later", "earlier", "less"):
        return replace(lexeme, type="NEGATION", term="not")  # "two days later": than what?
    if lexeme.type == "DET" and lexeme.text.lower() == "each" and before is not None and before.type == "UNIT":
        if (before.dimension == "volume" or before.term == "ounce") and any(
            one.type == "VESSEL" and one.term == "bottle" for one in found
        ):
            return replace(lexeme, type="FILLER")  # "24 bottles, 150 ml each" is what a bottle holds
        return replace(lexeme, type="NEGATION", term="not")  # "a kilo each of"
    if lexeme.type == "MARK" and lexeme.text.lower() in ("under", "below") and _weighs_under(ahead):
        return replace(lexeme, type="NEGATION", term="not")  # "under 2 kg" is no amount
    if lexeme.type == "UNIT" and lexeme.term == "stone" and (before is None or before.type != "NUMBER"):
        return replace(lexeme, type="FILLER")  # the stone that holds them down
    if lexeme.type == "AND" and lexeme.text.lower() in ("plus", "+") and not any(one.type == "NUMBER" for one in out):
        return replace(lexeme, type="STEP", term="more")
    if lexeme.type == "MARK" and lexeme.term in ("since", "before", "after") and not _leads_time(ahead):
        return replace(lexeme, type="FILLER")
    if lexeme.type == "OF":
        rest = next((one for one in ahead if one.type not in ("DET", "FILLER")), None)
        if rest is not None and rest.type == "NUMBER":
            return replace(lexeme, type="MARK")
        return replace(lexeme, type="FILLER") if rest and rest.type in ("OF", "MARK", "AND") else lexeme
    if lexeme.type in ("RANGE", "AND") or (lexeme.type == "MARK" and lexeme.term == "to"):
        return _between(lexeme, out, after, found)
    if lexeme.type == "COMMAND" and lexeme.term == "no" and counted:
        return replace(lexeme, type="CHANGE", term="take-back")  # "three kilos, no, make it four"
    if lexeme.type == "COMMAND" and out:
        return _command(lexeme, out, ahead, counted)
    if lexeme.type == "CHANGE" and lexeme.term in ("make-it", "instead") and counted:
        now = _strengthened(out, ahead)
        return replace(lexeme, type="MARK", term="to") if now else replace(lexeme, term="take-back")
    denied = before is not None and before.type == "NEGATION"
    if lexeme.type == "NUMBER" and lexeme.text.isalpha() and not denied:
        numbered = _single(before) and after is not None and after.type == "NUMBER"  # "batch two 7 kg"
        if numbered or (lexeme.text.lower() == "one" and _pronoun(before, after, found)):
            return replace(lexeme, type="FILLER")
    return lexeme


_COUNTED = (
    "how many days",
    "how many weeks",
    "how many months",
    "how long",
    "how long until",
    "how long will",
    "when will it be",
)


def _timed(found: list[Lexeme]) -> bool:
    """Whether a "how many days" is a sum with dates or times, and not a question about ripeness."""
    asks = next(one for one in found if one.type == "BEYOND")
    dated = any(one.type == "WHEN" or one.dimension == "date" for one in found)
    spans = any(one.type == "UNIT" and one.dimension in ("time", "months") for one in found)
    counts = asks.text.lower().startswith(("how many", "when will it be"))
    return asks.text.lower() in _COUNTED and (dated or (counts and spans))


def _strengthened(out: list[Lexeme], ahead: list[Lexeme]) -> bool:
    """Whether "make it 3 %" comes after what it is now ("3 kg of mash is at 2 %, make it 3 %")."""
    percent = [one.type for one in ahead[:2]] == ["NUMBER", "UNIT"] and ahead[1].dimension == "fraction"
    for index, one in enumerate(out):
        if one.type == "UNIT" and one.dimension == "fraction" and index > 1:
            return percent and any(each.type == "LINK" for each in out[max(0, index - 4) : index - 1])
    return False


_IDLE = ("SEP", "FILLER", "COMMAND", "AND", "CHANGE", "LINK", "DET")


def _command(lexeme: Lexeme, out: list[Lexeme], ahead: list[Lexeme], counted: bool) -> Lexeme:
    """A command word in mid-sentence: "is that right?", "knock it back to 3 %", "leave it for 40 days".

    It is a command where nothing with a meaning comes before it, or where it is the whole
    end of a sentence without a number ("the first of them, forget it").
    """
    if lexeme.text == "?":
        return replace(lexeme, type="SEP")
    if all(one.type in _IDLE for one in out):
        return lexeme
    if lexeme.term in ("undo", "reset") and counted and any(one.type == "NUMBER" for one in ahead[:3]):
        return replace(lexeme, type="CHANGE", term="take-back")  # "3 gallons, scratch that, 4 gallons"
    if lexeme.term == "no" and lexeme.text.lower() == "wrong":
        return replace(lexeme, type="CHANGE", term="make-it")  # "I measured wrong, it was 5 L"
    if lexeme.term in ("yes", "no", "repeat", "why", "unsure"):
        return replace(lexeme, type="NEGATION" if lexeme.term == "no" else "FILLER")
    ends = out[-1].type in ("SEP", "AND") and all(one.type == "SEP" for one in ahead)
    return lexeme if ends and not counted else replace(lexeme, type="FILLER")


def _weighs_under(ahead: list[Lexeme]) -> bool:
    """Whether "under" puts a limit on a weight or a strength, and is not under water ("under 5 litres of water")."""
    kinds = [one.type for one in ahead[:2]] == ["NUMBER", "UNIT"]
    return (
        kinds
        and (ahead[1].dimension in ("mass", "fraction"))
        and not any(one.term in ("brine", "water") for one in ahead[2:5])
    )


def _leads_time(ahead: list[Lexeme]) -> bool:
    """Whether a date or a length of time comes next ("after 6 weeks", not "salt after?")."""
    rest = [one for one in ahead if one.type not in ("DET", "FILLER")][:2]
    if rest and rest[0].type == "WHEN":
        return True
    return len(rest) == 2 and rest[0].type == "NUMBER" and rest[1].dimension in ("date", "time", "months")


def _between(lexeme: Lexeme, out: list[Lexeme], after: Lexeme | None, found: list[Lexeme]) -> Lexeme:
    """ "or", "and", "to" as part of a range where numbers stand on both sides."""
    between = bool(out) and out[-1].type == "NUMBER" and after is not None and after.type == "NUMBER"
    if lexeme.type == "RANGE" and (_two_units(out, after, found) or _half_said(lexeme, out, after, found)):
        return lexeme  # "3 kg or 4 kg", "four kilos against five"
    if not between:
        if lexeme.type == "RANGE" and lexeme.term == "versus":
            return replace(lexeme, type="NEGATION", term="not")  # two things, each with several numbers
        return replace(lexeme, type="FILLER") if lexeme.type == "RANGE" else lexeme
    if lexeme.type == "AND":
        return replace(lexeme, type="RANGE")
    start = out[-2] if len(out) > 1 else None
    from_to = start is not None and start.type == "MARK" and start.term == "from"
    if lexeme.type == "MARK" and not from_to and not _has_shift(found):
        return replace(lexeme, type="UPTO")
    return lexeme


_SINGLES = ("batch", "brine", "mash", "crock", "jar", "bucket", "vessel")


def _two_units(out: list[Lexeme], after: Lexeme | None, found: list[Lexeme]) -> bool:
    """Whether an amount with a unit stands on both sides, of one dimension."""
    if not out or out[-1].type != "UNIT" or after is None or after.type != "NUMBER":
        return False
    unit = next((one for one in found[found.index(after) + 1 :]), None)
    return unit is not None and unit.type == "UNIT" and unit.dimension == out[-1].dimension


def _half_said(lexeme: Lexeme, out: list[Lexeme], after: Lexeme | None, found: list[Lexeme]) -> bool:
    """Whether a bare number after "against" leaves out the unit of the one before ("4 weeks versus 6")."""
    if lexeme.term != "versus" or not out or out[-1].type != "UNIT" or after is None or after.type != "NUMBER":
        return False
    rest = found[found.index(after) + 1 :]
    return not rest or rest[0].type != "UNIT"


def _single(before: Lexeme | None) -> bool:
    """Whether a number word after this one counts it off ("batch two") rather than measures."""
    return before is not None and before.term in _SINGLES


def _pronoun(before: Lexeme | None, after: Lexeme | None, found: list[Lexeme]) -> bool:
    """Whether "one" stands for a thing and not for a number ("the brown one", "batch one")."""
    if sum(item.type not in ("SEP", "FILLER") for item in found) == 1:
        return False
    if after is None:
        return True
    rest = found[found.index(after) + 1 :]
    to = after.type == "MARK" and after.term == "to" and bool(rest) and rest[0].type == "NUMBER"  # "one to two percent"
    if (
        after.type == "NUMBER"
        and before is not None
        and before.type in ("DET", "STATE", "FILLER", "PROPERTY", "CHANGE")
    ):
        return True  # "that one 2.5 %", "the weak one 2 %"
    return not to and after.type not in ("UNIT", "TAIL", "RANGE", "UPTO", "NUMBER")


RATES = {
    ("gram", "liter"): "gram_per_liter",
    ("kilogram", "liter"): "kilogram_per_liter",
    ("milligram", "liter"): "milligram_per_liter",
    ("gram", "milliliter"): "gram_per_milliliter",
    ("pound", "gallon"): "pound_per_gallon",
    ("ounce", "gallon"): "ounce_per_gallon",
    ("gram", "kilogram"): "gram_per_kilogram",
}
"""Two units with "per" between them that are one unit."""


def _rates(found: list[Lexeme]) -> list[Lexeme]:
    """ "25 g per liter", "40 grams to the litre" as one unit; "18 g per quart" gets its 1."""
    out: list[Lexeme] = []
    index = 0
    while index < len(found):
        lexeme = found[index]
        ahead = found[index + 1 : index + 4]
        kinds = [one.type for one in ahead]
        if lexeme.type == "UNIT" and kinds[:2] == ["MARK", "NUMBER"] and ahead[0].term == "per":
            # "a litre": the article was read as 1
            skip = 2 if ahead[1].text.lower() in ("a", "an") else 0
        elif lexeme.type == "UNIT" and kinds[:1] == ["MARK"] and ahead[0].term in ("per", "to"):
            skip = 2 if kinds[1:2] == ["DET"] else 1
            skip = skip if ahead[0].term == "per" or skip == 2 else 0
        else:
            skip = 0
        unit = found[index + 1 + skip] if skip and index + 1 + skip < len(found) else None
        if unit is not None and unit.type == "UNIT" and (lexeme.term, unit.term) in RATES:
            name = RATES[lexeme.term, unit.term]
            dimension = "fraction" if name == "gram_per_kilogram" else "density"
            span = (lexeme.span[0], unit.span[1])
            text = f"{lexeme.text} per {unit.text}"
            out.append(Lexeme("UNIT", name, span, text, lexeme.token, dimension=dimension))
            index += skip + 2
            continue
        out.append(lexeme)
        if lexeme.type == "MARK" and lexeme.term == "per" and kinds[:1] == ["UNIT"]:
            place = ahead[0].span[0]
            out.append(Lexeme("NUMBER", "", (place, place), "", ahead[0].token, 1.0))
        index += 1
    return out


SPOKEN_REST = {"pound": ("ounce", 16.0, 1.0), "kilogram": ("gram", 1000.0, 100.0)}
"""What a bare number after a unit counts ("two pounds seven"): unit, below, in steps of."""


def _spoken_rest(found: list[Lexeme]) -> list[Lexeme]:
    """ "two pounds seven" is 2 lb 7 oz, "one kilo six hundred" is 1600 g: the trade says it so."""
    out: list[Lexeme] = []
    for index, lexeme in enumerate(found):
        out.append(lexeme)
        if lexeme.type != "NUMBER" or lexeme.unclear or lexeme.rivals or len(out) < 3:
            continue
        unit, number = out[-2], out[-3]
        after = found[index + 1] if index + 1 < len(found) else None
        if unit.type != "UNIT" or unit.term not in SPOKEN_REST or number.type != "NUMBER":
            continue
        if after is not None and after.type not in ("OF", "SEP", "AND", "MARK", "LINK", "FILLER", "DET"):
            continue  # "5 kilos 200 salt" may be two amounts: asked
        small, below, step = SPOKEN_REST[unit.term]
        if 0 < lexeme.value < below and lexeme.value % step == 0 and number.value == int(number.value):
            out.append(Lexeme("UNIT", small, lexeme.span, "", lexeme.token, dimension="mass"))
    return out


def _has_shift(found: list[Lexeme]) -> bool:
    """Whether the sentence changes a strength, so that "2 to 3" is from 2 to 3."""
    return any(one.type == "TOPIC" and one.term in ("diluting", "raising") for one in found)


def _join(found: list[Lexeme]) -> list[Lexeme]:
    """Puts JOIN between the parts of one amount ("4 lb 6 oz", "4 lb and 6 oz")."""
    out: list[Lexeme] = []
    index = 0
    while index < len(found):
        lexeme = found[index]
        skip = 1 if lexeme.type == "AND" else 0
        number = found[index + skip] if index + skip < len(found) else None
        unit = found[index + skip + 1] if index + skip + 1 < len(found) else None
        if (
            out
            and out[-1].type == "UNIT"
            and number is not None
            and number.type == "NUMBER"
            and unit is not None
            and unit.type == "UNIT"
            and (out[-1].term, unit.term) in COMPOUND
            and not (skip and out[-1].term in _METRIC)
        ):
            out.append(Lexeme("JOIN", "", (number.span[0], number.span[0]), "", number.token))
            out += [number, unit]
            index += skip + 2
            continue
        out.append(lexeme)
        index += 1
    return out


_TITRANTS = ("titrating", "naoh")
_NORMAL = {"n": 2.0, "m": 2.0, "normal": 2.0, "molar": 10.0}
"""What may be the strength of a titrant after a number, and up to which number."""


def _normality(found: list[Lexeme]) -> list[Lexeme]:
    """ "0.1 N", "0.1 M" in a titration: the strength of what is dripped in, no "and", no metres, no "as usual".

    Without a word of titration only a capital N after a decimal fraction is one ("15 ml of 0.1 N").
    """
    titrates = any(one.term in _TITRANTS or one.dimension == "normality" for one in found)
    out: list[Lexeme] = []
    index = 0
    while index < len(found):
        lexeme = found[index]
        before = out[-1] if out else None
        text = lexeme.text
        number = before.value if before is not None and before.type == "NUMBER" else 0.0
        small = 0 < number <= _NORMAL.get(text.lower(), 0.0)
        capital = text == "N" and number < 2 and number != int(number)
        if small and (titrates or capital) and lexeme.type in ("AND", "UNIT", "COMMAND", "UNKNOWN", "FILLER"):
            out.append(replace(lexeme, type="UNIT", term="normality", dimension="normality"))
        elif text.lower() == "tenth" and index + 1 < len(found) and found[index + 1].text.lower() == "normal":
            span = (lexeme.span[0], found[index + 1].span[1])
            out.append(Lexeme("NUMBER", "", span, "", lexeme.token, 0.1))
            out.append(Lexeme("UNIT", "normality", span, "", lexeme.token, dimension="normality"))
            index += 1
        elif titrates and _tenth(found[index : index + 3]) and (before is None or before.type != "NUMBER"):
            number_ = found[index + 2]
            span = (lexeme.span[0], number_.span[1])
            out.append(replace(number_, value=1 / number_.value, span=span, text="", rivals=(), unclear=False))
            out.append(Lexeme("UNIT", "normality", span, "", lexeme.token, dimension="normality"))
            index += 2
        else:
            out.append(lexeme)
        index += 1
    return out


def _tenth(three: list[Lexeme]) -> bool:
    """ "N/10": a tenth normal."""
    texts = [one.text.lower() for one in three]
    return texts[:2] == ["n", "/"] and three[-1].type == "NUMBER" and three[-1].value in (2, 4, 5, 10, 20, 50, 100)


def _parts(found: list[Lexeme]) -> list[Lexeme]:
    """ "1 part to 3 parts" measures; "part of it", "a part" is some of a thing and no number."""
    at = [index for index, one in enumerate(found) if one.term == "part" and one.type == "UNIT"]
    counted = [index for index in at if index and found[index - 1].type == "NUMBER"]
    out = list(found)
    for index in at:
        article = index in counted and _plain(found[index - 1]) in ("a", "an")
        if index in counted and not (article and len(counted) < 2):
            continue
        out[index] = replace(found[index], type="FILLER", term="part", dimension="")
        if article:
            out[index - 1] = replace(found[index - 1], type="DET", term="the")
    return out


def _plain(lexeme: Lexeme) -> str:
    """The words in small letters with single blanks."""
    return " ".join(lexeme.text.lower().split())


_SWAP = ("instead of", "rather than")
_SOUR = ("vinegar", "acetic", "lactic", "citric")


def _swapped(found: list[Lexeme]) -> list[Lexeme]:
    """ "Citric instead of a litre of 5 % vinegar" puts one acid in place of another; nothing is taken back."""
    acids = {{"acetic": "vinegar"}.get(one.term, one.term) for one in found if one.term in _SOUR}
    percents = sum(one.type == "UNIT" and one.dimension == "fraction" for one in found)
    two = len(acids) > 1 or (acids == {"vinegar"} and percents > 1)
    out = list(found)
    for index, lexeme in enumerate(found):
        if two and lexeme.type == "NEGATION" and _plain(lexeme) in _SWAP:
            out[index] = replace(lexeme, type="TOPIC", term="swapping")
        if not two and lexeme.type == "TOPIC" and lexeme.term == "swapping":
            counted = any(one.type == "NUMBER" for one in found)  # other things are not put in place here
            out[index] = replace(lexeme, type="NEGATION" if counted else "FILLER", term="not")
        if two and lexeme.type == "CHANGE" and lexeme.text.lower() == "instead" and len(acids) > 1:
            out[index] = replace(lexeme, type="TOPIC", term="swapping")
    return out


def _strong(three: list[Lexeme]) -> bool:
    """Whether "4 %" or "4 % vinegar" comes next, and no percentage of something else."""
    percent = [one.type for one in three[:2]] == ["NUMBER", "UNIT"] and three[1].dimension == "fraction"
    return percent and (
        len(three) < 3 or three[2].term == "vinegar" or three[2].type in ("SEP", "AND", "FILLER", "MARK")
    )


def _own_vinegar(found: list[Lexeme]) -> list[Lexeme]:
    """ "The recipe says 500 g of 5 % vinegar, mine is 4 %": whose vinegar a strength is of, where there are two."""
    percents = sum(one.type == "UNIT" and one.dimension == "fraction" for one in found)
    if percents != 2 or not any(one.term == "vinegar" for one in found):
        return found
    out = list(found)
    for index, lexeme in enumerate(found):
        text = _plain(lexeme)
        after = found[index + 1] if index + 1 < len(found) else None
        if text in ("mine", "mine's", "ours"):
            out[index] = replace(lexeme, type="PROPERTY", term="own-vinegar")
        elif text in ("my", "our") and after is not None and after.term == "vinegar":
            out[index] = replace(lexeme, type="FILLER")
            out[index + 1] = replace(after, type="PROPERTY", term="own-vinegar")
        elif text in ("got", "have", "i have", "have got", "only") and _strong(found[index + 1 : index + 4]):
            out[index] = replace(lexeme, type="PROPERTY", term="own-vinegar")
    return out


def _meters(found: list[Lexeme]) -> list[Lexeme]:
    """ "pH 4.0 meter", "meter 3.8 not calibrated": the instrument, and no length."""
    acid = any(one.type == "PROPERTY" and one.term in ("ph", "ph-strip") for one in found)
    calibrated = any(one.term in ("deed calibrated", "deed uncalibrated") for one in found)
    out = list(found)
    for index, lexeme in enumerate(found):
        if lexeme.type != "UNIT" or lexeme.text.lower() not in ("meter", "metre"):
            continue
        if index == 0 and len(found) > 1 and found[1].type == "NUMBER":
            out[index] = replace(lexeme, type="PROPERTY", term="ph", dimension="")
        elif acid or calibrated:
            kind = ("FILLER", "meter") if acid else ("PROPERTY", "ph")
            out[index] = replace(lexeme, type=kind[0], term=kind[1], dimension="")
            if index and _is(out[index - 1], "NUMBER") and out[index - 1].text.lower() in ("a", "an", "one"):
                out[index - 1] = replace(out[index - 1], type="DET", term="the", value=0.0)  # "with a meter"
    return out


BUFFER_TERMS = (
    "buffer-four", "buffer-four-one", "buffer-seven", "buffer-seven-one", "buffer-phosphate", "buffer-ten",
)  # fmt: skip
"""Nouns for the buffers that a pH meter is calibrated in."""

_BUFFER_OF = {4.0: 0, 4.005: 1, 4.006: 1, 4.01: 1, 7.0: 2, 7.01: 3, 6.86: 4, 10.0: 5, 10.01: 5, 10.012: 5}


def _is(lexeme: Lexeme | None, kind: str, *terms: str) -> bool:
    return lexeme is not None and lexeme.type == kind and (not terms or lexeme.term in terms)


def _buffers(found: list[Lexeme]) -> list[Lexeme]:
    """ "15 mV in pH 7", "what does pH 4 buffer read": the buffer is a thing and no reading, and owns its millivolts."""
    volts = any(one.type == "UNIT" and one.dimension == "potential" for one in found)
    named = any(_is(one, "NOUN", "buffer", *BUFFER_TERMS) for one in found)
    if not (volts or named or _asks_of_a_buffer(found)):
        return found
    out: list[Lexeme] = []
    index = 0
    while index < len(found):
        lexeme = found[index]
        start = index
        while (
            _is(found[index], "NOUN", "buffer")
            and index + 1 < len(found)
            and (_is(found[index + 1], "PROPERTY", "ph") or found[index + 1].type == "NUMBER")
        ):
            index += 1
        index += _is(found[index], "PROPERTY", "ph") and index + 1 < len(found)
        if (two := _two_numbers(found, index, index > start)) is not None:
            found = [*found[:index], *two, *found[index + 1 :]]
        number = found[index]
        after = found[index + 1] if index + 1 < len(found) else None
        before = out[-1] if out else None
        place = next((one for one in reversed(out) if one.type != "DET"), None)
        led = index > start or _is(after, "NOUN", "buffer") or (_is(place, "MARK", "in", "at") and volts)
        led = led or (
            before is not None
            and before.type in ("AND", "SEP", "RANGE")
            and any(one.term in BUFFER_TERMS for one in out)
        )
        if number.type == "NUMBER" and number.value in _BUFFER_OF and led and not _is(after, "UNIT"):
            end = index + (2 if _is(after, "NOUN", "buffer") else 1)
            span = (lexeme.span[0], found[end - 1].span[1])
            text = " ".join(one.text for one in found[start:end])
            out.append(Lexeme("NOUN", BUFFER_TERMS[_BUFFER_OF[number.value]], span, text, lexeme.token))
            index = end
            continue
        out.append(lexeme)
        index = start + 1
    return _owned(_signed(out)) if volts else out


def _asks_of_a_buffer(found: list[Lexeme]) -> bool:
    """ "What does pH 4.01 read at 30 C": asked of a pH and a temperature, it is a buffer's."""
    asks = bool(found) and found[0].type == "ASKING" and found[0].text.lower().startswith("what")
    warm = any(one.type == "UNIT" and one.dimension == "temperature" for one in found)
    bare = [one for one, after in pairwise([*found, *found[-1:]]) if one.type == "NUMBER" and not _is(after, "UNIT")]
    return asks and warm and len(bare) == 1 and bare[0].value in _BUFFER_OF


def _two_numbers(found: list[Lexeme], index: int, led: bool) -> list[Lexeme] | None:
    """ "pH 4 160 mV": the buffer and its millivolts, that look like four thousand."""
    one = found[index]
    parts = one.text.split()
    unit = found[index + 1] if index + 1 < len(found) else None
    if not led or one.type != "NUMBER" or len(parts) != 2 or not one.rivals or not _is(unit, "UNIT", "millivolt"):
        return None
    middle = one.span[0] + len(parts[0])
    spans = ((one.span[0], middle), (middle + 1, one.span[1]))
    return [
        replace(one, value=float(part), span=span, text=part, rivals=())
        for part, span in zip(parts, spans, strict=True)
    ]


def _signed(found: list[Lexeme]) -> list[Lexeme]:
    """The signs of millivolts: "+160 mV" adds nothing, "negative 15 mV" and "- 15 mV" are below zero.

    A number without a unit shares the one of its neighbour: "-15 in pH 7 and 160 mV in pH 4".
    """
    buffers = any(_is(one, "NOUN", *BUFFER_TERMS) for one in found)
    about = buffers or any(_is(one, "PROPERTY", "slope", "offset") for one in found)
    out: list[Lexeme] = []
    for index, one in enumerate(found):
        after = found[index + 1] if index + 1 < len(found) else None
        before = out[-1] if out else None
        if one.type in ("AND", "STEP") and one.text.lower() in ("+", "plus") and _is(after, "NUMBER"):
            continue
        meter = _is(one, "PROPERTY", "ph") and about and not _is(after, "NUMBER")
        lexeme = replace(one, type="FILLER", term="meter") if meter else one
        if lexeme.type == "NUMBER" and before is not None and before.text.lower() in ("minus", "negative", "neg"):
            out[-1] = replace(lexeme, value=-abs(lexeme.value), span=(before.span[0], lexeme.span[1]))
        else:
            out.append(lexeme)
        bare = lexeme.type == "NUMBER" and not _is(after, "UNIT") and not _is(after, "TAIL")
        if (
            bare
            and buffers
            and not _is(before, "PROPERTY")
            and (after is None or after.type in ("MARK", "SEP", "NOUN"))
        ):
            out.append(Lexeme("UNIT", "millivolt", (lexeme.span[1],) * 2, "", lexeme.token, dimension="potential"))
    return out


def _owned(found: list[Lexeme]) -> list[Lexeme]:
    """As many millivolts as buffers: the first is of the first, the second of the second, whichever is said first."""
    volts = [at for at, one in enumerate(found) if one.type == "UNIT" and one.dimension == "potential"]
    nouns = [at for at, one in enumerate(found) if _is(one, "NOUN", *BUFFER_TERMS)]
    if not nouns or len(volts) != len(nouns):
        return found
    owners = {at: found[noun] for at, noun in zip(volts, nouns, strict=True)}
    out: list[Lexeme] = []
    for at, one in enumerate(found):
        if at in nouns:
            while out and out[-1].type in ("DET", "MARK", "LINK", "OF"):
                out.pop()
            continue
        out.append(one)
        if at in owners:
            out.append(owners[at])
    return out


_PUT = ("deed put", "deed added", "deed packed")


def _put_in(found: list[Lexeme]) -> list[Lexeme]:
    """ "Put another 15 g salt in", "2 g of gum in": an "in" that nothing follows tells that it went in."""
    if any(one.type == "ASKING" for one in found):
        return found
    out = list(found)
    for index, lexeme in enumerate(found):
        after = found[index + 1] if index + 1 < len(found) else None
        ends = after is None or after.type in ("SEP", "AND", "WHEN", "LINK") or after.text.lower() in ("with", "too")
        put = any(one.term in _PUT or one.term == "more" or one.type == "SUBSTANCE" for one in found[:index])
        counted = any(one.type == "NUMBER" for one in found)
        if lexeme.type == "MARK" and lexeme.text.lower() in ("in", "inside") and ends and put and counted:
            out[index] = replace(lexeme, type="FILLER", term="deed added")
    return out


_THOUSANDS = {"k": 1e3, "grand": 1e3, "thousand": 1e3, "million": 1e6, "m": 1e6, "mil": 1e6}


def _thousands(found: list[Lexeme]) -> list[Lexeme]:
    """ "30k SHU", "a million scoville": only heat is counted in such numbers here."""
    out: list[Lexeme] = []
    hot = any(one.dimension == "pungency" for one in found)
    for index, lexeme in enumerate(found):
        after = found[index + 1] if index + 1 < len(found) else None
        bare = after is None or after.dimension != "pungency"
        if hot and bare and lexeme.text.lower().strip() == "k" and out and out[-1].type == "NUMBER":
            out[-1] = replace(out[-1], value=out[-1].value * 1e3, rivals=())  # "12k SHU, want it at 4k"
            out.append(replace(lexeme, type="UNIT", term="pungency", dimension="pungency"))
            continue
        times = _THOUSANDS.get(lexeme.text.lower().strip()) if lexeme.type != "NUMBER" else None
        if times and out and after is not None and after.dimension == "pungency":
            before = out[-1]
            if before.type == "NUMBER":
                out[-1] = replace(before, value=before.value * times, rivals=(), text=f"{before.text}{lexeme.text}")
                out[-1] = replace(out[-1], span=(before.span[0], lexeme.span[1]))
                continue
            if before.type == "DET":
                out[-1] = replace(before, type="NUMBER", value=times, span=(before.span[0], lexeme.span[1]))
                continue
        out.append(lexeme)
    return out


def _halved(found: list[Lexeme]) -> list[Lexeme]:
    """ "Halve the heat of 3 kg": a half of the heat is to be left, and nothing else is halved."""
    out: list[Lexeme] = []
    halves = next((one for one in found if one.type == "TIMES" and one.text.lower().startswith("halv")), None)
    for lexeme in found:
        if halves is not None and lexeme is halves and any(one.term == "pungency" for one in found):
            out.append(replace(lexeme, type="TOPIC", term="milder"))
        elif halves is not None and lexeme.type == "PROPERTY" and lexeme.term == "pungency":
            out += [
                replace(lexeme, type="MARK", term="to"),
                replace(halves, type="NUMBER", term="", value=50.0),
                replace(lexeme, type="UNIT", term="percent", dimension="fraction", text=""),
            ]
        else:
            out.append(lexeme)
    return out


_PASSES: tuple[Callable[[list[Lexeme]], list[Lexeme]], ...] = (
    _parts,
    _thousands,
    _halved,
    _normality,
    _swapped,
    _own_vinegar,
    _buffers,
    _meters,
    _put_in,
    _beside_units,
    _implied,
    _many_times,
    _things,
    _of_what,
    _described,
    _of_all,
    _with_brine,
    _salt_of,
    _steps_first,
    _neighbours,
    _taken_back,
    _rates,
    _spoken_rest,
    _join,
)
"""What the words beside a word decide about it, in this order: each sees what those before it made."""
