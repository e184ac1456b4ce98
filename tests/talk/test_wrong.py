"""What is wrong with it: every sign reached in plain words, every question answered each way, nothing softened.

``tests/corpus/wrong.jsonl``: what people say of a fault and the condition of wrong.toml that it ``is``.
"""

from __future__ import annotations

import collections
import datetime
import json
import re
import tomllib
from dataclasses import replace
from importlib import resources
from pathlib import Path
from typing import Any

import pytest

from assistant.console.session import Session
from assistant.replies import Answer, Ask, Assume, Caution, Log, Note, Refuse, Reply, Why
from assistant.rules import watch as watch_rules
from assistant.rules import wrong as rules
from assistant.rules.known import known
from assistant.rules.wrong import Case, Condition, Question, table, tabled
from assistant.talk import wrong as talk_wrong
from assistant.talk.state import Wrong
from grammar.reader import read
from tests.helpers import DAY, say, talk

LINES: list[dict[str, Any]] = [
    json.loads(row)
    for row in (Path(__file__).parent.parent / "corpus" / "wrong.jsonl").read_text(encoding="utf-8").splitlines()
]
CONDITIONS = list(table().conditions.values())
ASKED = [(one, question, at) for one in CONDITIONS for question in one.asks for at in range(len(question.cases))]
FIRST = {entry["is"]: entry["say"] for entry in reversed(LINES)}


def condition(session: Session) -> str:
    """The condition that the talk is about, or ""."""
    return session.talk.now.wrong.condition if session.talk.now.wrong is not None else ""


def verdict(replies: tuple[Reply, ...]) -> str:
    """What the last answer makes of it: keep, chill, wait or discard; "" if there is no answer."""
    texts = [one.text for one in replies if isinstance(one, Answer | Caution)]
    found = [keep for keep, words in talk_wrong.VERDICT.items() if texts and texts[-1].startswith(words)]
    return found[0] if found else ""


def all_text(replies: tuple[Reply, ...]) -> str:
    """All that was said."""
    return " ".join(one.text for one in replies)


def book(*lines: str, days: int = 0) -> Session:
    """A talk with a batch of reds, 4 kg at 3 %, packed so many days ago, and lines said since, today."""
    clock = [DAY - datetime.timedelta(days)]
    session = Session(lambda: clock[0])
    for line in ("new batch of reds in the 5 L crock", "packed 4 kg of chillies at 3%"):
        session.say(line)
    clock[0] = DAY
    for line in lines:
        session.say(line)
    return session


# the corpus and the table ----------------------------------------------------------------------


@pytest.mark.parametrize("entry", LINES, ids=[entry["say"][:60] for entry in LINES])
def test_a_sign_in_plain_words(entry: dict[str, Any]) -> None:
    """The line brings the condition that its writer meant, and an answer or a caution first of all."""
    session = talk()
    _, replies = session.say(entry["say"])
    assert entry["is"] == condition(session)
    assert any(isinstance(one, Answer | Caution) for one in replies)
    assert verdict(replies) in (table().conditions[entry["is"]].keep, "discard")


def test_the_corpus_reaches_everything() -> None:
    """At least thirty conditions, each by three wordings or more."""
    counts = collections.Counter(entry["is"] for entry in LINES)
    assert len(LINES) >= 110
    assert len(CONDITIONS) >= 30
    assert {one.id for one in CONDITIONS} == set(counts)
    assert min(counts.values()) >= 3
    assert len({entry["say"].lower() for entry in LINES}) == len(LINES)


@pytest.mark.parametrize("one", CONDITIONS, ids=lambda one: one.id)
def test_each_has_its_source_and_its_reason(one: Condition) -> None:
    """ "why" after any advice gives the reason and every source; what is from memory or practice says so."""
    replies = say(FIRST[one.id], "why?")
    whys = [each for each in replies if isinstance(each, Why)]
    assert one.why == whys[0].text
    assert all(str(each) in whys[0].source for each in one.sources)
    assert one.sources


