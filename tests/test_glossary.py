"""The words of the trade: each is found by each of its names, is short and plain, and steals no other question."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from assistant.declare import PRACTICE
from assistant.replies import Answer, NotRead, Why
from assistant.rules.glossary import BadGlossary, Term, glossary, load, plain, sentences
from assistant.rules.known import KNOWN
from assistant.rules.salt import RULES
from assistant.rules.watch import RULES as WATCH
from assistant.talk.meaning import NAME
from assistant.trade import CALCULATORS
from tests.helpers import kinds, say, talk

TERMS = glossary().terms
NAMES = [(term, name) for term in TERMS for name in (term.name, *term.names)]
ROOT = Path(__file__).parent.parent
EVERYDAY = set((ROOT / "grammar" / "everyday.txt").read_text(encoding="utf-8").split())
PLAIN = set((Path(__file__).parent / "corpus" / "plain_words.txt").read_text(encoding="utf-8").split())
"""Words that are no jargon, though the kitchen reads them: gone through by eye."""

FORMS = ("what is {}", "what does {} mean", "explain {}", "What's {}?", "meaning of {}", "hey, what's {} again?")
ARTICLES = ("what is a {}?", "define {}", "wazza {}")


def meanings(*lines: str) -> list[str]:
    """The meanings that the last of these lines brings."""
    return [one.text for one in say(*lines) if isinstance(one, Answer) and one.calculator == NAME]


@pytest.mark.parametrize(("term", "name"), NAMES, ids=[name for _, name in NAMES])
def test_each_name_asks_for_its_own_text(term: Term, name: str) -> None:
    """Asked for by any of its names, in every form of the question, a term brings its own text and no other."""
    for form in (*FORMS, *ARTICLES):
        assert meanings(form.format(name)) == [term.text], form


def test_there_are_enough_and_no_name_is_two_terms() -> None:
    """At least seventy terms; a name, whatever its hyphens and capitals, stands for one of them."""
    assert len(TERMS) >= 70
    owner: dict[str, str] = {}
    for term, name in NAMES:
        assert owner.setdefault(plain(name), term.name) == term.name
    assert len({one.text for one in TERMS}) == len(TERMS)
    assert not {one.text for one in TERMS} & {one.says for one in KNOWN}


def syllables(word: str) -> int:
    """How many syllables a word has, by its groups of vowels; a silent e at the end counts for none."""
    count = len(re.findall(r"[aeiouy]+", word.lower()))
    silent = word.lower().endswith("e") and not word.lower().endswith("le") and count > 1
    return max(1, count - silent)


def grade(text: str) -> float:
    """The school year a text is for: Flesch-Kincaid grade level (Kincaid et al. 1975, Navy report 8-75)."""
    words = re.findall(r"[A-Za-z']+", text)
    return 0.39 * len(words) / len(sentences(text)) + 11.8 * sum(syllables(one) for one in words) / len(words) - 15.59


def test_sentences_are_short() -> None:
    """No text has more than three sentences, none of more than 28 words, and 20 on the average at most."""
    each = [len(sentence.split()) for term in TERMS for sentence in sentences(term.text)]
    assert max(each) <= 28
    assert sum(each) / len(each) <= 20
    assert [one.name for one in TERMS if len(sentences(one.text)) > 3] == []


def test_a_child_of_twelve_can_read_them() -> None:
    """By Flesch-Kincaid no text is above the seventh year and a bit (age 12 to 13), and all together are far below."""
    assert [one.name for one in TERMS if grade(one.text) > 8.0] == []
    assert grade(" ".join(one.text for one in TERMS)) < 6


def jargon(text: str) -> set[str]:
    """The words of a text that are neither everyday words nor in the glossary."""
    known = {
        word for term in TERMS for name in (term.name, *term.names) for word in re.findall(r"[a-z]+", name.lower())
    }
    words = re.findall(r"[a-z]+(?:'[a-z]+)?", re.sub(r"{\w+}", " ", text.lower().replace("é", "e")))
    return {one for one in words if not _stems(one) & (EVERYDAY | PLAIN | known)}


def _stems(word: str) -> set[str]:
    """A word without the endings it may have."""
    word = word.replace("'s", "").strip("'")
    cut = {word.removesuffix(end) for end in ("", "s", "es", "d", "ed", "ing", "ly", "r", "er", "est")}
    doubled = re.sub(r"(.)\1(?:ed|ing|er)$", r"\1", word)
    return cut | {f"{word.removesuffix('ing')}e", doubled, re.sub("(?:ies|ied|ier|iest)$", "y", word)}


@pytest.mark.parametrize("term", TERMS, ids=[one.name for one in TERMS])
def test_a_trade_word_in_a_text_is_explained_too(term: Term) -> None:
    """A text uses everyday words, or words that can be asked for themselves."""
    assert jargon(term.text) == set()


def test_what_the_program_says_is_covered() -> None:
    """Titles, labels, questions, headlines, cautions and short answers use everyday words or explained ones."""
    said = [rule.sentence for rule in (*RULES, *WATCH)] + [one.says for one in KNOWN]
    for one in CALCULATORS:
        said += [one.title, one.does, *one.tail, *(text for texts in one.headline.values() for text in texts)]
        said += [text for item in one.inputs for text in (item.label, item.ask or "")]
    assert jargon(" ".join(said)) == set()


def test_the_words_gone_through_by_eye_are_all_needed() -> None:
    """The list of plain words holds no term, and nothing that stands among the everyday words already."""
    terms = {plain(name) for _, name in NAMES}
    assert PLAIN & terms == set()
    assert PLAIN & EVERYDAY == set()


def test_nothing_is_called_safe() -> None:
    """No text says that something is safe; one that names a deadly illness says what to do."""
    assert [one.name for one in TERMS if re.search(r"\bsafe\b", one.text)] == []
    found = glossary().find("botulism")
    assert found is not None
    assert "ambulance" in found.text
    assert "throw it all out" in " ".join(meanings("what is mould"))


def test_why_says_what_a_meaning_rests_on() -> None:
    """ "Why" after a meaning gives its source, or common practice."""
    replies = say("what is 5-log", "why?")
    assert [one.source for one in replies if isinstance(one, Why)] == ["definition: five times a cut to one tenth"]
    assert [one.source for one in say("what's a moat", "why?") if isinstance(one, Why)] == [str(PRACTICE)]


@pytest.mark.parametrize(
    "line",
    [
        "what is 3% of 4 kg",
        "what's the salt now",
        "what is the pH of 5% vinegar",
        "what's in the crock",
        "what's the brine for 3 kg",
        "what is brine 3 kg",
        "what is a brine of three kilos",
        "what's a 5 L crock",
        "what is the slope",
        "what's the salt",
        "what's the pH",
        "what's the weight",
        "explain the salt",
        "what's the salt for",
        "what's that in ounces",
        "what is 4.6",
        "what about vinegar",
        "what does a cup of vinegar weigh",
        "what's the difference between 2 and 3 percent",
        "is brine salt",
        "how much salt",
        "headspace",
        "note: what is headspace",
    ],
)
def test_other_questions_go_where_they_went(line: str) -> None:
    """A number, a "now", a vessel or "the" before what is measured asks for no meaning."""
    texts = {one.text for one in TERMS}
    assert texts & {one.text for one in say(line)} == set()


@pytest.mark.parametrize("term", TERMS, ids=[one.name for one in TERMS])
def test_a_term_with_an_amount_is_no_question_of_its_meaning(term: Term) -> None:
    """Beside a weight, a percentage or a spoken number no term is explained."""
    for form in ("what is {} for 3 kg", "what's 2% {}", "what is three kilos of {}", "what is {} at 4 %"):
        assert term.text not in [one.text for one in say(form.format(term.name))], form


def test_the_words_of_the_last_reply() -> None:
    """ "What's that?" explains up to three words of the last reply, then those in their texts, none twice."""
    brine = "brine for 3 kg in a 10 L crock at 2.5%"
    texts = {one.name: one.text for one in TERMS}
    assert meanings(brine, "what's that?") == [texts["headspace"], texts["calibration"], texts["meter"]]
    assert "Also in it: process authority" in " ".join(one.text for one in say(brine, "what's that?"))
    again = meanings(brine, "what's that?", "what's that?")
    assert again
    assert set(again).isdisjoint(meanings(brine, "what's that?"))


@pytest.mark.parametrize(
    "line",
    ["whats that", "What does that mean?", "wazzat", "what's this?", "what do these words mean", "huh, what's that"],
)
def test_ways_of_asking_about_the_last_reply(line: str) -> None:
    """However it is asked, the last reply's words are explained and the open question stays."""
    replies = say("how much salt for five pounds of peppers", line)
    assert next(one.text for one in replies if isinstance(one, Answer)).startswith("Dry salting")
    assert replies[-1].kind == "ask"


