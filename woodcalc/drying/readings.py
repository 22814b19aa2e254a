"""What was measured on a stack, checked and weighed, for the forecast to learn from."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np

from woodcalc.checks import FloatOrArray, InputError, Numbers, plain, within
from woodcalc.dates import calendar_day
from woodcalc.moisture import meter_range_pct
from woodcalc.weighings import mc_readings

if TYPE_CHECKING:
    import pandas as pd

    from woodcalc.drying.forecast import Forecast


# A board against its stack: the logarithm of its pace, and its start as a share. Twelve sample boards of redwood tell a
# load's moisture to 10.8 %, six to 15.9 % ("Estimating the Moisture Content of Lumber During the Drying Process",
# Forest Products Journal, abstract): single boards are off by 16 to 19 %, half way down about 0.2 of pace. Other woods
# are evener than redwood with its sinker logs: an assumption, and so is how often boards differ more.
SD_BOARD_PACE, SD_BOARD_START = 0.15, 0.08
MORE, HOW_OFTEN = (
    (1 / 3, 2 / 3, 1.0, 2.0, 3.0),
    (0.10, 0.20, 0.50, 0.15, 0.05),
)  # times as much, in so many stacks
# What all readings of a meter on one stack share: the same meter, the same correction for the wood and its warmth.
# About a point (common practice); no number of readings takes it away.
SD_METER_SHARED_PCT = 1.0
_OFFSETS, _OFFSET_WEIGHTS = np.polynomial.hermite_e.hermegauss(5)
_NO_SCALE_PCT = 60.0  # error of a meter where it has no scale
_TINY = 1e-300
_METERED = "metered, row "  # a reading of a meter that names no board
_NAMED = 3  # readings over the scale that a sentence names


def checked_readings(
    readings: pd.DataFrame | Sequence[Mapping[str, Any]], forecast: Forecast
) -> pd.DataFrame:
    """The readings as checked columns day, date, mc_pct, kind, sd_pct, board."""
    import pandas as pd

    if not isinstance(readings, pd.DataFrame):
        readings = _table_of(readings)
    elif readings.index.name == "date" and "date" not in readings:
        readings = readings.reset_index()
    if not readings.columns.is_unique:
        raise InputError("readings: two columns of one name.")
    if "mc_pct" not in readings and {"date", "kind", "value"} <= set(readings):
        readings = _told(readings, forecast.species)
    for name in ("date", "mc_pct"):
        if name not in readings:
            raise InputError(
                f"readings have no column {name!r}; found {', '.join(map(str, readings.columns))}."
            )
    date = _days(readings["date"])
    mc = np.asarray(within("mc_pct", readings["mc_pct"].to_numpy(), 0, 300, "%"), dtype=float)
    kind = (
        readings["kind"].fillna("weight").to_numpy() if "kind" in readings else np.full(len(date), "weight")
    )
    strange = [k for k in kind if k not in ("weight", "meter")]
    if strange:
        raise InputError(f"readings: kind {strange[0]!r}: expected 'meter' or 'weight'.")
    day = (date - pd.Timestamp(forecast.start)).dt.days
    if len(day) and day.min() < 0:
        early = date.min()
        raise InputError(f"readings: {early:%Y-%m-%d} lies before the stack was built ({forecast.start}).")
    sd: Any = reading_sd_pct(mc, kind)
    if "sd_pct" in readings:
        try:
            own = readings["sd_pct"].to_numpy(dtype=float)
        except (TypeError, ValueError):
            raise InputError(
                "readings: sd_pct: expected a number, the error in points, or nothing."
            ) from None
        sd = np.where(
            np.isnan(own), sd, within("sd_pct", np.where(np.isnan(own), 1.0, own), 0.05, 100, "points")
        )
    board: Any = ""
    if "board" in readings:
        board = readings["board"].fillna("").astype(str).str.casefold().to_numpy()
    table = pd.DataFrame({"date": date, "mc_pct": mc, "kind": kind, "day": day, "sd_pct": sd, "board": board})
    if (day > forecast.horizon_days).any():
        table = table[table["day"] <= forecast.horizon_days].reset_index(drop=True)
    return _boards_told_apart(table)


def over_scale(readings: pd.DataFrame) -> pd.Series:
    """Return which readings are by a meter over its scale: wet, and no more, is all that they say.

    Parameters
    ----------
    readings : DataFrame
        With `kind` and `mc_pct`.

    Returns
    -------
    Series of bool
    """
    return (readings["kind"] == "meter") & (readings["mc_pct"] > meter_range_pct()[1])


def not_trusted(readings: pd.DataFrame) -> str:
    """Return a sentence that names the readings of `over_scale`, each by its board and day; "" if there are none.

    Parameters
    ----------
    readings : DataFrame
        With `date`, `kind` and `mc_pct`, and maybe `board`.

    Examples
    --------
    >>> import pandas as pd
    >>> seen = pd.DataFrame({"date": pd.to_datetime(["2026-08-25"]), "board": "A1", "kind": "meter", "mc_pct": 43.0})
    >>> not_trusted(seen)
    "Kept, not trusted: board A1 on 25 August 2026, 43 % by meter. That is wet, over the meter's scale."
    """
    rows = [
        f"{f'board {row.board} ' * bool(getattr(row, 'board', ''))}on {calendar_day(row.date)}, "
        f"{row.mc_pct:.0f} % by meter"
        for row in (readings[over_scale(readings)].itertuples() if len(readings) else ())
    ]
    if not rows:
        return ""
    more = f"; and {len(rows) - _NAMED:,} more" * (len(rows) > _NAMED)
    are = "That is" if len(rows) == 1 else "Those are"
    return f"Kept, not trusted: {'; '.join(rows[:_NAMED])}{more}. {are} wet, over the meter's scale."


def in_scale(table: pd.DataFrame) -> pd.DataFrame:
    """Checked readings without those of a meter over its scale, where boards were weighed: those tell it better.

    Without a weighing all stay: wet, and no more, is then all that is known.

    Parameters
    ----------
    table : DataFrame
        As from `checked_readings`.

    Returns
    -------
    DataFrame
    """
    over = over_scale(table)
    if not over.any() or not (table.kind == "weight").any():
        return table
    return table[~over].reset_index(drop=True)


def _boards_told_apart(table: pd.DataFrame) -> pd.DataFrame:
    """Weighings without a board: the n-th of a day is the n-th board. A meter goes to any board of the stack."""
    board, kind, day = (table[name].tolist() for name in ("board", "kind", "day"))
    if all(board):
        return table
    weighed: Counter[int] = Counter()
    for row in range(len(board)):
        if board[row]:
            continue
        if kind[row] == "meter":
            board[row] = f"{_METERED}{row}"
        else:
            board[row] = f"weighed, no. {weighed[day[row]]}"
            weighed[day[row]] += 1
    return table.assign(board=board)


def _days(dates: pd.Series) -> pd.Series:
    """The day of each reading, without the hour; a date that is none is named by its row."""
    import pandas as pd

    known = isinstance(dates.dtype, np.dtype) and dates.dtype.kind == "M"  # days already: most readings are
    if known and not (days := pd.Series(dates.to_numpy())).isna().any():
        return days.dt.normalize()
    days = pd.to_datetime(pd.Series(dates.to_numpy()), errors="coerce", format="mixed", utc=True)
    if days.isna().any():
        row = int(days.isna().to_numpy().argmax())
        raise InputError(f"readings, row {row + 1}: date {dates.iloc[row]!r}: expected year-month-day.")
    return days.dt.tz_localize(None).dt.normalize()


def _told(readings: Any, wood: Any) -> Any:
    """What the rows of one stack in a readings table (`records`) tell of its moisture."""
    blank = {"stack": "", "board": "", "unit": "%", "temp_f": np.nan}
    table = readings.assign(**{k: v for k, v in blank.items() if k not in readings})
    table["date"] = _days(table["date"]).to_numpy()
    stacks = list(table["stack"].unique())
    if len(stacks) > 1:
        raise InputError(
            f"readings of {len(stacks)} stacks ({', '.join(map(str, stacks))}): give those of one."
        )
    told = mc_readings(table, stacks[0], wood.name) if stacks else table.assign(mc_pct=np.nan)
    if len(table) and told.empty:
        raise InputError(f"readings: none can be used. {' '.join(told.attrs['notes'])}")
    return told


def _table_of(readings: Any) -> pd.DataFrame:
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


def reading_sd_pct(mc_pct: Numbers, kind: str | Sequence[str] | np.ndarray = "weight") -> FloatOrArray:
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

    References
    ----------
    Common practice; a pin meter's range ends near fibre saturation (about 30 %) and near 6 to 7 %.

    Examples
    --------
    >>> reading_sd_pct([15, 28, 45], "meter").tolist()
    [1.5, 3.0, 60.0]
    """
    mc, kind = np.asarray(mc_pct, dtype=float), np.asarray(kind)
    meter = np.select([mc < 7, mc <= 25, mc <= 30], [4.0, 1.5, 3.0], _NO_SCALE_PCT)
    return plain(np.where(kind == "meter", meter, np.hypot(1.0, 0.03 * mc)))


