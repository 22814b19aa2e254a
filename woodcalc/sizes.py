"""Sizes: what a thickness is called, what it is sawn and dressed to, how a tape shows it, and board feet.

A thickness has a name that the trade sells it by (4/4, "five quarter"), a size that the saw leaves (1-1/8 in,
green), and a size after planing (13/16 in, dry). Board feet go by the name. A log has a size, too, and can
hold only so much.
"""

from __future__ import annotations

import re
from functools import cache
from typing import TYPE_CHECKING, Any, Literal

import numpy as np

from woodcalc import tables
from woodcalc.checks import FloatOrArray, InputError, Numbers, NumbersOrNames, plain, suggest, within

if TYPE_CHECKING:
    import pandas as pd

QUARTERS = (4, 5, 6, 8, 10, 12, 16)  # the thicknesses that hardwood is sold in, in quarters of an inch
SAWN_OVER_IN = 0.125  # 4/4 is sawn at 1-1/8 in: Wengert, Calculating footage based on weight, 2000

# How people and spreadsheets write fractions, quotes and minus signs, to plain letters
PLAIN_SIGNS = str.maketrans(
    {
        "½": " 1/2",
        "¼": " 1/4",
        "¾": " 3/4",
        "⅛": " 1/8",
        "⅜": " 3/8",
        "⅝": " 5/8",
        "⅞": " 7/8",
        "′": "'",
        "’": "'",
        "″": '"',
        "”": '"',
        "“": '"',
        "\u00a0": " ",
        "−": "-",
        "–": "-",
        "⁄": "/",  # of a fraction, as phones write it
    }
)
NUMBER = r"(?:\d+(?:\.\d*|,\d+)?|[.,]\d+)(?:[\s-]+\d+/\d+)?|\d+/\d+"  # 12, 12.5, 12,5, .5, 1-1/8, 1 1/8, 7/8
_INCH = r"(?:\"|''|in\.?|inches|inch)"
_INCHES = re.compile(rf"({NUMBER})\s*{_INCH}?", re.I)
_FEET = re.compile(rf"({NUMBER})\s*(?:'|ft\.?|feet|foot)\s*-?\s*(?:({NUMBER})\s*{_INCH}?)?", re.I)


def read_number(text: str) -> float:
    """Return the number in a text such as ``"12"``, ``"1.125"``, ``"1-1/8"``, ``"1 1/8"``, ``"7/8"`` or ``"2½"``.

    Parameters
    ----------
    text : str
        A whole number, a decimal, a fraction, or a whole number with a fraction. A comma is a decimal comma,
        but not before three digits: ``"1,250"`` may be a thousand and is refused.

    Returns
    -------
    float

    Raises
    ------
    InputError
        Nothing of the kind, a fraction over 0, or one that a lost gap may have made: ``"141/2"``.

    Examples
    --------
    >>> read_number("1-1/8"), read_number("7/8"), read_number("2½")
    (1.125, 0.875, 2.5)
    """
    clean = str(text).translate(PLAIN_SIGNS).strip()
    if re.fullmatch(NUMBER, clean) and not re.search(r"/0+$|,\d{3}\b", clean):
        parts = []
        for part in re.split(r"[\s-]+", clean):
            top, _, bottom = part.replace(",", ".").partition("/")
            parts.append(float(top) / float(bottom or 1))
        if ways := run_together(clean):
            raise InputError(f"{clean} could be {' or '.join(ways)}, or {parts[0]:g}. Write which.")
        if len(parts) == 1 or parts[1] < 1:  # 1 41/2 is nobody's size
            return sum(parts)
    raise InputError(f"{text!r}: expected a number such as 12, 1.125, 1-1/8 or 7/8.")


def run_together(text: str) -> tuple[str, ...]:
    """Return what a fraction over 1 may be that lacks the gap behind its whole number; () if it can be no such slip.

    Parameters
    ----------
    text : str

    Examples
    --------
    >>> run_together("141/2"), run_together("213/16"), run_together("11/16"), run_together("16/4")
    (('14-1/2',), ('21-3/16', '2-13/16'), (), ())
    """
    m = re.fullmatch(r"([1-9]\d+)/(2|4|8|16|32|64)", text)
    splits = (
        [(m[1][:-n], m[1][-n:], m[2]) for n in (1, 2) if n < len(m[1])] if m and int(m[1]) > int(m[2]) else []
    )
    return tuple(
        f"{whole}-{top}/{bottom}"
        for whole, top, bottom in splits
        if not top.startswith("0") and int(top) % 2 and int(top) < int(bottom)
    )


