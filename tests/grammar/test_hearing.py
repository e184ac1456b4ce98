"""Sound-alikes, torn words and joined words, put right before the grammar reads them."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from grammar.hearing import known, mend
from grammar.reader import read
from grammar.tokens import tokens
from grammar.types import Misread, Reading
from grammar.vocabulary import vocabulary

WHOLE = sorted(
    key[0]
    for key, entry in vocabulary().entries.items()
    if len(key) == 1
    and entry.kind in ("produce", "vessel")
    and key[0].isalpha()
    and key[0].isascii()
    and len(key[0]) > 5
)


def mended(text: str) -> tuple[str, list[tuple[str, str, bool]]]:
    """The words after mending, and each repair as said, read, sure."""
    found, repairs = mend(tokens(text))
    return " ".join(one.norm for one in found), [(one.said, one.read, one.sure) for one in repairs]


def amounts(text: str) -> list[tuple[float, str]]:
    """The amounts of a line that is read."""
    found = read(text)
    assert isinstance(found, Reading), found
    return [(one.value, one.unit) for one in found.amounts]


@pytest.mark.parametrize(
    ("line", "value", "unit"),
    [
        ("for kilos of peppers", 4.0, "kilogram"),
        ("mash at too percent", 2.0, "percent"),
        ("won litre of water", 1.0, "liter"),
        ("ate hundred grams of salt", 800.0, "gram"),
        ("brine at tree percent", 3.0, "percent"),
        ("salt for to pounds of peppers", 2.0, "pound"),
        ("sicks quarts of water", 6.0, "quart"),
        ("too and a half percent brine", 2.5, "percent"),
        ("for and a half kilos of cabbage", 4.5, "kilogram"),
        ("won point five kilos of peppers", 1.5, "kilogram"),
        ("three point too kilos of peppers", 3.2, "kilogram"),
        ("twenty won grams of salt", 21.0, "gram"),
        ("mash of for pounds for ounces", 4.25, "pound"),
    ],
)
def test_sound_alikes_before_a_unit(line: str, value: float, unit: str) -> None:
    """Where nothing but a number can stand, the sound-alike is that number, and it is said."""
    assert (value, unit) in amounts(line)
    found = read(line)
    assert isinstance(found, Reading)
    assert found.repaired
    assert all(one.sure for one in found.repaired)


@pytest.mark.parametrize(
    "line",
    [
        "3 kg to pounds",
        "salt for the peppers",
        "convert that to grams",
        "it is too salty",
        "a brine for pickling",
        "we won the fair with 3 kg of peppers",
        "brine for 3 kg",
        "give it to me in grams",
    ],
)
def test_the_word_itself(line: str) -> None:
    """Where the word means itself, nothing is put right."""
    assert mended(line)[1] == []


@pytest.mark.parametrize(
    "line",
    [
        "for hundred grams of honey",
        "salt for gallon jar",
        "mash of 4 kg at for point five percent",
        "it fermented for months",
        "make it to percent",
        "I want to percent on three kilos",
    ],
)
def test_doubtful_sound_alikes_are_not_sure(line: str) -> None:
    """Where the word may mean itself, the repair waits for a yes."""
    assert [sure for _, _, sure in mended(line)[1]] == [False]


@pytest.mark.parametrize("line", ["my child ate 20 grams of salt", "he ate kilos of them", "who ate pounds of it"])
def test_somebody_ate(line: str) -> None:
    """After someone, "ate" is what someone did, and a matter for a doctor."""
    found = read(line)
    assert isinstance(found, Misread)
    assert (found.why, found.term) == ("beyond", "medical")


@pytest.mark.parametrize(
    ("line", "after"),
    [
        ("3kgpeppers", "3 kg peppers"),
        ("2lwater", "2 l water"),
        ("tenlitre crock", "ten litre crock"),
        ("half-gallon jar", "half gallon jar"),
        ("90gsalt", "90 g salt"),
        ("halfa gallon", "half a gallon"),
        ("5 degreesC", "5 degrees c"),
    ],
)
def test_joined_words(line: str, after: str) -> None:
    """Words run together are the words; no letter is changed."""
    assert after == mended(line)[0]


@pytest.mark.parametrize("word", ["watermelon", "peppermint", "saltpetre", "potluck", "gherkinish", "kgb"])
def test_words_that_are_not_two(word: str) -> None:
    """A word that only begins like two known ones stays as it is."""
    assert word == mended(word)[0]


@given(word=st.sampled_from(WHOLE), cut=st.integers(2, 10))
def test_a_word_torn_in_two_is_whole_again(word: str, cut: int) -> None:
    """A produce or vessel word with a blank in it is read as the word, unless both halves are words."""
    cut = min(cut, len(word) - 2)
    left, right = word[:cut], word[cut:]
    text = f"{left} {right}"
    if known(left) and known(right):
        return
    after, repairs = mended(text)
    if vocabulary().find((left, right)) is None:
        assert word == after
        assert [(text, word, True)] == repairs


@given(st.text(max_size=60))
def test_spans_still_point_into_the_text(text: str) -> None:
    """Whatever is mended, every token lies in the text, in order, and no digit is lost."""
    found, repairs = mend(tokens(text))
    assert all(0 <= one.span[0] < one.span[1] <= len(text) for one in found)
    assert [one.span for one in found] == sorted(one.span for one in found)
    assert all(0 <= one.span[0] < one.span[1] <= len(text) for one in repairs)
    digits = [sign for one in tokens(text) for sign in one.norm if sign.isdecimal()]
    assert digits == [sign for one in found for sign in one.norm if sign.isdecimal()]
