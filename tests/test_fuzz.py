"""A short run of the fuzzer; ``python -m tests.fuzz`` runs it for as long as one likes."""

from __future__ import annotations

import pytest

from grammar.reader import read
from grammar.types import Reading
from tests.fuzz import KINDS, Fault, check, covered, lines, run


@pytest.mark.parametrize("seed", range(4))
def test_nonsense_breaks_nothing(seed: int) -> None:
    """Nothing is raised, no number is lost, and something is said to every line."""
    assert run(600, seed)[0] == 600


def test_the_four_kinds_come_in_turn() -> None:
    """Bytes, salad, mutated corpus lines and derived sentences are all among the lines, and differ."""
    assert len(KINDS) == 4
    assert len(set(lines(400, 3))) > 350


def test_a_lost_number_is_seen() -> None:
    """The check fails a reading that leaves a typed number out."""
    whole = read("mash of 3 kg of peppers at 2%")
    assert isinstance(whole, Reading)
    assert covered(whole)
    broken = Reading(whole.text, whole.act, amounts=whole.amounts[:1])
    with pytest.raises(Fault, match="'2' is lost"):
        check(whole.text, broken, (type("Said", (), {"text": "x"})(),))
