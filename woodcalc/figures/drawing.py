"""A page to draw on, written straight as SVG in the house look, for panels that redraw at each slider move.

It stands where a matplotlib Figure stands (it has `savefig` and `get_size_inches`). Measured on a chart of two axes
and six lines: 7 ms to draw and write where matplotlib takes 90, and 9 kB where it takes 49; a slider must be answered
in 80 ms. Charts that are drawn once, for the printed plan, are matplotlib's.

Positions are in pixels from the top left, 100 to the inch; the axes of a chart and drawings to scale are in `chart`.
"""

from __future__ import annotations

from collections.abc import Sequence
from html import escape
from typing import TYPE_CHECKING, Any, TextIO, TypeAlias

import numpy as np

from woodcalc.figures import style

if TYPE_CHECKING:
    pass


ROUND = np.linspace(0, 2 * np.pi, 73)[:-1]
_MARKERS = {
    "o": [(np.cos(a), np.sin(a)) for a in ROUND[::6]],
    "s": [(-1, -1), (1, -1), (1, 1), (-1, 1)],
    "^": [(0, -1.2), (1.1, 0.8), (-1.1, 0.8)],
    "v": [(0, 1.2), (1.1, -0.8), (-1.1, -0.8)],
    "D": [(0, -1.3), (1.3, 0), (0, 1.3), (-1.3, 0)],
    "P": [
        (-0.4, -1.2), (0.4, -1.2), (0.4, -0.4), (1.2, -0.4), (1.2, 0.4), (0.4, 0.4),
        (0.4, 1.2), (-0.4, 1.2), (-0.4, 0.4), (-1.2, 0.4), (-1.2, -0.4), (-0.4, -0.4),
    ],
}  # fmt: skip
# How wide DejaVu Sans sets the letters from space to tilde, hundredths of the type size: read from the font, 2.37.
_WIDTHS = (
    32, 40, 46, 84, 64, 95, 78, 27, 39, 39, 50, 84, 32, 36, 32, 34, 64, 64, 64, 64, 64, 64, 64, 64, 64, 64, 34, 34,
    84, 84, 84, 53, 100, 68, 69, 70, 77, 63, 58, 77, 75, 29, 29, 66, 56, 86, 75, 79, 60, 79, 69, 63, 61, 73, 68, 99,
    69, 61, 69, 39, 34, 39, 84, 50, 50, 61, 63, 55, 63, 62, 35, 63, 63, 28, 28, 58, 28, 97, 63, 61, 63, 63, 41, 52,
    39, 63, 59, 82, 59, 59, 52, 64, 34, 64, 84,
)  # fmt: skip
_BOLD = 1.13  # as wide, on the whole
_LINE = 1.25  # from one line of type to the next


