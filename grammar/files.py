"""Reads what stands beside the modules of a room: texts, and tables in TOML.

To parse the vocabulary takes longer than to answer, so a parsed table is kept where the console says (``keep``), as
JSON with the check sums of its source and of itself. What does not fit them is parsed anew: a table mended, a file cut
short or written over changes no word.
"""

from __future__ import annotations

import json
import pkgutil
import zlib
from typing import Any, Protocol, cast


class Keeper(Protocol):
    """Keeps texts by name from one start to the next, or nothing at all; it raises nothing."""

    def get(self, name: str) -> str:
        """What is kept under the name, "" if nothing is."""

    def put(self, name: str, text: str) -> None:
        """Keeps a text."""


_keeper: Keeper | None = None


def keep(keeper: Keeper | None) -> None:
    """Names the keeper; call it before the first line is read."""
    global _keeper  # noqa: PLW0603 - a setting of the process, handed in by the console
    _keeper = keeper


def text(room: str, name: str) -> str:
    """The text of a file of a package, UTF-8; its lines end in a line feed, however the file was copied.

    ``importlib.resources`` does the same and loads a dozen modules for folders and archives that are not needed here.
    """
    data = pkgutil.get_data(room, name)
    if data is None:
        raise FileNotFoundError(f"{name} of {room}")
    return data.decode("utf-8").replace("\r\n", "\n")


def table(room: str, name: str) -> dict[str, Any]:
    """A TOML file of a package, parsed; it holds no dates, which JSON has not.

    Raises:
        tomllib.TOMLDecodeError: it is no TOML.
    """
    source = text(room, name)
    if _keeper is None:
        return _parsed(source)
    kept_as = f"{room}.{name}.json"
    sums, _, body = _keeper.get(kept_as).partition("\n")
    if sums == f"{_sum(source)} {_sum(body)}":
        return cast("dict[str, Any]", json.loads(body))
    found = _parsed(source)
    body = json.dumps(found, ensure_ascii=False)
    _keeper.put(kept_as, f"{_sum(source)} {_sum(body)}\n{body}")
    return found


def _parsed(source: str) -> dict[str, Any]:
    import tomllib  # here, because a kept table needs it not

    return tomllib.loads(source)


def _sum(text: str) -> str:
    return f"{zlib.crc32(text.encode('utf-8', 'replace')):08x}"
