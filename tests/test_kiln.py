"""Solar kiln, dehumidifier and house against balances, PsychroLib, pvlib, published runs; heating times."""

import math
from pathlib import Path

import numpy as np
import pandas as pd
import psychrolib
import pvlib
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from woodcalc import air, climate, drying, kiln, movement, plan, species, tables, units
from woodcalc.checks import InputError, RangeWarning
from woodcalc.drying import slab
from woodcalc.kiln import chamber, collector, runs, ways
from woodcalc.kiln import heat_treatment as heat
from woodcalc.plan import steps as plan_steps

OAK = "northern red oak"
GREENSBORO = Path(pvlib.__file__).parent / "data" / "723170TYA.CSV"


@pytest.fixture(scope="module")
def greensboro():
    return climate.read_weather_file(GREENSBORO)


@pytest.fixture(scope="module")
def sample(greensboro):
    """One run of each kind, green and air-dried, average months and a year of real hours."""
    return {
        "solar, green": kiln.solar(OAK, 1, "Madison", "2026-05-01", days=100),
        "solar, air-dried": kiln.solar(
            OAK, 1, "Madison", "2026-07-01", mc_start_pct=20, fan_hours="always", vents=0.3
        ),
        "solar, winter": kiln.solar("yellow-poplar", 2, "Duluth", "2026-12-01", days=40),
        "solar, year of hours": kiln.solar("white oak", 1, greensboro, "2026-01-01", days=365, stop=False),
        "dehumidifier, green": kiln.dehumidifier(OAK, 1),
        "dehumidifier, air-dried": kiln.dehumidifier("black walnut", 2, mc_start_pct=16),
    }


def test_heat_and_water_close_each_day(sample, report):
    rows = []
    for name, run in sample.items():
        h, d = run.hourly, run.daily
        hours = h.groupby("day")
        # again from the hours, in the kiln's own terms: in = out + stored
        gain = hours[["sun_btu", "fan_btu", "heater_btu", "machine_btu", "removed_btu"]].sum().sum(axis=1)
        spent = hours[["walls_btu", "vent_btu", "evaporation_btu", "stored_btu"]].sum()
        heat_gap = ((gain - spent.sum(axis=1)).abs() / (gain + spent.abs().sum(axis=1))).max()
        water = hours[["evaporated_lb", "vented_lb", "dripped_lb", "removed_lb"]].sum()
        change = hours.air_water_lb.last().diff().fillna(0.0)
        gap = (water.evaporated_lb - water.vented_lb - water.dripped_lb - water.removed_lb - change).abs()
        water_gap = (gap / water.abs().sum(axis=1)).iloc[1:].max()
        rows.append((name, len(d), heat_gap, water_gap, d.heat_gap.max(), d.water_gap.max()))
        assert max(heat_gap, water_gap, d.heat_gap.max(), d.water_gap.max()) < 1e-6, name
    columns = ["run", "days", "heat, from hours", "water, from hours", "heat_gap", "water_gap"]
    report(
        "Kiln balances: largest gap of a day, share of the day's total", pd.DataFrame(rows, columns=columns)
    )


def test_wood_loses_the_water_that_the_balance_counts(sample):
    for run in sample.values():
        dry_lb = (
            run.load_bf / 12 * 62.43 * species.get(run.wood).basic_sg
        )  # oven-dry weight: volume x 62.43 x basic gravity
        lost = dry_lb * (run.mc_start_pct - run.mc_end_pct) / 100
        assert run.water_lb == pytest.approx(lost, rel=1e-6)


def test_humidity_agrees_with_psychrolib_in_every_hour(sample, report):
    psychrolib.SetUnitSystem(psychrolib.IP)
    rows = []
    for name, run in sample.items():
        h = run.hourly
        pressure = psychrolib.GetStandardAtmPressure(run.settings.get("elevation_ft", 0.0))
        theirs = [
            100 * psychrolib.GetRelHumFromHumRatio(t, w, pressure)
            for t, w in zip(h.temp_f.tolist(), h.humidity_ratio.tolist(), strict=True)
        ]
        gap = np.abs(h.rh_pct - theirs).max()
        rows.append((name, len(h), gap))
        assert gap < 0.01, name  # % RH: the same formulas; the rest is rounding of unit conversions
    report(
        "Kiln humidity against PsychroLib, every hour",
        pd.DataFrame(rows, columns=["run", "hours", "largest gap, % RH"]),
    )


@pytest.mark.parametrize("temp_c", [-40, -10, 0, 0.01, 5, 20, 45, 70, 95])
def test_saturation_is_psychrolibs(temp_c):
    psychrolib.SetUnitSystem(psychrolib.SI)
    # PsychroLib 2.5, ASHRAE Handbook Fundamentals (2017) ch. 1, eq. 5 and 6
    assert chamber.saturation_pa(temp_c) == pytest.approx(psychrolib.GetSatVapPres(temp_c), rel=1e-9)


@given(st.floats(-20, 80), st.floats(0.01, 1.0))
@settings(max_examples=100, deadline=None)
def test_emc_is_the_one_of_air(temp_c, rh):
    assert chamber.emc_pct(temp_c, rh) == pytest.approx(air.emc_pct(temp_c * 1.8 + 32, 100 * rh), abs=1e-9)


def test_sun_on_the_glass_is_pvlibs(greensboro):
    """Hour by hour from the file's own beam and sky light, once more through pvlib's one-call model."""
    slope, layers = 36.0, 2
    _, _, kept = collector.year(greensboro, slope, 180.0, layers, False)
    h = greensboro.hourly
    # hours of the file end at the stamp, and the file's clock is local standard time
    times = pd.date_range("2001-01-01 00:30", periods=8760, freq="h", tz="Etc/GMT+5")
    place = pvlib.location.Location(
        greensboro.latitude, greensboro.longitude, "Etc/GMT+5", greensboro.elevation_ft / 3.28084
    )
    sun = place.get_solarposition(times)
    plane = pvlib.irradiance.get_total_irradiance(
        slope, 180, sun.apparent_zenith, sun.azimuth,
        h.dni_w_m2.to_numpy(), h.ghi_w_m2.to_numpy(), h.dhi_w_m2.to_numpy(),
        dni_extra=pvlib.irradiance.get_extra_radiation(times.day_of_year.to_numpy()), model="haydavies", albedo=0.2,
    )  # fmt: skip
    # through the glass: never more than clean glass at right angles lets in, and most of it over the year
    most = plane.poa_global.fillna(0).to_numpy() * 0.88**layers * 0.95 * 0.95
    assert np.all(kept <= most + 1e-6)
    assert 0.88 < kept.sum() / most.sum() < 1.0


def test_rebuilt_days_bring_the_sun_of_the_real_hours(greensboro):
    """Monthly figures alone against the file's hours: sun kept by a collector over the year."""
    _, _, hours = collector.year(greensboro, 36.0, 180.0, 2, False)
    from dataclasses import replace

    rebuilt = replace(greensboro, hourly=None)
    _, _, days = collector.year(rebuilt, 36.0, 180.0, 2, False)
    # average days count as evenly hazy, real months mix clear and dull ones, which a slope uses better: up to 12 %
    assert days.sum() / hours.sum() == pytest.approx(1.0, abs=0.12)
    month = greensboro.hourly.month.to_numpy()
    by_month = [days[month == m].sum() / hours[month == m].sum() for m in range(1, 13)]
    assert min(by_month) > 0.7 and max(by_month) < 1.2


SHUT = chamber.Control(lambda mc: 1.0, 0.1, least=0.0, most=0.0)  # vents that stay shut


def _box(**changes):
    given = dict(air_kg=10.0, pressure_pa=101325.0, walls_w_k=20.0, walls_j_k=4e5, leak_per_h=1.0)
    return chamber.Box(**{**given, **changes})


def _charge(**changes):
    given = dict(
        oven_dry_kg=600.0, faces_m2=90.0, mc_pct=20.0, rate_h=0.002, biot=1.0, still=0.4, film_w_m2k=6.0,
        still_film_w_m2k=2.0,
    )  # fmt: skip
    return chamber.Charge(**{**given, **changes})


def test_a_chamber_left_alone_settles_where_heat_in_is_heat_out():
    n = 24 * 400
    plant = chamber.Plant(gain_m2=5.0, loss_w_m2k=4.0, on=0.8, off=0.6, fan_w=200.0)
    weather = np.full(n, 10.0), np.full(n, 0.005), np.full(n, 300.0)
    s = chamber.march(*weather, _charge(), _box(), plant, np.ones(n), SHUT)
    flow = 10.0 / 3600 * (1006 + 1860 * 0.005)
    expected = 10.0 + (0.8 * 5 * 300 + 200) / (20 + 0.8 * 5 * 4.0 + flow)
    assert s["temp_c"][-1] == pytest.approx(expected, abs=1e-3)
    assert s["wood_c"][-1] == pytest.approx(s["temp_c"][-1], abs=1e-3)
    # all water that comes is the outdoor air's, so the wood ends at the EMC of that air warmed
    rh = chamber.relative_humidity(expected, 0.005, 101325.0)
    assert s["mc_pct"][-1] == pytest.approx(chamber.emc_pct(expected, rh), abs=0.02)


def _in_a_gale(hours, slab_biot, fans, **charge):
    """Run a small charge in a chamber that the outdoor air blows through; return its MC and the exact slab's, %."""
    c = _charge(oven_dry_kg=1.0, faces_m2=50.0, **charge)
    outdoors = np.full(hours, 25.0), np.full(hours, 0.010), np.zeros(hours)
    box = _box(leak_per_h=2000.0, walls_j_k=0.0)
    s = chamber.march(*outdoors, c, box, chamber.Plant(), np.full(hours, fans), SHUT)
    emc = chamber.emc_pct(25.0, chamber.relative_humidity(25.0, 0.010, 101325.0))
    b, B = slab.roots(slab_biot), slab.weights(slab_biot)
    tau = 0.002 * hours * drying.temperature_factor(77.0)
    return s["mc_pct"][-1], slab.mean(slab.step(B * (20 - emc), b, B, 0, tau), emc)


def test_with_a_gale_through_it_the_chamber_dries_like_the_slab_alone():
    chamber_mc, slab_mc = _in_a_gale(24 * 60, slab_biot=1.0, fans=1.0)
    assert chamber_mc == pytest.approx(slab_mc, abs=0.02)


def test_still_film_is_the_same_as_a_smaller_biot_number():
    """Fans off is done by moving the air's EMC towards the face; exact slab of the smaller Biot number beside it."""
    chamber_mc, slab_mc = _in_a_gale(24 * 40, slab_biot=0.6, fans=0.0, biot=1.5, still=0.4)
    assert chamber_mc == pytest.approx(slab_mc, abs=0.05)


