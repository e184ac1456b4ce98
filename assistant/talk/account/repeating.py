"""The last batch once more: what scales is scaled, what does not is said."""

from __future__ import annotations

import datetime
from dataclasses import replace
from typing import TYPE_CHECKING

from assistant.replies import Answer, Ask, Note, Reply, Value
from assistant.show import quantity
from assistant.talk.account import telling
from assistant.talk.account.desk import nouns
from assistant.talk.account.entering import OFFER
from assistant.talk.account.manner import manner
from assistant.talk.account.which import current, meant
from assistant.talk.place import dimension, settled
from assistant.talk.state import Plan, Result, State
from assistant.trade import mixture as mx
from assistant.trade.produce import NAMES
from grammar import measures
from grammar.types import Reading

if TYPE_CHECKING:
    from assistant.batches.batch import Batch


def repeat_last(state: State, said: Reading, today: datetime.date) -> Result:
    """ "Same as last time but 8 kilos": every weight by one factor, taken from the fresh produce."""
    found = meant(state, said)
    batch = found[0] if len(found) == 1 else _last(state)
    if batch is None:
        return state, (Note("The book holds no batch yet that could be repeated."),)
    fresh = sum(one.mix.mass for one in batch.added if one.fresh)
    if not fresh:
        return state, (Note(f"{telling.titled(batch)} has no fresh produce in it to scale from."),)
    weights = [one for one in said.amounts if dimension(one.unit) == "mass" and not nouns(one) & {"salt", "water"}]
    rest = [one for one in said.amounts if one not in weights]
    if rest or len(weights) > 1:
        text = f'"{(rest or weights)[-1].text}"'
        return state, (Ask(f"I scale by the weight of fresh produce alone: say that first, then change {text}."),)
    if not weights and any(word.kind == "times" for word in said.all_words):
        return state, (Ask("How much fresh produce is it this time?"),)
    wanted = fresh
    if weights:
        named = {word.term for word in (weights[0].noun, *weights[0].others) if word and word.kind == "produce"}
        if named:  # "8 kilos of reds": the garlic beside them is scaled with them
            fresh = sum(one.mix.mass for one in batch.added if one.fresh and one.produce in named)
        if not fresh:
            return state, (
                Ask(f"{telling.titled(batch)} has none of that in it. Say the weight of all fresh produce."),
            )
        exact = settled(weights[0], state.kitchen)
        wanted = measures.canonical(exact.value, exact.unit, "mass")
    if not 0 < wanted < 5000:
        return state, (Ask("How much fresh produce is it this time?"),)
    factor = wanted / fresh
    puts: dict[tuple[str, bool, str], mx.Mixture] = {}
    for one in batch.added:
        key = (one.what, one.fresh, one.produce)
        puts[key] = puts.get(key, mx.NOTHING) + one.mix.share(factor)
    kinds = [NAMES.get(one.produce, one.what) for one in batch.added if one.fresh]
    plan = Plan(kinds[0], tuple((what, mix, new, kind) for (what, new, kind), mix in puts.items()))
    return replace(state, plan=plan), (*_scaled(state, batch, factor, today), OFFER)


def _last(state: State) -> Batch | None:
    """The last batch that something was put into: the open one too, unless it is empty."""
    here = current(state)
    if here is not None and here.added:
        return here
    for title in sorted(state.shelf.titles, reverse=True):
        batch = state.shelf.batch(title)
        if batch is not None and batch.added:
            return batch
    return None


def _scaled(state: State, batch: Batch, factor: float, today: datetime.date) -> tuple[Reply, ...]:
    shown = manner(state)
    totals: dict[str, mx.Mixture] = {}
    for one in batch.added:
        totals[one.what] = totals.get(one.what, mx.NOTHING) + one.mix
    rows = [f"{quantity(factor * mix.mass, 'mass', shown)} {what}" for what, mix in totals.items()]
    put = batch.went_in
    lead = f"As {telling.low(batch)}, times {telling.count(factor)}: {', '.join(rows)}."
    salt = f"The salt stays {telling.percent(mx.SALT_TOTAL(put))} of produce and water."
    values = [Value("factor", factor, "")]
    values += [Value(what.replace(" ", "_"), factor * mix.mass, "kilogram") for what, mix in totals.items()]
    replies: list[Reply] = [Answer(f"{lead} {salt}", "batch", tuple(values), lead)]
    replies.append(
        Note(
            "Not scaled: days, temperatures, pH limits, heating times and the headspace rule. Vinegar and gum went by "
            "that batch's own taste: try them anew on a small sample."
        )
    )
    volume = factor * put.volume
    replies.append(
        Note(
            f"It makes about {quantity(volume, 'volume', shown)}: with a quarter of the vessel free for the rise that "
            f"takes one of {quantity(volume / 0.72, 'volume', shown)} (common practice, no source)."
        )
    )
    if len({one.day for one in batch.added if one.fresh}) > 1:
        replies.append(Note("That batch had fresh produce on several days; these are its totals."))
    return tuple(replies)
