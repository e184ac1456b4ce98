"""The course of a batch as lines of text, and as one sentence."""

from __future__ import annotations

import calendar
import datetime
import re
import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.batches import axes
from assistant.batches.batch import Point
from assistant.batches.chart import course, spoken
from assistant.batches.events import METHODS

DAY = datetime.date(2026, 3, 1)


def on(day: int, value: float, method: str = "meter", vessel: str = "") -> Point:
    """A reading so many days after the first of March."""
    return Point(DAY + datetime.timedelta(days=day), value, method, "", vessel)


FALLING = [on(0, 5.6, "strip"), on(2, 5.0, "strip"), on(4, 4.4), on(7, 4.1), on(11, 4.3), on(14, 3.8)]
FRESH = [(DAY, "chillies"), (DAY + datetime.timedelta(days=9), "carrots")]

days = st.one_of(st.integers(0, 30), st.integers(0, 730))
courses = st.sampled_from(["ph", "temperature"]).flatmap(
    lambda of: st.tuples(
        st.just(of),
        st.lists(
            st.builds(
                on,
                days,
                st.floats(0, 14) if of == "ph" else st.floats(-40, 150),
                st.sampled_from(METHODS),
                st.sampled_from(["the crock", "the jar"]),
            ),
            min_size=1,
            max_size=30,
        ),
    )
)
looks = st.fixed_dictionaries(
    {"width": st.integers(40, 160), "height": st.integers(4, 24), "plain": st.booleans(), "fahrenheit": st.booleans()}
)
marked = st.lists(st.tuples(days.map(lambda one: DAY + datetime.timedelta(days=one)), st.text(max_size=40)), max_size=9)


def cells(line: str) -> int:
    """Columns of a terminal that a line takes: two for a wide letter, none for an accent of its own."""
    return sum(
        0 if unicodedata.combining(one) else 2 if unicodedata.east_asian_width(one) in "WF" else 1 for one in line
    )


def frame(lines: list[str]) -> tuple[list[str], int, int]:
    """The rows of the chart proper, the column after its axis, and the width of the axis of the days."""
    bottom = next(at for at, line in enumerate(lines) if re.match(r" +[+└]", line))
    left = re.match(r" +[+└]", lines[bottom]).end()  # type: ignore[union-attr]
    return lines[1:bottom], left, len(lines[bottom]) - left


def rows_of(lines: list[str], mark: str) -> list[int]:
    """The rows that hold a mark, 0 at the top."""
    rows, left, columns = frame(lines)
    return [at for at, row in enumerate(rows) if mark in row[left : left + columns]]


def row_of_label(lines: list[str], label: str) -> int:
    """The row beside which a limit's label stands."""
    return next(at for at, row in enumerate(frame(lines)[0]) if row.endswith(label))


@given(courses, looks, marked)
def test_no_line_is_wider_than_asked_and_plain_is_ascii(
    what: tuple[str, list[Point]], look: dict[str, object], marks: list[tuple[datetime.date, str]]
) -> None:
    """Whatever is drawn and however things are named, every line keeps to the width; plain ones are printable ASCII."""
    of, points = what
    lines = course(points, of=of, marks=marks, **look)  # type: ignore[arg-type]
    assert [] == [line for line in lines if cells(line) > look["width"]]  # type: ignore[operator]
    assert [] == [line for line in lines if not line.isprintable() or line != line.rstrip()]
    if look["plain"]:
        assert all(line.isascii() for line in lines)


@given(courses, looks)
def test_every_reading_has_its_column_within_the_axis(what: tuple[str, list[Point]], look: dict[str, object]) -> None:
    """The first day stands in the first column, the last in the last, and each day of readings in a column between."""
    of, points = what
    rows, left, columns = frame(course(points, of=of, guides=(), **look))  # type: ignore[arg-type]
    assert len(rows) <= look["height"] + 1  # type: ignore[operator]
    found = {at - left for row in rows for at, cell in enumerate(row) if at >= left and cell in "●□◇■ox?#"}
    first, span = min(one.day for one in points), (max(one.day for one in points) - min(one.day for one in points)).days
    # a day's column by its share of the span, to the nearest column
    wanted = {int((one.day - first).days * (columns - 1) / max(span, 1) + 0.5) for one in points}
    assert wanted == found
    assert wanted <= set(range(columns))


