"""The label's ledger follows every deed and loses nothing; what nobody said is asked for, never guessed."""

from __future__ import annotations

import datetime
from dataclasses import replace

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from assistant.batches import allergens
from assistant.batches import events as ev
from assistant.batches.batch import Batch, apply, fold, live
from assistant.batches.ingredients import Ledger, ledger, mass
from assistant.batches.label import LAW, Said, label, told_heated
from assistant.batches.sheet import page
from assistant.rules.verdict import Sample, Verdict, judge
from assistant.trade import mixture as mx

DAY = datetime.date(2026, 3, 1)
TODAY = datetime.date(2026, 4, 10)
JAR, POT = "5 L jar", "pot 1"
Numbered = list[tuple[int, ev.Event]]


def on(day: int) -> datetime.date:
    """So many days after the first of March."""
    return DAY + datetime.timedelta(days=day)


def numbered(*events: ev.Event, start: int = 1) -> Numbered:
    """Events with their places in the book."""
    return list(enumerate(events, start))


def batch(events: Numbered) -> Batch:
    """The batch of these events."""
    return fold(Batch(events[0][1].batch), live(events))


def holds(events: Numbered, vessel: str = JAR) -> mx.Mixture:
    """What a vessel holds after them."""
    found = batch(events).vessel(vessel)
    assert found is not None
    return found.holds


def begin(number: int = 1) -> ev.Begin:
    """A batch in a jar."""
    return ev.Begin(number, DAY, "", "", ev.Place(JAR, "jar", 5.0))


def add(what: str, mix: mx.Mixture, said: str = "", *, number: int = 1, day: int = 0) -> ev.Add:
    """Something put into the jar."""
    return ev.Add(number, on(day), said, JAR, what, mix, mix.solids > 0, what if mix.solids else "")


REDS = add("chillies", mx.produce(2.0, "chilli"))
SALT = add("salt", mx.salt(0.06))
MASH = numbered(begin(), REDS, SALT)
"""2 kg of chillies with 60 g of salt."""


def grams(book: Ledger, vessel: str) -> dict[str, float]:
    """The parts in a vessel, in whole tenths of a gram."""
    return {one.name: round(1000 * one.mix.mass, 1) for one in book.pots.get(vessel, ())}


def row(found: object, heading: str) -> str:
    """The text under a heading; "" if it is not there."""
    assert found is not None
    return next((text for name, text in found.rows if name == heading), "")  # type: ignore[attr-defined]


# the ledger ------------------------------------------------------------------------------------


def test_parts_go_where_the_content_goes() -> None:
    """Split, moved and tipped together, the parts go along; a bottle takes its share of each."""
    whole = holds(MASH)
    events = [*MASH, (4, ev.Share(1, on(9), "", JAR, ev.Place(POT), whole.share(0.25), "split"))]
    book = ledger(events)
    assert grams(book, POT) == {"chillies": 500.0, "salt": 15.0}
    assert grams(book, JAR) == {"chillies": 1500.0, "salt": 45.0}
    events += [(5, ev.Move(1, on(9), "", POT, ev.Place(JAR)))]
    assert grams(ledger(events), JAR) == {"chillies": 2000.0, "salt": 60.0}
    events += [(6, ev.Bottle(1, on(10), "", JAR, 4, 0.15, whole.share(0.5)))]
    book = ledger(events)
    assert grams(book, JAR) == {"chillies": 1000.0, "salt": 30.0}
    assert mass(book.fills[0].parts) == pytest.approx(whole.mass / 2)


def test_what_was_taken_back_counts_for_nothing() -> None:
    """An undone addition is no ingredient."""
    slip = add("sugar", mx.sugar(0.5))
    events = [*MASH, (4, slip), (5, ev.Undo(1, DAY, "undo", (4,)))]
    assert grams(ledger(events), JAR) == {"chillies": 2000.0, "salt": 60.0}


def test_what_cannot_be_is_left_out_as_the_account_leaves_it_out() -> None:
    """More taken than there is changes nothing here either."""
    events = [*MASH, (4, ev.Take(1, DAY, "", JAR, "spilt", mx.water(50.0)))]
    assert grams(ledger(events), JAR) == {"chillies": 2000.0, "salt": 60.0}


