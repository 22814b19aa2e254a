"""The settings sheet: a sawing plan as blade heights to tape on the mill, pass by pass.

There is one for a log sawn through and through or around a cant. There is none for a quartered log: its loose halves
and quarters would have to be held on the bed, and blade heights do not hold them.
"""

from __future__ import annotations

import contextlib
import re
from dataclasses import replace
from fractions import Fraction
from functools import lru_cache
from math import ceil, inf
from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np

from woodcalc.checks import InputError, within
from woodcalc.logs import log_weight_range_lb
from woodcalc.moisture import LIFT_LB, weight_range_lb_per_ft3
from woodcalc.sawing.sawn_log import WITH_SHEET as WITH_SHEET
from woodcalc.sawing.sawn_log import SawingPlan, has_sheet
from woodcalc.sawing.search import HEART_IN, TIMBER_IN
from woodcalc.sawing.statics import Wood
from woodcalc.shrinkage import board_shape
from woodcalc.sizes import dressed_in, fraction, length_told, sixteenths

if TYPE_CHECKING:
    from collections.abc import Sequence

    import pandas as pd


NO_SHEET = (
    "This book has no safe settings sheet for a quartered log: loose halves and quarters can roll or slip under "
    "the blade, and a list of blade heights does not hold them. Halve and quarter the log with a sawyer who knows how "
    "to hold the pieces, or saw it through and through and rip the middle boards at the pith."
)
BELOW_BLADE_IN = 0.5  # common practice: stops and clamps at least that far under the blade
FLAT_SLACK_IN = 0.25  # common practice: a center further off than that on a sawn face was not sawn as printed
THICK_SLAB_IN = 2.0  # common practice: what is thicker has to be looked at, whether it clears the mill's head
TALLEST_STOP_IN = 16.0  # common practice: no stop or clamp of a small band mill stands taller
FLAT_SHARE = 0.25  # common practice: of the length, by which the weight lies inside a flat that stops short
EDGE_IN = 1.0  # common practice: what lies nearer to the side of its foot than that wants to roll
HOOK_IN = 60.0  # common practice: handle of a long cant hook
LEAST_BLOCK_IN = 0.125  # common practice: nobody cuts a thinner block
HEART_SHARE = 0.25  # common practice: of the small end's diameter, around a pith that is checked or shaken
USE_WITH = "use only with mill.html: center, blocks, stops and the note stand there"
# words of a tally that tell of a heart that does not hold together
_WEAK = re.compile(
    r"\b(check(s|ed|ing)?|shak(e|es|y)|ring[- ]?shake|split(s|ting)?|crack(s|ed|ing)?|rot(s|ten|ted)?|hollow"
    r"|punky?|conks?|decay(s|ed)?|(spider|star|loose)[- ]?heart(ed)?)\b",
    re.IGNORECASE,
)
_SIZE = r"(\d+(?:\.\d+)?(?:[- ]\d+/\d+)?|\d+/\d+) ?(?:in\b|inch|\")"
_CRACK = r"\b(check|split|shake|crack)"
_CRACK_IN = re.compile(rf"{_CRACK}[^,;]{{0,20}}?\b{_SIZE}|{_SIZE}[^\d,;]{{0,15}}{_CRACK}", re.IGNORECASE)
# words of a tally that tell of metal in the wood, or of a tree that stood where people hang things on trees
_METAL = re.compile(
    r"wire|barbed|fenc(e|ing)|insulator"
    r"|\b(nail|metal|spike|staple|bolt|screw|steel|bullet|hook|rebar|t[- ]?post|horse ?shoe|spile|cable|hinge|hardware"
    r"|clothes ?line|pipe|hammock|tree ?house|(deer|tree)[- ]?stand|hunting stand|ladder stand)"
    r"|\b(irons?|signs?|lags?|taps?|tapped|tap[- ]?holes?|swings?(?![- ]?(blade|mill))|hoops?|gates?|targets?)\b"
    r"|\b(gun|rifle|shooting|archery)\b|\bchains?\b(?![- ]?saw)"
    r"|\b(lawn|street|yard|park|city|town|shade|roadside)[- ]?tree"
    r"|\b(by|near|beside|behind|next to)\b.{0,12}\b(house|home|barn|porch|lawn|yard|drive(way)?|road|street)\b"
    r"|\b(grew|stood|from|in|on)\b.{0,12}\b(lawn|front yard|back ?yard|garden|pasture)\b"
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

    Parameters
    ----------
    note : str
        What the tally says of a log, in the learner's words.

    Examples
    --------
    >>> mentions_metal("grew by the fence: look for wire"), mentions_metal("ironwood, butt log")
    (True, False)
    """
    return bool(_METAL.search(note))


def mentions_weak_heart(note: str) -> bool:
    """Return whether the tally's note on a log tells of a check, shake, split, crack or rot.

    Parameters
    ----------
    note : str
        What the tally says of a log, in the learner's words.

    Examples
    --------
    >>> mentions_weak_heart("heart check 7 in long on the butt"), mentions_weak_heart("look for wire")
    (True, False)
    """
    return bool(_WEAK.search(note))


def crack_of(note: str) -> tuple[str, float]:
    """Return what the tally's note calls a check, split, shake or crack, and how long it is on the end (in).

    Empty for none, 0 if its length is not told.

    Parameters
    ----------
    note : str
        What the tally says of a log, in the learner's words.

    Examples
    --------
    >>> crack_of("heart check 7-1/2 in long on the butt"), crack_of("shake at the center"), crack_of("some rot")
    (('check', 7.5), ('shake', 0.0), ('', 0.0))
    """
    found = re.search(_CRACK, note, re.IGNORECASE)
    if not found:
        return "", 0.0
    told = _CRACK_IN.search(note)
    size = (told[2] or told[3]) if told else "0"
    return found[1].lower(), float(sum(Fraction(part) for part in re.split("[- ]", size)))


def in_two_says(plan: SawingPlan) -> str:
    """Return what is gained by cutting a bowed log of a `SawingPlan` in two, in a sentence; empty if it is little.

    Parameters
    ----------
    plan : SawingPlan
        A log as it is sawn.

    Examples
    --------
    >>> from woodcalc.logs import Log
    >>> from woodcalc.sawing import saw
    >>> in_two_says(saw(Log(12, 13.5, 12, sweep_in=5), 1/8, {"4/4": 1.0625}, drop_step_in=1/16))
    'Cut this log in two at 6 ft: about 77 bf instead of 59.'
    """
    if not plan.in_two_bf:
        return ""
    at = length_told(plan.log.length_ft / 2)
    return f"Cut this log in two at {at}: about {plan.in_two_bf:.0f} bf instead of {plan.board_feet:.0f}."


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
    ['12', '1-1/8']
    """
    if not has_sheet(plan):
        raise InputError(NO_SHEET)
    return plan.cuts


def as_printed_in(plan: SawingPlan) -> dict[int, float]:
    """Return how thick each board of a `SawingPlan` comes out at the heights of its sheet, which are rounded (in).

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
    >>> thick = as_printed_in(saw(Log(10, length_ft=8), 0.1, [1.125], "cant", drop_step_in=1/16))
    >>> sorted({round(t, 4) for t in thick.values()})
    [1.125, 1.15]
    """
    out: dict[int, float] = {}
    top, setup = 0.0, 0
    for row, stage in zip(sheet(plan).itertuples(index=False), stages(plan), strict=True):
        if row.setup != setup:  # what was sawn before is up, or the round side
            x1, x2, y1, y2 = stage.before
            top = {(0, 1): y2, (1, 0): x2, (0, -1): -y1, (-1, 0): -x1}[stage.up] - stage.bed_in
        if row.board_above:
            out[row.board_above] = top - row.blade_in - plan.kerf_in
        if row.board_below:
            out[row.board_below] = row.blade_in
        top, setup = row.blade_in, row.setup
    return out


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
    ups = {1: (0, 1), 2: (1, 0), 3: (0, -1), 4: (-1, 0)}
    before: tuple[float, ...] = (-inf, inf, -inf, inf)
    out = []
    for p in plan.passes:
        up = ups[p.up]
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
    cant: bool  # between two sawn faces, which stand upright
    foot_in: float  # narrowest width that it stands on: the sawn face, or 0 for a round side, which touches in a line
    wide_foot_in: float  # the widest
    tall_in: float  # at most
    hump: str  # which way the outside of a bow points, "" for a straight log
    beside_in: float  # how far the weight lies inside its foot, aside; 0 on a round side
    stands: bool  # without its blocks, at every pass for which they must go
    tips: bool  # without them, by itself; otherwise it may want a push
    cuts: pd.DataFrame  # DataFrame, rows of the sheet
    lowest_in: float = 0.0  # the mill's lowest safe cut, 0 if it is not known
    round_top: bool = True  # nothing is sawn off the side that is up

    @property
    def slab_in(self) -> float:
        """Thickest wood over the blade at the first pass."""
        return self.tall_in - float(self.cuts["blade_in"].iloc[0])

    def more_passes_in(self, room_in: float) -> list[float]:
        """Blade heights of the passes to make before the first where the slab is thicker than the mill's room (in).

        Parameters
        ----------
        room_in : float
            Above the blade (in); 0 if it is not known.
        """
        first, more = float(self.cuts["blade_in"].iloc[0]), []
        at = self.tall_in
        while room_in and at - first > room_in + 1e-6:
            at = ceil((at - room_in) * 16 - 1e-6) / 16
            more.append(at)
        return more

    @property
    def stops_in(self) -> float:
        """How high the stops may stand at the lowest pass that is sawn."""
        sawn = self.cuts["blade_in"][self.cuts["blade_in"] > self.stop_in]
        return max(float(sawn.min()) - BELOW_BLADE_IN, 0.0) if len(sawn) else inf

    @property
    def blocks_out_in(self) -> float:
        """Blade height of the first pass for which the blocks are taken out, 0 if they may stay or must."""
        return _blocked_in(self.cuts, self.small_block_in) if self.stands else 0.0

    @property
    def stop_in(self) -> float:
        """Blade height of the pass to stop before; 0 for none.

        The wood would tip without its blocks there, or the mill can't go so low.
        """
        tips = 0.0 if self.stands else _blocked_in(self.cuts, self.small_block_in)
        return max(tips, _below_in(self.cuts, self.lowest_in))

    @property
    def too_low(self) -> bool:
        """The pass to stop before is lower than the mill can go."""
        return 0 < self.stop_in == _below_in(self.cuts, self.lowest_in)

    @property
    def left_in(self) -> float:
        """How thick the piece is that is left on the bed where the sawing stops (in); 0 if it does not."""
        sawn = self.cuts["blade_in"][self.cuts["blade_in"] > self.stop_in]
        return (float(sawn.min()) if len(sawn) else self.tall_in) if self.stop_in else 0.0

    @property
    def tippy(self) -> bool:
        """Stands more than twice as tall as its foot is wide at its narrowest (common practice, as for piles).

        Whatever lies on a round side does.
        """
        return self.tall_in > 2 * self.foot_in

    @property
    def rolls(self) -> bool:
        """Bent, with its weight outside its foot, or within an inch of its edge."""
        return bool(self.hump) and self.beside_in < EDGE_IN

    @property
    def stops_bind(self) -> bool:
        """The stops of a small mill can stand in the way of the lowest pass."""
        return self.stops_in < TALLEST_STOP_IN


def set_ups(plan: SawingPlan, lowest_in: float = 0.0) -> list[SetUp]:
    """Return how the wood must lie for each group of passes of a `SawingPlan`: its center level, and how high.

    All of it is for a log without bark. Blocks are figured at the very ends of the log. A bowed log starts with the
    hump, the outside of its bow, level and toward face 2, so that the bow points up or down for the cant's own
    passes; the ends are then half the sweep lower or higher than the straight core that the saw lines are laid out in.

    Parameters
    ----------
    plan : SawingPlan
    lowest_in : float
        Lowest safe cut of the mill over its bed (in); 0 if it is not known.

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
    2 3 False 3.75 0.0
    3 2 True 7.75 0.75
    4 4 False 6.5 0.0
    """
    return [each._replace(lowest_in=lowest_in) for each in _lying(plan)]


@lru_cache(maxsize=64)  # a page asks for them half a dozen times
def _lying(plan: SawingPlan) -> Any:
    """The set-ups of a plan, for any mill."""
    table, walked = sheet(plan), stages(plan)
    wood = Wood(plan)
    return tuple(
        _set_up(plan, wood, [walked[at] for at in rows.index], rows)
        for _, rows in table.groupby("setup", sort=False)
    )


def with_bark(turns: Sequence[SetUp], bark_in: float) -> list[SetUp]:
    """Return set-ups for a log whose bark stays on: round side on the bed, all of it lies higher by the bark.

    Parameters
    ----------
    turns : sequence of SetUp
        As `set_ups` returns them, for a log without bark.
    bark_in : float
        Thickness of the bark (in), taken to the nearest sixteenth; 0 to 4.

    Examples
    --------
    >>> from woodcalc.logs import Log
    >>> from woodcalc.sawing import saw
    >>> bare = set_ups(saw(Log(14, 15.5, 12), 1/16, [1.0625], "cant"))
    >>> [s.center_in for s in bare], [s.center_in for s in with_bark(bare, 0.75)]
    ([7.75, 3.75, 7.75, 6.5], [8.5, 3.75, 8.5, 6.5])
    """
    bark = round(float(within("Bark", bark_in, 0, 4, "in")) * 16) / 16
    out = []
    for s in turns:
        if s.round_side and bark:
            heights = s.cuts["blade_in"] + bark
            cuts = s.cuts.assign(blade_in=heights, blade=[sixteenths(h) for h in heights])
            s = s._replace(center_in=s.center_in + bark, tall_in=s.tall_in + bark, cuts=cuts)
        if s.round_top:
            s = s._replace(tall_in=s.tall_in + bark)
        out.append(s)
    return out


def stop_pass(turns: Sequence[SetUp]) -> int:
    """Return the number of the pass to stop before, 0 for none, of what `set_ups` returns.

    Parameters
    ----------
    turns : sequence of SetUp
        In the order they are sawn.
    """
    return next((int(n) for s in turns for n in s.cuts.loc[s.cuts["blade_in"] == s.stop_in, "pass"]), 0)


def kept_passes(plan: SawingPlan, lowest_in: float = 0.0) -> pd.DataFrame:
    """Return the rows of `sheet` down to where the wood must be left as one thick piece; all of them as a rule.

    Parameters
    ----------
    plan : SawingPlan
    lowest_in : float
        As in `set_ups`.

    Raises
    ------
    InputError
        A quartered log: see `sheet`.

    Examples
    --------
    >>> from woodcalc.logs import Log
    >>> from woodcalc.sawing import saw
    >>> plan = saw(Log(26, 29, 10), 1/16, [1.0625], "cant", least_cant_in=4, least_slab_in=0)
    >>> len(sheet(plan)), len(kept_passes(plan))
    (45, 44)
    """
    table, stop = sheet(plan), stop_pass(set_ups(plan, lowest_in))
    return table[table["pass"] < stop] if stop else table


def _blocked_in(cuts: pd.DataFrame, block_in: float) -> float:
    """Blade height of the first pass that would come near the blocks, 0 for none."""
    return _below_in(cuts, block_in + BELOW_BLADE_IN) if block_in else 0.0


def _below_in(cuts: pd.DataFrame, height_in: float) -> float:
    """Blade height of the first pass under a height, 0 for none."""
    low = cuts["blade_in"][cuts["blade_in"] < height_in - 1e-6]
    return float(low.max()) if len(low) else 0.0


def _set_up(plan: SawingPlan, wood: Wood, passed: list[Stage], cuts: pd.DataFrame) -> SetUp:
    stage = passed[0]
    axis = "x" if stage.up[0] else "y"
    bow = stage.up[0] * plan.log.sweep_in / 2
    center = -stage.bed_in - bow
    small = plan.half_in(axis, "small")
    low, high = stage.before[2:] if axis == "x" else stage.before[:2]
    hump = ""
    if plan.log.sweep_in:
        lies = "resting on its two ends" if stage.round_side else "on its sawn face"
        hump = {0: "toward face 2, level with the bed", 1: f"up, {lies}", -1: f"down, {lies}"}[stage.up[0]]
    sign = sum(stage.up)
    top = (
        stage.before[2 * (axis == "y") + 1] if sign > 0 else -stage.before[2 * (axis == "y")]
    )  # sawn before, or open
    block = max(center - small, 0.0)  # a sawn face may stop short of the small end, too
    block = block if block >= LEAST_BLOCK_IN else 0.0
    foot = wide = beside = 0.0
    stands, tips = True, False
    stands_on = np.empty((0, 3))
    if not stage.round_side:
        stands_on = wood.foot(sum(stage.up) * stage.bed_in, axis, (low, high))
        foot, wide = wood.widths_in(stands_on)
        beside = wood.beside_in(stands_on, [stage.before, *(s.below for s in passed)], level=axis == "y")
    if out := _blocked_in(cuts, block):
        free = [s for s, blade in zip(passed, cuts["blade_in"], strict=True) if blade <= out]
        boxes = [box for s in free for box in (s.before, s.below)]
        inside = wood.inside_ft(stands_on, boxes)
        stands, tips = inside >= FLAT_SHARE * plan.log.length_ft, inside < 0
    return SetUp(
        number=int(cuts["setup"].iloc[0]),
        turn=cuts["turn"].iloc[0],
        face_up=int(cuts["face_up"].iloc[0]),
        round_side=stage.round_side,
        center_in=center,
        small_block_in=block,
        cant=high - low < inf,
        foot_in=foot,
        wide_foot_in=wide,
        tall_in=min(center + _reach_in(plan, axis, 2 * bow), top - stage.bed_in),
        hump=hump,
        beside_in=beside,
        stands=stands,
        tips=tips,
        cuts=cuts,
        round_top=not np.isfinite(top),
    )


def _reach_in(plan: SawingPlan, axis: str, bow_in: float) -> float:
    """How far the wood reaches from the line between the centers of its ends, at the large end or amid the bow."""
    at = np.linspace(0, 1, 97)
    half = plan.half_in(axis, "small") * (1 - at) + plan.half_in(axis, "large") * at
    return float((half + 4 * bow_in * at * (1 - at)).max())


def at_the_heart(plan: SawingPlan) -> set[int]:
    """Return the numbers of the boards of a `SawingPlan` that hold the pith, or lie against it across a saw line.

    Parameters
    ----------
    plan : SawingPlan
        A log as it is sawn.

    Examples
    --------
    >>> from woodcalc.logs import Log
    >>> from woodcalc.sawing import saw
    >>> at_the_heart(saw(Log(small_in=10, length_ft=8), 1/8, [1.125], "cant"))
    {6}
    """
    b = plan.boards
    strays = np.array([plan.pith_beside_in(board)[1] for board in plan.cut_boards])
    turned = np.array([board.turned for board in plan.cut_boards], dtype=bool)
    near = (b["offset_x_in"].abs() < b["width_in"] / 2 + strays * ~turned) & (
        b["offset_y_in"].abs() < b["thickness_in"] / 2 + plan.kerf_in + strays * turned
    )
    return set(b.loc[near, "board"].tolist())


def near_the_heart(plan: SawingPlan) -> set[int]:
    """Return the boards of a `SawingPlan` that reach within `HEART_SHARE` of the small end's diameter of the pith.

    A check or a shake of the heart may run that far. The pith of a bent log wanders by half its sweep to either side.

    Parameters
    ----------
    plan : SawingPlan
        A log as it is sawn.

    Examples
    --------
    >>> from woodcalc.logs import Log
    >>> from woodcalc.sawing import saw
    >>> sorted(near_the_heart(saw(Log(small_in=10, length_ft=8), 1/8, [1.125], "cant")))
    [4, 5, 6, 7, 8]
    """
    b = plan.boards
    along = (b["offset_x_in"].abs() - b["width_in"] / 2).clip(lower=0)
    through = (b["offset_y_in"].abs() - b["thickness_in"] / 2).clip(lower=0)
    near = np.hypot(along, through) < HEART_SHARE * plan.log.small_in + plan.log.sweep_in / 2
    return set(b.loc[near, "board"].tolist()) | at_the_heart(plan)


def too_cupped(plan: SawingPlan, mc_pct: float = 8.0) -> dict[int, float]:
    """Return the boards of a `SawingPlan` that cup too much to plane flat to their finished size (in).

    Each is dried as `shrinkage.board_shape` has it. A board with the pith is left out: it splits. None if the species
    is not known, or for a thickness that has no finished size.

    Parameters
    ----------
    plan : SawingPlan
        A log as it is sawn.
    mc_pct : float
        Moisture content when planed (%).

    Examples
    --------
    >>> from woodcalc.logs import Log
    >>> from woodcalc.sawing import saw
    >>> too_cupped(saw(Log(16, 17.5, 12, species="northern red oak"), 1/8, {"4/4": 1.0625}, "through-and-through"))
    {4: 0.8125, 5: 0.8125, 6: 0.8125, 10: 0.8125, 11: 0.8125, 12: 0.8125}
    """
    out: dict[int, float] = {}
    if not plan.log.species:
        return out
    sizes = {}
    for name in {b.nominal for b in plan.cut_boards}:
        with contextlib.suppress(InputError):
            sizes[name] = dressed_in(name)
    for b in plan.boards[plan.boards["nominal"].isin(sizes)].itertuples():
        finished = sizes[b.nominal]
        where = (b.offset_x_in, b.offset_y_in, plan.log.species)
        if not b.has_pith:
            dry = board_shape(b.width_in, b.thickness_in, *where, 100, mc_pct, points=12)
            if dry.flat_thickness_in < finished - 1e-6:
                out[int(b.board)] = finished
    return out


def timbers(plan: SawingPlan) -> dict[int, str]:
    """Return of each timber of a `SawingPlan` whether the pith is boxed in, beside it, or at its face, in words.

    Parameters
    ----------
    plan : SawingPlan
        A log as it is sawn.

    Examples
    --------
    >>> from woodcalc.logs import Log
    >>> from woodcalc.sawing import saw
    >>> timbers(saw(Log(12, 13.5, 12), 1/8, {"6x6": 6.0}, "cant", cant_in=6))
    {1: 'heart boxed in: expect a check on one face'}
    """
    out = {}
    for b in plan.boards.itertuples():
        if b.thickness_in >= TIMBER_IN - 1e-6:
            inside = min(b.width_in / 2 - abs(b.offset_x_in), b.thickness_in / 2 - abs(b.offset_y_in))
            if inside >= HEART_IN - 1e-6:
                out[int(b.board)] = "heart boxed in: expect a check on one face"
            elif inside > -HEART_IN + 1e-6:
                out[int(b.board)] = "the pith lies at its face: it splits there, and bows"
            else:
                out[int(b.board)] = "free of heart"
    return out


def clamps_in(turns: Sequence[SetUp]) -> float:
    """Return how high stops and clamps must reach (in): half way up the tallest set-up that can tip, 0 for none.

    Parameters
    ----------
    turns : sequence of SetUp
        As `set_ups` returns them, or `with_bark`.
    """
    tall = [s.tall_in / 2 for s in turns if s.tippy and (s.cant or not s.round_side)]
    return max(tall, default=0.0)


def turns_lb(plan: SawingPlan) -> list[tuple[float, bool]]:
    """Return what is turned before each set-up (lb), and whether two people can turn it with a cant hook.

    To tip wood over its edge, the pull at the end of the handle is its weight times half its width over the handle's
    length, held against two people's 51 lb. The width is the widest that is left of the wood, its bow counted. Nobody
    turns by hand what is not weighed. The first is the log as it comes, with its bark; later ones are weighed with it.

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
    >>> plan = saw(Log(14, 15, 8, species="white oak"), 1/8, [1.125], "cant")
    >>> [(round(lb, -1), hook) for lb, hook in turns_lb(plan)]
    [(820.0, False), (680.0, True), (550.0, True), (520.0, True)]
    """
    whole, walked = lift_lb(plan)[0], stages(plan)
    peeled, *before = _most_lb(plan, [(-inf, inf, -inf, inf), *(stage.before for stage in walked)])
    out = []
    for at, (stage, lb, p) in enumerate(zip(walked, before, plan.passes, strict=True)):
        if at and not p.turn_deg:
            continue
        weight = whole * lb / peeled if peeled else 0.0
        out.append((weight, 0 < weight * _across_in(plan, stage.before) / 2 / HOOK_IN <= 2 * LIFT_LB))
    return out


def _across_in(plan: SawingPlan, box: tuple[float, ...]) -> float:
    """Greatest width or height that is left of a log (in): no bark, its bow in."""
    bow = plan.log.sweep_in / 2
    x, y = plan.half_in("x", "large") + bow, plan.half_in("y", "large")
    return max(min(box[1], x) - max(box[0], -x), min(box[3], y) - max(box[2], -y))


def widest_cut_in(plan: SawingPlan, bark_in: float = 0.0) -> float:
    """Return the widest cut of a `SawingPlan` (in): what has to pass between the blade's guides, its bow in.

    Parameters
    ----------
    plan : SawingPlan
    bark_in : float
        Thickness of the bark (in).

    Raises
    ------
    InputError
        A quartered log: see `sheet`.

    Examples
    --------
    >>> from woodcalc.logs import Log
    >>> from woodcalc.sawing import saw
    >>> round(widest_cut_in(saw(Log(small_in=16, length_ft=12), 1/8, [1.125], "through-and-through")), 1)
    17.5
    """
    wood, widest = Wood(plan), 0.0
    peeled = wood.round
    wood.round = replace(peeled, small_in=peeled.small_in + bark_in, large_in=peeled.large_in + bark_in)
    for stage in stages(plan):
        level = bool(stage.up[1])
        left, right, low, high = stage.before
        between = (left, right) if level else (low, high)
        blade = stage.below[2 * level + (sum(stage.up) > 0)]
        cut = wood.foot(blade, "y" if level else "x", between)
        if len(cut):
            widest = max(widest, float(cut[:, 2].max() - cut[:, 1].min()))
    return widest


def room_in(plan: SawingPlan) -> float:
    """Return the greatest width or height that a log of a `SawingPlan` takes on the mill (in): no bark, its bow in.

    Parameters
    ----------
    plan : SawingPlan
        A log as it is sawn.

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
    [3191, 2589]
    """
    log = plan.log
    if not log.species:
        return 0.0, 0.0
    whole = float(log_weight_range_lb(log.species, log)[1])
    if not plan.cant_in:
        return whole, 0.0
    half, round_log = plan.cant_in / 2, Wood(plan).round
    cant = round_log.inside_ft3(-99.0, 99.0, -half, half, 0.0, log.length_ft)
    return whole, whole * float(cant) / round_log.volume_ft3


def pieces_lb(plan: SawingPlan) -> list[tuple[float, float]]:
    """Return the most that a slab or board may weigh as it comes off the mill (lb), for each row of the sheet.

    Edges on, as long as the log with its trim, without bark; the wood by `moisture.weight_range_lb_per_ft3`.

    Parameters
    ----------
    plan : SawingPlan

    Returns
    -------
    list of tuple of float
        What comes off above the blade, and the board that stays on the bed (0: none). 0 if the species is not known.

    Raises
    ------
    InputError
        A quartered log: see `sheet`.

    Examples
    --------
    >>> from woodcalc.logs import Log
    >>> from woodcalc.sawing import saw
    >>> plan = saw(Log(26, 29, 8, species="black walnut"), 1/8, [1.125], "through-and-through")
    >>> round(max(above for above, _ in pieces_lb(plan)))
    130
    """
    walked = stages(plan)
    above, below = _most_lb(plan, [s.above for s in walked]), _most_lb(plan, [s.below for s in walked])
    return [
        (lb, on_bed if p.board_below else 0.0)
        for lb, on_bed, p in zip(above, below, plan.passes, strict=True)
    ]


def left_lb(plan: SawingPlan) -> list[float]:
    """Return the most that the wood may weigh (lb) that lies on the bed after each row of the sheet; as `pieces_lb`.

    Parameters
    ----------
    plan : SawingPlan
        A log as it is sawn.
    """
    return _most_lb(plan, [stage.below for stage in stages(plan)])


def _most_lb(plan: SawingPlan, boxes: list[tuple[float, ...]]) -> list[float]:
    """What the wood of each box may weigh, without bark, with the trim; 0 if the species is not known."""
    log = plan.log
    if not log.species or not boxes:
        return [0.0] * len(boxes)
    sides = (np.array(side)[:, None] for side in zip(*boxes, strict=True))
    lb_per_ft3 = weight_range_lb_per_ft3(log.species)[1] * log.lifted_ft3 / log.volume_ft3
    each: list[float] = (lb_per_ft3 * Wood(plan).slices_ft3(tuple(sides)).sum(-1)).tolist()
    return each
