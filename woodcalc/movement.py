"""Wood in the house: the air of each month indoors, how wide a piece is in it, how it cups, what to leave.

Indoor air is the site's outdoor air, warmed and with the water that people add; from that the moisture
content the wood is drawn to, with a delay for thickness and finish; from that its width by
`woodcalc.shrinkage`.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Any

import numpy as np

from woodcalc import air, climate, shrinkage, units
from woodcalc import species as woods
from woodcalc.checks import FloatOrArray, InputError, Numbers, plain, within

if TYPE_CHECKING:
    import pandas as pd


# a lived-in house with open windows, above the mean of the day outdoors: common practice
OPEN_WARMER_F = 5.0
# Angle of the rings to the wide face. Rift is 30 to 60 degrees in the trade; 45 stands for it.
SAWN = {"flat-sawn": 0.0, "rift-sawn": 45.0, "quarter-sawn": 90.0}
PEOPLE_G_PER_M3 = (
    3.0  # ISO 13788 class 2, lived-in dwellings: 2 to 4 g/m3 more than outdoors in frost: from memory
)
COOLED_RH_PCT = 55.0  # what home air conditioning holds it down to: common practice
_NINE_IN_TEN = 1.28  # standard deviations that nine in ten are under
VARIES = 0.2  # single boards move a fifth more or less than their species (woodcalc.shrinkage)
# psi per g/m3 and kelvin: water vapour's gas constant is 461.5 J/(kg K)
_VAPOUR = 461.5 / units.PA_PER_PSI / 1000


def indoors(
    site: climate.Site | str,
    heated: bool = True,
    *,
    heat_f: float = 68.0,
    humid_floor_pct: float = 0.0,
    cooled: bool = False,
    people_g_per_m3: float = PEOPLE_G_PER_M3,
) -> pd.DataFrame:
    """Return the air of each month inside a building at a place.

    Heated: outdoor air is warmed to `heat_f` with its water kept, and people add some: the full amount when
    it freezes outdoors, falling evenly to none at 68 F (the form of ISO 13788, from memory). In months when
    an open house would by itself be warmer than that, 5 F above outdoors, the windows are open. Unheated:
    outdoor air all year, as under a dry roof.

    Parameters
    ----------
    site : str or climate.Site
    heated : bool
    heat_f : float
        Room temperature in the heating season (F), 50 to 85.
    humid_floor_pct : float
        Relative humidity that a humidifier keeps up in the heating season (%), 0 to 60; 0 for none.
    cooled : bool
        True: warm months are cooled to 76 F and no damper than 55 %, instead of windows open.
    people_g_per_m3 : float
        Water that people add in frost (g per m3 of air), 0 to 8: 0 an empty house, 3 lived in, 5 crowded.

    Returns
    -------
    DataFrame
        Index month 1-12: `out_temp_f`, `out_rh_pct`, `temp_f`, `rh_pct`, `emc_pct`, `how` ("heated", "windows
        open", "cooled", "unheated").

    Raises
    ------
    InputError
        Unknown site, a value out of range.

    Examples
    --------
    >>> house = indoors("Madison")
    >>> print(f"{house.emc_pct.min():.1f} {house.emc_pct.max():.1f}")
    5.5 11.8
    """
    import pandas as pd

    place = climate.get(site) if isinstance(site, str) else site
    heat = within("heat_f", heat_f, 50, 85, "F")
    floor = within("humid_floor_pct", humid_floor_pct, 0, 60, "%")
    people = within("people_g_per_m3", people_g_per_m3, 0, 8, "g/m3")
    month = place.monthly
    out_t, out_rh = month["temp_f"].to_numpy(), month["rh_pct"].to_numpy()
    temp, rh = out_t.copy(), out_rh.copy()
    how = np.full(12, "unheated", dtype=object)
    if heated:
        water = air.saturation_pressure_psi(month["dew_point_f"].to_numpy())
        temp, rh, cold = _in_the_house(out_t, water, heat, floor, cooled, people)
        how = np.where(cold, "heated", "cooled" if cooled else "windows open")
    columns = {"out_temp_f": out_t, "out_rh_pct": out_rh, "temp_f": temp, "rh_pct": rh}
    emc = np.asarray(air.emc_pct(temp, rh))
    if not heated:
        emc = np.minimum(emc, air.EMC_CAP_PCT)  # fog does not wet covered wood to its face value
    return pd.DataFrame({**columns, "emc_pct": emc, "how": how}, index=month.index)


def _in_the_house(
    out_temp_f: Any, water_psi: Any, heat: Any, floor: Any, cooled: bool, people: float
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Temperature and humidity in a heated house, and whether the heat is on; from the air outdoors, in any shape."""
    free = np.minimum(out_temp_f + OPEN_WARMER_F, 76.0) if cooled else out_temp_f + OPEN_WARMER_F
    cold = free < heat
    inside = np.maximum(heat, free)
    share = np.clip((68 - out_temp_f) / (68 - 32), 0, 1)  # 0 C to 20 C
    kelvin = units.kelvin(inside)
    water = water_psi + _VAPOUR * kelvin * people * share
    few, back = np.unique(inside, return_inverse=True)  # most rooms are as warm as each other
    full = np.asarray(air.saturation_pressure_psi(few))[back].reshape(inside.shape)
    rh = np.clip(100 * water / full, 1, 98)
    rh = np.where(cold, np.maximum(rh, floor), np.minimum(rh, COOLED_RH_PCT) if cooled else rh)
    return inside, rh, cold


def indoors_everywhere(
    *, heat_f: float = 68.0, cooled: bool = False, people_g_per_m3: float = PEOPLE_G_PER_M3
) -> np.ndarray:
    """Where wood comes to rest in a heated house at all weather stations, for a map of them: as `indoors` of each.

    Parameters
    ----------
    heat_f, cooled, people_g_per_m3 :
        As in `indoors`.

    Returns
    -------
    ndarray (1011, 12)
        % MC: a row a station, in the order of `climate.stations()`; January to December.

    Examples
    --------
    >>> house = indoors_everywhere()[climate.stations().name == "Madison, WI"][0]
    >>> print(f"{house.min():.1f} {house.max():.1f}")
    5.5 11.8
    """
    heat = within("heat_f", heat_f, 50, 85, "F")
    people = within("people_g_per_m3", people_g_per_m3, 0, 8, "g/m3")
    out_t = climate.everywhere("temp_f")
    temp, rh, _ = _in_the_house(out_t, _water_everywhere(), heat, 0.0, cooled, people)
    return np.asarray(air.emc_pct(temp, rh))


@cache
def _water_everywhere() -> np.ndarray:
    """The pressure of the water vapor in the air outdoors, psi, at all stations."""
    saturated = air.saturation_pressure_psi(climate.everywhere("temp_f"))
    return climate.everywhere("rh_pct") / 100 * saturated


def wood_mc_pct(emc_by_month_pct: Numbers, lag_days: float = 0.0) -> np.ndarray:
    """Return the moisture content of a piece that follows the air of the months with a delay.

    First-order: it closes the same share of its distance from the air's EMC each day. `lag_days` is the time
    in which it would close 63 % of it.

    Parameters
    ----------
    emc_by_month_pct : array-like of 12
        EMC of each month (%).
    lag_days : float
        0 to 365: 0 follows at once, 15 to 30 a bare board 3/4 in thick, 60 and more a thick or well finished
        one (common practice: finishes slow water, none stops it).

    Returns
    -------
    ndarray of 12

    Examples
    --------
    >>> mc = wood_mc_pct([6, 6, 7, 8, 9, 10, 12, 12, 11, 9, 7, 6], 60)
    >>> print(f"{mc.min():.1f} in month {mc.argmin() + 1}, {mc.max():.1f} in month {mc.argmax() + 1}")
    6.7 in month 3, 10.9 in month 9
    """
    emc = np.asarray(within("emc_by_month_pct", emc_by_month_pct, 0, 40, "% MC"), float)
    if emc.shape != (12,):
        raise InputError("emc_by_month_pct: expected 12 months.")
    lag = within("lag_days", lag_days, 0, 365, "days")
    turn = 2 * np.pi * np.fft.rfftfreq(12, 365 / 12)  # radians per day
    return np.fft.irfft(np.fft.rfft(emc) / (1 + 1j * turn * lag), 12)


def ring_angle_deg(sawn: str | float) -> float:
    """Return the ring angle for "flat-sawn", "rift-sawn", "quarter-sawn", or a number of degrees as it is.

    Parameters
    ----------
    sawn : str or float
        How the board is sawn, or degrees between rings and face, 0 to 90.

    Examples
    --------
    >>> ring_angle_deg("quarter-sawn")
    90.0
    """
    if isinstance(sawn, str):
        if sawn not in SAWN:
            raise InputError(f"sawn = {sawn!r}: expected {', '.join(SAWN)}, or an angle in degrees.")
        return SAWN[sawn]
    return within("sawn", sawn, 0, 90, "degrees")


@dataclass(frozen=True)
class PieceYear:
    """A piece through the year.

    Attributes
    ----------
    months : DataFrame
        That of `indoors`, with `mc_pct` of the wood and `width_in`.
    made_in, made_mc_pct : float
        Width and moisture content when it was made.
    grows_in, shrinks_in : float
        From there to its widest and its narrowest month, both 0 or more.
    change_in : float
        Widest less narrowest month.
    widest, narrowest : int
        Those months, 1-12.
    """

    months: pd.DataFrame
    made_in: float
    made_mc_pct: float
    grows_in: float
    shrinks_in: float
    change_in: float
    widest: int
    narrowest: int


def piece_year(
    width_in: float,
    made_mc_pct: float,
    species: str | woods.Species,
    sawn: str | float,
    months: pd.DataFrame,
    lag_days: float = 0.0,
) -> PieceYear:
    """Return how wide a piece is in each month.

    Parameters
    ----------
    width_in : float
        Width across the grain when made (in), 0.5 to 240.
    made_mc_pct : float
        Moisture content when made (%), 3 to 25.
    species : str or Species
    sawn : str or float
        "flat-sawn", "rift-sawn", "quarter-sawn", or the ring angle in degrees.
    months : DataFrame
        Air of the months, from `indoors`.
    lag_days : float
        As in `wood_mc_pct`.

    Returns
    -------
    PieceYear

    Examples
    --------
    >>> top = piece_year(36, 8, "black cherry", "flat-sawn", indoors("Madison"), 30)
    >>> print(f"{top.change_in:.2f} in; widest month {top.widest}, narrowest {top.narrowest}")
    0.50 in; widest month 9, narrowest 2
    """
    width = within("width_in", width_in, 0.5, 240, "in", "Is it in feet?")
    made = within("made_mc_pct", made_mc_pct, 3, 25, "% MC", "Wood for furniture is made at 6 to 8 %.")
    mc = wood_mc_pct(months["emc_pct"], lag_days)
    wide = shrinkage.size_after(width, species, made, mc, ring_angle_deg(sawn))
    table = months.assign(mc_pct=mc, width_in=wide)
    widest, narrowest = int(table["width_in"].idxmax()), int(table["width_in"].idxmin())
    most, least = float(wide.max()), float(wide.min())
    grows, shrinks = max(0.0, most - width), max(0.0, width - least)
    return PieceYear(table, width, made, grows, shrinks, most - least, widest, narrowest)


@dataclass(frozen=True)
class Gap:
    """What to leave: `side_in` free at each side, a groove `groove_in` deep with `hold_in` in it when dry."""

    side_in: float
    groove_in: float
    hold_in: float


def gap_to_leave(year: PieceYear, hold_in: float = 0.125, margin: float = VARIES) -> Gap:
    """Return the gap to leave beside a loose panel and the depth of groove that never lets it drop out.

    A panel centred in a frame: half of its growth at each side, a fifth more because single boards differ
    from their species; and the groove deep enough for that gap, the shrinkage, and `hold_in` still inside.

    Parameters
    ----------
    year : PieceYear
    hold_in : float
        Panel edge left in the groove in the driest month (in).
    margin : float
        0.2 = a fifth more movement than the species' average.

    Returns
    -------
    Gap

    Examples
    --------
    >>> door = piece_year(14, 7, "white oak", "flat-sawn", indoors("Madison"), 30)
    >>> gap = gap_to_leave(door)
    >>> print(f"{gap.side_in:.3f} {gap.groove_in:.3f}")
    0.144 0.303
    """
    hold = within("hold_in", hold_in, 0, 2, "in")
    more = 1 + within("margin", margin, 0, 1)
    side = more * year.grows_in / 2
    return Gap(side, side + more * year.shrinks_in / 2 + hold, hold)


def varies(species: str | woods.Species) -> float:
    """Return how far a single board's movement may be off its wood's, as a share: the margin on a gap.

    `VARIES`, and more for a wood of one's own whose shrinkage is its group's.

    Parameters
    ----------
    species : str or Species

    Examples
    --------
    >>> varies("white oak")
    0.2
    """
    return VARIES + _NINE_IN_TEN * woods.get(species).shrink_varies


def cup_in(
    width_in: Numbers,
    ring_radius_in: Numbers,
    species: str | woods.Species,
    mc_from_pct: Numbers = 30.0,
    mc_to_pct: Numbers = 8.0,
) -> FloatOrArray:
    """Return how deep a flat-sawn board cups from the curve of its rings: the gap under a straightedge (in).

    Rings straighten as wood dries, because it shrinks more along them than across them: the face toward the
    bark goes hollow. With a = atan(width / 2R) and k = (1 - S_T) / (1 - S_R), the angle k a is what is left
    of a, and the edges stand ``(1 - S_R) R (cos(k a) / cos(a) - 1)`` above the middle: the geometry of
    `shrinkage.board_shape`, without its thickness. On paper: near ``width^2 (S_T - S_R) / (4 R)``, a tenth
    too much for boards no wider than R.

    Parameters
    ----------
    width_in : float or array
        Width (in).
    ring_radius_in : float or array
        From the pith to the bark-side face (in).
    species : str or Species
    mc_from_pct, mc_to_pct : float
        Moisture contents (%).

    Returns
    -------
    float or ndarray
        Below 0 the bark side becomes the crown, as when dry wood is wetted.

    Examples
    --------
    >>> cup_in(8, 8.5, "northern red oak")
    0.059
    """
    wood = woods.get(species)
    width = np.asarray(within("width_in", width_in, 0.1, 60, "in"))
    radius = np.asarray(within("ring_radius_in", ring_radius_in, 0.5, 60, "in"))
    along, across = (
        1 - np.asarray(shrinkage.shrinkage_pct(wood, mc_from_pct, mc_to_pct, a)) / 100 for a in (0, 90)
    )
    angle = np.arctan(width / (2 * radius))
    return plain(across * radius * (np.cos(along / across * angle) / np.cos(angle) - 1))
