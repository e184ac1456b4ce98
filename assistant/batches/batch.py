"""A batch as its events make it: what is in which vessel, how old its parts are, its readings.

``apply`` takes one event more. An event that cannot be (more taken than there is) changes
nothing but is remembered in ``odd``: undoing an early event may make a later one so.
"""

from __future__ import annotations

import datetime
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from typing import Any

from assistant.batches import events as ev
from assistant.trade.mixture import NOTHING, Mixture, from_dict, merge

COURSE = 2000
"""Readings kept one by one; of older ones a day's highest and lowest."""

TRACE = 1e-6
"""kg under which a vessel is empty."""


@dataclass(frozen=True)
class Portion:
    """Raw produce that went in on a day: its kind (a term of the vocabulary or a name) and kg."""

    day: datetime.date
    what: str
    mass: float


@dataclass(frozen=True)
class Vessel:
    """A vessel and what it holds. ``portions`` are the raw produce in it, the oldest first."""

    place: ev.Place
    holds: Mixture = NOTHING
    portions: tuple[Portion, ...] = ()
    last_in: str = ""

    @property
    def label(self) -> str:
        """What it is called."""
        return self.place.label

    @property
    def youngest(self) -> Portion | None:
        """The last raw produce that went in."""
        return max(self.portions, key=lambda one: one.day, default=None)


@dataclass(frozen=True)
class Point:
    """One reading of a vessel."""

    day: datetime.date
    value: float
    method: str = ""
    calibrated: str = ""
    vessel: str = ""
    error: float = 0.0


@dataclass(frozen=True)
class Addition:
    """What went in, as it is shown and repeated: the day, the name, and the mixture."""

    day: datetime.date
    what: str
    mix: Mixture
    fresh: bool = False
    produce: str = ""


@dataclass(frozen=True)
class Batch:
    """One batch. ``current`` is the vessel last spoken of; ``taken`` is all that left it, by what became of it."""

    number: int
    name: str = ""
    began: datetime.date = datetime.date.min
    last: datetime.date = datetime.date.min
    vessels: tuple[Vessel, ...] = ()
    current: str = ""
    added: tuple[Addition, ...] = ()
    taken: tuple[tuple[str, Mixture], ...] = ()
    ph: tuple[Point, ...] = ()
    warmth: tuple[Point, ...] = ()
    remarks: tuple[tuple[datetime.date, str], ...] = ()
    bottles: tuple[tuple[datetime.date, int, float], ...] = ()
    moved: datetime.date | None = None
    closed: str = ""
    odd: tuple[str, ...] = ()
    count: int = 0
    """How many events made it."""
    heated: tuple[ev.Heat, ...] = ()
    walked: ev.Walked | None = None
    held: bool = False
    """Whether the last heating was enough, and nothing went in after it."""

    @property
    def title(self) -> str:
        """Its name, or its number."""
        return self.name or f"batch {self.number}"

    @property
    def full(self) -> tuple[Vessel, ...]:
        """The vessels that hold something."""
        return tuple(one for one in self.vessels if one.holds.mass > TRACE)

    @property
    def holds(self) -> Mixture:
        """All that it is now, in every vessel."""
        return merge(*(one.holds for one in self.vessels))

    @property
    def went_in(self) -> Mixture:
        """All that was ever put in."""
        return merge(*(one.mix for one in self.added))

    @property
    def came_out(self) -> Mixture:
        """All that was ever taken out."""
        return merge(*(mix for _, mix in self.taken))

    @property
    def youngest(self) -> Portion | None:
        """The last raw produce in any vessel."""
        found = [one.youngest for one in self.full]
        return max((one for one in found if one is not None), key=lambda one: one.day, default=None)

    @property
    def kinds(self) -> tuple[str, ...]:
        """The produce in it, by terms."""
        return tuple(dict.fromkeys(one.produce for one in self.added if one.produce))

    def vessel(self, label: str) -> Vessel | None:
        """The vessel of that name; "" is the current one."""
        wanted = label or self.current
        return next((one for one in self.vessels if one.label == wanted), None)