def pour(events: Numbered, part: float = 1.0) -> tuple[Numbered, Numbered]:
    """So much of batch 1 poured into batch 2, which holds a kilo of carrots and 20 g of salt; both accounts."""
    mix = holds(events).share(part)
    other = [
        (20, begin(2)), (21, add("carrots", mx.produce(1.0, "carrot"), number=2)),
        (22, add("salt", mx.salt(0.02), number=2)), (24, ev.Receive(2, on(5), "", JAR, 1, mix, "2026-03-01", "chilli")),
    ]  # fmt: skip
    return [*events, (23, ev.Pour(1, on(5), "", JAR, 2, mix))], other


def test_another_batch_brings_its_own_parts() -> None:
    """Half of the mash poured in: its chillies stand by themselves, and its salt is salt."""
    mine, theirs = pour(MASH, 0.5)
    assert grams(ledger(theirs, {1: mine}.get), JAR) == {"carrots": 1000.0, "salt": 50.0, "chillies": 1000.0}


def test_another_batch_that_is_not_at_hand_is_said_to_be_unknown() -> None:
    """Its parts are not guessed from its name."""
    _, theirs = pour(MASH)
    found = label(batch(theirs), theirs, TODAY)
    assert found is not None
    assert "what came from batch 1 (its parts are not known)" in row(found, "Ingredients").lower()
    assert "write its parts" in row(found, "Not known")
    assert "from batch" not in row(found, "Name")


def test_what_a_batch_got_later_was_not_in_what_was_poured() -> None:
    """Sugar that went into batch 1 after the pouring is no part of batch 2."""
    mine, theirs = pour(MASH, 0.5)
    mine.append((30, add("sugar", mx.sugar(0.3), day=6)))
    assert "sugar" not in grams(ledger(theirs, {1: mine}.get), JAR)


DEEDS = st.lists(
    st.tuples(
        st.sampled_from(["add", "take", "drain", "strain", "split", "tip", "boil", "bottle"]), st.floats(0.01, 0.9)
    ),
    max_size=12,
)


@given(DEEDS, st.booleans())
@example([("boil", 0.875), ("strain", 0.75)], False)
@settings(max_examples=150, deadline=None)
def test_the_parts_weigh_what_the_account_weighs(deeds: list[tuple[str, float]], mixed: bool) -> None:
    """After any deeds the parts of each vessel add up to its weight, to a milligram, and none is below zero."""
    events = [*MASH, (4, add("5% brine", mx.brine(1.0, 0.05)))]
    for at, (deed, part) in enumerate(deeds, 5):
        here = batch(events).vessel("")
        assert here is not None
        held, name = here.holds, here.label
        made: ev.Event = ev.Remark(1, DAY, "", deed)
        if deed == "add":
            made = replace(add("5% vinegar", mx.vinegar(part)), vessel=name)
        elif deed == "take":
            made = ev.Take(1, DAY, "", name, "sample", held.share(part))
        elif deed == "drain":
            made = ev.Take(1, DAY, "", name, "taken out", mx.drain(held, 0.5 * part * held.water)[0])
        elif deed == "strain" and held.solids > 0.01:
            made = ev.Take(1, DAY, "", name, "pulp", held.share(part / 2) + mx.Mixture(solids=held.solids * part / 4))
        elif deed == "split":
            made = ev.Share(1, DAY, "", name, ev.Place(POT if name == JAR else JAR), held.share(part), "split")
        elif deed == "tip":
            made = ev.Move(1, DAY, "", "", ev.Place(JAR))
        elif deed == "boil":
            made = ev.Boil(1, DAY, "", name, part * held.water)
        elif deed == "bottle":
            made = ev.Bottle(1, DAY, "", name, 1, 0.1, held.share(part))
        events.append((at, made))
    now, book = batch(events), ledger(events, mixed=mixed)
    assert not now.odd
    assert all(part >= 0 for parts in book.pots.values() for one in parts for part in one.mix.parts)
    for vessel in now.vessels:
        assert mass(book.pots.get(vessel.label, ())) == pytest.approx(vessel.holds.mass, abs=1e-5)
    for one in book.fills:
        assert mass(one.parts) == pytest.approx(one.event.mix.mass, abs=1e-5)


# what is said ----------------------------------------------------------------------------------


def test_nothing_in_it_has_no_label() -> None:
    """An empty jar that was never bottled."""
    assert label(batch(numbered(begin())), numbered(begin()), TODAY) is None


