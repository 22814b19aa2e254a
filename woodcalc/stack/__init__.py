"""The pile: layers, stickers, bolsters, weight on its feet, and what happens to boards between the stickers.

A pile on sticks does two jobs: it lets air reach every face, and it holds each board straight while it dries.
Loads run down through the columns of stickers; a sticker that stands beside its column hangs its load on the
board below. Weights are green volume times basic specific gravity times (1 + MC/100): good at any moisture.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cache, lru_cache
from typing import TYPE_CHECKING, Any

import numpy as np

from woodcalc import species as woods
from woodcalc import tables
from woodcalc.checks import FloatOrArray, InputError, Numbers, plain, suggest, within
from woodcalc.moisture import (
    green_weight_lb_per_ft3,
    lift_in_people,
    weight_range_lb_per_ft3,
)
from woodcalc.sizes import board_feet, feet_and_inches, nominal_in, sawn_in
from woodcalc.stack import beam

if TYPE_CHECKING:
    import pandas as pd


# FOR-128 p. 69 names beech and sycamore; the other two are common practice
TWISTERS = ("American beech", "American sycamore", "American elm", "sweetgum")
COVER_LB_PER_FT2 = 3.0  # corrugated steel on a light frame: common practice
HEAVIEST = "The heaviest board"  # the caution on who lifts it begins so
WIDEST_IN = 48.0  # board that goes on a pile
EDGE_IN = 0.5  # a shifted sticker stays this far from the board's end

Counted = tuple[int, str | float, float, float]  # how many, nominal thickness, width (in), length (ft)


@cache
def guidance(topic: str, applies: str = "all") -> dict[str, Any]:
    """Return one row of published stacking guidance.

    Parameters
    ----------
    topic, applies : str
        As in `data/stacking_guidance.csv`.

    Returns
    -------
    dict
        `low`, `usual`, `high` (NaN where nothing is said), `unit`, `source`, `status`, `note`.

    Raises
    ------
    InputError
        No such row.

    Examples
    --------
    >>> guidance("top load")["usual"]
    50.0
    """
    table = tables.read("stacking_guidance")
    row = table[(table.topic == topic) & (table.applies == applies)]
    if row.empty:
        topics = ", ".join(table.topic.unique())
        known = ", ".join(table.applies[table.topic == topic])
        offer = f"There is for: {known}" if known else f"Topics: {topics}"
        raise InputError(f"no guidance on {topic!r} for {applies!r}. {offer}.")
    return row.iloc[0].to_dict()


def sticker_spacing(thickness_in: float = 1.0, species: str | woods.Species | None = None) -> dict[str, Any]:
    """Return the published range of sticker spacing.

    Parameters
    ----------
    thickness_in : float
        Nominal rough thickness (in), 4/4 = 1.0; 0.25 to 6.
    species : str or Species, optional
        Woods that twist want closer stickers.

    Returns
    -------
    dict
        `low`, `usual`, `high` (in), `source`, `status`, `note`.

    Examples
    --------
    >>> sticker_spacing(1.0, "northern red oak")["usual"]
    24.0
    >>> sticker_spacing(1.0, "beech")["usual"]
    12.0
    """
    thickness = within("thickness_in", nominal_in(thickness_in), 0.25, 6, "in", "Nominal inches: 4/4 is 1.0.")
    if species is not None and woods.get(species).name in TWISTERS:
        return guidance("sticker spacing", "species that twist")
    kind = "thinner than 4/4" if thickness < 1 else "4/4 to 6/4" if thickness < 2 else "8/4 and thicker"
    return guidance("sticker spacing", kind)


def sticker_places_in(length_in: float, spacing_in: float, end_in: float = 1.0) -> np.ndarray:
    """Return where stickers stand along a board: one near each end, the rest evenly between.

    Parameters
    ----------
    length_in : float
        Length of the board (in), 12 to 600.
    spacing_in : float
        Greatest spacing, centre to centre (in), 4 to 96.
    end_in : float
        Distance from the end of the board to the centre of the first sticker (in).

    Returns
    -------
    ndarray

    Examples
    --------
    >>> sticker_places_in(100, 24)
    array([ 1. , 20.6, 40.2, 59.8, 79.4, 99. ])
    """
    length = within("length_in", length_in, 12, 600, "in", "Is it in feet?")
    spacing = within("spacing_in", spacing_in, 4, 96, "in", "Is it in feet?")
    end = within("end_in", end_in, 0, length / 3, "in")
    gaps = max(1, int(np.ceil((length - 2 * end) / spacing - 1e-9)))
    return np.linspace(end, length - end, gaps + 1)


def shifted_places_in(
    places_in: Numbers, layers: int, shift_in: float, length_in: float, every: int = 2
) -> list[np.ndarray]:
    """Return the stickers under each layer when some rows stand beside the column.

    Parameters
    ----------
    places_in : array-like
        The column's places (in). The lowest layer stands on them always: those are the bolsters.
    layers : int
        Number of layers, 1 to 80.
    shift_in : float
        How far the misplaced rows are off, to the right if positive (in).
    length_in : float
        Length of the boards (in); a row stays on the board.
    every : int
        2: every second row is off.

    Returns
    -------
    list of ndarray
        One per layer, lowest first.

    Examples
    --------
    >>> shifted_places_in([1, 25, 49], 3, 6, 50)[1]
    array([ 7. , 31. , 49.5])
    """
    places = np.asarray(places_in, float)
    count = int(within("layers", layers, 1, 80))
    shift = within("shift_in", shift_in, -96, 96, "in")
    moved = np.clip(places + shift, min(EDGE_IN, places[0]), max(length_in - EDGE_IN, places[-1]))
    return [moved if k % every == every - 1 and k > 0 else places for k in range(count)]


def airflow(gap_ft: float = 4.0, yard: str = "ordinary") -> str:
    """Return the word for the air that a pile gets, as `woodcalc.drying.air_dry` takes it.

    Parameters
    ----------
    gap_ft : float
        Clear way to the next pile or wall (ft), 0 to 100. Below 3 ft the pile counts one step stiller: 5 ft
        between piles dried faster than 1 ft (PSW Technical Paper 65, 1962), 8 ft than 2 ft (Peterson, no date).
    yard : str
        The place itself: "sheltered", "ordinary" or "open".

    Returns
    -------
    str

    Raises
    ------
    InputError
        Another word, or a gap out of range.

    Examples
    --------
    >>> airflow(1, "open"), airflow(6, "open")
    ('ordinary', 'open')
    """
    words = ("sheltered", "ordinary", "open")
    if yard not in words:
        raise suggest(yard, words, "yard")
    step = words.index(yard) - (within("gap_ft", gap_ft, 0, 100, "ft") < 3)
    return words[max(0, step)]


def load_over_stiffness(
    thickness_in: float, species: str | woods.Species, mc_pct: float | None = None, part: str = "mixed"
) -> float:
    """Return a board's weight per inch over its E I (1/in3): sag in a pile of given shape goes in proportion to it.

    Parameters
    ----------
    thickness_in : float
        Nominal rough thickness (in).
    species : str or Species
    mc_pct : float, optional
        For the weight; left out: green.
    part : {"mixed", "heartwood", "sapwood"}
        Of the log, for green boards.

    Returns
    -------
    float

    Examples
    --------
    >>> 5 / 384 * load_over_stiffness(1.0, "northern red oak") * 96**4  # a board on two ends, no creep
    0.283
    """
    wood, thick = woods.get(species), sawn_in(thickness_in)
    weight = green_weight_lb_per_ft3(wood, mc_pct, "green", part) / 1728 * thick
    return weight / (_green_moe_psi(wood) * thick**3 / 12)


def _green_moe_psi(wood: woods.Species) -> float:
    """The wood's own stiffness, or an error where it is not known."""
    if wood.moe_green_psi is None:
        raise InputError(f"no stiffness is known for green {wood.name}; give moe_psi.")
    return wood.moe_green_psi


