"""The first talk and later ones: what is shown, the question for the units, tips, and what the screen answers."""

from __future__ import annotations

import datetime
import os
import pty
import re
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from assistant.console import engine
from assistant.console.asides import units_chosen
from assistant.console.engine import Times
from assistant.console.front import Front
from assistant.console.look import Look
from assistant.console.plainly import PROMPT, UNREAD, chat
from assistant.console.session import LOST, Session
from assistant.console.settings import Settings, keep, of_file
from assistant.console.speech import Voice
from assistant.console.welcome import ASKS, AT_ONCE, CAUTION, Start, after, next_tip, shown_first, tip
from assistant.replies import Answer
from assistant.trade import CALCULATORS
from grammar.reader import read
from grammar.types import Reading
from tests.console.pieces import said
from tests.console.test_command import ROOT, environment
from tests.helpers import DAY

EXAMPLES = {one.say for calculator in CALCULATORS for one in calculator.examples}
MASH = "mash of 4 kg of chillies at 3%"


def start(tmp_path: Path, **more: object) -> Start:
    """A first start whose settings are kept in a folder of the test's own."""
    kept: Callable[[Settings, str], str] = lambda settings, key: keep(tmp_path / "settings.toml", settings, key)  # noqa: E731
    return Start(first=True, keep=kept, **more)  # type: ignore[arg-type]


def looks(width: int = 80) -> Callable[[Settings], Look]:
    """A screen of that width, without colour."""
    return lambda settings: Look(width, large=settings.large)


# --- what is shown ------------------------------------------------------------------------


def test_a_newcomer_sees_three_things_to_say() -> None:
    """The first greeting shows three of the calculators' own examples, the usual caution, and asks for the units."""
    found = [*AT_ONCE, *after(Start(first=True))]
    assert [f"  {one}" for one in shown_first()] == found[-4:-1]
    assert (3, CAUTION, ASKS) == (len(EXAMPLES & set(shown_first())), found[1], found[-1])


def test_later_starts_show_one_tip() -> None:
    """A later greeting has one tip and the caution, and asks nothing; with tips off there is none."""
    found = [*AT_ONCE, *after(Start(tip=3))]
    assert (3, CAUTION, tip(3)) == (len(found), found[1], found[2])
    assert [] == after(Start(settings=Settings(tips=False), tip=3))


def test_tips_come_from_the_declarations_and_all_come_round() -> None:
    """Each number gives another tip until every example of every calculator was shown; all can be read."""
    count = sum(len(one.examples) for one in CALCULATORS)
    tips = [tip(one) for one in range(count)]
    shown = [re.search(r'say "(.*)"\.$', one)[1] for one in tips]  # type: ignore[index]
    assert EXAMPLES == set(shown)
    assert [one.title for one in CALCULATORS] == [one.split(": say")[0] for one in tips[: len(CALCULATORS)]]
    assert tip(0) == tip(count)
    assert all(isinstance(read(one), Reading) for one in shown)


def test_the_number_of_the_tip_goes_up(tmp_path: Path) -> None:
    """Each start has the next number; a file that is spoilt or cannot be written is no trouble."""
    assert [0, 1, 2] == [next_tip(tmp_path / "cache") for _ in range(3)]
    (tmp_path / "cache" / "tip").write_text("many", encoding="utf-8")
    assert [0, 1] == [next_tip(tmp_path / "cache") for _ in range(2)]
    assert 0 == next_tip(tmp_path / "cache" / "tip" / "none")


# --- the question for the units -----------------------------------------------------------


@pytest.mark.parametrize(
    ("line", "units"),
    [("pounds", "us"), ("Metric.", "metric"), ("use pounds", "us"), ("in kilograms, please", "metric"),
     ("kg", "metric"), ("lb", "us"),
     ("pounds of what", ""), ("brine for 3 kg", ""), ("imperial", ""), ("yes", ""), ("why", "")],
)  # fmt: skip
def test_an_answer_to_the_first_question(line: str, units: str) -> None:
    """Only a line that names the units and nothing else answers it."""
    assert units == units_chosen(line)


