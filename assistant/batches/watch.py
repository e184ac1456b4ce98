"""How a batch is doing: its pH course, its warmth, its salt and its air, and what to say about them.

The same instrument at another hour is off by another amount, so a reading proves a pH below
4.6 only with its whole error added, only if it was taken on a later day than the last thing
that can raise the pH went in, and only in the vessel that holds the batch now. Bad news goes
the other way: a reading that shows a batch failed follows what was in the vessel, wherever
it may have gone, and a later good one does not undo it. pH values are never averaged.
"""

from __future__ import annotations

import bisect
import datetime
import functools
import itertools
import statistics
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from assistant.batches import events as ev
from assistant.batches.batch import TRACE, Addition, Batch, Point, Vessel, apply
from assistant.rules import Facts, Rule, cautions
from assistant.rules.watch import LATE, RULES, SCALE, STRIP_ERROR, above, below, error, unlikely
from assistant.trade.mixture import SALT_TOTAL, Mixture
from grammar.later import regex

WEEKS = ((21.0, 3), (18.0, 4), (15.5, 5))
"""Weeks from the youngest produce to straining, at so many degrees C or more.

USDA Complete Guide to Home Canning (AIB 539), Guide 6: 3 to 4 weeks at 70 to 75 F (21 to
24 C), 5 to 6 at 60 to 65 F (16 to 18 C). Between the two, the longer of the warm weeks.
"""
COLDER_WEEKS = 6
UNKNOWN_WEEKS = 4
"""Where nobody said how warm it stands: the longer of 3 to 4."""

APART = datetime.timedelta(LATE)
STILL = 0.1
"""Two readings a week apart within this show that the pH stands still (common practice, no source)."""
RECENT = 7
"""Days that a temperature reading speaks for (common practice, no source)."""

SWEET = ("sugar", "honey")
"""What is put in that yeasts live on."""

_DAY = datetime.timedelta(1)
_FROM_BATCH = regex(r"from batch \d+")


# what is seen on it ----------------------------------------------------------------------------

_SPOTS = r"(?:spots?|dots?|specks?|patch(?:es)?|growths?|films?|skins?|fuzz|colon(?:y|ies)|islands?|rings?|circles?)"
_MOULD = (
    rf"(?:mou?ld(?:s|y|ed)?|fuzz(?:y|ies)?|furry|fur|hairy|(?:green|blue|black|pink|orange|gr[ae]y)(?: \w+)? {_SPOTS}"
    r"|red (?:film|skin|growth|patch|fuzz)\w*)"
)
_SPOILT = (
    r"(?:rott(?:en|ing)(?! eggs?)|putrid|slim(?:y|e)|rop[ey]y|(?:gone|went|going|turned|turning|turns|is|it's) pink"
    r"|spoil(?:t|ed)|gone off|(?:smells?|smelling|stinks?) (?:bad|foul|off|putrid|of sewage|of vomit)|stinks)"
)
_FILM = (
    r"(?:(?<!cling )(?<!plastic )(?<!food )films?(?! wrap)|kahm|pellicles?|scum|yeast (?:layer|skin|growth)"
    r"|(?:white|wrinkl(?:y|ed)|thin|creamy) (?:\w+ )?(?:skin|layer|growth|spots?|patch(?:es)?)"
    r"|skin on (?:the )?(?:top|surface)|surface growth|growth on (?:the )?(?:top|surface))"
)
_PRESSURE = r"(?:bulg(?:es|ed|ing)|swell(?:s|ing)|swollen|domed|puffed up)"
_FILLER = r"(?:(?:any|visible|obvious|signs? of|traces? of|sight of|a|the|bit of|white|green|fuzzy|surface) )*"
_NONE = regex(
    rf"\b(?:no|without|not|isn't|nor|free of)(?: yet)? {_FILLER}(?:{_MOULD}|{_SPOILT}|{_FILM}|{_PRESSURE})\b"
    rf"(?: ?(?:or|nor) {_FILLER}(?:{_MOULD}|{_SPOILT}|{_FILM})\b)*"
)
_SEEN = {
    name: regex(rf"\b{pattern}\b")
    for name, pattern in (("mould", _MOULD), ("spoilt", _SPOILT), ("film", _FILM), ("pressure", _PRESSURE))
}


