"""The sheet of a batch: one page of HTML that holds all of its account, to print and to pin up.

It needs nothing from outside and runs nothing. Everything on it reads in black and white, and
every word that came from a person is escaped.
"""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from itertools import groupby

from assistant.batches.axes import GUIDE_SOURCES, Days, Mark, days_of, listed
from assistant.batches.batch import Batch, Point, Portion, Vessel, live
from assistant.batches.chart import spoken
from assistant.batches.describe import bottled, day_words, describe, how, reading
from assistant.batches.events import Event, Heat, Redo, Undo
from assistant.batches.figure import figure
from assistant.batches.heating import figure as heat_figure
from assistant.batches.label import LAW, Label
from assistant.batches.label import SOURCES as LABEL_SOURCES
from assistant.batches.paper import NO_BREAK, document, facts, safe, section, table
from assistant.show import Style, day, lasting, number, quantity, with_unit
from assistant.trade.mixture import (
    ACETIC,
    CHOI_OKOS,
    GUM,
    SALT_AQUEOUS,
    SALT_TOTAL,
    SALT_WHOLE,
    SCOVILLE,
    SODIUM,
    SUGARS,
    Measure,
    Mixture,
)
from assistant.trade.produce import NAMES
from grammar.dates import MONTH_NAMES
from grammar.measures import written

STANDING = "An account and a calculator, not a process authority: local rules decide for anything sold."

WORKED_OUT = (
    "Worked out from what went in and came out, not measured. Fermenting leaves less sugar than this, and the acid "
    "it makes is not in the account: only a meter knows the pH."
)

SEVERITY = {"stop": "Stop", "caution": "Caution", "note": "Note"}
"""What a verdict is called on the sheet, the worst first."""

TEASPOON = 0.005
"""kg of sauce in a teaspoon: 5 mL of something near water (common practice, no source)."""

_DAILY = 60
"""Temperatures listed one by one; of more, each month's range."""


def page(
    batch: Batch,
    events: Sequence[tuple[int, Event]],
    today: datetime.date,
    *,
    verdicts: Sequence[tuple[str, str, str]] = (),
    sources: Sequence[str] = (),
    fahrenheit: bool = False,
    pounds: bool = False,
    label: Label | None = None,
) -> str:
    """The whole sheet as one HTML5 document.

    Args:
        batch: as it is now.
        events: all of its events with their places in the book, those taken back too.
        today: the day the sheet is made; ages count up to it.
        verdicts: cautions as (severity, sentence, source); severities as in SEVERITY.
        sources: what the numbers rest on, besides what the sheet itself works out.
        fahrenheit: temperatures in degrees F.
        pounds: weights in pounds and ounces, with the grams.
        label: what goes on the bottles.
    """
    style = Style(pounds=pounds, fahrenheit=fahrenheit)
    marks = [(one.day, one.what) for one in batch.added if one.fresh]
    readings = (*batch.ph, *batch.warmth)
    days = days_of(readings, marks, _begun(batch)) if readings else None  # one for both drawings, to compare them
    title = f"{batch.name} (batch {batch.number})" if batch.name else f"Batch {batch.number}"
    parts = [
        _head(batch, today, style),
        _cautions(verdicts, batch.odd),
        section("In the vessels now", _vessels(batch, today, style)),
        section("What went in", _recipe(batch, style)),
        section("The account", _account(batch, style), keep=True),
        section("pH", _course(batch.ph, "ph", marks, days, style)),
        section("Temperature", _course(batch.warmth, "temperature", marks, days, style) + _warmth(batch, style)),
        *(section("Heat", _heating(one, style)) for one in batch.heated),
        section("Bottles", _bottles(batch, style)) if batch.bottles else "",
        section("Label", _label(label), keep=True) if label is not None else "",
        section("What happened", _history(events, style)),
        section("Sources", _sources(batch, (*sources, *_label_sources(label))), keep=True),
        f"<footer><p>{STANDING}</p></footer>",
    ]
    return document(title, "\n".join(one for one in parts if one), f"Batch {batch.number}")


def _time(one: datetime.date, text: str = "") -> str:
    return f'<time datetime="{one.isoformat()}">{text or day_words(one, short=True)}</time>'


