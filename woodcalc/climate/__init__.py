"""Places: a year of air, month by month, at 1,011 weather stations, at a place of your own, or from a weather
file.

The stations' figures come from Typical Meteorological Year 3 files (NREL, from the National Solar Radiation Data
Base, 1991-2005 update; DOE/NREL). Each month of such a file is one real month. A place's long-term months are made
of its own and its neighbors' single ones, see `_long_term`; their EMC is good to about 0.7 points, where a single
month is good to 1. The stations are airports: a hollow or a wood's edge is damper and stiller.

Two EMCs of a month. `emc_pct` is the EMC of the month's mean air, as published outdoor tables have it, and
what the drying forecast uses. The mean of the hours' EMCs (`emc_hourly_mean_pct`) is higher, because EMC
bends upward in damp nights: by 0.3 points in the dry West, 1.5 in the middle of the stations, 2.0 in the humid
south-east. It is an upper bound: a board answers in days, and most of all to the warm dry hours.
"""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from woodcalc import air, tables, units
from woodcalc.checks import InputError, Numbers, blank, doubtful, suggest, within

if TYPE_CHECKING:
    import pandas as pd


MONTH_NAMES = tuple(
    "January February March April May June July August September October November December".split()
)
MONTHS = tuple(name[:3] for name in MONTH_NAMES)
MONTH_DAYS = np.array([31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31])
MID_MONTHS = np.cumsum(MONTH_DAYS) - MONTH_DAYS + 14  # day of the year of each 15th, from 0

_MPH = 2.236936  # m/s, exact to the digits


@dataclass(frozen=True, eq=False)
class Site:
    """A place and its typical year.

    Attributes
    ----------
    name : str
        "Madison, WI".
    station_id : str
        Number of the weather station; empty for a person's own figures.
    latitude, longitude : float
        Degrees, west negative; NaN if not given.
    elevation_ft : float
        Above sea level.
    utc_offset_h : float
        Standard time, hours from UTC.
    monthly : DataFrame
        Index month 1-12; `temp_f`, `temp_max_f`, `temp_min_f` (mean, mean of the days' highest and lowest),
        `dew_point_f`, `rh_pct`, `emc_pct` (of the mean air), `emc_hourly_mean_pct`, `wind_mph`,
        `sun_kwh_m2_day` (on level ground), `emc_sd_pct` (how far one year's month usually is off, standard deviation;
        NaN where the figures do not tell).
    hourly : DataFrame or None
        The hours of a weather file, if read from one: `month`, `hour`, `temp_f`, `rh_pct`, `dew_point_f`,
        `wind_mph`, `ghi_w_m2`, `dni_w_m2`, `dhi_w_m2`.
    region : str
        Part of the country.
    source : str
        Where the figures come from.

    Examples
    --------
    >>> madison = get("Madison")
    >>> float(madison.monthly.temp_f[7])
    73.4
    >>> len(madison.daily())
    365
    """

    name: str
    monthly: pd.DataFrame = field(repr=False)
    station_id: str = ""
    latitude: float = float("nan")
    longitude: float = float("nan")
    elevation_ft: float = 0.0
    utc_offset_h: float = float("nan")
    region: str = ""
    source: str = "own figures"
    hourly: pd.DataFrame | None = field(default=None, repr=False)

    @property
    def has_sun(self) -> bool:
        """Whether the figures tell the day's range, the sunshine and the position that `hourly_day` needs.

        Examples
        --------
        >>> get("Madison").has_sun, from_monthly("home", [50] * 12, [70] * 12).has_sun
        (True, False)
        """
        told = self.monthly[["temp_max_f", "temp_min_f", "sun_kwh_m2_day"]].notna().all(axis=None)
        return bool(told and np.isfinite(self.latitude + self.longitude))

    def daily(self) -> pd.DataFrame:
        """The year day by day: smooth curves whose mean over each month is the month's figure.

        Returns
        -------
        DataFrame
            Index day of the year 1-365; `month`, the columns of `monthly`; `emc_pct` is the EMC of the day's
            mean air.

        Examples
        --------
        >>> float(get("Madison").daily().emc_pct[135])
        12.7
        """
        return _daily(self).copy()

    def hourly_day(self, month: int) -> pd.DataFrame:
        """A typical day of a month, hour by hour, rebuilt from the month's figures.

        Temperature runs from its lowest at sunrise through its highest in mid-afternoon and keeps the
        month's mean; the water in the air stays the same through the day; sunshine follows the height of the
        sun, scaled to the month's radiation. Times are standard time.

        Parameters
        ----------
        month : int
            1 to 12.

        Returns
        -------
        DataFrame
            Index hour 0-23 (the hour that begins then); `temp_f`, `rh_pct`, `emc_pct`, `ghi_w_m2` (sun on
            level ground).

        Raises
        ------
        InputError
            The site lacks highest and lowest temperatures, radiation, or its position.

        Examples
        --------
        >>> day = get("Madison").hourly_day(7)
        >>> float(day.temp_f.max() - day.temp_f.min())
        19.5
        """
        return _hourly_day(self, month_number(month)).copy()


