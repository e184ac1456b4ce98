"""The sheet of a batch: one page that stands alone, closes its account and says everything that happened."""

from __future__ import annotations

import datetime
import itertools
import re
from dataclasses import replace
from html.parser import HTMLParser
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.batches import events as ev
from assistant.batches.batch import Batch, fold, live
from assistant.batches.describe import describe
from assistant.batches.figure import figure
from assistant.batches.sheet import STANDING, page
from assistant.trade import mixture as mx

DAY = datetime.date(2026, 3, 1)
TODAY = datetime.date(2026, 4, 2)
CROCK = ev.Place("the 10 L crock", "crock", 10.0)
BUCKET = ev.Place("the 8 L bucket", "bucket", 8.0)
JAR = ev.Place("the small jar", "jar")
VOID = {"meta", "br", "hr", "img", "input", "link", "col"}
HOSTILE = "<script>alert(1)</script>\"'&"


def on(day: int) -> datetime.date:
    """So many days after the first of March."""
    return DAY + datetime.timedelta(days=day)


def book() -> list[tuple[int, ev.Event]]:
    """A made-up batch: mash under brine, carrots later, strained, thickened, bottled, partly poured into another."""
    out: list[tuple[int, ev.Event]] = []

    def happened(event: ev.Event) -> int:
        out.append((31 + len(out), event))
        return out[-1][0]

    def held(label: str) -> mx.Mixture:
        vessel = fold(Batch(7), live(out)).vessel(label)
        assert vessel is not None
        return vessel.holds

    crock, bucket = CROCK.label, BUCKET.label
    happened(ev.Begin(7, on(0), "start a batch in the 10 L crock", "Late Summer Red", CROCK))
    red = mx.produce(3.2, "chilli", 0.0008)
    happened(ev.Add(7, on(0), "3.2 kg of reds", crock, "red chillies", red, True, "chilli"))
    happened(ev.Add(7, on(0), "4 L of brine at 4%", crock, "4% brine", mx.brine_volume(4, 0.04)))
    slip = happened(ev.Add(7, on(0), "500 g salt", crock, "salt", mx.salt(0.5)))
    happened(ev.Undo(7, on(0), "no, undo that", (slip,)))
    happened(ev.Add(7, on(0), "50 g salt", crock, "salt", mx.salt(0.05)))
    back = happened(ev.Remark(7, on(1), "bubbling", "bubbling"))
    happened(ev.Undo(7, on(1), "undo", (back,)))
    happened(ev.Redo(7, on(1), "redo", (back,)))
    for day, value, method in ((0, 5.6, "strip"), (2, 5.0, "strip"), (4, 4.4, ""), (7, 4.05, "meter")):
        happened(ev.Read(7, on(day), f"{value}", crock, "ph", value, method))
    for day, value in ((0, 21.0), (4, 24.5)):
        happened(ev.Read(7, on(day), f"{value} C", crock, "temperature", value, "thermometer"))
    happened(ev.Add(7, on(9), "400 g of carrots", crock, "carrots", mx.produce(0.4, "carrot"), True, "carrot"))
    happened(ev.Take(7, on(10), "30 g out", crock, "sample", mx.draw(held(crock), 0.03)[0]))
    happened(ev.Share(7, on(28), "900 g of pulp", crock, JAR, mx.strain(held(crock), 0.9)[1], "pulp strained off"))
    happened(ev.Move(7, on(28), "the rest into the bucket", crock, BUCKET))
    happened(ev.Add(7, on(28), "300 mL of vinegar", bucket, "5% vinegar", mx.vinegar(0.3)))
    happened(ev.Add(7, on(28), "6 g xanthan", bucket, "xanthan gum", mx.gum(0.006)))
    happened(ev.Boil(7, on(28), "boiled off 200 g", bucket, 0.2))
    happened(ev.Receive(7, on(28), "", bucket, 3, mx.brine(0.25, 0.05), "2026-02-01", "garlic"))
    happened(ev.Bottle(7, on(29), "12 bottles", bucket, 12, 0.15, mx.draw_volume(held(bucket), 1.8)[0]))
    happened(ev.Pour(7, on(30), "500 g into batch 4", bucket, 4, mx.draw(held(bucket), 0.5)[0]))
    happened(ev.Call(7, on(31), "call it Ember", "Ember"))
    return out


