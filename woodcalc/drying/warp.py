"""How a board warps by itself as it dries, from where it lay in the log, and what weight on top holds it flat.

Of sound straight wood: reaction wood, of leaning trees and of limbs, shrinks lengthwise by far more and is left
out, and so are knots.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from woodcalc import species as woods
from woodcalc import stack
from woodcalc.checks import within
from woodcalc.drying.rate import thickness
from woodcalc.shrinkage import board_shape
from woodcalc.sizes import sawn_in

# Wood near the pith shrinks lengthwise, up to 2 % from green to oven-dry, the rest 0.1 to 0.2 % (Wood Handbook ch. 4,
# from memory). How much a usual board's pith side shrinks over the rest, and how fast that fades outward: judgment.
# More in softwoods, whose wood near the pith is the least like the rest (the same), and as the wood shrinks across it
# (judgment).
_PITH_SHRINK, _FADES_IN = {"hardwood": 0.004, "softwood": 0.006}, 1.5
_USUAL_SHRINK_PCT = 8.6  # along the rings: northern red oak's
# Twist of a board with spiral grain: 2 x angle x tangential shrinkage x length over distance from the pith (W. C.
# Stevens & D. D. Johnston 1960, from memory). One degree: judgment.
SPIRAL_DEG = 1.0
_NEAREST_IN = 1.0  # no board's grain turns about a point inside it
_UNIFORM_TIMES = 1.6  # a load over the whole board bends as much as one over 1.6 in its middle (beam tables)


@dataclass(frozen=True)
class Warp:
    """What a board does if nothing holds it.

    Attributes
    ----------
    bow_in, crook_in : float
        Gap under a string from end to end: along the face, along the edge.
    cup_in : float
        Gap under a straightedge across the face.
    twist_in : float
        How high the fourth corner stands.
    holds_pith : bool
        It splits as well.
    flat_lb_per_ft2 : float
        Weight on top that presses the bow flat, spread over the board.
    """

    bow_in: float
    crook_in: float
    cup_in: float
    twist_in: float
    holds_pith: bool
    flat_lb_per_ft2: float

    @property
    def worst(self) -> str:
        """The largest of the four.

        Examples
        --------
        >>> warp("northern red oak", "4/4", 8, 12, 0, 1.5).worst
        'bow'
        """
        sizes = {"bow": self.bow_in, "crook": self.crook_in, "cup": self.cup_in, "twist": self.twist_in}
        return max(sizes, key=lambda name: sizes[name])


def warp(
    species: str | woods.Species,
    thickness_in: float | str,
    width_in: float,
    length_ft: float,
    offset_x_in: float,
    offset_y_in: float,
    mc_pct: float = 8.0,
    spiral_deg: float = SPIRAL_DEG,
) -> Warp:
    """Work out the warp of a free board, about as large as it is: no two boards of a log are alike.

    Parameters
    ----------
    species, thickness_in :
        As in `air_dry`.
    width_in, length_ft : float
        Of the board.
    offset_x_in, offset_y_in : float
        Its middle from the pith, along its width and along its thickness, as in `shrinkage.board_shape`.
    mc_pct : float
        That it dries to.
    spiral_deg : float
        How far the grain leans from the trunk, 0 to 10 degrees.

    Returns
    -------
    Warp

    References
    ----------
    Cup: `shrinkage.board_shape`. Bow and crook: judgment on the Wood Handbook's lengthwise shrinkage. Twist: Stevens &
    Johnston 1960, from memory.

    Examples
    --------
    >>> near, far = (warp("northern red oak", "4/4", 8, 12, 0, out) for out in (1.5, 6))
    >>> near.bow_in > 4 * far.bow_in, near.twist_in > 2 * far.twist_in, near.cup_in > far.cup_in
    (True, True, True)
    """
    wood, nominal = woods.get(species), thickness(thickness_in)
    thick, long_in = float(np.asarray(sawn_in(nominal))), 12 * within("length_ft", length_ft, 1, 60, "ft")
    spiral = np.radians(within("spiral_deg", spiral_deg, 0, 10, "degrees"))
    shape = board_shape(width_in, thick, offset_x_in, offset_y_in, wood, 100, mc_pct, points=12)
    dry = max(0.0, 1 - mc_pct / wood.shrink_start_mc_pct)
    pith = _PITH_SHRINK[wood.kind] * wood.shrink_tangential_pct / _USUAL_SHRINK_PCT

    def lengthwise(x: float, y: float) -> float:
        return pith * dry * float(np.exp(-np.hypot(x, y) / _FADES_IN))

    x, y, half, wide = offset_x_in, offset_y_in, thick / 2, width_in / 2
    bend = [
        abs(lengthwise(*one) - lengthwise(*other)) / size * long_in**2 / 8
        for one, other, size in (
            ((x, y - half), (x, y + half), thick),
            ((x - wide, y), (x + wide, y), width_in),
        )
    ]
    bow, crook = (float(b) for b in bend)
    out = max(float(np.hypot(x, y)), _NEAREST_IN)
    turn = 2 * spiral * wood.shrink_tangential_pct / 100 * dry * long_in / out
    middle_lb = float(np.asarray(stack.hold_flat_lb(min(bow, 24.0), length_ft, width_in, nominal, wood)))
    return Warp(
        bow,
        crook,
        shape.cup_in,
        float(turn * width_in),
        shape.holds_pith,
        _UNIFORM_TIMES * middle_lb / (width_in / 12 * length_ft),
    )
