"""One line of talk to a Reading: the act, what is wanted, and every amount with its words and place."""

from __future__ import annotations

import pytest

from grammar.reader import read
from grammar.types import Amount, Reading


def reading(text: str, *expecting: str) -> Reading:
    """The reading of a text, which must not be misread."""
    found = read(text, expecting)
    assert isinstance(found, Reading), found
    return found


def shape(amount: Amount, text: str) -> tuple[float, str, str, str, bool, str]:
    """What a table below says of an amount."""
    noun = amount.noun.term if amount.noun else ""
    return round(amount.value, 6), amount.unit, amount.mark, noun, amount.tied, text[slice(*amount.span)]


def bound(found: Reading) -> list[tuple[float, str, str]]:
    """Value, unit and noun of the amounts."""
    return [(round(one.value, 6), one.unit, one.noun.term if one.noun else "") for one in found.amounts]


SENTENCES = [
    (
        "how much salt for 3 kg of peppers at 2.5 %",
        "ask",
        ("salt",),
        [(3.0, "kilogram", "for", "chilli", True, "3 kg"), (2.5, "percent", "at", "", False, "2.5 %")],
    ),
    (
        "how much salt do I need for 1.2 kg of chopped carrots at 3 percent",
        "ask",
        ("salt",),
        [(1.2, "kilogram", "for", "carrot", True, "1.2 kg"), (3.0, "percent", "at", "", False, "3 percent")],
    ),
    (
        "what strength is 60 g salt in 2 L water",
        "ask",
        ("strength",),
        [(60.0, "gram", "", "salt", False, "60 g"), (2.0, "liter", "in", "water", False, "2 L")],
    ),
    (
        "2 kg garlic and 1 L brine",
        "ask",
        (),
        [(2.0, "kilogram", "", "garlic", False, "2 kg"), (1.0, "liter", "", "brine", False, "1 L")],
    ),
    ("peppers: 3 kg", "tell", (), [(3.0, "kilogram", "", "chilli", True, "3 kg")]),
    ("3 kg of frozen habaneros", "tell", (), [(3.0, "kilogram", "", "habanero", True, "3 kg")]),
    (
        "dilute a brine from 6 to 4 percent",
        "ask",
        (),
        [(6.0, "percent", "from", "", False, "6"), (4.0, "percent", "to", "", False, "4 percent")],
    ),
    (
        "raise 4 L of brine to 5 percent",
        "ask",
        (),
        [(4.0, "liter", "", "brine", True, "4 L"), (5.0, "percent", "to", "", False, "5 percent")],
    ),
    (
        "thin 4 L brine from 6 % down to 3.5 %",
        "ask",
        (),
        [
            (4.0, "liter", "", "brine", False, "4 L"),
            (6.0, "percent", "from", "", False, "6 %"),
            (3.5, "percent", "to", "", False, "3.5 %"),
        ],
    ),
    (
        "top up with 500 ml of 3 % brine",
        "ask",
        (),
        [(500.0, "milliliter", "with", "", False, "500 ml"), (3.0, "percent", "of", "brine", False, "3 %")],
    ),
    (
        "mix 2 L of 3 % brine and 1 L of 5 % brine",
        "ask",
        (),
        [
            (2.0, "liter", "", "", False, "2 L"),
            (3.0, "percent", "of", "brine", False, "3 %"),
            (1.0, "liter", "", "", False, "1 L"),
            (5.0, "percent", "of", "brine", False, "5 %"),
        ],
    ),
    (
        "how many 5 gallon buckets for 60 L of mash",
        "ask",
        ("count",),
        [(5.0, "gallon", "", "bucket", False, "5 gallon"), (60.0, "liter", "for", "mash", True, "60 L")],
    ),
    (
        "how full is a 5 L jar with 3 L of brine",
        "ask",
        ("filled",),
        [(5.0, "liter", "", "jar", False, "5 L"), (3.0, "liter", "with", "brine", True, "3 L")],
    ),
    ("how big a crock for 8 kg of cabbage", "ask", ("capacity",), [(8.0, "kilogram", "for", "cabbage", True, "8 kg")]),
    (
        "can I fit 6 kg of cucumbers into a 15 L bucket",
        "ask",
        (),
        [(6.0, "kilogram", "", "cucumber", True, "6 kg"), (15.0, "liter", "in", "bucket", False, "15 L")],
    ),
    (
        "how much water for 100 g of salt at 4 %",
        "ask",
        ("water",),
        [(100.0, "gram", "for", "salt", True, "100 g"), (4.0, "percent", "at", "", False, "4 %")],
    ),
    (
        "how salty will 3 kg of mash with 90 g of salt be",
        "ask",
        ("salinity",),
        [(3.0, "kilogram", "", "mash", True, "3 kg"), (90.0, "gram", "with", "salt", True, "90 g")],
    ),
    ("how many grams of salt", "ask", ("salt",), []),
    (
        "no water, 2 kg peppers, 3 %",
        "ask",
        (),
        [(2.0, "kilogram", "", "chilli", False, "2 kg"), (3.0, "percent", "", "", False, "3 %")],
    ),
    (
        "equilibrium for 2 kg cucumbers in 2 L of 5 % brine",
        "ask",
        (),
        [
            (2.0, "kilogram", "for", "cucumber", False, "2 kg"),
            (2.0, "liter", "in", "brine", True, "2 L"),
            (5.0, "percent", "of", "brine", False, "5 %"),
        ],
    ),
    (
        "a jar 20 cm across and 30 cm tall",
        "tell",
        (),
        [(20.0, "centimeter", "", "diameter", False, "20 cm"), (30.0, "centimeter", "", "height", False, "30 cm")],
    ),
    ("height 30 cm", "tell", (), [(30.0, "centimeter", "", "height", False, "30 cm")]),
    (
        "leave 10 percent headspace in a 5 L crock",
        "tell",
        (),
        [(10.0, "percent", "", "headspace", False, "10 percent"), (5.0, "liter", "in", "crock", False, "5 L")],
    ),
    ("2 cm of headspace", "tell", (), [(2.0, "centimeter", "", "headspace", True, "2 cm")]),
    ("jar half full", "tell", (), [(50.0, "percent", "", "filled", False, "half")]),
    (
        "3 L jar, 1 kg cucumbers, 3.5 % overall",
        "tell",
        (),
        [
            (3.0, "liter", "", "jar", False, "3 L"),
            (1.0, "kilogram", "", "cucumber", False, "1 kg"),
            (3.5, "percent", "", "of-total", False, "3.5 %"),
        ],
    ),
    ("2 % of the total weight", "tell", (), [(2.0, "percent", "", "of-total", False, "2 %")]),
    ("2 % by weight of the water", "tell", (), [(2.0, "percent", "", "of-water", False, "2 %")]),
    ("5 % by weight of brine", "tell", (), [(5.0, "percent", "", "of-whole", False, "5 %")]),
    ("3% salt", "bare", (), [(3.0, "percent", "", "", False, "3%")]),
    ("5 % brine", "ask", (), [(5.0, "percent", "", "brine", False, "5 %")]),
    (
        "6 % brine, 3 litres",
        "ask",
        (),
        [(6.0, "percent", "", "brine", False, "6 %"), (3.0, "liter", "", "", False, "3 litres")],
    ),
    (
        "convert 35 g per litre to percent",
        "ask",
        ("salinity",),
        [(35.0, "gram_per_liter", "", "", False, "35 g per litre")],
    ),
    ("what is 3 % in grams per litre", "ask", ("per-litre",), [(3.0, "percent", "", "", False, "3 %")]),
    ("how much is 2 kg in pounds", "ask", (), [(2.0, "kilogram", "", "", False, "2 kg")]),
    ("in pounds please", "change", (), []),
    ("percent?", "change", (), []),
    ("and for 5 kg", "change", (), [(5.0, "kilogram", "", "", False, "5 kg")]),
    ("what about 4 percent", "change", (), [(4.0, "percent", "", "", False, "4 percent")]),
    ("no, 4 kg", "change", (), [(4.0, "kilogram", "", "", False, "4 kg")]),
    ("log ph 3.6 today", "log", (), [(3.6, "", "", "ph", False, "3.6")]),
    ("ph 3.4", "log", (), [(3.4, "", "", "ph", False, "3.4")]),
    ("specific gravity 1.035", "tell", (), [(1.035, "", "", "gravity", False, "1.035")]),
    ("salometer reading 40", "tell", (), [(40.0, "salometer", "", "salometer-reading", False, "40")]),
    ("35 salometer degrees", "bare", (), [(35.0, "salometer", "", "", False, "35 salometer degrees")]),
    ("20 °C", "bare", (), [(20.0, "degree_Celsius", "", "", False, "20 °C")]),
    ("68 F", "bare", (), [(68.0, "degree_Fahrenheit", "", "", False, "68 F")]),
    ("at 21 C", "bare", (), [(21.0, "degree_Celsius", "at", "", False, "21 C")]),
    ("temperature 21 c", "tell", (), [(21.0, "degree_Celsius", "", "temperature", False, "21 c")]),
    ("a 3 litre jar of chopped onion", "tell", (), [(3.0, "liter", "", "jar", False, "3 litre")]),
    (
        "250 ml vinegar in 1 L sauce",
        "tell",
        (),
        [(250.0, "milliliter", "", "vinegar", False, "250 ml"), (1.0, "liter", "in", "batch", False, "1 L")],
    ),
    ("weight of 2 tbsp coarse salt", "ask", (), [(2.0, "tablespoon", "", "flake", False, "2 tbsp")]),
    ("2 us gallons of water", "tell", (), [(2.0, "us_gallon", "", "water", True, "2 us gallons")]),
    ("half a teaspoon of salt", "tell", (), [(0.5, "teaspoon", "", "salt", True, "half a teaspoon")]),
    ("a couple of litres of water", "tell", (), [(2.0, "liter", "", "water", True, "a couple of litres")]),
    (
        "three quarters of a pound of garlic",
        "tell",
        (),
        [(0.75, "pound", "", "garlic", True, "three quarters of a pound")],
    ),
    ("2 dozen cucumbers", "tell", (), [(24.0, "", "", "cucumber", False, "2 dozen")]),
    ("pint of water", "tell", (), [(1.0, "pint", "", "water", True, "pint")]),
    ("minus 2 kg", "bare", (), [(-2.0, "kilogram", "", "", False, "minus 2 kg")]),
    ("-2 kg", "bare", (), [(-2.0, "kilogram", "", "", False, "-2 kg")]),
    ("@ 3%", "bare", (), [(3.0, "percent", "at", "", False, "3%")]),
    (
        "3kg peppers 1L water",
        "tell",
        (),
        [(3.0, "kilogram", "", "chilli", False, "3kg"), (1.0, "liter", "", "water", False, "1L")],
    ),
    ("I've got 3 kg of onions", "tell", (), [(3.0, "kilogram", "", "onion", True, "3 kg")]),
    (
        "sixty grams salt to two litres water",
        "tell",
        (),
        [(60.0, "gram", "", "salt", False, "sixty grams"), (2.0, "liter", "to", "water", False, "two litres")],
    ),
    ("2.5", "bare", (), [(2.5, "", "", "", False, "2.5")]),
    ("2 weeks", "bare", (), [(2.0, "week", "", "", False, "2 weeks")]),
    ("undo", "undo", (), []),
    ("why", "why", (), []),
    ("dunno", "unsure", (), []),
    ("start over", "reset", (), []),
    ("the first one", "tell", (), []),
    ("use us units", "tell", (), []),
]


