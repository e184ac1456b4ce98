"""What was asked back about a deed, and a number of one put right."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from assistant.replies import Answer, Ask, Note, Reply
from assistant.talk import words as say
from assistant.talk.account.deeds import DEEDS
from assistant.talk.account.desk import nouns, percent
from assistant.talk.account.which import current, meant, phrase
from assistant.talk.account.working import worked
from assistant.talk.place import dimension, far
from assistant.talk.state import Pending, Result, State
from grammar import measures
from grammar.later import module
from grammar.types import Amount, Reading, Word

if TYPE_CHECKING:
    from assistant.batches import events as ev
else:
    ev = module("assistant.batches.events")


KEEPS = ("why", "help", "repeat", "leave")
"""Acts after which what was asked back about a deed is still open."""


def settled(state: State, said: Reading) -> tuple[State, Result | None, tuple[Reply, ...]]:
    """What becomes of a deed that was asked back about.

    Returns:
        The state without it, the result if the line answers it (or drops it), and what to say
        if it does not: then it is not entered, and no later line can be taken for its answer.
    """
    pending = state.pending
    if pending is None or said.act in (*KEEPS, "undo", "redo"):
        return state, None, ()
    if said.act == "cancel":
        return state, (replace(state, pending=None), (Note("Dropped: nothing was entered."),)), ()
    if (found := answered(state, said)) is not None:
        return state, found, ()
    quoted = f'"{pending.reading.text.strip()}"'
    note = Note(f"Not entered: {quoted}, because that was not answered. Say it again with the answer in it.")
    return replace(state, pending=None), None, (note,)


_WORDS = 7
"""Words of an answer to a question, at most: more is something else."""


def _answers(said: Reading) -> bool:
    """Whether a line is nothing but an answer: an amount or a no, and hardly a word beside it."""
    kinds = {word.kind for word in said.words} - {"sep", "noun", "salt", "substance", "basis", "of"}
    plain = not (kinds or said.whens or said.unit or said.firm or said.question or said.corrected)
    return plain and said.act not in ("change", "log") and len(said.text.split()) <= _WORDS and len(said.amounts) <= 2


def asked_back(state: State) -> tuple[Reply, ...]:
    """What is still asked about a deed, once more."""
    return (Ask(state.pending.question),) if state.pending is not None else ()


def answered(state: State, said: Reading) -> Result | None:
    """The line as the answer to what was asked back about a deed, or None."""
    pending = state.pending
    assert pending is not None
    if said.question or said.wanted:
        return None
    fact: dict[str, float] = {}
    terms = {word.term for word in said.told}
    nods = "yes" in said.commands
    if (mended := _mended(state, said, pending)) is not None:
        return mended
    if pending.lacks in ("salt", "strength", "acid", "amount") and not _answers(said):
        return None
    if pending.lacks not in ("where", "which") and terms - {"into-it"}:
        return None  # another thing done, not the answer
    if pending.lacks == "which":
        term = "begun" if "begun" in terms or "new" in said.text.lower().split() else ""
        term = term or ("added" if "into-it" in terms or nods else "")
        named = replace(state, pending=None)
        return worked(named, pending.reading, pending.today, [Word("deed", term, (0, 0), "")], None) if term else None
    if pending.lacks == "where":
        new = "begun" in terms or "new" in said.text.lower().split()
        here = current(state)
        if new and not (said.kinds.get("vessel") or said.kinds.get("produce")):
            fact = {"where": 2.0}
        elif not new and (found := meant(state, said)) and len(found) == 1:
            other = here.number if here is not None and here.number != found[0].number else state.other
            state = replace(state, batch=found[0].number, other=other)
            fact = {"where": 1.0}
        elif not new and ("into-it" in terms or nods):
            fact = {"where": 1.0}
    elif pending.lacks == "amount":
        if not said.amounts or any(one.rivals for one in said.amounts):
            return None
        later = [replace(one, span=(one.span[0] + _LATER, one.span[1] + _LATER)) for one in said.amounts]
        whole = replace(pending.reading, amounts=(*pending.reading.amounts, *later))
        return again(replace(state, pending=replace(pending, reading=whole)))
    elif pending.lacks == "rest":
        low = said.text.lower()
        fact = {"rest": 2.0} if "lost" in low or "gone" in low else {"rest": 1.0} if "still" in low else {}
    elif pending.lacks == "salt" and (loose := _loose(said, on_a_walk=state.walk is not None)):
        unit = f'Say it with its unit, for example "{loose} g"; say "no" if none went in.'
        return state, (Ask(f'Is "{loose}" grams of salt or %? {unit}'),)
    elif pending.lacks in ("salt", "strength", "acid"):
        fact = _strong(state, said, pending)
    if not fact:
        return None
    return again(replace(state, pending=replace(pending, facts=(*pending.facts, *fact.items()))))


NEAR = 3.0
"""How many times a number may be off that is put right while something else is asked: the answer may be meant."""
_TAKES_BACK = phrase(r"\W*(?:no|nope|sorry|wait|oops|hang on|correction|actually)\b.*\b(?:was|were|meant|mean|not)\b")


def _mended(state: State, said: Reading, pending: Pending) -> Result | None:
    """ "No, that was 160 grams" of a line that waits for something else: put right, and it waits on."""
    mends = _TAKES_BACK.match(said.text) is not None and len(said.text.split()) <= _SHORT
    if not mends or len(said.amounts) != 1 or said.told or said.amounts[0].rivals:
        return None
    one, amounts = said.amounts[0], list(pending.reading.amounts)
    at = _same(amounts, one)
    if at is None or not one.unit or far(one, amounts[at], state.kitchen, NEAR):
        return None
    old = amounts[at]
    amounts[at] = replace(
        one, span=old.span, noun=one.noun or old.noun, others=old.others, mark=old.mark, tied=old.tied
    )
    reading = replace(pending.reading, amounts=tuple(amounts), text=f"{pending.reading.text} (put right: {said.text})")
    after, replies = again(replace(state, pending=replace(pending, reading=reading)))
    return after, (Note(f'"{old.text}" is now {one.text}.'), *replies)


_LATER = 10_000
"""Added to the places of a later line's amounts, so that no two amounts stand at one place."""


