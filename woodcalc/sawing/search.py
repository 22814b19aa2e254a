"""Which saw lines serve best: dynamic programming over lines on sixteenths of an inch, a kerf at each.

A run of boards goes from saw line to saw line. What the rest of a run can still give depends only on the line
that it has come to and on the boards that are still wanted, so the best is built up from the last line to the
first.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import ceil, floor, inf, prod, sqrt
from typing import Any, NamedTuple

import numpy as np

from woodcalc.checks import InputError, within
from woodcalc.logs import Log
from woodcalc.sawing.bent import Bent
from woodcalc.sawing.frustum import Frustum, TooThin
from woodcalc.sizes import counted_in, quarters_held, sawn_in, thickness_name

GRID_IN = 1 / 16  # saw lines lie on sixteenths: the marks of a mill's height scale
TINY = 1e-9
TIMBER_IN = 4.0  # what is as thick, or more, is called a timber here
HEART_IN = 1.0  # common practice: a timber's faces keep at least that far from the pith, inside or out
_FIRST = 1e6  # a wanted board foot outweighs any number of others


@dataclass(frozen=True)
class Wanted:
    """A board to be had first: so many of one thickness, width and length.

    Attributes
    ----------
    count : int
        How many, 1 to 500.
    thickness_in, width_in : float
        Green sawn size (in).
    length_ft : float
        Length (ft).
    nominal : str
        Its name, e.g. ``"2x8"``; from the sizes if left out.

    Examples
    --------
    >>> Wanted(8, 2.0, 8, 12).nominal
    '2x8'
    """

    count: int
    thickness_in: float
    width_in: float
    length_ft: float
    nominal: str = ""

    def __post_init__(self) -> None:
        within("count", self.count, 1, 500, "boards")
        within("thickness_in", self.thickness_in, 0.25, 16, "in")
        within("width_in", self.width_in, 1, 48, "in")
        within("length_ft", self.length_ft, 1, 66, "ft")
        if not self.nominal:
            object.__setattr__(self, "nominal", f"{self.thickness_in:g}x{self.width_in:g}")

    @classmethod
    def of(cls, row: Any) -> Wanted:
        """A `Wanted` from one, from its four values or five, or from a dict of them.

        Parameters
        ----------
        row : Wanted, sequence or dict
            What a learner asks for.
        """
        if isinstance(row, cls):
            return row
        try:
            return cls(**row) if isinstance(row, dict) else cls(*([] if isinstance(row, str) else row))
        except TypeError:
            raise InputError(
                f"wanted: {row!r}: expected (count, thickness_in, width_in, length_ft), e.g. (8, 2.0, 8, 12)."
            ) from None


class Place(NamedTuple):
    """A board's width (in) and length (ft), where it starts from the small end (ft), its middle (in)."""

    width: float
    length: float
    start: float = 0.0
    middle: float = 0.0


class Cut(NamedTuple):
    """A thickness, or a wanted board: what the search may put between two saw lines."""

    nominal: str
    nominal_in: float
    thick: float
    drop: int  # sixteenths from saw line to saw line; a kerf that is not on the grid comes on top
    lengths: np.ndarray  # ft, longest first
    width: float  # 0: whatever the log allows
    worth: float  # of a board foot
    use: int = 0  # how far one such board moves the index of what is still wanted; 0 if it is none of these
    kind: int = 0  # which of the wanted boards


