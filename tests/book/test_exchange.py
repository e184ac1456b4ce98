"""Files out and in: what was written is read back, and anything else is refused at its line."""

from __future__ import annotations

import csv
import dataclasses
import datetime
import io
import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.batches.batch import Batch
from assistant.batches.events import KINDS, Event, Pour, Read, Receive, Redo, Remark, Undo
from assistant.batches.shelf import Shelf
from assistant.book.exchange import (
    COLUMNS,
    ImportFault,
    export_events,
    export_readings,
    import_events,
    import_readings,
)
from assistant.book.store import Book
from tests.book.pieces import DAY, batches, begin, events_of, histories, looks, put, read, remark

HEADER = '{"format": "crockside-events", "version": 1}'
FULL = Shelf().with_events([begin(1), begin(2), begin(3)])
"""A shelf with three batches already: a Pour or Receive of the pieces may speak of any of them."""


def numbered(events: list[Event], start: int = 1) -> list[tuple[int, Event]]:
    """Events with their numbers in the book."""
    return list(enumerate(events, start))


def exported(*events: dict[str, Any]) -> list[str]:
    """A file with these lines."""
    return [HEADER, *(json.dumps(one) for one in events)]


# --- events ---------------------------------------------------------------------------------


@given(data=st.data(), last=st.integers(0, 5))
def test_every_kind_of_event_comes_back(data: st.DataObject, last: int) -> None:
    """Exported and imported into an empty book, every field of every kind of event is what it was."""
    events: list[Event] = [begin(1), begin(2), begin(3)]
    kinds = [one for one in KINDS.values() if one not in (Undo, Redo)]
    events += [data.draw(events_of(data.draw(st.sampled_from(kinds)), 1 + last % 3)) for _ in range(last)]
    assert events == import_events(export_events(numbered(events)), Shelf())


@given(first=histories(most=8), second=histories(most=30))
def test_a_book_read_into_another_is_counted_on(first: list[Event], second: list[Event]) -> None:
    """The batches of the file come after those of the book, and are the same but for their numbers."""
    whole = [*looks(1, 1), *looks(1, 2), *looks(1, 3)]
    first, lifted = [_lifted(one, 3) for one in first], [_lifted(one, 3) for one in second]
    shelf = Shelf().with_events([*whole, *first])
    came = import_events(export_events(numbered([*whole, *lifted])), shelf)
    later = shelf.with_events(came)
    alone = Shelf().with_events([*whole, *lifted])
    assert batches(shelf) == {number: one for number, one in batches(later).items() if number <= 3}
    for number, one in batches(alone).items():
        other = batches(later)[number + 3]
        assert (one.holds, one.ph, one.remarks, one.count, one.bottles) == (
            other.holds, other.ph, other.remarks, other.count, other.bottles,
        )  # fmt: skip
    again = import_events(export_events([*numbered([*whole, *first, *came])][shelf.head :]), Shelf())
    assert [*whole, *lifted] == again


def _lifted(event: Event, by: int) -> Event:
    """The event when so many others come before it."""
    if isinstance(event, Undo | Redo):
        return type(event)(event.batch, event.day, event.said, tuple(one + by for one in event.of))
    return event


def test_numbers_may_have_gaps() -> None:
    """A file of some batches of a book has gaps in its numbers; what refers to them is found all the same."""
    events = [(3, begin(4)), (7, read(4.0, 4)), (9, Undo(4, DAY, "undo", (7,))), (12, Redo(4, DAY, "redo", (7,)))]
    came = import_events(export_events(events), FULL)
    assert [4, 4, 4, 4] == [one.batch for one in came]
    assert [(5,), (5,)] == [one.of for one in came if isinstance(one, Undo | Redo)]


def test_batches_keep_their_order_and_follow_each_other() -> None:
    """Batches 9, 2 and 5 of a file become the next three, the lowest first, in what is poured between them too."""
    events = [
        begin(9), begin(2), begin(5), Pour(9, DAY, "into 2", "", 2), Receive(2, DAY, "from 9", "", 9), remark("so", 5)
    ]  # fmt: skip
    came = import_events(export_events(numbered(events)), FULL)
    assert [6, 4, 5, 6, 4, 5] == [one.batch for one in came]
    assert [4] == [one.into for one in came if isinstance(one, Pour)]
    assert [6] == [one.source for one in came if isinstance(one, Receive)]


