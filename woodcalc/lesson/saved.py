"""What of a lesson is saved: still pictures, questions and printed numbers, never the live controls.

Works on notebooks as plain dictionaries, as they lie in the file. `settle` uses it after it has run a lesson, and
`server` whenever a lesson is opened or saved.
"""

from __future__ import annotations

import html
import re
from collections.abc import Mapping
from typing import Any

VIEW = "application/vnd.jupyter.widget-view+json"
KEPT = ("text/html", "text/plain", "image/svg+xml", "image/png")
RUN_IT = "Run this lesson to see this."
_TO_WRITE = {
    "Question": "Run this lesson to type an answer here.",
    "Guess": "Run this lesson to write your guess down here.",
}
_ASKED = re.compile(r"<p><b>(Question|Guess)\.</b> (.*?)</p><p><i>.*?</i></p>", re.S)
_KERNEL = {
    "kernelspec": {"display_name": "Python 3", "language": "python", "name": "python3"},
    "language_info": {"name": "python"},
}


def mark(book: dict[str, Any], lesson: str) -> None:
    """Make `book` a lesson of this book: a mark in it, and cells that a slip of the key can't delete or change.

    Parameters
    ----------
    book : dict
        A notebook; changed in place.
    lesson : str
        What the lesson is called: its two digits, or the name of a leader's page.

    Examples
    --------
    >>> book = {"metadata": {}, "cells": [{"cell_type": "markdown", "metadata": {}, "source": "# 7. Dry outdoors"}]}
    >>> mark(book, "07")
    >>> is_lesson(book), book["cells"][0]["metadata"]
    (True, {'deletable': False, 'editable': False})
    """
    book["metadata"] = _KERNEL | {"woodcalc": {"lesson": lesson}}
    for cell in book["cells"]:
        cell["metadata"].update(deletable=False, editable=False)


def is_lesson(book: dict[str, Any]) -> bool:
    """Say whether a notebook is a lesson of this book, whatever its file is called.

    Examples
    --------
    >>> is_lesson({"metadata": {"woodcalc": {"lesson": "07"}}, "cells": []}), is_lesson({"metadata": {}, "cells": []})
    (True, False)
    """
    ours, cells = book.get("metadata", {}).get("woodcalc"), book.get("cells") or [{}]
    if isinstance(ours, dict) and "lesson" in ours:
        return True
    # A lesson of an earlier version has no mark, but the cell numbers of the book, and boxes of it.
    return (
        all(isinstance(c, dict) for c in cells)
        and cells[0].get("id") == "c01"
        and any("woodcalc.lesson" in "".join(c.get("source", "")) for c in cells)
    )


def question(kind: str, asked: str, typed: str = "") -> str:
    """Return the HTML that stands for a box before the lesson runs: what it asks, and what was written last time.

    Parameters
    ----------
    kind : str
        ``"Question"`` or ``"Guess"``.
    asked, typed : str

    Examples
    --------
    >>> question("Guess", "How many board feet?", "150")
    '<p><b>Guess.</b> How many board feet?</p><p><i>You wrote 150. Run this lesson to go on.</i></p>'
    """
    line = f"You wrote {html.escape(typed)}. Run this lesson to go on." if typed.strip() else _TO_WRITE[kind]
    return f"<p><b>{kind}.</b> {html.escape(asked)}</p><p><i>{line}</i></p>"


def with_words(still: str, words: Mapping[str, str]) -> str:
    """Return a still picture with what was written since: `words` holds what was typed by what was asked.

    Examples
    --------
    >>> with_words(question("Guess", "How many?"), {"How many?": "150"}) == question("Guess", "How many?", "150")
    True
    """

    def again(match):
        asked = html.unescape(match[2])
        return question(match[1], asked, words.get(asked, ""))

    return _ASKED.sub(again, still)


def settle_outputs(
    book: dict[str, Any], before: dict[str, Any] | None = None, words: dict[str, str] | None = None
) -> None:
    """Leave in a lesson what a reader should see before running it; everything that the reader added stays.

    Live controls go from every output. Of the book's own cells errors and warnings go too, and where nothing is
    left to see, the outputs of `before` come back. Run times, kernel versions, the count of runs and blank cells go.

    Parameters
    ----------
    book : dict
        A lesson; changed in place.
    before : dict, optional
        What the lesson showed when it was saved last: outputs by cell, from `shown`.
    words : dict, optional
        What the learner has written by now: what was typed by what was asked.

    Examples
    --------
    >>> live = {"output_type": "display_data", "metadata": {}, "data": {VIEW: {}, "text/html": "<p>A still.</p>"}}
    >>> book = {"metadata": {}, "cells": [{"cell_type": "code", "metadata": {}, "outputs": [live]}]}
    >>> settle_outputs(book)
    >>> book["cells"][0]["outputs"][0]["data"]
    {'text/html': '<p>A still.</p>'}
    """
    runs = 0
    book["cells"] = [cell for cell in book["cells"] if not _blank(cell)]
    for cell in book["cells"]:
        cell["metadata"].pop("execution", None)
        if cell["cell_type"] != "code":
            continue
        if ours := _ours(cell):
            failed = any(map(_trouble, cell["outputs"]))
            seen = _quiet(cell["outputs"])
            if not seen and (seen := _quiet((before or {}).get(cell.get("id"), []))):
                cell["metadata"]["trusted"] = False  # this run did not make it, so it is not signed
            cell["outputs"] = seen or ([_sentence()] if failed else [])
        for output in cell["outputs"]:
            if "data" in output:
                _still(output, ours, words or {})
        if ours or cell.get("execution_count") is not None:
            runs += 1
            cell["execution_count"] = runs
        for output in cell["outputs"]:
            if output["output_type"] == "execute_result":
                output["execution_count"] = cell["execution_count"]
    book["metadata"].pop("widgets", None)
    if book["metadata"].get("kernelspec", {}).get("name") == "python3":
        book["metadata"].update(_KERNEL)


def shown(book: dict[str, Any]) -> dict[str, list[Any]]:
    """Return what a lesson shows: outputs by cell.

    Examples
    --------
    >>> shown({"cells": [{"id": "c01", "cell_type": "markdown"}, {"id": "c02", "outputs": ["a still"]}]})
    {'c02': ['a still']}
    """
    return {cell["id"]: cell["outputs"] for cell in book["cells"] if cell.get("outputs")}


def _ours(cell):
    return cell["metadata"].get("deletable") is False


def _blank(cell):
    """A cell that JupyterLab adds by itself, say when the last one is run by Shift and Enter."""
    return not _ours(cell) and not "".join(cell.get("source", "")).strip() and not cell.get("outputs")


def _trouble(output):
    return output["output_type"] == "error" or output.get("name") == "stderr"


def _quiet(outputs):
    return [output for output in outputs if not _trouble(output)]


def _still(output, ours, words):
    """Take the live control out of an output, and of the book's own cells all that a page can't show."""
    data = output["data"]
    if data.pop(VIEW, None) is not None:
        output["metadata"] = {}
        if "text/html" not in data:
            output["data"] = data = _sentence()["data"]
    if ours:
        output["data"] = data = {kind: value for kind, value in data.items() if kind in KEPT}
        if "text/html" in data:
            data["text/html"] = with_words("".join(data["text/html"]), words)


def _sentence():
    data = {"text/html": f"<p><i>{RUN_IT}</i></p>", "text/plain": RUN_IT}
    return {"output_type": "display_data", "metadata": {}, "data": data}
