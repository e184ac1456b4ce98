"""What is taken when nobody says, against the definition, table, label or practice that it rests on."""

from __future__ import annotations

import pytest

from assistant.evaluate import default_value
from assistant.trade import calculator
from grammar import measures

SAUCES = " ".join(
    f"{one}.sauce_density"
    for one in ("thicken", "gum-down", "acetic", "adjust", "heat-down", "serving", "sweeten", "filled", "bottling")
)
TAKEN: tuple[tuple[float, str, str, str, str], ...] = (
    # value, unit, of what, with which kinds said, and why
    (1.0, "kilogram_per_liter", SAUCES, "", "a sauce is nearly water (common practice, no source)"),
    (1.0, "kilogram_per_liter", "packed.density mash.density vessel.density titration.sample_density", "", "as water"),
    (90, "percent", "packed.fill vessel.fill", "", "a tenth is left free (common practice, no source)"),
    (72, "percent", "vessel.fill", "mash", "worked by hand: 0.8 x 90 %, a mash rises by a quarter"),
    (50, "percent", "vessel.cover", "", "half the produce's space in water covers it (common practice, no source)"),
    (0, "percent", "vessel.cover", "mash", "a mash is covered by its own juice"),
    (0, "percent", "top-up.second_salt", "water", "plain water has no salt"),
    (75, "percent", "strain.pulp_moisture", "", "common practice, no source"),
    # gums: 2.5 to 3 g a US teaspoon of 4.92892 mL; worked by hand: 2.75 / 4.92892 = 0.558
    (0.558, "kilogram_per_liter", "thicken.gum_bulk", "", "a teaspoon of xanthan weighs 2.75 g"),
    (0, "percent", "thicken.gum_there adjust.gum_there acetic.acid_there adjust.acid acetic-ph.salt lactic-ph.salt "
     "citric-ph.salt diluted-vinegar.salt heat-down.mild_part serving.acid_share sweeten.sugar_there "
     "bottle-gas.headroom", "", "what nobody put in is not in it"),
    (0, "pungency", "adjust.mash_heat", "", "what nobody called hot is counted as mild"),
    (88, "percent", "acid-swap.lactic_share", "", "lactic acid is sold at 88 % by weight"),
    (5, "milliliter", "serving.serving", "", "21 CFR 101.9(b)(5)(viii): a teaspoon means 5 mL"),
    # sugar: USDA 19335, 200 g a cup of 236.588 mL is 0.845 kg/L; honey 19296, 339 g is 1.433, 82.12 % sugars
    (0.8454, "kilogram_per_liter", "sweeten.sweet_bulk", "", "USDA 19335: 200 g a US cup"),
    (1.4329, "kilogram_per_liter", "sweeten.sweet_bulk", "honey", "USDA 19296: 339 g a US cup"),
    (100, "percent", "sweeten.sweetness", "", "sugar is all sugar"),
    (82.12, "percent", "sweeten.sweetness", "honey", "USDA 19296: 82.12 g of sugars in 100 g"),
    (25, "degree_Celsius", "bottle-gas.temperature calibration.temperature buffer.temperature", "", "room and buffers"),
    (0.1, "acidity", "hold.meter_error equivalent.meter_error filled.meter_error", "", "AOAC 981.12: scale 0.1 pH"),
    # heat capacity, worked by hand: 0.88 x 4.18 = 3.68 of the water; soda-lime glass 0.84 kJ/(kg K)
    (3.7, "count", "filled.sauce_takes", "", "88 % water"),
    (0.84, "count", "filled.bottle_takes", "", "soda-lime glass, 0.84 kJ/(kg K) (handbooks, from memory)"),
    (1.2, "count", "filled.bottle_takes", "plastic", "PET, 1.0 to 1.25 kJ/(kg K) (handbooks, from memory)"),
    (20, "degree_Celsius", "filled.room gravity.temperature saturation.temperature", "", "a room, and most scales"),
    (60, "degree_Fahrenheit", "salometer.temperature", "", "the salometer's scale is made at 60 F"),
    (1, "minute", "sanitizer.contact", "", "no shorter than the US Food Code's 30 s; some states ask for a minute"),
    (0, "degree_Celsius", "ice-point.ice", "", "definition of the ice point"),
    (6, "percent", "bottling.loss", "", "common practice, no source"),
    (12, "count", "bottling.per_case", "", "a case is a dozen (common practice, no source)"),
    (2, "count", "bottling.spare_caps", "", "common practice, no source"),
    (70, "percent", "bottling.yielded", "", "common practice, no source"),
    (3, "percent", "bottling.mash_salt", "", "common practice, no source"),
    (7.00, "acidity", "calibration.neutral", "", "the technical buffer at 25 C"),
    (7.01, "acidity", "calibration.neutral", "buffer-seven-one", "as its bottle says"),
    (6.86, "acidity", "calibration.neutral", "buffer-phosphate", "JIS Z 8802: phosphate, 6.86 at 25 C"),
    (4.00, "acidity", "calibration.acid", "", "the technical buffer at 25 C"),
    (4.01, "acidity", "calibration.acid", "buffer-four-one", "JIS Z 8802: phthalate, 4.01 at 25 C"),
    (4.00, "acidity", "buffer.nominal", "buffer-four", "the technical buffer at 25 C"),
    (4.01, "acidity", "buffer.nominal", "buffer-four-one", "JIS Z 8802: phthalate, 4.01 at 25 C"),
    (6.86, "acidity", "buffer.nominal", "buffer-phosphate", "JIS Z 8802: phosphate, 6.86 at 25 C"),
    (7.00, "acidity", "buffer.nominal", "buffer-seven", "the technical buffer at 25 C"),
    (7.01, "acidity", "buffer.nominal", "buffer-seven-one", "as its bottle says"),
    (10.01, "acidity", "buffer.nominal", "buffer-ten", "NBS 1969: carbonate, 10.012 at 25 C"),
)  # fmt: skip

