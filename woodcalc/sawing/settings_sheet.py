"""The settings sheet: a sawing plan as blade heights to tape on the mill, pass by pass.

There is one for a log sawn through and through or around a cant. There is none for a quartered log: its loose halves
and quarters would have to be held on the bed, and blade heights do not hold them.
"""

from __future__ import annotations

import re
from math import inf, sqrt
from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np

from woodcalc.checks import InputError
from woodcalc.logs import log_weight_range_lb
from woodcalc.sawing.frustum import Frustum
from woodcalc.sizes import fraction, sixteenths

if TYPE_CHECKING:
    import pandas as pd

    from woodcalc.sawing.sawn_log import Pass, SawingPlan


WITH_SHEET = ("through-and-through", "cant")  # patterns
NO_SHEET = (
    "This book has no safe settings sheet for a quartered log yet: loose halves and quarters can roll or slip under "
    "the blade, and a list of blade heights does not hold them. Halve and quarter the log with a sawyer who knows how "
    "to hold the pieces, or choose the cant pattern."
)
TURNS = {0: "", 90: "quarter turn", 180: "half turn"}
BELOW_BLADE_IN = 0.5  # common practice: stops and clamps at least that far under the blade
_FACES = {(0, 1): 1, (1, 0): 2, (0, -1): 3, (-1, 0): 4}  # clockwise, seen from the small end
FLAT_SLACK_IN = 0.25  # common practice: a center further off than that on a sawn face was not sawn as printed
THICK_SLAB_IN = 2.0  # common practice: what is thicker has to be looked at, whether it clears the mill's head
# words of a tally that tell of metal in the wood, or of a tree that stood where people hang things on trees
_METAL = re.compile(
    r"wire|barbed|fenc(e|ing)|insulator"
    r"|\b(nail|metal|spike|staple|bolt|screw|steel|bullet|hook|rebar|t[- ]?post|horse ?shoe|spile|cable|hinge|hardware"
    r"|clothes ?line|yard[- ]?tree|pipe)"
    r"|\b(irons?|signs?|lags?|taps?|tapped|tap[- ]?holes?)\b|\bchains?\b(?![- ]?saw)"
    r"|^(?=.*\b(blue|black)\b.{0,12}\bstain)(?=.*\bbutt)",
    re.IGNORECASE | re.DOTALL,
)


def both_ways(size_in: float) -> str:
    """Return a size as a fraction, to the nearest 32nd of an inch, and as a decimal.

    Parameters
    ----------
    size_in : float
        In inches, 0 or more.

    Examples
    --------
    >>> both_ways(1.0625), both_ways(0.1)
    ('1-1/16 in (1.0625 in)', 'about 3/32 in (0.1 in)')
    """
    about = "" if abs(size_in * 32 - round(size_in * 32)) < 1e-6 else "about "
    return f"{about}{fraction(size_in, 32)} in ({round(size_in, 5):.7g} in)"


def mentions_metal(note: str) -> bool:
    """Return whether the tally's note on a log tells of metal in it, or of a tree that is likely to hold some.

    Blue or black stain counts near the butt, where iron makes it.

    Examples
    --------
    >>> mentions_metal("grew by the fence: look for wire"), mentions_metal("ironwood, butt log")
    (True, False)
    """
    return bool(_METAL.search(note))


def has_sheet(plan: SawingPlan) -> bool:
    """Return whether there is a settings sheet for a `SawingPlan`: not for a quartered log."""
    return plan.pattern in WITH_SHEET


def sheet(plan: SawingPlan) -> pd.DataFrame:
    """Return the settings sheet of a `SawingPlan`, a row for each pass of the blade, as `SawingPlan.cuts`.

    Parameters
    ----------
    plan : SawingPlan

    Returns
    -------
    DataFrame

    Raises
    ------
    InputError
        A quartered log, for which there is no safe sheet.

    Examples
    --------
    >>> from woodcalc.logs import Log
    >>> from woodcalc.sawing import saw
    >>> plan = saw(Log(small_in=10, length_ft=8), 1/8, [1.125], "cant")
    >>> sheet(plan)[["pass", "blade", "takes"]].tail(1).to_string(index=False, header=False).split()[:2]
    ['14', '1-1/8']
    """
    if not has_sheet(plan):
        raise InputError(NO_SHEET)
    return plan.cuts


