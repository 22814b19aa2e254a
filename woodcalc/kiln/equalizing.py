"""The end of a run: let the boards even out, take the stress out, see by the prongs whether it is gone."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from woodcalc import air, tables
from woodcalc.checks import InputError, within

if TYPE_CHECKING:
    import pandas as pd


@dataclass(frozen=True)
class Setting:
    """Air to set: `emc_pct`, `temp_f`, `rh_pct`, `wet_bulb_f`; `until` says when to stop."""

    emc_pct: float
    temp_f: float
    rh_pct: float
    wet_bulb_f: float
    until: str


def equalize(mc_target_pct: float, temp_f: float, kind: str = "hardwood") -> Setting:
    """Air that lets the wet boards catch up while the dry ones stop.

    Parameters
    ----------
    mc_target_pct : float
        5 to 15 %.
    temp_f : float
        Temperature of the chamber, 60 to 200 F.
    kind : str
        "hardwood" or "softwood".

    Returns
    -------
    Setting

    References
    ----------
    Start when the driest sample is 2 points below the target (3 for softwoods), air's EMC there too,
    hold until the wettest is at the target: common practice, as E. M. Wengert gives it. Boone et al. (1988),
    FPL-GTR-57, app. A, go 3 points below for all and print 180 / 137 F for 7 %, which is 4.4 % EMC.

    Examples
    --------
    >>> s = equalize(7, 180)
    >>> round(s.emc_pct), round(s.wet_bulb_f)
    (5, 142)
    """
    target = within("mc_target_pct", mc_target_pct, 5, 15, "%")
    temp = within("temp_f", temp_f, 60, 200, "F", "Is it in C?")
    below = _points(kind, 2.0, 3.0)
    emc = target - below
    rh = air.rh_for_emc_pct(temp, emc)
    until = f"start when the driest sample board is at {emc:g} %; hold until the wettest is at {target:g} %"
    return Setting(emc, temp, rh, air.wet_bulb_f(temp, rh), until)


def condition(mc_target_pct: float, temp_f: float, kind: str = "hardwood") -> Setting:
    """Air that takes the drying stress out: the surface takes up water again.

    Parameters
    ----------
    mc_target_pct, temp_f, kind :
        As in `equalize`.

    Returns
    -------
    Setting

    References
    ----------
    EMC 4 points above the target for hardwoods, 3 for softwoods (Dry Kiln Operator's Manual, from
    memory), 4 to 72 h (FPL-GTR-57, app. A). It works at 160 to 180 F with steam or mist: small
    low-temperature dryers cannot do it well (common practice).

    Examples
    --------
    >>> condition(7, 170).emc_pct
    11.0
    """
    target = within("mc_target_pct", mc_target_pct, 5, 15, "%")
    temp = within("temp_f", temp_f, 60, 200, "F", "Is it in C?")
    emc = target + _points(kind, 4.0, 3.0)
    rh = air.rh_for_emc_pct(temp, emc)
    return Setting(
        emc, temp, rh, air.wet_bulb_f(temp, rh), "4 to 72 hours; stop when the prongs stay straight"
    )


def _points(kind: str, hardwood: float, softwood: float) -> float:
    if kind not in ("hardwood", "softwood"):
        raise InputError(f"kind = {kind!r}: expected 'hardwood' or 'softwood'.")
    return hardwood if kind == "hardwood" else softwood


def stress_test() -> pd.DataFrame:
    """The prong test: what is seen, what it means, what to do.

    Returns
    -------
    DataFrame
        `prongs`, `meaning`, `do`.

    Examples
    --------
    >>> list(stress_test().prongs)[0]
    'turn in, tips touch or cross'
    """
    return tables.read("stress_test")[["prongs", "meaning", "do"]].copy()
