"""Lesson 06: pictures say what the calculators say, exercises against arithmetic written out here, own stack draws."""

import numpy as np
import pytest

from woodcalc import records, stack
from woodcalc.figures import stack as figures
from woodcalc.figures import style
from woodcalc.lesson.box import plain
from woodcalc.lesson.exercises.stack import EXERCISES
from woodcalc.lesson.stack import own_panel


def test_side_view_says_what_the_calculator_says():
    _, said = figures.side_view(1.0, 7, 12, 12, "every")
    places = stack.sticker_places_in(146, 24)
    shape = stack.pile_shape(1.0, stack.shifted_places_in(places, 12, 12, 146), 146)
    assert figures.inches(shape.string_gap_in.max()) in said
    assert f"{shape.push_lb[0].max() * 4:,.0f} lb" in said


@pytest.mark.parametrize("spacing", [13, 24, 30, 48])
@pytest.mark.parametrize(("wood", "size"), [("northern red oak", 1.0), ("eastern white pine", 2.0)])
def test_spacing_chart_against_the_pile_itself(wood, size, spacing):
    """The chart scales one pile by weight over stiffness; a pile worked out for that wood bends the same."""
    places = stack.sticker_places_in(146, spacing)
    real = stack.pile_shape(size, places, 146, wood, layers=12, step_in=1.5).string_gap_in.max()
    read = figures.bend_by_spacing(wood, size, places[1] - places[0], 2.0)
    assert read == pytest.approx(real, rel=0.03)  # read off between nine worked spacings


def test_inches_are_said_as_on_a_tape():
    assert figures.inches(0.002).endswith("sheet of paper")
    assert figures.inches(0.0157) == "0.016 in, about 1/64"
    assert figures.inches(0.13) == "0.13 in, about 1/8"
    assert figures.inches(2.02) == "2.02 in, about 2"


def test_own_stack_is_drawn_from_the_records():
    boards = records.read(records.folder() / "boards.csv")
    plan = stack.plan_stack(boards[boards["nominal"] == "4/4"])
    figure, said, below = figures.own_stack(plan)
    assert f"{plan.sticker_count} stickers" in said and "load on a footing" in below
    assert len(style.to_svg(figure)) < 60_000


def test_answers_worked_out_another_way():
    e = {x.key: x for x in EXERCISES}
    # 10 ft boards, 24 in: 118 in leave five spaces, six stickers; nine layers: nine rows
    assert e["stickers-to-cut"].solve(length_ft=10, spacing_in=24, layers=9) == 54
    # 50 x 6 in x 8 ft x 1.125 in = 18.75 ft3 at 64 lb
    weight = e["stack-weight"].solve(boards=50, width_in=6, length_ft=8, lb_per_ft3=64, species="white oak")
    assert weight == pytest.approx(1200)
    assert e["footing-load"].solve(weight_lb=4000, spaces=5, bolsters=6) == 400
    # long boards, no creep: an inner span really bends by the fourth power
    bends = []
    for spacing in (16, 32):
        places = np.arange(0, 321, spacing)
        shape = stack.pile_shape(1.0, places, 320, step_in=2)
        middle = np.argmin(np.abs(shape.x_in - (160 + spacing / 2)))
        bends.append(shape.down_in[0][middle])
    told = e["spacing-fourth-power"].solve(near_in=16, far_in=32, bend=1)
    assert bends[1] / bends[0] == pytest.approx(told, rel=0.02)


def test_own_stack_has_a_dial_for_the_weights_on_top_and_says_if_there_are_none():
    panel = own_panel()
    said = plain(panel.reading)
    assert "Weights on top: " in said and "lb in all, on cross pieces" in said
    panel.dials["top_load"].value = 0
    said = plain(panel.reading)
    assert "There are no weights on top" in said and "asks for 50 lb on every square foot" in said


def test_a_pile_s_width_in_inches_is_told_so():
    row = {"stack": "A", "species": "white oak", "nominal": "4/4", "stacked": "2026-05-10", "width_ft": "48"}
    (problem,) = records.problems_in(row, "stacks")[1]
    assert str(problem).endswith("expected a number from 1 to 20 ft. Is it in inches? 48 in is 4 ft")


def test_a_pile_of_ones_own_says_that_logs_alone_make_none(tmp_path, monkeypatch):
    my_wood = tmp_path / "mine"
    my_wood.mkdir()
    monkeypatch.setenv(records.choices.VARIABLE, str(my_wood))
    (my_wood / "logs.csv").write_text("log,species,small_in,length_ft\n1,red oak,14,10\n2,red oak,13,10\n")
    above = plain(own_panel().above)
    assert "You have 2 logs and no boards yet" in above and "Lesson 11 piles the boards" in above
    (my_wood / "boards.csv").write_text("board,species,nominal,width_in,length_ft\n1,red oak,4/4,7,8\n")
    panel = own_panel()
    assert "no boards yet" not in plain(panel.above) and panel.reading.startswith("1 layer on stickers")
