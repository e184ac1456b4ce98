"""What is said aloud: every number with its value, no symbol left, and in the order in which it must be heard."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from assistant.console.scenario import turns
from assistant.console.spoken import counted, number, spoken, unread, worded
from assistant.replies import Answer, Ask, Assume, Caution, Log, Note, Refuse, Reply, Why
from grammar.numerals import NUMBER_WORDS, ORDINALS, numeral
from grammar.tokens import tokens
from tests.scenario import everything, session

MONTHS = "January|February|March|April|May|June|July|August|September|October|November|December"
SCALES = {"trillion": 1e12, "billion": 1e9, "million": 1e6}
JOINED = ("comma", "dash", "stroke")
"""Said between the figures of what somebody typed, of a lot, or of a date with strokes."""


@cache
def every_reply() -> tuple[Reply, ...]:
    """All replies of all scenarios, each once."""
    found: dict[Reply, None] = {}
    all_ = everything()
    for scenario in all_.values():
        with session(scenario) as talk:
            for turn, own in turns(scenario, all_):
                replies = talk.say(turn.say)[1]
                found.update(dict.fromkeys(replies if own else ()))
    return tuple(found)


def written(text: str) -> list[float]:
    """The numbers that stand in a text, in order; those of a row of figures (a lot, "1,500" in quotes) as typed."""
    for bracket in unread(text):
        text = text.replace(f"({bracket})", " ", 1)
    quoted = re.compile(r'"[^"]*"')
    text = quoted.sub(lambda found: re.sub(r"(?<=\d),(?=\d)", " ; ", found[0]), text)
    text = re.sub(r"\b([A-Z])(\d+)-(\d{4})-(\d{3})\b", r"\1 \2 ; \3 ; \4", text)
    text = re.sub(r"\b(\d\d)/(\d\d)/(\d{4})\b", r"\1 ; \2 ; \3", text)
    out = []
    for found in re.finditer(r"(?<![\d.])(\d{1,3}(?:,\d{3})+(?!\d)|\d+)(\.\d+)?", text):
        out.append(float(found[0].replace(",", "")))
    if re.search(r"\bm2\b", text):
        out.remove(2.0)
    return out


def heard(words: str) -> list[float]:
    """The numbers that are said in words, in order, by the reader that hears dictated ones."""
    words = re.sub(r"\bone part to\b", "one to", words).replace("E coli", "coli")
    found, out, at = tokens(words), [], 0
    large, small = 0.0, False
    while at < len(found):
        word = found[at].norm
        if word in ORDINALS and found[at - 1].norm == "the" and found[at + 1].norm == "of":
            out.append(float(ORDINALS[word]))
            at += 1
            continue
        figures = []
        while at + len(figures) < len(found) and found[at + len(figures)].norm in FIGURES:
            figures.append(str(FIGURES[found[at + len(figures)].norm]))
        if len(figures) > 1:
            out.append(float("".join(figures)))
            at += len(figures)
            continue
        one = numeral(found, at) if word not in ("a", "an", "half", "quarter", "couple", "point", "third") else None
        if one is None:
            at += 1
            continue
        after = found[one.end].norm if one.end < len(found) else ""
        if after in SCALES:
            large, small, at = large + one.value * SCALES[after], True, one.end + 1
            if (
                at < len(found) and found[at].norm == "point"
            ):  # "one million point five": the reader knows no such number
                row = [each.norm for each in found[at + 1 :]]
                places = next((size for size, each in enumerate(row) if each not in FIGURES), len(row))
                out.append(large + float("0." + "".join(str(FIGURES[each]) for each in row[:places])))
                large, small, at = 0.0, False, at + 1 + places
                continue
            nxt = numeral(found, at) if at < len(found) else None
            if nxt is None or found[at].norm in ("a", "an"):
                out.append(large)
                large, small = 0.0, False
            continue
        out.append(large + one.value)
        large, small, at = 0.0, False, one.end
    assert not small
    return out


SPELLED = re.compile(rf"\b(?:{'|'.join(sorted({*NUMBER_WORDS, *ORDINALS}, key=len, reverse=True))})\b", re.IGNORECASE)
FIGURES = {word: value for value, word in enumerate(
    ["zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine"])}  # fmt: skip


def test_every_number_is_heard_as_it_stands() -> None:
    """In all replies of all scenarios the words, read back as dictation is, give every number, in order."""
    wrong, several = [], 0
    for reply in every_reply():
        # number words that stand there already are no business of the wording
        text = SPELLED.sub("some", reply.text)
        one = replace(reply, text=text, lead="") if isinstance(reply, Answer) else replace(reply, text=text)
        words = spoken((one,))
        several += len(heard(words))
        if written(one.text) != pytest.approx(heard(words)):
            wrong.append((one.text, words, written(one.text), heard(words)))
    assert wrong == []
    assert several > 3000


def test_no_figure_and_no_symbol_is_left_to_the_program() -> None:
    """Whatever a reply holds, only words and pauses are handed on."""
    for one in every_reply():
        assert re.search(r"[^A-Za-zÀ-ÿ\s.,;:?!'’-]", spoken((one,))) is None, spoken((one,))


def test_only_sources_and_second_measures_are_left_out() -> None:
    """What is not said is a source, or the amount before it in another measure; all other brackets are said."""
    left = {re.sub(r"[\d.,]+", "#", one) for reply in every_reply() for one in unread(reply.text)}
    amounts = {
        one
        for one in left
        if re.fullmatch(r"#( (C|F|g|kg|mL|L|lb|oz#?|to|weeks?|days|mol/L|of|water|acetic|acid|US|cups?#?|#))*", one)
    }
    sources = {one for one in left - amounts if re.search("CFR|USDA|Food Code|EU list|common practice", one)}
    assert left == amounts | sources
    assert amounts
    assert sources


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("157.9 g", "One hundred fifty-seven point nine grams"),
        ("1 g of 1.5 kg", "One gram of one point five kilograms"),
        ("15 g", "Fifteen grams"), ("1.50 g", "One point five zero grams"), ("0.05 g", "Zero point zero five grams"),
        ("12,500 SHU", "Twelve thousand five hundred Scoville heat units"),
        ("1,250,000 SHU", "One million two hundred fifty thousand Scoville heat units"),
        ("5-7 days", "Five to seven days"), ("2–3%", "Two to three percent"), ("2 to 3 %", "Two to three percent"),
        ("30.1 g/L", "Thirty point one grams per litre"), ("1 g/L", "One gram per litre"),
        ("~3 kg", "About three kilograms"), ("<= 4.6", "At most four point six"), ("≥ 2%", "At least two percent"),
        ("± 0.1", "Plus or minus zero point one"), ("bleach 1:64", "Bleach one part to sixty-four parts"),
        ("3:1", "Three parts to one part"), ("4 lb 6 oz", "Four pounds six ounces"),
        ("1 lb 1 oz", "One pound one ounce"),
        ("200 ppm", "Two hundred parts per million"), ("pH 4.05", "P H four point zero five"),
        ("PH: 3.8", "P H: three point eight"),
        ("71.1 °C", "Seventy-one point one degrees Celsius"), ("add -1 C", "Add minus one degree Celsius"),
        ("-15 mV", "Minus fifteen millivolts"), ("160 F", "One hundred sixty degrees Fahrenheit"),
        ("in C", "In degrees Celsius"), ("1/2 cup", "One half cup"), ("2 1/2 cups", "Two and a half cups"),
        ("2½ cups", "Two and a half cups"), ("1-3/4 cups", "One and three quarters cups"),
        ("3/16 in.", "Three over sixteen inches."),
        ("0.5 in below the brim", "Zero point five inches below the brim"),
        ("pH 3.9 in the 3 L jar", "P H three point nine in the three litre jar"),
        ("Tuesday 3 March 2026", "Tuesday the third of March two thousand twenty-six"),
        ("2026-03-02", "The second of March two thousand twenty-six"),
        ("batch 3 may be", "Batch three may be"), ("21st", "Twenty-first"),
        ('Is "1,500 g" 1500 g or 1.5 g?', "Is, one comma five zero zero grams, "
         "one thousand five hundred grams or one point five grams?"),
        ("B1-2026-082", "B one dash two zero two six dash zero eight two"),
        ("5-log kill", "Five log kill"), ("2 150 mL bottles", "Two, one hundred fifty millilitre bottles"),
        ("160 mV - -15 mV = 175 mV",
         "One hundred sixty millivolts minus minus fifteen millivolts, equals one hundred seventy-five millivolts"),
        ("below 4.6 (aim for 4.0 or lower).", "Below four point six, aim for four point zero or lower."),
        ("1.16 kg of 5% vinegar (1.15 L) and", "One point one six kilograms of five percent vinegar and"),
        ("reds: 2,5 l lost", "Reds: two point five litres lost"), ("12,50 kg", "Twelve point five zero kilograms"),
        ("1234,567 g or 1,2,3", "One two three four comma five six seven grams or one comma two comma three"),
        ("F(160 F) 1.2 min", "F at one hundred sixty degrees Fahrenheit, one point two minutes"),
        ("3.5.2", "Three point five point two"), ("3 - 4 days", "Three dash four days"),
        ("5 g/100 mL", "Five grams per one hundred millilitres"), ("30 g/L", "Thirty grams per litre"),
        ("10 C/min", "Ten degrees Celsius per minute"),
        ("A teaspoon is 3 g (2 to 4).", "A teaspoon is three grams, two to four."),
        ("about 3 g (2.5 to 3.5 g)", "About three grams, two point five to three point five grams"),
        ("at 70 to 75 F (21 to 24 C) it", "At seventy to seventy-five degrees Fahrenheit it"),
        ("5 ml per 2 days (2 weeks)", "Five millilitres per two days"),
        ("no water (2 L)", "No water, two litres"), ("Rounded (21 CFR 101.9(c)).", "Rounded."),
        ("1000000000000000000 g", "One" + " zero" * 18 + " grams"), ("", ""), ("()", ""), ("1..2", "One..two"),
    ],
)  # fmt: skip
def test_worded(text: str, words: str) -> None:
    """Numbers, units and signs are said as a person reads them, and none can be taken for another."""
    assert words == worded(text)


def test_a_formula_is_said_with_its_brackets() -> None:
    """In "why" a bracket changes the sum, so it is said; a function's inputs come after "of"."""
    step = Why("Mild = sauce x (1 - left) / (left - mild part) = holding time(70 C, 4.1).", "a book")
    assert (
        "Mild, equals sauce times open bracket, one minus left, close bracket, divided by open bracket, "
        "left minus mild part, close bracket, equals holding time of seventy degrees Celsius, four point one."
    ) == spoken((step,))