@dataclass(frozen=True)
class Shop:
    """What is to be sawn and how: the log, the kerf, the boards that may be cut, the least sizes."""

    log: Log
    core: Frustum
    bed: Frustum  # the log as it lies on the bed, sweep not taken off
    bent: Bent | None  # the same with its bow; None for a straight log
    step: float  # from one place along a bent log to the next (ft)
    kerf: float
    loose: float  # the kerf if it is not a whole number of sixteenths, otherwise 0
    cuts: tuple[Cut, ...]
    still: np.ndarray  # (states, wanted kinds): how many of each are still wanted
    width_step: float
    least_width: float
    least_slab: float

    def span(self, across: str) -> tuple[float, float]:
        """From where to where the log reaches along an axis (in).

        Parameters
        ----------
        across : {"x", "y"}
        """
        if self.bent:
            return self.bent.span_in(across)
        half = float(self.core.half_in(across, self.log.length_ft))
        return -half, half

    def end_top(self, across: str) -> float:
        """How high both ends reach along an axis (in): a flat under that is as long as the log.

        Parameters
        ----------
        across : {"x", "y"}
        """
        bow = self.log.sweep_in / 2 if across == "x" else 0.0
        return float(self.bed.half_in(across)) - bow

    @property
    def pitch(self) -> float:
        """Least distance from one saw line to the next (in)."""
        return min(c.drop for c in self.cuts) * GRID_IN + self.loose

    def pith_height(self, axis: str) -> float:
        """Height of the pith above the bed, up to the next sixteenth, the half `axis` of the log below it.

        A bowed log is first laid with the bow level; turned by a quarter it lies on its ends, the bow up, and the
        straight core half the sweep higher.

        Parameters
        ----------
        axis : {"x", "y"}
            Level, or up.
        """
        bow = self.log.sweep_in / 2 if axis == "x" else 0.0
        return ceil((self.bed.half_in(axis, self.log.length_ft) + bow) / GRID_IN - TINY) * GRID_IN


def shop_for(
    log: Log,
    kerf: float,
    thicknesses: Sequence[float | str] | Mapping[str, float],
    wanted: Sequence[Wanted],
    value: Mapping[str, float] | float | None,
    drop_step: float | None,
    width_step: float,
    length_step: float,
    least_width: float,
    least_length: float,
    slab: float,
) -> Shop:
    """Return the `Shop` for the settings of `sawing.saw`, all of them checked.

    Parameters
    ----------
    log : Log
    kerf : float
        In.
    thicknesses : sequence or mapping
        As in `sawing.saw`, and so are `wanted` and `value`.
    wanted : sequence of Wanted
    value : mapping, float or None
    drop_step, width_step : float
        What the mill's scale and the edger go by (in).
    length_step : float
        What boards are trimmed to (ft).
    least_width, least_length : float
        Of a board (in, ft).
    slab : float
        Least thickness of the first slab (in).
    """
    hint = "Every saw turns some wood to dust: a thin band about 1/16, a circular saw about 1/4."
    kerf = within("kerf_in", kerf, 0.02, 0.75, "in", hint)
    width_step = within("width_step_in", width_step, 1 / 16, 4, "in")
    length_step = within("length_step_ft", length_step, 0.5, 16, "ft")
    least_width = within("least_width_in", least_width, 0.5, 24, "in")
    least_length = within("least_length_ft", least_length, 0.5, 66, "ft")
    slab = within("least_slab_in", slab, 0, 12, "in")
    names = thickness_names(thicknesses)
    every = value is None or np.isscalar(value)
    worth: Any = dict.fromkeys(names, 1.0 if value is None else value) if every else value
    if not hasattr(worth, "keys"):
        raise InputError('value_per_bf: expected the worth of a board foot by thickness, e.g. {"4/4": 1.5}.')
    for name in names:
        if name not in worth:
            raise InputError(
                f"value_per_bf has no worth for {name}; it has {', '.join(map(str, worth)) or 'none'}."
            )
        within(f"value_per_bf[{name!r}]", worth[name], 0, 1000)

    wanted = tuple(wanted)
    sizes = [w.count + 1 for w in wanted]
    if prod(sizes) > 500:
        raise InputError(
            "wanted: too many boards to search at once; ask for fewer kinds or smaller counts per log."
        )
    still = np.array(np.unravel_index(np.arange(prod(sizes)), sizes or (1,))).T
    steps = [prod(sizes[i + 1 :]) for i in range(len(sizes))]

    loose = 0.0
    if drop_step is None:
        on_grid = abs(kerf / GRID_IN - round(kerf / GRID_IN)) < TINY
        loose = 0.0 if on_grid else kerf
    else:
        within("drop_step_in", drop_step, GRID_IN, 4, "in")
        if abs(drop_step / GRID_IN - round(drop_step / GRID_IN)) > 1e-6:
            raise InputError(f"drop_step_in = {drop_step:g}: expected sixteenths of an inch.")

    def sized(thick: float) -> tuple[float, int]:
        """Return (thickness off this mill, sixteenths from saw line to saw line less the loose kerf)."""
        thick = ceil(thick / GRID_IN - 1e-6) * GRID_IN
        if drop_step is not None:
            drop = ceil((thick + kerf) / drop_step - 1e-6) * drop_step
            return drop - kerf, round(drop / GRID_IN)
        return thick, round((thick + kerf - loose) / GRID_IN)

    length = log.length_ft
    shorter = np.arange(length, min(least_length, length) - TINY, -length_step)
    cuts = [Cut(n, _counted_in(n, t), *sized(t), shorter, 0.0, float(worth[n])) for n, t in names.items()]
    for kind, (w, step) in enumerate(zip(wanted, steps, strict=True)):
        if w.length_ft <= length + TINY:
            counted, only = _counted_in(w.nominal, w.thickness_in), np.array([float(w.length_ft)])
            size = sized(w.thickness_in)
            cuts.append(Cut(w.nominal, counted, *size, only, float(w.width_in), _FIRST, step, kind))

    # Sweep: a straight log thinner by the sweep lies inside every section of the bent one, wherever its axis
    # wanders by half the sweep to either side. The oval keeps its shape, so its short axis sets the loss.
    stretch = sqrt(log.oval_ratio)
    lost = log.sweep_in / 2 * stretch
    small, large = log.small_in / 2, log.large_end_in / 2
    if small - lost < 0.25:
        raise TooThin(f"a sweep of {log.sweep_in:g} in leaves no straight log in one of {log.small_in:g} in.")
    core = Frustum(small - lost, large - lost, length, stretch)
    bed = Frustum(small, large, length, stretch)
    bent = Bent(bed, float(log.sweep_in)) if log.sweep_in else None
    return Shop(
        log, core, bed, bent, length_step, kerf, loose, tuple(cuts), still, width_step, least_width, slab
    )


