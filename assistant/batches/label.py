"""The facts of a label, worked out of a batch's account: what is on it, how much of it, and what nobody knows.

It is no label approval and no permission to sell. What the account does not know is said as not known: a kind of
vinegar or gum that nobody named, the parts of another batch, a shelf life. The figures follow US rounding (21 CFR
101.9(c)) with the EU's salt beside them; each row names its rule.
"""

from __future__ import annotations

import datetime
import math
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from assistant.batches import allergens
from assistant.batches import events as ev
from assistant.batches.batch import Batch, fold, live
from assistant.batches.describe import day_words, the
from assistant.batches.ingredients import (
    UNKNOWN_BATCH,
    UNKNOWN_PRODUCE,
    WATER_RULE,
    Events,
    Fill,
    Ledger,
    Others,
    Parts,
    ledger,
    mass,
    ranked,
    together,
)
from assistant.declare import PRACTICE, Source
from assistant.rules.salt import PH_LIMIT, PH_METER
from assistant.rules.verdict import Verdict, lead
from assistant.show import number
from assistant.trade.mixture import SODIUM, Mixture, merge
from assistant.trade.nutrition import ENERGY, US_LABEL, US_SPOON, us_calories, us_sodium, us_sugars
from grammar.later import regex

ORDER = Source("21 CFR 101.4(a)(1): ingredients in descending order of predominance by weight")
TWO_PERCENT = Source("21 CFR 101.4(a)(2): those of 2 % or less may stand last, after 'contains 2 percent or less of'")
NET = Source(
    "21 CFR 101.7: net contents in US and metric measure, liquids in fluid ounces; from a pint to under a gallon in "
    "ounces and then in pints and quarts. Rounded down to three digits, as NIST Handbook 130 has it",
    seen=False,
)
SERVINGS = Source("FDA NLEA guide, attachment 6: servings from 2 to 5 to the nearest half, above 5 whole, with 'about'")
NAME = Source("21 CFR 101.3: the common or usual name, or a plain description", seen=False)
EU_SALT = Source("EU guidance on tolerances, December 2012: salt of 1 g or more to 0.1 g, below it to 0.01 g",
                 seen=False)  # fmt: skip
LOT = Source("batch, year and day of the year in three digits: common practice, no source")
SHELF = Source(f"proven below {PH_METER:.1f} for a heated sauce kept unchilled: {PRACTICE}")

LAW = (
    "These are facts for a label, and no permission to sell. Local law decides what it must carry (your name and "
    "address too) and whether it may be sold at all: ask the local authority, and a process authority for the process."
)

LAW_IN_SHORT = "Local law decides what a label must carry; this is no permission to sell."

MINOR = 0.02
"""A share of this or less may stand last (TWO_PERCENT)."""
TEASPOON = 0.005
"""L of a serving (US_SPOON)."""
FLUID_OUNCE = 0.0295735295625
"""L of a US fluid ounce: 231 cubic inches a gallon, exact."""
OUNCE = 0.028349523125
"""kg of an ounce, exact."""
PINT, GALLON = 16, 128
"""Fluid ounces."""


@dataclass(frozen=True)
class Said:
    """What a person says of the label, beyond the account; all may be left out.

    Attributes:
        volume: L in a bottle.
        weight: kg in a bottle, for what is sold by weight.
        serving: L of a serving.
        best_before: their own date.
        heated: that it was held hot.
        vessel: the vessel it is asked of, by its name.
    """

    volume: float = 0.0
    weight: float = 0.0
    serving: float = 0.0
    best_before: datetime.date | None = None
    heated: bool = False
    vessel: str = ""


@dataclass(frozen=True)
class Figures:
    """A serving's figures before rounding: grams, mg of sodium, g of sugars, kcal; and the EU's g of salt in 100 g."""

    grams: float
    sodium: float
    sugars: float
    energy: float
    eu_salt: float


