"""A bench trial told point by point: "bench trial on 100 g", "2 g, 3.75", "another 2 g, 3.6", "3.5 in 6 kg".

The series is kept in the state and nowhere else: what is read on the bench is no reading of the batch. What goes in
is counted in all; "another", "more" and "2 g each time" add to what is in. Where a line leaves open which it is, or
whether a pH is the sample's or the batch's, it is asked.
"""

from __future__ import annotations

import datetime
import re
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise
from typing import TYPE_CHECKING

from assistant.replies import Answer, Ask, Log, Note, Refuse, Reply, Value, Why
from assistant.rules.watch import CALIBRATED_ERROR
from assistant.show import number, quantity
from assistant.talk import account
from assistant.talk.account.which import phrase
from assistant.talk.place import dimension, settled
from assistant.talk.state import Curve, Result, State, style
from assistant.talk.work import bench
from assistant.trade.acid import ACETIC, CITRIC, LACTIC, equal_effect
from assistant.trade.finishing import vinegar_density
from grammar import measures
from grammar.later import module
from grammar.reader import read
from grammar.types import Amount, Misread, Reading

if TYPE_CHECKING:
    from assistant.trade import bench_curve as drawn
    from assistant.trade.bench_curve import Band, RisesError
else:
    drawn = module("assistant.trade.bench_curve")


NAME = "bench-curve"

_SAMPLE_BEFORE = phrase(r"\b(?:trial|sample|test)\b(?: batch)?(?:\s+(?:on|of|with|in|from|using|a))+\W*$")
_SAMPLE_AFTER = phrase(r"^\W*(?:of (?:the )?(?:sauce|mash) )?(?:sample|trial|test)\b")
_MORE = phrase(r"\b(?:another|more|further|extra|plus|again|additional)\b")
_STEPS = phrase(r"\b(?:steps?|each time|at a time|every time|a time|per step|increments?)\b")
_AFTER = phrase(r"\b(?:after|with|at)\b\W*(?:adding )?$")
_START = phrase(
    r"\b(?:to start|at the start|start(?:s|ed|ing)?(?: at| with| from)?|before anything|with nothing|plain)\b"
)
_BATCH = phrase(r"\b(?:batch|crock|jar|bucket|ferment|pot|vessel|carboy|mash)\b")
_IN_ALL = phrase(r"\b(?:in all|all told|in total|total|altogether|cumulative)\b")
_EACH = phrase(r"\b(?:each|more|another|every)\b")
_FIXED = phrase(r"\b(?:was|is really|actually|should be|correction|not)\b")
_WHAT = ("vinegar", "citric", "lactic", "sugar", "honey", "salt", "gum", "water")
_RECIPE = 'Go on: "2 g, 3.75" after each addition (grams in all), then the pH you want and how much sauce there is.'
_SMALLEST = 0.02
"""kg from which a first weight with no word of its own is the sample, and no dose."""
_NEXT = "Next, or the pH you want and how much sauce there is."
_LATER = "Nothing of the trial is entered: read the batch's own pH a day after the last addition."


@dataclass
class _Line:
    """What one line tells of a trial."""

    sample: float | None = None
    points: list[tuple[float, float, bool]] = field(default_factory=list)
    """(kg, pH, more): ``more`` where the kg were said to be added to what is in."""
    start: float | None = None
    target: float | None = None
    sauce: float | None = None
    dose: float | None = None
    label: float | None = None
    lone: float | None = None
    left: list[Amount] = field(default_factory=list)


def turned(state: State, said: Reading, today: datetime.date) -> Result | None:
    """The result if the line tells or asks something of a bench trial with a pH series, else None."""
    found = _told(state, said, today)
    if found is not None or said.act != "log" or not _OF_A_TRIAL.search(said.text):
        return found
    word = "trial" if "trial" in said.text.lower() else "test"
    return state, (Ask(f'You said "{word}": {_NOT_THE_SAUCE}'),)


_OF_A_TRIAL = phrase(
    r"\b(?:of|in|on|for|from) (?:the |my |a |this )?(?:\d+ ?g(?:rams?)? |small |little |bench[ -])*(?:trial|test)\b"
    r"(?! (?:strips?|kits?|papers?|pens?|meters?|buffers?|batch))|"
    r"\b(?:trial|test) (?:jar|glass|cup|bowl|sample|portion|piece)\b|"
    r"\btrial\W+(?:reads?|is|was|came|shows?|has|had|ph|at)\b"
)
"""Words by which a pH is that of a small trial."""
_NOT_THE_SAUCE = (
    "a trial's pH proves nothing for the sauce: nothing was noted. For the trial say what went into how much with it, "
    'for example "2 g of vinegar in 100 g of sauce, pH 3.6"; for the sauce its own pH alone, read a day after the last '
    'addition, for example "pH 3.9 by meter".'
)