@dataclass(frozen=True)
class PileShape:
    """A pile of equal layers seen from the side, after creep.

    Attributes
    ----------
    x_in : ndarray of shape (n,)
        Places along the boards.
    down_in : ndarray of shape (layers, n)
        How far each layer lies below where it would lie undeformed; below 0 is a rise.
    rests_in : list of ndarray
        Stickers under each layer, lowest first (the lowest are the bolsters).
    push_lb : list of ndarray
        Load on each of them per foot of pile width (lb); 0 where the board has lifted off.
    string_gap_in : ndarray of shape (layers,)
        Greatest gap between a layer's board and a string stretched end to end along it.
    """

    x_in: np.ndarray
    down_in: np.ndarray
    rests_in: list[np.ndarray]
    push_lb: list[np.ndarray]
    string_gap_in: np.ndarray


def pile_shape(
    thickness_in: float,
    stickers_in: Numbers | Sequence[Numbers],
    length_in: float,
    species: str | woods.Species = "northern red oak",
    *,
    layers: int = 1,
    mc_pct: float | None = None,
    moe_psi: float | None = None,
    lb_per_ft3: float | None = None,
    sawn_thickness_in: float | None = None,
    top_load_lb_per_ft2: float = 0.0,
    creep: float | None = None,
    step_in: float = 2.0,
    part: str = "mixed",
) -> PileShape:
    """Return the shape that gravity gives a pile of boards on stickers.

    Every layer is an elastic beam on the stickers below, loaded by its own weight and by the stickers above;
    stickers are rigid and only push, bolsters do not sink. The first deflection is multiplied by `creep`.

    Parameters
    ----------
    thickness_in : float
        Nominal rough thickness (in), 4/4 = 1.0.
    stickers_in : array-like, or list of them
        Places of the stickers under every layer (in), all in columns; or one list per layer, lowest first.
    length_in : float
        Length of the boards (in).
    species : str or Species
        Gives weight and stiffness.
    layers : int
        Number of layers; not needed when `stickers_in` has one list per layer.
    mc_pct : float, optional
        Moisture content for the weight; left out: green.
    moe_psi, lb_per_ft3, sawn_thickness_in : float, optional
        Stiffness, weight and thickness to use instead of the species' green ones and `sawn_in`.
    top_load_lb_per_ft2 : float
        Weights laid on the pile above the top row of stickers, on cross pieces in line with them.
    creep : float, optional
        Final deflection over first; left out: 2.0, the average for wood that is green when loaded (NDS 3.5.2
        as explained by the American Wood Council; between 1 and 3). An assumption for a drying board.
    step_in : float
        Distance between the places where the shape is found.
    part : {"mixed", "heartwood", "sapwood"}
        Of the log: sets the weight of green boards.

    Returns
    -------
    PileShape

    Raises
    ------
    InputError
        A sticker off the board, fewer than two stickers, a species without stiffness.

    Examples
    --------
    >>> places = sticker_places_in(144, 24)
    >>> line = pile_shape(1.0, places, 144, layers=12)
    >>> off = pile_shape(1.0, shifted_places_in(places, 12, 12, 144), 144)
    >>> print(f"{line.down_in.max():.4f} {off.down_in.max():.2f}")
    0.0010 0.13
    """
    wood = woods.get(species)
    length = within("length_in", length_in, 12, 600, "in", "Is it in feet?")
    if creep is None:
        creep = guidance("creep", "green wood that dries under load")["usual"]
    creep = within("creep", creep, 1, 5)
    thick = sawn_in(thickness_in) if sawn_thickness_in is None else sawn_thickness_in
    thick = within("sawn_thickness_in", thick, 0.1, 12, "in")
    modulus = within("moe_psi", _green_moe_psi(wood) if moe_psi is None else moe_psi, 1e4, 1e8, "psi")
    density = green_weight_lb_per_ft3(wood, mc_pct, "green", part) if lb_per_ft3 is None else lb_per_ft3
    density = within("lb_per_ft3", density, 0, 200, "lb/ft3")
    top = within("top_load_lb_per_ft2", top_load_lb_per_ft2, 0, 500, "lb/ft2")
    rests = _per_layer(stickers_in, layers)
    per_foot = 12.0  # the layer as one board 12 in wide: its width does not matter
    weight = density / 1728 * thick * per_foot
    stiffness = modulus * per_foot * thick**3 / 12
    points = _top_points(rests[-1], length, top / 144 * per_foot)
    bent = beam.bend_pile(length, rests, stiffness, weight, top_points=points, step_in=step_in)
    down = bent.down_in * creep
    string = down[:, :1] + (down[:, -1:] - down[:, :1]) * bent.x_in / length
    return PileShape(bent.x_in, down, rests, bent.contact_lb, np.abs(down - string).max(axis=1))


