"""Weeks on sticks: how long a stack takes to dry outdoors, with a band, and where it stops.

A board is a slab (`woodcalc.slab`) in the air of its place. Diffusion inside and evaporation at the face
both quicken with temperature by exp(-A (1/T - 1/293.15 K)), so the Biot number stays the same through the
year and days can be counted as dried time. One number per wood, the rate D/a^2 at 20 C of a 4/4 board, is
fitted to its published range of air-drying days (`woodcalc.drying_fit`); a wood with no published range takes its rate
from a regression on specific gravity, and a wider band.

What it leaves out: rain on the stack, sun on its top courses, one year's weather against the mean of many,
sapwood against heartwood, where in the pile the board lies.
"""

from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from functools import cache, cached_property
from typing import NamedTuple

import numpy as np

from . import climate, slab, tables
from . import species as woods
from .checks import InputError, doubtful, plain, suggest, within

# Activation energy over the gas constant: between 4,630 K (bound water: Siau 1984, from memory) and 5,280 K (red oak:
# Forest Products Laboratory, from memory)
HEAT_K = 4800.0
# Air wetter than this counts as this: fog does not re-wet a covered stack to its face value (common practice)
EMC_CAP_PCT = 18.5
BIOT = 1.0  # 4/4 in a reference stack: gives the published thickness ratios 1.7 (6/4) and 2.5 (8/4)
REFERENCE_WIDTH_FT = 4.0
# Air speed in the stack against an ordinary place: common practice. The film over a board goes with the
# square root of the speed over the way across the pile (laminar flow along a plate, Sh = 0.664 Re^1/2
# Sc^1/3, textbooks). The published times come from open yards with piles 6 to 16 ft wide: twice the speed
# over twice the width is the reference again.
AIRFLOW = {"sheltered": 0.5, "ordinary": 1.0, "open": 2.0}
QUARTERSAWN_TIME = 1.15  # FOR-128 p. 74: quartersawn stock takes about 15 % longer

# Spread of what is not known of one stack. The total is the model's own residual (`sd_log_pace` in
# data/drying_rates.csv); airflow and start are two named parts of it (their sizes: common practice), the
# rest is the wood's own pace.
SD_LOG_BIOT = 0.15
SD_START = 0.10  # of the start MC, when it is the wood's average
SD_START_GIVEN = 0.05  # when it was measured

_MODES = 6
# Days against 4/4: Wengert, technical adviser answers; the tests check the model against them
THICKNESS_TIMES = {"4/4": 1.0, "6/4": 1.7, "8/4": 2.5}

_Z10 = 1.2816  # a normal's 90 % point: the band holds 80 %


class Span(NamedTuple):
    """The least, likeliest and greatest; four stacks in five fall between the outer two."""

    low: object
    likely: object
    high: object


class Days(float):
    """The likely number of days, a plain number, that also knows its `low` and `high`; unpacks to all three."""

    def __new__(cls, low, likely, high):
        days = super().__new__(cls, likely)
        days.low, days.likely, days.high = low, likely, high
        return days

    def __iter__(self):
        return iter((self.low, self.likely, self.high))

    def __reduce__(self):
        return Days, tuple(self)


class Day(date):
    """The likely date, a plain date, that also knows its `low` and `high` (None: perhaps never)."""

    def __new__(cls, low, likely, high):
        day = super().__new__(cls, likely.year, likely.month, likely.day)
        day.low, day.likely, day.high = low, likely, high
        return day

    def __iter__(self):
        return iter((self.low, self.likely, self.high))

    def __reduce__(self):
        return Day, tuple(self)


def biot(airflow="ordinary", pile_width_ft=REFERENCE_WIDTH_FT, thickness_in=1.0):
    """Biot number of a board in the pile: how easily water leaves its face, against how easily it comes from
    inside.

    Parameters
    ----------
    airflow : str
        ``"sheltered"`` (hollow, hedge, between buildings), ``"ordinary"``, ``"open"`` (windy rise, wide
        lanes).
    pile_width_ft : float or array
        The way the air goes through the pile, 1 to 20 ft.
    thickness_in : float or array
        Nominal thickness, in.

    Returns
    -------
    float or ndarray

    Examples
    --------
    >>> biot()
    1.0
    >>> biot("open", 8)
    1.0

    Source: the words' air speeds are common practice; the square root is that of laminar flow along a plate.
    """
    if airflow not in AIRFLOW:
        raise suggest(airflow, list(AIRFLOW), "airflow")
    width = np.asarray(within("pile_width_ft", pile_width_ft, 1, 20, "ft"))
    return plain(BIOT * np.asarray(thickness_in) * np.sqrt(AIRFLOW[airflow] * REFERENCE_WIDTH_FT / width))


def temperature_factor(temp_f):
    """How fast wood dries at a temperature, against 68 F.

    Parameters
    ----------
    temp_f : float or array
        F.

    Returns
    -------
    float or ndarray

    Examples
    --------
    >>> temperature_factor([32, 86]).tolist()
    [0.302, 1.716]
    """
    kelvin = (np.asarray(temp_f, dtype=float) - 32) / 1.8 + 273.15
    return plain(np.exp(-HEAT_K * (1 / kelvin - 1 / 293.15)))


