"""A walk's own amounts and what is said of them in its middle: taken and said so, or said to stand; entered once."""

from __future__ import annotations

import pytest

from assistant.replies import Ask, Caution
from assistant.talk.account.which import current
from tests.helpers import kinds
from tests.walks.test_guide import BATCH, Kitchen, proven

BRINE = ("walk me through a first brine", "next", "3.2 kg of jalapenos", "8 L crock", "3%")
MASH = ("walk me through a first mash", "next", "3.2 kg of jalapenos", "8 L crock", "3%")
HARVEST = (*BATCH, "walk me through later harvest", "next", "500 g of habaneros", "3%")


def salted(kitchen: Kitchen) -> float:
    """Grams of salt that the open batch holds."""
    batch = current(kitchen.session.now)
    assert batch is not None
    return 1000 * batch.holds.salt


@pytest.mark.parametrize(
    "line",
    ["i want it less salty, 2 percent", "i'd rather have 2 percent", "use 2% instead", "lower the salt to 2 %", "2%",
     "2 percent would be better", "i prefer 2 percent", "2 percent is enough for me", "let's go with 2 %", "make it 2%",
     "one percent less", "i'd like 2%"],
)  # fmt: skip
def test_another_strength_is_taken_in_any_words(line: str) -> None:
    """2 % of 3.2 kg and 4 L (3.992 kg) are 143.8 g: the step says so, and that is what is entered."""
    kitchen = Kitchen(*BRINE, line)
    assert "salt 144 g, was 216 g" in kitchen.text
    kitchen.say("next", "next")
    assert salted(kitchen) == pytest.approx(143.8, abs=0.1)


@pytest.mark.parametrize(
    "line", ["can we do 2 percent", "what would 2% be", "could it be 2%?", "what would it be at 2 %?"]
)
def test_a_question_changes_nothing_unasked(line: str) -> None:
    """What is only asked is answered, the step is said to stand, and yes or no decides; "next" does not."""
    kitchen = Kitchen(*BRINE, line)
    assert isinstance(kitchen.replies[-1], Ask)
    assert "Step 5 stands as it was: salt 216 g" in kitchen.text and "Shall it be 2%" in kitchen.text
    kitchen.say("next")
    assert kitchen.step == "salt" and "First, which amount" in kitchen.text
    kitchen.say("no", "next", "next")
    assert salted(kitchen) == pytest.approx(215.8, abs=0.1)
    kitchen = Kitchen(*BRINE, line, "yes")
    assert "salt 144 g, was 216 g" in kitchen.text
    kitchen.say("next", "next")
    assert salted(kitchen) == pytest.approx(143.8, abs=0.1)


def test_a_sum_of_its_own_leaves_the_step_and_says_so() -> None:
    """A question with all of its amounts is no wish; the step's 96 g are named, and entered."""
    kitchen = Kitchen(*MASH, "how much salt for a mash of 4 kg at 3%?")
    assert "120 g" in kitchen.text and "Step 5 stands as it was: salt 96 g" in kitchen.text
    kitchen.say("no", "next", "next")
    assert salted(kitchen) == pytest.approx(96, abs=0.1)


@pytest.mark.parametrize(
    ("line", "grams"),
    [("i weighed 110 g of salt", 110.0), ("make it 110 g of salt", 110.0), ("use 4 oz of salt", 113.4),
     ("they weigh 3 kg actually", 90.0), ("oh it was 2.8 kg", 84.0), ("3 kg of jalapenos", 90.0)],
)  # fmt: skip
def test_the_amounts_themselves(line: str, grams: float) -> None:
    """Salt that was weighed is entered as it was weighed, with its strength; another weight brings 3 % of it."""
    kitchen = Kitchen(*MASH, line, "next", "next")
    assert salted(kitchen) == pytest.approx(grams, abs=0.1)


def test_too_little_is_not_taken() -> None:
    """An ounce (28.3 g) on 3.2 kg is 0.89 %: the step stays at 96 g, and says that it does."""
    kitchen = Kitchen(*MASH, "an ounce of salt")
    assert "Step 5 stands as it was: salt 96 g" in kitchen.text and "does not take 0.8859%" in kitchen.text
    kitchen.say("next", "next")
    assert salted(kitchen) == pytest.approx(96, abs=0.1)


