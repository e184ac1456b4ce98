"""Bottles: how many a sauce fills, what is left over, and how much sauce, mash and produce so many bottles take.

A bottle takes what it is sold as holding; a headspace that is said comes off that. What stays in the pot, the funnel
and the filler is a share of the sauce. Nothing but strained mash is counted as sauce: vinegar or water that goes in
later makes less mash do.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace

from assistant.declare import ARITHMETIC, PRACTICE, Calculator, Default, Example, Input, Limit, Relation, Source, Worked
from assistant.trade.finishing import BY_SAUCE_VOLUME, SAUCE_WEIGHS
from assistant.trade.shared import OF_WHOLE_LIMIT, WHOLE, mass, volume
from assistant.trade.vessel import QUARTER_PI

LOST = Source("common practice, no source: a US gallon is counted as 24 bottles of 5 fl oz, and holds 25.6 of them")
LABELLED = Source("common practice, no source: a bottle is sold by what goes into it; to the brim it holds more")
PRESSED = Source("common practice, no source: 60 to 80 % of a mash goes through a strainer")

_SIZE = Limit(0, 50, "liter", too_high="A vessel of {bottle_size} is no bottle")
_COUNT = Limit(0, 1_000_000, "count")
_NONE_OR_MORE = Limit(0, 1_000_000, "count", from_low=True)
_FEW = 1e-9
"""The part of a bottle that may be short for it to count as full: the rounding of a sum, and no sauce."""


def whole(value: float) -> float:
    """The whole bottles or cases in so many; a hair under a whole one is one."""
    return float(math.floor(value + _FEW))


def bottle(known: Mapping[str, float], words: frozenset[str]) -> Worked:
    """What the known quantities come to: bottles of a sauce, sauce for bottles, or whether the one does for the other.

    Args:
        known: quantities in litres, kg, dm and parts of one.
        words: words said, quantities asked for by name ("?mash") and quantities given ("=lost").
    """
    if (open_ := _open(known)) is not None:
        return Worked(missing=(open_,))
    made = {**known, "bottle_size": known.get("bottle_size", known.get("bottle_fill", 0.0))}
    made.setdefault("bottle_fill", made["bottle_size"])
    lossless = "no-loss" in words and "=loss" not in words and "=lost" not in words
    made["loss"] = 0.0 if lossless else made["loss"]
    there, counted = "sauce_volume" in known, "bottles" in known
    if counted:
        filled = made["bottles"] * made["bottle_fill"]
        made["needed"] = filled + made["lost"] if "=lost" in words else filled / (1 - made["loss"])
        if not there:
            made["sauce_volume"] = made["needed"]
            made["sauce"] = made["needed"] * made["sauce_density"]
            made["mash"] = made["sauce"] / made["yielded"]
            made["produce"] = made["mash"] * (1 - made["mash_salt"])
        made["spare"] = max(made["sauce_volume"] - made["needed"], 0.0)
        made["short"] = max(made["needed"] - made["sauce_volume"], 0.0)
    if there:
        made["bottled"] = max(made["sauce_volume"] * (1 - made["loss"]), 0.0)
        made["full_bottles"] = whole(made["bottled"] / made["bottle_fill"])
        left = made["bottled"] - made["full_bottles"] * made["bottle_fill"]
        made["left_over"] = left if left > _FEW * made["bottle_fill"] else 0.0
    count = made["bottles"] if counted else made["full_bottles"]
    made["full_cases"] = whole(count / made["per_case"])
    made["beside"] = max(count - made["full_cases"] * made["per_case"], 0.0)
    made["caps"] = math.ceil(count - _FEW) + made["spare_caps"]
    back = not there and bool(words & {"?mash", "?produce", "=yielded", "=mash_salt"})
    new = {name: value for name, value in made.items() if known.get(name) != value}
    used = ["sauce_density"] if not there or "=sauce_volume" not in words else []
    used += [] if "=lost" in words or lossless else ["loss"]
    used += ["yielded"] if back or words & {"=mash", "=produce"} else []
    used += ["mash_salt"] if back or "=produce" in words else []
    headline = " ".join(_sentences(made, "jar" if "jar" in words else "bottle", there, counted, back))
    return Worked(new, (), tuple(used), headline, _lines(made, words, there, counted, back))


def _open(known: Mapping[str, float]) -> str | None:
    """What has to be asked for, or None."""
    if "gap" in known and "bottle_headspace" not in known:
        return "neck"  # a length is a volume only by the width of the neck
    if "neck" in known and "bottle_headspace" not in known:
        return "bottle_headspace"
    if "bottle_size" not in known and "bottle_fill" not in known:
        return "bottle_size"
    if "sauce_volume" not in known and "bottles" not in known:
        return "sauce"
    return None


def _several(name: str, value: float, one: str) -> str:
    """A count with its noun."""
    return f"{{{name}}} {one}" if abs(value - 1) < _FEW else f"{{{name}}} {one}s"


def _of(made: Mapping[str, float]) -> str:
    """The bottle in words, with how far it is filled where that is not all of it."""
    if abs(made["bottle_fill"] - made["bottle_size"]) < _FEW:
        return "{bottle_size}"
    level = ", {gap} below the brim," if "gap" in made else ""
    return f"{{bottle_size}} filled to {{bottle_fill}}{level}"


def _sentences(made: Mapping[str, float], one: str, there: bool, counted: bool, back: bool) -> list[str]:
    """The answer, from what was asked to the cases and caps."""
    of = _of(made)
    bottles = _several("bottles", made.get("bottles", 0.0), one)
    full = _several("full_bottles", made.get("full_bottles", 0.0), one)
    stays = "{lost}" if "lost" in made else "{loss}"
    if there and counted and made["short"] > _FEW:
        said = [f"No: {bottles} of {of} take {{needed}} with the {stays} that stays behind, {{short}} more than the "
                f"{{sauce_volume}} there is; that fills {full}."]  # fmt: skip
    elif there and counted:
        said = [f"Yes: {bottles} of {of} take {{needed}} of the {{sauce_volume}} there is, with the {stays} that "
                "stays behind: {spare} is left."]  # fmt: skip
    elif there:
        said = [f"{full} of {of} from {{sauce_volume}} of sauce, and {{left_over}} left over; {stays} stays behind."]
    else:
        verb = "takes" if abs(made["bottles"] - 1) < _FEW else "take"
        said = [f"{bottles} of {of} {verb} {{sauce_volume}} of sauce, {{sauce}}, with the {stays} that stays behind."]
    if back:
        said += [
            "That is {mash} of mash at {mash_salt} salt, strained at a yield of {yielded}, from {produce} of trimmed "
            "produce."
        ]
    cases = f"{_several('full_cases', made['full_cases'], 'case')} of {{per_case}}"
    if made["full_cases"] and made["beside"]:
        said += [f"{cases} and {{beside}} beside; {{caps}} caps with {{spare_caps}} spare."]
    elif made["full_cases"]:
        said += [f"{cases}; {{caps}} caps with {{spare_caps}} spare."]
    else:
        said += ["{caps} caps with {spare_caps} spare."]
    return said


def _lines(made: Mapping[str, float], words: frozenset[str], there: bool, counted: bool, back: bool) -> tuple[str, ...]:
    """The sums behind it."""
    lines = []
    if "neck" in made:
        lines.append("Empty: pi/4 x {neck}^2 x {gap} = {bottle_headspace} a bottle.")
    if "bottle_headspace" in made:
        lines.append("In each: {bottle_size} - {bottle_headspace} = {bottle_fill}.")
    if there:
        if "=produce" in words:
            lines.append("Mash: {produce} / (1 - {mash_salt}) = {mash}.")
        if "=mash" in words or "=produce" in words:
            lines.append("Sauce: {mash} x {yielded} = {sauce}.")
        if "=sauce_volume" not in words:
            lines.append("By volume: {sauce} / {sauce_density} = {sauce_volume}.")
        if "=lost" in words:
            lines.append("To bottle: {sauce_volume} - {lost} = {bottled}.")
        else:
            lines.append("To bottle: {sauce_volume} x (1 - {loss}) = {bottled}.")
        lines.append("Bottles: {bottled} / {bottle_fill}, rounded down to whole ones = {full_bottles}.")
        lines.append("Left over: {bottled} - {full_bottles} x {bottle_fill} = {left_over}.")
    if counted:
        if "=cases" in words:
            lines.append("Bottles: {cases} x {per_case} = {bottles}.")
        if "=lost" in words:
            lines.append("Sauce: {bottles} x {bottle_fill} + {lost} = {needed}.")
        else:
            lines.append("Sauce: {bottles} x {bottle_fill} / (1 - {loss}) = {needed}.")
    if counted and not there:
        lines.append("By weight: {sauce_volume} x {sauce_density} = {sauce}.")
    if back:
        lines += ["Mash: {sauce} / {yielded} = {mash}.", "Produce: {mash} x (1 - {mash_salt}) = {produce}."]
    return tuple(lines)


BOTTLING = Calculator(
    name="bottling",
    title="Bottles",
    does="how many bottles a sauce fills and what is left over, or the sauce, mash and produce for so many bottles",
    inputs=(
        mass("sauce", "sauce", ask="How much sauce is there, or how many bottles do you want?", plain=True,
             terms=("batch", "strained"), marks=("from", "for", "in", "of", "with"),
             instead=("sauce_volume", "bottles"), reads="mass"),
        volume("sauce_volume", "sauce by volume", terms=("batch", "strained", "filled"), plain=True,
               marks=("from", "for", "with")),
        replace(SAUCE_WEIGHS, plain=True, reads="density"),
        Input("bottle_size", "volume", "bottle", _SIZE, ask="How big is a bottle, in mL or fl oz?",
              terms=("bottle", "jar", "capacity"), marks=("of", "in", "by"), named=True),
        Input("bottles", "count", "number of bottles", _COUNT, terms=("bottle", "jar")),
        Input("bottle_fill", "volume", "what goes into a bottle", _SIZE, terms=("filled",), marks=("to",)),
        Input("bottle_headspace", "volume", "headspace of a bottle",
              Limit(0, 50, "liter", from_low=True), terms=("headspace",), named=True,
              ask="How much of each bottle stays empty, in mL?", instead=("headroom", "gap")),
        Input("headroom", "fraction", "share of a bottle left empty", Limit(0, 99, "percent", from_low=True),
              terms=("headspace",), ask="Which share of a bottle stays empty, in %?"),
        Input("fill_share", "fraction", "share of a bottle that is filled", Limit(1, 100, "percent"),
              terms=("filled",), ask="How full is a bottle filled, in %?"),
        Input("gap", "length", "level below the brim", Limit(0, 30, "centimeter"), terms=("headspace",), plain=True,
              ask="How far below the brim does the sauce stand, in mm or inches?"),
        Input("neck", "length", "width of the neck inside", Limit(0, 30, "centimeter"), terms=("neck", "diameter"),
              ask="How wide is the neck inside, in mm or inches? Without it a length of headspace is no volume"),
        Input(
            "loss", "fraction", "share that stays behind", Limit(0, 90, "percent", from_low=True), terms=("loss",),
            ask="Which share of the sauce stays in pot and funnel, in %?", instead=("lost",),
            default=Default(6.0, "percent", "6% of the sauce stays in the pot, the funnel and the filler", LOST),
        ),
        volume("lost", "what stays behind", terms=("loss",)),
        Input("cases", "count", "cases", _COUNT, terms=("case",)),
        Input("per_case", "count", "bottles to a case", Limit(1, 1000, "count", from_low=True),
              terms=("case",), marks=("of", "per", "in"),
              default=Default(12.0, "count", "a case holds 12", PRACTICE)),
        Input("spare_caps", "count", "spare caps", _NONE_OR_MORE, terms=("cap",),
              default=Default(2.0, "count", "2 spare caps", PRACTICE)),
        mass("mash", "mash before straining", terms=("mash",), marks=("from", "for", "of")),
        Input(
            "yielded", "fraction", "yield of straining", Limit(1, 100, "percent"), terms=("yield",),
            ask="Which share of the mash goes through the strainer, in %?",
            default=Default(70.0, "percent", "70% of the mash goes through the strainer, and nothing else goes into "
                            "the sauce", PRESSED),
        ),
        mass("produce", "trimmed produce", terms=("produce", "@produce"), marks=("from", "for", "of")),
        Input(
            "mash_salt", "fraction", "salt of the mash", OF_WHOLE_LIMIT, basis=WHOLE, terms=("salt",), named=True,
            default=Default(3.0, "percent", "the mash is 3% salt, and the rest produce", PRACTICE),
        ),
        Input("full_bottles", "count", "full bottles",
              Limit(1, 1_000_000, "count", from_low=True,
                    too_low="{sauce_volume} of sauce, less what stays behind, does not fill one bottle")),
        volume("bottled", "what can be bottled"),
        Input("left_over", "volume", "left over", Limit(0, 5000, "liter", from_low=True)),
        volume("needed", "sauce that the bottles take"),
        Input("spare", "volume", "sauce to spare", Limit(0, 5000, "liter", from_low=True)),
        Input("short", "volume", "sauce that is short", Limit(0, 5000, "liter", from_low=True)),
        Input("full_cases", "count", "full cases", _NONE_OR_MORE),
        Input("beside", "count", "bottles beside the cases", _NONE_OR_MORE),
        Input("caps", "count", "caps", _NONE_OR_MORE),
    ),
    relations=(
        BY_SAUCE_VOLUME,
        Relation("lost = loss * sauce_volume", {"loss": "lost / sauce_volume"}),
        Relation("sauce = yielded * mash", {"sauce": "yielded * mash"}),
        Relation("produce = mash * (1 - mash_salt)", {"mash": "produce / (1 - mash_salt)"}),
        Relation("bottles = cases * per_case", {"bottles": "cases * per_case"}),
        Relation("fill_share = 1 - headroom", {"headroom": "1 - fill_share"}),
        Relation("bottle_headspace = headroom * bottle_size", {"bottle_headspace": "headroom * bottle_size"}),
        Relation(
            f"bottle_headspace = {QUARTER_PI} * neck ** 2 * gap",
            {
                "bottle_headspace": f"{QUARTER_PI} * neck ** 2 * gap",
                "gap": f"bottle_headspace / ({QUARTER_PI} * neck ** 2)",
            },
        ),
        Relation(
            "bottle_fill = bottle_size - bottle_headspace",
            {"bottle_fill": "bottle_size - bottle_headspace", "bottle_headspace": "bottle_size - bottle_fill"},
        ),
    ),
    goals=("full_bottles",),
    called_by=(
        "bottle", "bottle ?count", "bottle batch", "bottle mash", "bottle strained", "bottle #volume", "bottle filled",
        "bottle headspace", "bottle ?count batch", "bottle ?count mash", "bottle ?count produce", "bottle case",
        "bottle ?count @produce", "bottle ?count filled", "bottle ?mash", "bottle ?produce", "bottle ?batch",
        "bottle cap", "bottle ?case", "bottle ?cap", "bottling", "bottling batch", "bottling bottle",
        "#jarred",
    ),
    headline={"full_bottles": ("{full_bottles} bottles.",)},
    tail=(
        "A bottle is taken to hold what it is sold as, and its brim more. Sauce is counted as it goes into bottles: "
        "mash that is still to be strained makes less.",
    ),
    wanted={
        "count": ("full_bottles",), "batch": ("sauce_volume",), "volume": ("sauce_volume",), "mass": ("sauce",),
        "mash": ("mash",), "produce": ("produce",), "case": ("full_cases",), "cap": ("caps",),
        "headspace": ("bottle_headspace",),
    },
    excluded_by=frozenset({"bleach", "iodophor", "sanitizing", "fermenting", "mashing", "gas", "brine", "covering"}),
    sources=(ARITHMETIC, LABELLED, LOST),
    program=bottle,
    examples=(
        Example("how many 150 ml bottles from 4.2 litres", "full_bottles", 26, "", 0, LOST),
        Example("how much sauce for 60 bottles of 150 ml", "sauce_volume", 9.5745, "liter", 0.0001, LOST),
    ),
)  # fmt: skip
"""4.2 L less 6 % is 3.948 L: 26 bottles and 48 mL. 60 x 150 mL is 9 L, and 9 / 0.94 is 9.57 L."""

CALCULATORS = (BOTTLING,)
