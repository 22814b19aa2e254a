"""A bowed log: its axis an arc, level, its outside toward +x; what a box holds of it, and how wide a board fits."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from woodcalc.sawing.frustum import Frustum

POINTS = 49  # places along a log at which a board is held against it
PARTS = 12  # lengths of log that are integrated by themselves
MOST_STARTS = 9  # places along the log that are tried for a board of one length
_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(3)  # exact for a taper, whose area is a square


@dataclass(frozen=True)
class Bent:
    """A tapered round or oval log, bowed: the middle lies `sweep_in` off the line between its ends.

    Distances across are in inches from the middle of the bow: the axis lies half the sweep to one side at the ends and
    half to the other amid the length.

    Attributes
    ----------
    straight : Frustum
        The log without its bow.
    sweep_in : float
        Greatest distance of the axis from the line between its ends (in).

    Examples
    --------
    >>> log = Bent(Frustum(6, 7, 16), 3.0)
    >>> [float(log.aside_in(z)) for z in (0, 8, 16)]
    [-1.5, 1.5, -1.5]
    """

    straight: Frustum
    sweep_in: float

    def aside_in(self, z_ft: Any) -> Any:
        """How far the axis lies aside (in) at `z_ft` from the small end.

        Parameters
        ----------
        z_ft : float or array
            Place along the log.
        """
        at = np.asarray(z_ft) / self.straight.length_ft
        return self.sweep_in * (4 * at * (1 - at) - 0.5)

    def mean_aside_in(self, z1_ft: float, z2_ft: float) -> float:
        """How far the axis lies aside on average from `z1_ft` to `z2_ft` (in).

        Parameters
        ----------
        z1_ft, z2_ft : float
            Places along the log.
        """
        return float(np.dot(_WEIGHTS, self.aside_in((z1_ft + z2_ft + (z2_ft - z1_ft) * _NODES) / 2)) / 2)

    def half_in(self, axis: str, z_ft: Any = 0.0) -> Any:
        """As `Frustum.half_in`, of the section by itself.

        Parameters
        ----------
        axis : {"x", "y"}
        z_ft : float or array
        """
        return self.straight.half_in(axis, z_ft)

    @property
    def volume_ft3(self) -> float:
        """Volume (ft3): that of the straight log."""
        return self.straight.volume_ft3

    def span_in(self, axis: str) -> tuple[float, float]:
        """From where to where the log reaches along an axis (in).

        Parameters
        ----------
        axis : {"x", "y"}
        """
        z = np.linspace(0, self.straight.length_ft, POINTS)
        half, aside = self.half_in(axis, z), self.aside_in(z) if axis == "x" else np.zeros(POINTS)
        return float((aside - half).min()), float((aside + half).max())

    def inside_ft3(self, x1_in: Any, x2_in: Any, y1_in: Any, y2_in: Any, z1_ft: Any, z2_ft: Any) -> Any:
        """Volume (ft3) of the log inside boxes, by their areas at places that all boxes share: parts add up.

        Parameters
        ----------
        x1_in, x2_in, y1_in, y2_in, z1_ft, z2_ft : float or array
            As in `Frustum.inside_ft3`.
        """
        x1, x2, y1, y2, z1, z2 = (
            np.atleast_1d(v)[:, None] for v in (x1_in, x2_in, y1_in, y2_in, z1_ft, z2_ft)
        )
        ends = np.unique(
            np.concatenate([np.linspace(0, self.straight.length_ft, PARTS + 1), z1.ravel(), z2.ravel()])
        )
        middle, half = (ends[1:] + ends[:-1]) / 2, (ends[1:] - ends[:-1]) / 2
        z = (middle[:, None] + half[:, None] * _NODES).ravel()
        weight = (half[:, None] * _WEIGHTS).ravel()
        aside = self.aside_in(z)
        area_in2 = self.straight.area_in2(x1 - aside, x2 - aside, y1, y2, z)
        return (area_in2 * weight * ((z > z1) & (z < z2))).sum(-1) / 144

    def rooms_in(
        self, lower_in: Any, upper_in: Any, axis: str, lengths_ft: Any, step_ft: float
    ) -> list[tuple[float, float, Any, Any]]:
        """Return where boards between two levels fit: [(length, start (ft), room, its middle (in))], longest first.

        A board is as long as its straight run: it may start anywhere along the log, by steps.

        Parameters
        ----------
        lower_in, upper_in : float or array
            Faces of a board, across `axis` (in).
        axis : {"x", "y"}
            Of its width.
        lengths_ft : sequence of float
            Lengths to try.
        step_ft : float
            From one start to the next, at least.
        """
        whole = self.straight.length_ft
        at = [(length, start) for length in lengths_ft for start in _starts(whole - length, step_ft)]
        ends = [end for length, start in at for end in (start, start + length)]
        z = np.unique(np.concatenate([np.linspace(0, whole, POINTS), ends]).round(9))
        hair = self.sweep_in / (POINTS - 1) ** 2  # what an arc rises between two places
        aside, lower, upper = (
            self.aside_in(z),
            np.asarray(lower_in)[..., None],
            np.asarray(upper_in)[..., None],
        )
        if axis == "x":
            half = self.straight.half_chord_in(np.maximum(np.abs(lower), np.abs(upper)), z, "x")
            left, right = aside - half + hair, aside + half
        else:
            off = np.maximum(np.abs(lower - aside), np.abs(upper - aside)) + hair
            right = np.asarray(self.straight.half_chord_in(off, z, "y"))
            left = -right
        found = []
        for length, start in at:
            i, j = np.searchsorted(z, [start - 1e-6, start + length + 1e-6])
            low, high = left[..., i:j].max(-1), right[..., i:j].min(-1)
            found.append((float(length), float(start), high - low, (high + low) / 2))
        return found


def _starts(slack_ft: float, step_ft: float) -> np.ndarray:
    """Where a board with so much slack may start: flush with the large end first."""
    many = min(int(slack_ft / step_ft + 1e-6) + 1, MOST_STARTS)
    return np.linspace(slack_ft, 0, many) if many > 1 else np.array([slack_ft])
