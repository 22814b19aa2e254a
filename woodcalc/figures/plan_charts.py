"""Charts of the printed plan, by matplotlib: letters as outlines, the same on every machine; for black and white."""

from __future__ import annotations

import functools
from datetime import timedelta
from typing import TYPE_CHECKING, Any

import matplotlib as mpl
import numpy as np
from matplotlib.figure import Figure

from woodcalc.checks import blank
from woodcalc.climate import MONTHS
from woodcalc.dates import calendar_day, span_told
from woodcalc.figures import style
from woodcalc.moisture import FURNITURE_PCT
from woodcalc.plan import steps

if TYPE_CHECKING:
    from woodcalc.plan.job import Plan


SIZE = (9.4, 2.9)  # on the page 7.3 in wide, so that type of 13 points prints as 10

_LOOK: Any = {
    "font.family": "DejaVu Sans",
    "font.size": 13,
    "axes.titlesize": 15,
    "axes.titleweight": "bold",
    "axes.titlelocation": "left",
    "axes.titlepad": 12,
    "axes.titley": 1.0,  # a fixed place saves a search for one, 10 ms a picture
    "axes.labelsize": 13,
    "axes.edgecolor": style.SOFT,
    "axes.labelcolor": style.INK,
    "axes.spines.top": False,
    "axes.spines.right": False,
    "axes.grid": True,
    "axes.axisbelow": True,
    "grid.color": style.PALE,
    "grid.linewidth": 1.0,
    "xtick.labelsize": 12.5,
    "ytick.labelsize": 12.5,
    "xtick.color": style.INK,
    "ytick.color": style.INK,
    "text.color": style.INK,
    "lines.linewidth": 2.8,
    "lines.markersize": 9,
    "legend.frameon": False,
    "legend.fontsize": 12.5,
    "svg.fonttype": "path",  # the same letters on every machine
    "svg.hashsalt": "woodcalc",  # the same file from run to run
}


def _printed(function):
    """Draw in the look of `style`."""

    @functools.wraps(function)
    def wrapper(plan):
        with mpl.rc_context(_LOOK):
            return function(plan)

    return wrapper


class _Figure(Figure):
    """Apart from pyplot, so that nothing is echoed or leaked; saved in the look of the house."""

    def savefig(self, *args, **kwargs):
        with mpl.rc_context(_LOOK):
            super().savefig(*args, **kwargs)


def _new_figure(width_in, height_in):
    return _Figure(figsize=(width_in, height_in), dpi=100)


def _month_axis(ax, first, last):
    """Mark the first of each month between two dates on an axis of days from `first`."""
    days, names = [], []
    for year in range(first.year, last.year + 1):
        for month in range(1, 13):
            day = (first.replace(year=year, month=month, day=1) - first).days
            if 0 <= day <= (last - first).days:
                days.append(day)
                names.append(MONTHS[month - 1] + (f"\n{year}" if month == 1 or not days[:-1] else ""))
    step = 1 if len(days) <= 14 else 2 if len(days) <= 26 else 3
    ax.set_xticks(days[::step], names[::step])
    ax.set_xlim(0, (last - first).days)


