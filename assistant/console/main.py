"""The ``crockside`` command."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from assistant import __version__

if TYPE_CHECKING:
    from assistant.console.speech import Voice

ANSWERED, REFUSED, NOT_READ, NEEDS_MORE = 0, 1, 2, 3

_ABOUT = "Salt, brine and vessels for fermented pepper sauce and other brined vegetables."
_AFTER = """\
examples:
  crockside                                  talk
  crockside ask "brine for 3 kg in a 10 L crock at 2.5%"
  crockside ask --json "mash of 4 kg of chillies at 3%"
  printf 'brine for 3 kg\\n10 L crock\\n' | crockside chat --json

exit codes of ask: 0 answered, 1 refused, 2 not understood, 3 needs more
"""


def arguments() -> argparse.ArgumentParser:
    """The command line."""
    parser = argparse.ArgumentParser(
        prog="crockside", description=_ABOUT, epilog=_AFTER,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )  # fmt: skip
    parser.add_argument("--version", action="version", version=f"crockside {__version__}")
    parser.add_argument("--book", type=Path, metavar="FILE", help="another book of batches than your own")
    parser.add_argument("--speak", action="store_true", help="say answers and cautions aloud too")
    commands = parser.add_subparsers(dest="command", metavar="")
    ask = commands.add_parser("ask", help="answer one question and stop")
    ask.add_argument("words", nargs="*", help="the question; read from standard input if none")
    ask.add_argument("--json", action="store_true", help="one JSON object")
    chat = commands.add_parser("chat", help="talk (this is what happens with no command)")
    chat.add_argument("--json", action="store_true", help="a line in, a JSON object out")
    chat.add_argument("--fresh", action="store_true", help="do not carry on the last talk")
    sheet = commands.add_parser("sheet", help="write a batch as one page to print (HTML)")
    sheet.add_argument("batch", nargs="?", default="", help="its name or number; the open one if none")
    sheet.add_argument("--to", type=Path, metavar="FILE", help="the page; named after the batch if none")
    sheet.add_argument("--fahrenheit", action="store_true", help="temperatures in F")
    sheet.add_argument("--pounds", action="store_true", help="weights in pounds and ounces")
    export = commands.add_parser("export", help="write the book out: events as JSON Lines, or readings as CSV")
    export.add_argument("batch", nargs="?", default="", help="one batch by name or number; all if none")
    export.add_argument("--readings", action="store_true", help="the readings of one batch as CSV")
    export.add_argument("--to", type=Path, metavar="FILE", help="the file; standard output if none")
    take = commands.add_parser("import", help="read events (JSON Lines), or readings (CSV), into the book")
    take.add_argument("file", type=Path, help="the file; read whole or not at all")
    take.add_argument("--readings", metavar="BATCH", help="a CSV of readings for this batch, by name or number")
    heat = commands.add_parser("heat", help="judge the log of a temperature probe (CSV) by a pH")
    heat.add_argument("file", type=Path, help="times and temperatures, in any common form")
    heat.add_argument("--ph", type=float, metavar="PH", help="what the meter shows, a day after the last addition")
    scale = heat.add_mutually_exclusive_group()
    scale.add_argument("--celsius", dest="scale", action="store_const", const="C", help="the log is in C")
    scale.add_argument("--fahrenheit", dest="scale", action="store_const", const="F", help="the log is in F")
    heat.add_argument("--every", type=float, metavar="SECONDS", help="how far apart the rows are, if they do not say")
    heat.add_argument("--enter", metavar="BATCH", help="enter it with this batch, by name or number")
    save = commands.add_parser("save", help="write the last talk as a file that can be replayed")
    save.add_argument("name", help="a name, or a file that ends in .chat")
    save.add_argument("--replace", action="store_true", help="write over a file that is there")
    replay = commands.add_parser("replay", help="run the talks of files anew and say where they go another way")
    replay.add_argument("files", nargs="+", type=Path, metavar="FILE", help="talks that were saved, or written by hand")
    demo = commands.add_parser("demo", help="show a talk slowly, as if typed (Space goes on, q stops)")
    demo.add_argument("file", nargs="?", default="", metavar="FILE", help="a talk; one of our own if none")
    demo.add_argument("--speed", type=float, default=1.0, metavar="TIMES", help="2 types twice as fast")
    for one in (ask, chat, sheet, export, take, heat, save, replay, demo):
        one.add_argument("--book", type=Path, metavar="FILE", default=argparse.SUPPRESS, help=argparse.SUPPRESS)
    for one in (ask, chat):
        one.add_argument("--speak", action="store_true", default=argparse.SUPPRESS, help="say it aloud too")
    return parser


def main(argv: Sequence[str] | None = None) -> int:
    """Runs the command; returns the exit code."""
    try:
        code = _run(argv)
        sys.stdout.flush()
    except BrokenPipeError:
        # the reader of our output went away (crockside ask ... | head): not an error
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return ANSWERED
    except KeyboardInterrupt:
        return 130
    return code


def _run(argv: Sequence[str] | None) -> int:
    try:
        options = arguments().parse_args(argv)
    except SystemExit as end:
        return int(end.code or 0)
    from assistant.batches.shelf import Unreadable
    from assistant.console.session import BookRefused

    try:
        return _command(options)
    except (BookRefused, Unreadable) as error:
        print(error, file=sys.stderr)
        return REFUSED


def _voice(options: argparse.Namespace) -> Voice | None:
    """Who speaks; None if nobody was asked to, and then nothing of it is loaded."""
    if not options.speak:
        return None
    from assistant.console.speech import find

    return find()


def _command(options: argparse.Namespace) -> int:
    if options.command == "ask":
        from assistant.console.once import ask

        return ask(options.words, options.json, options.book, _voice(options))
    if options.command in ("sheet", "export", "import", "heat"):
        from assistant.console import papers

        return papers.COMMANDS[options.command](options)
    if options.command in ("save", "replay"):
        from assistant.console import replay

        return replay.save(options) if options.command == "save" else replay.replay(options)
    if options.command == "demo":
        from assistant.console.demo import demo

        return demo(options)
    if options.command == "chat" and options.json:
        from assistant.console.once import json_lines

        return json_lines(options.book, _voice(options))
    if not sys.stdin.isatty():
        from assistant.console.once import piped

        return piped(options.book, _voice(options))
    from assistant.console.chat import chat

    return chat(getattr(options, "fresh", False), path=options.book, aloud=_voice(options))
