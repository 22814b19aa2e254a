"""A big log around a cant that is sawn off all four faces, so that nothing tall ever stands on a narrow foot.

Faces 1 and 3 are opened first, a half turn between them; then, after a quarter turn, 2 and 4. What is left is a square
beam with the heart in its middle; after another quarter turn it lies on a whole flat and is sawn through to the bed, or
kept as a timber.
"""

from __future__ import annotations

from functools import cache
from itertools import pairwise
from math import ceil, floor, inf
from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np

from woodcalc.sawing.bench import Bench, off_the_sides
from woodcalc.sawing.sawn_log import Pass
from woodcalc.sawing.search import (
    GRID_IN,
    HEART_IN,
    TIMBER_IN,
    TINY,
    Place,
    outward,
    shared_out,
    side_boards,
)

if TYPE_CHECKING:
    from collections.abc import Callable

    from woodcalc.sawing.sawn_log import SawingPlan
    from woodcalc.sawing.search import Cut, Shop

BIG_IN = 18.0  # common practice: at the small end; a smaller cant is light enough to clamp as it stands
STEADY = 1.5  # common practice: no cant taller than that many times what it stands on, or is held between
NARROW_IN, WIDE_IN = 8.0, 12.0  # common practice: a beam between them can be turned, sawn through, or sold
KEPT = 8  # heights that are tried where what lies in the beam matters (timbers, wanted boards)


class _Beam(NamedTuple):
    """What is left of a log within four sawn faces: its height between 1 and 3, its width between 2 and 4 (in)."""

    tall: float
    wide: float

    @property
    def halves(self) -> tuple[float, float]:
        """How far faces 1 and 3 lie from the pith (in): both on sixteenths, so one may lie a sixteenth further."""
        first = floor(self.tall / 2 / GRID_IN + TINY) * GRID_IN
        return first, self.tall - first


def stands_too_tall(shop: Shop, plan: SawingPlan) -> bool:
    """Return whether a cant off two faces breaks the rule: taller than `STEADY` times its foot, or what holds it.

    Parameters
    ----------
    shop : Shop
        The log, the saw and what is wanted, as `shop_for` makes it.
    plan : SawingPlan
        The log around such a cant.
    """
    low, high = shop.span("x")
    if high - low > STEADY * plan.cant_in:
        return True
    for before, after in pairwise(plan.passes):
        if after.turn_deg == 180 and after.piece != "log":  # turned over onto the last line of face 2
            return not _steady_on(shop, plan.cant_in, before.height_in - shop.pith_height("x"))
    return False


def four_sided(shop: Shop, a_side: int = 0, most: float = inf) -> SawingPlan | None:
    """Return the best plan around a cant off four faces; None if none keeps the rule with whole faces.

    No cant is taller than `STEADY` times what it stands on, or, on its round side, what it is held between. The beam is
    8 to 12 in wide where that allows it, and no wider than the rule asks for where it does not; its four faces are as
    long as the log. Its boards fill its height, so that no thin slab is left of it.

    Parameters
    ----------
    shop : Shop
        The log, the saw and what is wanted, as `shop_for` makes it.
    a_side : int
        Boards off one side before the log is turned onto its other; 0: all.
    most : float
        Greatest width of the beam (in), if the rule allows it.
    """
    beams = _beams(shop)
    filled = _filled(shop, beams)
    beams = [beam for beam in beams if filled(beam) is not None]
    if not beams:
        return None
    most = max(most, min(beam.wide for beam in beams))
    beams = [beam for beam in beams if beam.wide <= most]
    talls, wides = (sorted(set(sizes)) for sizes in zip(*beams, strict=True))
    up_down = outward(shop, [2 * half for beam in beams for half in beam.halves])
    uneven = [beam.halves[1] - beam.halves[0] for beam in (_Beam(tall, 0.0) for tall in talls)]
    aside = [outward(shop, wides, "y", talls, side, uneven) for side in ((1, -1) if shop.bent else (1,))]
    aside *= 3 - len(aside)
    best: tuple[float, Any, list[int]] = (0.0, None, [])
    for beam in beams:
        inside, left_over, _ = filled(beam)
        parts = [up_down.worth(half) for half in beam.halves]
        parts += [out.worth(beam.wide / 2, talls.index(beam.tall)) for out in aside]
        parts.append(inside)
        if len(shop.still) == 1:
            worth, states = float(sum(part[0] for part in parts)), [0] * 5
        else:
            worth, states = shared_out(shop, parts)
        if worth - left_over * TINY > best[0]:
            best = (worth - left_over * TINY, beam, states)
    beam, states = best[1:]
    return _laid_out(shop, beam, states, up_down, aside, talls.index(beam.tall), filled(beam)[2], a_side)


