"""``turn``: one reading in, the new talk and the replies out.

The table (table.py) says which handler runs for a mode and an act. A handler takes a Step
and gives the new state and the replies; if nothing may change it gives back the old state.
"""

from __future__ import annotations

import datetime
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace

from assistant.declare import Calculator, Input
from assistant.evaluate import Outcome, solve
from assistant.replies import Answer, Ask, Assume, Done, Log, Note, NotRead, Reply, Value
from assistant.rules import Facts, Rule, cautions
from assistant.show import quantity, said
from assistant.talk import words as say
from assistant.talk.choose import choose
from assistant.talk.convert import convert, direct, kitchen_notes, mismatch
from assistant.talk.place import Placement, dimension, place, possible
from assistant.talk.state import Given, Job, Option, State, Talk, style
from assistant.talk.table import TABLE
from assistant.talk.why import why as explain
from assistant.trade import CALCULATORS, calculator
from grammar import measures
from grammar.types import Amount, Misread, Reading, Word

MATTERS = 0.05
"""How far apart (relative) two meanings of a percentage must be for both to be said."""

Result = tuple[State, tuple[Reply, ...]]

_STATE_KINDS = ("produce", "salt", "state", "vessel", "noun", "topic", "basis", "substance", "property")
_UNITS_ASKED = {
    "mass": ("kilogram", "gram", "pound", "ounce"),
    "volume": ("liter", "milliliter", "quart", "gallon"),
    "fraction": ("percent",),
    "length": ("centimeter", "inch"),
    "temperature": ("degree_Celsius", "degree_Fahrenheit"),
}


@dataclass(frozen=True, slots=True)
class Step:
    """What a handler works on."""

    talk: Talk
    state: State
    reading: Reading
    today: datetime.date


def turn(talk: Talk, reading: Reading | Misread, today: datetime.date) -> tuple[Talk, tuple[Reply, ...]]:
    """The next state of the talk and what to say.

    Args:
        talk: the talk so far.
        reading: what was said, from ``grammar.reader.read``.
        today: the date, handed in.

    Returns:
        The talk after it (the same object if nothing changed) and at least one reply.
        Nothing is raised for anything a person may say.
    """
    if isinstance(reading, Misread):
        return talk, (say.misread(reading), *_open_question(talk.now))
    handler = HANDLERS[TABLE[talk.now.mode][reading.act]]
    step = Step(talk, talk.now, reading, today)
    if handler is _undo:
        return _undo_talk(talk)
    if handler is _redo:
        return _redo_talk(talk)
    state, replies = handler(step)
    replies = (*_repairs(reading), *_corrections(reading), *replies, *_left_over(reading, replies))
    if state == talk.now or reading.act in ("why", "help", "repeat"):
        return talk, replies
    return talk.went(replace(state, said=replies)), replies


def expecting(talk: Talk) -> tuple[str, ...]:
    """What the open question waits for, for the reader."""
    return talk.now.asking


def _repairs(reading: Reading) -> tuple[Reply, ...]:
    sure = [one for one in reading.repaired if one.sure]
    return tuple(Note(f'I read "{one.said}" as "{one.read}".') for one in sure)


def _corrections(reading: Reading) -> tuple[Reply, ...]:
    return tuple(Note(f'I left out "{one.text}", which you took back.') for one in reading.corrected)


def _left_over(reading: Reading, replies: Iterable[Reply]) -> tuple[Reply, ...]:
    if not reading.left_over or any(isinstance(one, NotRead) for one in replies):
        return ()
    quoted = say.listed(f'"{word.text}"' for word in reading.left_over)
    return (Note(f"I did not understand and did not use: {quoted}."),)


def _open_question(state: State) -> tuple[Reply, ...]:
    """The question that is still open, asked again."""
    if state.mode == "asking" and state.job is not None:
        return (_ask(state),)
    if state.mode in ("choosing", "confirming"):
        return tuple(one for one in state.said if isinstance(one, Ask))
    return ()


def _ask(state: State) -> Ask:
    assert state.job is not None
    chosen = calculator(state.job.calculator)
    return Ask(say.question(chosen, state.asking[0]), state.asking)


# --- starting -----------------------------------------------------------------------------


def _start(step: Step) -> Result:
    """A new question."""
    return _begin(step.state, Option("", step.reading))


def _tell(step: Step) -> Result:
    """A statement: a correction of the last answer if it fits one, else a new question."""
    reading = step.reading
    if kitchen := reading.kinds.get("kitchen"):
        return _set_kitchen(step, kitchen[0])
    if direct(reading):
        return _begin(step.state, Option("", reading))
    if choose(reading, step.state.kitchen):
        return _begin(step.state, Option("", reading))
    if step.state.answered is not None:
        return _change(step)
    return _begin(step.state, Option("", reading))


