"""What is said aloud is what was written: the same numbers, their units in words, a stop before all else."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.console.spoken import aloud, words
from assistant.replies import Answer, Ask, Assume, Caution, Done, Log, Note, NotRead, Refuse, Reply, Why
from assistant.show import SYMBOL, number
from tests.scenario import everything, session, turns

ORDINAL = r"(\d+)(?:st|nd|rd|th)\b"
SAID = re.compile(rf"(minus )?(?:{ORDINAL}|(\d+)((?: point(?: \d)+)?))")
HALVES = {"half": 2, "halves": 2, "third": 3, "thirds": 3, "quarter": 4, "quarters": 4}
NOT_FOR_THE_EAR = re.compile(r" \(21 CFR 101\.\d+(?:\([a-z0-9]+\))*\)")
"""The one kind of citation that stands in a reply's words."""


def written(text: str) -> list[float]:
    """The numbers of a text as they stand in it, found without the program's help."""
    found: list[float] = []
    for one in re.finditer(
        r"((?<![\w)])-)?(\d+(?:,\d{3})*(?:\.\d+)?)", re.sub(r"\bm[23]\b", "", NOT_FOR_THE_EAR.sub("", text))
    ):
        sign, digits = one.groups()
        if digits.startswith("0") and digits.isdigit() and len(digits) > 1:
            found += [float(each) for each in digits]  # a code, told digit by digit
        else:
            found.append(float(digits.replace(",", "")) * (-1 if sign else 1))
    return found


def heard(said: str) -> list[float]:
    """The numbers an ear takes from what was said."""
    found = []
    if " equals " in said:  # a minus between two amounts of a sum is no sign
        said = re.sub(r"(?<!equals)(?<!times)(?<!plus)(?<!minus)(?<!by)(?<!open bracket) minus ", " less ", said)
    for minus, nth, whole, rest in SAID.findall(said):
        digits = nth or whole + ("." + "".join(re.findall(r"\d", rest)) if rest else "")
        found.append(float(digits) * (-1 if minus else 1))
    return found


def all_replies() -> list[Reply]:
    """Every reply of every scenario."""
    found: list[Reply] = []
    known = everything()
    for scenario in known.values():
        with session(scenario) as talk:
            for turn, own in turns(scenario, known):
                replies = talk.say(turn.say)[1]
                found += replies if own else ()
    return found


REPLIES = {(one.kind, one.text): one for one in all_replies()}


def test_every_number_is_said_with_its_value() -> None:
    """In all replies of all scenarios each number that is meant for the ear is said, in order, with the same value."""
    assert [one.text for one in REPLIES.values() if written(one.text) != heard(words(one.text))] == []
    assert sum(len(written(one.text)) for one in REPLIES.values()) > 5000


def test_nothing_is_left_that_a_program_reads_as_it_likes() -> None:
    """No sign but stops and apostrophes, no decimal point or comma in a number, no symbol of a unit, on one line."""
    symbols = {one for one in SYMBOL.values() if one not in ("%", "in")} - {"N", "h", "m", "t", "C", "F"}
    symbols = {one for one in symbols if len(one) < 6}
    for one in REPLIES.values():
        said = words(one.text)
        assert re.findall(r"[^\w .,;:!?'-]|_|\d[.,]\d|\n", said) == [], said
        assert symbols & set(re.findall(r"(?<!-)\b[\w/]+\b", said)) == set(), said
        assert re.findall(r"\d (?:C|F|N|h|m|t)\b", said) == [], said


