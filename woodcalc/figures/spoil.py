"""Pictures of what spoils a stack: checks and stain in its first weeks, and the month to saw."""

from __future__ import annotations

from typing import Any

import numpy as np

from woodcalc import climate, species
from woodcalc.checks import FloatOrArray, Numbers, blank, capital
from woodcalc.dates import NEVER
from woodcalc.drying.danger import (
    BARE,
    BOARDS,
    Care,
    checks_by_month,
    checks_say,
    dates_say,
    end_reach_in,
    first_day_loss_pct,
)
from woodcalc.drying.months import BAD, SLOWER, likely_days, what_helps
from woodcalc.drying.rate import thickness as inches
from woodcalc.drying.safe_loss import NEAR, bears
from woodcalc.drying.stain import HIGH, OTHERS_TIMES, SOME, Yard, stain_by_month, stain_says, stains_easily
from woodcalc.figures import style
from woodcalc.figures.chart import Frame
from woodcalc.figures.drawing import Drawing, box
from woodcalc.figures.stack import from_its_end

# What is done for a stack, as lists and sentences name it
CARES = {
    "nothing": BARE,
    "ends coated": Care(ends_coated=True),
    "ends coated, shade cloth": Care(ends_coated=True, shade=True),
    "ends coated, shade cloth, boards closer": Care(ends_coated=True, shade=True, closer=True),
    "ends coated, in a shed": Care(ends_coated=True, shed=True),
    "ends coated, wide spaces": Care(ends_coated=True, wide=True),
    "ends coated, quarter-sawn": Care(ends_coated=True, quartersawn=True),
}
_BOARDS = (
    "in the pile, ordinary day",
    "in the pile, driest week",
    "outermost, driest week",
    "ends, driest week",
)
_SHARES, _WARM_DAYS = 3.0, 12.0  # where the scales end


@style.drawn
def first_weeks(
    wood: str, thickness: str, place: str, month: int, care: str, hours: float, weeks: float
) -> tuple[Drawing, str, str]:
    """Draw the first weeks of a stack: who may check, and how far stain gets.

    Parameters
    ----------
    wood, thickness, place : str
        As in `woodcalc.drying.air_dry`.
    month : int
        Of stacking, 1-12; the 15th.
    care : str
        One of `CARES`.
    hours : float
        From the saw to the sticks, in a solid pile.
    weeks : float
        That the log lay, before it was sawn.

    Returns
    -------
    (Drawing, str, str)
        The last is a table of losses, HTML.

    Examples
    --------
    >>> first_weeks("northern red oak", "8/4", "Albuquerque, NM", 6, "nothing", 12, 0)[1][:83]
    'Northern red oak 8/4, stacked on 15 June at Albuquerque, NM: every board may check '
    """
    kind, done = species.get(wood), CARES[care]
    yard = Yard(weeks, ends_coated=done.ends_coated)
    checks = checks_by_month(wood, thickness, place, care=done).loc[month]
    stain = stain_by_month(wood, thickness, place, care=done, yard=yard, hours_to_sticks=hours).loc[month]
    thick = inches(thickness)
    days = likely_days(wood, thick, place, care=done)[month - 1]
    safe = bears(wood, thick)

    page = Drawing(8.0, 5.2)
    upper = Frame.chart(
        page, page.part(top=0.1, foot=0.66), (0, _SHARES), (-0.6, 3.6), (0, 1, 2, 3), (3, 2, 1, 0),
        "Share of what is safe", ynames=list(_BOARDS), grid="x",
    )  # fmt: skip
    worst = "" if blank(checks.worst_month) or checks.worst_month == month else _worst(checks)
    page.title(10, 22, f"{capital(kind.name)} {thickness}, from 15 {climate.MONTHS[month - 1]} on{worst}")
    shares = checks[["usual", "dry", "outer", "ends"]].to_numpy(dtype=float)
    if blank(checks.level):
        upper.text(1.5, 1.5, "no safe pace is\npublished for it", at="middle", color=style.SOFT)
    else:
        _bars(upper, (3, 2, 1, 0), shares, _SHARES, 2, (1,), shares > 1)
        upper.text(1, 3.6, "safe", dy=-0.7 * page.type, at="middle", bold=True)
    easily = stains_easily(kind)
    limits = [SOME, HIGH] if easily else [SOME * OTHERS_TIMES]
    left, _, across, _ = upper.box
    lower = Frame(page, (left, 0.745 * 520, across, 0.11 * 520), (0, _WARM_DAYS), (-0.6, 0.6))
    below = f"Warm wet days (log {weeks:g} weeks, solid pile {hours:g} h)"
    lower.axes(range(0, 13, 2), (0,), below, ynames=["stain"], grid="x")
    _bars(lower, (0,), (stain.total,), _WARM_DAYS, 1, limits, (stain.level > 0,))
    beside = ("end", "start") if easily else ("middle",)  # two limits are too near for words over both
    for limit, name, at in zip(limits, ("some", "likely"), beside, strict=False):
        lower.text(limit, 0.6, name, dy=-0.7 * page.type, at=at, bold=True)
    by = "" if care == "nothing" else f" ({care})"
    name = f"{capital(kind.name)} {thickness}, stacked on 15 {climate.MONTH_NAMES[month - 1]} at {place}{by}"
    sentence = (
        f"{name}: {_checks(checks, safe)} {_ends(checks, safe, done, thick)} {_stain(stain, kind, easily)} "
        + ("Not down to 20 % within four years." if blank(days) else f"Down to 20 % in {days:.0f} days.")
    )
    return page, sentence, _table(checks, stain, safe)