def _set_kitchen(step: Step, word: Word) -> Result:
    state = replace(step.state, kitchen=word.term)
    name = {"us": "US", "imperial": "imperial", "metric": "metric"}[word.term]
    size = say.listed(
        f"a {unit} is {measures.convert(1, measures.settle(unit, word.term), 'milliliter'):.4g} mL"
        for unit in ("cup", "tablespoon")
    ).replace(" or ", ", ")
    note = Note(f"From now on plain cups, pints and gallons are {name}: {size}.")
    return state, (note,)


def _begin(state: State, option: Option) -> Result:
    """Find the calculator, place the amounts, and work it out or ask."""
    reading = option.reading
    unsure = next((one for one in reading.repaired if not one.sure), None)
    if unsure is not None:
        sure = tuple(replace(one, sure=True) for one in reading.repaired)
        confirm = replace(option, reading=replace(reading, repaired=sure))
        ask = Ask(f'Did you mean "{unsure.read}" by "{unsure.said}"? Say yes or no.', (), ("yes", "no"))
        return replace(state, mode="confirming", confirm=confirm, resume=state.mode), (ask,)
    two = next((one for one in reading.amounts if one.rivals), None)
    if two is not None:
        return _choose_reading(state, option, two)
    if direct(reading) and not option.calculator:
        return state.idle(), convert(reading, state.kitchen)
    if (wrong := mismatch(reading)) is not None and not option.calculator:
        return state, (wrong,)
    if "ph" in reading.terms and (logged := _ph(state, reading)) is not None:
        return logged
    chosen = (calculator(option.calculator),) if option.calculator else choose(reading, state.kitchen)
    if not chosen:
        return state, (_no_calculator(reading),)
    if len(chosen) > 1:
        return _choose_calculator(state, option, chosen)
    return _placed(state, option, chosen[0])


def _no_calculator(reading: Reading) -> Reply:
    if reading.amounts:
        shown = say.listed(f'"{one.text}"' for one in reading.amounts)
        return Ask(
            f"What shall I do with {shown}? Ask for a brine, a mash, a vessel, or a conversion, for example: "
            f"{say.EXAMPLE}.",
        )
    return Ask(f"What shall I work out? For example: {say.EXAMPLE}.")


def _choose_calculator(state: State, option: Option, chosen: tuple[Calculator, ...]) -> Result:
    names = {"packed": "under brine", "mash": "dry-salted as a mash"}
    hints = {
        "packed": frozenset({"brine", "water", "packed", "diluting"}),
        "mash": frozenset({"mash", "mashing"}),
    }
    options = tuple(
        replace(
            option, label=names.get(one.name, one.title), calculator=one.name,
            terms=hints.get(one.name, frozenset({one.name})),
        )
        for one in chosen
    )  # fmt: skip
    return _choosing(state, "Is it salted dry as a mash, or put under brine? The salt is not the same.", options)


def _choose_reading(state: State, option: Option, two: Amount) -> Result:
    """Two values or units for the same words."""
    found = []
    for one in (replace(two, rivals=()), *two.rivals):
        amounts = tuple(one if each.span == two.span else each for each in option.reading.amounts)
        found.append(
            replace(
                option, label=_label(one), amount=one,
                terms=frozenset({"salometer-reading"} if one.unit == "salometer" else ()),
                reading=replace(option.reading, amounts=amounts),
            )
        )  # fmt: skip
    return _choosing(state, f'Is "{two.text}" {say.listed(one.label for one in found)}?', tuple(found))


def _label(amount: Amount) -> str:
    if amount.unit == "ounce":
        return f"{said(amount.value, amount.unit)} by weight"
    if amount.unit == "fluid_ounce":
        return f"{said(amount.value, amount.unit)} by volume"
    return said(amount.value, amount.unit)


def _choosing(state: State, text: str, options: tuple[Option, ...]) -> Result:
    ask = Ask(text, (), tuple(one.label for one in options))
    return replace(state, mode="choosing", options=options, resume=state.mode), (ask,)


def _placed(state: State, option: Option, chosen: Calculator) -> Result:
    """A new job in the calculator chosen, with the amounts placed."""
    reading = option.reading
    sought = [chosen.wanted[one][0] for one in reading.wanted if one in chosen.wanted]
    found = place(chosen, reading.amounts, state.kitchen, taken=sought[:1], placed=option.placed)
    if found.misfit:
        return state, (say.misfit(*found.misfit[0]),)
    job = Job(chosen.name, found.given)
    job = _with_words(job, reading)
    job = replace(job, goals=_goals(chosen, reading, job))
    state = replace(state, fixed=())
    opened = _place_rest(state, option, chosen, job, found, sought[:1])
    if opened is not None:
        return opened
    lost = [one for one in found.unplaced if dimension(one.unit) in ("mass", "volume", "fraction", "density")]
    if lost:
        return state, (say.no_place(lost[0], chosen),)
    job = _unused(job, found)
    return _proceed(state, job, reading)


def _unused(job: Job, found: Placement) -> Job:
    return replace(job, unused=tuple(one.text for one in found.unplaced))


