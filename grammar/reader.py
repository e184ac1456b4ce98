"""``read``: one line of talk to a ``Reading``, or a ``Misread`` that says what was wrong.

The line becomes tokens, tokens become terminals (lexemes.py), the terminals go one by one
through the LALR parser of kitchen.lark. Where an unknown word stands, the parser's own
state says which kinds of word could stand there, and the spelling is tried against those.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any

from lark import Lark, Token, Tree
from lark.exceptions import UnexpectedToken
from lark.lexer import Lexer

from grammar import files, heat
from grammar.dates import MONTHS
from grammar.hearing import known, mend
from grammar.later import regex
from grammar.lexemes import BUFFER_TERMS, Lexeme, lexemes
from grammar.meant import meant
from grammar.numerals import NUMBER_WORDS
from grammar.spelling import near
from grammar.tokens import Token as Token_
from grammar.tokens import tokens
from grammar.told import free, told, whens
from grammar.types import Amount, Course, Misread, Reading, Repair, Word
from grammar.vocabulary import COMMANDS, UNREPAIRED, vocabulary

LONGEST = 1000
"""Characters in one line; a spoken question has under two hundred."""

_PRONOUNS = ("that", "this", "those", "these")
_BULK = ("gram", "milliliter")
_NOUNS = ("noun", "produce", "vessel", "salt", "substance", "property", "basis")


_REPAIRABLE = frozenset(
    {"produce", "noun", "vessel", "topic", "unit", "salt", "property", "basis", "asking", "substance", "state"}
)
"""Kinds of word that carry meaning, for a misspelt word anywhere."""


class _NoLexer(Lexer):
    """The terminals are fed by hand; lark must not lex."""

    def __init__(self, _conf: Any) -> None:
        pass

    def lex(self, lexer_state: Any, parser_state: Any) -> Any:
        raise NotImplementedError


@lru_cache(maxsize=1)
def parser(tables: str = "") -> Lark:
    """The LALR parser of kitchen.lark, built once.

    ``tables`` names a file where lark may keep the parse tables; it checks itself that they
    are of this grammar and version. Building them takes four times as long as loading.
    """
    text = files.text("grammar", "kitchen.lark")
    return Lark(text, parser="lalr", lexer=_NoLexer, cache=tables or False)


_tables = ""


def keep_tables(file: str) -> None:
    """Names the file for the parse tables; call it before the first line is read."""
    global _tables  # noqa: PLW0603 - a setting of the process, handed in by the console
    _tables = file


@dataclass(frozen=True)
class _Repaired:
    token: int
    repair: Repair


def read(text: str, expecting: Iterable[str] = ()) -> Reading | Misread:
    """What one line says.

    Args:
        text: the line as typed or dictated.
        expecting: names of what the talk is waiting for; they decide the words that mean
            two things.

    Returns:
        A Reading in which every number of the text stands with its span, or a Misread
        whose ``why`` is one of ``types.REASONS``.
    """
    waiting = frozenset(expecting)
    if "\n" in text.strip() and (log := _pasted(text, waiting)) is not None:
        return log
    if len(text) > LONGEST:
        return Misread(text[:40], (0, len(text)), f"{len(text)} characters", "too-long")
    kind, rest = free(text)
    if rest:
        return Reading(text, "tell", told=(Word("deed", kind, (0, len(text)), text),), free=rest)
    clean = "".join(" " if unicodedata.category(c) in ("Cc", "Cf", "Cs", "Co") else c for c in text)
    if _SEVERAL.search(clean) and (row := _series(clean)) is not None:
        return _with_course(text, clean, row, waiting)
    toks = tokens(clean)
    if not any(token.kind in ("number", "word", "sign") for token in toks):
        return Misread(text, (0, len(text)), text.strip(), "empty")
    toks, mended = mend(toks)
    repaired: list[_Repaired] = []
    nearby: _Nearby = {}
    for _ in range(3):
        items = lexemes(toks, clean)
        outcome = _parse(items, [one.token for one in repaired], nearby)
        if isinstance(outcome, _Repaired):
            repaired.append(outcome)
            toks[outcome.token] = toks[outcome.token].renamed(outcome.repair.read)
            continue
        break
    else:
        items = lexemes(toks, clean)
        outcome = _parse(items, range(len(toks)), nearby)
    if isinstance(outcome, _Repaired):  # pragma: no cover - every place is closed to repair
        raise AssertionError(outcome)
    deeds, days = told(items), whens(items)
    if isinstance(outcome, Misread):
        return replace(outcome, text=text, told=deeds, whens=days)
    repairs = sorted((*mended, *(one.repair for one in repaired)), key=lambda one: one.span)
    reading = _reading(text, outcome, tuple(repairs), waiting, 2 * len(deeds))
    reading = replace(reading, told=deeds, whens=days)
    if isinstance(reading, Reading) and any(word.term in heat.TOPICS and not word.text for word in reading.words):
        reading = replace(reading, told=())  # a question of heat: "poured" tells of no batch
    if isinstance(reading, Misread) and reading.why in ("unknown-word", "unknown-unit"):
        words = [word for start in sorted(nearby) for word in nearby[start] if _in(start, reading)]
        if reading.why == "unknown-unit":
            words = [word for word in words if vocabulary().entries[(word,)].kind == "unit"]
        there = tuple(dict.fromkeys(words))
        return replace(reading, near=(there or reading.near)[:3])
    if not isinstance(reading, Reading):
        return reading
    reading = meant(_wished(_held_against(_one_to_another(_steamed(_of_acid(_tried(reading)))))))
    if not waiting and (span := _other_talk(reading, toks)) is not None:
        return Misread(text, span, text[slice(*span)], "beyond", term="elsewhere")
    return _nod(_ph_asked(reading, waiting), waiting)


def following(text: str) -> tuple[str, frozenset[str]]:
    """What an unfinished line ends with, and what may come next, as the parser has it.

    Returns:
        The kind of the last word ("" where nothing stands there), and the kinds of word that may follow; none where
        the line cannot be gone on with. A line that stops at a preposition or at "of" is unfinished, not misread.
    """
    items = lexemes(mend(tokens(text))[0], text)
    state = parser(_tables).parse_interactive("")
    try:
        for item in items:
            everyday = item.type == "UNKNOWN" and vocabulary().everyday(item.term)
            state.feed_token(_token(replace(item, type="FILLER" if everyday else item.type)))
    except UnexpectedToken:
        return "", frozenset()
    choices: dict[str, Any] = state.choices()  # type: ignore[no-untyped-call]
    last = next((one.type.lower() for one in reversed(items) if one.type not in ("DET", "FILLER")), "")
    return last, frozenset(name.lower() for name in choices if name.isupper())


def _ph_asked(reading: Reading, waiting: frozenset[str]) -> Reading:
    """ "pH 3.9" where a pH is asked for is the answer, and no reading to be noted."""
    only = len(reading.amounts) == 1 and reading.act == "log" and not reading.told
    if "ph" not in waiting or not only or any(word.kind in ("log", "about") for word in reading.words):
        return reading
    return replace(reading, act="tell")


_SEVERAL = regex(
    r"(?:\d+\D+){2}\d|\d\s*[ap]\.?m\b\D*\d|\d\D+\d\s*[ap]\.?m\b|(?:(?:ty|teen)\b.*?){3}", re.IGNORECASE | re.DOTALL
)
"""What a line has that may tell a row of temperatures."""


_PH_LINE = regex(r"^\s*(?:the\s+)?ph\b[^\n,;\t]*$", re.IGNORECASE | re.MULTILINE)
"""A line of its own beside a log: "pH 4.0"."""


def _pasted(text: str, waiting: frozenset[str]) -> Reading | Misread | None:
    """A log that was pasted, with a pH in a line of its own; a table that is no log is not read as words."""
    from grammar.logged import LogError, rows_of, table  # most lines are no log: a cold answer stays fast

    beside = " ".join(match[0].strip() for match in _PH_LINE.finditer(text))
    rest = _PH_LINE.sub("", text)
    if not rows_of(rest):
        return None
    try:
        course = table(rest)
    except LogError as error:
        return Misread(text, (0, 0), "", "log", example=str(error))
    said = read(beside, waiting) if beside else Reading(text, "ask")
    return replace(said, text=text, course=course) if isinstance(said, Reading) else said


def _series(text: str) -> Course | None:
    from grammar.series import found  # likewise

    return found(text)


def _of_heat(word: str) -> bool:
    from grammar.series import ABOUT_HEAT

    return ABOUT_HEAT.fullmatch(word.lower()) is not None


def _with_course(text: str, clean: str, row: Course, waiting: frozenset[str]) -> Reading | Misread:
    """The line with its row of temperatures, and what else it says read as any other line."""
    rest = clean
    for start, end in row.spans:
        rest = rest[:start] + " " * (end - start) + rest[end:]
    said = read(rest, waiting) if re.search(r"\w", rest) else Misread(text, (0, 0), "", "empty")
    if isinstance(said, Reading):
        unknown = tuple(word for word in said.left_over if not _of_heat(word.text))
        return replace(said, text=text, course=row, left_over=unknown)
    numbers = re.search(r"\d", rest) or any(token.norm in NUMBER_WORDS for token in tokens(rest))
    if numbers and said.why != "empty":
        return replace(said, text=text)
    return Reading(text, "ask", course=row)  # "..., ok?": words with no number beside the readings change nothing


def _tried(reading: Reading) -> Reading:
    """ "200 g took 6 g of vinegar" is what a weighed trial took: nothing was taken out of a batch."""
    for verb in (word for word in reading.told if word.text.lower() == "took"):
        sample = next((one for one in reading.amounts if _right_before(reading.text, one, verb)), None)
        if sample is None or not any(one.span[0] >= verb.span[1] for one in reading.amounts):
            continue
        of = "titrating" if _titrates(reading) else "trial"
        trial = Word("topic", of, verb.span, verb.text)
        amounts = tuple(replace(one, noun=trial) if one is sample else one for one in reading.amounts)
        reading = replace(reading, amounts=amounts, words=(*reading.words, trial))
    if not any(word.term in ("trial", "titrating") for word in reading.words):
        return reading
    if len(reading.amounts) < 2 and not any(word.term == "trial" for word in reading.words):
        return reading  # "took 10 g out for a titration"
    return replace(reading, told=tuple(word for word in reading.told if word.term != "sampled"))


_LOST = regex(r"\b(?:off|lost|loses|losing)\W*$", re.IGNORECASE)

_WENT = regex(r"\W*(?:of it )?(?:simmered|boiled|steamed|cooked|evaporated|gone|went)(?: (?:off|away))", re.IGNORECASE)


def _steamed(reading: Reading) -> Reading:
    """ "Simmered off half a kilo", "lost half a kilo simmering": what steams off is water."""
    if not any(word.term == "simmering" for word in reading.words):
        return reading
    amounts = tuple(
        replace(one, noun=Word("noun", "water", one.span, one.text), tied=True)
        if one.noun is None
        and not one.mark
        and (_LOST.search(reading.text[: one.span[0]]) or _WENT.match(reading.text[one.span[1] :]))
        else one
        for one in reading.amounts
    )
    return replace(reading, amounts=amounts)


def _one_to_another(reading: Reading) -> Reading:
    """ "A cup to a gallon of vinegar": the lesser is the vinegar, and the gallon is what it goes into."""
    known = vocabulary().dimension
    if len(reading.amounts) < 2:
        return reading
    first, second, *rest = reading.amounts
    volumes = known.get(first.unit) == known.get(second.unit) == "volume"
    if not volumes or first.noun is not None or second.mark != "to" or second.said("substance") != "vinegar":
        return reading
    return replace(reading, amounts=(replace(first, noun=second.noun), replace(second, noun=None), *rest))


_CHECKS = regex(
    r"\b(?:(?:is|was) (?:that|it|this)(?: right| enough| correct| okay| ok)?(?: for)?|(?:right|enough|correct) for"
    r"|does (?:that|it) (?:make|come to|give))(?: a)?\W*$",
    re.IGNORECASE,
)

_RIGHT = regex(r"\b(?:is|was|are)\b.*\b(?:right|correct|enough)\b", re.IGNORECASE)


def _held_against(reading: Reading) -> Reading:
    """ "90 g of salt in 12 L, is that 2 %?": the strength right after the question is what it was meant to make."""
    strengths = [one for one in reading.amounts if vocabulary().dimension.get(one.unit) == "fraction"]
    if reading.wanted or len(reading.amounts) < 2:
        return reading
    only = len(strengths) == 1 and _RIGHT.search(reading.text)
    aimed = [one for one in strengths if only or _CHECKS.search(" ".join(reading.text[: one.span[0]].split()))]
    amounts = tuple(replace(one, mark="to") if one in aimed else one for one in reading.amounts)
    return reading if amounts == reading.amounts else replace(reading, amounts=amounts, question=True)


_NEED = regex(r"\b(?:i|we) need\W*$", re.IGNORECASE)
_AT_HAND = ("vinegar", "brine", "mild")


def _wished(reading: Reading) -> Reading:
    """ "want 2 % salt, 1 % acetic and 3 litres": what follows a wish is wished for too, up to what is at hand.

    Only where acid or gum, or salt by name, is wished for: other lines wish for one thing at a time.
    """
    known = vocabulary().dimension
    amounts = [_object(reading.text, one) for one in reading.amounts]
    wish = False
    for index, one in enumerate(amounts):
        strength = known.get(one.unit) == "fraction"
        if strength and not one.mark and _NEED.search(reading.text[: one.span[0]]):
            amounts[index], wish = replace(one, mark="to"), True
        elif one.mark == "to":
            wish = True
        elif one.mark == "for" and strength and ({"acetic", "salt"} & _terms(one) or one.said("substance") == "gum"):
            amounts[index], wish = replace(one, mark="to"), True
        elif _at_hand(one) or _as_it_is(reading.text, amounts[index - 1].span[1] if index else 0, one):
            wish = False
        elif wish and (strength or known.get(one.unit) == "pungency" or _AND.search(reading.text[: one.span[0]])):
            amounts[index] = replace(one, mark="to")
    amounts = [_whole(reading.text, one) for one in amounts]
    wishes = [one for one in amounts if one.mark == "to"]
    named = [one for one in wishes if one.said("substance") == "gum" or {"acetic", "salt"} & _terms(one)]
    if len(wishes) > 1 and named:
        return replace(reading, amounts=tuple(amounts))
    return replace(reading, amounts=tuple(_object(reading.text, one) for one in reading.amounts))


def _object(text: str, amount: Amount) -> Amount:
    """ "To get 3 litres to 1 %" wishes for the share; the litres are what there is."""
    held = vocabulary().dimension.get(amount.unit) in ("volume", "mass") and amount.mark == "to"
    return replace(amount, mark="") if held and _UP_TO.match(text[amount.span[1] :]) else amount


_UP_TO = regex(r"\W*(?:up |down )?to\b", re.IGNORECASE)


_ALL = regex(r"\W*(?:in all|in total|total|altogether|all told|finished|final|to end up with)\b", re.IGNORECASE)
_AND = regex(r"(?:\band|&)\W*$", re.IGNORECASE)


_IS_NOW = regex(r"\b(?:it's|its|it is|is|has|holds|now|currently|at the moment)\b", re.IGNORECASE)


def _whole(text: str, amount: Amount) -> Amount:
    """A weight or volume that is wished for in all: "and 3 litres", "3 litres in all"."""
    held = vocabulary().dimension.get(amount.unit) in ("volume", "mass") and amount.mark == "to"
    all_ = _ALL.match(text[amount.span[1] :]) or _AND.search(text[: amount.span[0]])
    if not held or not all_ or amount.noun is not None:
        return amount
    return replace(amount, noun=Word("property", "final", amount.span, amount.text))


def _as_it_is(text: str, before: int, amount: Amount) -> bool:
    """Whether the words between say that it is so now: "it's 2.8 % now"."""
    return bool(_IS_NOW.search(text[before : amount.span[0]]) or _IS_NOW.match(text[amount.span[1] :].lstrip()))


def _at_hand(amount: Amount) -> bool:
    """Whether it is led by a word of its own, or is the strength of what is at hand."""
    return bool(amount.mark) or amount.said("noun") in _AT_HAND or amount.said("substance") == "vinegar"


def _terms(amount: Amount) -> set[str]:
    return {word.term for word in (amount.noun, *amount.others) if word is not None}


def _titrates(reading: Reading) -> bool:
    """Whether the line is about a titration: by its word, or by the strength of what was dripped in."""
    return any(one.unit == "normality" for one in reading.amounts) or "titrating" in reading.terms


_ACIDS = ("vinegar", "acetic", "lactic", "citric")


def _of_acid(reading: Reading) -> Reading:
    """ "What's the pH of 5 % vinegar" asks for a sum, and not for the last reading of a batch."""
    now = ("what's the ph", "whats the ph", "what is the ph")
    asked = next(
        (word for word in reading.told if word.term == "last-ph" and " ".join(word.text.lower().split()) in now), None
    )
    if asked is None or not reading.terms & {*_ACIDS}:
        return reading
    acid = Word("property", "ph", asked.span, asked.text)
    told_ = tuple(word for word in reading.told if word is not asked)
    return replace(reading, act="ask", told=told_, words=(*reading.words, acid), wanted=("ph",), question=True)


def _right_before(text: str, amount: Amount, verb: Word) -> bool:
    """Whether nothing stands between the amount, with its noun, and the verb."""
    end = max(amount.span[1], amount.noun.span[1] if amount.noun is not None else 0)
    return end <= verb.span[0] and not text[end : verb.span[0]].strip()


_TALK = 3
"""So many everyday words and none of the trade are another job, not a nod; in a question one is enough."""


def _other_talk(reading: Reading, toks: Sequence[Token_]) -> tuple[int, int] | None:
    """The span of a line that is about something else altogether ("book a taxi to the station"), or None."""
    said = reading.amounts or reading.words or reading.wanted or reading.unit or reading.commands
    if said or reading.firm or reading.told:
        return None
    words = vocabulary()
    plain = [one for one in toks if one.kind == "word" and words.everyday(one.norm)]
    plain += [one for one in toks if one.kind == "word" and not known(one.norm)]
    return (toks[0].span[0], toks[-1].span[1]) if len(plain) >= (1 if reading.question else _TALK) else None


def _nod(reading: Reading, waiting: frozenset[str]) -> Reading:
    """ "fine" alone is a kind of salt only where the salt's kind is waited for; else it is a nod."""
    alone = [word.term for word in reading.words] == ["fine"] and not reading.amounts
    if alone and "bulk" not in waiting and reading.text.lower().strip(" .!") == "fine":
        return replace(reading, act="yes", words=(), commands=("yes",))
    return reading


