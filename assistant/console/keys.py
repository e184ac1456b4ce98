"""The keys of the chat, each told once: the bottom line, the help on F1 and the README are made from this table."""

from __future__ import annotations

from dataclasses import dataclass

ALWAYS, WALK, GREY, LISTED = "any time", "on a walk, the line empty", "words in brackets", "Tab list"
"""When a key does what it says."""


@dataclass(frozen=True)
class Key:
    """One key.

    Attributes:
        name: as it is written for people.
        press: as the terminal library names it; () where the library's own key is meant.
        does: what it does, in a sentence without its subject.
        when: one of the times above.
        short: the same in a word or two for the bottom line, "" where it does not stand there.
        says: the line that it sends, "" where it sends none.
    """

    name: str
    press: tuple[str, ...]
    does: str
    when: str = ALWAYS
    short: str = ""
    says: str = ""


KEYS = (
    Key("Enter", ("enter",), "says the line; with a word of the Tab list marked it only takes the word"),
    Key("Tab", (), "lists the words that could come next, with notes where there is room; again for the next one",
        short="words"),
    Key("Esc", ("escape",), "closes the list; a word that was only marked is taken out again", LISTED),
    Key("Right", (), "takes the grey words in [brackets]: how an earlier line or an example goes on", GREY),
    Key("Up, Down", (), "go through earlier lines"),
    Key("Ctrl-R", (), "searches earlier lines; again for an older one", short="search"),
    Key("F1", ("f1",), "helps where the talk stands: what is being asked, with units, limits and an example, or what "
        "can be said; again for all keys", short="help"),
    Key("Ctrl-Z", ("c-z",), 'takes the last turn back, as "undo" does; while a line is being typed, the last typing',
        short="undo", says="undo"),
    Key("Alt-Z", ("escape", "z"), 'does it again, as "redo" does', says="redo"),
    Key("Ctrl-C", ("c-c",), "drops the line (Up brings it back) and nothing else"),
    Key("Ctrl-D", (), "ends the talk on an empty line; everything is kept", short="end"),
    Key("space", (" ",), "goes to the next step; where the step asks for something it says what, and sends nothing",
        WALK, "next", "next"),
    Key("b", ("b",), "goes a step back", WALK, "back", "back"),
    Key("r", ("r",), "says the step again", WALK, "repeat", "repeat"),
    Key("?", ("?",), "says why", WALK, "why", "why"),
)  # fmt: skip

WALKING = len([one for one in KEYS if one.when == WALK])
"""How many keys a walk has of its own."""

HOLD = 0.8
"""Seconds that "b" or "r" stands alone before it counts as a key: a word that begins with it goes on sooner."""

AGAIN = 0.8
"""Seconds after a walk's key in which the same or another one is taken for the key being held down."""
HELD = "a key that is held down counts once"
SEARCHING = "Enter takes it, Ctrl-C leaves"
"""What the bottom line says while earlier lines are searched."""
MORE = "F1 again lists all keys."


def key(name: str) -> Key:
    """A key by its name.

    Raises:
        KeyError: there is none.
    """
    for one in KEYS:
        if one.name == name:
            return one
    raise KeyError(name)


def shorts(walking: bool, asked: bool = False) -> list[str]:
    """The keys for the bottom line, the one needed most first; on a walk its own before the others.

    Where something is ``asked`` the help comes before them, and the space bar, which does not go on then, is left out.
    """
    shown = [one for one in KEYS if one.short and (one.when == ALWAYS or (walking and one.when == WALK))]
    shown = [one for one in shown if not (asked and one.name == "space")]
    first = "F1" if asked else ""
    shown.sort(key=lambda one: (one.name != first, one.when != WALK, ORDER.index(one.name) if one.name in ORDER else 0))
    return [f"{one.name} {one.short}" for one in shown]


ORDER = ("F1", "Tab", "Ctrl-Z", "Ctrl-D", "Ctrl-R")
"""Which keys leave a narrow bottom line last."""


def help_rows() -> list[str]:
    """The keys as sentences, for F1."""
    return [f"{one.name}: {one.does}{f' ({one.when})' if one.when != ALWAYS else ''}." for one in KEYS]


def table() -> str:
    """The keys as a table of Markdown."""
    rows = ["| key | what it does | when |", "|---|---|---|"]
    rows += [f"| {one.name} | {one.does} | {one.when} |" for one in KEYS]
    return "\n".join(rows)