def _place_rest(
    state: State, option: Option, chosen: Calculator, job: Job, found: Placement, sought: list[str]
) -> Result | None:
    """A question for the first amount that could be several inputs, or a bare number."""
    taken = {one.name for one in job.given} | set(sought)
    for amount in found.unplaced:
        if not amount.unit and amount.said("vessel"):
            continue
        if not amount.unit:
            return _ask_unit(state, option, amount, ())
        items = possible(chosen, amount, taken)
        if not items:
            continue
        if len(items) == 1:
            again = replace(option, placed=(*option.placed, (amount.span, items[0].name)), calculator=chosen.name)
            return _begin(state, again)
        options = tuple(
            replace(
                option, label=f"the {one.label}", calculator=chosen.name,
                terms=frozenset(term.lstrip("@") for term in one.terms) | {one.name},
                placed=(*option.placed, (amount.span, one.name)),
            )
            for one in items
        )  # fmt: skip
        return _choosing(state, f'Is "{amount.text}" {say.listed(one.label for one in options)}?', options)
    return None


def _ask_unit(state: State, option: Option, amount: Amount, dims: tuple[str, ...]) -> Result:
    """A number without a unit: which one?"""
    units = [unit for dim in (dims or ("fraction", "mass", "volume")) for unit in _UNITS_ASKED.get(dim, ())]
    if not dims:
        units = ["percent", "kilogram", "gram", "pound", "liter"]
    found = []
    for unit in units:
        one = replace(amount, unit=unit)
        amounts = tuple(one if each.span == amount.span else each for each in option.reading.amounts)
        found.append(
            replace(
                option, label=said(amount.value, unit), amount=one,
                reading=replace(option.reading, amounts=amounts),
            )
        )  # fmt: skip
    return _choosing(state, f'"{amount.text}" what: {say.listed(one.label for one in found)}?', tuple(found))


def _with_words(job: Job, reading: Reading) -> Job:
    """The job with what the sentence says of produce, salt, vessel and state."""
    terms = {word.term for word in reading.all_words if word.kind in _STATE_KINDS}
    terms |= {word.kind for word in reading.all_words if word.kind == "produce"}
    produce = tuple(dict.fromkeys(word.term for word in reading.all_words if word.kind == "produce"))
    return replace(
        job,
        words=job.words | terms,
        produce=tuple(dict.fromkeys((*job.produce, *produce))),
    )


def _goals(chosen: Calculator, reading: Reading, job: Job) -> tuple[str, ...]:
    """What was asked for by name, as the calculator's quantities."""
    given = {one.name for one in job.given}
    goals = []
    for wanted in reading.wanted:
        for name in chosen.wanted.get(wanted, ()):
            if name not in given:
                goals.append(name)
                break
    return tuple(dict.fromkeys(goals))


# --- working out --------------------------------------------------------------------------


def _outcome(job: Job) -> Outcome:
    return solve(calculator(job.calculator), job.values(), job.goals, _kinds(job))


def _kinds(job: Job) -> tuple[str, ...]:
    """The words that defaults may depend on, the produce first."""
    return (*job.produce, *sorted(job.words))


def _proceed(state: State, job: Job, reading: Reading | None) -> Result:
    """Answer the job if it can be, else ask for the first thing missing."""
    job, carried = _carry(state, job)
    outcome = _outcome(job)
    shown = style(state, job)
    if reading is not None and reading.unit and reading.amounts:
        state = _fixed(state, reading.unit)
        shown = style(state, job)
    if outcome.outside is not None:
        amount = next((one.amount for one in job.given if one.name == outcome.outside.name), None)
        return state, (say.refuse_outside(outcome.outside, outcome, job, shown, amount),)
    if outcome.clash is not None:
        return state, (say.refuse_clash(outcome.clash, outcome, shown),)
    if outcome.missing:
        return _ask_missing(state, job, outcome, carried)
    rules = cautions(facts(job, outcome))
    replies: list[Reply] = [say.answer(outcome, job, shown)]
    replies += [Note(f'I did not use "{text}": it has no place in this.') for text in job.unused]
    replies += carried
    replies += _basis(job, outcome, state)
    replies += say.assumptions(_shown_outcome(job, outcome), shown)
    replies += kitchen_notes({_loose(one.amount) for one in job.given}, state.kitchen)
    replies += [say.caution(rule, facts(job, outcome), shown) for rule in rules]
    done = replace(
        state.idle(), answered=job, kept=_kept(state, job), kept_produce=job.produce or state.kept_produce,
        kept_words=state.kept_words | (job.words & {"fine", "flake", "iodised", "reduced"}),
    )  # fmt: skip
    return done, tuple(replies)


def _loose(amount: Amount) -> str:
    """The kitchen word that an exact unit was said as, or ""."""
    text = amount.text.lower()
    for side in ("us_", "imperial_", "metric_"):
        plain = amount.unit.removeprefix(side)
        if plain != amount.unit and not any(
            one in text for one in ("us ", "imp", "uk ", "metric", "british", "american")
        ):
            return plain
    return amount.unit