def sag_in(
    thickness_in: float,
    stickers_in: Numbers | Sequence[Numbers],
    length_in: float,
    species: str | woods.Species = "northern red oak",
    **options: Any,
) -> float:
    """Return the greatest deflection of any board of a pile below its level line, after creep.

    Parameters
    ----------
    thickness_in, stickers_in, length_in, species, **options :
        As in `pile_shape`.

    Returns
    -------
    float
        Inches.

    Examples
    --------
    One board on two stickers at its ends, no creep: 5 w L^4 / (384 E I).

    >>> sag_in(1.0, [0, 96], 96, moe_psi=1.35e6, lb_per_ft3=64.0, creep=1.0, step_in=4)
    0.287
    """
    return float(pile_shape(thickness_in, stickers_in, length_in, species, **options).down_in.max())


def hold_flat_lb(
    bow_in: Numbers,
    length_ft: Numbers,
    width_in: Numbers,
    thickness_in: float = 1.0,
    species: str | woods.Species = "northern red oak",
) -> FloatOrArray:
    """Return the weight at mid-length that presses a bowed board straight: 48 E I bow / L^3 (lb).

    Parameters
    ----------
    bow_in : float or array
        Gap between the board and a string stretched end to end, if it were free (in), 0 to 24.
    length_ft, width_in : float or array
        Of the board.
    thickness_in : float
        Nominal (in).
    species : str or Species
        Green stiffness; a dry board is a quarter or so stiffer.

    Returns
    -------
    float or ndarray

    Raises
    ------
    InputError
        A size out of range, an unknown species.

    References
    ----------
    AISC Manual table 3-23 case 7 (a load in the middle of a beam on two ends), turned round.

    Examples
    --------
    >>> round(hold_flat_lb(1, 12, 8))
    21
    """
    bow = np.asarray(within("bow_in", bow_in, 0, 24, "in"))
    length = 12 * np.asarray(within("length_ft", length_ft, 1, 60, "ft", "Is it in inches?"))
    width = np.asarray(within("width_in", width_in, 1, WIDEST_IN, "in"))
    stiffness = _green_moe_psi(woods.get(species)) * width * sawn_in(thickness_in) ** 3 / 12
    return plain(48 * stiffness * bow / length**3)


