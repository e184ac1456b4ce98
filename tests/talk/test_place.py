"""Which amount becomes which input, where the words leave it nearly open."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import pytest

from assistant.talk.place import dimension, fits, place, possible, rates, to_canonical, which
from assistant.trade import calculator
from grammar.types import Amount, Word
from tests.helpers import kinds, say, value


@pytest.mark.parametrize(
    ("line", "sample", "titrant"),
    [
        ("titrated 10 mL, took 8 mL of 0.1 N", 10, 8),
        ("titrated 10 mL of sauce at 0.1 N, 15 mL", 10, 15),
        ("titrated 10 mL of sauce, took 15 mL with 0.1 N", 10, 15),
        ("titrated 10 mL with 15 mL of 0.1 N", 10, 15),
        ("titrated 10 mL, took 15 mL with 0.1 N lye", 10, 15),
    ],
)
def test_sample_and_lye_are_told_apart(line: str, sample: float, titrant: float) -> None:
    """The lye is what was dripped "with", what stands before the normality, or the one left beside a sample."""
    assert value(say(line), "sample_volume", "milliliter") == pytest.approx(sample)
    assert value(say(line), "titrant", "milliliter") == pytest.approx(titrant)


@pytest.mark.parametrize("line", ["0.1 N lye, 20 g took 15 mL", "titrated 20 g at 0.1 N, 15 mL"])
def test_beside_a_weighed_sample_a_volume_is_the_lye(line: str) -> None:
    """What was titrated was weighed, so the one volume is what was dripped in."""
    assert value(say(line), "sample", "gram") == pytest.approx(20)
    assert value(say(line), "titrant", "milliliter") == pytest.approx(15)


@pytest.mark.parametrize("line", ["titrated, 0.1 N naoh, 15 mL", "titrated 15 mL with 0.1 N naoh"])
def test_one_volume_may_be_either(line: str) -> None:
    """A single volume with no noun is asked about: it may be the sample or the lye, and the acid hangs on it."""
    replies = say(line)
    assert kinds(replies) == ["ask"]
    assert "the sample by volume or the sodium hydroxide" in replies[0].text


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        # worked by hand: 1 kg at 10 % and 3 kg at 2 % hold 100 + 60 g in 4 kg, 4 %; the other way round 20 + 300 g, 8 %
        ("mix 10% brine with 3 kg at 2%", 4),
        ("mix 10% with 3 kg of 2%", 4),
        ("mix 10% brine and 3 kg of 2% brine", 4),
        ("blend 3 kg at 2% with a 10% brine", 4),
        ("mix 2% brine, 3 kg, and 10% brine", 4),
        ("mix a 2% brine and a 10% brine, 3 kg of the second", 8),
    ],
)
def test_an_amount_has_the_strength_said_of_it(line: str, expected: float) -> None:
    """Of two strengths the amount has the one said "of" or "at" it, or that of the one it is said of."""
    assert value(say(line, "1 kg"), "after", "percent") == pytest.approx(expected)


PLAIN: dict[str, str] = {
    # common practice, no source: what a cook who names no thing means, of up to three amounts of a unit in a row
    "packed": "kilogram=produce percent=of_total kilogram_per_liter=per_litre",
    "brine": "liter=water_volume percent=of_water kilogram_per_liter=per_litre",
    "mash": "kilogram=produce percent=of_produce",
    "vessel": "kilogram=produce liter=capacity",
    "cylinder": "liter=capacity",
    "raise": "kilogram=amount liter=amount_volume percent=before,after",
    "dilute": "kilogram=amount liter=amount_volume percent=before,after",
    "mix": "kilogram=first,second liter=first_volume,second_volume percent=first_salt,second_salt",
    "top-up": "kilogram=first liter=second_volume percent=first_salt,second_salt",
    "strain": "kilogram=batch percent=batch_salt",
    "simmer": "kilogram=amount percent=before,after",
    "thicken": "kilogram=sauce liter=sauce_volume percent=gum_share",
    "gum-down": "kilogram=sauce liter=sauce_volume percent=gum_now,gum_after",
    "trial": "kilogram=sample,dose,sauce",
    "acetic": "kilogram=sauce liter=sauce_volume",
    "adjust": "kilogram=sauce liter=sauce_volume percent=of_whole,salt_after",
    "acetic-ph": "percent=share",
    "lactic-ph": "percent=share",
    "citric-ph": "percent=share",
    "diluted-vinegar": "liter=vinegar percent=share",
    "titration": "kilogram=sample percent=as_lactic normality=normality number=normality",
    "acid-swap": "kilogram=vinegar liter=vinegar_volume percent=label",
    "vinegar-strength": "kilogram=first liter=first_volume percent=first_label,second_label",
    "heat-blend": "kilogram=first,second",
    "heat-down": "kilogram=sauce liter=sauce_volume percent=left",
    "heat-units": "percent=capsaicinoids",
    "heat-dry": "percent=moisture",
    "serving": "liter=serving percent=of_whole",
    "sweeten": "kilogram=sauce liter=sauce_volume percent=sugar_share,sugar_there",
    "bottle-gas": "liter=sauce_volume percent=sugar_share kilogram_per_liter=sugar_litre degree_Celsius=temperature",
    "hold": "degree_Celsius=temperature minute=time centimeter=altitude number=ph",
    "equivalent": "minute=time number=ph",
    "filled": "liter=sauce_volume number=ph",
    "sanitizer": "liter=water percent=strength ppm=ppm",
    "sanitizer-ratio": "liter=water percent=strength",
    "boiling": "degree_Celsius=shown centimeter=altitude",
    "ice-point": "degree_Celsius=ice_shown",
    "bottling": "kilogram=sauce liter=sauce_volume kilogram_per_liter=sauce_density centimeter=gap",
    "gravity": "percent=of_whole kilogram_per_liter=density degree_Celsius=temperature",
    "salometer": "percent=of_whole degree_Celsius=temperature number=salometer",
    "saturation": "liter=water_volume degree_Celsius=temperature",
    "calibration": "percent=efficiency degree_Celsius=temperature",
    "buffer": "degree_Celsius=temperature",
    "spoon": "kilogram=salt liter=salt_volume",
    "substance": "kilogram=mass liter=volume",
    "calendar": "minute=span",
}
UNITS = {"number": ""}
VALUES = {"percent": 4.0, "kilogram_per_liter": 1.1, "degree_Celsius": 70.0, "minute": 5.0, "ppm": 200.0, "number": 4.0,
          "normality": 0.1}  # fmt: skip


@pytest.mark.parametrize("name", PLAIN)
def test_what_a_bare_amount_is(name: str) -> None:
    """An amount with no word of its own is what such an amount plainly is, or it is left to be asked about."""
    expected = dict(one.split("=") for one in PLAIN[name].split())
    for unit, inputs in expected.items():
        size = VALUES.get(unit, 1.0)
        said = [Amount(size, UNITS.get(unit, unit), (3 * at, 3 * at + 2), "x") for at in range(3)]
        found = place(calculator(name), said, "us")
        assert inputs == ",".join(one.name for one in found.given), unit
        assert len(found.given) + len(found.unplaced) + len(found.misfit) == 3


def test_a_part_below_one_is_shown_as_a_percentage() -> None:
    """A bare "0.4" said of what is a part of a whole is 0.4 of it, and is repeated as 40 %; "4" is no part."""
    chosen = calculator("heat-down")
    found = place(chosen, [Amount(0.4, "", (0, 3), "0.4")], "us", asking=("left",)).given
    assert [(one.name, one.value, one.amount.value, one.amount.unit) for one in found] == [("left", 0.4, 40, "percent")]
    for whole in (1.0, 1.5, 4.0):
        assert not place(chosen, [Amount(whole, "", (0, 1), "4")], "us", asking=("left",)).given


def bare(value: float, unit: str = "", mark: str = "", noun: Word | None = None) -> Amount:
    """An amount as it is said, with a preposition or a noun where one is given."""
    return Amount(value, unit, (0, 3), "x", mark, noun)


@pytest.mark.parametrize(
    ("name", "quantity", "amount", "asking", "fit"),
    [
        # the scale of pH runs from 0 to 14, and a number said where something else is asked for is that
        ("hold", "ph", bare(0.0), (), True),
        ("hold", "ph", bare(14.0), (), True),
        ("hold", "ph", bare(14.1), (), False),
        ("hold", "ph", bare(-0.1), (), False),
        ("hold", "ph", bare(4.0), ("ph",), True),
        ("hold", "ph", bare(4.0), ("time",), False),
        ("hold", "ph", bare(4.0, "percent"), (), False),
        # no number under 100 is a heat in SHU, but none at all is one
        ("heat-blend", "first_heat", bare(99.0), ("first_heat",), False),
        ("heat-blend", "first_heat", bare(100.0), ("first_heat",), True),
        ("heat-blend", "first_heat", bare(0.0), ("first_heat",), True),
        # a bare number is a percentage only where one was asked for
        ("mash", "of_produce", bare(3.0), ("of_produce",), True),
        ("mash", "of_produce", bare(3.0), (), False),
        ("mash", "of_produce", bare(3.0), ("produce",), False),
        ("mash", "produce", bare(3.0), ("produce",), False),
        ("mash", "produce", bare(3.0, "kilogram"), (), True),
        ("mash", "produce", bare(3.0, "liter"), (), False),
        # 25 ppm is the dose of a sanitizer and no strength of its bottle
        ("sanitizer", "strength", bare(25.0, "ppm"), (), False),
        ("sanitizer", "ppm", bare(25.0, "ppm"), (), True),
        ("sanitizer", "strength", bare(5.0, "percent"), (), True),
        # parts are counted only where they are asked for
        ("sanitizer-ratio", "parts", bare(64.0), ("parts",), True),
        ("sanitizer-ratio", "parts", bare(64.0), (), False),
    ],
)
def test_what_a_unit_can_measure(name: str, quantity: str, amount: Amount, asking: tuple[str, ...], fit: bool) -> None:
    """An amount fits an input by its unit; one without a unit fits what a bare number can mean there."""
    assert fit == fits(amount, calculator(name).input(quantity), asking)


def test_a_rate_is_one_strength() -> None:
    """ "30 g per 2 L" is 15 g/L, "30 g per 2 kg" 15 g/kg; no rate is made of what does not stand per something."""
    # worked by hand: 30 / 2
    (by_volume,) = rates([bare(30, "gram"), bare(2, "liter", "per")])
    assert (by_volume.value, by_volume.unit) == (pytest.approx(15), "gram_per_liter")
    (by_mass,) = rates([bare(30, "gram"), bare(2, "kilogram", "per")])
    assert (by_mass.value, by_mass.unit) == (pytest.approx(15), "gram_per_kilogram")
    assert len(rates([bare(30, "gram"), bare(2, "liter", "in")])) == 2
    assert len(rates([bare(1, "liter"), bare(2, "liter", "per")])) == 2
    assert math.isnan(rates([bare(30, "gram"), bare(0, "liter", "per")])[0].value)


def test_a_rate_keeps_what_it_is_of() -> None:
    """ "Per litre of water" stays a rate of water; "per jar" is no word for a strength."""
    water, jar = Word("substance", "water", (0, 0), "water"), Word("vessel", "jar", (0, 0), "jar")
    (said,) = rates([bare(30, "gram"), bare(1, "liter", "per", water)])
    assert (said.noun, said.tied) == (water, True)
    (other,) = rates([bare(30, "gram"), bare(1, "liter", "per", jar)])
    assert (other.noun, other.tied) == (None, False)


def test_first_or_second() -> None:
    """One of two is named by "first" or "second", and by neither where both are said."""
    first, second = (Word("order", one, (0, 0), one) for one in ("first", "second"))
    assert (which([first]), which([second]), which([first, second]), which([])) == ("first", "second", "", "")


def test_a_dimension_is_found_for_each_unit() -> None:
    """A unit's dimension is found through "us" and "imperial", a step of temperature has its own, none has none."""
    assert [dimension(one) for one in ("gram", "us_cup", "pound_per_us_gallon", "delta_degree_Celsius", "")] == [
        "mass", "volume", "density", "difference", "",
    ]  # fmt: skip


