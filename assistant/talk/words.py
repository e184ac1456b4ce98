"""The sentences of the dialogue: answers, questions, refusals, misreadings."""

from __future__ import annotations

import datetime
from collections.abc import Iterable
from dataclasses import replace

from assistant.batches.describe import day_words
from assistant.declare import BY_OUNCE, BY_SPOON, BY_THE_MINUTE, Calculator, Input
from assistant.evaluate import Clash, Outcome, Outside, bounds
from assistant.replies import Answer, Assume, Caution, NotRead, Refuse, Value
from assistant.rules import Facts, Rule
from assistant.rules.watch import SHOWN
from assistant.show import Style, quantity, said, unit_for
from assistant.talk.state import Job
from assistant.trade.produce import NAMES
from grammar import measures
from grammar.later import regex
from grammar.types import Amount, Misread

_NESTED = regex(r"\(([^()]*) \(([^()]*)\)\)")
"""A bracket in a bracket, as pounds beside litres give it."""

FIELD = regex(r"{(\w+)}")

UNITS_FOR = {
    "mass": "a weight (g, kg, lb, oz)",
    "volume": "a volume (mL, L, cups, quarts, gallons)",
    "fraction": "a percentage",
    "length": "a length (cm, inches)",
    "temperature": "a temperature (C, F)",
    "difference": "a difference of temperatures (C, F)",
    "density": "a strength in g per litre",
    "count": "a count",
    "gravity": "a gravity, like 1.025",
    "salometer": "salometer degrees",
    "time": "a length of time (days, weeks)",
    "months": "a number of months",
    "date": "a date, like 3 March",
    "acidity": "a pH",
    "pungency": "a heat (SHU)",
    "normality": "a normality, like 0.1 N",
    "molarity": "a concentration in mol/L",
    "part": "a number of parts",
    "potential": "millivolts",
    "slope": "a slope in mV per pH",
    "grade": "a verdict",
}
FITS = {
    "mass": "3 kg or 2 lb", "volume": "2 L or 3 quarts", "fraction": "3%", "length": "25 cm", "temperature": "20 C",
    "density": "35 g per litre", "time": "6 weeks", "months": "3 months", "date": "3 March", "gravity": "1.025",
    "salometer": "40 degrees salometer", "count": "2", "pungency": "30,000 SHU",
    "normality": "0.1 N", "part": "3 parts", "potential": "160 mV", "slope": "58 mV per pH", "acidity": "4.01",
    "difference": "10 C",
}  # fmt: skip
"""An amount that fits, by dimension."""

EXAMPLE = "brine for 3 kg of peppers in a 10 L crock at 2.5%"


def kind_words(job: Job) -> str:
    """The produce by name, or "produce"."""
    names = [NAMES.get(one, one) for one in job.produce]
    if "mash" in job.words and job.calculator == "mash" and job.mixed:
        names = ["mash", *names]
    if job.calculator == "substance":
        names = sorted(job.words & {"water", "vinegar", "honey", "sugar", "salt"})
    if job.calculator == "sweeten" and not names:
        names = ["honey" if "honey" in job.words else "sugar"]
    if not names:
        return "mash" if job.calculator == "mash" else "produce"
    return " and ".join(names)


def fill(template: str, outcome: Outcome, job: Job, style: Style) -> str | None:
    """A template with the outcome's quantities in words; None if one is not known or negative."""
    fields = FIELD.findall(template)
    shown: dict[str, str] = {"kind": kind_words(job)}
    for name in fields:
        if name == "kind":
            continue
        if name not in outcome.values:
            return None
        if outcome.values[name] < 0 and outcome.calculator.input(name).dimension in ("mass", "volume"):
            return None  # "-9 L left" is said by the template for too much
        shown[name] = _shown(name, outcome, style)
    return _NESTED.sub(r"(\1, \2)", template.format(**shown))


