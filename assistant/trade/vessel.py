"""Vessels: what they hold, what fits, how big and how many."""

from __future__ import annotations

import math
from dataclasses import replace

from assistant.declare import (
    ARITHMETIC,
    PRACTICE,
    Calculator,
    Default,
    Example,
    Input,
    Limit,
    Relation,
    Source,
)
from assistant.trade.brine import PRODUCE
from assistant.trade.shared import CAPACITY, DENSITY, HEADROOM, LEFT_FREE, PRODUCE_TAKES, PRODUCE_VOLUME, mass, volume

_LENGTH = Limit(0, 10, "meter")
_SPARE = Limit(-5000, 5000, "liter")
QUARTER_PI = 0.7853981633974483

CYLINDER = Calculator(
    name="cylinder",
    title="What a round vessel holds",
    does="capacity, diameter or height of a straight round vessel, measured inside",
    inputs=(
        Input(
            "diameter",
            "length",
            "inside diameter",
            _LENGTH,
            ask="How wide is it inside, in cm or inches?",
            terms=("diameter",),
            marks=("by",),
        ),
        Input(
            "height",
            "length",
            "inside height",
            _LENGTH,
            ask="How high is it inside, in cm or inches?",
            terms=("height",),
            marks=("by",),
        ),
        replace(CAPACITY, plain=True),
    ),
    relations=(
        Relation(
            f"capacity = {QUARTER_PI} * diameter ** 2 * height",
            {
                "capacity": f"{QUARTER_PI} * diameter ** 2 * height",
                "height": f"capacity / ({QUARTER_PI} * diameter ** 2)",
                "diameter": f"(capacity / ({QUARTER_PI} * height)) ** 0.5",
            },
        ),
    ),
    goals=("capacity", "height", "diameter"),
    called_by=(
        "diameter",
        "height",
        "diameter height",
        "diameter height @vessel",
        "diameter @vessel",
        "height @vessel",
        "capacity diameter height",
        "cylindrical @vessel ?capacity",
        "cylindrical @vessel ?volume",
        "cylindrical @vessel fitting",
        "cylindrical #length",
    ),
    headline={
        "capacity": ("{capacity} to the brim: {diameter} wide and {height} high inside.",),
        "height": ("{height} high inside: {capacity} and {diameter} wide.",),
        "diameter": ("{diameter} wide inside: {capacity} and {height} high.",),
    },
    wanted={"capacity": ("capacity",), "volume": ("capacity",), "height": ("height",), "diameter": ("diameter",)},
    sources=(ARITHMETIC,),
    examples=(Example("a crock 25 cm across and 30 cm high", "capacity", 14.726, "liter", 0.001, ARITHMETIC),),
)
"""A straight-sided round vessel; bellied crocks hold more than their rim says."""

WALL = Source("common practice, no source: brine to 90 %, mash to 72 % of the vessel")