def thickness_names(thicknesses: Sequence[float | str] | Mapping[str, float]) -> dict[str, float]:
    """Return {name: thickness} from a list or a mapping; a list is named by the quarters that each holds.

    Quarters in a list, "4/4", stand for the thickness that they are sawn to green.

    Parameters
    ----------
    thicknesses : sequence or mapping
        Sawn thicknesses (in), or names of quarters.
    """
    names: Any = thicknesses
    if not hasattr(thicknesses, "items"):
        listed: Any = [thicknesses] if np.ndim(thicknesses) == 0 else list(thicknesses)
        names = {}
        for t in listed:
            if isinstance(t, str) and "/" in t:
                names[thickness_name(t)] = sawn_in(t)
                continue
            within("thicknesses_in", t, 0.25, 16, "in")
            name = quarters_held(float(t))
            names[name if name not in names else f"{float(t):g} in"] = float(t)
    if not names:
        raise InputError(
            "thicknesses_in is empty: give at least one green sawn thickness, e.g. [1.125] for 4/4."
        )
    hint = "Give the green sawn thickness in inches, e.g. 1.125 for 4/4."
    return {str(n): within("thicknesses_in", t, 0.25, 16, "in", hint) for n, t in names.items()}


def _counted_in(name: str, thick: float) -> float:
    """Thickness counted in board feet (in): from the name (5/4, 2x8), or the quarters that the board holds."""
    named = re.match(r"\s*(\d+/4\s*$|\d+(?:\.\d+)?(?=\s*x))", name)
    return counted_in(named[1] if named else quarters_held(thick))


def _edged(shop: Shop, room: float | np.ndarray, cap: float | np.ndarray = inf) -> np.ndarray:
    """Width after edging, given the room (in); a board as wide as the cant keeps the cant's faces."""
    step = shop.width_step
    width = np.floor(room / step + TINY) * step
    if np.ndim(cap) or cap < inf:
        width = np.where(room >= cap - TINY, cap, np.minimum(width, cap))
    return np.where(width >= shop.least_width - TINY, width, 0.0)


