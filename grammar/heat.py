"""Lines about heat that say several temperatures: which of them is which.

A word beside a temperature decides: "sauce at 85 C", "bottles at 60 C", "room 20", "after 5 minutes 78". What no word
tells keeps no noun, and the talk asks. A temperature without its scale takes that of the others in the line; where
none has one, 60 to 100 can only be hot in C and 140 to 212 only in F.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from grammar.later import regex
from grammar.measures import convert
from grammar.types import Amount, Reading, Word

TOPICS = ("equivalence", "filling-hot")
SCALES = ("degree_Celsius", "degree_Fahrenheit")
_HOT = 55.0
"""Degrees C from which a temperature is no ferment's and no room's."""


def _p(text: str) -> re.Pattern[str]:
    return regex(text, re.IGNORECASE)


_VESSEL = _p(r"\b(?:bottles?|jars?|glass|glasses)\b")
_FILLS = _p(r"\b(?:fill(?:s|ed|ing)?|pour(?:s|ed|ing)?|hot[- ]fill\w*|into|settl\w+|stays?|end\w* up|goes? in)\b")
_SETTLES = _p(
    r"\b(?:settl\w+|stay(?:s|ing)?|end(?:s|ing)? up|keep(?:s|ing)?|remain\w*|come(?:s)? (?:down )?to)\b[^,;]*$"
)
_ROOM_BEFORE = _p(r"\b(?:room|kitchen|air|ambient|outside)(?: temp(?:erature)?)?(?: (?:is|at|of|was|being))*\W*$")
_ROOM_AFTER = _p(r"^(?:room|kitchen|ambient)\b")
_BOTTLE_BEFORE = _p(r"\b(?:bottles?|jars?|glass|glasses|warmed to|heated to|pre-?warmed to|pre-?heated to)\b[^,;]*$")
_BOTTLE_AFTER = _p(r"^(?:\w+ )?(?:bottles?|jars?|glass|glasses)\b")
_SAUCE_BEFORE = _p(r"\b(?:sauce|fill(?:s|ed|ing)?|pour(?:s|ed|ing)?|hot|pot|mash)\b[^,;]*$")
_SAUCE_AFTER = _p(r"^(?:hot )?(?:sauce|mash|fill)\b")
_POURED_INTO = _p(r"\b(?:fill(?:s|ed|ing)?|pour(?:s|ed|ing)?)\b[^,;]*\b(?:at|with)\b\W*(?:sauce \w+)?\W*$")
_WORTH = _p(
    r"\b(?:worth|equivalent|equivalents|equals?|same as|as good as|amounts? to|counts? (?:as|for)|correspond\w*|"
    r"translat\w+|swap\w*|convert\w*)\b"
)
_Z = _p(r"\bz(?:ed)?(?:[- ]?value)?\b(?: (?:of|is|at|to|was|=))*\W*$")
_D_VALUE = _p(r"\bD(?:[- ]?values?)?\d*\b(?: (?:of|is|=))*\W*$")
_F_AT = regex(r"\b[Ff]\W?$")
_SAUCE_IS = _p(r"\b(?:sauce|pot|mash|fill)(?: temp(?:erature)?)?(?: (?:is|at|was))*\W*$")
_BOTTLE_IS = _p(r"\b(?:bottles?|jars?|glass)(?: temp(?:erature)?)?(?: (?:is|are|at|was|were))*\W*$")
_AT, _FOR, _INTO = _p(r"\W*(?:at|@|of)?\W*"), _p(r"\bfor\W*$"), _p(r"\binto\b")
_WEIGHS = _p(r"\b(?:bottles?|jars?|glass|they|each|empty)(?: each)? weigh(?:s|ing|ed)?\W*$")
_MASSES = ("gram", "kilogram", "ounce", "pound")
_ENDS = _p(r"\b(?:settl\w+|end\w* up)\b")
_LATER = _p(r"\W*(?:later|on|in)\b")
_OVER = _p(r"\b(?:over|above|at least|under)\W*$")
_WHAT = _p(r"\b(?:what|how long|how many|how much time|which)\b")
_ENOUGH = _p(r"\b(?:enough|kill\w*|safe\w*|pasteuri\w*|lethality|ok|okay|will it do|does it do|need\w*)\b")
_FROM_TO = _p(r"\b(?:from|heated|warmed|cooled|rose|fell|dropped|climbed|to)\W*$")


def _hot(one: Amount) -> bool:
    return one.unit in SCALES and convert(one.value, one.unit, SCALES[0]) >= _HOT


def _between(text: str, amounts: Sequence[Amount], index: int) -> tuple[str, str]:
    """The words before an amount back to the one before it, and those after it up to the next."""
    start = amounts[index - 1].span[1] if index else 0
    end = amounts[index + 1].span[0] if index + 1 < len(amounts) else len(text)
    squeeze = " ".join
    return squeeze(text[start : amounts[index].span[0]].split()), squeeze(text[amounts[index].span[1] : end].split())


def _bare(one: Amount) -> bool:
    """Whether it is a number without a unit that may be a temperature: no pH, no count of bottles."""
    counted = one.noun is not None and one.noun.kind in ("vessel", "unknown", "produce")
    return not one.unit and 14 < one.value < 250 and not counted and one.said("property") not in ("ph", "ph-strip")


def scaled(text: str, amounts: Sequence[Amount]) -> list[Amount]:
    """The amounts with the scale of the line's other temperatures on those that have none."""
    counts = [one for index, one in enumerate(amounts) if _BOTTLE_AFTER.match(_between(text, amounts, index)[1])]
    loose = [one for one in amounts if (_bare(one) and one not in counts) or (one.unit in SCALES and one.rivals)]
    loose += [one for one in amounts if not one.unit and one not in loose and _is_z(text, amounts, one)]
    said = {one.unit for one in amounts if one.unit in SCALES and not one.rivals}
    if not said:
        values = [one.value for one in loose]
        said = {"degree_Celsius"} if any(60 <= one <= 100 for one in values) else said
        said |= {"degree_Fahrenheit"} if any(130 <= one <= 212 for one in values) else set()
    if len(said) != 1:
        return list(amounts)
    scale = said.pop()
    return [replace(one, unit=scale, rivals=()) if one in loose else one for one in amounts]