def _shown_outcome(job: Job, outcome: Outcome) -> Outcome:
    """The outcome with the defaults that its answer's sentences rest on."""
    fields = {name for one in outcome.calculator.tail for name in say.FIELD.findall(one)}
    shown = [name for name in (*outcome.goals, *sorted(fields)) if name in outcome.values]
    return solve(outcome.calculator, outcome.given, shown, _kinds(job))


def facts(job: Job, outcome: Outcome) -> Facts:
    """What the rules look at."""
    chosen = outcome.calculator
    return Facts(
        chosen.name, outcome.values, job.words | frozenset(job.produce), chosen.starts_ferment,
        frozenset(one.name for one in job.given), frozenset(outcome.goals),
    )  # fmt: skip


def _carry(state: State, job: Job) -> tuple[Job, list[Reply]]:
    """Fills what is missing from what is known of the batch, and says so."""
    chosen = calculator(job.calculator)
    if not job.produce and state.kept_produce and chosen.starts_ferment:
        job = replace(job, produce=state.kept_produce)
    if not job.words & {"fine", "flake", "iodised", "reduced"}:
        job = replace(job, words=job.words | state.kept_words)
    outcome = _outcome(job)
    carried: list[Reply] = []
    while outcome.missing:
        wanted = {outcome.missing[0], *chosen.input(outcome.missing[0]).instead}
        held = next((one for one in state.kept if one.name in wanted), None)
        if held is None or held.name in job.values():
            break
        if held.name not in {one.name for one in chosen.inputs}:
            break
        job = job.with_given((replace(held, how="kept"),))
        label = chosen.input(held.name).label
        text = f"From before: {label} {held.said}."
        carried.append(Assume(text, held.name, held.amount.value, held.amount.unit))
        outcome = _outcome(job)
    return job, carried


def _kept(state: State, job: Job) -> tuple[Given, ...]:
    """What is known of the batch after this answer."""
    chosen = calculator(job.calculator)
    fresh = [one for one in job.given if chosen.input(one.name).kept]
    names = {one.name for one in fresh}
    return (*(one for one in state.kept if one.name not in names), *fresh)


def _ask_missing(state: State, job: Job, outcome: Outcome, carried: list[Reply]) -> Result:
    chosen = outcome.calculator
    name = outcome.missing[0]
    item = chosen.input(name)
    asking = (name, *(one for one in item.instead if one not in job.values()))
    if name == "bulk" and "flake" in job.words:
        text = 'Flaky salts differ: weigh ten level spoons and say, for example, "ten tablespoons weigh 95 g".'
        ask = Ask(text, asking)
    else:
        ask = Ask(say.question(chosen, name), asking)
    later = tuple(one for rest in outcome.missing[1:] for one in (rest, *chosen.input(rest).instead))
    asked = replace(state, mode="asking", job=job, asking=asking, later=later, options=(), confirm=None)
    return asked, (*carried, ask)


def _basis(job: Job, outcome: Outcome, state: State) -> list[Reply]:
    """The other thing a percentage with no basis could have meant, if it matters."""
    chosen = outcome.calculator
    replies: list[Reply] = []
    for one in job.given:
        item = chosen.input(one.name)
        if item.dimension not in ("fraction", "density") or not item.plain or one.how == "noun" or not item.basis:
            continue
        for rival in chosen.inputs:
            if not rival.rival or rival.dimension != item.dimension:
                continue
            other = job.without(one.name).with_given((replace(one, name=rival.name),))
            second = _outcome(other)
            if not second.solved:
                continue
            goal = next((name for name in outcome.goals if name not in (one.name, rival.name)), None)
            if goal is None or not outcome.values[goal]:
                continue
            here, there = outcome.values[goal], second.values.get(goal)
            if there is None or abs(there - here) <= MATTERS * abs(here):
                continue
            shown = style(state, job)
            target = chosen.input(goal)
            text = (
                f"You did not say of what: I took {_percent_said(one)} of {item.basis}. Of {rival.basis} alone: "
                f"{target.label} {quantity(there, target.dimension, shown)}{_ends(second, item)}."
            )
            replies.append(Assume(text, one.name, one.amount.value, one.amount.unit or "percent"))
    return replies


def _percent_said(one: Given) -> str:
    return said(one.amount.value, one.amount.unit or "percent")


def _ends(outcome: Outcome, item: Input) -> str:
    """Where the other meaning ends up, on the first one's basis."""
    value = outcome.values.get(item.name)
    if value is None or item.dimension != "fraction":
        return ""
    return f", only {100 * value:.2g}% of {item.basis}" if "produce" in item.basis else ""


def _fixed(state: State, unit: str) -> State:
    exact = measures.settle(unit, state.kitchen)
    of = dimension(unit)
    return replace(state, fixed=(*(one for one in state.fixed if one[0] != of), (of, exact)))


# --- while a question is open -------------------------------------------------------------


