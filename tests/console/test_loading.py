"""The prompt comes first, the talk loads behind it; what is half typed outlives a kill; pasted rows are one saying."""

from __future__ import annotations

import os
import pty
import re
import select
import signal
import subprocess
import sys
import threading
import time
from pathlib import Path

import pytest
from prompt_toolkit.input import create_pipe_input

from assistant.console import chat as console
from assistant.console.chat import BACK, Chat
from assistant.console.draft import Draft
from assistant.console.engine import CARRIED, Engine
from tests.console.pieces import said
from tests.console.window import CTRL_D, ENTER, UP, Clock, Screen, Window, drawn
from tests.helpers import DAY

ROOT = Path(__file__).parent.parent.parent
MASH = "mash of 3 kg of chillies at 2.5%"
SALT = "Salt 75 g for 3 kg of chillies."


def test_nothing_heavy_is_loaded_before_the_prompt() -> None:
    """Up to its first prompt the program has the prompt's library, and nothing of grammar, talk, trade, units, parser
    or book."""
    code = (
        "import sys, assistant.console.main as main, assistant.console.chat as chat\n"
        "heavy = ('grammar', 'lark', 'pint', 'sqlite3', 'assistant.talk', 'assistant.trade', 'assistant.batches',\n"
        "  'assistant.book', 'assistant.walks', 'assistant.rules', 'assistant.replies', 'assistant.console.engine')\n"
        "class Keys:\n"
        "  isatty = staticmethod(lambda: True)\n"
        "  fileno = staticmethod(lambda: 0)\n"
        "sys.stdin = Keys()\n"
        "chat.Chat.__init__ = lambda self, *given, **more: None\n"
        "chat.Chat.run = lambda self: print([one for one in sys.modules if one.startswith(heavy)]) or 0\n"
        "main.main([])"
    )
    found = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=ROOT)
    assert found.stdout.strip() == "[]"