def _in_steps(monkeypatch, per_hour, call):
    """Run with so many steps in each hour, the weather of the hour kept."""
    march = chamber.march
    with monkeypatch.context() as m:
        m.setattr(chamber, "march", lambda *args, **kwargs: march(*args, **{**kwargs, "per_hour": per_hour}))
        return call()


STEPPED = {
    "dehumidifier, oak from 20 %, 50 pints": ("d", OAK, dict(mc_start_pct=20, pints_per_day=50)),
    "dehumidifier, oak from 20 %, 400 pints": ("d", OAK, dict(mc_start_pct=20, pints_per_day=400)),
    "dehumidifier, cherry from 10 %, room of 80 F": ("d", "black cherry", dict(mc_start_pct=10, room_f=80)),
    "dehumidifier, green poplar, 120 F": ("d", "yellow-poplar", dict(limit_f=120, heat_to_f=110)),
    "solar, oak from 20 %, fans when warm": ("s", OAK, dict(mc_start_pct=20, fan_hours="warm")),
    "solar, green pine to 20 %, vents by humidity": ("s", "eastern white pine", dict(mc_target_pct=20)),
    "solar, green poplar, large glass": ("s", "yellow-poplar", dict(collector_ft2=90, sunny=True)),
}


def test_time_step(report, monkeypatch):
    """The same run as it comes (hours; half hours under the sun, quarter hours where the fans follow the heat), and in
    shorter steps."""
    rows = []
    for name, (way, wood, change) in STEPPED.items():

        def call(way=way, wood=wood, change=change):
            if way == "d":
                return kiln.dehumidifier(wood, 1, days=200, **change)
            return kiln.solar(wood, 1, "Madison", 7, days=200, **change)

        each = [call(), *(_in_steps(monkeypatch, n, call) for n in (4, 12, 60))]
        days, kwh, mc = (
            [run.days_to() for run in each],
            [run.kwh / len(run.daily) for run in each],  # a run ends with the day in which it gets there
            [run.hourly.mc_pct.to_numpy() for run in each],
        )
        n = min(map(len, mc))
        gap = np.abs(mc[0][:n] - mc[-1][:n]).max()
        rows.append((name, *days, kwh[0], kwh[-1], gap))
        # a minute is short against everything that happens in a chamber; 2 % is a fifth of a day in ten
        assert days[1] == pytest.approx(days[-1], rel=0.02) and days[0] == pytest.approx(
            days[-1], rel=0.02
        ), name
        assert kwh[0] == pytest.approx(kwh[-1], rel=0.03), name
        assert gap < 0.5, name  # points of MC at any hour of the run, green or dry
    columns = [
        "run",
        "days, as it comes",
        "15 min",
        "5 min",
        "1 min",
        "kWh a day",
        "kWh a day, 1 min",
        "largest gap, % MC",
    ]
    report("Chambers: the time step", pd.DataFrame(rows, columns=columns))


def test_a_green_charge_that_dries_too_fast_in_the_house_is_told_so():
    run = kiln.indoors("water oak", 1, "Madison", 1, None)
    assert run.too_fast_days and "unheated shed" in run.advice[0]


def test_a_run_of_a_part_with_no_pace_of_its_own_says_so_as_the_forecast_does():
    """One rate for both parts has the wet sapwood dry last, which is the wrong way round in many woods."""
    why = "t what pace its sapwood dries is not known here, likely faster than this"

    def made(wood, part, days=90):
        return (
            kiln.solar(wood, 1, "Madison", 6, days=days, part=part, rough=True),
            kiln.dehumidifier(wood, 1, days=days, part=part),
            kiln.indoors(wood, 1, "Madison", 6, None, days=days, part=part),
        )

    pine = made("loblolly pine", "sapwood")
    assert f"A{why}." in drying.air_dry("loblolly pine", 1, "Madison", "2026-06-15", part="sapwood").says()
    for run in (*pine, *made("loblolly pine", "sapwood", days=3)):
        assert run.says().endswith(f"; a{why}"), run.way
        assert sum(why in sentence for sentence in run.advice) == 1, run.way
    for wood, part in (("loblolly pine", "heartwood"), ("loblolly pine", "mixed"), ("sweetgum", "sapwood")):
        for run in made(wood, part, days=3):
            assert "pace its" not in " ".join([run.says(), *run.advice]), (wood, part)


@given(
    st.sampled_from([(OAK, 1, 25.0), ("black cherry", 1, 14.0), ("white oak", 2, 30.0), ("yellow-poplar", 1, None)]),
    st.floats(2, 30), st.floats(35, 85), st.sampled_from([(95.0, 85.0), (95.0, 60.0), (120.0, 110.0)]),
    st.sampled_from([0.0, 500.0, 1500.0]), st.floats(10, 300), st.floats(1.1, 4.0),
)  # fmt: skip
@settings(max_examples=40, deadline=None)
def test_a_larger_machine_is_never_slower(charge, insulation, room, limits, heater_w, pints, factor):
    wood, inches, start = charge
    given = dict(
        insulation_r=insulation, room_f=room, limit_f=limits[0], heat_to_f=limits[1], heater_w=heater_w
    )
    small, large = (
        kiln.dehumidifier(wood, inches, 500, start, 8, 150, pints_per_day=p, **given)
        for p in (pints, min(400.0, pints * factor))
    )
    slow, fast = (np.nan_to_num(run.days_to(), nan=np.inf) for run in (small, large))
    # one that hardly ever runs has overheated a tight box sooner, and then stands still longer: to 1.4 % is found
    # where a machine of 10 pints can just do it, and one of 40 cannot but overheat (R-30, nine tenths of the time)
    idle = large.hourly.too_warm.mean() > 0.9
    assert fast <= slow * (1.02 if idle else 1.0005)
    if np.isinf(slow):
        assert large.mc_end_pct <= small.mc_end_pct + 0.02


@given(
    st.sampled_from([(OAK, 1, 25.0), ("black cherry", 1, None), ("white oak", 2, 30.0)]),
    st.floats(1, 30), st.floats(1.1, 2.0), st.floats(30, 80), st.floats(20, 150), st.sampled_from([500.0, 1500.0]),
)  # fmt: skip
@settings(max_examples=25, deadline=None)
def test_more_insulation_never_takes_more_heat(charge, insulation, factor, room, pints, heater_w):
    wood, inches, start = charge
    thin, thick = (
        kiln.dehumidifier(
            wood, inches, 500, start, 8, 30, pints, r, room, heater_w=heater_w, stop=False
        ).hourly[["heater_btu", "machine_btu", "fan_btu"]].sum()
        for r in (insulation, insulation * factor)
    )  # fmt: skip
    assert thick.heater_btu <= thin.heater_btu * 1.0005 + 1
    if thin.heater_btu < 0.95 * heater_w * 30 * 24 * 3.412:  # a heater that keeps up
        assert thick.sum() <= thin.sum() * 1.0005


@given(st.floats(30, 90), st.floats(1.2, 2.0))
@settings(max_examples=8, deadline=None)
def test_more_collector_dries_faster(area, factor):
    small, large = (
        kiln.solar(OAK, 1, "Madison", 7, mc_start_pct=20, days=10, collector_ft2=a)
        for a in (area, area * factor)
    )
    assert large.mc_end_pct < small.mc_end_pct
    assert large.daily.temp_max_f.max() > small.daily.temp_max_f.max()


@pytest.mark.parametrize(
    "better, worse",
    [
        (dict(insulation_r=20), dict(insulation_r=4)),
        (dict(fan_hours="always"), dict(fan_hours=(10, 14))),
        (dict(fan_ft_min=300), dict(fan_ft_min=60)),
        (dict(start=7), dict(start=12)),
        (dict(facing_deg=180), dict(facing_deg=0)),
        (dict(thickness_in=1), dict(thickness_in=2)),
        (dict(sunny=True), dict(sunny=False)),
        (dict(load_bf=300, collector_ft2=50), dict(load_bf=900, collector_ft2=50)),
    ],
)
def test_each_dial_turns_the_right_way(better, worse):
    given = dict(species=OAK, thickness_in=1, site="Madison", start=7, mc_start_pct=20, days=20, stop=False)
    assert kiln.solar(**{**given, **better}).mc_end_pct < kiln.solar(**{**given, **worse}).mc_end_pct


def test_slope_matters_in_winter():
    steep, flat = (
        kiln.solar(OAK, 1, "Madison", 12, mc_start_pct=20, slope_deg=s, days=30).mc_end_pct for s in (60, 10)
    )
    assert steep < flat


def test_vents_are_for_green_wood():
    green = {v: kiln.solar(OAK, 1, "Madison", 6, vents=v, days=20).mc_end_pct for v in (0.0, 0.5)}
    dry = {
        v: kiln.solar(OAK, 1, "Madison", 7, mc_start_pct=10, vents=v, days=20, stop=False).mc_end_pct
        for v in (0.05, 1.0)
    }
    assert green[0.5] < green[0.0]
    assert dry[0.05] < dry[1.0]


def test_new_checks_are_feared_down_to_25_pct():
    """Common practice, as beside the constant; the advice names the same limit."""
    assert runs.too_fast(np.array([5.0, 5.0, 3.0]), np.array([25.1, 25.0, 60.0]), 3.8).tolist() == [
        True,
        False,
        False,
    ]


def test_too_large_a_collector_is_too_fast_for_green_oak_and_says_so():
    fine = kiln.solar(OAK, 1, "Madison", 6, days=30, sunny=True)
    fast = kiln.solar(OAK, 1, "Madison", 6, days=30, sunny=True, collector_ft2=150)
    assert fine.too_fast_days == 0
    assert fast.too_fast_days > 0
    assert "Cover the glass" in fast.advice[0] and "3.8 %" in fast.advice[0]
    assert f"until the wood is below {runs.LIMIT_ABOVE_MC:g} %." in fast.advice[0]
    assert np.all(fast.daily.loss_pct[fast.daily.too_fast] > fast.safe_loss_pct_per_day)


def test_winter_says_what_helps():
    run = kiln.solar(OAK, 1, "Madison", 12, mc_start_pct=20, days=30)
    assert np.isnan(run.days_to()) and run.mc_end_pct > 8
    assert "not reached" in run.advice[0] and "sunnier month" in run.advice[0]


FASTER = ("more heat", "larger machine", "lower humidity", "shed heat", "keeps it working", "more collector",
          "sunnier month", "stopping the fans", "shutting the vents", "vent more", "vents wider", "heating season",
          "drier room")  # fmt: skip


