"""The looks: tones for dark and light screens, large type, plain lines for a screen reader."""

from __future__ import annotations

import re
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.console.asides import type_wanted
from assistant.console.large import digits, short
from assistant.console.lines import TONES, lines
from assistant.console.look import Look, ground, look
from assistant.console.named import NAMED
from assistant.console.session import Session
from assistant.console.settings import Settings
from assistant.replies import Answer, Ask, Assume, Caution, Chart, Note, Refuse, Reply
from tests.helpers import DAY, say

TALKS = {
    "answer": ("brine for 3 kg in a 10 L crock at 2.5%",),
    "pounds": ("5 lb mash at 3%",),
    "stop": ("0.5% brine over 2 kg in a 5 L jar",),
    "asked": ("brine for 5 kg",),
    "refused": ("brine with 2 L of water at 95%",),
    "not read": ("brimble wobbet",),
    "why": ("brine for 3 kg in a 10 L crock at 2.5%", "why"),
    "heat": ("55 62 68 72 74 74 70 64 every two minutes, pH 4.0",),
    "course": (
        "new batch of 3 kg of cabbage in a 10 L crock at 2%", "pH 5.9 by meter", "pH 4.4 by meter", "show the batch",
    ),
    "mould": ("fuzzy green mould on top",),
    "help": ("help",),
    "slope": ("-15 mV in pH 7 and 130 mV in pH 4",),
}  # fmt: skip
SCENARIOS = sorted((Path(__file__).parent.parent.parent / "scenarios").glob("*.chat"))[1::4]
ESCAPE = re.compile(r"\x1b\[[0-9;]*m")


def rows(name: str, width: int = 40, **more: bool | str | int) -> list[str]:
    """What a look makes of the last replies of a talk."""
    return Look(width, **more).rows(say(*TALKS[name]))  # type: ignore[arg-type]


def words(found: list[str]) -> str:
    """The rows as one run of words."""
    return " ".join(" ".join(found).split())


# --- tones --------------------------------------------------------------------------------

GROUND = {"dark": (0, 0, 0), "light": (255, 255, 255)}
INK = {
    "1": None, "2": None, "31": (205, 0, 0), "33": (205, 205, 0), "34": (0, 0, 238), "35": (205, 0, 205),
    "36": (0, 205, 205),
}  # fmt: skip
"""The sixteen colours as xterm has them (its resource defaults, from memory); None leaves the colour as it is."""