BOOK = book()
BATCH = fold(Batch(7), live(BOOK))
VERDICTS = (
    ("note", "Keep unheated sauce cold.", "common practice, no source"),
    ("stop", "Carrots went in on day 9: watch it as if it were new.", "FDA draft Guidance for Industry (Sept 2010)"),
)


class Parsed(HTMLParser):
    """A page taken apart: its tags in order, their attributes, and all text by the tag that holds it."""

    def __init__(self, text: str) -> None:
        super().__init__(convert_charrefs=True)
        self.open: list[str] = []
        self.tags: list[str] = []
        self.attributes: list[tuple[str, str, str]] = []
        self.texts: list[tuple[str, str]] = []
        self.feed(text)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """A tag that is opened, or stands for itself."""
        self.tags.append(tag)
        self.attributes += [(tag, name, value or "") for name, value in attrs]
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """A tag closed in itself (of the drawings)."""
        self.tags.append(tag)
        self.attributes += [(tag, name, value or "") for name, value in attrs]

    def handle_endtag(self, tag: str) -> None:
        """A closing tag: it closes the last one opened."""
        assert tag == self.open.pop()

    def handle_data(self, data: str) -> None:
        """Text within the tag opened last."""
        if data.strip():
            self.texts.append((self.open[-1] if self.open else "", " ".join(data.split())))

    @property
    def words(self) -> str:
        """All text that is read."""
        return " ".join(text for tag, text in self.texts if tag not in ("style", "title"))


def sheet(batch: Batch = BATCH, events: Any = BOOK, **style: Any) -> Parsed:
    """The sheet of a batch, parsed; it is well-formed."""
    parsed = Parsed(page(batch, events, TODAY, **style))
    assert [] == parsed.open
    return parsed


def cells(text: str, heading: str) -> list[list[str]]:
    """The rows of the table under a heading, as text."""
    part = text.split(f"<h2>{heading}</h2>")[1].split("</section>", maxsplit=1)[0]
    rows = re.findall(r"<tr[^>]*>(.*?)</tr>", part, re.DOTALL)
    strip = re.compile(r"<[^>]+>")
    return [
        [strip.sub("", one).replace("\u00a0", " ") for one in re.findall(r"<t[dh][^>]*>(.*?)</t[dh]>", row)]
        for row in rows
    ]


def grams(cell: str) -> int:
    """A weight of the account: "8 214 g"."""
    return int(cell.removesuffix(" g").replace("\u202f", ""))


def alone(text: str) -> list[str]:
    """What of a page would need or run anything from outside; no names in words, only markup and style."""
    parsed = Parsed(text)
    found = [tag for tag in parsed.tags if tag in ("script", "link", "iframe", "img", "object", "embed", "base", "use")]
    found += [
        f"{tag} {name}"
        for tag, name, value in parsed.attributes
        if name in ("src", "href", "srcset", "action", "xlink:href", "style") or name.startswith("on") or ":" in value
    ]
    style = " ".join(words for tag, words in parsed.texts if tag == "style")
    return found + [one for one in ("@import", "url(", "http", "expression") if one in style]


def test_the_page_is_well_formed_and_needs_nothing_from_outside() -> None:
    """Every tag is closed in its order; no script, no link, no picture, no font from anywhere."""
    text = page(BATCH, BOOK, TODAY, verdicts=VERDICTS, sources=("A table of foods",))
    assert [] == Parsed(text).open
    assert [] == alone(text)
    assert "http" not in text
    assert text.startswith("<!DOCTYPE html>\n")


def test_a_link_in_a_source_is_text() -> None:
    """A source may name an address; it stands there to be read, not to be fetched."""
    text = page(BATCH, BOOK, TODAY, sources=("tables at https://example.org/foods",))
    assert "tables at https://example.org/foods" in Parsed(text).words
    assert [] == alone(text)


