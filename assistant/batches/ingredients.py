"""What a batch is made of, ingredient by ingredient, followed through all that was done with it.

The account keeps components (water, salt, solids), a label needs what was bought: chillies, water, vinegar. Here
every vessel's content is the sum of such parts, and what leaves takes of each:

- a sample, a spill, a bottle, a pot of several: the same share of every part;
- brine drawn off from between the pieces: salt, acid and sugar that was put in by what the brine holds of each, and
  for the rest of its weight the water that was put in; the produce keeps the weight it went in with, because pieces
  take up brine as they give up juice. Only when no such water is left is it juice;
- wet pulp: a share of every part for its liquor, and of the produce what it weighs beyond that;
- steam: plain water that was put in, then that of a vinegar or honey, then juice.

So water counts as what is left of the whole when every other ingredient is taken off it, which is how added water is
counted in the EU (WATER_RULE); US law says "predominance by weight" and no more. ``mixed`` counts the other way: the
juice and the water that was put in are one, and what leaves takes of both alike.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace

from assistant.batches import events as ev
from assistant.batches.batch import Batch, apply, live
from assistant.declare import Source
from assistant.trade.mixture import COMPONENTS, NOTHING, Mixture, merge
from grammar.later import regex

WATER_RULE = Source(
    "Regulation (EU) 1169/2011, Annex VII Part A(1): added water is the finished weight less all other ingredients",
    seen=False,
)

UNKNOWN_PRODUCE = "produce (its kind is not known)"
"""Produce that nobody named."""
UNKNOWN_BATCH = "what came from batch {} (its parts are not known)"
"""What another batch brought of which nothing is at hand."""

WATER, SALT = "water", "salt"
TRACE = 1e-7
"""kg under which a part is none."""

_BRINE = regex(r"\bbrine$")
_VINEGAR = regex(
    r"\b((?:apple cider|cider|rice|red wine|white wine|wine|malt|spirit|distilled white|distilled|white) vinegar)\b",
    re.IGNORECASE,
)
_GUM = regex(r"\b(xanthan|xantham|guar)\b", re.IGNORECASE)

Events = Sequence[tuple[int, ev.Event]]
"""Events with their places in the book."""


@dataclass(frozen=True)
class Part:
    """One ingredient: what of it is there."""

    name: str
    mix: Mixture

    @property
    def loose(self) -> bool:
        """Whether it goes where the brine goes: it has no solids of its own."""
        return not self.mix.solids


Parts = tuple[Part, ...]


@dataclass(frozen=True)
class Fill:
    """Bottles filled: from which vessel, and what is in all of them together; ``seq`` is its place in the book."""

    seq: int
    event: ev.Bottle
    vessel: str
    parts: Parts


@dataclass(frozen=True)
class Ledger:
    """The parts of every vessel and of every filling; ``order`` are all names in the order of going in."""

    pots: dict[str, Parts]
    fills: tuple[Fill, ...] = ()
    order: tuple[str, ...] = ()
    drawn: bool = False
    """Whether brine, pulp or steam left it: then how the water is counted matters."""


Others = Callable[[int], Events | None]
"""The events of another batch; None where they are not at hand."""


def added(event: ev.Add) -> Parts:
    """What an addition is on a label: brine is water and salt, a vinegar or a gum goes by the kind that was said."""
    mix, said = event.mix, " ".join(event.said.split())
    if _BRINE.search(event.what):
        return Part(WATER, replace(mix, salt=0.0)), Part(SALT, Mixture(salt=mix.salt))
    if event.what.endswith("vinegar"):
        kinds = {one.lower() for one in _VINEGAR.findall(said)}
        return (Part(kinds.pop() if len(kinds) == 1 else "vinegar", mix),)
    if event.what == "gum":
        gums = {"guar" if one.lower() == "guar" else "xanthan" for one in _GUM.findall(said)}
        return (Part(f"{gums.pop()} gum" if len(gums) == 1 else "gum", mix),)
    if event.what == "produce":
        return (Part(UNKNOWN_PRODUCE, mix),)
    return (Part(event.what, mix),)


def together(*several: Parts) -> Parts:
    """Parts poured together; those of one name are one."""
    found: dict[str, Mixture] = {}
    for parts in several:
        for one in parts:
            found[one.name] = found.get(one.name, NOTHING) + one.mix
    return tuple(Part(name, mix) for name, mix in found.items() if mix.mass > TRACE)


def removed(parts: Parts, held: Mixture, taken: Mixture, *, mixed: bool = False) -> tuple[Parts, Parts]:
    """What of the parts leaves with ``taken`` and what is left, as the module's words say.

    Args:
        parts: what the vessel holds, part by part; together they weigh what ``held`` does.
        held: the same by the account.
        taken: what leaves, by the account.
        mixed: juice and water are one.
    """
    shares = {name: _part(getattr(taken, name), getattr(held, name)) for name in COMPONENTS}
    if mixed:
        left = [_scaled(one.mix, {name: 1 - shares[name] for name in COMPONENTS}) for one in parts]
        return _apart(parts, left)
    base = min(shares["water"], shares["solids"] if held.solids else 1.0)
    base = base if held.water else _part(taken.mass, held.mass)
    left = [one.mix.share(1 - base) for one in parts]
    rest = {name: max(0.0, getattr(taken, name) - base * getattr(held, name)) for name in COMPONENTS}
    owed = rest.pop("water")
    for name, gone in rest.items():
        loose = sum(getattr(mix, name) for one, mix in zip(parts, left, strict=True) if one.loose)
        whole = sum(getattr(mix, name) for mix in left)
        bound = name in ("solids", "capsaicinoids", "other")
        mine = gone if bound else gone * _part(loose, whole)
        keep = 1 - _part(mine, whole if bound else loose)
        left = [
            replace(mix, **{name: keep * getattr(mix, name)}) if bound or one.loose else mix
            for one, mix in zip(parts, left, strict=True)
        ]
        owed += gone - mine
    if not any(rest.values()):  # steam: the plain water before a vinegar's
        plain = sum(mix.water for one, mix in zip(parts, left, strict=True) if one.name == WATER)
        keep = 1 - _part(min(owed, plain), plain)
        left = [mix.share(keep) if one.name == WATER else mix for one, mix in zip(parts, left, strict=True)]
        owed -= min(owed, plain)
    wet = sum(mix.water for one, mix in zip(parts, left, strict=True) if one.loose)
    keep = 1 - _part(min(owed, wet), wet)
    left = [replace(mix, water=keep * mix.water) if one.loose else mix for one, mix in zip(parts, left, strict=True)]
    juice = sum(mix.water for one, mix in zip(parts, left, strict=True) if not one.loose)
    keep = 1 - _part(max(0.0, owed - wet), juice)
    left = [mix if one.loose else replace(mix, water=keep * mix.water) for one, mix in zip(parts, left, strict=True)]
    # sugar that went with the brine was charged to its water: a last remainder is everybody's
    stays, want = merge(*left).mass, mass(parts) - taken.mass
    left = [mix.share(_part(want, stays)) for mix in left]
    return _apart(parts, left)


def _part(some: float, whole: float) -> float:
    return min(max(some / whole, 0.0), 1.0) if whole > 0 else 0.0


def _scaled(mix: Mixture, by: dict[str, float]) -> Mixture:
    return Mixture(**{name: by[name] * getattr(mix, name) for name in COMPONENTS})


def _apart(parts: Parts, left: list[Mixture]) -> tuple[Parts, Parts]:
    out = (Part(one.name, one.mix.less(mix)) for one, mix in zip(parts, left, strict=True))
    stays = (Part(one.name, mix) for one, mix in zip(parts, left, strict=True))
    return together(tuple(out)), together(tuple(stays))


def _drawn(held: Mixture, taken: Mixture) -> bool:
    """Whether more or less of the water left than of the solids."""
    return abs(_part(taken.water, held.water) - _part(taken.solids, held.solids)) > 1e-6 and held.solids > 0


def ledger(events: Events, others: Others = lambda number: None, *, mixed: bool = False) -> Ledger:
    """The parts of a batch after its events.

    Args:
        events: all of them, from the first on; those taken back count for nothing.
        others: the events of the batches that were poured into it.
        mixed: see ``removed``.
    """
    batch = Batch(events[0][1].batch if events else 0)
    found = Ledger({})
    for seq, event in live(events):
        after = apply(batch, event)
        if len(after.odd) == len(batch.odd):
            found = _next(found, batch, (seq, event), others, mixed=mixed)
        batch = after
    return found


def _next(now: Ledger, batch: Batch, entry: tuple[int, ev.Event], others: Others, *, mixed: bool) -> Ledger:
    """The ledger after one event more; the batch is as it was before it."""
    seq, event = entry
    if isinstance(event, ev.Move):
        return _moved(now, batch, event)
    vessel = batch.vessel(getattr(event, "vessel", ""))
    if vessel is None:
        return now
    here = now.pots.get(vessel.label, ())
    if isinstance(event, ev.Add | ev.Receive):
        new = added(event) if isinstance(event, ev.Add) else _received(event, seq, others, mixed)
        order = tuple(dict.fromkeys((*now.order, *(one.name for one in new))))
        return replace(now, pots={**now.pots, vessel.label: together(here, new)}, order=order)
    mix = Mixture(water=event.water) if isinstance(event, ev.Boil) else getattr(event, "mix", None)
    if mix is None or (isinstance(event, ev.Share) and event.to.label == vessel.label):
        return now
    out, left = removed(here, vessel.holds, mix, mixed=mixed)
    now = replace(now, pots={**now.pots, vessel.label: left}, drawn=now.drawn or _drawn(vessel.holds, mix))
    if isinstance(event, ev.Bottle) and mass(out) > TRACE:
        return replace(now, fills=(*now.fills, Fill(seq, event, vessel.label, out)))
    if isinstance(event, ev.Share):
        label = event.to.label
        return replace(now, pots={**now.pots, label: together(now.pots.get(label, ()), out)})
    return now


def _moved(now: Ledger, batch: Batch, event: ev.Move) -> Ledger:
    pots, target = dict(now.pots), event.to.label
    for label in [event.vessel] if event.vessel else [one.label for one in batch.full]:
        if label != target:
            pots[target] = together(pots.get(target, ()), pots.pop(label, ()))
    return replace(now, pots=pots)


def _received(event: ev.Receive, seq: int, others: Others, mixed: bool) -> Parts:
    """The parts of what was poured in, from the account of the batch it came from."""
    theirs = others(event.source)
    unknown = (Part(UNKNOWN_BATCH.format(event.source), event.mix),)
    before = [one for one in theirs or () if one[0] < seq]
    pours = [
        at
        for at, (_, one) in enumerate(before)
        if isinstance(one, ev.Pour) and one.into == event.batch and one.mix == event.mix and one.day == event.day
    ]
    if not pours:
        return unknown
    pour = before[pours[-1]][1]
    assert isinstance(pour, ev.Pour)
    earlier = before[: pours[-1]]
    source = Batch(event.source)
    for _, one in live(earlier):
        source = apply(source, one)
    vessel = source.vessel(pour.vessel)
    if vessel is None:
        return unknown
    pots = ledger(earlier, others, mixed=mixed).pots
    out, _ = removed(pots.get(vessel.label, ()), vessel.holds, pour.mix, mixed=mixed)
    return out if abs(mass(out) - event.mix.mass) < 1e-6 * max(event.mix.mass, 1.0) else unknown


def mass(parts: Iterable[Part]) -> float:
    """What parts weigh together, in kg."""
    return merge(*(one.mix for one in parts)).mass


UNSURE = 0.01
"""By how much of the heavier two weights must differ to be told apart: what the account is good to, by the tables."""


def ranked(parts: Parts, order: Sequence[str]) -> Parts:
    """The heaviest first; weights that cannot be told apart (UNSURE) in the order of going in."""
    place = {name: at for at, name in enumerate(order)}
    falling = sorted(parts, key=lambda one: (-one.mix.mass, place.get(one.name, len(place))))
    rows: list[list[Part]] = []
    for one in falling:
        if rows and one.mix.mass >= rows[-1][0].mix.mass * (1 - UNSURE) - 1e-12:
            rows[-1].append(one)
        else:
            rows.append([one])
    return tuple(one for row in rows for one in sorted(row, key=lambda each: place.get(each.name, len(place))))
