"""Talks as files: saved so that they replay, never over another file; run anew; shown slowly."""

from __future__ import annotations

import asyncio
import datetime
import json
from pathlib import Path

import pytest
from prompt_toolkit.input import create_pipe_input
from prompt_toolkit.output import DummyOutput

from assistant.console import demo, saving
from assistant.console.chat import chat
from assistant.console.look import Look
from assistant.console.main import ANSWERED, NOT_READ, REFUSED, main
from assistant.console.saving import save, save_to, turn
from assistant.console.scenario import DEMOS, Mismatch, check, differences, everything, opened, parse, parsed, turns
from assistant.console.session import Memory, Session
from assistant.replies import Ask, Note, Refuse
from tests.console.pieces import TALKS, running, said
from tests.console.test_command import run
from tests.helpers import DAY, talk

MASH = "mash of 3.4 kg of chillies at 2.5%"
FILE = Path("a.chat")


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder to write in, which one is in."""
    here = tmp_path / "here"
    here.mkdir()
    monkeypatch.chdir(here)
    return here


def told(*lines: str) -> Session:
    """A talk of these lines."""
    session = talk()
    for line in lines:
        session.say(line)
    return session


def replayed(file: Path) -> list[str]:
    """Where a file's talks go another way, run anew."""
    out: list[str] = []
    found = everything([file])
    for one in found.values():
        session = opened(one, Memory())
        for each, _ in turns(one, found):
            out += differences(each, session.say(each.say)[1])
    return out


# --- saving -------------------------------------------------------------------------------


@pytest.mark.parametrize("name", sorted(TALKS))
def test_a_saved_talk_replays_clean(name: str, folder: Path) -> None:
    """Whatever was said, the file holds it line by line, and each reply and number comes again."""
    session = told(*TALKS[name])
    done = save(session.told, name)
    assert isinstance(done, Note)
    file = folder / f"{name.replace(' ', '-')}.chat"
    (scenario,) = parse(file)
    assert scenario.title == name
    assert [one.say for one in scenario.turns] == [line for line in TALKS[name] if line]
    assert replayed(file) == []
    for each in scenario.turns:
        assert each.replies


def test_numbers_stand_with_their_tolerance_and_source(folder: Path) -> None:
    """Each value of an answer is claimed to six digits, and a changed one is found."""
    save(told(MASH).told, "a")
    text = FILE.read_text(encoding="utf-8")
    assert "; salt = 85.0000 g ± 0.0001 g\n" in text
    assert '; source "' in text
    (scenario,) = parsed(text.replace("85.0000", "85.0002"), FILE)
    with pytest.raises(Mismatch, match="salt is"):
        check(scenario.turns[0], talk().say(MASH)[1], "")


def test_days_and_kitchens_are_kept(folder: Path) -> None:
    """A talk over several days, begun in another kitchen, is replayed on those days and in that kitchen."""
    now = DAY
    session = Session(lambda: now)
    session.talk = opened(parsed("@ units imperial\n= t\n> x", FILE)[0], Memory()).talk
    session.say("new batch of 2 kg of reds in a 5 L jar at 3%")
    now = DAY + datetime.timedelta(days=12)
    session.say("pH 3.9 by calibrated meter")
    session.say("a pint in ml")
    assert isinstance(save(session.told, "a"), Note)
    text = FILE.read_text(encoding="utf-8")
    assert "@ today 2026-03-02 · units imperial\n" in text
    assert "@ today 2026-03-14\n> pH 3.9" in text
    assert replayed(FILE) == []


def test_no_file_is_written_over(folder: Path) -> None:
    """A file that is there stays as it is, unless that is asked for in so many words."""
    FILE.write_text("mine", encoding="utf-8")
    done = save(told(MASH).told, "a")
    assert isinstance(done, Refuse)
    assert "is there already" in done.text
    assert FILE.read_text(encoding="utf-8") == "mine"
    assert isinstance(save_to(told(MASH).told, FILE, over=True), Note)
    assert replayed(FILE) == []


@pytest.mark.parametrize("name", ["../x", "/x", ".hidden", "a/b", "", "x" * 100, "-rf", "a\\b"])
def test_a_name_is_no_path(name: str, folder: Path) -> None:
    """What is said in a talk cannot name a place elsewhere."""
    assert isinstance(save(told(MASH).told, name), Refuse)
    assert list(folder.iterdir()) == []


def test_what_cannot_be_written_is_a_sentence(folder: Path) -> None:
    """A folder that is not there, or a folder for a file, gives one sentence."""
    for file in (folder / "none" / "a.chat", folder):
        done = save_to(told(MASH).told, file, over=True)
        assert isinstance(done, Refuse)
        assert "cannot be written" in done.text