def boards_log_likelihood(
    table: pd.DataFrame, expected: np.ndarray, shape: tuple[int, ...], steps: tuple[float, ...]
) -> np.ndarray:
    """How well each point of a net of stacks explains the readings (natural logarithm), up to a constant.

    A board has a pace and a start of its own around its stack's. So what a board's readings say of its own pace and
    start says it of the stack's less sharply: blurred by how boards differ. How much they do in this stack is not known
    either, so several widths are tried and weighed by how well they explain all boards together. So is what all
    readings of the meter are off together.

    Parameters
    ----------
    table : DataFrame
        From `checked_readings`.
    expected : array (readings, points)
        Moisture of a board at each point, at each reading.
    shape : tuple
        Of the net: paces, airflows, starts.
    steps : tuple
        Of the net, between paces (natural logarithm) and between starts (share).

    Returns
    -------
    ndarray of `shape`
    """
    meter = (table.kind == "meter").to_numpy()
    blurs = [
        (_blur(shape[0], more * SD_BOARD_PACE / steps[0]), _blur(shape[2], more * SD_BOARD_START / steps[1]))
        for more in MORE
    ]
    off, sd = table.mc_pct.to_numpy()[:, None] - expected, table.sd_pct.to_numpy()[:, None]
    tells = meter & (table.sd_pct < _NO_SCALE_PCT).to_numpy()
    shared = SD_METER_SHARED_PCT * _OFFSETS if tells.any() else np.zeros(1)
    chances = _OFFSET_WEIGHTS / _OFFSET_WEIGHTS.sum() if tells.any() else np.ones(1)
    total = np.log(np.outer(chances, HOW_OFTEN))[..., None, None, None] + np.zeros(shape)
    for rows in table.groupby("board").indices.values():
        if tells[rows].any():
            each = off[rows] - shared[:, None, None] * meter[rows, None]
        else:
            each = off[rows][None]
        own = log_likelihood(each, sd[rows]).sum(1)
        top = own.max(1)[:, None, None, None]
        like = np.exp(own - own.max(1, keepdims=True)).reshape(len(own), shape[0], -1)
        for k, (paces, starts) in enumerate(blurs):
            blurred = (paces @ like).reshape(-1, *shape) @ starts.T
            total[:, k] += np.log(blurred + _TINY) + top
    top = total.max()
    return top + np.log(np.exp(total - top).sum((0, 1)) + _TINY)