def seen(text: str) -> frozenset[str]:
    """What a remark says was seen: "mould", "spoilt", "film", "pressure". In doubt mould; "no mould" is none."""
    words = _NONE.sub(" ", " ".join(text.lower().replace("’", "'").split()))
    return frozenset(name for name, pattern in _SEEN.items() if pattern.search(words))


def _growth(batch: Batch) -> dict[str, datetime.date]:
    """What was seen on the batch, with the last day of each."""
    found: dict[str, datetime.date] = {}
    for day, text in batch.remarks:
        for one in seen(text):
            found[one] = max(day, found.get(one, day))
    return found


# the course of one vessel ----------------------------------------------------------------------


def _last_up_to(days: tuple[datetime.date, ...], day: datetime.date) -> datetime.date | None:
    """The last of the sorted days that is not after this one."""
    there = bisect.bisect_right(days, day)
    return days[there - 1] if there else None


@dataclass(frozen=True)
class _Course:
    """What bears on the readings of a vessel; its days are sorted.

    ``fresh`` are the days on which raw produce went in, the oldest first, ``other`` those of
    cooked or sweet things and of parts of other batches; all of them make older readings void.
    """

    fresh: tuple[datetime.date, ...]
    other: tuple[datetime.date, ...]
    plain: bool

    def youngest(self, day: datetime.date) -> datetime.date | None:
        """The last day, up to this one, on which raw produce went in."""
        return _last_up_to(self.fresh, day)

    def since(self, day: datetime.date) -> datetime.date | None:
        """The last day, up to this one, on which anything went in that makes older readings void."""
        found = [one for one in (_last_up_to(self.fresh, day), _last_up_to(self.other, day)) if one is not None]
        return max(found, default=None)

    def topped(self, day: datetime.date) -> int | None:
        """Days since something other than raw produce went in, if that was the last thing."""
        since = self.since(day)
        return None if since is None or since == self.youngest(day) else (day - since).days

    def topped_before(self, day: datetime.date) -> int | None:
        """The same, of what went in on an earlier day than this one."""
        earlier = self.topped(day - _DAY)
        return None if earlier is None else earlier + 1

    def oldest(self, day: datetime.date, shown: datetime.date | None) -> int:
        """Days that the oldest produce has been in that no reading showed below 4.6 (the last that did: ``shown``)."""
        there = bisect.bisect_right(self.fresh, day)
        waiting = bisect.bisect_left(self.fresh, shown or datetime.date.min, 0, there)
        return (day - self.fresh[min(waiting, there - 1)]).days if there else 0


@dataclass(frozen=True)
class _State:
    """Where a course stands.

    ``proof`` is the reading that shows what is in the vessel below 4.6, ``shown`` the last day
    one did, ``lowest`` the one that a rise is measured from, ``fell`` whether any since the last
    that went in was below 4.6, ``failed`` the first that was not after a week.
    """

    proof: Point | None = None
    shown: datetime.date | None = None
    lowest: Point | None = None
    fell: bool = False
    failed: Point | None = None


def _error(point: Point) -> float:
    return error(point.method, point.calibrated, point.error)


def _void(point: Point) -> bool:
    return _error(point) == SCALE


def _calibrated(point: Point) -> bool:
    return point.method != "strip" and point.calibrated == "yes"


def _below(point: Point) -> bool:
    return below(point.value, _error(point))


def _believed(course: _Course, point: Point) -> bool:
    age = (point.day - course.fresh[0]).days if course.fresh else LATE
    return not _void(point) and not unlikely(point.value, point.calibrated, course.plain, age)


def _counts(course: _Course, point: Point) -> bool:
    """Whether a reading says something of what was in the vessel: a day or more after the last that went in."""
    since = course.since(point.day)
    return since is not None and point.day > since


def _reach(point: Point) -> float:
    """The pH that it may be at most."""
    return point.value + _error(point)