def _worth(shop: Shop, cut: Cut, rooms: list[np.ndarray], cap: float | np.ndarray = inf) -> np.ndarray:
    """Worth of the best board of this kind, given the room (in) at each length; -inf where there is none.

    `cap` may be an array of cant heights that broadcasts against the rooms.
    """
    # a cant narrower than any board gives none
    cap = np.where(np.less(cap, shop.least_width - TINY), 0.0, cap)
    on_step = np.isinf(cap).all() or (np.abs(cap / shop.width_step % 1) < TINY).all()
    best = 0.0
    for room, length in zip(rooms, cut.lengths, strict=True):
        if cut.width:
            width = np.where(np.minimum(room, cap) >= cut.width - TINY, cut.width, 0.0)
        elif on_step:  # edging and capping may change places, and the edging is done once for all cants
            width = np.minimum(_edged(shop, room), cap)
        else:
            width = _edged(shop, room, cap)
        best = np.maximum(best, width * length)
    return np.where(best > 0, best * (cut.worth * cut.nominal_in / 12), -inf)


def _size(shop: Shop, cut: Cut, lower: float, axis: str, cap: float = inf, less: float = 0.0) -> Place:
    """The best board over one saw line, a `Place`; the longest among equals, then the one nearest to the large end."""
    places = _places(shop, cut, lower, lower + cut.thick, axis)
    rooms, lengths = np.array([float(p[2]) - less for p in places]), np.array([p[0] for p in places])
    if cut.width:
        widths = np.where(np.minimum(rooms, cap) >= cut.width - TINY, cut.width, 0.0)
    else:
        widths = np.array([float(_edged(shop, r, cap)) for r in rooms])
    best = int(np.argmax(np.round(widths * lengths, 6)))
    length, start, _, middle = places[best]
    return Place(float(widths[best]), float(length), float(start), float(middle))


def _places(shop: Shop, cut: Cut, lower: float | np.ndarray, upper: float | np.ndarray, axis: str) -> Any:
    """Where a board between two levels fits: [(length, start, room along `axis`, its middle)], longest first."""
    across = "y" if axis == "x" else "x"
    if not shop.bent:
        outer = _outer(shop, lower, upper, across)
        whole = shop.log.length_ft
        return [(b, whole - b, 2 * shop.core.half_chord_in(outer, whole - b, axis), 0.0) for b in cut.lengths]
    found = shop.bent.rooms_in(lower, upper, axis, cut.lengths, shop.step)
    if shop.least_slab:
        slab = _beyond(upper, shop, across) | _beyond(-np.asarray(lower), shop, across)
        found = [(length, start, np.where(slab, 0.0, room), mid) for length, start, room, mid in found]
    return found


def _beyond(face: Any, shop: Any, across: Any) -> Any:
    """Whether a face lies so far out that less than the least slab is left at the small end."""
    return np.asarray(face) > shop.end_top(across) - shop.least_slab + TINY


def _outer(
    shop: Shop, lower: float | np.ndarray, upper: float | np.ndarray, across: str
) -> float | np.ndarray:
    """Distance of a board's outer face from the pith of a straight log, infinite where the slab would be too thin."""
    outer = np.maximum(np.abs(lower), np.abs(upper))
    return np.where(_beyond(outer, shop, across), inf, outer) if shop.least_slab else outer


def _rooms(shop: Shop, cut: Cut, lower: Any, axis: str) -> list[np.ndarray]:
    """Room (in) along `axis` for a board over a lower face, for each of its lengths."""
    best: dict[float, Any] = {}
    if shop.bent:  # the same few lines come again in every row, and a bow takes long
        shape = np.shape(lower)
        lower, again = np.unique(np.round(lower, 9), return_inverse=True)
        again = again.reshape(shape)  # flat in some NumPy
    for length, _, room, _ in _places(shop, cut, lower, lower + cut.thick, axis):
        best[length] = np.maximum(best[length], room) if length in best else room
    return [room[again] for room in best.values()] if shop.bent else list(best.values())


def _chord_rooms(shop: Shop, cut: Cut, outer: float | np.ndarray, axis: str) -> Any:
    """Room (in) along `axis` in the straight log for a board with its outer face `outer` from the pith, by length."""
    core, length = shop.core, shop.log.length_ft
    across = "y" if axis == "x" else "x"
    if shop.least_slab:
        outer = np.where(outer > core.half_in(across) - shop.least_slab + TINY, inf, outer)
    return [2 * core.half_chord_in(outer, length - board, axis) for board in cut.lengths]