@pytest.mark.parametrize("one", CONDITIONS, ids=lambda one: one.id)
def test_nobody_is_told_that_it_is_safe_or_to_taste_it(one: Condition) -> None:
    """No text calls anything safe, and tasting comes up only to forbid it or behind a pH below 4.6."""
    texts = [one.likely, one.do, one.danger, one.why, *(case.then for q in one.asks for case in q.cases)]
    for text in texts:
        assert not re.search(r"\bsafe\b(?! side)|\btaste (?:it )?to\b", text)
        for match in re.finditer(r"[^.:;]*\btaste it\b[^.:;]*", text):
            assert re.search(r"\bnot taste it\b|only if a meter shows less than 4\b", match[0])


@pytest.mark.parametrize("one", [each for each in CONDITIONS if each.keep == "discard"], ids=lambda one: one.id)
def test_no_ph_softens_what_is_thrown_out(one: Condition) -> None:
    """A pH of 3.2 said with the sign or after it changes nothing, and that is said; none is asked for."""
    assert all(question.about != "ph" for question in one.asks)
    replies = say(f"{FIRST[one.id].rstrip('!?')}, pH 3.2 by meter")
    stops = [each for each in replies if isinstance(each, Caution) and each.severity == "stop"]
    assert stops
    assert stops[0].text.startswith("Throw it out.")
    assert "changes nothing here" in all_text(replies)
    assert not any(isinstance(each, Answer) for each in replies)


@pytest.mark.parametrize("one", [each for each in CONDITIONS if each.keep == "discard"], ids=lambda one: one.id)
def test_a_ph_told_afterwards_softens_nothing_either(one: Condition) -> None:
    """ "And it's pH 3.2" after the verdict is no proof of anything: it goes out, and the question still stands."""
    session = talk()
    _, before = session.say(FIRST[one.id])
    _, replies = session.say("and it's pH 3.2")
    assert "pH 3.2 changes nothing here" in all_text(replies)
    assert "Proven" not in all_text(replies)
    assert [each for each in before if isinstance(each, Ask)] == [each for each in replies if isinstance(each, Ask)]


def test_signs_that_the_batch_book_stops_for_are_thrown_out_here_too() -> None:
    """What stands against a batch in the book (mould, spoilt) is never milder here."""
    stops = {rule.id for rule in watch_rules.RULES if rule.severity == "stop"}
    assert {one.keep for one in CONDITIONS if one.watch in stops} == {"discard"}
    assert {one.watch for one in CONDITIONS if one.watch} <= {rule.id for rule in watch_rules.RULES}
    assert all(known(one.known) for one in CONDITIONS if one.known)


# the questions ---------------------------------------------------------------------------------


def answer_for(question: Question, case: Case) -> str:
    """A line that means a case: its first words, or a number inside it."""
    if not question.number:
        part = case.words[0].parts[0]
        words = [min(slot.whole) if slot.whole else slot.begin[0] for slot in part]
        return " ".join(words)
    least = case.least if case.least > 0 else case.under - 1
    value = least + 0.1 if question.about == "ph" else max(0, least)
    value = case.least if case.least > 0 and question.about != "ph" else value
    return {"ph": f"{value:g}", "age": f"{value:g} days", "salt": f"{value:g}%", "warmth": f"{value:g} C"}[
        question.about
    ]


@pytest.mark.parametrize(("one", "question", "at"), ASKED, ids=[f"{one.id}-{q.about}-{at}" for one, q, at in ASKED])
def test_every_question_each_way(one: Condition, question: Question, at: int) -> None:
    """Each answer to each question says what it makes of it, or goes to the condition that it points to."""
    session = talk()
    before = question.about
    earlier = tuple(each.about for each in one.asks[: one.asks.index(question)])
    session.talk = replace(
        session.talk, now=replace(session.talk.now, wrong=Wrong(one.id, done=earlier, asking=question.about))
    )
    case = question.cases[at]
    _, replies = session.say(answer_for(question, case))
    assert session.talk.now.wrong is not None
    if case.goes:
        assert case.goes == session.talk.now.wrong.condition or verdict(replies) == "discard"
        assert verdict(replies)
        return
    assert one.id == condition(session)
    assert before in session.talk.now.wrong.done
    assert verdict(replies) == (case.keep or one.keep)


