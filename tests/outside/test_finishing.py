"""Gum, bench trials and the acid of vinegar against published and hand-worked figures."""

from __future__ import annotations

import pytest

from assistant.evaluate import Outcome, solve
from assistant.trade import calculator
from assistant.trade.finishing import vinegar_density
from grammar.measures import convert
from tests.helpers import say, value

GALLON = convert(1, "us_gallon", "liter")
CUP = convert(1, "us_cup", "liter")


def answer(name: str, **given: float) -> Outcome:
    """A calculator's outcome, which must be an answer."""
    outcome = solve(calculator(name), given, kinds=())
    assert outcome.solved, outcome
    return outcome


# Worked by hand; a gallon taken as 3.785 kg: 3785 x 0.0015 / 0.9985 = 5.69 g, at 0.1 % 3.79 g


@pytest.mark.parametrize(
    ("litres", "share", "grams"),
    [(GALLON, 0.0015, 5.69), (GALLON, 0.001, 3.79), (2.5, 0.0015, 3.76), (2.5, 0.002, 5.01)],
)
def test_gum(litres: float, share: float, grams: float) -> None:
    """The gum for a share."""
    found = answer("thicken", sauce_volume=litres, gum_share=share)
    assert 1000 * found.values["gum"] == pytest.approx(grams, abs=0.005)


def test_gum_and_acid_that_are_there_count() -> None:
    """What was put in before is taken off what is still wanted."""
    # worked by hand: 2.064 kg with 2.06 g of gum; x / (2.064 + x) of the rest: (4.128 - 2.06) / 0.998 = 2.07 g
    found = answer("thicken", sauce=2.064, gum_there=0.00206 / 2.064, gum_share=0.002)
    assert 1000 * found.values["gum"] == pytest.approx(2.072, abs=0.001)
    # worked by hand: (21.64 - 5) g of acid short, 0.05 - 0.01 x 1.005 kg won with each litre: 0.4165 L
    found = answer("acetic", sauce=2.164, acid_there=0.005 / 2.164, acetic=0.01, label=0.05)
    assert found.values["vinegar_volume"] == pytest.approx(0.4165, abs=0.0002)


def test_gum_from_one_share_to_another() -> None:
    """ "From 0.1 % to 0.2 %" of a sauce to be thickened is gum, and what is in it already is counted."""
    # worked by hand: 2 g in 2 kg already; 2 x (0.002 - 0.001) / 0.998 kg = 2.004 g more
    replies = say("thicken 2 kg of sauce from 0.1% to 0.2%")
    assert value(replies, "gum", "gram") == pytest.approx(2.004, abs=0.001)


def test_an_overdose_of_gum() -> None:
    """What dilutes it."""
    # worked by hand: 12 g of gum in 2 kg is 12 g in 6 kg at 0.2 %
    assert answer("gum-down", sauce=2.0, gum_now=0.006, gum_after=0.002).values["ungummed"] == pytest.approx(4.0)


@pytest.mark.parametrize(
    ("sample", "dose", "batch", "needed"),
    # worked by hand: 6 / 200 x 13,000; 8 / 100 x 6,500; 2 / 100 x 1,000
    [(0.2, 0.006, 13, 0.39), (0.1, 0.008, 6.5, 0.52), (0.1, 0.002, 1, 0.02)],
)
def test_a_trial_carried_to_the_batch(sample: float, dose: float, batch: float, needed: float) -> None:
    """In proportion, nine tenths first."""
    found = answer("trial", sample=sample, dose=dose, sauce=batch)
    assert found.values["needed"] == pytest.approx(needed)
    assert found.values["first"] == pytest.approx(0.9 * needed)


def test_a_batch_smaller_than_its_trial_is_no_batch() -> None:
    """Refused."""
    assert not solve(calculator("trial"), {"sample": 13, "dose": 0.006, "sauce": 0.2}, kinds=()).solved


def test_vinegar_weighs_what_the_tables_say() -> None:
    """The density behind volumes of vinegar."""
    # CRC Handbook: 5 % acetic acid by weight 1.0052 kg/L at 20 C; USDA SR26 NDB 02053: 238 g a US cup
    assert vinegar_density(0.05 * 1.0052) == pytest.approx(1.0052, abs=0.0005)
    assert vinegar_density(0.05) == pytest.approx(0.238 / CUP, abs=0.002)


def test_a_cup_of_vinegar_to_a_gallon() -> None:
    """A weak sauce."""
    # worked by hand, with all of it at 1 kg/L: 236.6 x 0.05 = 11.83 g in 3785 + 237 g is 0.294 %
    found = answer("acetic", sauce_volume=GALLON, vinegar_volume=CUP, label=0.05)
    assert 100 * found.values["acetic"] == pytest.approx(0.294, abs=0.001)


def test_a_fifth_of_vinegar_is_a_hundredth_of_acid() -> None:
    """The rule of thumb, and what density makes of it."""
    # worked by hand: 4 L of sauce at 1 kg/L and 1 L of vinegar: 50 g in 4 + 1.0052 kg
    found = answer("acetic", sauce=4.0, vinegar_volume=1.0, label=0.05)
    assert found.values["acetic"] == pytest.approx(0.05 / 5.0052, rel=1e-4)


def test_the_vinegar_for_an_acidity_is_the_inverse() -> None:
    """Three ways round one relation."""
    made = answer("acetic", sauce=4.0, vinegar=0.7, label=0.06)
    back = answer("acetic", sauce=4.0, acetic=made.values["acetic"], label=0.06)
    assert back.values["vinegar"] == pytest.approx(0.7)
    assert answer("acetic", vinegar=0.7, acetic=made.values["acetic"], label=0.06).values["sauce"] == pytest.approx(4.0)


def test_vinegar_cannot_make_a_sauce_sourer_than_itself() -> None:
    """Refused."""
    outcome = solve(calculator("acetic"), {"sauce": 4.0, "acetic": 0.06, "label": 0.05}, kinds=())
    assert not outcome.solved
