"""What a talk knows. Everything is frozen; a turn makes a new state."""

from __future__ import annotations

import datetime
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from assistant.batches.shelf import Shelf
from assistant.replies import Reply
from assistant.rules.watch import METER_ERROR
from assistant.show import US_UNITS, Style, said
from assistant.trade.mixture import Mixture
from grammar.later import module
from grammar.measures import KITCHENS
from grammar.types import Amount, Course, Reading, Span

if TYPE_CHECKING:
    from assistant.batches import events as ev
    from assistant.batches.events import Event
else:
    ev = module("assistant.batches.events")


Placed = tuple[tuple[Span, str], ...]
"""Amounts (by their place in the text) whose input the person has chosen."""

DEPTH = 200
"""How many turns can be undone."""


@dataclass(frozen=True)
class Given:
    """An input that has a value: canonical, with the amount as it was said.

    ``how`` tells why the amount is this input: "noun" or "mark" (the words said so),
    "asked", "plain" (nothing said so), "kept" (from earlier in the talk), "bench" (read off the
    open batch). ``more`` are further amounts of the same thing, added in ("a pound of reds and 6 oz of garlic").
    """

    name: str
    value: float
    amount: Amount
    how: str
    more: tuple[Amount, ...] = ()

    @property
    def carried(self) -> bool:
        """Whether nobody said it in this question."""
        return self.how in ("kept", "bench")

    @property
    def amounts(self) -> tuple[Amount, ...]:
        """The amount and those that were added to it."""
        return (self.amount, *self.more)

    @property
    def said(self) -> str:
        """The amount, or the amounts that were added up, as said."""
        parts = [said(one.value, one.unit or "percent") for one in self.amounts]
        return " + ".join(parts)


@dataclass(frozen=True)
class Job:
    """One calculation under way or done: the calculator, what is given, what is wanted."""

    calculator: str
    given: tuple[Given, ...] = ()
    goals: tuple[str, ...] = ()
    words: frozenset[str] = frozenset()
    produce: tuple[str, ...] = ()
    unused: tuple[str, ...] = ()

    @property
    def mixed(self) -> bool:
        """Whether amounts were added up that are not all of named produce ("38 kg mash and 600 g garlic")."""
        added = [amount for one in self.given if one.more for amount in one.amounts]
        return any(amount.noun is None or amount.noun.kind != "produce" for amount in added)

    def values(self) -> dict[str, float]:
        """The given inputs in canonical units."""
        return {one.name: one.value for one in self.given}

    def with_given(self, more: tuple[Given, ...]) -> Job:
        """The job with these inputs set, replacing those of the same name."""
        names = {one.name for one in more}
        kept = tuple(one for one in self.given if one.name not in names)
        return replace(self, given=kept + more)

    def without(self, name: str) -> Job:
        """The job with one input not given."""
        return replace(self, given=tuple(one for one in self.given if one.name != name))


@dataclass(frozen=True)
class Option:
    """One of the readings a person is asked to choose between.

    Choosing it continues with ``reading``, in ``calculator`` if set, with the amounts at
    the ``placed`` spans being the inputs named; ``merge`` says whether produce joins the old.
    """

    label: str
    reading: Reading
    terms: frozenset[str] = frozenset()
    amount: Amount | None = None
    calculator: str = ""
    placed: Placed = ()
    merge: bool | None = None


@dataclass(frozen=True)
class Open:
    """A question left open while another one is asked in its middle."""

    job: Job
    asking: tuple[str, ...]
    later: tuple[str, ...]


@dataclass(frozen=True)
class Pending:
    """Something done to a batch that cannot be entered yet: the line, what was asked, and what is known.

    ``lacks`` says what the next line must bring: "salt", "strength", "which", "where".
    """

    reading: Reading
    lacks: str
    question: str
    today: datetime.date
    facts: tuple[tuple[str, float], ...] = ()


@dataclass(frozen=True)
class Deed:
    """The line that was entered last, so that a number in it can be put right.

    With its day, the batch open before it, its deeds, and what was asked back about it and answered.
    """

    reading: Reading
    today: datetime.date
    batch: int
    terms: tuple[str, ...] = ()
    facts: tuple[tuple[str, float], ...] = ()


@dataclass(frozen=True)
class Plan:
    """A batch that could be packed like an earlier one: its name, and what would go in."""

    name: str
    puts: tuple[tuple[str, Mixture, bool, str], ...]