def _told(state: State, said: Reading, today: datetime.date) -> Result | None:
    if said.act in ("undo", "redo", "repeat", "leave", "reset", "help", "cancel"):
        return None
    open_ = state.curve
    shown = any(isinstance(one, Answer) and one.calculator == NAME for one in state.said)
    if said.act == "why":
        return (state, _why(state)) if open_ is not None and shown else None
    if any(word.term == "trial-off" for word in said.words):
        text = "The trial is closed; nothing of it was entered." if open_ is not None else "No trial is open."
        return replace(state, curve=None), (Note(text),)
    if shown and open_ is not None and any(word.term == "done" for word in said.told) and not said.amounts:
        return _done(state, open_, today)
    if open_ is not None and (other := _instead(said, open_)):
        return _swapped(state, open_, other)
    if not said.amounts or any(one.rivals for one in said.amounts):
        return None
    if open_ is None and (waiting := _asked_of(state, said)) is not None:
        state, open_ = state.idle(), waiting
    if state.mode != "idle":
        return None
    dosed = _dosed(said, state)
    if dosed is not None and dosed.sample is not None:
        before = open_ if open_ is not None and open_.sample in (None, dosed.sample) else Curve()
        return _taken(state, said, replace(dosed, sample=None) if before.sample else dosed, before)
    begins = any(word.term == "trial" for word in said.words) or _sampled(said)
    if open_ is None and not begins:
        return None
    if not begins and _elsewhere(said):
        return None
    line = _line(said, Curve() if begins and open_ is None else open_ or Curve(), state, begins)
    if line is None:
        return None
    if begins and not (line.points or line.start is not None or line.target is not None):
        return None  # one dose and no pH: the ratio alone, which the trial's own calculator carries over
    wished = line.target is not None and _WANT.search(said.text)
    if open_ is not None and open_.away and not begins and not line.points and not wished:
        return None
    after, replies = _taken(state, said, line, Curve() if begins else open_ or Curve())
    if any(_dripped(one) for one in said.amounts):
        replies = (*replies, Note("Each mL is counted as 1.005 g, what 5% vinegar weighs."))
    return after, replies


_OF = {"citric": CITRIC, "lactic": LACTIC}
_INSTEAD = phrase(r"\b(?:instead|in place|rather than|swap|switch|what if|replace|use)\b")


def _instead(said: Reading, curve: Curve) -> str:
    """The other acid that a line asks for in place of the trial's, or ""."""
    if said.amounts or curve.target is None or not _INSTEAD.search(said.text):
        return ""
    terms = [one for one in _OF if any(word.term == one for word in said.all_words)]
    return terms[0] if len(terms) == 1 and terms[0] != curve.what else ""


def _swapped(state: State, curve: Curve, other: str) -> Result:
    """Another acid for the same pH, by the charge that the trial's own acid brought at each pH."""
    if curve.what == "vinegar" and curve.label is None:
        asking = replace(curve, asking=f"label:{other}", away=False)
        return replace(state, curve=asking), (
            Ask("Which % does the bottle of vinegar say that the trial was made with?"),
        )
    seen = bench(state)
    sauce = curve.sauce or (seen[1].get("mass") if seen is not None else None)
    if curve.what not in ("vinegar", *_OF) or sauce is None or curve.sample is None or curve.target is None:
        return state, (Ask("Of which acid was the trial, and how much sauce is there in all?"),)
    if curve.label is not None and curve.what == "vinegar":
        acid, per_kilo = ACETIC, curve.label / vinegar_density(curve.label) / ACETIC.mole
    else:
        acid = _OF[curve.what]
        per_kilo = 1 / acid.mole
    try:
        points = [(at * per_kilo, ph) for at, ph in drawn.level(curve.points, curve.error)]
        mole = equal_effect(points, curve.sample, acid, _OF[other], curve.target)
    except drawn.RisesError as rise:
        return state, (_risen(rise, curve),)
    except ValueError:
        return state, (_outside(curve),)
    kilos = mole * _OF[other].mole * sauce
    text = (
        f"About {_grams(kilos)} of {other} acid for {_grams(sauce)} in place of the {_named(curve)}, for the same pH "
        f"{curve.target:g}: as much charge as the trial's acid gave up there. That is an estimate: make a trial with "
        f"the {other} acid before any of it goes in. {_LATER}"
    )
    values = (Value("other_dose", 1000 * kilos, "gram"), Value("target", curve.target, ""))
    return replace(state, curve=replace(curve, away=False)), (Answer(text, NAME, values, text),)


