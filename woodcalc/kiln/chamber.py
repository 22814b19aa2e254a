"""A closed chamber with wood in it, hour by hour: the heat and the water that go in and out.

Solar kiln and dehumidifier are the same box; they differ in what brings heat in and takes water out. Each
step has two unknowns, the temperature and the humidity of the chamber's air, and two balances:

    heat in (sun, fans, heater, machine) = through walls and glazing + with the air that leaves
                                           + to evaporate water + stored in wood, walls and air
    water out of the wood                = with the air that leaves + dripped off + stored in the air

The wood is the slab of `slab`, with the chamber's air as its climate, and has a temperature of its own. Vents,
heater and machine answer, in proportion, to the air that the step ends with: the result does not hang on how
long a step is. Given the EMC that the wood's face meets, and the share of the step that vents or machine work,
all else is linear. What is left are two equations of one unknown each, one inside the other. Both balances
close to rounding, whatever their answers.

SI units inside (kg, J, m, s, C); `kiln` turns them to the reader's.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Any, NamedTuple

import numpy as np

from woodcalc.drying import slab
from woodcalc.drying.slab import HEAT_K
from woodcalc.units import ZERO_C_K, fahrenheit

# Specific heats, J/(kg K). Dry air, water vapor and water: ASHRAE Handbook Fundamentals (2017), ch. 1.
CP_AIR, CP_VAPOR, CP_WATER = 1006.0, 1860.0, 4186.0
# Dry wood at 35 C: 103.1 + 3.867 T(K) J/(kg K), Wood Handbook FPL-GTR-190 (2010), eq. 4-16, from memory.
CP_WOOD = 103.1 + 3.867 * 308.15
MOLES = 0.621945  # molar mass of water over that of dry air: ASHRAE Handbook Fundamentals (2017), ch. 1
# Extra heat to free bound water, share of the latent heat: Dry Kiln Operator's Manual, from memory
SORPTION = 0.05
BOUND_MC = 30.0  # % MC below which water is bound (fiber saturation)
INSIDE_W_M2K = 8.3  # still film inside a window or wall: ASHRAE Handbook Fundamentals, from memory

# The forecast outdoors was fitted to yards whose air holds about this humidity (mean of the 61 stations).
# Above fiber saturation the surface is wet and gives off water in proportion to how far the air is from
# saturation, not to how far the wood is from its EMC; at this humidity the two agree.
YARD_RH = 0.68
# Air of more than 100 % at the wood's own temperature wets it: % MC per unit of humidity above 1. Any steep
# number does; it keeps the wood from being colder than the dew point.
_OVER = 200.0
WARM_FANS_C = 10.0  # fans by the rule "warm" run this far above the morning low: Wengert & Oliveira, 18 F
_HEATER_BAND_C = 2.0  # a heater gives all it has this far below what it keeps: assumption
_LIMIT_BAND_C = 1.0  # a machine works less and less this near to its limit: assumption
_STILL_VENT = 1 / 3  # what a vent passes without fans (chimney effect alone): assumption
# How well a step's two equations are met, % MC and share of the step; heat and water close whatever they are
_NEAR_MC, _NEAR_SHARE = 3e-3, 1e-5

_MODES = 8


def saturation_pa(temp_c: float) -> float:
    """Saturation vapor pressure over water, or over ice below 0.01 C.

    Parameters
    ----------
    temp_c : float
        -80 to 150 C.

    Returns
    -------
    float
        Pa.

    References
    ----------
    ASHRAE Handbook Fundamentals (2017), ch. 1, eq. 5 and 6, as PsychroLib has them.

    Examples
    --------
    >>> saturation_pa(20.0)
    2338.8
    """
    t = max(temp_c + ZERO_C_K, 150.0)  # a search may look at colder air on its way
    if temp_c > 0.01:
        return math.exp(
            -5.8002206e3 / t + 1.3914993 + t * (-4.8640239e-2 + t * (4.1764768e-5 - t * 1.4452093e-8))
            + 6.5459673 * math.log(t)
        )  # fmt: skip
    return math.exp(
        -5.6745359e3 / t + 6.3925247
        + t * (-9.677843e-3 + t * (6.2215701e-7 + t * (2.0747825e-9 - t * 9.484024e-13)))
        + 4.1635019 * math.log(t)
    )  # fmt: skip


def humidity_ratio(temp_c: float, rh: float, pressure_pa: float) -> float:
    """Pounds of water that travel with a pound of dry air, from C, a fraction and Pa.

    Examples
    --------
    >>> humidity_ratio(21.11, 0.5, 101325.0)
    0.0078
    """
    vapor = rh * saturation_pa(temp_c)
    return MOLES * vapor / (pressure_pa - vapor)


def relative_humidity(temp_c: float, ratio: float, pressure_pa: float) -> float:
    """Humidity as a fraction from C, pounds of water with a pound of dry air, and Pa.

    Examples
    --------
    >>> relative_humidity(21.11, humidity_ratio(21.11, 0.5, 101325.0), 101325.0)
    0.5
    """
    return ratio * pressure_pa / ((MOLES + ratio) * saturation_pa(temp_c))


def emc_pct(temp_c: float, rh: float) -> float:
    """EMC at a temperature in C and a humidity as a fraction: `air.emc_pct` for one number, without checks.

    Beyond 1 it rises steeply, so that wood colder than the dew point takes up water.

    Examples
    --------
    >>> emc_pct(21.11, 0.65)
    12.0
    """
    f = max(0.0, min(fahrenheit(temp_c), 270.0))  # where `air` and the published table end
    # Wood Handbook FPL-GTR-190 (2010), eq. 4-5, Fahrenheit constants as in `air`
    w = 330.0 + f * (0.452 + 0.00415 * f)
    k = 0.791 + f * (0.000463 - 0.000000844 * f)
    k1 = 6.34 + f * (0.000775 - 0.0000935 * f)
    k2 = 1.09 + f * (0.0284 - 0.0000904 * f)
    kh = k * (rh if rh < 1.0 else 1.0)
    wet = k1 * kh * (1.0 + 2.0 * k2 * kh)
    value = 1800.0 / w * (kh / (1.0 - kh) + wet / (1.0 + k1 * kh * (1.0 + k2 * kh)))
    return value if rh < 1.0 else value + _OVER * (rh - 1.0)


@dataclass(frozen=True)
class Charge:
    """The wood in the chamber.

    Attributes
    ----------
    oven_dry_kg, faces_m2, mc_pct : float
        `faces_m2` counts both sides; `mc_pct` at the start.
    rate_h : float
        D(20 C)/a^2 per hour.
    biot, still : float
        Biot number with the fans on; film without fans over film with fans.
    film_w_m2k, still_film_w_m2k : float
        Heat from air to wood, with fans and without.
    """

    oven_dry_kg: float
    faces_m2: float
    mc_pct: float
    rate_h: float
    biot: float
    still: float
    film_w_m2k: float
    still_film_w_m2k: float


@dataclass(frozen=True)
class Box:
    """The chamber itself.

    Attributes
    ----------
    air_kg, pressure_pa : float
    walls_w_k, walls_j_k : float
        Heat through all that is not glazing; heat stored in the lining.
    leak_per_h, vent_per_h : float
        Air changes with the vents shut, and what open vents add.
    cold_m2, cold_share : float
        The surface that drips, at T - (1 - cold_share) (T - outdoors).
    """

    air_kg: float
    pressure_pa: float
    walls_w_k: float
    walls_j_k: float
    leak_per_h: float
    vent_per_h: float = 0.0
    cold_m2: float = 0.0
    cold_share: float = 1.0


@dataclass(frozen=True)
class Plant:
    """What brings heat and takes water.

    Attributes
    ----------
    gain_m2, loss_w_m2k : float
        Collector's area, and its loss.
    on, off : float
        Collector's efficiency factors with fans and without.
    fan_w, heater_w, machine_w : float
    heater_c : float
        The heater works below this.
    machine_kg_s, machine_most_kg_s : float
        What the machine takes per unit of humidity ratio above `coil_ratio`, and at most.
    coil_ratio : float
        Humidity ratio of the air that its coil leaves.
    machine_from_c : float
        It stands still through a step that begins colder than this.
    """

    gain_m2: float = 0.0
    loss_w_m2k: float = 0.0
    on: float = 1.0
    off: float = 1.0
    fan_w: float = 0.0
    heater_w: float = 0.0
    heater_c: float = -99.0
    machine_w: float = 0.0
    machine_kg_s: float = 0.0
    machine_most_kg_s: float = 0.0
    coil_ratio: float = 0.0
    machine_from_c: float = -math.inf


@dataclass(frozen=True)
class Control:
    """What share of the time vents stand open, or the machine works.

    None up to a humidity, more with each point above it, all a `band` further up; less and less again as the chamber
    comes within `_LIMIT_BAND_C` of a limit.

    Attributes
    ----------
    humidity : callable
        ``humidity(mc_pct)``: where it begins, as a fraction.
    band : float
        All of it this much above, as a fraction.
    limit_c : float
        None of it from this temperature on.
    least, most : float
        Share at least and at most; the same for vents that stay as they are.
    """

    humidity: Callable[[float], float]
    band: float
    limit_c: float = math.inf
    least: float = 0.0
    most: float = 1.0


STATES = (
    "temp_c", "ratio", "rh", "wood_c", "mc_pct", "surface_pct", "core_pct", "emc_pct", "fans", "working",
)  # fmt: skip
FLOWS = (
    "sun_j", "fan_j", "heater_j", "machine_j", "removed_j", "walls_j", "vent_j", "evaporation_j", "stored_j",
    "evaporated_kg", "vented_kg", "dripped_kg", "removed_kg",
)  # fmt: skip


def march(
    outdoor_c: Sequence[float] | np.ndarray,
    outdoor_ratio: Sequence[float] | np.ndarray,
    sun_w_m2: Sequence[float] | np.ndarray,
    charge: Charge,
    box: Box,
    plant: Plant,
    fans: Sequence[float] | np.ndarray | None,
    control: Control,
    stop_mc: float | None = None,
    per_hour: int = 1,
    hours: int = 1,
    night_above_mc: float = math.inf,
) -> dict[str, np.ndarray]:
    """Run the chamber hour by hour.

    Parameters
    ----------
    outdoor_c, outdoor_ratio, sun_w_m2 : sequence of n
        Air outside (C, kg/kg) and sun absorbed behind the glazing (W per m2 of collector), hour by hour, or as `hours`
        says.
    charge, box, plant : Charge, Box, Plant
    fans : sequence of n, or None
        1 or 0; None: fans run when the chamber is `WARM_FANS_C` above the day's lowest outdoor temperature.
    control : Control
        Of the vents or the machine.
    stop_mc : float, optional
        Stop at the end of the day on which the mean reaches this.
    per_hour : int
        Steps in each hour, during which the hour's weather stays.
    hours : int
        For a rough look: how long each value of the weather stays, a part of 24; all that is said here of an hour is
        then of so many.
    night_above_mc : float
        The fans run day and night while the mean is above this.

    Returns
    -------
    dict of ndarray
        `STATES` at the end of each hour, `FLOWS` (heat in J, water in kg) of the hour.
    """
    seconds, a_day = 3600.0 * hours / per_hour, 24 // hours
    given = (outdoor_c, outdoor_ratio, sun_w_m2)
    outdoor_c, outdoor_ratio, sun_w_m2 = (np.asarray(v, dtype=float).tolist() for v in given)
    warm = [min(outdoor_c[d : d + a_day]) + WARM_FANS_C for d in range(0, len(outdoor_c), a_day)]
    fans = None if fans is None else np.asarray(fans, dtype=float).tolist()

    parts, idle = _Parts.of(charge.biot), replace(control, least=0.0, most=0.0)
    temp = wood = last_wood = outdoor_c[0]
    ratio, mc = outdoor_ratio[0], charge.mc_pct
    trail = _Trail(emc_pct(wood, min(1.0, relative_humidity(wood, ratio, box.pressure_pa))), control.least)
    modes = parts.shares * mc
    rows = []
    for i in range(len(outdoor_c) * per_hour):
        hour = i // per_hour
        if mc > night_above_mc:
            fan = 1.0
        else:
            fan = fans[hour] if fans is not None else float(temp > warm[hour // a_day])
        # the wood's temperature over the step is the trend's: any step stays linear
        mid = wood + max(-3.0, min(3.0, 0.5 * (wood - last_wood))) + ZERO_C_K
        tau = charge.rate_h * hours / per_hour * math.exp(-HEAT_K * (1.0 / mid - 1.0 / 293.15))
        drying = _drying(modes, tau, parts)
        weather = outdoor_c[hour], outdoor_ratio[hour], sun_w_m2[hour]
        step = _step(seconds, weather, fan, (temp, ratio, wood, mc), drying, charge, box, plant)
        runs = control if temp >= plant.machine_from_c else idle
        air, emc, evaporated = _solve(step, box, plant, runs, trail)
        modes = drying.held + trail.star * drying.gained
        last_wood, mc = wood, step.mean0 + step.mean1 * trail.star
        rows.append((
            air.temp, air.ratio, air.rh, air.wood, mc, step.face0 + step.face1 * trail.star,
            drying.core0 + drying.core1 * trail.star, emc, fan, trail.share,
            *_heats(step, plant, air, evaporated, trail.share, fan),
            evaporated, air.flow * (air.ratio - step.outdoor_ratio), air.dripped, air.taken,
        ))  # fmt: skip
        temp, ratio, wood = air.temp, air.ratio, air.wood
        if stop_mc is not None and mc <= stop_mc and (i + 1) % (a_day * per_hour) == 0:
            break
    steps = np.array(rows)
    states = steps[per_hour - 1 :: per_hour, : len(STATES)]
    flows = seconds * steps[:, len(STATES) :].reshape(-1, per_hour, len(FLOWS)).sum(1)
    return dict(zip(STATES + FLOWS, np.hstack([states, flows]).T, strict=True))


class _Parts(NamedTuple):
    """The slab's modes (see `slab`): squared roots, shares, and what each adds to mean, face and core."""

    squares: np.ndarray
    shares: np.ndarray
    adds: np.ndarray

    @classmethod
    def of(cls, biot: float) -> _Parts:
        b = slab.roots(biot, _MODES)
        return cls(b**2, slab.weights(biot, _MODES), np.array([np.ones(_MODES), b**2 / biot, b / np.sin(b)]))