@pytest.mark.parametrize("one", CONDITIONS, ids=lambda one: one.id)
def test_who_does_not_know_gets_the_strict_answer(one: Condition) -> None:
    """ "I don't know" is taken for the worse case, and is said to be."""
    session = talk()
    session.talk = replace(session.talk, now=replace(session.talk.now, wrong=Wrong(one.id, asking=one.asks[0].about)))
    _, replies = session.say("I don't know")
    worst = min(rules.strictness(one, case) for case in one.asks[0].cases)
    texts = [each.text for each in replies if isinstance(each, Answer | Caution)]
    assert texts[0].startswith(f"{talk_wrong.VERDICT[rules.KEEPS[worst]]} Not known, so the worse is taken")


def test_two_clues_that_differ_are_taken_by_the_worse() -> None:
    """ "Flat, with green bits" is mould; "not fuzzy, just flat" is film."""
    session = talk()
    session.say("white skin on top")
    session.say("flat with green bits")
    assert "mould" == condition(session)
    session = talk()
    session.say("white skin on top")
    _, replies = session.say("not fuzzy, just flat")
    assert ("film", "keep") == (condition(session), verdict(replies))


def test_a_word_said_by_the_way_makes_nothing_better() -> None:
    """White fuzz is mould although film is white, and a bulging jar of a ferment is asked about first."""
    session = talk()
    _, replies = session.say("there is white fuzz on it")
    assert ("mould", "discard") == (condition(session), verdict(replies))
    _, replies = talk().say("lid bulging on my ferment")
    assert "discard" == verdict(replies)
    assert isinstance(replies[-1], Ask)


def test_a_worse_sign_in_an_answer_counts() -> None:
    """ "Flat, but it stinks of rot" is no film any more."""
    session = talk()
    session.say("white skin on top")
    _, replies = session.say("flat but it smells putrid")
    assert ("putrid", "discard") == (condition(session), verdict(replies))


# numbers ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("told", "keep"),
    [
        ("4.4", "keep"), ("4.49", "keep"), ("4.5", "wait"), ("4.55", "wait"), ("4.6", "wait"), ("5.1", "wait"),
        ("3.9 on a strip", "keep"), ("4.3 on a strip", "wait"), ("3.8, meter not calibrated", "wait"),
        ("3.8 and 4.7", "wait"),
    ],
)  # fmt: skip
def test_a_ph_counts_with_what_its_meter_may_be_off(told: str, keep: str) -> None:
    """A meter may be 0.1 off, so 4.5 is not shown below 4.6 (CXS 260-2007: less than 4.6); the highest counts."""
    assert keep == verdict(say("it stopped bubbling", told))


@pytest.mark.parametrize(
    ("lines", "keep"),
    [
        (("no bubbles", "6 days", "5.1"), "wait"), (("no bubbles", "7 days", "5.1"), "discard"),
        (("no bubbles after 9 days, pH 5.1",), "discard"), (("no bubbles", "two weeks old", "3.8"), "keep"),
        (("pH won't drop, it's at 5.1 after 8 days",), "discard"), (("pH won't drop", "5.1", "3 days"), "wait"),
        (("smells of rotten eggs", "3 days", "faint"), "wait"), (("smells of rotten eggs", "10 days"), "discard"),
        (("smells like beer after two weeks, pH 4.9",), "discard"),
    ],
)  # fmt: skip
def test_a_week_without_acid_has_failed(lines: tuple[str, ...], keep: str) -> None:
    """Not below 4.6 by the seventh day is thrown out (days: common practice; 4.6: 21 CFR 114.3), whatever was seen."""
    assert keep == verdict(say(*lines))


def test_a_number_is_used_or_named() -> None:
    """A number that belongs to nothing here is said not to be used, and one that cannot be is asked about again."""
    assert 'I did not use "3 kg"' in all_text(say("maggots in 3 kg of it"))
    replies = say("no bubbles", "3.5")
    assert "cannot take" in all_text(replies) or "pH 3.5" in all_text(replies)
    replies = say("smells of beer", "two weeks")
    assert Note("Taken too: 14 days old.") in replies
    assert isinstance(replies[-1], Ask)


