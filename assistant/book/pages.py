"""Rows read straight from the pages of a damaged SQLite file, past every index and inner page.

Each leaf page of a table holds its rows whole (the rest of a long one in a chain of overflow
pages), so rows can be read from every page that is left, wherever the tree above it is broken.
The -wal holds newer copies of pages. As our rows are only ever added and never changed, a row
is right in whichever copy it is read. File format: https://www.sqlite.org/fileformat2.html
"""

from __future__ import annotations

import struct
from collections.abc import Iterator
from dataclasses import dataclass, field

from assistant.book.disk import PAGE

Value = int | float | str | bytes | None
Row = tuple[int, tuple[Value, ...]]
"""A row's number and its columns; that which is the row's number itself reads as None."""

MAGIC = b"SQLite format 3\0"
_LEAF = 0x0D
_BROKEN = (IndexError, ValueError, struct.error)
_INTEGERS = {1: 1, 2: 2, 3: 3, 4: 4, 5: 6, 6: 8}
"""Bytes of an integer by its serial type."""


@dataclass(frozen=True)
class Pages:
    """All pages that can be found: the latest copy of each by number, and every copy."""

    size: int
    latest: dict[int, bytes] = field(default_factory=dict)
    every: list[tuple[int, bytes]] = field(default_factory=list)

    def rows(self) -> Iterator[Row]:
        """Every row of every table that can be read, some of them more than once."""
        for number, page in self.every:
            start = 100 if number == 1 else 0
            if len(page) < start + 8 or page[start] != _LEAF:
                continue
            for at in range(start + 8, start + 8 + 2 * int.from_bytes(page[start + 3 : start + 5], "big"), 2):
                try:
                    yield self._cell(page, int.from_bytes(page[at : at + 2], "big"))
                except _BROKEN:
                    continue

    def _cell(self, page: bytes, at: int) -> Row:
        """One row.

        Raises:
            IndexError, ValueError, struct.error: there is none.
        """
        length, at = _varint(page, at)
        number, at = _varint(page, at)
        most, least = self.size - 35, (self.size - 12) * 32 // 255 - 23
        if length > self.size * len(self.latest):
            raise ValueError("longer than the file")
        here = length
        if length > most:
            here = least + (length - least) % (self.size - 4)
            here = here if here <= most else least
        body = page[at : at + here]
        if length > most:
            body = self._overflow(body, int.from_bytes(page[at + here : at + here + 4], "big"), length)
        if len(body) != length:
            raise ValueError("cut short")
        return number, tuple(_record(body))

    def _overflow(self, body: bytes, following: int, length: int) -> bytes:
        parts, got = [body], len(body)
        while got < length and following in self.latest:
            page = self.latest[following]
            parts.append(page[4 : 4 + length - got])
            got += len(parts[-1])
            following = int.from_bytes(page[:4], "big")
            if not parts[-1]:
                break
        return b"".join(parts)


def pages_of(main: bytes, wal: bytes) -> Pages:
    """The pages of a file and its -wal, whatever is left of them."""
    size = int.from_bytes(main[16:18], "big") if main[:16] == MAGIC else PAGE
    size = 65536 if size == 1 else size
    if size < 512 or size & (size - 1):
        size = PAGE
    found = Pages(size)
    for at in range(0, len(main), size):
        _keep(found, at // size + 1, main[at : at + size])
    frame = 24 + size
    salts = wal[16:24] if wal[:3] == b"\x37\x7f\x06" else wal[32 + 8 : 32 + 16]
    waiting: list[tuple[int, bytes]] = []
    for at in range(32, len(wal) - frame + 1, frame):
        # a frame with other salts is left over from before; what follows the last commit never counted
        if wal[at + 8 : at + 16] != salts:
            continue
        waiting.append((int.from_bytes(wal[at : at + 4], "big"), wal[at + 24 : at + frame]))
        if wal[at + 4 : at + 8] != b"\0\0\0\0":
            for number, page in waiting:
                _keep(found, number, page)
            waiting.clear()
    return found


def _keep(found: Pages, number: int, page: bytes) -> None:
    found.latest[number] = page
    found.every.append((number, page))


def _varint(data: bytes, at: int) -> tuple[int, int]:
    """A number of up to nine bytes, and where it ends."""
    value = 0
    for _ in range(8):
        byte = data[at]
        at += 1
        value = value << 7 | byte & 0x7F
        if byte < 0x80:
            return value, at
    return value << 8 | data[at], at + 1


def _record(body: bytes) -> Iterator[Value]:
    """The columns of a row."""
    end, at = _varint(body, 0)
    where = end
    while at < end:
        kind, at = _varint(body, at)
        if kind in _INTEGERS:
            size = _INTEGERS[kind]
            value: Value = int.from_bytes(body[where : where + size], "big", signed=True)
        elif kind == 7:
            size = 8
            value = struct.unpack(">d", body[where : where + 8])[0]
        elif kind in (0, 8, 9):
            size, value = 0, {0: None, 8: 0, 9: 1}[kind]
        elif kind >= 12:
            size = (kind - 12) // 2
            raw = body[where : where + size]
            value = raw.decode() if kind % 2 else raw
        else:
            raise ValueError("no such type")
        where += size
        if where > len(body):
            raise ValueError("cut short")
        yield value
