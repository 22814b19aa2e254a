"""The last points: a corner of the heated house, a home-built solar kiln, or a chamber with a dehumidifier.

Air-dried wood stops near 12 to 14 % in a humid place; furniture wants 6 to 8 %. Each way is a climate made
on purpose. `solar` and `dehumidifier` find that climate hour by hour from a heat and a water balance
(`chamber`, `collector`), `indoors` takes the house as it is. All three dry the wood as the forecast outdoors does
(`drying`, `slab`), and hold it against the greatest loss of moisture that the species can take in a day (`runs`).

Published runs lie near ours in chambers up to about 120 F. Hotter, ours is too fast: up to 5.5 times in the steam kilns
of 110 to 180 F that the tests print. No chamber here is meant to run there.

Where no published figure was found, a number says `assumption` or `common practice` beside it.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import asdict, dataclass, replace
from datetime import date
from functools import cache, partial
from typing import TYPE_CHECKING, Any

import numpy as np

from woodcalc import air, climate, moisture, movement, tables, units
from woodcalc import species as woods
from woodcalc.checks import InputError, doubtful, within
from woodcalc.drying import slab
from woodcalc.drying.rate import biot, day_of_year, rate, start_date, unsure_pace
from woodcalc.drying.safe_loss import nominal_inches, safe_loss_pct_per_day
from woodcalc.drying.slab import temperature_factor
from woodcalc.kiln import chamber, runs
from woodcalc.kiln.collector import Collector, pressure_pa
from woodcalc.kiln.equalizing import Setting, condition, equalize, stress_test
from woodcalc.kiln.runs import Run, give_or_take
from woodcalc.sizes import wood_ft3

if TYPE_CHECKING:
    import pandas as pd

__all__ = [
    "Run", "Setting", "compare", "condition", "dehumidifier", "equalize", "give_or_take", "humidity_for", "indoors",
    "runs_of_each", "safe_loss_pct_per_day", "solar", "stress_test",
]  # fmt: skip

_R = 0.17611  # m2K/W in 1 h ft2 F/Btu
_SEA_LEVEL_PA = 101325.0

# Film of heat between air and boards. At 150 ft/min, laminar flow in a 3/4 in sticker gap: Nu about 8 x 0.026 W/mK /
# 0.038 m. At other speeds it goes with the square root, as the film for water does (what carries the one carries the
# other: Chilton & Colburn 1934, from memory). Without fans: assumption, free convection and radiation.
_WOOD_FILM, _FILM_FT_MIN, _WOOD_FILM_STILL = 6.0, 150.0, 2.0
# Air speed between the boards, ft/min. The film for water grows as its square root (laminar flow along a board).
# In a yard's pile, which the drying forecast stands for: fitted, the one number here that is, to the rows of
# data/kiln_runs.csv that say so; 25 and 30 serve them alike, and all runs
# together, with those left out, want 25 to 35. With 25, boards in moving air of 150 ft/min have a Biot
# number of 2.4 in 4/4 and 4.9 in 8/4; Simpson & Tschernitz, Time, costs and energy consumption for drying red oak
# lumber (from memory), found time to go with the thickness to the power 1.52, which wants 3.3 between them. In a closed
# chamber with the fans off, and in a room (six tenths of the yard's): assumptions.
YARD_FT_MIN, _STILL_FT_MIN, ROOM_FT_MIN = 25.0, 10.0, 15.0
_SHEET_SLOWS = 16.0  # the film under a sheet with open ends is a quarter of the film without: assumption
# At 150 ft/min, with the square of the speed: common practice, two 75 W fans for 500 bf. So at 400 ft/min they bring
# two thirds of what the sun does under the usual glass, and that is most of what faster air gains.
FAN_W_PER_BF = 0.3
_ROOMY = 10.0  # chamber volume over wood volume: assumption (stickers, plenums, fan space)
_LEAK_PER_H, _VENT_PER_H = 1.0, 10.0  # air changes, vents shut and fully open with fans: assumptions
_TIGHT_PER_H = 0.2  # air changes of a chamber without vents: assumption
_VENT_BAND, _MACHINE_BAND = 0.10, 0.05  # from begin to all, fraction of humidity: assumptions
_LINING_J_M2K = 15e3  # 5/8 in plywood: 16 mm x 600 kg/m3 x 1.6 kJ/kgK

# Household dehumidifier: rated at 80 F and 60 % (the rule until 2019), about 1.9 liters a kWh there; its coil
# stays near 40 F. From memory. It never takes more than 1.3 times its rating: assumption.
_RATED_F, _RATED_RH, _LITER_PER_KWH, _COIL_F, _MOST = 80.0, 60.0, 1.9, 40.0, 1.3
_PINT_KG = 0.4732
PINTS_PER_DAY = 70.0  # a large household machine, taken for any load where none is named: assumption
# Air that finishes a charge: its EMC this far below the target, worked out at this temperature (common practice)
_BELOW_TARGET, _FINISH_F = 2.0, 90.0
# A rough look: its steps, and what its moisture may be off by. Three times and more what the tests find.
_ROUGH_H, ROUGH_PCT = 2, 0.25
# How far off a run may be is told in whole days: a rougher look will do, at so many days at most
_ROUGHER_H, _LONGEST = 4, 420


def films(thickness_in: float, ft_min: float) -> tuple[float, float]:
    """Return what lets water and heat through the film of air on a board: both go with the root of its speed.

    Parameters
    ----------
    thickness_in : float
        Of the board.
    ft_min : float
        Air speed between the boards.

    Returns
    -------
    (float, float)
        Biot number of the water, and W/(m2 K) of the heat.

    References
    ----------
    Chilton T. H., Colburn A. P. 1934, Mass transfer coefficients, Ind. Eng. Chem. 26(11), from memory.

    Examples
    --------
    >>> slow, fast = films(1.0, 100), films(1.0, 400)
    >>> round(fast[0] / slow[0], 6), round(fast[1] / slow[1], 6)
    (2.0, 2.0)
    """
    water = biot(thickness_in=thickness_in) * math.sqrt(ft_min / YARD_FT_MIN)
    return water, _WOOD_FILM * math.sqrt(ft_min / _FILM_FT_MIN)


@dataclass(frozen=True)
class _Load:
    """What is dried: wood, size, amount, from where to where, and for how long at most."""

    wood: woods.Species
    thickness_in: float
    load_bf: float
    mc_start_pct: float
    mc_target_pct: float
    days: int
    stop: bool = True
    part: str = "mixed"

    @classmethod
    def of(
        cls,
        species: str | woods.Species,
        thickness_in: float | str,
        load_bf: float,
        mc_start_pct: float | None,
        mc_target_pct: float,
        days: int,
        stop: bool,
        part: str,
        least_bf: float = 50,
    ) -> _Load:
        wood = woods.get(species)
        return cls(
            wood,
            nominal_inches(thickness_in),
            within("load_bf", load_bf, least_bf, 20000, "bf"),
            moisture.start_mc_pct(wood, mc_start_pct, part, name="mc_start_pct", least=6.0),
            within("mc_target_pct", mc_target_pct, 4, 30, "%"),
            int(within("days", days, 1, 730, "days")),
            stop,
            part,
        )

    @property
    def safe_loss(self) -> Any:
        return safe_loss_pct_per_day(self.wood, self.thickness_in)

    @property
    def wood_ft3(self) -> float:
        return wood_ft3(self.load_bf, self.thickness_in)

    def charge(self, ft_min: float, pace: float = 1.0) -> chamber.Charge:
        """The wood for `chamber`, with air of this speed between the boards.

        With a `pace`, time runs so much faster for all but the weather: the wood gives off its water at that pace, and
        so much less wood makes it the same water an hour for sun, fans and machine.
        """
        film_biot, film_w_m2k = films(self.thickness_in, ft_min)
        return chamber.Charge(
            oven_dry_kg=self.wood_ft3 * woods.WATER_LB_PER_FT3 * self.wood.basic_sg * units.KG_PER_LB / pace,
            faces_m2=2 * self.wood_ft3 * 12 / self.thickness_in * units.M2_PER_FT2,
            mc_pct=self.mc_start_pct,
            rate_h=pace * rate(self.wood, self.part).per_day / self.thickness_in**2 / 24,
            biot=film_biot,
            still=math.sqrt(_STILL_FT_MIN / ft_min),
            film_w_m2k=film_w_m2k,
            still_film_w_m2k=_WOOD_FILM_STILL,
        )

    def box(
        self,
        insulation_r: float,
        pressure: float,
        leak_per_h: float,
        vent_per_h: float = 0.0,
        glass: Collector | None = None,
    ) -> chamber.Box:
        """A chamber of a size for this load; what drips is the glass, or without any the walls."""
        r_value = within("insulation_r", insulation_r, 1, 60, "h ft2 F/Btu", "Give the R-value of the wall.")
        volume = self.wood_ft3 * units.M3_PER_FT3 * _ROOMY
        faces = 6.6 * volume ** (2 / 3)  # a cube and a tenth more
        glass_m2 = glass.area_ft2 * units.M2_PER_FT2 if glass else 0.0
        cold_w_m2k = glass.loss_w_m2k if glass else 1 / (r_value * _R)
        return chamber.Box(
            air_kg=volume * pressure / (287.05 * 305.0),  # dry air near 90 F
            pressure_pa=pressure,
            walls_w_k=max(faces - glass_m2, 0.0) / (r_value * _R),
            walls_j_k=faces * _LINING_J_M2K,
            leak_per_h=leak_per_h,
            vent_per_h=vent_per_h,
            cold_m2=glass_m2 if glass else faces,
            # the inside film against the whole way out
            cold_share=chamber.INSIDE_W_M2K / (cold_w_m2k + chamber.INSIDE_W_M2K),
        )


@dataclass(frozen=True)
class Fans:
    """When the fans run, and how fast the air goes through the load.

    Attributes
    ----------
    hours : tuple or str
        As `fan_hours` in `solar`; likewise the others.
    ft_min, night_above_pct : float
    given_w : float or None
    """

    hours: tuple[float, float] | str = (8, 18)
    ft_min: float = 150.0
    night_above_pct: float = math.inf
    given_w: float | None = None

    def __post_init__(self) -> None:
        within("fan_ft_min", self.ft_min, 50, 400, "ft/min", "Is it in miles an hour?")

    def watts(self, load_bf: float) -> float:
        """What they draw, W."""
        if self.given_w is not None:
            return within("fan_w", self.given_w, 0, 20000, "W", "Is it in kW?")
        return FAN_W_PER_BF * load_bf * (self.ft_min / 150) ** 2

    def running(self, days: int) -> np.ndarray | None:
        """Whether they run in each hour, 1 or 0; None where they follow the temperature."""
        if self.hours == "warm":
            return None
        if self.hours == "always":
            return np.ones(days * 24)
        if isinstance(self.hours, str):
            raise InputError(
                f"fan_hours = {self.hours!r}: expected 'always', 'warm' or two hours such as (8, 18)."
            )
        try:
            begin, end = self.hours
        except (TypeError, ValueError):
            raise InputError(f"fan_hours = {self.hours!r}: expected two hours such as (8, 18).") from None
        begin, end = within("fan_hours", begin, 0, 24, "h"), within("fan_hours", end, 0, 24, "h")
        hour = np.arange(days * 24) % 24
        on = (hour >= begin) & (hour < end) if begin <= end else (hour >= begin) | (hour < end)
        return on.astype(float)


@dataclass(frozen=True)
class _Vents:
    """How far the vents stand open: by humidity, or a share that stays."""

    vents: str | float = "humidity"
    vent_rh_pct: float = 60.0

    def control(self) -> chamber.Control:
        begin = within("vent_rh_pct", self.vent_rh_pct, 20, 95, "%", "Is it a fraction?") / 100
        if self.vents == "humidity":
            return chamber.Control(lambda mc: begin, _VENT_BAND)
        share = within("vents", self.vents, 0, 1, "", "Or write 'humidity'.")
        return chamber.Control(lambda mc: begin, _VENT_BAND, least=share, most=share)


@dataclass(frozen=True)
class _Machine:
    """A dehumidifier and the heater beside it."""

    pints_per_day: float = PINTS_PER_DAY
    limit_f: float = 95.0
    humidity_pct: float | None = None
    heater_w: float = 1500.0
    heat_to_f: float = 85.0

    def __post_init__(self) -> Any:
        within("pints_per_day", self.pints_per_day, 10, 400, "pints/day")
        within("limit_f", self.limit_f, 70, 160, "F", "Is it in C?")
        if self.humidity_pct is not None:
            within("humidity_pct", self.humidity_pct, 15, 90, "%", "Is it a fraction?")
        within("heater_w", self.heater_w, 0, 10000, "W", "Is it in kW?")
        within("heat_to_f", self.heat_to_f, 50, 140, "F", "Is it in C?")

    def control(self, mc_target_pct: Any) -> Any:
        kept = self.humidity_pct
        steps = _humidity_fraction(mc_target_pct) if kept is None else lambda mc: kept / 100
        return chamber.Control(steps, _MACHINE_BAND, units.celsius(self.limit_f))

    def plant(self, fan_w: Any) -> Any:
        rated = self.pints_per_day * _PINT_KG / 86400
        rated_ratio = chamber.humidity_ratio(units.celsius(_RATED_F), _RATED_RH / 100, _SEA_LEVEL_PA)
        coil = chamber.humidity_ratio(units.celsius(_COIL_F), 1.0, _SEA_LEVEL_PA)
        return chamber.Plant(
            fan_w=fan_w,
            heater_w=self.heater_w,
            heater_c=units.celsius(self.heat_to_f),
            machine_w=rated * 3600 / _LITER_PER_KWH * 1000,  # kg/s -> liters an hour -> kW
            machine_kg_s=rated / (rated_ratio - coil),
            machine_most_kg_s=rated * _MOST,
            coil_ratio=coil,
            machine_from_c=units.celsius(runs.MACHINE_FROM_F),
        )


def solar(
    species: str | woods.Species,
    thickness_in: float | str,
    site: str | climate.Site,
    start: str | int | date,
    load_bf: float = 500.0,
    mc_start_pct: float | None = None,
    mc_target_pct: float = 8.0,
    days: int = 60,
    collector_ft2: float | None = None,
    slope_deg: float | None = None,
    facing_deg: float = 180.0,
    glazing: int = 2,
    insulation_r: float = 11.0,
    fan_hours: tuple[float, float] | str = (8, 18),
    fan_ft_min: float = 150.0,
    vents: str | float = "humidity",
    vent_rh_pct: float = 60.0,
    sunny: bool = False,
    stop: bool = True,
    part: str = "mixed",
    rough: bool | int = False,
    night_fans_above_pct: float | None = None,
    shade_h: tuple[float, float] = (0.0, 0.0),
    fan_w: float | None = None,
) -> Run:
    """A solar kiln: an insulated box with a glazed, black-painted collector for a roof, fans and vents.

    Parameters
    ----------
    species : str
    thickness_in : float
        Nominal, 0.75 to 4 in.
    site : str or Site
        A station, a person's own months, or an hourly weather file (`climate.read_weather_file`), whose own
        hours are then used.
    start : str, int or date
        Day ("2026-06-01"), from midnight; or a month, for its 15th.
    load_bf : float
        Board feet, 50 to 20,000.
    mc_start_pct : float, optional
        6 to 200 %; the green average of the species if not given.
    mc_target_pct : float
        4 to 30 %.
    days : int
        Longest run, 1 to 730.
    collector_ft2 : float, optional
        Glazed area; a tenth of the load if not given.
    slope_deg : float, optional
        0 level to 90 upright; the latitude if not given.
    facing_deg : float
        Compass: 180 south, 90 east.
    glazing : int
        Layers, 1 to 3.
    insulation_r : float
        Of walls and floor, h ft2 F/Btu, 1 to 60; 11 is a stud wall filled with batts.
    fan_hours : tuple, "always" or "warm"
        From and to, standard time; all round the clock; or only while the kiln is 18 F above the morning low.
    fan_ft_min : float
        Air speed through the load, 50 to 400 ft/min.
    vents : "humidity" or float
        Opened in proportion as the humidity passes `vent_rh_pct` (fully 10 points above), or a fixed share
        from 0 shut to 1 open.
    vent_rh_pct : float
        20 to 95 %.
    sunny : bool
        Every day cloudless, in place of the month's average sunshine.
    stop : bool
        End on the day that the target is reached.
    part : {"mixed", "heartwood", "sapwood"}
        Of the log: sets the start, if none is given, and the rate where the sapwood's own is known (`drying.rate`).
        Of others the run says that the pace is not known, as the forecast outdoors does.
    rough : bool or int
        For a quick look: steps of two hours in place of half an hour, in `Run.hourly` as well. The moisture is then
        off by less than `ROUGH_PCT`. Or a number of hours, 2 to 6: the more the rougher.
    night_fans_above_pct : float, optional
        Fans run day and night while the charge's mean is above this, 6 to 200 %, and keep `fan_hours` from there on.
    shade_h : tuple of float
        Hours of direct sun lost to shade in the morning and in the evening, 0 to 8 each.
    fan_w : float, optional
        What the fans draw, 0 to 20,000 W; by the load and the speed if not given.

    Returns
    -------
    Run

    Raises
    ------
    InputError
        A value outside its range, or a site without sunshine figures.

    References
    ----------
    Sun by pvlib (position; Erbs diffuse share; Hay and Davies on the slope); collector after
    Duffie & Beckman; 1 ft2 of collector for 10 bf of 4/4, slope equal to the latitude: Wengert & Meyer,
    Processing Trees to Lumber (Univ. of Wisconsin); fan rule `warm`: Wengert & Oliveira.

    Examples
    --------
    >>> run = solar("northern red oak", 1, "Madison", "July", mc_start_pct=20)
    >>> bool(run.daily.heat_gap.max() < 1e-6 and run.daily.water_gap.max() < 1e-6)
    True
    """
    place, load = (
        climate.get(site),
        _Load.of(species, thickness_in, load_bf, mc_start_pct, mc_target_pct, days, stop, part),
    )
    if not place.has_sun:
        place.hourly_day(1)  # says which figures are missing
    glass = Collector(
        load.load_bf / 10 if collector_ft2 is None else collector_ft2,
        abs(place.latitude) if slope_deg is None else slope_deg,
        facing_deg,
        glazing,
        shade_h,
    )
    night = math.inf
    if night_fans_above_pct is not None:
        night = within("night_fans_above_pct", night_fans_above_pct, 6, 200, "%")
    fans, vent = Fans(fan_hours, fan_ft_min, night, fan_w), _Vents(vents, vent_rh_pct)
    box, plant = _glazed(load, place, glass, insulation_r, fans)
    first = _first_day(start)
    year = glass.year(place, sunny)
    settings = dict(
        collector_ft2=glass.area_ft2, slope_deg=glass.slope_deg, facing_deg=facing_deg, glazing=glazing,
        insulation_r=insulation_r, fan_hours=fan_hours, fan_ft_min=fan_ft_min, vents=vents, vent_rh_pct=vent_rh_pct,
        night_fans_above_pct=night_fans_above_pct, shade_h=shade_h, sunny=sunny, first_day=first, start=start,
        elevation_ft=place.elevation_ft,
    )  # fmt: skip

    def again(pace: float, step_h: int, longest: int) -> Run:
        lasting = replace(load, days=longest)
        hours = (np.arange(longest * 24) + (first - 1) * 24) % 8760
        weather = [column[hours] for column in year]
        return _in_the_chamber(
            "solar kiln",
            place.name,
            lasting,
            fans,
            weather,
            box,
            plant,
            vent.control(),
            settings,
            step_h,
            pace,
        )

    run = again(1.0, _step_h(rough), load.days)
    run = replace(run, again=partial(again, step_h=_ROUGHER_H, longest=_LONGEST))
    doubtful(
        "temperature of the kiln", run.hourly.temp_f.max(), -80, 200, "F",
        "no solar kiln is built for that: less glass, or more wood",
    )  # fmt: skip
    return run


def vent_ft3_per_h(load_bf: float, thickness_in: float) -> float:
    """Air that fully open vents change in the chamber of a load while the fans run, cubic feet an hour."""
    return wood_ft3(load_bf, thickness_in) * _ROOMY * _VENT_PER_H


def _glazed(
    load: _Load, place: climate.Site, glass: Collector, insulation_r: float, fans: Fans
) -> tuple[chamber.Box, chamber.Plant]:
    box = load.box(insulation_r, pressure_pa(place), _LEAK_PER_H, _VENT_PER_H, glass)
    return box, chamber.Plant(
        gain_m2=glass.area_ft2 * units.M2_PER_FT2,
        loss_w_m2k=glass.loss_w_m2k,
        on=glass.kept_share(fans=True),
        off=glass.kept_share(fans=False),
        fan_w=fans.watts(load.load_bf),
    )


def dehumidifier(
    species: str | woods.Species,
    thickness_in: float | str,
    load_bf: float = 500.0,
    mc_start_pct: float | None = None,
    mc_target_pct: float = 7.0,
    days: int = 90,
    pints_per_day: float = PINTS_PER_DAY,
    insulation_r: float = 11.0,
    room_f: float | Sequence[float] | np.ndarray = 65.0,
    room_rh_pct: float | Sequence[float] | np.ndarray = 50.0,
    heater_w: float = 1500.0,
    heat_to_f: float = 85.0,
    limit_f: float = 95.0,
    fan_ft_min: float = 150.0,
    humidity_pct: float | None = None,
    stop: bool = True,
    part: str = "mixed",
    rough: bool | int = False,
) -> Run:
    """Run a small insulated chamber with a dehumidifier.

    The machine takes the water out as a liquid and gives its heat back.

    Parameters
    ----------
    species, thickness_in, load_bf, mc_start_pct, mc_target_pct, days, insulation_r, fan_ft_min, stop, part :
        As in `solar`; the fans run all the time.
    rough : bool or int
        As in `solar`, in place of an hour.
    pints_per_day : float
        Rating of the machine at 80 F and 60 %, 10 to 400 pints of water a day.
    room_f, room_rh_pct : float or sequence of float
        Air around the chamber, 20 to 120 F, 5 to 95 %; or that of each day from the first, over and over.
        The machine stands still while the chamber is colder than 41 F.
    heater_w : float
        Electric heater, 0 to 10,000 W, that brings the chamber to `heat_to_f`.
    heat_to_f : float
        50 to 140 F.
    limit_f : float
        The machine stops above this, 70 to 160 F. Household units often stop near 95 F: read the manual.
    humidity_pct : float, optional
        Humidity kept, 15 to 90 %. If not given, it follows the wood: see `humidity_for`.

    Returns
    -------
    Run

    References
    ----------
    Heat and water balance; a household machine's rating and efficiency from memory; its capacity
    falls in proportion to the water in the air above what its coil leaves.

    Examples
    --------
    >>> run = dehumidifier("black cherry", 1, mc_start_pct=18)
    >>> run.water_lb / run.kwh > 0.5
    True
    """
    load = _Load.of(species, thickness_in, load_bf, mc_start_pct, mc_target_pct, days, stop, part)
    fans = Fans("always", fan_ft_min)
    machine = _Machine(pints_per_day, limit_f, humidity_pct, heater_w, heat_to_f)
    rooms = np.broadcast_arrays(
        *(np.atleast_1d(np.asarray(value, dtype=float)) for value in (room_f, room_rh_pct))
    )
    for name, values, low, high, unit, slip in (
        ("room_f", rooms[0], 20, 120, "F", "Is it in C?"),
        ("room_rh_pct", rooms[1], 5, 95, "%", "Is it a fraction?"),
    ):
        for value in (values.min(), values.max()):
            within(name, float(value), low, high, unit, slip)
    room_c = units.celsius(rooms[0])
    ratio = [
        chamber.humidity_ratio(c, rh / 100, _SEA_LEVEL_PA) for c, rh in zip(room_c, rooms[1], strict=True)
    ]
    box = load.box(insulation_r, _SEA_LEVEL_PA, _TIGHT_PER_H)
    plant = machine.plant(fans.watts(load.load_bf))
    settings = asdict(machine) | dict(
        insulation_r=insulation_r, room_f=float(rooms[0].mean()), room_rh_pct=float(rooms[1].mean().round()),
        fan_ft_min=fan_ft_min, machine_w=plant.machine_w,
    )  # fmt: skip
    control = machine.control(load.mc_target_pct)

    def again(pace: Any, step_h: Any, longest: Any) -> Any:
        lasting = replace(load, days=longest)
        day = np.arange(longest) % len(ratio)
        weather = [np.repeat(column[day], 24) for column in (room_c, np.array(ratio), np.zeros(len(ratio)))]
        return _in_the_chamber(
            "dehumidifier", "a room", lasting, fans, weather, box, plant, control, settings, step_h, pace
        )

    run = again(1.0, _step_h(rough), load.days)
    return run if len(ratio) == 1 else replace(run, again=partial(again, step_h=_ROUGHER_H, longest=_LONGEST))


def _in_the_chamber(
    way: str,
    place: str,
    load: _Load,
    fans: Fans,
    weather: Any,
    box: chamber.Box,
    plant: chamber.Plant,
    control: chamber.Control,
    settings: dict[str, Any],
    step_h: int = 1,
    pace: float = 1.0,
) -> Run:
    """March a load through a chamber, and put the run together; in steps of `step_h` hours for a rough look."""
    charge = load.charge(fans.ft_min, pace)
    stop_mc = load.mc_target_pct if load.stop else None
    # fans that follow the temperature are on or off for a whole step: a quarter of an hour; the sun comes and goes
    per_hour = 4 if fans.hours == "warm" else 2 if way == "solar kiln" else 1
    running = fans.running(load.days)
    if step_h > 1:
        per_hour, weather = 1, [_means(column, step_h) for column in weather]
        running = None if running is None else _means(running, step_h)
    outdoor_c, ratio, sun = weather
    state = chamber.march(
        outdoor_c,
        ratio,
        sun,
        charge,
        box,
        plant,
        running,
        control,
        stop_mc,
        per_hour=per_hour,
        hours=step_h,
        night_above_mc=fans.night_above_pct,
    )
    hourly = runs.hours_of(state, outdoor_c, box.air_kg, step_h)
    if plant.machine_w:
        kept = np.array([control.humidity(mc) for mc in (charge.mc_pct, *state["mc_pct"][:-1])])
        asked = np.clip((state["rh"] - kept) / control.band, 0, 1)
        begins_c = np.append(outdoor_c[0], state["temp_c"][:-1])
        runs_here = begins_c >= plant.machine_from_c  # colder, it does not stand still for its heat
        hourly["too_warm"] = np.where(runs_here, np.maximum(asked - state["working"], 0), 0.0)
    daily = runs.days_of(hourly, charge, weather[1][0] * box.air_kg / units.KG_PER_LB, load.safe_loss)
    settings = settings | dict(fan_w=plant.fan_w, days=load.days, step_h=step_h)
    return _run(way, place, load, hourly, daily, settings)


def _step_h(rough: bool | int) -> int:
    hours = _ROUGH_H if rough is True else int(rough) or 1
    if 24 % hours or hours > 6:
        raise InputError(f"rough = {rough!r}: expected True, False, or 2, 3, 4 or 6 hours.")
    return hours


def _means(hourly: Any, step_h: int) -> np.ndarray:
    return hourly.reshape(-1, step_h).mean(1)


def _run(way: str, place: str, load: _Load, hourly: pd.DataFrame, daily: pd.DataFrame, settings: Any) -> Run:
    return Run(
        way, load.wood.name, place, load.thickness_in, load.load_bf, load.mc_start_pct, load.mc_target_pct,
        load.safe_loss, hourly, daily, settings, unsure_pace(load.wood, load.part),
    )  # fmt: skip


def indoors(
    species: str | woods.Species,
    thickness_in: float | str,
    site: str | climate.Site,
    start: str | int | date,
    mc_start_pct: float | None = 14.0,
    mc_target_pct: float = 8.0,
    days: int = 180,
    load_bf: float = 100.0,
    heated: bool = True,
    cooled: bool = False,
    covered: bool = False,
    stop: bool = True,
    part: str = "mixed",
) -> Run:
    """Boards on stickers in a corner of the house, or in an unheated room.

    Parameters
    ----------
    species, thickness_in, mc_target_pct, days, load_bf, stop, part :
        As in `solar`.
    site : str or Site
        Its outdoor air decides how dry the house is: see `movement.indoors`.
    start : str, int or date
        Day, or month (its 15th).
    mc_start_pct : float
        From 6 % to what the wood can hold; 14, air-dried, if not given.
    heated : bool
        False: an unheated room, shed or garage.
    cooled : bool
        Air conditioning in summer.
    covered : bool
        The stack is wrapped in a sheet with its ends open: a quarter of the film, an assumption.

    Returns
    -------
    Run
        With one row a day in `hourly` as well.

    References
    ----------
    `slab` with the air of `movement.indoors`; film of the draughts of a room (assumption).

    Examples
    --------
    >>> run = indoors("black walnut", 1, "Madison", "November")
    >>> 20 < run.days_to(8) < 80
    True
    """
    place = climate.get(site)
    load = _Load.of(
        species, thickness_in, load_bf, mc_start_pct, mc_target_pct, days, stop, part, least_bf=10
    )
    first = _first_day(start)
    months = movement.indoors(place, heated, cooled=cooled)[["temp_f", "rh_pct", "out_temp_f"]]
    year = climate.day_weights() @ months.to_numpy()
    settings = dict(
        heated=heated, cooled=cooled, covered=covered, first_day=first, days=load.days, start=start, step_h=24
    )
    ft_min = ROOM_FT_MIN / (_SHEET_SLOWS if covered else 1.0)

    def again(pace: Any) -> Any:
        return _in_the_house(
            place, replace(load, days=_LONGEST), load.charge(ft_min, pace), first, year, settings
        )

    run = _in_the_house(place, load, load.charge(ft_min), first, year, settings)
    return replace(run, again=again)


def _in_the_house(
    place: climate.Site,
    load: _Load,
    charge: chamber.Charge,
    first: int,
    year: np.ndarray,
    settings: dict[str, Any],
) -> Run:
    """The run of a charge through the days of a house; `year` has their temperature, humidity and air outdoors."""
    import pandas as pd

    house = year[(np.arange(load.days) + first - 1) % 365]
    temp_f, rh, outdoor_f = house[:, 0], np.clip(house[:, 1], 5, 95), house[:, 2]
    emc = air.emc_pct(temp_f, rh)
    mc, face, core = _slab_days(charge, emc, 24 * charge.rate_h * temperature_factor(temp_f))
    if load.stop and (mc <= load.mc_target_pct).any():
        n = int(np.argmax(mc <= load.mc_target_pct)) + 1
    else:
        n = load.days
    loss = -np.diff(mc[:n], prepend=load.mc_start_pct)
    daily = pd.DataFrame(
        {
            "mc_pct": mc[:n], "core_pct": core[:n], "surface_pct": face[:n], "loss_pct": loss,
            "too_fast": runs.too_fast(loss, mc[:n] + loss, load.safe_loss), "outdoor_f": outdoor_f[:n],
            "temp_f": temp_f[:n], "temp_max_f": temp_f[:n], "temp_min_f": temp_f[:n],
            "rise_f": (temp_f - outdoor_f)[:n], "rh_pct": rh[:n], "emc_pct": emc[:n], "kwh": 0.0,
            "evaporated_lb": charge.oven_dry_kg / units.KG_PER_LB * loss / 100, "heat_gap": 0.0, "water_gap": 0.0,
        },
        index=pd.RangeIndex(1, n + 1, name="day"),
    )  # fmt: skip
    return _run("indoors", place.name, load, daily.reset_index().assign(hour=0), daily, settings)


def _slab_days(
    charge: chamber.Charge, emc: np.ndarray, tau: Any
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Mean, face and core of the wood at the end of each day, from each day's EMC and dried time."""
    b, shares = slab.roots(charge.biot), slab.weights(charge.biot)
    modes, last, ends = shares * (charge.mc_pct - emc[0]), emc[0], []
    for e, t in zip(emc, tau, strict=True):
        modes, last = slab.step(modes, b, shares, e - last, t), e
        ends.append(modes)
    modes = np.array(ends)
    return slab.mean(modes, emc), slab.surface(modes, b, charge.biot, emc), slab.core(modes, b, emc)