def test_a_number_put_right_counts_anew() -> None:
    """An age said again takes the place of the first, and what cannot be (days under 0, pH 15) is not taken."""
    assert "discard" == verdict(say("no bubbles", "3 days", "300 days", "5.1"))
    assert "300 days old." in all_text(say("no bubbles", "3 days", "300 days"))
    assert "wait" == verdict(say("no bubbles", "300 days", "3 days", "5.1"))
    assert "cannot take" in all_text(say("no bubbles", "-3 days"))
    assert "cannot take" in all_text(say("it stopped bubbling", "pH 15"))


def test_a_span_of_time_is_no_age() -> None:
    """ "Open for two days" and "no bubbles for two days" do not say how old it is; "day 2" does."""
    assert 'I did not use "two days"' in all_text(say("the jar stood open for two days"))
    assert any(isinstance(one, Ask) and "How many days" in one.text for one in say("no bubbles for two days"))
    assert "2 days old." in all_text(say("foam on day 2"))
    assert "5 days old." in all_text(say("nothing's happening, it's been five days"))


def test_the_words_of_the_first_line_answer_what_they_can() -> None:
    """Maggots "in the brine" are not asked where they are, and an age said with the sign is not asked for."""
    assert not any(isinstance(one, Ask) for one in say("maggots in the brine"))
    asks = [one.text for one in say("no bubbles after 3 days") if isinstance(one, Ask)]
    assert ["What does the pH read now, by meter?"] == asks


# the batch book --------------------------------------------------------------------------------


def test_a_sign_told_of_a_batch_is_entered_and_answered() -> None:
    """With a batch open the remark goes into the book, and the question that tells cases apart comes after it."""
    session = book(days=10)
    _, replies = session.say("white film on top")
    assert any(isinstance(one, Log) for one in replies)
    assert isinstance(replies[-1], Ask)
    assert "film" == condition(session)
    session = book(days=10)
    _, replies = session.say("maggots in the brine")
    assert any(isinstance(one, Log) for one in replies)
    assert "discard" == verdict(replies)


def test_a_question_about_a_sign_is_not_entered() -> None:
    """ "Is that white film a problem?" is answered; nothing is written."""
    session = book(days=10)
    _, replies = session.say("is a white film on top a problem?")
    assert not session.talk.wrote
    assert "film" == condition(session)
    assert any(isinstance(one, Answer) for one in replies)


def test_what_the_book_knows_is_not_asked() -> None:
    """Its age and its last pH are used and said; after ten days at pH 5.2 it has failed."""
    session = book(days=10)
    _, replies = session.say("no bubbles")
    assert ["age"] == [one.name for one in replies if isinstance(one, Assume)]
    assert ["What does the pH read now, by meter?"] == [one.text for one in replies if isinstance(one, Ask)]
    session = book("pH 3.9 by meter", days=10)
    _, replies = session.say("no bubbles")
    assert {"age", "ph"} == {one.name for one in replies if isinstance(one, Assume)}
    assert "keep" == verdict(replies)
    session = book("pH 5.2 by meter", days=10)
    _, replies = session.say("no bubbles")
    assert "discard" == verdict(replies)


def test_the_salt_in_the_book_is_used() -> None:
    """A bland mash of 4 kg at 3 % of produce is 120 / 4000 = 3 % salt: neither that nor its pH is asked for."""
    _, replies = book("pH 3.9 by meter", days=10).say("the mash is bland")
    salt = [one.value for one in replies if isinstance(one, Assume) and one.name == "salt"]
    assert salt == [pytest.approx(3.0)]
    assert not any(isinstance(one, Ask) for one in replies)


def test_what_goes_in_is_no_fault() -> None:
    """Frozen or soft produce that is packed is entered, and no advice is given on it."""
    session = book(days=10)
    for line in ("added 500 g of frozen peppers and 15 g of salt to the crock", "added 1 kg of soft peppers at 3%"):
        _, replies = session.say(line)
        assert any(isinstance(one, Log) for one in replies)
        assert "" == condition(session)


