"""Questions asked over the finishing pot, each with the number that comes out of it by hand.

Worked by hand means that the sum stands beside the question; nothing here is read off another program.
"""

from __future__ import annotations

from dataclasses import dataclass

import pytest

from tests.helpers import say, value


@dataclass(frozen=True)
class Asked:
    """A talk, and what its last answer must hold."""

    lines: tuple[str, ...]
    name: str
    value: float
    unit: str
    within: float
    by_hand: str


QUESTIONS = (
    Asked(
        ("a litre of 5% vinegar in 4 kg of sauce, how much acid",), "acetic", 1.0, "percent", 0.01,
        "0.05 / (4 + 1.005): a fifth of a 5 % vinegar is about 1 %",
    ),
    Asked(
        ("bench trial: 100 g took 8 g of vinegar, and there are six and a half kilos",), "needed", 520, "gram", 0.5,
        "8 x 65",
    ),
    Asked(
        ("bench trial: 100 g took 8 g of vinegar, and there are six and a half kilos",), "first", 468, "gram", 0.5,
        "0.9 x 520",
    ),
    Asked(
        ("will a cup of 5% vinegar to a gallon of sauce do?",), "poured", 5.9, "percent", 0.05,
        "237.9 g of vinegar in 237.9 + 3785 g",
    ),
    Asked(
        ("will a cup of 5% vinegar to a gallon of sauce do?",), "acetic", 0.29, "percent", 0.005,
        "0.05 x 236.6 mL = 11.83 g in 4,023 g",
    ),
    Asked(
        ("there's two kilos at three percent and i want two percent salt in the end",), "water", 1.0, "kilogram", 0.001,
        "60 g of salt is 2 % of 3 kg",
    ),
    Asked(("xanthan for a gallon of sauce at 0.15%",), "gum", 5.7, "gram", 0.05, "3785 x 0.0015 / 0.9985"),
    Asked(("xanthan for a gallon of sauce at 0.1%",), "gum", 3.8, "gram", 0.05, "3785 x 0.001 / 0.999"),
    Asked(("and xanthan at 0.15% for two and a half litres of sauce",), "gum", 3.8, "gram", 0.05, "2500 x 0.0015"),
    Asked(("and xanthan at 0.2% for two and a half litres of sauce",), "gum", 5.0, "gram", 0.05, "2500 x 0.002"),
    Asked(
        ("half a teaspoon of xanthan to a quart of sauce",), "gum_share", 0.15, "percent", 0.01,
        "2.75 / 2 = 1.4 g in 946 g; a teaspoon of 2.5 to 3 g is common practice, no source",
    ),
    Asked(
        ("an eighth of a teaspoon of xanthan per cup of sauce",), "gum_share", 0.15, "percent", 0.01,
        "2.75 / 8 = 0.34 g in 237 g",
    ),
    Asked(
        ("how many teaspoons of xanthan for a gallon of sauce at 0.15%",), "gum_volume", 2.07, "us_teaspoon", 0.03,
        "5.69 g at 2.75 g a teaspoon: about two",
    ),
    Asked(
        ("too much gum, dilute 2 kg of sauce from 0.6% to 0.2% gum",), "ungummed", 4.0, "kilogram", 0.001,
        "12 g of gum is 0.2 % of 6 kg",
    ),
    Asked(
        ("mix 2 kg of sauce at 2% with 50 g of fish sauce at 22%",), "after", 2.49, "percent", 0.01,
        "50 g at 22 % bring 11 g: 51 g in 2,050 g",
    ),
    Asked(
        ("three kilos at three percent and half a kilo simmered off",), "after", 3.6, "percent", 0.001,
        "90 g of salt in 2.5 kg",
    ),
    Asked(
        ("the recipe says 500 g of 5% vinegar, mine is 4%",), "second", 625, "gram", 1.0,
        "500 x 5 / 4 by volume; the weaker one is lighter: 500 / 1.0054 x 1.25 x 1.0039 = 624 g",
    ),
    Asked(
        ("how much citric acid instead of a litre of 5% vinegar",), "citric", 53.3, "gram", 0.1,
        "50 g / 60.05 x 192.12 / 3",
    ),
    Asked(
        ("titrated 10 g with 15 ml of 0.1 N",), "as_lactic", 1.351, "percent", 0.001, "15 x 0.1 x 0.09008 x 100 / 10",
    ),
    Asked(("too hot, cut 2 kg to a third",), "mild", 4.0, "kilogram", 0.001, "three times the weight, twice more"),
    Asked(
        ("how hot is a kilo of mash at 1,000,000 shu with three kilos of bell",), "low", 250_000, "", 1,
        "a quarter: 1,000,000 / 4",
    ),
    Asked(
        ("half a kilo of mango into two kilos of sauce",), "part", 20, "percent", 0.01, "0.5 of 2.5 kg",
    ),
    Asked(
        ("half a kilo of mango into two kilos of sauce",), "sugar_share", 28, "gram_per_kilogram", 1,
        "68.3 g (13.66 % of 500 g) in 2.5 kg is 27.3 g a kilo",
    ),
    Asked(
        ("how much gas from 40 g of sugar per litre",), "volumes", 10, "", 0.5, "40 x 0.5143 / 1.977",
    ),
    Asked(
        ("I put 90 g of salt in 12 litres, is that right for 2%?",), "of_water", 0.75, "percent", 0.005,
        "90 / (12,000 x 0.9982)",
    ),
)  # fmt: skip


@pytest.mark.parametrize("asked", QUESTIONS, ids=lambda one: f"{one.lines[-1]} {one.name}")
def test_the_number_by_hand(asked: Asked) -> None:
    """The question, in a kitchen's words, gives the number that was worked by hand."""
    assert value(say(*asked.lines), asked.name, asked.unit) == pytest.approx(asked.value, abs=asked.within)


@pytest.mark.parametrize(
    "line",
    [
        "it's 3.9 and i want a pH of 3.5, how much vinegar",
        "how much vinegar takes pH 3.9 to pH 3.5 in 6 kg",
        "how much vinegar in 2 kg for pH 3.5",
    ],
)
def test_no_dose_follows_from_two_ph_values(line: str) -> None:
    """A dose cannot be had from two pH values: what comes back is the trial to make, and no number."""
    replies = say(line)
    assert not any(one.kind in ("answer", "log") for one in replies)
    assert any("trial" in one.text for one in replies)
