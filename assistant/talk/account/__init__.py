"""The account of batches in the talk: what was done is entered, what is asked of it is answered.

``asked`` knows what is asked of the account, ``fact`` what is a fact, ``deeds`` and ``putting`` make
events of it on a ``desk``, ``mending`` deals with what was asked back or put right. ``turned`` looks
at a line before any calculator does. A line is about a batch if it says so
("new batch", "what's in the crock") or tells, with a batch open, of something done ("added
300 g of garlic", "pH 3.9 today"). Questions with numbers of their own stay with the
calculators, and so does everything else.
"""

from __future__ import annotations

import datetime
from dataclasses import replace
from typing import TYPE_CHECKING

from assistant.replies import Answer, Ask, Reply
from assistant.talk.account import entering, reading
from assistant.talk.account.about import about
from assistant.talk.account.asked import OLD, about_it, asked, labels
from assistant.talk.account.deeds import DEEDS
from assistant.talk.account.desk import NO_BATCH, Desk, Stop, desk, nouns, percent
from assistant.talk.account.fact import (
    MOVED_PART,
    TOOK_IN,
    deeds_of,
    is_fact,
    moves_part,
    only_that,
    tells,
    took_in,
    weighs,
)
from assistant.talk.account.labelling import said_again
from assistant.talk.account.mending import again, asked_back, corrected, settled
from assistant.talk.account.which import current, meant, names_batch, phrase
from assistant.talk.account.working import named_other, told_back, worked
from assistant.talk.dates import day_said
from assistant.talk.opened import open_question
from assistant.talk.place import dimension
from assistant.talk.state import Deed, Pending, Result, State
from assistant.trade import calculator
from grammar.reader import read
from grammar.told import holders
from grammar.types import Amount, Misread, Reading, Word

if TYPE_CHECKING:
    from assistant.batches.batch import Batch


_NOW = phrase(r"\bnow\b")


def turned(state: State, said: Reading, today: datetime.date) -> Result | None:
    """The result if the line is about a batch, else None."""
    if said.act in ("undo", "redo", "cancel", "repeat", "leave", "reset", "help", "why"):
        return None
    if state.mode != "idle" and not said.told and not _NOW.search(said.text) and not labels(said):
        return None
    if state.mode == "idle" and said_again(state, said):
        return about_it(state, said, today, "label")  # another size for the label, no correction of what was entered
    if (mended := corrected(state, said)) is not None:
        return mended
    if (what := asked(state, said)) is not None:
        result = about_it(state, said, today, what)
        return None if result is None else (result[0], (*result[1], *open_question(state)))
    if said.free and current(state) is None:
        return state, (Ask(NO_BATCH),)
    deeds = [word for word in deeds_of(said) if word.term in {*DEEDS, "done"}]
    if (
        any(word.term == "done" for word in deeds)
        and not said.amounts
        and not said.question
        and is_fact(said.text, deeds)
    ):
        if (packed := _packed_already(state)) is not None:
            return _packed(state.idle(), packed, today)
        if state.plan is not None and any(isinstance(one, Answer) and one.calculator == "batch" for one in state.said):
            return worked(state, said, today, [], state.plan)
        if _all_done(state):
            return worked(state, said, today, [], state.answered)
    deeds = [word for word in deeds if word.term != "done"]
    if not deeds and state.mode == "idle" and weighs(said):
        deeds = [Word("deed", "weighed", (0, 0), "")]
        said = replace(said, amounts=tuple(replace(one, mark="") for one in said.amounts))  # "it came to 3 kg"
    if current(state) is not None and took_in(said, deeds):
        return state, (Ask(TOOK_IN),)
    if current(state) is not None and moves_part(said, deeds):
        return state, (Ask(MOVED_PART),)
    here = current(state)
    if here is not None and here.full and (question := only_that(said, deeds)):
        return state, (Ask(question),)
    if not tells(state, said, deeds):
        return None
    return worked(state, said, today, deeds, None)


def _all_done(state: State) -> bool:
    """Whether there is an answer that could have been carried out by now."""
    fresh = state.mode == "idle" or any(isinstance(one, Answer) for one in state.said)
    return entering.enterable(state.answered) and fresh


def _packed(state: State, said: Reading, today: datetime.date) -> Result:
    """A line that is packed already: a new batch, or more for the open one, by the vessel it names; else asked."""
    batch = current(state)
    found = holders(said)
    term = "begun"
    if batch is not None:
        known = Desk(state, said, today, today, batch, [], list(found))
        if any(known.vessel_of(one) for one in found) or (not batch.full and not found):
            term = "added"
        elif not found:
            question = f'Into "{batch.title}", or is it a new batch? Say "into it" or "new batch".'
            return replace(state, pending=Pending(said, "which", question, today)), (Ask(question),)
    return worked(state, said, today, [Word("deed", term, (0, 0), "")], None)


def _packed_already(state: State) -> Reading | None:
    """The line that was asked back about ("mash, or under brine?"), if it is whole: "done" says it is packed."""
    if state.mode != "choosing" or not all(one.calculator in ("mash", "packed") for one in state.options):
        return None
    said = state.options[0].reading
    salted = any(nouns(one) & {"salt", "@salt"} or percent(one) is not None for one in said.amounts)
    return said if salted and any(dimension(one.unit) == "mass" for one in said.amounts) else None


