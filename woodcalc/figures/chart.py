"""Charts and drawings to scale on a page: a part of a `Drawing` with coordinates of its own."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from typing import TYPE_CHECKING, Any

import numpy as np

from woodcalc.checks import Numbers
from woodcalc.figures import style
from woodcalc.figures.drawing import Points, box, oval

if TYPE_CHECKING:
    from woodcalc.figures.drawing import Drawing


_STEPS = sorted([m * 10.0**p for p in range(-4, 6) for m in (1, 2, 5)] + [25, 250, 2500])


def ticks(low: float, high: float, most: int = 5) -> np.ndarray:
    """Return round numbers from `low` to `high`, no more than `most`.

    Examples
    --------
    >>> ticks(0, 23).tolist()
    [0.0, 5.0, 10.0, 15.0, 20.0]
    """
    low, high = min(low, high), max(low, high)
    for step in _STEPS:
        first, last = np.ceil(low / step - 1e-9), np.floor(high / step + 1e-9)
        if last - first < most:
            return np.arange(first, last + 1) * step + 0.0  # no minus zero
    raise ValueError(f"no round numbers from {low:g} to {high:g}")


class Frame:
    """A part of the page with coordinates of its own, y upward.

    Parameters
    ----------
    page : Drawing
    box : tuple
        Left, top, width, height on the page (px).
    xlim, ylim : tuple
        What they span; the larger number first turns an axis round.

    Examples
    --------
    >>> from woodcalc.figures.drawing import Drawing
    >>> Frame(Drawing(8, 4), (100, 50, 200, 200), (0, 10), (0, 10)).at([(5, 10)]).tolist()
    [[200.0, 50.0]]
    """

    def __init__(
        self,
        page: Drawing,
        box: tuple[float, float, float, float],
        xlim: tuple[float, float],
        ylim: tuple[float, float],
    ) -> None:
        self.page, self.box, self.xlim, self.ylim = page, box, xlim, ylim
        self._scale = np.array([box[2] / (xlim[1] - xlim[0]), -box[3] / (ylim[1] - ylim[0])])
        self._start = np.array([box[0], box[1] + box[3]]) - self._scale * [xlim[0], ylim[0]]
        self._inside = ""

    @classmethod
    def to_scale(
        cls,
        page: Drawing,
        box: tuple[float, float, float, float],
        xlim: tuple[float, float],
        ylim: tuple[float, float],
    ) -> Frame:
        """Return a frame in the middle of `box` with one scale for both directions, as large as goes in."""
        left, top, width, height = box
        dx, dy = abs(xlim[1] - xlim[0]), abs(ylim[1] - ylim[0])
        scale = min(width / dx, height / dy)
        w, h = scale * dx, scale * dy
        return cls(page, (left + (width - w) / 2, top + (height - h) / 2, w, h), xlim, ylim)

    @classmethod
    def chart(
        cls,
        page: Drawing,
        part: tuple[float, float, float, float],
        xlim: tuple[float, float],
        ylim: tuple[float, float],
        xticks: Sequence[float] | np.ndarray = (),
        yticks: Sequence[float] | np.ndarray = (),
        xlabel: str = "",
        ylabel: str = "",
        title: str = "",
        xnames: Collection[str] | None = None,
        ynames: Collection[str] | None = None,
        grid: str = "xy",
        beside: str = "",
        below: float = 0.0,
    ) -> Frame:
        """Return a frame with its axes, as large as `part` of the page allows with the words around it.

        Parameters
        ----------
        page : Drawing
        part : tuple
            Left, top, width, height (px), as `Drawing.part` gives them.
        xlim, ylim : tuple
            As in `Frame`.
        xticks, yticks, xlabel, ylabel, title, xnames, ynames, grid
            As in `axes`.
        beside : str
            The longest words that will stand to the right of the frame.
        below : float
            Lines of words that will stand under the label of the x axis.

        Examples
        --------
        >>> from woodcalc.figures.drawing import Drawing
        >>> page = Drawing()
        >>> Frame.chart(page, page.part(), (0, 10), (0, 1), range(11), (0, 1), "Time (days)").box[0] < 40
        True
        """
        left, top, width, height = part
        widest_y = max((page.width(name, 0.95) for name in _names(yticks, ynames)), default=0)
        widest_x = max((page.width(name, 0.95) for name in _names(xticks, xnames)), default=0)
        west = (10 + widest_y if widest_y else 0) + (7 + 1.2 * page.type if ylabel else 0)
        west = max(west, widest_x / 2)
        east = max(widest_x / 2, 14 + page.width(beside) if beside else 0)
        north = (1.85 if title else 0.6 if widest_y else 0.1) * page.type
        south = (below + (_label_down(xnames) + 0.65 if xlabel else 1.5 if widest_x else 0.6)) * page.type
        frame = cls(page, (left + west, top + north, width - west - east, height - north - south), xlim, ylim)
        frame.axes(xticks, yticks, xlabel, ylabel, title, xnames, ynames, grid)
        return frame

    def at(self, points: Points) -> np.ndarray:
        """Page points of an array (..., 2) of own points."""
        return np.asarray(points, dtype=float) * self._scale + self._start

    def circle(self, radius: float) -> np.ndarray:
        """Page outline of a circle about the origin."""
        return self.at(oval(2 * radius, 2 * radius))

    def inside(self) -> str:
        """The name of a clip along the frame's edge."""
        if not self._inside:
            left, top, width, height = self.box
            self._inside = self.page.clip(box(left, top, left + width, top + height))
        return self._inside

    def shapes(
        self,
        outlines: Points,
        fill: str = "none",
        edge: str = style.INK,
        width: float = 1.0,
        **look: Any,
    ) -> None:
        """Draw closed outlines given in own units; the look as in `Drawing.polygons`."""
        self.page.polygons([self.at(o) for o in outlines], fill, edge, width, **look)

    def strokes(
        self,
        lines: Points,
        edge: str = style.INK,
        width: float = 1.0,
        dash: str = "",
        **look: Any,
    ) -> None:
        """Draw open lines given in own units; the look as in `Drawing.lines`."""
        self.page.lines([self.at(o) for o in lines], edge, width, dash, **look)

    def text(self, x: float, y: float, words: str, dx: float = 0.0, dy: float = 0.0, **look: Any) -> None:
        """Write words at an own point, moved by (dx, dy) px, y downward; the look as in `Drawing.text`."""
        px, py = self.at((x, y))
        self.page.text(px + dx, py + dy, words, **look)

    def mark(
        self,
        x: Numbers,
        y: Numbers,
        kind: str = "o",
        color: str = style.INK,
        size: float = 6.0,
        edge: str = style.INK,
        width: float = 1.2,
    ) -> None:
        """Draw a marker at an own point, or at each of arrays of them."""
        points = np.column_stack([np.atleast_1d(x), np.atleast_1d(y)])
        self.page.markers(self.at(points), kind, color, size, edge, width)

    def axes(
        self,
        xticks: Sequence[float] | np.ndarray = (),
        yticks: Sequence[float] | np.ndarray = (),
        xlabel: str = "",
        ylabel: str = "",
        title: str = "",
        xnames: Collection[str] | None = None,
        ynames: Collection[str] | None = None,
        grid: str = "xy",
    ) -> None:
        """Draw grid, ticks, labels and title.

        Parameters
        ----------
        xticks, yticks : sequence of float
            Where the marks stand.
        xlabel, ylabel, title : str
        xnames, ynames : sequence of str, optional
            What is written at the marks in place of their numbers; no words for an empty sequence.
        grid : str
            Which marks have a line across the frame: ``"xy"``, ``"x"``, ``"y"`` or ``""``.
        """
        page, (left, top, width, height) = self.page, self.box
        right, foot = left + width, top + height
        marks_x = [self.at((x, self.ylim[0]))[0] for x in xticks]
        marks_y = [self.at((self.xlim[0], y))[1] for y in yticks]
        across = [[(x, top), (x, foot)] for x in marks_x if "x" in grid]
        across += [[(left, y), (right, y)] for y in marks_y if "y" in grid]
        page.lines(across, style.PALE)
        edge = [[(left, top), (left, foot)]] if len(yticks) else []
        edge += [[(left, foot), (right, foot)]] if len(xticks) else []
        page.lines(edge, style.SOFT, 1.2)
        for name, x in zip(_names(xticks, xnames), marks_x, strict=False):
            page.text(x, foot + 0.85 * page.type, name, "middle", size=0.95)
        names = _names(yticks, ynames)
        for name, y in zip(names, marks_y, strict=False):
            page.text(left - 10, y, name, "end", size=0.95)
        if xlabel:
            page.text(left + width / 2, foot + _label_down(xnames) * page.type, xlabel, "middle")
        if ylabel:
            widest = max((page.width(name, 0.95) for name in names), default=0)
            page.text(left - 17 - widest - 0.55 * page.type, top + height / 2, ylabel, "middle", turn=-90)
        if title:
            page.title(left, top - 0.95 * page.type, title)

    def line(
        self, x: Numbers, y: Numbers, n: int = 0, every: int = 1, width: float = 3.2, **other: Any
    ) -> None:
        """Draw the n-th series of the house: colour, dash and marker together.

        Parameters
        ----------
        x, y : array (n,)
            Points that are not finite are left out.
        n : int
            Which of `style.SERIES`.
        every : int
            A marker at each point, at each second ...; 0 for none.
        width : float
        **other
            ``color``, ``dash`` or ``marker`` in place of the series' own.
        """
        look = style.SERIES[n] | other
        points = np.column_stack([x, y]).astype(float)
        points = points[np.isfinite(points).all(axis=1)]
        low, high = np.sort([self.xlim, self.ylim], axis=1).T - [[1e-9], [-1e-9]]
        outside = ((points < low) | (points > high)).any()
        clip = self.inside() if outside else ""
        page = self.at(points)
        self.page.lines([page] if len(page) > 1 else [], look["color"], width, look["dash"], clip)
        if every and look["marker"]:
            shown = page[::every][((points >= low) & (points <= high)).all(axis=1)[::every]]
            self.page.markers(shown, look["marker"], look["color"])

    def rule(
        self,
        x: float | None = None,
        y: float | None = None,
        color: str = style.SOFT,
        width: float = 2.0,
        dash: str = "",
    ) -> None:
        """Draw a straight line across the frame at x, or at y."""
        ends: list[Any] = [(x, v) for v in self.ylim] if y is None else [(v, y) for v in self.xlim]
        self.strokes([ends], color, width, dash)

    def band(
        self,
        x: tuple[float, float] | None = None,
        y: tuple[float, float] | None = None,
        color: str = style.GOLD,
        opacity: float = 0.3,
    ) -> None:
        """Tint the frame from one x to another, or from one y to another."""
        (x0, x1), (y0, y1) = x or self.xlim, y or self.ylim
        self.shapes([box(x0, y0, x1, y1)], color, "none", opacity=opacity)

    def fill(
        self,
        x: Numbers,
        low: Numbers,
        high: Numbers,
        color: str,
        opacity: float = 0.3,
        edge: str = "none",
        **look: Any,
    ) -> None:
        """Fill between two lines over the same x; `low` may be one number."""
        low, high = np.broadcast_to(low, np.shape(x)), np.broadcast_to(high, np.shape(x))
        outline = np.column_stack([np.append(x, np.flip(x)), np.append(low, high[::-1])])
        self.shapes([outline], color, edge, opacity=opacity, clip=self.inside(), **look)

    def end_labels(
        self, x: float, ends: Sequence[tuple[float, str, str]], dx: float = 11, **look: Any
    ) -> list[tuple[float, float]]:
        """Write the names of series at the ends of their lines, moved apart where they would touch.

        Parameters
        ----------
        x : float
            Where the lines end.
        ends : list of (float, str, str)
            Last height, name (one line or more) and colour of each series.
        dx : float
            To the right of the end (px).
        **look
            As in `Drawing.text`.

        Examples
        --------
        >>> from woodcalc.figures.drawing import Drawing
        >>> chart = Frame(Drawing(), (80, 40, 500, 380), (0, 1), (0, 1))
        >>> [y for _, y in chart.end_labels(1, [(0.5, "heated", style.BLUE), (0.5, "unheated", style.ORANGE)])]
        [241.25, 218.75]
        """
        ends = sorted(ends, key=lambda end: self.at((x, end[0]))[1], reverse=True)  # from the foot up
        own = [self.at((x, y)) for y, *_ in ends]
        half = [0.625 * self.page.type * (1 + name.count("\n")) for _, name, _ in ends]
        lifts = [0.0]
        for (_, y0), (_, y1), a, b in zip(own, own[1:], half, half[1:], strict=False):
            lifts.append(max(0.0, lifts[-1] + a + b - (y0 - y1)))
        middle = sum(lifts) / len(lifts) if lifts else 0
        places = []
        for (px, py), lift, (_, name, color) in zip(own, lifts, ends, strict=True):
            places.append((float(px + dx), float(py - lift + middle)))
            self.page.text(*places[-1], name, color=color, **look)
        return places


def _label_down(xnames):
    """How far under the frame the x axis has its label, in lines: below the names of its marks."""
    return 2.1 if xnames is None or len(xnames) else 0.95


def _names(marks, names):
    return [f"{v:g}".replace("-", "\N{MINUS SIGN}") for v in marks] if names is None else names
