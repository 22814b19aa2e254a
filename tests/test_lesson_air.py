"""Lesson 05: its panels against the calculators, its exercises against arithmetic written out here."""

import re

import numpy as np
import pytest
from second_answers import agree

from woodcalc import air, climate, movement, tables
from woodcalc.figures import air as figures
from woodcalc.figures import climate as places
from woodcalc.lesson import air as lesson
from woodcalc.lesson.answers import ask, hidden_truth
from woodcalc.lesson.exercises.air import EXERCISES


def test_the_reading_of_the_chart_is_the_calculators():
    panel = lesson.emc_panel()
    panel.dials["temp_f"].value, panel.dials["rh_pct"].value = 90, 40
    assert f"comes to rest at {air.emc_pct(90, 40):.1f} %" in panel.reading
    assert f"at {air.dew_point_f(90, 40):.0f} F or colder" in panel.reading
    assert f"would read {air.wet_bulb_f(90, 40):.0f} F" in panel.reading


@pytest.mark.parametrize(("mc", "words"), [(30, "dries"), (12, "at rest"), (6, "swells")])
def test_water_goes_the_right_way(mc, words):
    _, sentence = figures.air_and_wood(70, 65, mc)
    assert words in sentence


def test_water_in_air_against_vapour_pressures():
    # W = 0.621945 p / (P - p), ASHRAE Handbook Fundamentals (2017), ch. 1, eq. 20; 16 oz to the pound
    p = 0.65 * air.saturation_pressure_psi(70)
    by_hand = 1600 * 0.621945 * p / (air.pressure_psi(0) - p)
    assert figures.water_oz(70, 65) == pytest.approx(by_hand, rel=1e-3)


def test_the_printed_table_is_the_equation_to_its_last_digit():
    # Wood Handbook FPL-GTR-190 table 4-2 prints tenths; it and equation 4-5 part by 0.067 at most
    table = tables.read("emc_table").set_index("temp_f")
    rh = np.array([int(c[3:]) for c in table.columns])
    ours = air.emc_pct(table.index.to_numpy(dtype=float)[:, None], rh[None, :])
    assert np.abs(ours - table.to_numpy()).max() < 0.07


def test_the_year_panel_reads_out_what_the_calculators_say():
    panel = lesson.year_panel()
    panel.dials["place"].value, panel.dials["heat_f"].value = "Mobile, AL", 72
    panel.dials["people_g_per_m3"].value, panel.dials["cooled"].value = 5, True
    out = climate.get("Mobile, AL").monthly.emc_pct
    house = movement.indoors("Mobile, AL", heat_f=72, people_g_per_m3=5, cooled=True).emc_pct
    for y in (out, house):
        for value, month in ((y.min(), y.idxmin()), (y.max(), y.idxmax())):
            assert f"{value:.1f} % in {climate.MONTHS[month - 1]}" in panel.reading
    assert f"{out.mean():.1f} % outdoors, {house.mean():.1f} % in the house" in panel.reading


def test_the_house_of_the_text_without_people_keeps_the_water_of_the_outdoor_air():
    month = climate.get("Duluth, MN").monthly
    house = movement.indoors("Duluth, MN", people_g_per_m3=0)
    for m in (1, 3, 11):
        assert air.dew_point_f(house.temp_f[m], house.rh_pct[m]) == pytest.approx(
            month.dew_point_f[m], abs=0.1
        )


def test_block_comes_to_rest_and_not_before():
    assert figures.block_weight_oz(0, 70, 65, 10) == 10
    assert figures.block_weight_oz(28, 70, 65, 10) == pytest.approx(
        10 * (1 + air.emc_pct(70, 65) / 100), abs=0.001
    )
    assert np.all(np.diff(figures.block_weight_oz(np.arange(28), 70, 65, 10)) > 0)


def by_hand(exercise, n):
    if exercise.key == "emc-from-the-table":
        return n["left"] + (n["rh_pct"] - n["low"]) / 10 * (n["right"] - n["left"])
    if exercise.key == "emc-of-a-month":
        month = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"].index(
            n["month_name"][:3]
        )
        html = places.year_indoors(n["place"], 68, 3, False)[2]
        row = re.search(r"Wood outdoors rests.*?</tr>", html).group()
        return float(re.findall(r"<td>([\d.]+)</td>", row)[month])
    if exercise.key == "winter-air-indoors":
        return n["rh_pct"] * n["cold_oz"] / n["room_oz"]
    if exercise.key == "celsius-thermometer":  # between the printed rows and columns
        table = tables.read("emc_table").set_index("temp_f")
        f = n["temp_c"] * 9 / 5 + 32
        return float(np.interp(f, table.index, table[f"rh_{n['rh_pct']:02d}"]))
    weight = round(figures.block_weight_oz(28, **n), 2)
    mc = 100 * (weight - n["dry_oz"]) / n["dry_oz"]
    rh = np.arange(5, 96)
    return float(np.interp(mc, air.emc_pct(n["temp_f"], rh), rh))


@pytest.mark.parametrize("exercise", EXERCISES, ids=lambda e: e.key)
def test_answers_worked_by_hand_are_right(exercise):
    agree(exercise, lambda **n: by_hand(exercise, n), within=exercise.tolerance)


def test_hidden_humidity_is_not_in_the_question_and_follows_the_group():
    box = hidden_truth("the-block-and-the-shed", lesson.shed_block_panel)
    truth = box.box.numbers["rh_pct"]
    assert "rh_pct" not in box.box.exercise.question
    panel = box.place.children[0]
    panel.dials["days"].value = 28
    assert f"{truth} %" not in panel.reading
    weight = float(re.search(r"weighs ([\d.]+) oz", panel.reading).group(1))
    dry = box.box.numbers["dry_oz"]
    mc = 100 * (weight - dry) / dry
    assert air.rh_for_emc_pct(box.box.numbers["temp_f"], mc) == pytest.approx(truth, abs=1.0)


def test_answer_box_names_the_slip():
    box = ask("celsius-thermometer")
    n = box.numbers
    box.field.value = f"{air.emc_pct(n['temp_c'], n['rh_pct']):.1f}"
    assert "set as Fahrenheit" in box.feedback.value
