"""Running scenario files anew, on a book of their own in memory: to see whether they still hold."""

from __future__ import annotations

import argparse
import sys
import textwrap
from collections.abc import Sequence
from pathlib import Path

from assistant.console.looks import width
from assistant.console.main import ANSWERED, NOT_READ, REFUSED
from assistant.console.once import streams
from assistant.console.scenario import Scenario, differences, everything, opened, turns
from assistant.console.session import Memory, Session, book_file, open_book, prepare
from assistant.replies import Refuse

BOOK_LEFT = "A replay has a book of its own, in memory: the one that was named is not touched."


def scenarios(files: Sequence[Path]) -> dict[str, Scenario] | None:
    """The scenarios of these files, or None after a sentence why they cannot be read."""
    try:
        found = everything(files)
    except OSError as error:
        print(f'"{error.filename}" cannot be read ({error.strerror}).', file=sys.stderr)
        return None
    except ValueError as error:
        print(error, file=sys.stderr)
        return None
    if not any(list(turns(one, found)) for one in found.values()):
        print(f'Nothing is said in "{files[0]}": a line that is said begins with ">".', file=sys.stderr)
        return None
    return found


def replay(options: argparse.Namespace) -> int:
    """Runs the talks of files and says where the replies are not those that the files claim."""
    streams(False)
    if options.book is not None:
        print(BOOK_LEFT, file=sys.stderr)
    found = scenarios(options.files)
    if found is None:
        return NOT_READ
    prepare()
    said, other = 0, 0
    for scenario in found.values():
        session = opened(scenario, Memory())
        for turn, own in turns(scenario, found):
            replies = session.say(turn.say)[1]
            if not own:
                continue
            said += 1
            wrong = differences(turn, replies)
            if wrong:
                other += 1
                print(f"{scenario.file.name}, {scenario.title}, line {turn.line}:")
                for row in [f"> {turn.say}", *(one for each in wrong for one in each.splitlines())]:
                    print(textwrap.fill(row.strip(), width(), initial_indent="  ", subsequent_indent="      "))
    files = ", ".join(str(file) for file in options.files)
    lines = f"{said} line{'' if said == 1 else 's'}"
    print(f"{files}: {other} of {lines} went another way." if other else f"{files}: {lines}, all as the file says.")
    return REFUSED if other else ANSWERED


def save(options: argparse.Namespace) -> int:
    """Saves the talk that was carried on last."""
    from assistant.console.saving import file_of, save_to

    streams(False)
    name = str(options.name)
    to = Path(name) if name.endswith(".chat") or "/" in name or "\\" in name else file_of(name)
    if to is None:
        print(f'"{name}" cannot be a file\'s name: letters, figures, blanks and dashes make one.', file=sys.stderr)
        return REFUSED
    told = []
    file = options.book or book_file()
    if file.exists():
        import datetime

        with open_book(options.book) as book:
            session = Session(datetime.date.today, book)
            session.resume(book.talk())
            told = session.told
    done = save_to(told, to, options.replace)
    refused = isinstance(done, Refuse)
    print(textwrap.fill(done.text, width(), break_on_hyphens=False), file=sys.stderr if refused else sys.stdout)
    return REFUSED if refused else ANSWERED
