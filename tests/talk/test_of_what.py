"""What a number is of: the part of a strained batch, the day of a reading, an addition told in the same line."""

from __future__ import annotations

import datetime

import pytest

from assistant.batches.batch import Batch
from assistant.console.session import Session
from assistant.replies import Answer, Ask, Reply
from assistant.talk.account.which import current

START = datetime.date(2026, 3, 2)
PACKED = ("new batch of reds in the 8 L crock", "packed 3 kg of reds in 3 litres of 4% brine")
PARTED = "strained, got 2.9 litres of brine and 3.1 kg of mash"


class Cellar:
    """A talk whose day can be moved on."""

    def __init__(self, *lines: str, days: int = 0) -> None:
        self.day = START
        self.session = Session(lambda: self.day)
        self.replies: tuple[Reply, ...] = ()
        self.say(*lines)
        self.day += datetime.timedelta(days=days)

    def say(self, *lines: str) -> str:
        """What was said to the last of these lines."""
        for line in lines:
            _, self.replies = self.session.say(line)
        return " ".join(one.text for one in self.replies)

    @property
    def batch(self) -> Batch:
        """The open batch."""
        found = current(self.session.now)
        assert found is not None
        return found

    def grams(self, vessel: str) -> float:
        """What a vessel holds, in g."""
        return 1000 * sum(one.holds.mass for one in self.batch.vessels if one.label == vessel)


@pytest.mark.parametrize(
    ("line", "vessel", "grams"),
    [
        ("added 50 g of 5% vinegar into the mash", "mash", 50), ("added 50 g of sugar into the mash", "mash", 50),
        ("added 2 g of xanthan to the mash", "mash", 2), ("stirred 20 g of sugar into the pulp", "mash", 20),
        ("put 10 g of salt in the brine", "brine", 10), ("added 20 g of sugar to my mash", "mash", 20),
    ],
)  # fmt: skip
def test_into_a_part_of_a_strained_batch(line: str, vessel: str, grams: float) -> None:
    """What goes into the mash goes to the mash that was strained out, and never into the empty crock."""
    cellar = Cellar(*PACKED, days=30)
    cellar.say(PARTED)
    before = cellar.grams(vessel)
    cellar.say(line)
    assert cellar.grams(vessel) - before == pytest.approx(grams, abs=1e-6)
    assert cellar.grams("8 L crock") == pytest.approx(0, abs=0.01)


def test_which_part_is_asked() -> None:
    """With two parts and no word of which, nothing is entered; the crock by its name is taken at its word."""
    cellar = Cellar(*PACKED, days=30)
    text = cellar.say(PARTED, "added 50 g of sugar")
    assert isinstance(cellar.replies[0], Ask) and "Which part: the brine or the mash" in text
    cellar.say("added 50 g of sugar into the 8 L crock")
    assert cellar.grams("8 L crock") == pytest.approx(50, abs=1e-6)


def test_pulp_that_was_taken_out_is_not_followed() -> None:
    """Where the pulp left the account, "into the mash" is asked about: the crock holds the liquid."""
    cellar = Cellar(*PACKED, days=30)
    text = cellar.say("strained, got 3 litres of brine and 3 kg of pulp", "added 50 g of sugar into the mash")
    assert isinstance(cellar.replies[0], Ask) and "was taken out" in text


@pytest.mark.parametrize("line", ["the reds", "reds", "switch to the reds", "i mean the reds", "ok the reds now"])
def test_a_name_alone_opens_its_batch(line: str) -> None:
    """A pH said after a batch's name is that batch's, and the switch is noted."""
    cellar = Cellar(*PACKED, "new batch of carrots in the 5 L jar", "packed 2 kg of carrots at 3%", days=8)
    assert "Batch 1, reds" in cellar.say(line)
    assert "Batch 1, reds: pH 3.8" in cellar.say("ph 3.8")


def test_two_of_a_name_are_asked_about() -> None:
    """Two batches of reds: their name alone is no choice."""
    cellar = Cellar(*PACKED, *PACKED, "new batch of carrots in the 5 L jar", "packed 2 kg of carrots at 3%")
    assert "Which one: batch 1, reds; batch 2, reds" in cellar.say("the reds")


@pytest.mark.parametrize(
    ("line", "day", "says"),
    [
        ("ph is 4.1 after two weeks", 16, 'I took "two weeks" as its age'),
        ("two weeks in and ph is 4.1", 16, 'I took "two weeks" as its age'),
        ("ph was 4.1 after a week", 7, 'I took "a week" as day 7'),
        ("at two weeks ph was 4.1", 14, 'I took "two weeks" as day 14'),
        ("ph was 4.1 after 10 days", 10, 'I took "10 days" as day 10'),
    ],
)  # fmt: skip
def test_the_age_beside_a_reading(line: str, day: int, says: str) -> None:
    """What is read is of today if it fits the batch's age (day 16); what was read is of the day that was named."""
    cellar = Cellar(*PACKED, days=16)
    assert says in cellar.say(line)
    (read,) = cellar.batch.ph
    assert (read.day - START).days == day


@pytest.mark.parametrize(
    "line",
    ["ph is 4.1 after three weeks", "ph was 4.1 after three weeks", "ph is 4.1 after 5 days", "ph 4.1 at day 14",
     "ph 4.1 in week 2"],
)  # fmt: skip
def test_an_age_that_does_not_fit_is_asked_about(line: str) -> None:
    """On day 16 no reading is of three weeks, nor of five days and of now; "week 2" is no day, and no pH 2."""
    cellar = Cellar(*PACKED, days=16)
    cellar.say(line)
    assert isinstance(cellar.replies[0], Ask) and cellar.batch.ph == ()


def test_each_reading_has_its_own_age() -> None:
    """Two readings with an age each are of two days."""
    cellar = Cellar(*PACKED, days=16)
    cellar.say("ph was 4.8 after 3 days and 4.1 after 10 days")
    assert [(one.value, (one.day - START).days) for one in cellar.batch.ph] == [(4.8, 3), (4.1, 10)]


def test_without_a_batch_the_age_is_named() -> None:
    """With no batch to be the age of, what it was taken for is said."""
    assert 'I took "two weeks" as the time since' in Cellar().say("ph is 5.2 after two weeks")


@pytest.mark.parametrize(
    ("line", "proven"),
    [
        ("i stirred in a mango last week and ph was 3.7", False),
        ("ph was 3.7 and i stirred in a mango last week", False),
        ("i put some mango in on monday, and ph was 3.7", False), ("i added garlic and ph was 3.7", False),
        ("i tipped in carrots, ph 3.7", False), ("stirred in garlic two days ago, ph 3.7 today", True),
        ("i added garlic last week and it's ph 3.7 now", True), ("ph 3.7 after i added garlic", True),
        ("i added vinegar and ph was 3.7", True), ("ph 3.7, i put the meter away", True),
    ],
)  # fmt: skip
def test_an_addition_of_no_known_order_proves_nothing(line: str, proven: bool) -> None:
    """A pH counts for what went in only if it was read after it: where that is not said, it proves nothing."""
    cellar = Cellar()
    cellar.say(line)
    (answer,) = [one for one in cellar.replies if isinstance(one, Answer)]
    assert answer.text.startswith("Proven") is proven
    assert answer.text.startswith("Not proven: ") is not proven
