"""Papers out of the book and into it, by the commands ``sheet``, ``export`` and ``import``."""

from __future__ import annotations

import csv
import datetime
import io
import json
import os
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path

import pytest

from assistant.batches.batch import Batch
from assistant.batches.events import Call, Event
from assistant.batches.shelf import Moved, Shelf
from assistant.book.exchange import COLUMNS
from assistant.book.store import Book
from assistant.console.main import ANSWERED, REFUSED, main
from assistant.console.session import BUSY, Session
from tests.console.pieces import events, resumed, running, said, whole
from tests.helpers import DAY

ROOT = Path(__file__).parent.parent.parent
LIFE = (
    "new batch of 3 kg of cabbage in a 10 L crock at 2%", "pH 4.4 by meter, calibrated today", "19 degrees in here",
    "mash of 2 kg of chillies at 3%", "packed it", "new batch", "call it Ember", "pH 4.9 by strip", "undo",
    "pH 4.8 by meter", "new batch of 1 kg of carrots in a 5 L jar at 3%", "call it Café №5", "batch 2",
)  # fmt: skip
"""Three batches, the second open at the end; one reading undone."""
HEADER = '{"format": "crockside-events", "version": 1}'
NOBODY = 'No batch in this book is called "{}". "what batches" in a talk lists them.\n'


@pytest.fixture
def book(tmp_path: Path) -> Path:
    """A book with three batches."""
    path = tmp_path / "a.book"
    with running(path) as session:
        for line in LIFE:
            session.say(line)
        named = [(one.number, one.name) for one in sorted(session.book.shelf().recent, key=lambda one: one.number)]
    assert [(1, "cabbage"), (2, "Ember"), (3, "Café №5")] == named
    return path


class Shown:
    """What a command run in this program printed."""

    def __init__(self, capsys: pytest.CaptureFixture[str]) -> None:
        self._capsys = capsys

    def __call__(self, *words: object) -> tuple[int, str, str]:
        """Exit code, standard output, standard error."""
        code = main([str(one) for one in words])
        shown = self._capsys.readouterr()
        return code, shown.out, shown.err


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str]) -> Shown:
    """Runs a command."""
    return Shown(capsys)


def batches(path: Path) -> dict[int, Batch]:
    """Every batch of a book."""
    with Book.open(path) as found:
        assert [] == found.check()
        return {number: account.now for number, account in found.shelf().accounts.items()}


def alike(one: Batch) -> tuple[object, ...]:
    """A batch without its number."""
    return tuple(value for name, value in vars(one).items() if name != "number")


# --- the sheet ----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("named", "title"),
    [
        ("1", "Batch 1, cabbage"), ("batch 2", "Batch 2, Ember"), ("Batch  3", "Batch 3, Café №5"),
        ("cabbage", "Batch 1, cabbage"), ("EMBER", "Batch 2, Ember"), (" ember ", "Batch 2, Ember"),
        ("café  №5", "Batch 3, Café №5"),
    ],
)  # fmt: skip
def test_a_sheet_by_number_or_name(named: str, title: str, book: Path, tmp_path: Path, run: Shown) -> None:
    """A batch is found by its number or its name, whatever the capitals and blanks; the page is about it."""
    page = tmp_path / "page.html"
    told = f"{title}: written to {page}. Open it in a browser to print it.\n"
    assert (ANSWERED, told, "") == run("--book", book, "sheet", named, "--to", page)
    text = page.read_text(encoding="utf-8")
    assert text.startswith("<!DOCTYPE html>")
    assert title.partition(", ")[2] in text


def test_the_sheet_of_the_open_batch_is_named_after_it(
    book: Path, tmp_path: Path, run: Shown, monkeypatch: pytest.MonkeyPatch
) -> None:
    """With no name it is the batch written to last, and with no file the page lies here under the batch's name."""
    monkeypatch.chdir(tmp_path)
    assert run("sheet", "--book", book)[:2] == (
        ANSWERED, "Batch 3, Café №5: written to batch-3-caf-5.html. Open it in a browser to print it.\n",
    )  # fmt: skip
    assert True is ("Café №5" in Path("batch-3-caf-5.html").read_text(encoding="utf-8"))


