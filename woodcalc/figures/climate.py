"""Pictures of places: a year of air outdoors and in a heated house, and where wood comes to rest in it."""

import numpy as np

from woodcalc import air, climate, movement
from woodcalc.figures import plots, style
from woodcalc.figures.air import FURNITURE_PCT

HEAT_F, PEOPLE_G_PER_M3 = 68, 3  # the house that the text speaks of: lived in, heated to this


def _year_axes(fig, title):
    ax = fig.add_axes([0.1, 0.13, 0.73, 0.75])
    ax.axhspan(*FURNITURE_PCT, color=style.GOLD, alpha=0.3, lw=0)
    ax.text(6.5, 0.9, "shaded: furniture wood, 6 to 8 %", ha="center", va="center")
    ax.set(
        xlim=(0.6, 12.4),
        ylim=(0, 25),
        yticks=range(0, 25, 4),
        ylabel="Wood comes to rest at (% MC)",
        xticks=range(1, 13),
        title=title,
    )
    ax.set_xticklabels([m[0] for m in climate.MONTHS])
    ax.set_xlabel("Month (January to December)")
    return ax


def _lowest(y):
    """'12.7 % in Apr' of the lowest month; of the highest, if `y` comes with its sign turned."""
    return f"{abs(y.min()):.1f} % in {climate.MONTHS[y.argmin()]}"


@plots.plotted
def year_indoors(place, heat_f, people_g_per_m3, cooled):
    """Draw where wood rests through a typical year: under a roof outdoors, and in a heated house.

    Parameters
    ----------
    place : str
        A place that `woodcalc.climate.get` knows.
    heat_f, people_g_per_m3, cooled :
        As in `woodcalc.movement.indoors`.

    Returns
    -------
    (Figure, str, str)
        The last is a table of the twelve months, HTML.

    Examples
    --------
    >>> year_indoors("Madison, WI", 68, 3, False)[1][:73]
    'Madison, WI: outdoors wood rests between 12.7 % in Apr and 17.1 % in Dec;'
    """
    fig = plots.new_figure()
    year = climate.get(place).monthly
    inside = movement.indoors(place, heat_f=heat_f, people_g_per_m3=people_g_per_m3, cooled=cooled)
    out, house = year.emc_pct.to_numpy(), inside.emc_pct.to_numpy()
    ax = _year_axes(fig, f"A year at {place}")
    month = np.arange(1, 13)
    lines = ((out, plots.SERIES[0], "outdoors,\nunder a roof"), (house, plots.SERIES[1], "in the\nhouse"))
    for y, s, _ in lines:
        ax.plot(month, y, **s)
    plots.end_labels(ax, 12, [(y[-1], name, s["color"]) for y, s, name in lines])

    sentence = (
        f"{place}: outdoors wood rests between {_lowest(out)} and {_lowest(-out)}; in a house heated to "
        f"{heat_f:g} F, between {_lowest(house)} and {_lowest(-house)}. "
        f"Over the year: {out.mean():.1f} % outdoors, {house.mean():.1f} % in the house."
    )
    return fig, sentence, _table(year, inside)


def _table(year, inside):
    rows = [
        ("Outdoors (F)", year.temp_f, 0),
        ("Outdoors (% RH)", year.rh_pct, 0),
        ("Wood outdoors rests at (% MC)", year.emc_pct, 1),
        ("House (F)", inside.temp_f, 0),
        ("House (% RH)", inside.rh_pct, 0),
        ("Wood in the house rests at (% MC)", inside.emc_pct, 1),
    ]
    head = "<tr><th></th>" + "".join(f"<th>{m}</th>" for m in climate.MONTHS) + "</tr>"
    body = ""
    for name, values, decimals in rows:
        body += f"<tr><td>{name}</td>" + "".join(f"<td>{v:.{decimals}f}</td>" for v in values) + "</tr>"
    return f"<table>{head}{body}</table>"


@plots.plotted
def shed_today(place, month, temp_f, rh_pct):
    """Draw the year outdoors at a place with the air that a hygrometer shows today.

    Parameters
    ----------
    place : str
        A place that `woodcalc.climate.get` knows.
    month : int
        Today's month, 1 to 12.
    temp_f, rh_pct : float
        What thermometer and hygrometer say, F and %.

    Returns
    -------
    (Figure, str)

    Examples
    --------
    >>> shed_today("Madison, WI", 5, 60, 60)[1][:60]
    'Air at 60 F and 60 % lets wood rest at 11.1 %. A typical May'
    """
    fig = plots.new_figure()
    year = climate.get(place).monthly
    out, shed = year.emc_pct.to_numpy(), air.emc_pct(temp_f, rh_pct)
    usual, name = out[month - 1], climate.MONTHS[month - 1]
    ax = _year_axes(fig, f"A typical year at {place}")
    s = plots.SERIES[0]
    ax.plot(np.arange(1, 13), out, **s)
    plots.end_label(ax, 12, out[-1], "outdoors", s["color"], dx=12)
    ax.plot([month, month], [usual, shed], color=style.INK, lw=1.6, ls=":")
    ax.plot([month], [shed], "D", ms=13, color=style.ORANGE, mec=style.INK, mew=1.5, zorder=5)
    above = shed < 4.5 or usual < shed < 21.5  # away from the curve, if title and axis leave room
    ax.annotate(
        f"your shed {shed:.1f} %",
        (month, shed),
        xytext=(8 if month < 7 else -8, 20 if above else -20),
        weight="bold",
        textcoords="offset points",
        ha="left" if month < 7 else "right",
        va="center",
        color=style.ORANGE,
        zorder=6,
    )
    side = "about as dry as" if abs(shed - usual) < 0.5 else "drier than" if shed < usual else "damper than"
    low, high = FURNITURE_PCT
    if shed > high:
        gap = f"{shed - high:.1f} points above what furniture wants"
    elif shed < low:
        gap = f"{low - shed:.1f} points below what furniture wants"
    else:
        gap = "within what furniture wants"
    return fig, (
        f"Air at {temp_f:g} F and {rh_pct:g} % lets wood rest at {shed:.1f} %. A typical {name} outdoors at "
        f"{place} gives {usual:.1f} %, so the shed is {side} that, and {gap} (6 to 8 %)."
    )
