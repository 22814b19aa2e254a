"""Charts for the printed plan by matplotlib, in the look of `style`: letters as outlines, the same on every machine."""

import functools

import matplotlib as mpl
from matplotlib.figure import Figure

from woodcalc.figures import style

# Never colour alone: the n-th series takes the n-th colour, dash and marker together.
SERIES = (
    {"color": style.BLUE, "linestyle": "-", "marker": "o"},
    {"color": style.ORANGE, "linestyle": "--", "marker": "s"},
    {"color": style.GREEN, "linestyle": "-.", "marker": "^"},
    {"color": style.PINK, "linestyle": ":", "marker": "D"},
    {"color": style.GOLD, "linestyle": (0, (6, 1.5, 1, 1.5, 1, 1.5)), "marker": "v"},
    {"color": style.INK, "linestyle": (0, (1, 1)), "marker": "P"},
)

_LOOK = {
    "font.family": "DejaVu Sans",
    "font.size": 13,
    "axes.titlesize": 15,
    "axes.titleweight": "bold",
    "axes.titlelocation": "left",
    "axes.titlepad": 12,
    "axes.titley": 1.0,  # a fixed place saves a search for one, 10 ms a picture
    "axes.labelsize": 13,
    "axes.edgecolor": style.SOFT,
    "axes.labelcolor": style.INK,
    "axes.spines.top": False,
    "axes.spines.right": False,
    "axes.grid": True,
    "axes.axisbelow": True,
    "grid.color": style.PALE,
    "grid.linewidth": 1.0,
    "xtick.labelsize": 12.5,
    "ytick.labelsize": 12.5,
    "xtick.color": style.INK,
    "ytick.color": style.INK,
    "text.color": style.INK,
    "lines.linewidth": 2.8,
    "lines.markersize": 9,
    "legend.frameon": False,
    "legend.fontsize": 12.5,
    "svg.fonttype": "path",  # the same letters on every machine
    "svg.hashsalt": "woodcalc",  # the same file from run to run
}
_TYPE_SIZES = [k for k in _LOOK if k.endswith("size") and k != "lines.markersize"]


@functools.cache
def _look(big):
    look = dict(_LOOK)
    if big:
        look |= {k: _LOOK[k] * style.BIG for k in _TYPE_SIZES}
        look |= {"lines.linewidth": _LOOK["lines.linewidth"] * 1.4, "lines.markersize": 12}
    return look


def plotted(function):
    """Wrap a figure function so that it draws in the house style; it gains the keyword `big`.

    Parameters
    ----------
    function : callable
        Returns ``(Figure, sentence)`` or ``(Figure, sentence, html)``.

    Examples
    --------
    >>> @plotted
    ... def empty():
    ...     return new_figure(), "Nothing yet."
    >>> empty(big=True)[1]
    'Nothing yet.'
    """

    @functools.wraps(function)
    def wrapper(*args, big=False, **kwargs):
        with mpl.rc_context(_look(bool(big))):
            return function(*args, **kwargs)

    return wrapper


class _Figure(Figure):
    def savefig(self, *args, **kwargs):
        """As matplotlib's, letters as outlines and the same bytes from run to run."""
        with mpl.rc_context({k: _LOOK[k] for k in ("svg.fonttype", "svg.hashsalt")}):
            super().savefig(*args, **kwargs)


def new_figure(width_in=8.0, height_in=4.8):
    """Return an empty Figure of a fixed size, apart from pyplot so that nothing is echoed or leaked.

    Parameters
    ----------
    width_in, height_in : float
        Size on the page; 1 in is 100 px on screen. Panels show up to 8 in beside their sliders.

    Examples
    --------
    >>> new_figure().get_size_inches().tolist()
    [8.0, 4.8]
    """
    return _Figure(figsize=(width_in, height_in), dpi=100)


def end_label(axes, x, y, text, color, dx=6, dy=0, **text_style):
    """Write a series' name at the end of its line, in its colour, so that no legend is needed.

    Examples
    --------
    >>> axes = new_figure().subplots()
    >>> end_label(axes, 1, 2, "Doyle", style.BLUE).get_text()
    'Doyle'
    """
    return axes.annotate(
        text, (x, y), xytext=(dx, dy), textcoords="offset points", color=color, va="center", **text_style
    )


def end_labels(axes, x, ends, dx=12):
    """Write the names of several series at the ends of their lines, moved apart where they would touch.

    Parameters
    ----------
    axes : matplotlib.axes.Axes
        With its y-limits set.
    x : float
        Where the lines end.
    ends : list of (float, str, str)
        Last height, name (one line or more) and colour of each series.
    dx : float
        To the right of the end, points.

    Examples
    --------
    >>> axes = new_figure().subplots()
    >>> low, high = end_labels(axes, 1, [(0.5, "heated", style.BLUE), (0.5, "unheated", style.ORANGE)])
    >>> float(high.xyann[1] - low.xyann[1])  # points: one line of type of 10
    13.0
    """
    low, high = axes.get_ylim()
    point = (high - low) / axes.bbox.height * axes.figure.dpi / 72  # in units of the axis
    ends = sorted(ends, key=lambda end: end[0])
    lines = [0.65 * mpl.rcParams["font.size"] * (1 + name.count("\n")) for _, name, _ in ends]  # half heights
    lifts = [0.0]
    for (y0, *_), (y1, *_), a, b in zip(ends, ends[1:], lines, lines[1:], strict=False):
        lifts.append(max(0.0, lifts[-1] + a + b - (y1 - y0) / point))
    middle = sum(lifts) / len(lifts)
    return [
        end_label(axes, x, y, name, color, dx, lift - middle, annotation_clip=False)
        for (y, name, color), lift in zip(ends, lifts, strict=True)
    ]