def test_a_batch_whose_name_is_a_number(book: Path, tmp_path: Path, run: Shown) -> None:
    """A number is a batch's number if there is such a batch, else a name."""
    with Book.open(book) as found:
        found.append("call it 2019", DAY, [Call(2, DAY, "call it 2019", "2019")], found.shelf().head)
    page = tmp_path / "page.html"
    assert run("--book", book, "sheet", "2019", "--to", page)[1][:14] == "Batch 2, 2019:"


@pytest.mark.parametrize("named", ["sauerkraut", "4", "batch 0", "-1", "²", "9" * 30, "9" * 5000, "%", "batch"])
def test_a_batch_that_is_not_there(named: str, book: Path, tmp_path: Path, run: Shown) -> None:
    """A name or number that no batch has is refused with a sentence, on standard error, and nothing is written."""
    page = tmp_path / "page.html"
    before = sorted(tmp_path.iterdir())
    for words in (("sheet", "--to", page, "--", named), ("export", "--to", page, "--", named)):
        assert (REFUSED, "", NOBODY.format(named)) == run("--book", book, *words)
    assert before == sorted(tmp_path.iterdir())


def test_a_sheet_has_a_label_unless_a_stop_stands(tmp_path: Path, run: Shown) -> None:
    """A batch that goes as it should prints its label; one with mould prints none."""
    path, sheet = tmp_path / "book.db", tmp_path / "page.html"
    lines = ["new batch of 2 kg of reds in a 3 L jar at 3%", "there is mould on it"]
    shown = []
    for line in lines:
        with Book.open(path) as found:
            Session(datetime.date.today, found).say(line)
        run("--book", path, "sheet", "1", "--to", sheet)
        shown.append(sheet.read_text(encoding="utf-8"))
    assert "<strong>Ingredients:</strong> Chillies, salt." in shown[0]
    assert "<h2>Label</h2>" not in shown[1]


def test_the_units_of_the_sheet(book: Path, tmp_path: Path, run: Shown) -> None:
    """Pounds and degrees F if so told, else metric."""
    page = tmp_path / "page.html"
    assert ANSWERED == run("--book", book, "sheet", "1", "--to", page)[0]
    metric = page.read_text(encoding="utf-8")
    assert ANSWERED == run("--book", book, "sheet", "1", "--to", page, "--pounds", "--fahrenheit")[0]
    other = page.read_text(encoding="utf-8")
    found = [[words in text for words in (" lb", "19 C", "66.2 F")] for text in (metric, other)]
    assert [[False, True, False], [True, False, True]] == found


def test_a_batch_that_was_undone_from_its_start_has_no_sheet(tmp_path: Path, run: Shown) -> None:
    """An undone beginning leaves no batch to print."""
    path = tmp_path / "a.book"
    with running(path) as session:
        session.say(LIFE[0])
        session.say("undo")
    assert (REFUSED, "", "No batch is open in this book. Say which, by its name or number.\n") == run(
        "--book", path, "sheet"
    )
    assert (REFUSED, "", NOBODY.format("1")) == run("--book", path, "sheet", "1")


@pytest.mark.parametrize("command", ["sheet", "export"])
def test_no_book_is_made_to_look_at(command: str, tmp_path: Path, run: Shown) -> None:
    """A mistyped file is told, and not made."""
    path = tmp_path / "typo.book"
    told = f"There is no book at {path}. Name the file of yours with --book.\n"
    assert (REFUSED, "", told) == run("--book", path, command)
    assert [] == list(tmp_path.iterdir())


