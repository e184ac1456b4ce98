"""The book as the console uses it: what is written is there, and a shelf in hand never changes."""

from __future__ import annotations

import datetime
import shutil
import sqlite3
import tempfile
from pathlib import Path
from typing import Any

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule

from assistant.batches.events import Event, EventError, Read, Redo, Undo
from assistant.batches.shelf import Shelf
from assistant.book.growing import Limits, extend
from assistant.book.store import NEAR, Book, Moved
from tests.book.pieces import DAY, alike, batches, begin, course, folded, histories, put, read, remark


def test_what_is_appended_is_there_when_the_book_is_opened_again(tmp_path: Path) -> None:
    """Events and the shelf they make are the same in the window that wrote them and in a later one."""
    path = tmp_path / "folder" / "that is not there" / "book.db"
    events = [begin(name="Red"), read(5.2), remark("white film"), begin(2), read(4.1, 2)]
    with Book.open(path) as book:
        wrote = alike(put(book, *events))
        assert (5, 2, 2) == wrote[:3]
    with Book.open(path) as book:
        assert list(enumerate(events, 1)) == book.events()
        assert wrote == alike(book.shelf())
        assert "" == book.trouble == book.notice
        assert [] == book.check()


def test_a_book_of_none_is_kept_in_memory() -> None:
    """Without a file the book works and leaves nothing behind."""
    with Book.open(None) as book:
        put(book, begin(), read(4.0))
        assert 2 == book.shelf().head


def test_a_file_survives_a_name_with_marks_of_uris(tmp_path: Path) -> None:
    """A path with ?, #, %, blanks or other letters is a path like any other."""
    path = tmp_path / "what? #1 100% süß & 'so'" / "bo%20ok?.db"
    with Book.open(path) as book:
        put(book, begin())
    assert ["bo%20ok?.db"] == [one.name for one in path.parent.iterdir()]


def test_every_commit_is_synced(tmp_path: Path) -> None:
    """The file is kept with a write-ahead log, synced at each commit, and its references are checked."""
    with Book.open(tmp_path / "book.db") as book:
        found = {
            name: book._db.execute(f"PRAGMA {name}").fetchone()[0]
            for name in ("journal_mode", "synchronous", "foreign_keys")
        }
        assert {"journal_mode": "wal", "synchronous": 2, "foreign_keys": 1} == found


def test_a_line_judged_by_an_older_shelf_is_not_written(tmp_path: Path) -> None:
    """If another window wrote events since, neither line nor events are kept, and the line can be said again."""
    path = tmp_path / "book.db"
    with Book.open(path) as one, Book.open(path) as other:
        put(one, begin())
        seen = other.shelf()
        put(one, read(5.0))
        with pytest.raises(Moved):
            other.append("pH 4", DAY, [read(4.0)], seen.head)
        assert 2 == len(other.events())
        assert 2 == len(other.start(fresh=False))
        shelf = other.append("pH 4", DAY, [read(4.0)], other.shelf().head)
        assert [5.0, 4.0] == [point.value for point in batches(shelf)[1].ph]
        assert alike(shelf) == alike(one.shelf())


def test_a_window_that_is_overtaken_while_it_works_writes_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """If another window writes after the book was looked at and before it is locked, that counts as before."""
    path = tmp_path / "book.db"
    with Book.open(path) as one, Book.open(path) as other:
        put(one, begin())

        def overtaken(*given: Any) -> Any:
            monkeypatch.undo()
            put(other, read(5.0))
            return extend(*given)

        monkeypatch.setattr("assistant.book.store.extend", overtaken)
        with pytest.raises(Moved):
            one.append("pH 4", DAY, [read(4.0)], 1)
        assert "" == one.trouble
        assert [5.0] == [point.value for point in batches(one.shelf())[1].ph]