@dataclass(frozen=True)
class Rate:
    """A wood's pace in a reference stack.

    Attributes
    ----------
    per_day : float
        D/a^2 of a 4/4 board at 68 F, 1/day.
    sd_log_pace : float
        Spread of one stack around it, natural logarithm.
    basis : str
        ``"published range"`` or ``"specific gravity"``.
    """

    per_day: float
    sd_log_pace: float
    basis: str


def rate(species):
    """The fitted rate of a wood.

    Parameters
    ----------
    species : str or Species

    Returns
    -------
    Rate

    Examples
    --------
    >>> rate("northern red oak").basis
    'published range'
    >>> rate("black locust").basis
    'specific gravity'

    Source: data/drying_rates.csv, made by `woodcalc.drying_fit.fit_rates`.
    """
    return _rates()[woods.get(species).name]


@cache
def _rates():
    return {
        row.species: Rate(row.rate_per_day, row.sd_log_pace, row.basis)
        for row in tables.read("drying_rates").itertuples()
    }


def thickness(value):
    """Nominal thickness in inches from a number or the trade's quarters.

    Examples
    --------
    >>> thickness("5/4")
    1.25
    """
    if isinstance(value, str):
        top, slash, bottom = value.partition("/")
        try:
            value = int(top) / {"4": 4}[bottom.strip()] if slash else float(top)
        except (KeyError, ValueError):
            raise InputError(
                f"thickness_in = {value!r}: expected inches or quarters such as '4/4' or '8/4'."
            ) from None
    if np.ndim(value):
        raise InputError(f"thickness_in = {value!r}: expected one thickness; `grid` takes several.")
    value = within("thickness_in", value, 0.25, 6, "in", "Is it in quarters or mm? 8/4 is 2.0.")
    doubtful("thickness_in", value, 0.5, 3, "in", "the thickness rule was checked from 4/4 to 8/4")
    return value


@cache
def felt_weather(site):
    """The site's year as the wood feels it: temperature factor and capped EMC of each of 365 days."""
    days = site.daily()
    return temperature_factor(days.temp_f.to_numpy()), np.minimum(days.emc_pct.to_numpy(), EMC_CAP_PCT)


def day_of_year(when):
    """0-364; 29 February counts as the 28th."""
    return (
        int(climate.MONTH_DAYS[: when.month - 1].sum())
        + min(when.day, climate.MONTH_DAYS[when.month - 1])
        - 1
    )


def start_date(start):
    """A date from a date, an ISO string, or a month (its 15th, this year).

    Parameters
    ----------
    start : date, str or int
        ``"2026-05-01"``, a `datetime.date`, a month's number or name.

    Returns
    -------
    date

    Examples
    --------
    >>> start_date("2026-05-01")
    datetime.date(2026, 5, 1)
    >>> start_date("May").month
    5
    """
    if hasattr(start, "to_pydatetime"):
        start = start.to_pydatetime()
    if isinstance(start, np.datetime64):
        start = start.astype("datetime64[D]").item()
    if start is None or start != start:  # NaT and NaN are not equal to themselves
        raise InputError(f"start = {start}: expected a date like 2026-05-01 (year-month-day) or a month.")
    if hasattr(start, "date"):
        start = start.date()
    if isinstance(start, date):
        return start
    if isinstance(start, str) and any(c.isdigit() for c in start) and not start.strip().isdigit():
        try:
            return date.fromisoformat(start.strip())
        except ValueError:
            raise InputError(
                f"start = {start!r}: expected a date like 2026-05-01 (year-month-day) or a month."
            ) from None
    return date(date.today().year, climate.month_number(start), 15)


def _knots(horizon_days):
    """Days at which curves are computed: each of the first sixty, then every third."""
    return np.concatenate([np.arange(60), np.arange(60, horizon_days + 1, 3)])


def _curves(rates, biots, dried, emc, modes=_MODES):
    """Moisture of slabs through given steps, split into what the air does and what is left of the start.

    Parameters: rates (C,) 1/day at 68 F for their own thickness; biots (C,); dried, emc (steps,): days at 68 F and the
    EMC of each step. Returns U, G, both (steps + 1, C): mean MC = U + start MC * G.
    """
    few, back = np.unique(biots, return_inverse=True)
    b, B = slab.roots(few, modes)[back], slab.weights(few, modes)[back]
    pace = b**2 * rates[:, None]
    fade = np.exp(-pace * dried[:, None, None])
    push = B * np.diff(emc, prepend=0.0)[:, None, None]  # a board at 0 % meets the air of day 0
    air, start = np.empty((2, len(dried) + 1, *pace.shape))
    air[0], start[0] = -B * emc[0], B
    a, g = np.zeros(pace.shape), B
    for t in range(len(dried)):
        air[t + 1] = a = (a - push[t]) * fade[t]
        start[t + 1] = g = g * fade[t]
    return air.sum(-1) + np.concatenate([emc[:1], emc])[:, None], start.sum(-1)