_HELD_AT = _p(
    r"\b(?:h[eo]ld(?:ing)?|heat(?:ed|ing)?|kept|keep|pasteuri\w*|cook(?:ed)?|brought|simmer\w*)\b[^,.;]*"
    r"\b(?:at|to)\W*$"
)


def held_at(text: str, amounts: Sequence[Amount]) -> list[Amount]:
    """The amounts with a scale on the bare figure at which something is held hot: "held it at 74 for 5 minutes"."""
    timed = any(one.unit in ("minute", "hour", "second") for one in amounts)
    if not (timed or re.search(r"\bhow long\b", text, re.IGNORECASE)) or any(one.unit in SCALES for one in amounts):
        return list(amounts)
    out = list(amounts)
    for index, one in enumerate(out):
        if _bare(one) and not one.rivals and _HELD_AT.search(_between(text, amounts, index)[0]):
            scale = SCALES[0] if 60 <= one.value <= 100 else SCALES[1] if 140 <= one.value <= 212 else ""
            out[index] = replace(one, unit=scale) if scale else one
    return out


def subject(text: str, amounts: Sequence[Amount]) -> str:
    """ "equivalence" or "filling-hot" for a line about several temperatures, else ""."""
    found = scaled(text, amounts)
    heats = [one for one in found if one.unit in SCALES]
    hot = [one for one in heats if _hot(one)]
    plain = " ".join(text.split())
    if not hot or re.search(r"\bbottled\b", plain, re.IGNORECASE):
        return ""  # "bottled 24 at 85 C" is told of a batch
    short = [one for one in found if one.unit in ("minute", "hour", "second")]
    zed = any(_is_z(text, found, one) for one in heats)
    held = [one for one in heats if not _is_z(text, found, one) and convert(one.value, one.unit, SCALES[0]) > 40]
    if any(_D_VALUE.search(_between(text, found, found.index(one))[0]) for one in short):
        return ""  # a D is one log alone, and no hold
    compared = len(short) == 1 and (len(held) == 2 or (zed and len(held) == 1)) and not _VESSEL.search(plain)
    if compared and (zed or _WORTH.search(plain) or _WHAT.search(plain)) and not _ramps(text, found):
        return "equivalence"
    weighed = [one for one in found if _weighs(one)]
    read_later = any(one.mark == "after" or "later" in _between(text, found, found.index(one))[1] for one in short)
    vessel = _VESSEL.search(plain) is not None
    if not _FILLS.search(plain) and not (vessel and len(heats) > 1 and re.search(r"\b(?:sauce|mash)\b", plain, re.I)):
        return ""
    if read_later and len(heats) > 1:
        return "filling-hot"
    ends = _INTO.search(plain) or _ENDS.search(plain)
    return "filling-hot" if vessel and (weighed or len(heats) > 1 or ends) else ""