def month_number(month: int | str) -> int:
    """Month 1-12 from a number, a name or its first letters, three or more.

    Parameters
    ----------
    month : int or str
        1 to 12, or a name in any case.

    Examples
    --------
    >>> month_number("may"), month_number(12)
    (5, 12)
    """
    if isinstance(month, str) and not month.strip().isdigit():
        asked = month.strip().lower().rstrip(".")
        found = [
            k for k, name in enumerate(MONTH_NAMES, 1) if len(asked) >= 3 and name.lower().startswith(asked)
        ]
        if not found:
            raise suggest(month, MONTH_NAMES, "month")
        return found[0]
    number = within("month", month, 1, 12)
    if number != int(number):
        raise InputError(f"month = {number:g}: expected a whole number from 1 to 12.")
    return int(number)


@cache
def sites() -> pd.DataFrame:
    """The weather stations that lists offer; `get` finds all 1,011.

    Returns
    -------
    DataFrame
        `station_id`, `name` ("Madison, WI"), `place`, `state`, `region`, `latitude`, `longitude`,
        `elevation_ft`, `utc_offset_h`.

    References
    ----------
    NREL TMY3 (NSRDB 1991-2005 update); of seven stations whose header is wrong, data/climate_positions.csv.

    Examples
    --------
    >>> len(sites())
    61
    """
    table = _stations()
    return table[table.listed == "yes"].drop(columns=["listed", "elevation_m", "t_observed_pct"])


def stations() -> pd.DataFrame:
    """All 1,011 weather stations.

    Returns
    -------
    DataFrame
        As `sites`, with `t_observed_pct` (how much of the temperature was measured) and `listed`.

    Examples
    --------
    >>> len(stations())
    1011
    """
    return _stations().copy()


@cache
def _stations():
    table = tables.read("climate_stations")
    mended = tables.read("climate_positions").dropna(subset=["latitude"]).set_index("station_id")
    at = table.index[table.station_id.isin(mended.index)]
    where = ["latitude", "longitude", "elevation_m"]  # where the station is, and not where its file says
    table = table.astype({name: float for name in where})
    table.loc[at, where] = mended.loc[table.station_id[at], where].to_numpy(dtype=float)
    return table.assign(
        name=table.place + ", " + table.state, elevation_ft=(table.elevation_m / units.M_PER_FT).round(0)
    )


def get(site: str | Site) -> Site:
    """A site by name, name and state, or station number.

    Parameters
    ----------
    site : str or Site
        "Madison", "Madison, WI", "726410"; a `Site` comes back as it is. A station that is not in `sites` goes
        by its number or by its name and state ("Beckley, WV"), a place that `know` was given by its name.

    Returns
    -------
    Site

    Raises
    ------
    InputError
        Not among the stations, or more than one place of that name.

    Examples
    --------
    >>> get("madison, wi").elevation_ft
    860.0
    >>> get("722310").name
    'New Orleans, LA'
    """
    return site if isinstance(site, Site) else _called(str(site))


def _called(site):
    found = _found(site)
    return found if isinstance(found, Site) else _station(found)


def _found(site):
    """What a name stands for: a place of one's own, or the row of a station."""
    asked = as_key(site)
    if asked in _OWN:
        return _OWN[asked]
    rows = _rows_by_key().get(asked, [])
    if len(rows) > 1:
        raise InputError(f"there is more than one {site!r}: say {' or '.join(_stations().name[rows])}.")
    if not rows:
        raise suggest(site, list(sites().name), "site")
    return rows[0]


_MANY = 30  # stations from which on working out all of them at once is quicker than one by one


def months_of(sites: Sequence[str | Site], columns: Sequence[str]) -> tuple[list[str], list[np.ndarray]]:
    """Return the names of many places and their months, as of each by `get`, but at once.

    Parameters
    ----------
    sites : sequence of str or Site
        As `get` takes them.
    columns : sequence of str
        Of `Site.monthly`.

    Returns
    -------
    (list of str, list of ndarray)
        An array (places, 12) a column.

    Examples
    --------
    >>> names, (temp_f,) = months_of(["Madison", "Mobile"], ["temp_f"])
    >>> names, float(temp_f[0, 6])
    (['Madison, WI', 'Mobile, AL'], 73.4)
    """
    found = [site if isinstance(site, Site) else _found(str(site)) for site in sites]
    if sum(not isinstance(each, Site) for each in found) < _MANY:
        found = [each if isinstance(each, Site) else _station(each) for each in found]
    called = _stations().name.to_numpy()
    names = [each.name if isinstance(each, Site) else called[each] for each in found]
    rows = {
        column: [
            each.monthly[column].to_numpy() if isinstance(each, Site) else everywhere(column)[each]
            for each in found
        ]
        for column in columns
    }
    return names, [np.array(each, dtype=float).reshape(len(found), 12) for each in rows.values()]


_OWN: dict[str, Site] = {}  # places of one's own, by key