@given(courses, looks)
def test_the_limits_are_always_named(what: tuple[str, list[Point]], look: dict[str, object]) -> None:
    """However coarse the chart is, both limits stand there with their value and name: beside it or below."""
    of, points = what
    text = "\n".join(course(points, of=of, **look))  # type: ignore[arg-type]
    named = {
        "ph": ("4.6 limit", "4.0 aim"),
        "temperature": ("75 F warm", "55 F cold") if look["fahrenheit"] else ("24 C warm", "13 C cold"),
    }
    assert [] == [one for one in named[of] if one not in text]


@given(courses, looks)
def test_no_reading_is_drawn_on_the_wrong_side_of_a_limit(
    what: tuple[str, list[Point]], look: dict[str, object]
) -> None:
    """A mark above its limit is never a row below the line, nor the other way round (single readings)."""
    of, points = what
    one = points[0]
    limit = axes.GUIDES[of][0]
    lines = course([one], of=of, guides=[limit], **{**look, "plain": True})  # type: ignore[arg-type]
    (row,) = rows_of(lines, {"strip": "x", "": "?"}.get(one.method, "o"))
    line = row_of_label(lines, axes.guide_label(limit, axes.unit_of(of, bool(look["fahrenheit"]))))
    assert row <= line if one.value >= limit[0] else row >= line


@pytest.mark.parametrize("value", [4.55, 4.59, 4.61, 4.65, 4.7, 5.9, 3.4])
def test_only_the_limit_itself_stands_on_its_line(value: float) -> None:
    """pH 4.61 is drawn above the 4.6 line and 4.59 below it, never on it; 4.6 is."""
    lines = course([on(0, 5.6), on(3, value, "strip"), on(5, 3.9)], of="ph")
    row, line = rows_of(lines, "□")[0], row_of_label(lines, "4.6 limit")
    assert (value > 4.6) == (row < line)
    assert row != line
    at_limit = course([on(0, 5.6), on(3, 4.6, "strip"), on(5, 3.9)], of="ph")
    assert row_of_label(at_limit, "4.6 limit") in rows_of(at_limit, "□")


def test_between_limits_on_neighbouring_rows_a_reading_stays_at_the_nearer() -> None:
    """Half a pH a row leaves no row between 4.6 and 4.0: 4.4 stands at the upper line, 4.1 at the lower."""
    lines = course([on(0, 8.0), on(3, 4.4, "strip"), on(5, 4.1, "")], of="ph")
    upper, lower = row_of_label(lines, "4.6 limit"), row_of_label(lines, "4.0 aim")
    assert upper + 1 == lower
    assert ([upper], [lower]) == (rows_of(lines, "□"), rows_of(lines, "◇"))


def test_a_course_looks_like_this() -> None:
    """Strips and meter by their marks, the limits dashed, days and dates below, fresh produce on the axis."""
    expected = """\
 pH
5.6 ┤□
5.4 ┤ ⠑⡄
5.2 ┤  ⠈⢢
5.0 ┤    ⠑□
4.8 ┤     ⠈⢢
4.6 ┤╌╌╌╌╌╌╌⠑⢄╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌ 4.6 limit
4.4 ┤        ⠈●⠤⣀
4.2 ┤            ⠉⠑⠢⢄●⣀⡠⠤⠤⠒⠒⠊⠉●⠑⠤⡀
4.0 ┤╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌⠈⠒⢄⡀╌ 4.0 aim
3.8 ┤                               ⠈●
    └▲──────────┬─────────▲─┬─────────
day  0          5          10
     1 Mar 2026            15 Mar 2026
● meter   □ strip
▲ put in: day 0 chillies, day 9 carrots"""
    assert expected == "\n".join(course(FALLING, of="ph", width=48, marks=FRESH))