def _is_z(text: str, amounts: Sequence[Amount], one: Amount) -> bool:
    return _Z.search(_between(text, amounts, list(amounts).index(one))[0]) is not None


def _weighs(one: Amount) -> bool:
    return one.unit.endswith(("gram", "ounce", "pound", "liter", "cup", "pint")) and one.noun is not None


def _ramps(text: str, amounts: Sequence[Amount]) -> bool:
    """Whether it tells of a warming or cooling: "from 60 to 80 C in 10 minutes"."""
    return any(
        one.unit in SCALES and _FROM_TO.search(_between(text, amounts, index)[0]) for index, one in enumerate(amounts)
    )


def told(reading: Reading, about: str) -> Reading:
    """The line with its topic, and with a noun on each temperature whose words tell which it is."""
    amounts = scaled(reading.text, reading.amounts)
    named = _compared(reading.text, amounts) if about == "equivalence" else _filled(reading.text, amounts)
    keeps = [word for word in reading.words if word.kind not in ("topic", "beyond") and word.term != "pungency"]
    if about == "filling-hot" and _ENOUGH.search(reading.text):
        keeps.append(Word("topic", "holding", (0, 0), ""))  # then it is a question of what the pH needs
    unit = "" if reading.unit in SCALES else reading.unit
    words = (*keeps, Word("topic", about, (0, 0), ""))
    left = tuple(word for word in reading.left_over if word.text.lower() not in ("f", "z", "zed"))
    return replace(reading, act="ask", amounts=tuple(named), words=words, wanted=(), unit=unit, left_over=left)


def _noun(one: Amount, term: str) -> Amount:
    return replace(one, noun=Word("property", term, one.span, one.text), others=(), tied=True)


def _compared(text: str, amounts: Sequence[Amount]) -> list[Amount]:
    """Which temperature the minutes are at: the one right after them, or right before ("at 75 C for 10 minutes")."""
    out = list(amounts)
    times = [index for index, one in enumerate(out) if one.unit in ("minute", "hour", "second")]
    heats = []
    for index, one in enumerate(out):
        if one.unit in SCALES:
            if _Z.search(_between(text, amounts, index)[0]):
                out[index] = replace(_noun(one, "z-value"), unit=f"delta_{one.unit}")
            else:
                heats.append(index)
    if len(times) != 1 or len(heats) != 2:
        return out
    at = times[0]
    own = [index for index in heats if index == at + 1 and _AT.fullmatch(_between(text, out, at)[1])]
    own = own or [index for index in heats if _F_AT.search(_between(text, out, index)[0])]  # "F70 = 2 min"
    own = own or [index for index in heats if index == at - 1 and _FOR.search(_between(text, out, at)[0])]
    if own:
        out[own[0]] = _noun(out[own[0]], "temperature")
        rest = next(index for index in heats if index != own[0])
        out[rest] = _noun(out[rest], "other-temperature")
    return out


def _filled(text: str, amounts: Sequence[Amount]) -> list[Amount]:
    """Which temperature is the sauce's, the bottles', the room's, a later reading, or where it is to settle."""
    out = list(amounts)
    for index, one in enumerate(amounts):
        before, after = _between(text, amounts, index)
        if one.said("property") in ("filled", "capacity", "volume"):
            out[index] = replace(one, noun=None, others=())  # "fill 150 ml" is of the sauce, whatever the verb
        if _WEIGHS.search(before) or (one.noun is None and one.unit in _MASSES and _BOTTLE_IS.search(before)):
            unit = "ounce" if one.unit == "fluid_ounce" and "fl" not in one.text.lower() else one.unit
            out[index] = replace(one, unit=unit, noun=Word("vessel", "bottle", one.span, one.text), rivals=())
        if one.unit in ("minute", "hour", "second") and (one.mark == "after" or _LATER.match(after)):
            out[index] = _noun(one, "later-time")
        if one.unit in SCALES:
            term = _which(before, after, amounts, index, text)
            out[index] = _noun(one, term) if term else replace(one, noun=None, others=())
    hots = [index for index, one in enumerate(out) if one.noun is not None and one.noun.term == "fill-heat"]
    for index in hots[:-1]:  # "fill the jars at 60 C with sauce at 85 C"
        if _VESSEL.search(_between(text, amounts, index)[0]):
            out[index] = _noun(out[index], "bottle-heat")
    loose = [index for index, one in enumerate(out) if one.unit in SCALES and one.noun is None]
    terms = {one.noun.term for one in out if one.noun is not None}
    if len(loose) == 1:
        index = loose[0]
        if "fill-heat" not in terms and _hot(out[index]):
            out[index] = _noun(out[index], "fill-heat")
        elif "fill-heat" in terms and not terms & {"bottle-heat", "settled-heat"} and not _hot(out[index]):
            out[index] = _noun(out[index], "bottle-heat")
    return out


