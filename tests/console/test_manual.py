"""The manual page and the help: made from the declared command line and settings."""

from __future__ import annotations

import argparse
import re
import shlex
import shutil
import subprocess
from pathlib import Path

import pytest

from assistant.console.main import EXAMPLES, EXITS, arguments
from assistant.console.manual import page
from assistant.console.settings import SETTINGS
from tests.console.test_command import run


def source() -> str:
    """The page as it is written."""
    return page(arguments(), EXAMPLES, EXITS)


def words(text: str) -> str:
    """The page's words without its instructions, with its letters as they are read."""
    for written, one in (("\\-", "-"), ("\\(aq", "'"), ("\\(ti", "~"), ("\\(ha", "^"), ("\\(ga", "`"), ("\\&", "")):
        text = text.replace(written, one)
    text = re.sub(r"\\f[BIR]", "", text).replace("\\e", "\\")
    return " ".join(text.split())


def test_every_command_option_and_setting_is_in_the_page() -> None:
    """All that the parser takes and its help says, and each setting with its comment, stand in the page."""
    text = words(source())
    (commands,) = [one for one in arguments()._actions if isinstance(one, argparse._SubParsersAction)]
    for parser in (arguments(), *commands.choices.values()):
        for action in parser._actions:
            if action.help not in (None, argparse.SUPPRESS) and action.option_strings and action.dest != "help":
                assert all(one in text for one in action.option_strings)
    for name, parser in commands.choices.items():
        assert f".SS {name}" in text
        for action in parser._actions:
            if action.help not in (None, argparse.SUPPRESS) and action.dest != "help":
                assert str(action.help).rstrip(".") in text
    for one in SETTINGS:
        assert f"{one.comment} In the file: {one.key}, {one.may_be};" in text
    assert all(line in text for line, _ in EXAMPLES)


def test_what_is_added_to_the_parser_is_in_the_page() -> None:
    """A new command and its option are in the page without a line being written for them."""
    parser = argparse.ArgumentParser(prog="stirrer", description="Stirs.")
    commands = parser.add_subparsers()
    fold = commands.add_parser("fold", help="fold it in", epilog="example:\n  stirrer fold 'x' -- .y")
    fold.add_argument("--how-often", type=int, metavar="N", help=".5 times, or 100%% \\never")
    text = words(page(parser, (), ()))
    assert "stirrer [options] fold [--how-often N]" in text
    assert ".SS fold Fold it in. .TP --how-often N .5 times, or 100% \\never." in text
    assert "stirrer fold 'x' -- .y" in text


def test_nothing_in_the_page_is_an_instruction_by_accident() -> None:
    """Only the instructions of man(7) that the page uses begin a row."""
    used = {row.split()[0] for row in source().splitlines() if row.startswith((".", "'"))}
    assert used <= {".TH", ".SH", ".SS", ".TP", ".HP", ".PP", ".RS", ".RE", ".nf", ".fi", ".B", ".I"}
    assert source().isascii()


def test_the_command_writes_the_page() -> None:
    """The man command writes the page and nothing else."""
    assert (0, source(), "") == run("man")


@pytest.mark.skipif(shutil.which("man") is None, reason="there is no man on this machine to show a page")
def test_man_shows_the_page_without_a_warning(tmp_path: Path) -> None:
    """The machine's own man formats it with all warnings on and has nothing to say."""
    file = tmp_path / "crockside.1"
    file.write_text(source(), encoding="utf-8")
    done = subprocess.run(
        [shutil.which("man") or "", "-l", "--warnings", "-E", "UTF-8", str(file)],
        env={"PATH": "/usr/bin:/bin", "MANWIDTH": "80", "LC_ALL": "C.UTF-8"},
        capture_output=True, timeout=60, check=False,
    )  # fmt: skip
    assert (0, b"") == (done.returncode, done.stderr)
    shown = " ".join(re.sub(r".\x08", "", done.stdout.decode()).split())
    assert "crockside [options] sheet [--to FILE] [--fahrenheit] [--pounds] [BATCH]" in shown


# --- help ---------------------------------------------------------------------------------


def test_help_is_grouped_and_shows_by_example() -> None:
    """--help has its parts in order: what it is, options, settings, commands, examples, exit codes."""
    status, out, err = run("--help", COLUMNS="80")
    parts = ["Salt, brine", "\noptions:", "\nsettings:", "\ncommands:", "\nexamples:", "\nexit codes of ask:"]
    places = [out.index(one) for one in parts]
    assert (0, "", sorted(places)) == (status, err, places)
    assert [] == [one.key for one in SETTINGS if f"  --{one.key}" not in out]
    assert False is ("==SUPPRESS==" in out or "--batches" in out)


@pytest.mark.parametrize("columns", [40, 60, 100])
def test_help_fits_the_screen(columns: int) -> None:
    """No row of the help is wider than the screen, but for a command that must be typed as it stands."""
    _, out, _ = run("--help", COLUMNS=str(columns))
    rows = out[: out.index("\nexamples:")].split("\n")
    wide = [row for row in rows if len(row) > columns and not row.startswith("  --")]
    assert [] == wide


@pytest.mark.parametrize("name", ["chat", "ask", "sheet", "export", "import", "heat", "doctor", "completion", "man"])
def test_every_command_says_what_it_does_and_shows_it(name: str) -> None:
    """Each command's help begins with its usage and a sentence, and ends with an example that the parser takes."""
    status, out, _ = run(name, "--help")
    assert (0, True) == (status, out.startswith(f"usage: crockside {name} "))
    (commands,) = [one for one in arguments()._actions if isinstance(one, argparse._SubParsersAction)]
    assert re.search(r"\n\n[A-Z].*\.\n", out)
    assert f"crockside {name}" in out[out.index("\nexample") :]
    assert str(commands.choices[name].epilog).strip() in out


def test_every_example_of_the_help_is_taken_by_the_parser() -> None:
    """No example in the help or the page names an option or a word that the parser would refuse."""
    (commands,) = [one for one in arguments()._actions if isinstance(one, argparse._SubParsersAction)]
    rows = [line for line, _ in EXAMPLES]
    rows += [row.strip() for one in commands.choices.values() for row in str(one.epilog).split("\n")[1:]]
    for row in rows:
        found = re.findall(r"(?:^|\| |\$\()(crockside[^|>)]*)", row)
        assert found, row
        for one in found:
            arguments().parse_args(shlex.split(one)[1:])