def test_a_plain_course_looks_like_this() -> None:
    """The same in ASCII."""
    expected = """\
 pH
5.6 +x
5.4 + ..
5.2 +  ..
5.0 +    .x
4.8 +     ..
4.6 +- - - -.. - - - - - - - - - - - - 4.6 limit
4.4 +        .o..
4.2 +            ....o........o...
4.0 +- - - - - - - - - - - - - - ....- 4.0 aim
3.8 +                               .o
    +^----------+---------^-+---------
day  0          5          10
     1 Mar 2026            15 Mar 2026
o meter   x strip
^ put in: day 0 chillies, day 9 carrots"""
    assert expected == "\n".join(course(FALLING, of="ph", width=48, marks=FRESH, plain=True))


def test_one_reading_is_a_mark_on_day_0() -> None:
    """A single day has one date below the axis, no line, and its mark in the first column."""
    lines = course([on(0, 5.6)], of="ph", plain=True)
    rows, left, _ = frame(lines)
    assert "o" == rows[0][left]
    assert ["day  0", "     1 Mar 2026", "o meter"] == lines[-3:]


def test_two_readings_of_a_day_stand_above_each_other() -> None:
    """The same column, joined upright."""
    rows, left, _ = frame(course([on(0, 5.6), on(0, 5.2, "strip")], of="ph", plain=True))
    assert ["o", ".", "x"] == [row[left] for row in rows[:3]]


def test_readings_by_different_means_in_one_cell_are_said_to_be_several() -> None:
    """A strip and a meter that agree make one mark of their own, explained below; else it is not explained."""
    lines = course([on(0, 4.4), on(0, 4.4, "strip")], of="ph")
    assert 1 == len(rows_of(lines, "■"))
    assert "● meter   □ strip   ■ several at once" == lines[-1]
    assert "● meter   □ strip" == course([on(0, 4.4), on(0, 5.4, "strip")], of="ph")[-1]


def test_equal_readings_make_a_level_line() -> None:
    """All marks in one row, and the scale still holds both limits."""
    lines = course([on(one, 4.0, "") for one in range(0, 10, 3)], of="ph")
    assert 1 == len(rows_of(lines, "◇"))
    assert ["4.6", "4.4", "4.2", "4.0"] == re.findall(r"(?m)^(\d\.\d) ┤", "\n".join(lines))


def test_a_gap_of_months_is_left_open() -> None:
    """Between the readings of March and those of June no column is drawn in: nobody looked."""
    rows, left, columns = frame(
        course([on(0, 5.6), on(2, 4.9), on(5, 4.2), on(120, 3.6), on(122, 3.6)], of="ph", guides=())
    )
    used = {at for row in rows for at, cell in enumerate(row[left : left + columns]) if cell.strip()}
    assert set() == used & set(range(5, columns - 5))


def test_two_years_read_each_month_are_joined() -> None:
    """Gaps that are usual for the course are no gaps: every column from end to end is drawn in."""
    rows, left, columns = frame(course([on(31 * one, 3.6) for one in range(25)], of="ph", guides=()))
    used = {at for row in rows for at, cell in enumerate(row[left : left + columns]) if cell.strip()}
    assert set(range(columns)) == used


def test_readings_that_crowd_the_columns_have_no_line() -> None:
    """Six readings a day for two months are marks alone; one a day are joined."""
    daily, often = ([on(day, 4.0 - 0.1 * (turn % 3)) for day in range(60) for turn in range(each)] for each in (1, 6))
    once, crowded = (frame(course(one, of="ph", guides=(), plain=True, width=160)) for one in (daily, often))
    assert any("." in row[once[1] :] for row in once[0])
    assert not any("." in row[crowded[1] :] for row in crowded[0])


