"""``turn``: one reading in, the new talk and the replies out.

The table (table.py) says which handler runs for a mode and an act. A handler takes a Step
and gives the new state and the replies; if nothing may change it gives back the old state.
"""

from __future__ import annotations

import datetime
from collections.abc import Callable, Iterable
from dataclasses import replace

from assistant.replies import Ask, Note, NotRead, Reply
from assistant.talk import acidity, asking, change, commands, options, start
from assistant.talk import words as say
from assistant.talk.state import Result, State, Step, Talk
from assistant.talk.table import TABLE
from assistant.talk.work import open_question
from grammar.types import Misread, Reading


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
    if isinstance(reading, Misread):
        label = options.named(talk.now, reading.text)
        if label is None:
            return talk, (say.misread(reading), *open_question(talk.now))
        return _moved(talk, *options.resume(talk.now, label))
    name = TABLE[talk.now.mode][reading.act]
    if name in MOVES:
        return MOVES[name](talk)
    state, replies = HANDLERS[name](Step(talk.now, reading, today))
    replies = (*_repairs(reading), *_corrections(reading), *replies, *_left_over(reading, replies))
    stays = reading.act in ("why", "help", "repeat")
    return _moved(talk, talk.now if stays else state, replies)


def _moved(talk: Talk, state: State, replies: tuple[Reply, ...]) -> tuple[Talk, tuple[Reply, ...]]:
    """The talk in its new state, or as it was if what was said is refused."""
    refused = any(one.kind in ("refuse", "misread") for one in replies)
    if refused and not any(one.kind in ("answer", "log") for one in replies):
        if talk.now.mode in ("choosing", "confirming"):
            closed = options.closed(talk.now)  # none of the readings can be right: the choice is over
            return talk.went(replace(closed, said=replies)), (*replies, *open_question(closed))
        if not any(isinstance(one, Ask) for one in replies):
            replies = (*replies, *open_question(talk.now))
        return talk, replies
    if state == talk.now:
        return talk, replies
    return talk.went(replace(state, said=replies)), replies


def expecting(talk: Talk) -> tuple[str, ...]:
    """What the open question waits for, for the reader."""
    return talk.now.asking


def _repairs(reading: Reading) -> tuple[Reply, ...]:
    sure = [one for one in reading.repaired if one.sure]
    return tuple(Note(f'I read "{one.said}" as "{one.read}".') for one in sure)


def _corrections(reading: Reading) -> tuple[Reply, ...]:
    return tuple(Note(f'I left out "{one.text}", which you took back.') for one in reading.corrected)


def _left_over(reading: Reading, replies: Iterable[Reply]) -> tuple[Reply, ...]:
    if not reading.left_over or any(isinstance(one, NotRead) for one in replies):
        return ()
    quoted = say.listed(f'"{word.text}"' for word in reading.left_over)
    return (Note(f"I did not understand and did not use: {quoted}."),)


def _undo(talk: Talk) -> tuple[Talk, tuple[Reply, ...]]:
    if not talk.past:
        return talk, (Note("There is nothing to undo."),)
    back = Talk(talk.past[-1], talk.past[:-1], (talk.now, *talk.future))
    return back, (Note("Undone."), *_where(back.now))


def _redo(talk: Talk) -> tuple[Talk, tuple[Reply, ...]]:
    if not talk.future:
        return talk, (Note("There is nothing to redo."),)
    onward = Talk(talk.future[0], (*talk.past, talk.now), talk.future[1:])
    return onward, (Note("Done again."), *_where(onward.now))


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

MOVES: dict[str, Callable[[Talk], tuple[Talk, tuple[Reply, ...]]]] = {"undo": _undo, "redo": _redo}
"""What moves the talk along its own history."""
