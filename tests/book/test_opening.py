"""Trouble with the disk: the talk goes on, says so once, and catches up when it can."""

from __future__ import annotations

import resource
import sqlite3
import subprocess
import sys
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest

from assistant.batches.events import Undo
from assistant.batches.shelf import Shelf
from assistant.book import disk
from assistant.book.errors import APART
from assistant.book.growing import Limits
from assistant.book.migrations import migrate
from assistant.book.store import Book, BookTrouble, Moved
from tests.book.pieces import DAY, FULL, alike, begin, folded, full, looks, put, read, remark

ROOT = Path(__file__).parent.parent.parent
ONLY_READ = "The book cannot be written: its file or folder may only be read. What is said now is not kept."
HELD = "The book cannot be written: another program is holding it. What is said now is not kept."
NO_FILE = "The book cannot be written: its file cannot be opened. What is said now is not kept."


def only_read(patch: pytest.MonkeyPatch) -> None:
    """From now on files can be opened for reading only (the tests may run as one who may write anywhere)."""
    real = disk.connect

    def connect(path: Path, query: str, patience: float) -> sqlite3.Connection:
        return real(path, query.replace("rwc", "ro"), patience)

    patch.setattr(disk, "connect", connect)


def said(book: Book) -> list[str]:
    """The lines of the book, as another chat would be given them."""
    return [say for say, _, _ in book.start(fresh=False)]


LONG = "x" * 3000
"""A remark that needs a page of its own."""


def test_a_full_disk_holds_what_is_said_and_writes_it_later(tmp_path: Path) -> None:
    """On a full disk events count at once and are told not to be kept; when there is room all are written in order."""
    path = tmp_path / "book.db"
    events = [begin(), read(5.0), *(remark(f"{LONG} {one}") for one in range(6)), Undo(1, DAY, "undo", (4,)), read(4.0)]
    with Book.open(path) as book, Book.open(path) as other:
        put(book, *events[:2])
        with full(book):
            shelf = book.shelf()
            for one in events[2:]:
                shelf = book.append(one.said, DAY, [one], shelf.head)
            assert FULL == book.trouble
            assert alike(Shelf().with_events(events)) == alike(shelf) == alike(book.shelf())
            assert list(enumerate(events, 1)) == book.events()
            assert events[7:9] == [one for _, one in book.events(1, after=7, upto=9)]
            for head in range(len(events) + 1):
                assert alike(Shelf().with_events(events[:head])) == alike(book.shelf_at(head))
            assert [one.said for one in events] == said(book)
            on_disk = other.shelf().head
            assert on_disk < len(events)
        assert len(events) == book.append("why?", DAY, [], len(events)).head
        assert "" == book.trouble
        assert alike(Shelf().with_events(events)) == alike(other.shelf())
        assert [*(one.said for one in events), "why?"] == said(other)
        assert [] == book.check()


def test_held_events_are_written_when_the_book_is_closed(tmp_path: Path) -> None:
    """Leaving is one more chance to write what was held."""
    path = tmp_path / "book.db"
    with Book.open(path) as book:
        put(book, begin())
        with full(book):
            put(book, *(remark(f"{LONG} {one}") for one in range(4)))
            assert FULL == book.trouble
    with Book.open(path) as book:
        assert 5 == book.shelf().head == len(said(book))


def test_held_events_do_not_go_over_what_another_window_wrote(tmp_path: Path) -> None:
    """If another window wrote meanwhile, this one says that its own part is lost and works on by itself."""
    path = tmp_path / "book.db"
    with Book.open(path) as book, Book.open(path) as other:
        put(book, begin())
        with full(book):
            shelf = put(book, *(remark(f"{LONG} {one}") for one in range(4)))
        put(other, read(5.0))
        for more in (1, 2):
            shelf = book.append("pH 4", DAY, [read(4.0)], shelf.head)
            assert APART == book.trouble
            assert (5 + more, more) == (shelf.head, len(shelf.accounts[1].now.ph))
            assert ["begin batch 1", *(f"{LONG} {one}" for one in range(4)), *["pH 4.0"] * more] == [
                one.said for _, one in book.events()
            ]
        with pytest.raises(Moved):
            book.append("pH 4", DAY, [read(4.0)], 2)
        assert [1, 2] == [seq for seq, _ in other.events()]
    with Book.open(path) as book:
        assert ["pH 5.0"] == said(book)


