"""The line format for front ends: complete, exact, plain data."""

from __future__ import annotations

import json
from typing import Any

import pytest

from assistant.console.jsonl import as_line, as_object
from assistant.replies import Answer
from tests.helpers import talk

BRINE = "brine for 2.3 kg of cabbage in a 7 L crock at 2.25%"
TALKS = [
    (BRINE, "make it 2.7 kg", "why?", "undo", "redo", "repeat"),
    ("brine for 2.3 kg", "brimble", "7 L crock", "", "I don't know"),
    ("mash of 1,250 g of chillies at 3%", "1250 g", "in pounds", "pH 3.9"),
    ("mash of 2 kilgrams of chillies at 3%", "yes", "make it 0 kg", "mash of 3 snorks at 3%"),
    ("2.3 kg of chillies at 3%", "under brine", "cancel", "help", "start over", "bye"),
    ("5 lb 3 oz in kg", "imperial units", "\u2028\x85 x", 'a "quoted" \\ word'),
]


def turns(*said: str) -> list[tuple[dict[str, Any], str, tuple[Any, ...]]]:
    """Each line's object, its JSON, and the replies it was made of."""
    session = talk()
    found = []
    for line in said:
        reading, replies = session.say(line)
        found.append(
            (as_object(line, reading, session.talk, replies), as_line(line, reading, session.talk, replies), replies)
        )
    return found


def roles(*said: str) -> list[tuple[str, str]]:
    """Role and words of the amounts in the last of these lines."""
    return [(one["role"], one["text"].replace(" ", "")) for one in turns(*said)[-1][0]["reading"]["amounts"]]


@pytest.mark.parametrize("said", TALKS)
def test_an_object_is_the_same_after_json(said: tuple[str, ...]) -> None:
    """as_object is plain data: through JSON and back it is equal, and as_line is that on one line."""
    for found, line, _ in turns(*said):
        assert found == json.loads(json.dumps(found, allow_nan=False))
        assert found == json.loads(line)
        assert line.count("\n") == 0


@pytest.mark.parametrize("said", TALKS)
def test_numbers_are_not_rounded(said: tuple[str, ...]) -> None:
    """Every number of an answer comes through JSON bit for bit."""
    for _, line, replies in turns(*said):
        exact = [(one.name, one.value, one.unit) for each in replies if isinstance(each, Answer) for one in each.values]
        assert exact == [(one["name"], one["value"], one["unit"]) for one in json.loads(line)["values"]]


def test_a_value_has_more_digits_than_the_sentence() -> None:
    """The sentence is rounded for the kitchen, the value is not: 0.0225 x (2.3 kg + 4 L at 0.998207 kg/L)."""
    found, _, replies = turns(BRINE)[0]
    salt = next(one for one in found["values"] if one["name"] == "salt")
    water_kg = (7 * 0.9 - 2.3) * 0.998207
    assert {"name": "salt", "value": pytest.approx(1000 * 0.0225 * (2.3 + water_kg), rel=1e-12), "unit": "gram"} == salt
    assert replies[0].text[:11] == "Salt 142 g "


def test_every_number_of_the_sentence_is_a_value() -> None:
    """What was given stands among the values under its name and in the person's unit."""
    found = {one["name"]: (one["value"], one["unit"]) for one in turns(BRINE)[0][0]["values"]}
    expected = {"produce": (2.3, "kilogram"), "capacity": (7.0, "liter"), "of_total": (pytest.approx(2.25), "percent")}
    assert expected == {name: found[name] for name in expected}


def test_the_kinds_are_in_the_order_said() -> None:
    """replies are the replies, in order, each as its own plain data."""
    for found, _, replies in turns(*TALKS[0]):
        assert [one.to_json() for one in replies] == found["replies"]


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        ((BRINE,), [("produce", "2.3kg"), ("capacity", "7L"), ("of_total", "2.25%")]),
        ((BRINE, "make it 2.7 kg"), [("produce", "2.7kg")]),
        (("brine for 2.3 kg", "7 L crock"), [("capacity", "7L")]),
        (("mash of a pound of reds and 6 oz of garlic at 3%",), [("produce", "apound"), ("produce", "6oz"),
                                                               ("of_produce", "3%")]),
        (("6 oz",), [("", "6oz")]),
    ],
)  # fmt: skip
def test_an_amount_has_the_role_of_the_input_it_became(said: tuple[str, ...], expected: list[tuple[str, str]]) -> None:
    """role names the calculator's input, also for amounts that were added up; it is "" for a bare amount."""
    assert expected == roles(*said)


def test_an_amount_takes_no_role_from_an_earlier_line() -> None:
    """An amount at the same place with the same number as an earlier one, but of another unit, is not that input."""
    first, second = "mash of 3 kg of chillies at 3%", "mash of 3 L of chillies at 3%"
    assert roles(first) == [("produce", "3kg"), ("of_produce", "3%")]
    assert roles(first, second)[:1] == [("chilli", "3L")]


@pytest.mark.parametrize(
    ("said", "act", "topic"),
    [
        ((BRINE,), "ask", "packed"),
        (("brine for 2.3 kg",), "ask", "packed"),
        (("brine for 2.3 kg", "7 L crock"), "tell", "packed"),
        (("mash of 2 kg of chillies at 3%",), "ask", "mash"),
        (("brimble wobbet",), "misread", ""),
        (("",), "misread", ""),
        (("undo",), "undo", ""),
    ],
)
def test_act_and_topic(said: tuple[str, ...], act: str, topic: str) -> None:
    """act is how the line was read, topic the calculator it is about, "" where there is none."""
    reading = turns(*said)[-1][0]["reading"]
    assert (act, topic) == (reading["act"], reading["topic"])


def test_repairs_and_words_left_over() -> None:
    """A repaired word and an unused one are told in the reading."""
    reading = turns("mach of 2 kg of chillies wobbet at 3%")[0][0]["reading"]
    assert (reading["repaired"], reading["left_over"]) == ([{"said": "mach", "read": "mash"}], ["wobbet"])


@pytest.mark.parametrize(("said", "expected"), [("brimble wobbet", ["brimble wobbet"]), ("", []), ("   ", [])])
def test_a_misreading_tells_what_it_met(said: str, expected: list[str]) -> None:
    """left_over of a misreading holds the words met, and nothing where nothing was said."""
    assert expected == turns(said)[0][0]["reading"]["left_over"]


def test_assumptions_and_cautions_carry_their_numbers_and_sources() -> None:
    """assumed has numbers with units; every caution has a rule, a severity and a source."""
    found = turns("mash of 900 g of jalapenos at 1.6%")[0][0]
    assert [(one["name"], one["unit"]) for one in found["assumed"]] == [("moisture", "percent")]
    assert "salt-below-two" in [one["rule"] for one in found["cautions"]]
    assert [one for one in found["cautions"] if one["severity"] not in ("note", "caution", "stop")] == []
    assert [one["rule"] for one in found["cautions"] if not one["source"]] == []


def test_letters_stay_letters() -> None:
    """Accents and fractions are written as they are, not as escapes."""
    assert True is ("jalapeños at 2½%" in turns("mash of 2 kg of jalapeños at 2½%")[0][1])


def test_two_units_together_have_the_value_of_the_kitchen() -> None:
    """A pint and ten ounces is 1.5 imperial pints (20 ounces a pint), and keeps its role."""
    amount = turns("imperial units", "brine with 1 pint 10 fluid ounces of water at 5%")[-1][0]["reading"]["amounts"][0]
    assert (amount["role"], amount["unit"]) == ("water_volume", "pint")
    assert amount["value"] == pytest.approx(1.5)