def test_a_line_without_events_is_written_wherever_the_book_is(tmp_path: Path) -> None:
    """A line that changes nothing is kept with the head that it was judged by, though others wrote since."""
    path = tmp_path / "book.db"
    with Book.open(path) as one, Book.open(path) as other:
        put(one, begin())
        seen = other.shelf()
        put(one, read(5.0))
        shelf = other.append("why?", DAY, [], seen.head)
        assert 2 == shelf.head
        assert ("why?", DAY, 1) == other.start(fresh=False)[-1]


def test_a_later_head_than_the_book_has_is_no_head(tmp_path: Path) -> None:
    """Numbers are never left out."""
    with Book.open(tmp_path / "book.db") as book:
        with pytest.raises(Moved):
            book.append("pH 4", DAY, [begin()], 7)
        assert [] == book.events()


def test_undoing_what_there_is_not_writes_nothing() -> None:
    """An undo of an event that the batch does not have is an error of the caller; the line is not kept either."""
    with Book.open(None) as book:
        put(book, begin(), begin(2))
        for of in (2, 9):
            with pytest.raises(LookupError):
                book.append("undo", DAY, [Undo(1, DAY, "undo", (of,))], 2)
        assert 2 == book.shelf().head == len(book.start(fresh=False))


@pytest.mark.parametrize(
    "event",
    [
        read(99.0), Undo(1, DAY, "undo", [1]),  # type: ignore[arg-type]
        remark("half \ud83d"), Read(1, DAY, "", "", "colour", 1.0),
    ],
)  # fmt: skip
def test_an_event_that_could_not_be_read_again_is_not_written(event: Event) -> None:
    """What would later pass for damage is refused at once, as an error of the caller, and the line with it."""
    with Book.open(None) as book:
        put(book, begin())
        with pytest.raises(EventError):
            book.append("so", DAY, [event], 1)
        assert 1 == len(book.events()) == len(book.start(fresh=False))


def test_an_interrupted_window_goes_on(tmp_path: Path) -> None:
    """A window stopped between writing and seeing that it had written finds its own event and goes on."""
    with Book.open(tmp_path / "book.db") as book:
        shelf = put(book, begin())
        version = book._version
        put(book, read(5.0))
        book._shelf, book._version = shelf, version  # as Ctrl-C leaves it
        with pytest.raises(Moved):
            book.append("pH 4", DAY, [read(4.0)], shelf.head)
        assert 3 == book.append("pH 4", DAY, [read(4.0)], book.shelf().head).head


def test_a_transaction_that_was_left_open_does_not_stop_the_book(tmp_path: Path) -> None:
    """A window stopped just after it had locked the file can write again, and nothing half done is kept."""
    with Book.open(tmp_path / "book.db") as book:
        put(book, begin())
        book._db.execute("BEGIN IMMEDIATE")  # as Ctrl-C leaves it
        book._db.execute("DELETE FROM titles")
        assert 2 == put(book, read(5.0)).head
        assert ("", []) == (book.trouble, book.check())


# --- a shelf in hand ------------------------------------------------------------------------


@pytest.mark.parametrize("more", [1, NEAR, NEAR + 1, 60])
def test_an_unread_shelf_stays_as_it_was(more: int, tmp_path: Path) -> None:
    """A shelf that nobody had looked into says later what it would have said then, whoever wrote how much since."""
    path = tmp_path / "book.db"
    first = [begin(name="Red"), *course(5, 2), read(5.0)]
    then = alike(Shelf().with_events(first))
    later = [begin(3), begin(1, "Green"), Undo(2, DAY, "undo", (3,)), *(read(4.5, 2) for _ in range(more))]
    with Book.open(path, Limits(2, 4)) as one, Book.open(path, Limits(2, 4)) as other:
        put(one, *first)
        mine, theirs = one.shelf(), other.shelf()
        put(one, *later)
        assert then == alike(mine)
        assert then == alike(theirs)
        assert alike(Shelf().with_events([*first, *later])) == alike(other.shelf()) == alike(one.shelf())