def test_an_empty_talk_is_not_saved(folder: Path) -> None:
    """There is nothing to save before anything was said."""
    assert isinstance(save(told("", "  ").told, "a"), Refuse)
    assert list(folder.iterdir()) == []


def test_an_earlier_book_is_not_needed(folder: Path, tmp_path: Path) -> None:
    """A talk over a book with batches in it is saved with batches numbered from 1 if it rests on none of the others."""
    path = tmp_path / "my.book"
    with running(path) as session:
        session.say("new batch of 3 kg of cabbage in a 10 L crock at 2%")
    with running(path, fresh=True) as session:
        session.say("new batch of 2 kg of reds in a 5 L jar at 3%")
        session.say("pH 4.9 by meter")
        assert "Batch 2" in session.told[0][2][0].text
        assert isinstance(save(session.told, "a"), Note)
    text = FILE.read_text(encoding="utf-8")
    assert "Batch 1, reds" in text
    assert "Batch 2" not in text
    assert replayed(FILE) == []


def test_what_rests_on_an_earlier_book_is_left_out_and_said(folder: Path, tmp_path: Path) -> None:
    """The talk is saved up to the first line that goes another way on an empty book, and file and person are told."""
    path = tmp_path / "my.book"
    with running(path) as session:
        session.say("new batch of 3 kg of cabbage in a 10 L crock at 2%")
    with running(path, fresh=True) as session:
        session.say(MASH)
        session.say("what batches do I have")
        done = save(session.told, "a")
    assert isinstance(done, Note)
    assert 'ends before "what batches do I have"' in done.text
    assert 'ends before "what batches do I have"' in FILE.read_text(encoding="utf-8")
    assert [one.say for one in parse(FILE)[0].turns] == [MASH]
    with running(path, fresh=True) as session:
        session.say("what batches do I have")
        assert isinstance(save(session.told, "b"), Refuse)
    assert not Path("b.chat").exists()