def test_the_file_is_lines_of_json() -> None:
    """The first line says what it is; each other one is an event with its number, in ASCII."""
    lines = list(export_events([(8, remark("süß\n", 1))]))
    assert HEADER == lines[0]
    assert {"seq": 8, "kind": "remark", "batch": 1, "day": "2026-03-02", "said": "süß\n", "text": "süß\n"} == (
        json.loads(lines[1])
    )
    assert lines[1].isascii() and "\n" not in lines[1]


def test_a_whole_book_goes_through_a_file() -> None:
    """A book exported and read into an empty one gives the same batches."""
    with Book.open(None) as book, Book.open(None) as other:
        put(book, begin(name="Red"), begin(2), read(5.0), read(4.0, 2), Undo(1, DAY, "undo", (3,)))
        lines = list(export_events(book.events()))
        other.append("read in", DAY, import_events(lines, other.shelf()), 0)
        assert book.events() == other.events()


BEGIN = {"seq": 1, "kind": "begin", "batch": 1, "day": "2026-03-02", "place": {"label": "a crock"}}
NOTE = {"kind": "remark", "batch": 1, "day": "2026-03-02"}


@pytest.mark.parametrize(
    ("lines", "line", "reason"),
    [
        ([], 1, "the file is empty"),
        (["so"], 1, "it is not JSON"),
        (["[1]"], 1, "it is not a JSON object"),
        (["{}"], 1, "the file does not begin with"),
        ([json.dumps(BEGIN)], 1, "the file does not begin with"),
        (['{"format": "crockside-events", "version": 2}'], 1, "version 2 of the format is not known here, only 1"),
        (['{"format": "crockside-events", "version": true}'], 1, "version True of the format"),
        (['{"format": "crockside-events"}'], 1, "version None of the format"),
        ([*exported(BEGIN), ""], 3, "it is not JSON"),
        ([*exported(BEGIN), '{"seq": 2, "kind": "rem'], 3, "it is not JSON"),
        ([*exported(BEGIN), "[" * 100_000], 3, "it is not JSON"),
        (exported(BEGIN, NOTE), 3, "seq is not a whole number above the one before"),
        (exported(BEGIN, {**NOTE, "seq": 1}), 3, "seq is not a whole number above the one before"),
        (exported(BEGIN, {**NOTE, "seq": 2.5}), 3, "seq is not a whole number above the one before"),
        (exported({**BEGIN, "seq": 0}), 2, "seq is not a whole number above the one before"),
        (exported({**BEGIN, "seq": True}), 2, "seq is not a whole number above the one before"),
        (exported(BEGIN, {"seq": 2, "batch": 1, "day": "2026-03-02"}), 3, "no kind of event is called None"),
        (exported(BEGIN, {**NOTE, "seq": 2, "colour": "red"}), 3, "remark: no field 'colour'"),
        (exported(BEGIN, {**NOTE, "seq": 2, "day": "yesterday"}), 3, "remark: day: "),
        (exported(BEGIN, {**NOTE, "seq": 2, "batch": 0}), 3, "remark: batch 0"),
        (exported(BEGIN, {**NOTE, "seq": 2, "kind": "boil", "water": 10**400}), 3, ""),
        (exported(BEGIN, {**NOTE, "seq": 2, "kind": "read", "value": 15}), 3, "read: ph 15.0 by ''"),
        ([*exported(BEGIN), '{"seq":2,"kind":"read","batch":1,"day":"2026-03-02","value":NaN}'], 3, "read: ph nan"),
        (exported(BEGIN, {**NOTE, "seq": 2, "kind": "undo", "of": [2]}), 3, "no event 2 of batch 1 comes before it"),
        (exported(BEGIN, {**NOTE, "seq": 2, "kind": "redo", "of": [1, 3]}, {**NOTE, "seq": 3}), 3, "no event 3 of"),
        (exported(BEGIN, {**BEGIN, "seq": 2, "batch": 2}, {**NOTE, "seq": 3, "kind": "undo", "of": [2]}), 4,
         "no event 2 of batch 1 comes before it in this file"),
        (exported(BEGIN, {**NOTE, "seq": 2, "kind": "pour", "into": 2}), 3, "batch 2 is not in this file"),
        (exported(BEGIN, {**NOTE, "seq": 2, "kind": "receive", "source": 7}), 3, "batch 7 is not in this file"),
    ],
)  # fmt: skip
def test_a_bad_line_is_refused_with_its_number(lines: list[str], line: int, reason: str) -> None:
    """One bad line and nothing is read in: which, and what is wrong with it."""
    with pytest.raises(ImportFault) as fault:
        import_events(lines, FULL)
    assert line == fault.value.line
    assert fault.value.reason.startswith(reason)
    assert f"Line {line}: {fault.value.reason}. Nothing was read in." == str(fault.value)