_Nearby = dict[int, tuple[str, ...]]
"""Words the parser would have taken where an unknown one stands, nearest in spelling, by the place in the text."""


def _in(start: int, found: Misread) -> bool:
    return found.span[0] <= start < found.span[1]


def _parse(items: Sequence[Lexeme], closed: Iterable[int], nearby: _Nearby) -> list[Any] | Misread | _Repaired:
    """The parse of the terminals as a list of parts; or the first repair to make."""
    items = list(items)
    done = set(closed)
    for _ in range(len(items) + 1):
        state = parser(_tables).parse_interactive("")
        marks: list[int] = []
        try:
            for index, item in enumerate(items):
                if item.type == "UNKNOWN" and item.token not in done:
                    fixed = _repair(item, state, items, index, nearby)
                    if fixed is not None:
                        return fixed
                    done.add(item.token)
                of = index > 0 and items[index - 1].type == "OF"
                if item.type == "UNKNOWN" and not of and vocabulary().everyday(item.term):
                    item = items[index] = replace(item, type="FILLER")  # noqa: PLW2901 - what it turned out to be
                state.feed_token(_token(item))
                if item.type in ("MARK", "OF"):
                    marks.append(index)
            tree: Tree[Any] = state.feed_token(Token("$END", ""))
            return list(tree.children)
        except UnexpectedToken as error:
            where = getattr(error.token, "value", None)
            ended = not isinstance(where, Lexeme) or where.type == "SEP"
            asked = any(one.type == "ASKING" for one in items) and any(one.type == "NUMBER" for one in items)
            last = marks[-1] if marks else None
            if last is None:
                span = where.span if isinstance(where, Lexeme) else (0, 0)
                found = where.text if isinstance(where, Lexeme) else ""
                return Misread("", span, found, "stops")
            between = items[last + 1 :]
            if isinstance(where, Lexeme):
                between = items[last + 1 : items.index(where)]
            aside = any(one.type == "FILLER" or one.text.lower() in _PRONOUNS for one in between)
            aside = aside or _particle(items, last)
            if ended and not aside and not asked:
                end = (items[last].span[0], items[-1].span[1])
                return Misread("", end, items[last].text, "stops", _after(items[last]))
            items[last] = replace(items[last], type="FILLER")
    raise AssertionError("every round closes one mark")  # pragma: no cover