def _named(curve: Curve) -> str:
    """What goes in, in words."""
    if curve.what == "vinegar" and curve.label is not None:
        return f"{number(100 * curve.label)}% vinegar"
    return {"citric": "citric acid", "lactic": "lactic acid"}.get(curve.what, curve.what) or "what the trial took"


def aside(state: State) -> State:
    """The state once another line has come between: a bare number is then no word of the trial any more."""
    return state if state.curve is None or state.curve.away else replace(state, curve=replace(state.curve, away=True))


_WANT = phrase(r"\b(?:want|need|aim|target|going for|how much)\b")


def _asked_of(state: State, said: Reading) -> Curve | None:
    """The trial whose dose is being asked for, where a pH is said instead: it is told point by point then."""
    job = state.job
    if state.mode != "asking" or job is None or job.calculator != "trial" or not any(map(_acid, said.amounts)):
        return None
    sample = job.values().get("sample")
    return Curve(sample=sample, sauce=job.values().get("sauce"), asking="start") if sample is not None else None


def _sampled(said: Reading) -> bool:
    """Whether a weight is called the sample, and a pH series follows."""
    return any(
        dimension(one.unit) == "mass" and _SAMPLE_AFTER.match(said.text[one.span[1] :]) for one in said.amounts
    ) and any(_acid(one) for one in said.amounts)


_INTO = phrase(r"^\s*(?:of\s+)?(?:[\w%.]+\s+){0,4}?(?:in|into|to|on|per)\s+(?:a\s+|the\s+|my\s+)?$")
_BEFORE_IT = phrase(r"\bif\b|\b(?:at|from|of)\W+(?:ph\W*)?(?:of\s+)?$")
"""A pH that was there before the dose, or that is only supposed."""
_LARGEST = 0.25
"""kg up to which what something was stirred into, and its pH read, is a trial and no batch."""


def _dosed(said: Reading, state: State) -> _Line | None:
    """ "2 g of vinegar in 100 g, pH 3.6": a dose, its sample and the pH of that, in one line; else None.

    The pH is the sample's, and proves nothing of the batch.
    """
    acids = [one for one in said.amounts if _acid(one)]
    weights = [one for one in said.amounts if dimension(one.unit) == "mass" or _dripped(one)]
    if len(acids) != 1 or not 2 <= len(weights) <= 3 or said.kinds.get("produce") or said.kinds.get("vessel"):
        return None
    dose, sample = min(pairwise(weights), key=lambda two: _kg(two[0], state))
    if _BEFORE_IT.search(said.text[: acids[0].span[0]]):
        return None
    between = said.text[dose.span[1] : sample.span[0]]
    sizes = _kg(dose, state), _kg(sample, state)
    if not _INTO.search(between) or dimension(sample.unit) != "mass" or not 0 < 2 * sizes[0] <= sizes[1] <= _LARGEST:
        return None
    line = _Line(sample=sizes[1], points=[(sizes[0], acids[0].value, bool(_MORE.search(said.text[: sample.span[0]])))])
    for one in said.amounts:
        if one in (dose, sample, *acids):
            continue
        if one in weights and _kg(one, state) > sizes[1]:
            line.sauce = _kg(one, state)
        elif dimension(one.unit) == "fraction" and line.label is None and _of_vinegar(said, one, Curve()):
            line.label = measures.canonical(one.value, one.unit, "fraction")
        else:
            line.left.append(one)
    return line


def _elsewhere(said: Reading) -> bool:
    """Whether the line is about something else: produce, a vessel, another question, a reading of the batch."""
    kinds = {word.kind for word in said.all_words}
    topics = {word.term for word in said.words if word.kind == "topic"} - {"trial"}
    return bool(kinds & {"produce", "vessel", "salt", "basis"} or topics or _BATCH.search(said.text))


