"""Pictures of places: a year of air outdoors and in a heated house, and where wood comes to rest in it."""

from __future__ import annotations

import numpy as np

from woodcalc import air, climate, movement
from woodcalc.figures import style
from woodcalc.figures.chart import Frame
from woodcalc.figures.drawing import Drawing
from woodcalc.moisture import FURNITURE_PCT

HEAT_F, PEOPLE_G_PER_M3 = 68, 3  # the house that the text speaks of: lived in, heated to this


def _year(title, lines, lowest):
    """A page with where wood rests month by month, a line for each (values, name); `lowest` of all shown."""
    page = Drawing()
    chart = Frame.chart(
        page, page.part(), (0.6, 12.4), (0, 28), range(1, 13), range(0, 29, 4), "Month (January to December)",
        "Wood comes to rest at (% MC)", title, [m[0] for m in climate.MONTHS],
        beside=max((name for _, name in lines), key=page.width),
    )  # fmt: skip
    chart.band(y=FURNITURE_PCT)
    for n, (values, _) in enumerate(lines):
        chart.line(np.arange(1, 13), values, n)
    ends = [(max(y[-1], 2), name, style.SERIES[n]["color"]) for n, (y, name) in enumerate(lines)]
    chart.end_labels(12, ends, dx=18)  # past the shed's marker
    free = 1.1 if lowest > 3.2 else 26.8  # above the axis or under the title: no line runs there
    chart.text(6.5, free, "shaded: furniture wood, 6 to 8 %", at="middle", halo=True)
    return page, chart


def _lowest(y):
    """'12.7 % in Apr' of the lowest month; of the highest, if `y` comes with its sign turned."""
    return f"{abs(y.min()):.1f} % in {climate.MONTHS[y.argmin()]}"


@style.drawn
def year_indoors(place: str, heat_f: float, people_g_per_m3: float, cooled: bool) -> tuple[Drawing, str, str]:
    """Draw where wood rests through a typical year: under a roof outdoors, and in a heated house.

    Parameters
    ----------
    place : str
        A place that `woodcalc.climate.get` knows.
    heat_f, people_g_per_m3, cooled :
        As in `woodcalc.movement.indoors`.

    Returns
    -------
    (Drawing, str, str)
        The last is a table of the twelve months, HTML.

    Examples
    --------
    >>> year_indoors("Madison, WI", 68, 3, False)[1][:73]
    'Madison, WI: outdoors wood rests between 12.8 % in May and 15.4 % in Jan;'
    """
    year = climate.get(place).monthly
    inside = movement.indoors(place, heat_f=heat_f, people_g_per_m3=people_g_per_m3, cooled=cooled)
    out, house = year.emc_pct.to_numpy(), inside.emc_pct.to_numpy()
    page, _ = _year(
        f"A year at {place}", [(out, "outdoors,\nunder a roof"), (house, "in the\nhouse")], house.min()
    )
    sentence = (
        f"{place}: outdoors wood rests between {_lowest(out)} and {_lowest(-out)}; in a house heated to "
        f"{heat_f:g} F, between {_lowest(house)} and {_lowest(-house)}. "
        f"Over the year: {out.mean():.1f} % outdoors, {house.mean():.1f} % in the house."
    )
    return page, sentence, _table(year, inside)


def _table(year, inside):
    rows = [
        ("Outdoors (F)", year.temp_f, 0),
        ("Outdoors (% RH)", year.rh_pct, 0),
        ("Wood outdoors rests at (% MC)", year.emc_pct, 1),
        ("House (F)", inside.temp_f, 0),
        ("House (% RH)", inside.rh_pct, 0),
        ("Wood in the house rests at (% MC)", inside.emc_pct, 1),
    ]
    head = "<tr><td></td>" + "".join(f"<th>{m}</th>" for m in climate.MONTHS) + "</tr>"
    body = ""
    for name, values, decimals in rows:
        body += f"<tr><td>{name}</td>" + "".join(f"<td>{v:.{decimals}f}</td>" for v in values) + "</tr>"
    return f"<table>{head}{body}</table>"


@style.drawn
def shed_today(place: str, month: int, temp_f: float, rh_pct: float) -> tuple[Drawing, str]:
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
    (Drawing, str)

    Examples
    --------
    >>> shed_today("Madison, WI", 5, 60, 60)[1][:60]
    'Air at 60 F and 60 % lets wood rest at 11.1 %. A typical May'
    """
    year = climate.get(place).monthly
    out, shed = year.emc_pct.to_numpy(), air.emc_pct(temp_f, rh_pct)
    usual, name = out[month - 1], climate.MONTHS[month - 1]
    page, chart = _year(f"A typical year at {place}", [(out, "outdoors")], shed)
    chart.strokes([[(month, usual), (month, shed)]], width=2.2, dash="2 4")
    chart.mark(month, shed, "D", style.ORANGE, 9.5, width=2)
    above = shed < 5.5 or usual < shed  # away from the curve, if the axis leaves room
    dx, at = (11, "start") if month < 7 else (-11, "end")
    words = f"your shed {shed:.1f} %"
    chart.text(month, shed, words, dx, -28 if above else 28, at=at, color=style.ORANGE, bold=True, halo=True)
    side = "about as dry as" if abs(shed - usual) < 0.5 else "drier than" if shed < usual else "damper than"
    low, high = FURNITURE_PCT
    if shed > high:
        gap = f"{shed - high:.1f} points above what furniture wants"
    elif shed < low:
        gap = f"{low - shed:.1f} points below what furniture wants"
    else:
        gap = "within what furniture wants"
    return page, (
        f"Air at {temp_f:g} F and {rh_pct:g} % lets wood rest at {shed:.1f} %. A typical {name} outdoors at "
        f"{place} gives {usual:.1f} %, so the shed is {side} that, and {gap} (6 to 8 %)."
    )
