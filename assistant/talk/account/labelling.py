"""What goes on a label, as the talk says it: the whole of it, or its ingredients, allergens, lot, contents alone."""

from __future__ import annotations

import datetime
import re
from dataclasses import replace
from typing import TYPE_CHECKING

from assistant.batches.describe import day_words
from assistant.replies import Answer, Ask, Note, Reply, Value, Why
from assistant.rules.verdict import Verdict
from assistant.show import Style
from assistant.talk.account import telling
from assistant.talk.account.desk import Desk, Stop, nouns
from assistant.talk.account.manner import manner
from assistant.talk.account.which import names_batch, phrase
from assistant.talk.dates import guessed, settle
from assistant.talk.place import dimension, settled
from assistant.talk.state import State
from assistant.trade.nutrition import us_calories, us_sodium, us_sugars
from assistant.trade.produce import NAMES
from grammar import measures
from grammar.dates import MONTH_NAMES
from grammar.later import module
from grammar.told import Holder, holders
from grammar.types import Amount, Reading

if TYPE_CHECKING:
    from assistant.batches import label as labels
    from assistant.batches.batch import Batch, Vessel
    from assistant.batches.ingredients import Events
    from assistant.batches.label import Judged, Label, Said
else:
    labels = module("assistant.batches.label")


LEAD = "Label of"
"""How an answer begins that is a label."""

_BEST = phrase(r"\b(best before|best by|use by|bbe|bb|expir\w+|good until|keeps until|sell by)\b")
_OTHERS = r"(?! (?:says?|said|on|reads?|strength|is|was|isn't|gives?|shows?|of the (?:bottle|vinegar))\b)"

WORD = phrase(rf"^(?!.*\b(?:check\w*|read\w*|look\w*|see|saw|says?|said)\b).*\blabels?\b{_OTHERS}")
"""The word anywhere in a short line that asks for nothing else: "batch 1's label"."""

FIRST = phrase(rf"^\W*(?:(?:the|a|my|and|now|then|ok|okay) )*lab(?:el|le)s?\b{_OTHERS}")
"""A line that begins with the word: "label, best before 1 March 2027"."""

SHORT = 7
"""Words of such a short line, at most."""

_PARTS = {
    "ingredients": ("Ingredients", "By weight", "Two percent rule", "How counted", "Not known", "Of what"),
    "allergens": ("Allergens",),
    "lot": ("Lot", "Made"),
    "net": ("Net contents", "Of what"),
    "storage": ("Storage", "Best before"),
}
"""Which rows are asked for by which word; any other word asks for all."""

LABELS = frozenset({"label", *_PARTS})
"""The words that ask for a label or a part of it."""

MOST = 20.0
"""L or kg that a bottle or jar for a label holds, at most."""


def events_of(state: State, number: int) -> Events | None:
    """All events of a batch, if its account is at hand from the beginning."""
    account = state.shelf.accounts.get(number)
    return account.tail if account is not None and not account.base.count else None


def proven(today: datetime.date, style: Style) -> Judged:
    """What the last reading of a vessel proves, with what stands against its batch."""

    def of(batch: Batch, vessel: str) -> Verdict | None:
        against = telling.watched(batch, today, style)
        grown = any(one.rule in ("film", "reading-before") for one in against)
        return telling.judged(batch, vessel, stopped=any(one.severity == "stop" for one in against), grown=grown)

    return of