@dataclass(frozen=True)
class Account:
    """A batch with the events that are still at hand, so that one can be taken back.

    ``base`` is the batch up to and with event ``upto`` of the book (a checkpoint); ``tail``
    holds everything after.
    """

    now: Batch
    base: Batch
    upto: int = 0
    tail: tuple[tuple[int, ev.Event], ...] = ()

    def with_event(self, seq: int, event: ev.Event) -> Account:
        """One event more.

        Raises:
            LookupError: it undoes one that lies before the checkpoint.
        """
        tail = (*self.tail, (seq, event))
        if isinstance(event, ev.Undo | ev.Redo):
            known = {one for one, _ in tail}
            if not known.issuperset(event.of):
                raise LookupError("too far back")
            return replace(self, now=fold(self.base, live(tail)), tail=tail)
        return replace(self, now=apply(self.now, event), tail=tail)

    @property
    def live(self) -> tuple[tuple[int, ev.Event], ...]:
        """The events at hand that count."""
        return live(self.tail)


def opened(number: int) -> Account:
    """The account of a batch of which nothing is known yet."""
    return Account(Batch(number), Batch(number))


def live(tail: Iterable[tuple[int, ev.Event]]) -> tuple[tuple[int, ev.Event], ...]:
    """The events that count: undone ones and the undoing itself left out."""
    tail = tuple(tail)
    dead: set[int] = set()
    for _, event in tail:
        if isinstance(event, ev.Undo):
            dead |= set(event.of)
        elif isinstance(event, ev.Redo):
            dead -= set(event.of)
    return tuple((seq, event) for seq, event in tail if seq not in dead and not isinstance(event, ev.Undo | ev.Redo))


def fold(base: Batch, tail: Iterable[tuple[int, ev.Event]]) -> Batch:
    """A batch with these events applied in their order."""
    for _, event in tail:
        base = apply(base, event)
    return base


def apply(batch: Batch, event: ev.Event) -> Batch:
    """The batch after one more event; one that cannot be is remembered as odd and changes nothing else."""
    counted = replace(batch, count=batch.count + 1, last=max(batch.last, event.day))
    try:
        return _APPLY[type(event)](counted, event)
    except (ValueError, LookupError) as error:
        return replace(counted, odd=(*batch.odd, f"{event.day.isoformat()} {event.said or event.kind}: {error}"))


def _set(batch: Batch, vessel: Vessel) -> Batch:
    """The batch with this vessel as it is now, and as the current one."""
    others = [one for one in batch.vessels if one.label != vessel.label]
    at = next((index for index, one in enumerate(batch.vessels) if one.label == vessel.label), len(others))
    return replace(batch, vessels=(*others[:at], vessel, *others[at:]), current=vessel.label)


def _vessel(batch: Batch, label: str) -> Vessel:
    """The vessel named.

    Raises:
        LookupError: the batch has no such vessel.
    """
    found = batch.vessel(label)
    if found is None:
        raise LookupError(f"no vessel {label!r}")
    return found


def _out(vessel: Vessel, mix: Mixture) -> Vessel:
    """The vessel with something taken out; its portions shrink as its solids do."""
    left = vessel.holds.less(mix)
    before = vessel.holds.solids
    part = left.solids / before if before else 1.0
    kept = tuple(replace(one, mass=one.mass * part) for one in vessel.portions) if left.mass > TRACE else ()
    return replace(vessel, holds=left, portions=kept)


def _begin(batch: Batch, event: ev.Begin) -> Batch:
    if batch.vessels:
        raise ValueError("it was begun before")
    empty = Vessel(event.place)
    return replace(batch, name=event.name or batch.name, began=event.day, vessels=(empty,), current=empty.label)


def _add(batch: Batch, event: ev.Add) -> Batch:
    vessel = _vessel(batch, event.vessel)
    portions = vessel.portions
    if event.fresh:
        portions = _sorted((*portions, Portion(event.day, event.produce or event.what, event.mix.mass)))
    held = replace(vessel, holds=vessel.holds + event.mix, portions=portions, last_in=event.what)
    entry = Addition(event.day, event.what, event.mix, event.fresh, event.produce)
    return replace(_set(batch, held), added=(*batch.added, entry), held=False)


def _sorted(portions: Iterable[Portion]) -> tuple[Portion, ...]:
    return tuple(sorted(portions, key=lambda one: one.day))


def _take(batch: Batch, event: ev.Take) -> Batch:
    vessel = _out(_vessel(batch, event.vessel), event.mix)
    return replace(_set(batch, vessel), taken=_gone(batch, event.why or "taken", event.mix))


def _gone(batch: Batch, why: str, mix: Mixture) -> tuple[tuple[str, Mixture], ...]:
    """What left the batch, with more of it; one entry for each reason."""
    held = dict(batch.taken)
    held[why] = held.get(why, NOTHING) + mix
    return tuple(held.items())


