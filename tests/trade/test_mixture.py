"""What is in a vessel: mass is kept, strengths stay where they should, and every inverse is one."""

from __future__ import annotations

import math
from collections.abc import Callable
from random import Random

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from assistant.trade import mixture as mx
from assistant.trade.mixture import (
    ACETIC,
    CAPSAICINOIDS,
    COMPONENTS,
    DISSOLVED,
    GUM,
    NOTHING,
    SALT_AQUEOUS,
    SALT_TOTAL,
    SALT_WATER,
    SALT_WHOLE,
    SUGARS,
    Measure,
    Mixture,
)
from assistant.trade.produce import SUGAR, WATER
from assistant.trade.solution import WATER_20, brine_density, saturation

BASES = (SALT_WHOLE, SALT_TOTAL, SALT_WATER, SALT_AQUEOUS)
MEASURES = (*BASES, ACETIC, SUGARS, GUM, CAPSAICINOIDS)

weights = st.one_of(st.just(0.0), st.floats(1e-5, 60.0))
mixtures = st.builds(Mixture, **dict.fromkeys(COMPONENTS, weights))
"""Anything that can be weighed, nonsense and nothing included."""

kinds = st.sampled_from(["", *WATER])
strengths = st.floats(0.0, 0.20)
parts = st.floats(0.0, 1.0)
numbers = st.floats()
"""Every float there is, no number and infinity too."""


@st.composite
def batches(draw: st.DrawFn) -> Mixture:
    """What a fermenter has in a crock: produce, salt, and perhaps brine, vinegar, honey and gum."""
    return mx.merge(
        mx.produce(draw(st.floats(0.2, 40.0)), draw(kinds), draw(st.floats(0.0, 0.005))),
        mx.salt(draw(st.floats(0.005, 1.0))),
        mx.brine(draw(st.floats(0.0, 20.0)), draw(strengths)),
        mx.vinegar(draw(st.floats(0.0, 5.0))),
        mx.honey(draw(st.floats(0.0, 1.0))),
        mx.gum(draw(st.floats(0.0, 0.02))),
        Mixture(lactic=draw(st.floats(0.0, 0.3)), citric=draw(st.floats(0.0, 0.1))),
    )


def same(expected: Mixture, actual: Mixture, relative: float = 1e-9) -> None:
    """Both hold the same of every component.

    Raises:
        AssertionError: they do not.
    """
    within = relative * max(expected.mass, 1.0)
    for name in COMPONENTS:
        assert pytest.approx(getattr(expected, name), rel=relative, abs=within) == getattr(actual, name), name


def most_pulp(batch: Mixture, moisture: float) -> float:
    """The most wet pulp of this moisture that a batch has water and solids for, in kg."""
    dissolved = sum(getattr(batch, name) for name in DISSOLVED)
    liquor = moisture * (1 + dissolved / batch.water)
    assume(liquor < 0.98)
    lumps = batch.solids + batch.capsaicinoids + batch.other
    return float(min(batch.water / moisture, lumps / (1 - liquor)))


# mass is kept ----------------------------------------------------------------------------------


@given(mixtures, mixtures)
def test_pouring_together_keeps_every_component(one: Mixture, two: Mixture) -> None:
    """Of each component two mixtures poured together hold the sum, to the last bit."""
    both = mx.merge(one, two)
    for name in COMPONENTS:
        assert getattr(one, name) + getattr(two, name) == getattr(both, name)


@given(mixtures, mixtures, mixtures)
def test_pouring_together_does_not_mind_the_order(one: Mixture, two: Mixture, three: Mixture) -> None:
    """a + b is b + a exactly, and (a + b) + c is a + (b + c) but for rounding."""
    assert one + two == two + one
    same((one + two) + three, one + (two + three), 1e-14)


@given(st.lists(mixtures, max_size=8), st.randoms(use_true_random=False))
def test_the_order_of_additions_does_not_matter(added: list[Mixture], random: Random) -> None:
    """What went in in one order is, but for rounding, what went in in another."""
    shuffled = list(added)
    random.shuffle(shuffled)
    same(mx.merge(*added), mx.merge(*shuffled), 1e-13)


@given(mixtures)
def test_nothing_added_changes_nothing(one: Mixture) -> None:
    """NOTHING is the neutral element of pouring together."""
    assert one == one + NOTHING == NOTHING + one == mx.merge(one)
    assert NOTHING == mx.merge()


