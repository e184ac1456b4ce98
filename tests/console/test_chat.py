"""The chat on a terminal: keys in, a screen out, the talk kept."""

from __future__ import annotations

import contextlib
import re
import sqlite3
from pathlib import Path
from typing import Any

import pytest
from prompt_toolkit.input import create_pipe_input

import assistant.console.chat as console
from assistant.batches.shelf import Shelf, Unreadable
from assistant.book import disk
from assistant.book.store import Book
from assistant.console import helping
from assistant.console.chat import DROPPED, ENDS, PROMPT, chat
from assistant.console.engine import CARRIED, pointing
from assistant.console.lines import lines
from assistant.console.looks import lines_of
from assistant.console.session import LOST, BookRefused, Session
from assistant.console.settings import Settings
from assistant.console.welcome import AT_ONCE, Start
from assistant.talk.state import State
from tests.book.pieces import FULL, full
from tests.console.pieces import events, every_line, kinds, said
from tests.console.window import CTRL_C, CTRL_D, ENTER, UP, Screen, Window
from tests.helpers import DAY, say, talk

HELLO = [row for line in AT_ONCE for row in lines_of(line)]
PLAINEST = Start(Settings(tips=False))
KEPT = "Goodbye. The talk and the book are kept."


class Desk:
    """A kitchen desk: a book, and what the last chat showed."""

    def __init__(self, path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
        self.path = path
        self.rows: list[str] = []
        self.screen = Screen()
        real = console.print_formatted_text

        def remembered(text: Any, **settings: Any) -> None:
            self.rows.append(text.value)
            real(text, **settings)

        monkeypatch.setenv("COLUMNS", "80")
        monkeypatch.setattr(console, "print_formatted_text", remembered)

    def type(self, keys: str, fresh: bool = False) -> list[str]:
        """Starts the chat, types the keys, and gives the rows shown after the greeting."""
        self.rows.clear()
        self.screen = Screen()
        with create_pipe_input() as terminal:
            terminal.send_text(keys)
            status = chat(fresh, terminal, self.screen, today=lambda: DAY, path=self.path, start=PLAINEST)
        assert status == 0
        assert self.rows[: len(HELLO)] == HELLO
        return [row for row in self.rows[len(HELLO) :] if row]

    def kept(self) -> list[str]:
        """The lines on disk."""
        return said(self.path)


@pytest.fixture
def desk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Desk:
    """A desk with no talk on it."""
    return Desk(tmp_path / "kept" / "a.book", monkeypatch)


def keys(*said: str) -> str:
    """The lines as keys, each with Enter."""
    return "".join(f"{line}{ENTER}" for line in said)


def rows(*said: str, before: tuple[str, ...] = ()) -> list[str]:
    """What a talk says to these lines, as rows of 80 columns with their carets."""
    session = Session(lambda: DAY)
    for line in before:
        session.say(line)
    found = []
    for line in said:
        _, replies = session.say(line)
        found += [row for row in [pointing(line, replies, len(PROMPT))] if row]
        found += lines(replies, 80)
    return found


# --- talking ------------------------------------------------------------------------------


def test_a_first_answer(desk: Desk) -> None:
    """A whole question is answered at once, after a greeting of a few rows."""
    shown = desk.type(keys("mash of 3.4 kg of chillies at 2.5%", "bye"))
    assert [*rows("mash of 3.4 kg of chillies at 2.5%"), KEPT] == shown
    assert shown[0][:33] == "Salt 85 g for 3.4 kg of chillies."
    assert True is (len(HELLO) <= 6)


def test_a_missing_quantity_is_asked_for_and_given(desk: Desk) -> None:
    """One question at a time, for the vessel, then for the salt; then the answer."""
    said = ("brine for 2.2 kg of cucumbers", "7 L crock", "3.5%")
    shown = desk.type(keys(*said, "bye"))
    assert [*rows(*said), KEPT] == shown
    assert [shown[0].endswith("?"), shown[1].startswith("Which salt"), shown[2].endswith("?")] == [True, True, False]


def test_a_correction_changes_the_answer(desk: Desk) -> None:
    """ "make it" puts one number in place of another and says which."""
    said = ("mash of 3.4 kg of chillies at 2.5%", "make it 5 kg")
    shown = desk.type(keys(*said, "bye"))
    assert [*rows(*said), KEPT] == shown
    assert [
        next(one for one in shown if one.startswith(start))[: len(start)]
        for start in ("Salt 85 g", "Salt 125 g", "Produce: 5 kg, was 3.4 kg.")
    ] == ["Salt 85 g", "Salt 125 g", "Produce: 5 kg, was 3.4 kg."]


def test_why_shows_the_sum(desk: Desk) -> None:
    """ "why?" shows the relation with the numbers in it and changes nothing."""
    said = ("mash of 3.4 kg of chillies at 2.5%", "why?")
    shown = desk.type(keys(*said, "bye"))
    assert [*rows(*said), KEPT] == shown
    assert [one for one in ("2.5% x 3.4 kg = 85 g",) if one in " ".join(shown)] == ["2.5% x 3.4 kg = 85 g"]


def test_undo_takes_the_correction_back(desk: Desk) -> None:
    """After undo a further correction starts from the first answer."""
    said = ("mash of 3.4 kg of chillies at 2.5%", "make it 5 kg", "undo", "what about 5%")
    shown = desk.type(keys(*said, "bye"))
    assert [*rows(*said), KEPT] == shown
    assert [row.split()[1] for row in shown if re.match(r"Salt \d", row)] == ["85", "125", "85", "170"]


def test_the_talk_is_on_disk(desk: Desk) -> None:
    """Every line said is kept, in order, with "bye"."""
    said = ("mash of 3.4 kg of chillies at 2.5%", "why?", "undo", "bye")
    desk.type(keys(*said))
    assert list(said) == desk.kept()


# --- keys ---------------------------------------------------------------------------------


def test_ctrl_c_drops_the_line_and_keeps_the_talk(desk: Desk) -> None:
    """Ctrl-C throws away what is being typed, nothing else."""
    typed = keys("mash of 3.4 kg of chillies at 2.5%") + f"half a li{CTRL_C}" + keys("make it 5 kg", "bye")
    shown = desk.type(typed)
    first, both = rows("mash of 3.4 kg of chillies at 2.5%"), rows("mash of 3.4 kg of chillies at 2.5%", "make it 5 kg")
    assert [*first, DROPPED, *both[len(first) :], KEPT] == shown
    assert desk.kept() == ["mash of 3.4 kg of chillies at 2.5%", "make it 5 kg", "bye"]


def test_ctrl_c_again_and_again(desk: Desk) -> None:
    """Ctrl-C never ends the talk, and a question stays open through it."""
    shown = desk.type(keys("mash of 3.4 kg of chillies") + CTRL_C * 3 + keys("2.5%", "bye"))
    first, both = rows("mash of 3.4 kg of chillies"), rows("mash of 3.4 kg of chillies", "2.5%")
    assert [*first, ENDS, ENDS, ENDS, *both[len(first) :], KEPT] == shown


def test_ctrl_d_ends_the_talk(desk: Desk) -> None:
    """Ctrl-D on an empty line ends with 0; the talk is kept without a "bye"."""
    shown = desk.type(keys("mash of 3.4 kg of chillies at 2.5%") + CTRL_D + keys("make it 9 kg"))
    assert [*rows("mash of 3.4 kg of chillies at 2.5%"), KEPT] == shown
    assert desk.kept() == ["mash of 3.4 kg of chillies at 2.5%"]


def test_bye_ends_the_talk(desk: Desk) -> None:
    """Nothing typed after "bye" is read."""
    assert desk.type(keys("bye", "mash of 3.4 kg of chillies at 2.5%")) == [KEPT]
    assert desk.kept() == ["bye"]


def test_an_empty_line_is_answered_and_not_kept(desk: Desk) -> None:
    """Enter alone gets a sentence, no caret, and leaves no trace."""
    shown = desk.type(keys("", "   ", "bye"))
    assert [*lines(say(""), 80), *lines(say(""), 80), KEPT] == shown
    assert desk.kept() == ["bye"]


def test_a_pasted_text_of_two_lines_is_one_saying(desk: Desk) -> None:
    """A paste with a line break in it is one line of talk, without a caret, and is kept whole."""
    pasted = "\x1b[200~mash of 3 snorks\nat 3%\x1b[201~\r"
    shown = desk.type(pasted + keys("bye"))
    assert [*lines(say("mash of 3 snorks\nat 3%"), 80), KEPT] == shown
    assert desk.kept() == ["mash of 3 snorks\nat 3%", "bye"]


# --- bad input ----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("line", "marks"),
    [
        ("brimble wobbet", "     ^^^^^^^^^^^^^^"),
        ("mash of 3 snorks at 3%", "               ^^^^^^"),
        ("mash of", "          ^^"),
        ("make it 0 kg", ""),
        ("brine with 2 L of water at 95%", ""),
    ],
)
def test_a_bad_line_changes_nothing(line: str, marks: str, desk: Desk) -> None:
    """A bad line gets a sentence, and a caret where words were not understood; the correction after it holds."""
    first = "mash of 3.4 kg of chillies at 2.5%"
    shown = desk.type(keys(first, line, "make it 5 kg", "bye"))
    assert [*rows(first), *rows(line, before=(first,)), *rows("make it 5 kg", before=(first,)), KEPT] == shown
    assert [marks] * bool(marks) == [row for row in shown if row.strip(" ^") == "" and row]