@pytest.mark.parametrize(("text", "act", "wanted", "amounts"), SENTENCES)
def test_reading(
    text: str, act: str, wanted: tuple[str, ...], amounts: list[tuple[float, str, str, str, bool, str]]
) -> None:
    """A sentence has its act, what it asks for, and its amounts with unit, mark, noun and place."""
    found = reading(text)
    assert (act, wanted, amounts) == (found.act, found.wanted, [shape(one, text) for one in found.amounts])


@pytest.mark.parametrize("text", [row[0] for row in SENTENCES])
def test_words_stand_where_they_say(text: str) -> None:
    """Every word's text is the slice of its span, and the spans of amounts lie in the text."""
    found = reading(text)
    assert [text[slice(*word.span)] for word in found.all_words] == [word.text for word in found.all_words]
    assert [
        span
        for one in found.amounts
        for span in (one.span, *(each.span for each in one.rivals))
        if not 0 <= span[0] < span[1] <= len(text)
    ] == []
    assert text == found.text


@pytest.mark.parametrize(
    "text",
    ["3 kg of salt", "two pounds seven", "one kilo six hundred", "18 g per quart", "pint of water", "4 lb 6 oz", "2 %"],
)
def test_amount_text_has_no_loose_blanks(text: str) -> None:
    """The text of an amount starts and ends with a word."""
    assert [one.text.strip() for one in reading(text).amounts] == [one.text for one in reading(text).amounts]


