"""What the talk says of a batch: what was entered, what it is now, what to beware of."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from assistant.batches.describe import day_words, describe, the
from assistant.batches.shelf import Title
from assistant.replies import Answer, Caution, Log, Note, Reply, Value, Why
from assistant.rules import Facts, Rule, cautions
from assistant.rules.verdict import Sample, Verdict, judge, lead
from assistant.rules.watch import RULES
from assistant.show import Style, number, quantity, with_unit
from assistant.talk import words as say
from assistant.talk.account.manner import manner
from assistant.talk.account.which import current
from assistant.talk.state import State
from assistant.trade import mixture as mx
from assistant.trade.produce import USDA
from grammar.later import module

if TYPE_CHECKING:
    from assistant.batches import events as ev
    from assistant.batches import watch as watching
    from assistant.batches.batch import Batch, Vessel
    from assistant.batches.events import Event
else:
    ev = module("assistant.batches.events")
    watching = module("assistant.batches.watch")


def log(batch: Batch, events: list[Event], today: datetime.date, style: Style) -> Log:
    """What was entered, with the day if it is not today."""
    told = "; ".join(dict.fromkeys(describe(one, style) for one in events))
    days = sorted({one.day for one in events})
    when = "" if days == [today] else f" on {' and '.join(day_words(one) for one in days)}"
    return Log(f"{titled(batch)}{when}: {told}.")


def titled(batch: Batch) -> str:
    """ "Batch 3, reds"."""
    return f"Batch {batch.number}" + (f", {batch.name}" if batch.name else "")


def low(batch: Batch) -> str:
    """ "batch 3, Reds", for the middle of a sentence."""
    return f"batch{titled(batch).removeprefix('Batch')}"


def percent(value: float) -> str:
    """A strength to three digits."""
    return with_unit(100 * value, "percent")


def holds(vessel: Vessel, style: Style) -> str:
    """What a vessel holds, in one sentence."""
    mix = vessel.holds
    volume = quantity(mix.volume, "volume", style)
    parts = [f"about {volume}"]
    if mix.salt and mix.mass > mix.salt:
        parts.append(f"{percent(mx.SALT_TOTAL(mix))} salt of produce and water")
    elif mix.mass:
        parts.append("no salt")
    if mix.acetic:
        parts.append(f"{percent(mx.ACETIC(mix))} acetic acid")
    if mix.citric:
        parts.append(f"{percent(mx.CITRIC(mix))} citric acid")
    if mix.gum:
        parts.append(f"{percent(mx.GUM(mix))} gum")
    return f"{quantity(mix.mass, 'mass', style)} in {the(vessel.label)}: {', '.join(parts)}."


def values(vessel: Vessel) -> tuple[Value, ...]:
    """What is read off a vessel, at full precision."""
    mix = vessel.holds
    found = [Value("mass", mix.mass, "kilogram"), Value("volume", mix.volume, "liter")]
    if mix.mass:
        found += [
            Value("salt", mix.salt, "kilogram"), Value("of_whole", mx.SALT_WHOLE(mix), "fraction"),
            Value("acetic", mx.ACETIC(mix), "fraction"), Value("sugar", mx.SUGARS(mix), "fraction"),
            Value("gum", mx.GUM(mix), "fraction"), Value("sodium", mix.sodium, "kilogram"),
        ]  # fmt: skip
        found += [Value("of_total", mx.SALT_TOTAL(mix), "fraction")] if mix.mass > mix.salt else []
        found += [Value("of_water", mx.SALT_WATER(mix), "fraction")] if mix.water else []
    if vessel.place.capacity:
        found.append(Value("capacity", vessel.place.capacity, "liter"))
    return tuple(found)


def stands(vessels: list[Vessel], style: Style) -> Reply:
    """How much is in the vessels now, as an answer with its numbers."""
    text = "Now " + " ".join(holds(one, style) for one in vessels)
    first = values(vessels[0])
    return Answer(text, "batch", first, text)


def strengths(mix: mx.Mixture) -> str:
    """The salt on every basis."""
    return (
        f"{percent(mx.SALT_TOTAL(mix))} of produce and water, {percent(mx.SALT_WHOLE(mix))} of everything, "
        f"{percent(mx.SALT_AQUEOUS(mix))} in the brine between the pieces"
    )


def watched(batch: Batch, today: datetime.date, style: Style) -> list[Caution]:
    """What a careful eye would say of the batch today, of every vessel, the worst first."""
    return [say.watch_caution(rule, facts, style) for rule, facts in _held(batch, today)]


def judged(batch: Batch, vessel: str = "", *, stopped: bool = False, grown: bool = False) -> Verdict | None:
    """The verdict on the last reading of a vessel for what is in it now; None if there is none.

    ``stopped``: something stands against the batch; ``grown``: a film was seen on it since. What went in on the day
    of the reading counts as later.
    """
    point = watching.last_reading(batch, vessel)
    if point is None:
        return None
    later = watching.went_in_since(batch, point)
    sample = Sample(point.value, point.method, point.calibrated, point.error, before=grown)
    if later is not None:
        name = f"{later.what} on {day_words(later.day)}"
        return judge(replace(sample, added=name) if later.day > point.day else replace(sample, before=True))
    found = judge(sample)
    return judge(replace(sample, stopped=True)) if stopped and found.lines else found


def judgement(batch: Batch, against: Sequence[Caution]) -> tuple[str, Verdict | None]:
    """What the last readings prove, the vessel that proves least first, and that one's verdict.

    Args:
        batch: the batch.
        against: what the watch says of it.
    """
    grown = any(one.rule in ("film", "reading-before") for one in against)
    stopped = any(one.severity == "stop" for one in against)
    labels = [one.label for one in batch.full]
    if len(labels) < 2:
        only = judged(batch, stopped=stopped, grown=grown)
        return ("" if only is None else lead(only)), only
    found = {one: judged(batch, one, stopped=stopped, grown=grown) for one in labels}
    read = {label: one for label, one in found.items() if one is not None}
    order = sorted(read, key=lambda label: (len(read[label].lines), -read[label].high))
    unread = [the(label) for label in labels if label not in read]
    rows = [f"{one}: nothing was read in it." for one in unread]
    rows += [f"{the(label)}: {lead(read[label])}" for label in order]
    text = " ".join(f"{one[0].upper()}{one[1:]}" for one in rows)
    return text, read[order[0]] if order and not unread else None


_WORST = ("stop", "caution", "note")


def _held(batch: Batch, today: datetime.date) -> list[tuple[Rule, Facts]]:
    """The rules that hold of any of its vessels, each once, with the facts that they hold on."""
    found: dict[str, tuple[Rule, Facts]] = {}
    for label in [one.label for one in batch.full] or [""]:
        facts = watching.watch(batch, today, label)
        for rule in cautions(facts, RULES):
            found.setdefault(rule.id, (rule, facts))
    return _sorted(found)


def _sorted(found: dict[str, tuple[Rule, Facts]]) -> list[tuple[Rule, Facts]]:
    return sorted(found.values(), key=lambda one: _WORST.index(one[0].severity))


def stopped(batch: Batch, today: datetime.date) -> list[str]:
    """The stops that stand against a batch."""
    return [rule.id for rule, _ in _held(batch, today) if rule.severity == "stop"]


def age(day: datetime.date, today: datetime.date) -> str:
    """How old, in days and weeks."""
    days = (today - day).days
    return "from today" if days == 0 else quantity(float(days), "time", Style()) + " old"


def title_line(title: Title, batch: Batch | None, today: datetime.date, style: Style) -> str:
    """One line of the list of batches."""
    name = f"{title.number}" + (f", {title.name}" if title.name else "")
    if batch is None:
        return f"{name}."
    mass = quantity(batch.holds.mass, "mass", style) if batch.full else "nothing left"
    where = say.listed(one.label for one in batch.full).replace(" or ", " and ") if batch.full else ""
    days = (today - batch.began).days
    over = f", {batch.closed}" if batch.closed else ""
    place = f" in {where}" if where else ""
    return f"{name}: {mass}{place}, day {days}{over}."


def listing(rows: list[str]) -> Note:
    """Several batches, one after the other."""
    return Note(" ".join(rows))


def count(value: float) -> str:
    """A plain number."""
    return number(value)


def news(
    before: Batch | None,
    after: Batch,
    events: list[Event],
    today: datetime.date,
    style: Style,
    *,
    poured: Sequence[Batch] = (),
) -> list[Reply]:
    """What to beware of that was not so before these events; after a reading, all that it bears on.

    Bottling, straining and merging are judged by how the batch (and what was ``poured`` into it)
    stood before them.
    """
    held = {rule.id for rule, _ in _held(before, today)} if before is not None else set()
    if before is not None and (doing := _doing(events)):
        label = next((getattr(one, "vessel", "") for one in events if one.batch == before.number), "")
        seen: dict[str, tuple[Rule, Facts]] = {}
        for batch, vessel in ((before, label), *((one, "") for one in poured)):
            facts = watching.watch(batch, today, vessel, doing)
            for rule in cautions(facts, RULES):
                if rule.id not in held or rule.severity == "stop" or batch is not before:
                    seen.setdefault(rule.id, (rule, facts))
        return [say.watch_caution(rule, facts, style) for rule, facts in _sorted(seen)]
    found: dict[str, tuple[Rule, Facts]] = {}
    if before is not None:
        for one in events:
            if isinstance(one, ev.Read):  # judged as of its own day, against what was read before it
                own = watching.reading_facts(before, one, today)
                found |= {rule.id: (rule, own) for rule in cautions(own, RULES)}
    found |= {rule.id: (rule, facts) for rule, facts in _held(after, today) if rule.id not in held | found.keys()}
    worst = _sorted(found)
    dropped = {name for rule, _ in worst for name in rule.instead_of}
    return [say.watch_caution(rule, facts, style) for rule, facts in worst if rule.id not in dropped]


def _doing(events: list[Event]) -> str:
    """What is judged by how the batch stood before it: "bottling", "straining", "merging", or "" for anything else."""
    for one in events:
        if isinstance(one, ev.Bottle):
            return "bottling"
        if isinstance(one, ev.Receive):
            return "merging"
        if (isinstance(one, ev.Share) and one.how == "strained") or (isinstance(one, ev.Take) and one.why == "pulp"):
            return "straining"
    return ""


def why(state: State) -> list[Reply]:
    """What the last entry or answer of the account was worked out from."""
    batch = current(state)
    if batch is None:
        return []
    shown = manner(state)
    numbers = {seq for seq, _ in state.seqs}
    account = state.shelf.accounts.get(batch.number)
    entered = [event for seq, event in account.tail if seq in numbers] if account is not None else []
    replies: list[Reply] = []
    for one in entered:
        if isinstance(one, ev.Add) and one.fresh:
            mix = one.mix
            parts = ", ".join(
                f"{quantity(mass, 'mass', shown)} {name}"
                for name, mass in (("water", mix.water), ("sugar", mix.sugar), ("solids", mix.solids))
            )
            told = f"{quantity(mix.mass, 'mass', shown)} of {one.what} brings {parts} of its own."
            replies.append(Why(told, source=str(USDA)))
    vessel = batch.vessel("")
    if vessel is not None and vessel.holds.salt and vessel.holds.mass > vessel.holds.salt:
        mix = vessel.holds
        rest = quantity(mix.mass - mix.salt, "mass", shown)
        sums = f"{quantity(mix.salt, 'mass', shown)} / {rest} = {percent(mx.SALT_TOTAL(mix))}"
        replies.append(Why(f"Salt of produce and water = salt / (everything less the salt) = {sums}."))
        brine = quantity(mix.water + mix.salt, "mass", shown)
        sums = f"{quantity(mix.salt, 'mass', shown)} / {brine} = {percent(mx.SALT_AQUEOUS(mix))}"
        replies.append(Why(f"Salt in the brine between the pieces = salt / (water + salt) = {sums}."))
    if vessel is not None and vessel.holds.mass:
        replies.append(
            Why("The volume adds up what water, salt and solids take, without air.", source=str(mx.CHOI_OKOS))
        )
    return replies
