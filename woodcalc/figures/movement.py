"""Pictures of wood in the house: a year of a table top, boards of one log before and after, a panel in its groove."""

from functools import cache

import numpy as np
from matplotlib.collections import LineCollection, PolyCollection
from matplotlib.patches import Circle

from woodcalc import movement, shrinkage
from woodcalc import species as woods
from woodcalc.climate import MONTHS
from woodcalc.figures import plots, style

MADE_MC_PCT = 7.0  # furniture is made at 6 to 8 %: Wood Handbook FPL-GTR-190 (2010), p. 13-13
TIMES = 3  # changes of shape in the log are drawn this many times larger
GAUGE_IN = 24.0  # width of the gauge board

# Boards of one log, 18 in across: name, width, thickness, place of the middle from the pith (right, up), in.
LOG_RADIUS_IN = 9.0
PIECES = (
    ("flat, outside", 8.0, 1.25, 0.0, 7.0),
    ("flat, half-way", 12.0, 1.25, 0.0, 4.6),
    ("flat, near the heart", 14.0, 1.25, 0.0, 1.6),
    ("quarter-sawn", 6.0, 1.25, 5.0, -0.9),
    ("rift-sawn", 5.0, 1.25, 4.3, -4.4),
    ("square post", 3.5, 3.5, -3.4, -3.4),
)


@cache
def _air(place, heated):
    return movement.indoors(place, heated)  # the same twelve months at every slider move; read only


def _inches(value):
    return f"{round(value, 2) + 0.0:+.2f}"  # no -0.00


@plots.plotted
def top_year(place, species, sawn, width_in, lag_days):
    """Draw how much wider or narrower than made a table top is in each month, in a heated house and an unheated one.

    Parameters
    ----------
    place : str
    species : str
    sawn : str
        "flat-sawn", "rift-sawn" or "quarter-sawn".
    width_in : float
        Width when made, at 7 % MC, up to 48 in.
    lag_days : float
        Delay of the wood behind the air.

    Returns
    -------
    (Figure, str, str)

    Examples
    --------
    >>> top_year("Madison, WI", "black cherry", "flat-sawn", 36, 30)[1][-88:]
    ' a swing of 0.51 in; in an unheated one it would be from +0.55 to +0.83 in off its size.'
    """
    house = movement.piece_year(width_in, MADE_MC_PCT, species, sawn, _air(place, True), lag_days)
    shed = movement.piece_year(width_in, MADE_MC_PCT, species, sawn, _air(place, False), lag_days)
    fig = plots.new_figure()
    ax = fig.add_axes([0.115, 0.14, 0.70, 0.75])
    month = np.arange(1, 13)
    ends, names = [], []
    for year, series, name in (
        (house, plots.SERIES[0], "heated\nhouse"),
        (shed, plots.SERIES[1], "unheated\nhouse"),
    ):
        change = year.months["width_in"].to_numpy() - width_in
        ax.plot(month, change, **series)
        ends.append(change)
        names.append((change[-1], name, series["color"]))
    ax.axhline(0, color=style.INK, linewidth=1.6)
    low, high = house.narrowest, house.widest
    for m, side in ((low, -1), (high, 1)):
        y = ends[0][m - 1]
        other = ends[1][m - 1] - y  # keep the number off the other line
        side = -1 if side > 0 and 0 < other < 0.42 else side
        at = {"ha": "center", "va": "top" if side < 0 else "bottom"}
        height = -0.06 if side < 0 < y < 0.34 else y + 0.09 * side  # not across the line of no change
        ax.text(min(max(m, 1.35), 11.6), height, _inches(y), color=style.BLUE, weight="bold", **at)
    ax.set(xlim=(0.6, 12.4), ylim=(-1.0, 2.6), xticks=month, xlabel="Month (January to December)",
           ylabel="Wider (+) than made (in)", title=f"A {width_in:g} in top, {sawn}, made at 7 % MC")  # fmt: skip
    ax.set_xticklabels([m[0] for m in MONTHS])
    ax.set_yticks(range(-1, 3))
    plots.end_labels(ax, 12, names)
    said = (
        f"At {place} a {width_in:g} in {sawn} top of {species}, made at 7 % MC, is in a heated house narrowest "
        f"in {MONTHS[low - 1]} ({_inches(ends[0][low - 1])} in) and widest in {MONTHS[high - 1]} "
        f"({_inches(ends[0][high - 1])} in), a swing of {house.change_in:.2f} in; in an unheated one it would be from "
        f"{_inches(ends[1].min())} to {_inches(ends[1].max())} in off its size."
    )
    return fig, said, _year_table(house, shed)