def test_kinds_that_were_said_are_written_and_others_asked_for() -> None:
    """ "Cider vinegar" and "xanthan" are names; a bare vinegar, gum or produce is not."""
    said = [
        *MASH,
        (4, add("5% vinegar", mx.vinegar(0.2), "200 ml of 5% cider vinegar")),
        (5, add("gum", mx.gum(0.004), "4 g of xanthan")),
    ]
    found = label(batch(said), said, TODAY)
    assert row(found, "Ingredients") == "Chillies, cider vinegar (water, acetic acid), salt, xanthan gum."
    assert not row(found, "Not known")
    bare = [
        *MASH,
        (4, add("5% vinegar", mx.vinegar(0.2))), (5, add("gum", mx.gum(0.004))),
        (6, add("produce", mx.produce(0.1))),
    ]  # fmt: skip
    found = label(batch(bare), bare, TODAY)
    for word in ("which vinegar", "which gum", "kind"):
        assert word in row(found, "Not known").lower()


def test_a_salt_that_is_no_pure_salt_is_named_as_such() -> None:
    """Reduced-sodium salt has other parts, and less sodium than the figures say."""
    events = [*MASH, (4, add("salt", mx.salt(0.01), "10 g of low-sodium salt"))]
    assert "other" not in row(label(batch(MASH), MASH, TODAY), "Not known")
    assert "what else is in the salt" in row(label(batch(events), events, TODAY), "Not known").lower()


def test_what_was_only_remarked_on_belongs_in_the_list() -> None:
    """Mustard written down with no weight is no part of the account, and is not left out silently."""
    events = [*MASH, (4, ev.Remark(1, on(3), "", "a spoon of mustard"))]
    found = label(batch(events), events, TODAY)
    assert "mustard" not in row(found, "Ingredients")
    assert "The weight of mustard: it belongs in the list" in row(found, "Not known")
    malt = [*MASH, (4, add("5% vinegar", mx.vinegar(0.2), "200 ml of 5% malt vinegar"))]
    assert not row(label(batch(malt), malt, TODAY), "Not known")


def bottled(day: int = 30, count: int = 6, size: float = 0.15, start: int = 4) -> Numbered:
    """The mash bottled in part."""
    return [*MASH, (start, ev.Bottle(1, on(day), "", JAR, count, size, mx.draw_volume(holds(MASH), count * size)[0]))]


def test_bottles_give_the_contents_the_day_and_the_lot() -> None:
    """Six of 150 mL on 31 March, day 90 of 2026."""
    events = bottled()
    found = label(batch(events), events, TODAY)
    assert found is not None
    assert (found.what, found.lot, found.net) == (
        "what was bottled on 31 March 2026", "B1-2026-090", "5.07 fl oz (150 mL)",
    )  # fmt: skip
    assert "bottled 31 March 2026 (6 bottles)" in row(found, "Made")


def test_bottles_with_nothing_in_them_are_no_filling() -> None:
    """A count that came with no content (from another book's file) leaves the label to the jar."""
    events = [*MASH, (4, ev.Bottle(1, on(30), "", JAR, 6, 0.15))]
    found = label(batch(events), events, TODAY)
    assert found is not None
    assert found.what == "what is in the 5 L jar now, not bottled yet"


def test_what_goes_in_after_bottling_is_not_in_the_bottles() -> None:
    """The label stays that of the bottles, and says nothing of sugar that went in the jar afterwards."""
    events = [*bottled(), (5, add("sugar", mx.sugar(0.4), day=31))]
    assert "sugar" not in row(label(batch(events), events, TODAY), "Ingredients").lower()


def test_bottles_of_two_kinds_are_told_apart() -> None:
    """A second filling after vinegar went in: the label is the last one's, and says that the first is another."""
    events = [*bottled(), (5, add("5% vinegar", mx.vinegar(0.3), day=35))]
    mix = mx.draw_volume(holds(events), 0.45)[0]
    events.append((6, ev.Bottle(1, on(36), "", JAR, 3, 0.15, mix)))
    found = label(batch(events), events, TODAY)
    assert "vinegar" in row(found, "Ingredients").lower()
    assert "Bottles filled before hold something else" in row(found, "Of what")


def test_two_jars_of_unlike_content_are_told_apart() -> None:
    """The label is of the jar spoken of; the other one's is another."""
    events = [*MASH, (4, ev.Share(1, on(9), "", JAR, ev.Place(POT), holds(MASH).share(0.5), "split"))]
    assert not row(label(batch(events), events, TODAY), "Of what")
    events.append((5, replace(add("5% vinegar", mx.vinegar(0.3)), vessel=POT)))
    found = label(batch(events), events, TODAY)
    assert found is not None
    assert found.what == "what is in pot 1 now, not bottled yet"
    assert "5 L jar holds something else" in row(found, "Of what")