NUMBERS = st.one_of(
    st.integers(0, 10**11).map(str), st.integers(0, 10**11).map(lambda one: f"{one:,}"),
    st.decimals(0, 10**6, places=3, allow_nan=False).map(str), st.from_regex(r"\A[1-9][0-9]{0,4}\.[0-9]{1,6}\Z"),
)  # fmt: skip


@given(NUMBERS)
@example("1.5")
@example("15")
@example("100,000")
@example("1,000,001")
@example("1000000.000")
@example("2500000.05")
@example("0.5")
@example("007")
def test_any_number_comes_back_from_its_words(text: str) -> None:
    """Whatever the number, its words are read back as the same value."""
    assert [pytest.approx(float(text.replace(",", "")))] == heard(number(text))


@given(st.text(max_size=60))
@example("(((")
@example('"')
@example("1/2/3/4 5:6:7 1e9 ½½ 3/0 -- 99.99.99 ٣ 2026-13-45")
@example("!-!SET RATE 9")
def test_any_text_can_be_worded(text: str) -> None:
    """No text breaks it, and what comes out has no figure, no bracket and no option's dash at its beginning."""
    words = worded(text)
    assert re.search(r"[0-9()\[\]{}<>|/\\]", words) is None
    assert not words.startswith(("-", "!"))


