"""Pictures of the whole job that answer to sliders: when the wood is dry, what it costs, a month to be found."""

from __future__ import annotations

from datetime import date, timedelta
from functools import cache

import numpy as np

from woodcalc import drying, kiln
from woodcalc.climate import MONTHS
from woodcalc.dates import day_told
from woodcalc.figures import style
from woodcalc.figures.chart import Frame
from woodcalc.figures.drawing import Drawing, box
from woodcalc.figures.records import AFTER, DOT, days_on_sticks, key
from woodcalc.plan import job, steps


@cache
def _dry(place, species, nominal, start, part):
    """The forecast and, from where its first season ends, the days in a heated room down to 7 %."""
    forecast = drying.air_dry(species, nominal, place, start, part=part)
    when, mc = steps.first_season(forecast)
    if mc <= 7:
        return forecast, when, mc, 0.0
    return (
        forecast,
        when,
        mc,
        kiln.indoors(species, forecast.thickness_in, place, when, mc, 7.0, days=365, part=part).days_to(),
    )


@style.drawn
def job_calendar(
    place: str, species: str, nominal: str, month: int, part: str = "mixed", year: int | None = None
) -> tuple[Drawing, str]:
    """Draw when the wood is dry if it goes on sticks in the middle of a month: outdoors, then in a heated room.

    Parameters
    ----------
    place, species : str
    nominal : str
        ``"4/4"``.
    month : int
        1 to 12.
    part : str
        Of the log. Where it is not known how wet that part is, or at what pace it dries, the mixed board is drawn and
        the sentence says so.
    year : int, optional
        Of that month; the next such month if left out.

    Returns
    -------
    (Drawing, str)

    Examples
    --------
    >>> job_calendar("Madison, WI", "northern red oak", "8/4", 5, year=2027)[1][:82]
    'Northern red oak 8/4 on sticks on 15 May 2027: the season ends after 210 days (11 '
    """
    asked = part
    part, unknown = drying.dated_part(species, asked)
    start = date(year, int(month), 15) if year else drying.start_date(int(month))
    forecast, season, mc, room = _dry(place, species, nominal, start, part)
    first = start.replace(month=1, day=1)
    days, end = 1095, (season - first).days

    page = Drawing(8.0, 3.4)
    quarters = [((first.replace(year=start.year + y, month=m) - first).days, MONTHS[m - 1])
                for y in range(3) for m in (1, 4, 7, 10)]  # fmt: skip
    marks, names = zip(*quarters, strict=True)
    chart = Frame.chart(
        page, page.part(top=0.1), (0, days), (-1.7, 0.6), marks, (0, -1), xnames=names,
        ynames=("On sticks", "Heated room"), grid="x", below=1.3,
    )  # fmt: skip
    for later, day in enumerate(marks[::4]):
        chart.text(day, -1.7, str(start.year + later), dy=2.1 * page.type, at="middle", size=0.95)
    of = "" if asked == "mixed" else f": {asked}" if part == asked else f": {asked}, dated as the whole log"
    page.title(12, 22, f"{place}{of}")
    bars = ((0, (start - first).days, end, style.WOOD), (-1, end, end + np.nan_to_num(room), style.PALE))
    for y, a, b, color in bars:
        if b > a:
            chart.shapes([box(a, y - 0.275, min(b, days), y + 0.275)], color, width=1.7)
    low, likely, high = forecast.date_of(20)
    cut = "" if part == "mixed" else f", {part},"
    wood = f"{species.capitalize()} {nominal}{cut} on sticks on {day_told(start)}"
    over = f"the season ends after {(season - start).days} days ({day_told(season)}) near {mc:.0f} %"
    if likely:
        chart.strokes([[((low - first).days, 0), ((high - first).days if high else days, 0)]], width=7)
        chart.mark((likely - first).days, 0, "D", "white", 7.5, width=1.7)
        dry = f"is down to 20 % after {(likely - start).days} days ({day_told(likely)}), most likely"
    if not likely:
        says = f"{wood}; {over}"
    elif likely <= season:
        says = f"{wood} {dry}; {over}"
    else:
        says = f"{wood}: {over}; left outdoors it {dry}"
    ready = day_told(season + timedelta(days=round(room))) if np.isfinite(room) else ""
    says += (
        ", dry enough for furniture as it is."
        if room == 0
        else f"; {room:.0f} more days in a heated room bring it to 7 % ({ready})."
        if np.isfinite(room)
        else "; a year in a heated room does not bring it to 7 %."
    )
    says += f" {unknown}" if unknown else ""
    chart.text(days, -1.54, "black bar: 20 %, four stacks in five", at="end", halo=True)
    return page, says


