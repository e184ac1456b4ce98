"""Amounts said with no preposition and no noun, and a sign that is the whole line."""

from __future__ import annotations

import pytest

from assistant.rules.wrong import found, words_of
from tests.helpers import say, value


@pytest.mark.parametrize(
    ("line", "name", "unit", "expected"),
    [
        # the technical buffer's printed table: 7.00 is 7.02 at 20 C and 7.09 at 5 C
        ("pH 7 buffer, 20 C", "there", "", 7.02),
        ("what is the pH 7 buffer, 5 C", "there", "", 7.09),
        # worked by hand: 2 x (5 / 3 - 1) kg
        ("dilute 2 kg from 5%, want 3%", "water", "kilogram", 1.3333),
        ("dilute 2 kg, 5%, 3%", "water", "kilogram", 1.3333),
        # standard atmosphere, ISO 2533: 95 C at 1,500 m
        ("boiling point, 1500 m", "boiling", "degree_Celsius", 95.0),
        ("hold for 5 minutes at 90 C, pH 3.8, 2000 m", "boiling", "degree_Celsius", 93.4),
    ],
)
def test_a_bare_amount_goes_where_it_plainly_belongs(line: str, name: str, unit: str, expected: float) -> None:
    """Without "at" or "to" an amount becomes the one quantity of its kind that is still open."""
    assert value(say(line), name, unit) == pytest.approx(expected, abs=0.06 if unit == "degree_Celsius" else 0.0001)


def test_a_sign_that_is_the_whole_line() -> None:
    """ "Just soft" is a sign where it is all that is said, and none where other things are looked for."""
    words = words_of("soft")
    assert found(words)
    assert not found(words, alone=False)