def _year_table(house, shed):
    rows = "".join(
        f"<tr><td>{name}</td><td>{h.rh_pct:.0f}</td><td>{h.mc_pct:.1f}</td><td>{h.width_in:.2f}</td>"
        f"<td>{s.mc_pct:.1f}</td><td>{s.width_in:.2f}</td></tr>"
        for name, h, s in zip(MONTHS, house.months.itertuples(), shed.months.itertuples(), strict=True)
    )
    return (
        "<table><tr><th>Month</th><th>House humidity (%)</th><th>Wood (% MC)</th><th>Width (in)</th>"
        f"<th>Unheated: wood (% MC)</th><th>Width (in)</th></tr>{rows}</table>"
    )


@plots.plotted
def one_log(species, mc_pct):
    """Draw the boards of one log where they lay, green and dried, the change drawn 3 times larger.

    Parameters
    ----------
    species : str
    mc_pct : float
        Moisture content that they have come down to, 4 to 30 %.

    Returns
    -------
    (Figure, str, str)

    Examples
    --------
    >>> one_log("northern red oak", 8)[1][:59]
    'Northern red oak, dried to 8 %. The flat-sawn board nearest'
    """
    wood = woods.get(species)
    shapes = [shrinkage.board_shape(w, t, x, y, wood, 30, mc_pct, points=12) for _, w, t, x, y in PIECES]
    fig = plots.new_figure()
    ax = fig.add_axes([0, 0, 1, 1])
    ax.set(xlim=(-9.6, 23.4), ylim=(-9.9, 9.9))
    ax.axis("off")
    ax.add_patch(Circle((0, 0), LOG_RADIUS_IN, facecolor="#f3e8d6", edgecolor=style.BARK, linewidth=5))
    around = np.linspace(0, 2 * np.pi, 33)
    ring = np.column_stack([np.cos(around), np.sin(around)])
    ax.add_collection(LineCollection([r * ring for r in np.arange(1.5, 9, 1.5)], colors=style.BARK, linewidths=0.6,
                                     alpha=0.55))  # fmt: skip
    ax.plot(0, 0, marker="o", color=style.BARK, markersize=5)
    green = [s.before + s.offset_in for s in shapes]
    dried = [s.before + s.offset_in + TIMES * (s.after - s.before) for s in shapes]
    ax.add_collection(PolyCollection(dried, facecolor=style.WOOD, edgecolor=style.BARK, linewidth=2))
    ax.add_collection(LineCollection(green, colors=style.BLUE, linewidths=1.5, linestyles="--"))
    ax.text(10.2, 9.0, f"dried to {mc_pct:g} % MC", weight="bold", size="large", va="center")
    ax.text(10.2, 7.5, f"dashed: green. Drawn {TIMES} x", va="center")
    y = 5.5
    for k, ((name, w, *_), s) in enumerate(zip(PIECES, shapes, strict=True), 1):
        ax.text(*s.offset_in, f"{k}", ha="center", va="center", weight="bold")
        ax.text(10.2, y, f"{k}  {name}", va="center", weight="bold")
        bent = f"cup {s.cup_in:.2f}" if s.cup_in > 0.005 else "flat"
        bent = f"skew {abs(s.diamond_deg):.1f}°" if name.startswith("square") else bent
        ax.text(11.1, y - 1.15, f"{w:g} to {s.width_in:.2f} in, {bent}", va="center")
        y -= 2.65
    flat, quarter, post = shapes[2], shapes[3], shapes[5]
    said = (
        f"{wood.name[0].upper()}{wood.name[1:]}, dried to {mc_pct:g} %. The flat-sawn board nearest the heart cups "
        f"{flat.cup_in:.2f} in and the outer one {shapes[0].cup_in:.2f} in, hollow toward the bark; the quarter-sawn "
        f"board shrinks from 6 to {quarter.width_in:.2f} in and stays flat; the square post turns into a diamond, its "
        f"corners {abs(post.diamond_deg):.1f} degrees off square."
    )
    return fig, said


