"""A talk over a book: what a turn enters is there at once, two windows write one book, and trouble ends nothing."""

from __future__ import annotations

import datetime
import sqlite3
import tempfile
from collections.abc import Sequence
from contextlib import closing
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.batches.batch import Account
from assistant.batches.events import Event, Remark, Undo
from assistant.batches.shelf import Moved, Over, Shelf, Unreadable
from assistant.book.store import Book
from assistant.console.session import BUSY, TRIES, Memory, Session, book_file, troubles
from tests.book.pieces import FULL, full
from tests.console.pieces import TALKS, days, events, every_line, kinds, resumed, running, said, whole
from tests.helpers import DAY, talk

MASH = ("mash of 2 kg of chillies at 3%", "packed it")
LOST = "The book cannot be read: the disk reports an error. Close other programs that use it and start again."


def texts(session: Session, *lines: str) -> list[str]:
    """The first reply to each of these lines."""
    return [session.say(line)[1][0].text for line in lines]


# --- entered at once ----------------------------------------------------------------------


def test_what_a_turn_enters_is_in_the_book_when_it_is_answered(tmp_path: Path) -> None:
    """When say() returns, another program finds in the file the line, and the events that the turn wrote under the
    numbers that undo will use."""
    path = tmp_path / "a.book"
    with running(path) as session, closing(sqlite3.connect(path)) as other:
        for line in TALKS["two batches"]:
            before = session.book.shelf().head
            session.say(line)
            wrote = [one.kind for one in session.talk.wrote]
            rows = other.execute("SELECT seq, kind FROM events WHERE seq > ? ORDER BY seq", (before,)).fetchall()
            assert list(enumerate(wrote, before + 1)) == rows
            assert (line,) == other.execute("SELECT say FROM lines ORDER BY id DESC LIMIT 1").fetchone()
            if wrote and wrote[0] not in ("undo", "redo"):
                assert [seq for seq, _ in rows] == [seq for seq, _ in session.talk.now.seqs]


def test_every_event_carries_the_words_and_the_day_it_was_said_with(tmp_path: Path) -> None:
    """Events of a line hold the line and the day of the clock."""
    path = tmp_path / "a.book"
    with running(path) as session:
        texts(session, *MASH)
    assert [("packed it", DAY)] * 3 == [(one.said, one.day) for _, one in events(path)]


def test_memory_keeps_the_same_account_as_a_book() -> None:
    """A session with no book answers and enters as one over a book does."""
    for lines in TALKS.values():
        with closing(Book.open(None)) as book:
            over, without = Session(days(), book), Session(days())
            assert isinstance(without.book, Memory)
            for line in lines:
                assert over.say(line)[1] == without.say(line)[1]
                assert whole(over.talk) == whole(without.talk)
                assert over.talk.wrote == without.talk.wrote


def test_only_lines_with_events_are_written_if_so_told(tmp_path: Path) -> None:
    """With every_line=False, what only asks leaves no trace; what enters something is kept with its line."""
    path = tmp_path / "a.book"
    with running(path, every_line=False) as session:
        texts(session, "help", *MASH, "why?", "what's in it", "pH 4.9 by meter", "")
    assert ["packed it", "pH 4.9 by meter"] == said(path)
    assert kinds(events(path)) == ["begin", "add", "add", "read"]


