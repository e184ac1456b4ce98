"""The account of batches in the talk: it closes after every line, undo restores it, questions leave it alone."""

from __future__ import annotations

import datetime

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.batches.batch import Batch
from assistant.console.session import Session
from assistant.trade.mixture import COMPONENTS
from tests.helpers import say
from tests.test_corpus import lines

TODAY = datetime.date(2026, 3, 2)


def talk(*said: str) -> Session:
    """A talk with these lines said."""
    session = Session(lambda: TODAY)
    for line in said:
        session.say(line)
    return session


def batches(session: Session) -> dict[int, Batch]:
    """Every batch as it is now."""
    shelf = session.book.shelf()
    return {number: account.now for number, account in shelf.accounts.items()}


def plain(batch: Batch) -> tuple[object, ...]:
    """A batch without what only counts its events."""
    return (batch.vessels, batch.added, batch.taken, batch.ph, batch.warmth, batch.remarks, batch.bottles, batch.name)


GRAMS = st.integers(20, 4000).map(lambda one: f"{one} g")
LITRES = st.integers(2, 30).map(lambda one: f"{one / 10:g} litres")
PERCENT = st.sampled_from(["2%", "2.5%", "3%", "5%"])
LINES = st.one_of(
    st.builds("packed {} of chillies at {}".format, GRAMS, PERCENT),
    st.builds("added {} of garlic and {} of carrots at {}".format, GRAMS, GRAMS, PERCENT),
    st.builds("{} more chillies with {} of salt went in".format, GRAMS, st.integers(1, 90).map(lambda one: f"{one} g")),
    st.builds("topped up with {} of {} brine".format, LITRES, PERCENT),
    st.builds("added {} of water".format, LITRES),
    st.builds("poured in {} of 5% vinegar".format, LITRES),
    st.builds("took a {} sample".format, GRAMS),
    st.builds("spilled {}".format, LITRES),
    st.builds("simmered off {}".format, GRAMS),
    st.builds("strained it, {} of wet pulp came out".format, GRAMS),
    st.builds("strained, got {} of mash and {} of brine".format, LITRES, LITRES),
    st.builds("bottled {} of 150 ml".format, st.integers(1, 20)),
    st.sampled_from(
        [
            "moved everything to the 10 L crock", "split it into two jars", "tipped jar 2 into jar 1", "still there",
            "new batch of carrots in the small jar", "the other one", "poured it into batch 1", "pH 3.9 by meter",
            "22 C in here", "white film on top", "call it Ember", "undo", "redo", "what's in it", "salt now?", "no",
            "poured batch 2 in", "120 g", "lost", "how is it going", "show the batch", "brine for 3 kg in a 10 L crock",
            "no, make it 2 kg", "no, 40 g", "and 200 g of sugar", "wait, it was 1.5 litres",
            "same as last time but 2 kg",
            "done", "2.5%", "mash of 2 kg of chillies at 3%", "into it", "new batch", "that batch is finished",
        ]
    ),
)  # fmt: skip


@settings(max_examples=60)
@given(st.lists(LINES, min_size=1, max_size=14))
def test_the_account_closes(said: list[str]) -> None:
    """What went in is there or was taken out, of every component, after every line; and no event is odd."""
    session = talk("new batch of reds in the 8 L crock")
    for line in said:
        _, replies = session.say(line)
        assert replies
        for batch in batches(session).values():
            for name in COMPONENTS:
                put = getattr(batch.went_in, name)
                there = getattr(batch.holds, name) + getattr(batch.came_out, name)
                assert put == pytest.approx(there, abs=1e-7)
            assert () == batch.odd


@settings(max_examples=60)
@given(st.lists(LINES, max_size=8), LINES)
def test_undo_and_redo_restore_the_account(said: list[str], last: str) -> None:
    """Undoing a line that entered something gives the account before it, redo the one after it."""
    session = talk("new batch of reds in the 8 L crock", "packed 3 kg of chillies at 3%", *said)
    before = {number: plain(one) for number, one in batches(session).items()}
    session.say(last)
    if not session.talk.wrote or last in ("undo", "redo"):
        return
    after = {number: plain(one) for number, one in batches(session).items()}
    session.say("undo")
    undone = batches(session)
    assert before == {number: plain(undone[number]) for number in before}
    assert all(undone[number].began == datetime.date.min for number in undone.keys() - before.keys())
    session.say("redo")
    assert after == {number: plain(one) for number, one in batches(session).items()}


@pytest.mark.parametrize("entry", lines("heard.jsonl")[::3], ids=lambda entry: str(entry["say"])[:50])
def test_questions_enter_nothing(entry: dict[str, object]) -> None:
    """A question heard in the kitchen changes no account, though a batch is open."""
    session = talk("new batch of reds in the 8 L crock", "packed 3 kg of chillies at 3%")
    before = plain(batches(session)[1])
    for line in (*entry.get("before", ()), entry["say"]):  # type: ignore[misc]
        session.say(str(line))
    if entry.get("act") != "log":
        assert before == plain(batches(session)[1]), entry["say"]


def test_a_serving_and_the_label_agree() -> None:
    """A teaspoon of a batch holds the same sodium asked for alone as on its label: by the account's own density."""
    batch = "new batch of 2 kg of reds in a 3 L jar at 3%"
    alone = " ".join(one.text for one in say(batch, "how much sodium in a teaspoon"))
    label = " ".join(one.text for one in say(batch, "label", "serving is a teaspoon"))
    assert "59.9 mg of sodium" in alone and "before rounding 59.9 mg" in label
