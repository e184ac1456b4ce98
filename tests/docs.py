"""The generated parts of README.md and DEVELOPERS.md.

python -m tests.docs --write
"""

from __future__ import annotations

import re
import sys
from pathlib import Path

from assistant import reference
from assistant.console import keys

ROOT = Path(__file__).parent.parent
TALKS = ("01-first-brine", "02-beginner-asked", "03-the-weak-brine")


def talks() -> str:
    """Three scenario files, as they stand."""
    found = []
    for name in TALKS:
        text = (ROOT / "scenarios" / f"{name}.chat").read_text(encoding="utf-8").rstrip()
        found.append(f"`scenarios/{name}.chat`\n\n```\n{text}\n```")
    return "\n\n".join(found)


PARTS = {
    "README.md": {
        "keys": keys.table,
        "talks": talks,
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
