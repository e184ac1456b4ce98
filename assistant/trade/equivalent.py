"""Minutes at one temperature as minutes at another: by the z of the pH's table, or by a z that is given.

The model is log-linear: t(T) = F x 10^((Tref - T) / z), so minutes at a temperature take the place of F at Tref. A z
is a difference of temperatures: 18 F of it are 10 C, with no 32 in between. Temperatures are degrees C, times days.
"""

from __future__ import annotations

from collections.abc import Mapping

from assistant.declare import ARITHMETIC, Calculator, Default, Example, Input, Limit, Relation, Source, Worked
from assistant.trade.lethality import (
    ABOVE,
    AT_OR_UNDER_4_1,
    COUNTS_FROM,
    METER,
    OVER_4_1,
    PH_EDGE,
    holding_time,
    process_for,
)

LOG_LINEAR = Source(
    "Breidt, Sandeep and Arritt 2010, Food Protection Trends 30(5):268-272: t(T) = F x 10^((Tref - T)/z)"
)
_NO_Z = "a z under 3 C (5.4 F) or over 40 C (72 F) is none that is published for heat in acid food"
_TABLES = "the published z is 19.5 F (10.8 C) up to pH 4.1 and 16.6 F (9.2 C) up to 4.6"
_COLD = "Under 60 C (140 F) the published tables credit no heat, so there is nothing to compare"


def equivalent(time: float, temperature: float, other: float, ph: float) -> float:
    """Days at ``other`` that are worth ``time`` days at ``temperature``, by the process of a pH with its error.

    Over 180 F no more is credited than at 180 F, under 140 F nothing.

    Raises:
        ValueError: too high a pH, or a temperature at which nothing counts.
    """
    process = process_for(ph)
    here, there = process.rate(temperature), process.rate(other)
    if not here or not there:
        raise ValueError("no heat counts so low")
    return time * here / there


def by_z(time: float, temperature: float, other: float, z: float) -> float:
    """Days at ``other`` in place of ``time`` days at ``temperature``, for a z in degrees C; used as it is given."""
    return float(time * 10 ** ((temperature - other) / z))


def _published(known: Mapping[str, float]) -> float | None:
    """What the pH's own table makes of it, None where no pH is known or nothing counts."""
    if "counted" not in known:
        return None
    try:
        return equivalent(known["time"], known["temperature"], known["other"], known["counted"])
    except ValueError:
        return None


def worth(known: Mapping[str, float], _words: frozenset[str]) -> Worked:
    """The minutes at the other temperature: by the z that was given, else by the pH's table."""
    lacking = [name for name in ("time", "temperature", "other") if name not in known]
    if not lacking and "z" not in known and "ph" not in known:
        lacking = ["ph"]
    if lacking:
        return Worked(missing=tuple(lacking))
    if "ph" in known and "counted" not in known:
        return Worked({"counted": known["ph"] + known["meter_error"]})  # over the limit: refused
    published = _published(known)
    of = "F(160 F) 1.2 min, z 19.5 F (10.8 C)"
    if known.get("counted", 0.0) > PH_EDGE + 1e-9:
        of = "F(160 F) 5.6 min, z 16.6 F (9.2 C) below that and 16.7 F above"
    needs = {} if published is None else {"needs": holding_time(known["other"], known["counted"])}
    if "z" not in known:
        values = {"worth": float("nan") if published is None else published, **needs}
        return Worked(
            values,
            used=("meter_error",),
            headline="{time} at {temperature} is worth {worth} at {other} for pH {ph}, which needs {needs} there. "
            f"By its published table: {of}. "
            "No more is credited over 180 F (82.2 C) than at it.",
            lines=(f"The table for pH {{counted}}: {of}.", "{time} at {temperature} = {worth} at {other}."),
        )
    rest = ""
    found = {"worth": by_z(known["time"], known["temperature"], known["other"], known["z"])}
    cold = min(known["temperature"], known["other"]) < COUNTS_FROM - 1e-9
    if cold:
        rest = "The published tables credit nothing under 60 C (140 F)."
    elif "ph" not in known:
        rest = f"For an acid sauce {_TABLES}: say the pH, and I compare."
    elif published is not None:
        found |= {"published": published, **needs}
        rest = f"Published for pH {{ph}}: {of}; by them it is {{published}}, and {{needs}} is needed there."
    return Worked(
        found,
        used=("meter_error",) if "ph" in known else (),
        headline="{time} at {temperature} is worth {worth} at {other}, by a z of {z}. That rests on your figures, used "
        f"as you gave them. {rest}",
        lines=("{time} x 10^(({temperature} - {other}) / {z}) = {worth}.",),
    )


_HOT = Limit(0, 150, "degree_Celsius")

EQUIVALENT = Calculator(
    name="equivalent",
    title="Equivalent minutes",
    does="what minutes at one temperature are worth at another, by the table of the pH or by a z that you give",
    inputs=(
        Input("time", "time", "time", Limit(0, 2, "day"), ask="How many minutes?", plain=True, terms=("f-value",),
              marks=("for", "at")),
        Input("temperature", "temperature", "temperature of those minutes", _HOT,
              ask="At which temperature are those minutes?", terms=("temperature",)),
        Input("other", "temperature", "the other temperature", _HOT, ask="At which other temperature?",
              terms=("other-temperature",)),
        Input("z", "difference", "z", Limit(3, 40, "delta_degree_Celsius", from_low=True, source=LOG_LINEAR,
                                            too_high=f"That cannot be: {_NO_Z}"), terms=("z-value",), named=True),
        Input("ph", "acidity", "pH", Limit(0, 4.6, "acidity", too_high=ABOVE, source=OVER_4_1), plain=True,
              ask="Of which pH? Its table has the z", terms=("ph",), marks=("at", "for", "of", "with")),
        Input("meter_error", "acidity", "what the meter may be off", Limit(0, 1, "acidity", from_low=True),
              default=Default(0.1, "acidity", "the meter may be 0.1 off", METER)),
        Input("counted", "acidity", "pH with the error", Limit(0, 4.6, "acidity", too_high=ABOVE, source=OVER_4_1)),
        Input("worth", "time", "time at the other temperature", Limit(0, 1e9, "day", too_high=_COLD)),
        Input("needs", "time", "time there that the pH needs", Limit(0, 2, "day")),
        Input("published", "time", "time there by the published table", Limit(0, 1e9, "day")),
    ),
    relations=(Relation("counted = ph + meter_error", {"counted": "ph + meter_error"}),),
    goals=("worth",),
    called_by=("equivalence",),
    headline={"worth": ("{time} at {temperature} is worth {worth} at {other}.",)},
    tail=("Minutes count at the coldest point only.",),
    wanted={"time": ("worth",)},
    sources=(LOG_LINEAR, AT_OR_UNDER_4_1, OVER_4_1, ARITHMETIC),
    program=worth,
    examples=(
        Example("z 10 C, F 2 min at 71.1 C, how long at 65", "worth", 8.148, "minute", 0.002, ARITHMETIC),
        Example("10 minutes at 75 C is worth how many at 82 C at pH 3.9", "worth", 2.258, "minute", 0.001,
                AT_OR_UNDER_4_1),
    ),
)  # fmt: skip
"""2 x 10^(6.1 / 10) = 8.148 min; 10 x 10^(-7 / 10.833) = 2.258 min."""

CALCULATORS = (EQUIVALENT,)
