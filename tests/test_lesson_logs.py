"""Lesson 1: panels say what the calculators say, exercises against arithmetic written out here."""

import re

import pytest
from second_answers import agree

from woodcalc import logs
from woodcalc.figures import logs as figures
from woodcalc.figures import style
from woodcalc.lesson import logs as panels
from woodcalc.lesson.exercises.logs import EXERCISES
from woodcalc.records import choices


def test_log_end_says_what_the_rules_say():
    panel = panels.log_end_panel()
    panel.dials["short_in"].value = 14.0
    panel.dials["wider_in"].value = 3.0
    panel.dials["length_ft"].value = 16
    found = [float(n) for n in re.findall(r"\d+(?:\.\d+)?", panel.reading)]
    assert found[:5] == [16, 16, 144, 166, 181] and found[5] == 1
    assert found[7:10] == [54, 62, 67]  # 12 bf a foot of length over the area of a 16 in circle, 201 in2
    assert "half inch down" in panel.below.value  # 15.5 in: places disagree, the table shows both


def test_weight_says_what_the_calculators_say():
    panel = panels.weight_panel()
    panel.dials["species"].value = "white oak"
    log = logs.Log(small_in=16, length_ft=12)
    volume = log.volume_ft3
    assert f"{volume:.1f} ft3" in panel.reading
    assert f"{logs.log_weight_lb('white oak', volume):,.0f} lb green" in panel.reading
    assert f"{logs.log_weight_range_lb('white oak', log)[1]:,.0f} lb, bark and trim included" in panel.reading


def test_the_weight_is_first_of_the_wood_that_was_chosen(tmp_path, monkeypatch):
    monkeypatch.setenv(choices.VARIABLE, str(tmp_path))
    choices.keep(species="black walnut")
    assert panels.weight_panel().reading.startswith("A black walnut log of 16 to 17-1/2 in")


def test_the_stick_reads_the_hidden_log():
    """The orange mark stands where the wood ends, by the numbers on the stick."""
    for turn, truth in [(60, 13), (150, 17)]:
        page, sentence = figures.oval_end(turn, 13, 17, 60)
        svg = page.svg()
        places = {word: float(x) for x, word in re.findall(r'<text x="([^"]+)"[^>]*>(\d+)</text>', svg)}
        ((mark_px, foot_px),) = re.findall(rf'd="M(\S+) \S+L(\S+) [^"]*" [^>]*stroke="{style.ORANGE}"', svg)
        assert mark_px == foot_px
        inch_px = (places["26"] - places["2"]) / 24
        assert 2 + (float(mark_px) - places["2"]) / inch_px == pytest.approx(truth, abs=0.01)
        assert "13" not in sentence and "17" not in sentence and not {"13", "17"} & places.keys()


INDEPENDENT = {  # each exercise worked a second time, without the calculators
    "doyle-one-log": lambda small_in, length_ft, **_: (small_in - 4) ** 2 * length_ft / 16,
    "round-as-the-buyer-does": lambda short_in, long_in, tape_ft, over_in: (
        ((short_in + long_in) // 2 - 4) ** 2 / 16 * (int((12 * tape_ft + over_in - 4) // 24) * 2)
    ),
    "international-two-sections": lambda small_in: (
        0.904762 * sum(0.22 * d * d - 0.71 * d for d in (small_in, small_in + 0.5))
    ),
    "green-log-weight": lambda small_in, large_in, length_ft, density_lb_per_ft3, **_: (
        0.005454 * (small_in**2 + large_in**2) / 2 * length_ft * density_lb_per_ft3
    ),
    "oval-log-on-the-stick": lambda short_in, long_in, length_ft, **_: (
        ((short_in + long_in) / 2 - 4) ** 2 * length_ft / 16
    ),
}


@pytest.mark.parametrize("exercise", EXERCISES, ids=lambda e: e.key)
def test_answers_worked_a_second_time(exercise):
    agree(exercise, INDEPENDENT[exercise.key])


def test_a_log_that_the_form_saves_stands_in_picture_and_table_at_once(tmp_path, monkeypatch):
    from woodcalc.lesson.box import plain
    from woodcalc.lesson.form import records_form

    monkeypatch.setenv("WOODCALC_MY_WOOD", str(tmp_path))
    form, picture, tally = records_form("logs"), panels.own_log_panel(), panels.own_tally()
    assert picture.dials["log"].value == "1, northern red oak" and "18 logs" in tally.still()
    for name, text in {"species": "white oak", "small_in": "16", "length_ft": "12"}.items():
        form.fields[name].value = text
    form.save()
    assert picture.dials["log"].value == "1, white oak" and "108 bf by Doyle" in picture.reading
    assert "1 log: Doyle 108" in plain(tally.still()) and "Kettle Hollow" not in tally.still()
    heads = plain(form.rows_line.value).splitlines()[1]
    assert "Small end (in)" in heads and "small_in" not in heads
    for name, text in {"species": "white ash", "small_in": "12", "length_ft": "12"}.items():
        form.fields[name].value = text
    form.save()
    assert len(picture.dials["log"].options) == 2 and "2 logs: Doyle 156" in plain(tally.still())


def test_a_standing_tree_says_what_it_expects():
    from woodcalc.lesson.box import plain

    box = panels.standing_tree()
    box.dials["dbh"].value = "60 in"
    assert "expected a number from 10 to 40 in" in plain(box.told.value)
