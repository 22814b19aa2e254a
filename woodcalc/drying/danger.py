"""Danger of checks in the first weeks: what a green board loses in a day, against what its wood can take.

No such index is published. Ours is a share, the largest of three: the greatest loss of one day, over the wood's safe
one (`safe_loss`); the greatest difference between core and face, over the one that goes with the safe loss at 68 F; and
how hard the air pulls at the face, over the pull of the air in which a kiln starts the wood. Loss and difference are
slow to feel the air's humidity while wood is green; the third feels nothing else. Cold wood is stronger, so a
difference counts for less in the cold.

It is worked out for three boards. One lies in the pile on ordinary days. One lies there while the place has the
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
from woodcalc.drying.safe_loss import FIBERS_FULL_PCT, ORDINARY_EMC_PCT, bears, pull_of_air

if TYPE_CHECKING:
    import pandas as pd


WEEKS_DAYS, _DRY_WEEK_DAYS = 28, 7
# Checks: by which boards pass the safe loss, the mildest first
LEVELS = ("low", "outer boards", "dry weeks", "any day")
BOARDS = ("usual", "dry", "outer")
MEASURES = ("loss", "difference", "air")
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
    def takes_times(self) -> float:
        """The time inside the wood, against flat-sawn boards."""
        return QUARTERSAWN_TIME if self.quartersawn else 1.0

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
        Index month 1-12. For each of `BOARDS`: its share of what is safe (`usual`, `dry`, `outer`), which of `MEASURES`
        sets it (`usual_by` ...), the greatest loss of one day (`usual_loss_pct` ..., points), the greatest difference
        of core and face and the one that is safe then (`usual_difference_pct`, `usual_safe_difference_pct`, points),
        and the EMC of its air where that pulls the most (`usual_emc_pct`). `ends`: the share at the board's ends in the
        dry week; `level`: 0 to 3, the place in `LEVELS`. Shares and level are NaN where nothing is known of what the
        wood bears.

    Examples
    --------
    >>> oak = checks_by_month("northern red oak", "8/4", "Albuquerque", airflow="open")
    >>> [LEVELS[int(oak.level[month])] for month in (1, 6)]
    ['outer boards', 'any day']
    """
    import pandas as pd

    wood, place, thick = woods.get(species), climate.get(site), thickness(thickness_in)
    per_day = rate(wood).per_day / thick**2 / care.takes_times
    bi = np.sqrt(care.air_times) * np.array([biot(airflow, w, thick) for w in (pile_width_ft, OUTER_FT)])
    hard = spells(place)
    windy = np.sqrt(hard.wind_times.to_numpy())
    biots = np.stack([np.full(12, bi[0]), bi[0] * windy, bi[1] * windy], axis=1)
    safe = bears(wood, thick)
    # the difference that drives the safe loss through a slab at 68 F: loss = 2 D/a^2 (core - face)
    safe_apart = safe.loss_pct / (2 * per_day)
    airs = _three_airs(place, hard, care.sunny)
    at_face = 1 / (1 + biots / thick)  # of the way out of an inch board
    found = _greatest(per_day, biots, at_face, moisture.start_mc_pct(wood), *airs)
    # the stiller the air, the wetter stays the face; a kiln's wind leaves it none of that
    found["pull"] *= (1 - at_face) / care.takes_times
    shares = np.stack(
        [found["lost"] / safe.loss_pct, found["felt"] / safe_apart, found["pull"] / safe.pull], axis=-1
    )
    by = np.nan_to_num(shares, nan=-1.0).argmax(-1)
    share = np.fmax.reduce(shares, axis=-1)
    # a driest week that is cold or still is milder than an ordinary one: the board meets both
    first = np.stack([share[:, : k + 1].argmax(1) for k in range(3)], axis=1)
    found["safe_apart"] = safe_apart * found["apart"] / found["felt"]
    told = {
        "": share,
        "_by": np.array(MEASURES, dtype=object)[by],
        "_loss_pct": found["lost"],
        "_difference_pct": found["apart"],
        "_safe_difference_pct": found["safe_apart"],
        "_emc_pct": found["emc"],
    }
    columns = {
        f"{name}{what}": np.take_along_axis(values, first, 1)[:, k]
        for what, values in told.items()
        for k, name in enumerate(BOARDS)
    }
    table = pd.DataFrame(columns, index=pd.RangeIndex(1, 13, name="month"))
    table["ends"] = table.dry * (1.0 if care.ends_coated else np.sqrt(ALONG_THE_GRAIN))
    over = (table[[*BOARDS]] > 1).sum(axis=1).astype(float)
    table["level"] = over.where(table.usual.notna())
    return table