@dataclass(frozen=True, eq=False)
class Look:
    """What a rough look at a charge tells, without the tables of a `Run`.

    Attributes
    ----------
    mc_pct : ndarray
        At the end of each step.
    mc_start_pct, step_h : float
    safe_loss_pct_per_day : float or None
    too_hot : bool
        As in `Run`.
    kwh : float
        Electricity until the end of it.
    """

    mc_pct: np.ndarray
    mc_start_pct: float
    step_h: float
    safe_loss_pct_per_day: float | None
    too_hot: bool
    kwh: float

    def days_to(self, mc_pct: float) -> float:
        """Return the days until the mean is down to `mc_pct`; NaN if the look ends before."""
        return runs.days_until(self.mc_pct, self.mc_start_pct, mc_pct, self.step_h)

    @property
    def too_fast_days(self) -> int | None:
        """As in `Run`."""
        if self.safe_loss_pct_per_day is None:
            return None
        ends = self.mc_pct[int(24 / self.step_h) - 1 :: int(24 / self.step_h)]
        before = np.concatenate([[self.mc_start_pct], ends[:-1]])
        return int(runs.too_fast(before - ends, before, self.safe_loss_pct_per_day).sum())


def looker(
    way: str,
    species: str | woods.Species,
    thickness_in: float | str,
    site: str | climate.Site,
    load_bf: float = 300.0,
    part: str = "mixed",
    step_h: int = _ROUGHER_H,
) -> Callable[[date, float, float, int], Look]:
    """Return a function that takes a rough look at a charge in one of the ways at their defaults, many times over.

    Parameters
    ----------
    way : {"indoors", "solar kiln", "dehumidifier"}
        The last in the same house, as in `runs_of_each`.
    species, thickness_in, site, load_bf, part :
        As in `solar`.
    step_h : int
        Hours a step, a part of 24.

    Returns
    -------
    callable
        ``look(day, mc_start_pct, mc_target_pct, days)``, a `Look`.

    Examples
    --------
    >>> look = looker("solar kiln", "black cherry", 1, "Madison")
    >>> 15 < look(date(2026, 6, 15), 20, 8, 90).days_to(8) < 30
    True
    """
    place, load = climate.get(site), _Load.of(species, thickness_in, load_bf, 20.0, 8.0, 90, True, part)
    year: Sequence[np.ndarray]
    if way == "indoors":
        return partial(_look_indoors, load, house_year(place))
    if way == "solar kiln":
        glass, fans = Collector(load.load_bf / 10, abs(place.latitude)), Fans()
        box, plant = _glazed(load, place, glass, 11.0, fans)
        year = glass.year(place)
        controls = cache(lambda target: _Vents().control())
    else:
        fans, machine, house = Fans("always"), _Machine(), house_year(place)
        box, plant = load.box(11.0, _SEA_LEVEL_PA, _TIGHT_PER_H), machine.plant(fans.watts(load.load_bf))
        room_c = units.celsius(house[:, 0])
        ratio = [
            chamber.humidity_ratio(c, rh, _SEA_LEVEL_PA)
            for c, rh in zip(room_c, house[:, 1] / 100, strict=True)
        ]
        year = [np.repeat(v, 24) for v in (room_c, np.array(ratio), np.zeros(365))]
        controls = cache(machine.control)
    # the weather in steps, three years of it, so that no run goes round the end
    weather = [np.tile(_means(column, step_h), 3) for column in year]
    running = _means(fans.running(1), step_h)
    a_day = 24 // step_h

    def look(day: date, mc_start_pct: float, mc_target_pct: float, days: int) -> Look:
        charge = replace(load, mc_start_pct=mc_start_pct).charge(fans.ft_min)
        begin = (_first_day(day) - 1) * a_day
        outdoor_c, ratio, sun = (column[begin : begin + days * a_day] for column in weather)
        state = chamber.march(
            outdoor_c, ratio, sun, charge, box, plant, np.tile(running, days), controls(mc_target_pct),
            mc_target_pct, hours=step_h,
        )  # fmt: skip
        mc, temp_f = state["mc_pct"], units.fahrenheit(state["temp_c"])
        used = state["fan_j"] + state["heater_j"] + state["machine_j"]
        hot = runs.too_hot(mc, temp_f, mc_start_pct, mc_target_pct)
        return Look(mc, mc_start_pct, step_h, load.safe_loss, hot, float(used.sum() / units.J_PER_KWH))

    return look


