"""Maps of lessons 05, 07 and 09: what the air of 925 places does to wood, with the learner's own place marked."""

from __future__ import annotations

from typing import TYPE_CHECKING

from woodcalc import climate
from woodcalc.figures import maps as figures
from woodcalc.figures.climate import HEAT_F, PEOPLE_G_PER_M3
from woodcalc.lesson import own
from woodcalc.lesson.lists import THICKNESSES, place_names, wood_names
from woodcalc.lesson.panel import choice, panel, slider

if TYPE_CHECKING:
    from woodcalc.lesson.box import Box, Shown


__all__ = ["houses_map_panel", "rests_map_panel", "stacks_map_panel"]

A_POINT_UNDER = 7  # % MC: the air of a room brings wood to 8 % in good time if it holds it at a point less


def rests_map_panel() -> Box | Shown:
    """Panel: where wood comes to rest outdoors, month by month, all over the 48 states."""
    return own.show(_rests, lesson="05")


def _rests(_, say):
    dials = [
        slider("month", "In the air of (month)", 1, 12, 1, 5),
        choice("place", "Place to mark", place_names(), _place(own.chosen(say))),
    ]
    return panel(figures.rests_outdoors, dials, "A map: where wood comes to rest outdoors")


def stacks_map_panel() -> Box | Shown:
    """Panel: days outdoors to 20 %, or where drying outdoors stops, for the wood that the learner chose."""
    return own.show(_stacks, lesson="07")


def _stacks(_, say):
    mine = own.chosen(say, THICKNESSES)
    dials = [
        choice("wood", "Wood", wood_names(), mine.species),
        choice("thickness", "Thickness (quarters of an inch)", THICKNESSES, mine.thickness),
        slider("month", "Stacked in the middle of (month)", 1, 12, 1, mine.month),
        choice("place", "Place to mark", place_names(), _place(mine)),
        choice("shown", "The map shows", figures.SHOWN, "days"),
    ]
    return panel(figures.stacks_outdoors, dials, "A map: drying outdoors")


def houses_map_panel() -> Box | Shown:
    """Panel: in how many months a heated house dries wood as far as furniture wants it."""
    return own.show(_houses, lesson="09")


def _houses(_, say):
    dials = [
        choice("place", "Place to mark", place_names(), _place(own.chosen(say))),
        slider("heat_f", "House heated to (F)", 55, 80, 1, HEAT_F),
        slider("people_g_per_m3", "People add water (g per m3 of air)", 0, 8, 1, PEOPLE_G_PER_M3),
        slider("mc_pct", "Air that holds wood at or under (% MC)", 5, 10, 1, A_POINT_UNDER),
    ]
    return panel(figures.houses, dials, "A map: the heated house as a dryer")


def _place(mine):
    return climate.get(mine.place).name
