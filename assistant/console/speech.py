"""Speaking aloud: the system's own speech program is found and run; the words come from ``spoken``.

The text goes to the program by standard input, never as an option, and no shell is in between. Nothing here waits for
speech but ``finish``; what is being said is stopped with its whole process group.
"""

from __future__ import annotations

import contextlib
import os
import shutil
import signal
import subprocess
import sys
import tempfile
import threading
from collections import deque
from collections.abc import Callable
from dataclasses import dataclass
from typing import IO, Protocol

MISSING = (
    "No speech program was found (espeak-ng, espeak, spd-say, or the system's own on macOS and Windows): "
    "nothing is spoken, and the talk goes on."
)

SLOWEST = 2.0
"""Seconds that a word may take at most, before a program that does not end is stopped at the end of ours."""
AT_LEAST = 30.0
"""Seconds that any program is given to start and to end."""

_WINDOWS = (
    "[Console]::InputEncoding = [Text.Encoding]::UTF8; Add-Type -AssemblyName System.Speech; "
    "(New-Object System.Speech.Synthesis.SpeechSynthesizer).Speak([Console]::In.ReadToEnd())"
)


@dataclass(frozen=True)
class Program:
    """A speech program: how it is called to read standard input, and what stops it where killing it does not."""

    name: str
    arguments: tuple[str, ...]
    stop: tuple[str, ...] = ()
    only: str = ""
    """The platform on which the name means this program; "" for all."""
    by_voice: str = ""
    """The option that names a voice, ``by_speed`` the one for words a minute; "" where there is none."""
    by_speed: str = ""

    def called(self, voice: str, speed: int) -> tuple[str, ...]:
        """Its arguments, with a voice and a speed if they are wanted and it can."""
        named = (self.by_voice, voice) if voice and self.by_voice else ()
        paced = (self.by_speed, str(speed)) if speed and self.by_speed else ()
        return (*self.arguments, *named, *paced)


PROGRAMS = (
    Program("espeak-ng", ("--stdin",), by_voice="-v", by_speed="-s"),
    Program("espeak", ("--stdin",), by_voice="-v", by_speed="-s"),
    Program("say", (), only="darwin", by_voice="-v", by_speed="-r"),
    Program("spd-say", ("--pipe-mode", "--wait"), ("--cancel",)),
    Program("powershell", ("-NoProfile", "-NonInteractive", "-Command", _WINDOWS), only="win32"),
)
"""In the order in which they are looked for."""


class Voice(Protocol):
    """Says words aloud."""

    @property
    def trouble(self) -> str:
        """A sentence if what was to be said could not be, else ""."""

    def say(self, words: str) -> None:
        """Stops what is being said and says this; returns at once."""

    def then(self, words: str) -> None:
        """Says this as soon as what is being said is over; returns at once."""

    def first(self, words: str) -> None:
        """Says this at once, for it cannot wait; what it cut off is said anew after it."""

    def hush(self) -> None:
        """Stops what is being said, and what waits to be."""

    def finish(self) -> None:
        """Returns when all has been said."""


class Silent:
    """No voice: nothing was asked to be spoken, or nothing can be (``trouble``)."""

    def __init__(self, trouble: str = "") -> None:
        self.trouble = trouble

    def say(self, words: str) -> None:
        """Nothing."""

    def then(self, words: str) -> None:
        """Nothing."""

    def first(self, words: str) -> None:
        """Nothing."""

    def hush(self) -> None:
        """Nothing."""

    def finish(self) -> None:
        """Nothing."""