_PARTICLES = frozenset({"with", "in", "on", "over", "by", "at", "poured over", "inside"})


def _particle(items: Sequence[Lexeme], at: int) -> bool:
    """Whether a preposition only ends a verb: "what do I end up with", "two kilos went in"."""
    verb = at > 0 and items[at - 1].type in ("FILLER", "UNKNOWN")
    words = items[at].text.lower()
    return words == "poured over" or (verb and words in _PARTICLES and any(one.type == "NUMBER" for one in items))


def _token(item: Lexeme) -> Token:
    token = Token(item.type, "")
    token.value = item
    return token


def _after(item: Lexeme) -> tuple[str, ...]:
    """What may follow a word that stands at the end, in the words of the help."""
    if item.type == "OF":
        return ("peppers", "water", "salt", "brine")
    if item.term == "in":
        return ("a 10 L crock", "a 2 quart jar", "grams")
    if item.term in ("at", "to", "from", "with"):
        return ("2.5 %", "35 g per litre")
    return ("3 kg of peppers", "5 L of water")


def _repair(item: Lexeme, state: Any, items: Sequence[Lexeme], index: int, nearby: _Nearby) -> _Repaired | None:
    """The word an unknown one was meant to be, if one alone is near.

    Words the parser would shift at this place come first, then the rest of the vocabulary.
    """
    table = state.choices()
    shift = {name.lower() for name, (action, _) in table.items() if action.name == "Shift"}
    if "command" in shift:
        shift |= COMMANDS - {"yes", "no", "unsure"}
    if item.text.lower() in NUMBER_WORDS:
        return None
    words = vocabulary()
    after_number = index > 0 and items[index - 1].type == "NUMBER"
    kinds = {"unit"} if after_number else shift - {"yes", "no", "filler", "det", "link"}
    for group in (kinds, _REPAIRABLE):
        found = near(item.term, words.words_of(group))
        meanings = {words.entries[(word,)].term for word in found}
        if len(meanings) == 1:
            sure = words.entries[(found[0],)].kind not in UNREPAIRED
            return _Repaired(item.token, Repair(item.text, found[0], item.span, sure))
        if found:
            nearby[item.span[0]] = tuple(found)
            break
    number = near(item.term, NUMBER_WORDS)
    if len(number) == 1:
        return _Repaired(item.token, Repair(item.text, number[0], item.span, False))
    return None


def _word(item: Lexeme) -> Word:
    return Word(item.type.lower(), item.term, item.span, item.text)


def _values(tree: Tree[Any] | Token) -> list[Lexeme]:
    """All lexemes below a node, in order."""
    if isinstance(tree, Token):
        return [tree.value]
    return [item for child in tree.children for item in _values(child)]


def _noun(tree: Tree[Any]) -> tuple[Word | None, list[Word]]:
    """The head word of a noun phrase and the words that qualify it."""
    words = [_word(item) for item in _values(tree) if item.type not in ("DET", "FILLER", "STEP", "OF")]
    known = [word for word in words if word.kind != "unknown"]
    if not known:
        return (words[0] if words else None), []
    if known[-1].kind == "state":
        return None, known
    return known[-1], known[:-1]


def _amount(tree: Tree[Any]) -> list[Amount]:
    """One amount phrase; two amounts for a range."""
    mark = ""
    noun: Word | None = None
    others: list[Word] = []
    quantities: list[Tree[Any]] = []
    joined = ""
    tied = False
    for child in tree.children:
        if child.data == "mark":
            mark = _values(child)[0].term
        elif child.data == "measure":
            quantities = [part for part in child.children if isinstance(part, Tree)]
            joined = next((part.value.type for part in child.children if isinstance(part, Token)), "")
        else:
            noun, others = _noun(child)
            tied = child.data == "of"
    made = [_quantity(one) for one in quantities]
    last = made[-1]
    if len(made) == 2 and not made[0].unit and last.unit != "date":
        made[0] = replace(made[0], unit=last.unit)
    if len(made) == 2 and not last.unit:  # "four kilos against five"
        made[1] = last = replace(last, unit=made[0].unit)
    span = made[0].span[0], last.span[1]
    made = [replace(one, mark=mark, noun=noun, others=tuple(others), tied=tied) for one in made]
    if joined:
        first = replace(made[0], span=span)
        return [replace(first, rivals=(made[1],))]
    return made


def _quantity(tree: Tree[Any]) -> Amount:
    """The pieces of one quantity added up in the unit of the first."""
    rivals: tuple[float, ...] = ()
    pieces: list[tuple[float, str]] = []
    items: list[Lexeme] = []
    for piece in tree.children:
        if isinstance(piece, Token):
            continue
        found = _values(piece)
        items += found
        number = found[0]
        named = next((one for one in found if one.type == "UNIT"), None)
        half = sum(one.value for one in found if one.type == "TAIL")
        pieces.append((number.value + half, named.term if named else ""))
        rivals = number.rivals if len(tree.children) == 1 and not half else ()
    total, unit = pieces[0]
    parts: tuple[tuple[float, str], ...] = ()
    if len(pieces) > 1:
        from grammar.measures import LOOSE, together

        total = together(pieces, "us")
        parts = tuple(pieces) if unit in LOOSE else ()  # added up again in the kitchen that is set
    span = (items[0].span[0], items[-1].span[1])
    unclear = any(item.unclear for item in items)
    text = " ".join(item.text.strip() for item in items if item.text.strip())
    other = tuple(Amount(value, unit, span, text) for value in rivals)
    if unit == "pungency":
        total, other = max(total, *rivals) if rivals else total, ()  # heat is told in whole thousands
    if rivals and rivals[0] > total and unit not in (*_BULK, "date"):
        other = ()  # "1.250 kg" is a scale's decimal point; "1.250 g" is not
    return Amount(float("nan") if unclear else total, unit, span, text, rivals=other, parts=parts)


