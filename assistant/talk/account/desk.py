"""Where a line about a batch is worked on: the batch it means, its day, its amounts, and what it enters."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from assistant.batches.describe import day_words
from assistant.replies import Ask, Note, Refuse, Reply
from assistant.show import exact, number, said, unit_name
from assistant.talk import words as say
from assistant.talk.account.which import phrase
from assistant.talk.dates import day_said
from assistant.talk.place import dimension, settled
from assistant.talk.state import Pending, State
from assistant.trade.mixture import Mixture
from grammar import measures
from grammar.later import module
from grammar.told import Holder, holders
from grammar.types import Amount, Reading, Word

if TYPE_CHECKING:
    from assistant.batches import batch as made
    from assistant.batches import events as ev
    from assistant.batches.batch import Batch, Vessel
else:
    ev = module("assistant.batches.events")
    made = module("assistant.batches.batch")


NO_BATCH = (
    'No batch is open. Begin one, for example "new batch of reds in the 8 L crock", or say which: "batch 2", "the '
    'carrot one".'
)


class Stop(Exception):
    """The line cannot be entered as it is: what to say instead, and what to wait for."""

    def __init__(self, *replies: Reply, pending: Pending | None = None) -> None:
        super().__init__()
        self.replies = replies
        self.pending = pending


@dataclass
class Desk:
    """One line at work. ``batch`` is kept up to date as events are entered; ``left`` are amounts not yet used."""

    state: State
    reading: Reading
    today: datetime.date
    day: datetime.date
    batch: Batch | None
    left: list[Amount]
    vessels: list[Holder]
    facts: dict[str, float] = field(default_factory=dict)
    entered: list[ev.Event] = field(default_factory=list)
    notes: list[Reply] = field(default_factory=list)
    touched: list[str] = field(default_factory=list)
    others: dict[int, Batch] = field(default_factory=dict)

    @property
    def said(self) -> str:
        """The words of the line, for the event."""
        return self.reading.text.strip()

    def open_batch(self) -> Batch:
        """The batch the line is about.

        Raises:
            Stop: none is open.
        """
        if self.batch is None:
            raise Stop(Ask(NO_BATCH))
        there = self.state.shelf.batch(self.batch.number)
        if there is not None and there.closed and not self.entered:
            text = f'"{there.title}" is over ({there.closed}). Say "undo" if that was wrong, or begin a new batch.'
            raise Stop(Ask(text))
        return self.batch

    def enter(self, event: ev.Event) -> None:
        """Enters one event.

        Raises:
            Stop: it cannot be (more is taken out than there is).
        """
        other = event.batch != (self.batch.number if self.batch else event.batch)
        before = self.others.get(event.batch) if other else self.batch
        if before is None:
            before = self.state.shelf.batch(event.batch) or made.Batch(event.batch)
        after = made.apply(before, event)
        if len(after.odd) > len(before.odd):
            raise Stop(Refuse(f"That cannot be entered: {after.odd[-1].rsplit(': ', 1)[-1]}."))
        if other:
            self.others[event.batch] = after
        else:
            self.batch = after
            self.touched.append(after.current)
        self.entered.append(event)

    # amounts ------------------------------------------------------------------------------

    def take(self, test: Callable[[Amount], bool]) -> list[Amount]:
        """The amounts that pass, used now."""
        found = [one for one in self.left if test(one)]
        self.left = [one for one in self.left if one not in found]
        return found

    def kg(self, amount: Amount, density: float = 0.0) -> float:
        """The amount in kg; a volume by its density in kg/L.

        Raises:
            Stop: it is no weight, and no density turns it into one.
        """
        exact_ = _sensible(settled(amount, self.state.kitchen))
        of = dimension(exact_.unit)
        if of == "mass":
            return measures.canonical(exact_.value, exact_.unit, "mass")
        if of == "volume" and density:
            return density * measures.canonical(exact_.value, exact_.unit, "volume")
        raise Stop(Ask(f'How much does "{amount.text}" weigh? Say it in grams, kilos, pounds or ounces.'))

    def litres(self, amount: Amount) -> float:
        """The amount in L.

        Raises:
            Stop: it is no volume.
        """
        exact_ = _sensible(settled(amount, self.state.kitchen))
        if dimension(exact_.unit) != "volume":
            raise Stop(Ask(f'What volume is "{amount.text}"? Say it in litres, millilitres, cups or quarts.'))
        return measures.canonical(exact_.value, exact_.unit, "volume")

    # vessels ------------------------------------------------------------------------------

    def place(self, holder: Holder) -> ev.Place:
        """The vessel a holder names: one the batch has, or a new one."""
        capacity = self.litres(holder.capacity) if holder.capacity is not None else 0.0
        known = self.vessel_of(holder)
        if known is not None:
            return known.place
        return ev.Place(label(holder), holder.term, capacity)

    def vessel_of(self, holder: Holder) -> Vessel | None:
        """The batch's vessel that a holder means, or None: by its whole name, else by what it is if that is one."""
        if self.batch is None:
            return None
        same = [one for one in self.batch.vessels if one.label == label(holder)]
        if same:
            return same[0]
        if holder.capacity is not None:
            size = self.litres(holder.capacity)
            near = [one for one in self.batch.vessels if one.place.capacity and abs(one.place.capacity - size) < 1e-6]
            return near[0] if len(near) == 1 and near[0].place.term == holder.term else None
        if holder.size == "other":
            twins = [one for one in self.batch.full if one.place.term == holder.term]
            rest = [one for one in twins if one.label != self.batch.current]
            return rest[0] if len(twins) == 2 and len(rest) == 1 else None
        if holder.size:
            return None
        alike = [one for one in self.batch.vessels if holder.term in (one.place.term, "vessel")]
        full = [one for one in alike if one.holds.mass > 0] or alike
        return full[0] if len(full) == 1 else None

    def source(self, *, sure: bool = True) -> Vessel:
        """The vessel that something goes into or out of: the one named, else the current one.

        Args:
            sure: whether it must be said which, where the current one was strained into parts.

        Raises:
            Stop: no batch is open, the vessel named is none of its, or which of its parts is not clear.
        """
        batch = self.open_batch()
        if _EACH.search(self.said) or any(one.count > 1 for one in self.vessels):
            raise Stop(Ask("One vessel at a time: say the line for each of them."))
        if _OTHER_VESSEL.search(self.said) and len(batch.full) == 2 and not self.vessels:
            return next(one for one in batch.full if one.label != batch.current)
        for holder in list(self.vessels):
            found = self.vessel_of(holder)
            if found is not None:
                self.vessels.remove(holder)
                self.use(holder)
                return found
            if holder.mark in ("into", "in", "to", "from", "out of", "off"):
                names = say.listed(one.label for one in batch.vessels)
                text = f'"{batch.title}" has no vessel called "{holder.text}": it has {names}.'
                raise Stop(Ask(f'{text} Say "moved to ..." first if it is there now.'))
        if (part := self.part(batch, sure=sure)) is not None:
            return part
        found = batch.vessel("")
        if found is None:
            raise Stop(Ask(f'"{batch.title}" is in no vessel yet. Say which, for example "in the 8 L crock".'))
        return found

    def part(self, batch: Batch, *, sure: bool = True) -> Vessel | None:
        """The part of a strained batch that a line names ("into the mash"), or the only one that holds anything.

        Raises:
            Stop: it is none of the batch's, or which of several it is was not said.
        """
        named = _PART.search(self.said)
        term = _PARTS.get(named[1].lower(), "") if named is not None else ""
        full = {one.label: one for one in batch.full}
        if term and term in full:
            return full[term]
        current_ = batch.vessel("")
        emptied = current_ is not None and current_.holds.mass <= made.TRACE
        if term == "mash" and sure and any(why == "pulp" for why, _ in batch.taken) and not emptied:
            label_ = current_.label if current_ is not None else "vessel"
            text = f'The pulp of "{batch.title}" was taken out, and the book does not follow it.'
            text += f' Is this for what is in the {label_}? Then say "into the {label_}"; else "note:" and the words.'
            raise Stop(Ask(text))
        if not emptied or not full:
            return None
        if len(full) == 1:
            return next(iter(full.values()))
        if not sure:
            return None
        names = say.listed(f"the {one}" for one in full)
        example = f"added 50 g of sugar into the {next(reversed(full))}"
        raise Stop(
            Ask(f'Which part: {names}? The {batch.current} is empty. Say the line with it, for example "{example}".')
        )

    def held_by(self, label_: str) -> Batch | None:
        """Another batch that is in a vessel of that name now; a name with no size or number is nobody's."""
        if " " not in label_:
            return None
        here = self.batch.number if self.batch is not None else 0
        for title in self.state.shelf.recent:
            if title.number != here and not title.closed and label_ in title.words:
                there = self.state.shelf.batch(title.number)
                if there is not None and any(one.label == label_ for one in there.full):
                    return there
        return None

    def use(self, holder: Holder) -> None:
        """Counts the numbers in a holder's words as used."""
        taken = holder.capacity.span if holder.capacity is not None else holder.span
        start, end = min(taken[0], holder.span[0]), max(taken[1], holder.span[1])
        self.left = [one for one in self.left if not start <= one.span[0] < end]