def light(colour: tuple[int, int, int]) -> float:
    """Relative luminance, WCAG 2.1."""
    parts = [(one / 255) for one in colour]
    red, green, blue = (one / 12.92 if one <= 0.03928 else ((one + 0.055) / 1.055) ** 2.4 for one in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


@pytest.mark.parametrize(
    ("shade", "grounds"), [("dark", ("dark",)), ("light", ("light",)), ("both", ("dark", "light"))]
)
def test_every_tone_stands_off_its_ground(shade: str, grounds: tuple[str, ...]) -> None:
    """Each tone has a contrast of at least 3 to 1 on the screens it is for (WCAG 2.1, 1.4.11: what carries meaning)."""
    for tone, escape in TONES[shade].items():
        for code in escape.removeprefix("\x1b[").removesuffix("m").split(";"):
            ink = INK[code]
            for one in grounds if ink else ():
                high, low = sorted((light(ink or (0, 0, 0)), light(GROUND[one])), reverse=True)
                assert (high + 0.05) / (low + 0.05) >= 3, (tone, one)


@pytest.mark.parametrize("shade", TONES)
@pytest.mark.parametrize("name", TALKS)
def test_colour_carries_no_meaning_of_its_own(shade: str, name: str) -> None:
    """In each shade, large or not, the words are the same as without colour."""
    for large in (False, True):
        coloured = rows(name, shade=shade, large=large)
        assert rows(name, large=large) == [ESCAPE.sub("", row) for row in coloured]
        assert True is any("\x1b" in row for row in coloured) or name in ("why", "help")


@pytest.mark.parametrize(
    ("said", "shade"),
    [("15;0", "dark"), ("0;15", "light"), ("0;7", "light"), ("15;8", "dark"), ("0;default;15", "light"),
     ("", "both"), ("x", "both"), ("0;999", "both"), ("0;\u00b2", "both")],
)  # fmt: skip
def test_a_terminal_may_say_what_its_ground_is(said: str, shade: str) -> None:
    """COLORFGBG is believed where it names one of the sixteen colours; else tones for either ground are taken."""
    assert shade == ground(said)


@pytest.mark.parametrize(
    ("settings", "terminal", "environment", "shade"),
    [
        (Settings(), True, {}, "both"), (Settings(), True, {"COLORFGBG": "0;15"}, "light"),
        (Settings(shade="dark"), True, {"COLORFGBG": "0;15"}, "dark"), (Settings(), False, {}, "none"),
        (Settings(shade="dark"), True, {"TERM": "dumb"}, "none"), (Settings(shade="none"), True, {}, "none"),
        (Settings(plain=True, shade="dark"), True, {}, "none"),
    ],
)  # fmt: skip
def test_the_shade_is_chosen(settings: Settings, terminal: bool, environment: dict[str, str], shade: str) -> None:
    """No colour into a pipe, a dumb terminal or a screen reader; else the setting, and auto by what is known."""
    assert shade == look(settings, terminal, (80, 24), False, environment).shade


# --- large type ---------------------------------------------------------------------------


@pytest.mark.parametrize("width", [40, 60, 100])
@pytest.mark.parametrize("name", TALKS)
def test_large_type_fits(name: str, width: int) -> None:
    """No row of large type is wider than the screen."""
    assert [] == [row for row in rows(name, width, large=True) if len(row) > width]


@pytest.mark.parametrize("name", TALKS)
def test_large_type_drops_nothing_that_warns_asks_or_refuses(name: str) -> None:
    """Every caution, question, refusal and misreading is there in full; only usual assumptions and bases wait."""
    replies = say(*TALKS[name])
    shown = words(rows(name, large=True))
    kept, held = short(replies)
    for one in replies:
        if isinstance(one, Caution | Ask | Refuse) or one.kind in ("misread", "note", "why", "log"):
            assert " ".join(one.text.split()) in shown, one
        if isinstance(one, Answer):
            assert one.lead in shown
        if isinstance(one, Assume) and not one.usual:
            assert one.text in shown
    assert all(isinstance(one, Note) or (isinstance(one, Assume) and one.usual) for one in held)
    assert ('Say "more" for' in shown) is bool(held)
    assert {id(one) for one in replies} - {id(one) for one in (*kept, *held)} == {
        id(one) for one in replies if isinstance(one, Answer) and one.main and one.text != one.lead
    }


@pytest.mark.parametrize("file", SCENARIOS, ids=lambda one: one.stem)
def test_whole_talks_in_every_look(file: Path) -> None:
    """Over whole talks nothing is wider than 40 columns, and nothing that warns, asks, refuses or notes is lost."""
    session = Session(lambda: DAY)
    for row in file.read_text(encoding="utf-8").splitlines():
        replies = session.say(row[2:])[1] if row.startswith("> ") else ()
        must = [" ".join(one.text.split()) for one in replies if not isinstance(one, Answer | Assume)]
        for chosen in (Look(40, large=True), Look(40, plain=True), Look(40, plain=True, large=True)):
            shown = chosen.rows(replies)
            text = words(shown)
            assert ([], []) == ([one for one in shown if len(one) > 40], [one for one in must if one not in text]), row


def test_what_was_taken_of_a_strength_is_always_shown() -> None:
    """What the percentage was taken of can change the salt by a third: it never waits for "more"."""
    assert "You did not say of what: I took 2.5% of produce + water." in words(rows("answer", large=True))


def test_all_that_was_heard_is_shown() -> None:
    """Amounts that the first sentence does not repeat stand after it: a number heard wrong is seen at once."""
    for name in ("answer", "pounds"):
        (answer,) = [one for one in say(*TALKS[name]) if isinstance(one, Answer)]
        shown = words(rows(name, large=True))
        assert (True, []) == (len(answer.heard) > 1, [one for one in answer.heard if one not in shown])
    assert "over 3 kg of produce. From 10 L, 2.5%." in words(rows("answer", large=True))
    twelve = Answer("Salt 12 kg. More.", lead="Salt 12 kg.", main=(("salt", "12 kg"),), heard=("2 kg", "12 kg"))
    assert "Salt 12 kg. From 2 kg." == short([twelve])[0][0].text


def test_what_stops_stands_last_and_no_number_is_drawn_beside_it() -> None:
    """With a stop the number is in its sentence only, and the stop is the last thing that is said of it."""
    shown = rows("stop", large=True)
    text = words(shown)
    assert [] == [row for row in shown if "\u2588" in row]
    assert text.index("Salt 12.5 g") < text.index("STOP: Do not start this") < text.index('Say "more"')


def test_no_number_is_drawn_of_an_answer_that_says_no() -> None:
    """A probe that is not usable gets no tall number that could be read alone."""
    (answer,) = [one for one in say(*TALKS["slope"]) if isinstance(one, Answer)]
    assert (True, True) == (answer.lead.startswith("Not usable"), bool(answer.main))
    assert [] == [row for row in rows("slope", large=True) if "\u2588" in row]


def test_the_number_stands_out() -> None:
    """The number asked for is drawn in five rows under its name, with blank rows around, and its sentence follows."""
    shown = rows("answer", large=True)
    at = shown.index("  salt: 225 g")
    assert ["", "  salt: 225 g", ""] == shown[at - 1 : at + 2]
    assert digits("225 g", 38) == [row[2:] for row in shown[at + 2 : at + 7]]
    assert ["", "  Salt 225 g in 6 L of water (5.99 kg),"] == shown[at + 7 : at + 9]


def test_two_numbers_on_a_tall_screen() -> None:
    """Where there is room, salt and water are both drawn."""
    assert 10 == sum("\u2588" in row for row in rows("answer", large=True, height=40))
    assert 5 == sum("\u2588" in row for row in rows("answer", large=True, height=39))


def test_in_ascii_it_is_drawn_in_ascii() -> None:
    """A screen without other letters gets # for ink."""
    shown = "\n".join(rows("answer", large=True, ascii=True))
    assert (True, True) == (shown.isascii(), "######  ######  ######" in shown)


def test_a_number_drawn() -> None:
    """Each digit is five rows of its own; a point is narrow and stands at the foot."""
    assert [
        "  ##        ######",
        "####        ##",
        "  ##        ######",
        "  ##            ##",
        "######  ##  ######",
    ] == digits("1.5", 30, True)


def test_all_glyphs_are_told_apart() -> None:
    """No two digits or letters look alike, and none is empty."""
    found = ["\n".join(digits(f"{one}", 40, True)) for one in "0123456789"]
    assert (10, True) == (len(set(found)), all(found))
    units = ("g", "kg", "mg", "mL", "L", "lb", "oz", "%", "C", "F", "min", "h", "SHU", "mV")
    drawn = ["\n".join(digits(f"1 {one}", 80, True)) for one in units]
    assert (len(units), True) == (len(set(drawn)), all(drawn))


@pytest.mark.parametrize(
    ("number", "drawn"),
    [("225 g", True), ("13 lb 3.3 oz (5.99 kg)", True), ("9.01%", True), ("-1 C", True), ("68,000 SHU", True),
     ("2.42", True), ("Tuesday 17 March 2026", False), ("3.33 US tablespoons (49.3 mL)", False),
     ("27 days (3 weeks 6 days)", True), ("", False), ("1e9 g", False)],
)  # fmt: skip
def test_only_a_number_with_its_whole_unit_is_drawn(number: str, drawn: bool) -> None:
    """A number whose unit cannot be drawn is not drawn without it."""
    assert drawn is bool(digits(number, 100))


@given(st.floats(0.001, 1e7), st.sampled_from(["g", "kg", "lb", "mL", "%", "min"]), st.integers(10, 120))
def test_digits_fit_or_are_left_out(value: float, unit: str, width: int) -> None:
    """A drawing is never wider than its room and never cut."""
    found = digits(f"{value:.4g} {unit}", width)
    assert all(len(row) <= width for row in found)
    assert len(found) in (0, 5, 11)


def test_a_row_of_numbers_that_is_too_long_is_split_at_its_units() -> None:
    """Pounds and ounces stand under one another where they do not fit side by side."""
    wide, narrow = digits("13 lb 3.3 oz", 100), digits("13 lb 3.3 oz", 38)
    assert (5, 11, "") == (len(wide), len(narrow), narrow[5])
    assert narrow == [*digits("13 lb", 38), "", *digits("3.3 oz", 38)]


# --- plain --------------------------------------------------------------------------------


@pytest.mark.parametrize("name", TALKS)
@pytest.mark.parametrize("large", [False, True])
def test_each_plain_reply_says_what_it_is(name: str, large: bool) -> None:
    """Read aloud, each reply begins with a word that says what it is, and nothing is drawn."""
    shown = words(rows(name, plain=True, large=large, shade="dark"))
    known = "|".join([*NAMED.values(), "STOP", "Caution", "Remember", "Chart in words", "Timer"])
    assert re.match(rf"(?:{known}): ", shown)
    assert (True, "") == (shown.isascii(), "".join(re.findall(r"[\u2500-\u25ff\x1b|\\_]", shown)))
    kept = short(say(*TALKS[name]))[0] if large else say(*TALKS[name])
    runs = sum(not (isinstance(one, Assume) and isinstance(before, Assume)) for before, one in pairwise([None, *kept]))
    held = large and bool(short(say(*TALKS[name]))[1])
    assert runs + held <= len(re.findall(rf"(?:{known}): ", shown))


@pytest.mark.parametrize("name", TALKS)
def test_plain_says_all_that_the_usual_look_says(name: str) -> None:
    """No word is lost in plain lines: only drawings are left out."""
    replies = [one for one in say(*TALKS[name]) if not isinstance(one, Chart) and one.kind != "misread"]
    shown = words(Look(10_000, plain=True).rows(replies))
    for one in replies:
        assert " ".join(one.text.split()) in shown


def test_what_stops_is_heard_before_any_number() -> None:
    """Read aloud, a stop comes first, then the answer it is about."""
    assert rows("stop", 80, plain=True)[0].startswith("STOP: Do not start this")


def test_a_chart_is_told_in_numbers() -> None:
    """The course of a batch is its readings in words."""
    shown = words(rows("course", plain=True))
    assert re.search(r"Chart in words: Batch 1, cabbage: pH 5\.9\S* on 2 March, 4\.4\S* on 2 March", shown)


def test_the_usual_look_is_unchanged() -> None:
    """Without large type and without plain lines the replies are what they always were."""
    for name, said in TALKS.items():
        assert lines(say(*said), 60) == rows(name, 60)


@pytest.mark.parametrize("width", [40, 60, 100])
@pytest.mark.parametrize("name", TALKS)
def test_plain_fits(name: str, width: int) -> None:
    """No plain row is wider than the screen."""
    assert [] == [row for row in rows(name, width, plain=True) if len(row) > width]


# --- said in the chat ---------------------------------------------------------------------


@pytest.mark.parametrize(
    ("line", "wanted"),
    [("Large type", True), ("big letters, please", True), ("use large type", True), ("normal type.", False),
     ("large crock", None), ("large type of pepper", None), ("", None), ("small", None)],
)  # fmt: skip
def test_large_type_is_asked_for_by_the_whole_line(line: str, wanted: bool | None) -> None:
    """Only a line that says nothing else changes the type."""
    assert wanted is type_wanted(line)


def test_held_back_is_what_more_gives() -> None:
    """What waits for "more" is exactly what large type left out, and nothing waits in the usual look."""
    replies: tuple[Reply, ...] = say(*TALKS["answer"])
    held = Look(large=True).held(replies)
    assert ["note", "assume", "assume", "assume"] == [one.kind for one in held]
    assert [] == Look().held(replies)
    assert held[0].text.startswith("Salt is 2.5% of produce + water")


@pytest.mark.parametrize("name", TALKS)
def test_what_was_shortened_is_not_shortened_again(name: str) -> None:
    """Shortened replies are as short as they get, so that nothing is offered that was given already."""
    kept, _ = short(say(*TALKS[name]))
    assert (kept, []) == short(kept)
