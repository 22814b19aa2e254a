"""Panels of the lesson on cutting thick enough."""

from woodcalc import species
from woodcalc.figures import shrinkage as figures
from woodcalc.lesson.panel import choice, panel, slider


def board_panel():
    """Panel: a board's cross-section green and dried, by its place in the log."""
    return panel(
        figures.board_dries,
        [
            choice("species", "Wood", species.names(), "northern red oak"),
            slider("mc_pct", "Dried to moisture content (%)", 0, 80, 1, 8),
            slider("ring_angle_deg", "Rings against the face (degrees)", 0, 90, 5, 0),
            slider("pith_in", "From the pith to the board (in)", 1, 12, 1, 5),
        ],
        "A board dries: 8 in wide, 1-1/8 in thick",
    )


def target_panel():
    """Panel: how thick to saw, and how many boards come out too thin."""
    return panel(
        figures.target_size,
        [
            choice("nominal", "Thickness wanted", ["4/4", "5/4", "6/4", "8/4"]),
            slider("planing_32", "Planed off, both faces (1/32 in)", 0, 8, 1, 4),
            slider("shrink_pct", "Shrinkage of the thickness (%)", 0.0, 10.0, 0.1, 6.3),
            slider("sawing_sd_in", "The saw's spread, one s.d. (in)", 0.005, 0.060, 0.005, 0.025),
            slider("set_32", "Saw set above nominal (1/32 in)", 0, 12, 1, 0),
        ],
        "How thick to saw",
    )


def block_panel(shrink_pct):
    """Panel: a block in a caliper, whose total shrinkage is not told."""

    def draw(mc_pct, big=False):
        return figures.block_in_caliper(mc_pct, shrink_pct, big=big)

    return panel(
        draw, [slider("mc_pct", "Moisture content (%)", 8, 60, 1, 60)], "A block of unknown wood dries"
    )