_MOST = 6.0  # where the scale of shares ends


@style.drawn
def helps(wood: str, thickness: str, place: str, month: int) -> tuple[Drawing, str]:
    """Draw what would help most against checks: the danger of the outermost boards with each thing that can be done.

    Parameters
    ----------
    wood, thickness, place : str
        As in `woodcalc.drying.air_dry`.
    month : int
        Of stacking, 1-12; the 15th.

    Returns
    -------
    (Drawing, str)

    Examples
    --------
    >>> helps("northern red oak", "8/4", "Madison, WI", 6)[1][:83]
    'Northern red oak 8/4, stacked on 15 June at Madison, WI: the outermost boards come '
    """
    kind, thick = species.get(wood), inches(thickness)
    table, safe = (
        what_helps(kind, thick, place, month).sort_values("outer", kind="stable"),
        bears(kind, thick),
    )
    page = Drawing(8.0, 5.2)
    now = f"{capital(kind.name)} {thickness}, stacked on 15 {climate.MONTH_NAMES[month - 1]} at {place}"
    page.title(10, 22, "What would help most?")
    if table.outer.isna().all():
        page.text(400, 260, "no safe pace is\npublished for it", at="middle", color=style.SOFT)
        return page, f"{now}: checks not known. {safe.note}"
    ys = np.arange(len(table))[::-1]
    end = _MOST
    chart = Frame.chart(
        page, page.part(right=0.7, top=0.1), (0, end), (-0.6, len(table) - 0.4), range(0, 7), ys.tolist(),
        "Outermost boards, share of what is safe", ynames=table.index.tolist(), grid="x",
    )  # fmt: skip
    as_is = table.outer["as it is"]
    for y, (name, row) in zip(ys, table.iterrows(), strict=True):
        high, long = row.outer > 1, min(row.outer, end)
        look = style.ORANGE if high else style.SKY
        chart.shapes([box(0, y - 0.3, long, y + 0.3)], look, style.INK, 2.4 if name == "as it is" else 1.2)
    chart.strokes([[(min(as_is, end), -0.6), (min(as_is, end), len(table) - 0.4)]], style.SOFT, 1.6, "4 4")
    chart.rule(x=1, color=style.INK, width=2)
    chart.text(1, len(table) - 0.4, "safe", dy=-0.7 * page.type, at="middle", bold=True)
    left = 570
    for x, words in zip(
        (left, left + 70, left + 150), ("share", "days to\n20 %", "warm wet\ndays"), strict=True
    ):
        page.text(x + 60, 40, words, at="end", size=0.68)
    for y, (_, row) in zip(ys, table.iterrows(), strict=True):
        down = chart.at([(0, y)])[0][1]
        days = NEVER if blank(row.days) else f"{row.days:.0f}"
        for x, words in zip(
            (left, left + 70, left + 150), (f"{row.outer:.2f}", days, f"{row.warm_wet_days:.1f}"), strict=True
        ):
            page.text(x + 60, down, words, at="end", bold=x == left)
    return page, f"{now}: {_helps(table, thick, safe)}"