def test_a_book_that_cannot_be_opened_is_no_empty_book(tmp_path: Path, run: Shown) -> None:
    """An export of a file that cannot be read is refused, and is no empty file."""
    told = "The book cannot be written: its file cannot be opened. What is said now is not kept.\n"
    assert (REFUSED, "", told) == run("--book", tmp_path, "export", "--to", tmp_path / "out.jsonl")
    assert [] == list(tmp_path.iterdir())


def test_a_damaged_book_is_told_beside_what_could_be_read(book: Path, run: Shown) -> None:
    """The notice of a mended book goes to standard error; what is exported holds every event that could be read."""
    before = events(book)
    raw = bytearray(book.read_bytes())
    raw[100:4096] = b"\xa5" * 3996
    book.write_bytes(raw)
    code, out, err = run("--book", book, "export")
    assert (ANSWERED, len(before) + 1) == (code, out.count("\n"))
    assert err.startswith("The book was damaged.")


# --- where it cannot be written ------------------------------------------------------------


@pytest.mark.parametrize("command", ["sheet", "export"])
@pytest.mark.parametrize(("where", "why"), [("gone/x", "No such file or directory"), ("a.book/x", "Not a directory")])
def test_a_folder_that_takes_no_file(command: str, where: str, why: str, book: Path, run: Shown) -> None:
    """A file that cannot be written is told by its name with the reason, exit code 1."""
    file = book.parent / where
    assert (REFUSED, "", f"{file} cannot be written: {why}.\n") == run("--book", book, command, "1", "--to", file)


@pytest.mark.parametrize("command", ["sheet", "export"])
def test_a_folder_that_may_only_be_read(command: str, book: Path, run: Shown, monkeypatch: pytest.MonkeyPatch) -> None:
    """In a read-only folder nothing is written, and it is told so."""
    file = book.parent / "out"

    def only_read(*_: object, **__: object) -> None:
        raise OSError(30, "Read-only file system")

    # those who run the tests may be allowed to write anywhere
    monkeypatch.setattr(Path, "write_text", only_read)
    told = f"{file} cannot be written: Read-only file system.\n"
    assert (REFUSED, "", told) == run("--book", book, command, "1", "--to", file)


# --- export and import ----------------------------------------------------------------------


def test_a_book_goes_through_a_file(book: Path, tmp_path: Path, run: Shown) -> None:
    """Exported and read into a new book, every event and every batch is the same."""
    file, other = tmp_path / "events.jsonl", tmp_path / "other.book"
    assert (ANSWERED, f"Written to {file}.\n", "") == run("--book", book, "export", "--to", file)
    count = len(events(book))
    assert (ANSWERED, f"{count} events read in from {file}.\n", "") == run("--book", other, "import", file)
    assert events(book) == events(other)
    assert batches(book) == batches(other)


def test_a_book_read_into_itself_is_there_twice(book: Path, tmp_path: Path, run: Shown) -> None:
    """Batches read in are numbered on from those that are there, and are the same but for that."""
    file = tmp_path / "events.jsonl"
    run("--book", book, "export", "--to", file)
    assert ANSWERED == run("--book", book, "import", file)[0]
    found = batches(book)
    assert [1, 2, 3, 4, 5, 6] == sorted(found)
    assert [alike(found[one]) for one in (1, 2, 3)] == [alike(found[one]) for one in (4, 5, 6)]


def test_export_without_a_file_is_standard_output(book: Path, tmp_path: Path, run: Shown) -> None:
    """With no --to the same lines go to standard output and nothing else does."""
    file = tmp_path / "events.jsonl"
    run("--book", book, "export", "--to", file)
    assert (ANSWERED, file.read_text(encoding="utf-8"), "") == run("--book", book, "export")


