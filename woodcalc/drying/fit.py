"""How each wood's rate is found from all the evidence there is; `data/drying_rates.csv` holds the result.

Unknown are the logarithms of the woods' rates. They are a line on basic specific gravity, and an offset for each wood.
Hardwoods and softwoods have a level each and share the slope: by themselves the softwoods' densities say nothing of
their rates (a slope of +0.9, give or take 3.3), and denser wood lets water out slower in both. Four kinds of evidence,
each with an error of its own that is found with the fit:

    specific gravity    log rate = line(specific gravity)                                             + offset
    air-drying range    log(days at either end) = log(our days, 5 % or 95 % of places and months)     + error
    kiln-drying days    log(days) = constant - log rate - a sixth of the schedule's head start        + error
    safe daily loss     log(loss) = constant + log rate                                               + error

What a range stands for: 1-in lumber in the region where the wood is cut, hand-stacked in piles 6 to 16 ft wide, from
piled in good weather to piled too late to be dry before spring (FPL Technical Note 233, 1960). Kiln-drying days put
the woods in order among themselves. A wood that is dried from a higher temperature would look fast, so a part of what
the schedule's first temperature does is taken out. The greatest safe loss of a day (`data/species.csv`) is what a wood
can take and not what it does; but the woods that check first are those that let water out slowest, so it is a witness
too, a rough one: its error comes out at about twice that of kiln-drying days.

How wet the average tree is hardly shows in published periods. Of two woods that kilns dry alike from 20 %, the one
that starts with more water should have the longer range, by all of the difference; in the ranges it is 0.0 of it, give
or take 0.3 (`how_far_periods_go_with_water`). So the moisture that a range, or kiln-drying from green, begins with is
taken half way between the wood's own and that of all woods. Otherwise a wood that starts drier (ash, cherry, beech)
and has red oak's range would look slower than red oak from the same moisture, which it is not. A forecast begins with
the wood's own moisture, and `days_min_fit`, `days_max_fit` do.

The fit answers to the woods marked `in_fit` in `data/species.csv`. Every other wood is carried over to it: its rate is
the line's at its specific gravity, and where a range of its own or of a relative is known, what both say together
(`_carried`). So a wood that is added moves no rate but its own, and its range checks the line from outside.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from datetime import date
from functools import cache
from typing import TYPE_CHECKING, Any

import numpy as np

from woodcalc import climate, drying, moisture, tables
from woodcalc import species as woods
from woodcalc.checks import FloatOrArray, Numbers, plain

if TYPE_CHECKING:
    import pandas as pd


RANGE_ENDS_PCT = (5, 95)  # of the region's stations and months: a range leaves out the odd case
RANGE_BIOT = drying.biot("open", 10)  # an open yard; the middle of 6 to 16 ft (geometric)
# How far the moisture at which published periods begin follows the wood's own, on a log scale. Of all, three quarters,
# half and none, half and three quarters have the best evidence, by a hair.
START_SHARE = 1 / 2
# A kiln starts woods at different temperatures and ends all of them alike, so a part of the first one counts. Of none,
# a sixth and a third, a sixth has the best evidence, by a hair.
KILN_HEAT_SHARE = 1 / 6
KILN_END_PCT = 6.0  # moisture at which kiln days end
KILN_EMC_PCT = 4.0  # EMC at the end of a schedule (assumption)
# Errors as expected before the fit, natural logarithms: the woods' offsets from the line, an end of a range, a
# kiln-drying time, a safe loss. They weigh the witnesses, and that is judgment: a range is one of a dozen that serve
# all woods, while kiln days and safe losses differ from wood to wood. The fit may move them, a tenth either way is one
# standard deviation. The offsets' 0.40 is wide, so that a wood's own times count more against its line, and it was set
# with the count of ranges that are met in sight: at 0.30 there is more evidence and one range fewer. That count is
# therefore no independent check; the woods left out are.
EXPECTED, _LEEWAY = {"offset": 0.40, "range": 0.22, "kiln": 0.15, "safe": 0.30}, 0.10
# A relative's range speaks for a wood with twice the error of its own (judgment)
_RELATIVE = 2.0
# Losses that are printed for another wood: white oak's for chestnut oak
_SAFE_OF_ANOTHER = ("chestnut oak",)
_PACES = np.linspace(np.log(0.008), np.log(0.4), 36)  # log rates at which our ranges are worked out


def fit_rates(leave_out: Collection[str] = (), errors: dict[str, float] | None = None) -> pd.DataFrame:
    """Fit all woods' rates; `data/drying_rates.csv` is what this returns, rounded.

    Parameters
    ----------
    leave_out : sequence of str
        Woods treated as if they had nothing but their specific gravity.
    errors : dict, optional
        The four errors, if they are not to be found with the fit.

    Returns
    -------
    DataFrame
        The woods in the fit, then those carried over to it, which are left away where woods are left out. `species`,
        `kind`, `basis`, `days_min`, `days_max` (published), `days_min_fit`, `days_max_fit`,
        `rate_per_day`, `sd_log_rate` (how well the wood's own rate is known, natural logarithm), `sapwood_times` (see
        there; NaN where not known), `status` (``"fitted"`` or ``"carried over"``).
        ``.attrs["errors"]`` holds the errors: offset, range, kiln, safe; ``.attrs["spread"]`` the covariance of the
        log rates of the woods in the fit, in the order of the table.
    """
    import pandas as pd
    from scipy.optimize import minimize

    evidence = _Evidence(set(leave_out))
    if errors is None:
        expected = np.log(list(EXPECTED.values()))
        found = minimize(
            lambda log_errors: -evidence.log_evidence(log_errors),
            expected,
            method="Nelder-Mead",
            options={"xatol": 0.002, "fatol": 0.002},
        )
        errors = dict(zip(EXPECTED, np.exp(found.x).tolist(), strict=True))
    solution = evidence.solve(list(errors.values()))
    table = evidence.table(solution).assign(status="fitted")
    spread = table.attrs["spread"]
    if not leave_out:
        table = pd.concat([table, _carried(evidence, solution, errors)], ignore_index=True)
    known = {name: sapwood_times(name) for name in tables.read("sapwood_days").species}
    table["sapwood_times"] = table.species.map(known)
    table.attrs |= {"errors": errors, "spread": spread}
    return table


def _carried(evidence: Any, solution: Any, errors: Any) -> Any:
    """The rates of the woods that are not in the fit, as the table has them."""
    import pandas as pd

    line = np.linalg.inv(solution.jac.T @ solution.jac)[:3, :3]
    every = woods.table().set_index("name")
    rows = []
    for wood in every[every.in_fit.isna()].itertuples():
        soft = wood.kind == "softwood"
        at = np.array([not soft, soft, wood.basic_sg - evidence.mean_sg], dtype=float)
        middle, spread = at @ solution.x[:3], np.sqrt(at @ line @ at + errors["offset"] ** 2)
        row = {"species": wood.Index, "kind": wood.kind, "basis": "specific gravity", "status": "carried over",
               "days_min": wood.air_dry_days_min, "days_max": wood.air_dry_days_max}  # fmt: skip
        if known := wood.Index in regions().index:
            relative = "relative" in wood.air_dry_status
            error = errors["range"] * (_RELATIVE if relative else 1)
            published = np.log([wood.air_dry_days_min, wood.air_dry_days_max])
            middle, spread = _with_a_range(wood.Index, published, middle, spread, error)
            row["basis"] = "a relative" if relative else "air-drying range"
        row |= {"rate_per_day": np.exp(middle), "sd_log_rate": spread}
        if known:
            ends = range_over_year(wood.Index, regions()[wood.Index], row["rate_per_day"])
            row |= dict(zip(("days_min_fit", "days_max_fit"), ends, strict=True))
        rows.append(row)
    return pd.DataFrame(rows)


def _with_a_range(name: Any, published: Any, middle: Any, spread: Any, error: Any) -> Any:
    """Log rate and its spread, of a wood whose line is `middle`, give or take `spread`, and whose range is known."""
    at = np.linspace(middle - 5 * spread, middle + 5 * spread, 801)
    off = [
        np.interp(at, _PACES, ours) - days
        for ours, days in zip(_ends(name, begins_pct()[name]), published, strict=True)
    ]
    log_chance = -0.5 * (((at - middle) / spread) ** 2 + np.square(off).sum(0) / error**2)
    chance = np.exp(log_chance - log_chance.max())
    mean = np.average(at, weights=chance)
    return mean, float(np.sqrt(np.average((at - mean) ** 2, weights=chance)))


class _Evidence:
    """The figures that the rates answer to, and what is left over at given rates.

    The unknowns are two levels, a slope, an offset for each wood, and a constant for each kind of kiln days and for the
    safe losses.
    """

    def __init__(self, leave_out: Any) -> None:
        self.wood = woods.table().set_index("name").query("in_fit == 'yes'")
        self.mean_sg = self.wood.basic_sg.mean()
        many = len(self.wood)
        soft = (self.wood.kind == "softwood").to_numpy().astype(int)
        self.rates = np.zeros((many, many + 6))  # log rates are this times the unknowns
        self.rates[np.arange(many), soft] = 1.0
        self.rates[:, 2] = self.wood.basic_sg - self.mean_sg
        self.rates[:, 3:-3] = np.eye(many)
        ranged = [n for n in regions().index if n in self.wood.index and n not in leave_out]
        self.ranged = self.wood.index.get_indexer(ranged)
        self.published = np.log(self.wood.loc[ranged, ["air_dry_days_min", "air_dry_days_max"]].to_numpy())
        begins = begins_pct()
        self.ends = np.array([np.transpose(_ends(n, begins[n])) for n in ranged])  # (woods, paces, 2)
        kiln = _kiln_days()
        kiln = kiln[~kiln.index.isin(leave_out)]
        self.kiln = self.wood.index.get_indexer(kiln.index)
        heat = np.log(drying.temperature_factor(kiln.first_dry_bulb_f.to_numpy()))
        green = begins[kiln.index].to_numpy()
        # at one rate, days go with the log of how far down: from green, and from 20 %, which is the same for all
        water = np.log(np.log((green - KILN_EMC_PCT) / (KILN_END_PCT - KILN_EMC_PCT)))
        self.kiln_days = np.log(kiln[["dry_days", "green_days"]].to_numpy()) + KILN_HEAT_SHARE * heat[:, None]
        self.kiln_days[:, 1] -= water
        safe = self.wood.safe_loss_4_4_pct_per_day.dropna()
        safe = safe[~safe.index.isin([*leave_out, *_SAFE_OF_ANOTHER])]
        self.safe, self.safe_loss = self.wood.index.get_indexer(safe.index), np.log(safe.to_numpy())

    def fitted_ends(self, x: Any) -> Any:
        """Log of our days at both ends, and how they go with the log rate: each (woods, 2)."""
        r = (self.rates @ x)[self.ranged]
        k = np.clip(np.searchsorted(_PACES, r) - 1, 0, len(_PACES) - 2)
        w = np.arange(len(k))
        slope = (self.ends[w, k + 1] - self.ends[w, k]) / (_PACES[1] - _PACES[0])
        return self.ends[w, k] + slope * (r - _PACES[k])[:, None], slope

    def misfit(self, x: Any, errors: Any) -> Any:
        """What is left over, in errors. A wood's two kiln times tell nearly the same: they count as one."""
        offset, end, kiln, safe = errors
        rates = self.rates @ x
        in_kiln = self.kiln_days + rates[self.kiln, None] - x[-3:-1]
        ends = self.fitted_ends(x)[0] - self.published
        loss = (self.safe_loss - rates[self.safe] - x[-1]) / safe
        return np.concatenate(
            [x[3:-3] / offset, (ends / end).ravel(), in_kiln.ravel() / (kiln * np.sqrt(2)), loss]
        )

    def gradient(self, x: Any, errors: Any) -> Any:
        """The derivatives of `misfit`."""
        offset, end, kiln, safe = errors
        unknown = np.eye(len(x))
        slope = self.fitted_ends(x)[1]
        ends = (slope[..., None] * self.rates[self.ranged][:, None, :]).reshape(-1, len(x))
        in_kiln = (self.rates[self.kiln][:, None, :] - unknown[-3:-1]).reshape(-1, len(x))
        loss = -(self.rates[self.safe] + unknown[-1]) / safe
        return np.concatenate([unknown[3:-3] / offset, ends / end, in_kiln / (kiln * np.sqrt(2)), loss])

    def solve(self, errors: Any) -> Any:
        """The likeliest unknowns, given the errors."""
        from scipy.optimize import least_squares

        start = np.concatenate([[-3.1, -2.9, -1.0], np.zeros(len(self.wood) + 3)])
        return least_squares(self.misfit, start, self.gradient, method="lm", args=(errors,))

    def log_evidence(self, log_errors: Any) -> Any:
        """How well errors of that size explain it all (Laplace's approximation), what was expected weighed in."""
        errors = np.exp(log_errors)
        solution = self.solve(errors)
        many = np.array([len(self.wood), 2 * len(self.ranged), len(self.kiln), len(self.safe)])
        narrow = np.linalg.slogdet(solution.jac.T @ solution.jac)[1]
        moved = (log_errors - np.log(list(EXPECTED.values()))) / _LEEWAY
        return -solution.cost - many @ log_errors - 0.5 * narrow - 0.5 * (moved**2).sum()

    def table(self, solution: Any) -> Any:
        """The rates as a DataFrame, with how well each is known."""
        import pandas as pd

        spread = self.rates @ np.linalg.inv(solution.jac.T @ solution.jac) @ self.rates.T
        has_range, in_kiln = (np.isin(np.arange(len(self.wood)), k) for k in (self.ranged, self.kiln))
        basis = np.select(
            [has_range & in_kiln, has_range, in_kiln],
            ["air-drying range and kiln days", "air-drying range", "kiln days"],
            "specific gravity",
        )
        rates = np.exp(self.rates @ solution.x)
        fit = np.full((len(self.wood), 2), np.nan)
        for k in self.ranged:
            name = self.wood.index[k]
            fit[k] = range_over_year(name, regions()[name], rates[k], part=published_part(name))
        made = pd.DataFrame(
            {
                "species": self.wood.index,
                "kind": self.wood.kind.to_numpy(),
                "basis": basis,
                "days_min": self.wood.air_dry_days_min.to_numpy(),
                "days_max": self.wood.air_dry_days_max.to_numpy(),
                "days_min_fit": fit[:, 0],
                "days_max_fit": fit[:, 1],
                "rate_per_day": rates,
                "sd_log_rate": np.sqrt(np.diag(spread)),
            }
        )
        made.attrs["spread"] = spread.tolist()
        return made


