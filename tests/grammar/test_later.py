"""Expressions that are compiled at their first use: each is a good one, and none is compiled before."""

from __future__ import annotations

import copy
import gc
import importlib
import pickle
import pkgutil
import re
import warnings

import pytest

import assistant
import grammar
from grammar.later import _UNUSED, _Expression, make, regex


def everything() -> list[_Expression]:
    """Every expression of the program, its modules imported."""
    for room in (grammar, assistant):
        for module in pkgutil.walk_packages(room.__path__, f"{room.__name__}."):
            if not module.name.endswith("__main__"):
                importlib.import_module(module.name)
    return [one for one in gc.get_objects() if isinstance(one, _Expression)]


def test_each_expression_of_the_program_can_be_compiled() -> None:
    """No expression of any room is faulty, though most are compiled only when a line needs them."""
    found = everything()
    assert len(found) > 200
    for one in found:
        with warnings.catch_warnings():
            warnings.simplefilter("error")
            re.compile(one._text, one._flags)


def test_it_matches_as_a_compiled_one_does() -> None:
    """All that is done with a compiled expression can be done with one that is compiled later."""
    text = "a1 B22 c"
    now, later = re.compile(r"([a-z])(\d+)", re.IGNORECASE), regex(r"([a-z])(\d+)", re.IGNORECASE)
    assert later.findall(text) == now.findall(text) == [("a", "1"), ("B", "22")]
    assert [one.span() for one in later.finditer(text)] == [one.span() for one in now.finditer(text)]
    assert later.sub("-", text) == now.sub("-", text) == "- - c"
    assert (later.pattern, later.flags, later.groups) == (now.pattern, now.flags, now.groups)
    found = later.match(text)
    assert found is not None and found.groups() == ("a", "1")


def test_nothing_is_compiled_before_its_first_use() -> None:
    """Making an expression, or copying it, compiles nothing; a faulty one says so when it is used."""
    faulty = regex("(")
    copy.copy(faulty)
    pickle.dumps(faulty)
    with pytest.raises(re.error):
        faulty.search("x")


def test_the_rest_can_be_made_beforehand() -> None:
    """In small steps all that nobody has used are made, and no more at once than was said; a faulty one is left."""
    made, faulty = [regex(f"a{{{one}}}") for one in range(5)], regex("(")
    before = len(_UNUSED)
    assert make(3)
    assert before - len(_UNUSED) == 3
    while make(50):
        pass
    assert all("search" in vars(one) for one in made)
    assert not [one for one in made if one.fullmatch("aa") and one is not made[2]]
    with pytest.raises(re.error):
        faulty.search("x")
