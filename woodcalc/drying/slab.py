"""Water leaving a board through both faces: the exact answer of a slab that meets resistance inside and at
its surface.

With x from the middle of the thickness to the face (half thickness a), the moisture content M obeys

    dM/dt = D d2M/dx2        -D dM/dx = S (M - E) at the face        Bi = S a / D

and the mean over the thickness is M = E + sum a_n, where each of the modes a_n fades at its own pace b_n^2
in dried time tau = integral of D/a^2 dt. When the air changes from E to E + dE the modes take up the step:
a_n - B_n dE.

Source: J. Crank, The Mathematics of Diffusion, 2nd ed. (1975), sec. 4.3.6 (slab, surface evaporation), from
memory; the tests compare with the series' values, finite volumes and finite elements.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Any

import numpy as np

from woodcalc import units
from woodcalc.checks import FloatOrArray, Numbers, plain, within

# Activation energy over the gas constant: between 4,630 K (bound water: Siau 1984, from memory) and 5,280 K (red oak:
# Forest Products Laboratory, from memory)
HEAT_K = 4800.0


def temperature_factor(temp_f: Numbers) -> FloatOrArray:
    """How fast wood dries at a temperature, against 68 F.

    Parameters
    ----------
    temp_f : float or array
        F.

    Returns
    -------
    float or ndarray

    Examples
    --------
    >>> temperature_factor([32, 86]).tolist()
    [0.302, 1.716]
    """
    kelvin = units.kelvin(np.asarray(temp_f, dtype=float))
    return plain(np.exp(-HEAT_K * (1 / kelvin - 1 / 293.15)))


def roots(biot: Numbers, n: int = 12) -> np.ndarray:
    """The first `n` positive roots b of b tan b = Bi.

    Parameters
    ----------
    biot : float or array
        Surface against inside conductance, S a / D; 1e-6 to infinity (surface at once in equilibrium).
    n : int
        Number of modes, 1 or more.

    Returns
    -------
    ndarray, shape (..., n)

    Examples
    --------
    >>> roots(1.0, 3)
    array([0.8603, 3.4256, 6.4373])
    """
    bi = np.asarray(within("biot", biot, 1e-6, np.inf), dtype=float)
    return np.array(_roots(tuple(bi.ravel().tolist()), n)).reshape(*bi.shape, n)


@lru_cache(maxsize=512)
def _roots(biots: Any, n: int) -> np.ndarray:
    """A row of roots for each Biot number: a stack's is asked for again and again."""
    bi = np.array(biots)[:, None]
    k = np.pi * np.arange(n)
    # one root in each (k pi, k pi + pi/2); f = b sin b - Bi cos b has no poles. Written over 1 + Bi it takes
    # Bi = inf
    inside, outside = 1 / (1 + bi), np.where(np.isinf(bi), 1.0, bi / np.where(np.isinf(bi), 1.0, 1 + bi))
    low = np.broadcast_to(k, bi.shape[:-1] + (n,)).copy()
    high = low + np.pi / 2
    sign = np.cos(k)  # sin and cos change sign from one half turn to the next
    for _ in range(52):
        b = (low + high) / 2
        below = sign * (inside * b * np.sin(b) - outside * np.cos(b)) < 0
        low, high = np.where(below, b, low), np.where(below, high, b)
    return (low + high) / 2


def weights(biot: Numbers, n: int = 12) -> np.ndarray:
    """The share B of each mode in a sudden change of the air; they sum to 1.

    Parameters
    ----------
    biot, n :
        As in `roots`.

    Returns
    -------
    ndarray, shape (..., n)
        B_n = 2 Bi^2 / (b_n^2 (b_n^2 + Bi^2 + Bi)); the last takes what the modes left out would hold, so
        that no water is lost by cutting the series.

    Examples
    --------
    >>> weights(1.0, 3)
    array([0.9861, 0.0124, 0.0015])
    """
    b2 = roots(biot, n) ** 2
    bi = np.asarray(biot, dtype=float)[..., None]
    finite = np.where(np.isinf(bi), 1.0, bi)
    shares = np.where(np.isinf(bi), 2 / b2, 2 * finite**2 / (b2 * (b2 + finite**2 + finite)))
    shares[..., -1] = 1 - shares[..., :-1].sum(-1)
    return shares