def _inside(one_rate, one_biot, start_mc, dried, emc):
    """Mean, surface and core MC of one slab, each (steps + 1,)."""
    b, B = slab.roots(one_biot), slab.weights(one_biot)
    fade = np.exp(-(b**2) * one_rate * dried[:, None])
    push = B * np.diff(emc, prepend=emc[0])[:, None]
    a = np.empty((len(dried) + 1, len(b)))
    a[0] = B * (start_mc - emc[0])
    for t in range(len(dried)):
        a[t + 1] = (a[t] - push[t]) * fade[t]
    air = np.concatenate([emc[:1], emc])
    mean, surface, core = slab.mean(a, air), slab.surface(a, b, one_biot, air), slab.core(a, b, air)
    surface[0] = core[0] = start_mc  # the cut series cannot show the first moment
    return mean, surface, core


@dataclass(frozen=True, eq=False)
class Forecast:
    """A stack's way down, with its band; made by `air_dry`.

    Attributes
    ----------
    species : Species
    thickness_in : float
        Nominal.
    site : Site
    start : date
    start_mc_pct : float
        Likeliest moisture content at the start.
    airflow : str
    pile_width_ft : float
    basis : str
        Where the wood's rate comes from.
    readings : DataFrame or None
        Those it has learned from.

    Examples
    --------
    >>> oak = air_dry("northern red oak", "4/4", "Madison", "2026-05-15")
    >>> oak.days_to(25)
    56.9
    """

    species: object
    thickness_in: float
    site: object
    start: date
    start_mc_pct: float
    airflow: str
    pile_width_ft: float
    basis: str
    readings: object = field(default=None, repr=False)
    _prior: object = field(default=None, repr=False)
    _points: object = field(default=None, repr=False)  # parameter points and their weights

    @property
    def horizon_days(self):
        """Days that the forecast looks ahead: two years, four for stock over 6/4."""
        return 730 if self.thickness_in <= 1.5 else 1460

    @cached_property
    def _air(self):
        """Days at 68 F and EMC of each step between the knots."""
        factor, emc = felt_weather(self.site)
        index = (day_of_year(self.start) + np.arange(self.horizon_days)) % 365
        factor, emc = factor[index], emc[index]
        knots = _knots(self.horizon_days)
        dried = np.add.reduceat(factor, knots[:-1])
        dried[-1] = factor[knots[-2] : knots[-1]].sum()
        weighted = np.add.reduceat(factor * emc, knots[:-1])
        weighted[-1] = (factor * emc)[knots[-2] : knots[-1]].sum()
        return dried, weighted / dried

    @cached_property
    def _table(self):
        """Curves of the points' different paces and airflows: U and G, (knots, curves)."""
        p = self._points
        return _curves(p.curve_rate, p.curve_biot, *self._air)

    @cached_property
    def _middle(self):
        """Start MC, rate, Biot number at the middle of the points."""
        p = self._points
        w = p.weight
        log_rate = np.sum(w * np.log(p.curve_rate[p.curve]))
        log_biot = np.sum(w * np.log(p.curve_biot[p.curve]))
        return float(np.sum(w * p.start_mc)), float(np.exp(log_rate)), float(np.exp(log_biot))

    @cached_property
    def daily(self):
        """The forecast day by day.

        Returns
        -------
        DataFrame
            `day`, `date`, `low`, `likely`, `high` (mean MC of the board, %; four stacks in five lie between
            low and high), `surface_mc_pct`, `core_mc_pct`, `emc_pct` (of the day's air, as it counts for the
            stack).

        Examples
        --------
        >>> air_dry("northern red oak", 1.0, "Madison", "2026-05-15").daily.columns.tolist()[:5]
        ['day', 'date', 'low', 'likely', 'high']
        """
        import pandas as pd

        dried, emc = self._air
        start_mc, one_rate, one_biot = self._middle
        likely, surface, core = _inside(one_rate, one_biot, start_mc, dried, emc)
        knots = _knots(self.horizon_days)
        some = np.unique(
            np.concatenate([np.arange(0, 60, 2), np.arange(60, len(knots), 3), [len(knots) - 1]])
        )
        low, high = _spread(self._moisture[some], self._points.weight, (0.1, 0.9))
        days = np.arange(knots[-1] + 1)
        likely, surface, core, emc = (
            np.interp(days, knots, y) for y in (likely, surface, core, np.append(emc[:1], emc))
        )
        low, high = np.interp(days, knots[some], low), np.interp(days, knots[some], high)
        return pd.DataFrame(
            {
                "day": days,
                "date": pd.to_datetime(self.start) + pd.to_timedelta(days, "D"),
                "low": np.minimum(low, likely),
                "likely": likely,
                "high": np.maximum(high, likely),
                "surface_mc_pct": surface,
                "core_mc_pct": core,
                "emc_pct": emc,
            }
        )

    @cached_property
    def _moisture(self):
        """Mean MC of every point at the knots, (knots, points)."""
        U, G = self._table
        p = self._points
        return U[:, p.curve] + p.start_mc * G[:, p.curve]

    def days_to(self, mc_pct):
        """Days from the start until the mean moisture content is down to `mc_pct`.

        Parameters
        ----------
        mc_pct : float or array
            6 to 100 %.

        Returns
        -------
        Days
            The likely number, with `low` and `high`; NaN where it is not reached within `horizon_days`: that
            place is too damp, or the stock too thick. A `Span` of arrays for an array.

        Examples
        --------
        >>> air_dry("northern red oak", 1.0, "Madison", "2026-05-15").days_to(6)
        nan
        """
        target = within("mc_pct", mc_pct, 1, 200, "%", "Is it a fraction?")
        if np.ndim(target):
            each = np.array([tuple(self.days_to(t)) for t in target.ravel()]).reshape(-1, 3).T
            return Span(*(part.reshape(target.shape) for part in each))
        days = _crossing(_knots(self.horizon_days), self._moisture, target)
        found = _spread(np.where(np.isnan(days), 1e9, days)[None], self._points.weight, (0.1, 0.5, 0.9))
        return Days(*(float(d[0]) if d[0] <= self.horizon_days else float("nan") for d in found))

    def date_of(self, mc_pct):
        """The dates that go with `days_to`.

        Parameters
        ----------
        mc_pct : float
            6 to 100 %.

        Returns
        -------
        Day
            The likely date, with `low` and `high`, None where it is not reached; a `Span` of the three where the
            likely stack does not get there.

        Examples
        --------
        >>> air_dry("northern red oak", 1.0, "Madison", "2026-05-15").date_of(25).month
        7
        """
        if np.ndim(mc_pct):
            raise InputError("mc_pct: one moisture content at a time here; days_to takes several.")
        days = self.days_to(mc_pct)
        found = (None if d != d else self.start + timedelta(days=round(d)) for d in days)
        return Span(*found) if days != days else Day(*found)

    @property
    def stops_at_pct(self):
        """The driest that the stack gets outdoors at this place, % (likely curve, within `horizon_days`).

        Examples
        --------
        >>> air_dry("northern red oak", 1.0, "Madison", "2026-05-15").stops_at_pct
        13.4
        """
        return float(self.daily.likely.min())

    @property
    def stops_on(self):
        """The date by which it is within a point of `stops_at_pct`, as near as the place's EMC is known.

        Examples
        --------
        >>> air_dry("yellow-poplar", 1.0, "Madison", "2026-04-15").stops_on.year
        2027
        """
        reached = self.daily.likely <= self.stops_at_pct + 1
        return self.daily.date[reached.idxmax()].date()

    @cached_property
    def pace(self):
        """How fast this stack dries against the usual one of its wood and thickness: 0.8 is a fifth slower.

        Returns
        -------
        Span
            Airflow included.

        Examples
        --------
        >>> air_dry("northern red oak", 1.0, "Madison", "2026-05-15").pace.likely
        1.0
        """
        p = self._points
        return Span(*(float(x[0]) for x in _spread(p.pace[None], p.weight, (0.1, 0.5, 0.9))))

    def at_pace(self, pace, days):
        """Mean moisture content of a stack that dries at a pace of its own, otherwise as forecast.

        Parameters
        ----------
        pace : float
            Times the usual pace, 0.1 to 10.
        days : float or array
            Days after the start, 0 to `horizon_days`.

        Returns
        -------
        float or ndarray
            %.

        Examples
        --------
        >>> slow = air_dry("northern red oak", 1.0, "Madison", "2026-05-15").at_pace(0.8, [0, 60])
        >>> slow.round(1).tolist()
        [83.1, 28.5]
        """
        pace = within("pace", pace, 0.1, 10)
        days = within("days", days, 0, self.horizon_days, "days")
        start_mc, one_rate, one_biot = self._middle
        mean, _, _ = _inside(one_rate * pace, one_biot, start_mc, *self._air)
        return plain(np.interp(days, _knots(self.horizon_days), mean))

    def says(self, mc_pct=20.0):
        """The forecast of one moisture content in words.

        Examples
        --------
        >>> air_dry("northern red oak", 1.0, "Madison", "2026-05-15").says(7)
        '7 % is not reached outdoors in Madison, WI: the stack stops near 13 %.'
        """
        low, likely, high = self.date_of(mc_pct)
        if low is None:
            rest = f"the stack stops near {self.stops_at_pct:.0f} %"
            if self.stops_at_pct < mc_pct:
                rest = f"not within {self.horizon_days // 365} years"
            return f"{mc_pct:g} % is not reached outdoors in {self.site.name}: {rest}."
        words = f"{mc_pct:g} % from {_day(low)}"
        if high is None:
            return f"{words}, or not at all" + (
                f"; most likely {_day(likely)}." if likely else ": more likely not."
            )
        return f"{words} to {_day(high)}, most likely {_day(likely)}."

    def update(self, readings):
        """The forecast after what was measured on the stack.

        Parameters
        ----------
        readings : DataFrame, or what makes one such as a list of dicts
            `date` (not before the start), `mc_pct`; optional `kind` ("weight" for a weighed sample board,
            the default, or "meter") and `sd_pct` (error of that reading, points of MC). All readings so far:
            an earlier update is forgotten, so that none counts twice. Or the rows of one stack from a readings
            table, as `records.read` gives it.

        Returns
        -------
        Forecast
            Its band, dates and `pace` are narrowed to the paces, start moistures and airflows that the
            readings allow. A reading far off the rest (a wet pocket, a slip of the pen) counts for little,
            and so does a pin meter above 30 %, where it has no scale.

        Raises
        ------
        InputError
            A column missing, a date that is none or lies before the start, an impossible moisture content.

        Examples
        --------
        >>> import pandas as pd
        >>> seen = pd.DataFrame({"date": ["2026-06-01", "2026-06-20", "2026-07-10"], "mc_pct": [68.0, 52.0, 40.0]})
        >>> air_dry("northern red oak", 1.0, "Madison", "2026-05-15").update(seen).pace.likely
        0.59
        """
        table = _readings(readings, self)
        if table.empty:
            return replace(self, readings=None, _points=self._prior)
        wide = self._wide
        U, G = wide._table
        day = table.day.to_numpy()
        p = wide._points
        knots = _knots(self.horizon_days)
        k = np.clip(np.searchsorted(knots, day, side="right") - 1, 0, len(knots) - 2)
        share = ((day - knots[k]) / (knots[k + 1] - knots[k]))[:, None]
        U, G = (x[k] + share * (x[k + 1] - x[k]) for x in (U, G))
        expected = U[:, p.curve] + p.start_mc * G[:, p.curve]
        off = table.mc_pct.to_numpy()[:, None] - expected
        log_weight = np.log(p.weight) + _log_likelihood(off, table.sd_pct.to_numpy()[:, None]).sum(0)
        weight = np.exp(log_weight - log_weight.max())
        weight /= weight.sum()
        kept = weight > 1e-6 * weight.max()
        points = replace(
            p,
            curve=p.curve[kept],
            start_mc=p.start_mc[kept],
            pace=p.pace[kept],
            weight=weight[kept] / weight[kept].sum(),
        )
        after = replace(self, readings=table, _points=points)
        after.__dict__["_table"] = wide._table
        after.__dict__["_wide"] = wide
        return after

    @cached_property
    def _wide(self):
        """The same forecast on a finer net of paces, airflows and starts, to weigh readings against."""
        return replace(self, readings=None, _points=self._prior.net(81, 5, 15))


