"""Files in and out: events as JSON Lines, readings as CSV.

What is read in is taken whole or not at all. Numbers of events and batches hold within one
file; read into a book, they are counted on from what it has.
"""

from __future__ import annotations

import csv
import dataclasses
import datetime
import io
import json
import re
from collections.abc import Iterable, Iterator
from typing import Any

from assistant.batches.batch import Batch, Point
from assistant.batches.events import Event, EventError, Pour, Read, Receive, Redo, Undo, from_json, to_json
from assistant.batches.shelf import Shelf
from assistant.book.reading import Numbered
from grammar.later import regex

FORMAT = "crockside-events"
VERSION = 1

COLUMNS = ("date", "batch", "vessel", "of", "value", "unit", "method", "calibrated", "error")
UNITS = {"ph": "pH", "temperature": "C"}
"""The unit of each kind of reading."""

_NUMBER = regex(r"[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?", re.ASCII)


class ImportFault(Exception):
    """A file that cannot be read in; ``line`` counts from 1, ``reason`` says what is wrong there."""

    def __init__(self, line: int, reason: str) -> None:
        super().__init__(f"Line {line}: {reason}. Nothing was read in.")
        self.line, self.reason = line, reason


def export_events(events: Iterable[Numbered]) -> Iterator[str]:
    """Lines of JSON without their ends: a header, then one for each event, with its number as ``seq``."""
    yield json.dumps({"format": FORMAT, "version": VERSION})
    for seq, event in events:
        yield json.dumps({"seq": seq, **to_json(event)})


def import_events(lines: Iterable[str], shelf: Shelf) -> list[Event]:
    """The events of a file, to be appended to a shelf as they are.

    Their batches are numbered on from ``shelf.last`` in their own order, and what they say of
    other events and batches of the file is renumbered with them.

    Raises:
        ImportFault: a line is no event, out of order, or speaks of an event or batch that is not there.
    """
    found: list[tuple[int, int, Event]] = []
    number = 0
    for number, line in enumerate(lines, 1):
        data = _object(number, line)
        if number == 1:
            _header(data)
            continue
        seq = data.pop("seq", None)
        if type(seq) is not int or seq <= (found[-1][1] if found else 0):
            raise ImportFault(number, "seq is not a whole number above the one before")
        try:
            found.append((number, seq, from_json(data)))
        except (EventError, OverflowError) as error:
            raise ImportFault(number, str(error)) from error
    if not number:
        raise ImportFault(1, "the file is empty")
    batches = {one: shelf.last + at for at, one in enumerate(sorted({one.batch for _, _, one in found}), 1)}
    events: list[Event] = []
    owners: dict[int, tuple[int, int]] = {}
    for number, seq, event in found:
        events.append(_renumbered(number, event, batches, owners))
        owners[seq] = (shelf.head + len(events), event.batch)
    return events


def _object(number: int, line: str) -> dict[str, Any]:
    try:
        data = json.loads(line)
    except (ValueError, RecursionError) as error:
        raise ImportFault(number, "it is not JSON") from error
    if not isinstance(data, dict):
        raise ImportFault(number, "it is not a JSON object")
    return data


def _header(data: dict[str, Any]) -> None:
    if data.get("format") != FORMAT:
        raise ImportFault(1, f'the file does not begin with {{"format": "{FORMAT}", "version": {VERSION}}}')
    if type(data.get("version")) is not int or data["version"] != VERSION:
        raise ImportFault(1, f"version {data.get('version')} of the format is not known here, only {VERSION}")


def _renumbered(number: int, event: Event, batches: dict[int, int], owners: dict[int, tuple[int, int]]) -> Event:
    """The event with the numbers that it and what it speaks of will have."""
    changed: dict[str, Any] = {"batch": batches[event.batch]}
    for name in ("into", "source") if isinstance(event, Pour | Receive) else ():
        other = getattr(event, name, None)
        if other is not None:
            if other not in batches:
                raise ImportFault(number, f"batch {other} is not in this file")
            changed[name] = batches[other]
    if isinstance(event, Undo | Redo):
        for one in event.of:
            if owners.get(one, (0, 0))[1] != event.batch:
                raise ImportFault(number, f"no event {one} of batch {event.batch} comes before it in this file")
        changed["of"] = tuple(owners[one][0] for one in event.of)
    return dataclasses.replace(event, **changed)


