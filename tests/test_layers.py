"""The house rules: which room may import which, and where the world outside may be touched."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
LAYERS = (
    "grammar", "assistant.declare", "assistant.evaluate", "assistant.trade", "assistant.show", "assistant.rules",
    "assistant.batches", "assistant.replies", "assistant.talk", "assistant.walks", "assistant.reference",
    "assistant.book", "assistant.console",
)  # fmt: skip
"""Low to high; a module imports from its own layer or a lower one."""

ONLY_CONSOLE = {"prompt_toolkit", "platformdirs", "sqlite3", "argparse", "shutil", "os", "sys", "pathlib"}
NO_CALLS = {"print", "open", "input"}
NO_ATTRIBUTES = {"now", "today", "utcnow"}


def modules() -> list[tuple[str, Path]]:
    """Every module of the program by its dotted name."""
    found = []
    for package in ("grammar", "assistant"):
        for file in sorted((ROOT / package).rglob("*.py")):
            name = ".".join(file.relative_to(ROOT).with_suffix("").parts)
            found.append((name.removesuffix(".__init__"), file))
    return found


def layer(name: str) -> int:
    """The index of a module's layer, -1 for modules outside all layers."""
    for index, prefix in enumerate(LAYERS):
        if name == prefix or name.startswith(f"{prefix}."):
            return index
    return -1


def imports(tree: ast.AST) -> list[str]:
    """All modules a file imports, at any depth; type-checking imports too."""
    found = []
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            found += [one.name for one in node.names]
        elif isinstance(node, ast.ImportFrom) and node.module:
            found.append(node.module)
            found += [f"{node.module}.{one.name}" for one in node.names]
    return found


MODULES = modules()


@pytest.mark.parametrize(("name", "file"), MODULES, ids=[name for name, _ in MODULES])
def test_imports_point_down(name: str, file: Path) -> None:
    """No module imports from a higher room; grammar knows nothing of assistant."""
    own = layer(name)
    ours = [one for one in imports(ast.parse(file.read_text(encoding="utf-8"))) if layer(one) >= 0]
    if own < 0:
        assert name in ("assistant", "assistant.__main__")
        return
    assert [] == [one for one in ours if layer(one) > own]


@pytest.mark.parametrize(("name", "file"), MODULES, ids=[name for name, _ in MODULES])
def test_only_the_console_touches_the_world(name: str, file: Path) -> None:
    """Printing, files, clocks and terminals stand in the console only, the database in the book."""
    if name.startswith(("assistant.console", "assistant.book", "assistant.__main__")):
        return
    tree = ast.parse(file.read_text(encoding="utf-8"))
    roots = {one.split(".")[0] for one in imports(tree)}
    assert set() == roots & ONLY_CONSOLE
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
            assert node.func.id not in NO_CALLS
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute):
            assert node.func.attr not in NO_ATTRIBUTES


def test_trade_and_grammar_do_not_meet() -> None:
    """Calculators know no words' forms: of grammar they may use nothing but nothing."""
    for name, file in MODULES:
        if name.startswith("assistant.trade"):
            used = imports(ast.parse(file.read_text(encoding="utf-8")))
            assert [] == [one for one in used if one.startswith("grammar")]


def test_what_is_imported_later_is_imported_for_its_types_too() -> None:
    """A module made by ``later.module`` stands in an import of the same file, so that the rooms' order holds for it."""
    found = 0
    for name, file in MODULES:
        tree = ast.parse(file.read_text(encoding="utf-8"))
        later = [
            ast.literal_eval(node.args[0])
            for node in ast.walk(tree)
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "module"
        ]
        assert [] == [one for one in later if one not in imports(tree)], name
        found += len(later)
    assert found > 10
