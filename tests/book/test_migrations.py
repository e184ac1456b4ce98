"""The tables: only added to, brought up to date step by step, and nobody else's file touched."""

from __future__ import annotations

import hashlib
import json
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from assistant.batches.events import to_json
from assistant.batches.shelf import Shelf
from assistant.book.migrations import APPLICATION, MIGRATIONS, migrate
from assistant.book.store import Book, BookError
from tests.book.pieces import DAY, alike, begin, course, put, read

TAKEN = {
    "events": "4483e0e05983bda6",
    "titles and checkpoints": "acb3847cfb516175",
    "heatings, walks and timers": "d9e6895574227340",
    "what was said": "cf5c152d65bba28a",
}
"""The steps that people's files have taken, by the first letters of the SHA-256 of their statements."""


def contents(folder: Path) -> dict[str, bytes]:
    """Every file of a folder, byte for byte."""
    return {one.name: one.read_bytes() for one in folder.iterdir()}


def version(path: Path) -> int:
    """How many steps a file has taken."""
    with closing(sqlite3.connect(path)) as db:
        return int(db.execute("PRAGMA user_version").fetchone()[0])


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE events SET data = '{}'",
        "UPDATE events SET seq = 9 WHERE seq = 1",
        "DELETE FROM events",
        "DELETE FROM events WHERE seq = 2",
        "INSERT OR REPLACE INTO events VALUES (2, 1, 'remark', '2026-03-02', '{}')",
        "REPLACE INTO events SELECT seq, batch, kind, day, '{}' FROM events",
        "INSERT INTO events(batch, kind, day, data) VALUES (1, 'remark', '2026-03-02', '{}')",
        "INSERT INTO events VALUES (-1, 1, 'remark', '2026-03-02', '{}')",
        "INSERT INTO events VALUES (3, 0, 'remark', '2026-03-02', '{}')",
        "UPDATE lines SET say = ''",
        "DELETE FROM lines",
        "REPLACE INTO lines VALUES (1, 1, '2026-03-02', '', 0)",
        "INSERT INTO lines VALUES (3, 99, '2026-03-02', '', 0)",
        "UPDATE threads SET follows_thread = 1",
        "DELETE FROM threads",
        "REPLACE INTO threads VALUES (1, NULL, NULL)",
        "INSERT INTO threads VALUES (2, 7, NULL)",
        "INSERT INTO checkpoints VALUES (1, 99, '{}')",
    ],
)
def test_events_and_lines_are_only_ever_added(statement: str) -> None:
    """The tables themselves refuse to change, replace or take out a row, or to add one that hangs in the air."""
    with Book.open(None) as book:
        put(book, begin(), read(5.0))
        before = list(book._db.iterdump())
        with pytest.raises(sqlite3.IntegrityError):
            book._db.execute(statement)
        assert before == list(book._db.iterdump())


def test_a_new_file_says_whose_it_is_and_which_steps_it_took(tmp_path: Path) -> None:
    """The mark of the program, the number of steps, and each step by its name."""
    path = tmp_path / "book.db"
    Book.open(path).close()
    assert len(MIGRATIONS) == version(path)
    header = path.read_bytes()
    assert APPLICATION.to_bytes(4, "big") == header[68:72]  # https://www.sqlite.org/fileformat2.html
    with closing(sqlite3.connect(path)) as db:
        steps = db.execute("SELECT number, name FROM migrations ORDER BY number").fetchall()
    assert [(number, name) for number, (name, _) in enumerate(MIGRATIONS, 1)] == steps


def test_steps_that_were_taken_are_never_changed() -> None:
    """What people's files went through stays as it was: a difference is a new step."""
    assert TAKEN == {name: hashlib.sha256(json.dumps(step).encode()).hexdigest()[:16] for name, step in MIGRATIONS}


@pytest.mark.parametrize("steps", range(len(MIGRATIONS)))
def test_a_file_of_each_older_version_is_brought_up_to_date(steps: int, tmp_path: Path) -> None:
    """A file left at any earlier step opens with all its events, and with titles and lines from then on."""
    path = tmp_path / "book.db"
    events = [begin(name="Red"), *course(6, 2), read(5.0)] if steps else []
    with closing(sqlite3.connect(path, isolation_level=None)) as db:
        migrate(db, upto=steps)
        for seq, one in enumerate(events, 1):
            row = (seq, one.batch, one.kind, one.day.isoformat(), json.dumps(to_json(one)))
            db.execute("INSERT INTO events VALUES (?, ?, ?, ?, ?)", row)
    assert steps == version(path)
    with Book.open(path) as book:
        assert "" == book.trouble == book.notice
        assert alike(Shelf().with_events(events)) == alike(book.shelf())
        assert [] == book.start(fresh=False)
        book.append("why?", DAY, [], len(events))
        assert [("why?", DAY, len(events))] == book.start(fresh=False)
        assert [] == book.check()
    assert len(MIGRATIONS) == version(path)