def _long(one: datetime.date) -> str:
    return _time(one, day(written(one)))


def _begun(batch: Batch) -> datetime.date | None:
    return batch.began if batch.began != datetime.date.min else None


def _age(since: datetime.date, today: datetime.date) -> str:
    days = (today - since).days
    return lasting(days, "day") if days > 0 else "today"


def _thousands(value: float) -> str:
    """A whole number in groups of three."""
    return f"{value:,.0f}".replace(",", "\u202f")


def _upper(text: str) -> str:
    return text[:1].upper() + text[1:]


# the sections ----------------------------------------------------------------------------------


def _head(batch: Batch, today: datetime.date, style: Style) -> str:
    begun = _begun(batch)
    known = [
        ("Begun", _long(begun) if begun else "not known"),
        ("Last entry", _long(batch.last) if batch.last != datetime.date.min else ""),
        ("This sheet", _long(today)),
        ("Age", _age(begun, today) if begun else ""),
        ("Last pH", _last(batch.ph, "ph", style)),
        ("Last temperature", _last(batch.warmth, "temperature", style)),
        ("Bottled", bottled(batch.bottles) if batch.bottles else ""),
        ("Over", safe(batch.closed)),
    ]
    number_line = f"<p>Batch {batch.number}</p>\n" if batch.name else ""
    return f"<header>\n<h1>{safe(batch.name) or f'Batch {batch.number}'}</h1>\n{number_line}{facts(known)}\n</header>"


def _last(points: Sequence[Point], of: str, style: Style) -> str:
    """The last reading, with how and when it was taken."""
    if not points:
        return ""
    one = points[-1]
    value = reading(one.value, of, style).removeprefix("pH ")
    told = f"{how(one.method, one.calibrated)}, {_time(one.day)}".removeprefix(", ")
    return f'{value} <span class="small">{told}</span>'


def _cautions(verdicts: Sequence[tuple[str, str, str]], odd: Sequence[str]) -> str:
    """What to mind, the worst first; entries that do not fit the account stand with them."""
    order = list(SEVERITY)
    out = []
    for severity, text, source in sorted(verdicts, key=lambda one: order.index(one[0]) if one[0] in order else 9):
        kind = " stop" if severity == "stop" else ""
        basis = f' <span class="small">[{safe(source)}]</span>' if source else ""
        label = SEVERITY.get(severity, safe(_upper(severity)))
        out.append(f'<p class="verdict{kind}"><strong>{label}:</strong> {safe(text)}{basis}</p>')
    out += [f'<p class="verdict"><strong>Does not fit, not counted:</strong> {safe(one)}</p>' for one in odd]
    return section("Cautions", "\n".join(out)) if out else ""


def _vessels(batch: Batch, today: datetime.date, style: Style) -> str:
    if not batch.full:
        return "<p>Nothing is in any vessel.</p>"
    cards = [
        f'<div class="vessel">\n<h3>{safe(_upper(one.label))}</h3>\n{facts(_inside(one, today, style))}\n</div>'
        for one in batch.full
    ]
    return "\n".join([*cards, f'<p class="small">{WORKED_OUT}</p>'])


def _inside(vessel: Vessel, today: datetime.date, style: Style) -> list[tuple[str, str]]:
    """What is known of a vessel's content, name by name."""
    holds = vessel.holds
    return [
        ("Weight", quantity(holds.mass, "mass", style)),
        ("Volume", f"about {quantity(holds.volume, 'volume', style)}"),
        ("Headspace", _headspace(vessel, style)),
        ("Salt of everything", _share(SALT_WHOLE, holds)),
        ("Salt of produce and water", _share(SALT_TOTAL, holds)),
        ("Salt of the brine", _share(SALT_AQUEOUS, holds)),
        ("Acetic acid of vinegar", _share(ACETIC, holds)),
        ("Sugar, at most", _share(SUGARS, holds)),
        ("Gum", _share(GUM, holds)),
        (f"Sodium in a teaspoon (5{NO_BREAK}g)", _sodium(holds, TEASPOON)),
        ("Sodium in 100 g", _sodium(holds, 0.1)),
        ("Heat", f"about {_thousands(float(number(holds.heat, 2)))} Scoville units" if holds.capsaicinoids else ""),
        *_produce(vessel, today),
    ]


