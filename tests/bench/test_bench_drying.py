"""Speeds: a forecast within a slider's time, forty readings in 200 ms, every stack in the country in 10 s and 1 GB."""

import resource

import numpy as np
import pandas as pd

from woodcalc import climate, drying, species
from woodcalc.figures import maps


def forecast(thickness_in=1.0):
    made = drying.air_dry("northern red oak", thickness_in, "Madison", "2026-05-15")
    return made.daily, made.days_to(20)


def test_forecast(benchmark):
    benchmark(forecast)


def test_forecast_8_4(benchmark):
    benchmark(forecast, 2.0)


def test_update_with_forty_readings(benchmark):
    dates = pd.date_range("2026-05-20", periods=40, freq="2D")
    readings = pd.DataFrame({"date": dates, "mc_pct": np.linspace(78, 25, 40)})

    def fresh():
        after = drying.air_dry("northern red oak", 1.0, "Madison", "2026-05-15").update(readings)
        return after.daily, after.days_to(20)

    benchmark(fresh)
    assert benchmark.stats.stats.median < 0.2


def test_every_stack_in_the_country(benchmark):
    sites, woods = list(climate.sites().station_id), species.names()
    args = (sites, range(1, 13), woods, [1.0, 1.25, 1.5, 2.0])
    table = benchmark.pedantic(drying.grid, args, rounds=2, warmup_rounds=0)
    assert len(table) == 61 * 12 * len(woods) * 4
    assert benchmark.stats.stats.median < 10
    assert resource.getrusage(resource.RUSAGE_SELF).ru_maxrss < 1e6  # kB on Linux


def test_one_wood_at_every_station_and_month(benchmark):
    at = climate.stations()
    sites = [climate.get(number) for number in at.station_id[~at.state.isin(["AK", "HI"])]]
    table = benchmark.pedantic(
        drying.grid, (sites, range(1, 13), "northern red oak", "4/4"), rounds=3, warmup_rounds=0
    )
    assert len(table) == 925 * 12


def test_maps_of_new_settings(benchmark):
    """Each setting is new, so that nothing is remembered from the one before."""
    settings = iter(
        [(wood, name, month) for wood in species.names() for name in ("4/4", "8/4") for month in (3, 9)]
    )

    def draw():
        return maps.stacks_outdoors(*next(settings), "Madison, WI", "days")[0].svg()

    draw()  # the air of all stations
    benchmark.pedantic(draw, rounds=20, warmup_rounds=0)