@pytest.mark.parametrize(
    "hostile",
    [HOSTILE, "</style><script>alert(1)</script>", "</title><img src=x onerror=alert(1)>", "a\x00b\x1b[31m\u202eb"],
)
def test_what_a_person_says_cannot_become_markup(hostile: str) -> None:
    """A name, vessel, produce, reason, remark, caution or source of markup is shown as it was written, and runs not."""
    place = ev.Place(hostile, hostile, 5.0)
    events: list[tuple[int, ev.Event]] = list(
        enumerate(
            (
                ev.Begin(7, DAY, hostile, hostile, place),
                ev.Add(7, DAY, hostile, hostile, hostile, mx.produce(1.0), True, hostile),
                ev.Add(7, on(1), hostile, hostile, hostile, mx.produce(1.0), True, hostile),
                ev.Take(7, on(1), hostile, hostile, hostile, mx.produce(0.1)),
                ev.Take(7, on(1), hostile, hostile, hostile, mx.salt(9.0)),
                ev.Read(7, on(1), hostile, hostile, "ph", 4.0, "meter", hostile),
                ev.Read(7, on(1), hostile, hostile, "temperature", 20.0),
                ev.Remark(7, on(1), hostile, hostile),
                ev.Bottle(7, on(1), hostile, hostile, 1, 0.1, mx.produce(0.1)),
                ev.Close(7, on(2), hostile, hostile),
            ),
            start=1,
        )
    )
    batch = fold(Batch(7), live(events))
    plain = page(fold(Batch(7), live(BOOK)), BOOK, TODAY, verdicts=[("stop", "a", "b")])
    text = page(batch, events, TODAY, verdicts=[(hostile, hostile, hostile)], sources=[hostile])
    parsed = Parsed(text)
    assert [] == parsed.open
    assert [] == alone(text)
    assert set() == set(parsed.tags) - set(Parsed(plain).tags)
    shown = "".join(one if one.isprintable() else " " for one in hostile)
    assert 15 < parsed.words.count(" ".join(shown.split()))
    assert [] == [one for one in "\x00\x1b\u202e" if one in text]


@settings(max_examples=25)
@given(st.text(max_size=60), st.text(max_size=60))
def test_any_words_leave_the_page_well_formed(name: str, said: str) -> None:
    """Whatever the batch is called and whatever was said, the page parses to the same tags."""
    events = [(1, ev.Begin(7, DAY, said, name, CROCK)), (2, ev.Remark(7, DAY, said, said))]
    parsed = sheet(fold(Batch(7), live(events)), events)
    bare = [(1, ev.Begin(7, DAY, "x", "x", CROCK)), (2, ev.Remark(7, DAY, "x", "x"))]
    assert set(parsed.tags) <= set(sheet(fold(Batch(7), live(bare)), bare).tags) | {"p"}


def test_the_account_closes_to_the_gram() -> None:
    """Put in is what is there and what was taken out by reason; what was put in is worked out by hand below."""
    rows = {row[0]: row[1] for row in cells(page(BATCH, BOOK, TODAY), "The account")[1:]}
    # 4 L of 4 % brine at 1.0268 kg/L (CRC Handbook, from memory); 300 mL of 5 % vinegar at 1.005 kg/L (CRC, the same)
    went_in = grams(rows["Put in"])
    assert pytest.approx(3200 + 4 * 1026.8 + 50 + 400 + 300 * 1.005 + 6 + 250, abs=2) == went_in
    assert (30, 200, 500) == tuple(
        grams(rows[f"Taken out: {one}"]) for one in ("sample", "steamed off", "poured into batch 4")
    )
    parts = [grams(cell) for name, cell in rows.items() if name.startswith(("Still in", "Taken out"))]
    assert went_in == sum(parts) == grams(rows["There and taken out, together"])
    assert 0 == grams(rows["Difference"])


@settings(max_examples=50)
@given(st.lists(st.floats(0.0001, 5), min_size=1, max_size=9), st.floats(0, 1))
def test_rounded_weights_still_add_up(masses: list[float], part: float) -> None:
    """However the grams round, the rows of the account add up to the row below them, and the difference is nothing."""
    events: list[tuple[int, ev.Event]] = [(1, ev.Begin(7, DAY, place=CROCK))]
    for mass in masses:
        events.append((0, ev.Add(7, DAY, vessel=CROCK.label, what="salt", mix=mx.salt(mass))))
        events.append((0, ev.Take(7, DAY, vessel=CROCK.label, why=f"{mass}", mix=mx.salt(part * mass))))
    numbered = [(at, event) for at, (_, event) in enumerate(events, start=1)]
    rows = cells(page(fold(Batch(7), live(numbered)), numbered, TODAY), "The account")[1:]
    put_in, *parts, together, difference = (grams(row[1]) for row in rows)
    assert put_in == sum(parts) == together
    assert 0 == difference