@given(mixtures, parts)
def test_a_sample_and_the_rest_are_the_whole(one: Mixture, part: float) -> None:
    """What is drawn weighs what was asked, is like the whole, and with the rest makes the whole again."""
    taken, left = mx.draw(one, part * one.mass)
    same(one, taken + left)
    assert pytest.approx(part * one.mass, rel=1e-12, abs=1e-300) == taken.mass
    same(one.share(part), taken)


@given(batches(), parts)
def test_litres_drawn_and_the_rest_are_the_whole(one: Mixture, part: float) -> None:
    """So many litres drawn fill so many litres, and no component is lost."""
    taken, left = mx.draw_volume(one, part * one.volume)
    same(one, taken + left)
    assert pytest.approx(part * one.volume, rel=1e-9, abs=1e-12) == taken.volume


@given(batches(), st.lists(st.floats(0.01, 100.0), min_size=1, max_size=6))
def test_the_parts_of_a_split_are_the_whole(one: Mixture, shares: list[float]) -> None:
    """Jars filled by shares hold the whole between them, each as salty as the whole."""
    jars = mx.split(one, shares)
    same(one, mx.merge(*jars))
    assert len(shares) == len(jars)
    for jar, share in zip(jars, shares, strict=True):
        assert pytest.approx(one.mass * share / sum(shares)) == jar.mass
        assert pytest.approx(SALT_WHOLE(one)) == SALT_WHOLE(jar)


@given(batches(), st.floats(0.0, 0.95), st.floats(0.3, 0.95))
def test_straining_keeps_every_component(batch: Mixture, part: float, moisture: float) -> None:
    """Liquid and pulp are together what was strained, and the pulp weighs what was said."""
    pulp = part * most_pulp(batch, moisture)
    liquid, out = mx.strain(batch, pulp, moisture)
    same(batch, liquid + out)
    same(batch, mx.before_straining(liquid, out))
    assert pytest.approx(pulp, abs=1e-8) == out.mass
    assert pytest.approx(pulp * moisture, abs=1e-9) == out.water
    assert pytest.approx(pulp, abs=1e-8) == mx.pulp_of(batch, liquid.mass)


@given(batches(), st.floats(0.01, 0.95), st.floats(0.3, 0.95))
def test_straining_does_not_change_the_brine(batch: Mixture, part: float, moisture: float) -> None:
    """Liquid and wet pulp both keep the salt, sugar, acid and gum that each kg of water had."""
    pulp = part * most_pulp(batch, moisture)
    for half in mx.strain(batch, pulp, moisture):
        assert pytest.approx(SALT_AQUEOUS(batch), rel=1e-7) == SALT_AQUEOUS(half)
        for name in DISSOLVED:
            expected = getattr(batch, name) / batch.water
            assert pytest.approx(expected, rel=1e-7, abs=1e-12) == getattr(half, name) / half.water


def test_what_dissolves_goes_with_the_water() -> None:
    """Salt, sugar, the acids and gum are in clear brine as in the whole; solids, heat and the rest are not."""
    everything = Mixture(**dict.fromkeys(COMPONENTS, 1.0))
    brine, left = mx.drain(everything, 3.5)
    assert dict.fromkeys(["water", "salt", "sugar", "acetic", "lactic", "citric", "gum"], 0.5) == brine.as_dict()
    assert (1.0, 1.0, 1.0) == (left.solids, left.capsaicinoids, left.other)


@given(batches(), parts)
def test_drained_brine_and_the_rest_are_the_whole(batch: Mixture, part: float) -> None:
    """Clear brine drawn off has the brine's strength and no solids; nothing is lost."""
    brine = batch.water + sum(getattr(batch, name) for name in DISSOLVED)
    taken, left = mx.drain(batch, part * brine)
    same(batch, taken + left)
    assert pytest.approx(part * brine, abs=1e-9) == taken.mass
    assert (0.0, 0.0, 0.0) == (taken.solids, taken.capsaicinoids, taken.other)
    if part > 1e-3:
        assert pytest.approx(SALT_AQUEOUS(batch)) == SALT_AQUEOUS(taken)


@given(batches(), st.floats(1e-3, 0.98))
def test_litres_of_drained_brine_fill_those_litres(batch: Mixture, part: float) -> None:
    """So many litres drained fill so many litres, and no component is lost."""
    liquor = Mixture(water=batch.water, **{name: getattr(batch, name) for name in DISSOLVED})
    taken, left = mx.drain_volume(batch, part * liquor.volume)
    same(batch, taken + left)
    assert pytest.approx(part * liquor.volume) == taken.volume