def test_no_caret_for_the_words_of_an_earlier_line() -> None:
    """A misreading that comes out after a choice is not pointed at under the choice."""
    replies = say("convert 1,500 mL to cm", "1500 mL")
    assert (replies[0].kind, pointing("1500 mL", replies, len(PROMPT))) == ("misread", "")


def test_the_caret_is_one_for_the_first_misreading() -> None:
    """pointing() gives the marks after the prompt, "" where all was understood."""
    said = "mash of 3 snorks at 3%"
    assert f"{' ' * (len(PROMPT) + 10)}^^^^^^" == pointing(said, say(said), len(PROMPT))
    assert pointing("help", say("help"), len(PROMPT)) == ""


# --- carrying on --------------------------------------------------------------------------


def test_a_second_start_carries_on(desk: Desk) -> None:
    """The last replies are shown again, and a correction works on them."""
    said = ("mash of 3.4 kg of chillies at 2.5%", "make it 5 kg")
    desk.type(keys(*said) + CTRL_D)
    shown = desk.type(keys("undo", "bye"))
    again = lines(say(*said), 80)
    assert [CARRIED, *again, *rows("undo", before=said), KEPT] == shown
    assert [*said, "undo", "bye"] == desk.kept()


def test_an_open_question_is_still_open(desk: Desk) -> None:
    """Stopped at a question, the talk asks it again and takes the answer."""
    said = ("mash of 3.4 kg of chillies",)
    desk.type(keys(*said) + CTRL_D)
    shown = desk.type(keys("2.5%", "bye"))
    assert [CARRIED, *rows(*said), *rows("2.5%", before=said), KEPT] == shown