def _day(when):
    return f"{when.day} {when:%B %Y}"


def _readings(readings, forecast):
    """The readings as checked columns day, date, mc_pct, kind, sd_pct."""
    import pandas as pd

    if not isinstance(readings, pd.DataFrame):
        readings = _table_of(readings)
    elif readings.index.name == "date" and "date" not in readings:
        readings = readings.reset_index()
    if "mc_pct" not in readings and {"date", "kind", "value"} <= set(readings):
        readings = _told(readings, forecast.species)
    for name in ("date", "mc_pct"):
        if name not in readings:
            raise InputError(
                f"readings have no column {name!r}; found {', '.join(map(str, readings.columns))}."
            )
    table = pd.DataFrame({"date": readings["date"].to_numpy(), "mc_pct": readings["mc_pct"].to_numpy()})
    table["date"] = pd.to_datetime(table["date"], errors="coerce", format="mixed")
    if table.date.isna().any():
        row = int(table.date.isna().idxmax())
        raise InputError(
            f"readings, row {row + 1}: date {readings['date'].iloc[row]!r}: expected year-month-day."
        )
    table["mc_pct"] = within("mc_pct", table["mc_pct"].to_numpy(), 0, 300, "%")
    kind = readings["kind"].to_numpy() if "kind" in readings else np.full(len(table), "weight")
    strange = [k for k in kind if k not in ("weight", "meter")]
    if strange:
        raise InputError(f"readings: kind {strange[0]!r}: expected 'meter' or 'weight'.")
    table["kind"] = kind
    table["day"] = (table.date.dt.normalize() - pd.Timestamp(forecast.start)).dt.days
    if len(table) and table.day.min() < 0:
        early = table.date.min()
        raise InputError(f"readings: {early:%Y-%m-%d} lies before the stack was built ({forecast.start}).")
    sd = reading_sd_pct(table.mc_pct.to_numpy(), table.kind.to_numpy())
    if "sd_pct" in readings:
        own = readings["sd_pct"].to_numpy(dtype=float)
        sd = np.where(
            np.isnan(own), sd, within("sd_pct", np.where(np.isnan(own), 1.0, own), 0.05, 100, "points")
        )
    table["sd_pct"] = sd
    return table[table.day <= forecast.horizon_days].reset_index(drop=True)


