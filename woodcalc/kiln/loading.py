"""When to load: straight from the saw or from the yard, and which way, or ways, from there.

A stack dries outdoors as the forecast has it. Each day it could be carried into the house, a solar kiln or a chamber
with a dehumidifier, and each of them takes so long from there. The best day is the one from which the boards are dry
soonest, with no day over their safe loss and none of it hotter than ever tried. A charge counts as evenly moist when it
is carried in.
"""

from __future__ import annotations

import math
import warnings
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from functools import lru_cache
from typing import TYPE_CHECKING, Any

import numpy as np

from woodcalc import climate
from woodcalc import species as woods
from woodcalc.checks import InputError, RangeWarning, blank, suggest, within
from woodcalc.dates import MONTHS
from woodcalc.drying.forecast import air_dry
from woodcalc.drying.rate import day_of_year
from woodcalc.kiln.runs import Run
from woodcalc.kiln.ways import Look, dehumidifier, house_year, indoors, looker, solar

if TYPE_CHECKING:
    import pandas as pd

    from woodcalc.drying.forecast import Forecast

# One way, or one after the other: the kiln is free again while the house does the last points.
WAYS = {
    "indoors": ("indoors",),
    "solar kiln": ("solar kiln",),
    "dehumidifier": ("dehumidifier",),
    "solar kiln, then indoors": ("solar kiln", "indoors"),
    "dehumidifier, then indoors": ("dehumidifier", "indoors"),
}
MOVED_AT_PCT = (16.0, 14.0, 12.0, 10.0)  # where the second way may take over: judgment
LONGEST_DAYS = 300  # in a kiln or a house, where nothing else is said
WEEK_DAYS = 7  # so much later, and the fewest days in the kiln, is taken for the soonest
AHEAD_DAYS = 730  # how far ahead a day is looked for
_COARSE, _CLOSER, _CLOSE_DAYS = 28, (14, 7), 6  # the search: every four weeks first, then closer
_YARD_PCT = 20.0  # to which a stack outdoors is dried as a rule: common practice
_DRY_ENOUGH_PCT, _A_MONTH_PCT = (
    25.0,
    0.5,
)  # a season is over when wood below this loses less than that in 30 days


@dataclass(frozen=True, eq=False)
class Loading:
    """A day to load, and what comes of it.

    Attributes
    ----------
    way : str
        Of `WAYS`.
    stacked, day, ready : date
        When it went on sticks, when it is loaded (the same: straight from the saw), when it is dry.
    mc_pct : float
        What the boards are likely at when they are loaded.
    moved : date or None
        When the second way takes over.
    runs : tuple of Run or Look
        One for each way, looks if they were asked for; none if the yard alone has dried it.
    ready_at_season_end : date or None
        When it would be dry, loaded when the first season outdoors is over; None if that is too fast, too hot or too
        slow, and, of a rough look, over a week later.

    Examples
    --------
    >>> found = best_loading(air_dry("black cherry", "4/4", "Madison", "2026-05-15"))
    >>> found.day.month, round(found.mc_pct), found.ready <= found.ready_at_season_end
    (6, 36, True)
    """

    way: str
    stacked: date
    day: date
    ready: date
    mc_pct: float
    moved: date | None
    runs: tuple[Run | Look, ...] = field(repr=False)
    ready_at_season_end: date | None = None

    @property
    def straight(self) -> bool:
        """True if it goes in straight from the saw."""
        return self.day == self.stacked

    @property
    def days(self) -> int:
        """Days from loading until dry."""
        return (self.ready - self.day).days

    @property
    def kwh(self) -> float:
        """Electricity of all that it goes through, kWh."""
        return float(sum(run.kwh for run in self.runs))

    @property
    def pace_known(self) -> bool:
        """True if a safe loss is published for the wood, so that it was held to it."""
        return all(run.safe_loss_pct_per_day is not None for run in self.runs)