def test_steps_are_taken_all_or_none(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A step that fails leaves the file at the version it had."""
    path = tmp_path / "book.db"
    with closing(sqlite3.connect(path, isolation_level=None)) as db:
        migrate(db, upto=1)
        monkeypatch.setattr("assistant.book.migrations.MIGRATIONS", (*MIGRATIONS[:2], ("wrong", ("SELECT nothing",))))
        with pytest.raises(sqlite3.OperationalError):
            migrate(db, upto=3)
        assert [("events",)] == db.execute("SELECT name FROM migrations").fetchall()
        assert 1 == db.execute("PRAGMA user_version").fetchone()[0]


@pytest.mark.parametrize("mode", ["delete", "wal"])
@pytest.mark.parametrize("mark", [0, 77])
def test_the_file_of_another_program_is_refused_and_not_touched(mode: str, mark: int, tmp_path: Path) -> None:
    """A database without our mark is named in a plain sentence; neither it nor its folder is changed."""
    path = tmp_path / "photos.db"
    with closing(sqlite3.connect(path)) as db:
        db.execute(f"PRAGMA application_id = {mark}")
        db.execute(f"PRAGMA journal_mode = {mode}")
        db.execute("CREATE TABLE photos(name)")
        db.execute("INSERT INTO photos VALUES ('crock.jpg')")
        db.commit()
        before = contents(tmp_path)
        with pytest.raises(BookError) as refused:
            Book.open(path)
        assert before == contents(tmp_path)
    told = "photos.db is a database of another program, not a book of batches. Name another file."
    assert told == str(refused.value)
    before = contents(tmp_path)
    with pytest.raises(BookError):
        Book.open(path)
    assert before == contents(tmp_path)


@pytest.mark.parametrize("text", ["2 kg reds\r\n60 g salt\t\n", "pi\u00f1a, 3 kg", "x" * 9000])
def test_somebodys_text_is_refused_and_not_touched(text: str, tmp_path: Path) -> None:
    """Notes named by mistake are no damaged book: they are neither moved aside nor written to."""
    (path := tmp_path / "notes.txt").write_text(text, encoding="utf-8")
    before = contents(tmp_path)
    with pytest.raises(BookError) as refused:
        Book.open(path)
    assert str(refused.value) == "notes.txt is a text, not a book of batches. Name another file, or move that one away."
    assert before == contents(tmp_path)


def test_another_programs_file_is_refused_though_it_is_cut_short(tmp_path: Path) -> None:
    """A damaged file of another program is not ours to mend."""
    path = tmp_path / "photos.db"
    with closing(sqlite3.connect(path)) as db:
        db.execute("CREATE TABLE photos(name)")
        db.executemany("INSERT INTO photos VALUES (?)", [("x" * 500,)] * 100)
        db.commit()
    path.write_bytes(path.read_bytes()[:9000])
    before = contents(tmp_path)
    with pytest.raises(BookError):
        Book.open(path)
    assert before == contents(tmp_path)


@pytest.mark.parametrize("logged", [False, True])
def test_a_file_of_a_newer_version_is_refused_and_not_touched(logged: bool, tmp_path: Path) -> None:
    """A book with steps that this program does not know says what to do; its rows stay as they are."""
    path = tmp_path / "book.db"
    with Book.open(path) as book:
        put(book, begin())
    with closing(sqlite3.connect(path, isolation_level=None)) as db:
        db.execute(f"PRAGMA user_version = {len(MIGRATIONS) + 1}")
        if not logged:
            db.execute("PRAGMA wal_checkpoint(TRUNCATE)")
        before = contents(tmp_path)
        with pytest.raises(BookError) as refused:
            Book.open(path)
        assert {name: one for name, one in before.items() if "-shm" not in name} == {
            name: one for name, one in contents(tmp_path).items() if "-shm" not in name
        }
    told = "book.db was written by a newer version of this program. Update the program, or name another file."
    assert told == str(refused.value)
    assert len(MIGRATIONS) + 1 == version(path)
