"""The three trade patterns laid out: boards, slabs, edgings, saw lines and passes of the blade."""

from __future__ import annotations

from math import ceil, floor, inf, nan, sqrt
from typing import TYPE_CHECKING, Any

import numpy as np

from woodcalc.checks import InputError, within
from woodcalc.sawing.bench import Bench, off_the_sides
from woodcalc.sawing.sawn_log import Pass
from woodcalc.sawing.search import (
    GRID_IN,
    TINY,
    Place,
    down,
    follow_quarter,
    outward,
    quarter_steps,
    shared_out,
    side_boards,
    stack_of,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

    from woodcalc.sawing.sawn_log import SawingPlan
    from woodcalc.sawing.search import Cut, Shop


def opening_line(shop: Shop, opening: float | None, across: str = "y") -> float | None:
    """Distance of the first saw line above the pith (in), None if it is to be looked for.

    Parameters
    ----------
    shop : Shop
        The log, the saw and what is wanted, as `shop_for` makes it.
    opening : float or None
        Height of the blade above the bed (in), if it is given.
    across : {"x", "y"}
        Of the saw lines: "y" where the bow lies level.
    """
    if opening is None:
        return None
    pith, half = shop.pith_height(across), shop.span(across)[1]
    opening = within(
        "opening_in", opening, pith, pith + half, "in", "Height of the blade above the bed, not depth."
    )
    return round((opening - pith) / GRID_IN) * GRID_IN


def _saw_down(
    bench: Bench,
    level: bool,
    ends: tuple[float, float],
    stack: list[tuple[float, Cut, Place]],
    setup: int,
    piece: str,
    turn: int,
    up: int,
) -> None:
    """Lay out a stack whose top board lies with its outer face on the bed, sawn from the far side down."""
    top, boards = stack[0][0], stack[::-1]  # nearest to the blade first
    far, kerf = boards[0][0] - boards[0][1].thick, bench.shop.kerf
    bench.passes.append(Pass(setup, piece, turn, up, top - far, 0, 0))
    bench.add("slab", level, ends, (-inf, far - kerf))
    bench.add("sawdust", level, ends, (far - kerf, far))
    for (upper, cut, place), after in zip(boards, [*boards[1:], None], strict=True):
        height = top - upper
        number = bench.flitch(level, ends, (upper - cut.thick, upper), cut, place, height)
        if after is None:
            if len(boards) > 1 or number:
                bench.passes[-1] = bench.passes[-1]._replace(board_below=number)
        else:
            bench.add("sawdust", level, ends, (upper, after[0] - after[1].thick))
            bench.passes.append(Pass(setup, piece, 0, up, top - after[0] + after[1].thick, number, 0))


def _down_and_over(
    bench: Bench,
    level: bool,
    ends: tuple[float, float],
    stack: list[tuple[float, Cut, Place]],
    many: int,
    first: Pass,
    half: str,
) -> None:
    """Lay out a stack sawn from its top down through `many` boards, the wood turned over onto that flat, and the rest.

    `first` is a pass at the height of the pith; what is turned over is called a `half`, if a board is off it.
    """
    if not stack:
        return
    kerf, bed = bench.shop.kerf, first.height_in
    bench.passes.append(first._replace(height_in=bed + stack[0][0]))
    _open(bench, level, ends, stack[0][0])
    first = first._replace(turn_deg=0)
    for upper, cut, place in stack[:many]:
        lower = upper - cut.thick
        number = bench.flitch(level, ends, (lower, upper), cut, place, bed + lower)
        bench.add("sawdust", level, ends, (lower - kerf, lower))
        bench.passes.append(first._replace(height_in=bed + lower - kerf, board_above=number))
    if rest := stack[many:]:
        name = half if many else first.piece
        _saw_down(bench, level, ends, rest, first.setup + 1, name, 180, first.up + 2)
    else:
        bench.add("slab", level, ends, (-inf, lower - kerf))


def _open(bench: Bench, level: bool, ends: tuple[float, float], top: float) -> None:
    """Lay out the slab over a first saw line, and the line."""
    bench.add("sawdust", level, ends, (top, top + bench.shop.kerf))
    bench.add("slab", level, ends, (top + bench.shop.kerf, inf))


def through_and_through(shop: Shop, opening: float | None, bow_up: bool = False) -> SawingPlan:
    """Return the best plan by parallel lines through the whole log; `opening` is the first, None the best one.

    The log is sawn down to the board just above the pith and turned over onto that flat, the widest that it has: half
    a log on a wide foot neither tips, nor leans out over a side clamp.

    Parameters
    ----------
    shop : Shop
        The log, the saw and what is wanted, as `shop_for` makes it.
    opening : float or None
        The first saw line above the pith (in), None for the best one.
    bow_up : bool
        Whether the outside of a bow is up for the first pass, face 2; otherwise it lies level.
    """
    bench, ends = Bench(shop), (-inf, inf)
    wide, across, level, face = ("y", "x", False, 2) if bow_up else ("x", "y", True, 1)
    search = down(shop, wide, opening=opening_line(shop, opening, across))
    stack = stack_of(shop, search, wide, 0, len(shop.still) - 1)
    lines = [upper - cut.thick - shop.kerf for upper, cut, _ in stack]
    many = sum(line > -TINY for line in lines)
    while 0 < many < len(lines) and lines[many - 1] > shop.end_top(across):  # a flat that reaches both ends
        many += 1
    _down_and_over(
        bench, level, ends, stack, many, Pass(1, "log", 0, face, shop.pith_height(across), 0, 0), "half log"
    )
    return bench.plan("through-and-through")


CANT_SHARE = 0.5  # common practice: of the small end; a narrower cant is a plank stood on edge, which tips
FOOT_SLAB_IN = (
    0.5  # common practice: off the small end where a cant is opened, so that it stands on a flat as long
)
SLAB_COST = 0.03  # of the board feet (or their worth): what that slab may cost


def _cants(shop: Shop, least: float | None, given: Any, most: float) -> list[float]:
    """Cant heights to try (in), tallest first: up to the square that fits into the small end, and to `most`."""
    narrow = 2 * float(shop.bed.half_in("y"))
    widest = narrow / sqrt(1 + 1 / shop.bed.stretch**4)  # the square in an ellipse
    if given is not None:
        given = within("cant_in", given, 1, 60, "in")
        if given > narrow:
            raise InputError(f"cant_in = {given:g}: wider than the log, {narrow:.4g} in at the small end.")
        return [round(given * 8) / 8]
    least = (
        shop.least_width
        if least is None
        else max(within("least_cant_in", least, 1, 48, "in"), shop.least_width)
    )
    widest = min(widest, max(most, least))
    steps = np.arange(ceil(least / shop.width_step - TINY), floor(widest / shop.width_step + TINY) + 1)
    cants = steps[::-1] * shop.width_step
    return [float(c) for c in cants if abs(c * 8 - round(c * 8)) < TINY]  # half of it lies on a sixteenth


def cant(
    shop: Shop,
    least: float | None,
    given: float | None,
    foot: bool,
    a_side: int = 0,
    most: float = inf,
    heights: Sequence[float] = (),
) -> SawingPlan:
    """Return the best plan by way of a cant: one `given` high, or the best from `least` up to the square.

    With no `least` it is half as wide as the small end, or narrower where only that gives a (wanted) board. With a
    `foot` the cant is opened with `FOOT_SLAB_IN` off the small end, or less where that costs over `SLAB_COST`.

    Parameters
    ----------
    shop : Shop
        The log, the saw and what is wanted, as `shop_for` makes it.
    least : float or None
        Least height of the cant (in); None: half the small end's width.
    given : float or None
        Its height, if it is asked for (in).
    foot : bool
        Whether it is opened with a slab that leaves a flat to stand on.
    a_side : int
        Boards off one side before the log is turned onto its other; 0: all.
    most : float
        Greatest height of the cant (in).
    heights : sequence of float
        To be tried instead of all those (in); then the cant is turned over at the pith, onto its widest flat.
    """
    cants = list(heights) or _cants(shop, least, given, most)
    bench = Bench(shop)
    if not cants:
        return bench.plan("cant")
    out = outward(shop, cants)
    # a bowed log is sawn from the top of its bow down to a flat as long as itself: it needs no slab for that
    across = down(shop, "y", caps=cants, slab=FOOT_SLAB_IN if foot and not shop.bent else 0.0)
    inners = [across[3][0, :, :, starts].max(axis=-1) for starts in across[4:]]  # (states, cants)
    sides = np.stack([out.worth(c / 2) for c in cants], axis=1)
    both = [_with_sides(shop, sides, inner) for inner in inners]
    (free, _), (slabbed, _) = both
    # what may be given up is a share of the plain boards: never a wanted one, which counts for more than all of those
    plain = 12 * shop.bed.volume_ft3 * max((c.worth for c in shop.cuts if not c.use), default=0.0)
    opened = slabbed >= free - SLAB_COST * np.minimum(free, plain)
    worth = np.where(opened, slabbed, free)
    best = int(np.argmax(worth))
    if least is None and given is None and not heights:
        wide = np.array(cants) >= min(CANT_SHARE * shop.log.small_in, cants[0])
        steady = int(np.argmax(np.where(wide, worth, -1.0)))
        # a wanted board counts for more than all plain ones: for nothing less does a cant stand on edge as a plank
        if worth[steady] > 0 and (len(shop.still) == 1 or worth[best] - worth[steady] < plain / 2):
            best = steady
    if worth[best] <= 0:
        return bench.plan("cant")
    states = both[int(opened[best])][1][best]

    cant, half = cants[best], cants[best] / 2
    beside = [side_boards(shop, out, half, state) for state in states[:2]]
    off_the_sides(bench, beside, (half, half), a_side)
    stack = stack_of(shop, across, "y", best, states[2], cant, bool(opened[best]))
    many, flat_in = 0, 0.0 if heights else shop.end_top("x") - FOOT_SLAB_IN
    line_in = stack[0][0]
    while (
        (shop.bent or heights) and many < len(stack) and line_in - (shop.pitch if heights else 0.0) > flat_in
    ):
        line_in = stack[many][0] - stack[many][1].thick - shop.kerf
        many += 1
    first = Pass(bench.passes[-1].setup + 1, "cant", 90, 2, shop.pith_height("x"), 0, 0)
    _down_and_over(bench, False, (-half, half), stack, many, first, "half cant")
    return bench.plan("cant", cant)


def _with_sides(shop: Shop, sides: np.ndarray, inner: np.ndarray) -> tuple[np.ndarray, list[Any]]:
    """Worth of each cant with its side boards, -1 if nothing comes of the cant itself; and who gets what is wanted."""
    if len(shop.still) == 1:
        worth, states = 2 * sides[0] + inner[0], [[0, 0, 0]] * inner.shape[1]
    else:
        shared = [shared_out(shop, [s, s, i]) for s, i in zip(sides.T, inner.T, strict=True)]
        worth, states = np.array([w for w, _ in shared]), [s for _, s in shared]
    return np.where(inner[-1] > 0, worth, -1.0), states


def quartered(shop: Shop) -> SawingPlan:
    """Return the best plan by four quarters, each sawn from its two flat faces by turns.

    Parameters
    ----------
    shop : Shop
        The log, the saw and what is wanted, as `shop_for` makes it.
    """
    bench = Bench(shop)
    kerf, ends = shop.kerf, (-inf, inf)
    mid = kerf / 2
    ways = "y" if shop.core.stretch == 1 else "yx"
    starts = {axis: quarter_steps(shop, axis) for axis in ways}  # an oval log may do better one way round
    shared = {axis: shared_out(shop, [steps[0][0][:, 0, 0]] * 4) for axis, steps in starts.items()}
    axis = max(shared, key=lambda a: shared[a][0])
    bench.passes.append(
        Pass(1, "log", 0, 0, nan, 0, 0)
    )  # no heights, no turns: loose pieces are not held by them
    bench.passes.append(Pass(2, "halves", 0, 0, nan, 0, 0))
    bench.add("sawdust", True, ends, (-mid, mid))
    bench.add("sawdust", False, (-inf, -mid), (-mid, mid))
    bench.add("sawdust", False, (mid, inf), (-mid, mid))
    for quarter, ((sx, sy), state) in enumerate(
        zip(((1, 1), (1, -1), (-1, -1), (-1, 1)), shared[axis][1], strict=True)
    ):
        sign, at = {"x": sx, "y": sy}, {"x": mid, "y": mid}
        for thick_axis, cut, width, length in follow_quarter(shop, starts[axis], axis, state):
            level = thick_axis == "y"
            wide = "x" if level else "y"
            near, inner = at[thick_axis], at[wide]
            far = near + cut.thick
            rest = sorted((sign[wide] * inner, sign[wide] * inf))
            faces = sorted((sign[thick_axis] * near, sign[thick_axis] * far))
            place = Place(width, length, bench.length - length, sign[wide] * (inner + width / 2))
            number = bench.flitch(level, rest, faces, cut, place, 0.0)
            bench.add(
                "sawdust", level, rest, sorted((sign[thick_axis] * far, sign[thick_axis] * (far + kerf)))
            )
            bench.passes.append(Pass(3 + quarter, f"quarter {quarter + 1}", 0, 0, nan, 0, number))
            at[thick_axis] = far + kerf
        bench.add("slab", True, sorted((sx * at["x"], sx * inf)), sorted((sy * at["y"], sy * inf)))
    return bench.plan("quartered")