@given(batches(), parts)
def test_simmering_takes_water_and_nothing_else(batch: Mixture, part: float) -> None:
    """What steamed off and what is left are the whole; only the water is less."""
    off = part * batch.water
    left = mx.boil(batch, off)
    same(batch, left + mx.water(off))
    assert [getattr(batch, name) for name in COMPONENTS[1:]] == [getattr(left, name) for name in COMPONENTS[1:]]


@given(st.floats(0.0, 50.0), kinds, strengths, st.floats(0.0, 0.005))
def test_everything_put_in_weighs_what_was_put_in(mass: float, kind: str, whole: float, heat: float) -> None:
    """A kg of produce, brine, honey, sugar, salt, gum or water is a kg of components."""
    for made in (
        mx.produce(mass, kind, heat), mx.brine(mass, whole), mx.honey(mass), mx.sugar(mass), mx.salt(mass),
        mx.gum(mass), mx.water(mass),
    ):  # fmt: skip
        assert pytest.approx(mass, abs=1e-12) == made.mass


@given(st.floats(0.0, 50.0), strengths)
def test_litres_of_brine_are_litres(volume: float, whole: float) -> None:
    """Ready brine by the litre fills those litres and weighs by the brine density."""
    made = mx.brine_volume(volume, whole)
    assert pytest.approx(volume, abs=1e-12) == made.volume
    assert pytest.approx(volume * brine_density(whole), abs=1e-12) == made.mass


@given(st.floats(0.0, 50.0), st.floats(0.0, 1.0))
def test_litres_of_vinegar_are_litres(volume: float, strength: float) -> None:
    """Vinegar by the litre fills those litres and brings the acid on its label.

    To 3 in a million, by which the two densities of water at 20 C here differ.
    """
    made = mx.vinegar(volume, strength)
    assert pytest.approx(volume, rel=3e-6, abs=1e-12) == made.volume
    assert volume * strength == made.acetic


@given(mixtures)
def test_the_names_give_the_mixture_back(one: Mixture) -> None:
    """A mixture written by names and read again is the same to the last bit."""
    assert one == mx.from_dict(one.as_dict())


# volume, and what rises with what --------------------------------------------------------------


@given(mixtures)
def test_what_weighs_something_fills_something(one: Mixture) -> None:
    """Volume is above zero where mass is, and finite; the density is between 0.9 and 2.2 kg/L."""
    assume(one.mass > 0)
    assert 0 < one.volume < math.inf
    assert 0.9 < one.density < 2.2


@given(mixtures, st.sampled_from(COMPONENTS), st.floats(1e-3, 10.0))
def test_more_of_anything_fills_more(one: Mixture, name: str, more: float) -> None:
    """No addition, dry salt into brine included, makes the volume smaller."""
    assert (one + Mixture(**{name: more})).volume > one.volume


@given(batches(), st.floats(1e-4, 2.0))
def test_more_salt_is_saltier_on_every_basis(batch: Mixture, more: float) -> None:
    """Salt in, and every one of the four strengths of salt rises; water in, and every one falls."""
    for measure in BASES:
        assert measure(batch + mx.salt(more)) > measure(batch) > measure(batch + mx.water(more))


@given(batches())
def test_the_four_bases_keep_their_order(batch: Mixture) -> None:
    """Salt over everything is the least, over produce and water more, over the brine and the water most."""
    assert SALT_WHOLE(batch) < SALT_TOTAL(batch) < SALT_WATER(batch)
    assert SALT_WHOLE(batch) < SALT_AQUEOUS(batch) < SALT_WATER(batch)


@given(batches())
def test_the_four_bases_are_what_they_are_called(batch: Mixture) -> None:
    """The salt over everything, over everything else, over the water, and over water and salt."""
    assert pytest.approx(batch.salt / batch.mass) == SALT_WHOLE(batch)
    assert pytest.approx(batch.salt / (batch.mass - batch.salt)) == SALT_TOTAL(batch)
    assert pytest.approx(batch.salt / batch.water) == SALT_WATER(batch)
    assert pytest.approx(batch.salt / (batch.water + batch.salt)) == SALT_AQUEOUS(batch)


@given(batches(), st.floats(0.01, 30.0))
def test_any_dilution_divides_the_heat(batch: Mixture, plain: float) -> None:
    """Heat times weight is kept when something without heat is poured in."""
    whole = batch + mx.produce(plain, "sweet-pepper")
    assert pytest.approx(batch.heat * batch.mass, abs=1e-6) == whole.heat * whole.mass


# every inverse is one --------------------------------------------------------------------------


def reached(batch: Mixture, unit: Mixture, measure: Measure, target: float) -> float:
    """The strength after the dose that was worked out, which is checked to be a weight."""
    amount = mx.dose(batch, unit, measure, target)
    assert 0 <= amount < math.inf
    return measure(batch + unit.share(amount))


