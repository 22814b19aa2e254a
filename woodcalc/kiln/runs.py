"""One charge on its way down: what happened hour by hour and day by day, how far it came, what to watch."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING, Any

import numpy as np

from woodcalc import air, units
from woodcalc.checks import blank
from woodcalc.dates import days_told
from woodcalc.kiln import chamber
from woodcalc.species import LIMIT_ABOVE_MC

if TYPE_CHECKING:
    import pandas as pd

# How far a number of days may be off: 16 of 18 published runs lie within this factor of ours, either way, and 9 of the
# 11 that nothing was fitted to; 6 or 7, if four of those ran colder or hotter than is taken here. So about three in
# four. The test run prints each of them beside ours and holds this number against them (tests/test_kiln.py).
GIVE_OR_TAKE = 1.5

# Published runs lie near ours up to about this temperature; hotter, ours is too fast, up to 5.5 times (`ways`). A run
# that loses more than this share of its water there has no margin: judgment, with room for a few hot noons.
HOT_F, HOT_SHARE = 120.0, 0.2

# A household machine's coil ices over in colder air: guidance of the US EPA's ENERGY STAR program, from memory
FROST_F = 65.0
# Colder than this it does not run at all: it takes no water and gives no heat. The range that most manuals of household
# machines give begins here, from memory.
MACHINE_FROM_F = 41.0

_GAINS = ("sun", "fan", "heater", "machine", "removed")
_LOSSES = ("walls", "vent", "evaporation", "stored")
_WATERS = ("evaporated", "vented", "dripped", "removed")


@dataclass(frozen=True, eq=False)
class Run:
    """What one charge does, hour by hour and day by day.

    Attributes
    ----------
    way : str
        "solar kiln", "dehumidifier" or "indoors".
    wood, place : str
    thickness_in, load_bf, mc_start_pct, mc_target_pct : float
    safe_loss_pct_per_day : float or None
        Greatest safe loss of moisture content in a day; None if none is published for the wood.
    hourly : DataFrame
        `day`, `hour`, `outdoor_f`, `temp_f`, `rh_pct`, `humidity_ratio`, `wood_f`, `emc_pct` (of the air),
        `mc_pct`, `surface_pct`, `core_pct`, `fans` (0 or 1), `working` (share of the hour that vents stand open or the
        machine works), `too_warm` (share that the machine stands still for its own heat); heat in Btu, each `_btu`:
        `sun`, `fan`, `heater`, `machine` (electricity), `removed` (given back by the water it takes), `walls`, `vent`,
        `evaporation`, `stored`; water in lb, each `_lb`: `evaporated`, `vented`, `dripped`, `removed`,
        `air_water` (what the air holds).
    daily : DataFrame
        By day from 1: `mc_pct`, `core_pct`, `surface_pct`, `loss_pct`, `too_fast`, `outdoor_f` and `temp_f` (means),
        `temp_max_f`, `temp_min_f`, `rise_f` (greatest above outdoors), `rh_pct`, `emc_pct` (means), `kwh`,
        `evaporated_lb`, and the shares of the day's total that the two balances miss, `heat_gap` and
        `water_gap`.
    settings : dict
        As given or worked out.
    unsure_pace : str
        What its days have to say with them, where it is of a part of the log with no rate of its own
        (`drying.rate.unsure_pace`).
    again : callable, optional
        ``again(pace)``: a rough look at the same charge where everything goes `pace` times as fast, the season apart.

    Examples
    --------
    >>> from woodcalc.kiln import solar
    >>> run = solar("black cherry", 1, "Madison", "June", mc_start_pct=20)
    >>> run.days_to(10) < run.days_to(8)
    True
    """

    way: str
    wood: str
    place: str
    thickness_in: float
    load_bf: float
    mc_start_pct: float
    mc_target_pct: float
    safe_loss_pct_per_day: float | None
    hourly: pd.DataFrame = field(repr=False)
    daily: pd.DataFrame = field(repr=False)
    settings: dict[str, Any] = field(repr=False)
    unsure_pace: str = ""
    again: Callable[[float], Run] | None = field(default=None, repr=False)

    def days_to(self, mc_pct: float | None = None) -> float:
        """Return the days until the charge's mean is down to `mc_pct`, or to the target; NaN if the run ends before."""
        mc_pct = self.mc_target_pct if mc_pct is None else mc_pct
        return days_until(self.hourly.mc_pct.to_numpy(), self.mc_start_pct, mc_pct, self.settings["step_h"])

    def says(self) -> str:
        """How far it came, in words, and between what days about three runs in four would be there.

        Examples
        --------
        >>> from woodcalc.kiln import solar
        >>> solar("black cherry", 1, "Madison", "June", mc_start_pct=14).says()
        '8 % after 18 days (12 to 27)'
        """
        told = f"{self.reached}, {TOO_HOT}" if self.reached.endswith(OR_LONGER) else self.reached
        if blank(self.days_to()) and self.between[0] <= len(self.daily):
            told += f"; if all goes half again as fast, it is there in {self.between[0]:.0f}"
        return f"{told}; {self.unsure_pace}" if self.unsure_pace else told

    @property
    def reached(self) -> str:
        """How far it came, in the few words that a picture has room for."""
        days = self.days_to()
        if np.isnan(days):
            return f"still at {self.mc_end_pct:.1f} % after {len(self.daily)} days"
        told = took(days, self.too_hot, between=self.between, why=False)
        return f"{self.mc_target_pct:g} % after {told}"

    @cached_property
    def between(self) -> tuple[float, float]:
        """Fewest and most days that about three runs in four take; `inf` where a slow one does not get there.

        A run that is slow for its wood, its box or its air is so through the season that follows: outdoors goes on
        toward winter, the house toward summer.

        Examples
        --------
        >>> from woodcalc.kiln import indoors
        >>> early, late = indoors("northern red oak", 1, "Madison", "January").between
        >>> round(early), late > 300  # the slow one misses the heating season, and waits for the next
        (35, True)
        """
        days = self.days_to()
        low, high = give_or_take(days)
        if (
            self.again is None or days == 0 or (self.too_hot and not blank(days))
        ):  # too hot has no margin to tell
            return low, high
        fast = self.again(GIVE_OR_TAKE).days_to()
        if blank(days):
            return fast, math.inf
        slow = self.again(1 / GIVE_OR_TAKE).days_to()
        return (low if blank(fast) else min(fast, days)), max(high, math.inf if blank(slow) else slow)

    @property
    def too_hot(self) -> bool:
        """True if over a fifth of the drying goes on above 120 F, hotter than ever tried."""
        hours = self.hourly
        return too_hot(
            hours.mc_pct.to_numpy(), hours.temp_f.to_numpy(), self.mc_start_pct, self.mc_target_pct
        )

    @property
    def mc_end_pct(self) -> float:
        """Moisture content at the end of the run, %."""
        return float(self.hourly.mc_pct.iloc[-1])

    @property
    def water_lb(self) -> float:
        """Water that left the wood, lb."""
        return float(self.daily.evaporated_lb.sum())

    @property
    def kwh(self) -> float:
        """Electricity of fans, heater and dehumidifier, kWh."""
        return float(self.daily.kwh.sum())

    @property
    def too_fast_days(self) -> int | None:
        """Days on which the charge lost more than is safe; None if no safe loss is published for it."""
        return None if self.safe_loss_pct_per_day is None else int(self.daily.too_fast.sum())

    @cached_property
    def advice(self) -> tuple[str, ...]:
        """What to watch and which dial to turn, the most important first."""
        own = {"solar kiln": _of_the_sun, "dehumidifier": _of_the_machine, "indoors": _of_the_house}[self.way]
        say = [*_too_fast(self), *_not_reached(self), *own(self)]
        if self.too_hot:
            say.append(
                f"Over a fifth of the drying goes on above {HOT_F:.0f} F, {TOO_HOT}: it may take several times "
                "as long, and whether the pace is safe is not known. Watch sample boards, "
                f"{'' if self.too_fast_days else 'vent more or '}shade the glass."
            )
        unknown = self.safe_loss_pct_per_day is None
        if not say:
            say.append(f"{self.says()}{f'; {NO_PACE}' if unknown else ', within the safe pace'}.")
            return tuple(say)
        if unknown:
            say.append(
                f"{NO_PACE.capitalize()}: weigh sample boards, and look at their faces and ends for checks."
            )
        if not blank(self.days_to()):
            say.append(f"{self.says()}.")
        elif self.unsure_pace:
            say.append(f"A{self.unsure_pace[1:]}.")
        return tuple(say)


