"""What can go wrong with the book, as sentences for the person who keeps it."""

from __future__ import annotations

import sqlite3

from assistant.batches.shelf import Moved, Unreadable

__all__ = ["APART", "BookError", "BookTrouble", "Damaged", "Moved", "damaged", "unread", "unwritten", "why"]

_WHY = {
    sqlite3.SQLITE_FULL: "the disk is full",
    sqlite3.SQLITE_READONLY: "its file or folder may only be read",
    sqlite3.SQLITE_PERM: "its file or folder may only be read",
    sqlite3.SQLITE_BUSY: "another program is holding it",
    sqlite3.SQLITE_LOCKED: "another program is holding it",
    sqlite3.SQLITE_IOERR: "the disk reports an error",
    sqlite3.SQLITE_CANTOPEN: "its file cannot be opened",
    sqlite3.SQLITE_CORRUPT: "its file is damaged",
    sqlite3.SQLITE_NOTADB: "its file is damaged",
}

NOT_KEPT = "What is said now is not kept."

APART = (
    "Another window has written to the book meanwhile, so what was said here since it could not be written is not "
    "kept. Start again to go on from the book as it is."
)


class BookError(Exception):
    """The file is not one that this program may open; the message is a sentence."""


class BookTrouble(BookError, Unreadable):
    """The book cannot be read just now; the message is a sentence."""


class Damaged(sqlite3.DatabaseError):
    """A row that holds no event or no line, though SQLite could read it."""


def damaged(error: sqlite3.Error) -> bool:
    """Whether the file itself is broken, and not just out of reach."""
    code = getattr(error, "sqlite_errorcode", None)
    if code is None:
        # text that is not UTF-8 comes without a code
        return isinstance(error, Damaged) or "decode" in str(error)
    return code & 0xFF in (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB) or str(error).startswith("no such")


def why(error: Exception) -> str:
    """The reason in a few words."""
    code = getattr(error, "sqlite_errorcode", None)
    if code is not None and code & 0xFF in _WHY:
        # the -shm could not be made as long as it must be
        return _WHY[sqlite3.SQLITE_FULL if code == sqlite3.SQLITE_IOERR_SHMSIZE else code & 0xFF]
    return str(getattr(error, "strerror", None) or error)


def unwritten(error: Exception) -> str:
    """The sentence for a book that cannot be written."""
    return f"The book cannot be written: {why(error)}. {NOT_KEPT}"


def unread(error: Exception) -> str:
    """The sentence for a book that cannot be read."""
    return f"The book cannot be read: {why(error)}. Close other programs that use it and start again."
