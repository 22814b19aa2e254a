"""Heat against insects: how long until the middle of a board, or of a square timber, is hot.

The wood is a slab (a board) or a square or rectangle (a timber) that takes up heat through a film:
conduction with MacLean's method, conductivity and specific heat from the Wood Handbook. Air below
saturation cools the surface by drying it, so the wet bulb counts as much as the thermometer.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from woodcalc import air, moisture, species, units
from woodcalc.checks import InputError, plain, within
from woodcalc.drying import slab

# 56 C for 30 min through the whole profile of the wood (ISPM 15)
ISPM15_CORE_F, ISPM15_HOLD_MIN = 133.0, 30.0
# The printed 99 % bound is 1.45 times its own estimate (Wood Handbook table 20-8), and ours is up to 11 % short of it.
LONG_SIDE = 1.63

# Three numbers fitted once, together, to the 36 cells of Wood Handbook FPL-GTR-190 (2010), table 20-8, that
# the tests print; the worst cell is off by 14 %.
# Heat also moves as vapour inside green wood near 160 F: conduction counts this much more than the handbook's.
_VAPOUR = 1.48
# Film from air to wood, W/m2K.
_FILM = 20.0
# The surface acts as if it were this many wet-bulb depressions below the dry bulb: drying cools it, and cools
# the air on its way through the load.
_COOLING = 1.66


@dataclass(frozen=True)
class Heating:
    """Times of a heat treatment.

    Attributes
    ----------
    minutes_to_core : float
        Until the middle has the wanted temperature.
    hold_min : float
        To be kept there.
    minutes : float
        Both together.
    long_side_minutes : float
        Both together, the heating 1.63 times as long: at or over the 99 % upper bound of the published table in each
        of its cells.
    """

    minutes_to_core: float
    hold_min: float
    minutes: float
    long_side_minutes: float


def conductivity_w_mk(basic_sg: float | np.ndarray, mc_pct: float | np.ndarray) -> float | np.ndarray:
    """Heat that wood conducts across the grain.

    Parameters
    ----------
    basic_sg : float or array
        Specific gravity (oven-dry weight, green volume), 0.2 to 1.0.
    mc_pct : float or array
        0 to 200 %.

    Returns
    -------
    float or ndarray
        W/(m K).

    References
    ----------
    MacLean (1941), as in the Wood Handbook's older editions, from memory: k = G (1.39 + 0.028 M) +
    0.165 up to 40 % MC, G (1.39 + 0.038 M) + 0.165 above, in Btu in/(h ft2 F).

    Examples
    --------
    >>> conductivity_w_mk(0.5, 12)
    0.148
    """
    g = np.asarray(within("basic_sg", basic_sg, 0.2, 1.0, hint="It is not in lb/ft3."))
    m = np.asarray(within("mc_pct", mc_pct, 0, 200, "%"))
    slope = np.where(m > 40, 0.038, 0.028)
    return plain(0.1442 * (g * (1.39 + slope * m) + 0.165))  # 0.1442 W/(m K) = 1 Btu in/(h ft2 F)


def heat_capacity_kj_m3k(
    basic_sg: float | np.ndarray, mc_pct: float | np.ndarray, temp_f: float = 130.0
) -> float | np.ndarray:
    """Heat to warm a cubic meter of wood by one degree C.

    Parameters
    ----------
    basic_sg, mc_pct :
        As in `conductivity_w_mk`.
    temp_f : float
        0 to 220 F.

    Returns
    -------
    float or ndarray
        kJ/(m3 K).

    References
    ----------
    Dry wood 0.1031 + 0.003867 T(K) kJ/(kg K), Wood Handbook FPL-GTR-190 (2010), eq. 4-16, from
    memory; water 4.18. The small extra for the bond of water and wood is left out.

    Examples
    --------
    >>> heat_capacity_kj_m3k(0.38, 100)
    2109.
    """
    g = np.asarray(within("basic_sg", basic_sg, 0.2, 1.0, hint="It is not in lb/ft3."))
    m = np.asarray(within("mc_pct", mc_pct, 0, 200, "%"))
    kelvin = units.kelvin(np.asarray(within("temp_f", temp_f, 0, 220, "F")))
    return plain(g * 1000 * (0.1031 + 0.003867 * kelvin + 4.18 * m / 100))


def cold_share(fourier: float, biot: float, n: int = 20) -> float:
    """How much of the temperature difference is left in the middle of a slab: 1 at the start, 0 at the end.

    Parameters
    ----------
    fourier : float
        Time x diffusivity / half thickness squared.
    biot : float
        Film x half thickness / conductivity.
    n : int
        Terms of the series.

    Returns
    -------
    float

    References
    ----------
    Carslaw & Jaeger, Conduction of Heat in Solids (1959), sec. 3.11, from memory: the series of
    `slab`, with the middle in place of the mean.

    Examples
    --------
    >>> cold_share(0.5, 1.0)
    0.772
    """
    weight, b2 = _series(biot, n)
    return float((weight * np.exp(-b2 * fourier)).sum())


def _series(biot: float, n: int = 20) -> tuple[np.ndarray, np.ndarray]:
    b = slab.roots(biot, n)
    return 2 * np.sin(b) / (b + np.sin(b) * np.cos(b)), b**2


def minutes_to_core(
    thickness_in: float | Sequence[float] | np.ndarray,
    start_f: float,
    air_f: float = 160.0,
    wet_bulb_f: float = 150.0,
    wood: str | species.Species = "ponderosa pine",
    mc_pct: float | None = None,
    width_in: float | None = None,
    core_f: float = 133.0,
    part: str = "mixed",
) -> float | np.ndarray:
    """Minutes until the middle is hot, boards on stickers in moving air.

    Parameters
    ----------
    thickness_in : float or array
        Actual thickness, 0.5 to 14 in.
    start_f : float
        Temperature of the wood at the start, 33 to 120 F; frozen wood takes longer.
    air_f, wet_bulb_f : float
        Chamber: dry bulb 120 to 210 F, and wet bulb. The wet bulb must stay well above `core_f`.
    wood : str
        Species.
    mc_pct : float, optional
        Moisture content; the tree's average when green if not given.
    width_in : float, optional
        Width of a square or rectangular timber, in; a board, much wider than thick, if not given.
    core_f : float
        Wanted in the middle, 100 to 180 F.
    part : {"mixed", "heartwood", "sapwood"}
        Of the log: how wet green wood is, if `mc_pct` is left out.

    Returns
    -------
    float or ndarray
        Minutes, from wood already standing in air of `air_f`; the chamber's own heating-up comes on top.

    Raises
    ------
    InputError
        The surface would not get hot enough: the air is too dry or too cool.

    References
    ----------
    Conduction in two directions is the product of two slabs (MacLean; Wood Handbook FPL-GTR-190,
    eq. 20-4); film, drying and vapour fitted to its table 20-8.

    Examples
    --------
    >>> minutes_to_core(4, 60, 160, 156, width_in=4)  # published: 144
    144.9
    """
    if np.ndim(thickness_in):
        rest = (start_f, air_f, wet_bulb_f, wood, mc_pct, width_in, core_f, part)
        return np.array([minutes_to_core(thick, *rest) for thick in np.asarray(thickness_in)])
    from scipy.optimize import brentq

    inches: float = within("thickness_in", thickness_in, 0.5, 14, "in", "Is it in mm?")
    half: float = inches * units.M_PER_IN / 2
    start = within("start_f", start_f, 33, 120, "F", "Is it in C?")
    hot = within("air_f", air_f, 120, 210, "F", "Is it in C?")
    wet = within("wet_bulb_f", wet_bulb_f, 90, hot, "F", "The wet bulb cannot read above the dry bulb.")
    core = within("core_f", core_f, 100, 180, "F", "Is it in C?")
    s = species.get(wood)
    mc = moisture.start_mc_pct(s, mc_pct, part, name="mc_pct", least=5.0)
    surface = hot - _COOLING * (hot - wet)
    left = (surface - core) / (surface - start)
    if left < 0.02:
        least = hot - (hot - core) / _COOLING
        raise InputError(
            f"wet_bulb_f = {wet:g}: in this air drying cools the wood, and its middle would hardly reach {core:g} F. "
            f"Keep the wet bulb above about {least + 2:.0f} F: raise the humidity or the temperature."
        )
    if left >= 1:
        return 0.0
    k = conductivity_w_mk(s.basic_sg, mc)
    diffusivity = k / (heat_capacity_kj_m3k(s.basic_sg, mc) * 1000) * _VAPOUR
    biot = _FILM / (k * _VAPOUR)
    halves: Any = (
        [half]
        if width_in is None
        else [half, within("width_in", width_in, inches, 60, "in") * units.M_PER_IN / 2]
    )

    series = [(diffusivity / h**2, *_series(biot * h)) for h in halves]

    def over(seconds: float) -> float:  # at once all of it is left, which the cut series does not quite say
        each = (float((weight * np.exp(-b2 * pace * seconds)).sum()) for pace, weight, b2 in series)
        return (math.prod(each) if seconds else 1.0) - left

    low, high = 0.0, 600.0
    while over(high) > 0:
        low, high = high, 2 * high
    return float(brentq(over, low, high)) / 60


def treat(
    thickness_in: float,
    start_f: float,
    air_f: float = 160.0,
    wet_bulb_f: float = 150.0,
    wood: str | species.Species = "ponderosa pine",
    mc_pct: float | None = None,
    width_in: float | None = None,
) -> Heating:
    """Heat treatment to 133 F in the middle for 30 minutes, in the manner of ISPM 15.

    ISPM 15 is the international standard for wood packaging: crates, pallets, dunnage. Its mark may be put on
    only by a treater under an official program, who measures the wood's middle with probes. For lumber of
    one's own the same heat kills the insects inside; it does not keep new ones out.

    Parameters
    ----------
    thickness_in, start_f, air_f, wet_bulb_f, wood, mc_pct, width_in :
        As in `minutes_to_core`.

    Returns
    -------
    Heating

    References
    ----------
    ISPM 15 (FAO/IPPC), as given in Wood Handbook FPL-GTR-190 (2010), ch. 14 and 20; margin: its table
    20-8, 99 % upper bound over the estimate, 1.44 to 1.47, and what our estimate is short of that one.

    Examples
    --------
    >>> h = treat(1, 60, 160, 156)
    >>> h.minutes_to_core < h.minutes < h.long_side_minutes
    True
    """
    minutes = float(
        minutes_to_core(thickness_in, start_f, air_f, wet_bulb_f, wood, mc_pct, width_in, ISPM15_CORE_F)
    )
    return Heating(minutes, ISPM15_HOLD_MIN, minutes + ISPM15_HOLD_MIN, LONG_SIDE * minutes + ISPM15_HOLD_MIN)


def wet_bulb_needed_f(air_f: float, core_f: float = ISPM15_CORE_F) -> int:
    """Lowest wet bulb at which wood in air of `air_f` still reaches `core_f` in its middle, F.

    References
    ----------
    As `minutes_to_core`. Near or below it heating takes far longer (Wood Handbook FPL-GTR-190, p. 20-2).

    Examples
    --------
    >>> wet_bulb_needed_f(160)
    146
    """
    hot = within("air_f", air_f, core_f, 210, "F", "Is it in C?")
    return round(hot - (hot - core_f) / _COOLING + 2.0)


def humidity_needed_pct(air_f: float, core_f: float = ISPM15_CORE_F) -> int:
    """Relative humidity of the chamber's air at `wet_bulb_needed_f`, %.

    Examples
    --------
    >>> humidity_needed_pct(160)
    70
    """
    return round(air.rh_from_wet_bulb_pct(air_f, wet_bulb_needed_f(air_f, core_f)))