@pytest.mark.parametrize(
    ("text", "value", "unit", "said"),
    [
        ("4 lb 6 oz of peppers", 4.375, "pound", "4 lb 6 oz"),
        ("4 lb and 6 oz of peppers", 4.375, "pound", "4 lb and 6 oz"),
        ("five pounds twelve ounces", 5.75, "pound", "five pounds twelve ounces"),
        ("1 kg 250 g of carrots", 1.25, "kilogram", "1 kg 250 g"),
        ("1 quart 1 cup of water", 1.25, "quart", "1 quart 1 cup"),
        ("1 gallon 2 quarts of brine", 1.5, "gallon", "1 gallon 2 quarts"),
        ("1 pint 4 fl oz", 1.25, "pint", "1 pint 4 fl oz"),
        ("1 tbsp 1 tsp of salt", 1.333333, "tablespoon", "1 tbsp 1 tsp"),
        ("2 l 300 ml of water", 2.3, "liter", "2 l 300 ml"),
        ("crock 2 ft 3 in tall", 2.25, "foot", "2 ft 3 in"),
        ("2 ft 3 in", 2.25, "foot", "2 ft 3 in"),
        ("1 m 20 cm", 1.2, "meter", "1 m 20 cm"),
        ("1 week 3 days", 1.428571, "week", "1 week 3 days"),
        ("two pounds seven", 2.4375, "pound", "two pounds seven"),
        ("2 lb 3", 2.1875, "pound", "2 lb 3"),
        ("one kilo six hundred", 1.6, "kilogram", "one kilo six hundred"),
        ("1 kg 500", 1.5, "kilogram", "1 kg 500"),
        ("two kilos and a half", 2.5, "kilogram", "two kilos and a half"),
        ("one and a half litres of brine", 1.5, "liter", "one and a half litres"),
    ],
)
def test_compound_amounts(text: str, value: float, unit: str, said: str) -> None:
    """Two units, or a unit and its spoken rest, are one amount in the larger unit."""
    found = [(round(one.value, 6), one.unit, text[slice(*one.span)]) for one in reading(text).amounts]
    assert [(value, unit, said)] == found


