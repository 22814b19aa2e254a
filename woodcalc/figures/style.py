"""One look for every picture: colours safe for colour-blind eyes, type readable from the back row."""

from __future__ import annotations

import base64
import functools
import html
import io
from collections.abc import Callable
from contextvars import ContextVar
from typing import TYPE_CHECKING, Any, Protocol

if TYPE_CHECKING:
    import numpy as np


# After Okabe M., Ito K. 2008, Color Universal Design: eight colours told apart with any common colour vision. Theirs,
# but for green (darker), orange and pink (lighter): so the first four differ in gray, and on gray paper, too.
INK = "#1b1b1b"
SOFT = "#6b6b6b"
PALE = "#e4e0d8"
BLUE = "#0072b2"
ORANGE = "#e8772e"
GREEN = "#00543c"
GOLD = "#e69f00"
SKY = "#56b4e9"
PINK = "#e6a8cc"
WOOD = "#d9b98a"  # drawings of wood: fill, always with an INK or BARK outline
BARK = "#6e4a2a"
# A word in the colour of its line is written in a darker tone of it, to be read on white and on any tint of the house
WORDS = {
    SOFT: "#4f4f4f", BLUE: "#004a75", ORANGE: "#8a3700", GREEN: GREEN, GOLD: "#6b4700", SKY: "#004a75", PINK: "#7a2f5c",
}  # fmt: skip

# Never colour alone: the n-th series takes the n-th colour, dash (SVG) and marker together.
SERIES: tuple[dict[str, Any], ...] = (
    {"color": BLUE, "dash": "", "marker": "o"},
    {"color": ORANGE, "dash": "11 5", "marker": "s"},
    {"color": GREEN, "dash": "14 5 3 5", "marker": "^"},
    {"color": PINK, "dash": "3 5", "marker": "D"},
    {"color": GOLD, "dash": "18 5 3 5 3 5", "marker": "v"},
    {"color": INK, "dash": "4 4", "marker": "P"},
)

FONT = "DejaVu Sans, Verdana, Segoe UI, sans-serif"  # the first three are as wide as each other
TYPE_PX = 18.0  # size of type on the page, 100 px to the inch
BIG = 1.22  # a class reads from the back row: type and lines grow, the picture's frame does not
type_scale = ContextVar("type scale", default=1.0)


class Picture(Protocol):
    """What can be shown: a `Drawing`, or a matplotlib Figure of `plan_charts`."""

    def savefig(self, fname: Any, *, format: str, metadata: Any) -> Any:
        """Write it to a file or a buffer."""

    def get_size_inches(self) -> np.ndarray:
        """Width and height (in)."""


def drawn(function: Callable[..., Any]) -> Callable[..., Any]:
    """Wrap a figure function so that it gains the keyword `big`, which enlarges type and lines.

    Parameters
    ----------
    function : callable
        Returns ``(Drawing, sentence)`` or ``(Drawing, sentence, html)``.

    Examples
    --------
    >>> from woodcalc.figures.drawing import Drawing
    >>> @drawn
    ... def empty():
    ...     return Drawing(), "Nothing yet."
    >>> empty(big=True)[0].type / empty()[0].type
    1.22
    """

    @functools.wraps(function)
    def wrapper(*args, big=False, **kwargs):
        before = type_scale.set(BIG if big else 1.0)
        try:
            return function(*args, **kwargs)
        finally:
            type_scale.reset(before)

    return wrapper


def to_svg(figure: Picture) -> str:
    """Return a picture as SVG text, the same bytes from run to run.

    Examples
    --------
    >>> from woodcalc.figures.drawing import Drawing
    >>> to_svg(Drawing())[:5]
    '<?xml'
    """
    buffer = io.StringIO()
    figure.savefig(buffer, format="svg", metadata={"Date": None})
    return buffer.getvalue()


def to_img(figure: Picture, sentence: str) -> str:
    """Return an HTML ``<img>`` that holds the figure, with `sentence` as its alt text.

    Parameters
    ----------
    figure : Picture
    sentence : str
        What the picture shows, in words and numbers.

    Examples
    --------
    >>> from woodcalc.figures.drawing import Drawing
    >>> to_img(Drawing(), "An empty frame.")[:28]
    '<img alt="An empty frame." s'
    """
    code = base64.b64encode(to_svg(figure).encode()).decode()
    width, height = figure.get_size_inches() * 100
    return (
        f'<img alt="{html.escape(sentence)}" src="data:image/svg+xml;base64,{code}" '
        f'width="{width:.0f}" height="{height:.0f}" style="max-width:100%;height:auto">'
    )