@pytest.mark.filterwarnings("ignore::woodcalc.checks.RangeWarning")
@pytest.mark.parametrize(
    "wood", ["white oak", "northern red oak", "black cherry", "butternut", "eastern white pine"]
)
def test_nothing_faster_is_advised_beside_too_fast(wood):
    """Woods, thicknesses and starts in each way, mild and harsh; where none was too fast, faster is said somewhere."""
    seen = {True: 0, False: 0}
    for inches, start in [(1, 30), (1, 70), (2, 35), (2, 70), (2, 14)]:
        charge = dict(mc_start_pct=start, mc_target_pct=8, load_bf=300)
        for run in (
            kiln.dehumidifier(wood, inches, days=60, **charge),
            kiln.dehumidifier(wood, inches, days=30, pints_per_day=20, room_f=45, insulation_r=2, **charge),
            kiln.dehumidifier(wood, inches, days=30, insulation_r=30, **charge),
            kiln.solar(wood, inches, "Madison, WI", 6, days=30, **charge),
            kiln.solar(wood, inches, "Phoenix", 6, days=20, collector_ft2=120, **charge),
            kiln.solar(wood, inches, "Madison, WI", 12, days=30, **charge),
            kiln.indoors(wood, inches, "Madison, WI", 1, days=30, **charge),
            kiln.indoors(wood, inches, "Madison, WI", 7, days=60, **charge),
        ):
            said = " ".join(run.advice)
            faster, slow = [word for word in FASTER if word in said], bool(run.too_fast_days)
            assert slow == ("Too fast on" in said)
            assert not (slow and faster), said
            assert not ("chamber cooler" in said and "Heat " in said), said
            assert not ("hade" in said and ("more collector" in said or "sunnier month" in said)), said
            assert not ("cooler room" in said and "more heat" in said), said
            seen[slow] += bool(faster)
    assert not seen[True] and seen[False]


def test_wood_that_sets_the_pace_is_given_time():
    """The air holds wood 2 points below the target, and the machine hardly works: no dial is left to turn."""
    run = kiln.dehumidifier("white oak", 2, mc_start_pct=35, mc_target_pct=8, days=60)
    assert run.daily.emc_pct.iloc[-1] < 7 and run.hourly.working.mean() < 0.1
    assert run.too_fast_days == 0 and run.advice[0].endswith("time, as the wood sets the pace.")
    fast = kiln.dehumidifier("white oak", 2, 300, None, 8, days=120)
    assert fast.too_fast_days and fast.advice[1].endswith("time: anything faster would check the wood.")
    small = kiln.dehumidifier("black cherry", 1, 500, 60, 8, 20, pints_per_day=10)
    assert "a larger machine" in " ".join(small.advice)


@pytest.mark.parametrize(
    ("wood", "inches"),
    [("butternut", 2), ("black locust", 1), ("eastern white pine", 1), ("Douglas-fir (coast)", 1)],
)
def test_where_no_safe_pace_is_published_none_is_praised(wood, inches):
    assert ways.safe_loss_pct_per_day(wood, inches) is None
    for start in (14, 30):
        table = kiln.compare(wood, inches, "Madison, WI", 7, mc_start_pct=start)
        assert table.too_fast_days.isna().all()
        for run in kiln.runs_of_each(wood, inches, "Madison, WI", 7, mc_start_pct=start):
            said = " ".join(run.advice)
            assert run.too_fast_days is None and "within the safe pace" not in said
            assert said.lower().count(runs.NO_PACE) == 1
    known = kiln.compare("black cherry", 1, "Madison, WI", 7)
    assert known.too_fast_days.tolist() == [0, 0, 0]


def test_days_to_is_where_the_curve_crosses():
    run = kiln.solar(OAK, 1, "Madison", 7, mc_start_pct=20)
    day = run.days_to(12)
    hours = np.concatenate([[20.0], run.hourly.mc_pct])
    assert np.interp(day * 24, np.arange(len(hours)), hours) == pytest.approx(12.0, abs=1e-9)
    assert run.days_to(25) == 0.0
    assert np.isnan(run.days_to(3))


def test_a_run_is_complete_and_says_its_margin():
    run = kiln.indoors("black walnut", 1, "Madison", "November")
    days = run.days_to()
    low, high = run.between
    assert low < days < high and f"({low:.0f} to {high:.0f})" in run.says() and run.says() in run.advice[-1]
    with pytest.raises(AttributeError):
        run.advice = ()
    from dataclasses import replace

    assert replace(run, mc_target_pct=3.0).advice != run.advice  # worked out from the run, not kept beside it


def test_the_margin_of_a_run_goes_through_the_season_that_follows():
    """Against the same charge of a wood made faster and slower by hand, by the hour: the outside of the bracket."""
    from dataclasses import replace

    january = kiln.indoors(OAK, 1, "Madison", "January")
    assert (
        january.days_to() < 70 and january.between[1] > 300
    )  # it misses the heating season, and waits for the next
    assert kiln.indoors("black walnut", 2, "Madison", "November").says().endswith("to over a year)")
    october = kiln.solar(OAK, 1, "Madison", "October", mc_start_pct=20, days=300)
    low, _ = kiln.give_or_take(october.days_to())
    assert october.between[0] > low + 10  # fast wood waits for the sun, too
    for run in (october, january):
        pace = runs.GIVE_OR_TAKE
        settled = replace(run, again=None)
        assert settled.between == kiln.give_or_take(run.days_to())
        by_hand = run.again(pace, step_h=1).days_to() if run is october else run.again(pace).days_to()
        assert run.between[0] == pytest.approx(
            by_hand, rel=0.03
        )  # its steps of six hours, told in whole days
    # a dehumidifier's room goes with the house through the season, and so does its bracket: by the daily air, by hand
    atlanta = kiln.runs_of_each(OAK, 1, "Atlanta", "July")[-1]
    still = kiln.dehumidifier(
        OAK,
        1,
        300,
        14,
        8,
        180,
        room_f=atlanta.hourly.outdoor_f[0],
        room_rh_pct=atlanta.settings["room_rh_pct"],
    )
    assert atlanta.days_to() < 70 < still.days_to() and atlanta.between[0] > 45
    late = kiln.solar(OAK, 1, "Madison", "August", mc_start_pct=25, mc_target_pct=7, days=120)
    assert (
        np.isnan(late.days_to()) and late.between[0] < 60
    )  # the likely one misses the sun, a fast one does not
    assert f"it is there in {late.between[0]:.0f}" in late.says()
    # where the air stays the same, a season apart is no season: fast and slow are the factor itself
    steady = climate.from_monthly("a cave", [60] * 12, [50] * 12)
    still = kiln.indoors(OAK, 1, steady, "May", heated=False, mc_target_pct=11)
    assert still.between == pytest.approx(kiln.give_or_take(still.days_to()), rel=0.02)


def test_dehumidifier_makes_its_own_heat_and_overheats():
    loose, tight = (
        kiln.dehumidifier(OAK, 1, mc_start_pct=20, insulation_r=r, heater_w=0, days=20) for r in (3, 25)
    )
    assert 95 > tight.daily.temp_max_f.max() > loose.daily.temp_max_f.max() + 5  # the limit holds
    assert any("stops at 95 F" in line for line in tight.advice)
    h = tight.hourly
    assert np.all(h.machine_btu[h.temp_f > 95.0] == 0) and h.too_warm.mean() > 0.3
    assert loose.hourly.too_warm.max() < 1e-4 and not any("stops at" in line for line in loose.advice)


def test_a_machine_works_as_much_as_its_air_asks_for():
    h = kiln.dehumidifier(OAK, 1, mc_start_pct=25, days=20, humidity_pct=45).hourly
    asked = np.clip((h.rh_pct - 45) / 5, 0, 1)
    assert np.allclose(h.working, np.minimum(asked, np.clip((95 - h.temp_f) / 1.8, 0, 1)), atol=1e-4)
    rated_w = 70 * 0.4732 / 24 / 1.9 * 1000  # pints a day -> liters an hour -> kW at 1.9 liters a kWh
    assert np.allclose(h.machine_btu, h.working * rated_w * 3600 / 1055.06, rtol=1e-6)


def test_a_cold_chamber_ices_the_coil_and_says_so():
    cold = kiln.dehumidifier(
        OAK, 1, mc_start_pct=30, days=20, room_f=40, heater_w=0, insulation_r=2, pints_per_day=30
    )
    heated = kiln.dehumidifier(OAK, 1, mc_start_pct=30, days=20, room_f=40)
    assert (cold.hourly.temp_f < 65).mean() > 0.5
    assert any("ice over" in line and "65 F" in line for line in cold.advice)
    assert not any("ice over" in line for line in heated.advice)


@pytest.mark.parametrize("room_f", [20, 35])
def test_a_machine_in_a_frosty_room_stands_still_and_says_so(room_f):
    run = kiln.dehumidifier("black cherry", 1, mc_start_pct=30, days=20, room_f=room_f, heater_w=0)
    h = run.hourly
    cold = np.append(room_f, h.temp_f[:-1]) < runs.MACHINE_FROM_F
    assert cold[0]  # the first hour counts like every other
    assert not h.loc[cold, ["working", "removed_lb", "machine_btu", "removed_btu", "too_warm"]].any(axis=None)
    assert any("colder than 41 F" in line and "takes no water" in line for line in run.advice)
    assert run.daily.heat_gap.max() < 1e-6 and run.daily.water_gap.max() < 1e-6
    if room_f == 20:  # what its fans give does not bring the chamber up
        assert cold.all() and run.hourly.removed_lb.sum() == 0
    warm = kiln.dehumidifier("black cherry", 1, mc_start_pct=30, days=20, room_f=65)
    assert not any("colder than 41 F" in line for line in warm.advice) and warm.hourly.working.iloc[0] > 0


def test_a_chamber_that_dries_by_its_leaks_says_so():
    """Ten pints a day under 8,000 bf: most of the water leaves with air, by the balance of the run itself."""
    small = kiln.dehumidifier("northern red oak", 1, load_bf=8000, mc_start_pct=20, pints_per_day=10)
    drained = small.hourly.removed_lb.sum()
    assert drained < 0.3 * small.water_lb
    line = next(line for line in small.advice if "leaks out with air" in line)
    assert f"Only {drained:.0f} of the {small.water_lb:.0f} lb" in line
    ample = kiln.dehumidifier("northern red oak", 1, load_bf=500, mc_start_pct=20, pints_per_day=70)
    assert not any("leaks out" in line for line in ample.advice)


