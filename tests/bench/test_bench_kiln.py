"""Speeds: a year of a solar kiln, hourly, within 1 s; a run as short as a panel draws within its slider time."""

import pytest

from woodcalc import kiln
from woodcalc.figures import kiln as figures
from woodcalc.kiln import collector, heat_treatment


def test_year_of_a_solar_kiln(benchmark):
    kiln.solar("northern red oak", 1, "Madison", 1, days=1)  # the sun of the place, once
    run = benchmark.pedantic(
        kiln.solar,
        ("northern red oak", 1, "Madison", 1),
        dict(days=365, stop=False),
        rounds=5,
        warmup_rounds=1,
    )
    assert len(run.hourly) == 8760


def test_year_of_a_solar_kiln_sun_included(benchmark):
    def first_time():
        collector.year.cache_clear()
        return kiln.solar("northern red oak", 1, "Madison", 1, days=365, stop=False)

    assert len(benchmark.pedantic(first_time, rounds=5, warmup_rounds=1).hourly) == 8760


@pytest.mark.parametrize("way", ["solar", "dehumidifier", "indoors"])
def test_sixty_days(benchmark, way):
    calls = {
        "solar": lambda: kiln.solar(
            "northern red oak", 1, "Madison", 7, mc_start_pct=20, days=60, stop=False
        ),
        "dehumidifier": lambda: kiln.dehumidifier(
            "northern red oak", 1, mc_start_pct=20, days=60, stop=False
        ),
        "indoors": lambda: kiln.indoors("northern red oak", 1, "Madison", 1, days=60, stop=False),
    }
    assert len(benchmark(calls[way]).daily) == 60


def test_heating_time(benchmark):
    assert benchmark(heat_treatment.minutes_to_core, 4, 60, width_in=4) > 60


@pytest.mark.parametrize("charge", ["red oak 4/4, air-dried (20 %)", "red oak 4/4, green"])
def test_dehumidifier_panel(benchmark, charge):
    """One turn of a dial: a new run and its picture."""
    turns = iter(range(20, 10**6))

    def turn():
        return figures.dehumidifier(charge, "household, stops at 95 F", 20 + next(turns) % 80, 11, 65)

    assert "kWh a pound" in benchmark.pedantic(turn, rounds=20, warmup_rounds=2)[1]