@plots.plotted
def panel_in_groove(place, species, sawn, panel_in, made_mc_pct):
    """Draw the edge of a loose panel in its groove: as made, in the driest and in the dampest month.

    Parameters
    ----------
    place, species, sawn : str
    panel_in : float
        Width of the panel, pinned at its middle, in.
    made_mc_pct : float

    Returns
    -------
    (Figure, str)

    Examples
    --------
    >>> panel_in_groove("Madison, WI", "white oak", "flat-sawn", 14, 7)[1][-128:-74]
    'Leave 0.14 in at each side, in grooves 0.31 in deep: a'
    """
    year = movement.piece_year(panel_in, made_mc_pct, species, sawn, _air(place, True), 30)
    gap = movement.gap_to_leave(year)
    more = 1 + movement.VARIES
    fig = plots.new_figure()
    ax = fig.add_axes([0, 0, 1, 1])
    ax.set(xlim=(-0.78, 1.66), ylim=(0, 1.464))
    ax.axis("off")
    states = (
        ("as made", gap.side_in, made_mc_pct),
        (
            f"driest, {MONTHS[year.narrowest - 1]}",
            gap.side_in + more * year.shrinks_in / 2,
            year.months["mc_pct"].min(),
        ),
        (
            f"dampest, {MONTHS[year.widest - 1]}",
            gap.side_in - more * year.grows_in / 2,
            year.months["mc_pct"].max(),
        ),
    )
    frames, panels = [], []
    for k, (name, free, mc) in enumerate(states):
        y = 1.03 - 0.37 * k
        depth = gap.groove_in
        outer = [(depth, y + 0.26), (-0.13, y + 0.26), (-0.13, y), (depth, y)]
        frames.append([*outer, (depth, y + 0.09), (0, y + 0.09), (0, y + 0.17), (depth, y + 0.17)])
        panels.append([(free, y + 0.095), (1.2, y + 0.095), (1.2, y + 0.165), (free, y + 0.165)])
        ax.text(-0.75, y + 0.16, name, va="center", weight="bold")
        ax.text(-0.75, y + 0.07, f"{mc:.1f} % MC", va="center")
        free = max(free, 0.0)
        held = depth - free
        ax.text(1.215, y + 0.17, f"gap {free:.2f} in", va="center", color=style.BLUE, weight="bold")
        ax.text(1.215, y + 0.08, f"held {held:.2f} in", va="center")
    ax.add_collection(PolyCollection(frames, facecolor=style.PALE, edgecolor=style.INK, linewidth=1.8))
    ax.add_collection(PolyCollection(panels, facecolor=style.WOOD, edgecolor=style.BARK, linewidth=1.8))
    title = f"The left edge of a {panel_in:g} in panel in its frame"
    ax.text(-0.75, 1.395, title, weight="bold", size="large", va="center")
    ticks = np.arange(0, 1.26, 0.125)
    ax.vlines(ticks, 0.19, np.where(np.isclose(ticks % 0.5, 0), 0.155, 0.17), color=style.INK, linewidth=1.2)
    ax.plot([0, 1.25], [0.19, 0.19], color=style.INK, linewidth=1.5)
    for t, word in ((0.0, "0"), (0.5, "1/2"), (1.0, "1")):
        ax.text(t, 0.122, word, ha="center", va="center")
    ax.text(
        0.5,
        0.038,
        "inches from the bottom of the groove",
        ha="center",
        va="center",
    )
    said = (
        f"A {panel_in:g} in {sawn} panel of {species}, made at {made_mc_pct:g} % and centered in its frame in a heated "
        f"house at {place}, grows {year.grows_in:.2f} in and shrinks {year.shrinks_in:.2f} in over the year. Leave "
        f"{gap.side_in:.2f} in at each side, in grooves {gap.groove_in:.2f} in deep: a fifth more than the average "
        f"board "
        "needs, the wood 30 days behind the air."
    )
    return fig, said


