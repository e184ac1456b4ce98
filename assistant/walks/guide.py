"""Leads through a walk: shows a step, waits for what it needs, works its amounts out, enters it, goes on.

A walk lies over the talk. A line that is no word of the walk and no fact that its step waits for goes to the talk as if
there were no walk; afterwards the step is named again. Amounts are never worked out here: a step says lines to the talk
("brine for 3 kg of chillies in a 10 L crock at 3%", "done") and takes the numbers of the answer, with all its cautions.
"""

from __future__ import annotations

import datetime
import re
from dataclasses import replace
from typing import TYPE_CHECKING

from assistant.replies import Answer, Ask, Note, Reply, Timer
from assistant.show import number
from assistant.talk import turn as talking
from assistant.talk.account.which import current, meant
from assistant.talk.state import State, Talk, Walking
from assistant.walks import showing
from assistant.walks.led import Led
from assistant.walks.planning import anew, explained, planned, sized
from assistant.walks.showing import Moved
from grammar.later import module, regex
from grammar.types import Misread, Reading
from grammar.walking import Timing, asked, move, plain, timing

if TYPE_CHECKING:
    from assistant.walks import due
    from assistant.walks import plan as plans
else:
    plans = module("assistant.walks.plan")
    due = module("assistant.walks.due")


def turn(talk: Talk, reading: Reading | Misread, today: datetime.date) -> Moved:
    """The next state of the talk and what to say, with the walk that is under way.

    Args and what is returned are those of the talk's own ``turn``.
    """
    if (asked_for := timing(reading.text)) is not None and (timer := _timer(talk.now, asked_for)) is not None:
        return talk, (timer,)
    word = move(reading.text)
    if (name := asked(reading.text)) is not None:
        return _chosen(talk, reading, name, today)
    if talk.now.mode == "idle" and _TITLE.search(reading.text) and len(reading.text.split()) <= 6:
        said = plain(reading.text)
        bare = [
            one
            for one in plans.walks()
            if said == plain(one.title) or (said in one.named and said.endswith((" day", " harvest")))
        ]
        if bare:
            return _chosen(talk, reading, bare[0].named[0], today)
    if _asks_what_is_due(reading):
        return talk, due.listed(talk.now, today)
    if (picked := _which(talk.now, reading)) is not None:
        return _chosen(talk, reading, picked, today)
    if word == "walks" and talk.now.mode == "idle":
        return talk, (Note(_listed()),)
    wish = _wish(talk.now, reading)
    if wish is not None and (plan := planned(talk, wish, today)) is not None:
        base, replies = plan
        if base is None:
            return talk, replies
        return showing.kept(
            talk, replace(talk.now.idle(), answered=base.answered, history=base.history), said=replies
        ), replies
    if isinstance(reading, Reading) and reading.act == "why" and not reading.amounts and (why := explained(talk.now)):
        return talk, why
    on = talk.now.walk
    if on is None or on.paused:
        if word in ("resume", "where", "next") and (there := _left(talk.now)) is not None:
            there = replace(there, paused=False)
            return showing.step(showing.of_its_batch(talk, there), there, today, lead="Going on where you stopped. ")
        if word == "end" and on is not None:
            return showing.kept(talk, replace(talk.now, walk=None)), (Note("The walk is closed."),)
        return _after_plan(talk, talking.turn(talk, reading, today), today)
    return Led(talk, on, reading, word, today).made()


def _wish(state: State, reading: Reading | Misread) -> Reading | None:
    """The line that may be a wish: alone, or with what was asked of it filled in."""
    if isinstance(reading, Misread):
        return None
    return reading if state.mode == "idle" else sized(state, reading)


LONGEST_TIMER = 30 * 86400.0
"""Seconds that a timer may run."""


def _timer(state: State, wanted: Timing) -> Reply | None:
    """A timer to start, to list or to stop; who runs the talk counts it down. None for a bare "how long left"."""
    if wanted.act != "start":
        return Timer("The timers:" if wanted.act == "list" else "The timers are stopped.", wanted.act)
    on, what, seconds = state.walk, wanted.what, wanted.seconds
    if on is not None and not on.paused:
        step = plans.walk(on.walk).steps[plans.walk(on.walk).place(on.step)]
        what = what or f"step {plans.walk(on.walk).place(on.step) + 1}"
        seconds = seconds or step.hold * 60.0
    if not 0 < seconds <= LONGEST_TIMER:
        return Note('Say in how many minutes, for example "tell me in 10 minutes".')
    many, unit = (seconds / 60, "minute") if seconds >= 60 else (seconds, "second")
    long = f"{number(many)} {unit}{'' if many == 1 else 's'}"
    return Timer(f"Counting {long}{f': {what}' if what else ''}.", "start", seconds, what)


def _after_plan(before: Talk, moved: Moved, today: datetime.date) -> Moved:
    """ "Make it 120 bottles" after a plan works the plan out anew; where it cannot, that the day is not is said."""
    talk, replies = moved
    planned_ = any(isinstance(one, Answer) and one.calculator == "plan" for one in before.now.said)
    again = any(isinstance(one, Answer) and one.calculator == "bottling" for one in replies)
    if not (planned_ and again):
        return moved
    plan = anew(before.now, talk.now, today)
    if plan is not None and plan[0] is not None:
        changed = tuple(one for one in replies if isinstance(one, Note))
        said = (*plan[1][:1], *changed, *plan[1][1:])
        return replace(talk, now=replace(talk.now, said=said)), said
    return talk, (*replies, Note("The day to start is not worked out anew: say the whole wish in one line for that."))


