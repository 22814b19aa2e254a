"""Danger of stain and mold: how long a wet face lies in warm damp air, from felling to the weeks on sticks.

Stain needs warmth, water and air together, and sapwood. Here it is counted in **warm wet days**: days of 85 F or more
on which the wood is wet, cooler ones by their part. A log counts whole days. A solid pile of fresh boards counts
several times as much. On sticks they count by how damp the air is, and only while the face is wet. No such count is
published. Its two limits are judgment, hung on what is (`SOME`).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING

import numpy as np

from woodcalc import climate, tables
from woodcalc import species as woods
from woodcalc.checks import within
from woodcalc.drying import slab
from woodcalc.drying.care import BARE, Care
from woodcalc.drying.rate import REFERENCE_WIDTH_FT, biot, felt_weather, rate, thickness
from woodcalc.drying.safe_loss import FIBERS_FULL_PCT, ORDINARY_EMC_PCT

if TYPE_CHECKING:
    import pandas as pd


STAIN_LEVELS = ("none", "some", "high")
STAIN_SAYS = ("no stain", "some stain", "stain is likely")
# Warm wet days. Twelve hours in a solid pile in warm weather is the most that FOR-128 p. 68 allows, and comes to 2;
# logs that lay three days at over 80 F were stained six inches deep (Great Lakes Timber Professionals Association).
# High: between what white pine comes to that goes straight on sticks in July at Madison (3.49: some stain) and at
# Mobile (4.2: likely). That it is so there is judgment.
SOME, HIGH = 2.0, 3.7
SOLID_TIMES = 4.0
# Woods that no source counts among those that stain within days bear twice as much, and on sticks it is never called
# high: gray sapwood of oak, ash or hickory takes longer and costs less than blue in pine or brown in maple (judgment).
# In the log it is, after about four warm weeks: then the sapwood rots, too, and borers are in it (Agric. Handb. 188,
# ch. 10, from memory: weeks in warm weather).
OTHERS_TIMES = 2.0
LOG_DAYS = 28.0
_CLOSE_SHARE = 0.85  # of a limit, from where on a count is said to come close to it: judgment
# A face is done with when it has come two fifths of the way from green to the air, or is under 25 %. Two fifths:
# judgment, since the outermost fibers of a real board dry ahead of a slab's face. 25: common practice (25 to 30 %; none
# starts under 20 %, Agric. Handb. 188, p. 146).
_FACE_SHARE, _FACE_PCT = 0.6, 25.0
_DAYS = 30  # on sticks that are looked at
# Growth: none at 40 F, in full at 85 F (handbooks' 40 to 95 F with the best at 75 to 85 F, from memory)
_COLD_F, _WARM_F = 40.0, 85.0
# Between wet boards the air is damper than in the yard: the square root of how damp it is there (judgment)
_DAMP_POWER = 0.5
# A month's mean humidity counts evenly from 50 % (nothing) to 100 % (in full): no hour of 79 % is dry and one of 80 %
# wet. So Madison's and Green Bay's July come out as their share of hours at 80 % or more is, 0.52 and 0.48 (judgment)
_DRY_RH, _WET_RH = 50.0, 100.0
# Sticker stain on sugar maple: $4.56 per 1,000 board feet on the average of narrow dry and wide green stickers, $5.72
# between them (FPL Report 2086): 7.42 against 1.70
GREEN_STICKER_TIMES = 7.42 / 1.70
NO_ROOF_TIMES = 1.5  # rain on the stack: judgment; that losses are larger is published (FPL Report 2086)


# Beyond a few warm weeks in the log it isn't gray sapwood alone
BAD_LOG = 2
ROTS_SAYS = "stain is likely, and after so many warm weeks sap rot and borers in the log"


@dataclass(frozen=True)
class Yard:
    """How logs lie from felling to the saw.

    Attributes
    ----------
    weeks : float
        0 to 52.
    ends_coated, shaded, sprinkled : bool
        Sprinkled: kept wet all day, every day.

    Examples
    --------
    >>> Yard(4, sprinkled=True).times
    0.1
    """

    weeks: float = 0.0
    ends_coated: bool = False
    shaded: bool = False
    sprinkled: bool = False

    @property
    def times(self) -> float:
        """How far stain gets, against logs that lie in the sun with open ends: judgment.

        Water keeps the air out, coating closes the way in, shade keeps them a little cooler.
        """
        if self.sprinkled:
            return 0.1
        return (0.5 if self.ends_coated else 1.0) * (0.8 if self.shaded else 1.0)


FRESH = Yard()


def stains_easily(species: str | woods.Species) -> bool:
    """Whether the wood, or the one that it is said to be like, is one of those that stain within days.

    Examples
    --------
    >>> stains_easily("eastern white pine"), stains_easily("white oak")
    (True, False)
    """
    wood = woods.get(species)
    kin = woods.get(wood.like) if wood.like else wood
    return kin.botanical.partition(" ")[0] in _easy_genera()


@cache
def _easy_genera() -> frozenset[str]:
    return frozenset(tables.read("stain_woods")["genus"])


def stain_says(species: str | woods.Species, level: float, days: float) -> str:
    """Return what a level of danger of stain means, and where the next one is near.

    Parameters
    ----------
    species : str or Species
    level : float
        0 to 2.
    days : float
        Warm wet days.

    Returns
    -------
    str

    Examples
    --------
    >>> stain_says("white pine", 0, 0.5), stain_says("white pine", 0, 1.9), stain_says("white pine", 1, 3.2)
    ('no stain', 'no stain, but it comes close', 'some stain, and it comes close to more')
    """
    easily = stains_easily(species)
    limits = (SOME, HIGH) if easily else (SOME * OTHERS_TIMES,)
    if level >= BAD_LOG and not easily:
        return ROTS_SAYS
    near = level < len(limits) and days > _CLOSE_SHARE * limits[int(level)]
    more = ("but it comes close", "and it comes close to more")
    return STAIN_SAYS[int(level)] + (f", {more[int(level)]}" if near else "")


def stain_by_month(
    species: str | woods.Species,
    thickness_in: float | str,
    site: str | climate.Site,
    *,
    part: str = "sapwood",
    airflow: str = "ordinary",
    pile_width_ft: float = REFERENCE_WIDTH_FT,
    care: Care = BARE,
    yard: Yard = FRESH,
    hours_to_sticks: float = 12.0,
    green_stickers: bool = False,
    roofed: bool = True,
) -> pd.DataFrame:
    """Danger of stain and mold for wood that goes on sticks in the middle of each month.

    Parameters
    ----------
    species, thickness_in, site, airflow, pile_width_ft :
        As in `air_dry`.
    part : {"sapwood", "mixed", "heartwood"}
        Heartwood does not stain like this. A mixed board has sapwood in it, and stains there.
    care : Care
        What slows drying keeps faces wet.
    yard : Yard
    hours_to_sticks : float
        From the saw to the sticks, in a solid pile, 0 to 336.
    green_stickers, roofed : bool
        Wide green stickers in place of narrow dry ones; a roof.

    Returns
    -------
    DataFrame
        Index month 1-12. Warm wet days: `log`, `solid`, `sticks`, `total`; `wet_face_days` of the first 30 on sticks;
        `level`: 0 to 2, the place in `STAIN_LEVELS`.

    Examples
    --------
    >>> pine = stain_by_month("eastern white pine", "4/4", "Mobile")
    >>> STAIN_LEVELS[int(pine.level[7])], STAIN_LEVELS[int(stain_by_month("white pine", 1, "Duluth").level[1])]
    ('high', 'none')
    """
    import pandas as pd

    wood, place, thick = woods.get(species), climate.get(site), thickness(thickness_in)
    hours = within("hours_to_sticks", hours_to_sticks, 0, 336, "hours")
    weeks = within("weeks", yard.weeks, 0, 52, "weeks")
    warmth = warmth_of_days(place)
    stacked = climate.MID_MONTHS
    log = yard.times * _sum_before(warmth, stacked, round(7 * weeks))
    solid = SOLID_TIMES * hours / 24 * warmth[stacked]
    wet, damp = _on_sticks(wood, thick, place, airflow, pile_width_ft, care, stacked)
    sticks = damp * (GREEN_STICKER_TIMES if green_stickers else 1.0) * (1.0 if roofed else NO_ROOF_TIMES)
    total = log + solid + sticks
    easily = stains_easily(wood)
    level = (total > SOME * (1.0 if easily else OTHERS_TIMES)).astype(float)
    level += (total > HIGH) if easily else (log > LOG_DAYS)
    if part == "heartwood":
        level = np.zeros(12)
    return pd.DataFrame(
        {"log": log, "solid": solid, "sticks": sticks, "total": total, "wet_face_days": wet, "level": level},
        index=pd.RangeIndex(1, 13, name="month"),
    )


@cache
def warmth_of_days(site: climate.Site) -> np.ndarray:
    """How much each day of the year counts as a warm one for stain, 0 to 1; (365,).

    Examples
    --------
    >>> days = warmth_of_days(climate.get("Madison"))
    >>> float(days[14]), float(days[196].round(2))
    (0.0, 0.75)
    """
    temp = site.daily().temp_f.to_numpy()
    return np.clip((temp - _COLD_F) / (_WARM_F - _COLD_F), 0.0, 1.0)


@cache
def _counted_days(site: climate.Site) -> np.ndarray:
    """How much each day counts on sticks (365,): its warmth, by the square root of how damp it is."""
    damp = np.clip((site.monthly.rh_pct.to_numpy() - _DRY_RH) / (_WET_RH - _DRY_RH), 0.0, 1.0)
    share = np.clip(climate.day_weights() @ damp, 0.0, 1.0)
    return share**_DAMP_POWER * warmth_of_days(site)


def _sum_before(warmth: np.ndarray, stacked: np.ndarray, days: int) -> np.ndarray:
    """Warm days in the yard before each day of stacking."""
    back = (stacked - 1 - np.arange(days)[:, None]) % 365
    return warmth[back].sum(0)


def _on_sticks(
    wood: woods.Species,
    thick: float,
    place: climate.Site,
    airflow: str,
    width: float,
    care: Care,
    stacked: np.ndarray,
) -> tuple[np.ndarray, np.ndarray]:
    """Days with a wet face, and how much of them is warm and damp, in the first weeks."""
    own = rate(wood, "sapwood").per_day / thick**2 / care.takes_times
    start = wood.mc_of_part_pct("sapwood") if wood.knows("sapwood") else wood.start_mc_pct
    bi = float(biot(airflow, width, thick)) * np.sqrt(care.air_times)
    b, B = slab.roots(bi), slab.weights(bi)
    day = (stacked + np.arange(_DAYS)[:, None]) % 365
    factor, emc = (each[day] for each in felt_weather(place))
    counts = _counted_days(place)[day]
    # a wet face dries with what the air can take, which nears nothing in damp air however warm it is; warmth speeds it
    # by half as much as it does water inside (both judgment)
    thirst = np.maximum((FIBERS_FULL_PCT - emc) / (FIBERS_FULL_PCT - ORDINARY_EMC_PCT), 0.0) ** 2
    pace = own * np.sqrt(factor) * thirst
    a = B * np.subtract(start, emc[0])[:, None]
    wet, damp, before = np.zeros(12), np.zeros(12), np.full(12, np.inf)
    for n in range(_DAYS):
        a = slab.step(a, b, B, emc[n] - emc[max(n - 1, 0)], pace[n])
        over = slab.surface(a, b, bi, emc[n]) - np.maximum(_FACE_PCT, emc[n] + _FACE_SHARE * (start - emc[n]))
        # the last wet day counts in part: a hair of moisture changes no whole day
        face = np.clip(0.5 + over / np.maximum(np.abs(before - over), 1e-9), 0.0, 1.0) if n else over > 0
        before = over
        wet += face
        damp += face * counts[n]
    return wet, damp


# Insects fly from the first month that is about so warm on, for as many months as handbooks count in their season
_FLIES_F = 50.0  # from memory, a round figure


def insects_of(species: str | woods.Species, month: int, site: str | climate.Site) -> tuple[str, ...]:
    """Return the insects that come to a wood in a month at a place, to its logs or its boards.

    Examples
    --------
    >>> insects_of("black walnut", 6, "Madison")[-1], insects_of("black walnut", 12, "Madison")
    ('lyctid powderpost beetles', ())
    """
    genus = woods.get(species).botanical.partition(" ")[0]
    return tuple(
        each.insect
        for each in tables.read("wood_insects").itertuples()
        if (each.genera != each.genera or genus in each.genera.split())
        and month in flying_months(each.insect, site)
    )


def flying_months(insect: str, site: str | climate.Site) -> tuple[int, ...]:
    """Return the months in which an insect of `insects` flies at a place: warm ones, as many as its season has.

    Examples
    --------
    >>> flying_months("lyctid powderpost beetles", "Mobile"), flying_months("lyctid powderpost beetles", "Duluth")
    ((2, 3, 4, 5, 6), (5, 6, 7, 8, 9))
    """
    table = tables.read("wood_insects").set_index("insect")
    first, last = (climate.MONTH_NAMES.index(name) for name in table.when[insect].split(" to "))
    temp = climate.get(site).monthly.temp_f.to_numpy()
    from_coldest = (int(temp.argmin()) + np.arange(12)) % 12
    warm = [int(m) + 1 for m in from_coldest if temp[m] >= _FLIES_F]
    return tuple(sorted(warm[: last - first + 1]))


def insects() -> pd.DataFrame:
    """Return the insects that come to logs and boards: what wood, when, the sign, and what stops them.

    Returns
    -------
    DataFrame
        `insect`, `wood`, `when`, `where`, `sign`, `stops`, `source`, `status`.

    Examples
    --------
    >>> insects().insect.tolist()[0]
    'ambrosia beetles'
    """
    return tables.read("wood_insects").drop(columns="genera")
