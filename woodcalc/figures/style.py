"""One look for every picture: colours safe for colour-blind eyes, type readable from the back row."""

import base64
import functools
import html
import io

import matplotlib as mpl
from matplotlib.figure import Figure

# Okabe M., Ito K. 2008, Color Universal Design: eight colours told apart with any common colour vision.
INK = "#1b1b1b"
SOFT = "#6b6b6b"
PALE = "#e4e0d8"
BLUE = "#0072b2"
ORANGE = "#d55e00"
GREEN = "#009e73"
GOLD = "#e69f00"
SKY = "#56b4e9"
PINK = "#cc79a7"
WOOD = "#d9b98a"  # drawings of wood: fill, always with an INK or BARK outline
BARK = "#6e4a2a"

# Never colour alone: the n-th series takes the n-th colour, dash and marker together.
SERIES = (
    {"color": BLUE, "linestyle": "-", "marker": "o"},
    {"color": ORANGE, "linestyle": "--", "marker": "s"},
    {"color": GREEN, "linestyle": "-.", "marker": "^"},
    {"color": PINK, "linestyle": ":", "marker": "D"},
    {"color": GOLD, "linestyle": (0, (6, 1.5, 1, 1.5, 1, 1.5)), "marker": "v"},
    {"color": INK, "linestyle": (0, (1, 1)), "marker": "P"},
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
    "axes.edgecolor": SOFT,
    "axes.labelcolor": INK,
    "axes.spines.top": False,
    "axes.spines.right": False,
    "axes.grid": True,
    "axes.axisbelow": True,
    "grid.color": PALE,
    "grid.linewidth": 1.0,
    "xtick.labelsize": 12.5,
    "ytick.labelsize": 12.5,
    "xtick.color": INK,
    "ytick.color": INK,
    "text.color": INK,
    "lines.linewidth": 2.8,
    "lines.markersize": 9,
    "legend.frameon": False,
    "legend.fontsize": 12.5,
    "svg.fonttype": "path",  # the same letters on every machine
    "svg.hashsalt": "woodcalc",  # the same file from run to run
}
_TYPE_SIZES = [k for k in _LOOK if k.endswith("size") and k != "lines.markersize"]
BIG = 1.22  # a class reads from the back row: type and lines grow, the picture's frame does not


@functools.cache
def _look(big):
    look = dict(_LOOK)
    if big:
        look |= {k: _LOOK[k] * BIG for k in _TYPE_SIZES}
        look |= {"lines.linewidth": _LOOK["lines.linewidth"] * 1.4, "lines.markersize": 12}
    return look


def drawn(function):
    """Wrap a figure function so that it draws in the house style; it gains the keyword `big`.

    Parameters
    ----------
    function : callable
        Returns ``(Figure, sentence)`` or ``(Figure, sentence, html)``.

    Examples
    --------
    >>> @drawn
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
    return Figure(figsize=(width_in, height_in), dpi=100)


def to_svg(figure):
    """Return the figure as SVG text, the same bytes from run to run.

    Examples
    --------
    >>> to_svg(new_figure())[:5]
    '<?xml'
    """
    buffer = io.StringIO()
    with mpl.rc_context({k: _LOOK[k] for k in ("svg.fonttype", "svg.hashsalt")}):
        figure.savefig(buffer, format="svg", metadata={"Date": None})
    return buffer.getvalue()


def to_img(figure, sentence):
    """Return an HTML ``<img>`` that holds the figure, with `sentence` as its alt text.

    Parameters
    ----------
    figure : matplotlib.figure.Figure
    sentence : str
        What the picture shows, in words and numbers.

    Examples
    --------
    >>> to_img(new_figure(), "An empty frame.")[:28]
    '<img alt="An empty frame." s'
    """
    code = base64.b64encode(to_svg(figure).encode()).decode()
    width, height = figure.get_size_inches() * 100
    return (
        f'<img alt="{html.escape(sentence)}" src="data:image/svg+xml;base64,{code}" '
        f'width="{width:.0f}" height="{height:.0f}" style="max-width:100%;height:auto">'
    )


def end_label(axes, x, y, text, color, dx=6, dy=0, **text_style):
    """Write a series' name at the end of its line, in its colour, so that no legend is needed.

    Examples
    --------
    >>> axes = new_figure().subplots()
    >>> end_label(axes, 1, 2, "Doyle", BLUE).get_text()
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
    >>> low, high = end_labels(axes, 1, [(0.5, "heated", BLUE), (0.5, "unheated", ORANGE)])
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