@pytest.mark.parametrize(
    ("line", "units", "salt"),
    [("pounds", "us", "Salt 4.23 oz (120 g) for 8 lb 13.1 oz (4 kg) of chillies."),
     ("metric", "metric", "Salt 120 g for 4 kg of chillies.")],
)  # fmt: skip
def test_the_units_are_kept_and_hold_at_once(line: str, units: str, salt: str, tmp_path: Path) -> None:
    """The answer is kept in the settings file and counts from the next line on; the line is no line of the talk."""
    session = Session(lambda: DAY)
    front = Front(start(tmp_path), looks(), session)
    shown = front.aside(line)
    assert "The settings keep that." in " ".join(shown or [])
    assert Settings(units=units) == of_file(tmp_path / "settings.toml").settings
    (answer,) = [one for one in session.say(MASH)[1] if isinstance(one, Answer)]
    assert salt == answer.lead


def test_saying_anything_else_skips_the_question_for_good(tmp_path: Path) -> None:
    """A line of talk goes to the talk, the units stay as said, and a file is there so that nobody is asked again."""
    front = Front(start(tmp_path), looks(), Session(lambda: DAY))
    assert None is front.aside(MASH)
    assert (Settings(), True) == (of_file(tmp_path / "settings.toml").settings, (tmp_path / "settings.toml").exists())
    assert None is front.aside("pounds")


def test_an_empty_line_is_no_answer(tmp_path: Path) -> None:
    """Enter alone leaves the question open."""
    front = Front(start(tmp_path), looks(), Session(lambda: DAY))
    assert (None, False) == (front.aside("  "), (tmp_path / "settings.toml").exists())
    assert None is not front.aside("pounds")


def test_a_start_that_is_not_the_first_asks_nothing(tmp_path: Path) -> None:
    """Later, "pounds" alone is for the talk, and nothing is written."""
    front = Front(Start(keep=start(tmp_path).keep), looks(), Session(lambda: DAY))
    assert (None, []) == (front.aside("pounds"), list(tmp_path.iterdir()))


def test_what_cannot_be_kept_is_told(tmp_path: Path) -> None:
    """Where the file cannot be written, the units hold for this talk, and that is said."""
    (tmp_path / "taken").touch()
    told = Front(start(tmp_path / "taken"), looks(200), Session(lambda: DAY)).aside("pounds")
    assert "cannot be kept" in " ".join(told or [])


def test_settings_of_this_run_are_not_written_down(tmp_path: Path) -> None:
    """What was given on the command line for one run does not get into the file with the units."""
    front = Front(start(tmp_path, settings=Settings(large=True, cups="imperial")), looks(), Session(lambda: DAY))
    front.aside("metric")
    assert Settings(units="metric") == of_file(tmp_path / "settings.toml").settings


# --- large type and "more" ----------------------------------------------------------------


def test_more_gives_what_large_type_held_back() -> None:
    """ "More" shows the bases and the assumptions once; with nothing held back it is for the talk."""
    session = Session(lambda: DAY)
    front = Front(Start(settings=Settings(large=True)), looks(), session)
    shown = " ".join(front.rows(session.say(MASH)[1]))
    assert (False, True) == ("2.91% of everything" in shown, 'Say "more" for' in shown)
    more = " ".join(front.aside("more, please") or [])
    assert (True, True) == ("2.91% of everything" in more, "Assumed: Chillies: 88% water." in more)
    assert None is front.aside("more")


def test_large_type_is_switched_by_saying_so() -> None:
    """Said in the chat, large type begins and ends at once; in the usual type "more" is for the talk."""
    session = Session(lambda: DAY)
    front = Front(Start(), looks(), session)
    assert (False, True) == (front.look.large, front.aside("large type") is not None)
    front.rows(session.say(MASH)[1])
    assert (True, True) == (front.look.large, front.aside("normal type") is not None)
    assert (False, None) == (front.look.large, front.aside("large crock"))


def test_a_window_made_wider_is_used() -> None:
    """Each reply is wrapped for the screen as it is then."""
    widths = iter([40, 40, 100, 100])
    front = Front(Start(), lambda settings: Look(next(widths)), session := Session(lambda: DAY))
    replies = session.say(MASH)[1]
    narrow, _, wide = front.rows(replies), front.look, front.rows(replies)
    assert max(map(len, narrow)) <= 40 < max(map(len, wide)) <= 100


