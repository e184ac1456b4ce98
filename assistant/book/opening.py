"""The book opened, come what may: mended if it is damaged, else for reading only, else in memory."""

from __future__ import annotations

import contextlib
import sqlite3
from dataclasses import dataclass
from pathlib import Path

from assistant.book import disk, recover
from assistant.book.errors import NOT_KEPT, damaged, unwritten, why


@dataclass(frozen=True)
class Opened:
    """A book that can be used.

    ``trouble`` says why what is said is not kept ("" if it is), ``notice`` what was done to a
    damaged file; ``writable`` is False where the file may only be read.
    """

    db: sqlite3.Connection
    trouble: str = ""
    notice: str = ""
    writable: bool = True


def open_book(path: Path | None, patience: float) -> Opened:
    """The book in a file, or (None) in memory; ``patience`` in s is for others to finish writing.

    Raises:
        BookError: the file is of another program, or of a newer version of this one.
    """
    if path is None:
        return Opened(disk.memory())
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        recover.finish(path)
    except OSError as error:
        return Opened(disk.memory(), unwritten(error))
    disk.look(path)
    try:
        return Opened(disk.writable(path, patience))
    except sqlite3.Error as error:
        if damaged(error):
            return mend(path, patience)
        trouble = unwritten(error)
    try:
        return Opened(disk.readable(path, patience), trouble, writable=False)
    except sqlite3.Error as error:
        return _in_memory(path, trouble) if damaged(error) else Opened(disk.memory(), trouble)


def mend(path: Path, patience: float) -> Opened:
    """The book in a file that could not be read, with all that can be: nobody here has it open.

    A file that turns out to be sound (another window has mended it, say) is opened as it is.
    """
    notice = ""
    try:
        with disk.gate(path, alone=True):
            if not recover.is_sound(path):
                found, aside = recover.replace_file(path)
                notice = f"The book was damaged. {found.sentence} The damaged file is kept as {aside.name}."
        return Opened(disk.writable(path, patience), notice=notice)
    except BlockingIOError:
        return _in_memory(path, "another window has it open. Close all windows and start again.")
    except (OSError, sqlite3.Error) as error:
        return _in_memory(path, f"{why(error)}.")


def _in_memory(path: Path, reason: str) -> Opened:
    """All that can be read of a damaged file, in memory; the file stays as it is."""
    found = recover.Salvage()
    with contextlib.suppress(OSError):
        found = recover.content(path)
    db = disk.memory()
    recover.fill(db, found)
    return Opened(db, f"The book is damaged and cannot be mended: {reason} {found.sentence} {NOT_KEPT}")
