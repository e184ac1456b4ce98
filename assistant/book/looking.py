"""A book looked over as it lies: nothing is mended, made or written."""

from __future__ import annotations

import contextlib
import sqlite3
from dataclasses import dataclass
from pathlib import Path

from assistant.book import disk, recover
from assistant.book.errors import BookError, damaged, why
from assistant.book.reading import head_of
from assistant.book.writing import rows_of


@dataclass(frozen=True)
class Looked:
    """What was found: how many events of how many batches, and a sentence for each thing that is wrong."""

    events: int = 0
    batches: int = 0
    troubles: tuple[str, ...] = ()


def look_over(path: Path) -> Looked:
    """Reads the whole file; a damaged one is mended when it is next opened, not here."""
    try:
        disk.look(path)
        # who has it open keeps a -wal beside it
        alone = not path.with_name(f"{path.name}-wal").exists()
        with contextlib.closing(disk.readable(path, 1.0, alone)) as db:
            rows = rows_of(db)
            batches = int(rows("SELECT count(DISTINCT batch) FROM events", ())[0][0])
            return Looked(head_of(rows), batches, tuple(recover.check(db)))
    except BookError as error:
        return Looked(troubles=(str(error),))
    except (sqlite3.Error, OSError) as error:
        mended = " It is mended, as far as it can be, when it is next opened." if damaged_file(error) else ""
        return Looked(troubles=(f"It cannot be read: {why(error)}.{mended}",))


def damaged_file(error: Exception) -> bool:
    """Whether the file itself is broken."""
    return isinstance(error, sqlite3.Error) and damaged(error)