def spooned(style: Style, item: Input) -> Style:
    """The style for one quantity: a sanitizer in ppm, heat in minutes, salt or gum by the spoon, no other so."""
    if item.name.startswith("ppm"):
        return replace(style, fixed={**style.fixed, "fraction": "ppm"})
    if item.name in BY_OUNCE and style.kitchen in ("us", "imperial"):
        return replace(style, fixed={"volume": f"{style.kitchen}_fluid_ounce", **style.fixed})
    if item.name in BY_THE_MINUTE:
        return replace(style, fixed={**style.fixed, "time": "minute"})
    if item.name not in BY_SPOON:
        return style
    return replace(style, fixed={**style.fixed, "volume": style.fixed.get("spoon", "us_tablespoon")})


def answer(outcome: Outcome, job: Job, style: Style) -> Answer:
    """The numbers first, then what they come to on every basis."""
    calculator = outcome.calculator
    templates = [outcome.headline] if outcome.headline else []
    templates += [one for goal in outcome.goals for one in calculator.headline.get(goal, ())]
    filled = ((one, fill(one, outcome, job, style)) for one in templates)
    template, text = next(((one, said) for one, said in filled if said), ("", None))
    if text is None:
        template = "".join(f"{{{goal}}}" for goal in outcome.goals)
        shown = [f"{calculator.input(goal).label} {_shown(goal, outcome, style)}" for goal in outcome.goals]
        text = f"{', '.join(shown)}."
        text = text[0].upper() + text[1:]
    main = tuple(
        (calculator.input(one).label, _shown(one, outcome, style))
        for one in dict.fromkeys(FIELD.findall(template))
        # of several targets no single number is the answer
        if one in outcome.goals and not outcome.headline
    )
    tails = [fill(one, outcome, job, style) for one in calculator.tail]
    whole = " ".join([text, *(one for one in tails if one)])
    heard = tuple(one.said for one in job.given if not one.carried)
    return Answer(whole, calculator.name, values(outcome, style), text, main, heard)


def _shown(name: str, outcome: Outcome, style: Style) -> str:
    item = outcome.calculator.input(name)
    return quantity(outcome.values[name], item.dimension, spooned(style, item))


def values(outcome: Outcome, style: Style) -> tuple[Value, ...]:
    """Every quantity that was given or worked out, at full precision."""
    found = []
    for name, value in outcome.values.items():
        item = outcome.calculator.input(name)
        unit = unit_for(value, item.dimension, spooned(style, item))
        found.append(Value(name, measures.in_unit(value, item.dimension, unit), unit))
    return tuple(found)


def assumptions(outcome: Outcome, style: Style) -> list[Assume]:
    """The defaults that were used, each with its words."""
    found = []
    for one in outcome.assumed:
        item = outcome.calculator.input(one.name)
        unit = unit_for(one.value, item.dimension, style)
        value = measures.in_unit(one.value, item.dimension, unit)
        text = one.default.by_kind.get(one.kind, (0.0, ""))[1] or one.default.text
        if one.name == "moisture" and one.kind:
            text = f"{NAMES.get(one.kind, 'mixed produce, by weight')}: {value:.0f}% water"
        found.append(Assume(f"{text[0].upper()}{text[1:]}.", one.name, value, unit, usual=True))
    return found


def caution(rule: Rule, facts: Facts, style: Style) -> Caution:
    """The rule's sentence with the numbers it looked at."""
    shown = {}
    end = facts.get("of_total", "of_produce", "after")
    level = facts.get("level", "fill")
    if end is not None:
        shown["end"] = quantity(end, "fraction", style)
    if level is not None:
        shown["level_or_fill"] = quantity(level, "fraction", style)
    if "ph" in facts.values:
        shown["ph"] = f"{facts.values['ph']:g}"
    text = FIELD.sub(lambda match: shown.get(match.group(1), "it"), rule.sentence)
    return Caution(text, rule.id, rule.severity, str(rule.source))


