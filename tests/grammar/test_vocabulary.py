"""The vocabulary file: one meaning a word, units that exist, terminals that the grammar knows."""

from __future__ import annotations

import re
import tomllib
from importlib import resources

import pint
import pytest

from grammar.lexemes import TOLD
from grammar.measures import CANONICAL, KITCHENS, registry, settle
from grammar.numerals import NUMBER_WORDS
from grammar.vocabulary import COMMANDS, PLURAL, UNREPAIRED, Entry, plural, split, vocabulary

MADE = {"NUMBER", "TAIL", "JOIN", "SEP", "UNKNOWN", "UPTO", "COMMAND", "AND"}
"""Terminals that lexemes.py makes from a word's neighbours or from several kinds."""


def source(name: str) -> str:
    """The text of a file of the grammar."""
    return resources.files("grammar").joinpath(name).read_text(encoding="utf-8")


TABLES = tomllib.loads(source("vocabulary.toml"))
EVERYDAY = [line for line in source("everyday.txt").split("\n") if line and not line.startswith("#")]


def surfaces() -> list[tuple[str, str, str, str]]:
    """Kind, section, term and surface of every entry as it stands in the file."""
    rows = []
    for kind, terms in TABLES.items():
        for term, words in terms.items():
            if isinstance(words, dict):
                rows += [(kind, term, unit, word) for unit, found in words.items() for word in found]
            else:
                rows += [(kind, "", term, word) for word in words]
    return rows


ROWS = surfaces()


def declared() -> set[str]:
    """The terminals that kitchen.lark declares."""
    lines = re.findall(r"^%declare (.+)$", source("kitchen.lark"), re.MULTILINE)
    return {name for line in lines for name in line.split()}


def test_no_surface_word_in_two_kinds() -> None:
    """A surface expression stands for one kind and one term in the whole file."""
    meanings: dict[tuple[str, ...], set[tuple[str, str]]] = {}
    for kind, _, term, word in ROWS:
        meanings.setdefault(split(word), set()).add((kind, term))
    assert {key: found for key, found in meanings.items() if len(found) > 1} == {}


def test_no_plural_hides_another_word() -> None:
    """A plural that the reader makes is not the entry of another term."""
    listed = {split(word): (kind, term) for kind, _, term, word in ROWS}
    wrong = {}
    for kind, _, term, word in ROWS:
        key = split(word)
        if kind in PLURAL and (more := plural(key[-1])):
            found = listed.get((*key[:-1], more), (kind, term))
            if found != (kind, term):
                wrong[word] = found
    assert wrong == {}


def test_every_surface_is_looked_up() -> None:
    """Each surface expression of the file is found with its kind, term and dimension."""
    known = vocabulary()
    wrong = [
        (kind, term, word)
        for kind, section, term, word in ROWS
        if known.find(split(word)) != Entry(kind, term, section)
    ]
    assert wrong == []


def test_surfaces_are_lower_case_and_not_blank() -> None:
    """A surface expression is written lower-case and gives at least one token."""
    assert [word for _, _, _, word in ROWS if word != word.lower() or not split(word)] == []


def test_every_expression_is_looked_for_in_its_length() -> None:
    """The look-up tries as many words as the longest expression that begins so, and no more."""
    longest: dict[str, int] = {}
    for key in vocabulary().entries:
        longest[key[0]] = max(len(key), longest.get(key[0], 1))
    assert {word: many for word, many in longest.items() if many > 1} == vocabulary().reach
    assert {split(word) for _, _, _, word in ROWS} <= set(vocabulary().entries)


DIMENSIONS = (
    "mass", "volume", "length", "fraction", "density", "temperature", "time", "months", "potential", "slope",
)  # fmt: skip
UNITS = [(section, unit) for section in DIMENSIONS for unit in TABLES["unit"][section]]


@pytest.mark.parametrize("kitchen", KITCHENS)
@pytest.mark.parametrize(("section", "unit"), [pair for pair in UNITS if pair[1] != "degree"])
def test_units_measure_what_their_section_says(section: str, unit: str, kitchen: str) -> None:
    """Each unit of a section is defined in measures.txt with the section's dimension, in every kitchen."""
    units: pint.UnitRegistry = registry()
    assert units.Unit(CANONICAL[section]).dimensionality == units.Unit(settle(unit, kitchen)).dimensionality


@pytest.mark.parametrize("unit", sorted({unit for _, unit in UNITS if unit != "degree"}))
def test_units_are_spelt_out_in_the_definitions(unit: str) -> None:
    """A unit name is a line of measures.txt itself, not something pint makes of a prefix."""
    lines = {line.split(" = ")[0] for line in source("measures.txt").split("\n")}
    assert settle(unit, "us") in lines