TOO_HOT = "hotter than ever tried"
OR_LONGER = " or longer"
A_YEAR = 365  # a run that takes longer is told so, without a number
NO_PACE = "no safe pace is published for this wood and thickness"


def took(
    days: float,
    too_hot: bool,
    within: int | None = None,
    unit: bool = True,
    between: Sequence[float] = (),
    why: bool = True,
) -> str:
    """Days of a run in words, with their margin; over 120 F they are a least, and the words say so.

    Parameters
    ----------
    days : float
        As from `Run.days_to`.
    too_hot : bool
        As from `Run.too_hot`.
    within, unit :
        As in `dates.days_told`.
    between : pair of float
        As from `Run.between`; `give_or_take` of the days if left out.
    why : bool
        Say why they are a least.

    Returns
    -------
    str

    Examples
    --------
    >>> took(26.2, False), took(26.2, True, unit=False), took(float("nan"), True, 180)
    ('26 days (17 to 39)', '26 or longer, hotter than ever tried', 'not in 180 days')
    >>> took(65, False, between=(44, 343)), took(65, False, between=(44, float("inf")))
    ('65 days (44 to 343)', '65 days (44 to over a year)')
    >>> took(float("nan"), False, 180, between=(48, float("inf")))
    'not in 180 days (48 if fast)'
    """
    told = days_told(days, within, unit)
    if blank(days) and within and between and between[0] <= within:
        return f"{told} ({between[0]:.0f} if fast)"
    if blank(days) or days == 0:
        return told
    if too_hot:
        return f"{told}{OR_LONGER}{f', {TOO_HOT}' if why else ''}"
    low, high = between or give_or_take(days)
    return f"{told} ({low:.0f} to over a year)" if high > A_YEAR else f"{told} ({low:.0f} to {high:.0f})"


