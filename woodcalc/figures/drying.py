"""Pictures of a stack outdoors: its way down, the best month to build it, woods and thicknesses side by side."""

from datetime import date, timedelta

import numpy as np

from woodcalc import climate, drying, species
from woodcalc.figures import plots, style

YEAR = 2025  # no picture shows it; any year without a 29 February gives the same days
NEVER = "not outdoors here"
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


def stacked(month):
    """The middle of a month, the day that the pictures stack on."""
    return date(YEAR, int(month), 15)


def day_name(start, days):
    """'9 July' of a number of days after a date, 'never' of NaN; a year or more later says so.

    Examples
    --------
    >>> day_name(date(2025, 5, 15), 55.2), day_name(date(2025, 5, 15), float("nan"))
    ('9 July', 'never')
    """
    if days != days:
        return "never"
    when = start + timedelta(days=round(days))
    later = ("", " of the next year", " two years on")[min(when.year - start.year, 2)]
    return f"{when.day} {when:%B}{later}"


def _months_ahead(start, days):
    """First days of the months ahead: day number, month 1-12, year counted from 0."""
    ahead, k = [], start.month
    while (at := (date(start.year + k // 12, k % 12 + 1, 1) - start).days) <= days:
        ahead.append((at, k % 12 + 1, k // 12))
        k += 1
    return ahead


@plots.plotted
def curve(wood, thickness, place, month, airflow):
    """Draw the forecast of one stack: mean with its band, surface, core, and the air that it follows.

    Parameters
    ----------
    wood, thickness, place, airflow : str
        As in `woodcalc.drying.air_dry`.
    month : int
        Month of stacking, 1-12; the 15th.

    Returns
    -------
    (Figure, str, str)
        The last is a table of dates, HTML.

    Examples
    --------
    >>> curve("northern red oak", "4/4", "Madison, WI", 5, "ordinary")[1][:79]
    'Northern red oak 4/4, stacked on 15 May at Madison, WI: 20 % on 30 July (likely'
    """
    start = stacked(month)
    forecast = drying.air_dry(wood, thickness, place, start, airflow=airflow)
    shown = 400 if forecast.thickness_in < 1.75 else 730
    d = forecast.daily.iloc[np.r_[0:40:2, 40 : shown + 1 : 8]]
    months = _months_ahead(start, shown)
    top = 20 * np.ceil((forecast.species.green_mc_pct + 12) / 20)

    fig = plots.new_figure()
    ax = fig.add_axes([0.10, 0.19, 0.815, 0.71])
    wide = d.iloc[::2]
    ax.fill_between(wide.day, wide.low, wide.high, color=style.SKY, alpha=0.35, lw=0)
    every = {"markevery": (10, 8), "markersize": 7}
    lines = (
        ("core", d.core_mc_pct, {"color": style.ORANGE, "linestyle": "--", "marker": "s"}),
        ("surface", d.surface_mc_pct, {"color": style.GREEN, "linestyle": "-.", "marker": "^"}),
        ("whole board", d.likely, {"color": style.BLUE, "linestyle": "-", "marker": "o"}),
    )
    for name, y, look in lines:
        thin = {} if name == "whole board" else {"lw": 1.8}
        ax.plot(d.day, y, **look, **every, **thin, label=name)
    ax.plot(d.day, d.emc_pct, color=style.INK, lw=1.4, ls=":", label="the air (EMC)")
    ax.axhline(20, color=style.SOFT, lw=1)
    ax.text(shown, 20, " 20 %", va="center", ha="left")
    cold = [(at, at + 90) for at, m, _ in months if m == 12] + ([(0, 60)] if month in (12, 1, 2) else [])
    for a, b in cold:
        ax.axvspan(a, min(b, shown), color=style.PALE, alpha=0.5, lw=0)
    step = 2 if shown < 500 else 3
    ticks = [(at, m, year) for at, m, year in months if m % step == 1]
    names = [climate.MONTHS[m - 1] + (f"\nyear {year + 1}" if m == 1 else "") for _, m, year in ticks]
    ax.set(
        xlim=(0, shown),
        ylim=(0, top),
        ylabel="Moisture content (%)",
        xlabel="First of the month (gray: winter)",
        title=f"{_name(wood)} {thickness}, stacked 15 {start:%B}",
    )
    ax.set_xticks([t[0] for t in ticks], names)
    ax.grid(axis="x", visible=False)
    ax.legend(loc="upper right", title="shaded: four stacks in five")

    days = forecast.days_to(20)
    if days.likely != days.likely:
        reached = f"it is not likely to reach 20 % within {forecast.horizon_days // 365} years"
    else:
        reached = f"20 % on {day_name(start, days.likely)} (likely; {_between(start, days)})"
    sentence = (
        f"{_name(wood)} {thickness}, stacked on 15 {start:%B} at {place}: {reached}. "
        f"Outdoors it gets no drier than {forecast.stops_at_pct:.0f} %."
    )
    if forecast.basis != "published range":
        sentence += (
            " No published drying time for this wood: the forecast goes by its density, and is rougher."
        )
    return fig, sentence, _dates(forecast)


def _name(wood):
    return wood[0].upper() + wood[1:]


def _between(start, days):
    if days.high != days.high:
        return f"from {day_name(start, days.low)}, or not at all"
    return f"four in five from {day_name(start, days.low)} to {day_name(start, days.high)}"


def _dates(forecast):
    rows = ""
    for mc in (30, 25, 20, 15):
        days = forecast.days_to(mc)
        number = f"{days.likely:.0f}" if days.likely == days.likely else "-"
        cells = "".join(f"<td>{day_name(forecast.start, x)}</td>" for x in days)
        rows += f"<tr><td>Down to {mc} %</td><td>{number}</td>{cells}</tr>"
    head = "<tr><th></th><th>likely days</th><th>fast stack</th><th>likely</th><th>slow stack</th></tr>"
    return f"<table>{head}{rows}</table>"


@plots.plotted
def starts(wood, thickness, place, mc_pct):
    """Draw when a stack is down to a moisture content, for each month in which it may be built.

    Parameters
    ----------
    wood, thickness, place : str
        As in `woodcalc.drying.air_dry`.
    mc_pct : float
        Wanted moisture content, %.

    Returns
    -------
    (Figure, str)

    Examples
    --------
    >>> starts("northern red oak", "4/4", "Madison, WI", 20)[1][:80]
    'Northern red oak 4/4 at Madison, WI, down to 20 %: stacked in June it takes 72 d'
    """
    table = drying.by_start(wood, thickness, place, mc_pct)
    begin = np.cumsum(np.append(0, climate.MONTH_DAYS[:-1])) + 14
    months = np.arange(1, 13)
    fig = plots.new_figure()
    ax = fig.add_axes([0.2, 0.15, 0.76, 0.75])
    top = 730 if drying.thickness(thickness) < 1.75 else 1095
    likely, low, high = (np.minimum(begin + table[c].fillna(9999), top) for c in ("likely", "low", "high"))
    ok = (table.likely.notna() & (begin + table.likely < top)).to_numpy()
    wait = {"color": style.PALE, "edgecolor": style.SOFT, "lw": 0.8}
    band = {"color": style.SKY, "edgecolor": style.BLUE, "alpha": 0.45, "lw": 0.8}
    ax.plot(months, begin, color=style.INK, ls=":", marker=".", lw=1.4, ms=8)
    ax.bar(months[ok], (likely - begin)[ok], bottom=begin[ok], width=0.16, **wait)
    ax.bar(months[ok], (high - low)[ok], bottom=low[ok], width=0.56, **band)
    ax.plot(months[ok], likely[ok], color=style.BLUE, ls="none", marker="D", ms=10, mec=style.INK, mew=1)
    above = {"xytext": (0, 11), "textcoords": "offset points", "ha": "center", "weight": "bold"}
    for m in months[ok]:
        ax.annotate(f"{table.likely[m]:.0f}", (m, likely[m]), **above)
    for m in months[~ok]:
        ax.text(
            m, begin[m - 1] + 20, "later, or never", rotation=90, ha="center", va="bottom", color=style.ORANGE
        )
    firsts = np.cumsum(np.append(0, np.tile(climate.MONTH_DAYS, 3)))
    quarter = [k for k in range(0, 37, 3 if top < 800 else 6) if firsts[k] <= top]
    names = [climate.MONTHS[k % 12] + (f", year {k // 12 + 1}" if k and k % 12 == 0 else "") for k in quarter]
    ax.set_yticks(firsts[quarter], names)
    ax.set_xticks(months, [m[0] for m in climate.MONTHS])
    ax.grid(axis="x", visible=False)
    ax.text(9.4, begin[8] - 34, "stacked here", va="top", ha="left", color=style.INK)
    ax.set(
        xlim=(0.4, 12.6),
        ylim=(0, top + 30),
        xlabel="Stacked in the middle of (month)",
        title=f"When is it down to {mc_pct:g} %?  (bold: days)",
    )
    if not ok.any():
        tail = f"no month of stacking gets it there within {top // 365} years. Outdoor air at this place is too damp."
        return fig, f"{_name(wood)} {thickness} at {place}, down to {mc_pct:g} %: {tail}"
    best, worst = table.likely.idxmin(), table.likely.idxmax()
    sentence = (
        f"{_name(wood)} {thickness} at {place}, down to {mc_pct:g} %: stacked in {month_name(best)} it takes "
        f"{table.likely[best]:.0f} days, stacked in {month_name(worst)} {table.likely[worst]:.0f}"
    )
    sentence += (
        "." if ok.all() else f"; {(~ok).sum()} months of stacking get there later than shown, or never."
    )
    return fig, sentence


def month_name(number):
    """Name of a month from its number.

    Examples
    --------
    >>> month_name(5)
    'May'
    """
    return f"{date(YEAR, int(number), 1):%B}"


@plots.plotted
def side_by_side(place, month, mc_pct):
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
    (Figure, str)

    Examples
    --------
    >>> side_by_side("Madison, WI", 5, 20)[1][:76]
    'Stacked on 15 May at Madison, WI, to 20 %: yellow-poplar 4/4 takes 60 days, '
    """
    table = drying.grid([place], [stacked(month)], WOODS, THICKNESSES, mc_pct)
    days = table.days.to_numpy().reshape(len(WOODS), len(THICKNESSES))
    fig = plots.new_figure()
    ax = fig.add_axes([0.25, 0.16, 0.71, 0.63])
    top, later = 730, 775
    rows = np.arange(len(WOODS))[::-1]
    shown = np.where(days > top, later, days)
    for y, row in zip(rows, shown, strict=True):
        ax.plot(row, np.full(4, y), color=style.PALE, lw=6, solid_capstyle="round", zorder=1)
    for k, name in enumerate(THICKNESSES):
        look = plots.SERIES[k]
        ax.plot(
            shown[:, k],
            rows,
            color=look["color"],
            marker=look["marker"],
            ls="none",
            ms=11,
            mec=style.INK,
            mew=0.8,
            label=name,
        )
    for y, row in zip(rows, days, strict=True):
        if np.isnan(row).all():
            ax.text(12, y, NEVER, va="center", color=style.ORANGE)
    ax.axvline((top + later) / 2 + 4, color=style.SOFT, lw=1)
    ax.set_xticks([*range(0, 701, 100), later], [*range(0, 701, 100), "later"])
    ax.set_yticks(rows, WOODS)
    ax.tick_params(axis="y", length=0)
    ax.set(xlim=(0, later + 25), ylim=(-0.6, len(WOODS) - 0.4), xlabel=f"Days to {mc_pct:g} %, likely")
    ax.grid(axis="y", visible=False)
    ax.set_title(f"Stacked 15 {stacked(month):%B}", y=1.15, pad=0)
    ax.legend(loc="lower left", bbox_to_anchor=(-0.02, 0.97), ncols=4, columnspacing=1.4, handletextpad=0.2)
    told = {
        (w, t): days[WOODS.index(w), THICKNESSES.index(t)]
        for w in ("yellow-poplar", "white oak")
        for t in ("4/4", "8/4")
    }
    words = [
        f"{w} {t} {'takes ' + format(n, '.0f') + ' days' if n == n else 'does not get there'}"
        for (w, t), n in told.items()
    ]
    return fig, f"Stacked on 15 {stacked(month):%B} at {place}, to {mc_pct:g} %: {', '.join(words)}."


@plots.plotted
def hidden_stack(day, pace, wood="northern red oak", place="Madison, WI", month=5):
    """Draw the weighings of a stack whose pace is not told, up to a day, over the usual forecast.

    Parameters
    ----------
    day : int
        Days after stacking, 0-150.
    pace : float
        The stack's pace against the usual, 0.5-1.5.

    Returns
    -------
    (Figure, str)

    Examples
    --------
    >>> hidden_stack(0, 0.8)[1]
    'Day 0: the stack is at 83.1 %.'
    """
    mc = hidden_mc(np.arange(181), pace, wood, place, month)
    usual = drying.air_dry(wood, 1.0, place, stacked(month)).daily.iloc[:181:3]
    fig = plots.new_figure()
    ax = fig.add_axes([0.10, 0.15, 0.75, 0.75])
    ax.plot(usual.day, usual.likely, color=style.SOFT, lw=2, ls="--")
    plots.end_label(ax, 180, usual.likely.iloc[-1], "the usual\nstack", style.SOFT)
    seen = np.unique(np.append(np.arange(0, day, 10), day))
    ax.plot(seen, mc[seen], color=style.ORANGE, marker="s", ls="none", ms=8, mec=style.INK)
    ax.annotate(
        f"{mc[day]:.1f} %",
        (day, mc[day]),
        xytext=(8, 14 if mc[day] > 24 else 22),  # clear of the line at 20 %
        textcoords="offset points",
        weight="bold",
        color=style.ORANGE,
        ha="left" if day < 150 else "right",
    )
    ax.axhline(20, color=style.INK, lw=1)
    ax.text(1, 21.5, "20 %", va="bottom")
    ax.set(xlim=(0, 180), ylim=(0, 95), xlabel="Days after stacking (days)", ylabel="Moisture content (%)")
    ax.set_title("This stack, weighed (squares)")
    return fig, f"Day {day}: the stack is at {mc[day]:.1f} %."


def hidden_mc(days, pace, wood="northern red oak", place="Madison, WI", month=5):
    """Moisture content of a stack that dries at `pace` times the usual, on given days.

    Examples
    --------
    >>> round(float(hidden_mc(0, 1.0)), 1)
    83.1
    """
    forecast = drying.air_dry(wood, 1.0, place, stacked(month))
    return forecast.at_pace(pace, days)


def wood_names():
    """Names of all woods, as the lesson's lists show them.

    Examples
    --------
    >>> "white oak" in wood_names()
    True
    """
    return sorted(species.names(), key=str.lower)