def know(site: Site) -> Site:
    """Let `get` find a place of one's own by its name, until this Python ends; one of the same name makes way.

    Parameters
    ----------
    site : Site
        From `from_monthly` or `read_weather_file`.

    Returns
    -------
    Site

    Raises
    ------
    InputError
        It has no name, or a station's.

    Examples
    --------
    >>> know(from_monthly("behind my barn", [50] * 12, [70] * 12)) is get("Behind my barn")
    True
    """
    if not as_key(site.name):
        raise InputError("a place of your own needs a name.")
    if as_key(site.name) in _rows_by_key():
        raise InputError(f"{site.name!r} is the name of a weather station: give your place another one.")
    _OWN[as_key(site.name)] = site
    return site


def forget(name: str) -> None:
    """Let `get` no longer find a place of one's own; nothing happens if there is none of that name.

    Parameters
    ----------
    name : str

    Examples
    --------
    >>> _ = know(from_monthly("behind my kiln", [50] * 12, [70] * 12))
    >>> forget("Behind my kiln")
    >>> "behind my kiln" in _OWN
    False
    """
    _OWN.pop(as_key(name), None)


_SHORT = {"saint": "st", "sainte": "ste", "fort": "ft", "mount": "mt"}


def as_key(name: str) -> str:
    """Return a name without what people write in different ways: case, commas, points, hyphens, St. for Saint.

    Parameters
    ----------
    name : str

    Returns
    -------
    str

    Examples
    --------
    >>> as_key("St. Cloud, MN") == as_key("saint cloud mn")
    True
    """
    words = re.sub(r"[\s,./()-]+", " ", name.lower().replace("'", "").replace("\u2019", "")).split()
    return " ".join(_SHORT.get(word, word) for word in words)


@cache
def _rows_by_key():
    """What a station may be called -> its row; more than one row where the name is not enough."""
    found: dict[str, Any] = {}
    for row in _stations().itertuples():
        alone = [row.place] if row.listed == "yes" else []
        for name in (row.station_id, row.name, *alone):
            found.setdefault(as_key(name), []).append(row.Index)
    return found


@cache
def _station(at):
    """The site in row `at` of the stations."""
    row, m = _stations().loc[at], _long_term(np.array([at]))
    return Site(
        row["name"],
        _monthly(**{name: of(m)[0] for name, of in _COLUMNS.items()}),
        row.station_id,
        float(row.latitude),
        float(row.longitude),
        float(row.elevation_ft),
        float(row.utc_offset_h),
        row.region,
        "NREL TMY3 (NSRDB 1991-2005 update), smoothed over neighbors and the year",
    )


# The columns of `Site.monthly`, but for the EMC, from what `_long_term` gives
_COLUMNS = {
    "temp_f": lambda m: units.fahrenheit(m["t_mean_c"]),
    "temp_max_f": lambda m: units.fahrenheit(m["t_max_c"]),
    "temp_min_f": lambda m: units.fahrenheit(m["t_min_c"]),
    "dew_point_f": lambda m: air.dew_point_f(units.fahrenheit(m["t_mean_c"]), m["rh_mean_pct"]),
    "rh_pct": lambda m: m["rh_mean_pct"],
    "emc_hourly_mean_pct": lambda m: _emc(m) + m["emc_hours_over_pct"],
    "wind_mph": lambda m: m["wind_ms"] * _MPH,
    "sun_kwh_m2_day": lambda m: m["ghi_kwh_m2_day"],
    "emc_sd_pct": lambda m: m["emc_sd_pct"],
}


def _emc(m):
    return air.emc_pct(units.fahrenheit(m["t_mean_c"]), m["rh_mean_pct"])


@cache
def everywhere(column: str) -> np.ndarray:
    """A month's figure at all stations at once: a map of them in a tenth of a second, where one by one takes two.

    Parameters
    ----------
    column : str
        Of `Site.monthly`: ``"temp_f"``, ``"rh_pct"``, ``"emc_pct"`` ...

    Returns
    -------
    ndarray (1011, 12)
        A row a station, in the order of `stations`; January to December. Read-only: it is shared.

    Examples
    --------
    >>> madison = stations().name.tolist().index("Madison, WI")
    >>> float(everywhere("emc_pct")[madison, 4].round(1))
    12.8
    """
    found = (_emc if column == "emc_pct" else _COLUMNS[column])(_everywhere())
    found.flags.writeable = False
    return found


@cache
def _everywhere():
    return _long_term(np.arange(len(_stations())))


# How far a neighbor's humidity counts, how much a station's own mean of the year counts against its neighbors', and how
# many waves a year has: see `_long_term`
_NEAR_KM, _NEAR_M, _OWN_SHARE = 100.0, 200.0, 0.25
_WAVES = {"t_mean_c": 3, "t_max_c": 3, "t_min_c": 3, "rh_mean_pct": 2, "wind_ms": 2, "ghi_kwh_m2_day": 3}