def _acid(one: Amount) -> bool:
    return not one.unit and 1.5 <= one.value <= 9 and not one.said("vessel")


def _kg(one: Amount, state: State) -> float:
    """A weight in kg; a volume as that much of 5 % vinegar (1.005 kg/L)."""
    exact = settled(one, state.kitchen)
    if dimension(exact.unit) == "volume":
        return measures.canonical(exact.value, exact.unit, "volume") * vinegar_density(0.05)
    return measures.canonical(exact.value, exact.unit, "mass")


def _line(said: Reading, curve: Curve, state: State, begins: bool) -> _Line | None:
    """The amounts of the line by what they are; None if it is no line of a trial."""
    reader = _Reader(said, curve, state, begins)
    for index, one in enumerate(said.amounts):
        if dimension(one.unit) == "mass" or _dripped(one):
            reader.weight(index, one)
        elif _acid(one) or _bare(one):
            reader.acid(index, one)
        elif dimension(one.unit) == "fraction" and reader.found.label is None and _of_vinegar(said, one, curve):
            reader.found.label = measures.canonical(one.value, one.unit, "fraction")
        else:
            reader.found.left.append(one)
    return reader.ended()


def _dripped(one: Amount) -> bool:
    """Whether it is a dose by volume, from a syringe: "2 ml, 3.8"."""
    return one.unit == "milliliter" and (one.noun is None or bool(one.said("substance")))


def _bare(one: Amount) -> bool:
    """Whether a number was only lent its unit by a percentage in the same line ("5 % vinegar ..., want 3.5")."""
    plain = one.unit == "percent" and not re.search(r"%|per", one.text, re.IGNORECASE)
    return plain and _acid(replace(one, unit=""))


def _of_vinegar(said: Reading, one: Amount, curve: Curve) -> bool:
    """Whether a percentage is what the bottle says."""
    named = one.said("substance") == "vinegar" or any(word.term == "vinegar" for word in said.all_words)
    return (named or curve.asking.startswith("label")) and 0.03 <= measures.canonical(
        one.value, one.unit, "fraction"
    ) <= 0.3


class _Reader:
    """Takes the amounts of one line in order: weights wait for the pH after them."""

    def __init__(self, said: Reading, curve: Curve, state: State, begins: bool) -> None:
        self.found = _Line()
        self.said, self.curve, self.state, self.begins = said, curve, state, begins
        self.steps: float | None = None
        self.held: Amount | None = None
        self.series: list[float] = []

    def gap(self, index: int, one: Amount) -> str:
        """The words since the amount before."""
        earlier = self.said.amounts[index - 1].span[1] if index else 0
        return self.said.text[earlier : one.span[0]]

    def weight(self, index: int, one: Amount) -> None:
        """The sample, a step, the batch, or a dose whose pH is still to come."""
        found, said = self.found, self.said
        before, after = said.text[: one.span[0]], said.text[one.span[1] :]
        kilos = _kg(one, self.state)
        if self.held is not None and found.dose is None and (said.question or "ph" in said.wanted):
            found.dose, self.held = _kg(self.held, self.state), None  # "300 g in 6 kg, what pH?"
        elif self.held is not None:
            found.left.append(self.held)
            self.held = None
        named = _SAMPLE_BEFORE.search(before) or _SAMPLE_AFTER.match(after)
        first = index == 0 and self.curve.sample is None and (one.said("noun") == "batch" or kilos >= _SMALLEST)
        if self.begins and found.sample is None and (named or first):
            found.sample = kilos
        elif _STEPS.search(after[:14]) or re.search(r"\bsteps? of\W*$", before, re.IGNORECASE):
            self.steps = kilos
        elif found.lone is not None and _AFTER.search(self.gap(index, one)):
            found.points.append((kilos, found.lone, bool(_MORE.search(self.gap(index, one)))))
            found.lone = None
        elif one.mark in ("in", "for", "to") or one.said("noun") == "batch":
            found.sauce = kilos
        else:
            self.held = one

    def acid(self, index: int, one: Amount) -> None:
        """The pH after the weight before it, the pH wanted, the one at the start, or one that is not placed yet."""
        found, said = self.found, self.said
        gap, after = self.gap(index, one), said.text[one.span[1] :]
        wished = one.mark in ("to", "for")
        if self.held is not None and not wished:
            start = _start_of(self.held, said.amounts)
            more = bool(_MORE.search(said.text[start : one.span[0]]))
            found.points.append((_kg(self.held, self.state), one.value, more))
            self.held = None
        elif wished or (said.firm and not self.begins):
            if found.target is not None:
                found.left.append(one)
            found.target = one.value
        elif self.steps is not None:
            self.series.append(one.value)
        elif found.start is None and (_START.search(gap) or _START.match(after.lstrip(" ,")) or self.opens(index)):
            found.start = one.value
        elif found.lone is None:
            found.lone = one.value
        else:
            found.left.append(one)

    def opens(self, index: int) -> bool:
        """Whether a pH stands before every dose: "100 g of sauce at pH 3.9, 2 g 3.75"."""
        return self.found.sample is not None and not self.found.points and index == 1

    def ended(self) -> _Line | None:
        """The line with what was still open placed; None if it is no line of a trial."""
        found, curve, said = self.found, self.curve, self.said
        if self.held is not None:
            kilos = _kg(self.held, self.state)
            sample = found.sample or curve.sample or 1e9
            told = bool(curve.points) or found.target is not None
            if said.firm or curve.asking == "sauce" or (told and kilos > 5 * sample):
                found.sauce = kilos
            elif said.wanted or said.question:
                found.dose = kilos
            else:
                found.left.append(self.held)
        if self.steps is not None and not _in_steps(found, self.series, self.steps, curve):
            return None
        if found.lone is not None and curve.asking == "target":
            found.target, found.lone = found.lone, None
        if found.lone is not None and curve.asking == "start":
            found.start, found.lone = found.lone, None
        parts = (found.points, found.sample, found.sauce, found.dose, found.label)
        rest = (found.target, found.start, found.lone)
        return found if any(parts) or any(one is not None for one in rest) else None


