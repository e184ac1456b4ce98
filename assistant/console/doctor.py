"""The check-up: what the program stands on here, what is missing, and what to do about it."""

from __future__ import annotations

import json
import os
import platform
import shutil
import sys
from collections.abc import Iterator
from dataclasses import asdict, dataclass
from importlib import metadata
from pathlib import Path
from typing import Any

import platformdirs

from assistant import __version__
from assistant.book.looking import look_over
from assistant.console.look import look
from assistant.console.looks import ascii_only, width
from assistant.console.named import wrapped
from assistant.console.once import streams
from assistant.console.session import book_file
from assistant.console.settings import Loaded
from assistant.console.speech import PROGRAMS

SPEECH = tuple(one.name for one in PROGRAMS if one.only in ("", sys.platform))
"""Programs that say a line of text here, in the order in which they are looked for."""
NARROW = 40
"""Columns under which rows are broken."""


@dataclass(frozen=True)
class Facts:
    """What was found on this machine; paths as text.

    Attributes:
        packages: name and version of each package that is needed, "" if it is not there.
        book: the file; ``book_there`` whether it is there, ``book_kept`` whether it, or its folder, can be written.
        book_troubles: a sentence for each thing that is wrong with it.
        terminal: whether the output is one; ``term`` what it calls itself.
        shade: the colours, or "none"; ``no_color`` whether NO_COLOR took them away.
        speech: the speech program that was found, or ""; ``speak`` whether the settings want it.
        cache: the folder; ``cache_kept`` whether it can be written.
        settings: the file; ``settings_there`` whether it is there, ``settings_troubles`` what is wrong in it.
    """

    version: str
    python: str
    system: str
    packages: tuple[tuple[str, str], ...]
    book: str
    book_there: bool
    book_kept: bool
    events: int
    batches: int
    book_troubles: tuple[str, ...]
    terminal: bool
    term: str
    columns: int
    rows: int
    encoding: str
    shade: str
    no_color: bool
    speech: str
    speak: bool
    cache: str
    cache_kept: bool
    settings: str
    settings_there: bool
    settings_troubles: tuple[str, ...]


@dataclass(frozen=True)
class Finding:
    """One thing looked at: "ok", "note" or "wrong", what was found, and what to do."""

    about: str
    state: str
    text: str
    do: str = ""


def findings(facts: Facts) -> list[Finding]:
    """The facts as sentences."""
    return [*_machine(facts), *_book(facts), *_settings(facts), *_screen(facts), *_beside(facts)]


def _machine(facts: Facts) -> Iterator[Finding]:
    yield Finding("Program", "ok", f"crockside {facts.version}, Python {facts.python}, {facts.system}.")
    missing = [name for name, version in facts.packages if not version]
    if there := [f"{name} {version}" for name, version in facts.packages if version]:
        yield Finding("Packages", "ok", f"{', '.join(there)}.")
    if missing:
        text = f"{', '.join(missing)} {'is' if len(missing) == 1 else 'are'} not installed."
        yield Finding("Packages", "wrong", text, f"pip install {' '.join(missing)}")


def _book(facts: Facts) -> Iterator[Finding]:
    if not facts.book_there:
        text = f"There is none yet at {facts.book}; it is made with the first line of a talk."
        if facts.book_kept:
            yield Finding("Book", "ok", text)
    elif facts.book_troubles:
        aside = "Copy the file before you do anything else; then start a talk, which mends what can be mended."
        for one in facts.book_troubles:
            other = any(words in one for words in ("another program", "newer", "is a text"))
            yield Finding("Book", "wrong", f"{facts.book}: {one}", "Name another file with --book." if other else aside)
    else:
        events = f"{facts.events} {'event' if facts.events == 1 else 'events'}"
        batches = f"{facts.batches} {'batch' if facts.batches == 1 else 'batches'}"
        yield Finding("Book", "ok", f"{facts.book}: {events} of {batches}, sound.")
    if not facts.book_kept:
        yield Finding(
            "Book", "wrong", f"Nothing can be written at {facts.book}: what you say would not be kept.",
            "Make its folder yours to write in, free room on the disk, or name another file with --book.",
        )  # fmt: skip


def _settings(facts: Facts) -> Iterator[Finding]:
    for one in facts.settings_troubles:
        yield Finding("Settings", "wrong", one, 'Put the line right; "crockside --print-config" writes a whole file.')
    if not facts.settings_there:
        yield Finding("Settings", "ok", f"There is no file at {facts.settings}: the built-in settings hold.")
    elif not facts.settings_troubles:
        yield Finding("Settings", "ok", f"{facts.settings}.")