_PARTS = {
    "mash": "mash", "pulp": "mash", "pieces": "mash", "solids": "mash", "brine": "brine", "liquid": "brine",
    "liquor": "brine", "juice": "brine",
}  # fmt: skip
"""What the two parts of a strained batch are called, and the vessel each is in by the account."""
_PART = phrase(
    r"\b(?:into|in|to|onto|from|of|out of|with) (?:the |my |that )?(?:strained |drained )?"
    rf"({'|'.join(_PARTS)})\b(?! of\b)"
)

_EACH = phrase(r"\b(each|both|every|all the) (?:of the )?(?:jars?|crocks?|buckets?|pots?|vessels?|bottles?)\b")
_OTHER_VESSEL = phrase(r"\bother (?:jar|crock|bucket|pot|vessel)\b")

MOST = 5000.0
"""kg or L that one line can be about."""


def _sensible(amount: Amount) -> Amount:
    """The amount, if there can be so much.

    Raises:
        Stop: it is below zero, or more than any batch.
    """
    of = dimension(amount.unit)
    size = measures.canonical(amount.value, amount.unit, of) if of in ("mass", "volume") else amount.value
    if not 0 <= size <= MOST:
        raise Stop(Refuse(f'"{amount.text}" cannot be: say an amount above zero, up to 5 tonnes.'))
    return amount


