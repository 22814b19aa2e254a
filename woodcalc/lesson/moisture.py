"""Panels of the lesson on water in wood."""

from woodcalc import species
from woodcalc.figures import moisture as figures
from woodcalc.lesson.panel import choice, panel, slider

_DIVISIONS = [("0.01 g", 0.01), ("0.1 g", 0.1), ("1 g", 1.0), ("5 g", 5.0)]


def board_panel():
    """Panel: a board on a scale, its wood, bound water and free water."""
    return panel(
        figures.board_on_scale,
        [
            choice("species", "Wood", species.names(), "northern red oak"),
            slider("mc_pct", "Moisture content (%)", 0, 150, 1, 80),
            slider("width_in", "Width (in)", 4, 16, 1, 8),
            slider("length_ft", "Length (ft)", 4, 16, 1, 10),
        ],
        "A board on a scale: 1-1/8 in thick when green",
    )


def oven_panel():
    """Panel: an oven test and what three mistakes do to it."""
    return panel(
        figures.oven_test,
        [
            slider("hours", "Time in the oven (h)", 2, 36, 1, 24),
            slider("from_end_in", "Section cut from the end by (in)", 1, 30, 1, 24),
            choice("division_g", "The scale reads to", _DIVISIONS, 0.1),
        ],
        "The oven test, and three ways to spoil it",
    )


def sample_panel():
    """Panel: a sample board's weight, and the moisture content that it tells."""
    return panel(
        figures.sample_board,
        [
            slider("section_1_pct", "First section (% MC)", 40.0, 100.0, 0.5, 66.5),
            slider("section_2_pct", "Second section (% MC)", 40.0, 100.0, 0.5, 58.0),
            slider("green_lb", "Board, right after cutting (lb)", 4.0, 6.0, 0.01, 4.46),
            slider("lost_lb", "Weight lost since (lb)", 0.0, 1.0, 0.01, 0.0),
        ],
        "A sample board",
    )


def unknown_board_panel(board_mc_pct):
    """Panel: the oven test on a board whose moisture content is not told."""

    def draw(hours, from_end_in, division_g, big=False):
        return figures.oven_test(hours, from_end_in, division_g, board_mc_pct, tell=False, big=big)

    return panel(
        draw,
        [
            slider("hours", "Time in the oven (h)", 2, 36, 1, 6),
            slider("from_end_in", "Section cut from the end by (in)", 1, 30, 1, 2),
            choice("division_g", "The scale reads to", _DIVISIONS, 1.0),
        ],
        "Weigh a section of this board",
    )
