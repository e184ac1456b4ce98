"""What a word of the trade means: "what is a brine", "what does headspace mean", "what's that?".

A line is such a question only if it is nothing else: the words of asking, a known term, and no more. So a line
with an amount in it, or with a batch, a vessel or a "now", goes where it went.
"""

from __future__ import annotations

import re
from dataclasses import replace
from functools import lru_cache
from typing import TYPE_CHECKING

from assistant.replies import Answer, Note, NotRead, Reply, Why
from assistant.talk.account.which import current
from assistant.talk.opened import open_question
from assistant.talk.state import Result, State
from grammar.later import module, regex
from grammar.spelling import near
from grammar.types import Misread, Reading

if TYPE_CHECKING:
    from assistant.rules import glossary as terms_
    from assistant.rules.glossary import Glossary, Term
else:
    terms_ = module("assistant.rules.glossary")


NAME = "glossary"
"""What answers from here are called."""

MOST = 3
"""How many words of the last reply are explained at once."""

_LEAD = (
    r"(?:(?:and|so|but|ok|okay|hey|um|uh|er|erm|sorry|please|wait|hang on|hi|hello|right|well|huh|eh|hm+|question|"
    r"quick question|crockside|just|oh|yes but|remind me|tell me|can you tell me|could you tell me)\W+)*"
)
_TAIL = (
    r"(?:\W+(?:again|then|please|pls|exactly|actually|anyway|though|here|mate|really|even|supposed to be|"
    r"when it'?s at home|in (?:plain|simple) (?:english|words|terms)|for (?:a )?beginners?|thanks|thx))*\W*"
)
_WHAT = (
    r"(?:what|wot|wat|wut|whut)(?:'?s|’s| is| are|'?re| the (?:heck|hell|devil) (?:is|are)| "
    r"(?:even|on earth|exactly|actually) (?:is|are)| kind of (?:a )?(?:thing|word) is| do you call)"
)
_ART = r"(?P<art>(?:a|an|uh|the|this|that|these|those|some)\b[\s,]+)?(?:(?:uh|um|er)\b[\s,]+)?"
_X = r"(?P<x>[^\n]{1,60}?)"
_FRAMES: tuple[tuple[str, str], ...] = (
    ("mean", rf"(?:what|wot|wat|wut)(?: (?:does|do|did|dose|would)|'?s|’s| is) {_ART}{_X} (?:mean|means|stand for)"),
    ("mean", rf"(?:{_WHAT} )?(?:the )?(?:meaning|definition|sense) of {_ART}{_X}"),
    ("mean", rf"what (?:do|did) you mean (?:by|with) {_ART}{_X}"),
    ("mean", rf"{_WHAT} meant by {_ART}{_X}"),
    ("mean", rf"{_ART}{_X} (?:meaning|definition|means what)"),
    ("mean", rf"(?:define:?|(?:can|could|would) you define) {_ART}{_X}"),
    (
        "mean",
        rf"(?:(?:can|could|would) you )?(?:explain|say|remind me|tell me|know|and) what {_ART}{_X} (?:is|are|means?)",
    ),
    ("mean", rf"(?:i )?(?:don'?t know|dunno|no idea|no clue|not sure) what {_ART}{_X} (?:is|are|means?)"),
    ("mean", rf"what {_ART}{_X} means"),
    ("mean", rf"(?:tell me|explain) (?:something |more )?about {_ART}{_X}"),
    ("mean", rf"what does {_ART}{_X} do"),
    ("for", rf"{_WHAT} {_ART}{_X} (?:(?:used |good |there )?for|all about)"),
    ("mean", rf"(?:i'?ve )?never heard of {_ART}{_X}"),
    ("for", rf"{_WHAT} the (?:point|use|purpose) of {_ART}{_X}"),
    ("is", rf"{_WHAT} the deal with {_ART}{_X}"),
    ("between", rf"(?:{_WHAT} )?(?:the )?difference between {_ART}{_X}"),
    ("explain", rf"(?:(?:can|could|would) you )?explain(?: to me| me)? {_ART}{_X}"),
    ("is", rf"{_WHAT} {_ART}{_X}"),
    ("is", rf"(?:wazz|wass|wuzz|whats|wats|wots|wuts)a {_X}"),
)
_THAT = (
    r"(?:what|wot|wat|wut)(?:'?s|’s| is| are|'?re) (?:all )?(?:that|this|those|these|dat)(?: (?:words?|stuff|bit))?"
    r"(?: (?:all )?(?:mean|means))?|"
    r"(?:what|wot|wat|wut) (?:does|do|did|dose) (?:all |any of )?(?:that|this|it|those|these|they)(?: words?)?"
    r"(?: (?:all|even))? mean|"
    r"(?:wh?a|wu)(?:zz?|ss?)(?:at| at| that| dat)|what do you mean|explain (?:that|those|these|the) words?|"
    r"(?:i )?don'?t (?:know|understand) (?:that|those|these) words?"
)


