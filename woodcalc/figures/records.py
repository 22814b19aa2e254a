"""Pictures of records: a forecast that learns reading by reading, what a reading is worth, an unknown pace."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import timedelta
from functools import cache, lru_cache
from typing import TYPE_CHECKING, Any

import numpy as np
import pandas as pd

from woodcalc import drying
from woodcalc.checks import InputError, blank
from woodcalc.climate import MONTHS
from woodcalc.dates import days_told, span_told
from woodcalc.drying.forecast import taught
from woodcalc.drying.readings import not_trusted, over_scale
from woodcalc.figures import style
from woodcalc.figures.chart import Frame, ticks
from woodcalc.figures.drawing import Drawing
from woodcalc.records.choices import KETTLE_HOLLOW
from woodcalc.records.usable import read_usable
from woodcalc.weighings import mc_readings

if TYPE_CHECKING:
    from woodcalc.drying.forecast import Forecast, Span


# of the stacks that are made up here
WOOD, SIZE, PLACE, START = (
    "northern red oak",
    "4/4",
    "Madison, WI",
    "2026-05-10",
)
USUAL_START_MC = 80.0
SHOWN_DAYS = 150


@cache
def _stack_a():
    """The forecast of Kettle Hollow's stack A before any reading, and its readings."""
    tables = read_usable(KETTLE_HOLLOW, ["stacks", "readings"]).tables
    stacks, readings = tables["stacks"], tables["readings"]
    before = drying.of_stack(stacks.set_index("stack").loc["A"], PLACE)
    return before, mc_readings(readings, "A", WOOD)


@cache
def made_up_forecast() -> Forecast:
    """Return the forecast of the made-up stack before any reading."""
    return drying.air_dry(WOOD, SIZE, PLACE, START, start_mc_pct=USUAL_START_MC)


@lru_cache(400)
def _truth(pace):
    return made_up_forecast().at_pace(pace, np.arange(SHOWN_DAYS + 1))


def stack_truth(pace: float) -> np.ndarray:
    """Return the mean moisture content of a made-up stack that dries at `pace` times the usual, day by day (%).

    Parameters
    ----------
    pace : float
        1 is the usual one of the wood; 0.8 a fifth slower.

    Examples
    --------
    >>> fast, slow = stack_truth(1.3), stack_truth(0.7)
    >>> bool(fast[60] < slow[60] < slow[0])
    True
    """
    return _truth(round(float(pace), 4))


# Boards of a made-up stack, against its own pace: the first is like the stack
BOARDS = (1.0, 1.1, 0.9, 1.05)


def made_up_readings(pace: float, days: Iterable[int], kind: str = "weight", seed: int = 1) -> pd.DataFrame:
    """Return readings of one board of a made-up stack on the given days, each with the usual error of its kind.

    Parameters
    ----------
    pace : float
    days : sequence of int
        Days after stacking.
    kind : str
        ``"weight"`` or ``"meter"``.
    seed : int
        The same seed gives the same errors.

    Returns
    -------
    DataFrame
        ``day``, ``date``, ``kind``, ``mc_pct``, ``board``.
    """
    days = np.asarray(days, int)
    truth = stack_truth(pace)[days]
    error = np.random.default_rng(seed).standard_normal(SHOWN_DAYS + 1)[days]
    sd = np.minimum(drying.reading_sd_pct(truth, kind), 6.0)  # an invented meter errs by no more than this
    date = pd.Timestamp(START) + pd.to_timedelta(days, "D")
    return pd.DataFrame({"day": days, "date": date, "kind": kind, "mc_pct": truth + sd * error, "board": "1"})


def width_days(span: Span) -> float:
    """Return the days between the first and the last date of a span, NaN if one is not reached."""
    return float((span.high - span.low).days) if span.low and span.high else float("nan")


# Lines of forecasts, told apart by dash; a forecast before any reading is dotted.
BEFORE: dict[str, Any] = {"color": style.SOFT, "dash": "3 5"}
AFTER: dict[str, Any] = {"color": style.BLUE, "dash": ""}
DOT: dict[str, Any] = {"color": "white", "edge": style.INK, "width": 2.5}  # of a reading
NOT_TRUSTED: dict[str, Any] = {
    "color": "none",
    "edge": style.SOFT,
    "width": 1.4,
}  # ... by a meter over its scale


_OVER = "s, over its scale"


