"""Lesson 04: its panels against the calculators, its exercises against arithmetic written out here."""

import re

import pytest
from second_answers import agree

from woodcalc import moisture as m
from woodcalc import species
from woodcalc.figures import moisture as figures
from woodcalc.lesson import moisture as lesson
from woodcalc.lesson.answers import ask, hidden_truth
from woodcalc.lesson.box import plain
from woodcalc.lesson.exercise import seeded
from woodcalc.lesson.exercises.moisture import EXERCISES
from woodcalc.records import choices, neighbors


def test_scale_reads_what_the_lumber_weighs():
    panel = lesson.board_panel()
    feet3 = 1.125 * 8 * 10 / 144
    total = feet3 * m.green_weight_lb_per_ft3("northern red oak", 80)
    assert f"weighs {total:.1f} lb" in panel.reading
    panel.dials["mc_pct"].value = 150
    assert "cannot hold more than 114 %" in panel.reading
    panel.dials["mc_pct"].value = 20
    assert "all of it bound" in panel.reading


def test_oven_panel_says_what_each_mistake_does():
    panel = lesson.oven_panel()
    assert "right to a point" in panel.reading
    panel.dials["hours"].value = 6
    assert "too low" in panel.reading
    panel.dials["hours"].value = 24
    panel.dials["from_end_in"].value = 1
    assert "too low" in panel.reading
    panel.dials["from_end_in"].value = 24
    panel.dials["division_g"].value = 5.0
    assert f"by {m.oven_test(100, 55, 5).most_pct:.1f}" in panel.reading


def test_oven_curve_ends_dry():
    wet, dried = figures.section_weights_g(36, 30, 0.01)
    assert dried == pytest.approx(figures.SECTION_DRY_G, abs=0.02)
    assert m.mc_pct(wet, dried) == pytest.approx(figures.BOARD_MC, abs=0.1)


def test_sample_panel_replays_the_kiln_sample():
    # Dry Kiln Operator's Manual ch. 6 (from memory): 62.2 %, 2.75 lb, and 50.5 % at 4.14 lb (50.6 unrounded)
    panel = lesson.sample_panel()
    panel.dials["lost_lb"].value = 0.32
    assert "62.2 %" in panel.reading and "at 50.6 %" in panel.reading
    assert "2.75 lb" in panel.below.value


@pytest.mark.parametrize("name", species.names())
def test_the_weights_shown_belong_to_the_moisture_beside_them(name, tmp_path, monkeypatch):
    """Each weight is 5.2 lb of water a board foot (62.43/12) times 1-1/8, the wood's specific gravity and 1 + MC/100,
    and the water that leaves is the difference of two weights shown: to half a pound and half a point, as printed."""
    monkeypatch.setenv(choices.VARIABLE, str(tmp_path / "mine"))
    choices.keep(species=name)
    told = plain(lesson.own_weights()._repr_html_())
    dry = 100 * 62.43 / 12 * 1.125 * species.get(name).basic_sg
    shown = {}
    for kind, mc, likely in re.findall(
        r"^(green|green, .*only|air-dried|for furniture)  (\d+)  (\d+)", told, re.M
    ):
        shown[kind] = int(mc), int(likely)
        assert int(likely) == pytest.approx(dry * (1 + int(mc) / 100), abs=0.5 + 0.005 * dry), kind
    water = int(re.search(r"from green to 8 %: (\d+) lb", told)[1])
    assert water == pytest.approx(shown["green"][1] - shown["for furniture"][1], abs=1.01)
    assert (
        shown["green"][0] == round(m.start_mc_pct(name)) == round(neighbors.green_and_inches(name, "4/4")[0])
    )


INDEPENDENT = {
    "section-from-the-oven": lambda wet_g, dry_g: 100 * (wet_g - dry_g) / dry_g,
    "sample-board-now": lambda first_pct, second_pct, green_lb, now_lb: (
        100 * (now_lb * (1 + (first_pct + second_pct) / 200) / green_lb - 1)
    ),
    "load-of-green-lumber": lambda wood, sg, mc_pct, board_feet: (
        62.43 * species.get(wood).basic_sg * (1 + mc_pct / 100) * board_feet / 12 * 1.125
    ),
    "cold-meter": lambda reading_pct, temp_f: reading_pct + reading_pct * (70 - temp_f) / 250,
    "oven-test-of-a-board": lambda board_mc_pct: board_mc_pct,
}


@pytest.mark.parametrize("exercise", EXERCISES, ids=lambda e: e.key)
def test_answers_worked_a_second_time(exercise):
    agree(exercise, INDEPENDENT[exercise.key])


def test_paper_arithmetic_counts_as_right():
    """Oven-dry weight rounded to 0.01 lb, as on paper, still gets the point."""
    exercise = next(e for e in EXERCISES if e.key == "sample-board-now")
    for i in range(40):
        n = exercise.draw(seeded("paper", i))
        start = round((n["first_pct"] + n["second_pct"]) / 2, 1)
        dry = round(n["green_lb"] / (1 + start / 100), 2)
        assert exercise.mark(round(100 * (n["now_lb"] / dry - 1), 1), n)[0]


def test_hidden_truth_can_be_measured():
    whole = hidden_truth("oven-test-of-a-board", lambda **numbers: lesson.unknown_board_panel(**numbers))
    panel, box = whole.place.children[0], whole.box
    panel.dials["hours"].value = 30
    panel.dials["from_end_in"].value = 30
    panel.dials["division_g"].value = 0.1
    words = panel.reading.split()
    wet, dry = (float(words[words.index("g", k) - 1]) for k in (0, words.index("g") + 1))
    box.field.value = f"{m.mc_pct(wet, dry):.1f}"
    assert "Right" in box.feedback.value
    assert f"{box.numbers['board_mc_pct']:g} %" not in panel.reading


def test_answer_box_opens():
    for exercise in EXERCISES:
        assert ask(exercise.key).exercise is exercise