def test_a_loss_nobody_noted_is_shown() -> None:
    """A batch whose account does not close says by how much: 100 g went missing here."""
    crock = next(one for one in BATCH.full if one.label == BUCKET.label)
    rest = tuple(replace(one, holds=mx.draw(one.holds, 0.1)[1]) if one is crock else one for one in BATCH.vessels)
    rows = {row[0]: row[1] for row in cells(page(replace(BATCH, vessels=rest), BOOK, TODAY), "The account")[1:]}
    assert 100 == grams(rows["Difference"])
    assert grams(rows["Put in"]) == grams(rows["There and taken out, together"]) + 100


def test_every_event_is_there_in_its_order_with_the_words_said() -> None:
    """Each event has its number in the book, its day, its description and what was said."""
    rows = cells(page(BATCH, BOOK, TODAY), "What happened")[1:]
    assert [str(seq) for seq, _ in BOOK] == [row[0] for row in rows]
    for (_, event), row in zip(BOOK, rows, strict=True):
        told = row[2].replace("&quot;", '"')
        assert told.startswith(describe(event))
        assert event.said in told


def test_what_was_taken_back_is_struck_through_and_says_so() -> None:
    """The 500 g of salt are struck out; the remark that was put back, and the taking back itself, are not."""
    text = page(BATCH, BOOK, TODAY)
    struck = re.findall(r"<del>(.*?)</del>", text)
    assert ["500 g salt put into the 10 L crock", "&quot;500 g salt&quot;"] == [
        re.sub("<[^>]+>", "", one).replace('"', "&quot;") for one in struck
    ]
    assert 1 == text.count('<span class="tag">taken back</span>')
    assert "entry 34 taken back" in text


def test_what_is_in_each_vessel_is_told() -> None:
    """Weight, volume, salt on three bases, acid, sugar, gum, sodium, heat, headspace and ages, for each vessel."""
    parsed = sheet()
    names = [text for tag, text in parsed.texts if tag == "dt"]
    values = [text for tag, text in parsed.texts if tag == "dd"]
    both = {"Weight", "Volume", "Salt of everything", "Salt of produce and water", "Salt of the brine", "Gum"}
    both |= {"Acetic acid of vinegar", "Sugar, at most", "Sodium in a teaspoon (5 g)", "Sodium in 100 g", "Heat"}
    assert both == {one for one in names if names.count(one) == 2} - {"Oldest produce", "Youngest produce"}
    assert 1 == names.count("Headspace")
    assert "carrots, 23 days" in values
    assert "garlic, 60 days" in values
    bucket = next(one.holds for one in BATCH.full if one.label == BUCKET.label)
    salt, wet = bucket.salt, bucket.water
    shown = {f"{100 * salt / over:.3g}%" for over in (bucket.mass, bucket.mass - salt, wet + salt)}
    assert shown <= set(values)
    # sodium is 39.34 % of salt by the atomic weights
    assert f"{0.3934 * salt / bucket.mass * 1e5:.0f} mg" in values


def test_heat_and_headspace_are_left_out_where_nobody_can_know() -> None:
    """No capsaicinoids in the account, no heat; no capacity, no headspace; over the brim is said."""

    def one(place: ev.Place, mass: float) -> list[str]:
        events = [(1, ev.Begin(7, DAY, place=place)), (2, ev.Add(7, DAY, vessel=place.label, mix=mx.water(mass)))]
        return [text for tag, text in sheet(fold(Batch(7), live(events)), events).texts if tag in ("dt", "dd")]

    assert [] == [name for name in one(JAR, 1.0) if name in ("Heat", "Headspace")]
    assert "about 2 L (20%)" in one(CROCK, 8 * 0.998207)
    assert "none, about 2 L over the brim" in one(CROCK, 12 * 0.998207)


def test_the_recipe_is_of_all_that_was_put_in() -> None:
    """Each addition that counts with its day, weight and share; the shares are of the whole, and come to 100 %."""
    head, *rows, total = cells(page(BATCH, BOOK, TODAY), "What went in")
    assert ["Date", "What", "Weight", "Of all"] == head
    assert ["1 Mar 2026", "red chillies (fresh)", "3.2 kg"] == rows[0][:3]
    assert [one.what for one in BATCH.added] == [row[1].removesuffix(" (fresh)") for row in rows]
    assert "500 g" not in [row[2] for row in rows]
    assert pytest.approx(100, abs=0.5) == sum(float(row[3].removesuffix("%")) for row in rows)
    assert "100%" == total[3]