def misread(state: State, found: Misread, today: datetime.date) -> Result | None:
    """A line the kitchen cannot read that is still plain to the account: "none", a name of a batch."""
    text = found.text.lower().strip(" .!")
    here = current(state)
    told = [word.term for word in found.told if word.kind == "deed"]
    if found.why == "stops" and {"added", "joined"} & set(told) and _IN.search(found.text):
        again_ = read(_IN.sub(" into it", found.text))  # "poured the other batch in"
        return None if isinstance(again_, Misread) else turned(state, again_, today)
    if here is not None and (found.why == "beyond" or any(word.kind == "seen" for word in found.told)):
        plain = Reading(found.text, "tell", told=(*found.told, Word("deed", "note", (0, 0), "")))
        if (there := named_other(state, plain, here)) is not None:
            state, here = replace(state, batch=there.number, other=here.number), there
    if found.why == "beyond" and found.term == "time" and here is not None and OLD.search(text):
        return about(state, Reading(found.text, "ask"), today, "age")
    spoilt = found.why == "beyond" and found.term in ("mould", "spoilt")
    if spoilt and here is not None and "?" not in text and is_fact(text):
        return remarked(state, found, today, here, closed="closed" in told)
    looks = any(word.kind == "seen" for word in found.told) and found.why == "unknown-word"
    if looks and here is not None and is_fact(text) and not any(sign.isdecimal() for sign in text):
        return remarked(state, found, today, here)
    if found.why == "negation" and here is not None and state.pending is None and _NO_SALT.search(text):
        return _unsalted(state, found, today)
    if (
        state.pending is not None
        and state.pending.lacks == "salt"
        and text in ("no salt", "none", "without salt", "unsalted")
    ):
        pending = state.pending
        return again(replace(state, pending=replace(pending, facts=(*pending.facts, ("salt", 0.0)))))
    named = meant(state, found)
    if len(named) == 1 and state.mode == "idle" and len(text.split()) <= 5 and not any(c.isdecimal() for c in text):
        return about(state, Reading(found.text, "tell"), today, "switch")
    return None


def remarked(
    state: State, found: Reading | Misread, today: datetime.date, here: Batch, *, closed: bool = False
) -> Result:
    """The line entered as a remark of a batch, on the day it names; ``closed``: the batch was thrown out."""
    said = Reading(found.text, "tell", told=found.told, whens=found.whens)
    day, _ = day_said(said, today, here.began)
    work = Desk(state, said, today, min(day or today, today), here, [], [])
    DEEDS["note"](work)
    if closed:
        DEEDS["closed"](work)
    return told_back(state, work)


def sign(state: State, found: Reading | Misread, today: datetime.date) -> Result | None:
    """A sign that something is wrong, told as a fact, entered with the batch it is of; None if it is no fact of one."""
    here = current(state)
    if here is None or here.closed or state.mode != "idle" or "?" in found.text or not is_fact(found.text):
        return None
    if isinstance(found, Reading) and found.question:
        return None
    plain = Reading(found.text, "tell", told=(*found.told, Word("deed", "note", (0, 0), "")))
    if (there := named_other(state, plain, here)) is not None:
        state, here = replace(state, batch=there.number, other=here.number), there
    return remarked(state, found, today, here)


_IN = phrase(r"\bin\W*$")
_NO_SALT = phrase(r"\b(?:(?:and|with|but) )?(?:no|without|without any) (?:dry )?salt\b")


def _unsalted(state: State, found: Misread, today: datetime.date) -> Result | None:
    """ "Added 300 g of garlic with no salt": the one "no" that the account knows."""
    said = read(_NO_SALT.sub("", found.text))
    if isinstance(said, Misread) or not any(word.term in ("added", "packed") for word in deeds_of(said)):
        return None
    said = replace(said, text=found.text)
    return again(replace(state, pending=Pending(said, "salt", "", today, (("salt", 0.0),))))


def offered(state: State, said: Reading, replies: tuple[Reply, ...]) -> tuple[Reply, ...]:
    """How to enter the answer, where a batch waits for it or it was asked for the open one."""
    job = state.answered
    given = [one.calculator for one in replies if isinstance(one, Answer)]
    if job is None or job.calculator not in given or not entering.enterable(job):
        return ()
    batch = current(state)
    waits = batch is not None and not batch.full
    begun = any(word.term == "begun" for word in said.told)
    for_it = any(one.how == "bench" for one in job.given)
    stated = said.act == "tell" and not said.question and not said.wanted and calculator(job.calculator).starts_ferment
    offers = waits or begun or for_it or (stated and not state.offered)
    return entering.offer(state, job) if offers else ()


def acid(
    state: State, said: Reading, today: datetime.date, found: list[Amount], *, flawed: bool = False
) -> Result | None:
    """pH readings into the open batch; None if none is open. ``flawed``: their sample was too warm or too young."""
    batch = current(state)
    said = reading.of_its_own(said)
    elsewhere = reading.ELSEWHERE.search(reading.CALIBRATION.sub(" ", said.text))
    if batch is None or said.question or not is_fact(said.text) or elsewhere or said.kinds.get("substance"):
        return None
    found = [one for one in found if not names_batch(said, one)]
    found = [one for one in found if one in said.amounts or any(one in each.rivals for each in said.amounts)]
    if not found:
        return None
    there = named_other(state, said, batch, acid=True)
    at = state if there is None else replace(state, batch=there.number, other=batch.number)
    try:
        work = desk(at, said, today, there or batch, several=True)
        reading.acidity(work, found, flawed=flawed)
    except Stop as stop:
        return state, stop.replies
    after, replies = told_back(at, work)
    return replace(after, deed=Deed(said, today, state.batch)), replies


__all__ = ["acid", "asked_back", "misread", "offered", "settled", "sign", "turned"]
