"""Water in wood: moisture content, weights, the oven test, sample boards, meters, and loads.

Moisture content is water as a percentage of the oven-dry wood, so green wood is often above 50 % and may pass
100 %. Firewood sellers and pellet plants count water against the whole weight instead (wet basis); the two
are told apart here.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Any, Literal

import numpy as np

from woodcalc import species as woods
from woodcalc import tables
from woodcalc.checks import (
    FloatOrArray,
    InputError,
    Numbers,
    NumbersOrNames,
    doubtful,
    plain,
    suggest,
    within,
)
from woodcalc.sizes import wood_ft3
from woodcalc.species import WATER_LB_PER_FT3

if TYPE_CHECKING:
    import pandas as pd


CELL_WALL_SG = 1.54  # specific gravity of the cell wall (GTR-190 ch. 4, greatest moisture content)
FURNITURE_PCT = (6.0, 8.0)  # lumber for furniture: Wood Handbook FPL-GTR-190 (2010), p. 13-13
LIFT_LB = 51.0  # load constant for an ideal lift (Waters et al., DHHS (NIOSH) 94-110, from memory)
# The one margin on a weight: specific gravity within a species varies by about 10 % (coefficient of variation,
# GTR-190 ch. 4, from memory). Twice that leaves one tree in forty heavier; to take twice is common practice.
WEIGHT_MARGIN = 0.2
_NINE_IN_TEN = (
    1.28  # standard deviations that a group's specific gravity may be under a wood's own, nine times in ten
)
_DENSEST_SG = 1.2  # no wood is denser


def _mc(name: str, value: Numbers) -> np.ndarray:
    return np.asarray(within(name, value, 0, 400, "% MC", "Moisture content is water / oven-dry wood x 100."))


def mc_pct(wet: Numbers, oven_dry: Numbers) -> FloatOrArray:
    """Return moisture content from a wet and an oven-dry weight, % of oven-dry weight.

    ``(wet / oven-dry - 1) x 100``.

    Parameters
    ----------
    wet, oven_dry : float or array
        Weights in any one unit, above 0.

    Returns
    -------
    float or ndarray

    Raises
    ------
    InputError
        Oven-dry above wet (swapped?), or a weight that is not above 0.

    References
    ----------
    Wood Handbook, FPL-GTR-190 (2010), eq. 4-1; ASTM D4442 is the standard test.

    Examples
    --------
    >>> mc_pct(136, 100)
    36.0
    """
    w = np.asarray(within("wet", wet, 1e-9, 1e7))
    d = np.asarray(within("oven_dry", oven_dry, 1e-9, 1e7))
    if (d > w).any():
        dry, damp = (x[d > w][0] for x in np.broadcast_arrays(d, w))
        raise InputError(
            f"oven_dry = {dry:g} is above wet = {damp:g}: swapped, or two different pieces or units?"
        )
    mc = 100 * (w / d - 1)
    within("moisture content", mc, 0, 400, "%", "Are both weights in the same unit?")
    return plain(mc)


def wet_basis_pct(mc_pct: Numbers) -> FloatOrArray:
    """Return water as a percentage of the whole weight (wet basis) from moisture content.

    Parameters
    ----------
    mc_pct : float or array
        % of oven-dry weight.

    Returns
    -------
    float or ndarray

    Examples
    --------
    >>> wet_basis_pct(100)
    50.0
    """
    mc = _mc("mc_pct", mc_pct)
    return plain(100 * mc / (100 + mc))


def from_wet_basis_pct(wet_basis_pct: Numbers) -> FloatOrArray:
    """Return moisture content (% of oven-dry weight) from a wet-basis percentage.

    Parameters
    ----------
    wet_basis_pct : float or array
        Water as % of the whole weight, 0 to 80.

    Returns
    -------
    float or ndarray

    Raises
    ------
    InputError
        Above 80 %: that figure is probably on the dry basis already.

    Examples
    --------
    >>> from_wet_basis_pct(50)
    100.0
    """
    wb = np.asarray(within("wet_basis_pct", wet_basis_pct, 0, 80, "%", "Is it on the dry basis already?"))
    return plain(100 * wb / (100 - wb))


def oven_dry_weight(weight: Numbers, mc_pct: Numbers) -> FloatOrArray:
    """Return the oven-dry weight of wood that weighs `weight` at `mc_pct`.

    Parameters
    ----------
    weight : float or array
        Any unit, above 0.
    mc_pct : float or array
        % of oven-dry weight.

    Returns
    -------
    float or ndarray
        In the unit of `weight`.

    Examples
    --------
    >>> round(oven_dry_weight(4.46, 62.2), 2)
    2.75
    """
    return plain(np.asarray(within("weight", weight, 1e-9, 1e7)) / (1 + _mc("mc_pct", mc_pct) / 100))


def greatest_mc_pct(basic_sg: Numbers) -> FloatOrArray:
    """Return the moisture content of wood with every cavity full of water, %.

    ``100 (1.54 - G) / (1.54 G)`` with G the basic specific gravity.

    Parameters
    ----------
    basic_sg : float or array
        Oven-dry weight over green volume, water = 1; 0.1 to 1.2.

    Returns
    -------
    float or ndarray

    Raises
    ------
    InputError
        Outside 0.1-1.2.

    References
    ----------
    Wood Handbook, FPL-GTR-190 (2010), ch. 4.

    Examples
    --------
    >>> round(greatest_mc_pct(0.56))
    114
    """
    g = np.asarray(
        within("basic_sg", basic_sg, 0.1, 1.2, "", "Specific gravity has no unit; lb/ft3 over 62.4.")
    )
    return plain(100 * (CELL_WALL_SG - g) / (CELL_WALL_SG * g))


def most_mc_pct(species: str | woods.Species) -> float:
    """Return the wettest that a piece of a wood can be, % MC: single trees are lighter than their species.

    Parameters
    ----------
    species : str or Species

    Returns
    -------
    float
        15 % over `greatest_mc_pct` (assumption), whole percents.

    Examples
    --------
    >>> most_mc_pct("northern red oak")
    131.0
    """
    return float(np.ceil(1.15 * greatest_mc_pct(woods.get(species).basic_sg)))


def start_mc_pct(
    species: str | woods.Species,
    measured: float | None = None,
    part: str = "mixed",
    *,
    name: str = "start_mc_pct",
    least: float = 3.0,
) -> float:
    """Return the moisture content that a board starts at: what was measured, or what its wood has when green.

    Drying, kilns, heat treatment and weights all ask here, so that a board weighs what it is dried from.

    Parameters
    ----------
    species : str or Species
    measured : float, optional
        % of oven-dry weight; left out: that of a green board of `part`.
    part : {"mixed", "heartwood", "sapwood"}
        Of the log. It says nothing of a board that was measured, but must be one of the three.
    name : str
        What the reader calls `measured`, for the message.
    least : float
        Driest that makes sense there, %.

    Returns
    -------
    float

    Raises
    ------
    InputError
        Drier than `least`, wetter than the wood can hold (`most_mc_pct`), or a part whose moisture is not known.

    Examples
    --------
    >>> start_mc_pct("red pine"), start_mc_pct("red pine", part="sapwood"), start_mc_pct("red pine", 28)
    (64.2, 134.0, 28.0)
    """
    wood = woods.get(species)
    if measured is None:
        return wood.mc_of_part_pct(part)
    if part not in woods.PARTS:
        raise suggest(part, woods.PARTS, "part")
    mc = within(name, measured, least, 300, "%", "Is it a fraction?")
    most = most_mc_pct(wood)
    given: float = within(name, mc, least, most, "%", f"{wood.name} cannot hold more than {most:.0f} %.")
    return given


def bound_and_free_pct(
    mc_pct: Numbers, shrink_start_mc_pct: float = 30.0
) -> tuple[FloatOrArray, FloatOrArray]:
    """Return moisture content split in two: bound in the cell walls, and free in the cavities, both %.

    Walls fill first, to about 30 % (fiber saturation); only what is above that is free.

    Parameters
    ----------
    mc_pct : float or array
        % of oven-dry weight.
    shrink_start_mc_pct : float
        Where walls are full, %.

    Returns
    -------
    tuple of float or ndarray
        Bound, free.

    References
    ----------
    Wood Handbook, FPL-GTR-190 (2010), p. 4-2.

    Examples
    --------
    >>> bound_and_free_pct(80)
    (30.0, 50.0)
    """
    mc = _mc("mc_pct", mc_pct)
    bound = np.minimum(mc, shrink_start_mc_pct)
    return plain(bound), plain(mc - bound)


def green_weight_lb_per_ft3(
    species: str | woods.Species,
    mc_pct: Numbers | None = None,
    volume: Literal["now", "green"] = "now",
    part: str = "mixed",
) -> FloatOrArray:
    """Return the weight of a cubic foot of wood at a moisture content, lb.

    ``62.43 G (1 + MC/100)`` over the green volume, with G the basic specific gravity. Below the start of shrinkage
    the wood takes up less room: its volume is reduced in proportion to the species' volumetric shrinkage. A tree
    differs from its species' average by a tenth and more.

    Parameters
    ----------
    species : str or Species
    mc_pct : float or array, optional
        % of oven-dry weight; left out: green, as `start_mc_pct` has it.
    volume : {"now", "green"}
        A cubic foot as measured at that moisture content, or a cubic foot as measured green.
    part : {"mixed", "heartwood", "sapwood"}
        Of the log, for green wood.

    Returns
    -------
    float or ndarray

    Raises
    ------
    InputError
        Unknown species; a part whose moisture is not known; wetter than full cavities allow.

    References
    ----------
    Wood Handbook, FPL-GTR-190 (2010), ch. 4.

    Examples
    --------
    >>> round(green_weight_lb_per_ft3("northern red oak", 80), 1)
    62.9
    >>> [round(green_weight_lb_per_ft3("loblolly pine", part=p)) for p in ("heartwood", "sapwood")]
    [39, 62]
    >>> round(green_weight_lb_per_ft3("northern red oak", 8), 1)
    42.0
    """
    wood = woods.get(species)
    mc = _mc("mc_pct", start_mc_pct(wood, part=part) if mc_pct is None else mc_pct)
    full = greatest_mc_pct(wood.basic_sg)
    hint = f"{wood.name} cannot hold more: its cavities are full at {full:.0f} %."
    within("mc_pct", mc, 0, most_mc_pct(wood), "% MC", hint)
    if volume not in ("now", "green"):
        raise InputError(f'volume = {volume!r}: expected "now" or "green".')
    weight = WATER_LB_PER_FT3 * wood.basic_sg * (1 + mc / 100)
    if volume == "now":
        start = wood.shrink_start_mc_pct
        weight = weight / (1 - wood.shrink_volumetric_pct / 100 * (1 - np.minimum(mc, start) / start))
    return plain(weight)


def weight_range_lb_per_ft3(
    species: str | woods.Species, mc_pct: Numbers | None = None, part: str = "mixed"
) -> tuple[FloatOrArray, FloatOrArray]:
    """Return the least and the greatest weight of a cubic foot of wood to plan for, lb; load and lift by the greatest.

    Green wood may come from all heartwood or all sapwood, and a tree differs from its species. So the greatest
    is `WEIGHT_MARGIN` over the heaviest of the wood's own figures: tree average, heartwood and sapwood
    (`data/species.csv`), and published green weight (`data/green_weights.csv`). The least is as much under the
    likely weight, or the lightest of those figures. Wood so much denser than its species cannot weigh more
    than it does with every cavity full (`greatest_mc_pct`). A softwood's sapwood holds several times the water
    of its heartwood. Where no figure is printed for it (eastern white pine, eastern redcedar, Virginia pine),
    a close relative's stands in for it; `data/species.csv` says whose, and why.

    Parameters
    ----------
    species : str or Species
    mc_pct : float or array, optional
        Measured moisture content, % of oven-dry weight: then only the margin is taken, either way. Left out:
        green.
    part : {"mixed", "heartwood", "sapwood"}
        Of the log. Boards that are known to be of one part have only its figure, with the margin either way.

    Returns
    -------
    tuple of (float or ndarray)
        Least and greatest, over the green volume.

    Raises
    ------
    InputError
        As in `green_weight_lb_per_ft3`.

    Examples
    --------
    >>> [round(x, 1) for x in weight_range_lb_per_ft3("northern red oak")]
    [50.3, 76.8]
    >>> [round(x, 1) for x in weight_range_lb_per_ft3("red pine")]   # its sapwood is four times as wet
    [33.6, 71.9]
    """
    wood = woods.get(species)
    likely = np.asarray(green_weight_lb_per_ft3(wood, mc_pct, "green", part))
    alone = mc_pct is not None or part != "mixed"
    own: list[Any] = [likely] if alone else [likely, *_green_figures_lb_per_ft3(wood)]
    margin = WEIGHT_MARGIN + _NINE_IN_TEN * wood.basic_sg_varies
    least = np.minimum((1 - margin) * likely, min(own))
    dense = min((1 + margin) * wood.basic_sg, _DENSEST_SG)
    full = WATER_LB_PER_FT3 * dense * (1 + greatest_mc_pct(dense) / 100)
    wettest = (1 + margin) * max(own)
    return plain(least), plain(np.maximum(np.minimum(wettest, full), likely))


@cache
def _green_figures_lb_per_ft3(wood: woods.Species) -> tuple[float, ...]:
    """What the tables say that this wood weighs green: average, heartwood, sapwood or its stand-in, published."""
    parts = (wood.green_mc_heartwood_pct, wood.green_mc_sapwood_pct, wood.sapwood_stand_in_pct)
    wet = [wood.green_mc_pct, *(mc for mc in parts if mc is not None)]
    published = tables.read("green_weights").set_index("species")["green_lb_per_ft3"].get(wood.name)
    figures = [WATER_LB_PER_FT3 * wood.basic_sg * (1 + mc / 100) for mc in wet]
    return tuple(figures) if published is None else (*figures, float(published))


def weight_margin(
    species: str | woods.Species | None = None, mc_pct: Numbers | None = None, part: str = "mixed"
) -> FloatOrArray:
    """Return what to add to the likely weight of wood before it is loaded, stacked or lifted, as a fraction.

    Parameters
    ----------
    species : str or Species, optional
        Left out: `WEIGHT_MARGIN`, the least margin of any wood that has room for so much more water (live oak has not).
    mc_pct, part :
        As in `weight_range_lb_per_ft3`.

    Returns
    -------
    float or ndarray

    Examples
    --------
    >>> round(weight_margin("northern red oak"), 2), round(weight_margin("sweetgum"), 2)
    (0.22, 0.32)
    """
    if species is None:
        return plain(WEIGHT_MARGIN)
    likely = np.asarray(green_weight_lb_per_ft3(species, mc_pct, "green", part))
    return plain(np.asarray(weight_range_lb_per_ft3(species, mc_pct, part)[1]) / likely - 1)


def lumber_weight_lb(
    board_feet: Numbers,
    species: str | woods.Species,
    mc_pct: Numbers | None = None,
    sawn_over_nominal: Numbers = 1.0,
    part: str = "mixed",
    nominal: NumbersOrNames = 1.0,
) -> FloatOrArray:
    """Return the weight of rough lumber, lb.

    A board foot is 1/12 ft3 as sawn green at its nominal size (`sizes.wood_ft3`), less for stock under an inch.
    Mills saw over that: 4/4 at 1-1/8 in is 1.125.

    Parameters
    ----------
    board_feet : float or array
        Tally by nominal thickness.
    species : str or Species
    mc_pct : float or array, optional
        % of oven-dry weight; left out: green, as `start_mc_pct` has it.
    sawn_over_nominal : float or array
        Green sawn size over nominal (thickness, width and length together), 0.5 to 2.
    part : {"mixed", "heartwood", "sapwood"}
        Of the log, for green lumber.
    nominal : str, float, or array of them
        Nominal thickness, as in `sizes.nominal_in`; it counts under 1 in.

    Returns
    -------
    float or ndarray

    Raises
    ------
    InputError
        As in `green_weight_lb_per_ft3`, or a negative tally.

    Examples
    --------
    >>> round(lumber_weight_lb(1000, "northern red oak", 80, 1.125))
    5900
    """
    wood = np.asarray(wood_ft3(board_feet, nominal))
    over = np.asarray(within("sawn_over_nominal", sawn_over_nominal, 0.5, 2))
    return plain(wood * over * green_weight_lb_per_ft3(species, mc_pct, "green", part))


def water_to_remove_lb(
    board_feet: Numbers,
    species: str | woods.Species,
    mc_from_pct: Numbers,
    mc_to_pct: Numbers,
    sawn_over_nominal: Numbers = 1.0,
    nominal: NumbersOrNames = 1.0,
) -> FloatOrArray:
    """Return the water that leaves a load between two moisture contents, lb (a gallon is 8.34 lb).

    Parameters
    ----------
    board_feet, species, sawn_over_nominal, nominal :
        As in `lumber_weight_lb`.
    mc_from_pct, mc_to_pct : float or array
        % of oven-dry weight.

    Returns
    -------
    float or ndarray
        Below 0 when the load takes up water.

    Examples
    --------
    >>> round(water_to_remove_lb(1000, "northern red oak", 80, 8, 1.125))
    2360
    """
    before, after = (
        np.asarray(lumber_weight_lb(board_feet, species, mc_pct, sawn_over_nominal, nominal=nominal))
        for mc_pct in (mc_from_pct, mc_to_pct)
    )
    return plain(before - after)


@dataclass(frozen=True)
class Load:
    """What a load may weigh, and how much of it may go.

    Attributes
    ----------
    likely_lb : float
        From species averages.
    allow_for_lb : float
        With the margin: the weight to plan for.
    capacity_lb : float
        What the trailer may carry (its payload, not its gross weight).
    fits : bool
        The weight to plan for is within the capacity.
    trips : int
        Trips needed at that weight.
    """

    likely_lb: float
    allow_for_lb: float
    capacity_lb: float
    fits: bool
    trips: int


def trailer_load(weight_lb: float, capacity_lb: float, margin: float = WEIGHT_MARGIN) -> Load:
    """Return whether a load may go on a trailer, with a margin for wood heavier than the average.

    The limit is the least of trailer payload, tires, hitch and towing vehicle, as their plates and manuals say.

    Parameters
    ----------
    weight_lb : float
        Likely weight of the load, lb.
    capacity_lb : float
        Payload, lb.
    margin : float
        Fraction added to the likely weight, 0 to 2. For green lumber give `weight_margin` of its wood: some
        woods have sapwood so wet that a fifth is not enough.

    Returns
    -------
    Load

    Raises
    ------
    InputError
        A weight or capacity that is not above 0.

    Examples
    --------
    >>> load = trailer_load(2800, 3000)
    >>> round(load.allow_for_lb), load.fits, load.trips
    (3360, False, 2)
    """
    likely = within("weight_lb", weight_lb, 0, 1e6, "lb")
    capacity = within("capacity_lb", capacity_lb, 1, 1e6, "lb", "Payload = gross rating less empty weight.")
    plan = _with_margin(likely, margin)
    return Load(likely, plan, capacity, bool(plan <= capacity), max(1, int(np.ceil(plan / capacity))))


def _with_margin(weight_lb: Any, margin: Numbers) -> FloatOrArray:
    return plain(
        weight_lb * (1 + np.asarray(within("margin", margin, 0, 2, "", "Give a fraction: 20 % is 0.2.")))
    )


def lift_in_people(weight_lb: Numbers, margin: Numbers = WEIGHT_MARGIN) -> FloatOrArray:
    """Return how many people a board asks for, at no more than 51 lb each after the margin.

    51 lb is what nearly all healthy workers may lift under ideal conditions: close, waist high, firm grip,
    now and then. Long, rough, wet boards are not ideal: take it as the most, and slide, roll or use a machine
    before lifting.

    Parameters
    ----------
    weight_lb : float or array
        Likely weight, lb.
    margin : float or array
        Fraction added, as in `trailer_load`.

    Returns
    -------
    int or ndarray

    References
    ----------
    Waters, Putz-Anderson and Garg, Revised NIOSH Lifting Equation, DHHS (NIOSH) 94-110, load constant, from
    memory.

    Examples
    --------
    >>> lift_in_people(95)
    3
    """
    plan = _with_margin(np.asarray(within("weight_lb", weight_lb, 0, 1e5, "lb")), margin)
    return plain(np.maximum(1, np.ceil(plan / LIFT_LB)).astype(int))


@dataclass(frozen=True)
class OvenTest:
    """One section weighed wet and oven-dry.

    Attributes
    ----------
    mc_pct : float
        Moisture content, % of oven-dry weight.
    sd_pct : float
        Its standard deviation from reading the scale to its divisions, points.
    most_pct : float
        Its greatest error from that cause, points: both weights half a division off in the bad direction.
    """

    mc_pct: float
    sd_pct: float
    most_pct: float


def oven_test(wet: float, oven_dry: float, scale_division: float) -> OvenTest:
    """Return the moisture content of a section and how far the scale's divisions may put it off.

    Each weight is the true one rounded to a division, so its error is spread evenly over plus and minus half
    of it; the two errors combine through ``MC = 100 (wet/oven-dry - 1)`` to first order.

    Parameters
    ----------
    wet, oven_dry : float
        Weights in one unit.
    scale_division : float
        Smallest step of the scale in the same unit; 0 is a perfect scale.

    Returns
    -------
    OvenTest

    Raises
    ------
    InputError
        As in `mc_pct`, or a division larger than a quarter of the oven-dry weight.

    Examples
    --------
    >>> test = oven_test(98.55, 59.20, 1)
    >>> round(test.mc_pct, 1), round(test.sd_pct, 1), round(test.most_pct, 1)
    (66.5, 0.9, 2.2)
    """
    mc = mc_pct(wet, oven_dry)
    step = within("scale_division", scale_division, 0, oven_dry / 4, "", "Is it in the unit of the weights?")
    slope_wet, slope_dry = 100 / oven_dry, 100 * wet / oven_dry**2
    sd = step / 12**0.5 * float(np.hypot(slope_wet, slope_dry))
    return OvenTest(mc, sd, step / 2 * (slope_wet + slope_dry))


_SECTIONS_APART_PCT = 15.0  # points between the two sections that are worth a second look: judgment


def sections_doubted(mcs_pct: Sequence[float], wood: str) -> list[str]:
    """Say what looks wrong with the moistures of a board's sections; [] if nothing does.

    Parameters
    ----------
    mcs_pct : sequence of float
    wood : str
        "" if it is not known.

    Returns
    -------
    list of str

    Examples
    --------
    >>> sections_doubted([66.5, 58.0], "northern red oak")
    []
    >>> sections_doubted([78.0, 192.0], "northern red oak")[0]
    'The two sections differ by 114 points. Weigh them once more.'
    """
    doubts = []
    if len(mcs_pct) == 2 and (apart := abs(mcs_pct[0] - mcs_pct[1])) > _SECTIONS_APART_PCT:
        doubts.append(f"The two sections differ by {apart:.0f} points. Weigh them once more.")
    mean = sum(mcs_pct) / len(mcs_pct)
    if wood and mean > (most := most_mc_pct(wood)):
        doubts.append(f"{mean:.0f} % is more water than {wood} can hold ({most:.0f} %). Check the weights.")
    return doubts


@dataclass(frozen=True)
class SampleBoard:
    """A board that is weighed again and again, and what it tells of the stack.

    Two thin sections are cut from the ends of a piece, weighed, dried in an oven and weighed again; the board
    between them is weighed at once and put back in the pile. The method, and the example that the tests
    replay, are those of the Dry Kiln Operator's Manual (Simpson ed., USDA Agric. Handbook 188, 1991, ch. 6;
    figures from memory).

    Attributes
    ----------
    sections : tuple of (wet, oven_dry)
        Weights of the sections, any one unit (grams as a rule), one or more sections.
    weight : float
        The board right after the sections were cut, in `unit`.
    unit : str
        Unit of the board's weights.
    label : str
        What is written on the board.

    Examples
    --------
    >>> board = SampleBoard(((98.55, 59.20), (86.92, 55.02)), 4.46)
    >>> [round(mc, 1) for mc in board.section_mc_pct], round(board.start_mc_pct, 1), round(board.oven_dry, 2)
    ([66.5, 58.0], 62.2, 2.75)
    >>> round(board.mc_now_pct(4.14), 1)
    50.6
    """

    sections: tuple[tuple[float, float], ...]
    weight: float
    unit: str = "lb"
    label: str = ""

    def __post_init__(self) -> None:
        within("weight", self.weight, 1e-6, 1e5, self.unit)
        if not self.sections:
            raise InputError("sections: expected one or more pairs of (wet, oven-dry) weights.")
        for pair in self.sections:
            if np.shape(pair) != (2,):
                raise InputError(f"sections: expected pairs of (wet, oven-dry) weights, found {pair!r}.")
            mc_pct(*pair)

    @property
    def section_mc_pct(self) -> tuple[float, ...]:
        """Moisture content of each section, %."""
        return tuple(mc_pct(wet, dry) for wet, dry in self.sections)

    @property
    def start_mc_pct(self) -> float:
        """Moisture content of the board when the sections were cut: the mean of the sections, %."""
        return sum(self.section_mc_pct) / len(self.sections)

    @property
    def oven_dry(self) -> float:
        """Estimated oven-dry weight of the board, in `unit`."""
        return oven_dry_weight(self.weight, self.start_mc_pct)

    def mc_now_pct(self, weight: Numbers) -> FloatOrArray:
        """Return the moisture content at a later weight, %.

        Parameters
        ----------
        weight : float or array
            In `unit`.

        Raises
        ------
        InputError
            Far below the estimated oven-dry weight or far above the start: another board, or another unit?
        """
        w = np.asarray(
            within(
                "weight",
                weight,
                0.9 * self.oven_dry,
                1.3 * self.weight,
                self.unit,
                "Is it this board, in this unit?",
            )
        )
        return plain(100 * (w / self.oven_dry - 1))

    def weight_at(self, mc_pct: Numbers) -> FloatOrArray:
        """Return what the board will weigh at a moisture content, in `unit`.

        Parameters
        ----------
        mc_pct : float or array
            % of oven-dry weight.
        """
        return plain(self.oven_dry * (1 + _mc("mc_pct", mc_pct) / 100))

    def corrected(self, sections: Sequence[tuple[float, float]], weight: float) -> SampleBoard:
        """Return the board after new sections were cut from it during drying.

        The new sections replace the first estimate: their oven-dry weight carries no error of the first two
        ends.

        Parameters
        ----------
        sections : tuple of (wet, oven_dry)
            Weights of the new section or sections.
        weight : float
            The shortened board right after cutting, in `unit`.

        Returns
        -------
        SampleBoard
        """
        if weight >= self.weight:
            raise InputError(
                f"weight = {weight:g}: the shortened board cannot weigh as much as it did at the start."
            )
        return SampleBoard(tuple(sections), weight, self.unit, self.label)

    def table(self, days: Sequence[float], weights: Sequence[float]) -> pd.DataFrame:
        """Return one row for each weighing: day, weight, moisture content, and loss per day since the last.

        Parameters
        ----------
        days : sequence of float
            Days since the sections were cut, increasing.
        weights : sequence of float
            In `unit`.

        Returns
        -------
        DataFrame
            Columns ``day``, ``weight``, ``mc_pct``, ``loss_pct_per_day``; the first row is the start.
        """
        import pandas as pd

        day = np.concatenate([[0.0], np.asarray(days, dtype=float)])
        if (np.diff(day) <= 0).any():
            raise InputError("days: expected days after the start, each later than the one before.")
        weight = np.concatenate([[self.weight], np.asarray(weights, dtype=float)])
        mc = np.asarray(self.mc_now_pct(weight))
        loss = np.concatenate([[np.nan], -np.diff(mc) / np.diff(day)])
        return pd.DataFrame({"day": day, "weight": weight, "mc_pct": mc, "loss_pct_per_day": loss})


@cache
def _meter(item: str) -> float:
    table = tables.read("meter_corrections").set_index("item")
    return float(table.loc[item, "value"])


def meter_corrected_pct(
    reading_pct: Numbers, temp_f: Numbers, kind: str = "pin", calibrated_f: float | None = None
) -> FloatOrArray:
    """Return a meter reading corrected for the temperature of the wood, %.

    For every 10 F that the wood is colder than the meter's calibration 4 % of the reading is added, and taken off when
    it is warmer: half a point at 12 %, and more in wetter wood. Readings outside the range that the meter is good for
    give a `RangeWarning`. Species correction is not done: use the table that came with the meter.

    Parameters
    ----------
    reading_pct : float or array
        What the meter showed, %.
    temp_f : float or array
        Temperature of the wood, F.
    kind : {"pin", "pinless"}
        Resistance meter (pins) or dielectric meter (pad). Only pin readings are changed by temperature here:
        the source gives no figure for the other kind.
    calibrated_f : float, optional
        Temperature that the meter is calibrated for; 70 F unless its manual says otherwise (from memory).

    Returns
    -------
    float or ndarray

    Raises
    ------
    InputError
        An unknown kind, a reading or a temperature that cannot be.

    References
    ----------
    Half a point at 12 %, and the range: Wood Handbook, FPL-GTR-190 (2010), p. 13-3, for resistance meters; stated as
    approximate. More in wetter wood: F. Pfaff & P. Garrahan 1986, Forest Prod. J. 36(3):28-30, from memory; the rule
    is within 0.6 points of their equation from 30 to 110 F.

    Examples
    --------
    >>> meter_corrected_pct(12.0, 50), meter_corrected_pct(20.0, 50)
    (13.0, 21.6)
    """
    reading = np.asarray(within("reading_pct", reading_pct, 0, 120, "%"))
    temp = np.asarray(within("temp_f", temp_f, -40, 200, "F", "Is it the wood's temperature, in F?"))
    low, high = meter_range_pct(kind)
    doubtful("reading_pct", reading, low, high, "%", f"a {kind} meter is not to be trusted there")
    if kind == "pinless":
        return plain(reading)
    base = _meter("calibration temperature") if calibrated_f is None else calibrated_f
    return plain(reading * (1 + _meter("temperature correction per 10 F") / 100 * (base - temp) / 10))


def meter_range_pct(kind: str = "pin") -> tuple[float, float]:
    """Return the lowest and highest reading that a meter can be trusted for, %.

    Parameters
    ----------
    kind : {"pin", "pinless"}

    Returns
    -------
    tuple of float

    Raises
    ------
    InputError
        An unknown kind.

    Examples
    --------
    >>> meter_range_pct("pin")
    (6.0, 30.0)
    """
    if kind not in ("pin", "pinless"):
        raise InputError(f'kind = {kind!r}: expected "pin" or "pinless".')
    return _meter(f"{kind} meter, lowest"), _meter(f"{kind} meter, highest")


def in_use_mc_pct(use: str = "interior", region: str = "most areas") -> tuple[float, float, float]:
    """Return the moisture content that wood settles at in use: average, and low and high of pieces, %.

    Parameters
    ----------
    use : {"interior", "exterior"}
        Furniture, floors and trim in a heated building; or siding, trim and framing.
    region : {"most areas", "dry southwest", "damp coast"}
        Part of the United States.

    Returns
    -------
    tuple of float
        Average, low, high. From memory of the Wood Handbook's table 13-2; the interior averages are also
        restated by a third party.

    Raises
    ------
    InputError
        A use or region that the table does not list.

    Examples
    --------
    >>> in_use_mc_pct("interior", "most areas")
    (8.0, 6.0, 10.0)
    """
    table = tables.read("in_use_mc")
    row = table[(table["use"] == use) & (table["region"] == region)]
    if row.empty:
        known = "; ".join(f"{u}, {r}" for u, r in zip(table["use"], table["region"], strict=True))
        raise InputError(f"no in-use moisture content for {use!r}, {region!r}. Known: {known}.")
    average, low, high = (float(row[c].iloc[0]) for c in ("average_pct", "pieces_low_pct", "pieces_high_pct"))
    return average, low, high