def test_the_air_that_finishes_is_dry_enough_for_the_target():
    assert kiln.humidity_for(15) == kiln.humidity_for(15, 9) == 30.0
    for target in (5, 6, 7):
        rh = kiln.humidity_for(15, target)
        assert air.emc_pct(90, rh) == pytest.approx(target - 2, abs=0.05)
    assert kiln.humidity_for(60, 5) == 80.0
    # published: one charge was brought to 5.2 % (data/kiln_runs.csv, K03)
    assert kiln.dehumidifier(OAK, 1, mc_start_pct=20, mc_target_pct=5.2).days_to() < 60


def test_what_the_dehumidifier_takes_it_gives_back_as_heat():
    run = kiln.dehumidifier("white oak", 1, mc_start_pct=20, days=10)
    h = run.hourly[run.hourly.removed_lb > 0.01]
    per_lb = h.removed_btu / h.removed_lb
    # 1050 Btu/lb at 77 F, less 1 per 2 F of warmth, 5 % more below fibre saturation (from memory)
    assert per_lb.between(1050 * 0.97, 1050 * 1.06).all()


def test_house_is_dry_in_winter_and_damp_in_summer(report):
    rows = []
    for site in ("Madison, WI", "Phoenix, AZ", "Mobile, AL"):
        house = movement.indoors(site, cooled=True)
        rows.append((site, house.rh_pct[1], house.emc_pct[1], house.emc_pct[7], house.emc_pct.mean()))
    table = pd.DataFrame(
        rows, columns=["site", "January RH", "January EMC", "July EMC", "year EMC"]
    ).set_index("site")
    # most US homes hold 30-35 % in winter (Wengert, Wood Doctor column); January in Madison is colder than in most
    assert 22 < table["January RH"]["Madison, WI"] < 37
    # interior wood on the average: 8 % in most of the US, 6 % in the dry Southwest, 11 % on the damp coast
    # (Wood Handbook fig. 13-1); +/- 1.5 for one house against a map
    for site, published in [("Madison, WI", 8), ("Phoenix, AZ", 6), ("Mobile, AL", 11)]:
        assert table["year EMC"][site] == pytest.approx(published, abs=1.5)
    report("Wood indoors: room EMC (published yearly averages 8, 6 and 11 %)", table.reset_index())


def test_thick_stock_is_told_to_come_in_by_steps():
    run = kiln.indoors("white oak", 2, "Madison", "January", mc_start_pct=30)
    assert any("steps" in line for line in run.advice)
    quick = kiln.indoors(OAK, 1, "Madison", "January", mc_start_pct=60, days=30)
    slow = kiln.indoors(OAK, 1, "Madison", "January", mc_start_pct=60, days=30, covered=True)
    assert slow.daily.loss_pct.max() < quick.daily.loss_pct.max()


def test_compare_is_the_three_runs():
    table = kiln.compare("black cherry", 1, "Madison", 7).set_index("way")
    for run in kiln.runs_of_each("black cherry", 1, "Madison", 7):
        way = run.way
        assert table.days[way] == pytest.approx(run.days_to(), nan_ok=True)
        assert table.cost_usd[way] == pytest.approx(0.17 * run.kwh)
    assert table.kwh["indoors"] == 0 < table.kwh["solar kiln"] < table.kwh["dehumidifier"]


def test_safe_loss_is_the_published_table():
    # Conners, FOR-128, table 9, p. 91
    for wood, thin, thick in [
        (OAK, 3.8, 1.5),
        ("white oak", 2.5, 1.0),
        ("black cherry", 5.8, 2.3),
        ("yellow-poplar", 13.8, 5.5),
    ]:
        assert kiln.safe_loss_pct_per_day(wood, 1.0) == pytest.approx(thin)
        assert kiln.safe_loss_pct_per_day(wood, 2.0) == pytest.approx(thick)
    between = kiln.safe_loss_pct_per_day(OAK, 1.5)
    assert 1.5 < between < 3.8
    assert kiln.safe_loss_pct_per_day("ponderosa pine", 1.0) is None


def test_equalizing_settings_are_the_printed_ones(report):
    rows = []
    for temp, wet in [(180, 137), (170, 127)]:  # Boone et al., FPL-GTR-57, app. A, for a target of 7 %
        emc = air.emc_pct(temp, air.rh_from_wet_bulb_pct(temp, wet))
        rows.append(
            (f"EMC at the printed {temp} F, wet bulb {wet}; target 7 % less 3, less 2", temp, "4-5", emc)
        )
        assert 4 <= emc <= kiln.equalize(7, temp).emc_pct == 5
    # NC State note on stresses: at 170 F, wet bulb 149 is 7.6 % EMC and 156 is 9.6 %
    for wet, emc in [(149, 7.6), (156, 9.6)]:
        ours = air.emc_pct(170, air.rh_from_wet_bulb_pct(170, wet))
        rows.append((f"EMC at 170 F, wet bulb {wet}", 170, str(emc), ours))
        # kiln tables have whole degrees; half a degree of wet bulb is 0.2
        assert ours == pytest.approx(emc, abs=0.5)
    report(
        "Equalizing and conditioning: published and ours",
        pd.DataFrame(rows, columns=["what", "temp_f", "published", "ours"]),
    )
    assert kiln.condition(7, 170).emc_pct == 11 and kiln.condition(7, 170, "softwood").emc_pct == 10


def test_stress_table_has_the_three_cases():
    table = kiln.stress_test()
    assert len(table) == 3 and table.notna().all(axis=None)


def test_heating_times_against_the_printed_table(report):
    rows = tables.read("heating_times")  # Wood Handbook FPL-GTR-190 (2010), table 20-8
    ours = [
        heat.minutes_to_core(
            r.size_in, r.start_f, r.air_f, r.air_f - r.wet_bulb_depression_f, r.species, width_in=r.size_in
        )
        for r in rows.itertuples()
    ]
    table = rows[["size_in", "wet_bulb_depression_f", "start_f", "minutes", "minutes_99_pct"]].assign(
        ours=ours
    )
    table["long_side"] = heat.LONG_SIDE * table.ours
    assert (table.long_side >= table.minutes_99_pct).all()  # short is the dangerous side
    table["error_pct"] = 100 * (table.ours / table.minutes - 1)
    report(
        "Heating to 133 F in the middle, ponderosa pine squares in air of 160 F (Wood Handbook table 20-8)",
        table,
    )
    # the printed figures are themselves a regression: its 99 % bound lies 45 % higher, 16 % a standard deviation
    assert table.error_pct.abs().max() < 15
    assert abs(table.error_pct.mean()) < 5


def test_boards_heat_on_the_long_side(report):
    """Thin boards were not in the fit; ours are slow there."""
    rows = [
        # Simpson 2003, Wood and Fiber Science 35(2):175-186 (abstract): slash pine near saturation, 160 F
        (
            "slash pine (loblolly for ours) 1.0 in, near saturation",
            15,
            heat.minutes_to_core(1.0, 75, 160, 158, "loblolly pine"),
        ),
        (
            "slash pine (loblolly for ours) 1.8 in, near saturation",
            38,
            heat.minutes_to_core(1.8, 75, 160, 158, "loblolly pine"),
        ),
        # Simpson et al. 2005, FPL-RP-626, second-hand: five hardwoods, 160 F
        ("hardwood 1 in, shortest", 15, heat.minutes_to_core(1.0, 75, 160, 158, "red maple")),
        ("hardwood 6 x 6 in, longest", 300, heat.minutes_to_core(6.0, 75, 160, 158, OAK, width_in=6)),
    ]
    table = pd.DataFrame(rows, columns=["what", "published min", "ours min"])
    table["ratio"] = table["ours min"] / table["published min"]
    table["why wider"] = [
        "the film was fitted to heavy squares; steam condensing on cold thin boards heats faster"
        if r > 1.25
        else ""
        for r in table.ratio
    ]
    report("Heating times outside the fit", table)
    assert table.ratio.between(0.75, 3).all()  # never much too short: short is the dangerous side


def test_conduction_is_that_of_a_numerical_slab():
    """`cold_share` against the method of lines (scipy solve_ivp), centre of a slab with a film."""
    biot, cells = 1.7, 400
    dx = 1 / cells

    def rate(_, u):
        flux = np.zeros(cells + 1)
        flux[1:-1] = np.diff(u) / dx
        flux[-1] = -u[-1] * 2 * biot / (2 + biot * dx)
        return np.diff(flux) / dx

    got = solve_ivp(
        rate, (0, 0.8), np.ones(cells), method="BDF", t_eval=[0.2, 0.5, 0.8], rtol=1e-7, atol=1e-9
    )
    for fourier, centre in zip(got.t, got.y[0], strict=True):
        assert heat.cold_share(fourier, biot) == pytest.approx(centre, abs=2e-4)  # second-order in 1/400


def test_fans_that_move_the_air_twice_as_fast_take_four_times_the_power():
    """The square of the speed is common practice; no source is seen for it."""
    runs_of = {
        ft_min: kiln.dehumidifier(OAK, 1, days=2, stop=False, fan_ft_min=ft_min) for ft_min in (150, 300)
    }
    btu = {ft_min: run.hourly["fan_btu"].iloc[0] for ft_min, run in runs_of.items()}
    assert btu[300] == pytest.approx(4 * btu[150]) and btu[150] > 0


@given(st.floats(1, 8), st.floats(40, 90), st.floats(148, 158))
@settings(max_examples=25, deadline=None)
def test_heating_directions(size, start, wet):
    base = heat.minutes_to_core(size, start, 160, wet)
    assert heat.minutes_to_core(size * 1.2, start, 160, wet) > base
    assert heat.minutes_to_core(size, start + 5, 160, wet) < base
    assert heat.minutes_to_core(size, start, 160, wet + 1) < base
    assert heat.minutes_to_core(size, start, 160, wet, width_in=size) < base
    h = heat.treat(size, start, 160, wet)
    assert h.minutes == pytest.approx(base + 30)
    assert h.long_side_minutes == pytest.approx(heat.LONG_SIDE * base + 30)


def test_dry_heat_is_refused_with_the_reason():
    # Wood Handbook FPL-GTR-190, p. 20-2: near or below a wet bulb of 133 F heating takes far longer
    with pytest.raises(InputError, match="Keep the wet bulb above about 14"):
        heat.minutes_to_core(1, 60, 160, 135)
    assert heat.minutes_to_core(1, 60, 160, heat.wet_bulb_needed_f(160)) > 0


# why a row of ours is more than 25 % from the published one
_WHY = pd.read_csv(Path(__file__).parent / "reference" / "kiln_gaps.csv", index_col="row").why


