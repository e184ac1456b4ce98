"""Read aloud: found, run with the words on its standard input, stopped, and never in the way of the talk."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import time
import wave
from pathlib import Path

import pytest

from assistant.console.speech import NOBODY, PROGRAMS, Program, Speaker, Spoken, found
from assistant.console.spoken import words
from assistant.replies import Answer, Caution

SALT = Answer("Salt 157.9 g.")
LONG = Answer("Salt and water. " * 5000)


class Recorder:
    """A voice that writes down what it is told to do."""

    def __init__(self, wrong: str = "") -> None:
        self.did: list[str] = []
        self.wrong = wrong

    def say(self, text: str) -> None:
        """Would begin to say it."""
        self.did.append(text)

    def hush(self) -> None:
        """Would stop."""
        self.did.append("(hush)")

    def finish(self) -> None:
        """Would wait."""
        self.did.append("(finish)")

    def trouble(self) -> str:
        """What is wrong."""
        return self.wrong


def fake(folder: Path, script: str, name: str = "espeak-ng") -> Path:
    """A program of that name that does what the script says, in Python."""
    file = folder / name
    file.write_text(
        f"#!{sys.executable} -S\nimport os, sys, time\nhere = {str(folder)!r}\n{script}\n", encoding="utf-8"
    )
    file.chmod(0o755)
    return file


def voice(folder: Path, script: str) -> Spoken:
    """A voice that runs such a program."""
    return Spoken(PROGRAMS[0], str(fake(folder, script)))


WRITES = (
    "open(here + '/said', 'ab').write(sys.stdin.buffer.read()); open(here + '/options', 'w').write(repr(sys.argv[1:]))"
)
HANGS = """
child = os.fork()
open(here + ('/child' if child == 0 else '/parent'), 'w').write(str(os.getpid()))
time.sleep(600)"""


def wait_for(file: Path) -> str:
    """What a program wrote into a file, once it has."""
    for _ in range(2000):
        if file.exists() and file.stat().st_size:
            return file.read_text(encoding="utf-8")
        time.sleep(0.01)
    raise AssertionError(f"{file} was not written")


def gone(pid: int) -> bool:
    """Whether no such process runs; one that is dead and waits for its new parent to look is none."""
    for _ in range(500):
        try:
            if Path(f"/proc/{pid}/stat").read_text(encoding="utf-8").rsplit(")", 1)[1].split()[0] == "Z":
                return True
        except OSError:
            return True
        time.sleep(0.01)
    return False


def children() -> list[int]:
    """This process's children, dead ones that nobody waited for among them."""
    own = os.getpid()
    found_ = []
    for one in Path("/proc").glob("[0-9]*/stat"):
        try:
            after = one.read_text(encoding="utf-8").rsplit(")", 1)[1].split()
        except OSError:
            continue
        if int(after[1]) == own:
            found_.append(int(one.parent.name))
    return found_


def test_a_speaker_says_replies_as_they_are_worded() -> None:
    """What was being said stops first; then all that is heard comes in one piece."""
    recorder = Recorder()
    with Speaker(voice=recorder) as speaker:
        speaker.say((SALT, Caution("Bin it.", severity="stop")), "The book is full.")
        speaker.tell("Time is up, 10:00 ago: stir.")
        speaker.tell()
        speaker.say(())
        speaker.hush()
        speaker.finish()
    assert recorder.did == [
        "(hush)", "The book is full. Stop. Bin it. Salt 157 point 9 grams.",
        "(hush)", "Time is up, 10 minutes ago: stir.",
        "(hush)", "(hush)", "(finish)", "(hush)",
    ]  # fmt: skip


def test_not_wanted_is_silent() -> None:
    """Without --speak nothing is looked for and nothing said."""
    recorder = Recorder("never seen")
    with Speaker(False, recorder) as speaker:
        speaker.say((SALT,))
        speaker.finish()
        assert speaker.troubles() == []
    assert recorder.did == []


def test_trouble_is_told_once() -> None:
    """The same trouble is one sentence in a talk, another one is another."""
    recorder = Recorder("It is hoarse.")
    speaker = Speaker(voice=recorder)
    told = [speaker.troubles(), speaker.troubles()]
    recorder.wrong = "It is gone."
    assert [*told, speaker.troubles()] == [["It is hoarse."], [], ["It is gone."]]