def test_under_a_film_the_book_proves_nothing() -> None:
    """A pH from before a film is not taken for the one under it: it is asked for."""
    session = book("pH 3.6 by meter", days=10)
    session.say("white film on top")
    _, replies = session.say("flat")
    assert any(isinstance(one, Ask) and "pH" in one.text for one in replies)


def test_a_reading_of_the_day_of_packing_proves_nothing() -> None:
    """What went in today voids a pH of today: it counts as not known."""
    session = book()
    session.say("no bubbles")
    _, replies = session.say("3.9")
    assert "wait" == verdict(replies)
    assert "went in today" in all_text(replies)


def test_a_reading_that_answers_goes_into_the_book() -> None:
    """ "pH 3.9 by meter" as the answer is entered as any reading; a bare number is not, and that is said."""
    session = book(days=10)
    session.say("no bubbles")
    _, replies = session.say("pH 3.9 by meter")
    assert any(isinstance(one, Log) for one in replies)
    assert "keep" == verdict(replies)
    session = book(days=10)
    session.say("no bubbles")
    _, replies = session.say("3.9")
    assert "Not entered in the book" in all_text(replies)
    assert not session.talk.wrote


def test_what_stands_against_a_batch_is_not_softened() -> None:
    """A batch with mould in the book gets no "keep it" for its foam, told or asked about or answered."""
    session = book("green fuzz on top", days=10)
    _, replies = session.say("pH 3.9 by meter, and some foam")
    assert not any(isinstance(one, Answer) and one.calculator == talk_wrong.NAME for one in replies)
    assert "stands in the book: mould. That holds" in all_text(replies)
    assert "stands in the book: mould" in all_text(session.say("is it bad that the garlic is blue?")[1])
    assert "stands in the book: mould" in all_text(session.say("the clove itself")[1])


def test_a_sign_beside_a_deed_is_answered_after_the_entry() -> None:
    """ "Topped up with 200 ml of brine, there's a film" enters the brine, and the film is asked about."""
    session = book(days=10)
    _, replies = session.say("topped up with 200 ml of 3% brine, there's a bit of white film")
    assert any(isinstance(one, Log) for one in replies)
    assert "film" == condition(session)
    assert "did not use" not in all_text(replies)


def test_an_old_ferment_without_a_meter_goes_out() -> None:
    """Two weeks old, no bubbles and no way to measure: it is not shown below 4.6, so it is thrown out."""
    assert "discard" == verdict(say("no bubbles", "two weeks old", "I have no meter"))


def test_spoken_digits_are_one_number_or_none() -> None:
    """ "Between three five and four" on a strip is 3.5 and 4, with the strip's 0.5; three and five are no pH."""
    replies = say("it stopped bubbling", "strip says between three five and four")
    assert "pH 5" not in all_text(replies)
    assert "pH 4.0, or 4.5" in all_text(replies) or "cannot take" in all_text(replies)


def test_a_change_of_a_sum_is_no_answer() -> None:
    """ "Make it 2%" after a sum is of the sum, although a question of ours is open."""
    replies = say("brine for 3 kg of peppers in a 10 L crock at 2.5%", "it's too sour", "make it 2%")
    assert any(isinstance(one, Answer) and one.calculator == "packed" for one in replies)


def test_undo_takes_the_remark_and_the_question_back() -> None:
    """After "undo" neither the entry nor its question stands."""
    session = book(days=10)
    session.say("white film on top")
    session.say("undo")
    assert "" == condition(session)
    assert session.now.shelf.batch(1).remarks == ()  # type: ignore[union-attr]


def test_a_batch_that_was_thrown_out_needs_no_advice() -> None:
    """ "Mouldy, chucked the lot" closes the batch and asks nothing."""
    _, replies = book(days=10).say("mouldy, chucked the lot")
    assert any(isinstance(one, Log) for one in replies)
    assert not any(isinstance(one, Ask) for one in replies)


# beside it -------------------------------------------------------------------------------------


def test_another_question_in_between_closes_this_one() -> None:
    """A sum is answered, and a number after it is no answer to the question before."""
    session = talk()
    session.say("no bubbles")
    _, replies = session.say("what is 3 kg in pounds")
    assert any(isinstance(one, Answer) and one.calculator == "convert" for one in replies)
    assert "" == condition(session)
    _, replies = session.say("3.8")
    assert "soured" not in all_text(replies)


