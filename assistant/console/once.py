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
from assistant.console.saving import turn
from assistant.console.session import Session, book_file, open_book, plain, prepare, troubles
from assistant.console.settings import Settings
from assistant.replies import Note, Reply, Timer
from grammar.later import module
from grammar.types import Misread, Reading

if TYPE_CHECKING:
    from assistant.console import jsonl
    from assistant.console.speech import Voice
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


def ask(
    words: Sequence[str], as_json: bool, path: Path | None = None, settings: Settings | None = None,
    aloud: Voice | None = None,
) -> int:  # fmt: skip
    """Answers one question from the command line or standard input; what was done is entered in the book.

    Spoken too, it returns when all has been said.
    """
    streams(as_json)
    say = plain(" ".join(words) if words else sys.stdin.readline().rstrip("\r\n"))
    prepare()
    settings = settings or Settings()
    file = path or book_file()
    if not file.exists():
        # no book yet: nothing to look at, and none is made for a mere question
        session = Session(datetime.date.today)
        session.prefer(settings)
        reading, replies = turn(session, say)
        if not session.book.shelf().head:
            return _answered(_json(say, session, reading, replies) if as_json else "", replies, settings, aloud)
    with open_book(path) as book:
        book.start(False)
        session = Session(datetime.date.today, book, every_line=False)
        session.prefer(settings)
        reading, replies = turn(session, say)
        replies = (*replies, *map(Note, troubles(book)))
        return _answered(_json(say, session, reading, replies) if as_json else "", replies, settings, aloud)


def _uncounted(replies: Sequence[Reply]) -> list[Reply]:
    """Without a window nothing is counted down; a front end of JSON lines may count for itself."""
    return [Note("Timers run in the chat window only: nothing was started.") if isinstance(one, Timer) else one
            for one in replies]  # fmt: skip


def _json(say: str, session: Session, reading: Reading | Misread, replies: tuple[Reply, ...]) -> str:
    return jsonl.as_line(say, reading, session.talk, replies)


def _answered(json: str, replies: tuple[Reply, ...], settings: Settings, aloud: Voice | None) -> int:
    """Shows the replies, as a line of JSON if there is one, and says them; the exit code."""
    if json:
        print(json)
    else:
        for line in look_of(settings, sys.stdout).at_once(_uncounted(replies)):
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


def json_lines(path: Path | None = None, settings: Settings | None = None, aloud: Voice | None = None) -> int:
    """One utterance a line from standard input, one JSON object a line to standard output."""
    streams(True)

    def tell(say: str, session: Session, reading: Reading | Misread, replies: tuple[Reply, ...]) -> None:
        print(jsonl.as_line(say, reading, session.talk, replies), flush=True)

    return _talked(path, settings or Settings(), tell, aloud)


def piped(path: Path | None = None, settings: Settings | None = None, aloud: Voice | None = None) -> int:
    """A talk from standard input with no terminal: a line in, the replies out, a blank line between."""
    streams(False)

    settings = settings or Settings()
    look = look_of(settings, sys.stdout)

    def tell(say: str, session: Session, reading: Reading | Misread, replies: tuple[Reply, ...]) -> None:
        for line in look.at_once(_uncounted(replies)):
            print(line)
        print(flush=True)

    return _talked(path, settings, tell, aloud)


Tell = Callable[[str, Session, Reading | Misread, tuple[Reply, ...]], None]
"""Shows one turn."""


def _talked(path: Path | None, settings: Settings, tell: Tell, aloud: Voice | None) -> int:
    """A talk of its own over the book, from standard input to its end or "bye"; an empty line stops what is spoken."""
    prepare()
    with open_book(path) as book:
        book.start(True)
        session = Session(datetime.date.today, book)
        session.prefer(settings)
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