def _helps(table, thick, safe):
    """What the bars say: where it stands, what helps most there and then, what another month does, what harms."""
    now = table.loc["as it is"]
    told = [f"the outermost boards come to {now.outer:.2f} times what is safe in the worst dry week."]
    there = table[(table.month == now.month) & ~table.index.str.startswith("half")]
    if now.outer <= 1:
        told.append(
            "Nothing has to be done against checks."
            if now.ends <= 1
            else "Their faces need nothing, their ends do."
        )
    else:
        best = there.loc[there.outer.idxmin()]
        more = best.days - now.days
        takes = "" if blank(more) else f" and takes {more:.0f} days more"
        what = SLOWER[-1][1] if best.name.startswith("shed") else best.name
        told.append(f"What helps most is {what}: that makes it {best.outer:.2f}{takes}.")
        if best.outer > 1:
            told.append("That is not enough.")
        if best.stain >= BAD > now.stain:
            told.append(
                "It would make stain likely, which costs more in this wood: coat the ends and leave it at that."
            )
        other = [name for name in table.index if name not in there.index]
        told += [f"{capital(name)} it would be {table.outer[name]:.2f}." for name in other]
    told.append(f"Wide spaces make it {table.outer['wide spaces']:.2f}.")
    if now.ends > 1:
        told.append(
            "The ends check first: coat them on the day of sawing, or plan to cut checks off them, up to "
            f"{end_reach_in(thick):.0f} in each."
        )
    if thick > 2:
        told.append("Over 8/4 nothing was checked: the times and shares are carried on, and rougher.")
    return " ".join([*told, safe.note]).strip()


WINDY = ("white oak", 2.0, "Madison, WI", 6)  # wood, thickness, place and month of the stack to save
WINDY_SAFE_PCT = 1.0  # FOR-128 table 9: upland white oak, 8/4


def windy_loss_pct(closed_pct: Numbers, wind_times: float) -> FloatOrArray:
    """What the stack to save loses on a first day in the driest week (% MC), its windward side closed by so much.

    Parameters
    ----------
    closed_pct : float or array
        0 to under 100 %: the air's speed over the boards falls in step (common practice).
    wind_times : float
        The wind against that of an ordinary place.

    Returns
    -------
    float or ndarray

    Examples
    --------
    >>> windy_loss_pct([0, 50], 2.0).round(2).tolist()
    [1.35, 1.01]
    """
    wood, thick, place, month = WINDY
    speed = wind_times * (1 - np.asarray(closed_pct, dtype=float) / 100)
    return first_day_loss_pct(wood, thick, place, month, speed)


@style.drawn
def windy_stack(closed_pct: int, wind_times: float) -> tuple[Drawing, str]:
    """Draw what the stack to save loses on a first day in the driest week, closed to the wind by so much.

    Parameters
    ----------
    closed_pct : int
    wind_times : float
        As in `windy_loss_pct`.

    Returns
    -------
    (Drawing, str)

    Examples
    --------
    >>> windy_stack(50, 2.0)[1]
    'Closed by 50 %, the boards lose 1.01 points on the first day; 1.00 is safe.'
    """
    wood, _, _, month = WINDY
    safe = WINDY_SAFE_PCT
    lost = windy_loss_pct(np.arange(0, closed_pct + 1, 5), wind_times)
    page = Drawing()
    page.title(20, 28, f"{capital(wood)} 8/4, driest week of {climate.MONTH_NAMES[month - 1]}")
    left, top, right, foot = 150.0, 120.0, 390.0, 390.0  # of the boards of the pile
    step, _ = from_its_end(page, (left, top, right, foot), 10, 6)
    cloth = top - 16 + (foot - top + 16) * closed_pct / 100  # hangs from the eave
    if closed_pct:
        page.polygons([box(left - 22, top - 16, left - 12, cloth)], style.SKY, style.INK, 1.2)
    for y in top + step * (np.arange(0, 10, 2) + 0.6):
        page.arrow((56, y), (left - 28 if y < cloth else left - 4, y), style.BLUE, 2.4)
    page.text(76, top - 10, "wind", "middle", style.BLUE)
    page.text((left + right) / 2, foot + 48, f"closed by {closed_pct} %", "middle", bold=True)

    gauge = Frame(page, (560, 96, 60, 314), (0, 1), (0, 2.2))
    over = round(lost[-1], 2) > safe
    gauge.shapes([box(0, 0, 1, lost[-1])], style.ORANGE if over else style.SKY, "none")
    gauge.shapes([box(0, 0, 1, 2.2)], width=1.4)
    gauge.strokes([[(0.15, each), (0.85, each)] for each in lost[:-1]], style.SOFT, 1.2)
    gauge.strokes([[(-0.25, safe), (1.25, safe)]], width=2.4)
    gauge.text(-0.4, safe, f"safe {safe:.2f}", at="end")
    gauge.text(
        1.35, lost[-1], f"{lost[-1]:.2f}", bold=True, size=1.2, color=style.ORANGE if over else style.BLUE
    )
    page.text(590, 436, "points lost on the first day", "middle")
    if closed_pct:
        page.text(590, 436 + 1.2 * page.type, "each line: closed 5 % less", "middle", style.SOFT, 0.85)
    return page, (
        f"Closed by {closed_pct} %, the boards lose {lost[-1]:.2f} points on the first day; {safe:.2f} is safe."
    )


