"""Moisture of boards through a year's air, and what weather unlike the usual does to it."""

from __future__ import annotations

import numpy as np

from woodcalc.drying import slab
from woodcalc.drying.slab import HEAT_K
from woodcalc.units import F_PER_C

MODES = 6
Z10 = 1.2816  # a normal's 90 % point: a band holds 80 %
# One year's month against the mean of many, standard deviation. EMC: a site's own figure, or the middle of the 61
# stations. Temperature: 3 F (from memory: 2 in the summers of the South, 6 in the winters of the North).
USUAL_EMC_SD_PCT, TEMP_SD_F = 1.0, 3.0
SPEED_SD = TEMP_SD_F / F_PER_C * HEAT_K / 288.0**2  # of a month's drying speed, log, at 59 F
PLACE_EMC_SD_PCT = 0.7  # of long-term EMC, at a station, against a published table (tests/test_climate.py)


def knots(horizon_days: int) -> np.ndarray:
    """Days at which curves are computed: each of the first sixty, then every third, or sixth of four years."""
    return np.concatenate([np.arange(60), np.arange(60, horizon_days + 1, 3 if horizon_days <= 730 else 6)])


def horizon_days(thickness_in: float) -> int:
    """Days that a forecast looks ahead: two years, four for stock over 6/4.

    Examples
    --------
    >>> horizon_days(1.0), horizon_days(2.0)
    (730, 1460)
    """
    return 730 if thickness_in <= 1.5 else 1460


def curves(
    rates: np.ndarray, biots: np.ndarray, dried: np.ndarray, emc: np.ndarray, modes: int = MODES
) -> tuple[np.ndarray, np.ndarray]:
    """Moisture of slabs through given steps, split into what the air does and what is left of the start.

    Parameters
    ----------
    rates, biots : array (curves,)
        Rates are 1/day at 68 F for their own thickness.
    dried, emc : array (steps,) or (steps, curves)
        Days at 68 F and the EMC of each step.
    modes : int
        Of the series.

    Returns
    -------
    tuple of ndarray, both (steps + 1, curves)
        U and G: the mean moisture content is U + start MC * G.
    """
    few, back = np.unique(biots, return_inverse=True)
    b, B = slab.roots(few, modes)[back], slab.weights(few, modes)[back]
    dried, emc = (x[:, None] if x.ndim == 1 else x for x in (dried, emc))
    fade = np.exp(-(b**2 * rates[:, None]) * dried[..., None])
    push = B * np.diff(emc, axis=0, prepend=0.0)[..., None]  # a board at 0 % meets the air of day 0
    air = np.zeros((len(dried) + 1, *b.shape))
    for before, after, pushed, faded in zip(air, air[1:], push, fade, strict=False):
        np.multiply(before - pushed, faded, out=after)
    air[0] = -B * emc[0][:, None]
    start = np.cumprod(np.concatenate([B[None], fade]), 0)
    return air.sum(-1) + np.concatenate([emc[:1], emc]), start.sum(-1)


