"""A drawing written straight as SVG, in the house look, for panels that redraw many boards at each slider move.

It stands where a matplotlib Figure stands (it has `savefig` and `get_size_inches`), and is ten times as fast for a
picture of a hundred boards. Positions on the page are in pixels from the top left, 100 to the inch; a `Frame` maps
inches of wood, or the numbers of a chart, onto a part of the page.
"""

from html import escape

import matplotlib as mpl
import numpy as np

from woodcalc.figures import style

_ROUND = np.linspace(0, 2 * np.pi, 73)[:-1]
_FONT = "DejaVu Sans, Verdana, Segoe UI, sans-serif"
_DASHES = ("", "9 4", "12 4 2 4", "2 4", "16 4 2 4 2 4")  # as style.SERIES: solid, dashed, dash-dot, dotted ...
_MARKERS = {
    "o": lambda r: [(r * np.cos(a), r * np.sin(a)) for a in _ROUND[::6]],
    "s": lambda r: [(-r, -r), (r, -r), (r, r), (-r, r)],
    "^": lambda r: [(0, -1.2 * r), (1.1 * r, 0.8 * r), (-1.1 * r, 0.8 * r)],
    "D": lambda r: [(0, -1.3 * r), (1.3 * r, 0), (0, 1.3 * r), (-1.3 * r, 0)],
}


class Drawing:
    """An empty page; draw on it with its methods, colours and widths as in SVG.

    Parameters
    ----------
    width_in, height_in : float
        Size on the page, 100 px to the inch.

    Examples
    --------
    >>> page = Drawing(8, 4)
    >>> page.polygons([[(0, 0), (10, 0), (10, 10)]], fill=style.WOOD)
    >>> page.svg().count("<path")
    2
    """

    def __init__(self, width_in=8.0, height_in=4.8):
        self.size = np.array([width_in, height_in])
        self.type = mpl.rcParams["font.size"] * 100 / 72  # px, larger for a class
        self.bold = mpl.rcParams["lines.linewidth"] / 2.8  # lines grow with the type
        self._parts, self._clips = [], 0
        w, h = self.size * 100
        self.polygons([[(0, 0), (w, 0), (w, h), (0, h)]], fill="white", edge="none")

    def polygons(self, outlines, fill="none", edge=style.INK, width=1.0, dash="", clip="", opacity=1.0, close=True):
        """Draw closed outlines (each a sequence of page points) of one look as one path."""
        end = "Z" if close else ""
        path = "".join("M" + "L".join(f"{x:.1f} {y:.1f}" for x, y in outline) + end for outline in outlines)
        if path:
            look = f'fill="{fill}" stroke="{edge}" stroke-width="{width * self.bold:.2f}" stroke-linejoin="round"'
            look += f' stroke-dasharray="{dash}"' if dash else ""
            look += f' clip-path="url(#{clip})"' if clip else ""
            look += f' opacity="{opacity}"' if opacity != 1 else ""
            self._parts.append(f'<path d="{path}" {look}/>')

    def lines(self, strokes, edge=style.INK, width=1.0, dash="", clip="", opacity=1.0):
        """Draw open lines of one look."""
        self.polygons(strokes, "none", edge, width, dash, clip, opacity, close=False)

    def clip(self, outline):
        """Return the name of a clip with this outline, for `polygons` and `lines`."""
        self._clips += 1
        path = "M" + "L".join(f"{x:.1f} {y:.1f}" for x, y in outline) + "Z"
        self._parts.append(f'<clipPath id="c{self._clips}"><path d="{path}"/></clipPath>')
        return f"c{self._clips}"

    def text(self, x, y, words, at="start", color=style.INK, size=1.0, bold=False):
        """Write `words` with their middle at height y; `at` is start, middle or end."""
        weight = ' font-weight="bold"' if bold else ""
        self._parts.append(
            f'<text x="{x:.1f}" y="{y + 0.36 * size * self.type:.1f}" text-anchor="{at}" fill="{color}" '
            f'font-size="{size * self.type:.1f}"{weight}>{escape(words)}</text>'
        )

    def marker(self, x, y, kind, color, size=6.0, edge=style.INK, width=1.2):
        """Draw a marker: o, s, ^ or D."""
        self.polygons([[(x + a, y + b) for a, b in _MARKERS[kind](size)]], color, edge, width)

    def svg(self):
        """Return the whole drawing as SVG text."""
        w, h = self.size * 100
        return (
            f'<?xml version="1.0" encoding="utf-8"?><svg xmlns="http://www.w3.org/2000/svg" width="{w:.0f}" '
            f'height="{h:.0f}" viewBox="0 0 {w:.0f} {h:.0f}" font-family="{_FONT}">{"".join(self._parts)}</svg>'
        )

    def savefig(self, target, format="svg", **_):
        """Write the SVG text to an open text file, as a Figure would."""
        target.write(self.svg())

    def get_size_inches(self):
        """Width and height (in)."""
        return self.size


class Frame:
    """A part of the page with coordinates of its own, y upward.

    Parameters
    ----------
    page : Drawing
    box : tuple
        Left, top, width, height on the page (px).
    xlim, ylim : tuple
        What they span.

    Examples
    --------
    >>> Frame(Drawing(8, 4), (100, 50, 200, 200), (0, 10), (0, 10)).at([(5, 10)]).tolist()
    [[200.0, 50.0]]
    """

    def __init__(self, page, box, xlim, ylim):
        self.page, self.box, self.xlim, self.ylim = page, box, xlim, ylim
        self._scale = np.array([box[2] / (xlim[1] - xlim[0]), -box[3] / (ylim[1] - ylim[0])])
        self._start = np.array([box[0], box[1] + box[3]]) - self._scale * [xlim[0], ylim[0]]

    def at(self, points):
        """Page points of an array (..., 2) of own points."""
        return np.asarray(points, dtype=float) * self._scale + self._start

    def circle(self, radius):
        """Page outline of a circle about the origin."""
        return self.at(radius * np.column_stack([np.cos(_ROUND), np.sin(_ROUND)]))

    def axes(self, xticks, yticks, xlabel):
        """Draw grid, ticks and the label under the x axis."""
        page, (left, top, width, height) = self.page, self.box
        marks_x = [self.at((x, self.ylim[0])) for x in xticks]
        marks_y = [self.at((self.xlim[0], y)) for y in yticks]
        page.lines([[(x, top), (x, top + height)] for x, _ in marks_x], style.PALE)
        page.lines([[(left, y), (left + width, y)] for _, y in marks_y], style.PALE)
        page.lines([[(left, top), (left, top + height), (left + width, top + height)]], style.SOFT, 1.2)
        for value, (x, y) in zip(xticks, marks_x, strict=True):
            page.text(x, y + 0.85 * page.type, f"{value:g}", "middle", size=0.95)
        for value, (x, y) in zip(yticks, marks_y, strict=True):
            page.text(x - 7, y, f"{value:g}", "end", size=0.95)
        page.text(left + width / 2, top + height + 2.1 * page.type, xlabel, "middle")

    def line(self, x, y, n=0, marked=True):
        """Draw the n-th series of the house: colour, dash and marker together."""
        look, points = style.SERIES[n], self.at(np.column_stack([x, y]))
        points = points[np.isfinite(points).all(axis=1)]
        self.page.lines([points], look["color"], 2.8, _DASHES[n])
        for px, py in points if marked else ():
            self.page.marker(px, py, look["marker"], look["color"], edge="white", width=0.8)