@dataclass(frozen=True)
class Label:
    """What a label may say. ``parts`` stand in the order of a label, ``otherwise`` as they would the other way.

    Attributes:
        batch: its number.
        what: what it is the label of: "what was bottled on 2 October 2026".
        rows: the lines, each with its heading, in the order of a label.
        parts: the ingredients with their kg, the heaviest first.
        figures: of a serving.
        lot: the code.
        contains: the allergens named.
        unknown: what the account does not know of the ingredients.
        net: the net contents, "" if no size is known.
        storage: the storage line.
    """

    batch: int
    what: str
    rows: tuple[tuple[str, str], ...] = ()
    parts: Parts = ()
    figures: Figures = Figures(0, 0, 0, 0, 0)
    lot: str = ""
    contains: tuple[str, ...] = ()
    unknown: tuple[str, ...] = ()
    net: str = ""
    storage: str = ""

    def row(self, *headings: str) -> tuple[tuple[str, str], ...]:
        """Some of the rows."""
        return tuple(one for one in self.rows if one[0] in headings)


Judged = Callable[[Batch, str], Verdict | None]
"""What is proven of a vessel of a batch."""


def label(
    batch: Batch,
    events: Events,
    today: datetime.date,
    *,
    judged: Judged = lambda batch, vessel: None,
    others: Others = lambda number: None,
    said: Said | None = None,
) -> Label | None:
    """The label of what was bottled last, else of what is in the vessel spoken of; None if there is nothing.

    Args:
        batch: as it is now.
        events: all of its events, from the first.
        today: the day it is asked on.
        judged: what the last pH reading of a vessel of the batch proves.
        others: the events of batches that were poured into it.
        said: what the person said of the label.
    """
    said = said or Said()
    book, other_way = ledger(events, others), ledger(events, others, mixed=True)
    found = _product(batch, book, said.vessel)
    if found is None:
        return None
    parts, mix, what, aside, vessel, fills = found
    mixed, *_ = _product(batch, other_way, said.vessel) or (parts,)
    order = ranked(parts, book.order)
    bottled = fills[-1].event.day if fills else None
    texts = _told(events, others, batch.number, {batch.number})
    named = allergens.named(texts)
    contains = allergens.told(named)
    unknown = _unknown(parts, texts, [word for _, word in named])
    size = said.volume or (
        0.0 if said.weight else next((one.event.size for one in reversed(fills) if one.event.size), 0.0)
    )
    net = net_volume(size) if size else net_weight(said.weight) if said.weight else ""
    figures = figures_of(mix, said.serving or TEASPOON)
    simmered = any(isinstance(one, ev.Boil) for _, one in live(events))
    verdict = judged(_as_filled(batch, events, fills), vessel)
    storage, why = _storage(_heated(batch, said), verdict, simmered=simmered)
    lot = lot_code(batch.number, bottled or today)
    rows = [
        ("Name", f"{_name(batch, order)}. Yours to word: a plain description (21 CFR 101.3)."),
        ("Ingredients", f"{_listed(order)}."),
        ("By weight", _shares(order)),
        ("Two percent rule", _minor(order)),
        ("How counted", _counted(book, order, ranked(mixed, other_way.order))),
        ("Not known", _sentences(unknown)),
        ("Net contents", _net(net, size, said)),
        ("A serving", _serving(figures, said.serving or TEASPOON, size)),
        ("Allergens", (f"Contains: {'; '.join(contains)}. " if contains else "") + allergens.check(named)),
        ("Lot", _lot(lot, batch.number, bottled, today)),
        ("Made", _made(batch, fills)),
        ("Best before", _best(said)),
        ("Storage", f"{storage} {why}"),
        ("Of what", aside),
    ]  # fmt: skip
    return Label(
        batch.number, what, tuple(one for one in rows if one[1]), order, figures, lot, contains, unknown, net, storage
    )


# what it is a label of -------------------------------------------------------------------------


Product = tuple[Parts, Mixture, str, str, str, tuple[Fill, ...]]


