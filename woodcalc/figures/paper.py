"""Pages for letter paper, from templates: the plan, the sheets for the mill, worksheets, handouts."""

from __future__ import annotations

import re
from functools import cache
from typing import Any

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
