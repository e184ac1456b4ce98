"""One line said on a walk: a word of the walk, a fact that its step waits for, or something for the talk."""

from __future__ import annotations

import datetime
import math
import re
from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

from assistant.replies import Answer, Ask, Caution, Log, Note, Reply, Why
from assistant.talk import turn as talking
from assistant.talk.account.asked import asked as of_account
from assistant.talk.account.reading import calibrated as calibration
from assistant.talk.account.which import current, meant
from assistant.talk.place import dimension
from assistant.talk.state import DEPTH, State, Talk, Walking, style
from assistant.talk.work import HELD
from assistant.trade import calculator
from assistant.walks import facts, gates, showing
from assistant.walks.showing import NAME, Moved
from grammar import measures
from grammar.later import module, regex
from grammar.reader import read
from grammar.types import Misread, Reading, Word
from grammar.walking import plain

if TYPE_CHECKING:
    from assistant.batches import events as ev
    from assistant.batches.batch import Batch
    from assistant.walks import plan as plans
    from assistant.walks import saying, standing
else:
    ev = module("assistant.batches.events")
    plans = module("assistant.walks.plan")
    saying = module("assistant.walks.saying")
    standing = module("assistant.walks.standing")

_BOTH = regex(r"^.*\((.+)\)$")
""" "1 lb 8 oz (680 g)": an amount in both systems."""
_ANSWERS = regex(r"\b(?:yes|yep|yup|aye|ok|okay|done|ready|the|no|repeat|again)\b", re.IGNORECASE)
"""Words that may answer a question in the middle, and are a walk's too."""
_PUTS = regex(r"\b(?:add|adding|put|pour|what if|suppose)\b", re.IGNORECASE)
_STRIPS = regex(r"\b(?:strips?|litmus|ph papers?|indicator papers?)\b", re.IGNORECASE)


def _words(reading: Reading | Misread) -> tuple[Word, ...]:
    return reading.all_words if isinstance(reading, Reading) else ()


_METERS = regex(r"\b(?:meter|probe|electrode)\b", re.IGNORECASE)
_NO_METER = regex(
    r"\b(?:no|without|don't have|dont have|haven't got|havent got|lost|broken) (?:a |any |my |the )?(?:ph )?meter\b|"
    r"\bmeter is (?:broken|dead|gone)\b",
    re.IGNORECASE,
)


_NODS = regex(
    r"(?:(?:yes|yep|yup|yeah|aye|sure|ok|okay|please|do it|do that|do so|change it|change that|go for it|go ahead|"
    r"right|it shall|that one|the new one|please do)\W*)+"
)
_SHAKES = regex(
    r"(?:(?:no|nope|nah|never mind|nevermind|keep it|keep that|leave it|leave that|as it was|as it is|don't|dont|stay|"
    r"the old one|thanks|as before|keep the old one)\W*)+"
)
_NOT_TODAY = regex(
    r"\b(?:yesterday|last|ago|not|never|week|month|will|going to|must|should|tomorrow)\b|n't\b", re.IGNORECASE
)
_OF_SALT = regex(r"\b(?:salt|kosher|iodi[sz]ed|flakes?|flaky|low sodium)\b", re.IGNORECASE)
_IFS = regex(r"\b(?:what if|if|suppose|supposing)\b", re.IGNORECASE)
_IN_THE_END = regex(r"\b(?:in the end|after all|turned out|in fact)\b", re.IGNORECASE)
_TOO = regex(r"\b(?:also|too(?! \w)|as well|plus|another|on top|extra)\b", re.IGNORECASE)
_PUTS_RIGHT = regex(
    r"\b(?:actually|instead|rather|prefer|(?:it|that|they) (?:was|were) (?!not\b)|should (?:be|have been)|meant|mean|"
    r"in the end|after all|turned out|in fact|correction|sorry|oops|would be better)\b",
    re.IGNORECASE,
)
_HOLES = regex(r"\{(\w+)\}")


_FAR = 4.0
"""A bare number so many times another is not taken for the same thing in the same unit."""


def _distance(new: float, text: str) -> float:
    """How far a weight in kg is from one in words, as a ratio on a log scale; infinite where that is no one weight."""
    found = read(_BOTH.sub(r"\1", text))
    amounts = found.amounts if isinstance(found, Reading) else ()
    old = sum(measures.canonical(one.value, one.unit, "mass") for one in amounts if dimension(one.unit) == "mass")
    return abs(math.log(new / old)) if old > 0 else math.inf


def _in_order(text: str) -> list[str]:
    """The names that a text has places for, each once, as they stand."""
    return list(dict.fromkeys(_HOLES.findall(text)))


CALIBRATED = "calibrated"
"""The name of the fact that the meter was calibrated, with its day."""


def _tells(reading: Reading) -> bool:
    """Whether a line says a number as what shall be, and asks nothing ("2.5 %", "i want it less salty, 2 percent")."""
    if reading.question or reading.wanted or facts.supposed(reading.text) or _IFS.search(reading.text):
        return False
    if reading.act == "ask":
        return _WANTS.search(reading.text) is not None
    return True


_WANTS = regex(
    r"\b(?:want|like|rather|prefer|lower|raise|less|more|let's|lets|use|take|go with|enough|cut|drop|down to|up to|"
    r"change|set|better|too)\b",
    re.IGNORECASE,
)


IN_THE_BOOK = (
    'That is in the book already. If it was entered wrong, say "undo" and do the step anew; if more went in, say so '
    'with its salt, for example "added 500 g of reds with 15 g of salt".'
)


_OF_WHICH = "For which batch:"


