"""How much moisture a wood can lose in a day without checking; when a loss is too fast, and what to do then."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache, lru_cache
from typing import Any

import numpy as np

from woodcalc import air, moisture, tables
from woodcalc import species as woods
from woodcalc.checks import FloatOrArray, Numbers, plain, within
from woodcalc.drying import slab
from woodcalc.drying.rate import biot, rate, thickness

THINNEST_IN, THICKEST_IN = 0.75, 4.0  # that the published figures, at 4/4 and 8/4, are carried to
# Of the safe loss: a loss read from two weighings is a mean of many days, and a dry, windy one is over it: judgment
NEAR = 0.75
# The face shrinks from about here on, of every wood (Wood Handbook ch. 4: about 30 %); air of the East in the drying
# season, where rates are fitted: a round figure
FIBERS_FULL_PCT, ORDINARY_EMC_PCT = 30.0, 12.0
# The power of how much faster wood dries when warm that makes it 30 % weaker at 122 F (`pull_of_air`)
_WEAKER = math.log(1 / 0.7) / math.log(slab.temperature_factor(122.0))
# Of the air that rates are fitted to: 68 F at its ordinary EMC, which is 65 % humidity
ORDINARY_DEPRESSION_F = 7.57
# A kiln's air against a yard's: 250 ft/min (200 to 450, Agric. Handb. 188, from memory) over the 25 of `kiln.ways`
KILN_AIR_TIMES = 10.0
# Down to what MC a kiln keeps its first air, by the letter of the schedule (Agric. Handb. 188, table 7-1, from memory)
_AIR_UNTIL_PCT = {"A": 30.0, "B": 35.0, "C": 40.0, "D": 50.0, "E": 60.0, "F": 70.0}
SLOW_DOWN = (
    "close the windward side, shade the sunny side"  # what slows a stack; `drying.danger` has what it brings
)


def pace(loss_pct_per_day: float, safe_pct_per_day: float) -> str:
    """Return ``"over"`` for a loss over the safe one, ``"close"`` over three quarters of it, else ``"safe"``.

    Examples
    --------
    >>> pace(3.9, 3.8), pace(3.0, 3.8), pace(1.4, 3.8)
    ('over', 'close', 'safe')
    """
    if loss_pct_per_day > safe_pct_per_day:
        return "over"
    return "close" if loss_pct_per_day > NEAR * safe_pct_per_day else "safe"


def nominal_inches(thickness_in: float | str | Sequence[float]) -> Any:
    """Return the nominal inches of what is dried, from a number, several, or quarters such as "8/4".

    Examples
    --------
    >>> nominal_inches("8/4")
    2.0
    """
    if isinstance(thickness_in, str):
        thickness_in = thickness(thickness_in)
    return within(
        "thickness_in", thickness_in, THINNEST_IN, THICKEST_IN, "in", "Is it in quarters? 4/4 is 1.0."
    )


def safe_loss_pct_per_day(
    species: str | woods.Species, thickness_in: float | str | Sequence[float]
) -> float | np.ndarray | None:
    """Greatest safe loss of moisture content in a day.

    Parameters
    ----------
    species : str
    thickness_in : float, array or str
        Nominal, 0.75 to 4 in, or quarters such as "8/4".

    Returns
    -------
    float, ndarray or None
        Points of MC a day; None if none is published for the wood.

    References
    ----------
    Conners, FOR-128, table 9, p. 91, for 4/4 and 8/4; between and beyond them a power of the
    thickness through the two. Of a figure from memory and the first day of the wood's kiln schedule (from memory) the
    larger, up to the largest in that table.

    Examples
    --------
    >>> safe_loss_pct_per_day("northern red oak", 1.0), safe_loss_pct_per_day("northern red oak", 2.0)
    (3.8, 1.5)
    """
    wood = woods.get(species)
    inches = nominal_inches(thickness_in)
    thin, thick = wood.safe_loss_4_4_pct_per_day, wood.safe_loss_8_4_pct_per_day
    if thin is None:
        return None
    if thick is None:
        return thin if np.max(inches) <= 1 else None
    loss = thin * np.asarray(inches) ** (math.log(thick / thin) / math.log(2))
    if wood.name in _recalled() and wood.name in _steps():
        loss = np.maximum(loss, _of_schedule(wood, inches))
    return plain(loss)


def _of_schedule(wood: Any, inches: Any) -> Any:
    """What the first day of the wood's kiln schedule takes, no more than the greatest safe loss in print."""
    thin, thicker = _first_days(wood)
    inches = np.asarray(inches, dtype=float)
    return np.minimum(thin * inches ** math.log2(thicker / thin), _most_printed(inches))


