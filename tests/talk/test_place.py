"""Which amount becomes which input, where the words leave it nearly open."""

from __future__ import annotations

import pytest

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
