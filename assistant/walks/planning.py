"""Plans back from a wish: "100 bottles of 150 ml by Christmas", "20 kilos coming Saturday, what do I need".

Nothing is worked out here: the lines that a person would say one by one are said to the talk, and their numbers put
together, with what each of them assumed and warned of.
"""

from __future__ import annotations

import datetime
import re
from dataclasses import dataclass, field

from assistant.replies import Answer, Ask, Assume, Caution, Note, Reply, Value, Why
from assistant.show import Style, day, number, quantity
from assistant.talk.account.manner import manner
from assistant.talk.account.which import phrase
from assistant.talk.place import dimension
from assistant.talk.state import State, Talk
from assistant.trade.produce import NAMES
from assistant.trade.solution import WATER_20
from assistant.walks.saying import say
from grammar import measures
from grammar.later import regex
from grammar.reader import read
from grammar.types import Amount, Reading

NAME = "plan"

_NEED = phrase(
    r"\b(?:what (?:all )?(?:do|will|would|should) (?:i|we) (?:need|have to (?:buy|get)|buy|get(?: ready)?|have ready)|"
    r"what(?:'s| is) needed|what (?:have|has) to be (?:ready|bought)|shopping(?: list)?|what to (?:buy|get)|"
    r"get ready for|prepare for|plan for)\b"
)
_SMALL = phrase(r"\b(?:small|little|tiny|the usual|ordinary|normal|sauce) (?:sauce )?(?:bottles?|woozies|woozy)\b")

_FEAST = regex(
    r"\b(?:by|before|in time for|ready for)\s+(?P<day>(?:(?:my|our|the|his|her|their|mother'?s|father'?s|st\.?)\s+)*"
    r"(?:[a-z']*birthday|thanksgiving|diwali|eid|wedding|anniversary|market|fair|party|fete|festival|holidays?|"
    r"valentine'?s?(?: day)?|(?:mother|father)'?s? day|day))\b",
    re.IGNORECASE,
)
"""A day that has a name but no date that is known here."""

SMALL_BOTTLE = "148 ml"
"""What a small sauce bottle is taken to hold: 5 US fl oz (common practice, no source)."""
WEEKS = 4
"""Weeks of fermenting where nobody says: 3 to 4 at 70 to 75 F (USDA AIB 539, Guide 6), the longer of the two."""
FINISHING = 3
"""Days for straining and blending, for the pH of the finished sauce a day later, and for bottling."""
STRENGTH = "3%"
TRIMMED = 0.73
"""What is left of whole hot peppers after trimming: 27 % refuse (USDA SR26)."""


@dataclass
class _Sums:
    """What the talk said to the lines of a plan."""

    talk: Talk
    today: datetime.date
    assumed: dict[str, Assume] = field(default_factory=dict)
    cautions: dict[str, Caution] = field(default_factory=dict)
    failed: tuple[Reply, ...] = ()
    first: State | None = None
    """Where the first line left the talk: "make it 80 bottles" goes on from there."""

    def of(self, line: str, *names: str) -> list[float]:
        """The canonical values of these names in the answer to a line; NaN for one that it has not."""
        said = say(Talk(self.talk.now.anew()), [line], self.today)
        self.first = self.first or said.state
        found: dict[str, float] = {}
        for one in said.replies:
            if isinstance(one, Answer):
                for value in one.values:
                    kind = "" if value.unit == "date" else dimension(value.unit)
                    found[value.name] = measures.canonical(value.value, value.unit, kind) if kind else value.value
            if isinstance(one, Assume):
                self.assumed.setdefault(one.text, one)
            if isinstance(one, Caution):
                self.cautions.setdefault(one.rule, one)
        if said.stuck and not self.failed:
            self.failed = tuple(one for one in said.replies if one.kind in ("ask", "refuse", "misread"))
        return [found.get(name, float("nan")) for name in names]


