"""What a cold answer does not load: the start stays short however much the program can do."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent.parent
QUESTIONS = (
    "brine for 3 kg in a 10 L crock at 2.5%",
    "mash of 4 kg of chillies at 3%",
    "how big a jar for 2 kg of mash",
)

NOT_NEEDED = {
    "pint": "its factors stand in a table",
    "prompt_toolkit": "there is no prompt",
    "sqlite3": "there is no book yet",
    "tomllib": "the parsed tables are kept",
    "html": "nothing is drawn",
    "statistics": "no readings are compared",
    "importlib.resources": "files are read without it",
    "assistant.batches.batch": "there is no batch",
    "assistant.batches.events": "nothing is entered",
    "assistant.batches.watch": "there is no batch to watch",
    "assistant.batches.label": "no label is asked for",
    "assistant.batches.ingredients": "no label is asked for",
    "assistant.batches.chart": "nothing is drawn",
    "assistant.batches.axes": "nothing is drawn",
    "assistant.batches.heating": "nothing is drawn",
    "assistant.rules.wrong": "no sign that something is wrong is told",
    "assistant.rules.glossary": "no word is asked for",
    "assistant.walks.plan": "there is no walk",
    "assistant.trade.bench_curve": "there is no bench trial",
    "assistant.console.chat": "there is no prompt",
    "assistant.console.papers": "no paper is written",
    "assistant.console.jsonl": "no JSON is asked for",
}
"""Modules, and why a plain answer needs them not."""

RUN = """
import json, sys
from assistant.console.main import main
code = main(["ask", sys.argv[1]])
print(json.dumps([code, sorted(sys.modules)]))
"""

COUNT = """
import json, re, sys
made = []
def compiled(pattern, flags=0, plain=re._compiler.compile):
    frame = sys._getframe(1)
    while frame.f_code.co_filename == re.__file__:
        frame = frame.f_back
    made.append([frame.f_globals.get("__name__", ""), str(pattern)])
    return plain(pattern, flags)
re._compiler.compile = compiled
import assistant.console.once, assistant.walks.guide
print(json.dumps([one for one in made if one[0].split(".")[0] in ("assistant", "grammar")]))
"""


def started(home: Path, code: str, *arguments: str) -> object:
    """What a fresh interpreter prints last, as JSON; its folders are those of the test."""
    names = ("XDG_CACHE_HOME", "XDG_DATA_HOME", "XDG_CONFIG_HOME", "XDG_STATE_HOME", "HOME", "LOCALAPPDATA", "APPDATA")
    env = {**os.environ, **{name: str(home) for name in names}}
    done = subprocess.run(
        [sys.executable, "-c", code, *arguments], capture_output=True, text=True, check=True, env=env, cwd=ROOT
    )
    return json.loads(done.stdout.splitlines()[-1])


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Folders that one start has filled with what is kept for the next."""
    folder = tmp_path_factory.mktemp("home")
    started(folder, RUN, QUESTIONS[0])
    return folder


@pytest.mark.parametrize("question", QUESTIONS)
def test_a_plain_question_loads_none_of_these(home: Path, question: str) -> None:
    """From the second start on, a sum is answered without pint, the book, the account, charts, walks and symptoms."""
    code, loaded = started(home, RUN, question)  # type: ignore[misc]
    assert code == 0
    assert "assistant.talk.turn" in loaded
    assert [] == [f"{name}: {why}" for name, why in NOT_NEEDED.items() if name in loaded]


def test_importing_compiles_no_expression(home: Path) -> None:
    """Expressions are compiled by the line that needs them; the imports need one, for the names in formulas."""
    assert started(home, COUNT) == [["grammar.later", "[a-z_]+"]]