def _look_indoors(
    load: _Load, year: np.ndarray, day: date, mc_start_pct: float, mc_target_pct: float, days: int
) -> Look:
    charge = replace(load, mc_start_pct=mc_start_pct).charge(ROOM_FT_MIN)
    house = year[(np.arange(days) + _first_day(day) - 1) % 365]
    tau = 24 * charge.rate_h * temperature_factor(house[:, 0])
    mc = _slab_days(charge, air.emc_pct(house[:, 0], house[:, 1]), tau)[0]
    return Look(mc, mc_start_pct, 24, load.safe_loss, False, 0.0)


@cache
def house_year(place: climate.Site) -> np.ndarray:
    """Temperature and humidity of the heated house, day by day."""
    year = climate.day_weights() @ movement.indoors(place)[["temp_f", "rh_pct"]].to_numpy()
    year[:, 1] = np.clip(year[:, 1], 5, 95)
    return year


def humidity_for(mc_pct: float, mc_target_pct: float = 8.0) -> float:
    """Humidity to keep around wood of this moisture content, %.

    Parameters
    ----------
    mc_pct : float
        Mean of the wettest sample boards, 0 to 250 %.
    mc_target_pct : float
        Where the charge is to end, 4 to 30 %. Below 20 % the air is at most 30 %, and dry enough to hold wood 2 points
        below the target.

    Returns
    -------
    float

    References
    ----------
    `data/dehumidifier_settings.csv`; green stock as in pre-dryers, 65 to 85 % (Wood Handbook
    FPL-GTR-190, p. 13-6), below that common practice.

    Examples
    --------
    >>> humidity_for(60), humidity_for(10)
    (80.0, 30.0)
    >>> round(humidity_for(10, 6.5))
    21
    """
    mc = within("mc_pct", mc_pct, 0, 250, "%")
    return 100 * _humidity_fraction(within("mc_target_pct", mc_target_pct, 4, 30, "%"))(mc)