def inside(
    rate: float, biot: float, start_mc: float, dried: np.ndarray, emc: np.ndarray
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Mean, surface and core MC of one slab, each (steps + 1,)."""
    b, B = slab.roots(biot), slab.weights(biot)
    fade = np.exp(-(b**2) * rate * dried[:, None])
    push = B * np.diff(emc, prepend=emc[0])[:, None]
    a = np.empty((len(dried) + 1, len(b)))
    a[0] = B * (start_mc - emc[0])
    for t in range(len(dried)):
        a[t + 1] = (a[t] - push[t]) * fade[t]
    air = np.concatenate([emc[:1], emc])
    mean, surface, core = slab.mean(a, air), slab.surface(a, b, biot, air), slab.core(a, b, air)
    surface[0] = core[0] = start_mc  # the cut series cannot show the first moment
    return mean, surface, core


def known_emc_sd_pct(emc_sd_pct: float) -> float:
    """Return the spread of one year's month, or the usual one where a site's is not known (NaN).

    Examples
    --------
    >>> known_emc_sd_pct(0.8), known_emc_sd_pct(float("nan"))
    (0.8, 1.0)
    """
    return USUAL_EMC_SD_PCT if np.isnan(emc_sd_pct) else emc_sd_pct


def air_from(
    factor: np.ndarray, emc: np.ndarray, first: np.ndarray, horizon_days: int
) -> tuple[np.ndarray, np.ndarray]:
    """A site's year from given days on, in the steps between the knots.

    Parameters
    ----------
    factor, emc : array (365,)
        As `rate.felt_weather` gives them.
    first : array (starts,)
        Days of the year.
    horizon_days : int

    Returns
    -------
    tuple of ndarray, both (steps, starts)
        Days at 68 F, and the EMC that goes with them.
    """
    at = knots(horizon_days)
    day = (np.asarray(first) + np.arange(at[-1])[:, None]) % 365
    dried, damp = (np.add.reduceat(x[day], at[:-1]) for x in (factor, factor * emc))
    return dried, damp / dried


def air_share(biot: float) -> float:
    """How much of the way out of a board is its face, where the air counts: days go with Bi to this power.

    Both resistances add up, 1/3 inside and 1/Bi at the face (Choong & Skaar, from memory).

    Examples
    --------
    >>> air_share(1.0)
    0.75
    """
    return 1 / biot / (1 / 3 + 1 / biot)


def usual_band_pct(
    rate: float,
    biot: float,
    start_mc: float,
    spreads: tuple[float, float, float],
    dried: np.ndarray,
    emc: np.ndarray,
    weather_sd: np.ndarray,
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Moisture between which four stacks in five lie, before anything was measured on them.

    What moves a stack adds up as independent errors do: the curve of a faster or slower one (its own pace and its
    airflow, as `air_share` has it), another start, each by 1.28 standard deviations, and the weather.

    Parameters
    ----------
    rate, biot, start_mc : float
        Of the likeliest stack.
    spreads : tuple of float
        Standard deviations of log pace, of log Biot number, of the start (as a share).
    dried, emc : array (steps, starts)
        From `air_from`.
    weather_sd : array (steps + 1, starts)
        From `weather_sd_pct`.

    Returns
    -------
    tuple of ndarray (steps + 1, starts)
        Low, likely, high, %.
    """
    pace, air, start = spreads
    starts, quicker = dried.shape[1], Z10 * np.hypot(pace, air * air_share(biot))
    rates = np.repeat(rate * np.exp(quicker * np.array([1, 0, -1])), starts)
    U, G = curves(rates, np.full(3 * starts, biot), np.tile(dried, 3), np.tile(emc, 3))
    each, of_start = ((x).reshape(-1, 3, starts) for x in (U + start_mc * G, Z10 * start * start_mc * G))
    likely, rest = each[:, 1], of_start[:, 1] ** 2 + (Z10 * weather_sd) ** 2
    band = [
        likely + side * np.hypot(np.maximum(side * (each[:, k] - likely), 0.0), np.sqrt(rest))
        for k, side in ((0, -1), (2, 1))
    ]
    return np.maximum(band[0], 0.0), likely, band[1]


def weather_sd_pct(
    rate: float,
    biot: float,
    start_mc: float,
    dried: np.ndarray,
    emc: np.ndarray,
    horizon_days: int,
    since_day: int,
    emc_sd_pct: float,
) -> np.ndarray:
    """How far one year's weather, and a place's own air, may move a board's moisture: standard deviation, points.

    Every two months after `since_day` (four, for thick stock) have an EMC and a temperature of their own, independent
    of the others'. The place's long-term EMC is off by something that stays. Readings cannot narrow any of it. To first
    order.

    Parameters
    ----------
    rate, biot, start_mc : float
        Of the board, as in `curves`.
    dried, emc : array (steps, starts)
        The usual year, from `air_from`.
    horizon_days : int
    since_day : int
        The day up to which the board was followed; 0 if it never was.
    emc_sd_pct : float
        Of one year's month at the site (`climate.Site.monthly`); NaN if not known.

    Returns
    -------
    ndarray (steps + 1, starts)
    """
    many, modes = 12, 4
    b, B = slab.roots(biot, modes), slab.weights(biot, modes)
    day, length = knots(horizon_days)[:-1], horizon_days / many
    ahead = day >= since_day
    block = np.where(ahead, (day - since_day) // length, -1).astype(int)
    own = np.sqrt(30.4 / length)  # a block's mean, from months that are independent
    # of each block, and, in the last column, of the place
    damper = np.hstack(
        [
            (block[:, None] == np.arange(many)) * known_emc_sd_pct(emc_sd_pct) * own,
            ahead[:, None] * PLACE_EMC_SD_PCT,
        ]
    )
    pull = SPEED_SD * own * b**2 * rate * dried[..., None]
    fade = np.exp(-(b**2) * rate * dried[..., None])
    push = B * np.diff(emc, axis=0, prepend=emc[:1])[..., None]
    wetter = np.diff(damper, axis=0, prepend=0.0)[..., None] * B
    changes = wetter.any((1, 2))
    # the board's own modes, and what each block's warmth and each damper makes of them: one array, which fades as one
    every = np.zeros((dried.shape[1], 1 + many + many + 1, modes))
    own_modes, warm, damp = np.split(every, [1, 1 + many], axis=1)
    own_modes[:, 0] = B * (start_mc - emc[0])[:, None]
    after = np.empty((len(dried), *every.shape))
    for t in range(len(dried)):
        own_modes[:, 0] -= push[t]
        if changes[t]:
            damp -= wetter[t]
        every *= fade[t][:, None]
        if ahead[t]:
            warm[:, block[t]] -= own_modes[:, 0] * pull[t]
        after[t] = every
    moved = after[:, :, 1:].sum(-1)
    moved[:, :, many:] += damper[:, None]
    return np.concatenate([np.zeros((1, dried.shape[1])), np.sqrt((moved**2).sum(-1))])


def crossing(days: np.ndarray, moisture: np.ndarray, target: float) -> np.ndarray:
    """Return the first (fractional) day at which each column of `moisture` (days, columns) is down to `target`, or NaN.

    Examples
    --------
    >>> crossing(np.array([0, 10, 20]), np.array([[50.0, 19.0], [30.0, 18.0], [22.0, 17.0]]), 25.0).tolist()
    [16.25, 0.0]
    """
    below = moisture <= target
    hit = below.argmax(0)
    column = np.arange(moisture.shape[1])
    last = np.maximum(hit - 1, 0)
    before, after = moisture[last, column], moisture[hit, column]
    fall = np.where(hit > 0, before - after, 1.0)
    day = days[last] + (days[hit] - days[last]) * (before - target) / fall
    return np.where(below.any(0), np.where(hit > 0, day, 0.0), np.nan)
