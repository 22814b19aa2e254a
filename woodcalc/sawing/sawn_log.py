"""A sawn log: its boards and where they lay, the passes that make them, and every other piece."""

from __future__ import annotations

import contextlib
from dataclasses import dataclass, field, replace
from functools import cached_property
from itertools import pairwise
from math import ceil, isnan, nan, sqrt
from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np

from woodcalc.logs import Log
from woodcalc.sawing.bent import Bent
from woodcalc.sawing.frustum import Frustum, TooThin
from woodcalc.sizes import board_feet, length_told, sixteenths

if TYPE_CHECKING:
    from collections.abc import Callable

    import pandas as pd


WITH_SHEET = ("through-and-through", "cant")  # patterns that a settings sheet is made for
TURNS = {0: "", 90: "quarter turn", 180: "half turn"}
IN_TWO_GAIN = (
    0.25  # common practice: short boards sell for less and cost more handling, so a few more are not worth it
)
LEAST_HALF_FT = 4.0  # the shortest board that is kept


class Piece(NamedTuple):
    """One piece of the sawn log: a box, x level and y up from the pith (in), z from the small end (ft)."""

    kind: str  # lumber, slab, edging, sawdust
    board: int  # 0 for none
    x1: float
    x2: float
    y1: float
    y2: float
    z1: float
    z2: float


class Board(NamedTuple):
    """One board and where it lay in the log."""

    nominal: str
    nominal_in: float
    width_in: float
    length_ft: float
    x1: float
    x2: float
    y1: float
    y2: float
    height_in: float  # of its lower face above the bed when it came off
    wanted: bool
    start_ft: float = 0.0  # of its end toward the small end, from the log's

    @property
    def turned(self) -> bool:
        """True if its wide face stood upright in the log as first laid."""
        return not np.isclose(self.x2 - self.x1, self.width_in, rtol=0, atol=1e-7)


class Pass(NamedTuple):
    """One trip of the blade: where it stands and what comes off."""

    setup: int
    piece: str  # log, cant, quarter 1 ...
    turn_deg: int  # turned clockwise by this before the pass, seen from the small end
    up: int  # number of the face that is up, counted clockwise from the first seen from the small end
    height_in: float  # underside of the blade above the bed
    board_above: int  # board that comes off above the blade, 0 for a slab
    board_below: int  # board that is left on the bed under the blade, 0 for none


