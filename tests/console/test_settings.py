"""The settings: one commented file, declared once, read without a fault ever ending the program."""

from __future__ import annotations

import argparse
import tomllib
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.console.settings import SETTINGS, Settings, add_options, in_force, keep, of_file, of_text, written


def values(one: Any) -> st.SearchStrategy[Any]:
    """Any value that a setting may have."""
    if one.allowed:
        return st.sampled_from(one.allowed)
    if isinstance(one.default, bool):
        return st.booleans()
    if isinstance(one.default, int):
        return st.integers(one.least, one.most)
    return st.text(st.characters(exclude_categories=["Cs"]))


ANY = st.fixed_dictionaries({one.key: values(one) for one in SETTINGS}).map(lambda found: Settings(**found))


@given(ANY)
def test_the_written_file_reads_back(settings: Settings) -> None:
    """Whatever the settings are, the commented file is valid TOML and gives the same settings, with nothing to say."""
    text = written(settings)
    assert [one.key for one in SETTINGS] == list(tomllib.loads(text))
    assert (settings, ()) == ((found := of_text(text)).settings, found.troubles)


@given(st.text())
def test_no_text_breaks_the_reading(text: str) -> None:
    """Any text is settings, or built-in settings with sentences that end."""
    found = of_text(text)
    assert isinstance(found.settings, Settings)
    assert all(one and "\n" not in one for one in found.troubles)


def test_every_default_is_allowed_and_commented() -> None:
    """Each declaration takes its own default, and says in a sentence what it does."""
    for one in SETTINGS:
        assert one.takes(one.default), one.key
        assert one.comment.endswith("."), one.key
        assert getattr(Settings(), one.key) == one.default


def test_the_file_tells_what_each_may_be() -> None:
    """Each word a setting may be stands in its comment."""
    text = written(Settings())
    for one in SETTINGS:
        assert all(f'"{each}"' in text for each in one.allowed)
        assert "\n# " in text.split(f"\n{one.key} =")[0]


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ('unts = "metric"', '"unts" is no setting and was passed over; the nearest is "units".'),
        ("Large = true", '"Large" is no setting and was passed over; the nearest is "large".'),
        ("[colour]\nx = 1", '"colour" is no setting and was passed over; '
         f"there are {', '.join(one.key for one in SETTINGS)}."),
        ('units = "Metric"', 'units must be "as said", "metric" or "us", not "Metric"; "as said" holds.'),
        ("large = 1", "large must be true or false, not 1; false holds."),
        ("speed = true", "speed must be a whole number from 60 to 400, not true; 160 holds."),
        ("speed = 12", "speed must be a whole number from 60 to 400, not 12; 160 holds."),
        ("speed = 160.0", "speed must be a whole number from 60 to 400, not 160.0; 160 holds."),
        ("book = ['a']", 'book must be text in quotation marks, not a list; "" holds.'),
        ("book = 2026-03-02", 'book must be text in quotation marks, not 2026-03-02; "" holds.'),
        ("# fine\nunits = metric\n", 'It is no TOML in line 2: "units = metric". The built-in settings hold.'),
        ('units = "us', 'It is no TOML in line 1: "units = "us". The built-in settings hold.'),
        ('units = "us"\nunits = "us"\n', 'It is no TOML in line 2: "units = "us"". The built-in settings hold.'),
        ("book = '''\nnever ended\n\n", 'It is no TOML in line 2: "never ended". The built-in settings hold.'),
        (f"speed = {'9' * 5000}", "It is no TOML. The built-in settings hold."),
        (f"speed = {'[' * 9000}", "It is no TOML: brackets within brackets. The built-in settings hold."),
        ('units = "\x1b[2J"', 'It is no TOML in line 1: "units = "\ufffd[2J"". The built-in settings hold.'),
    ],
)  # fmt: skip
def test_what_is_wrong_is_one_sentence_and_the_default_holds(text: str, told: str) -> None:
    """A wrong key, value or file is one clear sentence; the built-in value holds and nothing breaks."""
    found = of_text(text)
    assert (Settings(), (told,)) == (found.settings, found.troubles)


def test_a_wrong_value_spoils_no_other() -> None:
    """What is right in a file counts, whatever stands beside it."""
    found = of_text('units = "us"\nlarge = "yes"\nplain = true\n')
    assert Settings(units="us", plain=True) == found.settings
    assert 1 == len(found.troubles)


def test_a_file_that_is_not_there_is_no_trouble(tmp_path: Path) -> None:
    """Without a file the built-in settings hold, silently."""
    assert (Settings(), ()) == ((found := of_file(tmp_path / "none" / "settings.toml")).settings, found.troubles)