Plan = tuple[State | None, tuple[Reply, ...]]
"""What a plan leaves the talk at, if it was made, and what is said."""


def planned(talk: Talk, reading: Reading, today: datetime.date) -> Plan | None:
    """The plan for a wish, or None if the line is none."""
    if reading.course is not None or reading.told or any(one.rivals for one in reading.amounts):
        return None
    bottles = [one for one in reading.amounts if not one.unit and one.said("vessel") == "bottle"]
    when = _when(reading)
    if len(bottles) == 1 and when:
        return _bottles(talk, reading, bottles[0], when, today)
    if len(bottles) == 1 and (unknown := _FEAST.search(reading.text)) is not None:
        day_ = unknown["day"].strip()
        return None, (
            Ask(f'Which date is "{day_}"? Say the wish with it, for example "{bottles[0].text} bottles of 150 ml by 24 '
                'December", and I count back from it.'),
        )  # fmt: skip
    if not bottles and _NEED.search(reading.text):
        weights = [one for one in reading.amounts if dimension(one.unit) == "mass"]
        others = [one for one in reading.amounts if one not in weights and one.unit not in ("date", "percent")]
        if len(weights) == 1 and not others:
            return _coming(talk, reading, weights[0], when, today)
    return None


def sized(state: State, reading: Reading) -> Reading | None:
    """The wish that was asked how big its bottles are, whole, once a line says it; None for any other line."""
    job = state.job
    if state.mode != "asking" or job is None or job.calculator != "bottling" or state.asking[:1] != ("bottle_size",):
        return None
    count = next((one for one in job.given if one.name == "bottles"), None)
    sizes = [one for one in reading.amounts if dimension(one.unit) == "volume"]
    if count is None or len(job.unused) != 1 or len(sizes) != 1 or len(reading.amounts) != 1:
        return None
    whole = read(f"{count.value:g} bottles of {sizes[0].text} by {job.unused[0]}")
    return whole if isinstance(whole, Reading) and _when(whole) else None


def anew(before: State, after: State, today: datetime.date) -> Plan | None:
    """The last plan with another number or size of bottles ("make it 120 bottles"); None where more was changed."""
    plan = next((one for one in before.said if isinstance(one, Answer) and one.calculator == NAME), None)
    job = after.answered
    values = {one.name: one.value for one in plan.values} if plan is not None else {}
    given = {one.name: one.value for one in job.given} if job is not None else {}
    if given.keys() != {"bottles", "bottle_size"} or not {"end", "ferment"} <= values.keys():
        return None
    end = measures.day(values["end"])
    line = f"{given['bottles']:g} bottles of {1000 * given['bottle_size']:g} ml by {end.day} {end:%B %Y}"
    wish = read(f"{line} after {values['ferment']:g} days")
    return planned(Talk(after), wish, today) if isinstance(wish, Reading) else None


def explained(state: State) -> tuple[Reply, ...]:
    """What the last plan rests on, if a plan was the last thing said."""
    plan = next((one for one in state.said if isinstance(one, Answer) and one.calculator == NAME), None)
    if plan is None:
        return ()
    found = {one.name: one.value for one in plan.values}
    kilos = found["produce"]
    lines = [f"mash of {kilos:.4g} kg at {STRENGTH}", f"how big a vessel for {kilos:.4g} kg of mash"]
    if "ferment" in found:
        days = (
            f"{found['ferment']:g} days of fermenting and {FINISHING} for finishing, counted back from the day wished"
        )
        lines.insert(0, "how much produce for so many bottles of that size")
    else:
        days = f"a week to the first pH, {WEEKS} weeks to the earliest end"
    text = f"The days: {days}. The amounts are those of these questions; ask one for its sum: {'; '.join(lines)}."
    source = (
        "USDA AIB 539, Guide 6: 3 to 4 weeks at 70 to 75 F; USDA SR26: 27 % refuse of hot peppers; days of finishing: "
        "common practice, no source"
    )
    return (Why(text, source=source),)