def _screen(facts: Facts) -> Iterator[Finding]:
    if not facts.terminal:
        yield Finding("Terminal", "note", "The output is no terminal: no colour, and no chat with a bottom line.")
        return
    size = f"{facts.columns} columns, {facts.rows} rows"
    colours = {"none": "no colour", "both": "colours for a dark or a light screen"}.get(
        facts.shade, f"colours for a {facts.shade} screen"
    )
    why = ", because NO_COLOR is set" if facts.no_color and facts.shade == "none" else ""
    yield Finding("Terminal", "ok", f"{facts.term or 'no name'}, {size}, {colours}{why}.")
    if facts.columns < NARROW:
        yield Finding("Terminal", "note", f"Rows are broken under {NARROW} columns.", "Make the window wider.")
    if "utf" not in facts.encoding.lower():
        text = f"It takes {facts.encoding or 'no known letters'}: charts are drawn in ASCII."
        yield Finding("Letters", "note", text, "Set a locale in UTF-8, such as LC_ALL=C.UTF-8.")
    else:
        yield Finding("Letters", "ok", f"{facts.encoding}.")


def _beside(facts: Facts) -> Iterator[Finding]:
    if facts.speech:
        yield Finding("Speech", "ok", f"{facts.speech} says the replies if you set speak.")
    else:
        text = f"No program that speaks was found ({', '.join(SPEECH)})."
        do = "Install one of them, or set speak = false." if facts.speak else ""
        yield Finding("Speech", "wrong" if facts.speak else "note", text, do)
    if facts.cache_kept:
        yield Finding("Cache", "ok", f"{facts.cache}.")
    else:
        text = f"Nothing can be written at {facts.cache}: every start reads the grammar anew and is slower."
        yield Finding("Cache", "note", text, "Make the folder yours to write in.")


def told(found: list[Finding], columns: int) -> list[str]:
    """The findings as lines, what to do under each."""
    out: list[str] = []
    for one in found:
        out += wrapped(f"{one.state}: {one.about}: {one.text}", columns)
        out += wrapped(f"  -> {one.do}", columns) if one.do else []
    wrong = sum(one.state == "wrong" for one in found)
    return [*out, "Nothing is wrong." if not wrong else f"{wrong} {'thing is' if wrong == 1 else 'things are'} wrong."]


def as_object(facts: Facts, found: list[Finding]) -> dict[str, Any]:
    """All of it as plain data."""
    return {"facts": asdict(facts), "findings": [asdict(one) for one in found]}


def facts_of(file: Path, loaded: Loaded, book: Path | None) -> Facts:
    """Looks at this machine; nothing is changed."""
    path = book or book_file()
    there = path.exists()
    looked = look_over(path) if there else None
    size = shutil.get_terminal_size((80, 24))
    terminal, ascii_ = sys.stdout.isatty(), ascii_only(sys.stdout)
    cache = Path(platformdirs.user_cache_dir("crockside", appauthor=False))
    return Facts(
        version=__version__,
        python=platform.python_version(),
        system=platform.system(),
        packages=tuple((one, _version(one)) for one in needed()),
        book=str(path),
        book_there=there,
        book_kept=_can_write(path),
        events=looked.events if looked else 0,
        batches=looked.batches if looked else 0,
        book_troubles=looked.troubles if looked else (),
        terminal=terminal,
        term=os.environ.get("TERM", ""),
        columns=size.columns,
        rows=size.lines,
        encoding=str(sys.stdout.encoding or ""),
        shade=look(loaded.settings, terminal, (size.columns, size.lines), ascii_, os.environ).shade,
        no_color=bool(os.environ.get("NO_COLOR")),
        speech=next((one for one in SPEECH if shutil.which(one)), ""),
        speak=loaded.settings.speak,
        cache=str(cache),
        cache_kept=_can_write(cache / "kitchen.tables"),
        settings=str(file),
        settings_there=file.exists(),
        settings_troubles=loaded.troubles,
    )


def needed() -> list[str]:
    """The packages that the program says it needs, without those for its tests."""
    try:
        wanted = metadata.requires("crockside") or []
    except metadata.PackageNotFoundError:  # run from its folder, not installed
        return []
    return [one.split(";")[0].split(">")[0].split("=")[0].strip() for one in wanted if "extra ==" not in one]


def _version(package: str) -> str:
    try:
        return metadata.version(package)
    except metadata.PackageNotFoundError:
        return ""


def _can_write(path: Path) -> bool:
    """Whether a file can be written, or made: looked up, not tried."""
    if path.exists():
        return path.is_file() and os.access(path, os.W_OK) and os.access(path.parent, os.W_OK)
    folder = path.parent
    while not folder.exists() and folder != folder.parent:
        folder = folder.parent
    return folder.is_dir() and os.access(folder, os.W_OK | os.X_OK)


def doctor(as_json: bool, file: Path, loaded: Loaded, book: Path | None) -> int:
    """Prints what was found; 1 if anything is wrong, else 0."""
    streams(as_json)
    facts = facts_of(file, loaded, book)
    found = findings(facts)
    if as_json:
        print(json.dumps(as_object(facts, found), ensure_ascii=False))
    else:
        print("\n".join(told(found, width())))
    return int(any(one.state == "wrong" for one in found))
