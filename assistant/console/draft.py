"""The half-typed line, kept in a small file beside the book while it is typed, so that it outlives a kill.

The file is locked by the window that types. The lock goes with the process however it ends, so a file that can be
locked and is not empty is a line that nobody is typing any more: the next window takes it up. Where files cannot be
locked (no fcntl) or not written, no draft is kept.
"""

from __future__ import annotations

import contextlib
import os
from pathlib import Path

try:
    import fcntl
except ImportError:  # pragma: no cover - only where there is no POSIX
    fcntl = None  # type: ignore[assignment]

MOST = 16
"""Windows over one book whose drafts are kept."""
_END = b"\0"


class Draft:
    """The draft of one window."""

    def __init__(self, book: Path) -> None:
        self._file = -1
        self._path: Path | None = None
        self.left: tuple[str, ...] = ()
        """Lines that windows left behind half typed, the latest first."""
        if fcntl is None:
            return
        found: list[tuple[float, str]] = []
        for at in range(1, MOST + 1):
            path = book.with_name(f"{book.name}.draft-{at}")
            if self._file >= 0 and not path.exists():
                continue
            file = _locked(path)
            if file < 0:
                continue
            if text := _text(file):
                found.append((os.fstat(file).st_mtime, text))
            if self._file < 0:
                self._file, self._path = file, path
            else:
                _gone(file, path)
        self.left = tuple(text for _, text in sorted(found, reverse=True))
        self.keep(self.left[0] if self.left else "")

    def keep(self, text: str) -> None:
        """Keeps this text in the place of the last one."""
        if self._file < 0:
            return
        data = text.replace("\0", "").encode("utf-8", "replace") + _END
        with contextlib.suppress(OSError):
            # one write: a kill leaves the old text or the new one, whose end is marked
            os.pwrite(self._file, data, 0)
            os.ftruncate(self._file, len(data))

    def close(self) -> None:
        """The talk ends: nothing is half typed."""
        if self._file >= 0 and self._path is not None:
            _gone(self._file, self._path)
        self._file = -1


def _locked(path: Path) -> int:
    """The file, made if there is none and locked; -1 if another window has it, or it cannot be."""
    with contextlib.suppress(OSError):
        file = os.open(path, os.O_RDWR | os.O_CREAT, 0o600)
        try:
            fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
            if os.fstat(file).st_ino == path.stat().st_ino:
                return file
        except OSError:
            pass
        os.close(file)
    return -1


def _text(file: int) -> str:
    with contextlib.suppress(OSError):
        return os.pread(file, os.fstat(file).st_size, 0).split(_END)[0].decode("utf-8", "replace")
    return ""


def _gone(file: int, path: Path) -> None:
    with contextlib.suppress(OSError):
        path.unlink()
    os.close(file)