def waits(state: State) -> bool:
    """Whether a walk was left before its end."""
    return _left(state) is not None


def greeting(state: State, today: datetime.date) -> tuple[Reply, ...]:
    """What is due, when the program is started again: the step of the walk, with its day."""
    on = _left(state)
    if on is None:
        return ()
    plan = plans.walk(on.walk)
    said = due.of_step(plan.steps[plan.place(on.step)], on.since, today)
    said = f" {said}" if said else ""
    text = f'You are on the walk "{plan.title}", step {plan.place(on.step) + 1} of {len(plan.steps)}.{said}'
    return (Note(f'{text} "Carry on" goes on with it.'),)


def _left(state: State) -> Walking | None:
    """The walk that was stopped, or that the open batch was left on."""
    if state.walk is not None:
        return state.walk
    batch = current(state)
    if batch is None or batch.walked is None or not batch.walked.step:
        return None
    left = batch.walked
    try:
        plans.walk(left.walk).place(left.step)
    except KeyError:  # a walk of another version of the program
        return None
    told = tuple((name, value) for name, _, value in (one.partition("=") for one in left.told))
    done = plans.walk(left.walk).steps[: plans.walk(left.walk).place(left.step)]
    entered = tuple(one.id for one in done if one.id not in left.skipped)
    return Walking(left.walk, left.step, told, (), left.day, batch.number, entered, left.skipped)


def _listed() -> str:
    names = "; ".join(one.title for one in plans.walks())
    return f'Walks: {names}. Say, for example, "walk me through {plans.walks()[0].named[0]}".'


_TITLE = regex(r"\b(?:day|harvest|ferment|mash|meter)\b", re.IGNORECASE)
_FOR = regex(r"\b(?:for|on|of|with) (?:the |my |batch )\S+|\bbatch \S+", re.IGNORECASE)


def _asks_what_is_due(reading: Reading | Misread) -> bool:
    """Whether a line asks what is due; it is looked at with every line, so nothing is loaded for it."""
    if not isinstance(reading, Reading) or reading.amounts:
        return False
    return any(word.kind == "about" and word.term == "due" for word in reading.told)


def _which(state: State, reading: Reading | Misread) -> str | None:
    """The walk that answers "which walk?", by a word of its name or its place; None if that was not asked."""
    asked_for = next((one for one in state.said if isinstance(one, Ask) and one.text.startswith(_WHICH)), None)
    if asked_for is None or state.mode != "idle" or len(reading.text.split()) > MOST_OF_A_NAME:
        return None
    titles = list(asked_for.options)
    words = plain(reading.text).split()
    if isinstance(reading, Reading) and reading.amounts:
        at = reading.amounts[0].value
        whole = len(reading.amounts) == 1 and not reading.amounts[0].unit and at == int(at) and 1 <= at <= len(titles)
        found = [one for one in plans.walks() if whole and one.title == titles[int(at) - 1]]
    else:
        found = plans.called(reading.text)
        found = found or [one for one in plans.walks() if set(words) & _OF_TITLE[one.name]]
    return found[0].named[0] if len(found) == 1 and found[0].title in titles else None


_WHICH = "Which walk"
MOST_OF_A_NAME = 7
"""Words of a line that may name a walk when it was asked which."""
_OF_TITLE = {
    "first-brine": {"brine", "jar", "ferment", "wet"}, "first-mash": {"mash", "dry", "salted"},
    "finishing-day": {"finishing", "finish", "sauce", "blend", "straining"},
    "heat-and-bottle": {"heat", "bottle", "bottles", "bottling", "pasteurise", "pasteurize"},
    "later-harvest": {"harvest", "later", "more"}, "ph-meter": {"meter", "ph", "calibrate", "calibration", "probe"},
}  # fmt: skip
"""Words that are enough of a name where it was asked which walk."""


def _chosen(talk: Talk, reading: Reading | Misread, name: str, today: datetime.date) -> Moved:
    """A walk by its name, or the question which."""
    found = plans.called(name)
    if len(found) != 1:
        some = [one.title for one in found or plans.walks()]
        ask = Ask(f"{_WHICH}: {'; '.join(some)}?", options=tuple(some))
        return replace(talk, now=replace(talk.now, said=(ask,))), (ask,)
    plan = found[0]
    batch = current(talk.now)
    if plan.batch:
        named = meant(talk.now, reading)
        if len(named) > 1 or (not named and _FOR.search(reading.text)):
            titles = ", ".join(one.title for one in named or filter(None, [batch]))
            return talk, (Ask(f"For which batch? Say its name or number. I know: {titles or 'none yet'}."),)
        if named:
            batch = named[0]
            talk = Talk(replace(talk.now, batch=batch.number), talk.past, talk.future)
    if plan.batch and batch is None:
        return talk, (
            Ask(
                f'"{plan.title}" needs a batch. Say which one, or "new batch of reds in the 8 L crock", and ask again.'
            ),
        )
    start = Walking(plan.name, plan.steps[0].id, since=today, batch=batch.number if plan.batch and batch else 0)
    needs = f" You need: {', '.join(plan.needs)}." if plan.needs else ""
    lead = (
        f'{plan.title}, {len(plan.steps)} steps.{needs} Say "next" when a step is done; "why", "back", "repeat", '
        '"stop for today". '
    )
    return showing.step(talk, start, today, lead=lead)
