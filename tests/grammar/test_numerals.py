"""Numbers as they are written and said: the value, its rivals, and where the number ends."""

from __future__ import annotations

import math

import pytest

from grammar.numerals import Numeral, numeral, part, tail
from grammar.tokens import tokens


def number_at_start(text: str) -> Numeral:
    """The number a text starts with; it must have one."""
    found = numeral(tokens(text), 0)
    assert found is not None, text
    return found


def covered(text: str) -> str:
    """The part of the text that the number at its start takes up."""
    toks = tokens(text)
    found = number_at_start(text)
    return text[toks[found.start].span[0] : toks[found.end - 1].span[1]]


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("7", 7.0),
        ("0", 0.0),
        ("007", 7.0),
        ("48", 48.0),
        ("2.5", 2.5),
        ("2,5", 2.5),
        ("1,50", 1.5),
        ("3.25", 3.25),
        (".75", 0.75),
        ("0.5", 0.5),
        ("0,125", 0.125),
        ("0.125", 0.125),
        ("0,500", 0.5),
        ("12.0625", 12.0625),
        ("12,0625", 12.0625),
        ("1,500.5", 1500.5),
        ("1.500,25", 1500.25),
        ("1'500", 1500.0),
        ("1'500'000", 1_500_000.0),
        ("1,234,567", 1_234_567.0),
        ("1.234.567", 1_234_567.0),
        ("2500", 2500.0),
    ],
)
def test_digits_have_one_value(text: str, value: float) -> None:
    """Digits with a point, a comma or clear thousands mean one number and no other."""
    found = number_at_start(text)
    assert (value, (), False, text) == (found.value, found.rivals, found.unclear, covered(text))


@pytest.mark.parametrize(
    ("text", "value", "rival"),
    [
        ("1,500", 1500.0, 1.5),
        ("12,750", 12750.0, 12.75),
        ("10,000", 10000.0, 10.0),
        ("999,125", 999125.0, 999.125),
        ("1.500", 1.5, 1500.0),
        ("1.250", 1.25, 1250.0),
        ("30.000", 30.0, 30000.0),
        ("1 500", 1500.0, 500.0),
        ("3 500", 3500.0, 500.0),
        ("12 250", 12250.0, 250.0),
    ],
)
def test_three_digits_after_a_mark_have_a_rival(text: str, value: float, rival: float) -> None:
    """Three digits after one comma, point or blank keep both readings."""
    found = number_at_start(text)
    assert (value, (rival,), False, text) == (found.value, found.rivals, found.unclear, covered(text))


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("1/2", 0.5),
        ("3/4", 0.75),
        ("10/4", 2.5),
        ("1 / 8", 0.125),
        ("2 1/4", 2.25),
        ("2 1 / 4", 2.25),
        ("2  1/4", 2.25),
        ("2\u00a01/4", 2.25),
        ("2\u20031/4", 2.25),
        ("2\u30001/4", 2.25),
        ("½", 0.5),
        ("¼", 0.25),
        ("⅛", 0.125),
        ("⅝", 0.625),
        ("2½", 2.5),
        ("2 ½", 2.5),
        ("2  ½", 2.5),
        ("3¾", 3.75),
    ],
)
def test_written_fractions(text: str, value: float) -> None:
    """A fraction by stroke or glyph is its quotient, with the whole part before it, whatever the blank."""
    found = number_at_start(text)
    assert (value, (), False, text) == (found.value, found.rivals, found.unclear, covered(text))


@pytest.mark.parametrize("glyph", list("½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞"))
def test_every_glyph_adds_to_a_whole(glyph: str) -> None:
    """Each fraction glyph after a 4 gives a number between 4 and 5 that is larger by the glyph's own value."""
    alone = number_at_start(glyph).value
    assert 0 < alone < 1
    assert 4 + alone == number_at_start(f"4{glyph}").value


@pytest.mark.parametrize("text", ["1/0", "0/0", "3/00", "2 1/0"])
def test_nothing_is_divided_by_nought(text: str) -> None:
    """A fraction over nought is no value, and is marked unclear."""
    found = number_at_start(text)
    assert (found.unclear, math.isnan(found.value)) == (True, True)


UNITS = (
    *("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine"),
    *("ten", "eleven", "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen"),
)
TENS = {"twenty": 20, "thirty": 30, "forty": 40, "fifty": 50, "sixty": 60, "seventy": 70, "eighty": 80, "ninety": 90}


@pytest.mark.parametrize(("value", "word"), list(enumerate(UNITS)))
def test_small_words(value: int, word: str) -> None:
    """Each word from zero to nineteen is its number."""
    assert float(value) == number_at_start(word).value