def _nothing_new(state: _State, point: Point) -> bool:
    """Whether a coarse reading after a proof leaves the proof standing."""
    if state.proof is None:
        return False
    if _void(point):
        return below(point.value, 0.0)
    if point.method != "strip" or state.proof.method == "strip" or state.lowest is None:
        return False
    return point.value - _error(point) <= _reach(state.lowest) + 1e-9


def _opened(course: _Course, state: _State, day: datetime.date) -> _State:
    """The state on a day before its reading: what went in since has made older readings void."""
    since = course.since(day)
    # the lowest reading is from after the last restart but one: older than the last, all of them are
    if since is None or state.lowest is None or state.lowest.day > since:
        return state
    return replace(state, proof=None, lowest=None, fell=False)


def _after(course: _Course, state: _State, point: Point) -> _State:
    """The state after a reading.

    What went in on the day of the reading excuses nothing: it may have gone in after it.
    """
    state = _opened(course, state, point.day - _DAY)
    believed, counts = _believed(course, point), _counts(course, point)
    if believed and _below(point):
        # read on the day that more went in, it shows what was in before, not what is in now
        state = replace(state, shown=point.day)
        state = replace(state, proof=point, fell=True) if counts else state
    elif not _nothing_new(state, point):
        topped = course.topped_before(point.day)
        late = course.oldest(point.day, state.shown) >= LATE and (topped is None or topped >= LATE)
        sure = not _void(point) and above(point.value, _error(point))
        failed = point if state.failed is None and late and sure else state.failed
        state = replace(state, proof=None, failed=failed)
    lower = believed and counts and (state.lowest is None or _reach(point) < _reach(state.lowest))
    return replace(state, lowest=point) if lower else state


def _worst(points: Iterable[Point]) -> Point:
    """The reading of a day that counts: the highest.

    A meter reading calibrated that day puts right those told before it; a void one stands
    aside for any other, a strip for a meter that it does not contradict.
    """
    kept: list[Point] = []
    for one in points:
        if _calibrated(one):
            kept = [each for each in kept if _calibrated(each)]
        kept.append(one)
    kept = [one for one in kept if not _void(one)] or kept
    meters = [one for one in kept if one.method != "strip"]
    if meters:
        reach = max(map(_reach, meters))
        kept = [one for one in kept if one.method != "strip" or one.value - STRIP_ERROR > reach + 1e-9]
    return max(kept, key=lambda one: (one.value, _error(one)))


def _by_day(points: Iterable[Point]) -> list[Point]:
    """One reading for each day."""
    return [_worst(rows) for _, rows in itertools.groupby(points, key=lambda one: one.day)]


def _walk(course: _Course, points: Iterable[Point]) -> _State:
    """The state after all these readings."""
    return functools.reduce(functools.partial(_after, course), _by_day(points), _State())


def _found(batch: Batch, vessel: str) -> tuple[str, Vessel | None]:
    label = vessel or batch.current
    return label, batch.vessel(label)


def _course(batch: Batch, vessel: Vessel | None) -> _Course:
    fresh = {one.day for one in vessel.portions} if vessel is not None else set()
    fresh = fresh or {one.day for one in batch.added if one.fresh}
    if not fresh and batch.began != datetime.date.min:
        fresh = {batch.began}
    other = {one.day for one in batch.added if not one.fresh and _raises(one.what, one.mix)}
    holds = vessel.holds if vessel is not None else batch.holds
    return _Course(tuple(sorted(fresh)), tuple(sorted(other)), not (holds.acetic or holds.citric))


def _raises(what: str, mix: Mixture) -> bool:
    """Whether an addition can raise the pH, or feed what does: food, sweet things, another batch."""
    return mix.solids + mix.sugar + mix.other > TRACE or _FROM_BATCH.fullmatch(what) is not None


def _one_body(batch: Batch, vessel: Vessel | None) -> bool:
    """Whether all that the other vessel held was moved into this one, and nothing else went in."""
    two = len(batch.vessels) == 2 and vessel is not None
    return two and batch.moved is not None and batch.full == (vessel,) and not (vessel and vessel.last_in)


def _own(batch: Batch, label: str, points: Iterable[Point]) -> tuple[Point, ...]:
    """The readings that speak for what the vessel holds now."""
    if len(batch.vessels) <= 1:
        return tuple(points)
    moved = batch.moved if _one_body(batch, batch.vessel(label)) else None
    return tuple(one for one in points if one.vessel == label or (moved is not None and one.day <= moved))


