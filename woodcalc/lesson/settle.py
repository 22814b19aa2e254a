"""Run lessons and keep in each file what a reader should see before running it.

``python -m woodcalc.lesson.settle lessons/*.ipynb``: panels keep their still picture and sentence, answer boxes
their question, text cells their output; widget state, timings and kernel versions go. Run it after editing a lesson.
"""

import os
import sys
import tempfile
from pathlib import Path

import nbformat
from nbclient import NotebookClient

KEPT = ("text/html", "text/plain", "image/svg+xml", "image/png")


def run(book, folder, my_wood):
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
    client = NotebookClient(book, timeout=120, resources=where, coalesce_streams=True)  # one print, one output
    client.execute(env=os.environ | {"WOODCALC_MY_WOOD": str(my_wood)})


def settle(path):
    """Run the notebook at `path` and rewrite it with settled outputs.

    Parameters
    ----------
    path : str or Path
        A notebook; it is run in its own folder, with no records of the learner's own.

    Raises
    ------
    nbclient.exceptions.CellExecutionError
        A cell failed; the file is left as it was.
    """
    path = Path(path)
    book = nbformat.read(path, as_version=4)
    with tempfile.TemporaryDirectory() as empty:
        run(book, path.parent, empty)
    for cell in book.cells:
        cell.metadata.pop("execution", None)
        for output in cell.get("outputs", []):
            if "data" in output:
                is_widget = "application/vnd.jupyter.widget-view+json" in output.data
                output.data = {k: v for k, v in output.data.items() if k in KEPT}
                if is_widget:
                    output.metadata = {}
    book.metadata = {
        "kernelspec": {"display_name": "Python 3", "language": "python", "name": "python3"},
        "language_info": {"name": "python"},
    }
    nbformat.validate(book)
    text = nbformat.writes(book)
    path.write_text(text + ("" if text.endswith("\n") else "\n"), encoding="utf-8")


if __name__ == "__main__":
    for name in sys.argv[1:]:
        settle(name)
        print("settled", name)
