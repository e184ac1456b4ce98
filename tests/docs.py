"""The generated parts of README.md and DEVELOPERS.md, and the table of factors that pint works out.

python -m tests.docs --write
"""

from __future__ import annotations

import re
import sys
from collections.abc import Collection
from itertools import chain
from pathlib import Path

from assistant import reference
from assistant.console import keys
from assistant.console.settings import SETTINGS
from grammar import measures

ROOT = Path(__file__).parent.parent
TALKS = ("01-first-brine", "02-beginner-asked", "03-the-weak-brine")


def talks() -> str:
    """Three scenario files, as they stand."""
    found = []
    for name in TALKS:
        text = (ROOT / "scenarios" / f"{name}.chat").read_text(encoding="utf-8").rstrip()
        found.append(f"`scenarios/{name}.chat`\n\n```\n{text}\n```")
    return "\n\n".join(found)


def factors() -> str:
    """grammar/factors.txt as pint gives it now."""
    units = measures.registry()
    kinds: dict[str, list[str]] = {}
    for name in dict.fromkeys(units.get_name(one) for one in units):
        kinds.setdefault(str(units.Quantity(1, name).dimensionality), []).append(name)
    zeros = {}
    for name in chain.from_iterable(kinds.values()):
        converter = units._units[name].converter
        if not converter.is_multiplicative:
            zeros[name] = (converter.scale, converter.offset)
    rows = [measures.title_of_factors()]
    for names in kinds.values():
        rows.append(" ".join((measures.COLUMNS, *names)))
        rows += [" ".join((one, *(_factor(one, to, zeros) for to in names))) for one in names]
    rows += [f"{measures.ZERO} {name} {scale!r} {offset!r}" for name, (scale, offset) in zeros.items()]
    return "\n".join(rows) + "\n"


def _factor(unit: str, to: str, zeros: Collection[str]) -> str:
    if len({unit, to} & set(zeros)) and any(one.startswith("delta_") for one in (unit, to)):
        return measures.NEVER  # a temperature and a difference of temperatures
    counted = ["kelvin" if one in zeros else one for one in (unit, to)]
    return repr(float(measures.registry().Quantity(1, counted[0]).to(counted[1]).magnitude))


def settings() -> str:
    """What can be set, as it is declared."""
    rows = [f"| `{one.key}` | {one.may_be} | {one.usual} | {one.brief} |" for one in SETTINGS]
    return "\n".join(["| setting | may be | if nothing is said | what it does |", "|---|---|---|---|", *rows])


PARTS = {
    "README.md": {
        "keys": keys.table,
        "talks": talks,
        "settings": settings,
        "calculators": reference.calculators,
        "rules": reference.rules,
        "words": reference.words,
    },
    "DEVELOPERS.md": {"table": reference.table},
}


def fresh(name: str) -> str:
    """A file's text with its generated parts made anew."""
    text = (ROOT / name).read_text(encoding="utf-8")
    for mark, make in PARTS[name].items():
        pattern = re.compile(rf"(<!-- {mark} -->\n).*?(<!-- end {mark} -->)", re.DOTALL)
        assert pattern.search(text), f"{name} has no part {mark}"
        before, after = pattern.search(text).group(1, 2)  # type: ignore[union-attr]
        text = pattern.sub(lambda _: "@@", text).replace("@@", f"{before}\n{make()}\n\n{after}")
    return text


if __name__ == "__main__":
    if sys.argv[1:] != ["--write"]:
        sys.exit("usage: python -m tests.docs --write")
    for file in PARTS:
        (ROOT / file).write_text(fresh(file), encoding="utf-8")
    (ROOT / "grammar" / "factors.txt").write_text(factors(), encoding="utf-8")
