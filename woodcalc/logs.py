"""Measure a log: board feet by the log rules, cubic feet, weight, and what a tree holds.

A log rule answers in board feet, from the small-end diameter inside bark and the length; a cubic formula
answers in cubic feet. Diameters are used exactly as given: to round them the way a scaler's stick does, call
`scaling_diameter_in` first, and to find the length that is paid for, `scaling_length_ft`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields, replace
from functools import cache
from math import ceil, floor, log10
from typing import TYPE_CHECKING, Any

import numpy as np

from woodcalc import species as woods
from woodcalc import tables
from woodcalc.checks import FloatOrArray, InputError, Numbers, blank, doubtful, one_of, plain, within
from woodcalc.moisture import weight_range_lb_per_ft3
from woodcalc.sizes import (
    FT3_PER_IN2_FT,
    LOG_TAPER_IN_PER_FT,
    LOG_TRIM_IN,
    MOST_FT3,
    SCALED_FT,
    WIDEST_SCALED_IN,
    board_feet,  # noqa: F401 - read through this module
    frustum_ft3,
    last_scaled_in,
    length_told,
    lifted_ft3,
    round_in,
    scaled_lengths_ft,
)
from woodcalc.trees import form_class_pct, tree_bf  # noqa: F401 - read through this module

if TYPE_CHECKING:
    import pandas as pd


SOLID_FT3_PER_CORD = 80.0  # Haynes 1990, Table B-7, in Briggs 1994, Forest Products Measurements, Appendix 2


METAL = ("found", "likely", "none found")  # what a look and a detector say of a log


@dataclass(frozen=True)
class Log:
    """One log as measured, inside bark.

    Attributes
    ----------
    small_in : float
        Small-end diameter inside bark (in), 1 to 80. Of an oval end it is the diameter of the circle of equal
        area, sqrt(long axis x short axis).
    large_in : float, optional
        Large-end diameter inside bark (in). Left out: the small end plus `taper_in_per_ft` times the length.
    length_ft : float
        Length that is paid for (ft), 1 to 66, trim not counted.
    species : str
        A name that `species.get` knows, or empty.
    label : str
        The tag on the log.
    trim_in : float
        Extra length beyond `length_ft` (in).
    taper_in_per_ft : float
        Growth of diameter per foot of length, used when `large_in` is left out.
    sweep_in : float
        Greatest distance of the log's axis from a straight line between its ends (in).
    oval_ratio : float
        Long axis over short axis of the small end.
    defect_pct : float
        Share of the log that is rotten, split or missing (%), 0 to 100.
    flare_in : float
        What a flared butt is wider than `large_in`, which is measured above the flare (in): cut off before the saw,
        counted where the log is lifted.
    bark_in : float, optional
        Thickness of the bark (in); left out: not measured.
    bow_clock, worst_clock, crack_clock : float
        Hour, 1 to 12, seen from the small end, of the outside of the bow, of the worst face, and of a check or shake; 0
        if not told.
    metal_check : str
        One of `METAL`, or empty.

    Raises
    ------
    InputError
        A size outside its range, a large end smaller than the small end, or more wood than any log holds.

    Examples
    --------
    >>> log = Log(small_in=16, length_ft=12)
    >>> log.large_end_in
    17.5
    >>> log.volume_ft3
    18.4
    """

    small_in: float
    large_in: float | None = None
    length_ft: float = 12.0
    species: str = ""
    label: str = ""
    trim_in: float = LOG_TRIM_IN
    taper_in_per_ft: float = LOG_TAPER_IN_PER_FT
    sweep_in: float = 0.0
    oval_ratio: float = 1.0
    defect_pct: float = 0.0
    flare_in: float = 0.0
    bark_in: float | None = None
    bow_clock: float = 0.0
    worst_clock: float = 0.0
    crack_clock: float = 0.0
    metal_check: str = ""

    def __post_init__(self) -> None:
        within("small_in", self.small_in, 1, 80, "in", "Is it in cm, or is it the distance around the log?")
        within("length_ft", self.length_ft, 1, 66, "ft", "Is it in inches?")
        within("trim_in", self.trim_in, 0, 24, "in", "Is it in feet or cm?")
        within("taper_in_per_ft", self.taper_in_per_ft, 0, 1, "in per ft", "Is it for the whole log?")
        within("sweep_in", self.sweep_in, 0, 40, "in")
        within("oval_ratio", self.oval_ratio, 1, 2, "", "It is the long axis divided by the short one.")
        if self.large_in is not None:
            hint = "Are the two ends exchanged? The small end comes first."
            within("large_in", self.large_in, self.small_in, 120, "in", hint)
        within("defect_pct", self.defect_pct, 0, 100, "%")
        within("flare_in", self.flare_in, 0, 40, "in")
        if self.bark_in is not None:
            within("bark_in", self.bark_in, 0, 4, "in", "Is it for both sides together?")
        for name in ("bow_clock", "worst_clock", "crack_clock"):
            if getattr(self, name):
                within(name, getattr(self, name), 1, 12, "", "It is an hour of the clock; 12 is up.")
        if self.metal_check:
            one_of("metal_check", self.metal_check, METAL)
        if self.lifted_ft3 > MOST_FT3:
            raise InputError(
                f"it would hold {self.lifted_ft3:,.0f} cubic feet of wood ({self.small_in:g} in at the small end, "
                f"{self.large_end_in:g} in at the large end, {length_told(self.length_ft)} long); expected up to "
                f"{MOST_FT3:,.0f}. {_DIAMETER_HINT}"
            )

    @property
    def large_end_in(self) -> float:
        """Large-end diameter inside bark (in), measured or from the taper."""
        if self.large_in is not None:
            return float(self.large_in)
        return float(self.small_in + self.taper_in_per_ft * self.length_ft)

    @property
    def volume_ft3(self) -> float:
        """Cubic feet of solid wood as the frustum of a cone, trim not counted."""
        return float(frustum_ft3(self.small_in, self.large_end_in, self.length_ft))

    @property
    def sound_share(self) -> float:
        """Share of the log that is not rotten, split or missing."""
        return 1 - self.defect_pct / 100

    @property
    def lifted_ft3(self) -> float:
        """Cubic feet of solid wood, trim and flare counted: what has to be lifted and carried."""
        return lifted_ft3(self.small_in, self.large_end_in + self.flare_in, self.length_ft, self.trim_in)


MOST_DEFECT_PCT = (
    50.0  # cull of the lowest grade: Forest Products Laboratory, Report D1737, table as reprinted
)
_DIAMETER_HINT = "Is it in cm, or the distance around the log?"
_LENGTH_HINT = "Is it in inches?"


def _diameter(value: Numbers, name: str = "diameter_in") -> np.ndarray:
    array = within(name, value, 0, 80, "in", _DIAMETER_HINT)
    doubtful("the small end", array, 0, 48, "in", "published tables end near 40 in. " + _DIAMETER_HINT)
    return np.asarray(array)


def _length(value: Numbers, longest: float = 66) -> np.ndarray:
    return np.asarray(within("length_ft", value, 0, longest, "ft", _LENGTH_HINT))


def _two_ends(small_in: Numbers, large_in: Numbers) -> tuple[np.ndarray, np.ndarray]:
    small = np.asarray(within("small_in", small_in, 0, 120, "in", _DIAMETER_HINT))
    large = np.asarray(within("large_in", large_in, 0, 120, "in", _DIAMETER_HINT))
    if (large < small).any():
        found = np.broadcast_to(large, np.broadcast_shapes(small.shape, large.shape))[large < small].flat[0]
        raise InputError(f"large_in = {found:g} is smaller than the small end: the small end comes first.")
    return small, large


def scaling_diameter_in(
    short_in: Numbers, long_in: Numbers | None = None, halves: str = "up"
) -> FloatOrArray:
    """Return the diameter that goes into a log rule: the mean of two readings, in whole inches.

    Parameters
    ----------
    short_in, long_in : float or array
        Small-end diameter inside bark, narrowest way and at right angles to it (in). One reading will do for
        a round log.
    halves : str
        What becomes of an exact half inch, where places disagree: ``"up"`` (Idaho Board of Scaling Practices:
        10 in is 9-1/2 up to just under 10-1/2), ``"down"``, or ``"alternate"`` (down, then up, through the
        logs in order; Georgia Code 2-14-80 (e) shares halves evenly).

    Returns
    -------
    float or ndarray
        Whole inches.

    Examples
    --------
    >>> scaling_diameter_in(14, 15)
    15.0
    >>> scaling_diameter_in(14, 15, halves="down")
    14.0
    """
    short = within("short_in", short_in, 1, 80, "in", _DIAMETER_HINT)
    long = short if long_in is None else within("long_in", long_in, 1, 120, "in", _DIAMETER_HINT)
    mean = (np.asarray(short) + long) / 2
    up, down = np.floor(mean + 0.5), np.ceil(mean - 0.5)
    if halves == "alternate":
        tie = up != down
        turn = np.cumsum(tie).reshape(mean.shape) % 2 == 0  # the first half goes down, the second up
        return plain(np.where(tie & turn, up, down))
    return plain({"up": up, "down": down}[one_of("halves", halves, ["up", "down", "alternate"])])


def scaling_length_ft(length_ft: Numbers, trim_in: float = 4.0, class_ft: float = 2.0) -> FloatOrArray:
    """Return the length that is paid for: the tape reading less trim, down to the next length class.

    Parameters
    ----------
    length_ft : float or array
        Whole length of the log as it lies (ft).
    trim_in : float
        Extra length a log must have beyond its class: 4 in customary; 3 in (Univ. of Maine Bull. 7103) to
        8 in (Univ. of Tennessee SP 748).
    class_ft : float
        Step of the length classes: even feet customary, so 2.

    Examples
    --------
    >>> scaling_length_ft(16 + 4 / 12)
    16.0
    >>> scaling_length_ft(16.0)
    14.0
    """
    length = _length(length_ft)
    within("trim_in", trim_in, 0, 24, "in", "Is it in feet?")
    within("class_ft", class_ft, 0.5, 4, "ft")
    return plain(np.floor((length - trim_in / 12) / class_ft + 1e-9) * class_ft)


def doyle_bf(diameter_in: Numbers, length_ft: Numbers) -> FloatOrArray:
    """Return board feet by the Doyle rule: ((D - 4) / 4)^2 x L.

    Parameters
    ----------
    diameter_in : float or array
        Small-end diameter inside bark (in), used as given; 4 in and less scale nothing.
    length_ft : float or array
        Length (ft).

    Returns
    -------
    float or ndarray
        Board feet, not rounded.

    Raises
    ------
    InputError
        Diameter not 0 to 80 in, length not 0 to 66 ft.

    References
    ----------
    Cassens, Purdue Extension FNR-191. The 4 in taken off are slabs and edgings, the same from every log: this
    is why the rule gives so little for small logs.

    Examples
    --------
    >>> doyle_bf(16, 16)
    144.0
    """
    d, length = _diameter(diameter_in), _length(length_ft)
    return plain((np.maximum(d - 4, 0) / 4) ** 2 * length)


def scribner_bf(diameter_in: Numbers, length_ft: Numbers) -> FloatOrArray:
    """Return board feet by the Scribner rule as a formula: (0.79 D^2 - 2 D - 4) L / 16.

    Parameters
    ----------
    diameter_in, length_ft : float or array
        As in `doyle_bf`; made for logs up to 28 in and 16 ft.

    References
    ----------
    Regression attributed to Bruce & Schumacher 1950, as in Cassens, Purdue Extension FNR-191. The rule itself
    (J.M. Scribner 1846) was drawn on circles, board by board, and is a table.

    Examples
    --------
    >>> scribner_bf(16, 16)
    166.24
    """
    d, length = _diameter(diameter_in), _length(length_ft)
    return plain(np.maximum(0.79 * d**2 - 2 * d - 4, 0) * length / 16)


def scribner_decimal_c_bf(diameter_in: Numbers, length_ft: Numbers) -> FloatOrArray:
    """Return board feet by the Scribner Decimal C table: the Scribner rule in tens of board feet.

    Parameters
    ----------
    diameter_in : float or array
        Whole inches, 6 to 40: round with `scaling_diameter_in` first.
    length_ft : float or array
        6, 8, 10, 12, 14 or 16 ft.

    Raises
    ------
    InputError
        No such cell in the table.

    References
    ----------
    `data/log_rules.csv`; to 20 in, G. Wengert, Log Volume, 4 May 2001, and L.H. Bailey, Farm and Garden Rule Book. From
    21 in on, Scribner's figures for 16 ft (1846), from memory, in proportion to the length.

    Examples
    --------
    >>> scribner_decimal_c_bf(16, 16)
    160.0
    """
    d, length = np.broadcast_arrays(_diameter(diameter_in), _length(length_ft))
    found = _decimal_c(d, length)
    if np.isnan(found).any():
        i = np.flatnonzero(np.isnan(found))[0]
        raise InputError(
            f"no Decimal C cell for {d.flat[i]:g} in and {length.flat[i]:g} ft: the table has whole inches "
            "6 to 40 and even lengths 6 to 16 ft. Round the diameter first (scaling_diameter_in), or use "
            "scribner_bf."
        )
    return plain(found)


@cache
def _decimal_c_grid() -> np.ndarray:
    """Board feet by whole inch and whole foot, NaN where the table has no cell."""
    rows = tables.read("log_rules")
    rows = rows[rows["rule"] == "Scribner Decimal C"]
    grid = np.full((82, 68), np.nan)
    grid[rows["dib_in"].astype(int), rows["length_ft"].astype(int)] = rows["board_feet"]
    return grid


def _decimal_c(d: np.ndarray, length: np.ndarray) -> np.ndarray:
    whole = (d == np.floor(d)) & (length == np.floor(length))
    return np.where(whole, _decimal_c_grid()[d.astype(int), length.astype(int)], np.nan)


def international_bf(
    diameter_in: Numbers, length_ft: Numbers, kerf: str | float = "1/4", nearest_bf: float | None = None
) -> FloatOrArray:
    """Return board feet by the International rule, built up from 4-ft sections with 1/2 in taper each.

    Parameters
    ----------
    diameter_in, length_ft : float or array
        As in `doyle_bf`. A part of a section at the large end counts by its length.
    kerf : str
        ``"1/4"`` (in use today) or ``"1/8"`` (Clark's first form).
    nearest_bf : float, optional
        Round the total to this many board feet, halves up; statutes and printed tables use 5. Left out: not
        rounded.

    References
    ----------
    1/8: J.F. Clark 1906, 0.22 D^2 - 0.71 D per 4-ft section. 1/4: 0.904762 of it, Michigan Act 208 of 1941
    (MCL 290.401), Massachusetts G.L. c. 96 s. 11A.

    Examples
    --------
    >>> international_bf(16, 16)
    180.5
    >>> international_bf(16, 16, nearest_bf=5)
    180.0
    >>> international_bf(10, 16, kerf="1/8")
    71.44
    """
    told: dict[str | float, str | float] = {0.25: "1/4", 0.125: "1/8"}
    kerf = one_of("kerf", told.get(kerf, kerf), ["1/4", "1/8"])
    share = 19 / 21 if kerf == "1/4" else 1.0  # 0.904762 = 19/21
    d, length = np.broadcast_arrays(_diameter(diameter_in), _length(length_ft))
    total = np.zeros(d.shape)
    for k in range(int(np.ceil(length.max() / 4)) if length.size else 0):
        end = d + 0.5 * k
        part = np.clip(length / 4 - k, 0, 1)  # share of this section that the log reaches
        total = total + np.maximum(0.22 * end**2 - 0.71 * end, 0) * part
    total = share * total
    return plain(total if nearest_bf is None else np.floor(total / nearest_bf + 0.5) * nearest_bf)


RULES = {"Doyle": doyle_bf, "Scribner": scribner_bf, "International 1/4": international_bf}


def smalian_ft3(small_in: Numbers, large_in: Numbers, length_ft: Numbers) -> FloatOrArray:
    """Return cubic feet by Smalian: mean of the two end areas times length (right for a paraboloid).

    Parameters
    ----------
    small_in, large_in : float or array
        Diameters inside bark (in).
    length_ft : float or array

    References
    ----------
    D. Briggs, Forest Products Measurements and Conversion Factors, Univ. of Washington 1994, Table 2-1.

    Examples
    --------
    >>> smalian_ft3(10, 12, 16)
    10.65
    """
    small, large = _two_ends(small_in, large_in)
    return plain(FT3_PER_IN2_FT * (small**2 + large**2) / 2 * _length(length_ft, 200))


def huber_ft3(mid_in: Numbers, length_ft: Numbers) -> FloatOrArray:
    """Return cubic feet by Huber: area at mid-length times length.

    Parameters
    ----------
    mid_in : float or array
        Diameter inside bark at mid-length (in).
    length_ft : float or array

    References
    ----------
    Briggs 1994, Table 2-1.

    Examples
    --------
    >>> huber_ft3(11, 16)
    10.56
    """
    mid = np.asarray(within("mid_in", mid_in, 0, 120, "in", _DIAMETER_HINT))
    return plain(FT3_PER_IN2_FT * mid**2 * _length(length_ft, 200))


def newton_ft3(small_in: Numbers, mid_in: Numbers, large_in: Numbers, length_ft: Numbers) -> FloatOrArray:
    """Return cubic feet by Newton: ends once, middle four times (right for cone, paraboloid and neiloid).

    Parameters
    ----------
    small_in, mid_in, large_in : float or array
        Diameters inside bark (in) at the ends and at mid-length.
    length_ft : float or array

    References
    ----------
    Briggs 1994, Table 2-1.

    Examples
    --------
    >>> newton_ft3(10, 11, 12, 16)
    10.59
    """
    small, large = _two_ends(small_in, large_in)
    mid = np.asarray(within("mid_in", mid_in, 0, 120, "in", _DIAMETER_HINT))
    return plain(FT3_PER_IN2_FT * (small**2 + 4 * mid**2 + large**2) / 6 * _length(length_ft, 200))


def cone_ft3(small_in: Numbers, large_in: Numbers, length_ft: Numbers) -> FloatOrArray:
    """Return cubic feet as the frustum of a cone (straight sides).

    Parameters
    ----------
    small_in, large_in : float or array
        Diameters inside bark (in).
    length_ft : float or array

    References
    ----------
    Briggs 1994, Table 2-1, two-end conic.

    Examples
    --------
    >>> cone_ft3(10, 12, 16)
    10.59
    """
    small, large = _two_ends(small_in, large_in)
    return plain(frustum_ft3(small, large, _length(length_ft, 200)))


def neiloid_ft3(small_in: Numbers, large_in: Numbers, length_ft: Numbers) -> FloatOrArray:
    """Return cubic feet as the frustum of a neiloid (sides hollow, as where a butt log flares).

    Parameters
    ----------
    small_in, large_in : float or array
        Diameters inside bark (in).
    length_ft : float or array

    References
    ----------
    H.V. Wiant Jr. 1986, North. J. Appl. For. 3:124, as restated by D.R. Larsen, Univ. of Missouri.

    Examples
    --------
    >>> neiloid_ft3(10, 12, 16)
    10.57
    """
    small, large = _two_ends(small_in, large_in)
    a, b = small**2, large**2
    mean = (a + np.cbrt(a**2 * b) + np.cbrt(a * b**2) + b) / 4
    return plain(FT3_PER_IN2_FT * mean * _length(length_ft, 200))


def squared_defect_bf(width_in: Numbers, height_in: Numbers, length_ft: Numbers) -> FloatOrArray:
    """Return board feet lost to a defect inside the log that a box encloses: (W + 1)(H + 1) l / 15.

    Parameters
    ----------
    width_in, height_in : float or array
        Sides of the box at the defect's larger end (in); an inch is added each way.
    length_ft : float or array
        How far it runs (ft).

    References
    ----------
    From memory: Forest Service Handbook 2409.11, ch. 20 (its section titles were seen, the formula recalled).

    Examples
    --------
    >>> squared_defect_bf(5, 4, 8)
    16.0
    """
    width = np.asarray(within("width_in", width_in, 0, 80, "in"))
    height = np.asarray(within("height_in", height_in, 0, 80, "in"))
    return plain((width + 1) * (height + 1) * _length(length_ft) / 15)


def defect_share(kind: str, length_ft: float, **sizes: float) -> float:
    """Return the share of a log's scale that a defect takes, the same for every log rule.

    Parameters
    ----------
    kind : str
        - ``"section"``: a length that yields nothing; `defect_ft`.
        - ``"wedge"``: a wedge of the end over a length; `defect_ft`, `angle_deg`.
        - ``"sweep"``: the log is bowed; `sweep_in`, `diameter_in`. An inch per 8 ft is free.
        - ``"crook"``: it bends off near one end; `defect_ft`, `deflection_in`, `diameter_in`.
        - ``"interior"``: rot or a hole inside; `defect_ft`, `width_in`, `height_in`, `diameter_in`.
    length_ft : float
        Scaling length of the log (ft).
    **sizes : float
        As named above; `diameter_in` is the small-end diameter inside bark.

    Returns
    -------
    float
        0 to 1.

    References
    ----------
    L.R. Grosenbaugh 1952, Shortcuts for Cruisers and Scalers, Southern Forest Experiment Station Occasional
    Paper 126, p. 14: title and contents seen, formulas from memory.

    Examples
    --------
    >>> defect_share("section", 16, defect_ft=4)
    0.25
    >>> defect_share("wedge", 16, defect_ft=8, angle_deg=90)
    0.125
    >>> defect_share("sweep", 16, sweep_in=5, diameter_in=15)
    0.2
    """
    needs = {
        "section": ("defect_ft",),
        "wedge": ("defect_ft", "angle_deg"),
        "sweep": ("sweep_in", "diameter_in"),
        "crook": ("defect_ft", "deflection_in", "diameter_in"),
        "interior": ("defect_ft", "width_in", "height_in", "diameter_in"),
    }
    one_of("kind", kind, list(needs))
    if set(sizes) != set(needs[kind]):
        raise InputError(f"a {kind} defect needs {', '.join(needs[kind])}; got {', '.join(sizes) or 'none'}.")
    length = within("length_ft", length_ft, 1, 66, "ft", _LENGTH_HINT)
    limits = {"defect_ft": (0, length), "angle_deg": (0, 360), "diameter_in": (2, 80)}
    size = {k: within(k, v, *limits.get(k, (0, 80))) for k, v in sizes.items()}
    along = size.get("defect_ft", 0) / length
    if kind == "section":
        share = along
    elif kind == "wedge":
        share = along * size["angle_deg"] / 360
    elif kind == "sweep":
        share = (size["sweep_in"] - length / 8) / size["diameter_in"]
    elif kind == "crook":
        share = along * size["deflection_in"] / size["diameter_in"]
    else:
        share = along * (size["width_in"] + 1) * (size["height_in"] + 1) / (size["diameter_in"] - 1) ** 2
    return float(min(max(share, 0.0), 1.0))


def defect_says(defect_pct: float) -> str:
    """Say what a sawyer does with a log of which so much is rotten, split or missing; "" up to `MOST_DEFECT_PCT`.

    Parameters
    ----------
    defect_pct : float
        As the tally has it (%).

    Examples
    --------
    >>> defect_says(8)
    ''
    >>> defect_says(100)
    'The tally says that all of it is rotten, split or missing. It is not sawn, and has no settings sheet.'
    """
    if defect_pct >= 100:
        return "The tally says that all of it is rotten, split or missing. It is not sawn, and has no settings sheet."
    if defect_pct <= MOST_DEFECT_PCT:
        return ""
    return (
        f"The tally says that {defect_pct:g} % of it is rotten, split or missing. A log that is more than half gone "
        "can come apart in the clamps or under the blade. Don't saw it as it is: cut it back to sound wood and measure "
        "it again, or leave it for firewood."
    )


def segments(log: Log, longest_ft: float = SCALED_FT) -> list[Log]:
    """Return a long log as the shorter logs that a scaler makes of it, small end first.

    Parameters
    ----------
    log : Log
    longest_ft : float
        Greatest length scaled as one log. 16 ft gives two logs from 18 ft and three from 34 ft (Georgia Code
        2-14-80 (d)); the Forest Service uses 20 ft, Alaska and the coast 32 or 40 ft.

    Returns
    -------
    list of Log
        Nearly equal, in even feet where the length is even, the longer ones toward the butt. Diameters follow
        the log's taper, not rounded. A log that is short enough comes back alone.

    Examples
    --------
    >>> [(s.small_in, s.length_ft) for s in segments(Log(small_in=12, length_ft=20))]
    [(12, 10.0), (13.25, 10.0)]
    """
    within("longest_ft", longest_ft, 4, 66, "ft", _LENGTH_HINT)
    lengths = scaled_lengths_ft(log.length_ft, longest_ft)
    if (n := len(lengths)) == 1:
        return [log]
    taper = (log.large_end_in - log.small_in) / log.length_ft
    ends = np.concatenate([[0], np.cumsum(lengths)])
    thick = last_scaled_in(log.small_in, log.large_end_in, log.length_ft, longest_ft)
    if thick > WIDEST_SCALED_IN:
        raise InputError(
            f"{log.small_in:g} in at the small end, {log.large_end_in:g} in at the large end: a log of "
            f"{length_told(log.length_ft)} is scaled in {n} pieces, and the last would be {thick:.0f} in at its small "
            f"end; expected up to {WIDEST_SCALED_IN:g} in. {_DIAMETER_HINT}"
        )
    return [
        replace(
            log,
            small_in=log.small_in if i == 0 else float(log.small_in + taper * ends[i]),
            large_in=float(log.small_in + taper * ends[i + 1]),
            length_ft=float(lengths[i]),
            trim_in=log.trim_in if i == n - 1 else 0.0,
        )
        for i in range(n)
    ]


# bark over wood, by volume; from memory, and rounded: thick bark runs to a fifth, thin bark to a fifteenth
_BARK_SHARES = {
    0.18: (
        "cottonwood",
        "yellow-poplar",
        "black locust",
        "Douglas-fir",
        "larch",
        "bur oak",
        "sassafras",
        "persimmon",
    ),
    0.06: ("beech", "birch", "cherry", "maple", "hornbeam", "holly", "spruce", "sycamore"),
}
USUAL_BARK_SHARE = 0.12  # from memory, for woods between the two


def usual_bark_in(species: str, diameter_in: float) -> float:
    """Return about how thick the bark of a wood is (in); from memory, for where none was measured.

    Parameters
    ----------
    species : str
        A name, or empty.
    diameter_in : float
        Inside bark (in).

    Examples
    --------
    >>> [round(usual_bark_in(wood, 16), 2) for wood in ("American beech", "white oak", "eastern cottonwood")]
    [0.24, 0.47, 0.69]
    """
    thick = [share for share, woods_of in _BARK_SHARES.items() if any(wood in species for wood in woods_of)]
    return float(diameter_in / 2 * ((1 + (thick[0] if thick else USUAL_BARK_SHARE)) ** 0.5 - 1))


def bark_left_in(log: Log) -> float:
    """Return the bark that a log comes to the mill with (in): as measured, otherwise as is usual for its wood.

    Parameters
    ----------
    log : Log

    Examples
    --------
    >>> bark_left_in(Log(14, bark_in=0.5)), round(bark_left_in(Log(14, 16, species="white oak")), 2)
    (0.5, 0.47)
    """
    return usual_bark_in(log.species, log.large_end_in) if log.bark_in is None else log.bark_in


BARK_SHARE = 0.10  # common practice: bark adds about a tenth to the wood's volume, more on thick-barked woods


def log_weight_lb(species: str | woods.Species, volume_ft3: Numbers) -> FloatOrArray:
    """Return the likely weight of green wood without bark (lb): volume times green density.

    Parameters
    ----------
    species : str or Species
    volume_ft3 : float or array, or Log
        Solid wood (ft3), from one of the cubic formulas or `Log.volume_ft3`; of a `Log` its own.

    References
    ----------
    Basic specific gravity and green moisture as `moisture.start_mc_pct` has it. See `log_weight_range_lb`
    for how far a log may be from it: nobody should load a trailer on the likely figure alone.

    Examples
    --------
    >>> log_weight_lb("northern red oak", Log(small_in=16, length_ft=12).volume_ft3)
    1156.3
    """
    return plain(woods.get(species).green_lb_per_ft3 * _volume(volume_ft3))


def _volume(volume_ft3: Any) -> np.ndarray:
    volume_ft3 = getattr(volume_ft3, "volume_ft3", volume_ft3)
    return np.asarray(within("volume_ft3", volume_ft3, 0, MOST_FT3, "ft3", "Is it in board feet?"))


def log_weight_range_lb(
    species: str | woods.Species, volume_ft3: Numbers | Log
) -> tuple[FloatOrArray, FloatOrArray]:
    """Return the least and greatest weight to plan for (lb); load and lift by the greatest.

    Parameters
    ----------
    species, volume_ft3 :
        As in `log_weight_lb`; of a `Log` the high end counts its trim, too.

    Returns
    -------
    tuple of (float or ndarray)
        Low: without bark. High: a tenth more for bark, or what the measured bark of a `Log` adds if that is more.

    References
    ----------
    The wood by `moisture.weight_range_lb_per_ft3`: the high end is a margin over the wettest that is printed for
    it, sapwood and heartwood alike, or full of water where nothing is printed for a softwood's sapwood. The bark's
    tenth is common practice.

    Examples
    --------
    >>> low, high = log_weight_range_lb("northern red oak", 18.4)
    >>> round(low), round(high)
    (926, 1555)
    """
    low, high = weight_range_lb_per_ft3(species)
    lifted = getattr(volume_ft3, "lifted_ft3", volume_ft3)
    return plain(low * _volume(volume_ft3)), plain(high * (1 + _bark_share(volume_ft3)) * _volume(lifted))


def _bark_share(log: Any) -> float:
    """Bark over wood, to load by: a tenth, or what was measured on a `Log` if that is more."""
    bark_in = getattr(log, "bark_in", None) or 0.0
    return max(BARK_SHARE, (1 + 2 * bark_in / log.small_in) ** 2 - 1) if bark_in else BARK_SHARE


def at_most_lb(pounds: float) -> str:
    """Return a weight to lift or load by, in words: up to the next two figures, never down.

    Parameters
    ----------
    pounds : float
        The most that it may weigh (lb), above 0.

    Examples
    --------
    >>> at_most_lb(3149), at_most_lb(980)
    ('3,200 lb', '980 lb')
    """
    step = 10 ** max(floor(log10(max(pounds, 1))) - 1, 0)
    return f"{ceil(pounds / step - 1e-9) * step:,} lb"


def scale(
    logs: Log | Sequence[Log] | pd.DataFrame, halves: str | None = None, longest_ft: float = SCALED_FT
) -> pd.DataFrame:
    """Return every log of a tally scaled by every rule at once.

    Parameters
    ----------
    logs : Log, list of Log, or DataFrame
        A table needs `small_in` and `length_ft`; `log` (the tag) and other fields of `Log` are used where
        present, and blank cells count as left out.
    halves : str, optional
        Round small-end diameters for the rules, as in `scaling_diameter_in`. Left out: used as given, and
        Decimal C is given only for whole inches. Cubic volume and weight never use rounded diameters.
    longest_ft : float
        Longer logs are scaled in `segments`.

    Returns
    -------
    DataFrame
        log (its tag), species, small_in, large_in, length_ft; doyle_bf, scribner_bf, scribner_decimal_c_bf
        (NaN where the table has no cell), international_bf (to the nearest 5 when rounding was asked for);
        volume_ft3 (cone), smalian_ft3; weight_low_lb, weight_lb, weight_high_lb (trim counted in the last;
        NaN where the species is blank). Gross scale, defects not taken off; same order and index as given.

    Examples
    --------
    >>> t = scale([Log(small_in=16, length_ft=16, species="white oak"), Log(small_in=10, length_ft=12)])
    >>> t[["doyle_bf", "international_bf", "volume_ft3"]].round(1).to_numpy().tolist()
    [[144.0, 180.6, 25.2], [27.0, 45.7, 7.6]]
    """
    import pandas as pd

    if isinstance(logs, pd.DataFrame):
        index, logs = logs.index, logs_of(logs)
    else:
        logs = [logs] if isinstance(logs, Log) else list(logs)
        index = pd.RangeIndex(len(logs))
    out = pd.DataFrame(
        {
            "log": [log.label for log in logs],
            "species": [log.species for log in logs],
            "small_in": np.array([log.small_in for log in logs], dtype=float),
            "large_in": np.array([log.large_end_in for log in logs], dtype=float),
            "length_ft": np.array([log.length_ft for log in logs], dtype=float),
        }
    )
    pieces = [(i, s) for i, log in enumerate(logs) for s in segments(log, longest_ft)]
    owner = np.array([i for i, _ in pieces], dtype=int)
    d = np.array([s.small_in for _, s in pieces], dtype=float)
    length = np.array([s.length_ft for _, s in pieces], dtype=float)
    if halves is not None:
        d = scaling_diameter_in(d, halves=halves)
    by_rule = {
        "doyle_bf": doyle_bf(d, length),
        "scribner_bf": scribner_bf(d, length),
        "scribner_decimal_c_bf": _decimal_c(d, length),
        "international_bf": international_bf(d, length),
    }
    for name, board_feet_each in by_rule.items():
        out[name] = np.bincount(owner, weights=board_feet_each, minlength=len(logs))
    if halves is not None:
        out["international_bf"] = np.floor(out["international_bf"] / 5 + 0.5) * 5
    out["volume_ft3"] = cone_ft3(out["small_in"], out["large_in"], out["length_ft"])
    out["smalian_ft3"] = smalian_ft3(out["small_in"], out["large_in"], out["length_ft"])
    barked = np.array([(1 + _bark_share(log)) / (1 + BARK_SHARE) for log in logs], dtype=float)
    lifted = barked * [log.lifted_ft3 for log in logs]
    for name in ["weight_low_lb", "weight_lb", "weight_high_lb"]:
        out[name] = np.nan
    for wood, rows in out[out["species"] != ""].groupby("species").groups.items():
        volume = out.loc[rows, "volume_ft3"].to_numpy()
        low, _ = log_weight_range_lb(wood, volume)
        _, high = log_weight_range_lb(wood, lifted[rows.to_numpy()])
        out.loc[rows, "weight_low_lb"] = low
        out.loc[rows, "weight_lb"] = log_weight_lb(wood, volume)
        out.loc[rows, "weight_high_lb"] = high
    out.index = index
    return out


def net_scale(tally: pd.DataFrame) -> pd.DataFrame:
    """Return every log of a tally scaled by every rule, the share lost to defects taken off.

    Parameters
    ----------
    tally : DataFrame
        As for `scale`; `defect_pct`, the share of the log that is rotten, split or missing, counts where it is there.

    Returns
    -------
    DataFrame
        As from `scale`, diameters as measured, with `defect_pct`. Cubic volume and weight are those of the whole log.

    Examples
    --------
    >>> import pandas as pd
    >>> tally = pd.DataFrame({"small_in": [16.0, 16.0], "length_ft": [16.0, 16.0], "defect_pct": [0.0, 25.0]})
    >>> net_scale(tally)["doyle_bf"].tolist()
    [144.0, 108.0]
    """
    defect_pct = tally["defect_pct"].fillna(0.0) if "defect_pct" in tally else 0.0
    out = scale(tally).assign(defect_pct=defect_pct)
    for rule in ("doyle_bf", "scribner_bf", "scribner_decimal_c_bf", "international_bf"):
        out[rule] = out[rule] * (1 - out["defect_pct"] / 100)  # as `Log.sound_share`
    return out


def paid_scale(
    tally: pd.DataFrame | Sequence[Log],
    rule: str,
    usd_per_mbf: float = 0.0,
    halves: str = "up",
    class_ft: float = 2.0,
) -> pd.DataFrame:
    """Return what a buyer's scaler makes of each log of a tally by one rule, and what is paid for it.

    Parameters
    ----------
    tally : DataFrame or sequence of Log
        As for `scale`.
    rule : str
        One of `RULES`.
    usd_per_mbf : float
        Price of a thousand board feet (dollars).
    halves : str
        As in `scaling_diameter_in`.
    class_ft : float
        Lengths count down to a multiple of this (ft): even feet customary, so 2.

    Returns
    -------
    DataFrame
        log, species, small_in (whole inches), length_ft (as paid), gross_bf, defect_pct, bow_pct, net_bf, usd. Defects
        by the tally's share, then the bow by `defect_share`.

    Examples
    --------
    >>> paid = paid_scale([Log(16.5, length_ft=13, sweep_in=4.9, defect_pct=10)], "Doyle", 600)
    >>> paid[["small_in", "length_ft", "gross_bf", "net_bf", "usd"]].round(2).to_numpy().tolist()
    [[17.0, 12.0, 126.75, 90.57, 54.34]]
    """
    import pandas as pd

    one_of("rule", rule, list(RULES))
    within("usd_per_mbf", usd_per_mbf, 0, 100_000, "dollars", "Is it for a thousand board feet?")
    within("class_ft", class_ft, 0.5, 4, "ft")
    rows = []
    for log in logs_of(tally) if isinstance(tally, pd.DataFrame) else tally:
        length = float(np.floor(log.length_ft / class_ft + 1e-9) * class_ft)
        gross, bow = 0.0, 0.0
        if length >= 1:
            paid = replace(log, length_ft=length)
            gross = sum(
                float(RULES[rule](scaling_diameter_in(s.small_in, halves=halves), s.length_ft))
                for s in segments(paid)
            )
            bow = defect_share("sweep", length, sweep_in=log.sweep_in, diameter_in=max(log.small_in, 2))
        net = gross * log.sound_share * (1 - bow)
        end = float(scaling_diameter_in(log.small_in, halves=halves))
        usd = net * usd_per_mbf / 1000
        rows.append((log.label, log.species, end, length, gross, log.defect_pct, 100 * bow, net, usd))
    columns = [
        "log",
        "species",
        "small_in",
        "length_ft",
        "gross_bf",
        "defect_pct",
        "bow_pct",
        "net_bf",
        "usd",
    ]
    return pd.DataFrame(rows, columns=columns)


def logs_of(table: pd.DataFrame) -> list[Log]:
    """Return the rows of a table as `Log`s; an error names the row if there are several.

    Parameters
    ----------
    table : DataFrame
        At least `small_in` and `length_ft`; other columns named as the fields of `Log` count too, and `log` is the
        label. `small_across_in` and `large_across_in` are the other diameters of oval ends; of `large_in`, measured at
        the very butt, `butt_flare_in` is taken off; `bark_thick_in` is the bark.

    Returns
    -------
    list of Log

    Raises
    ------
    InputError
        A column is missing, or a row holds what no log can have.

    Examples
    --------
    >>> import pandas as pd
    >>> logs_of(pd.DataFrame({"log": ["7"], "small_in": [14.0], "length_ft": [12.0]}))[0].label
    '7'
    """
    for needed in ["small_in", "length_ft"]:
        if needed not in table:
            found = ", ".join(map(str, table.columns))
            raise InputError(f"the log table has no column {needed}; it has {found}.")
    if "log" in table and "label" not in table:
        table = table.rename(columns={"log": "label"})
    names = [f.name for f in fields(Log)] + ["small_across_in", "large_across_in", *_AS_WRITTEN]
    known = [name for name in names if name in table]
    logs = []
    for at, row in zip(table.index, table[known].astype(object).to_dict("records"), strict=True):
        given = {k: v for k, v in row.items() if not blank(v)}
        try:
            logs.append(Log(**_ends(given)))
        except InputError as problem:
            where = f"log table, row {at}: " if len(table) > 1 else ""
            raise InputError(f"{where}{problem}") from None
    return logs


_AS_WRITTEN = {
    "butt_flare_in": "flare_in",
    "bark_thick_in": "bark_in",
}  # in a tally; plain words may be one's own


def _ends(given: dict[str, Any]) -> dict[str, Any]:
    """The sizes of a `Log` from those of a row: two diameters of an end to one, the flare off the large end."""
    given = {_AS_WRITTEN.get(name, name): value for name, value in given.items()}
    for end in ("small", "large"):
        one, other = given.get(f"{end}_in"), given.pop(f"{end}_across_in", None)
        if other is not None and one is None:
            given[f"{end}_in"] = other
        elif one is not None and other is not None:
            given[f"{end}_in"] = round_in(one, other)
            if end == "small":
                given["oval_ratio"] = max(one, other) / min(one, other)
    if given.get("flare_in") and "large_in" in given:
        given["large_in"] -= given["flare_in"]
    return given


def overrun_pct(tally_bf: Numbers, scale_bf: Numbers) -> FloatOrArray:
    """Return overrun: how much more lumber was tallied than the rule promised, % of the scale.

    Parameters
    ----------
    tally_bf, scale_bf : float or array
        Board feet sawn, and by the log rule (net of defect).

    References
    ----------
    M.E. Plank 1985, USDA Forest Service Research Paper PNW-328.

    Examples
    --------
    >>> overrun_pct(180, 144)
    25.0
    """
    tally = np.asarray(within("tally_bf", tally_bf, 0, 1e7, "bf"))
    scaled = np.asarray(within("scale_bf", scale_bf, 1e-9, 1e7, "bf", "The rule gives nothing for this log."))
    return plain(100 * (tally - scaled) / scaled)
