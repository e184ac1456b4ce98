"""The log of a probe as a table: a time and a temperature in each row, in any common form.

Rows may be divided by commas, semicolons, tabs or blanks; times may be clock times with or without a date, seconds,
minutes, hours, or seconds since 1970; temperatures C or F, with a decimal point or comma. Several temperature columns
are several probes: the coldest at each moment is what counts. A row that cannot be read is named, never guessed.
"""

from __future__ import annotations

import csv
import datetime
import math
import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from itertools import chain, islice, pairwise
from operator import add, itemgetter, lt, methodcaller

from grammar import clock
from grammar.later import regex
from grammar.types import Course

COLDEST, HOTTEST = -40.0, 400.0
"""No probe for a kitchen shows less or more, in C or F; "850" is what a broken one says."""

_NOT_HEAT = regex(r"humid|%|\brh\b|volt|batt|press|dew|serial|\bno\b|^#$|index|record|ambient|room|set\s?point|target")
_HEAT = regex(r"temp|°|º|\bdeg|celsius|fahrenheit|probe|core|thermo|\bch(?:annel)?\s*\d|\bt\d\b|^\W*[cf]\W*$")
_SCALE = regex(
    r"(?:°|º|\bdeg(?:rees?)?\.?)\s*([cf])\b|[(\[_/\s-]([cf])[)\]]?\s*$|\b(celsius|fahrenheit)\b|^([cf])$|"
    r"temp(?:erature)?_?([cf])\b"
)
_KELVIN = regex(r"[(\[_/\s-]k[)\]]?\s*$|\bkelvin\b")
_ABOVE = regex(r"\b(?:units?|scale|temp\w*)\b\W*(?:°|deg\w*)?\s*([cf])\b|\b(celsius|fahrenheit)\b")
_TIME = regex(r"time|elapsed|\bmin|\bsec|stamp|clock|\bhour|^\W*[sh]\W*$|^t$|\bms\b")
_DATE = regex(r"\bdate\b")
_CELL = regex(r"\s*([+-]?\d+(?:[.,]\d+)?)\s*(?:°|º|deg(?:rees)?)?\s*([CFcf]?)(?:elsius|ahrenheit)?\s*")
_CLOCK = regex(r"(\d{1,3}):(\d\d)(?::(\d\d)(?:[.,](\d+))?)?\s*([AaPp])?\.?[Mm]?\.?")
_DAY = regex(r"(\d{1,4})[./-](\d{1,2})[./-](\d{1,4})[T ,]*(.*)")
_PER = (
    (regex(r"\bms\b|millisec"), 1 / 60000), (regex(r"\bs(?:ec(?:ond)?s?)?\b"), 1 / 60),
    (regex(r"\bm(?:in(?:ute)?s?)?\b"), 1.0), (regex(r"\bh(?:(?:ou)?rs?)?\b"), 60.0),
)  # fmt: skip
_COUNT_WORDS = regex(r"elapsed|\bmm?:ss")
_CLOCK_WORDS = regex(r"\bhh?:mm|\blocal\b|\bclock\b")


class LogError(ValueError):
    """A table that is no log of temperatures; the message is a sentence that says what would be."""


def rows_of(text: str) -> int:
    """How many lines of a text hold a time and a temperature, as the rows of a log do."""
    lines = [one for one in text.lstrip("\ufeff").splitlines()[:50] if one.strip()]
    rows = list(_cells(lines, _divider(lines), '"' in text)) if lines else []
    return sum(_ROW.match(line) is not None and _data(row) for line, row in zip(lines, rows, strict=True))


_ROW = regex(r"^\s*[\"'\d][\d\s.,:;/\tTZ+\"'°CFcfAaPpMm-]*$")
"""A line of nothing but numbers, times and scales."""


