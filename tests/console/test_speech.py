"""Speaking aloud: which program, what it is given, and that nothing of it outlives the talk or holds it up."""

from __future__ import annotations

import contextlib
import datetime
import os
import shutil
import subprocess
import threading
import time
import wave
from collections.abc import Callable
from pathlib import Path

import pytest
from prompt_toolkit.input import create_pipe_input
from prompt_toolkit.output import DummyOutput

from assistant.console import speech
from assistant.console.chat import chat
from assistant.console.main import main
from assistant.console.speech import MISSING, PROGRAMS, Program, Silent, Speaker, find
from assistant.console.spoken import worded
from tests.console.test_command import run
from tests.console.test_welcome import Plainly
from tests.helpers import DAY

MASH = "mash of 3.4 kg of chillies at 2.5%"


class Recorder:
    """A voice that keeps what it is asked for."""

    def __init__(self, trouble: str = "") -> None:
        self.trouble = trouble
        self.asked: list[tuple[str, str]] = []

    def say(self, words: str) -> None:
        """Keeps the words."""
        self.asked.append(("say", words))

    def then(self, words: str) -> None:
        """Keeps the words, if there are any."""
        if words:
            self.asked.append(("then", words))

    def first(self, words: str) -> None:
        """Keeps the words."""
        self.asked.append(("first", words))

    def hush(self) -> None:
        """Keeps that it was stopped."""
        self.asked.append(("hush", ""))

    def finish(self) -> None:
        """Keeps that it was waited for."""
        self.asked.append(("finish", ""))

    def words(self) -> list[str]:
        """All that it was to say."""
        return [words for _, words in self.asked if words]


RECORDS = 'cat >> "{0}/heard"\necho "--- $#" >> "{0}/heard"\nprintf "%s\\n" "$@" > "{0}/options"'
HANGS = 'sleep 600 &\necho $! > "{0}/child"\necho $$ > "{0}/own"\nwait'
FAILS = "cat > /dev/null\nexit 3"
GOES = "exit 0"
COMPLAINS = "echo 'error: no sound card here' >&2\nexit 0"
ONCE = "if grep -q 'three point nine'; then sleep 600; fi"
"""Hangs on one answer only."""


def program(folder: Path, does: str, name: str = "espeak-ng") -> str:
    """A speech program of the test's own; its path."""
    file = folder / name
    file.write_text(f"#!/bin/sh\n{does.format(folder)}\n", encoding="utf-8")
    file.chmod(0o755)
    return str(file)


def speaker(folder: Path, does: str, stop: tuple[str, ...] = ()) -> Speaker:
    """A voice by such a program."""
    return Speaker(Program("espeak-ng", ("--stdin",), stop), program(folder, does))


def until(holds: Callable[[], bool]) -> None:
    """Waits for what another process does.

    Raises:
        AssertionError: it does not come.
    """
    end = time.monotonic() + 30
    while not holds():
        assert time.monotonic() < end
        time.sleep(0.01)


def alive(number: int) -> bool:
    """Whether a process runs; one that has ended and waits to be taken notice of counts too."""
    with contextlib.suppress(ProcessLookupError):
        os.kill(number, 0)
        return True
    return False


def dead(number: int) -> bool:
    """Whether a process has ended and its parent, which is not ours, has not looked yet."""
    with contextlib.suppress(OSError):
        return Path(f"/proc/{number}/stat").read_text(encoding="utf-8").rsplit(")", 1)[1].split()[0] == "Z"
    return False


def number(file: Path) -> int:
    """The process number that a program wrote down."""
    until(lambda: file.exists() and file.read_text(encoding="utf-8").endswith("\n"))
    return int(file.read_text(encoding="utf-8"))


