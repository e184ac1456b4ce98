"""Cautions on hot filling: cold glass, soft plastic, the last bottle of a run, closed jars in a water bath."""

from __future__ import annotations

from assistant.declare import Source
from assistant.rules import Facts, Rule
from assistant.trade.filled import COLD_GLASS
from assistant.trade.lethality import COUNTS_FROM

SHOCK = Source("common practice, no source: glass is kept within about 40 C (72 F) of what is poured into it")
SOFTENS = Source("handbook glass transition of PET, 70 to 80 C; hot-fill grade is made for more", seen=False)
COOLS = Source("common practice, no source: water takes heat from glass many times faster than still air does")
LOWEST = Source(
    "Univ. Georgia EFST 2023: the hold temperature is the lowest product temperature; that the pot cools while it is "
    "filled from is common practice, no source"
)
TESTED = Source(
    "USDA AIB 539 and NCHFP: low-temperature pasteurization, 180 to 185 F for 30 min, only as a recipe says"
)
_SOFT = 65.0
_LONG = 20 / 1440
"""A hold of twenty minutes or more is a bath's, not a pot's."""


def _over(facts: Facts, name: str, limit: float) -> bool:
    value = facts.get(name)
    return facts.calculator == "filled" and value is not None and value > limit


def _never_hot(facts: Facts) -> bool:
    """Whether what was filled settles where no heat is credited."""
    settled = facts.get("settled")
    return (
        facts.calculator == "filled" and settled is not None and settled <= COUNTS_FROM and "start" not in facts.values
    )


def _bathed(facts: Facts) -> bool:
    """Whether closed bottles stand in hot water for long."""
    long = "bottle" in facts.words and (facts.get("time") or 0.0) >= _LONG - 1e-9
    return facts.calculator == "hold" and ("low-temperature" in facts.words or long)


RULES: tuple[Rule, ...] = (
    Rule(
        "fill-cold", "stop", ("settled",), _never_hot,
        "This fill heats nothing: warm the bottles, fill hotter, or heat the closed bottles again by a tested process; "
        "until then keep them cold.",
        LOWEST, "150 g of sauce at 70 C into a 300 g bottle at 5 C, where does it settle",
        "150 g of sauce at 85 C into a 140 g bottle at 60 C, where does it settle",
        instead_of=("hold-short",),
    ),
    Rule(
        "glass-cold", "caution", ("gap",),
        lambda facts: _over(facts, "gap", COLD_GLASS + 1e-9) and "plastic" not in facts.words,
        "Sauce over 40 C (72 F) hotter than the glass may crack it: warm the bottles first, set them on wood or a "
        "cloth, and keep hot glass off a cold bench.",
        SHOCK, "150 g of sauce at 85 C into a 140 g bottle at 20 C, where does it settle",
        "150 g of sauce at 85 C into a 140 g bottle at 60 C, where does it settle",
    ),
    Rule(
        "plastic-soft", "caution", ("sauce_heat",),
        lambda facts: _over(facts, "sauce_heat", _SOFT) and "plastic" in facts.words,
        "Ordinary PET softens and shrinks at 70 C (158 F) or so: take hot-fill grade, or fill cold and keep it in the "
        "fridge.",
        SOFTENS, "250 g of sauce at 85 C into a 25 g plastic bottle at 22 C, where does it settle",
        "150 g of sauce at 85 C into a 140 g bottle at 20 C, where does it settle",
    ),
    Rule(
        "filled-chilled", "stop", ("gathered",),
        lambda facts: facts.calculator == "filled" and bool(facts.words & {"ice-point", "chilled"}),
        "That is reckoned for still air. In ice or water it cools many times faster: count none of this heat, and "
        "log the coldest bottle instead.",
        COOLS, "150 g of sauce at 85 C into a 140 g bottle at 20 C, pH 3.8, cooled in ice water",
        "150 g of sauce at 85 C into a 140 g bottle at 60 C, where does it settle",
    ),
    Rule(
        "last-bottle", "caution", (),
        lambda facts: facts.calculator == "filled",
        "The pot cools while you fill, and the last bottles fail first: keep it on the heat, measure in the last one, "
        "and where it missed the mark reheat the pot and do those bottles again.",
        LOWEST, "150 g of sauce at 85 C into a 140 g bottle at 60 C, where does it settle",
        "how long do I hold it at 160 F for pH 4.0",
    ),
    Rule(
        "tested-bath", "caution", ("time",),
        _bathed,
        "In closed jars or bottles the water at 180 to 185 F (82 to 85 C) for 30 minutes is for recipes that were "
        "tested for it, and no other; in a bottle the minutes count from when its core is there.",
        TESTED, "low temperature pasteurize at 180 F for 30 minutes, pH 3.8", "hold at 180 F for 10 minutes, pH 3.9",
    ),
)  # fmt: skip
