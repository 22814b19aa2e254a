"""A solar kiln of one's own: what its dials come to, its section in feet and inches, and the pages to print."""

from __future__ import annotations

import html
import math
from calendar import month_name
from functools import lru_cache
from typing import Any

import numpy as np

from woodcalc.checks import blank, capital, count_of
from woodcalc.dates import NEVER
from woodcalc.figures import paper, style
from woodcalc.figures.chart import Frame, ticks
from woodcalc.figures.drawing import Drawing, box, oval
from woodcalc.kiln import building, give_or_take
from woodcalc.kiln.design import FIRST_DAYS, RULE_BF_PER_FT2, SolarKiln, stack_ft
from woodcalc.kiln.runs import NO_PACE
from woodcalc.kiln.runs import took as told_days
from woodcalc.moisture import FURNITURE_PCT
from woodcalc.sizes import feet_and_inches, length_told, thickness_name

STARTS: dict[str, float | None] = {
    "green, from the saw": None, "60 %": 60.0, "50 %": 50.0, "40 %": 40.0, "30 %": 30.0, "25 %": 25.0, "20 %": 20.0,
    "16 %": 16.0, "14 %": 14.0,
}  # fmt: skip
# What a timer does: hours of the fans, and the moisture above which they run day and night
TIMERS: dict[str, tuple[Any, float | None]] = {
    "day and night to 20 %, then 8 to 18 h": ((8, 18), 20.0),
    "8 to 18 h": ((8, 18), None),
    "10 to 16 h": ((10, 16), None),
    "day and night": ("always", None),
}
TARGET_PCT = 8.0
TALLEST_FT = 14.0  # of glass up the slope: judgment
LONGEST_DAYS = 200  # that the picture reaches
MOST_FT2_PER_BF = 0.3  # that the bar of glass reaches


@lru_cache(maxsize=64)
def made(
    load_bf: float, wood: str, thickness: str, start: str, place: str, bf_per_ft2: float, facing_deg: float,
    slope_deg: float, shade_h: float, glazing: int, insulation_r: float, fan_ft_min: float, fan_w: float, timer: str,
    cents: float,
) -> SolarKiln:  # fmt: skip
    """The kiln that the dials stand for; the last ones are kept, with what was worked out for them.

    Examples
    --------
    >>> made(800, "black cherry", "5/4", "20 %", "Madison, WI", 10, 180, 43, 2, 2, 11, 150, 0, "8 to 18 h", 17).shade_h
    (1.0, 1.0)
    """
    hours, night = TIMERS[timer]
    length, width = stack_ft(load_bf, thickness)
    return SolarKiln(
        wood, thickness, place, load_bf, mc_start_pct=STARTS[start], mc_target_pct=TARGET_PCT,
        glass_ft2=load_bf / bf_per_ft2, slope_deg=slope_deg, facing_deg=facing_deg,
        shade_h=(shade_h / 2, shade_h / 2), glazing=glazing, insulation_r=insulation_r, fan_ft_min=fan_ft_min,
        fan_w=fan_w or None, fan_hours=hours, night_fans_above_pct=night, length_ft=length, width_ft=width,
        usd_per_kwh=cents / 100,
    )  # fmt: skip


@style.drawn
def design(month: int, **dials: Any) -> tuple[Drawing, str, str]:
    """Draw what a kiln of one's own comes to: a charge's way down, and its glass against what the charge can bear.

    Parameters
    ----------
    month : int
        In whose middle it is loaded.
    **dials
        As in `made`.

    Returns
    -------
    (Drawing, str, str)
        The drawing, the sentence, and as HTML the sizes with the section beside them.

    Examples
    --------
    >>> dials = dict(load_bf=800, wood="black cherry", thickness="5/4", start="green, from the saw",
    ...     place="Madison, WI", bf_per_ft2=10, facing_deg=180, slope_deg=43, shade_h=0, glazing=2, insulation_r=11,
    ...     fan_ft_min=150, fan_w=0, timer="day and night to 20 %, then 8 to 18 h", cents=17)
    >>> design(5, **dials)[1][:62]
    '800 bf of black cherry 5/4, green, loaded in mid-May at Madiso'
    """
    kiln = made(**dials)
    run, _ = kiln.looks(month)
    page = Drawing(8.0, 5.6)
    _way_down(page, run)
    power = f"fans: {run.kwh:,.0f} kWh, ${run.kwh * kiln.usd_per_kwh:,.0f}"
    page.text(740, 50, power, "end", bold=True, halo=True)
    _glass(page, kiln, kiln.bears_ft2(month))
    return page, _sentence(kiln, month, run), _sizes(kiln, month)