def _share(measure: Measure, holds: Mixture) -> str:
    """A strength in percent; "none" also where there is nothing to measure it over."""
    try:
        value = measure(holds)
    except ZeroDivisionError:
        return "none"
    return with_unit(100 * value, "percent") if value else "none"


def _sodium(holds: Mixture, portion: float) -> str:
    return f"{1e6 * portion * holds.sodium / holds.mass:.0f} mg"


def _headspace(vessel: Vessel, style: Style) -> str:
    """What is free above the content, if the capacity is known."""
    capacity = vessel.place.capacity
    if not capacity:
        return ""
    free = capacity - vessel.holds.volume
    if free < 0:
        return f"none, about {quantity(-free, 'volume', style)} over the brim"
    return f"about {quantity(free, 'volume', style)} ({100 * free / capacity:.0f}%)"


def _produce(vessel: Vessel, today: datetime.date) -> list[tuple[str, str]]:
    """How old the oldest and the youngest produce is."""
    youngest = vessel.youngest
    if youngest is None:
        return []

    def told(one: Portion) -> str:
        days = max((today - one.day).days, 0)
        return f"{safe(NAMES.get(one.what, one.what))}, {with_unit(days, 'day', 9) if days else 'today'}"

    oldest = vessel.portions[0]
    if oldest.day == youngest.day:
        return [("All its produce", told(oldest).partition(", ")[2])]
    return [("Oldest produce", told(oldest)), ("Youngest produce", told(youngest))]


def _recipe(batch: Batch, style: Style) -> str:
    if not batch.added:
        return "<p>Nothing went in.</p>"
    whole = batch.went_in.mass

    def part(mass: float) -> str:
        return with_unit(100 * mass / whole, "percent") if whole else ""

    rows = [
        (
            _time(one.day),
            safe(one.what) + (' <span class="small">(fresh)</span>' if one.fresh else ""),
            quantity(one.mix.mass, "mass", style),
            part(one.mix.mass),
        )
        for one in batch.added
    ]
    whole_row = ("", "All together", quantity(whole, "mass", style), part(whole))
    return table(("Date", "What", "Weight", "Of all"), rows, "dtnn", [whole_row])


def _account(batch: Batch, style: Style) -> str:
    """What went in against what is there and what was taken out, to the gram."""
    parts = [(f"Still in {one.label}", one.holds.mass) for one in batch.full]
    parts += [(f"Taken out: {why}", mix.mass) for why, mix in batch.taken]
    went_in = batch.went_in.mass
    known = sum(mass for _, mass in parts)
    whole, missing = round(1000 * went_in), round(1000 * (went_in - known))

    def row(name: str, grams: int) -> list[str]:
        cells = [safe(name), f"{_thousands(grams)} g"]
        return [*cells, quantity(grams / 1000, "mass", style).partition(" (")[0]] if style.pounds else cells

    shares = _whole([mass for _, mass in parts], whole - missing)
    rows = [row("Put in", whole), *(row(name, grams) for (name, _), grams in zip(parts, shares, strict=True))]
    sums = [row("There and taken out, together", whole - missing), row("Difference", missing)]
    return table(
        ("", "Weight", "In pounds") if style.pounds else ("", "Weight"), rows, "tnn" if style.pounds else "tn", sums
    )


def _whole(masses: Sequence[float], total: int) -> list[int]:
    """Weights in whole grams that add up to the total: what rounding leaves goes to the largest fractions."""
    grams = [int(1000 * one) for one in masses]
    order = sorted(range(len(masses)), key=lambda at: grams[at] - 1000 * masses[at])
    for at in order[: max(total - sum(grams), 0)]:
        grams[at] += 1
    return grams


def _course(points: Sequence[Point], of: str, marks: Sequence[Mark], days: Days | None, style: Style) -> str:
    sentence = f"{safe(spoken(points, of, style.fahrenheit))}."
    if not points or days is None:
        return f"<p>{sentence}</p>"
    drawing = figure(points, of, marks=marks, days=days, fahrenheit=style.fahrenheit)
    put_in = f" Fresh produce: {safe(listed(marks, days))}." if marks else ""
    return f"<figure>\n{drawing}\n<figcaption>{sentence}{put_in}</figcaption>\n</figure>"