def published_part(name: str) -> str:
    """Return the part of the log that a wood's published times are of: heartwood where those of sapwood stand beside.

    Examples
    --------
    >>> published_part("sweetgum"), published_part("red maple")
    ('heartwood', 'mixed')
    """
    return "heartwood" if name in set(tables.read("sapwood_days").species) else "mixed"


def sapwood_times(species: str | woods.Species) -> float:
    """How much faster than heartwood a wood's sapwood is: the middle of what four pairs of published times say.

    Two pairs of kiln-drying days (from green, from 20 %), freed of their schedules' temperatures as in the fit, and the
    two ends of the air-drying range. Each pair stands for the ratio of rates that gives both of its times, from the
    moisture that either begins with: the two parts of a log are as far apart in it as their rows say.

    Parameters
    ----------
    species : str or Species
        A wood of data/sapwood_days.csv.

    Returns
    -------
    float

    Examples
    --------
    >>> 1.3 < sapwood_times("sweetgum") < 1.7
    True
    """
    return float(np.exp(np.mean(_sapwood_witnesses(woods.get(species)))))


def _sapwood_witnesses(wood: woods.Species) -> np.ndarray:
    """Log of sapwood's rate over heartwood's by each pair of times: from 20 %, from green, low end, high end."""
    heart, sap = (_kiln_days().loc[wood.name], _kiln_days("sapwood").loc[wood.name])
    faster = np.log([heart.dry_days / sap.dry_days, heart.green_days / sap.green_days])
    first = drying.temperature_factor([heart.first_dry_bulb_f, sap.first_dry_bulb_f])
    faster -= KILN_HEAT_SHARE * np.log(first[1] / first[0])
    down = np.log([wood.mc_of_part_pct(part) - KILN_EMC_PCT for part in ("heartwood", "sapwood")])
    over = np.log(KILN_END_PCT - KILN_EMC_PCT)
    faster[1] += np.log((down[1] - over) / (down[0] - over))
    printed = tables.read("sapwood_days").set_index("species").loc[wood.name]
    ends = [(wood.air_dry_days_min, wood.air_dry_days_max), (printed.days_min, printed.days_max)]
    at = [
        [
            np.interp(-np.log(days), -ours, _PACES)
            for days, ours in zip(published, _ends(wood.name, wood.mc_of_part_pct(part)), strict=True)
        ]
        for published, part in zip(ends, ("heartwood", "sapwood"), strict=True)
    ]
    return np.concatenate([faster, np.subtract(at[1], at[0])])


