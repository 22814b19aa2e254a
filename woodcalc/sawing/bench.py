"""Where a pattern is laid out: its pieces, boards and passes gathered, and boards taken off two opposite faces."""

from __future__ import annotations

from math import inf
from typing import TYPE_CHECKING, Any

from woodcalc.sawing.frustum import TooThin
from woodcalc.sawing.sawn_log import Board, Pass, Piece, SawingPlan
from woodcalc.sawing.search import TINY

if TYPE_CHECKING:
    from collections.abc import Sequence

    from woodcalc.sawing.search import Cut, Place, Shop


class Bench:
    """Collects pieces, boards and passes while a pattern is laid out."""

    def __init__(self, shop: Shop) -> None:
        self.shop = shop
        self.pieces: list[Piece] = []
        self.boards: list[Board] = []
        self.passes: list[Pass] = []
        self.length = shop.log.length_ft

    def add(self, kind: str, level: bool, x: Any, y: Any, z: Any = None, board: int = 0) -> None:
        """Add a box; `level` False swaps the two directions across the log.

        Parameters
        ----------
        kind : str
            As `Piece.kind`.
        level : bool
            Whether saw lines lie level in the log as first laid.
        x, y : tuple of float
            From and to (in from the pith), along the saw line and across it.
        z : tuple of float, optional
            From and to (ft from the small end); all of it if left out.
        board : int
            Its number, 0 for none.
        """
        z = (0.0, self.length) if z is None else z
        x, y = (x, y) if level else (y, x)
        if x[1] > x[0] and y[1] > y[0] and z[1] > z[0]:
            self.pieces.append(Piece(kind, board, *x, *y, *z))

    def flitch(self, level: bool, ends: Any, faces: Any, cut: Cut, place: Place, height: float) -> int:
        """Add what lies between two saw lines: board, edgings, edger's kerfs. Returns the board's number or 0.

        Parameters
        ----------
        level : bool
            As in `add`.
        ends, faces : tuple of float
            Its sides along the saw line, and the saw lines (in from the pith).
        cut : Cut
            Its kind.
        place : Place
            Width, length and where along the log; no width for none.
        height : float
            Of its lower face over the bed (in).
        """
        width, length, start, middle = place
        if not width:
            self.add("slab", level, ends, faces)
            return 0
        number, along = len(self.boards) + 1, (start, start + length)
        edges = (middle - width / 2, middle + width / 2)
        self.add("lumber", level, edges, faces, along, number)
        for side in (0, 1):
            if abs(edges[side] - ends[side]) > TINY:
                away = edges[side] + (self.shop.kerf if side else -self.shop.kerf)
                away = min(away, ends[1]) if side else max(away, ends[0])
                self.add("sawdust", level, sorted((edges[side], away)), faces, along)
                self.add("edging", level, sorted((away, ends[side])), faces, along)
        self.add("edging", level, ends, faces, (0.0, start))
        self.add("edging", level, ends, faces, (start + length, self.length))
        (x1, x2), (y1, y2) = (edges, faces) if level else (faces, edges)
        self.boards.append(
            Board(cut.nominal, cut.nominal_in, width, length, x1, x2, y1, y2, height, bool(cut.use), start)
        )
        return number

    def plan(self, pattern: str, cant: float = 0.0, wide: float = 0.0) -> SawingPlan:
        """Return what has been laid out.

        Parameters
        ----------
        pattern : str
            One of `best.PATTERNS`.
        cant, wide : float
            As `SawingPlan.cant_in` and `SawingPlan.cant_wide_in`.

        Raises
        ------
        TooThin
            If there is no board.
        """
        shop = self.shop
        if not self.boards:
            thin = min(shop.cuts, key=lambda c: c.thick)
            raise TooThin(
                f"no board fits: the log is {shop.log.small_in:g} in at the small end"
                + (f" with {shop.log.sweep_in:g} in of sweep" if shop.log.sweep_in else "")
                + f", the thinnest board {thin.thick:g} in thick, the least width {shop.least_width:g} in."
            )
        lift = float(shop.bed.half_in("y", self.length) - shop.bed.half_in("y"))
        return SawingPlan(
            shop.log,
            pattern,
            shop.kerf,
            self.passes[0].height_in,
            cant,
            lift,
            tuple(self.boards),
            tuple(self.pieces),
            tuple(self.passes),
            shop.core if pattern == "quartered" else shop.bent or shop.core,
            cant_wide_in=wide,
        )


def off_the_sides(
    bench: Bench,
    sides: Sequence[list[Any]],
    halves: tuple[float, float],
    a_side: int,
    between: tuple[float, float] = (-inf, inf),
) -> None:
    """Lay out slab and side boards of two opposite faces, at most `a_side` boards (0: all) before each turn.

    One board more is taken with them where it is the side's last: two half turns for one board are too many. A turn
    brings the wood onto what has been sawn of the face before.

    Parameters
    ----------
    bench : Bench
        Where they are laid out.
    sides : sequence of list
        Boards of each face from the outside in, as `side_boards` has them.
    halves : tuple of float
        Where the faces come to lie (in from the pith).
    a_side : int
        Boards off one side before the log is turned onto its other; 0: all.
    between : tuple of float
        Where faces 3 and 1 lie (in from the pith): then 2 and 4 are sawn, after a quarter turn. Faces 1 and 3 are if
        that is left out.
    """
    shop, ends, quarter = bench.shop, between, between[1] < inf
    level = not quarter
    kerf, pith = shop.kerf, shop.pith_height("x" if quarter else "y")
    many = a_side if a_side and min(map(len, sides)) > a_side + 1 else max(map(len, sides), default=0)
    flat, done = [pith, pith], [0, 0]  # how far from the pith each face lies by now
    setup, turn = (bench.passes[-1].setup, 90) if quarter else (0, 0)
    piece, faces_up = ("cant", (2, 4)) if quarter else ("log", (1, 3))
    while not any(done) or done[0] < len(sides[0]) or done[1] < len(sides[1]):
        for face, (side, up) in enumerate(zip((1, -1), faces_up, strict=True)):
            setup, bed = setup + 1, flat[1 - face]
            boards = sides[face]
            if not done[face]:
                outer = boards[0][0] if boards else halves[face]
                bench.passes.append(Pass(setup, piece, turn, up, bed + outer, 0, 0))
                bench.add("slab", level, ends, sorted((side * (outer + kerf), side * inf)))
                bench.add("sawdust", level, ends, sorted((side * outer, side * (outer + kerf))))
                turn, flat[face] = 0, outer
            rest = len(boards) - done[face]
            now = (
                rest if 0 < len(sides[1 - face]) <= done[1 - face] else many
            )  # no turn for a face that is done
            now += rest == now + 1
            for upper, cut, place in boards[done[face] : done[face] + now]:
                lower = upper - cut.thick
                faces = sorted((side * lower, side * upper))
                number = bench.flitch(level, ends, faces, cut, place, bed + lower)
                bench.add("sawdust", level, ends, sorted((side * lower, side * (lower - kerf))))
                bench.passes.append(Pass(setup, piece, turn, up, bed + lower - kerf, number, 0))
                turn, flat[face] = 0, lower - kerf
            done[face] += max(now, many)
            turn = 180
        if not many:
            break