USUAL: tuple[tuple[float, str, str, str], ...] = (
    (3, "percent", "packed.of_total mash.of_produce", "2 to 5 % is common (common practice, no source)"),
    (3.5, "percent", "brine.of_water", "what a plain brine mostly has (common practice, no source)"),
    (0.15, "percent", "thicken.gum_share", "0.1 to 0.3 % of xanthan pours (common practice, no source)"),
    (5, "percent", "acetic.label adjust.label acetic-ph.share diluted-vinegar.share acid-swap.label "
     "vinegar-strength.first_label", "table vinegar is mostly 5 %"),
    (1, "percent", "lactic-ph.share citric-ph.share", "a ferment makes about 1 % of lactic acid"),
    (0.1, "normality", "titration.normality", "the usual lye for titrating food is 0.1 N"),
)  # fmt: skip


@pytest.mark.parametrize("row", TAKEN, ids=[f"{row[2].split()[0]} {row[3]}".strip() for row in TAKEN])
def test_what_is_taken_when_nobody_says(row: tuple[float, str, str, str, str]) -> None:
    """The value taken for what was left out is that of the fact beside it; for a named kind, that kind's."""
    value, unit, names, kinds, why = row
    assert why
    for name in names.split():
        chosen, _, quantity = name.partition(".")
        item = calculator(chosen).input(quantity)
        found = default_value(item, tuple(kinds.split()))
        assert found is not None
        assert found.value == pytest.approx(measures.canonical(value, unit, item.dimension), rel=5e-4), name


@pytest.mark.parametrize("row", USUAL, ids=[row[2].split()[0] for row in USUAL])
def test_what_the_usual_is(row: tuple[float, str, str, str]) -> None:
    """Who answers "the usual" gets what is usual in the trade."""
    value, unit, names, why = row
    assert why
    for name in names.split():
        chosen, _, quantity = name.partition(".")
        assert calculator(chosen).input(quantity).suggest == (value, unit), name
