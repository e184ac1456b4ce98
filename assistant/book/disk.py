"""The file under the book: opened, looked at before it is touched, and let go of as it is."""

from __future__ import annotations

import contextlib
import os
import sqlite3
import sys
import urllib.parse
from collections.abc import Iterator
from pathlib import Path

from assistant.book import migrations
from assistant.book.errors import BookError
from assistant.book.reading import events_of, head_of
from assistant.book.talks import chain, newest
from assistant.book.writing import rows_of

TEXT = "{name} is a text, not a book of batches. Name another file, or move that one away."
OTHER = "{name} is a database of another program, not a book of batches. Name another file."
PAGE = 4096
"""Bytes in a page of the file."""


def connect(path: Path, query: str, patience: float) -> sqlite3.Connection:
    """A connection to a file; ``query`` is of SQLite's URI names, ``patience`` in s.

    Raises:
        sqlite3.Error: there is no getting at it.
    """
    name = urllib.parse.quote(os.fsencode(path.absolute()))
    return sqlite3.connect(f"file:{name}?{query}", uri=True, timeout=patience, isolation_level=None)


@contextlib.contextmanager
def gate(path: Path, alone: bool) -> Iterator[None]:
    """While a file is opened (by any number of windows) or, alone, put in the place of a damaged one.

    A window that opened the old file, and looked for its -wal only after it had been moved,
    would take the new one's for it.
    """
    with contextlib.ExitStack() as stack:
        # where a folder cannot be locked, nobody can move files either, or (Windows) not while they are open
        if sys.platform != "win32":
            import fcntl

            with contextlib.suppress(OSError):
                folder = os.open(path.parent, os.O_RDONLY)
                stack.callback(os.close, folder)
                fcntl.flock(folder, fcntl.LOCK_EX if alone else fcntl.LOCK_SH)
        yield


def look(path: Path) -> None:
    """Refuses a text, and a database that is not ours, or too new, without changing a byte of it or beside it.

    Raises:
        BookError: it is.
    """
    with contextlib.suppress(sqlite3.Error, OSError):
        if not path.stat().st_size:
            return
        if _is_text(path):
            raise BookError(TEXT.format(name=path.name))
        # immutable: no lock is taken, no -wal read and no -shm made; this is no verdict on what is damaged
        db = connect(path, "mode=ro&immutable=1", 0)
        with contextlib.closing(db):
            # so that even a file cut short says whose it is
            db.execute("PRAGMA writable_schema = ON")
            if db.execute("PRAGMA application_id").fetchone()[0] != migrations.APPLICATION:
                raise BookError(OTHER.format(name=path.name))
            if migrations.version_of(db) > len(migrations.MIGRATIONS):
                raise BookError(migrations.NEWER.format(name=path.name))


def _is_text(path: Path) -> bool:
    """Whether a file is somebody's text: no database, nor what is left of one, has a page without a zero byte."""
    with path.open("rb") as file:
        head = file.read(4096)
    return b"\0" not in head and all(one >= 32 or one in b"\t\n\r\f" for one in head)


def writable(path: Path, patience: float) -> sqlite3.Connection:
    """The book's file, made if there is none, with all its tables, and its latest event and lines read.

    Raises:
        BookError: it is of a newer version.
        sqlite3.Error: it cannot be written or is damaged; it was let go of as it is.
    """
    with gate(path, alone=False):
        db = connect(path, "mode=rwc", patience)
        try:
            _prepare(db)
            migrations.migrate(db, path.name)
            if db.execute("PRAGMA journal_mode").fetchone()[0] != "wal":
                db.execute("PRAGMA journal_mode = WAL")
            touch(db)
            _try_writing(db)
        except BaseException:
            let_go(db, path)
            raise
        return db


def _prepare(db: sqlite3.Connection) -> None:
    for setting in (
        f"page_size = {PAGE}", "foreign_keys = ON", "synchronous = FULL", "fullfsync = ON", "cell_size_check = ON",
    ):  # fmt: skip
        db.execute(f"PRAGMA {setting}")


def _try_writing(db: sqlite3.Connection) -> None:
    """Finds out whether the file may be written, which SQLite does not tell before.

    Raises:
        sqlite3.Error: it may not.
    """
    db.execute("BEGIN IMMEDIATE")
    try:
        db.execute(f"PRAGMA user_version = {migrations.version_of(db)}")
    finally:
        db.execute("ROLLBACK")


def touch(db: sqlite3.Connection) -> None:
    """The cheap check: whatever the size of the book, reads its latest event, title and lines.

    Raises:
        sqlite3.DatabaseError: one cannot be read.
    """
    rows = rows_of(db)
    head = head_of(rows)
    events_of(rows, head - 1, head)
    rows("SELECT * FROM titles ORDER BY number DESC LIMIT 1", ())
    chain(rows, newest(rows))


def readable(path: Path, patience: float, alone: bool = False) -> sqlite3.Connection:
    """The book's file for reading only; one of an older version as a copy in memory.

    Nothing is made beside it if nobody has it open (``alone``).

    Raises:
        BookError: it is of a newer version.
        sqlite3.Error: it cannot be read or is damaged.
    """
    try:
        db = connect(path, "mode=ro&immutable=1" if alone else "mode=ro", patience)
        version = _version_or_close(db)
    except sqlite3.OperationalError:
        wal = path.with_name(f"{path.name}-wal")
        if wal.exists() and wal.stat().st_size:
            raise
        # a folder that may only be read has no room for the -shm; without a -wal none is needed
        db = connect(path, "mode=ro&immutable=1", patience)
        version = _version_or_close(db)
    if version != len(migrations.MIGRATIONS):
        copy = memory(fill=db)
        db.close()
        return copy
    try:
        touch(db)
    except BaseException:
        db.close()
        raise
    return db


def _version_or_close(db: sqlite3.Connection) -> int:
    try:
        db.execute("SELECT count(*) FROM sqlite_master")
        return migrations.version_of(db)
    except BaseException:
        db.close()
        raise


def memory(fill: sqlite3.Connection | None = None) -> sqlite3.Connection:
    """A book in memory, with what another holds.

    Raises:
        BookError: the other is of a newer version.
    """
    db = sqlite3.connect(":memory:", isolation_level=None)
    try:
        if fill is not None:
            fill.backup(db)
        _prepare(db)
        migrations.migrate(db)
    except BaseException:
        db.close()
        raise
    return db


def let_go(db: sqlite3.Connection, path: Path) -> None:
    """Closes the file without writing its -wal back into it, so that a damaged one stays as it is."""
    guard = None
    with contextlib.suppress(sqlite3.Error):
        # SQLite writes back only when the last connection closes, and one that may only read cannot
        guard = connect(path, "mode=ro", 0)
        guard.execute("PRAGMA writable_schema = ON")
        migrations.version_of(guard)
    db.close()
    if guard is not None:
        guard.close()
