"""Which batch a line means: by number, by name, by what is in it, or the open one."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from assistant.batches.shelf import Title
from assistant.talk.state import State
from assistant.trade.produce import NAMES
from grammar.later import regex
from grammar.types import Amount, Misread, Reading

if TYPE_CHECKING:
    from assistant.batches.batch import Batch


def phrase(pattern: str) -> re.Pattern[str]:
    """A pattern of words: case and the number of blanks between them count for nothing."""
    return regex(pattern.replace(" ", r"\s+"), re.IGNORECASE | re.DOTALL)


_NUMBER = phrase(r"\b(?:batch|number|batch\s+no|no\.)\s*(?:number\s*|no\.?\s*)?#?(\d+)\b(?!\.\d)")
_SPELLED = {
    name: at
    for at, name in enumerate(
        ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"), 1
    )
}
_WORDED = phrase(rf"\bbatch\s+(?:number\s+)?({'|'.join(_SPELLED)})\b")
_WORDS = regex(r"\w+")
_OTHER = phrase(r"\b(?:the )?other (?:one|batch|jar|crock|ferment)\b")


def current(state: State) -> Batch | None:
    """The open batch: the one spoken of, else the one last written to; a closed one only if it was asked for."""
    if state.batch:
        return state.shelf.batch(state.batch)
    batch = state.shelf.batch(state.shelf.latest)
    if batch is not None and not batch.closed:
        return batch
    found = (state.shelf.batch(one.number) for one in state.shelf.recent if not one.closed)
    return next((one for one in found if one is not None), None)


def other(state: State) -> Batch | None:
    """The batch spoken of before this one."""
    here = current(state)
    number = here.number if here else 0
    if state.other and state.other != number:
        return state.shelf.batch(state.other)
    return next((state.shelf.batch(one.number) for one in state.shelf.recent if one.number != number), None)


def numbered(text: str) -> int:
    """The number of a batch named by it ("batch 3", "batch three"), or 0."""
    if (match := _NUMBER.search(text)) is not None:
        return int(match[1])
    match = _WORDED.search(text)
    return _SPELLED[match[1].lower()] if match is not None else 0


def names_batch(said: Reading, amount: Amount) -> bool:
    """Whether a bare number is a batch's ("batch 3"), and no amount."""
    if amount.unit or amount.noun is None or amount.noun.term != "batch":
        spans = [match.span(1) for match in _NUMBER.finditer(said.text)]
        spans += [match.span(1) for match in _WORDED.finditer(said.text)]
        return not amount.unit and amount.span in spans
    return True


def named(state: State, text: str) -> list[Title]:
    """The batches whose name stands in the text as words; the longest names only."""
    low = f" {' '.join(_WORDS.findall(text.lower()))} "
    found = [one for one in state.shelf.recent if one.name and f" {' '.join(one.name.lower().split())} " in low]
    longest = max((len(one.name) for one in found), default=0)
    return [one for one in found if len(one.name) == longest]


def meant(state: State, found: Reading | Misread) -> list[Batch]:
    """Every batch that the line may mean; an empty list if it names none."""
    text = found.text
    shelf = state.shelf
    if (number := numbered(text)) != 0:
        batch = shelf.batch(number)
        return [batch] if batch is not None else []
    if _OTHER.search(text) and (there := other(state)) is not None:
        return [there]
    if titles := named(state, text):
        return [one for one in (shelf.batch(title.number) for title in titles) if one is not None]
    terms = found.terms if isinstance(found, Reading) else frozenset()
    kinds = found.kinds if isinstance(found, Reading) else {}
    produce = {word.term for word in kinds.get("produce", ())}
    vessels = {word.term for word in kinds.get("vessel", ())}
    wanted = produce or vessels
    if not wanted & terms:
        return []
    titles = [one for one in shelf.recent if wanted <= one.words]
    own = [one for one in titles if one.name.lower() in {NAMES.get(term, term) for term in produce}]
    titles = own if len(own) == 1 else titles  # "the carrot one": the carrots, before what has a carrot in it
    return [one for one in (shelf.batch(title.number) for title in titles) if one is not None]


def before(state: State, batch: Batch | None) -> Batch | None:
    """The batch begun before this one: "the last one"."""
    number = batch.number if batch is not None else state.shelf.last + 1
    return next((found for one in range(number - 1, 0, -1) if (found := state.shelf.batch(one)) is not None), None)
