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
from tests.console.test_command import run


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


# --- the program --------------------------------------------------------------------------


def config(tmp_path: Path, text: str) -> str:
    """A settings folder with this file in it."""
    (tmp_path / "crockside").mkdir()
    (tmp_path / "crockside" / "settings.toml").write_text(text, encoding="utf-8")
    return str(tmp_path)


def test_print_config_gives_the_settings_in_force(tmp_path: Path) -> None:
    """--print-config writes the file's, NO_COLOR's and the command line's settings as one file that reads back."""
    home = config(tmp_path, 'units = "us"\nspeed = 200\nshade = "dark"\n')
    status, out, err = run("--large", "--speed", "90", "--print-config", XDG_CONFIG_HOME=home, NO_COLOR="1")
    assert (0, "") == (status, err)
    assert Settings(units="us", speed=90, shade="none", large=True) == of_text(out).settings


def test_what_is_wrong_is_told_and_the_answer_comes_all_the_same(tmp_path: Path) -> None:
    """A fault in the file is one line on standard error; the question is answered, by what is right in the file."""
    home = config(tmp_path, 'unts = 1\nunits = "us"\n')
    status, out, err = run("ask", "mash of 4 kg of chillies at 3%", XDG_CONFIG_HOME=home)
    assert (0, "Salt 4.23 oz (120 g) for 8 lb 13.1 oz (4 kg)") == (status, out[:44])
    place = tmp_path / "crockside" / "settings.toml"
    assert f'Settings in {place}: "unts" is no setting and was passed over; the nearest is "units".\n' == err


def test_a_file_that_is_no_toml_never_ends_the_program(tmp_path: Path) -> None:
    """With a spoilt file everything works by the built-in settings, and the line is named."""
    home = config(tmp_path, "units = us\n")
    status, out, err = run("ask", "mash of 4 kg of chillies at 3%", XDG_CONFIG_HOME=home)
    assert (0, "Salt 120 g for 4 kg", 1) == (status, out[:19], err.count("\n"))
    assert 'It is no TOML in line 1: "units = us".' in err


@pytest.mark.parametrize("words", [("--units", "us", "ask"), ("ask", "--units", "us")])
def test_a_setting_stands_before_or_behind_the_command(words: tuple[str, ...]) -> None:
    """The command line's units hold for this answer, wherever they stand."""
    _, out, _ = run(*words, "mash of 4 kg of chillies at 3%")
    assert "Salt 4.23 oz (120 g) for 8 lb 13.1 oz (4 kg)" == out[:44]


def test_the_settings_hold_in_every_kind_of_talk(tmp_path: Path) -> None:
    """A talk from a pipe, one in JSON lines, a page and a heating all go by the file."""
    home = config(tmp_path, f'units = "us"\nplain = true\nbook = "{tmp_path / "a.book"}"\n')
    _, piped, _ = run(
        "chat", said=b"new batch of 3 kg of cabbage in a 10 L crock at 2%\nwhat is in it\n", XDG_CONFIG_HOME=home
    )
    assert "Answer: Now 6 lb 11.9 oz (3.06 kg)" in " ".join(piped.split())
    _, lines, _ = run("chat", "--json", said=b"mash of 4 kg of chillies at 3%\n", XDG_CONFIG_HOME=home)
    assert "Salt 4.23 oz (120 g)" in lines
    status, _, _ = run("sheet", "--to", str(tmp_path / "a.html"), XDG_CONFIG_HOME=home)
    assert (0, True) == (status, "6 lb 9.8 oz" in (tmp_path / "a.html").read_text(encoding="utf-8"))
    (tmp_path / "probe.csv").write_text("minutes,C\n0,60\n2,75\n8,75\n", encoding="utf-8")
    _, heated, _ = run("heat", str(tmp_path / "probe.csv"), "--ph", "4.0", XDG_CONFIG_HOME=home)
    assert True is heated.startswith("Answer: ")


def test_large_type_in_a_single_answer_holds_nothing_back() -> None:
    """Nobody can say "more" to ask: the number is drawn and all of the rest is there."""
    _, out, _ = run("ask", "--large", "mash of 4 kg of chillies at 3%", PYTHONIOENCODING="utf-8")
    flat = " ".join(out.split())
    assert ("\u2588" in out, "2.91% of everything" in flat, "Chillies: 88% water." in flat) == (True, True, True)
    assert False is ("more" in flat)


def test_a_home_in_the_name_of_the_book(tmp_path: Path) -> None:
    """A book named with ~ in the file is the one in the person's home."""
    home = config(tmp_path, 'book = "~/mine.book"\n')
    run("ask", "new batch of reds in a 5 L jar", XDG_CONFIG_HOME=home, HOME=str(tmp_path))
    assert True is (tmp_path / "mine.book").exists()
