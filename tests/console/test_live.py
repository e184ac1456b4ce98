"""What stands under the line while it is typed: what it would bring, for this text and no other, and nothing kept."""

from __future__ import annotations

from pathlib import Path

import pytest

from assistant.book.store import Book
from assistant.console import live
from assistant.console.engine import Engine
from assistant.console.looks import cut, wrapped
from assistant.console.session import Session
from tests.console.pieces import events, said
from tests.console.window import BACKSPACE, ENTER, UP, Window
from tests.helpers import DAY, talk
from tests.test_corpus import HEARD

MASH = "mash of 3 kg of chillies at 2.5%"


def rows(line: str, *before: str, columns: int = 80, height: int = 24) -> list[str]:
    """The rows for a line after others were said."""
    session = talk()
    for one in before:
        session.say(one)
    return live.fitted(live.glance(session.talk.on(session.now.shelf), *session.tried(line)), columns, height)


@pytest.mark.parametrize(
    ("before", "line", "expected"),
    [
        ((), MASH, ["  reads Dry-salted mash: produce 3 kg, salt of the produce 2.5%",
                    "  gives Salt 75 g for 3 kg of chillies."]),
        ((), "mash of 3 kg", ["  reads Dry-salted mash: produce 3 kg",
                              "  asks Which salt, in % of the produce? 2 to 5 is usual, 3 common."]),
        (("mash of 3 kg",), "2.5", ["  reads Dry-salted mash: produce 3 kg, salt of the produce 2.5%",
                                    "  gives Salt 75 g for 3 kg of mash."]),
        ((MASH,), "make it 4 kg", ["  reads Dry-salted mash: salt of the produce 2.5%, produce 4 kg",
                                   "  gives Salt 100 g for 4 kg of chillies."]),
        ((), "mash of 3 snorks", ['  not yet: I do not know "snorks" as a unit.']),
        (("new batch of reds in a 5 L jar",), "packed 2 kg of reds at 3%", ["  reads 2 kg reds, 3%",
                                                                          "  enters Batch 1, reds: 2 kg chillies"]),
        ((), "tell me in 10 minutes to stir", ["  reads 10 minutes", "  starts Counting 10 minutes: stir."]),
        ((MASH,), "undo", ["  says Undone."]),
        ((), "bye", ["  ends: Goodbye."]),
        (("mash of 1,250 g of chillies at 3%",), "1250 g", ["  reads Dry-salted mash"]),
        (("walk me through a first mash", "next"), "3 kg of reds", ["  reads 3 kg reds", "  asks How big is it?"]),
    ],
)  # fmt: skip
def test_what_a_line_would_bring(before: tuple[str, ...], line: str, expected: list[str]) -> None:
    """How it is read, then the result, or what is missing, or what was not understood."""
    found = rows(line, *before)
    assert [row[: len(start)] for row, start in zip(found, expected, strict=False)] == expected


STOP = "2% brine over 700 g of peppers in a 1 L jar"
"""So little salt that the talk says stop."""


def test_a_stop_is_seen_before_the_number() -> None:
    """Where the talk would stop somebody, the look ahead shows the stop, and above the number."""
    assert "stop" in [getattr(one, "severity", "") for one in talk().tried(STOP)[2]]
    leads = [one.split()[0] for one in rows(STOP)]
    assert leads.index("STOP:") < leads.index("gives")


def test_what_was_left_out_is_seen_before_the_number() -> None:
    """A word that would not be used stands above the answer that was worked out without it."""
    found = rows("mash of 3 kg of chillies at 2.5% brimble")
    left, gives = (next(at for at, row in enumerate(found) if word in row) for word in ("brimble", "gives"))
    assert left < gives


@pytest.mark.parametrize("columns", [40, 60, 100, 160])
def test_no_row_is_wider_than_the_screen(columns: int) -> None:
    """A quarter of the screen, each row within the width, for the phrases of the corpus; no number alone at a cut."""
    for line in [one["say"] for one in HEARD][::7]:
        found = rows(line, columns=columns)
        assert len(found) <= 6
        assert [one for one in found if len(one) >= columns] == []
        assert [one for one in found if one.endswith("...") and one.split()[-2][0].isdigit()] == []


def test_a_narrow_screen_shows_the_amounts() -> None:
    """At 40 columns how a line is read goes on in rows under it: the salt that was heard is seen, with its number."""
    found = rows("brine for 3 kg in a 10 L crock at 2.5%", columns=40, height=40)
    told = " ".join(" ".join(found).split())
    assert "reads Produce under brine: produce 3 kg, vessel 10 L, salt of produce + water 2.5%" in told
    assert "gives Salt 225 g in 6 L of water" in told
    low = rows("brine for 3 kg in a 10 L crock at 2.5%", columns=40, height=12)
    assert [one.split()[0] for one in low] == ["reads", "gives", "beware"]


@pytest.mark.parametrize("room", range(8, 60))
def test_an_amount_of_two_parts_is_cut_whole(room: int) -> None:
    """An amount like "1 lb 8 oz", "2 hours and 5 minutes" or "2 to 5%" is never cut to its first part."""
    for before, amount, after in (
        ("Salt", "1 lb 8 oz", "(680 g) in a jar"),
        ("wait", "2 hours and 5 minutes", "by the clock"),
        ("salt of", "2 to 5%", "of it all"),
    ):
        shown = cut(f"{before} {amount} {after}", room)
        assert len(shown) <= room
        assert amount in shown or not any(sign.isdigit() for sign in shown)


