"""``turn``: one reading in, the new talk and the replies out.

The table (table.py) says which handler runs for a mode and an act. A handler takes a Step
and gives the new state and the replies; if nothing may change it gives back the old state.
"""

from __future__ import annotations

import datetime
import re
from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from assistant.batches.shelf import Shelf
from assistant.replies import Answer, Ask, Caution, Log, Note, NotRead, Refuse, Reply
from assistant.talk import (
    account,
    acidity,
    asking,
    change,
    commands,
    curve,
    dates,
    follow,
    heated,
    known,
    meaning,
    options,
    pots,
    start,
    wrong,
)
from assistant.talk import words as say
from assistant.talk.account.which import current
from assistant.talk.opened import open_question, reopened
from assistant.talk.state import Open, Result, State, Step, Talk
from assistant.talk.table import TABLE
from assistant.talk.work import proceed
from grammar.later import module, regex
from grammar.types import Misread, Reading

if TYPE_CHECKING:
    from assistant.batches import events as ev
    from assistant.batches.events import Event, Redo, Undo
else:
    ev = module("assistant.batches.events")


def turn(talk: Talk, reading: Reading | Misread, today: datetime.date) -> tuple[Talk, tuple[Reply, ...]]:
    """The next state of the talk and what to say.

    Args:
        talk: the talk so far.
        reading: what was said, from ``grammar.reader.read``.
        today: the date, handed in.

    Returns:
        The talk after it (the same object if nothing changed) and at least one reply.
        Nothing is raised for anything a person may say.
    """
    talk = replace(talk, wrote=())
    if meaning.asked(talk.now, reading) is not None:
        return _turned(talk, reading, today)  # "what is film" asks for the word, and tells of none
    if (ill := wrong.unwell(talk.now, reading)) is not None:
        return _moved(talk, *ill)
    if (narrowed := wrong.answered(talk.now, reading, today)) is not None:
        return _narrowed(talk, reading, today, narrowed)
    if (signs := wrong.heard(talk.now, reading)) is not None:
        return _signs(talk, reading, today, signs)
    if (asks := wrong.asked_what(talk.now, reading)) is not None:
        return _moved(talk, *asks)
    if isinstance(reading, Reading) and reading.act in _TAKES_BACK and not _alone(reading):
        return talk, (Ask(ALONE[reading.act]), *open_question(talk.now))
    return _turned(talk, reading, today)


_TAKES_BACK = ("undo", "redo", "reset")
_PLAINLY = regex(
    r"\b(?:undo|redo|revert|(?:scratch|scrap) (?:that|it)|take (?:that|it|this)(?: last)? back|start(?:ing)? over|"
    r"clean slate|clear|reset|forget (?:it|that|all|everything))\b",
    re.IGNORECASE,
)
_SMALL = frozenset(
    [
        "a",
        "again",
        "all",
        "and",
        "as",
        "back",
        "before",
        "can",
        "could",
        "do",
        "everything",
        "fresh",
        "from",
        "go",
        "have",
        "hmm",
        "how",
        "i",
        "it",
        "just",
        "last",
        "let",
        "lets",
        "let's",
        "me",
        "my",
        "new",
        "no",
        "now",
        "oh",
        "ok",
        "okay",
        "old",
        "one",
        "oops",
        "over",
        "please",
        "put",
        "question",
        "right",
        "scratch",
        "so",
        "sorry",
        "start",
        "step",
        "take",
        "that",
        "the",
        "then",
        "thing",
        "this",
        "to",
        "two",
        "up",
        "us",
        "wait",
        "was",
        "way",
        "we",
        "what",
        "with",
        "would",
        "you",
    ]
)
"""Words that may stand beside a "back" or a "start again" which means the talk."""
ALONE = {
    "undo": 'Shall the last thing be undone? Then say "undo" alone. Nothing was changed.',
    "redo": 'Shall what was undone come back? Then say "redo" alone. Nothing was changed.',
    "reset": 'Shall this talk begin anew? Then say "start over" alone. Nothing was changed.',
}
"""What is asked where such a word stands among others: "hello I'm back", "put it back in the cupboard"."""


