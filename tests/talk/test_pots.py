"""What was worked out shared over several pots, and one pot's addition held against its share."""

from __future__ import annotations

import pytest

from assistant.replies import Answer, Ask
from tests.helpers import say, value

PLAN = "6 kg of sauce at 3% salt, want 2.5% salt and 0.8% acetic with 6% vinegar"


@pytest.mark.parametrize(
    ("line", "grams"),
    # worked by hand: 966.6 g of vinegar for 6 kg is 161.1 g a kilo
    [
        ("share it over pots of 4 kg and 2 kg", (644.4, 322.2)),
        ("share that between two pots", (483.3, 483.3)),
        ("split it over three pots", (322.2, 322.2, 322.2)),
        ("share it over two 3 kg pots", (483.3, 483.3)),
        ("spread it over a 1 kg pot and a 5 kg pot", (161.1, 805.5)),
    ],
)
def test_each_pot_takes_its_part_by_weight(line: str, grams: tuple[float, ...]) -> None:
    """A pot's part is the whole's by its weight."""
    replies = say(PLAN, line)
    for number, expected in enumerate(grams, 1):
        assert value(replies, f"pot_{number}_vinegar", "gram") == pytest.approx(expected, abs=0.5)


@pytest.mark.parametrize(
    "line",
    [
        "share it",
        "share it over pots of 3 and 2 kg",
        "share it over three pots, 4 kg and 2 kg",
        "share it over 2.5 pots",
    ],
)
def test_pots_that_are_not_told_are_asked_for(line: str) -> None:
    """No pot is made up, and no number is passed over."""
    assert not any(isinstance(one, Answer) for one in say(PLAN, line))
    assert any(isinstance(one, Ask) for one in say(PLAN, line))


@pytest.mark.parametrize(
    ("line", "lead"),
    [
        ("322 g of vinegar into the 2 kg pot, right?", "Yes"),
        ("640 g of vinegar into the 2 kg pot, right?", "No"),
        ("20 g of salt into the 2 kg pot, is that right?", "No"),
        ("100 g of water in the 4 kg pot, is that right?", "No"),
    ],
)
def test_a_wrong_addition_is_caught(line: str, lead: str) -> None:
    """What is to go into one pot is held against its part before it is poured."""
    told = next(one for one in say(PLAN, "share it over pots of 4 kg and 2 kg", line) if isinstance(one, Answer))
    assert told.text.startswith(f"{lead}: ")


def test_another_question_is_left_alone() -> None:
    """A question with pots and salt that is none about the shares goes its own way."""
    replies = say(PLAN, "mash of 4 kg of chillies in the 8 L crock at 3%")
    assert next(one for one in replies if isinstance(one, Answer)).calculator == "mash"