def watch_caution(rule: Rule, facts: Facts, style: Style) -> Caution:
    """A rule of the watch with what it saw of the batch."""
    shown: dict[str, str] = {}
    for name, dimension in SHOWN.items():
        value = facts.values.get(name)
        if value is None:
            continue
        if dimension == "acidity":
            shown[name] = f"{value:.3g}"
        elif dimension == "count":
            shown[name] = f"{value:.0f}"
        elif dimension == "date":
            shown[name] = day_words(datetime.date.fromordinal(round(value)))
        else:
            shown[name] = quantity(value, dimension, style)
    text = FIELD.sub(lambda match: shown.get(match.group(1), "it"), rule.sentence)
    return Caution(text, rule.id, rule.severity, str(rule.source))


def refuse_outside(breach: Outside, outcome: Outcome, job: Job, style: Style, amount: Amount | None) -> Refuse:
    """Why a quantity cannot be what was given or came out."""
    item = outcome.calculator.input(breach.name)
    low, high = bounds(item.limit, item.dimension)
    shown = (
        said(amount.value, amount.unit or _percent(item)) if amount else quantity(breach.value, item.dimension, style)
    )
    template = item.limit.too_low if breach.low else item.limit.too_high
    label = item.label[0].upper() + item.label[1:]
    if breach.given and breach.low:
        need = "zero or more" if item.limit.from_low else "more than zero"
        if low > 0:
            need = f"at least {quantity(low, item.dimension, style)}"
        return Refuse(f"{label} must be {need}; you said {shown}. Nothing was changed.", str(item.limit.source))
    if template and (text := fill(template, outcome, job, style)):
        lead = f"{label}: {shown} is too much. " if not breach.low and breach.given else ""
        if not breach.low and not breach.given and breach.value == breach.value:
            lead = f"That needs {label[0].lower() + label[1:]} of {shown}. "
        return Refuse(f"{lead}{text}. Nothing was changed.", str(item.limit.source))
    if breach.given:
        top = quantity(high, item.dimension, style)
        return Refuse(
            f"{label} of {shown} is more than I work with ({top}). Nothing was changed.", str(item.limit.source)
        )
    return Refuse(_impossible(breach, outcome, style, item), str(item.limit.source))


def _percent(item: Input) -> str:
    return "percent" if item.dimension == "fraction" else ""


def _impossible(breach: Outside, outcome: Outcome, style: Style, item: Input) -> str:
    """A worked-out quantity that cannot be, with the numbers that make it so."""
    given = ", ".join(
        f"{outcome.calculator.input(name).label} {quantity(value, outcome.calculator.input(name).dimension, style)}"
        for name, value in outcome.given.items()
    )
    if breach.value != breach.value or breach.value in (float("inf"), float("-inf")):
        came = "there is no such value"
    else:
        came = f"it would be {quantity(breach.value, item.dimension, style)}"
    return f"With {given} I cannot get {item.label}: {came}. Check the numbers. Nothing was changed."


def refuse_clash(clash: Clash, outcome: Outcome, style: Style) -> Refuse:
    """Two numbers that do not agree: what the others make of one of them."""
    item = outcome.calculator.input(clash.name)
    said_ = quantity(clash.said, item.dimension, style)
    comes = quantity(clash.comes_to, item.dimension, style)
    others = ", ".join(
        f"{outcome.calculator.input(name).label} {quantity(value, outcome.calculator.input(name).dimension, style)}"
        for name, value in outcome.given.items()
        if name != clash.name
    )
    return Refuse(
        f"These do not agree: with {others}, {item.label} comes to {comes}, not {said_}. "
        "Say it again with one of them left out.",
        str(clash.relation.source),
    )


def amount_said(amount: Amount) -> str:
    """An amount as it is repeated back: "3%", "5 kg", "Tuesday 3 February 2026"."""
    return said(amount.value, amount.unit)


