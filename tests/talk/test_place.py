"""Which amount becomes which input, where the words leave it nearly open."""

from __future__ import annotations

import pytest

from assistant.talk.place import place
from assistant.trade import calculator
from grammar.types import Amount
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
    assert not place(chosen, [Amount(4.0, "", (0, 1), "4")], "us", asking=("left",)).given
