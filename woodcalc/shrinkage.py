"""Sizes that change as wood dries: shrinkage, green target size, board shape, movement in service.

Wood does not shrink until its cell walls start to lose water (about 30 % moisture content for most species),
and then in proportion to the moisture lost. It shrinks least along the rays (radial) and about twice as much
along the rings (tangential). Everything here follows from those two facts and a board's place in the log.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import pi
from typing import Any, Literal

import numpy as np

from woodcalc import species as woods
from woodcalc.checks import FloatOrArray, InputError, Numbers, doubtful, plain, within
from woodcalc.sizes import dressed_in, lumber_size_in, nominal_in  # noqa: F401 - read through this module

_PUBLISHED_MC = 10.0  # coefficients C_R, C_T are stated for a start near 10 % MC (GTR-190 p. 13-15, eq. 13-3)


def _mc(name: str, value: Numbers) -> np.ndarray:
    return np.asarray(within(name, value, 0, 250, "% MC", "Moisture content is water / oven-dry wood x 100."))


def size_ratio(
    total_shrink_pct: Numbers,
    mc_from_pct: Numbers,
    mc_to_pct: Numbers,
    shrink_start_mc_pct: float = 30.0,
) -> FloatOrArray:
    """Return the size at `mc_to_pct` over the size at `mc_from_pct`, for a known total shrinkage.

    Shrinkage is linear in moisture content from `shrink_start_mc_pct` down to oven-dry, and none above it: the full
    formula, which also holds from green.

    Parameters
    ----------
    total_shrink_pct : float or array
        Shrinkage from green to oven-dry in that direction, % of the green size, 0 to 20.
    mc_from_pct, mc_to_pct : float or array
        Moisture content before and after, % of oven-dry weight, 0 to 250.
    shrink_start_mc_pct : float
        Moisture content at which shrinkage starts, %: 30 for most species (GTR-190 p. 4-5), less for a few.

    Returns
    -------
    float or ndarray
        Below 1 when drying, above 1 when taking up moisture.

    Raises
    ------
    InputError
        A shrinkage outside 0-20 % or a moisture content outside 0-250 %.

    References
    ----------
    Wood Handbook, FPL-GTR-190 (2010), eq. 13-1, p. 13-15.

    Examples
    --------
    >>> round(size_ratio(8.6, 80, 0), 4)
    0.914
    """
    total = np.asarray(within("total_shrink_pct", total_shrink_pct, 0, 20, "%")) / 100
    start = np.asarray(within("shrink_start_mc_pct", shrink_start_mc_pct, 15, 40, "% MC"))
    before = 1 - total * (1 - np.minimum(_mc("mc_from_pct", mc_from_pct), start) / start)
    after = 1 - total * (1 - np.minimum(_mc("mc_to_pct", mc_to_pct), start) / start)
    return plain(after / before)


def at_ring_angle(radial: Numbers, tangential: Numbers, ring_angle_deg: Numbers) -> FloatOrArray:
    """Return the shrinkage along a board face whose growth rings meet it at `ring_angle_deg`.

    ``tangential cos^2(a) + radial sin^2(a)``: the transformation of a small strain between axes turned by
    `a`, as for any material with two principal directions. Against the exact length of a shrunken line,
    ``sqrt((t cos a)^2 + (r sin a)^2)``, it is low by less than 0.1 point for any wood.

    Parameters
    ----------
    radial, tangential : float or array
        Shrinkage (or a movement coefficient) along the rays and along the rings, any one unit.
    ring_angle_deg : float or array
        0 = flat-sawn face (rings lie along the width), 90 = quarter-sawn (rings stand upright), degrees.

    Returns
    -------
    float or ndarray
        In the unit of `radial` and `tangential`.

    Raises
    ------
    InputError
        An angle outside 0-90.

    References
    ----------
    Standard mechanics of materials. How the ring angle sets the shrinkage of width and thickness is the subject of
    J. D. MacLean, FPL Report R1473 (1945).

    Examples
    --------
    >>> round(at_ring_angle(4.0, 8.6, 45), 2)
    6.3
    """
    hint = "Use the angle between the rings and the wide face, 0 to 90."
    angle = np.radians(within("ring_angle_deg", ring_angle_deg, 0, 90, "degrees", hint))
    cos2 = np.cos(angle) ** 2
    return plain(np.asarray(tangential) * cos2 + np.asarray(radial) * (1 - cos2))


def total_shrink_pct(species: str | woods.Species, ring_angle_deg: Numbers = 0.0) -> FloatOrArray:
    """Return shrinkage from green to oven-dry along a face at that ring angle, % of the green size.

    Parameters
    ----------
    species : str or Species
        A name that `woodcalc.species.get` knows, or the species itself.
    ring_angle_deg : float or array
        0 flat-sawn width (tangential) to 90 quarter-sawn width (radial).

    Returns
    -------
    float or ndarray

    Raises
    ------
    InputError
        Unknown species, or an angle outside 0-90.

    Examples
    --------
    >>> total_shrink_pct("white oak", 0), total_shrink_pct("white oak", 90)
    (10.5, 5.6)
    """
    wood = woods.get(species)
    return at_ring_angle(wood.shrink_radial_pct, wood.shrink_tangential_pct, ring_angle_deg)


def shrinkage_pct(
    species: str | woods.Species,
    mc_from_pct: Numbers,
    mc_to_pct: Numbers,
    ring_angle_deg: Numbers = 0.0,
) -> FloatOrArray:
    """Return shrinkage between two moisture contents, % of the size at the first; below 0 means swelling.

    Linear below the species' start of shrinkage, none above it; between flat-sawn and quarter-sawn as
    `at_ring_angle`. Values are species averages: single boards differ by a fifth and more. Lengthwise shrinkage
    (0.1 to 0.2 %) is left out.

    Parameters
    ----------
    species : str or Species
    mc_from_pct, mc_to_pct : float or array
        Moisture contents, % of oven-dry weight, 0 to 250.
    ring_angle_deg : float or array
        Angle between growth rings and the face that is measured along, degrees: for a board's width 0 is
        flat-sawn and 90 quarter-sawn; for its thickness give 90 minus that.

    Returns
    -------
    float or ndarray

    Raises
    ------
    InputError
        Unknown species, a moisture content outside 0-250 %, an angle outside 0-90.

    References
    ----------
    Wood Handbook, FPL-GTR-190 (2010), pp. 4-5 and 13-15.

    Examples
    --------
    >>> shrinkage_pct("white oak", 80, 6)       # flat-sawn width: 10.5 x 24/30
    8.4
    >>> shrinkage_pct("white oak", 80, 6, 90)   # quarter-sawn width: 5.6 x 24/30
    4.48
    """
    wood = woods.get(species)
    total = total_shrink_pct(wood, ring_angle_deg)
    ratio = size_ratio(total, mc_from_pct, mc_to_pct, wood.shrink_start_mc_pct)
    return plain(100 * (1 - np.asarray(ratio)))


def size_after(
    size_in: Numbers,
    species: str | woods.Species,
    mc_from_pct: Numbers,
    mc_to_pct: Numbers,
    ring_angle_deg: Numbers = 0.0,
) -> FloatOrArray:
    """Return the size after the moisture content has changed, in.

    Parameters
    ----------
    size_in : float or array
        Size at `mc_from_pct`, in, above 0.
    species, mc_from_pct, mc_to_pct, ring_angle_deg :
        As in `shrinkage_pct`.

    Returns
    -------
    float or ndarray

    Raises
    ------
    InputError
        As in `shrinkage_pct`, or a size that is not above 0.

    Examples
    --------
    >>> round(size_after(8.0, "northern red oak", 80, 8), 3)
    7.495
    """
    size = np.asarray(within("size_in", size_in, 1e-6, 1000, "in"))
    shrink = np.asarray(shrinkage_pct(species, mc_from_pct, mc_to_pct, ring_angle_deg))
    return plain(size * (1 - shrink / 100))


def movement_in(
    size_in: Numbers,
    species: str | woods.Species,
    mc_from_pct: Numbers,
    mc_to_pct: Numbers,
    ring_angle_deg: Numbers = 0.0,
    method: Literal["formula", "coefficient"] = "formula",
) -> FloatOrArray:
    """Return how much a piece grows (+) or shrinks (-) in service, in.

    Parameters
    ----------
    size_in : float or array
        Size at `mc_from_pct`, in.
    species, mc_from_pct, mc_to_pct, ring_angle_deg :
        As in `shrinkage_pct`.
    method : {"formula", "coefficient"}
        ``"formula"``: Wood Handbook (FPL-GTR-190, 2010) eq. 13-1. ``"coefficient"``: eq. 13-2 with the
        published C_R and C_T, meant for 6 to 14 % MC; outside that a `RangeWarning`. Some published rows stand
        for a group of woods: red oak's is a fifth above northern red oak's own shrinkage.

    Returns
    -------
    float or ndarray

    Raises
    ------
    InputError
        As in `shrinkage_pct`; an unknown method; no published coefficient for the species.

    Examples
    --------
    >>> round(movement_in(36, "black cherry", 6, 11), 2)
    0.45
    >>> round(movement_in(36, "black cherry", 6, 11, method="coefficient"), 2)
    0.45
    """
    wood = woods.get(species)
    size = np.asarray(within("size_in", size_in, 1e-6, 1000, "in"))
    if method == "formula":
        return plain(-size * np.asarray(shrinkage_pct(wood, mc_from_pct, mc_to_pct, ring_angle_deg)) / 100)
    if method != "coefficient":
        raise InputError(f'method = {method!r}: expected "formula" or "coefficient".')
    if wood.c_r is None or wood.c_t is None:
        raise InputError(f'no published movement coefficients for {wood.name}; use method="formula".')
    for name, mc in (("mc_from_pct", mc_from_pct), ("mc_to_pct", mc_to_pct)):
        doubtful(name, mc, 6, 14, "% MC", "the coefficients are made for 6 to 14 % (GTR-190 p. 13-15)")
    c = at_ring_angle(wood.c_r, wood.c_t, ring_angle_deg)
    return plain(size * c * (_mc("mc_to_pct", mc_to_pct) - _mc("mc_from_pct", mc_from_pct)))


def coefficient(total_shrink_pct: Numbers) -> FloatOrArray:
    """Return the movement coefficient (per 1 % MC) that belongs to a total shrinkage.

    ``C = S / (3000 - 20 S)``: the slope of `size_ratio` for a start at 10 % MC. A few printed rows are species-group
    values and do not follow it.

    Parameters
    ----------
    total_shrink_pct : float or array
        Green to oven-dry, % of the green size.

    Returns
    -------
    float or ndarray

    Raises
    ------
    InputError
        Outside 0-20 %.

    References
    ----------
    Wood Handbook, FPL-GTR-190 (2010), eq. 13-3, p. 13-16.

    Examples
    --------
    >>> round(coefficient(7.0), 5)   # white fir, tangential
    0.00245
    """
    s = np.asarray(within("total_shrink_pct", total_shrink_pct, 0, 20, "%"))
    return plain(s / (100 * 30 - (30 - _PUBLISHED_MC) * s))


@dataclass(frozen=True)
class FloorMovement:
    """A tongue-and-groove floor across its boards.

    Attributes
    ----------
    joint_gap_in : float
        Gap at each joint when the floor is driest, in.
    growth_in : float
        How much wider than laid the whole row wants to be when dampest, in: the least space to leave in all,
        half at each wall.
    boards : float
        Boards across the room, as laid.
    """

    joint_gap_in: float
    growth_in: float
    boards: float


def floor_movement(
    room_in: float,
    board_in: float,
    species: str | woods.Species,
    mc_laid_pct: float,
    mc_low_pct: float,
    mc_high_pct: float,
    ring_angle_deg: float = 0.0,
) -> FloorMovement:
    """Return joint gaps in the dry season and growth in the damp one for boards laid tight side by side.

    Each board is held at its own middle, so that a joint opens by what one board shrinks; in the damp season
    the closed row grows as one piece.

    Parameters
    ----------
    room_in : float
        Room across the boards, in.
    board_in : float
        Face width of one board, in.
    species : str or Species
    mc_laid_pct, mc_low_pct, mc_high_pct : float
        Moisture content when laid, and in the driest and the dampest season, %.
    ring_angle_deg : float
        0 flat-sawn to 90 quarter-sawn.

    Returns
    -------
    FloorMovement

    Raises
    ------
    InputError
        A board wider than the room, or seasons in the wrong order.

    References
    ----------
    Sizes by the full formula (GTR-190 eq. 13-1); the way the row acts is geometry.

    Examples
    --------
    >>> floor = floor_movement(144, 3.25, "white oak", 8, 6, 11)
    >>> round(floor.joint_gap_in, 3), round(floor.growth_in, 2)
    (0.025, 1.64)
    """
    within("board_in", board_in, 0.25, room_in, "in", "Is the room in feet?")
    if mc_low_pct > mc_high_pct:
        raise InputError(f"mc_low_pct = {mc_low_pct:g} is above mc_high_pct = {mc_high_pct:g}: swap them?")
    gap = max(0.0, -movement_in(board_in, species, mc_laid_pct, mc_low_pct, ring_angle_deg))
    growth = max(0.0, movement_in(room_in, species, mc_laid_pct, mc_high_pct, ring_angle_deg))
    return FloorMovement(gap, growth, room_in / board_in)


def critical_size_in(finished_in: Numbers, shrink_pct: Numbers, planing_in: Numbers) -> FloatOrArray:
    """Return the least green size that still finishes, in: ``(F + P) / (1 - Sh)``.

    Parameters
    ----------
    finished_in : float or array
        Finished size, in.
    shrink_pct : float or array
        Shrinkage from green to the moisture content at planing, % of the green size (`shrinkage_pct`).
    planing_in : float or array
        Wood planed away from both faces together, in.

    Returns
    -------
    float or ndarray

    Raises
    ------
    InputError
        A size, shrinkage or allowance out of range.

    References
    ----------
    T. D. Brown, Lumber Size Control, Part 2, Oregon State University Extension EM 8731 (2000), p. 12, for
    lumber planed green; the division by (1 - Sh) is from memory of Brown, OSU Forest Research Lab Special
    Pub. 14 (1986).

    Examples
    --------
    >>> round(critical_size_in(1.560, 0, 0.060), 3)   # EM 8731 p. 12
    1.62
    """
    finished = np.asarray(within("finished_in", finished_in, 0.05, 24, "in", "Is it in mm?"))
    planing = np.asarray(within("planing_in", planing_in, 0, 1, "in", "Give both faces together."))
    shrink = np.asarray(within("shrink_pct", shrink_pct, 0, 25, "%", "Give a percentage, not a fraction."))
    return plain((finished + planing) / (1 - shrink / 100))


def green_target_in(
    finished_in: Numbers,
    shrink_pct: Numbers,
    planing_in: Numbers,
    sawing_sd_in: Numbers,
    z: Numbers = 1.645,
) -> FloatOrArray:
    """Return the average green size to set the saw for, in: ``T = (F + P) / (1 - Sh) + Z S_T``.

    The critical size, plus room for the saw's own variation so that only the share that belongs to `z` falls
    below it.

    Parameters
    ----------
    finished_in, shrink_pct, planing_in :
        As in `critical_size_in`.
    sawing_sd_in : float or array
        Total sawing variation S_T (standard deviation of all thickness readings), in; `sawing_variation`.
    z : float or array
        Standard deviations between target and critical size: 1.645 leaves 5 % undersize (EM 8731 Table 2
        prints 1.65).

    Returns
    -------
    float or ndarray

    Raises
    ------
    InputError
        A value out of range.

    References
    ----------
    As `critical_size_in`, EM 8731 pp. 12 and 16.

    Examples
    --------
    >>> round(green_target_in(1.560, 0, 0.060, 0.030, z=2), 3)   # EM 8731 pp. 12 and 16
    1.68
    """
    sd = np.asarray(within("sawing_sd_in", sawing_sd_in, 0, 0.5, "in", "Is it in 1/32 in or mm?"))
    z = np.asarray(within("z", z, -5, 5))
    return plain(np.asarray(critical_size_in(finished_in, shrink_pct, planing_in)) + z * sd)


SPREAD_IN = 0.03  # of a mill that nobody has measured: a little over the example of lesson 3
PLANED_IN = 1 / 8  # both faces together, common practice


def usual_green_in(
    species: str | woods.Species, nominal: str, spread_in: float = SPREAD_IN, ring_angle_deg: float = 0.0
) -> float:
    """Return how thick to saw (in) so that a board dried to 8 % still planes to its usual size.

    Where a wood's shrinkage is its group's and not its own, the doubt about it widens the saw's spread.

    Parameters
    ----------
    species : str or Species
    nominal : str
        Rough thickness by name, whose planed size the trade lists.
    spread_in : float
        The saw's, one standard deviation (in).
    ring_angle_deg : float
        Growth rings against the face, 0 to 90: 0 shrinks most in thickness where the face is the wide one.

    Returns
    -------
    float

    Raises
    ------
    InputError
        An unknown species or thickness, a spread out of range.

    References
    ----------
    `green_target_in`; the planed size by `sizes.dressed_in`.

    Examples
    --------
    >>> usual_green_in("northern red oak", "4/4")
    1.05
    """
    loss, finished_in = shrinkage_pct(species, 80, 8, ring_angle_deg), dressed_in(nominal)
    if varies := woods.get(species).shrink_varies:
        doubt_in = float(critical_size_in(finished_in, loss, PLANED_IN)) * varies * loss / (100 - loss)
        spread_in = float(np.hypot(spread_in, doubt_in))
    return float(green_target_in(finished_in, loss, PLANED_IN, spread_in))


def undersize_share(target_in: Numbers, critical_in: Numbers, sawing_sd_in: Numbers) -> FloatOrArray:
    """Return the share of readings below the critical size when the saw is set to `target_in`, 0 to 1.

    Thickness readings are taken as normally distributed about the target.

    Parameters
    ----------
    target_in, critical_in : float or array
        Average green size, and least green size that still finishes, in.
    sawing_sd_in : float or array
        Total sawing variation, in; 0 is a perfect saw.

    Returns
    -------
    float or ndarray

    Raises
    ------
    InputError
        A negative variation.

    References
    ----------
    T. D. Brown, EM 8731 (2000), Table 2, p. 16.

    Examples
    --------
    >>> round(undersize_share(1.125, 1.100, 0.025), 3)
    0.159
    """
    from scipy.special import ndtr

    sd = np.asarray(within("sawing_sd_in", sawing_sd_in, 0, 0.5, "in"))
    room = np.asarray(target_in, dtype=float) - np.asarray(critical_in, dtype=float)
    with np.errstate(divide="ignore", invalid="ignore"):
        share = np.where(sd > 0, ndtr(-room / sd), (room < 0) * 1.0)
    return plain(share)


def z_for_undersize(share: Numbers) -> FloatOrArray:
    """Return how many standard deviations above the critical size leave that share undersize.

    Parameters
    ----------
    share : float or array
        Undersize share, above 0 and below 1 (0.05 = 5 %).

    Returns
    -------
    float or ndarray

    Raises
    ------
    InputError
        A share that is not between 0 and 1.

    Examples
    --------
    >>> round(z_for_undersize(0.05), 3)
    1.645
    """
    from scipy.special import ndtri

    hint = "Give a fraction: 5 % is 0.05."
    return plain(-ndtri(np.asarray(within("share", share, 1e-6, 1 - 1e-6, "", hint))))


@dataclass(frozen=True)
class SawingVariation:
    """How evenly a saw cuts, from readings on several boards.

    Attributes
    ----------
    mean_in : float
        Mean of all readings, in.
    within_in : float
        Within boards (S_W): root of the mean of the boards' variances, in.
    between_in : float
        Between boards (S_B): standard deviation of the boards' averages, in.
    total_in : float
        Total (S_T): standard deviation of all readings, in.
    boards, readings : int
        How many boards, and readings in all.
    """

    mean_in: float
    within_in: float
    between_in: float
    total_in: float
    boards: int
    readings: int


def sawing_variation(readings_in: Sequence[Sequence[float]]) -> SawingVariation:
    """Return within-board, between-board and total sawing variation of thickness readings.

    S_B is not corrected for S_W, so that S_T^2 is not S_W^2 + S_B^2.

    Parameters
    ----------
    readings_in : list of lists of float
        One list of thickness readings per board, in; two or more boards, two or more readings on each.

    Returns
    -------
    SawingVariation

    Raises
    ------
    InputError
        Too few boards or readings, or a reading that cannot be a thickness.

    References
    ----------
    T. D. Brown, EM 8731 (2000), pp. 21-22.

    Examples
    --------
    >>> saw = sawing_variation([[1.12, 1.13, 1.11], [1.15, 1.14, 1.16], [1.10, 1.12, 1.11]])
    >>> round(saw.within_in, 3), round(saw.between_in, 4), round(saw.total_in, 4)
    (0.01, 0.0208, 0.02)
    """
    hint = "Is it in mm?"
    boards = [np.atleast_1d(within("readings_in", row, 0.05, 24, "in", hint)) for row in readings_in]
    if len(boards) < 2 or min(len(row) for row in boards) < 2:
        raise InputError("readings_in: expected two or more boards with two or more readings each.")
    every = np.concatenate(boards)
    return SawingVariation(
        mean_in=float(every.mean()),
        within_in=float(np.sqrt(np.mean([row.var(ddof=1) for row in boards]))),
        between_in=float(np.std([row.mean() for row in boards], ddof=1)),
        total_in=float(every.std(ddof=1)),
        boards=len(boards),
        readings=len(every),
    )


@dataclass(frozen=True)
class BoardShape:
    """The cross-section of a board before and after drying.

    Coordinates in inches about the green board's centre: x along its width, y along its thickness. Add
    `offset_in` for a place measured from the pith.

    Attributes
    ----------
    before, after : ndarray of shape (n, 2)
        Closed outlines, counter-clockwise, point by point in the same order. Of a board with the pith in it
        they run in to the pith and out again along the split: shut in `before`, open in `after`.
    offset_in : tuple of float
        Green board's centre measured from the pith, (x, y), in.
    width_in, thickness_in : float
        Size after drying: mean of the distances between corners, in.
    flat_thickness_in : float
        What is left once both faces are planed flat and parallel, in; below 0 if nothing is.
    cup_in : float
        Deepest gap under a straightedge laid across either wide face, in.
    hollow : str
        Which wide face is the hollow one: ``"upper"``, ``"lower"``, ``"both"`` or ``"none"``.
    trapezoid_in : float
        Upper face's width minus the lower's, after drying, in.
    diamond_deg : float
        How far the corners are from square: angle at the lower left minus 90, degrees.
    holds_pith : bool
        The pith is inside the board: it must split or stay under stress, and `after` shows the split open.
    split_deg : float
        Opening angle of that split, degrees; 0 otherwise.
    radial, tangential : float
        What is left of a length along a ray and along a ring: 0.96 for 4 % shrinkage.
    ray : float
        Direction from the pith (radians from the x axis) from which angles are counted: through the board's
        centre, or away from the split.
    tilt : float
        Turn (radians) that lays the dried board level.
    """

    before: np.ndarray
    after: np.ndarray
    offset_in: tuple[float, float]
    width_in: float
    thickness_in: float
    flat_thickness_in: float
    cup_in: float
    hollow: str
    trapezoid_in: float
    diamond_deg: float
    holds_pith: bool
    split_deg: float
    radial: float
    tangential: float
    ray: float
    tilt: float

    def moved(self, points_in: np.ndarray) -> np.ndarray:
        """Return where points of the green board lie after drying, such as growth rings to be drawn.

        Parameters
        ----------
        points_in : array of shape (..., 2)
            In the coordinates of `before`.

        Returns
        -------
        ndarray
            In the coordinates of `after`.

        Examples
        --------
        >>> board = board_shape(8, 1, 0, 4, "northern red oak", 80, 8)
        >>> bool(np.allclose(board.moved(board.before), board.after))
        True
        """
        points = np.asarray(points_in, dtype=float)
        r, angle = _polar(points, -np.asarray(self.offset_in), self.ray)
        return _dried(r, angle, self.offset_in, self.radial, self.tangential, self.ray, self.tilt)


def _polar(points: np.ndarray, pith: np.ndarray, ray: float) -> tuple[np.ndarray, np.ndarray]:
    """Distance from the pith, and angle from the ray that is not turned (-pi to pi)."""
    x, y = np.moveaxis(points - pith, -1, 0)
    return np.hypot(x, y), np.angle(np.exp(1j * (np.arctan2(y, x) - ray)))


def _point(r: Any, angle: Any) -> np.ndarray:
    return np.stack([r * np.cos(angle), r * np.sin(angle)], axis=-1)


def _dried(
    r: Any, angle: Any, offset: Any, radial: Any, tangential: Any, ray: float, tilt: float = 0.0
) -> np.ndarray:
    """Where points at `r` and `angle` about the pith go; the board's centre stays where it is."""
    k = tangential / radial
    r0, angle0 = _polar(np.zeros(2), -np.asarray(offset), ray)
    turn = ray - tilt
    return radial * (_point(r, turn + k * angle) - _point(r0, turn + k * angle0))


