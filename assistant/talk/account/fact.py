"""Whether a line tells of something done: the words that say so, and those that take it back."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from assistant.replies import Answer
from assistant.talk.account import reading
from assistant.talk.account.desk import nouns, percent
from assistant.talk.account.which import current, phrase
from assistant.talk.place import dimension
from assistant.talk.state import State
from assistant.trade import calculator
from grammar.types import Reading, Word

_PLAN = phrase(
    r"\b(going to|gonna|will|i'll|we'll|should|could|would|might|wants?|i'd like|we'd like|like it|aim|aiming|target|"
    r"plan|planning|tomorrow|next week|if|suppose|thinking of|about to|let's say|need to|needs|have to|supposed|unless|"
    r"when i|once i|before i|friend|neighbour|neighbor|mate's|sister|brother|mum|dad|imagine|pretend|recipe|wish|"
    r"she|he|hers|his|someone|somebody|everyone|people|usually|normally|always|instead of|or maybe|let me|let's)\b"
)
"""Words of what is not done yet, only supposed, or somebody else's."""


_QUESTION = phrase(
    r"\W*(?:and |but |so |ok |hey )?(was|is|are|am|were|does|do|should|can|could|would|will|has|"
    r"did(?! (?:it|that)\W*(?:yesterday|today|already|just now|now|actually)?\W*$)|"
    r"have (?:i|we|you)|had (?:i|we)|which|what|when|how|where|who|why|whose)\b"
)
"""How a question begins that has no question mark."""


_ASKED = phrase(r"\b(gimme|give me|tell me|work out|calculate|figure out|how much|how many|what's the|count me)\b")
"""Words of a question anywhere in a line."""


_UNDONE = phrase(
    r"\w+n't\b|\b(didnt|havent|hasnt|hadnt|wasnt|isnt|dont|doesnt|not yet|never|nearly|almost|nothing|none|forgot|"
    r"forgotten|without)\b"
)
"""Words of what was not done after all."""


_NOW_IN = phrase(r"\b(in|into|inside|through|on top|with it|to it)\b")


AND = phrase(r"\W*(and|plus|also|then)\b")


_ALSO = phrase(r"\b(also|as well|another|more|extra|further)\b|^\W*(and|plus)\b")


_WEIGHED = ("mass", "volume")


_AWAY = phrase(r"\b(bin|freezer|fridge|oven|sink|compost|drain|bowl|stone|weights?)\b")
"""Where things go that do not go into the batch, and what goes in and is no part of it."""

_SUMS = phrase(r"\W*(brine|mash|salt|water|dilute|raise)\b[\w ]*\b(for|to|of|from)\b")
"""How a sum begins that nobody has done yet."""

_NEAR = 25
"""Characters before a deed in which a "not" takes it back: "haven't bottled", not "packed it, haven't weighed it"."""


def is_fact(text: str, deeds: Sequence[Word] = ()) -> bool:
    """Whether a line tells of what is so: no plan, no question, nobody else's, nothing left undone."""
    plain = reading.STALE.sub(lambda match: " " * len(match[0]), text)  # a meter that was not calibrated is a fact
    near = [plain[max(0, word.span[0] - _NEAR) : word.span[1]] for word in deeds] or [plain]
    undone = any(_UNDONE.search(one) for one in near)
    return not (undone or _PLAN.search(plain) or _QUESTION.match(plain) or _ASKED.search(plain))


def deeds_of(said: Reading) -> list[Word]:
    """The deeds of a line; "put" and its like count only where something is put *in*, or a day gone by is named."""
    found = [word for word in said.told if word.kind == "deed"]
    past = bool(said.whens) and all(one.term != "tomorrow" for one in said.whens)
    ahead = any(word.kind == "step" for word in said.words)
    puts = bool(_NOW_IN.search(said.text)) or past or ahead or said.text.lower().startswith("put ")
    kept = [replace(word, term="added") if word.term == "put" and puts else word for word in found]
    kept = [word for word in kept if not (_of_a_sample(word) and _reads_acid(said))]
    return [word for word in kept if word.term != "put"]


def _of_a_sample(word: Word) -> bool:
    """ "A blended sample": how a pH was taken, where one was."""
    return word.term == "sampled" or (word.term == "joined" and word.text.lower().startswith("blend"))


def _reads_acid(said: Reading) -> bool:
    """Whether the line is a pH reading with no weight or volume in it."""
    return said.act == "log" and not any(dimension(one.unit) in _WEIGHED for one in said.amounts)


_PUT_IN = frozenset({"salt", "@salt", "vinegar", "sugar", "honey", "gum", "citric"})

TOOK_IN = (
    "Was that put into the batch, or taken out of it, or only tried in a bowl? Say, for example, "
    '"added 60 g of vinegar", "took 200 g out", or "bench trial: 200 g took 6 g of vinegar".'
)


def took_in(said: Reading, deeds: Sequence[Word]) -> bool:
    """Whether something was "taken" that nobody takes out of a batch: "it took 60 g of vinegar" put it in."""
    took = any(word.term == "sampled" and word.text.lower().startswith("took") for word in deeds)
    return took and not said.question and any(nouns(one) & _PUT_IN for one in said.amounts)


_PART = phrase(
    r"\W*(?:about |roughly |nearly )?(?:a |the |two |three |other )*(half|thirds?|quarters?|most|some|part|bit|few)\b"
)

MOVED_PART = 'I enter a move of everything only. For a part say how much, for example "took 500 g out into a 2 L jar".'