def _told(readings, wood):
    """What the rows of one stack in a readings table (`records`) tell of its moisture."""
    import pandas as pd

    from .records import mc_readings

    blank = {"stack": "", "board": "", "unit": "%", "temp_f": np.nan}
    table = readings.assign(**{k: v for k, v in blank.items() if k not in readings})
    table["date"] = pd.to_datetime(table["date"], format="mixed")
    stacks = list(table["stack"].unique())
    if len(stacks) > 1:
        raise InputError(
            f"readings of {len(stacks)} stacks ({', '.join(map(str, stacks))}): give those of one."
        )
    told = mc_readings(table, *stacks, wood.name) if stacks else table.assign(mc_pct=np.nan)
    if len(table) and told.empty:
        raise InputError(f"readings: none can be used. {'; '.join(told.attrs['notes'])}.")
    return told


def _table_of(readings):
    """A DataFrame from a list of dicts, one dict, or a dict of lists."""
    import pandas as pd

    one = isinstance(readings, dict) and np.isscalar(readings.get("date"))
    try:
        table = pd.DataFrame([readings] if one else readings)
    except (TypeError, ValueError):
        table = pd.DataFrame([readings])
    if table.empty:
        return pd.DataFrame(columns=["date", "mc_pct"])
    if "date" not in table:
        raise InputError("readings: expected a DataFrame or a list of dicts, with date and mc_pct.")
    return table


