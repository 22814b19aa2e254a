"""Lesson 06: pictures answer to every dial, exercises know their slips, own stack draws."""

import re

import numpy as np
import pytest

from woodcalc import records, stack
from woodcalc.figures import stack as figures
from woodcalc.figures import style
from woodcalc.lesson import stack as panels
from woodcalc.lesson.exercise import seeded
from woodcalc.lesson.exercises.stack import EXERCISES


def _ends(widget):
    return [v for _, v in widget._options_full] if hasattr(widget, "options") else [widget.min, widget.max]


@pytest.mark.parametrize("make", [getattr(panels, name) for name in panels.__all__], ids=panels.__all__)
def test_every_dial_changes_the_picture(make):
    box = make()
    assert box.reading in box._reading.value.replace("&#x27;", "'")
    for name, dial in box.dials.items():
        seen, start = set(), dial.value
        for value in _ends(dial):
            dial.value = value
            assert not box._note.value, (name, value, box._note.value)
            seen.add(box._picture.value)
        assert len(seen) >= 2, name
        dial.value = start
    box._big.value = True
    assert not box._note.value


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
    assert len(style.to_svg(figure)) < 200_000


@pytest.mark.parametrize("exercise", EXERCISES, ids=lambda e: e.key)
def test_exercises(exercise):
    told = dict.fromkeys((slip.name for slip in exercise.slips), 0)
    for turn in range(40):
        numbers = exercise.draw(seeded(exercise.key, "test", turn))
        truth = exercise.solve(**numbers)
        assert np.isfinite(truth) and truth > 0
        assert exercise.mark(truth, numbers)[0]
        assert "{" not in exercise.text(numbers)
        printed = [
            float(n.replace(",", ""))
            for n in re.findall(r"\d[\d,]*\.?\d*", " ".join(exercise.steps(**numbers)))
        ]
        assert min(abs(n - truth) for n in printed) <= max(exercise.tolerance, 0.5 * 10.0**-exercise.decimals)
        for slip in exercise.slips:
            right, said = exercise.mark(slip.gives(**numbers), numbers)
            told[slip.name] += (not right) and slip.advice in said
    assert min(told.values()) >= 34, told


def test_answers_worked_out_another_way():
    e = {x.key: x for x in EXERCISES}
    # 10 ft boards, 24 in: 118 in leave five spaces, six stickers; nine layers: nine rows
    assert e["stickers-to-cut"].solve(length_ft=10, spacing_in=24, layers=9) == 54
    # 50 x 6 in x 8 ft x 1.125 in = 18.75 ft3 at 64 lb
    weight = e["stack-weight"].solve(boards=50, width_in=6, length_ft=8, lb_per_ft3=64, species="")
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