def _move(batch: Batch, event: ev.Move) -> Batch:
    if not batch.vessels:
        raise LookupError("no vessel yet")
    sources = [_vessel(batch, event.vessel)] if event.vessel else list(batch.full)
    target = batch.vessel(event.to.label) or Vessel(event.to)
    for source in sources:
        if source.label == target.label:
            continue
        target = replace(
            target, holds=target.holds + source.holds, portions=_sorted((*target.portions, *source.portions))
        )
        batch = _set(batch, replace(source, holds=NOTHING, portions=()))
    return replace(_set(batch, target), moved=event.day)


def _share(batch: Batch, event: ev.Share) -> Batch:
    source = _vessel(batch, event.vessel)
    target = batch.vessel(event.to.label) or Vessel(event.to)
    if target.label == source.label:
        return _set(batch, target)
    left = _out(source, event.mix)
    part = event.mix.solids / source.holds.solids if source.holds.solids else 0.0
    moved = tuple(replace(one, mass=one.mass * part) for one in source.portions)
    batch = _set(batch, left)
    held = replace(target, holds=target.holds + event.mix, portions=_sorted((*target.portions, *moved)))
    return _set(batch, held)


def _boil(batch: Batch, event: ev.Boil) -> Batch:
    gone = Mixture(water=event.water)
    vessel = _vessel(batch, event.vessel)
    vessel = replace(vessel, holds=vessel.holds.less(gone))
    return replace(_set(batch, vessel), taken=_gone(batch, "steamed off", gone))


def _pour(batch: Batch, event: ev.Pour) -> Batch:
    vessel = _out(_vessel(batch, event.vessel), event.mix)
    return replace(_set(batch, vessel), taken=_gone(batch, f"poured into batch {event.into}", event.mix))


def _receive(batch: Batch, event: ev.Receive) -> Batch:
    what = f"from batch {event.source}"
    add = ev.Add(event.batch, event.day, event.said, event.vessel, what, event.mix, False, event.produce)
    batch = _add(batch, add)
    if not event.youngest:
        return batch
    vessel = _vessel(batch, event.vessel)
    part = Portion(datetime.date.fromisoformat(event.youngest), event.produce or what, event.mix.mass)
    return _set(batch, replace(vessel, portions=_sorted((*vessel.portions, part))))


def _read(batch: Batch, event: ev.Read) -> Batch:
    vessel = event.vessel or batch.current
    point = Point(event.day, event.value, event.method, event.calibrated, vessel, event.error)
    if event.of == "ph":
        return replace(batch, ph=_later(batch.ph, point))
    return replace(batch, warmth=_later(batch.warmth, point))


def _later(points: tuple[Point, ...], point: Point) -> tuple[Point, ...]:
    """The course with one reading more: what ``_course`` gives, without looking at all of them where it comes last."""
    if len(points) == COURSE or (points and point.day < points[-1].day):
        return _course((*points, point))
    if len(points) < COURSE:
        return (*points, point)
    # all the old ones are thinned already but for one, which was among the fresh until now
    at = len(points) - COURSE // 2
    first = at
    while first and points[first - 1].day == points[at].day:
        first -= 1
    row = [one for one in points[first : at + 1] if one.vessel == points[at].vessel]
    ends = {id(end(row, key=lambda one: one.value)) for end in (min, max)}
    kept = (one for one in points[first : at + 1] if one.vessel != points[at].vessel or id(one) in ends)
    return (*points[:first], *kept, *points[at + 1 :], point)


