"""How long a learner waits: importing the package (target 0.5 s) and a lesson from top to bottom (target 8 s)."""

import subprocess
import sys
import tempfile

import nbformat
import pytest
from labtools import LESSONS, ROOT

from woodcalc.lesson.settle import run


def test_import(benchmark):
    benchmark.pedantic(
        lambda: subprocess.run([sys.executable, "-c", "import woodcalc"], check=True), rounds=5
    )


@pytest.mark.parametrize("lesson", LESSONS)
def test_lesson_from_top_to_bottom(lesson, benchmark):
    book = nbformat.read(ROOT / lesson, as_version=4)
    with tempfile.TemporaryDirectory() as wood:
        benchmark.pedantic(lambda: run(book, (ROOT / lesson).parent, wood), rounds=1)
