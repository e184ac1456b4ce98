"""The check-up: facts become sentences, what is wrong is 1, and nothing is changed by looking."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest

from assistant.book.looking import Looked, look_over
from assistant.console.doctor import SPEECH, Facts, Finding, findings, needed, told
from tests.console.test_command import run

SOUND = Facts(
    version="1.0", python="3.12.1", system="Linux", packages=(("lark", "1.2"), ("pint", "0.24")),
    book="/b/batches.book", book_there=True, book_kept=True, events=12, batches=1, book_troubles=(),
    terminal=True, term="xterm", columns=80, rows=24, encoding="utf-8", shade="both", no_color=False,
    speech="espeak-ng", speak=False, cache="/c", cache_kept=True,
    settings="/s/settings.toml", settings_there=True, settings_troubles=(),
)  # fmt: skip


def of(about: str, **changed: object) -> list[tuple[str, str, bool]]:
    """What is found of one thing when these facts differ: state, text, whether it says what to do."""
    return [(one.state, one.text, bool(one.do)) for one in findings(replace(SOUND, **changed)) if one.about == about]  # type: ignore[arg-type]


def test_a_sound_machine_has_nothing_wrong() -> None:
    """With all in place each thing is ok, in one sentence, and nothing is to be done."""
    found = findings(SOUND)
    assert ["Program", "Packages", "Book", "Settings", "Terminal", "Letters", "Speech", "Cache"] == [
        one.about for one in found
    ]
    assert {("ok", "")} == {(one.state, one.do) for one in found}
    assert all(one.text.endswith(".") for one in found)
    assert "Nothing is wrong." == told(found, 80)[-1]


@pytest.mark.parametrize(
    ("about", "changed", "state", "text"),
    [
        ("Packages", {"packages": (("lark", ""), ("pint", "0.24"))}, "wrong", "lark is not installed."),
        ("Book", {"book_there": False}, "ok",
         "There is none yet at /b/batches.book; it is made with the first line of a talk."),
        ("Book", {"book_there": False, "book_kept": False}, "wrong",
         "Nothing can be written at /b/batches.book: what you say would not be kept."),
        ("Book", {"book_kept": False}, "wrong",
         "Nothing can be written at /b/batches.book: what you say would not be kept."),
        ("Book", {"book_troubles": ("A checkpoint of batch 2 does not agree with its events.",)}, "wrong",
         "/b/batches.book: A checkpoint of batch 2 does not agree with its events."),
        ("Settings", {"settings_there": False}, "ok",
         "There is no file at /s/settings.toml: the built-in settings hold."),
        ("Settings", {"settings_troubles": ("large must be true or false, not 1; false holds.",)}, "wrong",
         "large must be true or false, not 1; false holds."),
        ("Terminal", {"terminal": False}, "note",
         "The output is no terminal: no colour, and no chat with a bottom line."),
        ("Terminal", {"columns": 30}, "note", "Rows are broken under 40 columns."),
        ("Terminal", {"shade": "none", "no_color": True}, "ok",
         "xterm, 80 columns, 24 rows, no colour, because NO_COLOR is set."),
        ("Terminal", {"shade": "light"}, "ok", "xterm, 80 columns, 24 rows, colours for a light screen."),
        ("Letters", {"encoding": "ascii"}, "note", "It takes ascii: charts are drawn in ASCII."),
        ("Speech", {"speech": ""}, "note",
         f"No program that speaks was found ({', '.join(SPEECH)})."),
        ("Speech", {"speech": "", "speak": True}, "wrong",
         f"No program that speaks was found ({', '.join(SPEECH)})."),
        ("Cache", {"cache_kept": False}, "note",
         "Nothing can be written at /c: every start reads the grammar anew and is slower."),
    ],
)  # fmt: skip
def test_each_thing_that_can_be_wrong(about: str, changed: dict[str, object], state: str, text: str) -> None:
    """Each fault is told in a sentence of its own; what is wrong says what to do about it."""
    found = of(about, **changed)
    assert (state, text) in [(one, what) for one, what, _ in found]
    assert all(do for one, _, do in found if one == "wrong")


def test_what_to_do_follows_what_is_wrong() -> None:
    """The lines are no wider than the screen, the remedy stands under its fault, and the faults are counted."""
    found = [Finding("Book", "wrong", "It is damaged.", "Copy it."), Finding("Cache", "ok", "Fine.")]
    assert ["wrong: Book: It is damaged.", "  -> Copy it.", "ok: Cache: Fine.", "1 thing is wrong."] == told(found, 60)
    assert [] == [row for row in told(findings(SOUND), 40) if len(row) > 40]


def test_the_packages_are_those_that_are_declared() -> None:
    """What is looked for is what the program says it needs, and none of what only its tests need."""
    assert ["lark", "pint", "platformdirs", "prompt_toolkit"] == sorted(
        one.lower().replace("-", "_") for one in needed()
    )


@pytest.fixture
def book(tmp_path: Path) -> Path:
    """A book with one batch."""
    run("--book", str(tmp_path / "a.book"), "ask", "new batch of 3 kg of cabbage in a 10 L crock at 2%")
    return tmp_path / "a.book"


def test_a_sound_book_is_counted(book: Path) -> None:
    """A sound book has its events and batches counted, and lies as it lay."""
    before = book.read_bytes()
    assert (Looked(3, 1), before) == (look_over(book), book.read_bytes())


def test_a_damaged_book_is_told_and_not_mended(book: Path) -> None:
    """Looking at a damaged file says so and changes no byte of it: mending is for when it is opened."""
    data = bytearray(book.read_bytes())
    data[4096 : len(data)] = b"\xff" * (len(data) - 4096)
    book.write_bytes(data)
    found = look_over(book)
    assert True is bool(found.troubles)
    assert (bytes(data), [book]) == (book.read_bytes(), list(book.parent.iterdir()))


def test_a_file_that_is_no_book(tmp_path: Path) -> None:
    """Text in the place of a book is told, and left; so is what no longer looks like any database."""
    (tmp_path / "x.book").write_text("shopping list\n" * 500, encoding="utf-8")
    (trouble,) = look_over(tmp_path / "x.book").troubles
    assert trouble.startswith("x.book is a text, not a book of batches.")
    (tmp_path / "y.book").write_bytes(b"\xff\x00" * 4000)
    (trouble,) = look_over(tmp_path / "y.book").troubles
    assert trouble.startswith("It cannot be read: its file is damaged.")


def test_the_command_on_this_machine(book: Path, tmp_path: Path) -> None:
    """The whole check-up runs, says where the book is, ends with 0, and makes nothing."""
    before = sorted(tmp_path.iterdir())
    status, out, err = run("--book", str(book), "doctor", COLUMNS="100")
    assert (0, "", before) == (status, err, sorted(tmp_path.iterdir()))
    assert "3 events of 1 batch, sound." in " ".join(out.split())


def test_as_json(book: Path) -> None:
    """--json gives one object: the facts as they were found, and the findings."""
    status, out, _ = run("--book", str(book), "doctor", "--json")
    found = json.loads(out)
    assert (0, ["facts", "findings"], str(book), 3) == (
        status, list(found), found["facts"]["book"], found["facts"]["events"],
    )  # fmt: skip
    assert {"about", "state", "text", "do"} == set(found["findings"][0])


def test_a_fault_in_the_settings_ends_with_1(tmp_path: Path) -> None:
    """What is wrong in the settings file is found, with what holds instead."""
    (tmp_path / "crockside").mkdir()
    (tmp_path / "crockside" / "settings.toml").write_text("large = 1\nunts = 2\n", encoding="utf-8")
    status, out, err = run("doctor", XDG_CONFIG_HOME=str(tmp_path), COLUMNS="200")
    assert (1, "") == (status, err)
    flat = " ".join(out.split())
    assert "large must be true or false, not 1; false holds." in flat
    assert 'the nearest is "units"' in flat
    assert True is out.endswith("2 things are wrong.\n")


def test_a_book_of_another_program_ends_with_1(tmp_path: Path) -> None:
    """A database of another program is named as such, and another file is asked for."""
    import sqlite3

    db = sqlite3.connect(tmp_path / "x.db")
    db.execute("CREATE TABLE theirs(x)")
    db.commit()
    db.close()
    status, out, _ = run("--book", str(tmp_path / "x.db"), "doctor", COLUMNS="200")
    assert 1 == status
    assert "is a database of another program" in " ".join(out.split())
    assert "Name another file with --book." in out