def season_end(forecast: Forecast) -> tuple[date, float]:
    """Return (date, MC) at which the first season's drying is over: under half a point a month from there.

    Parameters
    ----------
    forecast : Forecast

    Returns
    -------
    tuple of (date, float)

    Examples
    --------
    >>> when, mc = season_end(air_dry("northern red oak", "4/4", "Madison", "2026-05-15"))
    >>> when.year, round(mc)
    (2026, 16)
    """
    likely = forecast.daily["likely"].to_numpy()
    slow = (likely[:-30] <= _DRY_ENOUGH_PCT) & (likely[:-30] - likely[30:] < _A_MONTH_PCT)
    day = int(slow.argmax()) if slow.any() else (forecast.stops_on - forecast.start).days
    return forecast.start + timedelta(days=day), float(likely[day])


def best_loading(
    forecast: Forecast,
    way: str = "solar kiln",
    load_bf: float = 300.0,
    mc_target_pct: float = 8.0,
    wettest_pct: float | None = None,
    longest_days: int | None = None,
    rough: bool = False,
) -> Loading | None:
    """Return the day to load a stack so that it is dry soonest.

    Looked for over two years of days. The latest day is taken from which it is dry within a week of the soonest: so it
    is in the kiln no longer than helps. It is never dry later than if loaded at the end of the season outdoors.

    Parameters
    ----------
    forecast : Forecast
        Of the stack outdoors, from `drying.air_dry`.
    way : str
        Of `WAYS`: one, or one after the other.
    load_bf : float
        50 to 20,000 bf; glass and fans in proportion, one dehumidifier of `ways.PINTS_PER_DAY` in the house.
    mc_target_pct : float
        4 to 30 %.
    wettest_pct : float, optional
        Load no wetter than this, 8 to 200 %; if not given, straight from the saw is tried as well.
    longest_days : int, optional
        In the kiln or the house, 1 to 730 days at most; 300 if not given.
    rough : bool
        Take the rough looks of the search as they are; a day or two off.

    Returns
    -------
    Loading or None
        None where no day gets it there safely, or where the solar kiln's sunshine is not known.

    Raises
    ------
    InputError
        A value outside its range, or a way that is none of `WAYS`.

    Examples
    --------
    >>> oak = air_dry("northern red oak", "4/4", "Madison", "2026-05-15")
    >>> [round(best_loading(oak, way).mc_pct) for way in ("indoors", "solar kiln")]
    [16, 47]
    """
    if way not in WAYS:
        raise suggest(way, list(WAYS), "way")
    within("load_bf", load_bf, 50, 20000, "bf")
    target = within("mc_target_pct", mc_target_pct, 4, 30, "%")
    most = within("wettest_pct", wettest_pct, 8, 200, "%") if wettest_pct is not None else math.inf
    longest = (
        LONGEST_DAYS if longest_days is None else int(within("longest_days", longest_days, 1, 730, "days"))
    )
    if "solar kiln" in WAYS[way] and not forecast.site.has_sun:
        return None
    search = _Search(forecast, WAYS[way], load_bf, target, most, longest)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", RangeWarning)  # said where the run itself is asked for
        return search.best(way, rough)