@given(
    lines=st.lists(
        st.one_of(
            st.text(max_size=20),
            st.dictionaries(
                st.sampled_from(("seq", "kind", "batch", "day", "of", "into", "mix", "place", "value", "water")),
                st.recursive(
                    st.none()
                    | st.booleans()
                    | st.integers(0, 3)
                    | st.floats()
                    | st.sampled_from((*KINDS, "2026-03-02")),
                    lambda inner: (
                        st.lists(inner, max_size=2)
                        | st.dictionaries(st.sampled_from(("water", "label")), inner, max_size=2)
                    ),
                    max_leaves=4,
                ),
            ).map(json.dumps),
        ),
        max_size=4,
    )
)
def test_no_line_is_worse_than_refused(lines: list[str]) -> None:
    """Whatever stands in a file, it is read in or refused, and what is read in can be appended."""
    try:
        came = import_events([HEADER, *lines], FULL)
    except ImportFault as fault:
        assert 2 <= fault.line <= len(lines) + 1
    else:
        assert FULL.head + len(came) == FULL.with_events(came).head


# --- readings -------------------------------------------------------------------------------

_labels = st.sampled_from(("", "the 8 L crock", 'a "jar", big', "two\r\nlines", "\rso", "=1+1", " "))
_readings = st.one_of(
    st.builds(
        Read, st.just(1), st.dates(), st.just(""), _labels, st.just("ph"), st.floats(0, 14),
        st.sampled_from(("meter", "strip", "")), st.sampled_from(("yes", "no", "")),
    ),
    st.builds(
        Read, st.just(1), st.dates(), st.just(""), _labels, st.just("temperature"), st.floats(-40, 150),
        st.sampled_from(("thermometer", "")),
    ),
)  # fmt: skip


def measured(readings: list[Read]) -> Shelf:
    """A shelf with one batch that was read so."""
    return Shelf().with_events([begin(1), *readings])


def batch_of(shelf: Shelf) -> Batch:
    """Its first batch."""
    found = shelf.batch(1)
    assert found is not None
    return found


@given(readings=st.lists(_readings, max_size=12))
def test_readings_come_back(readings: list[Read]) -> None:
    """Exported and read in again, the readings of a batch are all there twice, each the same to the last digit."""
    shelf = measured(readings)
    batch = batch_of(shelf)
    came = import_readings(export_readings(batch), shelf, 1)
    assert len(readings) == len(came)
    fresh = batch_of(measured(came))
    assert (sorted(batch.ph, key=repr), sorted(batch.warmth, key=repr)) == (
        sorted(fresh.ph, key=repr), sorted(fresh.warmth, key=repr),
    )  # fmt: skip


def test_readings_are_a_table() -> None:
    """A line of names, then a row for each reading by day, with its unit and its error if one was said."""
    warm = Read(1, DAY, "", "", "temperature", 19.5, "thermometer")
    shelf = measured([dataclasses.replace(read(4.2, days=3), error=0.02), warm, read(5.25)])
    text = export_readings(batch_of(shelf))
    assert [
        list(COLUMNS),
        ["2026-03-02", "1", "the 8 L crock", "ph", "5.25", "pH", "meter", "yes", ""],
        ["2026-03-02", "1", "the 8 L crock", "temperature", "19.5", "C", "thermometer", "", ""],
        ["2026-03-05", "1", "the 8 L crock", "ph", "4.2", "pH", "meter", "yes", "0.02"],
    ] == list(csv.reader(io.StringIO(text)))


