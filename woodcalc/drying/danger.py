"""Danger of checks while a board is wet: what it loses in a day, against what its wood can take.

No such index is published. Ours is a share, the larger of two: the greatest loss of one day, over the wood's safe one
(`safe_loss`), and how far the face would lie under a wet core, over how far it does in the air in
which a kiln starts the wood.

Water leaves a wet face as it leaves a wet wick: with the wet-bulb depression of the air, and hardly with its warmth.
Inside, it moves with the warmth. So dry air checks wood and damp air, however warm, much less: `wet_face`. Nothing of
this was fitted to either limit: the first steps of kiln schedules, safe by definition, are held against it
(`first_step_loss_pct`).

A board that is stacked in winter is still wet when the dry weeks of spring come. So it is followed from month to month
until new checks are no longer the danger, and the worst of these months counts (`later_losses`).

It is worked out for three boards. One lies in the pile on ordinary days. One lies there while the place has the
driest week of that month. And one lies outermost in that week, where the wind comes in and the sun shines. A share over
1 is over what is published as safe: that is the only limit, and which boards pass it is the level of danger.
"""

from __future__ import annotations

from datetime import date
from functools import cache
from typing import TYPE_CHECKING

import numpy as np

from woodcalc import air, climate, moisture
from woodcalc import species as woods
from woodcalc.checks import FloatOrArray, Numbers, blank, plain
from woodcalc.climate.spells import spells
from woodcalc.drying import slab
from woodcalc.drying.care import BARE, Care
from woodcalc.drying.rate import (
    REFERENCE_WIDTH_FT,
    biot,
    day_of_year,
    felt_weather,
    rate,
    thickness,
)
from woodcalc.drying.safe_loss import NEAR, bears, pull_of_air, wet_face
from woodcalc.species import LIMIT_ABOVE_MC
from woodcalc.units import F_PER_C

if TYPE_CHECKING:
    import pandas as pd


WEEKS_DAYS = 28
MONTHS_AHEAD = 23  # that a board is followed, if it is wet for so long
# Checks: by which boards pass the safe loss, the mildest first
LEVELS = ("low", "outer boards", "dry weeks", "any day")
CHECKS_SAY = (
    "no board is likely to check",
    "only the outermost boards may check, in a dry week",
    "every board may check in a dry week",
    "every board may check on any day",
)
CLOSE_SAYS = "no board is likely to check, but the outermost come close"
BOARDS = ("usual", "dry", "outer")
MEASURES = ("loss", "air")
OUTER_FT = 1.0  # the board that the wind meets first: `biot` of a pile so narrow
# A sunny side warms its boards: 0.7 of the light is taken up, half of it falls on an upright side, and 20 W/m2K carry
# it off again. The side shows edges and gaps: 1-7/8 in of it warm the outermost 2 in of a board, two faces and an edge
# (judgment, from textbook figures). Kelvin for each kWh/m2 that a day brings to level ground, then F.
SUN_F_PER_KWH = 0.7 * 0.5 * 1.875 / (2 * 2 + 1.125) * 1000 / 24 / 20 * F_PER_C
# Of that a wet side warms by three tenths, as its water takes the rest along: 0.66 hPa/K over that and the 1.5 by which
# what air can hold grows with each K at 68 F (textbooks)
WET_SHARE = 0.3
# How much more easily water moves along the grain than across it: Wood Handbook ch. 4, 10 to 15 times, from memory.
# Through a fresh face it leaves with the square root of that.
ALONG_THE_GRAIN = 12.0
_FADE_PCT = (
    10.0  # of moisture, over which the first air of a kiln gives way to the next: a step of its schedule
)


