"""What was measured on a stack, checked and weighed, for the forecast to learn from."""

import numpy as np

from woodcalc.checks import InputError, plain, within
from woodcalc.weighings import mc_readings


def checked_readings(readings, forecast):
    """The readings as checked columns day, date, mc_pct, kind, sd_pct."""
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
    table = pd.DataFrame({"date": _days(readings["date"]), "mc_pct": readings["mc_pct"].to_numpy()})
    table["mc_pct"] = within("mc_pct", table["mc_pct"].to_numpy(), 0, 300, "%")
    kind = (
        readings["kind"].fillna("weight").to_numpy() if "kind" in readings else np.full(len(table), "weight")
    )
    strange = [k for k in kind if k not in ("weight", "meter")]
    if strange:
        raise InputError(f"readings: kind {strange[0]!r}: expected 'meter' or 'weight'.")
    table["kind"] = kind
    table["day"] = (table.date - pd.Timestamp(forecast.start)).dt.days
    if len(table) and table.day.min() < 0:
        early = table.date.min()
        raise InputError(f"readings: {early:%Y-%m-%d} lies before the stack was built ({forecast.start}).")
    sd = reading_sd_pct(table.mc_pct.to_numpy(), table.kind.to_numpy())
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
    table["sd_pct"] = sd
    return table[table.day <= forecast.horizon_days].reset_index(drop=True)


def _days(dates):
    """The day of each reading, without the hour; a date that is none is named by its row."""
    import pandas as pd

    days = pd.to_datetime(pd.Series(dates.to_numpy()), errors="coerce", format="mixed", utc=True)
    if days.isna().any():
        row = int(days.isna().to_numpy().argmax())
        raise InputError(f"readings, row {row + 1}: date {dates.iloc[row]!r}: expected year-month-day.")
    return days.dt.tz_localize(None).dt.normalize()


def _told(readings, wood):
    """What the rows of one stack in a readings table (`records`) tell of its moisture."""
    blank = {"stack": "", "board": "", "unit": "%", "temp_f": np.nan}
    table = readings.assign(**{k: v for k, v in blank.items() if k not in readings})
    table["date"] = _days(table["date"]).to_numpy()
    stacks = list(table["stack"].unique())
    if len(stacks) > 1:
        raise InputError(
            f"readings of {len(stacks)} stacks ({', '.join(map(str, stacks))}): give those of one."
        )
    told = mc_readings(table, *stacks, wood.name) if stacks else table.assign(mc_pct=np.nan)
    if len(table) and told.empty:
        raise InputError(f"readings: none can be used. {' '.join(told.attrs['notes'])}")
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


def log_likelihood(off, sd):
    """One reading in twenty is a stray with an error of 20 points; the others err by `sd` (two normals mixed)."""
    good = 0.95 * np.exp(-0.5 * (off / sd) ** 2) / sd
    stray = 0.05 * np.exp(-0.5 * off**2 / (20.0**2 + sd**2)) / np.hypot(20.0, sd)
    return np.log(good + stray)
