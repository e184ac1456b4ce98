"""A label's order, contents, figures and lists against the rules they come from, and mixtures worked by hand."""

from __future__ import annotations

import datetime

import pytest

from assistant.batches import events as ev
from assistant.batches.allergens import ALLERGENS
from assistant.batches.batch import Batch, fold, live
from assistant.batches.ingredients import Ledger, Part, ledger, ranked
from assistant.batches.label import (
    eu_salt,
    figures_of,
    label,
    lot_code,
    minor,
    net_volume,
    net_weight,
    servings,
    sugars_words,
)
from assistant.trade import mixture as mx
from assistant.trade.nutrition import us_sodium

DAY = datetime.date(2026, 3, 1)
JAR = "5 L jar"
OUNCE = 0.0295735295625


class Book:
    """Events of one batch in one jar, in the order said."""

    def __init__(self) -> None:
        self.events: list[tuple[int, ev.Event]] = [(1, ev.Begin(1, DAY, "", "", ev.Place(JAR, "jar", 5.0)))]

    @property
    def now(self) -> Batch:
        """The batch after them."""
        return fold(Batch(1), live(self.events))

    @property
    def holds(self) -> mx.Mixture:
        """What the jar holds."""
        vessel = self.now.vessel(JAR)
        assert vessel is not None
        return vessel.holds

    def happens(self, event: ev.Event) -> None:
        """One event more."""
        self.events.append((len(self.events) + 1, event))

    def add(self, what: str, mix: mx.Mixture, kind: str = "") -> None:
        """Something put in."""
        self.happens(ev.Add(1, DAY, "", JAR, what, mix, bool(kind), kind))

    def grams(self, *, mixed: bool = False) -> dict[str, float]:
        """The parts in the jar in grams, in the order of a label."""
        book: Ledger = ledger(self.events, mixed=mixed)
        return {one.name: 1000 * one.mix.mass for one in ranked(book.pots[JAR], book.order)}


def in_brine(brine: float) -> Book:
    """1 kg of chillies under so many kg of 5 % brine."""
    book = Book()
    book.add("chillies", mx.produce(1.0, "chilli"), "chilli")
    book.add("5% brine", mx.brine(brine, 0.05))
    return book


# 21 CFR 101.4(a)(1): "in descending order of predominance by weight"


def test_brine_that_is_drained_off_does_not_count() -> None:
    """1 kg in 1 kg of 5 % brine, 900 g of brine drained: chillies 1000 g, water 73.3 g, salt 26.7 g.

    Worked by hand. Chillies are 88.02 % water and 5.30 % sugar (USDA SR26): the liquor is 880.2 + 950 of water,
    50 of salt and 53.0 of sugar: 1933.2 g. Of its salt 50 x (1 - 900 / 1933.2) = 26.72 g stay; the chillies stay whole;
    water is the rest (EU 1169/2011 Annex VII A(1), from memory): 1100 - 1000 - 26.72 = 73.28 g.
    """
    book = in_brine(1.0)
    book.happens(ev.Take(1, DAY, "", JAR, "taken out", mx.drain(book.holds, 0.9)[0]))
    grams = book.grams()
    assert list(grams) == ["chillies", "water", "salt"]
    assert grams == pytest.approx({"chillies": 1000.0, "water": 73.28, "salt": 26.72}, abs=0.01)


def test_drained_brine_mixed_through_with_the_juice_counts_otherwise() -> None:
    """The other way: chillies and added water lose alike; 1 kg in 2 kg of brine, 1.9 kg drained, gives water first.

    Worked by hand: water 880.2 + 1900 = 2780.2, liquor 2780.2 + 100 + 53.0 = 2933.2; of it 1 - 1900 / 2933.2 =
    35.224 % stay: 1900 x 0.35224 = 669.3 g of water, and of the chillies 933.2 x 0.35224 + 66.8 = 395.5 g. By the
    rule of added water they are 1000 g and 1100 - 1000 - 35.2 = 64.8 g.
    """
    book = in_brine(2.0)
    book.happens(ev.Take(1, DAY, "", JAR, "taken out", mx.drain(book.holds, 1.9)[0]))
    assert book.grams() == pytest.approx({"chillies": 1000.0, "water": 64.78, "salt": 35.22}, abs=0.01)
    mixed = book.grams(mixed=True)
    assert list(mixed) == ["water", "chillies", "salt"]
    assert mixed == pytest.approx({"water": 669.25, "chillies": 395.51, "salt": 35.22}, abs=0.02)