def days_on_sticks(height_in: float, xlim: tuple[float, float], top: float) -> tuple[Drawing, Frame]:
    """Return a page of this height and its chart of moisture content, 0 to `top`, over the days on sticks."""
    page = Drawing(8.0, height_in)
    chart = Frame.chart(
        page, page.part(), xlim, (0, top), ticks(*xlim, 9), ticks(0, top, 10), "Time on sticks (days)",
        "Moisture content (%)", beside="20 %",
    )  # fmt: skip
    return page, chart


def _at_20(chart):
    chart.rule(y=20, color=style.INK, width=1.4, dash="5 3")
    chart.text(chart.xlim[1], 20, "20 %", dx=8)


def key(page: Drawing, *entries: tuple[str, str | dict[str, Any]]) -> None:
    """Name one under the other, at the upper right, lines (a dict) and readings (their marker)."""
    for k, (name, look) in enumerate(entries):
        y = 42 + 1.4 * page.type * k
        page.text(660, y, name, "end", size=0.95, halo=True)
        if isinstance(look, str):
            page.marker(692, y, look[0], **(NOT_TRUSTED if look == _OVER else DOT))
        else:
            page.lines([[(670, y), (714, y)]], look["color"], 3.6, look["dash"])


def _marks(chart, table):
    """Draw the readings; return what `key` needs to name them."""
    named = []
    for kind, name, marker in (("weight", "weighed", "o"), ("meter", "meter", "s")):
        mine = table[table["kind"] == kind]
        sure, over = mine[~over_scale(mine)], mine[over_scale(mine)]
        for some, what, look in ((sure, name, marker), (over, "over the meter's scale", _OVER)):
            if len(some):
                chart.mark(some["day"], some["mc_pct"], marker, **(NOT_TRUSTED if look == _OVER else DOT))
                named.append((what, look))
    return named


def _learned(before, after, table, days, top, told=True):
    """Page and chart of the forecast before (light, dotted) and after the readings (dark), its date if `told`."""
    page, chart = days_on_sticks(4.8, (0, days), top)
    for forecast, color, look in ((before, style.PALE, BEFORE), (after, style.SKY, AFTER)):
        if forecast is not None:
            daily = forecast.daily.iloc[: days + 1 : 3]
            x = daily["day"].to_numpy()
            chart.fill(x, daily["low"], daily["high"], color, opacity=0.55)
            chart.line(x, daily["likely"], every=0, width=3.6, **look)
    _at_20(chart)
    if after is not None:  # as a ghost
        _days_of_20(chart, before, 17.5, 3, style.SOFT)
    likely = _days_of_20(chart, after or before, 20, 5, style.INK) if told else None
    if likely is not None and likely <= days:
        when = (after or before).start + timedelta(days=int(likely))
        chart.mark(likely, 20, "D", style.GOLD, 8.5, width=2.2)
        words = f"{when.day} {MONTHS[when.month - 1]} {when.year}"
        room = chart.at((likely, 0))[0] + 20 + page.width(words, 1.1, True) < chart.at((days, 0))[0]
        side = {"dx": 16} if room else {"dx": -16, "at": "end"}
        chart.text(likely, 20, words, dy=-1.9 * page.type, size=1.1, bold=True, halo=True, **side)
    lines = [("before any reading", BEFORE), ("with the readings", AFTER)]
    key(page, *_marks(chart, table), *lines[: 1 if after is None else 2])
    return page, chart


def _days_of_20(chart, forecast, y, width, color):
    """Draw the days between which four stacks in five are down to 20 %; return the likely one, None for never."""
    low, likely, high = (
        None if blank(when) else float((when - forecast.start).days) for when in forecast.date_of(20)
    )
    last = chart.xlim[1]
    if low is not None and low <= last:
        end = last if high is None else min(high, last)
        chart.strokes([[(max(low, 0.0), y), (end, y)]], color, width)
    return likely


SLIP = ("2025-06-21", 18.0)  # of the recorded stack: this weighing, so many points too high


@lru_cache(200)
def recorded(entered: int, use: str, slip: bool) -> tuple[Forecast, Forecast | None, pd.DataFrame]:
    """Return of stack A: the forecast before any reading, after the first `entered` (None: 0), the readings.

    Parameters are those of `learning`.
    """
    before, table = _stack_a()
    if use != "both":
        table = table[table["kind"] == use]
    table = table.head(entered).reset_index(drop=True)
    table["day"] = (table["date"] - pd.Timestamp(before.start)).dt.days
    if slip:
        wrong = (table["date"] == SLIP[0]) & (table["kind"] == "weight")
        table.loc[wrong, "mc_pct"] += SLIP[1]
    return before, before.update(table) if len(table) else None, table


