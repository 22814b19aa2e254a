"""A lesson on paper: the same notebook, run for the class's place and wood, pictures still, answers left blank."""

from __future__ import annotations

import json
import re
import tempfile
from collections.abc import Iterator
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING

import nbformat
from markupsafe import Markup

from woodcalc import tables
from woodcalc.checks import InputError
from woodcalc.figures.paper import page
from woodcalc.leader import paper
from woodcalc.lesson.settle import run
from woodcalc.records import choices

if TYPE_CHECKING:
    from nbformat import NotebookNode


FOOT = "next-lesson"  # the id of the cell that leads to the next lesson: nothing for paper
_FOLDED = re.compile(r"<details>\s*<summary>.*?</summary>.*?</details>", re.S)
_FOR_SCREEN = re.compile(
    r"<p><i>(An example, until you press <b>|Press <b>)?Run this lesson.*?</i></p>", re.S
)
_ANCHOR = re.compile(r"</?a\b[^>]*>")
_LINK = re.compile(r"\[([^\]]+)\]\([^)]*\.ipynb\)")
_NAVIGATION = re.compile(r"\.ipynb\).*\|")
_THE_BUTTON = re.compile(r" ?[^.\n|]*\*\*Run this lesson\*\*[^.\n]*\.")
_BLANK = '<div class="rules"><div></div><div></div></div>'
_SCREEN = re.compile(
    r"minutes(?: with [^.]*)?\. At hand|[Rr]un this lesson|[Pp]ress|slider|\bpanel|screen|\bdials?\b|\bcells?\b|"
    r"\btype\b|[Oo]ne call"
)
_CHOSEN = re.compile(r"you chose|[Yy]our (own )?place|wood, place")  # what the class's place and wood decide
_ASKED = re.compile(r"<b>(Question|Guess)\.</b>")


def sections(book: NotebookNode) -> dict[str, list[NotebookNode]]:
    """Return the cells of a lesson by heading, in order; what comes before the first heading is under ``""``.

    Parameters
    ----------
    book : nbformat.NotebookNode

    Returns
    -------
    dict of str to list of cells
    """
    found: dict[str, list[NotebookNode]] = {"": []}
    heading = ""
    for cell in book.cells:
        if cell.get("id") == FOOT:
            continue
        if cell.cell_type == "markdown" and (match := re.match(r"## (.+?)\s*$", cell.source, re.M)):
            heading = match[1]
        found.setdefault(heading, []).append(cell)
    return found


def title(book: NotebookNode) -> str:
    """Return a lesson's title, e.g. ``"5. Wood and the air"``."""
    match = re.search(r"^# (.+?)\s*$", book.cells[0].source, re.M)
    if not match:
        raise InputError("The first cell has no title.")
    return match[1]


def minutes(book: NotebookNode) -> int:
    """Return how long a lesson says that it takes, or 30."""
    text = "\n".join(c.source for c in book.cells[:4])
    match = re.search(r"(\d+)(?: to (\d+))? minutes", text)
    return int(match[2] or match[1]) if match else 30


def markdown(text: str) -> str:
    """Return Markdown as HTML."""
    from nbconvert.filters.markdown_mistune import markdown2html_mistune

    return re.sub(r'<a class="anchor-link".*?</a>', "", markdown2html_mistune(text))


def without_the_button(text: str) -> str:
    """Return Markdown without the sentences that say to run the lesson.

    Examples
    --------
    >>> without_the_button("At hand: a pencil. Press **Run this lesson** in the toolbar first.")
    'At hand: a pencil.'
    """
    return _THE_BUTTON.sub("", text)


def outputs(cell: NotebookNode) -> Iterator[str]:
    """Yield the outputs of a code cell as HTML: printed text, tables, a panel's still picture with its sentence.

    A question or a guess gets ruled lines to answer on.
    """
    for output in cell.get("outputs", []):
        if output.get("data", {}).get("text/html", "").startswith("<details>"):
            continue  # folded on the screen: on paper it would give answers away
        if output.output_type == "stream":
            yield printed_text(output.text)
        elif "text/html" in output.get("data", {}):
            html = _ANCHOR.sub("", _FOR_SCREEN.sub("", output.data["text/html"]))
            yield f'<div class="blank">{html}{_BLANK if _ASKED.search(html) else ""}</div>'
        elif "image/svg+xml" in output.get("data", {}):
            yield output.data["image/svg+xml"]
        elif "text/plain" in output.get("data", {}):
            yield printed_text(output.data["text/plain"])