@pytest.mark.parametrize(
    ("text", "values"),
    [
        ("two pounds seventeen", [(2.0, "pound"), (17.0, "")]),
        ("1 kg 550", [(1.0, "kilogram"), (550.0, "")]),
        ("1 kg 6", [(1.0, "kilogram"), (6.0, "")]),
        ("2.5 lb 3", [(2.5, "pound"), (3.0, "")]),
        ("2 kg & 3 L", [(2.0, "kilogram"), (3.0, "liter")]),
        ("6 oz 4 lb", [(6.0, "ounce"), (4.0, "pound")]),
        ("12 in", [(12.0, "inch")]),
    ],
)
def test_what_is_no_compound(text: str, values: list[tuple[float, str]]) -> None:
    """A rest that cannot belong to the unit before it stays an amount of its own."""
    assert values == [(one.value, one.unit) for one in reading(text).amounts]


@pytest.mark.parametrize(
    ("text", "value", "unit"),
    [
        ("25 g per litre", 25.0, "gram_per_liter"),
        ("40 grams to the litre", 40.0, "gram_per_liter"),
        ("30 g a litre", 30.0, "gram_per_liter"),
        ("35 g/l", 35.0, "gram_per_liter"),
        ("thirty five grams per litre", 35.0, "gram_per_liter"),
        ("3 ounces per gallon", 3.0, "ounce_per_gallon"),
        ("3 ounces a gallon", 3.0, "ounce_per_gallon"),
        ("3 OUNCES A GALLON", 3.0, "ounce_per_gallon"),
        ("half a pound per gallon", 0.5, "pound_per_gallon"),
        ("5 g per kg", 5.0, "gram_per_kilogram"),
        ("1.1 kg per litre", 1.1, "kilogram_per_liter"),
    ],
)
def test_rates(text: str, value: float, unit: str) -> None:
    """A unit per a unit is one unit where the kitchen has it."""
    assert [(value, unit, "")] == bound(reading(text))