def checks_by_month(
    species: str | woods.Species,
    thickness_in: float | str,
    site: str | climate.Site,
    *,
    airflow: str = "ordinary",
    pile_width_ft: float = REFERENCE_WIDTH_FT,
    care: Care = BARE,
) -> pd.DataFrame:
    """Danger of checks for a green stack built in the middle of each month, in whatever month it comes.

    Parameters
    ----------
    species, thickness_in, site, airflow, pile_width_ft :
        As in `air_dry`.
    care : Care

    Returns
    -------
    DataFrame
        Index month 1-12 of stacking. The boards are followed from there for as long as they are over
        `species.LIMIT_ABOVE_MC`, and the worst of it counts. For each of `BOARDS`: its share of what is safe (`usual`,
        `dry`, `outer`), which of `MEASURES` sets it (`usual_by` ...), in which month (`usual_month` ...) and at what
        moisture (`usual_mc_pct` ...), the loss of that day (`usual_loss_pct` ..., points), and the EMC of its air
        (`usual_emc_pct`). `first_loss_pct`: the greatest loss of an ordinary day in the first weeks;
        `dated_loss_pct`: the same as the dates have it, whose one pace leaves out how
        much faster dry air takes water from a wet face. `ends`: the share at the board's ends in the first dry week;
        `level`: 0 to 3, the place in `LEVELS`; `worst_month` and `worst_mc_pct`: of the board that sets the level.
        Shares and level are NaN where nothing is known of what the wood bears.

    Examples
    --------
    >>> oak = checks_by_month("northern red oak", "8/4", "Albuquerque", airflow="open")
    >>> [LEVELS[int(oak.level[month])] for month in (1, 6)]
    ['any day', 'any day']
    """
    import pandas as pd

    wood, place, thick = woods.get(species), climate.get(site), thickness(thickness_in)
    per_day = rate(wood).per_day / thick**2 / care.takes_times
    green = moisture.start_mc_pct(wood)
    bi = np.sqrt(care.air_times) * np.array([biot(airflow, w, thick) for w in (pile_width_ft, OUTER_FT)])
    temp, emc, boards, evaporates, wind_times = _three_airs(place, care.sunny)
    windy = bi[[0, 0, 1]] * np.sqrt(wind_times)
    wet = windy * evaporates
    safe = bears(wood, thick)
    factor, usual_emc, emc_pulls, pull = _first_weeks(place)
    warmth = slab.temperature_factor(boards)
    at_one_pace = np.broadcast_to(bi[0], (12,))
    first_loss, dated_loss = _greatest_loss(
        per_day, np.stack([wet[:, 0], at_one_pace]), green, factor, usual_emc
    )
    lost = np.column_stack(
        [
            first_loss,
            _greatest_loss(per_day, wet[:, 1:], green, warmth[None, :, 1:], emc[None, :, 1:]),
        ]
    )
    pulls = np.column_stack([pull, pull_of_air(temp[:, 1:], emc[:, 1:])])
    later, mc = later_losses(per_day, bi[:, None] * evaporates[:, 0], wet, green, warmth, emc)
    ahead = (np.arange(12) + np.arange(1, len(later) + 1)[:, None]) % 12
    losses, mc = np.concatenate([lost[None], later]), np.concatenate([np.full((1, 12, 3), green), mc])
    month = np.concatenate([np.arange(12)[None], ahead])
    # the stiller the air and the thinner the board, the less its face lies under a wet core; a kiln's wind holds the
    # face at the air. Under fiber saturation warmth helps the air and the inside alike: the pile alone counts here
    air_share = pulls * slab.face_under_core(windy) / care.takes_times / safe.pull
    # a kiln keeps its first air until the wood is down to so much; from then on it may be drier: faded, since a point
    # more or less is no whole step
    held = np.clip(0.5 + (mc[1:] - safe.air_until_pct) / _FADE_PCT, 0.0, 1.0)
    air_shares = np.concatenate([air_share[None], air_share[ahead] * held])
    emcs = np.concatenate(
        [np.column_stack([emc_pulls, emc[:, 1:]])[None], np.column_stack([emc_pulls, emc[:, 1:]])[ahead]]
    )
    shares = np.stack([losses / safe.loss_pct, air_shares], axis=-1)
    shares[mc <= LIMIT_ABOVE_MC] *= 0.0  # what isn't known stays so
    shares[0] = np.stack([lost / safe.loss_pct, air_share], axis=-1)
    by = np.nan_to_num(shares, nan=-1.0).argmax(-1)
    share = np.fmax.reduce(shares, axis=-1)
    worst = np.nan_to_num(share, nan=-1.0).argmax(0)[None]
    told = {
        "": share,
        "_by": np.array(MEASURES, dtype=object)[by],
        "_loss_pct": losses,
        "_emc_pct": emcs,
        "_month": np.broadcast_to(month[..., None] + 1, share.shape),
        "_mc_pct": mc,
    }
    told = {what: np.take_along_axis(values, worst, 0)[0] for what, values in told.items()}
    # a driest week that is cold or still is milder than an ordinary one: the board meets both
    order = np.where(
        np.isnan(told[""]), told["_loss_pct"], told[""]
    )  # nothing to hold it against: by what it loses
    first = np.stack([order[:, : k + 1].argmax(1) for k in range(3)], axis=1)
    columns = {
        f"{name}{what}": np.take_along_axis(values, first, 1)[:, k]
        for what, values in told.items()
        for k, name in enumerate(BOARDS)
    }
    columns["first_loss_pct"], columns["dated_loss_pct"] = first_loss, dated_loss
    # an end is dry long before the season turns: only the month of stacking counts for it
    columns["ends"] = share[0, :, :2].max(-1) * (1.0 if care.ends_coated else np.sqrt(ALONG_THE_GRAIN))
    over = sum((columns[name] > 1).astype(float) for name in BOARDS)
    columns["level"] = np.where(np.isnan(columns["usual"]), np.nan, over)
    # of the innermost board that is over, else of the outermost: when it is worst off, and how wet it is then
    sets = np.where(over > 0, 3 - over, 2).astype(int)
    for what in ("month", "mc_pct"):
        of_each = np.column_stack([columns[f"{name}_{what}"] for name in BOARDS])
        columns[f"worst_{what}"] = np.take_along_axis(of_each, sets[:, None], 1)[:, 0]
    return pd.DataFrame(columns, index=pd.RangeIndex(1, 13, name="month"))


