"""How much moisture a wood can lose in a day without checking; when a loss is too fast, and what to do then."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

import numpy as np

from woodcalc import species as woods
from woodcalc.checks import plain, within
from woodcalc.drying.rate import thickness

THINNEST_IN, THICKEST_IN = 0.75, 4.0  # that the published figures, at 4/4 and 8/4, are carried to
# Of the safe loss: a loss read from two weighings is a mean of many days, and a dry, windy one is over it: judgment
NEAR = 0.75
SLOW_DOWN = (
    "close the windward side, shade the sunny side"  # what slows a stack; `drying.danger` has what it brings
)


def pace(loss_pct_per_day: float, safe_pct_per_day: float) -> str:
    """Return ``"over"`` for a loss over the safe one, ``"close"`` over three quarters of it, else ``"safe"``.

    Examples
    --------
    >>> pace(3.9, 3.8), pace(3.0, 3.8), pace(1.4, 3.8)
    ('over', 'close', 'safe')
    """
    if loss_pct_per_day > safe_pct_per_day:
        return "over"
    return "close" if loss_pct_per_day > NEAR * safe_pct_per_day else "safe"


def nominal_inches(thickness_in: float | str | Sequence[float]) -> Any:
    """Return the nominal inches of what is dried, from a number, several, or quarters such as "8/4".

    Examples
    --------
    >>> nominal_inches("8/4")
    2.0
    """
    if isinstance(thickness_in, str):
        thickness_in = thickness(thickness_in)
    return within(
        "thickness_in", thickness_in, THINNEST_IN, THICKEST_IN, "in", "Is it in quarters? 4/4 is 1.0."
    )


def safe_loss_pct_per_day(
    species: str | woods.Species, thickness_in: float | str | Sequence[float]
) -> float | np.ndarray | None:
    """Greatest safe loss of moisture content in a day.

    Parameters
    ----------
    species : str
    thickness_in : float, array or str
        Nominal, 0.75 to 4 in, or quarters such as "8/4".

    Returns
    -------
    float, ndarray or None
        Points of MC a day; None if none is published for the wood.

    References
    ----------
    Conners, FOR-128, table 9, p. 91, for 4/4 and 8/4; between and beyond them a power of the
    thickness through the two.

    Examples
    --------
    >>> safe_loss_pct_per_day("northern red oak", 1.0), safe_loss_pct_per_day("northern red oak", 2.0)
    (3.8, 1.5)
    """
    wood = woods.get(species)
    inches = nominal_inches(thickness_in)
    thin, thick = wood.safe_loss_4_4_pct_per_day, wood.safe_loss_8_4_pct_per_day
    if thin is None:
        return None
    if thick is None:
        return thin if np.max(inches) <= 1 else None
    return plain(thin * np.asarray(inches) ** (math.log(thick / thin) / math.log(2)))