def gauge_mc_pct(month, low_mc_pct, high_mc_pct, dampest):
    """Return the moisture content of the gauge board of an unknown house in a month: a smooth wave over the year.

    Examples
    --------
    >>> gauge_mc_pct(8, 6, 12, 8), gauge_mc_pct(2, 6, 12, 8)
    (12.0, 6.0)
    """
    mid, half = (high_mc_pct + low_mc_pct) / 2, (high_mc_pct - low_mc_pct) / 2
    return float(mid + half * np.cos(2 * np.pi * (month - dampest) / 12))


def gauge_width_in(month, low_mc_pct, high_mc_pct, dampest):
    """Return the width of the gauge board, flat-sawn beech, 24 in at 8 % MC.

    Examples
    --------
    >>> round(gauge_width_in(8, 6, 12, 8), 2)
    24.42
    """
    mc = gauge_mc_pct(month, low_mc_pct, high_mc_pct, dampest)
    return shrinkage.size_after(GAUGE_IN, "American beech", 8, mc)


@plots.plotted
def gauge_board(month, low_mc_pct, high_mc_pct, dampest):
    """Draw the right edge of the gauge board against a rule, in a month.

    Parameters
    ----------
    month : int
    low_mc_pct, high_mc_pct, dampest :
        What the picture does not tell.

    Returns
    -------
    (Figure, str)
    """
    width = gauge_width_in(month, low_mc_pct, high_mc_pct, dampest)
    fig = plots.new_figure()
    ax = fig.add_axes([0, 0, 1, 1])
    ax.set(xlim=(23.3, 25.0), ylim=(0, 1.02))
    ax.axis("off")
    ax.add_collection(
        PolyCollection([[(23.2, 0.42), (width, 0.42), (width, 0.78), (23.2, 0.78)]], facecolor=style.WOOD,
                       edgecolor=style.BARK, linewidth=2)
    )  # fmt: skip
    grain = np.linspace(0.47, 0.73, 6)
    ax.hlines(grain, 23.2, width - 0.02, color=style.BARK, linewidth=0.8, alpha=0.6)
    marks = np.arange(2335, 2496)
    long = np.where(marks % 10 == 0, 0.12, np.where(marks % 5 == 0, 0.085, 0.05))
    x = np.repeat(marks / 100, 3)  # one path: down, up, gap
    y = np.column_stack([0.38 - long, np.full(len(marks), 0.38), np.full(len(marks), np.nan)]).ravel()
    ax.plot(x, y, color=style.INK, linewidth=1.0)
    ax.plot([23.35, 24.95], [0.38, 0.38], color=style.INK, linewidth=1.5)
    for t in np.arange(2340, 2500, 20) / 100:
        ax.text(t, 0.21, f"{t:.1f}", ha="center", va="center")
    ax.text(24.15, 0.10, "inches from the left edge, marks every 1/100", ha="center", va="center")
    ax.plot([width, width], [0.34, 0.84], color=style.BLUE, linewidth=2)
    ax.text(width + 0.02, 0.87, f"{width:.2f} in", color=style.BLUE, weight="bold", va="center")
    ax.text(23.4, 0.95, f"The gauge board in {MONTHS[month - 1]}", weight="bold", size="large", va="center")
    said = f"In {MONTHS[month - 1]} the gauge board, flat-sawn beech, 24.00 in wide at 8 % MC, is {width:.2f} in wide."
    return fig, said