def give_or_take(days: float) -> tuple[float, float]:
    """Fewest and most days that about three runs in four take, where ours says `days` and no season is in the way.

    Examples
    --------
    >>> give_or_take(30)
    (20.0, 45.0)
    """
    return days / GIVE_OR_TAKE, days * GIVE_OR_TAKE


def days_until(mc: np.ndarray, start_pct: float, mc_pct: float, step_h: float) -> float:
    """Days until the mean, told at the end of each step, is down to `mc_pct`; NaN if that is not among them."""
    below = np.flatnonzero(mc <= mc_pct)
    if mc_pct >= start_pct:
        return 0.0
    if not below.size:
        return float("nan")
    i = below[0]
    before = start_pct if i == 0 else mc[i - 1]
    return float((i + (before - mc_pct) / (before - mc[i])) * step_h / 24)


def too_hot(mc: np.ndarray, temp_f: np.ndarray, start_pct: float, target_pct: float) -> bool:
    """Whether over a fifth of the drying goes on above 120 F."""
    loss = -np.diff(mc, prepend=start_pct)
    loss = np.where(mc > target_pct - 1, np.maximum(loss, 0.0), 0.0)
    return bool(loss[temp_f > HOT_F].sum() > HOT_SHARE * loss.sum())


def too_fast(loss_pct: np.ndarray, before_pct: np.ndarray, safe_pct_per_day: float | None) -> np.ndarray:
    """Which days lost more than is safe, while the wood was wet enough to check."""
    if safe_pct_per_day is None:
        return np.zeros(len(loss_pct), dtype=bool)
    return (loss_pct > safe_pct_per_day) & (before_pct > LIMIT_ABOVE_MC)


def hours_of(
    state: dict[str, np.ndarray], outdoor_c: Sequence[float], air_kg: float, step_h: int = 1
) -> pd.DataFrame:
    """The hours of `Run.hourly` from what `chamber.march` gives, in steps of so many hours."""
    import pandas as pd

    n = len(state["temp_c"])
    temp_f = units.fahrenheit(state["temp_c"])
    # of the air at its own temperature; the wood, cooler or warmer, answers to the chamber's `emc_pct`
    emc = air.emc_pct(np.minimum(temp_f, 270.0), np.clip(100 * state["rh"], 1, 100))
    return pd.DataFrame(
        {
            "day": np.arange(n) * step_h // 24 + 1,
            "hour": np.arange(n) * step_h % 24,
            "outdoor_f": units.fahrenheit(np.asarray(outdoor_c[:n])),
            "temp_f": temp_f,
            "rh_pct": 100 * state["rh"],
            "humidity_ratio": state["ratio"],
            "wood_f": units.fahrenheit(state["wood_c"]),
            "emc_pct": emc,
            **{k: state[k] for k in ("mc_pct", "surface_pct", "core_pct", "fans", "working")},
            "too_warm": 0.0,
            **{f"{k}_btu": state[f"{k}_j"] / units.J_PER_BTU for k in (*_GAINS, *_LOSSES)},
            **{f"{k}_lb": state[f"{k}_kg"] / units.KG_PER_LB for k in _WATERS},
            "air_water_lb": state["ratio"] * (air_kg / units.KG_PER_LB),
        }
    )


