"""A line that tells of something done, made into events and told back."""

from __future__ import annotations

import datetime
from dataclasses import replace
from typing import TYPE_CHECKING

from assistant.replies import Note, Reply
from assistant.talk.account import entering, reading, telling
from assistant.talk.account.deeds import DEEDS, pour_all
from assistant.talk.account.deeds import current as changed_vessels
from assistant.talk.account.desk import Desk, Stop, desk, label, nouns, percent
from assistant.talk.account.fact import AND, more, seen
from assistant.talk.account.manner import manner
from assistant.talk.account.putting import used_up
from assistant.talk.account.which import current, meant, named, numbered, other, phrase
from assistant.talk.opened import open_question
from assistant.talk.place import dimension
from assistant.talk.state import Deed, Plan, Result, State
from grammar.later import module
from grammar.told import holders
from grammar.types import Reading, Word

if TYPE_CHECKING:
    from assistant.batches import events as ev
    from assistant.batches.batch import Batch
else:
    ev = module("assistant.batches.events")


_ORDER = ("begun", "call", "note", "closed")
"""Deeds that a line is about, whatever else it tells."""


_INTO = phrase(r"\b(?:into|in to|onto) (?P<rest>.+)$")


_PART = phrase(r"\b(half|third|quarter|some|bit|part|rest|most|few)\b")
"""Words of a part that is not said in numbers."""


def worked(state: State, said: Reading, today: datetime.date, deeds: list[Word], job: object) -> Result:
    """The events of the line, told back; or what is missing."""
    try:
        batch, at = _batch_of(state, said)
        work = desk(state, said, today, batch)
        _give(work, state)
        if isinstance(job, Plan):
            entering.enter_plan(work, job)
        elif job is not None:
            entering.enter(work, state.answered)
        else:
            _do(work, deeds)
            used_up(work)
    except Stop as stop:
        held = replace(state, pending=stop.pending)
        return held if held != state else state, stop.replies
    after, replies = told_back(at, work)
    terms = tuple(word.term for word in deeds)
    facts = state.pending.facts if state.pending is not None else ()
    if job is not None and not isinstance(job, Plan):
        after = replace(after, done=state.answered)
    return replace(
        after, deed=Deed(said, today, state.batch, terms, facts) if job is None else None, plan=None
    ), replies


def _give(work: Desk, state: State) -> None:
    if state.pending is not None:
        work.facts.update(dict(state.pending.facts))


def _batch_of(state: State, said: Reading) -> tuple[Batch | None, State]:
    """The batch that the line is about, and the state with it open.

    Raises:
        Stop: it names several.
    """
    batch = current(state)
    if any(word.term == "begun" for word in said.told):
        return batch, state
    there = named_other(state, said, batch)
    if there is None:
        return batch, state
    return there, replace(state, batch=there.number, other=batch.number if batch else state.other)


_OTHER = phrase(r"\bother (?:one|batch|ferment)\b")
_OTHER_JAR = phrase(r"\bother (?:jar|crock|bucket|pot)\b")
_OF_WHAT_IS_THERE = frozenset(
    {"sampled", "spilt", "skimmed", "moved", "split", "strained", "boiled", "bottled", "note", "closed", "call"}
)
"""Deeds in which produce that is named is a batch ("took 100 g from the carrots"), and not what goes in."""


def named_other(state: State, said: Reading, batch: Batch | None, acid: bool = False) -> Batch | None:
    """Another batch than the open one that the line names: by number, name, vessel, what it is of, or as the other."""
    terms = {word.term for word in said.told}
    if batch is None or "joined" in terms or (_INTO.search(said.text) and not terms & {"moved", "split"}):
        return None
    shelf = state.shelf
    if (number := numbered(said.text)) != 0:
        numbered_ = shelf.batch(number)
        return numbered_ if numbered_ is not None and number != batch.number else None
    jar = _OTHER_JAR.search(said.text) and len(batch.full) < 2
    if _OTHER.search(said.text) or jar:
        there = other(state)
        return there if there is not None and there.number != batch.number else None
    titles = [one for one in named(state, said.text) if one.number != batch.number]
    if len(titles) == 1:
        return shelf.batch(titles[0].number)
    if (at := by_vessel(state, said, batch)) is not None:
        return at
    low = " ".join(said.text.lower().split())
    own = {one.label for one in batch.vessels}
    rest = (one for one in shelf.recent if one.number != batch.number)
    found = [one for one in rest if any(" " in word and word in low and word not in own for word in one.words)]
    if len(found) == 1 and terms & _OF_WHAT_IS_THERE - {"moved"}:
        return shelf.batch(found[0].number)
    free = {word.term for word in said.words if word.kind == "produce"} - set(batch.kinds)
    if free and (acid or terms & _OF_WHAT_IS_THERE):
        titles = [one for one in shelf.recent if free <= one.words and one.number != batch.number and not one.closed]
        return shelf.batch(titles[0].number) if len(titles) == 1 else None
    return None


def by_vessel(state: State, said: Reading, batch: Batch | None) -> Batch | None:
    """The batch in the vessel that the line names, if the open one is in none of that name and one other is."""
    terms = {word.term for word in said.told}
    found = holders(said)
    if batch is None or terms & {"moved", "joined", "split", "sampled"} or len(found) != 1 or found[0].capacity:
        return None
    known = Desk(state, said, datetime.date.min, datetime.date.min, batch, [], list(found))
    if known.vessel_of(found[0]) is not None:
        return None
    titles = [one for one in state.shelf.recent if label(found[0]) in one.words and not one.closed]
    return state.shelf.batch(titles[0].number) if len(titles) == 1 else None


