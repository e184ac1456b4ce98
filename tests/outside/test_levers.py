"""Several targets reached together, against a library's linear program and against sums by hand."""

from __future__ import annotations

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.optimize import linprog

from assistant.trade import mixture as mx
from assistant.trade.adjust import AT_HAND, adjust
from assistant.trade.levers import KILOGRAMS, LITRES, Target, plan

VINEGAR = mx.vinegar(1, 0.05)
LEVERS = {
    "salt": mx.salt(1),
    "water": mx.water(1),
    "vinegar": VINEGAR.share(1 / VINEGAR.mass),
    "brine": mx.brine(1, 0.08),
    "gum": mx.gum(1),
}
SHARES = {"salt": mx.SALT_WHOLE, "acid": mx.ACETIC, "gum": mx.GUM}


def sauce(kilos: float, salt: float, acid: float = 0.0) -> mx.Mixture:
    """A sauce of so many kg with shares of salt and acetic acid, the rest water."""
    return mx.Mixture(water=kilos * (1 - salt - acid), salt=kilos * salt, acetic=kilos * acid)


def test_two_targets_by_hand() -> None:
    """Water and vinegar take a sauce down in salt and up in acid."""
    # worked by hand: 3 kg at 3 % hold 90 g of salt, which is 2 % of 4.5 kg; 1 % of 4.5 kg is 45 g of acetic acid, in
    # 0.9 L of 5 % vinegar, which weighs 0.9 x 1.00543 = 0.9049 kg; the rest to 4.5 kg is 0.5951 kg of water
    found = plan(sauce(3, 0.03), {name: LEVERS[name] for name in ("water", "vinegar")}, [
        Target("salt", 0.02, mx.SALT_WHOLE), Target("acid", 0.01, mx.ACETIC),
    ])  # fmt: skip
    assert not found.missed
    assert found.added["vinegar"] == pytest.approx(0.9049, abs=0.0001)
    assert found.added["water"] == pytest.approx(0.5951, abs=0.0001)
    assert found.after.mass == pytest.approx(4.5)


def test_weight_and_litres_in_all() -> None:
    """Targets of the whole are met too, the litres by the mixture's own volume."""
    levers = {name: LEVERS[name] for name in ("salt", "water", "vinegar")}
    shares = [Target("salt", 0.025, mx.SALT_WHOLE), Target("acid", 0.008, mx.ACETIC)]
    kilos = plan(sauce(2, 0.03), levers, [*shares, Target("all", 3.0, KILOGRAMS)])
    # worked by hand: 3 kg at 2.5 % hold 75 g of salt, of which 60 g are there
    assert not kilos.missed
    assert kilos.added["salt"] == pytest.approx(0.015)
    litres = plan(sauce(2, 0.03), levers, [*shares, Target("all", 3.0, LITRES)])
    assert not litres.missed
    assert litres.after.volume == pytest.approx(3.0, abs=1e-6)


def test_the_clash_is_named_and_the_nearest_is_near() -> None:
    """Targets that cannot be had together: the fewest of them, and a mixture that misses them least."""
    levers = {name: LEVERS[name] for name in ("water", "vinegar")}
    targets = [Target("salt", 0.03, mx.SALT_WHOLE), Target("acid", 0.01, mx.ACETIC)]
    # 2 % salt cannot rise without salt, whatever else is wanted
    assert plan(sauce(4, 0.02), levers, targets).clash == ("salt",)
    # worked by hand: 80 g of salt is 2.5 % of 3.2 kg, and no 3 L hold so much
    found = plan(sauce(2, 0.04), levers, [Target("salt", 0.025, mx.SALT_WHOLE), Target("all", 3.0, LITRES)])
    assert found.clash == ("salt", "all")
    assert found.missed


