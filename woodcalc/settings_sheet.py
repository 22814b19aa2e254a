"""The settings sheet: a sawing plan as blade heights to tape on the mill, pass by pass."""

from math import copysign, inf
from typing import NamedTuple

from woodcalc.checks import InputError

TURNS = {0: "", 90: "quarter turn", 180: "half turn"}


def sixteenths(size_in):
    """Return a size as a tape or a mill's scale shows it, to the nearest sixteenth of an inch.

    Parameters
    ----------
    size_in : float
        In inches, 0 or more.

    Examples
    --------
    >>> sixteenths(9.4375), sixteenths(12.0), sixteenths(0.126)
    ('9-7/16', '12', '1/8')
    """
    if not size_in >= 0:
        raise InputError(f"size_in = {size_in!r}: expected 0 or more inches.")
    whole, parts = divmod(round(size_in * 16), 16)
    bottom = 16
    while parts and parts % 2 == 0:
        parts, bottom = parts // 2, bottom // 2
    return f"{whole}-{parts}/{bottom}" if whole and parts else f"{parts}/{bottom}" if parts else f"{whole}"


def sheet(plan):
    """Return the settings sheet of a `SawingPlan`, a row for each pass of the blade.

    The height is that of the underside of the blade above the bed, so what lies below it is exactly that
    thick. The saw line goes upward from there. Heights are shown to the nearest sixteenth: with a kerf that
    is not a whole number of sixteenths single boards come out up to 1/16 in thicker or thinner, without the
    error adding up.

    Parameters
    ----------
    plan : SawingPlan

    Returns
    -------
    DataFrame
        `pass`, `setup` (a new one whenever the wood is turned), `piece` on the bed, `turn_deg` before the
        pass and `turn` in words, `face_up` (1 to 4, clockwise seen from the small end; 0 for a quarter of a
        log), `blade_in`, `blade` in sixteenths, `drop_in` and `drop` from the pass before (for mills that
        count drops), `board_above` and `board_below` the blade (0: none), `takes` in words.

    Examples
    --------
    >>> from woodcalc.logs import Log
    >>> from woodcalc.sawing import saw
    >>> plan = saw(Log(small_in=10, length_ft=8), 1/8, [1.125], "cant")
    >>> plan.cuts[["pass", "blade", "takes"]].tail(1).to_string(index=False, header=False).split()[:2]
    ['14', '1-1/8']
    """
    import pandas as pd

    rows, before = [], None
    for number, p in enumerate(plan.passes, 1):
        height = round(p.height_in * 16) / 16
        same = before is not None and before.setup == p.setup and p.piece == before.piece and not p.turn_deg
        drop = round(before.height_in * 16) / 16 - height if same else None
        rows.append(
            {
                "pass": number,
                "setup": p.setup,
                "piece": p.piece,
                "turn_deg": p.turn_deg,
                "turn": TURNS[p.turn_deg],
                "face_up": p.up,
                "blade_in": height,
                "blade": sixteenths(height),
                "drop_in": float("nan") if drop is None else drop,
                "drop": "" if drop is None else sixteenths(drop),
                "board_above": p.board_above,
                "board_below": p.board_below,
                "takes": _takes(plan, p),
            }
        )
        before = p
    return pd.DataFrame(rows)


def _takes(plan, p):
    """What comes off at a pass, in words."""

    def board(n):
        b = plan.cut_boards[n - 1]
        return f"board {n}: {b.nominal} x {b.width_in:g} in x {b.length_ft:g} ft"

    if p.board_above and p.board_below:
        return f"{board(p.board_above)}; {board(p.board_below)} stays on the bed"
    if p.board_above:
        return board(p.board_above)
    if p.board_below and p.piece.startswith("quarter"):
        return f"{board(p.board_below)}, under the blade"
    if p.board_below:
        return f"slab; {board(p.board_below)} stays on the bed"
    if plan.pattern == "quartered":
        return "halves the log through the pith" if p.setup == 1 else "halves again: four quarters"
    return "slab"


class Stage(NamedTuple):
    """What the blade meets at one pass: boxes in the log (x1, x2, y1, y2, in from the pith), and which way is up."""

    before: tuple
    above: tuple
    below: tuple
    up: tuple  # direction in the log as first laid
    bed_in: float  # the bed, measured from the pith along `up`


def stages(plan):
    """Return the wood on the bed at each pass of a `SawingPlan`, one `Stage` for each row of the sheet.

    Parameters
    ----------
    plan : SawingPlan

    Examples
    --------
    >>> from woodcalc.logs import Log
    >>> from woodcalc.sawing import saw
    >>> first = stages(saw(Log(small_in=10, length_ft=8), 1/8, [1.125], "cant"))[0]
    >>> first.up, first.bed_in
    ((0, 1), -5.5)
    """
    ups = [(0, 1), (-1, 0), (0, -1), (1, 0)]  # a turn clockwise brings the left face up
    work, turns, quarters, out = (-inf, inf, -inf, inf), 0, {}, []
    middle = plan.kerf_in / 2
    for p in plan.passes:
        if p.piece.startswith("quarter"):
            board = plan.cut_boards[p.board_below - 1]
            x, y = board.x1 + board.x2, board.y1 + board.y2
            start = (*_outside(middle, x), *_outside(middle, y))
            before = quarters.get(p.piece, start)
            up = (int(copysign(1, x)), 0) if board.turned else (0, int(copysign(1, y)))
        else:
            turns += p.turn_deg // 90
            before, up = work, ups[turns % 4]
        axis = 0 if up[0] else 1
        sign = up[axis]
        foot = before[2 * axis] if sign > 0 else -before[2 * axis + 1]
        bed = foot if foot > -inf else -plan.pith_height_in("xy"[axis])
        low, high = bed + p.height_in, bed + p.height_in + plan.kerf_in
        above, below = list(before), list(before)
        if sign > 0:
            below[2 * axis + 1], above[2 * axis] = low, high
        else:
            below[2 * axis], above[2 * axis + 1] = -low, -high
        out.append(Stage(before, tuple(above), tuple(below), up, bed))
        if p.piece.startswith("quarter"):
            quarters[p.piece] = tuple(above)  # the board lies under the blade
        elif plan.pattern != "quartered":
            work = tuple(below)
    return out


def _outside(middle, side):
    return (middle, inf) if side > 0 else (-inf, -middle)