def _three_airs(place, hard, sunny):
    """Drying speed, EMC and pull of each of the first days (days, 12 months, 3 boards): usual, dry, outermost."""
    factor, emc = felt_weather(place)
    first = climate.MID_MONTHS
    day = (first + np.arange(WEEKS_DAYS)[:, None]) % 365
    usual = factor[day], emc[day], pull_of_air(place.daily().temp_f.to_numpy()[day], emc[day])
    month = place.monthly
    temp = month.temp_f.to_numpy() + hard.warmer_f.to_numpy()
    dry_emc = np.maximum(np.minimum(month.emc_pct.to_numpy(), air.EMC_CAP_PCT) - hard.emc_drop_pct, 2.0)
    dry_emc = dry_emc.to_numpy()
    warmed = temp + SUN_F_PER_KWH * hard.sun_kwh_m2_day.to_numpy() * sunny
    humid = air.warmed_rh_pct(temp, air.rh_for_emc_pct(temp, dry_emc), warmed)
    sunny_emc = air.emc_pct(warmed, humid)
    week = np.arange(WEEKS_DAYS)[:, None] < _DRY_WEEK_DAYS

    def spell(at, its_emc):
        its = slab.temperature_factor(at), its_emc, pull_of_air(at, its_emc)
        return tuple(np.where(week, now, then) for now, then in zip(its, usual, strict=True))

    three = zip(usual, spell(temp, dry_emc), spell(warmed, sunny_emc), strict=True)
    return (np.stack(each, axis=-1) for each in three)


def _greatest(per_day, biots, at_face, start_mc, factor, emc, pull):
    """The greatest of the first days; `biots`, `at_face` (months, boards), air (days, months, boards).

    A face over fiber saturation gives off water in step with what the air can take, and not with its own moisture, as
    the slab has it. So what is `lost` in one day is taken times how far the air is under fiber saturation, against
    ordinary air, to the part of the way out that lies at the face: judgment. `apart` is core over face on the day when
    that is `felt` the most; `pull` goes with the `emc` of its day.
    """
    b, B = slab.roots(biots), slab.weights(biots)
    a = B * np.asarray(start_mc - emc[0])[..., None]
    before, lost, apart, felt = start_mc, np.zeros(biots.shape), np.ones(biots.shape), np.zeros(biots.shape)
    cold = np.minimum(factor, 1.0) ** 0.25  # as in `pull_of_air`; over 68 F nothing is taken off
    for today, now, then, eased in zip(factor, emc, np.concatenate([emc[:1], emc]), cold, strict=False):
        a = slab.step(a, b, B, now - then, per_day * today)
        mean = slab.mean(a, now)
        thirst = ((FIBERS_FULL_PCT - now) / (FIBERS_FULL_PCT - ORDINARY_EMC_PCT)) ** at_face
        lost = np.maximum(lost, (before - mean) * thirst)
        gap = slab.core(a, b, now) - slab.surface(a, b, biots, now)
        apart = np.where(gap * eased > felt, gap, apart)
        felt = np.maximum(felt, gap * eased)
        before = mean
    most = pull.argmax(0)[None]
    return {
        "lost": lost,
        "apart": apart,
        "felt": felt,
        "pull": np.take_along_axis(pull, most, 0)[0],
        "emc": np.take_along_axis(emc, most, 0)[0],
    }


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
    day = int(climate.MID_MONTHS[month - 1])
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
