"""How a pH reading was taken, said in the next line: judged and entered anew, never as another reading."""

from __future__ import annotations

import pytest

from assistant.replies import Answer
from tests.helpers import kinds, say, talk

BEGUN = "new batch of 2 kg of reds in a 3 L jar at 3%, on 3 february"


def lead(*lines: str) -> str:
    """The first words of the last answer."""
    return next(one.text for one in say(*lines) if isinstance(one, Answer))


@pytest.mark.parametrize(
    ("first", "then", "expected"),
    [
        ("pH 3.9", "on a strip", "Proven below 4.6, not"),
        ("pH 4.3", "it was a strip", "Does not count"),
        ("pH 3.9", "calibrated this morning", "Proven below 4.6, 4.2 and 4.0"),
        ("pH 3.9 by meter", "the meter was calibrated last month", "Not proven"),
        ("pH 3.9", "good to 0.02", "Proven below 4.6, 4.2 and 4.0"),
        ("pH 3.8", "it was still hot", "Not proven yet"),
        ("pH 3.8 at 60 C", "by meter", "Not proven yet"),  # what was said before still holds
        ("pH 3.8, good to 0.3", "by meter", "Proven below 4.6 and 4.2, not below 4.0"),
    ],
)
@pytest.mark.parametrize("before", [(), (BEGUN,)])
def test_it_belongs_to_the_last_reading(before: tuple[str, ...], first: str, then: str, expected: str) -> None:
    """The reading is judged with both lines, and the book holds it once."""
    assert lead(*before, first, then).startswith(expected)
    if before:
        session = talk()
        for line in (*before, first, then, "how is it going"):
            session.say(line)
        batch = session.talk.now.shelf.batch(1)
        assert batch is not None
        assert len(batch.ph) == 1


def test_undo_takes_it_back() -> None:
    """Undo brings the reading back as it was first said, in the talk and in the book."""
    session = talk()
    for line in (BEGUN, "pH 3.9", "on a strip", "undo", "how is it going"):
        session.say(line)
    batch = session.talk.now.shelf.batch(1)
    assert batch is not None
    assert [("", 3.9)] == [(one.method, one.value) for one in batch.ph]


@pytest.mark.parametrize(
    ("line", "kind"),
    [
        ("meter says 4.1", "log"),
        ("not a strip", "misread"),
        ("is a strip ok?", "answer"),
        ("which meter", "ask"),
        ("is 30 degrees too hot for it", "ask"),
    ],
)
def test_other_lines_are_their_own(line: str, kind: str) -> None:
    """Another reading, a denial and a question are not added to the last reading."""
    replies = say("pH 3.9", line)
    assert kind in kinds(replies)
    assert not any("what you said before" in one.text for one in replies)


def test_only_the_line_right_after() -> None:
    """After something else was said or done, it is not known what is meant."""
    replies = say(BEGUN, "pH 3.8", "added 200 g of garlic with 6 g of salt", "on a strip")
    assert "log" not in kinds(replies)
