"""A talk too long to be brought back whole is saved whole, or not at all."""

from __future__ import annotations

from pathlib import Path

import pytest

from assistant.book.store import KEEP, Book
from assistant.console.main import ANSWERED, main
from assistant.console.saving import turn
from assistant.console.session import Session
from assistant.replies import Note, Refuse
from tests.helpers import DAY

LONG = ("mash of 2 kg of reds at 3%", *(f"make it {1 + at % 9} kg" for at in range(KEEP)))
"""A line, and as many that rest on it as are brought back."""


def talked(path: Path, *said: str) -> None:
    """A talk in a window that was closed."""
    with Book.open(path) as book:
        session = Session(lambda: DAY, book)
        session.resume(book.start(fresh=False))
        for line in said:
            session.say(line)


def test_the_command_saves_every_line(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """A talk of more lines than are brought back is written from its first line on, and replays."""
    monkeypatch.chdir(tmp_path)
    talked(tmp_path / "a.book", *LONG)
    assert main(["save", "long", "--book", "a.book"]) == ANSWERED
    rows = Path("long.chat").read_text(encoding="utf-8").splitlines()
    assert [row[2:] for row in rows if row.startswith(">")] == list(LONG)
    assert main(["replay", "long.chat"]) == ANSWERED
    assert f"{len(LONG)} lines, all as the file says" in capsys.readouterr().out


def test_over_several_windows_it_is_one_talk(tmp_path: Path) -> None:
    """The lines of every window that carried it on are of the talk, in order."""
    for at in range(0, len(LONG), 25):
        talked(tmp_path / "a.book", *LONG[at : at + 25])
    with Book.open(tmp_path / "a.book") as book:
        assert [say for say, _, _ in book.talk()] == list(LONG)
        assert [say for say, _, _ in book.start(fresh=False)] == list(LONG[-KEEP:])


@pytest.mark.parametrize(("lines", "kept"), [(LONG, False), (LONG[: KEEP - 1], True)])
def test_in_the_chat_it_is_not_saved_by_half(
    lines: tuple[str, ...], kept: bool, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where the beginning was not brought back nothing is written, and the sentence says what does write it."""
    monkeypatch.chdir(tmp_path)
    talked(tmp_path / "a.book", *lines)
    with Book.open(tmp_path / "a.book") as book:
        session = Session(lambda: DAY, book)
        session.resume(book.start(fresh=False))
        (reply,) = turn(session, "save this talk as half")[1]
    assert (isinstance(reply, Note if kept else Refuse), Path("half.chat").exists()) == (True, kept)
    assert ('"crockside save"' in reply.text) is not kept
