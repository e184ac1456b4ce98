"""What each quantity can be: the edges of its range, each with the fact that sets it."""

from __future__ import annotations

import pytest

from assistant.evaluate import bounds
from assistant.trade import CALCULATORS, calculator
from grammar import measures

RANGES: tuple[tuple[float, float, str, str, str], ...] = (
    # from, to, in, of what, and why
    # definitions: a share of a whole is at most the whole; some have room for one thing more
    (0, 100, "percent", "strain.yielded trial.rate acetic.poured diluted-vinegar.part heat-down.left "
     "heat-units.capsaicinoids sweeten.sweetness sweeten.part heat-down.mild_part serving.declared",
     "definition: a part is at most the whole"),
    (1, 100, "percent", "packed.fill vessel.fill bottling.fill_share bottling.yielded",
     "definition: full is 100 %; under 1 % is a slip of the tongue (common practice, no source)"),
    (10, 100, "percent", "acid-swap.lactic_share", "trade lactic acid is 50 to 88 %; pure is 100 %"),
    (0, 99, "percent", "packed.headroom vessel.headroom bottling.headroom", "definition: something must be left"),
    (1, 99, "percent", "packed.moisture mash.moisture strain.moisture strain.pulp_moisture heat-dry.moisture",
     "definition: neither all water nor none"),
    (0, 90, "percent", "serving.sugar_share serving.acid_share bottle-gas.headroom bottling.loss",
     "common practice, no source"),
    (0, 1000, "percent", "packed.level mash.level vessel.level", "what does not fit is said, up to ten vessels full"),
    (0, 500, "percent", "vessel.cover", "five times as much brine as produce (common practice, no source)"),
    # what a brine holds: 26.395 % at 60 F by the salt trade's table, which is 35.86 g to 100 g of water; CRC
    # Handbook solubility: 39.1 g to 100 g at 100 C is 28.1 % of the whole
    (0, 26.45, "percent", "packed.of_whole brine.of_whole mash.of_whole raise.after raise.before dilute.before "
     "dilute.after mix.first_salt top-up.second_salt strain.batch_salt simmer.after adjust.salt_after adjust.of_whole "
     "serving.of_whole bottling.mash_salt gravity.of_whole salometer.of_whole", "saturated brine is 26.4 %"),
    (0, 35.95, "percent", "packed.of_water brine.of_water gravity.of_water salometer.of_water",
     "saturated brine has 35.9 g of salt to 100 g of water"),
    (0, 29, "percent", "saturation.of_whole", "28.1 % at the boil"),
    (0, 40, "percent", "saturation.of_water", "39.1 g to 100 g of water at the boil"),
    (0, 359, "gram_per_liter", "packed.per_litre brine.per_litre",
     "worked by hand: 35.95 % of 0.9982 kg of water is 358.9 g to a litre of it"),
    (0, 318, "gram_per_liter", "brine.per_litre_brine gravity.per_litre_brine",
     "saturated brine: 26.4 % of 1.2 kg/L is 317 g in a litre"),
    (0, 30, "percent", "packed.of_total", "salt over produce and water without it: no more than brine can hold"),
    (0, 31, "percent", "mash.of_produce", "as much as the water of 88 % produce holds: 0.88 x 35.9 % is 31.6 %"),
    (0.95, 1.21, "kilogram_per_liter", "gravity.density", "saturated brine is 1.2 kg/L; alcohol is no brine"),
    (0.95, 1.21, "gravity", "gravity.gravity", "saturated brine is 1.2"),
    (0, 105, "salometer", "salometer.salometer salometer.corrected", "100 is saturated; cold reads a little above"),
    (0, 60, "degree_Celsius", "gravity.temperature salometer.temperature saturation.temperature",
     "the tables of density and solubility run from 0 to 60 C"),
    # acids
    (0, 4.6, "acidity", "hold.ph hold.counted equivalent.ph equivalent.counted filled.ph filled.counted",
     "21 CFR 114.3: an acid food has a pH of 4.6 or below"),
    (0, 1, "acidity", "hold.meter_error equivalent.meter_error filled.meter_error", "a strip is off by 0.5"),
    (0, 14, "acidity", "acetic-ph.estimate lactic-ph.estimate citric-ph.estimate diluted-vinegar.estimate",
     "the scale of pH in water"),
    (3.9, 10.3, "acidity", "calibration.neutral calibration.acid calibration.neutral_there calibration.acid_there "
     "buffer.nominal buffer.there", "the buffers 4.00 to 10.01 from 5 to 40 C, at most 10.25"),
    (8.0, 8.5, "acidity", "titration.end", "acid food is titrated to pH 8.1 to 8.3 (from memory)"),
    (0, 2, "normality", "titration.normality", "0.1 N is what labs drip; 1 N is the strongest sold for it"),
    (0, 5, "molarity", "acetic-ph.molarity lactic-ph.molarity citric-ph.molarity diluted-vinegar.molarity",
     "30 % vinegar is 5 mol/L (worked by hand: 300 / 60.05)"),
    (0, 10, "percent", "acetic-ph.share lactic-ph.share citric-ph.share diluted-vinegar.share",
     "weaker than 10 %, where activities can be worked out"),
    (0, 5, "percent", "acetic-ph.salt lactic-ph.salt citric-ph.salt diluted-vinegar.salt",
     "Davies holds to about 0.5 mol/L; 5 % salt is 0.9 (common practice, no source)"),
    (0, 30, "percent", "titration.as_lactic titration.as_acetic titration.as_citric", "no food is sourer than 30 %"),
    (3, 30, "percent", "acetic.label adjust.label acid-swap.label vinegar-strength.first_label "
     "vinegar-strength.second_label", "table vinegar is 4 % and more, cleaning vinegar up to 30 % (from memory)"),
    (0, 20, "percent", "acetic.acetic acetic.acid_there adjust.acid adjust.acid_after", "common practice, no source"),
    # heat of chillies: ASTA 21.3 counts 16 SHU to 1 mg/kg of capsaicin, so that pure capsaicin is 16 million
    (0, 16_100_000, "pungency", "heat-down.heat_now heat-down.heat_after heat-units.heat heat-dry.dry_heat "
     "adjust.heat_now adjust.mash_heat heat-blend.first_heat heat-blend.low heat-blend.high heat-down.mild_heat",
     "pure capsaicin is about 16 million"),
    # gum, sugar, sanitizer, densities
    (0, 1, "percent", "thicken.gum_share gum-down.gum_now gum-down.gum_after thicken.gum_there adjust.gum_there",
     "1 % of xanthan is a paste (common practice, no source)"),
    (0, 60, "percent", "sweeten.sugar_share sweeten.sugar_there bottle-gas.sugar_share",
     "sweeter than 60 % is a jam (from memory: CXS 296-2009, soluble solids 60 to 65 %)"),
    (0, 10_000, "ppm", "sanitizer.ppm", "1 %: fifty times the no-rinse 200 ppm of 21 CFR 178.1010"),
    (0.1, 30, "percent", "sanitizer.strength sanitizer-ratio.strength", "bleach is 1 to 15 %, acids up to 30 %"),
    (0.2, 1.6, "kilogram_per_liter", "packed.bulk brine.bulk mash.bulk spoon.bulk",
     "flakes from 0.5, fine salt 1.2; solid salt is 2.16 and no heap of grains comes near"),
    (0.2, 1.5, "kilogram_per_liter", "packed.density mash.density vessel.density", "no produce is heavier than syrup"),
    (0.2, 1.0, "kilogram_per_liter", "thicken.gum_bulk", "powdered gum floats (common practice, no source)"),
    (0.3, 1.6, "kilogram_per_liter", "sweeten.sweet_bulk", "honey, the heaviest, is 1.42 (USDA: 339 g a cup)"),
    (0.8, 1.5, "kilogram_per_liter", "thicken.sauce_density gum-down.sauce_density acetic.sauce_density "
     "adjust.sauce_density titration.sample_density heat-down.sauce_density serving.sauce_density "
     "sweeten.sauce_density filled.sauce_density bottling.sauce_density", "between oil and syrup"),
    (0.2, 2, "kilogram_per_liter", "substance.density", "between flakes and packed sand"),
    # probes and thermometers
    (-1000, 1000, "millivolt", "calibration.seven calibration.four calibration.offset", "14 pH at 59 mV are 828 mV"),
    (0, 1000, "millivolt", "calibration.span", "14 pH at 59 mV are 828 mV"),
    (0, 200, "mv_per_ph", "calibration.slope calibration.ideal", "Nernst gives 54 to 64 mV from 0 to 50 C"),
    (0, 200, "percent", "calibration.efficiency", "twice the ideal slope"),
    (0, 2, "grade", "calibration.by_slope calibration.verdict", "none to rely on, with care, good"),
    (5, 40, "degree_Celsius", "calibration.temperature buffer.temperature", "the buffers' table runs from 5 to 40 C"),
    (-1, 1, "degree_Celsius", "ice-point.ice", "ice in fresh water stands at 0 C"),
    (-8, 8, "degree_Celsius", "ice-point.ice_shown", "one further off is broken (common practice, no source)"),
    (-10, 10, "delta_degree_Celsius", "ice-point.offset", "a thermometer further off is broken"),
    (70, 115, "degree_Celsius", "boiling.shown", "water boils at 70 C on the highest mountain"),
    (80, 103, "degree_Celsius", "hold.boiling boiling.boiling", "101.4 C at the lowest shore, 80 C at 5500 m"),
    (-4300, 55_000, "decimeter", "hold.altitude boiling.altitude", "the lowest shore is at -430 m, homes end at 5500"),
    # heating
    (60, 100, "degree_Celsius", "hold.temperature hold.hot_enough", "below 60 C nothing is counted"),
    (0, 150, "degree_Celsius", "equivalent.temperature equivalent.other", "up to a retort"),
    (3, 40, "delta_degree_Celsius", "equivalent.z", "z of pathogens 4 to 15 K, of enzymes up to 40 K"),
    (30, 100, "degree_Celsius", "filled.sauce_heat", "from blood-warm to the boil"),
    (-20, 110, "degree_Celsius", "filled.settled filled.start filled.bottle_heat", "from a freezer to a dry oven"),
    (-20, 50, "degree_Celsius", "filled.room", "no kitchen is hotter"),
    (-20, 100, "degree_Celsius", "filled.sauce_needed", "a sauce boils"),
    (0, 100, "degree_Celsius", "filled.aim filled.later", "between ice and the boil"),
    (-150, 150, "delta_degree_Celsius", "filled.gap", "a freezer against an oven"),
    (0, 2, "day", "hold.time hold.needed equivalent.time equivalent.needs filled.after", "common practice, no source"),
    (0, 1, "day", "sanitizer.contact boiling.jars", "common practice, no source"),
    (0, 5, "count", "filled.sauce_takes filled.bottle_takes", "heat for a kelvin in kJ/kg: water's 4.2 is the most"),
    # vessels, bottles, counts, days
    (0, 5000, "kilogram", "brine.water brine.salt packed.produce mash.total vessel.produce raise.amount "
     "raise.salt dilute.water thicken.gum gum-down.ungummed sweeten.sugar",
     "five tonnes are beyond any kitchen (common practice, no source)"),
    (0, 5000, "liter", "brine.water_volume packed.capacity cylinder.capacity vessel.water_volume bottling.spare "
     "packed.water_volume bottling.left_over bottling.short",
     "five tonnes of water are beyond any kitchen (common practice, no source)"),
    (0, 50_000, "kilogram", "adjust.add_salt adjust.add_water adjust.add_vinegar", "ten times five tonnes"),
    (0, 50, "liter", "bottling.bottle_size bottling.bottle_fill bottling.bottle_headspace", "more is a barrel"),
    (0, 30, "centimeter", "bottling.gap bottling.neck", "no bottle's neck is wider"),
    (0, 10, "meter", "cylinder.diameter cylinder.height", "no kitchen has such a pot"),
    (1, 1000, "count", "bottling.per_case", "a case holds one at the least"),
    (0, 1_000_000, "count", "bottling.bottles bottling.cases bottling.caps bottling.spare_caps bottling.beside",
     "common practice, no source"),
    (1, 1_000_000, "count", "bottling.full_bottles", "less than one bottle full is none"),
    (0, 100_000, "count", "vessel.count", "common practice, no source"),
    (-2, 60, "degree_Celsius", "bottle-gas.temperature", "a bottle of sauce, from freezing to a car in the sun"),
    (0, 1200, "month", "calendar.months", "a hundred years"),
    (0, 36525, "day", "calendar.span", "a hundred years of 365.25 days"),
    # what is only worked out: wide, so that no true answer is refused
    (0, 1000, "count", "bottle-gas.volumes", "litres of gas to a litre"),
    (0, 10_000, "count", "bottle-gas.pressure", "1000 bar in kPa over ten: no bottle holds that"),
    (0, 1e6, "count", "serving.sugars_label serving.energy serving.energy_label", "common practice, no source"),
    (0, 1e9, "count", "hold.reach filled.reach", "common practice, no source"),
    (0, 1e9, "milligram", "serving.grams serving.sodium serving.sodium_label serving.sodium_hundred serving.sugars",
     "a tonne"),
    (0, 1e9, "day", "equivalent.worth equivalent.published", "common practice, no source"),
    (0, 365, "day", "filled.constant filled.stays filled.gathered filled.needed", "a year"),
    (1, 1e6, "count", "trial.scale", "a trial is smaller than its batch"),
    (0, 0.9, "kilogram_per_liter", "bottle-gas.sugar_litre", "60 % sugar in a syrup of 1.29 kg/L is 0.77 kg/L"),
    (0, 1, "kilogram_per_liter", "bottle-gas.gas", "half the sugar's weight becomes gas"),
    (-60, 0.1, "delta_degree_Celsius", "hold.excess", "no open pot is hotter than its boiling water"),
    (-30, 30, "delta_degree_Celsius", "boiling.correction", "water boils from 70 C up to 101 C"),
    (0, 300_000, "ppm", "sanitizer-ratio.ppm sanitizer-ratio.ppm_to_water sanitizer-ratio.ppm_in_all", "30 %"),
    (0, 1e6, "part", "diluted-vinegar.vinegar_parts diluted-vinegar.water_parts", "common practice, no source"),
    (0.1, 100_000, "part", "sanitizer-ratio.parts sanitizer-ratio.parts_of_water sanitizer-ratio.parts_in_all",
     "from ten times as much stock as water to a drop in a bath"),
    (-1000, 100, "degree_Celsius", "filled.bottle_needed", "a bottle warmed in water is at most at the boil"),
    (-5000, 5000, "kilogram", "vessel.fits top-up.short", "as much too little as there may be"),
    (-5000, 5000, "liter", "vessel.open_space vessel.spare vessel.over vinegar-strength.thinner "
     "vinegar-strength.thicker", "as much too little as there may be"),
)  # fmt: skip

