"""What the declarations promise, held for every calculator at once."""

from __future__ import annotations

import datetime
import math
import random

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from assistant.declare import Calculator, DeclarationError, Input, Limit, Relation
from assistant.evaluate import bounds, solve
from assistant.rules.salt import RULES
from assistant.talk.place import dimension
from assistant.trade import CALCULATORS, calculator
from grammar import measures
from grammar.measures import CANONICAL, UNITLESS
from grammar.vocabulary import vocabulary
from tests.helpers import say, value

NAMES = [one.name for one in CALCULATORS]
RELATIONS = [(one, relation) for one in CALCULATORS for relation in one.relations]
LIKELY = {
    "mass": (0.05, 50.0), "volume": (0.05, 50.0), "fraction": (0.005, 0.2), "density": (0.9, 1.15),
    "temperature": (5.0, 40.0), "length": (1.0, 6.0), "gravity": (1.0, 1.15), "salometer": (5.0, 90.0),
    "count": (1.0, 20.0), "time": (1.0, 100.0), "date": (700000.0, 740000.0), "months": (0.0, 30.0),
    "normality": (0.02, 1.0), "molarity": (0.01, 1.0), "part": (1.0, 9.0), "acidity": (2.0, 6.0),
    "pungency": (500.0, 90000.0), "trace": (1.0, 9000.0), "difference": (1.0, 20.0),
    "potential": (1.0, 200.0), "slope": (40.0, 60.0), "grade": (0.0, 2.0),
}  # fmt: skip
"""Where random values are drawn from, in canonical units."""


def draw(item: Input, source: random.Random) -> float:
    """A likely value of an input."""
    if item.dimension == "acidity":
        return source.choice((4.0, 4.01, 6.86, 7.0, 10.01))  # there are no other buffers
    low, high = LIKELY[item.dimension]
    if item.dimension == "months":
        return float(source.randint(int(low), int(high)))
    if item.dimension == "date":  # no day past the 28th: a month before 31 March has no 31st
        day = datetime.date.fromordinal(source.randint(int(low), int(high)))
        return float(day.replace(day=min(day.day, 28)).toordinal())
    if item.name in ("per_litre", "per_litre_brine"):
        return source.uniform(0.01, 0.2)
    if item.name in ("bulk",):
        return source.uniform(0.6, 1.3)
    return source.uniform(low, high)


@pytest.mark.parametrize(("chosen", "relation"), RELATIONS, ids=[f"{c.name}:{r.text}" for c, r in RELATIONS])
def test_each_formula_satisfies_its_relation(chosen: Calculator, relation: Relation) -> None:
    """What one formula gives, put back into the relation as written, makes both sides equal."""
    left, right = relation.text.split(" = ")
    source = random.Random(relation.text)  # noqa: S311
    for name in relation.solve:
        for _ in range(200):
            values = {one: draw(chosen.input(one), source) for one in relation.names}
            try:
                values[name] = relation.give(name, values)
            except (ValueError, ZeroDivisionError, TypeError):
                continue  # a strength beyond saturation, say: no such brine
            scope = dict(values)
            try:
                sides = [eval(side, {"__builtins__": {}, **relation.functions}, scope) for side in (left, right)]  # noqa: S307
            except (ValueError, ZeroDivisionError, TypeError):
                continue
            assert math.isclose(sides[0], sides[1], rel_tol=1e-6, abs_tol=1e-9)


@pytest.mark.parametrize(("chosen", "relation"), RELATIONS, ids=[f"{c.name}:{r.text}" for c, r in RELATIONS])
def test_inverse_solves_round_trip(chosen: Calculator, relation: Relation) -> None:
    """Solve for one quantity, put it back, and every other one comes out as it went in."""
    source = random.Random(relation.text + "round")  # noqa: S311
    trips = 0
    for _ in range(100):
        values = {one: draw(chosen.input(one), source) for one in relation.names}
        for name in relation.solve:
            try:
                known = {**values, name: relation.give(name, values)}
            except (ValueError, ZeroDivisionError, TypeError):
                continue
            for other in relation.solve:
                if other == name or known[name] <= 0:
                    continue
                try:
                    back = relation.give(other, known)
                except (ValueError, ZeroDivisionError, TypeError):
                    continue
                assert math.isclose(values[other], back, rel_tol=1e-5, abs_tol=1e-9)
                trips += 1
    assert trips > 0 or len(relation.solve) == 1