STOP = Caution("Do not taste it.", "r", "stop")
CARE = Caution("Thin it.", "r", "caution")
GLOVES = Caution("Gloves on.", "r", "note")
SALT = Answer("Salt 3 g. More of it.", "c", lead="Salt 3 g.")


def test_a_stop_is_heard_first_and_a_question_last() -> None:
    """Stop, the answer's first sentence, cautions, the rest, and then the question."""
    told = (Ask("How big?"), SALT, Assume("One."), Assume("Two."), CARE, GLOVES, STOP)
    assert spoken(told).splitlines() == [
        "Stop. Do not taste it.", "Salt three grams.", "Caution. Thin it.", "More of it.", "Assumed: One.", "Two.",
        "Remember. Gloves on.", "How big?",
    ]  # fmt: skip


def test_what_is_no_answer_keeps_its_order() -> None:
    """Entries, notes, cautions and refusals without an answer are said as they stand."""
    told = (Log("Kept."), Note("So."), CARE, Refuse("It cannot be."))
    assert spoken(told).splitlines() == ["Kept.", "So.", "Caution. Thin it.", "No. It cannot be."]
    assert spoken(()) == ""


def test_every_reply_and_every_caution_is_said_once() -> None:
    """Nothing is left out in putting them in order: of each turn of each scenario each text is said, and once."""
    all_ = everything()
    cautions = 0
    for scenario in all_.values():
        with session(scenario) as talk:
            for turn, _ in turns(scenario, all_):
                replies = talk.say(turn.say)[1]
                alone = sorted(" ".join(spoken((one,)).replace("Assumed: ", "") for one in replies).split())
                assert alone == sorted(spoken(replies).replace("Assumed: ", "").split())
                cautions += sum(isinstance(one, Caution) for one in replies)
    assert cautions > 100


@pytest.mark.parametrize(
    ("row", "words"),
    [
        ("9:45 stir", "Nine minutes forty-five seconds: stir"), ("0:45", "Forty-five seconds"),
        ("1:02:00 press", "One hour two minutes: press"),
        ("Time is up, 9:15 ago.", "Time is up, nine minutes fifteen seconds ago."),
        ("Time is up: stir 3 kg.", "Time is up: stir three kilograms."), ("0:00", "No time"),
        ("None runs.", "None runs."),
    ],
)  # fmt: skip
def test_a_timer_is_said_as_a_time(row: str, words: str) -> None:
    """A countdown is minutes and seconds, never a ratio."""
    assert words == counted(row)