def _failed(batch: Batch, course: _Course, own: Sequence[Point], state: _State) -> Point | None:
    """A reading that showed this, or what this may have been part of, failed: a week or more above 4.6.

    Of the vessel's ``own`` those that ``state`` is of. Another vessel's readings count up to the day of
    the first of its own: until then the two may have been one.
    """
    mine, known = {id(one) for one in own}, {one.label for one in batch.vessels}
    first = min((one.day for one in own), default=datetime.date.max)
    rows: dict[str, list[Point]] = {}
    for one in batch.ph:
        if id(one) not in mine and (one.vessel not in known or one.day <= first):
            rows.setdefault(f"in {one.vessel}", []).append(one)
    found = [state.failed, *(_walk(course, row).failed for row in rows.values())]
    return min((one for one in found if one is not None), key=lambda one: one.day, default=None)


# the facts -------------------------------------------------------------------------------------


def _told(point: Point) -> frozenset[str]:
    """How it was read, as words for the rules."""
    words = {"": "unsaid"}.get(point.method, point.method)
    calibrated = {"yes": "calibrated"}.get(point.calibrated, "")
    # a sample too warm or too young is no fault of the meter
    void = "flawed" if point.error >= SCALE else "void" if _void(point) else ""
    return frozenset({words, calibrated, void} - {""})


def _reading(course: _Course, before: _State, point: Point) -> dict[str, float]:
    """What a reading is worth against the course before it (days strictly earlier)."""
    day = point.day
    before = _opened(course, before, day - _DAY)
    after = _after(course, before, point)
    values = {
        "ph": point.value, "error": _error(point), "proven": float(after.proof is not None),
        "fell": float(before.fell), "plain": float(course.plain),
        "oldest": float(course.oldest(day, before.shown)),
    }  # fmt: skip
    if (youngest := course.youngest(day)) is not None:
        values |= {"day": float((day - youngest).days), "age": float((day - course.fresh[0]).days)}
    if (topped := course.topped(day)) is not None:
        values["topped"] = float(topped)
    if before.lowest is not None and not _void(point):
        low = before.lowest
        values |= {"before": low.value, "rise": point.value - low.value, "slack": _error(point) + _error(low)}
    return values


def _stable(course: _Course, points: Sequence[Point]) -> bool:
    """Whether the last meter reading is within 0.1 of one a week or more before, and of all between."""
    if not points:
        return False
    since = course.since(points[-1].day)
    rows = [one for one in points if since and one.day > since and one.method != "strip" and not _void(one)]
    if not rows:
        return False
    last = rows[-1]
    far = [index for index, one in enumerate(rows) if last.day - one.day >= APART]
    return bool(far) and all(abs(one.value - last.value) <= STILL + 1e-9 for one in rows[far[-1] :])


def _warmth(batch: Batch, label: str, since: datetime.date | None) -> float | None:
    """The median of the temperatures read since a day, degrees C."""
    rows = [one.value for one in _own(batch, label, batch.warmth) if since is None or one.day >= since]
    return statistics.median(rows) if rows else None


def _standing(batch: Batch, vessel: Vessel, course: _Course, state: _State, today: datetime.date) -> dict[str, float]:
    """What is so today of a vessel with something in it."""
    values: dict[str, float] = {}
    own = _own(batch, vessel.label, batch.ph)
    if course.fresh:
        youngest, since = course.fresh[-1], max((*course.fresh, *course.other))
        counted = [one.day for one in own if one.day > since and _believed(course, one)]
        waiting = [one for one in course.fresh if state.shown is None or one >= state.shown] or [youngest]
        values |= {
            "days": float((today - youngest).days), "portions": float(len(course.fresh)),
            "youngest": float(youngest.toordinal()), "waited": float((today - max((since, *counted))).days),
            "unproven": float((today - waiting[0]).days),
        }  # fmt: skip
        if counted:
            values["since_reading"] = float((today - max(counted)).days)
    unsalted = vessel.holds.mass - vessel.holds.salt
    if vessel.portions and unsalted > TRACE:
        values["salinity"] = SALT_TOTAL(vessel.holds)
    if vessel.place.capacity > 0:
        values["fill"] = vessel.holds.volume / vessel.place.capacity
    near = [one for one in _own(batch, vessel.label, batch.warmth) if 0 <= (today - one.day).days <= RECENT]
    if near:
        values["temperature"] = near[-1].value
    return values