@cache
def _single_months():
    """The stations' single months, by column: (stations, 12), in the order of the stations."""
    table = tables.read("climate_monthly")
    single = {
        name: table[name].to_numpy(dtype=float).reshape(-1, 12) for name in (*_WAVES, "emc_hourly_mean_pct")
    }
    emc = air.emc_pct(units.fahrenheit(single["t_mean_c"]), single["rh_mean_pct"])
    off = ((emc - smooth_year(emc, 2)) ** 2).sum(1, keepdims=True) / (
        12 - 5
    )  # a mean and two waves take five
    return single | {"hours_over": single["emc_hourly_mean_pct"] - emc, "off": off}


def _long_term(rows):
    """The long-term months of the stations in these rows, from single ones; a dict of arrays (stations, 12).

    Each month of a typical-year file is one real month, so by itself it is off by what that month was off. What a
    year does is smooth, and neighbors share it: humidity is averaged over the stations near by (Gaussian weights of
    distance and height) and held to a mean and two waves a year, temperature to three. A city, a coast or a hollow
    has a mean of its own, and twelve single months tell that better than they tell one month: so the mean over the
    year goes a quarter of the way from the neighbors' to the station's own. What single months are off from such a
    year, here and near by, is the year-to-year spread, `emc_sd_pct`.

    The widths, the share and the waves were chosen on 30 places of data/emc_outdoor.csv; the other 16 were left out.
    From 60 to 150 km the rms difference on the 30 moves by 0.03 points. With a share of none it is 0.69, of a quarter
    and of half 0.66, of all 0.73. Where a quarter and half are alike the smaller is taken: twelve single months are a
    short record to hold against a dozen stations', and at Madison a tenth of a point moves the day of 15 % by months.
    The 16 come to 0.84, 0.75, 0.71 and 0.77: they would have had half.
    """
    stations, single = _stations(), _single_months()
    lat, lon, height_m = (stations[name].to_numpy() for name in ("latitude", "longitude", "elevation_m"))
    miles = distance_miles(lat[rows, None], lon[rows, None], lat, lon)
    weight = np.exp(-0.5 * unlikeness(miles, height_m - height_m[rows, None]))
    weight[weight <= 1e-3] = 0.0  # the station itself counts 1
    weight /= weight.sum(1, keepdims=True)
    months = {name: smooth_year(single[name][rows], waves) for name, waves in _WAVES.items()}
    near_by = weight @ single["rh_mean_pct"]
    own = single["rh_mean_pct"][rows].mean(1, keepdims=True)
    near_by += _OWN_SHARE * (own - near_by.mean(1, keepdims=True))
    months["rh_mean_pct"] = np.clip(smooth_year(near_by, _WAVES["rh_mean_pct"]), 1, 100)
    for name in ("wind_ms", "ghi_kwh_m2_day"):
        months[name] = np.maximum(months[name], 0.0)
    months["emc_hours_over_pct"] = np.maximum(smooth_year(weight @ single["hours_over"], 2), 0.0)
    months["emc_sd_pct"] = np.repeat(np.sqrt(weight @ single["off"]), 12, axis=1)
    return months


def unlikeness(miles: Numbers, higher_m: Numbers) -> np.ndarray:
    """How little two places share their air: 100 km apart counts 1, 200 m of height as much, and both as squares.

    Parameters
    ----------
    miles, higher_m : float or array
        How far apart and how much higher.

    Returns
    -------
    ndarray

    Examples
    --------
    >>> float(unlikeness(62.137, 200))
    2.0
    """
    return (np.asarray(miles) * units.KM_PER_MILE / _NEAR_KM) ** 2 + (np.asarray(higher_m) / _NEAR_M) ** 2


def smooth_year(months: Numbers, waves: int) -> np.ndarray:
    """Twelve months held to a mean and the first `waves` waves of the year (least squares).

    Parameters
    ----------
    months : array (..., 12)
    waves : int

    Returns
    -------
    ndarray

    Examples
    --------
    >>> smooth_year([0, 0, 12, 0, 0, 0, 0, 0, 0, 0, 0, 0], 1).round(1).tolist()[:4]
    [2.0, 2.7, 3.0, 2.7]
    """
    parts = np.fft.rfft(months)
    parts[..., waves + 1 :] = 0
    return np.fft.irfft(parts, 12)


def nearest(lat: float, lon: float) -> Site:
    """The station of `sites` nearest to a place.

    Parameters
    ----------
    lat : float
        Latitude, degrees north.
    lon : float
        Longitude, degrees; west is negative.

    Returns
    -------
    Site
        With a `RangeWarning` if it is more than 150 miles away: see `from_monthly` and `read_weather_file`.

    Examples
    --------
    >>> nearest(43.3, -90.8).name
    'Madison, WI'
    """
    lat = within("lat", lat, -90, 90, "degrees", "Latitude comes first.")
    lon = within("lon", lon, -180, 180, "degrees", "West longitudes are negative.")
    table = sites()
    miles = distance_miles(lat, lon, table.latitude.to_numpy(), table.longitude.to_numpy())
    best = int(miles.argmin())
    hint = " West longitudes are negative." if lon > 0 else ""
    doubtful(
        "distance to the nearest station",
        miles[best],
        0,
        150,
        "miles",
        f"{table.name.iloc[best]} may not stand for it.{hint}",
    )
    return _station(int(table.index[best]))