@dataclass
class _Search:
    """The days that were tried: on which day the wood is dry, and by what runs."""

    forecast: Forecast
    ways: tuple[str, ...]
    load_bf: float
    target: float
    wettest: float
    longest: int

    def __post_init__(self) -> None:
        self.likely = self.forecast.daily["likely"].to_numpy()[: AHEAD_DAYS + 1]
        self.season = min((season_end(self.forecast)[0] - self.forecast.start).days, len(self.likely) - 1)
        self.tried: dict[int, Any] = {}
        self.lookers = _lookers(
            self.forecast.species,
            self.forecast.thickness_in,
            self.forecast.site,
            self.load_bf,
            self.forecast.part,
            self.ways,
        )

    def best(self, way: str, rough: bool) -> Loading | None:
        """The latest day that is dry within a week of the soonest; by the runs themselves where that is close."""
        self.find_soonest()
        if math.isinf(self.soonest):
            return None
        self.look(self.season, self.soonest + WEEK_DAYS)
        n = self.latest(min(self.soonest + WEEK_DAYS, self.tried[self.season][0]))
        if not rough:
            sure = self._sure(n)
            if sure is None:
                return None
            n = sure
        ready, moved, each = self.tried[n]
        start, late = self.forecast.start, self.tried[self.season][0]
        return Loading(
            way, start, self.day(n), start + timedelta(days=round(ready)), float(self.likely[n]),
            None if moved is None else start + timedelta(days=round(moved)), each,
            None if math.isinf(late) else start + timedelta(days=round(late)),
        )  # fmt: skip

    def find_soonest(self) -> None:
        """Day after day until one is safe and gets there: loaded later it is not dry sooner, but for a few days."""
        days = {0, self.season, *range(0, len(self.likely), _COARSE)}
        days |= {int(np.argmax(self.likely <= mc)) for mc in (25, 20, self.wettest, self.target)}
        for n in sorted(days):
            self.look(n)
            if math.isfinite(self.soonest):
                break
        self.look_half_dry()
        for step in _CLOSER:
            middle = min(self.tried, key=lambda n: self.tried[n][0])
            for n in (middle - step, middle + step):
                if 0 < middle and 0 <= n < min(len(self.likely), self.soonest):
                    self.look(n, self.soonest + WEEK_DAYS)

    def look_half_dry(self) -> None:
        """A light wood loses its first water faster in a breeze than in a kiln: half-dry it may be ready sooner."""
        n = int(np.argmax(self.likely <= (self.likely[0] + _YARD_PCT) / 2))
        if n in self.tried or not 0 < n < self.soonest < math.inf:
            return
        self.look(n, self.soonest)
        if math.isinf(self.tried[n][0]):  # not sooner: it may still be by a later deadline
            del self.tried[n]

    def latest(self, deadline: float) -> int:
        """The latest day from which it is dry by then: by halves, as loading later is not dry sooner."""
        low = max(n for n, found in self.tried.items() if found[0] <= deadline)
        high = min(math.ceil(deadline), len(self.likely) - 1)
        while high - low > _CLOSE_DAYS:
            n = (low + high) // 2
            self.look(n, deadline)
            low, high = (n, high) if self.tried[n][0] <= deadline else (low, n)
        return low

    def _sure(self, n: int) -> int | None:
        """The day found, or the season's end or the next best, run in full: the looks are a day or two off."""
        looked, self.tried = self.tried, {}
        self.tried[self.season] = self.run(self.season, rough=False)
        order = sorted(
            (k for k, v in looked.items() if math.isfinite(v[0])), key=lambda k: (k != n, looked[k][0])
        )
        for k in order:
            self.tried[k] = self.run(k, rough=False)
            if math.isfinite(self.tried[k][0]):
                break
        done = {k: v for k, v in self.tried.items() if math.isfinite(v[0])}
        return min(done, key=lambda k: done[k][0]) if done else None

    @property
    def soonest(self) -> float:
        return min((found[0] for found in self.tried.values()), default=math.inf)

    def day(self, n: int) -> date:
        return self.forecast.start + timedelta(days=n)

    def look(self, n: int, deadline: float = math.inf) -> None:
        """Try a day; one that is not dry by the deadline counts as never."""
        if n not in self.tried:
            self.tried[n] = self.run(n, True, deadline)

    def run(self, n: int, rough: bool, deadline: float = math.inf) -> Any:
        """(day on which it is dry, day on which it is moved, runs); infinity if that is never, too fast or too hot."""
        never: tuple[float, float | None, tuple[Any, ...]] = (math.inf, None, ())
        mc = float(self.likely[n])
        if mc <= self.target:
            return float(n), None, ()
        if mc > self.wettest:
            return never
        days = int(min(self.longest, math.ceil(deadline - n))) if deadline < math.inf else self.longest
        if days < 1:
            return never
        first, *second = self.ways
        stop = min(MOVED_AT_PCT) if second else self.target
        if mc <= stop or (second and stop <= self.target):
            return never
        run = self._go(first, n, mc, stop, days, rough)
        if run is None:
            return never
        if not second:
            took = run.days_to(self.target)
            return never if blank(took) else (n + took, None, (run,))
        found = never
        for pct in MOVED_AT_PCT:
            moved = n + run.days_to(pct)
            if not mc > pct > self.target or blank(moved):
                continue
            last = self._go(second[0], round(moved), pct, self.target, days, rough)
            if last is not None and moved + last.days_to(self.target) < found[0]:
                found = moved + last.days_to(self.target), moved, (run, last)
        return found

    def _go(self, way: str, n: int, mc: float, target: float, days: int, rough: bool) -> Run | Look | None:
        """A look at a charge, or its run; None if it is too fast, too hot or of a size that none here can hold."""
        f, day = self.forecast, self.day(n)
        try:
            run: Any
            if rough:
                run = self.lookers[way](day, mc, target, days)
            else:
                charge: dict[str, Any] = dict(
                    load_bf=self.load_bf, mc_start_pct=mc, mc_target_pct=target, days=days, part=f.part
                )
                run = _run(way, f, day, charge)
        except InputError:
            return None
        return None if run.too_fast_days or run.too_hot else run