def test_pulp_that_is_taken_out_is_produce_with_some_liquor() -> None:
    """1 kg in 2 kg of 5 % brine, 250 g of wet pulp taken out: water 1771.9 g, chillies 884.9 g, salt 93.3 g.

    Worked by hand. The pulp's water is 75 % of 250 = 187.5 of 2780.2 g: 6.744 % of the liquor. It holds 6.744 g of
    salt, 3.574 g of sugar and so 250 - 187.5 - 6.744 - 3.574 = 52.18 g dry. 6.744 % leaves of everything, and of the
    chillies 52.18 - 0.06744 x 66.8 = 47.68 g more: 1000 x 0.93256 - 47.68 = 884.88; 1900 x 0.93256 = 1771.86.
    """
    book = in_brine(2.0)
    book.happens(ev.Take(1, DAY, "", JAR, "pulp", mx.strain(book.holds, 0.25)[1]))
    grams = book.grams()
    assert list(grams) == ["water", "chillies", "salt"]
    assert grams == pytest.approx({"water": 1771.86, "chillies": 884.88, "salt": 93.26}, abs=0.02)


def test_vinegar_counts_as_one_ingredient() -> None:
    """1.5 kg chillies, 45 g salt, 300 mL of 5 % vinegar: vinegar weighs 301.63 g and stands before the salt.

    Worked by hand: 15 g of acid take 15 x 0.857 = 12.86 mL, the rest is 287.14 mL of water at 998.2 g/L: 286.63 g.
    """
    book = Book()
    book.add("chillies", mx.produce(1.5, "chilli"), "chilli")
    book.add("salt", mx.salt(0.045))
    book.add("5% vinegar", mx.vinegar(0.3))
    grams = book.grams()
    assert list(grams) == ["chillies", "vinegar", "salt"]
    assert grams == pytest.approx({"chillies": 1500.0, "vinegar": 301.63, "salt": 45.0}, abs=0.05)
    found = label(book.now, book.events, DAY)
    assert found is not None
    assert found.row("Ingredients") == (("Ingredients", "Chillies, vinegar (water, acetic acid), salt."),)


def test_produce_stands_by_its_kinds_added_up() -> None:
    """700 g chillies, then 600 g and later 200 g of carrots: carrots 800 g come first, whatever went in first."""
    book = Book()
    book.add("chillies", mx.produce(0.7, "chilli"), "chilli")
    book.add("carrots", mx.produce(0.6, "carrot"), "carrot")
    book.add("salt", mx.salt(0.039))
    assert list(book.grams()) == ["chillies", "carrots", "salt"]
    book.add("carrots", mx.produce(0.2, "carrot"), "carrot")
    assert list(book.grams().items())[:2] == [("carrots", pytest.approx(800)), ("chillies", pytest.approx(700))]


def test_sweet_produce_keeps_its_weight_when_its_brine_is_drained() -> None:
    """Draining takes dissolved sugar out of mango (13.66 %) more than of carrots (4.74 %), and changes no order.

    520 g of mango beside 505 g of carrots in a litre of brine: by their own weights mango is first, before and after.
    """
    book = Book()
    book.add("carrots", mx.produce(0.505, "carrot"), "carrot")
    book.add("mango", mx.produce(0.52, "mango"), "mango")
    book.add("5% brine", mx.brine(1.2, 0.05))
    book.happens(ev.Take(1, DAY, "", JAR, "taken out", mx.drain(book.holds, 1.0)[0]))
    grams = book.grams()
    assert list(grams)[:2] == ["mango", "carrots"]
    assert (grams["mango"], grams["carrots"]) == (pytest.approx(520), pytest.approx(505))