def step(a: np.ndarray, b: np.ndarray, B: np.ndarray, d_emc: Numbers, d_tau: Numbers) -> np.ndarray:
    """Modes after the air has changed by `d_emc` and then stayed for the dried time `d_tau`.

    Parameters
    ----------
    a : ndarray, shape (..., n)
        Modes before, % MC. A board at an even `mc_pct` in air of `emc_pct` starts at ``weights * (mc_pct -
        emc_pct)``.
    b, B : ndarray, shape (..., n)
        From `roots` and `weights`.
    d_emc : float or array, shape (...)
        Change of the EMC at the start of the step, % MC.
    d_tau : float or array, shape (...)
        Dried time D t / a^2 of the step, 0 or more.

    Returns
    -------
    ndarray, shape (..., n)

    Examples
    --------
    >>> b, B = roots(1.0), weights(1.0)
    >>> a = step(B * (80 - 12), b, B, 0, 0.5)
    >>> mean(a, 12)
    58.3
    """
    d_emc, d_tau = np.asarray(d_emc)[..., None], np.asarray(d_tau)[..., None]
    return (a - B * d_emc) * np.exp(-(b**2) * d_tau)


def mean(a: np.ndarray, emc: Numbers) -> FloatOrArray:
    """Mean moisture content over the thickness, %; `a` (..., n) from `step`, `emc` (...) of the air.

    Examples
    --------
    >>> mean(np.array([20.0, 1.0]), 12.0)
    33.0
    """
    return plain(emc + np.asarray(a).sum(-1))


def surface(a: np.ndarray, b: np.ndarray, biot: Numbers, emc: Numbers) -> FloatOrArray:
    """Moisture content at the face, %.

    Parameters
    ----------
    a, b : ndarray, shape (..., n)
        Modes and roots.
    biot : float or array, shape (...)
        As given to `roots`; infinity gives the EMC.
    emc : float or array, shape (...)
        EMC of the air, %.

    Returns
    -------
    float or ndarray

    Examples
    --------
    >>> b, B = roots(1.0), weights(1.0)
    >>> surface(step(B * 68, b, B, 0, 0.5), b, 1.0, 12.0)
    46.3
    """
    # the profile of mode n is a_n b cos(b x/a) / sin b, and cos b / sin b = b / Bi
    return plain(emc + (np.asarray(a) * b**2).sum(-1) / np.asarray(biot, dtype=float))


def core(a: np.ndarray, b: np.ndarray, emc: Numbers) -> FloatOrArray:
    """Moisture content in the middle of the thickness, %; arguments as in `surface`.

    Examples
    --------
    >>> b, B = roots(1.0), weights(1.0)
    >>> core(step(B * 68, b, B, 0, 0.5), b, 12.0)
    64.6
    """
    return plain(emc + (np.asarray(a) * b / np.sin(b)).sum(-1))


def face_under_core(biot: Numbers) -> FloatOrArray:
    """How far the face lies under a core that is still wet, as a share of how far the air does.

    Parameters
    ----------
    biot : float or array
        As in `roots`.

    Returns
    -------
    float or ndarray
        0 for a board in still air, 1 where the face is at once as dry as the air. What comes to the face through the
        half thickness is what leaves it: core - face = Bi (face - E).

    Examples
    --------
    >>> face_under_core([0.5, 1.0, 10.0]).round(2).tolist()
    [0.33, 0.5, 0.91]
    """
    bi = np.asarray(biot, dtype=float)
    return plain(bi / (1 + bi))