@lru_cache(maxsize=256)
def _first_days(wood: Any) -> Any:
    return tuple(first_step_loss_pct(wood, thick, *_steps()[wood.name][thick]) for thick in (1.0, 2.0))


def _most_printed(inches: Any) -> Any:
    """The greatest safe loss in print, of any wood: what is lent or taken from a kiln is never more."""
    thin, thicker = _greatest_of_table()
    return thin * np.asarray(inches, dtype=float) ** math.log2(thicker / thin)


@cache
def _greatest_of_table() -> Any:
    table = tables.read("species")
    seen = table[table.safe_loss_status.str.startswith("seen", na=False)]
    return float(seen.safe_loss_4_4_pct_per_day.max()), float(seen.safe_loss_8_4_pct_per_day.max())


@dataclass(frozen=True)
class Bears:
    """What the face of a green board bears.

    Attributes
    ----------
    loss_pct : float
        Greatest safe loss of a day, points; NaN where none is held against the wood.
    pull : float
        The `pull_of_air` in which a kiln starts it; NaN where none is known.
    kiln_emc_pct : float
        The EMC of that air.
    kiln_of : str
        The wood whose air it is; "" for none.
    note : str
        Where the safe loss is not one in print for the wood itself; "" where it is.
    air_until_pct : float
        MC down to which a kiln keeps that air.
    spread_pct : (float, float) or None
        Least and greatest safe loss, where it is printed as a range; `loss_pct` is their middle.
    """

    loss_pct: float
    pull: float
    kiln_emc_pct: float
    kiln_of: str
    note: str
    air_until_pct: float = np.nan
    spread_pct: tuple[float, float] | None = None


FROM_MEMORY = "Its safe pace is a figure from memory."
OF_SCHEDULE = "No safe pace is published for it: the first day of its kiln schedule counts (from memory)."
RECALLED_BY_SCHEDULE = (
    "Its safe pace is that of its kiln schedule's first day, up to the greatest in print (from memory)."
)
BY_WEIGHT = "How fast it dries is known from its weight alone, so its share is rough."
UNKNOWN = "No safe pace is published for it: look at faces and ends yourself."


def pull_of_air(temp_f: Numbers, emc_pct: Numbers) -> FloatOrArray:
    """How hard air pulls at a wet face: the points that the face would fall below fiber saturation, eased by cold.

    Cold wood is stronger: at 110 F a point counts a third more than at 68 F.

    Parameters
    ----------
    temp_f, emc_pct : float or array

    Returns
    -------
    float or ndarray
        At 68 F the points themselves.

    References
    ----------
    Wood Handbook, FPL-GTR-190 (2010), table 5-15, from memory: across the grain wet wood bears 30 % less tension at
    122 F than at 68 F. Carried beyond both as its drying goes with the temperature: judgment.

    Examples
    --------
    >>> pull_of_air([68, 110, 20], 10).round(1).tolist()
    [20.0, 26.5, 13.6]
    """
    fall = np.maximum(FIBERS_FULL_PCT - np.asarray(emc_pct, dtype=float), 0.0)
    return plain(fall * np.asarray(slab.temperature_factor(temp_f)) ** _WEAKER)