def _reading(
    text: str, parts: Sequence[Any], repaired: tuple[Repair, ...], waiting: frozenset[str], telling: int
) -> Reading | Misread:
    """The parts of a parse as a Reading; ``telling`` counts the words that tell of a batch."""
    built = _Builder()
    for part in parts:
        built.add(part)
    built.bind()
    worded = [_cupped(_worded(one, text), built.unit) for one in _scaled(_based(built), built.words, text)]
    if _sanitizes(built.words, worded) or _NEW_RATIO.fullmatch(text):
        worded = _thinned(worded, text)
    amounts = heat.held_at(text, _apart(built, [_rivals(_boxed(one, text)) for one in worded]))
    for amount in amounts:
        if any(one.value != one.value for one in (amount, *amount.rivals)):
            if amount.unit != "date":
                return Misread(text, amount.span, amount.text, "number")
            full = any(part in amount.text.lower() for part in (*MONTHS, "/", "-", "."))
            lacks = () if full else ("month",)
            return Misread(text, amount.span, amount.text, "date", lacks)
    beyond = next((word for word in built.words if word.kind == "beyond"), None)
    acid = any(_is_ph(word) for word in (*built.words, *(one.noun for one in amounts)))
    dated = "start" in built.wanted and beyond is not None and beyond.term == "pressure"
    if (
        beyond is not None
        and beyond.term == "time"
        and (any(word.term == "boiling" for word in built.words) or _sanitizes(built.words, amounts))
    ):
        built.drop(
            beyond
        )  # "how long do I boil the jars at 3000 ft" is for a table, not for a ferment, nor is "how long bleach"
        built.wanted.append("time")
        beyond = None
    if beyond is not None and beyond.text.lower() == "bottling" and _sized(amounts):
        built.drop(beyond)  # "bottling 4 litres" counts bottles
        built.free.append(replace(beyond, kind="topic", term="bottling"))
        beyond = None
    hot = heat.subject(text, amounts)
    hold = bool(hot) or _holds(text, amounts)
    if beyond is not None and not (acid and amounts) and not dated and not hold:
        return Misread(text, beyond.span, beyond.text, "beyond", term=beyond.term)
    negations = [word for word in built.words if word.kind == "negation"]
    if hot == "filling-hot":  # of one bottle everything is told, and a later reading is a reading
        negations = [word for word in negations if word.text.lower() not in ("each", "apiece", "later")]
    meant = next((one for one in negations if not _said_aside(one, text, built, amounts)), None)
    if meant is not None:
        return Misread(text, meant.span, meant.text, "negation")
    strengths = [one for one in amounts if vocabulary().dimension.get(one.unit) == "fraction"]
    if built.way[0] and len(strengths) == 1:  # "bring my mash up to 3 %", with no word of what it is now
        built.free.append(Word("topic", built.way[0], (built.way[1], built.way[1]), ""))
    aside = ("filler", "det", "link", "and", "negation", *(() if _dated(built, amounts) else _DATING))
    words = [word for word in built.words if word.kind not in aside]
    strange = [one.noun for one in amounts if one.noun is not None and one.noun.kind == "unknown"]
    heard = (*words, *(word for one in amounts for word in (one.noun, *one.others) if word is not None))
    described = tuple(word for word in heard if word.term == "unheard")
    unknown = (*(word for word in words if word.kind == "unknown"), *strange, *described)
    left = tuple(sorted(unknown, key=lambda word: word.span))
    if (unit := built.bad_unit) is not None:
        return Misread(text, unit.span, unit.text, "unknown-unit", near=_near(unit.text, ("unit",)))
    if left and not _meant(built, amounts, words, left, bool(waiting) + telling):
        span = (left[0].span[0], left[-1].span[1])
        near_ = tuple(one for word in left for one in _near(word.text, _REPAIRABLE))[:3]
        return Misread(text, span, " ".join(word.text for word in left), "unknown-word", near=near_)
    commands = tuple(word.term for word in words if word.kind == "command")
    changes = any(word.kind == "change" for word in words)
    asks = _asks(text, built)
    reading = Reading(
        text=text,
        act="",
        wanted=tuple(dict.fromkeys(built.wanted))
        or _figure(words)
        or _into(built.unit, amounts)
        or _acid_meant(text, words, amounts)
        or _hinted(text, words, asks, amounts),
        amounts=tuple(amounts),
        words=tuple(_as_typed(word, text) for word in words if word.kind not in ("unknown", "command", "change")),
        unit=built.unit,
        repaired=repaired,
        left_over=left,
        question=built.asked or asks,
        commands=commands,
        corrected=tuple(built.corrected),
        firm=changes,
    )
    if hot:
        return heat.told(reading, hot)
    return _held(reading) if hold else replace(reading, act=_act(reading, changes, built))


_HOLDING = regex(
    r"\b(?:hold|holding|held|pasteuri\w*|hot.?fill\w*|heat.?treat\w*|how hot|enough|kill|cook\w*|heat(?:ed|ing)?)\b",
    re.IGNORECASE,
)
_HOW_LONG = regex(r"\bhow (?:long|many minutes)\b", re.IGNORECASE)
_HOW_HOT = regex(r"\b(?:how hot|what temp\w*|which temp\w*)\b", re.IGNORECASE)
_KILLS = 50.0
"""Degrees C from which a temperature is no ferment's."""


def _holds(text: str, amounts: list[Amount]) -> bool:
    """Whether a line is about holding a sauce hot: "how long at 75 C for pH 3.8", "82 C for 10 minutes, enough?"."""
    from grammar.measures import convert

    text = " ".join(text.split())
    hot = [one for one in amounts if one.unit in ("degree_Celsius", "degree_Fahrenheit")]
    hot = [one for one in hot if convert(one.value, one.unit, "degree_Celsius") >= _KILLS]
    short = [one for one in amounts if one.unit in ("minute", "hour", "second")]
    asked = _HOLDING.search(text) or _HOW_LONG.search(text)
    return bool((hot and (short or asked)) or (short and _HOW_HOT.search(text)))


def _held(reading: Reading) -> Reading:
    """The line as a question about a hold: its pH is no reading to be noted."""
    aside = ("pungency", "fitting", "milder", "time")
    words = tuple(word for word in reading.words if word.term not in aside)
    text = " ".join(reading.text.split())
    wanted = ("time",) if _HOW_LONG.search(text) else ()
    wanted = ("temperature",) if _HOW_HOT.search(text) else wanted
    topic = Word("topic", "holding", (0, 0), "")
    left = tuple(word for word in reading.left_over if not _HOLDING.fullmatch(word.text))
    # "pH 3.9 elevation 1500 m": a height is a length
    amounts = tuple(replace(one, noun=None) if _odd(one.noun, one.unit) else one for one in reading.amounts)
    return replace(reading, act="ask", amounts=amounts, words=(*words, topic), wanted=wanted, left_over=left)


_CLAUSE = regex(r"[,.;?!\n]| and | but | so | because ")
_ASKS = regex(r"\b(how|what|which|when|use|put|add|make)\b")


def _said_aside(word: Word, text: str, built: _Builder, amounts: list[Amount]) -> bool:
    """Whether a "not" stands in small talk: a clause of its own, with no number and no word of the trade."""
    cuts = [0, *(match.end() for match in _CLAUSE.finditer(text)), len(text) + 1]
    start = max(cut for cut in cuts if cut <= word.span[0])
    end = min(cut for cut in cuts if cut >= word.span[1])
    clause = text[start:end].lower()
    if len(clause.split()) < 3 or _ASKS.search(clause):
        return False
    spans = [one.span for one in amounts]
    spans += [one.span for one in (*built.words, *(one.noun for one in amounts)) if one is not None and _weighs(one)]
    return not any(start <= span[0] < end for span in spans)


def _weighs(word: Word) -> bool:
    return word.kind in ("noun", "produce", "salt", "topic", "property", "basis", "substance", "beyond")


_DATING = ("when", "point")
"""Kinds of words ("today", "by" before it) that say something only where dates are worked out."""


def _dated(built: _Builder, amounts: list[Amount]) -> bool:
    """Whether the sentence is about dates and lengths of time and about nothing else."""
    known = vocabulary().dimension
    kinds = {known.get(one.unit, "") for one in amounts if one.unit}
    asked = bool({"date", "start", "span"} & set(built.wanted))
    return kinds <= {"date", "time", "months"} and (asked or bool(kinds))


def _near(word: str, kinds: Iterable[str]) -> tuple[str, ...]:
    """Known words that a strange one may have been meant for, at most three."""
    return tuple(near(word.lower(), vocabulary().words_of(kinds))[:3])


def _asks(text: str, built: _Builder) -> bool:
    """Whether the line ends in a question mark, written or dictated."""
    return text.rstrip().endswith("?") or any(
        isinstance(one, Word) and one.kind == "sep" and one.term == "question" for one in built.line
    )


_HINTS = ("salt", "water", "headspace", "density", "gravity", "salometer-reading", "height", "diameter")
"""What a question may be after without a "how much" before it."""


def _hinted(text: str, words: list[Word], asks: bool, amounts: list[Amount]) -> tuple[str, ...]:
    """What a question without a question word is after: "... 2 l water. headspace left?"."""
    if "?" not in text and not asks:
        return ()
    said = {term for one in amounts for term in (one.unit, *(word.term for word in (one.noun, *one.others) if word))}
    said |= {"salometer-reading"} if "salometer" in said else set()
    free = [word for word in words if word.term in _HINTS and word.term not in said]
    return (free[-1].term,) if free and not any(word.kind == "topic" for word in words) else ()


_AS_ACID = regex(r"\W*(?:and |what |what about |how much )*(?:as|in terms of) ", re.IGNORECASE)


def _acid_meant(text: str, words: list[Word], amounts: list[Amount]) -> tuple[str, ...]:
    """The acid that a titration is counted as, or that goes in another one's place: named, with no amount of it."""
    heard = [*words, *(word for one in amounts for word in (one.noun, *one.others) if word is not None)]
    acids = list(dict.fromkeys(word.term for word in heard if word.term in _ACIDS))
    terms = {word.term for word in words}
    if "swapping" in terms:
        free = [one for one in acids if one not in _measured(amounts)]
    elif "titrating" in terms or (_AS_ACID.match(text) and not amounts):
        free = [one for one in acids if any(word.term == one for word in words)]
    else:
        return ()
    return tuple(free) if len(free) == 1 else ()