def test_typing_works_before_the_talk_is_there(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Letters typed while it loads stand in the line; Enter waits, and the line is answered when it is there."""
    held = threading.Event()
    real = Engine.__init__

    def slow(self: Engine, *given: object) -> None:
        held.wait(20)
        real(self, *given)  # type: ignore[arg-type]

    monkeypatch.setattr(Engine, "__init__", slow)
    screen, rows = Screen(), list[str]()
    with create_pipe_input() as terminal:
        chat = Chat(False, terminal, screen, today=lambda: DAY, path=tmp_path / "a.book", clock=Clock())
        show = chat.show
        monkeypatch.setattr(chat, "show", lambda more: [rows.extend(more := list(more)), show(more)])

        def typing() -> None:
            terminal.send_text(MASH)
            while chat.prompt.default_buffer.text != MASH:
                time.sleep(0.01)
            bars.append(chat._bottom())
            terminal.send_text(ENTER)
            while not chat.prompt.app.is_done and chat.prompt.app.is_running:
                time.sleep(0.01)
            before.extend(rows)
            held.set()
            terminal.send_text(CTRL_D)

        bars: list[str] = []
        before: list[str] = []
        typist = threading.Thread(target=typing)
        typist.start()
        assert chat.run() == 0
        typist.join()
    assert "Enter waits" in bars[0]
    assert (SALT in before, SALT in rows) == (False, True)


def test_what_is_carried_on_comes_above_the_line(tmp_path: Path) -> None:
    """The earlier talk, and the walk that waits, are shown as soon as they are loaded, above what is being typed."""
    window = Window(tmp_path / "a.book")
    window.run(lambda one: one.says("walk me through a first mash", "stop for today"))

    def script(one: Window) -> None:
        one.shows(CARRIED)
        one.shows('"Carry on" goes on with it.')
        assert one.on.prompt.app.is_running

    window.run(script)


def test_a_timer_that_came_due_meanwhile_is_told_above_the_line(tmp_path: Path) -> None:
    """Closed before it was due, it rings at the next start with how long ago that was."""
    clock = Clock()
    Window(tmp_path / "a.book", clock).run(lambda one: one.says("tell me in 10 minutes to stir"))
    clock.on(900)
    window = Window(tmp_path / "a.book", clock)
    window.run(lambda one: one.shows("Time is up, 5:00 ago: stir."))
    assert window.screen.bells == 1


def test_a_fault_while_loading_ends_the_prompt(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What cannot be loaded is raised where the chat was called, and the terminal is given back."""

    def broken(self: Engine, *_given: object) -> None:
        raise ZeroDivisionError("no luck")

    monkeypatch.setattr(Engine, "__init__", broken)
    with create_pipe_input() as terminal, pytest.raises(ZeroDivisionError, match="no luck"):
        console.chat(False, terminal, Screen(), today=lambda: DAY, path=tmp_path / "a.book")


# --- pasted rows --------------------------------------------------------------------------


def paste(text: str) -> str:
    """The text as a terminal sends what is pasted."""
    return f"\x1b[200~{text}\x1b[201~"


def test_a_pasted_log_is_one_saying(tmp_path: Path) -> None:
    """Rows of a temperature log are one line of talk, looked at while they stand there, and judged on Enter."""
    log = "".join(f"{at},{degrees}\n" for at, degrees in enumerate((60, 66, 70, 74, 75, 75, 75, 74)))
    window = Window(tmp_path / "a.book")

    def script(one: Window) -> None:
        one.type(paste(f"minute,temp C\n{log}".rstrip()))
        one.until(lambda: one.line.count("\n") == 8)
        one.until(lambda: one.under)
        one.type(ENTER)
        one.shows("pH")

    window.run(script)
    assert said(window.path) == [f"minute,temp C\n{log}".rstrip()]


def test_a_pasted_tab_is_shown_as_space(tmp_path: Path) -> None:
    """A log with tabs between its columns looks as it did in its file, and is kept with them."""
    log = "minute\ttemp C\n0\t60.5\n2\t66"
    window = Window(tmp_path / "a.book")

    def script(one: Window) -> None:
        one.type(paste(log))
        one.until(lambda: one.line == log)
        one.until(lambda: "temp C" in drawn(one.on.prompt.app.renderer))
        assert "^I" not in drawn(one.on.prompt.app.renderer)
        assert "60.5" in drawn(one.on.prompt.app.renderer)
        one.type(ENTER)
        one.shows("pH")

    window.run(script)
    assert said(window.path) == [log]


def test_a_long_paste_stays_short_on_the_screen(tmp_path: Path) -> None:
    """Of many rows the first three and their number stay; what is kept is the whole."""
    log = "\n".join(f"{at},{60 + at}" for at in range(20))
    window = Window(tmp_path / "a.book")

    def script(one: Window) -> None:
        one.type(paste(log))
        one.until(lambda: one.line == log)
        one.until(lambda: "  20 rows; not all of them are shown" in one.under)
        one.type(ENTER)
        one.shows("... 20 rows in all")
        one.says("cancel")

    window.run(script)
    at = window.rows.index("     ... 20 rows in all")
    assert window.rows[at - 3 : at] == ["say: 0,60", "     1,61", "     2,62"]
    assert said(window.path)[0] == log


# --- the half-typed line ------------------------------------------------------------------


def test_a_draft_is_left_by_who_was_killed(tmp_path: Path) -> None:
    """While its window lives nobody takes a draft up; when it is gone the next window does, and then no other."""
    book = tmp_path / "a.book"
    first = Draft(book)
    first.keep("mash of 3")
    second = Draft(book)
    assert second.left == ()
    os.close(first._file)  # what the end of a process does, however it comes
    third = Draft(book)
    assert third.left == ("mash of 3",)
    assert Draft(book).left == ()
    third.close()
    second.close()


@pytest.mark.parametrize(("long", "short"), [("mash of 3 kg of chillies", "mash"), ("é" * 50, "ü")])
def test_a_shorter_draft_has_nothing_of_the_longer(tmp_path: Path, long: str, short: str) -> None:
    """What was taken back is not there any more."""
    first = Draft(tmp_path / "a.book")
    first.keep(long)
    first.keep(short)
    os.close(first._file)
    assert Draft(tmp_path / "a.book").left == (short,)


def test_no_draft_where_nothing_can_be_written(tmp_path: Path) -> None:
    """A folder that is not there keeps none, and nothing is raised."""
    draft = Draft(tmp_path / "no" / "a.book")
    draft.keep("mash")
    draft.close()
    assert draft.left == ()


def test_the_files_are_gone_after_a_good_end(tmp_path: Path) -> None:
    """A window that was closed leaves no file, and the next one begins with an empty line."""
    window = Window(tmp_path / "a.book")
    window.run(lambda one: one.says(MASH))
    assert [one.name for one in tmp_path.iterdir() if "draft" in one.name] == []


class Terminal:
    """The program itself on a terminal of its own, to be killed."""

    def __init__(self, book: Path, **more: str) -> None:
        self.pid, self.file = pty.fork()
        if not self.pid:  # pragma: no cover - the child
            os.chdir(ROOT)
            os.environ.update({"TERM": "xterm", "PROMPT_TOOLKIT_NO_CPR": "1", **more})
            os.execv(sys.executable, [sys.executable, "-m", "assistant", "--book", str(book)])  # noqa: S606
        self.seen = ""

    def until(self, text: str) -> None:
        """Reads until the screen has had this.

        Raises:
            AssertionError: it does not come.
        """
        end = time.monotonic() + 30
        while text not in re.sub(r"\x1b\[[\d;?]*[a-zA-Z]", "", self.seen):
            if time.monotonic() > end:
                raise AssertionError(f"{text!r} is not in {self.seen[-2000:]!r}")
            if select.select([self.file], [], [], 0.1)[0]:
                self.seen += os.read(self.file, 65536).decode("utf-8", "replace")

    def type(self, keys: str) -> None:
        """Presses keys."""
        os.write(self.file, keys.encode())

    def kill(self) -> None:
        """Ends it at once."""
        os.kill(self.pid, signal.SIGKILL)
        os.waitpid(self.pid, 0)
        os.close(self.file)


def test_a_half_typed_line_outlives_a_kill(tmp_path: Path) -> None:
    """Killed in the middle of a line, the program has the line again at the next start; what was said is kept too."""
    book = tmp_path / "a.book"
    one = Terminal(book)
    one.until("say:")
    one.type(f"{MASH}\r")
    one.until("Salt 75 g")
    one.type("make it 4 kg of ch")
    one.until("Salt 100 g")  # the look ahead: by now it is kept
    one.kill()
    assert said(book) == [MASH]
    window = Window(book)

    def script(two: Window) -> None:
        two.shows(BACK)
        two.until(lambda: two.line == "make it 4 kg of ch")

    window.run(script)
    assert said(book) == [MASH]


def test_a_line_said_just_before_the_kill_is_no_draft(tmp_path: Path) -> None:
    """The line that is in the book already does not come back as half typed."""
    book = tmp_path / "a.book"
    Window(book).run(lambda one: one.says(MASH))
    left = Draft(book)
    left.keep(MASH)
    os.close(left._file)
    window = Window(book)
    lines: list[str] = []
    window.run(lambda one: lines.append(one.line))
    assert (lines, BACK in window.rows) == ([""], False)


def test_what_two_windows_left_is_all_there(tmp_path: Path) -> None:
    """The latest stands in the line, the other is told and comes back with Up."""
    book = tmp_path / "a.book"
    drafts = Draft(book), Draft(book)
    for draft, text in zip(drafts, ("one kilo", "two kilos"), strict=True):
        time.sleep(0.02)  # so that the files' times tell which is the later
        draft.keep(text)
    for draft in drafts:
        os.close(draft._file)
    window = Window(book)

    def script(two: Window) -> None:
        two.until(lambda: two.line == "two kilos")
        two.shows('Half typed in another window: "one kilo"')

    window.run(script)


def test_a_plain_terminal_can_be_talked_to(tmp_path: Path) -> None:
    """With TERM=dumb there is no bottom line and no look ahead; a line is answered all the same, a letter that is taken
    back is not shown as one more, and a timer that is due is told at the next line."""
    one = Terminal(tmp_path / "a.book", TERM="dumb")
    one.until("Say: ")
    one.type("tell me in 1 second to stir\r")
    one.until("Counting 1 second")
    time.sleep(1.1)
    one.type("mash of 3 kgg\x7f\r")
    one.until("Time is up: stir.")
    one.until("Which salt")
    one.type("cancel\r")
    one.type(f"{MASH}\r")
    one.until("Salt 75 g for 3 kg of chillies.")
    one.type("bye\r")
    one.until("Goodbye.")
    one.kill()
    assert "F1" not in one.seen
    assert said(tmp_path / "a.book") == ["tell me in 1 second to stir", "mash of 3 kg", "cancel", MASH, "bye"]


def test_up_has_the_lines_of_this_sitting_and_the_last(tmp_path: Path) -> None:
    """A line said before the earlier ones were asked for stands after them."""
    window = Window(tmp_path / "a.book")
    window.run(lambda one: one.says(MASH))

    def script(one: Window) -> None:
        one.says("make it 4 kg")
        one.type(UP + UP)
        one.until(lambda: one.line == MASH)

    window.run(script)
