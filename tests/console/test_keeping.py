"""The talk in the book: it survives torn files, bad disks and a killed program."""

from __future__ import annotations

import datetime
import os
import pty
import signal
import sqlite3
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path

import pytest

import assistant.console.session as module
from assistant.book import disk
from assistant.book.errors import APART
from assistant.book.store import Book
from assistant.console.session import BookRefused, Session, open_book, plain
from tests.book.pieces import FULL, full
from tests.console.pieces import TALKS, days, events, every_line, kinds, resumed, running, said, whole
from tests.helpers import DAY

ROOT = Path(__file__).parent.parent.parent
ENTERED = ("mash of 2 kg of chillies at 3%", "packed it", "pH 4.9 by meter")
LONG = "x" * 5_000
"""A line that needs a page of the file for itself."""


def say(path: Path, lines: Sequence[str]) -> None:
    """A talk of its own over the book."""
    with running(path) as session:
        for line in lines:
            session.say(line)


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
    path = tmp_path / "a.book"
    say(path, ("before", line, "after"))
    with Book.open(path) as book:
        assert [("before", DAY, 0), (line, DAY, 0), ("after", DAY, 0)] == book.start(fresh=False)
        assert "" == book.trouble == book.notice


def test_half_a_letter_is_kept_as_a_blot(tmp_path: Path) -> None:
    """What no encoding can write does not stop the book, and the session says what the book keeps."""
    path = tmp_path / "a.book"
    with running(path) as session:
        session.say("mash \ud83c of 2 kg of chillies \udcff at 3%")
    assert said(path) == ["mash \ufffd of 2 kg of chillies \ufffd at 3%"]
    assert session.talk == resumed(path)


@pytest.mark.parametrize(
    ("text", "expected"), [("a\ud800b\udfffc", "a\ufffdb\ufffdc"), ("½ \U0001f336", "½ \U0001f336")]
)
def test_plain_keeps_the_length(text: str, expected: str) -> None:
    """Half letters become U+FFFD one for one; whole ones stay."""
    assert expected == plain(text)


def test_the_folder_is_made(tmp_path: Path) -> None:
    """The first opening makes the folders it needs."""
    path = tmp_path / "a" / "b" / "a.book"
    say(path, ("brine",))
    assert said(path) == ["brine"]


def test_a_missing_file_is_an_empty_talk(tmp_path: Path) -> None:
    """Nothing kept is nothing said, no batch, and no trouble."""
    with Book.open(tmp_path / "a.book") as book:
        assert ([], 0, "", "") == (book.start(fresh=False), book.shelf().head, book.trouble, book.notice)


def test_a_fresh_start_erases_nothing(tmp_path: Path) -> None:
    """A fresh talk is given no lines and knows the batches all the same; the old lines stay in the file."""
    path = tmp_path / "a.book"
    say(path, ENTERED)
    with running(path, fresh=True) as session:
        assert () == session.talk.past
        session.say("what's in it")
        assert session.talk.now.shelf.head == 4
    assert said(path) == ["what's in it"]
    assert [*ENTERED, "what's in it"] == every_line(path)


def test_a_fresh_start_with_nothing_said_is_none(tmp_path: Path) -> None:
    """A fresh talk that is left at once does not take the place of the one before it."""
    path = tmp_path / "a.book"
    say(path, ENTERED)
    with running(path, fresh=True):
        pass
    assert list(ENTERED) == said(path)


def test_a_blank_line_is_not_kept(tmp_path: Path) -> None:
    """Empty lines change nothing and are not written."""
    path = tmp_path / "a.book"
    with running(path) as session:
        for line in ("", "  ", "\t\n", "help"):
            before = session.talk
            session.say(line)
            assert line == "help" or before == session.talk
    assert said(path) == ["help"]


