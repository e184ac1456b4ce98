"""Read aloud: the system's speech program, found and run. What is said is worded in ``spoken``.

No shell is used, and the words go by standard input, never as an option: whatever somebody typed stays words.
"""

from __future__ import annotations

import contextlib
import os
import shutil
import signal
import subprocess
import tempfile
from collections.abc import Iterable
from dataclasses import dataclass
from types import TracebackType
from typing import IO, Protocol

from assistant.console.spoken import aloud, words
from assistant.replies import Reply

NOBODY = (
    "No speech program was found (espeak-ng, espeak, say, spd-say or PowerShell): the talk goes on without being said."
)
_POWERSHELL = (
    "Add-Type -AssemblyName System.Speech;"
    "(New-Object System.Speech.Synthesis.SpeechSynthesizer).Speak([Console]::In.ReadToEnd())"
)


@dataclass(frozen=True)
class Program:
    """A speech program: how it is told to say its standard input, and what stops it beside ending it."""

    name: str
    options: tuple[str, ...]
    stop: tuple[str, ...] = ()


PROGRAMS = (
    Program("espeak-ng", ("-v", "en", "--stdin")),
    Program("espeak", ("-v", "en", "--stdin")),
    Program("say", ("-f", "-")),
    # it hands the words to a service, which says on if it is ended
    Program("spd-say", ("--wait", "--pipe-mode"), ("--cancel",)),
    Program("powershell", ("-NoProfile", "-NonInteractive", "-Command", _POWERSHELL)),
)
"""The first that is found is taken."""

_SLOWEST = 1.0
_START = 10.0
"""Seconds a word, and to begin: a program that takes longer hangs, and nobody waits for it."""


class Voice(Protocol):
    """What says words."""

    def say(self, text: str) -> None:
        """Begins to say this, and returns at once; what was being said before is stopped."""

    def hush(self) -> None:
        """Stops what is being said."""

    def finish(self) -> None:
        """Waits until all is said."""

    def trouble(self) -> str:
        """A sentence if what was last to be said was not, else ""."""


class Spoken:
    """A voice that runs a program anew for everything it says; never two at a time."""

    def __init__(self, program: Program, path: str) -> None:
        self._program, self._path = program, path
        self._running: subprocess.Popen[bytes] | None = None
        self._told: IO[bytes] | None = None
        self._patience = 0.0
        self._trouble = ""

    def say(self, text: str) -> None:
        """Begins to say this, and returns at once."""
        self.hush()
        self._trouble = ""
        self._patience = _START + _SLOWEST * len(text.split())
        self._told = told = tempfile.TemporaryFile()  # noqa: SIM115 - closed when the program has ended
        # a file and no pipe: a program that does not read must not keep us waiting
        with tempfile.TemporaryFile() as words_:
            words_.write(f"{text}\n".encode())
            words_.seek(0)
            try:
                self._running = subprocess.Popen(  # noqa: S603 - a list, no shell; only options of our own
                    [self._path, *self._program.options],
                    stdin=words_, stdout=subprocess.DEVNULL, stderr=told, start_new_session=True,
                )  # fmt: skip
            except OSError as error:
                self._trouble = f"{self._program.name} cannot be run: {error.strerror or error}. Nothing is said."
                self._done()

    def hush(self) -> None:
        """Ends the program and all that it started, if it has not ended by itself; no process is left over."""
        running = self._running
        if running is None:
            return
        if running.poll() is not None:
            self._ended(running)
            return
        if self._program.stop:
            with contextlib.suppress(OSError, subprocess.TimeoutExpired):
                subprocess.run(  # noqa: S603 - a list, no shell
                    [self._path, *self._program.stop], check=False, timeout=1.0,
                    stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
                )  # fmt: skip
        # it has not been waited for, so its number is still its own
        with contextlib.suppress(ProcessLookupError, PermissionError):
            if os.name == "posix":
                os.killpg(running.pid, signal.SIGKILL)
            else:
                running.kill()
        with contextlib.suppress(subprocess.TimeoutExpired):
            running.wait(2.0)
        self._done()

    def finish(self) -> None:
        """Waits until all is said; a program that hangs is ended, and that is trouble."""
        running = self._running
        if running is None:
            return
        try:
            running.wait(self._patience)
        except subprocess.TimeoutExpired:
            self.hush()
            self._trouble = f"{self._program.name} did not come to an end and was stopped."
            return
        except BaseException:  # Ctrl-C
            self.hush()
            raise
        self._ended(running)

    def trouble(self) -> str:
        """A sentence if what was last to be said was not, as far as the program has told by now."""
        if self._running is not None and self._running.poll() is not None:
            self._ended(self._running)
        return self._trouble

    def _ended(self, running: subprocess.Popen[bytes]) -> None:
        """What a program that ended by itself has left behind."""
        told = ""
        if self._told is not None:
            self._told.seek(0)
            told = self._told.read(100_000).decode(errors="replace")
        # one without a sound card tells so and ends as if all were well
        wrong = [row.strip() for row in told.splitlines() if row.lower().startswith("error")]
        if running.returncode != 0 or wrong:
            why = wrong[-1] if wrong else f"it ended with {running.returncode}"
            self._trouble = f"{self._program.name} did not say it ({why.rstrip('.')})."
        self._done()

    def _done(self) -> None:
        self._running = None
        if self._told is not None:
            self._told.close()
            self._told = None


def found() -> Voice | None:
    """The voice of this machine, or None."""
    for one in PROGRAMS:
        path = shutil.which(one.name)
        if path is not None:
            return Spoken(one, path)
    return None


class Speaker:
    """Says replies if it is asked to; a talk calls it whether or not anything can be said.

    ``with Speaker(...)`` leaves nothing running.
    """

    def __init__(self, wanted: bool = True, voice: Voice | None = None) -> None:
        self._voice = (voice or found()) if wanted else None
        self._missing = NOBODY if wanted and self._voice is None else ""
        self._told = ""

    def __enter__(self) -> Speaker:
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, at: TracebackType | None) -> None:
        self.hush()

    def say(self, replies: Iterable[Reply], *beside: str) -> None:
        """Says the replies, and sentences beside them; what was being said is stopped. Returns at once."""
        if self._voice is not None:
            text = " ".join(filter(None, (*map(words, beside), aloud(replies))))
            self._voice.hush()
            if text:
                self._voice.say(text)

    def tell(self, *sentences: str) -> None:
        """Says sentences of our own: a timer that rang."""
        if sentences:
            self.say((), *sentences)

    def hush(self) -> None:
        """Stops what is being said."""
        if self._voice is not None:
            self._voice.hush()

    def finish(self) -> None:
        """Waits until all is said."""
        if self._voice is not None:
            self._voice.finish()

    def troubles(self) -> list[str]:
        """What keeps it from being said, a sentence each, every one told once."""
        if self._missing:
            missing, self._missing = self._missing, ""
            return [missing]
        now = self._voice.trouble() if self._voice is not None else ""
        new = [now] if now and now != self._told else []
        self._told = now or self._told
        return new