@pytest.mark.parametrize(
    ("text", "pairs"),
    [
        ("18 g per quart", [(18.0, "gram", ""), (1.0, "quart", "per")]),
        ("18 g per quart of water", [(18.0, "gram", ""), (1.0, "quart", "per")]),
        ("2 tablespoons per quart", [(2.0, "tablespoon", ""), (1.0, "quart", "per")]),
        ("2 tsp for every cup", [(2.0, "teaspoon", ""), (1.0, "cup", "per")]),
        ("90 g per 3 litres", [(90.0, "gram", ""), (3.0, "liter", "per")]),
    ],
)
def test_rates_without_a_unit_of_their_own(text: str, pairs: list[tuple[float, str, str]]) -> None:
    """Any other rate is two amounts, the second one marked "per" and 1 if no number is said."""
    assert pairs == [(one.value, one.unit, one.mark) for one in reading(text).amounts]


@pytest.mark.parametrize(
    ("text", "low", "high", "unit"),
    [
        ("2 to 3 percent", 2.0, 3.0, "percent"),
        ("2-3 %", 2.0, 3.0, "percent"),
        ("2 – 3 %", 2.0, 3.0, "percent"),
        ("2 or 3 percent", 2.0, 3.0, "percent"),
        ("between 2 and 3 percent", 2.0, 3.0, "percent"),
        ("8 to 10 L crock", 8.0, 10.0, "liter"),
        ("two or three kilos of cabbage", 2.0, 3.0, "kilogram"),
        ("3 kg or 4 kg of peppers", 3.0, 4.0, "kilogram"),
        ("3 kg - 4 kg of peppers", 3.0, 4.0, "kilogram"),
    ],
)
def test_ranges(text: str, low: float, high: float, unit: str) -> None:
    """A range is its first value with the second one as a rival, both in the one unit said."""
    found = [
        (one.value, one.unit, [(rival.value, rival.unit) for rival in one.rivals]) for one in reading(text).amounts
    ]
    assert [(low, unit, [(high, unit)])] == found


@pytest.mark.parametrize(
    ("text", "value", "unit", "rivals"),
    [
        ("1,500 g of peppers", 1500.0, "gram", [(1.5, "gram")]),
        ("1 500 ml water", 1500.0, "milliliter", [(500.0, "milliliter")]),
        ("1.500 g salt", 1.5, "gram", [(1500.0, "gram")]),
        ("1.250 kg cabbage", 1.25, "kilogram", []),
        ("8 oz of water", 8.0, "ounce", [(8.0, "fluid_ounce")]),
        ("8 oz of salt", 8.0, "ounce", []),
        ("8 oz by weight of water", 8.0, "ounce", []),
        ("8 OZ BY WEIGHT of water", 8.0, "ounce", []),
        ("12 degrees", 12.0, "degree_Celsius", [(12.0, "degree_Fahrenheit")]),
        ("40 degree brine", 40.0, "degree_Celsius", [(40.0, "degree_Fahrenheit"), (40.0, "salometer")]),
        ("1,035 gravity", 1.035, "", []),
    ],
)
def test_rivals(text: str, value: float, unit: str, rivals: list[tuple[float, str]]) -> None:
    """An amount of two readings keeps the second one, and words that decide take it away."""
    found = [
        (one.value, one.unit, [(rival.value, rival.unit) for rival in one.rivals]) for one in reading(text).amounts
    ]
    assert [(value, unit, rivals)] == found