def distance_miles(lat1: Numbers, lon1: Numbers, lat2: Numbers, lon2: Numbers) -> np.ndarray:
    """Great-circle distance (haversine; mean radius of the earth 3,958.8 miles).

    Parameters
    ----------
    lat1, lon1, lat2, lon2 : float or array
        Degrees.

    Returns
    -------
    ndarray

    Examples
    --------
    >>> float(distance_miles(43.07, -89.4, 41.98, -87.9))
    107.3
    """
    a, b, c, d = (np.radians(x) for x in (lat1, lon1, lat2, lon2))
    h = np.sin((c - a) / 2) ** 2 + np.cos(a) * np.cos(c) * np.sin((d - b) / 2) ** 2
    return 2 * 3958.8 * np.arcsin(np.sqrt(h))


# the columns of `Site.monthly` that `from_monthly` takes; the others follow from them
_GIVEN = ("temp_f", "rh_pct", "temp_max_f", "temp_min_f", "wind_mph", "sun_kwh_m2_day", "emc_hourly_mean_pct")


def from_monthly(
    name: str,
    temp_f: Sequence[float],
    rh_pct: Sequence[float],
    temp_max_f: Sequence[float] | None = None,
    temp_min_f: Sequence[float] | None = None,
    wind_mph: Sequence[float] | None = None,
    sun_kwh_m2_day: Sequence[float] | None = None,
    emc_hourly_mean_pct: Sequence[float] | None = None,
    latitude: float = float("nan"),
    longitude: float = float("nan"),
    elevation_ft: float = 0.0,
    source: str = "own figures",
) -> Site:
    """A site from twelve months of your own figures.

    Parameters
    ----------
    name : str
        What to call it.
    temp_f, rh_pct : sequence of 12
        Mean temperature, F, and mean relative humidity, %, January to December.
    temp_max_f, temp_min_f, wind_mph, sun_kwh_m2_day, emc_hourly_mean_pct : sequence of 12, optional
        As in `Site.monthly`; the forecast outdoors does without them, a typical day hour by hour needs them.
    latitude, longitude, elevation_ft : float, optional
        Position.
    source : str
        Where the figures come from.

    Returns
    -------
    Site

    Raises
    ------
    InputError
        Not twelve values, or a value out of range.

    Examples
    --------
    >>> home = from_monthly("home", [20, 24, 35, 47, 58, 67, 71, 69, 61, 50, 37, 25], [75] * 12)
    >>> home.monthly.emc_pct.round(1).tolist()[:3]
    [14.9, 14.9, 14.8]
    """
    given = dict(
        temp_f=(temp_f, -80, 130),
        rh_pct=(rh_pct, 1, 100),
        temp_max_f=(temp_max_f, -80, 140),
        temp_min_f=(temp_min_f, -80, 130),
        wind_mph=(wind_mph, 0, 100),
        sun_kwh_m2_day=(sun_kwh_m2_day, 0, 15),
        emc_hourly_mean_pct=(emc_hourly_mean_pct, 0, 40),
    )
    columns = {}
    for key, (values, low, high) in given.items():
        if values is None:
            columns[key] = np.full(12, np.nan)
            continue
        hint = "Is it a fraction?" if key == "rh_pct" and _under_one(values) else ""
        columns[key] = np.asarray(within(key, values, low, high, hint=hint))
        if columns[key].shape != (12,):
            raise InputError(f"{key}: expected 12 values, January to December, found {columns[key].size}.")
    if np.max(columns["rh_pct"]) <= 1.5:
        raise InputError(
            "rh_pct: every value is 1.5 or less. Is it a fraction? Relative humidity is in percent here."
        )
    if np.any(columns["temp_max_f"] < columns["temp_f"]) or np.any(columns["temp_min_f"] > columns["temp_f"]):
        raise InputError("temp_max_f must lie above temp_f, and temp_min_f below. Are the two swapped?")
    lat = within("latitude", latitude, -90, 90, "degrees") if not blank(latitude) else float("nan")
    lon = within("longitude", longitude, -180, 180, "degrees") if not blank(longitude) else float("nan")
    dew = air.dew_point_f(columns["temp_f"], columns["rh_pct"])
    return Site(
        name,
        _monthly(dew_point_f=dew, **columns),
        latitude=lat,
        longitude=lon,
        elevation_ft=within("elevation_ft", elevation_ft, -500, 15000, "ft"),
        utc_offset_h=float(np.round(lon / 15)) if not math.isnan(lon) else float("nan"),
        source=source,
    )


def _under_one(values):
    try:
        return np.min(np.asarray(values, dtype=float), initial=100) < 1
    except (TypeError, ValueError):  # not numbers: that is told first
        return False