_CELLS = 14  # of half a board, the finer the nearer to the face


@cache
def _half_board() -> tuple[np.ndarray, np.ndarray, float]:
    """Of each cell: its share of the half thickness, the way from its middle to the next, and to the face."""
    edges = 1 - (1 - np.arange(_CELLS + 1) / _CELLS) ** 2
    middles = (edges[1:] + edges[:-1]) / 2
    return np.diff(edges), np.diff(middles), 1 - middles[-1]


def _fading(bi: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Paces and patterns of what fades in a half board in cells; `bi` (...)."""
    wide, apart, last = _half_board()
    flows = np.zeros((*np.shape(bi), _CELLS, _CELLS))
    n = np.arange(_CELLS - 1)
    for one, other in ((n, n + 1), (n + 1, n)):
        flows[..., one, one] += 1 / apart
        flows[..., one, other] -= 1 / apart
    flows[..., -1, -1] += 1 / (1 / np.asarray(bi) + last)
    root = np.sqrt(wide)
    pace, shape = np.linalg.eigh(flows / root / root[:, None])
    return pace, shape / root[:, None], shape * root[:, None]


def later_losses(
    per_day: float, usual_bi: np.ndarray, wet: np.ndarray, green: float, warmth: np.ndarray, emc: np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    """What a day takes in each month after that of stacking, and the moisture that the board enters the month with.

    The boards dry on in ordinary days. The dry week is taken as the month's first: the board is the wettest then.

    Parameters
    ----------
    per_day : float
        Pace of the wood at its thickness, D/a^2 at 68 F.
    usual_bi : ndarray (2, 12)
        Biot numbers of ordinary days, in the pile and outermost.
    wet, warmth, emc : ndarray (12, 3)
        Of the days that are held against what is safe: Biot number, temperature factor, EMC.
    green : float
        Moisture content at the start, %.

    Returns
    -------
    (ndarray, ndarray), each (months, 12, 3)
        Until all are under `species.LIMIT_ABOVE_MC`, or for `MONTHS_AHEAD` months.

    Examples
    --------
    A board in the same air all year loses less from month to month:

    >>> lost, mc = later_losses(0.01, np.ones((2, 12)), np.ones((12, 3)), 80, np.ones((12, 3)), np.full((12, 3), 12))
    >>> lost[:3, 0, 0].round(2).tolist(), mc[:3, 0, 0].round(0).tolist()
    ([0.46, 0.36, 0.28], [72.0, 61.0, 51.0])
    """
    wide = _half_board()[0]
    pace, out, into = _fading(usual_bi)
    days = climate.MONTH_DAYS
    kept = np.exp(-pace * (per_day * days * warmth[:, 0])[:, None])
    half = np.exp(-pace * (per_day * days / 2 * warmth[:, 0])[:, None])
    month_on, half_on = ((out * each[..., None, :]) @ np.swapaxes(into, -1, -2) for each in (kept, half))
    paces, outs, intos = _fading(wet)
    gone = wide @ (
        (outs * (1 - np.exp(-paces * (per_day * warmth)[..., None]))[..., None, :])
        @ np.swapaxes(intos, -1, -2)
    )
    board, usual = np.array([0, 0, 1]), emc[:, 0]
    mc = np.full((2, 12, _CELLS), float(green))
    now, losses, entered = np.arange(12), [], []
    for on in (half_on, *[month_on] * MONTHS_AHEAD):
        air_now = usual[now][:, None]
        mc = air_now + (on[:, now] @ (mc - air_now)[..., None])[..., 0]
        now = (now + 1) % 12
        losses.append(((mc[board].swapaxes(0, 1) - emc[now][..., None]) * gone[now]).sum(-1))
        entered.append((mc @ wide)[board].T)
        if (entered[-1] <= LIMIT_ABOVE_MC).all():
            break
    return np.array(losses), np.array(entered)


def checks_say(level: float, outer: float, month: int = 0) -> str:
    """Return what a level of danger of checks means, from the outermost boards' share of what is safe; "" for NaN.

    Parameters
    ----------
    level, outer : float
        As in `checks_by_month`.
    month : int
        In which it comes, 1-12, where that isn't the month of stacking.

    Returns
    -------
    str

    Examples
    --------
    >>> checks_say(0, 0.5), checks_say(0, 0.98), checks_say(2, 3.0, 5)[-20:]
    ('no board is likely to check', 'no board is likely to check, but the outermost come close', 'in a dry week of May')
    """
    if blank(level):
        return ""
    said = CLOSE_SAYS if level == 0 and outer > NEAR else CHECKS_SAY[int(level)]
    if not month or said == CHECKS_SAY[0]:
        return said
    return f"{said} {'in' if level == 0 else 'of'} {climate.MONTH_NAMES[month - 1]}"


def dates_say(row: pd.Series, safe_pct: float) -> str:
    """Return where the dates' own fastest day is on the other side of what is safe, with both; "" if it isn't.

    Parameters
    ----------
    row : Series
        `first_loss_pct` and `dated_loss_pct` of `checks_by_month`.
    safe_pct : float
        NaN where none is known.

    Returns
    -------
    str

    Examples
    --------
    >>> dates_say(checks_by_month("northern red oak", "8/4", "Phoenix").loc[6], 1.5)
    ''
    """
    ours, dated = row.first_loss_pct, row.dated_loss_pct
    if blank(safe_pct) or blank(dated) or (ours > safe_pct) == (dated > safe_pct):
        return ""
    why = "damp air takes less from a wet face" if ours < dated else "dry air takes more from a wet face"
    return (
        f"On its fastest day an ordinary board loses {ours:.1f} %, by the dates {dated:.1f}: they have one pace for "
        f"all air, and {why}. Your weighings decide."
    )


@cache
def _first_weeks(place: climate.Site) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
    """Temperature factor and EMC (days, 12 months); EMC and pull of the day among them that pulls the most (12)."""
    day = (climate.MID_MONTHS + np.arange(WEEKS_DAYS)[:, None]) % 365
    factor, emc = (each[day] for each in felt_weather(place))
    pull = pull_of_air(place.daily().temp_f.to_numpy()[day], emc)
    most = pull.argmax(0), np.arange(12)
    return factor, emc, emc[most], pull[most]


@cache
def _three_airs(place: climate.Site, sunny: bool) -> tuple[np.ndarray, ...]:
    """Of each month (12, 3 boards: usual, dry, outermost).

    Temperature and EMC of the air at a dry face, temperature of a wet board, `wet_face`, wind against the month's.
    """
    hard, month = spells(place), place.monthly
    temp, emc = month.temp_f.to_numpy(), np.minimum(month.emc_pct.to_numpy(), air.EMC_CAP_PCT)
    dry_temp = temp + hard.warmer_f.to_numpy()
    dry_emc = np.maximum(emc - hard.emc_drop_pct.to_numpy(), 2.0)
    rh, dry_rh = air.rh_for_emc_pct(temp, emc), air.rh_for_emc_pct(dry_temp, dry_emc)
    warmed = dry_temp + SUN_F_PER_KWH * hard.sun_kwh_m2_day.to_numpy() * sunny
    sunny_rh = air.warmed_rh_pct(dry_temp, dry_rh, warmed)
    temps, rhs = np.column_stack([temp, dry_temp, warmed]), np.column_stack([rh, dry_rh, sunny_rh])
    emcs = np.column_stack([emc, dry_emc, air.emc_pct(warmed, sunny_rh)])
    wind = hard.wind_times.to_numpy()
    boards = np.column_stack([temp, dry_temp, dry_temp + WET_SHARE * (warmed - dry_temp)])
    evaporates = wet_face(temps, np.clip(rhs, 1, 100), boards)
    return temps, emcs, boards, evaporates, np.column_stack([np.ones(12), wind, wind])


def _greatest_loss(
    per_day: float, biots: np.ndarray, green: float, factor: np.ndarray, emc: np.ndarray
) -> np.ndarray:
    """The greatest loss of a day, points; `biots` (months, ...), `factor` and `emc` (days, months, ...)."""
    b, B = slab.roots(biots), slab.weights(biots)
    a = B * np.asarray(green - emc[0])[..., None]
    before, lost = green, np.zeros(biots.shape)
    for today, now, then in zip(factor, emc, np.concatenate([emc[:1], emc]), strict=False):
        a = slab.step(a, b, B, now - then, per_day * today)
        mean = slab.mean(a, now)
        lost = np.maximum(lost, before - mean)
        before = mean
    return lost


def greatest_day_pct(
    species: str | woods.Species,
    thickness_in: float | str,
    site: str | climate.Site,
    weighed: tuple[date, date],
    mc_pct: tuple[float, float],
    began: date,
    *,
    airflow: str = "ordinary",
    pile_width_ft: float = REFERENCE_WIDTH_FT,
) -> float:
    """The greatest loss of one day that fits two weighings of a board in the pile, by the law that checks go by.

    Parameters
    ----------
    species, thickness_in, site, airflow, pile_width_ft :
        As in `air_dry`.
    weighed : (date, date)
        The days of the two.
    mc_pct : (float, float)
        What the board held on them.
    began : date
        The day that it went on sticks.

    Returns
    -------
    float
        Points of MC, never under the mean of those days: a board is taken as faster or slower than the usual one by as
        much as brings it from the one to the other.

    Examples
    --------
    >>> days = (date(2027, 6, 15), date(2027, 6, 29))
    >>> round(greatest_day_pct("black walnut", "8/4", "Phoenix", days, (79, 45), days[0]), 1), round((79 - 45) / 14, 1)
    (4.5, 2.4)
    """
    wood, place, thick = woods.get(species), climate.get(site), thickness(thickness_in)
    (since, until), (before, after) = weighed, mc_pct
    many, lost = (until - since).days, before - after
    mean = lost / many
    factor, air_now = felt_weather(place)
    per_day = rate(wood).per_day / thick**2
    wet = _three_airs(place, True)[3][:, 0]
    bi = float(biot(airflow, pile_width_ft, thick) * wet[since.month - 1])
    b, B = slab.roots(bi), slab.weights(bi)
    first = day_of_year(since)
    e = air_now[first]
    waited = min(max((since - began).days, 0), 365)
    a = B * 1.0  # an even board, one point over its air
    for day in range(first - waited, first):
        a = slab.step(a, b, B, 0.0, per_day * factor[day % 365])
    if before <= e or lost <= 0:
        return mean
    a = a / a.sum() * (before - e)
    paces = np.geomspace(0.1, 10.0, 61)
    a, losses = np.broadcast_to(a, (len(paces), len(b))), []
    for day in range(first, first + many):
        now, was = air_now[day % 365], a.sum(-1) + e
        a = slab.step(a, b, B, now - e, paces * per_day * factor[day % 365])
        e = now
        losses.append(was - a.sum(-1) - e)
    total, greatest = np.sum(losses, axis=0), np.max(losses, axis=0)
    rises = np.flatnonzero(np.diff(total, prepend=-np.inf) > 1e-9)  # so fast, and it follows the air
    return max(mean, float(np.interp(lost, total[rises], (greatest / np.maximum(total, 1e-9))[rises]) * lost))


def first_day_loss_pct(
    species: str | woods.Species,
    thickness_in: float | str,
    site: str | climate.Site,
    month: int,
    wind_times: Numbers = 1.0,
) -> FloatOrArray:
    """What a green board in the pile loses on its first day, in the driest week of a month.

    Parameters
    ----------
    species, thickness_in, site :
        As in `air_dry`.
    month : int
    wind_times : float or array
        The air's speed over the boards, against an ordinary place.

    Returns
    -------
    float or ndarray
        Points of MC.

    Examples
    --------
    >>> first_day_loss_pct("white oak", "8/4", "Madison", 6, [1, 2]).round(2).tolist()
    [1.01, 1.35]
    """
    wood, thick = woods.get(species), thickness(thickness_in)
    _, emc, boards, evaporates, _ = (
        each[month - 1, 1] for each in _three_airs(climate.get(site), sunny=False)
    )
    bi = evaporates * biot(thickness_in=thick) * np.sqrt(np.asarray(wind_times, dtype=float))
    per_day, factor = rate(wood).per_day / thick**2, slab.temperature_factor(boards)
    lost = _greatest_loss(per_day, bi, moisture.start_mc_pct(wood), np.array([factor]), np.array([emc]))
    return plain(lost)


def end_reach_in(thickness_in: float | str, airflow: str = "ordinary") -> float:
    """How far from an uncoated end a board dries ahead of the rest.

    Parameters
    ----------
    thickness_in : float or str
        Nominal.
    airflow : str
        As in `air_dry`.

    Returns
    -------
    float
        Inches. Three times the length over which the lead falls to a third: there it's a twentieth.

    Examples
    --------
    >>> round(end_reach_in("4/4"), 1), round(end_reach_in("8/4"), 1)
    (6.0, 9.6)
    """
    thick = thickness(thickness_in)
    first = slab.roots(biot(airflow, REFERENCE_WIDTH_FT, thick), 1)[0]
    return float(3 * thick / 2 * np.sqrt(ALONG_THE_GRAIN) / first)