def read_inches(text: str) -> float:
    """Return inches from a tape reading as people write it.

    Parameters
    ----------
    text : str
        Inches, or feet and inches: ``"26-1/2"``, ``"9 7/16 in"``, ``"12 ft 6 in"``, ``"12' 6-1/2\\""``.

    Returns
    -------
    float

    Raises
    ------
    InputError
        No such reading.

    Examples
    --------
    >>> read_inches("26-1/2 in"), read_inches("12 ft 6 in"), read_inches("8'")
    (26.5, 150.0, 96.0)
    """
    clean = str(text).translate(PLAIN_SIGNS).strip()
    if (feet := read_feet_and_inches(clean)) is not None:
        return feet
    if m := _INCHES.fullmatch(clean):
        return read_number(m[1])
    raise InputError(f"{text!r}: expected inches, or feet and inches, such as 26-1/2 in or 12 ft 6 in.")


def read_feet_and_inches(text: str) -> float | None:
    """Return inches from a text that names feet, ``"12 ft 6 in"`` or ``"12'"``; None if it is no such text.

    Parameters
    ----------
    text : str

    Returns
    -------
    float or None

    Examples
    --------
    >>> read_feet_and_inches("12' 6"), read_feet_and_inches("12")
    (150.0, None)
    """
    m = _FEET.fullmatch(str(text).translate(PLAIN_SIGNS).strip())
    try:
        return read_number(m[1]) * 12 + read_number(m[2] or "0") if m else None
    except InputError:
        return None


def fraction(size_in: float, parts: int = 16) -> str:
    """Return a size as a tape or a mill's scale shows it, to the nearest part of an inch.

    Parameters
    ----------
    size_in : float
        In inches, 0 or more.
    parts : int
        Parts of an inch on the scale: 16, or 8, 32, 64.

    Returns
    -------
    str

    Raises
    ------
    InputError
        A size below 0, or none.

    Examples
    --------
    >>> fraction(9.4375), fraction(12.0), fraction(0.126), fraction(1.03125, 32)
    ('9-7/16', '12', '1/8', '1-1/32')
    """
    if not 0 <= size_in < np.inf:
        raise InputError(f"size_in = {size_in!r}: expected 0 or more inches.")
    whole, top = divmod(round(size_in * parts), parts)
    if not top:
        return f"{whole}"
    common = int(np.gcd(top, parts))
    return f"{whole}-{top // common}/{parts // common}".removeprefix("0-")


def sixteenths(size_in: float) -> str:
    """Return a size as a tape or a mill's scale shows it, to the nearest sixteenth of an inch.

    Parameters
    ----------
    size_in : float
        In inches, 0 or more.

    Returns
    -------
    str

    Examples
    --------
    >>> sixteenths(9.4375), sixteenths(12.0), sixteenths(0.126)
    ('9-7/16', '12', '1/8')
    """
    return fraction(size_in, 16)


def feet_and_inches(size_in: float, parts: int = 1) -> str:
    """Return a length in feet and inches.

    Parameters
    ----------
    size_in : float
        In inches, 0 or more.
    parts : int
        Parts of an inch that are still told; 1: whole inches.

    Returns
    -------
    str

    Examples
    --------
    >>> feet_and_inches(98), feet_and_inches(150.5, 2), feet_and_inches(143.9)
    ('8 ft 2 in', '12 ft 6-1/2 in', '12 ft 0 in')
    """
    if not 0 <= size_in < np.inf:
        raise InputError(f"size_in = {size_in!r}: expected 0 or more inches.")
    feet, rest = divmod(round(size_in * parts), 12 * parts)
    return f"{feet} ft {fraction(rest / parts, parts)} in"


def length_told(length_ft: float) -> str:
    """Return a length as a tape shows it, whole feet without inches.

    Parameters
    ----------
    length_ft : float

    Returns
    -------
    str

    Examples
    --------
    >>> length_told(10.5), length_told(12.0)
    ('10 ft 6 in', '12 ft')
    """
    return feet_and_inches(12 * length_ft).removesuffix(" 0 in")


