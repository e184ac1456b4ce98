"""One question, one answer; and a line in, a JSON object out. No prompt library here."""

from __future__ import annotations

import datetime
import io
import sys
from collections.abc import Callable, Sequence
from pathlib import Path

from assistant.console.jsonl import as_line
from assistant.console.lines import lines
from assistant.console.looks import ascii_only, colour, width
from assistant.console.main import ANSWERED, NEEDS_MORE, NOT_READ, REFUSED
from assistant.console.session import Session, book_file, open_book, plain, prepare, troubles
from assistant.replies import Note, Reply, Timer
from grammar.types import Misread, Reading

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


def streams(as_json: bool) -> None:
    """Bytes that are not text, and letters the screen has not, never stop the talk; JSON is always UTF-8."""
    encoding = "utf-8" if as_json else None
    if isinstance(sys.stdin, io.TextIOWrapper):
        sys.stdin.reconfigure(encoding=encoding, errors="replace")
    if isinstance(sys.stdout, io.TextIOWrapper):
        sys.stdout.reconfigure(encoding=encoding, errors="replace")


def ask(words: Sequence[str], as_json: bool, path: Path | None = None) -> int:
    """Answers one question from the command line or standard input; what was done is entered in the book."""
    streams(as_json)
    say = plain(" ".join(words) if words else sys.stdin.readline().rstrip("\r\n"))
    prepare()
    file = path or book_file()
    if not file.exists():
        # no book yet: nothing to look at, and none is made for a mere question
        session = Session(datetime.date.today)
        reading, replies = session.say(say)
        if not session.book.shelf().head:
            return _answered(say, session, reading, replies, as_json)
    with open_book(path) as book:
        book.start(False)
        session = Session(datetime.date.today, book, every_line=False)
        reading, replies = session.say(say)
        replies = (*replies, *map(Note, troubles(book)))
        return _answered(say, session, reading, replies, as_json)


def _uncounted(replies: Sequence[Reply]) -> list[Reply]:
    """Without a window nothing is counted down; a front end of JSON lines may count for itself."""
    return [Note("Timers run in the chat window only: nothing was started.") if isinstance(one, Timer) else one
            for one in replies]  # fmt: skip


def _answered(say: str, session: Session, reading: Reading | Misread, replies: tuple[Reply, ...], as_json: bool) -> int:
    if as_json:
        print(as_line(say, reading, session.talk, replies))
    else:
        for line in lines(_uncounted(replies), width(), colour(sys.stdout), ascii_only(sys.stdout)):
            print(line)
    return code(replies)


def json_lines(path: Path | None = None) -> int:
    """One utterance a line from standard input, one JSON object a line to standard output."""
    streams(True)

    def tell(say: str, session: Session, reading: Reading | Misread, replies: tuple[Reply, ...]) -> None:
        print(as_line(say, reading, session.talk, replies), flush=True)

    return _talked(path, tell)


def piped(path: Path | None = None) -> int:
    """A talk from standard input with no terminal: a line in, the replies out, a blank line between."""
    streams(False)

    def tell(say: str, session: Session, reading: Reading | Misread, replies: tuple[Reply, ...]) -> None:
        for line in lines(_uncounted(replies), width(), colour(sys.stdout), ascii_only(sys.stdout)):
            print(line)
        print(flush=True)

    return _talked(path, tell)


Tell = Callable[[str, Session, Reading | Misread, tuple[Reply, ...]], None]
"""Shows one turn."""


def _talked(path: Path | None, tell: Tell) -> int:
    """A talk of its own over the book, from standard input to its end or "bye"."""
    prepare()
    with open_book(path) as book:
        book.start(True)
        session = Session(datetime.date.today, book)
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
