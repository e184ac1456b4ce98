"""A damaged book: the old file kept as it is, all that can be read in a new one, and said so."""

from __future__ import annotations

import os
import random
import signal
import subprocess
import sys
from contextlib import closing
from pathlib import Path

import pytest

from assistant.batches.events import Event
from assistant.batches.shelf import Shelf
from assistant.book import opening, recover
from assistant.book.store import Book
from tests.book.pieces import DAY, alike, begin, course, folded, looks, put, read, remark

ROOT = Path(__file__).parent.parent.parent
PAGE = 4096


def made(path: Path, count: int = 900) -> list[Event]:
    """A closed book of so many events in two batches and a line for each; the events."""
    events = [*course(12), *looks(count - 12, 2)]
    with Book.open(path) as book:
        book.append("begin", DAY, events[:-30], 0)
        put(book, *events[-30:])
    return events


def noise(seed: int, count: int) -> bytes:
    """So many bytes of anything, the same each time."""
    return random.Random(seed).randbytes(count)  # noqa: S311


def contents(folder: Path) -> dict[str, bytes]:
    """Every file of a folder, byte for byte."""
    return {one.name: one.read_bytes() for one in folder.iterdir()}


def mended(path: Path, events: list[Event]) -> tuple[list[int], str]:
    """Opens, looks at everything, and holds what is there to what was written; the numbers, and what was said of it."""
    with Book.open(path) as book:
        book.mend()
        found = book.events()
        assert all(events[seq - 1] == one for seq, one in found)
        assert "" == book.trouble
        notice = book.notice
        head = book.shelf().head
        assert head == (found[-1][0] if found else 0)
        shelf = book.append("on", DAY, [remark("on", 3)], head)
        assert head + 1 == shelf.head
        assert [] == book.check()
    with Book.open(path) as book:
        assert "" == book.notice == book.trouble
        assert len(found) + 1 == len(book.events())
    return [seq for seq, _ in found], notice


# --- kept aside -----------------------------------------------------------------------------