def _measured(amounts: list[Amount]) -> set[str]:
    """What there is a weight or a volume of, said right before it or before its strength ("500 g of 5 % vinegar")."""
    known = vocabulary().dimension
    found: set[str] = set()
    before: Amount | None = None
    for one in amounts:
        kind = known.get(one.unit, "")
        weighed = kind in ("mass", "volume")
        its_strength = kind == "fraction" and before is not None and one.mark in ("", "of")
        if one.noun is not None and (weighed or its_strength):
            found.add(one.noun.term)
        before = one if weighed and one.noun is None else None
    return found


def _as_typed(word: Word, text: str) -> Word:
    """The word as it stands in the text, blanks and all ("pH 7   buffer" is one word of several tokens)."""
    typed = text[slice(*word.span)]
    return replace(word, text=typed) if typed and word.span[0] < word.span[1] else word


_FIGURES = ("sodium", "energy", "nutrition")


def _figure(words: list[Word]) -> tuple[str, ...]:
    """A figure of a label is asked for by its name alone: "sodium per serving"."""
    found = dict.fromkeys(word.term for word in words if word.term in _FIGURES)
    return tuple(found)


def _into(unit: str, amounts: list[Amount]) -> tuple[str, ...]:
    """What is wanted by "35 g per litre in percent", and the other way round."""
    known = vocabulary().dimension
    if known.get(unit) == "salometer" and any(known.get(one.unit) == "fraction" for one in amounts):
        return ("salometer-reading",)
    if len(amounts) != 1 or not unit:
        return ()
    pair = (known.get(amounts[0].unit), known.get(unit))
    wanted = {("density", "fraction"): "salinity", ("fraction", "density"): "per-litre"}
    wanted |= {("volume", "mass"): "mass", ("mass", "volume"): "volume"}
    return (wanted[pair],) if pair in wanted else ()


def _meant(built: _Builder, amounts: list[Amount], words: list[Word], left: tuple[Word, ...], waiting: int) -> bool:
    """Whether enough was understood to go on and name the words that were not."""
    known = len(amounts) + sum(word.kind not in ("unknown", "state") for word in words) + bool(built.unit)
    return len(left) <= 6 and known + waiting >= len(left) + 1


def _is_ph(word: Word | None) -> bool:
    return word is not None and word.term in ("ph", "ph-strip")


def _act(reading: Reading, changes: bool, built: _Builder) -> str:
    """Which of the few acts the line is."""
    content = reading.amounts or reading.words or reading.wanted
    if reading.commands:
        first = reading.commands[0]
        if first in ("no", "yes") and len(reading.commands) > 1 and not content:
            return reading.commands[1]  # "no, undo that"
        if content and first in ("undo", "redo", "cancel", "reset", "leave"):
            first = "repeat"  # "back to the mash, make it 2.5 %": what follows is what is meant
        if first == "no" and (content or changes):
            return "change"
        if not content or first not in ("yes", "unsure", "repeat", "help"):
            return first
    if changes or any(word.kind == "times" for word in reading.words):
        return "change"
    kinds = {word.kind for word in reading.words}
    if not (content or changes or reading.unit or built.asked or reading.left_over):
        return "yes"  # "ta", "right then": a nod
    bare = [amount for amount in reading.amounts if not amount.unit]
    acid = any(_is_ph(word) for word in reading.all_words) and not _titrates(reading)
    dated = ("date", "time", "months", "temperature")
    sized = [one for one in reading.amounts if one.unit and vocabulary().dimension.get(one.unit) not in dated]
    asked = bool(reading.wanted) or "topic" in kinds
    makes = any(word.kind == "noun" and word.term in ("brine", "mash") for word in reading.all_words)
    makes = makes and (bool(sized) or asked)  # "mash is pH 3.8" makes nothing
    packs = bool(sized) and any(word.kind == "vessel" for word in reading.all_words)
    if acid and bare and not makes and not packs:
        return "log"
    logs = [word for word in reading.words if word.kind == "log"]
    if logs and reading.text[: logs[0].span[0]].count(" ") <= 2:
        return "log"
    if built.led_by_and and not (kinds & {"topic"}) and not reading.wanted:
        return "change"
    nouns = {word.term for word in reading.words if word.kind == "noun"}
    spoons = nouns == {"salt"} and reading.unit.endswith("spoon")
    bare_unit = reading.unit and not reading.amounts and not kinds - {"filler", "salt", "sep", "state", "noun", "of"}
    only_unit = bare_unit and (spoons or not nouns)
    if only_unit and not set(reading.wanted) - {"mass", "volume", "salinity", "length", "span", "salometer-reading"}:
        return "change"  # "what's that in ounces?"
    if reading.wanted or built.asked or "topic" in kinds or nouns & {"brine", "mash"}:
        return "ask"
    if any(amount.said("noun") in ("brine", "mash") for amount in reading.amounts):
        return "ask"
    if reading.unit and not reading.amounts and not kinds:
        return "change"
    bound = any(amount.noun for amount in reading.amounts)
    if kinds - {"sep"} or bound or reading.unit:
        return "tell"
    return "bare"


