"""Panels of lesson 05: the air, the wood's answer to it, and a year of both."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from woodcalc import climate
from woodcalc.figures import air as figures
from woodcalc.figures import climate as places
from woodcalc.lesson import own
from woodcalc.lesson.box import table
from woodcalc.lesson.lists import months, place_names
from woodcalc.lesson.panel import choice, panel, slider, switch

if TYPE_CHECKING:
    from woodcalc.lesson.box import Box, Shown
    from woodcalc.lesson.panel import Panel


__all__ = ["air_and_wood_panel", "emc_panel", "shed_block_panel", "shed_today_panel", "year_panel"]


def air_and_wood_panel() -> Panel:
    """Panel: what the air carries, and which way the water goes in a board."""
    dials = [
        slider("temp_f", "Air temperature (F)", 20, 95, 1, 70),
        slider("rh_pct", "Relative humidity of the air (%)", 5, 95, 1, 65),
        slider("mc_pct", "Moisture content of the board (%)", 0, 40, 1, 30),
    ]
    return panel(figures.air_and_wood, dials, "The air, and a board in it")


def emc_panel() -> Panel:
    """Panel: the moisture content at which wood rests, for any air."""
    dials = [
        slider("temp_f", "Air temperature (F)", 20, 150, 1, 70),
        slider("rh_pct", "Relative humidity (%)", 5, 95, 1, 65),
    ]
    return panel(figures.emc_chart, dials, "Where wood comes to rest")


def year_panel() -> Panel:
    """Panel: a typical year outdoors and in a heated house."""
    dials = [
        choice("place", "Place", place_names(), "Madison, WI"),
        slider("heat_f", "House heated to (F)", 55, 80, 1, places.HEAT_F),
        slider("people_g_per_m3", "People add water (g per m3 of air)", 0, 8, 1, places.PEOPLE_G_PER_M3),
        switch("cooled", "Air conditioner in warm months"),
    ]
    return panel(places.year_indoors, dials, "A year outdoors and in a heated house")


def shed_today_panel() -> Box | Shown:
    """Panel: the learner's own place, and what a hygrometer in the shed says."""
    return own.show(_shed_today, lesson="05")


def _shed_today(_, say):
    mine = own.chosen(say)
    dials = [
        choice("place", "Place", place_names(), climate.get(mine.place).name),
        choice("month", "Today's month", months(), mine.month),
        slider("temp_f", "My thermometer says (F)", 0, 110, 1, 60),
        slider("rh_pct", "My hygrometer says (%)", 5, 95, 1, 60),
    ]
    return panel(places.shed_today, dials, "My shed today")


def shed_block_panel(temp_f: float, rh_pct: float, dry_oz: float, **_: Any) -> Panel:
    """Panel: a block hung up in a shed whose humidity is not told; weigh it day by day."""

    def draw(days, big=False):
        return figures.block_on_scale(days, temp_f, rh_pct, dry_oz, big=big)

    return panel(draw, [slider("days", "Weigh the block on day", 0, 28, 1, 0)], "The block in the shed")


def own_months() -> Box | Shown:
    """Show where wood outdoors comes to rest, month by month, at the place that the learner chose.

    Examples
    --------
    >>> print(own_months())
    Madison, WI: wood outdoors, under a roof, comes to rest at (% MC)
    Jan  Feb  Mar  Apr  May  Jun  Jul  Aug  Sep  Oct  Nov  Dec
    15.4  15.0  13.9  12.9  12.8  13.6  14.6  15.1  14.9  14.5  14.6  15.1
    """
    return own.show(_months, lesson="05")


def _months(_, say):
    site = climate.get(own.chosen(say).place)
    rests = [f"{emc:.1f}" for emc in site.monthly.emc_pct]
    return table(
        climate.MONTHS, [rests], f"{site.name}: wood outdoors, under a roof, comes to rest at (% MC)"
    )
