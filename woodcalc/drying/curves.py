"""Moisture of boards through a year's air, and what weather unlike the usual does to it."""

from __future__ import annotations

import numpy as np

from woodcalc.drying import slab
from woodcalc.drying.slab import HEAT_K

MODES = 6
# One year's month against the mean of many, standard deviation. EMC: a site's own figure, or the middle of the 61
# stations. Temperature: 3 F (from memory: 2 in the summers of the South, 6 in the winters of the North).
USUAL_EMC_SD_PCT, TEMP_SD_F = 1.0, 3.0
SPEED_SD = TEMP_SD_F / 1.8 * HEAT_K / 288.0**2  # of a month's drying speed, log, at 59 F
PLACE_EMC_SD_PCT = 0.7  # of long-term EMC, at a station, against a published table (tests/test_climate.py)


def knots(horizon_days: int) -> np.ndarray:
    """Days at which curves are computed: each of the first sixty, then every third."""
    return np.concatenate([np.arange(60), np.arange(60, horizon_days + 1, 3)])


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
    air, start = np.empty((2, len(dried) + 1, *b.shape))
    air[0], start[0] = -B * emc[0][:, None], B
    a, g = np.zeros(b.shape), B
    for t in range(len(dried)):
        air[t + 1] = a = (a - push[t]) * fade[t]
        start[t + 1] = g = g * fade[t]
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

    Each month after `since_day` has an EMC and a temperature of its own, independent of the others'. The place's
    long-term EMC is off by something that stays. Readings cannot narrow any of it.

    Parameters
    ----------
    rate, biot, start_mc : float
        Of the board, as in `curves`.
    dried, emc : array (steps,)
        The usual year, at the knots of `horizon_days`.
    horizon_days : int
    since_day : int
        The day up to which the board was followed; 0 if it never was.
    emc_sd_pct : float
        Of one year's month at the site (`climate.Site.monthly`); NaN if not known.

    Returns
    -------
    ndarray (steps + 1,)
    """
    emc_sd = known_emc_sd_pct(emc_sd_pct)
    day = knots(horizon_days)[:-1]
    many = 24  # blocks of a month, of two for thick stock
    length = horizon_days / many
    block = np.where(day >= since_day, (day - since_day) // length, -1)
    own = (block[:, None] == np.arange(many)) * np.sqrt(30.4 / length)
    ahead, none = (day >= since_day).astype(float)[:, None], np.zeros((len(day), many))
    # columns: the usual; months of another temperature; months of another EMC; another place
    speed = np.hstack([0 * ahead, SPEED_SD * own, none, 0 * ahead])
    damper = np.hstack([0 * ahead, none, emc_sd * own, PLACE_EMC_SD_PCT * ahead])
    count = speed.shape[1]
    U, G = curves(
        np.full(count, rate),
        np.full(count, biot),
        dried[:, None] * np.exp(speed),
        emc[:, None] + damper,
        modes=4,
    )
    mc = U + start_mc * G
    return np.sqrt(((mc[:, 1:] - mc[:, :1]) ** 2).sum(1))
