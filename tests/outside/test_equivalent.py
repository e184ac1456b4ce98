"""Minutes carried from one temperature to another, against worked sums and the printed tables' own steps."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.replies import Answer
from assistant.trade.equivalent import by_z, equivalent
from assistant.trade.lethality import process_for
from grammar.measures import canonical
from tests.helpers import kinds, say, value


@pytest.mark.parametrize(
    ("f", "reference", "temperature", "z", "minutes"),
    # worked by hand, t = F x 10^((Tref - T) / z): 2 x 10^(6.1 / 10) = 8.148; 1.2 x 10^(10 / 10.833) = 10.05;
    # 5.6 x 10^(-8.9 / 9.278) = 0.615; 0.51 min at 71.1 C, z 7.4 C (Dufort, Etzel and Ingham 2017, Food Protection
    # Trends 37(6):409-418, tomato) at 65 C: 0.51 x 10^(6.1 / 7.4) = 3.403
    [(2, 71.1, 65, 10, 8.148), (1.2, 71.1, 61.1, 19.5 / 1.8, 10.05), (5.6, 71.1, 80, 16.7 / 1.8, 0.615),
     (0.51, 71.1, 65, 7.4, 3.403)],
)  # fmt: skip
def test_a_z_that_is_given(f: float, reference: float, temperature: float, z: float, minutes: float) -> None:
    """The formula with a z and an F of one's own."""
    assert by_z(f, reference, temperature, z) == pytest.approx(minutes, rel=1e-3)


@pytest.mark.parametrize(
    ("fahrenheit", "celsius"), [(18, 10), (19.5, 10.8333), (16.7, 9.2778), (40.3, 22.389)]
)  # definition: a difference of 1 C is one of 1.8 F, exactly; no 32 in it
def test_z_is_a_difference(fahrenheit: float, celsius: float) -> None:
    """A z in F becomes C without the 32 of a temperature."""
    assert canonical(fahrenheit, "delta_degree_Fahrenheit", "difference") == pytest.approx(celsius, abs=1e-3)
    said = say(f"z {fahrenheit} F, F 2 min at 160 F, how long at 150 F")
    # worked by hand, all in F: 2 x 10^(10 / z)
    assert value(said, "worth", "minute") == pytest.approx(2 * 10 ** (10 / fahrenheit), rel=1e-6)


@pytest.mark.parametrize(
    ("minutes", "here", "there", "ph", "found"),
    # Breidt, Sandeep and Arritt 2010: each 19.5 F is a factor of ten at pH 4.1 or below; printed: 12.7 min at 140 F
    # for 3.9 at 150 F and 1.2 at 160 F. Breidt et al. 2014: 22.4 min at 150 F for 5.6 at 160 F and 1.4 at 170 F.
    [(12.7, 140, 150, 4.0, 3.9), (3.9, 150, 160, 4.0, 1.2), (22.4, 150, 160, 4.4, 5.6), (5.6, 160, 170, 4.4, 1.41)],
)  # fmt: skip
def test_the_printed_tables(minutes: float, here: float, there: float, ph: float, found: float) -> None:
    """One row of a table in minutes of another row, within the tables' rounding."""
    said = say(f"{minutes} minutes at {here} F is worth how many at {there} F, pH {ph}")
    assert value(said, "worth", "minute") == pytest.approx(found, abs=0.06)


@given(st.floats(60, 82), st.floats(60, 82), st.floats(0.1, 60), st.floats(3.0, 4.6))
def test_there_and_back(here: float, there: float, minutes: float, ph: float) -> None:
    """What an equivalent is worth at the first temperature is the first time again, and the kill is the same."""
    other = equivalent(minutes, here, there, ph)
    assert equivalent(other, there, here, ph) == pytest.approx(minutes, rel=1e-9)
    process = process_for(ph)
    assert other * process.rate(there) == pytest.approx(minutes * process.rate(here), rel=1e-9)


def test_no_more_than_at_180_f() -> None:
    """The tables end at 180 F: a hotter hold is asked for as many minutes as at 180 F, and never fewer."""
    assert equivalent(10, 75, 95, 4.0) == equivalent(10, 75, (180 - 32) / 1.8, 4.0)


@pytest.mark.parametrize(("here", "there", "ph"), [(59.9, 75, 4.0), (75, 59.9, 4.0), (75, 80, 4.61)])
def test_where_nothing_counts(here: float, there: float, ph: float) -> None:
    """Under 140 F and above pH 4.6 the tables have nothing to compare (Breidt 2010 and 2014)."""
    with pytest.raises(ValueError, match=r"no heat counts|above pH"):
        equivalent(10, here, there, ph)


@pytest.mark.parametrize(
    ("line", "stopped"),
    [
        ("z 2.9 C, F 2 min at 71.1 C, how long at 65", "at least 3 C"),
        ("z 41 C, F 2 min at 71.1 C, how long at 65", "too much"),
        ("10 minutes at 75 C is worth how many at 82 C, pH 4.55", "low-acid"),
        ("10 minutes at 75 C is worth how many at 55 C, pH 3.9", "Under 60 C"),
    ],
)
def test_refused(line: str, stopped: str) -> None:
    """A z that no germ has, a pH too high with its error, and heat that is not credited, each with its reason."""
    replies = say(line)
    assert kinds(replies) == ["refuse"]
    assert stopped in replies[0].text


def test_a_given_z_is_used_as_it_is() -> None:
    """A z of one's own is not bent to the published one, and the answer says whose it is and what is published."""
    replies = say("z 12 C, F 2 min at 71.1 C, how long at 65 C, pH 3.9")
    assert value(replies, "worth", "minute") == pytest.approx(2 * 10 ** (6.1 / 12), rel=1e-6)  # 6.447, by hand
    # by the published z: 2 x 10^(6.1 / 10.8333) = 7.314
    assert value(replies, "published", "minute") == pytest.approx(7.314, abs=0.01)
    text = next(one.text for one in replies if isinstance(one, Answer))
    assert "rests on your figures" in text
    assert "z 19.5 F" in text


def test_a_warming_is_no_hold() -> None:
    """Minutes from one temperature to another are not counted as minutes at the hotter one."""
    assert not any(isinstance(one, Answer) for one in say("what is 10 minutes from 60 C to 80 C worth, pH 3.9"))


def test_which_minutes_are_meant() -> None:
    """The minutes are at the temperature beside them, whichever is said first."""
    lines = (
        "how long at 82 C is 10 minutes at 75 C worth at pH 4.0",
        "at 75 C for 10 minutes is the same as how long at 82 C, pH 4.0",
        "10 minutes at 75 C is worth how many at 82, pH 4.0",
    )
    for line in lines:
        assert math.isclose(value(say(line), "worth", "minute"), 2.2586, abs_tol=1e-3)  # 10 x 10^(-7 / 10.8333)


def test_sixty_degrees_are_still_credited() -> None:
    """The tables credit heat from 60 C on: at 60 C itself they are not called silent (Breidt 2010: from 140 F)."""
    assert "credit nothing" not in say("10 minutes at 75 C is worth how many at 60 C, z 10 C")[0].text
    assert "credit nothing" in say("10 minutes at 75 C is worth how many at 59 C, z 10 C")[0].text
