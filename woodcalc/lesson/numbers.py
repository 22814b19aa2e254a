"""The number that a person typed, wherever the lessons ask for one: in an answer, a guess, a dial."""

from __future__ import annotations

import re

from woodcalc.checks import InputError
from woodcalc.sizes import PLAIN_SIGNS, read_number

_MOST = 1e9


def number(text: str) -> float:
    """Return the number that a person wrote: ``12``, ``1,250``, ``7.5 bf``, ``1 1/8``, ``1-1/8"``, ``12 %``.

    Parameters
    ----------
    text : str

    Returns
    -------
    float

    Raises
    ------
    ValueError
        No number can be read.

    Examples
    --------
    >>> number("1-1/8 in")
    1.125
    >>> number("1,250 bf"), number("1e3")
    (1250.0, 1000.0)
    """
    bare = re.sub(r"(?<=\d),(?=\d{3}\b)", "", text.translate(PLAIN_SIGNS).strip())
    power = re.match(r"-?(\d+\.?\d*|\.\d+)[eE][+-]?\d{1,2}(?![\w.])", bare)  # 1e3, as calculators write it
    bare = power[0] if power else re.sub(r"[^\d.,/ -]+.*$", "", bare).strip().rstrip("-,").strip()
    try:
        value = float(power[0].removeprefix("-")) if power else read_number(bare.removeprefix("-"))
    except InputError:
        raise ValueError(f"could not read a number in {text!r}: write it like 12, 7.5 or 1 1/8") from None
    if value > _MOST:
        raise ValueError("That number is too large for any question here. Was a key held down?")
    return -value if bare.startswith("-") else value