@pytest.mark.parametrize("chosen", CALCULATORS, ids=NAMES)
def test_every_term_has_words(chosen: Calculator) -> None:
    """Each term, kind and preposition a calculator listens for can be said."""
    known = vocabulary().entries.values()
    terms, kinds = {one.term for one in known}, {one.kind for one in known}
    marks = {one.term for one in known if one.kind == "mark"} | {"of"}
    for item in chosen.inputs:
        for term in item.terms:
            assert term.removeprefix("@") in (kinds if term.startswith("@") else terms)
        assert set(item.marks) <= marks
    dims = {f"#{one}" for one in (*CANONICAL, *UNITLESS)} | {
        "#spoon",
        "#per",
        "#into",
        "#up",
        "#down",
        "#pairs",
        "#salt",
        "#thinned",
        "#salted",
        "#aims",
        "#levered",
        "#soured",
        "#hots",
        "#sweets",
        "#cooler",
        "#jarred",
        "#vinegars",
    }
    for called in (*chosen.calls, chosen.excluded_by):
        for token in called:
            if token.startswith("#"):
                assert token in dims
            elif token.startswith("@"):
                assert token[1:] in kinds
            elif token.startswith("?"):
                assert token[1:] in chosen.wanted
            else:
                assert token in terms


@pytest.mark.parametrize("chosen", CALCULATORS, ids=NAMES)
def test_limits_are_of_the_inputs_dimension(chosen: Calculator) -> None:
    """Limits, suggestions and defaults are written in a unit of the input's dimension, and fit it."""
    for item in chosen.inputs:
        low, high = bounds(item.limit, item.dimension)
        assert low < high
        if item.suggest is not None:
            amount = measures.canonical(item.suggest[0], item.suggest[1], item.dimension)
            assert low < amount <= high
        if item.default is not None:
            values = [item.default.value] if item.default.value is not None else []
            values += [number for number, _ in item.default.by_kind.values()]
            for number in values:
                amount = measures.canonical(number, item.default.unit, item.dimension)
                assert (low <= amount if item.limit.from_low else low < amount) and amount <= high


@pytest.mark.parametrize("chosen", CALCULATORS, ids=NAMES)
def test_questions_say_what_they_want(chosen: Calculator) -> None:
    """Every calculator can ask its way to an answer, and each question is one sentence."""
    asked = [one for one in chosen.inputs if one.ask]
    assert asked
    outcome = solve(chosen, {})
    assert outcome.missing
    assert set(outcome.missing) <= {one.name for one in asked}
    for item in asked:
        assert "?" in item.ask
        assert set(item.instead) <= {one.name for one in chosen.inputs}


@pytest.mark.parametrize("chosen", CALCULATORS, ids=NAMES)
def test_sentences_name_only_known_quantities(chosen: Calculator) -> None:
    """Every {name} in an answer's or a limit's sentence is a quantity of the calculator."""
    import re

    texts = [text for all_ in chosen.headline.values() for text in all_] + list(chosen.tail)
    texts += [text for one in chosen.inputs for text in (one.limit.too_low, one.limit.too_high)]
    names = {one.name for one in chosen.inputs} | {"kind"}
    for text in texts:
        assert set(re.findall(r"{(\w+)}", text)) <= names


EXAMPLES = [(one, example) for one in CALCULATORS for example in one.examples]


@pytest.mark.parametrize(("chosen", "example"), EXAMPLES, ids=[example.say for _, example in EXAMPLES])
def test_examples_hold(chosen: Calculator, example: object) -> None:
    """Each declared example, said as it stands, gives its number."""
    replies = say(example.say)  # type: ignore[attr-defined]
    answers = [one for one in replies if one.kind == "answer"]
    assert [chosen.name] == [one.calculator for one in answers]  # type: ignore[attr-defined]
    got = value(replies, example.name, example.unit)  # type: ignore[attr-defined]
    assert pytest.approx(example.value, abs=max(example.within, 1e-9)) == got  # type: ignore[attr-defined]