def test_cautions_stand_first_and_the_worst_before_the_others() -> None:
    """A stop is above a note whatever order they come in, each with its word and its source."""
    words = sheet(verdicts=VERDICTS).words
    order = ["Cautions", "Stop: Carrots", "[FDA draft Guidance", "Note: Keep", "[common practice", "In the vessels now"]
    assert sorted(words.index(one) for one in order) == [words.index(one) for one in order]


def test_an_entry_that_cannot_be_is_told() -> None:
    """More taken out than there was: it is not counted, and the sheet says so."""
    events = [(1, ev.Begin(7, DAY, place=CROCK)), (2, ev.Take(7, DAY, "2 kg out", CROCK.label, "spilt", mx.water(2)))]
    assert "Does not fit, not counted: 2026-03-01 2 kg out" in sheet(fold(Batch(7), live(events)), events).words


def test_the_standing_words_and_the_sources_are_there() -> None:
    """Every sheet says what it is not, and what its numbers rest on."""
    parsed = sheet(sources=("A table of foods",))
    assert STANDING == "An account and a calculator, not a process authority: local rules decide for anything sold."
    assert STANDING in parsed.words
    sources = [text for tag, text in parsed.texts if tag == "li"]
    assert "A table of foods" == sources[0]
    assert ["Volumes", "Sodium", "Heat", "pH lines", "Temperature lines"] == [one.split(":")[0] for one in sources[1:]]


def test_readings_are_drawn_by_their_method_and_limits_are_labelled() -> None:
    """A disc for the meter, squares for strips, a diamond where nobody said; lines at 4.6 and 4.0; fresh produce."""
    drawing = figure(BATCH.ph, "ph", marks=[(on(0), "chillies"), (on(9), "carrots")])
    parsed = Parsed(drawing)
    assert [] == parsed.open
    # one more of each in the legend
    assert (1 + 1, 2 + 1) == (parsed.tags.count("circle"), parsed.tags.count("rect"))
    assert (1 + 1, 2 + 1) == (drawing.count('<path class="open"'), drawing.count('<path class="added"'))
    assert 2 == drawing.count('class="limit"')
    texts = [text for _, text in parsed.texts]
    assert {"4.6 limit", "4.0 aim", "meter", "strip", "not said how", "fresh produce", "1 Mar 2026"} <= set(texts)


def test_below_a_drawing_it_is_said_in_words() -> None:
    """The readings as one sentence, and which fresh produce went in when; brine, salt and vinegar are none."""
    said = [text for tag, text in sheet().texts if tag == "figcaption"]
    assert said[0].startswith("pH 5.6 on 1 March by strip, 5.0 on 3 March by strip, 4.4 on 5 March, 4.05 on 8 March")
    assert said[0].endswith(". Fresh produce: day 0 red chillies, day 9 carrots.")


def test_a_drawing_names_only_the_marks_that_occur() -> None:
    """Meter readings alone have neither strip nor produce in the legend."""
    texts = [text for _, text in Parsed(figure([one for one in BATCH.ph if one.method == "meter"], "ph")).texts]
    assert {"meter"} == set(texts) & {"meter", "strip", "thermometer", "not said how", "fresh produce"}


@given(
    st.lists(st.tuples(st.integers(0, 800), st.floats(0, 14)), min_size=1, max_size=20),
    st.sampled_from(["ph", "temperature"]),
)
def test_everything_drawn_lies_within_the_drawing(readings: list[tuple[int, float]], of: str) -> None:
    """Whatever was read, marks and lines stay in the frame, and a higher reading is never lower down."""
    points = [ev.Read(7, on(day), value=value, method="meter") for day, value in readings]
    batch = fold(Batch(7), enumerate((ev.Begin(7, DAY, place=CROCK), *points)))
    drawing = figure(batch.ph, of)
    _, _, width, height = map(float, re.search(r'viewBox="([^"]+)"', drawing).group(1).split())  # type: ignore[union-attr]
    across = [float(one) for one in re.findall(r'\b(?:x|x1|x2|cx)="([^"]+)"', drawing)]
    down = [float(one) for one in re.findall(r'\b(?:y|y1|y2|cy)="([^"]+)"', drawing)]
    assert 0 <= min(across) <= max(across) <= width
    assert 0 <= min(down) <= max(down) <= height
    discs = [float(one) for one in re.findall(r'cy="([^"]+)"', drawing)][: len(points)]
    order = sorted(range(len(points)), key=lambda at: batch.ph[at].value)
    assert all(discs[low] >= discs[high] for low, high in itertools.pairwise(order))