def _per_layer(stickers: Any, layers: int) -> list[np.ndarray]:
    try:
        single = all(np.ndim(s) == 0 for s in stickers)
    except TypeError:
        raise InputError("stickers_in: expected places along the board in inches.") from None
    if single:
        return [np.asarray(stickers, float)] * int(within("layers", layers, 1, 80))
    return [np.asarray(s, float) for s in stickers]


def _top_points(places: np.ndarray, length: float, load_per_in: float) -> Sequence[tuple[Any, Any]]:
    """A weight spread on the pile, carried at `places`: each takes half the gaps beside it."""
    if load_per_in == 0:
        return ()
    edges = np.concatenate([[0.0], (places[1:] + places[:-1]) / 2, [length]])
    return list(zip(places, np.diff(edges) * load_per_in, strict=True))


@dataclass(frozen=True)
class StackPlan:
    """A pile as it is to be built.

    Attributes
    ----------
    boards : DataFrame
        The boards, with `layer` (0 = lowest), `line` (place across the pile) and `green_lb`.
    layers : DataFrame
        Lowest first: `nominal`, `boards`, `width_in` (wood and gaps), `thickness_in`, `board_feet`,
        `green_lb`.
    species : tuple of str
    length_in, width_in, height_in : float
        Footprint along and across the boards; height of boards and stickers above the bolsters.
    foundation_in : float
        From the ground to the underside of the lowest boards.
    spacing_in : float
        Sticker spacing as laid, centre to centre.
    sticker_places_in : ndarray
        From one end of the pile.
    sticker_rows, sticker_count : int
        Rows (one under each layer but the lowest, one under the cover); stickers in all.
    sticker_length_in : float
    sticker_section_in : tuple of float
        Thickness, width.
    bolster_places_in : ndarray
    footings : int
        In all: bolsters times footings under each.
    board_feet : float
    green_lb, green_low_lb, green_high_lb, dry_lb : float
        Weight of the boards when stacked, with its margin, and at `dry_mc_pct`.
    dry_mc_pct : float
    heaviest_board_lb, heaviest_board_high_lb : float
        Green: likely, and with its margin.
    heaviest_species : str
        The wood of that board.
    lift_people : int
        How many people lift that board, by `moisture.lift_in_people`.
    top_load_lb : float
        Weights to lay on the pile.
    cover_in : tuple of float
        Length and width of a roof with the usual overhang.
    footing_lb : float
        Greatest load on one footing: green, upper margin, top load and cover.
    footing_lb_per_ft2 : float
        The same over its pad.
    height_ratio : float
        Height above ground over width.
    tip_lb : float
        Push at the top of the dry pile that would tip it over as a block.
    sag_in : float
        Sag of the thinnest boards between stickers in columns.
    airflow : str
        Word for `woodcalc.drying.air_dry`.
    cautions : tuple of str
    """

    boards: pd.DataFrame
    layers: pd.DataFrame
    species: tuple[str, ...]
    length_in: float
    width_in: float
    height_in: float
    foundation_in: float
    spacing_in: float
    sticker_places_in: np.ndarray
    sticker_rows: int
    sticker_count: int
    sticker_length_in: float
    sticker_section_in: tuple[float, float]
    bolster_places_in: np.ndarray
    footings: int
    board_feet: float
    green_lb: float
    green_low_lb: float
    green_high_lb: float
    dry_lb: float
    dry_mc_pct: float
    heaviest_board_lb: float
    heaviest_board_high_lb: float
    heaviest_species: str
    lift_people: int
    top_load_lb: float
    cover_in: tuple[float, float]
    footing_lb: float
    footing_lb_per_ft2: float
    height_ratio: float
    tip_lb: float
    sag_in: float
    airflow: str
    cautions: tuple[str, ...]

    def to_frame(self) -> pd.DataFrame:
        """Return the sheet to take outside: what, how much, unit."""
        import pandas as pd

        t, w = self.sticker_section_in
        places = ", ".join(f"{p:.0f}" for p in self.sticker_places_in)
        range_lb = f"{self.green_low_lb:,.0f} to {self.green_high_lb:,.0f} lb"
        pressure = f"{self.footing_lb_per_ft2:,.0f} lb/ft2 under its pad"
        stickers = f"{t:g} x {w:g} in, {self.sticker_length_in:.0f} in long, dry"
        under = f"{len(self.bolster_places_in)}, on {self.footings} footings"
        tall = self.foundation_in + self.height_in
        heaviest = f"green, up to {self.heaviest_board_high_lb:.0f} lb: {who_lifts(self.lift_people)}"
        layers = f"{len(self.boards)} in {len(self.layers)} layer{'s' * (len(self.layers) > 1)}"
        rows = [
            ("boards", layers, f"{self.board_feet:.0f} board feet"),
            (
                "footprint",
                " by ".join(map(feet_and_inches, (self.length_in, self.width_in))),
                "along and across the boards",
            ),
            ("height", feet_and_inches(tall), f"{self.foundation_in:.0f} in of it foundation"),
            ("bolsters", under, "level, in line with the stickers"),
            ("sticker places", places, "in from one end, center of each"),
            ("stickers", f"{self.sticker_count}", stickers),
            ("weight green", f"{self.green_lb:,.0f} lb", range_lb),
            ("weight dry", f"{self.dry_lb:,.0f} lb", f"at {self.dry_mc_pct:g} % moisture content"),
            ("heaviest board", f"{self.heaviest_board_lb:.0f} lb", heaviest),
            ("load on a footing", f"{self.footing_lb:,.0f} lb", pressure),
            ("weights on top", f"{self.top_load_lb:,.0f} lb", "on cross pieces over the columns"),
            ("cover", " by ".join(map(feet_and_inches, self.cover_in)), "sloped and tied down, sides open"),
        ]
        return pd.DataFrame(rows, columns=["what", "how much", "note"])