def misfit(amount: Amount, item: Input) -> NotRead:
    """An amount whose unit cannot measure what it is said to be."""
    from assistant.talk.place import dimension

    came = UNITS_FOR.get(dimension(amount.unit), "a bare number").split(" (")[0]
    wanted = UNITS_FOR.get(item.dimension, item.dimension)
    text = (
        f'"{amount.text}" is {came}, but {item.label} needs {wanted}, for example {FITS.get(item.dimension, "3 kg")}.'
    )
    if dimension(amount.unit) == "volume" and item.dimension == "mass":
        text += " Weigh it: only water, brine and a few named things turn litres into weight."
    return NotRead(text, "unit-fit", amount.text, *amount.span)


def no_place(amount: Amount, calculator: Calculator) -> NotRead:
    """An amount that no input takes: nothing is answered with a number left out."""
    text = (
        f'I cannot place "{amount.text}" in this ({calculator.title.lower()}), and I do not leave a number out. '
        f"Say what it is of, or ask without it, for example: {calculator.examples[0].say}."
    )
    return NotRead(text, "number", amount.text, *amount.span)


def unknown_produce(amount: Amount) -> NotRead:
    """Produce nobody told us of: no ferment is started with it unasked."""
    word = amount.noun.text if amount.noun is not None else ""
    known = ", ".join(sorted(set(NAMES.values())))
    text = (
        f'I do not know "{word}" as produce. I know {known}. If it is a vegetable that is brined like these, '
        'say "produce".'
    )
    return NotRead(text, "unknown-word", word, *(amount.noun.span if amount.noun is not None else amount.span))


def unknown_thing(amount: Amount) -> NotRead:
    """An amount of something nobody told us of: it is not taken for salt, water or brine."""
    word = amount.noun.text if amount.noun is not None else ""
    text = (
        f'I do not know "{word}", so I cannot place "{amount.text}", and I do not leave a number out. Say it of salt, '
        f"water, brine or produce, for example: {EXAMPLE}."
    )
    return NotRead(text, "unknown-word", word, *(amount.noun.span if amount.noun is not None else amount.span))


def misread(found: Misread) -> NotRead:
    """The four kinds of misunderstanding, each with its own sentence and what would be read."""
    if found.why == "beyond":
        return NotRead(BEYOND[found.term], found.why, found.found, *found.span)
    quoted = f'"{found.found.strip()[:60]}"'
    texts = {
        "empty": f"I heard nothing to work on. Say, for example: {EXAMPLE}.",
        "too-long": f"That is {found.found}, more than one question. Say it in one line, for example: {EXAMPLE}.",
        "unknown-word": (
            f"I do not know {quoted}. I work out salt, brine, mash, vessels, finishing, dates and unit conversions for "
            f"fermenting, for example: {EXAMPLE}."
        ),
        "unknown-unit": (
            f"I do not know {quoted} as a unit. Say a weight (g, kg, lb, oz), a volume (mL, L, cups, quarts, "
            f"gallons), a percentage or a temperature, for example: {EXAMPLE}."
        ),
        "log": found.example,
        "stops": (
            f"The sentence stops at {quoted}. Say what follows, for example "
            f'"{found.found.strip()} {(found.expected or ("3 kg of peppers",))[0]}".'
        ),
        "number": (f"I can read {quoted} in more than one way. Write the number in digits, for example 3.5 or 35."),
        "date": (
            f"Which month is {quoted} in? Say the day with its month, for example 5 February."
            if "month" in found.expected
            else f"The calendar has no {quoted}. Say the day once more, for example 28 February."
        ),
        "negation": (
            f"{quoted} would change what the numbers mean, and I do not work with it. Say what there is, "
            f"for example: {EXAMPLE}."
        ),
    }
    text = texts[found.why]
    if found.near:
        text += f" Did you mean {listed(found.near)}?"
    return NotRead(text, found.why, found.found, *found.span, found.near)