_SHORT = 10
"""Words of a correction, at most."""

_MENDS = phrase(
    r"\W*(?:no\b|nope|sorry|wait|oops|hang on|i meant|i mean|make it|make that|that was|it was|should have been|"
    r"correction|actually|not\b)"
)


def corrected(state: State, said: Reading) -> Result | None:
    """A number of the line entered last put right ("no, it was 2 oz of salt"): taken back, and entered anew.

    None where the line is no correction, or nothing was entered just now.
    """
    deed = state.deed
    told = [word for word in said.told if word.kind == "deed"]
    mends = _MENDS.match(said.text) is not None
    short = len(said.text.split()) <= _SHORT
    if deed is None or not state.seqs or not said.amounts or told or said.question or said.wanted or not mends:
        return None
    if not short:
        return None
    acid = any(isinstance(one, Answer) and one.calculator == "ph" for one in state.said)
    if acid or said.whens or any(one.rivals for one in said.amounts):
        return None  # another reading, not another number for the same
    amounts = list(deed.reading.amounts)
    notes: list[Reply] = []
    for one in said.amounts:
        at = _same(amounts, one)
        if at is None:
            asked = say.listed(f'"{each.text}"' for each in deed.reading.amounts)
            return state, (
                Ask(f'Which number of that does "{one.text}" replace: {asked}? Or say "undo", and the line anew.'),
            )
        old = amounts[at]
        if far(one, old, state.kitchen):
            return state, (
                Ask(
                    f'Is "{one.text}" what "{old.text}" should be? It is far from that. If so say it with what it is '
                    f'of, for example "it was {one.text} of {_thing(old)}"; else say "undo", and the line anew.'
                ),
            )
        other = bool(one.unit) and dimension(one.unit) != dimension(old.unit)  # "at 3 %" is now "160 g of salt"
        amounts[at] = replace(one, span=old.span, noun=one.noun or old.noun, others=one.others or old.others,
                              mark="" if other else old.mark, tied=one.tied if other else old.tied,
                              unit=one.unit or old.unit)  # fmt: skip
        notes.append(Note(f'"{old.text}" is now {one.text}.'))
    text = f"{deed.reading.text.strip()} (put right: {said.text.strip()})"
    words = replace(deed.reading, amounts=tuple(amounts))
    taken = tuple(
        ev.Undo(number, deed.today, said.text, tuple(seq for seq, batch in state.seqs if batch == number))
        for number in dict.fromkeys(batch for _, batch in state.seqs)
    )
    try:
        shelf = state.shelf.with_events(taken)
    except LookupError:
        return None
    known = Pending(words, "", "", deed.today, deed.facts)
    base = replace(state, shelf=shelf, batch=deed.batch, seqs=(), deed=None, pending=known)
    deeds = [Word("deed", term, (0, 0), "") for term in deed.terms]
    after, replies = worked(base, words, deed.today, deeds, None)
    if not after.entered:
        return state, replies
    entered = tuple(replace(one, said=text) for one in after.entered)
    back = replace(after, shelf=state.shelf, entered=(*taken, *entered), undid=state.seqs)
    return back, (*notes, *replies)