def board_shape(
    width_in: float,
    thickness_in: float,
    offset_x_in: float,
    offset_y_in: float,
    species: str | woods.Species,
    mc_from_pct: float = 30.0,
    mc_to_pct: float = 8.0,
    points: int = 40,
) -> BoardShape:
    """Return a board's cross-section after drying, from where it lay in the log.

    About the pith, every point keeps to its ray and ring: its distance r shrinks by the radial shrinkage, and
    the arc between two rays by the tangential one, so that the angle between rays becomes (1 - S_T)/(1 - S_R)
    of itself. This is the one stress-free shape with those shrinkages everywhere and rings that are circles
    about the pith; cup, trapezoid and diamond all come out of it. It leaves out drying stress, spiral grain,
    uneven rings, and boards held flat by the pile. A board with the pith in it cannot follow without
    splitting.

    Parameters
    ----------
    width_in, thickness_in : float
        Green size, in.
    offset_x_in, offset_y_in : float
        Where the board's centre lies from the pith, along its width and along its thickness, in. Flat-sawn
        above the pith: (0, 5); quarter-sawn beside it: (5, 0).
    species : str or Species
    mc_from_pct, mc_to_pct : float
        Moisture content before and after, %. Only what lies below the start of shrinkage counts.
    points : int
        Points along each side.

    Returns
    -------
    BoardShape

    Raises
    ------
    InputError
        A size or offset that no log has, or as in `shrinkage_pct`.

    Examples
    --------
    >>> board = board_shape(8, 1, 0, 4, "northern red oak", 80, 8)
    >>> round(board.width_in, 2), round(board.cup_in, 2), board.hollow
    (7.55, 0.1, 'upper')
    """
    w = within("width_in", width_in, 0.1, 60, "in")
    t = within("thickness_in", thickness_in, 0.1, 60, "in")
    x0 = within("offset_x_in", offset_x_in, -40, 40, "in", "Measure from the pith, in inches.")
    y0 = within("offset_y_in", offset_y_in, -40, 40, "in", "Measure from the pith, in inches.")
    wood = woods.get(species)
    radial, tangential = (
        size_ratio(s, mc_from_pct, mc_to_pct, wood.shrink_start_mc_pct)
        for s in (wood.shrink_radial_pct, wood.shrink_tangential_pct)
    )

    pith = np.array([-x0, -y0])  # in the board's own coordinates
    holds_pith = bool(abs(x0) < w / 2 and abs(y0) < t / 2)
    cut = _way_out(w, t, pith) if holds_pith else pith
    ray = float(np.arctan2(-cut[1], -cut[0]))

    u = np.linspace(-0.5, 0.5, int(points))
    lower = np.column_stack([w * u, np.full_like(u, -t / 2)])
    upper = lower * [1, -1]
    side = np.column_stack([np.full_like(u, w / 2), t * u])
    before = np.concatenate([lower[:-1], side[:-1], upper[:0:-1], (side * [-1, 1])[::-1]])
    r, angle = _polar(before, pith, ray)
    if holds_pith:  # from one bank of the split round to the other, then in to the pith and out again
        order = np.argsort(angle[:-1])
        bank = pith + cut
        before = np.concatenate([[bank], before[order], [bank, pith, bank]])
        r, angle = _polar(before, pith, ray)
        angle[0], angle[-3], angle[-1] = -pi, pi, -pi

    how = ((x0, y0), radial, tangential, ray)
    upper, lower = (_dried(*_polar(face, pith, ray), *how) for face in (upper, lower))
    along = upper[-1] - upper[0] + lower[-1] - lower[0]
    across = upper[0] - lower[0] + upper[-1] - lower[-1]
    tilt = float(np.arctan2(along[1], along[0]))
    up = np.array([-np.sin(tilt), np.cos(tilt)])
    hollow = {"upper": -_above_chord(upper).min(), "lower": _above_chord(lower).max()}
    deep = [name for name, depth in hollow.items() if depth > 1e-6]
    return BoardShape(
        before=before,
        after=_dried(r, angle, *how, tilt),
        offset_in=(x0, y0),
        width_in=float(_length(upper[-1] - upper[0]) + _length(lower[-1] - lower[0])) / 2,
        thickness_in=float(_length(upper[0] - lower[0]) + _length(upper[-1] - lower[-1])) / 2,
        flat_thickness_in=float((upper @ up).min() - (lower @ up).max()),
        cup_in=float(max(hollow.values())),
        hollow="both" if len(deep) == 2 else deep[0] if deep else "none",
        trapezoid_in=float(_length(upper[-1] - upper[0]) - _length(lower[-1] - lower[0])),
        diamond_deg=float(np.degrees(np.arctan2(across[1], across[0]) - tilt)) - 90.0,
        holds_pith=holds_pith,
        split_deg=float(360 * (1 - tangential / radial)) if holds_pith else 0.0,
        radial=float(radial),
        tangential=float(tangential),
        ray=ray,
        tilt=tilt,
    )


