"""Pictures of wood in the house: a year of a table top, boards of one log before and after, a panel in its groove."""

from __future__ import annotations

from functools import cache

import numpy as np

from woodcalc import movement, shrinkage
from woodcalc import species as woods
from woodcalc.checks import capital
from woodcalc.climate import MONTHS
from woodcalc.figures import style
from woodcalc.figures.chart import Frame
from woodcalc.figures.drawing import Drawing, box

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


@style.drawn
def top_year(
    place: str, species: str, sawn: str, width_in: float, lag_days: float
) -> tuple[Drawing, str, str]:
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
    (Drawing, str, str)

    Examples
    --------
    >>> top_year("Madison, WI", "black cherry", "flat-sawn", 36, 30)[1][-88:]
    ' a swing of 0.50 in; in an unheated one it would be from +0.55 to +0.73 in off its size.'
    """
    house = movement.piece_year(width_in, MADE_MC_PCT, species, sawn, _air(place, True), lag_days)
    shed = movement.piece_year(width_in, MADE_MC_PCT, species, sawn, _air(place, False), lag_days)
    page = Drawing(8.0, 4.8)
    low, high = house.narrowest, house.widest
    heated, unheated = (year.months["width_in"].to_numpy() - width_in for year in (house, shed))
    page.title(16, 24, f"A {width_in:g} in top, {sawn}, made at 7 % MC")
    _a_top(page, width_in)
    _its_edge(page, [("made", 0.0)] + [(MONTHS[m - 1], float(heated[m - 1])) for m in (low, high)])
    chart = Frame.chart(
        page, page.part(top=0.44), (0.6, 12.4), (-1.2, 2.6), range(1, 13), range(-1, 3), "Month (January to December)",
        "Wider (in)", "", [m[0] for m in MONTHS], beside="unheated",
    )  # fmt: skip
    chart.rule(y=0, color=style.INK, width=2.2)
    month, between = np.arange(1, 13), np.linspace(1, 12, 111)
    drawn, names = [chart.at(np.column_stack([between, 0 * between]))], []
    for n, (change, name) in enumerate(((heated, "heated"), (unheated, "unheated"))):
        chart.line(month, change, n)
        drawn.append(chart.at(np.column_stack([between, np.interp(between, month, change)])))
        names.append((change[-1], name, style.SERIES[n]["color"]))
    chart.end_labels(12, names, dx=22)
    chart.mark([low, high], heated[[low - 1, high - 1]], "D", style.GOLD, 8, width=2.2)
    for m, side in ((low, 1), (high, -1)):
        drawn.append(_number(chart, m, heated[m - 1], side, np.vstack(drawn)))
    said = (
        f"At {place} a {width_in:g} in {sawn} top of {species}, made at 7 % MC, is in a heated house narrowest "
        f"in {MONTHS[low - 1]} ({_inches(heated[low - 1])} in) and widest in {MONTHS[high - 1]} "
        f"({_inches(heated[high - 1])} in), a swing of {house.change_in:.2f} in; in an unheated one it would be from "
        f"{_inches(unheated.min())} to {_inches(unheated.max())} in off its size."
    )
    return page, said, _year_table(house, shed)


def _a_top(page, width_in):
    """The top from above, 48 in wide at most, and what of it is shown larger."""
    wide = width_in * 5.4
    left, top, foot = 24.0, 72.0, 186.0
    page.polygons([box(left, top, left + wide, foot)], style.WOOD, style.BARK, 2.4)
    joints = np.arange(6, width_in, 6) * 5.4 + left
    page.lines([[(x, top), (x, foot)] for x in joints], style.BARK, 1)
    page.text(left, 54, "from above, grain up and down", size=0.85)
    page.polygons([box(left + wide - 8, 116, left + wide + 16, 142)], edge=style.INK, width=2)
    page.lines(
        [[(left + wide + 16, y), (372, to)] for y, to in ((116, 72), (142, 186))], style.INK, 1.0, "4 4"
    )


def _its_edge(page, states):
    """The right edge of the top, large: as made, at its narrowest and at its widest; 80 px to the inch."""
    edge = Frame(page, (372, 72, 320, 114), (-1.4, 2.6), (3, 0))
    page.text(372, 54, "its edge, larger: marks every 1/4 in", size=0.85)
    for k, (name, change) in enumerate(states):
        fill, dash = ("none", "8 5") if name == "made" else (style.WOOD, "")
        edge.shapes([[(-1.4, k + 0.12), (change, k + 0.12), (change, k + 0.88), (-1.4, k + 0.88)]], fill,
                    style.SOFT if dash else style.BARK, 2.2, dash=dash)  # fmt: skip
        words = name if name == "made" else f"{name} {_inches(change)} in"
        edge.text(max(change, 0.0), k + 0.5, words, dx=9, bold=bool(k))
    edge.strokes([[(0, 0), (0, 3)]], style.SOFT, 1.6, "4 4")
    edge.strokes(
        [[(-1.4, 3), (2.6, 3)], *([(x, 3), (x, 2.9)] for x in np.arange(-1.25, 2.6, 0.25))], width=1.4
    )


def _number(chart, month, change, side, drawn):
    """Write a change beside its point, the nearest below (1) or above (-1) that covers nothing drawn; its outline."""
    page, words = chart.page, _inches(change)
    wide, tall = page.width(words, bold=True) / 2, 0.36 * page.type
    px, py = chart.at((month, change))
    x = np.clip(
        px, chart.box[0] + 4 + wide, chart.at((12, 0))[0] - wide
    )  # clear of the axis and of the names
    near = drawn[np.abs(drawn[:, 0] - x) < wide + 4, 1]
    steps = np.arange(tall + 14, 200)  # clear of the mark
    heights = py + np.column_stack([side * steps, -side * steps]).ravel()
    foot = chart.at((12, chart.ylim[0]))[1] - tall - 8
    y = next(h for h in heights if h < foot and (np.abs(near - h) > tall + 5).all())
    page.text(x, y, words, "middle", style.BLUE, bold=True)
    return np.array([(x + a * wide, y + b * tall) for a in (-1, 0, 1) for b in (-1, 1)])


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


@style.drawn
def one_log(species: str, mc_pct: float) -> tuple[Drawing, str]:
    """Draw the boards of one log where they lay, green and dried, the change drawn 3 times larger.

    Parameters
    ----------
    species : str
    mc_pct : float
        Moisture content that they have come down to, 4 to 30 %.

    Returns
    -------
    (Drawing, str)

    Examples
    --------
    >>> one_log("northern red oak", 8)[1][:59]
    'Northern red oak, dried to 8 %. The flat-sawn board nearest'
    """
    wood = woods.get(species)
    shapes = [shrinkage.board_shape(w, t, x, y, wood, 30, mc_pct, points=12) for _, w, t, x, y in PIECES]
    page = Drawing(8.0, 4.8)
    log = Frame(page, page.part(margin=0), (-9.6, 23.4), (-9.9, 9.9))
    page.polygons([log.circle(LOG_RADIUS_IN)], "#f3e8d6", style.BARK, 7)
    log.mark(0, 0, "o", style.BARK, 3.5)
    log.shapes(
        [s.before + s.offset_in + TIMES * (s.after - s.before) for s in shapes], style.WOOD, style.BARK, 2.8
    )
    page.polygons([log.circle(r) for r in np.arange(1.5, 9, 1.5)], edge=style.BARK, width=0.8, opacity=0.55)
    log.shapes([s.before + s.offset_in for s in shapes], edge=style.BLUE, width=2.1, dash="8 4")
    page.title(480, 22, f"dried to {mc_pct:g} % MC")
    page.text(480, 58, f"dashed: green. Drawn {TIMES} x")
    for k, ((name, w, *_), s) in enumerate(zip(PIECES, shapes, strict=True), 1):
        log.text(*s.offset_in, f"{k}", at="middle", bold=True)
        y = 43 + 64 * k
        page.text(480, y, f"{k}", bold=True)
        page.text(506, y, name, bold=True)
        bent = f"cup {s.cup_in:.2f}" if s.cup_in > 0.005 else "flat"
        bent = f"skew {abs(s.diamond_deg):.1f}°" if name.startswith("square") else bent
        page.text(506, y + 28, f"{w:g} to {s.width_in:.2f} in, {bent}")
    flat, quarter, post = shapes[2], shapes[3], shapes[5]
    said = (
        f"{capital(wood.name)}, dried to {mc_pct:g} %. The flat-sawn board nearest the heart cups "
        f"{flat.cup_in:.2f} in and the outer one {shapes[0].cup_in:.2f} in, hollow toward the bark; the quarter-sawn "
        f"board shrinks from 6 to {quarter.width_in:.2f} in and stays flat; the square post turns into a diamond, its "
        f"corners {abs(post.diamond_deg):.1f} degrees off square."
    )
    return page, said


@style.drawn
def panel_in_groove(
    place: str, species: str, sawn: str, panel_in: float, made_mc_pct: float
) -> tuple[Drawing, str]:
    """Draw the edge of a loose panel in its groove: as made, in the driest and in the dampest month.

    Parameters
    ----------
    place, species, sawn : str
    panel_in : float
        Width of the panel, pinned at its middle, in.
    made_mc_pct : float

    Returns
    -------
    (Drawing, str)

    Examples
    --------
    >>> panel_in_groove("Madison, WI", "white oak", "flat-sawn", 14, 7)[1][-128:-74]
    'Leave 0.14 in at each side, in grooves 0.30 in deep: a'
    """
    year = movement.piece_year(panel_in, made_mc_pct, species, sawn, _air(place, True), 30)
    varies = movement.varies(species)
    gap = movement.gap_to_leave(year, margin=varies)
    more = 1 + varies
    over = "a fifth" if varies == movement.VARIES else f"{100 * varies:.0f} %"
    months, depth = year.months["mc_pct"], gap.groove_in
    page = Drawing(8.0, 4.8)
    page.title(10, 22, f"The left edge of a {panel_in:g} in panel in its frame")
    inch = Frame(page, page.part(margin=0), (-0.78, 1.66), (0, 1.464))
    states = (
        ("as made", gap.side_in, made_mc_pct),
        (f"driest, {MONTHS[year.narrowest - 1]}", gap.side_in + more * year.shrinks_in / 2, months.min()),
        (f"dampest, {MONTHS[year.widest - 1]}", gap.side_in - more * year.grows_in / 2, months.max()),
    )
    for k, (name, free, mc) in enumerate(states):
        y = 1.03 - 0.37 * k
        outer = [(depth, y + 0.26), (-0.13, y + 0.26), (-0.13, y), (depth, y)]
        groove = [(depth, y + 0.09), (0, y + 0.09), (0, y + 0.17), (depth, y + 0.17)]
        inch.shapes([outer + groove], style.PALE, width=2.5)
        inch.shapes([box(free, y + 0.095, 1.2, y + 0.165)], style.WOOD, style.BARK, 2.5)
        inch.text(-0.75, y + 0.17, name, bold=True)
        inch.text(-0.75, y + 0.08, f"{mc:.1f} % MC")
        free = max(free, 0.0)
        inch.text(1.215, y + 0.17, f"gap {free:.2f} in", color=style.BLUE, bold=True)
        inch.text(1.215, y + 0.08, f"held {depth - free:.2f} in")
    eighths = [[(x, 0.19), (x, 0.155 if x % 0.5 == 0 else 0.17)] for x in np.arange(0, 1.26, 0.125)]
    inch.strokes([[(0, 0.19), (1.25, 0.19)], *eighths], width=1.8)
    for x, word in ((0.0, "0"), (0.5, "1/2"), (1.0, "1")):
        inch.text(x, 0.118, word, at="middle")
    inch.text(0.5, 0.038, "inches from the bottom of the groove", at="middle")
    said = (
        f"A {panel_in:g} in {sawn} panel of {species}, made at {made_mc_pct:g} % and centered in its frame in a heated "
        f"house at {place}, grows {year.grows_in:.2f} in and shrinks {year.shrinks_in:.2f} in over the year. Leave "
        f"{gap.side_in:.2f} in at each side, in grooves {gap.groove_in:.2f} in deep: {over} more than the average "
        f"board "
        "needs, the wood 30 days behind the air."
    )
    return page, said


def gauge_mc_pct(month: int, low_mc_pct: float, high_mc_pct: float, dampest: int) -> float:
    """Return the moisture content of the gauge board of an unknown house in a month: a smooth wave over the year.

    Examples
    --------
    >>> gauge_mc_pct(8, 6, 12, 8), gauge_mc_pct(2, 6, 12, 8)
    (12.0, 6.0)
    """
    mid, half = (high_mc_pct + low_mc_pct) / 2, (high_mc_pct - low_mc_pct) / 2
    return float(mid + half * np.cos(2 * np.pi * (month - dampest) / 12))


def gauge_width_in(month: int, low_mc_pct: float, high_mc_pct: float, dampest: int) -> float:
    """Return the width of the gauge board, flat-sawn beech, 24 in at 8 % MC.

    Examples
    --------
    >>> round(gauge_width_in(8, 6, 12, 8), 2)
    24.42
    """
    mc = gauge_mc_pct(month, low_mc_pct, high_mc_pct, dampest)
    return shrinkage.size_after(GAUGE_IN, "American beech", 8, mc)


@style.drawn
def gauge_board(month: int, low_mc_pct: float, high_mc_pct: float, dampest: int) -> tuple[Drawing, str]:
    """Draw the right edge of the gauge board against a rule, in a month.

    Parameters
    ----------
    month : int
    low_mc_pct, high_mc_pct, dampest :
        What the picture does not tell.

    Returns
    -------
    (Drawing, str)
    """
    width = gauge_width_in(month, low_mc_pct, high_mc_pct, dampest)
    page = Drawing(8.0, 4.8)
    rule = Frame(page, page.part(margin=0), (23.3, 25.0), (0, 1.02))
    rule.shapes([box(23.2, 0.42, width, 0.78)], style.WOOD, style.BARK, 2.8)
    rule.strokes(
        [[(23.2, y), (width - 0.02, y)] for y in np.linspace(0.47, 0.73, 6)], style.BARK, 1.1, opacity=0.6
    )
    marks = np.arange(2335, 2496)
    long = np.where(marks % 10 == 0, 0.12, np.where(marks % 5 == 0, 0.085, 0.05))
    rule.strokes([[(x, 0.38), (x, 0.38 - far)] for x, far in zip(marks / 100, long, strict=True)], width=1.4)
    rule.strokes([[(23.35, 0.38), (24.95, 0.38)]], width=2.1)
    for x in np.arange(23.4, 24.9, 0.2):
        rule.text(x, 0.21, f"{x:.1f}", at="middle")
    rule.text(24.15, 0.10, "inches from the left edge, marks every 1/100", at="middle")
    rule.strokes([[(width, 0.34), (width, 0.84)]], style.BLUE, 2.8)
    rule.text(width, 0.87, f"{width:.2f} in", dx=9, color=style.BLUE, bold=True)
    page.title(47, 33, f"The gauge board in {MONTHS[month - 1]}")
    said = f"In {MONTHS[month - 1]} the gauge board, flat-sawn beech, 24.00 in wide at 8 % MC, is {width:.2f} in wide."
    return page, said