def passes(plan: SawingPlan) -> pd.DataFrame:
    """Return every pass of the blade as data, a row for each; what `SawingPlan.cuts` holds.

    The height is that of the underside of the blade above the bed, so what lies below it is exactly that
    thick. The saw line goes upward from there. Heights are shown to the nearest sixteenth: with a kerf that
    is not a whole number of sixteenths single boards come out up to 1/16 in thicker or thinner, without the
    error adding up. A quartered log has no sheet: its passes carry no words to read off at a mill, and say so.

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
    >>> passes(saw(Log(small_in=16, length_ft=8), 1/8, [1.125], "quartered"))["blade"].tolist()[:2]
    ['', '']
    """
    import pandas as pd

    rows: list[dict[str, Any]] = []
    before: Pass | None = None
    for number, p in enumerate(plan.passes, 1):
        height = round(p.height_in * 16) / 16
        same = before is not None and before.setup == p.setup and p.piece == before.piece and not p.turn_deg
        drop = round(before.height_in * 16) / 16 - height if before and same else None
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
    table = pd.DataFrame(rows)
    if not has_sheet(plan):
        table = table.assign(
            turn="", blade="", drop="", takes="not for the mill: no safe sheet for a quartered log"
        )
    return table


def _takes(plan, p):
    """What comes off at a pass, in words."""

    def board(n):
        b = plan.cut_boards[n - 1]
        return f"board {n}: {b.nominal} x {b.width_in:g} in x {b.length_ft:g} ft"

    if p.board_above and p.board_below:
        return f"{board(p.board_above)}; {board(p.board_below)} stays on the bed"
    if p.board_above:
        return board(p.board_above)
    if p.board_below:
        return f"slab; {board(p.board_below)} stays on the bed"
    return "slab"


class Stage(NamedTuple):
    """What the blade meets at one pass: boxes in the log (x1, x2, y1, y2, in from the pith), and which way is up."""

    before: tuple[float, ...]
    above: tuple[float, ...]
    below: tuple[float, ...]
    up: tuple[int, int]  # direction in the log as first laid
    bed_in: float  # the bed, measured from the pith along `up`
    round_side: bool  # lies on the bed; otherwise a sawn face does


def stages(plan: SawingPlan) -> list[Stage]:
    """Return the wood on the bed at each pass of a `SawingPlan`, one `Stage` for each row of the sheet.

    Parameters
    ----------
    plan : SawingPlan

    Raises
    ------
    InputError
        A quartered log: see `sheet`.

    Examples
    --------
    >>> from woodcalc.logs import Log
    >>> from woodcalc.sawing import saw
    >>> first = stages(saw(Log(small_in=10, length_ft=8), 1/8, [1.125], "cant"))[0]
    >>> first.up, first.bed_in
    ((0, 1), -5.5)
    """
    sheet(plan)
    ups = [(0, 1), (-1, 0), (0, -1), (1, 0)]  # a turn clockwise brings the left face up
    before: tuple[float, ...] = (-inf, inf, -inf, inf)
    turns, out = 0, []
    for p in plan.passes:
        turns += p.turn_deg // 90
        up = ups[turns % 4]
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
        out.append(Stage(before, tuple(above), tuple(below), up, bed, foot == -inf))
        before = tuple(below)
    return out


class SetUp(NamedTuple):
    """How the wood must lie for some passes, and those passes."""

    number: int
    turn: str  # before the first of them, in words
    face_up: int
    round_side: bool  # lies on the bed; otherwise a sawn face does
    center_in: float  # height of the center of the wood over the bed, at both ends
    small_block_in: float  # under the small end
    foot_in: float  # narrowest width that it stands on: between sawn faces, or the sawn face; infinite for a round log
    wide_foot_in: float  # the widest
    tall_in: float  # at most
    hump: str  # which way the outside of a bow points, "" for a straight log
    cuts: pd.DataFrame  # DataFrame, rows of the sheet

    @property
    def slab_in(self) -> float:
        """Thickest wood over the blade at the first pass."""
        return self.tall_in - float(self.cuts["blade_in"].iloc[0])

    @property
    def stops_in(self) -> float:
        """How high the stops may stand at the lowest pass."""
        return max(float(self.cuts["blade_in"].min()) - BELOW_BLADE_IN, 0.0)

    @property
    def blocks_out_in(self) -> float:
        """Blade height of the first pass for which the blocks must be gone, 0 if they may stay."""
        low = self.cuts["blade_in"][self.cuts["blade_in"] < self.small_block_in + BELOW_BLADE_IN]
        return float(low.max()) if self.small_block_in and len(low) else 0.0

    @property
    def tippy(self) -> bool:
        """Stands more than twice as tall as its foot is wide at its narrowest (common practice, as for piles)."""
        return self.tall_in > 2 * self.foot_in


def set_ups(plan: SawingPlan) -> list[SetUp]:
    """Return how the wood must lie for each group of passes of a `SawingPlan`: its center level, and how high.

    All of it is for a log without bark. Blocks are figured at the very ends of the log. A bowed log starts with the
    hump, the outside of its bow, level and toward face 2, so that the bow points up or down for the cant's own
    passes; the ends are then half the sweep lower or higher than the straight core that the saw lines are laid out in.

    Parameters
    ----------
    plan : SawingPlan

    Returns
    -------
    list of SetUp

    Raises
    ------
    InputError
        A quartered log: see `sheet`.

    Examples
    --------
    >>> from woodcalc.logs import Log
    >>> from woodcalc.sawing import saw
    >>> for s in set_ups(saw(Log(small_in=14, length_ft=12), 1/16, [1.0625], "cant")):
    ...     print(s.number, s.face_up, s.round_side, s.center_in, s.small_block_in)
    1 1 True 7.75 0.75
    2 3 False 2.25 0.0
    3 2 True 7.75 0.75
    4 4 False 6.8125 0.0
    """
    table, walked = sheet(plan), stages(plan)
    return [_set_up(plan, walked[rows.index[0]], rows) for _, rows in table.groupby("setup", sort=False)]