def _alone(reading: Reading) -> bool:
    """Whether a line that takes something back says nothing else: what is in the book hangs on it."""
    if _PLAINLY.search(reading.text) or reading.amounts or any(word.kind not in _FREE for word in reading.words):
        return True  # "back to the mash": other words of the kitchen decide
    return set(re.findall(r"[a-z']+", reading.text.lower().replace("\u2019", "'"))) <= _SMALL


_FREE = frozenset({"filler", "det", "link", "unknown"})


def _narrowed(
    talk: Talk, reading: Reading | Misread, today: datetime.date, result: Result
) -> tuple[Talk, tuple[Reply, ...]]:
    """An answer to a question of what is wrong; a pH reading in it goes into the open batch as well."""
    if isinstance(reading, Reading) and reading.act == "why":
        return talk, result[1]
    if isinstance(reading, Reading) and reading.act == "log" and current(talk.now) is not None:
        after, replies = _turned(talk, reading, today)
        if after.wrote:
            both = (*replies, *result[1])
            return replace(after, now=replace(after.now, wrong=result[0].wrong, said=both)), both
    return _thrown(talk, reading, today, result) or _moved(talk, *result)


def _thrown(
    talk: Talk, reading: Reading | Misread, today: datetime.date, result: Result
) -> tuple[Talk, tuple[Reply, ...]] | None:
    """An answer that shows mould or worse goes into the open batch, so that no later reading proves it; else None."""
    batch = current(talk.now)
    stops = [one for one in result[1] if isinstance(one, Caution) and one.rule.startswith(f"{wrong.NAME}-")]
    if batch is None or batch.closed or not batch.full or not any(one.severity == "stop" for one in stops):
        return None
    mould = result[0].wrong is not None and result[0].wrong.condition == "mould"
    line = Reading(f"{'mould' if mould else 'spoilt'}: {reading.text.strip(' .!?')}", "tell")
    state, entered = account.remarked(talk.now, line, today, batch)
    after, _ = _moved(talk, state, entered)
    if not after.wrote:
        return None
    kept = [one for one in result[1] if not (isinstance(one, Note) and one.text.startswith(wrong.NOT_ENTERED))]
    both = (*(one for one in entered if isinstance(one, Log)), *kept)
    return replace(after, now=replace(after.now, wrong=result[0].wrong, said=both)), both


def _signs(
    talk: Talk, reading: Reading | Misread, today: datetime.date, signs: wrong.Heard
) -> tuple[Talk, tuple[Reply, ...]]:
    """A sign that something is wrong: entered if it is told of the open batch, and then what to do about it."""
    if current(talk.now) is None:
        return _moved(talk, *wrong.advised(talk.now, signs, today, reading))
    after, replies = _turned(talk, reading, today)
    if not after.wrote and signs.entered:
        return after, replies
    if not after.wrote:
        if after.now.pending is not None and after.now.pending != talk.now.pending:
            return after, replies  # something else is asked back about the line first
        entered = account.sign(talk.now, reading, today)
        if entered is None:
            return _moved(talk, *wrong.advised(talk.now, signs, today, reading))
        after, replies = _moved(talk, *entered)
    shelf = talk.now.shelf.with_events(after.wrote)
    here = current(replace(after.now, shelf=shelf))
    if here is None or here.closed:
        return after, replies
    if any(isinstance(one, ev.Read) for one in after.wrote):
        signs = replace(signs, numbers=())  # the book has them
    spoken = [one.rule for one in replies if isinstance(one, Caution)]
    state, more = wrong.advised(replace(after.now, shelf=shelf), signs, today, reading, spoken)
    mild = signs.hits[0].condition.keep != "discard"
    against = wrong.stands(replace(after.now, shelf=shelf), today) if mild else []
    if against and not any(isinstance(one, Caution) for one in more):
        return after, (*replies, *against)  # nothing milder is said of what is to be thrown out
    both = (*replies, *more)
    return replace(after, now=replace(after.now, wrong=state.wrong, said=both)), both


