"""What a person can set once and for all: one commented TOML file, declared here and nowhere else.

The built-in values come first, the file over them, then NO_COLOR, then the command line.
"""

from __future__ import annotations

import argparse
import difflib
import json
import re
import textwrap
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, fields, replace
from pathlib import Path
from typing import Any

Value = bool | int | str


@dataclass(frozen=True)
class Setting:
    """One thing to set.

    Attributes:
        key: its name in the file; on the command line it is ``--key``.
        default: the value where nothing is said; its type is the setting's kind.
        comment: what it does, for the file, the help and the manual page.
        allowed: the words it may be, if not any.
        least: the least it may be, ``most`` the most, of a number.
        stands: what stands for the value in a help text ("FILE").
    """

    key: str
    default: Value
    comment: str
    allowed: tuple[str, ...] = ()
    least: int = 0
    most: int = 0
    stands: str = ""

    @property
    def option(self) -> str:
        """The option of the command line that sets it."""
        return f"--{self.key}"

    @property
    def brief(self) -> str:
        """The comment's first sentence."""
        return f"{self.comment.split('. ')[0].rstrip('.')}."

    @property
    def may_be(self) -> str:
        """What it may be, in words."""
        if self.allowed:
            return f"{_listed(_written(one) for one in self.allowed)}"
        if isinstance(self.default, bool):
            return "true or false"
        if isinstance(self.default, int):
            return f"a whole number from {self.least} to {self.most}"
        return "text in quotation marks"

    @property
    def shown(self) -> str:
        """What stands for its value on the command line."""
        if self.allowed:
            return "|".join(f'"{one}"' if " " in one else one for one in self.allowed)
        return "N" if isinstance(self.default, int) else self.stands

    @property
    def usual(self) -> str:
        """The default, as the file writes it."""
        return _written(self.default)

    def takes(self, value: object) -> bool:
        """Whether the value is one it may have."""
        if type(value) is not type(self.default):  # True is no number here
            return False
        if isinstance(value, bool):
            return True
        if isinstance(value, int):
            return self.least <= value <= self.most
        return not self.allowed or value in self.allowed


def _one_of(*allowed: str, comment: str) -> str:
    """A word out of these; the first is the default."""
    return _field(allowed[0], comment, allowed=allowed)  # type: ignore[no-any-return]


def _switch(default: bool, comment: str) -> bool:
    return _field(default, comment)  # type: ignore[no-any-return]


def _number(default: int, least: int, most: int, comment: str) -> int:
    return _field(default, comment, least=least, most=most)  # type: ignore[no-any-return]


def _text(comment: str, stands: str) -> str:
    return _field("", comment, stands=stands)  # type: ignore[no-any-return]


def _field(default: Value, comment: str, **more: Any) -> Any:
    return field(default=default, metadata={"comment": comment, **more})


@dataclass(frozen=True)
class Settings:
    """The settings in force. A field is a setting: its name is the key, and its comment stands with it."""

    units: str = _one_of(
        "as said", "metric", "us",
        comment="The units of the answers: as you said yours, always metric, or always pounds and gallons "
        "(with grams and litres beside them).",
    )  # fmt: skip
    temperature: str = _one_of(
        "with units", "celsius", "fahrenheit",
        comment="The degrees of the answers. With units: C if units are metric, F if they are us, else as you said "
        "yours.",
    )  # fmt: skip
    cups: str = _one_of(
        "us", "imperial", "metric", "australian",
        comment="Whose cups, pints and gallons you mean when you do not say.",
    )  # fmt: skip
    large: bool = _switch(
        False, comment='Large type: fewer words, wide spacing, the number in tall digits. "more" gives the rest.'
    )
    shade: str = _one_of(
        "auto", "dark", "light", "none",
        comment="Colours for a dark or a light screen. Auto: those that can be read on both, unless the terminal says "
        "which it is. None: no colour. No colour carries a meaning of its own.",
    )  # fmt: skip
    plain: bool = _switch(
        False,
        comment="For a screen reader: no bottom line, no drawing, no moving cursor; a chart is said in numbers, and "
        "each reply begins with a word that says what it is.",
    )
    live: bool = _switch(True, comment="Show the result under the line while you type it.")
    bell: bool = _switch(True, comment="Ring the terminal's bell when a timer is due.")
    speak: bool = _switch(False, comment="Say the replies aloud, if the machine has a speech program.")
    voice: str = _text(
        comment="The voice to speak with, by the speech program's name for it; its own if empty.", stands="NAME"
    )
    speed: int = _number(160, 60, 400, comment="How fast to speak, in words a minute.")
    tips: bool = _switch(True, comment="Show one thing to say at each start.")
    book: str = _text(comment="The file of your batch book; in your data folder if empty.", stands="FILE")