@pytest.mark.parametrize(
    ("data", "told"),
    [(b"units = '\xff'", "It is not text in UTF-8."), (b"unts = 1", '"unts" is no setting and was passed over;')],
)
def test_trouble_names_the_file(data: bytes, told: str, tmp_path: Path) -> None:
    """A sentence about a file says which file."""
    file = tmp_path / "settings.toml"
    file.write_bytes(data)
    (one,) = of_file(file).troubles
    assert one.startswith(f"Settings in {file}: {told}")


def test_a_folder_in_its_place_is_told(tmp_path: Path) -> None:
    """A path that is no file is one sentence."""
    assert (f"Settings in {tmp_path}: It cannot be read: Is a directory. The built-in settings hold.",) == of_file(
        tmp_path
    ).troubles


def test_a_mark_of_byte_order_and_line_ends_of_windows_are_read(tmp_path: Path) -> None:
    """A file saved by any editor is read."""
    file = tmp_path / "settings.toml"
    file.write_bytes('\ufeffunits = "us"\r\nlarge = true\r\n'.encode())
    assert Settings(units="us", large=True) == of_file(file).settings


def test_the_order_is_default_file_environment_command_line(tmp_path: Path) -> None:
    """Each later place wins over the earlier ones, and an empty NO_COLOR counts for nothing."""
    file = tmp_path / "settings.toml"
    file.write_text('shade = "light"\nunits = "us"\n', encoding="utf-8")
    found = [
        in_force(file, {}, {}),
        in_force(file, {}, {"NO_COLOR": ""}),
        in_force(file, {}, {"NO_COLOR": "1"}),
        in_force(file, {"shade": "dark", "units": "metric"}, {"NO_COLOR": "1"}),
    ]
    assert [("light", "us"), ("light", "us"), ("none", "us"), ("dark", "metric")] == [
        (one.settings.shade, one.settings.units) for one in found
    ]


@given(ANY)
def test_every_setting_can_be_given_on_the_command_line(settings: Settings) -> None:
    """Each setting has an option that sets it to each of its values."""
    parser = argparse.ArgumentParser()
    add_options(parser)
    words = []
    for one in SETTINGS:
        value = getattr(settings, one.key)
        if isinstance(value, bool):
            words.append(one.option if value else f"--no-{one.key}")
        else:
            words.append(f"{one.option}={value}")
    found = in_force(Path("/nowhere/settings.toml"), vars(parser.parse_args(words)), {})
    assert replace(settings, book=str(Path(settings.book))) == replace(found.settings, book=str(Path(settings.book)))
    assert found.settings.book == str(Path(settings.book))


def test_nothing_given_changes_nothing() -> None:
    """An option that was not given leaves the file's value alone."""
    parser = argparse.ArgumentParser()
    add_options(parser)
    assert {} == vars(parser.parse_args([]))


@pytest.mark.parametrize("said", ["0", "401", "fast", "-5", "1.5", "9" * 5000, "\u00b2"])
def test_a_speed_that_cannot_be_is_refused(said: str, capsys: pytest.CaptureFixture[str]) -> None:
    """A number outside its limits is a sentence of the command line."""
    parser = argparse.ArgumentParser()
    add_options(parser)
    with pytest.raises(SystemExit):
        parser.parse_args([f"--speed={said}"])
    assert "it must be a whole number from 60 to 400" in capsys.readouterr().err


def test_the_file_is_made_once_with_what_was_chosen(tmp_path: Path) -> None:
    """The kept file sets what was chosen and leaves the rest to the program; a file that stands is not touched."""
    file = tmp_path / "deep" / "settings.toml"
    assert "" == keep(file, Settings(units="us"), "units")
    text = file.read_text(encoding="utf-8")
    assert ({"units": "us"}, Settings(units="us")) == (tomllib.loads(text), of_file(file).settings)
    assert '\n# shade = "auto"\n' in text
    assert "" == keep(file, Settings(units="metric"), "units")
    assert text == file.read_text(encoding="utf-8")


def test_a_file_that_cannot_be_made_is_told(tmp_path: Path) -> None:
    """Where nothing can be written there is a sentence and no fault."""
    (tmp_path / "taken").write_text("", encoding="utf-8")
    told = keep(tmp_path / "taken" / "settings.toml", Settings(), "units")
    assert told.startswith("The settings cannot be kept in ")


def test_a_name_that_is_no_text_is_commented_out() -> None:
    """A book whose name holds bytes that are no text cannot stand in TOML; the rest of the file is still good."""
    text = written(Settings(book="a\udcff.book", units="us"))
    assert Settings(units="us") == of_text(text.encode("utf-8", "replace").decode()).settings
