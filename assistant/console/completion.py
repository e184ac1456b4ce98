"""Completions for bash, zsh and fish, made from the declared command line."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True)
class Takes:
    """What can stand at one place: "files", "batches", "words" (these), or "any" where nobody can tell."""

    kind: str = "any"
    words: tuple[str, ...] = ()


@dataclass(frozen=True)
class Option:
    """An option with all its spellings; ``takes`` is None if nothing follows it."""

    names: tuple[str, ...]
    help: str
    takes: Takes | None


@dataclass(frozen=True)
class Command:
    """A command ("" where none is named yet): its options, and what else follows; the last may be many."""

    name: str
    help: str
    options: tuple[Option, ...]
    places: tuple[Takes, ...]


def declared(parser: argparse.ArgumentParser) -> list[Command]:
    """The command line, as the parser has it: first what stands before a command, then each command."""
    found = [_command("", "", parser)]
    helps_of = {name: one.help for one in found[0].options for name in one.names}
    for action in parser._actions:
        if isinstance(action, argparse._SubParsersAction):
            helps = {one.dest: one.help or "" for one in action._choices_actions}
            found += [_command(name, helps.get(name, ""), one, helps_of) for name, one in action.choices.items()]
    return found


def _command(name: str, text: str, parser: argparse.ArgumentParser, known: Mapping[str, str] | None = None) -> Command:
    shown = [one for one in parser._actions if one.option_strings and _seen(one, parser)]
    options = tuple(Option(tuple(one.option_strings), _plain(one, known or {}), _takes(one)) for one in shown)
    places = tuple(
        takes
        for one in parser._actions
        if not one.option_strings and not isinstance(one, argparse._SubParsersAction) and (takes := _takes(one))
    )
    return Command(name, text, options, places)


def _seen(action: argparse.Action, parser: argparse.ArgumentParser) -> bool:
    """Whether it is offered: all that the help shows, and behind a command the settings too."""
    return action.help != argparse.SUPPRESS or action.default == argparse.SUPPRESS


def _plain(action: argparse.Action, known: Mapping[str, str]) -> str:
    """An option's help; a setting's stands with the options before the command."""
    if not action.help or action.help == argparse.SUPPRESS:
        return known.get(action.option_strings[0], "")
    return action.help.replace("%%", "%")


def _takes(action: argparse.Action) -> Takes | None:
    if action.nargs == 0:
        return None
    if action.choices is not None:
        return Takes("words", tuple(map(str, action.choices)))
    if action.metavar == "BATCH":
        return Takes("batches")
    return Takes("files" if action.type is Path else "any")


def completion(parser: argparse.ArgumentParser, shell: str) -> str:
    """The script for a shell."""
    return _SHELLS[shell](declared(parser), parser.prog)


# --- bash ---------------------------------------------------------------------------------


def bash(commands: list[Command], prog: str) -> str:
    """For bash: a function that reads the words before the cursor, and the tables that it looks in."""
    names = "\n".join(one.name for one in commands if one.name)
    offers = "".join(
        f"        {_quoted(one.name)}) offered={_ansi(names for option in one.options for names in option.names)} ;;\n"
        for one in commands
    )
    takes = "".join(
        f"        {'|'.join(_quoted(f'{one.name} {name}') for name in option.names)}) {_bash_takes(option.takes)} ;;\n"
        for one in commands
        for option in one.options
        if option.takes
    )
    places = "".join(
        f"        {_quoted(f'{one.name} {at}')}) {_bash_takes(place)} ;;\n"
        for one in commands
        for at, place in enumerate(one.places)
    )
    script = _BASH.replace("@prog@", prog).replace("@names@", _ansi(names.split("\n")))
    for place, table in (("offers", offers), ("takes", takes), ("places", places)):
        script = script.replace(f"@{place}@\n", table)
    return script


def _bash_takes(takes: Takes) -> str:
    return f"kind={takes.kind}" + (f" list={_ansi(takes.words)}" if takes.words else "")


def _quoted(text: str) -> str:
    """A text as a shell takes it whole."""
    return "'" + text.replace("'", "'\\''") + "'"


def _ansi(words: Iterator[str] | tuple[str, ...] | list[str]) -> str:
    """Words for bash, one a line."""
    text = "\\n".join(one.replace("\\", "\\\\").replace("'", "\\'") for one in words)
    return f"$'{text}'"


_BASH = r"""# Completions of @prog@ for bash; written by "@prog@ completion bash".
_@prog@_takes() {  # what follows an option
    case $1 in
@takes@
        *) kind= ;;
    esac
}
_@prog@_place() {  # what stands at a place of a command
    case $1 in
@places@
        *) kind=any ;;
    esac
}
_@prog@_options() {
    case $1 in
@offers@
    esac
}
_@prog@() {
    local cur=${COMP_WORDS[COMP_CWORD]} command= at=0 i word kind= list= waits= book= offered= IFS=$'\n'
    local names=@names@ whole=()
    for ((i = 1; i < COMP_CWORD; i++)); do
        word=${COMP_WORDS[i]}
        if [[ -n $waits ]]; then
            [[ $word == '=' ]] && continue
            [[ $waits == *' --book' ]] && book=$word
            waits=
            continue
        fi
        if [[ $word == -* ]]; then
            _@prog@_takes "$command $word"
            [[ -n $kind ]] && waits="$command $word"
        elif [[ -z $command ]]; then
            command=$word
        else
            ((at++))
        fi
    done
    [[ $cur == '=' ]] && cur=
    COMPREPLY=()
    if [[ -n $waits ]]; then
        _@prog@_takes "$waits"
    elif [[ $cur == -* ]]; then
        _@prog@_options "$command"
        kind=words list=$offered
    elif [[ -z $command ]]; then
        kind=words list=$names
    else
        list=
        _@prog@_place "$command $at"
    fi
    case $kind in
        files) compopt -o filenames 2>/dev/null; COMPREPLY=($(compgen -f -- "$cur")); return ;;
        batches)
            book=${book/#\~/$HOME}
            list=$(command ${COMP_WORDS[0]} ${book:+--book} ${book:+"$book"} --batches 2>/dev/null) ;;
        words) ;;
        *) return ;;
    esac
    cur=${cur//\\/}
    cur=${cur#[\'\"]}
    for word in $list; do
        [[ $word == "$cur"* ]] && whole+=("$(printf '%q' "$word")")
    done
    COMPREPLY=("${whole[@]}")
}
complete -F _@prog@ @prog@
"""


# --- zsh ----------------------------------------------------------------------------------


def zsh(commands: list[Command], prog: str) -> str:
    """For zsh: the options of each command in the form that _arguments takes."""
    before, *named = commands
    rows = [
        f"#compdef {prog}", f'# Completions of {prog} for zsh; written by "{prog} completion zsh".', "",
        f"_{prog}_batches() {{",
        f'    local -a names=(${{(f)"$({prog} --batches 2>/dev/null)"}})',
        "    compadd -a names", "}", "",
        f"_{prog}() {{", "    local curcontext=$curcontext state line", "    typeset -A opt_args",
        "    _arguments -C \\",
        *(f"        {row} \\" for row in _zsh_specs(before, prog)),
        "        '1: :->command' '*:: :->rest'",
        "    case $state in", "        command)", "            local -a commands=(",
        *(f"                {_quoted(f'{one.name}:{one.help}')}" for one in named),
        "            )", "            _describe command commands ;;",
        "        rest)", "            case $line[1] in",
    ]  # fmt: skip
    for one in named:
        places = (f"{at + 1}: :{_zsh_takes(place, prog)}" for at, place in enumerate(one.places))
        specs = [*_zsh_specs(one, prog), *map(_quoted, places)]
        rows += [f"                {one.name})", "                    _arguments " + _CONTINUED.join(specs) + " ;;"]
    last = f'if [[ $funcstack[1] == _{prog} ]]; then _{prog} "$@"; else compdef _{prog} {prog}; fi'
    return "\n".join([*rows, "            esac ;;", "    esac", "}", "", last, ""])


_CONTINUED = " \\\n                        "


def _zsh_specs(command: Command, prog: str) -> list[str]:
    out = []
    for option in command.options:
        others = f"({' '.join(option.names)})" if len(option.names) > 1 else ""
        text = option.help.replace("\\", "\\\\").replace("[", "\\[").replace("]", "\\]").replace(":", "\\:")
        takes = f": :{_zsh_takes(option.takes, prog)}" if option.takes else ""
        for name in option.names:
            joined = "=" if option.takes and name.startswith("--") else ""
            out.append(_quoted(f"{others}{name}{joined}[{text}]{takes}"))
    return out


def _zsh_takes(takes: Takes, prog: str) -> str:
    if takes.kind == "words":
        return f"({' '.join(one.replace(' ', chr(92) + ' ') for one in takes.words)})"
    return {"files": "_files", "batches": f"_{prog}_batches", "any": " "}[takes.kind]


# --- fish ---------------------------------------------------------------------------------


def fish(commands: list[Command], prog: str) -> str:
    """For fish: a line for each thing that can stand at each place."""
    named = [one for one in commands if one.name]
    rows = [f'# Completions of {prog} for fish; written by "{prog} completion fish".', f"complete -c {prog} -f"]
    for one in named:
        rows.append(f"complete -c {prog} -n __fish_use_subcommand -a {_fish(one.name)} -d {_fish(one.help)}")
    for one in commands:
        where = f"-n {_fish(f'__fish_seen_subcommand_from {one.name}')}" if one.name else "-n __fish_use_subcommand"
        for option in one.options:
            names = " ".join(f"-l {name[2:]}" if name.startswith("--") else f"-s {name[1:]}" for name in option.names)
            takes = f" {_fish_takes(option.takes, prog)}" if option.takes else ""
            about = f" -d {_fish(option.help)}" if option.help else ""
            rows.append(f"complete -c {prog} {where} {names}{takes}{about}")
        for place in dict.fromkeys(one.places):
            if place.kind != "any":
                rows.append(f"complete -c {prog} {where} {_fish_takes(place, prog)[3:]}")
    return "\n".join([*rows, ""])


def _fish_takes(takes: Takes, prog: str) -> str:
    if takes.kind == "words":
        return f"-x -a {_fish(' '.join(_fish(one) for one in takes.words))}"
    return {"files": "-r -F", "batches": f"-x -a {_fish(f'({prog} --batches 2>/dev/null)')}", "any": "-x"}[takes.kind]


def _fish(text: str) -> str:
    return "'" + text.replace("\\", "\\\\").replace("'", "\\'") + "'"


_SHELLS: dict[str, Callable[[list[Command], str], str]] = {"bash": bash, "zsh": zsh, "fish": fish}