def rise(table: pd.DataFrame, expected: np.ndarray, slow_pct: np.ndarray) -> float:
    """How far the newer half of a board's readings lies above the older, in standard errors; the most of all boards.

    Each reading is held against the curve that fits its board best, so that a slow board is no rise. Readings that name
    no board are taken together, and may be of different boards.

    Parameters
    ----------
    table : DataFrame
        From `checked_readings`.
    expected : array (readings, points)
        As for `boards_log_likelihood`.
    slow_pct : array
        How much wetter a slow board is than its stack, at each reading (points of MC, one standard deviation).

    Returns
    -------
    float
        -inf if no board has three readings.
    """
    off, found = table.mc_pct.to_numpy()[:, None] - expected, -np.inf
    nameless = table.board.str.startswith(_METERED).to_numpy()
    sd = np.where(nameless, np.hypot(table.sd_pct, slow_pct), table.sd_pct)[:, None]
    for rows in table.groupby(table.board.mask(nameless, _METERED)).indices.values():
        rows = rows[np.argsort(table.day.to_numpy()[rows], kind="stable")]
        half = len(rows) // 2
        if len(rows) < 3:
            continue
        best = log_likelihood(off[rows], sd[rows]).sum(0).argmax()
        z = np.clip(off[rows, best] / sd[rows, 0], -4, 4)  # one stray is no rise
        error = np.sqrt(1 / half + 1 / (len(rows) - half))
        found = max(found, float((z[half:].mean() - z[:half].mean()) / error))
    return found