def test_one_batch_is_exported_alone(book: Path, tmp_path: Path, run: Shown) -> None:
    """The events of one batch, with their numbers; read in, it is the next batch."""
    code, out, _ = run("--book", book, "export", "Ember")
    rows = [json.loads(row) for row in out.splitlines()]
    assert (ANSWERED, json.loads(HEADER)) == (code, rows[0])
    assert [(seq, 2) for seq, one in events(book) if one.batch == 2] == [(row["seq"], row["batch"]) for row in rows[1:]]
    file, other = tmp_path / "ember.jsonl", tmp_path / "other.book"
    file.write_text(out, encoding="utf-8")
    assert ANSWERED == run("--book", other, "import", file)[0]
    assert alike(batches(book)[2]) == alike(batches(other)[1])


def test_an_undo_in_the_talk_takes_back_nothing_that_was_read_in(book: Path, tmp_path: Path, run: Shown) -> None:
    """The talk is carried on over an import as if there had been none; what is read in is nothing that was said."""
    file = tmp_path / "3 percent salt.jsonl"
    run("--book", book, "export", "--to", file)
    with running(book) as session:
        session.say("mash of 5 kg of chillies")
        session.say("mash of 2 kg of turnips")
    before, talk = said(book), whole(session.talk)
    assert session.talk.now.mode == "asking"
    assert ANSWERED == run("--book", book, "import", file)[0]
    assert [*before, ""] == said(book)
    assert talk == whole(resumed(book))
    count = len(events(book))
    with running(book) as again:
        again.say("3%")
        again.say("undo")
        again.say("undo")
    assert count == len(events(book))


@pytest.mark.parametrize(
    ("lines", "told"),
    [
        ([HEADER, "nonsense"], "Line 2: it is not JSON."),
        (["", HEADER], "Line 1: it is not JSON."),
        ([], "Line 1: the file is empty."),
        (['{"format": "other"}'], f"Line 1: the file does not begin with {HEADER}."),
        ([HEADER.replace("1", "2")], "Line 1: version 2 of the format is not known here, only 1."),
        (
            [HEADER, '{"seq": 1, "kind": "begin", "batch": 1, "day": "2026-03-02"}', '{"seq": 2, "kind": "brew"}'],
            "Line 3: no kind of event is called 'brew'.",
        ),
        (
            [HEADER, '{"seq": 1, "kind": "begin", "batch": 1, "day": "2026-03-02", "name": "half \\ud800"}'],
            "Line 2: begin: name: ",
        ),
        (
            [HEADER, '{"seq": 1, "kind": "undo", "batch": 1, "day": "2026-03-02", "of": [7]}'],
            "Line 2: no event 7 of batch 1 comes before it in this file.",
        ),
    ],
)  # fmt: skip
def test_a_bad_file_changes_nothing_and_its_line_is_named(
    lines: list[str], told: str, book: Path, tmp_path: Path, run: Shown
) -> None:
    """One bad line and nothing of the file is read in: which line, and what is wrong with it."""
    file = tmp_path / "bad.jsonl"
    file.write_text("".join(f"{line}\n" for line in lines), encoding="utf-8")
    before = book.read_bytes()
    code, out, err = run("--book", book, "import", file)
    assert (REFUSED, "", told) == (code, out, err[: len(told)])
    assert err.endswith("Nothing was read in.\n")
    assert before == book.read_bytes()


@pytest.mark.parametrize(
    ("raw", "told"),
    [(None, "No such file or directory"), (b"\xff\xfe\x00", "it is not text in UTF-8"), ("folder", "Is a directory")],
)
def test_a_file_that_cannot_be_read(raw: bytes | str | None, told: str, book: Path, run: Shown) -> None:
    """A file that is not there, no text, or a folder is told by its name; the book is not touched."""
    file = book.parent / "events.jsonl"
    if isinstance(raw, bytes):
        file.write_bytes(raw)
    elif raw == "folder":
        file.mkdir()
    assert (REFUSED, "", f"{file} cannot be read: {told}. Nothing was read in.\n") == run(
        "--book", book, "import", file
    )


