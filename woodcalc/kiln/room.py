"""A converted room with a dehumidifier: what machine for what load, what air by the wood's moisture, what it costs."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from woodcalc import species as woods
from woodcalc import tables
from woodcalc.checks import capital
from woodcalc.drying.safe_loss import nominal_inches, safe_loss_pct_per_day
from woodcalc.kiln import ways
from woodcalc.kiln.runs import FROST_F, NO_PACE
from woodcalc.moisture import start_mc_pct
from woodcalc.sizes import thickness_name

if TYPE_CHECKING:
    import pandas as pd

LOADS_BF = (200, 400, 600, 800, 1000)
SOLD_PINTS = (30, 50, 70, 100, 150, 200)  # ratings, pints a day at 80 F and 60 %: common practice
AMPLE_PINTS, NEAR = (
    300,
    1.1,
)  # a machine is large enough if one so large would save no more than a tenth of the days
PINT_LB = 1.043  # a pint of water
_LONGEST, _ROUGH_H = 150, 4


def machine_sizes(
    species: str | woods.Species,
    thickness_in: float | str,
    mc_start_pct: float | None = None,
    mc_target_pct: float = 8.0,
    loads_bf: Sequence[float] = LOADS_BF,
    room_f: float = 65.0,
    usd_per_kwh: float = 0.17,
) -> pd.DataFrame:
    """Return the smallest machine that dries each load about as fast as the wood goes, with its days and power.

    Parameters
    ----------
    species, thickness_in, mc_start_pct, mc_target_pct :
        As in `ways.dehumidifier`.
    loads_bf : sequence of float
        50 to 20,000 bf.
    room_f : float
        Air around the chamber, 20 to 120 F.
    usd_per_kwh : float
        Price.

    Returns
    -------
    DataFrame
        `load_bf`, `water_lb` (in all), `most_pints` (that the wood gives in a day), `pints_per_day` (rating; the
        largest of `SOLD_PINTS` where even that is slow), `days` (NaN: not in 150), `kwh`, `cost_usd`, `too_fast_days`.

    Examples
    --------
    >>> sizes = machine_sizes("black cherry", 1, 25, loads_bf=(200, 800))
    >>> bool(sizes.pints_per_day[0] <= sizes.pints_per_day[1])
    True
    """
    import pandas as pd

    rows = []
    for load in loads_bf:

        def run(pints: Any, load: Any = load) -> Any:
            return ways.dehumidifier(
                species,
                thickness_in,
                load,
                mc_start_pct,
                mc_target_pct,
                _LONGEST,
                pints,
                room_f=room_f,
                rough=_ROUGH_H,
            )

        ample = run(AMPLE_PINTS)
        for pints in SOLD_PINTS:
            found = run(pints)
            if found.days_to() <= NEAR * ample.days_to():
                break
        rows.append(
            dict(
                load_bf=load, water_lb=found.water_lb, most_pints=found.daily.evaporated_lb.max() / PINT_LB,
                pints_per_day=pints, days=found.days_to(), kwh=found.kwh, cost_usd=found.kwh * usd_per_kwh,
                too_fast_days=found.too_fast_days,
            )
        )  # fmt: skip
    return pd.DataFrame(rows)


def steps(
    species: str | woods.Species,
    thickness_in: float | str,
    mc_start_pct: float | None = None,
    mc_target_pct: float = 8.0,
) -> pd.DataFrame:
    """Return the air to keep, step by step, as the wettest sample board comes down.

    Parameters
    ----------
    species, thickness_in, mc_start_pct, mc_target_pct :
        As in `machine_sizes`.

    Returns
    -------
    DataFrame
        `above_pct` (moisture over which the step holds; 0 for the last) and `rh_pct`.

    References
    ----------
    `ways.humidity_for`.

    Examples
    --------
    >>> steps("black cherry", 1, 25).rh_pct.round().tolist()
    [55.0, 30.0]
    """
    import pandas as pd

    start = float(start_mc_pct(woods.get(species), mc_start_pct))
    above = sorted((a for a in tables.read("dehumidifier_settings").mc_above_pct if a < start), reverse=True)
    rows = [
        (a, ways.humidity_for(max(a, mc_target_pct) + 0.1 if a else mc_target_pct, mc_target_pct))
        for a in above
    ]
    return pd.DataFrame(rows, columns=["above_pct", "rh_pct"])


def advice(species: str | woods.Species, thickness_in: float | str, sizes: pd.DataFrame) -> list[str]:
    """Return what to mind with the machines of `machine_sizes`, in sentences.

    Examples
    --------
    >>> advice("black cherry", 1, machine_sizes("black cherry", 1, 25, loads_bf=(400,)))[0]
    'Black cherry 4/4 can lose 5.8 % a day; the wood sets the pace, not the machine.'
    """
    safe = safe_loss_pct_per_day(woods.get(species), nominal_inches(thickness_in))
    name = f"{capital(woods.get(species).name)} {thickness_name(thickness_in)}"
    first = (
        f"{name}: {NO_PACE}. Step down slowly, and watch the faces."
        if safe is None
        else f"{name} can lose {safe:.1f} % a day; the wood sets the pace, not the machine."
    )
    fast = int(sizes.too_fast_days.fillna(0).max()) if safe is not None else 0
    return [
        first,
        *(
            [f"With these steps it loses more on up to {fast} days: keep the air damper at the start."]
            if fast
            else []
        ),
        "Drain: a hose from the machine to a floor drain or a pail outside the box, never a pail that can overflow "
        "onto a cord.",
        f"Defrost: below about {FROST_F:.0f} F most household machines ice over (from memory, ENERGY STAR). Heat the "
        "room first, or buy one that defrosts by itself.",
        "Supply: a licensed electrician, ground-fault protection, no extension cord. A heater needs a limit switch.",
    ]