def export_readings(batch: Batch) -> str:
    """A batch's readings as CSV, by day; pH as it is, temperatures in degrees C."""
    text = io.StringIO(newline="")
    # "\r\n" (RFC 4180), so that a vessel's name with either in it is put in quotes
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow(COLUMNS)
    points = [("ph", one) for one in batch.ph] + [("temperature", one) for one in batch.warmth]
    for of, one in sorted(points, key=lambda each: each[1].day):
        writer.writerow(_row(batch.number, of, one))
    return text.getvalue()


def _row(batch: int, of: str, one: Point) -> tuple[object, ...]:
    return (one.day.isoformat(), batch, one.vessel, of, repr(one.value), UNITS[of], one.method, one.calibrated,
            repr(one.error) if one.error else "")  # fmt: skip


def import_readings(text: str, shelf: Shelf, batch_number: int) -> list[Read]:
    """Readings for a batch of the shelf from CSV with COLUMNS; the batch's number in the file does not matter.

    Raises:
        ImportFault: a row is no reading, or of another batch than the one before, or of a vessel
            that the batch never had.
    """
    batch = shelf.batch(batch_number)
    if batch is None:
        raise ImportFault(1, f"there is no batch {batch_number} to put it in")
    # a vessel may be gone because its filling was undone; its readings stay
    vessels = {"", *(one.label for one in batch.vessels), *(one.vessel for one in (*batch.ph, *batch.warmth))}
    rows = csv.reader(io.StringIO(text.removeprefix("\ufeff"), newline=""), strict=True)
    found: list[Read] = []
    first = ""
    line, columns = 1, len(COLUMNS)
    try:
        for row in rows:
            if line == 1:
                columns = len(row)
                if tuple(row) not in (COLUMNS, COLUMNS[:-1]):  # files of before have no error
                    raise ImportFault(1, f"the columns are not {','.join(COLUMNS)}")
            else:
                read = _reading(line, row, batch_number, columns)
                first = first or row[1]
                if row[1] != first:
                    raise ImportFault(line, f"it is of batch {row[1]}, and those before are of batch {first}")
                if read.vessel not in vessels:
                    raise ImportFault(line, f"batch {batch_number} has no vessel called {read.vessel!r}")
                found.append(read)
            line = rows.line_num + 1
    except csv.Error as error:
        raise ImportFault(line, f"it is not CSV ({error})") from error
    if line == 1:
        raise ImportFault(1, "the file is empty")
    return found


def _reading(line: int, row: list[str], batch: int, columns: int) -> Read:
    """One row, of so many columns.

    Raises:
        ImportFault: it is no reading.
    """
    if len(row) != columns:
        raise ImportFault(line, f"it has {len(row)} columns, not {columns}")
    day, _, vessel, of, value, unit, method, calibrated, off = [*row, ""][: len(COLUMNS)]
    if of not in UNITS:
        raise ImportFault(line, f"{of!r} is none of {', '.join(UNITS)}")
    if unit != UNITS[of]:
        raise ImportFault(line, f"the unit of {of} is {UNITS[of]}, not {unit!r}")
    if calibrated not in ("", "yes", "no"):
        raise ImportFault(line, f"calibrated is yes, no or nothing, not {calibrated!r}")
    if not _NUMBER.fullmatch(value):
        raise ImportFault(line, f"{value!r} is no number")
    if off and not _NUMBER.fullmatch(off):
        raise ImportFault(line, f"{off!r} is no number")
    try:
        when = datetime.date.fromisoformat(day)
        event = Read(batch, when, "", vessel, of, float(value), method, calibrated, float(off or 0))
        from_json(to_json(event))
    except (ValueError, OverflowError) as error:
        raise ImportFault(line, str(error)) from error
    return event