class _Builder:
    """Collects the parts of one parse and ties nouns to amounts."""

    def __init__(self) -> None:
        self.line: list[Amount | Word] = []
        self.wanted: list[str] = []
        self.unit = ""
        self.asked = False
        self.led_by_and = False
        self.bad_unit: Word | None = None
        self.free: list[Word] = []
        self._open_ask = ""
        self.way = ("", 0)
        self.corrected: list[Amount] = []
        self._taken_back_to = 0

    def add(self, part: Any) -> None:
        kind = part.data
        if kind == "amount":
            found = _amount(part)
            lead = _values(part)[0]
            if (
                lead.type == "MARK"
                and lead.text.lower().startswith(("up to", "down to"))
                and found[0].unit == "percent"
            ):
                self.way = ("raising" if lead.text.lower().startswith("up") else "diluting", found[0].span[0])
            if self._open_ask == "how-much" and found[-1].unit == "percent" and found[-1].said("noun"):
                self.wanted.append(found[-1].said("noun"))
            if self._open_ask == "how-many" and found[-1].said("vessel"):
                self.wanted.append("count")
            self._open_ask = ""
            if any(one.term == "denied" for one in _values(part)):
                self._shares(found[-1])
                self.corrected += found
                return
            if self._taken_back_to:
                found[-1] = self._take_back(found[-1])
            self.line += found
        elif kind == "asking":
            self._ask(part)
        elif kind == "led":
            self._led(part)
        elif kind == "thing":
            for item in _values(part):
                self.line.append(_word(item))
        elif kind == "filler":
            item = _values(part)[0]
            if item.type == "AND" and not self.line:
                self.led_by_and = True
            if item.type == "UNIT":
                self._show_in(item)  # with no number: "percent?", "in pounds please"
            elif item.type == "LINK":
                self.line.append(_word(item))
        elif kind == "unknown":
            item = _values(part)[0]
            word = _word(item)
            last = self.line[-1] if self.line else None
            if isinstance(last, Amount) and not last.unit and last.noun is None and not last.rivals:
                self.bad_unit = self.bad_unit or word
            self.line.append(word)
        else:
            item = _values(part)[0]
            if item.term == "take-back":
                self._taken_back_to = len(self.line)
            else:
                self.line.append(_word(item))

    def _shares(self, denied: Amount) -> None:
        """ "40, not 14 bottles": what the number taken back is of, the one in its place is of as well."""
        last = self.line[-1] if self.line else None
        if isinstance(last, Word) and last.kind == "sep" and len(self.line) > 1:
            last = self.line[-2]
        if isinstance(last, Amount) and last.noun is None and not last.rivals and last.unit in ("", denied.unit):
            mine = replace(last, noun=denied.noun, others=last.others or denied.others, unit=denied.unit)
            self.line[self.line.index(last)] = mine

    def _take_back(self, fresh: Amount) -> Amount:
        """Drops the amount, said before the correction, that a later one replaces."""
        known = vocabulary().dimension
        same = [
            one
            for one in self.line[: self._taken_back_to]
            if isinstance(one, Amount) and known.get(one.unit) == known.get(fresh.unit or one.unit)
        ]
        if fresh.noun is not None:
            alike = [one for one in same if one.noun is not None and one.noun.term == fresh.noun.term]
            same = alike or [one for one in same if one.noun is None]
        if same:
            old = same[-1]
            self.corrected.append(old)
            self.line.remove(old)
            self._taken_back_to -= 1
            return replace(fresh, noun=fresh.noun or old.noun, others=fresh.others or old.others)
        return fresh

    def _led(self, part: Any) -> None:
        items = [item for item in _values(part) if item.type not in ("DET", "FILLER", "STEP")]
        mark, rest = items[0], items[1:]
        if rest and rest[0].type == "ASKING":
            self._asking(rest)
            return
        last = self.line[-1] if self.line else None
        if rest and rest[0].term in ("first", "second") and isinstance(last, Amount) and last.noun is None:
            self.line[-1] = replace(last, others=(*last.others, _word(rest[0])))  # "3 % for the second"
            return
        for item in rest:
            if item.type == "UNIT":
                self._show_in(item)
            elif item.type == "WHEN":
                self.line += [Word("point", mark.term, mark.span, mark.text), _word(item)]
            else:
                self.line.append(Word("led", mark.term, mark.span, mark.text))
                self.line.append(_word(item))

    def _show_in(self, item: Lexeme) -> None:
        """A unit asked for; degrees of no scale and days gone by are none to show a number in."""
        if item.term != "degree" and item.dimension != "date":
            self.unit = item.term

    def _ask(self, part: Any) -> None:
        self.free += [replace(_word(item), kind="extra") for item in _values(part) if item.type == "STEP"]
        self._asking([item for item in _values(part) if item.type not in ("DET", "FILLER", "STEP", "OF")])

    def _asking(self, items: Sequence[Lexeme]) -> None:
        head, rest = items[0], items[1:]
        self.asked = True
        fixed = {
            "how-strong": "strength", "how-salty": "salinity", "how-big": "capacity", "how-full": "filled",
            "when": "date", "when-start": "start", "how-long": "span",
        }  # fmt: skip
        if head.term in fixed:
            self.wanted.append(fixed[head.term])
            self.line += [_word(item) for item in rest if item.type != "UNIT"]
            if head.text.lower().startswith("how many "):  # "how many weeks since ..."
                self.unit = head.text.lower().split()[2].removesuffix("s")
            return
        if head.term in ("does-it", "how"):
            if head.term == "how":  # "how tall would it be"
                self.wanted += [item.term for item in rest if item.type == "PROPERTY"]
                rest = [item for item in rest if item.type != "PROPERTY"]
            self.line += [_word(item) for item in rest]
            return
        self._open_ask = head.term if not rest else ""
        named = any(item.type in ("NOUN", "PRODUCE", "SUBSTANCE") for item in rest)
        if head.term in ("how-much", "what") and not rest and self.line:
            last = self.line[-1]
            if isinstance(last, Word) and last.kind in ("noun", "produce"):
                self.wanted.append("produce" if last.kind == "produce" else last.term)
        for item in rest:
            if item.type == "UNIT":
                if item.dimension in ("fraction", "density"):
                    self.wanted.append("salinity")
                elif not named:
                    self.wanted.append({"salometer": "salometer-reading"}.get(item.dimension, item.dimension))
                self._show_in(item)
            elif item.type == "UNKNOWN":
                self.line.append(_word(item))
            elif head.term == "how-many" and item.type == "VESSEL":
                self.wanted.append("count")
                self.free.append(_word(item))
            elif item.type in ("STATE", "BASIS"):
                self.free.append(_word(item))
            elif head.term == "what" and item.type == "NOUN" and item.term == "brine":
                self.wanted.append("strength")
                self.free.append(_word(item))
            elif head.term in ("how-much", "how-many", "what"):
                self.wanted.append("produce" if item.type == "PRODUCE" else item.term)
                self.free.append(_word(item))

    @property
    def words(self) -> list[Word]:
        """The words no amount took, marks and separators left out."""
        free = [one for one in self.line if isinstance(one, Word)] + self.free
        kept = [word for word in free if word.kind not in ("sep", "led", "link")]
        return sorted(kept, key=lambda word: word.span)

    def drop(self, word: Word) -> None:
        """Takes a free word out: an amount has it now."""
        self.line = [one for one in self.line if one is not word]
        self.free = [one for one in self.free if one is not word]

    def amounts(self) -> list[Amount]:
        """The amounts in the order of the text, with a shared unit filled in."""
        found = [one for one in self.line if isinstance(one, Amount)]
        for index, amount in enumerate(found[:-1]):
            follower = found[index + 1]
            if amount.mark == "from" and follower.mark == "to":
                found[index] = replace(amount, unit=amount.unit or follower.unit)
                found[index + 1] = replace(follower, unit=follower.unit or amount.unit)
        for index, amount in enumerate(found[:-1]):
            size = found[index + 1].noun
            if not amount.unit and amount.noun is None and size is not None and size.kind == "vessel":
                found[index] = replace(amount, noun=size)  # "three 15 litre crocks"
            small = found[index + 1].unit in _SMALL and not found[index + 1].mark
            sized = (found[index + 1].mark == "of" or small) and size is None and found[index + 1].unit
            held = vocabulary().dimension.get(found[index + 1].unit) == "volume" or found[index + 1].unit == "ounce"
            if not amount.unit and amount.said("vessel") == "bottle" and sized and held:
                found[index + 1] = replace(
                    found[index + 1], noun=amount.noun
                )  # "60 bottles of 150 ml", "60 bottles 150 ml"
        for index, amount in enumerate(found[:-1]):
            follower = found[index + 1]
            bare = not amount.unit and amount.noun is None and not amount.mark
            if bare and follower.mark == "to" and follower.unit == "percent":
                found[index] = replace(amount, unit="percent")  # "bump it 3.5 to 5 %"
        known = vocabulary().dimension
        for index, amount in enumerate(found[:-1]):
            follower = found[index + 1]
            held = known.get(amount.unit) in ("mass", "volume") and amount.noun is None
            strong = follower.mark == "of" and follower.unit == "percent" and follower.said("noun") in _LIQUIDS
            liquid = amount.said("noun") == "brine" and known.get(amount.unit) == "volume"
            led = follower.mark == "at" and follower.unit == "percent" and follower.noun is None
            if liquid and led and not _mixes(self.words):
                found[index + 1] = replace(follower, noun=amount.noun)  # "3 litres of brine at 5 %"
            if held and strong and not _mixes(self.words):
                found[index] = replace(amount, noun=follower.noun, tied=True)  # "2 quarts of 5 % brine"
        lengths = {one.unit for one in found if known.get(one.unit) == "length"}
        for index, amount in enumerate(found):
            if not amount.unit and amount.said("property") in ("height", "diameter") and len(lengths) == 1:
                found[index] = replace(amount, unit=next(iter(lengths)))  # "26 cm across, 18 deep"
        percent = any(one.unit == "percent" for one in found)
        for index, amount in enumerate(found):
            if amount.mark in ("to", "at") and not amount.unit and amount.noun is None and percent:
                # "only three percent, bring it up to five"
                found[index] = replace(amount, unit="percent")
        return found

    def bind(self) -> None:
        """Gives nouns to the amounts beside them.

        "salt 60 g water 1 L": in a run of nouns and amounts without separators that starts
        with a noun and ends with a bare amount, each noun belongs to the amount after it,
        although the parser, left to right, gave it to the one before.
        """
        self._bind_links()
        self._bind_free()
        start = 0
        for end in range(len(self.line) + 1):
            item = self.line[end] if end < len(self.line) else None
            if item is None or (isinstance(item, Word) and item.kind == "sep"):
                self._bind_run(start, end)
                start = end + 1
        self._bind_rest()

    def _bind_links(self) -> None:
        """ "salt: 60 g water: 1 L", "the water is 9 litres": the link ties the noun before it."""
        index = 0
        while index + 2 < len(self.line):
            noun, link, amount = self.line[index : index + 3]
            linked = isinstance(link, Word) and link.kind == "link"
            if linked and isinstance(noun, Word) and _is_noun(noun) and isinstance(amount, Amount) and not amount.tied:
                held = amount.noun
                if not (amount.mark or _odd(noun, amount.unit) or (noun.term in _TOPICS and held is not None)):
                    rest = [held] if held is not None else []
                    self.line[index : index + 3] = [replace(amount, noun=noun, tied=True), *rest]
                    continue
            index += 1

    def _bind_run(self, start: int, end: int) -> None:
        """Rebinds every stretch of nouns and amounts with nothing between them."""
        stretch: list[int] = []
        for index in range(start, end + 1):
            item = self.line[index] if index < end else None
            loose = _is_noun(item) or (isinstance(item, Amount) and not item.mark)
            if loose and not (isinstance(item, Amount) and (item.tied or item.others)):
                stretch.append(index)
                continue
            self._rebind(stretch)
            stretch = []

    def _rebind(self, stretch: list[int]) -> None:
        """The noun-first reading of a stretch, where it is the one that fits.

        A noun with amounts right after it can lead. Both readings are weighed by
        whether each noun can be measured in its amount's unit; the noun-first one is taken
        if it fits better, or fits as well and the stretch ends in a bare amount. A topic
        word that leads ("brine 20 l water 5 %") is no noun of an amount.
        """
        for index in range(len(stretch) - 1):
            lead, follows = self.line[stretch[index]], self.line[stretch[index + 1]]
            if not isinstance(lead, Word) or not isinstance(follows, Amount):
                continue
            run = [stretch[index]]
            for at in stretch[index + 1 :]:
                if not isinstance(self.line[at], Amount):
                    break
                run.append(at)
            self._lead(run)

    def _lead(self, run: list[int]) -> None:
        """One noun and the amounts right after it: does the noun lead?"""
        lead = self.line[run[0]]
        amounts = [self.line[at] for at in run[1:]]
        if not isinstance(lead, Word) or not all(isinstance(one, Amount) for one in amounts):
            return
        found = [one for one in amounts if isinstance(one, Amount)]
        if any(one.noun is None for one in found[:-1]):
            return
        own = found[-1].noun
        if own is not None and own.kind == "property" and not _odd(own, found[-1].unit):
            return  # "3 gallons high and 20 cm across": a property stands after its amount
        carried = [lead, *(one.noun for one in found[:-1] if one.noun is not None)]
        shifted = sum(_odd(noun, one.unit) for noun, one in zip(carried, found, strict=True))
        given = sum(_odd(one.noun, one.unit) for one in found if one.noun is not None)
        bare_end = found[-1].noun is None
        if lead.kind == "noun" and lead.term in _TOPICS and shifted >= given:
            return
        if not (shifted < given or (bare_end and shifted == given and len(found) > 1)):
            return
        rest = found[-1].noun
        for at, one, noun in zip(run[1:], found, carried, strict=True):
            self.line[at] = replace(one, noun=noun)
        self.line[run[0]] = Word("sep", "", lead.span, "")
        if rest is not None:
            self.free.append(rest)

    def _bind_free(self) -> None:
        """ "2 litres must stay free": a headspace said after its volume, with only fillers between."""
        for index in range(len(self.line) - 1):
            amount, word = self.line[index : index + 2]
            if not isinstance(amount, Amount) or not isinstance(word, Word) or amount.noun is not None:
                continue
            if word.term == "headspace" and not _odd(word, amount.unit) and amount.unit != "percent":
                self.line[index] = replace(amount, noun=word)
                self.line[index + 1] = Word("sep", "", word.span, "")

    def _bind_rest(self) -> None:
        """A noun right before an amount that has none: "peppers 3 kg", "crock of 10 L"."""
        for index, item in enumerate(self.line):
            if not isinstance(item, Amount) or item.noun is not None:
                continue
            back = index - 1
            if back >= 0 and isinstance(self.line[back], Word) and self.line[back].kind == "link":  # type: ignore[union-attr]
                back -= 1
            before = self.line[back] if back >= 0 else None
            if not isinstance(before, Word) or not _is_noun(before):
                continue
            linked = back < index - 1
            if _odd(before, item.unit) and before.kind == "property":
                continue  # "how high up the side is three gallons"
            sized = before.kind == "vessel" and item.mark == "from"  # "a crock from 20 liters", as some say it
            reset = item.mark == "to" and any(isinstance(one, Word) and one.kind == "change" for one in self.line)
            mild = before.term == "mild" and item.mark == "at"  # "mild mash at 2 %"
            if before.term in ("lactic", "citric") and item.mark not in ("", "of", "at"):
                continue  # "lactic acid for 2 cups of vinegar"
            if item.mark and item.mark != "of" and before.kind != "property" and not (sized or reset or mild):
                continue
            if before.kind == "noun" and before.term in _TOPICS and not linked:
                continue
            self.line[index] = replace(item, noun=before)
            self.line[back] = Word("sep", "", before.span, "")