def _row(rows, key, what, low, high, ours, unit, source):
    near = low * 0.75 <= ours <= high * 1.25
    published = f"{low:g}" if low == high else f"{low:g}-{high:g}"
    rows.append(
        (
            key,
            what,
            published,
            round(ours, 1),
            unit,
            "yes" if near else "no",
            "" if near else _WHY[key],
            source,
        )
    )


def _sunlit_rise(run):
    h = run.hourly[run.hourly.hour.between(9, 16)]
    return (h.temp_f - h.outdoor_f).groupby(h.day).mean().iloc[1:].median()


_COLUMNS = ["row", "what", "published", "ours", "unit", "within 25 %", "why not", "source"]


def test_solar_rules_published_and_ours(report, scored):
    rules = tables.read("solar_kiln_rules").set_index("id").source
    rows, place = [], "Charleston, WV"
    # largest collector for 500 bf whose cloudless June days are safe for green red oak
    low, high = 50.0, 180.0
    for _ in range(9):
        area = (low + high) / 2
        worst = kiln.solar(
            OAK, 1, "Madison", "2026-06-01", days=20, collector_ft2=area, sunny=True, stop=False
        ).daily.loss_pct.max()
        low, high = (area, high) if worst <= 3.8 else (low, area)
    _row(
        rows,
        "D01",
        "load for 1 ft2 of collector, safe for green red oak on any June day",
        10,
        10,
        500 / low,
        "bf/ft2",
        rules.D01,
    )
    slopes = np.arange(20, 71, 5.0)
    sun = [collector.year(climate.get("Madison"), s, 180.0, 2, False)[2].sum() for s in slopes]
    _row(
        rows,
        "D02",
        "best slope over the year at 43.1 N",
        43,
        43,
        slopes[np.argmax(sun)],
        "degrees",
        rules.D02,
    )
    at_latitude = np.interp(43, slopes, sun) / max(sun)
    assert at_latitude > 0.97
    _row(rows, "D03", "heat to evaporate water", 1000, 1000, 2442 / 2.326, "Btu/lb", rules.D03)
    leaky = dict(mc_start_pct=20, mc_target_pct=4, days=60, glazing=1, insulation_r=1, vents=1.0)
    stops = [
        kiln.solar(OAK, 1, place, "2026-08-01", fan_hours=f, **leaky).mc_end_pct for f in ("always", (9, 17))
    ]
    _row(
        rows,
        "D04",
        "leaky single-glass kiln, vents open, fans day and night: stops at",
        15,
        15,
        stops[0],
        "% MC",
        rules.D04,
    )
    tight = dict(mc_start_pct=20, mc_target_pct=4, days=60)
    ends = [
        kiln.solar(OAK, 1, place, "2026-07-01", fan_hours=f, **tight).mc_end_pct for f in ("always", (8, 18))
    ]
    _row(
        rows,
        "D04",
        "insulated kiln, vents by humidity, fans day and night: stops at",
        15,
        15,
        ends[0],
        "% MC",
        rules.D04,
    )
    _row(
        rows,
        "D07",
        "insulated kiln, fans 8 to 18 h, 60 summer days: ends at",
        6,
        10,
        ends[1],
        "% MC",
        rules.D07,
    )
    green = kiln.solar(OAK, 1, place, "2026-07-01", days=60, sunny=True)
    dry = kiln.solar(OAK, 1, place, "2026-07-01", mc_start_pct=20, sunny=True)
    _row(
        rows,
        "D06",
        "rise on sunny days, green charge, mean of 9-17 h",
        20,
        30,
        _sunlit_rise(green),
        "F",
        rules.D06,
    )
    _row(
        rows,
        "D06 air-dried",
        "rise on sunny days, air-dried charge, mean of 9-17 h",
        20,
        30,
        _sunlit_rise(dry),
        "F",
        rules.D06,
    )
    usual = kiln.solar(OAK, 1, place, "2026-07-01", mc_start_pct=20)
    _row(
        rows,
        "D08",
        "peak, average July days (published: generally less than)",
        120,
        120,
        usual.daily.temp_max_f.max(),
        "F",
        rules.D08,
    )
    table = pd.DataFrame(rows, columns=_COLUMNS)
    report("Solar kiln rules, published and ours", table)
    assert (table.loc[table["within 25 %"] == "no", "why not"].str.len() > 10).all()
    near = table["within 25 %"] == "yes"
    assert near[table.row.isin(["D03", "D06", "D07", "D08"])].all()
    number = "solar kiln, dehumidifier, house"
    scored(number, fails=f"{_sunlit_rise(dry):.0f} F with an air-dried charge, 20 to 30 published")
    scored(number, fails=f"60 summer days end at {ends[1]:.1f} %, 6 to 10 published")
    scored(number, fails=f"fans day and night at {ends[0]:.1f} %, about 15 published")
    # the direction of the fan rule, where nights are as damp as outdoors
    assert stops[0] > stops[1] - 0.3 > ends[1]


def _san_juan():
    # monthly normals of San Juan, Puerto Rico, recalled: good to 2 F, 3 % RH and 0.3 kWh
    return climate.from_monthly(
        "San Juan, PR",
        [77, 77, 78, 79, 81, 82, 82, 83, 82, 82, 80, 78],
        [75, 73, 72, 72, 75, 75, 75, 75, 76, 76, 76, 76],
        [83, 83, 84, 86, 87, 89, 88, 89, 89, 88, 86, 84],
        [71, 71, 71, 73, 75, 76, 77, 77, 76, 76, 74, 73],
        None,
        [4.3, 5.0, 5.7, 6.1, 5.8, 6.1, 6.1, 5.9, 5.4, 4.9, 4.4, 4.1],
        latitude=18.4,
        longitude=-66.0,
    )


HARDWOODS = (OAK, "black cherry", "red maple", "yellow-poplar")
SOFTWOODS = ("eastern white pine", "red pine", "eastern hemlock")
MAHOGANY = ("black cherry", "sassafras")  # on either side of its specific gravity, 0.45
# A greenhouse of plastic: sun through the walls as well counts as twice the rule's glass
GREENHOUSE = dict(
    site="San Juan", start=3, mc_start_pct=50, mc_target_pct=12, glazing=1, insulation_r=2, load_bf=2000,
    collector_ft2=400, fan_hours="always", vents=0.3,
)  # fmt: skip
DRIED = dict(site="Charleston, WV", mc_start_pct=20)
# The laboratory's machine and temperatures are not stated: heated to 95 F, stopped at 110, which is between the
# first and last steps that are usual (common practice); the next table says what other temperatures would do
MACHINE = dict(load_bf=650, pints_per_day=100, heat_to_f=95, limit_f=110, room_f=70)
HOUSE = dict(site="Springfield, IL", start=10, mc_start_pct=None, mc_target_pct=10)
BOTH = (False, True)  # "good" and "moderately sunny" weather: between average and cloudless days
# How each published run of data/kiln_runs.csv is told to our model: way, woods, thicknesses, settings, skies
RUNS = {
    "S01": ("solar", MAHOGANY, 1, GREENHOUSE, (False,)),
    "S02": ("solar", MAHOGANY, 1.25, GREENHOUSE, (False,)),
    "S03": ("solar", MAHOGANY, 2, GREENHOUSE, (False,)),
    "S04": (
        "solar",
        ("sugar maple", "white ash", "yellow birch"),
        1.25,
        GREENHOUSE | dict(mc_start_pct=60),
        (False,),
    ),
    "S08": ("solar", HARDWOODS, 1, dict(site="Madison", start=6, load_bf=450), BOTH),
    "S08b": ("solar", HARDWOODS, 2, dict(site="Madison", start=5, load_bf=600, collector_ft2=45), BOTH),
    "S08c": ("solar", SOFTWOODS, 1, dict(site="Madison", start=6, load_bf=450), BOTH),
    "S10": (
        "solar",
        ("Douglas-fir",),
        1,
        dict(site="Redmond, OR", start=6, load_bf=900, mc_target_pct=10),
        (False,),
    ),
    "S18": ("solar", HARDWOODS, 1, DRIED | dict(start=7), (False,)),
    "S18w": ("solar", HARDWOODS, 1, DRIED | dict(start=12), (False,)),
    "S19": ("solar", HARDWOODS, 1, dict(site="Roanoke", start=6, load_bf=1000), BOTH),
    "K01": ("dehumidifier", ("red maple", OAK, "eastern white pine"), 1, MACHINE, ()),
    "K02": ("dehumidifier", ("black cherry",), 1.25, MACHINE, ()),
    "K03": ("dehumidifier", (OAK,), 1, MACHINE, ()),
    "K04": ("dehumidifier", 3 * (OAK,) + 2 * ("shagbark hickory",) + ("black cherry",), 1, MACHINE, ()),
    "H01": ("indoors", ("red maple",), 1, HOUSE, ()),
    "H02": ("indoors", ("black cherry",), 1, HOUSE, ()),
    "H03": ("indoors", ("white oak",), 1, HOUSE, ()),
}
# why a row of ours is further off than the margin
WHY_OFF = {
    "S08c": "a rule of thumb; our pines are slow in the forecast outdoors, too",
    "S04": "eleven tropical woods, three of ours",
    "K01": "woods that nobody names, and a temperature that is not told: a cooler kiln would take as long",
    "K02": "a temperature that is not told, or a cherry faster than its published air-drying days",
}


def _published():
    """The rows of the data file; one number of days where a range is given: its geometric mean."""
    table = tables.read("kiln_runs").set_index("id")
    return table.assign(published=np.sqrt(table.days_low * table.days_high))


def _ours(key, published, bracket=False, **change):
    """[days], or [days, early, late]: the geometric mean of its woods and skies."""
    way, woods, inches, given, skies = RUNS[key]
    given = given | change
    if way == "dehumidifier":
        given |= {
            f"mc_{end}_pct": float(published.loc[key, f"mc_{at}_pct"])
            for end, at in (("start", "start"), ("target", "end"))
        }
    if given.get("site") == "San Juan":
        given["site"] = _san_juan()
    each = [
        getattr(kiln, way)(wood, inches, days=730, **given, **({"sunny": sky} if skies else {}))
        for wood in dict.fromkeys(woods)
        for sky in skies or (None,)
        for _ in range(woods.count(wood))
    ]
    return np.exp(
        np.mean(np.log([(run.days_to(), *(run.between if bracket else ())) for run in each]), axis=0)
    )


@pytest.fixture(scope="module")
def beside():
    """Every published run with days that is told, beside ours."""
    published = _published()
    table = published.loc[
        list(RUNS), ["dryer", "site", "species", "thickness", "days", "published", "use", "source"]
    ]
    table[["ours", "low", "high"]] = [_ours(key, published, bracket=True) for key in RUNS]
    return table.assign(ratio=table.ours / table.published)


