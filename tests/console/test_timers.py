"""Timers: asked for in many words, counted down, rung once, and not lost when the program closes."""

from __future__ import annotations

from pathlib import Path

import pytest

from assistant.book.store import Book
from assistant.console.clockwork import Clockwork, left
from assistant.console.main import main
from assistant.replies import Note, Timer
from grammar.walking import Timing, timing
from tests.console.window import Clock
from tests.helpers import say, talk


@pytest.mark.parametrize(
    ("line", "seconds", "what"),
    [
        ("tell me in 10 minutes", 600, ""), ("Tell me in ten minutes to stir", 600, "stir"),
        ("remind me in half an hour to press the mash", 1800, "press the mash"), ("timer 3 min", 180, ""),
        ("set a timer for an hour and a half", 5400, ""), ("wake me in 1 hour 30 minutes", 5400, ""),
        ("timer for 90 seconds", 90, ""), ("remind me to turn the bottles in 3 minutes", 180, "turn the bottles"),
        ("count down twenty-five minutes", 1500, ""), ("shout to me in a quarter of an hour", 900, ""),
        ("tell me in 2.5 minutes", 150, ""), ("start a timer of 45 s", 45, ""),
    ],
)  # fmt: skip
def test_a_timer_is_asked_for(line: str, seconds: float, what: str) -> None:
    """The time and what it is for, in digits or words."""
    found = timing(line)
    assert found is not None
    assert (found.act, found.seconds, found.what) == ("start", pytest.approx(seconds), what)


@pytest.mark.parametrize(
    "line",
    ["hold it 10 minutes at 75 C", "how long do I boil jars", "in 10 minutes it was 70 C", "3 kg in 10 minutes",
     "tell me more", "how long is the timer on a crock", ""],
)  # fmt: skip
def test_what_is_no_timer(line: str) -> None:
    """A time alone starts nothing; "tell me more" has none and is asked about at most."""
    found = timing(line)
    assert found is None or found.seconds == 0


def test_lists_and_stops() -> None:
    """ "Timers" lists them, "stop the timer" stops them."""
    assert timing("timers") == Timing("list")
    assert timing("how long on the timer") == Timing("list")
    assert timing("stop the timers") == Timing("stop")


@pytest.mark.parametrize(
    ("line", "label"),
    [
        ("tell me in 1 second, to check the pH", "check the pH"),
        ("remind me to stir Red\u2019s  jar in 9 minutes", "stir Red's jar"),
        ("set a timer for 5 minutes", ""),
    ],
)
def test_it_is_called_as_it_was_typed(line: str, label: str) -> None:
    """What is counted for keeps its letters: a pH is no "ph"."""
    found = timing(line)
    assert found is not None and found.what == label


def test_one_second_is_one() -> None:
    """One of a unit is not told as several."""
    told = [talk().say(f"tell me in {one}")[1][0].text for one in ("1 second", "2 seconds", "1 minute", "90 seconds")]
    assert told == ["Counting 1 second.", "Counting 2 seconds.", "Counting 1 minute.", "Counting 1.5 minutes."]


def test_the_talk_only_asks_for_it() -> None:
    """The reply says what is to be counted; nothing in the talk moves, and no clock is read there."""
    session = talk()
    before = session.talk
    _, replies = session.say("tell me in 10 minutes to stir")
    assert replies == (Timer("Counting 10 minutes: stir.", "start", 600.0, "stir"),)
    assert session.talk.now == before.now
    assert isinstance(say("tell me in 0 minutes")[0], Note)
    _, replies = session.say("remind me in 50 days")
    assert not isinstance(replies[0], Timer)


def test_a_step_gives_its_own_time_and_name() -> None:
    """On a step that is held, "start a timer" needs no number."""
    replies = say("walk me through calibrating my meter", "next", "start a timer")
    assert replies == (Timer("Counting 1 minute: step 2.", "start", 60.0, "step 2"),)


STIR = Timer("", "start", 600.0, "stir")