def _weighed(one: Amount) -> bool:
    """Whether it is salt by weight, and nothing else."""
    return dimension(one.unit) == "mass" and one.noun is not None and "salt" in (one.noun.term, one.noun.kind)


def _salted(one: Amount) -> bool:
    """Whether it is the percentage by which something was salted, which a weight of salt takes the place of."""
    return dimension(one.unit) == "fraction" and all(
        word is None or word.kind == "salt" or word.term == "salt" for word in (one.noun, *one.others)
    )


def _thing(amount: Amount) -> str:
    return amount.noun.text if amount.noun is not None else "produce"


def _same(amounts: list[Amount], fresh: Amount) -> int | None:
    """Which of the amounts a new one replaces: that of the same thing, else the only one of its kind."""
    said = nouns(fresh)
    if said:
        alike = [
            at for at, one in enumerate(amounts) if nouns(one) & said and dimension(one.unit) == dimension(fresh.unit)
        ]
        if not alike and _weighed(fresh):
            alike = [at for at, one in enumerate(amounts) if _salted(one)]
        return alike[0] if len(alike) == 1 else None
    of = dimension(fresh.unit)
    alike = [at for at, one in enumerate(amounts) if dimension(one.unit) == of or not fresh.unit]
    return alike[0] if len(alike) == 1 else None


def again(state: State) -> Result:
    """The pending line once more, with what is known now."""
    pending = state.pending
    assert pending is not None
    said = pending.reading
    done = pending.lacks == "where"
    deeds = [word for word in said.told if word.kind == "deed" and word.term in DEEDS]
    return worked(state, said, pending.today, deeds, state.answered if done else None)


def _strong(state: State, said: Reading, pending: Pending) -> dict[str, float]:
    """The salt, or the strength of a brine or a vinegar, that was asked for; nothing if it cannot be."""
    salt = pending.lacks == "salt"
    if salt and ("no" in said.commands or said.text.lower().strip(" .") in ("none", "nothing", "zero")):
        return {"salt": 0.0}
    if len(said.amounts) != 1 or said.amounts[0].rivals:
        return {}
    one = said.amounts[0]
    value = percent(one)
    if value is None and not one.unit and one.noun is None:
        value = one.value / 100
    if value is not None:
        name = {"salt": "salt_share", "strength": "strength", "acid": "acid"}[pending.lacks]
        return {name: value} if 0 <= value <= MOST_SALT else {}
    if salt and dimension(one.unit) == "mass":
        weighed = measures.canonical(one.value, one.unit, "mass")
        masses = (each for each in pending.reading.amounts if dimension(each.unit) == "mass")
        produce = sum(measures.canonical(each.value, each.unit, "mass") for each in masses)
        return {"salt": weighed} if 0 <= weighed <= MOST_SALT * max(produce, 0.05) else {}
    return {}


def _loose(said: Reading, on_a_walk: bool) -> str:
    """A number without its unit that can be grams as well as %, or is for the step of a walk; "" if it is plain."""
    if len(said.amounts) != 1 or said.amounts[0].rivals or said.amounts[0].unit or said.amounts[0].noun is not None:
        return ""
    one = said.amounts[0]
    return one.text.strip() if on_a_walk or not LEAST_USUAL <= one.value <= MOST_USUAL else ""


LEAST_USUAL, MOST_USUAL = 1.0, 6.0
"""Salt of produce, in %, that a bare number between them means (common practice, no source)."""
MOST_SALT = 0.26
"""Salt of produce, or of a brine, that can be meant: more than a saturated brine holds is a slip."""