def labelled(what: str, batch: Batch, said: Reading, today: datetime.date, state: State) -> tuple[Reply, ...]:
    """The label of a batch, or the part of it that was asked for."""
    if said_again(state, said) == "ask":
        return (WHOLE,)
    found = _said(said, today, state, batch)
    if not isinstance(found, labels.Said):
        return found
    events = events_of(state, batch.number)
    if events is None:
        text = (
            f"{telling.titled(batch)} has more entries than are at hand in a talk. Its sheet works the label out from "
            f'all of them: crockside sheet "{batch.number}".'
        )
        return (Note(text),)
    stops = [one for one in telling.watched(batch, today, manner(state)) if one.severity == "stop"]
    if stops and what not in ("ingredients", "allergens", "lot"):
        return (*stops, Note(f"There is no label for {telling.low(batch)} while that stands."))
    mine = labels.label(
        batch, events, today, judged=proven(today, manner(state)), others=lambda one: events_of(state, one), said=found
    )
    if mine is None:
        return (Note(f"{telling.titled(batch)} is empty and was not bottled: there is nothing to label."),)
    parts = {one.name for one in mine.parts}
    strange = [word for word in said.words if word.kind == "produce" and word.term not in batch.kinds]
    if strange and not any(NAMES.get(word.term, word.term) in parts for word in strange):
        return (Note(f'{telling.titled(batch)} has no "{strange[0].text}" in it. Say which batch the label is for.'),)
    lead = f"{LEAD} {telling.low(batch)}: {mine.what}."
    rows = mine.row(*_PARTS[what]) if what in _PARTS else mine.rows
    assumed = guessed(said, settle(said, state, today)) if found.best_before else ()
    return (
        Answer(lead, "batch", _values(mine), lead),
        *(Note(f"{name}: {text}") for name, text in rows),
        Note(labels.LAW if what == "label" else labels.LAW_IN_SHORT),
        *assumed,
        *stops,
    )


_BY_WEIGHT = phrase(r"\b(?:by|net) (?:weight|wt)\b")
_MONTHS = phrase(rf"\b(?:{'|'.join(MONTH_NAMES)}|\w+ years?|years?)\b")


def _weighed(one: Amount, said: Reading) -> Amount:
    """The amount; "6 oz by weight" as what it was said to be."""
    plain = one.unit.endswith("fluid_ounce") and "fl" not in one.text.lower()
    return replace(one, unit="ounce") if plain and _BY_WEIGHT.search(said.text) else one


def _vessels(said: Reading, today: datetime.date, state: State, batch: Batch) -> list[tuple[Holder, Vessel]]:
    """The vessel of the batch that a line names by its number or its size: "jar 2", "the 3 L jar"; at most one."""
    known = Desk(state, said, today, today, batch, [], [])
    for holder in holders(said):
        sized = holder.capacity is not None and dimension(holder.capacity.unit) == "volume"
        if holder.term == "bottle" or (holder.capacity is not None and not sized) or not (sized or holder.size):
            continue
        try:
            vessel = known.vessel_of(holder)
        except Stop:  # no vessel is that large: the amount is asked about
            continue
        if vessel is not None and (not sized or vessel.place.capacity):
            return [(holder, vessel)]
    return []


def _said(said: Reading, today: datetime.date, state: State, batch: Batch) -> Said | tuple[Reply, ...]:
    """What the line says of the label, or what to ask where a number has no place on it."""
    found, places = labels.Said(heated=labels.told_heated(said.text)), tuple[tuple[int, int], ...]()
    if any(word.term == "begun" for word in said.told):
        return (Ask("A batch that is not begun has nothing to label. Which one is it for?"),)
    if len({one.value for one in said.amounts if names_batch(said, one)}) > 1:
        return (Ask("One label at a time: for which batch?"),)
    for holder, vessel in _vessels(said, today, state, batch):
        found, places = replace(found, vessel=vessel.label), (*places, holder.span)
    unsaid = [one.capacity for one in holders(said) if one.capacity and one.capacity not in said.amounts]
    loose = [one for one in unsaid if not any(start <= one.span[0] < end for start, end in places)]  # "pint bottles"
    for one in (*settle(said, state, today).amounts, *loose):
        if (
            any(start <= one.span[0] < end for start, end in places)
            or names_batch(said, one)
            or one.span[0] == one.span[1]
        ):
            continue
        ounces = one.unit == "ounce" and not _BY_WEIGHT.search(said.text)
        either = {dimension(each.unit) for each in (one, *one.rivals)} == {"mass", "volume"}
        if ounces or either:
            return (Ask(f'Is "{one.text}" a volume or a weight? Say it as "fl oz", or "oz by weight".'),)
        got = _placed(found, settled(_weighed(one, said), state.kitchen), said, today)
        if isinstance(got, tuple):
            return got
        found = got
    if found.best_before is None and _BEST.search(said.text) and _MONTHS.search(said.text):
        return (Ask('Best before which day? Say it in full, for example "label, best before 1 March 2027".'),)
    return found


