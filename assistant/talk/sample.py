"""How a pH was taken, as far as the line says: the instrument and its error, the sample, what went in after it."""

from __future__ import annotations

import re
from collections.abc import Iterable

from assistant.rules.salt import LOW_ACID
from assistant.rules.verdict import LINES, Sample
from assistant.talk.account import reading as read_off
from assistant.talk.account.which import phrase
from assistant.talk.place import dimension
from assistant.trade.produce import NAMES
from grammar import measures
from grammar.types import Amount, Reading

_BUFFERS = (4.0, 4.005, 4.006, 4.01, 6.86, 7.0, 7.01, 9.18, 10.0, 10.01)
"""pH of the buffers that a meter is calibrated in."""

_LINE = phrase(r"\b(?:why|limit|limit of|limit is|below|under|above|over|less than|reach|get to|aim|than)\W*$")
"""Words before 4.6, 4.2 or 4.0 that make it a line, and no reading."""

_WARM = phrase(
    r"\b(?:still|while|when|was|it's|its|read|straight|piping|too|measured|taken|sample is|sample was)\b"
    r"(?:\W+\w+){0,3}?\W+(?:hot|warm|boiling|simmering)\b(?!\W+(?:sauce|pepper|peppers|chill?i\w*|mash))|"
    r"\b(?:hot|warm|boiling) (?:sample|reading)\b|"
    r"\b(?:straight |right )?(?:off|from|out of) the (?:stove|heat|hob|fridge|boil)\b|\b(?:fridge|ice)\W?cold\b"
)
"""A sample that was neither cooled nor warmed to the room."""

_EARLY = phrase(
    r"\b(?:straight|right|just|directly|immediately|minutes?|an? hour|hours?) (?:away )?after (?:i )?(?:\w+ ){0,2}?"
    r"(?:blend\w*|blitz\w*|mix\w*|add\w*|vinegar|garlic|it went|stirr\w*|put\w*|cook\w*|boil\w*)|"
    r"\bjust (?:blended|blitzed|mixed|added|stirred|puréed|pureed)\b|\bfreshly (?:blended|blitzed|mixed)\b"
)
"""A reading before the pieces and the liquid have come to one pH."""

_RESTED = phrase(r"\b(?:a|the next) days? (?:after|later)\b|\b(?:next day|overnight|rested|equilibrat\w*|day after)\b")
_BLENDED = phrase(r"\b(?:blended|blitzed|blendered|pureed|puréed|homogeni[sz]ed|well mixed)\b")

_AFTER = phrase(
    r"\b(?:then|since|but|and|after that|afterwards|before|later)\b[^.;?!]*?\b(?:add|added|adding|put|stirred|"
    r"blended|mixed|tipped|threw|chucked|poured|popped|bunged|tossed|diluted|thinned|topped|went|goes|going)\b"
)
"""Words after a reading that tell of something that went in later."""
_EARLIER = phrase(r"\b(yesterday|ago|last (?:night|week)|the day before|earlier|before that)\b")
"""Words of an addition that came before the reading after all."""
_MOVED = phrase(
    r"\b(?:put|stirred|blended|mixed|tipped|poured|went|goes) (?:(?:it|them|everything)(?: (?:well|up|again))?\W*$|"
    r"(?:it |them |everything |back )?(?:in|into|back in|back into|on) (?:the |a |my |some )?"
    r"(?:fridge|freezer|cellar|shelf|jars?|crock|bottles?|bucket|cupboard)\W*$)"
)
"""What moves the sauce and adds nothing."""
_HARMLESS = frozenset({"vinegar", "citric", "lactic", "acetic", "salt", "fine", "flake", "gum", "iodised"})
"""What may go in after a reading without raising the pH."""
_OTHERS = phrase(
    r"\b(bananas?|puree|purée|peppers?|chill?ies|water|stock|juice|flour|starch|cream|milk|soy|miso|"
    r"(?:another|other) \w+)\b"
)


def numbers(reading: Reading, found: Iterable[Amount]) -> tuple[list[Amount], list[Amount]]:
    """The bare numbers that are pH readings, and those that are not: the instrument's error, its buffers."""
    spans = [match.span() for match in read_off.CALIBRATION.finditer(reading.text)]
    off = read_off.error_said(reading.text)
    mine: list[Amount] = []
    aside: list[Amount] = []
    rows = list(found)
    for one in rows:
        error = off is not None and off[1] <= one.span[0] < off[2]
        buffer = one.value in _BUFFERS and any(a <= one.span[0] < b for a, b in spans) and len(rows) > 1
        line = one.value in LINES and _LINE.search(reading.text[: one.span[0]]) is not None
        (aside if error or buffer or line or counted(reading, one) else mine).append(one)
    return (mine, aside) if mine else (rows, [])


_COUNTED = phrase(r"\b(?:day|week|month|batch|step|jar|number|no\.?)\W*$")
"""Words before a bare number that count something: "in week 2" is no pH."""


def counted(reading: Reading, one: Amount) -> bool:
    """Whether a bare number counts days or weeks."""
    return not one.unit and _COUNTED.search(reading.text[: one.span[0]]) is not None


_SINCE = phrase(r"\W*(?:after|later|since)\b")