_SMALL = ("milliliter", "centiliter", "fluid_ounce", "ounce")
"""Units that a bottle is measured in where its size follows its number with no word between."""

_LIQUIDS = ("brine", "mash", "batch")


def _mixes(words: Iterable[Word]) -> bool:
    return any(word.term in ("mixing", "topping") for word in words)


_TOPICS = ("brine", "mash", "batch")
"""Nouns that as often name the subject of the sentence as the thing measured."""

_MEASURED = {
    "vessel": ("volume",), "produce": ("mass", "fraction"), "salt": ("mass", "volume", "fraction", "density"),
    "brine": ("mass", "volume", "fraction", "density", "salometer", "temperature"),
    **dict.fromkeys(("diameter", "height", "altitude"), ("length",)),
    "water": ("mass", "volume", "fraction", "density"),
    "temperature": ("temperature",), "headspace": ("volume", "length", "fraction"),
    "filled": ("volume", "fraction", ""), "capacity": ("volume",), "gravity": ("",), "ph": ("",),
    "substance": ("mass", "volume"), "salometer-reading": ("", "salometer"),
    "salinity": ("fraction", "density"), "acetic": ("fraction",), "naoh": ("mass", "volume", "normality"),
    "lactic": ("mass", "volume", "fraction"), "citric": ("mass", "volume", "fraction"),
    "energy": ("none",), "sodium": ("mass",), "serving": ("volume", "mass"), "pungency": ("pungency",),
    "slope": ("fraction", "slope"), "offset": ("potential",),
    **dict.fromkeys(("buffer", *BUFFER_TERMS), ("potential", "temperature")), "basis": ("fraction", "density"),
}  # fmt: skip
"""What each noun (by term, else by kind) can be measured in; others in anything."""


def _odd(noun: Word | None, unit: str) -> bool:
    """Whether the noun is not measured in such a unit."""
    if noun is None:
        return False
    allowed = _MEASURED.get(noun.term) or _MEASURED.get(noun.kind)
    return allowed is not None and vocabulary().dimension.get(unit, "") not in allowed


def _is_noun(item: object) -> bool:
    return isinstance(item, Word) and item.kind in _NOUNS


def _worded(amount: Amount, text: str) -> Amount:
    """The amount (and its rivals) with its words as they stand in the text."""
    rivals = tuple(_worded(one, text) for one in amount.rivals)
    return replace(amount, text=text[slice(*amount.span)], rivals=rivals)


def _based(built: _Builder) -> list[Amount]:
    """The amounts with a basis said apart ("2 % of the whole thing, salt included") tied in."""
    known = vocabulary().dimension
    amounts = built.amounts()
    strengths = [one for one in amounts if known.get(one.unit) == "fraction"]
    free = [word for word in built.words if word.kind == "basis"]
    if len(strengths) == 1 and free:
        noun = strengths[0].noun
        word = free[-1]
        silent = noun is None or noun.term == "salt"  # "3 % salt by water weight" is of the water
        if noun is None or silent or (noun.term == "of-total" and word.term == "of-whole"):
            others = strengths[0].others if noun is None else (*strengths[0].others, noun)
            tied = replace(strengths[0], noun=word, others=others)
            amounts = [tied if one is strengths[0] else one for one in amounts]
            built.drop(word)
    return amounts


_LESS = regex(r"\W*(?:milder|less)\b", re.IGNORECASE)


def _scaled(amounts: list[Amount], words: list[Word], text: str) -> list[Amount]:
    """Numbers whose unit another word of the sentence gives: salometer degrees, gravity, "half full"."""
    bound = [word for one in amounts for word in (one.noun, *one.others) if word is not None]
    terms = {word.term for word in (*words, *bound)}
    out = []
    for one in amounts:
        made = one
        if "salometer-reading" in terms and one.unit in ("degree", "") and one.value == one.value:
            made = replace(one, unit="salometer")
        elif "gravity" in terms and not one.unit and one.noun is None and 0.98 < one.value < 1.3:
            made = replace(one, noun=Word("property", "gravity", one.span, one.text))
        elif "gravity" in terms and not one.unit and one.rivals and one.rivals[0].value < 2:
            made = replace(one, value=one.rivals[0].value, rivals=())
        elif one.said("property") == "filled" and not one.unit and 0 < one.value < 1:
            made = replace(one, unit="percent", value=100 * one.value)
        elif "milder" in terms and one.unit == "percent" and not one.mark and _LESS.match(text[one.span[1] :]):
            made = replace(one, value=100 - one.value, mark="to")  # "10 % milder" leaves 90
        elif one.unit == "pungency" and re.match(r"\W*(?:less|milder|lower)\b", text[one.span[1] :], re.IGNORECASE):
            made = replace(one, mark="by")
        elif "milder" in terms and not one.unit and 0 < one.value < 1:
            part = 1 - one.value if one.mark == "by" else one.value  # "to a third" leaves one, "by a third" takes one
            made = replace(one, unit="percent", value=100 * part, mark="to")
        out.append(made)
    return out


_APART = frozenset({"date", "time", "months", "temperature"})
"""Dimensions in which no thing of the kitchen is measured, so that a word beside it is not its noun."""


def _apart(built: _Builder, amounts: list[Amount]) -> list[Amount]:
    """Dates, times and temperatures without the thing that happens to stand beside them."""
    known = vocabulary().dimension
    out = []
    for one in amounts:
        noun = one.noun
        keeps = ("temperature", "brine", "salometer-reading") if one.unit == "degree" else ("temperature",)
        loose = noun is not None and noun.term not in keeps
        if known.get(one.unit) in _APART and loose:
            built.free += [word for word in (noun, *one.others) if word is not None]
            one = replace(one, noun=None, others=(), tied=False)  # noqa: PLW2901 - the same amount, without its noun
        out.append(one)
    return out


def _cupped(amount: Amount, unit: str) -> Amount:
    """ "4 c of water" is cups: no one tells the temperature of water so, and cooks write cups so."""
    noun = amount.noun
    dry = noun is not None and noun.kind in ("noun", "substance", "salt", "produce") and amount.tied
    if amount.unit == "degree_Celsius" and amount.text.endswith("c") and amount.value == amount.value:
        into = vocabulary().dimension.get(unit, "")
        if dry or into == "volume":
            return replace(amount, unit="cup")
    return amount


_STOCKS = ("bleach", "iodophor")
_STROKE = regex(r"\d+\s*/\s*\d+")
_TO = regex(r"\bto\b", re.IGNORECASE)
_NEW_RATIO = regex(
    r"\W*(?:no\W+)?(?:make\s+it|what\s+about|how\s+about|and)\s+(?:at\s+)?\d+\s*:\s*\d+\W*", re.IGNORECASE
)
_BETWEEN = regex(
    r"\s*(?:parts?)?\s*(?:of\s+)?(?:the\s+|[\d.]+\s*%\s*)?(?:bleach|iodophor|stock|water|concentrate|sanitizer|sanitiser)?\s*"
    r"(?::|to|in|into|per|on)\s*(?:every\s+)?",
    re.IGNORECASE,
)
_IN_ALL = regex(
    r"\W*(?:parts?)?\W*(?:in\s+all|in\s+total|total|altogether|of\s+the\s+whole|all\s+told|of\s+the\s+mix)\b",
    re.IGNORECASE,
)