def table(text: str) -> Course:
    """The temperatures of a log.

    Args:
        text: the whole of it, with its line ends.

    Returns:
        Minutes since the first reading, and degrees as they stand there.

    Raises:
        LogError: no times and temperatures can be told apart in it.
    """
    lines = text.lstrip("\ufeff").splitlines()
    divide = _divider(lines)
    rows = iter(_cells(lines, divide, '"' in text))
    early = list(islice(rows, _SAMPLE))
    first = next((at for at, row in enumerate(early) if _data(row)), None)
    if first is None:
        raise LogError(
            'I see no row with a time and a temperature. A log looks like "14:02:00,72.5" row by row, with a line of '
            "column names first."
        )
    head = _header(early[:first], len(early[first]))
    columns = _Columns(head, early[first:])
    if not columns.unit and (said := _ABOVE.search(" ".join(" ".join(row) for row in early[:first]).lower())):
        columns.unit = {"c": "degree_Celsius", "f": "degree_Fahrenheit"}[(said[1] or said[2])[0]]
    if (whole := columns.smooth(lines[first:], divide)) is not None:
        return whole
    return columns.course(chain(early[first:], rows), first + 1)


_SAMPLE = 600
"""Rows by which the columns are told apart."""


def _divider(lines: Sequence[str]) -> str:
    """What divides the cells: the sign that stands in most rows, before a comma that may be a decimal one."""
    sample = [one for one in lines[:200] if one.strip()]
    for sign in ("\t", ";", ","):
        if sum(sign in one for one in sample) > len(sample) / 2:
            return sign
    return " "


def _cells(lines: Sequence[str], divide: str, quoted: bool) -> Iterable[list[str]]:
    if divide != " " and not quoted:
        return map(methodcaller("split", divide), lines)  # nothing quoted: half the time of a CSV reader
    if divide != " ":
        return csv.reader(lines, delimiter=divide, skipinitialspace=True)
    return (re.split(r"\s{2,}|(?<!\d{4}-\d\d-\d\d)\s+(?![AaPp]\.?[Mm]\b|[CFcf]\b|°)", one.strip()) for one in lines)


def _data(row: Sequence[str]) -> bool:
    """Whether a row holds a time and a temperature."""
    numbers = sum(_CELL.fullmatch(one) is not None for one in row)
    times = sum(_CLOCK.fullmatch(one.strip()) is not None or _stamp(one) for one in row)
    return numbers >= 1 and numbers + times >= 2


def _stamp(cell: str) -> bool:
    match = _DAY.fullmatch(cell.strip())
    return match is not None and (not match[4] or _CLOCK.fullmatch(match[4].strip()[:15].rstrip("Z+- ")) is not None)


def _header(rows: Sequence[Sequence[str]], width: int) -> list[str]:
    """The column names: the last row before the data that has as many cells, some of them with letters."""
    for row in reversed(rows):
        if len(row) >= width and any(re.search(r"[a-z°]", one.lower()) for one in row):
            return [one.strip().lower() for one in row]
    return []