def _placed(found: Said, one: Amount, said: Reading, today: datetime.date) -> Said | tuple[Reply, ...]:
    """The same with one amount more."""
    of = dimension(one.unit)
    if of == "date":
        day = _day(one)
        if not _BEST.search(said.text) or found.best_before is not None or day is None:
            return (Ask(f'What is "{one.text}"? Say, for example, "label, best before 1 March 2027".'),)
        if day <= today:
            return (Ask(f"{_upper(day_words(day))} is not to come: which day is it best before?"),)
        return replace(found, best_before=day)
    if of in ("volume", "mass"):
        size = measures.canonical(one.value, one.unit, of)
        if not 0 < size <= MOST:
            return (Ask(f'"{one.text}" is no size of a bottle: say it again.'),)
        serves = of == "volume" and "serving" in nouns(one)
        if found.serving if serves else found.volume or found.weight:
            return (Ask("One size of a bottle at a time: say which the label is for."),)
        if serves:
            return replace(found, serving=size)
        return replace(found, volume=size) if of == "volume" else replace(found, weight=size)
    return (
        Ask(
            f'I have no place for "{one.text}" on a label. Say the batch and the size of a bottle, for example "label '
            'for batch 2 in 150 ml bottles".'
        ),
    )


def _upper(text: str) -> str:
    return text[:1].upper() + text[1:]


def _day(one: Amount) -> datetime.date | None:
    whole = int(one.value)
    try:
        return datetime.date(whole // 10000, whole // 100 % 100, whole % 100)
    except ValueError:
        return None


def _values(mine: Label) -> tuple[Value, ...]:
    """The label's numbers, at full precision and as rounded."""
    figures = mine.figures
    found = [
        Value("sodium", figures.sodium * 1e-6, "kilogram"), Value("sodium_label", us_sodium(figures.sodium), ""),
        Value("sugars", figures.sugars * 1e-3, "kilogram"), Value("sugars_label", us_sugars(figures.sugars), ""),
        Value("energy", figures.energy, ""), Value("energy_label", us_calories(figures.energy), ""),
        Value("eu_salt", figures.eu_salt / 100, "fraction"),
    ]  # fmt: skip
    found += [Value(re.sub(r"[^a-z]+", "_", one.name.lower()), one.mix.mass, "kilogram") for one in mine.parts]
    return tuple(found)


_SAID = "as you said"
"""What stands in a row that rests on the person's word."""


def said_again(state: State, said: Reading) -> str:
    """Whether a line only gives the label that was just said another size: "label", "ask" or "".

    "ask" where that label rested on more that was said, which one line must hold together.
    """
    if not any(isinstance(one, Answer) and one.lead.startswith(LEAD) for one in state.said[:1]):
        return ""
    if not said.amounts or said.told or said.wanted or said.question or len(said.text.split()) > SHORT:
        return ""
    if any(dimension(one.unit) not in ("volume", "mass") for one in said.amounts) or _PUTS.search(said.text):
        return ""
    nouns_ = {term for one in said.amounts for term in nouns(one)} | said.terms
    if nouns_ & {"salt", "water", "brine", "vinegar", "sugar", "gum", "@produce", "@substance", "@salt"}:
        return ""
    return "ask" if any(_SAID in one.text for one in state.said) else "label"


_PUTS = phrase(r"\b(?:add|adds|adding|put|puts|putting|stir|mix|plus|pour|tip|throw|with)\b")
"""Words of something that goes in: no size of a bottle."""
WHOLE = Ask('Say the whole label in one line, for example "label in 250 ml bottles, best before 1 March 2027".')


def why(state: State) -> list[Reply]:
    """What a label that was just said rests on; nothing if none was."""
    if not any(isinstance(one, Answer) and one.lead.startswith(LEAD) for one in state.said):
        return []
    shown = {one.text.partition(":")[0] for one in state.said if isinstance(one, Note)}
    return [Why(f"For the {name}.", source=str(source)) for row, name, source in labels.SOURCES if row in shown]
