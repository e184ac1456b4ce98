"""A chat window with somebody at its keys: what is typed is a script that can wait for what the screen shows."""

from __future__ import annotations

import datetime
import threading
import time
from collections.abc import Callable, Iterable
from pathlib import Path

from prompt_toolkit.application import create_app_session
from prompt_toolkit.data_structures import Size
from prompt_toolkit.input import create_pipe_input
from prompt_toolkit.input.base import PipeInput
from prompt_toolkit.output import DummyOutput
from prompt_toolkit.renderer import Renderer

from assistant.console.chat import Chat
from assistant.console.looks import lines_of
from assistant.console.settings import Settings
from assistant.console.speech import Voice
from assistant.console.welcome import Start
from tests.helpers import DAY

ENTER, CTRL_C, CTRL_D, CTRL_R, CTRL_Z, TAB, ESC = "\r", "\x03", "\x04", "\x12", "\x1a", "\t", "\x1b"
UP, RIGHT, F1, ALT_Z, BACKSPACE = "\x1b[A", "\x1b[C", "\x1bOP", "\x1bz", "\x7f"
NOON = datetime.datetime(2026, 3, 2, 12, 0, 0)
LONG_ENOUGH = 20.0
"""Seconds after which what is waited for will not come."""


class Screen(DummyOutput):
    """A screen that remembers what is written on it, how often the bell rang, and can be made wider."""

    def __init__(self, columns: int = 80) -> None:
        self.written: list[str] = []
        self.columns = columns
        self.bells = 0

    def write(self, data: str) -> None:
        """Text as the program sends it."""
        self.written.append(data)

    def write_raw(self, data: str) -> None:
        """Text with its control codes."""
        self.written.append(data)

    def bell(self) -> None:
        """Rings."""
        self.bells += 1

    def get_size(self) -> Size:
        """A plain terminal."""
        return Size(rows=24, columns=self.columns)


class Clock:
    """A time of day that can be moved on."""

    def __init__(self) -> None:
        self.now = NOON

    def __call__(self) -> datetime.datetime:
        """The time now."""
        return self.now

    def on(self, seconds: float) -> None:
        """Time passes."""
        self.now += datetime.timedelta(seconds=seconds)


class Window:
    """One window; ``rows`` are what it showed above the prompt."""

    def __init__(self, path: Path, clock: Clock | None = None, *, columns: int = 80, live: bool = True,
                 aloud: Voice | None = None) -> None:  # fmt: skip
        self.path, self.clock, self.live, self.aloud = path, clock or Clock(), live, aloud
        self.screen = Screen(columns)
        self.rows: list[str] = []
        self.keys: PipeInput | None = None
        self.chat: Chat | None = None

    @property
    def on(self) -> Chat:
        """The chat that runs."""
        assert self.chat is not None
        return self.chat

    @property
    def line(self) -> str:
        """What stands in the line."""
        return self.on.prompt.default_buffer.text

    @property
    def under(self) -> list[str]:
        """The rows under the line."""
        return [one for one in self.on._under().split("\n") if one]

    @property
    def bar(self) -> str:
        """The bottom line."""
        return self.on._bottom()

    def type(self, keys: str) -> None:
        """Presses keys."""
        assert self.keys is not None
        self.keys.send_text(keys)

    def until(self, true: Callable[[], object], what: str = "") -> None:
        """Waits for something.

        Raises:
            AssertionError: it does not come.
        """
        end = time.monotonic() + LONG_ENOUGH
        while not true():
            if time.monotonic() > end:
                raise AssertionError(f"{what or 'what is waited for'}: {self.line!r} {self.under} {self.rows[-6:]}")
            time.sleep(0.005)

    def shows(self, text: str) -> None:
        """Waits until a row above the prompt has this in it."""
        self.until(lambda: any(text in one for one in self.rows) or text in " ".join(self.rows), text)

    def says(self, *lines: str) -> None:
        """Types lines with Enter, each after the answer to the one before it."""
        for one in lines:
            self.ready()
            before = len(self.rows)
            self.type(f"{one}{ENTER}")
            self.until(lambda: len(self.rows) > before and not self.line, one)  # noqa: B023 - waited for at once
            self.ready()

    def ready(self) -> None:
        """Waits until the talk is loaded, with the earlier lines, and the prompt takes keys."""
        app, buffer, history = self.on.prompt.app, self.on.prompt.default_buffer, self.on.history
        self.until(lambda: self.on.engine is not None and app.is_running and not app.is_done, "ready")
        self.until(lambda: history._loaded and len(buffer._working_lines) > len(history._loaded_strings), "history")

    def run(self, script: Callable[[Window], None], fresh: bool = False) -> list[str]:
        """Opens the window, lets the script type, and closes it; the rows shown after the welcome."""
        failed: list[BaseException] = []
        self.rows.clear()
        # a session of its own, so that two windows can be open at once
        with create_pipe_input() as self.keys, create_app_session(self.keys, self.screen):
            self.chat = chat = Chat(
                fresh,
                self.keys,
                self.screen,
                today=lambda: DAY,
                path=self.path,
                clock=self.clock,
                start=Start(Settings(live=self.live, tips=False)),
                aloud=self.aloud,
            )
            real = chat.show

            def remembered(rows: Iterable[str]) -> None:
                rows = list(rows)
                self.rows.extend(rows)
                real(rows)

            chat.show = remembered  # type: ignore[method-assign]

            def typing() -> None:
                try:
                    self.ready()
                    script(self)
                except BaseException as error:
                    failed.append(error)
                finally:
                    end = time.monotonic() + LONG_ENOUGH
                    while chat.engine is not None or not chat._begun:
                        # a menu, a search or a half-typed line stand between a key and the end
                        self.type(f"\x1b[24~{CTRL_C}{CTRL_D}")
                        time.sleep(0.05)
                        if time.monotonic() > end:
                            failed.append(AssertionError(f"it does not end: {''.join(self.screen.written)[-2000:]!r}"))
                            self.keys.close()
                            break

            typist = threading.Thread(target=typing)
            typist.start()
            assert chat.run() == 0
            typist.join()
        if failed:
            raise failed[0]
        return self.rows


def wrapped(text: str) -> str:
    """A sentence as the rows of the screen put together again."""
    return " ".join(lines_of(text))


def drawn(renderer: Renderer) -> str:
    """What stands on the screen now, its rows without the blanks at their ends."""
    shown = renderer.last_rendered_screen
    if shown is None:
        return ""
    rows = ("".join(shown.data_buffer[at][column].char for column in range(80)) for at in range(shown.height))
    return "\n".join(map(str.rstrip, rows))
