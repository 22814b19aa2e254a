"""Speeds: a forecast within a slider's time, forty readings in 200 ms, every stack in the country in 10 s and 1 GB."""

import resource

import numpy as np
import pandas as pd

from woodcalc import climate, drying, species


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
