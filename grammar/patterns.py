"""Regular expressions that are compiled when they are first used.

A cold answer looks at a few dozen of the several hundred expressions of the program; compiling
them all would take longer than the answer.
"""

from __future__ import annotations

import re
from typing import Any, cast


class _Later:
    """Stands for an expression until somebody matches with it; from then on it has the compiled one's own methods."""

    def __init__(self, text: str, flags: int) -> None:
        self._text = text
        self._flags = flags

    def __getattr__(self, name: str) -> Any:
        if name.startswith("__"):  # copy and pickle ask for these before there is anything to copy
            raise AttributeError(name)
        made = re.compile(self._text, self._flags)
        for each in ("search", "match", "fullmatch", "finditer", "findall", "sub", "subn", "split", "pattern", "flags"):
            self.__dict__[each] = getattr(made, each)
        return getattr(made, name)


def regex(text: str, flags: int = 0) -> re.Pattern[str]:
    """An expression as ``re.compile`` makes it, but made at its first use.

    A fault in the text shows only then: ``tests/grammar/test_patterns.py`` uses every one.
    """
    return cast("re.Pattern[str]", _Later(text, flags))