@pytest.mark.parametrize(("word", "value"), TENS.items())
@pytest.mark.parametrize("joint", [" ", "-"])
def test_tens_with_units(word: str, value: int, joint: str) -> None:
    """Tens with one to nine, by blank or hyphen, add up."""
    said = [number_at_start(f"{word}{joint}{UNITS[digit]}").value for digit in range(1, 10)]
    assert [float(value + digit) for digit in range(1, 10)] == said


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("a hundred", 100.0),
        ("one hundred", 100.0),
        ("one hundred and five", 105.0),
        ("two hundred and fifty", 250.0),
        ("three hundred twenty five", 325.0),
        ("six hundred and seventy-five", 675.0),
        ("twelve hundred", 1200.0),
        ("a thousand", 1000.0),
        ("ten thousand", 10000.0),
        ("two thousand five hundred", 2500.0),
        ("one thousand two hundred and fifty", 1250.0),
        ("two hundred thousand", 200000.0),
        ("2 hundred", 200.0),
        ("5 thousand", 5000.0),
        ("1.5 thousand", 1500.0),
        ("a dozen", 12.0),
        ("two dozen", 24.0),
        ("3 dozen", 36.0),
        ("half a dozen", 6.0),
        ("a couple", 2.0),
        ("a couple of", 2.0),
    ],
)
def test_spoken_wholes(text: str, value: float) -> None:
    """Hundreds, thousands, dozens and couples multiply what is said before them."""
    found = number_at_start(text)
    assert (value, False, text) == (found.value, found.unclear, covered(text))


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("two point five", 2.5),
        ("one point two five", 1.25),
        ("three point oh five", 3.05),
        ("four point o two", 4.02),
        ("zero point five", 0.5),
        ("ten point nought five", 10.05),
        ("two point 5", 2.5),
        ("2 point 5", 2.5),
        ("2 point oh 5", 2.05),
        ("twenty two point seven", 22.7),
        ("nought point five", 0.5),
        ("point five", 0.5),
    ],
)
def test_spoken_decimals(text: str, value: float) -> None:
    """Digits said after "point" are decimals, "oh" among them."""
    found = numeral(tokens(text), 0)
    assert (value, len(tokens(text))) == ((found.value, found.end) if found else None)


@pytest.mark.parametrize("text", ["1.5 point 5", "½ point 5"])
def test_a_point_after_a_fraction_is_not_rounded_away(text: str) -> None:
    """A number that already has decimals takes no second point: it is unclear, or ends before it."""
    found = number_at_start(text)
    assert found.unclear or found.end == 1, found


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("half", 0.5),
        ("a half", 0.5),
        ("quarter", 0.25),
        ("a quarter", 0.25),
        ("one third", 1 / 3),
        ("two thirds", 2 / 3),
        ("three quarters", 0.75),
        ("four fifths", 0.8),
        ("seven eighths", 0.875),
        ("three tenths", 0.3),
        ("one and a half", 1.5),
        ("two and three quarters", 2.75),
        ("two and a quarter", 2.25),
        ("2 and a half", 2.5),
        ("one-half", 0.5),
        ("two-thirds", 2 / 3),
        ("three-quarters", 0.75),
    ],
)
def test_spoken_fractions(text: str, value: float) -> None:
    """Halves, thirds and quarters are read alone, counted, hyphened, and after a whole."""
    found = numeral(tokens(text), 0)
    assert (value, len(tokens(text))) == ((found.value, found.end) if found else None)


@pytest.mark.parametrize(
    ("text", "taken"),
    [
        ("7 kg", "7"),
        ("2 1/4 cups", "2 1/4"),
        ("two and salt", "two"),
        ("one hundred and salt", "one hundred"),
        ("three quarters of a pound", "three quarters"),
        ("fifteen hundred grams", "fifteen hundred"),
        ("five, six", "five"),
        ("2 point of", "2"),
        ("twenty-five kg", "twenty-five"),
    ],
)
def test_a_number_ends_where_it_ends(text: str, taken: str) -> None:
    """The number takes its own words and leaves the next ones."""
    assert taken == covered(text)


@pytest.mark.parametrize(
    "text",
    [
        "three five",
        "two fifty",
        "five six seven",
        "2 3",
        "2.5 3",
        "12 34",
        "1000 500",
        "twenty thirty",
        "twenty ten",
        "fifteen five",
        "five twenty",
        "½ 3",
        "1½½",
        "1.2.3",
        "1,2,3",
        "1/2/3",
        "twenty-ten",
        "one and a half thousand",
    ],
)
def test_two_numbers_side_by_side_are_unclear(text: str) -> None:
    """Numbers that no rule joins are marked so that the caller asks."""
    found = numeral(tokens(text), 0)
    assert found is None or found.unclear, found


@pytest.mark.parametrize("text", ["salt", "of", "a kg", "and", "point", "several", "oh", "%", "-", "third"])
def test_what_is_no_number(text: str) -> None:
    """Words that carry no count start no number."""
    assert numeral(tokens(text), 0) is None


def test_a_number_is_found_in_the_middle() -> None:
    """A number is read from the token asked for, and the bounds are token places."""
    toks = tokens("brine two and a half litres")
    assert Numeral(2.5, 1, 5) == numeral(toks, 1)


def test_part_and_tail() -> None:
    """A part is a bare fraction; a tail needs its "and"."""
    toks = tokens("and three quarters")
    assert (tail(toks, 0), part(toks, 1), tail(toks, 1)) == ((0.75, 3), (0.75, 3), None)


@pytest.mark.parametrize("text", ["9" * 400 + " point five", "9" * 400, "1/" + "9" * 400])
def test_huge_digits_do_not_raise(text: str) -> None:
    """A number too long for a float is unclear and raises nothing."""
    found = number_at_start(text)
    assert found.unclear, found.value