def nominal_in(nominal: NumbersOrNames) -> FloatOrArray:
    """Return a nominal size in inches from the trade's quarters (``"5/4"`` is 1.25), an inch size, or a number.

    Quarters go over 4: ``"8/8"`` is refused, for it may stand for 4/4 or be a slip in 8/4, and so is ``"5/8"``
    without its unit. Stock under an inch says inches (``"5/8 in"``), and so may a live-edge slab (``"2-3/8"``); a
    construction size goes by its first number (``"2x8"``).

    Parameters
    ----------
    nominal : str, float, or array of them

    Returns
    -------
    float or ndarray

    Raises
    ------
    InputError
        No such size, or not from 0.1 to 24 in.

    Examples
    --------
    >>> nominal_in("5/4"), nominal_in("1 1/4"), nominal_in(1.25), nominal_in("2x8")
    (1.25, 1.25, 1.25, 2.0)
    >>> nominal_in("8/8")
    Traceback (most recent call last):
    woodcalc.checks.InputError: nominal = '8/8': quarters of an inch go over 4. Write 4/4 for 1 in, 8/4 for 2 in.
    """
    if np.ndim(nominal) and (array := np.asarray(nominal)).dtype.kind not in "fiu":
        known = {each: nominal_in(each) for each in dict.fromkeys(array.ravel().tolist())}
        return plain(np.array([known[each] for each in array.ravel().tolist()]).reshape(array.shape))
    size: Any = _named_in(nominal.strip()) if isinstance(nominal, str) else nominal
    return within("nominal", size, 0.1, 24, "in", "Is it in quarters or mm? 8/4 is 2.0.")


_OVER = re.compile(r"(\d+)\s*/\s*(\d+)")
_BY = re.compile(rf"({NUMBER})\s*x\s*(?:{NUMBER})", re.I)  # 2x8, 5/4 x 6


@cache
def _named_in(name: str) -> float | None:
    """Inches of a thickness in words; cached, for a tally says the same few names over and over."""
    text = name.translate(PLAIN_SIGNS).strip()
    clean = re.sub(rf"\s*{_INCH}$", "", text, flags=re.I)
    if m := _BY.fullmatch(clean):
        clean = m[1]
    if m := _OVER.fullmatch(clean):
        top, bottom = int(m[1]), int(m[2])
        if bottom == 4:
            return top / 4
        if top >= bottom or (bottom != 2 and clean == text):
            raise InputError(
                f"nominal = {name!r}: quarters of an inch go over 4. Write 4/4 for 1 in, 8/4 for 2 in."
            )
    try:
        return read_number(clean)
    except InputError:
        raise InputError(
            f'nominal = {name!r}: expected quarters of an inch such as "4/4" or "8/4", or inches: 1.25, "2-3/8 in".'
        ) from None


def thickness_name(nominal: str | float) -> str:
    """Return the name of a nominal thickness: quarters where it has some, otherwise inches.

    Parameters
    ----------
    nominal : str or float
        As in `nominal_in`.

    Returns
    -------
    str

    Examples
    --------
    >>> thickness_name("1 1/4"), thickness_name(2), thickness_name("5/8 in"), thickness_name("2-3/8")
    ('5/4', '8/4', '5/8 in', '2-3/8 in')
    """
    size = nominal_in(nominal)
    quarters = round(size * 4)
    if quarters and abs(size * 4 - quarters) < 1e-6:
        return f"{quarters}/4"
    return f"{fraction(size, 32)} in" if abs(size * 32 - round(size * 32)) < 1e-6 else f"{size:g} in"


def quarters_held(sawn_in: float) -> str:
    """Return the name of the thickest hardwood size that a sawn thickness holds.

    Parameters
    ----------
    sawn_in : float
        Green, as sawn (in).

    Returns
    -------
    str

    Examples
    --------
    >>> quarters_held(1.125), quarters_held(1.1875), quarters_held(2.25)
    ('4/4', '4/4', '8/4')
    """
    held = int(np.floor(4 * sawn_in + 1e-6))
    return f"{max((q for q in QUARTERS if q <= held), default=max(held, 1))}/4"


def sawn_in(nominal: NumbersOrNames) -> FloatOrArray:
    """Return the thickness that a nominal size is sawn to, green: 1/8 in more.

    Parameters
    ----------
    nominal : str, float, or array of them
        As in `nominal_in`, 0.25 to 12 in.

    Returns
    -------
    float or ndarray

    Examples
    --------
    >>> sawn_in(1.0), sawn_in("8/4")
    (1.125, 2.125)
    """
    return plain(np.asarray(within("thickness_in", nominal_in(nominal), 0.25, 12, "in")) + SAWN_OVER_IN)