def test_with_nothing_to_explain_it_says_so() -> None:
    """With nothing said, or no word of the trade in it, "what's that?" says so and shows how to ask."""
    assert kinds(say("what's that?")) == ["note"]
    assert "Nothing has been said yet" in say("what's that?")[0].text
    replies = say("4 lb in kilos", "what's that?")
    assert [one.kind for one in replies] == ["note"]
    assert "no word of the trade" in replies[0].text


def test_two_at_once_and_the_difference() -> None:
    """Two terms joined by "and" are both explained, also as a difference."""
    assert len(meanings("what's a brine and a mash?")) == 2
    assert len(meanings("what's the difference between sodium and salt")) == 2
    assert meanings("difference between brine and bananas") == []


def test_a_slip_in_the_spelling_is_said() -> None:
    """A misspelt term is explained, and it is said how it was read."""
    replies = say("what is titratible acidity")
    assert 'I read "titratible acidity" as "titratable acidity".' in [one.text for one in replies]
    assert meanings("what is titratible acidity") == meanings("what is TA")


def test_a_word_that_is_not_there() -> None:
    """A meaning that is not known is refused by the word, not by "mean"."""
    replies = say("what does frobnicate mean")
    assert [(one.found, one.start, one.end) for one in replies if isinstance(one, NotRead)] == [("frobnicate", 10, 20)]


