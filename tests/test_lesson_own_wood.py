"""Every lesson runs on records that are only begun: a learner who keeps one table sees no traceback in another."""

import shutil
import warnings
from pathlib import Path

import nbformat
import pytest

from woodcalc import choices, records

LESSONS = sorted((Path(__file__).parents[1] / "lessons").glob("*.ipynb"))


@pytest.mark.parametrize("kept", ["readings.csv", "logs.csv", "stacks.csv"])
@pytest.mark.parametrize("path", LESSONS, ids=lambda p: p.stem)
def test_a_lesson_runs_where_one_table_is_kept(path, kept, tmp_path, monkeypatch, capsys):
    table = records.read(records.KETTLE_HOLLOW / kept)
    if kept == "stacks.csv":  # a place need not be named
        table = table.assign(place="", start_mc_pct=float("nan"), width_ft=float("nan"))
    (tmp_path / "my-wood").mkdir()
    table.attrs.clear()  # a file of its own
    records.write(tmp_path / "my-wood" / kept, table)
    shutil.copytree(path.parent / "pictures", tmp_path / "pictures")
    monkeypatch.setenv(choices.VARIABLE, str(tmp_path / "my-wood"))
    monkeypatch.chdir(tmp_path)
    names = {}
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        for cell in nbformat.read(path, as_version=4).cells:
            if cell.cell_type == "code":
                exec(cell.source, names)  # noqa: S102 - the lesson's own cells
    assert capsys.readouterr().err == ""