@_printed
def year_of_the_job(plan: Plan) -> tuple[Figure, str]:
    """Draw the job as bars on a line of months: logs, saw, weeks outdoors with the 20 % mark, last points.

    Parameters
    ----------
    plan : Plan

    Returns
    -------
    (Figure, str)
    """
    forecast = plan.forecasts[plan.species.name]
    season, mc = steps.first_season(forecast)
    ways = plan.step("finish").table.query("days > 0")  # those that get there, if anything is left to do
    first = plan.start - timedelta(days=45)
    low, likely, high = forecast.date_of(20)
    last = season + timedelta(days=int(max(ways["days"].max() if len(ways) else 0, 30)))
    last = max(last, high or season)
    last += (last - first) * 0.16  # room for the words behind the bars

    def at(when):
        return (when - first).days

    rows = [("Logs, yard, stickers", at(plan.start) - 35, at(plan.start), "", "white", "///"),
            (f"{plan.nominal} on sticks", at(plan.start), at(season), "", style.WOOD, "")]  # fmt: skip
    rows += [
        (r.way.capitalize(), at(season), at(season) + r.days, f"{r.days:.0f} days", style.PALE, "")
        for r in ways.itertuples(index=False)
    ]
    fig = _new_figure(SIZE[0], 0.9 + 0.48 * len(rows))
    ax = fig.add_axes([0.21, 0.62 / fig.get_figheight(), 0.77, 1 - 0.70 / fig.get_figheight()])
    for k, (_, a, b, text, color, hatch) in enumerate(rows):
        ax.barh(-k, b - a, left=a, height=0.6, color=color, edgecolor=style.INK, linewidth=1.2, hatch=hatch)
        if text:
            inside = b - a > 36
            ax.text(
                (a + b) / 2 if inside else b + 4, -k, text, ha="center" if inside else "left", va="center"
            )
    if likely and high:
        ax.plot([at(low), at(high)], [-1, -1], color=style.INK, linewidth=5, solid_capstyle="butt")
        ax.plot(at(likely), -1, marker="D", color="white", markeredgecolor=style.INK, markersize=11)
        ax.text(max(at(high), at(season)) + 5, -1, "20 %", va="center")
    ax.set_yticks(range(0, -len(rows), -1), [r[0] for r in rows])
    ax.set_ylim(-len(rows) + 0.4, 0.6)
    ax.grid(axis="y", visible=False)
    ax.tick_params(length=0)
    ax.spines["left"].set_visible(False)
    _month_axis(ax, first, last)
    band = " (bar: four stacks in five)" if likely and high else ""
    when = f"20 % about {calendar_day(likely)}{band}" if likely else "20 % is not reached"
    begin, over = calendar_day(plan.start), calendar_day(season)
    return fig, (
        f"{plan.species.name.capitalize()} {plan.nominal} goes on sticks on {begin}; {when}; the first season's drying "
        f"is over near {mc:.0f} % on {over}, "
        + ("dry enough for furniture." if mc <= FURNITURE_PCT[1] else f"{steps.last_points(forecast)}.")
    )


@_printed
def way_down(plan: Plan) -> tuple[Figure, str]:
    """Draw the drying forecast of the wood that the plan shows in detail, with its band and any readings.

    Parameters
    ----------
    plan : Plan

    Returns
    -------
    (Figure, str)
    """
    forecast = plan.forecasts[plan.species.name]
    season, mc = steps.first_season(forecast)
    days = min(max((season - plan.start).days + 60, 120), forecast.horizon_days)
    fig = _new_figure(SIZE[0], 3.4)
    ax = fig.add_axes([0.08, 0.17, 0.76, 0.78])
    _curve(ax, forecast, days)
    last = plan.start + timedelta(days=days)
    _month_axis(ax, plan.start, last)
    _, likely, high = forecast.days_to(20)
    says = f"{plan.species.name.capitalize()} {plan.nominal} starts near {forecast.start_mc_pct:.0f} %"
    if not blank(likely) and likely < days:
        ax.plot(likely, 20, marker="D", color="white", markeredgecolor=style.INK, markersize=11, zorder=5)
        told = span_told(*forecast.date_of(20), likely_first=True)
        says += f" and is down to 20 % after {likely:.0f} days, on {told}"
        says += "; in brackets four stacks in five" if not blank(high) else ""
    least, most = FURNITURE_PCT
    gap = f"{max(mc - most, 0):.0f} to {mc - least:.0f} points above" if mc > most else "dry enough for"
    return fig, f"{says}; the first season ends near {mc:.0f} %, {gap} furniture."


def _curve(ax, forecast, days):
    daily = forecast.daily.iloc[: days + 1]
    x = daily["day"].to_numpy()
    top = 10 * np.ceil(max(daily["high"].iloc[0], 40) / 10)
    ax.fill_between(x, daily["low"], daily["high"], color=style.PALE, linewidth=0)
    for name, edge in (("low", ":"), ("high", ":")):
        ax.plot(x, daily[name], color=style.SOFT, linestyle=edge, linewidth=1.3)
    ax.plot(x, daily["likely"], color=style.INK, linewidth=2.6)
    ax.axhspan(*FURNITURE_PCT, facecolor="#f0f0f0", edgecolor=style.SOFT, linewidth=0.8)
    ax.axhline(20, color=style.SOFT, linewidth=1, linestyle="--")
    end = days * 1.012
    ax.text(end, 21, "20 %", va="center")
    ax.text(end, 7, "furniture\n6 to 8 %", va="center")
    at = round(days * 0.16)
    ax.annotate("likely", (x[at], daily["likely"].iloc[at]), xytext=(40, 34), textcoords="offset points", va="center",
                arrowprops={"arrowstyle": "-", "color": style.INK})  # fmt: skip
    at = round(days * 0.28)
    ax.annotate("four stacks in five", (x[at], daily["high"].iloc[at]), xytext=(30, 26), textcoords="offset points",
                va="center", arrowprops={"arrowstyle": "-", "color": style.SOFT})  # fmt: skip
    ax.set(ylim=(0, top), ylabel="Moisture content (%)")