@pytest.mark.parametrize(
    ("first", "second", "order"),
    # worked by hand: 503 of 507 g is 0.8 % less, within the account's 1 %; 500 of 507 is 1.4 % less
    [(503, 507, ["garlic", "onion"]), (507, 503, ["garlic", "onion"]), (500, 507, ["onion", "garlic"])],
)
def test_weights_that_cannot_be_told_apart_stand_as_they_went_in(first: int, second: int, order: list[str]) -> None:
    """Within a hundredth the order is that of going in."""
    parts = (Part("garlic", mx.water(first / 1000)), Part("onion", mx.water(second / 1000)))
    assert [one.name for one in ranked(parts, ("garlic", "onion"))] == order


def test_steam_takes_water_that_was_put_in_first() -> None:
    """1 kg chillies, 500 g water, 110 mL of vinegar (110.6 g), 400 g steamed off: water 100 g, behind the vinegar.

    EU 1169/2011 Annex VII A(1), from memory: added water by its weight in the finished food.
    """
    book = Book()
    book.add("chillies", mx.produce(1.0, "chilli"), "chilli")
    book.add("water", mx.water(0.5))
    book.add("5% vinegar", mx.vinegar(0.11))
    book.happens(ev.Boil(1, DAY, "", JAR, 0.4))
    grams = book.grams()
    assert grams["water"] == pytest.approx(100)
    assert list(grams) == ["chillies", "vinegar", "water"]


# 21 CFR 101.4(a)(2): "2 percent or less"


@pytest.mark.parametrize(
    ("grams", "is_minor"), [(20.0, True), (19.9, True), (20.5, False)], ids=["2 %", "under", "over"]
)
def test_two_percent_may_stand_last(grams: float, is_minor: bool) -> None:
    """The threshold itself counts as 2 % or less: 20 of 1000 g."""
    parts = (Part("chillies", mx.water((1000 - grams) / 1000)), Part("salt", mx.salt(grams / 1000)))
    assert minor(parts) == (("salt",) if is_minor else ())


# net contents


@pytest.mark.parametrize(
    ("litres", "words"),
    # 21 CFR 101.7 (both systems, fl oz; pints and quarts in brackets from a pint on) and NIST Handbook 130 (rounded
    # down), both from memory; 1 US fl oz = 29.5735295625 mL exact (NIST Handbook 44 App. C)
    [
        (5 * OUNCE, "5 fl oz (147 mL)"),  # 147.87
        (0.148, "5 fl oz (148 mL)"),  # 5.0045
        (0.15, "5.07 fl oz (150 mL)"),  # 5.0721
        (0.147, "4.97 fl oz (147 mL)"),  # 4.9707
        (8 * OUNCE, "8 fl oz (236 mL)"),  # 236.59
        (12 * OUNCE, "12 fl oz (354 mL)"),  # 354.88
        (16 * OUNCE, "16 fl oz (1 pt), 473 mL"),
        (24 * OUNCE, "24 fl oz (1 pt 8 fl oz), 709 mL"),  # 709.76
        (32 * OUNCE, "32 fl oz (1 qt), 946 mL"),
        (1.0, "33.8 fl oz (1 qt 1.8 fl oz), 1 L"),  # 33.814
        (128 * OUNCE, "1 gal (3.78 L)"),  # 3.7854
    ],
)
def test_net_contents_by_volume(litres: float, words: str) -> None:
    """Fluid ounces first, millilitres beside them, and never more than is in the bottle."""
    assert net_volume(litres) == words


@pytest.mark.parametrize(
    ("kilograms", "words"),
    # the same rules; 1 oz = 28.349523125 g exact
    [
        (0.2, "net wt 7.05 oz (200 g)"),  # 7.0548
        (8 * 0.028349523125, "net wt 8 oz (226 g)"),  # 226.8
        (0.45359237, "net wt 16 oz (1 lb), 453 g"),
        (0.5, "net wt 17.6 oz (1 lb 1.6 oz), 500 g"),  # 17.637
    ],
)
def test_net_contents_by_weight(kilograms: float, words: str) -> None:
    """Ounces first, then grams; from a pound on the pounds beside them."""
    assert net_weight(kilograms) == words


