"""Completions: made from the declared command line, and followed by the shells themselves."""

from __future__ import annotations

import argparse
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from assistant.console.completion import completion, declared
from assistant.console.main import arguments
from tests.console.test_command import ROOT, environment, run

SHELLS = ("bash", "zsh", "fish")


def asked(script: str, *lines: list[str], prog: str = "crockside", **more: str) -> list[list[str]]:
    """What bash offers for each of these lines, whose last word is the one under the cursor."""
    calls = ""
    for words in lines:
        array = " ".join("'" + one.replace("'", "'\\''") + "'" for one in words)
        calls += f"COMP_WORDS=({array}); COMP_CWORD={len(words) - 1}; _{prog}\n"
        calls += "printf '%s\\n' \"${COMPREPLY[@]}\"; printf '\\0'\n"
    done = subprocess.run(
        [shutil.which("bash") or "/bin/bash", "--norc", "-u", "-c", f"{script}\n{calls}"],
        capture_output=True, env=environment(**more), timeout=60, check=True, cwd=more.get("PWD", ROOT),
    )  # fmt: skip
    assert b"" == done.stderr
    return [[row for row in one.split("\n") if row] for one in done.stdout.decode().split("\0")[:-1]]


def script() -> str:
    """The script for bash."""
    return completion(arguments(), "bash")


def subparsers() -> dict[str, argparse.ArgumentParser]:
    """Each command's own parser."""
    (found,) = [one for one in arguments()._actions if isinstance(one, argparse._SubParsersAction)]
    return dict(found.choices)


def test_every_command_is_offered() -> None:
    """Where a command may stand, all commands are offered, and with their first letters only those."""
    every, some = asked(script(), ["crockside", ""], ["crockside", "--large", "--units", "us", "e"])
    assert (list(subparsers()), ["export"]) == (every, some)


def test_every_option_is_offered() -> None:
    """All that the parser takes is offered behind each command, the settings too, and nothing that it does not take."""
    lines = {"": arguments(), **subparsers()}
    offered = asked(script(), *(["crockside", *([name] if name else []), "-"] for name in lines))
    for (name, parser), found in zip(lines.items(), offered, strict=True):
        wanted = [one for action in parser._actions for one in action.option_strings]
        assert [one for one in wanted if one != "--batches"] == found, name


def test_a_word_out_of_a_few_is_offered() -> None:
    """Where the parser knows all the words there are, they are offered; a blank in one is quoted."""
    found = asked(
        script(), ["crockside", "--shade", ""], ["crockside", "chat", "--units", ""], ["crockside", "completion", ""],
        ["crockside", "--shade", "=", "d"], ["crockside", "--shade", "="], ["crockside", "--units", "as\\ s"],
        ["crockside", "--speed", ""], ["crockside", "ask", ""],
    )  # fmt: skip
    assert [["auto", "dark", "light", "none"], ["as\\ said", "metric", "us"], list(SHELLS), ["dark"],
            ["auto", "dark", "light", "none"], ["as\\ said"], [], []] == found  # fmt: skip


def test_files_are_offered_where_a_file_stands(tmp_path: Path) -> None:
    """Files of the folder are offered for what the parser takes as a path."""
    (tmp_path / "probe.csv").touch()
    lines = [["crockside", "heat", "pro"], ["crockside", "--book", "pro"], ["crockside", "sheet", "Ember", "--to", "p"]]
    assert [["probe.csv"]] * 3 == asked(script(), *lines, PWD=str(tmp_path))


@pytest.fixture
def book(tmp_path: Path) -> str:
    """A book of three batches: two with names, one of them with a blank and a quotation mark, one without."""
    path = str(tmp_path / "a.book")
    for line in ("new batch of 3 kg of cabbage in a 10 L crock at 2%", "call it Gran's red"):
        run("--book", path, "ask", line)
    run("--book", path, "ask", "new batch of reds in a 5 L jar")
    run("--book", path, "ask", "call it Ember")
    return path


def test_batches_are_offered_by_name(book: str, tmp_path: Path) -> None:
    """Names of the batches in the book are offered for sheet, export, import and heat, quoted where they must be."""
    program = tmp_path / "crockside"
    program.write_text(f'#!/bin/sh\nexec "{sys.executable}" -m assistant "$@"\n', encoding="utf-8")
    program.chmod(0o755)
    lines = [
        [str(program), "--book", book, "sheet", ""], [str(program), "--book", book, "export", "Em"],
        [str(program), "--book", book, "heat", "x.csv", "--enter", "Gr"],
        [str(program), "--book", str(tmp_path / "none.book"), "sheet", ""],
    ]  # fmt: skip
    found = asked(script(), *lines)
    assert (["Ember"], []) == (found[1], found[3])
    assert [1, True] == [len(found[2]), found[2][0].startswith("Gran\\'s")]
    assert sorted(found[0]) == sorted([*found[1], *found[2]])