@given(batches(), st.sampled_from(BASES), st.floats(1e-4, 0.1))
def test_dry_salt_brings_the_strength_asked_for(batch: Mixture, measure: Measure, above: float) -> None:
    """Salt dosed to a higher strength of any basis gives that strength."""
    target = measure(batch) + above
    assume(target < 0.9)
    assert pytest.approx(target, rel=1e-9) == reached(batch, mx.salt(1), measure, target)


@given(batches(), st.sampled_from(BASES), st.floats(0.001, 0.95))
def test_strong_brine_brings_the_strength_asked_for(batch: Mixture, measure: Measure, part: float) -> None:
    """A strength between the batch's and a saturated brine's is reached with that brine."""
    strong = mx.brine(1, saturation())
    start, top = measure(batch), measure(strong)
    assume(start < top - 1e-3)
    target = start + part * (top - start)
    assert pytest.approx(target, rel=1e-9) == reached(batch, strong, measure, target)


@given(batches(), st.sampled_from(BASES), st.floats(0.05, 0.999), kinds)
def test_unsalted_additions_bring_the_strength_down(batch: Mixture, measure: Measure, part: float, kind: str) -> None:
    """Water, unsalted produce or vinegar bring any lower strength of salt that is above zero."""
    target = part * measure(batch)
    for plain in (mx.water(1), mx.produce(1, kind), mx.vinegar(1)):
        assert pytest.approx(target, rel=1e-9) == reached(batch, plain, measure, target)


@given(batches(), st.floats(0.05, 0.999))
def test_the_dilution_of_salt_of_everything_does_not_mind_by_what(batch: Mixture, part: float) -> None:
    """Over everything, a kg of water, of bell or of vinegar bring the salt down alike."""
    target = part * SALT_WHOLE(batch)
    by_water = mx.dose(batch, mx.water(1), SALT_WHOLE, target)
    by_bell = mx.dose(batch, mx.produce(1, "sweet-pepper"), SALT_WHOLE, target)
    vinegar = mx.vinegar(1)
    by_vinegar = mx.dose(batch, vinegar, SALT_WHOLE, target) * vinegar.mass
    assert pytest.approx(by_water, rel=1e-9) == by_bell
    assert pytest.approx(by_water, rel=1e-9) == by_vinegar


@given(batches(), st.floats(0.001, 0.95), st.floats(0.04, 0.2))
def test_vinegar_brings_the_acid_asked_for(batch: Mixture, part: float, strength: float) -> None:
    """Acetic acid of everything is raised to anything under the vinegar's own."""
    vinegar = mx.vinegar(1, strength)
    start, top = ACETIC(batch), ACETIC(vinegar)
    assume(start < top - 1e-3)
    target = start + part * (top - start)
    assert pytest.approx(target, rel=1e-9) == reached(batch, vinegar, ACETIC, target)


@given(batches(), st.floats(0.001, 0.95))
def test_honey_brings_the_sugar_asked_for(batch: Mixture, part: float) -> None:
    """Sugar of everything is raised by honey to anything under the honey's own."""
    start, top = SUGARS(batch), SUGARS(mx.honey(1))
    target = start + part * (top - start)
    assert pytest.approx(target, rel=1e-9) == reached(batch, mx.honey(1), SUGARS, target)


@given(batches(), st.floats(1e-4, 0.01))
def test_gum_is_dosed_up_and_diluted_down(batch: Mixture, more: float) -> None:
    """Gum brings its own share up; unthickened sauce, and nothing else, brings it down again."""
    target = GUM(batch) + more
    thick = batch + mx.gum(mx.dose(batch, mx.gum(1), GUM, target))
    assert pytest.approx(target, rel=1e-9) == GUM(thick)
    assert pytest.approx(target / 3, rel=1e-9) == reached(thick, mx.water(1), GUM, target / 3)


@given(batches(), st.sampled_from(BASES), st.floats(0.01, 0.9))
def test_simmering_down_brings_the_strength_asked_for(batch: Mixture, measure: Measure, part: float) -> None:
    """The water to steam off for a strength, steamed off, gives that strength."""
    target = measure(mx.boil(batch, part * batch.water))
    off = mx.boil_to(batch, measure, target)
    assert pytest.approx(part * batch.water, abs=1e-8) == off
    assert pytest.approx(target, rel=1e-7) == measure(mx.boil(batch, off))


