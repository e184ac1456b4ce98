"""A bottle filled hot: worked heat balances, Newton's cooling against its equation, its worth against an integral."""

from __future__ import annotations

import math

import pytest
from CoolProp.CoolProp import PropsSI
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.integrate import quad, solve_ivp

from assistant.evaluate import solve
from assistant.replies import Answer
from assistant.trade import calculator
from assistant.trade.filled import constant_between, cooling_constant, gathered, stays_hot
from assistant.trade.hygiene import boiling_point
from assistant.trade.lethality import COUNTS_FROM, HIGH_PH, LOW_PH, Process
from tests.helpers import kinds, say, value

MINUTE = 1 / 1440


@pytest.mark.parametrize(
    ("sauce", "bottle", "hot", "cold", "settled"),
    # worked by hand, (m x c x T of the sauce + that of the glass) / (both m x c), 3.7 and 0.84 kJ per kg and degree:
    # 0.148 kg at 85 in 0.14 kg at 20: (46.546 + 2.352) / (0.5476 + 0.1176) = 73.51 (practice says near 74)
    # the same bottle at 60: (46.546 + 7.056) / 0.6652 = 80.58; 0.25 kg at 88 in 0.2 kg at 60: 83.70
    [(0.148, 0.14, 85, 20, 73.51), (0.148, 0.14, 85, 60, 80.58), (0.25, 0.2, 88, 60, 83.70)],
)
def test_where_it_settles(sauce: float, bottle: float, hot: float, cold: float, settled: float) -> None:
    """The heat that the sauce gives is the heat that the glass takes."""
    known = {"sauce": sauce, "bottle": bottle, "sauce_heat": hot, "bottle_heat": cold}
    found = solve(calculator("filled"), known)
    assert found.values["settled"] == pytest.approx(settled, abs=0.02)


def test_the_sauce_takes_less_heat_than_water() -> None:
    """3.7 kJ is under what water takes (CoolProp at 80 C: 4.196), so that a fill is not thought hotter than it is."""
    water = PropsSI("C", "T", 353.15, "P", 101_325, "Water") / 1000
    assert water == pytest.approx(4.196, abs=0.005)
    siebel = 0.837 + 3.349 * 0.88  # Siebel 1892, from memory: 3.784
    assert 3.7 < siebel < water


@given(st.floats(0.05, 1), st.floats(0.02, 0.8), st.floats(65, 95), st.floats(61, 85))
def test_the_bottle_that_is_warm_enough(sauce: float, bottle: float, hot: float, aim: float) -> None:
    """Bottles at the warmth that is named settle at the temperature wanted, or a hair over it, never under."""
    known = {"sauce": sauce, "bottle": bottle, "sauce_heat": hot, "aim": aim}
    found = solve(calculator("filled"), known)
    needed = found.values.get("bottle_needed")
    assume(needed is not None and found.solved and -20 < needed < 110)
    back = solve(calculator("filled"), {**known, "bottle_heat": needed}).values["settled"]
    assert aim - 1e-9 <= back <= aim + 0.11


def test_how_warm_the_bottles_must_be() -> None:
    """85 C sauce that is to stay over 80 C in a bottle of 140 g: the glass at 56.5 C.

    Worked by hand: 80 - 150 x 3.7 x 5 / (140 x 0.84) = 80 - 23.597 = 56.403, up to a tenth.
    """
    replies = say("how warm must my bottles be so 85 C sauce stays over 80", "150 ml", "140 g")
    assert value(replies, "bottle_needed", "degree_Celsius") == pytest.approx(56.5)


@given(st.floats(61, 99), st.floats(-10, 40), st.floats(5, 200))
def test_newton_cooling(start: float, room: float, constant: float) -> None:
    """The time to 60 C is where the differential equation dT/dt = -(T - room) / constant comes there (scipy)."""
    minutes = stays_hot(start, room, constant * MINUTE) / MINUTE
    run = solve_ivp(lambda _t, y: -(y - room) / constant, (0, minutes), [start], rtol=1e-9, atol=1e-9)
    assert run.y[0][-1] == pytest.approx(COUNTS_FROM, abs=1e-5)


@pytest.mark.parametrize(
    ("start", "later", "room", "minutes", "constant"),
    # worked by hand: 5 / ln(65 / 58) = 43.88 min; 10 / ln(60 / 40) = 24.66 min
    [(85, 78, 20, 5, 43.88), (80, 60, 20, 10, 24.66)],
)
def test_a_constant_from_one_reading(start: float, later: float, room: float, minutes: float, constant: float) -> None:
    """One later reading gives the cooling constant."""
    assert constant_between(start, later, room, minutes * MINUTE) / MINUTE == pytest.approx(constant, abs=0.01)


@pytest.mark.parametrize(("start", "later", "room"), [(85, 86, 20), (85, 85, 20), (85, 19, 20), (85, 20, 20)])
def test_no_constant_of_what_did_not_cool(start: float, later: float, room: float) -> None:
    """A reading that is no cooler, or as cold as the room, is refused."""
    with pytest.raises(ValueError, match="cooled"):
        constant_between(start, later, room, 5 * MINUTE)


def test_the_usual_constant() -> None:
    """A bottle of 150 mL in 140 g of glass loses its difference from the room in some 38 minutes.

    Worked by hand: 672.6 J per degree / (15 W x 7 x (0.00015 m3)^(2/3) = 0.2964 W per degree) = 2269 s = 37.8 min.
    """
    assert cooling_constant(0.15, 0.15, 0.14, 3.7, 0.84) / MINUTE == pytest.approx(37.8, abs=0.1)


