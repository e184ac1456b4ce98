"""The said lines on disk, so that a talk survives the program being killed.

The turn is a pure function, so the lines are the talk: saying them again rebuilds it.
"""

from __future__ import annotations

import datetime
import json
import os
from pathlib import Path

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
            with self.path.open("ab") as file:
                file.write(f"{entry}\n".encode("utf-8", "surrogateescape"))
                file.flush()
                os.fsync(file.fileno())
        except OSError as error:
            self.trouble = f"This talk is not being kept: {error.strerror or error}."

    def said(self) -> list[tuple[str, datetime.date]]:
        """The kept lines, the last KEEP of them; lines that cannot be read are passed over."""
        try:
            raw = self.path.read_bytes()
        except OSError:
            return []
        found: list[tuple[str, datetime.date]] = []
        for row in raw.decode("utf-8", "replace").splitlines():
            try:
                entry = json.loads(row)
                found.append((str(entry["say"]), datetime.date.fromisoformat(entry["today"])))
            except (ValueError, KeyError, TypeError):
                continue
        return found[-KEEP:]

    def clear(self) -> None:
        """Starts a new talk; the old lines stay beside it until the next one ends."""
        try:
            os.replace(self.path, self.path.with_suffix(".before"))
        except OSError:
            pass