def reading_sd_pct(mc_pct, kind="weight"):
    """Usual error of a reading as a measure of the stack, points of MC (standard deviation).

    Parameters
    ----------
    mc_pct : float or array
        The reading, %.
    kind : str or array of str
        ``"weight"`` (sample board) or ``"meter"``.

    Returns
    -------
    float or ndarray
        Weight: 1 point and 3 % of the reading. Meter: 1.5 points from 7 to 25 %, 3 to 30 %, none to speak of
        outside.

    Examples
    --------
    >>> reading_sd_pct([15, 28, 45], "meter").tolist()
    [1.5, 3.0, 60.0]

    Source: common practice; a pin meter's range ends near fibre saturation (about 30 %) and near 6 to 7 %.
    """
    mc, kind = np.asarray(mc_pct, dtype=float), np.asarray(kind)
    meter = np.select([mc < 7, mc <= 25, mc <= 30], [4.0, 1.5, 3.0], 60.0)
    return plain(np.where(kind == "meter", meter, np.hypot(1.0, 0.03 * mc)))


def _log_likelihood(off, sd):
    """One reading in twenty is a stray with an error of 20 points; the others err by `sd` (two normals mixed)."""
    good = 0.95 * np.exp(-0.5 * (off / sd) ** 2) / sd
    stray = 0.05 * np.exp(-0.5 * off**2 / (20.0**2 + sd**2)) / np.hypot(20.0, sd)
    return np.log(good + stray)


@dataclass(frozen=True, eq=False)
class _Points:
    """What is not known of a stack, as weighted points: pace and airflow (a curve each) and start MC."""

    rate: float  # likeliest, of this thickness
    biot: float
    start: float
    sd_pace: float
    sd_start: float
    curve_rate: object = None
    curve_biot: object = None
    curve: object = None  # which curve each point has
    start_mc: object = None
    pace: object = None
    weight: object = None

    def net(self, paces, biots, starts):
        """An even net with normal weights."""
        z, y, x = np.linspace(-3.2, 3.2, paces), np.linspace(-2, 2, biots), np.linspace(-2.6, 2.6, starts)
        curve_rate, curve_biot = (
            g.ravel()
            for g in np.meshgrid(
                self.rate * np.exp(self.sd_pace * z), self.biot * np.exp(SD_LOG_BIOT * y), indexing="ij"
            )
        )
        curve, column = (
            g.ravel() for g in np.meshgrid(np.arange(paces * biots), np.arange(starts), indexing="ij")
        )
        weight = (
            np.exp(-0.5 * z**2)[:, None, None]
            * np.exp(-0.5 * y**2)[None, :, None]
            * np.exp(-0.5 * x**2)[None, None, :]
        ).ravel()
        # days go nearly with the sum of both resistances, 1/3 inside and 1/Bi at the face (Choong & Skaar, from memory)
        pace = curve_rate / self.rate * (1 / 3 + 1 / self.biot) / (1 / 3 + 1 / curve_biot)
        return replace(
            self,
            curve_rate=curve_rate,
            curve_biot=curve_biot,
            curve=curve,
            start_mc=self.start * (1 + self.sd_start * x)[column],
            pace=pace[curve],
            weight=weight / weight.sum(),
        )


def air_dry(
    species,
    thickness_in,
    site,
    start,
    *,
    start_mc_pct=None,
    airflow="ordinary",
    pile_width_ft=REFERENCE_WIDTH_FT,
    quartersawn=False,
):
    """Forecast a stack that dries outdoors under a roof.

    Parameters
    ----------
    species : str or Species
    thickness_in : float or str
        Nominal thickness: 1.0 or ``"4/4"``, 2.0 or ``"8/4"``.
    site : str or Site
        From `woodcalc.climate`.
    start : date, str or int
        Day the stack was built, or a month (its 15th, this year).
    start_mc_pct : float, optional
        Moisture content then; the wood's green average if not given.
    airflow : str
        ``"sheltered"``, ``"ordinary"`` or ``"open"``.
    pile_width_ft : float
        The way the air goes through the pile.
    quartersawn : bool
        Quartersawn stock takes about 15 % longer (FOR-128 p. 74).

    Returns
    -------
    Forecast

    Raises
    ------
    InputError
        An unknown wood, place or word; a value out of range.

    Examples
    --------
    >>> air_dry("northern red oak", "4/4", "Madison", "2026-05-15").says(20)
    '20 % from 6 July 2026 to 3 September 2026, most likely 30 July 2026.'
    """
    wood, place = woods.get(species), climate.get(site)
    thick = thickness(thickness_in)
    given = start_mc_pct is not None
    mc = within(
        "start_mc_pct", start_mc_pct if given else wood.green_mc_pct, 8, 300, "%", "Is it a fraction?"
    )
    own = rate(wood)
    per_day = own.per_day / thick**2 / (QUARTERSAWN_TIME if quartersawn else 1.0)
    bi = biot(airflow, pile_width_ft, thick)
    sd_start = SD_START_GIVEN if given else SD_START
    prior = _Points(per_day, bi, mc, _sd_pace(own.sd_log_pace), sd_start).net(15, 3, 5)
    return Forecast(
        wood,
        thick,
        place,
        start_date(start),
        mc,
        airflow,
        float(pile_width_ft),
        own.basis,
        _prior=prior,
        _points=prior,
    )