def test_after_bye_the_talk_carries_on_too(desk: Desk) -> None:
    """ "bye" ends the sitting, not the talk."""
    said = ("mash of 3.4 kg of chillies at 2.5%",)
    desk.type(keys(*said, "bye"))
    assert [CARRIED, *rows(*said), KEPT] == desk.type(CTRL_D)


def test_a_fresh_start_forgets_and_erases_nothing(desk: Desk) -> None:
    """With --fresh nothing is carried on; the old lines stay in the book."""
    desk.type(keys("mash of 3.4 kg of chillies at 2.5%", "bye"))
    assert [*rows("why?"), KEPT] == desk.type(keys("why?", "bye"), fresh=True)
    assert desk.kept() == ["why?", "bye"]
    assert every_line(desk.path) == ["mash of 3.4 kg of chillies at 2.5%", "bye", "why?", "bye"]


def test_a_fresh_start_knows_the_batches(desk: Desk) -> None:
    """With --fresh the batch that is open stands in the bottom line, and can be spoken of."""
    desk.type(keys("mash of 3.4 kg of chillies at 2.5%", "packed it", "call it Ember", "bye"))
    window = Window(desk.path)

    def script(one: Window) -> None:
        assert " Batch 1, Ember | nothing open | " in one.bar
        one.says("what's in it")
        one.shows("Now 3.49 kg")

    window.run(script, fresh=True)


