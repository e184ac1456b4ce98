"""The ``crockside`` command as a program: arguments, streams, exit codes."""

from __future__ import annotations

import json
import os
import pty
import re
import sqlite3
import subprocess
import sys
from functools import cache
from pathlib import Path

import pytest

from assistant import __version__
from assistant.console.looks import width
from assistant.console.main import ANSWERED, NEEDS_MORE, NOT_READ, REFUSED, main
from assistant.console.once import code, look_of
from assistant.console.settings import Settings
from assistant.replies import Answer, Ask, Caution, Note, NotRead, Refuse, Reply
from tests.console.pieces import events, kinds, said

ROOT = Path(__file__).parent.parent.parent
MASH = "mash of 3.4 kg of chillies at 2.5%"
KEYS = ["say", "reading", "replies", "values", "asks", "assumed", "cautions"]
SUB_KEYS = {
    "values": ["name", "value", "unit"],
    "assumed": ["name", "value", "unit", "text"],
    "cautions": ["rule", "severity", "text", "source"],
}
READING_KEYS = ["act", "topic", "amounts", "repaired", "left_over"]


def environment(**more: str) -> dict[str, str]:
    """The environment without what changes streams or width, and with these settings."""
    hidden = ("PYTHONUNBUFFERED", "PYTHONIOENCODING", "PYTHONUTF8", "NO_COLOR", "COLUMNS")
    return {**{name: value for name, value in os.environ.items() if name not in hidden}, **more}


@cache
def run(*words: str, said: bytes = b"", **settings: str) -> tuple[int, str, str]:
    """Exit code, standard output and standard error of the command. A question is started once only."""
    done = subprocess.run(
        [sys.executable, "-W", "error", "-m", "assistant", *words],
        input=said, capture_output=True, cwd=ROOT, env=environment(**settings), timeout=30, check=False,
    )  # fmt: skip
    encoding = settings.get("PYTHONIOENCODING", "utf-8").split(":")[0].replace("ascii", "utf-8")
    encoding = "utf-8" if "--json" in words else encoding
    return done.returncode, done.stdout.decode(encoding), done.stderr.decode(encoding)


def objects(said: bytes, **settings: str) -> list[dict]:
    """What ``chat --json`` answers to these bytes, one object a line."""
    status, out, err = run("chat", "--json", said=said, **settings)
    assert (status, err) == (0, "")
    assert out.endswith("\n")
    return [json.loads(row) for row in out[:-1].split("\n")]


# --- ask ----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("question", "status", "start"),
    [
        (MASH, ANSWERED, "Salt 85 g "),
        ("brine with 2 L of water at 95%", REFUSED, "No. "),
        ("brimble wobbet", NOT_READ, 'I do not know "brimble wobbet"'),
        ("mash of 3.4 kg of chillies", NEEDS_MORE, "Which salt"),
    ],
)
def test_ask_exit_codes(question: str, status: int, start: str) -> None:
    """ask says 0 answered, 1 refused, 2 not understood, 3 needs more, and its reply on standard output only."""
    got, out, err = run("ask", question)
    assert (status, start, "") == (got, out[: len(start)], err)


def test_exit_codes_are_the_documented_numbers() -> None:
    """The four exit codes are 0, 1, 2 and 3 in the order the help gives them."""
    assert (ANSWERED, REFUSED, NOT_READ, NEEDS_MORE) == (0, 1, 2, 3)


@pytest.mark.parametrize(
    ("replies", "status"),
    [
        ((Answer("a"), Caution("c")), 0),
        ((Note("n"), Answer("a"), Ask("q")), 0),
        ((Answer("a"), NotRead("m")), 0),
        ((Ask("q"), Refuse("r")), 1),
        ((NotRead("m"), Ask("q")), 2),
        ((Note("n"), Ask("q")), 3),
        ((Note("n"),), 0),
    ],
)
def test_code_ranks_the_replies(replies: tuple[Reply, ...], status: int) -> None:
    """An answer outranks a refusal, a refusal a misreading, a misreading a question."""
    assert status == code(replies)


@pytest.mark.parametrize("end", [b"\r\n", b"\nbrimble wobbet\n"])
def test_ask_reads_its_question_from_standard_input(end: bytes) -> None:
    """Without words the first line of standard input is the question, whatever ends it."""
    assert run("ask", MASH) == run("ask", said=MASH.encode() + end)