def wet_face(temp_f: Numbers, rh_pct: Numbers, board_f: Numbers | None = None) -> FloatOrArray:
    """How much faster air takes water from a wet face than the inside sends it, against ordinary air.

    Parameters
    ----------
    temp_f, rh_pct : float or array
        Of the air at the face.
    board_f : float or array, optional
        Temperature inside, where it is not the air's.

    Returns
    -------
    float or ndarray
        Times a Biot number. 1 at 68 F and 65 %.

    References
    ----------
    A wet face at the wet-bulb temperature: textbooks on drying. The inside: `slab.temperature_factor`.

    Examples
    --------
    Desert in May, river bottom in August, and a kiln at its first step:

    >>> wet_face([65, 82, 110], [30, 70, 87]).round(1).tolist()
    [2.3, 0.7, 0.2]
    """
    depression = np.asarray(temp_f, dtype=float) - air.wet_bulb_f(temp_f, rh_pct)
    return plain(
        depression / ORDINARY_DEPRESSION_F / slab.temperature_factor(temp_f if board_f is None else board_f)
    )


def first_step_loss_pct(
    species: str | woods.Species,
    thickness_in: float | str,
    temp_f: float,
    depression_f: float,
    air_times: float = KILN_AIR_TIMES,
    part: str = "mixed",
) -> float:
    """What a green board loses on its first day in the air in which a kiln starts it.

    Parameters
    ----------
    species, thickness_in :
        As in `safe_loss_pct_per_day`.
    temp_f, depression_f : float
        Of the schedule's first step.
    air_times : float
        The kiln's air against a yard's 25 ft/min.
    part : str
        Of the log: mixed, heartwood or sapwood.

    Returns
    -------
    float
        Points of MC. A schedule is made not to check the wood, so that this is about what it bears.

    Examples
    --------
    >>> round(first_step_loss_pct("northern red oak", 1, 110, 4), 1), safe_loss_pct_per_day("northern red oak", 1)
    (3.7, 3.8)
    """
    wood, thick = woods.get(species), nominal_inches(thickness_in)
    rh = air.rh_from_wet_bulb_pct(temp_f, temp_f - depression_f)
    bi = biot(thickness_in=thick) * math.sqrt(air_times) * wet_face(temp_f, rh)
    b, B, emc = slab.roots(bi), slab.weights(bi), air.emc_pct(temp_f, rh)
    green, day = (
        moisture.start_mc_pct(wood, part=part),
        rate(wood).per_day / thick**2 * slab.temperature_factor(temp_f),
    )
    return float(green - slab.mean(slab.step(B * (green - emc), b, B, 0.0, day), emc))