def _when(reading: Reading) -> str:
    """The words of the day that the line names, if it names one."""
    days = [one.text for one in reading.amounts if one.unit == "date"] + [word.text for word in reading.whens]
    return days[0].lower().removeprefix("the ") if len(days) == 1 else ""


def _bottles(talk: Talk, reading: Reading, bottles: Amount, when: str, today: datetime.date) -> Plan | None:
    """So many bottles by a day: sauce, mash, produce, salt, vessels, caps, and the day to start."""
    sizes = [one for one in reading.amounts if dimension(one.unit) == "volume"]
    times = [one for one in reading.amounts if dimension(one.unit) == "time"]
    rest = [one for one in reading.amounts if one not in (bottles, *sizes, *times) and one.unit != "date"]
    if rest or len(sizes) > 1 or len(times) > 1:
        return None
    small = bool(_SMALL.search(reading.text)) and not sizes
    if not sizes and not small:
        return None  # the talk asks how big a bottle is
    size = sizes[0].text if sizes else SMALL_BOTTLE
    sums = _Sums(talk, today)
    count = f"{bottles.value:g}"
    sauce, mash, produce, caps = sums.of(
        f"how much produce for {count} bottles of {size}", "sauce_volume", "mash", "produce", "caps"
    )
    days = round(measures.canonical(times[0].value, times[0].unit, "time")) if times else 7 * WEEKS
    whole = days + FINISHING
    start, end = sums.of(f"ready by {when} after {whole} days, when do I start", "start", "end")
    (salt,) = sums.of(f"mash of {produce:.6g} kg at {STRENGTH}", "salt")
    (room,) = sums.of(f"how big a vessel for {mash:.6g} kg of mash", "needed")
    if sums.failed:
        return None, sums.failed
    shown = manner(talk.now, reading.text)
    begin, last = measures.day(start), measures.day(end)
    if last <= today:
        return None  # what was bottled yesterday is no wish
    late = (today - begin).days
    lead = f"Start on {day(start)} to have {count} bottles of {size} by {day(end)}."
    if late > 0:
        ready = last + datetime.timedelta(days=late)
        days_late = f"{late} {'day' if late == 1 else 'days'} too late"
        lead = (
            f"{count} bottles of {size} by {day(end)} is {days_late}: it wanted to be started by {day(start)}. "
            f"Started today, it is ready by {day(measures.written(ready))}."
        )
    finish = measures.written(begin + datetime.timedelta(days=max(late, 0) + days))
    text = (
        f"{lead} {days} days of fermenting, until {day(finish)}; then {FINISHING} days to strain and blend, to read "
        f"the pH a day later, and to bottle. It takes {quantity(sauce, 'volume', shown)} of sauce, from "
        f"{quantity(mash, 'mass', shown)} of mash: {quantity(produce, 'mass', shown)} of trimmed produce and "
        f"{quantity(salt, 'mass', shown)} of salt. The pH says when it is done, not the calendar."
    )
    values = (
        Value("start", start, "date"), Value("end", end, "date"), Value("sauce_volume", sauce, "liter"),
        Value("mash", mash, "kilogram"), Value("produce", produce, "kilogram"), Value("salt", 1000 * salt, "gram"),
        Value("room", room, "liter"), Value("caps", caps, "count"), Value("ferment", days, "day"),
    )  # fmt: skip
    taken = [Assume(f"A small bottle holds {SMALL_BOTTLE} (5 US fl oz).")] if small else []
    if not times:
        taken.append(Assume(f'{WEEKS} weeks of fermenting. Say "after 8 weeks" for another time.'))
    taken.append(Assume(f"{STRENGTH} of salt on the produce."))
    return sums.first, (
        Answer(text, NAME, values, lead), *taken, *sums.assumed.values(), *sums.cautions.values(),
        _shopping(shown, produce, salt, room, (count, caps)),
    )  # fmt: skip