def test_ask_with_nothing_on_standard_input_is_not_understood() -> None:
    """An empty question is exit code 2 with a sentence, not a traceback."""
    status, out, err = run("ask")
    assert (status, out[:27], err) == (NOT_READ, "I heard nothing to work on.", "")


def test_ask_joins_its_words() -> None:
    """The question may be given without quotation marks."""
    assert run("ask", MASH) == run("ask", *MASH.split())


def test_ask_json_is_one_object_with_the_same_answer() -> None:
    """ask --json prints one JSON object with the keys of the line format; the exit code is the same."""
    status, out, err = run("ask", "--json", MASH)
    found = json.loads(out)
    assert (status, err, out.count("\n")) == (ANSWERED, "", 1)
    assert list(found) == KEYS
    assert found["say"] == MASH


def test_ask_json_keeps_the_exit_code() -> None:
    """ask --json of a question that needs more ends with 3."""
    status, out, _ = run("ask", "--json", "mash of 3.4 kg of chillies")
    assert (status, json.loads(out)["asks"][:1]) == (NEEDS_MORE, ["of_produce"])


def test_ask_keeps_no_talk(tmp_path: Path) -> None:
    """A single question writes no file."""
    run("ask", MASH, XDG_DATA_HOME=str(tmp_path))
    assert list(tmp_path.iterdir()) == []


@pytest.fixture
def book(tmp_path: Path) -> str:
    """A book with one batch, entered from the command line."""
    path = str(tmp_path / "a.book")
    assert run("--book", path, "ask", "new batch of 3 kg of cabbage in a 10 L crock at 2%")[0] == ANSWERED
    return path


def test_ask_enters_what_was_done(book: str) -> None:
    """What ask is told of a batch is in the book, with its line, and the next ask answers from it."""
    assert kinds(events(Path(book))) == ["begin", "add", "add"]
    assert said(Path(book)) == ["new batch of 3 kg of cabbage in a 10 L crock at 2%"]
    status, out, err = run("ask", "--book", book, "what's in the crock")
    assert (status, out[:11], err) == (ANSWERED, "Now 3.06 kg", "")


def test_ask_keeps_no_line_that_enters_nothing(book: str) -> None:
    """A question about a batch, or about none, leaves the book as it is."""
    run("--book", book, "ask", "what's in the crock?")
    run("--book", book, "ask", f"{MASH}, please")
    assert said(Path(book)) == ["new batch of 3 kg of cabbage in a 10 L crock at 2%"]


def test_a_question_makes_no_book(tmp_path: Path) -> None:
    """Where there is no book, only a line that enters something makes one."""
    path = tmp_path / "none.book"
    for question in ("what batches do I have", "undo", MASH):
        run("--book", str(path), "ask", question)
    assert [] == list(tmp_path.iterdir())


@pytest.mark.parametrize(
    "words", [("ask", "help"), ("chat", "--json"), ("chat",), ("sheet",), ("export",), ("import", "pyproject.toml")]
)
def test_a_book_of_another_program_is_refused(words: tuple[str, ...], tmp_path: Path) -> None:
    """Every command says in one sentence that the file is none of its own, ends with 1, and leaves it as it is."""
    path = tmp_path / "theirs.db"
    db = sqlite3.connect(path)
    db.execute("CREATE TABLE theirs(x)")
    db.commit()
    db.close()
    before = path.read_bytes()
    told = "theirs.db is a database of another program, not a book of batches. Name another file.\n"
    assert (REFUSED, "", told) == run("--book", str(path), *words, said=b"help\n")
    assert ([path], before) == (list(tmp_path.iterdir()), path.read_bytes())


def test_a_book_that_cannot_be_written_is_told_and_answered_all_the_same(tmp_path: Path) -> None:
    """With no place for the book, ask enters in hand and says that it is not kept."""
    (tmp_path / "taken").write_text("a file", encoding="utf-8")
    status, out, err = run("--book", str(tmp_path / "taken" / "a.book"), "ask", "new batch of reds in a 5 L jar")
    assert (status, err) == (ANSWERED, "")
    assert True is out.endswith("The book cannot be written: File exists. What is said now is not kept.\n")


# --- options ------------------------------------------------------------------------------


