"""How much salt water can hold, against two published tables, and the refusals above it."""

from __future__ import annotations

from itertools import pairwise

import pytest

from assistant.evaluate import solve
from assistant.trade import calculator
from assistant.trade.solution import saturation

# Salt trade association, table of NaCl solubility, % w/w of a saturated brine (read in a stored copy).
# Its row at 79.44 C (27.62) is left out: it breaks the curve and CRC has 27.50 at 80 C.
TABLE = (
    (0, 26.29), (10, 26.36), (15.56, 26.395), (21.11, 26.45), (26.67, 26.52), (37.78, 26.68),
    (51.67, 26.92), (65.56, 27.21), (93.33, 27.91), (100, 28.12),
)  # fmt: skip


@pytest.mark.parametrize(("celsius", "percent"), TABLE)
def test_saturation_is_the_tables(celsius: float, percent: float) -> None:
    """A saturated brine is as strong as the trade table says, at every row from 0 to 100 C."""
    assert pytest.approx(percent, abs=1e-9) == 100 * saturation(celsius)


# CRC Handbook of Chemistry and Physics, solubility of NaCl, mass % (from memory). The two tables
# differ by +0.01 (0 C), +0.03 (20), +0.05 (25), +0.05 (40), +0.06 (60), +0.07 (100).
@pytest.mark.parametrize(
    ("celsius", "percent"),
    [(0, 26.28), (20, 26.41), (25, 26.45), (40, 26.67), (60, 27.03), (100, 28.05)],
)
def test_saturation_is_near_a_second_table(celsius: float, percent: float) -> None:
    """A saturated brine is within 0.1 points of the CRC mass % (from memory)."""
    assert pytest.approx(percent, abs=0.1) == 100 * saturation(celsius)


def test_saturation_at_80_is_near_a_second_table() -> None:
    """A saturated brine at 80 C is within 0.1 points of the CRC 27.50 % (from memory)."""
    assert pytest.approx(27.50, abs=0.1) == 100 * saturation(80)


def test_hotter_water_holds_more_salt() -> None:
    """NaCl solubility rises with temperature all the way from 0 to 100 C (both tables)."""
    strengths = [saturation(tenth / 10) for tenth in range(1001)]
    assert [pair for pair in pairwise(strengths) if pair[0] >= pair[1]] == []


@pytest.mark.parametrize("celsius", [-0.01, 100.01])
def test_saturation_is_not_guessed_beyond_the_table(celsius: float) -> None:
    """Below 0 C and above 100 C there is no row, so there is no answer."""
    with pytest.raises(ValueError, match="0 to 100 C"):
        saturation(celsius)


# Just under and just over what water holds at a kitchen's 20 C. CRC (from memory) 26.41 % and
# the trade table 26.44 %: 35.9 g per 100 g of water, 359 g per litre of water; with the
# handbook density 1.197 to 1.200, 317 g per litre of brine.
EDGES = (
    ("brine", {"water_volume": 1.0}, "of_whole", 0.264, 0.265),
    ("brine", {"water_volume": 1.0}, "of_water", 0.358, 0.360),
    ("brine", {"water_volume": 1.0}, "per_litre", 0.357, 0.360),
    ("brine", {"brine_volume": 1.0}, "per_litre_brine", 0.316, 0.318),
    ("brine", {"water": 1.0}, "salt", 0.358, 0.360),
    ("packed", {"produce": 1.0, "water": 1.0}, "of_water", 0.358, 0.360),
    ("packed", {"produce": 1.0, "water": 1.0}, "of_whole", 0.152, 0.153),
    ("raise", {"amount": 1.0, "before": 0.10}, "after", 0.264, 0.265),
    ("dilute", {"amount": 1.0, "after": 0.10}, "before", 0.264, 0.265),
    ("mix", {"first": 1.0, "second": 1.0, "second_salt": 0.10}, "first_salt", 0.264, 0.265),
    ("gravity", {"temperature": 20.0}, "of_whole", 0.264, 0.265),
    ("gravity", {"temperature": 20.0}, "density", 1.197, 1.203),
    ("salometer", {"temperature": 15.56}, "of_whole", 0.26395, 0.265),
    ("salometer", {"temperature": 15.56}, "salometer", 100.0, 101.0),
)


@pytest.mark.parametrize(("name", "given", "quantity", "under", "_over"), EDGES)
def test_a_brine_just_under_saturation_is_answered(
    name: str, given: dict[str, float], quantity: str, under: float, _over: float
) -> None:
    """What water can just hold is worked out, in every calculator that takes a strength."""
    outcome = solve(calculator(name), {**given, quantity: under})
    assert (outcome.solved, outcome.outside) == (True, None)


@pytest.mark.parametrize(("name", "given", "quantity", "_under", "over"), EDGES)
def test_a_brine_just_over_saturation_is_refused(
    name: str, given: dict[str, float], quantity: str, _under: float, over: float
) -> None:
    """What water cannot hold is refused as outside, in every calculator that takes a strength."""
    outcome = solve(calculator(name), {**given, quantity: over})
    assert outcome.outside is not None
    assert (outcome.solved, outcome.outside.low) == (False, False)