def test_every_published_run_and_ours(beside, report, scored):
    """The margin that lessons and pictures print is the one that these rows have."""
    off = np.exp(np.abs(np.log(beside.ratio)))
    fitted = beside.use == "fitted"
    shown = beside.assign(why=[WHY_OFF.get(k, "") if off[k] > 1.3 else "" for k in beside.index])
    report(
        "Kilns and rooms: every published run with days, and ours",
        shown[
            ["dryer", "species", "thickness", "days", "published", "ours", "ratio", "use", "why"]
        ].reset_index(),
    )
    left = _published()
    left = left[~left.index.isin(beside.index)].reset_index()
    report(
        "Published runs that are counted nowhere, and why", left[["id", "dryer", "species", "days", "use"]]
    )
    assert len(left) + len(beside) == len(_published()) and left.use.str.len().min() > 5
    assert set(beside.use) == {"fitted", "check"} and not left.use.isin(["fitted", "check"]).any()
    rows = []
    for name, sel in (("fitted", fitted), ("left out of the fit", ~fitted), ("all", fitted | ~fitted)):
        log = np.log(beside.ratio[sel])
        near = [(off[sel] <= most).mean() for most in (1.25, runs.GIVE_OR_TAKE)]
        rows.append((name, len(log), np.exp(log.mean()), np.exp(np.sqrt((log**2).mean())), *near))
    columns = [
        "rows",
        "n",
        "ours/published, mean",
        "rms factor",
        "within 1.25",
        f"within {runs.GIVE_OR_TAKE:g}",
    ]
    report("The margin that follows: days of any way", pd.DataFrame(rows, columns=columns))
    assert set(off.index[off > runs.GIVE_OR_TAKE]) <= set(WHY_OFF)
    # the printed margin holds three in four of the runs that nothing was fitted to, and one more; one of 1.25 would not
    inside = off[~fitted] <= runs.GIVE_OR_TAKE
    assert 0.7 < inside.mean() < 0.85 and (off[~fitted] <= 1.25).mean() < 0.6
    # the bracket through the season holds as many: so the words below are true of what is printed
    within = (beside.low <= beside.published) & (beside.published <= beside.high)
    assert (within.sum(), within[~fitted].sum()) == ((off <= runs.GIVE_OR_TAKE).sum(), inside.sum())
    held, alone = (100 * (off[sel] <= runs.GIVE_OR_TAKE).mean() for sel in (fitted | ~fitted, ~fitted))
    said = f"of all {len(off)}, {held:.0f} %, and {100 * (off <= 1.25).mean():.0f} % within a quarter"
    quarter = off[~fitted] <= 1.25
    said += f", {100 * quarter.mean():.0f} % ({quarter.sum()} of {len(quarter)}) of those left out"
    scored("solar kiln, dehumidifier, house", fitted_to=f"on {fitted.sum()} solar runs")
    scored(
        "solar kiln, dehumidifier, house",
        left_out=f"{(~fitted).sum()} runs; {len(left)} more rows are counted nowhere",
    )
    several = f"left out, {alone:.0f} % ({inside.sum()} of {len(inside)}) within half as long again"
    scored(
        "solar kiln, dehumidifier, house",
        off_by=several,
        plan_on=f"it held {inside.sum()} of {len(inside)} runs",
    )
    scored("solar kiln, dehumidifier, house", off_by=said)
    lesson = (tables.folder().parent / "lessons/09-the-last-points.ipynb").read_text(encoding="utf-8")
    assert f"Of all {len(off)}, {held:.0f} % lie in the bracket" in lesson
    assert f"{alone:.0f} % lie in the bracket" in lesson
    assert off.max() < 2.3  # no row is off by more than the rule of thumb for softwoods
    scored("solar kiln, dehumidifier, house", fails=f"{off.max():.1f} times as slow as the rule of thumb")
    # neither way on the whole: a tenth
    assert np.log(beside.ratio).mean() == pytest.approx(0, abs=0.12)


def test_the_one_fitted_number(beside, report, monkeypatch):
    """Air speed in a yard's pile, against the rows that it is fitted to: half of it and twice as much fit worse."""
    published, fitted = _published(), beside[beside.use == "fitted"]
    gaps = {ways.YARD_FT_MIN: np.log(fitted.ratio)}
    for speed in (ways.YARD_FT_MIN / 2, 2 * ways.YARD_FT_MIN):
        monkeypatch.setattr(ways, "YARD_FT_MIN", speed)
        gaps[speed] = np.log([_ours(key, published)[0] / published.published[key] for key in fitted.index])
    rows = [(v, np.exp(gap.mean()), np.exp(np.sqrt((gap**2).mean()))) for v, gap in sorted(gaps.items())]
    table = pd.DataFrame(rows, columns=["ft/min in the yard's pile", "ours/published, mean", "rms factor"])
    report("The one number fitted to published kiln runs (" + ", ".join(fitted.index) + ")", table)
    slow, kept, fast = table["rms factor"]
    assert kept < 1.25 and kept < slow - 0.02 and kept < fast - 0.02
    assert table["ours/published, mean"][1] == pytest.approx(1, abs=0.03)


def _budget(wood, days=14, **change):
    """What the sun on the black surface of the first weeks goes into, and what the charge loses a day."""
    run = kiln.solar(wood, 1, "Madison", 6, load_bf=450, days=300, **change)
    first = (run.settings["first_day"] - 1) * 24
    sun = collector.year(
        climate.get("Madison"), run.settings["slope_deg"], 180.0, 2, change.get("sunny", False)
    )[2]
    kept = (
        sun[first : first + days * 24].sum()
        * run.settings["collector_ft2"]
        * units.M2_PER_FT2
        * 3600
        / units.J_PER_BTU
    )
    hours = run.hourly[run.hourly.day <= days]
    share = {k: 100 * hours[f"{k}_btu"].sum() / kept for k in ("sun", "fan", "walls", "vent", "evaporation")}
    return dict(wood=wood, days=run.days_to(), loss=run.daily.loss_pct[:days].mean(), kwh=run.kwh) | share


def test_faster_air_dries_by_the_electricity_of_its_fans(report, monkeypatch):
    """Green wood under the rule's glass is short of heat, not of air: 400 ft/min brings what its fans' watts bring."""
    rows, watts = [], ways.FAN_W_PER_BF
    for wood in (OAK, "yellow-poplar", "eastern white pine"):
        for told, change in (("150 ft/min", {}), ("400 ft/min", dict(fan_ft_min=400))):
            monkeypatch.setattr(ways, "FAN_W_PER_BF", watts)
            rows.append(dict(air=told) | _budget(wood, **change))
        monkeypatch.setattr(ways, "FAN_W_PER_BF", watts * (150 / 400) ** 2)
        rows.append(dict(air="400 ft/min by the watts of 150") | _budget(wood, fan_ft_min=400))
    monkeypatch.undo()
    table = pd.DataFrame(rows).round(1)
    report("Green 4/4, 450 bf, Madison in June: % of the sun kept by the glass, first 14 days", table)
    for wood, of in table.groupby("wood"):
        slow, fast, saving = of.days
        assert fast < 0.6 * slow and 0.8 * slow < saving < slow, wood
        assert of.fan.iloc[1] > 60  # per cent of what the sun brings


def test_least_days_of_green_wood_by_the_heat_there_is(report):
    """No kiln is faster than its heat: all that the glass and the fans bring, in water, at 1050 Btu a pound."""
    rows, sun = [], {s: collector.year(climate.get("Madison"), 43.1, 180.0, 2, s)[2] for s in BOTH}
    for wood in (*HARDWOODS, *SOFTWOODS):
        each, row = species.get(wood), dict(wood=wood)
        water_lb = 450 / 12 * 62.4 * each.basic_sg * (each.start_mc_pct - 8) / 100
        for s, name in ((False, "average days"), (True, "cloudless")):
            kept_w = sun[s][165 * 24 : 225 * 24].mean() * 45 * units.M2_PER_FT2 * 0.741
            a_day = (kept_w * 24 + 0.3 * 450 * 10) * 3600 / units.J_PER_BTU  # glass, and fans for ten hours
            row[f"least, {name}"] = water_lb * 1050 / a_day
            run = kiln.solar(wood, 1, "Madison", 6, load_bf=450, days=300, sunny=s, rough=True)
            row[f"ours, {name}"] = run.days_to()
            run = kiln.solar(
                wood, 1, "Madison", 6, load_bf=450, days=300, sunny=s, rough=True, night_fans_above_pct=20
            )
            row[f"fans at night over 20 %, {name}"] = run.days_to()
        rows.append(row)
    table = pd.DataFrame(rows).round(1)
    report(
        "Green 4/4 to 8 %, 450 bf under 45 ft2, Madison from mid-June; published: 42 days, softwoods 21",
        table,
    )
    for name in ("average days", "cloudless"):
        assert (table[f"least, {name}"] < 0.7 * table[f"ours, {name}"]).all()
        assert (table[f"fans at night over 20 %, {name}"] < 0.95 * table[f"ours, {name}"]).all()


def test_fans_at_night_are_for_wet_wood():
    """Published rule D04: below 20 % the fans wait for the heat; so it says nothing against them above it."""
    day, night = (kiln.solar(OAK, 1, "Madison", 6, 450, night_fans_above_pct=n, days=200) for n in (None, 20))
    assert night.days_to() < 0.92 * day.days_to() and night.too_fast_days == 0
    fans = night.hourly.groupby("day").fans.sum()
    wet = night.daily.mc_pct > 20
    assert (fans[wet] == 24).all() and (fans[~wet].iloc[1:] == 10).all()
    assert night.daily.heat_gap.max() < 1e-6 and night.daily.water_gap.max() < 1e-6
    same = kiln.solar("black cherry", 1, "Madison", 6, mc_start_pct=19, night_fans_above_pct=20)
    assert same.days_to() == kiln.solar("black cherry", 1, "Madison", 6, mc_start_pct=19).days_to()


def test_heat_and_water_go_through_one_film():
    """Chilton & Colburn's analogy: what speeds the water speeds the heat."""
    (slow_water, slow_heat), (fast_water, fast_heat) = ways.films(1, 100), ways.films(1, 400)
    assert fast_heat / slow_heat == pytest.approx(fast_water / slow_water) == pytest.approx(2)


def _source_of(key):
    return (
        {"S0": "San Juan", "K0": "dehumidifier", "H0": "house"}.get(key[:2], "other")
        if key[:3] != "S08"
        else "S08"
    )