def days_of(
    hourly: pd.DataFrame, charge: chamber.Charge, air_water_lb: float, safe_pct_per_day: float | None
) -> pd.DataFrame:
    """The days of `Run.daily` from its hours; `air_water_lb` is what the air held at the start."""
    import pandas as pd

    a_day = int((hourly.day == 1).sum())

    def by_day(name: str) -> np.ndarray:
        return hourly[name].to_numpy().reshape(-1, a_day)

    last = {k: by_day(k)[:, -1] for k in ("mc_pct", "core_pct", "surface_pct")}
    heat = {k: by_day(f"{k}_btu").sum(1) for k in (*_GAINS, *_LOSSES)}
    water = {k: by_day(f"{k}_lb").sum(1) for k in _WATERS}
    before = np.concatenate([[charge.mc_pct], last["mc_pct"][:-1]])
    loss = before - last["mc_pct"]
    gains, losses = [heat[k] for k in _GAINS], [heat[k] for k in _LOSSES]
    # water: from the wood's own loss of weight, against what left and what the air holds more
    from_wood = charge.oven_dry_kg / units.KG_PER_LB * loss / 100
    in_air = np.diff(by_day("air_water_lb")[:, -1], prepend=air_water_lb)
    left = [water[k] for k in ("vented", "dripped", "removed")]
    temp, outdoor = by_day("temp_f"), by_day("outdoor_f")
    return pd.DataFrame(
        {
            **last,
            "loss_pct": loss,
            "too_fast": too_fast(loss, before, safe_pct_per_day),
            "outdoor_f": outdoor.mean(1),
            "temp_f": temp.mean(1),
            "temp_max_f": temp.max(1),
            "temp_min_f": temp.min(1),
            "rise_f": (temp - outdoor).max(1),
            "rh_pct": by_day("rh_pct").mean(1),
            "emc_pct": by_day("emc_pct").mean(1),
            "kwh": (heat["fan"] + heat["heater"] + heat["machine"]) * units.J_PER_BTU / units.J_PER_KWH,
            "evaporated_lb": water["evaporated"],
            "heat_gap": np.abs(sum(gains) - sum(losses)) / (sum(gains) + sum(map(np.abs, losses))),
            "water_gap": np.abs(from_wood - sum(left) - in_air)
            / (np.abs(from_wood) + sum(map(np.abs, left)) + 1e-9),
        },
        index=pd.RangeIndex(1, len(temp) + 1, name="day"),
    )


_SLOW_DOWN = {
    "solar kiln": "Cover the glass down to about {glass:.0f} ft2, load more wood, run the fans fewer hours, or let the "
    "vents open only at a higher humidity until the wood is below {limit:g} %.",
    "dehumidifier": "Keep the humidity higher{cooler} until the wood is below {limit:g} %; or load more wood.",
    "indoors": "Leave it in an unheated shed or garage first, or wrap the stack in a sheet with its ends open.",
}
_GLASS_HOT_F = 140.0  # above it the glass is to be shaded
_OFTEN = 0.3  # share of the time
_MOSTLY = 0.6  # share of the water


def _too_fast(run: Any) -> Any:
    if not run.too_fast_days:
        return
    worst = run.daily.loss_pct[run.daily.too_fast].max()
    glass = run.settings.get("collector_ft2", 0.0) * run.safe_loss_pct_per_day / worst
    warm = run.way == "dehumidifier" and not _ices(run) and not _cold_hours(run)
    cooler = ", or the chamber cooler," if warm else ""
    yield (
        f"Too fast on {run.too_fast_days} day{'s' * (run.too_fast_days > 1)}: up to {worst:.1f} % a day, where "
        f"{run.wood} {run.thickness_in:g} in can take {run.safe_loss_pct_per_day:.1f} %. "
        + _SLOW_DOWN[run.way].format(glass=glass, cooler=cooler, limit=LIMIT_ABOVE_MC)
    )


def _not_reached(run: Any) -> Any:
    if not blank(run.days_to()):
        return
    emc = run.daily.emc_pct.iloc[-7:].mean()
    yield (
        f"{run.mc_target_pct:g} % is not reached in {len(run.daily)} days; the charge is at {run.mc_end_pct:.1f} %. "
        f"{'The room' if run.way == 'indoors' else 'Its air'} would hold wood near {emc:.1f} %: {_helps(run, emc)}."
    )