@lru_cache(maxsize=1)
def _frames() -> tuple[tuple[tuple[str, re.Pattern[str]], ...], re.Pattern[str]]:
    """The patterns; made when the first question comes, because a cold answer need not wait for them."""

    def whole(middle: str) -> re.Pattern[str]:
        text = rf"\W*{_LEAD}(?:{middle}){_TAIL}"
        return regex(text.replace(" ", r"\s+"), re.IGNORECASE)

    return tuple((kind, whole(middle)) for kind, middle in _FRAMES), whole(_THAT)


_MAY_ASK = regex(
    r"\b(?:w[hu]?[aou]t\w*|w[ahu]+[sz]+\w*|mean\w*|explain|defin\w+|difference|about|words?|never heard)\b",
    re.IGNORECASE,
)
"""What some frame needs; no other line is looked at any further."""

_DIGIT = regex(r"\d")
_HAS_DIGIT = regex(r"\b(?:5[\s-]*log|f0|co2|0\.1\s*n)\b", re.IGNORECASE)
"""Terms with a digit in them; any other digit is an amount."""


def asked(state: State, said: Reading | Misread) -> Result | None:
    """The meaning of the term that is asked for, or None where the line is no such question, or no such alone."""
    text = said.text
    if len(text) > 120 or not _MAY_ASK.search(text) or _DIGIT.search(_HAS_DIGIT.sub("", text)):
        return None
    frames, that = _frames()
    if that.fullmatch(text):
        return _of_the_last(state)
    known = terms_.glossary()
    tried = [(kind, match) for kind, frame in frames if (match := frame.fullmatch(text)) is not None]
    for kind, match in tried:
        words, definite = (
            match["x"],
            (match.groupdict().get("art") or "").strip(" ,").lower() in ("the", "this", "that"),
        )
        terms = _terms(known, words)
        if not terms or (kind == "between" and len(terms) == 1):
            continue
        if _asks_the_number(said, kind, terms, definite):
            return None
        return _explained(state, terms, _number_note(state, said, kind, terms))
    for kind, match in tried:
        if kind in ("mean", "is", "explain") and (found := _misspelt(known, said, match["x"])) is not None:
            term, note = found
            return _explained(state, (term,), (note,))
    return _not_there(state, said, tried)


def _terms(known: Glossary, words: str) -> tuple[Term, ...]:
    """The terms that the words are, all of them: one, or two joined by "and" or "or"."""
    if (one := known.find(words)) is not None:
        return (one,)
    parts = re.split(r"\s+(?:and|or|vs|versus)\s+(?:an?\s+|the\s+)?", words.strip(), flags=re.IGNORECASE)
    found = [known.find(part) for part in parts]
    terms = tuple(one for one in found if one is not None)
    return terms if 1 < len(parts) <= MOST and len(terms) == len(parts) else ()


