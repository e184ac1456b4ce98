"""Units: pint's arithmetic over the kitchen's own definitions, in measures.txt.

Importing pint takes longer than a whole answer, so what it says of these definitions stands
beside them: factors.txt has the factor between any two units, as pint worked it out. It is a
table made from measures.txt and carries its check sum: made from any other text it is not
looked at, and pint itself is asked, as it is for whatever the table has not.
"""

from __future__ import annotations

import datetime
import zlib
from collections.abc import Sequence
from functools import lru_cache
from typing import TYPE_CHECKING, NamedTuple

from grammar import files

if TYPE_CHECKING:
    from pint import UnitRegistry

KITCHENS = ("us", "imperial", "metric", "australian")
"""The kitchens that a plain "cup" or "pint" can belong to; the first is the default."""

LOOSE = ("gallon", "quart", "pint", "cup", "fluid_ounce", "tablespoon", "teaspoon")
"""Units whose size depends on the kitchen."""

CANONICAL = {
    "mass": "kilogram",
    "trace": "milligram",
    "volume": "liter",
    "length": "decimeter",
    "fraction": "fraction",
    "density": "kilogram_per_liter",
    "temperature": "degree_Celsius",
    "difference": "delta_degree_Celsius",
    "time": "day",
    "months": "month",
    "potential": "millivolt",
    "slope": "mv_per_ph",
    "date": "ordinal",
}
"""One unit for each dimension; together they are coherent (kg, L = dm3, kg/L)."""

DATE = "date"
"""The unit of a date: yyyymmdd (ISO 8601 basic) outside, its day number (1 January of year 1 is 1) inside."""

UNITLESS = ("count", "gravity", "salometer", "acidity", "normality", "molarity", "part", "pungency", "grade")
"""Dimensions counted in plain numbers; their one unit carries their name."""


@lru_cache(maxsize=1)
def registry() -> UnitRegistry[float]:
    """The kitchen's pint registry. No errors: the definitions file is tested."""
    import pint

    units: UnitRegistry[float] = pint.UnitRegistry(None, on_redefinition="raise")
    units.load_definitions(files.text("grammar", "measures.txt").splitlines())
    return units


COLUMNS, ZERO, NEVER = "to:", "zero:", "-"
"""Marks of factors.txt: the units of the columns, a unit with a zero of its own, and no way from one to the other."""


class Factors(NamedTuple):
    """What factors.txt holds: the factor from a unit to each that measures the same, and for a unit whose zero is
    not nothing its scale and offset in the unit that the factors are of (kelvin)."""

    factors: dict[str, dict[str, float]]
    zeros: dict[str, tuple[float, float]]


@lru_cache(maxsize=1)
def factors() -> Factors:
    """The table, or an empty one if it was made from other definitions than those of measures.txt."""
    found = Factors({}, {})
    title, *rows = files.text("grammar", "factors.txt").splitlines()
    if title != title_of_factors():
        return found
    columns: list[str] = []
    for row in rows:
        name, *cells = row.split()
        if name == COLUMNS:
            columns = cells
        elif name == ZERO:
            found.zeros[cells[0]] = (float(cells[1]), float(cells[2]))
        else:
            pairs = zip(columns, cells, strict=True)
            found.factors[name] = {to: float(cell) for to, cell in pairs if cell != NEVER}
    return found


def title_of_factors() -> str:
    """The first line of a table that was made from measures.txt as it stands."""
    check = zlib.crc32(files.text("grammar", "measures.txt").encode("utf-8"))
    return f"# made by pint from measures.txt (CRC-32 {check:08x}): python -m tests.docs --write"


def settle(unit: str, kitchen: str) -> str:
    """The exact unit a loose word means in a kitchen: ("pint", "us") -> "us_pint".

    A metric kitchen has no pint, quart or gallon of its own; the US ones stand in, and
    the caller says so. An Australian kitchen is a metric one with a tablespoon of 20 mL.
    Units that are not loose come back unchanged.
    """
    if unit.startswith(("pound_per_", "ounce_per_")) and unit.endswith("per_gallon"):
        side = "imperial" if kitchen == "imperial" else "us"
        return unit.replace("per_gallon", f"per_{side}_gallon")
    if unit not in LOOSE:
        return unit
    if kitchen == "australian" and unit != "tablespoon":
        kitchen = "metric"
    if kitchen == "metric" and unit not in ("cup", "tablespoon", "teaspoon"):
        kitchen = "us"
    return f"{kitchen}_{unit}"


@lru_cache(maxsize=4096)
def convert(value: float, unit: str, to: str) -> float:
    """A value in one unit as a value in another of the same dimension.

    Args:
        value: the number.
        unit: a unit name of measures.txt (already settled).
        to: the unit wanted.

    Raises:
        ValueError: the two units measure different things.
    """
    if unit == to:
        return value
    table, zeros = factors()
    if unit not in table or to not in table:
        return _by_pint(value, unit, to)
    factor = table[unit].get(to)
    if factor is None:
        raise ValueError(f"{unit} and {to} measure different things")
    if unit in zeros:
        scale, offset = zeros[unit]
        value = value * scale + offset
    value = float(value * factor)
    if to in zeros:
        scale, offset = zeros[to]
        value = (value - offset) / scale
    return value


def _by_pint(value: float, unit: str, to: str) -> float:
    """What ``convert`` says, asked of pint."""
    import pint

    try:
        return float(registry().Quantity(value, unit).to(to).magnitude)
    except pint.DimensionalityError as error:
        raise ValueError(f"{unit} and {to} measure different things") from error


def together(parts: Sequence[tuple[float, str]], kitchen: str) -> float:
    """Numbers with their units added up in the first one's unit: a pint has 16 US or 20 imperial fluid ounces.

    Raises:
        ValueError: the units measure different things.
    """
    unit = settle(parts[0][1], kitchen)
    return sum((convert(value, settle(each, kitchen), unit) for value, each in parts[1:]), parts[0][0])


def _counted(unit: str, dimension: str) -> bool:
    """Whether the dimension is counted in plain numbers; a unit of another one is an error."""
    if dimension in UNITLESS and unit not in ("", dimension):
        raise ValueError(f"{unit} is not a {dimension}")
    return dimension in UNITLESS


def day(value: float) -> datetime.date:
    """The date written yyyymmdd.

    Raises:
        ValueError: there is no such day, or no year was said.
    """
    year, rest = divmod(round(value), 10000)
    return datetime.date(year, rest // 100, rest % 100)


def written(day: datetime.date) -> float:
    """A date as the number yyyymmdd, the inverse of ``day``."""
    return float(10000 * day.year + 100 * day.month + day.day)


def canonical(value: float, unit: str, dimension: str) -> float:
    """The value in the dimension's canonical unit (see CANONICAL).

    Raises:
        ValueError: the unit is of another dimension.
    """
    if _counted(unit, dimension):
        return value
    if dimension == DATE and unit == DATE:
        return float(day(value).toordinal())
    if dimension == "difference" and unit.startswith("degree_"):
        unit = f"delta_{unit}"
    return convert(value, unit, CANONICAL[dimension])


def in_unit(value: float, dimension: str, unit: str) -> float:
    """A canonical value in the unit wanted; a day outside the calendar is not a number.

    Raises:
        ValueError: the unit is of another dimension.
    """
    if _counted(unit, dimension):
        return value
    if dimension == DATE and unit == DATE:
        if not 1 <= value <= datetime.date.max.toordinal():  # also for what is not a number
            return float("nan")
        return written(datetime.date.fromordinal(round(value)))
    return convert(value, CANONICAL[dimension], unit)