def _course(points: tuple[Point, ...]) -> tuple[Point, ...]:
    """Readings by day; of the oldest of too many only each day's highest and lowest."""
    points = tuple(sorted(points, key=lambda one: one.day))
    if len(points) <= COURSE:
        return points
    old, fresh = points[: -COURSE // 2], points[-COURSE // 2 :]
    rows: dict[tuple[datetime.date, str], list[Point]] = {}
    for one in old:
        rows.setdefault((one.day, one.vessel), []).append(one)
    ends = {id(end(row, key=lambda p: p.value)) for row in rows.values() for end in (min, max)}
    return (*(one for one in old if id(one) in ends), *fresh)


def _heat(batch: Batch, event: ev.Heat) -> Batch:
    return replace(
        batch, heated=(*batch.heated, replace(event, said="", vessel=event.vessel or batch.current)), held=event.enough
    )


def _walked(batch: Batch, event: ev.Walked) -> Batch:
    return replace(batch, walked=replace(event, said=""))


def _remark(batch: Batch, event: ev.Remark) -> Batch:
    return replace(batch, remarks=(*batch.remarks, (event.day, event.text)))


def _call(batch: Batch, event: ev.Call) -> Batch:
    return replace(batch, name=event.name)


def _bottle(batch: Batch, event: ev.Bottle) -> Batch:
    vessel = _out(_vessel(batch, event.vessel), event.mix)
    filled = (*batch.bottles, (event.day, event.count, event.size))
    return replace(_set(batch, vessel), bottles=filled, taken=_gone(batch, "bottled", event.mix))


def _close(batch: Batch, event: ev.Close) -> Batch:
    return replace(batch, closed=event.why or "done")


_APPLY: dict[type[ev.Event], Callable[[Batch, Any], Batch]] = {
    ev.Begin: _begin, ev.Add: _add, ev.Take: _take, ev.Move: _move, ev.Share: _share, ev.Boil: _boil,
    ev.Pour: _pour, ev.Receive: _receive, ev.Read: _read, ev.Heat: _heat, ev.Remark: _remark,
    ev.Call: _call, ev.Walked: _walked,
    ev.Bottle: _bottle, ev.Close: _close,
}  # fmt: skip


# a checkpoint as plain data --------------------------------------------------------------------


def to_json(batch: Batch) -> dict[str, Any]:
    """A batch as plain data, for a checkpoint."""
    return {
        "number": batch.number, "name": batch.name, "began": batch.began.isoformat(), "last": batch.last.isoformat(),
        "vessels": [
            {
                "place": [one.place.label, one.place.term, one.place.capacity], "holds": one.holds.as_dict(),
                "portions": [[p.day.isoformat(), p.what, p.mass] for p in one.portions], "last_in": one.last_in,
            }
            for one in batch.vessels
        ],
        "current": batch.current,
        "added": [[a.day.isoformat(), a.what, a.mix.as_dict(), a.fresh, a.produce] for a in batch.added],
        "taken": [[why, mix.as_dict()] for why, mix in batch.taken],
        "ph": [_point(one) for one in batch.ph], "warmth": [_point(one) for one in batch.warmth],
        "remarks": [[day.isoformat(), text] for day, text in batch.remarks],
        "bottles": [[day.isoformat(), count, size] for day, count, size in batch.bottles],
        "held": batch.held,
        "walked": ev.to_json(batch.walked) if batch.walked is not None else None,
        "heated": [ev.to_json(one) for one in batch.heated],
        "moved": batch.moved.isoformat() if batch.moved else "", "closed": batch.closed, "odd": list(batch.odd),
        "count": batch.count,
    }  # fmt: skip


def _point(one: Point) -> list[Any]:
    plain: list[Any] = [one.day.isoformat(), one.value, one.method, one.calibrated, one.vessel]
    return [*plain, one.error] if one.error else plain


def _as_walked(data: dict[str, Any] | None) -> ev.Walked | None:
    event = ev.from_json(data) if data else None
    return event if isinstance(event, ev.Walked) else None


def from_json(data: dict[str, Any]) -> Batch:
    """A batch from a checkpoint.

    Raises:
        KeyError, TypeError, ValueError: it is none.
    """
    day = datetime.date.fromisoformat
    return Batch(
        data["number"], data["name"], day(data["began"]), day(data["last"]),
        tuple(
            Vessel(
                ev.Place(*one["place"]), from_dict(one["holds"]),
                tuple(Portion(day(when), what, mass) for when, what, mass in one["portions"]), one["last_in"],
            )
            for one in data["vessels"]
        ),
        data["current"],
        tuple(Addition(day(when), what, from_dict(mix), *rest) for when, what, mix, *rest in data["added"]),
        tuple((why, from_dict(mix)) for why, mix in data["taken"]),
        tuple(Point(day(when), *rest) for when, *rest in data["ph"]),
        tuple(Point(day(when), *rest) for when, *rest in data["warmth"]),
        tuple((day(when), text) for when, text in data["remarks"]),
        tuple((day(when), count, size) for when, count, size in data["bottles"]),
        day(data["moved"]) if data["moved"] else None, data["closed"], tuple(data["odd"]), data["count"],
        tuple(one for row in data.get("heated", ()) if isinstance(one := ev.from_json(row), ev.Heat)),
        _as_walked(data.get("walked")), data.get("held", False),
    )  # fmt: skip
