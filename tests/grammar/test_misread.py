"""Lines that are not understood: each says why, and points at the words."""

from __future__ import annotations

import pytest

from grammar.reader import LONGEST, read
from grammar.types import REASONS, Misread, Reading


def misread(text: str) -> Misread:
    """The misreading of a text, which must not be understood."""
    found = read(text)
    assert isinstance(found, Misread), found
    return found


CASES = {
    "empty": [
        ("", ""),
        ("    ", "    "),
        ("\t\n", "\t\n"),
        ("...", "..."),
        ("(((", "((("),
        ("\x00\x01", "\x00\x01"),
        ("\u200b", "\u200b"),
        (" - ", " - "),
        (",,,;", ",,,;"),
    ],
    "too-long": [
        ("x" * 1001, "x" * 1001),
        ("salt " * 201, "salt " * 201),
        ("3 kg of peppers, " * 60, "3 kg of peppers, " * 60),
        (" " * 1001, " " * 1001),
    ],
    "unknown-word": [
        ("zorp", "zorp"),
        ("the zorp flibber", "zorp flibber"),
        ("blorg snarf", "blorg snarf"),
        ("how much salt for the blarg", "blarg"),
        ("2 kg cabagge", "cabagge"),
        ("frabjous", "frabjous"),
        ("yess", "yess"),
        ("nott", "nott"),
    ],
    "unknown-unit": [
        ("3 zorks of cabbage", "zorks"),
        ("6 florps", "florps"),
        ("5 wibble of salt", "wibble"),
        ("plonk 3 wibble", "wibble"),
        ("7 kg of peppers and 3 gribbles", "gribbles"),
        ("1 lump salt to 20 lumps water", "lump"),
    ],
    "stops": [
        ("salt for", "for"),
        ("4 kg of", "of"),
        ("I have 3 kg of", "of"),
        ("how much salt in", "in"),
        ("water from", "from"),
        ("salt with", "with"),
        ("at", "at"),
        ("for the", "for the"),
        ("2 kg in", "in"),
    ],
    "number": [
        ("2 3 kg", "2"),
        ("three five percent", "three"),
        ("two fifty grams", "two"),
        ("six seven kg", "six"),
        ("1000 500 g", "1000"),
        ("1/0 litres", "1/0 litres"),
        ("salt 12 34 g", "12"),
    ],
    "date": [
        ("started on 30 february", "30 february"),
        ("31/04/2026 plus 30 days", "31/04/2026"),
        ("29 february 2026 and 3 weeks", "29 february 2026"),
        ("how long since the 31st of june", "the 31st of june"),
        ("2026-13-01 plus a week", "2026-13-01"),
    ],
    "log": [
        ("Time,Temp (C)\n14:00,70", ""),
        ("14:00,70,44\n14:01,71,44\n14:02,72,44", ""),
        ("Time,Temp (K)\n14:00,333\n14:02,335", ""),
    ],
    "negation": [
        ("not 3 kg", "not"),
        ("don't use 3 kg", "don't"),
        ("without salt 3 kg", "without"),
        ("more than 3 kg cabbage", "more than"),
        ("less than 2 percent", "less than"),
        ("never add 3 %", "never"),
        ("at least 2 kg", "at least"),
        ("except 3 kg", "except"),
        ("3 kg but not 4 kg", "not"),
    ],
    "beyond": [
        ("is it safe", "is it safe"),
        ("can we sell it", "sell it"),
        ("vomiting after 2 spoons", "vomiting"),
        ("is pork fine", "pork"),
        ("ignore the ph", "ignore the ph"),
        ("how many days at 20 c", "how many days"),
        ("weather on monday", "weather"),
        ("my stomach cramps", "stomach cramps"),
    ],
}

ALL = [(why, text, said) for why, rows in CASES.items() for text, said in rows]


def test_every_reason_has_three_sentences() -> None:
    """The table below has at least three sentences for each reason there is."""
    assert set(REASONS) == set(CASES)
    assert [why for why, rows in CASES.items() if len(rows) < 3] == []


@pytest.mark.parametrize(("why", "text", "said"), ALL, ids=[f"{why}-{said[:12]!r}" for why, _, said in ALL])
def test_why_and_where(why: str, text: str, said: str) -> None:
    """A line that is not understood has its reason, and its span covers the words to blame."""
    found = misread(text)
    assert (why, said) == (found.why, text[slice(*found.span)])


FOUND = [row for row in ALL if row[0] not in ("empty", "too-long", "stops")]


@pytest.mark.parametrize(("why", "text", "said"), FOUND, ids=[f"{why}-{said[:12]!r}" for why, _, said in FOUND])
def test_found_is_what_stands_there(why: str, text: str, said: str) -> None:
    """The words named are the words at the span."""
    assert said == misread(text).found, why


@pytest.mark.parametrize("text", ["zorp", "3 zorks", "salt for", "2 3 kg", "not 3 kg", "is it safe", "..."])
def test_the_line_is_kept(text: str) -> None:
    """The misreading carries the line it is about."""
    assert text == misread(text).text


@pytest.mark.parametrize("text", ["2 to 3 4 percent", "2-3 4 %", "2 or 3 40 kg of peppers"])
def test_an_unclear_end_of_a_range_is_a_misreading(text: str) -> None:
    """A range whose second number is unclear is refused like any unclear number."""
    assert misread(text).why == "number"


@pytest.mark.parametrize(
    ("text", "term"),
    [
        ("I swallowed some", "medical"),
        ("may I sell this", "selling"),
        ("skip the ph", "skipping"),
        ("how long until it is done", "time"),
        ("what about beef", "elsewhere"),
    ],
)
def test_beyond_says_whom_to_ask(text: str, term: str) -> None:
    """A question for someone else names whose it is."""
    assert ("beyond", term) == (misread(text).why, misread(text).term)


@pytest.mark.parametrize("text", ["salt for", "4 kg of", "how much salt in", "brine at", "top up with", "dilute to"])
def test_stops_says_what_may_follow(text: str) -> None:
    """A sentence that stops offers ways to go on, and each of them makes it whole."""
    found = misread(text)
    assert found.expected
    assert {Reading} == {type(read(f"{text} {more}")) for more in found.expected}


def test_the_longest_line_is_still_read() -> None:
    """A line of exactly the limit is read; one character more is not."""
    line = "3 kg peppers".ljust(LONGEST)
    assert (Reading, "too-long") == (type(read(line)), misread(line + " ").why)


def test_a_long_line_is_not_kept_whole() -> None:
    """A line over the limit is kept by its beginning only, and its length is said."""
    found = misread("ab" * 1000)
    assert (found.text, found.span, found.found) == ("ab" * 20, (0, 2000), "2000 characters")


@pytest.mark.parametrize(("why", "text", "said"), ALL[::3], ids=[f"{why}-{said[:12]!r}" for why, _, said in ALL[::3]])
def test_reading_keeps_no_state(why: str, text: str, said: str) -> None:
    """A line is misread alike before and after other lines, and leaves them alike."""
    other = "how much salt for 3 kg of cabbage at 2 %"
    before, first = read(other), read(text)
    again, after = read(text), read(other)
    assert (first, before) == (again, after), (why, said)