@cache
def _humidity_fraction(mc_target_pct: float) -> Any:
    table = tables.read("dehumidifier_settings").sort_values("mc_above_pct", ascending=False)
    *above, (_, last) = zip(table.mc_above_pct, table.rh_pct / 100, strict=True)
    finish = air.rh_for_emc_pct(_FINISH_F, mc_target_pct - _BELOW_TARGET) / 100

    def humidity(mc: Any) -> Any:
        for least, rh in above:
            if mc > least:
                return rh
        return min(last, finish)

    return humidity


def compare(
    species: str | woods.Species,
    thickness_in: float | str,
    site: str | climate.Site,
    start: str | int | date,
    load_bf: float = 300.0,
    mc_start_pct: float | None = 14.0,
    mc_target_pct: float = 8.0,
    price_per_kwh: float = 0.17,
    part: str = "mixed",
) -> pd.DataFrame:
    """The three ways side by side, for one charge, month and place.

    Parameters
    ----------
    species, thickness_in, site, start, load_bf, mc_start_pct, mc_target_pct, part :
        As in `solar`.
    price_per_kwh : float
        Dollars, 0 to 2. The default is near the US household mean of the mid-2020s, from memory.

    Returns
    -------
    DataFrame
        One row a way: `way`, `days` (NaN if not within 180), `mc_end_pct`, `kwh`, `cost_usd`,
        `too_fast_days` (missing if no safe pace is published for the wood and thickness), `too_hot` (see `Run.too_hot`;
        `took` has the words for it), `between` (see `Run.between`), `advice` (the first sentence). No solar
        kiln where the sunshine is not known.

    Examples
    --------
    >>> compare("black cherry", 1, "Madison", "July").way.tolist()
    ['indoors', 'solar kiln', 'dehumidifier']
    """
    import pandas as pd

    price = within("price_per_kwh", price_per_kwh, 0, 2, "dollars", "Is it in cents?")
    each = runs_of_each(species, thickness_in, site, start, load_bf, mc_start_pct, mc_target_pct, part=part)
    return pd.DataFrame(
        [
            dict(
                way=run.way, days=run.days_to(), mc_end_pct=run.mc_end_pct, kwh=run.kwh, cost_usd=run.kwh * price,
                too_fast_days=run.too_fast_days, too_hot=run.too_hot, between=run.between, advice=run.advice[0],
            )
            for run in each
        ]
    ).astype({"too_fast_days": "Int64"})  # fmt: skip