def _which(before: str, after: str, amounts: Sequence[Amount], index: int, text: str) -> str:
    """The term for one temperature, "" where the words around it do not tell."""
    last = amounts[index - 1] if index else None
    timed = last is not None and last.unit in ("minute", "hour", "second")
    if _ROOM_BEFORE.search(before) or _ROOM_AFTER.search(after):
        return "room-heat"
    if timed and last is not None and (last.mark == "after" or _LATER.match(before)):
        return "later-heat"
    if re.match(r"after\b", after, re.IGNORECASE) and _timed_after(amounts, index, text):
        return "later-heat"
    if _SETTLES.search(before) or (_OVER.search(before) and _FILLS.search(text)):
        return "settled-heat"
    if _SAUCE_AFTER.match(after) or _POURED_INTO.search(before) or _SAUCE_IS.search(before):
        return "fill-heat"
    if _BOTTLE_IS.search(before):
        return "bottle-heat"
    if _BOTTLE_AFTER.match(after):
        return "bottle-heat"
    bottle, sauce = _BOTTLE_BEFORE.search(before), _SAUCE_BEFORE.search(before)
    if bottle and sauce:
        return "bottle-heat" if bottle.start() > sauce.start() else "fill-heat"
    return "bottle-heat" if bottle else "fill-heat" if sauce else ""


def _timed_after(amounts: Sequence[Amount], index: int, text: str) -> bool:
    """Whether it is "78 after 5 minutes", and not "85 after 5 minutes 78"."""
    later = amounts[index + 1 :]
    if not later or later[0].unit not in ("minute", "hour"):
        return False
    return len(later) < 2 or later[1].unit not in SCALES or bool(text[later[0].span[1] : later[1].span[0]].strip())


def beside(reading: Reading, scale: str, *, bare: bool) -> Reading:
    """One temperature of a filled bottle, by its words: "the room is 10 C", "what if the bottles are at 60".

    Only for a line in the middle of such a question or right after it. Where nothing is to be told of it, it comes back
    as it is.

    Args:
        reading: the line, with one amount.
        scale: the scale of the temperatures that were said before, "" if there is not one alone.
        bare: a number with no unit and no word is a temperature.
    """
    one = reading.amounts[0]
    loose = _bare(one) or (bare and not one.unit and one.noun is None)
    before, after = _between(reading.text, reading.amounts, 0)
    if _Z.search(before) and (one.unit in SCALES or (scale and not one.unit)):
        words = tuple(word for word in reading.words if word.term != "z-value")
        left = tuple(word for word in reading.left_over if word.text.lower() not in ("z", "zed"))
        one = replace(
            _noun(one, "z-value"), unit=f"delta_{scale if not one.unit or one.rivals else one.unit}", rivals=()
        )
        return replace(reading, amounts=(one,), words=words, left_over=left)
    if (one.unit not in SCALES and not loose) or one.said("property") not in ("", "temperature", "filled"):
        return reading
    term = _which(before, after, (one,), 0, reading.text)
    if loose and not (scale and (term or bare)):
        return reading
    if (loose or one.rivals) and scale:
        one = replace(one, unit=scale, rivals=(), noun=None, others=())
    if not term:
        return reading if one is reading.amounts[0] else replace(reading, amounts=(one,))
    words = tuple(word for word in reading.words if word.kind not in ("vessel", "topic", "noun"))
    return replace(reading, amounts=(_noun(one, term),), words=words)