def test_marks_of_other_systems_do_no_harm(book: Path, tmp_path: Path, run: Shown) -> None:
    """A byte order mark, line ends of other systems and U+2028 in a name make no other lines."""
    name = "a\u2028b\x85c"
    begin = {"seq": 5, "kind": "begin", "batch": 9, "day": "2026-03-02", "name": name}
    file = tmp_path / "events.jsonl"
    file.write_bytes(f"\ufeff{HEADER}\r\n{json.dumps(begin, ensure_ascii=False)}\r\n".encode())
    assert (ANSWERED, f"1 event read in from {file}.\n", "") == run("--book", book, "import", file)
    assert name == batches(book)[4].name


def test_a_header_alone_is_no_event(book: Path, tmp_path: Path, run: Shown) -> None:
    """An export of an empty book is read in as nothing."""
    file = tmp_path / "events.jsonl"
    file.write_text(f"{HEADER}\n", encoding="utf-8")
    before = book.read_bytes()
    assert (ANSWERED, f"0 events read in from {file}.\n", "") == run("--book", book, "import", file)
    assert before == book.read_bytes()


def test_a_book_that_cannot_be_written_reads_nothing_in(tmp_path: Path, run: Shown) -> None:
    """With no place for the book, an import is refused and the reason told."""
    (tmp_path / "taken").write_text("a file", encoding="utf-8")
    file = tmp_path / "events.jsonl"
    begin = {"seq": 5, "kind": "begin", "batch": 9, "day": "2026-03-02"}
    file.write_text(f"{HEADER}\n{json.dumps(begin)}\n", encoding="utf-8")
    told = "The book cannot be written: File exists. What is said now is not kept.\nNothing was read in.\n"
    assert (REFUSED, "", told) == run("--book", tmp_path / "taken" / "a.book", "import", file)


def test_an_import_beside_a_window_that_writes(
    book: Path, tmp_path: Path, run: Shown, monkeypatch: pytest.MonkeyPatch
) -> None:
    """If a window writes while the file is read in, its batches are numbered after that window's; if one always does,
    nothing is read in, and it is told so."""
    file = tmp_path / "events.jsonl"
    run("--book", book, "export", "1", "--to", file)
    append, faster = Book.append, [1]

    def late(own: Book, line: str, day: object, new: Sequence[Event], after: int) -> Shelf:
        if faster and not line:
            faster.pop()
            with running(book) as other:
                other.say("new batch of 1 kg of carrots in a 5 L jar at 3%")
        return append(own, line, day, new, after)  # type: ignore[arg-type]

    def never(*_: object) -> Shelf:
        raise Moved

    monkeypatch.setattr(Book, "append", late)
    assert ANSWERED == run("--book", book, "import", file)[0]
    assert ["carrots", "cabbage"] == [batches(book)[one].name for one in (4, 5)]
    monkeypatch.setattr(Book, "append", never)
    before = len(events(book))
    assert (REFUSED, "", f"{BUSY} Nothing was read in.\n") == run("--book", book, "import", file)
    assert before == len(events(book))


# --- readings -------------------------------------------------------------------------------


def test_readings_are_a_table(book: Path, run: Shown) -> None:
    """The readings of a batch that count, one a row under the names of the columns."""
    code, out, err = run("--book", book, "export", "cabbage", "--readings")
    rows = list(csv.reader(io.StringIO(out, newline="")))
    assert (ANSWERED, "", COLUMNS) == (code, err, tuple(rows[0]))
    assert [["1", "ph", "4.4", "pH", "meter", "yes", ""], ["1", "temperature", "19.0", "C", "thermometer", "", ""]] == [
        [row[1], *row[3:]] for row in rows[1:]
    ]
    assert ["4.8"] == [
        row[4] for row in csv.reader(run("--book", book, "export", "2", "--readings")[1].splitlines()[1:])
    ]


