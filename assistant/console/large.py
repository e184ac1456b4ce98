"""Large type: what can be read from two metres off, with wet hands.

A terminal has one size of letter. So the number that was asked for is drawn in tall digits, with the plain number
over it, the sentences stand apart, and what is only usual waits for "more". Whatever warns is there from the start.
Double-height rows of a terminal (DECDHL) are left alone: where they are not known each row would be shown twice.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from assistant.console import looks
from assistant.console.lines import LABEL, PLAIN, TONES, drawn, joined
from assistant.replies import Answer, Assume, Caution, Chart, HeatChart, Note, Refuse, Reply
from grammar.later import regex

COLUMNS = 60
"""The widest a sentence gets: an eye that comes back from two metres off finds the next row."""
TALL = 40
"""Rows of a screen on which two numbers are drawn, salt and water; on others one, or the cautions would not be seen."""

# A column of a digit is two of the terminal's, which are half as wide as they are high.
_GLYPHS = {
    "0": "### # # # # # # ###", "1": " #  ##   #   #  ###", "2": "###   # ### #   ###", "3": "###   # ###   # ###",
    "4": "# # # # ###   #   #", "5": "### #   ###   # ###", "6": "### #   ### # # ###", "7": "###   #   #  #   # ",
    "8": "### # # ### # # ###", "9": "### # # ###   # ###", "-": "        ###        ", "%": "# #   #  #  #   # #",
    "g": "    ### # # ###   #", "k": "#   # # ##  # # # #", "m": "        ### ### # #", "l": "##   #   #   #  ###",
    "L": "#   #   #   #   ###", "b": "#   #   ### # # ###", "o": "        ### # # ###", "z": "    ###  ## ##  ###",
    "C": "### #   #   #   ###", "F": "### #   ### #   #  ", "h": "#   #   ### # # # #", "i": " #       #   #   # ",
    "n": "        ##  # # # #", "t": " #  ###  #   #   ##", "p": "    ### # # ### #  ", "d": "  #   # ### # # ###",
    "a": "    ##   ## # # ###", "y": "    # # ###   # ## ", "s": "     ## ##   ## ## ", "S": "### #   ###   # ###",
    "H": "# # # # ### # # # #", "U": "# # # # # # # # ###", "V": "# # # # # # # #  # ", "e": "    ### ### #   ###",
    "r": "        ##  #   #  ", "f": " ## #   ### #   #  ", "c": "        ### #   ###", "N": "# # ### ### # # # #",
}  # fmt: skip
_NARROW = {".": "    #", ",": "   ##", " ": "     "}
_UNITS = (
    "SHU", "days", "min", "ppm", "day", "kg", "mg", "mL", "cL", "lb", "oz", "mV", "cm", "in", "ft",
    "g", "t", "L", "%", "C", "F", "h", "m", "N",
)  # fmt: skip
_QUANTITY = regex(rf"(-?\d[\d.,]*)(?: ?({'|'.join(_UNITS)}))?(?= |$)")
_BESIDE = regex(r" ?\([^()]*\)")
_HIGH = 5


def short(replies: Sequence[Reply]) -> tuple[list[Reply], list[Reply]]:
    """What is shown, and what waits for "more": the bases of a number that was worked out, and usual assumptions.

    Nothing that warns, asks, refuses, or says how the line was read ever waits.
    """
    kept: list[Reply] = []
    held: list[Reply] = []
    for one in replies:
        if isinstance(one, Assume) and one.usual:
            held.append(one)
        elif isinstance(one, Answer) and one.main and one.lead and (rest := one.text.removeprefix(one.lead).strip()):
            # what was heard is always shown: a number that was heard wrong must be seen to be so
            unsaid = [each for each in one.heard if not _says(one.lead, each)]
            lead = f"{one.lead} From {', '.join(unsaid)}." if unsaid else one.lead
            kept.append(replace(one, text=lead, lead=lead))
            held.append(Note(rest))
        else:
            kept.append(one)
    return kept, held


def _says(sentence: str, amount: str) -> bool:
    """Whether a sentence holds this very amount: "12 kg" holds no "2 kg"."""
    return re.search(rf"(?<![\w.,]){re.escape(amount)}(?!\w)", sentence) is not None


def offer(held: Sequence[Reply]) -> Reply:
    """What waits, in a few words."""
    usual = sum(isinstance(one, Assume) for one in held)
    things = f"{usual} {'thing' if usual == 1 else 'things'} assumed"
    parts = [things if usual else "", "what it comes to" if usual < len(held) else ""]
    return Note(f'Say "more" for {" and ".join(one for one in parts if one)}.')


def rows(
    replies: Sequence[Reply], width: int, shade: str = "none", ascii_only: bool = False, height: int = 24
) -> list[str]:
    """The replies in large type, no wider than ``width``.

    A screen scrolls, so what matters most stands last: the number, under it what stops, and what is asked.
    """
    tones = TONES.get(shade, {})
    kept, held = short(replies)
    stopped = any(_rank(one) == _STOP for one in kept)
    out: list[str] = []
    for reply, text in joined([*sorted(kept, key=_rank), *([offer(held)] if held else [])]):
        out.append("")
        if isinstance(reply, Answer) and not stopped:
            for label, number in worth_drawing(reply, 2 if height >= TALL else 1):
                if tall := digits(number, width - 2, ascii_only):
                    out += [*wrapped(f"{label}: {number}", width, "  "), "", *(f"  {row}".rstrip() for row in tall), ""]
        if isinstance(reply, Chart | HeatChart):
            out += [*drawn(reply, width, ascii_only), ""]
        out += _toned(wrapped(f"{_before(reply)}{text}", min(width, COLUMNS), "  "), tones.get(tone(reply), ""))
    return [*out, ""] if out else []


_STOP = 4


def _rank(reply: Reply) -> int:
    """Where a reply stands: the more it matters the later."""
    if isinstance(reply, Caution):
        return {"note": 1, "caution": 2, "stop": _STOP}[reply.severity]
    return {"answer": 3, "ask": 5, "done": 6}.get(reply.kind, 0)


def worth_drawing(answer: Answer, most: int) -> tuple[tuple[str, str], ...]:
    """The numbers of an answer to be drawn; none of one that begins by saying no."""
    if answer.lead.startswith(("No", "Not")):
        return ()
    return answer.main[:most]


def digits(number: str, width: int, ascii_only: bool = False) -> list[str]:
    """A number with its unit in tall digits, in rows no wider than ``width``; nothing if it cannot be drawn whole.

    What stands in brackets, the same in other units, is left to the sentence.
    """
    text = _BESIDE.sub("", number).strip()
    parts = [one.group(0).strip() for one in _QUANTITY.finditer(text)]
    if not parts or " ".join(parts) != text or not all(one in _GLYPHS or one in _NARROW for one in text):
        return []
    ink = "#" if ascii_only else "\u2588"
    for across, layout in ((2, [text]), (2, parts), (1, [text]), (1, parts)):
        drawn_rows = [_drawn(one, across, ink) for one in layout]
        if all(len(row) <= width for one in drawn_rows for row in one):
            gap = [""]
            return [row for at, one in enumerate(drawn_rows) for row in (*(gap if at else ()), *one)]
    return []


def _drawn(text: str, across: int, ink: str) -> list[str]:
    out = [""] * _HIGH
    for at, one in enumerate(text):
        glyph = [_GLYPHS[one].ljust(19)[4 * row : 4 * row + 3] for row in range(_HIGH)] if one in _GLYPHS else [
            *_NARROW[one]
        ]  # fmt: skip
        for row in range(_HIGH):
            dots = "".join((ink if dot == "#" else " ") * across for dot in glyph[row])
            out[row] += (" " * across if at else "") + dots
    return [row.rstrip() for row in out]


def tone(reply: Reply) -> str:
    """The tone of a reply."""
    if isinstance(reply, Caution):
        return reply.severity
    if isinstance(reply, Refuse):
        return "stop"
    return {"answer": "answer", "ask": "ask", "misread": "caution"}.get(reply.kind, "")


def _before(reply: Reply) -> str:
    if isinstance(reply, Caution):
        return f"{LABEL[reply.severity]}: "
    if isinstance(reply, Refuse):
        return "No. "
    return "Assumed: " if isinstance(reply, Assume) else ""


def wrapped(text: str, width: int, margin: str = "") -> list[str]:
    """A sentence in rows; a word that is longer than a row is broken."""
    return looks.wrapped(text, max(width, 20), margin) or [""]


def _toned(found: list[str], start: str) -> list[str]:
    return [f"{start}{one}{PLAIN}" for one in found] if start else found
