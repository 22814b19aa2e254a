"""Pictures of the last points: a corner of the house, a solar kiln, a dehumidifier, the three together, the prongs."""

from __future__ import annotations

import functools
import html
import warnings
from typing import Any

import numpy as np

from woodcalc import kiln
from woodcalc.checks import RangeWarning, capital
from woodcalc.dates import month_name
from woodcalc.figures import style
from woodcalc.figures.chart import Frame, ticks
from woodcalc.figures.drawing import Drawing, box, oval
from woodcalc.kiln.runs import NO_PACE
from woodcalc.moisture import FURNITURE_PCT

# The charges that the panels offer: wood, nominal thickness, moisture content at the start (None: green)
CHARGES = {
    "red oak 4/4, air-dried (20 %)": ("northern red oak", 1.0, 20.0),
    "red oak 4/4, green": ("northern red oak", 1.0, None),
    "white oak 8/4, partly dry (35 %)": ("white oak", 2.0, 35.0),
    "black cherry 4/4, green": ("black cherry", 1.0, None),
    "yellow-poplar 4/4, green": ("yellow-poplar", 1.0, None),
}
FANS: dict[str, Any] = {"8 to 18 h": (8, 18), "10 to 14 h": (10, 14), "day and night": "always"}
VENTS: dict[str, Any] = {"by humidity": "humidity", "shut": 0.0, "half open": 0.5}
KILNS: dict[str, dict[str, Any]] = {
    "two layers, R-11 walls": dict(glazing=2, insulation_r=11),
    "one layer, R-11 walls": dict(glazing=1, insulation_r=11),
    "one layer, bare boards (R-1)": dict(glazing=1, insulation_r=1),
}
LOAD_BF = 500
WEEKS = 60  # days that the pictures of drying reach: few enough to be worked out anew at every move
NIGHT = "#dce3f0"
PRICE = 0.17  # dollars a kWh, as in `kiln.compare`
MOISTURE = "Moisture (% MC)"


@functools.lru_cache(maxsize=128)
def _solar(charge, place, month, days, collector_ft2, sunny, fans, vents, build, stop):
    wood, inches, start = CHARGES[charge]
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", RangeWarning)  # too hot is said in the picture's own words
        return kiln.solar(
            wood, inches, place, month, LOAD_BF, start, 8.0, days, collector_ft2=collector_ft2, sunny=sunny,
            fan_hours=FANS[fans], vents=VENTS[vents], stop=stop, **KILNS[build],
        )  # fmt: skip


def july_run(charge: str, fans: str, vents: str, build: str = "two layers, R-11 walls") -> kiln.Run:
    """Forty days from the middle of July at Madison, hour by hour, under a foot of glass for ten board feet.

    Examples
    --------
    >>> len(july_run("red oak 4/4, air-dried (20 %)", "8 to 18 h", "by humidity").hourly)
    960
    """
    return _solar(charge, "Madison, WI", 7, 40, LOAD_BF / 10, False, fans, vents, build, False)


def _list(lines):
    return "<ul>" + "".join(f"<li>{html.escape(line)}</li>" for line in lines) + "</ul>"


def _table(pairs):
    head = "".join(f"<th>{html.escape(k)}</th>" for k in pairs)
    body = "".join(f"<td>{html.escape(v)}</td>" for v in pairs.values())
    return f"<table><tr>{head}</tr><tr>{body}</tr></table>"


def _two(horizon, top_y, low_y, labels, xlabel="Time (days)", xticks=None, xnames=None, right=778):
    """A page with two charts over the same days; `labels` stand along their heights."""
    page = Drawing(8.0, 5.2)
    top = Frame(page, (92, 58, right - 92, 214), (0, horizon), top_y)
    low = Frame(page, (92, 322, right - 92, 138), (0, horizon), low_y)
    xticks = np.linspace(0, horizon, 5) if xticks is None else xticks
    for chart, label, (x, names) in ((top, labels[0], ("", ())), (low, labels[1], (xlabel, xnames))):
        chart.axes(xticks, ticks(*chart.ylim, most=4), x, label, xnames=names)
    return page, top, low


TOO_FAST: dict[str, Any] = {
    "kind": "o",
    "color": "none",
    "size": 7,
    "width": 2.4,
}  # a ring: a day that is too fast