def test_readings_of_the_open_batch(book: Path, run: Shown) -> None:
    """With no name they are of the batch written to last."""
    assert run("--book", book, "export", "3", "--readings") == run("--book", book, "export", "--readings")


def test_readings_go_through_a_file(book: Path, tmp_path: Path, run: Shown) -> None:
    """Exported and read into the same batch of a copy without them, the readings are the same, byte for byte."""
    file, other = tmp_path / "readings.csv", tmp_path / "other.book"
    run("--book", book, "export", "1", "--readings", "--to", file)
    raw = file.read_bytes()
    assert (4, 3) == (len(raw.split(b"\r\n")), raw.count(b"\n"))
    with running(other) as session:
        session.say(LIFE[0])
    assert (ANSWERED, f"2 events read in from {file}.\n", "") == run("--book", other, "import", "--readings", "1", file)
    mine, theirs = batches(book)[1], batches(other)[1]
    assert (mine.ph, mine.warmth) == (theirs.ph, theirs.warmth)
    assert (ANSWERED, f"Written to {file}.\n", "") == run("--book", other, "export", "1", "--readings", "--to", file)
    assert raw == file.read_bytes()


@pytest.mark.parametrize(
    ("row", "told"),
    [
        ("2026-03-02,1,,ph,acid,pH,meter,,", "Line 3: 'acid' is no number. Nothing was read in.\n"),
        ("2026-03-02,1,,ph,4.1,pH", "Line 3: it has 6 columns, not 9. Nothing was read in.\n"),
        ("2026-03-02,1,bath,ph,4.1,pH,meter,,", "Line 3: batch 1 has no vessel called 'bath'. Nothing was read in.\n"),
    ],
)  # fmt: skip
def test_a_bad_table_changes_nothing(row: str, told: str, book: Path, tmp_path: Path, run: Shown) -> None:
    """One bad row and no reading is read in: which row, and what is wrong with it."""
    file = tmp_path / "readings.csv"
    file.write_text(f"{','.join(COLUMNS)}\r\n2026-03-02,1,,ph,4.2,pH,meter,yes,\r\n{row}\r\n", encoding="utf-8")
    before = book.read_bytes()
    assert (REFUSED, "", told) == run("--book", book, "import", "--readings", "cabbage", file)
    assert (REFUSED, "", NOBODY.format("kraut")) == run("--book", book, "import", "--readings", "kraut", file)
    assert before == book.read_bytes()


# --- as a program --------------------------------------------------------------------------


def test_the_commands_as_programs(book: Path, tmp_path: Path) -> None:
    """From the shell: a table with letters beyond ASCII through a pipe in any encoding, and events from one book to
    another."""

    def crockside(*words: object, **settings: str) -> bytes:
        """Standard output of a command that must succeed without a word on standard error."""
        done = subprocess.run(
            [sys.executable, "-W", "error", "-m", "assistant", *map(str, words)],
            cwd=ROOT, capture_output=True, timeout=60, check=True, env={**os.environ, **settings},
        )  # fmt: skip
        assert b"" == done.stderr
        return done.stdout

    with running(book) as session:
        session.say("moved batch 3 to jar №5")
        session.say("batch 3")
        session.say("pH 4.1 by meter")
    file, other = tmp_path / "events.jsonl", tmp_path / "other.book"
    file.write_bytes(crockside("export", "--book", book))
    crockside("import", file, "--book", other)
    assert events(book) == events(other)
    page = tmp_path / "page.html"
    told = crockside("sheet", "3", "--to", page, "--book", other, PYTHONIOENCODING="ascii").decode()
    assert told == f"Batch 3, Café №5: written to {page}. Open it in a browser to print it.\n"
    plain = crockside("export", "3", "--readings", "--book", other)
    assert plain == crockside("export", "3", "--readings", "--book", other, PYTHONIOENCODING="ascii")
