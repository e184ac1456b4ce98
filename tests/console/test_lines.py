"""Replies as lines of text: wrapping, labels, the caret, colour."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.console.lines import LABEL, TONE, caret, lines
from assistant.replies import Answer, Ask, Assume, Caution, Done, Log, Note, NotRead, Refuse, Reply, Why
from tests.helpers import say

WIDTHS = (40, 60, 80, 200)
TALKS = {
    "answer": ("brine for 2.2 kg of cucumbers in a 7 L crock at 3.5%",),
    "weak": ("mash of 900 g of jalapenos at 0.8%",),
    "pounds": ("brine for 5 lb 3 oz of carrots in a 2 gallon crock at 3%",),
    "ask": ("brine for 2.2 kg of cucumbers",),
    "choose": ("mash of 1,250 g of chillies at 3%",),
    "refuse": ("mash of 0 kg of chillies at 3%",),
    "misread": ("mash of 3 snorks at 3%",),
    "why": ("brine for 2.2 kg of cucumbers in a 7 L crock at 3.5%", "why?"),
    "help": ("help",),
}
ESCAPE = re.compile(r"\x1b\[[\d;]*m")


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("talk", TALKS)
def test_no_line_is_wider_than_the_width(talk: str, width: int) -> None:
    """Every line of every kind of reply fits the width."""
    assert [row for row in lines(say(*TALKS[talk]), width) if len(row) > width] == []


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("talk", TALKS)
def test_wrapping_loses_no_word(talk: str, width: int) -> None:
    """The words at any width are the words of an endless line."""
    replies = say(*TALKS[talk])
    assert " ".join(lines(replies, 100_000)).split() == " ".join(lines(replies, width)).split()


@pytest.mark.parametrize("talk", TALKS)
def test_every_text_is_said(talk: str) -> None:
    """Each reply's own words stand in the lines."""
    replies = say(*TALKS[talk])
    shown = " ".join(lines(replies, 80))
    assert [one.text for one in replies if one.text not in shown] == []


@given(st.text(st.characters(codec="utf-8"), max_size=300), st.integers(20, 120))
def test_any_text_fits_and_is_kept(text: str, width: int) -> None:
    """Whatever stands in a reply, no line is too wide and no sign but blanks is lost."""
    rows = lines([Note(text)], width)
    assert [row for row in rows if len(row) > width] == []
    assert "".join(text.split()) == "".join("".join(rows).split())


def test_a_word_longer_than_the_width_is_broken() -> None:
    """A word of 95 letters takes three lines of 40."""
    assert [len(row) for row in lines([Note("q" * 95)], 40)] == [40, 40, 15]


def test_a_compound_is_not_broken_at_its_hyphen() -> None:
    """ "dry-salted" stays on one line."""
    assert lines([Note("a mash that is dry-salted here")], 20) == ["a mash that is", "dry-salted here"]


@pytest.mark.parametrize("width", [0, 1, 19, 20])
def test_a_tiny_width_is_taken_for_twenty(width: int) -> None:
    """Below 20 columns the lines are those of 20."""
    assert lines([Note("one two three four five six")], width) == ["one two three four", "five six"]


def test_an_empty_text_is_an_empty_line() -> None:
    """A reply without words takes one line, it does not vanish."""
    assert lines([Note("")], 80) == [""]


def test_nothing_said_is_no_line() -> None:
    """No replies, no lines."""
    assert lines([], 80) == []


@pytest.mark.parametrize(
    ("reply", "expected"),
    [
        (Caution("w", severity="stop"), "STOP: w"),
        (Caution("w", severity="caution"), "Caution: w"),
        (Caution("w", severity="note"), "Remember: w"),
        (Assume("w."), "Assumed: w."),
        (Refuse("w"), "No. w"),
        (Answer("w"), "w"),
        (Ask("w"), "w"),
        (NotRead("w"), "w"),
        (Note("w"), "w"),
        (Log("w"), "w"),
        (Done("w"), "w"),
        (Why("w"), "w"),
        (Why("w", source="a handbook"), "w [a handbook]"),
    ],
)
def test_the_label_says_what_it_is(reply: Reply, expected: str) -> None:
    """Cautions, assumptions and refusals are marked by a word, so colour is never needed."""
    assert [expected] == lines([reply], 80)


def test_every_severity_has_a_label() -> None:
    """The three severities are told apart by three labels."""
    assert LABEL == {"stop": "STOP", "caution": "Caution", "note": "Remember"}


def test_assumptions_share_a_line_where_they_follow_each_other() -> None:
    """Neighbouring assumptions are joined under one label; order is kept."""
    replies = [Assume("One."), Assume("Two."), Note("N."), Assume("Three.")]
    assert lines(replies, 80) == ["Assumed: One. Two.", "N.", "Assumed: Three."]