def test_a_bare_answer_is_in_the_unit_asked_for() -> None:
    """ "3" answered to a strength is 3 %, to mV it is mV."""
    assert to_canonical(bare(3), calculator("mash").input("of_produce")) == pytest.approx(0.03)
    assert to_canonical(bare(3), calculator("calibration").input("seven")) == pytest.approx(
        to_canonical(bare(3, "millivolt"), calculator("calibration").input("seven"))
    )


def test_what_could_have_been_meant() -> None:
    """Offered is what is asked for, of the amount's dimension, not taken yet; nothing for "per" and for no unit."""
    mix = calculator("mix")
    names = [one.name for one in possible(mix, bare(2, "kilogram"), ())]
    assert names[:2] == ["first", "second"]
    assert [one.name for one in possible(mix, bare(2, "kilogram"), ("first",))] == names[1:]
    assert not possible(mix, bare(2, "kilogram", "per"), ())
    assert not possible(mix, bare(2), ())


CHILLI, GARLIC, SALT = (Word(kind, term, (0, 0), term) for kind, term in (
    ("produce", "chilli"), ("produce", "garlic"), ("salt", "salt"),
))  # fmt: skip
BATCH = Word("batch", "batch", (0, 0), "batch")
PLACED: tuple[tuple[str, list[Amount], dict[str, Any], str], ...] = (
    # calculator, what is said, what is open, and where it goes; "?" is left open
    ("mash", [bare(100, "gram", noun=SALT)], {"asking": ("produce",)}, "salt"),  # a word outweighs the question
    ("mix", [bare(2, "kilogram")], {"asking": ("second",)}, "second"),  # the question outweighs the order
    ("mix", [bare(2, "kilogram")], {}, "first"),
    ("raise", [bare(4, "percent")], {"held": {"after": "percent"}}, "after"),
    ("raise", [bare(4, "percent")], {"held": {"before": "percent", "after": "percent"}}, "?"),
    ("raise", [bare(4, "percent")], {"held": {"before": "percent", "after": "gram_per_liter"}}, "before"),
    ("raise", [bare(4, "percent")], {"held": {"before": "gram_per_liter", "after": "percent"}}, "after"),
    ("raise", [bare(4, "percent")], {"asking": ("amount",), "later": ("after",)}, "after"),
    ("raise", [bare(4, "percent")], {"asking": ("before",), "held": {"after": "gram_per_liter"}}, "before"),
    ("raise", [bare(4, "percent", "to")], {}, "after"),
    ("raise", [bare(4, "percent", "to")], {"later": ("before",)}, "after"),
    ("raise", [bare(4, "percent", "from")], {}, "before"),
    ("simmer", [bare(3, "percent", "to")], {"taken": ("after",)}, "?"),  # what is led by "to" was not measured
    ("mash", [bare(2, "kilogram")], {"taken": ("produce",)}, "?"),
    ("mash", [bare(2, "kilogram")], {"placed": (((0, 3), "salt"),)}, "salt"),
    ("mash", [bare(2, "kilogram")], {"placed": (((0, 3), "of_produce"),)}, "produce"),  # an earlier line's place
    ("mash", [bare(100, "gram", "per")], {}, "?"),  # "100 g per" is not 100 g
    ("dilute", [bare(3, "percent", "by")], {}, "?"),
    ("mash", [bare(3, "us_tablespoon")], {}, "salt_volume"),
    ("mash", [bare(3, "tablespoon", "per")], {}, "?"),
    ("mash", [bare(2, "liter", noun=CHILLI)], {}, "!produce"),
    ("bottling", [bare(5, "ounce")], {"asking": ("bottle_size",)}, "bottle_size"),
    ("bottling", [bare(5, "ounce", noun=BATCH)], {"asking": ("bottle_size",)}, "sauce"),
    ("bottling", [bare(5, "ounce")], {"asking": ("sauce",)}, "sauce"),
    ("calendar", [bare(20260401, "date", "by")], {"held": {"start": "date"}}, "end"),  # "by the 20th" is no start
    ("calendar", [bare(20260401, "date", "from")], {}, "start"),
    ("calendar", [bare(401, "date")], {}, "?"),  # no year yet
)  # fmt: skip