@style.drawn
def learning(entered: int, use: str = "both", slip: bool = False) -> tuple[Drawing, str, str]:
    """Draw Kettle Hollow's stack A: the forecast before and after the first readings.

    Parameters
    ----------
    entered : int
        Readings used, in order of date, 0 to 8.
    use : str
        ``"both"``, ``"weight"`` or ``"meter"``.
    slip : bool
        One weighing is off, as if its pounds had been written down wrong.

    Returns
    -------
    (Drawing, str, str)
    """
    before, after, table = recorded(int(entered), use, bool(slip))
    page, chart = _learned(before, after, table, SHOWN_DAYS, 100)
    if slip:
        wrong = table[(table["date"] == SLIP[0]) & (table["kind"] == "weight")]
        for row in wrong.itertuples():
            chart.text(row.day, row.mc_pct, "slip of the pen", dx=19, dy=-14, halo=True)
    now = after or before
    below = _table(before, after)
    if after is None:
        return page, f"Before any reading, stack A reaches 20 % from {span_told(*before.date_of(20))}.", below
    pace, span = now.pace, now.date_of(20)
    many = f"{len(table)} reading{'s' if len(table) > 1 else ''}"
    return (
        page,
        (
            f"After {many} stack A dries at {pace.likely:.2f} of the usual pace ({pace.low:.2f} to {pace.high:.2f}); "
            f"20 % from {span_told(*span)}: a band of {days_told(width_days(span))}, "
            f"{days_told(width_days(before.date_of(20)), unit=False)} before."
        ),
        below,
    )


def _table(before, after):
    rows = [
        (f"{mc} %", span_told(*before.date_of(mc)), span_told(*after.date_of(mc)) if after else "")
        for mc in (25, 20, 15)
    ]
    body = "".join(f"<tr>{''.join(f'<td>{cell}</td>' for cell in row)}</tr>" for row in rows)
    return (
        f"<table><tr><th>Down to</th><th>Before any reading</th><th>With the readings</th></tr>{body}</table>"
    )


@lru_cache(300)
def days_open(
    first_day: int, every_days: float, pace: float, boards: int = 1
) -> tuple[np.ndarray, dict[str, np.ndarray]]:
    """Return (numbers of readings, days that the date of 20 % is open after them by kind); see `worth_of_readings`."""
    counts = (0, 2, 4, 6)
    prior = made_up_forecast()
    out = {}
    for kind in ("weight", "meter"):
        days = np.minimum(first_day + every_days * np.arange(max(counts)), SHOWN_DAYS)
        watched = [
            made_up_readings(pace * own, days, kind, seed).assign(board=str(seed))
            for seed, own in enumerate(BOARDS[:boards], 5)  # errors that are neither lucky nor unlucky
        ]
        spans = [
            (prior.update(pd.concat([board.head(n) for board in watched])) if n else prior).days_to(20)
            for n in counts
        ]
        # of the band itself, which no reading cuts off; in whole days, as dates are
        out[kind] = np.array([np.round(s.high) - np.round(s.low) for s in spans])
    return np.array(counts), out


@style.drawn
def worth_of_readings(
    first_day: int, every_days: int, boards: int = 1, pace: float = 0.8
) -> tuple[Drawing, str]:
    """Draw how the days between the earliest and latest date of 20 % shrink with the number of readings.

    Parameters
    ----------
    first_day : int
        Day of the first reading after stacking.
    every_days : int
        Days between readings.
    boards : int
        Boards that are read each time, 1 to 4.
    pace : float
        Of the made-up stack.

    Returns
    -------
    (Drawing, str)
    """
    counts, widths = days_open(int(first_day), int(every_days), round(float(pace), 2), int(boards))
    page = Drawing(8.0, 4.8)
    chart = Frame.chart(
        page, page.part(), (-0.2, 6.2), (0, 80), counts, ticks(0, 80, 9), "Readings of each board",
        "Earliest to latest date of 20 % (days)", beside="weighed board",
    )  # fmt: skip
    for n, kind in enumerate(widths):
        chart.line(counts, widths[kind], n)
    a, b = widths["weight"][-1], widths["meter"][-1]
    chart.end_labels(6, [(a, "weighed board", style.BLUE), (b, "pin meter", style.ORANGE)], dx=20)
    last = first_day + 5 * every_days
    which = "one board" if boards == 1 else f"each of {boards} boards"
    return page, (
        f"The date of 20 % is open by {widths['weight'][0]:.0f} days before any reading. Six weighings of {which} from "
        f"day {first_day} to day {min(last, SHOWN_DAYS)} leave {a:.0f} days, six pin-meter readings {b:.0f}."
    )