def _way_out(w: float, t: float, pith: np.ndarray) -> np.ndarray:
    """The shortest step from a pith inside the board to a face."""
    to_side = np.copysign(w / 2 - abs(pith[0]), pith[0])
    to_face = np.copysign(t / 2 - abs(pith[1]), pith[1])
    return np.array([to_side, 0.0]) if abs(to_side) < abs(to_face) else np.array([0.0, to_face])


def _length(step: np.ndarray) -> float:
    return np.hypot(step[0], step[1])


def _above_chord(face: np.ndarray) -> np.ndarray:
    """How far each point of a face lies above the straightedge from its first to its last point."""
    a, along = face[0], face[-1] - face[0]
    d = face - a
    return (along[0] * d[:, 1] - along[1] * d[:, 0]) / _length(along)


def ring_angle_of(offset_x_in: Numbers, offset_y_in: Numbers) -> FloatOrArray:
    """Return the angle between the rings and the wide face at a board's centre, degrees.

    Parameters
    ----------
    offset_x_in, offset_y_in : float or array
        Where the board's centre lies from the pith, along its width and along its thickness, in.

    Returns
    -------
    float or ndarray
        0 flat-sawn to 90 quarter-sawn.

    Examples
    --------
    >>> round(ring_angle_of(3, 3), 6)
    45.0
    """
    return plain(np.degrees(np.arctan2(np.abs(offset_x_in), np.abs(offset_y_in))))