# --- the chat for a screen reader ---------------------------------------------------------


class Plainly:
    """A chat for a screen reader over a book: lines in, rows out."""

    def __init__(self, path: Path, **settings: object) -> None:
        self.path, self.settings = path, Settings(plain=True, **settings)  # type: ignore[arg-type]
        self.now = datetime.datetime(2026, 3, 2, 9, 0)

    def say(
        self, *lines: str | BaseException, later: float = 0, fresh: bool = False, begun: Start | None = None,
        aloud: Voice | None = None,
    ) -> str:  # fmt: skip
        """The rows after these lines, as one text; ``later`` seconds pass with each."""
        rows: list[str] = []
        left: Iterator[str | BaseException] = iter(lines)

        def read_line(prompt: str) -> str:
            assert PROMPT == prompt
            self.now += datetime.timedelta(seconds=later)
            one = next(left, EOFError())
            if isinstance(one, BaseException):
                raise one
            return one

        status = chat(
            begun or Start(self.settings), lambda wanted: Look(80, plain=True, large=wanted.large),
            Times(lambda: DAY, lambda: self.now), fresh=fresh, path=self.path, read=read_line, show=rows.append,
            aloud=aloud,
        )  # fmt: skip
        assert (0, []) == (status, [row for row in rows if "\x1b" in row])
        return " ".join(" ".join(rows).split())


@pytest.fixture
def plainly(tmp_path: Path) -> Plainly:
    """A plain chat with no talk in its book."""
    return Plainly(tmp_path / "a.book")


def test_plain_lines_say_what_they_are(plainly: Plainly) -> None:
    """Answer, assumption and caution each begin with their word, and the goodbye is said."""
    shown = plainly.say(MASH)
    for wanted in ("Note: Say what is on the bench.", "Answer: Salt 120 g", "Assumed: Chillies: 88% water.",
                   "Remember: Safe to taste", "Note: Goodbye. The talk and the book are kept."):  # fmt: skip
        assert wanted in shown
    assert [MASH] == said(plainly.path)


def test_a_plain_talk_is_carried_on(plainly: Plainly) -> None:
    """The next start says where it stopped and goes on; a fresh one does not."""
    plainly.say(MASH)
    shown = plainly.say("make it 2 kg")
    assert 'Note: Carrying on where you stopped; "start over" clears it. Answer: Salt 120 g' in shown
    assert "Answer: Salt 60 g for 2 kg of chillies." in shown
    assert "Carrying on" not in plainly.say(fresh=True)


def test_timers_are_told_at_the_next_line(plainly: Plainly) -> None:
    """A timer that ran out while nobody wrote is told before the next prompt, and after the line; the bell rings."""
    shown = plainly.say("tell me in 10 minutes to stir", "timers", MASH, later=400)
    assert shown.index("Timer: ") < shown.index("Note: 3:20") < shown.index("Time is up") < shown.index("Answer: Salt")
    assert True is ("\a" in shown)


def test_no_bell_if_it_is_not_wanted(tmp_path: Path) -> None:
    """With bell off, a timer is told and nothing rings."""
    shown = Plainly(tmp_path / "a.book", bell=False).say("tell me in 10 minutes to stir", MASH, later=700)
    assert (True, False) == ("Time is up" in shown, "\a" in shown)


def test_ctrl_c_drops_a_line_and_nothing_else(plainly: Plainly) -> None:
    """An interrupt at the prompt is told, and the talk goes on."""
    shown = plainly.say(KeyboardInterrupt(), MASH, "bye", "never read")
    assert shown.index("The line is dropped.") < shown.index("Answer: Salt 120 g") < shown.index("Goodbye.")
    assert [MASH, "bye"] == said(plainly.path)


