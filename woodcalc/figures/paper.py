"""Pages for letter paper, from templates: the plan, the sheets for the mill, worksheets, handouts."""

from __future__ import annotations

import re
from functools import cache
from typing import Any

import numpy as np

from woodcalc.sizes import sixteenths

_NUMBER_AND_UNIT = re.compile(r"(?<=\d) (?=(?:%|in|ft|ft2|ft3|lb|bf|F|C|oz|g)(?![a-z]))")


def tied(text: str) -> str:
    """Return a text whose numbers keep their unit on the same line.

    Examples
    --------
    >>> tied("8 ft at 65 % in all").split(" ")
    ['8\\xa0ft', 'at', '65\\xa0%', 'in', 'all']
    """
    return _NUMBER_AND_UNIT.sub("\u00a0", text)


_TABLE = re.compile(r"<table.*?</table>", re.DOTALL)
_ROW = re.compile(r"<tr.*?</tr>", re.DOTALL)
_HEAD = re.compile(r"<t([hd])\b[^>]*>(.*?)</t\1>", re.DOTALL)


def with_names(told: str, most: int = 4) -> str:
    """Return HTML in whose tables of more than so many columns each cell carries the head of its column.

    A window as narrow as a phone then shows each row as a card, its heads in it, and nothing lies off the edge.

    Parameters
    ----------
    told : str
    most : int
        Columns of a table that is left as it is.

    Examples
    --------
    >>> with_names("<table><tr><th>log</th><th>bf</th></tr><tr><td>1</td><td>75</td></tr></table>", most=1)
    '<table><tr><th>log</th><th>bf</th></tr><tr><td data-name="log">1</td><td data-name="bf">75</td></tr></table>'
    """
    return _TABLE.sub(lambda found: _named(found[0], most), told)


def _named(made, most):
    """One table whose cells carry the heads above them, if it has a row of heads and is wide."""
    rows = _ROW.findall(made)
    heads = [re.sub(r"<[^>]+>", "", text).strip() for _, text in _HEAD.findall(rows[0])] if rows else []
    if len(heads) <= most or "<th" not in rows[0] or "data-name" in made or "span=" in made:
        return made
    for row in dict.fromkeys(rows[1:]):
        if len(_HEAD.findall(row)) == len(heads):
            cells = re.split(r"(?<=<td)(?=[ >])|(?<=<th)(?=[ >])", row)
            named = (f' data-name="{head}"{cell}' for head, cell in zip(heads, cells[1:], strict=True))
            made = made.replace(row, "".join((cells[0], *named)))
    return made


@cache
def _pages():
    from jinja2 import Environment, PackageLoader, StrictUndefined

    pages = Environment(
        loader=PackageLoader("woodcalc.figures", "pages"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    pages.filters["tied"] = tied
    pages.filters["tape"] = sixteenths
    return pages


def page(template: str, **values: Any) -> str:
    """Return the HTML text of a page.

    Parameters
    ----------
    template : str
        File in `woodcalc/figures/pages`.
    **values
        What the template asks for.
    """
    return _pages().get_template(template).render(**values)


@cache
def rings(size: float = 84) -> str:
    """Return a log end as a small SVG: bark, growth rings that wander a little, a heart check.

    Examples
    --------
    >>> rings()[:4]
    '<svg'
    """
    angle = np.linspace(0, 2 * np.pi, 49)
    paths = []
    for k, radius in enumerate(np.cumsum([5.0, 4.6, 4.4, 3.6, 4.2, 3.0, 3.4, 2.6, 3.0, 2.4])):
        wander = 1 + 0.045 * np.sin(2 * angle + 0.5 * k) + 0.02 * np.sin(5 * angle + k)
        x, y = (
            50 + 0.06 * radius + radius * wander * np.cos(angle),
            50 - 0.05 * radius + radius * wander * np.sin(angle),
        )
        width = 4.5 if k == 9 else 0.8 + 0.5 * (k % 3 == 1)
        points = " ".join(f"{a:.1f},{b:.1f}" for a, b in zip(x, y, strict=True))
        paths.append(f'<polygon points="{points}" fill="none" stroke="#1b1b1b" stroke-width="{width:g}"/>')
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{size}" height="{size}" viewBox="0 0 104 100" '
        'aria-hidden="true">'
        + "".join(paths)
        + '<path d="M52 50 L66 34 M52 50 L43 68" stroke="#1b1b1b" stroke-width="1.4" fill="none"/></svg>'
    )