def _drying(page, chart, run, title):
    """Mean, core and surface of the charge over the days, the band that furniture wants, and the day of the target."""
    d = run.daily
    days = np.concatenate([[0], d.index])
    chart.band(y=FURNITURE_PCT)
    for n, column in enumerate(("mc_pct", "core_pct", "surface_pct")):
        chart.line(days, np.concatenate([[run.mc_start_pct], d[column]]), n, every=max(1, len(days) // 9))
    page.title(92, 16, title)
    right = page.key(92, 42, list(zip(("mean", "core", "surface"), style.SERIES, strict=False)))
    if run.too_fast_days:
        page.marker(right + 34, 42, **TOO_FAST)
        page.text(right + 48, 42, "too fast", size=0.95)
    there, last = run.days_to(), chart.xlim[1]
    if there <= last:
        ends = [min(max(day, 0.0), last) for day in run.between]
        level = run.mc_target_pct
        chart.strokes([[(x, level) for x in ends]], width=4.5)
        chart.mark(there, level, "D", style.GOLD, 8, width=2.2)


def _pace(chart, run, horizon):
    """What the charge loses each day, against what it stands."""
    d, safe = run.daily, run.safe_loss_pct_per_day
    chart.line(d.index, d.loss_pct, every=0, width=3)
    fast = d[d.too_fast].iloc[:: max(1, int(d.too_fast.sum()) // 25)]
    chart.mark(fast.index, fast.loss_pct, **TOO_FAST)
    chart.rule(y=safe, color=style.ORANGE, width=2.6, dash="11 5")
    chart.text(horizon, safe, f"safe: {safe:.1f}", dx=-5, dy=-14, at="end", color=style.ORANGE, halo=True)


def _pace_words(run):
    if run.too_fast_days:
        worst = run.daily.loss_pct[run.daily.too_fast].max()
        return f"On {run.too_fast_days} days it dries too fast, up to {worst:.1f} % a day, and may check."
    return f"It never loses more than {run.daily.loss_pct.max():.1f} % a day."


@style.drawn
def house(charge: str, place: str, month: int, room: str, covered: bool) -> tuple[Drawing, str, str]:
    """Draw boards drying in a corner of the house, and their daily loss against the safe one.

    Parameters
    ----------
    charge : str
        One of `CHARGES`.
    place : str
    month : int
    room : str
        ``"heated"``, ``"heated, cooled in summer"`` or ``"unheated"``.
    covered : bool
        A sheet over the stack, its ends open.

    Returns
    -------
    (Drawing, str, str)

    Examples
    --------
    >>> house("red oak 4/4, air-dried (20 %)", "Madison, WI", 11, "heated", False)[1][:38]
    'Red oak 4/4, air-dried (20 %), indoors'
    """
    wood, inches, start = CHARGES[charge]
    horizon = 180
    run = kiln.indoors(
        wood, inches, place, month, start, 8.0, horizon, heated=room != "unheated", cooled="cooled" in room,
        covered=covered, stop=False,
    )  # fmt: skip
    assert run.safe_loss_pct_per_day is not None  # published for each wood of `CHARGES`
    page, top, low = _two(
        horizon,
        (0, 1.15 * run.mc_start_pct + 2),
        (0, 1.5 * run.safe_loss_pct_per_day),
        (MOISTURE, "Loss (% a day)"),
    )
    _drying(page, top, run, run.reached)
    top.line(run.daily.index, run.daily.emc_pct, every=0, width=2.2, color=style.SOFT, dash="2 4")
    top.text(2, 0.06 * run.mc_start_pct, "dotted: the air's EMC", color=style.SOFT, halo=True)
    _pace(low, run, horizon)
    sentence = (
        f"{capital(charge)}, indoors at {place} ({room}{', under a sheet' if covered else ''}) from the "
        f"middle of {month_name(month)}: {run.says()}. {_pace_words(run)} "
        f"The air would hold wood at {run.daily.emc_pct.min():.1f} to {run.daily.emc_pct.max():.1f} % in that time."
    )
    return page, sentence, _list(run.advice)


@style.drawn
def solar_weeks(
    charge: str, place: str, month: int, collector_ft2: float, sunny: bool
) -> tuple[Drawing, str, str]:
    """Draw a charge in a solar kiln over sixty days, and its daily loss against the safe one.

    Parameters
    ----------
    charge : str
        One of `CHARGES`.
    place : str
    month : int
    collector_ft2 : float
        Glass for 500 bf.
    sunny : bool
        Cloudless days in place of average ones.

    Returns
    -------
    (Drawing, str, str)

    Examples
    --------
    >>> "of glass" in solar_weeks("red oak 4/4, air-dried (20 %)", "Madison, WI", 7, 50, False)[1]
    True
    """
    run = _solar(
        charge,
        place,
        month,
        WEEKS,
        collector_ft2,
        sunny,
        "8 to 18 h",
        "by humidity",
        "two layers, R-11 walls",
        True,
    )
    page, top, low = _two(
        WEEKS,
        (0, 1.15 * run.mc_start_pct + 2),
        (0, 1.75 * run.safe_loss_pct_per_day),
        (MOISTURE, "Loss (% a day)"),
    )
    _drying(page, top, run, run.reached)
    _pace(low, run, WEEKS)
    d = run.daily
    sky = "cloudless days" if sunny else "average days"
    sentence = (
        f"{LOAD_BF} bf of {charge} in a solar kiln with {collector_ft2:g} ft2 of glass at {place}, {sky} from the "
        f"middle of {month_name(month)}: {run.says()}. {_pace_words(run)} At its hottest the kiln reaches "
        f"{d.temp_max_f.max():.0f} F, and on a middling day {d.rise_f.median():.0f} F above the air outside."
    )
    figures = {
        "glass": f"{collector_ft2:g} ft2, {LOAD_BF / collector_ft2:.0f} bf a ft2",
        "slope (latitude)": f"{run.settings['slope_deg']:.0f} degrees",
        "water gone": f"{run.water_lb:.0f} lb",
        "fans": f"{run.kwh:.0f} kWh, ${run.kwh * PRICE:.2f}",
    }
    return page, sentence, _table(figures) + _list(run.advice)


@style.drawn
def solar_day(charge: str, day: int, fans: str, vents: str, build: str) -> tuple[Drawing, str]:
    """Draw three days in a solar kiln at Madison in July, hour by hour: temperatures, and where wood would rest.

    Parameters
    ----------
    charge : str
        One of `CHARGES`.
    day : int
        Day shown last, 3 to 40.
    fans, vents, build : str
        Of `FANS`, `VENTS` and `KILNS`.

    Returns
    -------
    (Drawing, str)

    Examples
    --------
    >>> solar_day("red oak 4/4, air-dried (20 %)", 10, "8 to 18 h", "by humidity", "two layers, R-11 walls")[1][:13]
    'Days 8 to 10 '
    """
    run = july_run(charge, fans, vents, build)
    h = run.hourly.iloc[(day - 3) * 24 : day * 24]
    x = np.arange(1, 73)  # ends of the hours
    level = 1.1 * run.mc_start_pct + 4
    hours = range(0, 73, 12)
    page, top, low = _two(
        72,
        (40, 150),
        (0, level),
        ("Temperature (F)", MOISTURE),
        "Clock (h)",
        hours,
        [str(t % 24) for t in hours],
        670,
    )
    dark, on = (np.flatnonzero(seen).tolist() for seen in (h.sun_btu.to_numpy() <= 0, h.fans.to_numpy() > 0))
    for chart in (top, low):
        foot, head = chart.ylim
        chart.shapes([box(t, foot, t + 1, head) for t in dark], NIGHT, "none")
    top.shapes([box(t, 41, t + 1, 45) for t in on], style.INK, "none")
    lines = (
        (top, h.temp_f, 1, "kiln"),
        (top, h.outdoor_f, 0, "outdoors"),
        (low, h.emc_pct, 2, "air"),
        (low, h.mc_pct, 0, "wood"),
        (low, h.surface_pct, 1, "its face"),
    )
    for chart, y, n, _ in lines:
        chart.line(x, y, n, every=12)
    for chart in (top, low):
        ends = [(y.iloc[-1], name, style.SERIES[n]["color"]) for c, y, n, name in lines if c is chart]
        chart.end_labels(72, ends)
    page.title(92, 30, f"Days {day - 2} to {day} (blue: night; black bar: fans)")
    last = h.iloc[-24:]
    hottest = int(last.temp_f.to_numpy().argmax())
    spot = (49 + hottest, last.temp_f.iloc[hottest])
    top.mark(*spot, "D", style.GOLD, 7)
    top.text(*spot, f"{spot[1]:.0f} F", dy=-1.1 * page.type, at="middle", bold=True, halo=True)
    noon, night = last.iloc[12], last.iloc[4]
    sentence = (
        f"Days {day - 2} to {day} of {charge} at Madison, mid-July on: by day the kiln reaches "
        f"{last.temp_f.max():.0f} F, {(last.temp_f - last.outdoor_f).max():.0f} F above outdoors. "
        f"At noon its air is at {noon.rh_pct:.0f} % and "
        f"would hold wood at {noon.emc_pct:.1f} %; before dawn at {night.rh_pct:.0f} % and {night.emc_pct:.1f} %. "
        f"The wood is at {last.mc_pct.iloc[-1]:.1f} % and loses {run.daily.loss_pct[day]:.2f} % on the last day."
    )
    return page, sentence


MACHINES = {"household, stops at 95 F": (95.0, 85.0), "made for kilns, stops at 120 F": (120.0, 110.0)}


@functools.lru_cache(maxsize=128)
def _machine(charge, machine, pints_per_day, insulation_r, room_f):
    wood, inches, start = CHARGES[charge]
    limit, heat_to = MACHINES[machine]
    return kiln.dehumidifier(
        wood, inches, LOAD_BF, start, 8.0, WEEKS, pints_per_day, insulation_r, room_f, 50.0,
        limit_f=limit, heat_to_f=heat_to,
    )  # fmt: skip


@style.drawn
def dehumidifier(
    charge: str, machine: str, pints_per_day: int, insulation_r: int, room_f: int
) -> tuple[Drawing, str, str]:
    """Draw a charge in a chamber with a dehumidifier: moisture above, the chamber's temperature below.

    Parameters
    ----------
    charge : str
        One of `CHARGES`.
    machine : str
        One of `MACHINES`.
    pints_per_day : int
        Rating.
    insulation_r : int
        R-value of the chamber.
    room_f : int
        Temperature around it.

    Returns
    -------
    (Drawing, str, str)

    Examples
    --------
    >>> "kWh a pound" in dehumidifier("red oak 4/4, air-dried (20 %)", "household, stops at 95 F", 50, 11, 65)[1]
    True
    """
    run, (limit, _) = _machine(charge, machine, pints_per_day, insulation_r, room_f), MACHINES[machine]
    d = run.daily
    page, top, low = _two(WEEKS, (0, 1.15 * run.mc_start_pct + 2), (50, 140), (MOISTURE, "Chamber (F)"))
    _drying(page, top, run, run.reached)
    fast = d[d.too_fast].iloc[:: max(1, int(d.too_fast.sum()) // 20)]
    top.mark(fast.index, fast.mc_pct, **TOO_FAST)
    low.fill(d.index, d.temp_min_f, d.temp_max_f, style.GOLD, opacity=0.5)
    low.line(d.index, d.temp_f, every=0)
    low.rule(y=limit, color=style.ORANGE, width=2.6, dash="11 5")
    low.text(WEEKS, limit, f"stops at {limit:g} F", dx=-5, dy=-14, at="end", color=style.ORANGE, halo=True)
    each = run.kwh / run.water_lb
    stopped = run.hourly.too_warm.mean()
    sentence = (
        f"{LOAD_BF} bf of {charge} with a dehumidifier of {pints_per_day} pints a day: "
        f"{run.says()}. {_pace_words(run)} It takes {run.kwh:.0f} kWh, "
        f"{each:.2f} kWh a pound of water (${run.kwh * PRICE:.0f}). "
        + (
            f"Too warm to run {100 * stopped:.0f} % of the time."
            if stopped > 0.01
            else "It is never too warm to run."
        )
    )
    late = d.iloc[-3:]
    figures = {
        "water gone": f"{run.water_lb:.0f} lb",
        "of it in the bucket": f"{run.hourly.removed_lb.sum():.0f} lb",
        "first day": f"{d.kwh.iloc[0] / max(d.evaporated_lb.iloc[0], 1e-9):.2f} kWh/lb",
        "last three days": f"{late.kwh.sum() / max(late.evaporated_lb.sum(), 1e-9):.2f} kWh/lb",
    }
    return page, sentence, _table(figures) + _list(run.advice)


@functools.lru_cache(maxsize=128)
def _each_way(wood, place, month, load_bf, start):
    """The three runs; the room around the dehumidifier is the same in every month and place."""
    charge: dict[str, Any] = dict(load_bf=load_bf, mc_start_pct=start, mc_target_pct=8.0, days=WEEKS)
    return (
        kiln.indoors(wood, 1.0, place, month, **charge),
        kiln.solar(wood, 1.0, place, month, **charge),
        _bucket(wood, load_bf, start),
    )


@functools.lru_cache(maxsize=128)
def _bucket(wood, load_bf, start):
    return kiln.dehumidifier(wood, 1.0, load_bf, start, 8.0, WEEKS, room_f=65.0, room_rh_pct=50.0)


def _boards(page, x, floor):
    """Six boards on stickers, their left end at x."""
    page.polygons(
        [box(x + 22 * i, floor - 9 - 13 * j, x + 22 * i + 19, floor - 13 * j) for i in (0, 1) for j in (0, 1, 2)],
        style.WOOD, style.BARK, 1.6,
    )  # fmt: skip


def _a_house(page, x, floor):
    """A house of 110 px with boards in it."""
    page.polygons([[(x, floor), (x, floor - 42), (x + 55, floor - 76), (x + 110, floor - 42), (x + 110, floor)]],
                  style.PALE, width=2.4)  # fmt: skip
    page.polygons([box(x + 78, floor - 30, x + 98, floor)], "white", width=1.6)
    _boards(page, x + 16, floor - 2)


def _a_solar_kiln(page, x, floor):
    """A box with a roof of glass toward the sun."""
    page.polygons(
        [[(x, floor), (x, floor - 26), (x + 92, floor - 66), (x + 92, floor)]], style.PALE, width=2.4
    )
    page.lines([[(x - 4, floor - 26), (x + 94, floor - 69)]], style.BLUE, 6)
    page.polygons([oval(24, 24, x + 26, floor - 64)], style.GOLD, width=1.6)
    _boards(page, x + 40, floor - 2)


def _a_machine(page, x, floor):
    """A box with a dehumidifier and its bucket."""
    page.polygons([box(x, floor - 62, x + 110, floor)], style.PALE, width=2.4)
    page.polygons([box(x + 72, floor - 46, x + 98, floor - 18)], "white", width=2)
    page.polygons([[(x + 76, floor - 14), (x + 94, floor - 14), (x + 91, floor - 2), (x + 79, floor - 2)]],
                  style.SKY, width=1.6)  # fmt: skip
    _boards(page, x + 14, floor - 2)


_WET, _DRY = np.array([63, 147, 200]), np.array([217, 185, 138])  # between BLUE and SKY; WOOD


def _way_down(chart, y, run, start):
    """One way as a bar of days, from wet to dry, that ends on the day of 8 %; the span of that day beneath it."""
    d, there, page = run.daily, run.days_to(), chart.page
    end = min(there, WEEKS) if np.isfinite(there) else WEEKS
    mc = np.concatenate([[start], d.mc_pct])
    for a in np.arange(0, end, 3.0):
        b = min(a + 3, end)
        wet = np.clip((np.interp((a + b) / 2, np.arange(len(mc)), mc) - 8) / max(start - 8, 1), 0, 1)
        tone = "#" + "".join(f"{round(v):02x}" for v in _DRY + wet * (_WET - _DRY))
        chart.shapes([box(a, y - 0.17, b, y + 0.17)], tone, tone, 0.5)
    chart.shapes([box(0, y - 0.17, end, y + 0.17)], width=2)
    chart.text(0, y + 0.17, f"{run.way}, {run.kwh:.0f} kWh", dy=-0.85 * page.type, bold=True)
    if end > 12:
        chart.text(0, y, f"{start:g} %", dx=7)
    if there <= WEEKS:
        low, high = (min(day, WEEKS) for day in run.between)
        chart.strokes([[(low, y - 0.3), (high, y - 0.3)]], width=4.5)
        chart.mark(there, y, "D", style.GOLD, 9, width=2.4)
        room = there < WEEKS - (25 if run.too_hot else 14)
        chart.text(
            there,
            y,
            f"{there:.0f} days{' or longer' * run.too_hot}",
            18 if room else -18,
            at="start" if room else "end",
            bold=True,
        )
    else:
        chart.text(WEEKS, y, f"still {d.mc_pct.iloc[-1]:.1f} %", dx=-8, at="end", bold=True)


@style.drawn
def three_ways(
    wood: str, place: str, month: int, load_bf: float, mc_start_pct: float
) -> tuple[Drawing, str, str]:
    """Draw the three ways side by side for one load, month and place, 4/4 stock.

    The dehumidifier stands in a room of 65 F and 50 %, whatever the month, so that its run is worked out once for
    each load.

    Parameters
    ----------
    wood : str
    place : str
    month : int
    load_bf : float
    mc_start_pct : float

    Returns
    -------
    (Drawing, str, str)

    Examples
    --------
    >>> three_ways("black cherry", "Madison, WI", 7, 300, 14)[1][:25]
    '300 bf of black cherry 4/'
    """
    runs = _each_way(wood, place, month, load_bf, float(mc_start_pct))
    page = Drawing(8.0, 4.8)
    chart = Frame.chart(
        page, page.part(left=0.19, top=0.05), (0, WEEKS), (-2.45, 0.75), range(0, WEEKS + 1, 15), (),
        "Time (days); bar: from when to when",
        grid="x", beside="60",
    )  # fmt: skip
    page.title(14, 22, f"{place}, {month_name(month)}: from {mc_start_pct:g} to 8 %")
    for k, (run, thing) in enumerate(zip(runs, (_a_house, _a_solar_kiln, _a_machine), strict=True)):
        thing(page, 22, float(chart.at((0, -k))[1]) + 38)
        _way_down(chart, -k, run, mc_start_pct)
    told = {r.way: r.says() for r in runs}
    sentence = (
        f"{load_bf:g} bf of {wood} 4/4 from {mc_start_pct:g} % at {place}, from the middle of {month_name(month)}: "
        + "; ".join(f"{way}, {text}" for way, text in told.items())
        + ("." if runs[0].safe_loss_pct_per_day else f". {NO_PACE.capitalize()}.")
    )
    rows = "".join(
        f"<tr><td>{r.way}</td><td>{told[r.way]}</td><td>{r.kwh:.0f} kWh</td><td>${r.kwh * PRICE:.0f}</td>"
        f"<td>{'-' if r.too_fast_days is None else r.too_fast_days}</td><td>{r.daily.temp_max_f.max():.0f} F</td></tr>"
        for r in runs
    )
    table = (
        "<table><tr><th>way</th><th>reaches</th><th>electricity</th><th>at 17 cents</th><th>days too fast</th>"
        f"<th>hottest</th></tr>{rows}</table>"
    )
    return page, sentence, table


PRONGS = {"turn in": -0.62, "stay straight": 0.0, "turn out": 0.8}


@style.drawn
def prongs(seen: str) -> tuple[Drawing, str]:
    """Draw a stress section after the saw has freed its prongs; the bend is a sketch, not to scale.

    Parameters
    ----------
    seen : str
        One of `PRONGS`.

    Returns
    -------
    (Drawing, str)

    Examples
    --------
    >>> prongs("turn in")[1][:40]
    'Left, the section: saw along the dashes '
    """
    bend = PRONGS[seen]
    page = Drawing(8.0, 2.9)
    frame = Frame.to_scale(page, (16, 40, 768, 244), (-0.2, 9.2), (-1.3, 1.4))
    frame.shapes([box(0, 0, 3.6, 1)], style.WOOD, style.BARK, 2.8)
    frame.strokes([[(0.5, y), (3.6, y)] for y in (0.33, 0.67)], style.BARK, 2, "9 5")
    along = np.linspace(0, 3.1, 24)
    base = 5.0

    def arms(bend):
        """The two prongs, bent by so much."""
        lift = bend * 0.33 * (along / 3.1) ** 2
        lower = np.concatenate([-lift, (0.30 - lift)[::-1]])
        x = base + 0.5 + np.concatenate([along, along[::-1]])
        return [np.column_stack([x, y0 + sign * lower]) for sign, y0 in ((1, 0.0), (-1, 1.0))]

    frame.shapes([*arms(bend), box(base, 0, base + 0.5, 1)], style.WOOD, style.BARK, 2.8)
    frame.strokes(
        [[(base + 0.5, a), (base + 0.5, b)] for a, b in ((0.03, 0.27), (0.73, 0.97))], style.WOOD, 5
    )
    if bend:  # from where they were to where they are
        frame.shapes(arms(0.0), edge=style.SOFT, width=1.6, dash="6 5")
        tips = [(y0, y0 - sign * bend * 0.33 * 1.5) for sign, y0 in ((1, 0.15), (-1, 0.85))]
        for before, after in tips:
            page.arrow(frame.at((base + 3.85, before)), frame.at((base + 3.85, after)), style.ORANGE, 5)
    page.arrow(frame.at((3.95, 0.5)), frame.at((4.65, 0.5)), width=4)
    frame.text(1.8, -0.4, "sawn along the dashes", at="middle", size=0.9)
    frame.text(base + 1.8, -0.55 - max(0, bend) * 0.33, f"the prongs {seen}", at="middle", bold=True)
    page.title(16, 26, "Stress section (sketch)")
    table = kiln.stress_test()
    row = table[table.prongs.str.startswith(seen)].iloc[0]
    return page, (
        f"Left, the section: saw along the dashes and break out the middle. Right, the prongs {seen}: {row.meaning}. "
        f"What to do: {row['do']}."
    )


@functools.lru_cache(maxsize=64)
def sample_board(collector_ft2: float, start_pct: float, dry_lb: float) -> tuple[np.ndarray, np.ndarray]:
    """A sample board of green red oak in cloudless June days at Madison: weight (lb), peak (F), mornings 0-10."""
    run = kiln.solar(
        "northern red oak",
        1.0,
        "Madison, WI",
        6,
        LOAD_BF,
        start_pct,
        8.0,
        10,
        collector_ft2=collector_ft2,
        sunny=True,
        stop=False,
    )
    mc = np.concatenate([[start_pct], run.daily.mc_pct])
    return np.round(dry_lb * (1 + mc / 100), 2), np.concatenate([[np.nan], run.daily.temp_max_f])


@style.drawn
def board_in_the_kiln(day: int, collector_ft2: float, start_pct: float, dry_lb: float) -> tuple[Drawing, str]:
    """Draw the sample board on its scale on the morning of a day.

    Parameters
    ----------
    day : int
        0 to 10.
    collector_ft2, start_pct, dry_lb : float
        The kiln and the board; only the last is told.

    Returns
    -------
    (Drawing, str)

    Examples
    --------
    >>> board_in_the_kiln(0, 100, 80, 5.0)[1]
    'Morning 0: the sample board weighs 9.00 lb. Its oven-dry weight is 5.00 lb.'
    """
    weight, peak = sample_board(collector_ft2, start_pct, dry_lb)
    page = Drawing(8.0, 3.3)
    page.polygons([box(110, 120, 690, 155)], style.WOOD, style.BARK, 3)
    page.polygons([box(140, 158, 660, 180)], style.PALE, style.INK, 2.4)
    page.polygons([[(270, 300), (530, 300), (500, 180), (300, 180)]], "white", style.INK, 3)
    page.text(400, 242, f"{weight[day]:.2f} lb", "middle", size=1.85, bold=True)
    page.text(400, 92, f"oven-dry: {dry_lb:.2f} lb", "middle")
    page.title(24, 22, f"Morning {day}")
    hot = "" if day == 0 else f" The day before, the kiln reached {peak[day]:.0f} F."
    return page, (
        f"Morning {day}: the sample board weighs {weight[day]:.2f} lb. Its oven-dry weight is {dry_lb:.2f} lb.{hot}"
    )
