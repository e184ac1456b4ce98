"""The chat for a screen reader, or a terminal that is none: lines in, lines out, and no cursor that moves."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from pathlib import Path

from assistant.console.engine import Engine, Shown, Times, Turned
from assistant.console.look import Look
from assistant.console.settings import Settings
from assistant.console.speech import Voice
from assistant.console.welcome import AT_ONCE, Start

PROMPT = "Say: "
UNREAD = "Arrow and function keys do nothing here. The line is not read; say it again."

Looks = Callable[[Settings], Look]
"""How things look by the settings, on the screen as it is."""


def chat(
    start: Start, look: Looks, times: Times, *, fresh: bool = False, path: Path | None = None,
    aloud: Voice | None = None,
    read: Callable[[str], str] = input, show: Callable[[str], None] = print,
) -> int:  # fmt: skip
    """Talks until "bye" or the end of the input; the talk so far is carried on, timers are told at the next line.

    Raises:
        BookRefused: the book may not be opened.
    """
    engine = Engine(path, fresh, times, Shown(start, look, None, aloud is not None))
    try:
        return _Plainly(engine, start.settings.bell, Ends(show, aloud)).talk(read)
    finally:
        engine.close()
        if aloud is not None:
            aloud.hush()


@dataclass(frozen=True)
class Ends:
    """Where rows go, and who says them aloud."""

    show: Callable[[str], None]
    aloud: Voice | None


class _Plainly:
    def __init__(self, engine: Engine, bell: bool, ends: Ends) -> None:
        self._engine, self._bell, self._ends = engine, bell, ends
        self._unspoken = ""

    def _show(self, rows: Iterable[str]) -> None:
        for row in rows:
            if row:  # an empty row is read out as one
                self._ends.show(row)

    def _own(self, *texts: str) -> None:
        for text in texts:
            self._show(self._engine.front.look.own(text))

    def _voiceless(self) -> None:
        """Why nothing is said aloud, if it is not, once."""
        trouble = self._ends.aloud.trouble if self._ends.aloud is not None else ""
        if trouble != self._unspoken:
            self._own(trouble)
        self._unspoken = trouble

    def _rung(self) -> None:
        """What rang since the last line; a bell is no drawing."""
        rung = self._engine.timers.rung()
        if rung and self._bell:
            self._ends.show("\a")
        self._own(*rung)
        if rung and self._ends.aloud is not None:  # a hold does not wait until a long answer has been said
            self._ends.aloud.first(" ".join(map(self._engine.worded, rung)))

    def _say(self, turned: Turned) -> None:
        """Words aloud, after what is being said."""
        for one in turned.aloud:
            if self._ends.aloud is not None:
                self._ends.aloud.then(one)

    def _end(self) -> int:
        self._voiceless()
        self._show(self._engine.end())
        return 0

    def talk(self, read: Callable[[str], str]) -> int:
        engine, aloud = self._engine, self._ends.aloud
        self._own(*AT_ONCE)
        self._show(engine.hello.rows)
        self._say(engine.hello)
        for one in engine.left:
            self._own(f'Half typed when it stopped: "{one}"')
        while True:
            self._voiceless()
            self._rung()
            try:
                line = read(PROMPT)
            except KeyboardInterrupt:
                self._ends.show("")
                self._own('The line is dropped. "bye" or Ctrl-D ends the talk.')
                continue
            except EOFError:
                self._ends.show("")
                return self._end()
            if aloud is not None:
                aloud.hush()
            self._rung()
            if "\x1b" in line:
                self._own(UNREAD)
                continue
            turned = engine.say(line)
            if turned.done:
                return self._end()
            self._say(turned)
            self._show(turned.rows)