def _fill(step: Step) -> Result:
    """Amounts or words as the answer to the open question."""
    state, reading = step.state, step.reading
    job = state.job
    assert job is not None
    chosen = calculator(job.calculator)
    if direct(reading):
        return state, (*convert(reading, state.kitchen), _ask(state))
    if reading.unit and not reading.amounts and not reading.words:
        return state, (Note("I need the number too."), _ask(state))
    if any(not one.sure for one in reading.repaired) or any(one.rivals for one in reading.amounts):
        merged = replace(Option("", reading), calculator=chosen.name)
        return _begin_in(state, merged)
    return _fill_with(state, reading, ())


def _begin_in(state: State, option: Option) -> Result:
    """A doubtful answer to an open question: settle the doubt first, then fill."""
    reading = option.reading
    unsure = next((one for one in reading.repaired if not one.sure), None)
    if unsure is not None:
        sure = tuple(replace(one, sure=True) for one in reading.repaired)
        confirm = replace(option, reading=replace(reading, repaired=sure))
        ask = Ask(f'Did you mean "{unsure.read}" by "{unsure.said}"? Say yes or no.', (), ("yes", "no"))
        return replace(state, mode="confirming", confirm=confirm, resume=state.mode), (ask,)
    two = next(one for one in reading.amounts if one.rivals)
    return _choose_reading(state, option, two)


def _fill_with(state: State, reading: Reading, placed: tuple[tuple[tuple[int, int], str], ...]) -> Result:
    job = state.job
    assert job is not None
    chosen = calculator(job.calculator)
    held = {one.name for one in job.given}
    found = place(chosen, reading.amounts, state.kitchen, state.asking, (), held, placed, state.later)
    if found.unplaced and not found.misfit:
        more = place(chosen, found.unplaced, state.kitchen, (), held, {one.name for one in found.given})
        found = Placement((*found.given, *more.given), more.unplaced, more.misfit)
    bare = next((one for one in (*found.unplaced, *(one for one, _ in found.misfit)) if not one.unit), None)
    if bare is not None:
        option = Option("", reading, calculator=chosen.name)
        return _ask_unit(state, option, bare, (chosen.input(state.asking[0]).dimension,))
    if found.misfit:
        return state, (say.misfit(*found.misfit[0]), _ask(state))
    if found.unplaced:
        taken = held | {one.name for one in found.given}
        for amount in found.unplaced:
            items = [one for one in possible(chosen, amount, taken)]
            if len(items) > 1:
                options = tuple(
                    Option(
                        f"the {one.label}", reading, calculator=chosen.name,
                        terms=frozenset(term.lstrip("@") for term in one.terms) | {one.name},
                        placed=(*placed, (amount.span, one.name)),
                    )
                    for one in items
                )  # fmt: skip
                text = f'Is "{amount.text}" {say.listed(one.label for one in options)}?'
                return _choosing(state, text, options)
        quoted = say.listed(f'"{one.text}"' for one in found.unplaced)
        return state, (Note(f"I have no place for {quoted} here."), _ask(state))
    before = job
    job = _with_words(job.with_given(found.given), reading)
    if job == before:
        return state, (Note("That does not answer it."), _ask(state))
    after, replies = _proceed(state, job, None)
    changed = [one for one in found.given if one.name in held]
    notes: list[Reply] = [Note(f"{chosen.input(one.name).label.capitalize()} is now {one.said}.") for one in changed]
    if after is state or after == state:
        return state, (*replies, _ask(state))
    return after, (*notes, *replies)


def _answer_or_start(step: Step) -> Result:
    """Words of a question while one is open: an answer if all of it fits, else a new question."""
    reading, state = step.reading, step.state
    assert state.job is not None
    chosen = calculator(state.job.calculator)
    topics = {word.term for word in reading.words if word.kind == "topic"}
    if not reading.wanted and not topics and reading.amounts:
        found = place(chosen, reading.amounts, state.kitchen, state.asking, (), {one.name for one in state.job.given})
        if found.given and not found.unplaced and not found.misfit:
            return _fill(step)
    return _start(step)


def _usual(step: Step) -> Result:
    """ "I don't know": the common value, said as assumed; else where to find it."""
    state = step.state
    job = state.job
    assert job is not None
    chosen = calculator(job.calculator)
    item = chosen.input(state.asking[0])
    if item.suggest is None:
        return state, (Note(f"There is no usual value for the {item.label}: weigh or measure it."), _ask(state))
    value, unit = item.suggest
    amount = Amount(value, unit, (0, 0), said(value, unit))
    given = Given(item.name, measures.canonical(value, unit, item.dimension), amount, "noun")
    after, replies = _proceed(state, job.with_given((given,)), None)
    note = Assume(f"{said(value, unit)}, the common value. Say another to change it.", item.name, value, unit)
    if replies and isinstance(replies[0], Answer):
        return after, (replies[0], note, *replies[1:])
    return after, (note, *replies)