@lru_cache(maxsize=64)
def _lookers(
    species: woods.Species,
    thickness_in: float,
    site: climate.Site,
    load_bf: float,
    part: str,
    ways: tuple[str, ...],
) -> dict[str, Any]:
    return {way: looker(way, species, thickness_in, site, load_bf, part) for way in ways}


def _run(way: str, forecast: Forecast, day: date, charge: dict[str, Any]) -> Run:
    wood = forecast.species, forecast.thickness_in
    if way == "indoors":
        return indoors(*wood, forecast.site, day, **charge)
    if way == "solar kiln":
        return solar(*wood, forecast.site, day, **charge)
    room = np.roll(house_year(forecast.site), -day_of_year(day), axis=0)
    return dehumidifier(*wood, room_f=room[:, 0], room_rh_pct=room[:, 1], **charge)


def loading_by_month(
    species: str | woods.Species,
    thickness_in: float | str,
    site: str | climate.Site,
    load_bf: float = 300.0,
    mc_target_pct: float = 8.0,
    ways: Sequence[str] = ("indoors", "solar kiln", "dehumidifier"),
    year: int = 2026,
    part: str = "mixed",
) -> pd.DataFrame:
    """The best day to load, for wood that is sawn and stacked in the middle of each month, by rough looks.

    Parameters
    ----------
    species, thickness_in, site, part :
        As in `drying.air_dry`.
    load_bf, mc_target_pct :
        As in `best_loading`.
    ways : sequence of str
        Of `WAYS`.
    year : int
        In which the wood is stacked.

    Returns
    -------
    DataFrame
        A row a month and way: `month` (1-12), `way`, `straight`, `load` (date), `mc_pct`, `days` (from loading),
        `ready` (date), `total_days` (from the saw), `kwh`; missing where no day gets it there.

    Examples
    --------
    >>> table = loading_by_month("black cherry", 1, "Madison", ways=["solar kiln"])
    >>> table.month.size, bool(table.mc_pct.between(8, 60).all())
    (12, True)
    """
    import pandas as pd

    rows = []
    for month in range(1, len(MONTHS) + 1):
        forecast = air_dry(species, thickness_in, site, date(year, month, 15), part=part)
        for way in ways:
            found = best_loading(forecast, way, load_bf, mc_target_pct, rough=True)
            row: dict[str, Any] = dict(month=month, way=way)
            if found is not None:
                row |= dict(
                    straight=found.straight, load=found.day, mc_pct=found.mc_pct, days=found.days, ready=found.ready,
                    total_days=(found.ready - found.stacked).days, kwh=found.kwh,
                )  # fmt: skip
            rows.append(row)
    columns = ["month", "way", "straight", "load", "mc_pct", "days", "ready", "total_days", "kwh"]
    return pd.DataFrame(rows, columns=columns)