class Speaker:
    """Speaks by a program. A thread waits for each run, so that none is left behind and the next can begin."""

    def __init__(self, program: Program, path: str, voice: str = "", speed: int = 0) -> None:
        self._program, self._path = program, path
        self._arguments = program.called(voice, speed)
        self._lock = threading.RLock()
        self._running: subprocess.Popen[bytes] | None = None
        self._waiting: deque[str] = deque()
        self._quiet = threading.Condition(self._lock)
        self.trouble = ""

    def say(self, words: str) -> None:
        """Stops what is being said and says this; returns at once."""
        with self._lock:
            self.hush()
            self._start(words)

    def then(self, words: str) -> None:
        """Says this as soon as what is being said is over; returns at once."""
        with self._lock:
            if self._running is None:
                self._start(words)
            else:
                self._waiting.append(words)

    def first(self, words: str) -> None:
        """Says this at once, for it cannot wait; what it cut off is said anew after it."""
        with self._lock:
            if not words.strip():
                return
            rest = [self._saying, *self._waiting] if self._running is not None else []
            self.say(words)
            for one in rest:
                self.then(one)

    def hush(self) -> None:
        """Stops what is being said, and what waits to be."""
        with self._lock:
            self._waiting.clear()
            running, self._running = self._running, None
            if running is not None:
                self._end(running)
            self._quiet.notify_all()

    def finish(self) -> None:
        """Returns when all has been said; a program that does not end is stopped after a time that no talk takes."""
        with self._lock:
            while self._running is not None:
                now = self._running
                patience = AT_LEAST + SLOWEST * self._words
                if not self._quiet.wait_for(self._over(now), patience):
                    self.hush()
                    self.trouble = f"{self._program.name} did not end and was stopped: not all was spoken."

    def _over(self, running: subprocess.Popen[bytes]) -> Callable[[], bool]:
        return lambda: self._running is not running

    def _start(self, words: str) -> None:
        """Runs the program on these words."""
        if not words.strip():
            return
        self._saying, self._words = words, len(words.split())
        complaints: IO[bytes] | None = None
        try:
            # files, not pipes: a program that never reads, or says too much, cannot hold us up
            complaints = tempfile.TemporaryFile()  # noqa: SIM115 - closed when the program is over
            with tempfile.TemporaryFile() as text:
                text.write(f"{words}\n".encode(errors="replace"))
                text.seek(0)
                running = subprocess.Popen(  # noqa: S603 - fixed arguments, none of them said by anybody
                    [self._path, *self._arguments],
                    stdin=text, stdout=subprocess.DEVNULL, stderr=complaints, start_new_session=True,
                )  # fmt: skip
        except OSError as error:
            if complaints is not None:
                complaints.close()
            self._failed(error.strerror or "it could not be started")
            return
        self._running = running
        threading.Thread(target=self._watch, args=(running, complaints), daemon=True).start()

    def _watch(self, running: subprocess.Popen[bytes], complaints: IO[bytes]) -> None:
        """Waits for the program to end and begins what waits behind it."""
        code = running.wait()
        complaint = _complaint(complaints)
        with self._lock:
            if self._running is not running:
                return  # it was stopped, and that is no failure
            self._running = None
            if code or complaint:
                self._failed(complaint or f"exit code {code}")
            while self._waiting and self._running is None:
                self._start(self._waiting.popleft())
            self._quiet.notify_all()

    def _failed(self, why: str) -> None:
        self.trouble = f"{self._program.name} could not speak ({why}): the answers stand here only."

    def _end(self, running: subprocess.Popen[bytes]) -> None:
        """Stops the program and whatever it started; there is nothing of it to be saved."""
        with contextlib.suppress(ProcessLookupError, PermissionError):
            if os.name == "posix":
                if running.poll() is None:
                    os.killpg(running.pid, signal.SIGKILL)
            else:
                running.kill()
        with contextlib.suppress(OSError, subprocess.TimeoutExpired):
            if self._program.stop:
                subprocess.run(  # noqa: S603
                    [self._path, *self._program.stop], check=False, timeout=1,
                    stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
                )  # fmt: skip
        running.wait()


def _complaint(errors: IO[bytes]) -> str:
    """What the program says went wrong: some end as if all were well without a sound card."""
    with errors:
        errors.seek(0)
        rows = errors.read(4000).decode(errors="replace").splitlines()
    return next((row.split(":", 1)[1].strip() for row in rows if row.lower().startswith("error:")), "")


def find(
    which: Callable[[str], str | None] = shutil.which, platform: str = sys.platform, voice: str = "", speed: int = 0
) -> Voice:
    """The first speech program that is installed, or a silent voice that says that there is none.

    ``voice`` is the name of one of its own, ``speed`` words a minute; it keeps its own where nothing is said.
    """
    for one in PROGRAMS:
        path = which(one.name) if one.only in ("", platform) else None
        if path:
            return Speaker(one, path, voice, speed)
    return Silent(MISSING)
