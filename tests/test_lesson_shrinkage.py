"""Lesson 03: its panels against the calculators, its exercises against arithmetic written out here."""

import numpy as np
import pytest

from woodcalc import shrinkage as sh
from woodcalc import species
from woodcalc.lesson import shrinkage as lesson
from woodcalc.lesson.answers import ask, hidden_truth
from woodcalc.lesson.exercise import seeded
from woodcalc.lesson.exercises.shrinkage import EXERCISES

PANELS = (lesson.board_panel, lesson.target_panel, lambda: lesson.block_panel(8.4))
BY_KEY = {e.key: e for e in EXERCISES}


def ends(widget):
    if hasattr(widget, "options"):
        return widget.options[0], widget.options[-1]
    return widget.min, widget.max


def set_to(widget, value):
    widget.value = value[1] if isinstance(value, tuple) else value


@pytest.mark.parametrize("make", PANELS)
def test_every_dial_changes_picture_and_sentence_at_both_ends(make):
    for name in make().dials:
        panel = make()
        seen = []
        for value in ends(panel.dials[name]):
            set_to(panel.dials[name], value)
            assert panel._note.value == "", panel._note.value
            seen.append((panel._picture.value, panel.reading))
        assert seen[0][0] != seen[1][0] and seen[0][1] != seen[1][1], name


@pytest.mark.parametrize("make", PANELS)
def test_all_corners_draw_in_large_print_too(make):
    panel = make()
    panel._big.value = True
    dials = list(panel.dials.values())
    for corner in range(2 ** len(dials)):
        for bit, dial in enumerate(dials):
            set_to(dial, ends(dial)[corner >> bit & 1])
        assert panel._note.value == "", (corner, panel._note.value)


def test_board_panel_reads_out_the_calculator():
    panel = lesson.board_panel()
    board = sh.board_shape(8, 1.125, 0, 5, "northern red oak", 100, 8)
    assert f"{board.width_in:.2f} in wide" in panel.reading
    assert f"cups {board.cup_in:.2f} in" in panel.reading
    panel.dials["mc_pct"].value = 80
    assert "lies flat" in panel.reading and "8.00 in wide" in panel.reading
    panel.dials["mc_pct"].value = 8
    panel.dials["ring_angle_deg"].value = 90
    panel.dials["pith_in"].value = 1
    assert "holds the pith" in panel.reading


def test_target_panel_reads_out_the_calculator():
    panel = lesson.target_panel()
    critical = (0.8125 + 0.125) / (1 - 0.063)
    assert f"{critical:.3f} in when green" in panel.reading
    panel.dials["set_32"].value = 2
    share = 100 * sh.undersize_share(1.0625, critical, 0.025)
    assert f"{share:.1f} in 100" in panel.reading


def test_block_panel():
    panel = lesson.block_panel(10.0)
    assert "6.000" in panel.reading
    panel.dials["mc_pct"].value = 15
    assert "5.700" in panel.reading  # half of 10 % is gone at 15 %


def _width(wood, width_in, green_pct, mc_pct):
    assert green_pct > 30
    return width_in * (1 - species.get(wood).shrink_tangential_pct / 100 * (30 - mc_pct) / 30)


INDEPENDENT = {
    "width-when-dry": _width,
    "quarter-sawn-thickness": lambda wood, thickness_in, mc_pct: (
        10 * thickness_in * species.get(wood).shrink_tangential_pct * (30 - mc_pct) / 30
    ),
    "green-target": lambda finished_in, planing_in, shrink_pct, sd_in: (
        (finished_in + planing_in) / (1 - shrink_pct / 100) + 1.645 * sd_in
    ),
    "too-thin-in-100": lambda critical_in, set_in, sd_in: {0.5: 30.9, 1.0: 15.9, 1.5: 6.7, 2.0: 2.3}[
        round((set_in - critical_in) / sd_in, 3)
    ],
    "shrinkage-of-a-block": lambda shrink_pct: shrink_pct,
}


@pytest.mark.parametrize("key", BY_KEY)
def test_exercises(key):
    """Answers recomputed apart, slips told from the truth and named, steps that end in the answer."""
    exercise = BY_KEY[key]
    told = {slip.name: 0 for slip in exercise.slips}
    for i in range(40):
        numbers = exercise.draw(seeded("test", i))
        truth = exercise.solve(**numbers)
        assert truth == pytest.approx(
            INDEPENDENT[key](**numbers), abs=exercise.tolerance / 2 + 0.05 * (key[0] == "t")
        )
        assert exercise.mark(round(truth, exercise.decimals), numbers)[0]
        assert "{" not in exercise.text(numbers)
        for step in exercise.steps(**numbers):
            assert "nan" not in step
        for slip in exercise.slips:
            wrong = slip.gives(**numbers)
            if abs(wrong - truth) <= exercise.tolerance:
                continue
            right, say = exercise.mark(wrong, numbers)
            assert not right
            told[slip.name] += slip.name in say
    assert min(told.values()) >= 20, told


def test_hidden_truth_is_not_in_the_question_but_on_the_panel():
    whole = hidden_truth("shrinkage-of-a-block", lambda **numbers: lesson.block_panel(**numbers))
    box = whole.box
    truth = box.numbers["shrink_pct"]
    panel = whole.place.children[0]
    panel.dials["mc_pct"].value = 8
    read = float(panel.reading.split("measures ")[1].split(" in")[0])
    assert 100 * (1 - read / 6) * 30 / 22 == pytest.approx(truth, abs=0.03)  # read to 0.001 in
    box.field.value = f"{truth:.1f}"
    assert "Right" in box.feedback.value


def test_answer_box_opens():
    for key in BY_KEY:
        assert ask(key).exercise.key == key


def test_pictures_are_the_same_twice():
    a, b = lesson.board_panel()._picture.value, lesson.board_panel()._picture.value
    assert a == b and len(a) < 120_000
    assert np.isfinite(len(a))