def _product(batch: Batch, book: Ledger, named: str = "") -> Product | None:
    """Parts and mixture of what is labelled, its name, what else there is, its vessel, and the fillings it is of.

    Of a vessel that is ``named`` what is in it now, and of an empty one what was filled from it.
    """
    full = batch.full
    last = next((one for one in reversed(book.fills) if named in ("", one.vessel)), None)
    if last is not None and not any(one.label == named for one in full):
        day, vessel = last.event.day, last.vessel
        mine = tuple(one for one in book.fills if one.event.day == day and one.vessel == vessel)
        rest = tuple(one for one in book.fills if one not in mine)
        parts, mix = _sum(mine), merge(*(one.event.mix for one in mine))
        aside = ""
        if any(not _alike(parts, one.parts) for one in rest):
            aside = (
                f"This is what was filled from {the(vessel)} on {day_words(day)}. Bottles filled before hold something "
                "else: their label is another."
            )
        return parts, mix, f"what was bottled on {day_words(day)}", aside, vessel, mine
    wanted = named or batch.current
    here = next((one for one in full if one.label == wanted), None if named else next(iter(full), None))
    if here is None:
        return None
    parts = book.pots.get(here.label, ())
    differs = [one.label for one in full if not _alike(parts, book.pots.get(one.label, ()))]
    aside = f"{', '.join(the(one) for one in differs)} holds something else: its label is another." if differs else ""
    return parts, here.holds, f"what is in {the(here.label)} now, not bottled yet", _upper(aside), here.label, ()


def _as_filled(batch: Batch, events: Events, fills: Sequence[Fill]) -> Batch:
    """The batch whose readings speak for the bottles: as it was filled, if anything went into it afterwards."""
    if not fills:
        return batch
    later = [one for seq, one in live(events) if seq > fills[-1].seq]
    if not any(isinstance(one, ev.Add | ev.Receive | ev.Boil) for one in later):
        return batch
    return fold(Batch(batch.number), [one for one in live(events) if one[0] <= fills[-1].seq])


def _sum(fills: Sequence[Fill]) -> Parts:
    return together(*(one.parts for one in fills))


def _alike(one: Parts, two: Parts) -> bool:
    """Whether two lots are of the same parts in the same shares, to a hundredth."""
    whole, there = mass(one), mass(two)
    if not (whole and there):
        return False
    mine = {part.name: part.mix.mass / whole for part in one}
    theirs = {part.name: part.mix.mass / there for part in two}
    return all(abs(mine.get(name, 0.0) - theirs.get(name, 0.0)) < 0.01 for name in {*mine, *theirs})


def _told(events: Events, others: Others, number: int, seen: set[int]) -> list[str]:
    """All words with which something went in or was remarked, of the batches poured in too."""
    texts: list[str] = []
    for seq, event in live(events):
        if isinstance(event, ev.Add):
            texts += [event.what, event.said]
        elif isinstance(event, ev.Remark):
            texts += [event.text]
        elif isinstance(event, ev.Receive) and event.source not in seen:
            before = [one for one in others(event.source) or () if one[0] < seq]
            texts += _told(before, others, event.source, {*seen, event.source})
    return list(dict.fromkeys(texts))


# the rows --------------------------------------------------------------------------------------


def _upper(text: str) -> str:
    return text[:1].upper() + text[1:]


