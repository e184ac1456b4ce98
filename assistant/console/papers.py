"""Papers out of the book and into it: the batch sheet, events and readings as files."""

from __future__ import annotations

import argparse
import contextlib
import datetime
import io
import re
import sys
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from pathlib import Path

from assistant.batches.batch import Batch
from assistant.batches.label import label
from assistant.batches.sheet import page
from assistant.batches.shelf import Unreadable
from assistant.book.exchange import ImportFault, export_events, export_readings, import_events, import_readings
from assistant.book.store import Book, Moved
from assistant.console.main import ANSWERED, REFUSED
from assistant.console.once import code, look_of, streams
from assistant.console.session import BUSY, TRIES, BookRefused, book_file, open_book, troubles
from assistant.replies import Answer, Note, Reply
from assistant.show import Style
from assistant.talk import heated
from assistant.talk.account import telling
from assistant.talk.account.labelling import proven
from assistant.talk.account.which import current
from assistant.talk.state import State
from grammar.later import regex
from grammar.logged import LogError, table

_NUMBER = regex(r"\d{1,9}", re.ASCII)


def sheet(options: argparse.Namespace) -> int:
    """Writes one batch as a page to print."""
    with _read_only(options.book) as book:
        batch = _batch(book, options.batch)
        if batch is None:
            return _refused(_unknown(options.batch))
        today = datetime.date.today()
        us, degrees = options.settings.units == "us", options.settings.temperature
        pounds = options.pounds or us
        fahrenheit = options.fahrenheit or degrees == "fahrenheit" or (us and degrees == "with units")
        style = Style(pounds=pounds, fahrenheit=fahrenheit)
        cautions = telling.watched(batch, today, style)
        events = book.events(batch.number)
        stopped = any(one.severity == "stop" for one in cautions)  # nothing of it goes into a bottle with a label
        facts = None if stopped else label(batch, events, today, judged=proven(today, style), others=book.events)
        text = page(
            batch, events, today, label=facts, fahrenheit=fahrenheit, pounds=pounds,
            verdicts=[(one.severity, one.text, one.source) for one in cautions],
        )  # fmt: skip
        file = options.to or Path(f"batch-{batch.number}{_slug(batch.name)}.html")
        return _write(file, text, f"{telling.titled(batch)}: written to {file}. Open it in a browser to print it.")


def export(options: argparse.Namespace) -> int:
    """Writes events as JSON Lines, or the readings of a batch as CSV."""
    with _read_only(options.book) as book:
        batch = _batch(book, options.batch)
        if batch is None and (options.batch or options.readings):
            return _refused(_unknown(options.batch))
        if options.readings and batch is not None:
            text = export_readings(batch)
        else:
            events = book.events(batch.number if options.batch and batch is not None else None)
            text = "".join(f"{line}\n" for line in export_events(events))
        if options.to is None:
            sys.stdout.write(text)
            return ANSWERED
        return _write(options.to, text, f"Written to {options.to}.")


def take(options: argparse.Namespace) -> int:
    """Reads events or readings into the book, all of a file or nothing."""
    streams(False)
    try:
        text = options.file.read_bytes().decode("utf-8-sig")
    except (OSError, UnicodeDecodeError) as error:
        why = getattr(error, "strerror", None) or "it is not text in UTF-8"
        return _refused(f"{options.file} cannot be read: {why}. Nothing was read in.")
    with open_book(options.book) as book:
        book.start(False)
        for _ in range(TRIES):
            shelf = book.shelf()
            try:
                if options.readings is None:
                    # not splitlines: a name may hold U+2028
                    events = import_events(io.StringIO(text, newline="\n"), shelf)
                else:
                    batch = _batch(book, options.readings)
                    if batch is None:
                        return _refused(_unknown(options.readings))
                    events = list(import_readings(text, shelf, batch.number))
                # with no words: they would be said again when the talk is carried on
                if events:
                    book.append("", datetime.date.today(), events, shelf.head)
            except Moved:
                continue
            except ImportFault as fault:
                return _refused(str(fault))
            break
        else:
            return _refused(f"{BUSY} Nothing was read in.")
    # what could not be written at once may have been when the book was closed
    _told(book)
    if book.trouble:
        return _refused("Nothing was read in.")
    print(f"{len(events)} {'event' if len(events) == 1 else 'events'} read in from {options.file}.")
    return ANSWERED