def lumber_size_in(
    nominal: str | float,
    standard: str = "hardwood S2S",
    dimension: Literal["thickness", "width"] = "thickness",
) -> float:
    """Return the dressed dry size that a size standard lists for a nominal size, in.

    Parameters
    ----------
    nominal : str or float
        Nominal size, ``"4/4"`` or 1.0, in.
    standard : str
        ``"hardwood S2S"``, ``"hardwood S1S"``, or ``"PS 20 boards"``, ``"PS 20 dimension"`` (US softwood
        lumber; these are secondary tabulations, see ``data/lumber_sizes.csv``).
    dimension : {"thickness", "width"}

    Returns
    -------
    float

    Raises
    ------
    InputError
        A standard or size that the table does not list.

    Examples
    --------
    >>> lumber_size_in("4/4"), lumber_size_in(6, "PS 20 dimension", "width")
    (0.8125, 5.5)
    """
    table = _standard(standard, dimension)
    size = nominal_in(nominal)
    row = table[np.isclose(table["nominal_in"], size)]
    if row.empty:
        listed = ", ".join(f"{v:g}" for v in table["nominal_in"])
        raise InputError(f"{standard} lists no {dimension} of {size:g} in. Listed: {listed or 'none'}.")
    return float(row["dry_in"].iloc[0])


def _standard(standard: str, dimension: str) -> pd.DataFrame:
    table = tables.read("lumber_sizes")
    known = list(table["standard"].unique())
    if standard not in known:
        raise suggest(standard, known, "size standard")
    return table[(table["standard"] == standard) & (table["dimension"] == dimension)]


def dressed_in(nominal: str | float) -> float:
    """Return the dry thickness that a hardwood board is surfaced to on both faces, of any nominal thickness.

    As the size standard lists it (`lumber_size_in`); between its sizes, and over the largest, planing takes
    what it takes from the next smaller one that is listed: 3/16 in up to 6/4, 1/4 in from 7/4 on.

    Parameters
    ----------
    nominal : str or float
        As in `nominal_in`, 3/8 in or more.

    Returns
    -------
    float

    Examples
    --------
    >>> dressed_in("4/4"), dressed_in("8/4"), dressed_in("10/4"), dressed_in("16/4")
    (0.8125, 1.75, 2.25, 3.75)
    """
    listed = _standard("hardwood S2S", "thickness").sort_values("nominal_in")
    size = within("nominal", nominal_in(nominal), listed["nominal_in"].min(), 24, "in")
    below = listed[listed["nominal_in"] <= size + 1e-9].iloc[-1]
    return float(size - (below["nominal_in"] - below["dry_in"]))


def counted_in(nominal: NumbersOrNames) -> FloatOrArray:
    """Return the thickness that board feet are counted by (in): the nominal one, less than 1 in as 1 in.

    Parameters
    ----------
    nominal : str, float, or array of them
        As in `nominal_in`.

    Returns
    -------
    float or ndarray

    Examples
    --------
    >>> counted_in("5/4"), counted_in("3/4")
    (1.25, 1.0)
    """
    return plain(np.maximum(nominal_in(nominal), 1.0))


def board_feet(thickness_in: NumbersOrNames, width_in: Numbers, length_ft: Numbers) -> FloatOrArray:
    """Return board feet of a board: nominal thickness x width x length / 12, less than 1 in counted as 1 in.

    So stock under an inch counts by its face alone (**surface measure**): 3/4 in, 8 in wide and 12 ft long is
    8 board feet, as much as 4/4.

    Parameters
    ----------
    thickness_in : str, float, or array of them
        Nominal thickness, as in `nominal_in`.
    width_in : float or array
        Width (in).
    length_ft : float or array
        Length (ft).

    Returns
    -------
    float or ndarray

    Raises
    ------
    InputError
        A size that no board has.

    References
    ----------
    W. Noyes, Handwork in Wood, 1910, ch. III.

    Examples
    --------
    >>> board_feet(1, 6, 15), board_feet("8/4", 6, 12), board_feet("3/4", 8, 12)
    (7.5, 12.0, 8.0)
    """
    thickness = np.asarray(counted_in(thickness_in))
    width = np.asarray(within("width_in", width_in, 0, 120, "in"))
    length = np.asarray(within("length_ft", length_ft, 0, 66, "ft", "Is it in inches?"))
    return plain(thickness * width * length / 12)