@given(batches(), st.sampled_from(["water", "brine", "salt", "produce", "vinegar"]), st.floats(0.0, 30.0))
def test_filling_to_a_line_fills_to_that_line(batch: Mixture, name: str, above: float) -> None:
    """Topped up to a line, with whatever it is, the volume is the line's."""
    units = {
        "water": mx.water(1), "brine": mx.brine(1, 0.03), "salt": mx.salt(1), "produce": mx.produce(1),
        "vinegar": mx.vinegar(1),
    }  # fmt: skip
    line = batch.volume + above
    amount = mx.fill(batch, units[name], line)
    assert 0 <= amount < math.inf
    assert pytest.approx(line, rel=1e-9) == (batch + units[name].share(amount)).volume


@given(batches(), parts)
def test_what_was_drawn_poured_back_is_the_whole(batch: Mixture, part: float) -> None:
    """A sample poured back leaves the batch as it was."""
    taken, left = mx.draw(batch, part * batch.mass)
    same(batch, left + taken)
    same(batch, (left + taken).less(taken) + taken)


@given(batches(), batches())
def test_what_was_put_in_can_be_taken_out(one: Mixture, two: Mixture) -> None:
    """(a + b) less b is a, within rounding."""
    same(one, (one + two).less(two))


# what cannot be --------------------------------------------------------------------------------


@given(batches(), st.sampled_from(MEASURES), numbers)
def test_a_dose_is_a_weight_or_refused(batch: Mixture, measure: Measure, target: float) -> None:
    """For any number whatever as target a dose is finite, not below zero and right; or a ValueError."""
    for unit in (mx.salt(1), mx.water(1), mx.brine(1, 0.05), mx.vinegar(1), mx.honey(1), mx.gum(1), NOTHING):
        try:
            amount = mx.dose(batch, unit, measure, target)
        except ValueError:
            continue
        assert 0 <= amount < math.inf
        if amount < 1e9:
            assert pytest.approx(target, rel=1e-6, abs=1e-9) == measure(batch + unit.share(amount))


@given(batches(), st.sampled_from(MEASURES), numbers)
def test_steam_is_a_weight_or_refused(batch: Mixture, measure: Measure, target: float) -> None:
    """For any number as target the water to steam off is what there is at most and right; or a ValueError."""
    try:
        off = mx.boil_to(batch, measure, target)
    except ValueError:
        return
    assert 0 <= off <= batch.water
    left = mx.boil(batch, off)
    if left.water > 1e-3:
        assert pytest.approx(target, rel=1e-6, abs=1e-9) == measure(left)


@given(batches(), numbers)
def test_a_fill_is_a_weight_or_refused(batch: Mixture, line: float) -> None:
    """For any number as the line a fill is finite and not below zero; or a ValueError."""
    try:
        amount = mx.fill(batch, mx.water(1), line)
    except ValueError:
        return
    assert 0 <= amount < math.inf
    assert line >= batch.volume - 1e-9


@given(batches(), numbers, numbers)
def test_nothing_taken_out_goes_below_zero(batch: Mixture, amount: float, moisture: float) -> None:
    """Any number as what is taken out gives mixtures that hold the whole between them; or a ValueError."""
    takings: tuple[Callable[[], tuple[Mixture, ...]], ...] = (
        lambda: mx.draw(batch, amount),
        lambda: mx.draw_volume(batch, amount),
        lambda: mx.drain(batch, amount),
        lambda: mx.drain_volume(batch, amount),
        lambda: mx.strain(batch, amount, moisture),
        lambda: (mx.boil(batch, amount), mx.water(amount)),
        lambda: mx.draw(batch, mx.pulp_of(batch, amount)),
    )
    for take in takings:
        try:
            pieces = take()
        except ValueError:
            continue
        assert all(0 <= one < math.inf for piece in pieces for one in piece.parts)
        same(batch, mx.merge(*pieces))


@pytest.mark.parametrize("name", COMPONENTS)
@pytest.mark.parametrize("wrong", [-1e-9, -3.0, math.nan, math.inf, -math.inf])
def test_no_vessel_holds_that(name: str, wrong: float) -> None:
    """A weight that is below zero, infinite or no number is refused for every component."""
    with pytest.raises(ValueError, match=name):
        Mixture(**{name: wrong})