def _sanitizes(words: Iterable[Word], amounts: Iterable[Amount]) -> bool:
    """Whether the line is about a sanitizer from a stock."""
    nouns = (one.noun for one in amounts if one.noun is not None)
    return any(word.term in (*_STOCKS, "sanitizing") for word in (*words, *nouns))


def _thinned(amounts: list[Amount], text: str) -> list[Amount]:
    """A stock thinned with water: "1:64", "one part in 64" as parts to one, and ounces of it by volume.

    "One ounce to five gallons of iodophor" is an ounce of iodophor: nobody thins it with itself.
    """
    out: list[Amount] = []
    for amount in amounts:
        weighed = amount.unit == "ounce" and "weight" not in amount.text.lower()
        one = replace(amount, unit="fluid_ounce", rivals=()) if weighed else amount
        before = out[-1] if out else None
        if before is not None and (parts := _ratio(before, one, text)) is not None:
            out[-1] = parts
            continue
        apart = next((each for each in out if each.unit == one.unit == "part" and each.value > 0), None)
        if apart is not None and one.value > 0:  # "one part of 8.25 % bleach with 400 parts of water"
            more, less = (one, apart) if one.value >= apart.value else (apart, one)
            water = more.said("noun") == "water"
            out = [each for each in out if each is not apart]
            others = (less.noun,) if less.noun is not None else ()
            out.append(replace(more, value=more.value / less.value, noun=more.noun if water else None, others=others))
            continue
        inches = one.unit == "inch" and one.text.lower().endswith(" in") and _IN_ALL.match(text[one.span[1] - 2 :])
        if (not one.unit or inches) and one.rivals and _TO.search(one.text) and one.value > 0:
            whole = Word("property", "final", (one.span[1], one.span[1]), "")
            others = (one.noun,) if inches and one.noun is not None else ()
            parts_ = one.rivals[0].value / one.value  # "one to sixty-four"
            one = Amount(parts_, "part", one.span, one.text, noun=whole if inches else one.noun, others=others)
        elif one.unit in ("", "percent") and _STROKE.fullmatch(one.text) and 0 < one.value < 1:
            one = Amount(1 / one.value, "part", one.span, one.text, noun=one.noun)
        if before is not None and before.noun is None and one.said("substance") in _STOCKS and one.mark == "to":
            volumes = [vocabulary().dimension.get(each.unit) == "volume" for each in (before, one)]
            if all(volumes):
                out[-1], one = replace(before, noun=one.noun), replace(one, noun=None)
        stock = next((each.noun for each in amounts if each.said("substance") in _STOCKS), None)
        if before is not None and stock is not None and before.noun is one.noun is None:
            pours = all(vocabulary().dimension.get(each.unit) == "volume" for each in (before, one))
            if pours and one.mark in ("per", "to"):
                out[-1] = replace(before, noun=stock)  # "6 % bleach, 5 ml per litre"
        out.append(one)
    return out


def _ratio(first: Amount, second: Amount, text: str) -> Amount | None:
    """Two bare numbers or parts with "to", "in" or a colon between them, as so many parts to one of the stock."""
    counts = all(one.unit in ("", "part") and one.value > 0 and not one.rivals for one in (first, second))
    between = text[first.span[1] : second.span[0]]
    if not counts or not _BETWEEN.fullmatch(between):
        return None
    span = (first.span[0], second.span[1])
    more, less = (second, first) if second.value >= first.value else (first, second)
    stock = next((one.noun for one in (less, more) if one.said("substance") in _STOCKS), None)
    noun = more.noun if more.said("noun") == "water" else None
    if noun is None and _IN_ALL.match(text[second.span[1] :]):
        noun = Word("property", "final", (second.span[1], second.span[1]), "")
    chosen = noun or stock
    others = tuple(one.noun for one in (first, second) if one.noun is not None and one.noun is not chosen)
    return Amount(more.value / less.value, "part", span, text[slice(*span)], noun=chosen, others=others)


def _sized(amounts: Iterable[Amount]) -> bool:
    """Whether there is a weight or a volume."""
    return any(vocabulary().dimension.get(one.unit) in ("mass", "volume") for one in amounts)


_CASE_OF = regex(r"\b(?:case|carton)s?(?:\s+(?:of|with|holding))?\s+$", re.IGNORECASE)
_CASES = regex(r"\W*bottle\W+(?:case|carton)s?\b", re.IGNORECASE)
_BOTTLE_OF = regex(r"\b(?:bottle|woozie|woozy)s?\s+of\s+$", re.IGNORECASE)
_TO_BOTTLE = regex(r"(?:^|\b(?:i|we|to|and|then|i'll|we'll)\s+)bottle\s+$", re.IGNORECASE)
_LEFT_FREE = regex(r"\b(?:leave|leaving)\s+(?:(?:about|just)\s+)?$", re.IGNORECASE)
_A_BOTTLE = regex(r"\W{0,2}(?:each|apiece|a\s+bottle|per\s+bottle)\b", re.IGNORECASE)


def _boxed(amount: Amount, text: str) -> Amount:
    """ "Cases of 12 bottles" is what a case holds, "150 ml each" a bottle; "filled to 140 ml" is led by "to"."""
    noun, before, after = amount.noun, text[: amount.span[0]], text[amount.span[1] :]
    counted = not amount.unit and amount.said("vessel") == "bottle"
    if counted and noun is not None and (_CASE_OF.search(before) or _CASES.match(after)):
        return replace(amount, mark="of", noun=Word("noun", "case", noun.span, noun.text))
    if noun is not None and noun.term == "bottle" and noun.span[1] <= amount.span[0] and _TO_BOTTLE.search(before):
        return replace(amount, noun=None)  # "to bottle 6 litres" is a deed
    pours = vocabulary().dimension.get(amount.unit) == "volume" or amount.unit == "ounce"
    of = bool(_BOTTLE_OF.search(before))
    each = noun is None and bool(_A_BOTTLE.match(after)) and "bottle" in text.lower()
    if pours and (each or (of and (noun is None or noun.term == "filled"))):
        return replace(amount, noun=Word("vessel", "bottle", amount.span, ""))
    if noun is None and pours and _LEFT_FREE.search(before) and "bottle" in text.lower():
        return replace(amount, noun=Word("property", "headspace", amount.span, ""))
    to = noun is not None and noun.term == "filled" and noun.text.lower().endswith((" to", " till"))
    if to and not amount.mark and vocabulary().dimension.get(amount.unit) == "volume":
        return replace(amount, mark="to")
    return amount


def _rivals(amount: Amount) -> Amount:
    """Adds the readings that only the words around an amount make possible."""
    noun = amount.noun
    if amount.unit != "degree" and any(one.unit == "degree" for one in amount.rivals):
        scaled = [
            replace(one, unit=unit)
            for one in amount.rivals
            for unit in (("degree_Celsius", "degree_Fahrenheit") if one.unit == "degree" else (one.unit,))
        ]
        amount = replace(amount, rivals=tuple(scaled))
    strength = vocabulary().dimension.get(amount.unit) in ("fraction", "density")
    if noun is not None and noun.term in ("first", "second"):
        amount = replace(amount, noun=None, others=(*amount.others, noun))  # says which, not of what
        noun = None
    if strength and noun is not None and noun.term == "water" and not amount.tied:
        amount = replace(amount, noun=None, others=(*amount.others, noun))
        noun = None
    if strength and noun is not None and noun.kind == "vessel" and not amount.others:
        amount = replace(amount, noun=None, others=(noun,))  # "the other jar which is 4 %"
        noun = None
    if strength and noun is not None and (noun.term == "salt" or noun.kind == "salt"):
        # "3% salt" is a strength with no basis
        amount = replace(amount, noun=None, others=(*amount.others, noun))
        noun = None
    liquid = noun is not None and noun.term in ("water", "brine", "vinegar")
    if amount.unit == "ounce" and noun is not None and noun.kind == "vessel" and noun.term != "bag":
        return replace(amount, unit="fluid_ounce", rivals=())  # jars are sold by what they hold
    if amount.unit == "ounce" and liquid and not amount.rivals and "weight" not in amount.text.lower():
        other = replace(amount, unit="fluid_ounce")
        return replace(amount, rivals=(other,))
    if amount.unit == "degree":
        values = [replace(one, rivals=(), mark=amount.mark, noun=noun) for one in (amount, *amount.rivals)]
        cool = replace(amount, unit="degree_Celsius")
        scales = ("degree_Celsius", "degree_Fahrenheit")
        rivals: tuple[Amount, ...] = tuple(replace(one, unit=unit) for one in values for unit in scales)[1:]
        if noun is not None and noun.term == "brine":
            rivals = (*rivals, replace(values[0], unit="salometer"))
        return replace(cool, rivals=rivals)
    if amount.rivals and not amount.rivals[0].noun:
        rivals = tuple(replace(one, mark=amount.mark, noun=amount.noun, others=amount.others) for one in amount.rivals)
        return replace(amount, rivals=rivals)
    return amount