@pytest.mark.parametrize("row", PLACED, ids=[f"{one[0]} {one[1][0].unit} {at}" for at, one in enumerate(PLACED)])
def test_which_hint_outweighs_which(row: tuple[str, list[Amount], dict[str, Any], str]) -> None:
    """A word of its own, then the question, what is held, what is asked next, a preposition, and what it plainly is."""
    name, said, open_, expected = row
    found = place(calculator(name), said, "us", **open_)
    got = [one.name for one in found.given] + ["?"] * len(found.unplaced) + [f"!{one.name}" for _, one in found.misfit]
    assert got == [expected]


@pytest.mark.parametrize(
    ("second", "total"),
    [
        (bare(1, "kilogram", "and", GARLIC), 3.0),
        (bare(1, "kilogram", "of"), 3.0),
        (bare(1, "kilogram"), None),  # it may be what was thrown out
        (bare(1, "kilogram", "", CHILLI), None),
    ],
)
def test_more_produce_is_added(second: Amount, total: float | None) -> None:
    """ "2 kg of chillies and 1 kg of garlic" is 3 kg of produce; the same thing twice, or a bare weight, is asked."""
    found = place(calculator("mash"), [bare(2, "kilogram", noun=CHILLI), replace(second, span=(5, 8))], "us")
    assert [one.value for one in found.given] == [total or 2.0]
    assert len(found.unplaced) == (0 if total else 1)


def test_a_part_that_was_chosen_is_a_part() -> None:
    """A bare 0.4 that the person said to be what is left is 0.4 of it, and not 0.4 %."""
    chosen = place(calculator("heat-down"), [bare(0.4)], "us", placed=(((0, 3), "left"),)).given
    assert [(one.name, one.value) for one in chosen] == [("left", 0.4)]


@pytest.mark.parametrize(("mark", "names"), [("to", ["salt_after"]), ("from", ["of_whole", "salt_after"])])
def test_acid_and_gum_are_meant_only_by_name(mark: str, names: list[str]) -> None:
    """Of several targets a percentage with no word is salt; it is never taken for acid or gum by its preposition."""
    said = [replace(bare(1, "percent", mark), span=(5 * at, 5 * at + 3)) for at in range(4)]
    found = place(calculator("adjust"), said, "us")
    assert [one.name for one in found.given] == names
    assert len(found.unplaced) == 4 - len(names)