@pytest.mark.parametrize(
    ("bottle", "words"),
    # FDA NLEA guide, attachment 6: 2 to 5 servings to the nearest half, above 5 whole, "about" where it is rounded
    [(0.15, "30"), (0.148, "about 30"), (0.012, "about 2.5"), (0.016, "about 3"), (0.025, "5"), (0.0275, "about 6"),
     (0.006, "1"), (0.008, "about 2")],
)  # fmt: skip
def test_servings_in_a_bottle(bottle: float, words: str) -> None:
    """Teaspoons of 5 mL in a bottle."""
    assert servings(bottle) == words


# figures


def test_sodium_of_a_teaspoon_of_three_percent() -> None:
    """3 % salt in a teaspoon of 5 mL: 5 x 1.0197 x 0.03 x 393.37 = 60.2 mg, 60 on a US label (21 CFR 101.9(c)(4)).

    Worked by hand from the density of 3 % brine at 20 C, 1.0196 kg/L (CRC Handbook).
    """
    figures = figures_of(mx.brine(1.0, 0.03))
    assert figures.sodium == pytest.approx(60.2, abs=0.1)
    assert us_sodium(figures.sodium) == 60
    assert figures.eu_salt == pytest.approx(2.5 * 3 * 0.39337, abs=1e-6)  # EU 1169/2011 Annex I: sodium x 2.5


def test_energy_counts_sugar_and_acid() -> None:
    """100 g of a sauce with 10 g sugar and 1 g acetic acid: 43 kcal (EU 1169/2011 Annex XIV: 4 and 3 kcal/g)."""
    mix = mx.Mixture(water=0.086, salt=0.003, sugar=0.01, acetic=0.001)
    figures = figures_of(mix, 0.1 / mix.density)
    assert (figures.grams, figures.sugars, figures.energy) == (
        pytest.approx(100), pytest.approx(10), pytest.approx(43),
    )  # fmt: skip


@pytest.mark.parametrize(
    ("grams", "words"),
    # 21 CFR 101.9(c)(6)(ii): under 0.5 g none, under 1 g "less than 1 g", else the nearest gram
    [(0.49, "0 g"), (0.5, "less than 1 g"), (0.99, "less than 1 g"), (1.0, "1 g"), (1.49, "1 g"), (1.5, "2 g")],
)
def test_sugars_in_words(grams: float, words: str) -> None:
    """Each edge of the rule."""
    assert sugars_words(grams) == words


@pytest.mark.parametrize(
    ("grams", "words"),
    # EU guidance on tolerances, December 2012, from memory: to 0.0125 g none, to 1 g by 0.01, above by 0.1
    [(0.0125, "0 g"), (0.013, "0.01 g"), (0.994, "0.99 g"), (1.04, "1.0 g"), (1.05, "1.1 g"), (2.95, "3.0 g")],
)
def test_salt_on_an_eu_label(grams: float, words: str) -> None:
    """Each edge of the guidance."""
    assert eu_salt(grams) == words


# lists


def test_the_us_list_has_its_nine() -> None:
    """FALCPA 2004 names eight, the FASTER Act 2021 adds sesame (from memory); sulphites stand beside them."""
    names = {one.us for one in ALLERGENS if one.us} - {"sulphites from 10 ppm"}
    assert names == {
        "milk", "egg", "fish", "crustacean shellfish", "tree nuts", "peanuts", "wheat", "soybeans", "sesame",
    }  # fmt: skip


def test_the_eu_list_has_its_fourteen() -> None:
    """Regulation (EU) 1169/2011, Annex II (from memory)."""
    assert {one.eu for one in ALLERGENS} == {
        "cereals with gluten", "crustaceans", "egg", "fish", "peanuts", "soybeans", "milk", "nuts", "celery", "mustard",
        "sesame", "sulphites over 10 mg/kg", "lupin", "molluscs",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("day", "code"),
    # worked by hand: the months before November have 304 days, and 304 + 27 = 331; 2028 is a leap year
    [((2026, 11, 27), "B3-2026-331"), ((2026, 1, 1), "B3-2026-001"), ((2028, 12, 31), "B3-2028-366")],
)
def test_the_lot_code_holds_the_day_of_the_year(day: tuple[int, int, int], code: str) -> None:
    """Batch, year, day of the year in three digits."""
    assert lot_code(3, datetime.date(*day)) == code
