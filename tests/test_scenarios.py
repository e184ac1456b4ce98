"""Every scenario, run the ways a talk can be run."""

from __future__ import annotations

import datetime
import json
from pathlib import Path

import pytest
from prompt_toolkit.input import create_pipe_input
from prompt_toolkit.output import DummyOutput

from assistant.batches.batch import Batch
from assistant.console import chat as chat_module
from assistant.console.jsonl import as_line
from assistant.console.lines import lines
from assistant.console.scenario import Mismatch, Scenario, check, shown, turns
from assistant.console.session import Session
from assistant.replies import Answer, Ask, Caution, Reply
from assistant.rules import watch
from assistant.rules.salt import RULES
from assistant.rules.wrong import table
from assistant.trade import CALCULATORS
from assistant.walks.plan import GATES, walks
from tests.scenario import everything, session

ALL = everything()
TITLES = sorted(ALL)


def replies_of(scenario: Scenario) -> list[tuple[str, tuple[Reply, ...]]]:
    """What is said and what comes back, straight through."""
    with session(scenario) as talk:
        return [(turn.say, talk.say(turn.say)[1]) for turn, _ in turns(scenario, ALL)]


def batches(talk: Session) -> dict[int, Batch]:
    """Every batch of a talk's book as it is now."""
    shelf = talk.book.shelf()
    return {number: batch for number in shelf.titles if (batch := shelf.batch(number)) is not None}


def texts(replies: tuple[Reply, ...]) -> list[tuple[str, str]]:
    """Replies as kind and words."""
    return [shown(one) for one in replies]


@pytest.mark.parametrize("title", TITLES)
def test_straight(title: str) -> None:
    """The talk goes as the scenario says: every reply claimed, every number within tolerance."""
    scenario = ALL[title]
    story = f"{scenario.file.name}: {title}"
    with session(scenario) as talk:
        for turn, own in turns(scenario, ALL):
            _, replies = talk.say(turn.say)
            if own:
                check(turn, replies, story)
            story += f"\n> {turn.say}"


@pytest.mark.parametrize("title", TITLES)
def test_reopened_between_turns(title: str, tmp_path: Path) -> None:
    """A talk whose book is closed after every line, and opened again before the next, goes the same way."""
    scenario = ALL[title]
    expected = replies_of(scenario)
    for (turn, _), (_, replies) in zip(turns(scenario, ALL), expected, strict=True):
        with session(scenario, tmp_path / "a.book") as again:
            assert texts(replies) == texts(again.say(turn.say)[1])


@pytest.mark.parametrize("title", TITLES)
def test_undo_and_redo_after_each_turn(title: str) -> None:
    """Undo gives the state and the batches before the line, redo those after it."""
    scenario = ALL[title]
    with session(scenario) as talk:
        for turn, _ in turns(scenario, ALL):
            before, account = talk.talk, batches(talk)
            talk.say(turn.say)
            after, changed = talk.talk, batches(talk)
            if after.past != (*before.past, before.now):
                continue  # the line changed nothing, or was itself an undo
            talk.say("undo")
            assert (before.now, account) == (talk.talk.now, batches(talk))
            talk.say("redo")
            assert (after, changed) == (talk.talk, batches(talk))


@pytest.mark.parametrize("title", TITLES)
def test_case_and_spacing(title: str) -> None:
    """Capitals and doubled blanks change no reply but the words it quotes."""
    scenario = ALL[title]
    with session(scenario) as plain, session(scenario) as loud:
        for turn, _ in turns(scenario, ALL):
            _, expected = plain.say(turn.say)
            _, got = loud.say(turn.say.upper().replace(" ", "  "))
            assert [one.kind for one in expected] == [one.kind for one in got]
            assert [one.values for one in expected if isinstance(one, Answer)] == [
                one.values for one in got if isinstance(one, Answer)
            ]


@pytest.mark.parametrize("title", TITLES)
def test_through_json(title: str) -> None:
    """One line of JSON holds every reply and every number at full precision."""
    scenario = ALL[title]
    with session(scenario) as talk:
        told = [(turn, *talk.say(turn.say), talk.talk) for turn, _ in turns(scenario, ALL)]
    for turn, reading, replies, then in told:
        line = as_line(turn.say, reading, then, replies)
        assert "\n" not in line
        read = json.loads(line)
        assert [one.text for one in replies] == [one["text"] for one in read["replies"]]
        values = [value for one in replies if isinstance(one, Answer) for value in one.values]
        assert [(one.name, one.value, one.unit) for one in values] == [
            (one["name"], one["value"], one["unit"]) for one in read["values"]
        ]