def _start_of(held: Amount | None, amounts: Sequence[Amount]) -> int:
    """Where the words that belong to a held weight start: after the amount before it."""
    ends = [one.span[1] for one in amounts if held is not None and one.span[1] <= held.span[0]]
    return max(ends, default=0)


def _in_steps(found: _Line, series: list[float], steps: float, curve: Curve) -> bool:
    """ "2 g steps: 3.9, 3.75, 3.6": the first is the start where none is known, each other one a step more."""
    if not series:
        return False
    if found.start is None and not curve.points:
        found.start, series = series[0], series[1:]
    found.points += [(steps, one, True) for one in series]
    return True


def _taken(state: State, said: Reading, line: _Line, curve: Curve) -> Result:
    """The trial with what the line told, and what follows from it."""
    if line.left:
        texts = " and ".join(f'"{one.text}"' for one in line.left)
        return state, (
            Ask(f'I have no place for {texts} in the trial, and took none of the line. Say, for example: "2 g, 3.75".'),
        )
    if line.lone is not None:
        text = (
            f"Is pH {line.lone:g} of the trial or of the batch? For the trial say the grams that are in it too "
            f'("4 g, {line.lone:g}") or "want {line.lone:g}", for the batch "pH of the batch {line.lone:g}".'
        )
        return state, (Ask(text),)
    told = {word.term for word in said.told}
    error = CALIBRATED_ERROR if "calibrated" in told else curve.error
    what = next((one for one in _WHAT if any(word.term == one for word in said.all_words)), "") or curve.what
    asked = curve.asking
    curve = replace(curve, error=error, what=what, asking="", away=False)
    if line.label is not None:
        curve = replace(curve, label=line.label, what="vinegar")
        if asked.startswith("label:"):
            return _swapped(replace(state, curve=curve), curve, asked.removeprefix("label:"))
    if line.sample is not None:
        curve = replace(curve, sample=line.sample)
    if line.start is not None:
        curve = replace(curve, points=((0.0, line.start), *(one for one in curve.points if one[0] > 0)))
    for kilos, ph, more in line.points:
        last = curve.points[-1][0] if curve.points else 0.0
        total = last + kilos if more else kilos
        if not more and curve.points and total <= last + 1e-12 and kilos > 0:
            same = any(abs(one[0] - total) < 1e-9 for one in curve.points)
            if same and _FIXED.search(said.text):
                curve = replace(
                    curve, points=tuple((at, ph) if abs(at - total) < 1e-9 else (at, old) for at, old in curve.points)
                )
                continue
            grams, was = f"{number(1000 * kilos)} g", f"{number(1000 * last)} g"
            text = (
                f"{grams} is not more than the {was} before. Say it in all "
                f'("{number(1000 * (last + kilos))} g, {ph:g}") or "another {grams}, {ph:g}"; to put a reading right '
                f'say "{grams} was {ph:g}". The line was not taken.'
            )
            return state, (Ask(text),)
        curve = replace(curve, points=(*curve.points, (total, ph)))
    if curve.sample is None:
        return state, (
            Ask('How much sauce was in the trial? Say it first, for example: "bench trial on 100 g, pH 3.9 to start".'),
        )
    over = next((one for one in curve.points if one[0] > curve.sample), None)
    if over is not None:
        grams = number(1000 * over[0])
        return state, (
            Ask(
                f"{grams} g is more than the whole trial of {number(1000 * curve.sample)} g: which of the two is wrong?"
            ),
        )
    if line.target is not None:
        curve = replace(curve, target=line.target)
    if line.sauce is not None:
        curve = replace(curve, sauce=line.sauce)
    if line.dose is not None:
        return _forward(state, curve, line.dose)
    return _answer(state, curve, bool(line.points or line.start is not None))