def test_a_plain_first_talk_asks_for_the_units(plainly: Plainly, tmp_path: Path) -> None:
    """The first question is asked in plain lines too, and its answer holds."""
    begun = start(tmp_path / "kept", settings=plainly.settings)
    shown = plainly.say("pounds", MASH, begun=begun)
    assert "Note: Do you weigh in pounds or in kilograms?" in shown
    assert "Answer: Salt 4.23 oz (120 g)" in shown
    assert [MASH] == said(plainly.path)


def test_a_book_that_cannot_be_written_is_told_in_plain_lines(tmp_path: Path) -> None:
    """Trouble with the book is said once, with the word that it is a note."""
    (tmp_path / "taken").write_text("a file", encoding="utf-8")
    shown = Plainly(tmp_path / "taken" / "a.book").say("help", "help")
    assert 1 == shown.count("Note: The book cannot be written: File exists. What is said now is not kept.")


def test_a_line_that_was_half_typed_is_told(plainly: Plainly) -> None:
    """What a window left behind when it was killed is said again by no key here: it is read out, once."""
    plainly.say(MASH)
    plainly.path.with_name("a.book.draft-1").write_bytes(b"packed 3 kg of re\0")
    assert 'Note: Half typed when it stopped: "packed 3 kg of re"' in plainly.say()
    assert "Half typed" not in plainly.say()


def test_a_fault_costs_one_plain_line(plainly: Plainly, monkeypatch: pytest.MonkeyPatch) -> None:
    """A line that fails is told as a note, and the talk goes on from the one before it."""
    real = engine.turn

    def turn(session: Session, line: str) -> object:
        return 1 / 0 if line == "packed it" else real(session, line)

    monkeypatch.setattr(engine, "turn", turn)
    shown = plainly.say(MASH, "packed it", "make it 2 kg")
    assert "Note: At this line the program failed (ZeroDivisionError: division by zero)." in shown
    assert "Answer: Salt 60 g for 2 kg of chillies." in shown


def test_an_arrow_key_is_no_part_of_a_plain_line(plainly: Plainly) -> None:
    """A line with an arrow key in it was meant to be another one than it reads, so it is not said at all."""
    shown = plainly.say("mash of 4 kg of chillies at 3\x1b[D1%", MASH)
    assert shown.index(f"Note: {UNREAD}") < shown.index("Answer: Salt 120 g")
    assert said(plainly.path) == [MASH]


def test_a_plain_talk_that_is_not_kept_says_so_at_its_end(tmp_path: Path) -> None:
    """Whoever goes must not think that the batch is in the book."""
    (tmp_path / "taken").write_text("a file", encoding="utf-8")
    shown = Plainly(tmp_path / "taken" / "a.book").say("new batch of reds in a 5 L jar", "bye")
    assert shown.endswith(f"Note: {LOST}")


def test_a_walk_is_greeted(plainly: Plainly) -> None:
    """A walk that was left open is named at the next start."""
    plainly.say("walk me through a first ferment", "next")
    assert 'Note: You are on the walk "A first ferment under brine", step 2 of 13.' in plainly.say()


def test_the_plain_chat_on_a_terminal(tmp_path: Path) -> None:
    """On a real terminal bytes that are no text do not end it, no code moves the cursor, and the first talk is kept."""
    ours, theirs = pty.openpty()
    home = environment(XDG_CONFIG_HOME=str(tmp_path), TERM="xterm", COLUMNS="100")
    with subprocess.Popen(
        [sys.executable, "-m", "assistant", "--plain", "--book", str(tmp_path / "a.book")],
        stdin=theirs, stdout=theirs, stderr=theirs, cwd=ROOT, env=home,
    ) as talking:  # fmt: skip
        os.write(ours, b"\xff\xfe brimble\npounds\n" + MASH.encode() + b"\nbye\n")
        status = talking.wait(60)
    shown = os.read(ours, 65536).decode("utf-8", "replace")
    os.close(theirs)
    os.close(ours)
    assert (0, False, False) == (status, "\x1b" in shown, "Traceback" in shown)
    wanted = ["Note: Do you weigh", "Not understood: ", "Answer: Salt 120 g for 4 kg of chillies.", "Note: Goodbye."]
    assert wanted == [one for one in wanted if one in " ".join(shown.split())]
    assert True is (tmp_path / "crockside" / "settings.toml").exists()
