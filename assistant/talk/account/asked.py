"""What a line asks of the account, if it asks anything of it."""

from __future__ import annotations

import datetime
import re

from assistant.talk.account.about import about
from assistant.talk.account.fact import deeds_of
from assistant.talk.account.labelling import FIRST, LABELS, SHORT, WORD
from assistant.talk.account.repeating import repeat_last
from assistant.talk.account.which import current, meant, names_batch, numbered, phrase
from assistant.talk.place import dimension
from assistant.talk.state import Result, State
from grammar.types import Reading

_HOW_TO = phrase(r"\b(should|do i|shall|use|need|for|to (?:add|get|raise|make))\b")
_SALT_NOW = phrase(
    r"\b(now|how salty|salinity|salt left|at the moment|by now|in it|in there|in the|again|currently|so far)\b"
)


OLD = phrase(r"\b(how old|how long\W?s? (?:has|have|is|this|it|the)|been going|when did (?:i|we) (?:start|begin)|"
                  r"what day are we)\b")  # fmt: skip


_OF_BATCH = (
    (frozenset({"salt", "salinity", "strength"}), "salt"), (frozenset({"span", "start", "date"}), "age"),
    (frozenset({"ph"}), "last-ph"),
)  # fmt: skip
"""What is asked of a batch that is named by its number."""


def asked(state: State, said: Reading) -> str | None:
    """What is asked of the account, or None."""
    terms = [word.term for word in said.told if word.kind == "about"]
    if terms:
        first = "label" if terms[0] in LABELS and FIRST.match(said.text) else terms[0]
        numbers = [one for one in said.amounts if not names_batch(said, one) and dimension(one.unit) != "date"]
        if first == "switch" and (numbers or not (meant(state, said) or numbered(said.text))):
            return None
        return None if numbers and first not in {"same", "contents", *LABELS} else first
    if labels(said):
        return "label"
    if _switches(state, said):
        return "switch"
    if (
        state.mode == "idle"
        and not said.amounts
        and (match := _HOW_IS.match(said.text)) is not None
        and any(one.name and one.name.lower() == match[1].lower() for one in state.shelf.recent)
    ):
        return "going"
    batch = current(state)
    plain = [one for one in said.amounts if not names_batch(said, one)]
    if batch is not None and not plain and not said.told and not said.whens and OLD.search(said.text):
        return "age"
    if not plain and numbered(said.text) and state.shelf.titles and deeds_of(said) == []:
        what = next((name for words, name in _OF_BATCH if words & set(said.wanted)), "")
        if what or (state.mode == "idle" and not said.wanted and not said.told and not said.unit):
            return what or ("switch" if re.search(r"\b(to|open)\b", said.text) else "contents")
    salty = bool(set(said.wanted) & {"salt", "salinity", "strength"})
    if batch is not None and batch.full and salty and not said.amounts and not said.unit and not _topical(said):
        return "salt" if _SALT_NOW.search(said.text) and not _HOW_TO.search(said.text) else None
    if said.wanted == ("batch",) and {word.kind for word in said.words} & {"produce", "vessel"} and not said.amounts:
        return "find"
    return None


def labels(said: Reading) -> bool:
    """Whether a line asks for a label by that word alone, and means none on a bottle of vinegar."""
    if said.terms & {"vinegar", "acetic", "nutrition"} or said.wanted or deeds_of(said):
        return False
    if FIRST.match(said.text):
        return True
    short = len(said.text.split()) <= SHORT and all(names_batch(said, one) for one in said.amounts)
    return short and WORD.match(said.text) is not None


def _topical(said: Reading) -> bool:
    """Whether a topic, produce or a vessel's size makes it a question of its own."""
    return any(word.kind in ("topic", "produce", "salt", "substance") for word in said.words)


def _switches(state: State, said: Reading) -> bool:
    """Whether the line only names another batch: "the other one", "the carrot one", "batch 2"."""
    if state.mode != "idle" or not state.shelf.titles or said.question or said.wanted or deeds_of(said):
        return False
    low = " ".join(said.text.lower().split()).strip(" .!,")
    if any(one.unit for one in said.amounts):
        return False
    if _bare_name(state, said, low):
        return True
    shaped = re.fullmatch(
        r"(?:ok |okay |and |now )?(?:the |on the |to the |my )?[\w' -]{1,30}? ?(?:one|batch|batch \w+|#\d+)", low
    )
    found = meant(state, said)
    here = current(state)
    named = numbered(said.text) or any(one.name and one.name.lower() in low for one in found)
    others = [one for one in found if named or here is None or one.number != here.number]
    if "other" in low and state.answered is not None and not (state.batch or state.other):
        return False  # the other answer, not the other batch
    return bool(shaped) and bool(others)


_LEAD = phrase(
    r"^(?:(?:ok|okay|and|now|so|right|then|well|no|sorry|switch|swap|change|go|back|over|on|move|let'?s|do|take|talk|about|"
    r"open|to|the|my|with|for|at|look|i|mean|meant|that'?s|it'?s|batch|ferment|is|was)\b[\W_]*)*"
)
_TAIL = phrase(r"(?:\W+(?:now|please|then|instead|again|batch|ferment|one|mash|crock|jar))*\W*$")


_HOW_IS = phrase(
    r"^\W*(?:so |and |ok )?how(?:'?s| is| are|'?re) (?:the |my |those )?([\w' -]+?)"
    r"(?: doing| going| getting on| coming along| now| today)*\W*$"
)
""" "How are the carrots": how a batch of that name goes."""


def _bare_name(state: State, said: Reading, low: str) -> bool:
    """Whether a line is a batch's name and no more ("the reds", "switch to the reds"); names of two are asked about."""
    rest = _TAIL.sub("", _LEAD.sub("", low, count=1)).strip()
    if not rest or said.amounts:
        return False
    if any(one.name and one.name.lower() == rest for one in state.shelf.recent if not one.closed):
        return True
    here = current(state)
    kinds = {word.kind for word in said.all_words} - {"det", "link", "filler"}
    found = [one for one in meant(state, said) if not one.closed] if kinds == {"produce"} else []
    return len(rest.split()) == 1 and len(found) == 1 and here is not None and found[0].number != here.number


def about_it(state: State, said: Reading, today: datetime.date, what: str) -> Result | None:
    """The answer to what is asked; None with an empty book: then the talk answers as it always did."""
    if what == "same":
        return repeat_last(state, said, today)
    if current(state) is None and not state.shelf.titles and what not in {"list", "find", *LABELS}:
        return None
    return about(state, said, today, what)