def test_held_lines_without_events_never_stand_in_the_way(tmp_path: Path) -> None:
    """Lines alone are written later whatever another window did; they come before what is said then."""
    path = tmp_path / "book.db"
    with Book.open(path) as book, Book.open(path) as other:
        put(book, begin())
        with full(book):
            for _ in range(4):
                book.append(LONG, DAY, [], 1)
            assert FULL == book.trouble
            put(other, read(5.0))
            assert 2 == book.shelf().head
        with pytest.raises(Moved):
            book.append("pH 4", DAY, [read(4.0)], 1)
        book.append("pH 4", DAY, [read(4.0)], 2)
        assert "" == book.trouble
        assert ["begin batch 1", *[LONG] * 4, "pH 4"] == said(book)


def test_a_start_while_lines_are_held_goes_on_with_them() -> None:
    """Starting again in trouble gives the held lines too; they stay in one thread, unless it is a fresh one."""
    with Book.open(None) as book:
        put(book, begin())
        with full(book):
            put(book, *(remark(f"{LONG} {one}") for one in range(4)))
            whole = said(book)
            assert 5 == len(whole) == len(said(book))
            assert [] == book.start(fresh=True)
        book.append("new", DAY, [], 5)
        assert ["new"] == said(book)
        assert [(1, 5), (2, 1)] == book._db.execute("SELECT thread, count(*) FROM lines GROUP BY thread").fetchall()


def test_an_undo_from_far_back_works_in_trouble_too(tmp_path: Path) -> None:
    """Held events may take back one that is only on disk, behind a checkpoint."""
    events = looks(60)
    with Book.open(tmp_path / "book.db", Limits(3, 6)) as book:
        put(book, *events)
        with full(book):
            more = [*(remark(f"{LONG} {one}") for one in range(20)), Undo(1, DAY, "undo", (5, 70))]
            shelf = put(book, *more)
            assert FULL == book.trouble
            assert folded(enumerate([*events, *more], 1), 1) == shelf.accounts[1].now
            with pytest.raises(LookupError):
                book.append("undo", DAY, [Undo(1, DAY, "undo", (99,))], shelf.head)
        put(book, remark("so"))
        assert "" == book.trouble
        assert folded(book.events(), 1) == book.shelf().accounts[1].now
        assert [] == book.check()


def test_a_book_held_too_long_is_written_later(tmp_path: Path) -> None:
    """When another program does not let go of the file, what is said is held and then written."""
    path = tmp_path / "book.db"
    with Book.open(path, patience=0.05) as book, closing(sqlite3.connect(path, isolation_level=None)) as other:
        put(book, begin())
        other.execute("BEGIN IMMEDIATE")
        assert 2 == book.append("pH 5", DAY, [read(5.0)], 1).head
        assert HELD == book.trouble
        other.execute("ROLLBACK")
        assert 3 == book.append("pH 4", DAY, [read(4.0)], 2).head
        assert ("", 3) == (book.trouble, other.execute("SELECT max(seq) FROM events").fetchone()[0])


def test_a_file_that_may_only_be_read_is_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A read-only book shows all there is, goes on in memory, and is written once it may be."""
    path = tmp_path / "book.db"
    with Book.open(path) as book:
        put(book, begin(name="Red"), read(5.0))
    with monkeypatch.context() as patch:
        only_read(patch)
        book = Book.open(path)
        assert ONLY_READ == book.trouble
        assert ["Red"] == [one.name for one in book.shelf().recent]
        assert ["begin batch 1", "pH 5.0"] == said(book)
        assert 3 == book.append("pH 4", DAY, [read(4.0)], 2).head
        assert ONLY_READ == book.trouble
    assert 4 == book.append("pH 3.9", DAY, [read(3.9)], 3).head
    assert "" == book.trouble
    book.close()
    with Book.open(path) as book:
        assert ["begin batch 1", "pH 5.0", "pH 4", "pH 3.9"] == said(book)


def test_an_older_file_that_may_only_be_read_is_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A book of an older version that cannot be brought up to date is read from a copy and left as it is."""
    path = tmp_path / "book.db"
    with closing(sqlite3.connect(path, isolation_level=None)) as db:
        migrate(db, upto=1)
    with monkeypatch.context() as patch:
        only_read(patch)
        before = path.read_bytes()
        book = Book.open(path)
        assert ONLY_READ == book.trouble
        assert 1 == book.append("begin", DAY, [begin()], 0).head
        assert before == path.read_bytes()
    assert 2 == put(book, read(5.0)).head
    assert "" == book.trouble
    book.close()