@pytest.mark.parametrize("room", [20, 31, 38, 60, 72])
def test_no_row_ends_between_a_number_and_its_unit(room: int) -> None:
    """A sentence is parted anywhere but there, and no word of it is lost."""
    text = "Salt 7.93 oz (225 g) in 6 L of water (13 lb 3.3 oz, 5.99 kg). Filled to 9 L of 10 L, 18 C or 22 C, 2.5 %."
    found = wrapped(text, room)
    assert " ".join(found) == text
    assert [row for row in found if row[-1].isdigit()] == []
    assert max(map(len, found)) <= room


def test_nothing_is_kept_until_enter(tmp_path: Path) -> None:
    """A line that would begin a batch and one that would start a timer are looked at: no line, event or timer is."""
    window = Window(tmp_path / "a.book")

    def script(one: Window) -> None:
        for line, lead in (("new batch of reds in a 5 L jar", "enters"), ("tell me in 10 minutes", "starts")):
            one.type(line)
            one.until(lambda: any(lead in row for row in one.under), lead)  # noqa: B023 - waited for at once
            one.type("\x15")
            one.until(lambda: not one.line)

    window.run(script)
    assert (said(window.path), events(window.path)) == ([], [])
    with Book.open(window.path) as book:
        assert book.timers() == []


def test_a_look_moves_nothing() -> None:
    """Trying a line leaves the talk as it was, and saying it afterwards brings what was shown."""
    session = talk()
    before = session.talk
    _, _, tried = session.tried(MASH)
    assert session.talk == before
    assert session.say(MASH)[1] == tried


def test_never_for_another_text(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """From the moment that a letter changes until it is worked out anew the rows are empty."""
    window = Window(tmp_path / "a.book")

    def script(one: Window) -> None:
        one.type(MASH)
        one.until(lambda: "  gives Salt 75 g for 3 kg of chillies." in one.under)
        assert one.on._glance[0] == MASH
        monkeypatch.setattr("assistant.console.chat.PAUSE", 600.0)
        one.type(BACKSPACE)
        one.until(lambda: one.line == MASH[:-1])
        assert one.under == []
        # back at the same text, but nobody has looked at it again
        one.type("%")
        one.until(lambda: one.line == MASH)
        assert one.under == []

    window.run(script)


def test_an_earlier_line_is_looked_at_as_things_stand_now(tmp_path: Path) -> None:
    """Brought back with Up, a line is tried on the talk of now."""
    window = Window(tmp_path / "a.book")

    def script(one: Window) -> None:
        one.says(MASH, "make it 4 kg", "5 kg of chillies at 2.5% as a mash")
        one.type(UP + UP)
        one.until(lambda: one.line == "make it 4 kg")
        one.until(lambda: "  gives Salt 100 g for 4 kg of chillies." in one.under)

    window.run(script)


def test_it_never_raises(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A fault in the turn, or in the line read to be quick, shows nothing under the line; the typing goes on."""
    window = Window(tmp_path / "a.book")

    def broken(_self: Session, _line: str) -> None:
        raise ZeroDivisionError

    def script(one: Window) -> None:
        monkeypatch.setattr(Session, "tried", broken)
        assert isinstance(one.on.engine, Engine)
        one.type("mash of")
        one.until(lambda: one.on._glance[0] == "mash of")
        assert one.on._glance[1] == ()
        monkeypatch.undo()
        one.type(f" 3 kg of chillies at 2.5%{ENTER}")
        one.shows("Salt 75 g")

    window.run(script)


def test_it_can_be_turned_off(tmp_path: Path) -> None:
    """With live=False nothing is worked out while it is typed; the line is read on Enter as ever."""
    window = Window(tmp_path / "a.book", live=False)

    def script(one: Window) -> None:
        looked: list[str] = []
        assert one.on.engine is not None
        one.on.engine.glance = lambda line: looked.append(line) or ()  # type: ignore[method-assign,func-returns-value]
        one.says(MASH)
        assert (one.under, looked) == ([], [])

    window.run(script)
    assert "Salt 75 g for 3 kg of chillies." in window.rows


def test_a_long_paste_is_not_read_at_every_key(tmp_path: Path) -> None:
    """More than the talk reads at once is counted in rows, and read on Enter."""
    window = Window(tmp_path / "a.book")
    log = "minute,temp\n" + "".join(f"{at},{60 + at % 20}\n" for at in range(400))

    def script(one: Window) -> None:
        one.type(f"\x1b[200~{log}\x1b[201~")
        one.until(lambda: "401 rows, read as one saying on Enter" in " ".join(one.under))

    window.run(script)


def test_the_day_is_the_one_handed_in() -> None:
    """What a date would bring is worked out by the clock of the talk."""
    found = rows("started on 1 March, how long has it been")
    days = (DAY - DAY.replace(month=3, day=1)).days
    assert any(f"{days} day" in one for one in found), found