def test_a_book_that_is_none_offers_nothing(tmp_path: Path) -> None:
    """Asking for the batches of a file that is no book is silent, and ends with 0."""
    (tmp_path / "x.db").write_bytes(b"no database at all, but long enough to be looked at" * 20)
    before = sorted(tmp_path.iterdir())
    status, out, _ = run("--book", str(tmp_path / "none.book"), "--batches")
    assert (0, "", before) == (status, out, sorted(tmp_path.iterdir()))


def test_what_is_added_to_the_parser_is_in_the_scripts() -> None:
    """A new command, a new option and a new word are completed without a line being written for them."""
    parser = argparse.ArgumentParser(prog="stirrer")
    parser.add_argument("--pace", choices=("slow", "fast one"))
    commands = parser.add_subparsers()
    fold = commands.add_parser("fold", help="fold it in")
    fold.add_argument("--how-often", type=int, metavar="N", help="times [or: never]")
    fold.add_argument("bowl", choices=("big", "small"))
    made = completion(parser, "bash")
    found = asked(
        made, ["stirrer", ""], ["stirrer", "--pace", ""], ["stirrer", "fold", "--how"], ["stirrer", "fold", "b"],
        ["stirrer", "fold", "--how-often", "3", ""], ["stirrer", "--pace", "slow", "fo"], prog="stirrer",
    )  # fmt: skip
    assert [["fold"], ["slow", "fast\\ one"], ["--how-often"], ["big"], ["big", "small"], ["fold"]] == found
    for shell in ("zsh", "fish"):
        text = completion(parser, shell)
        assert [] == [one for one in ("fold", "fold it in", "pace", "how-often", "big", "small") if one not in text]


@pytest.mark.parametrize("shell", SHELLS)
def test_each_script_names_all_that_is_declared(shell: str) -> None:
    """Every command and option stands in the script of every shell."""
    text = completion(arguments(), shell)
    for command in declared(arguments()):
        assert command.name in text
        for option in command.options:
            assert all(name.lstrip("-") in text for name in option.names)


@pytest.mark.parametrize("shell", SHELLS)
def test_the_command_writes_the_script(shell: str) -> None:
    """The completion command writes the script for the shell that is named, and nothing else."""
    assert (0, completion(arguments(), shell), "") == run("completion", shell)


@pytest.mark.parametrize(
    "shell",
    [pytest.param(one, marks=pytest.mark.skipif(shutil.which(one) is None, reason=f"{one} is not on this machine"))
     for one in SHELLS],
)  # fmt: skip
def test_each_shell_reads_its_script(shell: str, tmp_path: Path) -> None:
    """The shell itself finds no fault in the script."""
    file = tmp_path / "script"
    file.write_text(completion(arguments(), shell), encoding="utf-8")
    done = subprocess.run([shell, "-n", str(file)], capture_output=True, timeout=30, check=False)
    assert (0, b"", b"") == (done.returncode, done.stdout, done.stderr)


@pytest.mark.skipif(shutil.which("fish") is None, reason="fish is not on this machine")
def test_fish_offers_what_is_declared(tmp_path: Path) -> None:
    """Fish, asked what it would offer, names the words of an option and the options of a command."""
    home = {**os.environ, "HOME": str(tmp_path), "XDG_CONFIG_HOME": str(tmp_path), "XDG_DATA_HOME": str(tmp_path)}
    (tmp_path / "c.fish").write_text(completion(arguments(), "fish"), encoding="utf-8")
    found = []
    for line in ("crockside --shade ", "crockside sheet --po", "crockside doc", "crockside completion "):
        asks = f"source {tmp_path / 'c.fish'}; complete -C '{line}'"
        done = subprocess.run(
            [shutil.which("fish") or "", "-c", asks], capture_output=True, timeout=60, check=False, env=home
        )
        found.append([row.split("\t")[0] for row in done.stdout.decode().splitlines()])
    assert [["auto", "dark", "light", "none"], ["--pounds"], ["doctor"], sorted(SHELLS)] == [
        sorted(one) for one in found
    ]


def test_an_unknown_shell_is_refused() -> None:
    """A shell nobody knows is named on standard error with those there are."""
    status, out, err = run("completion", "brimble")
    assert (2, "", True) == (status, out, "invalid choice: 'brimble' (choose from 'bash', 'zsh', 'fish')" in err)