def test_readings_of_another_batch_can_be_read_in() -> None:
    """The batch's number in the file does not matter, nor does a mark that spreadsheets put first."""
    text = f"\ufeff{','.join(COLUMNS)}\n2026-03-04,17,,ph,4.1,pH,,,\n"
    day = DAY + datetime.timedelta(days=2)
    assert [Read(2, day, "", "", "ph", 4.1)] == import_readings(text, FULL, 2)


ROW = "2026-03-04,1,,ph,4.1,pH,,,"


@pytest.mark.parametrize(
    ("rows", "line", "reason"),
    [
        (["", ROW], 2, "it has 0 columns, not 9"),
        ([ROW, "2026-03-04,1,,ph,4.1,pH,,"], 3, "it has 8 columns, not 9"),
        ([ROW, "yesterday,1,,ph,4.1,pH,,,"], 3, "Invalid isoformat string: 'yesterday'"),
        ([ROW, "2026-03-04,2,,ph,4.1,pH,,,"], 3, "it is of batch 2, and those before are of batch 1"),
        ([ROW, "2026-03-04,1,a bucket,ph,4.1,pH,,,"], 3, "batch 1 has no vessel called 'a bucket'"),
        ([ROW, "2026-03-04,1,,colour,4.1,pH,,,"], 3, "'colour' is none of ph, temperature"),
        ([ROW, "2026-03-04,1,,temperature,66,F,,,"], 3, "the unit of temperature is C, not 'F'"),
        ([ROW, "2026-03-04,1,,ph,about 4,pH,,,"], 3, "'about 4' is no number"),
        ([ROW, "2026-03-04,1,,ph,4_1,pH,,,"], 3, "'4_1' is no number"),
        ([ROW, "2026-03-04,1,,ph,nan,pH,,,"], 3, "'nan' is no number"),
        ([ROW, "2026-03-04,1,,ph,14.1,pH,,,"], 3, "read: ph 14.1 by ''"),
        ([ROW, "2026-03-04,1,,ph,4.1,pH,nose,,"], 3, "read: ph 4.1 by 'nose'"),
        ([ROW, "2026-03-04,1,,ph,4.1,pH,,perhaps,"], 3, "calibrated is yes, no or nothing, not 'perhaps'"),
        (['2026-03-04,1,"so', "so", '",ph,4.1,pH,,,'], 2, "batch 1 has no vessel called 'so\\nso\\n'"),
        ([ROW, '2026-03-04,1,"so"so,ph,4.1,pH,,,'], 3, "it is not CSV"),
        ([ROW, ROW, '2026-03-04,1,"so'], 4, "it is not CSV"),
    ],
)
def test_a_bad_row_is_refused_with_its_number(rows: list[str], line: int, reason: str) -> None:
    """One bad row and nothing is read in: which, and what is wrong with it."""
    with pytest.raises(ImportFault) as fault:
        import_readings("\n".join([",".join(COLUMNS), *rows]), FULL, 1)
    assert (line, True) == (fault.value.line, fault.value.reason.startswith(reason)), fault.value.reason


def test_a_table_from_before_has_no_error() -> None:
    """A file whose rows do not say how far off the instrument may be is read as it was."""
    text = f"{','.join(COLUMNS[:-1])}\n2026-03-04,1,,ph,4.1,pH,meter,yes\n"
    found = import_readings(text, FULL, 1)
    assert [(4.1, "meter", "yes", 0.0)] == [(one.value, one.method, one.calibrated, one.error) for one in found]


def test_a_table_needs_its_names_and_a_batch() -> None:
    """Without the line of names, with others, or for a batch that is not there, nothing is read in."""
    for text, number in (("", 1), (ROW, 1), ("date,value\n", 1), (f"{','.join(COLUMNS)}\n{ROW}\n", 9)):
        with pytest.raises(ImportFault) as fault:
            import_readings(text, FULL, number)
        assert 1 == fault.value.line
    assert [] == import_readings(",".join(COLUMNS), FULL, 1)


def test_a_remark_is_no_reading() -> None:
    """Only readings are exported."""
    shelf = Shelf().with_events([begin(1), Remark(1, DAY, "so", "so")])
    assert 1 == len(export_readings(batch_of(shelf)).splitlines())