def runs(shop: Shop, worths: Sequence[np.ndarray], slacks: Sequence[int]) -> np.ndarray:
    """Best worth from every saw line on, for a run of boards.

    Line (n, j) is the (n+1)-th of the run: n times the least pitch from the first, and j sixteenths of
    thicker boards or of a later start. `worths[i]` has shape (runs, n, j): board i begun at that line.
    Returns (n + 1, wanted states, runs, j + a margin), the value of what still can be cut; zero beyond the
    last line.

    Parameters
    ----------
    shop : Shop
        The log, the saw and what is wanted, as `shop_for` makes it.
    worths : sequence of ndarray
        One a kind of board.
    slacks : sequence of int
        Sixteenths that each kind takes beyond the least pitch.
    """
    many, rows, span = worths[0].shape
    best = np.zeros((rows + 1, len(shop.still), many, span + max(slacks)))
    for row in range(rows - 1, -1, -1):
        now = best[row, ..., :span]
        for cut, worth, slack in zip(shop.cuts, worths, slacks, strict=True):
            then = best[row + 1, ..., slack : slack + span]
            if cut.use:
                have = _have(shop, cut)
                now[have] = np.maximum(now[have], worth[:, row] + then[have - cut.use])
            else:
                np.maximum(now, worth[:, row] + then, out=now)
    return best


def _have(shop: Any, cut: Any) -> Any:
    """States in which a wanted board of this kind is still wanted."""
    return np.flatnonzero(shop.still[:, cut.kind] > 0)


def follow(
    shop: Shop,
    worths: Sequence[np.ndarray],
    slacks: Sequence[int],
    best: np.ndarray,
    run: int,
    state: int,
    at: int,
) -> list[tuple[int, int, int]]:
    """Return [(row, j, board kind)] of the best run that starts at line `at` with `state` still wanted.

    Parameters
    ----------
    shop : Shop
        The log, the saw and what is wanted, as `shop_for` makes it.
    worths, slacks :
        As in `runs`.
    best : ndarray
        What `runs` returned.
    run, state, at : int
        Which run, what is still wanted, and where it starts.
    """
    picks = []
    for row in range(best.shape[0] - 1):
        left = best[row, state, run, at]
        if left <= 0:
            break
        for i, (cut, worth, slack) in enumerate(zip(shop.cuts, worths, slacks, strict=True)):
            if cut.use and not shop.still[state, cut.kind]:
                continue
            gain = worth[run, row, at] + best[row + 1, state - cut.use, run, at + slack]
            if gain >= left:
                picks.append((row, at, i))
                state, at = state - cut.use, at + slack
                break
    return picks


def shared_out(shop: Shop, parts: Sequence[np.ndarray]) -> tuple[float, list[int]]:
    """Return (most worth, state for each part): the wanted boards shared out over the parts of a log.

    Parameters
    ----------
    shop : Shop
        The log, the saw and what is wanted, as `shop_for` makes it.
    parts : sequence of ndarray
        The best worth of each part of the log, by the state it begins with.
    """
    totals = [parts[0]]
    for part in parts[1:]:
        before = totals[-1]
        total = np.full(len(before), -inf)
        for s, have in enumerate(shop.still):
            enough = np.flatnonzero((shop.still >= have).all(axis=1))
            total[enough] = np.maximum(total[enough], before[enough - s] + part[s])
        totals.append(total)
    state, states = len(shop.still) - 1, []
    most = totals[-1][state]
    for before, part in zip(totals[-2::-1], parts[:0:-1], strict=True):
        enough = np.flatnonzero((shop.still <= shop.still[state]).all(axis=1))
        s = int(enough[np.argmax(before[state - enough] + part[enough])])
        states.append(s)
        state -= s
    return most, [state, *states[::-1]]


