"""When to build a stack: many places, months, woods and thicknesses at once, and the year counted in warm days."""

from __future__ import annotations

from datetime import date
from functools import cache, lru_cache
from typing import TYPE_CHECKING, Any

import numpy as np

from woodcalc import climate, moisture
from woodcalc import species as woods
from woodcalc.checks import InputError, Numbers, within
from woodcalc.drying import slab
from woodcalc.drying.curves import air_from, crossing, horizon_days, knots, usual_band_pct, weather_sd_pct
from woodcalc.drying.rate import (
    REFERENCE_WIDTH_FT,
    SD_LOG_BIOT,
    SD_LOG_PLACE,
    biot,
    day_of_year,
    felt_from_months,
    felt_weather,
    rate,
    start_date,
    start_sd,
    thickness,
)

if TYPE_CHECKING:
    import pandas as pd

_STEP_DAYS, _MODES = 5, 5  # of the sweep over many boards: air held constant so long, and terms of the series


def grid(
    sites: Any,
    starts: Any,
    species: Any,
    thicknesses: Any,
    mc_pct: float = 20.0,
    *,
    airflow: str = "ordinary",
    pile_width_ft: float = REFERENCE_WIDTH_FT,
    pace: float = 1.0,
    part: str = "mixed",
) -> pd.DataFrame:
    """Likely days to a moisture content for every combination of places, starts, woods and thicknesses.

    Parameters
    ----------
    sites : sequence of str or Site, or one
        Or a table like `climate.sites()`.
    starts : sequence of date, str or int, or one
        Dates or months, as in `air_dry`.
    species : sequence of str or Species, or one
        Or a table like `species.table()`.
    thicknesses : sequence of float or str, or one
        Nominal thickness, in or quarters.
    mc_pct : float
        6 to 100 %.
    airflow, pile_width_ft :
        As in `air_dry`.
    pace : float
        Times the usual pace; ``exp(-1.28 * rate(...).sd_log_pace)`` gives the slow end of the band.
    part : {"mixed", "heartwood", "sapwood"}
        Of the log, as in `air_dry`.

    Returns
    -------
    DataFrame
        `site`, `start` (date), `species`, `thickness_in`, `days`: NaN where it is not reached within four
        years.

    Examples
    --------
    >>> grid(["Madison", "Mobile"], ["2026-05-15"], ["red maple"], [1.0, "8/4"]).days.round().tolist()
    [41.0, 98.0, 32.0, 77.0]
    """
    import pandas as pd

    names, air_of = climate.months_of(_several(sites, "station_id"), ("temp_f", "rh_pct"))
    dates = [start_date(s) for s in _several(starts)]
    kinds = [woods.get(s) for s in _several(species, "name")]
    thick = np.array([thickness(t) for t in _several(thicknesses)], dtype=float)
    target = within("mc_pct", mc_pct, 1, 200, "%", "Is it a fraction?")
    shape = (len(names), len(dates), len(kinds), len(thick))
    i, j, k, m = (g.ravel() for g in np.indices(shape))
    per_day = pace * np.array([rate(s, part).per_day for s in kinds])[k] / thick[m] ** 2
    green = np.array([moisture.start_mc_pct(s, part=part) for s in kinds])
    factor, emc = felt_from_months(*air_of)
    first = np.array([day_of_year(d) for d in dates], dtype=int)
    days = days_to_target(
        per_day, biot(airflow, pile_width_ft, thick), m, green[k], target, factor, emc, i, first[j]
    )
    return pd.DataFrame(
        {
            "site": pd.Categorical.from_codes(i, names)
            if len(set(names)) == len(names)
            else [names[n] for n in i],
            "start": np.array(dates, dtype="datetime64[s]")[j],
            "species": [kinds[n].name for n in k],
            "thickness_in": thick[m],
            "days": days,
        }
    )


def _several(value: Any, column: str | None = None) -> Any:
    """One thing, several, or a table's `column`, as a list."""
    if isinstance(value, (date, climate.Site, woods.Species)) or np.isscalar(value):
        return [value]
    return list(value[column] if hasattr(value, "columns") and column else value)


