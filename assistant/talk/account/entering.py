"""What was worked out, entered as done: the last answer becomes events of a batch."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING

from assistant.evaluate import Outcome
from assistant.replies import Note, Reply
from assistant.show import number, quantity, said
from assistant.talk.account.desk import Desk, Stop, ask_for, fraction
from assistant.talk.account.which import current
from assistant.talk.state import Job, Plan, State, style
from assistant.talk.work import bench, outcome_of
from assistant.trade import calculator
from assistant.trade import mixture as mx
from assistant.trade.produce import NAMES
from assistant.trade.solution import WATER_20
from grammar import measures
from grammar.later import module

if TYPE_CHECKING:
    from assistant.batches import batch as made
    from assistant.batches import events as ev
else:
    ev = module("assistant.batches.events")
    made = module("assistant.batches.batch")


Put = tuple[str, mx.Mixture, bool, str]
"""What goes in: its name, the mixture, whether it is fresh produce, and of which kind."""


def enterable(job: Job | None) -> bool:
    """Whether an answer can be entered as done."""
    if job is None or job.calculator not in _PUTS:
        return False
    # a change of strength is entered only if it was worked out for the open batch
    return calculator(job.calculator).starts_ferment or any(one.how == "bench" for one in job.given)


def enter(desk: Desk, job: Job | None) -> None:
    """Enters what the last answer worked out.

    Raises:
        Stop: there is nothing to enter, or it is not clear into which batch.
    """
    if job is None or job.calculator not in _PUTS:
        raise Stop(
            Note('There is no answer that could be entered. Say what was done, for example "added 2 kg of reds at 3%".')
        )
    if job == desk.state.done:
        raise Stop(Note("That is entered already. Say it with its amount if it was done again."))
    seen = bench(desk.state)
    for one in job.given:
        read = calculator(job.calculator).input(one.name).reads
        now = seen[1].get(read) if seen is not None else None
        if one.how == "bench" and (now is None or abs(now - one.value) > 1e-6 * max(now, 1e-9)):
            raise Stop(
                Note("The batch is not what it was when that was worked out: ask again, and it is worked out anew.")
            )
    outcome = outcome_of(job)
    if not outcome.solved:
        raise Stop(Note("That question has no answer yet, so there is nothing to enter."))
    puts = puts_of(job, outcome)
    number = _into(desk, job, puts)
    batch = desk.open_batch()
    part = desk.part(batch)
    vessel = part.label if part is not None else batch.current
    for what, mix, fresh, kind in puts:
        desk.enter(ev.Add(number, desk.day, desk.said, vessel, what, mix, fresh, kind))


def enter_plan(desk: Desk, plan: Plan) -> None:
    """Enters a batch packed like an earlier one: into the open one if it is empty, else as a new one.

    Raises:
        Stop: it cannot be entered.
    """
    if desk.batch is None or desk.batch.full:
        number = desk.state.shelf.next
        desk.batch = made.Batch(number)
        desk.enter(ev.Begin(number, desk.day, desk.said, plan.name, ev.Place("vessel")))
    batch = desk.open_batch()
    for what, mix, fresh, kind in plan.puts:
        desk.enter(ev.Add(batch.number, desk.day, desk.said, batch.current, what, mix, fresh, kind))


def _into(desk: Desk, job: Job, puts: list[Put]) -> int:
    """The batch it goes into, begun if need be."""
    starts = any(fresh for _, _, fresh, _ in puts)
    if not starts:
        return desk.open_batch().number
    batch = desk.batch
    where = desk.facts.get("where")
    if batch is not None and batch.full and where is None:
        question = f'Into "{batch.title}", or is it a new batch? Say "into it" or "new batch".'
        raise ask_for(desk, "where", question)
    if batch is not None and (not batch.full or where == 1.0):
        return batch.number
    number = desk.state.shelf.next
    desk.batch = made.Batch(number)
    kinds = [kind for _, _, fresh, kind in puts if fresh]
    name = NAMES.get(kinds[0], kinds[0]) if kinds else ""
    desk.enter(ev.Begin(number, desk.day, desk.said, name, _vessel(job)))
    return number


def _vessel(job: Job) -> ev.Place:
    """The vessel that the question named."""
    terms = [word for word in ("crock", "jar", "bucket", "carboy", "bag", "bottle") if word in job.words]
    term = terms[0] if terms else "vessel"
    for one in job.given:
        if one.name == "capacity":
            return ev.Place(f"{said(one.amount.value, one.amount.unit)} {term}", term, one.value)
    return ev.Place(term, term)


def _fresh(job: Job, mass: float) -> list[Put]:
    """The produce of a job, kind by kind where the weights were said."""
    shares: dict[str, float] = {}
    for one in job.given:
        if one.name != "produce":
            continue
        for amount in one.amounts:
            kind = amount.said("produce")
            weight = measures.canonical(amount.value, amount.unit, "mass")
            shares[kind] = shares.get(kind, 0.0) + weight
    if not shares or abs(sum(shares.values()) - mass) > 1e-6 * mass:
        shares = {job.produce[0] if job.produce else "": mass}
    if len(shares) == 1 and "" in shares and job.produce:
        shares = {job.produce[0]: mass}
    return [
        (NAMES.get(kind, kind or "produce"), mx.produce(weight, kind), True, kind or "produce")
        for kind, weight in shares.items()
    ]


def _water(values: Mapping[str, float]) -> float:
    """The water of an answer in kg."""
    for name in ("water", "water_mass"):
        if name in values:
            return values[name]
    return WATER_20 * values.get("water_volume", 0.0)


def _packed(job: Job, outcome: Outcome) -> list[Put]:
    values = outcome.values
    found = _fresh(job, values["produce"])
    if (water := _water(values)) > 0:
        found.append(("water", mx.water(water), False, ""))
    found.append(("salt", mx.salt(values["salt"]), False, ""))
    return found


def _mash(job: Job, outcome: Outcome) -> list[Put]:
    values = outcome.values
    return [*_fresh(job, values["produce"]), ("salt", mx.salt(values["salt"]), False, "")]


def _raised(job: Job, outcome: Outcome) -> list[Put]:
    return [("salt", mx.salt(outcome.values["salt"]), False, "")]


def _topped(job: Job, outcome: Outcome) -> list[Put]:
    strength = outcome.values["second_salt"]
    name = f"{fraction(strength)} brine" if strength else "water"
    return [(name, mx.brine(outcome.values["second"], strength), False, "")]


def _thickened(job: Job, outcome: Outcome) -> list[Put]:
    return [("gum", mx.gum(outcome.values["gum"]), False, "")]


def _soured(job: Job, outcome: Outcome) -> list[Put]:
    values = outcome.values
    return [_vinegar(values["vinegar_volume"], values["label"])]


def _vinegar(litres: float, label: float) -> Put:
    return f"{fraction(label)} vinegar", mx.vinegar(litres, label), False, ""


def _thinned(job: Job, outcome: Outcome) -> list[Put]:
    """Water; of unsalted produce nobody said which."""
    if "water" not in job.words:
        raise Stop(
            Note('Say what went in, so that I can enter it: "added 1 kg of water", or the produce with its weight.')
        )
    return [("water", mx.water(outcome.values["water"]), False, "")]


_DRY = {"sugar": mx.sugar, "honey": mx.honey, "gum": mx.gum, "salt": mx.salt, "water": mx.water}


def _tried(job: Job, outcome: Outcome) -> list[Put]:
    """What the trial was made with, in the batch's measure; a vinegar has no strength there."""
    terms = [one.amount.noun.term for one in job.given if one.name == "dose" and one.amount.noun is not None]
    terms = terms or [term for term in (*_DRY, "vinegar") if term in job.words]
    if len(terms) != 1 or terms[0] not in _DRY:
        raise Stop(Note('Say what went in and how strong it is, so that I can enter it: "added 390 g of 5% vinegar".'))
    return [(terms[0], _DRY[terms[0]](outcome.values["needed"]), False, "")]