def _why_asked(step: Step) -> Result:
    state = step.state
    assert state.job is not None
    chosen = calculator(state.job.calculator)
    name = state.asking[0]
    used = [one.text for one in chosen.relations if name in one.names]
    text = f"I need the {chosen.input(name).label} for: {used[0].replace('_', ' ')}." if used else "I need it to go on."
    return state, (Note(text), _ask(state))


def _ask_again(step: Step) -> Result:
    return step.state, (*(_open_question(step.state) or (Note("Nothing is open."),)),)


def _cancel(step: Step) -> Result:
    return step.state.idle(), (Note("Dropped. What next?"),)


# --- choosing and confirming --------------------------------------------------------------


def _pick(step: Step) -> Result:
    found = _picked(step.state, step.reading)
    if found is None:
        return step.state, (Note("Pick one of these."), *_open_question(step.state))
    return _resume(step.state, found)


def _pick_or_start(step: Step) -> Result:
    found = _picked(step.state, step.reading)
    if found is not None:
        return _resume(step.state, found)
    if step.reading.act in ("ask", "tell") and choose(step.reading, step.state.kitchen):
        return _start(replace(step, state=step.state.idle()))
    return step.state, (Note("Pick one of these."), *_open_question(step.state))


def _resume(state: State, option: Option) -> Result:
    """Goes on from the option picked, in the question that was open before."""
    mode = "idle" if state.resume == "change" else state.resume
    back = replace(state, mode=mode, resume="idle", options=(), confirm=None)
    if state.resume == "change" and state.answered is not None:
        two = next((one for one in option.reading.amounts if one.rivals), None)
        if two is not None:
            doubt, replies = _choose_reading(back, option, two)
            return replace(doubt, resume="change"), replies
        return _changed(back, state.answered, option.reading)
    if state.resume == "asking" and state.job is not None:
        if any(one.rivals for one in option.reading.amounts):
            return _choose_reading(back, option, next(one for one in option.reading.amounts if one.rivals))
        return _fill_with(back, option.reading, option.placed)
    return _begin(back, option)


def _picked(state: State, reading: Reading) -> Option | None:
    """The option the words name: its value, its unit, its terms, or its place in the list."""
    options = state.options
    order = {"first-one": 0, "first": 0, "second-one": 1, "second": 1, "third-one": 2}
    for word in reading.words:
        if word.term in order and order[word.term] < len(options):
            return options[order[word.term]]
    for amount in reading.amounts:
        same = [
            one
            for one in options
            if one.amount is not None
            and abs(one.amount.value - amount.value) < 1e-9
            and amount.unit in ("", one.amount.unit)
        ]
        if len(same) == 1:
            return same[0]
    if reading.unit:
        same = [one for one in options if one.amount is not None and one.amount.unit == reading.unit]
        if len(same) == 1:
            return same[0]
    terms = reading.terms | {word.kind for word in reading.all_words}
    if "weight" in reading.text.lower():
        same = [one for one in options if one.label.endswith("by weight")]
        if same:
            return same[0]
    if "fluid" in reading.text.lower() or "volume" in reading.text.lower():
        same = [one for one in options if one.label.endswith("by volume")]
        if same:
            return same[0]
    same = [one for one in options if one.terms & terms]
    return same[0] if len(same) == 1 else None


def _confirmed(step: Step) -> Result:
    assert step.state.confirm is not None
    return _resume(step.state, step.state.confirm)


def _not_confirmed(step: Step) -> Result:
    mode = "idle" if step.state.resume == "change" else step.state.resume
    back = replace(step.state, mode=mode, resume="idle", confirm=None)
    return back, (Note("Then say it again with the word you meant."), *_open_question(back))


def _why_choose(step: Step) -> Result:
    text = "Because the readings give different numbers, and I do not guess."
    return step.state, (Note(text), *_open_question(step.state))


# --- after an answer ----------------------------------------------------------------------


def _change(step: Step) -> Result:
    """A correction or a new value for the job that is open or was answered last."""
    state, reading = step.state, step.reading
    job = state.job if state.mode in ("asking",) else state.answered
    if state.mode == "confirming":
        state = replace(state, mode="idle", confirm=None)
    if kitchen := reading.kinds.get("kitchen"):
        return _set_kitchen(step, kitchen[0])
    if job is None:
        if choose(reading, state.kitchen):
            return _begin(state, Option("", reading))
        return state, (_no_calculator(reading),)
    if any(not one.sure for one in reading.repaired) or any(one.rivals for one in reading.amounts):
        doubt, replies = _begin_in(replace(state, mode="idle"), Option("", reading))
        return replace(doubt, resume="change"), replies
    if reading.unit and not reading.amounts:
        return _in_unit(state, job, reading.unit)
    return _changed(state, job, reading)


def _in_unit(state: State, job: Job, unit: str) -> Result:
    """The last answer in another unit."""
    chosen = calculator(job.calculator)
    of = dimension(unit)
    if of not in {one.dimension for one in chosen.inputs}:
        return state, (Note(f"There is no {say.UNITS_FOR.get(of, of).split(' (')[0]} in this to show so."),)
    return _proceed(_fixed(state, unit), job, None)


