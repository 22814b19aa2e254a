"""Weeks on sticks: how long a stack takes to dry outdoors, with a band, and where it stops.

A board is a slab (`woodcalc.drying.slab`) in the air of its place. Diffusion inside and evaporation at the face
both quicken with temperature by exp(-A (1/T - 1/293.15 K)), so the Biot number stays the same through the
year and days can be counted as dried time. Rates and weather are in `rate`, the curves in `curves`,
what readings tell in `readings`, the best month to build a stack in `seasons`; all are read through the
package.

The band says how far four stacks in five are off: the wood's own rate, pile and place, airflow, the start, one
year's weather and the place's own air. Readings narrow the first four. What it leaves out: rain on the stack, sun on
its top courses, where in the pile the board lies.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from functools import cached_property
from typing import TYPE_CHECKING, Any, Generic, NamedTuple

import numpy as np

from woodcalc import climate, moisture
from woodcalc import species as woods
from woodcalc.checks import FloatOrArray, InputError, Numbers, T, blank, plain, within
from woodcalc.dates import calendar_day
from woodcalc.drying.curves import (
    Z10,
    air_from,
    crossing,
    curves,
    horizon_days,
    inside,
    knots,
    usual_band_pct,
    weather_sd_pct,
)
from woodcalc.drying.rate import (
    QUARTERSAWN_TIME,
    REFERENCE_WIDTH_FT,
    SD_LOG_BIOT,
    SD_LOG_PLACE,
    SD_START_GIVEN,
    biot,
    day_of_year,
    felt_weather,
    rate,
    start_date,
    start_sd,
    thickness,
    unsure_pace,
)
from woodcalc.drying.readings import (
    SD_BOARD_PACE,
    SD_BOARD_START,
    boards_log_likelihood,
    chance_dry_by,
    checked_readings,
    far_over,
    in_scale,
    newest,
    rise,
    stands_still,
)

if TYPE_CHECKING:
    import pandas as pd


_Z, _FINE = np.linspace(-4, 4, 81), np.linspace(-4, 4, 3201)


class Span(NamedTuple, Generic[T]):
    """The least, likeliest and greatest: days (NaN: never), dates (None: never) or arrays of days.

    Four stacks in five fall between the outer two.
    """

    low: T
    likely: T
    high: T


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
    part : {"mixed", "heartwood", "sapwood"}
        Of the log.
    readings : DataFrame or None
        Those it has learned from.

    Examples
    --------
    >>> oak = air_dry("northern red oak", "4/4", "Madison", "2026-05-15")
    >>> oak.days_to(25).likely
    59.6
    """

    species: woods.Species
    thickness_in: float
    site: climate.Site
    start: date
    start_mc_pct: float
    airflow: str
    pile_width_ft: float
    basis: str
    part: str = "mixed"
    readings: pd.DataFrame | None = field(default=None, repr=False)
    _prior: Any = field(default=None, repr=False)
    _points: Any = field(default=None, repr=False)  # parameter points and their weights

    @property
    def horizon_days(self) -> int:
        """Days that the forecast looks ahead: two years, four for stock over 6/4."""
        return horizon_days(self.thickness_in)

    @cached_property
    def _air(self) -> tuple[np.ndarray, np.ndarray]:
        """Days at 68 F and EMC of each step between the knots."""
        first = np.array([day_of_year(self.start)])
        dried, emc = air_from(*felt_weather(self.site), first, self.horizon_days)
        return dried[:, 0], emc[:, 0]

    @cached_property
    def _table(self) -> tuple[np.ndarray, np.ndarray]:
        """Curves of the points' different paces and airflows: U and G, (knots, curves)."""
        p = self._points
        return curves(p.curve_rate, p.curve_biot, *self._air)

    @cached_property
    def _middle(self) -> tuple[float, float, float]:
        """Start MC, rate, Biot number at the middle of the points."""
        p = self._points
        w = p.weight
        log_rate = np.sum(w * np.log(p.curve_rate[p.curve]))
        log_biot = np.sum(w * np.log(p.curve_biot[p.curve]))
        return float(np.sum(w * p.start_mc)), float(np.exp(log_rate)), float(np.exp(log_biot))

    @cached_property
    def daily(self) -> pd.DataFrame:
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

        lines = self._lines
        dates = pd.to_datetime(self.start) + pd.to_timedelta(lines["day"], "D")
        return pd.DataFrame({"day": lines["day"], "date": dates, **lines})

    @cached_property
    def _lines(self) -> dict[str, np.ndarray]:
        """The columns of `daily` but the dates: all that counting days needs."""
        dried, emc = self._air
        start_mc, one_rate, one_biot = self._middle
        likely, surface, core = inside(one_rate, one_biot, start_mc, dried, emc)
        at, air = knots(self.horizon_days), (dried[:, None], emc[:, None])
        since = 0 if self.readings is None else int(self.readings.day.max())
        weather = weather_sd_pct(
            one_rate, one_biot, start_mc, *air, self.horizon_days, since, self.site.monthly.emc_sd_pct.mean()
        )
        if self.readings is None:
            some, spreads = np.arange(len(at)), (self._points.sd_pace, SD_LOG_BIOT, self._points.sd_start)
            band = usual_band_pct(one_rate, one_biot, start_mc, spreads, *air, weather)
            low, high = np.minimum(band[0][:, 0], likely), np.maximum(band[2][:, 0], likely)
        else:
            some = np.unique(np.concatenate([np.arange(0, 60, 2), np.arange(60, len(at), 3), [len(at) - 1]]))
            U, G = self._table
            p = self._points
            ends = _spread(U[some][:, p.curve] + p.start_mc * G[some][:, p.curve], p.weight, (0.1, 0.9))
            low, high = (
                likely[some]
                + side * np.hypot(np.maximum(side * (end - likely[some]), 0.0), Z10 * weather[some, 0])
                for side, end in zip((-1, 1), ends, strict=True)
            )
        days = np.arange(at[-1] + 1)
        likely, surface, core, emc = (
            np.interp(days, at, y) for y in (likely, surface, core, np.append(emc[:1], emc))
        )
        low, high = (np.interp(days, at[some], end) for end in (low, high))
        return {
            "day": days,
            "low": np.maximum(low, 0.0),
            "likely": likely,
            "high": high,
            "surface_mc_pct": surface,
            "core_mc_pct": core,
            "emc_pct": emc,
        }

    def days_to(self, mc_pct: Numbers) -> Span[FloatOrArray]:
        """Days from the start until the mean moisture content is down to `mc_pct`.

        Parameters
        ----------
        mc_pct : float or array
            6 to 100 %.

        Returns
        -------
        Span
            Of numbers; NaN where it is not reached within `horizon_days`: that place is too damp, or the stock too
            thick. Of arrays for an array.

        Examples
        --------
        >>> air_dry("northern red oak", 1.0, "Madison", "2026-05-15").days_to(6).likely
        nan
        """
        target = within("mc_pct", mc_pct, 1, 200, "%", "Is it a fraction?")
        if np.ndim(target):
            each = np.array([tuple(self.days_to(t)) for t in target.ravel()]).reshape(-1, 3).T
            return Span(*(plain(part.reshape(target.shape)) for part in each))
        d = self._lines
        band = np.column_stack([d["low"], d["likely"], d["high"]])
        return Span(*crossing(d["day"], band, target).tolist())

    def date_of(self, mc_pct: float) -> Span[date | None]:
        """The dates that go with `days_to`, given that readings were still wetter.

        A board may dry slower than its stack, which is called dry when its boards are. So a date before a reading that
        was wetter counts for less, by the chance that the reading errs by so much (`readings.chance_dry_by`): half a
        point over, it hardly moves the dates; three points over, they lie after it. The newest reading says as well how
        far the stack has come: the clearer it is over, up to two errors, the more the dates are those of stacks that
        are still as wet on that day (`readings.Newest`).

        Parameters
        ----------
        mc_pct : float
            6 to 100 %.

        Returns
        -------
        Span
            Of dates, None where it is not reached.

        Examples
        --------
        >>> air_dry("northern red oak", 1.0, "Madison", "2026-05-15").date_of(25).likely.month
        7
        """
        if np.ndim(mc_pct):
            raise InputError("mc_pct: one moisture content at a time here; days_to takes several.")
        if mc_pct not in self._dates:
            self._dates[mc_pct] = self._date_of(mc_pct)
        return self._dates[mc_pct]

    @cached_property
    def _dates(self) -> dict[Any, Any]:
        """Those told so far, by moisture content: a page asks for one several times."""
        return {}

    def _date_of(self, mc_pct: float) -> Span:
        days: Any = self.days_to(mc_pct)
        now = self._newest
        if wetter := [each for each in chance_dry_by(self.readings, mc_pct) if now and each[0] < now.day]:
            days = tuple(_given_wetter(self._day_at(mc_pct), wetter))
        if now and (sure := now.says_wetter(mc_pct)):
            fits = now.fits(np.interp(_FINE, _Z, self._curves[round(now.day)]), mc_pct)
            onward = np.maximum(_given_wetter(self._day_at(mc_pct), wetter, fits), now.day)
            days = [_part_way(day, later, sure) for day, later in zip(days, onward, strict=True)]
        return Span(*(None if math.isnan(d) else self.start + timedelta(days=round(d)) for d in days))

    @cached_property
    def _newest(self) -> Any:
        return newest(self.readings)

    @cached_property
    def _curves(self) -> np.ndarray:
        """Moisture of each day (rows) at each of `_Z` standard deviations from the likely: the band, carried on."""
        d = self._lines
        fast, slow = ((side * (d[edge] - d["likely"]))[:, None] for edge, side in (("low", -1), ("high", 1)))
        return d["likely"][:, None] + _Z / Z10 * np.where(_Z < 0, fast, slow)

    def _day_at(self, mc_pct: float) -> np.ndarray:
        """Day of `mc_pct` at each of `_Z` standard deviations from the likely one."""
        return crossing(self._lines["day"], self._curves, mc_pct)

    @property
    def stops_at_pct(self) -> float:
        """The driest that the stack gets outdoors at this place, % (likely curve, within `horizon_days`).

        Examples
        --------
        >>> air_dry("northern red oak", 1.0, "Madison", "2026-05-15").stops_at_pct
        13.3
        """
        return float(self.daily.likely.min())

    @property
    def still_drying(self) -> bool:
        """True for stock so thick that it loses more than a point in the last year of the forecast.

        Examples
        --------
        >>> air_dry("white oak", "8/4", "Duluth", "2026-05-15").still_drying
        False
        """
        return float(self.daily.likely.iloc[-366] - self.daily.likely.iloc[-1]) > 1

    @property
    def stops_on(self) -> date:
        """The date by which it is within a point of `stops_at_pct`, as near as the place's EMC is known.

        Examples
        --------
        >>> air_dry("yellow-poplar", 1.0, "Madison", "2026-04-15").stops_on.year
        2027
        """
        reached = self.daily.likely <= self.stops_at_pct + 1
        return self.daily.date[reached.idxmax()].date()

    @cached_property
    def pace(self) -> Span[float]:
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

    def at_pace(self, pace: float, days: Numbers) -> FloatOrArray:
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
        [80.0, 29.5]
        """
        pace = within("pace", pace, 0.1, 10)
        days = within("days", days, 0, self.horizon_days, "days")
        start_mc, one_rate, one_biot = self._middle
        mean, _, _ = inside(one_rate * pace, one_biot, start_mc, *self._air)
        return plain(np.interp(np.asarray(days), knots(self.horizon_days), mean))

    def says(self, mc_pct: float = 20.0) -> str:
        """The forecast of one moisture content in words.

        Examples
        --------
        >>> air_dry("northern red oak", 1.0, "Madison", "2026-05-15").says(7).split(", because ")[0]
        '7 % is not reached outdoors in Madison, WI. The stack stops drying near 13 % in April 2027'
        """
        return self._says(mc_pct) + self._unsure_pace

    @property
    def _unsure_pace(self) -> str:
        """A sentence on a part without a rate of its own, else nothing."""
        why = unsure_pace(self.species, self.part)
        return why and f" A{why[1:]}."

    def _says(self, mc_pct: float) -> str:
        low, likely, high = self.date_of(mc_pct)
        if low is None:
            return f"{mc_pct:g} % is not reached outdoors in {self.site.name}. {self._ends(mc_pct)}"
        if high == self.start:
            return f"{mc_pct:g} % or less already on {calendar_day(low)}, the day it was stacked."
        words = f"{mc_pct:g} % from {calendar_day(low)}"
        if high is None or likely is None:
            return f"{words}, or not at all" + (
                f"; most likely {calendar_day(likely)}." if likely else ": more likely not."
            )
        return f"{words} to {calendar_day(high)}, most likely {calendar_day(likely)}."

    def _ends(self, mc_pct: float) -> str:
        """Where and when a stack ends that does not come down to a moisture, and why."""
        daily = self.daily
        last, ends_on = daily.iloc[-1], calendar_day(daily.date.iloc[-1])
        driest, dampest = (f"{e:.0f}" for e in (daily.emc_pct.min(), daily.emc_pct.max()))
        air = f"the air there holds wood at {driest if driest == dampest else f'{driest} to {dampest}'} %"
        now = self._newest
        if self.stops_at_pct < mc_pct and now:  # it would be reached, but a late reading was still wetter
            read_on = calendar_day(self.start + timedelta(days=round(now.day)))
            read = f"It read {now.mc_pct:.0f} % on {read_on}, and this forecast ends on {ends_on}"
            return f"{read}. It may dry further after that, as {air}."
        if self.still_drying:
            stands = f"the stack is near {last.likely:.0f} % and still drying"
            return f"On {ends_on}, where this forecast ends, {stands}: {air}."
        stops = f"The stack stops drying near {self.stops_at_pct:.0f} % in {self.stops_on:%B %Y}"
        return f"{stops}, because {air} through the year."

    def update(self, readings: pd.DataFrame | Sequence[Mapping[str, Any]]) -> Forecast:
        """The forecast after what was measured on the stack.

        Parameters
        ----------
        readings : DataFrame, or what makes one such as a list of dicts
            `date` (not before the start), `mc_pct`; optional `kind` ("weight" for a weighed sample board,
            the default, or "meter") and `sd_pct` (error of that reading, points of MC). All readings so far:
            an earlier update is forgotten, so that none counts twice; one after `horizon_days` does not count.
            Or the rows of one stack from a readings table, as `records.read` gives it.

        Returns
        -------
        Forecast
            Its band, dates and `pace` are narrowed to the paces, start moistures and airflows that the
            readings allow. A reading far off the rest (a wet pocket, a slip of the pen) counts for little,
            and so does a pin meter above 30 %, where it has no scale; beside weighings it does not count at all.

        Raises
        ------
        InputError
            A column missing, a date that is none or lies before the start, an impossible moisture content.

        Examples
        --------
        >>> import pandas as pd
        >>> seen = pd.DataFrame({"date": ["2026-06-01", "2026-06-20", "2026-07-10"], "mc_pct": [68.0, 52.0, 40.0]})
        >>> air_dry("northern red oak", 1.0, "Madison", "2026-05-15").update(seen).pace.likely
        0.7
        """
        table = in_scale(checked_readings(readings, self))
        if table.empty:
            return replace(self, readings=None, _points=self._prior)
        wide = self._wide
        p, expected = wide._points, wide._expected(table)
        log_weight = np.log(p.weight) + boards_log_likelihood(table, expected, p.shape, p.steps).ravel()
        weight = np.exp(log_weight - log_weight.max())
        kept = weight > 1e-4 * weight.max()
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

    def contradicted_by(
        self, readings: pd.DataFrame | Sequence[Mapping[str, Any]], learned: Forecast | None = None
    ) -> bool:
        """True if readings lie so far from the forecast that a row is wrong rather than the stack odd.

        Parameters
        ----------
        readings : DataFrame
            As for `update`.
        learned : Forecast, optional
            What `update` made of them, if that is known already.

        Returns
        -------
        bool
            The middle one of them lies more than three half bands from the likely curve, the reading's own error
            counted in. Or they rise or stand still: no curve of a drying board fits, and the newer half of a board's
            readings lies more than three standard errors above the older half, each against the curve that fits that
            board best. Or a board stays where it was while even a slow one would have dried (`stands_still`). Or the
            two newest days both lie over the band that the readings themselves leave, by more than 1-1/2 times the
            reading's own error. Or the newest lies far over what the others foretell (`too_wet_at_last`): it may be a
            slip of the pen, but if it is right, a date before it is wrong. A meter over its scale is no such reading
            where boards were weighed.

        Examples
        --------
        >>> import pandas as pd
        >>> seen = pd.DataFrame({"date": ["2027-05-15", "2027-05-29"], "mc_pct": [78.0, 56.0]})
        >>> air_dry("northern red oak", 1.0, "Madison", "2026-05-15").contradicted_by(seen)
        True
        """
        table = checked_readings(readings, self)
        return bool(len(table)) and self._contradicted(table, learned or self.update(readings))

    def _contradicted(self, table: pd.DataFrame, learned: Forecast) -> bool:
        """Whether checked readings contradict the forecast."""
        table = in_scale(table)
        if self._too_wet(table):
            return True
        daily = self.daily
        low, likely, high = (np.interp(table.day, daily.day, daily[c]) for c in ("low", "likely", "high"))
        seen = table.mc_pct.to_numpy()
        half = np.where(seen > likely, high - likely, likely - low)
        if np.median(np.abs(seen - likely) / np.hypot(half, table.sd_pct.to_numpy())) > _ODD:
            return True
        slow = np.interp(table.day * (1 - SD_BOARD_PACE), daily.day, daily.likely) - likely
        expected = self._wide._expected(table)
        if rise(table, expected, slow) > _RISES:
            return True
        after = learned.daily
        if stands_still(table, after):
            return True
        over = (seen - np.interp(table.day, after.day, after.high)) / table.sd_pct
        newest = over.groupby(table.day).median().tail(2)
        return len(newest) == 2 and bool(newest.min() > _OVER)

    def too_wet_at_last(self, readings: pd.DataFrame | Sequence[Mapping[str, Any]]) -> bool:
        """True if the newest day's readings are far wetter than the others foretell (`readings.far_over`).

        Parameters
        ----------
        readings : DataFrame
            As for `update`.

        Examples
        --------
        >>> days = ["2026-05-18", "2026-06-15", "2026-07-10", "2026-10-20"]
        >>> seen = [{"date": d, "mc_pct": mc, "board": "A"} for d, mc in zip(days, [78, 45, 28, 28])]
        >>> air_dry("northern red oak", 1.0, "Madison", "2026-05-15").too_wet_at_last(seen)
        True
        """
        table = checked_readings(readings, self)
        return bool(len(table)) and self._too_wet(table)

    def _too_wet(self, table: pd.DataFrame) -> bool:
        table = in_scale(table)
        expected, p = self._wide._expected(table), self._wide._points
        older = (table.day < table.day.max()).to_numpy()
        told = np.zeros(len(p.weight))
        if older.any():
            before = table[older].reset_index(drop=True)
            told = boards_log_likelihood(before, expected[older], p.shape, p.steps).ravel()
        return far_over(table, expected, p.weight, told)

    def _expected(self, table: pd.DataFrame) -> np.ndarray:
        """Moisture of a board at each point of the net (columns), at each reading (rows)."""
        p, day, at = self._points, table.day.to_numpy(), knots(self.horizon_days)
        k = np.clip(np.searchsorted(at, day, side="right") - 1, 0, len(at) - 2)
        share = ((day - at[k]) / (at[k + 1] - at[k]))[:, None]
        U, G = (x[k] + share * (x[k + 1] - x[k]) for x in self._table)
        return U[:, p.curve] + p.start_mc * G[:, p.curve]

    @cached_property
    def _wide(self) -> Forecast:
        """The same forecast on a finer and wider net of paces, airflows and starts: boards differ more than stacks."""
        return replace(self, readings=None, _points=self._prior.net(81, 3, 15, boards=True))


_ODD = 3.0  # half bands: one stack in five lies outside one of them, one in several thousand outside three
# Of stacks made up with honest readings, one stray in twenty among them, about one in a hundred is over these.
_RISES, _OVER = 3.0, 1.5


_DRIEST_START = 0.7  # share of the start that no green stack lacks, however wide its spread (judgment)


@dataclass(frozen=True, eq=False)
class _Points:
    """What is not known of a stack, as weighted points: pace and airflow (a curve each) and start MC."""

    rate: float  # likeliest, of this thickness
    biot: float
    start: float
    sd_pace: float
    sd_start: float
    shape: tuple[int, ...] = ()  # paces, airflows, starts
    steps: tuple[
        float, ...
    ] = ()  # between paces (natural logarithm) and between starts (share of the likeliest)
    curve_rate: Any = None  # these six are arrays as soon as there is a net
    curve_biot: Any = None
    curve: Any = None  # which curve each point has
    start_mc: Any = None
    pace: Any = None
    weight: Any = None

    def net(self, paces: int, biots: int, starts: int, boards: bool = False) -> _Points:
        """An even net with normal weights; with `boards` wide enough for single boards."""
        wide = (2 * SD_BOARD_PACE, SD_BOARD_START) if boards else (0.0, 0.0)
        z = np.linspace(-3.2, 3.2, paces) * np.hypot(self.sd_pace, wide[0])
        y = np.linspace(-1.73, 1.73, biots) * SD_LOG_BIOT
        far = np.hypot(self.sd_start, wide[1])
        x = np.linspace(-1, 1, starts) * min(2.6 * far, _DRIEST_START)
        curve_rate, curve_biot = (
            g.ravel() for g in np.meshgrid(self.rate * np.exp(z), self.biot * np.exp(y), indexing="ij")
        )
        curve, column = (
            g.ravel() for g in np.meshgrid(np.arange(paces * biots), np.arange(starts), indexing="ij")
        )
        weight = (
            np.exp(-0.5 * (z / self.sd_pace) ** 2)[:, None, None]
            * np.exp(-0.5 * (y / SD_LOG_BIOT) ** 2)[None, :, None]
            * np.exp(-0.5 * (x / self.sd_start) ** 2)[None, None, :]
        ).ravel()
        # days go nearly with the sum of both resistances, see `air_share`
        pace = curve_rate / self.rate * (1 / 3 + 1 / self.biot) / (1 / 3 + 1 / curve_biot)
        return replace(
            self,
            shape=(paces, biots, starts),
            steps=(z[1] - z[0], x[1] - x[0]),
            curve_rate=curve_rate,
            curve_biot=curve_biot,
            curve=curve,
            start_mc=self.start * (1 + x)[column],
            pace=pace[curve],
            weight=weight / weight.sum(),
        )


def air_dry(
    species: str | woods.Species,
    thickness_in: float | str,
    site: str | climate.Site,
    start: date | str | int,
    *,
    start_mc_pct: float | None = None,
    part: str = "mixed",
    airflow: str = "ordinary",
    pile_width_ft: float = REFERENCE_WIDTH_FT,
    quartersawn: bool = False,
) -> Forecast:
    """Forecast a stack that dries outdoors under a roof.

    The thickness rule was checked against published times from 4/4 to 8/4; over that it is carried on. A board's
    edges and ends count for nothing: right for boards, while a thick, narrow piece dries faster than is said here. A
    wide slab is one of these boards, and its bark side dries slower.

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
        Moisture content then; if not given, that of a green board of `part`.
    part : {"mixed", "heartwood", "sapwood"}
        Of the log: sets the start, and the rate where the sapwood's own is known, see `rate`. Of other woods
        `dated_part` says of which part a date may be told.
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
        An unknown wood, place or word; a value out of range; a start wetter than the wood can be.

    Examples
    --------
    >>> air_dry("northern red oak", "4/4", "Madison", "2026-05-15").says(20)
    '20 % from 10 July 2026 to 6 September 2026, most likely 1 August 2026.'
    """
    wood, place = woods.get(species), climate.get(site)
    thick = thickness(thickness_in)
    given = start_mc_pct is not None
    mc = moisture.start_mc_pct(wood, start_mc_pct, part)
    own = rate(wood, part)
    per_day = own.per_day / thick**2 / (QUARTERSAWN_TIME if quartersawn else 1.0)
    bi = biot(airflow, pile_width_ft, thick)
    sd_start = SD_START_GIVEN if given else start_sd(wood, part)
    sd_pace = np.hypot(own.sd_log_rate, SD_LOG_PLACE)
    prior = _Points(per_day, bi, mc, sd_pace, sd_start).net(25, 3, 5)
    return Forecast(
        wood,
        thick,
        place,
        start_date(start),
        mc,
        airflow,
        float(pile_width_ft),
        own.basis,
        part,
        _prior=prior,
        _points=prior,
    )


def of_stack(row: Any, site: str | climate.Site, part: str = "mixed") -> Forecast:
    """Forecast a stack as its row in the stacks table of `records` describes it.

    Parameters
    ----------
    row : row of a DataFrame
        `species`, `nominal`, `stacked`, and where known `place`, `start_mc_pct`, `width_ft`.
    site : str or Site
        The place, if the row names none.
    part : {"mixed", "heartwood", "sapwood"}
        Of the log, as in `air_dry`.

    Returns
    -------
    Forecast

    Raises
    ------
    InputError
        Wood, thickness or day is not there, or what is there cannot be.

    Examples
    --------
    >>> from woodcalc import records
    >>> stacks = records.read(records.KETTLE_HOLLOW / "stacks.csv")
    >>> of_stack(next(stacks.itertuples()), "Madison").says(20)
    '20 % from 6 July 2025 to 1 September 2025, most likely 29 July 2025.'
    """
    known: dict[str, Any] = {
        "start_mc_pct": getattr(row, "start_mc_pct", None),
        "pile_width_ft": getattr(row, "width_ft", None),
    }
    known = {name: value for name, value in known.items() if not blank(value)}
    needed: dict[str, Any] = {name: getattr(row, name, None) for name in ("species", "nominal", "stacked")}
    if lacking := [name for name, value in needed.items() if blank(value)]:
        stack = getattr(row, "stack", "")
        raise InputError(f"stack {stack}: no {' and no '.join(lacking)}, so there is no forecast of it.")
    place: Any = getattr(row, "place", None)
    place = site if blank(place) else place
    return air_dry(needed["species"], needed["nominal"], place, needed["stacked"], part=part, **known)


def taught(before: Forecast, readings: pd.DataFrame) -> tuple[Forecast, str]:
    """Return (the forecast that readings have taught, "") or (the one before them, why they teach it no date).

    Parameters
    ----------
    before : Forecast
        As of the day of stacking.
    readings : DataFrame
        As for `Forecast.update`.

    Returns
    -------
    tuple of (Forecast, str)

    Examples
    --------
    >>> import pandas as pd
    >>> seen = pd.DataFrame({"date": ["2027-05-15", "2027-05-29"], "mc_pct": [78.0, 56.0]})
    >>> taught(air_dry("northern red oak", 1.0, "Madison", "2026-05-15"), seen)[1].partition(".")[0]
    'the readings contradict its forecast, so no date is told from them'
    """
    if not len(readings):
        return before, ""
    after = before.update(readings)
    if after.readings is None:
        years = before.horizon_days // 365
        return (
            before,
            f"the readings begin over {years} years after it was stacked, so no date is told from them",
        )
    if not before._contradicted(after.readings, after):
        return after, ""
    return before, TOO_WET if before._too_wet(after.readings) else CONTRADICTED


TOO_WET = (
    "the readings contradict its forecast, so no date is told from them. The newest is far wetter than the others "
    "foretell. Weigh it again; if it is right, the wood is not dry. Then look whether rain gets in, boards are mixed "
    "up, or the day of stacking, the wood or the oven-dry weight is wrong"
)
CONTRADICTED = (
    "the readings contradict its forecast, so no date is told from them. Check the day of stacking and its year, the "
    "wood and thickness, and the boards' oven-dry weights. Do the readings rise or stand still? Then look whether "
    "dates are the wrong way round (day and month), boards are mixed up, or rain gets in"
)


def _spread(values: np.ndarray, weight: np.ndarray, shares: Any) -> list[np.ndarray]:
    """Weighted quantiles of each row of `values` (rows, points); a list of (rows,) arrays, one per share."""
    order, row = np.argsort(values, axis=1), np.arange(len(values))
    v = np.take_along_axis(values, order, 1)
    w = weight[order]
    mid = np.cumsum(w, axis=1) - w / 2
    found = []
    for share in shares:
        right = np.minimum((mid < share).sum(1), values.shape[1] - 1)
        left = np.maximum(right - 1, 0)
        low, high, wide = v[row, left], v[row, right], mid[row, right] - mid[row, left]
        part = np.clip((share - mid[row, left]) / np.where(wide > 0, wide, 1.0), 0.0, 1.0)
        found.append(low + part * (high - low))
    return found


def _given_wetter(
    day_at: np.ndarray, wetter: list[tuple[float, float]], fits: np.ndarray | None = None
) -> list[float]:
    """Days that a tenth, half and nine tenths of stacks need, if days before a wetter reading count for less.

    Parameters
    ----------
    day_at : array
        Days at each of `_Z`, which rise; NaN where never.
    wetter : list of (float, float)
        From `chance_dry_by`, but of the newest day.
    fits : array, optional
        How much each of `_FINE` counts by the newest day (`readings.Newest.fits`).
    """
    day = np.interp(_FINE, _Z, day_at)  # NaN where either neighbor is
    counts = np.exp(-0.5 * _FINE**2) * (1.0 if fits is None else fits)
    for when, chance in wetter:
        counts[day < when] *= chance
    mass = np.cumsum(counts)
    if not mass[-1]:  # none of them: the slowest there is
        return [float(day[-1])] * 3
    # the mean of the quantiles around each: where a curve lies flat for some days, a hair would move one by all of them
    around = np.linspace(-0.05, 0.05, 33)
    near = [day[np.searchsorted(mass, (q + around) * mass[-1])] for q in (0.1, 0.5, 0.9)]
    return [math.nan if np.isnan(days[16]) else float(np.nanmean(days)) for days in near]


def _part_way(day: float, later: float, share: float) -> float:
    """From one day to a later one; NaN (never) is no day to go part of the way to."""
    if math.isnan(day) or math.isnan(later):
        return day if share < 0.5 else later
    return day + share * (max(later, day) - day)
