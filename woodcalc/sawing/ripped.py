"""Quarter-sawn boards from a log sawn through and through: the middle boards, ripped to both sides of the pith.

Nothing but flat boards is handled for it. Quarters of a log, loose on the bed, have no place to stand.
"""

from __future__ import annotations

from math import floor
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from woodcalc.sawing.sawn_log import mean_ring_angle_deg
from woodcalc.sawing.search import HEART_IN
from woodcalc.sizes import board_feet

if TYPE_CHECKING:
    from woodcalc.sawing.sawn_log import SawingPlan

QUARTER_DEG = 60.0  # as `SawingPlan.boards` names grain
NARROWEST_IN = 4.0  # the narrowest board that is kept, as elsewhere
STEP_IN = 0.5  # boards are edged to the half inch
KEEPS = 2 / 3  # common practice: of a board's width, that must stay for the rip to be worth it


class Rip(NamedTuple):
    """A board ripped to both sides of the pith: what is sawn out, and what is left of it."""

    board: int
    aside_in: (
        float  # each saw line lies that far from the pith, on its own side; its kerf is sawn toward the pith
    )
    widths_in: tuple[float, ...]  # of what is kept
    angles_deg: tuple[float, ...]  # of the rings to the face of each, on average
    board_feet: float  # of what is kept
    given_up_bf: float


def rips(plan: SawingPlan) -> list[Rip]:
    """Return which boards of a log sawn through and through give quarter-sawn ones if the pith is ripped out.

    A board is named if what stays to the sides of the pith is quarter-sawn on average, no piece is narrower than 4 in,
    and two thirds of its width stay. The saw lines keep an inch from the pith at least, and as far more as the pith of
    a bent log strays. None of another pattern.

    Parameters
    ----------
    plan : SawingPlan

    Returns
    -------
    list of Rip

    Examples
    --------
    >>> from woodcalc.logs import Log
    >>> from woodcalc.sawing import saw
    >>> plan = saw(Log(22, 24, 12), 1/8, {"4/4": 1.0625}, "through-and-through")
    >>> [(r.board, r.aside_in, r.widths_in) for r in rips(plan)][:2]
    [(8, 1.0, (9.5, 9.5)), (9, 1.0, (9.5, 9.5))]
    """
    return [found for n in range(1, len(plan.cut_boards) + 1) if (found := _rip(plan, n))]


def _rip(plan: SawingPlan, number: int) -> Rip | None:
    """How a board is ripped, None if that is not worth it."""
    b = plan.cut_boards[number - 1]
    if plan.pattern != "through-and-through":
        return None
    row = plan.boards.iloc[number - 1]
    low, high = row["offset_x_in"] - b.width_in / 2, row["offset_x_in"] + b.width_in / 2
    away = abs(float(row["offset_y_in"]))
    least = HEART_IN + plan.pith_beside_in(b)[1]
    for aside in np.arange(np.ceil(least / STEP_IN), b.width_in / STEP_IN) * STEP_IN:
        sides = [(side, end) for side, end in ((-1, -low), (1, high)) if end - aside >= NARROWEST_IN]
        widths = tuple(floor((end - aside) / STEP_IN + 1e-6) * STEP_IN for _, end in sides)
        if sum(widths) < KEEPS * b.width_in:
            return None
        angles = tuple(mean_ring_angle_deg(aside, aside + width, away) for width in widths)
        if min(angles) > QUARTER_DEG:
            kept = float(sum(board_feet(b.nominal_in, width, b.length_ft) for width in widths))
            whole = float(board_feet(b.nominal_in, b.width_in, b.length_ft))
            return Rip(number, float(aside), widths, angles, kept, whole - kept)
    return None


def quartered_bf(plan: SawingPlan) -> tuple[float, float, float]:
    """Return what a log gives with the pith ripped out: board feet in all, quarter-sawn, and given up for it.

    Parameters
    ----------
    plan : SawingPlan

    Examples
    --------
    >>> from woodcalc.logs import Log
    >>> from woodcalc.sawing import saw
    >>> plan = saw(Log(22, 24, 12), 1/8, {"4/4": 1.0625}, "through-and-through")
    >>> [round(bf) for bf in quartered_bf(plan)]
    [281, 109, 18]
    """
    made = rips(plan)
    ripped = {r.board for r in made}
    rows = plan.boards
    already = rows[(rows["grain"] == "quarter") & ~rows["board"].isin(ripped) & ~rows["has_pith"]]
    given_up = sum(r.given_up_bf for r in made)
    quarter = float(already["board_feet"].sum()) + sum(r.board_feet for r in made)
    return plan.board_feet - given_up, quarter, given_up
