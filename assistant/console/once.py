"""One question, one answer; and a line in, a JSON object out. No prompt library here."""

from __future__ import annotations

import datetime
import io
import os
import shutil
import sys
from collections.abc import Sequence

from assistant.console.jsonl import as_line
from assistant.console.lines import lines
from assistant.console.main import ANSWERED, NEEDS_MORE, NOT_READ, REFUSED
from assistant.console.session import Session, plain, prepare
from assistant.replies import Reply

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


def ask(words: Sequence[str], as_json: bool) -> int:
    """Answers one question from the command line or standard input."""
    streams(as_json)
    say = plain(" ".join(words) if words else sys.stdin.readline().rstrip("\r\n"))
    prepare()
    session = Session(datetime.date.today)
    reading, replies = session.say(say)
    if as_json:
        print(as_line(say, reading, session.talk, replies))
    else:
        for line in lines(replies, width(), colour(sys.stdout)):
            print(line)
    return code(replies)


def json_lines() -> int:
    """One utterance a line from standard input, one JSON object a line to standard output."""
    streams(True)
    prepare()
    session = Session(datetime.date.today)
    for row in sys.stdin:
        say = plain(row.rstrip("\r\n"))
        reading, replies = session.say(say)
        print(as_line(say, reading, session.talk, replies), flush=True)
        if any(one.kind == "done" for one in replies):
            break
    return ANSWERED


def piped() -> int:
    """A talk from standard input with no terminal: a line in, the replies out, a blank line between."""
    streams(False)
    prepare()
    session = Session(datetime.date.today)
    for row in sys.stdin:
        _, replies = session.say(plain(row.rstrip("\r\n")))
        for line in lines(replies, width(), colour(sys.stdout)):
            print(line)
        print(flush=True)
        if any(one.kind == "done" for one in replies):
            break
    return ANSWERED
