"""The ``crockside`` command."""

from __future__ import annotations

import argparse
import gc
import os
import sys
import textwrap
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from assistant import __version__

if TYPE_CHECKING:
    from assistant.console.settings import Settings
    from assistant.console.speech import Voice

ANSWERED, REFUSED, NOT_READ, NEEDS_MORE = 0, 1, 2, 3

EXITS = ((ANSWERED, "answered"), (REFUSED, "refused"), (NOT_READ, "not understood"), (NEEDS_MORE, "needs more"))
"""The exit codes of ask; other commands end with 0 or 1."""
SELDOM = (100_000, 10, 10)
"""When Python looks for garbage: starting makes none, and looking a hundred times for it delays a cold answer."""

_ABOUT = (
    "Salt, brine and vessels for fermented pepper sauce and other brined vegetables: a calculator that you talk to. "
    "It repeats what it understood, says what it assumed, and refuses what cannot be."
)
EXAMPLES = (
    ("crockside", "talk"),
    ('crockside ask "brine for 3 kg in a 10 L crock at 2.5%"', "one answer"),
    ('crockside ask --json "mash of 4 kg of chillies at 3%"', "one answer, for a program"),
    ("printf 'brine for 3 kg\\n10 L crock\\n' | crockside chat --json", "a talk, for a program"),
    ("crockside --large --units us", "talk, to be read from two metres off, in pounds"),
    ("crockside --print-config > settings.toml", "the settings in force, as a file to change"),
    ("crockside doctor", "what is missing, and what to do about it"),
)


class _Help(argparse.HelpFormatter):
    """Sentences are wrapped for the screen; examples, which are indented, stand as they are typed."""

    def _fill_text(self, text: str, width: int, indent: str) -> str:
        rows: list[str] = []
        for row in text.split("\n"):
            rows += [row] if row.startswith("  ") else textwrap.wrap(row, width) or [""]
        return "\n".join(f"{indent}{row}" for row in rows)


def arguments() -> argparse.ArgumentParser:
    """The command line. Help, the completions and the manual page are all made from what stands here."""
    from assistant.console.settings import add_options

    parser = argparse.ArgumentParser(
        prog="crockside", description=_ABOUT, epilog=_after(), allow_abbrev=False,
        formatter_class=_Help, usage="crockside [options] [command] ...",
    )  # fmt: skip
    parser.add_argument("--version", action="version", version=f"crockside {__version__}")
    parser.add_argument("--print-config", action="store_true", help="write out the settings in force, and stop")
    parser.add_argument("--batches", action="store_true", help=argparse.SUPPRESS)  # what the completions ask
    settings = parser.add_argument_group(
        "settings", 'For this run; the settings file keeps them ("crockside doctor" says where it is).'
    )
    add_options(settings)
    commands = parser.add_subparsers(dest="command", metavar="", title="commands", prog="crockside")

    def command(name: str, what: str, *examples: str) -> argparse.ArgumentParser:
        one = commands.add_parser(
            name, help=what, description=f"{what[0].upper()}{what[1:]}.", allow_abbrev=False,
            epilog="\n".join(["examples:" if len(examples) > 1 else "example:", *(f"  {each}" for each in examples)]),
            formatter_class=_Help,
        )  # fmt: skip
        add_options(one, hidden=True)
        return one

    chat = command("chat", "talk (this is what happens with no command)", "crockside chat --fresh")
    chat.add_argument("--json", action="store_true", help="a line in, a JSON object out")
    chat.add_argument("--fresh", action="store_true", help="do not carry on the last talk")
    ask = command("ask", "answer one question and stop", 'crockside ask "how big a jar for 3 kg of mash"')
    ask.add_argument("words", nargs="*", help="the question; read from standard input if none")
    ask.add_argument("--json", action="store_true", help="one JSON object")
    sheet = command("sheet", "write a batch as one page to print (HTML)", "crockside sheet Ember --to ember.html")
    sheet.add_argument("batch", nargs="?", default="", metavar="BATCH", help="its name or number; the open one if none")
    sheet.add_argument("--to", type=Path, metavar="FILE", help="the page; named after the batch if none")
    sheet.add_argument("--fahrenheit", action="store_true", help="temperatures in F")
    sheet.add_argument("--pounds", action="store_true", help="weights in pounds and ounces")
    export = command(
        "export", "write the book out: events as JSON Lines, or readings as CSV",
        "crockside export > book.jsonl", "crockside export Ember --readings --to ember.csv",
    )  # fmt: skip
    export.add_argument("batch", nargs="?", default="", metavar="BATCH", help="by name or number; all if none")
    export.add_argument("--readings", action="store_true", help="the readings of one batch as CSV")
    export.add_argument("--to", type=Path, metavar="FILE", help="the file; standard output if none")
    take = command(
        "import", "read events (JSON Lines), or readings (CSV), into the book",
        "crockside import book.jsonl", "crockside import probe.csv --readings Ember",
    )  # fmt: skip
    take.add_argument("file", type=Path, metavar="FILE", help="the file; read whole or not at all")
    take.add_argument("--readings", metavar="BATCH", help="a CSV of readings for this batch, by name or number")
    heat = command(
        "heat", "judge the log of a temperature probe (CSV) by a pH",
        "crockside heat probe.csv --ph 4.0", "crockside heat probe.csv --ph 3.9 --every 30 --enter Ember",
    )  # fmt: skip
    heat.add_argument("file", type=Path, metavar="FILE", help="times and temperatures, in any common form")
    heat.add_argument("--ph", type=float, metavar="PH", help="what the meter shows, a day after the last addition")
    scale = heat.add_mutually_exclusive_group()
    scale.add_argument("--celsius", dest="scale", action="store_const", const="C", help="the log is in C")
    scale.add_argument("--fahrenheit", dest="scale", action="store_const", const="F", help="the log is in F")
    heat.add_argument("--every", type=float, metavar="SECONDS", help="how far apart the rows are, if they do not say")
    heat.add_argument("--enter", metavar="BATCH", help="enter it with this batch, by name or number")
    _talks(command)
    doctor = command("doctor", "look over the book, the settings and the terminal", "crockside doctor --json")
    doctor.add_argument("--json", action="store_true", help="one JSON object")
    completion = command(
        "completion", "write the completions for a shell",
        'eval "$(crockside completion bash)"', "crockside completion zsh > ~/.zfunc/_crockside",
        "crockside completion fish > ~/.config/fish/completions/crockside.fish",
    )  # fmt: skip
    completion.add_argument("shell", choices=("bash", "zsh", "fish"), metavar="bash|zsh|fish",
                            help="the shell")  # fmt: skip
    command(
        "man",
        "write the manual page",
        "crockside man > ~/.local/share/man/man1/crockside.1",
        "crockside man | man -l -",
    )
    return parser