def _sweetened(job: Job, outcome: Outcome) -> list[Put]:
    """Sugar or honey; of fruit it is said with its weight."""
    if job.produce:
        raise Stop(Note(f'Say what went in, so that I can enter it: "added 500 g of {job.produce[0]}".'))
    term = "honey" if "honey" in job.words else "sugar"
    return [(term, _DRY[term](outcome.values["sweet"]), False, "")]


def _adjusted(job: Job, outcome: Outcome) -> list[Put]:
    """Everything that the plan puts in, in the order it is said."""
    values = outcome.values
    if values.get("add_mash", 0.0) > 0:
        raise Stop(Note('I keep no account of that mash. Say what went in one by one: "added 900 g of 5% vinegar".'))
    found: list[Put] = []
    for name, make in (("salt", mx.salt), ("water", mx.water), ("gum", mx.gum)):
        if values.get(f"add_{name}", 0.0) > 0:
            found.append((name, make(values[f"add_{name}"]), False, ""))
    if values.get("add_vinegar", 0.0) > 0:
        found.append(_vinegar(values["add_vinegar_volume"], values["label"]))
    if values.get("add_brine", 0.0) > 0:
        strength = values["brine_salt"]
        found.append((f"{fraction(strength)} brine", mx.brine(values["add_brine"], strength), False, ""))
    return found