def boards_from_counts(counts: Sequence[Counted], species: str) -> pd.DataFrame:
    """Return a boards table from counts.

    Parameters
    ----------
    counts : sequence of (count, nominal, width_in, length_ft)
        E.g. ``(40, "4/4", 7, 8)``; or dicts with these four names.
    species : str

    Returns
    -------
    DataFrame
        Columns `board`, `species`, `nominal`, `thickness_in` (sawn), `width_in`, `length_ft`, `board_feet`.

    Examples
    --------
    >>> float(boards_from_counts([(40, "4/4", 6, 8)], "red oak")["board_feet"].sum())
    160.0
    """
    import pandas as pd

    four = ("count", "nominal", "width_in", "length_ft")
    try:
        told = [[row[k] for k in four] if isinstance(row, dict) else row for row in counts]
        sized = [(n, size, float(w), float(f)) for n, size, w, f in told]
    except (KeyError, TypeError, ValueError):
        raise InputError(f"counts: expected rows of {', '.join(four)}, e.g. (40, '4/4', 7, 8).") from None
    each = [int(within("count", n, 0, 5000)) for n, *_ in sized]
    nominal = np.repeat(np.array([size for _, size, *_ in sized], dtype=object), each)
    sizes = np.repeat(nominal_in([size for _, size, *_ in sized]), each)
    width = np.repeat([within("width_in", w, 1, WIDEST_IN, "in") for *_, w, _ in sized], each).astype(float)
    long = [within("length_ft", f, 1, 60, "ft", "Is it in inches?") for *_, f in sized]
    length = np.repeat(long, each).astype(float)
    return pd.DataFrame(
        {
            "board": [f"{k + 1}" for k in range(len(sizes))],
            "species": woods.get(species).name,
            "nominal": nominal,
            "thickness_in": sawn_in(sizes),
            "width_in": width,
            "length_ft": length,
            "board_feet": board_feet(sizes, width, length),
        }
    )