def test_vessels_read_side_by_side_have_a_line_each() -> None:
    """Two jars with two readings each: joined within a jar, not across; a jar after a crock is joined to it."""
    side = [on(0, 5.0, vessel="a"), on(0, 4.0, vessel="b"), on(4, 4.8, vessel="a"), on(4, 3.8, vessel="b")]
    assert [(side[0], side[2]), (side[1], side[3])] == axes.joined(side)
    after = [on(0, 5.0, vessel="a"), on(2, 4.6, vessel="a"), on(4, 4.2, vessel="b")]
    assert [(after[0], after[1]), (after[1], after[2])] == axes.joined(after)


def test_day_0_is_the_day_the_batch_was_begun() -> None:
    """A first reading on day 4 stands away from the axis, and the dates below begin with the batch."""
    lines = course([on(4, 4.4), on(8, 4.0)], of="ph", began=DAY, plain=True)
    rows, left, columns = frame(lines)
    assert (columns - 1) // 2 == min(row.index("o") - left for row in rows if "o" in row[left : left + columns])
    assert lines[-2].strip().startswith("1 Mar 2026")


def test_temperatures_have_round_ticks_in_either_unit() -> None:
    """From 8 to 29 C (46 to 84 F) both scales go in fives, each with its unit above."""
    warm = [on(0, 8.0, "thermometer"), on(5, 29.0, "thermometer")]
    celsius, fahrenheit = (course(warm, of="temperature", plain=True, fahrenheit=one) for one in (False, True))
    assert ["30", "25", "20", "15", "10", "5"] == re.findall(r"(?m)^ *(\d+) \+", "\n".join(celsius))
    assert [f"{one}" for one in range(85, 40, -5)] == re.findall(r"(?m)^ *(\d+) \+", "\n".join(fahrenheit))
    assert ("  C", "  F") == (celsius[0], fahrenheit[0])
    assert "o thermometer" == celsius[-1]


def test_limits_too_close_or_too_long_are_named_below() -> None:
    """Labels that would share a row, or take the room of the readings, stand in a line of their own."""
    close = course(FALLING, of="ph", guides=[(4.6, "limit"), (4.61, "also")], height=4, width=60)
    assert "╌╌ 4.6 limit, 4.61 also" in close
    long = course(FALLING, of="ph", guides=[(4.6, "above this the food is not acid food")], width=40)
    assert "╌╌ 4.6 above this the food is not acid" in long


def test_of_many_marks_the_first_are_named_and_the_rest_counted() -> None:
    """Nine additions: six by name, "3 more", and nine arrows on the axis."""
    marks = [(DAY + datetime.timedelta(days=one), f"pepper {one}") for one in range(9)]
    text = "\n".join(course(FALLING, of="ph", width=120, marks=marks))
    assert "day 5 pepper 5, 3 more" in text
    assert 9 + 1 == text.count("▲")


def test_wide_letters_count_for_two_columns() -> None:
    """A name of sixty wide letters goes over several lines, none wider than the terminal, and no letter is lost."""
    lines = course(FALLING, of="ph", width=40, marks=[(DAY, "辣椒" * 30)])
    assert max(cells(line) for line in lines) <= 40
    assert 60 == sum(line.count("辣") + line.count("椒") for line in lines)


def test_accents_are_dropped_in_plain_text() -> None:
    """A jalapeño is a jalapeno in ASCII; what has no ASCII is a question mark."""
    lines = course(FALLING, of="ph", plain=True, marks=[(DAY, "jalapeño 辣")])
    assert "^ put in: day 0 jalapeno ?" == lines[-1]


@pytest.mark.parametrize("of", ["ph", "temperature"])
def test_without_readings_nothing_is_drawn(of: str) -> None:
    """No reading, no chart; the sentence says so."""
    assert [] == course([], of=of)
    assert f"No {'pH' if of == 'ph' else of} reading yet" == spoken([], of)