@settings(deadline=None, max_examples=150)
@given(
    st.floats(0.5, 20), st.floats(0.005, 0.06), st.floats(0, 0.015),
    st.sets(st.sampled_from(sorted(LEVERS)), min_size=1),
    st.dictionaries(st.sampled_from(sorted(SHARES)), st.floats(0.002, 0.04), min_size=1),
)  # fmt: skip
def test_against_a_linear_program(
    kilos: float, salt: float, acid: float, names: set[str], wanted: dict[str, float]
) -> None:
    """The misses, and what is put in, are those of the library's linear program (HiGHS through SciPy)."""
    start = sauce(kilos, salt, acid)
    levers = {name: LEVERS[name] for name in LEVERS if name in names}
    targets = [Target(name, value, SHARES[name]) for name, value in wanted.items()]
    found = plan(start, levers, targets)
    rows, right, weights = [], [], []
    for one in targets:
        over = [sum(getattr(lever, part) for part in SHARES[one.name].over) for lever in levers.values()]
        rows.append([part - one.value for part in over])  # every lever is 1 kg
        there = sum(getattr(start, part) for part in SHARES[one.name].over)
        right.append(one.value * start.mass - there)
        weights.append(1 / max(one.value * start.mass, there))
    misses = len(targets)
    equal = [[*row, *(float(at == one) for at in range(misses)), *(-float(at == one) for at in range(misses))]
             for one, row in enumerate(rows)]  # fmt: skip
    nearest = linprog([0.0] * len(levers) + weights + weights, A_eq=equal, b_eq=right)
    assert nearest.status == 0
    ours = sum(
        weight * abs(sum(a * b for a, b in zip(row, found.added.values(), strict=True)) - to)
        for row, to, weight in zip(rows, right, weights, strict=True)
    )
    assert ours == pytest.approx(nearest.fun, abs=1e-6)
    assume(nearest.fun < 1e-9)
    least = linprog([1.0] * len(levers), A_eq=rows, b_eq=right)
    if least.status == 0:
        assert sum(found.added.values()) == pytest.approx(least.fun, abs=1e-6 * max(1.0, kilos))


@settings(deadline=None, max_examples=60)
@given(st.floats(0.5, 20), st.floats(0.01, 0.05), st.floats(0.01, 0.05), st.floats(0.001, 0.012))
def test_nothing_is_lost(kilos: float, salt: float, target: float, acid: float) -> None:
    """What is in it after is what was there and what went in, component by component."""
    start = sauce(kilos, salt)
    found = plan(start, LEVERS, [Target("salt", target, mx.SALT_WHOLE), Target("acid", acid, mx.ACETIC)])
    whole = mx.merge(start, *(LEVERS[name].share(amount) for name, amount in found.added.items()))
    assert found.after.parts == pytest.approx(whole.parts)
    assert all(amount >= 0 for amount in found.added.values())
    if not found.missed:
        assert mx.SALT_WHOLE(found.after) == pytest.approx(target, abs=1e-8)
        assert mx.ACETIC(found.after) == pytest.approx(acid, abs=1e-8)


def test_nothing_to_adjust() -> None:
    """Without a sauce or a target there is no plan."""
    with pytest.raises(ValueError, match="nothing"):
        plan(mx.NOTHING, LEVERS, [Target("salt", 0.02, mx.SALT_WHOLE)])
    with pytest.raises(ValueError, match="nothing"):
        plan(sauce(1, 0.02), LEVERS, [])


def test_heat_is_a_target_like_the_others() -> None:
    """Mild mash halves the heat and brings its own salt."""
    # worked by hand: 4 kg at 40,000 SHU and 4 kg of mild mash make 20,000; 3 % and 2 % make 2.5 %
    start = mx.Mixture(water=4 - 0.12 - 0.01, salt=0.12, capsaicinoids=0.01)
    mash = mx.produce(0.98) + mx.salt(0.02)
    found = plan(start, {"mash": mash, "water": mx.water(1)}, [
        Target("salt", 0.025, mx.SALT_WHOLE), Target("heat", 20_000 / 16e6, mx.CAPSAICINOIDS),
    ])  # fmt: skip
    assert found.added["mash"] == pytest.approx(4.0)
    assert found.added["water"] == pytest.approx(0.0, abs=1e-9)
    assert found.after.heat == pytest.approx(20_000)


def test_litres_of_a_heavy_sauce() -> None:
    """A sauce fills what its own weight per litre says, and only what goes in adds to that."""
    # worked by hand: 2.2 kg at 1.1 kg/L fill 2 L; to 3 L goes a litre of water, 0.998 kg
    known = {"sauce": 2.2, "sauce_density": 1.1, "of_whole": 0.03, "end_volume": 3.0}
    found = adjust(known, frozenset({AT_HAND + "water"}))
    assert found.values["add_water"] == pytest.approx(0.998, abs=0.001)
    assert found.values["both_volume"] == pytest.approx(3.0, abs=1e-6)
    assert "sauce_density" in found.used