def _joined(outline):
    flat = np.asarray(outline, dtype=float).ravel().tolist()
    return "M" + "L".join(["%.1f %.1f"] * (len(flat) // 2)) % tuple(
        flat
    )  # one format for all: a third of the time


Points: TypeAlias = Any  # places on a page: an array (n, 2), or pairs of numbers


_MARGIN = 10.0  # px round a part of the page


class Drawing:
    """An empty page; draw on it with its methods, colours and widths as in SVG.

    Parameters
    ----------
    width_in, height_in : float
        Size on the page, 100 px to the inch. Panels show up to 8 in beside their sliders.

    Examples
    --------
    >>> page = Drawing(8, 4)
    >>> page.polygons([[(0, 0), (10, 0), (10, 10)]], fill=style.WOOD)
    >>> page.svg().count("<path")
    2
    """

    def __init__(self, width_in: float = 8.0, height_in: float = 4.8) -> None:
        self.size = np.array([width_in, height_in])
        scale = style.type_scale.get()
        self.type = style.TYPE_PX * scale  # px
        self.bold = 1.0 if scale == 1.0 else 1.4  # lines grow with the type
        self._parts: list[str] = []
        self._names = 0
        w, h = self.size * 100
        self.polygons([[(0, 0), (w, 0), (w, h), (0, h)]], fill="white", edge="none")

    def part(
        self,
        left: float = 0.0,
        right: float = 1.0,
        top: float = 0.0,
        foot: float = 1.0,
        margin: float = _MARGIN,
    ) -> tuple[float, float, float, float]:
        """Return a part of the page with a margin round it: left, top, width, height (px).

        Parameters
        ----------
        left, right, top, foot : float
            Where it begins and ends, as shares of the page's width and height.
        margin : float
            Px; 0 for what is drawn over the whole page.

        Examples
        --------
        >>> Drawing(8, 4).part(right=0.5)
        (10.0, 10.0, 380.0, 380.0)
        """
        w, h = (float(side) * 100 for side in self.size)
        return (
            left * w + margin, top * h + margin, (right - left) * w - 2 * margin, (foot - top) * h - 2 * margin,
        )  # fmt: skip

    def polygons(
        self,
        outlines: Points,
        fill: str = "none",
        edge: str = style.INK,
        width: float = 1.0,
        dash: str = "",
        clip: str = "",
        opacity: float = 1.0,
        close: bool = True,
    ) -> None:
        """Draw closed outlines (each a sequence of page points) of one look as one path."""
        end = "Z" if close else ""
        path = "".join(_joined(outline) + end for outline in outlines)
        if path:
            look = f'fill="{fill}" stroke="{edge}" stroke-width="{width * self.bold:.2f}" stroke-linejoin="round"'
            look += f' stroke-dasharray="{dash}"' if dash else ""
            look += f' clip-path="url(#{clip})"' if clip else ""
            look += f' opacity="{opacity}"' if opacity != 1 else ""
            self._parts.append(f'<path d="{path}" {look}/>')

    def lines(
        self,
        strokes: Points,
        edge: str = style.INK,
        width: float = 1.0,
        dash: str = "",
        clip: str = "",
        opacity: float = 1.0,
    ) -> None:
        """Draw open lines of one look."""
        self.polygons(strokes, "none", edge, width, dash, clip, opacity, close=False)

    def arrow(self, start: Points, end: Points, color: str = style.INK, width: float = 2.0) -> None:
        """Draw a line from `start` to `end` with a head at its end, three and a half lines wide."""
        (x0, y0), (x1, y1) = start, end
        far = np.hypot(x1 - x0, y1 - y0)
        if far > 0:
            head = min(far, 4.5 * width * self.bold)
            dx, dy = head * (x1 - x0) / far, head * (y1 - y0) / far
            self.lines([[start, (x1 - 0.8 * dx, y1 - 0.8 * dy)]], color, width)
            wings = [
                (x1, y1),
                (x1 - dx - dy * 0.4, y1 - dy + dx * 0.4),
                (x1 - dx + dy * 0.4, y1 - dy - dx * 0.4),
            ]
            self.polygons([wings], color, "none")

    def _name(self, kind):
        self._names += 1
        return f"{kind}{self._names}"

    def clip(self, outline: Points) -> str:
        """Return the name of a clip with this outline, for `polygons` and `lines`."""
        name = self._name("c")
        self._parts.append(f'<clipPath id="{name}"><path d="{_joined(outline)}Z"/></clipPath>')
        return name

    def hatch(self, fill: str, lines: str = "white") -> str:
        """Return a fill of slanting lines on a ground, told from a plain one without colour."""
        name = self._name("h")
        self._parts.append(
            f'<pattern id="{name}" width="9" height="9" patternUnits="userSpaceOnUse" '
            f'patternTransform="rotate(45)"><rect width="9" height="9" fill="{fill}"/>'
            f'<path d="M2 0V9" stroke="{lines}" stroke-width="2"/></pattern>'
        )
        return f"url(#{name})"

    def text(
        self,
        x: float,
        y: float,
        words: str,
        at: str = "start",
        color: str = style.INK,
        size: float = 1.0,
        bold: bool = False,
        turn: float = 0,
        halo: bool = False,
    ) -> None:
        """Write `words` with their middle at height y; each line of them on its own.

        Parameters
        ----------
        x, y : float
            Place on the page (px).
        words : str
        at : str
            What stands at x: ``"start"``, ``"middle"`` or ``"end"``.
        color : str
            Of the letters; a colour of the house stands for its tone of `style.WORDS`.
        size : float
            Times the size of the page's type.
        bold : bool
        turn : float
            Degrees clockwise about (x, y); -90 reads upward.
        halo : bool
            White about the letters, where a line runs behind them.
        """
        look = f'text-anchor="{at}" fill="{style.WORDS.get(color, color)}" font-size="{size * self.type:.1f}"'
        look += ' font-weight="bold"' if bold else ""
        look += f' transform="rotate({turn:g} {x:.1f} {y:.1f})"' if turn else ""
        look += (
            ' stroke="white" stroke-width="5" stroke-linejoin="round" paint-order="stroke"' if halo else ""
        )
        lines = words.split("\n")
        for k, line in enumerate(lines):
            down = 0.36 + _LINE * (k - (len(lines) - 1) / 2)
            self._parts.append(
                f'<text x="{x:.1f}" y="{y + down * size * self.type:.1f}" {look}>{escape(line)}</text>'
            )

    def title(self, x: float, y: float, words: str, at: str = "start") -> None:
        """Write the title of a picture, or of a part of it."""
        self.text(x, y, words, at, size=1.15, bold=True)

    def width(self, words: str, size: float = 1.0, bold: bool = False) -> float:
        """How wide `text` will write the longest line of `words` (px), to find room for it.

        Examples
        --------
        >>> round(Drawing().width("oak"))
        32
        """
        longest = max(
            sum(_WIDTHS[ord(letter) - 32] if 32 <= ord(letter) < 127 else 64 for letter in line)
            for line in words.split("\n")
        )
        return longest / 100 * self.type * size * (_BOLD if bold else 1.0)

    def markers(
        self,
        points: Points,
        kind: str,
        color: str,
        size: float = 6.0,
        edge: str = "white",
        width: float = 0.8,
    ) -> None:
        """Draw one kind of marker (o, s, ^, v, D, P) at each point; `size` is half its height (px)."""
        size *= 1.0 if self.bold == 1 else style.BIG
        outlines = [[(x + a * size, y + b * size) for a, b in _MARKERS[kind]] for x, y in points]
        self.polygons(outlines, color, edge, width)

    def stamps(
        self,
        points: Points,
        kind: str,
        color: str,
        size: float = 4.0,
        edge: str = style.INK,
        width: float = 0.6,
    ) -> None:
        """Draw one kind of marker at hundreds of points: as `markers`, in a fifth of the letters.

        Examples
        --------
        >>> page = Drawing()
        >>> page.stamps([(10, 20), (30.5, 40)], "s", style.BLUE, 2)
        >>> page.svg().count("M8.0 18.0l4 0 0 4-4 0z"), page.svg().count("M28.5 38.0l4 0 0 4-4 0z")
        (1, 1)
        """
        size *= 1.0 if self.bold == 1 else style.BIG
        if kind == "o":
            start = (-size, 0.0)
            way = f"a{size:.2g} {size:.2g} 0 1 1 0 .1"  # all round, but for a tenth of a px
        else:
            corners = np.round(size * np.array(_MARKERS[kind]), 1)
            start = corners[0]
            way = "l" + " ".join(f"{dx:.4g} {dy:.4g}" for dx, dy in np.diff(corners, axis=0).round(1) + 0.0)
        way = way.replace(" -", "-") + "z"
        path = "".join(f"M{x + start[0]:.1f} {y + start[1]:.1f}{way}" for x, y in points)
        if path:
            self._parts.append(
                f'<path d="{path}" fill="{color}" stroke="{edge}" stroke-width="{width * self.bold:.2f}"/>'
            )

    def whole_lines(self, strokes: Points, edge: str = style.INK, width: float = 1.0) -> None:
        """Draw long open lines in whole px, each point told from the one before: as `lines`, in a third of the letters.

        Examples
        --------
        >>> page = Drawing()
        >>> page.whole_lines([[(10, 20), (10.2, 20.1), (13, 18)]])
        >>> page.svg().count('d="M10 20l3-2"')
        1
        """
        path = ""
        for stroke in strokes:
            whole = np.asarray(stroke, dtype=float).round().astype(int)
            steps = np.diff(whole, axis=0)
            steps = steps[steps.any(axis=1)].tolist()
            if steps:
                way = " ".join(f"{dx} {dy}" for dx, dy in steps)
                path += f"M{whole[0][0]} {whole[0][1]}l{way.replace(' -', '-')}"
        self._parts.append(
            f'<path d="{path}" fill="none" stroke="{edge}" stroke-width="{width * self.bold:.2f}" '
            'stroke-linejoin="round"/>'
        )

    def marker(
        self,
        x: float,
        y: float,
        kind: str,
        color: str,
        size: float = 6.0,
        edge: str = style.INK,
        width: float = 1.2,
    ) -> None:
        """Draw one marker."""
        self.markers([(x, y)], kind, color, size, edge, width)

    def key(
        self, x: float, y: float, entries: Sequence[tuple[str, dict[str, Any]]], gap: float = 26
    ) -> float:
        """Name series in a row: a piece of each line with its marker, then its name.

        Parameters
        ----------
        x, y : float
            Left end and middle height (px).
        entries : list of (str, dict)
            Name, and look: one of `style.SERIES`, or ``{"fill": color}`` for a patch.
        gap : float
            Between one name and the next piece (px).

        Returns
        -------
        float
            Right end (px).

        Examples
        --------
        >>> round(Drawing().key(0, 10, [("oak", style.SERIES[0])]))
        79
        """
        for name, look in entries:
            if "fill" in look:
                self.polygons([box(x, y - 8, x + 26, y + 8)], look["fill"], look.get("edge", style.INK))
                x += 34
            else:
                self.lines(
                    [[(x, y), (x + 40, y)]], look["color"], look.get("width", 3.2), look.get("dash", "")
                )
                if look.get("marker"):
                    self.markers([(x + 20, y)], look["marker"], look["color"])
                x += 48
            self.text(x, y, name, size=0.95)
            x += self.width(name, 0.95) + gap
        return x - gap

    def svg(self) -> str:
        """Return the whole drawing as SVG text."""
        w, h = self.size * 100
        return (
            f'<?xml version="1.0" encoding="utf-8"?><svg xmlns="http://www.w3.org/2000/svg" width="{w:.0f}" '
            f'height="{h:.0f}" viewBox="0 0 {w:.0f} {h:.0f}" font-family="{style.FONT}">{"".join(self._parts)}</svg>'
        )

    def savefig(self, target: TextIO, format: str = "svg", **_: Any) -> None:
        """Write the SVG text to an open text file, as a Figure would."""
        target.write(self.svg())

    def get_size_inches(self) -> np.ndarray:
        """Width and height (in)."""
        return self.size


def oval(width: float, height: float, x: float = 0.0, y: float = 0.0, at: Points = ROUND) -> np.ndarray:
    """Return the outline of an ellipse about (x, y), or the part of it at the angles `at` (radians).

    Examples
    --------
    >>> oval(4, 2, at=np.radians([0, 90])).round(6).tolist()
    [[2.0, 0.0], [0.0, 1.0]]
    """
    return np.column_stack([x + width / 2 * np.cos(at), y + height / 2 * np.sin(at)])


def box(x0: float, y0: float, x1: float, y1: float) -> list[tuple[float, float]]:
    """Return the outline of a rectangle with its sides along the page, for `polygons` and `Frame.shapes`.

    Examples
    --------
    >>> box(0, 0, 4, 1)
    [(0, 0), (4, 0), (4, 1), (0, 1)]
    """
    return [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]
