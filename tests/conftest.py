"""Tables that the tests print at the end of a run: published figures beside ours."""

import os
import tempfile
from pathlib import Path

import pytest

_tables = {}


def pytest_configure(config):
    """Lessons and tests run without the records of whoever sits at this machine."""
    os.environ["WOODCALC_MY_WOOD"] = tempfile.mkdtemp(prefix="woodcalc-")


SLOW = (
    "tests/browser/",
    "tests/hub/",
    "tests/test_start",
    "lessons/",
    "tests/test_matrix",
    "tests/test_panels",
    "tests/test_gates",
    "tests/test_handout",
    # fits, sweeps and calibration
    "tests/test_drying",
    "tests/test_kiln",
    "tests/test_sawing",
    "tests/test_settings_sheet",
    "tests/test_slab.py::test_finite_elements",
    "tests/test_climate.py::test_every_station",
    "woodcalc/drying",
    "woodcalc/plan",
    # one awkward row at a time through every page
    "tests/test_record_slips",
    "tests/test_record_verdicts",
    "tests/test_lesson_own_wood",
    "tests/test_script_in_cells",
    "tests/test_lesson_records",
    "tests/test_plan",
    "tests/test_lesson_plan",
    "tests/test_desk",
    "tests/test_worksheets",
    "tests/test_record_checks",
    "tests/test_record_believed",
    "tests/test_record_trial",
    # other programs at work, and killed
    "tests/test_choices.py::test_four_lessons",
    "tests/test_copies.py::test_the_command",
    "tests/test_keep.py::test_killed",
    "tests/test_keep.py::test_races",
    "tests/test_kept.py::test_nothing_confirmed",
    "tests/test_kept.py::test_two_lessons",
    "tests/test_records.py::test_killed",
    "tests/test_records.py::test_two_programs",
    "tests/test_reruns",
    "tests/bench/",
)


def pytest_collection_modifyitems(items):
    """What is `quick` is told by its place."""
    for item in items:
        if not item.nodeid.startswith(SLOW):
            item.add_marker(pytest.mark.quick)


@pytest.fixture(autouse=True)
def nothing_written_yet():
    """What one test types into a box does not come back in the next."""
    yield
    (Path(os.environ["WOODCALC_MY_WOOD"]) / "written.json").unlink(missing_ok=True)


@pytest.fixture
def report():
    """Give a function `report(title, dataframe)` that prints the table in the summary of the test run."""

    def add(title, table):
        _tables[title] = _as_text(table)

    return add


@pytest.fixture
def scored():
    """Give a function `scored(number, column=words, ...)`: the scorecard says what was just measured."""
    from woodcalc import tables

    card = tables.read("scorecard").set_index("number")

    def check(number, **measured):
        for column, words in measured.items():
            said = card.loc[number, column]
            assert words in said, f"data/scorecard.csv, {number}, {column}: measured {words!r}, says {said!r}"

    return check


def _as_text(table):
    if not hasattr(table, "to_string"):
        return str(table)
    return table.to_string(index=False, float_format=lambda x: f"{x:.4g}")


def pytest_sessionfinish(session):
    """A worker of several hands its tables over."""
    if hasattr(session.config, "workeroutput"):
        session.config.workeroutput["tables"] = _tables


@pytest.hookimpl(optionalhook=True)
def pytest_testnodedown(node):
    _tables.update(getattr(node, "workeroutput", {}).get("tables", {}))


def pytest_terminal_summary(terminalreporter):
    for title, text in sorted(_tables.items()):
        terminalreporter.section(title, sep="-")
        terminalreporter.write_line(text)
