"""Panels of lesson 10: boards of one log, a year of a table top, a panel in its groove, a gauge board, own project."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Any

from woodcalc import climate, movement, species
from woodcalc.figures import movement as figures
from woodcalc.lesson import own
from woodcalc.lesson.lists import place_names, wood_names
from woodcalc.lesson.panel import choice, panel, slider

if TYPE_CHECKING:
    from woodcalc.lesson.box import Box, Shown
    from woodcalc.lesson.panel import Panel


__all__ = ["gauge_panel", "groove_panel", "log_panel", "own_panel", "year_panel"]


def log_panel() -> Panel:
    """Panel: boards of one log, green and dried."""
    dials = [
        slider("mc_pct", "Dried to (% MC)", 4, 30, 1, 8),
        choice("species", "Wood", wood_names(), "northern red oak"),
    ]
    return panel(figures.one_log, dials, "One log, six pieces: which way they move")


def year_panel() -> Panel:
    """Panel: a year of a table top."""
    dials = [
        choice("sawn", "Sawn", list(movement.SAWN), "flat-sawn"),
        slider("width_in", "Width of the top (in)", 12, 48, 1, 36),
        choice("species", "Wood", wood_names(), "black cherry"),
        choice("place", "Place", place_names(), "Madison, WI"),
        slider("lag_days", "Wood lags behind the air by (days)", 0, 120, 5, 30),
    ]
    return panel(figures.top_year, dials, "A year of a table top")


def groove_panel() -> Panel:
    """Panel: the gap to leave for a loose panel."""
    dials = [
        slider("made_mc_pct", "Made at (% MC)", 5, 14, 1, 7),
        slider("panel_in", "Width of the panel (in)", 4, 24, 1, 14),
        choice("sawn", "Sawn", list(movement.SAWN), "flat-sawn"),
        choice("species", "Wood", wood_names(), "white oak"),
        choice("place", "Place", place_names(), "Madison, WI"),
    ]
    return panel(figures.panel_in_groove, dials, "A panel in its groove: what to leave")


def gauge_panel(low_mc_pct: float = 6.0, high_mc_pct: float = 12.0, dampest: int = 8, **_: Any) -> Panel:
    """Panel: a gauge board in a house that does not tell its air."""
    draw = partial(_gauge, low_mc_pct=low_mc_pct, high_mc_pct=high_mc_pct, dampest=dampest)
    return panel(
        draw,
        [slider("month", "Month (1 January to 12 December)", 1, 12, 1, 5)],
        "A board tells the house's air",
    )


def _gauge(month, low_mc_pct, high_mc_pct, dampest, big=False):
    return figures.gauge_board(month, low_mc_pct, high_mc_pct, dampest, big=big)


def own_panel() -> Box | Shown:
    """Panel: the learner's own wood and place through the year."""
    return own.show(_own_piece, lesson="10")


def _own_piece(_, say):
    mine = own.chosen(say)
    dials = [
        slider("width_in", "Width of the piece (in)", 4, 48, 1, 24),
        choice("sawn", "Sawn", list(movement.SAWN), "flat-sawn"),
        choice("species", "Wood", wood_names(), species.get(mine.species).name),
        choice("place", "Place", place_names(), climate.get(mine.place).name),
        slider("lag_days", "Wood lags behind the air by (days)", 0, 120, 5, 30),
    ]
    return panel(figures.top_year, dials, "My own piece through the year")
