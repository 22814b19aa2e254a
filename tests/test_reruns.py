"""A lesson that is run again in the same engine: the boxes of the run before are gone, and cost nothing."""

import json
import subprocess
import sys
from pathlib import Path

import pytest

LESSON = next((Path(__file__).parents[1] / "lessons").glob("08-*.ipynb"))
# A shell of its own, as a kernel has; the package is imported by the first cell that needs it. At the end the cell of
# the guess runs once more, after code that no cell of the notebook holds has made a control.
RUNS = """
import json, sys
import comm
from ipywidgets.widgets import widget
from traitlets.config import Config
from IPython.core.interactiveshell import InteractiveShell

shell = InteractiveShell.instance(config=Config(HistoryManager={"enabled": False}))
cells = [c for c in json.load(open(sys.argv[1]))["cells"] if "woodcalc.lesson" in "".join(c["source"])]
told = []
for _ in range(3):
    for cell in cells:
        assert shell.run_cell("".join(cell["source"]), cell_id=cell["id"]).success, cell["id"]
    told.append((len(widget._instances), len(comm.get_comm_manager().comms)))
first = dict(widget._instances)
shell.run_cell("import ipywidgets; mine_own = ipywidgets.IntSlider(3)")
shell.run_cell("mine.field.value = '75'", cell_id="my-own")
shell.run_cell("".join(cells[0]["source"]), cell_id=cells[0]["id"])
kept = [m for m in first if m in widget._instances]
mine, guess = shell.user_ns["mine_own"], shell.user_ns["mine"]
print(json.dumps(dict(alive=told, all=len(first), kept=len(kept), mine=bool(mine.comm), guess=guess.field.value)))
"""


@pytest.fixture(scope="module")
def told(tmp_path_factory):
    """What there was after each of three runs of a lesson, and after one cell more."""
    home = tmp_path_factory.mktemp("shell")
    ran = subprocess.run(
        [sys.executable, "-c", RUNS, LESSON],
        capture_output=True,
        text=True,
        cwd=home,
        env={"WOODCALC_MY_WOOD": str(home / "my-wood"), "HOME": str(home), "IPYTHONDIR": str(home)},
    )
    assert ran.returncode == 0, ran.stderr + ran.stdout[-2000:]
    return json.loads(ran.stdout.strip().splitlines()[-1])


def test_no_run_leaves_more_behind_than_the_first(told):
    (controls, lines), *later = told["alive"]
    assert controls > 100 and later == [[controls, lines]] * 2


def test_only_what_the_same_cell_made_is_closed(told):
    assert told["all"] // 2 < told["kept"] < told["all"]  # the other cells' boxes work on
    assert told["mine"]
    assert told["guess"] == "75"  # what was typed is on the disk
