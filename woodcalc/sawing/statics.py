"""Where the weight of the wood on the bed lies, and what it stands on: a tapered, oval, bowed log between saw lines.

A bowed log is taken in short slices, each straight and moved aside by its share of the bow.
"""

from __future__ import annotations

from math import inf, sqrt
from typing import TYPE_CHECKING, Any

import numpy as np

from woodcalc.sawing.frustum import Frustum

if TYPE_CHECKING:
    from collections.abc import Iterable

    from woodcalc.sawing.sawn_log import SawingPlan

SLICES = 24
TOUCHES_IN = 0.01  # half of a foot narrower than that touches in a line


class Wood:
    """The wood of a `SawingPlan` before the saw, bow and all, in inches from the pith of its straight core.

    Examples
    --------
    >>> from woodcalc.logs import Log
    >>> from woodcalc.sawing import saw
    >>> wood = Wood(saw(Log(small_in=14, large_in=20, length_ft=16), 1/8, [1.125]))
    >>> above_pith = (-inf, inf, 0.0, inf)
    >>> [round(float(x), 2) for x in wood.weight_at(above_pith)]
    [8.93, 0.0]
    """

    def __init__(self, plan: SawingPlan) -> None:
        log = plan.log
        self.log, self.length_ft, self.sweep_in = log, log.length_ft, log.sweep_in
        self.round = Frustum(log.small_in / 2, log.large_end_in / 2, log.length_ft, sqrt(log.oval_ratio))
        self.ends_ft = np.linspace(0, log.length_ft, SLICES + 1)
        self.middle_ft = (self.ends_ft[1:] + self.ends_ft[:-1]) / 2

    def aside_in(self, z_ft: Any) -> Any:
        """How far the bow moves the wood aside (in), toward face 2, at `z_ft` from the small end.

        Parameters
        ----------
        z_ft : float or array
            Place along the log.
        """
        at = z_ft / self.length_ft
        return self.sweep_in * (4 * at * (1 - at) - 0.5)

    def slices_ft3(self, box: tuple[Any, ...]) -> np.ndarray[Any, Any]:
        """Volume (ft3) of each slice inside a box (x1, x2, y1, y2).

        Parameters
        ----------
        box : tuple of float, or of array (boxes, 1)
            Sides (in from the pith), some may be infinite.
        """
        x1, x2, y1, y2 = box
        aside = self.aside_in(self.middle_ft)
        return np.asarray(
            self.round.inside_ft3(x1 - aside, x2 - aside, y1, y2, self.ends_ft[:-1], self.ends_ft[1:])
        )

    def weight_at(self, box: tuple[float, ...]) -> tuple[float, float]:
        """Where the weight of the wood in a box lies: ft from the small end, in aside (level, toward face 2).

        The second holds for a box that is open to both sides.

        Parameters
        ----------
        box : tuple of float
            x1, x2, y1, y2 (in from the pith).
        """
        each = self.slices_ft3(box)
        whole = max(float(each.sum()), 1e-12)
        return (
            float((each * self.middle_ft).sum()) / whole,
            float((each * self.aside_in(self.middle_ft)).sum()) / whole,
        )

    def foot(self, bed: float, axis: str, between: tuple[float, float]) -> np.ndarray[Any, Any]:
        """What a sawn face stands on: rows (ft from the small end, in from, in to), empty where it touches in a line.

        Parameters
        ----------
        bed : float
            The sawn face, on `axis` (in).
        axis : str
            ``"x"`` or ``"y"``.
        between : tuple of float
            Two sawn faces beside it (in), infinite where there are none.
        """
        z = self.ends_ft
        aside = self.aside_in(z)
        off, other = (bed - aside, "y") if axis == "x" else (np.full_like(z, bed), "x")
        half = np.asarray(self.round.half_chord_in(off, z, other))
        middle = aside if other == "x" else np.zeros_like(z)
        rows = np.column_stack(
            [z, np.maximum(middle - half, between[0]), np.minimum(middle + half, between[1])]
        )
        return rows[half > TOUCHES_IN]

    def widths_in(self, foot: np.ndarray[Any, Any]) -> tuple[float, float]:
        """Narrowest and widest of a foot (in); the first is 0 where the foot stops short of an end.

        Parameters
        ----------
        foot : ndarray
            Outline of what stands on the bed, a row a place along the log: from, to (in).
        """
        if not len(foot):
            return 0.0, 0.0
        wide = foot[:, 2] - foot[:, 1]
        return float(wide.min()) if len(foot) > SLICES else 0.0, float(wide.max())

    def inside_ft(self, foot: np.ndarray[Any, Any], boxes: Iterable[tuple[float, ...]]) -> float:
        """How far (ft) inside a foot, along the log, the weight of the worst of some boxes lies; below 0 it tips.

        At an end of the log there is no wood beyond the foot, and nothing to tip over.

        Parameters
        ----------
        foot : ndarray
            As in `widths_in`.
        boxes : iterable of tuple
            What may lie on it, as in `weight_at`.
        """
        if not len(foot):
            return -inf
        first, last = foot[0, 0], foot[-1, 0]
        worst = inf
        for box in boxes:
            at = self.weight_at(box)[0]
            worst = min(worst, at - first if first > 0 else inf, last - at if last < self.length_ft else inf)
        return float(worst)

    def beside_in(self, foot: np.ndarray[Any, Any], boxes: Iterable[tuple[float, ...]], level: bool) -> float:
        """How far (in) the weight lies from the nearer side of a foot, worst of some boxes; below 0 it rolls.

        The foot is held by its outline's hull, as a bent flat stands on its two ends and its middle. `level`: the
        bow lies level; otherwise the weight is amid.

        Parameters
        ----------
        foot : ndarray
            As in `widths_in`.
        boxes : iterable of tuple
            What may lie on it, as in `weight_at`.
        level : bool
            Whether the bow lies level.
        """
        worst = inf
        for box in boxes:
            at, aside = self.weight_at(box)
            here = aside if level else 0.0
            before, after = foot[foot[:, 0] <= at], foot[foot[:, 0] >= at]
            if not len(before) or not len(after):
                return -inf
            span = after[None, :, 0] - before[:, None, 0]
            part = np.where(span > 0, (at - before[:, None, 0]) / np.where(span > 0, span, 1), 0.0)
            low, high = (before[:, None, k] + part * (after[None, :, k] - before[:, None, k]) for k in (1, 2))
            worst = min(worst, here - float(low.min()), float(high.max()) - here)
        return worst
