"""Units that answers are always given in: the numbers stay what they are."""

from __future__ import annotations

from pathlib import Path

import pytest

from assistant.console.session import Session
from assistant.console.settings import Settings
from assistant.replies import Answer, Reply
from assistant.talk.place import dimension
from grammar import measures
from tests.helpers import DAY

SCENARIOS = sorted((Path(__file__).parent.parent.parent / "scenarios").glob("*.chat"))


def talk(**wanted: str) -> Session:
    """A fresh talk with these settings."""
    session = Session(lambda: DAY)
    session.prefer(Settings(**wanted))
    return session


def answer(session: Session, line: str) -> str:
    """The first sentence of the answer to a line."""
    return next(one.lead for one in session.say(line)[1] if isinstance(one, Answer))


MASH = "mash of 4 kg of chillies at 3%"
POUNDS = "mash of 5 lb of chillies at 3%"


@pytest.mark.parametrize(
    ("wanted", "line", "shown"),
    [
        ({}, MASH, "Salt 120 g for 4 kg of chillies."),
        ({"units": "us"}, MASH, "Salt 4.23 oz (120 g) for 8 lb 13.1 oz (4 kg) of chillies."),
        ({}, POUNDS, "Salt 2.4 oz (68 g) for 5 lb (2.27 kg) of chillies."),
        ({"units": "metric"}, POUNDS, "Salt 68 g for 2.27 kg of chillies."),
        ({}, "boiling water at 300 m", "Water boils at 99 C at 300 m."),
        ({"units": "us"}, "boiling water at 300 m", "Water boils at 210 F at 984 ft."),
        ({"units": "us", "temperature": "celsius"}, "boiling water at 300 m", "Water boils at 99 C at 984 ft."),
        ({"temperature": "fahrenheit"}, "boiling water at 300 m", "Water boils at 210 F at 300 m."),
    ],
)  # fmt: skip
def test_answers_are_in_the_units_that_are_wanted(wanted: dict[str, str], line: str, shown: str) -> None:
    """An answer is in the person's units of choice, whatever was said; with no choice it is as said."""
    assert shown == answer(talk(**wanted), line)


def test_cups_are_whose_the_person_means() -> None:
    """A plain pint is the kitchen's own: 473 mL in the US, 568 mL in Britain (20 fl oz of 28.413 mL)."""
    for cups, litres in (("us", 0.473176), ("imperial", 0.568261)):
        (found,) = [one for one in talk(cups=cups).say("2 pints in ml")[1] if isinstance(one, Answer)]
        assert measures.convert(found.values[0].value, found.values[0].unit, "liter") == pytest.approx(2 * litres, 1e-5)


def test_a_unit_asked_for_by_name_comes_first() -> None:
    """ "In grams" is obeyed in a kitchen of pounds, once."""
    session = talk(units="us")
    answer(session, MASH)
    assert "Salt 120 g for 4000 g of chillies." == answer(session, "in grams")
    assert "Salt 4.23 oz (120 g) for 8 lb 13.1 oz (4 kg) of chillies." == answer(session, MASH)


def test_the_account_is_told_in_the_units_that_are_wanted() -> None:
    """What is in a vessel is told in pounds to who wants pounds, though it was entered in kilograms."""
    session = talk(units="us")
    session.say("new batch of 3 kg of cabbage in a 10 L crock at 2%")
    assert "6 lb 9.8 oz (3 kg) cabbage" in " ".join(one.text for one in session.say("what is in the crock")[1])


@pytest.mark.parametrize("lines", [("start over",), (MASH, "undo"), (MASH, "start over", "undo", "undo")], ids=str)
def test_it_outlives_a_clean_slate_and_an_undo(lines: tuple[str, ...]) -> None:
    """Neither "start over" nor "undo" loses what the person wants always."""
    session = talk(units="us")
    for line in lines:
        session.say(line)
    assert "Salt 4.23 oz (120 g) for 8 lb 13.1 oz (4 kg) of chillies." == answer(session, MASH)


def test_it_may_be_changed_in_the_middle_and_stays_so_after_undo() -> None:
    """Preferring other units in a talk under way holds for what undo brings back too."""
    session = talk()
    answer(session, MASH)
    session.say("make it 5 kg")
    session.prefer(Settings(units="us"))
    session.say("undo")
    assert "Salt 4.23 oz (120 g) for 8 lb 13.1 oz (4 kg) of chillies." == answer(session, "make it 4 kg")


def test_who_names_other_units_gets_them() -> None:
    """ "Metric units" said aloud counts for the answers where they do not go by what was said, and says so."""
    session = talk(units="us")
    (note,) = session.say("metric units")[1]
    assert note.text.endswith("Answers are in kilograms and litres.")
    assert "Salt 120 g for 4 kg of chillies." == answer(session, MASH)
    (note,) = session.say("imperial units")[1]
    assert note.text.endswith("Answers are in pounds.")


def test_a_probe_read_in_f_is_asked_about_though_answers_are_in_c() -> None:
    """What a person wants to see proves nothing of what a probe shows: after a line in F its scale is asked for."""
    for wanted in ({}, {"units": "metric"}, {"temperature": "celsius"}):
        session = talk(**wanted)
        session.say("what salt for 3% at 75 F with 2 kg of cabbage mash")
        session.say("boiling point at 5000 ft in F")
        session.say("how long do I hold it at 160 F for pH 3.8")
        found = session.say("55 62 68 72 74 74 70 64 every two minutes, pH 4.0")[1]
        assert ["ask"] == [one.kind for one in found], wanted


def measured(replies: tuple[Reply, ...]) -> list[tuple[str, float]]:
    """All numbers of the answers, in litres, kilograms and the like."""
    out = []
    for one in replies:
        for each in one.values if isinstance(one, Answer) else ():
            kind = dimension(each.unit) if each.unit and each.unit != "date" else ""
            out.append((each.name, measures.canonical(each.value, each.unit, kind) if kind else each.value))
    return out


@pytest.mark.parametrize("file", SCENARIOS[::5], ids=lambda one: one.stem)
def test_no_number_changes_with_the_units(file: Path) -> None:
    """A whole talk said in other units of choice gets the same replies with the same amounts in them."""
    lines = [row[2:] for row in file.read_text(encoding="utf-8").splitlines() if row.startswith("> ")]
    plain, metric, us = talk(), talk(units="metric"), talk(units="us", temperature="celsius")
    for line in lines:
        expected = plain.say(line)[1]
        for session in (metric, us):
            replies = session.say(line)[1]
            assert [one.kind for one in expected] == [one.kind for one in replies], line
            for (name, value), (other, same) in zip(measured(expected), measured(replies), strict=True):
                assert name == other
                assert same == pytest.approx(value, rel=1e-6, abs=1e-9), line
