"""The last points: a corner of the heated house, a home-built solar kiln, or a chamber with a dehumidifier.

Air-dried wood stops near 12 to 14 % in a humid place; furniture wants 6 to 8 %. Each way is a climate made
on purpose. `solar` and `dehumidifier` find that climate hour by hour from a heat and a water balance
(`chamber`, `collector`), `indoors` takes the house as it is. All three dry the wood as the forecast outdoors does
(`drying`, `slab`), and hold it against the greatest loss of moisture that the species stands in a day.

Where no published figure was found, a number says `assumption` or `common practice` beside it.
"""

import math
from dataclasses import dataclass, field
from functools import cache

import numpy as np

from . import air, chamber, climate, collector, drying, movement, slab, tables
from . import species as woods
from .checks import InputError, doubtful, plain, within
from .equalizing import Setting, condition, equalize, stress_test

__all__ = [
    "Run", "Setting", "compare", "condition", "dehumidifier", "equalize", "humidity_for", "indoors", "runs_of_each",
    "safe_loss_pct_per_day", "solar", "stress_test",
]  # fmt: skip

_BTU, _LB, _FT2, _FT3, _IN = 1055.06, 0.45359237, 0.09290304, 0.028316847, 0.0254  # J, kg, m2, m3, m
_R = 0.17611  # m2K/W in 1 h ft2 F/Btu
KWH_J = 3.6e6

# Loads below this moisture content are past the danger of new surface checks; the limit of daily loss is
# shown above it. Wengert (trade press column) says limits matter most above 45 %; 25 % is common practice.
LIMIT_ABOVE_MC = 25.0

# Film between air and boards. Laminar flow in a 3/4 in sticker gap: Nu about 8 x 0.026 W/mK / 0.038 m.
# Without fans: assumption, free convection and radiation.
_WOOD_FILM, _WOOD_FILM_STILL = 6.0, 2.0
# Air speed in the stack, ft/min: outdoors (what the drying forecast stands for) and in a closed chamber with
# the fans off. Assumptions; the film grows as the square root of the speed (laminar flow along a board).
_YARD_FT_MIN, _STILL_FT_MIN = 50.0, 10.0
_FAN_W_PER_BF = 0.3  # at 150 ft/min, with the square of the speed: common practice, two 75 W fans for 500 bf
_ROOMY = 10.0  # chamber volume over wood volume: assumption (stickers, plenums, fan space)
_LEAK_PER_H, _VENT_PER_H = 1.0, 10.0  # air changes, vents shut and fully open with fans: assumptions
_LINING_J_M2K = 15e3  # 5/8 in plywood: 16 mm x 600 kg/m3 x 1.6 kJ/kgK

# Household dehumidifier: rated at 80 F and 60 % (the rule until 2019), about 1.9 litres a kWh there; its coil
# stays near 40 F. From memory. It never takes more than 1.3 times its rating: assumption.
_RATED_F, _RATED_RH, _LITRE_PER_KWH, _COIL_F, _MOST = 80.0, 60.0, 1.9, 40.0, 1.3
_PINT_KG = 0.4732


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
        `mc_pct`, `surface_pct`, `core_pct`, `fans` (0 or 1); heat in Btu, each `_btu`: `sun`, `fan`, `heater`,
        `machine` (electricity), `removed` (given back by the water it takes), `walls`, `vent`,
        `evaporation`, `stored`; water in lb, each `_lb`: `evaporated`, `vented`, `dripped`, `removed`,
        `air_water` (what the air holds).
    daily : DataFrame
        By day from 1: `mc_pct`, `core_pct`, `surface_pct`, `loss_pct`, `too_fast`, `outdoor_f` and `temp_f` (means),
        `temp_max_f`, `temp_min_f`, `rise_f` (greatest above outdoors), `rh_pct`, `emc_pct` (means), `kwh`,
        `evaporated_lb`, and the shares of the day's total that the two balances miss, `heat_gap` and
        `water_gap`.
    advice : tuple of str
        What to watch and which dial to turn.
    settings : dict
        As given or worked out.

    Examples
    --------
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
    hourly: object = field(repr=False)
    daily: object = field(repr=False)
    advice: tuple = field(repr=False)
    settings: dict = field(repr=False)

    def days_to(self, mc_pct=None):
        """Days until the charge's mean is down to `mc_pct` (the target, if not given); NaN if the run ends
        before."""
        mc_pct = self.mc_target_pct if mc_pct is None else mc_pct
        mc = self.hourly.mc_pct.to_numpy()
        below = np.flatnonzero(mc <= mc_pct)
        if mc_pct >= self.mc_start_pct:
            return 0.0
        if not below.size:
            return float("nan")
        i = below[0]
        before = self.mc_start_pct if i == 0 else mc[i - 1]
        step = self.settings["step_h"]
        return float((i + (before - mc_pct) / (before - mc[i])) * step / 24)

    def says(self):
        """How far it came, in words.

        Examples
        --------
        >>> solar("black cherry", 1, "Madison", "June", mc_start_pct=14).says()
        '8 % after 24 days'
        """
        days = self.days_to()
        if days == days:  # not NaN
            return f"{self.mc_target_pct:g} % after {days:.0f} days"
        return f"still at {self.mc_end_pct:.1f} % after {len(self.daily)} days"

    @property
    def mc_end_pct(self):
        """Moisture content at the end of the run, %."""
        return float(self.hourly.mc_pct.iloc[-1])

    @property
    def water_lb(self):
        """Water that left the wood, lb."""
        return float(self.daily.evaporated_lb.sum())

    @property
    def kwh(self):
        """Electricity of fans, heater and dehumidifier, kWh."""
        return float(self.daily.kwh.sum())

    @property
    def too_fast_days(self):
        """Days on which the charge lost more than is safe."""
        return int(self.daily.too_fast.sum())


