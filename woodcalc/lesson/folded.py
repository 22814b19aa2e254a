"""Numbers that a cell prints, folded away: checked like all others, and they give no answer away."""

from __future__ import annotations

import html
import io
import sys
from typing import Any


def folded(title: str) -> None:
    """Fold what this cell prints from here on under a title; a reader opens it with a click.

    Outside a notebook it is printed as it is.

    Parameters
    ----------
    title : str
        ``"The numbers of answers 1 to 4"``.

    Examples
    --------
    >>> folded("The numbers of answer 1")
    >>> print("144 bf")
    144 bf
    """
    try:
        from IPython import get_ipython  # type: ignore[attr-defined]
    except ImportError:
        return
    if (shell := get_ipython()) is None:  # type: ignore[no-untyped-call]
        return
    before, said = sys.stdout, io.StringIO()
    sys.stdout = said

    def show(_result: Any) -> None:
        from IPython.display import display

        sys.stdout = before
        shell.events.unregister("post_run_cell", show)
        text = said.getvalue()
        if text:
            display({"text/plain": text, "text/html": _details(title, text)}, raw=True)  # type: ignore[no-untyped-call]

    shell.events.register("post_run_cell", show)


def _details(title, text):
    inside = f"<pre style='overflow-x:auto'>{html.escape(text)}</pre>"
    return f"<details><summary>{html.escape(title)}</summary>{inside}</details>"
