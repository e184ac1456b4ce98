"""Rows read from the bytes of a file: the same that SQLite reads, without any index or inner page."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.book.pages import Row, pages_of

_columns = st.tuples(
    st.none(), st.integers(-(2**63), 2**63 - 1), st.floats(allow_nan=False), st.text(max_size=9), st.binary(max_size=9),
    st.integers(0, 1) | st.none() | st.integers(-300, 70000),
    st.integers(0, 12000).map(lambda length: "abc€"[length % 4] * length),
)  # fmt: skip


def filled(path: Path, rows: Iterable[tuple[Any, ...]], *, size: int = 4096, log: bool = False) -> tuple[bytes, bytes]:
    """The bytes of a file with these rows, and of its -wal."""
    with closing(sqlite3.connect(path, isolation_level=None)) as db:
        db.execute(f"PRAGMA page_size = {size}")
        db.execute(f"PRAGMA journal_mode = {'wal' if log else 'off'}")
        db.execute("PRAGMA wal_autocheckpoint = 0")
        db.execute("CREATE TABLE t(id INTEGER PRIMARY KEY, a, b, c, d, e, f)")
        for one in rows:
            db.execute("INSERT INTO t VALUES (?, ?, ?, ?, ?, ?, ?)", one)
        wal = path.with_name(f"{path.name}-wal")
        return path.read_bytes(), wal.read_bytes() if wal.exists() else b""


def found(rows: Iterable[Row]) -> dict[int, tuple[Any, ...]]:
    """Rows of seven columns by number."""
    return {number: columns for number, columns in rows if len(columns) == 7}


@given(rows=st.lists(_columns, max_size=12), size=st.sampled_from((512, 4096, 65536)), log=st.booleans())
@settings(max_examples=60)
def test_every_row_of_a_sound_file_is_read(
    rows: list[tuple[Any, ...]], size: int, log: bool, tmp_path_factory: pytest.TempPathFactory
) -> None:
    """All types of column, long rows over several pages, any page size, in the file or still in its -wal."""
    main, wal = filled(tmp_path_factory.mktemp("pages") / "rows.db", rows, size=size, log=log)
    assert dict(enumerate(rows, 1)) == found(pages_of(main, wal).rows())


def test_rows_that_were_never_committed_are_not_read(tmp_path: Path) -> None:
    """What a program wrote to the -wal and took back, or did not finish, is no row."""
    path = tmp_path / "rows.db"
    filled(path, [(None, 1, 1, 1, 1, 1, 1)], log=True)
    with closing(sqlite3.connect(path, isolation_level=None)) as db:
        db.execute("PRAGMA cache_size = 5")
        db.execute("BEGIN")
        for one in range(2000):
            db.execute("INSERT INTO t VALUES (NULL, ?, 1, 1, 1, 1, ?)", (one, "x" * 100))
        wal = path.with_name("rows.db-wal").read_bytes()
        assert len(wal) > 100_000
        assert [1] == list(found(pages_of(path.read_bytes(), wal).rows()))


def test_a_leftover_of_an_earlier_log_is_not_taken_for_this_one(tmp_path: Path) -> None:
    """A -wal that was begun anew holds frames of before behind the new ones: they count for nothing."""
    path = tmp_path / "rows.db"
    with closing(sqlite3.connect(path, isolation_level=None)) as db:
        db.execute("PRAGMA journal_mode = wal")
        db.execute("CREATE TABLE t(id INTEGER PRIMARY KEY, a, b, c, d, e, f)")
        db.executemany("INSERT INTO t VALUES (?, 1, 1, 1, 1, 1, 'old')", [(one,) for one in range(1, 400)])
        db.execute("UPDATE t SET f = 'older' WHERE id = 1")
        db.execute("PRAGMA wal_checkpoint")
        db.execute("DELETE FROM t WHERE id > 1")
        db.execute("UPDATE t SET f = 'new'")
        wal = path.with_name("rows.db-wal").read_bytes()
        pages = pages_of(b"", wal)
    assert {1: (None, 1, 1, 1, 1, 1, "new")} == {k: v for k, v in found(pages.rows()).items() if v[6] == "new"}
    assert len(pages.every) < len(wal) // 4120


def test_a_row_longer_than_the_file_is_none() -> None:
    """A chain of overflow pages that bites its tail is not followed for ever: no row is longer than its file."""

    def varint(number: int) -> bytes:
        return bytes((number >> 14 | 0x80, number >> 7 & 0x7F | 0x80, number & 0x7F))

    for blob, rows in ((100_000, []), (5000, [5])):
        record = b"\x04" + varint(12 + 2 * blob)
        length = len(record) + blob
        least = 4084 * 32 // 255 - 23
        here = least + (length - least) % 4092
        here = here if here <= 4061 else least
        cell = varint(length) + b"\x05" + record + bytes(here - len(record)) + (2).to_bytes(4, "big")
        leaf = b"\x0d\0\0\0\x01\0\0\0" + (4096 - len(cell)).to_bytes(2, "big")
        main = bytes(4096) + (2).to_bytes(4, "big") + bytes(4092) + leaf + bytes(4086 - len(cell)) + cell
        assert rows == [number for number, _ in pages_of(main, b"").rows()]


@given(data=st.binary(max_size=3000), at=st.integers(0, 60_000), wal=st.binary(max_size=200))
@settings(max_examples=100)
def test_any_bytes_are_read_without_a_fault(
    data: bytes, at: int, wal: bytes, tmp_path_factory: pytest.TempPathFactory
) -> None:
    """Whatever is written over a file, reading it ends, and gives rows where there still are some."""
    global _SOUND
    if not _SOUND:
        rows = [(None, one, 0.5, "so", b"", None, "y" * (one * 50)) for one in range(200)]
        _SOUND, _ = filled(tmp_path_factory.mktemp("pages") / "rows.db", rows)
    main = _SOUND[:at] + data + _SOUND[at + len(data) :]
    assert len(found(pages_of(main, wal).rows())) > 50
    assert [] == list(pages_of(data, data).rows()) or data


_SOUND = b""