def test_every_calculator_has_an_example_and_a_source() -> None:
    """Nothing stands without where it comes from and how it is said."""
    for one in CALCULATORS:
        assert one.examples
        assert one.sources
        assert all(str(rule.source) for rule in RULES)


@pytest.mark.parametrize(
    ("percent", "outcome"), [(26.4, True), (26.46, False), (0.01, True), (0.0, False), (-1.0, False), (300.0, False)]
)
def test_just_inside_and_outside_saturation(percent: float, outcome: bool) -> None:
    """A brine of 26.4 % of everything is answered, one of 26.46 % refused, and so are 0 and less."""
    found = solve(calculator("brine"), {"water": 1.0, "of_whole": percent / 100})
    assert outcome == found.solved


@pytest.mark.parametrize("chosen", CALCULATORS, ids=NAMES)
def test_just_inside_and_outside_each_limit(chosen: Calculator) -> None:
    """Each askable input is taken at its limits' inner side and refused at the outer."""
    for item in chosen.inputs:
        low, high = bounds(item.limit, item.dimension)
        step = 1e-6 * max(abs(low), abs(high))
        for given_, ok in ((low - step, False), (high + step, False), (low + step, True), (high, True)):
            found = solve(chosen, {item.name: given_})
            breach = found.outside is not None and found.outside.given
            assert ok == (not breach)


@settings(max_examples=60)
@given(st.floats(0.2, 20), st.floats(1.0, 3.0), st.floats(0.5, 8.0), st.floats(0.1, 4.0))
def test_more_salt_is_saltier(produce: float, size: float, percent: float, more: float) -> None:
    """In a packed vessel more salt gives more percent on every basis, and more salt of the juice."""
    capacity = produce / 0.9 * size + 0.3
    low = solve(calculator("packed"), {"produce": produce, "capacity": capacity, "of_total": percent / 100})
    high = solve(calculator("packed"), {"produce": produce, "capacity": capacity, "of_total": (percent + more) / 100})
    assume(low.solved and high.solved)
    for name in ("salt", "of_water", "of_whole", "settled"):
        if name in low.values and name in high.values:
            assert low.values[name] < high.values[name]


@settings(max_examples=60)
@given(st.floats(0.5, 50), st.floats(0.01, 0.2), st.floats(0.5, 50), st.floats(0.01, 0.2))
def test_mixing_lies_between(first: float, one: float, second: float, two: float) -> None:
    """A mix is no saltier than the saltier part, no weaker than the weaker, and weighs both."""
    found = solve(
        calculator("mix"), {"first": first, "first_salt": one, "second": second, "second_salt": two}, ("after", "both")
    )
    assert min(one, two) - 1e-12 <= found.values["after"] <= max(one, two) + 1e-12
    assert math.isclose(first + second, found.values["both"])


def test_a_declaration_that_contradicts_itself_is_refused() -> None:
    """A relation with a name that is no input, or a formula its text does not name, fails at import."""
    mass = Limit(0, 1, "kilogram")
    with pytest.raises(DeclarationError):
        Relation("a = b", {"a": "b * c"})
    with pytest.raises(DeclarationError):
        Calculator(
            "x", "x", "x", (Input("a", "mass", "a", mass),), (Relation("a = b", {"a": "b"}),), ("a",),
            ("a",), {}, sources=calculator("brine").sources,
        )  # fmt: skip
    with pytest.raises(DeclarationError):
        Calculator("x", "x", "x", (Input("a", "mass", "a", mass),), (), ("a",), ("a",), {})


def test_units_of_the_vocabulary_have_dimensions_the_declarations_know() -> None:
    """Every unit that can be said belongs to a dimension that has a canonical unit or none."""
    for unit in vocabulary().dimension:
        assert dimension(unit) in (*CANONICAL, *UNITLESS)