_STOOD_STILL, _SHOULD_LOSE_PCT, _FAR_OVER = (
    0.25,
    10.0,
    3.0,
)  # judgment: so small a share of so many points, in errors


def stands_still(table: pd.DataFrame, daily: pd.DataFrame) -> bool:
    """True if a board has stayed where it was while even a slow one would have dried.

    Parameters
    ----------
    table : DataFrame
        From `checked_readings`.
    daily : DataFrame
        `Forecast.daily` of what the readings taught.

    Returns
    -------
    bool
        The last three readings of one board lose less than a quarter of the points, ten or more, that a board slower
        by two standard deviations loses, and the newest lies more than three errors over that board's band.
    """
    for _, rows in table[~table.board.str.startswith(_METERED)].groupby("board"):
        last = rows.sort_values("day", kind="stable").tail(3)
        if len(last) < 3:
            continue
        likely, high = (
            np.interp(last.day * (1 - 2 * SD_BOARD_PACE), daily.day, daily[c]) for c in ("likely", "high")
        )
        expected, seen = likely[0] - likely[-1], last.mc_pct.iloc[0] - last.mc_pct.iloc[-1]
        over = (last.mc_pct.iloc[-1] - high[-1]) / last.sd_pct.iloc[-1]
        if expected >= _SHOULD_LOSE_PCT and seen < _STOOD_STILL * expected and over > _FAR_OVER:
            return True
    return False


_FAR, _FAR_FOR_STACK = 2.5, 3.0  # in errors: none of 400 honest stacks was over the first; by judgment
_WEATHER_PCT = (
    1.5  # what a year's weather moves a board that is nearly dry (`curves.weather_sd_pct`, outdoors)
)
_DRY_PCT, _CLEARLY, _FITS = (
    20.0,
    2.0,
    1.5,
)  # dry outdoors; errors over it that are clear; that tell how wet it is
_ENDS_OF_SCALE = ((25.0, 1.5), (30.0, 3.0))  # of a meter: the greatest that it tells with this error (points)


def errors_over(table: pd.DataFrame, below: np.ndarray, besides_pct: Numbers = 0.0) -> np.ndarray:
    """How many of its errors each reading lies over a moisture content.

    A meter past the end of its scale says no more than that it is past the end, so a wetter reading never says less
    than a drier one.

    Parameters
    ----------
    table : DataFrame
        From `checked_readings`.
    below : array
        Moisture content for each reading, %.
    besides_pct : float or array
        Another error, besides the reading's own, points of MC.

    Returns
    -------
    ndarray

    Examples
    --------
    >>> import pandas as pd
    >>> seen = pd.DataFrame({"mc_pct": [25.0, 26.0, 45.0], "kind": "meter", "sd_pct": [1.5, 3.0, 60.0]})
    >>> errors_over(seen, 20.0).round(1).tolist()
    [3.3, 3.3, 3.3]
    """
    mc, sd = table.mc_pct.to_numpy(dtype=float), table.sd_pct.to_numpy(dtype=float)
    over = (mc - below) / np.hypot(sd, besides_pct)
    scaled = ((table.kind == "meter") & np.isclose(sd, reading_sd_pct(mc, table.kind.to_numpy()))).to_numpy()
    told = [
        np.where(mc > end, (end - below) / np.hypot(error, besides_pct), -np.inf)
        for end, error in _ENDS_OF_SCALE
    ]
    return np.where(scaled, np.max([over, *told], axis=0), over)