SALT_AND_WATER = [(60.0, "gram", "salt"), (1.0, "liter", "water")]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("salt 60 g water 1 L", SALT_AND_WATER),
        ("60 g salt 1 L water", SALT_AND_WATER),
        ("salt 60 g, water 1 L", SALT_AND_WATER),
        ("salt: 60 g water: 1 L", SALT_AND_WATER),
        ("60 g of salt 1 L of water", SALT_AND_WATER),
        ("salt of 60 g, water of 1 L", SALT_AND_WATER),
        ("salt = 60 g; water = 1 L", SALT_AND_WATER),
        ("cabbage 4 kg salt 80 g", [(4.0, "kilogram", "cabbage"), (80.0, "gram", "salt")]),
        ("4 kg cabbage 80 g salt", [(4.0, "kilogram", "cabbage"), (80.0, "gram", "salt")]),
        ("carrot 1 kg onion 500 g", [(1.0, "kilogram", "carrot"), (500.0, "gram", "onion")]),
        ("1 kg carrot 500 g onion", [(1.0, "kilogram", "carrot"), (500.0, "gram", "onion")]),
        ("crock 10 L cabbage 5 kg", [(10.0, "liter", "crock"), (5.0, "kilogram", "cabbage")]),
        ("10 L crock 5 kg cabbage", [(10.0, "liter", "crock"), (5.0, "kilogram", "cabbage")]),
        (
            "cucumbers 2 kg water 2 L salt 80 g",
            [(2.0, "kilogram", "cucumber"), (2.0, "liter", "water"), (80.0, "gram", "salt")],
        ),
        (
            "2 kg cucumbers 2 L water 80 g salt",
            [(2.0, "kilogram", "cucumber"), (2.0, "liter", "water"), (80.0, "gram", "salt")],
        ),
        (
            "5 kg peppers, water 2 L, salt 100 g",
            [(5.0, "kilogram", "chilli"), (2.0, "liter", "water"), (100.0, "gram", "salt")],
        ),
        (
            "5 kg peppers water 2 L salt 100 g",
            [(5.0, "kilogram", "chilli"), (2.0, "liter", "water"), (100.0, "gram", "salt")],
        ),
        ("brine 20 l water 5 %", [(20.0, "liter", "water"), (5.0, "percent", "")]),
    ],
)
def test_nouns_before_and_after(text: str, expected: list[tuple[float, str, str]]) -> None:
    """A run of nouns and amounts ties each amount to its noun, whichever comes first."""
    assert expected == bound(reading(text))


@pytest.mark.parametrize(
    ("text", "tied"),
    [
        ("40 g of salt", [True]),
        ("40 g salt", [False]),
        ("salt of 40 g", [False]),
        ("3 kg of peppers and 2 L water", [True, False]),
        ("2 L of 5 % brine", [True, False]),
    ],
)
def test_of_ties(text: str, tied: list[bool]) -> None:
    """Only "of" before the noun ties it fast to the amount before."""
    assert tied == [one.tied for one in reading(text).amounts]


@pytest.mark.parametrize(
    ("text", "kept", "taken_back"),
    [
        ("three kilos, no, make it four", [(4.0, "", "")], [3.0]),
        ("5 litres, sorry, 6 litres", [(6.0, "liter", "")], [5.0]),
        ("2 kg actually 3 kg", [(3.0, "kilogram", "")], [2.0]),
        ("2 kg of peppers, wait, 3 kg of peppers", [(3.0, "kilogram", "chilli")], [2.0]),
        ("60 g salt, 2 L water, oops, 3 L water", [(60.0, "gram", "salt"), (3.0, "liter", "water")], [2.0]),
        ("2 kg cabbage, sorry, 3 kg cabbage, 3 %", [(3.0, "kilogram", "cabbage"), (3.0, "percent", "")], [2.0]),
        (
            "2 kg cabbage, no, 3 kg cabbage and 4 kg carrots",
            [(3.0, "kilogram", "cabbage"), (4.0, "kilogram", "carrot")],
            [2.0],
        ),
        (
            "2 L water, sorry, 3 L water in a 5 L crock",
            [(3.0, "liter", "water"), (5.0, "liter", "crock")],
            [2.0],
        ),
        (
            "2 kg cabbage, sorry, 3 kg cabbage, 60 g salt",
            [(3.0, "kilogram", "cabbage"), (60.0, "gram", "salt")],
            [2.0],
        ),
    ],
)
def test_corrections(text: str, kept: list[tuple[float, str, str]], taken_back: list[float]) -> None:
    """A correction inside a line takes back one amount of its kind, and what follows stays."""
    found = reading(text)
    assert (kept, taken_back) == (bound(found), [one.value for one in found.corrected])


@pytest.mark.parametrize(
    ("text", "said", "read_as", "sure"),
    [
        ("cabage 2 kg", "cabage", "cabbage", True),
        ("3 kg pepers", "pepers", "peppers", True),
        ("2 kg of carot", "carot", "carrot", True),
        ("slat 40 g", "slat", "salt", True),
        ("honeyy 20 g", "honeyy", "honey", True),
        ("vinagar 30 ml", "vinagar", "vinegar", True),
        ("bukcet", "bukcet", "bucket", True),
        ("headspcae", "headspcae", "headspace", True),
        ("dilut 3 L brine to 2 %", "dilut", "dilute", True),
        ("4 litrs of water", "litrs", "liters", False),
        ("2 gallns", "gallns", "gallons", False),
        ("3 percnt", "percnt", "percent", False),
        ("3 kilogrms of garlic", "kilogrms", "kilograms", False),
        ("therty grams", "therty", "thirty", False),
        ("fivee kg cabbage", "fivee", "five", False),
        ("undoo", "undoo", "undo", False),
    ],
)
def test_repairs(text: str, said: str, read_as: str, sure: bool) -> None:
    """A misspelt word is read as the one near it; units, numbers and undo are only offered."""
    (repair,) = reading(text).repaired
    assert (said, read_as, sure, said) == (repair.said, repair.read, repair.sure, text[slice(*repair.span)])