ZERO_TOO = (
    "raise.before mix.first_salt mix.second_salt top-up.second_salt adjust.of_whole adjust.mash_salt acetic.acid_there "
    "adjust.acid adjust.gum_there thicken.gum_there sweeten.sugar_there heat-down.mild_heat adjust.heat_now "
    "heat-blend.first_heat serving.sugar_share serving.acid_share serving.declared packed.headroom vessel.headroom "
    "bottling.headroom bottling.loss bottling.bottle_headspace bottle-gas.headroom vessel.cover hold.meter_error "
    "calendar.span calendar.months calibration.by_slope calibration.verdict bottling.spare_caps bottling.beside "
    "acetic-ph.salt diluted-vinegar.salt gravity.temperature hold.altitude vessel.water_volume adjust.add_salt "
    "adjust.add_water adjust.add_vinegar adjust.add_brine adjust.add_mash adjust.add_gum heat-down.mild_part "
    "serving.grams serving.sodium serving.sodium_label serving.sugars serving.energy serving.energy_label "
    "hold.temperature hold.excess hold.hot_enough equivalent.z filled.sauce_heat filled.bottle_heat filled.room "
    "filled.gap filled.constant filled.stays filled.reach boiling.correction ice-point.ice_shown ice-point.ice "
    "ice-point.offset bottling.per_case bottling.full_bottles bottling.left_over bottling.spare bottling.short "
    "salometer.temperature saturation.temperature calibration.seven calibration.temperature calibration.neutral "
    "buffer.nominal calendar.start"
)
"""What may be as little as its range begins with: plain water has no salt, a fresh sauce no gum, ice stands at 0 C."""