def safe_loss_pct_per_day(species, thickness_in):
    """Greatest safe loss of moisture content in a day.

    Parameters
    ----------
    species : str
    thickness_in : float, array or str
        Nominal, 0.75 to 4 in, or quarters such as "8/4".

    Returns
    -------
    float, ndarray or None
        Points of MC a day; None if none is published for the wood.

    Examples
    --------
    >>> safe_loss_pct_per_day("northern red oak", 1.0), safe_loss_pct_per_day("northern red oak", 2.0)
    (3.8, 1.5)

    Source: Conners, FOR-128, table 9, p. 91, for 4/4 and 8/4; between and beyond them a power of the
    thickness through the two.
    """
    wood = woods.get(species)
    thickness = _thickness(thickness_in)
    thin, thick = wood.safe_loss_4_4_pct_per_day, wood.safe_loss_8_4_pct_per_day
    if thin is None:
        return None
    if thick is None:
        return thin if np.max(thickness) <= 1 else None
    return plain(thin * np.asarray(thickness) ** (math.log(thick / thin) / math.log(2)))


def solar(
    species,
    thickness_in,
    site,
    start,
    load_bf=500.0,
    mc_start_pct=None,
    mc_target_pct=8.0,
    days=60,
    collector_ft2=None,
    slope_deg=None,
    facing_deg=180.0,
    glazing=2,
    insulation_r=11.0,
    fan_hours=(8, 18),
    fan_ft_min=150.0,
    vents="humidity",
    vent_rh_pct=60.0,
    sunny=False,
    stop=True,
):
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

    Returns
    -------
    Run

    Raises
    ------
    InputError
        A value outside its range, or a site without sunshine figures.

    Examples
    --------
    >>> run = solar("northern red oak", 1, "Madison", "July", mc_start_pct=20)
    >>> bool(run.daily.heat_gap.max() < 1e-6 and run.daily.water_gap.max() < 1e-6)
    True

    Source: sun by pvlib (position; Erbs diffuse share; Hay and Davies on the slope); collector after
    Duffie & Beckman; 1 ft2 of collector for 10 bf of 4/4, slope equal to the latitude: Wengert & Meyer,
    Processing Trees to Lumber (Univ. of Wisconsin); fan rule `warm`: Wengert & Oliveira.
    """
    place = climate.get(site)
    load = within("load_bf", load_bf, 50, 20000, "bf")
    area = load / 10 if collector_ft2 is None else within("collector_ft2", collector_ft2, 0, 5000, "ft2")
    slope = abs(place.latitude) if slope_deg is None else within("slope_deg", slope_deg, 0, 90, "degrees")
    facing = within("facing_deg", facing_deg, 0, 360, "degrees", "180 is south.")
    if glazing not in (1, 2, 3):
        raise InputError(f"glazing = {glazing}: expected 1, 2 or 3 layers.")
    r_value = within("insulation_r", insulation_r, 1, 60, "h ft2 F/Btu", "Give the R-value of the wall.")
    speed = within("fan_ft_min", fan_ft_min, 50, 400, "ft/min", "Is it in miles an hour?")
    vent_rh = within("vent_rh_pct", vent_rh_pct, 20, 95, "%", "Is it a fraction?") / 100
    days = int(within("days", days, 1, 730, "days"))
    share = None if vents == "humidity" else within("vents", vents, 0, 1, "", "Or write 'humidity'.")

    first = _first_day(start)
    outdoor_c, ratio, sun = collector.year(place, float(slope), facing, glazing, bool(sunny))
    hours = (np.arange(days * 24) + (first - 1) * 24) % 8760
    wood, charge = _charge(species, thickness_in, load, mc_start_pct, speed)
    volume = load / 12 * _FT3 * _ROOMY
    glass = area * _FT2
    walls = max(_box_area(volume) - glass, 0.0)
    pressure = collector.pressure_pa(place)
    u = collector.TOP_LOSS_W_M2K[glazing]
    box = chamber.Box(
        air_kg=volume * _density(pressure),
        pressure_pa=pressure,
        walls_w_k=walls / (r_value * _R),
        walls_j_k=_box_area(volume) * _LINING_J_M2K,
        leak_per_h=_LEAK_PER_H,
        vent_per_h=_VENT_PER_H,
        cold_m2=glass,
        cold_share=1 - u / (u + 8.3),  # inside film 8.3 W/m2K against the whole way out
    )
    fan_w = _FAN_W_PER_BF * load * (speed / 150) ** 2
    plant = chamber.Plant(
        gain_m2=glass,
        loss_w_m2k=u,
        on=collector.ABSORBER_FANS_W_M2K / (collector.ABSORBER_FANS_W_M2K + u),
        off=collector.ABSORBER_STILL_W_M2K / (collector.ABSORBER_STILL_W_M2K + u),
        fan_w=fan_w,
    )
    state = chamber.march(
        outdoor_c[hours],
        ratio[hours],
        sun[hours],
        charge,
        box,
        plant,
        _fans(fan_hours, days),
        (lambda rh, mc: min(1.0, max(0.0, (rh - vent_rh) / 0.10)))
        if share is None
        else (lambda rh, mc: share),
        stop_mc=within("mc_target_pct", mc_target_pct, 4, 30, "%") if stop else None,
    )
    settings = dict(
        collector_ft2=area, slope_deg=slope, facing_deg=facing, glazing=glazing, insulation_r=r_value,
        fan_hours=fan_hours, fan_ft_min=speed, vents=vents, vent_rh_pct=100 * vent_rh, sunny=sunny,
        fan_w=fan_w, first_day=first, days=days, start=start, step_h=1, elevation_ft=place.elevation_ft,
    )  # fmt: skip
    doubtful(
        "temperature of the kiln", state["temp_c"].max() * 1.8 + 32, -80, 200, "F",
        "no solar kiln is built for that: less glass, or more wood",
    )  # fmt: skip
    about = ("solar kiln", wood, place.name, thickness_in, load, mc_target_pct)
    return _result(about, charge, state, outdoor_c[hours], box, settings)


def dehumidifier(
    species,
    thickness_in,
    load_bf=500.0,
    mc_start_pct=None,
    mc_target_pct=7.0,
    days=90,
    pints_per_day=70.0,
    insulation_r=11.0,
    room_f=65.0,
    room_rh_pct=50.0,
    heater_w=1500.0,
    heat_to_f=85.0,
    limit_f=95.0,
    fan_ft_min=150.0,
    humidity_pct=None,
    stop=True,
):
    """A small insulated chamber with a dehumidifier: it takes the water out as a liquid and gives its heat
    back.

    Parameters
    ----------
    species, thickness_in, load_bf, mc_start_pct, mc_target_pct, days, insulation_r, fan_ft_min, stop :
        As in `solar`; the fans run all the time.
    pints_per_day : float
        Rating of the machine at 80 F and 60 %, 10 to 400 pints of water a day.
    room_f, room_rh_pct : float
        Air around the chamber, 20 to 120 F, 5 to 95 %.
    heater_w : float
        Electric heater, 0 to 10,000 W, that brings the chamber to `heat_to_f` (50 to 140 F).
    limit_f : float
        The machine stops above this, 70 to 160 F. Household units often stop near 95 F: read the manual.
    humidity_pct : float, optional
        Humidity kept, 15 to 90 %. If not given, it follows the wood: see `humidity_for`.

    Returns
    -------
    Run

    Examples
    --------
    >>> run = dehumidifier("black cherry", 1, mc_start_pct=18)
    >>> run.water_lb / run.kwh > 0.5
    True

    Source: heat and water balance; a household machine's rating and efficiency from memory; its capacity
    falls in proportion to the water in the air above what its coil leaves.
    """
    load = within("load_bf", load_bf, 50, 20000, "bf")
    rated = within("pints_per_day", pints_per_day, 10, 400, "pints/day") * _PINT_KG / 86400
    r_value = within("insulation_r", insulation_r, 1, 60, "h ft2 F/Btu", "Give the R-value of the wall.")
    room = within("room_f", room_f, 20, 120, "F", "Is it in C?")
    room_rh = within("room_rh_pct", room_rh_pct, 5, 95, "%", "Is it a fraction?")
    heater = within("heater_w", heater_w, 0, 10000, "W", "Is it in kW?")
    heat_to = within("heat_to_f", heat_to_f, 50, 140, "F", "Is it in C?")
    limit = within("limit_f", limit_f, 70, 160, "F", "Is it in C?")
    speed = within("fan_ft_min", fan_ft_min, 50, 400, "ft/min", "Is it in miles an hour?")
    days = int(within("days", days, 1, 730, "days"))
    if humidity_pct is None:
        humidity_set = _humidity_fraction()
    else:
        kept = within("humidity_pct", humidity_pct, 15, 90, "%", "Is it a fraction?") / 100

        def humidity_set(mc):
            return kept

    wood, charge = _charge(species, thickness_in, load, mc_start_pct, speed)
    volume = load / 12 * _FT3 * _ROOMY
    pressure = 101325.0
    box = chamber.Box(
        air_kg=volume * _density(pressure),
        pressure_pa=pressure,
        walls_w_k=_box_area(volume) / (r_value * _R),
        walls_j_k=_box_area(volume) * _LINING_J_M2K,
        leak_per_h=0.2,  # no vents: assumption
        vent_per_h=0.0,
        cold_m2=_box_area(volume),
        cold_share=1 - 1 / (r_value * _R * 8.3 + 1),
    )
    rated_ratio = collector.humidity_ratio((_RATED_F - 32) / 1.8, _RATED_RH / 100, pressure)
    coil = collector.humidity_ratio((_COIL_F - 32) / 1.8, 1.0, pressure)
    fan_w = _FAN_W_PER_BF * load * (speed / 150) ** 2
    plant = chamber.Plant(
        fan_w=fan_w,
        heater_w=heater,
        heater_c=(heat_to - 32) / 1.8,
        machine_w=rated * 3600 / _LITRE_PER_KWH * 1000,  # kg/s -> litres an hour -> kW
        machine_kg_s=rated / (rated_ratio - coil),
        machine_most_kg_s=rated * _MOST,
        coil_ratio=coil,
        limit_c=(limit - 32) / 1.8,
    )
    n = days * 24
    room_c = np.full(n, (room - 32) / 1.8)
    state = chamber.march(
        room_c,
        np.full(n, collector.humidity_ratio((room - 32) / 1.8, room_rh / 100, pressure)),
        np.zeros(n),
        charge,
        box,
        plant,
        np.ones(n),
        lambda rh, mc: 0.0,
        humidity_set=humidity_set,
        stop_mc=within("mc_target_pct", mc_target_pct, 4, 30, "%") if stop else None,
    )
    settings = dict(
        pints_per_day=pints_per_day, insulation_r=r_value, room_f=room, room_rh_pct=room_rh, heater_w=heater,
        heat_to_f=heat_to, limit_f=limit, fan_ft_min=speed, humidity_pct=humidity_pct, fan_w=fan_w,
        machine_w=plant.machine_w, days=days, step_h=1,
    )  # fmt: skip
    about = ("dehumidifier", wood, "a room", thickness_in, load, mc_target_pct)
    return _result(about, charge, state, room_c, box, settings)


def indoors(
    species,
    thickness_in,
    site,
    start,
    mc_start_pct=14.0,
    mc_target_pct=8.0,
    days=180,
    load_bf=100.0,
    heated=True,
    cooled=False,
    covered=False,
    stop=True,
):
    """Boards on stickers in a corner of the house, or in an unheated room.

    Parameters
    ----------
    species, thickness_in, mc_target_pct, days, load_bf, stop :
        As in `solar`.
    site : str or Site
        Its outdoor air decides how dry the house is: see `movement.indoors`.
    start : str, int or date
        Day, or month (its 15th).
    mc_start_pct : float, optional
        6 to 200 %; 14, air-dried, if not given.
    heated : bool
        False: an unheated room, shed or garage.
    cooled : bool
        Air conditioning in summer.
    covered : bool
        The stack is wrapped in a sheet with its ends open, which slows it to a quarter: assumption.

    Returns
    -------
    Run
        With one row a day in `hourly` as well.

    Examples
    --------
    >>> run = indoors("black walnut", 1, "Madison", "November")
    >>> 20 < run.days_to(8) < 80
    True

    Source: `slab` with the air of `movement.indoors`; film of still air as in `solar` with the fans off, but for the
    draughts of a room (30 ft/min: assumption).
    """
    import pandas as pd

    place = climate.get(site)
    wood = woods.get(species)
    mc0 = wood.green_mc_pct if mc_start_pct is None else within("mc_start_pct", mc_start_pct, 6, 200, "%")
    target = within("mc_target_pct", mc_target_pct, 4, 30, "%")
    load = within("load_bf", load_bf, 10, 20000, "bf")
    days = int(within("days", days, 1, 730, "days"))
    speed = 30.0 / (16.0 if covered else 1.0)
    wood, charge = _charge(species, thickness_in, load, mc0, max(speed, 1.0))
    first = _first_day(start)
    index = (np.arange(days) + first - 1) % 365
    months = movement.indoors(place, heated, cooled=cooled)[["temp_f", "rh_pct", "out_temp_f"]]
    house = climate.day_weights() @ months.to_numpy()
    temp_f, rh = house[index, 0], np.clip(house[index, 1], 5, 95)
    emc = air.emc_pct(temp_f, rh)
    tau = 24 * charge.rate_h * np.exp(-drying.HEAT_K * (1 / ((temp_f - 32) / 1.8 + 273.15) - 1 / 293.15))
    b, B = slab.roots(charge.biot), slab.weights(charge.biot)
    a, last, rows = B * (mc0 - emc[0]), emc[0], []
    for i in range(days):
        a = slab.step(a, b, B, emc[i] - last, tau[i])
        last = emc[i]
        rows.append((slab.mean(a, last), slab.surface(a, b, charge.biot, last), slab.core(a, b, last)))
        if stop and rows[-1][0] <= target:
            break
    n = len(rows)
    mc, face, core = np.array(rows).T
    loss = -np.diff(mc, prepend=mc0)
    safe = safe_loss_pct_per_day(species, thickness_in)
    daily = pd.DataFrame(
        {
            "mc_pct": mc, "core_pct": core, "surface_pct": face, "loss_pct": loss,
            "too_fast": _too_fast(loss, mc + loss, safe), "outdoor_f": house[index[:n], 2],
            "temp_max_f": temp_f[:n], "temp_min_f": temp_f[:n], "rise_f": temp_f[:n] - house[index[:n], 2],
            "rh_pct": rh[:n], "emc_pct": emc[:n], "kwh": 0.0,
            "evaporated_lb": charge.oven_dry_kg / _LB * loss / 100, "heat_gap": 0.0, "water_gap": 0.0,
        },
        index=pd.RangeIndex(1, n + 1, name="day"),
    )  # fmt: skip
    hourly = daily.reset_index().assign(hour=0)
    settings = dict(
        heated=heated, cooled=cooled, covered=covered, first_day=first, days=days, start=start, step_h=24
    )
    run = Run(
        "indoors",
        wood.name,
        place.name,
        float(_thickness(thickness_in)),
        load,
        mc0,
        target,
        safe,
        hourly,
        daily,
        (),
        settings,
    )
    object.__setattr__(run, "advice", _advice(run))
    return run


def humidity_for(mc_pct):
    """Humidity to keep around wood of this moisture content, %.

    Parameters
    ----------
    mc_pct : float
        Mean of the wettest sample boards, 0 to 250 %.

    Returns
    -------
    float

    Examples
    --------
    >>> humidity_for(60), humidity_for(10)
    (80.0, 30.0)

    Source: `data/dehumidifier_settings.csv`; green stock as in pre-dryers, 65 to 85 % (Wood Handbook
    FPL-GTR-190, p. 13-6), below that common practice.
    """
    mc = within("mc_pct", mc_pct, 0, 250, "%")
    return 100 * _humidity_fraction()(mc)


@cache
def _humidity_fraction():
    table = tables.read("dehumidifier_settings").sort_values("mc_above_pct", ascending=False)
    steps = list(zip(table.mc_above_pct, table.rh_pct / 100, strict=True))

    def humidity(mc):
        for above, rh in steps:
            if mc > above:
                return rh
        return steps[-1][1]

    return humidity


def compare(
    species,
    thickness_in,
    site,
    start,
    load_bf=300.0,
    mc_start_pct=14.0,
    mc_target_pct=8.0,
    price_per_kwh=0.17,
):
    """The three ways side by side, for one charge, month and place.

    Parameters
    ----------
    species, thickness_in, site, start, load_bf, mc_start_pct, mc_target_pct :
        As in `solar`.
    price_per_kwh : float
        Dollars, 0 to 2. The default is near the US household mean of the mid-2020s, from memory.

    Returns
    -------
    DataFrame
        One row a way: `way`, `days` (NaN if not within 180), `mc_end_pct`, `kwh`, `cost_usd`,
        `too_fast_days`, `advice` (the first sentence). No solar kiln where the sunshine is not known.

    Examples
    --------
    >>> compare("black cherry", 1, "Madison", "July").way.tolist()
    ['indoors', 'solar kiln', 'dehumidifier']
    """
    import pandas as pd

    price = within("price_per_kwh", price_per_kwh, 0, 2, "dollars", "Is it in cents?")
    runs = runs_of_each(species, thickness_in, site, start, load_bf, mc_start_pct, mc_target_pct)
    rows = [
        dict(
            way=r.way,
            days=r.days_to(),
            mc_end_pct=r.mc_end_pct,
            kwh=r.kwh,
            cost_usd=r.kwh * price,
            too_fast_days=r.too_fast_days,
            advice=r.advice[0],
        )
        for r in runs
    ]
    return pd.DataFrame(rows)


def runs_of_each(
    species, thickness_in, site, start, load_bf=300.0, mc_start_pct=14.0, mc_target_pct=8.0, days=180
):
    """The runs behind `compare`: indoors, solar kiln, dehumidifier (in the same house), at their defaults.

    Without the solar kiln where the place's figures do not tell the sunshine (`Site.has_sun`).
    """
    charge = dict(load_bf=load_bf, mc_start_pct=mc_start_pct, mc_target_pct=mc_target_pct, days=days)
    place = climate.get(site)
    house = movement.indoors(place).loc[drying.start_date(start).month]
    return (
        indoors(species, thickness_in, site, start, **charge),
        *([solar(species, thickness_in, place, start, **charge)] if place.has_sun else []),
        dehumidifier(
            species, thickness_in, room_f=float(house.temp_f), room_rh_pct=float(house.rh_pct), **charge
        ),
    )


def _first_day(start):
    """Day of the year, 1-365, of a date or of a month's 15th."""
    day = drying.start_date(start)
    return int(climate.MONTH_DAYS[: day.month - 1].sum()) + min(
        day.day, int(climate.MONTH_DAYS[day.month - 1])
    )


