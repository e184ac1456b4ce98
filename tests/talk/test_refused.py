"""What a refusal says of the edge that a number is beyond: the edge itself, and whether it still counts."""

from __future__ import annotations

import pytest

from tests.helpers import kinds, say


@pytest.mark.parametrize(
    ("line", "says"),
    [
        # a thermometer 8 C off in ice is broken: -8 C is 17.6 F, worked by hand: -8 x 1.8 + 32
        ("thermometer shows 16 F in ice water", "must be at least 17.6 F; you said 16 F."),
        ("150 g of sauce at 85 C into a 140 g bottle at -25 C, where does it settle", "must be at least -20 C"),
        # an edge that does not count itself is not called the least
        ("acid at 3% vinegar", "must be more than 3%; you said 3%."),
        ("strain 2 kg of mash at 3%, 600 g of wet pulp, moisture 1%", "must be more than 1%; you said 1%."),
        ("brine with 0 L of water at 3%", "must be more than zero; you said 0 L."),
        ("mash of -2 kg of chillies at 3%", "must be more than zero; you said -2 kg. Nothing was changed."),
        # where the edge has a reason of its own it is said
        ("hold at 50 C for 10 minutes at pH 4", "no heat is credited: the published tables start there."),
        ("titrated 10 g with 15 ml of 0.1 N to pH 7", "counted to an end point of pH 8.1 to 8.3."),
    ],
)
def test_a_number_too_low_is_told_the_edge(line: str, says: str) -> None:
    """A number under what can be is refused by its edge, not by zero, and never as "at least" what was said."""
    replies = say(line)
    assert kinds(replies) == ["refuse"]
    assert says in replies[0].text


@pytest.mark.parametrize(
    ("line", "shown"),
    [("32 F in C", "32 F is 0 C."), ("86 F in C", "86 F is 30 C."), ("0 C in F", "0 C is 32 F.")],
)
def test_a_temperature_in_the_other_scale_has_no_crumbs(line: str, shown: str) -> None:
    """Degrees F that are whole degrees C are shown as such: 32 F is 0 C by definition, 86 F is 54 / 1.8 = 30 C."""
    assert say(line)[0].text == shown


@pytest.mark.parametrize(
    ("line", "says"),
    [
        # worked by hand: 12 x 0.15 L is the 1.8 L there is
        ("12 bottles of 150 ml, is 1.8 L enough no loss", ": 0 mL is left."),
        ("gravity 1.000, how salty", "0% of everything: gravity 1.0000"),  # water's own gravity is 1 by definition
    ],
)
def test_what_is_nothing_is_shown_as_nothing(line: str, says: str) -> None:
    """Where a sum leaves nothing, nothing is shown, and not the crumb of its rounding."""
    assert says in say(line)[0].text
