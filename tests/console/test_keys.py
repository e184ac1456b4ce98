"""The keys of the chat, each pressed: what it does, and what it must not do."""

from __future__ import annotations

import time
from pathlib import Path

import pytest

from assistant.console import helping, keys
from assistant.console.chat import DROPPED, ENDS
from assistant.console.looks import lines_of, wrapped
from tests.console.pieces import events, kinds, said
from tests.console.window import (
    ALT_Z,
    BACKSPACE,
    CTRL_C,
    CTRL_D,
    CTRL_R,
    CTRL_Z,
    ENTER,
    ESC,
    F1,
    RIGHT,
    TAB,
    UP,
    Window,
    drawn,
)
from tests.helpers import talk

MASH = "mash of 3 kg of chillies at 2.5%"
SALT = "Salt 75 g for 3 kg of chillies."
WALK = "walk me through a first mash"


@pytest.fixture
def window(tmp_path: Path) -> Window:
    """A window over an empty book."""
    return Window(tmp_path / "a.book")


def test_every_key_of_the_table_is_pressed_here() -> None:
    """No key is declared that no test of this file presses."""
    text = Path(__file__).read_text(encoding="utf-8")
    missing = [one.name for one in keys.KEYS if f'key("{one.name}")' not in text]
    assert missing == []


def test_the_table_is_in_the_readme_and_the_help() -> None:
    """Each key stands in the whole help on F1 with what it does."""
    rows = keys.help_rows()
    assert len(rows) == len(keys.KEYS)
    assert all(one.does in row for one, row in zip(keys.KEYS, rows, strict=True))
    assert all(one.does in keys.table() for one in keys.KEYS)


# --- at any time --------------------------------------------------------------------------


def test_enter_says_the_line(window: Window) -> None:
    """key("Enter"): the line is answered and kept."""
    window.run(lambda one: one.says(MASH))
    assert SALT in window.rows
    assert said(window.path) == [MASH]


def test_tab_lists_what_could_come_next(window: Window) -> None:
    """key("Tab"): units after a number, each with a note; Enter with one marked takes it and says nothing."""

    def script(one: Window) -> None:
        buffer = one.on.prompt.default_buffer
        one.type("brine for 3 k")
        one.until(lambda: one.line == "brine for 3 k")
        assert buffer.complete_state is None  # never by itself
        one.type(TAB)
        one.until(lambda: buffer.complete_state is not None and buffer.complete_state.completions)
        assert buffer.complete_state is not None
        found = buffer.complete_state.completions
        assert [(each.display_text, each.display_meta_text) for each in found][:1] == [("kg", "unit of mass")]
        one.type(TAB)
        one.until(lambda: one.line == "brine for 3 kg")
        one.type(ENTER)
        one.until(lambda: buffer.complete_state is None)
        assert one.line == "brine for 3 kg"

    window.run(script)
    assert said(window.path) == []


@pytest.mark.parametrize(("columns", "noted"), [(40, False), (80, True)])
def test_notes_stand_in_the_list_where_there_is_room(columns: int, noted: bool, tmp_path: Path) -> None:
    """On a narrow screen the words stand alone: notes cut to a dot would say nothing."""
    window = Window(tmp_path / "a.book", columns=columns)

    def script(one: Window) -> None:
        one.type(TAB)
        one.until(lambda: "walk me through first mash" in drawn(one.on.prompt.app.renderer))
        rows = drawn(one.on.prompt.app.renderer).split("\n")
        (row,) = (each.strip() for each in rows if "walk me through first mash" in each)
        assert row.endswith("step by step" if noted else "walk me through first mash")

    window.run(script)


def test_esc_closes_the_list(window: Window) -> None:
    """key("Esc"): the list goes, and the line is what was typed, also where a word of the list was marked."""

    def script(one: Window) -> None:
        buffer = one.on.prompt.default_buffer
        one.type(f"ma{TAB}")
        one.until(lambda: buffer.complete_state is not None and buffer.complete_state.completions)
        one.type(TAB)
        one.until(lambda: one.line not in ("ma", ""))
        one.type(ESC)
        one.until(lambda: buffer.complete_state is None and one.line == "ma")

    window.run(script)
    assert said(window.path) == []


def test_a_tab_among_pasted_letters_parts_them(window: Window) -> None:
    """Where a terminal does not say what is pasted, "2:00, Tab, 66" must not come in as 2:0066."""

    def script(one: Window) -> None:
        one.type(f"2:00{TAB}66")
        one.until(lambda: one.line == "2:00\t66")

    window.run(script)


