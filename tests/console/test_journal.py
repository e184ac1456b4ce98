"""The talk on disk: it survives torn lines, bad disks and a killed program."""

from __future__ import annotations

import datetime
import errno
import json
import os
import pty
import signal
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from assistant.console.journal import KEEP, FileJournal
from assistant.console.session import Session, plain

ROOT = Path(__file__).parent.parent.parent
DAY = datetime.date(2026, 3, 2)
TALKS = {
    "asks and corrections": (
        "brine for 2.3 kg of cabbage", "brimble", "why?", "7 L crock", "2.25%", "make it 2.7 kg", "undo", "undo",
        "redo", "what about 3 percent", "make it 0 kg", "", "why?", "repeat",
    ),
    "choices": (
        "mash of 1,250 g of chillies at 3%", "why", "pumpkin", "1250 g", "undo", "1.25 g", "undo", "undo",
        "mash of 2 kilgrams of chillies at 3%", "yes", "2.3 kg of chillies at 3%", "under brine", "cancel", "undo",
    ),
    "keeping the batch": (
        "brine for 3.2 kg of chillies in a 12 L crock at 3%", "pH 4.2", "imperial units",
        "how strong a brine for 4% in the end", "in a 20 L crock", "in pounds", "pH 3.9", "start over", "undo",
        "5 lb 3 oz in kg", "make it 4 kg", "help", "bye", "undo",
    ),
}  # fmt: skip


def days() -> Callable[[], datetime.date]:
    """A clock that is a day later each time it is looked at."""
    later: Iterator[datetime.date] = (DAY + datetime.timedelta(days=one) for one in range(10_000))
    return lambda: next(later)


def resumed(path: Path) -> Session:
    """A new session brought to where the file says."""
    session = Session(days())
    session.resume(FileJournal(path).said())
    return session


def said(path: Path) -> list[str]:
    """The kept lines."""
    return [line for line, _ in FileJournal(path).said()]


# --- lines in, lines out ------------------------------------------------------------------


@pytest.mark.parametrize(
    "line",
    [
        "brine for 3 kg",
        'a "quoted" \\ line',
        "two\nlines\r\n",
        "2½ kg of jalapeños",
        "from \u2028 a \u2029 page \x85 pasted \x0b\x0c\x1c\x1e",
        "\x00\x1b[31m\x7f",
        "\U0001f336 hot",
        "x" * 20_000,
    ],
)
def test_a_line_comes_back_as_it_was_said(line: str, tmp_path: Path) -> None:
    """Any text is read back letter for letter, with its day, between its neighbours."""
    journal = FileJournal(tmp_path / "talk.jsonl")
    for one in ("before", line, "after"):
        journal.add(one, DAY)
    assert [("before", DAY), (line, DAY), ("after", DAY)] == journal.said()
    assert journal.trouble == ""


def test_half_a_letter_is_kept_as_a_blot(tmp_path: Path) -> None:
    """What no encoding can write does not stop the journal, and the session says what the journal keeps."""
    path = tmp_path / "talk.jsonl"
    session = Session(days(), FileJournal(path))
    session.say("mash \ud83c of 2 kg of chillies \udcff at 3%")
    assert said(path) == ["mash \ufffd of 2 kg of chillies \ufffd at 3%"]
    assert session.talk == resumed(path).talk
    FileJournal(path).add("\ud800", DAY)
    assert said(path)[1:] == ["?"]


@pytest.mark.parametrize(
    ("text", "expected"), [("a\ud800b\udfffc", "a\ufffdb\ufffdc"), ("½ \U0001f336", "½ \U0001f336")]
)
def test_plain_keeps_the_length(text: str, expected: str) -> None:
    """Half letters become U+FFFD one for one; whole ones stay."""
    assert expected == plain(text)


def test_the_folder_is_made(tmp_path: Path) -> None:
    """The first line makes the folders it needs."""
    path = tmp_path / "a" / "b" / "talk.jsonl"
    FileJournal(path).add("brine", DAY)
    assert said(path) == ["brine"]


