"""Pictures of a stack outdoors: its way down, the best month to build it, woods and thicknesses side by side."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np
import pandas as pd

from woodcalc import climate, drying
from woodcalc.checks import InputError, blank, capital
from woodcalc.dates import NEVER, calendar_day, day_told, days_told, month_name
from woodcalc.drying.forecast import taught
from woodcalc.drying.months import month_to_saw
from woodcalc.drying.readings import not_trusted, over_scale
from woodcalc.drying.watch import wetter_since
from woodcalc.figures import style
from woodcalc.figures.chart import Frame, ticks
from woodcalc.figures.drawing import Drawing, box
from woodcalc.sizes import thickness_name

YEAR = 2025  # no picture shows it; any year without a 29 February gives the same days
# One mark for each level of danger, told by shape as well as color
_MARKS = (
    ("o", "white", "none"),
    ("^", style.GOLD, "some"),
    ("s", style.ORANGE, "high"),
    ("D", style.INK, "very high"),
)
NOT_HERE = "not outdoors here"
WOODS = (
    "yellow-poplar",
    "red maple",
    "eastern white pine",
    "sugar maple",
    "black cherry",
    "northern red oak",
    "black walnut",
    "white oak",
)
THICKNESSES = ("4/4", "5/4", "6/4", "8/4")


def stacked(month: int) -> date:
    """The middle of a month, the day that the pictures stack on."""
    return date(YEAR, int(month), 15)


def day_name(start: date, days: float) -> str:
    """Return a day so many days after a date, "9 July"; NaN is never; a year or more later says so.

    Examples
    --------
    >>> day_name(date(2025, 5, 15), 55.2), day_name(date(2025, 5, 15), float("nan"))
    ('9 July', 'never')
    """
    if blank(days):
        return NEVER
    when = start + timedelta(days=round(days))
    years = when.year - start.year
    counted = ("", "", "two", "three", "four", "five")[years] if years <= 5 else f"{years}"
    later = "" if not years else " of the next year" if years == 1 else f" {counted} years on"
    return f"{when.day} {when:%B}{later}"


def _months_ahead(start, days):
    """First days of the months ahead: day number, month 1-12, year counted from 0."""
    ahead, k = [], start.month
    while (at := (date(start.year + k // 12, k % 12 + 1, 1) - start).days) <= days:
        ahead.append((at, k % 12 + 1, k // 12))
        k += 1
    return ahead


@style.drawn
def curve(
    wood: str,
    thickness: str,
    place: str,
    month: int,
    airflow: str,
    part: str = "mixed",
    stacked_on: date | None = None,
) -> tuple[Drawing, str, str]:
    """Draw the forecast of one stack: mean with its band, surface, core, and the air that it follows.

    Parameters
    ----------
    wood, thickness, place, airflow : str
        As in `woodcalc.drying.air_dry`.
    month : int
        Month of stacking, 1-12; the 15th.
    part : str
        Of the log, as in `woodcalc.drying.air_dry`. Where it is not known how wet that part is, or at what pace it
        dries, the mixed board is drawn and the sentence says so.
    stacked_on : date, optional
        The day that a real stack went up, in place of the 15th: its years are told.

    Returns
    -------
    (Drawing, str, str)
        The last is a table of dates, HTML.

    Examples
    --------
    >>> curve("northern red oak", "4/4", "Madison, WI", 5, "ordinary")[1][:79]
    'Northern red oak 4/4, stacked on 15 May at Madison, WI: 20 % on 1 August (likel'
    """
    start, real = stacked_on or stacked(month), stacked_on is not None
    on = f"{start.day} {start:%B}" + (f" {start.year}" if real else "")
    part, unknown = drying.dated_part(wood, part)
    forecast = drying.air_dry(wood, thickness, place, start, part=part, airflow=airflow)
    mixed = part == "mixed"
    name = capital(wood) if mixed else f"{capital(wood)}, {part},"
    title = f"{capital(wood)} {thickness}{', stacked' if mixed else f' {part},'} 15 {start:%B}"
    page, _ = _down(forecast, title, shown=_shown(forecast))

    days = forecast.days_to(20)
    if blank(days.likely):
        reached = f"it is not likely to reach 20 % within {forecast.horizon_days // 365} years"
    else:
        likely = _day_told(start, days.likely, real)
        reached = f"20 % on {likely} (likely; {_between(start, days, real)})"
    sentence = (
        f"{name} {thickness}, stacked on {on} at {place}: {reached}. "
        f"Outdoors it gets no drier than {forecast.stops_at_pct:.0f} %.{' ' * bool(unknown)}{unknown}"
    )
    if forecast.basis == "specific gravity":
        sentence += (
            " No published drying time for this wood: the forecast goes by its density, and is rougher."
        )
    elif forecast.basis == "a relative":
        sentence += (
            " No published drying time for this wood: the forecast goes by "
            f"{forecast.species.like or 'a close relative'}, and is rougher."
        )
    return page, sentence, _dates(forecast, year=real)


def _shown(forecast):
    """Days of the picture."""
    return 400 if forecast.thickness_in < 1.75 else 730


def _down(forecast, title, shown, more=(), real=False, told=True):
    """Page and chart of a forecast: mean with its band, surface, core, the air, and the day of 20 %.

    The chart goes by the root of the days (`_across`), so that the first weeks, in which most of it happens, have
    their width. `more` are entries of a key. A `real` stack is told its calendar years. No date
    is marked that is not `told`.
    """
    d = forecast.daily.iloc[np.r_[0:20, 20:60:3, 60 : shown + 1 : 8]]
    start, at = forecast.start, _across(d.day)
    months = _months_ahead(start, shown)
    top = 20 * np.ceil((forecast.start_mc_pct + 12) / 20)
    page = Drawing()
    marked, last = [], 0.0
    for day, m, year in months:  # as many as stand apart
        if _across(day) - last > 3.2 * page.type / 660 * _across(shown):
            marked.append((day, m, year))
            last = _across(day)
    chart = Frame.chart(
        page, page.part(), (0, _across(shown)), (0, top), [_across(day) for day, *_ in marked], ticks(0, top, 8), "",
        "Moisture content (%)", title, [climate.MONTHS[m - 1] for _, m, _ in marked], grid="y",
        beside="20 %", below=2.4,
    )  # fmt: skip
    left, upper, across, height = chart.box
    chart.strokes([[(_across(day), 0), (_across(day), -top / 60)] for day, *_ in marked], style.SOFT, 1.2)
    named_years: set[int] = set()
    for day, _, year in marked:
        if year and year not in named_years:  # under its first month that is named
            named_years.add(year)
            named = f"{start.year + year}" if real else f"year {year + 1}"
            chart.text(_across(day), 0, named, dy=2.05 * page.type, at="middle", size=0.95)
    below = upper + height + 3.3 * page.type
    page.text(left + across / 2, below, "First of the month; the first weeks drawn wider", "middle")
    cold = [(day, day + 90) for day, m, _ in months if m == 12] + (
        [(0, 60)] if start.month in (12, 1, 2) else []
    )
    for a, b in cold:
        ends = float(_across(a)), float(_across(min(b, shown)))
        chart.band(x=ends, color=style.PALE, opacity=0.5)
        if (ends[1] - ends[0]) / _across(shown) * across > 4 * page.type:
            chart.text(sum(ends) / 2, top, "winter", dy=0.8 * page.type, at="middle", size=0.95)
    chart.fill(at, d.low, d.high, style.SKY, opacity=0.35)
    chart.rule(y=20, width=1.4)
    chart.text(_across(shown), 20, "20 %", dx=12)
    lines = (
        ("core", 1, d.core_mc_pct, 2.5),
        ("surface", 2, d.surface_mc_pct, 2.5),
        ("whole board", 0, d.likely, 3.2),
    )
    for _, n, y, width in lines:
        chart.line(at, y, n, every=0, width=width)
    chart.line(at, d.emc_pct, every=0, color=style.INK, dash="2 4", width=2)
    _name_lines(chart, d, lines, _mark_20(chart, forecast, d, real) if told else [])
    for k, entry in enumerate(more):
        page.key(left + across - 130, upper + 2.4 * page.type + 1.35 * k * page.type, [entry])
    return page, chart


def _across(days):
    """Where days stand along the chart of a stack: at their root."""
    return np.sqrt(np.maximum(days, 0.0))


def _name_lines(chart, d, lines, taken):
    """Write the names of the lines of `_down` at them, right of the band and left of it, clear of what is `taken`."""
    page, (left, _, across, _) = chart.page, chart.box
    wet = float(d.likely.iloc[0])

    def reached(y, mc):
        """Where a line comes down to a moisture content, px."""
        below = np.flatnonzero(np.asarray(y) <= mc)
        day = d.day.iloc[below[0]] if len(below) else d.day.iloc[-1]
        return float(chart.at((_across(day), mc))[0])

    def place(name, y, share):
        """Where a name stands, and where its line is at that height."""
        mc = 20 + share * max(wet - 20, 16)
        height, line, wide = float(chart.at((0, mc))[1]), reached(y, mc), page.width(name)
        if name == "surface":
            return max(line - 12 - wide, left + 8), height, line
        return min(max(line, reached(d.high, mc)) + 22, left + across - wide - 4), height, line

    tall = 0.75 * page.type
    for name, n, y, _ in lines:
        for share in {
            "core": (0.92, 1.0, 1.1),
            "whole board": (0.66, 0.78, 0.5, 0.9, 1.0, 0.35),
            "surface": (0.3, 0.45, 0.6, 0.8),
        }[name]:
            x, height, line = place(name, y, share)
            edges = (x, height - tall, x + page.width(name), height + tall)
            if all(edges[0] > t[2] or t[0] > edges[2] or edges[1] > t[3] or t[1] > edges[3] for t in taken):
                break
        else:
            continue  # no room: the sentence and the other names tell it
        taken.append(edges)
        if name != "surface":
            page.lines([[(line, height), (x - 4, height)]], style.SERIES[n]["color"], 1.4)
        page.text(x, height, name, color=style.SERIES[n]["color"], halo=True)
    air = float(d.emc_pct.iloc[-1])
    down = 0.85 if chart.at((0, air))[1] + 1.4 * page.type < chart.at((0, 0))[1] else -0.85
    chart.text(chart.xlim[1], air, "the air (EMC)", dx=-6, dy=down * page.type, at="end", halo=True)


def _mark_20(chart, forecast, d, real):
    """Mark the likely day of 20 %, tell it, and draw the days between which four stacks in five are there.

    Returns the edges (px) of what is written.
    """
    page, (left, _, across, _) = chart.page, chart.box
    start, last = forecast.start, float(d.day.iloc[-1])
    if real:
        whens = [None if blank(when) else when for when in forecast.date_of(20)]
    else:
        whens = [None if blank(day) else start + timedelta(days=round(day)) for day in forecast.days_to(20)]
    days = [np.nan if when is None else float((when - start).days) for when in whens]
    named = [NEVER if when is None else f"{when.day} {climate.MONTHS[when.month - 1]}" for when in whens]
    if whens[1] and whens[1].year > start.year:
        named[1] += f" {whens[1].year}" if real else f", year {whens[1].year - start.year + 1}"
    low, likely, high = days
    if not likely <= last:
        words = f"20 %: {named[1] if np.isnan(likely) else 'later than shown'}"
        x, y = left + across - 6, chart.at((0, 20))[1] - page.type
        page.text(x, y, words, "end", bold=True, halo=True)
        return [(x - page.width(words, bold=True), y - page.type, x, y + page.type)]
    ends = [float(_across(day)) for day in (low, min(last, np.inf if np.isnan(high) else high))]
    chart.strokes([[(x, 20) for x in ends], *([(x, 19), (x, 21)] for x in ends)], width=4.5)
    words = f"four in five: {named[0]} to {named[2]}"
    wide = max(page.width(named[1], 1.1, True), page.width(words, 0.9))
    x, foot = chart.at((_across(likely), 20))
    over = min(x + 26, left + across - wide - 4)
    first = (over - left) / across * chart.xlim[1]
    under = d.high[_across(d.day) >= first]  # the label lies above the band
    y = chart.at((0, max([21.0, *under])))[1] - 1.1 * page.type
    y = max(y, chart.box[1] + 3 * page.type)
    leader = [(x + 8, y), (over - 4, y)] if over > x + 8 else [(x, y + 0.7 * page.type)]
    page.lines([[(x, foot), *leader]], width=1.4)
    page.text(over, y - 1.25 * page.type, named[1], size=1.1, bold=True, halo=True)
    page.text(over, y, words, size=0.9, halo=True)
    chart.mark(_across(likely), 20, "D", style.GOLD, 9, width=2.4)
    return [(over, y - 2.2 * page.type, over + wide, y + 0.8 * page.type)]


def _day_told(start, days, real):
    """A day so many days after a date, of a real stack with its calendar year."""
    return day_told(start + timedelta(days=round(days))) if real else day_name(start, days)


def _between(start, days, real):
    low = _day_told(start, days.low, real)
    if blank(days.high):
        return f"{low} or later, or {NEVER}"
    return f"four in five from {low} to {_day_told(start, days.high, real)}"


def _dates(forecast, year=False):
    """A table of the days of some moisture contents; with the calendar year where the stack is a real one."""

    def days(when):
        return float("nan") if when is None else (when - forecast.start).days

    def told(when):
        return day_told(when) if year else day_name(forecast.start, days(when))

    rows = ""
    for mc in (30, 25, 20, 15):
        dates = forecast.date_of(mc)  # as the sentence has them: readings that were wetter count
        number = days_told(days(dates.likely), unit=False)
        cells = "".join(f"<td>{told(x)}</td>" for x in dates)
        rows += f"<tr><td>Down to {mc} %</td><td>{number}</td>{cells}</tr>"
    head = "<tr><td></td><th>likely days</th><th>fast stack</th><th>likely</th><th>slow stack</th></tr>"
    return f"<table>{head}{rows}</table>"


@style.drawn
def own_curve(
    stack: str, before: drying.Forecast, readings: pd.DataFrame, let_in: bool = True
) -> tuple[Drawing, str, str]:
    """Draw the forecast of a recorded stack from its own day of stacking, with what was read on it.

    Parameters
    ----------
    stack : str
        Its name.
    before : Forecast
        As of the day that it was stacked.
    readings : DataFrame
        As from `records.mc_readings`; may be empty.
    let_in : bool
        The forecast learns from the readings; if not, they are shown beside the one of the day of stacking.

    Returns
    -------
    (Drawing, str, str)
        The last is a table of dates, HTML; "" where no date is told.
    """
    why = ""
    now = before
    if let_in and len(readings):
        try:
            now, why = taught(before, readings)
        except (
            InputError
        ) as error:  # the records are the learner's: whatever is in them, the forecast is drawn
            why = f"the readings are not used: {error}".rstrip(".")
    days = (pd.to_datetime(readings["date"]) - pd.Timestamp(before.start)).dt.days
    shown = _shown(now)
    if len(days):
        shown = min(max(shown, int(days.max()) + 30), now.horizon_days)
    named = stack if len(stack) <= 14 else f"{stack[:12]}.."
    kinds = [kind for kind in ("weight", "meter") if (readings["kind"] == kind).any()]
    looks = {"weight": ("weighed", "o"), "meter": ("meter", "s")}
    marks = [(looks[kind][0], {"color": style.INK, "width": 0, "marker": looks[kind][1]}) for kind in kinds]
    page, chart = _down(
        now, f"Stack {named}, stacked {calendar_day(before.start)}", shown, marks, real=True, told=not why
    )
    for kind in kinds:
        mine = (readings["kind"] == kind).to_numpy() & (days <= shown).to_numpy()
        wet = over_scale(readings).to_numpy()
        for some, look in (
            (mine & ~wet, {"color": style.INK, "edge": "white"}),
            (mine & wet, {"color": "white", "edge": style.INK}),  # hollow: wet, and no more
        ):
            chart.mark(_across(days[some]), readings["mc_pct"][some], looks[kind][1], width=1.5, **look)
    many = f"{len(readings) or 'no'} reading{'' if len(readings) == 1 else 's'}"
    used = f"with {many}" if let_in or not len(readings) else f"its {many} left out"
    what = f"Stack {stack}, {before.species.name} {thickness_name(before.thickness_in)}, stacked on "
    what += f"{calendar_day(before.start)} at {before.site.name}, {used}: "
    if why:
        return page, f"{what}{why}.", ""
    but = wetter_since(now, readings) if let_in else ""
    over = "" if "by meter" in but else not_trusted(readings)  # told once
    return (
        page,
        " ".join(filter(None, [f"{what}{now.says(20)}", but, over])),
        _dates(now, year=True),
    )


@style.drawn
def starts(
    wood: str, thickness: str, place: str, mc_pct: float, airflow: str = "ordinary"
) -> tuple[Drawing, str]:
    """Draw the twelve months in which a stack may be built: when it is down to a moisture content, and what spoils it.

    Parameters
    ----------
    wood, thickness, place, airflow : str
        As in `woodcalc.drying.air_dry`.
    mc_pct : float
        Wanted moisture content, %.

    Returns
    -------
    (Drawing, str)

    Examples
    --------
    >>> starts("northern red oak", "4/4", "Madison, WI", 20)[1][:80]
    'Northern red oak 4/4 at Madison, WI, down to 20 %: stacked in June it takes 75 d'
    """
    table = drying.by_start(wood, thickness, place, mc_pct, airflow=airflow)
    found = month_to_saw(wood, thickness, place, mc_pct=mc_pct, airflow=airflow)
    begin = climate.MID_MONTHS
    months = np.arange(1, 13)
    top = 730 if drying.thickness(thickness) < 1.75 else 1095
    low, likely, high = begin + table[["low", "likely", "high"]].fillna(9999).to_numpy().T
    ok = likely < top
    firsts = np.cumsum(np.append(0, np.tile(climate.MONTH_DAYS, 3)))
    quarter = [k for k in range(0, 37, 3 if top < 800 else 6) if firsts[k] <= top]
    names = [climate.MONTHS[k % 12] + (f", year {k // 12 + 1}" if k and k % 12 == 0 else "") for k in quarter]

    page = Drawing(8.0, 5.6)
    chart = Frame.chart(
        page, page.part(top=0.08), (0.4, 12.6), (0, top + 30), months, firsts[quarter],
        xnames=[m[0] for m in climate.MONTHS], ynames=names, grid="y", below=4.4,
    )  # fmt: skip
    left, upper, _, height = chart.box
    page.title(10, 26, f"{capital(wood)} {thickness}, {place}: to {mc_pct:g} %")
    there = np.flatnonzero(ok)
    waits = [box(k + 0.92, begin[k], k + 1.08, likely[k]) for k in there]
    bands = [box(k + 0.72, low[k], k + 1.28, min(high[k], top)) for k in there]
    chart.shapes(waits, style.PALE, style.SOFT, 1.1)
    chart.shapes(bands, style.SKY, style.BLUE, 1.1, opacity=0.45)
    chart.line(months, begin, every=0, width=2, color=style.INK, dash="2 4")
    chart.mark(months, begin, "o", style.INK, 3)
    chart.text(9.4, begin[8], "stacked here", dy=1.4 * page.type)
    chart.mark(months[ok], likely[ok], "D", style.BLUE, 6.5)
    for m, first, end in zip(months, begin, likely, strict=True):
        if end < top:
            chart.text(
                float(m), end, f"{end - first:.0f}", dy=-1.2 * page.type, at="middle", size=0.95, bold=True
            )
        else:
            chart.text(float(m), first + 20, f"later, or {NEVER}", color=style.ORANGE, turn=-90)
    _level_row(chart, "checks", found.table.checks, 2.2 * page.type)
    _level_row(chart, "stain", found.table.stain, 3.5 * page.type)
    _level_key(page, left, upper + height + 4.9 * page.type)

    if not ok.any():
        tail = f"no month of stacking gets it there within {top // 365} years. Outdoor air at this place is too damp."
        return page, f"{capital(wood)} {thickness} at {place}, down to {mc_pct:g} %: {tail}"
    best, worst = table.likely.idxmin(), table.likely.idxmax()
    sentence = (
        f"{capital(wood)} {thickness} at {place}, down to {mc_pct:g} %: stacked in {month_name(best)} it takes "
        f"{table.likely[best]:.0f} days, stacked in {month_name(worst)} {table.likely[worst]:.0f}"
    )
    late = int((~ok).sum())
    if late:
        which = "one month of stacking gets" if late == 1 else f"{late} months of stacking get"
        sentence += f"; {which} there later than shown, or {NEVER}"
    return page, f"{sentence}. {found.advice()}"


def _level_row(chart, name, levels, down):
    """A row of twelve marks under a chart of months, so far below it (px): how great a danger is in each."""
    left, upper, _, height = chart.box
    y = upper + height + down
    chart.page.text(left - 8, y, name, "end")
    for month, level in levels.items():
        x = float(chart.at((month, 0))[0])
        if blank(level):
            chart.page.text(x, y, "?", "middle", color=style.SOFT)
        else:
            kind, color, _ = _MARKS[int(level)]
            chart.page.marker(x, y, kind, color, 7)


def _level_key(page, x, y):
    """What the marks of `_level_row` mean."""
    for kind, color, word in _MARKS:
        page.marker(x + 8, y, kind, color, 7)
        page.text(x + 24, y, word, size=0.95)
        x += 24 + page.width(word, 0.95) + 30


@style.drawn
def side_by_side(place: str, month: int, mc_pct: float) -> tuple[Drawing, str]:
    """Draw the days that woods and thicknesses need, side by side.

    Parameters
    ----------
    place : str
    month : int
        Month of stacking, 1-12; the 15th.
    mc_pct : float
        Wanted moisture content, %.

    Returns
    -------
    (Drawing, str)

    Examples
    --------
    >>> side_by_side("Madison, WI", 5, 20)[1][:76]
    'Stacked on 15 May at Madison, WI, to 20 %: yellow-poplar 4/4 takes 51 days, '
    """
    table = drying.grid([place], [stacked(month)], WOODS, THICKNESSES, mc_pct)
    days = table.days.to_numpy().reshape(len(WOODS), len(THICKNESSES))
    top, later = 730, 785
    rows = np.arange(len(WOODS))[::-1]
    shown = np.where(days > top, later, days)

    page = Drawing()
    at = [*range(0, 701, 100), later]
    chart = Frame.chart(
        page, page.part(top=0.15), (0, later + 25), (-0.6, len(WOODS) - 0.4), at, rows,
        f"Likely time to {mc_pct:g} % (days)", xnames=[*map(str, at[:-1]), "later"], ynames=WOODS, grid="x",
    )  # fmt: skip
    left = chart.box[0]
    page.title(left, 28, f"Stacked 15 {stacked(month):%B}")
    chart.rule(x=(top + later) / 2 + 4, width=1.4)
    for y, row in zip(rows, shown, strict=True):
        chart.line(row, np.full(4, y), every=0, width=8, color=style.PALE)
        if np.isnan(row).all():
            chart.text(12, y, NOT_HERE, color=style.ORANGE, halo=True)
    for k, (name, look) in enumerate(zip(THICKNESSES, style.SERIES, strict=False)):
        there = np.isfinite(shown[:, k])
        chart.mark(shown[there, k], rows[there], look["marker"], look["color"], 7, width=1.1)
        page.marker(left + 10 + 90 * k, 66, look["marker"], look["color"], 7, width=1.1)
        page.text(left + 28 + 90 * k, 66, name)
    told = {
        (w, t): days[WOODS.index(w), THICKNESSES.index(t)]
        for w in ("yellow-poplar", "white oak")
        for t in ("4/4", "8/4")
    }
    words = [
        f"{w} {t} {'does not get there' if blank(n) else 'takes ' + days_told(n)}"
        for (w, t), n in told.items()
    ]
    return page, f"Stacked on 15 {stacked(month):%B} at {place}, to {mc_pct:g} %: {', '.join(words)}."