def test_a_single_word_is_taken_by_tab_at_once(window: Window) -> None:
    """Where one word only could come, Tab puts it in."""

    def script(one: Window) -> None:
        one.type("brine for 3 kg of cauli")
        one.type(TAB)
        one.until(lambda: one.line == "brine for 3 kg of cauliflower")

    window.run(script)


def test_right_takes_the_grey_words(window: Window) -> None:
    """key("Right"): an earlier line goes on in grey from its beginning, and is taken whole, not said."""

    def script(one: Window) -> None:
        one.says(MASH)
        one.type("mash of")
        buffer = one.on.prompt.default_buffer
        one.until(lambda: buffer.suggestion is not None)
        one.type(RIGHT)
        one.until(lambda: one.line == MASH)

    window.run(script)
    assert said(window.path) == [MASH]


def test_grey_words_stand_in_brackets(window: Window) -> None:
    """On a screen without colours they would look typed: the line shows where the typing ends."""

    def script(one: Window) -> None:
        one.type("mash of 4 k")
        one.until(lambda: "say: mash of 4 k[g of chillies at 3%]" in drawn(one.on.prompt.app.renderer))
        one.type(TAB)  # under the list they would stand in its way
        one.until(lambda: "unit of mass" in drawn(one.on.prompt.app.renderer))
        assert "[" not in drawn(one.on.prompt.app.renderer)

    window.run(script)


def test_an_example_is_grey_where_no_line_began_so(window: Window) -> None:
    """With nothing said yet the examples of the declarations go on in grey."""

    def script(one: Window) -> None:
        assert one.on.engine is not None
        example = next(each for each in one.on.engine.examples if each.startswith("mash of"))
        one.type("mash of ")
        one.until(lambda: one.on.prompt.default_buffer.suggestion is not None)
        one.type(RIGHT)
        one.until(lambda: one.line == example)

    window.run(script)


def test_up_goes_through_earlier_lines(window: Window) -> None:
    """key("Up, Down"): the line before comes back, and the one before that."""

    def script(one: Window) -> None:
        one.says(MASH, "make it 4 kg")
        one.type(UP)
        one.until(lambda: one.line == "make it 4 kg")
        one.type(UP)
        one.until(lambda: one.line == MASH)
        one.type("\x1b[B")
        one.until(lambda: one.line == "make it 4 kg")

    window.run(script)


def test_a_search_is_in_plain_words(window: Window) -> None:
    """What is looked for and what was found stand in one row, in capitals too; that nothing was is said."""

    def script(one: Window) -> None:
        one.says(MASH)
        seen = one.on.prompt.app.renderer
        for letters, row in (
            ("", "find:  | type letters of an earlier line"),
            ("CHILL", f"find: CHILL | {MASH}"),
            ("CHILLX", "find: CHILLX | no earlier line has that"),
        ):
            one.type(f"{CTRL_R}{letters}")
            one.until(lambda: row in drawn(seen), row)  # noqa: B023 - waited for at once
            assert keys.SEARCHING in drawn(seen)
            assert "F1 help" not in drawn(seen)  # what does not work there is not named
            one.type(CTRL_C)
            one.until(lambda: keys.SEARCHING not in drawn(seen))

    window.run(script)
    assert said(window.path) == [MASH]


def test_a_line_that_was_found_is_seen_to_its_end(tmp_path: Path) -> None:
    """On a narrow screen it goes on in the next row: cut at the edge, 2.5% would be seen as 2."""
    window = Window(tmp_path / "a.book", columns=40)

    def script(one: Window) -> None:
        one.says("brine for 3 kg in a 10 L crock at 2.5%")
        one.type(f"{CTRL_R}bri")
        one.until(lambda: "crock at 2.5%" in drawn(one.on.prompt.app.renderer).replace("\n", ""))

    window.run(script)


def test_ctrl_r_searches_earlier_lines(window: Window) -> None:
    """key("Ctrl-R"): letters of an earlier line find it; Enter brings it into the line and does not say it yet."""

    def script(one: Window) -> None:
        one.says(MASH, "make it 4 kg", "why?")
        one.type(CTRL_R)
        one.type("chill")
        one.type(ENTER)
        one.until(lambda: one.line == MASH)

    window.run(script)
    assert said(window.path) == [MASH, "make it 4 kg", "why?"]