def test_a_meaning_is_no_step_of_the_talk() -> None:
    """Asking changes nothing: the open question stays, the answer can be changed, undo goes back behind it."""
    session = talk()
    session.say("mash of 4 kg of chillies at 3%")
    session.say("what is headspace")
    _, replies = session.say("make it 5 kg")
    assert any(one.kind == "answer" and "150 g" in one.text for one in replies)
    assert "Which salt" in say("mash of 4 kg of chillies", "what's a mash")[-1].text


def test_what_leans_on_the_reply_before_it_still_does() -> None:
    """A word explained in between takes nothing away: "it was a strip" is of the reading still, "why" of the sum."""
    replies = say("pH 3.9", "what's a strip", "it was a strip")
    assert "strip" in next(one.text for one in replies if isinstance(one, Answer))
    brine = "brine for 3 kg in a 10 L crock at 2.5%"
    assert say(brine, "what's headspace", "why", "why") == say(brine, "why")
    assert meanings(brine, "what's that?", "make it 4 kg", "what's that?")[0].startswith("Headspace")
    replies = say("how much salt for five pounds of peppers", "what's that?", "mash", "the usual")
    assert "Salt 2.4 oz" in replies[0].text


def test_where_the_number_may_have_been_meant_it_is_said() -> None:
    """With an answer standing, "what's headspace" explains it and says how to ask for the number, which then comes."""
    brine = "brine for 3 kg in a 10 L crock at 2.5%"
    replies = say(brine, "what's headspace")
    assert 'For the number say "what\'s the headspace".' in replies[-1].text
    assert "headspace" in say(brine, "what's headspace", "what's the headspace")[0].text
    assert [one.kind for one in say("what's headspace")] == ["answer"]


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("[brine", "glossary.toml: "),
        ("[brine]\nnames = []", "no text"),
        ('[brine]\ntext = "No end"', "without an end"),
        ('[brine]\ntext = "One. Two. Three. Four."', "more than 3 sentences"),
        ('[brine]\ntext = "It is 5 of 7."', "what it rests on"),
        ('[brine]\ntext = "Salt."\ncolour = "red"', "nothing else"),
        ('[brine]\nnames = "x"\ntext = "Salt."', "not words in a list"),
        ('[brine]\ntext = "A."\n[b]\nnames = ["Brine"]\ntext = "B."', "stands for"),
    ],
)
def test_a_slip_in_the_file_is_named(text: str, says: str) -> None:
    """Whoever mends the file is told which term is wrong, and how."""
    with pytest.raises(BadGlossary, match=re.escape(says)):
        load(text)


def test_it_is_read_only_when_it_is_asked_for() -> None:
    """A line that asks for no meaning does not read the file: a cold answer stays fast."""
    glossary.cache_clear()
    say("brine for 3 kg in a 10 L crock at 2.5%")
    say("what is 3% of 4 kg")
    assert glossary.cache_info().currsize == 0
    say("what is brine")
    assert glossary.cache_info().currsize == 1


def test_what_is_heard_leads_to_its_term() -> None:
    """A word that is heard for a term, and is none of its names, is found all the same."""
    found = load('["hot mash"]\ntext = "Pods, ground."\nnames = ["mash"]\nheard = ["ground pods"]\n')
    assert {found.by_name[one].name for one in ("hot mash", "mash", "ground pods")} == {"hot mash"}