@given(st.floats(1e-6, 1e7), st.sampled_from(sorted(SYMBOL)))
def test_any_value_in_any_unit(value: float, unit: str) -> None:
    """Whatever the size, the number that is heard is the number on the screen, and its unit is a word."""
    shown = number(value)
    said = words(f"Now {shown} {SYMBOL[unit]}.")
    assert heard(said) == [float(shown)]
    assert re.fullmatch(r"Now [\d ]+(point [\d ]+)?(?P<unit>[A-Za-z ]{4,})\.", said), said


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("157.9 g", "157 point 9 grams"),
        ("1 kg, 1 L, 1.0 kg", "1 kilogram, 1 liter, 1 point 0 kilograms"),
        ("1.5 is never 15", "1 point 5 is never 15"),
        ("0.05 off", "0 point 0 5 off"),
        ("20,000 SHU and 1,234,567 SHU", "20000 Scoville units and 1234567 Scoville units"),
        ("2,5 l", "2 point 5 liters"),
        ("2.5%", "2 point 5 percent"),
        ("2-3%, 5-7 days, 0.1-0.2", "2 to 3 percent, 5 to 7 days, 0 point 1 to 0 point 2"),
        ("-15 mV", "minus 15 millivolts"),
        ("-5 to -3 C", "minus 5 to minus 3 degrees Celsius"),
        ("180 F, 25\u00b0C", "180 degrees Fahrenheit, 25 degrees Celsius"),
        ("pH 4.10", "pH 4 point 1 0"),
        ("bleach 1:64", "bleach 1 to 64"),
        ("4 lb 6 oz (1.98 kg)", "4 pounds 6 ounces, that is 1 point 9 8 kilograms"),
        ("50 g/L, 16 mg/kg, 5 g/100 mL", "50 grams per liter, 16 milligrams per kilogram, 5 grams per 100 milliliters"),
        ("10 ppm", "10 parts per million"),
        ("~3 kg, <= 4 L, >= 5 C", "about 3 kilograms, at most 4 liters, at least 5 degrees Celsius"),
        ("0.1 \u00b1 0.05 g", "0 point 1 plus or minus 0 point 0 5 grams"),
        ("1/2 cup, 2 1/2 lb, 3/4 tsp", "1 half cup, 2 and 1 half pounds, 3 quarters teaspoon"),
        ("\u00bd cup, 1\u00bd cups", "1 half cup, 1 and 1 half cups"),
        ("26 x 150 mL, 12x150 ml", "26 times 150 milliliters, 12 times 150 milliliters"),
        ("3 March 2026", "the 3rd of March 2026"),
        ("Friday 21 August", "Friday the 21st of August"),
        ("on 2026-11-12", "on the 12th of November 2026"),
        ('Is "03/02/2026" it?', "Is 0 3 slash 0 2 slash 2026 it?"),
        ("Lot: B1-2026-082:", "Lot: B 1, 2026, 0 8 2:"),
        ("in the 5 L jar, 150 ml bottles", "in the 5 liter jar, 150 milliliter bottles"),
        ("0.5 in below, 9.9 in the jar", "0 point 5 inches below, 9 point 9 in the jar"),
        ("a 5-log kill", "a 5 log kill"),
        ("55 62 68", "55, 62, 68"),
        ("in mL or fl oz?", "in milliliters or fluid ounces?"),
        ("Is that in C or in F?", "Is that in Celsius or in Fahrenheit?"),
        ("F(160 F) 1.2 min", "F at 160 degrees Fahrenheit, 1 point 2 minutes"),
        ("salt 2.91% (21 CFR 101.4(a)(1)).", "salt 2 point 9 1 percent."),
        ("Time is up, 10:00 ago: stir.", "Time is up, 10 minutes ago: stir."),
        ("1:02:01 ago", "1 hour 2 minutes 1 second ago"),
        ("Dose = 4 g + (3.6 - 3.5) / (3.6 - 3.48) = 5 g.",
         "Dose equals 4 grams plus open bracket 3 point 6 minus 3 point 5 close bracket divided by"
         " open bracket 3 point 6 minus 3 point 4 8 close bracket equals 5 grams."),
        ("3 - 4 days", "3 dash 4 days"),
        ("a/b (or both)", "a or b, or both"),
        ("1.2.3", "1 point 2 point 3"),
    ],
)  # fmt: skip
def test_worded(text: str, said: str) -> None:
    """Units, signs, ranges, fractions, ratios, dates, codes and sums as a person reads them aloud."""
    assert words(text) == said


@given(st.text())
def test_whatever_was_typed_stays_words(text: str) -> None:
    """Nothing that came from a keyboard reaches the program as an order: no brackets, no option, one line."""
    said = words(text)
    assert re.findall(r"[\[\]<>{}|\\`$\"\n\r\0]", said) == []
    assert not said.startswith("-")


STOP = Caution("Bin it.", rule="a", severity="stop", source="Somebody 1999")
WARN = Caution("Wear gloves.", rule="b", severity="caution")


def test_a_stop_is_said_first_and_once() -> None:
    """The ear hears the stop before the number, though the screen has it at the end."""
    replies = (Answer("Salt 5 g."), Assume("A jar."), Assume("88% water."), WARN, STOP)
    assert aloud(replies) == "Stop. Bin it. Salt 5 grams. Assumed: A jar. 88 percent water. Caution. Wear gloves."


def test_all_kinds_are_said_and_no_source() -> None:
    """Every kind of reply is said; where a number or a caution comes from is not."""
    replies: tuple[Reply, ...] = (
        Ask("How much?"), Refuse("Too much.", source="S"), Why("a = b.", source="[S]"), NotRead("What?"), Note("N."),
        Log("Noted."), Done("Goodbye."),
    )  # fmt: skip
    assert aloud(replies) == "How much? No. Too much. a equals b. What? N. Noted. Goodbye."
    assert aloud(()) == ""


def test_every_stop_of_the_scenarios_comes_first() -> None:
    """Whatever is said beside it."""
    stops = [one for one in REPLIES.values() if isinstance(one, Caution) and one.severity == "stop"]
    assert len(stops) > 10
    for one in stops:
        assert aloud((Answer("Salt 5 g."), WARN, one)).startswith(f"Stop. {words(one.text)} Salt 5 grams.")