def _way_down(page, run):
    mc, days = np.concatenate([[run.mc_start_pct], run.daily.mc_pct])[: LONGEST_DAYS + 1], run.days_to()
    chart = Frame.chart(
        page, page.part(foot=0.66), (0, LONGEST_DAYS), (0, 1.12 * mc[0] + 4), range(0, LONGEST_DAYS + 1, 40),
        ticks(0, 1.12 * mc[0] + 4, 5), "Time (days)", "Moisture (% MC)",
    )  # fmt: skip
    chart.band(y=FURNITURE_PCT)
    chart.line(np.arange(len(mc)), mc, every=0, width=4)
    if blank(days) or days > LONGEST_DAYS:
        chart.text(LONGEST_DAYS, mc[-1], f"still {mc[-1]:.0f} %", dy=-16, at="end", bold=True, halo=True)
        return
    low, high = (min(each, LONGEST_DAYS) for each in give_or_take(days))
    chart.strokes([[(low, TARGET_PCT), (high, TARGET_PCT)]], width=4.5)
    chart.mark(days, TARGET_PCT, "D", style.GOLD, 9, width=2.4)
    near_end = days > 0.7 * LONGEST_DAYS
    chart.text(
        days, TARGET_PCT, f"{days:.0f} days", dx=-4 if near_end else 4, dy=-22, at="end" if near_end else "start",
        bold=True, halo=True,
    )  # fmt: skip


def _glass(page, kiln, bears):
    """A bar of glass: safe up to where the charge checks; the rule's area, and this kiln's."""
    most = MOST_FT2_PER_BF * kiln.load_bf
    frame = Frame(page, (70, 462, 660, 34), (0, most), (0, 1))
    edge = most if bears is None else min(bears, most)
    frame.shapes([box(0, 0, edge, 1)], style.PALE if bears is None else style.SKY)
    if edge < most:
        frame.shapes([box(edge, 0, most, 1)], page.hatch(style.ORANGE))
        frame.strokes([[(edge, -0.15), (edge, 1.15)]], width=3)
    page.text(70, 420, "Glass (ft2)", bold=True)
    says = "no safe loss is published" if bears is None else "safe throughout" if edge >= most else ""
    if says:
        page.text(730, 420, says, "end")
    elif most - edge > 0.24 * most:
        frame.text(edge, 1, f"checks over {bears:.0f}", dx=4, dy=-25)
    else:
        frame.text(edge, 1, f"checks over {bears:.0f}", dx=-4, dy=-25, at="end")
    rule = kiln.load_bf / RULE_BF_PER_FT2
    frame.strokes([[(rule, 0), (rule, 1)]], width=3, dash="6 4")
    mine = min(kiln.glass, most)
    frame.mark(mine, 0.5, "D", style.GOLD, 11, width=2.4)
    left, top, width, height = frame.box
    words = [(rule, f"rule: {rule:.0f}"), (mine, f"yours: {kiln.glass:.0f}")]
    if abs(rule - mine) < 1e-9:
        words = [(rule, f"yours, and the rule's: {rule:.0f}")]
    for row, (x, said) in enumerate(words):
        px, _ = frame.at((x, 0))
        half = page.width(said) / 2
        px = min(max(px, left + half - 50), left + width - half + 50)
        page.text(
            px, top + height + (0.95 + 1.25 * row) * page.type, said, "middle", bold=row == len(words) - 1
        )


def _start_told(kiln):
    return f"from {kiln.mc_start_pct:g} %" if kiln.mc_start_pct is not None else "green"


