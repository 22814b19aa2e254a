"""A cell that runs again: the controls that it made before are closed, so that they neither answer nor pile up.

Without it the boxes of every earlier run live on, in the engine and in the page, and each run is slower than the last.
"""

from __future__ import annotations

from typing import Any

from IPython import get_ipython
from ipywidgets.widgets import widget as _widgets


class Reruns:
    """The controls that each cell of a notebook has made, by the cell's id; made by `watch`.

    Parameters
    ----------
    shell : IPython.core.interactiveshell.InteractiveShell
        The one whose cells are followed.
    """

    def __init__(self, shell: Any) -> None:
        self._made: dict[str, set[str]] = {}
        self._before = set(_widgets._instances)  # the first cell is at work by now
        shell.events.register("pre_run_cell", self._begins)
        shell.events.register("post_run_cell", self._ends)

    def _begins(self, info: Any) -> None:
        if cell := getattr(info, "cell_id", None):  # none: code that no cell of the notebook holds
            for model in self._made.pop(cell, ()):
                if made := _widgets._instances.get(model):
                    made.close()
            self._before = set(_widgets._instances)

    def _ends(self, result: Any) -> None:
        if cell := getattr(result.info, "cell_id", None):
            self._made[cell] = set(_widgets._instances) - self._before


def watch() -> None:
    """Follow the cells of the notebook that this runs in, if it is one.

    Examples
    --------
    >>> watch()
    """
    if shell := get_ipython():
        Reruns(shell)
