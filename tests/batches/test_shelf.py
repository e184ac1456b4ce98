"""All batches at one moment: what is on the shelf, in which order, and that it never changes."""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Mapping

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.batches import events as ev
from assistant.batches.batch import Account, opened
from assistant.batches.shelf import Over, Shelf, Title, title_of
from assistant.trade import mixture as mx

DAY = datetime.date(2026, 3, 2)


def begin(number: int, name: str = "", label: str = "jar") -> ev.Begin:
    """A batch begun in a 2 L jar."""
    return ev.Begin(number, DAY, "begin", name, ev.Place(label, "jar", 2.0))


def peppers(number: int, mass: float = 1.0, kind: str = "chilli") -> ev.Add:
    """Raw produce into what the batch is in."""
    return ev.Add(number, DAY, "in", "", kind, mx.produce(mass, kind), True, kind)


def test_an_empty_shelf_has_nothing() -> None:
    """No batch, no title, and nothing was written."""
    shelf = Shelf()
    assert (0, 0, 0, ()) == (shelf.head, shelf.last, shelf.latest, shelf.recent)
    assert shelf.batch(1) is None


def test_events_are_numbered_on_and_go_to_their_batch() -> None:
    """Numbers run through the whole book; each account has its own events under the book's numbers."""
    shelf = Shelf(head=40).with_events([begin(1), begin(2), peppers(1), peppers(2, 2.0), peppers(1, 3.0)])
    assert (45, 2, 1) == (shelf.head, shelf.last, shelf.latest)
    assert [41, 43, 45] == [seq for seq, _ in shelf.accounts[1].tail]
    assert [42, 44] == [seq for seq, _ in shelf.accounts[2].tail]
    one, two = shelf.batch(1), shelf.batch(2)
    assert one is not None and two is not None
    assert pytest.approx((4.0, 2.0)) == (one.holds.mass, two.holds.mass)


def test_no_events_change_nothing() -> None:
    """The shelf after nothing is the shelf."""
    shelf = Shelf().with_events([begin(1)])
    assert shelf is shelf.with_events([])


def test_one_by_one_is_all_at_once() -> None:
    """Events handed in together make the shelf that they make one after the other."""
    events = [
        begin(1, "red"),
        peppers(1),
        begin(2),
        ev.Undo(1, DAY, "undo", (2,)),
        peppers(2),
        ev.Call(1, DAY, "", "blue"),
    ]
    once, shelf = Shelf().with_events(events), Shelf()
    for event in events:
        shelf = shelf.with_events([event])
    assert (once.head, once.last, once.latest) == (shelf.head, shelf.last, shelf.latest)
    assert dict(once.accounts) == dict(shelf.accounts)
    assert dict(once.titles) == dict(shelf.titles)
    assert once.recent == shelf.recent


def test_the_batch_written_to_last_stands_first() -> None:
    """``recent`` goes by the number of each batch's latest event, whatever it was."""
    shelf = Shelf().with_events([begin(1), begin(2), begin(3), peppers(2), ev.Remark(1, DAY, "stirred", "stirred")])
    assert [1, 2, 3] == [one.number for one in shelf.recent]
    assert [5, 4, 3] == [one.touched for one in shelf.recent]


def test_a_title_says_what_a_batch_is_found_by() -> None:
    """Its name, day and state, its produce and the kind and name of each vessel."""
    events = [
        begin(1, "red", "blue jar"), peppers(1), peppers(1, 1.0, "mango"),
        ev.Move(1, DAY, "", "", ev.Place("big crock", "crock", 10.0)), ev.Close(1, DAY, "eaten"),
    ]  # fmt: skip
    shelf = Shelf().with_events(events)
    words = frozenset({"chilli", "mango", "jar", "blue jar", "crock", "big crock"})
    assert Title(1, "red", DAY, True, 5, words) == shelf.titles[1] == title_of(shelf.accounts[1].now, 5)


def test_a_batch_undone_from_its_start_does_not_show() -> None:
    """With its beginning taken back a batch is none and has no title; with it put again it is as it was."""
    shelf = Shelf().with_events([begin(1), peppers(1), begin(2), peppers(2)])
    gone = shelf.with_events([ev.Undo(2, DAY, "undo", (3, 4))])
    assert gone.batch(2) is None
    assert [1] == [one.number for one in gone.recent]
    assert (5, 2, 2) == (gone.head, gone.last, gone.latest)
    back = gone.with_events([ev.Redo(2, DAY, "redo", (3, 4))])
    assert shelf.batch(2) == back.batch(2)
    assert [2, 1] == [one.number for one in back.recent]


def test_only_the_beginning_undone_hides_what_followed() -> None:
    """Peppers that went into a vessel that never was are odd, and the batch does not show."""
    shelf = Shelf().with_events([begin(1), peppers(1), ev.Undo(1, DAY, "undo", (1,))])
    assert (None, ()) == (shelf.batch(1), shelf.recent)
    assert 1 == len(shelf.accounts[1].now.odd)