def _coming(talk: Talk, reading: Reading, weight: Amount, when: str, today: datetime.date) -> Plan | None:
    """So much produce that is coming: salt, vessels and room for it either way, and the days."""
    shares = [one for one in reading.amounts if one.unit == "percent"]
    if len(shares) > 1:
        return None
    share = f"{shares[0].value:g}%" if shares else STRENGTH
    kilos = measures.canonical(weight.value, weight.unit, "mass")
    term = weight.said("produce") or next((word.term for word in reading.all_words if word.kind == "produce"), "")
    what = NAMES.get(term, term) or "produce"
    sums = _Sums(talk, today)
    of = f" of {what}" if term else ""
    (salt,) = sums.of(f"mash of {kilos:.6g} kg{of} at {share}", "salt")
    (room,) = sums.of(f"how big a vessel for {kilos:.6g} kg of mash", "needed")
    water, wide = sums.of(f"how big a crock for {kilos:.6g} kg of peppers under brine", "water_volume", "needed")
    fraction = float(share.removesuffix("%")) / 100
    brined = (kilos + WATER_20 * water) * fraction
    if sums.failed:
        return None, sums.failed
    shown = manner(talk.now, reading.text)
    lead = (
        f"For {quantity(kilos, 'mass', shown)} of {what}: as a mash {quantity(salt, 'mass', shown)} of salt and "
        f"vessels of {quantity(room, 'volume', shown)} in all; under brine {quantity(brined, 'mass', shown)} of salt, "
        f"{quantity(water, 'volume', shown)} of water and vessels of {quantity(wide, 'volume', shown)}."
    )
    parts = [lead, "Bought whole, about a quarter goes in trimming: weigh again before you salt."]
    values = [
        Value("produce", kilos, "kilogram"), Value("salt", 1000 * salt, "gram"), Value("room", room, "liter"),
        Value("brine_salt", 1000 * brined, "gram"), Value("water_volume", water, "liter"),
        Value("brine_room", wide, "liter"),
    ]  # fmt: skip
    if when:
        start, first, ready = (
            *sums.of(f"when is 7 days after {when}", "start", "end"),
            *sums.of(f"when is {7 * WEEKS} days after {when}", "end"),
        )
        if sums.failed:
            return None, sums.failed
        parts.append(
            f"Packed on {day(start)}: the first pH by {day(first)}, ready around {day(ready)} at the earliest; the pH "
            "decides."
        )
        values += [Value("start", start, "date"), Value("first", first, "date"), Value("end", ready, "date")]
    assumed = [Assume(f"{share} of salt: of the produce in a mash, of produce and water under brine.")]
    return sums.first, (
        Answer(" ".join(parts), NAME, tuple(values), lead), *assumed, *sums.assumed.values(), *sums.cautions.values(),
        _shopping(shown, kilos, max(salt, brined), max(room, wide)),
    )  # fmt: skip


def _shopping(shown: Style, produce: float, salt: float, room: float, bottles: tuple[str, float] | None = None) -> Note:
    """What to have ready, as one list."""
    whole = produce / TRIMMED
    things = [
        f"{quantity(salt, 'mass', shown)} of salt without iodine",
        f"jars or crocks of {quantity(room, 'volume', shown)} in all, each with an airlock and a weight",
        "a scale that carries the bowl and shows grams", "gloves", "a pH meter with buffers of 4 and 7",
    ]  # fmt: skip
    if bottles is not None:
        count, caps = bottles
        things = [f"up to {quantity(whole, 'mass', shown)} of whole peppers", *things]
        things += [f"{count} bottles and {number(caps)} caps", "a funnel", "labels"]
    room_words = "Room for them on trays, out of the sun, at 18 to 22 C."
    return Note(f"To have ready: {'; '.join(things)}. {room_words}")