def regions() -> pd.Series:
    """The climate regions that each wood's published range stands for, by name of the wood.

    Examples
    --------
    >>> regions()["northern red oak"]
    ['northeast', 'lake_states']
    """
    return tables.read("drying_regions").set_index("species").regions.str.split(";")


def _kiln_days(part: str | None = None) -> pd.DataFrame:
    """Kiln-drying days (middle of each pair, on a log scale) and first temperature, by the names used here.

    Of the wood as it is sawn; of a `part` where the row says so.
    """
    column = "species" if part is None else f"{part}_of"
    days, schedules = (
        tables.read(name).dropna(subset=column).set_index(column) for name in ("kiln_days", "kiln_schedules")
    )
    first = schedules.first_dry_bulb_f
    return days.join(first, how="inner").assign(
        dry_days=np.sqrt(days.days_20_to_6_min * days.days_20_to_6_max),
        green_days=np.sqrt(days.days_green_to_6_min * days.days_green_to_6_max),
    )


def begins_pct() -> pd.Series:
    """The moisture that published periods begin with, by wood: `START_SHARE` of the way from the usual to the own.

    Examples
    --------
    >>> begins_pct()[["white ash", "yellow-poplar"]].round().tolist()
    [60.0, 86.0]
    """
    table = woods.table().set_index("name")
    own = table.held_mc_pct
    usual = np.log(own[regions().index.intersection(table.index[table.in_fit == "yes"])]).mean()
    begins: pd.Series = np.exp(usual + START_SHARE * (np.log(own) - usual))
    return begins


