"""Pictures of air and wood: what air carries, where wood comes to rest in it, a block that weighs the air."""

from __future__ import annotations

import numpy as np

from woodcalc import air
from woodcalc.checks import FloatOrArray, Numbers
from woodcalc.figures import style
from woodcalc.figures.chart import Frame, ticks
from woodcalc.figures.drawing import Drawing, box
from woodcalc.moisture import FURNITURE_PCT

LENS = 36  # the water that a roomful of air carries is drawn this many times larger than the board's
CURVES_F = (30, 90, 150)  # rows of the published table far enough apart to be told apart


def water_oz(temp_f: Numbers, rh_pct: Numbers) -> FloatOrArray:
    """Water that 100 lb of dry air carries: about the air of a 12 by 14 ft room.

    Parameters
    ----------
    temp_f : float or array
        Air temperature, F.
    rh_pct : float or array
        Relative humidity, %; 100 gives the most that it can carry.

    Returns
    -------
    float or ndarray
        Ounces.

    Examples
    --------
    >>> water_oz(70, 100)
    25.3
    """
    return air.plain(1600 * np.asarray(air.humidity_ratio(temp_f, rh_pct)))  # 100 lb x 16 oz


@style.drawn
def air_and_wood(temp_f: float, rh_pct: float, mc_pct: float) -> tuple[Drawing, str]:
    """Draw how much water the air carries of what it could, and which way water goes in a board.

    Parameters
    ----------
    temp_f : float
        Air temperature, F; the picture is scaled for 20 to 95.
    rh_pct : float
        Relative humidity, %.
    mc_pct : float
        Moisture content of the board, %, up to 40.

    Returns
    -------
    (Drawing, str)

    Examples
    --------
    >>> air_and_wood(70, 65, 30)[1][-40:]
    'has 30 lb, so it gives off water: dries.'
    """
    page = Drawing()
    most, held, rest = water_oz(temp_f, 100), water_oz(temp_f, rh_pct), air.emc_pct(temp_f, rh_pct)
    px_lb, floor = 2.2, 392
    px_oz = px_lb / 16  # what it is beside the board; too little to be seen
    top = floor - LENS * px_oz * most

    # the air, drawn as a pail: its rim is what air of this temperature can carry, its filling what it carries
    for left, right, times in ((52, 208, LENS), (272, 428, 1)):
        page.polygons([box(left, floor - times * px_oz * held, right, floor)], style.SKY, "none")
        rim = floor - times * px_oz * most
        sides = [(left - 2, rim), (left - 2, floor), (right + 2, floor), (right + 2, rim)]
        page.lines([sides], width=4.2 if times > 1 else 2)
    page.lines([[(210, top), (270, floor - px_oz * most)]], style.SOFT, 1.4, "4 4")
    page.text(350, floor + 24, "the same, drawn\nas the board is", "middle", size=0.9)
    page.text(130, top - 15, f"can carry {most:.1f} oz", "middle")
    page.text(130, floor + 24, f"carries {held:.1f} oz", "middle")
    page.text(130, floor + 52, f"{rh_pct:g} % of it", "middle", bold=True)

    # the board, drawn as 100 lb of dry wood with its water on top, on the same footing
    dry, water = floor - 100 * px_lb, mc_pct * px_lb
    page.polygons([box(462, dry, 622, floor)], style.WOOD, style.BARK, 2.8)
    page.polygons([box(462, dry - water, 622, dry)], style.SKY, style.INK, 2.8)
    page.text(632, (dry + floor) / 2, "100 lb of\ndry wood")
    page.text(632, dry - max(water / 2, 10), f"{mc_pct:g} lb of water")
    level = dry - rest * px_lb
    page.lines([[(450, level), (622, level)]], style.ORANGE, 4, "11 5")
    page.text(444, level, f"rests at {rest:.1f} lb", "end", style.ORANGE, bold=True)
    page.text(542, floor + 24, "moisture content", "middle")
    page.text(542, floor + 52, f"{mc_pct:g} %", "middle", bold=True)

    gap = mc_pct - rest
    if abs(gap) < 0.5:
        words, does = "at rest", "so it stays as it is: at rest"
    elif gap > 0:
        words, does = "gives off\nwater", "so it gives off water: dries"
    else:
        words, does = "takes up\nwater", "so it takes up water: swells"
    if words != "at rest":
        reach = np.copysign(26 + 50 * min(abs(gap), 30) / 30, gap)
        page.arrow((340 + reach, 280), (340 - reach, 280), style.BLUE, 7)
    page.text(340, 280 if words == "at rest" else 264 - 1.35 * page.type, words, "middle", style.BLUE)
    page.title(20, 24, "100 lb of air, a roomful")
    page.text(20, 52, f"seen {LENS} times as large", size=0.9)
    page.title(462, 24, "A board in that air")
    return page, (
        f"At {temp_f:g} F a roomful of air (100 lb) can carry {most:.1f} oz of water; it carries "
        f"{held:.1f} oz, so its relative humidity is {rh_pct:g} %. In this air wood rests at {rest:.1f} lb "
        f"of water to 100 lb of dry wood ({rest:.1f} % moisture content). This board has {mc_pct:g} lb, "
        f"{does}."
    )