def heat(options: argparse.Namespace) -> int:
    """Judges the log of a probe by a pH, and enters it with a batch if one is named."""
    streams(False)
    try:
        course = table(_decoded(options.file.read_bytes()))
    except OSError as error:
        return _refused(f"{options.file} cannot be read: {error.strerror or error}.")
    except LogError as error:
        return _refused(str(error))
    if options.scale:
        course = replace(course, unit={"C": "degree_Celsius", "F": "degree_Fahrenheit"}[options.scale])
    if options.every is not None:
        course = heated.spaced(course, options.every / 60)
    if not options.enter:
        return _judged(heated.begun(State(), course, options.ph)[1], options)
    with open_book(options.book) as book:
        book.start(False)
        for _ in range(TRIES):
            shelf = book.shelf()
            batch = _batch(book, options.enter)
            if batch is None:
                return _refused(_unknown(options.enter))
            state, replies = heated.begun(State(shelf=shelf, batch=batch.number), course, options.ph)
            if not any(isinstance(one, Answer) for one in replies):
                return _judged(replies, options)
            after, told = heated.entered(state, f"heat {options.file.name}", datetime.date.today())
            try:
                book.append("", datetime.date.today(), after.entered, shelf.head)
            except Moved:
                continue
            break
        else:
            return _refused(BUSY)
        offer = [one for one in replies if not (isinstance(one, Note) and one.text.startswith('Say "done"'))]
    _told(book)
    if book.trouble:
        return _refused("Nothing was entered.")
    return _judged((*offer, *told), options)


def batches(path: Path | None) -> int:
    """The names of the batches in the book, or their numbers, a line each: for the completions of a shell."""
    streams(False)
    file = path or book_file()
    if file.exists():
        with contextlib.suppress(BookRefused, Unreadable), open_book(path) as book:
            for one in book.shelf().recent:
                print(one.name or one.number)
    return ANSWERED


def _decoded(data: bytes) -> str:
    """The text of a logger's file: UTF-8, else the old code page that writes a degree sign as one byte."""
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return data.decode("cp1252", errors="replace")


def _judged(replies: Sequence[Reply], options: argparse.Namespace) -> int:
    for line in look_of(options.settings, sys.stdout).at_once(replies):
        print(line)
    return code(replies)


@contextlib.contextmanager
def _read_only(path: Path | None) -> Iterator[Book]:
    """The book to look at; none is made.

    Raises:
        BookRefused: there is none, or it cannot be read.
    """
    streams(True)
    file = path or book_file()
    if not file.exists():
        raise BookRefused(f"There is no book at {file}. Name the file of yours with --book.")
    with open_book(path) as book:
        if book.trouble and not book.shelf().head:
            raise BookRefused(book.trouble)
        _told(book)
        yield book


def _told(book: Book) -> None:
    """What is wrong with the book, where it is not taken for what was asked for."""
    for one in troubles(book):
        print(one, file=sys.stderr)


def _batch(book: Book, named: str) -> Batch | None:
    """The batch of that number or name; the open one if neither is given."""
    shelf = book.shelf()
    if not named:
        return current(State(shelf=shelf))
    digits = named.lower().removeprefix("batch").strip()
    if _NUMBER.fullmatch(digits) and (batch := shelf.batch(int(digits))) is not None:
        return batch
    wanted = " ".join(named.lower().split())
    found = [one.number for one in shelf.recent if " ".join(one.name.lower().split()) == wanted]
    return shelf.batch(found[0]) if found else None


def _unknown(named: str) -> str:
    if not named:
        return "No batch is open in this book. Say which, by its name or number."
    return f'No batch in this book is called "{named}". "what batches" in a talk lists them.'


def _slug(name: str) -> str:
    plain = re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-")
    return f"-{plain}" if plain else ""


def _write(file: Path, text: str, told: str) -> int:
    try:
        file.write_text(text, encoding="utf-8", newline="")
    except OSError as error:
        return _refused(f"{file} cannot be written: {error.strerror or error}.")
    print(told)
    return ANSWERED


def _refused(text: str) -> int:
    print(text, file=sys.stderr)
    return REFUSED


COMMANDS: dict[str, Callable[[argparse.Namespace], int]] = {
    "sheet": sheet,
    "export": export,
    "import": take,
    "heat": heat,
}