BATCH = mx.produce(2, "chilli") + mx.salt(0.06) + mx.water(1)
TOO_MUCH: tuple[tuple[str, Callable[[], object]], ...] = (
    ("drawn", lambda: mx.draw(BATCH, 3.07)),
    ("drawn litres", lambda: mx.draw_volume(BATCH, 1.01 * BATCH.volume)),
    ("drawn litres of nothing", lambda: mx.draw_volume(NOTHING, 1)),
    ("drained", lambda: mx.drain(BATCH, 3.0)),
    ("drained litres", lambda: mx.drain_volume(BATCH, 3.1)),
    ("drained litres of dry flakes", lambda: mx.drain_volume(Mixture(solids=1), 0.1)),
    ("simmered off", lambda: mx.boil(BATCH, 2.77)),
    ("more pulp than water for it", lambda: mx.strain(BATCH, 3.8, 0.75)),
    ("more pulp than solids for it", lambda: mx.strain(BATCH, 1.2, 0.75)),
    ("more liquid than batch", lambda: mx.pulp_of(BATCH, 3.07)),
    ("salt that was not in it", lambda: BATCH.less(mx.salt(0.0601))),
    ("gum that was not in it", lambda: BATCH.less(mx.gum(0.001))),
    ("over the line", lambda: mx.fill(BATCH, mx.water(1), 0.99 * BATCH.volume)),
    ("filled with nothing", lambda: mx.fill(BATCH, NOTHING, 5)),
    ("salt to a weaker strength", lambda: mx.dose(BATCH, mx.salt(1), SALT_WHOLE, 0.01)),
    ("water to a stronger one", lambda: mx.dose(BATCH, mx.water(1), SALT_WHOLE, 0.03)),
    ("2 % brine to 3 %", lambda: mx.dose(BATCH, mx.brine(1, 0.02), SALT_WHOLE, 0.03)),
    ("3 % brine to 3 %", lambda: mx.dose(BATCH, mx.brine(1, 0.03), SALT_WHOLE, 0.03)),
    ("water to no salt at all", lambda: mx.dose(BATCH, mx.water(1), SALT_WHOLE, 0.0)),
    ("acid by water", lambda: mx.dose(BATCH, mx.water(1), ACETIC, 0.01)),
    ("acid above the vinegar's", lambda: mx.dose(BATCH, mx.vinegar(1), ACETIC, 0.06)),
    ("a target that is no number", lambda: mx.dose(BATCH, mx.salt(1), SALT_WHOLE, math.nan)),
    ("an endless target", lambda: mx.dose(BATCH, mx.salt(1), SALT_WATER, math.inf)),
    ("simmered to weaker", lambda: mx.boil_to(BATCH, SALT_WHOLE, 0.01)),
    ("simmered to no salt", lambda: mx.boil_to(BATCH, SALT_WHOLE, 0.0)),
    ("simmered to salt where there is none", lambda: mx.boil_to(mx.water(1), SALT_WATER, 0.05)),
    ("simmered to endless", lambda: mx.boil_to(BATCH, SALT_WATER, math.inf)),
    ("simmered to sharper than dry", lambda: mx.boil_to(BATCH, SALT_WHOLE, 0.5)),
    ("brine over saturation", lambda: mx.brine(1, 0.27)),
    ("brine below nothing", lambda: mx.brine_volume(1, -0.01)),
    ("vinegar over pure", lambda: mx.vinegar(1, 1.01)),
    ("less than no vinegar", lambda: mx.vinegar(-1)),
    ("less than no produce", lambda: mx.produce(-1, "chilli")),
    ("more heat than pepper", lambda: mx.produce(1, "chilli", 0.5)),
    ("shares below zero", lambda: mx.split(BATCH, (2, -1))),
    ("a share below zero", lambda: BATCH.share(-0.1)),
)


@pytest.mark.parametrize("make", [make for _, make in TOO_MUCH], ids=[name for name, _ in TOO_MUCH])
def test_what_cannot_be_is_refused(make: Callable[[], object]) -> None:
    """What a vessel cannot hold, give or become is a ValueError, and never a number."""
    with pytest.raises(ValueError, match=r"."):
        make()


@pytest.mark.parametrize(
    "found",
    [{"pepper": 1.0}, {"salt": "1"}, {"salt": True}, {"salt": None}, {"salt": -1.0}, {"salt": 10**400}, [1], "x"],
)
def test_what_is_no_mixture_is_not_read_as_one(found: object) -> None:
    """Unknown names, words for weights and what is no table at all are TypeError or ValueError."""
    with pytest.raises((TypeError, ValueError)):
        mx.from_dict(found)  # type: ignore[arg-type]


# worked by hand --------------------------------------------------------------------------------
# Every expected number below is plain arithmetic, written out beside it.


def mash(mass: float, whole: float, kind: str = "chilli") -> Mixture:
    """So many kg of salted produce, the salt a fraction of everything."""
    return mx.produce(mass * (1 - whole), kind) + mx.salt(mass * whole)


