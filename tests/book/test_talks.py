"""What was said: each chat a thread, said again from where it left off, and none mixed with another's."""

from __future__ import annotations

from contextlib import closing
from pathlib import Path

import pytest

from assistant.book.store import KEEP, Book
from tests.book.pieces import DAY, begin, put


def talk(book: Book, *lines: str) -> None:
    """Lines said, nothing else."""
    for one in lines:
        book.append(one, DAY, [], book.shelf().head)


def again(book: Book, fresh: bool = False) -> list[str]:
    """A new chat; the lines it begins from."""
    return [say for say, _, _ in book.start(fresh)]


def threads(book: Book) -> list[int]:
    """The threads that are written."""
    return [one for (one,) in book._db.execute("SELECT id FROM threads ORDER BY id")]


def test_a_chat_follows_the_last_one(tmp_path: Path) -> None:
    """Lines come back oldest first, over several chats and openings, each with the head it was said at."""
    path = tmp_path / "book.db"
    with Book.open(path) as book:
        assert [] == book.start(fresh=False)
        talk(book, "one")
        put(book, begin())
        talk(book, "two")
    with Book.open(path) as book:
        assert [("one", DAY, 0), ("begin batch 1", DAY, 0), ("two", DAY, 1)] == book.start(fresh=False)
        talk(book, "three")
    with Book.open(path) as book:
        assert ["one", "begin batch 1", "two", "three"] == again(book)


def test_a_fresh_chat_follows_nothing() -> None:
    """After a fresh start only its own lines come back, and the older ones are still in the book."""
    with Book.open(None) as book:
        talk(book, "one")
        assert [] == again(book, fresh=True)
        talk(book, "two")
        assert ["two"] == again(book)
        assert ["one", "two"] == [say for (say,) in book._db.execute("SELECT say FROM lines ORDER BY id")]


def test_opening_and_closing_leaves_no_trace() -> None:
    """A chat in which nothing is said is not in the book, and the next one follows the one before it."""
    with Book.open(None) as book:
        talk(book, "one")
        again(book)
        again(book, fresh=True)
        assert ["one"] == again(book)
        assert [1] == threads(book)


def test_windows_side_by_side_go_their_own_ways(tmp_path: Path) -> None:
    """Two chats follow the same one up to where they forked; a third follows the one written to last, alone."""
    path = tmp_path / "book.db"
    with Book.open(path) as one, Book.open(path) as other, Book.open(path) as third:
        talk(one, "before")
        assert ["before"] == again(other) == again(third)
        talk(other, "other 1")
        talk(one, "one more of before")
        talk(third, "third 1")
        talk(other, "other 2")
        assert ["before", "other 1", "other 2"] == again(one)
        talk(third, "third 2")
        assert ["before", "third 1", "third 2"] == again(one)


@pytest.mark.parametrize("each", [1, 7, KEEP, KEEP + 1])
def test_only_so_many_lines_are_said_again(each: int) -> None:
    """At most KEEP lines come back, the latest, from however many chats."""
    said = [str(one) for one in range(KEEP + 30)]
    with Book.open(None) as book:
        for start in range(0, len(said), each):
            again(book)
            talk(book, *said[start : start + each])
        assert said[-KEEP:] == again(book)


def test_a_chain_that_was_bent_into_a_ring_ends() -> None:
    """Threads that were made to follow each other by hand do not keep the program from starting."""
    with Book.open(None) as book:
        talk(book, "one")
        again(book)
        talk(book, "two")
        book._db.execute("DROP TRIGGER threads_stay")
        book._db.execute("UPDATE threads SET follows_thread = 2, follows_line = 2")
        assert ["two"] == again(book)


def test_an_append_before_any_start_is_a_thread_of_its_own(tmp_path: Path) -> None:
    """A program that only writes follows nobody."""
    path = tmp_path / "book.db"
    with closing(Book.open(path)) as book:
        talk(book, "one")
    with closing(Book.open(path)) as book:
        talk(book, "two")
        assert ["two"] == again(book)