_PUTS: dict[str, Callable[[Job, Outcome], list[Put]]] = {
    "packed": _packed, "mash": _mash, "raise": _raised, "top-up": _topped,
    "thicken": _thickened, "acetic": _soured, "dilute": _thinned, "trial": _tried, "adjust": _adjusted,
    "sweeten": _sweetened,
}  # fmt: skip
"""How each calculator's answer goes into a batch."""


_SHARES = (("salt", mx.SALT_WHOLE), ("acetic acid", mx.ACETIC), ("sugar", mx.SUGARS), ("gum", mx.GUM))
_MOVES = 0.005
"""A share that changes by less of itself is not said to move."""


def puts_of(job: Job, outcome: Outcome) -> list[Put]:
    """What an answer puts in.

    Raises:
        Stop: it does not say all of it (how full a crock is tells no salt).
    """
    try:
        return _PUTS[job.calculator](job, outcome)
    except KeyError as lacking:
        label = outcome.calculator.input(str(lacking.args[0])).label
        raise Stop(Note(f"That answer does not say the {label}: ask for it, and it can be entered.")) from lacking


def offer(state: State, job: Job) -> tuple[Reply, ...]:
    """That "done" enters the answer, after what else it moves in the open batch; nothing if it cannot be entered."""
    try:
        puts = puts_of(job, outcome_of(job))
    except Stop:
        return ()  # as it was said; "done" says why
    return (*_moves(state, job, puts), OFFER)


def _moves(state: State, job: Job, puts: list[Put]) -> list[Reply]:
    """What else an answer that was worked out for the open batch moves in it."""
    batch = current(state)
    vessel = batch.vessel("") if batch is not None else None
    if batch is None or vessel is None or not any(one.how == "bench" for one in job.given):
        return []
    after = mx.merge(vessel.holds, *(mix for _, mix, _, _ in puts))
    shown = style(state, job)
    parts = []
    for name, measure in _SHARES:
        here, there = measure(vessel.holds), measure(after)
        if abs(there - here) > _MOVES * max(here, there):
            before = quantity(here, "fraction", shown) if here else "none"
            parts.append(f"{name} {before} to {quantity(there, 'fraction', shown)}")
    if vessel.holds.heat:
        parts.append(f"heat x {number(after.heat / vessel.holds.heat, 2)}")
    weights = f"{quantity(vessel.holds.mass, 'mass', shown)} to {quantity(after.mass, 'mass', shown)}"
    text = f"What moves in batch {batch.number}: {', '.join([*parts, f'in all {weights}'])}."
    found: list[Reply] = [Note(f"{text} A pH read before counts no more: read it a day after.")]
    size = vessel.place.capacity
    if size is not None and after.volume > size:
        text = f"{quantity(after.volume, 'volume', shown)} is more than the {vessel.label} holds: take a larger one."
        found.append(Note(text))
    return found


OFFER = Note('Say "done" when it is in, and I enter it in the book.')
"""What an answer that can be entered ends with."""