class _Columns:
    """Which column is what, and how its cells are read."""

    def __init__(self, head: list[str], rows: list[list[str]]) -> None:
        self.head = head
        sample = [row for row in rows if row and _data(row)]
        width = max(len(one) for one in sample)
        self.name = [self.head[at] if at < len(self.head) else "" for at in range(width)]
        stamps = [at for at in range(width) if _most(sample, at, _stamp)]
        clocks = [at for at in range(width) if _most(sample, at, lambda one: bool(_CLOCK.fullmatch(one.strip())))]
        plain = [at for at in range(width) if _most(sample, at, lambda one: bool(_CELL.fullmatch(one)))]
        self.date = -1
        self.timed = True
        if clocks or stamps:
            self.time = clocks[0] if clocks else stamps[0]
            if clocks and stamps and stamps[0] != self.time:
                self.date = stamps[0]
        else:
            named = [at for at in plain if _TIME.search(self.name[at]) and not _heat_named(self.name[at])]
            rising = [at for at in plain if _rises(sample, at)]
            if not named and (not rising or rising[0] != plain[0]):
                raise LogError("I cannot tell which column is the time: put a line with the column names first.")
            self.time = named[0] if named else rising[0]
        left = [at for at in plain if at != self.time]
        named = [at for at in left if _heat_named(self.name[at])]
        if not named:
            named = [at for at in left if not _NOT_HEAT.search(self.name[at]) and not _TIME.search(self.name[at])]
            if len(named) > 1:
                raise LogError("I cannot tell which column is the temperature: put a line with the column names first.")
        if not named:
            raise LogError("I see times but no column of temperatures.")
        self.heat = named
        self.first = next(row[self.time].strip() for row in sample if self.time < len(row) and row[self.time].strip())
        self.unit = _unit([self.name[at] for at in named], sample, named)
        self.half = "m" in self.first.lower()
        self.times, self.sure = self._read([row[self.time] for row in sample if self.time < len(row)])
        self.early = tuple(row[self.time].strip() for row in sample[:2] if self.time < len(row))

    def _read(self, cells: Sequence[str]) -> tuple[str, bool]:
        """How times of two numbers are read, by the name of their column or by themselves; "" where there are none."""
        found = [_CLOCK.fullmatch(one.strip()) for one in cells]
        times = [(int(one[1]), int(one[2])) for one in found if one is not None]
        if self.date >= 0 or not times:
            return "", True
        if self.half or any(one is not None and one[3] for one in found):
            return clock.CLOCK, True
        if _COUNT_WORDS.search(self.name[self.time]):
            return clock.COUNT, True
        if _CLOCK_WORDS.search(self.name[self.time]):
            return clock.CLOCK, True
        taken = clock.kind(times)
        return taken.name, taken.sure

    def smooth(self, lines: Sequence[str], divide: str) -> Course | None:
        """A log in which every row is whole, column by column: a million rows in about the time they take to split.

        None if anything in it is not as in the first row; then it is gone through row by row.
        """
        if len(self.heat) > 1 or self.date >= 0 or len(lines) < _SAMPLE or divide == " ":
            return None
        lines = lines if lines[-1].strip() else lines[:-1]
        width = lines[0].count(divide) + 1
        cells = divide.join(lines).split(divide)
        if len(cells) != width * len(lines):
            return None
        try:
            values = list(map(float, cells[self.heat[0] :: width]))
            minutes = self._stamped(cells[self.time :: width])
        except (ValueError, KeyError):
            return None
        rising = all(map(lt, minutes, islice(minutes, 1, None)))
        if not rising or min(values) < COLDEST or max(values) > HOTTEST:
            return None
        start = minutes[0]
        return Course(tuple([one - start for one in minutes]), tuple(values), self.unit, True, rows=len(values))

    def _stamped(self, cells: Sequence[str]) -> list[float]:
        """Times in ISO form as minutes; a row with a cell too many or too few puts something else here.

        Raises:
            KeyError, ValueError: one is not in that form.
        """
        if len(self.first) != 19 or not _stamp(self.first):
            raise ValueError("another form")
        of_day = list(map(_Seconds().__getitem__, map(itemgetter(slice(11, None)), cells)))
        dated = itemgetter(slice(0, 11))
        dates = {one: _since_1970(f"{one}00:00:00") for one in set(map(dated, cells))}
        return of_day if len(dates) == 1 else list(map(add, map(dates.__getitem__, map(dated, cells)), of_day))

    def course(self, lines: Iterable[list[str]], line: int) -> Course:
        """The readings in order; ``line`` is the number of the first of these lines in the text."""
        bad: list[tuple[int, str]] = []
        holes: list[float] = []
        minutes: list[float] = []
        values: list[float] = []
        minute = self._minutes()
        heats, dated, place = self.heat, self.date >= 0, self.time
        single = heats[0] if len(heats) == 1 else -1
        last, same, at = -math.inf, False, line - 1
        for at, row in enumerate(lines, line):
            try:
                if single < 0 or dated:
                    raise ValueError
                now, value = minute(row[place]), float(row[single])
                if not COLDEST <= value <= HOTTEST:
                    raise ValueError
            except (ValueError, IndexError):
                if not row or not any(row):
                    line += 1
                    continue
                try:
                    now = minute(f"{row[self.date].strip()} {row[place].strip()}" if dated else row[place])
                    value = min([_degrees(row[one]) for one in heats])
                except (ValueError, IndexError) as error:
                    bad.append((at, _wrong(error, row)))
                    if minutes and (not holes or holes[-1] != minutes[-1]):
                        holes.append(minutes[-1])
                    continue
            if now <= last:
                if now < last:
                    bad.append((at, "its time is before the row above"))
                    holes.append(last)
                    continue
                same = True
            last = now
            minutes.append(now)
            values.append(value)
        if len(minutes) < 2:
            raise LogError("Fewer than two rows have a time and a temperature: that is no course.")
        start = minutes[0]
        minutes = [one - start for one in minutes]
        if same:
            minutes, values = _lowest(minutes, values)
        gone = tuple(one - start for one in holes)
        course = Course(tuple(minutes), tuple(values), self.unit, self.timed, (), tuple(bad), at - line + 1, gone)
        if self.sure:
            return course
        return replace(course, times=self.times, first=self.early)

    def _minutes(self) -> Callable[[str], float]:
        """How a cell becomes minutes."""
        first = self.first
        if self.date >= 0 or _DAY.fullmatch(first):
            return _Stamps()
        if ":" in first:
            return _Clock(self.times in (clock.COUNT, clock.OPEN), self.half)
        name = re.sub(r"[_.(\[/]", " ", self.name[self.time])
        per = next((rate for shape, rate in _PER if shape.search(name)), 0.0)
        start = float(first.replace(",", "."))
        if not per and start > 1e8:
            per = 1 / 60000 if start > 1e11 else 1 / 60
        self.timed = bool(per)
        rate = per or 1.0
        return lambda cell: (float(cell.replace(",", ".")) - start) * rate