def bears(species: str | woods.Species, thickness_in: float | str) -> Bears:
    """What a wood bears: of its own where that is published, else of a relative.

    Parameters
    ----------
    species, thickness_in :
        As in `safe_loss_pct_per_day`; any thickness.

    Returns
    -------
    Bears
        All of it NaN beyond the thickness that safe losses are told for.

    References
    ----------
    Safe losses: FOR-128, table 9; where none is printed for the wood and its kiln schedule takes more than a
    relative's, the schedule's, up to the largest in that table. What is lent is never more than the lender's own, and
    less for a wood that dries more slowly or holds less water: those check first (judgment). First air: Dry Kiln
    Operator's Manual, USDA Agric. Handb. 188 (1991), from memory.
    Relatives: data/checking_kin.csv, common practice.

    Examples
    --------
    >>> bears("black locust", "4/4").note[:73]
    "No safe pace is published for it: white oak's is taken (common practice)."
    >>> bears("white oak", "8/4").loss_pct, round(bears("white oak", "8/4").kiln_emc_pct, 1)
    (1.0, 19.3)
    """
    wood = woods.get(species)
    thick = thickness(thickness_in) if isinstance(thickness_in, str) else float(thickness_in)
    if not THINNEST_IN <= thick <= THICKEST_IN:
        return Bears(np.nan, np.nan, np.nan, "", UNKNOWN)
    first, kin = _tables()
    own = wood.like or wood.name
    alone = own not in woods.names()  # a wood of one's own, like no other
    if alone:
        own = _slowest_alike(wood.kind, wood.basic_sg, wood.basic_sg_varies)
    row = kin.loc[own] if own in kin.index else None
    printed, note = safe_loss_pct_per_day(wood, thick), ""
    spread = None
    loss: Any = printed
    if printed is None:
        lender = _told(row, "pace_as") or (own if own != wood.name else "")
        if lender:
            loss, note = _lent(wood, lender, thick, alone)
        if own in _steps() and wood.kind == "hardwood" and not alone and not wood.like:
            allows = float(_of_schedule(wood, thick))
            if loss is None or allows > loss:
                loss, note = allows, OF_SCHEDULE
    elif own in _recalled():
        note = RECALLED_BY_SCHEDULE if own in _steps() and _takes_schedule(wood) else FROM_MEMORY
    else:
        loss, note, spread = _from_a_row(wood, float(np.asarray(printed)), thick, row)
    if loss is not None and rate(wood).basis == "specific gravity":
        note = f"{note} {BY_WEIGHT}".strip()
    lost = np.nan if loss is None else float(loss)
    kiln_of = own if own in first else _told(row, "air_as")
    if kiln_of not in first:
        return Bears(lost, np.nan, np.nan, "", note or UNKNOWN, spread_pct=spread)
    if loss is None:
        of = "softwoods check little; " if wood.kind == "softwood" else ""
        whose = "its own kiln schedule (from memory)" if kiln_of == own else f"{kiln_of}'s (common practice)"
        note = f"No safe pace is published for it: {of}only how dry the air is counts, against {whose}."
    starts = first[kiln_of]
    pulls = [pull for pull, _ in starts]
    emc = np.interp(thick, (1.5, 2.0), [emc for _, emc in starts])  # 4/4 to 6/4 are one class, 8/4 the next
    pull = np.interp(thick, (1.5, 2.0), pulls) * (max(thick, 2.0) / 2) ** math.log2(pulls[1] / pulls[0])
    return Bears(lost, float(pull), float(emc), kiln_of, note, _AIR_UNTIL_PCT[_classes()[kiln_of]], spread)


def _lent(wood: Any, lender: Any, thick: Any, alone: Any) -> Any:
    """A relative's safe loss, and who lends it; never more than the lender bears itself."""
    theirs = bears(lender, thick).loss_pct if lender in _tables()[0] else safe_loss_pct_per_day(lender, thick)
    if theirs is None:
        return None, ""
    low = "'s low end" if _rows().get(lender, ("", False, 1.0))[2] > 1 else "'s"
    judged = f"judged as the slowest {wood.kind} of its weight, " if alone else ""
    note = f"No safe pace is published for it: {judged}{lender}{low} is taken (common practice)."
    return float(np.asarray(theirs)) * _as_slow(wood, lender), note


def _as_slow(wood: Any, other: Any) -> Any:
    """The share of another wood's safe loss that one bears which is slower, or holds less water; 1 for all others."""
    of = woods.get(other)
    water = min(wood.start_mc_pct / of.start_mc_pct, 1.0)
    return water * min(rate(wood).per_day / rate(of).per_day, 1.0)


def _from_a_row(wood: Any, printed: Any, thick: Any, row: Any) -> Any:
    """The loss that is printed for the wood or for its relatives, what is to be said of it, and its range."""
    short, relative, high_over_low = _rows().get(wood.like or wood.name, ("", False, 1.0))
    if high_over_low == 1:
        return printed, f"Its safe pace is that of a relative ({short})." if relative else "", None
    least, most = printed, printed * high_over_low
    of = ", that of a relative," if relative else ""
    told = f"Its safe pace{of} is printed as {least:.1f} to {most:.1f} % a day:"
    middle = (least + most) / 2
    group = _told(row, "air_as")
    # an oak of wet ground is no easier than the upland oaks of its group
    of_group = safe_loss_pct_per_day(group, thick) * _as_slow(wood, group) if group else middle
    if of_group >= middle:
        return middle, f"{told} the middle, {middle:.1f}, is taken.", (least, most)
    taken = max(float(of_group), least)
    return taken, f"{told} {taken:.1f} is taken, {group}'s for a slower wood.", (least, most)


