"""Air: EMC against the printed table, psychrometrics against a second library, limits and directions."""

from pathlib import Path

import numpy as np
import pandas as pd
import psychrolib
import pytest
from CoolProp.HumidAirProp import HAPropsSI
from hypothesis import given, settings
from hypothesis import strategies as st

from woodcalc import air
from woodcalc.checks import InputError, RangeWarning

REFERENCE = Path(__file__).parent / "reference"

TEMPS = st.floats(0, 200)
HUMIDITY = st.floats(1, 99)
some = settings(max_examples=60, deadline=None)


def test_emc_wood_handbook_table_4_2(report, scored):
    """Wood Handbook FPL-GTR-190 (2010) table 4-2, p. 4-4: printed to 0.1, rounded constants; to 0.1."""
    table = pd.read_csv(REFERENCE / "emc_table.csv")
    cells = table.melt(["temp_F", "status", "source"], var_name="rh", value_name="printed").dropna(
        subset="printed"
    )
    cells["ours"] = air.emc_pct(cells.temp_F.to_numpy(), cells.rh.str[3:].astype(float).to_numpy())
    off = (cells.ours - cells.printed).abs()
    report(
        "EMC against Wood Handbook table 4-2 (printed to 0.1)",
        pd.DataFrame(
            {"cells": [len(cells)], "largest difference": [off.max()], "mean difference": [off.mean()]}
        ),
    )
    number = "where wood comes to rest in still air (EMC)"
    scored(number, left_out=f"{len(cells)} printed cells", off_by=f"at most {off.max():.2f} points")
    assert off.max() <= 0.1


def test_emc_worked_value():
    """70 F and 65 %: 12.0 in the printed table."""
    assert air.emc_pct(70, 65) == pytest.approx(12.0, abs=0.1)


def test_hard_frost_counts_as_0_f():
    """Carried on, the equation would bend the wrong way: k2 is negative under -34 F."""
    assert air.emc_pct(-40, 80) == air.emc_pct(0, 80) == pytest.approx(air.emc_pct(30, 80), abs=0.5)
    assert air.rh_for_emc_pct(-60, 12) == air.rh_for_emc_pct(0, 12)


@some
@given(st.floats(-60, 200))
def test_humidity_never_passes_100(t):
    assert air.rh_from_dew_point_pct(t, t) <= 100
    assert air.rh_from_wet_bulb_pct(t, t) <= 100
    assert air.warmed_rh_pct(t, 100, t - 15) <= 100


def test_scalar_in_scalar_out_and_arrays_broadcast():
    assert isinstance(air.emc_pct(70, 50), float)
    assert air.emc_pct([[60], [70]], [30, 50, 70]).shape == (2, 3)
    assert air.wet_bulb_f([60, 70], 50).shape == (2,)


@some
@given(TEMPS, HUMIDITY)
def test_rh_for_emc_goes_back(t, h):
    assert air.rh_for_emc_pct(t, air.emc_pct(t, h)) == pytest.approx(h, abs=1e-6)


@some
@given(TEMPS, st.floats(1, 98))
def test_emc_rises_with_humidity_and_falls_with_heat(t, h):
    assert air.emc_pct(t, h + 1) > air.emc_pct(t, h)
    if t > 60:  # below that the printed table is flat
        assert air.emc_pct(t + 10, h) < air.emc_pct(t, h)


def test_dry_and_saturated_air():
    assert air.emc_pct(70, 0) == 0
    assert 25 < air.emc_pct(70, 100) < 30


def test_against_coolprop(report):
    """CoolProp's humid air (real gas, Herrmann 2009) against ideal-gas psychrometrics: 0.5 % of the ratio, 0.2 F."""
    rows = []
    for t in (35, 50, 70, 95, 120, 150):
        for h in (10, 30, 50, 70, 90):
            for feet in (0, 3000):
                kelvin, pascal = (t + 459.67) / 1.8, air.pressure_psi(feet) * 6894.757
                at = ("T", kelvin, "P", pascal, "R", h / 100)
                rows.append(
                    {
                        "wet bulb, F": air.wet_bulb_f(t, h, feet) - (HAPropsSI("B", *at) * 1.8 - 459.67),
                        "dew point, F": air.dew_point_f(t, h) - (HAPropsSI("D", *at) * 1.8 - 459.67),
                        "humidity ratio, %": 100 * (air.humidity_ratio(t, h, feet) / HAPropsSI("W", *at) - 1),
                    }
                )
    off = pd.DataFrame(rows).abs().max()
    title = "Humid air against CoolProp: largest differences, 60 states"
    report(title, pd.DataFrame({"what": off.index, "largest": off.to_numpy()}))
    assert off["wet bulb, F"] < 0.2
    assert off["dew point, F"] < 0.2
    # the real gas holds a little more: the enhancement factor is up to 1.005 (ASHRAE Fundamentals ch. 1)
    assert off["humidity ratio, %"] < 1.0


def test_warmed_air_keeps_its_dew_point():
    warm = air.warmed_rh_pct(20, 75, 70)
    assert air.dew_point_f(70, warm) == pytest.approx(air.dew_point_f(20, 75), abs=0.02)
    assert warm == pytest.approx(75 * air.saturation_pressure_psi(20) / air.saturation_pressure_psi(70))


def test_cooled_below_the_dew_point_air_is_saturated():
    assert air.warmed_rh_pct(70, 80, 40) == 100


@some
@given(st.floats(34, 150), st.floats(5, 99))
def test_wet_bulb_lies_between_dew_point_and_air(t, h):
    assert air.dew_point_f(t, h) <= air.wet_bulb_f(t, h) + 0.1 <= t + 0.2
    assert air.rh_from_wet_bulb_pct(t, air.wet_bulb_f(t, h)) == pytest.approx(h, abs=0.2)
    assert air.rh_from_dew_point_pct(t, air.dew_point_f(t, h)) == pytest.approx(h, abs=0.1)


def test_the_readers_psychrolib_keeps_its_units():
    psychrolib.SetUnitSystem(psychrolib.SI)
    assert air.emc_pct(70, 65) == pytest.approx(12.0, abs=0.1)
    assert air.dew_point_f(70, 50) == pytest.approx(50.5, abs=0.1)
    assert psychrolib.GetUnitSystem() == psychrolib.SI


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: air.emc_pct(70, 165), "rh_pct = 165"),
        (lambda: air.emc_pct(700, 50), "degrees C or K"),
        (lambda: air.emc_pct("warm", 50), "expected a number"),
        (lambda: air.rh_for_emc_pct(70, 35), "even saturated"),
        (lambda: air.rh_from_wet_bulb_pct(60, 70), "swapped"),
        (lambda: air.rh_from_wet_bulb_pct(100, 30), "wick"),
        (lambda: air.rh_from_dew_point_pct(50, 60), "swapped"),
    ],
)
def test_bad_input_says_what_is_wrong(call, words):
    with pytest.raises(InputError, match=words):
        call()


def test_a_fraction_for_humidity_is_doubted():
    with pytest.warns(RangeWarning, match="fraction"):
        air.emc_pct(70, 0.65)


def test_emc_of_arrays_equals_one_by_one():
    t, h = np.meshgrid([30, 70, 120], [20, 50, 80])
    each = [[air.emc_pct(a, b) for a, b in zip(r, s, strict=True)] for r, s in zip(t, h, strict=True)]
    assert np.allclose(air.emc_pct(t, h), each)


def test_air_hotter_than_the_table_counts_as_its_end():
    with pytest.warns(RangeWarning, match="270 F"):
        assert air.emc_pct(290, 50) == air.emc_pct(270, 50) > 0