def _sentence(kiln, month, run, between=()):
    """In plain words; of a run in full, with the days that it lies between, or of a look at it."""
    days, kwh, too_hot = run.days_to(), run.kwh, run.too_hot
    worst, bears = float(kiln.looks(month)[1].daily.loss_pct.max()), kiln.bears_ft2(month)
    wood = (
        f"{kiln.load_bf:,.0f} bf of {kiln.species} {thickness_name(kiln.thickness_in)}, {_start_told(kiln)}"
    )
    where = f"loaded in mid-{month_name[month]} at {kiln.site}"
    if blank(days) or days > LONGEST_DAYS:
        said = (
            f"{wood}, {where}, is not down to {TARGET_PCT:g} % in {LONGEST_DAYS} days: too little sun for it."
        )
    else:
        took = told_days(days, too_hot, between=between)
        said = (
            f"{wood}, {where}, is down to {TARGET_PCT:g} % in {took}; its fans take {kwh:.0f} kWh, "
            f"${kwh * kiln.usd_per_kwh:.0f}."
        )
    safe = kiln.safe_loss_pct_per_day
    if safe is None:
        return f"{said} {capital(NO_PACE)}: go slowly, and watch the faces."
    if worst > safe:
        risk = f"On a cloudless day it loses up to {worst:.1f} %, over the {safe:.1f} % that is safe, and may check"
        can = f": cover the glass down to {bears:.0f} ft2 until it is below 25 %."
    else:
        risk = f"On a cloudless day it loses up to {worst:.1f} %; {safe:.1f} % is safe"
        can = (
            ", and no usual roof of glass is too much for it."
            if math.isinf(bears)
            else f", up to {bears:.0f} ft2 of glass."
        )
    return f"{said} {risk}{can}"


def _sizes(kiln, month):
    cut, (run, clear) = building.section(kiln), kiln.looks(month)
    kwh, worst = run.kwh, float(clear.daily.loss_pct.max())
    safe = kiln.safe_loss_pct_per_day
    cells = {
        "glass": f"{kiln.glass:.0f} ft2; the printed rule says {kiln.load_bf / RULE_BF_PER_FT2:.0f}",
        "it is": f"{feet_and_inches(12 * cut.glass_up_ft)} up the slope, {feet_and_inches(12 * cut.length_ft)} along",
        "stack": building.boards_told(kiln),
        "inside": f"{length_told(cut.length_ft)} long, {length_told(cut.width_ft)} from south to north, "
        f"{feet_and_inches(12 * cut.south_ft)} to {feet_and_inches(12 * cut.peak_ft)} high",
        "vents": f"{kiln.vent_in2:.0f} in2 low and as much high: {cut.vents} and {cut.vents} of "
        f"{cut.vent_in[0]} x {cut.vent_in[1]} in",
        "fans": f"{cut.fans} of {cut.fan_in} in, {kiln.fan_cfm:,.0f} cubic feet a minute, {kiln.watts:.0f} W",
        "power": f"{kwh:.0f} kWh a charge, ${kwh * kiln.usd_per_kwh:.2f}",
        "risk": "not known" if safe is None else f"{100 * worst / safe:.0f} % of the safe loss, on a cloudless day",
    }  # fmt: skip
    rows = "".join(
        f"<tr><td>{k}</td><td style='text-align:left'>{html.escape(v)}</td></tr>" for k, v in cells.items()
    )
    if cut.glass_up_ft > TALLEST_FT:
        cells["mind"] = "so much glass makes a roof that is hard to build: more board feet to the square foot"
    drawing, says = _sketch(kiln)
    picture = style.to_img(drawing, says)
    return (
        "<div style='display:flex;flex-wrap:wrap;gap:16px;align-items:flex-start'>"
        f"<div style='flex:1 1 300px'><table>{rows}</table></div>"
        f"<div style='flex:1 1 400px;max-width:720px'>{picture}</div></div>"
    )