def _set_up(plan, stage, cuts):
    axis, other = ("x", "y") if stage.up[0] else ("y", "x")
    bow = stage.up[0] * plan.log.sweep_in / 2
    center = -stage.bed_in - bow
    small = plan.half_in(axis, "small")
    low, high = stage.before[2:] if axis == "x" else stage.before[:2]
    foot = wide = high - low
    if not stage.round_side:  # a flat is narrow where the log is thin
        ends = plan.core.half_chord_in(stage.bed_in, np.array([0.0, plan.log.length_ft]), other)
        foot, wide = (min(foot, 2 * float(half)) for half in (ends.min(), ends.max()))
    hump = ""
    if plan.log.sweep_in:
        lies = "resting on its two ends" if stage.round_side else "on its sawn face"
        hump = {0: "toward side 2, level with the bed", 1: f"up, {lies}", -1: f"down, {lies}"}[stage.up[0]]
    return SetUp(
        number=int(cuts["setup"].iloc[0]),
        turn=cuts["turn"].iloc[0],
        face_up=int(cuts["face_up"].iloc[0]),
        round_side=stage.round_side,
        center_in=center,
        small_block_in=max(center - small, 0.0),  # a sawn face may stop short of the small end, too
        foot_in=foot,
        wide_foot_in=wide,
        tall_in=center + _reach_in(plan, axis, 2 * bow),
        hump=hump,
        cuts=cuts,
    )


def _reach_in(plan, axis, bow_in):
    """How far the wood reaches from the line between the centers of its ends, at the large end or amid the bow."""
    at = np.linspace(0, 1, 97)
    half = plan.half_in(axis, "small") * (1 - at) + plan.half_in(axis, "large") * at
    return float((half + 4 * bow_in * at * (1 - at)).max())


def at_the_heart(plan: SawingPlan) -> set[int]:
    """Return the numbers of the boards of a `SawingPlan` that hold the pith, or lie against it across a saw line.

    Examples
    --------
    >>> from woodcalc.logs import Log
    >>> from woodcalc.sawing import saw
    >>> at_the_heart(saw(Log(small_in=10, length_ft=8), 1/8, [1.125], "cant"))
    {8}
    """
    b = plan.boards
    near = (b["offset_x_in"].abs() < b["width_in"] / 2) & (
        b["offset_y_in"].abs() < b["thickness_in"] / 2 + plan.kerf_in
    )
    return set(b.loc[near, "board"].tolist())


def room_in(plan: SawingPlan) -> float:
    """Return the greatest width or height that a log of a `SawingPlan` takes on the mill (in): no bark, its bow in.

    Examples
    --------
    >>> from woodcalc.logs import Log
    >>> from woodcalc.sawing import saw
    >>> round(room_in(saw(Log(small_in=12, large_in=13.5, length_ft=12, sweep_in=3), 1/8, [1.125])), 1)
    16.1
    """
    return max(
        plan.half_in("x", "large") + _reach_in(plan, "x", plan.log.sweep_in), 2 * plan.half_in("y", "large")
    )


def lift_lb(plan: SawingPlan) -> tuple[float, float]:
    """Return the most that a log of a `SawingPlan` and its cant may weigh (lb), to choose turner and winch by.

    The log by `logs.log_weight_range_lb`: wettest wood with its margin, trim and bark. The cant, between its two
    sawn faces, by its share of the log.

    Parameters
    ----------
    plan : SawingPlan

    Returns
    -------
    tuple of float
        Log, cant. The cant is 0 for a pattern that makes none; both are 0 if the species is not known.

    Examples
    --------
    >>> from woodcalc.logs import Log
    >>> from woodcalc.sawing import saw
    >>> [round(lb) for lb in lift_lb(saw(Log(26, 27.25, 10, species="black walnut"), 1/8, [1.125], "cant"))]
    [3191, 1129]
    """
    log = plan.log
    if not log.species:
        return 0.0, 0.0
    whole = float(log_weight_range_lb(log.species, log)[1])
    if not plan.cant_in:
        return whole, 0.0
    round_log = Frustum(log.small_in / 2, log.large_end_in / 2, log.length_ft, sqrt(log.oval_ratio))
    half = plan.cant_in / 2
    cant = round_log.inside_ft3(-99.0, 99.0, -half, half, 0.0, log.length_ft)
    return whole, whole * float(cant) / round_log.volume_ft3
