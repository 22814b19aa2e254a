"""What an average month hides: its driest week, and the hours in which wet wood molds."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

import numpy as np

from woodcalc import climate, tables
from woodcalc.units import F_PER_C

if TYPE_CHECKING:
    import pandas as pd


_WAVES = 2  # of the year that a single month's figures are held to, as those of humidity are


def spells(site: str | climate.Site) -> pd.DataFrame:
    """Return a place's driest weeks and warm damp hours, month by month.

    Each month of the weather files is one real month, so its figures are held to a mean and two waves of the year. A
    place of one's own has those of the station whose year of temperature and humidity is the most alike.

    Parameters
    ----------
    site : str or Site

    Returns
    -------
    DataFrame
        Index month 1-12. Of the driest week, against its month: `emc_drop_pct` (points below it, 0 or more),
        `warmer_f` (below 0: colder), `wind_times`. Of the whole month: `warm_damp_share` (of the hours, 50 to 95 F with
        80 % humidity or more), `emc_day_sd_pct` (standard deviation of the day's mean EMC) and `sun_kwh_m2_day` (on
        level ground; the place's own where it is known).

    References
    ----------
    data/climate_spread.csv: computed from the hours of the TMY3 files (NREL, NSRDB 1991-2005 update).

    Examples
    --------
    >>> spells("Madison").warm_damp_share.round(2).tolist()[:7]
    [0.0, 0.03, 0.05, 0.09, 0.2, 0.37, 0.52]
    """
    import pandas as pd

    place = climate.get(site)
    row = _likest(place)
    figures = {name: months[row] for name, months in _everywhere().items()}
    own, likest = place.monthly.sun_kwh_m2_day.to_numpy(), climate.everywhere("sun_kwh_m2_day")[row]
    figures["sun_kwh_m2_day"] = np.where(np.isnan(own), likest, own)
    return pd.DataFrame(figures, index=pd.RangeIndex(1, 13, name="month"))


@cache
def _everywhere():
    """The figures of all stations, each (stations, 12)."""
    spread, month = tables.read("climate_spread"), tables.read("climate_monthly")

    def grid(table, name):
        return table[name].to_numpy(dtype=float).reshape(-1, 12)

    drop = grid(month, "emc_hourly_mean_pct") - grid(spread, "driest_week_emc_pct")
    warmer = (grid(spread, "driest_week_t_c") - grid(month, "t_mean_c")) * F_PER_C
    wind = grid(spread, "driest_week_wind_ms") / np.maximum(grid(month, "wind_ms"), 0.5)
    damp = grid(spread, "warm_damp_hours_pct") / 100
    return {
        "emc_drop_pct": np.maximum(climate.smooth_year(drop, _WAVES), 0.0),
        "warmer_f": climate.smooth_year(warmer, _WAVES),
        "wind_times": np.clip(climate.smooth_year(wind, _WAVES), 0.25, 4.0),
        "warm_damp_share": np.clip(climate.smooth_year(damp, _WAVES), 0.0, 1.0),
        "emc_day_sd_pct": np.maximum(climate.smooth_year(grid(spread, "emc_day_sd_pct"), _WAVES), 0.0),
    }


@cache
def _likest(site):
    """The row of a place among the stations: its own, or that of the one with the likest year."""
    known = np.flatnonzero(climate.stations().station_id == site.station_id)
    if len(known):
        return int(known[0])
    off = [
        (climate.everywhere(name) - site.monthly[name].to_numpy()) / unit
        for name, unit in (("temp_f", 5.0), ("rh_pct", 5.0))  # one is worth the other: judgment
    ]
    return int(np.square(off).sum((0, 2)).argmin())