def test_a_number_is_not_given_twice() -> None:
    """``last`` stays at the highest number although that batch was undone."""
    shelf = Shelf().with_events([begin(7), ev.Undo(7, DAY, "undo", (1,)), begin(3)])
    assert (7, 3) == (shelf.last, shelf.latest)


def test_another_batchs_event_cannot_be_taken_back() -> None:
    """An undo takes back events of its own batch; of any other it is too far back, and the shelf stays."""
    shelf = Shelf().with_events([begin(1), begin(2)])
    kept = dict(shelf.accounts), dict(shelf.titles), shelf.head
    with pytest.raises(LookupError, match="too far back"):
        shelf.with_events([peppers(2), ev.Undo(2, DAY, "undo", (1,))])
    assert kept == (dict(shelf.accounts), dict(shelf.titles), shelf.head)


actions = st.one_of(
    st.builds(begin, st.integers(1, 3)),
    st.builds(peppers, st.integers(1, 3), st.floats(0.1, 5.0)),
    st.builds(lambda number: ev.Boil(number, DAY, "", "", 0.1), st.integers(1, 3)),
    st.builds(lambda number, name: ev.Call(number, DAY, "", name), st.integers(1, 3), st.text(max_size=3)),
)


@given(st.lists(actions, max_size=8), st.lists(actions, max_size=8))
def test_a_shelf_never_changes(first: list[ev.Event], second: list[ev.Event]) -> None:
    """Whatever is written after it, and twice, a shelf holds what it held."""
    shelf = Shelf().with_events(first)
    kept = (shelf.head, shelf.last, shelf.latest, dict(shelf.titles), dict(shelf.accounts), shelf.recent)
    one, two = shelf.with_events(second), shelf.with_events(second)
    assert kept == (shelf.head, shelf.last, shelf.latest, dict(shelf.titles), dict(shelf.accounts), shelf.recent)
    assert dict(one.accounts) == dict(two.accounts)
    assert len(first) + len(second) == one.head


@given(st.lists(actions, max_size=10))
def test_batches_do_not_touch_each_other(events: list[ev.Event]) -> None:
    """Each batch is what its own events make of it, whatever is written between them."""
    shelf = Shelf().with_events(events)
    for number, account in shelf.accounts.items():
        own = opened(number)
        for seq, event in enumerate(events, 1):
            if event.batch == number:
                own = own.with_event(seq, event)
        assert own == account
        assert own.tail[-1][0] == shelf.titles[number].touched


# a mapping over a mapping ----------------------------------------------------------------------

small = st.dictionaries(st.integers(0, 5), st.integers(), max_size=5)


@given(small, st.lists(small, max_size=4))
def test_a_mapping_over_another_is_both_together(below: dict[int, int], layers: list[dict[int, int]]) -> None:
    """In length, keys, members and values it is the plain dict that has the upper values over the lower."""
    over: Mapping[int, int] = below
    expected = dict(below)
    for layer in layers:
        over = Over(over, dict(layer))
        expected |= layer
    assert expected == dict(over)
    assert len(expected) == len(over)
    assert expected.keys() == set(over)
    for key in range(6):
        assert (key in expected) == (key in over)
        assert expected.get(key, -1) == over.get(key, -1)


@given(small, small, small)
def test_a_mapping_over_another_stays_as_it_is(below: dict[int, int], one: dict[int, int], two: dict[int, int]) -> None:
    """Another put over it changes neither it nor what is under it."""
    under, first = dict(below), Over(below, dict(one))
    before = dict(first)
    assert {**under, **one, **two} == dict(Over(first, dict(two)))
    assert (under, before) == (below, dict(first))


def test_what_is_under_a_mapping_is_not_there_by_another_number() -> None:
    """A number that neither has is a KeyError."""
    with pytest.raises(KeyError):
        Over({1: "a"}, {2: "b"})[3]


class Book(Mapping[int, Account]):
    """Accounts that say when they are read."""

    def __init__(self, accounts: dict[int, Account]) -> None:
        self.accounts = accounts
        self.read: list[int] = []

    def __getitem__(self, number: int) -> Account:
        self.read.append(number)
        return self.accounts[number]

    def __iter__(self) -> Iterator[int]:
        raise AssertionError("the whole book was gone through")

    def __len__(self) -> int:
        raise AssertionError("the whole book was counted")


def test_a_book_is_read_only_where_it_is_looked_at() -> None:
    """An event for one batch reads that batch and no other, once, and never goes through the book."""
    full = Shelf().with_events([begin(number) for number in range(1, 6)])
    book = Book(dict(full.accounts))
    shelf = Shelf(full.head, full.last, full.latest, full.titles, book)
    after = shelf.with_events([peppers(2), peppers(2), peppers(4)])
    assert [2, 4] == book.read
    batch = after.batch(2)
    assert batch is not None
    assert pytest.approx(2.0) == batch.holds.mass
    assert [2, 4] == book.read
