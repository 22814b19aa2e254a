"""A closed chamber with wood in it, hour by hour: the heat and the water that go in and out.

Solar kiln and dehumidifier are the same box; they differ in what brings heat in and takes water out. Each
hour has two unknowns, the temperature and the humidity of the chamber's air, and two balances:

    heat in (sun, fans, heater, machine) = through walls and glazing + with the air that leaves
                                           + to evaporate water + stored in wood, walls and air
    water out of the wood                = with the air that leaves + dripped off + stored in the air

The wood is the slab of `slab`, with the chamber's air as its climate, and has a temperature of its own.
Everything in the hour is linear once the humidity that the wood's surface answers to is known, so each
hour is one equation with one unknown, which rises on one side only: it always has an answer. Both balances
close to rounding, whatever that answer.

SI units inside (kg, J, m, s, C); `kiln` turns them to the reader's.
"""

# ruff: noqa: B023  (the balance of a step is solved within the step, before its numbers change)

import math
from dataclasses import dataclass

import numpy as np

from . import slab
from .drying import HEAT_K

# Specific heats, J/(kg K). Dry air, water vapour and water: ASHRAE Handbook Fundamentals (2017), ch. 1.
CP_AIR, CP_VAPOUR, CP_WATER = 1006.0, 1860.0, 4186.0
# Dry wood at 35 C: 103.1 + 3.867 T(K) J/(kg K), Wood Handbook FPL-GTR-190 (2010), eq. 4-16, from memory.
CP_WOOD = 103.1 + 3.867 * 308.15
SORPTION = (
    0.05  # extra heat to free bound water, share of the latent heat: Dry Kiln Operator's Manual, from memory
)
BOUND_MC = 30.0  # % MC below which water is bound (fibre saturation)

# The forecast outdoors was fitted to yards whose air holds about this humidity (mean of the 61 stations).
# Above fibre saturation the surface is wet and gives off water in proportion to how far the air is from
# saturation, not to how far the wood is from its EMC; at this humidity the two agree.
YARD_RH = 0.68
# Air of more than 100 % at the wood's own temperature wets it: % MC per unit of humidity above 1. Any steep
# number does; it keeps the wood from being colder than the dew point.
_OVER = 200.0
_NEAR = 1e-6  # % MC: how well the surface's balance is met; heat and water close whatever it is

_MODES = 8


def saturation_pa(temp_c):
    """Saturation vapour pressure over water, or over ice below 0.01 C.

    Parameters
    ----------
    temp_c : float
        -80 to 150 C.

    Returns
    -------
    float
        Pa.

    Examples
    --------
    >>> saturation_pa(20.0)
    2338.8

    Source: ASHRAE Handbook Fundamentals (2017), ch. 1, eq. 5 and 6, as PsychroLib has them.
    """
    t = temp_c + 273.15
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


def emc_pct(temp_c, rh):
    """EMC at a temperature in C and a humidity as a fraction: `air.emc_pct` for one number, without checks.

    Beyond 1 it rises steeply, so that wood colder than the dew point takes up water.

    Examples
    --------
    >>> emc_pct(21.11, 0.65)
    12.0
    """
    f = min(temp_c * 1.8 + 32.0, 270.0)  # where the published table ends
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
    """The wood: `oven_dry_kg`, `faces_m2` (both sides), `mc_pct` at the start, `rate_h` = D(20 C)/a^2 per
    hour, `biot` with the fans on, `still` = film without fans over film with fans, `film_w_m2k` and
    `still_film_w_m2k` = heat from air to wood."""

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
    """The chamber: `air_kg`, `pressure_pa`, `walls_w_k` (all that is not glazing), `walls_j_k` (heat stored
    in its lining), `leak_per_h` and `vent_per_h` (air changes, vents fully open), `cold_m2` and `cold_share`:
    the surface that drips, at T - (1 - cold_share) (T - outdoors)."""

    air_kg: float
    pressure_pa: float
    walls_w_k: float
    walls_j_k: float
    leak_per_h: float
    vent_per_h: float
    cold_m2: float
    cold_share: float


@dataclass(frozen=True)
class Plant:
    """What brings heat and takes water: `gain_m2` collector area with `loss_w_m2k`, `on` and `off` the
    collector's efficiency factors with and without fans; `fan_w`; `heater_w` up to `heater_c`;
    `machine_w` and `machine_kg_s` per unit of humidity ratio above `coil_ratio`, at most `machine_most_kg_s`,
    stopped above `limit_c`."""

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
    limit_c: float = 999.0


COLUMNS = (
    "temp_c", "ratio", "rh", "wood_c", "mc_pct", "surface_pct", "core_pct", "emc_pct", "fans", "air_kg_s",
    "sun_j", "fan_j", "heater_j", "machine_j", "removed_j", "walls_j", "vent_j", "evaporation_j", "stored_j",
    "evaporated_kg", "vented_kg", "dripped_kg", "removed_kg",
)  # fmt: skip