def test_pulp_taken_from_two_kilos_at_three_percent() -> None:
    """2 kg at 3 % less 600 g of wet pulp of 75 % water: 1.4 kg at about 3.2 %.

    60 g of salt in 1940 g of peppers with 88.02 % water, 1707.6 g: 35.14 g of salt a kg of
    water. The pulp's 450 g of water hold 15.8 g, so 44.2 g stay in 1400 g: 3.16 %.
    """
    liquid, pulp = mx.strain(mash(2, 0.03), 0.6, 0.75)
    kept = 0.060 - 0.450 * 0.060 / (1.940 * 0.8802)
    assert pytest.approx(1.4) == liquid.mass
    assert pytest.approx(0.6) == pulp.mass
    assert pytest.approx(kept) == liquid.salt
    assert pytest.approx(0.032, abs=0.0005) == SALT_WHOLE(liquid)
    assert pytest.approx(0.060 / (0.060 + 1.940 * 0.8802)) == SALT_AQUEOUS(liquid)


def test_yield_of_three_kilos_strained_to_two_point_four() -> None:
    """3 kg that gave 2.4 kg of liquid left 600 g of pulp: a yield of 80 %."""
    assert pytest.approx(0.6) == mx.pulp_of(mash(3, 0.03), 2.4)


@pytest.mark.parametrize(
    ("one", "two", "mass", "whole"),
    [
        ((3, 0.025), (5, 0.05), 8.0, 0.040625),  # (75 + 250) / 8000
        ((1.5, 0.10), (4, 0.03), 5.5, 0.27 / 5.5),  # (150 + 120) / 5500, 4.9 %
        ((2, 0.03), (0.473, 0.0), 2.473, 0.06 / 2.473),  # a pint of plain water: 2.4 %
    ],
)
def test_two_jars_in_one(one: tuple[float, float], two: tuple[float, float], mass: float, whole: float) -> None:
    """Weights add and salt is the mean by weight."""
    both = mash(*one) + mash(*two)
    assert pytest.approx(mass) == both.mass
    assert pytest.approx(whole) == SALT_WHOLE(both)


@pytest.mark.parametrize(
    ("mass", "whole", "target", "plain"),
    [
        (2, 0.05, 0.03, 4 / 3),  # 100 g / 3 % = 3333 g, less 2000
        (2, 0.10, 0.04, 3.0),  # 200 g / 4 % = 5000 g, less 2000
        (2, 0.03, 0.02, 1.0),  # 60 g / 2 % = 3000 g, less 2000
    ],
)
def test_unsalted_that_brings_the_salt_down(mass: float, whole: float, target: float, plain: float) -> None:
    """The weight at the target less the weight there is must go in unsalted, whatever it is."""
    for unit in (mx.water(1), mx.produce(1, "carrot"), mx.vinegar(1 / mx.vinegar(1).mass)):
        assert pytest.approx(plain) == mx.dose(mash(mass, whole), unit, SALT_WHOLE, target)


def test_half_a_kilo_simmered_off() -> None:
    """3 kg at 3 % less 0.5 kg of water is 90 g in 2.5 kg, 3.6 %; and 3.6 % takes 0.5 kg off."""
    assert pytest.approx(0.036) == SALT_WHOLE(mx.boil(mash(3, 0.03), 0.5))
    assert pytest.approx(0.5) == mx.boil_to(mash(3, 0.03), SALT_WHOLE, 0.036)


def test_ten_kilos_that_got_half_their_salt() -> None:
    """10 kg at 1.5 % to a true 3 %: (300 - 150) / 0.97 = 154.6 g, about 155 g; not 150 g."""
    assert pytest.approx(0.150 / 0.97) == mx.dose(mash(10, 0.015), mx.salt(1), SALT_WHOLE, 0.03)


def test_too_much_gum_takes_twice_its_weight_to_thin() -> None:
    """2 kg at 0.6 % gum hold 12 g, which is 0.2 % of 6 kg: 4 kg of unthickened sauce."""
    sauce = mx.water(1.988) + mx.gum(0.012)
    assert pytest.approx(0.006) == GUM(sauce)
    assert pytest.approx(4.0) == mx.dose(sauce, mash(1, 0.03), GUM, 0.002)


def test_too_hot_cut_to_a_third() -> None:
    """2 kg cut to a third of the heat take 4 kg of mild."""
    hot = mx.produce(2, "chilli", 0.002)
    assert pytest.approx(4.0) == mx.dose(hot, mx.produce(1, "sweet-pepper"), CAPSAICINOIDS, 0.002 / 3)