def plan_stack(
    boards: pd.DataFrame | Sequence[Counted],
    species: str | None = None,
    *,
    pile_width_in: float = 48.0,
    spacing_in: float | None = None,
    edge_gap_in: float = 1.0,
    end_in: float = 1.0,
    bolster_every: int = 1,
    footings_per_bolster: int = 2,
    pad_in: tuple[float, float] = (16.0, 8.0),
    foundation_in: float = 18.0,
    sticker_section_in: tuple[float, float] = (0.75, 1.25),
    trim_in: float = 2.0,
    top_load_lb_per_ft2: float = 0.0,
    green_mc_pct: float | None = None,
    dry_mc_pct: float = 15.0,
    gap_ft: float = 4.0,
    yard: str = "ordinary",
    part: str = "mixed",
) -> StackPlan:
    """Lay out a pile: layers, stickers, bolsters, weight, load on the footings, cautions.

    Boards are sorted by thickness (thick ones below), then length; short ones are laid end to end in one line
    as long as the pile; lines fill a layer up to `pile_width_in`.

    Parameters
    ----------
    boards : DataFrame or sequence of (count, nominal, width_in, length_ft)
        A boards table (columns `nominal`, `width_in`, `length_ft`, and where known `species`,
        `thickness_in`), or counts, which need `species`.
    species : str, optional
        The wood, if the boards do not say it.
    pile_width_in : float
        Greatest width across the boards (in), 12 to 192.
    spacing_in : float, optional
        Greatest sticker spacing (in); left out: the usual one by `sticker_spacing`.
    edge_gap_in : float
        Gap between boards side by side (in).
    end_in : float
        Centre of the first sticker from the end (in).
    bolster_every : int
        1: a bolster under every column of stickers; 2: under every second, and the last.
    footings_per_bolster : int
        2 or more, evenly spaced.
    pad_in : tuple of float
        Size of the footing's pad on the ground (in); a concrete block laid flat is 16 x 8.
    foundation_in : float
        Height of the lowest boards above the ground (in).
    sticker_section_in : tuple of float
        Thickness and width (in).
    trim_in : float
        Length of a board beyond its nominal feet (in).
    top_load_lb_per_ft2 : float
        Weights on the pile (lb/ft2 of pile).
    green_mc_pct : float, optional
        Moisture content when stacked; left out: that of green boards of `part`.
    dry_mc_pct : float
        For the dry weight.
    gap_ft, yard :
        As in `airflow`.
    part : {"mixed", "heartwood", "sapwood"}
        Of the log: sets the weight of green boards.

    Returns
    -------
    StackPlan

    Raises
    ------
    InputError
        No boards, a missing column, an unknown species, a board wider than the pile, a size out of range.

    Examples
    --------
    >>> plan = plan_stack([(60, "4/4", 7, 8)], "northern red oak")
    >>> len(plan.layers), plan.sticker_count, round(plan.green_lb, -1)
    (10, 50, 1690.0)
    """
    table = _check_boards(boards, species)
    width = within("pile_width_in", pile_width_in, 12, 192, "in", "Is it in feet?")
    gap = within("edge_gap_in", edge_gap_in, 0, 12, "in")
    trim = within("trim_in", trim_in, 0, 24, "in")
    foundation = within("foundation_in", foundation_in, 0, 60, "in")
    dry_mc = within("dry_mc_pct", dry_mc_pct, 0, 100, "% MC")
    if table["width_in"].max() > width:
        raise InputError(f"pile_width_in = {width:g}: a board is {table['width_in'].max():g} in wide.")
    kinds = tuple(dict.fromkeys(table["species"]))
    sizes = np.array(sorted(set(table["size_in"])))
    if spacing_in is None:
        spacing_in = min(float(sticker_spacing(s, k)["usual"]) for s in sizes for k in kinds)
    spacing = within("spacing_in", spacing_in, 4, 96, "in", "Is it in feet?")
    length = float(table["length_ft"].max() * 12 + trim)
    places = sticker_places_in(length, spacing, end_in)

    boards_lb = _weights(table, trim, green_mc_pct, dry_mc, part)
    table, used = _pile_up(table.assign(green_lb=boards_lb["green"]), width, gap, length, trim)
    layers = _layer_table(table, used)
    across = float(layers["width_in"].max())
    height = float(layers["thickness_in"].sum() + len(layers) * sticker_section_in[0])
    overhang = guidance("roof overhang")["usual"]
    cover = (length + 2 * overhang, across + 2 * overhang)
    top_lb = within("top_load_lb_per_ft2", top_load_lb_per_ft2, 0, 500, "lb/ft2") * length * across / 144
    on_feet_lb = boards_lb["high"].sum() + top_lb + COVER_LB_PER_FT2 * cover[0] * cover[1] / 144
    bolsters = _bolster_places(places, bolster_every)
    heaviest = boards_lb["high"].idxmax()
    thin = float(table["thickness_in"].min())
    plan = StackPlan(
        boards=table.drop(columns="size_in"),
        layers=layers,
        species=kinds,
        length_in=length,
        width_in=across,
        height_in=height,
        foundation_in=foundation,
        spacing_in=float(places[1] - places[0]),
        sticker_places_in=places,
        sticker_rows=len(layers),  # between layers, and one row under the cover
        sticker_count=len(layers) * len(places),
        sticker_length_in=across,
        sticker_section_in=(float(sticker_section_in[0]), float(sticker_section_in[1])),
        bolster_places_in=bolsters,
        board_feet=float(table["board_feet"].sum()),
        green_lb=float(table["green_lb"].sum()),
        green_low_lb=float(boards_lb["low"].sum()),
        green_high_lb=float(boards_lb["high"].sum()),
        dry_lb=float(boards_lb["dry"].sum()),
        dry_mc_pct=dry_mc,
        heaviest_board_lb=float(boards_lb["green"][heaviest]),
        heaviest_board_high_lb=float(boards_lb["high"][heaviest]),
        heaviest_species=str(table["species"][heaviest]),
        lift_people=int(lift_in_people(boards_lb["high"][heaviest], margin=0)),
        top_load_lb=float(top_lb),
        cover_in=cover,
        height_ratio=(foundation + height) / across,
        tip_lb=float(boards_lb["dry"].sum()) * across / 2 / (foundation + height),
        sag_in=max(sag_in(thin, places, length, k, sawn_thickness_in=thin) for k in kinds),
        airflow=airflow(gap_ft, yard),
        cautions=(),
        **_footings(bolsters, footings_per_bolster, pad_in, length, float(on_feet_lb)),
    )
    return replace(plan, cautions=_cautions(plan, sizes, kinds, spacing, bolster_every))