class _Drying(NamedTuple):
    """The slab at the end of a step, linear in the EMC `star` that it meets: modes, mean, face and core are each
    a + b * star. (Modes of the moisture itself, those of `slab` + share * EMC.)"""

    held: np.ndarray
    gained: np.ndarray
    mean0: float
    mean1: float
    face0: float
    face1: float
    core0: float
    core1: float


def _drying(modes: np.ndarray, tau: float, parts: _Parts) -> _Drying:
    fade = np.exp(parts.squares * -tau)
    held, lost = modes * fade, parts.shares * fade
    (mean0, face0, core0), (mean1, face1, core1) = (parts.adds @ held).tolist(), (parts.adds @ lost).tolist()
    return _Drying(held, parts.shares - lost, mean0, 1.0 - mean1, face0, 1.0 - face1, core0, 1.0 - core1)


class _Step(NamedTuple):
    """What stays the same within a step, whatever it ends with."""

    outdoor_c: float
    outdoor_ratio: float
    mc: float
    gains_w: float  # sun and fans
    sun_w: float
    leak: float  # kg/s of air that leaves with the vents shut, and what open vents add
    vent: float
    walls: float  # W/K through walls and glazing
    film: float  # W/K from air to wood
    give: float  # share of the film's heat that the wood's own warming lets back
    pull: float  # film for water over that with the fans on
    latent: float  # J/kg
    wood_w: float  # W/K, what warming the wood within the step takes; likewise the air and the lining
    box_w: float
    wood_heat: float  # the same times the temperature at the start
    box_heat: float
    cell: float  # kg/s, what filling the chamber with air within the step takes; the water in it at the start
    water: float
    dry: float  # kg/s of wood: what drying it by 1 % in the step gives off, a hundredfold
    mean0: float  # mean and face of the wood at the end: see `_Drying`
    mean1: float
    face0: float
    face1: float