def runs_of_each(
    species: str | woods.Species,
    thickness_in: float | str,
    site: str | climate.Site,
    start: str | int | date,
    load_bf: float = 300.0,
    mc_start_pct: float | None = 14.0,
    mc_target_pct: float = 8.0,
    days: int = 180,
    part: str = "mixed",
) -> tuple[Run, ...]:
    """The runs behind `compare`: indoors, solar kiln, dehumidifier (in the same house), at their defaults.

    Without the solar kiln where the place's figures do not tell the sunshine (`Site.has_sun`).

    Examples
    --------
    >>> [run.way for run in runs_of_each("black cherry", 1, "Madison", "July")]
    ['indoors', 'solar kiln', 'dehumidifier']
    """
    charge: dict[str, Any] = dict(
        load_bf=load_bf, mc_start_pct=mc_start_pct, mc_target_pct=mc_target_pct, days=days, part=part
    )
    place = climate.get(site)
    house = np.roll(house_year(place), 1 - _first_day(start), axis=0)
    return (
        indoors(species, thickness_in, site, start, **charge),
        *([solar(species, thickness_in, place, start, **charge)] if place.has_sun else []),
        dehumidifier(species, thickness_in, room_f=house[:, 0], room_rh_pct=house[:, 1], **charge),
    )


def _first_day(start: str | int | date) -> int:
    """Day of the year, 1-365, of a date or of a month's 15th."""
    return day_of_year(start_date(start)) + 1