def figures_of(site: Site) -> dict[str, Any]:
    """Return what `from_monthly` needs to make this place again, as plain numbers and words.

    Parameters
    ----------
    site : Site
        Its hours, if it has any, are left out.

    Returns
    -------
    dict

    Examples
    --------
    >>> home = from_monthly("home", [50] * 12, [70] * 12, latitude=43, longitude=-90)
    >>> again = from_monthly(**figures_of(home))
    >>> again.name, again.latitude, again.monthly.equals(home.monthly)
    ('home', 43.0, True)
    """
    months = {name: [round(float(v), 4) for v in site.monthly[name]] for name in _GIVEN}
    given = {name: values for name, values in months.items() if not np.isnan(values).any()}
    where = {name: getattr(site, name) for name in ("latitude", "longitude", "elevation_ft")}
    known = {name: float(value) for name, value in where.items() if not blank(value)}
    return {"name": site.name, **given, **known, "source": site.source}


def read_weather_file(path: str | Path) -> Site:
    """A site from an hourly TMY3 (.csv) or EnergyPlus (.epw) weather file of your place.

    Parameters
    ----------
    path : str or Path
        The file; it is only read.

    Returns
    -------
    Site
        Its months are means of the file's hours, and `.hourly` keeps the hours.

    Raises
    ------
    InputError
        No such file, not such a file, or not a full year.

    Examples
    --------
    >>> import pvlib
    >>> from pathlib import Path
    >>> greensboro = read_weather_file(Path(pvlib.__file__).parent / "data" / "723170TYA.CSV")
    >>> float(greensboro.monthly.temp_f[7])
    77.8
    """
    import pandas as pd
    import pvlib

    path = Path(path)
    if not path.is_file():
        raise InputError(f"there is no weather file {path.name!r} in {path.parent.name or 'this folder'!r}.")
    epw = path.suffix.lower() == ".epw"
    try:
        if epw:
            data, meta = pvlib.iotools.read_epw(path)
            place, state = meta["city"], meta["state-prov"]
        else:
            data, meta = pvlib.iotools.read_tmy3(path, map_variables=True)
            place, state = str(meta["Name"]).strip('"').title(), meta["State"]
        raw = data[["temp_air", "relative_humidity", "temp_dew", "wind_speed", "ghi", "dni", "dhi"]].astype(
            float
        )
    except OSError:
        raise
    except Exception as problem:  # the parsers raise whatever the first odd line leads to
        raise InputError(_unread(path, epw, problem)) from None
    # the last hour of a month is stamped 00:00 of the next day in TMY3
    month = np.asarray(data.index.month if epw else (data.index - pd.Timedelta(minutes=30)).month)
    if gaps := _gaps(month[raw.notna().all(axis=1).to_numpy()]):
        raise InputError(
            f"{path.name}: expected 8,760 hours without gaps, found {len(raw.dropna()):,}. {gaps}"
        )
    days = np.asarray(data.index.day if epw else (data.index - pd.Timedelta(minutes=30)).day)
    raw, month = _hours_of(raw, month, (month == 2) & (days == 29), path.name)
    if slip := _slip_in_hours(raw, month, 9 if epw else 3):
        raise InputError(f"{path.name}: {slip}")
    hourly = pd.DataFrame(
        {
            "month": month,
            "hour": np.arange(8760) % 24,
            "temp_f": units.fahrenheit(raw.temp_air.to_numpy()),
            "rh_pct": raw.relative_humidity.clip(1, 100).to_numpy(),
            "dew_point_f": units.fahrenheit(raw.temp_dew.to_numpy()),
            "wind_mph": raw.wind_speed.to_numpy() * _MPH,
            "ghi_w_m2": raw.ghi.to_numpy(),
            "dni_w_m2": raw.dni.to_numpy(),
            "dhi_w_m2": raw.dhi.to_numpy(),
        }
    )
    hourly["emc_pct"] = air.emc_pct(hourly.temp_f, hourly.rh_pct)
    means = hourly.groupby("month").mean()
    day = hourly.groupby([hourly.month, np.arange(8760) // 24]).temp_f
    monthly = _monthly(
        temp_f=means.temp_f,
        temp_max_f=day.max().groupby("month").mean(),
        temp_min_f=day.min().groupby("month").mean(),
        dew_point_f=means.dew_point_f,
        rh_pct=means.rh_pct,
        wind_mph=means.wind_mph,
        sun_kwh_m2_day=means.ghi_w_m2 * 0.024,
        emc_hourly_mean_pct=means.emc_pct,
    )
    offset = float(meta["TZ"])
    elevation_m = float(meta["altitude"])
    if slip := _slip_in_position(float(meta["latitude"]), float(meta["longitude"]), offset):
        raise InputError(f"{path.name}: {slip}")
    return Site(
        f"{place}, {state}",
        monthly,
        str(meta.get("USAF", meta.get("WMO_code", ""))),
        float(meta["latitude"]),
        float(meta["longitude"]),
        round(elevation_m / units.M_PER_FT),
        offset,
        source=f"weather file {path.name}",
        hourly=hourly,
    )


def _hours_of(raw, month, leap_day, name):
    """The 8,760 hours of a year: parts of an hour are averaged, and a leap day is left out."""
    if len(raw) % 8784 == 0:  # a typical year may hold a February of a leap year, without its last day
        raw, month = raw[~leap_day], month[~leap_day]
    parts, left = divmod(len(raw), 8760)
    if left:
        expected = "expected 8,760 hours, or as many halves or quarters of them"
        raise InputError(f"{name}: {expected}; found {len(raw):,} lines.")
    if parts > 1 and (np.diff(month) < 0).any():  # the months begin anew: no halves of hours
        raise InputError(
            f"{name}: found {parts} years, {len(raw):,} lines; expected one of 8,760 hours. Was the file pasted twice?"
        )
    if parts > 1:
        raw = raw.groupby(np.arange(len(raw)) // parts).mean()
    return raw, month[::parts]


def _unread(path, epw, problem):
    """Why a file is no weather file, in a sentence."""
    if not path.stat().st_size:
        why = "it is empty"
    elif isinstance(problem, UnicodeDecodeError):
        why = "it holds something else than plain text"
    else:
        why = "its lines are not those of such a file"
    kind = "an EnergyPlus (.epw)" if epw else "a TMY3 (.csv)"
    return (
        f"{path.name} could not be read as {kind} weather file: {why}. Expected the file as it was downloaded, not one "
        "saved from a spreadsheet."
    )


_CLOCK_OFF_H = 3.5  # no country's standard time is further off its sun


def _slip_in_position(latitude, longitude, utc_offset_h):
    """The likely slip in where a file's header says that its station is, in a sentence; "" if it can be there."""
    found = f"its first lines put the station at latitude {latitude:g} and longitude {longitude:g}"
    if abs(latitude) > 90 or (abs(latitude) > 60 and 15 < abs(longitude) < 73 and latitude < 0):
        return (
            f"{found}. Are the two exchanged? Latitude comes first and tells how far north; expected the file as "
            "it was downloaded."
        )
    off = (longitude / 15 - utc_offset_h + 12) % 24 - 12
    if abs(off) > _CLOCK_OFF_H:
        slip = (
            "Is the minus of a longitude in the West lost?"
            if longitude > 0 > utc_offset_h
            else "Which one is it?"
        )
        return f"{found}, and its clock {utc_offset_h:+g} hours from Greenwich: both can't be. {slip}"
    return ""


_WARMEST_C = 45.0  # no station's month has a mean near it, while every station's July is warmer in Fahrenheit


def _slip_in_hours(raw, month, first_line):
    """The likely slip in a file's temperatures and humidities, in a sentence; "" if they can be."""
    middle = [float(raw.temp_air[month == k].median()) for k in range(1, 13)]
    if raw.temp_air.between(-80, 140).all() and max(middle) > _WARMEST_C:
        k = int(np.argmax(middle))
        return (
            f"half of {MONTH_NAMES[k]} is warmer than {middle[k]:.0f}, and such a file is in degrees Celsius. Are "
            "these Fahrenheit? Expected the file as it was downloaded."
        )
    most = float(raw.relative_humidity.max())
    if most <= 1.5:
        return f"the dampest hour is {most:g} %. Are these fractions? {most:g} is {100 * most:.0f} %."
    for column, name, unit, low, high in (
        ("temp_air", "a temperature", "C", -60, 60),
        ("relative_humidity", "a humidity", "%", 0, 110),
    ):
        odd = np.flatnonzero(~raw[column].between(low, high))
        if len(odd):
            value = raw[column].iloc[odd[0]]
            more = f" ({len(odd):,} hours have such a figure)" if len(odd) > 1 else ""
            return (
                f"line {odd[0] + first_line:,} has {name} of {value:g} {unit}, which cannot be: expected {low} to "
                f"{high} {unit}{more}. Does it stand for a missing value?"
            )
    return ""


def _gaps(month):
    """Which months have fewer hours than they should, in a sentence; "" if none has."""
    hours = np.bincount(month, minlength=13)[1:]
    short = np.flatnonzero(hours < 24 * MONTH_DAYS)
    told = [f"{MONTH_NAMES[k]} has {hours[k]:,} of {24 * MONTH_DAYS[k]} hours" for k in short]
    more = f", and {len(told) - 3} more months have too few" if len(told) > 3 else ""
    return f"{'; '.join(told[:3])}{more}." if told else ""


def _monthly(**columns):
    import pandas as pd

    table = pd.DataFrame({key: np.asarray(v, dtype=float) for key, v in columns.items()}, index=range(1, 13))
    table.index.name = "month"
    table["emc_pct"] = air.emc_pct(table.temp_f.to_numpy(), table.rh_pct.to_numpy())
    order = ["temp_f", "temp_max_f", "temp_min_f", "dew_point_f", "rh_pct", "emc_pct", "emc_hourly_mean_pct"]
    return table.reindex(columns=[*order, "wind_mph", "sun_kwh_m2_day", "emc_sd_pct"])


@cache
def day_weights() -> np.ndarray:
    """Return the 365 x 12 matrix that turns twelve monthly means into days.

    A periodic cubic spline through mid-month values, which are chosen so that the spline's monthly means are
    the ones given.

    Examples
    --------
    >>> day_weights().shape
    (365, 12)
    """
    from scipy.interpolate import CubicSpline

    ends = np.concatenate([[0], np.cumsum(MONTH_DAYS)])
    middle = (ends[:-1] + ends[1:]) / 2
    spline = CubicSpline(
        np.append(middle, middle[0] + 365), np.vstack([np.eye(12), np.eye(12)[:1]]), bc_type="periodic"
    )
    days = spline(np.arange(365) + 0.5)
    average = np.array([days[a:b].mean(0) for a, b in zip(ends[:-1], ends[1:], strict=True)])
    return days @ np.linalg.inv(average)


@cache
def _daily(site):
    import pandas as pd

    days = pd.DataFrame(
        day_weights() @ site.monthly.to_numpy(), columns=site.monthly.columns, index=range(1, 366)
    )
    days.index.name = "day"
    days["rh_pct"] = days.rh_pct.clip(1, 100)
    for name in ("wind_mph", "sun_kwh_m2_day"):
        days[name] = days[name].clip(lower=0)
    days["emc_pct"] = air.emc_pct(days.temp_f.to_numpy(), days.rh_pct.to_numpy())
    days.insert(0, "month", np.repeat(np.arange(1, 13), MONTH_DAYS))
    return days


@cache
def _hourly_day(site, month):
    import pandas as pd
    from pvlib import clearsky

    m = site.monthly.loc[month]
    if m[["temp_max_f", "temp_min_f", "sun_kwh_m2_day"]].isna().any() or np.isnan(
        site.latitude + site.longitude
    ):
        raise InputError(
            f"The months of {site.name} tell no sunshine: type your ZIP code with them in lesson 0, and the book takes "
            "the sun of a station near by."
        )
    hour = np.arange(24)
    zenith, noon, half_day = _sun(site, month)
    # Parton & Logan (1981), Agric. Meteorol. 23:205-216, constants from memory: a sine from sunrise on that
    # peaks 1.86 h after noon, then from sunset to sunrise a fall that slows down (2.2)
    since = (hour + 0.5 - (noon - half_day)) % 24  # hours after sunrise
    length = 2 * half_day
    sine = np.sin(np.pi * np.minimum(since, length) / (length + 2 * 1.86))
    shape = sine * np.where(since > length, np.exp(-2.2 * (since - length) / (24 - length)), 1.0)
    shape = (shape - shape.min()) / (shape.max() - shape.min())
    share = (m.temp_f - m.temp_min_f) / (m.temp_max_f - m.temp_min_f)
    temp = m.temp_min_f + (m.temp_max_f - m.temp_min_f) * shape ** _solve(lambda p: np.mean(shape**p), share)
    # the water in the air is the same all day; how much of it, the month's mean humidity tells
    saturation = air.saturation_pressure_psi(temp)
    most = saturation.max()
    vapour = most * _solve(
        lambda p: np.mean(np.minimum(100, 100 * most * p / saturation)), m.rh_pct, rising=True, high=1.0
    )
    rh = np.clip(100 * vapour / saturation, 1, 100)
    clear = clearsky.haurwitz(zenith).ghi.to_numpy()  # Haurwitz (1945), W/m2
    ghi = clear * (m.sun_kwh_m2_day * 1000 / max(clear.sum(), 1.0))  # none in the polar night
    return pd.DataFrame(
        {"temp_f": temp, "rh_pct": rh, "emc_pct": air.emc_pct(temp, rh), "ghi_w_m2": ghi},
        index=pd.Index(hour, name="hour"),
    )


def _solve(mean, target, rising=False, high=8.0):
    """The number at which `mean` is `target`, by halving."""
    a, b = 1e-4, high
    for _ in range(50):
        p = (a + b) / 2
        a, b = (p, b) if (mean(p) < target) == rising else (a, p)
    return (a + b) / 2


def _sun(site, month):
    """The sun's way from overhead (degrees) at each half past; solar noon; half the day's length, h."""
    import pandas as pd
    from pvlib import solarposition

    offset = site.utc_offset_h
    day = pd.Timestamp(year=2001, month=month, day=15)
    times = (
        pd.date_range(day, periods=24, freq="h", tz="UTC")
        + pd.Timedelta(minutes=30)
        - pd.Timedelta(hours=offset)
    )
    place = (times, site.latitude, site.longitude)
    zenith = solarposition.get_solarposition(*place, altitude=site.elevation_ft * units.M_PER_FT).zenith
    number = day.day_of_year
    noon = 12 - (solarposition.equation_of_time_spencer71(number) + 4 * (site.longitude - 15 * offset)) / 60
    cosine = -np.tan(np.radians(site.latitude)) * np.tan(solarposition.declination_spencer71(number))
    half = np.degrees(np.arccos(np.clip(cosine, -1, 1))) / 15
    return zenith, float(noon), float(np.clip(half, 1, 11))  # in polar night and day two hours of the other
