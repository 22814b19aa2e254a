"""How a wood's rate is fitted to its published range of air-drying days; `data/drying_rates.csv` holds the result."""

from datetime import date

import numpy as np

from woodcalc import climate, drying, tables
from woodcalc import species as woods
from woodcalc.checks import plain


def fit_rates():
    """Fit the rates to the published ranges; `data/drying_rates.csv` is what this returns, rounded.

    A published range stands for the stations in the wood's region and stacks built in any month, 4/4, green
    to 20 %. Its ends are set against the 5 % and 95 % points of those station-months: such a range leaves
    out the odd case. One rate per wood makes the squares of both logarithmic errors least. For woods without
    a range a line of log rate on basic specific gravity, hardwoods and softwoods each, gives the rate.

    `sd_log_pace` comes from the residuals: the change of pace that would bring each end exactly home, over
    all woods, with one degree of freedom per wood spent on its rate. For woods from the line the line's own
    scatter is added.

    Returns
    -------
    DataFrame
        `species`, `kind`, `basis`, `days_min`, `days_max` (published), `days_min_fit`, `days_max_fit`,
        `rate_per_day`, `sd_log_pace`.
    """
    import pandas as pd

    wood = woods.table().set_index("name")
    where = tables.read("drying_regions").set_index("species").regions.str.split(";")
    paces = np.exp(np.linspace(np.log(0.008), np.log(0.4), 36))
    rows = []
    for name, regions in where.items():
        s = wood.loc[name]
        ends = np.array([s.air_dry_days_min, s.air_dry_days_max])
        published = np.log(ends)
        ours = np.log(range_over_year(name, regions, paces))
        fine = np.linspace(np.log(paces[0]), np.log(paces[-1]), 4000)
        error = np.array([np.interp(fine, np.log(paces), ours[i]) - published[i] for i in (0, 1)])
        best = (error**2).sum(0).argmin()
        home = fine[np.abs(error).argmin(1)] - fine[best]
        fit = np.exp(published + error[:, best])
        rows.append([name, s.kind, s.basic_sg, "published range", *ends, *fit, np.exp(fine[best]), *home])
    columns = ["species", "kind", "basic_sg", "basis", "days_min", "days_max", "days_min_fit", "days_max_fit"]
    columns += ["rate_per_day", "home_min", "home_max"]
    table = pd.DataFrame(rows, columns=columns)
    spread = float(np.sqrt((table.home_min**2 + table.home_max**2).sum() / len(table)))
    table["sd_log_pace"] = spread
    rest = wood.loc[[n for n in wood.index if n not in set(where.index)]].reset_index(names="species")
    rest["basis"] = "specific gravity"
    for kind, group in table.groupby("kind"):
        line = np.polynomial.polynomial.polyfit(group.basic_sg, np.log(group.rate_per_day), 1)
        scatter = np.log(group.rate_per_day) - np.polynomial.polynomial.polyval(group.basic_sg, line)
        mine = rest.kind == kind
        rest.loc[mine, "rate_per_day"] = np.exp(np.polynomial.polynomial.polyval(rest.basic_sg[mine], line))
        rest.loc[mine, "sd_log_pace"] = np.sqrt(spread**2 + (scatter**2).sum() / (len(group) - 2))
    out = pd.concat([table, rest])[
        [c for c in columns if c not in ("basic_sg", "home_min", "home_max")] + ["sd_log_pace"]
    ]
    return out.set_index("species").loc[list(wood.index)].reset_index()


def range_over_year(species, regions, per_day=None, shares=(5, 95)):
    """Least and greatest days of 4/4 stock from green to 20 % over a region and the twelve months.

    Parameters
    ----------
    species : str or Species
    regions : sequence of str
        As in `climate.sites`.
    per_day : float or array, optional
        Rates; the wood's fitted one if not given.
    shares : pair of float
        Percent points of the station-months taken as the ends.

    Returns
    -------
    tuple of float or array
        Days; a stack that does not get there counts as four years.

    Examples
    --------
    >>> low, high = range_over_year("northern red oak", ["lake_states"])
    >>> low < 100 < high
    True
    """
    wood = woods.get(species)
    table = climate.sites()
    places = [climate.get(i) for i in table.station_id[table.region.isin(regions)]]
    factor, emc = (np.array([drying.felt_weather(s)[n] for s in places]) for n in (0, 1))
    first = np.array([drying.day_of_year(date(2001, m, 15)) for m in range(1, 13)])
    rates = np.asarray(drying.rate(wood).per_day if per_day is None else per_day, dtype=float)
    k, i, j = (g.ravel() for g in np.indices((rates.size, len(places), 12)))
    none, green = np.zeros(len(i), dtype=int), np.full(len(i), wood.green_mc_pct)
    days = drying.days_to_target(rates.ravel()[k], drying.BIOT, none, green, 20.0, factor, emc, i, first[j])
    ends = np.percentile(np.nan_to_num(days, nan=4 * 365.0).reshape(rates.size, -1), shares, axis=1)
    low, high = ends.reshape(2, *rates.shape)
    return plain(low), plain(high)