def _turned(talk: Talk, reading: Reading | Misread, today: datetime.date) -> tuple[Talk, tuple[Reply, ...]]:
    """The same of a line that is about no sign."""
    if isinstance(reading, Reading) and (course := heated.turned(talk.now, reading, today)) is not None:
        state, replies = course
        replies = (*_repairs(reading), *_corrections(reading), *replies, *_left_over(reading, replies))
        return _moved(talk, state, replies)
    knows = known.heard(talk.now, reading, today)
    if isinstance(knows, Reading):
        reading = knows
    elif knows is not None:
        return _moved(talk, knows[0], (*knows[1], *account.asked_back(talk.now)))
    if isinstance(reading, Misread):
        if (course := heated.misread(talk.now, reading)) is not None:
            return _moved(talk, *course)
        if (told := account.misread(talk.now, reading, today)) is not None:
            return _moved(talk, *told)
        label = options.named(talk.now, reading.text)
        plain = reading.why == "unknown-word" and not any(sign.isdecimal() for sign in reading.text)
        if label is None and plain:  # "not the water" and "12 firkins of water" hint at nothing
            label = options.hinted(talk.now, reading.text)
        if label is None:
            return talk, (say.misread(reading), *open_question(talk.now), *account.asked_back(talk.now))
        return _moved(talk, *options.resume(talk.now, label))
    reading = follow.of_heat(talk.now, reading)
    name = TABLE[talk.now.mode][reading.act]
    if name in MOVES:
        return MOVES[name](talk, today)
    now, told, forgotten = account.settled(talk.now, reading)
    told = told or curve.turned(now, reading, today)
    if told is None and reading.act not in ("why", "help", "repeat"):
        now = heated.aside(curve.aside(now))
    told = told or account.turned(now, reading, today)
    if told is not None:
        state, replies = told
        replies = (*_repairs(reading), *_corrections(reading), *replies, *_left_over(reading, replies), *forgotten)
        return _moved(talk, state, replies)
    settled = dates.settle(reading, talk.now, today)
    state, replies = _worked(now, settled, today)
    guessed = dates.guessed(reading, settled) if any(one.kind == "answer" for one in replies) else ()
    offer = account.offered(state, reading, replies)
    if not offer and (held := heated.held(state, reading, replies)) is not None:
        state, offer = held, heated.offer(held)
    state = replace(state, offered=state.offered or bool(offer))
    replies = (
        *_repairs(reading),
        *_corrections(reading),
        *replies,
        *guessed,
        *_left_over(reading, replies),
        *offer,
        *forgotten,
    )
    if reading.act in ("why", "help", "repeat"):
        return replace(talk, now=replace(talk.now, meant=state.meant)), (*replies, *account.asked_back(talk.now))
    return _moved(talk, state, replies)


def _worked(state: State, reading: Reading, today: datetime.date) -> Result:
    """The handler's result; two values side by side and what goes back to an earlier answer come first."""
    reading = follow.once_more(state, reading)
    if (chosen := follow.picked(state, reading)) is not None:
        return chosen
    if (more := follow.more_at_hand(state, reading)) is not None:
        return more
    if (parts := pots.shared(state, reading)) is not None:
        return parts
    if (held := follow.against(state, reading)) is not None:
        return held
    if (found := follow.recalled(state, reading)) is not None:
        job, rest = found
        back = replace(state, answered=job)
        result = change.changed(back, job, rest) if rest.amounts else proceed(back, job, None)
        if follow.answered(result[1]) is not None:
            return result
    if (pair := follow.compared(reading)) is not None:
        both = follow.side_by_side(state, pair, lambda one: _compare_one(state, one, today))
        if both is not None:
            return both
        if state.answered is not None and state.mode == "idle" and not reading.wanted:
            return state, (Ask(f"Compare which: {say.listed(change.labels(state.answered))}?"),)
    after, replies = _handled(state, reading, today)
    return _within(state, after, replies) if reading.act in ("ask", "tell", "bare", "change") else (after, replies)