def tables_told(kiln: SolarKiln, month: int) -> str:
    """As HTML: the months to load in, side by side, and what one change of the kiln buys.

    Examples
    --------
    >>> "one layer of glazing more" in tables_told(SolarKiln("black cherry", 1, "Madison", 450), 5)
    True
    """
    months = kiln.months
    safe = kiln.safe_loss_pct_per_day
    names = [name[:3] for name in list(month_name)[1:]]

    def row(name, cells):
        return f"<tr><td>{name}</td>" + "".join(f"<td>{cell}</td>" for cell in cells) + "</tr>"

    told = "<p><b>By the month in which it is loaded</b></p><table>" + row("", names)
    told += row("days", ["-" if blank(days) else f"{days:.0f}" for days in months.days])
    told += row("dollars", [f"{usd:.0f}" for usd in months.cost_usd])
    if safe is not None:
        told += row("% of the safe loss", [f"{100 * loss / safe:.0f}" for loss in months.worst_loss_pct])
    told += row("hottest, F", [f"{hot:.0f}" for hot in months.temp_max_f]) + "</table>"
    changes = kiln.changes(month)
    told += f"<p><b>What one change buys</b>, loaded in {month_name[month]}</p><table>"
    told += row("", ["days", "fewer", "dollars", "less", *(["% of the safe loss"] if safe else [])])
    for words, each in changes.iterrows():
        cells = [NEVER if blank(each.days) else f"{each.days:.0f}"]
        cells += ["" if blank(each.days_fewer) else _signed(each.days_fewer)]
        cells += [f"{each.cost_usd:.0f}", _signed(each.usd_less)]
        cells += [f"{100 * each.worst_loss_pct / safe:.0f}"] if safe else []
        told += row(html.escape(str(words)), cells)
    return (
        f"{told}</table><p>Loss and heat are those of the first {FIRST_DAYS} days without a cloud. Over 100 % of the "
        "safe loss it may check. A kiln that takes a year is not done by then.</p>"
    )


def _signed(number):
    whole = round(float(number))
    return f"{whole:+d}".replace("-", "\u2212") if whole else "0"


@style.drawn
def sketch(kiln: SolarKiln) -> tuple[Drawing, str]:
    """Draw the section of a kiln to scale, with its sizes in feet and inches.

    Parameters
    ----------
    kiln : SolarKiln

    Returns
    -------
    (Drawing, str)

    Examples
    --------
    >>> sketch(SolarKiln("black cherry", "5/4", "Madison", 800))[1][:46]
    'Section from south to north, inside sizes: 7 f'
    """
    return _sketch(kiln)


def _sketch(kiln):
    cut = building.section(kiln)
    page = Drawing(8.0, 6.4)
    frame = Frame.to_scale(
        page, (110, 66, 440, 500), (-0.5, cut.width_ft + 0.5), (-0.5, max(cut.peak_ft, cut.south_ft) + 0.3)
    )
    page.title(12, 20, "The kiln cut from south to north, to scale")
    _shell(page, frame, cut)
    _inside(page, frame, cut, kiln)
    _dimensions(page, frame, cut)
    _names(page, frame, cut, kiln)
    south, peak, north = (feet_and_inches(12 * each) for each in (cut.south_ft, cut.peak_ft, cut.north_ft))
    return page, (
        f"Section from south to north, inside sizes: {length_told(cut.width_ft)} wide, south wall {south} high, "
        f"ridge {peak}, north wall {north}; {feet_and_inches(12 * cut.length_ft)} long. Glass "
        f"{feet_and_inches(12 * cut.glass_up_ft)} along a slope of {cut.slope_deg:.0f} degrees, a black sheet 4 in "
        f"under it. {cut.fans} fans of {cut.fan_in} in in the baffle over the load. The load, "
        f"{building.boards_told(kiln)}, stands on blocks, {building.free_sides_in(cut):.0f} in free on either side. "
        "Vents low in the south wall and high in the north wall, a drain in the floor, doors in the north wall."
    )


_WALL_FT = 0.36


def _shell(page, frame, cut):
    w, out = cut.width_ft, _WALL_FT
    low, high = 0.45, cut.north_ft - 0.65  # foot of either vent
    vent = cut.vent_in[1] / 12
    frame.shapes([box(-out, -out, w + out, 0)], style.PALE, width=1.6)
    for x, top, foot in ((-out, cut.south_ft, low), (w, cut.north_ft, high)):
        frame.shapes([box(x, 0, x + out, foot), box(x, foot + vent, x + out, top)], style.PALE, width=1.6)
    frame.strokes([[(-out, low + vent), (-out - 0.3, low + 0.1)]], width=4)
    frame.strokes([[(w + out, high + vent), (w + out + 0.3, high + 0.1)]], width=4)
    roof = [(cut.peak_at_ft, cut.peak_ft), (w + out, cut.roof_ft(w + out))]
    if w - cut.peak_at_ft > 0.05:
        frame.shapes(
            [[*roof, (roof[1][0], roof[1][1] + out), (roof[0][0], roof[0][1] + out)]], style.PALE, width=1.6
        )
    slope = math.tan(math.radians(cut.slope_deg))
    glass = [(-out, cut.south_ft - out * slope), (cut.peak_at_ft, cut.peak_ft)]
    frame.strokes([glass], style.SKY, 9)
    frame.strokes([glass], style.INK, 1.2)
    black = building.BLACK_FT
    ends = [(x, cut.roof_ft(x) - black) for x in (0.25, max(cut.peak_at_ft - 0.25, 0.3))]
    frame.strokes([ends], style.INK, 5)
    frame.strokes([[(0.15, 0), (0.15, -out - 0.15)]], style.BLUE, 6)  # drain