def _thickness(thickness_in):
    """Nominal inches from a number or quarters such as "8/4"."""
    if isinstance(thickness_in, str):
        thickness_in = drying.thickness(thickness_in)
    return within("thickness_in", thickness_in, 0.75, 4, "in", "Is it in quarters? 4/4 is 1.0.")


def _charge(species, thickness_in, load_bf, mc_start_pct, speed_ft_min):
    wood = woods.get(species)
    thickness = _thickness(thickness_in)
    mc = wood.green_mc_pct if mc_start_pct is None else within("mc_start_pct", mc_start_pct, 6, 200, "%")
    wood_ft3 = load_bf / 12
    film = math.sqrt(speed_ft_min / _YARD_FT_MIN)
    faces = 2 * wood_ft3 * 12 / thickness * _FT2
    return wood, chamber.Charge(
        oven_dry_kg=wood_ft3 * woods.WATER_LB_PER_FT3 * wood.basic_sg * _LB,
        faces_m2=faces,
        mc_pct=mc,
        rate_h=drying.rate(wood).per_day / thickness**2 / 24,
        biot=drying.biot(thickness_in=thickness) * film,
        still=math.sqrt(_STILL_FT_MIN / speed_ft_min),
        film_w_m2k=_WOOD_FILM,
        still_film_w_m2k=_WOOD_FILM_STILL,
    )