def _most(rows: Sequence[Sequence[str]], at: int, of: Callable[[str], bool]) -> bool:
    cells = [row[at] for row in rows if at < len(row)]
    return sum(map(of, cells)) > len(cells) / 2


def _heat_named(name: str) -> bool:
    return bool(_HEAT.search(name) or _SCALE.search(name)) and not _NOT_HEAT.search(name)


def _rises(rows: Sequence[Sequence[str]], at: int) -> bool:
    """Whether a column only grows, as a time does."""
    try:
        values = [float(row[at].replace(",", ".")) for row in rows if at < len(row)]
    except ValueError:
        return False
    return len(values) > 1 and all(later > earlier for earlier, later in pairwise(values))


def _unit(names: Sequence[str], rows: Sequence[Sequence[str]], columns: Sequence[int]) -> str:
    """C or F, by the column names or the cells."""
    letters = set()
    if any(_KELVIN.search(name) for name in names):
        raise LogError("These temperatures are in kelvin: take 273.15 off each, and give them in C.")
    for name in names:
        found = _SCALE.search(name)
        if found:
            letters.add(next(one for one in found.groups() if one)[0])
    for row in rows[:50]:
        for at in columns:
            match = _CELL.fullmatch(row[at]) if at < len(row) else None
            if match and match[2]:
                letters.add(match[2].lower())
    if len(letters) > 1:
        raise LogError("Some of these temperatures are C and some F: I do not mix them.")
    return {"c": "degree_Celsius", "f": "degree_Fahrenheit"}.get(next(iter(letters), ""), "")


def _degrees(cell: str) -> float:
    """A temperature as it stands there.

    Raises:
        ValueError: it is none, or none that a probe can show.
    """
    try:
        value = float(cell)
    except ValueError:
        match = _CELL.fullmatch(cell)
        if match is None:
            raise ValueError(f'"{cell.strip()[:20]}" is no temperature') from None
        value = float(match[1].replace(",", "."))
    if not COLDEST <= value <= HOTTEST:
        raise ValueError(f"{cell.strip()[:20]} is no temperature that a probe in a pot can show")
    return value


def _wrong(error: Exception, row: Sequence[str]) -> str:
    if isinstance(error, IndexError):
        return "a cell is missing"
    text = str(error)
    return text if "temperature" in text else f'"{" ".join(row)[:30].strip()}" has no time that can be read'


def _lowest(minutes: Iterable[float], values: Iterable[float]) -> tuple[list[float], list[float]]:
    """Of several readings with one time, the lowest."""
    found: dict[float, float] = {}
    for now, value in zip(minutes, values, strict=True):
        found[now] = min(value, found.get(now, value))
    return list(found), list(found.values())