@dataclass(frozen=True)
class SawingPlan:
    """A sawn log: its boards, the settings that make them, and where the rest went.

    Attributes
    ----------
    log : Log
    pattern : str
    kerf_in : float
    opening_in : float
        Height of the blade above the bed for the first cut (in); blank (NaN) for a quartered log, which has no sheet.
    cant_in : float
        Height of the cant between faces 1 and 3 (in), 0 if the pattern has none.
    lift_in : float
        Blocks under the small end that bring the pith level with the bed (in).
    cut_boards : tuple of Board
        In the order that they come off.
    pieces : tuple of Piece
        Everything that the log falls into.
    passes : tuple of Pass
        Without heights, turns or faces for a quartered log.
    core : Frustum or Bent
        What the pieces are measured in: the log with its bow; the straight log inside it where it is quartered.
    again : callable, optional
        What saws another log in the same way, for a bowed log with no wanted boards: see `in_two_bf`.
    cant_wide_in : float
        Width of a cant that is sawn on all four faces, between faces 2 and 4 (in); 0 for any other.
    given_up_bf : float
        Board feet that a cant sawn off two faces alone would give more, where this one stands steadier.
    too_tall : bool
        Whether the cant of a big log breaks the rule of `four_sided`, as none that gives the boards keeps it.
    """

    log: Log
    pattern: str
    kerf_in: float
    opening_in: float
    cant_in: float
    lift_in: float
    cut_boards: tuple[Board, ...] = field(repr=False)
    pieces: tuple[Piece, ...] = field(repr=False)
    passes: tuple[Pass, ...] = field(repr=False)
    core: Frustum | Bent = field(repr=False)
    again: Callable[[Log], SawingPlan] | None = field(default=None, repr=False, compare=False)
    cant_wide_in: float = 0.0
    given_up_bf: float = 0.0
    too_tall: bool = False

    @property
    def board_feet(self) -> float:
        """Board feet of all boards, if the log is sound."""
        return float(sum(self._each_bf))

    @property
    def net_bf(self) -> float:
        """Board feet with the share of the log taken off that is rotten, split or missing."""
        return self.board_feet * self.log.sound_share

    @property
    def splits_upright(self) -> bool:
        """Whether a check should point to face 1 or 3, so that few boards hold it; otherwise level, to face 2 or 4."""
        return bool(self.cant_in and not self.cant_wide_in)

    @cached_property
    def in_two_bf(self) -> float:
        """Board feet of a bowed log cut in two amid its length, both halves sawn alike; 0 if that is not worth it.

        It is if the halves are 4 ft long at least and give `IN_TWO_GAIN` more. A half of a bow is a quarter as deep.

        Examples
        --------
        >>> from woodcalc.sawing import saw
        >>> plan = saw(Log(12, 13.5, 12, sweep_in=5), 1/8, {"4/4": 1.0625}, drop_step_in=1/16)
        >>> round(plan.board_feet), round(plan.in_two_bf)
        (59, 77)
        """
        both = halves_bf(self.log, self.again) if self.again else 0.0
        return both if both >= (1 + IN_TWO_GAIN) * self.board_feet else 0.0

    @cached_property
    def _each_bf(self) -> list[float]:
        sizes = np.array([(b.nominal_in, b.width_in, b.length_ft) for b in self.cut_boards])
        return board_feet(*sizes.reshape(-1, 3).T).tolist()

    def half_in(self, axis: str, end: str) -> float:
        """Half the width (axis ``"x"``) or half the height (``"y"``) of the log at its small or large end (in).

        Parameters
        ----------
        axis : {"x", "y"}
            Level, or up.
        end : {"small", "large"}
        """
        long = sqrt(self.log.oval_ratio)
        diameter = self.log.small_in if end == "small" else self.log.large_end_in
        return diameter / 2 * (long if axis == "x" else 1 / long)

    def pith_height_in(self, axis: str = "y") -> float:
        """Height of the pith above the bed (in) while the log lies on its round side, half its `axis` below it.

        A bowed log lies on its ends then if `axis` is ``"x"``, the bow up: the height is that of its straight core.

        Parameters
        ----------
        axis : {"x", "y"}
            Level, or up.
        """
        bow = self.log.sweep_in / 2 if axis == "x" else 0.0
        return ceil((self.half_in(axis, "large") + bow) * 16 - 1e-9) / 16  # up to the next mark of the scale

    @cached_property
    def boards(self) -> pd.DataFrame:
        """DataFrame, a row for each board in the order of sawing, with where it lay in the log.

        `offset_x_in` and `offset_y_in` go from the pith to the board's centre along its width and its
        thickness, as `shrinkage.board_shape` takes them; `ring_angle_deg` is taken at mid-width,
        `grain_angle_deg` is the mean over the width, and `grain` names it: flat below 30, rift to 60, quarter
        above (common practice; books that know no rift part flat from quarter at 45). `height_in` is blank for a
        quartered log.
        """
        import pandas as pd

        return pd.DataFrame(
            [self._row(n, b) for n, b in enumerate(self.cut_boards, 1)], columns=BOARD_COLUMNS
        )

    def pith_beside_in(self, b: Board) -> tuple[float, float]:
        """How far aside the pith of a bowed log lies along a board, on average, and how far it strays from that (in).

        Parameters
        ----------
        b : Board
        """
        if not isinstance(self.core, Bent):
            return 0.0, 0.0
        mean = self.core.mean_aside_in(b.start_ft, b.start_ft + b.length_ft)
        at = self.core.aside_in(b.start_ft + b.length_ft * np.linspace(0, 1, 9))
        return mean, float(np.abs(at - mean).max())

    def _row(self, number: int, b: Board) -> tuple[Any, ...]:
        x, y = (b.x1 + b.x2) / 2 - self.pith_beside_in(b)[0], (b.y1 + b.y2) / 2
        along, through, thick = (y, x, b.x2 - b.x1) if b.turned else (x, y, b.y2 - b.y1)
        grain = mean_ring_angle_deg(along - b.width_in / 2, along + b.width_in / 2, abs(through))
        return (
            number,
            self.log.label,
            self.log.species,
            b.nominal,
            thick,
            b.width_in,
            b.length_ft,
            self._each_bf[number - 1],
            self.pattern,
            b.height_in if has_sheet(self) else float("nan"),
            float(np.hypot(x, y)),
            float(np.degrees(np.arctan2(abs(along), abs(through)))),
            along,
            through,
            grain,
            "flat" if grain < 30 else "rift" if grain < 60 else "quarter",
            abs(along) < b.width_in / 2 and abs(through) < thick / 2,
            b.wanted,
        )

    @cached_property
    def grain_bf(self) -> dict[str, float]:
        """Board feet of flat-sawn, rift and quarter-sawn boards, as `boards` names them."""
        out = dict.fromkeys(("flat", "rift", "quarter"), 0.0)
        for row in map(self._row, range(1, len(self.cut_boards) + 1), self.cut_boards):
            out[row[BOARD_COLUMNS.index("grain")]] += row[BOARD_COLUMNS.index("board_feet")]
        return out

    @cached_property
    def volumes_ft3(self) -> dict[str, float]:
        """Cubic feet of lumber, slab, edging and sawdust, each piece measured by itself."""
        boxes = np.array([p[2:] for p in self.pieces]).T
        each = self.core.inside_ft3(*boxes)
        kinds = np.array([p.kind for p in self.pieces])
        out = {kind: float(each[kinds == kind].sum()) for kind in ("lumber", "slab", "edging", "sawdust")}
        out["slab"] += (
            self.log.volume_ft3 - self.core.volume_ft3
        )  # outside the straight core, if that is quartered
        return out

    @cached_property
    def shares(self) -> dict[str, float]:
        """Lumber, slab, edging and sawdust as fractions of the log's volume."""
        return {kind: volume / self.log.volume_ft3 for kind, volume in self.volumes_ft3.items()}

    @cached_property
    def cuts(self) -> pd.DataFrame:
        """DataFrame, a row for each pass of the blade.

        The height is that of the underside of the blade above the bed, so what lies below it is exactly that
        thick. The saw line goes upward from there. Heights are shown to the nearest sixteenth: with a kerf that
        is not a whole number of sixteenths single boards come out up to 1/16 in thicker or thinner, without the
        error adding up. A quartered log has no sheet: its passes carry no height, no turn and no words to read off at
        a mill, and say so. The sheet for the mill is `settings_sheet.sheet`.

        Columns: `pass`, `setup` (a new one whenever the wood is turned), `piece` on the bed, `turn_deg` before the
        pass and `turn` in words, `face_up` (1 to 4, clockwise seen from the small end; 0 for a quarter of a
        log), `blade_in`, `blade` in sixteenths, `drop_in` and `drop` from the pass before (for mills that
        count drops), `board_above` and `board_below` the blade (0: none), `takes` in words.

        Examples
        --------
        >>> from woodcalc.sawing import saw
        >>> saw(Log(small_in=16, length_ft=8), 1/8, [1.125], "quartered").cuts["blade"].tolist()[:2]
        ['', '']
        """
        import pandas as pd

        rows: list[dict[str, Any]] = []
        before: Pass | None = None
        told = has_sheet(self)
        for number, p in enumerate(self.passes, 1):
            height = round(p.height_in * 16) / 16 if told else nan
            same = before is not None and before.setup == p.setup and not p.turn_deg
            drop = round(before.height_in * 16) / 16 - height if before and same and told else nan
            rows.append(
                {
                    "pass": number,
                    "setup": p.setup,
                    "piece": p.piece,
                    "turn_deg": p.turn_deg if told else nan,
                    "turn": TURNS[p.turn_deg],
                    "face_up": p.up,
                    "blade_in": height,
                    "blade": "" if isnan(height) else sixteenths(height),
                    "drop_in": drop,
                    "drop": "" if isnan(drop) else sixteenths(drop),
                    "board_above": p.board_above,
                    "board_below": p.board_below,
                    "takes": _takes(self, p)
                    if told
                    else "not for the mill: no safe sheet for a quartered log",
                }
            )
            before = p
        return pd.DataFrame(rows)


