"""The declarations as reference tables, for README.md, DEVELOPERS.md and help.

Pure: ``python -m tests.docs --write`` puts the tables into the files, and a test holds
that they are fresh.
"""

from __future__ import annotations

import re

from assistant.declare import Calculator, Input
from assistant.rules.glossary import glossary
from assistant.rules.salt import RULES
from assistant.rules.watch import RULES as WATCH
from assistant.show import said
from assistant.talk.table import ACTS, TABLE
from assistant.trade import CALCULATORS


def _cell(text: str) -> str:
    return text.replace("|", "\\|").replace("\n", " ")


def limits(item: Input) -> str:
    """What a quantity can be, in words: "0.5 to 30%", "up to 5000 kg"."""
    low = "" if item.limit.low <= 0 else f"{item.limit.low:g} to "
    if item.limit.unit == "date":
        low = f"{said(item.limit.low, 'date')} to "
    top = said(item.limit.high, item.limit.unit)
    return f"{low or 'up to '}{top}"


def _taken(item: Input) -> str:
    """What is assumed, or what "the usual" means."""
    if item.default is not None:
        if item.default.value is None:
            return "by kind: " + ", ".join(sorted(item.default.by_kind))
        extra = f" ({len(item.default.by_kind)} kinds have their own)" if item.default.by_kind else ""
        return f"{item.default.text}{extra}"
    if item.suggest is not None:
        return f'"the usual" is {said(*item.suggest)}'
    return ""


def calculator(one: Calculator) -> str:
    """One calculator as a section of Markdown."""
    rows = [f"### {one.title}", "", f"Works out {one.does}.", ""]
    rows += [f"- Say: `{example.say}`" for example in one.examples]
    rows += ["", "| quantity | what | range | assumed or usual |", "|---|---|---|---|"]
    for item in one.inputs:
        what = f"{item.label}, asked" if item.ask else item.label
        rows.append(f"| {item.name} | {_cell(what)} | {limits(item)} | {_cell(_taken(item))} |")
    rows += ["", "Relations, each solved for any quantity in it that is listed:", ""]
    for relation in one.relations:
        rows.append(f"- `{relation.text}` (gives {', '.join(sorted(relation.solve))})")
    rows += ["", f"Sources: {'; '.join(str(source) for source in one.sources)}.", ""]
    return "\n".join(rows)


def calculators() -> str:
    """All calculators."""
    return "\n".join(calculator(one) for one in CALCULATORS).rstrip()


def rules() -> str:
    """All cautions as a table: those on an answer, then those of the watch over a batch."""
    rows = ["| caution | severity | looks at | says | source |", "|---|---|---|---|---|"]
    for rule in (*RULES, *WATCH):
        sentence = rule.sentence.replace("{end}", "X%").replace("{level_or_fill}", "X%")
        sentence = re.sub(r"{\w+}", "X", sentence)
        looks = ", ".join(rule.looks_at) or "what is said"
        rows.append(f"| {rule.id} | {rule.severity} | {looks} | {_cell(sentence)} | {_cell(str(rule.source))} |")
    return "\n".join(rows)


def words() -> str:
    """The words of the trade as a table, by the alphabet."""
    rows = ["| word | also | what it is | source |", "|---|---|---|---|"]
    for one in sorted(glossary().terms, key=lambda term: term.name.casefold()):
        also = ", ".join(name for name in one.names if not one.name.casefold().startswith(name.rstrip("s")))
        rows.append(f"| {one.name} | {_cell(also)} | {_cell(one.text)} | {_cell(str(one.source))} |")
    return "\n".join(rows)


def table() -> str:
    """Mode by act, as it drives the talk."""
    rows = ["| act | " + " | ".join(TABLE) + " |", "|---|" + "---|" * len(TABLE)]
    for act in ACTS:
        rows.append(f"| {act} | " + " | ".join(TABLE[mode][act] for mode in TABLE) + " |")
    return "\n".join(rows)