def test_an_unknown_reply_is_refused() -> None:
    """A kind of reply that has no place on the screen is an error of ours, not left out."""
    with pytest.raises(TypeError, match=r"^Reply$"):
        lines([Reply("x")], 80)


# --- colour -------------------------------------------------------------------------------


@pytest.mark.parametrize("talk", TALKS)
def test_colour_only_when_asked(talk: str) -> None:
    """Without colour there is no escape; with it the words are the same."""
    replies = say(*TALKS[talk])
    plain, coloured = lines(replies, 60), lines(replies, 60, True)
    assert [row for row in plain if "\x1b" in row] == []
    assert plain == [ESCAPE.sub("", row) for row in coloured]


@pytest.mark.parametrize(
    ("reply", "tone"),
    [
        (Caution("w", severity="stop"), "stop"),
        (Refuse("w"), "stop"),
        (Caution("w", severity="caution"), "caution"),
        (NotRead("w"), "caution"),
        (Answer("w"), "answer"),
        (Ask("w"), "ask"),
    ],
)
def test_a_tone_for_each_kind(reply: Reply, tone: str) -> None:
    """What stops is in one tone, what warns in another, and every line closes its own."""
    shown = lines([reply], 80, True)[0]
    assert (shown.startswith(TONE[tone]), shown.endswith("\x1b[0m")) == (True, True)


@pytest.mark.parametrize(
    "reply", [Note("w"), Why("w"), Log("w"), Done("w"), Assume("w"), Caution("w", severity="note")]
)
def test_plain_talk_has_no_tone(reply: Reply) -> None:
    """Notes, reasons, logs, assumptions and the goodbye are not coloured even when asked."""
    assert lines([reply], 80, True)[0].endswith("w")


def test_every_wrapped_line_is_coloured_by_itself() -> None:
    """A screen that scrolls shows each line in its tone."""
    shown = lines([Caution("one two three four five six seven", severity="stop")], 20, True)
    assert [f"{TONE['stop']}{row}\x1b[0m" for row in ("STOP: one two three", "four five six seven")] == shown


# --- the caret ----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        ("mash of 3 snorks at 3%", "          ^^^^^^    "),
        ("brimble wobbet", "^^^^^^^^^^^^^^"),
        ("  brimble", "  ^^^^^^^"),
        ("brine for", "      ^^^"),
        ("brine for 2 kg of chillies except the stems", " " * 27 + "^^^^^^"),
        ("jalapeño mash of 3 snorks", " " * 19 + "^^^^^^"),
        ("\U0001f952\U0001f952 mash of 3 snorks", " " * 15 + "^^^^^^"),  # two cucumbers, each two columns wide
        ("jalapen\u0303o mash of 3 snorks", " " * 19 + "^^^^^^"),  # the tilde is a letter of its own
    ],
)
def test_the_caret_stands_under_the_words(said: str, expected: str) -> None:
    """The marks stand under the words that were not understood, after the prompt."""
    reply = next(one for one in say(said) if isinstance(one, NotRead))
    assert f".....{expected.rstrip()}".replace(".", " ") == caret(said, reply, 5, 80)


@pytest.mark.parametrize(("width", "expected"), [(19, ""), (20, " " * 13 + "^" * 7), (80, " " * 13 + "^" * 7)])
def test_a_caret_that_does_not_fit_is_left_out(width: int, expected: str) -> None:
    """Where the terminal would have wrapped the line the caret would point at nothing."""
    assert expected == caret("mash of brimble", NotRead("t", "unknown-word", "brimble", 8, 15), 5, width)


@pytest.mark.parametrize(
    ("said", "reply"),
    [
        ("", NotRead("t", "empty")),
        ("      ", NotRead("t", "empty", "", 0, 6)),
        ("one\nbrimble", NotRead("t", "unknown-word", "brimble", 4, 11)),
        ("brimble", NotRead("t", "too-long", "700 letters", 0, 7)),
        ("2:00\tbrimble", NotRead("t", "unknown-word", "brimble", 5, 12)),
        ("yes", NotRead("t", "unit-fit", "1,500 mL", 8, 16)),
        ("1500 mL of it all", NotRead("t", "unit-fit", "1,500 mL", 8, 16)),
    ],
)
def test_no_caret_where_there_is_nothing_to_point_at(said: str, reply: NotRead) -> None:
    """Nothing said, several lines, a tab, whose width nobody knows, or words of an earlier line: no caret."""
    assert caret(said, reply, 5, 80) == ""
