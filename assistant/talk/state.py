"""What a talk knows. Everything is frozen; a turn makes a new state."""

from __future__ import annotations

import datetime
from dataclasses import dataclass, field, replace

from assistant.replies import Reply
from assistant.show import US_UNITS, Style, said
from grammar.measures import KITCHENS
from grammar.types import Amount, Reading, Span

Placed = tuple[tuple[Span, str], ...]
"""Amounts (by their place in the text) whose input the person has chosen."""

DEPTH = 200
"""How many turns can be undone."""


@dataclass(frozen=True)
class Given:
    """An input that has a value: canonical, with the amount as it was said.

    ``how`` tells why the amount is this input: "noun" or "mark" (the words said so),
    "asked", "plain" (nothing said so), "kept" (from earlier in the talk). ``more`` are
    further amounts of the same thing, added in ("a pound of reds and 6 oz of garlic").
    """

    name: str
    value: float
    amount: Amount
    how: str
    more: tuple[Amount, ...] = ()

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
class State:
    """Where the talk stands after a turn.

    ``suspended`` are questions to come back to, ``compared`` the states of two answers set
    side by side, ``history`` the jobs answered so far (the latest last), ``touched`` the
    inputs that the last turn changed.
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
    fixed: tuple[tuple[str, str], ...] = ()
    said: tuple[Reply, ...] = ()
    suspended: tuple[Open, ...] = ()
    compared: tuple[State, ...] = ()
    history: tuple[Job, ...] = ()
    touched: tuple[str, ...] = ()

    def idle(self) -> State:
        """The same talk with nothing open."""
        return replace(self, mode="idle", job=None, asking=(), later=(), options=(), confirm=None)


@dataclass(frozen=True)
class Talk:
    """A state with the states before it, for undo, and after it, for redo."""

    now: State = field(default_factory=State)
    past: tuple[State, ...] = ()
    future: tuple[State, ...] = ()

    def went(self, state: State) -> Talk:
        """The talk moved on to a new state."""
        return Talk(state, (*self.past, self.now)[-DEPTH:], ())


@dataclass(frozen=True)
class Step:
    """What a handler works on: the state, what was said, and the date."""

    state: State
    reading: Reading
    today: datetime.date


Result = tuple[State, tuple[Reply, ...]]
"""What a handler gives: the state after it (the same if nothing may change) and the replies."""


def style(state: State, job: Job | None) -> Style:
    """How to show numbers to this person: as they said theirs."""
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
