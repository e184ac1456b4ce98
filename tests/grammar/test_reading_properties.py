"""What holds for any line at all, and for any line made of the kitchen's words."""

from __future__ import annotations

import math
import re

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from grammar.numerals import NUMBER_WORDS
from grammar.reader import read
from grammar.types import REASONS, Amount, Misread, Reading, Word
from grammar.vocabulary import vocabulary

PHRASES = sorted(" ".join(key) for key in vocabulary().entries)
EVERYDAY = sorted(vocabulary().plain)
NUMBERS = st.one_of(
    st.integers(0, 5000).map(str),
    st.decimals(0, 99, places=2).map(str),
    st.sampled_from(["2,5", "1,500", "1.250", "2 1/4", "3/4", "½", "4½", ".5", "1 500", "-3", "0", "1/0", "1'500"]),
)
PIECES = st.one_of(
    st.sampled_from(PHRASES),
    st.sampled_from(PHRASES),
    st.sampled_from(EVERYDAY),
    st.sampled_from(sorted(NUMBER_WORDS)),
    NUMBERS,
    st.sampled_from([",", ".", "-", "?", "to", "of", "%", "and", "no", ";"]),
)
SHUFFLES = st.lists(PIECES, min_size=1, max_size=12).map(" ".join)

PLAIN = st.one_of(
    st.integers(1, 900).map(str),
    st.sampled_from(["2.5", "0.75", "3,5", "1,250", "1.500", "12.25", "1/2", "2 1/4", "1 200"]),
)
WEIGHTS = st.sampled_from(["g", "kg", "lb", "oz", "grams", "kilos", "pounds", "ounces", "kgs"])
VOLUMES = st.sampled_from(["L", "ml", "litres", "pints", "quarts", "gallons", "cups", "fl oz"])
PRODUCE = st.sampled_from(
    ["peppers", "cabbage", "carrots", "garlic", "green chillies", "bell peppers", "frozen onions"]
)
LIQUID = st.sampled_from(["water", "brine", "vinegar", "salt water"])
SALTS = st.sampled_from(["salt", "fine salt", "kosher salt", "sea salt"])
VESSELS = st.sampled_from(["crock", "jar", "bucket", "carboy", "glass jar"])
STRENGTHS = st.sampled_from(["%", "percent", "g/l", "grams per litre", "ppm"])
DEGREES = st.sampled_from(["C", "F", "degrees", "celsius", "°F"])
FIELDS = {
    "n": PLAIN,
    "m": PLAIN,
    "k": PLAIN,
    "w": WEIGHTS,
    "v": VOLUMES,
    "p": PRODUCE,
    "q": LIQUID,
    "s": SALTS,
    "c": VESSELS,
    "x": STRENGTHS,
    "d": DEGREES,
}
TEMPLATES = (
    "how much {s} for {n} {w} of {p} at {m} {x}",
    "{n} {w} {p}, {m} {v} {q}, {k} {w} {s}",
    "{p} {n} {w} {s} {m} {w}",
    "{s} {n} {w} {q} {m} {v}",
    "{n} {w} of {s} in {m} {v} of {q}",
    "what strength is {n} {w} {s} to {m} {v} {q}?",
    "does {n} {w} of {p} fit in a {m} {v} {c}",
    "a {n} {v} {c} with {m} {w} of {p} and {k} {x}",
    "dilute {n} {v} of {q} from {m} {x} to {k} {x}",
    "top up with {n} {v} of {m} {x} brine",
    "{n} {x}",
    "{n} to {m} {w} of {p}",
    "{n} or {m} {x}",
    "what about {n} {w}",
    "{n} {w} {p}, no, make it {m} {w}",
    "{n} {v} {q}, sorry, {m} {v}, and {k} {w} {s}",
    "brine at {n} {d} with {m} {w} {s}",
    "{n} {w} per {v} of {q}",
    "{n} {w} {m} {w} of {p}",
    "equilibrium for {n} {w} {p} in {m} {v} of {k} {x} brine",
    "mix {n} {v} of {m} {x} brine and {k} {v} {q}",
    "in a {n} {v} {c}",
    "{n}",
    "log ph {n}",
    "how many {n} {v} {c} for {m} {v} of mash",
    "{n} {w} flibber and {m} {w} of {p}",
    "{n} {k} {w} of {p}",
)


@st.composite
def sentences(draw: st.DrawFn) -> str:
    """A line made from a template with the kitchen's words and with numbers in digits."""
    template = draw(st.sampled_from(TEMPLATES))
    return re.sub(r"\{(\w)\}", lambda match: str(draw(FIELDS[match[1]])), template)


def is_sound(text: str, found: Reading | Misread) -> bool:
    """Whether spans lie in the text, reasons are known, and no unclear or endless number came through."""
    if isinstance(found, Misread):
        return found.why in REASONS and 0 <= found.span[0] <= found.span[1] <= len(text)
    every = [one for amount in found.amounts for one in (amount, *amount.rivals)]
    inside = all(0 <= one.span[0] < one.span[1] <= len(text) for one in every)
    words = all(text[slice(*word.span)] == word.text for word in found.words)
    return inside and words and all(math.isfinite(one.value) for one in every)