def _beams(shop: Shop) -> list[_Beam]:
    """Beams that keep the rule, with whole faces."""
    low, high = shop.span("x")
    least_tall = ceil((high - low) / STEADY / GRID_IN - TINY) * GRID_IN
    step = max(shop.width_step, GRID_IN)
    narrowest = max(NARROW_IN, ceil(least_tall / STEADY / step - TINY) * step)
    widest = max(WIDE_IN, narrowest + 1.0)
    found = []
    for wide in np.arange(narrowest, widest + TINY, step):
        if abs(wide * 8 - round(wide * 8)) > TINY:
            continue
        for n in range(round(least_tall / GRID_IN), floor(STEADY * wide / GRID_IN + TINY) + 1):
            tall = n * GRID_IN
            beam = _Beam(tall, float(wide))
            further = beam.halves[1]
            room = float(shop.bed.half_chord_in(further, 0.0, "x")) - shop.log.sweep_in / 2
            if room >= wide / 2 - TINY and further <= shop.end_top("y") - shop.least_slab + TINY:
                found.append(beam)
    return found


def _filled(shop: Shop, beams: list[_Beam]) -> Callable[[_Beam], Any]:
    """Return what gives of a beam (worth by what is wanted, what is left over (in), its boards by state), or None."""
    plain = [cut for cut in shop.cuts if not cut.use]
    if len(shop.still) == 1 and all(cut.thick < TIMBER_IN for cut in plain):
        fill = _stacks(shop, plain, max((beam.tall for beam in beams), default=0.0))

        def of(beam: _Beam) -> tuple[np.ndarray, float, Any] | None:
            worth, left_over, cuts = fill(beam.tall)
            if not cuts:
                return None
            return np.array([worth * beam.wide * shop.log.length_ft / 12]), left_over, lambda _: cuts

        return of
    talls = sorted({beam.tall for beam in beams})
    some = set(talls[:: max(len(talls) // KEPT, 1)])
    return cache(lambda beam: _with_the_heart(shop, beam) if beam.tall in some else None)


def _stacks(shop: Shop, cuts: list[Cut], most: float) -> Any:
    """Return what gives of a height the best boards that fill it: (worth of an inch of width, left over, boards)."""
    many = round((most + shop.kerf) / GRID_IN) + 1
    best: list[tuple[float, int, Any]] = [(0.0, 0, ())] + [(-inf, 0, ())] * many
    for at in range(1, many + 1):
        for cut in cuts:
            if at >= cut.drop and best[at - cut.drop][0] > -inf:
                worth, boards, _ = best[at - cut.drop]
                worth += cut.worth * cut.nominal_in
                if worth > best[at][0]:
                    best[at] = (worth, boards + 1, cut)

    def fill(tall: float) -> Any:
        found: tuple[float, float, list[Any]] = (0.0, 0.0, [])
        for at in range(1, many + 1):
            worth, boards, _ = best[at]
            left_over = tall + shop.kerf - at * GRID_IN - boards * shop.loose
            if _filled_by(shop, left_over) and worth - abs(left_over) * TINY > found[0] - found[1] * TINY:
                taken, place = [], at
                while place:
                    taken.append(best[place][2])
                    place -= taken[-1].drop
                found = (worth, abs(left_over), taken)
        return found

    return fill


def _filled_by(shop: Shop, left_in: float) -> bool:
    """Whether boards fill a height, but for less than a sixteenth of it that is left, or that they lack.

    Where a mill drops by its scale, boards come out thicker than they are set by as much as they may lack.
    """
    return -TINY <= left_in < GRID_IN - TINY if shop.loose else -GRID_IN + TINY < left_in <= TINY


def _with_the_heart(shop: Any, beam: Any) -> Any:
    """As `_filled`, for a beam in which it matters where a timber lies, or which boards are wanted."""
    long = shop.log.length_ft

    @cache
    def best(line: Any, boards: Any, state: Any) -> Any:
        """Most worth from a line down (sixteenths from the flat on the bed), and the first board there."""
        upper = beam.halves[0] - line * GRID_IN - boards * shop.loose
        found = (-inf, None)
        for cut in shop.cuts:
            left = upper - cut.thick + beam.halves[1]
            width = cut.width or beam.wide
            last = _filled_by(shop, left)
            if (
                left < -TINY
                and not last
                or width > beam.wide + TINY
                or cut.use
                and not shop.still[state, cut.kind]
            ):
                continue
            inside = cut.thick / 2 - abs(upper - cut.thick / 2)
            if cut.thick >= TIMBER_IN and abs(inside) < HEART_IN - TINY:
                continue
            length = float(cut.lengths[0])
            worth = cut.worth * cut.nominal_in / 12 * width * length
            if not last:
                worth += best(line + cut.drop, boards + 1, state - cut.use)[0]
            if length <= long + TINY and worth > found[0]:
                found = (worth, cut)
        return found

    def taken(state: Any) -> Any:
        cuts: list[Cut] = []
        line = 0
        while True:
            cut = best(line, len(cuts), state)[1]
            cuts.append(cut)
            left = beam.tall - line * GRID_IN - (len(cuts) - 1) * shop.loose - cut.thick
            line, state = line + cut.drop, state - cut.use
            if _filled_by(shop, left):
                return cuts

    worths = np.array([best(0, 0, state)[0] for state in range(len(shop.still))])
    return (worths, 0.0, taken) if worths[0] > -inf else None


def _laid_out(
    shop: Shop,
    beam: _Beam,
    states: list[int],
    up_down: Any,
    aside: list[Any],
    run: int,
    taken: Any,
    a_side: int,
) -> SawingPlan:
    """Lay out the four faces and the beam."""
    bench = Bench(shop)
    beside, ends = (beam.wide / 2, beam.wide / 2), (-beam.halves[1], beam.halves[0])
    sides = [side_boards(shop, up_down, half, s) for half, s in zip(beam.halves, states[:2], strict=True)]
    off_the_sides(bench, sides, beam.halves, a_side)
    sides = [side_boards(shop, out, beside[0], s, run) for out, s in zip(aside, states[2:4], strict=True)]
    as_wide = [
        [
            (outer, cut, place._replace(middle=sum(ends) / 2) if place.width == beam.tall else place)
            for outer, cut, place in boards
        ]
        for boards in sides
    ]
    off_the_sides(bench, as_wide, beside, _before_a_turn(shop, sides, beam, a_side), between=ends)
    _through(bench, beam, taken(states[4]))
    return bench.plan("cant", beam.tall, beam.wide)


def _before_a_turn(shop: Shop, sides: list[list[Any]], beam: _Beam, a_side: int) -> int:
    """How many boards come off face 2 or 4 before a turn: as asked for, or more for a foot that keeps the rule."""
    for many in range(a_side, max(map(len, sides), default=0)) if a_side else ():
        for boards, side in zip(sides, (1, -1), strict=True):
            if len(boards) > many:
                outer, cut, _ = boards[many - 1]
                if not _steady_on(shop, beam.tall, outer - cut.thick - shop.kerf, side):
                    break
        else:
            return many
    return 0


def _steady_on(shop: Shop, held: float, line: float, side: int = 1) -> bool:
    """Whether a cant keeps the rule, turned onto a line that far from the pith on face 2 (or 4: `side` -1)."""
    foot = 2 * float(shop.bed.half_chord_in(line + side * shop.log.sweep_in / 2, 0.0, "y"))
    low, high = shop.span("x")
    return line + (high if side < 0 else -low) <= STEADY * min(foot, held)


def _through(bench: Bench, beam: _Beam, cuts: list[Cut]) -> None:
    """Lay out the beam, on face 1 after a quarter turn: sawn through from face 3, its boards named from the bed up.

    The board at face 3 takes what is left over, the one on the bed what is lacking: less than a sixteenth of an inch.
    """
    (half, far), ends, kerf = beam.halves, (-beam.wide / 2, beam.wide / 2), bench.shop.kerf
    setup, long = bench.passes[-1].setup + 1, bench.shop.log.length_ft
    lacks = min(half + far + kerf - sum(cut.thick + kerf for cut in cuts), 0.0)
    lines, upper = [], half
    for cut in cuts:
        lines.append((upper - cut.thick - lacks, upper))
        upper, lacks = lines[-1][0] - kerf, 0.0
    lines[-1] = (-far, lines[-1][1])
    above = 0
    for at in range(len(cuts) - 1, -1, -1):
        cut, faces = cuts[at], lines[at]
        length = float(cut.lengths[0])
        place = Place(cut.width or beam.wide, length, long - length, 0.0)
        number = bench.flitch(True, ends, faces, cut, place, half - faces[1])
        if at:
            bench.add("sawdust", True, ends, (faces[1], lines[at - 1][0]))
            turn = 90 if at == len(cuts) - 1 else 0
            height = half - lines[at - 1][0]
            bench.passes.append(Pass(setup, "cant", turn, 3, height, number, 0))
        above = number
    bench.passes[-1] = bench.passes[-1]._replace(board_below=above)