def watch(batch: Batch, today: datetime.date, vessel: str = "", doing: str = "") -> Facts:
    """What the rules look at, of one vessel as it is today.

    Args:
        batch: the batch.
        today: the day to judge it on.
        vessel: the vessel's name; "" is the one last spoken of.
        doing: what is about to be done with it, "" or "bottling", "straining" or "merging".
    """
    label, held = _found(batch, vessel)
    there = held is not None and held.holds.mass > TRACE
    course, growth, own = _course(batch, held), _growth(batch), _own(batch, label, batch.ph)
    words = {one for one in growth if one != "film"}
    values: dict[str, float] = {}
    days = _by_day(own)
    before = _walk(course, days[:-1])
    so_far = state = _after(course, before, days[-1]) if days else before
    if course.fresh or course.other:
        last_in = max((*course.fresh, *course.other))
        state = _opened(course, state, max(today, last_in, *(one.day for one in own[-1:])))
        if days and days[-1].day >= last_in:
            point = days[-1]
            values |= _reading(course, before, point)
            words |= _told(point) | ({"stale"} if _below(point) and point.day <= last_in else set())
        values["proven"] = float(state.proof is not None)
        if state.proof is not None:
            later = [one.day for one in batch.added] + [day for name, day in growth.items() if name == "film"]
            values["rested"] = float((state.proof.day - max(later, default=batch.began)).days)
    if (film := growth.get("film")) is not None and not any(one.day > film and not _void(one) for one in own):
        words.add("film")
    # a last reading that still counts is judged by itself
    earlier = _failed(batch, course, own, before if "ph" in values else so_far)
    if earlier is not None:
        values |= {"failed": earlier.value, "failed_on": float(earlier.day.toordinal())}
    if own:
        values["stable"] = float(_stable(course, days))
    if there and held is not None:
        if doing:
            words.add(doing)
            if any(one.what in SWEET for one in batch.added):
                words.add("sweetened")
        if not held.last_in:
            words.add("moved")
        if not batch.closed:
            values |= _standing(batch, held, course, state, today)
        if state.proof is not None and not course.plain:
            words.add("finished")
        if (warmth := _warmth(batch, label, course.fresh[-1] if course.fresh else None)) is not None:
            values["warmth"] = warmth
        if (strain := _strain(batch, held)) is not None:
            values |= {"strain": float(strain.toordinal()), "early": float((strain - today).days)}
    return Facts("watch", values, frozenset(words))


MUCH_WATER = 0.05
"""Water of more than this share of what a vessel holds thins the acid (common practice, no source)."""


def last_reading(batch: Batch, vessel: str = "") -> Point | None:
    """The pH reading of a vessel that speaks for it now: the one that counts on the last day it was read."""
    label, _ = _found(batch, vessel)
    return next(reversed(_by_day(_own(batch, label, batch.ph))), None)


def went_in_since(batch: Batch, point: Point) -> Addition | None:
    """The last thing that went in on the day of a reading or after it and can raise the pH, or None."""
    most = MUCH_WATER * batch.holds.mass
    found = [
        one
        for one in batch.added
        if one.day >= point.day and (one.fresh or _raises(one.what, one.mix) or _thins(one, most))
    ]
    return found[-1] if found else None


def _thins(one: Addition, most: float) -> bool:
    """Whether it is water, or little else, of more than so many kg."""
    return one.mix.water > most and not (one.mix.acetic or one.mix.citric)


def verdicts(batch: Batch, today: datetime.date, vessel: str = "", doing: str = "") -> list[Rule]:
    """What is to be said of a vessel today, worst first; arguments as for ``watch``."""
    return cautions(watch(batch, today, vessel, doing), RULES)