@dataclass(frozen=True)
class Curve:
    """A bench trial under way.

    Attributes:
        sample: kg of sauce in it.
        points: kg that went in so far, and the pH after it, by rising dose.
        what: the vocabulary's term for what goes in, "" where nobody said; ``label`` a vinegar's strength.
        target: the pH wanted, ``sauce`` the kg it is for.
        error: what a reading may be off.
        asking: "target", "sauce" or "label:" with another acid, while that is asked for.
        away: another line has come between.
    """

    sample: float | None = None
    points: tuple[tuple[float, float], ...] = ()
    what: str = ""
    label: float | None = None
    target: float | None = None
    sauce: float | None = None
    error: float = METER_ERROR
    asking: str = ""
    away: bool = False


@dataclass(frozen=True)
class Heated:
    """A course of temperatures that is being judged.

    Attributes:
        course: as it was said or logged.
        ph: as the meter showed it, None while nobody said; ``error`` what it may be off.
        offset: degrees C added to every reading, for what the probe is off.
        colder: degrees C that the bottle in question was under the readings, as a negative number.
        asking: "times", "more", "step", "unit" or "ph", while that is asked for.
        away: another line has come between.
    """

    course: Course
    ph: float | None = None
    error: float = METER_ERROR
    offset: float = 0.0
    colder: float = 0.0
    asking: str = ""
    away: bool = False

    @property
    def shift(self) -> float:
        """Degrees C by which the readings are moved in all."""
        return self.offset + self.colder


@dataclass(frozen=True)
class Walking:
    """Where a walk stands.

    Attributes:
        walk: the walk's name; ``step`` the step's.
        told: the facts that were told, by their names, as they are shown and said on.
        amounts: what was worked out, by the names of the quantities, as it is shown.
        since: the day the step was reached.
        batch: the batch that it is about, 0 before there is one.
        entered: the steps that are in the book; ``skipped`` those left out.
        paused: whether it was stopped for today.
        warned: whether it was said that the step's time is not up.
        wish: other facts, where it was asked whether the walk shall take them.
    """

    walk: str
    step: str
    told: tuple[tuple[str, str], ...] = ()
    amounts: tuple[tuple[str, str], ...] = ()
    since: datetime.date = datetime.date.min
    batch: int = 0
    entered: tuple[str, ...] = ()
    skipped: tuple[str, ...] = ()
    paused: bool = False
    warned: bool = False
    wish: tuple[tuple[str, str], ...] = ()

    @property
    def facts(self) -> dict[str, str]:
        """Everything a text of the walk may name."""
        return dict((*self.amounts, *self.told))


@dataclass(frozen=True)
class Wrong:
    """A sign that something is wrong, and what was said of it.

    Attributes:
        condition: its table in wrong.toml, "" while the sign itself is asked for; ``been`` those it was before.
        numbers: what is known by number: (about, value, what it may be off).
        done: the questions answered so far, by what they are about.
        keeps: what these answers make of it: (about, keep).
        asking: what the open question is about, "" if none is.
    """

    condition: str
    been: tuple[str, ...] = ()
    numbers: tuple[tuple[str, float, float], ...] = ()
    done: tuple[str, ...] = ()
    keeps: tuple[tuple[str, str], ...] = ()
    asking: str = ""