def wood_ft3(board_feet: Numbers, nominal: NumbersOrNames = 1.0) -> FloatOrArray:
    """Return the wood of a tally in cubic feet, at its nominal size: what `board_feet` counts, turned back.

    Twelve board feet are a cubic foot from 1 in up. Thinner stock holds less: it was counted as 1 in.

    Parameters
    ----------
    board_feet : float or array
        Tally by nominal thickness.
    nominal : str, float, or array of them
        As in `nominal_in`.

    Returns
    -------
    float or ndarray

    Raises
    ------
    InputError
        A negative tally, or no such size.

    Examples
    --------
    >>> wood_ft3(12), wood_ft3(12, "8/4"), wood_ft3(200, "3/4")
    (1.0, 1.0, 12.5)
    """
    feet = np.asarray(within("board_feet", board_feet, 0, 1e7, "bf"))
    size = np.asarray(nominal_in(nominal))
    return plain(feet / 12 * (size / counted_in(size)))


FT3_PER_IN2_FT = np.pi / 576  # area in ft2 of a circle 1 in across: pi/4/144 = 0.005454
MOST_FT3 = 2000.0  # of one log, its trim counted: what is larger was measured in another unit
WIDEST_SCALED_IN = 80.0  # at the small end of a log, or of a piece that a long one is scaled in
SCALED_FT = 16.0  # the longest that is scaled as one log
LOG_TRIM_IN = 4.0  # common practice; where none was measured
# 1/2 in per 4 ft fits most types of timber: The cubic foot as a national log-scaling standard, Forest Service 1940
LOG_TAPER_IN_PER_FT = 0.125


def round_in(one_in: float, other_in: float) -> float:
    """Return the diameter of the round end with the area of an oval one.

    Parameters
    ----------
    one_in, other_in : float
        Two diameters at right angles (in).

    Examples
    --------
    >>> round_in(14, 14), round(round_in(14, 15.5), 2)
    (14.0, 14.73)
    """
    return float(one_in) if one_in == other_in else (one_in * other_in) ** 0.5


def frustum_ft3(small_in: Any, large_in: Any, length_ft: Any) -> Any:
    """Return cubic feet of the frustum of a cone, for sizes that are known to be good.

    Parameters
    ----------
    small_in, large_in : float or array
        Diameters (in).
    length_ft : float or array

    Examples
    --------
    >>> round(frustum_ft3(10, 12, 16), 2)
    10.59
    """
    return FT3_PER_IN2_FT * (small_in * small_in + small_in * large_in + large_in * large_in) / 3 * length_ft


def lifted_ft3(small_in: float, large_in: float, length_ft: float, trim_in: float = LOG_TRIM_IN) -> float:
    """Return cubic feet of a log, its trim counted: what has to be lifted, and what may be `MOST_FT3` at most.

    Parameters
    ----------
    small_in, large_in : float
        Diameters inside bark (in).
    length_ft : float
        Trim not counted.
    trim_in : float

    Examples
    --------
    >>> round(lifted_ft3(16, 17.5, 12), 1)
    18.9
    """
    return float(frustum_ft3(small_in, large_in, length_ft) * (1 + trim_in / 12 / length_ft))


def scaled_lengths_ft(length_ft: float, longest_ft: float = SCALED_FT) -> list[float]:
    """Return the lengths that a log is scaled in, from the small end: `segments` of it.

    Parameters
    ----------
    length_ft, longest_ft : float

    Examples
    --------
    >>> scaled_lengths_ft(20), scaled_lengths_ft(12)
    ([10.0, 10.0], [12.0])
    """
    n = int(np.ceil(length_ft / longest_ft - 1e-9))
    if n == 1:
        return [float(length_ft)]
    base = np.floor(length_ft / n / 2) * 2
    lengths = np.full(n, base)
    extra = length_ft - base * n
    for i in range(n - 1, -1, -1):  # hand out the rest, two feet at a time, from the butt
        step = min(extra, 2.0)
        lengths[i] += step
        extra -= step
    return lengths.tolist()


def last_scaled_in(
    small_in: float, large_in: float, length_ft: float, longest_ft: float = SCALED_FT
) -> float:
    """Return the small end (in) of the last piece that a log is scaled in: `WIDEST_SCALED_IN` at most.

    Parameters
    ----------
    small_in, large_in : float
        Diameters inside bark (in).
    length_ft, longest_ft : float

    Examples
    --------
    >>> last_scaled_in(12, 14.5, 20), last_scaled_in(12, 13.5, 12)
    (13.25, 12.0)
    """
    *before, _ = scaled_lengths_ft(length_ft, longest_ft)
    return float(small_in + (large_in - small_in) / length_ft * sum(before))