def days_to_target(
    per_day: np.ndarray,
    biots: Numbers,
    which_biot: np.ndarray,
    start_mc: np.ndarray,
    target: float,
    factor: np.ndarray,
    emc: np.ndarray,
    place: np.ndarray,
    first: np.ndarray,
    years: int = 4,
    step_days: int = _STEP_DAYS,
    modes: int = _MODES,
) -> np.ndarray:
    """Days to `target` of many boards, all arrays (boards,); air held constant over `step_days` at a time.

    `biots[which_biot]` is each board's Biot number; `factor`, `emc` (places, 365); `first` the day of the
    year at the start.

    Examples
    --------
    >>> one, air = np.array([0]), np.full((1, 365), 12.0)
    >>> days_to_target(np.array([0.02]), 1.0, one, np.array([80.0]), 20.0, np.ones((1, 365)), air, one, one).round()
    array([144.])
    """
    dried, air = steps_of_air(factor, emc, step_days)
    return _days_in(
        dried, air, per_day, biots, which_biot, start_mc, target, place, first, years, step_days, modes
    )


def _days_in(
    dried: np.ndarray, air: np.ndarray, per_day: np.ndarray, biots: Any, which_biot: np.ndarray, start_mc: np.ndarray,
    target: Any, place: np.ndarray, first: np.ndarray, years: int = 4, step_days: int = _STEP_DAYS, modes: int = _MODES,
) -> np.ndarray:  # fmt: skip
    """As `days_to_target`, from what `steps_of_air` gives."""
    b, B = slab.roots(np.atleast_1d(biots), modes), slab.weights(np.atleast_1d(biots), modes)
    b2 = b**2
    days = np.full(per_day.shape, np.nan)
    open_ = np.flatnonzero(start_mc > target)
    days[start_mc <= target] = 0.0
    e = air[place[open_], first[open_]]
    a = B[which_biot[open_]] * (start_mc[open_] - e)[:, None]
    reached = []  # boards that get there within a step, the step, their modes, how these fade, what is left to lose
    for n in range(years * 365 // step_days):
        today = (first[open_] + n * step_days) % 365
        now = air[place[open_], today]
        which = which_biot[open_]
        a -= B[which] * (now - e)[:, None]
        e = now
        tau = per_day[open_] * dried[place[open_], today]
        before = a
        a = before * np.exp(-b2[which] * tau[:, None])
        done = a.sum(1) + e <= target
        if done.any():
            fades = (b2[which] * tau[:, None])[done]
            reached.append((open_[done], np.full(done.sum(), n), before[done], fades, target - e[done]))
            open_, a, e = open_[~done], a[~done], e[~done]
            if not len(open_):
                break
    if reached:
        boards, step, at, fades, gap = (np.concatenate(each) for each in zip(*reached, strict=True))
        low, high = np.zeros(len(boards)), np.ones(len(boards))
        for _ in range(20):  # the share of the step at which it gets there: MC falls through it
            half = (low + high) / 2
            over = (at * np.exp(-fades * half[:, None])).sum(1) > gap
            low, high = np.where(over, half, low), np.where(over, high, half)
        days[boards] = (step + (low + high) / 2) * step_days
    return days


def steps_of_air(factor: np.ndarray, emc: np.ndarray, step_days: int) -> tuple[np.ndarray, np.ndarray]:
    """The dried time and the EMC that goes with it, over the step that begins on each day of the year.

    Parameters
    ----------
    factor, emc : array (places, 365)
        As in `days_to_target`.
    step_days : int

    Returns
    -------
    (ndarray, ndarray)
        (places, 365) each.

    Examples
    --------
    >>> dried, air = steps_of_air(np.ones((1, 365)), np.full((1, 365), 12.0), 5)
    >>> float(dried[0, 364]), float(air[0, 364])
    (5.0, 12.0)
    """
    # from running sums over two years
    twice_f = np.concatenate([factor, factor], 1)
    twice_fe = np.concatenate([factor * emc, factor * emc], 1)
    sums = [np.concatenate([np.zeros((len(x), 1)), np.cumsum(x, 1)], 1) for x in (twice_f, twice_fe)]
    dried = sums[0][:, step_days : step_days + 365] - sums[0][:, :365]
    return dried, (sums[1][:, step_days : step_days + 365] - sums[1][:, :365]) / dried


@cache
def _air_everywhere() -> tuple[np.ndarray, np.ndarray]:
    """`steps_of_air` of all stations."""
    factor, emc = felt_from_months(*(climate.everywhere(name) for name in ("temp_f", "rh_pct")))
    return steps_of_air(factor, emc, _STEP_DAYS)


def everywhere(
    species: str | woods.Species,
    thickness_in: str | float,
    start: date | str | int,
    mc_pct: float = 20.0,
    *,
    part: str = "mixed",
) -> np.ndarray:
    """Likely days to a moisture content at all weather stations, for a map of them: as `grid`, but faster.

    Parameters
    ----------
    species, thickness_in, start, part :
        As in `air_dry`; airflow and pile are ordinary.
    mc_pct : float
        6 to 100 %.

    Returns
    -------
    ndarray
        In the order of `climate.stations()`; NaN where it is not reached within four years.

    Examples
    --------
    >>> days = everywhere("northern red oak", "4/4", "2026-05-15")
    >>> round(float(days[climate.stations().name == "Madison, WI"][0]))
    78
    """
    wood, thick = woods.get(species), thickness(thickness_in)
    per_day, bi, green, first = _one_stack(wood, thick, start, part)
    target = within("mc_pct", mc_pct, 1, 200, "%", "Is it a fraction?")
    dried, air = _air_everywhere()
    place = np.arange(len(air))
    many, none = np.ones(len(air)), np.zeros(len(air), dtype=int)
    return _days_in(dried, air, per_day * many, bi, none, green * many, target, place, first + none)


def driest_everywhere(
    species: str | woods.Species, thickness_in: str | float, start: date | str | int, *, part: str = "mixed"
) -> np.ndarray:
    """Where drying outdoors stops, at all weather stations: as `Forecast.stops_at_pct` of each.

    Parameters
    ----------
    species, thickness_in, start, part :
        As in `everywhere`.

    Returns
    -------
    ndarray
        %, in the order of `climate.stations()`.

    Examples
    --------
    >>> driest = driest_everywhere("northern red oak", "4/4", "2026-05-15")
    >>> float(driest[climate.stations().name == "Madison, WI"][0].round(1))
    13.3
    """
    wood, thick = woods.get(species), thickness(thickness_in)
    per_day, bi, mc, first = _one_stack(wood, thick, start, part)
    b, B = (of(np.array([bi]), _MODES)[0] for of in (slab.roots, slab.weights))
    dried, air = _air_everywhere()
    now, driest = air[:, first], np.full(len(air), np.inf)
    a = B * (mc - now)[:, None]
    for day in range(first, first + horizon_days(thick), _STEP_DAYS):
        after = air[:, day % 365]
        a = slab.step(a, b, B, after - now, per_day * dried[:, day % 365])
        now = after
        driest = np.minimum(driest, slab.mean(a, now))
    return driest


def _one_stack(
    wood: woods.Species, thick: float, start: date | str | int, part: str
) -> tuple[float, float, float, int]:
    """The rate of a stack, its Biot number, its moisture at the start, and the day of the year that it begins on."""
    per_day = rate(wood, part).per_day / thick**2
    green = moisture.start_mc_pct(wood, part=part)
    return per_day, biot(thickness_in=thick), green, day_of_year(start_date(start))


def by_start(
    species: str | woods.Species,
    thickness_in: str | float,
    site: str | climate.Site,
    mc_pct: float = 20.0,
    *,
    airflow: str = "ordinary",
    pile_width_ft: float = REFERENCE_WIDTH_FT,
    part: str = "mixed",
) -> pd.DataFrame:
    """Days to a moisture content for a stack built in the middle of each month of the year.

    Parameters
    ----------
    species, thickness_in, site, airflow, pile_width_ft, part :
        As in `air_dry`.
    mc_pct : float
        6 to 100 %.

    Returns
    -------
    DataFrame
        Index month 1-12; `low`, `likely`, `high` days (four stacks in five between low and high, as in `air_dry`); NaN
        where it is not reached within four years, `low` and `high` within two for stock up to 6/4.

    Examples
    --------
    >>> by_start("northern red oak", "4/4", "Madison").likely.round().astype(int).tolist()[:4]
    [155, 129, 108, 90]
    """
    import pandas as pd

    wood, place, thick = woods.get(species), climate.get(site), thickness(thickness_in)
    target = within("mc_pct", mc_pct, 1, 200, "%", "Is it a fraction?")
    own, bi = rate(wood, part), biot(airflow, pile_width_ft, thick)
    first, none, green = climate.MID_MONTHS, np.zeros(12, dtype=int), moisture.start_mc_pct(wood, part=part)
    factor, emc = (x[None] for x in felt_weather(place))
    likely = days_to_target(
        np.full(12, own.per_day / thick**2), bi, none, np.full(12, green), target, factor, emc, none, first
    )
    ends = _ends_of_band(wood, thick, place, airflow, pile_width_ft, part)
    low, high = (crossing(knots(horizon_days(thick)), mc, target) for mc in ends)
    table = pd.DataFrame(
        {"low": np.fmin(low, likely), "likely": likely, "high": np.maximum(high, likely)}, index=range(1, 13)
    )
    table.index.name = "month"
    return table


@lru_cache(maxsize=64)
def _ends_of_band(
    wood: woods.Species, thick: float, place: climate.Site, airflow: str, pile_width_ft: float, part: str
) -> tuple[np.ndarray, np.ndarray]:
    """Moisture of the driest and the wettest stack in ten, knot by knot, from the middle of each month."""
    own, bi = rate(wood, part), biot(airflow, pile_width_ft, thick)
    horizon, per_day = horizon_days(thick), own.per_day / thick**2
    green = moisture.start_mc_pct(wood, part=part)
    air = air_from(*felt_weather(place), climate.MID_MONTHS, horizon)
    sd = weather_sd_pct(per_day, bi, green, *air, horizon, 0, place.monthly.emc_sd_pct.mean())
    spreads = (np.hypot(own.sd_log_rate, SD_LOG_PLACE), SD_LOG_BIOT, start_sd(wood, part))
    low, _, high = usual_band_pct(per_day, bi, green, spreads, *air, sd)
    return low, high


def warm_days(site: str | climate.Site) -> pd.Series:
    """What each month of the year is worth to a stack, counted in days of 68 F.

    Parameters
    ----------
    site : str or Site

    Returns
    -------
    Series
        Index month 1-12.

    Examples
    --------
    >>> warm_days("Madison").round().astype(int).tolist()
    [5, 6, 11, 16, 23, 30, 37, 33, 23, 16, 10, 6]
    """
    import pandas as pd

    place = climate.get(site)
    return pd.Series(felt_weather(place)[0], index=range(1, 366)).groupby(place.daily().month).sum()


def warm_days_needed(
    species: str | woods.Species,
    thickness_in: str | float = 1.0,
    mc_pct: float = 20.0,
    emc_pct: float = 15.0,
    part: str = "mixed",
) -> float:
    """Days of 68 F that a stack needs from green to a moisture content, in air of one EMC.

    Parameters
    ----------
    species, thickness_in :
        As in `air_dry`; airflow and pile are ordinary.
    mc_pct : float
        Above `emc_pct`.
    emc_pct : float
        EMC of the air, %.
    part : {"mixed", "heartwood", "sapwood"}
        Of the log, as in `air_dry`.

    Returns
    -------
    float

    Raises
    ------
    InputError
        Air of that EMC never brings it there.

    Examples
    --------
    >>> warm_days_needed("northern red oak")
    84.4
    """
    from scipy.optimize import brentq

    wood, thick = woods.get(species), thickness(thickness_in)
    target = within("mc_pct", mc_pct, 1, 200, "%", "Is it a fraction?")
    emc = within("emc_pct", emc_pct, 0, 30, "%")
    if target <= emc:
        raise InputError(
            f"mc_pct = {target:g} is not above emc_pct = {emc:g}: air like that never brings it there."
        )
    green = moisture.start_mc_pct(wood, part=part)
    if green <= target:
        return 0.0
    b, B = slab.roots(biot(thickness_in=thick)), slab.weights(biot(thickness_in=thick))

    def over(tau: float) -> float:  # the mean falls steadily in steady air
        return float(slab.mean(slab.step(B * (green - emc), b, B, 0.0, tau), emc)) - target

    return float(brentq(over, 0.0, 1e3)) * thick**2 / rate(wood, part).per_day


def days_for_warm_days(site: str | climate.Site, start: date | str | int, needed: float) -> float:
    """Calendar days from a start until so many days of 68 F have passed, each month's shared out evenly over it.

    Parameters
    ----------
    site : str or Site
    start : date, str or int
        As in `air_dry`; the day itself counts.
    needed : float
        As from `warm_days_needed`, 0 to 2,000.

    Returns
    -------
    float

    Examples
    --------
    >>> days_for_warm_days("Madison", "2025-06-01", 28.9)
    28.8
    """
    need = within("needed", needed, 0, 2000, "days")
    month = climate.get(site).daily().month.to_numpy()
    worth = (warm_days(site) / climate.MONTH_DAYS).to_numpy()[month - 1]
    total = np.cumsum(
        np.tile(np.roll(worth, -day_of_year(start_date(start))), 1 + int(need / worth.sum()) + 1)
    )
    return float(np.interp(need, np.append(0.0, total), np.arange(len(total) + 1)))
