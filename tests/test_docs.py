"""The documents cannot lag behind the program."""

from __future__ import annotations

import re
import subprocess
from pathlib import Path

import pytest

from assistant.console.scenario import parse
from assistant.rules.salt import RULES
from assistant.trade import CALCULATORS
from tests import docs

ROOT = Path(__file__).parent.parent


@pytest.mark.parametrize("name", sorted(docs.PARTS))
def test_generated_parts_are_fresh(name: str) -> None:
    """What is generated in a document is what the program would generate now."""
    assert docs.fresh(name) == (ROOT / name).read_text(encoding="utf-8")


def test_everything_is_in_the_reference() -> None:
    """Every calculator and every rule stands in the README."""
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    for one in CALCULATORS:
        assert f"### {one.title}\n" in text
    for rule in RULES:
        assert f"| {rule.id} |" in text


def test_ci_calls_the_readmes_test_command() -> None:
    """.ci/run holds the README's second command, word for word."""
    blocks = re.findall(r"```sh\n(.*?)\n```", (ROOT / "README.md").read_text(encoding="utf-8"), re.DOTALL)
    assert 2 == len(blocks)
    assert blocks[1] in (ROOT / ".ci" / "run").read_text(encoding="utf-8")


def test_the_job_comes_first() -> None:
    """The README's first paragraph tells the job."""
    first = (ROOT / "README.md").read_text(encoding="utf-8").split("\n\n")[1]
    assert "chillies" in first
    assert "salt" in first


def test_top_level_holds_nothing_else() -> None:
    """The folder holds the agreed entries and dotfiles only."""
    listed = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=False)  # noqa: S607
    names = {line.split("/")[0] for line in listed.stdout.split() if not line.startswith(".")}
    agreed = {"pyproject.toml", "README.md", "DEVELOPERS.md", "assistant", "grammar", "tests", "scenarios"}
    assert names <= agreed


def test_talks_of_the_readme_are_run() -> None:
    """The README's talks are scenario files, which the scenario tests run."""
    assert 3 == len(docs.TALKS)
    for name in docs.TALKS:
        assert parse(ROOT / "scenarios" / f"{name}.chat")