def _takes_schedule(wood: Any) -> Any:
    return bool(_of_schedule(wood, 1.0) > wood.safe_loss_4_4_pct_per_day)


_AS_HEAVY = 0.05  # of specific gravity: woods as far apart are of one weight (judgment)


@cache
def _slowest_alike(kind: Any, basic_sg: Any, varies: Any) -> Any:
    """The wood with the least safe loss among those of its kind in print, and about as heavy: the safe side.

    One heavier or lighter than all of them goes by those at that end.
    """
    if kind == "softwood":
        return "eastern white pine"  # none has a loss in print, and all are held against one air
    table = tables.read("species")
    known = table.safe_loss_4_4_pct_per_day.notna() & table.safe_loss_status.str.startswith("seen")
    table = table[known & (table.kind == kind) & ~table.safe_loss_status.str.contains("relative", na=False)]
    off = (table.basic_sg - min(max(basic_sg, table.basic_sg.min()), table.basic_sg.max())).abs()
    near = table[off <= max(_AS_HEAVY, varies * basic_sg) + 1e-9].assign(off=off)
    return str(near.sort_values(["safe_loss_4_4_pct_per_day", "off"]).name.iloc[0])


@cache
def _rows() -> dict[str, tuple[str, bool, float]]:
    """The row of the table that each wood's safe loss is, whether it is a relative's, and high over low of a range."""
    ranges = {
        row.row: row.high_pct_per_day / row.low_pct_per_day
        for row in tables.read("safe_loss_ranges").itertuples()
    }
    table = tables.read("species")
    found = {}
    for name, row, status in zip(table.name, table.safe_loss_row, table.safe_loss_status, strict=True):
        if row == row:
            short = row.partition(":")[0]
            found[name] = short, "relative" in status, ranges.get(short, 1.0)
    return found


def _told(row: Any, column: str) -> str:
    return "" if row is None or row[column] != row[column] else row[column]


@cache
def _tables() -> tuple[dict[str, Any], Any]:
    """The pull and the EMC of the first air in a kiln, at 4/4 and at 8/4, by wood; and who lends to whom."""
    table = tables.read("first_kiln_air")
    rh = air.rh_from_wet_bulb_pct(table.temp_f, table.temp_f - table.depression_f)
    emc = air.emc_pct(table.temp_f, rh)
    pulls = pull_of_air(table.temp_f, emc)
    first: dict[str, list[tuple[float, float]]] = {}
    for name, pull, each in zip(table.species, pulls, emc, strict=True):
        first.setdefault(name, []).append((float(pull), float(each)))
    return first, tables.read("checking_kin").set_index("species")


@cache
def _classes() -> dict[str, str]:
    """The letter of each wood's schedule: how wet it is in the first step."""
    table = tables.read("first_kiln_air")
    return dict(zip(table.species, table.schedule.str[-2], strict=True))


@cache
def _steps() -> dict[str, dict[float, Any]]:
    """The first temperature and wet-bulb depression in a kiln, by wood and thickness."""
    found: dict[str, dict[float, tuple[float, float]]] = {}
    for row in tables.read("first_kiln_air").itertuples():
        found.setdefault(row.species, {})[float(row.thickness_in)] = (
            float(row.temp_f),
            float(row.depression_f),
        )
    return found


@cache
def _recalled() -> frozenset[str]:
    """The woods whose safe loss is a figure from memory."""
    table = tables.read("species")
    return frozenset(table.name[table.safe_loss_status.str.contains("memory", na=False)])
