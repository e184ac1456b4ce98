"""The manual page, made from the declared command line and the declared settings."""

from __future__ import annotations

import argparse
import textwrap
from collections.abc import Iterable, Iterator, Sequence

from assistant import __version__
from assistant.console.settings import SETTINGS, Setting

FILES = (
    ("settings.toml", "In the platform's folder for settings (XDG_CONFIG_HOME on Linux): the settings."),
    ("batches.book", "In its folder for data (XDG_DATA_HOME): the batch book, one SQLite file."),
    (
        "kitchen.tables",
        "In its folder for caches (XDG_CACHE_HOME): what makes the next start faster; it may be deleted.",
    ),
)
ENVIRONMENT = (
    ("NO_COLOR", "If it is set to anything, no colour is used, unless --shade is given."),
    ("COLORFGBG", "If the terminal sets it, --shade auto takes colours for the ground that it names."),
)


def page(parser: argparse.ArgumentParser, examples: Sequence[tuple[str, str]], exits: Sequence[tuple[int, str]]) -> str:
    """The page as man(7) source."""
    name = parser.prog
    (commands,) = [one for one in parser._actions if isinstance(one, argparse._SubParsersAction)]
    helps = {one.dest: one.help or "" for one in commands._choices_actions}
    out = [
        f'.TH {name.upper()} 1 "" "{name} {__version__}" ""',
        *_section("NAME", f"{name} \\- {_text('a talking calculator for fermented pepper sauce')}"),
        ".SH SYNOPSIS",
        *(row for one in ("", *commands.choices) for row in _synopsis(parser, one, commands.choices.get(one))),
        *_section("DESCRIPTION", _text(" ".join((parser.description or "").split()))),
        *_section("OPTIONS", "They may stand before the command, and the settings behind it too."),
        *_options(one for one in parser._actions if one.dest not in _KEYS),
        ".SH SETTINGS",
        _text("Each may stand in the settings file by its name, or be given here for one run. The order is: built in, "
              "the file, NO_COLOR, the command line."),
        *(row for one in SETTINGS for row in _setting(one)),
        ".SH COMMANDS",
    ]  # fmt: skip
    for command, its in commands.choices.items():
        out += [
            f".SS {_text(command)}",
            _text(f"{helps[command][:1].upper()}{helps[command][1:]}."),
            *_options(its._actions),
        ]
        lines = (its.epilog or "").split("\n")
        out += [".PP", _text(lines[0].capitalize()), *_shown(one.strip() for one in lines[1:])]
    out += [".SH EXAMPLES"]
    for at, (line, what) in enumerate(examples):
        out += [*([".PP"] if at else []), _text(f"{what[:1].upper()}{what[1:]}:"), *_shown([line])]
    out += [".SH EXIT STATUS", _text("Of ask:")]
    for code, what in exits:
        out += [".TP", f".B {code}", _text(f"{what[:1].upper()}{what[1:]}.")]
    out += [".PP", _text("Of the other commands 0, or 1 if it could not be done; 2 if the command line is wrong.")]
    for title, told in (("ENVIRONMENT", ENVIRONMENT), ("FILES", FILES)):
        out.append(f".SH {title}")
        for one, what in told:
            out += [".TP", f".I {_text(one)}", _text(what)]
    return "\n".join([*out, ""])


_KEYS = frozenset(one.key for one in SETTINGS)


def _section(title: str, text: str) -> list[str]:
    return [f".SH {title}", text]


def _synopsis(parser: argparse.ArgumentParser, command: str, its: argparse.ArgumentParser | None) -> Iterator[str]:
    words = [f"\\fB{_text(parser.prog)}\\fR", "[options]"]
    if its is not None:
        words.append(f"\\fB{_text(command)}\\fR")
        words += [f"[{_spelled(one)}]" for one in its._actions if _shown_there(one) and one.option_strings]
        words += [_place(one) for one in its._actions if not one.option_strings]
    yield ".HP"
    yield " ".join(words)


def _place(action: argparse.Action) -> str:
    text = f"\\fI{_text(_stands(action))}\\fR"
    return {"?": f"[{text}]", "*": f"[{text} ...]"}.get(str(action.nargs), text)


def _stands(action: argparse.Action) -> str:
    return str(action.metavar or action.dest)


def _shown_there(action: argparse.Action) -> bool:
    return action.help != argparse.SUPPRESS and not isinstance(
        action, argparse._HelpAction | argparse._SubParsersAction
    )


def _options(actions: Iterable[argparse.Action]) -> Iterator[str]:
    for one in actions:
        if _shown_there(one):
            yield ".TP"
            yield _spelled(one) if one.option_strings else _place(one)
            yield _text(f"{(one.help or '').replace('%%', '%').rstrip('.')}.")


def _spelled(action: argparse.Action) -> str:
    names = ", ".join(f"\\fB{_text(one)}\\fR" for one in action.option_strings)
    return names if action.nargs == 0 else f"{names} \\fI{_text(_stands(action))}\\fR"


def _setting(one: Setting) -> Iterator[str]:
    yield ".TP"
    value = "" if isinstance(one.default, bool) else f" \\fI{_text(one.shown)}\\fR"
    other = f", \\fB\\-\\-no\\-{_text(one.key)}\\fR" if isinstance(one.default, bool) else ""
    yield f"\\fB{_text(one.option)}\\fR{other}{value}"
    yield _text(f"{one.comment} In the file: {one.key}, {one.may_be}; {one.usual} if nothing is set.")


def _shown(lines: Iterable[str]) -> Iterator[str]:
    """Lines as they are typed, none of them filled."""
    yield ".RS 4"
    yield ".nf"
    yield from (_clean(one) for one in lines)
    yield ".fi"
    yield ".RE"


def _text(text: str) -> str:
    """A text to be filled, in short rows."""
    rows = textwrap.wrap(_clean(text), 78, break_long_words=False, break_on_hyphens=False)
    return "\n".join(f"\\&{one}" if one.startswith(".") else one for one in rows)


def _clean(text: str) -> str:
    """A text in which nothing is an instruction, and each hyphen is the one that can be typed."""
    for one, written in (("\\", "\\e"), ("-", "\\-"), ("'", "\\(aq"), ("^", "\\(ha"), ("~", "\\(ti"), ("`", "\\(ga")):
        text = text.replace(one, written)
    return f"\\&{text}" if text.startswith(".") else text
