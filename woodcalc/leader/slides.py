"""Slides of a lesson for the wall: one picture and one question, its answer on the next key."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from markupsafe import Markup

from woodcalc.figures.paper import page
from woodcalc.leader import paper
from woodcalc.leader.handouts import markdown, outputs, sections, title, without_the_button

if TYPE_CHECKING:
    from nbformat import NotebookNode

_NUMBER = r"^(?:\*\*)?(?:Task )?(\d+)\.(?:\*\*)? "
_TASK = re.compile(_NUMBER + r"(.+?)(?=" + _NUMBER.replace("(\\d", "(?:\\d") + r"|\Z)", re.M | re.S)
_ANSWER = re.compile(r"<details>\s*<summary>Answer</summary>(.*?)</details>", re.S)
_QUOTED = re.compile(r"^\*(.+?)\*$", re.M | re.S)
_PICTURE = re.compile(r"<img [^>]*>", re.S)


@dataclass(frozen=True)
class Slide:
    """One page on the wall.

    Attributes
    ----------
    heading : str
    words : str
        HTML.
    picture : str
        An image as HTML, or "".
    answer : str
        HTML that the next key shows, or "".
    """

    heading: str
    words: str
    picture: str = ""
    answer: str = ""


def slides(book: NotebookNode) -> list[Slide]:
    """Return the slides of a lesson: its question, the guess, each task beside its picture, the cautions.

    Parameters
    ----------
    book : nbformat.NotebookNode
        With its outputs, as `handouts.ran` returns it.

    Examples
    --------
    >>> import nbformat
    >>> from woodcalc.leader.handouts import lesson_files
    >>> made = slides(nbformat.read(lesson_files()["07"], as_version=4))
    >>> made[0].heading, made[2].heading, bool(made[2].answer)
    ('7. Dry outdoors', 'One stack on its way down: task 1', True)
    """
    found = sections(book)
    first = "\n".join(cell.source for cell in found.get("The question", []))
    asked = _QUOTED.search(first)
    made = [Slide(title(book), markdown(asked[1]) if asked else "")]
    for html in (
        html for cell in found.get("Guess first", []) if cell.cell_type == "code" for html in outputs(cell)
    ):
        made.append(Slide("Guess first", re.sub(r'<div class="rules">.*', "", html, flags=re.S)))
    heading, picture = "Try it", ""
    for cell in found.get("Try it", []):
        if cell.cell_type == "code":
            shown = next((html for html in outputs(cell) if "<img" in html), "")
            if shown:
                named = re.search(r"<b>(.+?)</b>", shown)
                heading, picture = named[1] if named else heading, _PICTURE.findall(shown)[0]
            continue
        for number, text in _TASK.findall(cell.source):
            answer = _ANSWER.search(text)
            made.append(
                Slide(
                    f"{heading}: task {number}",
                    markdown(_ANSWER.sub("", text).strip()),
                    picture,
                    markdown(answer[1].strip()) if answer else "",
                )
            )
    care = [cell.source for cell in found.get("Take care", []) if cell.cell_type == "markdown"]
    if care:
        made.append(
            Slide("Take care", markdown(without_the_button("\n\n".join(care)).replace("## Take care", "")))
        )
    return made


def write(book: NotebookNode, path: str | Path) -> list[Path]:
    """Write the slides of a lesson: HTML that turns by keyboard, clicker or touch, and PDF where a browser prints one.

    Parameters
    ----------
    book : nbformat.NotebookNode
        With its outputs.
    path : str or Path
        Ends in ``.html``.

    Returns
    -------
    list of Path
    """
    safe = [
        Slide(each.heading, Markup(each.words), Markup(each.picture), Markup(each.answer))
        for each in slides(book)
    ]
    return paper.write(path, page("slides.html", title=title(book), slides=safe))