def test_the_fitted_number_on_all_runs_and_on_those_of_other_sources(report, monkeypatch):
    """Each source left out in turn: the speed that suits the other runs, and how far off the ones left out are."""
    published, room = _published(), ways.ROOM_FT_MIN / ways.YARD_FT_MIN
    sources = pd.Series({key: _source_of(key) for key in RUNS})
    gaps = {}
    for speed in (12.5, 18.0, 25.0, 35.0, 50.0):
        monkeypatch.setattr(ways, "YARD_FT_MIN", speed)
        monkeypatch.setattr(ways, "ROOM_FT_MIN", room * speed)
        each = {
            key: _ours(key, published, **(dict(rough=True) if RUNS[key][0] == "solar" else {}))[0]
            for key in RUNS
        }
        gaps[speed] = np.log(pd.Series(each) / published.published[list(RUNS)])
    gaps = pd.DataFrame(gaps)
    report(
        "The fitted air speed on all runs together",
        pd.DataFrame(
            {"ours/published, mean": np.exp(gaps.mean()), "rms factor": np.exp(np.sqrt((gaps**2).mean()))}
        )
        .rename_axis("ft/min")
        .reset_index(),
    )
    rows = []
    for source in sources.unique():
        out = sources == source
        best = (gaps[~out] ** 2).mean().idxmin()
        off = [np.exp(np.sqrt((gaps.loc[out, v] ** 2).mean())) for v in (best, 25.0)]
        rows.append((source, out.sum(), best, *off))
    columns = ["left out", "runs", "best for the others, ft/min", "rms factor of those left out", "with 25"]
    table = pd.DataFrame(rows, columns=columns)
    report("Each source left out in turn", table)
    rms = np.exp(np.sqrt((gaps**2).mean()))
    # all runs want 25 to 35 and hardly care which; half and twice are no better
    assert rms[25.0] < rms.min() + 0.02 and rms[25.0] < min(rms[12.5], rms[50.0])
    # a source left out is met with 25 as well as with what the others would choose, or better
    assert (table["with 25"] <= table["rms factor of those left out"] + 1e-9).all()


def test_a_run_over_120_f_has_no_margin_and_no_safe_pace():
    """Where the scorecard says that ours is too fast, no band is told; an October run of dry wood in the desert too."""
    for month in (6, 10):
        hot = kiln.solar("black cherry", 1, "Phoenix", month, mc_start_pct=20)
        assert hot.too_hot and "or longer, hotter than ever tried" in hot.says()
        assert "(" not in hot.says() and not any("safe pace." in line for line in hot.advice)
        assert any("hotter than ever tried" in line for line in hot.advice)
    cool = kiln.solar("black cherry", 1, "Madison", 6, mc_start_pct=20)
    assert not cool.too_hot and "within the safe pace" in cool.advice[-1]


def test_a_rough_look_is_near_the_run(report):
    """Steps of two hours against those of half an hour: thin and thick stock, little and much, all seasons.

    The greatest gap of forty runs drawn at random (woods, places, months, loads, 1 to 3 in) was 0.08 points, and 0.05
    at the driest: `ROUGH_PCT` is held against these, the worst of them among the charges here.
    """
    charges = [
        ("quaking aspen", 1.5, "Flagstaff, AZ", "2026-05-15", 500.0, 19.4),
        ("bigtooth aspen", 3, "Portland, OR", "2026-09-15", 200.0, 19.1),
        ("butternut", 3, "Baltimore, MD", "2026-01-15", 2000.0, 21.8),
        ("northern red oak", 2, "Madison", "2026-10-31", 2000.0, 25.0),
        ("white oak", 1, "Madison", "2026-07-18", 1000.0, 24.9),
        ("yellow-poplar", 2, "Mobile, AL", "2026-08-18", 300.0, 24.9),
    ]
    rows = []
    for charge in charges:
        run, rough = (kiln.solar(*charge, 7.0, days=120, stop=False, rough=r) for r in (False, True))
        gap = rough.hourly.mc_pct.to_numpy() - run.hourly.mc_pct.to_numpy()[1::2]
        ends = [r.hourly.mc_pct.min() for r in (run, rough)]
        rows.append((*charge[:4], *ends, np.abs(gap).max()))
        assert rough.daily.heat_gap.max() < 1e-6 and rough.daily.water_gap.max() < 1e-6
        assert rough.days_to(15) == pytest.approx(run.days_to(15), abs=1, nan_ok=True)
    table = pd.DataFrame(rows, columns=["wood", "in", "place", "from", "driest", "rough", "greatest gap"])
    report("A solar kiln in steps of two hours and of half an hour, % MC", table.round(3))
    assert table["greatest gap"].max() < kiln.ROUGH_PCT / 3
    assert (table.rough - table.driest).abs().max() < kiln.ROUGH_PCT / 5


def test_tables_of_the_ways_say_of_hot_runs_what_the_run_itself_says():
    table = kiln.compare("black cherry", 1, "Phoenix", "June", mc_start_pct=20).set_index("way")
    assert table.too_hot.tolist() == [False, True, False]
    for run in kiln.runs_of_each("black cherry", 1, "Phoenix", "June", mc_start_pct=20):
        words = kiln.took(table.days[run.way], table.too_hot[run.way], 180, between=table.between[run.way])
        assert run.says().startswith(f"8 % after {words}")
        assert ("or longer, hotter than ever tried" in words) == run.too_hot
    cut_short = kiln.solar("black cherry", 1, "Phoenix", 6, mc_start_pct=20, days=2)
    assert cut_short.too_hot and kiln.took(cut_short.days_to(), True, 2) == "not in 2 days"


def test_a_plan_says_of_hot_runs_what_the_run_itself_says(monkeypatch):
    """A wood with its last points to go where the sun is hot: table and sentence."""
    forecast = drying.air_dry("black cherry", 1, "Phoenix", "2026-05-15")
    boards = pd.DataFrame({"species": ["black cherry"], "board_feet": [300.0]})
    given = {name: value for name, (value, *_) in plan.ASSUMPTIONS.items()}
    monkeypatch.setattr(plan_steps, "first_season", lambda _: (forecast.start, 20.0))
    step = plan_steps.finish_step(forecast, boards, given)
    solar = step.table.set_index("way").took["solar kiln"]
    assert solar.endswith(" or longer, hotter than ever tried")
    assert f"solar kiln, {solar.replace(' or', ' days or', 1)}" in step.says
    for (
        row
    ) in step.table.itertuples():  # everything else has its give-or-take beside it, in table and sentence
        low, high = row.between
        margin = f"{row.days:.0f} days ({low:.0f} to {high:.0f})"
        assert row.too_hot or (
            row.took == margin.replace(" days", "") and f"{row.way}, {margin}" in step.says
        )
    assert any("In brackets" in note for note in step.notes) and "70 pints a day whatever" in step.notes[0]
    assert (
        kiln.dehumidifier("black cherry", 1, 2000, 16, 7, 5).settings["pints_per_day"]
        == kiln.PINTS_PER_DAY
        == 70
    )


def test_green_hardwood_in_wisconsin(beside, report):
    """Published (S08): 450 bf of 4/4 hardwood in six weeks or less of good weather."""
    rows = []
    for wood in HARDWOODS:
        given = dict(load_bf=450, days=250)
        rows.append(
            (
                wood,
                "6 weeks or less",
                *(kiln.solar(wood, 1, "Madison", 6, sunny=s, **given).days_to() / 7 for s in (True, False)),
            )
        )
    table = pd.DataFrame(rows, columns=["wood", "published", "ours, cloudless, weeks", "average days, weeks"])
    report("Green 4/4 in a solar kiln at Madison from mid-June to 8 %", table)
    assert (table["ours, cloudless, weeks"] < 6 * runs.GIVE_OR_TAKE).all()
    assert table["ours, cloudless, weeks"].median() < 6.3


def test_what_the_temperature_is_worth_in_the_dehumidifier_runs(beside, report, scored):
    """The temperature is not told, and chosen by hand: the score at both ends of what is usual stands beside ours."""
    published, rows, number = _published(), [], "solar kiln, dehumidifier, house"
    for key in ("K01", "K02", "K03", "K04"):
        each = [
            _ours(key, published, heat_to_f=h, limit_f=top)[0] for h, top in ((85, 95), (95, 110), (110, 120))
        ]
        rows.append((key, published.published[key], *each))
    scored(number, fitted_to=f"heated to {MACHINE['heat_to_f']} F and stopped at {MACHINE['limit_f']}")
    fitted, told = beside.use == "fitted", []
    for k in (2, 4):  # the coldest and the hottest
        ratio = beside.ratio.copy()
        ratio.loc[[row[0] for row in rows]] = [row[k] / row[1] for row in rows]
        held = np.exp(np.abs(np.log(ratio))) <= runs.GIVE_OR_TAKE
        told.append(f"{100 * held[~fitted].mean():.0f} % left out and {100 * held.mean():.0f} % of all")
    scored(number, off_by=f"at 85 to 95 F, {told[0]}; at 110 to 120 F, {told[1]}")
    columns = ["row", "published days", "85 F, stops at 95", "95 F, at 110", "110 F, at 120"]
    table = pd.DataFrame(rows, columns=columns)
    report("Dehumidifier runs, temperature not stated: days of ours by temperature", table)
    # nobody runs a kiln colder than a house machine's limit; hotter than the hottest is faster than published
    assert (table["85 F, stops at 95"] > table["published days"] / 1.5).all()
    assert (table["110 F, at 120"] < table["published days"] * 1.3).all()


def _days_by_schedule(wood, start_pct, end_pct, first_f, last_f):
    """Days of the slab alone in a steam kiln: 300 ft/min, hotter from 30 down to 15 %, dry air from 20 % on."""
    biot = drying.biot() * math.sqrt(300 / ways.YARD_FT_MIN)
    b, shares = slab.roots(biot), slab.weights(biot)
    mc, hours, modes, last = start_pct, 0, None, 0.0
    while mc > end_pct:
        temp = np.interp(mc, [15, 30], [last_f, first_f])
        emc = air.emc_pct(temp, kiln.humidity_for(mc)) if mc > 20 else 3.0
        modes = shares * (mc - emc) if modes is None else modes - shares * (emc - last)
        pace = drying.rate(wood).per_day / 24 * drying.temperature_factor(temp)
        modes, last, hours = slab.step(modes, b, shares, 0.0, pace), emc, hours + 1
        mc = slab.mean(modes, emc)
    return hours / 24