@settings(max_examples=400, deadline=None)
@given(st.text(max_size=80))
@example("9" * 400 + " point five")
@example("9" * 400 + " kg")
@example("\ud800 3 kg")
@example("BUFFERSEVEN")
@example("buffer   seven")
def test_any_text_is_read(text: str) -> None:
    """Whatever is typed becomes a Reading or a Misread with a known reason and a span in the text."""
    assert is_sound(text, read(text)), read(text)


@settings(max_examples=300, deadline=None)
@given(st.text(alphabet="0123456789.,'/ ½-\u2003\t%kgl", max_size=24))
@example("0-½0")
@example("2\u20031/4")
@example("2-3 4")
def test_any_digits_are_read(text: str) -> None:
    """No pile of digits, marks and blanks raises, and none leaves an unclear amount."""
    assert is_sound(text, read(text)), read(text)


@settings(max_examples=500, deadline=None)
@given(SHUFFLES)
@example("12 must be -3 40")
@example("1.5 point 5 percent")
def test_any_shuffle_of_words_is_read(text: str) -> None:
    """Words of the vocabulary and numbers in any order are read, and no unclear number is let through."""
    assert is_sound(text, read(text)), read(text)


@settings(max_examples=100, deadline=None)
@given(SHUFFLES)
def test_reading_twice_is_the_same(text: str) -> None:
    """The same line is read the same way again."""
    assert repr(read(text)) == repr(read(text))


def places(found: Reading) -> list[tuple[int, int]]:
    """The spans of all amounts, their rivals, the amounts taken back, and a row of temperatures."""
    row = found.course.spans if found.course is not None else ()
    return [*row, *(one.span for amount in (*found.amounts, *found.corrected) for one in (amount, *amount.rivals))]


def dropped(text: str) -> list[str]:
    """The digit runs that no amount and no misreading of the line covers."""
    found = read(text)
    if isinstance(found, Misread):
        return []
    runs = list(re.finditer(r"\d+", text))
    return [run[0] for run in runs if not any(a <= run.start() and run.end() <= b for a, b in places(found))]


@settings(max_examples=500, deadline=None)
@given(sentences())
def test_no_number_is_dropped(text: str) -> None:
    """Every run of digits is in an amount, a rival or a corrected amount, or the line is refused."""
    assert dropped(text) == []


WITH_DIGITS = re.compile(r"\d")


@settings(max_examples=300, deadline=None)
@given(st.lists(st.one_of(st.sampled_from([p for p in PHRASES if not WITH_DIGITS.search(p)]), PLAIN), max_size=9))
def test_no_number_is_dropped_in_a_shuffle(pieces: list[str]) -> None:
    """In any order of words and numbers no run of digits is lost without a word."""
    assert dropped(" ".join(pieces)) == []


def essence(found: Reading | Misread) -> tuple[object, ...]:
    """What of a reading must not depend on case or blanks."""
    if isinstance(found, Misread):
        return "misread", found.why

    def brief(one: Amount) -> tuple[object, ...]:
        noun: Word | None = one.noun
        rivals = tuple(sorted((repr(rival.value), rival.unit) for rival in one.rivals))
        return repr(one.value), one.unit, noun.term.lower() if noun else "", one.mark, one.tied, rivals

    corrected = tuple(repr(one.value) for one in found.corrected)
    return found.act, found.wanted, found.unit, tuple(brief(one) for one in found.amounts), corrected


@settings(max_examples=250, deadline=None)
@given(sentences())
def test_case_does_not_matter(text: str) -> None:
    """A line in capitals, small letters or with capital initials has the same reading."""
    assert {essence(read(text))} == {
        essence(read(text.upper())),
        essence(read(text.lower())),
        essence(read(text.title())),
    }


@pytest.mark.parametrize(
    "text",
    [
        "3 ounces a gallon",
        "8 oz by weight of water",
        "half a litre of brine",
        "a couple of kilos of cabbage",
        "two pounds seven of peppers",
        "thirty grams each litre",
        "minus 2 kg",
        "is it one kilo",
        "20 c",
        "don't use it",
    ],
)
def test_case_of_spoken_lines_does_not_matter(text: str) -> None:
    """Number words, articles and "by weight" count the same in capitals."""
    assert essence(read(text)) == essence(read(text.upper()))


@settings(max_examples=250, deadline=None)
@given(sentences(), st.sampled_from(["  ", "   ", "\t", " \t ", "\u00a0", "\u2003"]))
@example("2 1/4 cups of salt", "\u2003")
@example("2 ½ kg of peppers", "  ")
def test_blanks_do_not_matter(text: str, blank: str) -> None:
    """Doubled blanks, tabs and typographic blanks between words change nothing."""
    assert essence(read(text)) == essence(read(text.replace(" ", blank)))


@settings(max_examples=100, deadline=None)
@given(sentences())
def test_blanks_around_do_not_matter(text: str) -> None:
    """Blanks before and after the line change nothing."""
    assert essence(read(text)) == essence(read(f"  {text}  "))


@settings(max_examples=100, deadline=None)
@given(sentences(), st.sampled_from(["please", "hello", "thanks", "this afternoon"]))
def test_courtesy_does_not_matter(text: str, word: str) -> None:
    """A kind word before the line changes none of its amounts."""
    assert essence(read(text))[3:] == essence(read(f"{word}, {text}"))[3:]