class _Air(NamedTuple):
    """What a step ends with."""

    temp: float
    ratio: float
    wood: float
    rh: float
    flow: float
    dripped: float
    taken: float
    heater: float


@dataclass
class _Trail:
    """Where the searches of a step begin: where the last ones ended, how steep it was there, and the trend."""

    star: float  # EMC that the wood's face meets
    share: float  # of the step that vents or machine work
    star_slope: float = -1.0
    share_slope: float = -1.0
    star_trend: float = 0.0
    share_trend: float = 0.0


def _step(
    seconds: float,
    weather: tuple[float, float, float],
    fan: float,
    start: tuple[float, float, float, float],
    drying: _Drying,
    charge: Charge,
    box: Box,
    plant: Plant,
) -> _Step:
    outdoor_c, outdoor_ratio, sun_w_m2 = weather
    temp, ratio, wood, mc = start
    still = 1.0 - fan  # in a rough look they run for a part of a step
    catch = plant.gain_m2 * (fan * plant.on + still * plant.off)
    latent = 2442e3 - 2400.0 * (wood - 25.0)  # J/kg: 2442 kJ/kg at 25 C, less 2.4 per C, from memory
    if mc < BOUND_MC:
        latent *= 1.0 + SORPTION
    film = charge.faces_m2 * (fan * charge.film_w_m2k + still * charge.still_film_w_m2k)
    wood_w = charge.oven_dry_kg * (CP_WOOD + CP_WATER * mc / 100.0) / seconds
    box_w = (box.walls_j_k + box.air_kg * (CP_AIR + CP_VAPOR * ratio)) / seconds
    change, cell, sun_w = box.air_kg / 3600.0, box.air_kg / seconds, catch * sun_w_m2
    return _Step(
        outdoor_c, outdoor_ratio, mc, sun_w + plant.fan_w * fan, sun_w,
        change * box.leak_per_h, change * box.vent_per_h * (fan + still * _STILL_VENT),
        box.walls_w_k + catch * plant.loss_w_m2k, film, film / (wood_w + film), fan + still * charge.still,
        latent, wood_w, box_w, wood_w * wood, box_w * temp, cell, cell * ratio, charge.oven_dry_kg / seconds,
        drying.mean0, drying.mean1, drying.face0, drying.face1,
    )  # fmt: skip