@pytest.mark.parametrize("row", RANGES, ids=[row[3].split()[0] for row in RANGES])
def test_each_range_ends_where_its_fact_says(row: tuple[float, float, str, str, str]) -> None:
    """The lowest and the highest value of a quantity are those of the definition, law, table or practice beside it."""
    low, high, unit, names, why = row
    assert why
    for name in names.split():
        chosen, _, quantity = name.partition(".")
        item = calculator(chosen).input(quantity)
        mine = bounds(item.limit, item.dimension)
        expected = tuple(measures.canonical(end, unit, item.dimension) for end in (low, high))
        assert mine == pytest.approx(expected, rel=1e-9), name


@pytest.mark.parametrize("name", ZERO_TOO.split())
def test_what_there_may_be_none_of(name: str) -> None:
    """A share, a dose, an error or a temperature at the low end of its range is a value like the others."""
    chosen, _, quantity = name.partition(".")
    assert calculator(chosen).input(quantity).limit.from_low


def test_what_there_must_be_some_of() -> None:
    """Nothing is weighed, filled or counted as nothing: a mass, a volume or a strength asked for is above zero."""
    for chosen in CALCULATORS:
        for item in chosen.inputs:
            if item.ask and not item.limit.low and item.dimension in ("mass", "density", "normality", "molarity"):
                assert not item.limit.from_low, f"{chosen.name}.{item.name}"