def test_a_missing_file_is_an_empty_talk(tmp_path: Path) -> None:
    """Nothing kept is nothing said, and no trouble."""
    journal = FileJournal(tmp_path / "talk.jsonl")
    assert (journal.said(), journal.trouble) == ([], "")


def test_clear_keeps_the_old_talk_beside(tmp_path: Path) -> None:
    """After clear() nothing is said; the old lines lie in the file beside it."""
    journal = FileJournal(tmp_path / "talk.jsonl")
    journal.clear()
    journal.add("brine", DAY)
    journal.clear()
    assert (journal.said(), said(tmp_path / "talk.before")) == ([], ["brine"])


def test_only_the_last_lines_are_said_again(tmp_path: Path) -> None:
    """Of more than KEEP lines the last KEEP come back."""
    path = tmp_path / "talk.jsonl"
    entries = [json.dumps({"today": "2026-03-02", "say": str(one)}) for one in range(KEEP + 7)]
    path.write_text("\n".join(entries) + "\n", encoding="utf-8")
    assert (500, [str(one) for one in range(7, KEEP + 7)]) == (KEEP, said(path))


def test_a_blank_line_is_not_kept(tmp_path: Path) -> None:
    """Empty lines change nothing and are not written."""
    path = tmp_path / "talk.jsonl"
    session = Session(days(), FileJournal(path))
    for line in ("", "  ", "\t\n", "help"):
        session.say(line)
    assert said(path) == ["help"]


