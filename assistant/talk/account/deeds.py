"""What was done to a batch: each deed as the events it makes."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING

from assistant.replies import Ask, Assume, Note, Refuse
from assistant.show import number
from assistant.talk.account import telling
from assistant.talk.account.desk import Desk, Stop, ask_for, label, nouns, weighed
from assistant.talk.account.putting import put_in, vessel_batch
from assistant.talk.place import dimension
from assistant.trade import mixture as mx
from assistant.trade.produce import NAMES
from assistant.trade.solution import WATER_20
from grammar.later import module
from grammar.told import Holder
from grammar.types import Amount

if TYPE_CHECKING:
    from assistant.batches import batch as made
    from assistant.batches import events as ev
    from assistant.batches.batch import Batch, Vessel
else:
    ev = module("assistant.batches.events")
    made = module("assistant.batches.batch")


MANY = 24
"""Vessels that one line splits a batch into, at most."""

PULP_MOISTURE = 0.75
"""Water in wet pulp (common practice, no source)."""


def begun(desk: Desk) -> None:
    """A new batch, in the vessel named; what goes in is put in as well, if it is said."""
    number = desk.state.shelf.next
    holder = next(iter(desk.vessels), None)
    if len(desk.vessels) > 1 or (holder is not None and holder.count > 1):
        raise Stop(Ask("Begin one batch in one vessel at a time; split it afterwards."))
    if holder is not None:
        desk.vessels.remove(holder)
        desk.use(holder)
        capacity = desk.litres(holder.capacity) if holder.capacity is not None else 0.0
        place = ev.Place(label(holder), holder.term, capacity)
    else:
        place = ev.Place("vessel", "vessel")
    name = name_of(desk)
    desk.batch = made.Batch(number)
    desk.enter(ev.Begin(number, desk.day, desk.said, name, place))
    if desk.left:
        put_in(desk)


def name_of(desk: Desk) -> str:
    """What a new batch is called until it has a name: its produce, as it was said."""
    for word in desk.reading.all_words:
        if word.kind == "produce":
            return word.text if word.text.lower() in ("reds", "greens") else NAMES.get(word.term, word.text)
    return ""


def added(desk: Desk) -> None:
    """Something put in."""
    put_in(desk)


def moved(desk: Desk) -> None:
    """Everything, or what is in one vessel, goes into another."""
    batch = desk.open_batch()
    if desk.take(lambda one: "more" in nouns(one)):
        raise Stop(Ask("Say what went in and what was moved in two lines."))
    target = next((one for one in desk.vessels if one.mark in ("into", "in", "to", "inside")), None)
    target = target or (desk.vessels[-1] if desk.vessels else None)
    if target is None:
        raise Stop(Ask('Moved where? Say the vessel, for example "moved to the 20 L crock".'))
    source = next((one for one in desk.vessels if one is not target and desk.vessel_of(one)), None)
    for one in (target, source):
        if one is not None:
            desk.vessels.remove(one)
            desk.use(one)
    place = desk.place(target)
    vessel = desk.vessel_of(source) if source is not None else None
    if batch.vessel(place.label) is None and (there := desk.held_by(place.label)) is not None:
        text = f'The {place.label} holds "{there.title}". Say "poured it into batch {there.number}", or another vessel.'
        raise Stop(Ask(text))
    if not batch.full:
        raise Stop(Refuse(f'"{batch.title}" is empty: there is nothing to move.'))
    if vessel is None and len(batch.full) == 1:
        vessel = batch.full[0]
    if vessel is not None and vessel.label == place.label:
        raise Stop(Ask(f"It is in the {place.label} already. Say which vessel it went to."))
    desk.enter(ev.Move(batch.number, desk.day, desk.said, vessel.label if vessel else "", place))


def joined(desk: Desk) -> None:
    """One vessel tipped into another of the batch, or one batch into another."""
    batch = desk.open_batch()
    if any(one.count > 1 for one in desk.vessels) or "both" in desk.said.lower():
        raise Stop(Ask('Say one vessel at a time, for example "tipped jar 2 into jar 1".'))
    known = [(one, found) for one in desk.vessels if (found := desk.vessel_of(one)) is not None]
    into = next((pair for pair in known if pair[0].mark in ("into", "in", "to")), known[-1] if known else None)
    if into is None or len(known) < 2:
        if len(batch.full) == 2 and into is not None:
            source = next(one for one in batch.full if one.label != into[1].label)
        elif len(batch.full) == 2 and not desk.vessels:
            raise Stop(Ask(f'Into which: {batch.full[0].label} or {batch.full[1].label}? Say "tipped ... into ...".'))
        else:
            names = ", ".join(one.label for one in batch.full)
            raise Stop(Ask(f'Which vessel went into which? "{batch.title}" has: {names or "nothing in it"}.'))
    else:
        source = next(found for holder, found in known if holder is not into[0])
    for holder, _ in known:
        desk.vessels.remove(holder)
        desk.use(holder)
    desk.enter(ev.Move(batch.number, desk.day, desk.said, source.label, into[1].place))


def pour_all(desk: Desk, others: list[Batch]) -> None:
    """Other batches poured into the open one: all of each, or so much of one as is said."""
    parts = desk.take(lambda one: dimension(one.unit) in ("mass", "volume") and not nouns(one) & {"@vessel"})
    desk.take(lambda one: not one.unit)
    if len(parts) > 1 or (parts and len(others) > 1):
        raise Stop(Ask("Say one batch at a time, with how much of it went in."))
    for other in others:
        stops = telling.stopped(other, desk.today)
        _pour(desk, other, parts[0] if parts else None)
        if stops:  # what was wrong with it is wrong with all of it now
            text = f"Batch {other.number} was poured in, which counted as spoilt ({', '.join(stops)})."
            desk.enter(ev.Remark(vessel_batch(desk), desk.day, desk.said, text))
    desk.notes.append(Note("pH does not average: measure what they make together, and again next day."))


def _pour(desk: Desk, other: Batch, part: Amount | None) -> None:
    batch = desk.open_batch()
    if not other.full:
        raise Stop(Refuse(f'"{other.title}" is empty: there is nothing to pour.'))
    if part is not None and len(other.full) > 1:
        raise Stop(
            Ask(f'"{other.title}" is in {len(other.full)} vessels. Pour those together first, or say all of it.')
        )
    vessel = desk.source()
    for source in other.full:
        mix = source.holds
        if part is not None:
            try:
                mix, _ = mx.draw(mix, desk.kg(part, mix.density))
            except (ValueError, ZeroDivisionError):
                raise Stop(Refuse(f'There is not so much in "{other.title}": it holds {weighed(mix)}.')) from None
        young = source.youngest
        day, produce = (young.day.isoformat(), young.what) if young else ("", "")
        desk.enter(ev.Pour(other.number, desk.day, desk.said, source.label, batch.number, mix))
        desk.enter(ev.Receive(batch.number, desk.day, desk.said, vessel.label, other.number, mix, day, produce))


def split(desk: Desk) -> None:
    """What is in a vessel shared out over others, evenly or by amounts."""
    batch = desk.open_batch()
    source = batch.vessel("")
    if source is None or source.holds.mass <= made.TRACE:
        raise Stop(Refuse(f'"{batch.title}" is empty: there is nothing to split.'))
    desk.vessels = _counted(desk.vessels)
    holders = [one for one in desk.vessels if one.mark in ("into", "in", "to", "between") or one.count > 1]
    if holders and len(holders) < len(desk.vessels):
        raise Stop(Ask("Split into vessels of one kind at a time, or say how much went into each, one line each."))
    if not holders:
        raise Stop(Ask('Split into what? Say, for example, "split into two jars".'))
    amounts = desk.take(lambda one: dimension(one.unit) in ("mass", "volume") and not nouns(one) & {"@vessel"})
    places: list[ev.Place] = []
    for holder in holders:
        desk.vessels.remove(holder)
        desk.use(holder)
        places += _several(desk, holder, batch)
    if amounts and len(amounts) != len(places):
        raise Stop(
            Ask(f"That is {len(amounts)} amounts for {len(places)} vessels: say one for each, or none to share alike.")
        )
    if len(places) < 2 and not amounts:
        raise Stop(Ask(f"How much went into the {places[0].label}? Say its weight or volume."))
    whole = source.holds
    if amounts:
        parts = [whole.share(desk.kg(one, whole.density) / whole.mass) for one in amounts]
    else:
        parts = list(mx.split(whole, [1.0] * len(places)))
        desk.notes.append(Assume("Shared alike.", "count", float(len(places)), ""))
    for place, part in zip(places, parts, strict=True):
        desk.enter(ev.Share(batch.number, desk.day, desk.said, source.label, place, part, "split"))


def _counted(holders: list[Holder]) -> list[Holder]:
    """The vessels, with "two 2 L jars" as one entry of two."""
    found: list[Holder] = []
    for holder in holders:
        last = found[-1] if found else None
        twins = last is not None and last.count > 1 and last.capacity is None and last.term == holder.term
        if last is not None and twins and holder.capacity is not None:
            span = (last.span[0], holder.span[1])
            found[-1] = replace(holder, count=last.count, mark=last.mark or holder.mark, span=span)
        else:
            found.append(holder)
    return found


def _several(desk: Desk, holder: Holder, batch: Batch) -> list[ev.Place]:
    """The vessels of "two jars", told apart by numbers; or the one that is named."""
    if holder.count < 2:
        return [desk.place(holder)]
    if holder.count > MANY:
        raise Stop(Ask(f"{holder.count} vessels is more than I can tell apart: say at most {MANY}."))
    capacity = desk.litres(holder.capacity) if holder.capacity is not None else 0.0
    taken = {one.label for one in batch.vessels}
    names = [f"{holder.word} {number}" for number in range(1, holder.count + len(taken) + 1)]
    return [ev.Place(one, holder.term, capacity) for one in names if one not in taken][: holder.count]


def sampled(desk: Desk) -> None:
    """A sample, or some taken for use."""
    _taken(desk, "sample" if "sampl" in desk.said.lower() else "taken out")


def spilt(desk: Desk) -> None:
    """Lost on the floor."""
    _taken(desk, "spilt")


def skimmed(desk: Desk) -> None:
    """Film or scum lifted off: its weight counts only if it is said."""
    if any(dimension(one.unit) in ("mass", "volume") for one in desk.left):
        _taken(desk, "skimmed")
        return
    desk.enter(ev.Remark(vessel_batch(desk), desk.day, desk.said, desk.said))


def _taken(desk: Desk, why: str) -> None:
    into = [one for one in desk.vessels if one.mark in ("into", "in", "to") and desk.vessel_of(one) is None]
    desk.vessels = [one for one in desk.vessels if one not in into]
    vessel = desk.source()
    found = desk.take(lambda one: dimension(one.unit) in ("mass", "volume") and not nouns(one) & {"@vessel"})
    if into and found and why == "taken out":
        _to_vessel(desk, vessel, found, into)
        return
    if not found:
        raise ask_for(desk, "amount", f"How much was {why}? Say its weight or volume; a guess will do.")
    for one in found:
        held = (desk.open_batch().vessel(vessel.label) or vessel).holds
        if held.mass <= made.TRACE:
            raise Stop(Refuse(f"The {vessel.label} is empty: there is nothing to take."))
        try:
            if nouns(one) & {"brine", "strained", "water"}:
                clear = replace(held, solids=0.0, capsaicinoids=0.0, other=0.0)
                mix, _ = mx.drain(held, desk.kg(one, clear.density))
                desk.notes.append(
                    Assume("Taken as clear brine, of the strength it has now.", "brine", mix.mass, "kilogram")
                )
            else:
                mix, _ = mx.draw(held, desk.kg(one, held.density))
        except (ValueError, ZeroDivisionError):
            raise Stop(Refuse(f"There is not so much in the {vessel.label}: it holds {weighed(held)}.")) from None
        desk.enter(ev.Take(vessel_batch(desk), desk.day, desk.said, vessel.label, why, mix))


def _to_vessel(desk: Desk, vessel: Vessel, found: list[Amount], into: list[Holder]) -> None:
    """Some of it kept in a vessel of its own: "took 700 g out into a 1 L jar"."""
    if len(found) != 1 or len(into) != 1:
        raise Stop(Ask("Say one amount and one vessel at a time."))
    held = (desk.open_batch().vessel(vessel.label) or vessel).holds
    desk.use(into[0])
    try:
        mix, _ = mx.draw(held, desk.kg(found[0], held.density if held.mass else 1.0))
    except (ValueError, ZeroDivisionError):
        raise Stop(Refuse(f"There is not so much in the {vessel.label}: it holds {weighed(held)}.")) from None
    desk.enter(ev.Share(vessel_batch(desk), desk.day, desk.said, vessel.label, desk.place(into[0]), mix, "taken out"))


def strained(desk: Desk) -> None:
    """Strained: what the liquid and the pulp (or mash) weigh or measure, one of them or both."""
    vessel = desk.source()
    held = vessel.holds
    if held.mass <= made.TRACE:
        raise Stop(Refuse(f"The {vessel.label} is empty: there is nothing to strain."))
    amounts = desk.take(
        lambda one: dimension(one.unit) in ("mass", "volume") or (not one.unit and one.noun is not None)
    )
    units = {one.unit for one in amounts if one.unit}
    if len(units) == 1:  # "4.2 litres of mash and 2.6 of brine"
        amounts = [replace(one, unit=next(iter(units))) for one in amounts]
    liquid = [one for one in amounts if nouns(one) & {"brine", "strained", "batch"}]
    rest = [one for one in amounts if one not in liquid]
    if not amounts or len(liquid) > 1 or len(rest) > 1:
        raise ask_for(
            desk,
            "amount",
            'How much came out? Say, for example, "strained, got 2.6 litres of brine and 1.2 kg of pulp".',
        )
    if liquid and not rest and desk.said.lower().lstrip().startswith(("drain", "poured off")):
        desk.left += liquid  # drawn off, and the rest stays
        _taken(desk, "taken out")
        return
    try:
        out, pulp = _parts(desk, held, liquid, rest)
    except (ValueError, ZeroDivisionError):
        raise Stop(
            Refuse(f"That cannot be: the {vessel.label} holds {weighed(held)}, {held.water:.3g} kg of it water. "
                   "Weigh both parts again.")
        ) from None  # fmt: skip
    mash = bool(rest) and "mash" in nouns(rest[0])
    number = vessel_batch(desk)
    lost = held.less(mx.merge(out, pulp))
    _accounted(desk, vessel, held, lost)
    if mash:
        for name, part in (("brine", out), ("mash", pulp)):
            desk.enter(ev.Share(number, desk.day, desk.said, vessel.label, ev.Place(name, name), part, "strained"))
    else:
        desk.enter(ev.Take(number, desk.day, desk.said, vessel.label, "pulp", pulp))
        for holder in [one for one in desk.vessels if one.mark in ("into", "in", "to")]:
            desk.vessels.remove(holder)
            desk.use(holder)
            desk.enter(ev.Share(number, desk.day, desk.said, vessel.label, desk.place(holder), out, "strained"))
    if lost.mass > 5e-4 and desk.facts.get("rest") != 1.0:
        desk.enter(ev.Take(number, desk.day, desk.said, vessel.label, "not accounted for", lost))
        desk.notes.append(
            Note(f"{weighed(lost)} is not accounted for: it is entered as lost. Weigh again if that is much.")
        )


def _accounted(desk: Desk, vessel: Vessel, held: mx.Mixture, lost: mx.Mixture) -> None:
    """Asks where the rest is, if what came out is far less than what was in it."""
    if lost.mass > 0.1 * held.mass and "rest" not in desk.facts:
        raise ask_for(
            desk, "rest",
            f"That leaves {weighed(lost)} of the {weighed(held)} in the {vessel.label}. Is it still there, or lost? "
            'Say "still there" or "lost".',
        )  # fmt: skip


def _parts(desk: Desk, held: mx.Mixture, liquid: list[Amount], rest: list[Amount]) -> tuple[mx.Mixture, mx.Mixture]:
    """The liquid and the rest as mixtures.

    Raises:
        ValueError: they cannot have come out of it.
    """
    clear = replace(held, solids=0.0, capsaicinoids=0.0, other=0.0).density
    if liquid and not rest:
        out = mx.drain(held, desk.kg(liquid[0], clear))[0]
        return out, held.less(out)
    one = rest[0]
    mash = "mash" in nouns(one)
    if liquid:
        out = mx.drain(held, desk.kg(liquid[0], clear))[0]
        left = held.less(out)
        mass = desk.kg(one, left.density)
        if mass > left.mass * 1.03:
            raise ValueError("more than there was")
        return out, left.share(min(mass / left.mass, 1.0))
    if mash:
        raise Stop(Ask("How much brine came off it? Say that too."))
    mass = desk.kg(one)
    moisture = _pulp_water(held, mass)
    text = "The wet pulp is 75% water." if moisture == PULP_MOISTURE else (
        f"The wet pulp is {100 * moisture:.0f}% water: it weighs more than all the solids could hold at 75%."
    )  # fmt: skip
    desk.notes.append(Assume(text, "moisture", moisture, "fraction"))
    return mx.strain(held, mass, moisture)


def _pulp_water(held: mx.Mixture, pulp: float) -> float:
    """How wet the pulp is: as usual, or wetter if there are not so many solids in the batch."""
    lumps = held.solids + held.capsaicinoids + held.other
    dissolved = (held.mass - lumps) / held.water if held.water else 1.0
    least = (pulp - lumps) / (pulp * dissolved) if pulp else 0.0
    return max(PULP_MOISTURE, least)


def boiled(desk: Desk) -> None:
    """Water steamed off, by what went or by what is left."""
    vessel = desk.source()
    desk.take(lambda one: dimension(one.unit) == "time")  # how long it took stands in the words kept
    left = desk.take(lambda one: one.mark == "to" and dimension(one.unit) in ("mass", "volume"))
    off = desk.take(lambda one: dimension(one.unit) in ("mass", "volume"))
    if left and not off:
        goal = desk.kg(left[0]) if dimension(left[0].unit) == "mass" else None
        if goal is None:
            raise Stop(Ask("Weigh what is left: a volume shrinks as it cools. What does it weigh?"))
        gone = vessel.holds.mass - goal
    elif off and not left:
        gone = desk.kg(off[0], WATER_20)
    else:
        raise ask_for(desk, "amount", "How much water steamed off, or what does it weigh now?")
    if not 0 < gone <= vessel.holds.water:
        raise Stop(Refuse(f"The {vessel.label} holds {weighed(vessel.holds)}: so much cannot have steamed off."))
    desk.enter(ev.Boil(vessel_batch(desk), desk.day, desk.said, vessel.label, gone))
    desk.notes.append(
        Note("Salt stays while water goes, and some of a vinegar goes with it: measure the pH when it is cool.")
    )


SLACK = 0.05
"""Share of a batch that two weighings may differ by without a word (common practice, no source)."""


def weighed_in(desk: Desk) -> None:
    """The sauce on the scales, or in a jug: what the account has too much is lost, if it is little."""
    vessel = desk.source()
    held = vessel.holds
    found = desk.take(lambda one: dimension(one.unit) in ("mass", "volume") and not nouns(one) & {"@vessel"})
    if len(found) != 1:
        raise Stop(Ask("What does all of it weigh? Say one weight, or one volume."))
    mass = desk.kg(found[0], held.density if held.mass > made.TRACE else 0.0)
    off = held.mass - mass
    if abs(off) > SLACK * held.mass:
        text = found[0].text.strip()
        if off < 0:
            raise Stop(
                Ask(
                    f"The {vessel.label} holds {weighed(held)} by the account, and {text} is more. What else went in? "
                    f'Say, for example, "added {number(-1000 * off, 3)} g of water"; nothing is entered.'
                )
            )
        lost = f"{number(1000 * off, 3)} g"
        raise Stop(
            Ask(
                f"The {vessel.label} holds {weighed(held)} by the account, {lost} more than {text}. What became of "
                f'that? Say "strained it, {text} of sauce", "took {lost} out" or "spilt {lost}"; nothing is entered.'
            )
        )
    number_ = vessel_batch(desk)
    desk.enter(ev.Remark(number_, desk.day, desk.said, desk.said))
    if off > made.TRACE:
        desk.enter(ev.Take(number_, desk.day, desk.said, vessel.label, "not accounted for", mx.draw(held, off)[0]))


def bottled(desk: Desk) -> None:
    """Bottles filled: how many of what size."""
    desk.vessels = [one for one in desk.vessels if one.term != "bottle"]
    vessel = desk.source()
    counts = desk.take(lambda one: not one.unit)
    sizes = desk.take(lambda one: dimension(one.unit) == "volume")
    if not counts and len(sizes) == 1:  # "bottled 2 L": into what, nobody said
        try:
            mix, _ = mx.draw_volume(vessel.holds, desk.litres(sizes[0]))
        except (ValueError, ZeroDivisionError):
            raise Stop(
                Refuse(f"There is not so much in the {vessel.label}: it holds {weighed(vessel.holds)}.")
            ) from None
        desk.enter(ev.Bottle(vessel_batch(desk), desk.day, desk.said, vessel.label, 0, 0.0, mix))
        return
    if len(counts) != 1 or len(sizes) != 1:
        raise ask_for(desk, "amount", 'How many bottles, of what size? Say, for example, "12 of 150 mL".')
    count, size = counts[0].value, desk.litres(sizes[0])
    if count != int(count) or count < 1:
        raise Stop(Ask(f'"{counts[0].text}" is no number of bottles.'))
    if vessel.holds.mass <= made.TRACE:
        raise Stop(Refuse(f"The {vessel.label} is empty: there is nothing to bottle."))
    try:
        mix, _ = mx.draw_volume(vessel.holds, count * size)
    except (ValueError, ZeroDivisionError):
        take, have = f"{count * size:.3g} L", f"{vessel.holds.volume:.3g} L"
        raise Stop(
            Refuse(
                f"{int(count)} bottles of {1000 * size:.4g} mL take {take}, and the {vessel.label} holds about {have}. "
                "Count again."
            )
        ) from None
    desk.enter(ev.Bottle(vessel_batch(desk), desk.day, desk.said, vessel.label, int(count), size, mix))


def closed(desk: Desk) -> None:
    """The batch is over."""
    out = any(
        word in desk.said.lower() for word in ("threw", "bin", "chuck", "compost", "ditch", "dump", "poured", "tipped")
    )
    desk.enter(ev.Close(vessel_batch(desk), desk.day, desk.said, "thrown out" if out else "finished"))


def called(desk: Desk) -> None:
    """A name for the batch."""
    desk.enter(ev.Call(vessel_batch(desk), desk.day, desk.said, desk.reading.free[:60]))


def noted(desk: Desk) -> None:
    """A remark."""
    desk.enter(ev.Remark(vessel_batch(desk), desk.day, desk.said, desk.reading.free or desk.said))


DEEDS: dict[str, Callable[[Desk], None]] = {
    "begun": begun, "packed": added, "added": added, "topped": added, "moved": moved, "joined": joined, "split": split,
    "sampled": sampled, "spilt": spilt, "skimmed": skimmed, "strained": strained, "boiled": boiled,
    "bottled": bottled, "closed": closed, "call": called, "note": noted,
    "weighed": weighed_in,
}  # fmt: skip
"""What each deed of the vocabulary enters."""


def current(batch: Batch, touched: list[str]) -> list[Vessel]:
    """The vessels that a line changed and that hold something, in order."""
    names = dict.fromkeys(touched)
    return [one for one in batch.full if one.label in names]