def waits(reading: Reading) -> list[Amount]:
    """The lengths of time between the last thing that went in and the reading: "24 hours after ..."."""
    times = [one for one in reading.amounts if dimension(one.unit) == "time"]
    return [one for one in times if one.mark == "after" or _SINCE.match(reading.text, one.span[1])]


LEAST_AGE = 2.0
"""Days from which a length of time beside a reading is the batch's age, and no wait for the sample."""
_NO_AGE = phrase(r"\b(?:for|every|each|another|within|last|next|past|in about)(?: the| about| some)?\W*$")


def ages(reading: Reading) -> list[Amount]:
    """The lengths of time beside a reading that tell how old the batch was: "after two weeks", "two weeks in"."""
    times = [one for one in reading.amounts if dimension(one.unit) == "time" and "_ago" not in one.unit]
    return [
        one
        for one in times
        if measures.canonical(one.value, one.unit, "time") >= LEAST_AGE - 1e-9
        and not _SINCE.match(reading.text, one.span[1])
        and not _NO_AGE.search(reading.text[: one.span[0]])
        and not re.match(r"\W*(?:of|at|in the)\b", reading.text[one.span[1] :])
    ]


BACK_THEN = phrase(r"\b(?:was|were|had|showed|came to|measured)\b")
"""Words of a reading that is not today's."""


def sample(reading: Reading, worst: Amount) -> Sample:
    """What the line says of the reading that counts."""
    text = reading.text
    how = read_off.method(reading)
    off = read_off.error_said(text)
    warmth = None
    for one in reading.amounts:
        if dimension(one.unit) == "temperature":
            warmth = measures.canonical(one.value, _scale(one), "temperature")
    waited = [measures.canonical(one.value, one.unit, "time") for one in waits(reading)]
    rested = min(waited) >= 1 - 1e-9 if waited else _RESTED.search(text) is not None
    return Sample(
        ph=worst.value,
        method=how,
        calibrated=read_off.calibrated(reading) if how != "strip" else "",
        said=off[0] if off is not None else 0.0,
        warmth=warmth,
        warm=_WARM.search(text) is not None,
        early=not rested and (bool(waited) or _EARLY.search(text) is not None),
        rested=rested,
        blended=_BLENDED.search(text) is not None,
        added=(added := added_after(reading, worst)),
        unordered="" if added or rested else unordered(reading, worst),
    )


_PUT_IN = phrase(
    r"\b(?:add|added|put|stirred|mixed|tipped|threw|thrown|chucked|poured|popped|bunged|tossed|dropped|went)\b"
    r"(?!\W+(?:it|them) (?:up|together|well)\b)"
)
_SAID_AFTER = phrase(r"\b(?:after|since)\W+(?:(?:i|we|the|that) )?(?:[\w']+ )?$")
_LONG_AGO = phrase(
    r"\b(?:yesterday|ago|last \w+|the day before|on (?:mon|tues|wednes|thurs|fri|satur|sun)day|"
    r"(?:days?|weeks?) (?:back|before|earlier))\b"
)
_NOW = phrase(r"\b(?:now|today|this (?:morning|afternoon|evening)|just now|since then|tonight)\b")


def unordered(reading: Reading, worst: Amount) -> str:
    """What the line says went in that can raise the pH, where it does not say that the reading came later; else ""."""
    verb = _PUT_IN.search(reading.text)
    if verb is None or _SAID_AFTER.search(reading.text[: verb.start()]):
        return ""
    text = reading.text
    apart = text[worst.span[1] :] if verb.start() >= worst.span[1] else text[: worst.span[0]]
    own = text[: verb.start()] if verb.start() >= worst.span[1] else text[verb.end() :]
    low = [word for word in reading.all_words if word.kind == "produce" or word.term in LOW_ACID]
    low = [word for word in low if word.span[0] > verb.end() or verb[0].lower() == "went"]
    if not low or any(word.span[0] < verb.start() and verb.start() < worst.span[0] < word.span[0] for word in low):
        return ""
    if _LONG_AGO.search(apart) and (_NOW.search(own) or not BACK_THEN.search(own)):
        return ""
    return NAMES.get(low[0].term, low[0].text)


def _scale(one: Amount) -> str:
    """ "At 25 degrees" is the scale by which a sample has a room's warmth, if one does."""
    if one.unit != "degree":
        return one.unit
    return "degree_Celsius" if one.value <= 50 else "degree_Fahrenheit"


def added_after(reading: Reading, worst: Amount) -> str:
    """What the line says went in after the reading that may raise the pH; "" if nothing did."""
    start = worst.span[1]
    match = _AFTER.search(reading.text, start)
    if match is None or re.search(r"\bafter (?:i |we )?$", reading.text[start : match.start()], re.IGNORECASE):
        return ""
    if re.search(r"\bafter\b", match[0].split()[0], re.IGNORECASE) or _EARLIER.search(reading.text, match.start()):
        return ""
    behind = [word for word in reading.all_words if word.span[0] >= match.start()]
    low = [word for word in behind if word.kind == "produce"]
    low += [word for word in behind if word.term in LOW_ACID]
    if low:
        return NAMES.get(low[0].term, low[0].text)
    if (other := _OTHERS.search(reading.text, match.start())) is not None:
        return other[1].lower()
    if any(word.term in _HARMLESS for word in behind) or _MOVED.search(reading.text, match.start()):
        return ""
    return "something"
