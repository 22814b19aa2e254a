"""The gates that code passes: ruff's rules and form, and mypy on the types of the package."""

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
"""
SENSE = """
import numpy as np
from woodcalc import air, logs, sizes

one: float = air.emc_pct(70, 50)
several: np.ndarray = air.emc_pct([70, 80], np.arange(50, 52))
sizes.board_feet(["4/4", "8/4"], 6, (8, 10)).sum()
"""


@pytest.mark.parametrize(
    "code, refused", [(NONSENSE, [4, 5, 6, 7, 8]), (SENSE, [])], ids=("nonsense", "sense")
)
def test_the_type_checker_knows_numbers_from_words(code, refused, tmp_path):
    path = tmp_path / "calls.py"
    path.write_text(code)
    done = subprocess.run(
        [sys.executable, "-m", "mypy", str(path)], cwd=ROOT, capture_output=True, text=True, check=False
    )
    lines = re.findall(r"^.*calls\.py:(\d+): error", done.stdout, re.MULTILINE)
    assert list(map(int, lines)) == refused, done.stdout + done.stderr