@cache
def kettle_hollow_plan() -> job.Plan:
    """Return the plan of the invented woodlot from 15 May 2026, made once."""
    return job.make_plan(start="2026-05-15")


_PARTS = {
    "Bring and roll the logs": "logs", "Saw": "sawing", "Blades": "blades", "Fuel": "fuel",
    "Foundations and covers": "piles", "Stack on stickers": "stacking", "Check every two weeks": "checks",
}  # fmt: skip


@style.drawn
def what_it_costs(
    mill_bf_per_hour: float,
    usd_per_hour: float,
    usd_per_ft2_cover: float,
    usd_per_sticker: float,
    lost_pct: float,
) -> tuple[Drawing, str]:
    """Draw what a board foot of Kettle Hollow's lumber costs, part by part, hours of work included at their worth.

    Parameters
    ----------
    mill_bf_per_hour, usd_per_hour, usd_per_ft2_cover, usd_per_sticker, lost_pct : float
        As in `plan.ASSUMPTIONS`.

    Returns
    -------
    (Drawing, str)
    """
    plan = kettle_hollow_plan()
    step = plan.costs(
        mill_bf_per_hour=mill_bf_per_hour, usd_per_hour=usd_per_hour, usd_per_ft2_cover=usd_per_ft2_cover,
        usd_per_sticker=usd_per_sticker, lost_pct=lost_pct,
    )  # fmt: skip
    table = step.table.set_index("what")
    bf = table.loc["Saw", "amount"]
    paid = np.array([table.loc[name, "usd"] for name in _PARTS]) / bf
    work = np.array([table.loc[name, "hours"] for name in _PARTS]) * usd_per_hour / bf
    page = Drawing(8.0, 4.2)
    dollars = np.arange(0, 2.1, 0.25)
    chart = Frame.chart(
        page, page.part(), (0, 2.0), (-6.6, 0.6), dollars, range(0, -7, -1), "Dollars for a board foot ($/bf)",
        xnames=[f"{d:.2f}" for d in dollars], ynames=_PARTS.values(), grid="x",
    )  # fmt: skip
    slanted = page.hatch("white", style.INK)
    for y, (a, b) in enumerate(zip(paid, paid + work, strict=True)):
        for fill, left, right in ((style.WOOD, 0, a), (slanted, a, b)):
            if right > left:
                chart.shapes([box(left, -y - 0.31, right, -y + 0.31)], fill, width=1.4)
    left = 722 - page.width("worth of the hours", 0.95)
    page.key(left, 285, [("money paid", {"fill": style.WOOD})])
    page.key(left, 285 + 1.5 * page.type, [("worth of the hours", {"fill": slanted})])
    total, hours = paid.sum() + work.sum(), table.loc["All", "hours"]
    return page, (
        f"{bf:,.0f} board feet take {hours:.0f} hours of work and ${paid.sum() * bf:,.0f} paid: ${total:.2f} a board "
        f"foot with an hour worth ${usd_per_hour:g}, give or take three tenths."
    )


HIDDEN_PLACE, HIDDEN_WOOD = "Madison, WI", "northern red oak"


def _hidden(month):
    """As `_dry`, of the stack whose month is not told: in whichever year."""
    return _dry(HIDDEN_PLACE, HIDDEN_WOOD, "4/4", date(2026, month, 15), "mixed")


@style.drawn
def unknown_month(month: int, tried_month: int) -> tuple[Drawing, str]:
    """Draw the weighings of a stack whose month of stacking is not told, and the forecast of a month that is tried.

    Parameters
    ----------
    month, tried_month : int
        1 to 12.

    Returns
    -------
    (Drawing, str)
    """
    days = np.arange(0, 211, 14)
    truth = _hidden(int(month))[0].daily["likely"].to_numpy()
    tried = _hidden(int(tried_month))[0].daily["likely"].to_numpy()
    name = f"mid-{MONTHS[tried_month - 1]}"
    page, chart = days_on_sticks(4.2, (-4, 212), 90)
    x = np.arange(0, 211, 3)
    chart.line(x, tried[x], every=0, width=3.6, **AFTER)
    chart.mark(days, truth[days], **DOT)
    key(page, (f"stacked in {name}", AFTER), ("weighed", "o"))
    gap = np.abs(truth[days] - tried[days]).mean()
    return page, f"Stacked in {name}, the forecast misses the weighings by {gap:.1f} points on the average."