def reading_facts(batch_before: Batch, read_event: ev.Read, today: datetime.date) -> Facts:
    """What the rules look at, of a new reading against the course before it.

    Args:
        batch_before: the batch without the reading.
        read_event: the reading; it is judged as of its own day.
        today: a reading of the day of the last addition or before is marked "stale".
    """
    if read_event.of != "ph":
        return Facts("watch", {"temperature": read_event.value})
    batch = apply(batch_before, read_event)
    label, held = _found(batch, read_event.vessel)
    course = _course(batch, held)
    point = Point(read_event.day, read_event.value, read_event.method, read_event.calibrated, label, read_event.error)
    own = _own(batch_before, label, batch_before.ph)
    before = _walk(course, (one for one in own if one.day < point.day))
    values = _reading(course, before, point)
    words = {one for one in _growth(batch) if one != "film"} | _told(point)
    last_in = max((*course.fresh, *course.other), default=datetime.date.max)
    if point.day <= last_in:
        values["proven"] = 0.0
        words |= {"stale"} if _below(point) else set()
    if course.fresh:
        values["days"] = float((today - course.fresh[-1]).days)
    if (warmth := _warmth(batch, label, course.fresh[-1] if course.fresh else None)) is not None:
        values["warmth"] = warmth
    earlier = _failed(batch_before, course, own, before)
    if earlier is not None:
        values |= {"failed": earlier.value, "failed_on": float(earlier.day.toordinal())}
    return Facts("watch", values, frozenset(words))


# the dates -------------------------------------------------------------------------------------


def _strain(batch: Batch, vessel: Vessel) -> datetime.date | None:
    """The earliest day to strain one vessel; None without raw produce in it."""
    youngest = vessel.youngest
    if youngest is None:
        return None
    warmth = _warmth(batch, vessel.label, youngest.day)
    weeks = UNKNOWN_WEEKS
    if warmth is not None:
        weeks = next((weeks for least, weeks in WEEKS if warmth >= least - 1e-9), COLDER_WEEKS)
    return youngest.day + datetime.timedelta(7 * weeks)


def _chosen(batch: Batch, vessel: str) -> tuple[Vessel, ...]:
    """The vessel named, or all that hold something."""
    if not vessel:
        return batch.full
    found = batch.vessel(vessel)
    return (found,) if found is not None else ()


def _stopped(batch: Batch, vessel: Vessel) -> bool:
    """Whether there is no date any more: mould, foul, or a week above 4.6."""
    foul = _growth(batch).keys() & {"mould", "spoilt"}
    own, course = _own(batch, vessel.label, batch.ph), _course(batch, vessel)
    return bool(foul) or _failed(batch, course, own, _walk(course, own)) is not None


def earliest_strain(batch: Batch, vessel: str = "") -> datetime.date | None:
    """The earliest day to strain, by common practice: so many weeks from the youngest produce, by its warmth (WEEKS).

    None if there is no raw produce in it, or if the batch is one to throw out. With no
    vessel named, the latest day of all vessels.
    """
    chosen = _chosen(batch, vessel)
    if any(_stopped(batch, one) for one in chosen):
        return None
    return max((day for one in chosen if (day := _strain(batch, one)) is not None), default=None)


def earliest_bottling(batch: Batch, vessel: str = "") -> datetime.date | None:
    """The earliest day to bottle, if everything goes well from now on.

    Not before straining, a day after the last that went in or grew on it, and with two meter
    readings a week apart within 0.1 (common practice, no source): if there are none, a week
    after the last reading, or after the last that is known of the batch. None as for
    ``earliest_strain``.
    """
    strain = earliest_strain(batch, vessel)
    if strain is None:
        return None
    found = [strain]
    found += [one.day + _DAY for one in batch.added]
    found += [day + _DAY for name, day in _growth(batch).items() if name == "film"]
    for one in _chosen(batch, vessel):
        own, course = _own(batch, one.label, batch.ph), _course(batch, one)
        since = max((*course.fresh, *course.other))
        meters = [each.day for each in own if each.day > since and each.method != "strip" and not _void(each)]
        if not meters or not _stable(course, _by_day(own)):
            found.append((max(meters) if meters else max(batch.last, since + _DAY)) + APART)
    return max(found)
