"""Lesson 09: its panels against the calculators, its exercises against arithmetic written out here."""

import re

import numpy as np
import pytest
from second_answers import agree

from woodcalc import kiln, species
from woodcalc.figures import kiln as figures
from woodcalc.figures import solar_kiln
from woodcalc.figures.style import BLUE, ORANGE, to_svg
from woodcalc.lesson import kiln as lesson
from woodcalc.lesson.answers import ask, hidden_truth
from woodcalc.lesson.exercise import seeded
from woodcalc.lesson.exercises.kiln import EXERCISES


def test_three_ways_reads_out_the_three_runs():
    panel = lesson.three_ways_panel()
    panel.dials["wood"].value, panel.dials["month"].value, panel.dials["load_bf"].value = (
        "black cherry",
        8,
        400,
    )
    charge = dict(load_bf=400, mc_start_pct=14, mc_target_pct=8, days=60)
    runs = [
        kiln.indoors("black cherry", 1, "Madison, WI", 8, **charge),
        kiln.solar("black cherry", 1, "Madison, WI", 8, **charge),
        kiln.dehumidifier("black cherry", 1, 400, 14, 8, 60),
    ]
    for run in runs:
        days = run.days_to()
        told = f"still at {run.mc_end_pct:.1f} %" if np.isnan(days) else f"8 % after {days:.0f} days"
        assert f"{run.way}, {told}" in panel.reading
        assert f"{run.kwh:.0f} kWh" in panel.below.value


def test_three_ways_have_a_dash_where_no_safe_pace_is_published():
    for wood, cell, says in (("eastern white pine", "-", True), ("black cherry", "0", False)):
        _, sentence, table = figures.three_ways(wood, "Madison, WI", 7, 300, 14)
        assert table.count(f"<td>{cell}</td>") == 3
        assert sentence.endswith("No safe pace is published for this wood and thickness.") == says


def test_solar_weeks_marks_the_days_that_are_too_fast():
    fine, fast = (
        figures.solar_weeks("red oak 4/4, green", "Madison, WI", 6, glass, True) for glass in (50, 120)
    )
    assert "never loses more" in fine[1] and "too fast" not in fine[1]
    run = kiln.solar("northern red oak", 1, "Madison, WI", 6, 500, None, 8, 60, collector_ft2=120, sunny=True)
    assert run.too_fast_days > 0 and f"On {run.too_fast_days} days it dries too fast" in fast[1]
    assert "Cover the glass" in fast[2]


@pytest.mark.parametrize("fans", figures.FANS)
@pytest.mark.parametrize("hour", [2, 8, 13, 20])
def test_a_kiln_cut_open_spends_the_heat_that_comes_in(hour, fans):
    page, sentence, table = solar_kiln.inside("red oak 4/4, green", 6, hour, fans, "by humidity")
    into, out = (
        sum(float(btu.replace(",", "")) for btu in re.findall(r"([-\d,]+) Btu", row))
        for row in table.split("</tr>")[:2]
    )
    assert into == pytest.approx(out, abs=4)  # each of seven is rounded to 1 Btu
    run = figures.july_run("red oak 4/4, green", fans, "by humidity")
    now = run.hourly[(run.hourly.day == 6) & (run.hourly.hour == hour)].iloc[0]
    assert f"at {now.temp_f:.0f} F and {now.rh_pct:.0f} %" in sentence
    assert f"give off {now.evaporated_lb:.2f} lb" in sentence
    # air that goes round is drawn in two colors, and only while the fans run; vents pass some of it
    svg = to_svg(page)
    assert (f'stroke="{ORANGE}"' in svg) == (now.fans > 0)
    assert (f'stroke="{BLUE}"' in svg) == (now.fans > 0 or now.rh_pct > 60)


def test_solar_day_is_the_hours_of_the_run():
    _, sentence = figures.solar_day(
        "red oak 4/4, air-dried (20 %)", 12, "day and night", "shut", "one layer, R-11 walls"
    )
    run = kiln.solar(
        "northern red oak",
        1,
        "Madison",
        7,
        500,
        20,
        8,
        12,
        glazing=1,
        fan_hours="always",
        vents=0.0,
        stop=False,
    )
    last = run.hourly.iloc[-24:]
    assert f"reaches {last.temp_f.max():.0f} F" in sentence
    assert f"at {last.rh_pct.iloc[12]:.0f} % and would hold wood at {last.emc_pct.iloc[12]:.1f} %" in sentence
    assert f"loses {run.daily.loss_pct.iloc[-1]:.2f} %" in sentence


def test_dehumidifier_panel_counts_the_electricity():
    panel = lesson.dehumidifier_panel()
    run = kiln.dehumidifier("northern red oak", 1, 500, 20, 8, 60, 50, 11, 65, 50)
    assert f"{run.kwh:.0f} kWh, {run.kwh / run.water_lb:.2f} kWh a pound" in panel.reading


def test_prongs_say_what_the_table_says():
    for seen, row in zip(figures.PRONGS, kiln.stress_test().itertuples(), strict=True):
        sentence = figures.prongs(seen)[1]
        assert row.prongs.startswith(seen) and row.meaning in sentence and row.do in sentence


def by_hand(exercise, n):
    if exercise.key == "water-to-take-out":
        return n["load_bf"] / 12 * 62.43 * species.get(n["wood"]).basic_sg * (n["mc_from"] - n["mc_to"]) / 100
    if exercise.key == "loss-in-a-day":
        return (n["before_lb"] - n["after_lb"]) / n["dry_lb"] * 100
    if exercise.key == "what-the-fans-cost":
        return n["fan_w"] / 1000 * n["fan_h"] * n["days"] * n["cents"] / 100
    if exercise.key == "air-for-conditioning":
        return n["target"] + (4 if n["kind"] == "hardwood" else 3)
    panel = lesson.sample_board_panel(**n)
    weights = []
    for day in range(11):
        panel.dials["day"].value = day
        weights.append(float(re.search(r"weighs ([\d.]+) lb", panel.reading).group(1)))
    return 100 * max(a - b for a, b in zip(weights[:-1], weights[1:], strict=True)) / n["dry_lb"]


@pytest.mark.parametrize("exercise", EXERCISES, ids=lambda e: e.key)
def test_answers_are_the_arithmetic(exercise):
    agree(exercise, lambda **n: by_hand(exercise, n), within=exercise.tolerance, turns=25)


def test_hidden_kilns_are_of_both_sorts():
    board = EXERCISES[-1]
    worst = [
        board.solve(**board.draw(seeded(board.key, name)))
        for name in ("oak", "ash", "elm", "fir", "birch", "beech")
    ]
    assert min(worst) < 3.8 < max(worst)


def test_boxes_build():
    for exercise in EXERCISES[:-1]:
        assert ask(exercise.key).exercise is exercise
    box = hidden_truth("kiln-sample-board", lesson.sample_board_panel)
    assert "weighs" in box.place.children[0].reading


def test_sample_board_is_the_run():
    weight, peak = figures.sample_board(100, 80, 5.0)
    run = kiln.solar(
        "northern red oak", 1, "Madison", 6, 500, 80, 8, 10, collector_ft2=100, sunny=True, stop=False
    )
    assert weight[0] == 9.0
    assert np.allclose(weight[1:], 5 * (1 + run.daily.mc_pct / 100), atol=0.0051)
    assert peak[3] == run.daily.temp_max_f[3]
