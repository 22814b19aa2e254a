"""Every factor between one unit and another, once: the inch, the foot and the pound are exact by definition."""

from __future__ import annotations

from typing import Any

CM_PER_IN, M_PER_FT, KM_PER_MILE = 2.54, 0.3048, 1.609344  # exactly
M_PER_IN = CM_PER_IN / 100
KG_PER_LB = 0.45359237  # exactly
F_PER_C = 1.8  # of a difference
ZERO_C_K = 273.15
M2_PER_FT2, M3_PER_FT3 = M_PER_FT**2, M_PER_FT**3
J_PER_BTU, J_PER_KWH = 1055.06, 3.6e6  # the Btu of the International Table
PA_PER_PSI = 6894.757

# What one of each unit is in inches, and in pounds
INCHES = {"in": 1.0, "ft": 12.0, "cm": 1 / CM_PER_IN, "mm": 1 / (10 * CM_PER_IN), "m": 100 / CM_PER_IN}
POUNDS = {"lb": 1.0, "oz": 1 / 16, "kg": 1 / KG_PER_LB, "g": 1 / (1000 * KG_PER_LB)}


def fahrenheit(temp_c: Any) -> Any:
    """Return degrees Fahrenheit of degrees Celsius that are known to be good.

    Parameters
    ----------
    temp_c : float or array

    Returns
    -------
    float or array

    Examples
    --------
    >>> fahrenheit(20)
    68.0
    """
    return temp_c * F_PER_C + 32


def celsius(temp_f: Any) -> Any:
    """Return degrees Celsius of degrees Fahrenheit that are known to be good.

    Parameters
    ----------
    temp_f : float or array

    Returns
    -------
    float or array

    Examples
    --------
    >>> celsius(68)
    20.0
    """
    return (temp_f - 32) / F_PER_C


def kelvin(temp_f: Any) -> Any:
    """Return kelvin of degrees Fahrenheit that are known to be good.

    Parameters
    ----------
    temp_f : float or array

    Returns
    -------
    float or array

    Examples
    --------
    >>> kelvin(68)
    293.15
    """
    return celsius(temp_f) + ZERO_C_K