def _and(names: Sequence[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


NAMED = 3
"""Kinds of produce in a name, at most."""


def _name(batch: Batch, order: Parts) -> str:
    """ "Fermented sauce of chillies and garlic"."""
    raw = any(one.fresh or one.what.startswith("from batch ") for one in batch.added)
    kinds = [one.name for one in order if not one.loose and one.name not in _blank(one.name)]
    kind = "Fermented sauce" if raw else "Sauce"
    return f"{kind} of {_and(kinds[:NAMED])}" if kinds else f"{kind} (say of what)"


def _blank(name: str) -> set[str]:
    """Names that say nothing of what it is."""
    return {name} if name == UNKNOWN_PRODUCE or name.startswith(UNKNOWN_BATCH.partition("{")[0]) else set()


def _listed(order: Parts) -> str:
    """ "Chillies, water, vinegar (water, acetic acid), salt"."""
    inside = ", ".join(
        f"{one.name} (water, acetic acid)" if one.name.endswith("vinegar") else one.name for one in order
    )
    return _upper(inside)


def _percent(share: float) -> str:
    return f"{number(100 * share, 3)}%"


def _shares(order: Parts) -> str:
    whole = mass(order)
    return f"{', '.join(f'{one.name} {_percent(one.mix.mass / whole)}' for one in order)} (21 CFR 101.4(a)(1))."


def minor(order: Parts) -> tuple[str, ...]:
    """The ingredients of 2 % or less."""
    whole = mass(order)
    return tuple(one.name for one in order if one.mix.mass <= MINOR * whole * (1 + 1e-9))


def _minor(order: Parts) -> str:
    few = minor(order)
    if not few or len(few) == len(order):
        return ""
    return f'If you like, last and in any order: "Contains 2% or less of {_and(few)}" (21 CFR 101.4(a)(2)).'


def _counted(book: Ledger, order: Parts, other: Parts) -> str:
    if not book.drawn:
        return ""
    text = (
        "As the ingredients went in, less what left. What was drawn off counts as the brine's own water first, and as "
        "juice after that (as the EU counts added water)."
    )
    if [one.name for one in order] == [one.name for one in other]:
        return text
    return (
        f"{text} If juice and water are counted as one, the order is {_and([one.name for one in other])}: ask your "
        "authority which it wants."
    )


_NOT_PURE = regex(
    r"\b(?:reduced|low|half|lo|lite|light)[ -](?:sodium|salt)\b|\blite salt\b|\bpotassium\b|\bsalt substitute\b",
    re.IGNORECASE,
)
_IODISED = regex(r"\biodi[sz]ed\b", re.IGNORECASE)


def _unknown(parts: Parts, texts: Sequence[str], words: Sequence[str]) -> tuple[str, ...]:
    """What the account does not know of the ingredients, as sentences without a full stop."""
    names = [one.name for one in parts]
    found = []
    if UNKNOWN_PRODUCE in names:
        found.append('of what kind the "produce" is: write its name; salt of its own is not in the figures')
    found += [f"{one.partition(' (')[0]}: write its parts by their weights" for one in names if "batch" in _kind(one)]
    if "vinegar" in names:
        found.append("which vinegar: cider, rice, malt (barley), distilled; write its own name")
    if "gum" in names:
        found.append("which gum: xanthan, guar; write its own name")
    unweighed = [one for one in dict.fromkeys(words) if not any(one in name for name in names)]
    if unweighed:
        found.append(f"the weight of {_and(unweighed)}: it belongs in the list, in its place by weight")
    said = " ".join(" ".join(texts).split())
    if _NOT_PURE.search(said):
        found.append("what else is in the salt that was said: write its parts; the sodium here is too high for it")
    elif _IODISED.search(said):
        found.append("what is added to the iodised salt: its packet says")
    return tuple(found)


def _kind(name: str) -> str:
    return "batch" if name.startswith(UNKNOWN_BATCH.partition("{")[0]) else ""


def _sentences(unknown: Sequence[str]) -> str:
    return f"{_upper('; '.join(unknown))}." if unknown else ""


def _down(value: float, digits: int = 3) -> float:
    """Rounded down to so many digits: a label must not promise more than is in the bottle."""
    if value <= 0:
        return 0.0
    step = 10.0 ** (math.floor(math.log10(value)) + 1 - digits)
    return math.floor(value / step * (1 + 1e-9) + 1e-9) * step


def _metric(value: float, small: str, large: str) -> str:
    """So many thousandths of the larger unit: "148 mL", "1.5 L"."""
    if value >= 1000 * (1 - 1e-9):
        return f"{number(_down(value / 1000))} {large}"
    return f"{number(_down(value))} {small}"


def net_volume(litres: float) -> str:
    """ "5 fl oz (147 mL)": both systems, rounded down (NET)."""
    ounces = _down(litres / FLUID_OUNCE)
    metric = _metric(1000 * litres, "mL", "L")
    if ounces >= GALLON:
        return f"{number(_down(litres / FLUID_OUNCE / GALLON))} gal ({metric})"
    if ounces < PINT:
        return f"{number(ounces)} fl oz ({metric})"
    quarts, rest = divmod(ounces, 2 * PINT)
    pints, left = divmod(rest, PINT)
    names = [(quarts, "qt"), (pints, "pt"), (left, "fl oz")]
    whole = " ".join(f"{number(value)} {unit}" for value, unit in names if value > 1e-6)
    return f"{number(ounces)} fl oz ({whole}), {metric}"


def net_weight(kilograms: float) -> str:
    """ "Net wt 7.05 oz (200 g)"."""
    ounces = _down(kilograms / OUNCE)
    metric = _metric(1000 * kilograms, "g", "kg")
    if ounces < PINT:
        return f"net wt {number(ounces)} oz ({metric})"
    pounds, left = divmod(ounces, PINT)  # a pound has as many ounces as a pint has fluid ones
    rest = f" {number(left)} oz" if left > 1e-6 else ""
    return f"net wt {number(ounces)} oz ({number(pounds)} lb{rest}), {metric}"


def _net(net: str, size: float, said: Said) -> str:
    if not net:
        return (
            'Not known: no size of a bottle is in the account. Say "label in 150 ml bottles", or a weight if it does '
            "not pour (21 CFR 101.7)."
        )
    how = "Sold by volume because it pours; by weight if it does not" if size else "By weight, as what does not pour"
    return f"{net}, rounded down where it is not even. {how} (21 CFR 101.7)."


def figures_of(mix: Mixture, serving: float = TEASPOON) -> Figures:
    """A serving's figures from what the account says is in it; sugars and energy are ceilings."""
    grams = 1000 * serving * mix.density
    part = grams / 1000 / mix.mass
    energy = 1000 * part * (4 * mix.sugar + 3 * (mix.acetic + mix.lactic + mix.citric))
    return Figures(grams, 1e6 * part * mix.sodium, 1000 * part * mix.sugar, energy, 2.5 * 100 * mix.sodium / mix.mass)


def sugars_words(grams: float) -> str:
    """Sugars as a US label writes them: "0 g", "less than 1 g", "2 g"."""
    return "less than 1 g" if 0.5 <= grams < 1 else f"{us_sugars(grams):.0f} g"


def eu_salt(grams: float) -> str:
    """Salt in 100 g as an EU label writes it (EU_SALT)."""
    if grams <= 0.0125:
        return "0 g"
    step, digits = (0.1, 1) if grams >= 1 else (0.01, 2)
    return f"{math.floor(grams / step + 0.5 + 1e-9) * step:.{digits}f} g"


def servings(bottle: float, serving: float = TEASPOON) -> str:
    """How many servings a bottle holds, as a US label writes them (SERVINGS)."""
    many = bottle / serving
    if many < 2:
        return "1" if many < 1.5 else "about 2"
    step = 0.5 if many <= 5 else 1.0
    shown = math.floor(many / step + 0.5 + 1e-9) * step
    about = "" if abs(shown - many) < 1e-6 else "about "
    return f"{about}{number(shown)}"


def _serving(figures: Figures, serving: float, bottle: float) -> str:
    spoon = "1 tsp (5 mL)" if serving == TEASPOON else f"{number(1000 * serving)} mL"
    many = f", {servings(bottle, serving)} in a bottle" if bottle else ""
    return (
        f"{spoon}, {number(figures.grams)} g{many}. US (21 CFR 101.9(c)): sodium {us_sodium(figures.sodium):.0f} mg, "
        f"sugars {sugars_words(figures.sugars)}, {us_calories(figures.energy):.0f} Calories; before rounding "
        f"{number(figures.sodium)} mg, {number(figures.sugars)} g and {number(figures.energy)} kcal. EU: salt "
        f"{eu_salt(figures.eu_salt)} in 100 g. Sugars and energy are the most it can be: fermenting leaves less. "
        "Protein, fat and starch are not counted."
    )


def lot_code(number_: int, day: datetime.date) -> str:
    """ "B3-2026-331": the batch, the year, the day of the year."""
    return f"B{number_}-{day.year}-{day.timetuple().tm_yday:03d}"


def _lot(lot: str, number_: int, bottled: datetime.date | None, today: datetime.date) -> str:
    if bottled:
        when = f"it was bottled on, {day_words(bottled)}"
    else:
        when = f"of today, {day_words(today)}: it is not bottled yet"
    return f"{lot}: batch {number_}, the year, and the number of the day (1 January is 001) {when}."


def _made(batch: Batch, fills: Sequence[Fill]) -> str:
    if not fills:
        return f"begun {day_words(batch.began)}, not bottled yet."
    count = sum(one.event.count for one in fills)
    many = f" ({count} {'bottle' if count == 1 else 'bottles'})" if count else ""
    return f"begun {day_words(batch.began)}, bottled {day_words(fills[-1].event.day)}{many}."


def _best(said: Said) -> str:
    if said.best_before is None:
        return "your own trial decides; no date is worked out from a pH or a recipe."
    return f"{day_words(said.best_before)}, as you said; your own trial must bear it out."


_HELD = regex(r"\b(?:heat[- ]treated|pasteuri[sz]ed|hot[- ]filled|held hot|heat[- ]held)\b", re.IGNORECASE)
_NOT_HELD = regex(r"\b(?:not|never|no|un|wasn't|isn't|without|non)\b|n't\b", re.IGNORECASE)


def told_heated(text: str) -> bool:
    """Whether words say that it was held hot: "pasteurised", "heat treated", and no "not" before."""
    text = " ".join(text.split())
    match = _HELD.search(text)
    return match is not None and not _NOT_HELD.search(text[: match.start()])


def _heated(batch: Batch, said: Said) -> bool:
    """Whether it was held hot once everything was in: by its temperatures in the book, else as it was said."""
    last = max((one.day for one in batch.added), default=batch.began)
    # a heating whose temperatures are in the book counts by what it was worth: the latest decides, whatever is said
    if batch.heated and batch.heated[-1].day >= last:
        return batch.held
    return said.heated or any(day >= last and told_heated(text) for day, text in batch.remarks)


def _storage(heated: bool, verdict: Verdict | None, *, simmered: bool = False) -> tuple[str, str]:
    """The storage line, and why."""
    lines = verdict.lines if verdict is not None else ()
    shown = "no pH reading speaks for it" if verdict is None else _lower(lead(verdict)).rstrip(".")
    stop = "" if lines else f" Hand none of it on before a reading proves it below {PH_LIMIT}."
    if heated and PH_METER in lines:
        return (
            "Refrigerate after opening.",
            f"Held hot by the book, or as you said, and {shown}. A process authority sets the hold for anything sold.",
        )
    cold = "Keep refrigerated."
    if heated:
        return (
            cold,
            f"Held hot by the book, or as you said, but it is not proven below pH {PH_METER:.1f} ({shown}).{stop}",
        )
    rest = "" if PH_METER in lines else f" Its pH is not proven below {PH_METER:.1f} either: {shown}."
    no_hold = f"No heat hold is in the account{' (simmering alone is none)' if simmered else ''}"
    return cold, f"{no_hold}, so it counts as raw: it can still ferment and make gas.{rest}{stop}"


def _lower(text: str) -> str:
    """A sentence for the middle of another; "pH" keeps its letters."""
    return text if text.startswith("pH") else text[:1].lower() + text[1:]


SOURCES = (
    ("By weight", "order", ORDER), ("By weight", "count of added water", WATER_RULE),
    ("Two percent rule", "two percent rule", TWO_PERCENT), ("Name", "name", NAME),
    ("Net contents", "net contents", NET),
    ("A serving", "US rounding", US_LABEL), ("A serving", "serving", US_SPOON),
    ("A serving", "number of servings", SERVINGS), ("A serving", "sodium", SODIUM), ("A serving", "energy", ENERGY),
    ("A serving", "rounding of EU salt", EU_SALT), ("Allergens", "US list of allergens", allergens.US_NINE),
    ("Allergens", "EU list of allergens", allergens.EU_FOURTEEN), ("Storage", "storage line", SHELF),
    ("Lot", "lot code", LOT),
)  # fmt: skip
"""What each row rests on: its heading, the thing, the source."""