@style.drawn
def emc_chart(temp_f: float, rh_pct: float) -> tuple[Drawing, str]:
    """Draw where wood comes to rest: EMC against relative humidity, and the point that is asked for.

    Parameters
    ----------
    temp_f : float
        Air temperature, F.
    rh_pct : float
        Relative humidity, %, 5 to 95 (where the published table ends).

    Returns
    -------
    (Drawing, str)

    Examples
    --------
    >>> emc_chart(70, 65)[1][:64]
    'At 70 F and 65 % relative humidity wood comes to rest at 12.0 %.'
    """
    page = Drawing()
    here = air.emc_pct(temp_f, rh_pct)
    chart = Frame.chart(
        page, page.part(), (0, 100), (0, 26), range(0, 101, 10), range(0, 25, 4),
        "Relative humidity (%)", "Wood comes to rest at (% MC)",
        f"Air at {temp_f:g} F and {rh_pct:g} %: wood rests at {here:.1f} %", beside="furniture:",
    )  # fmt: skip
    chart.band(y=FURNITURE_PCT)
    chart.text(100, 7, "furniture:\n6 to 8 %", dx=8)
    rh = np.linspace(95, 5, 46)  # from the right: no markers where the curves meet
    ends = []
    for n, t in enumerate(CURVES_F):
        y = air.emc_pct(t, rh)
        chart.line(rh, y, n, every=12)
        ends.append((y[0], f"{t} F", style.SERIES[n]["color"]))
    chart.end_labels(95, ends, dx=18)  # past the marker of the point
    chart.strokes([[(rh_pct, 0), (rh_pct, here), (0, here)]], width=2.2, dash="2 4")
    chart.mark(rh_pct, here, color=style.GOLD, size=10, width=3.5)
    x, y = chart.at((rh_pct, here))
    left = rh_pct > 45  # above the curves, below the title; on their steep start under them, above the axis
    _, top, _, height = chart.box
    x, y = (x - 19, max(y - 22, top + 18)) if left else (x + 22, min(y + 25, top + height - 18))
    page.text(x, y, f"{here:.1f} %", "end" if left else "start", size=1.2, bold=True, halo=True)
    return page, (
        f"At {temp_f:g} F and {rh_pct:g} % relative humidity wood comes to rest at {here:.1f} %. Dew would "
        f"form on anything at {air.dew_point_f(temp_f, rh_pct):.0f} F or colder, and a thermometer under a "
        f"wet wick would read {air.wet_bulb_f(temp_f, rh_pct):.0f} F."
    )


HALF_DAYS = 2.0  # invented for the exercise: a thin block comes half the way to rest in this time


def block_weight_oz(days: Numbers, temp_f: float, rh_pct: float, dry_oz: float) -> FloatOrArray:
    """Weight of a thin oven-dry block some days after it was hung up in a shed; its pace is invented.

    Parameters
    ----------
    days : float or array
        Since it was hung up.
    temp_f, rh_pct : float
        Air of the shed, F and %.
    dry_oz : float
        Oven-dry weight, oz.

    Returns
    -------
    float or ndarray
        Ounces.

    Examples
    --------
    >>> block_weight_oz([0, 2, 28], 70, 65, 10.0).round(1)
    array([10. , 10.6, 11.2])
    """
    way = 1 - 0.5 ** (np.asarray(days, dtype=float) / HALF_DAYS)
    return air.plain(dry_oz * (1 + air.emc_pct(temp_f, rh_pct) / 100 * way))


@style.drawn
def block_on_scale(days: int, temp_f: float, rh_pct: float, dry_oz: float) -> tuple[Drawing, str]:
    """Draw a block hung on a scale in a shed, with the weights read so far; the humidity is not told.

    Parameters
    ----------
    days : int
        Day of the reading, 0 to 28.
    temp_f, rh_pct, dry_oz : float
        As in `block_weight_oz`.

    Returns
    -------
    (Drawing, str)

    Examples
    --------
    >>> block_on_scale(28, 70, 65, 10.0)[1][:34]
    'Day 28: the block weighs 11.20 oz;'
    """
    page = Drawing()
    day = np.arange(days + 1)
    weights = np.asarray(block_weight_oz(day, temp_f, rh_pct, dry_oz)).round(2)
    now = weights[-1]

    page.lines([[(136, 10), (136, 50)]], width=4.2)
    page.polygons([box(46, 50, 226, 140)], style.PALE, style.INK, 3.5)
    page.text(136, 95, f"{now:.2f} oz", "middle", size=1.4, bold=True)
    page.lines([[(136, 140), (136, 198)]], width=2.8)
    top = [(66, 220), (88, 198), (218, 198), (196, 220)]
    side = [(196, 220), (218, 198), (218, 298), (196, 320)]
    page.polygons([box(66, 220, 196, 320), top, side], style.WOOD, style.BARK, 2.8)
    a = np.linspace(0, np.pi, 15)  # growth rings on the sawn end
    rings = [np.column_stack([131 + r * np.cos(a), 318 - 1.5 * r * np.sin(a)]) for r in (18, 34, 50)]
    page.lines(rings, style.BARK, 1.8)
    page.text(136, 352, f"oven-dry: {dry_oz:.2f} oz", "middle")
    page.text(136, 384, f"shed: {temp_f:g} F", "middle")
    page.title(136, 428, f"day {days}", "middle")

    shown = (0.985 * dry_oz, 1.2 * dry_oz)
    ounces = ticks(*shown, most=11)
    chart = Frame.chart(
        page, page.part(left=0.4), (-0.8, 28.8), shown, range(0, 29, 7), ounces,
        "Time in the shed (days)", "Weight (oz)", "Weights so far", ynames=[f"{v:.1f}" for v in ounces],
    )  # fmt: skip
    chart.strokes([[(0, dry_oz), (28, dry_oz)]], style.SOFT, 2.2, "8 4")
    chart.line(day, weights, every=0, width=2.5)
    chart.mark(day, weights, color=style.BLUE, size=5, edge="white", width=0.8)
    return page, (
        f"Day {days}: the block weighs {now:.2f} oz; oven-dry it weighed {dry_oz:.2f} oz. "
        f"The shed is at {temp_f:g} F."
        + ("" if days == 0 else f" The day before it weighed {weights[-2]:.2f} oz.")
    )