def how_far_periods_go_with_water() -> tuple[float, float]:
    """How much of the difference in water between woods shows in their air-drying ranges: 1 if all, 0 if none.

    A least-squares line through the woods that have both times: log(middle of the range) on log(kiln-drying days from
    20 %), which have no green water in them, and log(our days in the wood's region at one rate), which have all of it.

    Returns
    -------
    tuple of float
        The share, and its standard error.

    Examples
    --------
    >>> share, error = how_far_periods_go_with_water()
    >>> share < 0.5 < share + 2 * error
    True
    """
    wood, kiln = woods.table().set_index("name"), _kiln_days()
    names = [n for n in regions().index if n in kiln.index]
    k = len(_PACES) // 2
    ours = [_ends(n, wood.held_mc_pct[n])[:, k].mean() for n in names]
    range_of = np.log(wood.loc[names, ["air_dry_days_min", "air_dry_days_max"]].to_numpy()).mean(1)
    by = np.column_stack([np.ones(len(names)), np.log(kiln.dry_days[names]), ours])
    line = np.linalg.lstsq(by, range_of, rcond=None)[0]
    left = range_of - by @ line
    spread = left @ left / (len(names) - by.shape[1]) * np.linalg.inv(by.T @ by)
    return float(line[2]), float(np.sqrt(spread[2, 2]))