BEYOND = {
    "unsized": (
        "A capful, a handful or a spoon of no said kind has no size of its own: weigh it, measure it in mL, or say "
        "teaspoons or tablespoons, for example 2 teaspoons of fine salt."
    ),
    "medical": (
        "That is for a doctor or a poison line, not for a calculator: call them now if someone is unwell. "
        "Chilli on the skin: wash with soap and cool water; rinse eyes long with water."
    ),
    "botulism": (
        "Double or blurred vision, slurred speech, drooping eyelids or trouble swallowing after eating is an "
        "emergency: call an ambulance now and keep the jar. Botulism has no taste or smell. It is kept out by a pH "
        "below 4.6 reached in the first days, salt of 2% or more at the start, and no oil."
    ),
    "tasting": (
        "Do not taste to find out. It is ready to taste only when a calibrated meter shows a pH below 4.6 (aim for "
        "4.0 or lower), with no mould, slime or foul smell. When in doubt, throw it out."
    ),
    "mould": (
        "Never taste or sniff mould. Strict answer, and for anything given away or sold: bin it, because mould raises "
        "the pH and may leave toxins. Some makers skim a small spot; then measure the pH top and bottom and do not "
        "share it. A flat white skin is likely yeast: skim it, measure the pH, finish soon."
    ),
    "spoilt": "Do not taste it. Putrid, slimy, pink or bulging means bin it, unopened indoors if the lid bulges.",
    "oil": (
        "No oil on or in a ferment or a stored sauce: oil keeps air and acid out, and garlic in oil has caused "
        "botulism. Add oil on the plate."
    ),
    "pressure": (
        "A live ferment makes gas: keep an airlock, a water seal or a loose lid on it, never a tight lid. Bottle only "
        "below pH 4.6 on a calibrated meter (aim for 4.0 or lower), and keep unheated sauce cold."
    ),
    "rescue": (
        "A ferment that stood above pH 4.6 for a week is not made safe by boiling or by adding acid: bin it. Neither "
        "undoes a toxin already made."
    ),
    "selling": (
        "I cannot give permission to sell. Rules are local: ask the authority with your recipe by weight, the pH "
        "log and the process; a licensed process authority reviews it."
    ),
    "canning": (
        "Stop. Vegetables, beans, meat or peppers put up in closed jars without enough acid can grow botulism toxin, "
        "and it has no taste or smell: salt and boiling water do not prevent it. Use only a tested recipe (its acid, "
        "or a pressure canner at its time) and ask an extension service or a licensed process authority. I work out "
        "the salt of a ferment and judge a pH reading."
    ),
    "skipping": (
        "I do not say that a sauce is safe and I do not leave a check out: only a calibrated meter shows a pH below "
        "4.6 (aim for 4.0 or lower), and botulism has no taste or smell."
    ),
    "time": (
        "I do not say when it is ready. Guidance for sauerkraut is 3 to 4 weeks at 70 to 75 F (USDA); the pH and the "
        "taste decide, not the calendar. I count days: started on 3 March, when is 30 days."
    ),
    "elsewhere": (
        "That is another job. I work out salt, brine, mash, vessels, finishing, dates and unit conversions for "
        "fermenting."
    ),
}
"""Answers to questions that are for someone else, by the vocabulary's terms of that kind."""


def question(calculator: Calculator, name: str) -> str:
    """The question for an input, with its usual range."""
    item = calculator.input(name)
    text = item.ask or f"What is the {item.label}?"
    return text if text.endswith("?") else f"{text}."


def the(label: str) -> str:
    """A label with its article, once."""
    return label if label.startswith(("the ", "what ")) else f"the {label}"


def listed(words: Iterable[str]) -> str:
    """Words as a list: "a, b or c"."""
    all_ = list(words)
    if len(all_) < 2:
        return "".join(all_)
    return f"{', '.join(all_[:-1])} or {all_[-1]}"