def test_f1_helps_with_the_open_question(window: Window) -> None:
    """key("F1"): what is asked, its units, limits and an example from the declaration, the usual; nothing is said."""

    def script(one: Window) -> None:
        one.says("mash of 3 kg of chillies")
        one.type(F1)
        one.shows("For example: 3%.")
        one.shows("Asked: Which salt, in % of the produce?")
        one.shows("It can be up to 31%.")
        one.shows('"The usual" is 3%.')

    window.run(script)
    assert said(window.path) == ["mash of 3 kg of chillies"]


def test_f1_with_nothing_open_says_what_can_be_said(window: Window) -> None:
    """Three examples, the keys that are needed most, and which word brings the long help; all keys on F1 again."""

    def script(one: Window) -> None:
        one.type(F1)
        one.shows('"help" lists what can be asked')
        one.shows("brine for 3 kg in a 10 L crock at 2.5%")
        one.shows("Tab words, Ctrl-Z undo")
        one.shows(keys.MORE)
        assert not any("Ctrl-R: searches" in row for row in one.rows)
        one.type(F1)
        one.shows("Ctrl-R: searches earlier lines")

    window.run(script)


@pytest.mark.parametrize(
    "before", [(), (MASH,), (WALK, "stop for today"), (WALK,), (WALK, "next"), ("mash of 3 kg of chillies",)]
)
def test_the_first_f1_fits_a_narrow_screen(before: tuple[str, ...], tmp_path: Path) -> None:
    """Wherever the talk stands, its first help is at most 16 rows of 40 columns, so all of it is seen at once."""
    session = talk()
    for one in before:
        session.say(one)
    rows = [row for text in helping.rows(session.now) for row in wrapped(text, 40)]
    assert len(rows) <= 16
    assert rows[-1] == keys.MORE


def test_f1_on_a_walk_tells_its_keys(window: Window) -> None:
    """Where a step asks for nothing: which step it is, why it is done, and the single keys."""

    def script(one: Window) -> None:
        one.says(WALK)
        one.type(F1)
        one.shows('Step 1 of 13 of "A first dry-salted mash"')
        one.shows("space next, b back, r repeat, ? why")
        one.shows("they need a clean start")

    window.run(script)
    assert said(window.path) == [WALK]


def test_f1_after_something_was_typed_is_the_first_again(window: Window) -> None:
    """Only two F1 in a row bring all keys; a letter between them, and the help is the one for where the talk stands."""

    def script(one: Window) -> None:
        one.type(f"{F1}")
        one.shows(keys.MORE)
        one.type("m")
        one.until(lambda: one.line == "m")
        one.type(F1)
        one.until(lambda: one.rows.count(keys.MORE) == 2)

    window.run(script)
    assert not any("Ctrl-R: searches" in row for row in window.rows)


def test_f1_leaves_what_is_typed(window: Window) -> None:
    """Asking for help in the middle of a line drops nothing of it."""

    def script(one: Window) -> None:
        one.type(f"mash of 3{F1}")
        one.shows(keys.MORE)
        one.type(" kg")
        one.until(lambda: one.line == "mash of 3 kg")

    window.run(script)


def test_ctrl_z_takes_the_last_turn_back(window: Window) -> None:
    """key("Ctrl-Z"): on an empty line it says "undo", so the correction is gone."""

    def script(one: Window) -> None:
        one.says(MASH, "make it 4 kg")
        one.type(CTRL_Z)
        one.shows("Undone.")

    window.run(script)
    assert said(window.path) == [MASH, "make it 4 kg", "undo"]


def test_ctrl_z_takes_typing_back_where_there_is_some(window: Window) -> None:
    """With letters in the line no turn is taken back."""

    def script(one: Window) -> None:
        one.says(MASH)
        one.type("make it")
        one.until(lambda: one.line == "make it")
        one.type(CTRL_Z)
        # how much of it counts as one typing hangs on the pauses between the letters
        one.until(lambda: "make it".startswith(one.line) and one.line != "make it")

    window.run(script)
    assert said(window.path) == [MASH]


def test_alt_z_does_it_again(window: Window) -> None:
    """key("Alt-Z"): what was taken back holds again."""

    def script(one: Window) -> None:
        one.says(MASH, "make it 4 kg", "undo")
        one.type(ALT_Z)
        one.shows("Done again.")

    window.run(script)
    assert said(window.path) == [MASH, "make it 4 kg", "undo", "redo"]


def test_ctrl_c_drops_the_line_and_up_brings_it_back(window: Window) -> None:
    """key("Ctrl-C"): the line is gone from the prompt and said nowhere; Up has it still."""

    def script(one: Window) -> None:
        one.type(f"half a line{CTRL_C}")
        one.shows(DROPPED.split(";")[0])
        one.ready()
        one.type(UP)
        one.until(lambda: one.line == "half a line")

    window.run(script)
    assert said(window.path) == []