def test_a_line_that_breaks_the_turn_costs_only_itself(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Should a turn fail, the line is not kept; what was said before is there, and the next line goes on from it."""
    path = tmp_path / "a.book"
    real = module.turn

    def fail(*_: object) -> None:
        raise ZeroDivisionError

    with running(path) as session:
        session.say("mash of 2 kg of chillies at 3%")
        monkeypatch.setattr(module, "turn", fail)
        with pytest.raises(ZeroDivisionError):
            session.say("packed it")
        monkeypatch.setattr(module, "turn", real)
        session.say("make it 5 kg")
    assert said(path) == ["mash of 2 kg of chillies at 3%", "make it 5 kg"]
    assert events(path) == []
    assert whole(session.talk) == whole(resumed(path))


def test_a_line_that_once_broke_the_program_does_not_keep_it_from_starting(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A kept line that cannot be said again is passed over: the talk is where the other lines had taken it."""
    path = tmp_path / "a.book"
    say(path, (ENTERED[0], "what about 5 percent", *ENTERED[1:]))
    real = module.turn

    def fail(talk: object, reading: object, today: object) -> object:
        if getattr(reading, "text", "") == "what about 5 percent":
            raise ZeroDivisionError
        return real(talk, reading, today)  # type: ignore[arg-type]

    monkeypatch.setattr(module, "turn", fail)
    with running(tmp_path / "other.book") as expected:
        for line in ENTERED:
            expected.say(line)
    assert whole(expected.talk) == whole(resumed(path))


# --- bad files ----------------------------------------------------------------------------


def test_a_log_cut_anywhere_costs_the_last_lines_only(tmp_path: Path) -> None:
    """Cut after any byte, the file beside the book gives the first lines, whole and with all their events, and
    takes the next one."""
    path, copy = tmp_path / "a.book", tmp_path / "copy.book"
    whole_log = path.with_name("a.book-wal")
    with running(path):
        pass
    states = []
    with running(path) as session:
        states.append((0, 0))
        for line in (*ENTERED, "undo"):
            session.say(line)
            states.append((len(states), session.book.shelf().head))
        main, log = path.read_bytes(), whole_log.read_bytes()
    seen = set()
    for cut in (*range(0, len(log), 997), len(log)):
        for end in ("", "-wal", "-shm"):
            copy.with_name(copy.name + end).unlink(missing_ok=True)
        copy.write_bytes(main)
        copy.with_name(f"{copy.name}-wal").write_bytes(log[:cut])
        lines, found = said(copy), events(copy)
        assert [*ENTERED, "undo"][: len(lines)] == lines, cut
        assert (len(lines), len(found)) in states, cut
        say(copy, ("help",))
        assert [*lines, "help"] == said(copy), cut
        seen.add(len(lines))
    assert {0, 1, 2, 3, 4} == seen


def test_a_damaged_book_carries_on_with_what_can_be_read(tmp_path: Path) -> None:
    """Where a page of the file is garbage, the damaged file is kept aside, the notice says so, and the talk goes on
    with every line that can be read."""
    path = tmp_path / "a.book"
    say(path, ENTERED)
    raw = bytearray(path.read_bytes())
    raw[100:4096] = b"\xa5" * 3996  # the first page tells where everything is
    path.write_bytes(raw)
    with Book.open(path) as book:
        assert ("The book was damaged.", "") == (book.notice[:21], book.trouble)
        assert list(ENTERED) == [line for line, _, _ in book.start(fresh=False)]
        assert 4 == book.shelf().head
    assert bytes(raw) == path.with_name("a.book.damaged-1").read_bytes()
    with running(path) as session:
        assert session.say("undo")[1][0].text == "Undone."
    assert kinds(events(path)) == ["begin", "add", "add", "read", "undo"]


@pytest.mark.parametrize("day", ["yesterday", "", "2026-13-01"])
def test_a_line_without_a_day_costs_only_itself(day: str, tmp_path: Path) -> None:
    """A line of the book that has no day is left out; the others are said again, and the next one is answered."""
    path = tmp_path / "a.book"
    say(path, ("one", "two", "three"))
    db = sqlite3.connect(path)
    db.execute("DROP TRIGGER lines_stay")
    db.execute("UPDATE lines SET day = ? WHERE say = 'two'", (day,))
    db.commit()
    db.close()
    assert said(path) == ["one", "three"]
    with running(path) as session:
        assert session.say(ENTERED[0])[1][0].kind == "answer"


def garbage(way: str) -> bytes:
    """Bytes that are no book."""
    return {"bytes": bytes(range(256)) * 32, "zeros": b"\x00" * 8192}[way]


@pytest.mark.parametrize("way", ["bytes", "zeros"])
def test_a_file_of_garbage_is_kept_aside_and_the_talk_starts_anew(way: str, tmp_path: Path) -> None:
    """Bytes that were never a book are moved aside unchanged, said so, and an empty book is begun."""
    path = tmp_path / "a.book"
    path.write_bytes(garbage(way))
    with open_book(path) as book:
        assert book.notice == (
            "The book was damaged. Nothing of it could be read. The damaged file is kept as a.book.damaged-1."
        )
        session = Session(lambda: DAY, book)
        assert session.say(ENTERED[0])[1][0].kind == "answer"
    assert said(path) == [ENTERED[0]]
    assert garbage(way) == path.with_name("a.book.damaged-1").read_bytes()


def test_somebodys_notes_are_not_moved(tmp_path: Path) -> None:
    """A text in the place of a book is refused in a sentence, and left where and as it is: it may be wanted."""
    (path := tmp_path / "a.book").write_text("notes on peppers\n" * 400, encoding="utf-8")
    with pytest.raises(BookRefused, match=r"a\.book is a text, not a book of batches"):
        open_book(path)
    assert list(tmp_path.iterdir()) == [path]
    assert path.read_text(encoding="utf-8") == "notes on peppers\n" * 400


def test_a_database_of_another_program_is_refused_and_not_touched(tmp_path: Path) -> None:
    """A file that is somebody else's stays as it is, and the sentence says what to do."""
    path = tmp_path / "a.book"
    db = sqlite3.connect(path)
    db.execute("CREATE TABLE theirs(x)")
    db.commit()
    db.close()
    before = path.read_bytes()
    with pytest.raises(BookRefused) as refused:
        open_book(path)
    assert str(refused.value) == ("a.book is a database of another program, not a book of batches. Name another file.")
    assert ([path], before) == (list(tmp_path.iterdir()), path.read_bytes())


# --- bad disks ----------------------------------------------------------------------------


def test_a_folder_that_cannot_be_made_is_told_and_the_talk_goes_on(tmp_path: Path) -> None:
    """Where the folder is a file, trouble is set, nothing is raised, and lines are answered and batches kept in hand
    all the same."""
    (tmp_path / "taken").write_text("a file", encoding="utf-8")
    with running(tmp_path / "taken" / "a.book") as session:
        found = [
            session.say(line)[1][0].kind for line in ("mash of 2 kg of chillies", "3%", "make it 4 kg", "packed it")
        ]
        assert found == ["ask", "answer", "answer", "log"]
        assert session.book.shelf().head == 3
        assert session.book.trouble == ("The book cannot be written: File exists. What is said now is not kept.")
    assert (tmp_path / "taken").read_text(encoding="utf-8") == "a file"


def test_a_file_that_is_a_folder_is_told(tmp_path: Path) -> None:
    """Where the file is a folder, trouble says so and the talk starts empty."""
    with running(tmp_path) as session:
        session.say(ENTERED[0])
        assert session.book.trouble == (
            "The book cannot be written: its file cannot be opened. What is said now is not kept."
        )
    assert list(tmp_path.iterdir()) == []


def test_a_full_disk_is_told_and_caught_up_with(tmp_path: Path) -> None:
    """With no room the talk goes on, corrections of entries included; when there is room again all of it is kept, in
    order, and trouble is over."""
    path = tmp_path / "a.book"
    with running(path) as session:
        book = session.book
        assert isinstance(book, Book)
        with full(book):
            for line in (LONG, *ENTERED, "undo"):
                session.say(line)
            assert FULL == book.trouble
            assert book.shelf().head == 5
        assert events(path) == []
        session.say("redo")
        assert "" == book.trouble
    assert [LONG, *ENTERED, "undo", "redo"] == said(path)
    assert kinds(events(path)) == ["begin", "add", "add", "read", "undo", "redo"]
    assert whole(session.talk) == whole(resumed(path))


def test_a_book_that_may_only_be_read_is_carried_on_in_hand(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """With a file that may only be read, the talk is where it was and goes on; the file does not change."""
    path = tmp_path / "a.book"
    say(path, ENTERED)
    before, real = path.read_bytes(), disk.connect
    monkeypatch.setattr(disk, "connect", lambda file, query, patience: real(file, query.replace("rwc", "ro"), patience))
    with running(path) as session:
        assert session.say("undo")[1][0].text == "Undone."
        assert session.say("added 100 g of salt")[1][0].kind == "log"
        assert session.book.shelf().head == 6
        assert session.book.trouble == (
            "The book cannot be written: its file or folder may only be read. What is said now is not kept."
        )
    assert before == path.read_bytes()


def test_what_was_not_kept_is_lost_when_another_window_wrote(tmp_path: Path) -> None:
    """Entries that wait for room, while another window enters some, are told not to be kept; the other's are."""
    path = tmp_path / "a.book"
    with running(path) as one, running(path) as other:
        for line in ENTERED:
            one.say(line)
        book = one.book
        assert isinstance(book, Book)
        with full(book):
            one.say(LONG)
            one.say("added 100 g of salt")
        other.say("pH 4.4 by meter")
        one.say("help")
        assert APART == book.trouble
    assert kinds(events(path)) == ["begin", "add", "add", "read", "read"]


# --- carrying on --------------------------------------------------------------------------


@pytest.mark.parametrize("title", TALKS)
def test_a_talk_carries_on_from_any_line(title: str, tmp_path: Path) -> None:
    """Stopped after any line, the talk said again is equal to the one that was running: answers, questions, undo, and
    which entries undo takes back."""
    path = tmp_path / "a.book"
    with running(path, days()) as session:
        for line in TALKS[title]:
            session.say(line)
            assert whole(session.talk) == whole(resumed(path)), line
    assert (len(events(path)) > 10) is (title in ("one batch", "two batches"))


@pytest.mark.parametrize("title", TALKS)
def test_the_same_words_get_the_same_replies_after_carrying_on(title: str, tmp_path: Path) -> None:
    """A talk resumed before every line answers and enters as the one that never stopped."""
    path, clock = tmp_path / "a.book", days()
    with running(tmp_path / "never stopped.book", days()) as session:
        for line in TALKS[title]:
            with running(path, clock) as broken:
                assert session.say(line)[1] == broken.say(line)[1], line
    assert events(tmp_path / "never stopped.book") == events(path)


def test_carrying_on_uses_the_day_of_each_line(tmp_path: Path) -> None:
    """A line is said again with the day it was said on, not with today's."""
    path = tmp_path / "a.book"
    with running(path, days()) as session:
        for line in ("started on Monday", "when is 6 weeks", "pH 3.9"):
            session.say(line)
    with Book.open(path) as book:
        assert [0, 1, 2] == [(day - DAY).days for _, day, _ in book.start(fresh=False)]
    with running(path, lambda: DAY + datetime.timedelta(days=90)) as later:
        assert session.talk == later.talk


def test_resuming_writes_nothing(tmp_path: Path) -> None:
    """Lines that are said again, and what they entered, are not kept twice."""
    path = tmp_path / "a.book"
    say(path, (*ENTERED, "undo"))
    before = path.read_bytes()
    with running(path) as session:
        assert session.book.shelf().head == 5
    assert before == path.read_bytes()


# --- killed -------------------------------------------------------------------------------

KILLED = """
import datetime, os, signal, sys
from pathlib import Path
from assistant.book.store import Book
from assistant.console.session import Session

path, when, *lines = sys.argv[1:]
book = Book.open(Path(path))

def die(statement):
    if statement.startswith(when):
        os.kill(os.getpid(), signal.SIGKILL)

session = Session(lambda: datetime.date(2026, 3, 2), book)
for line in lines:
    if line == lines[-1]:
        book._db.set_trace_callback(die)
    session.say(line)
os.kill(os.getpid(), signal.SIGKILL)
"""


@pytest.mark.parametrize(
    ("when", "lost"),
    [("after the turn", 0), ("BEGIN", 1), ("INSERT INTO lines", 1), ("INSERT INTO events", 1), ("COMMIT", 1)],
)
def test_a_killed_program_has_lost_nothing_it_answered(when: str, lost: int, tmp_path: Path) -> None:
    """Killed with no warning, the book has every line that was answered, each with its events; of the line in whose
    writing it was killed, nothing."""
    path = tmp_path / "a.book"
    lines = [
        "mash of 2 kg of chillies at 3%",
        "make it 5 kg",
        "packed it",
        "undo",
        "redo",
        "added 300 g of garlic at 3%",
    ]
    done = subprocess.run(
        [sys.executable, "-c", KILLED, str(path), when, *lines], cwd=ROOT, capture_output=True, timeout=60, check=False
    )
    assert (done.returncode, done.stderr) == (-signal.SIGKILL, b"")
    kept = lines[: len(lines) - lost]
    with running(tmp_path / "expected.book") as expected:
        for line in kept:
            expected.say(line)
        with running(path) as session:
            assert whole(expected.talk) == whole(session.talk)
            assert expected.say("undo")[1] == session.say("undo")[1]
    assert [*kept, "undo"] == said(path)
    assert events(tmp_path / "expected.book") == events(path)


def test_the_chat_killed_at_its_prompt_carries_on(tmp_path: Path) -> None:
    """The real chat on a terminal, killed while it waits, starts again where it stopped, with its batch."""
    environment = {**os.environ, "XDG_DATA_HOME": str(tmp_path), "COLUMNS": "80", "TERM": "dumb"}
    command = [sys.executable, "-m", "assistant", "chat"]

    def run(typed: bytes, until: bytes, kill: bool) -> bytes:
        """One run on a terminal of its own: types, waits for words, then kills or waits for the end."""
        keyboard, terminal = pty.openpty()
        with subprocess.Popen(
            command, cwd=ROOT, env=environment, stdin=terminal, stdout=terminal, stderr=terminal, close_fds=True
        ) as talk:
            os.close(terminal)
            os.write(keyboard, typed)
            shown = b""
            while until not in shown:
                shown += os.read(keyboard, 4096)
            if kill:
                talk.kill()
            assert talk.wait(20) == (-signal.SIGKILL if kill else 0)
        os.close(keyboard)
        return shown

    run(b"mash of 2 kg of chillies at 3%\rpacked it\r", b"Now 2.06 kg", kill=True)
    shown = run(b"undo\rmake it 4 kg\rbye\r", b"Goodbye.", kill=False)
    told = [one for one in (b"Carrying on", b"Now 2.06 kg", b"Undone.", b"Salt 120 g", b"Goodbye.") if one in shown]
    assert told == [b"Carrying on", b"Now 2.06 kg", b"Undone.", b"Salt 120 g", b"Goodbye."]
    path = tmp_path / "crockside" / "batches.book"
    assert kinds(events(path)) == ["begin", "add", "add", "undo"]