def test_version() -> None:
    """--version prints the program's name and version."""
    assert (0, f"crockside {__version__}\n", "") == run("--version")


def test_help_names_commands_and_exit_codes() -> None:
    """--help tells all commands and what the exit codes mean."""
    status, out, err = run("--help")
    wanted = ["ask", "chat", "sheet", "export", "import", "--book FILE", "--version",
              "0 answered, 1 refused, 2 not understood, 3 needs more"]  # fmt: skip
    assert (0, "", wanted) == (status, err, [one for one in wanted if one in out])


@pytest.mark.parametrize("words", [("--colour",), ("stir",), ("chat", "--jsn"), ("ask", "--fresh", "x")])
def test_bad_options_are_told_on_standard_error(words: tuple[str, ...]) -> None:
    """An option nobody knows is exit code 2 with the usage on standard error and nothing on standard output."""
    status, out, err = run(*words)
    assert (status, out, err[:16]) == (2, "", "usage: crockside")


# --- chat --json --------------------------------------------------------------------------

TALK = f"{MASH}\nmach of 2 kg of chillies at 1%\nwhy?\nbrimble wobbet\n\nbrine for 2 kg\n9 L crock\nundo\n".encode()
"""Lines that between them get every part of an object."""


def test_json_lines_have_exactly_the_documented_keys() -> None:
    """Every line answers with the same keys in the same order, and so have the parts of it."""
    found = objects(TALK)
    assert [list(one) for one in found] == [KEYS] * 8
    assert [list(one["reading"]) for one in found] == [READING_KEYS] * 8
    amounts = [each for one in found for each in one["reading"]["amounts"]]
    repaired = [each for one in found for each in one["reading"]["repaired"]]
    assert {("role", "value", "unit", "text")} == {tuple(one) for one in amounts}
    assert repaired == [{"said": "mach", "read": "mash"}]
    for key, names in SUB_KEYS.items():
        assert {tuple(names)} == {tuple(each) for one in found for each in one[key]}, key
    assert {"kind", "text"} == set.intersection(*(set(each) for one in found for each in one["replies"]))


def test_json_lines_repeat_what_their_replies_hold() -> None:
    """values, asks, assumed and cautions are those of the replies, so a front end may read either."""
    for one in objects(TALK):
        of = {kind: [each for each in one["replies"] if each["kind"] == kind] for kind in ("answer", "ask")}
        assert one["values"] == [value for each in of["answer"] for value in each["values"]]
        assert one["asks"] == [role for each in of["ask"] for role in each["roles"]]
        for key, kind in (("assumed", "assume"), ("cautions", "caution")):
            told = [each for each in one["replies"] if each["kind"] == kind]
            assert one[key] == [{name: each[name] for name in SUB_KEYS[key]} for each in told]


def test_a_talk_in_json_lines_goes_on_from_line_to_line() -> None:
    """A missing quantity is asked for, given on the next line, and corrected on the one after."""
    asked, answered, corrected = objects(b"mash of 3.4 kg of chillies\n2.5%\nmake it 5 kg\n")
    assert (asked["asks"][:1], asked["values"]) == (["of_produce"], [])
    salt = [next(one for one in each["values"] if one["name"] == "salt") for each in (answered, corrected)]
    assert [pytest.approx(85.0), pytest.approx(125.0)] == [one["value"] for one in salt]
    assert [one["unit"] for one in salt] == ["gram", "gram"]


def test_empty_and_bad_lines_each_get_an_object() -> None:
    """Empty, blank and unreadable lines are answered one for one and end nothing."""
    said = ["", "   ", "\t", "brimble wobbet", "mash of 3 snorks at 3%", "}{", "x" * 5000, MASH]
    found = objects("\n".join(said).encode())
    assert said == [one["say"] for one in found]
    assert [one["replies"][0]["kind"] for one in found] == ["misread"] * 7 + ["answer"]


def test_bye_ends_the_lines() -> None:
    """After "bye" nothing more is read or answered."""
    found = objects(f"bye\n{MASH}\n".encode())
    assert [[each["kind"] for each in one["replies"]] for one in found] == [["done"]]


def test_no_input_is_no_output() -> None:
    """An empty standard input ends chat --json with 0 and no line."""
    assert run("chat", "--json") == (0, "", "")