def _changed(state: State, job: Job, reading: Reading) -> Result:
    chosen = calculator(job.calculator)
    held = [one.name for one in job.given]
    bare = [replace(one, unit=_like(job, one)) if not one.unit else one for one in reading.amounts]
    found = place(chosen, bare, state.kitchen, (), held)
    if found.misfit:
        return state, (say.misfit(*found.misfit[0]),)
    rest = [one for one in found.unplaced]
    if rest or not (found.given or reading.words):
        amount = rest[0] if rest else None
        if amount is not None:
            items = possible(chosen, amount, {one.name for one in found.given})
            if len(items) == 1:
                found = replace(found, given=(*found.given, _as(amount, items[0].name, job)), unplaced=())
                rest = []
        if rest or not found.given:
            if choose(reading, state.kitchen):
                return _begin(state.idle(), Option("", reading))
            what = f'"{rest[0].text}"' if rest else "that"
            return state, (Ask(f"What shall {what} change: {say.listed(_labels(job))}?"),)
    goals = _goals(chosen, reading, job) or job.goals
    new = _with_words(job.with_given(found.given), reading)
    new = replace(new, goals=tuple(one for one in goals if one not in new.values()))
    new, dropped = _loosen(job, new, {one.name for one in found.given})
    if new == job:
        return state, (Note("That is how it already stands."),)
    after, replies = _proceed(replace(state, mode="idle"), new, None)
    if not replies or replies[0].kind == "refuse":
        return state, replies
    notes: list[Reply] = [_change_note(chosen, job, one) for one in found.given]
    notes += [Note(f"The {chosen.input(one).label} is worked out anew from it.") for one in dropped]
    if isinstance(replies[0], Answer):
        return after, (replies[0], *notes, *replies[1:])
    return after, (*notes, *replies)


def _as(amount: Amount, name: str, job: Job) -> Given:
    item = calculator(job.calculator).input(name)
    return Given(name, measures.canonical(amount.value, amount.unit, item.dimension), amount, "asked")


def _like(job: Job, amount: Amount) -> str:
    """The unit a bare number in a correction takes: that of the one number it can replace."""
    nouned = [
        one
        for one in job.given
        if amount.noun is None or amount.noun.term in calculator(job.calculator).input(one.name).terms
    ]
    units = {one.amount.unit for one in nouned if one.how != "kept"}
    return units.pop() if len(units) == 1 else ""


def _labels(job: Job) -> list[str]:
    chosen = calculator(job.calculator)
    return [f"the {chosen.input(one.name).label} ({one.said})" for one in job.given]


def _loosen(before: Job, job: Job, fresh: set[str]) -> tuple[Job, list[str]]:
    """Where a new value leaves too much given, the old value that has to give way.

    A strength goes before an amount, and what was said last goes last. A new value that
    only takes the place of a default (a fill line for the usual 90 %) displaces nothing.
    """
    dropped: list[str] = []
    too_many = _determined(before, fresh)
    for _ in range(len(job.given)):
        outcome = _outcome(job)
        if outcome.clash is None and not too_many:
            return job, dropped
        too_many = False
        chosen = calculator(job.calculator)
        old = [one for one in job.given if one.name not in fresh]
        old.sort(key=lambda one: chosen.input(one.name).dimension not in ("fraction", "density"))
        for one in old:
            trial = replace(job.without(one.name), goals=())
            result = _outcome(trial)
            if result.clash is None and one.name in result.values and result.outside is None:
                job, dropped = replace(trial, goals=(one.name,)), [*dropped, one.name]
                break
        else:
            return job, dropped
    return job, dropped


def _determined(before: Job, fresh: set[str]) -> bool:
    """Whether a fresh input was already worked out from what the person had given."""
    outcome = _outcome(before)
    if not outcome.solved:
        return False
    assumed = {one.name for one in outcome.assumed}
    for step in outcome.steps:
        if step.name in fresh and not (step.relation.needs[step.name] & assumed):
            return True
    return False


def _change_note(chosen: Calculator, job: Job, one: Given) -> Note:
    before = next((old for old in job.given if old.name == one.name), None)
    label = chosen.input(one.name).label
    now = one.said
    if before is None:
        return Note(f"With {label} {now}.")
    return Note(f"{label[0].upper()}{label[1:]}: {now}, was {before.said}.")


def _why(step: Step) -> Result:
    job = step.state.answered
    if job is None:
        return step.state, (Note(f"There is no answer to explain yet. Ask something, for example: {say.EXAMPLE}."),)
    outcome = _outcome(job)
    rules: list[Rule] = cautions(facts(job, outcome))
    return step.state, explain(outcome, style(step.state, job), rules)


def _repeat(step: Step) -> Result:
    return step.state, step.state.said or (Note("Nothing has been said yet."),)