@pytest.mark.parametrize(
    "how",
    {
        "cut short": lambda data: data[: len(data) // 2],
        "cut to a page and a half": lambda data: data[: PAGE * 3 // 2],
        "cut to a few bytes": lambda data: data[:20],
        "garbage": lambda data: noise(1, len(data)),
        "no header": lambda data: bytes(100) + data[100:],
        "no first page": lambda data: bytes(PAGE) + data[PAGE:],
        "noise in the middle": lambda data: data[:PAGE] + noise(2, 20 * PAGE) + data[21 * PAGE :],
    }.items(),
    ids=lambda how: how[0],
)
def test_a_damaged_file_is_kept_aside_byte_for_byte(how: tuple[str, object], tmp_path: Path) -> None:
    """However a file is damaged, it is moved whole to the first free name, and the book goes on in a new one."""
    path = tmp_path / "book.db"
    events = made(path)
    damage = how[1]
    assert callable(damage)
    path.write_bytes(damage(path.read_bytes()))
    (tmp_path / "book.db.damaged-1").write_bytes(b"an earlier one")
    before = path.read_bytes()
    seqs, notice = mended(path, events)
    after = contents(tmp_path)
    assert before == after["book.db.damaged-2"]
    assert b"an earlier one" == after["book.db.damaged-1"]
    assert notice.startswith("The book was damaged. ")
    assert notice.endswith(" The damaged file is kept as book.db.damaged-2.")
    assert bool(seqs) != ("None of its events" in notice or "Nothing of it" in notice)


def test_a_file_without_its_header_loses_nothing(tmp_path: Path) -> None:
    """The header and the list of tables are not needed: every event and line is read from the pages behind."""
    path = tmp_path / "book.db"
    events = made(path)
    data = path.read_bytes()
    path.write_bytes(bytes(PAGE) + data[PAGE:])
    with Book.open(path) as book:
        assert list(enumerate(events, 1)) == book.events()
        assert 31 == len(book.start(fresh=False))
        assert alike(Shelf().with_events(events)) == alike(book.shelf())
        told = (
            "The book was damaged. All of its 900 events could be read. The damaged file is kept as book.db.damaged-1."
        )
        assert told == book.notice


def test_a_file_cut_short_keeps_its_beginning(tmp_path: Path) -> None:
    """Of a file whose end is gone the first events are there, and it says how many, of about how many."""
    path = tmp_path / "book.db"
    events = made(path, 3000)
    data = path.read_bytes()
    path.write_bytes(data[: 3 * len(data) // 4])
    seqs, notice = mended(path, events)
    first = next(one for one in range(1, 3001) if one not in seqs)
    assert first > 2000
    assert f"{len(seqs)} of about 3000 events could be read; the first that is lost is number {first}." in notice


def test_a_hole_in_the_middle_is_told(tmp_path: Path) -> None:
    """Events on both sides of a lost page keep their numbers, and the first that is lost is named."""
    path = tmp_path / "book.db"
    events = made(path)
    data = path.read_bytes()
    at = data.index(b'"look 500"') // PAGE * PAGE
    path.write_bytes(data[:at] + bytes(PAGE) + data[at + PAGE :])
    seqs, notice = mended(path, events)
    lost = sorted(set(range(1, 901)) - set(seqs))
    assert lost == list(range(lost[0], lost[-1] + 1)) and 0 < len(lost) < 100
    told = f"{len(seqs)} of about 900 events could be read; the first that is lost is number {lost[0]}."
    assert told in notice
    with Book.open(path) as book:
        found = book.events(2)
        for head in range(lost[0] - 2, lost[-1] + 3):
            shelf = book.shelf_at(head)
            assert (head, folded([one for one in found if one[0] <= head], 2)) == (shelf.head, shelf.accounts[2].now)


def test_each_page_lost_by_itself(tmp_path: Path) -> None:
    """Whichever page is overwritten, with zeros or noise, the rest is read, and reading the book finds out."""
    path = tmp_path / "book.db"
    events = made(path, 160)
    data = path.read_bytes()
    for number in range(len(data) // PAGE):
        for over in (bytes(PAGE), noise(number, PAGE)):
            for one in tmp_path.iterdir():
                one.unlink()
            path.write_bytes(data[: number * PAGE] + over + data[(number + 1) * PAGE :])
            seqs, _ = mended(path, events)
            assert len(seqs) >= 90, number


def test_lines_are_recovered_with_their_threads(tmp_path: Path) -> None:
    """After a mending the next chat is given the lines of the last one, though threads or lines of it are lost."""
    path = tmp_path / "book.db"
    with Book.open(path) as book:
        for chat in range(3):
            book.start(fresh=False)
            for one in range(30):
                book.append(f"{chat} {one} {'x' * 200}", DAY, [], 0)
    whole = [say for say, _, _ in _start(path)]
    data = path.read_bytes()
    at = data.index(b"1 20 xxx") // PAGE * PAGE
    path.write_bytes(data[:PAGE] + data[PAGE:at] + bytes(PAGE) + data[at + PAGE :])
    with Book.open(path) as book:
        said = [say for say, _, _ in book.start(fresh=False)]
        assert "None of its events could be read." in book.notice
        assert whole[-30:] == said[-30:]
        assert 60 < len(said) < 90
        assert [] == book.check()


def _start(path: Path) -> list[tuple[str, object, int]]:
    with closing(Book.open(path)) as book:
        return list(book.start(fresh=False))


def test_a_row_that_is_no_event_is_damage(tmp_path: Path) -> None:
    """Rows that SQLite can read but that hold no event, or another than they say, are left out and told."""
    path = tmp_path / "book.db"
    events = made(path, 60)
    data = path.read_bytes()
    other = b'"kind":"remark","batch":%d,"day":"2026-03-02","said":"look 30"'
    broken = data.replace(b'"look 20"', b'"look"20"').replace(other % 2, other % 1)
    assert broken != data
    path.write_bytes(broken)
    seqs, notice = mended(path, events)
    assert 58 == len(seqs)
    assert "58 of about 60 events could be read; the first that is lost is number 34." in notice


# --- in the middle of a talk ----------------------------------------------------------------


def test_damage_that_shows_in_the_middle_of_a_talk(tmp_path: Path) -> None:
    """A shelf in hand goes on from the mended book when it comes upon the damage."""
    path = tmp_path / "book.db"
    events = made(path)
    data = path.read_bytes()
    at = data.index(b'"look 500"') // PAGE * PAGE
    with Book.open(path) as book:
        shelf = book.shelf()
        with path.open("r+b") as file:
            file.seek(at)
            file.write(bytes(PAGE))
        assert "" == book.notice
        batch = shelf.batch(2)
        assert batch is not None
        assert "events could be read; the first that is lost is number" in book.notice
        assert 800 < batch.count < 888
        assert 901 == book.append("look", DAY, [remark("look", 2)], book.shelf().head).head
        assert [] == book.check()
        assert "" == book.trouble
    assert data[:at] == (tmp_path / "book.db.damaged-1").read_bytes()[:at]
    assert all(events[seq - 1] == one for seq, one in _events(path)[:-1])


def _events(path: Path) -> list[tuple[int, Event]]:
    with closing(Book.open(path)) as book:
        return book.events()


def test_damage_that_shows_while_writing(tmp_path: Path) -> None:
    """A line said when the damage is found is written to the mended book, if nothing was lost that it rests on."""
    path = tmp_path / "book.db"
    made(path)
    data = path.read_bytes()
    with Book.open(path) as book:
        head = book.shelf().head
        index = [page for page in range(0, len(data), PAGE) if data[page] in (2, 10)]
        with path.open("r+b") as file:
            for page in index:
                file.seek(page)
                file.write(bytes(PAGE))
        assert head + 1 == book.append("look", DAY, [remark("look", 2)], head).head
        assert "All of its 900 events could be read." in book.notice
        assert [] == book.check()


# --- not alone ------------------------------------------------------------------------------


def test_a_file_that_another_window_has_open_is_not_moved(tmp_path: Path) -> None:
    """While another program uses the damaged file it stays, and this window works on what it can read, in memory."""
    path = tmp_path / "book.db"
    events = made(path)
    child = subprocess.Popen(
        [sys.executable, str(Path(__file__).parent / "child.py"), str(path), "1", "0"], cwd=ROOT,
        stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True,
    )  # fmt: skip
    with child:
        assert child.stdout is not None and child.stdin is not None
        assert "open\n" == child.stdout.readline()
        with path.open("r+b") as file:
            file.write(bytes(PAGE))
        with Book.open(path) as book:
            assert list(enumerate(events, 1)) == book.events()
            told = (
                "The book is damaged and cannot be mended: another window has it open. Close all windows and start "
                "again. All of its 900 events could be read. What is said now is not kept."
            )
            assert (told, "") == (book.trouble, book.notice)
            put(book, read(4.0))
            assert told == book.trouble
        assert path.exists() and not (tmp_path / "book.db.damaged-1").exists()
        child.send_signal(signal.SIGKILL)
    with Book.open(path) as book:
        assert "All of its 900 events could be read." in book.notice


def test_a_sound_file_is_not_mended(tmp_path: Path) -> None:
    """Where another window was faster, or nothing is wrong with the file itself, it is opened as it is."""
    path = tmp_path / "book.db"
    events = made(path, 60)
    found = opening.mend(path, 1.0)
    with closing(found.db):
        assert ("", "", True) == (found.trouble, found.notice, found.writable)
        assert 60 == found.db.execute("SELECT max(seq) FROM events").fetchone()[0]
    with Book.open(path) as book:
        assert "" == book.mend()
    assert ["book.db"] == list(contents(tmp_path))
    assert list(enumerate(events, 1)) == _events(path)


def test_a_mending_that_was_broken_off_is_finished(tmp_path: Path) -> None:
    """If the program ends between moving the damaged file and putting the new one there, the next start goes on."""
    path = tmp_path / "book.db"
    events = made(path)
    path.rename(tmp_path / f"book.db{recover.MENDED}")
    (tmp_path / "book.db-wal").write_bytes(b"of the damaged one")
    assert list(enumerate(events, 1)) == _events(path)
    assert {"book.db", "book.db.damaged-1-wal"} == set(contents(tmp_path))


def test_no_room_to_mend_leaves_the_file_where_it_is(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """If the new file cannot be written the damaged one stays, and what can be read of it is in memory."""
    path = tmp_path / "book.db"
    events = made(path)
    path.write_bytes(bytes(PAGE) + path.read_bytes()[PAGE:])
    before = contents(tmp_path)

    def no_room(*_: object) -> None:
        raise OSError(28, os.strerror(28))

    monkeypatch.setattr(recover, "migrate", no_room)
    with Book.open(path) as book:
        assert list(enumerate(events, 1)) == book.events()
        assert book.trouble.startswith("The book is damaged and cannot be mended: No space left on device. ")
    assert before == contents(tmp_path)


def test_what_was_only_in_the_log_is_recovered(tmp_path: Path) -> None:
    """Events that a killed window had only in the -wal are read from there, and the -wal is kept aside too."""
    path = tmp_path / "book.db"
    child = subprocess.Popen(
        [sys.executable, str(Path(__file__).parent / "child.py"), str(path), "1", "1000"], cwd=ROOT,
        stdout=subprocess.PIPE, text=True,
    )  # fmt: skip
    with child:
        assert child.stdout is not None
        acknowledged = [int(child.stdout.readline()) for _ in range(60)]
        child.kill()
    before = contents(tmp_path)
    assert len(before["book.db-wal"]) > 60 * PAGE
    path.write_bytes(bytes(len(before["book.db"])))
    # without its first frame SQLite gives the whole -wal up
    (tmp_path / "book.db-wal").write_bytes(before["book.db-wal"][:32] + bytes(24) + before["book.db-wal"][56:])
    before = contents(tmp_path)
    with Book.open(path) as book:
        found = book.events()
        assert acknowledged == [seq for seq, _ in found][:60]
        assert f"All of its {len(found)} events could be read." in book.notice
        assert begin(1) == found[0][1]
    assert before["book.db-wal"] == contents(tmp_path)["book.db.damaged-1-wal"]