def moves_part(said: Reading, deeds: Sequence[Word]) -> bool:
    """Whether only a part was moved: "moved half to a 2 L jar", "moved 500 g to it"."""
    ends = [word.span[1] for word in deeds if word.term == "moved"]
    weighed = [one.span[0] for one in said.amounts if dimension(one.unit) in ("mass", "volume") and one.mark == ""]
    parts = any(_PART.match(said.text, end) for end in ends)
    return parts or any(0 < start - end <= 2 for start in weighed for end in ends)


_ONLY = phrase(r"\bonly\b")
_ON_TOP = phrase(r"\b(?:more|extra|another|further|on top|again|as well|too|also)\b")


def only_that(said: Reading, deeds: Sequence[Word]) -> str:
    """The question about a line that says what went in and no more, "I only put in 20 g of salt"; "" for any other.

    It may put right what is entered.
    """
    if not _ONLY.search(said.text) or _ON_TOP.search(said.text) or len(said.amounts) != 1:
        return ""
    one = said.amounts[0]
    if one.noun is None or dimension(one.unit) not in ("mass", "volume") or not any(w.term == "added" for w in deeds):
        return ""
    amount, what = one.text.strip(), one.noun.text
    return (
        f'Is {amount} all the {what} that went in, in place of what is entered, or more on top? For more, say "added '
        f'{amount} more {what}". To put it right, say "undo", and what went in anew.'
    )


def tells(state: State, said: Reading, deeds: list[Word]) -> bool:
    """Whether the line tells of something done, to a batch that is there or begins with it."""
    if said.question or said.wanted or (not said.free and not is_fact(said.text, deeds)):
        return False
    if any(word.term == "trial" for word in said.words):
        return False  # what a bench trial took went into a bowl
    first = next(iter(deeds), None)
    if said.unit and not said.amounts and first is None:
        return False
    if first is not None and first.term == "begun":
        weights = any(dimension(one.unit) == "mass" for one in said.amounts)
        return state.mode == "idle" or not weights
    batch = current(state)
    if batch is None:
        return False
    known = [dimension(one.unit) for one in said.amounts]
    if deeds and known and set(known) <= {"date", "time", "months"} and deeds[0].term in ("packed", "added", "bottled"):
        return False  # "packed on 3 March, 30 days": a sum with dates
    onto = [one for one in said.amounts if one.mark == "to" and dimension(one.unit) in _WEIGHED]
    if any(not nouns(one) & {"@vessel"} for one in onto) and not {word.term for word in deeds} & {"boiled", "moved"}:
        return False  # "a litre of water to my 3 litres of 6 % brine": a sum of its own
    added = bool({word.term for word in deeds} & {"added", "packed"})
    if (added and _AWAY.search(said.text)) or (deeds and _SUMS.match(said.text)):
        return False
    if deeds:
        # with a batch of its own to work on ("topped up 2 kg at 3 % with ..."), it is a sum
        mashes = [one for one in said.amounts if nouns(one) & {"batch", "mash"} and dimension(one.unit) == "mass"]
        strengths = [one for one in said.amounts if percent(one) is not None]
        sums = first is not None and first.term in ("topped", "joined", "boiled", "strained")
        own = sums and len(strengths) > 1
        return not own and not (sums and mashes and strengths)
    if reading.is_temperature(said):
        return state.mode == "idle" and said.act != "change" and not _of_a_gravity(state)
    if seen(said):
        return state.mode == "idle"
    just = state.deed is not None and bool(state.seqs) and AND.match(said.text) is not None
    if just and any(dimension(one.unit) in _WEIGHED and nouns(one) for one in said.amounts):
        return state.mode == "idle"  # "and two hundred grams of sugar"
    sums = any(isinstance(one, Answer) and one.calculator not in ("batch", "ph") for one in state.said)
    return state.mode == "idle" and more(said) and not sums  # after a sum it changes the sum


def _of_a_gravity(state: State) -> bool:
    """Whether the last answer was one in which a temperature (or degrees of a salometer) counts."""
    job = state.answered
    last = [one.calculator for one in state.said if isinstance(one, Answer)]
    return job is not None and job.calculator in last and calculator(job.calculator).has("temperature")


def seen(said: Reading) -> bool:
    """Whether something seen on the batch is told, with no amount of anything."""
    return any(word.kind == "seen" for word in said.told) and not said.amounts


_WEIGHS = phrase(
    r"\b(?:weighs?|weighed|came to|comes to|came out at|ended up with|end up with|left with|got|gives me)\b"
)
_SAUCE = frozenset({"sauce", "strained sauce", "finished sauce", "the sauce"})


def weighs(said: Reading) -> bool:
    """ "The sauce weighs 3.6 kg", "got 3.5 litres of sauce": how much there is now, with no word of what was done."""
    if len(said.amounts) != 1 or dimension(said.amounts[0].unit) not in _WEIGHED or not _WEIGHS.search(said.text):
        return False
    one = said.amounts[0]
    words = (*said.words, *((one.noun,) if one.noun is not None else ()))
    sauce = any(word.text.lower() in _SAUCE and word.term in ("batch", "strained") for word in words)
    rest = [word for word in said.all_words if word.term not in ("batch", "strained", "weighing")]
    return sauce and not rest and one.mark in ("", "at", "to") and said.act in ("tell", "ask", "bare", "log")


def more(said: Reading) -> bool:
    """ "ten days later six more kilos", "onion also, 100 g, with 2.5 g of salt": more for the same batch."""
    later = any(word.term == "later" for word in said.told)
    salted = any(nouns(one) & {"salt", "@salt"} or percent(one) is not None for one in said.amounts)
    heavy = any(dimension(one.unit) == "mass" and not nouns(one) & {"salt", "@salt"} for one in said.amounts)
    return heavy and (later or (salted and _ALSO.search(said.text) is not None))
