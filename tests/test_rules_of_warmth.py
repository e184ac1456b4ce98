"""The cautions on heat, on a probe and on a sample's warmth, just beyond their lines and on them."""

from __future__ import annotations

from typing import Any

import pytest

from assistant.replies import Caution
from assistant.rules import Facts, cautions
from tests.helpers import say


def ids(calculator: str, words: str = "", **values: float) -> set[str]:
    """The rules that hold of some facts."""
    return {one.id for one in cautions(Facts(calculator, values, frozenset(words.split())))}


@pytest.mark.parametrize(
    ("rule", "held", "spared"),
    [
        # glass is kept within 40 C of what is poured: common practice, no source
        ("glass-cold", {"calculator": "filled", "gap": 40.1}, {"calculator": "filled", "gap": 40.0}),
        ("glass-cold", {"calculator": "filled", "gap": 50.0},
         {"calculator": "filled", "words": "plastic", "gap": 50.0}),
        # PET softens from 70 C (handbook, from memory), less a margin of 5
        ("plastic-soft", {"calculator": "filled", "words": "plastic", "sauce_heat": 65.1},
         {"calculator": "filled", "words": "plastic", "sauce_heat": 65.0}),
        # Breidt 2010: the tables start at 140 F, which is 60 C
        ("fill-cold", {"calculator": "filled", "settled": 60.0}, {"calculator": "filled", "settled": 60.1}),
        ("fill-cold", {"calculator": "filled", "settled": 50.0},
         {"calculator": "filled", "settled": 50.0, "start": 70.0}),
        # twenty minutes or more in closed bottles are a water bath's: common practice, no source
        ("tested-bath", {"calculator": "hold", "words": "bottle", "time": 20 / 1440},
         {"calculator": "hold", "words": "bottle", "time": 19.9 / 1440}),
        ("tested-bath", {"calculator": "hold", "words": "low-temperature"}, {"calculator": "hold", "time": 20 / 1440}),
        ("tested-bath", {"calculator": "hold", "words": "low-temperature"}, {"calculator": "hold", "words": "bottle"}),
        # printed acceptance of a probe: 85 to 105 % of the slope, 30 mV at pH 7; good from 95 % by common practice
        ("probe-void", {"calculator": "calibration", "efficiency": 0.849},
         {"calculator": "calibration", "efficiency": 0.85}),
        ("probe-void", {"calculator": "calibration", "efficiency": 1.051},
         {"calculator": "calibration", "efficiency": 1.05}),
        ("probe-void", {"calculator": "calibration", "efficiency": 1.0, "offset": -30.1},
         {"calculator": "calibration", "efficiency": 1.0, "offset": -30.0}),
        ("probe-worn", {"calculator": "calibration", "efficiency": 0.949},
         {"calculator": "calibration", "efficiency": 0.95}),
        # 21 CFR 114.90(a)(4), from memory: 20 to 30 C; ice-cold is a temperature too
        ("ph-warm", {"calculator": "ph", "temperature": 0.0}, {"calculator": "ph"}),
    ],
)  # fmt: skip
def test_a_caution_of_warmth_begins_at_its_line(rule: str, held: dict[str, Any], spared: dict[str, Any]) -> None:
    """Just beyond its line a caution holds; on the line, or without what it is about, it does not."""
    assert rule in ids(**held)
    assert rule not in ids(**spared)


@pytest.mark.parametrize(
    ("line", "short"),
    [
        # Breidt 2010: 1.2 min at 160 F up to pH 4.1; Breidt 2014: 5.6 min up to pH 4.6 (the meter's 0.1 is added)
        ("hold at 160 F for 1.2 minutes, pH 4.0", False), ("hold at 160 F for 1.1 minutes, pH 4.0", True),
        ("hold at 160 F for 5.6 minutes, pH 4.4", False), ("hold at 160 F for 5.5 minutes, pH 4.4", True),
    ],
)  # fmt: skip
def test_exactly_what_is_needed_is_enough(line: str, short: bool) -> None:
    """A hold of just the printed minutes is not called too short in the same answer that says it is once the need."""
    assert short == ("hold-short" in [one.rule for one in say(line) if isinstance(one, Caution)])