def test_a_course_is_said_in_one_sentence() -> None:
    """Value and day of each reading, and the method once if it is always the same."""
    assert "pH 5.6 on 1 March, 4.4 on 4 March, 3.9 on 12 March (meter)" == spoken(
        [on(11, 3.9), on(0, 5.6), on(3, 4.4)], "ph"
    )
    assert "pH 5.6 on 1 March by strip, 4.4 on 4 March by meter, 4.0 on 5 March" == spoken(
        [on(0, 5.6, "strip"), on(3, 4.4), on(4, 4.0, "")], "ph"
    )
    assert "Temperature 69.8 F on 1 March, 71.6 F on 2 March (thermometer)" == spoken(
        [on(0, 21.0, "thermometer"), on(1, 22.0, "thermometer")], "temperature", fahrenheit=True
    )


def test_years_and_vessels_are_said_where_there_is_more_than_one() -> None:
    """A course over New Year has its years; the vessel is said when it changes."""
    assert "pH 4.0 on 1 March 2026, 3.6 on 1 March 2027 (meter)" == spoken([on(0, 4.0), on(365, 3.6)], "ph")
    assert "pH 5.0 on 1 March in the crock, 4.4 on 3 March, 4.0 on 5 March in the jar (meter)" == spoken(
        [on(0, 5.0, vessel="the crock"), on(2, 4.4, vessel="the crock"), on(4, 4.0, vessel="the jar")], "ph"
    )


def test_of_a_long_course_the_turns_are_said() -> None:
    """Falling for ten days, rising for five, falling again: the ends and the two turns, and how many there were."""
    values = [5.6 - 0.2 * one for one in range(10)] + [3.8 + 0.1 * one for one in range(1, 6)]
    values += [4.3 - 0.05 * one for one in range(1, 16)]
    assert (
        "pH 5.6 on 1 March, 3.8 on 10 March, 4.3 on 15 March, 3.55 on 30 March (meter); 30 readings in all"
        == spoken([on(day, round(value, 2)) for day, value in enumerate(values)], "ph")
    )


@given(courses)
def test_a_sentence_holds_the_ends_and_the_extremes_and_no_more_than_eight_readings(
    what: tuple[str, list[Point]],
) -> None:
    """However many readings there are, first, last, lowest and highest are among the eight or fewer said."""
    of, points = what
    points = sorted(points, key=lambda one: one.day)
    text = spoken(points, of)
    assert text.count(" on ") <= 8
    values = [one.value for one in points]
    wanted = [points[0], points[-1], points[values.index(min(values))], points[values.index(max(values))]]
    years = points[0].day.year != points[-1].day.year
    for one in wanted:
        said = f"on {one.day.day} {calendar.month_name[one.day.month]}"
        assert f"{said} {one.day.year}" in text if years else said in text


@given(st.floats(0, 14), st.floats(0, 14), st.integers(3, 24))
def test_a_scale_is_round_and_holds_its_values(low: float, high: float, most: int) -> None:
    """Every axis offered has at most so many steps of 0.2, 0.5 or 1, 2 or 5 times a power of ten, about the values."""
    for scale in axes.scales([low, high], "pH", most):
        assert scale.count <= most
        assert f"{scale.step:f}".strip("0.") in ("1", "2", "5")
        assert -1e-6 <= min(scale.share(low), scale.share(high))
        assert max(scale.share(low), scale.share(high)) <= 1 + 1e-6


@given(st.integers(0, 4000), st.integers(1, 30))
def test_days_are_counted_in_round_steps(span: int, most: int) -> None:
    """From day 0 on, at most so many steps, each 1, 2 or 5 times a power of ten."""
    ticks = axes.Days(DAY, span).ticks(most)
    assert 0 == ticks[0]
    assert len(ticks) <= most + 1
    assert str(ticks.step).rstrip("0") in ("1", "2", "5")