def test_a_batch_begun_later_is_not_on_an_older_shelf() -> None:
    """A shelf of before the batch neither lists nor finds it."""
    with Book.open(None) as book:
        put(book, begin())
        shelf = book.shelf_at(1)
        put(book, begin(2))
        assert (1, [1], [1]) == (len(shelf.titles), list(shelf.accounts), [one.number for one in shelf.recent])
        assert shelf.batch(2) is None
        with pytest.raises(KeyError):
            shelf.titles[2]


def test_opening_and_the_shelf_read_no_batch(tmp_path: Path) -> None:
    """However many events there are, the shelf is made from a fixed few rows; a batch is read when looked at."""
    path = tmp_path / "book.db"
    counts = []
    for more in (10, 500):
        with Book.open(path) as book:
            book.append("much", DAY, [read(4.0) for _ in range(more)], book.shelf().head)
        with Book.open(path) as book:
            read_rows: list[int] = []
            run = book.safely

            def counting(job: Any, run: Any = run, seen: list[int] = read_rows) -> Any:
                def watched(rows: Any) -> Any:
                    def count(sql: str, args: Any) -> Any:
                        found = rows(sql, args)
                        seen.append(len(found))
                        return found

                    return job(count)

                return run(watched)

            book.safely = counting  # type: ignore[method-assign]
            book.shelf()
            counts.append(sum(read_rows))
            assert book.shelf().accounts[1].now.count >= more
            assert sum(read_rows) > more - 1
    assert counts[0] == counts[1]


def test_the_shelf_is_reused_until_others_write(tmp_path: Path) -> None:
    """Asking again gives the same shelf, also when another window only talked."""
    path = tmp_path / "book.db"
    with Book.open(path) as one, Book.open(path) as other:
        put(one, begin())
        shelf = one.shelf()
        other.append("hello", DAY, [], 1)
        assert shelf is one.shelf()
        put(other, read(5.0))
        assert 2 == one.shelf().head


def test_the_shelf_after_any_event() -> None:
    """The book can be looked at as it was after each event, in any order."""
    events = [begin(), read(5.0), begin(2), Undo(1, DAY, "undo", (2,)), read(4.0), Redo(1, DAY, "redo", (2,))]
    with Book.open(None) as book:
        put(book, *events)
        for head in (0, 3, 4, 6, 1, 2, 5, 5, 9, -1):
            there = min(max(head, 0), 6)
            assert alike(Shelf().with_events(events[:there])) == alike(book.shelf_at(head)), head


def test_events_by_batch_and_number() -> None:
    """Events can be had of one batch, after a number, and up to one."""
    events = [begin(), begin(2), read(5.0), read(4.0, 2), read(4.5)]
    with Book.open(None) as book:
        put(book, *events)
        assert [1, 2, 3, 4, 5] == [seq for seq, _ in book.events()]
        assert [(2, events[1]), (4, events[3])] == book.events(2)
        assert [3, 4] == [seq for seq, _ in book.events(after=2, upto=4)]
        assert [3] == [seq for seq, _ in book.events(1, after=1, upto=4)]


def test_a_line_that_no_encoding_can_write_is_kept() -> None:
    """Half a character, NUL and line ends in a line keep neither it nor its events from being written."""
    lines = ["\x00 nul", "two\nlines\r\n", "\u2028", "2½ kg of jalapeños \U0001f336", ""]
    with Book.open(None) as book:
        book.append("half \ud83d", DAY, [], 0)
        for one in lines:
            book.append(one, DAY, [], 0)
        assert ["half ?", *lines] == [say for say, _, _ in book.start(fresh=False)]


# --- anything in any order ------------------------------------------------------------------