def label(holder: Holder) -> str:
    """What a vessel is called: "8 L crock", "big crock", "jar 2", "pot"."""
    if holder.capacity is not None:
        size = said(holder.capacity.value, holder.capacity.unit)
        return f"{size} {holder.word}"
    if holder.size.isdecimal():
        return f"{holder.word} {holder.size}"
    return f"{holder.size} {holder.word}".strip()


def desk(state: State, reading: Reading, today: datetime.date, batch: Batch | None, *, several: bool = False) -> Desk:
    """The line laid out: its day found, its amounts and vessels listed; ``several``: it may name more than one day.

    Raises:
        Stop: the day is still to come or cannot be told, or an amount has two readings.
    """
    day, used = day_said(reading, today, batch.began if batch is not None else None)
    amounts = [one for one in reading.amounts if one.span not in used]
    later = next((word for word in reading.told if word.term == "later"), None)
    if later is not None:
        times = [one for one in amounts if dimension(one.unit) in ("time", "months")]
        if len(times) == 1 and batch is not None and dimension(times[0].unit) == "time":
            days = round(measures.canonical(times[0].value, times[0].unit, "time"))
            if not 0 < days < 36525 or (day := batch.last + datetime.timedelta(days=days)) > today:
                text = f'"{times[0].text} later" than {day_words(batch.last)}, the last day I have, is still to come.'
                raise Stop(Ask(f"{text} When was it? Say the date."))
            amounts.remove(times[0])
        elif times:
            raise Stop(Ask(f'Later than what is "{times[0].text}"? Say the date.'))
    if day is None and (used or reading.whens) and not several:
        raise Stop(Ask("That names more than one day: say one day a line."))
    begun = any(word.term == "begun" for word in reading.told)
    if day is not None and batch is not None and day < batch.began and not begun:
        raise Stop(Ask(f'"{batch.title}" began on {day_words(batch.began)}, after that day. Which day was it?'))
    if day is not None and day > today:
        raise Stop(Refuse("That day is still to come: the book takes what has happened. Say it when it is done."))
    unsure = next((one for one in reading.repaired if not one.sure), None)
    if unsure is not None:
        raise Stop(Ask(f'Did you mean "{unsure.read}" by "{unsure.said}"? Say the line again with it.'))
    for one in amounts:
        if one.rivals and dimension(one.unit) != "temperature":
            both = say.listed(_told(each) for each in (one, *one.rivals))
            raise Stop(Ask(f'Is "{one.text}" {both}? Say the line again with that.'))
    return Desk(state, reading, today, day or today, batch, amounts, list(holders(reading)))


def _told(amount: Amount) -> str:
    name = unit_name(amount.unit, amount.value)
    by = {"ounce": " by weight", "fluid_ounce": " by volume"}.get(amount.unit, "")
    return f"{exact(amount.value)} {name}".strip() + by


def nouns(amount: Amount) -> frozenset[str]:
    """The terms said with an amount, and their kinds with an "@"."""
    words: Iterable[Word] = [one for one in (amount.noun, *amount.others) if one is not None]
    return frozenset(one.term for one in words) | frozenset(f"@{one.kind}" for one in words)


def percent(amount: Amount) -> float | None:
    """A strength as a fraction, or None."""
    if dimension(amount.unit) != "fraction":
        return None
    return measures.canonical(amount.value, amount.unit, "fraction")


def fraction(value: float) -> str:
    """A strength in words: "2.9%"."""
    return f"{number(100 * value, 3)}%"


def weighed(mix: Mixture) -> str:
    """A weight for a sentence."""
    if mix.mass <= made.TRACE:
        return "nothing"
    return f"{number(mix.mass, 4)} kg" if mix.mass >= 0.9995 else f"{number(1000 * mix.mass, 4)} g"


def ask_for(desk_: Desk, lacks: str, question: str) -> Stop:
    """The question that must be answered before the line can be entered."""
    facts = tuple(desk_.facts.items())
    return Stop(Ask(question), pending=Pending(desk_.reading, lacks, question, desk_.today, facts))


def note(text: str) -> Note:
    """Something said beside."""
    return Note(text)