def _asks_the_number(said: Reading | Misread, kind: str, terms: tuple[Term, ...], definite: bool) -> bool:
    """Whether "what's the slope", "explain the salt" or "what's the salt for" asks for a number, not for a meaning."""
    if not definite or kind in ("mean", "between") or not any(one.value for one in terms):
        return False
    return kind == "for" or not isinstance(said, Misread)


def _number_note(state: State, said: Reading | Misread, kind: str, terms: tuple[Term, ...]) -> tuple[Note, ...]:
    """How to ask for the number or its sums, where "what's headspace" or "explain brine" may have meant them."""
    asks = isinstance(said, Reading) and (said.wanted or kind == "explain")
    if len(terms) > 1 or not terms[0].value or not asks or (state.answered is None and current(state) is None):
        return ()
    if kind == "explain":
        return (Note('That is what the word means. For the sums say "why".'),)
    if kind == "is":
        return (Note(f'That is what the word means. For the number say "what\'s the {terms[0].name}".'),)
    return ()


def _misspelt(known: Glossary, said: Reading | Misread, words: str) -> tuple[Term, Note] | None:
    """A term with a slip in its spelling, where the line is not read otherwise."""
    if isinstance(said, Misread) and said.why != "unknown-word":
        return None
    if isinstance(said, Reading) and not said.repaired and not said.left_over:
        return None
    parts = {part for name in known.by_name for part in name.split()}
    mended = []
    for word in terms_.plain(words).split():
        nearest = near(word, parts) if word not in parts else [word]
        if len(nearest) != 1:
            return None
        mended.append(nearest[0])
    term = known.find(" ".join(mended))
    if term is None:
        return None
    return term, Note(f'I read "{words.strip()}" as "{" ".join(mended)}".')


def _not_there(state: State, said: Reading | Misread, tried: list[tuple[str, re.Match[str]]]) -> Result | None:
    """A word whose meaning is plainly asked for, that is not in the glossary and that nothing else reads."""
    if not isinstance(said, Misread) or said.why != "unknown-word":
        return None
    match = next((one for kind, one in tried if kind == "mean"), None)
    if match is None:
        return None
    words, (start, end) = match["x"], match.span("x")
    text = f'I have no explanation of "{words}". I know the words of this trade, for example: what is headspace.'
    return state, (NotRead(text, "unknown-word", words, start, end), *open_question(state))


def _of_the_last(state: State) -> Result:
    """The words of the last reply that a beginner may not know; those just explained are not explained again."""
    known = terms_.glossary()
    explained = [one.text for one in known.terms if one.name in state.meant]
    terms = known.said((*explained, *(one.text for one in state.said)))
    terms = tuple(one for one in terms if one.name not in state.meant)
    if not terms:
        lead = "There is no word of the trade in what I said last" if state.said else "Nothing has been said yet"
        text = f'{lead}. Name the word, for example: "what is headspace".'
        return state, (Note(text), *open_question(state))
    rest = [one.name for one in terms[MOST:]]
    more = (Note(f'Also in it: {", ".join(rest)}. Say, for example, "what does {rest[0]} mean".'),) if rest else ()
    return _explained(state, terms[:MOST], more)


def _explained(state: State, terms: tuple[Term, ...], notes: tuple[Note, ...]) -> Result:
    """The meaning of each, then the question that was open."""
    answers = [Answer(one.text, NAME, (), one.text) for one in terms]
    meant = tuple(dict.fromkeys((*state.meant, *(one.name for one in terms))))
    return replace(state, meant=meant), (*answers, *notes, *open_question(state))


def why(state: State) -> tuple[Reply, ...]:
    """What the meanings rest on that were explained since the last reply; nothing if there were none."""
    if not state.meant:
        return ()
    terms = [one for one in terms_.glossary().terms if one.name in state.meant]
    return tuple(Why(f"What is said of {one.name} rests on this.", source=str(one.source)) for one in terms)