def _fans(fan_hours, days):
    if isinstance(fan_hours, str):
        if fan_hours == "warm":
            return None
        if fan_hours == "always":
            return np.ones(days * 24)
        raise InputError(
            f"fan_hours = {fan_hours!r}: expected 'always', 'warm' or two hours such as (8, 18)."
        )
    try:
        begin, end = fan_hours
    except (TypeError, ValueError):
        raise InputError(f"fan_hours = {fan_hours!r}: expected two hours such as (8, 18).") from None
    begin, end = within("fan_hours", begin, 0, 24, "h"), within("fan_hours", end, 0, 24, "h")
    hour = np.arange(days * 24) % 24
    on = (hour >= begin) & (hour < end) if begin <= end else (hour >= begin) | (hour < end)
    return on.astype(float)


def _box_area(volume_m3):
    return 6.6 * volume_m3 ** (2 / 3)  # a cube and a tenth more


def _density(pressure_pa):
    return pressure_pa / (287.05 * 305.0)  # dry air near 90 F


def _too_fast(loss, before, safe):
    if safe is None:
        return np.zeros(len(loss), dtype=bool)
    return (loss > safe) & (before > LIMIT_ABOVE_MC)


def _result(about, charge, s, outdoor_c, box, settings):
    import pandas as pd

    way, wood, place, thickness_in, load, target = about
    n = len(s["temp_c"])
    temp_f, outdoor_f = s["temp_c"] * 1.8 + 32, outdoor_c[:n] * 1.8 + 32
    heats = {f"{k}_btu": s[f"{k}_j"] / _BTU for k in (*_GAINS, *_LOSSES)}
    waters = {f"{k}_lb": s[f"{k}_kg"] / _LB for k in ("evaporated", "vented", "dripped", "removed")}
    air_water = s["ratio"] * (box.air_kg / _LB)
    # of the air at its own temperature; the wood, cooler or warmer, answers to the chamber's `emc_pct`
    emc = air.emc_pct(np.minimum(temp_f, 270.0), np.clip(100 * s["rh"], 1, 100))
    hourly = pd.DataFrame(
        {
            "day": np.arange(n) // 24 + 1,
            "hour": np.arange(n) % 24,
            "outdoor_f": outdoor_f,
            "temp_f": temp_f,
            "rh_pct": 100 * s["rh"],
            "humidity_ratio": s["ratio"],
            "wood_f": s["wood_c"] * 1.8 + 32,
            "emc_pct": emc,
            **{k: s[k] for k in ("mc_pct", "surface_pct", "core_pct", "fans")},
            **heats,
            **waters,
            "air_water_lb": air_water,
        }
    )
    by_day = {
        k: v.reshape(-1, 24) for k, v in {**s, "temp_f": temp_f, "outdoor_f": outdoor_f}.items() if np.ndim(v)
    }
    last = {k: by_day[k][:, -1] for k in ("mc_pct", "core_pct", "surface_pct")}
    total = {k: v.reshape(-1, 24).sum(1) for k, v in {**heats, **waters}.items()}
    before = np.concatenate([[charge.mc_pct], last["mc_pct"][:-1]])
    loss = before - last["mc_pct"]
    safe = safe_loss_pct_per_day(wood, thickness_in)
    gains, losses = ([total[f"{k}_btu"] for k in names] for names in (_GAINS, _LOSSES))
    # water: from the wood's own loss of weight, against what left and what the air holds more
    from_wood = charge.oven_dry_kg / _LB * loss / 100
    in_air = np.diff(air_water[23::24], prepend=s["first_ratio"] * box.air_kg / _LB)
    left = [total[f"{k}_lb"] for k in ("vented", "dripped", "removed")]
    electric = total["fan_btu"] + total["heater_btu"] + total["machine_btu"]
    daily = pd.DataFrame(
        {
            **last,
            "loss_pct": loss,
            "too_fast": _too_fast(loss, before, safe),
            "outdoor_f": by_day["outdoor_f"].mean(1),
            "temp_f": by_day["temp_f"].mean(1),
            "temp_max_f": by_day["temp_f"].max(1),
            "temp_min_f": by_day["temp_f"].min(1),
            "rise_f": (by_day["temp_f"] - by_day["outdoor_f"]).max(1),
            "rh_pct": 100 * by_day["rh"].mean(1),
            "emc_pct": emc.reshape(-1, 24).mean(1),
            "kwh": electric * _BTU / KWH_J,
            "evaporated_lb": total["evaporated_lb"],
            "heat_gap": np.abs(sum(gains) - sum(losses)) / (sum(gains) + sum(map(np.abs, losses))),
            "water_gap": np.abs(from_wood - sum(left) - in_air)
            / (np.abs(from_wood) + sum(map(np.abs, left)) + 1e-9),
        },
        index=pd.RangeIndex(1, n // 24 + 1, name="day"),
    )
    known = (way, wood.name, place, float(_thickness(thickness_in)), load, charge.mc_pct, float(target), safe)
    run = Run(*known, hourly, daily, (), settings)
    object.__setattr__(run, "advice", _advice(run))
    return run


_GAINS = ("sun", "fan", "heater", "machine", "removed")
_LOSSES = ("walls", "vent", "evaporation", "stored")


def _advice(run):
    """Sentences for the learner, the most important first."""
    say, d, s = [], run.daily, run.settings
    reached = run.days_to()
    if run.too_fast_days:
        bad = d[d.too_fast]
        worst = bad.loss_pct.max()
        share = run.safe_loss_pct_per_day / worst
        text = (
            f"Too fast on {run.too_fast_days} day{'s' * (run.too_fast_days > 1)}: up to {worst:.1f} % a day, where "
            f"{run.wood} {run.thickness_in:g} in stands {run.safe_loss_pct_per_day:.1f} %. "
        )
        if run.way == "solar kiln":
            text += (
                f"Cover the glass down to about {s['collector_ft2'] * share:.0f} ft2, load more wood, run the fans "
                "fewer hours, or let the vents open only at a higher humidity until the wood is below 25 %."
            )
        elif run.way == "dehumidifier":
            text += "Keep the humidity higher, or the chamber cooler, until the wood is below 25 %; or load more wood."
        else:
            text += "Leave it in an unheated shed or garage first, or wrap the stack in a sheet with its ends open."
        say.append(text)
    if np.isnan(reached):
        end = d.emc_pct.iloc[-7:].mean()
        text = f"{run.mc_target_pct:g} % is not reached in {len(d)} days; the charge is at {run.mc_end_pct:.1f} %. "
        if run.way == "solar kiln":
            dials = "more collector or a sunnier month"
            if s["fan_hours"] == "always":
                dials = "stopping the fans at night"
            elif s["vents"] != "humidity" and s["vents"] > 0.2:
                dials = "shutting the vents"
            elif end < run.mc_target_pct - 1:
                dials = "time"
            text += f"Its air would hold wood near {end:.1f} %: what helps most now is {dials}."
        elif run.way == "dehumidifier":
            text += f"Its air would hold wood near {end:.1f} %: set a lower humidity, a larger machine, or more heat."
        else:
            text += f"The room would hold wood near {end:.1f} %: wait for the heating season, or choose a drier room."
        say.append(text)
    if run.way == "solar kiln":
        if d.temp_max_f.max() > 140:
            say.append(
                f"It reaches {d.temp_max_f.max():.0f} F: too hot for the fan motors and for many glues and plastics. "
                "Open the vents wider or shade part of the glass once the wood is nearly dry."
            )
        drips = run.hourly.dripped_lb.sum()
        if drips > 0.1 * run.water_lb:
            say.append(
                f"{drips:.0f} lb of water condense on the glass: lead it away from the wood, and vent more."
            )
    if run.way == "dehumidifier" and (run.hourly.temp_f > s["limit_f"] - 0.5).mean() > 0.05:
        say.append(
            f"The machine stops at {s['limit_f']:g} F some of the time: its own heat warms the chamber. "
            "A cooler room, less insulation or a short airing keeps it working."
        )
    if run.way == "indoors" and run.thickness_in >= 1.5 and run.mc_start_pct > 16:
        say.append(
            "Thick stock: bring it in in steps. First an unheated room, then the house with a sheet over the stack "
            "for some weeks, then open."
        )
    if not say:
        say.append(f"{run.mc_target_pct:g} % after {reached:.0f} days, within the safe pace.")
    elif reached == reached:
        say.append(f"{run.mc_target_pct:g} % after {reached:.0f} days.")
    return tuple(say)