def test_a_kilo_of_hot_with_three_of_bell() -> None:
    """1 kg among 4 kg: a quarter of the heat."""
    hot = mx.produce(1, "chilli", 0.010)
    assert pytest.approx(hot.heat / 4) == (hot + mx.produce(3, "sweet-pepper")).heat
    assert pytest.approx(40000.0) == mx.blend_heat([(1, 160000.0), (3, 0.0)])


def test_heat_of_a_sauce_with_a_quarter_of_hot_mash() -> None:
    """100 g at 30,000 units in a sauce of 400 g in all (300 g without heat): 7,500 units.

    To 400 g of other sauce, 500 g in all, it would be 6,000.
    """
    assert pytest.approx(7500.0) == mx.blend_heat([(0.1, 30000.0), (0.3, 0.0)])
    assert pytest.approx(6000.0) == mx.blend_heat([(0.1, 30000.0), (0.4, 0.0)])
    hot = mx.produce(0.1, "chilli", 30000.0 / 16e6)
    assert pytest.approx(30000.0) == hot.heat
    assert pytest.approx(7500.0) == (hot + mx.water(0.3)).heat


@pytest.mark.parametrize(("whole", "milligrams"), [(0.02, 39.3), (0.03, 59.0)])
def test_sodium_of_a_spoonful(whole: float, milligrams: float) -> None:
    """5 g of sauce at 2 % hold 100 mg of salt, 39.3 mg of sodium; at 3 % 59.0 mg (0.39337 of the salt)."""
    assert pytest.approx(milligrams, abs=0.05) == 1e6 * mash(0.005, whole).sodium


def test_salty_seasoning_brings_its_salt() -> None:
    """50 g of a seasoning that is a 22 % brine bring 11 g of salt."""
    assert pytest.approx(0.011) == mx.brine(0.05, 0.22).salt


def test_fruit_brings_its_sugar() -> None:
    """Half a kilo of mango (13.66 % sugar) into two kilos is 20 % of the whole and 27.3 g of its sugar a kg."""
    fruit, sauce = mx.produce(0.5, "mango"), mx.water(2)
    assert pytest.approx(0.2) == fruit.mass / (fruit + sauce).mass
    assert pytest.approx(0.0683 / 2.5) == SUGARS(fruit + sauce)


def test_a_fifth_of_vinegar_is_one_percent_of_acid() -> None:
    """200 mL of 5 % vinegar with 800 mL of sauce: 10 g of acid in about 1 kg."""
    sauce = mx.vinegar(0.2) + mx.water(0.8 * WATER_20)
    assert pytest.approx(0.010) == sauce.acetic
    assert pytest.approx(0.0100, abs=0.0001) == ACETIC(sauce)


def test_a_weaker_vinegar_takes_more() -> None:
    """500 mL of 5 % hold the acid of 625 mL of 4 %."""
    assert pytest.approx(mx.vinegar(0.5, 0.05).acetic) == mx.vinegar(0.625, 0.04).acetic


def test_what_a_kilo_of_chillies_is() -> None:
    """1 kg of chillies: 880.2 g of water, 53.0 g of sugar, and the rest, 66.8 g, solids (USDA NDB 11819)."""
    assert {"water": 0.8802, "sugar": 0.053, "solids": pytest.approx(0.0668)} == mx.produce(1, "chilli").as_dict()


@pytest.mark.parametrize("kind", sorted(WATER))
def test_every_produce_has_its_water_and_sugar(kind: str) -> None:
    """Each named produce brings its own water and sugar, and has solids besides."""
    made = mx.produce(1, kind)
    assert pytest.approx(WATER[kind] / 100) == made.water
    assert pytest.approx(SUGAR[kind] / 100) == made.sugar
    assert made.solids > 0


def test_undissolved_salt_lies_on_the_bottom() -> None:
    """1 kg of water takes 359 g of salt (26.43 % of the brine at 20 C); the rest keeps its crystal volume."""
    most = saturation() / (1 - saturation())
    full = (mx.water(1) + mx.salt(most)).volume
    assert pytest.approx(1.0 / 2.165) == (mx.water(1) + mx.salt(most + 1)).volume - full


def test_simmered_dry() -> None:
    """All the water can steam off, and not a gram more."""
    # worked by hand: 3 kg of water and 1 kg of salt; what is left when all is salt is the salt
    assert pytest.approx(3.0) == mx.boil_to(Mixture(water=3.0, salt=1.0), SALT_WHOLE, 1.0)
    with pytest.raises(ValueError, match="steaming off"):
        mx.boil_to(Mixture(water=3.0, salt=1.0), SALT_WHOLE, 1.01)