# --- finding ------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("there", "platform", "taken"),
    [
        ({"espeak-ng", "espeak", "spd-say"}, "linux", "espeak-ng"), ({"espeak", "spd-say"}, "linux", "espeak"),
        ({"spd-say", "say"}, "linux", "spd-say"), ({"say", "spd-say"}, "darwin", "say"),
        ({"powershell", "say"}, "win32", "powershell"),
    ],
)  # fmt: skip
def test_the_first_that_is_there(
    there: set[str], platform: str, taken: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The programs are looked for in order, and "say" and PowerShell only where they are speech programs."""
    started: list[list[str]] = []
    monkeypatch.setattr(speech.subprocess, "Popen", lambda line, **_: started.append(line) or Ended())
    voice = find(lambda name: f"/x/{name}" if name in there else None, platform)
    voice.say("hello")
    voice.finish()
    assert started[0][0] == f"/x/{taken}"
    assert "hello" not in " ".join(started[0])


class Ended:
    """A program that is over."""

    pid = 0

    def wait(self) -> int:
        """Over."""
        return 0

    def poll(self) -> int:
        """Over."""
        return 0


def test_none_is_there() -> None:
    """Without a speech program there is one sentence, and a voice that says nothing."""
    voice = find(lambda _: None)
    assert isinstance(voice, Silent)
    assert voice.trouble == MISSING
    voice.say("hello")
    voice.then("hello")
    voice.first("hello")
    voice.hush()
    voice.finish()


def test_no_words_are_ever_an_option() -> None:
    """What every program is called with is fixed, and each is told to read standard input or does so of itself."""
    for one in PROGRAMS:
        assert all(isinstance(option, str) for option in (*one.arguments, *one.stop))
    assert {one.name for one in PROGRAMS} == {"espeak-ng", "espeak", "say", "spd-say", "powershell"}


def test_a_voice_and_a_speed_are_passed_on(tmp_path: Path) -> None:
    """The voice and the words a minute of the settings are options of their own; one without them is left alone."""
    program(tmp_path, RECORDS)
    voice = find(lambda name: str(tmp_path / name) if name == "espeak-ng" else None, "linux", "en-gb", 120)
    voice.say("one")
    voice.finish()
    assert (tmp_path / "options").read_text(encoding="utf-8").split() == ["--stdin", "-v", "en-gb", "-s", "120"]
    assert PROGRAMS[3].called("en-gb", 120) == PROGRAMS[3].arguments


# --- running ------------------------------------------------------------------------------


def test_words_go_in_by_standard_input(tmp_path: Path) -> None:
    """The program reads the words as they are, also those that look like an option or hold what a shell would run."""
    voice = speaker(tmp_path, RECORDS)
    voice.say("--help $(touch gone) `id` ; 'quote' é")
    voice.finish()
    heard = (tmp_path / "heard").read_text(encoding="utf-8")
    assert heard == "--help $(touch gone) `id` ; 'quote' é\n--- 1\n"
    assert (tmp_path / "options").read_text(encoding="utf-8") == "--stdin\n"
    assert voice.trouble == ""


def test_one_after_the_other(tmp_path: Path) -> None:
    """What is to be said then waits for what is being said; no words start no program."""
    voice = speaker(tmp_path, RECORDS)
    for words in ("one", "two", "", "three"):
        voice.then(words)
    voice.finish()
    assert (tmp_path / "heard").read_text(encoding="utf-8") == "one\n--- 1\ntwo\n--- 1\nthree\n--- 1\n"


def test_stopped_with_all_that_it_started(tmp_path: Path) -> None:
    """A program that hangs is stopped at once with its children, and no dead process is left behind."""
    voice = speaker(tmp_path, HANGS)
    voice.say("for ever")
    voice.then("never said")
    own, child = number(tmp_path / "own"), number(tmp_path / "child")
    voice.hush()
    until(lambda: not alive(own))
    until(lambda: not alive(child) or dead(child))
    voice.finish()
    assert voice.trouble == ""


def test_a_new_saying_stops_the_old(tmp_path: Path) -> None:
    """Saying something stops what is being said, and does not wait for it."""
    voice = speaker(tmp_path, HANGS)
    voice.say("for ever")
    first = number(tmp_path / "own")
    (tmp_path / "own").unlink()
    voice.say("again")
    until(lambda: not alive(first))
    assert first != number(tmp_path / "own")
    voice.hush()


def test_what_cannot_wait_is_said_first(tmp_path: Path) -> None:
    """It cuts off what is being said, and that is said anew after it, with all that waited."""
    voice = speaker(tmp_path, 'cat >> "{0}/heard"\nif mkdir "{0}/once"; then sleep 600; fi 2> /dev/null')
    voice.say("a long answer")
    until((tmp_path / "once").exists)
    voice.then("a question")
    voice.first("time is up")
    voice.finish()
    assert (tmp_path / "heard").read_text(encoding="utf-8").split("\n")[1:] == [
        "time is up", "a long answer", "a question", ""
    ]  # fmt: skip
    voice.first("time is up again")
    voice.finish()
    assert (tmp_path / "heard").read_text(encoding="utf-8").endswith("a question\ntime is up again\n")


def test_nothing_is_left_of_one_that_ended(tmp_path: Path) -> None:
    """A program that ended by itself is taken notice of without anybody asking: no zombie stays."""
    voice = speaker(tmp_path, f"{RECORDS}\necho $$ > {{0}}/own")
    voice.say("short")
    own = number(tmp_path / "own")
    until(lambda: not alive(own))
    voice.finish()


@pytest.mark.parametrize(("does", "trouble"), [(FAILS, "exit code 3"), (COMPLAINS, "no sound card here"), (GOES, "")])
def test_what_went_wrong_is_a_sentence(does: str, trouble: str, tmp_path: Path) -> None:
    """A program that fails, or says that it cannot, is told of; one that ends without reading breaks nothing."""
    voice = speaker(tmp_path, does)
    voice.say("hello " * 50_000)
    voice.finish()
    assert bool(voice.trouble) is bool(trouble)
    assert trouble in voice.trouble


def test_one_that_cannot_be_started(tmp_path: Path) -> None:
    """A program that is gone or no program at all is a sentence, not the end of the talk."""
    voice = Speaker(PROGRAMS[0], str(tmp_path / "nothing"))
    voice.say("hello")
    voice.finish()
    assert "could not speak" in voice.trouble


def test_finishing_has_an_end(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """At the end of the program a speech program that hangs is stopped, and that is said."""
    monkeypatch.setattr(speech, "AT_LEAST", 0.05)
    monkeypatch.setattr(speech, "SLOWEST", 0.0)
    voice = speaker(tmp_path, HANGS)
    voice.say("for ever")
    voice.finish()
    assert "was stopped" in voice.trouble


def test_a_program_that_must_be_told_to_stop(tmp_path: Path) -> None:
    """Where killing it does not stop the sound, it is also called with what does."""
    voice = speaker(tmp_path, 'case "$1" in --cancel) touch "{0}/cancelled" ;; *) sleep 600 ;; esac', ("--cancel",))
    voice.say("for ever")
    voice.hush()
    assert (tmp_path / "cancelled").exists()


# --- the commands -------------------------------------------------------------------------


def spoken_by(tmp_path: Path, *words: str, said: bytes = b"", does: str = RECORDS) -> tuple[int, str, str, str]:
    """The command with a speech program of the test's own: its exit code, output, errors, and what was heard."""
    program(tmp_path, does)
    settings = {"PATH": f"{tmp_path}:/usr/bin:/bin", "XDG_DATA_HOME": str(tmp_path / "data")}
    found = run(*words, said=said, **settings)
    heard = tmp_path / "heard"
    return (*found, heard.read_text(encoding="utf-8") if heard.exists() else "")


def test_ask_speaks_to_the_end(tmp_path: Path) -> None:
    """ "ask --speak" prints the answer, says it with its cautions, and returns when it has been said."""
    status, out, err, heard = spoken_by(tmp_path, "ask", "--speak", MASH)
    assert (status, err) == (0, "")
    assert out.startswith("Salt 85 g for 3.4 kg of chillies.")
    assert heard.startswith("Salt eighty-five grams for three point four kilograms of chillies.")
    assert "Remember. Hot chillies: gloves on" in heard
    assert heard.endswith("--- 3\n")


def test_ask_in_json_speaks_too(tmp_path: Path) -> None:
    """What is spoken does not depend on what is printed."""
    status, out, _, heard = spoken_by(tmp_path, "ask", "--json", "--speak", MASH)
    assert status == 0
    assert out.startswith("{")
    assert "Salt eighty-five grams" in heard


def test_unasked_nothing_is_spoken(tmp_path: Path) -> None:
    """Without --speak no speech program is started."""
    assert spoken_by(tmp_path, "ask", MASH)[3] == ""


def test_a_piped_talk_is_said_line_after_line(tmp_path: Path) -> None:
    """From a pipe every reply is said, in order, before the command returns."""
    status, _, err, heard = spoken_by(tmp_path, "--speak", said=b"brine for 3 kg of chillies\n10 L crock\n3%\nbye\n")
    assert (status, err) == (0, "")
    said = heard.split("--- 3\n")
    assert said[0].startswith("How much water goes on, or how big is the vessel?")
    assert "three percent" in said[2]
    assert said[3].startswith("Goodbye")


def test_an_empty_line_stops_a_piped_talk(tmp_path: Path) -> None:
    """An empty line from the pipe is what a key is in the chat: it stops what hangs, and the talk goes on."""
    status, out, _, _ = spoken_by(tmp_path, "--speak", said=b"ph 3.9\n\n", does=ONCE)
    assert status == 0
    assert "pH 3.9" in out


def test_a_failing_program_stops_no_answer(tmp_path: Path) -> None:
    """The answer and the exit code are the same, and what went wrong stands on standard error."""
    status, out, err, _ = spoken_by(tmp_path, "ask", "--speak", MASH, does=FAILS)
    assert status == 0
    assert out.startswith("Salt 85 g")
    assert err == "espeak-ng could not speak (exit code 3): the answers stand here only.\n"


def test_no_program_is_one_sentence(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where no speech program is installed, it is said once and the answer is there."""
    monkeypatch.setenv("PATH", str(tmp_path))
    monkeypatch.setattr(speech.sys, "platform", "linux")
    assert main(["--book", str(tmp_path / "my.book"), "--speak", "ask", MASH]) == 0
    shown = capsys.readouterr()
    assert shown.out.startswith("Salt 85 g")
    assert shown.err == f"{MISSING}\n"


# --- the chat -----------------------------------------------------------------------------


def talked(path: Path, keys: str, voice: Recorder, clock: Callable[[], datetime.datetime] | None = None) -> str:
    """What a chat with a voice shows."""
    shown: list[str] = []
    with create_pipe_input() as terminal, pytest.MonkeyPatch.context() as patch:
        patch.setattr("assistant.console.chat.print_formatted_text", lambda text, output=None: shown.append(text.value))
        terminal.send_text(keys)
        now = clock or (lambda: datetime.datetime(2026, 3, 2, 12))
        assert chat(True, terminal, DummyOutput(), today=lambda: DAY, path=path, clock=now, aloud=voice) == 0
    return "\n".join(shown)


def test_the_chat_says_its_replies(tmp_path: Path) -> None:
    """Each reply is said once it is shown, and the talk's end stops what is being said."""
    voice = Recorder()
    talked(tmp_path / "a.book", f"{MASH}\rmake it 4 kg\rbye\r", voice)
    assert voice.words()[0].startswith("Salt eighty-five grams for three point four kilograms")
    assert "Remember. Hot chillies" in voice.words()[0]
    assert voice.words()[1].startswith("Salt one hundred grams for four kilograms")
    assert voice.asked[-1] == ("hush", "")


def test_any_key_stops_it(tmp_path: Path) -> None:
    """Every key, Enter too, stops what is being said, so the next line never waits for it."""
    voice = Recorder()
    talked(tmp_path / "a.book", f"{MASH}\rx\x04\x15\x04", voice)
    first = next(at for at, (what, _) in enumerate(voice.asked) if what == "then")
    assert {what for what, _ in voice.asked[first + 1 :]} == {"hush"}
    assert len(voice.asked[first + 1 :]) >= 3
    assert ("finish", "") not in voice.asked


def test_say_that_again_speaks_again(tmp_path: Path) -> None:
    """ "Say that again" says the same words once more."""
    voice = Recorder()
    talked(tmp_path / "a.book", f"{MASH}\rsay that again\rbye\r", voice)
    assert voice.words()[0] == voice.words()[1]


def test_a_timer_is_said_when_it_rings(tmp_path: Path) -> None:
    """A timer that is due is said at once, before what is being said; the list of timers is said as times."""
    voice = Recorder()
    noon = datetime.datetime(2026, 3, 2, 12)
    times = (noon + datetime.timedelta(minutes=3 * later) for later in range(10_000))

    def rung() -> list[str]:
        return [words for what, words in voice.asked if what == "first"]

    def wait() -> None:
        with contextlib.suppress(AssertionError):  # that it never rang is found below: the window must close
            until(lambda: bool(rung()))
        terminal.send_text("bye\r")

    with create_pipe_input() as terminal:
        terminal.send_text("tell me in 5 minutes to stir\r")
        # the window stands open, and nobody types, until it rings
        waiting = threading.Thread(target=wait)
        waiting.start()
        assert 0 == chat(
            True, terminal, DummyOutput(), today=lambda: DAY, path=tmp_path / "a.book",
            clock=lambda: next(times), aloud=voice,
        )  # fmt: skip
        waiting.join()
    assert [(words[:10], words[-5:]) for words in rung()] == [("Time is up", "stir.")]
    voice = Recorder()
    talked(tmp_path / "b.book", "tell me in 10 minutes to stir\rtimers\rbye\r", voice)
    assert "Ten minutes: stir" in voice.words()


def test_a_timer_is_not_cut_off_by_the_answer(tmp_path: Path) -> None:
    """In the chat of plain lines a timer rings with the next line: it is heard first, and the answer after it."""
    voice = Recorder()
    Plainly(tmp_path / "a.book").say("tell me in 5 minutes to stir", MASH, later=400, aloud=voice)
    told = [(what, words[:10]) for what, words in voice.asked]
    at = told.index(("first", "Time is up"))
    assert told[at - 1 : at + 2] == [("hush", ""), ("first", "Time is up"), ("then", "Salt eight")]


def test_a_talk_carried_on_is_said(tmp_path: Path) -> None:
    """What was said last is said again when the chat opens."""
    talked(tmp_path / "a.book", f"{MASH}\r\x04", Recorder())
    voice = Recorder()
    with create_pipe_input() as terminal:
        terminal.send_text("\x04")
        assert chat(False, terminal, DummyOutput(), today=lambda: DAY, path=tmp_path / "a.book", aloud=voice) == 0
    assert voice.words()[0].startswith("Salt eighty-five grams")


def test_trouble_with_the_voice_is_shown_once(tmp_path: Path) -> None:
    """One sentence, at the start or when it comes, and never again."""
    shown = talked(tmp_path / "a.book", f"{MASH}\rwhy\rbye\r", Recorder("It is hoarse."))
    assert shown.count("It is hoarse.") == 1
    assert "Salt 85 g" in shown


# --- the real one -------------------------------------------------------------------------


@pytest.mark.skipif(shutil.which("espeak-ng") is None, reason="espeak-ng, the speech program, is not installed here")
def test_a_real_speech_program_says_different_words(tmp_path: Path) -> None:
    """espeak-ng makes sound of the words, longer for more of them and another for other numbers."""
    sounds = []
    for at, text in enumerate(("Salt 15 g.", "Salt 1.5 g.", "Salt 157.9 g for 5-7 days at pH 4.05, 12,500 SHU.")):
        file = tmp_path / f"{at}.wav"
        done = subprocess.run(
            ["espeak-ng", "-w", str(file), "--stdin"], input=worded(text).encode(), check=False, timeout=60,  # noqa: S607
            capture_output=True,
        )  # fmt: skip
        assert done.returncode == 0
        with wave.open(str(file)) as sound:
            sounds.append(sound.readframes(sound.getnframes()))
    assert 0 < len(sounds[0]) < len(sounds[1]) < len(sounds[2])