def test_steam_kilns_are_hotter_than_this_model_reaches(report, scored):
    """Left out of the fit and of the margin: above about 120 F ours is too fast, and the table says by how much."""
    table = pd.read_csv(Path(__file__).parent / "reference" / "kiln_days.csv")
    for stage, start in (("20_to_6", 20), ("green_to_6", None)):
        ours = [
            _days_by_schedule(r.species, start or species.get(r.species).start_mc_pct, 6, r.first_f, r.last_f)
            for r in table.itertuples()
        ]
        table[f"ours_{stage}"] = ours
        table[f"ratio_{stage}"] = ours / np.sqrt(table[f"days_{stage}_min"] * table[f"days_{stage}_max"])
    report(
        "Steam kilns by their schedules, from memory, and ours (not counted)",
        table.drop(columns=["status", "source"]),
    )
    # published kilns run until the wettest boards are down, equalizing counted; the rest is heat: the hotter the stage,
    # the further off
    whole, end = (np.exp(np.log(table[f"ratio_{stage}"]).mean()) for stage in ("green_to_6", "20_to_6"))
    assert 0.15 < end < whole < 0.7
    told = []
    for stage in ("green_to_6", "20_to_6"):
        ratio = 100 * table[f"ratio_{stage}"]
        told.append(f"{ratio.min():.0f} to {ratio.max():.0f} %")
    said = f"ours takes {told[0]} of the published days from green, {told[1]} from 20 %"
    scored("solar kiln, dehumidifier, house", fails=said)


def test_electricity_for_a_pound_of_water(report):
    source, rows = tables.read("drying_energy").set_index("id").source.E08, []
    for key in ("K01", "K02", "K03", "K04"):
        _, woods, inches, given, _ = RUNS[key]
        row = _published().loc[key]
        run = kiln.dehumidifier(
            woods[0],
            inches,
            mc_start_pct=float(row.mc_start_pct),
            mc_target_pct=float(row.mc_end_pct),
            days=300,
            **given,
        )
        rows.append(
            (
                key,
                f"{woods[0]}, {row.mc_start_pct} to {row.mc_end_pct} %",
                "0.25-0.5",
                run.kwh / run.water_lb,
                source,
            )
        )
    table = pd.DataFrame(rows, columns=["row", "run", "published kWh/lb", "ours", "source"])
    report("Dehumidifier: electricity for a pound of water, whole run", table)
    green = table[table.row.isin(["K03", "K04"])]
    assert green.ours.between(0.25, 0.5).all()
    # air-dried wood has little water to share the energy of walls and fans; the published figure is for whole cycles
    assert table.ours.between(0.25, 0.75).all()


def test_solar_temperatures_published_and_ours(report):
    source = tables.read("kiln_runs").set_index("id").source
    rows = []
    for key, month, days, rise_c in [("S14a", 12, 60, 17.3), ("S14c", 4, 60, 10.0), ("S14d", 6, 90, 8.2)]:
        run = kiln.solar(OAK, 1.75, "Mobile, AL", month, mc_start_pct=40, days=days, stop=False)
        ours = ((run.hourly.temp_f - run.hourly.outdoor_f).mean()) / 1.8
        what = f"32 degrees latitude, mean rise, 43 mm hardwood, from month {month} (north)"
        _row(rows, key, what, rise_c, rise_c, ours, "C", source[key])
    run = kiln.solar(OAK, 2, "Albuquerque, NM", 7, mc_start_pct=20, days=30, sunny=True)
    what = "35 degrees, dry summer, greatest rise by day (Albuquerque for Karaj)"
    _row(rows, "S16", what, 35, 35, run.daily.rise_f.max() / 1.8, "C", source.S16)
    table = pd.DataFrame(rows, columns=_COLUMNS)
    report("Solar kilns: temperatures, published and ours", table)
    assert (table.loc[table["within 25 %"] == "no", "why not"].str.len() > 5).all()
    assert (table.ours / table.published.astype(float)).between(0.45, 2.0).all()


def test_water_to_remove_is_what_the_definition_gives():
    """lb of water per board foot: 5.2 x G x (MC1 - MC2) / 100. Our own arithmetic another way round, not a check."""
    for wood, start, end, by_definition in [
        (OAK, 80, 8, 2.1), ("black cherry", 58, 8, 1.22), ("yellow-poplar", 90, 8, 1.71),
        ("sugar maple", 70, 8, 1.81), ("black walnut", 85, 8, 2.04), ("eastern white pine", 100, 10, 1.59),
    ]:  # fmt: skip
        run = kiln.solar(
            wood,
            1,
            "Phoenix",
            6,
            mc_start_pct=start,
            mc_target_pct=end,
            load_bf=100,
            collector_ft2=30,
            days=200,
        )
        per_bf = run.water_lb / 100 * (start - end) / (start - run.mc_end_pct)
        assert per_bf == pytest.approx(by_definition, abs=0.02)


@pytest.mark.parametrize(
    "change, says",
    [
        (dict(species="oka"), "unknown species"),
        (dict(site="Atlantis"), "unknown site"),
        (dict(thickness_in=25), "quarters"),
        (dict(load_bf=1), "load_bf"),
        (dict(mc_start_pct=0.2), "mc_start_pct"),
        (dict(glazing=4), "layers"),
        (dict(fan_hours="sometimes"), "fan_hours"),
        (dict(fan_hours=7), "two hours"),
        (dict(vents=3), "vents"),
        (dict(vent_rh_pct=0.6), "fraction"),
        (dict(fan_ft_min=2), "fan_ft_min"),
        (dict(start="soon"), "month"),
        (dict(start="2026-13-01"), "date"),
        (dict(insulation_r=0), "insulation_r"),
    ],
)
def test_impossible_input_is_named(change, says):
    given = dict(species=OAK, thickness_in=1, site="Madison", start=7, days=2)
    with pytest.raises(InputError, match=says):
        kiln.solar(**{**given, **change})


def test_site_without_sunshine_says_so():
    home = climate.from_monthly("home", [60] * 12, [70] * 12)
    with pytest.raises(InputError, match="tell no sunshine: type your ZIP code"):
        kiln.solar(OAK, 1, home, 7, days=2)


@pytest.mark.parametrize(
    "change",
    [
        dict(pints_per_day=1),
        dict(limit_f=30),
        dict(humidity_pct=0.4),
        dict(room_f=-5),
        dict(room_f=121),
        dict(room_rh_pct=4),
        dict(room_rh_pct=96),
    ],
)
def test_impossible_dehumidifier_is_named(change):
    with pytest.raises(InputError, match=next(iter(change))):
        kiln.dehumidifier(OAK, 1, days=2, **change)


def test_extremes_do_not_break_the_balance():
    for change in (
        dict(load_bf=50, collector_ft2=15, sunny=True),
        dict(load_bf=20000, collector_ft2=0),
        dict(fan_hours=(0, 0), vents=0.0),
        dict(fan_hours="warm", vents=1.0, fan_ft_min=400),
        dict(mc_start_pct=200, vents=0.0, sunny=True),
        dict(mc_start_pct=6),
    ):
        run = kiln.solar("yellow-poplar", 1, "Phoenix", 7, days=15, stop=False, **change)
        assert run.daily.heat_gap.max() < 1e-6 and run.daily.water_gap.max() < 1e-6, change
        assert run.hourly.mc_pct.between(0, 201).all() and math.isfinite(run.hourly.temp_f.sum()), change
        assert run.hourly.rh_pct.between(0, 100).all(), change


def test_an_absurd_collector_is_warned_of_and_still_closes():
    with pytest.warns(RangeWarning, match="less glass"):
        run = kiln.solar(
            "yellow-poplar", 1, "Phoenix", 7, days=15, stop=False, load_bf=50, collector_ft2=500, sunny=True
        )
    assert run.daily.heat_gap.max() < 1e-6 and run.daily.water_gap.max() < 1e-6
    assert run.hourly.rh_pct.between(0, 100).all()


def test_what_the_assumptions_are_worth(report, monkeypatch):
    """Each number without a source, halved and doubled: 500 bf of red oak, 20 to 8 %, Madison in July."""

    def days():
        return kiln.solar(OAK, 1, "Madison", 7, 500, 20, 8, 200).days_to()

    base, rows = days(), []
    for name in (
        "_LEAK_PER_H", "_VENT_PER_H", "YARD_FT_MIN", "_STILL_FT_MIN",
        "FAN_W_PER_BF", "_ROOMY", "ABSORBER_FANS_W_M2K", "_WOOD_FILM",
    ):  # fmt: skip
        change = []
        for factor in (0.5, 2):
            with monkeypatch.context() as m:
                home = ways if hasattr(ways, name) else collector
                m.setattr(home, name, getattr(home, name) * factor)
                change.append(100 * (days() / base - 1))
        rows.append((name.strip("_").lower(), *change))
    table = pd.DataFrame(rows, columns=["assumption", "halved: days %", "doubled: days %"])
    report("Solar kiln: what its assumptions are worth", table)
    most = table.set_index("assumption").abs().max(axis=1)
    assert most.drop("roomy").max() < 33 and most["roomy"] < 50  # what the lesson says of them


def test_quarters_serve_as_thickness():
    assert kiln.safe_loss_pct_per_day("white oak", "8/4") == kiln.safe_loss_pct_per_day("white oak", 2)
    named = kiln.indoors("white oak", "8/4", "Madison", "November", mc_start_pct=14)
    assert named.thickness_in == 2.0
    assert named.days_to(9) == kiln.indoors("white oak", 2.0, "Madison", "November", mc_start_pct=14).days_to(
        9
    )


def test_several_thicknesses_at_once():
    assert kiln.safe_loss_pct_per_day(OAK, [1, 2]).tolist() == [
        kiln.safe_loss_pct_per_day(OAK, 1),
        kiln.safe_loss_pct_per_day(OAK, 2),
    ]
    assert heat.minutes_to_core([1, 2], 60).tolist() == [
        heat.minutes_to_core(1, 60),
        heat.minutes_to_core(2, 60),
    ]


def test_a_house_in_the_desert_in_july():
    """An uncooled house at Phoenix is above 100 F: the three ways can still be compared."""
    assert kiln.compare(OAK, 1, "Phoenix", "July").days.notna().all()


@pytest.mark.parametrize(("thickness", "wood_ft3"), [("3/4", 12.5), ("4/4", 200 / 12), ("8/4", 200 / 12)])
def test_a_load_of_thin_stock_holds_the_wood_of_its_boards(thickness, wood_ft3):
    """200 board feet of 3/4 were counted as 1 in: 200 square feet, 12.5 cubic feet."""
    run = kiln.solar(OAK, thickness, "Madison", 6, load_bf=200, mc_start_pct=30, days=10)
    dry_lb = 100 * run.water_lb / (30 - run.daily.mc_pct.iloc[-1])
    assert dry_lb == pytest.approx(wood_ft3 * species.WATER_LB_PER_FT3 * species.get(OAK).basic_sg, rel=1e-3)
