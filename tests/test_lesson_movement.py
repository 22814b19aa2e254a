"""Lesson 10: pictures say what the calculators say, exercises against the full formulas."""

import re

import numpy as np
import pytest

from woodcalc import movement, shrinkage, species
from woodcalc.figures import movement as figures
from woodcalc.figures import style
from woodcalc.lesson.exercises.movement import EXERCISES
from woodcalc.lesson.lists import place_names


@pytest.mark.parametrize("place", ["Madison, WI", "Phoenix, AZ", "Mobile, AL"])
@pytest.mark.parametrize("wood", ["American beech", "eastern redcedar"])
def test_a_year_stays_in_its_frame_and_says_the_swing(place, wood):
    page, said, below = figures.top_year(place, wood, "flat-sawn", 48, 0)
    svg = page.svg()
    ((top, foot),) = re.findall(
        rf'd="M\S+ (\S+)L\S+ (\S+)M[^"]*" [^>]*stroke="{style.SOFT}"', svg
    )  # the axes' edge
    for look in style.SERIES[:2]:
        (path,) = re.findall(rf'd="([^"]*)" fill="none" stroke="{look["color"]}"', svg)
        heights = [float(point.split()[1]) for point in path[1:].split("L")]
        assert len(heights) == 12 and float(top) <= min(heights) and max(heights) <= float(foot)
    assert "clip" not in svg  # nothing was cut off at the frame
    year = movement.piece_year(48, figures.MADE_MC_PCT, wood, "flat-sawn", movement.indoors(place), 0)
    assert f"swing of {year.change_in:.2f} in" in said
    assert below.count("<tr>") == 13


def test_every_wood_and_place_stays_in_the_frame():
    """The frame of the year picture holds the wood that moves most, at the widest, in every place."""
    widest = max(species.names(), key=lambda n: species.get(n).shrink_tangential_pct)
    for place in place_names():
        for heated in (True, False):
            year = movement.piece_year(48, 7, widest, "flat-sawn", movement.indoors(place, heated), 0)
            change = year.months["width_in"] - 48
            assert -1.0 < change.min() and change.max() < 2.6, place


def test_one_log_says_what_board_shape_says():
    _, said = figures.one_log("white oak", 6)
    heart = figures.PIECES[2]
    shape = shrinkage.board_shape(*heart[1:], "white oak", 30, 6)
    told = float(re.search(r"cups (\d\.\d\d) in", said)[1])
    assert told == pytest.approx(shape.cup_in, abs=0.011) and shape.hollow == "upper"  # fewer points drawn
    for name, w, t, x, y in figures.PIECES:  # every piece lies in the log, clear of the pith
        corners = np.hypot(np.abs(x) + w / 2, np.abs(y) + t / 2)
        assert corners < figures.LOG_RADIUS_IN, name
        assert not shrinkage.board_shape(w, t, x, y, "white oak").holds_pith


@pytest.mark.parametrize("made", [5, 9, 14])
def test_panel_keeps_its_gap_and_its_hold(made):
    year = movement.piece_year(14, made, "white oak", "flat-sawn", movement.indoors("Madison, WI"), 30)
    gap = movement.gap_to_leave(year)
    _, said = figures.panel_in_groove("Madison, WI", "white oak", "flat-sawn", 14, made)
    assert f"Leave {gap.side_in:.2f} in" in said and f"grooves {gap.groove_in:.2f} in deep" in said


def test_answers_agree_with_the_calculators():
    """The paper's coefficients against the full formula, and the cup of the paper against every point mapped."""
    e = {x.key: x for x in EXERCISES}
    paper = e["table-top-movement"].solve(
        width_in=36, low=6, high=11, c_t=0.00248, c_r=0.00126, wood="black cherry"
    )
    assert paper == pytest.approx(shrinkage.movement_in(36, "black cherry", 6, 11), rel=0.02)
    cup = e["cup-of-a-board"].solve(width_in=8, radius_in=12, s_t=6.3, s_r=2.9)
    assert cup == pytest.approx(movement.cup_in(8, 12, "northern red oak", 30, 8), rel=0.08)
    gap = e["gaps-in-a-floor"].solve(board_in=3.25, room_ft=12, laid=11, low=6, c_t=0.00365, c_r=0.0018)
    floor = shrinkage.floor_movement(144, 3.25, "white oak", 11, 6, 11)
    assert gap == pytest.approx(1000 * floor.joint_gap_in, rel=0.08)  # the coefficient is of the oak group
    read = figures.gauge_width_in(8, 6, 12, 8) - figures.gauge_width_in(2, 6, 12, 8)
    assert read / (24 * 0.00431) == pytest.approx(6, abs=0.3)
