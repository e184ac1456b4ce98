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

from assistant.console.jsonl import as_line
from assistant.console.lines import lines
from assistant.console.main import ANSWERED, NEEDS_MORE, NOT_READ, REFUSED
from assistant.console.saving import turn
from assistant.console.session import Session, book_file, open_book, plain, prepare, troubles
from assistant.replies import Note, Reply, Timer
from grammar.types import Misread, Reading

if TYPE_CHECKING:
    from assistant.console.speech import Voice

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


def colour(stream: object) -> bool:
    """Whether to colour: a terminal, and NO_COLOR not set (no-color.org)."""
    return bool(getattr(stream, "isatty", bool)()) and not os.environ.get("NO_COLOR")


def width() -> int:
    """The terminal's width, between 40 and 100 columns."""
    return max(40, min(100, shutil.get_terminal_size((80, 24)).columns))


def streams(as_json: bool) -> None:
    """Bytes that are not text, and letters the screen has not, never stop the talk; JSON is always UTF-8."""
    encoding = "utf-8" if as_json else None
    if isinstance(sys.stdin, io.TextIOWrapper):
        sys.stdin.reconfigure(encoding=encoding, errors="replace")
    if isinstance(sys.stdout, io.TextIOWrapper):
        sys.stdout.reconfigure(encoding=encoding, errors="replace")


def ascii_only(stream: object) -> bool:
    """Whether a screen has no letters beyond ASCII to draw with."""
    return "utf" not in str(getattr(stream, "encoding", None) or "").lower()


def ask(words: Sequence[str], as_json: bool, path: Path | None = None, aloud: Voice | None = None) -> int:
    """Answers one question from the command line or standard input; what was done is entered in the book.

    Spoken too, it returns when all has been said.
    """
    streams(as_json)
    say = plain(" ".join(words) if words else sys.stdin.readline().rstrip("\r\n"))
    prepare()
    file = path or book_file()
    if not file.exists():
        # no book yet: nothing to look at, and none is made for a mere question
        session = Session(datetime.date.today)
        reading, replies = turn(session, say)
        if not session.book.shelf().head:
            return _answered(as_line(say, reading, session.talk, replies) if as_json else "", replies, aloud)
    with open_book(path) as book:
        book.start(False)
        session = Session(datetime.date.today, book, every_line=False)
        reading, replies = turn(session, say)
        replies = (*replies, *map(Note, troubles(book)))
        return _answered(as_line(say, reading, session.talk, replies) if as_json else "", replies, aloud)


def _uncounted(replies: Sequence[Reply]) -> list[Reply]:
    """Without a window nothing is counted down; a front end of JSON lines may count for itself."""
    return [Note("Timers run in the chat window only: nothing was started.") if isinstance(one, Timer) else one
            for one in replies]  # fmt: skip


def _answered(json: str, replies: tuple[Reply, ...], aloud: Voice | None) -> int:
    """Shows the replies, as a line of JSON if there is one, and says them; the exit code."""
    if json:
        print(json)
    else:
        for line in lines(_uncounted(replies), width(), colour(sys.stdout), ascii_only(sys.stdout)):
            print(line)
    _spoken(aloud, replies)
    _ended(aloud)
    return code(replies)


def _spoken(aloud: Voice | None, replies: Sequence[Reply]) -> None:
    """Says the replies when those before them have been said: nobody is there who could stop them by a key."""
    if aloud is not None:
        from assistant.console.spoken import spoken

        sys.stdout.flush()
        aloud.then(spoken(_uncounted(replies)))


def _ended(aloud: Voice | None) -> None:
    """Waits until all has been said; what went wrong with it stands beside the answers, not among them."""
    if aloud is None:
        return
    try:
        aloud.finish()
    except KeyboardInterrupt:
        aloud.hush()
        raise
    if aloud.trouble:
        print(aloud.trouble, file=sys.stderr)


def json_lines(path: Path | None = None, aloud: Voice | None = None) -> int:
    """One utterance a line from standard input, one JSON object a line to standard output."""
    streams(True)

    def tell(say: str, session: Session, reading: Reading | Misread, replies: tuple[Reply, ...]) -> None:
        print(as_line(say, reading, session.talk, replies), flush=True)

    return _talked(path, tell, aloud)


def piped(path: Path | None = None, aloud: Voice | None = None) -> int:
    """A talk from standard input with no terminal: a line in, the replies out, a blank line between."""
    streams(False)

    def tell(say: str, session: Session, reading: Reading | Misread, replies: tuple[Reply, ...]) -> None:
        for line in lines(_uncounted(replies), width(), colour(sys.stdout), ascii_only(sys.stdout)):
            print(line)
        print(flush=True)

    return _talked(path, tell, aloud)


Tell = Callable[[str, Session, Reading | Misread, tuple[Reply, ...]], None]
"""Shows one turn."""


def _talked(path: Path | None, tell: Tell, aloud: Voice | None) -> int:
    """A talk of its own over the book, from standard input to its end or "bye"; an empty line stops what is spoken."""
    prepare()
    with open_book(path) as book:
        book.start(True)
        session = Session(datetime.date.today, book)
        told: tuple[str, ...] = ()
        for row in sys.stdin:
            say = plain(row.rstrip("\r\n"))
            reading, replies = turn(session, say)
            now = troubles(book)
            replies, told = (*replies, *(Note(one) for one in now if one not in told)), now
            tell(say, session, reading, replies)
            if aloud is not None and not say.strip():
                aloud.hush()
            _spoken(aloud, replies)
            if any(one.kind == "done" for one in replies):
                break
    _ended(aloud)
    return ANSWERED
