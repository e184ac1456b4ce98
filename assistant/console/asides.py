"""Lines that are meant for the screen and not for the talk. No heavy module is needed to know one."""

from __future__ import annotations

MORE = frozenset({"more", "the rest", "tell me more", "say more"})
"""What gives the rest of what large type held back, if there is any."""

_SAID = {
    "large type": True, "large type on": True, "large letters": True, "big letters": True, "big type": True,
    "large type off": False, "normal type": False, "small type": False, "small letters": False,
    "normal letters": False,
}  # fmt: skip


def type_wanted(line: str) -> bool | None:
    """Whether a line asks for large type (True) or for the usual one (False); None if it says neither."""
    return _SAID.get(clean(line).removeprefix("use ").removeprefix("show "))


def clean(line: str) -> str:
    """A line without its case, its ends and the spaces that are too many."""
    return " ".join(line.lower().replace(",", " ").split()).strip(" .!?").removesuffix(" please")


_CHOSEN = {
    "us": ("pounds", "pound", "lb", "lbs", "pounds and ounces", "ounces", "us", "us units", "american units"),
    "metric": ("metric", "metric units", "kilograms", "kilogram", "kilos", "kg", "grams", "g", "kilograms and litres"),
}  # fmt: skip


def units_chosen(line: str) -> str:
    """The units that an answer to the first question names: "us", "metric" or ""."""
    said = clean(line).removeprefix("use ").removeprefix("in ")
    return next((units for units, words in _CHOSEN.items() if said in words), "")