@pytest.mark.parametrize("chosen", [LOW_PH, HIGH_PH])
@pytest.mark.parametrize(("start", "room", "constant"), [(73.6, 20, 37.8), (85, 20, 37.8), (62, 10, 20), (80, 30, 90)])
def test_what_the_cooling_is_worth(chosen: Process, start: float, room: float, constant: float) -> None:
    """The sum of short steps is under the integral of the lethal rate (scipy.integrate.quad), by less than 1 %."""
    last = stays_hot(start, room, constant)
    exact, _ = quad(lambda t: chosen.rate(room + (start - room) * math.exp(-t / constant)), 0, last - 1e-9, limit=200)
    found = gathered(start, room, constant * MINUTE, chosen) / MINUTE
    assert 0.99 * exact < found <= exact


def test_nothing_is_gathered_under_60_c() -> None:
    """A fill that settles at or under 140 F is credited nothing, and the answer says to heat it again."""
    assert gathered(COUNTS_FROM, 20, MINUTE * 30, LOW_PH) == 0
    replies = say("is 75 C sauce into a 300 g bottle at 5 C enough, 150 ml, pH 4.3")
    assert value(replies, "reach", "") == 0
    assert any("This fill heats nothing" in one.text for one in replies)


def test_a_start_that_was_not_read_is_not_counted() -> None:
    """With a later reading only the cooling from it on counts: 78 C in a room at 20 C, constant 43.88 min, pH 4.4.

    The worth is the integral of the rate from 78 C on (scipy), under that from the 85 C in the pot.
    """
    replies = say("filled at 85, after 5 minutes 78, room 20, at pH 4.3")
    constant = 5 / math.log(65 / 58)
    last = stays_hot(78, 20, constant)
    exact, _ = quad(lambda t: HIGH_PH.rate(20 + 58 * math.exp(-t / constant)), 0, last - 1e-9)
    assert value(replies, "gathered", "minute") == pytest.approx(exact, rel=0.01)


@pytest.mark.parametrize(
    ("bottle", "cracks"), [("44 C", True), ("45 C", False), ("60 C", False), ("20 C", True), ("111 F", True)]
)  # common practice, no source: 40 C between sauce and glass; 111 F is 43.9 C
def test_cold_glass(bottle: str, cracks: bool) -> None:
    """Over 40 C between sauce and glass the glass may crack."""
    replies = say(f"150 g of sauce at 85 C into a 140 g bottle at {bottle}, where does it settle")
    assert any("may crack it" in one.text for one in replies) == cracks


@pytest.mark.parametrize("line", [
    "filled at 85 C, after 5 minutes 88 C, room 20 C", "85 C sauce, 150 ml in a 140 g glass bottle at 20 C, pH 4.58",
    "how warm must 140 g bottles be so 85 C sauce settles at 90 C, 150 ml",
])  # fmt: skip
def test_refused(line: str) -> None:
    """What grew warmer by standing, a pH too high with its error, and a warmth no bath gives."""
    assert kinds(say(line)) == ["refuse"]


@pytest.mark.parametrize(("metres", "hot", "stopped"), [
    (2000, 100, True), (2000, 93, False), (2000, 94, True), (0, 100, False), (1000, 97, True), (3000, 89, False),
])  # fmt: skip
def test_no_hold_over_the_boiling_point(metres: int, hot: int, stopped: bool) -> None:
    """A hold hotter than water boils there (CoolProp, ISO 2533) is refused, and the boiling point is said."""
    pascal = 101_325 * (1 - 2.25577e-5 * metres) ** 5.25588
    boils = PropsSI("T", "P", pascal, "Q", 0, "Water") - 273.15
    assert boiling_point(10 * metres) == pytest.approx(boils, abs=0.1)
    assert (hot > boils + 0.1) == stopped
    replies = say(f"hold at {hot} C for 5 minutes at pH 3.8 at {metres} m")
    assert any(isinstance(one, Answer) for one in replies) != stopped
    assert not stopped or f"water boils at {boiling_point(10 * metres):.1f} C" in replies[0].text


def test_no_hold_over_100_c() -> None:
    """With no altitude said, an open pot is not believed over 100 C."""
    assert kinds(say("hold at 101 C for 5 minutes at pH 3.8")) == ["refuse"]
    assert "answer" in kinds(say("hold at 212 F for 5 minutes at pH 3.8"))


@pytest.mark.parametrize("line", [
    "can I just leave it acid for a week instead of heating", "cold hold", "can I cold hold it at pH 3.3 for 6 days",
    "is acid enough without heating it?",
])  # fmt: skip
def test_no_cold_hold_for_lactic_sauce(line: str) -> None:
    """The times without heat rest on acetic acid (Breidt, Hayes and McFeeters 2007): no day is named for a ferment."""
    replies = say(line)
    assert replies[0].text.startswith("Acid without heat does not do for a sauce that only its ferment soured")
    assert "log" not in kinds(replies)


def test_turning_bottles_has_two_sides() -> None:
    """The strict answer comes first, then what approved makers do (both named in the sources)."""
    text = say("should I turn the bottles over")[0].text
    assert text.index("extension services reject") < text.index("approved hot-fill-hold")


def test_what_starts_at_60_c_does_not_stay_over_it() -> None:
    """At 60 C nothing stays over 60 C, a degree more does; in a room as hot it never falls under it."""
    assert stays_hot(60.0, 20.0, 0.1) == 0
    # worked by hand: ln(41 / 40) = 0.02469
    assert stays_hot(61.0, 20.0, 0.1) == pytest.approx(0.002469, rel=1e-3)
    assert stays_hot(70.0, 60.0, 0.1) == math.inf


def test_no_constant_at_the_rooms_own_warmth() -> None:
    """What reads as the room does, or as it did at the start, tells no constant."""
    for later in (20.0, 85.0):
        with pytest.raises(ValueError, match="cooled"):
            constant_between(85.0, later, 20.0, 0.01)