def test_two_repairs_in_one_line() -> None:
    """Two misspelt words of a line are both read, each with its place."""
    found = reading("5 L of watter and 100 g of slat")
    assert [(one.said, one.span) for one in found.repaired] == [("watter", (7, 13)), ("slat", (27, 31))]
    assert bound(found) == [(5.0, "liter", "water"), (100.0, "gram", "salt")]


@pytest.mark.parametrize("text", ["3 kg of peppers", "litres please", "twelve kilos", "my afternoon 3 kg peppers"])
def test_right_words_are_not_repaired(text: str) -> None:
    """A line of known words has no repair."""
    assert reading(text).repaired == ()


@pytest.mark.parametrize(
    ("text", "amounts"),
    [
        ("six hundred and seventy-five grams of salt", [(675.0, "gram", "salt")]),
        ("one hundred twenty-five g", [(125.0, "gram", "")]),
        ("half a dozen jars", [(6.0, "", "jar")]),
        ("2-1/2 lb of salt", [(2.5, "pound", "salt")]),
        ("2 and 1/2 lb of salt", [(2.5, "pound", "salt")]),
        ("hundred grams of salt", [(100.0, "gram", "salt")]),
        ("couple of kilos of cabbage", [(2.0, "kilogram", "cabbage")]),
        ("one-half kg of salt", [(0.5, "kilogram", "salt")]),
        ("3 us cups of water", [(3.0, "us_cup", "water")]),
        (",75 kg salt", [(0.75, "kilogram", "salt")]),
        ("“3 kg”", [(3.0, "kilogram", "")]),
    ],
)
def test_numbers_keep_their_size(text: str, amounts: list[tuple[float, str, str]]) -> None:
    """A number in any of these forms is the amount it says, not a part of it, not a range, and not dropped."""
    found = reading(text)
    assert (amounts, []) == (bound(found), [rival for one in found.amounts for rival in one.rivals])


def test_quotes_around_a_line_are_no_unit() -> None:
    """Quotation marks around words ask for no inches."""
    assert reading('a "jar"').unit == ""


@pytest.mark.parametrize(
    ("text", "commands"),
    [
        ("undo", ("undo",)),
        ("redo", ("redo",)),
        ("yes", ("yes",)),
        ("no", ("no",)),
        ("?", ("help",)),
        ("help", ("help",)),
        ("say that again", ("repeat",)),
        ("cancel", ("cancel",)),
        ("start over", ("reset",)),
        ("not sure", ("unsure",)),
        ("why 3 percent", ("why",)),
        ("goodbye", ("leave",)),
    ],
)
def test_commands(text: str, commands: tuple[str, ...]) -> None:
    """A command is the act of its line and stands among the commands."""
    found = reading(text)
    assert (commands[0], commands) == (found.act, found.commands)


@pytest.mark.parametrize(
    ("text", "question"),
    [("how much salt", True), ("3 kg peppers?", True), ("3 kg peppers", False), ("is it 3 %", True), ("3 %", False)],
)
def test_questions(text: str, question: bool) -> None:
    """A question word or a question mark at the end makes a question."""
    assert question == reading(text).question


def test_an_unknown_word_among_known_ones_is_left_over() -> None:
    """A word nobody knows is named, and the rest is read."""
    found = reading("3 kg peppers at 2 % zorkly")
    assert ([word.text for word in found.left_over], [one.value for one in found.amounts]) == (["zorkly"], [3.0, 2.0])


def test_terms_and_kinds() -> None:
    """Terms gather free and bound words; kinds sort them; said looks one up."""
    found = reading("how much salt for 3 kg of frozen habaneros in a crock")
    assert {"salt", "habanero", "frozen", "crock"} == found.terms
    assert {"noun", "produce", "state", "vessel"} == set(found.kinds)
    assert tuple(found.amounts[0].said(kind) for kind in ("produce", "state", "vessel")) == ("habanero", "frozen", "")