def test_the_line_is_on_disk_before_the_turn(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Should the turn itself fail, what was said is kept."""
    path = tmp_path / "talk.jsonl"

    def fail(*_: object) -> None:
        raise ZeroDivisionError

    monkeypatch.setattr("assistant.console.session.turn", fail)
    with pytest.raises(ZeroDivisionError):
        Session(days(), FileJournal(path)).say("mash of 2 kg")
    assert said(path) == ["mash of 2 kg"]


# --- bad files ----------------------------------------------------------------------------


@pytest.mark.parametrize(
    "torn",
    [b"{", b'{"today": "2026-03-02", "say": "mash of', b'{"today": "2026-03-02", "say": "2\xc2', b"\x00" * 4096],
)
def test_a_torn_last_line_costs_only_itself(torn: bytes, tmp_path: Path) -> None:
    """The lines before a torn one are said again, and the next line added is not lost with it."""
    path = tmp_path / "talk.jsonl"
    journal = FileJournal(path)
    journal.add("one", DAY)
    journal.add("two", DAY)
    with path.open("ab") as file:
        file.write(torn)
    assert said(path) == ["one", "two"]
    journal.add("three", DAY)
    journal.add("four", DAY)
    assert said(path) == ["one", "two", "three", "four"]


def test_a_line_cut_anywhere_never_hides_another(tmp_path: Path) -> None:
    """Cut after any byte, the file gives the lines that are whole, and takes the next one."""
    path = tmp_path / "talk.jsonl"
    FileJournal(path).add("2½ kg", DAY)
    first = path.read_bytes()
    FileJournal(path).add("jalapeños", DAY)
    whole = path.read_bytes()
    for cut in range(len(whole)):
        path.write_bytes(whole[:cut])
        kept = [line for line, end in (("2½ kg", len(first)), ("jalapeños", len(whole))) if cut >= end - 1]
        assert kept == said(path), cut
        FileJournal(path).add("next", DAY)
        assert [*kept, "next"] == said(path), cut


@pytest.mark.parametrize(
    "garbage",
    [
        b"\xff\xfe\x00\x9b",
        bytes(range(256)),
        b"not json",
        b"5",
        b"null",
        b"[1, 2]",
        b'"say"',
        b"{}",
        b'{"say": "no day"}',
        b'{"today": "2026-03-02"}',
        b'{"today": "yesterday", "say": "x"}',
        b'{"today": 5, "say": "x"}',
        b'{"today": null, "say": "x"}',
        b'{"today": "2026-03-02", "say": null}',
        b'{"today": "2026-03-02", "say": ["x"]}',
        b"[" * 100_000,
        b"9" * 5_000,
    ],
    ids=lambda one: repr(one[:30]),
)
def test_garbage_between_lines_is_passed_over(garbage: bytes, tmp_path: Path) -> None:
    """Bytes that are no entry cost nothing but themselves."""
    path = tmp_path / "talk.jsonl"
    good = [json.dumps({"today": "2026-03-02", "say": one}).encode() for one in ("one", "two")]
    path.write_bytes(b"\n".join([good[0], garbage, good[1], b""]))
    assert said(path) == ["one", "two"]


# --- bad disks ----------------------------------------------------------------------------


def test_a_folder_that_cannot_be_made_is_told_and_the_talk_goes_on(tmp_path: Path) -> None:
    """Where the folder is a file, trouble is set, nothing is raised, and the answers come all the same."""
    (tmp_path / "taken").write_text("a file", encoding="utf-8")
    journal = FileJournal(tmp_path / "taken" / "talk.jsonl")
    session = Session(days(), journal)
    kinds = [session.say(line)[1][0].kind for line in ("mash of 2 kg of chillies", "3%", "make it 4 kg")]
    assert kinds == ["ask", "answer", "answer"]
    assert (journal.trouble[:29], journal.said()) == ("This talk is not being kept: ", [])
    journal.clear()
    assert (tmp_path / "taken").read_text(encoding="utf-8") == "a file"


def test_a_file_that_is_a_folder_is_told(tmp_path: Path) -> None:
    """Where the file is a folder, trouble says so and said() is empty."""
    journal = FileJournal(tmp_path)
    journal.add("mash", DAY)
    assert (f"This talk is not being kept: {os.strerror(errno.EISDIR)}.", []) == (journal.trouble, journal.said())


@pytest.mark.parametrize("number", [errno.EROFS, errno.EACCES, errno.ENOSPC, errno.EIO, errno.EDQUOT])
@pytest.mark.parametrize("where", ["mkdir", "open", "fsync"])
def test_every_failure_of_the_disk_is_told(
    number: int, where: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A read-only folder, a full disk, a broken one: the reason stands in trouble and nothing is raised."""

    def fail(*_: object, **__: object) -> None:
        raise OSError(number, os.strerror(number))

    journal = FileJournal(tmp_path / "new" / "talk.jsonl")
    monkeypatch.setattr(os if where == "fsync" else Path, where, fail)
    replies = Session(days(), journal).say("mash of 2 kg of chillies at 3%")[1]
    assert replies[0].kind == "answer"
    assert f"This talk is not being kept: {os.strerror(number)}." == journal.trouble


@pytest.mark.parametrize("number", [errno.EACCES, errno.EIO])
def test_a_file_that_cannot_be_read_is_an_empty_talk(
    number: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """An unreadable file starts a new talk instead of a traceback."""
    path = tmp_path / "talk.jsonl"
    FileJournal(path).add("mash", DAY)

    def fail(_: Path) -> bytes:
        raise OSError(number, os.strerror(number))

    monkeypatch.setattr(Path, "read_bytes", fail)
    assert FileJournal(path).said() == []


# --- carrying on --------------------------------------------------------------------------


@pytest.mark.parametrize("title", TALKS)
def test_a_talk_carries_on_from_any_line(title: str, tmp_path: Path) -> None:
    """Stopped after any line, the talk said again is equal to the one that was running: answers, questions, undo."""
    path = tmp_path / "talk.jsonl"
    running = Session(days(), FileJournal(path))
    for line in TALKS[title]:
        running.say(line)
        assert running.talk == resumed(path).talk, line


@pytest.mark.parametrize("title", TALKS)
def test_the_same_words_get_the_same_replies_after_carrying_on(title: str, tmp_path: Path) -> None:
    """A talk resumed before every line answers as the one that never stopped."""
    path, clock = tmp_path / "talk.jsonl", days()
    running = Session(days())
    for line in TALKS[title]:
        broken = Session(clock, FileJournal(path))
        broken.resume(FileJournal(path).said())
        assert running.say(line)[1] == broken.say(line)[1], line


def test_carrying_on_uses_the_day_of_each_line(tmp_path: Path) -> None:
    """A line is said again with the day it was said on, not with today's."""
    path = tmp_path / "talk.jsonl"
    session = Session(days(), FileJournal(path))
    for line in ("pH 4.4", "pH 3.9"):
        session.say(line)
    expected = [("pH 4.4", DAY), ("pH 3.9", DAY + datetime.timedelta(days=1))]
    assert expected == FileJournal(path).said()


def test_resuming_writes_nothing(tmp_path: Path) -> None:
    """Lines that are said again are not kept twice."""
    path = tmp_path / "talk.jsonl"
    journal = FileJournal(path)
    journal.add("mash of 2 kg of chillies at 3%", DAY)
    before = path.read_bytes()
    session = Session(days(), journal)
    session.resume(journal.said())
    assert before == path.read_bytes()


# --- killed -------------------------------------------------------------------------------

KILLED = """
import datetime, os, signal, sys
from pathlib import Path
from assistant.console.journal import FileJournal
from assistant.console.session import Session

class Fatal(FileJournal):
    def add(self, say, today):
        super().add(say, today)
        if when == "before the turn" and say == last:
            os.kill(os.getpid(), signal.SIGKILL)

path, when, *lines = sys.argv[1:]
last = lines[-1]
session = Session(lambda: datetime.date(2026, 3, 2), Fatal(Path(path)))
for line in lines:
    session.say(line)
if when == "in the next write":
    with Path(path).open("ab", buffering=0) as file:
        file.write(b'{"today": "2026-03-02", "say": "make i')
        os.kill(os.getpid(), signal.SIGKILL)
os.kill(os.getpid(), signal.SIGKILL)
"""


@pytest.mark.parametrize("when", ["after the turn", "before the turn", "in the next write"])
def test_a_killed_program_has_lost_nothing(when: str, tmp_path: Path) -> None:
    """Killed with no warning, in the middle of a question and its corrections, the talk is where it was."""
    path = tmp_path / "talk.jsonl"
    lines = ["mash of 2 kg of chillies at 3%", "make it 5 kg", "undo", "brine for 2.3 kg of cabbage", "7 L crock"]
    done = subprocess.run(
        [sys.executable, "-c", KILLED, str(path), when, *lines], cwd=ROOT, capture_output=True, timeout=30, check=False
    )
    assert (done.returncode, done.stderr) == (-signal.SIGKILL, b"")
    expected = Session(lambda: DAY)
    for line in lines:
        expected.say(line)
    session = Session(lambda: DAY, FileJournal(path))
    session.resume(FileJournal(path).said())
    assert expected.talk == session.talk
    assert session.talk.now.mode == "asking"
    assert expected.say("2.25%")[1] == session.say("2.25%")[1]
    assert [*lines, "2.25%"] == said(path)


def test_the_chat_killed_at_its_prompt_carries_on(tmp_path: Path) -> None:
    """The real chat on a terminal, killed while it waits, starts again where it stopped."""
    environment = {**os.environ, "XDG_DATA_HOME": str(tmp_path), "COLUMNS": "80", "TERM": "dumb"}
    command = [sys.executable, "-m", "assistant", "chat"]

    def run(said: bytes, until: bytes, kill: bool) -> bytes:
        """One run on a terminal of its own: types, waits for words, then kills or waits for the end."""
        keyboard, terminal = pty.openpty()
        with subprocess.Popen(
            command, cwd=ROOT, env=environment, stdin=terminal, stdout=terminal, stderr=terminal, close_fds=True
        ) as talk:
            os.close(terminal)
            os.write(keyboard, said)
            shown = b""
            while until not in shown:
                shown += os.read(keyboard, 4096)
            if kill:
                talk.kill()
            assert talk.wait(20) == (-signal.SIGKILL if kill else 0)
        os.close(keyboard)
        return shown

    run(b"mash of 2 kg of chillies at 3%\r", b"Salt 60 g", kill=True)
    shown = run(b"make it 4 kg\rbye\r", b"Goodbye.", kill=False)
    told = [one for one in (b"Carrying on", b"Salt 60 g", b"Salt 120 g", b"Goodbye.") if one in shown]
    assert told == [b"Carrying on", b"Salt 60 g", b"Salt 120 g", b"Goodbye."]
