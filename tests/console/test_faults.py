"""A fault of the program itself: told in a sentence, and the talk goes on with what was entered before."""

from __future__ import annotations

from pathlib import Path

import pytest

from assistant.console import engine as module
from assistant.console.clockwork import Clockwork
from assistant.console.engine import Engine
from assistant.console.session import Session
from tests.console.pieces import said
from tests.console.window import ENTER, F1, Window

MASH = "mash of 3 kg of chillies at 2.5%"


@pytest.fixture
def window(tmp_path: Path) -> Window:
    """A window over a book of its own."""
    return Window(tmp_path / "a.book")


def broken(*_: object) -> None:
    """What fails."""
    raise ZeroDivisionError("no luck")


def told(window: Window) -> int:
    """How often the fault was told."""
    return " ".join(window.rows).count("the program failed (ZeroDivisionError: no luck)")


def test_a_line_that_fails_costs_only_itself(window: Window, monkeypatch: pytest.MonkeyPatch) -> None:
    """It is told, it is not kept, and the next line is answered where the one before it had left the talk."""
    real = module.turn

    def turn(session: Session, line: str) -> object:
        return broken() if line == "packed it" else real(session, line)

    def script(one: Window) -> None:
        one.says(MASH)
        monkeypatch.setattr(module, "turn", turn)
        one.says("packed it", "make it 4 kg")

    rows = window.run(script)
    assert told(window) == 1
    assert "Salt 100 g for 4 kg of chillies." in rows
    assert said(window.path) == [MASH, "make it 4 kg"]


def test_a_fault_before_the_first_line_is_nobodys(window: Window, monkeypatch: pytest.MonkeyPatch) -> None:
    """The line that is read for nothing, to be quick later, may fail: no word of it, and the prompt goes on."""
    real = Session.tried
    tried: list[str] = []

    def once(session: Session, line: str) -> object:
        tried.append(line)
        return broken() if line in module.WARM else real(session, line)

    monkeypatch.setattr(Session, "tried", once)

    def script(one: Window) -> None:
        one.until(lambda: module.WARM[0] in tried)
        one.says(MASH)

    assert "Salt 75 g for 3 kg of chillies." in window.run(script)
    assert told(window) == 0


def test_a_fault_of_a_key_leaves_the_line(window: Window, monkeypatch: pytest.MonkeyPatch) -> None:
    """F1 fails: it is told, and what was half typed stands there to be typed on."""
    monkeypatch.setattr(Engine, "help", broken)

    def script(one: Window) -> None:
        one.type(f"mash of 3 kg of chillies{F1}")
        one.shows("While you were typing the program failed")
        assert one.line == "mash of 3 kg of chillies"
        one.type(f" at 2.5%{ENTER}")
        one.shows("Salt 75 g for 3 kg of chillies.")

    window.run(script)
    assert told(window) == 1


def test_a_fault_of_the_timers_is_told_once(window: Window, monkeypatch: pytest.MonkeyPatch) -> None:
    """They are looked at each second all the same, and ring when they can again."""
    looked: list[int] = []
    real = Clockwork.rung

    def rung(clockwork: Clockwork) -> list[str]:
        looked.append(1)
        if len(looked) < 6:
            broken()
        return real(clockwork)

    def script(one: Window) -> None:
        one.says("tell me in 10 minutes to stir")
        monkeypatch.setattr(Clockwork, "rung", rung)
        one.until(lambda: len(looked) > 2)
        one.clock.on(601)
        one.shows("Time is up: stir.")

    monkeypatch.setattr("assistant.console.chat.TICK", 0.02)
    window.run(script)
    assert told(window) == 1
