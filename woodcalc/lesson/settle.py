"""Run lessons and keep in each file what a reader should see before running it.

``python -m woodcalc.lesson.settle lessons/*.ipynb``: panels keep their still picture and sentence, answer boxes
their question, text cells their output; widget state, timings and kernel versions go, and the cells are locked, so
that a slip of the key changes nothing. Run it after editing a lesson; ``--edit`` before the names unlocks the cells.
"""

from __future__ import annotations

import os
import sys
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING

import nbformat
from nbclient import NotebookClient

from woodcalc.lesson import saved

if TYPE_CHECKING:
    from nbformat import NotebookNode


def run(book: NotebookNode, folder: str | Path, my_wood: str | Path) -> None:
    """Run a notebook in place.

    Parameters
    ----------
    book : nbformat.NotebookNode
    folder : str or Path
        Where the lesson lies; the kernel starts there.
    my_wood : str or Path
        Folder of the learner's choices and records.
    """
    where = {"metadata": {"path": str(folder)}}
    client = NotebookClient(
        book, timeout=120, resources=where, coalesce_streams=True
    )  # one print, one output
    client.execute(env=os.environ | {"WOODCALC_MY_WOOD": str(my_wood)})


def settle(path: str | Path) -> None:
    """Run the notebook at `path` and rewrite it with settled outputs.

    Parameters
    ----------
    path : str or Path
        A notebook; it is run in its own folder, with no records of the learner's own.

    Raises
    ------
    nbclient.exceptions.CellExecutionError
        A cell failed; the file is left as it was.
    ValueError
        A cell warned; the file is left as it was.
    """
    path = Path(path)
    book = nbformat.read(path, as_version=4)
    with tempfile.TemporaryDirectory() as empty:
        run(book, path.parent, empty)
    for cell in book.cells:
        if warned := [out.text for out in cell.get("outputs", []) if out.get("name") == "stderr"]:
            raise ValueError(f"{path.name}, cell {cell.id}: a reader should not see {warned[0]!r}")
    saved.mark(book, path.stem[:2] if path.stem[:2].isdigit() else path.stem)
    saved.settle_outputs(book)
    _write(book, path)


def unlock(path: str | Path) -> None:
    """Make the cells of the lesson at `path` editable, for whoever works on it; `settle` locks them again.

    Parameters
    ----------
    path : str or Path
    """
    book = nbformat.read(path, as_version=4)
    for cell in book.cells:
        cell.metadata.pop("deletable", None)
        cell.metadata.pop("editable", None)
    _write(book, Path(path))


def _write(book, path):
    nbformat.validate(book)
    text = nbformat.writes(book)
    path.write_text(text + ("" if text.endswith("\n") else "\n"), encoding="utf-8")


if __name__ == "__main__":
    asked = sys.argv[1:]
    do, done = (unlock, "unlocked") if "--edit" in asked else (settle, "settled")
    for name in asked:
        if name != "--edit":
            do(name)
            print(done, name)
