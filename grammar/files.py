"""Reads a text that stands beside the modules of a room."""

from __future__ import annotations

import pkgutil


def text(room: str, name: str) -> str:
    """The text of a file of a package, UTF-8; its lines end in a line feed, however the file was copied.

    ``importlib.resources`` does the same and loads a dozen modules for folders and archives that are not needed here.
    """
    data = pkgutil.get_data(room, name)
    if data is None:
        raise FileNotFoundError(f"{name} of {room}")
    return data.decode("utf-8").replace("\r\n", "\n")