def _heating(event: Heat, style: Style) -> str:
    """One heating with its course."""
    moved = tuple(one + event.offset for one in event.degrees)
    drawing = heat_figure(event.minutes, moved, style.fahrenheit)
    told = f"{_time(event.day)}: {safe(describe(event, style))}"
    if event.offset:
        told += f". The readings were moved by {number(event.offset)} C for what the probe is off"
    return f"<figure>\n{drawing}\n<figcaption>{told}.</figcaption>\n</figure>"


def _warmth(batch: Batch, style: Style) -> str:
    """Temperatures one by one; of many, each month's range."""
    points = batch.warmth
    if not points:
        return ""
    if len(points) <= _DAILY:
        rows = [
            (
                _time(one.day),
                reading(one.value, "temperature", style),
                safe(", ".join(told for told in (how(one.method), one.vessel) if told)),
            )
            for one in points
        ]
        return table(("Date", "Reading", "How and where"), rows, "dnt")
    months = []
    for (year, month), group in groupby(points, key=lambda one: (one.day.year, one.day.month)):
        values = [one.value for one in group]
        lowest, highest = (reading(one, "temperature", style) for one in (min(values), max(values)))
        months.append((f"{MONTH_NAMES[month - 1].capitalize()} {year}", str(len(values)), lowest, highest))
    return table(("Month", "Readings", "Lowest", "Highest"), months, "dnnn")


def _bottles(batch: Batch, style: Style) -> str:
    def litres(volume: float) -> str:
        return quantity(volume, "volume", style) if volume else ""

    rows = [(_time(when), str(count), litres(size), litres(count * size)) for when, count, size in batch.bottles]
    count, volume = sum(one for _, one, _ in batch.bottles), sum(one * size for _, one, size in batch.bottles)
    return table(
        ("Date", "Bottles", "Each", "Together"), rows, "dnnn", [("All together", str(count), "", litres(volume))]
    )


def _label(label: Label) -> str:
    """The facts of the label, heading by heading."""
    rows = [(safe(name), safe(text)) for name, text in label.rows]
    inside = "\n".join(f"<p><strong>{name}:</strong> {text}</p>" for name, text in rows)
    return f'<div class="vessel">\n<h3>{safe(_upper(label.what))}</h3>\n{inside}\n</div>\n<p class="small">{LAW}</p>'


def _label_sources(label: Label | None) -> list[str]:
    return [str(source) for _, _, source in LABEL_SOURCES] if label is not None else []


def _history(events: Sequence[tuple[int, Event]], style: Style) -> str:
    """Every event in the book's order; those taken back are struck through and say so."""
    counting = {seq for seq, _ in live(events)}
    rows = []
    for seq, event in events:
        told = describe(event, style)
        said = f'<span class="said">"{safe(event.said)}"</span>' if event.said not in ("", told) else ""
        words = safe(told)
        if seq not in counting and not isinstance(event, Undo | Redo):
            words, said = f'<del>{words}</del> <span class="tag">taken back</span>', said and f"<del>{said}</del>"
        rows.append((str(seq), _time(event.day), words + said))
    return table(("Entry", "Date", "What happened, and the words said"), rows, "ndt") if rows else "<p>Nothing.</p>"


def _sources(batch: Batch, sources: Sequence[str]) -> str:
    own = [f"Volumes: {CHOI_OKOS}", f"Sodium: {SODIUM}"]
    own += [f"Heat: {SCOVILLE}"] if batch.holds.capsaicinoids else []
    own += [f"pH lines: {GUIDE_SOURCES['ph']}"] if batch.ph else []
    own += [f"Temperature lines: {GUIDE_SOURCES['temperature']}"] if batch.warmth else []
    rows = "\n".join(f"<li>{safe(one)}</li>" for one in dict.fromkeys((*sources, *own)))
    return f'<ul class="small">\n{rows}\n</ul>'