def _listed(curve: Curve) -> str:
    return ", ".join(f"{number(1000 * at)} g pH {ph:g}" for at, ph in curve.points)


def _answer(state: State, curve: Curve, told: bool) -> Result:
    """The dose for the target; or the series told back, with what is still to be said."""
    kept = replace(state, curve=curve)
    heard: tuple[Reply, ...] = ()
    if told:
        heard = (Log(f"Trial of {number(1000 * (curve.sample or 0))} g: {_listed(curve)}. Entered nowhere."),)
    try:
        if len(curve.points) > 1:
            drawn.level(curve.points, curve.error)
    except drawn.RisesError as rise:
        return kept, (*heard, _risen(rise, curve))
    if curve.target is None:
        ready = len(curve.points) > 1 and curve.sauce is not None
        asks: Reply = Ask("Which pH do you want?") if ready else Note(_RECIPE if len(curve.points) < 2 else _NEXT)
        return replace(kept, curve=replace(curve, asking="target" if ready else "")), (*heard, asks)
    if len(curve.points) < 2:
        return kept, (*heard, Ask(f"From one point no dose can be read. {_RECIPE}"))
    seen = bench(state)
    sauce = curve.sauce or (seen[1].get("mass") if seen is not None else None)
    if sauce is None:
        return replace(kept, curve=replace(curve, asking="sauce")), (
            *heard,
            Ask("How much sauce is there in all, by weight?"),
        )
    found = drawn.band(curve.points, curve.target, curve.error)
    if found is None:
        return kept, (*heard, _outside(curve))
    from_account: tuple[Reply, ...] = ()
    if curve.sauce is None and seen is not None:
        from_account = (Note(f"From the account of {seen[0]}: {quantity(sauce, 'mass', style(state, None))}."),)
    return kept, (*heard, _dose(curve, sauce, found), *from_account)


def _risen(rise: RisesError, curve: Curve) -> Ask:
    first, second = (f"{number(1000 * at)} g, pH {ph:g}" for at, ph in (rise.before, rise.after))
    return Ask(
        f"The pH rises from {first} to {second}, by more than a meter that is {curve.error:g} off can show: one of "
        f'the two readings is wrong. Measure again and put it right, for example "{number(1000 * rise.after[0])} g was '
        f'{rise.before[1] - 0.1:.2g}".'
    )


def _outside(curve: Curve) -> Refuse:
    high, low = curve.points[0][1], curve.points[-1][1]
    if curve.target is not None and curve.target > high:
        way = "The trial was below that from the start."
    else:
        way = "Go on adding to the trial until it is there."
    return Refuse(
        f"The trial was measured from pH {high:g} to {low:g}, and I read no dose outside it. {way}",
        "a curve says nothing where it was not measured",
    )


def _grams(kilos: float) -> str:
    return f"{number(kilos)} kg" if kilos >= 0.9995 else f"{number(1000 * kilos)} g"