def test_a_sum_that_was_open_comes_back() -> None:
    """In the middle of a sum the sign is answered and the sum's question asked again, and no second one."""
    replies = say("mash at 3%, how much salt", "there's maggots in it")
    assert "discard" == verdict(replies)
    asks = [one for one in replies if isinstance(one, Ask)]
    assert 1 == len(asks)
    assert asks[0].roles


@pytest.mark.parametrize(
    "line",
    [
        "I feel sick after eating the sauce", "blurred vision", "my kid is vomiting", "I'm seeing double",
        "she has slurred speech", "trouble swallowing since yesterday", "food poisoning from the mouldy jar?",
        "we got sick from the slimy batch", "my arms feel weak after the sauce",
    ],
)  # fmt: skip
def test_illness_is_for_a_doctor_first(line: str) -> None:
    """Whatever else a line says, a sick person is sent to a doctor or a poison centre, with no other advice."""
    replies = say(line)
    assert isinstance(replies[0], Refuse)
    assert "emergency number or a poison centre now" in replies[0].text
    assert 1 == len(replies)


@pytest.mark.parametrize(
    "line",
    [
        "no mould on it", "it's not slimy", "no film yet", "isn't mouldy", "nothing pink", "3 kg of soft peppers at 3%",
        "how much salt for 2 kg of frozen peppers at 3%", "brine for 3 kg of peppers in a 10 L crock at 2.5%",
        "too salty, 15 kg mash 8 %, want 5 %. water how much", "call it Pink Mould", "undo", "what pH do I need",
        "pH 3.9 by meter", "55 62 68 72 74 74 70 64 every two minutes, pH 4.0",
    ],
)  # fmt: skip
def test_what_is_no_sign(line: str) -> None:
    """What is denied, a sum, a command, a reading and a name are left to the rest of the talk."""
    session = talk()
    session.say(line)
    assert "" == condition(session)


def test_what_is_known_is_not_said_twice() -> None:
    """Questions about pH keep their short answers, and three conditions say the same words as those."""
    _, replies = talk().say("was mouldy last month, skimmed it, pH?")
    assert known("mouldy").says == next(one.text for one in replies if isinstance(one, Answer))
    assert known("splits").says in all_text(say("the sauce separated"))
    assert known("rising").says in all_text(say("the pH has increased since monday"))


def test_a_misspelt_sign_is_read_and_said() -> None:
    """A misspelt word of the table is put right, and the person is told."""
    assert Note('I read "clowdy" as "cloudy".') in say("clowdy brine")
    assert not any("I read" in one.text for one in say("cloudy brine"))


def test_what_is_asked_beside_a_sign_is_answered_too() -> None:
    """ "Can I taste it" beside a film brings the rule on tasting; how to keep it away brings what keeps it away."""
    assert "Do not taste to find out" in all_text(say("white film, can I taste it?"))
    replies = say("how do I stop film yeast")
    assert table().avoid == next(one.text for one in replies if isinstance(one, Answer))


def test_something_is_wrong_is_asked_what() -> None:
    """Without a sign it is asked for, and the next line is read as one."""
    session = talk()
    _, replies = session.say("what's wrong with it")
    assert [talk_wrong.ASK_WHAT] == [one.text for one in replies]
    session.say("slimy")
    assert "slimy" == condition(session)


# the file --------------------------------------------------------------------------------------


