"""Salt as a share of all the liquid, once the produce has given up its juice. Worked by hand, with the arithmetic."""

from __future__ import annotations

import pytest

from assistant.replies import Assume
from tests.helpers import say, value


@pytest.mark.parametrize(
    ("said", "grams"),
    [
        # chillies are 88 % water (USDA SR): 2 kg hold 1.76 kg; 2 L of water weigh 1.996 kg at 20 C (CRC Handbook);
        # the liquid is 3.756 kg, and 0.03 / 0.97 of it is salt
        ("3% of all the liquid, 2 kg peppers and 2 litres of water", 116.2),
        ("3% salt in the liquid, 2 kg peppers and 2 litres of water", 116.2),
        # no water is poured: 0.03 / 0.97 x 1.76 kg
        ("mash of 2 kg of chillies at 3% of the liquid", 54.4),
        # no produce: 0.03 / 0.97 x 1.996 kg
        ("3% of all the liquid, 2 litres of water", 61.7),
        # of the water that is poured: 0.03 x 1.996 kg
        ("3% salt by water weight, 2 kg peppers and 2 litres of water", 59.9),
        ("3% of all the water, 2 kg peppers and 2 litres of water", 59.9),
    ],
)
def test_salt_of_the_liquid(said: str, grams: float) -> None:
    """Of the liquid is neither of produce and water nor of the water poured."""
    assert value(say(said), "salt", "gram") == pytest.approx(grams, abs=0.1)


def test_the_other_liquid_is_named() -> None:
    """Who meant the water that is poured sees what that would be."""
    told = [one.text for one in say("3% of the liquid, 2 kg peppers, 2 litres of water") if isinstance(one, Assume)]
    assert any("all the liquid once the juice is out. Of the water poured it is 59.9 g" in one for one in told)
