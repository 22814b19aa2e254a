"""Lesson 00: the strip of the job, choices that are kept, the look at the computer, the first answer boxes."""

import errno
import json
import sys
import tempfile
from importlib import metadata
from pathlib import Path

import pytest
from second_answers import agree

from woodcalc import climate, species
from woodcalc.figures import start as figures
from woodcalc.lesson import start as lesson
from woodcalc.lesson.exercises.start import EXERCISES
from woodcalc.records import choices

LESSONS = Path(__file__).parents[1] / "lessons"


@pytest.fixture
def my_wood(tmp_path, monkeypatch):
    monkeypatch.setenv(choices.VARIABLE, str(tmp_path / "my-wood"))
    return tmp_path / "my-wood"


def test_the_strip_links_every_lesson_and_says_what_each_picture_shows():
    page = lesson.job_strip().data
    for number, (digits, title, file, shows) in enumerate(figures.STEPS, 1):
        assert file.startswith(digits) and int(digits) == number
        assert page.count(f'href="{file}.ipynb"') == 2
        assert f'alt="Lesson {number}, {title}: {shows}."' in page


def test_each_choice_changes_the_picture_and_is_kept(my_wood):
    panel = lesson.choices_panel()
    assert not my_wood.exists()  # looking keeps nothing
    for name, dial in panel.dials.items():
        before = panel.picture.value, panel.reading
        other = next(
            value
            for option in dial.options
            if (value := option[1] if isinstance(option, tuple) else option) != dial.value
        )
        dial.value = other
        assert panel.picture.value != before[0] and panel.reading != before[1], name
        assert getattr(choices.read(), name.removesuffix("_name")) == other
        assert str(my_wood) in panel.kept.value
    assert json.loads((my_wood / "choices.json").read_text())["month"] == panel.dials["month"].value


def test_choices_come_back_when_the_lesson_opens_again(my_wood):
    choices.keep(place="Duluth, MN", species="sugar maple", thickness="16/4", month=9)
    panel = lesson.choices_panel()
    assert "16/4 sugar maple, stacked in Sep at Duluth, MN" in panel.reading


def test_the_sentence_tells_what_the_tables_say(my_wood):
    panel = lesson.choices_panel()
    panel.dials["place"].value, panel.dials["species_name"].value = "Eugene, OR", "red maple"
    panel.dials["month"].value = 12
    assert f"{species.get('red maple').green_mc_pct:.0f} % moisture content" in panel.reading
    assert f"rest at {climate.get('Eugene, OR').monthly.emc_pct[12]:.1f} %" in panel.reading


def test_all_places_woods_and_thicknesses_draw(my_wood):
    panel = lesson.choices_panel()
    panel.enlarge(True)
    for name in ("place", "species_name", "thickness", "month"):
        dial = panel.dials[name]
        for option in dial.options[::7] + dial.options[-1:]:
            dial.value = option[1] if isinstance(option, tuple) else option
            assert panel.note_line.value == ""


def test_a_choice_that_cannot_be_kept_says_so_in_plain_words(tmp_path, monkeypatch):
    blocked = tmp_path / "a-file"
    blocked.write_text("not a folder")
    monkeypatch.setenv(choices.VARIABLE, str(blocked / "my-wood"))
    panel = lesson.choices_panel()
    assert "cannot be read" in panel.kept.value
    panel.dials["month"].value = 11
    assert "Not kept" in panel.kept.value and "Traceback" not in panel.kept.value
    assert "stacked in Nov" in panel.reading


def test_switches_are_kept_and_leave_the_other_choices(my_wood):
    choices.keep(place="Duluth, MN")
    box = lesson.switches_panel()
    for name, tick in box.ticks.items():
        tick.value = True
        assert getattr(choices.read(), name) and "Kept" in box.kept.value
    assert choices.read().place == "Duluth, MN"


def test_this_computer_is_ready(my_wood):
    panel = lesson.ready_panel()
    assert [c.what for c in panel.found if not c.good] == []
    assert len(panel.found) == 7
    assert not my_wood.exists()  # a look leaves nothing behind


def looked_at(what):
    """What was found of one thing that is looked at."""
    return next(check for check in lesson.checks() if check.what == what)


def test_a_folder_that_cannot_be_written_is_said_with_what_to_do(tmp_path, monkeypatch):
    blocked = tmp_path / "a-file"
    blocked.write_text("not a folder")
    monkeypatch.setenv(choices.VARIABLE, str(blocked))
    check = looked_at("Your folder")
    assert not check.good and f"{blocked} is a file, and your folder cannot be made in it" in check.says


def test_a_full_disk_is_said_with_what_to_do(my_wood, monkeypatch):
    def full(**_):
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(tempfile, "NamedTemporaryFile", full)
    check = looked_at("Your folder")
    assert not check.good and "No space left on device" in check.says
    assert "Copy the lessons to a folder of your own" in check.says


def test_an_old_or_missing_library_is_named(monkeypatch):
    monkeypatch.setattr(metadata, "requires", lambda name: ["numpy>=999", "no-such-thing>=1", "scipy>=1"])
    check = looked_at("Libraries")
    assert not check.good and "numpy" in check.says and "no-such-thing is missing" in check.says
    assert "scipy" not in check.says


def test_a_lab_without_the_button_is_told_the_menu(monkeypatch, tmp_path):
    monkeypatch.setattr(sys, "prefix", str(tmp_path))
    check = looked_at("Button")
    assert not check.good and "Run All Cells" in check.says


def test_a_failed_check_is_marked_in_words(monkeypatch):
    monkeypatch.setattr(lesson, "checks", lambda: [lesson.Check(False, "Tables", "<missing>")])
    panel = lesson.ready_panel()
    text = panel.children[1].value + panel.children[2].value
    assert "! Look here" in text and "&lt;missing&gt;" in text and "Look at: Tables" in text


def test_the_practice_slider_reports_itself_alive():
    panel = lesson.practice_panel()
    pictures = []
    for rings in (1, 60):
        panel.dials["rings"].value = rings
        pictures.append(panel.picture.value)
        assert f"{rings} ring" in panel.reading
    assert pictures[0] != pictures[1] and "Good" in panel.alive.value


def by_hand(exercise, n):
    if exercise.key == "board-feet-of-a-board":
        return n["thickness_in"] * n["width_in"] * n["length_ft"] / 12
    if exercise.key == "quarters-of-an-inch":
        return {"five": 1.25, "six": 1.5, "eight": 2.0, "ten": 2.5, "twelve": 3.0}[n["said"].split()[0]]
    return 100 * (n["wet_lb"] / n["dry_lb"] - 1)


@pytest.mark.parametrize("exercise", EXERCISES, ids=lambda e: e.key)
def test_answers_worked_by_hand_are_right(exercise):
    agree(exercise, lambda **n: by_hand(exercise, n), within=exercise.tolerance, turns=30)


def test_linked_lessons_have_the_names_of_the_files():
    there = {path.stem for path in LESSONS.glob("[0-9]*.ipynb")}
    assert there <= {"00-start-here"} | {file for _, _, file, _ in figures.STEPS}
