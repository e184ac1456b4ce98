"""What is made when it is first used: regular expressions and modules.

A cold answer looks at a few dozen of the several hundred expressions of the program and at half of its modules;
making them all would take longer than the answer.
"""

from __future__ import annotations

import contextlib
import re
import weakref
from importlib import import_module
from typing import Any, cast


class _Expression:
    """Stands for an expression until somebody matches with it; from then on it has the compiled one's own methods."""

    def __init__(self, text: str, flags: int) -> None:
        self._text = text
        self._flags = flags
        _UNUSED.add(self)

    def __getattr__(self, name: str) -> Any:
        if name.startswith("__"):  # copy and pickle ask for these before there is anything to copy
            raise AttributeError(name)
        made = re.compile(self._text, self._flags)
        for each in ("search", "match", "fullmatch", "finditer", "findall", "sub", "subn", "split", "pattern", "flags"):
            self.__dict__[each] = getattr(made, each)
        _UNUSED.discard(self)
        return getattr(made, name)


_UNUSED: weakref.WeakSet[_Expression] = weakref.WeakSet()


def make(most: int) -> bool:
    """Compiles up to so many of the expressions that nobody has used yet; whether it found any.

    For a moment in which nobody waits: whoever talks on then meets none that has to be made first.
    """
    found = [one for one, _ in zip(_UNUSED, range(most), strict=False)]
    for one in found:
        with contextlib.suppress(re.error):  # told where it is used
            one.__getattr__("search")
        _UNUSED.discard(one)
    return bool(found)


def regex(text: str, flags: int = 0) -> re.Pattern[str]:
    """An expression as ``re.compile`` makes it, but made at its first use.

    A fault in the text shows only then: ``tests/grammar/test_later.py`` uses every one.
    """
    return cast("re.Pattern[str]", _Expression(text, flags))


class _Module:
    """Stands for a module: what is asked of it is asked of the module, which is imported then."""

    def __init__(self, name: str) -> None:
        self._name = name

    def __getattr__(self, name: str) -> Any:
        if name.startswith("__"):
            raise AttributeError(name)
        return getattr(import_module(self._name), name)


def module(name: str) -> Any:
    """A module that is imported when something of it is first used, for one that few lines need.

    It stands in the ``else`` of an ``if TYPE_CHECKING`` that imports the same, so that its types and the order of the
    rooms are checked as those of any other.
    """
    return _Module(name)
