"""Danger of checks in the first weeks: what a green board loses in a day, against what its wood can take.

No such index is published. Ours is a share: the greatest loss of one day, over the wood's safe one (`safe_loss`), or
the greatest difference between core and face, over the one that goes with the safe loss at 68 F; the larger of the two
counts. It is worked out for three boards. One lies in the pile on ordinary days. One lies there while the place has the
driest week of that month. And one lies outermost in that week, where the wind comes in and the sun shines. A share over
1 is over what is published as safe: that is the only limit, and which boards pass it is the level of danger.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from woodcalc import air, climate, moisture
from woodcalc import species as woods
from woodcalc.checks import FloatOrArray, Numbers, plain
from woodcalc.climate.spells import spells
from woodcalc.drying import slab
from woodcalc.drying.rate import (
    QUARTERSAWN_TIME,
    REFERENCE_WIDTH_FT,
    biot,
    felt_weather,
    rate,
    thickness,
)
from woodcalc.drying.safe_loss import THICKEST_IN, THINNEST_IN, safe_loss_pct_per_day

if TYPE_CHECKING:
    import pandas as pd


WEEKS_DAYS, _DRY_WEEK_DAYS = 28, 7
# Checks: by which boards pass the safe loss, the mildest first
LEVELS = ("low", "outer boards", "dry weeks", "any day")
# The air's speed over the boards against none of these: halves, and twice for wide spaces, are common practice. That
# each slows drying is published (FOR-128, pp. 80, 82: closer piles; PSW Technical Paper 65: wide gaps are faster).
SLOWED = 0.5
OUTER_FT = 1.0  # the board that the wind meets first: `biot` of a pile so narrow
# A sunny side warms its boards: 0.7 of the light is taken up, half of it falls on an upright side, and 20 W/m2K carry
# it off again (judgment, from textbook figures). Kelvin for each kWh/m2 that a day brings to level ground, then F.
SUN_F_PER_KWH = 0.7 * 0.5 * 1000 / 24 / 20 * 1.8
# How much more easily water moves along the grain than across it: Wood Handbook ch. 4, 10 to 15 times, from memory.
# Through a fresh face it leaves with the square root of that.
ALONG_THE_GRAIN = 12.0


@dataclass(frozen=True)
class Care:
    """What is done for a stack in its first weeks; the roof over it goes without saying.

    Attributes
    ----------
    ends_coated : bool
        On the day of sawing.
    shade : bool
        Shade cloth on the sunny and the windward side.
    closer : bool
        Boards and piles closer together.
    shed : bool
        An open shed in place of a roof on the pile.
    wide : bool
        Wide spaces between boards and piles.
    quartersawn : bool

    Examples
    --------
    >>> Care(shade=True).air_times, Care(shade=True, closer=True).air_times, Care(wide=True).air_times
    (0.5, 0.25, 2.0)
    """

    ends_coated: bool = False
    shade: bool = False
    closer: bool = False
    shed: bool = False
    wide: bool = False
    quartersawn: bool = False

    @property
    def air_times(self) -> float:
        """The air's speed over the boards, against a stack that has none of this."""
        return SLOWED ** (self.shade + self.closer + self.shed - self.wide)

    @property
    def sunny(self) -> bool:
        """Whether the sun reaches the outer boards."""
        return not (self.shade or self.shed)


BARE = Care()


