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