def far_over(table: pd.DataFrame, expected: np.ndarray, prior: np.ndarray, likelihood: np.ndarray) -> bool:
    """True if the newest readings are far wetter than the readings before them foretell.

    What the newest say themselves is kept out of what is foretold. So if a reading is too wet, every wetter one is.

    Parameters
    ----------
    table : DataFrame
        From `checked_readings`.
    expected : array (readings, points)
        As for `boards_log_likelihood`.
    prior : array (points,)
        Weights of the points before any reading.
    likelihood : array (points,)
        `boards_log_likelihood` of all readings but the newest day's.

    Returns
    -------
    bool
        A board read on the newest day, and twice at least before, lies more than 2-1/2 errors over the curve that fits
        those readings best. A board that is slow from the first has a curve that fits it. Or the middle one of the
        newest day lies more than two errors over 20 %, and more than three over what the stack's other readings
        foretell of any of its boards.
    """
    newest = (table.day == table.day.max()).to_numpy()
    off = table.mc_pct.to_numpy()[:, None] - expected
    sd = table.sd_pct.to_numpy()
    for rows in table.groupby("board").indices.values():
        last, older = rows[newest[rows]], rows[~newest[rows]]
        if len(older) < 2 or not len(last):
            continue
        best = log_likelihood(off[older], sd[older, None]).sum(0).argmax()
        if (errors_over(table.iloc[last], expected[last, best], _WEATHER_PCT) > _FAR).any():
            return True
    weight = np.log(prior) + likelihood
    weight = np.exp(weight - weight.max())
    weight /= weight.sum()
    now = table[newest]
    likely = expected[newest] @ weight
    spread = np.sqrt((expected[newest] - likely[:, None]) ** 2 @ weight)
    clearly = np.median(errors_over(now, np.full(len(now), _DRY_PCT))) > _CLEARLY
    return bool(
        clearly and np.median(errors_over(now, likely, np.hypot(spread, _WEATHER_PCT))) > _FAR_FOR_STACK
    )


def chance_dry_by(table: pd.DataFrame | None, mc_pct: float) -> list[tuple[float, float]]:
    """Days on which the stack was read as wetter than a moisture content, and the chance that it was not.

    A day's readings count as their mean, each weighed by its own error. The chance is how often readings err by so much
    or more, either way (one in twenty is a stray, as in `log_likelihood`): 1 at the moisture itself, 0.09 two points
    over it by weight, and never quite 0.

    Parameters
    ----------
    table : DataFrame or None
        From `checked_readings`.
    mc_pct : float

    Returns
    -------
    list of (float, float)
        Day and chance, days in order; those that were no wetter are left out.

    Examples
    --------
    >>> import pandas as pd
    >>> seen = {"day": [10, 30, 40], "mc_pct": [60.0, 20.5, 19.0], "kind": "weight", "sd_pct": [2.1, 1.2, 1.2]}
    >>> [(day, round(chance, 2)) for day, chance in chance_dry_by(pd.DataFrame(seen), 20)]
    [(10.0, 0.0), (30.0, 0.69)]
    """
    if table is None:
        return []
    found = []
    read_on, mc, sds = (table[name].to_numpy(dtype=float) for name in ("day", "mc_pct", "sd_pct"))
    metered = (table.kind == "meter").to_numpy()
    for day in np.unique(read_on):
        rows = read_on == day
        worth = 1 / sds[rows] ** 2
        over = float((mc[rows] * worth).sum() / worth.sum()) - mc_pct
        sd = worth.sum() ** -0.5
        if metered[rows].any():
            sd = math.hypot(sd, SD_METER_SHARED_PCT)
        if over > 0:
            chance = 0.95 * math.erfc(over / sd / math.sqrt(2)) + 0.05 * math.erfc(over / 20 / math.sqrt(2))
            found.append((float(day), chance))
    return found


