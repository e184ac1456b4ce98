"""Checkpoints and the reading of accounts: with them, without them, and past them it is the same batch."""

from __future__ import annotations

import datetime
from unittest import mock

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.batches import batch
from assistant.batches.batch import Point
from assistant.batches.events import Event, Redo, Remark, Undo
from assistant.batches.shelf import Shelf
from assistant.book.growing import Limits
from assistant.book.reading import shelf_of
from assistant.book.store import Book
from assistant.book.writing import CHECKPOINTS
from tests.book.pieces import DAY, alike, begin, course, folded, histories, looks, parted, put, read, remark


def checkpoints(book: Book, batch: int = 1) -> list[int]:
    """The numbers of the events after which checkpoints are kept."""
    return [seq for (seq,) in book._db.execute("SELECT seq FROM checkpoints WHERE batch = ? ORDER BY seq", (batch,))]


def unread(book: Book, keep: int) -> Shelf:
    """The shelf as another window would first see it."""
    return shelf_of(book, book.shelf().head, keep)


@given(
    events=histories(), cuts=st.lists(st.integers(1, 40), max_size=40), limits=st.builds(
        lambda keep, more: Limits(keep, keep + more), st.integers(1, 6), st.integers(0, 6)
    ), heads=st.sets(st.integers(0, 40), max_size=6),
)  # fmt: skip
@settings(max_examples=200)
def test_with_checkpoints_or_without_it_is_the_same_batch(
    events: list[Event], cuts: list[int], limits: Limits, heads: set[int]
) -> None:
    """Of any events, written in any groups, shelves of all times agree with and without checkpoints."""
    with Book.open(None, limits) as book:
        for group in parted(events, cuts):
            book.append("so", DAY, group, book.shelf().head)
        times = {len(events), *(one for one in heads if one < len(events))}
        truth = {head: alike(Shelf().with_events(events[:head])) for head in times}
        assert truth[len(events)] == alike(book.shelf())
        for head in sorted(truth):
            assert truth[head] == alike(book.shelf_at(head)) == alike(shelf_of(book, head, limits.keep))
        assert [] == book.check()
        near = unread(book, limits.keep)
        for number, account in near.accounts.items():
            assert len(account.tail) >= min(limits.keep, sum(1 for one in events if one.batch == number))
        book._db.execute("DELETE FROM checkpoints")
        for head, then in truth.items():
            assert then == alike(shelf_of(book, head, limits.keep))


def test_a_checkpoint_is_made_when_the_tail_is_long() -> None:
    """At 801 events the first 401 become a checkpoint, and the last 400 stay at hand; few checkpoints are kept."""
    with Book.open(None) as book:
        events = looks(800)
        book.append("so", DAY, events, 0)
        assert [] == checkpoints(book)
        shelf = put(book, read(4.0))
        assert [401] == checkpoints(book)
        for account in (shelf.accounts[1], unread(book, 400).accounts[1]):
            assert (401, 402, 801) == (account.upto, account.tail[0][0], account.tail[-1][0])
            assert folded(enumerate(events, 1), 1).remarks == account.now.remarks
        for one in range(5):
            book.append("so", DAY, [remark("more")] * 401, 801 + 401 * one)
        assert CHECKPOINTS == len(checkpoints(book))


def test_the_last_400_can_be_taken_back_at_once() -> None:
    """An undo of an event among the last 400 needs no more reading than the batch's own."""
    with Book.open(None) as book:
        book.append("so", DAY, looks(1200), 0)
        account = unread(book, 400).accounts[1]
        assert account.with_event(1201, Undo(1, DAY, "undo", (801,))).now.count == 1199
        assert account.upto > 0


@pytest.mark.parametrize("back", [1, 2, 3, 400, 401, 799, 801, 802, 1200])
def test_undo_and_redo_reach_behind_checkpoints(back: int) -> None:
    """However far back the event lies, undoing it and doing it again give what the events say, then and later."""
    events: list[Event] = looks(1200)
    with Book.open(None) as book:
        book.append("so", DAY, events, 0)
        for one in (Undo(1, DAY, "undo", (back,)), Redo(1, DAY, "redo", (back,)), Undo(1, DAY, "undo", (back, 1150))):
            events = [*events, one, *(remark(str(more)) for more in range(3))]
            shelf = put(book, *events[-4:])
            truth = folded(enumerate(events, 1), 1)
            assert truth == shelf.accounts[1].now == unread(book, 400).accounts[1].now
        # once it lies behind a later checkpoint, that one can be used
        events += [remark("more")] * 900
        book.append("so", DAY, events[-900:], len(events) - 900)
        account = unread(book, 400).accounts[1]
        assert folded(enumerate(events, 1), 1) == account.now
        assert len(events) - 900 <= account.upto


