"""The gates that code passes: ruff's rules and form, and mypy on the types of the package."""

import ast
import re
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
CODE = ("woodcalc", "tests", "lessons/start.py")


@pytest.mark.parametrize(
    "command", [("ruff", "check", *CODE), ("ruff", "format", "--check", *CODE), ("mypy",)], ids=" ".join
)
def test_the_code_passes(command):
    done = subprocess.run(
        [sys.executable, "-m", *command], cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stdout + done.stderr


NONSENSE = """
from woodcalc import air, logs, sizes

air.emc_pct("warm", 3)
sizes.board_feet("4/4", "six", 8)
logs.doyle_bf(16, None)
air.emc_pct(70, 50).upper()
named: str = air.emc_pct(70, 50)
import woodcalc
woodcalc.loggs
woodcalc.air.emc_pct("warm", 3)
"""
SENSE = """
import numpy as np
from woodcalc import air, logs, sizes

one: float = air.emc_pct(70, 50)
several: np.ndarray = air.emc_pct([70, 80], np.arange(50, 52))
sizes.board_feet(["4/4", "8/4"], 6, (8, 10)).sum()
import woodcalc
woodcalc.air.emc_pct(70, 50)
"""


@pytest.mark.parametrize(
    "code, refused", [(NONSENSE, [4, 5, 6, 7, 8, 10, 11]), (SENSE, [])], ids=("nonsense", "sense")
)
def test_the_type_checker_knows_numbers_from_words(code, refused, tmp_path):
    path = tmp_path / "calls.py"
    path.write_text(code)
    done = subprocess.run(
        [sys.executable, "-m", "mypy", str(path)], cwd=ROOT, capture_output=True, text=True, check=False
    )
    lines = re.findall(r"^.*calls\.py:(\d+): error", done.stdout, re.MULTILINE)
    assert list(map(int, lines)) == refused, done.stdout + done.stderr


# What tests may read of the package's insides, and why nothing public does.
INSIDES = {
    "_NEAR_KM": "a choice that a test makes again on half of the places",
    "_OWN_SHARE": "the same",
    "_WAVES": "the same",
    "_long_term": "the same",
    "_Evidence": "the misfit that a fit makes least: its derivatives are checked",
    "_kiln_days": "a table of the fit, counted for the scorecard",
    "_sapwood_witnesses": "a step of the fit, printed beside what is published",
    "_air": "a stack of chance is dried in the forecast's own air",
    "_prior": "the same, from its own doubts",
    "_Search": "the best day to load a kiln, found again day by day",
    "_points": "what is left of the doubts after readings, weighed",
    "_sync": "a disk that is full at this very step",
    "_write": "the same, after so many files",
    "_written": "the same",
    "_FEW": "rows that are judged as a whole: a large book must come out the same so",
    "_lives": "another window, open or gone",
    "_heard": "what a browser sends, without one",
    "_opened": "what Jupyter's server calls",
    "_worth": "what fails after a row is saved",
}


def inside_names(folder):
    """The private names that files define: functions, classes, constants, members."""
    for path in sorted(folder.rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.FunctionDef | ast.ClassDef):
                yield node.name
            elif isinstance(node, ast.Name) and isinstance(node.ctx, ast.Store):
                yield node.id
            elif isinstance(node, ast.Attribute) and isinstance(node.ctx, ast.Store):
                yield node.attr


def names_read(path):
    """The names that a test file reads of anything: attributes, imports, what a monkeypatch is told."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Attribute) and ast.unparse(node.value) not in ("self", "cls"):
            yield node.attr
        elif isinstance(node, ast.ImportFrom) and (node.module or "").startswith("woodcalc"):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.Call) and ast.unparse(node.func).endswith(("setattr", "getattr", "patch")):
            yield from (arg.value for arg in node.args if isinstance(arg, ast.Constant))


def test_tests_read_little_of_the_insides():
    private = {n for n in inside_names(ROOT / "woodcalc") if re.match("_(?!_|repr_|load_jupyter)", n)}
    read = {name for path in (ROOT / "tests").rglob("test_*.py") for name in names_read(path)}
    assert read & private == set(INSIDES) and len(INSIDES) < 20


def listed(name):
    """A tuple or a dict of strings that `conftest.py` defines."""
    tree = ast.parse((ROOT / "tests" / "conftest.py").read_text(encoding="utf-8"))
    [value] = [n.value for n in tree.body if isinstance(n, ast.Assign) and ast.unparse(n.targets[0]) == name]
    return ast.literal_eval(value)


def test_what_is_listed_as_slow_is_there():
    """A test that was renamed would become quick unseen."""
    for place in listed("SLOW"):
        path, _, name = place.partition("::")
        assert any(ROOT.glob(f"{path.rstrip('/')}*")), place
        assert not name or f"def {name}" in (ROOT / path).read_text(encoding="utf-8"), place


def test_what_is_listed_to_begin_with_is_there():
    """A file that was renamed would come last, and one worker would end long after the others."""
    together = listed("TOGETHER")
    assert all(any(ROOT.glob(f"{path.rstrip('/')}*")) for path in together)
    assert all(place in together.values() or (ROOT / place).is_file() for place in listed("FIRST"))