def test_a_correction_without_a_noun_is_of_what_was_told_last() -> None:
    """After an ounce of salt "no make it 4 oz" is salt (113.4 g), and so is what follows; 3 kg can only be produce."""
    kitchen = Kitchen(*MASH, "an ounce of salt", "no make it 4 oz")
    assert "salt 113 g, was 96 g" in kitchen.text and "produce" not in kitchen.replies[0].text
    kitchen.say("no 3.5 oz")
    assert "salt 99.2 g, was 113 g" in kitchen.text
    kitchen.say("no 3 kg")
    assert "produce 3 kg of jalapenos, was 3.2 kg of jalapenos" in kitchen.text
    kitchen.say("next", "next")
    assert salted(kitchen) == pytest.approx(99.2, abs=0.1)


def test_a_correction_of_what_was_entered_in_between() -> None:
    """ "No make it 25 g" after salt that went in puts that right, and no weight of the walk: 120 + 15 + 25 g."""
    kitchen = Kitchen(*HARVEST, "next", "next", "added 20 g of salt", "no make it 25 g")
    assert salted(kitchen) == pytest.approx(160, abs=0.1)


def test_of_what_the_percentage_is() -> None:
    """5 % of the 3.992 kg of water are 199.6 g, 2.78 % of everything; at the question the basis is asked about."""
    kitchen = Kitchen(*BRINE[:-1], "5% of the water")
    assert kitchen.step == "strength" and "produce and water together" in kitchen.text
    kitchen.say("3%", "make it 5% of the water", "next", "next")
    assert salted(kitchen) == pytest.approx(199.6, abs=0.2)


def test_more_without_a_number_is_asked() -> None:
    """ "A bit more salt" has no number: it is asked for, and nothing is repeated as if it had changed."""
    kitchen = Kitchen(*BRINE, "a bit more salt please")
    assert kinds(kitchen.replies)[0] == "ask" and "How much more? It is 3% now" in kitchen.text


@pytest.mark.parametrize(
    "line", ["12 g of xanthan", "and 12 g of xanthan to the mash", "50 g of vinegar", "30 g of salt"]
)
def test_another_thing_is_no_weight_of_the_sauce(line: str) -> None:
    """What is said to be of something else does not answer the step's question."""
    kitchen = proven("walk me through finishing day", "3.8", "next", "next", line)
    assert kitchen.step == "weigh"
    kitchen.say("2.5 kg")
    assert kitchen.step == "trial"
    assert Kitchen(*MASH[:2], "90 g of salt").step == "produce"


def test_what_was_weighed_is_put_right() -> None:
    """ "No that was 2.1 kg" after the sauce's weight: 0.2 % of it are 4.21 g of gum (2.1 kg x 0.2 / 99.8)."""
    kitchen = proven("walk me through finishing day", "3.8", "next", "next", "2 kg", "no that was 2.1 kg")
    assert "sauce 2.1 kg, was 2 kg" in kitchen.text
    kitchen.say("next", "next")
    assert "4.21 g of xanthan" in kitchen.text


@pytest.mark.parametrize("line", ["it's all in the jar now", "new batch", "it's in"])
def test_it_is_entered_once(line: str) -> None:
    """Said in other words than "next", packing enters the walk's amounts, and no second batch."""
    kitchen = Kitchen(*MASH, "next", line)
    assert kitchen.step == "close" and salted(kitchen) == pytest.approx(96, abs=0.1)
    assert kitchen.session.now.shelf.last == 1
    kitchen = Kitchen(*MASH, "it's all in the jar now")
    assert kitchen.step == "salt" and "Nothing is entered yet: step 6" in kitchen.text
    assert current(kitchen.session.now) is None


def test_what_was_told_to_the_book_is_not_entered_again() -> None:
    """500 g with 16 g of salt told on the way are the walk's new part: 120 + 16 g, whatever the step had said."""
    kitchen = Kitchen(*HARVEST, "added 500 g of habaneros with 16 g of salt")
    assert "does not enter it again" in kitchen.text
    kitchen.say("next", "next")
    assert kitchen.step == "wait" and salted(kitchen) == pytest.approx(136, abs=0.1)
    kitchen = Kitchen(
        *MASH, "next", "new batch of jalapenos in the 8 L crock", "put in 3.2 kg of jalapenos with 100 g of salt"
    )
    kitchen.say("next")
    assert kitchen.step == "close" and salted(kitchen) == pytest.approx(100, abs=0.1)
    assert kitchen.session.now.shelf.last == 1


def test_what_is_in_the_book_is_said_to_stay() -> None:
    """Once packed, another strength is worked out and named as changing nothing that was entered."""
    kitchen = Kitchen(*BRINE, "next", "next", "can we do 2 percent")
    assert "What is in the book stays as it was: salt 216 g" in kitchen.text
    assert salted(kitchen) == pytest.approx(215.8, abs=0.1)
    assert not any(isinstance(one, Caution) and one.severity == "stop" for one in kitchen.replies)


