"""Near misses: the distance against a slow one written apart, and the rules of repair."""

from __future__ import annotations

from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from grammar.spelling import distance, near

WORDS = st.text(alphabet="abcs", max_size=8)


def slow_distance(left: str, right: str) -> int:
    """Optimal string alignment by plain recursion on the ends of both words."""

    @cache
    def edits(i: int, j: int) -> int:
        if not i or not j:
            return i + j
        options = [edits(i - 1, j) + 1, edits(i, j - 1) + 1, edits(i - 1, j - 1) + (left[i - 1] != right[j - 1])]
        if i > 1 and j > 1 and left[i - 2 : i] == right[j - 2 : j][::-1]:
            options.append(edits(i - 2, j - 2) + 1)
        return min(options)

    return edits(len(left), len(right))


@settings(max_examples=400, deadline=None)
@given(WORDS, WORDS, st.integers(0, 4))
def test_distance_is_the_slow_one_up_to_the_limit(left: str, right: str, limit: int) -> None:
    """The distance is exact up to the limit, and one above the limit beyond it."""
    assert min(slow_distance(left, right), limit + 1) == distance(left, right, limit)


@settings(max_examples=200, deadline=None)
@given(WORDS, WORDS)
def test_distance_is_symmetric(left: str, right: str) -> None:
    """From left to right is as far as from right to left."""
    assert distance(left, right, 9) == distance(right, left, 9)


@pytest.mark.parametrize(
    ("left", "right", "apart"),
    [
        ("brine", "brine", 0),
        ("brine", "brin", 1),
        ("brin", "brine", 1),
        ("brine", "brane", 1),
        ("brine", "birne", 1),
        ("brine", "rbine", 1),
        ("brine", "irbne", 2),
        ("carrot", "carotr", 2),
        ("", "abc", 3),
    ],
)
def test_single_edits(left: str, right: str, apart: int) -> None:
    """Insert, drop, change and a swap of neighbours count one each."""
    assert apart == distance(left, right, 5)


@pytest.mark.parametrize("word", ["", "b", "br", "jra", "jr", "oli"])
def test_nothing_short_is_repaired(word: str) -> None:
    """A word under four letters is left alone, though a known one is one edit away."""
    assert near(word, ["bra", "jar", "oil", "brr", "jra"]) == []


@pytest.mark.parametrize("word", ["sal7", "br-ne", "o'il", "s alt"])
def test_only_letters_are_repaired(word: str) -> None:
    """A word with a digit, sign or blank is left alone."""
    assert near(word, ["salt", "brine", "oil"]) == []


@pytest.mark.parametrize("known", ["xalt", "malt", "halt"])
def test_first_letter_must_be_right(known: str) -> None:
    """A word one change away in the first letter is another word."""
    assert near("salt", [known]) == []


@pytest.mark.parametrize(("word", "known"), [("aslt", "salt"), ("rbine", "brine"), ("agrlic", "garlic")])
def test_first_two_letters_may_be_swapped(word: str, known: str) -> None:
    """The first letter counts as right where it was swapped with the second."""
    assert [known] == near(word, [known])


@pytest.mark.parametrize(
    ("word", "known", "found"),
    [
        ("peppre", "pepper", True),
        ("peprpe", "pepper", False),
        ("pepprre", "peppers", False),
        ("cabagge", "cabbage", False),
        ("cucumbre", "cucumber", True),
        ("cucunbre", "cucumber", True),
        ("kucumber", "cucumber", False),
        ("cuconbre", "cucumber", False),
    ],
)
def test_edits_allowed_grow_with_the_word(word: str, known: str, found: bool) -> None:
    """One edit up to seven letters, two above, never three."""
    assert ([known] if found else []) == near(word, [known])


def test_ties_come_together() -> None:
    """All known words at the same smallest distance are given, sorted and once each."""
    assert near("beax", ["beat", "bean", "been", "bean", "carrot"]) == ["bean", "beat"]


def test_the_nearest_wins() -> None:
    """A word one edit away pushes out those two edits away, in either order."""
    known = ["fermented", "fermenter"]
    assert (near("fermentre", known), near("fermentre", known[::-1])) == (["fermenter"], ["fermenter"])


def test_short_known_words_are_no_target() -> None:
    """A known word under three letters is never the repair."""
    assert near("lbss", ["lb", "lbs"]) == ["lbs"]


@settings(max_examples=200, deadline=None)
@given(st.text(alphabet="abcdes", min_size=4, max_size=9), st.lists(st.text(alphabet="abcdes", min_size=3), max_size=6))
def test_near_gives_the_minimum(word: str, known: list[str]) -> None:
    """What is near is exactly the known words at the least distance allowed."""
    limit = 1 if len(word) <= 7 else 2
    apart = {one: slow_distance(word, one) for one in known if one[0] in word[:2]}
    least = min((value for value in apart.values() if value <= limit), default=None)
    assert sorted({one for one, value in apart.items() if value == least}) == near(word, known)