def _inside(page, frame, cut, kiln):
    south, north, foot, top = cut.load_ft
    layers = kiln.box.layers
    step = (top - foot) / layers
    board = step - 0.75 / 12
    stack = [box(south, foot + k * step + 0.75 / 12, north, foot + (k + 1) * step) for k in range(layers)]
    frame.shapes(stack, style.WOOD, style.BARK, 0.7)
    stickers = [box(south, foot + k * step, north, foot + (k + 1) * step - board) for k in range(layers)]
    frame.shapes(stickers, style.SOFT, "none")
    frame.shapes([box(x, 0, x + 0.35, foot) for x in (south + 0.2, north - 0.55)], style.SOFT, width=1)
    middle, radius = cut.width_ft / 2, cut.fan_in / 24
    at = top + building.OVER_LOAD_FT / 2 + radius
    roof = cut.roof_ft(middle) - building.BLACK_FT
    sheets = [
        [(middle, top), (middle, at - radius)],
        [(middle, at + radius), (middle, roof)],
        [(middle, 0), (middle, foot)],
    ]
    frame.strokes(sheets, style.BARK, 5)
    frame.shapes([oval(0.3, 2 * radius, middle, at)], style.GOLD, width=2)
    west, east = 0.4 * south, north + 0.7 * (cut.width_ft - north)
    # round: from the black sheet over the load, down in the north, through the boards, up in the south
    for start, end, color in (
        ((middle + 0.3, at), (middle + 1.1, at), style.ORANGE),
        ((east, max(top - 0.3, 1.9)), (east, 1.2), style.ORANGE),
        ((west, 1.1), (west, max(min(top - 0.3, cut.roof_ft(west) - building.BLACK_FT - 0.3), 1.2)), style.BLUE),
    ):  # fmt: skip
        page.arrow(frame.at(start), frame.at(end), color, 4)


def _span(page, frame, start, end, words, dx=0.0, dy=0.0, turn=0.0):
    """A dimension: a line between two ticks with its size."""
    a, b = frame.at(start), frame.at(end)
    way = (b - a) / max(np.hypot(*(b - a)), 1e-9)
    tick = 7 * np.array([-way[1], way[0]])
    page.lines([[a, b], [a - tick, a + tick], [b - tick, b + tick]], style.INK, 1.4)
    x, y = (a + b) / 2
    page.text(x + dx, y + dy, words, "middle", size=0.95, turn=turn, halo=True)


def _dimensions(page, frame, cut):
    w, line = cut.width_ft, page.type
    south, north, foot, top = cut.load_ft
    _, ground = frame.at((0, -_WALL_FT))
    _, zero = frame.at((0, 0))
    down = (ground - zero + 14) / (frame.box[3] / (frame.ylim[1] - frame.ylim[0]))
    _span(page, frame, (0, -down), (w, -down), f"{feet_and_inches(12 * w)} inside", dy=line)
    a_foot = frame.box[2] / (frame.xlim[1] - frame.xlim[0])
    beyond = 0.5 + 14 / a_foot
    for x, high, side in ((-beyond, cut.south_ft, -1), (w + beyond, cut.north_ft, 1)):
        _span(page, frame, (x, 0), (x, high), feet_and_inches(12 * high), dx=0.9 * side * line, turn=-90)
    middle = (south + north) / 2
    wide, high = feet_and_inches(12 * (north - south)), feet_and_inches(12 * (top - foot))
    frame.text(middle, (foot + top) / 2, f"load {wide}\nby {high}", at="middle", bold=True, halo=True)
    free = f"{building.free_sides_in(cut):.0f} in"
    room = (north - south) * a_foot > page.width(f"load {wide}", bold=True) and south * a_foot > page.width(
        free
    )
    for ends in ((0, south), (north, w)) if room else ():  # else the sentence says it
        _span(page, frame, (ends[0], foot * 0.5), (ends[1], foot * 0.5), free, dy=-0.75 * line)
    x = cut.peak_at_ft * 0.45
    steep = -cut.slope_deg
    a = np.radians(cut.slope_deg)
    off = 22 * np.array([-np.sin(a), -np.cos(a)])
    px, py = frame.at((x, cut.roof_ft(x))) + off
    page.text(px, py, f"glass {feet_and_inches(12 * cut.glass_up_ft)}", "middle", bold=True, turn=steep)