def told(kitchen: Kitchen, name: str) -> str:
    """A fact of the walk."""
    on_ = kitchen.session.now.walk
    assert on_ is not None
    return dict(on_.told)[name]


def test_one_kind_of_several_is_put_right() -> None:
    """350 g of mango for 300 leaves the 1.2 kg of chillies: 3 % of 1.55 kg are 46.5 g; what joins is asked about."""
    kitchen = Kitchen(*MASH[:2], "1.2kg red chillies + 300g mango", "actually 350 g mango")
    assert told(kitchen, "produce") == "1.2 kg of chillies and 350 g of mango"
    kitchen.say("no 2 kg")
    assert isinstance(kitchen.replies[0], Ask) and "Say all of it anew" in kitchen.text
    kitchen.say("also 100 g of garlic")
    assert "350 g of mango and 100 g of garlic" in kitchen.text and "Changed" not in kitchen.text
    kitchen.say("2 litre jar", "a 3l jar")
    assert told(kitchen, "vessel") == "3 L jar"
    kitchen.say("3%")
    assert "46.5 g of salt" in kitchen.text


def test_a_line_with_all_of_it_is_taken_at_any_step() -> None:
    """Weight, vessel and strength in one line change what was told and fill what comes."""
    kitchen = Kitchen(*MASH[:2], "3 kg", "3 kilos of habaneros in a 10 litre bucket at 3.5 %")
    assert told(kitchen, "produce") == "3 kg of habaneros" and told(kitchen, "vessel") == "10 L bucket"
    kitchen.say("next")
    assert "105 g of salt" in kitchen.text


def test_less_salt_comma_two_percent() -> None:
    """A comma parts the wish from its number: "less salt, 3 %" is 3 % (96 g of 3.2 kg), and no step from 4 to 1 %."""
    kitchen = Kitchen(*MASH[:-1], "4%", "less salt, 3%")
    assert "salt 96 g, was 128 g" in kitchen.text


def test_a_question_left_open_does_not_enter_the_step() -> None:
    """ "Put 4.1 kg under 4 litres of water" may put the step right: "next" drops it and enters nothing yet."""
    kitchen = Kitchen(*BRINE, "next", "put 4.1 kg of chillies under 4 litres of water", "next")
    assert kitchen.step == "pack" and "Nothing of this step is entered yet" in kitchen.text
    assert current(kitchen.session.now) is None
    kitchen.say("next")
    assert kitchen.step == "close"


def test_salt_told_before_its_step_is_asked_about() -> None:
    """30 g of salt told before the part goes in are all of it or more on top; nothing is entered twice: 120 + 30 g."""
    kitchen = Kitchen(*HARVEST, "next", "it went in with 30 g salt in the end")
    assert isinstance(kitchen.replies[0], Ask) and "Are these 30 g all of it" in kitchen.text
    assert salted(kitchen) == pytest.approx(120, abs=0.1)
    kitchen.say("make it 30 g of salt")
    assert "does not take 6%" not in kitchen.text
    kitchen.say("next")
    assert salted(kitchen) == pytest.approx(150, abs=0.1)


def test_a_bare_number_after_an_answer_is_no_reading() -> None:
    """ "Make it 2.8" after "raise it to 3 %" is asked about, and is no other pH; "no 4" puts 3 g of gum right."""
    kitchen = proven("walk me through finishing day", "3.8", "next", "next", "4 kg", "next", "raise it to 3.5%")
    kitchen.say("make it 3.4")
    assert "in the book already" not in kitchen.text
    kitchen.say("added 3 g of xanthan", "no 4")
    assert '"3 g" is now 4' in kitchen.text


def test_a_supposed_ph_is_not_the_walks() -> None:
    """ "What if the pH was 4.2" answers with its minutes, and the walk's own stand until a yes."""
    kitchen = proven("heat and bottle day", "next", "next", "next", "3.8", "what if the pH was 4.2")
    assert told(kitchen, "ph") == "3.8" and "Shall it be 4.2" in kitchen.text
    kitchen.say("yes")
    assert told(kitchen, "ph") == "4.2"


def test_a_hold_of_any_length_is_credited() -> None:
    """12 minutes at 83 C are held at 83 C all the while: no gap of it counts as unknown, and it is enough."""
    kitchen = proven(
        "heat and bottle day", "next", "next", "next", "3.8", "next", "held it 12 minutes at 83 C, pH 3.8", "done"
    )
    batch = current(kitchen.session.now)
    assert batch is not None and [one.enough for one in batch.heated] == [True]


