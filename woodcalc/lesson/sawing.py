"""Panels of lesson 2 (patterns, kerf, first cut, dry boards, rules) and the settings sheet of lesson 3."""

from woodcalc import species
from woodcalc.figures import sawing as figures
from woodcalc.figures import settings_sheet as sheets
from woodcalc.lesson.panel import choice, panel, slider, switch

_PATTERNS = [(figures.NAMES[p], p) for p in figures.PATTERNS]


def _thickness():
    return slider("thickness_in", "Board thickness, green (in)", 1.0, 2.5, 0.0625, 1.125)


def patterns_panel():
    """Panel: one log opened by the three patterns, what each gives and where the rest goes.

    Examples
    --------
    >>> patterns_panel().dials["small_in"].value
    16.0
    """
    return panel(
        figures.patterns,
        [
            slider("small_in", "Small end, inside bark (in)", 8.0, 22.0, 0.5, 16.0),
            slider("taper_in_per_4ft", "Taper (in per 4 ft)", 0.0, 1.5, 0.25, 0.5),
            slider("length_ft", "Length (ft)", 8, 16, 2, 12),
            slider("kerf_in", "Kerf (in)", 0.0625, 0.375, 0.03125, 0.125),
            _thickness(),
        ],
        "One log, three ways to open it",
    )


def dried_panel():
    """Panel: the boards of a 12 ft log in their places after drying, and the cup of each.

    Examples
    --------
    >>> dried_panel().dials["pattern"].value
    'through-and-through'
    """
    return panel(
        figures.dried_in_place,
        [
            choice("pattern", "Pattern", _PATTERNS),
            choice("species", "Wood", species.names(), "northern red oak"),
            slider("mc_pct", "Dried to (% moisture)", 6, 30, 1, 8),
            slider("small_in", "Small end, inside bark (in)", 10, 22, 1, 16),
        ],
        "The same boards, dry",
    )


def kerf_panel():
    """Panel: a thin and a thick saw line in the same log.

    Examples
    --------
    >>> kerf_panel().dials["thick_in"].value
    0.25
    """
    return panel(
        figures.kerfs,
        [
            slider("thin_in", "Kerf of the first saw (in)", 0.0625, 0.25, 0.03125, 0.0625),
            slider("thick_in", "Kerf of the second saw (in)", 0.0625, 0.375, 0.03125, 0.25),
            slider("small_in", "Small end, inside bark (in)", 8.0, 22.0, 0.5, 14.0),
            _thickness(),
        ],
        "A thin band against a circular saw: a 12 ft log around a cant",
    )


def first_cut_panel():
    """Panel: set the first cut by hand and see how far it is from the best.

    Examples
    --------
    >>> first_cut_panel().dials["curve"].value
    False
    """
    return panel(
        figures.first_cut,
        [
            slider("slab_in", "First slab, at the large end (in)", 0.25, 4.0, 0.0625, 2.0),
            slider("small_in", "Small end, inside bark (in)", 9.0, 22.0, 0.5, 14.0),
            slider("kerf_in", "Kerf (in)", 0.0625, 0.25, 0.0625, 0.125),
            _thickness(),
            switch("curve", "Show every first cut"),
        ],
        "Where do you make the first cut? A 12 ft log, sawn through and through",
    )


def rules_panel():
    """Panel: what the log rules promise and what the saw gives, by diameter.

    Examples
    --------
    >>> rules_panel().dials["shown"].value
    'board feet (bf)'
    """
    return panel(
        figures.rules_and_boards,
        [
            slider("length_ft", "Length (ft)", 8, 16, 2, 12),
            slider("kerf_in", "Kerf (in)", 0.0625, 0.375, 0.03125, 0.125),
            _thickness(),
            choice("pattern", "Pattern", _PATTERNS, "cant"),
            choice("shown", "The chart shows", figures.SHOWN),
        ],
        "What the rules promise, what the saw gives",
    )


def sheet_panel():
    """Panel: the settings sheet walked pass by pass, the wood on the bed and the height of the blade.

    Examples
    --------
    >>> sheet_panel().dials["pass_number"].value
    1
    """
    return panel(
        sheets.sheet_walk,
        [
            slider("pass_number", "Pass (number)", 1, 40, 1, 1),
            choice("pattern", "Pattern", _PATTERNS, "cant"),
            slider("small_in", "Small end, inside bark (in)", 8, 22, 1, 14),
            slider("kerf_in", "Kerf (in)", 0.0625, 0.25, 0.0625, 0.0625),
            choice("mill", "The mill", list(sheets.MILLS)),
        ],
        "From thickness to blade height: 4/4 boards from a 12 ft log",
    )


def unknown_mill_panel(kerf_in, **_):
    """Panel: a mill whose kerf nobody wrote down; saw boards and read the scale.

    Parameters
    ----------
    kerf_in : float
        The hidden kerf (in).

    Examples
    --------
    >>> unknown_mill_panel(0.125).dials["boards_off"].value
    1
    """

    def draw(boards_off, thickness_in, big=False):
        return figures.unknown_mill(boards_off, thickness_in, kerf_in, big=big)

    return panel(
        draw,
        [
            slider("boards_off", "Boards sawn off (number)", 0, 8, 1, 1),
            slider("thickness_in", "Their thickness (in)", 0.75, 1.25, 0.125, 1.0),
        ],
        "A mill whose kerf nobody wrote down",
    )