def test_counted_down_and_rung_once() -> None:
    """It is counted, it rings when it is due and only then, and once."""
    clock = Clock()
    with Book.open(None) as book:
        timers = Clockwork(book, clock)
        assert not timers.running
        timers.asked(STIR)
        timers.asked(Timer("", "start", 60.0, ""))
        clock.on(15)
        assert timers.shown() == ["0:45", "9:45 stir"]
        assert timers.asked(Timer("", "list")) == ["0:45", "9:45 stir"]
        assert timers.rung() == []
        clock.on(600)
        assert timers.rung() == ["Time is up, 9:15 ago.", "Time is up: stir."]
        assert timers.rung() == []
        assert timers.asked(Timer("", "list")) == ["None runs."]


def test_timers_outlive_the_program(tmp_path: Path) -> None:
    """Closed and opened again, it runs on; due meanwhile, it rings at the start with how long ago that was."""
    clock = Clock()
    with Book.open(tmp_path / "my.book") as book:
        Clockwork(book, clock).asked(STIR)
    clock.on(300)
    with Book.open(tmp_path / "my.book") as book:
        assert Clockwork(book, clock).shown() == ["5:00 stir"]
    clock.on(900)
    with Book.open(tmp_path / "my.book") as book:
        assert Clockwork(book, clock).rung() == ["Time is up, 10:00 ago: stir."]
    with Book.open(tmp_path / "my.book") as book:
        assert Clockwork(book, clock).rung() == []


def test_two_windows_count_and_ring_the_same_timer(tmp_path: Path) -> None:
    """Started in one window it is counted in the other, rings in both when it is due, and in neither again."""
    clock = Clock()
    with Book.open(tmp_path / "my.book") as book, Book.open(tmp_path / "my.book") as second:
        here, there = Clockwork(book, clock), Clockwork(second, clock)
        here.asked(STIR)
        clock.on(1)
        assert (there.rung(), there.shown()) == ([], ["9:59 stir"])
        clock.on(599)
        assert (here.rung(), there.rung()) == (["Time is up: stir."], ["Time is up: stir."])
        clock.on(1)
        assert (here.rung(), there.rung()) == ([], [])


def test_a_timer_that_was_rung_elsewhere_is_not_rung_late(tmp_path: Path) -> None:
    """A window that was asleep when the other one rang finds it over and keeps silent."""
    clock = Clock()
    with Book.open(tmp_path / "my.book") as book, Book.open(tmp_path / "my.book") as second:
        here, there = Clockwork(book, clock), Clockwork(second, clock)
        here.asked(STIR)
        assert there.rung() == []
        clock.on(600)
        assert here.rung() == ["Time is up: stir."]
        clock.on(60)
        assert (there.rung(), there.shown()) == ([], [])


def test_stopped_in_one_window_it_is_stopped_in_both(tmp_path: Path) -> None:
    """The other window stops counting with its next look, and does not ring."""
    clock = Clock()
    with Book.open(tmp_path / "my.book") as book, Book.open(tmp_path / "my.book") as second:
        here, there = Clockwork(book, clock), Clockwork(second, clock)
        here.asked(STIR)
        there.rung()
        here.asked(Timer("", "stop"))
        clock.on(2)
        assert (there.rung(), there.shown()) == ([], [])
        clock.on(600)
        assert there.rung() == []


def test_stopped() -> None:
    """Stopped timers neither count nor ring."""
    clock = Clock()
    with Book.open(None) as book:
        timers = Clockwork(book, clock)
        timers.asked(STIR)
        timers.asked(Timer("", "stop"))
        clock.on(3600)
        assert (timers.rung(), timers.shown()) == ([], [])


@pytest.mark.parametrize(
    ("seconds", "shown"), [(0, "0:00"), (9.2, "0:10"), (545, "9:05"), (3720, "1:02:00"), (-5, "0:00")]
)
def test_shown_like_a_kitchen_timer(seconds: float, shown: str) -> None:
    """Minutes and seconds, hours where there are any; never less than nothing."""
    assert left(seconds) == shown


def test_without_a_window_nothing_is_counted(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """A one-shot answer says so."""
    assert main(["--book", str(tmp_path / "my.book"), "ask", "tell", "me", "in", "10", "minutes"]) == 0
    assert "chat window only" in capsys.readouterr().out