def down(
    shop: Shop, axis: str, caps: Sequence[float] = (inf,), opening: float | None = None, slab: float = 0.0
) -> tuple[Any, ...]:
    """Search runs of boards from one side of the log to the other, widths along `axis` and at most `caps`.

    Returns (line(row, j), worths, slacks, best, first lines that need to be looked at, for any start and for one that
    leaves a `slab` (in) at the small end).

    Parameters
    ----------
    shop : Shop
        The log, the saw and what is wanted, as `shop_for` makes it.
    axis : {"x", "y"}
        Of the widths.
    caps : sequence of float
        Greatest widths to try (in).
    opening : float, optional
        The first line (in above the pith), if it is given.
    slab : float
        That the one start leaves at the small end (in).
    """
    across = "y" if axis == "x" else "x"
    foot, half = shop.span(across)
    slacks = [c.drop - min(c.drop for c in shop.cuts) for c in shop.cuts]
    start = floor(half / GRID_IN) * GRID_IN if opening is None else opening
    rows = max(int((start - foot) / shop.pitch) + 1, 1)

    def line(row: Any, j: Any) -> Any:
        return start - row * shop.pitch - j * GRID_IN

    if opening is None:
        # A start so deep that a plain board would fit above it cannot be best: that board could be added. (With a
        # kerf off the grid its line would not be one that the scale shows, so every start has to be tried.)
        first = np.arange(int((half - foot) / GRID_IN) + 1)
        reach = len(first)
        skip = ceil((start - shop.end_top(across) + slab) / GRID_IN - TINY) if slab else 0
        for cut in (c for c in shop.cuts if not c.use and not shop.loose and c.thick < TIMBER_IN):
            fits = np.flatnonzero(
                _worth(shop, cut, _rooms(shop, cut, line(0, first) - cut.thick, axis), max(caps)) > 0
            )
            if len(fits):
                reach = min(reach, max(int(fits[0]), skip) + cut.drop + 1)
    else:
        reach, skip = 1, 0
    span = min(reach + (rows - 1) * max(slacks), int((start - foot) / GRID_IN) + 1)
    lines = line(np.arange(rows)[:, None], np.arange(max(span, 1)))
    worths = []
    for cut in shop.cuts:
        rooms = _rooms(shop, cut, lines - cut.thick, axis)
        worth = _worth(shop, cut, rooms, np.array(caps)[:, None, None])
        worths.append(np.where(_keeps_the_heart(cut, lines), worth, -inf))
    if opening is not None:  # above the pith the mill goes on dropping even where nothing is wide enough
        for worth, cut in zip(worths, shop.cuts, strict=True):
            if not cut.use:
                worth[np.isneginf(worth) & (lines > 0)] = 0.0
    best, reach = runs(shop, worths, slacks), min(reach, lines.shape[1])
    return line, worths, slacks, best, slice(reach), slice(min(skip, reach - 1), reach)


def _keeps_the_heart(cut: Cut, lines: Any) -> np.ndarray:
    """False where a timber under a saw line would have the pith at its face: it splits there, and bows."""
    inside = cut.thick / 2 - np.abs(lines - cut.thick / 2)
    return (cut.thick < TIMBER_IN) | (np.abs(inside) >= HEART_IN - TINY)


def stack_of(
    shop: Shop, search: tuple[Any, ...], axis: str, run: int, state: int, cap: float = inf, slab: bool = False
) -> list[tuple[float, Cut, Place]]:
    """Return the boards of a run, [(upper face, kind, place)], from the top down; `slab`: one is left.

    Parameters
    ----------
    shop : Shop
        The log, the saw and what is wanted, as `shop_for` makes it.
    search : tuple
        What `down` returned, along the same `axis`.
    axis : {"x", "y"}
        Of the widths.
    run, state : int
        Which start, and what is still wanted.
    cap : float
        Greatest width (in).
    slab : bool
        Whether a slab is left.
    """
    line, worths, slacks, best, *starts = search
    start = starts[slab]
    at = start.indices(best.shape[-1])[0] + int(np.argmax(best[0, state, run, start]))
    boards = []
    for row, j, i in follow(shop, worths, slacks, best, run, state, at):
        cut, top = shop.cuts[i], float(line(row, j))
        if worths[i][run, row, j] > 0:
            boards.append((top, cut, _size(shop, cut, top - cut.thick, axis, cap)))
        else:
            boards.append((top, cut, Place(0.0, 0.0)))
    while boards and not boards[-1][2].width:
        boards.pop()
    return boards