def _compare_one(state: State, reading: Reading, today: datetime.date) -> Result:
    """One side of a comparison: the last answer with the value changed, or else a question of its own."""
    if state.mode == "idle" and state.answered is not None:
        result = change.changed(state, state.answered, replace(reading, wanted=(), act="change", firm=True))
        if follow.answered(result[1]) is not None:
            return result
    return _handled(state, reading, today)


def _handled(state: State, reading: Reading, today: datetime.date) -> Result:
    """What the table says for the mode and the act."""
    if reading.act == "log" and _LEANS.match(reading.text) and _of_ph(state):
        reading = replace(reading, act="change", firm=True)  # "and pH 3.6?" asks once more, and tells no reading
    return HANDLERS[TABLE[state.mode][reading.act]](Step(state, reading, today))


_LEANS = regex(r"\W*(?:and|or|what about|what if|how about|with|say|at)\b", re.IGNORECASE)


def _of_ph(state: State) -> bool:
    """Whether the last answer was worked out for a pH."""
    job = state.answered
    return state.mode == "idle" and job is not None and any(one.name == "ph" for one in job.given)


_FAMILY = {"packed": "ferment", "brine": "ferment", "mash": "ferment", "vessel": "ferment"}
"""Calculators of which a new question takes the place of the open one, instead of standing in its middle."""


def _within(before: State, after: State, replies: tuple[Reply, ...]) -> Result:
    """Comes back to the question that was open, once what was asked in its middle is answered."""
    done = follow.answered(replies) is not None and after.mode == "idle"
    if before.mode == "asking" and before.job is not None:
        asked = next((one.calculator for one in replies if isinstance(one, Answer)), "")
        now = after.job.calculator if after.job is not None else asked
        if now and _family(now) != _family(before.job.calculator):
            outer = Open(before.job, before.asking, before.later)
            after = replace(after, suspended=(*after.suspended, outer))
    if done and after.suspended:
        after = reopened(after)
        return after, (*replies, *open_question(after))
    return after, replies


def _family(name: str) -> str:
    return _FAMILY.get(name, name)


def _moved(talk: Talk, state: State, replies: tuple[Reply, ...]) -> tuple[Talk, tuple[Reply, ...]]:
    """The talk in its new state, or as it was if what was said is refused."""
    refused = any(one.kind in ("refuse", "misread") for one in replies)
    if refused and not any(one.kind in ("answer", "log") for one in replies):
        if talk.now.mode in ("choosing", "confirming"):
            closed = options.closed(talk.now)  # none of the readings can be right: the choice is over
            return talk.went(replace(closed, said=replies, meant=())), (*replies, *open_question(closed))
        if not any(isinstance(one, Ask) for one in replies):
            replies = (*replies, *open_question(talk.now))
        return talk, replies
    answer = follow.answered(replies)
    if state == talk.now and not state.entered and answer is None:
        return talk, replies
    if answer is not None and answer.calculator == meaning.NAME:
        # no step, and no reply that the next line could lean on: "it was a strip" is of the reading before it
        return replace(talk, now=state), replies
    if state == talk.now and not state.entered and answer is not None and answer.calculator in ("batch", known.NAME):
        # looking into the account is no step that could be taken back
        return replace(talk, now=replace(talk.now, said=replies, meant=(), wrong=None)), replies
    # another question in between closes the one about what is wrong
    closes = state.wrong is talk.now.wrong
    return talk.went(replace(state, said=replies, meant=(), wrong=None if closes else state.wrong)), replies


def expecting(talk: Talk) -> tuple[str, ...]:
    """What the open question waits for, for the reader."""
    return talk.now.asking


def _repairs(reading: Reading) -> tuple[Reply, ...]:
    sure = [one for one in reading.repaired if one.sure]
    return tuple(Note(f'I read "{one.said}" as "{one.read}".') for one in sure)


def _corrections(reading: Reading) -> tuple[Reply, ...]:
    return tuple(Note(f'I left out "{one.text}", which you took back.') for one in reading.corrected)


def _left_over(reading: Reading, replies: Sequence[Reply]) -> tuple[Reply, ...]:
    asked = " ".join(one.text for one in replies if isinstance(one, Ask))
    left = [word for word in reading.left_over if f'"{word.text}"' not in asked]  # what is asked about is understood
    if not left or any(isinstance(one, NotRead) for one in replies):
        return ()
    quoted = say.listed(f'"{word.text}"' for word in left)
    return (Note(f"I did not understand and did not use: {quoted}."),)