@pytest.mark.parametrize("title", TITLES)
def test_sixty_columns_without_colour(title: str) -> None:
    """At 60 columns no line is longer, no word is lost, and nothing is coloured."""
    for _, replies in replies_of(ALL[title]):
        rows = lines(replies, 60)
        assert max(map(len, rows)) <= 60
        assert not any("\x1b" in row for row in rows)
        words = " ".join(rows).split()
        for reply in replies:
            assert set(reply.text.split()) <= set(words)


@pytest.mark.parametrize("title", TITLES)
def test_through_the_prompt(title: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Typed into the real prompt, the talk shows the same words."""
    scenario = ALL[title]
    expected = replies_of(scenario)
    days = iter([turn.today for turn, _ in turns(scenario, ALL)])
    seen: list[str] = []
    monkeypatch.setattr(chat_module, "print_formatted_text", lambda text, output=None: seen.append(text.value))
    with create_pipe_input() as keys:
        keys.send_text("".join(f"{say}\r" for say, _ in expected) + "\x04")
        code = chat_module.chat(
            True, terminal=keys, screen=DummyOutput(), today=lambda: next(days), path=tmp_path / "a.book"
        )
    assert 0 == code
    screen = " ".join(" ".join(seen).split())
    for _, replies in expected:
        for reply in replies:
            assert " ".join(reply.text.split()) in screen


def every_reply() -> list[Reply]:
    """All replies of all scenarios."""
    return [one for title in TITLES for _, replies in replies_of(ALL[title]) for one in replies]


def test_every_rule_fires_somewhere() -> None:
    """Each caution of the calculators is said in at least one scenario; those of a batch and of a fault may be too."""
    fired = {one.rule for one in every_reply() if isinstance(one, Caution)}
    of_walks = {f"{one.name}-{step.id}" for one in walks() for step in one.steps} | {f"gate-{one}" for one in GATES}
    faults = {f"wrong-{name}" for name in table().conditions}
    assert {rule.id for rule in RULES} == fired - {rule.id for rule in watch.RULES} - of_walks - faults
    assert fired & faults


def test_an_answer_starts_with_its_lead() -> None:
    """The console sets the first sentence apart: it must be the text's own beginning, or it is shown twice."""
    told = [one for one in every_reply() if isinstance(one, Answer) and one.lead]
    assert [one.lead for one in told if not one.text.startswith(one.lead)] == []
    assert len(told) > 300


def test_every_calculator_answers_somewhere() -> None:
    """Each calculator answers in at least one scenario."""
    answered = {one.calculator for one in every_reply() if isinstance(one, Answer)}
    assert {one.name for one in CALCULATORS} <= answered


def test_several_questions_are_asked() -> None:
    """Scenarios hold questions for inputs, not answers only."""
    asked = {role for one in every_reply() if isinstance(one, Ask) for role in one.roles}
    assert {"produce", "water_volume", "of_total", "of_produce", "first", "first_salt", "bulk"} <= asked


def test_runner_claims_every_reply(tmp_path: Path) -> None:
    """A reply that the scenario does not claim fails it; so does a number that is off."""
    good = "= t\n> mash of 4 kg of cabbage at 3%\nanswer: ...\nassume: ...\ncaution: ... [ph-start]\n"
    cases = {
        good: None,
        good.replace("assume: ...\n", ""): Mismatch,
        good + '; salt = 120 g ± 0.01 g\n; source "4000*0.03"\n': None,
        good + '; salt = 121 g ± 0.01 g\n; source "wrong on purpose"\n': Mismatch,
        good + "; salt = 120 g ± 0.01 g\n": Mismatch,
        good + "! cabbage\n": Mismatch,
    }
    for index, (text, wrong) in enumerate(cases.items()):
        folder = tmp_path / str(index)
        folder.mkdir()
        (folder / "t.chat").write_text(text, encoding="utf-8")
        one = everything(folder)["t"]
        replies = replies_of(one)[0][1]
        if wrong is None:
            check(one.turns[0], replies, "")
        else:
            with pytest.raises(wrong):
                check(one.turns[0], replies, "")


def test_today_is_handed_in() -> None:
    """A scenario's date is the one its settings give."""
    assert datetime.date(2026, 3, 2) == ALL["brine for a crock"].today