def test_the_book_lies_in_the_users_data_folder(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """The book is kept where the system keeps a user's data, in a folder of our name."""
    monkeypatch.setattr("platformdirs.user_data_dir", lambda name, appauthor: str(tmp_path / name))
    assert tmp_path / "crockside" / "batches.book" == book_file()


def test_the_account_last_seen_has_what_the_last_line_entered(tmp_path: Path) -> None:
    """What the console shows between two lines counts the entries of the line before, and of the talk carried on."""
    path = tmp_path / "a.book"
    with running(path) as session:
        assert session.now.shelf.head == 0
        for head, line in enumerate((*MASH, "undo", "redo"), 3):
            session.say(line)
            assert session.now.shelf.head == session.book.shelf().head == (0 if line == MASH[0] else head - 1)
            assert session.now == session.talk.now
    with running(path) as again:
        assert again.now.shelf.head == 5


# --- carried on ---------------------------------------------------------------------------


@pytest.mark.parametrize("title", TALKS)
def test_resuming_restores_the_talk(title: str, tmp_path: Path) -> None:
    """Where the talk stands, what can be undone and what done again, and every batch, are what they were."""
    path = tmp_path / "a.book"
    with running(path, days()) as before:
        texts(before, *TALKS[title])
        batches = {number: before.book.shelf().batch(number) for number in before.book.shelf().titles}
    with running(path) as after:
        assert before.talk.now == after.talk.now
        assert before.talk.past == after.talk.past
        assert before.talk.future == after.talk.future
        assert whole(before.talk) == whole(after.talk)
        assert batches == {number: after.now.shelf.batch(number) for number in after.now.shelf.titles}
        assert () == after.talk.wrote


def test_resuming_uses_the_account_of_each_line(tmp_path: Path) -> None:
    """A line said again sees the batches as they were when it was said, the next new line as they are now."""
    path = tmp_path / "a.book"
    with running(path) as session:
        texts(session, *MASH, "what's in it")
        shown = session.talk.now.said
        with running(path, fresh=True) as other:
            texts(other, "added 1 kg of garlic at 3%")
        texts(session, "help")
    with running(path) as again:
        assert shown == again.talk.now.said
        assert again.now.shelf.head == 5
        assert "3.09 kg" in texts(again, "what's in it")[0]


# --- two windows --------------------------------------------------------------------------


def test_two_windows_lose_nothing_of_each_other(tmp_path: Path) -> None:
    """Lines said in turns in two windows are all entered; each window's undo and redo take its own entries and leave
    the other's."""
    path = tmp_path / "a.book"
    with running(path) as one, running(path, fresh=True) as other:
        texts(one, *MASH)
        texts(other, "pH 4.9 by meter")
        texts(one, "pH 4.7 by meter")
        texts(other, "added 100 g of salt")
        assert "Undone." == texts(one, "undo")[0]
        assert "Undone." == texts(other, "undo")[0]
        texts(one, "added 300 g of garlic at 3%")
        assert "Done again." == texts(other, "redo")[0]
        batch = one.book.shelf().batch(1)
        assert batch is not None
        assert batch == other.book.shelf().batch(1)
        assert [4.9] == [point.value for point in batch.ph]
        assert batch.holds.salt == pytest.approx(0.06 + 0.1 + 0.009)
    found = events(path)
    assert kinds(found) == ["begin", "add", "add", "read", "read", "add", "undo", "undo", "add", "add", "redo"]
    assert [(7, (5,)), (8, (6,)), (11, (6,))] == [(seq, of) for seq, one in found if (of := getattr(one, "of", ())) and
                                                  isinstance(of, tuple)]  # fmt: skip
    assert [one.said for _, one in found if one.said] == [
        *["packed it"] * 3, "pH 4.9 by meter", "pH 4.7 by meter", "added 100 g of salt",
        *["added 300 g of garlic at 3%"] * 2,
    ]  # fmt: skip


def test_two_windows_carry_on_each_with_its_own_talk(tmp_path: Path) -> None:
    """The window written to last is carried on, with none of the other's lines."""
    path = tmp_path / "a.book"
    with running(path) as one, running(path) as other:
        texts(one, *MASH)
        texts(other, "pH 4.9 by meter")
        texts(one, "call it Ember")
        texts(other, "pH 4.7 by meter")
    assert ["pH 4.9 by meter", "pH 4.7 by meter"] == said(path)
    assert whole(other.talk) == whole(resumed(path))


LINES = (
    "mash of 2 kg of chillies at 3%", "packed it", "new batch of 3 kg of cabbage in a 10 L crock at 2%",
    "added 300 g of garlic", "no", "4%", "added 100 g of salt", "took a 50 g sample", "pH 4.4 by meter", "undo", "undo",
    "redo", "batch 1", "batch 2", "what's in it", "call it Ember", "moved it to a 5 L jar", "make it 3 kg", "cancel",
    "skimmed white film", "start over", "",
)  # fmt: skip


@settings(max_examples=40)
@given(st.lists(st.tuples(st.integers(0, 1), st.sampled_from(LINES)), min_size=10, max_size=40))
def test_whatever_two_windows_say(turns: list[tuple[int, str]]) -> None:
    """Any lines in any order in two windows: every event is written once under its own number, both see the same
    batches, no undo takes back what the other window entered, and the last one to speak can be carried on."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "a.book"
        wrote: list[tuple[int, Event]] = []
        with running(path) as one, running(path, fresh=True) as other:
            for who, line in turns:
                session = (one, other)[who]
                session.say(line)
                taken = {seq for event in session.talk.wrote if isinstance(event, Undo) for seq in event.of}
                assert taken <= {seq for seq, _ in enumerate(wrote, 1) if wrote[seq - 1][0] == who}
                wrote += [(who, event) for event in session.talk.wrote]
            assert one.book.shelf().head == other.book.shelf().head == len(wrote)
            for number in one.book.shelf().titles:
                assert one.book.shelf().batch(number) == other.book.shelf().batch(number)
            assert whole(session.talk) == whole(resumed(path)) or not line.strip()
        assert list(enumerate([event for _, event in wrote], 1)) == events(path)
        assert len([1 for _, line in turns if line.strip()]) == len(every_line(path))


# --- a book that another window writes to in between -----------------------------------------


class Moving(Memory):
    """Another window writes to the book just before the first lines of this one are entered."""

    def __init__(self, times: int) -> None:
        super().__init__()
        self.times = times
        self.judged: list[int] = []

    def append(self, line: str, day: datetime.date, events: Sequence[Event], after: int) -> Shelf:
        """Keeps the line, or says that it was judged by an older account."""
        self.judged.append(after)
        if events and self.times:
            self.times -= 1
            super().append("", day, [Remark(1, day, "by the other window", "seen")], after)
            raise Moved
        return super().append(line, day, events, after)


@pytest.mark.parametrize("times", [0, 1, TRIES - 1])
def test_a_line_is_judged_again_by_the_new_account(times: int) -> None:
    """However often another window was faster, the line is entered once, after what the other wrote, under the
    numbers that it has there."""
    keeper = Moving(0)
    session = Session(lambda: DAY, keeper)
    texts(session, *MASH)
    keeper.times, keeper.judged = times, []
    before = session.talk
    assert session.say("pH 4.4 by meter")[1][0].kind == "log"
    assert list(range(3, 4 + times)) == keeper.judged
    assert ((*before.past, before.now), ((4 + times, 1),)) == (session.talk.past, session.talk.now.seqs)
    batch = keeper.shelf().batch(1)
    assert batch is not None
    assert (4 + times, 1) == (keeper.shelf().head, len(batch.ph))


def test_a_book_that_always_moves_enters_nothing() -> None:
    """After so many tries the line is refused, said why, and the talk is where it was; later it can be said again."""
    keeper = Moving(0)
    session = Session(lambda: DAY, keeper)
    texts(session, *MASH)
    keeper.times = TRIES
    before = session.talk
    replies = session.say("pH 4.4 by meter")[1]
    assert [("refuse", f"Nothing was entered. {BUSY}")] == [(one.kind, one.text) for one in replies]
    assert (before, ()) == (session.talk, session.talk.wrote)
    session.say("pH 4.4 by meter")
    assert ["read"] == [one.kind for one in session.talk.wrote]


def test_a_real_window_in_between(tmp_path: Path) -> None:
    """What a window enters while this one works out its line is not written over: the batches' numbers follow."""
    path = tmp_path / "a.book"
    with running(path) as one, running(path, fresh=True) as other:
        book = one.book
        append = book.append

        def late(line: str, day: datetime.date, events: Sequence[Event], after: int) -> Shelf:
            book.append = append  # type: ignore[method-assign]
            texts(other, "new batch of 3 kg of cabbage in a 10 L crock at 2%")
            return append(line, day, events, after)

        book.append = late  # type: ignore[method-assign]
        assert texts(one, "new batch of reds in a 5 L jar")[0][:13] == "Batch 2, reds"
        titles = [(title.number, title.name) for title in book.shelf().recent]
    assert [(2, "reds"), (1, "cabbage")] == titles


def test_a_batch_that_another_window_wrote_to_is_not_undone_from_its_start(tmp_path: Path) -> None:
    """Undoing "new batch" would take the other window's produce with it: it is refused and says what would be lost;
    once that is undone there, the batch goes."""
    path = tmp_path / "a.book"
    with running(path) as one, running(path, fresh=True) as other:
        texts(one, "new batch of reds in a 5 L jar")
        texts(other, "packed 2 kg of reds at 3%")
        (told,) = texts(one, "undo")
        assert told == (
            'Another window has entered "packed 2 kg of reds at 3%" in "reds" since it was begun, and that would be '
            "lost: undo it there first. Nothing was undone."
        )
        assert [title.name for title in one.book.shelf().recent] == ["reds"]
        texts(other, "undo")
        assert texts(one, "undo")[0] == "Undone."
        assert one.book.shelf().recent == ()


# --- a book that cannot be read ----------------------------------------------------------------


class Unread(dict[int, Account]):
    """Accounts that cannot be read when they are looked at."""

    def __getitem__(self, number: int) -> Account:
        raise Unreadable(LOST)

    def get(self, number: int, default: object = None) -> Account:  # type: ignore[override]
        """The same."""
        return self[number]


class Losing(Memory):
    """A book that cannot be read for a while, in one of the places where that shows."""

    def __init__(self) -> None:
        super().__init__()
        self.lost = ""

    def shelf(self) -> Shelf:
        """The batches, unless they cannot be read."""
        if self.lost == "shelf":
            raise Unreadable(LOST)
        shelf = super().shelf()
        if self.lost == "account":
            return Shelf(shelf.head, shelf.last, shelf.latest, shelf.titles, Unread())
        return shelf

    def append(self, line: str, day: datetime.date, events: Sequence[Event], after: int) -> Shelf:
        """Keeps the line, unless nothing can be read."""
        if self.lost == "append":
            raise Unreadable(LOST)
        return super().append(line, day, events, after)


@pytest.mark.parametrize("lost", ["shelf", "account", "append"])
def test_a_book_that_cannot_be_read_is_told_and_the_talk_goes_on(lost: str) -> None:
    """Questions are answered by the account as it was last seen, with a note; what would enter something is refused,
    and its undo too; when the book can be read again, undo takes back what was entered before, and nothing else."""
    keeper = Losing()
    session = Session(lambda: DAY, keeper)
    texts(session, *MASH, "pH 4.4 by meter")
    keeper.lost = lost
    replies = session.say("brine for 2 kg in a 5 L jar at 3%")[1]
    assert ("answer", ("note", LOST)) == (replies[0].kind, (replies[-1].kind, replies[-1].text))
    assert session.say("what's in it")[1][0].text[:11] == "Now 2.06 kg"
    for line in ("added 100 g of salt", "new batch of reds in a 5 L jar"):
        before = session.talk
        assert [("refuse", f"Nothing was entered. {LOST}")] == [(one.kind, one.text) for one in session.say(line)[1]]
        assert (before, before.wrote) == (session.talk, ())
    keeper.lost = ""
    assert ["Undone."] * 2 == texts(session, "undo", "undo")
    assert keeper.shelf().head == 5
    batch = keeper.shelf().batch(1)
    assert batch is not None
    assert ((), 0.06) == (batch.ph, pytest.approx(batch.holds.salt))


def test_a_line_is_refused_if_not_even_the_last_account_can_be_read() -> None:
    """With nothing to go by, a line about a batch is refused with the reason, help and goodbye still come, and nothing
    is raised."""
    keeper = Losing()
    session = Session(lambda: DAY, keeper)
    texts(session, *MASH)
    keeper.lost = "account"
    session.resume([])
    assert [LOST] == texts(session, "what's in it")
    assert ["refuse"] == [one.kind for one in session.say("added 100 g of salt")[1]]
    assert ["done"] == [one.kind for one in session.say("bye")[1]]
    assert session.say("help")[1][0].text == "Say it plainly, in any order. For example:"


def test_resuming_from_a_book_that_cannot_be_read_raises_nothing() -> None:
    """Lines whose account cannot be read are passed over."""
    keeper = Losing()
    keeper.lost = "shelf"
    session = Session(lambda: DAY, keeper)
    session.resume([("mash of 2 kg of chillies at 3%", DAY, 0)])
    assert 1 == len(session.talk.past)
    assert [] == list(Over({}, {}))


def test_the_helpers_talk_is_in_memory() -> None:
    """What the other tests talk to keeps its batches too, and no file."""
    session = talk()
    texts(session, *MASH)
    assert (3, True) == (session.book.shelf().head, isinstance(session.book, Memory))


def test_a_notice_does_not_hide_a_trouble(tmp_path: Path) -> None:
    """What opening found and what keeps it from being written are both told."""
    with Book.open(tmp_path / "a.book") as book:
        assert troubles(book) == ()
        book.notice = "Mended."
        with full(book):
            book.append("x" * 100_000, DAY, [], 0)
            assert troubles(book) == ("Mended.", FULL)