def _undo(talk: Talk, today: datetime.date) -> tuple[Talk, tuple[Reply, ...]]:
    if not talk.past:
        return talk, (Note("There is nothing to undo."),)
    taken = (*_of_book(ev.Undo, talk.now.seqs, today), *_of_book(ev.Redo, talk.now.undid, today))
    if (why := _kept(talk.now.shelf, taken)) is not None:
        return talk, (why,)
    back = Talk(replace(talk.past[-1], shelf=talk.now.shelf), talk.past[:-1], (talk.now, *talk.future), taken)
    notes = tuple(Note("Taken out of the book's account; the entry stays in it, marked.") for _ in taken[:1])
    return back, (Note("Undone."), *notes, *_where(back.now))


def _redo(talk: Talk, today: datetime.date) -> tuple[Talk, tuple[Reply, ...]]:
    if not talk.future:
        return talk, (Note("There is nothing to redo."),)
    again = (*_of_book(ev.Undo, talk.future[0].undid, today), *_of_book(ev.Redo, talk.future[0].seqs, today))
    if (why := _kept(talk.now.shelf, again)) is not None:
        return talk, (why,)
    onward = Talk(replace(talk.future[0], shelf=talk.now.shelf), (*talk.past, talk.now), talk.future[1:], again)
    return onward, (Note("Done again."), *_where(onward.now))


def _of_book(
    kind: type[Undo] | type[Redo], seqs: tuple[tuple[int, int], ...], today: datetime.date
) -> tuple[Event, ...]:
    """What takes entries of the book back, or makes them count again: one event for each batch."""
    batches = dict.fromkeys(batch for _, batch in seqs)
    return tuple(kind(one, today, of=tuple(seq for seq, batch in seqs if batch == one)) for one in batches)


def _kept(shelf: Shelf, events: tuple[Event, ...]) -> Reply | None:
    """Why entries cannot be taken back: too old, or the beginning of a batch that has others."""
    try:
        shelf.with_events(events)
    except LookupError:
        return Refuse("That entry lies too far back to be taken back here: say the correction instead.")
    for one in events:
        account = shelf.accounts.get(one.batch)
        if not isinstance(one, ev.Undo) or account is None:
            continue
        begins = any(seq in one.of and isinstance(event, ev.Begin) for seq, event in account.live)
        others = [event for seq, event in account.live if seq not in one.of]
        if begins and others:
            what = f'"{others[-1].said}"' if others[-1].said else "something"
            return Refuse(
                f'Another window has entered {what} in "{account.now.title}" since it was begun, and that would be '
                "lost: undo it there first. Nothing was undone."
            )
    return None


def _where(state: State) -> tuple[Reply, ...]:
    """Where the talk stands, after going back or forth."""
    return state.said or (Note("We are at the start."),)


HANDLERS: dict[str, Callable[[Step], Result]] = {
    "start": start.start,
    "tell": change.tell,
    "fill": asking.fill,
    "answer_or_start": asking.answer_or_start,
    "usual": asking.usual,
    "why_asked": asking.why_asked,
    "ask_again": asking.ask_again,
    "cancel": asking.cancel,
    "pick_or_start": options.pick_or_start,
    "confirmed": options.confirmed,
    "not_confirmed": options.not_confirmed,
    "why_choose": options.why_choose,
    "nod": options.nod,
    "change": change.change,
    "why": commands.why,
    "repeat": commands.repeat,
    "help": commands.help_,
    "nothing_open": commands.nothing_open,
    "say_what": commands.say_what,
    "reset": commands.reset,
    "leave": commands.leave,
    "log": acidity.log,
}
"""The handlers that table.py names, but for undo and redo, which move the talk itself."""

MOVES: dict[str, Callable[[Talk, datetime.date], tuple[Talk, tuple[Reply, ...]]]] = {"undo": _undo, "redo": _redo}
"""What moves the talk along its own history."""
