"""Every event in plain words."""

from __future__ import annotations

import datetime
import string

import pytest

from assistant.batches import describe as words
from assistant.batches import events as ev
from assistant.show import Style
from assistant.trade import mixture

DAY = datetime.date(2026, 3, 1)
CROCK = ev.Place("the 8 L crock", "crock", 8.0)
TWO = mixture.produce(2.0, "chilli")

TOLD = {
    "begin": (ev.Begin(4, DAY, name="Rosehip", place=CROCK), 'begun in the 8 L crock, called "Rosehip"'),
    "add": (
        ev.Add(4, DAY, vessel="the 8 L crock", what="chillies", mix=TWO),
        "2 kg chillies put into the 8 L crock",
    ),
    "take": (
        ev.Take(4, DAY, vessel="the 8 L crock", why="sample", mix=mixture.water(0.03)),
        "30 g taken out of the 8 L crock (sample)",
    ),
    "move": (
        ev.Move(4, DAY, vessel="the 8 L crock", to=ev.Place("the jar")),
        "everything in the 8 L crock moved into the jar",
    ),
    "share": (
        ev.Share(4, DAY, vessel="the 8 L crock", to=ev.Place("the jar"), mix=TWO, how="half of it"),
        "2 kg from the 8 L crock put into the jar (half of it)",
    ),
    "boil": (ev.Boil(4, DAY, vessel="the pot", water=0.3), "300 g of water steamed off from the pot"),
    "pour": (ev.Pour(4, DAY, vessel="the jar", into=9, mix=TWO), "2 kg poured from the jar into batch 9"),
    "receive": (ev.Receive(4, DAY, vessel="the jar", source=3, mix=TWO), "2 kg from batch 3 poured into the jar"),
    "read": (ev.Read(4, DAY, value=3.9, method="meter"), "pH 3.9 by meter"),
    "heat": (
        ev.Heat(4, DAY, "", "the pot", (0, 5, 9), (60, 74, 66), 3.9, 0.1, 7.39, 1.2, -1.0),
        "heated up to 73 C in the pot (worth 7.3 min at 71.1 C, 1.2 needed for pH 4.0)",
    ),
    "remark": (ev.Remark(4, DAY, text="white film skimmed"), "white film skimmed"),
    "call": (ev.Call(4, DAY, name="Rosehip"), 'called "Rosehip"'),
    "walked": (ev.Walked(4, DAY, walk="first-brine", step="read"), 'on the walk "first-brine", next: read'),
    "bottle": (
        ev.Bottle(4, DAY, vessel="the jar", count=12, size=0.15, mix=mixture.water(1.8)),
        "12 bottles of 150 mL filled from the jar with 1.8 kg",
    ),
    "close": (ev.Close(4, DAY, why="eaten"), "batch over: eaten"),
    "undo": (ev.Undo(4, DAY, of=(5, 6, 8)), "entries 5, 6 and 8 taken back"),
    "redo": (ev.Redo(4, DAY, of=(5,)), "entry 5 put back"),
}
"""An event of every kind with what is said of it."""


@pytest.mark.parametrize("kind", ev.KINDS)
def test_every_kind_of_event_is_told(kind: str) -> None:
    """Each kind has its words, with the numbers, the vessel and the reason in them."""
    event, told = TOLD[kind]
    assert kind == event.kind
    assert told == words.describe(event)


@pytest.mark.parametrize("kind", ev.KINDS)
def test_an_event_of_which_little_was_said_is_told_without_holes(kind: str) -> None:
    """Left-out fields leave no empty brackets, double spaces or "of ." behind."""
    told = words.describe(ev.KINDS[kind](4, DAY))
    assert told[0] in string.ascii_letters + string.digits
    assert [] == [hole for hole in ("()", "  ", '""', " .") if hole in f"{told}."]


@pytest.mark.parametrize(
    ("event", "told"),
    [
        (ev.Read(4, DAY, value=4.0, method="strip"), "pH 4.0 by strip"),
        (ev.Read(4, DAY, value=3.95), "pH 3.95"),
        (ev.Read(4, DAY, value=3.9, method="meter", calibrated="yes"), "pH 3.9 by calibrated meter"),
        (
            ev.Read(4, DAY, value=3.9, method="meter", calibrated="no", vessel="the jar"),
            "pH 3.9 in the jar by meter, not calibrated",
        ),
        (ev.Read(4, DAY, of="temperature", value=21.0, method="thermometer"), "21 C by thermometer"),
        (ev.Move(4, DAY, to=ev.Place("the jar")), "everything moved into the jar"),
        (ev.Bottle(4, DAY, count=1, vessel="the jar"), "1 bottle filled from the jar"),
        (ev.Begin(4, DAY, place=CROCK), "begun in the 8 L crock"),
        (ev.Call(4, DAY), "goes by its number again"),
    ],
)
def test_details_are_said_only_where_they_are_known(event: ev.Event, told: str) -> None:
    """The method, the calibration, the vessel and the size stand there if they were said."""
    assert told == words.describe(event)


def test_the_units_are_the_persons() -> None:
    """Pounds carry the grams, Fahrenheit replaces Celsius (2 kg is 4 lb 6.5 oz, 21 C is 69.8 F by definition)."""
    style = Style(pounds=True, fahrenheit=True)
    assert "4 lb 6.5 oz (2 kg) chillies put into the 8 L crock" == words.describe(TOLD["add"][0], style)
    warm = ev.Read(4, DAY, of="temperature", value=21.0, method="thermometer")
    assert "69.8 F by thermometer" == words.describe(warm, style)


def test_dates_are_written_out_or_short() -> None:
    """A day stands with or without its year, its month in full or in three letters."""
    assert "1 March 2026" == words.day_words(DAY)
    assert "1 March" == words.day_words(DAY, year=False)
    assert "1 Mar 2026" == words.day_words(DAY, short=True)


@pytest.mark.parametrize(
    ("bottles", "told"),
    [
        (((DAY, 12, 0.15), (DAY, 4, 0.5)), "16 bottles, 3.8 L"),
        (((DAY, 1, 0.0),), "1 bottle"),
        (((DAY, 2, 0.0), (DAY, 1, 0.5)), "3 bottles, at least 0.5 L"),
    ],
)
def test_bottles_are_counted_together(bottles: tuple[tuple[datetime.date, int, float], ...], told: str) -> None:
    """All fillings make one number; the litres are said as far as the sizes are known."""
    assert told == words.bottled(bottles)