def checks_by_month(
    species: str | woods.Species,
    thickness_in: float | str,
    site: str | climate.Site,
    *,
    airflow: str = "ordinary",
    pile_width_ft: float = REFERENCE_WIDTH_FT,
    care: Care = BARE,
) -> pd.DataFrame:
    """Danger of checks for a green stack built in the middle of each month.

    Parameters
    ----------
    species, thickness_in, site, airflow, pile_width_ft :
        As in `air_dry`.
    care : Care

    Returns
    -------
    DataFrame
        Index month 1-12. `usual_loss_pct`, `dry_loss_pct`, `outer_loss_pct`: the greatest loss of one day, points;
        `difference_pct`: core over face, the greatest in the dry week, and `safe_difference_pct`. `usual`, `dry`,
        `outer`: shares of what is safe; `ends`: the share at the board's ends in the dry week; `level`: 0 to 3, the
        place in `LEVELS`. Shares and level are NaN where no safe loss is published for the wood and thickness.

    Examples
    --------
    >>> oak = checks_by_month("northern red oak", "8/4", "Albuquerque", airflow="open")
    >>> [LEVELS[int(oak.level[month])] for month in (1, 6)]
    ['low', 'any day']
    """
    import pandas as pd

    wood, place, thick = woods.get(species), climate.get(site), thickness(thickness_in)
    per_day = rate(wood).per_day / thick**2 / (QUARTERSAWN_TIME if care.quartersawn else 1.0)
    bi = np.sqrt(care.air_times) * np.array([biot(airflow, w, thick) for w in (pile_width_ft, OUTER_FT)])
    hard = spells(place)
    windy = np.sqrt(hard.wind_times.to_numpy())
    biots = np.stack([np.full(12, bi[0]), bi[0] * windy, bi[1] * windy], axis=1)
    each = _greatest(per_day, biots, moisture.start_mc_pct(wood), *_three_airs(place, hard, care.sunny))
    # a driest week that is cold or still is milder than an ordinary one: the board meets both
    lost, apart = (np.maximum.accumulate(found, axis=1) for found in each)
    safe = safe_loss_pct_per_day(wood, thick) if THINNEST_IN <= thick <= THICKEST_IN else None
    # the difference that drives the safe loss through a slab at 68 F: loss = 2 D/a^2 (core - face)
    safe_apart = np.nan if safe is None else safe / (2 * per_day)
    shares = np.full((12, 3), np.nan) if safe is None else np.maximum(lost / safe, apart / safe_apart)
    table = pd.DataFrame(
        {
            "usual_loss_pct": lost[:, 0],
            "dry_loss_pct": lost[:, 1],
            "outer_loss_pct": lost[:, 2],
            "difference_pct": apart[:, 1],
            "safe_difference_pct": safe_apart,
            "usual": shares[:, 0],
            "dry": shares[:, 1],
            "outer": shares[:, 2],
            "ends": shares[:, 1] * (1.0 if care.ends_coated else np.sqrt(ALONG_THE_GRAIN)),
            "level": np.nan if safe is None else (shares > 1).sum(1).astype(float),
        },
        index=pd.RangeIndex(1, 13, name="month"),
    )
    return table


def _three_airs(place, hard, sunny):
    """Drying speed and EMC of each of the first days (days, 12 months, 3 boards): usual, dry, dry and outermost."""
    factor, emc = felt_weather(place)
    first = np.cumsum(np.append(0, climate.MONTH_DAYS[:-1])) + 14
    day = (first + np.arange(WEEKS_DAYS)[:, None]) % 365
    usual = factor[day], emc[day]
    month = place.monthly
    temp = month.temp_f.to_numpy() + hard.warmer_f.to_numpy()
    dry_emc = np.maximum(np.minimum(month.emc_pct.to_numpy(), air.EMC_CAP_PCT) - hard.emc_drop_pct, 2.0)
    dry_emc = dry_emc.to_numpy()
    warmed = temp + SUN_F_PER_KWH * hard.sun_kwh_m2_day.to_numpy() * sunny
    humid = air.warmed_rh_pct(temp, air.rh_for_emc_pct(temp, dry_emc), warmed)
    sunny_emc = air.emc_pct(warmed, humid)
    week = np.arange(WEEKS_DAYS)[:, None] < _DRY_WEEK_DAYS
    dry = np.where(week, slab.temperature_factor(temp), usual[0]), np.where(week, dry_emc, usual[1])
    outer = np.where(week, slab.temperature_factor(warmed), usual[0]), np.where(week, sunny_emc, usual[1])
    return (np.stack(each, axis=-1) for each in zip(usual, dry, outer, strict=True))


def _greatest(per_day, biots, start_mc, factor, emc):
    """The greatest loss of one day, and the greatest difference of core and face; `biots` (...), air (days, ...)."""
    b, B = slab.roots(biots), slab.weights(biots)
    a = B * np.asarray(start_mc - emc[0])[..., None]
    before, lost, apart = start_mc, np.zeros(biots.shape), np.zeros(biots.shape)
    for today, now, then in zip(factor, emc, np.concatenate([emc[:1], emc]), strict=False):
        a = slab.step(a, b, B, now - then, per_day * today)
        mean = slab.mean(a, now)
        lost = np.maximum(lost, before - mean)
        apart = np.maximum(apart, slab.core(a, b, now) - slab.surface(a, b, biots, now))
        before = mean
    return lost, apart


def first_day_loss_pct(
    species: str | woods.Species,
    thickness_in: float | str,
    site: str | climate.Site,
    month: int,
    wind_times: Numbers = 1.0,
) -> FloatOrArray:
    """What a green board in the pile loses on its first day, in the middle of an ordinary month.

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
    [0.8, 1.08]
    """
    wood, thick = woods.get(species), thickness(thickness_in)
    factor, emc = felt_weather(climate.get(site))
    day = int(climate.MONTH_DAYS[: month - 1].sum()) + 14
    bi = biot(thickness_in=thick) * np.sqrt(np.asarray(wind_times, dtype=float))
    b, B = slab.roots(bi), slab.weights(bi)
    green = moisture.start_mc_pct(wood)
    a = slab.step(B * (green - emc[day]), b, B, 0.0, rate(wood).per_day / thick**2 * factor[day])
    return plain(green - np.asarray(slab.mean(a, emc[day])))


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
