"""How much of a tapered round or oval log lies inside a box, exactly.

Saw lines are planes along the log, so every piece that a saw makes (slab, board, edging, the kerf itself) is
the part of the log inside a box with faces along and across it. The volumes here are closed integrals over
the taper, which is what lets the pieces of a sawn log add up to the log to the last digits.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, cast

import numpy as np

from woodcalc.checks import FloatOrArray, InputError, Numbers
from woodcalc.sizes import frustum_ft3


class TooThin(InputError):
    """No board of the sizes asked for fits in the log; its halves may give some, `in_two_bf` in all, if it is bent."""

    in_two_bf = 0.0


@dataclass(frozen=True)
class Frustum:
    """A straight log: circles, or ellipses of one shape, growing evenly from the small end to the large end.

    Distances across (x level, y up) are in inches from the pith; z runs from the small end (0) to
    `length_ft`.

    Attributes
    ----------
    small_in, large_in : float
        Radius of the circle with the area of the small end and of the large end (in).
    length_ft : float
        Length (ft).
    stretch : float
        Half width over that radius; half height is the radius over `stretch`. 1 for a round log, and
        sqrt(long axis / short axis) for an oval one that lies on its flat side.

    Examples
    --------
    >>> log = Frustum(8, 8, 12)
    >>> float(log.half_chord_in(0.0, 0.0, "x"))
    8.0
    """

    small_in: float
    large_in: float
    length_ft: float
    stretch: float = 1.0

    def radius_in(self, z_ft: Numbers) -> FloatOrArray:
        """Radius (in) of the circle of equal area at `z_ft` from the small end.

        Parameters
        ----------
        z_ft : float or array
            Place along the log.
        """
        radius_in = self.small_in + (self.large_in - self.small_in) * np.asarray(z_ft) / self.length_ft
        return cast("FloatOrArray", radius_in)

    def half_in(self, axis: str, z_ft: Numbers = 0.0) -> FloatOrArray:
        """Half the width (axis ``"x"``) or half the height (``"y"``) of the log at `z_ft` (in).

        Parameters
        ----------
        axis : {"x", "y"}
            Level, or up.
        z_ft : float or array
            Place along the log, from the small end.
        """
        return cast(
            "FloatOrArray", self.radius_in(z_ft) * (self.stretch if axis == "x" else 1 / self.stretch)
        )

    def half_chord_in(self, off_in: Numbers, z_ft: Numbers, axis: str) -> FloatOrArray:
        """Half the wood along `axis` (in), `off_in` from the pith on the other axis; 0 outside the log.

        Arrays broadcast.

        Parameters
        ----------
        off_in : float or array
            Distance from the pith on the other axis.
        z_ft : float or array
            Place along the log, from the small end.
        axis : {"x", "y"}
            Level, or up.
        """
        along = self.stretch if axis == "x" else 1 / self.stretch
        r = self.radius_in(z_ft)
        half_in = along * np.sqrt(np.maximum(r * r - np.square(np.multiply(off_in, along)), 0.0))
        return cast("FloatOrArray", half_in)

    @property
    def volume_ft3(self) -> float:
        """Volume (ft3): pi (r1^2 + r1 r2 + r2^2) L / 3."""
        return float(frustum_ft3(2 * self.small_in, 2 * self.large_in, self.length_ft))

    def area_in2(self, x1_in: Numbers, x2_in: Numbers, y1_in: Numbers, y2_in: Numbers, z_ft: Numbers) -> Any:
        """Area (in2) of the section at `z_ft` between x1 and x2, y1 and y2 (in, may be infinite).

        Parameters
        ----------
        x1_in, x2_in, y1_in, y2_in : float or array
            Sides of the box (in from the pith).
        z_ft : float or array
            Place along the log.
        """
        r = self.radius_in(z_ft)
        x1, x2 = np.divide(x1_in, self.stretch), np.divide(x2_in, self.stretch)
        y1, y2 = np.multiply(y1_in, self.stretch), np.multiply(y2_in, self.stretch)
        return sum(
            sign * _beyond(_segment_area, r, x, y)
            for sign, x, y in ((1, x1, y1), (-1, x2, y1), (-1, x1, y2), (1, x2, y2))
        )

    def inside_ft3(
        self,
        x1_in: Numbers,
        x2_in: Numbers,
        y1_in: Numbers,
        y2_in: Numbers,
        z1_ft: Numbers,
        z2_ft: Numbers,
    ) -> FloatOrArray:
        """Volume (ft3) of the log between x1 and x2, y1 and y2 (in, may be infinite), z1 and z2 (ft).

        Arrays broadcast.

        Parameters
        ----------
        x1_in, x2_in, y1_in, y2_in : float or array
            Sides of the box (in from the pith).
        z1_ft, z2_ft : float or array
            Its ends (ft from the small end).

        Examples
        --------
        >>> log = Frustum(8, 9.5, 12)
        >>> float(log.inside_ft3(-np.inf, np.inf, 0, np.inf, 0, 12) / log.volume_ft3)
        0.5
        """
        x1, x2, y1, y2, z1, z2 = np.broadcast_arrays(x1_in, x2_in, y1_in, y2_in, z1_ft, z2_ft)
        x1, x2 = x1 / self.stretch, x2 / self.stretch  # squeezed into a round log of the same volume
        y1, y2 = y1 * self.stretch, y2 * self.stretch
        r1, r2 = self.radius_in(z1), self.radius_in(z2)
        even = r2 - r1 < 1e-5 * r1  # as good as a cylinder: the middle section is right to 1e-11
        grow = np.where(even, 1.0, r2 - r1)
        total: Any = 0.0
        for sign, x, y in ((1, x1, y1), (-1, x2, y1), (-1, x1, y2), (1, x2, y2)):
            tapered = (_beyond(_segment, r2, x, y) - _beyond(_segment, r1, x, y)) / grow
            total = total + sign * np.where(even, _beyond(_segment_area, (r1 + r2) / 2, x, y), tapered)
        return total * (z2 - z1) / 144


def _beyond(segment: Any, r: float | np.ndarray, x: float | np.ndarray, y: float | np.ndarray) -> np.ndarray:
    """Area, or its integral over the radius, of the part of a circle beyond x and y (of either sign)."""
    a, b = np.minimum(np.abs(x), r), np.minimum(np.abs(y), r)
    part_a, part_b = segment(r, a), segment(r, b)
    corner = np.minimum(np.hypot(a, b), r)  # the corner of the two lines enters the circle at this radius
    if segment is _segment:
        whole = np.pi * r**3 / 3
        both = (part_a - segment(corner, a) + part_b - segment(corner, b)) / 2
        both = both - np.pi * (r**3 - corner**3) / 12 + a * b * (r - corner)
    else:
        whole = np.pi * r**2
        both = np.where(corner < r, (part_a + part_b) / 2 - np.pi * r**2 / 4 + a * b, 0.0)
    return np.where(
        x >= 0,
        np.where(y >= 0, both, part_a - both),
        np.where(y >= 0, part_b - both, whole - part_a - part_b + both),
    )


def _segment_area(r: float | np.ndarray, h: float | np.ndarray) -> float | np.ndarray:
    """Area of a circle of radius r beyond a chord at distance h <= r."""
    return r * r * np.arccos(h / r) - h * np.sqrt(r * r - h * h)


def _segment(r: float | np.ndarray, h: float | np.ndarray) -> float | np.ndarray:
    """Integral of `_segment_area` over the radius from h to r."""
    s = np.sqrt(np.maximum(r * r - h * h, 0.0))
    some = h > 1e-30 * r
    log = np.log((r + s) / np.where(some, h, 1.0), where=some, out=np.zeros_like(s))
    angle = np.arccos(np.divide(h, r, out=np.ones_like(s), where=h < r))
    return r**3 * angle / 3 - 2 * h * r * s / 3 + h**3 * log / 3