class Newest(NamedTuple):
    """The newest day on which a stack was read, and what was read: the mean, and its error."""

    day: float
    mc_pct: float
    sd_pct: float

    def errors_over(self, mc_pct: Numbers) -> FloatOrArray:
        """How many errors it lies over a moisture content; 0 if it does not.

        Examples
        --------
        >>> Newest(97, 22.4, 1.2).errors_over(20)
        2.0
        """
        return plain(np.maximum((self.mc_pct - np.asarray(mc_pct)) / self.sd_pct, 0.0).round(9))

    def says_wetter(self, mc_pct: float) -> float:
        """How surely it says that the stack is wetter than a moisture content: 0 if not at all, 1 from two errors over.

        Examples
        --------
        >>> [round(Newest(97, mc, 1.2).says_wetter(20), 2) for mc in (19, 20.3, 21.2, 23)]
        [0.0, 0.12, 0.5, 1.0]
        """
        return min(float(self.errors_over(mc_pct)) / _CLEARLY, 1.0)

    def fits(self, curve_pct: np.ndarray, mc_pct: float) -> np.ndarray:
        """How much stacks count that are at `curve_pct` on that day, if they are wetter than `mc_pct`.

        By the chance that the reading errs so far up; of what is far from dry, by no more than 1-1/2 errors' worth.

        Parameters
        ----------
        curve_pct : array
            Moisture of each stack on that day, %.
        mc_pct : float

        Returns
        -------
        ndarray
            0 to 1; never less for a wetter stack.
        """
        top = min(self.mc_pct, mc_pct + _FITS * self.sd_pct)
        fits = np.where(curve_pct < mc_pct, 0.0, 1.0)
        some = (curve_pct >= mc_pct) & (curve_pct < top)
        fits[some] = [math.erfc((top - each) / self.sd_pct / math.sqrt(2)) for each in curve_pct[some]]
        return fits


def newest(table: pd.DataFrame | None) -> Newest | None:
    """The newest day's readings as one, each weighed by its own error; None if there are none.

    Parameters
    ----------
    table : DataFrame or None
        From `checked_readings`.

    Returns
    -------
    Newest or None
        A meter past the end of its scale counts as at the end: it says that the wood is that wet at least.

    Examples
    --------
    >>> import pandas as pd
    >>> seen = {"day": [10, 30], "mc_pct": [60.0, 20.5], "kind": "weight", "sd_pct": [2.1, 1.2]}
    >>> newest(pd.DataFrame(seen)).mc_pct
    20.5
    """
    if table is None or not len(table):
        return None
    now = table[table.day == table.day.max()]
    mc, sd = now.mc_pct.to_numpy(dtype=float), now.sd_pct.to_numpy(dtype=float)
    end, error = _ENDS_OF_SCALE[0]
    past = (now.kind == "meter").to_numpy() & (mc > end) & np.isclose(sd, reading_sd_pct(mc, "meter"))
    mc, sd = np.where(past, end, mc), np.where(past, error, sd)
    worth = 1 / sd**2
    error = float(worth.sum() ** -0.5)
    if (now.kind == "meter").any():
        error = math.hypot(error, SD_METER_SHARED_PCT)
    return Newest(float(now.day.iloc[0]), float((mc * worth).sum() / worth.sum()), error)


def _blur(count: int, sd_steps: float) -> np.ndarray:
    """The matrix that averages over neighbors in a row of `count` points, with normal weights.

    What lies beyond the ends of the row counts as nothing. To share its weight out among the points near the end would
    favor these, and pull a stack towards them.
    """
    apart = np.arange(count)[:, None] - np.arange(count)
    return np.exp(-0.5 * (apart / sd_steps) ** 2) / (sd_steps * np.sqrt(2 * np.pi))


def log_likelihood(off: np.ndarray, sd: np.ndarray) -> np.ndarray:
    """One reading in twenty is a stray with an error of 20 points; the others err by `sd` (two normals mixed)."""
    good = 0.95 * np.exp(-0.5 * (off / sd) ** 2) / sd
    stray = 0.05 * np.exp(-0.5 * off**2 / (20.0**2 + sd**2)) / np.hypot(20.0, sd)
    return np.log(good + stray)