def test_no_program_is_one_sentence_and_the_talk_goes_on(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where none is found the speaker says so once, and may be used as if it spoke."""
    monkeypatch.setenv("PATH", str(tmp_path))
    assert found() is None
    with Speaker() as speaker:
        assert speaker.troubles() == [NOBODY]
        speaker.say((SALT,))
        speaker.tell("Time is up.")
        speaker.finish()
        assert speaker.troubles() == []


@pytest.mark.parametrize("program", PROGRAMS, ids=[one.name for one in PROGRAMS])
def test_each_program_gets_the_words_on_standard_input(
    program: Program, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Each is found by its name, with options of our own only; what is said is on standard input, whole."""
    fake(tmp_path, WRITES, program.name)
    monkeypatch.setenv("PATH", str(tmp_path))
    speaker = Speaker()
    speaker.say((SALT, Answer("-w /tmp/x; $(rm -r .)"), LONG))
    speaker.finish()
    assert speaker.troubles() == []
    said = (tmp_path / "said").read_text(encoding="utf-8")
    assert said.startswith("Salt 157 point 9 grams. w tmp or x; rm r. Salt and water.")
    assert (said.count("Salt and water."), said[-1]) == (5000, "\n")
    assert (tmp_path / "options").read_text(encoding="utf-8") == repr(list(program.options))


def test_the_first_program_found_is_taken(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Of several the one that stands first in the list speaks."""
    for name in ("say", "espeak"):
        fake(tmp_path, f"open(here + '/who', 'w').write({name!r})", name)
    monkeypatch.setenv("PATH", str(tmp_path))
    speaker = Speaker()
    speaker.say((SALT,))
    speaker.finish()
    assert (tmp_path / "who").read_text(encoding="utf-8") == "espeak"


@pytest.mark.parametrize(
    ("script", "told"),
    [
        ("sys.exit(3)", "espeak-ng did not say it (it ended with 3)."),
        ("print('error: no sound card.', file=sys.stderr)", "espeak-ng did not say it (error: no sound card)."),
        ("os.close(0)", ""),
        ("print('a warning', file=sys.stderr)", ""),
    ],
)
def test_a_program_that_fails_is_told_and_one_that_ends_at_once_is_not(script: str, told: str, tmp_path: Path) -> None:
    """A bad exit, or an error told, is one sentence; one that leaves the words unread disturbs nothing."""
    speaker = Speaker(voice=voice(tmp_path, script))
    speaker.say((LONG,))
    speaker.finish()
    assert speaker.troubles() == ([told] if told else [])
    speaker.say((SALT,))
    speaker.finish()
    assert speaker.troubles() == []


def test_a_program_that_cannot_be_run_is_told(tmp_path: Path) -> None:
    """One that vanished after it was found is one sentence too."""
    speaker = Speaker(voice=Spoken(PROGRAMS[0], str(tmp_path / "none")))
    speaker.say((SALT,))
    assert speaker.troubles() == ["espeak-ng cannot be run: No such file or directory. Nothing is said."]


@pytest.mark.skipif(not Path("/proc").exists(), reason="who runs is read from /proc, which this system has not")
def test_hushed_with_all_that_it_started(tmp_path: Path) -> None:
    """A program that would go on for minutes is gone, with its children and its record, as soon as it is hushed."""
    before = children()
    speaker = Speaker(voice=voice(tmp_path, HANGS))
    speaker.say((LONG,))
    pids = [int(wait_for(tmp_path / name)) for name in ("parent", "child")]
    speaker.hush()
    assert [gone(one) for one in pids] == [True, True]
    assert (children(), speaker.troubles()) == (before, [])


@pytest.mark.skipif(not Path("/proc").exists(), reason="who runs is read from /proc, which this system has not")
def test_the_next_line_stops_the_last(tmp_path: Path) -> None:
    """Only one program speaks at a time, and leaving the talk ends the last of them, however it is left."""
    before = children()
    with pytest.raises(KeyboardInterrupt), Speaker(voice=voice(tmp_path, HANGS)) as speaker:
        for _ in range(3):
            speaker.say((SALT,))
            wait_for(tmp_path / "child")
            assert len(children()) == len(before) + 1
            for name in ("parent", "child"):
                (tmp_path / name).unlink()
        raise KeyboardInterrupt
    assert children() == before


def test_a_program_that_hangs_is_not_waited_for(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """To wait for the end has an end: it is stopped, and that is told."""
    monkeypatch.setattr("assistant.console.speech._START", 0.05)
    monkeypatch.setattr("assistant.console.speech._SLOWEST", 0.01)
    speaker = Speaker(voice=voice(tmp_path, "time.sleep(600)"))
    speaker.say((SALT,))
    speaker.finish()
    assert speaker.troubles() == ["espeak-ng did not come to an end and was stopped."]


def test_a_service_is_told_to_stop_too(tmp_path: Path) -> None:
    """A program that hands its words on is ended and told to cancel them."""
    program = next(one for one in PROGRAMS if one.stop)
    script = f"""
if sys.argv[1:] == {list(program.stop)!r}:
    open(here + '/cancelled', 'w').write('yes')
else:
    open(here + '/parent', 'w').write(str(os.getpid()))
    time.sleep(600)"""
    speaker = Speaker(voice=Spoken(program, str(fake(tmp_path, script, program.name))))
    speaker.say((SALT,))
    wait_for(tmp_path / "parent")
    speaker.hush()
    assert (tmp_path / "cancelled").read_text(encoding="utf-8") == "yes"


@pytest.mark.skipif(shutil.which("espeak-ng") is None, reason="espeak-ng is not installed (apt-get install espeak-ng)")
def test_a_real_program_makes_sound_of_it(tmp_path: Path) -> None:
    """espeak-ng takes the words by standard input and makes sound; another number sounds otherwise."""
    heard = []
    for index, text in enumerate(("Salt 1.5 g.", "Salt 15 g.", "Salt 1.5 kg.")):
        file = tmp_path / f"{index}.wav"
        subprocess.run(
            [str(shutil.which("espeak-ng")), "-w", str(file), *PROGRAMS[0].options],
            input=words(text).encode(),
            check=True,
            timeout=60,
        )
        with wave.open(str(file)) as sound:
            assert sound.getnframes() > sound.getframerate() / 2
            heard.append(sound.readframes(sound.getnframes()))
    assert len(set(heard)) == 3