def _sd_pace(total):
    """The wood's own share of the total spread, after airflow and start have taken theirs.

    At Bi = 1 days go with Bi to the power -0.75 (resistances 1/3 + 1/Bi), and with the start by
    sd_start M0 / ((M0 - E) ln((M0 - E) / (20 - E))), 0.05 for oak from 83 % in air of 13 %.
    """
    return float(np.sqrt(total**2 - (0.75 * SD_LOG_BIOT) ** 2 - 0.05**2))


def _spread(values, weight, shares):
    """Weighted quantiles of each row of `values` (rows, points); a list of (rows,) arrays, one per share."""
    order = np.argsort(values, axis=1)
    v = np.take_along_axis(values, order, 1)
    w = weight[order]
    mid = np.cumsum(w, axis=1) - w / 2
    return [np.array([np.interp(q, m, row) for m, row in zip(mid, v, strict=True)]) for q in shares]


def _crossing(knots, moisture, target):
    """First (fractional) day at which each column of `moisture` (knots, columns) is down to `target`, or NaN."""
    below = moisture <= target
    hit = below.argmax(0)
    column = np.arange(moisture.shape[1])
    last = np.maximum(hit - 1, 0)
    before, after = moisture[last, column], moisture[hit, column]
    fall = np.where(hit > 0, before - after, 1.0)
    day = knots[last] + (knots[hit] - knots[last]) * (before - target) / fall
    return np.where(below.any(0), np.where(hit > 0, day, 0.0), np.nan)


def grid(
    sites,
    starts,
    species,
    thicknesses,
    mc_pct=20.0,
    *,
    airflow="ordinary",
    pile_width_ft=REFERENCE_WIDTH_FT,
    pace=1.0,
):
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

    Returns
    -------
    DataFrame
        `site`, `start` (date), `species`, `thickness_in`, `days`: NaN where it is not reached within four
        years.

    Examples
    --------
    >>> grid(["Madison", "Mobile"], ["2026-05-15"], ["red maple"], [1.0, "8/4"]).days.round().tolist()
    [40.0, 100.0, 33.0, 75.0]
    """
    import pandas as pd

    places = [climate.get(s) for s in _several(sites, "station_id")]
    dates = [start_date(s) for s in _several(starts)]
    kinds = [woods.get(s) for s in _several(species, "name")]
    thick = np.array([thickness(t) for t in _several(thicknesses)], dtype=float)
    target = within("mc_pct", mc_pct, 1, 200, "%", "Is it a fraction?")
    shape = (len(places), len(dates), len(kinds), len(thick))
    i, j, k, m = (g.ravel() for g in np.indices(shape))
    per_day = pace * np.array([rate(s).per_day for s in kinds])[k] / thick[m] ** 2
    green = np.array([s.green_mc_pct for s in kinds])
    weather = [felt_weather(s) for s in places]
    factor, emc = (np.array([w[n] for w in weather]).reshape(len(places), 365) for n in (0, 1))
    first = np.array([day_of_year(d) for d in dates], dtype=int)
    days = days_to_target(
        per_day, biot(airflow, pile_width_ft, thick), m, green[k], target, factor, emc, i, first[j]
    )
    return pd.DataFrame(
        {
            "site": pd.Categorical.from_codes(i, [s.name for s in places])
            if len(set(places)) == len(places)
            else [places[n].name for n in i],
            "start": np.array(dates, dtype="datetime64[s]")[j],
            "species": [kinds[n].name for n in k],
            "thickness_in": thick[m],
            "days": days,
        }
    )


def _several(value, column=None):
    """One thing, several, or a table's `column`, as a list."""
    if isinstance(value, (date, climate.Site, woods.Species)) or np.isscalar(value):
        return [value]
    return list(value[column] if hasattr(value, "columns") and column else value)


