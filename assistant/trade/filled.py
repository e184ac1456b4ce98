"""A bottle filled hot: where sauce and glass settle, how long they stay hot, and what that is worth.

The heat balance counts sauce and bottle only. Cooling is Newton's: the difference from the room falls by the same
share in each minute. Temperatures are degrees C, weights kg, heat kJ per kg and degree, times days.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

from assistant.declare import ARITHMETIC, PRACTICE, Calculator, Default, Example, Input, Limit, Relation, Source, Worked
from assistant.trade.finishing import BY_SAUCE_VOLUME, SAUCE_WEIGHS
from assistant.trade.lethality import (
    ABOVE,
    AT_OR_UNDER_4_1,
    BOILS,
    COUNTS_FROM,
    METER,
    OVER_4_1,
    Curve,
    Process,
    accumulated,
    process_for,
)
from assistant.trade.shared import mass
from assistant.trade.shared import volume as litres

BALANCE = Source("definition and arithmetic: the heat that the sauce gives is the heat that the bottle takes")
SIEBEL = Source(
    "Siebel 1892: 0.837 + 3.349 x share of water, kJ per kg and degree; 88 % water, rounded down", seen=False
)
GLASS_HEAT = Source("handbook heat of soda-lime glass, 0.84 kJ per kg and degree; PET 1.2", seen=False)
COOLING = Source(
    "Newton's law of cooling; 15 W per m2 and degree to still air, the fast end of common practice, no source; the "
    "surface of a bottle three times as high as wide with its neck, 7 x volume^(2/3)"
)
COLD_GLASS = 40.0
"""Degrees C between sauce and glass from which the glass may crack: common practice, no source."""
_DAY = 1440.0
_LOSS = 15.0
"""W per m2 and degree from a bottle to still air, by convection and radiation."""
_SURFACE = 7.0
"""Surface of a bottle over its volume^(2/3): a cylinder three times as high as wide has 6.2, its neck adds some."""
_STEPS = 2000


def cooling_constant(volume: float, sauce: float, bottle: float, sauce_takes: float, bottle_takes: float) -> float:
    """Days in which a bottle's difference from the room falls to 1/e, in still air.

    Args:
        volume: litres of sauce in it.
        sauce: kg of it.
        bottle: kg of glass.
        sauce_takes: kJ per kg and degree.
        bottle_takes: the same of the glass.
    """
    area = _SURFACE * math.pow(volume / 1000, 2 / 3)
    return 1000 * (sauce * sauce_takes + bottle * bottle_takes) / (_LOSS * area) / 86400


def constant_between(start: float, later: float, room: float, after: float) -> float:
    """Days of the cooling constant from a start, a reading ``after`` days on, and the room.

    Raises:
        ValueError: it got no cooler, or cooler than the room.
    """
    if not room < later < start:
        raise ValueError("it must have cooled, and not under the room")
    return after / math.log((start - room) / (later - room))


def stays_hot(start: float, room: float, constant: float, down_to: float = COUNTS_FROM) -> float:
    """Days from ``start`` until ``down_to`` is reached; none where it is not over it, endless in a room that hot."""
    if start <= down_to:
        return 0.0
    return float(constant * math.log((start - room) / (down_to - room))) if room < down_to else math.inf


def gathered(start: float, room: float, constant: float, process: Process) -> float:
    """Days at the reference temperature that the cooling from ``start`` is worth.

    The course is cut into short steps and each is credited at its colder end, so the sum stays under the true one, by
    less than a hundredth.
    """
    last = stays_hot(start, room, constant)
    if not last:
        return 0.0
    minutes = last * _DAY
    course = []
    for step in range(_STEPS):
        here, there = minutes * step / _STEPS, minutes * (step + 1) / _STEPS
        colder = room + (start - room) * math.exp(-there / (constant * _DAY))
        course += [(here, colder), (there, colder)]
    return accumulated(Curve.of(course), process) / _DAY


_BALANCE = Relation(
    "sauce * sauce_takes * (sauce_heat - settled) = bottle * bottle_takes * (settled - bottle_heat)",
    {
        "settled": "(sauce * sauce_takes * sauce_heat + bottle * bottle_takes * bottle_heat) "
        "/ (sauce * sauce_takes + bottle * bottle_takes)",
    },
    BALANCE,
)
BOTTLE_FOR = "aim - sauce * sauce_takes * (sauce_heat - aim) / (bottle * bottle_takes)"
SAUCE_FOR = "aim + bottle * bottle_takes * (aim - bottle_heat) / (sauce * sauce_takes)"
_FOR_AIM = Relation(
    "sauce * sauce_takes * (sauce_heat - aim) = bottle * bottle_takes * (aim - bottle_heat)",
    {"bottle_heat": BOTTLE_FOR, "sauce_heat": SAUCE_FOR},
    BALANCE,
)
_ASKS_ENOUGH = frozenset({"holding"})
"""Words by which it is asked whether the heat is enough: then the pH is needed."""


def _lacking(known: Mapping[str, float], words: frozenset[str]) -> tuple[str, ...]:
    """What must be asked for: weights and two of three temperatures, or a start and a later reading."""
    if ("later" in known) != ("after" in known):
        return ("after",) if "later" in known else ("later",)
    found = []
    if "sauce_heat" not in known and not {"aim", "bottle_heat"} <= known.keys():
        found.append("sauce_heat")
    if not ("later" in known and not {"aim", "bottle_heat"} & known.keys()):
        found += [one for one in ("sauce", "bottle") if one not in known]
        if not {"aim", "bottle_heat"} & known.keys():
            found.append("bottle_heat")
    if "ph" not in known and words & _ASKS_ENOUGH:
        found.append("ph")
    return tuple(found)


def fill(known: Mapping[str, float], words: frozenset[str]) -> Worked:
    """Where it settles (or how warm the bottles or the sauce must be), how long it stays hot and what that is worth."""
    if lacking := _lacking(known, words):
        return Worked(missing=lacking)
    if "ph" in known and "counted" not in known:
        return Worked({"counted": known["ph"] + known["meter_error"]})  # over the limit: refused
    values: dict[str, float] = {}
    parts, lines = _balanced(known, values)
    if any(not math.isfinite(one) for one in values.values()) or values.get("bottle_needed", 0.0) > _BATH:
        return Worked(values)
    start = values.get("start", known.get("settled", known.get("sauce_heat", 0.0)))
    used = {"room", *(("meter_error",) if "counted" in known else ())}
    if parts:
        used |= {"sauce_takes", "bottle_takes", "sauce_density"}
    counted_from = start
    if "later" in known:
        values["constant"] = _measured(start, known)
        counted_from = known["later"]
        parts.append("{later} after {after} in a room at {room} makes a cooling constant of {constant}.")
        lines.append("Constant = {after} / ln((start - {room}) / ({later} - {room})) = {constant}.")
    else:
        values["constant"] = cooling_constant(
            known["sauce_volume"], known["sauce"], known["bottle"], known["sauce_takes"], known["bottle_takes"]
        )
        lines.append(
            "Constant = (sauce x sauce takes + bottle x bottle takes) / (15 W per m2 and degree x surface) = "
            "{constant}."
        )
    if math.isfinite(values["constant"]):
        parts += _hot(counted_from, known, values, lines)
    return Worked(values, used=tuple(used), headline=" ".join(parts), lines=tuple(lines))


def _balanced(known: Mapping[str, float], values: dict[str, float]) -> tuple[list[str], list[str]]:
    """The sentences and the sums of the heat balance; what it gives goes into ``values``, rounded to the warm side."""
    if "aim" not in known:
        return (
            (["{sauce} at {sauce_heat} in a bottle of {bottle} at {bottle_heat} settles at {settled}."], [])
            if ("settled" in known)
            else ([], [])
        )
    if "bottle_heat" not in known:
        needed = math.ceil(10 * _FOR_AIM.give("bottle_heat", known) - 1e-6) / 10
        values |= {"bottle_needed": needed, "start": known["aim"], "gap": known["sauce_heat"] - needed}
        line = f"Bottle = {BOTTLE_FOR} = {{bottle_needed}}."
        text = (
            "For {sauce} at {sauce_heat} to settle at {aim} a bottle of {bottle} must be at {bottle_needed} or warmer."
        )
    elif "sauce_heat" not in known:
        needed = math.ceil(10 * _FOR_AIM.give("sauce_heat", known) - 1e-6) / 10
        values |= {"sauce_needed": needed, "start": known["aim"], "gap": needed - known["bottle_heat"]}
        line = f"Sauce = {SAUCE_FOR} = {{sauce_needed}}."
        text = (
            "For {sauce} to settle at {aim} in a bottle of {bottle} at {bottle_heat} it must go in at {sauce_needed}."
        )
    else:
        reached = known["settled"] >= known["aim"] - 1e-9
        text = "{sauce} at {sauce_heat} in a bottle of {bottle} at {bottle_heat} settles at {settled}, "
        text += "not under the {aim} you want." if reached else "under the {aim} you want."
        return [text], []
    return [text], [line.replace(" * ", " x ").replace("_", " ").replace("{bottle ", "{bottle_").replace(
        "{sauce ", "{sauce_")]  # fmt: skip


def _measured(start: float, known: Mapping[str, float]) -> float:
    try:
        return constant_between(start, known["later"], known["room"], known["after"])
    except ValueError:
        return math.nan


def _hot(start: float, known: Mapping[str, float], values: dict[str, float], lines: list[str]) -> list[str]:
    """How long it stays over 60 C, and what that is worth for the pH."""
    stays = stays_hot(start, known["room"], values["constant"])
    parts = []
    if not stays:
        parts.append("That is not over 60 C (140 F): no heat is credited.")
    else:  # never endless: no room is over 50 C
        values["stays"] = stays + (known["after"] if "later" in known else 0.0)
        parts.append("It stays over 60 C (140 F) about {stays}, in a room at {room}, standing free.")
        lines.append("Stays over 60 C = constant x ln((start - {room}) / (60 C - {room})) = {stays}.")
    if "counted" not in known:
        return [*parts, 'Say "at pH 3.9", and I weigh that against what the pH needs.'] if stays else parts
    process = process_for(known["counted"])
    values["gathered"] = gathered(start, known["room"], values["constant"], process)
    values["needed"] = process.f / _DAY
    values["reach"] = values["gathered"] / values["needed"]
    worth = "While it cools it gathers {gathered} of 160 F (71.1 C), and pH {ph} needs {needed}: {reach} times that."
    parts.append(worth if stays else "pH {ph} needs {needed} of 160 F (71.1 C).")
    lines.append(
        "Gathered = the sum of short steps, each at its colder end, by the table for pH {counted} = {gathered}."
    )
    return parts


_BATH = 100.0
_ROOM = Limit(-20, 50, "degree_Celsius", from_low=True)
_NO_BATH = (
    "It cannot settle so warm: the bottles would have to be at {bottle_needed}, and no open water bath gets them "
    "there. Take hotter sauce, more sauce in each bottle or lighter glass"
)
_MADE = Limit(0, 365, "day", from_low=True)

FILLED = Calculator(
    name="filled",
    title="A bottle filled hot",
    does="where hot sauce and bottle settle, how long they stay hot, what that is worth, how warm bottles must be",
    inputs=(
        Input("sauce_heat", "temperature", "sauce as it is filled",
              Limit(30, 100, "degree_Celsius", from_low=True, too_high=BOILS), terms=("fill-heat",),
              ask="How hot is the sauce when it goes in?"),
        mass("sauce", "sauce in a bottle", ask="How much sauce goes into one bottle?", terms=("batch", "mash"),
             instead=("sauce_volume",)),
        litres("sauce_volume", "sauce in a bottle", terms=("batch", "mash", "@vessel"), plain=True,
               marks=("in", "of", "with")),
        SAUCE_WEIGHS,
        mass("bottle", "empty bottle", terms=("@vessel",), marks=("of",),
             ask="What does one empty bottle weigh? Weigh it: glass for 150 mL is often about 140 g"),
        Input("bottle_heat", "temperature", "bottle before it is filled",
              Limit(-20, 110, "degree_Celsius", from_low=True), terms=("bottle-heat",),
              ask="How warm are the bottles before they are filled?"),
        Input("aim", "temperature", "temperature it is to settle at", Limit(0, 100, "degree_Celsius"),
              terms=("settled-heat",)),
        Input("settled", "temperature", "temperature it settles at", Limit(-20, 110, "degree_Celsius")),
        Input("start", "temperature", "temperature it cools from", Limit(-20, 110, "degree_Celsius")),
        Input("bottle_needed", "temperature", "bottle warmth",
              Limit(-1000, _BATH, "degree_Celsius", too_high=_NO_BATH)),
        Input("sauce_needed", "temperature", "sauce heat",
              Limit(-20, 100, "degree_Celsius", too_high=BOILS)),
        Input("sauce_takes", "count", "heat that a kg of sauce takes, kJ per degree", Limit(0, 5, "count"),
              default=Default(3.7, "count", "a kg of sauce takes 3.7 kJ a degree (88% water; water alone 4.18)",
                              SIEBEL)),
        Input("bottle_takes", "count", "heat that a kg of the bottle takes, kJ per degree", Limit(0, 5, "count"),
              default=Default(0.84, "count", "a kg of glass takes 0.84 kJ a degree", GLASS_HEAT,
                              by_kind={"plastic": (1.2, "a kg of PET takes 1.2 kJ a degree")})),
        Input("room", "temperature", "room", _ROOM, terms=("room-heat",),
              default=Default(20, "degree_Celsius", "the room is at 20 C (68 F)", PRACTICE)),
        Input("after", "time", "time of the later reading", Limit(0, 2, "day"), named=True, terms=("later-time",),
              ask="After how many minutes was that read?"),
        Input("later", "temperature", "later reading", Limit(0, 100, "degree_Celsius"), terms=("later-heat",),
              ask="What did it read then?"),
        Input("ph", "acidity", "pH", Limit(0, 4.6, "acidity", too_high=ABOVE, source=OVER_4_1), plain=True,
              ask="Which pH does the meter show, a day after the last addition?", terms=("ph",),
              marks=("at", "for", "of", "with")),
        Input("meter_error", "acidity", "what the meter may be off", Limit(0, 1, "acidity", from_low=True),
              default=Default(0.1, "acidity", "the meter may be 0.1 off", METER)),
        Input("counted", "acidity", "pH with the error", Limit(0, 4.6, "acidity", too_high=ABOVE, source=OVER_4_1)),
        Input("gap", "difference", "sauce over bottle", Limit(-150, 150, "delta_degree_Celsius", from_low=True)),
        Input("constant", "time", "cooling constant", _MADE), Input("stays", "time", "time over 60 C", _MADE),
        Input("gathered", "time", "minutes at 160 F that it is worth", _MADE),
        Input("needed", "time", "minutes at 160 F that the pH needs", _MADE),
        Input("reach", "count", "times what is needed", Limit(0, 1e9, "count", from_low=True)),
    ),
    relations=(
        BY_SAUCE_VOLUME, _BALANCE, Relation("gap = sauce_heat - bottle_heat", {"gap": "sauce_heat - bottle_heat"}),
        Relation("counted = ph + meter_error", {"counted": "ph + meter_error"}),
    ),
    goals=("settled",),
    called_by=("filling-hot",),
    headline={"settled": ("It settles at {settled}.",)},
    tail=(
        "The air takes its share while you pour, which is not counted. The coldest point counts: measure in a capped "
        "bottle, by the glass.",
    ),
    sources=(BALANCE, COOLING, AT_OR_UNDER_4_1, OVER_4_1, ARITHMETIC),
    program=fill,
    examples=(
        Example("150 g of sauce at 85 C into a 140 g bottle at 20 C, where does it settle", "settled", 73.63,
                "degree_Celsius", 0.01, BALANCE),
    ),
)  # fmt: skip
"""(150 x 3.7 x 85 + 140 x 0.84 x 20) / (150 x 3.7 + 140 x 0.84) = 73.63 C."""

CALCULATORS = (FILLED,)
