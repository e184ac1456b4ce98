"""One question, one answer; and a line in, a JSON object out. No prompt library here."""

from __future__ import annotations

import datetime
import io
import os
import shutil
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from assistant.console.look import Look, look
from assistant.console.looks import ascii_only, width
from assistant.console.main import ANSWERED, NEEDS_MORE, NOT_READ, REFUSED
from assistant.console.session import Session, book_file, open_book, plain, prepare, troubles
from assistant.console.settings import Settings
from assistant.replies import Note, Reply, Timer
from grammar.later import module
from grammar.types import Misread, Reading

if TYPE_CHECKING:
    from assistant.console import jsonl
else:
    jsonl = module("assistant.console.jsonl")


_CODE = {"refuse": REFUSED, "misread": NOT_READ, "ask": NEEDS_MORE}


def code(replies: Sequence[Reply]) -> int:
    """The exit code for the replies: an answer counts before anything said beside it."""
    kinds = [one.kind for one in replies]
    if "answer" in kinds:
        return ANSWERED
    for kind in ("refuse", "misread", "ask"):
        if kind in kinds:
            return _CODE[kind]
    return ANSWERED


def look_of(settings: Settings, stream: object) -> Look:
    """The look for a stream: as the settings have it, without colour where it is no terminal."""
    size = shutil.get_terminal_size((80, 24))
    terminal = bool(getattr(stream, "isatty", bool)())
    return look(settings, terminal, (width(), size.lines), stream is not None and ascii_only(stream), os.environ)


def streams(as_json: bool) -> None:
    """Bytes that are not text, and letters the screen has not, never stop the talk; JSON is always UTF-8."""
    encoding = "utf-8" if as_json else None
    if isinstance(sys.stdin, io.TextIOWrapper):
        sys.stdin.reconfigure(encoding=encoding, errors="replace")
    if isinstance(sys.stdout, io.TextIOWrapper):
        sys.stdout.reconfigure(encoding=encoding, errors="replace")


def ask(words: Sequence[str], as_json: bool, path: Path | None = None, settings: Settings | None = None) -> int:
    """Answers one question from the command line or standard input; what was done is entered in the book."""
    streams(as_json)
    say = plain(" ".join(words) if words else sys.stdin.readline().rstrip("\r\n"))
    prepare()
    settings = settings or Settings()
    file = path or book_file()
    if not file.exists():
        # no book yet: nothing to look at, and none is made for a mere question
        session = Session(datetime.date.today)
        session.prefer(settings)
        reading, replies = session.say(say)
        if not session.book.shelf().head:
            return _answered(say, session, reading, replies, None if as_json else settings)
    with open_book(path) as book:
        book.start(False)
        session = Session(datetime.date.today, book, every_line=False)
        session.prefer(settings)
        reading, replies = session.say(say)
        replies = (*replies, *map(Note, troubles(book)))
        return _answered(say, session, reading, replies, None if as_json else settings)


def _uncounted(replies: Sequence[Reply]) -> list[Reply]:
    """Without a window nothing is counted down; a front end of JSON lines may count for itself."""
    return [Note("Timers run in the chat window only: nothing was started.") if isinstance(one, Timer) else one
            for one in replies]  # fmt: skip


def _answered(
    say: str, session: Session, reading: Reading | Misread, replies: tuple[Reply, ...], settings: Settings | None
) -> int:
    """Shows one answer, as JSON if there is no look to show it in."""
    if settings is None:
        print(jsonl.as_line(say, reading, session.talk, replies))
    else:
        for line in look_of(settings, sys.stdout).at_once(_uncounted(replies)):
            print(line)
    return code(replies)


def json_lines(path: Path | None = None, settings: Settings | None = None) -> int:
    """One utterance a line from standard input, one JSON object a line to standard output."""
    streams(True)

    def tell(say: str, session: Session, reading: Reading | Misread, replies: tuple[Reply, ...]) -> None:
        print(jsonl.as_line(say, reading, session.talk, replies), flush=True)

    return _talked(path, settings or Settings(), tell)


def piped(path: Path | None = None, settings: Settings | None = None) -> int:
    """A talk from standard input with no terminal: a line in, the replies out, a blank line between."""
    streams(False)

    settings = settings or Settings()
    look = look_of(settings, sys.stdout)

    def tell(say: str, session: Session, reading: Reading | Misread, replies: tuple[Reply, ...]) -> None:
        for line in look.at_once(_uncounted(replies)):
            print(line)
        print(flush=True)

    return _talked(path, settings, tell)


Tell = Callable[[str, Session, Reading | Misread, tuple[Reply, ...]], None]
"""Shows one turn."""


def _talked(path: Path | None, settings: Settings, tell: Tell) -> int:
    """A talk of its own over the book, from standard input to its end or "bye"."""
    prepare()
    with open_book(path) as book:
        book.start(True)
        session = Session(datetime.date.today, book)
        session.prefer(settings)
        told: tuple[str, ...] = ()
        for row in sys.stdin:
            say = plain(row.rstrip("\r\n"))
            reading, replies = session.say(say)
            now = troubles(book)
            replies, told = (*replies, *(Note(one) for one in now if one not in told)), now
            tell(say, session, reading, replies)
            if any(one.kind == "done" for one in replies):
                break
    return ANSWERED