def _do(work: Desk, deeds: list[Word]) -> None:
    """Every deed of the line, in the order said.

    Raises:
        Stop: one cannot be entered; then none is.
    """
    said = work.reading
    terms = list(dict.fromkeys(word.term for word in deeds))
    lead = [one for one in _ORDER if one in terms]
    if lead:
        DEEDS[lead[0]](work)
        return
    if {"joined", "added"} & set(terms) and _turned_round(work):
        return
    if {"joined", "added"} & set(terms) and (others := _joins(work)):
        pour_all(work, others)
        return
    if terms == ["joined"] and not work.vessels and any(dimension(one.unit) in ("mass", "volume") for one in work.left):
        terms = ["added"]  # "honey, a third of a cup, done and mixed"
    if reading.is_temperature(said):
        reading.warmth(work)
    moves = [one for one in terms if one in ("moved", "joined", "split")]
    puts = [one for one in terms if one in ("added", "packed", "topped")]
    stuff = any(dimension(one.unit) == "mass" for one in work.left) or any(
        percent(one) is not None for one in work.left
    )
    if moves and not puts and stuff and "split" not in moves:
        _add_first(work)  # "six more kilos, moved everything to the big crock"
    if not terms and seen(said):
        terms = ["note"]
    elif not terms and (more(said) or AND.match(said.text)):
        terms = ["added"]
    elif puts and moves:
        terms = [one for one in terms if one not in puts[1:]]
    for term in terms:
        DEEDS[term](work)
        work.vessels = [one for one in work.vessels if one.mark or one.capacity]
    if seen(said) and terms and terms != ["note"] and "skimmed" not in terms:
        DEEDS["note"](work)


def _add_first(work: Desk) -> None:
    """What was added before everything was moved."""
    held, work.vessels = work.vessels, []
    kept = [one for one in work.left if nouns(one) & {"@vessel"}]
    work.left = [one for one in work.left if one not in kept]
    DEEDS["added"](work)
    work.vessels = held
    work.left += kept


def _turned_round(work: Desk) -> bool:
    """The open batch poured into another: "poured it into batch 1". Whether it was so."""
    match = _INTO.search(work.said)
    here = work.batch
    if match is None or here is None:
        return False
    if not phrase(r"\b(batch|one)\b").search(match["rest"]):
        return _into_other(work, here)
    named = meant(work.state, replace(work.reading, text=match["rest"]))
    others = [one for one in named if one.number != here.number]
    if len(others) != 1:
        return False
    work.batch = others[0]
    pour_all(work, [here])
    return True


def _into_other(work: Desk, here: Batch) -> bool:
    """ "Tipped the small jar into the crock", where the jar is this batch's and the crock another's."""
    into = next((one for one in work.vessels if one.mark in ("into", "in", "to")), None)
    if into is None or into.capacity is not None or work.vessel_of(into) is not None or len(here.full) != 1:
        return False
    name = label(into)
    titles = [one for one in work.state.shelf.recent if name in one.words and one.number != here.number]
    target = work.state.shelf.batch(titles[0].number) if len(titles) == 1 else None
    spans = [one.span for one in work.vessels]
    loose = [one for one in work.left if not any(start <= one.span[0] < end for start, end in spans)]
    if target is None or target.closed or loose or _PART.search(work.said):
        return False
    for one in list(work.vessels):
        work.use(one)
    work.vessels = []
    work.batch = target
    pour_all(work, [here])
    return True


def _joins(work: Desk) -> list[Batch]:
    """Other batches poured into the open one: "tipped the carrot batch in", "the small jar into the crock"."""
    here = work.batch.number if work.batch else 0
    if phrase(r"\b(batch|one)\b").search(work.said):
        found = [one for one in meant(work.state, work.reading) if one.number != here]
        if found and not any(one.said("produce") for one in work.left):
            return found
    strange = [one for one in work.vessels if work.vessel_of(one) is None and not one.capacity]
    if not strange or not phrase(r"\binto?\b").search(work.said) or strange[0].mark in ("into", "in", "to"):
        return []
    name = label(strange[0])
    titles = [one for one in work.state.shelf.recent if name in one.words and one.number != here and not one.closed]
    if len(titles) != 1 or (batch := work.state.shelf.batch(titles[0].number)) is None:
        return []
    work.vessels.remove(strange[0])
    work.use(strange[0])
    return [batch]


def told_back(state: State, work: Desk) -> Result:
    """The new state, with what was entered told back and looked at."""
    batch = work.open_batch()
    here = current(state)
    shown = manner(state, work.said)
    other = here.number if here is not None and here.number != batch.number else state.other
    begun = any(isinstance(one, ev.Begin) for one in work.entered)
    after = replace(state.idle() if begun else state, batch=batch.number, other=other, pending=None)
    after = replace(after, entered=tuple(work.entered))
    replies: list[Reply] = [telling.log(batch, work.entered, work.today, shown)]
    changed = changed_vessels(batch, work.touched)
    if any(not isinstance(one, ev.Read | ev.Remark | ev.Call | ev.Close) for one in work.entered):
        if changed:
            replies.append(telling.stands(changed, shown))
        else:
            replies.append(Note('It is empty: say what goes in, for example "packed 4 kg of chillies at 3%".'))
    replies += work.notes
    before = state.shelf.batch(batch.number)
    poured = [state.shelf.batch(one.batch) for one in work.entered if isinstance(one, ev.Pour)]
    joined = [one for one in poured if one is not None]
    replies += telling.news(before, batch, work.entered, work.today, shown, poured=joined)
    return after, (*replies, *open_question(after))