def _talks(command: Callable[..., argparse.ArgumentParser]) -> None:
    """Talks as files."""
    save = command("save", "write the last talk as a file that can be replayed", "crockside save first-brine")
    save.add_argument("name", help="a name, or a file that ends in .chat")
    save.add_argument("--replace", action="store_true", help="write over a file that is there")
    replay = command(
        "replay", "run the talks of files anew and say where they go another way", "crockside replay first-brine.chat"
    )
    replay.add_argument("files", nargs="+", type=Path, metavar="FILE", help="talks that were saved, or written by hand")
    demo = command("demo", "show a talk slowly, as if typed (Space goes on, q stops)", "crockside demo --pace 2")
    demo.add_argument("file", nargs="?", default="", metavar="FILE", help="a talk; one of our own if none")
    demo.add_argument("--pace", type=float, default=1.0, metavar="TIMES", help="2 types twice as fast")


def _after() -> str:
    wide = max(len(line) for line, _ in EXAMPLES[:3])
    rows = [f"  {line:<{wide}}  {what}" if len(line) <= wide else f"  {line}" for line, what in EXAMPLES]
    codes = ", ".join(f"{code} {what}" for code, what in EXITS)
    return "\n".join(["examples:", *rows, "", f"exit codes of ask: {codes}"])


def main(argv: Sequence[str] | None = None) -> int:
    """Runs the command; returns the exit code."""
    gc.set_threshold(*SELDOM)
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
    if options.command == "completion":
        from assistant.console.completion import completion

        return _printed(completion(arguments(), options.shell))
    if options.command == "man":
        from assistant.console.manual import page

        return _printed(page(arguments(), EXAMPLES, EXITS))
    from assistant.console.settings import in_force, settings_file, written

    file = settings_file()
    loaded = in_force(file, vars(options), os.environ)
    options.settings = loaded.settings
    # the same name on the command line and in the file; ~ is the shell's there and ours here
    options.book = Path(loaded.settings.book).expanduser() if loaded.settings.book else None
    if options.command == "doctor":
        from assistant.console.doctor import doctor

        return doctor(options.json, file, loaded, options.book)
    for one in loaded.troubles:
        print(one, file=sys.stderr)
    if options.print_config:
        return _printed(written(loaded.settings))
    try:
        return _command(options, file)
    except Exception as error:
        # read only now: the first prompt of the chat waits for neither
        from assistant.batches.shelf import Unreadable
        from assistant.console.session import BookRefused

        if not isinstance(error, BookRefused | Unreadable):
            raise
        print(error, file=sys.stderr)
        return REFUSED


def _printed(text: str) -> int:
    sys.stdout.write(text)
    return ANSWERED


def _command(options: argparse.Namespace, file: Path) -> int:
    settings: Settings = options.settings
    if options.command == "ask":
        from assistant.console.once import ask

        return ask(options.words, options.json, options.book, settings, _voice(settings))
    if options.batches:
        from assistant.console.papers import batches

        return batches(options.book)
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

        return json_lines(options.book, settings, _voice(settings))
    if not sys.stdin.isatty():
        from assistant.console.once import piped

        return piped(options.book, settings, _voice(settings))
    return _talk(options, settings, file)


def _voice(settings: Settings) -> Voice | None:
    """Who speaks; None if nobody is to, and then nothing of it is loaded."""
    if not settings.speak:
        return None
    from assistant.console.speech import find

    return find(voice=settings.voice, speed=settings.speed)


def _talk(options: argparse.Namespace, settings: Settings, file: Path) -> int:
    import platformdirs

    from assistant.console.settings import keep
    from assistant.console.welcome import Start, next_tip

    cache = Path(platformdirs.user_cache_dir("crockside", appauthor=False))
    first = not file.exists()
    start = Start(settings, first, 0 if first else next_tip(cache), lambda chosen, key: keep(file, chosen, key))
    fresh = getattr(options, "fresh", False)
    # a terminal that cannot move its cursor cannot show what a key changes in the line either
    if settings.plain or os.environ.get("TERM", "").lower() in ("dumb", "unknown"):
        import datetime

        from assistant.console.engine import Times
        from assistant.console.once import look_of, streams
        from assistant.console.plainly import chat as plainly

        streams(False)
        times = Times(datetime.date.today, datetime.datetime.now)
        return plainly(start, lambda wanted: look_of(wanted, sys.stdout), times, fresh=fresh, path=options.book,
                       aloud=_voice(settings))  # fmt: skip
    from assistant.console.chat import chat

    return chat(fresh, path=options.book, start=start, aloud=_voice(settings))