def halves_bf(log: Log, again: Callable[[Log], SawingPlan]) -> float:
    """Return the board feet of both halves of a log cut in two amid its length, 0 if they would be too short.

    Parameters
    ----------
    log : Log
    again : callable
        Saws a half. A half of a bow is a quarter as deep.
    """
    if log.length_ft / 2 < LEAST_HALF_FT:
        return 0.0
    ends = (log.small_in, (log.small_in + log.large_end_in) / 2, log.large_end_in)
    both = 0.0
    for small, large in pairwise(ends):
        half = replace(
            log,
            small_in=small,
            large_in=large,
            length_ft=log.length_ft / 2,
            trim_in=log.trim_in / 2,
            sweep_in=log.sweep_in / 4,
        )
        with contextlib.suppress(TooThin):
            both += again(half).board_feet
    return both


def has_sheet(plan: SawingPlan) -> bool:
    """Return whether there is a settings sheet for a `SawingPlan`: not for a quartered log.

    Parameters
    ----------
    plan : SawingPlan
        A log as it is sawn.
    """
    return plan.pattern in WITH_SHEET


def _takes(plan: SawingPlan, p: Pass) -> str:
    """What comes off at a pass, in words."""

    def board(n: int, stays: str = "") -> str:
        b = plan.cut_boards[n - 1]
        told = f"board {n}: {b.nominal} x {b.width_in:g} in x {length_told(b.length_ft)}{stays}"
        large = plan.log.length_ft - b.start_ft - b.length_ft
        ends = f"({length_told(b.start_ft)} off the small end, {length_told(large)} off the large end)"
        return f"{told} {ends}" if large > 1e-6 else told

    if p.board_below:
        return f"{board(p.board_above) if p.board_above else 'slab'}; {board(p.board_below, ' stays on the bed')}"
    if p.board_above:
        return board(p.board_above)
    return "slab"


BOARD_COLUMNS = (
    "board log species nominal thickness_in width_in length_ft board_feet pattern height_in pith_in"
    " ring_angle_deg offset_x_in offset_y_in grain_angle_deg grain has_pith wanted"
).split()


def mean_ring_angle_deg(u1: float, u2: float, v: float) -> float:
    """Mean angle (degrees) between rings and a face at distance v from the pith, from u1 to u2 along it.

    The mean of atan(|u| / v): the integral of atan(u / v) is u atan(u / v) - v/2 ln(u^2 + v^2).

    Parameters
    ----------
    u1, u2 : float
        Ends of the face, from the foot of the perpendicular on it (in).
    v : float
        Distance of the face from the pith (in), above 0.
    """
    if v < 1e-9:
        return 90.0

    def integral(u: float) -> float:
        return u * np.arctan(u / v) - v / 2 * np.log(u * u + v * v)

    low, high = sorted((abs(u1), abs(u2)))
    if u1 * u2 < 0:
        area = integral(low) + integral(high) - 2 * integral(0.0)
        return float(np.degrees(area / (low + high)))
    return float(np.degrees((integral(high) - integral(low)) / (high - low)))
