"""Text to tokens: where each stands, and what stays in one piece."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from grammar.tokens import flatten, tokens


def kinds(text: str) -> list[tuple[str, str]]:
    """Kind and look-up form of every token."""
    return [(token.kind, token.norm) for token in tokens(text)]


@settings(max_examples=200, deadline=None)
@given(st.text(max_size=60))
def test_spans_cover_the_text(text: str) -> None:
    """Every visible character is in exactly one token, whose text is the slice of its span."""
    found = tokens(text)
    places = [place for token in found for place in range(*token.span)]
    assert sorted(set(places)) == places
    assert [text[slice(*token.span)] for token in found] == [token.text for token in found]
    outside = {text[place] for place in range(len(text))} - {text[place] for place in places}
    uncovered = [text[place] for place in sorted(set(range(len(text))) - set(places)) if not text[place].isspace()]
    assert ([], set()) == (uncovered, {c for c in outside if not c.isspace()})


@settings(max_examples=200, deadline=None)
@given(st.text(max_size=60))
def test_flatten_keeps_the_length(text: str) -> None:
    """Plain quotes, dashes and blanks take the place of the fancy ones, one for one."""
    assert len(text) == len(flatten(text))


@pytest.mark.parametrize(
    ("fancy", "plain"),
    [("’", "'"), ("‘", "'"), ("“", '"'), ("”", '"'), ("–", "-"), ("—", "-"), ("−", "-"), ("º", "°"), ("\u00a0", " ")],
)
def test_flatten(fancy: str, plain: str) -> None:
    """Each typographic sign becomes the one on the keyboard."""
    assert f"a{plain}b" == flatten(f"a{fancy}b")


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("it's", ["it", "'s"]),
        ("it’s", ["it", "'s"]),
        ("we're", ["we", "'re"]),
        ("I've", ["i", "'ve"]),
        ("they'll", ["they", "'ll"]),
        ("she'd", ["she", "'d"]),
        ("I'm", ["i", "'m"]),
        ("don't", ["don't"]),
        ("isn't", ["isn't"]),
        ("WHAT'S", ["what", "'s"]),
        ("dry-salted", ["dry-salted"]),
        ("twenty-five", ["twenty-five"]),
    ],
)
def test_contractions(text: str, expected: list[str]) -> None:
    """Endings like 's come off; "n't" and hyphened words stay whole."""
    assert expected == [token.norm for token in tokens(text)]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("%", [("sign", "%")]),
        ("3%", [("number", "3"), ("sign", "%")]),
        ("@2", [("sign", "@"), ("number", "2")]),
        ("&", [("sign", "&")]),
        ("+", [("sign", "+")]),
        ("=", [("sign", "=")]),
        ("#", [("sign", "#")]),
        ("×", [("sign", "×")]),
        ("?", [("sign", "?")]),
        ("->", [("sign", "->")]),
        ('5"', [("number", "5"), ("sign", '"')]),
        ("-", [("dash", "-")]),
        ("–3", [("dash", "-"), ("number", "3")]),
        (",", [("sep", ",")]),
        (";", [("sep", ";")]),
        ("\n", [("sep", "\n")]),
        ("\r\n", [("sep", "\n")]),
        ("(", [("sep", "(")]),
        ("€", [("junk", "€")]),
        ("~", [("junk", "~")]),
    ],
)
def test_signs(text: str, expected: list[tuple[str, str]]) -> None:
    """Signs, dashes, separators and the rest are told apart."""
    assert expected == kinds(text)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("g/l", ["g/l"]),
        ("kg/m3", ["kg/m3"]),
        ("oz/gal", ["oz/gal"]),
        ("mg/L", ["mg/l"]),
        ("g/litre", ["g/litre"]),
        ("w/w", ["w/w"]),
        ("s.g.", ["s.g."]),
        ("cm3", ["cm3"]),
        ("H2O", ["h2o"]),
        ("°C", ["°c"]),
        ("ºF", ["°f"]),
        ("40°sal", ["40", "°sal"]),
        ("3kg", ["3", "kg"]),
        ("20°C", ["20", "°c"]),
        ("1L", ["1", "l"]),
    ],
)
def test_units_with_signs_stay_whole(text: str, expected: list[str]) -> None:
    """A unit written with a stroke, degree sign or digit is one token; digits come off before it."""
    assert expected == [token.norm for token in tokens(text)]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("1,500", ["1,500"]),
        ("1,500,", ["1,500", ","]),
        ("2.5.", ["2.5", "."]),
        ("3, 4", ["3", ",", "4"]),
        ("2 1/4", ["2 1/4"]),
        ("2½", ["2½"]),
        ("7-8", ["7", "-", "8"]),
        ("1 500", ["1", "500"]),
        (".5", [".5"]),
        ("1'000'000", ["1'000'000"]),
    ],
)
def test_numbers_are_one_token(text: str, expected: list[str]) -> None:
    """A number with its marks is one token; a full stop or comma that ends a phrase is not in it."""
    assert expected == [token.norm for token in tokens(text)]


@pytest.mark.parametrize("blank", [" ", "\t", "\r", "\u00a0", "\u202f", "\u2003", "\x0b", "\x0c", "\x1f"])
def test_blanks_are_left_out(blank: str) -> None:
    """Any blank parts two words and is no token."""
    assert kinds(f"salt{blank}water") == [("word", "salt"), ("word", "water")]


@pytest.mark.parametrize("sign", ["\x00", "\x07", "\x1b", "\x7f", "\u200b"])
def test_control_characters_are_junk(sign: str) -> None:
    """A control character is a token of its own and does not glue the words beside it."""
    assert [("word", "salt"), ("junk", sign), ("word", "water")] == kinds(f"salt{sign}water")


def test_renamed_keeps_the_place() -> None:
    """A repaired token stands where the misspelt one stood."""
    token = tokens("some slat")[1]
    again = token.renamed("salt")
    assert (again.norm, again.text, again.span, again.kind) == ("salt", "slat", (5, 9), "word")