def _dose(curve: Curve, sauce: float, found: Band) -> Answer:
    """The dose for the batch, with its band, what to add first, and between which readings it lies."""
    assert curve.sample is not None
    assert curve.target is not None
    scale = sauce / curve.sample
    needed = found.at.dose * scale
    before, after = found.at.before, found.at.after
    what = _named(curve)
    least = _grams(found.least * scale) if found.least is not None else "less than was measured"
    most = _grams(found.most * scale) if found.most is not None else "more than was measured"
    lead = f"{_grams(needed)} of {what} for {_grams(sauce)}, to about pH {curve.target:g}"
    sure = (
        f" To be sure of {curve.target:g} it takes {most}."
        if found.most is not None
        else f" To be sure of {curve.target:g} the trial must go further down."
    )
    text = (
        f"{lead}. That is {number(1000 * found.at.dose)} g in the {number(1000 * curve.sample)} g trial, between "
        f"{number(1000 * before[0])} g (pH {before[1]:.3g}) and {number(1000 * after[0])} g (pH {after[1]:.3g}). "
        f"With a meter {curve.error:g} off: {least} to {most}.{sure} Add {_grams(0.9 * needed)} first, stir, wait, "
        f"measure; then creep up to it. {_LATER}"
    )
    values = [
        Value("dose", 1000 * needed, "gram"), Value("first", 900 * needed, "gram"),
        Value("trial_dose", 1000 * found.at.dose, "gram"), Value("target", curve.target, ""),
    ]  # fmt: skip
    for name, one in (("least", found.least), ("most", found.most)):
        if one is not None:
            values.append(Value(name, 1000 * one * scale, "gram"))
    return Answer(text, NAME, tuple(values), f"{lead}.")


def _forward(state: State, curve: Curve, dose: float) -> Result:
    """The pH that a dose in the batch should give, by the curve."""
    seen = bench(state)
    sauce = curve.sauce or (seen[1].get("mass") if seen is not None else None)
    kept = replace(state, curve=curve)
    if sauce is None or len(curve.points) < 2 or curve.sample is None:
        return replace(kept, curve=replace(curve, asking="sauce")), (Ask("How much sauce is there in all, by weight?"),)
    try:
        found = drawn.ph_after(drawn.level(curve.points, curve.error), dose * curve.sample / sauce)
    except drawn.RisesError as rise:
        return kept, (_risen(rise, curve),)
    if found is None:
        return kept, (_outside(replace(curve, target=0.0)),)
    text = (
        f"{_grams(dose)} in {_grams(sauce)} is {number(1000 * dose * curve.sample / sauce)} g in the trial: about pH "
        f"{found:.3g}, {found - curve.error:.3g} to {found + curve.error:.3g} with a meter {curve.error:g} off. "
        f"{_LATER}"
    )
    return kept, (Answer(text, NAME, (Value("ph", found, ""),), text),)


def _why(state: State) -> tuple[Reply, ...]:
    """The two readings that the dose lies between, and the line through them."""
    curve = state.curve
    source = "a straight line between two readings of the trial; outside them nothing is said"
    if curve is None or curve.target is None or len(curve.points) < 2:
        return (Why("The pH is read off between two readings of the trial.", source=source),)
    found = drawn.band(curve.points, curve.target, curve.error)
    if found is None:
        return (Why("The pH wanted lies outside the trial.", source=source),)
    (low, high_ph), (up, low_ph) = found.at.before, found.at.after
    sum_ = (
        f"Dose in the trial = {number(1000 * low)} g + ({high_ph:.3g} - {curve.target:g}) / ({high_ph:.3g} - "
        f"{low_ph:.3g}) x ({number(1000 * up)} g - {number(1000 * low)} g) = {number(1000 * found.at.dose)} g."
    )
    scale = "Dose = dose in the trial x sauce / trial."
    return (Why(sum_, source=source), Why(scale, source="the same ratio for the same sauce and the same bottle"))


def _done(state: State, curve: Curve, today: datetime.date) -> Result:
    """The dose entered as said: "added 340 g of vinegar"; its strength is asked by the account."""
    answer = next(one for one in state.said if isinstance(one, Answer))
    grams = next((one.value for one in answer.values if one.name == "dose"), None)
    if grams is None or not curve.what:
        example = f"added {grams:.0f} g of 5% vinegar" if grams is not None else "added 340 g of 5% vinegar"
        return state, (Note(f'Say what went in, so that I can enter it: "{example}".'),)
    what = _named(curve)
    line = read(f"added {grams:.1f} g of {what}")
    entered = None if isinstance(line, Misread) else account.turned(state, line, today)
    return entered or (
        state,
        (Note(f'No batch is open to enter it in. Say "new batch" first, or "added {grams:.0f} g of {what}".'),),
    )
