"""Pictures of air and wood: what air carries, where wood comes to rest in it, a block that weighs the air."""

import numpy as np
from matplotlib.collections import PatchCollection
from matplotlib.patches import Polygon, Rectangle

from woodcalc import air
from woodcalc.figures import plots, style

FURNITURE_PCT = (6.0, 8.0)  # lumber for furniture: Wood Handbook FPL-GTR-190 (2010), p. 13-13
CURVES_F = (30, 90, 150)  # rows of the published table far enough apart to be told apart


def water_oz(temp_f, rh_pct):
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


@plots.plotted
def air_and_wood(temp_f, rh_pct, mc_pct):
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
    (Figure, str)

    Examples
    --------
    >>> air_and_wood(70, 65, 30)[1][-40:]
    'has 30 lb, so it gives off water: dries.'
    """
    fig = plots.new_figure()
    ax = fig.add_axes([0, 0, 1, 1])
    ax.set(xlim=(0, 800), ylim=(0, 480))
    ax.axis("off")
    most, held, rest = water_oz(temp_f, 100), water_oz(temp_f, rh_pct), air.emc_pct(temp_f, rh_pct)
    px_oz, px_lb, floor = 5.0, 2.2, 88
    top = floor + px_oz * most

    # the air, drawn as a pail: its rim is what air of this temperature can carry, its filling what it carries
    ax.add_patch(Rectangle((52, floor), 156, px_oz * held, fc=style.SKY, ec="none"))
    ax.plot([50, 50, 210, 210], [top, floor, floor, top], color=style.INK, lw=3, solid_capstyle="round")
    ax.text(130, top + 15, f"can carry {most:.1f} oz", ha="center", va="center")
    ax.text(130, floor - 24, f"carries {held:.1f} oz", ha="center", va="center")
    ax.text(130, floor - 52, f"{rh_pct:g} % of it", ha="center", va="center", weight="bold")

    # the board, drawn as 100 lb of dry wood with its water on top, on the same footing
    wood, water = 100 * px_lb, mc_pct * px_lb
    ax.add_patch(Rectangle((462, floor), 160, wood, fc=style.WOOD, ec=style.BARK, lw=2))
    ax.add_patch(Rectangle((462, floor + wood), 160, water, fc=style.SKY, ec=style.INK, lw=2))
    ax.text(632, floor + wood / 2, "100 lb of\ndry wood", va="center")
    ax.text(632, floor + wood + max(water / 2, 10), f"{mc_pct:g} lb of water", va="center")
    level = floor + wood + rest * px_lb
    ax.plot([450, 622], [level, level], color=style.ORANGE, ls="--")
    ax.text(444, level, f"rests at {rest:.1f} lb", ha="right", va="center", color=style.ORANGE, weight="bold")
    ax.text(542, floor - 24, "moisture content", ha="center", va="center")
    ax.text(542, floor - 52, f"{mc_pct:g} %", ha="center", va="center", weight="bold")

    gap = mc_pct - rest
    if abs(gap) < 0.5:
        words, does = "at rest", "so it stays as it is: at rest"
    elif gap > 0:
        words, does = "gives off\nwater", "so it gives off water: dries"
    else:
        words, does = "takes up\nwater", "so it takes up water: swells"
    if words != "at rest":
        reach = 26 + 50 * min(abs(gap), 30) / 30
        ends = (340 + reach, 340 - reach) if gap > 0 else (340 - reach, 340 + reach)
        ax.annotate(
            "",
            (ends[1], 200),
            (ends[0], 200),
            arrowprops={"arrowstyle": "-|>,head_length=0.9,head_width=0.5", "lw": 5, "color": style.BLUE},
        )
    ax.text(340, 238 if words != "at rest" else 200, words, ha="center", va="center", color=style.BLUE)
    ax.text(20, 456, "100 lb of air, a roomful", weight="bold", size="large", va="center")
    ax.text(462, 456, "A board in that air", weight="bold", size="large", va="center")
    return fig, (
        f"At {temp_f:g} F a roomful of air (100 lb) can carry {most:.1f} oz of water; it carries "
        f"{held:.1f} oz, so its relative humidity is {rh_pct:g} %. In this air wood rests at {rest:.1f} lb "
        f"of water to 100 lb of dry wood ({rest:.1f} % moisture content). This board has {mc_pct:g} lb, "
        f"{does}."
    )


@plots.plotted
def emc_chart(temp_f, rh_pct):
    """Draw where wood comes to rest: EMC against relative humidity, and the point that is asked for.

    Parameters
    ----------
    temp_f : float
        Air temperature, F.
    rh_pct : float
        Relative humidity, %, 5 to 95 (where the published table ends).

    Returns
    -------
    (Figure, str)

    Examples
    --------
    >>> emc_chart(70, 65)[1][:64]
    'At 70 F and 65 % relative humidity wood comes to rest at 12.0 %.'
    """
    fig = plots.new_figure()
    ax = fig.add_axes([0.1, 0.15, 0.77, 0.73])
    here = air.emc_pct(temp_f, rh_pct)
    rh = np.linspace(5, 95, 46)
    ax.axhspan(*FURNITURE_PCT, color=style.GOLD, alpha=0.3, lw=0)
    ax.text(99, 7.0, "furniture: 6 to 8 %", ha="right", va="center")
    for t, s, dy in zip(CURVES_F, plots.SERIES, (7, -4, -6), strict=False):
        y = air.emc_pct(t, rh)
        ax.plot(rh, y, markevery=(3, 9), lw=2.2, **{**s, "markersize": 6})
        plots.end_label(ax, 95, y[-1], f"{t} F", s["color"], dy=dy)
    ax.plot([rh_pct, rh_pct, 0], [0, here, here], color=style.INK, lw=1.6, ls=":")
    ax.plot([rh_pct], [here], "o", ms=15, color=style.INK, mfc=style.GOLD, mew=2.5, zorder=5)
    left = rh_pct > 45
    ax.annotate(
        f"{here:.1f} %",
        (rh_pct, here),
        xytext=(-14, 16) if left else (16, max(-18, 11 - 9.7 * here)),  # under the curve, above the axis
        weight="bold",
        textcoords="offset points",
        ha="right" if left else "left",
        va="center",
        size="large",
        zorder=6,
    )
    ax.set(
        xlim=(0, 100),
        ylim=(0, 26),
        xlabel="Relative humidity (%)",
        ylabel="Wood comes to rest at (% MC)",
        xticks=range(0, 101, 10),
        yticks=range(0, 25, 4),
        title=f"Air at {temp_f:g} F and {rh_pct:g} %: wood rests at {here:.1f} %",
    )
    return fig, (
        f"At {temp_f:g} F and {rh_pct:g} % relative humidity wood comes to rest at {here:.1f} %. Dew would "
        f"form on anything at {air.dew_point_f(temp_f, rh_pct):.0f} F or colder, and a thermometer under a "
        f"wet wick would read {air.wet_bulb_f(temp_f, rh_pct):.0f} F."
    )


HALF_DAYS = 2.0  # invented for the exercise: a thin block comes half the way to rest in this time


def block_weight_oz(days, temp_f, rh_pct, dry_oz):
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


@plots.plotted
def block_on_scale(days, temp_f, rh_pct, dry_oz):
    """Draw a block hung on a scale in a shed, with the weights read so far; the humidity is not told.

    Parameters
    ----------
    days : int
        Day of the reading, 0 to 28.
    temp_f, rh_pct, dry_oz : float
        As in `block_weight_oz`.

    Returns
    -------
    (Figure, str)

    Examples
    --------
    >>> block_on_scale(28, 70, 65, 10.0)[1][:34]
    'Day 28: the block weighs 11.20 oz;'
    """
    fig = plots.new_figure()
    day = np.arange(days + 1)
    weights = np.round(block_weight_oz(day, temp_f, rh_pct, dry_oz), 2)
    now = weights[-1]

    ax = fig.add_axes([0, 0, 0.34, 1])
    ax.set(xlim=(0, 272), ylim=(0, 480))
    ax.axis("off")
    ax.plot([136, 136], [470, 430], color=style.INK, lw=3)
    ax.add_collection(PatchCollection([Rectangle((46, 340), 180, 90)], fc=style.PALE, ec=style.INK, lw=2.5))
    ax.text(136, 385, f"{now:.2f} oz", ha="center", va="center", size="x-large", weight="bold")
    ax.plot([136, 136], [340, 282], color=style.INK, lw=2)
    ax.add_collection(
        PatchCollection(
            [
                Rectangle((66, 160), 130, 100),
                Polygon([(66, 260), (88, 282), (218, 282), (196, 260)]),
                Polygon([(196, 260), (218, 282), (218, 182), (196, 160)]),
            ],
            fc=style.WOOD,
            ec=style.BARK,
            lw=2,
        )
    )
    for r in (18, 34, 50):  # growth rings on the sawn end
        a = np.linspace(0, np.pi, 15)
        ax.plot(131 + r * np.cos(a), 162 + 1.5 * r * np.sin(a), color=style.BARK, lw=1.3)
    ax.text(136, 128, f"oven-dry: {dry_oz:.2f} oz", ha="center", va="center")
    ax.text(136, 96, f"shed: {temp_f:g} F", ha="center", va="center")
    ax.text(136, 52, f"day {days}", ha="center", va="center", weight="bold", size="large")

    ax = fig.add_axes([0.5, 0.15, 0.47, 0.73])
    ax.plot(day, weights, color=style.BLUE, marker="o", markersize=6, lw=1.8)
    ax.plot([0, 28], [dry_oz, dry_oz], color=style.SOFT, ls="--", lw=1.6)
    ax.set(
        xlim=(-0.8, 28.8),
        ylim=(0.985 * dry_oz, 1.2 * dry_oz),
        xlabel="Time in the shed (days)",
        ylabel="Weight (oz)",
        xticks=range(0, 29, 7),
        title="Weights so far",
    )
    return fig, (
        f"Day {days}: the block weighs {now:.2f} oz; oven-dry it weighed {dry_oz:.2f} oz. "
        f"The shed is at {temp_f:g} F."
        + ("" if days == 0 else f" The day before it weighed {weights[-2]:.2f} oz.")
    )