VESSEL = Calculator(
    name="vessel",
    title="What fits, how big, how many",
    does="whether produce fits a vessel, how full it is, how big or how many vessels it takes",
    inputs=(
        replace(PRODUCE, terms=(*PRODUCE.terms, "mash")),
        DENSITY,
        PRODUCE_VOLUME,
        Input(
            "water_volume",
            "volume",
            "water",
            Limit(0, 5000, "liter", from_low=True),
            terms=("water", "brine"),
            marks=("with",),
        ),
        replace(CAPACITY, ask="How big is the vessel?", plain=True),
        volume("room", "fill line", terms=("filled",)),
        volume("headspace", "headspace", terms=("headspace",)),
        HEADROOM,
        Input(
            "cover",
            "fraction",
            "water to cover, of the produce's space",
            Limit(0, 500, "percent", from_low=True),
            default=Default(
                50.0,
                "percent",
                "packed produce needs half its own space in water to be covered",
                PRACTICE,
                by_kind={"mash": (0.0, "mash is salted dry, with no water")},
            ),
        ),
        Input(
            "fill",
            "fraction",
            "how full to fill",
            Limit(1, 100, "percent", too_high="A vessel of {capacity} cannot be filled to {room}"),
            terms=("filled",),
            default=Default(
                90.0,
                "percent",
                "brine ferments fill 90% of a vessel, the rest headspace",
                WALL,
                by_kind={"mash": (72.0, "mash rises: fill 72% of a vessel")},
            ),
        ),
        volume("contents", "produce and water together"),
        volume("needed", "vessel needed"),
        Input("fits", "mass", "produce that fits", Limit(-5000, 5000, "kilogram")),
        Input("open_space", "volume", "headspace", _SPARE),
        Input("level", "fraction", "how full it gets", Limit(0, 1000, "percent")),
        Input("spare", "volume", "space left to the fill line", _SPARE),
        Input("over", "volume", "too much for the fill line", _SPARE),
        Input("count", "count", "vessels", Limit(0, 100000, "count"), terms=("@vessel",)),
        mass("each", "produce in each"),
    ),
    relations=(
        PRODUCE_TAKES,
        Relation(
            "water_volume = cover * produce_volume",
            {"water_volume": "cover * produce_volume", "cover": "water_volume / produce_volume"},
        ),
        Relation(
            "contents = produce_volume + water_volume",
            {"contents": "produce_volume + water_volume"},
        ),
        Relation("level = contents / capacity", {"level": "contents / capacity"}),
        Relation(
            "headspace = capacity - room",
            {"room": "capacity - headspace", "headspace": "capacity - room"},
        ),
        Relation(
            "room = capacity * fill",
            {"room": "capacity * fill", "fill": "room / capacity"},
        ),
        LEFT_FREE,
        Relation("spare = room - contents", {"spare": "room - contents"}),
        Relation("over = contents - room", {"over": "contents - room"}),
        Relation("needed = contents / fill", {"needed": "contents / fill"}),
        Relation("fits = (room - water_volume) * density", {"fits": "(room - water_volume) * density"}),
        Relation("fits = room / (1 + cover) * density", {"fits": "room / (1 + cover) * density"}),
        Relation("open_space = capacity - contents", {"open_space": "capacity - contents"}),
        Relation(
            "count = ceil(contents / room)",
            {"count": "ceil(contents / room)"},
            functions={"ceil": lambda value: float(math.ceil(value - 1e-9))},
        ),
        Relation("each = produce / count", {"each": "produce / count"}),
    ),
    goals=("level", "spare"),
    called_by=(
        "fitting",
        "fitting @vessel",
        "fitting @produce",
        "fitting @vessel @produce",
        "?capacity",
        "?count",
        "?filled",
        "?capacity mash",
        "?capacity @produce",
        "?capacity brine",
        "?count @produce",
        "?count mash",
        "?count @vessel mash",
        "?count @vessel @produce",
        "?capacity @vessel mash",
        "?capacity @vessel @produce",
        "covering",
        "?headspace",
        "?headspace @vessel",
        "?headspace @vessel @produce",
        "?produce @vessel",
        "?produce filled",
        "covering water",
        "covering water @produce",
        "?filled @vessel",
        "?filled @produce @vessel",
        "?capacity @vessel @produce brine",
        "?capacity @vessel @produce mash",
        "?count @vessel @produce mash",
        "?count @vessel @produce brine",
        "?capacity @vessel brine",
        "fitting mash @vessel",
    ),
    headline={
        "level": (
            "{level} full: {contents} of produce and water in a vessel of {capacity}. The fill line is at {room}; "
            "{spare} left below it.",
            "{level} full: {contents} of produce and water in a vessel of {capacity}, {over} over the fill line "
            "of {room}.",
        ),
        "needed": ("A vessel of {needed} or more, for {contents} in all ({produce} of {kind}).",),
        "count": ("{count} vessels of {capacity}, about {each} of {kind} in each.",),
        "water_volume": ("{water_volume} of water is about what it takes to cover {produce} of {kind}.",),
        "spare": ("{spare} left to the fill line.",),
        "open_space": ("{open_space} of headspace: {contents} of produce and water in a vessel of {capacity}.",),
        "fits": ("{fits} of {kind} fits a vessel of {capacity} filled to {room}.",),
        "produce": ("{produce} of {kind}.",),
    },
    wanted={
        "capacity": ("needed",),
        "volume": ("needed",),
        "count": ("count",),
        "filled": ("level",),
        "water": ("water_volume",),
        "headspace": ("open_space",),
        "produce": ("fits",),
        "mass": ("fits",),
        "mash": ("fits",),
        "brine": ("water_volume",),
    },
    sources=(ARITHMETIC, WALL),
    examples=(
        Example("how big a jar for 3 kg of mash", "needed", 4.1667, "liter", 0.001, PRACTICE),
        Example("how many 5 gallon buckets for 50 pounds of mash", "count", 2, "", 0, PRACTICE),
        Example("will 5 kg of peppers fit in a 10 L crock", "level", 75.0, "percent", 0.01, ARITHMETIC),
    ),
)
"""Produce takes its own space; brine fills the gaps; the rest is headspace for gas."""

CALCULATORS = (VESSEL, CYLINDER)