@cache
def _ends(name: str, begins_pct: float) -> np.ndarray:
    """Log of our days at both ends, each over `_PACES`, from a moisture on."""
    return np.log(range_over_year(name, regions()[name], np.exp(_PACES), start_mc_pct=begins_pct))


def range_over_year(
    species: str | woods.Species,
    regions: Sequence[str],
    per_day: Numbers | None = None,
    shares: Sequence[float] = RANGE_ENDS_PCT,
    part: str = "mixed",
    start_mc_pct: float | None = None,
) -> tuple[FloatOrArray, FloatOrArray]:
    """Least and greatest days of 4/4 stock in yard piles, from green to 20 %, over a region and the twelve months.

    Parameters
    ----------
    species : str or Species
    regions : sequence of str
        As in `climate.sites`.
    per_day : float or array, optional
        Rates; the wood's fitted one if not given.
    shares : pair of float
        Percent points of the station-months taken as the ends.
    part : {"mixed", "heartwood", "sapwood"}
        Of the log, as in `drying.air_dry`.
    start_mc_pct : float, optional
        Moisture when it is stacked; if not given, that of a green board of `part`.

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
    rates = np.asarray(drying.rate(wood, part).per_day if per_day is None else per_day, dtype=float)
    k, i, j = (g.ravel() for g in np.indices((rates.size, len(places), 12)))
    none = np.zeros(len(i), dtype=int)
    green = np.full(len(i), moisture.start_mc_pct(wood, start_mc_pct, part))
    days = drying.days_to_target(rates.ravel()[k], RANGE_BIOT, none, green, 20.0, factor, emc, i, first[j])
    ends = np.percentile(np.nan_to_num(days, nan=4 * 365.0).reshape(rates.size, -1), shares, axis=1)
    low, high = ends.reshape(2, *rates.shape)
    return plain(low), plain(high)