def march(
    outdoor_c,
    outdoor_ratio,
    sun_w_m2,
    charge,
    box,
    plant,
    fans,
    vents,
    humidity_set=None,
    stop_mc=None,
    per_hour=1,
):
    """Run the chamber hour by hour.

    Parameters
    ----------
    outdoor_c, outdoor_ratio, sun_w_m2 : sequence of n
        Air outside (C, kg/kg) and sun absorbed behind the glazing (W per m2 of collector), hour by hour.
    charge, box, plant : Charge, Box, Plant
    fans : sequence of n, or None
        1 or 0; None: fans run when the chamber is 10 C above the day's lowest outdoor temperature.
    vents : callable
        ``vents(rh, mc_pct)`` -> share open, from the air's humidity (fraction) at the top of the hour.
    humidity_set : callable, optional
        ``humidity_set(mc_pct)`` -> humidity (fraction) above which the dehumidifier works.
    stop_mc : float, optional
        Stop at the end of the day on which the mean reaches this.
    per_hour : int
        Steps in each hour, during which the hour's weather stays.

    Returns
    -------
    dict of ndarray
        `COLUMNS`: state at the end of each step, heat (J) and water (kg) of the step; `first_ratio`, the
        humidity ratio at the start.
    """
    n, step_s = len(outdoor_c) * per_hour, 3600.0 / per_hour
    b = slab.roots(charge.biot, _MODES)
    B = slab.weights(charge.biot, _MODES)
    b2 = [float(v) for v in b**2]
    share = [float(v) for v in B]
    at_face = [float(v) for v in b**2 / charge.biot]  # see slab.surface
    at_core = [float(v) for v in b / np.sin(b)]
    modes = range(_MODES)

    given = (outdoor_c, outdoor_ratio, sun_w_m2)
    outdoor_c, outdoor_ratio, sun_w_m2 = (np.asarray(v, dtype=float).tolist() for v in given)
    lows = [min(outdoor_c[d : d + 24]) for d in range(0, len(outdoor_c), 24)]
    air_kg, pressure = box.air_kg, box.pressure_pa
    dry, cell = charge.oven_dry_kg, air_kg / step_s
    # Lewis relation: film for water vapour = film for heat / specific heat of the air; still inside film of
    # a window 8.3 W/m2K (ASHRAE Handbook Fundamentals, from memory)
    drip = box.cold_m2 * 8.3 / CP_AIR

    temp = wood = last_wood = outdoor_c[0]
    ratio = outdoor_ratio[0]
    mc = charge.mc_pct
    star = emc_pct(wood, min(1.0, _rh(ratio, pressure, wood)))
    a = [s * (mc - star) for s in share]
    face, slope, rh = mc, -1.0, _rh(ratio, pressure, temp)
    out = np.empty((n, len(COLUMNS)))
    for i in range(n):
        hour = i // per_hour
        to, wo = outdoor_c[hour], outdoor_ratio[hour]
        fan = (1.0 if temp > lows[hour // 24] + 10.0 else 0.0) if fans is None else float(fans[hour])
        catch = plant.on if fan else plant.off
        sun_w = catch * plant.gain_m2 * sun_w_m2[hour]
        heater_w = min(plant.heater_w, max(0.0, (plant.heater_c - temp) * plant.heater_w / 2.0))
        duty = 0.0
        if plant.machine_w and temp < plant.limit_c:
            duty = min(1.0, max(0.0, (rh - humidity_set(mc)) / 0.05))
        # without fans a vent passes about a third (chimney effect alone): assumption
        flow = air_kg / 3600.0 * (box.leak_per_h + box.vent_per_h * vents(rh, mc) * (1.0 if fan else 0.33))
        loss = box.walls_w_k + catch * plant.gain_m2 * plant.loss_w_m2k
        carry = flow * (CP_AIR + CP_VAPOUR * wo)
        film = charge.faces_m2 * (charge.film_w_m2k if fan else charge.still_film_w_m2k)
        pull = 1.0 if fan else charge.still
        latent = 2442e3 - 2400.0 * (wood - 25.0)  # J/kg: 2442 kJ/kg at 25 C, less 2.4 per C, from memory
        if mc < BOUND_MC:
            latent *= 1.0 + SORPTION
        wood_j = dry * (CP_WOOD + CP_WATER * mc / 100.0) / step_s
        box_j = (box.walls_j_k + air_kg * (CP_AIR + CP_VAPOUR * ratio)) / step_s
        heat_w = sun_w + plant.fan_w * fan + heater_w + plant.machine_w * duty

        # the slab over this step, linear in the EMC `star` that it meets; its temperature is the trend's
        mid = wood + max(-3.0, min(3.0, 0.5 * (wood - last_wood))) + 273.15
        tau = charge.rate_h / per_hour * math.exp(-HEAT_K * (1.0 / mid - 1.0 / 293.15))
        fade = [math.exp(-v * tau) for v in b2]
        held = [(a[k] + share[k] * star) * fade[k] for k in modes]  # modes = held - star_new * lost
        lost = [share[k] * fade[k] for k in modes]
        mean0, mean1 = sum(held), 1.0 - sum(lost)
        face0 = sum(at_face[k] * held[k] for k in modes)
        face1 = 1.0 - sum(at_face[k] * lost[k] for k in modes)

        pump = plant.machine_kg_s * duty
        coil, most = plant.coil_ratio, plant.machine_most_kg_s * duty

        def balance(star_new):
            e = dry * (mc - mean0 - mean1 * star_new) / 100.0 / step_s  # kg/s
            w = (cell * ratio + e + flow * wo + pump * coil) / (cell + flow + pump)
            taken = pump * (w - coil)
            if taken < 0.0 or taken > most:
                taken = 0.0 if taken < 0.0 else most
                w = (cell * ratio + e + flow * wo - taken) / (cell + flow)
            q = heat_w + latent * taken
            # wood: wood_j (Tw - wood) = film (T - Tw) - latent e;  air: box_j (T - temp) = q - ... - film (T - Tw)
            give = film / (wood_j + film)
            cool = wood_j * wood - latent * e
            t = (q + loss * to + carry * to + box_j * temp + give * cool) / (
                loss + carry + box_j + film - film * give
            )
            tw = (cool + film * t) / (wood_j + film)
            dripped = 0.0
            cold = saturation_pa(t - (1.0 - box.cold_share) * (t - to))
            wet = 0.621945 * cold / (pressure - cold)
            if w > wet > 0.0:  # below zero: hotter than boiling, nothing drips
                w = (cell * ratio + e + flow * wo - taken + drip * wet) / (cell + flow + drip)
                dripped = drip * (w - wet)
            rh_wood = _rh(w, pressure, tw)
            emc = emc_pct(tw, rh_wood)
            f = face0 + face1 * star_new
            above = f - BOUND_MC
            drive = f - emc
            if above > 0.0:
                drive -= above * (rh_wood - YARD_RH) / (1.0 - YARD_RH)
            return f - pull * drive - star_new, e, w, t, tw, dripped, taken, emc

        star_new, found, slope = _root(balance, star, slope)
        _, e, w, t, tw, dripped, taken, emc = found
        star = star_new
        a = [held[k] - star * lost[k] for k in modes]
        new_mc = mean0 + mean1 * star
        rh = _rh(w, pressure, t)
        face = face0 + face1 * star
        out[i] = (
            t, w, rh, tw, new_mc, face, star + sum(at_core[k] * a[k] for k in modes), emc, fan, flow,
            sun_w * step_s, plant.fan_w * fan * step_s, heater_w * step_s,
            plant.machine_w * duty * step_s, latent * taken * step_s,
            loss * (t - to) * step_s, carry * (t - to) * step_s, latent * e * step_s,
            (box_j * (t - temp) + wood_j * (tw - wood)) * step_s,
            e * step_s, flow * (w - wo) * step_s, dripped * step_s, taken * step_s,
        )  # fmt: skip
        last_wood, temp, ratio, wood, mc = wood, t, w, tw, new_mc
        if stop_mc is not None and (i + 1) % (24 * per_hour) == 0 and mc <= stop_mc:
            out = out[: i + 1]
            break
    return dict(zip(COLUMNS, out.T, strict=True), first_ratio=outdoor_ratio[0])


def _rh(ratio, pressure, temp_c):
    return ratio * pressure / (0.621945 + ratio) / saturation_pa(temp_c)


def _root(function, guess, slope):
    """The zero of a falling function (its first value) near `guess`, where it falls about as `slope`: secants, kept in
    a bracket as soon as there is one. Returns the zero, what the function gave there, and the slope met."""
    x0, r0 = guess, function(guess)
    g0 = r0[0]
    if abs(g0) < _NEAR:
        return x0, r0, slope
    x1 = x0 - 1.05 * g0 / slope  # a little beyond, to have it between
    r1 = function(x1)
    g1 = r1[0]
    if abs(g1) < _NEAR:
        return x1, r1, slope
    while (g1 > 0) == (g0 > 0):
        x2 = x1 + 2.0 * (x1 - x0)
        x0, g0, x1 = x1, g1, x2
        r1 = function(x1)
        g1 = r1[0]
    slope, side = (g1 - g0) / (x1 - x0), 0
    for _ in range(60):  # Illinois form of false position
        x = x1 - g1 * (x1 - x0) / (g1 - g0)
        r = function(x)
        g = r[0]
        if abs(g) < _NEAR:
            break
        if (g > 0) == (g1 > 0):
            x1, g1 = x, g
            if side == 1:
                g0 *= 0.5
            side = 1
        else:
            x0, g0 = x, g
            if side == -1:
                g1 *= 0.5
            side = -1
    return x, r, slope
