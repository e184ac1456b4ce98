"""The table of factors says what pint says, and is not used where the definitions are others."""

from __future__ import annotations

import itertools
from collections.abc import Iterator

import pint
import pytest

from grammar import files, measures
from tests import docs

UNITS = tuple(dict.fromkeys(measures.registry().get_name(one) for one in measures.registry()))
VALUES = (0.0, 1.0, 2.5, 37.3, 1e-3, -18.0, 12345.678)


@pytest.fixture
def anew() -> Iterator[None]:
    """What was worked out from the files before is forgotten, before and after the test."""
    made = (measures.registry, measures.factors, measures.convert)
    for one in made:
        one.cache_clear()
    yield
    for one in made:
        one.cache_clear()


def by_pint(value: float, unit: str, to: str) -> float | None:
    """What pint makes of it; None if the two measure different things."""
    try:
        return float(measures.registry().Quantity(value, unit).to(to).magnitude)
    except pint.DimensionalityError:
        return None


@pytest.mark.parametrize("unit", UNITS)
def test_every_conversion_is_pints(unit: str) -> None:
    """From each unit to each other, of the same kind or not, pint's own conversion comes to the same.

    To the last bit with the pint that made the table; another version may round that bit otherwise.
    """
    assert unit in measures.factors().factors
    for to, value in itertools.product(UNITS, VALUES):
        expected = by_pint(value, unit, to)
        if expected is not None:
            assert measures.convert(value, unit, to) == pytest.approx(expected, rel=1e-15, abs=1e-300)
        elif unit != to:
            with pytest.raises(ValueError, match="measure different things"):
                measures.convert(value, unit, to)


def test_the_table_is_fresh() -> None:
    """factors.txt has the check sum of measures.txt and every unit in it, in the order that pint gives."""
    made, kept = docs.factors().splitlines(), files.text("grammar", "factors.txt").splitlines()
    assert [line.split()[0] for line in made] == [line.split()[0] for line in kept]
    assert made[0] == kept[0]


def test_a_table_of_other_definitions_is_not_used(anew: None, monkeypatch: pytest.MonkeyPatch) -> None:
    """With a changed measures.txt the table counts for nothing and pint works out the new value."""
    read = files.text
    changed = {"measures.txt": read("grammar", "measures.txt").replace("stone = 14 pound", "stone = 15 pound")}
    monkeypatch.setattr(files, "text", lambda room, name: changed.get(name) or read(room, name))
    assert measures.factors().factors == {}
    assert measures.convert(2, "stone", "pound") == pytest.approx(30)
    with pytest.raises(ValueError, match="measure different things"):
        measures.convert(2, "stone", "liter")


def test_a_unit_that_the_table_has_not_is_asked_of_pint() -> None:
    """Another name of a unit that pint knows ("kg") converts too."""
    assert measures.convert(2, "kg", "gram") == pytest.approx(2000)