def days_to_target(
    per_day, biots, which_biot, start_mc, target, factor, emc, place, first, years=4, step_days=5, modes=5
):
    """Days to `target` of many boards, all arrays (boards,); air held constant over `step_days` at a time.

    `biots[which_biot]` is each board's Biot number; `factor`, `emc` (places, 365); `first` the day of the
    year at the start.
    """
    b, B = slab.roots(np.atleast_1d(biots), modes), slab.weights(np.atleast_1d(biots), modes)
    b2 = b**2
    days = np.full(per_day.shape, np.nan)
    # dried time and the EMC that goes with it over each step, from running sums over two years
    twice_f = np.concatenate([factor, factor], 1)
    twice_fe = np.concatenate([factor * emc, factor * emc], 1)
    sums = [np.concatenate([np.zeros((len(x), 1)), np.cumsum(x, 1)], 1) for x in (twice_f, twice_fe)]
    dried = sums[0][:, step_days : step_days + 365] - sums[0][:, :365]
    air = (sums[1][:, step_days : step_days + 365] - sums[1][:, :365]) / dried
    open_ = np.flatnonzero(start_mc > target)
    days[start_mc <= target] = 0.0
    e = air[place[open_], first[open_]]
    a = B[which_biot[open_]] * (start_mc[open_] - e)[:, None]
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
            low, high = np.zeros(done.sum()), np.ones(done.sum())
            at, pace2, gap = before[done], (b2[which] * tau[:, None])[done], target - e[done]
            for _ in range(
                20
            ):  # the share of the step at which it gets there, by halving: MC falls through the step
                half = (low + high) / 2
                over = (at * np.exp(-pace2 * half[:, None])).sum(1) > gap
                low, high = np.where(over, half, low), np.where(over, high, half)
            days[open_[done]] = (n + (low + high) / 2) * step_days
            open_, a, e = open_[~done], a[~done], e[~done]
            if not len(open_):
                break
    return days


def by_start(
    species, thickness_in, site, mc_pct=20.0, *, airflow="ordinary", pile_width_ft=REFERENCE_WIDTH_FT
):
    """Days to a moisture content for a stack built in the middle of each month of the year.

    Parameters
    ----------
    species, thickness_in, site, airflow, pile_width_ft :
        As in `air_dry`.
    mc_pct : float
        6 to 100 %.

    Returns
    -------
    DataFrame
        Index month 1-12; `low`, `likely`, `high` days (four stacks in five between low and high); NaN where it is not
        reached within four years.

    Examples
    --------
    >>> by_start("northern red oak", "4/4", "Madison").likely.round().astype(int).tolist()[:4]
    [148, 123, 103, 86]
    """
    import pandas as pd

    wood, place, thick = woods.get(species), climate.get(site), thickness(thickness_in)
    target = within("mc_pct", mc_pct, 1, 200, "%", "Is it a fraction?")
    own = rate(wood)
    spread = np.exp(np.array([_Z10, 0.0, -_Z10]) * own.sd_log_pace)
    k, j = (g.ravel() for g in np.indices((3, 12)))
    first = np.array([day_of_year(date(2001, m, 15)) for m in range(1, 13)])
    none, green = np.zeros(36, dtype=int), np.full(36, wood.green_mc_pct)
    factor, emc = (x[None] for x in felt_weather(place))
    per_day = own.per_day / thick**2 * spread[k]
    days = days_to_target(
        per_day, biot(airflow, pile_width_ft, thick), none, green, target, factor, emc, none, first[j]
    )
    table = pd.DataFrame(days.reshape(3, 12).T, columns=["low", "likely", "high"], index=range(1, 13))
    table.index.name = "month"
    return table


def warm_days(site):
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
    [5, 5, 12, 15, 25, 29, 37, 33, 23, 16, 10, 6]
    """
    import pandas as pd

    place = climate.get(site)
    return pd.Series(felt_weather(place)[0], index=range(1, 366)).groupby(place.daily().month).sum()


def warm_days_needed(species, thickness_in=1.0, mc_pct=20.0, emc_pct=15.0):
    """Days of 68 F that a stack needs from green to a moisture content, in air of one EMC.

    Parameters
    ----------
    species, thickness_in :
        As in `air_dry`; airflow and pile are ordinary.
    mc_pct : float
        Above `emc_pct`.
    emc_pct : float
        EMC of the air, %.

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
    78.4
    """
    wood, thick = woods.get(species), thickness(thickness_in)
    target = within("mc_pct", mc_pct, 1, 200, "%", "Is it a fraction?")
    emc = within("emc_pct", emc_pct, 0, 30, "%")
    if target <= emc:
        raise InputError(
            f"mc_pct = {target:g} is not above emc_pct = {emc:g}: air like that never brings it there."
        )
    if wood.green_mc_pct <= target:
        return 0.0
    b, B = slab.roots(biot(thickness_in=thick)), slab.weights(biot(thickness_in=thick))
    low, high = 0.0, 1e3
    for _ in range(60):  # the mean falls steadily in steady air
        tau = (low + high) / 2
        over = slab.mean(slab.step(B * (wood.green_mc_pct - emc), b, B, 0.0, tau), emc) > target
        low, high = (tau, high) if over else (low, tau)
    return tau * thick**2 / rate(wood).per_day


def days_for_warm_days(site, start, needed):
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
    30.0
    """
    need = within("needed", needed, 0, 2000, "days")
    month = climate.get(site).daily().month.to_numpy()
    worth = (warm_days(site) / climate.MONTH_DAYS).to_numpy()[month - 1]
    total = np.cumsum(
        np.tile(np.roll(worth, -day_of_year(start_date(start))), 1 + int(need / worth.sum()) + 1)
    )
    return float(np.interp(need, np.append(0.0, total), np.arange(len(total) + 1)))