def test_what_would_not_replay_is_not_written(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Before a file is written it is read and run; one that goes another way is refused."""
    real = saving._replays
    monkeypatch.setattr(saving, "_replays", lambda text, file: real(text.replace("85 g", "86 g"), file))
    assert isinstance(save(told(MASH).told, "a"), Refuse)
    assert list(folder.iterdir()) == []


@pytest.mark.parametrize(
    "line", [f"{MASH}\u2028and more", f"{MASH}\rx", f"  {MASH}  ", f"{MASH}\x0b", "# note", "= x", "é·½ " + MASH]
)
def test_odd_lines_are_saved_as_they_were(line: str, folder: Path) -> None:
    """Line ends of other alphabets, blanks and the marks of the format are no trouble: what is written replays."""
    done = save(told(MASH, line).told, "a")
    if isinstance(done, Note):
        assert replayed(FILE) == []
    else:
        assert list(folder.iterdir()) == []


@pytest.mark.parametrize(
    "line",
    ["save this talk as first-brine", "Save this talk as first brine.", "please save the talk as 'first brine'",
     "keep this chat as first-brine", "store our conversation so far under first-brine",
         "save this talk as first-brine.chat"],
)  # fmt: skip
def test_saved_in_ones_own_words(line: str, folder: Path) -> None:
    """Many ways to say it, one file; the line itself is no part of the talk."""
    session = told(MASH)
    before = session.told
    assert isinstance(turn(session, line)[1][0], Note)
    assert (folder / "first-brine.chat").exists()
    assert session.told == before


@pytest.mark.parametrize("line", ["save 3 kg for later", "save this", "this talk", "keep the brine", "save the batch"])
def test_what_is_no_wish_to_save(line: str, folder: Path) -> None:
    """A line that does not name the talk goes to the talk."""
    session = told(MASH)
    turn(session, line)
    assert session.told[-1][0] == line
    assert list(folder.iterdir()) == []


def test_a_name_is_asked_for(folder: Path) -> None:
    """Without a name nothing is written, and it is asked for."""
    assert isinstance(turn(told(MASH), "save this talk")[1][0], Ask)
    assert list(folder.iterdir()) == []


def test_saved_from_the_chat_the_pipe_and_json(folder: Path, tmp_path: Path) -> None:
    """The same line saves the talk in each, and is not kept among the talk's lines."""
    path = tmp_path / "my.book"
    with create_pipe_input() as keys:
        keys.send_text(f"{MASH}\rsave this talk as one\rbye\r")
        assert chat(True, keys, DummyOutput(), today=lambda: DAY, path=path) == 0
    assert said(path) == [MASH, "bye"]
    assert replayed(Path("one.chat")) == []
    settings = {"PYTHONPATH": str(Path(__file__).parent.parent.parent)}
    lines = f"{MASH}\nsave this talk as {{}}\n"
    for name, words in (("two", ()), ("three", ("chat", "--json"))):
        file = tmp_path / name
        wish = lines.format(name).encode()
        status, out, err = run(*words, "--book", str(file), said=wish, **settings)
        assert (status, err) == (0, "")
        assert f"{name}.chat" in out
        kept = Path(__file__).parent.parent.parent / f"{name}.chat"
        try:
            assert replayed(kept) == []
        finally:
            kept.unlink()
    assert json.loads(out.splitlines()[1])["replies"][0]["kind"] == "note"


def test_the_command_saves_the_last_talk(folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """ "crockside save NAME" writes the talk that the chat would carry on; --replace writes over a file."""
    path = tmp_path / "my.book"
    assert main(["--book", str(path), "save", "a"]) == REFUSED
    assert "nothing to save" in capsys.readouterr().err
    assert not path.exists()
    with running(path) as session:
        session.say(MASH)
    assert main(["--book", str(path), "save", "a"]) == ANSWERED
    assert replayed(FILE) == []
    assert main(["--book", str(path), "save", "a"]) == REFUSED
    assert main(["--book", str(path), "save", "--replace", "a"]) == ANSWERED
    assert main(["--book", str(path), "save", str(tmp_path / "b.chat")]) == ANSWERED
    assert replayed(tmp_path / "b.chat") == []
    assert main(["--book", str(path), "save", ".x"]) == REFUSED


# --- replaying ----------------------------------------------------------------------------


def test_a_replay_says_where_it_goes_another_way(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A clean file gives 0; a claim that does not hold, one too many and one too few give 1 and are shown."""
    save(told(MASH, "why").told, "a")
    assert main(["replay", "a.chat"]) == ANSWERED
    assert capsys.readouterr().out == "a.chat: 2 lines, all as the file says.\n"
    text = FILE.read_text(encoding="utf-8")
    FILE.write_text(text.replace("Salt 85 g", "Salt 86 g"), encoding="utf-8")
    assert main(["replay", "a.chat"]) == REFUSED
    shown = " ".join(capsys.readouterr().out.split())
    assert "claimed: answer: Salt 86 g" in shown
    assert "came: answer: Salt 85 g" in shown
    assert "1 of 2 lines went another way." in shown
    rows = text.splitlines()
    FILE.write_text("\n".join([*rows, "note: And more."]), encoding="utf-8")
    assert main(["replay", "a.chat"]) == REFUSED
    assert "claimed and not said: note: And more." in capsys.readouterr().out
    FILE.write_text("\n".join(one for one in rows if not one.startswith("assume")), encoding="utf-8")
    assert main(["replay", "a.chat"]) == REFUSED
    assert "said and not claimed: assume" in " ".join(capsys.readouterr().out.split())


def test_a_replay_touches_no_book(folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """It enters its batches in memory: neither one's own book nor a named one is opened or made."""
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    save(told("new batch of 2 kg of reds in a 5 L jar at 3%").told, "a")
    assert main(["replay", "a.chat", "--book", str(tmp_path / "my.book")]) == ANSWERED
    assert main(["demo", "a.chat"]) == ANSWERED
    assert not (tmp_path / "my.book").exists()
    assert not (tmp_path / "data").exists()


def test_our_own_scenarios_replay(capsys: pytest.CaptureFixture[str]) -> None:
    """A file with several talks, and one with talks that continue from others, run as they do in the tests."""
    root = Path(__file__).parent.parent.parent / "scenarios"
    assert main(["replay", str(root / "05-bad-input.chat"), str(root / "28-a-whole-life.chat")]) == ANSWERED
    assert "all as the file says" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("text", "wrong"),
    [
        ("", "Nothing is said"), ("= t\n", "Nothing is said"), ("> x\n", "a.chat:1: no scenario yet"),
        ("= t\nnote: x\n", "nothing has been said yet"), ("= t\n> x\nshout: y\n", "a.chat:3: not a line of a scenario"),
        ("@ today soon\n", "a.chat:1: no setting: today soon"), ("@ colour red\n", "no setting: colour red"),
        ("@ width wide\n", "no setting"), ("@ units martian\n", "no setting"),
        ("= t\n> x\n; salt 3 g\n", "not 'name = value"), ("= t\n> x\n; salt = 3 g ± 1 kg\n", "another unit"),
        ("= t\n& u\n> x\n", "cannot continue from 'u'"), ("= t\n& t\n> x\n", "cannot continue from 't'"),
        ("= t\n> x\n= t\n> y\n", "two scenarios are called 't'"),
    ],
)  # fmt: skip
def test_a_bad_file_is_one_sentence(text: str, wrong: str, folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """What cannot be read is named with its line, in replay and demo, with the exit code for it."""
    FILE.write_text(text, encoding="utf-8")
    for command in ("replay", "demo"):
        assert main([command, "a.chat"]) == NOT_READ
        shown = capsys.readouterr()
        assert wrong in shown.err
        assert shown.err.count("\n") == 1
        assert shown.out == ""


def test_no_text_at_all(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A file that is no text, a folder, and a file that is not there give one sentence each."""
    FILE.write_bytes(b"\xff\xfe\x00")
    for name in ("a.chat", ".", "none.chat"):
        assert main(["replay", name]) == NOT_READ
        assert capsys.readouterr().err.count("\n") == 1


# --- showing ------------------------------------------------------------------------------


def shown(keys: str, pause: float = 0.0, name: str = "sums", look: Look | None = None) -> str:
    """A demo on a terminal on which these keys are typed."""
    out: list[str] = []
    with create_pipe_input() as terminal:
        terminal.send_text(keys)
        asyncio.run(
            demo.show(everything([demo.built_in()[name]]), demo.Stage(out.append, look or Look()), terminal, pause)
        )
    return "".join(out)


def lines_said(name: str = "sums") -> list[str]:
    """What is said in a demo."""
    return [one.say for scenario in parse(demo.built_in()[name]) for one in scenario.turns]


def test_a_demo_goes_on_by_keys_to_its_end() -> None:
    """Space or Enter shows the rest of a line and goes on to the next; other keys do nothing."""
    text = shown("x \r" * len(lines_said()), pause=1000)
    assert [f"say: {one}\n" in text for one in lines_said()] == [True] * len(lines_said())
    assert "Salt 2.1 oz (59.5 g)" in text
    assert text.endswith("The end.\n")


@pytest.mark.parametrize("key", ["q", "\x03", "\x04"])
def test_a_demo_is_stopped_by_a_key(key: str) -> None:
    """q, Ctrl-C and Ctrl-D stop it, in the middle of a line too."""
    text = shown(key, pause=1000)
    assert text.endswith("say: \nStopped.\n")
    assert lines_said()[1] not in shown(f" {key}", pause=1000)


def test_a_demo_is_typed_letter_by_letter() -> None:
    """Without a key each letter comes by itself, and the reply waits behind the last."""
    out: list[str] = []

    async def some() -> None:
        with create_pipe_input() as terminal:
            showing = asyncio.create_task(
                demo.show(everything([demo.built_in()["sums"]]), demo.Stage(out.append, Look()), terminal, 0.0)
            )
            while "\n\n" not in "".join(out[1:]):
                await asyncio.sleep(0)
            terminal.send_text("q")
            await showing

    asyncio.run(some())
    first = lines_said()[0]
    at = out.index("say: ")
    assert out[at + 1 : at + 1 + len(first)] == list(first)


def test_without_a_terminal_it_is_printed_at_once(capsys: pytest.CaptureFixture[str]) -> None:
    """From a pipe a demo needs no key: the first demo of our own, one by its name, or a file."""
    assert main(["demo"]) == ANSWERED
    text = capsys.readouterr().out
    assert all(f"say: {one}\n" in text for one in lines_said(demo.FIRST))
    assert "Space" not in text
    assert main(["demo", str(DEMOS / "sums.chat")]) == ANSWERED
    assert all(f"say: {one}\n" in capsys.readouterr().out for one in lines_said()[:1])


def test_a_demo_looks_as_the_settings_have_it(capsys: pytest.CaptureFixture[str]) -> None:
    """For a screen reader each reply says what it is and a line comes whole; in large type the number is drawn."""
    assert "Answer: Salt 2.1 oz (59.5 g)" in shown("q", pause=1000, look=Look(plain=True))
    assert main(["--plain", "demo", "sums"]) == ANSWERED
    assert "Answer: Salt 2.1 oz (59.5 g)" in capsys.readouterr().out
    assert "██████" in shown("  q", pause=1000, look=Look(large=True))


def test_a_demo_that_is_not_there(capsys: pytest.CaptureFixture[str]) -> None:
    """A wrong name tells which there are, a wrong speed what it must be."""
    assert main(["demo", "nothing"]) == NOT_READ
    assert "there are: first-sauce, sums." in capsys.readouterr().err
    assert main(["demo", "--pace", "0"]) == NOT_READ
    assert "more than 0" in capsys.readouterr().err


def test_the_demos_are_packaged() -> None:
    """They stand within the package that is installed, so a demo without a file is there without the source tree."""
    import assistant

    assert Path(assistant.__file__).parent in DEMOS.parents
    assert demo.FIRST in demo.built_in()
