"""The size that was likely meant by one that no log, board or pile has: by its column's other sizes."""

from __future__ import annotations

import re
from collections.abc import Sequence

from woodcalc.units import CM_PER_IN

FAR = 1.5  # times above the largest or below the smallest of the others: no mend goes there (common practice)
_USUAL_DECIMALS = {"in": 1, "ft": 0}  # where no other cell tells: 14.5 in across, 12 ft long


def lies_near(value: float, others: Sequence[float]) -> bool:
    """Return whether a size lies among others, or not far outside of them; True if there are none.

    Examples
    --------
    >>> lies_near(14.5, [13.5, 16]), lies_near(57.09, [13.5, 16]), lies_near(57.09, [])
    (True, False, True)
    >>> [lies_near(size, [13.5, 16]) for size in (8.9, 9, 24, 24.1)]  # the ends are near
    [False, True, True, False]
    """
    return not others or min(others) / FAR <= value <= max(others) * FAR


def likely_sizes(
    text: str,
    value: float,
    kind: str,
    limits: tuple[float, float],
    others: Sequence[float],
    decimals: int | None,
) -> dict[str, str]:
    """Return {what was likely meant: the slip, as a question} of a size outside its limits; of several each fits.

    Parameters
    ----------
    text : str
        As it was typed.
    value : float
        As it was read.
    kind : str
        ``"in"`` or ``"ft"``; of any other only a minus sign is a known slip.
    limits : tuple of float
        The least and the largest that there can be.
    others : sequence of float
        The column's other sizes.
    decimals : int or None
        The most that they are written with; None if there are none.

    Examples
    --------
    >>> likely_sizes("145", 145, "in", (3, 80), [14.5, 16, 13.5], 1)
    {'14.5': 'Was its point lost?'}
    >>> likely_sizes("145", 145, "in", (3, 80), [], None)
    {'14.5': 'Was its point lost?', '57.09': 'Was it measured in cm?'}
    >>> likely_sizes("144", 144, "ft", (2, 60), [10, 12], 0)
    {'12': 'Was it measured in inches?'}
    """
    found: list[tuple[float, str]] = []
    points = set()
    if value < 0:
        found.append((-value, "A minus sign by mistake?"))
    elif kind in ("in", "ft"):
        if m := re.fullmatch(r"(\d{1,2})\s*['\u2019]\s*(\d)", text):  # 14'5
            found.append((float(f"{m[1]}.{m[2]}"), "Is the tick a decimal point?"))
        elif text.isdecimal():
            found += [(value / by, "Was its point lost?") for by in (10, 100)]
            points = {value / 10, value / 100}
        if not m:
            found += _in_another_unit(value, kind, bool(others))
    low, high = limits
    fit = [(size, slip) for size, slip in found if low <= size <= high and lies_near(size, others)]
    most = _USUAL_DECIMALS.get(kind, 0) if decimals is None else decimals
    as_fine = [each for each in fit if each[0] not in points or _decimals(each[0]) <= most]
    return {f"{round(size, 2):g}": slip for size, slip in as_fine or fit}


def _in_another_unit(value, kind, others):
    """What a size is if it was measured in another unit; some units only where other sizes bear it out."""
    if kind == "in":
        yield value / CM_PER_IN, "Was it measured in cm?"
        if others:
            yield value / (10 * CM_PER_IN), "Was it measured in mm?"
        return
    feet = value / 12
    if feet * 2 == round(feet * 2):
        yield feet, "Was it measured in inches?"
    if others:
        yield value / 30.48, "Was it measured in cm?"


def _decimals(size):
    return len(f"{size:.10g}".partition(".")[2])