def test_pounds_and_fahrenheit_are_used_throughout() -> None:
    """In a kitchen of pounds the recipe, the account and the readings are in its units (3.2 kg is 7 lb 0.9 oz)."""
    text = page(BATCH, BOOK, TODAY, pounds=True, fahrenheit=True)
    assert "7 lb 0.9 oz (3.2 kg)" == cells(text, "What went in")[1][2]
    assert ["", "Weight", "In pounds"] == cells(text, "The account")[0]
    assert ["1 Mar 2026", "69.8 F", "by thermometer, the 10 L crock"] == cells(text, "Temperature")[1]
    assert "75 F warm" in text
    assert "24 C warm" not in text


def test_many_temperatures_are_told_by_the_month() -> None:
    """Ninety daily readings make four rows: how many, the lowest and the highest of each month."""
    reads = [ev.Read(7, on(day), of="temperature", value=15 + day % 10) for day in range(90)]
    events = list(enumerate((ev.Begin(7, DAY, place=CROCK), *reads), start=1))
    rows = cells(page(fold(Batch(7), live(events)), events, TODAY), "Temperature")
    assert ["Month", "Readings", "Lowest", "Highest"] == rows[0]
    assert ["March 2026", "31", "15 C", "24 C"] == rows[1]
    assert 3 == len(rows[1:])


def test_the_head_says_which_batch_how_old_and_how_it_stands() -> None:
    """Name, number, the days begun and last written to, the age, the last pH with how it was read, the bottles."""
    parsed = sheet()
    head = parsed.words.split("In the vessels now")[0]
    wanted = ["Ember", "Batch 7", "Sunday 1 March 2026", "Wednesday 1 April 2026", "32 days (4 weeks 4 days)"]
    wanted += ["4.05 by meter, 8 Mar 2026", "24.5 C by thermometer, 5 Mar 2026", "12 bottles, 1.8 L"]
    assert [] == [one for one in wanted if one not in head]
    assert ("title", "Ember (batch 7)") in parsed.texts


def test_a_batch_of_which_nothing_is_known_has_a_sheet() -> None:
    """No begin, no vessel, no reading: the page says so instead of showing empty tables."""
    parsed = sheet(Batch(9), [])
    wanted = ["Batch 9", "not known", "Nothing is in any vessel.", "Nothing went in.", "No pH reading yet."]
    assert [] == [one for one in wanted if one not in parsed.words]
    assert "svg" not in parsed.tags


def test_a_batch_begun_today_and_one_that_is_over_say_so() -> None:
    """Its age is "today"; how it ended stands in the head, with nothing left in a vessel."""
    events = [
        (1, ev.Begin(7, TODAY, place=CROCK)),
        (2, ev.Add(7, TODAY, vessel=CROCK.label, what="water", mix=mx.water(1))),
        (3, ev.Take(7, TODAY, vessel=CROCK.label, why="thrown out", mix=mx.water(1))),
        (4, ev.Close(7, TODAY, why="thrown out")),
    ]
    words = sheet(fold(Batch(7), live(events)), events).words
    assert "Age today" in words
    assert "Over thrown out" in words
    assert "Nothing is in any vessel." in words


def test_printed_rows_hold_together_and_heads_are_repeated() -> None:
    """The style keeps a row on one sheet of paper, repeats a table's head, and numbers the pages with the batch."""
    style = page(BATCH, BOOK, TODAY).split("<style>")[1].split("</style>")[0]
    printed = style.split("@media print")[1]
    assert re.search(r"tr, [^{]*\{ break-inside: avoid; \}", printed)
    assert "thead { display: table-header-group; }" in printed
    assert 'content: "Batch 7"' in style
    assert style.count("{") == style.count("}")


def test_no_meaning_is_in_a_colour() -> None:
    """Every colour on the page is a grey."""
    text = page(BATCH, BOOK, TODAY, verdicts=VERDICTS)
    colours = set(re.findall(r"#[0-9a-fA-F]{3,6}\b", text))
    assert {"#000", "#fff"} <= colours
    assert [] == [one for one in colours if len(set(one[1:])) > 1]