def test_back_after_packing_loses_nothing() -> None:
    """What is in the book is shown as told, and another weight for it is not taken in silence."""
    kitchen = Kitchen(*MASH, "next", "next", *["back"] * 5)
    assert kitchen.step == "produce" and "You said 3.2 kg of jalapenos" in kitchen.text
    kitchen.say("4 kg")
    assert "in the book already" in kitchen.text and kitchen.step == "produce"
    assert salted(kitchen) == pytest.approx(96, abs=0.1)


def test_another_reading_after_back_is_entered() -> None:
    """Back at a reading, another number is another reading in the book."""
    kitchen = Kitchen(*MASH, "next", "next")
    kitchen.later(14)
    kitchen.say("next", "next", "next", "4.1", "back", "3.9")
    batch = current(kitchen.session.now)
    assert batch is not None and [one.value for one in batch.ph] == [4.1, 3.9]


def test_a_weight_with_no_word_near_to_the_salt_is_asked_about() -> None:
    """ "Make it 100 g" beside 96 g of salt and 3.2 kg of produce is hardly 100 g of produce: which is asked."""
    kitchen = Kitchen(*MASH, "make it 100 g")
    assert isinstance(kitchen.replies[0], Ask) and "Is 100 g the salt (96 g)" in kitchen.text
    kitchen.say("make it 100 g of salt", "next", "no 110 g")
    assert isinstance(kitchen.replies[0], Ask) and told(kitchen, "produce") == "3.2 kg of jalapenos"


def test_a_bare_number_has_the_unit_of_what_was_told_last() -> None:
    """ "3.95 actually" after 3.9 kg is kg, "make it 4" after 3 % is %; one far from it is no such thing."""
    kitchen = proven("walk me through finishing day", "3.8", "next", "next", "3.9 kg", "3.95 actually")
    assert told(kitchen, "sauce") == "3.95 kg"
    kitchen.say("no 80")
    assert told(kitchen, "sauce") == "3.95 kg"
    kitchen = Kitchen(*MASH, "make it 4")
    assert told(kitchen, "strength") == "4%"


def test_two_numbers_are_no_reading() -> None:
    """ "3.8 or 3.9" enters neither; "one bottle is bulging" counts no bottles."""
    kitchen = proven("walk me through finishing day", "3.8 or 3.9")
    assert kitchen.step == "read" and "Say one number" in kitchen.text


def test_a_reading_of_another_batch_is_not_the_steps() -> None:
    """On the reds' walk, the carrots' pH is theirs or asked about, and the step waits still."""
    for line in ("carrots pH 4.3", "4.1 for the carrots", "the carrots read 4.2"):
        kitchen = Kitchen("new batch of carrots in the 5 L jar", "packed 2 kg of carrots at 3%", *BATCH)
        kitchen.later(21)
        kitchen.say("walk me through finishing day for the reds", "how are the carrots", line)
        assert kitchen.step == "read", line
        reds = kitchen.session.now.shelf.batch(2)
        assert reds is not None and reds.ph == (), line


def test_weights_of_one_kind_are_added_up() -> None:
    """5 kg of reds and 5 kg of yellows are 10 kg of chillies: 2 % are 200 g."""
    kitchen = Kitchen(*MASH[:2], "5 kg of reds and 5 kg of yellows", "20 L bucket", "2%")
    assert told(kitchen, "produce") == "10 kg of chillies" and "200 g of salt" in kitchen.text


def test_another_unit_for_what_was_told_last() -> None:
    """2 UK gallons are 9.092 L: 90 % of it less 3 kg leaves 5.183 L (5.174 kg) of water, and 3 % of all is 245 g."""
    kitchen = Kitchen(*BRINE[:2], "3 kg of reds", "2 gallon crock", "uk gallons", "3%", "next", "next")
    assert salted(kitchen) == pytest.approx(245.2, abs=0.5)
    kitchen = Kitchen(*BRINE[:2], "5 lb of reds", "i meant kilos")
    assert told(kitchen, "produce") == "5 kg of chillies"


def test_what_is_entered_later_is_not_skipped() -> None:
    """The salt of a later step cannot be left out: it would be entered all the same."""
    kitchen = Kitchen(*BRINE, "skip")
    assert kitchen.step == "salt" and "Its amounts are entered later on: salt 216 g" in kitchen.text


def test_water_is_no_jar() -> None:
    """ "Use less water, 1.5 litres" is of the water: the jar and the step stand, and that is said or asked."""
    kitchen = Kitchen(*BRINE, "use less water, 1.5 litres")
    assert told(kitchen, "vessel") == "8 L crock" and "Changed: vessel" not in kitchen.text
    assert Kitchen(*BRINE[:3], "the water is 3 litres").step == "vessel"