def _helps(run: Any, emc_pct: Any) -> Any:
    """What helps a charge that has not come down to its target; nothing faster beside a warning of too fast or hot."""
    dry_air = emc_pct < run.mc_target_pct - 1
    if run.too_fast_days and not dry_air:
        return f"slow the start first, and wait with drier air until the wood is below {LIMIT_ABOVE_MC:g} %"
    if run.too_fast_days:
        return "what helps now is time: anything faster would check the wood"
    if run.too_hot or (run.way == "solar kiln" and run.daily.temp_max_f.max() > _GLASS_HOT_F):
        return "what helps now is time: it is hot enough"
    return f"what helps most now is {_dial(run, dry_air)}"


def _dial(run: Any, dry_air: Any) -> Any:
    """Which dial to turn; none where the air is dry enough and the wood sets the pace."""
    s, hours = run.settings, run.hourly
    at_its_pace = "time, as the wood sets the pace"
    if run.way == "dehumidifier":
        if (hours.temp_f < MACHINE_FROM_F).mean() > _OFTEN:
            return "more heat, as the machine stands still in the cold"
        if dry_air and hours.working[hours.day > hours.day.max() - 7].mean() < _OFTEN:
            return at_its_pace
        if hours.too_warm.mean() > _OFTEN:
            return "to let it shed heat"
        return (
            "a lower humidity or a larger machine"
            if _stops(run)
            else "a lower humidity, a larger machine, or more heat"
        )
    if run.way == "indoors":
        return at_its_pace if dry_air else "the heating season, or a drier room"
    if s.get("fan_hours") == "always":
        return "stopping the fans at night"
    if s.get("vents", "humidity") != "humidity" and s["vents"] > 0.2:
        return "shutting the vents"
    return at_its_pace if dry_air else "more collector or a sunnier month"


def _of_the_sun(run: Any) -> Any:
    hottest = run.daily.temp_max_f.max()
    if hottest > _GLASS_HOT_F:
        yield (
            f"It reaches {hottest:.0f} F: too hot for the fan motors and for many glues and plastics. "
            + ("Shade" if run.too_fast_days else "Open the vents wider or shade")
            + " part of the glass once the wood is nearly dry."
        )
    drips = run.hourly.dripped_lb.sum()
    if drips > 0.1 * run.water_lb:
        yield (
            f"{drips:.0f} lb of water condense on the glass: lead it away from the wood"
            f"{'' if run.too_fast_days else ', and vent more'}."
        )


def _stops(run: Any) -> Any:
    """Whether the machine stands still for its own heat more than now and then."""
    return run.hourly.too_warm.mean() > 0.05


def _cold_hours(run: Any) -> Any:
    return int((run.hourly.temp_f < MACHINE_FROM_F).sum())


def _ices(run: Any) -> Any:
    return (run.hourly.working * (run.hourly.temp_f < FROST_F)).mean() > 0.05


def _of_the_machine(run: Any) -> Any:
    drained = run.hourly.removed_lb.sum()
    if drained < _MOSTLY * run.water_lb:
        yield (
            f"Only {drained:.0f} of the {run.water_lb:.0f} lb of water leave through the machine's drain; the rest "
            f"leaks out with air, which the room must hold at {run.settings['room_rh_pct']:g} %. Don't count on that: "
            "a tighter chamber or a damper room takes longer."
            + ("" if _stops(run) or _cold_hours(run) else " The machine is small for this load.")
        )
    if _stops(run):
        still = 100 * run.hourly.too_warm.mean()
        yield (
            f"The machine stops at {run.settings['limit_f']:g} F, {still:.0f} % of the time: its own heat warms the "
            "chamber."
            + (
                ""
                if run.too_fast_days
                else " A cooler room, less insulation or a short airing keeps it working."
            )
        )
    if cold := _cold_hours(run):
        yield (
            f"The chamber is colder than {MACHINE_FROM_F:.0f} F for {cold} hour{'s' * (cold > 1)}: a household machine "
            "does not run there, takes no water and gives no heat. Heat the room or the chamber to 70 F or more before "
            "you switch it on."
        )
    if _ices(run):
        yield (
            f"The chamber is colder than {FROST_F:.0f} F some of the time: most household machines ice over there and "
            "take no water, so it will take longer than this. Heat it to 70 F or more before you switch the machine on."
        )


def _of_the_house(run: Any) -> Any:
    if run.thickness_in >= 1.5 and run.mc_start_pct > 16:
        yield (
            "Thick stock: bring it in in steps. First an unheated room, then the house with a sheet over the stack "
            "for some weeks, then open."
        )
