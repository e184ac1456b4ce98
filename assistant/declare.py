"""What a calculator is: named quantities, the relations between them, and where they come from.

A calculator is declared once, as frozen data. Its formulas are text: the same text is what
"why?" shows and what is evaluated, so the two cannot drift apart. Everything else (asking,
help, placing amounts, the reference tables) is derived from the declaration.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from types import CodeType

from grammar.later import regex

_NAME = regex(r"[a-z_]+")


class DeclarationError(ValueError):
    """A declaration that contradicts itself; raised at import, never in a talk."""


@dataclass(frozen=True)
class Source:
    """Where a number or a rule comes from. ``seen`` is False for values from memory."""

    text: str
    seen: bool = True

    def __str__(self) -> str:
        return self.text if self.seen else f"{self.text} (from memory)"


PRACTICE = Source("common practice, no source")
ARITHMETIC = Source("definition and arithmetic")

BY_SPOON = ("salt_volume", "gum_volume")
"""Quantities that are measured by the spoon, and shown so."""

BY_OUNCE = ("bottle_size", "bottle_fill", "bottle_headspace", "left_over")
"""Volumes that a kitchen of gallons counts in fluid ounces."""

BY_THE_MINUTE = ("worth", "published", "constant", "stays", "gathered")
"""Lengths of time that are told in minutes, however long."""

BENCH = ("mass", "density", "of_whole", "moisture", "capacity", "gum", "acetic", "sugar")
"""What can be read off the open batch: kg in its vessel, and kg/L of it; salt, water, gum, acetic acid
and added sugar of everything; its size."""


@dataclass(frozen=True)
class Default:
    """A value taken when nobody says one; it is always listed as assumed.

    ``by_kind`` gives other values for produce or salt of a known kind (vocabulary terms).
    A default without a ``value`` applies only to those kinds.
    """

    value: float | None
    unit: str
    text: str
    source: Source
    by_kind: Mapping[str, tuple[float, str]] = field(default_factory=dict)


@dataclass(frozen=True)
class Limit:
    """What a quantity can be: above ``low`` (or from it) up to ``high``, in ``unit``.

    ``too_low`` and ``too_high`` are the sentences for values outside; they may name other
    quantities of the calculator in braces. ``always``: what is worked out with something
    assumed is refused outside it too, for it cannot be done: a brine holds no more salt.
    """

    low: float
    high: float
    unit: str
    too_low: str = ""
    too_high: str = ""
    from_low: bool = False
    source: Source = ARITHMETIC
    always: bool = False


@dataclass(frozen=True)
class Input:
    """One named quantity of a calculator.

    Attributes:
        name: its name in the relations.
        dimension: "mass", "volume", "fraction" ...: see measures.CANONICAL and UNITLESS.
        label: what it is called in answers.
        limit: what is possible.
        ask: the question for it; "" for quantities that are only worked out.
        terms: vocabulary terms that name it ("3 kg of *peppers*").
        marks: prepositions that point to it ("at 2.5 %").
        basis: for strengths: what the percentage is of, in words.
        plain: an amount of the dimension with no word of its own goes here.
        rival: a strength that a percentage with no basis could also mean.
        suggest: the value taken when the person says "the usual": number and unit.
        default: see Default.
        instead: other inputs that answer the same question.
        kept: a fact of the batch that later questions may use.
        of: the amounts that a strength is the strength of, where there are two of each.
        part: a bare number below one is a part ("a third"), not a percentage.
        named: it is meant only where a word of its own says so, never by a preposition alone.
        reads: what is read off the open batch if the question leaves it out: one of BENCH.
        units: the only units it is said in, where another input of the dimension is said in others; the first is
            that of a bare number.
    """

    name: str
    dimension: str
    label: str
    limit: Limit
    ask: str = ""
    terms: tuple[str, ...] = ()
    marks: tuple[str, ...] = ()
    basis: str = ""
    plain: bool = False
    rival: bool = False
    suggest: tuple[float, str] | None = None
    default: Default | None = None
    instead: tuple[str, ...] = ()
    kept: bool = False
    of: tuple[str, ...] = ()
    part: bool = False
    named: bool = False
    reads: str = ""
    units: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        if self.reads and self.reads not in BENCH:
            raise DeclarationError(f"{self.name}: nothing called {self.reads} is read off a batch")


@dataclass(frozen=True)
class Relation:
    """An equation between quantities, with one formula for each quantity it can give.

    ``text`` is the relation as one would write it; ``solve`` maps a quantity to the formula
    that gives it from the others.
    """

    text: str
    solve: Mapping[str, str]
    source: Source = ARITHMETIC
    functions: Mapping[str, Callable[..., float]] = field(default_factory=dict)
    names: frozenset[str] = field(init=False, default=frozenset())
    needs: Mapping[str, frozenset[str]] = field(init=False, default_factory=dict)
    code: Mapping[str, CodeType] = field(init=False, default_factory=dict)

    def __post_init__(self) -> None:
        code = {name: compile(text, name, "eval") for name, text in self.solve.items()}
        needs = {name: frozenset(one.co_names) - set(self.functions) for name, one in code.items()}
        names = frozenset(self.solve).union(*needs.values())
        object.__setattr__(self, "code", code)
        object.__setattr__(self, "needs", needs)
        object.__setattr__(self, "names", names)
        written = set(_NAME.findall(self.text)) - set(self.functions)
        if not names <= written:
            raise DeclarationError(f"{self.text!r} does not name {sorted(names - written)}")

    def give(self, name: str, known: Mapping[str, float]) -> float:
        """The quantity ``name`` from the others.

        Raises:
            ZeroDivisionError, ValueError, OverflowError: the others allow no such value.
        """
        scope = {one: known[one] for one in self.needs[name]}
        # eval of our own compiled formulas, with no builtins: the text is the code
        value = eval(self.code[name], {"__builtins__": {}, **self.functions}, scope)  # noqa: S307
        return float(value)


@dataclass(frozen=True)
class Example:
    """A sentence with a number it must give: "name" = value unit, give or take."""

    say: str
    name: str
    value: float
    unit: str
    within: float
    source: Source


@dataclass(frozen=True)
class Worked:
    """What a program made of the quantities it was given.

    Attributes:
        values: the quantities worked out, canonical.
        missing: inputs to ask for; if there are any nothing else counts.
        used: inputs whose defaults it rests on.
        headline: the first sentence, with quantities in braces.
        lines: the sums behind it, one a line, with quantities in braces; "why?" shows them.
    """

    values: Mapping[str, float] = field(default_factory=dict)
    missing: tuple[str, ...] = ()
    used: tuple[str, ...] = ()
    headline: str = ""
    lines: tuple[str, ...] = ()


Program = Callable[[Mapping[str, float], frozenset[str]], Worked]
"""Works out what no relation can: from the known quantities and the words said of them. Among the words stand the
quantities asked for by name ("?mash") and those that were given ("=loss"), as no default is."""


@dataclass(frozen=True)
class Calculator:
    """A network of relations between named quantities.

    ``called_by`` lists sets of terms ("brine @vessel"), any of which calls this calculator when
    all of the set are said: a term, a kind of word ("@vessel"), the dimension of an amount
    ("#mass"), or something asked for by name ("?capacity"). ``excluded_by`` are terms with
    which it is not meant. ``goals`` are the quantities it answers with when none is asked for
    by name. ``headline`` gives the first sentence of an answer by the quantity it is about (the
    first whose quantities are all known), ``tail`` the sentences after it; a sentence whose
    quantities are not known is left out. ``wanted`` maps what can be asked for to quantities, of which
    the first is meant, or all of them where the word stands in ``all_of``.
    ``owns`` are terms that no calculator may answer that does not listen for them, whatever else fits: "gum at 2 g
    per litre" is no brine.
    ``program`` takes over where the relations end: which quantities there are depends on what was said.
    """

    name: str
    title: str
    does: str
    inputs: tuple[Input, ...]
    relations: tuple[Relation, ...]
    goals: tuple[str, ...]
    called_by: tuple[str, ...]
    headline: Mapping[str, tuple[str, ...]]
    tail: tuple[str, ...] = ()
    sources: tuple[Source, ...] = ()
    examples: tuple[Example, ...] = ()
    wanted: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    starts_ferment: bool = False
    excluded_by: frozenset[str] = frozenset()
    program: Program | None = None
    all_of: frozenset[str] = frozenset()
    owns: frozenset[str] = frozenset()
    calls: tuple[frozenset[str], ...] = field(init=False, default=())

    def __post_init__(self) -> None:
        names = [one.name for one in self.inputs]
        if len(set(names)) != len(names):
            raise DeclarationError(f"{self.name}: an input is declared twice")
        used = set().union(*(relation.names for relation in self.relations)) if self.relations else set()
        for unknown in used - set(names):
            raise DeclarationError(f"{self.name}: no input {unknown}")
        for goal in (*self.goals, *self.headline, *sum(self.wanted.values(), ())):
            if goal not in names:
                raise DeclarationError(f"{self.name}: no input {goal}")
        object.__setattr__(self, "calls", tuple(frozenset(one.split()) for one in self.called_by))
        if not self.sources:
            raise DeclarationError(f"{self.name}: no source")

    def has(self, name: str) -> bool:
        """Whether there is an input of that name."""
        return any(one.name == name for one in self.inputs)

    @cached_property
    def listens(self) -> frozenset[str]:
        """Every word that it or one of its inputs listens for."""
        return frozenset(term for item in self.inputs for term in item.terms).union(*self.calls)

    @property
    def by_spoon(self) -> str:
        """The quantity of it that is measured by the spoon, "" if none is."""
        return next((one.name for one in self.inputs if one.name in BY_SPOON), "")

    def input(self, name: str) -> Input:
        """The input of that name.

        Raises:
            KeyError: there is none.
        """
        for one in self.inputs:
            if one.name == name:
                return one
        raise KeyError(name)