def _help(step: Step) -> Result:
    state = step.state
    if state.mode == "asking" and state.job is not None:
        chosen = calculator(state.job.calculator)
        item = chosen.input(state.asking[0])
        usual = ' Say "the usual" for the common value.' if item.suggest else ""
        unit = say.UNITS_FOR.get(item.dimension, "")
        text = f'An amount will do, {unit}.{usual} "why" says what it is for, "cancel" drops it.'
        return state, (Note(text), _ask(state))
    if state.mode in ("choosing", "confirming"):
        return state, (Note("Answer with one of these, or say cancel."), *_open_question(state))
    lines = [Note(f"{one.title}: {one.examples[0].say}.") for one in CALCULATORS if one.examples]
    after = Note(
        'After an answer: "make it 4 kg", "what about 3 percent", "in pounds", "why", "undo", "repeat", "start over".'
    )
    return state, (Note("Say it plainly, in any order. For example:"), *lines, after)


def _nothing_open(step: Step) -> Result:
    return step.state, (Note(f"No question is open. Ask something, for example: {say.EXAMPLE}."),)


def _say_what(step: Step) -> Result:
    if step.state.answered is None:
        return _nothing_open(step)
    text = f'What is wrong: {say.listed(_labels(step.state.answered))}? Say, for example, "make it 4 kg", or "undo".'
    return step.state, (Ask(text),)


def _reset(step: Step) -> Result:
    fresh = State(kitchen=step.state.kitchen)
    return fresh, (Note('A clean slate. Say "undo" to have it back. What shall I work out?'),)


def _leave(step: Step) -> Result:
    return step.state, (Done("Goodbye. The talk is kept."),)


def _log(step: Step) -> Result:
    logged = _ph(step.state, step.reading)
    if logged is not None:
        return logged
    return step.state, (Note('I note pH readings, for example "pH 3.9". Other notes have no place yet.'),)


def _ph(state: State, reading: Reading) -> Result | None:
    """A pH reading, judged and noted in the talk."""
    amount = next((one for one in reading.amounts if one.said("property") == "ph"), None)
    if amount is None and len(reading.amounts) == 1 and not reading.amounts[0].unit:
        amount = reading.amounts[0]
    if amount is None or amount.unit:
        return None
    if not 0 <= amount.value <= 14:
        text = f"A pH runs from 0 to 14; you said {amount.value:g}. Nothing was noted."
        return state, (NotRead(text, "unit-fit", amount.text, *amount.span),)
    held = Facts("ph", {"ph": amount.value})
    replies: list[Reply] = [
        Log(f"pH {amount.value:g}, noted in this talk."),
        Answer(_verdict(amount.value), "ph", (Value("ph", amount.value, "pH"),)),
    ]
    shown = style(state, None)
    replies += [say.caution(rule, held, shown) for rule in cautions(held)]
    given = Given("ph", amount.value, amount, "noun")
    kept = (*(one for one in state.kept if one.name != "ph"), given)
    return replace(state.idle(), kept=kept), tuple(replies)


def _verdict(ph: float) -> str:
    if ph <= 4.0:
        return f"pH {ph:g} is at or under 4.0, the aim, if the meter is calibrated and the sample blended."
    return f"pH {ph:g} is over 4.0, the aim; 4.6 is the limit, and a meter's error counts."


def _undo(step: Step) -> Result:  # pragma: no cover - turn() routes it, the table names it
    raise AssertionError("undo works on the talk")


def _redo(step: Step) -> Result:  # pragma: no cover - turn() routes it, the table names it
    raise AssertionError("redo works on the talk")


def _undo_talk(talk: Talk) -> tuple[Talk, tuple[Reply, ...]]:
    if not talk.past:
        return talk, (Note("There is nothing to undo."),)
    back = Talk(talk.past[-1], talk.past[:-1], (talk.now, *talk.future))
    return back, (Note("Undone."), *_where(back.now))


def _redo_talk(talk: Talk) -> tuple[Talk, tuple[Reply, ...]]:
    if not talk.future:
        return talk, (Note("There is nothing to redo."),)
    onward = Talk(talk.future[0], (*talk.past, talk.now), talk.future[1:])
    return onward, (Note("Done again."), *_where(onward.now))


def _where(state: State) -> tuple[Reply, ...]:
    """Where the talk stands, after going back or forth."""
    return state.said or (Note("We are at the start."),)


HANDLERS: dict[str, Callable[[Step], Result]] = {
    "start": _start, "tell": _tell, "change": _change, "fill": _fill, "usual": _usual,
    "answer_or_start": _answer_or_start, "pick": _pick, "pick_or_start": _pick_or_start,
    "confirmed": _confirmed, "not_confirmed": _not_confirmed, "why": _why, "why_asked": _why_asked,
    "why_choose": _why_choose, "ask_again": _ask_again, "cancel": _cancel, "repeat": _repeat,
    "help": _help, "nothing_open": _nothing_open, "say_what": _say_what, "reset": _reset,
    "leave": _leave, "log": _log, "undo": _undo, "redo": _redo,
}  # fmt: skip
"""Every handler that table.py names."""
