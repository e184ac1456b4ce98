"""Saving a talk as a scenario file: only what can be replayed on an empty book, and never over another file."""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import date
from pathlib import Path

from assistant.console.session import Memory, Session
from assistant.replies import Ask, Note, Refuse, Reply
from assistant.talk.state import State, Talk
from grammar.later import regex
from grammar.measures import KITCHENS
from grammar.reader import read
from grammar.types import Misread, Reading

Told = tuple[str, date, tuple[Reply, ...]]
"""A line, its day, and what came back."""

_WANTED = regex(
    r"\s*(?:please,? )?(?:can you |could you )?(?:save|keep|store|write(?: down)?|record)\s+"
    r"(?:this|the|our|my)(?: whole)?\s+(?:talk|chat|conversation)(?:\s+(?:so far|up to here))?"
    r"(?:\s+(?:as|to|under|in|into|called)\s+(?P<name>.+?))?(?:,? please)?\s*[.!?]*\s*",
    re.IGNORECASE,
)
_NAME = regex(r"[^\W_][\w -]{0,59}")
_BATCH = regex(r"\b(batch) \d+|\bB\d+(?=-\d)", re.IGNORECASE)


def turn(session: Session, line: str) -> tuple[Reading | Misread, tuple[Reply, ...]]:
    """A line of talk; "save this talk as NAME" is done here and is no part of the talk."""
    wanted = _WANTED.fullmatch(line)
    if wanted is None:
        return session.say(line)
    if wanted["name"] is None:
        return read(line), (Ask('Under which name? Say, for example, "save this talk as first-brine".'),)
    return read(line), (_here(session, wanted["name"].strip("\"' ")),)


def _here(session: Session, name: str) -> Reply:
    """Saves the talk of this window, unless more was said before than was brought back."""
    from assistant.book.talks import KEEP

    if session.resumed >= KEEP:
        return Refuse(
            f"Only the last {KEEP} lines of this talk were brought back when it was carried on, and what came before "
            'counts too: nothing was written. "crockside save" with a name, in a shell, writes all of it.'
        )
    return save(session.told, name)


def file_of(name: str) -> Path | None:
    """The file for a talk's name, in the folder one is in, or None if no file may be called so."""
    name = name.removesuffix(".chat")
    return Path(f"{name.strip().replace(' ', '-')}.chat") if _NAME.fullmatch(name) else None


def save(told: Sequence[Told], name: str) -> Reply:
    """Saves what was said under a name; a note of what was done, or a refusal."""
    file = file_of(name)
    if file is None:
        return Refuse(f'"{name}" cannot be a file\'s name: letters, figures, blanks and dashes make one.')
    return save_to(told, file)


def save_to(told: Sequence[Told], file: Path, over: bool = False) -> Reply:
    """Saves what was said in a file; ``over`` allows to write over one that is there."""
    # only here: a line that is no wish to save needs none of it
    from assistant import __version__
    from assistant.console.scenario import Mismatch, written
    from assistant.show import day

    told = [(" ".join(say.split("\n")).replace("\r", " "), when, replies) for say, when, replies in told if say.strip()]
    if not told:
        return Refuse("Nothing has been said in this talk yet: there is nothing to save.")
    if not over and file.exists():
        return Refuse(f'"{file}" is there already, and nothing was written. Take another name.')
    kitchen, anew = _longest(told)
    if not anew:
        return Refuse(
            f'The talk begins with "{told[0][0]}", which rests on what was in the book before: '
            "on an empty book it would go another way, so nothing was written."
        )
    prose = [f"A talk of {day(float(f'{told[0][1]:%Y%m%d}'))}, saved by crockside {__version__}.",
             "It starts from an empty book; its batches are numbered from 1."]  # fmt: skip
    cut = told[len(anew)][0] if len(anew) < len(told) else ""
    if cut:
        prose.append(f'It ends before "{cut}", which rests on what was in the book before this talk.')
    text = written(file.stem.replace("-", " "), prose, kitchen, anew, "what the program itself said; checked by nobody")
    try:
        _replays(text, file)
    except (ValueError, Mismatch):
        return Refuse("Something in this talk cannot be written so that it replays the same: nothing was written.")
    try:
        with file.open("w" if over else "x", encoding="utf-8", newline="\n") as out:
            out.write(text)
    except FileExistsError:
        return Refuse(f'"{file}" is there already, and nothing was written. Take another name.')
    except OSError as error:
        return Refuse(f'"{file}" cannot be written ({error.strerror}).')
    ended = f' It ends before "{cut}", which rests on what was in the book before this talk.' if cut else ""
    lines = f"{len(anew)} line{'' if len(anew) == 1 else 's'}"
    return Note(f'The talk is in "{file}", {lines}. "crockside replay" runs it anew.{ended}')


def _longest(told: Sequence[Told]) -> tuple[str, list[Told]]:
    """The talk on an empty book for as long as it goes as it went, with what comes back there.

    Whose cups it began with is not kept anywhere: the kitchen with which it goes longest is the one.
    """
    found = {kitchen: _anew(told, kitchen) for kitchen in KITCHENS}
    best = max(KITCHENS, key=lambda one: len(found[one]))
    return best, found[best]


def _anew(told: Sequence[Told], kitchen: str) -> list[Told]:
    now = told[0][1]
    session = Session(lambda: now, Memory())
    session.talk = Talk(State(kitchen=kitchen))
    out: list[Told] = []
    for say, when, replies in told:
        now = when
        fresh = session.say(say)[1]
        if list(map(_said, replies)) != list(map(_said, fresh)):
            break
        out.append((say, when, fresh))
    return out


def _said(reply: Reply) -> tuple[str, str]:
    """A reply but for the numbers of batches: on an empty book they begin at 1."""
    return reply.kind, _BATCH.sub(lambda found: found[1] or "B", reply.text)


def _replays(text: str, file: Path) -> None:
    """Runs what is to be written.

    Raises:
        ValueError: it cannot be read.
        Mismatch: it goes another way.
    """
    from assistant.console.scenario import check, opened, parsed, turns

    (scenario,) = parsed(text, file)
    session = opened(scenario, Memory())
    for each, _ in turns(scenario, {}):
        check(each, session.say(each.say)[1], scenario.title)