@pytest.mark.parametrize("where", ["a file/book.db", "a folder", "a file/deeper/book.db"])
def test_a_path_that_cannot_be_opened_gives_a_book_in_memory(where: str, tmp_path: Path) -> None:
    """Where no file can be, the talk still has a book, and it says in one sentence that it is not kept."""
    (tmp_path / "a folder").mkdir()
    (tmp_path / "a file").write_text("so")
    with Book.open(tmp_path / where) as book:
        put(book, begin(), read(5.0))
        assert 2 == book.shelf().head
        assert book.trouble.startswith("The book cannot be written: ")
        assert book.trouble.endswith(". What is said now is not kept.")
    assert ["a file", "a folder"] == sorted(one.name for one in tmp_path.iterdir())


def test_a_new_book_on_a_disk_that_may_only_be_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where no file can be made the book is in memory."""
    with monkeypatch.context() as patch:
        only_read(patch)
        with Book.open(tmp_path / "book.db") as book:
            put(book, begin())
            assert (NO_FILE, 1) == (book.trouble, book.shelf().head)


def test_a_batch_that_cannot_be_read_says_so(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """If the disk fails while a batch is read, that is a sentence and not a fault of SQLite's."""

    def broken(*_: Any) -> None:
        error = sqlite3.OperationalError("disk I/O error")
        error.sqlite_errorcode = sqlite3.SQLITE_IOERR_READ
        raise error

    with Book.open(tmp_path / "book.db") as book:
        put(book, begin())
        shelf = book.shelf_at(0)
        monkeypatch.setattr("assistant.book.reading.events_of", broken)
        with pytest.raises(BookTrouble) as told:
            shelf.accounts[1]
    assert (
        "The book cannot be read: the disk reports an error. Close other programs that use it and start again."
        == str(told.value)
    )


SMALL = """
import resource, sys
from pathlib import Path
from assistant.book.store import Book
from tests.book.pieces import DAY, begin, put, remark
path = Path(sys.argv[1])
book = Book.open(path)
put(book, begin())
size = path.with_name("book.db-wal").stat().st_size
resource.setrlimit(resource.RLIMIT_FSIZE, (size + 20000, resource.RLIM_INFINITY))
kept = 1
shelf = book.shelf()
while not book.trouble:
    kept = shelf.head
    shelf = book.append("more", DAY, [remark("x" * 1000)], shelf.head)
shelf = book.append("more", DAY, [remark("so")], shelf.head)
print(kept, shelf.head, book.trouble)
resource.setrlimit(resource.RLIMIT_FSIZE, (resource.RLIM_INFINITY, resource.RLIM_INFINITY))
shelf = book.append("last", DAY, [remark("last")], shelf.head)
print(shelf.head, book.trouble)
book.close()
"""


def test_a_write_that_fails_half_way_loses_nothing(tmp_path: Path) -> None:
    """A file that may grow no further (as on a full disk) keeps all that was kept, and takes the rest later."""
    assert resource.getrlimit(resource.RLIMIT_FSIZE)[1] == resource.RLIM_INFINITY
    path = tmp_path / "book.db"
    run = subprocess.run(
        [sys.executable, "-c", SMALL, str(path)], cwd=ROOT, capture_output=True, text=True, check=True, timeout=120
    )
    first, second = run.stdout.splitlines()
    kept, held, trouble = first.split(" ", 2)
    assert trouble.startswith("The book cannot be written: the disk ")
    assert int(kept) + 2 == int(held)
    assert f"{int(held) + 1} " == second
    with Book.open(path) as book:
        assert int(held) + 1 == book.shelf().head == book.events()[-1][0]
        assert [] == book.check()