def printed_text(text: str) -> str:
    """Return printed text as HTML; a table's lines are never broken, so that its columns stay columns."""
    text = text.rstrip()
    longest = max(map(len, text.splitlines()), default=0)
    # the page is 7 in wide, a letter of this type 0.602 of its size; lines longer than a table's may break
    fit = f' style="font-size: min(0.78em, {490 / 0.602 / longest:.1f}pt)"' if 60 < longest <= 110 else ""
    return f"<pre{fit}>{Markup.escape(text)}</pre>"


def body(book: NotebookNode, blanks: bool = True) -> str:
    """Return a lesson that has been run as HTML for paper: no code, no leader's part, no navigation.

    Parameters
    ----------
    book : nbformat.NotebookNode
        With its outputs.
    blanks : bool
        Ruled lines in place of the folded answers.
    """
    parts: list[str] = []
    for heading, cells in sections(book).items():
        if heading == "For the leader":
            continue
        for cell in cells:
            if cell.cell_type == "code":
                # printed text beside the tasks holds their answers
                parts += (html for html in outputs(cell) if heading != "Try it" or "<img" in html)
                continue
            text = "\n".join(line for line in cell.source.splitlines() if not _NAVIGATION.search(line))
            parts.append(markdown(_LINK.sub(r"\1", _FOLDED.sub(_BLANK if blanks else "", text))))
    return "\n".join(parts)


def take_home(book: NotebookNode) -> str:
    """Return what of a lesson fits on two pages: question, guess, one picture, the words, by hand, cautions, own wood.

    Parameters
    ----------
    book : nbformat.NotebookNode
        With its outputs.
    """
    found = sections(book)
    parts: list[str] = []
    for heading in ("The question", "Guess first", "Try it", "By hand", "Take care"):
        cells = found.get(heading, [])
        if heading in ("Guess first", "Try it"):
            shown = [html for cell in cells if cell.cell_type == "code" for html in outputs(cell)]
            parts += [html for html in shown if heading == "Guess first" or "<img" in html][:1]
        else:
            parts += [
                markdown(_LINK.sub(r"\1", _on_paper(c.source))) for c in cells if c.cell_type == "markdown"
            ]
    own = False  # one picture of it is enough
    for cell in found.get("On your own wood", []):
        if cell.cell_type == "code" and _CHOSEN.search(cell.source.partition("\n")[0]):
            parts += (html for html in outputs(cell) if not ("<img" in html and own))
            own = own or "<img" in parts[-1]
    parts.append(f"<h3>Your own numbers</h3>{2 * _BLANK}")
    return "\n".join(parts)


def _on_paper(text):
    """A cell's paragraphs without folded answers, and without those that speak of the screen."""
    paragraphs = re.split(r"\n\s*\n", _FOLDED.sub("", text))
    return "\n\n".join(p for p in paragraphs if not _SCREEN.search(p))


def lesson_files(folder: str | Path | None = None) -> dict[str, Path]:
    """Return the lessons by two-digit number.

    Examples
    --------
    >>> "05" in lesson_files()
    True
    """
    return {p.name[:2]: p for p in sorted(Path(folder or tables.lessons()).glob("[0-9][0-9]-*.ipynb"))}


def ran(lesson: str | Path, chosen: choices.Choices | None = None) -> NotebookNode:
    """Return a lesson with its outputs, run for a class.

    Parameters
    ----------
    lesson : str or Path
        The notebook.
    chosen : Choices, optional
        The class's place, wood, thickness and month; the leader's own choices if not given.
    """
    book = nbformat.read(lesson, as_version=4)
    with tempfile.TemporaryDirectory() as wood:
        (Path(wood) / "choices.json").write_text(json.dumps(asdict(chosen or choices.read())))
        run(book, Path(lesson).parent, wood)
    return book


def make(
    lesson: str | Path,
    folder: str | Path,
    chosen: choices.Choices | None = None,
    large_print: bool = False,
    whole: bool = True,
) -> list[Path]:
    """Write the handout of a lesson: HTML, and PDF where a browser can print one.

    Parameters
    ----------
    lesson : str or Path
        The notebook.
    folder : str or Path
        Where to write.
    chosen : Choices, optional
        The class's place, wood, thickness and month; the leader's own choices if not given.
    large_print : bool
        16-point type in place of 12.
    whole : bool
        The lesson with all of its tasks, or two pages to take home.

    Returns
    -------
    list of Path
    """
    lesson = Path(lesson)
    book = ran(lesson, chosen)
    filled = f"<h1>{Markup.escape(title(book))}</h1>{take_home(book)}" if not whole else body(book)
    points = (16 if large_print else 12) if whole else (14 if large_print else 10)
    text = page("handout.html", title=title(book), body=Markup(filled), points=points)
    name = lesson.stem + ("" if whole else "-to-take-home") + ("-large" if large_print else "")
    return paper.write(Path(folder) / f"{name}.html", text)