def test_undo_within_one_long_line_of_events() -> None:
    """Events written together may take back one of themselves that a checkpoint has passed already."""
    events: list[Event] = [*looks(1300), Undo(1, DAY, "undo", (700,)), read(3.9)]
    with Book.open(None) as book:
        shelf = book.append("so", DAY, events, 0)
        assert folded(enumerate(events, 1), 1) == shelf.accounts[1].now == unread(book, 400).accounts[1].now


@pytest.mark.parametrize("state", ["", "{}", "[]", "null", "{", '{"number": 1}', "[" * 5000])
def test_a_checkpoint_that_is_none_is_passed_over(state: str) -> None:
    """Checkpoints that cannot be read change nothing: an older one or the beginning is used."""
    with Book.open(None, Limits(3, 6)) as book:
        put(book, *course(20))
        before = alike(unread(book, 3))
        assert len(checkpoints(book)) > 1
        book._db.execute("UPDATE checkpoints SET state = ? WHERE seq = (SELECT max(seq) FROM checkpoints)", (state,))
        assert before == alike(unread(book, 3))
        book._db.execute("UPDATE checkpoints SET state = ?", (state,))
        assert before == alike(unread(book, 3))


def test_a_wrong_checkpoint_or_title_is_found_by_the_check() -> None:
    """The whole check compares what is worked out with the events."""
    with Book.open(None, Limits(3, 6)) as book:
        put(book, *looks(500), begin(2))
        book.append("so", DAY, [remark("more")] * 900, book.shelf().head)
        assert [] == book.check()
        book._db.execute("UPDATE titles SET name = 'Blue' WHERE number = 2")
        assert ["The title of batch 2 does not agree with its events."] == book.check()
        wrong = """UPDATE checkpoints SET state = json_set(state, '$.name', 'Blue')"""
        book._db.execute(wrong)
        assert "A checkpoint of batch 1 does not agree with its events." in book.check()
        book._db.execute("DELETE FROM titles WHERE number = 2")
        book._db.execute("INSERT INTO titles VALUES (7, 1, 1, '', '2026-03-02', 0, '[]')")
        assert "There is a title but no event of batch 7." in book.check()


def test_a_shelf_lists_what_a_mapping_lists() -> None:
    """Titles and accounts are mappings by batch number like any other: equal, listed and counted once."""
    with Book.open(None) as book:
        put(book, begin(3), begin(1), Remark(3, DAY, "white film", "white film"))
        shelf = unread(book, 400)
        plain = Shelf().with_events(event for _, event in book.events())
        assert dict(plain.titles) == dict(shelf.titles)
        assert {1, 3} == set(shelf.titles) == set(shelf.accounts)
        assert 2 == len(shelf.titles) == len(shelf.accounts)
        assert 2 not in shelf.titles and 2 not in shelf.accounts
        assert (3, 3) == (shelf.last, shelf.latest)
        assert [3, 1] == [one.number for one in shelf.recent]


@given(
    st.lists(st.tuples(st.integers(0, 3), st.integers(0, 12), st.sampled_from("abc"), st.integers(0, 5)), max_size=120)
)
def test_one_reading_more_is_as_all_of_them_anew(told: list[tuple[int, int, str, int]]) -> None:
    """A reading put at the end of a long course leaves what sorting and thinning the whole course would."""
    short: tuple[Point, ...] = ()
    whole: tuple[Point, ...] = ()
    with mock.patch.object(batch, "COURSE", 10):
        for at, (later, back, vessel, value) in enumerate(told):
            day = DAY + datetime.timedelta(days=at // 3 - (back if later == 0 else 0))
            point = Point(day, float(value), "meter", "", vessel)
            short, whole = batch._later(short, point), batch._course((*whole, point))
            assert whole == short