def test_unit_sections_are_known() -> None:
    """There is no section of units but these, and the reader has a dimension for every unit."""
    assert {*DIMENSIONS, "salometer", "date", "normality", "part", "pungency"} == set(TABLES["unit"])
    expected = {unit: section for section, names in TABLES["unit"].items() for unit in names}
    expected |= {"date": "date", "day_of": "date"}  # read by dates.py and lexemes.py, not words
    assert expected == vocabulary().dimension


def test_every_terminal_has_a_source() -> None:
    """A terminal of the grammar is a kind of the vocabulary or one that the lexer makes."""
    kinds = {kind.upper() for kind in TABLES}
    assert set() == declared() - kinds - MADE


def test_every_kind_has_a_terminal() -> None:
    """A kind of the vocabulary is a terminal of the grammar, a command, the word that joins, or a filler that tells."""
    assert set(TOLD) == {kind for kind in TABLES if kind.upper() not in declared()} - COMMANDS


def test_kinds_named_in_code_exist() -> None:
    """The sets of kinds in vocabulary.py name kinds of the file."""
    assert set() == (PLURAL | UNREPAIRED | COMMANDS) - set(TABLES)


@pytest.mark.parametrize(
    ("word", "more"),
    [
        ("crock", "crocks"),
        ("box", "boxes"),
        ("pouch", "pouches"),
        ("radish", "radishes"),
        ("day", "days"),
        ("berry", "berries"),
        ("litre", "litres"),
        ("cup", "cups"),
        ("kg", None),
        ("g", None),
        ("%", None),
        ("lbs", None),
        ("°c", None),
    ],
)
def test_plural(word: str, more: str | None) -> None:
    """Words take the regular plural; short forms, signs and words on -s take none."""
    assert more == plural(word)


@pytest.mark.parametrize(
    ("words", "entry"),
    [
        ("litres", Entry("unit", "liter", "volume")),
        ("pounds", Entry("unit", "pound", "mass")),
        ("crocks", Entry("vessel", "crock")),
        ("tanks", Entry("vessel", "vessel")),
        ("pouches", Entry("vessel", "bag")),
        ("carrots", Entry("produce", "carrot")),
        ("radishes", Entry("produce", "radish")),
        ("us gallons", Entry("unit", "us_gallon", "volume")),
        ("us pints", Entry("unit", "us_pint", "volume")),
        ("fluid ounces", Entry("unit", "fluid_ounce", "volume")),
        ("imperial pints", Entry("unit", "imperial_pint", "volume")),
        ("weeks", Entry("unit", "week", "time")),
    ],
)
def test_plurals_are_found(words: str, entry: Entry) -> None:
    """Units, produce and vessels are found in the plural, expressions by their last word."""
    assert entry == vocabulary().find(split(words))


@pytest.mark.parametrize("words", ["salts", "ats", "whys", "salinitys"])
def test_other_kinds_have_no_plural(words: str) -> None:
    """A kind outside PLURAL is found as written only."""
    assert vocabulary().find(split(words)) is None


def test_everyday_words_are_no_entries() -> None:
    """No word of everyday speech is a word of the vocabulary or its plural."""
    listed = {split(word) for _, _, _, word in ROWS}
    listed |= {(*split(word)[:-1], plural(split(word)[-1]) or "") for kind, _, _, word in ROWS if kind in PLURAL}
    assert [word for word in EVERYDAY if (word,) in listed] == []


def test_everyday_words_count_nothing() -> None:
    """No word of everyday speech is part of a number."""
    more = {"hundreds", "thousands", "dozens", "couples", "nought", "nil", "million", "twice", "double", "triple"}
    assert [word for word in EVERYDAY if word in NUMBER_WORDS | more] == []


def test_everyday_words_are_single_sorted_and_once() -> None:
    """Each everyday word is one lower-case token, and the list is sorted without doubles."""
    assert [word for word in EVERYDAY if split(word) != (word,)] == []
    assert sorted(set(EVERYDAY)) == EVERYDAY


def test_everyday_words_are_fillers() -> None:
    """The look-up takes an everyday word for a filler."""
    assert {Entry("filler", "everyday")} == {vocabulary().find((word,)) for word in EVERYDAY}


def test_number_words_are_no_entries() -> None:
    """No number word alone is a word of the vocabulary, so spelling never offers one for the other."""
    assert set() == {word for word in NUMBER_WORDS if vocabulary().find((word,))}


def test_words_of_and_name() -> None:
    """Words for spelling are single words of the kinds asked for; a term shows its first surface."""
    known = vocabulary()
    named = {"honey", "vinegar", "sugar", "gum", "xanthan", "guar", "thickener", "xantham"}
    named |= {"bleach", "chlorine", "hypochlorite", "iodophor"}
    assert named | {"naoh", "lye", "caustic", "titrant", "hydroxide"} == set(known.words_of(["substance"]))
    assert (known.name("crock"), known.name("nothing-such")) == ("crock", "nothing-such")