def test_a_sum_does_not_read_the_table() -> None:
    """A cold answer to a sum need not wait for it."""
    table.cache_clear()
    say("brine for 3 kg of peppers in a 10 L crock at 2.5%")
    assert 0 == table.cache_info().misses
    say("slimy")
    assert 1 == table.cache_info().misses


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ('source = ["metal", "practice"]', 'source = ["nobody"]', "no source 'nobody'"),
        ('why = "Rot', 'whine = "Rot', ""),
        ('keep = "chill"\ndanger', 'keep = "eat"\ndanger', "keep is one of"),
        ('goes = "overflow"', 'goes = "nowhere"', "no condition 'nowhere'"),
        ('when = "under 6"', 'when = "below 6"', "age has no case"),
        ('when = "6 or over"', 'when = "9 or over"', "age has no case"),
        ('{ when = "10 or over", then', '{ when = "under 20", then', "age leaves numbers without a case"),
        ('words = ["slim*"], goes = "slimy"', 'words = ["slim*"]', "says nothing"),
        ('words = ["slim*"], goes = "slimy"', 'goes = "slimy"', "a case without words"),
    ],
)
def test_a_fault_in_the_table_is_named(old: str, new: str, message: str) -> None:
    """Whoever adds a condition is told what is missing or means nothing, and where."""
    text = resources.files("assistant.rules").joinpath("wrong.toml").read_text(encoding="utf-8")
    if not message:
        data = tomllib.loads(text)
        del data["film"]["why"]
        with pytest.raises(ValueError, match="film: why is missing"):
            tabled(data)
        return
    assert old in text
    with pytest.raises(ValueError, match=re.escape(message)):
        tabled(tomllib.loads(text.replace(old, new, 1)))


def test_every_line_reads_the_same_without_a_talk() -> None:
    """No line of the corpus breaks the reader, and a sign needs no grammar of its own."""
    assert all(read(entry["say"]).text for entry in LINES)


@pytest.mark.parametrize(
    "line", ["my kid tasted it", "my wife ate some of it yesterday", "I licked the spoon", "the dog ate it"]
)
def test_who_ate_of_a_mouldy_batch_is_sent_to_a_doctor(line: str) -> None:
    """Before anybody feels anything; of a sound batch nothing is said of doctors."""
    batch = ("new batch of reds in the 8 L crock", "packed 4 kg of reds at 3%")
    replies = say(*batch, "there is green fuzz on it", line)
    assert "poison" in replies[0].text
    if line == "my kid tasted it":
        assert "poison" not in say(*batch, line)[0].text


@pytest.mark.parametrize(
    "line", ["no it's hairy", "no its hairy", "no, hairy", "actually no its hairy", "wait it's blue"]
)
def test_no_before_a_sign_takes_nothing_back(line: str) -> None:
    """ "No it's hairy" says that it is: out with it; "no, it's not hairy" does not."""
    assert any(isinstance(one, Caution) and one.severity == "stop" for one in say("white stuff on top", line))
    assert not any(isinstance(one, Caution) for one in say("white stuff on top", "no it's not hairy"))


@pytest.mark.parametrize(
    ("form", "line", "found"),
    [
        # worked by hand: three other words may stand between two of a phrase, a comma is no word, a stop ends it
        ("white film", "a white sort of thin film", True),
        ("white film", "a white sort of very thin film", False),
        ("white film", "white, sort, of, thin, film", True),
        ("white film", "it is white. film on top", False),
        ("white/cream film*", "cream films", True),
        ("white/cream film*", "creamy film", False),
        # "not" and up to three words before it take it back; a comma, a stop or a fourth word do not
        ("film", "there is not a film", False),
        ("film", "there is not any sort of film", False),
        ("film", "that is not what I would call film", True),
        ("film", "it is not red, film on top", True),
        ("film", "not red but film", True),
        ("film", "not red. film on top", True),
        ("film", "not only film", True),
        ("film", "not only a film", True),
        # two parts stand in any order, at most twelve words apart, and each has words of its own
        ("oil + shelf", "on the shelf in oil", True),
        ("oil + shelf", "oil b c d e f g h i j k l shelf", True),
        ("oil + shelf", "oil b c d e f g h i j k l m shelf", False),
        ("soft + soft", "soft", False),
        ("soft + soft", "soft and soft", True),
        # alone: no word beside it that could mean something else
        ("=soft", "soft", True),
        ("=soft", "soft garlic", False),
        ("=soft", "garlic", False),
    ],
)
def test_how_a_phrase_is_found(form: str, line: str, found: bool) -> None:
    """A phrase of the table is found by its words near each other, never over a stop, and never where it is denied."""
    assert found == (rules.places_of(rules.phrase(form), rules.words_of(line)) is not None)