def test_ctrl_c_on_an_empty_line_only_says_how_to_end(window: Window) -> None:
    """The open question stays open, and nothing is kept of it."""

    def script(one: Window) -> None:
        one.says("mash of 3 kg of chillies")
        one.type(CTRL_C)
        one.shows(ENDS)
        one.says("2.5%")
        one.shows(SALT)

    window.run(script)
    assert said(window.path) == ["mash of 3 kg of chillies", "2.5%"]


def test_ctrl_d_ends_on_an_empty_line_only(window: Window) -> None:
    """key("Ctrl-D"): in a line it takes a letter away, as line editors do; on an empty one it ends."""

    def script(one: Window) -> None:
        one.type("\x01")
        one.type(f"abc\x01{CTRL_D}")
        one.until(lambda: one.line == "bc")
        one.type("\x15\x0b")
        one.until(lambda: not one.line)
        one.type(CTRL_D)
        one.until(lambda: one.on.engine is None)

    window.run(script)
    assert window.rows[-1].startswith("Goodbye")


# --- on a walk ----------------------------------------------------------------------------


def test_space_goes_on(window: Window) -> None:
    """key("space"): on an empty line it says "next"."""

    def script(one: Window) -> None:
        one.says(WALK)
        one.type(" ")
        one.shows("Step 2 of 13")

    window.run(script)
    assert said(window.path) == [WALK, "next"]


def test_a_held_space_bar_goes_one_step(window: Window) -> None:
    """Leaning on the space bar must pass no step and no wait of days: it counts once, and a row says so."""

    def script(one: Window) -> None:
        one.says(WALK)
        one.type(" ")
        one.shows("Step 2 of 13")
        one.says("3 kg of chillies", "3 L jar", "3%")
        one.ready()
        before = one.on.standing.now
        one.type(" " * 30)
        one.until(lambda: one.on.standing.now != before)
        one.until(lambda: one.under == [f"  {keys.HELD}"])
        one.type("w")
        one.until(lambda: one.line == "w" and one.under != [f"  {keys.HELD}"])

    window.run(script)
    assert said(window.path) == [WALK, "next", "3 kg of chillies", "3 L jar", "3%", "next"]


def test_space_on_an_open_question_says_what_is_asked(window: Window) -> None:
    """A step that waits for a weight is not passed by the space bar: the question is shown, nothing is said."""

    def script(one: Window) -> None:
        one.says(WALK, "next")
        asked = lines_of(one.on.standing.question)
        before = len(one.rows)
        one.type(" ")
        one.until(lambda: len(one.rows) > before)
        assert one.rows[before:] == [*asked, ""]
        assert "What do they weigh?" in asked[0]
        one.until(lambda: not one.line)

    window.run(script)
    assert said(window.path) == [WALK, "next"]


def test_the_keys_count_where_a_step_asks(window: Window, monkeypatch: pytest.MonkeyPatch) -> None:
    """With the line empty "?" says why it asks, "r" says the step again, "b" goes back; the question stays open."""
    monkeypatch.setattr(keys, "HOLD", 0.05)
    monkeypatch.setattr(keys, "AGAIN", 0.0)

    def script(one: Window) -> None:
        one.says(WALK, "next")
        for letter, line in (("?", "why"), ("r", "repeat"), ("b", "back")):
            assert one.on.standing.question or line == "why"
            one.type(letter)
            one.until(lambda: said_last(one) == line)  # noqa: B023 - waited for at once
            one.ready()
        one.shows("Step 1 of 13")

    window.run(script)
    assert said(window.path) == [WALK, "next", "why", "repeat", "back"]


def test_a_word_can_be_typed_where_a_step_asks(window: Window) -> None:
    """An answer that begins with a key's letter goes on before the key counts."""

    def script(one: Window) -> None:
        one.says(WALK, "next")
        one.type("brown peppers, 3 kg")
        one.until(lambda: one.line == "brown peppers, 3 kg")
        time.sleep(keys.HOLD + 0.2)

    window.run(script)
    assert said(window.path) == [WALK, "next"]


def to_step_four(one: Window) -> None:
    """The first mash as far as a step that asks for nothing, with one before it."""
    one.says(WALK, "next", "3 kg of chillies", "3 L jar", "3%")
    assert one.on.standing.question == ""