SETTINGS = tuple(Setting(one.name, getattr(Settings(), one.name), **one.metadata) for one in fields(Settings))
"""All declarations, in the order of the file."""

_BY_KEY = {one.key: one for one in SETTINGS}
_PLACE = r" ?\(at (?:line (\d+), column \d+|end of document)\)$"


@dataclass(frozen=True)
class Loaded:
    """Settings as they were found, and what was wrong on the way: a sentence each."""

    settings: Settings
    troubles: tuple[str, ...] = ()


def of_text(text: str) -> Loaded:
    """The settings of a file's text; what is wrong in it is told and the built-in value holds."""
    import tomllib

    try:
        found = tomllib.loads(text)
    except RecursionError:
        return Loaded(Settings(), ("It is no TOML: brackets within brackets. The built-in settings hold.",))
    except ValueError as error:  # a number too long to read is one, and not of TOML's own kind
        return Loaded(Settings(), (f"It is no TOML{_fault(str(error), text)} The built-in settings hold.",))
    values: dict[str, Any] = {}
    troubles = []
    for key, value in found.items():
        declared = _BY_KEY.get(key)
        if declared is None:
            near = difflib.get_close_matches(key.lower(), _BY_KEY, 1, 0.5)
            there = f'the nearest is "{near[0]}"' if near else f"there are {', '.join(_BY_KEY)}"
            troubles.append(f'"{_short(key)}" is no setting and was passed over; {there}.')
        elif not declared.takes(value):
            troubles.append(
                f"{key} must be {declared.may_be}, not {_short(_written(value))}; "
                f"{_written(declared.default)} holds."
            )  # fmt: skip
        else:
            values[key] = value
    return Loaded(replace(Settings(), **values), tuple(troubles))


def of_file(file: Path) -> Loaded:
    """The settings of a file; the built-in ones if there is none. What is wrong is told with the file's name."""
    try:
        text = file.read_bytes().decode("utf-8-sig")
    except (FileNotFoundError, NotADirectoryError):
        return Loaded(Settings())
    except OSError as error:
        found = Loaded(Settings(), (f"It cannot be read: {error.strerror or error}. The built-in settings hold.",))
    except UnicodeDecodeError:
        found = Loaded(Settings(), ("It is not text in UTF-8. The built-in settings hold.",))
    else:
        found = of_text(text.replace("\r\n", "\n"))
    return Loaded(found.settings, tuple(f"Settings in {file}: {one}" for one in found.troubles))


def in_force(file: Path, options: Mapping[str, Any], environment: Mapping[str, str]) -> Loaded:
    """The settings for this run: built-in, then the file, then NO_COLOR, then the command line."""
    found = of_file(file)
    settings = found.settings
    if environment.get("NO_COLOR"):
        settings = replace(settings, shade="none")
    given = {one.key: options[one.key] for one in SETTINGS if options.get(one.key) is not None}
    if "book" in given:
        given["book"] = str(given["book"])
    return Loaded(replace(settings, **given), found.troubles)