def _weights(
    table: pd.DataFrame, trim_in: float, green_mc_pct: float | None, dry_mc_pct: float, part: str
) -> dict[str, pd.Series]:
    """Weight of each board (lb): green, at the dry moisture content, and the least and most that it may be green."""
    volume = table["thickness_in"] * table["width_in"] * (table["length_ft"] * 12 + trim_in) / 1728
    lb_per_ft3 = {
        name: _lb_per_ft3(woods.get(name), green_mc_pct, dry_mc_pct, part)
        for name in dict.fromkeys(table["species"])
    }
    return {
        name: volume * table["species"].map({wood: each[n] for wood, each in lb_per_ft3.items()})
        for n, name in enumerate(("green", "dry", "low", "high"))
    }


@lru_cache(maxsize=64)
def _lb_per_ft3(
    wood: woods.Species, green_mc_pct: float | None, dry_mc_pct: float, part: str
) -> tuple[float, float, float, float]:
    return (
        green_weight_lb_per_ft3(wood, green_mc_pct, "green", part),
        green_weight_lb_per_ft3(wood, dry_mc_pct, "green"),
        *weight_range_lb_per_ft3(wood, green_mc_pct, part),
    )


def _bolster_places(places: np.ndarray, bolster_every: int) -> np.ndarray:
    """Which columns of stickers stand on a bolster: every so many, and always the last."""
    every = int(within("bolster_every", bolster_every, 1, 6))
    return places[sorted({*range(0, len(places), every), len(places) - 1})]


def _footings(
    bolsters: np.ndarray, per_bolster: int, pad_in: tuple[float, float], length_in: float, load_lb: float
) -> dict[str, Any]:
    """How many footings, and the greatest load on one: the pile as a beam on its bolsters, each a beam on its own."""
    per_bolster = int(within("footings_per_bolster", per_bolster, 2, 9))
    on_bolster = beam.bend(length_in, bolsters, 1.0, load_lb / length_in).contact_lb.max()
    share = beam.bend(100.0, np.linspace(0, 100, per_bolster), 1.0, 0.01).contact_lb.max()
    footing_lb = float(on_bolster * share)
    return {
        "footings": per_bolster * len(bolsters),
        "footing_lb": footing_lb,
        "footing_lb_per_ft2": float(footing_lb / (pad_in[0] * pad_in[1] / 144)),
    }


def _check_boards(boards: Any, species: str | None) -> pd.DataFrame:
    import pandas as pd

    if not isinstance(boards, pd.DataFrame):
        if species is None:
            raise InputError("species: say which wood the boards are.")
        boards = boards_from_counts(boards, species)
    missing = [c for c in ("nominal", "width_in", "length_ft") if c not in boards]
    if missing:
        raise InputError(
            f"boards: no column {', '.join(missing)}; found {', '.join(map(str, boards.columns))}."
        )
    if len(boards) == 0:
        raise InputError("boards: the table is empty, there is nothing to stack.")
    table = boards.reset_index(drop=True).copy()
    if species is not None:
        table["species"] = woods.get(species).name
    elif "species" not in table:
        raise InputError("species: the boards table does not say which wood it is; give species.")
    else:
        table["species"] = table["species"].map({k: woods.get(k).name for k in table["species"].unique()})
    table["size_in"] = nominal_in(table["nominal"])
    within("width_in", table["width_in"], 1, WIDEST_IN, "in", "Is it in cm?")
    within("length_ft", table["length_ft"], 1, 60, "ft", "Is it in inches?")
    sawn = sawn_in(table["size_in"])
    given = table["thickness_in"].astype(float) if "thickness_in" in table else sawn
    table["thickness_in"] = np.where(np.isnan(given), sawn, given)
    if "board_feet" not in table:
        table["board_feet"] = board_feet(table["size_in"], table["width_in"], table["length_ft"])
    return table


