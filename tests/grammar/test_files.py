"""Tables are parsed once and kept; whatever is kept that does not fit its source changes nothing."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator

import pytest

from grammar import files

ROOM, NAME = "grammar", "walking.toml"


class Shelf:
    """A keeper in memory, which counts what it is given."""

    def __init__(self) -> None:
        self.kept: dict[str, str] = {}
        self.puts = 0

    def get(self, name: str) -> str:
        """What is kept."""
        return self.kept.get(name, "")

    def put(self, name: str, text: str) -> None:
        """Keeps it."""
        self.kept[name] = text
        self.puts += 1


@pytest.fixture
def shelf() -> Iterator[Shelf]:
    """A keeper for one test."""
    keeper = Shelf()
    files.keep(keeper)
    yield keeper
    files.keep(None)


@pytest.mark.parametrize(
    ("room", "name"), [("grammar", "vocabulary.toml"), ("grammar", "walking.toml"), ("assistant.rules", "wrong.toml")]
)
def test_a_kept_table_is_the_same(shelf: Shelf, room: str, name: str) -> None:
    """Parsed, then read back from what was kept, every table is what tomllib makes of its file."""
    parsed = tomllib.loads(files.text(room, name))
    assert files.table(room, name) == parsed
    assert files.table(room, name) == parsed
    assert shelf.puts == 1


@pytest.mark.parametrize(
    "spoil",
    [
        lambda text: text[: len(text) // 2],
        lambda text: text.replace("walk", "wolk"),
        lambda text: "",
        lambda text: "{}",
        lambda text: "00000000" + text[8:],
    ],
    ids=["cut short", "a word changed", "empty", "something else", "of another source"],
)
def test_a_spoilt_file_is_parsed_anew(shelf: Shelf, spoil: object) -> None:
    """What was cut short, altered or made of another text is not used, and is put right."""
    parsed = files.table(ROOM, NAME)
    good = dict(shelf.kept)
    (key,) = good
    shelf.kept[key] = spoil(good[key])  # type: ignore[operator]
    assert shelf.kept != good
    assert files.table(ROOM, NAME) == parsed
    assert shelf.kept == good


def test_nothing_is_kept_without_a_keeper() -> None:
    """Without a folder to keep it in, a table is parsed as it stands."""
    files.keep(None)
    assert files.table(ROOM, NAME) == tomllib.loads(files.text(ROOM, NAME))