def _bars(frame, ys, values, end, digits, limits, over):
    """Bars with their numbers clear of the limits; a bar beyond the scale's end has its number inside."""
    for y, value, high in zip(ys, values, over, strict=True):
        outline = box(0, y - 0.3, min(value, end), y + 0.3)
        frame.shapes([outline], style.ORANGE if high else style.SKY, style.INK, 1.2)
    for limit in limits:
        frame.rule(x=limit, color=style.INK, width=2)
    for y, value in zip(ys, values, strict=True):
        x = min(value, end)
        look: dict[str, Any] = {"dx": 8, "halo": True}
        if value > 0.8 * end:
            look = {"at": "end", "dx": -8}
        else:
            x = next((limit for limit in limits if x <= limit < x + 0.14 * end), x)
        frame.text(x, y, f"{value:.{digits}f}", bold=True, **look)


def _checks(row, safe):
    if blank(row.level):
        return f"checks not known. {safe.note}"
    worst = 0 if row.name == row.worst_month else int(row.worst_month)
    parts = [checks_say(row.level, row.outer, worst) + "."]
    if worst and row.outer > NEAR:
        parts.append(f"The board is still at {row.worst_mc_pct:.0f} % then.")
    if not blank(safe.loss_pct):
        lost = [row[f"{name}_loss_pct"] for name in BOARDS]
        digits = (
            2 if min(abs(each - safe.loss_pct) for each in lost) < 0.1 else 1
        )  # none rounded to what is safe
        usual, dry, outer, most = (f"{each:.{digits}f} %" for each in (*lost, safe.loss_pct))
        parts.append(
            f"A day takes up to {usual} on the average, {dry} in the driest week, {outer} from the outermost boards; "
            f"{most} is safe."
        )
        parts.append(dates_say(row, safe.loss_pct))
    parts += [_but(row, safe), safe.note]
    if safe.spread_pct:
        low, high = (row.outer_loss_pct / each for each in reversed(safe.spread_pct))
        parts.append(f"Of that range the outermost boards' loss is {low:.1f} to {high:.1f} times.")
    return " ".join(filter(None, parts))


def _but(row, safe):
    """What the loss of a day doesn't show of the board that sets the level."""
    over = [name for name in BOARDS if row[name] > 1]
    if not over or row[f"{over[0]}_by"] == "loss":
        return ""
    board = over[0]
    where = "an outermost board" if board == "outer" else "a board in the pile"
    return (
        f"The air would bring the face of {where} down to {row[f'{board}_emc_pct']:.0f} %; a kiln starts "
        f"{safe.kiln_of} in warm air of {safe.kiln_emc_pct:.0f} %."
    )


def _worst(row):
    """The month in which a stack that is still wet is the worst off; nothing where no month is bad."""
    return f", worst in {climate.MONTHS[int(row.worst_month) - 1]}" if row.outer > NEAR else ""


def _ends(row, safe, care, thick):
    if care.ends_coated:
        return "Coated, the ends check little more than the faces do."
    if row.ends <= 1:
        return "The open ends stay under what is safe, too."
    return f"The open ends dry ahead over {end_reach_in(thick):.0f} in: coat them on the day of sawing."


def _stain(row, wood, easily):
    where = "" if easily else " in its sapwood"
    said, _, near = stain_says(wood, row.level, row.total).partition(", ")
    return f"{capital(said)}{where}{', ' + near if near else ''}: {row.total:.1f} warm wet days."


def _table(checks, stain, safe):
    rows = [
        ("In the pile, ordinary day", f"{checks.usual_loss_pct:.1f} % a day"),
        ("In the pile, driest week", f"{checks.dry_loss_pct:.1f} % a day"),
        ("Outermost boards, driest week", f"{checks.outer_loss_pct:.1f} % a day"),
        ("Safe", "not published" if blank(safe.loss_pct) else f"{safe.loss_pct:.1f} % a day"),
        ("Air that the face of an outermost board meets", f"{checks.outer_emc_pct:.0f} % EMC"),
        ("Warm wet days of the log", f"{stain['log']:.1f}"),
        ("in a solid pile", f"{stain.solid:.1f}"),
        ("on sticks", f"{stain.sticks:.1f}"),
    ]
    return "<table>" + "".join(f"<tr><td>{name}</td><td>{told}</td></tr>" for name, told in rows) + "</table>"
