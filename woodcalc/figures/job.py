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


def _short(when):
    """A day as a picture has room for it."""
    return f"{when.day} {MONTHS[when.month - 1]}"


def _step_up(chart, day, height, words):
    """Words over a day of the ribbon, on a line that stands on it."""
    page, (left, _, across, _) = chart.page, chart.box
    chart.strokes([[(day, 0.3), (day, height)]], width=1.4)
    x, y = chart.at((day, height))
    page.text(max(min(x + 5, left + across - page.width(words)), left), y, words, halo=True)


@style.drawn
def job_calendar(
    place: str,
    species: str,
    nominal: str,
    month: int,
    part: str = "mixed",
    year: int | None = None,
    stacked_on: date | None = None,
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
    stacked_on : date, optional
        The day that it went on sticks, in place of the middle of the month.

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
    start = stacked_on or (date(year, int(month), 15) if year else drying.start_date(int(month)))
    forecast, season, mc, room = _dry(place, species, nominal, start, part)
    first = start.replace(month=1, day=1)
    days, end = 1095, (season - first).days

    page = Drawing(8.0, 3.4)
    quarters = [((first.replace(year=start.year + y, month=m) - first).days, MONTHS[m - 1])
                for y in range(3) for m in (1, 4, 7, 10)]  # fmt: skip
    marks, names = zip(*quarters, strict=True)
    chart = Frame.chart(
        page, page.part(top=0.1), (0, days), (-1.25, 1.95), marks, (), xnames=names, grid="x", below=1.3, beside=" ",
    )  # fmt: skip
    for later, day in enumerate(marks[::4]):
        chart.text(day, -1.25, str(start.year + later), dy=2.1 * page.type, at="middle", size=0.95)
    of = "" if asked == "mixed" else f": {asked}" if part == asked else f": {asked}, dated as the whole log"
    page.title(12, 22, f"{place}{of}")
    bench = end + room if np.isfinite(room) else np.inf
    begun = (start - first).days
    for a, b, color in ((begun, end, style.WOOD), (end, bench, page.hatch(style.WOOD))):
        if b > a:
            chart.shapes([box(a, -0.3, min(b, days), 0.3)], color, width=1.7)
    if bench <= days - 70:
        legs = [box(bench + a, -0.3, bench + a + 7, 0.15) for a in (22, 58)]
        chart.shapes([*legs, box(bench + 12, 0.12, bench + 75, 0.28)], style.BARK, "none")
    steps_up: list[tuple[float, str]] = [(begun, f"on sticks {_short(start)}")]
    if room > 0 or not np.isfinite(room):
        steps_up.append((end, f"in the room {_short(season)}"))
    ready_on = season + timedelta(days=round(room)) if np.isfinite(room) else None
    steps_up.append(
        (bench, f"to the bench {_short(ready_on)}" if ready_on else "a year in the room is not enough")
    )
    for k, (day, words) in enumerate(steps_up):
        _step_up(chart, min(day, days), 0.62 + 0.5 * (len(steps_up) - 1 - k), words)
    low, likely, high = forecast.date_of(20)
    cut = "" if part == "mixed" else f", {part},"
    wood = f"{species.capitalize()} {nominal}{cut} on sticks on {day_told(start)}"
    over = f"the season ends after {(season - start).days} days ({day_told(season)}) near {mc:.0f} %"
    if likely:
        at, ends = (likely - first).days, [(low - first).days, (high - first).days if high else days]
        chart.strokes([[(min(x, days), -0.5) for x in ends]], width=5)
        if at <= days:
            chart.strokes([[(at, -0.5), (at, 0)]], width=1.4)
            chart.mark(at, 0, "D", style.GOLD, 8.5, width=2)
        words = f"20 %: {_short(likely)}, four in five {_short(low)} to {_short(high) if high else 'never'}"
        wide = chart.page.width(words, 0.95) / chart.box[2] * days
        chart.text(min(ends[0], days - wide), -0.9, words, size=0.95, halo=True)
        dry = f"is down to 20 % after {(likely - start).days} days ({day_told(likely)}), most likely"
    if not likely:
        says = f"{wood}; {over}"
    elif likely <= season:
        says = f"{wood} {dry}; {over}"
    else:
        says = f"{wood}: {over}; left outdoors it {dry}"
    ready = day_told(ready_on) if ready_on else ""
    says += (
        ", dry enough for furniture as it is."
        if room == 0
        else f"; {room:.0f} more days in a heated room bring it to 7 % ({ready})."
        if np.isfinite(room)
        else "; a year in a heated room does not bring it to 7 %."
    )
    says += f" {unknown}" if unknown else ""
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
    hours = np.array([table.loc[name, "hours"] for name in _PARTS])
    page = Drawing(8.0, 4.2)
    rows = (-6.6, 0.6)
    left = Frame.chart(
        page, page.part(right=0.44, top=0.14), (100, 0), rows, range(0, 101, 25), (), "Hours of work, all boards",
        grid="x",
    )  # fmt: skip
    dollars = np.arange(0, 2.1, 0.5)
    chart = Frame.chart(
        page, page.part(left=0.56, top=0.14), (0, 2.0), rows, dollars, (), "Dollars for a board foot",
        xnames=[f"{d:.2f}" for d in dollars], grid="x",
    )  # fmt: skip
    slanted, middle = page.hatch("white", style.INK), 400.0
    for y, (name, spent, a, b) in enumerate(zip(_PARTS.values(), hours, paid, paid + work, strict=True)):
        page.text(middle, float(chart.at((0, -y))[1]), name, "middle")
        if spent > 0:
            left.shapes([box(0, -y - 0.31, spent, -y + 0.31)], style.SKY, width=1.4)
        for fill, low, right in ((style.WOOD, 0, a), (slanted, a, b)):
            if right > low:
                chart.shapes([box(low, -y - 0.31, right, -y + 0.31)], fill, width=1.4)
    most = int(hours.argmax())
    left.text(hours[most], -most, f"{hours[most]:.0f}", dx=-8, at="end", bold=True)
    dear = int((paid + work).argmax())
    chart.text((paid + work)[dear], -dear, f"${(paid + work)[dear]:.2f}", dx=8, bold=True, halo=True)
    if usd_per_hour:
        page.key(middle - 8, 66, [("paid", {"fill": style.WOOD}), ("worth of the hours", {"fill": slanted})])
    total, hours = paid.sum() + work.sum(), table.loc["All", "hours"]
    page.title(middle - 60, 30, f"{hours:.0f} hours", "end")
    page.title(middle + 60, 30, f"${total:.2f} a board foot")
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