@style.drawn
def unknown_stack(pace: float, seed: int, until_day: int, tried_pace: float) -> tuple[Drawing, str]:
    """Draw the readings of a stack whose pace is not told, and the curve of a pace that the learner tries.

    Parameters
    ----------
    pace, seed : float, int
        The hidden pace, and the errors of the readings.
    until_day : int
        Weighed every 7 days up to this day.
    tried_pace : float
        The curve that is drawn.

    Returns
    -------
    (Drawing, str)
    """
    days = np.arange(7, int(until_day) + 1, 7)
    seen = made_up_readings(pace, days, "weight", int(seed))
    tried = stack_truth(tried_pace)
    page, chart = days_on_sticks(4.8, (0, SHOWN_DAYS), 90)
    x = np.arange(0, SHOWN_DAYS + 1, 2)
    chart.line(x, tried[::2], every=0, width=3.6, **AFTER)
    chart.line(x, stack_truth(1.0)[::2], every=0, width=3.6, **BEFORE)
    _at_20(chart)
    key(page, (f"pace {tried_pace:g}", AFTER), ("usual pace", BEFORE), *_marks(chart, seen))
    off = seen["mc_pct"].to_numpy() - tried[days]
    below = int((off < 0).sum())
    return page, (
        f"{len(days)} weighings. Pace {tried_pace:g}: {below} lie under the curve, {len(days) - below} over it; "
        f"on the average they are {abs(off.mean()):.1f} points {'under' if off.mean() < 0 else 'over'}."
    )


@style.drawn
def no_stack(why: str) -> tuple[Drawing, str, str]:
    """Draw nothing but why there is no picture of a stack.

    Parameters
    ----------
    why : str

    Returns
    -------
    (Drawing, str, str)
    """
    page = Drawing(8.0, 0.8)
    page.text(20, 40, "No picture of this stack: see below.")
    return page, why, ""


def days_shown(readings: pd.DataFrame, before: Forecast, after: Forecast | None) -> int:
    """Days that hold all readings, also those left out, and the last day of 20 % that the forecasts tell."""
    ends = [SHOWN_DAYS]
    if len(readings):
        ends.append((pd.to_datetime(readings["date"]).max() - pd.Timestamp(before.start)).days + 60)
    for forecast in (before, after or before):
        ends += [int(day) + 20 for day in forecast.days_to(20) if not blank(day)]
    return min(max(ends), before.horizon_days)


@style.drawn
def own_stack(
    stack: str, before: Forecast, readings: pd.DataFrame, left_out: int = 0
) -> tuple[Drawing, str, str]:
    """Draw a recorded stack with its first readings, as `learning` does for Kettle Hollow's.

    Parameters
    ----------
    stack : str
        Its name.
    before : Forecast
        As of the day that it was stacked.
    readings : DataFrame
        As from `records.mc_readings`; may be empty.
    left_out : int
        So many of the newest readings are not used: what the forecast said before them.

    Returns
    -------
    (Drawing, str, str)
    """
    table = readings.head(max(len(readings) - int(left_out), 0)).reset_index(drop=True)
    table["day"] = (
        pd.to_datetime(table["date"]) - pd.Timestamp(before.start)
    ).dt.days  # also where there is none
    try:
        now, why = taught(before, table)
    except InputError as error:  # the records are the learner's: whatever is in them, the forecast is drawn
        now, why = before, f"the readings are not used: {error}".rstrip(".")
    after = now if len(table) and not why else None
    days = days_shown(readings, before, after)
    top = max(100, 10 * np.ceil(before.daily["high"].iloc[0] / 10))
    page, _ = _learned(before, after, table, days, top, told=not why)
    many = f"{len(table) or 'no'} reading{'' if len(table) == 1 else 's'}"
    if why:  # the dates of the day of stacking are what the readings disprove
        return page, f"Stack {stack}, {before.species.name}, {many}: {why}.", ""
    over = not_trusted(table)
    pace = f"{now.pace.likely:.2f} of the usual ({now.pace.low:.2f} to {now.pace.high:.2f})"
    says = f"Stack {stack}, {before.species.name}, {many}: pace {pace}; 20 %: {span_told(*now.date_of(20))}."
    return page, " ".join(filter(None, [says, over])), _table(before, after)
