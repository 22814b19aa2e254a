"""Tables that the tests print at the end of a run: published figures beside ours."""

import os
import tempfile
from pathlib import Path

import pytest

_tables = {}


def pytest_configure(config):
    """Lessons and tests run without the records of whoever sits at this machine."""
    os.environ["WOODCALC_MY_WOOD"] = tempfile.mkdtemp(prefix="woodcalc-")


@pytest.fixture(autouse=True)
def nothing_written_yet():
    """What one test types into a box does not come back in the next."""
    yield
    (Path(os.environ["WOODCALC_MY_WOOD"]) / "written.json").unlink(missing_ok=True)


@pytest.fixture
def report():
    """Give a function `report(title, dataframe)` that prints the table in the summary of the test run."""

    def add(title, table):
        _tables[title] = table.copy() if hasattr(table, "copy") else str(table)

    return add


def pytest_terminal_summary(terminalreporter):
    for title, table in _tables.items():
        terminalreporter.section(title, sep="-")
        text = (
            table
            if isinstance(table, str)
            else table.to_string(index=False, float_format=lambda x: f"{x:.4g}")
        )
        terminalreporter.write_line(text)