class Led:
    """One line said on a walk."""

    def __init__(self, talk: Talk, on: Walking, reading: Reading | Misread, word: str, today: datetime.date) -> None:
        self.talk, self.on, self.reading, self.word, self.today = talk, on, reading, word, today
        self.plan = plans.walk(on.walk)
        self.at = self.plan.place(on.step)
        self.step = self.plan.steps[self.at]

    @property
    def batch(self) -> Batch | None:
        """The batch that the walk is about, whichever was spoken of last."""
        return self.talk.now.shelf.batch(self.on.batch) if self.on.batch else current(self.talk.now)

    def made(self) -> Moved:
        """What comes of it."""
        moves: dict[str, Callable[[], Moved]] = {
            "next": self.next, "back": self.back, "repeat": self.again, "skip": self.skip, "long": self.long,
            "where": self.where, "ahead": self.ahead, "need": self.need, "stop": self.stop, "end": self.end,
            "resume": self.again,
        }  # fmt: skip
        if (wished := self.wished()) is not None:
            return wished
        act = self.reading.act if isinstance(self.reading, Reading) else ""
        # "back" is an undo to the talk; on a walk it is the step before, and leaves what is in the book alone
        if act in ("undo", "redo", "leave", "reset") and self.word != "back":
            return self.aside(remind=False)
        if self.word in moves and not self._of_the_talk():
            return moves[self.word]()
        opened = self.talk.now.mode in ("asking", "choosing")
        if self.word in moves and opened and not _ANSWERS.search(self.reading.text):
            return self.dropped(moves)
        if act == "why" and not self._answered() and not any(sign.isdecimal() for sign in self.reading.text):
            return self.why()
        if self.step.kind == "ph" and not any(sign.isdecimal() for sign in self.reading.text):
            if _NO_METER.search(self.reading.text.replace("\u2019", "'")):
                text = (
                    "Without a meter nothing here is proven: keep it cold, bottle none of it, hand none of it on. A "
                    "strip counts up to pH 4.0 only; a borrowed meter will do."
                )
                return self.talk, (Note(text), self._reminder())
            if _STRIPS.search(self.reading.text):
                noted = replace(self.on, told=(*self.on.told, ("strips", "yes")))
                note = Note("Then I enter it as a strip's: it may be 0.5 off, and counts up to pH 4.0 only.")
                return showing.kept(self.talk, replace(self.talk.now, walk=noted), said=(note,)), (
                    note,
                    self._reminder(),
                )
        if act == "unsure" and self.step.usual and self.talk.now.mode == "idle":
            return self.fill(facts.Told(((self.step.tell, self.step.usual),)))
        if self.talk.now.mode == "idle" and not self._asked_in_between():
            if (told := facts.told(self.step, self.reading)) is not None:
                return self.fill(told)
            if not self._mends_another() and (changed := self.changed()) is not None:
                return changed
            if (kept := self.kept_ahead()) is not None:
                return kept
        return self.aside()

    def wished(self) -> Moved | None:
        """The answer to "shall the step change?", where that was the last thing asked."""
        wish = self.on.wish
        if not wish:
            return None
        self.on = replace(self.on, wish=())
        self.talk = replace(self.talk, now=replace(self.talk.now, walk=self.on))
        text = plain(self.reading.text)
        if _NODS.fullmatch(text):
            return self._with(wish)
        if _SHAKES.fullmatch(text):
            note = Note("It stays as it was.")
            return showing.kept(self.talk, self.talk.now, said=(note,)), (note, self._reminder())
        if self.word == "next":
            both = f'say "yes" for {self._named(wish)}, or "no" for {self._named(self._old(wish))}'
            kept = replace(self.talk.now, walk=replace(self.on, wish=wish))
            return showing.kept(self.talk, kept), (Ask(f"First, which amount: {both}."),)
        return None

    def _old(self, wish: tuple[tuple[str, str], ...]) -> tuple[tuple[str, str], ...]:
        return tuple((name, self.on.facts.get(name, "")) for name, _ in wish)

    @staticmethod
    def _named(values: tuple[tuple[str, str], ...]) -> str:
        return " and ".join(value for name, value in values if not name.endswith("_kind"))

    def _with(
        self, wish: tuple[tuple[str, str], ...], before: tuple[Reply, ...] = (), from_: State | None = None
    ) -> Moved:
        """The walk with other facts: everything up to here is worked out anew, and what changes is said.

        ``from_`` holds the sum that a fact was worked out from: a bare number said next puts right what was said there.
        """
        old = self.on.facts
        on = replace(self.on, told=tuple((dict(self.on.told) | dict(wish)).items()), wish=())
        state = self.talk.now
        for each in self.plan.steps[: self.at]:
            on, said = showing.worked(self.talk, replace(on, step=each.id), self.plan, self.today)
            if said is not None and said.stuck:
                asked_back = tuple(one for one in said.replies if one.kind in ("ask", "refuse", "misread"))
                return self.talk, (*before, *asked_back, Note("So the step stays as it was."), self._reminder())
            if said is not None:  # what is said next leans on the walk's own sum
                state = replace(state, answered=said.state.answered, touched=())
        moved, replies = showing.step(self.talk, replace(on, step=self.step.id), self.today, state=state)
        if from_ is not None and moved.now.walk is not None:
            moved = replace(moved, now=replace(moved.now, answered=from_.answered, touched=from_.touched))
        if moved is self.talk or moved.now.walk is None:
            return moved, (*before, *replies)
        return moved, (*before, showing.changes(self.plan, old, moved.now.walk.facts), *replies)

    def _mends_another(self) -> bool:
        """Whether a correction without a word of what is of belongs to what was just entered or answered in between."""
        reading = self.reading
        if not isinstance(reading, Reading) or not reading.amounts:
            return False
        if any(one.noun is not None or one.others for one in reading.amounts):
            return False
        now = self.talk.now
        of = {dimension(one.unit) for one in reading.amounts}
        logged = any(isinstance(one, Log) for one in now.said)
        if of == {""} and (self._answered() or (logged and now.deed is not None)):
            judged = any(isinstance(one, Answer) and one.calculator == "ph" for one in now.said)
            return not judged  # "make it 2.8" after 3 %, "no 4" after 3 g that went in
        if now.deed is not None and now.seqs and now.deed.reading.text not in self._own_lines():
            return of <= {dimension(one.unit) for one in now.deed.reading.amounts}
        job = now.answered
        if job is None or not now.touched:
            return False
        inputs = calculator(job.calculator)
        touched = {inputs.input(one).dimension for one in now.touched if one in job.values()}
        held = {step.tell for step in self._told_steps() if facts.DIMENSION.get(step.kind) in touched}
        return bool(touched) and of <= touched and (not held or "salt" in now.touched)

    def _own_lines(self) -> set[str]:
        return {self._line(one) for step in self.plan.steps for one in step.enter}

    def _told_steps(self) -> list[plans.Step]:
        return [one for one in self.plan.steps if one.tell and one.tell in dict(self.on.told)]

    def kept_ahead(self) -> Moved | None:
        """Facts told before their step: kept for it, and said; where the first is this step's, the walk goes on."""
        reading = self.reading
        if not isinstance(reading, Reading) or (self.step.gate and self.shut() is not None):
            return None
        if (calibrated := self.calibrated()) is not None:
            return calibrated
        if (salt := self.salts()) is not None:
            return salt
        rest = [one for one in self.plan.steps if one.tell and (one in self._told_steps() or self.at <= self._at(one))]
        rest = [one for one in rest if not self._in_the_book(one)]
        found = facts.ahead(rest, reading)
        if not found:
            return None
        if all(self._at(step) < self.at for step, _ in found):
            return self.told_anew(*found[0]) if len(found) == 1 else None
        early = [fact for step, fact in found if self._at(step) < self.at]
        if early:
            moved, before = self._with(tuple(pair for fact in early for pair in fact.facts))
            if moved is self.talk or moved.now.walk is None:
                return moved, before
            self.on = moved.now.walk
            self.talk = replace(self.talk, now=replace(self.talk.now, walk=self.on))
            found = [one for one in found if self._at(one[0]) >= self.at]
            changed_ = before[:1]
        else:
            changed_ = ()
        here = next((fact for step, fact in found if step.id == self.step.id), None)
        later = [(step, fact) for step, fact in found if step.id != self.step.id]
        told = dict(self.on.told)
        notes: list[Reply] = list(changed_)
        for step, fact in later:
            told |= dict(fact.facts)
            value = dict(fact.facts)[step.tell]
            notes.append(Note(f"Kept for step {self.plan.place(step.id) + 1}: {value}."))
        on = replace(self.on, told=tuple(told.items()))
        if here is None:
            return showing.kept(self.talk, replace(self.talk.now, walk=on), said=tuple(notes)), (
                *notes,
                self._reminder(),
            )
        self.on = on
        talk, replies = self.fill(here)
        return talk, (*notes, *replies)

    def told_anew(self, step: plans.Step, fact: facts.Told) -> Moved | None:
        """Another jar, or another weight of the same, said with no word of change after its step."""
        if step.kind == "vessel":
            return self._with(fact.facts)
        if step.kind != "produce":
            return None
        kind = dict(fact.facts)[step.tell].partition(" of ")[2]
        kinds = [one.partition(" of ")[2] for one in self.on.facts[step.tell].split(" and ")]
        return (self.of_several(step, fact) or self._with(fact.facts)) if kind in kinds else None

    def _at(self, step: plans.Step) -> int:
        return self.plan.place(step.id)

    def _in_the_book(self, step: plans.Step) -> bool:
        """Whether what a step was told is entered already."""
        return any(
            one.id in self.on.entered and step.tell in plans.holes(" ".join(one.enter)) for one in self.plan.steps
        )

    def salts(self) -> Moved | None:
        """ "The salt is kosher": no number of a walk that weighs its salt hangs on it; its cautions are said."""
        reading = self.reading
        assert isinstance(reading, Reading)
        kinds = [word for word in reading.all_words if word.kind == "salt"]
        kinds = kinds if _OF_SALT.search(reading.text) else []  # "looks fine to me" is of no salt
        others = {word.kind for word in reading.all_words} - {"salt", "noun", "det", "link", "filler"}
        weighs = any("{salt}" in one.do for one in self.plan.steps)
        if not kinds or reading.amounts or reading.told or others or not weighs or reading.act not in ("tell", "bare"):
            return None
        sums = [f"mash of 1 kg of chillies at 3%{beside}" for beside in ("", f" with {kinds[0].text} salt")]
        before, with_it = (saying.say(Talk(State()), [line], self.today).replies for line in sums)
        cautions = [one for one in with_it if isinstance(one, Caution) and one not in before]
        note = Note("This walk weighs its salt, so which salt it is changes no number here, and it is not asked.")
        return showing.kept(self.talk, self.talk.now, said=(note, *cautions)), (note, *cautions, self._reminder())

    def calibrated(self) -> Moved | None:
        """ "Meter calibrated this morning", before a reading is asked for or beside its question."""
        reading = self.reading
        assert isinstance(reading, Reading)
        terms = {word.term for word in reading.told}
        waits = [one for one in self.plan.steps[self.at :] if one.kind == "ph" and one.enter]
        counts = [one for one in reading.amounts if dimension(one.unit) not in ("date", "time")]
        if not terms & {"calibrated", "uncalibrated"} or terms - {"calibrated", "uncalibrated"} or counts or not waits:
            return None
        if any(isinstance(one, Answer) and one.calculator == "ph" for one in self.talk.now.said):
            return None  # of the reading just entered
        if reading.act not in ("tell", "bare", "log", "ask") or reading.question:
            return None
        step = waits[0]
        if "uncalibrated" in terms or calibration(reading) == "no" or _NOT_TODAY.search(reading.text):
            if re.search(r"\b(?:will|going to|must|should|tomorrow|later|first)\b", reading.text, re.IGNORECASE):
                return None
            on = replace(self.on, told=(*self.on.told, (CALIBRATED, f"not {self.today.isoformat()}")))
            note = Note(
                "A meter counts as calibrated on its day only: what it shows now would be entered as proving nothing. "
                'Calibrate it first, and say "calibrated today" with the number.'
            )
            return showing.kept(self.talk, replace(self.talk.now, walk=on), said=(note,)), (note, self._reminder())
        on = replace(self.on, told=(*self.on.told, (CALIBRATED, self.today.isoformat())))
        text = "Kept: the meter was calibrated today. It counts for a reading of today"
        if step.id != self.step.id:
            text += f"; the pH is asked for in step {self.plan.place(step.id) + 1}, on another day calibrate anew"
        note = Note(f"{text}.")
        return showing.kept(self.talk, replace(self.talk.now, walk=on), said=(note,)), (note, self._reminder())

    def stands(self, talk: Talk, replies: tuple[Reply, ...]) -> Moved | None:
        """What becomes of an answer of the talk to the sum that a step rests on; None where it is about something else.

        The step takes the other number where it was said as one, and else it is said that the step stands as it was.
        """
        worked = next((one for one in reversed(self.plan.steps[: self.at + 1]) if one.work), None)
        job, said_ = talk.now.answered, self.reading
        assert isinstance(said_, Reading)
        if (
            worked is None
            or job is None
            or talk.now.mode != "idle"
            or not any(isinstance(one, Answer) for one in replies)
        ):
            return None
        if plans.holes(worked.work) - self.on.facts.keys():
            return None
        own = saying.say(
            showing.of_its_batch(self.talk, self.on), [plans.filled(worked.work, self.on.facts)], self.today
        )
        if own.stuck or own.state.answered is None or own.state.answered.calculator != job.calculator:
            return None
        if not any(isinstance(one, Answer) and one.calculator == job.calculator for one in replies):
            return None
        entering = self._entering(worked)
        if not entering and (worked is not self.step or HELD in job.words):
            return None
        if entering:  # the walk enters it, once
            replies = tuple(one for one in replies if not (isinstance(one, Note) and one.text.startswith('Say "done"')))
            talk = replace(talk, now=replace(talk.now, said=replies))
        told, sum_ = dict(self.on.told), own.state.answered
        other = standing.compared(self._told_steps(), told, sum_, job)
        if other is None:
            steps = [word.term for word in said_.all_words if word.kind == "step"]
            if steps and not said_.amounts:
                held = " and ".join(self.on.facts[one.tell] for one in self._told_steps() if one.kind == "percent")
                now = f"It is {held} now: s" if held else "S"
                return self.talk, (
                    Ask(f'How much {steps[0]}? {now}ay the new amount, as "make it ...".'),
                    self._reminder(),
                )
            return talk, (*replies, self._reminder())
        stays = f"Step {self.plan.place(worked.id) + 1} stands as it was: {self._short(worked)}."
        if any(one.id in self.on.entered for one in entering):
            stays = f"What is in the book stays as it was: {self._short(worked)}."
            return talk, (*replies, Note(stays), self._reminder())
        wish = self._named(other.facts)
        if other.wrong:
            why = other.wrong.split(" Say it")[0]
            return talk, (*replies, Ask(f"{stays} The walk does not take {wish}. {why}"))
        before = self.talk.now.answered
        foreign = standing.compared(self._told_steps(), told, sum_, before) if before is not None else None
        new = dict(other.facts)
        leans = foreign is None or not any(new.get(name) == value for name, value in foreign.facts)
        if not other.facts or other.loose or not leans:
            one = len(other.facts) == 1
            text = f'{stays} To change it, say for example "make it {wish}".' if one else stays
            return talk, (*replies, Note(text), self._reminder())
        if _tells(said_):
            heard = tuple(one for one in replies if isinstance(one, Note) and one.text.startswith("I "))
            return self._with(other.facts, heard, talk.now if other.derived else None)
        ask = Ask(f"{stays} Shall it be {wish} from here on? Say yes or no.")
        on = replace(self.on, wish=other.facts)
        return replace(talk, now=replace(talk.now, walk=on, answered=before, said=(*replies, ask))), (*replies, ask)

    def _still_here(self, talk: Talk) -> Talk:
        """A number put right takes back all that its line had written, the walk's place too: that is written anew."""
        told = tuple(f"{name}={value}" for name, value in self.on.told)
        place = ev.Walked(
            self.on.batch, self.today, self.reading.text, self.on.walk, self.on.step, told, self.on.skipped
        )
        seq = (talk.now.shelf.head + 1 + len(talk.wrote), self.on.batch)
        return replace(talk, now=replace(talk.now, seqs=(*talk.now.seqs, seq)), wrote=(*talk.wrote, place))

    def _entering(self, worked: plans.Step) -> list[plans.Step]:
        """The steps that enter what a step works out."""
        named = plans.holes(worked.work) | plans.holes(worked.do)
        return [one for one in self.plan.steps if one.enter and plans.holes(" ".join(one.enter)) & named]

    def _short(self, step: plans.Step) -> str:
        """The amounts of a step, and what they are worked out from."""
        amounts = dict(self.on.amounts)
        parts = [f"{name.replace('_', ' ')} {amounts[name]}" for name in _in_order(step.do) if name in amounts]
        from_ = [self.on.facts[one.tell] for one in self._told_steps() if one.tell in plans.holes(step.work)]
        return f"{', '.join(parts)} ({', '.join(from_)})"

    def entered_already(self, talk: Talk) -> Moved | None:
        """What the talk would enter that the walk enters itself, or has entered from now on."""
        assert isinstance(self.reading, Reading)
        waits = next((one for one in self.plan.steps if one.enter and one.kind == "done"), None)
        if waits is None or waits.id in (*self.on.entered, *self.on.skipped) or "produce" not in self.on.facts:
            return None
        asked = self.talk.now.pending
        amounts = self.reading.amounts or (asked.reading.amounts if asked is not None else ())
        puts = any(isinstance(one, ev.Begin | ev.Add) for one in talk.wrote)
        done = any(word.term == "done" for word in self.reading.told) and talk.now.pending is not None and asked is None
        bare = puts and asked is None and not self.reading.kinds.keys() & {"vessel", "produce"}  # "new batch", no more
        if not amounts and (done or bare or any(isinstance(one, ev.Add) for one in talk.wrote)):
            if self.step is waits:
                return self.next()
            place = self.plan.place(waits.id) + 1
            note = Note(f"Nothing is entered yet: step {place} enters it all, with the amounts of this walk.")
            return self.talk, (note, self._reminder())
        if not puts:
            return None
        salts = [one for one in talk.wrote if isinstance(one, ev.Add)]
        if salts and all(one.what == "salt" for one in salts) and "salt" in dict(self.on.amounts) and self.on.batch:
            own = dict(self.on.amounts)["salt"]
            shown = showing.in_words(sum(one.mix.salt for one in salts), "kilogram", style(talk.now, None))
            ask = Ask(
                f"Step {self.plan.place(waits.id) + 1} enters {own} of salt with the new part. Are these {shown} all "
                f'of it? Then say "make it {shown} of salt". Are they more on top: say it again after that step.'
            )
            return self.talk, (ask, self._reminder())
        kinds = self.on.facts.get("produce", "")
        begun = next(
            (one.batch for one in talk.wrote if isinstance(one, ev.Begin) and (not one.name or one.name in kinds)), 0
        )
        on = replace(self.on, batch=self.on.batch or begun)
        if any(
            isinstance(one, ev.Add) and one.fresh and one.batch == on.batch and one.what in kinds for one in talk.wrote
        ):
            on = replace(on, entered=(*on.entered, waits.id))
            note = Note("That is in the book with the amounts you said: the walk does not enter it again.")
        elif begun and on.batch == begun:
            note = Note("That is this walk's batch now.")
        else:
            return None
        said = (*talk.now.said, note)
        return replace(talk, now=replace(talk.now, walk=on, said=said)), (*said, self._reminder())

    def _answered(self) -> bool:
        """Whether the last thing said was an answer to a question in the middle."""
        return any(isinstance(one, Answer) and one.calculator != NAME for one in self.talk.now.said)

    def _asked_in_between(self) -> bool:
        """Whether something that came between waits for a number or a word of its own."""
        now = self.talk.now
        waits = now.pending is not None or (now.wrong is not None and now.wrong.asking)
        return bool(waits or (now.heated is not None and now.heated.asking))

    def _of_the_talk(self) -> bool:
        """Whether the talk waits for just this word: a question of its own, or "done" to what it worked out."""
        if self.talk.now.mode != "idle" or self.talk.now.pending is not None:
            return True
        offers = any(isinstance(one, Note) and one.text.startswith('Say "done"') for one in self.talk.now.said)
        return self.word == "next" and offers and self._answered()

    def aside(self, remind: bool = True) -> Moved:
        """The line as the talk takes it, and the step named again."""
        talk, replies = self.turned()
        if replies and isinstance(replies[0], Ask) and replies[0].text.startswith(_OF_WHICH):
            return talk, replies
        said = self.reading
        if (switched := self.switched(talk, replies)) is not None:
            return switched
        if isinstance(said, Reading) and remind and (once := self.entered_already(talk)) is not None:
            return once
        if (
            self.talk.now.mode == "idle"
            and talk.now.mode in ("asking", "choosing")
            and isinstance(said, Reading)
            and not (said.amounts or said.wanted or said.question)
            and said.act in ("tell", "bare", "ask")
        ):
            if not self.step.tell:
                return self.talk, (Note("I took nothing from that."), self._reminder())
            return self.talk, (Ask(f"I need a number here. {plans.filled(self.step.ask, self.on.facts)}"),)
        if isinstance(said, Reading) and remind and (stood := self.stands(talk, replies)) is not None:
            return stood
        if any(isinstance(one, ev.Undo) for one in talk.wrote) and self.on.batch and remind:
            talk = self._still_here(talk)
        if (stray := self.stray(talk)) is not None:
            return stray
        closed = any(one.kind == "done" for one in replies)
        if not remind or closed or talk.now.mode != "idle" or talk.now.pending is not None:
            return talk, replies
        return talk, (*replies, self._reminder())

    def turned(self) -> Moved:
        """The line as the talk takes it: about the walk's own batch, where it names no other and leans on none."""
        at, own = self.talk, self.on.batch
        here = current(at.now)
        free = at.now.mode == "idle" and not self._asked_in_between()
        if not free or not own or here is None or here.number == own:
            return talking.turn(at, self.reading, self.today)
        there = showing.of_its_batch(at, self.on)
        talk, replies = talking.turn(there, self.reading, self.today)
        enters = any(not isinstance(one, ev.Walked) and one.batch == own for one in talk.wrote)
        mends = any(isinstance(one, ev.Undo) for one in talk.wrote)
        if not enters or mends or any(one.number == own for one in meant(at.now, self.reading)):
            return (at if talk is there else talk), replies
        if not here.full:  # begun just now, and this goes into it
            return talking.turn(at, self.reading, self.today)
        batch = at.now.shelf.batch(own)
        name = batch.title if batch is not None else str(own)
        ask = Ask(f'{_OF_WHICH} "{name}", which this walk is of, or "{here.title}"? Say the line with its name.')
        return at, (ask,)

    def stray(self, talk: Talk) -> Moved | None:
        """Amounts that would open "mash, or under brine?" on a walk that knows: what they shall change is asked."""
        said, now = self.reading, talk.now
        asks = now.mode == "choosing" and {one.calculator for one in now.options} <= {"mash", "packed"}
        if not asks or self.talk.now.mode != "idle" or not isinstance(said, Reading) or not said.amounts or said.wanted:
            return None
        told = [self.on.facts[one.tell] for one in self._told_steps() if not self._in_the_book(one)]
        if not any(one.work for one in self.plan.steps) or (not told and self.at):
            return None
        amounts = ", ".join(f'"{one.text}"' for one in said.amounts)
        so_far = f" So far: {'; '.join(told)}." if told else ""
        text = (
            f'I did not take {amounts} into the walk.{so_far} Say each for its step, or to change one, "make it ...".'
        )
        return self.talk, (Ask(text), self._reminder())

    def switched(self, talk: Talk, replies: tuple[Reply, ...]) -> Moved | None:
        """ "The reds" in the middle of the habaneros' walk: it waits, so that nothing goes to the wrong batch."""
        own = self.on.batch
        if not own or talk.wrote or talk.now.batch in (0, own) or self.talk.now.mode != "idle" or talk is self.talk:
            return None
        if isinstance(self.reading, Reading) and of_account(talk.now, self.reading) not in ("switch", None):
            return None
        if isinstance(self.reading, Reading) and self.reading.amounts:
            return None
        batch = talk.now.shelf.batch(own)
        name = batch.title if batch is not None else str(own)
        note = Note(f'The walk of "{name}" waits at step {self.at + 1}: "carry on" goes on with it.')
        said = (*replies, note)
        return replace(talk, now=replace(talk.now, walk=replace(self.on, paused=True), said=said)), said

    def dropped(self, moves: Mapping[str, Callable[[], Moved]]) -> Moved:
        """A word of the walk while a question in the middle is open: the question is dropped, and that is said."""
        before, self.talk = self.talk, showing.kept(self.talk, self.talk.now.idle())
        if self.word == "next" and self.step.enter and self.step.kind == "done":  # it may have put the amounts right
            note = Note("The question in between is dropped, with its numbers. Nothing of this step is entered yet.")
            return self.talk, (note, self._reminder())
        talk, replies = moves[self.word]()
        if talk is self.talk:  # nothing was moved: then it is one step of undo
            talk = Talk(talk.now, (*before.past, before.now)[-DEPTH:], ())
        else:
            talk = replace(talk, past=(*before.past, before.now)[-DEPTH:])
        return talk, (Note("The question in between is dropped."), *replies)

    def _reminder(self) -> Note:
        ask = f" {plans.filled(self.step.ask, self.on.facts)}" if self.step.tell else ' Say "next" when it is done.'
        short = plans.filled(self.step.do, self.on.facts).split(". ")[0].rstrip(".")
        return Note(f"Back to step {self.at + 1} of {len(self.plan.steps)}: {short}.{ask}")

    def next(self) -> Moved:
        """On to the next step, if this one has what it needs."""
        step, on = self.step, self.on
        if step.tell and step.tell not in on.facts:
            example = f' Say "the usual" for {step.usual}.' if step.usual else ""
            return self.talk, (Ask(f"I need this first. {plans.filled(step.ask, on.facts)}{example}"),)
        if (shut := self.shut()) is not None:
            return shut
        gone = (self.today - on.since).days
        if step.wait and gone < step.wait and not on.warned:
            text = (
                f"It is day {gone} of {step.wait}: {showing.days(step.wait - gone)} to go. "
                'Say "next" once more to go on all the same.'
            )
            kept = replace(self.talk.now, walk=replace(on, warned=True))
            return showing.kept(self.talk, kept, said=(Note(text),)), (Note(text),)
        return self.passed()

    def shut(self) -> Moved | None:
        """That the gate of the step is shut, or None."""
        reason = gates.shut(self.step.gate, self.batch, self.today)
        if not reason:
            return None
        stop = Caution(f"Not yet. {reason}", f"gate-{self.step.gate}", "stop", GATE_SOURCE)
        return self.talk, (stop, self._reminder())

    def passed(self, skipped: bool = False, before: tuple[Reply, ...] = (), own: str = "") -> Moved:
        """Enters the step, and shows the one after it."""
        step, on, talk = self.step, self.on, self.talk
        wrote: tuple[ev.Event, ...] = ()
        state: State | None = None
        if step.enter and not skipped and step.id not in on.entered:
            lines = [self._dated(own) if step.kind == "ph" else own] if own else [self._line(one) for one in step.enter]
            if on.batch and lines[0].startswith("new batch"):
                lines = lines[1:]  # it was begun in other words
            said = saying.say(showing.of_its_batch(talk, on), lines, self.today)
            if said.stuck:
                asked_back = tuple(one for one in said.replies if one.kind in ("ask", "refuse", "misread"))
                return talk, (*asked_back, Note("Nothing of this step was entered."))
            if step.kind == "ph" and any(isinstance(one, ev.Read) and one.batch != on.batch for one in said.wrote):
                self.on = replace(on, told=self.talk.now.walk.told if self.talk.now.walk is not None else on.told)
                return self.aside()  # "4.1 for the carrots" on the walk of the reds
            wrote, state = said.wrote, said.state
            before = (*before, *showing.entered(said.replies))
            if step.kind == "ph" and any(isinstance(one, Caution) and one.severity == "stop" for one in said.replies):
                stays = replace(on, told=tuple(one for one in on.told if one[0] != step.tell))
                note = Note('The walk stays here until that is cleared: tell a new reading, or "end the walk".')
                kept = replace(state, walk=stays, shelf=talk.now.shelf)
                return showing.kept(talk, kept, wrote, (*before, note)), (*before, note)
            on = replace(on, entered=(*on.entered, step.id))
        if skipped:
            on = replace(on, skipped=(*on.skipped, step.id))
        if not on.batch and wrote and state is not None and (begun := current(state)) is not None:
            on = replace(on, batch=begun.number)  # once only: another batch spoken of on the way is not the walk's
        last = self.at + 1 == len(self.plan.steps)
        after = "" if last else self.plan.steps[self.at + 1].id
        if on.batch:
            told = tuple(f"{name}={value}" for name, value in on.told)
            event = ev.Walked(on.batch, self.today, self.reading.text, on.walk, after, told, on.skipped)
            wrote = (*wrote, event)
        base = replace(state, shelf=talk.now.shelf) if state is not None else talk.now
        if last:
            done = Note(f'That was the last step of "{self.plan.title}".{self._left_out(on)}')
            return showing.kept(talk, replace(base.idle(), walk=None), wrote, (*before, done)), (*before, done)
        on = replace(on, step=after, since=self.today, warned=False)
        there = replace(base, shelf=talk.now.shelf.with_events(wrote))
        return showing.step(talk, on, self.today, before=before, wrote=wrote, state=there)

    def _line(self, text: str) -> str:
        """A line that enters the step: weights in grams where two units are shown, and the reading as it is taken."""
        facts_ = {name: _BOTH.sub(r"\1", value) for name, value in self.on.facts.items()}
        line = plans.filled(text, facts_)
        line = line.replace("by meter", "by strip") if "strips" in self.on.facts else line
        return self._dated(line) if text.startswith("pH") else line

    def _dated(self, line: str) -> str:
        """A reading's line, with the calibration of today that was told before it."""
        known, day = self.on.facts.get(CALIBRATED, ""), self.today.isoformat()
        said = "calibrat" in line.lower() or "strip" in line.lower()
        if said or not known.endswith(day):
            return line
        return f"{line}, calibrated today" if known == day else f"{line}, not calibrated today"

    def _left_out(self, on: Walking) -> str:
        if not on.skipped:
            return ""
        names = [self.plan.steps[self.plan.place(one)].do.split(".")[0].lower() for one in on.skipped]
        return f" Left out: {'; '.join(names)}."

    def fill(self, told: facts.Told) -> Moved:
        """The fact that the step waits for: kept, the talk told where it must be, and on."""
        if told.wrong:
            return self.talk, (Ask(told.wrong),)
        if self.step.kind == "ph":  # another reading is entered as well
            self.on = replace(self.on, entered=tuple(one for one in self.on.entered if one != self.step.id))
        elif (
            self._in_the_book(self.step) and dict(self.on.told).get(self.step.tell) != dict(told.facts)[self.step.tell]
        ):
            return self.talk, (Note(IN_THE_BOOK), self._reminder())
        if (shut := self.shut()) is not None:
            return shut
        before = self.on.facts.get(f"{self.step.tell}_kind", "")
        if self.step.kind == "produce" and before and not any(word.kind == "produce" for word in _words(self.reading)):
            weight = dict(told.facts)[self.step.tell].split(" of ")[0]  # the kind was told before its step
            told = replace(told, facts=((self.step.tell, f"{weight} of {before}"), (f"{self.step.tell}_kind", before)))
        known = dict(self.on.told) | dict(told.facts)
        if self.step.kind == "ph" and _METERS.search(self.reading.text):
            known.pop("strips", None)
        self.on = replace(self.on, told=tuple(known.items()))
        return self.passed(own=told.own)

    def changed(self) -> Moved | None:
        """ "Make it 4 kg": another value for a fact that was told, and what it changes."""
        reading = self.reading
        if not isinstance(reading, Reading) or reading.question or _IFS.search(reading.text):
            return None
        puts_right = reading.act == "change" or reading.firm or _PUTS_RIGHT.search(reading.text)
        if not puts_right and not (_TOO.search(reading.text) and reading.kinds.get("produce")):
            return None
        if (_PUTS.search(reading.text) and not _IN_THE_END.search(reading.text)) or any(
            one.said("substance") for one in reading.amounts
        ):
            return None  # "what if I add 300 g of vinegar" is a question of its own
        done = [one for one in self._told_steps() if one is not self.step and one.kind != "words"]
        if (unit := self.in_another_unit(reading)) is not None:
            return unit
        if (which := self.of_which(reading)) is not None:
            return which
        for step in reversed(done):
            said = self.like(reading, step) if step is done[-1] else reading
            told = facts.told(step, replace(said, act="tell", question=False, wanted=()))
            if told is None or told.wrong:
                continue
            if self._in_the_book(step):
                return self.talk, (Note(IN_THE_BOOK), self._reminder())
            if step.kind == "produce" and (several := self.of_several(step, told)) is not None:
                return several
            before = self.on.facts
            known = dict(self.on.told) | dict(told.facts)
            if step.kind == "produce" and not any(word.kind == "produce" for word in reading.all_words):
                kind = before.get(f"{step.tell}_kind", "chillies")
                known |= {f"{step.tell}_kind": kind, step.tell: f"{known[step.tell].split(' of ')[0]} of {kind}"}
            return self._with(tuple(known.items()))
        return None

    def like(self, reading: Reading, step: plans.Step) -> Reading:
        """A bare number that puts right the fact told last has its unit: "3.95 actually" after 3.9 kg."""
        one = reading.amounts[0] if len(reading.amounts) == 1 else None
        if one is None or one.unit or one.noun is not None or one.rivals or step.kind not in facts.DIMENSION:
            return reading
        old = read(self.on.facts[step.tell])
        if not isinstance(old, Reading) or len(old.amounts) != 1:
            return reading
        ratio = one.value / old.amounts[0].value if old.amounts[0].value else 0.0
        if not 1 / _FAR <= ratio <= _FAR:
            return reading
        return replace(reading, amounts=(replace(one, unit=old.amounts[0].unit),))

    def in_another_unit(self, reading: Reading) -> Moved | None:
        """ "UK gallons", "I mean pounds": the fact told last keeps its number and gets that unit."""
        told = [one for one in self._told_steps() if one is not self.step and one.kind in facts.DIMENSION]
        if not reading.unit or reading.amounts or not told or re.search(r"\bnot\b|\bin\b", reading.text.lower()):
            return None
        step, unit = told[-1], reading.unit
        old = read(self.on.facts[step.tell])
        fits = isinstance(old, Reading) and len(old.amounts) == 1
        if not fits or not isinstance(old, Reading) or self._in_the_book(step):
            return None
        one = old.amounts[0]
        if dimension(one.unit) != dimension(unit) or step.kind not in ("vessel", "mass", "volume", "produce"):
            return None
        fact = facts.told(step, replace(old, act="tell", amounts=(replace(one, unit=unit, rivals=()),)))
        return self._with(fact.facts) if fact is not None and not fact.wrong else None

    def of_which(self, reading: Reading) -> Moved | None:
        """A weight with no word, far from what was told and near to what the step says to weigh: asked about."""
        one = reading.amounts[0] if len(reading.amounts) == 1 else None
        if one is None or dimension(one.unit) != "mass" or one.noun is not None or one.others or one.value <= 0:
            return None
        new = measures.canonical(one.value, one.unit, "mass")
        named = {name for step in self.plan.steps[: self.at + 1] if step.work for name in _in_order(step.do)}
        shown = {name: value for name, value in self.on.amounts if name in named}
        told = {step.tell: self.on.facts[step.tell] for step in self._told_steps() if step.kind in ("mass", "produce")}
        near = {name: _distance(new, value) for name, value in (shown | told).items()}
        closest = min(near, key=lambda name: near[name], default="")
        if closest not in shown or not told or near[closest] == math.inf:
            return None
        both = " or ".join(f"the {name.replace('_', ' ')} ({value})" for name, value in (shown | told).items())
        text = f'Is {one.text} {both}? Say it with its word, for example "make it {one.text} of {closest}".'
        return self.talk, (Ask(text), self._reminder())

    def of_several(self, step: plans.Step, told: facts.Told) -> Moved | None:
        """One weight for produce of several kinds puts that kind right; which one, or what joins, is asked."""
        assert isinstance(self.reading, Reading)
        old = self.on.facts[step.tell].split(" and ")
        new = dict(told.facts)[step.tell].split(" and ")
        named = any(word.kind == "produce" for word in self.reading.all_words)
        kinds = [one.partition(" of ")[2] for one in old]
        kind = new[0].partition(" of ")[2]
        joins = _TOO.search(self.reading.text) is not None and named
        if not joins and (len(new) > 1 or len(old) == 1):
            return None
        if named and kinds.count(kind) == 1 and not joins:
            parts = [new[0] if one == kind else part for one, part in zip(kinds, old, strict=True)]
            return self._with(((step.tell, " and ".join(parts)),))
        kept = [part for one, part in zip(kinds, old, strict=True) if joins or one != kind]
        example = " and ".join([*kept, *new] if named else old)
        text = f'What goes in so far: {self.on.facts[step.tell]}. Say all of it anew, for example "make it {example}".'
        return self.talk, (Ask(text),)

    def back(self) -> Moved:
        """The step before; what is in the book stays there."""
        if not self.at:
            return self.talk, (Note("This is the first step."),)
        earlier = self.plan.steps[self.at - 1]
        told = tuple(one for one in self.on.told if one[0] not in (earlier.tell, f"{earlier.tell}_kind"))
        kept = (earlier.id in self.on.entered and earlier.enter) or (earlier.tell and self._in_the_book(earlier))
        on = replace(self.on, step=earlier.id, told=self.on.told if kept else told, warned=False)
        note = (Note('What is entered of that step stays in the book; "undo" takes an entry back.'),) if kept else ()
        return showing.step(self.talk, on, self.today, before=note)

    def again(self) -> Moved:
        """The step once more."""
        _, replies = showing.step(self.talk, self.on, self.today)
        return self.talk, replies

    def skip(self) -> Moved:
        """Leaves a step out, unless something rests on it."""
        step = self.step
        if step.gate:
            reason = gates.shut(step.gate, self.batch, self.today)
            text = f"This step cannot be skipped. {step.why}{f' {reason}' if reason else ''}"
            return self.talk, (Caution(text, f"gate-{step.gate}", "stop", GATE_SOURCE), self._reminder())
        if step.enter and step.kind != "ph":
            text = 'This step goes into the book, so it is done or not: say "next" when it is, or "end the walk".'
            return self.talk, (Ask(text),)
        if step.work and any(one.id not in self.on.entered for one in self._entering(step)):
            text = (
                f'Its amounts are entered later on: {self._short(step)}. Say "next" when it is done, or "end the walk".'
            )
            return self.talk, (Ask(text),)
        if step.tell and any(
            step.tell in plans.holes(" ".join((one.work, *one.enter, one.do))) for one in self.plan.steps
        ):
            usual = f' Say "the usual" for {step.usual}.' if step.usual else ""
            text = f"The steps after it are worked out from this. {plans.filled(step.ask, self.on.facts)}{usual}"
            return self.talk, (Ask(text),)
        return self.passed(skipped=True, before=(Note(f"Left out, and noted: {step.why}"),))

    def why(self) -> Moved:
        """The reason of the step, and the sums behind its amounts."""
        replies: list[Reply] = [Why(self.step.why, source=self.step.source or "common practice, no source")]
        _, said = showing.worked(self.talk, self.on, self.plan, self.today)
        if said is not None and not said.stuck:
            _, more = talking.turn(Talk(said.state), read("why"), self.today)
            replies += [one for one in more if isinstance(one, Why)]
        return self.talk, tuple(replies)

    def long(self) -> Moved:
        """How long the step takes, and how far it is."""
        step = self.step
        if step.wait:
            gone = (self.today - self.on.since).days
            left = step.wait - gone
            text = f"{showing.days(step.wait)} from {showing.date(self.on.since)}; " + (
                f"{showing.days(left)} to go." if left > 0 else "they are over."
            )
        elif step.hold:
            text = f'{showing.minutes(step.hold)}. "Tell me in {showing.minutes(step.hold)}" counts down.'
        else:
            waits = sum(one.wait for one in self.plan.steps[self.at :])
            text = "As long as you need." + (
                f" The rest of the walk waits {showing.days(waits)} in all." if waits else ""
            )
        return self.talk, (Note(text),)

    def where(self) -> Moved:
        """Which step it is, and what is known so far."""
        known = "; ".join(
            f"{name.replace('_', ' ')} {value}" for name, value in self.on.told if not name.endswith("_kind")
        )
        text = f'"{self.plan.title}", step {self.at + 1} of {len(self.plan.steps)}.' + (
            f" So far: {known}." if known else ""
        )
        _, replies = showing.step(self.talk, self.on, self.today)
        return self.talk, (Note(text), *replies)

    def ahead(self) -> Moved:
        """The step after this one, with nothing done."""
        if self.at + 1 == len(self.plan.steps):
            return self.talk, (Note("This is the last step."),)
        then = self.plan.steps[self.at + 1]
        return self.talk, (Note(f"After this: {plans.filled(then.do, self.on.facts)}"),)

    def need(self) -> Moved:
        """What this step needs, and the whole walk."""
        here = f"For this step: {', '.join(self.step.need)}. " if self.step.need else "Nothing more for this step. "
        rest = dict.fromkeys(one for step in self.plan.steps[self.at + 1 :] for one in step.need)
        later = [one for one in rest if one not in self.step.need]
        return self.talk, (Note(here + (f"Later: {', '.join(later)}." if later else "")),)

    def stop(self) -> Moved:
        """Stops for today; the walk keeps its place."""
        note = Note(f'Stopped at step {self.at + 1} of {len(self.plan.steps)}. "Carry on" goes on; nothing is lost.')
        return showing.kept(self.talk, replace(self.talk.now, walk=replace(self.on, paused=True)), said=(note,)), (
            note,
        )

    def end(self) -> Moved:
        """Closes the walk; what it entered stays in the book."""
        note = Note("The walk is closed. What it entered stays in the book.")
        wrote: tuple[ev.Event, ...] = ()
        if self.on.batch:
            wrote = (ev.Walked(self.on.batch, self.today, self.reading.text, self.on.walk),)
        return showing.kept(self.talk, replace(self.talk.now, walk=None), wrote, (note,)), (note,)


GATE_SOURCE = "21 CFR 114.80 and the published heat tables: what is not measured is not proven"