def test_a_size_that_is_said_goes_before_the_bottles_size() -> None:
    """Volume, weight, serving and the person's own date are taken as said; nothing is made up for them."""
    events = bottled()
    date = datetime.date(2027, 3, 1)
    found = label(batch(events), events, TODAY, said=Said(volume=0.25, best_before=date))
    assert found is not None
    assert found.net == "8.45 fl oz (250 mL)"
    assert "1 March 2027, as you said" in row(found, "Best before")
    assert "own trial decides" in row(label(batch(events), events, TODAY), "Best before")
    found = label(batch(events), events, TODAY, said=Said(weight=0.2))
    assert found is not None
    assert found.net == "net wt 7.05 oz (200 g)"
    assert "Not known" in row(label(batch(MASH), MASH, TODAY), "Net contents")


def test_the_other_count_is_said_where_it_changes_the_order() -> None:
    """1.9 of 2 kg of brine drained off 1 kg: the order hangs on how water counts, and both are said."""
    events = numbered(begin(), add("chillies", mx.produce(1.0, "chilli")), add("5% brine", mx.brine(2.0, 0.05)))
    events.append((4, ev.Take(1, DAY, "", JAR, "taken out", mx.drain(holds(events), 1.9)[0])))
    text = row(label(batch(events), events, TODAY), "How counted")
    assert "the order is water, chillies and salt" in text
    assert not row(label(batch(MASH), MASH, TODAY), "How counted")


# storage ---------------------------------------------------------------------------------------

PROVEN = judge(Sample(3.7, "meter", "yes"))
HALF = judge(Sample(4.1, "meter", "yes"))
SOUR = judge(Sample(4.9, "meter", "yes"))


@pytest.mark.parametrize(
    ("heated", "verdict", "line", "why"),
    [
        (False, PROVEN, "Keep refrigerated.", "counts as raw"),
        (False, None, "Keep refrigerated.", "Hand none of it on"),
        (True, PROVEN, "Refrigerate after opening.", "roven below 4.6, 4.2 and 4.0"),
        (True, HALF, "Keep refrigerated.", "not proven below pH 4.0"),
        (True, SOUR, "Keep refrigerated.", "Hand none of it on"),
        (True, None, "Keep refrigerated.", "no pH reading speaks for it"),
    ],
)
def test_the_storage_line_goes_by_heat_and_ph(heated: bool, verdict: Verdict | None, line: str, why: str) -> None:
    """Only a sauce held hot and proven below 4.0 is kept unchilled until it is opened."""
    found = label(batch(MASH), MASH, TODAY, judged=lambda *_: verdict, said=Said(heated=heated))
    assert found is not None
    assert found.storage == line
    assert why in row(found, "Storage")


@pytest.mark.parametrize(
    ("text", "heated"),
    [("pasteurised and capped", True), ("heat treated it", True), ("not heat treated", False),
     ("it wasn't pasteurized", False), ("unpasteurised", False), ("simmered it", False)],
)  # fmt: skip
def test_words_of_a_heat_hold(text: str, heated: bool) -> None:
    """Only what says that it was held hot, and no "not"; simmering is no hold."""
    assert told_heated(text) is heated
    events = [*MASH, (4, ev.Remark(1, on(20), text, text))]
    found = label(batch(events), events, TODAY, judged=lambda *_: PROVEN)
    assert found is not None
    assert (found.storage == "Refrigerate after opening.") is heated


@pytest.mark.parametrize(("worth", "line"), [(9.0, "Refrigerate after opening."), (1.0, "Keep refrigerated.")])
def test_temperatures_in_the_book_outweigh_words(worth: float, line: str) -> None:
    """A heating counts by what it was worth: enough of it needs no words, too little is not made up for by them."""
    heat = ev.Heat(1, on(20), "done", "", (0.0, 5.0), (80.0, 80.0), 3.7, 0.1, worth, 1.2)
    words = "heat treated it"
    for events in ([*MASH, (4, heat)], [*MASH, (4, heat), (5, ev.Remark(1, on(21), words, words))]):
        found = label(batch(events), events, TODAY, judged=lambda *_: PROVEN)
        assert found is not None
        assert found.storage == line