def _pile_up(
    table: pd.DataFrame, width: float, gap: float, length: float, trim: float
) -> tuple[pd.DataFrame, list[float]]:
    """Give every board a layer and a line: first fit, thick and long and wide ones first."""
    order = table.sort_values(["size_in", "length_ft", "width_in"], ascending=False, kind="stable")
    lines: list[list[Any]] = []  # [size, room left along, width across, boards]
    sizes = zip(order.index, order["size_in"], order["length_ft"] * 12 + trim, order["width_in"], strict=True)
    for i, size, long, wide in sizes:
        home = next((k for k in lines if k[0] == size and k[1] >= long and abs(k[2] - wide) <= 2), None)
        if home is None:
            lines.append([size, length - long, wide, [i]])
        else:
            home[1] -= long
            home[2] = max(home[2], wide)
            home[3].append(i)
    layers: list[list[Any]] = []  # [size, width used, lines]
    for size, _, wide, members in lines:
        home = next((k for k in layers if k[0] == size and k[1] + gap + wide <= width + 1e-9), None)
        if home is None:
            layers.append([size, wide, [members]])
        else:
            home[1] += gap + wide
            home[2].append(members)
    layer, line = np.zeros(len(table), int), np.zeros(len(table), int)
    for k, (_, _, across) in enumerate(layers):
        for j, members in enumerate(across):
            layer[members], line[members] = k, j
    return table.assign(layer=layer, line=line), [used for _, used, _ in layers]


def _layer_table(table: pd.DataFrame, across: list[float]) -> pd.DataFrame:
    """One row a layer; sums by layer number."""
    import pandas as pd

    layer = table["layer"].to_numpy()
    first = np.unique(layer, return_index=True)[1]
    thick = np.zeros(len(first))
    np.maximum.at(thick, layer, table["thickness_in"].to_numpy())
    return pd.DataFrame(
        {
            "nominal": table["nominal"].to_numpy()[first],
            "boards": np.bincount(layer),
            "width_in": across,
            "thickness_in": thick,
            "board_feet": np.bincount(layer, table["board_feet"]),
            "green_lb": np.bincount(layer, table["green_lb"]),
        },
        index=pd.RangeIndex(len(first), name="layer"),
    )


MOST_LIFTERS = 4  # common practice: what asks for more people is for a machine


def who_lifts(count: int) -> str:
    """Return who lifts a board, in words, from `moisture.lift_in_people`.

    Parameters
    ----------
    count : int
        People that the board asks for, 1 or more.

    Examples
    --------
    >>> who_lifts(3)
    'three people lift it'
    """
    if count > MOST_LIFTERS:
        return "too heavy to lift by hand, use a machine"
    return "one person lifts it" if count == 1 else f"{('two', 'three', 'four')[count - 2]} people lift it"


def _cautions(
    plan: StackPlan, sizes: np.ndarray, kinds: tuple[str, ...], spacing: float, bolster_every: int
) -> tuple[str, ...]:
    said = []
    limit = guidance("height to width", "hand-built pile")
    tall_ft = (plan.foundation_in + plan.height_in) / 12
    if plan.height_ratio > limit["high"]:
        piles = int(np.ceil(plan.height_ratio / limit["usual"]))
        said.append(
            f"Too tall for its width: {plan.height_ratio:.1f} times. Build {piles} piles, or a wider one; a "
            f"pile built by hand stays under {limit['usual']:g} times its width (common practice)."
        )
    elif plan.height_ratio > limit["usual"]:
        said.append(
            f"Tall for its width: {plan.height_ratio:.1f} times. Keep it to {limit['usual']:g} (common "
            "practice), tie it to its neighbor, or build it wider."
        )
    by_hand = guidance("height by hand")
    if tall_ft > by_hand["usual"]:
        said.append(f"{tall_ft:.1f} ft is above head height: do not build it from the ground by hand.")
    if plan.footing_lb_per_ft2 > guidance("soil bearing", "weakest soils named")["usual"]:
        said.append(
            f"{plan.footing_lb_per_ft2:,.0f} lb/ft2 under a footing: more than soft ground carries (1,500 "
            "lb/ft2). Use wider pads or more footings, on undisturbed soil."
        )
    if plan.lift_people > 1:
        said.append(
            f"{HEAVIEST}, {plan.heaviest_species}, weighs about {plan.heaviest_board_lb:.0f} lb green, and may "
            f"weigh {plan.heaviest_board_high_lb:.0f} lb: {who_lifts(plan.lift_people)}."
        )
    if len(sizes) > 1:
        said.append(
            "More than one thickness: they dry at different speeds. Give each its own pile if you can."
        )
    if len(kinds) > 1:
        said.append("More than one species: they dry at different speeds. Give each its own pile if you can.")
    most = min(float(sticker_spacing(s, k)["high"]) for s in sizes for k in kinds)
    if spacing > most:
        said.append(f"Stickers {spacing:g} in apart: published guidance stops at {most:g} in.")
    if bolster_every > 1:
        said.append("Some columns of stickers stand on no bolster: the boards themselves must carry them.")
    if plan.foundation_in < guidance("foundation height")["low"]:
        said.append("The lowest boards lie close to the ground: damp and still air. Raise them 12 to 18 in.")
    if plan.width_in > guidance("pile width")["high"]:
        said.append("Wider than 6 ft: the middle dries slowly.")
    if plan.airflow == "sheltered":
        said.append("Still air: drying is slow and mold likely. Leave 4 ft or more to the next pile or wall.")
    return tuple(said)
