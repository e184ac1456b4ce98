"""The said lines on disk, so that a talk survives the program being killed.

The turn is a pure function, so the lines are the talk: saying them again rebuilds it.
"""

from __future__ import annotations

import contextlib
import datetime
import json
import os
from pathlib import Path
from typing import BinaryIO

KEEP = 500
"""Lines that are said again at the start; older ones are dropped then."""


class FileJournal:
    """Lines of JSON in one file, each on disk before the answer is shown."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self.trouble = ""

    def add(self, say: str, today: datetime.date) -> None:
        """Appends one line. A full or read-only disk is remembered in ``trouble``."""
        entry = json.dumps({"today": today.isoformat(), "say": say}, ensure_ascii=False)
        try:
            self.path.parent.mkdir(parents=True, exist_ok=True)
            with self.path.open("a+b") as file:
                if file.tell() and not self._ended(file):
                    entry = f"\n{entry}"  # the last line was torn: it must not take this one with it
                file.write(f"{entry}\n".encode("utf-8", "replace"))
                file.flush()
                os.fsync(file.fileno())
        except OSError as error:
            self.trouble = f"This talk is not being kept: {error.strerror or error}."

    @staticmethod
    def _ended(file: BinaryIO) -> bool:
        """Whether the file ends with a line that was written whole."""
        file.seek(-1, os.SEEK_END)
        return file.read(1) == b"\n"

    def said(self) -> list[tuple[str, datetime.date]]:
        """The kept lines, the last KEEP of them; lines that cannot be read are passed over."""
        try:
            raw = self.path.read_bytes()
        except OSError:
            return []
        found: list[tuple[str, datetime.date]] = []
        for row in raw.decode("utf-8", "replace").split("\n"):  # not splitlines: people paste U+2028
            try:
                entry = json.loads(row)
                say, today = entry["say"], datetime.date.fromisoformat(entry["today"])
            except (ValueError, KeyError, TypeError, RecursionError):
                continue
            if isinstance(say, str):
                found.append((say, today))
        return found[-KEEP:]

    def clear(self) -> None:
        """Starts a new talk; the old lines stay beside it until the next one ends."""
        with contextlib.suppress(OSError):
            self.path.replace(self.path.with_suffix(".before"))