def settings_file() -> Path:
    """Where the settings are kept."""
    import platformdirs

    return Path(platformdirs.user_config_dir("crockside", appauthor=False)) / "settings.toml"


def written(settings: Settings, only: Iterable[str] | None = None) -> str:
    """The commented file with these values; of ``only`` some keys, the others are commented out."""
    kept = None if only is None else set(only)
    out = ["# Settings of crockside. A line that begins with # counts for nothing: take it away to set something.\n"]
    for one in SETTINGS:
        may_be = "" if one.stands else f" ({one.may_be})"
        note = textwrap.wrap(f"{one.comment}{may_be}", 96, break_long_words=False, break_on_hyphens=False)
        value = getattr(settings, one.key)
        mark = "" if (kept is None or one.key in kept) and _can_be_written(value) else "# "
        out.append("".join(f"# {row}\n" for row in note) + f"{mark}{one.key} = {_written(value)}\n")
    return "\n".join(out)


def keep(file: Path, settings: Settings, *keys: str) -> str:
    """Makes the commented file, with these keys set in it; a sentence if it cannot be written, else "".

    A file that is there already is left alone: it is the person's own.
    """
    if file.exists():
        return ""
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        with file.open("x", encoding="utf-8", newline="\n") as out:
            out.write(written(replace(Settings(), **{one: getattr(settings, one) for one in keys}), keys))
    except OSError as error:
        return f"The settings cannot be kept in {file}: {error.strerror or error}."
    return ""


def add_options(parser: argparse.ArgumentParser | argparse._ArgumentGroup, hidden: bool = False) -> None:
    """An option for each setting; what is not given on the command line is not in the result."""
    for one in SETTINGS:
        text = argparse.SUPPRESS if hidden else one.brief.replace("%", "%%")
        more: dict[str, Any] = {"default": argparse.SUPPRESS, "help": text, "dest": one.key}
        if isinstance(one.default, bool):
            parser.add_argument(one.option, action=argparse.BooleanOptionalAction, **more)
        elif isinstance(one.default, int):
            parser.add_argument(one.option, type=_whole(one), metavar=one.shown, **more)
        elif one.allowed:
            parser.add_argument(one.option, choices=one.allowed, metavar=one.shown, **more)
        else:
            parser.add_argument(one.option, type=Path if one.stands == "FILE" else str, metavar=one.shown, **more)


def _whole(declared: Setting) -> Any:
    def number(said: str) -> int:
        value = int(said) if said.isdecimal() and len(said) < 10 else -1
        if not declared.takes(value):
            raise argparse.ArgumentTypeError(f"it must be {declared.may_be}")
        return value

    return number


def _fault(said: str, text: str) -> str:
    """Where TOML stopped, and what stands there: ' in line 3: "units = metric".'."""
    place = re.search(_PLACE, said)
    if place is None:
        return "."
    rows = text.split("\n")
    number = min(int(place[1]) if place[1] else len(rows), len(rows))
    while number > 1 and not rows[number - 1].strip():
        number -= 1  # what was never ended is the fault of the last line with something on it
    row = _short(rows[number - 1].strip())
    return f' in line {number}: "{row}".' if row else f" in line {number}."


def _short(text: str) -> str:
    """As much of what was written as fits in a sentence, with nothing in it that a screen would obey."""
    clean = "".join(one if one.isprintable() else "\ufffd" for one in text)
    return clean if len(clean) <= 40 else f"{clean[:37]}..."


def _can_be_written(value: object) -> bool:
    """Whether TOML can hold it: bytes of a file name that are no text are none of its letters."""
    return not isinstance(value, str) or not re.search("[\ud800-\udfff]", value)


def _written(value: object) -> str:
    """A value as TOML writes it."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")
    if isinstance(value, dict):
        return "a table"
    if isinstance(value, list):
        return "a list"
    return str(value)


def _listed(words: Iterable[str]) -> str:
    *first, last = words
    return f"{', '.join(first)} or {last}"