def test_json_lines_are_answered_one_at_a_time() -> None:
    """Each object is written before the next line is read, so a front end can wait for it."""
    with subprocess.Popen(
        [sys.executable, "-m", "assistant", "chat", "--json"],
        stdin=subprocess.PIPE, stdout=subprocess.PIPE, cwd=ROOT, env=environment(),
    ) as talk:  # fmt: skip
        assert talk.stdin is not None
        assert talk.stdout is not None
        kinds = []
        for line in (MASH, "make it 2 kg", "bye"):
            talk.stdin.write(f"{line}\n".encode())
            talk.stdin.flush()
            kinds.append(json.loads(talk.stdout.readline())["replies"][0]["kind"])
        assert kinds == ["answer", "answer", "done"]
        assert talk.wait(10) == 0


def test_json_lines_keep_batches_in_the_book(tmp_path: Path) -> None:
    """A talk in JSON lines enters what is done; the next one begins anew, and knows the batch."""
    path = str(tmp_path / "a.book")
    begun = b"new batch of 3 kg of cabbage in a 10 L crock at 2%\npH 4.9 by meter\n"
    first = run("--book", path, "chat", "--json", said=begun)
    assert (0, 2) == (first[0], first[1].count("\n"))
    assert kinds(events(Path(path))) == ["begin", "add", "add", "read"]
    asked, _ = run("--book", path, "chat", "--json", said=b"what's in the crock\nundo\n")[1].splitlines()
    assert json.loads(asked)["replies"][0]["text"][:11] == "Now 3.06 kg"
    # the entries are of an earlier talk, which is not carried on
    assert kinds(events(Path(path))) == ["begin", "add", "add", "read"]


def test_json_lines_tell_trouble_with_the_book_once(tmp_path: Path) -> None:
    """The first object has the note that nothing is kept; the others do not repeat it."""
    (tmp_path / "taken").write_text("a file", encoding="utf-8")
    _, out, err = run("--book", str(tmp_path / "taken" / "a.book"), "chat", "--json", said=b"help\nhelp\nundo\n")
    told = [[one["text"] for one in json.loads(row)["replies"]] for row in out.splitlines()]
    warning = "The book cannot be written: File exists. What is said now is not kept."
    assert ([1, 0, 0], "") == ([texts.count(warning) for texts in told], err)


# --- streams ------------------------------------------------------------------------------

JUNK = b"\xff\xfe\x00\x9b31m\x1b[31m \xed\xa0\x80 \xc3( \x0b\x0c\x1c\x85\n"


@pytest.mark.parametrize(
    "settings",
    [
        {"LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"},
        {"PYTHONIOENCODING": "cp1252:strict"},
    ],
    ids=str,
)
def test_binary_junk_does_not_end_the_json_lines(settings: dict[str, str]) -> None:
    """Bytes that are not text get an object like any bad line; the talk goes on and the output stays UTF-8."""
    found = objects(JUNK + "mash of 3.4 kg of jalapeños at 2½%\n".encode(), **settings)
    assert [one["replies"][0]["kind"] for one in found[1:]] == ["answer"]
    assert found[1]["say"] == "mash of 3.4 kg of jalapeños at 2½%"


@pytest.mark.parametrize(
    "settings", [{"PYTHONIOENCODING": "utf-8:strict"}, {"PYTHONIOENCODING": "ascii:strict"}], ids=str
)
def test_binary_junk_does_not_crash_ask(settings: dict[str, str]) -> None:
    """A question of junk bytes is not understood: exit code 2, nothing on standard error."""
    status, out, err = run("ask", said=b"\xff\xfe\xe2\x82 brimble\n", **settings)
    assert (status, out[:13], err) == (NOT_READ, "I do not know", "")


def test_junk_in_the_arguments_does_not_crash_ask() -> None:
    """A word of the command line that is not text is shown as U+FFFD in valid UTF-8."""
    done = subprocess.run(
        [os.fsencode(sys.executable), b"-m", b"assistant", b"ask", b"--json", b"\xff\xfe", MASH.encode()],
        capture_output=True, cwd=ROOT, env=environment(PYTHONIOENCODING="utf-8:strict"), timeout=30, check=False,
    )  # fmt: skip
    found = json.loads(done.stdout.decode("utf-8"))
    assert (f"\ufffd\ufffd {MASH}", b"") == (found["say"], done.stderr)