class Windows(RuleBasedStateMachine):
    """Two windows on one file against a list of events: whatever is done, both show what was written."""

    @initialize(history=histories(most=60, of=2))
    def open(self, history: list[Event]) -> None:
        """Two windows on an empty book, and what will happen."""
        self.folder = Path(tempfile.mkdtemp())
        self.path = self.folder / "book.db"
        self.limits = Limits(2, 5)
        self.windows = [self.window(), self.window()]
        self.coming, self.done = history, list[Event]()
        self.seen = [0, 0]
        self.kept: list[tuple[Shelf, int]] = []
        self.lines = 0

    def window(self) -> Book:
        """A window; it does not wait for the disk, which is no matter here."""
        book = Book.open(self.path, self.limits)
        book._db.execute("PRAGMA synchronous = OFF")
        return book

    @rule(who=st.integers(0, 1), count=st.integers(0, 4))
    def write(self, who: int, count: int) -> None:
        """One window says a line, judged by what it saw last."""
        events = self.coming[:count] if self.seen[who] == len(self.done) else [begin()][:count]
        try:
            shelf = self.windows[who].append("a line", DAY, events, self.seen[who])
        except Moved:
            assert events and self.seen[who] != len(self.done)
            return
        self.lines += 1
        assert not events or self.seen[who] == len(self.done)
        if events:
            self.coming = self.coming[count:]
            self.done += events
            self.seen[who] = len(self.done)
        assert len(self.done) == shelf.head

    @rule(who=st.integers(0, 1), look=st.booleans())
    def see(self, who: int, look: bool) -> None:
        """One window looks at the book and remembers how it was."""
        shelf = self.windows[who].shelf()
        assert len(self.done) == shelf.head
        self.seen[who] = shelf.head
        if look and shelf.latest:
            assert folded(enumerate(self.done, 1), shelf.latest) == shelf.accounts[shelf.latest].now
        self.kept.append((shelf, shelf.head))

    @rule(who=st.integers(0, 1), back=st.integers(0, 6))
    def remember(self, who: int, back: int) -> None:
        """One window looks at the book as it was."""
        head = max(len(self.done) - back, 0)
        self.kept.append((self.windows[who].shelf_at(head), head))

    @rule(who=st.integers(0, 1))
    def again(self, who: int) -> None:
        """One window is closed and opened; shelves it gave end with it."""
        self.see_all()
        self.kept.clear()
        self.windows[who].close()
        self.windows[who] = self.window()

    @rule(who=st.integers(0, 1))
    def forget(self, who: int) -> None:
        """Checkpoints are lost."""
        self.windows[who]._db.execute("DELETE FROM checkpoints")

    @invariant()
    def no_trouble(self) -> None:
        """Nothing is held back, and all that was said is there."""
        for one in getattr(self, "windows", ()):
            assert "" == one.trouble == one.notice
            assert [self.lines] == [row[0] for row in one._db.execute("SELECT count(*) FROM lines")]

    def see_all(self) -> None:
        """Every shelf that was ever given still says what was so then."""
        for shelf, head in self.kept:
            assert alike(Shelf().with_events(self.done[:head])) == alike(shelf)

    def teardown(self) -> None:
        """Looks at everything once more."""
        if not hasattr(self, "windows"):
            return
        try:
            self.see_all()
            for one in self.windows:
                assert alike(Shelf().with_events(self.done)) == alike(one.shelf())
                assert [] == one.check()
        finally:
            for one in self.windows:
                one.close()
            shutil.rmtree(self.folder)


TestWindows = Windows.TestCase
TestWindows.settings = settings(max_examples=30, stateful_step_count=25, deadline=None)


def test_the_days_of_lines_are_kept() -> None:
    """Each line comes back with the day it was said on."""
    with Book.open(None) as book:
        book.append("one", DAY, [], 0)
        book.append("two", DAY + datetime.timedelta(days=1), [], 0)
        assert [0, 1] == [(day - DAY).days for _, day, _ in book.start(fresh=False)]


def test_a_closed_book_is_let_go_of(tmp_path: Path) -> None:
    """Closing leaves one file, which another program may open."""
    path = tmp_path / "book.db"
    with Book.open(path) as book:
        put(book, begin())
    assert [path] == list(tmp_path.iterdir())
    db = sqlite3.connect(path)
    assert [(1,)] == db.execute("SELECT count(*) FROM events").fetchall()
    db.close()