def _heats(
    step: _Step, plant: Plant, air: _Air, evaporated: float, share: float, fan: float
) -> tuple[float, ...]:
    """The heat flows of a step in W, in the order of `FLOWS`."""
    rise = air.temp - step.outdoor_c
    stored = step.box_w * air.temp - step.box_heat + step.wood_w * air.wood - step.wood_heat
    return (
        step.sun_w, plant.fan_w * fan, air.heater, plant.machine_w * share, step.latent * air.taken,
        step.walls * rise, air.flow * (CP_AIR + CP_VAPOR * step.outdoor_ratio) * rise,
        step.latent * evaporated, stored,
    )  # fmt: skip


def _solve(step: _Step, box: Box, plant: Plant, control: Control, trail: _Trail) -> tuple[_Air, float, float]:
    """The air at the end of the step, the EMC that it gives the wood, and what the wood gave off (kg/s).

    Sought outside: the EMC `star` that the wood's face acts as if it met. Sought inside, for each `star`: the share
    of the step that vents or machine work, so that it is what `control` wants in the air that comes of it.
    """
    humidity, band, limit = control.humidity(step.mc), control.band, control.limit_c

    def drying_miss(star: float) -> tuple[float, _Air, float, float]:
        evaporated = step.dry * (step.mc - step.mean0 - step.mean1 * star) / 100.0

        def working_miss(share: float) -> tuple[float, _Air]:
            air = _air(step, box, plant, evaporated, share)
            return min((air.rh - humidity) / band, (limit - air.temp) / _LIMIT_BAND_C) - share, air

        trail.share, (_, air), trail.share_slope = _zero(
            working_miss, trail.share, trail.share_slope, _NEAR_SHARE, control.least, control.most
        )
        rh_wood = relative_humidity(air.wood, air.ratio, box.pressure_pa)
        emc = emc_pct(air.wood, rh_wood)
        face = step.face0 + step.face1 * star
        drive, above = face - emc, face - BOUND_MC
        if above > 0.0:
            drive -= above * (rh_wood - YARD_RH) / (1.0 - YARD_RH)
        return face - step.pull * drive - star, air, emc, evaporated

    star, share = trail.star, trail.share
    trail.share = min(max(share + trail.share_trend, control.least), control.most)
    trail.star, (_, air, emc, evaporated), trail.star_slope = _zero(
        drying_miss, star + trail.star_trend, trail.star_slope, _NEAR_MC
    )
    trail.star_trend, trail.share_trend = trail.star - star, trail.share - share
    return air, emc, evaporated