def test_a_first_start_carries_nothing_on(desk: Desk) -> None:
    """With nothing kept the greeting is all there is."""
    assert desk.type(CTRL_D) == [KEPT]
    assert [] == desk.kept()


def test_the_up_key_brings_an_earlier_line_back(desk: Desk) -> None:
    """Lines of the last sitting are in the history."""
    line = "mash of 3.4 kg of chillies at 2.5%"
    desk.type(keys(line) + CTRL_D)

    def script(one: Window) -> None:
        one.type(UP)
        one.until(lambda: one.line == line)
        one.type(ENTER)
        one.until(lambda: one.rows.count("Salt 85 g for 3.4 kg of chillies.") == 2)

    Window(desk.path).run(script)


def test_a_garbled_file_starts_a_new_talk(desk: Desk) -> None:
    """A file of garbage is put beside, which is said once, and the talk starts anew."""
    desk.path.parent.mkdir()
    desk.path.write_bytes(b"\xff\x00garbage\n" * 99)
    notice = lines_of(
        "The book was damaged. Nothing of it could be read. The damaged file is kept as a.book.damaged-1."
    )
    mash = "mash of 3.4 kg of chillies at 2.5%"
    assert [*notice, *rows(mash), KEPT] == desk.type(keys(mash, "bye"))
    assert desk.path.with_name("a.book.damaged-1").read_bytes() == b"\xff\x00garbage\n" * 99
    assert [CARRIED, *rows(mash), KEPT] == desk.type(CTRL_D)


def test_a_book_of_another_program_is_refused(desk: Desk) -> None:
    """A chat over a file that is not a book of ours does not begin."""
    desk.path.parent.mkdir()
    db = sqlite3.connect(desk.path)
    db.execute("CREATE TABLE theirs(x)")
    db.commit()
    db.close()
    with pytest.raises(BookRefused, match="a database of another program"):
        desk.type(CTRL_D)


def test_a_talk_that_cannot_be_kept_is_told_once(desk: Desk) -> None:
    """With no place to write, one warning comes before the first line, and the goodbye says that not all is kept."""
    desk.path.parent.write_text("a file where the folder should be", encoding="utf-8")
    first, second = "mash of 3.4 kg of chillies at 2.5%", "packed it"
    shown = desk.type(keys(first, second) + CTRL_D)
    warning = lines_of("The book cannot be written: File exists. What is said now is not kept.")
    assert [*warning, *rows(first), *rows(second, before=(first,)), LOST] == shown