def _names(page, frame, cut, kiln):
    south, north, foot, top = cut.load_ft
    w, line = cut.width_ft, page.type
    middle, radius = w / 2, cut.fan_in / 24
    sheet = cut.peak_at_ft * 0.8
    points = (
        (
            (w + _WALL_FT, cut.north_ft - 0.4),
            f"high vent, {cut.vents} of\n{cut.vent_in[0]} x {cut.vent_in[1]} in",
        ),
        ((sheet, cut.roof_ft(sheet) - building.BLACK_FT), "black sheet, 4 in\nunder the glass"),
        (
            (middle, top + building.OVER_LOAD_FT / 2 + radius),
            f"{cut.fans} fans, {cut.fan_in} in,\nin the baffle",
        ),
        ((north, top - 0.2), f"{count_of(kiln.box.layers, 'layer')}, on\n3/4 in stickers"),
        ((w + _WALL_FT / 2, min(1.6, 0.4 * cut.north_ft)), "doors for the\nload in this wall"),
        ((middle, foot * 0.5), "blocks, baffle\nbetween them"),
    )
    x, y = 634.0, 110.0
    size = min(0.9, 152 / max(page.width(words) for _, words in points))
    for point, words in points:
        px, py = frame.at(point)
        page.lines([[(px, py), (x - 8, y)]], style.INK, 1)
        page.marker(px, py, "o", style.INK, 3)
        page.text(x, y, words, size=size)
        y += 2.5 * line + 36
    page.text(12, 100, "sun,\nsouth")
    page.polygons([oval(34, 34, 84, 92)], style.GOLD, style.INK, 1.4)
    page.arrow((104, 108), (140, 138), style.GOLD, 4)
    px, py = frame.at((-_WALL_FT - 0.3, 0.6))
    page.text(12, 622, f"low vent, {cut.vents} of {cut.vent_in[0]} x {cut.vent_in[1]} in; drain", size=0.9)
    page.lines([[(px, py), (60, 607)]], style.INK, 1)
    page.text(
        788,
        622,
        f"{feet_and_inches(12 * cut.length_ft)} long inside; {cut.slope_deg:.0f} degrees",
        "end",
        size=0.9,
    )


def kiln_page(kiln: SolarKiln, month: int) -> str:
    """Return the pages of a kiln as one HTML page for letter paper: the sketch, the list, the run sheet.

    Parameters
    ----------
    kiln : SolarKiln
    month : int
        In whose middle it is loaded.

    Returns
    -------
    str
    """
    drawing, says = sketch(kiln)
    svg = style.to_svg(drawing)
    svg = svg[svg.index("<svg") :].replace("<svg ", f'<svg role="img" aria-label="{html.escape(says)}" ', 1)
    sheet = building.run_sheet(kiln, month)
    run = sheet.run
    return paper.page(
        "kiln.html", kiln=kiln, wood=f"{kiln.species} {thickness_name(kiln.thickness_in)}", rings=paper.rings(),
        svg=svg, says=says, bought=building.what_to_buy(kiln), sheet=sheet, month=month_name[month],
        summary=_sentence(kiln, month, run, run.between),
        safe=kiln.safe_loss_pct_per_day, start=_start_told(kiln), start_pct=run.mc_start_pct,
        facing=kiln.facing_deg,
    )  # fmt: skip
