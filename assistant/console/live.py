"""What a line would bring, in one to three things under it while it is typed.

Pure: the turn is worked out by the talk as it stands, and thrown away. What is shown is never more than the talk
itself would say, cut to the width; a caution or what was not understood goes before what is merely good to know.
"""

from __future__ import annotations

from dataclasses import dataclass

from assistant.console.looks import cut, wrapped
from assistant.replies import Answer, Ask, Assume, Caution, Done, Log, Note, NotRead, Refuse, Reply, Timer, Why
from assistant.talk.state import Job, State, Talk
from assistant.trade import calculator
from grammar.types import Misread, Reading

LONGEST = 2000
"""Letters up to which a line is read while it is typed."""
MOST = 3
"""Things that may stand under the line."""
NARROW = 60
"""Columns under which a thing may take ``NARROW_ROWS`` rows, else ``WIDE_ROWS``."""
NARROW_ROWS, WIDE_ROWS = 3, 2
LOW = 4
"""All of them take no more than one in so many rows of the screen, but for the first row of each."""


@dataclass(frozen=True)
class Row:
    """One row: what kind of thing it says ("reads", "gives", "asks" ...), and the text."""

    lead: str
    text: str

    def fitted(self, columns: int, most: int = 1) -> list[str]:
        """The row in so many columns; where it is too long it goes on in rows under it, ``most`` in all."""
        lead = f"  {self.lead} "
        room = max(columns - len(lead) - 1, 10)
        shown = wrapped(cut(self.text, room, most), room)
        return [f"{lead if not at else ' ' * len(lead)}{one}" for at, one in enumerate(shown)]


def fitted(rows: tuple[Row, ...], columns: int, height: int) -> list[str]:
    """The rows on a screen: with long ones gone on where it is high enough, for they end in the amounts."""
    spare = max(height // LOW - len(rows), 0)
    most = NARROW_ROWS if columns < NARROW else WIDE_ROWS
    out: list[str] = []
    for one in rows:
        shown = one.fitted(columns, min(most, 1 + spare))
        spare -= len(shown) - 1
        out += shown
    return out


def glance(before: Talk, reading: Reading | Misread, after: Talk, replies: tuple[Reply, ...]) -> tuple[Row, ...]:
    """The rows for a line that was tried."""
    rows = []
    if isinstance(reading, Reading) and (read := as_read(before.now, reading, after.now)):
        rows.append(Row("reads", read))
    found = sorted(replies, key=_rank)
    # what was understood half is said before anything that was worked out from the other half
    return tuple([*rows, *(row for row in map(_row, found) if row.text)][:MOST])


def as_read(before: State, reading: Reading, after: State) -> str:
    """How a line is read: which sum, and which amount is what in it; else the amounts as they stand."""
    job = _job(before, after)
    if job is not None:
        chosen = calculator(job.calculator)
        parts = [f"{chosen.input(one.name).label} {one.said}" for one in job.given]
        return f"{chosen.title}: {', '.join(parts)}" if parts else chosen.title
    parts = []
    for one in reading.amounts:
        noun = f" {one.noun.text}" if one.noun is not None else ""
        parts.append(f"{one.text}{noun}")
    return ", ".join(parts)


def _job(before: State, after: State) -> Job | None:
    """The sum that the line brought about or moved on."""
    if after.mode == "asking" and after.job is not None and after.job != before.job:
        return after.job
    return after.answered if after.answered is not None and after.answered != before.answered else None


def _rank(reply: Reply) -> int:
    """What is to be seen first."""
    if isinstance(reply, Caution):
        return 0 if reply.severity == "stop" else 5
    if isinstance(reply, Note) and ("did not understand" in reply.text or "left out" in reply.text):
        return 1
    order: tuple[tuple[type[Reply], int], ...] = (
        (NotRead, 1), (Refuse, 2), (Answer, 3), (Log, 3), (Ask, 4), (Timer, 4), (Why, 6), (Done, 6), (Note, 7),
        (Assume, 8),
    )  # fmt: skip
    return next(rank for kind, rank in order if isinstance(reply, kind))


def _row(reply: Reply) -> Row:
    if isinstance(reply, Caution):
        return Row("STOP:" if reply.severity == "stop" else "beware", reply.text)
    if isinstance(reply, Answer):
        return Row("gives", reply.lead or reply.text)
    leads: tuple[tuple[type[Reply], str], ...] = (
        (NotRead, "not yet:"), (Refuse, "no:"), (Log, "enters"), (Ask, "asks"), (Timer, "starts"), (Done, "ends:"),
        (Assume, "takes"), (Why, "says"), (Note, "says"),
    )  # fmt: skip
    return Row(next(lead for kind, lead in leads if isinstance(reply, kind)), reply.text)