class Outward(NamedTuple):
    """Boards from a cant's face outward, searched: what `outward` found, and for which face."""

    worths: list[np.ndarray]
    slacks: list[int]
    best: np.ndarray
    low: int  # first line, in sixteenths from the pith
    axis: str  # of the widths
    caps: Sequence[float]  # greatest widths (in), one a run
    side: int  # 1 toward faces 1 and 2, -1 toward faces 3 and 4
    uneven: Sequence[
        float
    ]  # how much further than the other one of the faces lies that cap a width (in), one a run

    def worth(self, half: float, run: int = 0) -> np.ndarray:
        """Best worth from a cant's face at `half` (in from the pith) outward, by what is still wanted.

        Parameters
        ----------
        half : float
            In.
        run : int
            Which of the caps.
        """
        return np.asarray(self.best[0, :, run, round(half / GRID_IN) - self.low])


def outward(
    shop: Shop,
    cants: Sequence[float],
    axis: str = "x",
    caps: Sequence[float] = (inf,),
    side: int = 1,
    uneven: Sequence[float] = (0.0,),
) -> Outward:
    """Search boards from a cant's face outward, widths along `axis` and at most `caps`.

    Parameters
    ----------
    shop : Shop
        The log, the saw and what is wanted, as `shop_for` makes it.
    cants : sequence of float
        Heights of the cant to try, across `axis` (in).
    axis : {"x", "y"}
        Of the widths.
    caps : sequence of float
        Greatest widths to try (in).
    side : {1, -1}
        Toward faces 1 and 2, or 3 and 4: not the same for a bowed log where the bow lies along the thickness.
    uneven : sequence of float
        How much further from the pith than the other one of the two faces lies that are a cap apart (in), for each.
    """
    low = round(min(cants) / 2 / GRID_IN)
    half = max(side * end for end in shop.span("y" if axis == "x" else "x"))
    slacks = [c.drop - min(c.drop for c in shop.cuts) for c in shop.cuts]
    span = max(int(half / GRID_IN) - low + 1, round(max(cants) / 2 / GRID_IN) - low + 1)
    rows = max(int((half - low * GRID_IN) / shop.pitch) + 1, 1)
    lines = (low + np.arange(span)) * GRID_IN + np.arange(rows)[:, None] * shop.pitch
    most, less = (np.array(each, dtype=float)[:, None, None] for each in (caps, uneven))
    worths = []
    for c in shop.cuts:
        inner = lines + shop.kerf
        rooms = _rooms(shop, c, inner if side > 0 else -inner - c.thick, axis)
        worths.append(_worth(shop, c, [room - less for room in rooms], most))
    return Outward(worths, slacks, runs(shop, worths, slacks), low, axis, caps, side, uneven)


def side_boards(
    shop: Shop, out: Outward, half: float, state: int, run: int = 0
) -> list[tuple[float, Cut, Place]]:
    """Return the side boards over a cant's face, [(outer face, kind, place)], from the outside in.

    Parameters
    ----------
    shop : Shop
        The log, the saw and what is wanted, as `shop_for` makes it.
    out : Outward
        What `outward` returned.
    half : float
        Half height of the cant (in).
    state : int
        What is still wanted.
    run : int
        Which of its caps.
    """
    worths, slacks, best, low, axis, caps, side, uneven = out
    boards = []
    for row, j, i in follow(shop, worths, slacks, best, run, state, round(half / GRID_IN) - low):
        cut = shop.cuts[i]
        inner = (low + j) * GRID_IN + row * shop.pitch + shop.kerf
        lower = inner if side > 0 else -inner - cut.thick
        boards.append((inner + cut.thick, cut, _size(shop, cut, lower, axis, caps[run], uneven[run])))
    return boards[::-1]