def _air(step: _Step, box: Box, plant: Plant, evaporated: float, share: float) -> _Air:
    """The air at the end of a step in which the wood gives off `evaporated` kg/s and vents or machine work for a
    `share` of it."""
    flow = step.leak + step.vent * share
    hold, water = step.cell + flow, step.water + evaporated + flow * step.outdoor_ratio
    taken = 0.0
    if plant.machine_kg_s:
        pump = plant.machine_kg_s * share
        taken = pump * ((water + pump * plant.coil_ratio) / (hold + pump) - plant.coil_ratio)
        taken = min(max(taken, 0.0), plant.machine_most_kg_s * share)
        water -= taken
    ratio = water / hold
    # wood: wood_w Tw - wood_heat = film (T - Tw) - latent e;  air: box_w T - box_heat = heat - loss T - film (T - Tw)
    loss = step.walls + flow * (CP_AIR + CP_VAPOR * step.outdoor_ratio)
    cool = step.wood_heat - step.latent * evaporated
    heat = step.gains_w + plant.machine_w * share + step.latent * taken
    heat += loss * step.outdoor_c + step.box_heat + step.give * cool
    keep = loss + step.box_w + step.film * (1.0 - step.give)
    temp, heater = heat / keep, 0.0
    if plant.heater_w and temp < plant.heater_c:
        per_c = plant.heater_w / _HEATER_BAND_C
        heater = min(plant.heater_w, per_c * (plant.heater_c - temp) * keep / (keep + per_c))
        temp = (heat + heater) / keep
    wood = (cool + step.film * temp) / (step.wood_w + step.film)
    dripped = 0.0
    if box.cold_m2:
        cold = saturation_pa(temp - (1.0 - box.cold_share) * (temp - step.outdoor_c))
        wet = MOLES * cold / (box.pressure_pa - cold)
        if ratio > wet > 0.0:  # below zero: hotter than boiling, nothing drips
            # Lewis relation: film for water vapor = film for heat / specific heat of the air
            drip = box.cold_m2 * INSIDE_W_M2K / CP_AIR
            ratio = (water + drip * wet) / (hold + drip)
            dripped = drip * (ratio - wet)
    full = saturation_pa(temp)
    rh = ratio * box.pressure_pa / ((MOLES + ratio) * full)
    if rh > 1.0:  # what the air cannot hold falls out as fog and drips off the walls
        most = MOLES * full / (box.pressure_pa - full)
        dripped, ratio, rh = dripped + hold * (ratio - most), most, 1.0
    return _Air(temp, ratio, wood, rh, flow, dripped, taken, heater)


def _zero(
    function: Any, x: float, slope: float, near: float, low: float = -math.inf, high: float = math.inf
) -> Any:
    """The zero, near `x`, of the first value of a function that falls there about as `slope`.

    By secants, kept between the nearest points known to lie on either side. Returns the zero (or the end of the range
    beyond which it lies), all that the function gave there, and the slope met.
    """
    before = left = right = None
    for _ in range(60):
        found = function(x)
        miss = found[0]
        if abs(miss) < near or (miss < 0.0 and x <= low) or (miss > 0.0 and x >= high):
            break
        if before is not None:
            met = (miss - before[1]) / (x - before[0])
            slope = met if met < 0.0 else slope
        before = x, miss
        left, right = (x, right) if miss > 0.0 else (left, x)
        x = min(max(x - miss / slope, low), high)
        if left is not None and right is not None and not left < x < right:
            x = 0.5 * (left + right)
        if x == before[0]:  # the two sides meet to the last digit
            break
    return x, found, slope