def test_b_goes_back_after_a_pause(window: Window, monkeypatch: pytest.MonkeyPatch) -> None:
    """key("b"): alone for a moment it says "back"; the row under the line says that it will."""
    monkeypatch.setattr(keys, "HOLD", 0.3)

    def script(one: Window) -> None:
        to_step_four(one)
        one.type("b")
        one.until(lambda: one.under == ["  b goes a step back in a moment; type on for a word"])
        one.shows("Step 4 of 13")
        one.until(lambda: said_last(one) == "back")

    window.run(script)


def test_b_takes_nothing_out_of_the_book(window: Window, monkeypatch: pytest.MonkeyPatch) -> None:
    """On the first step it says so; what was entered before the walk stays entered."""
    monkeypatch.setattr(keys, "HOLD", 0.05)

    def script(one: Window) -> None:
        one.says("new batch of reds in the 8 L crock", "packed 4 kg of chillies at 3%", WALK)
        one.type("b")
        one.shows("This is the first step.")

    window.run(script)
    assert kinds(events(window.path)) == ["begin", "add", "add"]


def said_last(one: Window) -> str:
    """The line said last, as the history has it."""
    return one.on.history._loaded_strings[0]


def test_r_repeats_after_a_pause(window: Window, monkeypatch: pytest.MonkeyPatch) -> None:
    """key("r"): alone for a moment it says "repeat"."""
    monkeypatch.setattr(keys, "HOLD", 0.05)

    def script(one: Window) -> None:
        to_step_four(one)
        one.type("r")
        one.until(lambda: said_last(one) == "repeat")

    window.run(script)


@pytest.mark.parametrize("word", ["brine for 2 kg in a 5 L crock at 3%", "repeat", "r u there"])
def test_a_word_that_begins_with_a_key_is_typed(word: str, window: Window, monkeypatch: pytest.MonkeyPatch) -> None:
    """Letters that follow within the pause make it a word, however slowly it goes on afterwards."""
    monkeypatch.setattr(keys, "HOLD", 0.5)

    def script(one: Window) -> None:
        to_step_four(one)
        one.type(word[0])
        one.until(lambda: one.line == word[0])
        one.type(word[1])
        one.until(lambda: one.line == word[:2])
        time.sleep(0.7)  # longer than the key is held
        one.type(word[2:])
        one.until(lambda: one.line == word)
        one.says("")

    window.run(script)
    assert said(window.path)[5:] == [word]


def test_a_letter_taken_back_is_no_key(window: Window, monkeypatch: pytest.MonkeyPatch) -> None:
    """Backspace within the pause leaves an empty line, and nothing is sent."""
    monkeypatch.setattr(keys, "HOLD", 0.3)

    def script(one: Window) -> None:
        to_step_four(one)
        one.type("b")
        one.until(lambda: one.line == "b")
        one.type(BACKSPACE)
        one.until(lambda: not one.line)
        time.sleep(0.5)

    window.run(script)
    assert len(said(window.path)) == 5


def test_enter_after_the_letter_does_not_wait(window: Window) -> None:
    """ "b" and Enter is the key at once."""

    def script(one: Window) -> None:
        to_step_four(one)
        one.type(f"b{ENTER}")
        one.until(lambda: said_last(one) == "back")

    window.run(script)
    assert said(window.path)[5:] == ["back"]


def test_question_mark_says_why(window: Window) -> None:
    """key("?"): on an empty line it says "why"."""

    def script(one: Window) -> None:
        one.says(WALK)
        one.type("?")
        one.until(lambda: said_last(one) == "why")
        one.shows("they need a clean start")

    window.run(script)
    assert said(window.path) == [WALK, "why"]


def test_off_a_walk_they_are_letters(window: Window, monkeypatch: pytest.MonkeyPatch) -> None:
    """With no walk under way, or one that was stopped for today, nothing is sent by a single key."""
    monkeypatch.setattr(keys, "HOLD", 0.05)

    def script(one: Window) -> None:
        for before in ((), (WALK, "stop for today")):
            one.says(*before)
            for letter in " br?":
                one.type(letter)
                one.until(lambda: one.line == letter)  # noqa: B023 - waited for at once
                one.type(BACKSPACE)
                one.until(lambda: not one.line)

    window.run(script)
    assert said(window.path) == [WALK, "stop for today"]


def test_in_a_word_the_keys_are_letters(window: Window) -> None:
    """A space after a word is a space, and "?" at the end of a question is one."""

    def script(one: Window) -> None:
        one.says(WALK)
        one.type("how long?")
        one.until(lambda: one.line == "how long?")

    window.run(script)
    assert said(window.path) == [WALK]