@dataclass(frozen=True)
class State:
    """Where the talk stands after a turn.

    ``suspended`` are questions to come back to, ``compared`` the states of two answers set
    side by side, ``history`` the jobs answered so far (the latest last), ``touched`` the
    inputs that the last turn changed. ``batch`` is the batch spoken of (0: the one last written
    to), ``other`` the one before it; ``entered`` what this turn writes in the book and ``seqs``
    its numbers there with their batches, which undo takes back (``undid``: those that it took back
    itself, to put a number right); ``deed`` is the line that was entered last, ``plan`` a
    batch worked out after an earlier one, ``done`` the answer entered last, ``offered`` whether the talk has
    said how an answer is entered, ``curve`` a bench trial under way, ``heated`` a
    heating that was told or logged, ``walk`` the walk that is under way, ``wrong`` a sign that something is wrong,
    ``noted`` the line of the last pH reading, ``meant`` the words explained since the last reply. ``shelf`` is the
    account of all batches as it stood when the turn began; it is handed in, and no part of where the talk stands.

    ``kitchen`` is whose cups and gallons plain words mean. ``units`` ("metric", "us") and ``degrees`` ("celsius",
    "fahrenheit") are what answers are always given in; "" for the units that were said.
    """

    mode: str = "idle"
    job: Job | None = None
    answered: Job | None = None
    asking: tuple[str, ...] = ()
    later: tuple[str, ...] = ()
    options: tuple[Option, ...] = ()
    resume: str = "idle"
    confirm: Option | None = None
    kept: tuple[Given, ...] = ()
    kept_words: frozenset[str] = frozenset()
    kept_produce: tuple[str, ...] = ()
    warned: frozenset[str] = frozenset()
    kitchen: str = KITCHENS[0]
    units: str = ""
    degrees: str = ""
    fixed: tuple[tuple[str, str], ...] = ()
    said: tuple[Reply, ...] = ()
    suspended: tuple[Open, ...] = ()
    compared: tuple[State, ...] = ()
    history: tuple[Job, ...] = ()
    touched: tuple[str, ...] = ()
    batch: int = 0
    other: int = 0
    pending: Pending | None = None
    offered: bool = False
    noted: str = ""
    deed: Deed | None = None
    plan: Plan | None = None
    done: Job | None = None
    curve: Curve | None = None
    heated: Heated | None = None
    walk: Walking | None = None
    meant: tuple[str, ...] = field(default=(), compare=False)
    wrong: Wrong | None = None
    entered: tuple[Event, ...] = field(default=(), compare=False)
    seqs: tuple[tuple[int, int], ...] = field(default=(), compare=False)
    undid: tuple[tuple[int, int], ...] = field(default=(), compare=False)
    shelf: Shelf = field(default_factory=Shelf, compare=False, repr=False)

    def idle(self) -> State:
        """The same talk with nothing open."""
        return replace(self, mode="idle", job=None, asking=(), later=(), options=(), confirm=None)

    def anew(self) -> State:
        """A clean slate for the same person."""
        return State(kitchen=self.kitchen, units=self.units, degrees=self.degrees)


@dataclass(frozen=True)
class Talk:
    """A state with the states before it, for undo, and after it, for redo.

    ``wrote`` is what the last turn writes in the book; who runs the talk keeps it.
    """

    now: State = field(default_factory=State)
    past: tuple[State, ...] = ()
    future: tuple[State, ...] = ()
    wrote: tuple[Event, ...] = field(default=(), compare=False)

    def went(self, state: State) -> Talk:
        """The talk moved on to a new state, its entries numbered on from the book's last."""
        head = state.shelf.head
        seqs = tuple((head + 1 + at, one.batch) for at, one in enumerate(state.entered))
        mended = bool(state.entered) and isinstance(state.entered[0], ev.Undo)
        moved = replace(state, seqs=seqs, entered=(), undid=state.undid if mended else ())
        return Talk(moved, (*self.past, self.now)[-DEPTH:], (), state.entered)

    def on(self, shelf: Shelf) -> Talk:
        """The same talk with the account as it is now, and nothing to write."""
        return replace(self, now=replace(self.now, shelf=shelf), wrote=())


@dataclass(frozen=True)
class Step:
    """What a handler works on: the state, what was said, and the date."""

    state: State
    reading: Reading
    today: datetime.date


Result = tuple[State, tuple[Reply, ...]]
"""What a handler gives: the state after it (the same if nothing may change) and the replies."""


def style(state: State, job: Job | None) -> Style:
    """How to show numbers to this person: as they said theirs, or always in the units of their choice."""
    return preferred(as_said(state, job), state)


def as_said(state: State, job: Job | None) -> Style:
    """The units that this person said their numbers in."""
    units = {one.amount.unit for one in job.given} if job else set()
    kitchen = next((one.split("_")[0] for one in sorted(units) if one.startswith(("us_", "imperial_"))), "")
    pounds = bool(units & {"pound", "ounce"})
    grams = bool(units & {"gram", "kilogram"})
    litres = bool(units & {"liter", "milliliter"})
    if pounds and not kitchen and not litres:
        kitchen = "imperial" if state.kitchen == "imperial" else "us"
    return Style(
        pounds=(pounds or (bool(kitchen) and not grams)) and not (grams and not pounds),
        kitchen="" if litres and not kitchen else kitchen,
        fahrenheit="degree_Fahrenheit" in units,
        inches=bool(units & US_UNITS & {"inch", "foot"}),
        fixed=dict(state.fixed),
    )


def preferred(told: Style, state: State) -> Style:
    """The style with what the person wants always; a unit that was asked for by name stands."""
    us = state.units == "us"
    if us:
        kitchen = "imperial" if state.kitchen == "imperial" else "us"
        told = replace(told, pounds=True, kitchen=kitchen, inches=True)
    elif state.units == "metric":
        told = replace(told, pounds=False, kitchen="", inches=False)
    if state.degrees or state.units:
        told = replace(told, fahrenheit=state.degrees == "fahrenheit" or (us and not state.degrees))
    return told
