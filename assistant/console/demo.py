"""Showing a talk slowly, as if typed."""

from __future__ import annotations

import argparse
import asyncio
import sys
import textwrap
from collections.abc import Callable, Mapping
from pathlib import Path

from prompt_toolkit.input import Input
from prompt_toolkit.input.defaults import create_input
from prompt_toolkit.key_binding import KeyPress
from prompt_toolkit.keys import Keys

from assistant.console.chat import PROMPT
from assistant.console.lines import lines
from assistant.console.looks import ascii_only, colour, width
from assistant.console.main import ANSWERED, NOT_READ
from assistant.console.once import streams
from assistant.console.replay import BOOK_LEFT, scenarios
from assistant.console.scenario import DEMOS, Scenario, opened, turns
from assistant.console.session import Memory, Session, prepare

FIRST = "first-sauce"
"""The demo that is shown if none is named."""
LETTERS = 18.0
"""Letters typed in a second, at pace 1."""

GO_ON = frozenset({" ", Keys.Enter, Keys.ControlJ, Keys.ControlM})
STOP = frozenset({"q", "Q", Keys.ControlC, Keys.ControlD})

Put = Callable[[str], None]
"""Writes to the screen as it is."""


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
    if not (sys.stdin.isatty() and sys.stdout.isatty()):
        asyncio.run(show(found, put, None, 0.0))
    else:
        asyncio.run(show(found, put, create_input(), 1 / (LETTERS * options.pace)))
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


async def show(found: Mapping[str, Scenario], put: Put, terminal: Input | None, pause: float) -> None:
    """Shows the talks; without a terminal at once, with one letter by letter until a key says to go on."""
    if terminal is None:
        await _talks(found, put, None, pause)
        return
    keys = Pressed(terminal)
    with terminal.raw_mode(), terminal.attach(keys.ready):
        put("Space or Enter goes on, q stops.\n\n")
        try:
            await _talks(found, put, keys, pause)
            put("The end.\n")
        except Stopped:
            put("\nStopped.\n")


async def _talks(found: Mapping[str, Scenario], put: Put, keys: Pressed | None, pause: float) -> None:
    for scenario in found.values():
        put(f"{scenario.title}\n{'-' * min(len(scenario.title), width())}\n")
        session = opened(scenario, Memory())
        day = None
        for turn, _ in turns(scenario, found):
            for row in textwrap.wrap(" ".join(turn.prose), width()):
                put(f"{row}\n")
            if turn.today != day:
                put(f"[{turn.today.isoformat()}]\n")
                day = turn.today
            await _typed(turn.say, put, keys, pause)
            _answered(session, turn.say, put)
            if keys is not None:
                await keys.go_on(None)


async def _typed(say: str, put: Put, keys: Pressed | None, pause: float) -> None:
    """The line as it is typed; a key to go on shows the rest of it at once."""
    put(PROMPT)
    for at, letter in enumerate(say):
        if keys is not None and await keys.go_on(pause):
            put(say[at:])
            break
        put(letter)
    put("\n")


def _answered(session: Session, say: str, put: Put) -> None:
    for row in lines(session.say(say)[1], width(), colour(sys.stdout), ascii_only(sys.stdout)):
        put(f"{row}\n")
    put("\n")
