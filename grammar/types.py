"""What a sentence becomes: a ``Reading``, or a ``Misread`` that says why not.

All spans are half-open character offsets into the text as it was typed.
"""

from __future__ import annotations

from dataclasses import dataclass

Span = tuple[int, int]


@dataclass(frozen=True)
class Word:
    """One word (or fixed expression) of the vocabulary, as it stands in the text."""

    kind: str
    term: str
    span: Span
    text: str


@dataclass(frozen=True)
class Amount:
    """A number with its unit and the words that tell what it is an amount of.

    ``unit`` is a unit name of measures.txt, or "" for a bare number. ``mark`` is the
    preposition before it ("at", "in", "to" ...). ``noun`` is the thing it belongs to
    ("3 kg of peppers"); it is ``tied`` where "of", "is" or a colon says so. ``rivals`` are
    other readings of the same words, which must be asked about before the amount is used.
    ``parts`` are the pieces of "1 pint 10 fluid ounces" with their units: how many ounces a
    pint has depends on the kitchen, so ``value`` (by US measures) is only final once settled.
    """

    value: float
    unit: str
    span: Span
    text: str
    mark: str = ""
    noun: Word | None = None
    others: tuple[Word, ...] = ()
    rivals: tuple[Amount, ...] = ()
    tied: bool = False
    parts: tuple[tuple[float, str], ...] = ()

    def said(self, kind: str) -> str:
        """The term of that kind among the amount's words, or ""."""
        for word in (self.noun, *self.others):
            if word is not None and word.kind == kind:
                return word.term
        return ""


@dataclass(frozen=True)
class Repair:
    """A misspelt word and what it was taken for."""

    said: str
    read: str
    span: Span
    sure: bool = True


@dataclass(frozen=True)
class Course:
    """Temperatures one after the other: spoken, pasted, or logged by a probe.

    Attributes:
        minutes: when each was read, in order of time; a column of its own, for a log may have a million.
        degrees: as they stand there, one for each of ``minutes``.
        unit: "degree_Celsius", "degree_Fahrenheit", or "" where nothing says which.
        timed: whether the minutes were said; if not, the readings are merely counted.
        spans: where it stands in the text, with the words that tell the step.
        bad: rows that could not be read: the line's number, and what is wrong with it.
        rows: how many rows there were.
        holes: minutes after which a row could not be read.
        step: minutes between the readings where one step was said for all, else 0.
        times: how times like "10:05" were taken where they might be the other: "clock", hours and minutes, or "count",
            minutes and seconds; "open" where nothing tells which, and the minutes are those of the count.
        first: the first such times as they stand there; of readings that were said, all.
    """

    minutes: tuple[float, ...]
    degrees: tuple[float, ...]
    unit: str = ""
    timed: bool = True
    spans: tuple[Span, ...] = ()
    bad: tuple[tuple[int, str], ...] = ()
    rows: int = 0
    holes: tuple[float, ...] = ()
    step: float = 0.0
    times: str = ""
    first: tuple[str, ...] = ()

    @property
    def points(self) -> tuple[tuple[float, float], ...]:
        """(minute, degrees) of each reading."""
        return tuple(zip(self.minutes, self.degrees, strict=True))


@dataclass(frozen=True)
class Reading:
    """What was said: the act, what was asked for, the amounts, and what was not used.

    ``wanted`` names the quantities asked for ("how much salt" -> "salt"), ``words`` holds
    every vocabulary word that no amount took, ``unit`` is a unit asked for ("in pounds"),
    and ``left_over`` the words nobody knows. ``corrected`` are amounts the same line took
    back ("three kilos, no, make it four"). ``firm`` is set where words of change ("make it",
    "what about") say that a new value takes the place of the old one.
    """

    text: str
    act: str
    wanted: tuple[str, ...] = ()
    amounts: tuple[Amount, ...] = ()
    words: tuple[Word, ...] = ()
    unit: str = ""
    repaired: tuple[Repair, ...] = ()
    left_over: tuple[Word, ...] = ()
    question: bool = False
    commands: tuple[str, ...] = ()
    corrected: tuple[Amount, ...] = ()
    firm: bool = False
    told: tuple[Word, ...] = ()
    whens: tuple[Word, ...] = ()
    free: str = ""
    course: Course | None = None

    @property
    def terms(self) -> frozenset[str]:
        """Every term said, with the words that amounts took."""
        said = {word.term for word in self.words} | set(self.wanted)
        for amount in self.amounts:
            said |= {word.term for word in (amount.noun, *amount.others) if word is not None}
        return frozenset(said)

    @property
    def kinds(self) -> dict[str, tuple[Word, ...]]:
        """All words said, by their kind."""
        found: dict[str, tuple[Word, ...]] = {}
        for word in self.all_words:
            found[word.kind] = (*found.get(word.kind, ()), word)
        return found

    @property
    def all_words(self) -> tuple[Word, ...]:
        """Free words and the amounts' words, in the order of the text."""
        bound = [word for amount in self.amounts for word in (amount.noun, *amount.others) if word is not None]
        return tuple(sorted({*self.words, *bound}, key=lambda word: word.span))


@dataclass(frozen=True)
class Misread:
    """A sentence that was not understood; ``why`` is one of the REASONS."""

    text: str
    span: Span
    found: str
    why: str
    expected: tuple[str, ...] = ()
    near: tuple[str, ...] = ()
    example: str = ""
    term: str = ""
    told: tuple[Word, ...] = ()
    whens: tuple[Word, ...] = ()


REASONS = {
    "empty": "nothing was said",
    "too-long": "more text than one question",
    "unknown-word": "words the kitchen does not know",
    "unknown-unit": "a number with a unit that is not known",
    "stops": "the sentence stops too soon",
    "log": "a table that is no log of temperatures; what was found is a sentence of its own",
    "number": "a number that cannot be read one way only",
    "date": "a day that the calendar does not have",
    "negation": "a 'not' or 'without' that would turn the meaning round",
    "beyond": "a question for someone else; the found word's term says whom",
}