def test_a_hold_before_the_last_addition_does_not_count() -> None:
    """Garlic that went in after it was never hot."""
    events = [
        *MASH,
        (4, ev.Remark(1, on(20), "", "pasteurised")),
        (5, add("garlic", mx.produce(0.1, "garlic"), day=21)),
    ]
    found = label(batch(events), events, TODAY, judged=lambda *_: PROVEN)
    assert found is not None
    assert found.storage == "Keep refrigerated."


def test_a_reading_after_a_later_addition_says_nothing_of_the_bottles() -> None:
    """Vinegar that went into the rest after bottling sours the rest alone: its reading is not asked of the bottles."""
    asked: list[tuple[int, str]] = []

    def judged(one: Batch, vessel: str) -> Verdict | None:
        asked.append((len(one.ph), vessel))
        return None

    sour = ev.Read(1, on(32), "", JAR, "ph", 3.5, "meter", "yes")
    events = [*bottled(), (5, sour)]
    label(batch(events), events, TODAY, judged=judged)
    events = [*bottled(), (5, add("5% vinegar", mx.vinegar(0.3), day=31)), (6, sour)]
    label(batch(events), events, TODAY, judged=judged)
    assert asked == [(1, JAR), (0, JAR)]


def test_simmering_is_said_to_be_no_hold() -> None:
    """Water steamed off shows that it was hot, and not for how long."""
    events = [*MASH, (4, ev.Boil(1, on(20), "", JAR, 0.1))]
    assert "simmering alone is none" in row(label(batch(events), events, TODAY, judged=lambda *_: PROVEN), "Storage")


# allergens -------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "names"),
    [
        ("a splash of fish sauce", ("fish from fish sauce",)),
        ("soy sauce", ("wheat (EU list: cereals with gluten) from soy sauce", "soybeans from soy sauce")),
        ("mustard seed and celery", ("celery (EU list)", "mustard (EU list) from mustard seed")),
        ("a spoon of whey", ("milk from whey",)),
        ("malt vinegar", ("cereals with gluten (EU list) from malt",)),
        ("one Campden tablet", ("sulphites from 10 ppm (EU list: sulphites over 10 mg/kg) from campden",)),
        ("no fish sauce in it", ()),
        ("no garlic, some fish sauce", ("fish from fish sauce",)),
        ("gluten and wheat free", ()),
        ("fished a chilli out", ()),
        ("coconut milk and cream of tartar", ()),
        ("eggplant", ()),
    ],
)
def test_allergens_are_named_by_the_words(text: str, names: tuple[str, ...]) -> None:
    """A word for it names it; a "no" before it, or a word that only looks alike, does not."""
    assert allergens.told(allergens.named([text])) == names


def test_an_allergen_is_never_said_to_be_absent() -> None:
    """With or without one named, the person is asked about the rest."""
    assert "did fish sauce" in row(label(batch(MASH), MASH, TODAY), "Allergens")
    events = [*MASH, (4, ev.Remark(1, on(3), "", "20 g of fish sauce went in"))]
    text = row(label(batch(events), events, TODAY), "Allergens")
    assert text.startswith("Contains: fish from fish sauce. Not known to me: did shrimp paste")
    assert "free" not in text


def test_an_allergen_of_a_batch_that_was_poured_in_counts() -> None:
    """Its words are read too."""
    mine, theirs = pour([*MASH, (4, ev.Remark(1, on(3), "", "some mustard in it"))], 0.5)
    found = label(batch(theirs), theirs, TODAY, others={1: mine}.get)
    assert found is not None
    assert found.contains == ("mustard (EU list)",)


# the sheet -------------------------------------------------------------------------------------


def test_the_sheet_prints_the_label_escaped() -> None:
    """Every row stands on the sheet with the law's word below, and a person's name for a thing is no markup."""
    events = [*MASH, (4, add("<b>hot</b> stuff", mx.sugar(0.2)))]
    found = label(batch(events), events, TODAY)
    assert found is not None
    text = page(batch(events), events, TODAY, label=found)
    assert "<h2>Label</h2>" in text
    assert "&lt;b&gt;hot&lt;/b&gt; stuff" in text
    assert "<b>hot</b>" not in text
    assert LAW in text
    assert all(f"<strong>{name}:</strong>" in text for name, _ in found.rows)
    assert "<h2>Label</h2>" not in page(batch(events), events, TODAY)


def test_the_account_is_not_touched() -> None:
    """A label changes no batch."""
    before = batch(MASH)
    label(before, MASH, TODAY)
    assert before == apply(batch(MASH[:-1]), SALT)
