"""Showing a talk slowly, as if typed."""

from __future__ import annotations

import argparse
import asyncio
import sys
import textwrap
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path

from prompt_toolkit.input import Input
from prompt_toolkit.input.defaults import create_input
from prompt_toolkit.key_binding import KeyPress
from prompt_toolkit.keys import Keys

from assistant.console.chat import PROMPT
from assistant.console.look import Look
from assistant.console.main import ANSWERED, NOT_READ
from assistant.console.once import look_of, streams
from assistant.console.replay import BOOK_LEFT, scenarios
from assistant.console.scenario import DEMOS, Scenario, opened, turns
from assistant.console.session import Memory, Session, prepare

FIRST = "first-sauce"
"""The demo that is shown if none is named."""
LETTERS = 18.0
"""Letters typed in a second, at pace 1."""

GO_ON = frozenset({" ", Keys.Enter, Keys.ControlJ, Keys.ControlM})
STOP = frozenset({"q", "Q", Keys.ControlC, Keys.ControlD})


@dataclass(frozen=True)
class Stage:
    """Where a demo is shown: ``put`` writes to the screen as it is, ``look`` says how the replies stand there."""

    put: Callable[[str], None]
    look: Look


def built_in() -> dict[str, Path]:
    """The talks that come with the program, by name."""
    return {file.stem: file for file in sorted(DEMOS.glob("*.chat"))}


def demo(options: argparse.Namespace) -> int:
    """Shows a file's talks, or one that comes with the program."""
    streams(False)
    if options.book is not None:
        print(BOOK_LEFT.replace("replay", "demo"), file=sys.stderr)
    named = options.file or FIRST
    file = built_in().get(named) or Path(named)
    if not file.exists():
        known = ", ".join(built_in())
        print(f'There is no file "{named}", and no demo of that name; there are: {known}.', file=sys.stderr)
        return NOT_READ
    if options.pace <= 0:
        print("The pace must be more than 0; 1 is as a person types, 2 twice as fast.", file=sys.stderr)
        return NOT_READ
    found = scenarios([file])
    if found is None:
        return NOT_READ
    prepare()
    stage = Stage(put, look_of(options.settings, sys.stdout))
    if not (sys.stdin.isatty() and sys.stdout.isatty()):
        asyncio.run(show(found, stage, None, 0.0))
    else:
        asyncio.run(show(found, stage, create_input(), 1 / (LETTERS * options.pace)))
    return ANSWERED


def put(text: str) -> None:
    """Writes to standard output."""
    print(text, end="", flush=True)


class Stopped(Exception):
    """Somebody has seen enough."""


class Pressed:
    """The keys as they are pressed."""

    def __init__(self, terminal: Input) -> None:
        self._terminal = terminal
        self._keys: asyncio.Queue[KeyPress] = asyncio.Queue()

    def ready(self) -> None:
        """Takes what has been typed; the end of the input is a wish to stop."""
        for one in self._terminal.read_keys():
            self._keys.put_nowait(one)
        if self._terminal.closed:
            self._keys.put_nowait(KeyPress(Keys.ControlD))

    async def go_on(self, seconds: float | None) -> bool:
        """Waits so long, or for ever, for a key to go on; whether there was one.

        Raises:
            Stopped: it was a key to stop.
        """
        end = None if seconds is None else asyncio.get_running_loop().time() + seconds
        while True:
            rest = None if end is None else end - asyncio.get_running_loop().time()
            try:
                key = (await asyncio.wait_for(self._keys.get(), rest)).key
            except TimeoutError:
                return False
            if key in STOP:
                raise Stopped
            if key in GO_ON:
                return True


async def show(found: Mapping[str, Scenario], stage: Stage, terminal: Input | None, pause: float) -> None:
    """Shows the talks; without a terminal at once, with one letter by letter until a key says to go on."""
    if terminal is None:
        await _talks(found, stage, None, pause)
        return
    keys = Pressed(terminal)
    with terminal.raw_mode(), terminal.attach(keys.ready):
        stage.put("Space or Enter goes on, q stops.\n\n")
        try:
            await _talks(found, stage, keys, pause)
            stage.put("The end.\n")
        except Stopped:
            stage.put("\nStopped.\n")


async def _talks(found: Mapping[str, Scenario], stage: Stage, keys: Pressed | None, pause: float) -> None:
    put, columns = stage.put, stage.look.width
    for scenario in found.values():
        put(f"{scenario.title}\n{'-' * min(len(scenario.title), columns)}\n")
        session = opened(scenario, Memory())
        day = None
        for turn, _ in turns(scenario, found):
            for row in textwrap.wrap(" ".join(turn.prose), columns):
                put(f"{row}\n")
            if turn.today != day:
                put(f"[{turn.today.isoformat()}]\n")
                day = turn.today
            await _typed(turn.say, stage, keys, pause)
            _answered(session, turn.say, stage)
            if keys is not None:
                await keys.go_on(None)


async def _typed(say: str, stage: Stage, keys: Pressed | None, pause: float) -> None:
    """The line as it is typed, or at once for a screen reader; a key to go on shows the rest of it at once."""
    put = stage.put
    put(PROMPT)
    if stage.look.plain:
        put(f"{say}\n")
        return
    for at, letter in enumerate(say):
        if keys is not None and await keys.go_on(pause):
            put(say[at:])
            break
        put(letter)
    put("\n")


def _answered(session: Session, say: str, stage: Stage) -> None:
    for row in stage.look.at_once(session.say(say)[1]):
        stage.put(f"{row}\n")
    stage.put("\n")
