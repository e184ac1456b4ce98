"""The bottom line, from 40 to 200 columns."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from assistant.console import helping
from assistant.console.bar import LOADING, UNKEPT, Standing, bottom
from assistant.console.looks import lines_of
from assistant.console.session import LOST
from assistant.walks.plan import walks
from tests.console.window import Clock, Window
from tests.helpers import talk

FULL = Standing("asking: salt of produce + water", "Batch 12, Ember from the south bed", "in lb, US cups, F")
TIMERS = ["0:45 stir", "1:02:00 turn the bottles on the top rack"]


@pytest.mark.parametrize("columns", range(40, 201, 4))
@pytest.mark.parametrize("timers", [[], TIMERS[:1], TIMERS])
def test_it_fits_and_keeps_the_timers(columns: int, timers: list[str]) -> None:
    """No row is wider than the screen, each timer stands there whole, and what is asked stays to the last."""
    rows = bottom(FULL, timers, columns).split("\n")
    assert [one for one in rows if len(one) > columns] == []
    for timer in timers:
        assert timer in " ".join(" ".join(rows).split())
    assert FULL.now in " ".join(rows)


def test_what_is_needed_least_goes_first() -> None:
    """All keys but one go before the units, the last key goes after them, then the batch; with room all is there."""
    wide = bottom(FULL, [], 200)
    assert all(one in wide for one in (FULL.now, FULL.batch, FULL.units, "F1 help", "Ctrl-D end", "Ctrl-R search"))
    for row in (bottom(FULL, [], columns) for columns in range(40, 201)):
        assert "Tab words" not in row or FULL.units in row
        assert FULL.units not in row or "F1 help" in row
        assert "F1 help" not in row or FULL.batch in row
        assert FULL.now in row
    assert FULL.batch not in bottom(FULL, [], 40)


def test_on_a_narrow_screen_a_timer_has_a_row_of_its_own() -> None:
    """Before the batch is left out for a timer, the timer gets its own row."""
    rows = bottom(FULL, TIMERS[:1], 76).split("\n")
    assert rows[0] == " 0:45 stir "
    assert FULL.batch in rows[1]
    assert len(bottom(FULL, TIMERS[:1], 160).split("\n")) == 1


def test_a_timer_wider_than_the_screen_goes_on_in_the_next_row() -> None:
    """Its time and every word of its label are there."""
    long = "12:00 " + "turn the bottles on the rack by the window " * 2
    rows = bottom(Standing(), [long.strip()], 40).split("\n")
    assert " ".join(" ".join(rows).split()).startswith(long.strip())
    assert max(map(len, rows)) <= 40


def test_the_single_keys_stand_there_on_a_walk_only() -> None:
    """They are named where they work: on a walk, and not where its step asks for something."""
    assert "space next, b back, r repeat, ? why" in bottom(Standing("step 1 of 9", walking=True), [], 120)
    assert "space next" not in bottom(Standing("step 2 of 9", walking=True, question="How big?"), [], 120)
    assert "space next" not in bottom(Standing(), [], 120)


@pytest.mark.parametrize(
    ("said", "units"),
    [
        ((), "in kg, L, C"),
        (("mash of 3 lb of chillies at 2%",), "in lb, US cups, C"),
        (("imperial units", "mash of 3 lb of chillies at 2%"), "in lb, imperial pints, C"),
        (("mash of 3 kg of chillies at 2%", "in ounces"), "in oz, L, C"),
    ],
)
def test_the_units_in_use(said: tuple[str, ...], units: str) -> None:
    """The units that the answers are shown in: as the person said theirs, or as was asked for."""
    session = talk()
    for one in said:
        session.say(one)
    assert helping.units(session.now) == units


def test_what_a_walk_asks_is_said_in_kitchen_words() -> None:
    """No step of a walk is named by the program's own word for what it asks: "ph_again" is a pH, "shown" a meter's."""
    tells = {step.tell for one in walks() for step in one.steps if step.tell}
    assert {tell for tell in tells if tell not in helping.TOLD} == {"slope"}
    assert [said for said in helping.TOLD.values() if "_" in said or "ph" in said.split()] == []
    assert set(helping.TOLD) <= tells


@pytest.mark.parametrize("columns", [40, 60, 100, 160])
def test_it_says_as_long_as_nothing_is_kept(columns: int) -> None:
    """The warning scrolls away; the bottom line has it before everything else, however narrow it is."""
    unkept = replace(FULL, unkept=True)
    assert bottom(unkept, TIMERS, columns).startswith(f" {UNKEPT} ")
    assert UNKEPT not in bottom(FULL, TIMERS, columns)


def test_a_book_that_cannot_be_written_stands_in_it(tmp_path: Path) -> None:
    """From the first prompt on, and after an entry."""
    (tmp_path / "taken").write_text("a file", encoding="utf-8")
    window = Window(tmp_path / "taken" / "a.book")
    bars: list[str] = []

    def script(one: Window) -> None:
        bars.append(one.bar)
        one.says("new batch of reds in a 5 L jar")
        bars.append(one.bar)

    window.run(script)
    assert [one.split(" | ")[0].strip() for one in bars] == [UNKEPT, UNKEPT]
    assert window.rows[-len(lines_of(LOST)) :] == lines_of(LOST)


def test_while_it_loads_it_says_so() -> None:
    """Before the talk is there the bottom line says that Enter waits, in 60 columns."""
    assert "Enter waits" in bottom(LOADING, [], 70)


def test_it_follows_a_screen_that_is_made_wider_or_narrower(tmp_path: Path) -> None:
    """The size is looked at each time that it is drawn."""
    window = Window(tmp_path / "a.book", columns=160)
    bars: list[str] = []

    def script(one: Window) -> None:
        one.says("mash of 3.4 kg of chillies at 2.5%")
        for columns in (160, 44, 100):
            one.screen.columns = columns
            bars.append(one.bar)

    window.run(script)
    assert "Ctrl-R search" in bars[0]
    assert (len(bars[1]) <= 44, "3.4 kg, 2.5%" in bars[1]) == (True, True)
    assert "Ctrl-D end" in bars[2]


def test_a_timer_counts_down_in_it_and_rings_above_the_line(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """It is there with its time; when it is due the bell rings once and a row says so, while a line is half typed."""
    monkeypatch.setattr("assistant.console.chat.TICK", 0.02)
    clock = Clock()
    window = Window(tmp_path / "a.book", clock)

    def script(one: Window) -> None:
        one.says("tell me in 10 minutes to stir")
        assert one.bar.startswith(" 10:00 stir | ")
        clock.on(15)
        assert one.bar.startswith(" 9:45 stir | ")
        one.type("half a li")
        clock.on(585)
        one.shows("Time is up: stir.")
        one.type("ne")
        one.until(lambda: one.line == "half a line")
        one.until(lambda: "stir" not in one.bar)

    window.run(script)
    assert (window.screen.bells, window.rows.count("Time is up: stir.")) == (1, 1)


def test_two_windows_ring_one_timer(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A timer started in one window is counted down in the other and rings there too; a third one, opened after,
    is silent."""
    monkeypatch.setattr("assistant.console.chat.TICK", 0.02)
    clock = Clock()
    first, second, third = (Window(tmp_path / "a.book", clock) for _ in range(3))

    def inner(two: Window) -> None:
        first.says("tell me in 10 minutes to stir")
        two.until(lambda: two.bar.startswith(" 10:00 stir | "))
        clock.on(600)
        first.shows("Time is up: stir.")
        two.shows("Time is up: stir.")

    def outer(_one: Window) -> None:
        second.run(inner)

    first.run(outer)
    third.run(lambda one: one.says("mash of 3 kg at 2%"))
    assert [each.screen.bells for each in (first, second, third)] == [1, 1, 0]