def test_piped_output_has_no_escapes() -> None:
    """No colour goes into a pipe, and an escape in the question does not come back out."""
    for question in (MASH, "\x1b[31mbrimble\x1b[0m wob\x9bbet\x07"):
        _, out, _ = run("ask", question)
        assert re.findall(r"[\x00-\x09\x0b-\x1f\x7f-\x9f]", out) == [], question


def on_a_terminal(*words: str, question: str = "brimble wobbet", **settings: str) -> str:
    """What ask prints when its standard output is a terminal."""
    ours, theirs = pty.openpty()
    with subprocess.Popen(
        [sys.executable, "-m", "assistant", "ask", *words, question],
        stdout=theirs, stdin=subprocess.DEVNULL, cwd=ROOT, env=environment(**settings),
    ) as asked:  # fmt: skip
        asked.wait(30)
    shown = os.read(ours, 4096).decode()
    os.close(theirs)
    os.close(ours)
    return shown


@pytest.mark.parametrize(("settings", "escapes"), [({}, True), ({"NO_COLOR": "1"}, False)])
def test_a_terminal_is_coloured_unless_no_color_is_set(settings: dict[str, str], escapes: bool) -> None:
    """On a terminal the words are coloured; a NO_COLOR that is not empty turns it off."""
    shown = on_a_terminal(**settings)
    assert ("brimble wobbet" in shown, escapes) == (True, "\x1b" in shown)


def test_a_stream_without_isatty_is_not_coloured() -> None:
    """An object that cannot say whether it is a terminal is taken for a pipe."""
    assert "none" == look_of(Settings(shade="dark"), object()).shade


def test_a_colour_asked_for_beats_no_color() -> None:
    """What is said on the command line comes after the environment."""
    assert True is (
        "\x1b[1;31m" in on_a_terminal("--shade", "light", NO_COLOR="1", question="brine with 2 L of water at 95%")
    )


@pytest.mark.parametrize(("columns", "expected"), [("60", 60), ("20", 40), ("40", 40), ("100", 100), ("250", 100)])
def test_width_follows_columns(columns: str, expected: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """The width is that of the terminal, no less than 40 and no more than 100 columns."""
    monkeypatch.setenv("COLUMNS", columns)
    assert expected == width()


def test_columns_wrap_the_answer() -> None:
    """With COLUMNS=60 no line is wider, the same words are said, and the room is used."""
    _, wide, _ = run("ask", MASH)
    _, out, _ = run("ask", MASH, COLUMNS="60")
    widths = [len(row) for row in out.splitlines()]
    assert wide.split() == out.split()
    assert (max(widths) <= 60, max(widths) > 45) == (True, True)


@pytest.mark.parametrize(
    "words", [("ask", MASH), ("ask", "--json", MASH), ("chat", "--json"), ("--help",), ("--version",)]
)
def test_a_reader_that_went_away_is_no_error(words: tuple[str, ...]) -> None:
    """When the other end of the pipe is closed the command ends with 0 and says nothing."""
    ours, theirs = os.pipe()
    os.close(ours)
    try:
        done = subprocess.run(
            [sys.executable, "-m", "assistant", *words],
            input=f"{MASH}\n".encode() * 3, stdout=theirs, stderr=subprocess.PIPE,
            cwd=ROOT, env=environment(), timeout=30, check=False,
        )  # fmt: skip
    finally:
        os.close(theirs)
    assert (done.returncode, done.stderr) == (0, b"")


def test_main_returns_its_exit_code(capsys: pytest.CaptureFixture[str]) -> None:
    """main() is a function: it returns the code and never leaves the interpreter."""
    assert [main(one) for one in (["--version"], ["--nope"], ["ask", "wobbet"], ["ask", "brine"])] == [0, 2, 2, 3]
    assert f"crockside {__version__}\n" == capsys.readouterr().out[: len(__version__) + 11]


def test_an_interrupt_ends_with_130(monkeypatch: pytest.MonkeyPatch) -> None:
    """Ctrl-C outside the chat is exit code 130, without a traceback."""

    def interrupted(*_: object) -> int:
        raise KeyboardInterrupt

    monkeypatch.setattr("assistant.console.once.ask", interrupted)
    assert main(["ask", "x"]) == 130
