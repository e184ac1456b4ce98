"""The chat on a terminal (prompt_toolkit)."""

from __future__ import annotations

import datetime
import sys
from collections.abc import Callable
from pathlib import Path

import platformdirs
from prompt_toolkit import PromptSession
from prompt_toolkit.formatted_text import ANSI
from prompt_toolkit.history import InMemoryHistory
from prompt_toolkit.input import Input
from prompt_toolkit.output import Output
from prompt_toolkit.shortcuts import print_formatted_text

from assistant.console.journal import FileJournal
from assistant.console.lines import caret, lines
from assistant.console.once import colour, width
from assistant.console.session import Session, prepare
from assistant.replies import NotRead, Reply
from assistant.talk.state import State
from assistant.trade import calculator

PROMPT = "say: "

WELCOME = (
    'Say what is on the bench, for example "brine for 3 kg of peppers in a 10 L crock at 2.5%".',
    'Then "make it 4 kg", "why?", "undo", or "help". "bye" ends it; nothing is lost.',
    "A calculator with cautions, not a process authority: local rules decide for anything sold.",
)


def data_file() -> Path:
    """Where the talk is kept."""
    return Path(platformdirs.user_data_dir("crockside", appauthor=False)) / "talk.jsonl"


def standing(state: State) -> str:
    """The bottom line: what is being asked or what the last answer stands on, and the keys."""
    if state.mode == "asking" and state.job is not None:
        item = calculator(state.job.calculator).input(state.asking[0])
        now = f"asking: {item.label}"
    elif state.mode in ("choosing", "confirming"):
        now = "asking: which one"
    elif state.answered is not None:
        given = ", ".join(one.said for one in state.answered.given)
        now = given
    else:
        now = "nothing open"
    return f" {now} | help, why, undo, bye "


def chat(fresh: bool = False, terminal: Input | None = None, screen: Output | None = None,
         today: Callable[[], datetime.date] = datetime.date.today, path: Path | None = None) -> int:  # fmt: skip
    """Talks until "bye", Ctrl-D or the end of the input; the talk so far is carried on."""
    journal = FileJournal(path or data_file())
    prepare()
    session = Session(today, journal)
    before = [] if fresh else journal.said()
    if fresh or not before:
        journal.clear()
    session.resume(before)
    prompt: PromptSession[str] = PromptSession(
        PROMPT, history=InMemoryHistory(), input=terminal, output=screen,
        bottom_toolbar=lambda: standing(session.talk.now),
    )  # fmt: skip
    for say, _ in before:
        prompt.history.append_string(say)
    shade = colour(sys.stdout) if screen is None else False

    def show(text: str) -> None:
        print_formatted_text(ANSI(text), output=screen)

    for line in WELCOME:
        for row in lines_of(line):
            show(row)
    show("")
    if before and session.talk.now.said:
        show('Carrying on where you stopped; "start over" clears it.')
        for row in lines(session.talk.now.said, width(), shade):
            show(row)
        show("")
    warned = False
    while True:
        try:
            say = prompt.prompt()
        except KeyboardInterrupt:
            show('The line is dropped. "bye" or Ctrl-D ends the talk.')
            continue
        except EOFError:
            show("Goodbye." if journal.trouble else "Goodbye. The talk is kept.")
            return 0
        _, replies = session.say(say)
        if any(one.kind == "done" for one in replies):
            show("Goodbye." if journal.trouble else "Goodbye. The talk is kept.")
            return 0
        point = pointing(say, replies)
        if point:
            show(point)
        for row in lines(replies, width(), shade):
            show(row)
        show("")
        if journal.trouble and not warned:
            show(journal.trouble)
            warned = True


def lines_of(text: str) -> list[str]:
    """A sentence of our own, wrapped."""
    import textwrap

    return textwrap.wrap(text, width())


def pointing(say: str, replies: tuple[Reply, ...]) -> str:
    """The caret line under what was typed, if something in it was not understood."""
    for one in replies:
        if isinstance(one, NotRead):
            return caret(say, one, len(PROMPT), width())
    return ""