class _Clock:
    """Clock times of one log, or minutes and seconds since its start."""

    def __init__(self, counts: bool, half: bool) -> None:
        self.counts, self._on = counts, clock.Clock(half)

    def __call__(self, cell: str) -> float:
        match = _CLOCK.fullmatch(cell.strip())
        if match is None:
            raise ValueError(cell)
        now = _of_day(match)
        return now / 60 if self.counts else self._on(now)


class _Seconds(dict[str, float]):
    """Minutes since midnight of "14:02:07", each worked out once: a log has many rows and a day 86,400 seconds."""

    def __init__(self) -> None:
        super().__init__()
        self._clock = {f"{hour:02d}:{minute:02d}": hour * 60.0 + minute for hour in range(24) for minute in range(60)}
        self._second = {f":{one:02d}": one / 60 for one in range(60)}

    def __missing__(self, cell: str) -> float:
        self[cell] = found = self._clock[cell[:5]] + self._second[cell[5:]]
        return found


def _of_day(match: re.Match[str]) -> float:
    """Minutes since midnight of a clock time."""
    hour = int(match[1])
    if match[5]:
        hour = hour % 12 + (12 if match[5].lower() == "p" else 0)
    second = int(match[3] or 0) + (float(f"0.{match[4]}") if match[4] else 0.0)
    if int(match[2]) > 59 or second >= 60:
        raise ValueError("no such time")
    return hour * 60 + int(match[2]) + second / 60


class _Stamps:
    """Times with their dates; the day is worked out anew only where the date changes."""

    def __init__(self) -> None:
        self.date, self.base = "", 0.0
        self.iso = ""
        self.clocks: dict[str, float] = {}
        self.seconds = {f":{one:02d}": one / 60 for one in range(60)}

    def __call__(self, cell: str) -> float:
        # the open standard, row after row of one day: only what is new in it is worked out
        if cell[:11] == self.iso and len(cell) == 19 and (base := self.clocks.get(cell[11:16])) is not None:
            second = self.seconds.get(cell[16:])
            if second is not None:
                return base + second
        try:
            if "+" in cell or "Z" in cell:
                return datetime.datetime.fromisoformat(cell).timestamp() / 60
            found = datetime.datetime.fromisoformat(cell)
            if cell[:11] != self.iso:
                self.iso, self.clocks = cell[:11], {}
            if len(cell) == 19:
                whole = datetime.datetime(found.year, found.month, found.day, found.hour, found.minute)
                self.clocks[cell[11:16]] = (whole - _START).total_seconds() / 60
            return (found - _START).total_seconds() / 60
        except ValueError:
            pass
        match = _DAY.fullmatch(cell.strip())
        clock = _CLOCK.fullmatch(match[4].strip()) if match is not None and match[4] else None
        if match is None or clock is None:
            raise ValueError(cell)
        date = f"{match[1]}/{match[2]}/{match[3]}"
        if date != self.date:
            day = self._day(int(match[1]), int(match[2]), int(match[3]))
            self.date, self.base = date, day.toordinal() * 1440.0
        return self.base + _of_day(clock)

    def _day(self, one: int, two: int, three: int) -> datetime.date:
        """The date; of two readings of 3/4 the one that goes on from the row above."""
        if one > 31:
            return datetime.date(one, two, three)
        year = three + (2000 if three < 100 else 0)
        ways = []
        for month, day in ((two, one), (one, two)):
            try:
                ways.append(datetime.date(year, month, day))
            except ValueError:
                continue
        if not ways:
            raise ValueError("no such day")
        if self.base:
            before = self.base / 1440
            return min(ways, key=lambda way: (way.toordinal() < before, abs(way.toordinal() - before)))
        return ways[0]


_START = datetime.datetime(1970, 1, 1)


def _since_1970(text: str) -> float:
    """Minutes of a time in ISO form without a zone."""
    return (datetime.datetime.fromisoformat(text) - _START).total_seconds() / 60