@_printed
def year_of_air(plan: Plan) -> tuple[Figure, str]:
    """Draw where wood comes to rest through the year, outdoors under a roof and in the heated house.

    Parameters
    ----------
    plan : Plan

    Returns
    -------
    (Figure, str)
    """
    table = plan.step("air").table
    x = np.arange(1, 13)
    fig = _new_figure(*SIZE)
    ax = fig.add_axes([0.08, 0.13, 0.72, 0.82])
    ax.axhspan(*FURNITURE_PCT, facecolor="#f0f0f0", edgecolor=style.SOFT, linewidth=0.8)
    ax.plot(x, table["out_emc_pct"], color=style.INK, linestyle="-", marker="o", label="outdoors")
    ax.plot(
        x,
        table["emc_pct"],
        color=style.INK,
        linestyle="--",
        marker="s",
        markerfacecolor="white",
        label="house",
    )
    ax.text(12.3, table["out_emc_pct"].iloc[-1], "outdoors,\nunder a roof", va="center")
    ax.text(12.3, table["emc_pct"].iloc[-1] - 0.6, "heated house", va="top")
    ax.text(12.3, 7.4, "furniture 6 to 8 %", va="center")
    ax.set(xlim=(0.7, 12.2), ylim=(2, 20), yticks=range(4, 21, 4), ylabel="Wood rests at (%)")
    ax.set_xticks(x, MONTHS)
    return fig, plan.step("air").says


@_printed
def promise_and_saw(plan: Plan) -> tuple[Figure, str]:
    """Draw, for each wood, what Doyle and International 1/4-inch promise and what the saw gives.

    Parameters
    ----------
    plan : Plan

    Returns
    -------
    (Figure, str)
    """
    scaled, sawn = plan.step("scale").table.iloc[:-1], plan.step("saw").table.iloc[:-1]
    order = sawn.groupby("species")["expected_bf"].sum().sort_values(ascending=False)
    shown, rest = list(order.index[:10]), list(order.index[10:])
    bars = (
        ("Doyle", scaled.groupby("species")["doyle_bf"].sum(), "white", ""),
        ("International 1/4", scaled.groupby("species")["international_bf"].sum(), "white", "////"),
        ("plan on", order, style.SOFT, ""),
    )
    fig = _new_figure(SIZE[0], 0.9 + 0.25 * len(shown))
    ax = fig.add_axes([0.21, 0.55 / fig.get_figheight(), 0.76, 1 - 0.62 / fig.get_figheight()])
    for k, (name, values, color, hatch) in enumerate(bars):
        places = [-i + 0.26 * (1 - k) for i in range(len(shown))]
        ax.barh(places, values.reindex(shown).fillna(0), height=0.25, color=color,
                edgecolor=style.INK, linewidth=1, hatch=hatch, label=name)  # fmt: skip
    ax.set_yticks(range(0, -len(shown), -1), [s[:24] for s in shown])
    ax.set(xlabel="Board feet (bf)", ylim=(-len(shown) + 0.5, 0.5))
    ax.grid(axis="y", visible=False)
    ax.legend(loc="lower right", frameon=True, facecolor="white", edgecolor="white", framealpha=1)
    total = scaled["doyle_bf"].sum(), scaled["international_bf"].sum(), order.sum()
    more = f" Woods not drawn: {', '.join(rest)}." if rest else ""
    return fig, (
        f"All logs: Doyle promises {total[0]:,.0f} board feet, International 1/4-inch {total[1]:,.0f}; plan on "
        f"{total[2]:,.0f} from a thin kerf.{more}"
    )
