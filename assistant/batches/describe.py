"""One event of a batch in plain words: "2 kg chillies put into the 8 L crock", "pH 3.9 by meter".

No sentence and no full stop, so that the words fit a table, a list or the middle of an answer.
"""

from __future__ import annotations

import datetime
import math
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any

from assistant.rules.watch import SCALE
from assistant.show import Style, number, quantity, with_unit
from grammar.dates import MONTH_NAMES

if TYPE_CHECKING:
    from assistant.batches import events as ev


METRIC = Style()


def describe(event: ev.Event, style: Style = METRIC) -> str:
    """What happened, in the person's units.

    Raises:
        LookupError: a kind of event that has no words here.
    """
    return _WORDS[type(event).__name__](event, style)


def day_words(day: datetime.date, year: bool = True, short: bool = False) -> str:
    """A date without its weekday: "3 March 2026", or shorter "3 Mar"."""
    month = MONTH_NAMES[day.month - 1].capitalize()
    return f"{day.day} {month[:3] if short else month}" + (f" {day.year}" if year else "")


def reading(value: float, of: str, style: Style = METRIC) -> str:
    """A reading with what it is of: "pH 4.0", "21 C"; temperatures come in degrees C."""
    return f"pH {level(value)}" if of == "ph" else quantity(value, "temperature", style)


def level(ph: float) -> str:
    """A pH as a meter shows it, with one decimal at least: "4.0", "3.95"."""
    return f"{ph:.1f}" if abs(ph - round(ph, 1)) < 1e-9 else number(ph, 3)


def named(what: str) -> str:
    """A name in quotes."""
    return f'"{what}"'


def how(method: str, calibrated: str = "") -> str:
    """How a reading was taken: "by calibrated meter"; "" where nobody said."""
    if not method:
        return ""
    return {"yes": f"by calibrated {method}", "no": f"by {method}, not calibrated"}.get(calibrated, f"by {method}")


def _joined(*parts: str) -> str:
    """The parts that are there, as one phrase."""
    return " ".join(one for one in parts if one)


def the(vessel: str) -> str:
    """A vessel in the middle of a sentence: "the 8 L crock", but "jar 1"."""
    named = vessel[-1:].isdecimal() or vessel.startswith("the ")
    return vessel if named else f"the {vessel}"


def _at(word: str, vessel: str) -> str:
    """Words of place, if the vessel is named: "from the 8 L crock"."""
    return f"{word} {the(vessel)}" if vessel else ""


def _aside(text: str) -> str:
    return f"({text})" if text else ""


def _begin(event: ev.Begin, style: Style) -> str:
    begun = f"begun in {the(event.place.label)}"
    return f"{begun}, called {named(event.name)}" if event.name else begun


def _add(event: ev.Add, style: Style) -> str:
    mass = quantity(event.mix.mass, "mass", style)
    return _joined(mass, event.what, _at("put into", event.vessel) or "put in")


def _take(event: ev.Take, style: Style) -> str:
    mass = quantity(event.mix.mass, "mass", style)
    return _joined(mass, "taken out", _at("of", event.vessel), _aside(event.why))


def _move(event: ev.Move, style: Style) -> str:
    return _joined("everything", _at("in", event.vessel), "moved into", the(event.to.label))


def _share(event: ev.Share, style: Style) -> str:
    mass = quantity(event.mix.mass, "mass", style)
    return _joined(mass, _at("from", event.vessel), "put into", the(event.to.label), _aside(event.how))


def _boil(event: ev.Boil, style: Style) -> str:
    return _joined(quantity(event.water, "mass", style), "of water steamed off", _at("from", event.vessel))


def _pour(event: ev.Pour, style: Style) -> str:
    mass = quantity(event.mix.mass, "mass", style)
    return _joined(mass, "poured", _at("from", event.vessel), f"into batch {event.into}")


def _receive(event: ev.Receive, style: Style) -> str:
    mass = quantity(event.mix.mass, "mass", style)
    return _joined(mass, f"from batch {event.source}", _at("poured into", event.vessel) or "poured in")


def _read(event: ev.Read, style: Style) -> str:
    taken = reading(event.value, event.of, style)
    off = f"{number(event.error, 3)} either way" if event.error else ""
    off = "does not count" if event.error >= SCALE else off
    return _joined(taken, _at("in", event.vessel), how(event.method, event.calibrated), _aside(off))


def _heat(event: ev.Heat, style: Style) -> str:
    if not event.degrees:
        return _joined("heated", _at("in", event.vessel))
    hottest = reading(max(event.degrees) + event.offset, "temperature", style)
    at = reading((160 - 32) / 1.8, "temperature", style)
    worth = f"worth {number(math.floor(event.worth * 10) / 10)} min at {at}"
    needs = f"{number(event.needed)} needed for pH {level(event.ph + event.error)}"
    short = "" if event.enough else ": not enough"
    return _joined("heated up to", hottest, _at("in", event.vessel), f"({worth}, {needs}{short})")


def _remark(event: ev.Remark, style: Style) -> str:
    return event.text or "a remark without words"


def _call(event: ev.Call, style: Style) -> str:
    return f"called {named(event.name)}" if event.name else "goes by its number again"


def _walked(event: ev.Walked, style: Style) -> str:
    if not event.step:
        return f"the walk {named(event.walk)} is over" if event.walk else "a walk is over"
    return f"on the walk {named(event.walk)}, next: {event.step}"


def _bottle(event: ev.Bottle, style: Style) -> str:
    if not event.count:
        return _joined(quantity(event.mix.mass, "mass", style), "bottled", _at("from", event.vessel))
    what = f"{event.count} {'bottle' if event.count == 1 else 'bottles'}"
    size = f"of {quantity(event.size, 'volume', style)}" if event.size else ""
    inside = quantity(event.mix.mass, "mass", style) if event.mix.mass else ""
    return _joined(what, size, "filled", _at("from", event.vessel), inside and f"with {inside}")


def _close(event: ev.Close, style: Style) -> str:
    return f"batch over: {event.why}" if event.why else "batch over"


def _undo(event: ev.Undo, style: Style) -> str:
    return f"{_entries(event.of)} taken back"


def _redo(event: ev.Redo, style: Style) -> str:
    return f"{_entries(event.of)} put back"


def _entries(numbers: Sequence[int]) -> str:
    """Places in the book: "entries 4, 5 and 9"."""
    if not numbers:
        return "nothing"
    shown = [str(one) for one in numbers]
    if len(shown) == 1:
        return f"entry {shown[0]}"
    return f"entries {', '.join(shown[:-1])} and {shown[-1]}"


def bottled(bottles: Sequence[tuple[datetime.date, int, float]]) -> str:
    """All bottles of a batch (day, how many, L each) in a few words: "24 bottles, 3.6 L"."""
    count = sum(each for _, each, _ in bottles)
    litres = sum(each * size for _, each, size in bottles)
    text = f"{count} {'bottle' if count == 1 else 'bottles'}"
    if not litres:
        return text
    some = "" if all(size for _, _, size in bottles) else "at least "
    return f"{text}, {some}{with_unit(litres, 'liter')}"


_WORDS: dict[str, Callable[[Any, Style], str]] = {
    "Begin": _begin, "Add": _add, "Take": _take, "Move": _move, "Share": _share, "Boil": _boil,
    "Pour": _pour, "Receive": _receive, "Read": _read, "Heat": _heat, "Remark": _remark,
    "Call": _call, "Walked": _walked,
    "Bottle": _bottle, "Close": _close, "Undo": _undo, "Redo": _redo,
}  # fmt: skip