def test_a_disk_that_fills_up_is_told_once_and_again_when_it_does_again(
    desk: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The warning follows the first answer that is not kept; once all is kept again the goodbye says so."""
    long, first, second = "x" * 5000, "mash of 3.4 kg of chillies at 2.5%", "packed it"
    append, room = Book.append, iter(["no", "no", "yes", "no"])

    def tight(book: Book, *what: Any) -> Shelf:
        with full(book) if next(room) == "no" else contextlib.nullcontext():
            return append(book, *what)

    monkeypatch.setattr(Book, "append", tight)
    shown = desk.type(keys(long, first, second, long) + CTRL_D)
    wide = rows(long)
    warning = lines_of(FULL)
    assert [
        *wide, *warning, *rows(first), *rows(second, before=(first,)), *rows(long, before=(first, second)), *warning,
        KEPT,
    ] == shown  # fmt: skip
    # leaving was one more chance, and the goodbye comes after it
    assert [long, first, second, long] == desk.kept()
    assert kinds(events(desk.path)) == ["begin", "add", "add"]


def test_a_book_that_may_only_be_read_is_told_once(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    """The talk is carried on from a file that may only be read, with one warning; the file does not change."""
    desk.type(keys("mash of 3.4 kg of chillies at 2.5%", "packed it") + CTRL_D)
    before, real = desk.path.read_bytes(), disk.connect
    monkeypatch.setattr(disk, "connect", lambda file, query, patience: real(file, query.replace("rwc", "ro"), patience))
    shown = desk.type(keys("undo", "help", "bye"))
    warning = lines_of("The book cannot be written: its file or folder may only be read. What is said now is not kept.")
    assert (CARRIED, LOST) == (shown[0], shown[-1])
    assert [1] * len(warning) == [shown.count(row) for row in warning]
    assert True is ("Undone." in shown)
    assert before == desk.path.read_bytes()


# --- the screen ---------------------------------------------------------------------------


def test_the_screen_shows_prompt_toolbar_and_answer(desk: Desk) -> None:
    """The prompt, the bottom line and the rows all reach the screen, without colour on a screen handed in."""
    window = Window(desk.path)
    window.run(lambda one: one.says("mash of 3.4 kg of chillies at 2.5%"))
    shown = "".join(window.screen.written)
    wanted = [PROMPT.strip(), "Ctrl-D end", "Salt 85 g for 3.4 kg", KEPT]
    assert (wanted, 0) == ([one for one in wanted if one in shown], shown.count("\x1b"))


def test_the_greeting_is_wrapped() -> None:
    """The greeting fits the screen and is said in full."""
    assert " ".join(AT_ONCE).split() == " ".join(HELLO).split()
    assert [row for row in HELLO if len(row) > 80] == []


@pytest.mark.parametrize(
    ("said", "mode", "expected"),
    [
        ((), "idle", "nothing open"),
        (("mash of 3.4 kg of chillies",), "asking", "asking: salt of the produce"),
        (("mash of 1,250 g of chillies at 3%",), "choosing", "asking: which one"),
        (("mash of 2 kilgrams of chillies at 3%",), "confirming", "asking: which one"),
        (("mash of 3.4 kg of chillies at 2.5%",), "idle", "3.4 kg, 2.5%"),
        (("mash of 3.4 kg of chillies at 2.5%", "undo"), "idle", "nothing open"),
        (("mash of a pound of reds and 6 oz of garlic at 3%",), "idle", "1 lb + 6 oz, 3%"),
        (("imperial units",), "idle", "nothing open"),
        (("metric units", "mash of 3.4 kg of chillies"), "asking", "asking: salt of the produce"),
        (("mash of 3.4 kg of chillies at 2.5%", "brine for 2 kg"), "asking", "asking: water"),
        (("55 62 68 72 74 74 70 64 every two minutes",), "idle", "a question is open"),
        (("walk me through a first mash", "next"), "idle", "step 2 of 13, asking: what they weigh"),
    ],
)
def test_the_bottom_line_says_where_the_talk_stands(said: tuple[str, ...], mode: str, expected: str) -> None:
    """In every mode it tells what is asked or what the answer stands on."""
    session = talk()
    for line in said:
        session.say(line)
    assert (mode, expected) == (session.talk.now.mode, helping.now(session.talk.now))


def test_the_bottom_line_names_the_open_batch(desk: Desk) -> None:
    """As soon as a batch is begun, and again at the next start, the bottom line says which is open."""

    def begun(one: Window) -> None:
        one.says("new batch of reds in a 5 L jar")
        assert one.bar.startswith(" Batch 1, reds | nothing open | in kg, L, C | F1 help")

    Window(desk.path).run(begun)
    bars: list[str] = []
    Window(desk.path).run(lambda one: bars.append(one.bar))
    assert bars[0].startswith(" Batch 1, reds | nothing open | in kg, L, C | F1 help")


def test_the_bottom_line_survives_a_book_that_cannot_be_read() -> None:
    """A batch that cannot be read is not named, and nothing is raised."""

    class Unread(dict[int, Any]):
        def get(self, number: int, default: Any = None) -> Any:
            """No account."""
            raise Unreadable("lost")

    assert helping.batch(State(shelf=Shelf(1, 1, 1, {}, Unread()))) == ""


def test_the_clock_is_the_one_handed_in(desk: Desk) -> None:
    """Lines are kept with the day of the clock."""
    desk.type(keys("pH 3.9", "bye"))
    with Book.open(desk.path) as book:
        assert [("pH 3.9", DAY, 0), ("bye", DAY, 0)] == book.start(fresh=False)