def quarter_steps(shop: Shop, axis: str) -> list[tuple[Any, ...]]:
    """Search one quarter, boards taken by turns with their thickness along `axis` and across it.

    After n boards with their thickness along an axis, the quarter's flat lies at kerf/2 + n loose kerfs + one
    of the sums of n drops. Returns a list of (best worth (wanted states, place on x, place on y), worths of
    each kind here, lines on x, lines on y, next places of each kind) by steps.

    Parameters
    ----------
    shop : Shop
        The log, the saw and what is wanted, as `shop_for` makes it.
    axis : {"x", "y"}
        Of the thickness of the first board.
    """
    drops = [c.drop for c in shop.cuts]
    half = float(max(shop.core.half_in("x", shop.log.length_ft), shop.core.half_in("y", shop.log.length_ft)))
    sums = [np.zeros(1, dtype=int)]
    while len(sums) <= half / shop.pitch + 1:
        reach = np.unique(np.add.outer(sums[-1], drops))
        sums.append(reach[reach * GRID_IN <= half + max(drops) * GRID_IN])
    lines = [shop.kerf / 2 + n * shop.loose + s * GRID_IN for n, s in enumerate(sums)]
    other = {"x": "y", "y": "x"}
    count, layout = {"x": 0, "y": 0}, []
    while max(count.values()) < len(sums) - 1:
        layout.append((axis, dict(count)))
        count[axis] += 1
        axis = other[axis]
    nothing = np.zeros((len(shop.still), len(sums[count["x"]]), len(sums[count["y"]])))
    steps: list[tuple[Any, ...]] = [(nothing, None, None)]
    for axis, count in reversed(layout):
        near, inner = lines[count[axis]], lines[count[other[axis]]]
        then, worths, places = steps[0][0], [], []
        best = np.zeros((len(shop.still), len(lines[count["x"]]), len(lines[count["y"]])))
        for cut in shop.cuts:
            rooms = [
                np.subtract.outer(r / 2, inner)
                for r in _chord_rooms(shop, cut, near + cut.thick, other[axis])
            ]
            worth = _worth(shop, cut, rooms)  # (near, inner)
            place = np.searchsorted(sums[count[axis] + 1], sums[count[axis]] + cut.drop)
            place = np.minimum(place, len(sums[count[axis] + 1]) - 1)  # out there no board is left anyway
            worth, onward = (worth.T, then[:, :, place]) if axis == "y" else (worth, then[:, place, :])
            if cut.use:
                have = _have(shop, cut)
                best[have] = np.maximum(best[have], worth + onward[have - cut.use])
            else:
                np.maximum(best, worth + onward, out=best)
            worths.append(worth)
            places.append(place)
        steps.insert(0, (best, worths, places))
    return [(*step, lines) for step in steps]


def follow_quarter(
    shop: Shop, steps: list[tuple[Any, ...]], axis: str, state: int
) -> list[tuple[str, Cut, float, float]]:
    """Return [(axis of the thickness, kind, width, length)] of the best boards from one quarter.

    Parameters
    ----------
    shop : Shop
        The log, the saw and what is wanted, as `shop_for` makes it.
    steps : list
        What `quarter_steps` returned, along the same `axis`.
    axis : {"x", "y"}
        Of the thickness of the first board.
    state : int
        What is still wanted.
    """
    boards, at, count = [], {"x": 0, "y": 0}, {"x": 0, "y": 0}
    for (best, worths, places, lines), (after, *_) in pairwise(steps):
        left = best[state, at["x"], at["y"]]
        if left <= 0:
            break
        other = "x" if axis == "y" else "y"
        for cut, worth, place in zip(shop.cuts, worths, places, strict=True):
            if cut.use and not shop.still[state, cut.kind]:
                continue
            to = {**at, axis: int(place[at[axis]])}
            if worth[at["x"], at["y"]] + after[state - cut.use, to["x"], to["y"]] >= left:
                outer = lines[count[axis]][at[axis]] + cut.thick
                inner = lines[count[other]][at[other]]
                rooms = [r / 2 - inner for r in _chord_rooms(shop, cut, outer, other)]
                boards.append((axis, cut, *_quarter_size(shop, cut, rooms)))
                state, at = state - cut.use, to
                count[axis] += 1
                break
        axis = other
    return boards


def _quarter_size(shop: Shop, cut: Cut, rooms: list[float]) -> tuple[float, float]:
    """Width (in) and length (ft) of the best board of a quarter at one place; the longest among equals."""
    if cut.width:
        return cut.width, float(cut.lengths[0])
    widths = np.array([float(_edged(shop, r)) for r in rooms])
    best = int(np.argmax(np.round(widths * cut.lengths, 6)))
    return float(widths[best]), float(cut.lengths[best])
