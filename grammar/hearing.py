"""What dictation and hasty typing do to words, put right before the grammar reads them.

Three things, each reported as a repair: a number that sounds like another word ("for kilos",
"too percent"), a word torn apart ("pep pers"), and words run together ("3kgpeppers"). No
letter is changed in the last two, so they are certain; a sound-alike is certain only where
nothing but a number can stand, and else must be confirmed.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from grammar.compound import COMPOUND
from grammar.numerals import NUMBER_WORDS, ORDINALS, small
from grammar.tokens import Token, word_at
from grammar.types import Repair
from grammar.vocabulary import Entry, vocabulary

SOUNDS = {
    "for": "four", "fore": "four", "to": "two", "too": "two", "won": "one", "ate": "eight", "tree": "three",
    "sicks": "six", "fife": "five", "forth": "fourth",
}  # fmt: skip
"""Words that a dictating phone writes for a number; what they are taken for depends on what follows."""

_ALWAYS = frozenset({"too", "won", "tree", "sicks", "fife", "fore"})
"""No one says these before a unit and means the word."""

_BEFORE_EIGHT = frozenset(
    {
        "a", "an", "the", "of", "for", "with", "at", "about", "and", "is", "need", "use", "add", "take", "want",
        "that's", "that", "s", "'s", "plus", "to", "have", "got", "in", "put", "weigh",
    }
)  # fmt: skip
"""Before "ate" and a unit: nobody has eaten it. After anyone else it is a matter for a doctor."""

_BEFORE_TWO = frozenset(
    {"for", "with", "and", "of", "is", "at", "over", "in", "about", "another", "add", "added", "plus"}
)
"""Before "to kilos": a preposition is not followed by another one, so it is "two"."""

_SHORT = frozenset({"kg", "g", "l", "ml", "lb", "lbs", "oz", "qt", "gal", "pt", "cm", "mm", "cl", "dl"})
_PIECES = frozenset({"unit", "produce", "noun", "vessel", "salt", "substance", "property", "state"})


def mend(tokens: Sequence[Token]) -> tuple[list[Token], list[Repair]]:
    """The tokens put right, and what was done. Spans still point into the text as typed."""
    repairs: list[Repair] = []
    whole = _torn(tokens, repairs)
    parted: list[Token] = []
    for index, token in enumerate(whole):
        parted += _joined(token, whole[index - 1] if index else None, repairs)
    return _sounds(parted, repairs), repairs


def known(word: str) -> bool:
    """Whether a word of its own means something (or is known to mean nothing)."""
    entries = vocabulary()
    return entries.find((word,)) is not None or word in NUMBER_WORDS or word in ORDINALS or entries.everyday(word)


def _torn(tokens: Sequence[Token], repairs: list[Repair]) -> list[Token]:
    """ "pep pers", "salo meter": two words, one of them unknown, that are one known word together."""
    out: list[Token] = []
    at = 0
    while at < len(tokens):
        token = tokens[at]
        after = tokens[at + 1] if at + 1 < len(tokens) else None
        if after is not None and token.kind == after.kind == "word" and _one(token.norm, after.norm):
            text = f"{token.text} {after.text}"
            norm = token.norm + after.norm
            span = (token.span[0], after.span[1])
            repairs.append(Repair(text, norm, span))
            out.append(Token("word", norm, span, text))
            at += 2
            continue
        out.append(token)
        at += 1
    return out


def _one(left: str, right: str) -> bool:
    """Whether two words are halves of one: a blank slipped in."""
    if len(left) < 2 or len(right) < 2 or not (left + right).isalpha() or (known(left) and known(right)):
        return False
    if vocabulary().find((left, right)) is not None:
        return False  # "per cent" is a word as it stands
    entry = vocabulary().find((left + right,))
    return left + right in NUMBER_WORDS or (entry is not None and entry.kind not in ("filler", "det"))


def _joined(token: Token, before: Token | None, repairs: list[Repair]) -> list[Token]:
    """ "kgpeppers" after a digit, "tenlitre", "half-gallon": one word that is several known ones."""
    if token.kind != "word" or known(token.norm):
        return [token]
    glued = before is not None and before.kind == "number" and before.span[1] == token.span[0]
    hyphen = "-" in token.norm
    found = _hyphened(token.norm) if hyphen else _segments(token.norm, glued)
    if found is None:
        return [token]
    out: list[Token] = []
    at = token.span[0]
    for piece in found:
        out.append(Token("word", piece, (at, at + len(piece)), token.text[at - token.span[0] :][: len(piece)]))
        at += len(piece) + hyphen
    if not hyphen:
        repairs.append(Repair(token.text, " ".join(found), token.span))
    return out


def _hyphened(word: str) -> list[str] | None:
    """ "half-gallon", "ten-litre-crock": a number, a unit or a thing on each side of the hyphen."""
    pieces = word.split("-")
    return pieces if all(_piece(piece) for piece in pieces) and any(_counts(piece) for piece in pieces) else None


def _segments(word: str, glued: bool) -> list[str] | None:
    """The one way to cut a word into two or three known ones, or None."""
    ways = [[word[:cut], word[cut:]] for cut in range(1, len(word))]
    ways += [[word[:a], word[a:b], word[b:]] for a in range(2, len(word) - 3) for b in range(a + 2, len(word) - 1)]
    found = [way for way in ways if _way(way, glued)]
    return found[0] if len(found) == 1 else None


def _way(pieces: list[str], glued: bool) -> bool:
    first, *rest = pieces
    if glued and first in _SHORT and len(rest) == 1:
        return len(rest[0]) > 2 and _piece(rest[0])
    if pieces in (["half", "a"], ["and", "a"]):
        return True
    short_unit = len(first) <= 3 and _is_unit(vocabulary().find((first,)))
    if not glued and (len("".join(pieces)) < 6 or short_unit):
        return False  # "shuold" is no "shu old"
    return all(len(piece) > 2 and _piece(piece) for piece in pieces) or (
        pieces[-1] in ("c", "f") and pieces[0] in ("degrees", "degree", "deg") and len(pieces) == 2
    )


def _piece(word: str) -> bool:
    entry = vocabulary().find((word,))
    return word in NUMBER_WORDS or (entry is not None and entry.kind in _PIECES)


def _counts(word: str) -> bool:
    return word in NUMBER_WORDS or _is_unit(vocabulary().find((word,)))


def _is_unit(entry: Entry | None) -> bool:
    return entry is not None and entry.kind == "unit"


def _sounds(tokens: list[Token], repairs: list[Repair]) -> list[Token]:
    """Number words written for what sounds like them."""
    out = list(tokens)
    for at, token in enumerate(tokens):
        if token.norm not in SOUNDS or token.kind != "word":
            continue
        sure = _sounds_like(out, at)
        if sure is None:
            continue
        out[at] = replace(token, norm=SOUNDS[token.norm])
        repairs.append(Repair(token.text, SOUNDS[token.norm], token.span, sure))
    return out


def _sounds_like(tokens: Sequence[Token], at: int) -> bool | None:
    """True if the word must be a number here, False if it may be one, None if it is the word itself."""
    word, before, after = word_at(tokens, at), word_at(tokens, at - 1), word_at(tokens, at + 1)
    if word == "forth":
        return True if after == "of" or before in ("the", "february", "march") else None
    if before == "point" and small(SOUNDS[word]) is not None and small(word_at(tokens, at - 2)) is not None:
        return True  # "three point too kilos"
    decimal = word_at(tokens, at + 2)
    if after == "point" and (small(decimal) is not None or decimal in SOUNDS):
        return word in _ALWAYS or word == "ate"  # "for point five" may be a half: asked
    if after in ("to", "and", "or") and word in _ALWAYS and _counted(tokens, at + 2):
        return True  # "between too and for percent"
    ten = small(before) is not None and small(before) in range(20, 100, 10)
    if after in ("hundred", "thousand"):
        if word == "ate":
            return True if at == 0 or before in _BEFORE_EIGHT else None
        return word in _ALWAYS  # "for hundred grams" may be a hundred or four hundred: asked
    start = at + 1
    if after == "and" and word_at(tokens, at + 2) in ("a", "three") and word in _ALWAYS | {"to", "for"}:
        start = at + 4  # "too and a half percent"
    unit, end = _unit(tokens, start)
    if unit is None:
        return None
    said = tokens[end - 1].norm
    if len(said) == 1 and said != "%":
        return None
    of = vocabulary().dimension[unit.term]
    many = said.endswith("s") or of == "fraction"
    if word in _ALWAYS or ten or start > at + 1:
        return True
    if word == "ate":
        return True if at == 0 or before in _BEFORE_EIGHT else None
    larger = vocabulary().find((before,))
    if larger is not None and larger.kind == "unit":  # "for pounds for ounces" is one amount
        return True if (larger.term, unit.term) in COMPOUND else None
    if word == "to" and before in ("that", "it") and of == "fraction":
        return False  # "make it to percent"
    if word == "to" and before in ("convert", "change", "turn", "switch", "go", "that", "it") and of != "date":
        return None
    if word == "for" and of in ("time", "months"):
        return False  # "for months" is a length of time as often as not
    if word == "for":
        follows = word_at(tokens, end)
        thing = vocabulary().find((follows,))
        named = follows == "of" or (thing is not None and thing.kind in ("vessel", "produce"))
        return True if many else (False if named else None)
    if not many:
        return None
    if word_at(tokens, end) == "of" or of == "date" or before in _BEFORE_TWO:
        return True
    return False if of in ("fraction", "time") and at > 0 else None


def _counted(tokens: Sequence[Token], at: int) -> bool:
    """Whether a number, or what sounds like one, stands here before a unit."""
    word = word_at(tokens, at)
    number = word in SOUNDS or small(word) is not None or word.isdecimal()
    return number and _unit(tokens, at + 1)[0] is not None


def _unit(tokens: Sequence[Token], at: int) -> tuple[Entry | None, int]:
    """The unit that starts at a place, in its longest form, and where it ends."""
    words = vocabulary()
    for length in (4, 3, 2, 1):
        entry = words.find(tuple(token.norm for token in tokens[at : at + length]))
        if _is_unit(entry) and at + length <= len(tokens):
            return entry, at + length
    return None, at
