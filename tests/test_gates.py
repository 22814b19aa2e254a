"""The gates that code passes: ruff's rules and form, and mypy on the types of the package."""

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
