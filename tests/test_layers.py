"""Imports run one way: lessons -> figures -> calculators; and importing the package loads nothing heavy."""

import ast
import subprocess
import sys
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parents[1] / "woodcalc"
FORBIDDEN = {
    "calculators": (
        "ipywidgets",
        "anywidget",
        "IPython",
        "matplotlib",
        "woodcalc.figures",
        "woodcalc.lesson",
    ),
    "figures": ("ipywidgets", "anywidget", "IPython", "woodcalc.lesson"),
    "lesson": (),
}
# The plan page holds pictures: it asks the figures for them when it is written, not when it is imported. The command
# line only hands over to the lessons.
LATE = {"plan.py": ("woodcalc.figures",), "__main__.py": ("woodcalc.lesson",)}


def imported(path):
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            yield from (f"{node.module}.{alias.name}" for alias in node.names)


@pytest.mark.parametrize(
    "path", sorted(PACKAGE.rglob("*.py")), ids=lambda p: p.relative_to(PACKAGE).as_posix()
)
def test_imports_run_one_way(path):
    parts = path.relative_to(PACKAGE).parts
    layer = parts[0] if len(parts) > 1 else "calculators"
    late = LATE.get(path.name, ())
    wrong = [
        name
        for name in imported(path)
        if any(name == f or name.startswith(f + ".") for f in FORBIDDEN[layer] if f not in late)
    ]
    assert wrong == []


def test_importing_the_package_loads_no_heavy_library():
    heavy = "('numpy', 'pandas', 'matplotlib', 'ipywidgets')"
    code = f"import sys, woodcalc; print([m for m in {heavy} if m in sys.modules])"
    assert subprocess.run([sys.executable, "-c", code], capture_output=True, text=True).stdout.strip() == "[]"


def test_a_module_loads_when_it_is_asked_for():
    """`import woodcalc` alone loads no calculator; `woodcalc.logs` then does."""
    code = (
        "import sys, woodcalc; assert 'woodcalc.logs' not in sys.modules; "
        "assert woodcalc.logs.doyle_bf(16, 16) == 144; assert not hasattr(woodcalc, 'loggs')"
    )
    subprocess.run([sys.executable, "-c", code], check=True)
