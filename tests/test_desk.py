"""The leader's desk: the evening adds up, bad input is said in plain words, and the class's answers are read right."""

import html
import itertools
import multiprocessing
import os
import re
import subprocess
import sys
from dataclasses import replace

import nbformat
import pandas as pd
import pytest
from nbclient.exceptions import CellExecutionError

from woodcalc.checks import InputError
from woodcalc.leader import class_answers, desk, evening, paper
from woodcalc.leader import handouts as handout
from woodcalc.lesson import answer_file, exercise
from woodcalc.lesson.answers import ask, guess
from woodcalc.lesson.exercise import every
from woodcalc.lesson.form import records_form
from woodcalc.lesson.plan import plan_desk
from woodcalc.lesson.start import practice_panel
from woodcalc.records import choices

ALL = list(desk.lesson_files())


@pytest.fixture
def my_wood(tmp_path, monkeypatch):
    monkeypatch.setenv(choices.VARIABLE, str(tmp_path / "my-wood"))
    return tmp_path / "my-wood"


def inside(widget):
    """Return a widget and all that it holds."""
    yield widget
    for child in getattr(widget, "children", ()):
        yield from inside(child)


def find(box, kind, label=None):
    found = [w for w in inside(box) if type(w).__name__ == kind]
    return found if label is None else next(w for w in found if w.description == label)


def text(box):
    return " ".join(w.value for w in find(box, "HTML"))


@pytest.mark.parametrize("minutes", [96, 97, 120, 240])
@pytest.mark.parametrize("numbers", [["01"], ["01", "05", "07"], ["07", "01"], ALL])
def test_the_evening_adds_up(numbers, minutes):
    parts = desk.running_order(numbers, minutes)
    assert [p.number for p in parts] == numbers
    assert sum(p.minutes for p in parts) == minutes
    assert parts[0].starts_min == 0
    for before, after in itertools.pairwise(parts):
        assert after.starts_min == before.starts_min + before.minutes
    usual = sum(p.usual_minutes for p in parts)
    for p in parts:  # each its share, to the rounding that the last one takes up
        assert abs(p.minutes - minutes * p.usual_minutes / usual) <= (
            0.5 if p is not parts[-1] else len(parts) / 2
        )
        assert p.minutes > 0


def test_each_part_brings_what_its_notebook_says_to_the_leader():
    for p in desk.running_order(ALL, 360):
        book = nbformat.read(desk.lesson_files()[p.number], as_version=4)
        assert p.title == handout.title(book)
        assert len(p.question) > 20 and "\n\n" not in p.question
        leader = re.sub(r"<[^>]+>", " ", p.leader)
        for word in (
            "inutes",
            "ring",
            "wrong idea",
            "nswers",
            "omputer",
        ):  # what every leader's part must hold
            assert word in leader, f"lesson {p.number} tells the leader nothing of: {word}"
        assert "<li>" in p.cautions or "<p>" in p.cautions


@pytest.mark.parametrize(
    ("numbers", "minutes", "says"),
    [([], 90, "at least one lesson"), (["01", "77"], 90, "no lesson 77. There are: 00, 01"),
     (["01", "05", "07"], 20, "20 minutes for 3 lessons: allow at least 8")],
)  # fmt: skip
def test_what_is_no_evening_is_said_in_plain_words(numbers, minutes, says):
    with pytest.raises(InputError, match=says):
        desk.running_order(numbers, minutes)


def test_the_papers_of_an_evening(tmp_path, monkeypatch):
    monkeypatch.setattr(handout, "run", lambda book, folder, wood: None)  # test_handout.py runs lessons
    monkeypatch.setattr(paper.shutil, "which", lambda name: None)
    said = []
    chosen = choices.Choices(place="Duluth, MN", species="sugar maple", thickness="8/4")
    made = desk.write_evening(tmp_path, ["01", "05"], 60, chosen, told=said.append)
    assert [p.stem for p in made] == [
        "running-order", "sign-in", "feedback", "flyer", "01-measure-the-log-to-take-home",
        "05-wood-and-the-air-to-take-home",
    ]  # fmt: skip
    order, sign_in, feedback, flyer = (p.read_text() for p in made[:4])
    assert "Running order, 60 minutes" in order and "Place: Duluth, MN. Wood: sugar maple, 8/4." in order
    assert order.count("<h3>Say aloud</h3>") == 2 and "&lt;p&gt;" not in order
    assert "7:00 pm" in order and len(said) == 2
    assert "Nobody has to" in sign_in and feedback.count("Before tonight") == 2
    assert "From 7:00 pm to 8:00 pm. Numbers for Duluth, MN." in flyer
    assert all(html.escape(p.question, quote=False) in html.unescape(flyer).replace("&", "&amp;")
               for p in desk.running_order(["01", "05"], 60))  # fmt: skip


@pytest.mark.parametrize("numbers", [["05"], ["01", "05", "07"], ["09", "10", "11"], ALL])
@pytest.mark.parametrize("minutes", [130, 150, 240])
def test_an_evening_is_told_to_the_minute(numbers, minutes):
    for on_paper in (True, False):
        share = evening.frame(minutes, len(numbers), on_paper)
        assert sum(share.values()) == minutes
        parts = desk.running_order(numbers, share["lessons"])
        script = desk.minute_by_minute(parts, "6:45 pm", minutes, on_paper)
        assert script.minutes.sum() == minutes and script.minutes.min() >= 1
        at = evening.clock("6:45 pm") + script.minutes.cumsum().shift(fill_value=0)
        assert script.clock.tolist() == [evening.told(m) for m in at]
        assert script[script.lesson != ""].groupby("lesson").minutes.sum().to_dict() == {
            p.title: p.minutes for p in parts
        }
        assert script.part.iloc[0].startswith("Welcome") and script.part.iloc[-1].startswith("Close")
        pause = script.index[script.part.str.startswith("Break")]
        assert len(pause) == (len(numbers) > 1)
        for k in pause:  # between two lessons, near the middle
            assert script.lesson[k - 1] != script.lesson[k + 1] and script.lesson[k + 1]


def test_every_leaders_part_tells_its_minutes_and_what_to_bring():
    rows = []
    tells = {p.number: p.tells for p in desk.running_order(ALL, 360)}
    for number, path in desk.lesson_files().items():
        said, book = tells[number], nbformat.read(path, as_version=4)
        told = re.search(
            r"\*\*(?:Minutes\*\* \((\d+)|This page, (\d+))", "\n".join(c.source for c in book.cells)
        )
        promised = int(told[1] or told[2])
        rows.append((number, promised, sum(m for _, m in said.parts), handout.minutes(book), said.short_way))
        assert sum(m for _, m in said.parts) == promised, f"lesson {number}: the minutes do not add up"
        assert len(said.bring) >= 2
    assert rows


@pytest.mark.parametrize(
    ("written", "at"),
    [("7 pm", 1140), ("7pm", 1140), ("7 p.m.", 1140), ("19:00", 1140), ("6:30", 1110), ("12 pm", 720), ("12 am", 0),
     ("9.30 am", 570), ("0:15", 15), ("12:15", 735)],
)  # fmt: skip
def test_a_time_of_day_as_people_write_it(written, at):
    assert evening.clock(written) == at
    assert evening.clock(evening.told(at)) == at


@pytest.mark.parametrize("written", ["", "evening", "25", "7:75", "13 pm", "0 am", "7 o'clock"])
def test_no_time_of_day(written):
    with pytest.raises(InputError, match="no time of day"):
        evening.clock(written)


def test_the_evening_on_the_desk(my_wood, monkeypatch):
    box = desk.evening()
    assert text(box).count("<details>") == 3 + 1  # and what to bring
    find(box, "Checkbox", handout.title(nbformat.read(desk.lesson_files()["01"], as_version=4))).value = False
    assert text(box).count("<details>") == 2 + 1
    bar, number = find(box, "IntSlider")[0], find(box, "TypedNumber")[0]
    number.value = "60"
    assert bar.value == 60 and "7:00 pm" in text(box)
    number.value = "an hour"
    assert bar.value == 60 and "expected a whole number from 30 to 300" in box.said
    bar.value = 60 + 5
    number.value = "60 min"
    assert bar.value == 60 and box.said == ""
    for tick in find(box, "Checkbox"):
        tick.value = False
    assert "at least one lesson" in text(box)
    find(box, "Checkbox")[1].value = True
    assert "7:55 pm" in text(box) and "at least one lesson" not in text(box)
    starts = find(box, "Text")[0]
    starts.value = "evening"
    assert "no time of day" in text(box)
    starts.value = "6:30 pm"
    assert "7:25 pm" in text(box) and "no time of day" not in text(box)
    called = []
    monkeypatch.setattr(
        desk, "write_evening", lambda *a: called.append(a) or [my_wood / "running-order.html"]
    )
    place, wood = find(box, "Dropdown")
    place.value, wood.value = "Duluth, MN", "sugar maple"
    find(box, "Checkbox", "Large print").value = True
    find(box, "Button", "Write running order and handouts").click()
    folder, numbers, minutes, chosen, large, _, starts, on_paper, where, whole = called[0]
    assert (folder, numbers, minutes, large) == (my_wood / "class", ["01"], 60, True)
    assert (starts, on_paper, where, whole) == ("6:30 pm", False, "", False)
    assert chosen == replace(choices.Choices(), place="Duluth, MN", species="sugar maple")
    assert "running-order.html" in text(box)


def test_a_folder_that_cannot_be_written_is_said(my_wood, monkeypatch):
    my_wood.write_text("a file where the folder should be")
    box = desk.sheets()
    find(box, "Button", "Write worksheets and key").click()
    assert "woodcalc-warn" in text(box) and "Traceback" not in text(box)


@pytest.fixture
def spoiled(tmp_path, monkeypatch):
    """A folder with one good lesson and three that are none."""
    folder = tmp_path / "lessons"
    folder.mkdir()
    good = desk.lesson_files()["01"]
    (folder / good.name).write_bytes(good.read_bytes())
    (folder / "02-cut-off.ipynb").write_bytes(good.read_bytes()[:900])
    (folder / "03-empty.ipynb").write_text("")
    (folder / "04-no-title.ipynb").write_text(
        '{"cells": [], "metadata": {}, "nbformat": 4, "nbformat_minor": 5}'
    )
    monkeypatch.setattr(desk, "lesson_files", lambda: {p.name[:2]: p for p in sorted(folder.glob("*.ipynb"))})
    return folder


def test_a_spoiled_lesson_is_named_and_the_others_stay_on_the_desk(spoiled, my_wood):
    box = desk.evening()
    for name in ("02-cut-off.ipynb", "03-empty.ipynb", "04-no-title.ipynb"):
        assert f"{name} cannot be read as a lesson. Put a fresh copy" in text(box)
    assert [tick.description[:2] for tick in find(box, "Checkbox")[:-3]] == ["1."]
    assert text(box).count("<details>") == 1 + 1
    with pytest.raises(InputError, match="02-cut-off.ipynb cannot be read"):
        desk.running_order(["01", "02"], 90)


def test_a_lesson_that_does_not_run_is_said_in_a_sentence(tmp_path, monkeypatch, my_wood):
    def fails(book, folder, wood):
        raise CellExecutionError("a long way\nof many lines", "KeyError", "'A1'")

    monkeypatch.setattr(handout, "run", fails)
    monkeypatch.setattr(paper.shutil, "which", lambda name: None)
    box = desk.evening()
    find(box, "Button", "Write running order and handouts").click()
    said = html.unescape(text(box))
    assert "The handout of 1. Measure the log was not written: KeyError: 'A1'" in said
    assert "Untick that lesson" in said and "many lines" not in said
    assert (my_wood / "class" / "running-order.html").exists()


def test_whatever_goes_wrong_on_a_desk_is_a_sentence(my_wood, monkeypatch):
    box = desk.sheets()
    monkeypatch.setattr(desk.worksheets, "write", lambda *a: 1 / 0)
    find(box, "Button", "Write worksheets and key").click()
    assert "ZeroDivisionError: division by zero" in text(box)
    monkeypatch.setattr(desk.choices, "keep", lambda **k: {}["larger_print"])
    switch = desk.larger_print()
    find(switch, "Checkbox")[0].value = True
    assert "woodcalc-warn" in text(switch)


def test_the_desk_of_worksheets(my_wood, monkeypatch):
    monkeypatch.setattr(paper.shutil, "which", lambda name: None)
    box = desk.sheets()
    assert text(box).count("<li>") == 4
    first = text(box)
    find(box, "Text")[0].value = "Another class"
    assert text(box) != first
    find(box, "Text")[0].value = "Our class"
    assert text(box) == first
    for tick in find(box, "Checkbox"):
        tick.value = False
    assert "at least one exercise" in text(box)
    find(box, "Checkbox", "01: doyle one log").value = True
    find(box, "TypedNumber")[0].value = "3"
    find(box, "Button", "Write worksheets and key").click()
    assert (my_wood / "class" / "worksheets.html").read_text().count("<h1>Worksheet ") == 3
    assert "key.html" in text(box)


def test_larger_print_at_one_switch(my_wood):
    box = desk.larger_print()
    find(box, "Checkbox")[0].value = True
    assert choices.read().larger_print and "Kept" in text(box)
    made = [practice_panel(), records_form(), plan_desk(), ask("doyle-one-log"), guess("How long?", "days")]
    for each in [*made, desk.larger_print()]:
        assert "woodcalc-big" in each._dom_classes
    find(box, "Checkbox")[0].value = False
    assert not choices.read().larger_print


def test_answers_are_kept_only_when_asked(my_wood):
    box = ask("doyle-one-log")
    box.field.value = "7"
    assert not (my_wood / "answers.csv").exists()
    choices.keep(keep_answers=True)
    box.field.value = f"{box.exercise.solve(**box.numbers):g}"
    assert "Right" in box.feedback.value
    slip = box.exercise.slips[0]
    box.field.value = repr(slip.gives(**box.numbers))
    box.field.value = "no number"
    kept = pd.read_csv(my_wood / "answers.csv", dtype=str, keep_default_na=False)
    assert tuple(kept.columns) == answer_file.COLUMNS
    assert list(kept.right) == ["yes", "no"] and list(kept.slip) == ["", slip.name]
    assert set(kept.exercise) == {"doyle-one-log"} and set(kept.lesson) == {"01"}
    choices.keep(keep_answers=False)
    box.field.value = "8"
    assert len(pd.read_csv(my_wood / "answers.csv")) == 2


@pytest.mark.parametrize("codec", ["utf-8", "utf-16", "cp1252"])
def test_an_answer_sent_twice_is_kept_once(my_wood, codec):
    """Enter and, a moment later, the button: one answer. Another one in between makes it an answer again."""
    exercise, other = every()["doyle-one-log"], every()["round-as-the-buyer-does"]
    path = my_wood / "answers.csv"
    my_wood.mkdir(exist_ok=True)
    path.write_bytes((",".join(answer_file.COLUMNS) + "\nx,01,é,x,1,no,\n").encode(codec))
    for kind, group, answer in [
        (exercise, "Łódź", 7), (exercise, "Łódź", 7), (other, "Łódź", 3), (exercise, "Łódź", 7),
        (exercise, "ash", 7), (exercise, "Łódź", 8), (exercise, "Łódź", 7), (exercise, "Łódź", 7),
    ]:  # fmt: skip
        answer_file.keep(kind, group, answer, False, None)
    kept = pd.read_csv(path, dtype=str, encoding=codec)
    assert kept.answer.tolist() == ["1", "7", "3", "7", "8", "7"]


def test_an_answer_counts_even_if_it_cannot_be_kept(my_wood, monkeypatch):
    choices.keep(keep_answers=True)
    (my_wood / "answers.csv").mkdir()
    box = ask("doyle-one-log")
    box.field.value = f"{box.exercise.solve(**box.numbers):g}"
    assert "Right" in box.feedback.value and "could not be kept" in box.feedback.value


KEPT = ",".join(answer_file.COLUMNS) + "\n2026-05-01T19:05,01,doyle-one-log,Señor Åkes table,7,no,\n"
KEPT_AS = {
    "UTF-8": KEPT.encode(),
    "UTF-8 with a byte-order mark": b"\xef\xbb\xbf" + KEPT.encode(),
    "UTF-16": KEPT.encode("utf-16"),
    "UTF-16, other end first": b"\xfe\xff" + KEPT.encode("utf-16-be"),
    "UTF-16 without a mark": KEPT.encode("utf-16-le"),
    "one Latin-1 byte": KEPT.encode("latin-1"),
    "Windows": KEPT.replace("\n", "\r\n").encode("cp1252"),
    "old Mac": KEPT.replace("\n", "\r").encode("latin-1"),
    "no final newline": KEPT.rstrip("\n").encode(),
    "semicolons": KEPT.replace(",", ";").encode(),
    "tabs, UTF-16, no final newline": KEPT.replace(",", "\t").rstrip("\n").encode("utf-16"),
    "a line above the header": b"sep=;\r\n" + KEPT.replace(",", ";").encode(),
    "another column, another order": b"seen;" + KEPT.replace(",", ";").encode().replace(b"2026", b"yes;2026"),
    "header only": (",".join(answer_file.COLUMNS)).encode(),
    "empty": b"",
}


@pytest.mark.parametrize("old", KEPT_AS.values(), ids=KEPT_AS)
def test_an_answer_is_added_as_the_file_is_written_and_nothing_else_changes(my_wood, old):
    choices.keep(keep_answers=True)
    path = my_wood / "answers.csv"
    path.write_bytes(old)
    before = class_answers.gather(my_wood)
    box = ask("doyle-one-log", "Łódź")
    box.field.value = f"{box.exercise.solve(**box.numbers):g}"
    assert "Right" in box.feedback.value and "not be kept" not in box.feedback.value
    now = path.read_bytes()
    assert now.startswith(old) and len(now) > len(old)
    counted = class_answers.gather(my_wood)
    assert not counted.attrs["unread"] and counted.right_in_the_end.tolist() == [1]
    assert counted.right_at_first.tolist() == [1 if before.empty else 0]


NOT_OURS = {
    "a workbook": b"PK\x03\x04" + b"\x00" * 60,
    "a picture": b"\x89PNG\r\n\x1a\n\xff\xfe\x00" * 40,
    "other columns": b"log,small_in\n1,14\n",
    "an open quotation mark": (KEPT + '"2026,01').encode(),
    "NULs": KEPT.encode() + b"\x00" * 8,
}


@pytest.mark.parametrize("old", NOT_OURS.values(), ids=NOT_OURS)
def test_a_file_that_cannot_be_added_to_makes_no_right_answer_wrong(my_wood, old):
    choices.keep(keep_answers=True)
    path = my_wood / "answers.csv"
    path.write_bytes(old)
    box = ask("doyle-one-log")
    box.field.value = f"{box.exercise.solve(**box.numbers):g}"
    said = re.sub(r"<[^>]+>", " ", box.feedback.value)
    assert said.split()[0] == "Right:" and "could not be kept for the class" in said and "Error" not in said
    assert path.read_bytes() == old


def test_an_answer_is_marked_even_if_the_file_of_choices_is_broken(my_wood, monkeypatch):
    def spoiled():
        raise RuntimeError("whatever it may be")

    monkeypatch.setattr("woodcalc.lesson.answers.kept_choices", spoiled)
    box = ask("doyle-one-log")
    box.field.value = f"{box.exercise.solve(**box.numbers):g}"
    assert "Right" in box.feedback.value


def _keep_many(folder, name, monkeypatch_variable):
    import os

    os.environ[monkeypatch_variable] = folder
    exercise = every()["doyle-one-log"]
    for n in range(15):
        answer_file.keep(exercise, name, n, n % 2 == 0, None)


def test_two_lessons_open_at_once_lose_no_answer(my_wood):
    context = multiprocessing.get_context("spawn")
    jobs = [
        context.Process(target=_keep_many, args=(str(my_wood), name, choices.VARIABLE))
        for name in ("ash", "elm")
    ]
    for job in jobs:
        job.start()
    for job in jobs:
        job.join(60)
        assert job.exitcode == 0
    kept = pd.read_csv(my_wood / "answers.csv", dtype=str)
    assert sorted(zip(kept.group, kept.answer.astype(int), strict=True)) == [
        (name, n) for name in ("ash", "elm") for n in range(15)
    ]


def test_a_save_that_fails_leaves_what_was_kept(my_wood, monkeypatch):
    exercise = every()["doyle-one-log"]
    answer_file.keep(exercise, "ash", 144, True, None)
    before = (my_wood / "answers.csv").read_bytes()

    def full(*a):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("os.replace", full)
    with pytest.raises(OSError, match="still there"):
        answer_file.keep(exercise, "ash", 145, True, None)
    assert (my_wood / "answers.csv").read_bytes() == before


def answers(path, *rows):
    path.parent.mkdir(parents=True, exist_ok=True)
    frame = pd.DataFrame(rows, columns=["lesson", "exercise", "answer", "right", "slip"])
    frame.assign(when="2026-12-03T19:05", group="first")[list(answer_file.COLUMNS)].to_csv(path, index=False)


@pytest.fixture
def class_folder(tmp_path):
    """Three learners, and files that are no answers."""
    folder = tmp_path / "class-answers"
    doyle, water = ("01", "doyle-one-log"), ("00", "water-in-a-board")
    large, wet = "large end for small end", "the water was divided by the wet weight (wet basis)"
    answers(folder / "table-1" / "answers.csv", (*doyle, "196", "no", large), (*doyle, "196", "no", large),
            (*doyle, "144", "yes", ""), (*water, "50", "yes", ""))  # fmt: skip
    answers(folder / "table-2" / "answers.csv", (*doyle, "196", "no", large), (*doyle, "150", "no", ""),
            (*water, "33", "no", wet), (*water, "50", "yes", ""))  # fmt: skip
    answers(folder / "anna.csv", (*doyle, "144", "yes", ""), (*water, "50", "yes", ""))
    earlier = folder / "table-1" / "history" / "answers.000001.2026-05-01T190000.csv"  # what a save kept
    answers(earlier, (*doyle, "196", "no", large))
    (folder / "empty.csv").write_text("")
    (folder / "photo.csv").write_bytes(b"\x89PNG\r\n\x1a\n\xff\xfe\x00" * 40)
    (folder / "logs.csv").write_text("log,small_in\n1,14\n")
    (folder / "ragged.csv").write_text('when,lesson\n1\n1,2,3,4\n"open')
    (folder / "heads-only.csv").write_text(",".join(answer_file.COLUMNS) + "\n")
    (folder / "notes.txt").write_text("bring chalk")
    (folder / "a-folder.csv").mkdir()
    return folder


def test_a_folder_of_answers_is_read_whatever_else_lies_in_it(class_folder):
    found = class_answers.gather(class_folder)
    # fewest right at the first try come first
    assert list(found.exercise) == [
        "doyle-one-log",
        "water-in-a-board",
    ]
    doyle, water = found.to_dict("records")
    assert (doyle["learners"], doyle["right_at_first"], doyle["right_in_the_end"]) == (3, 1, 2)
    assert (doyle["usual_slip"], doyle["slips"]) == ("large end for small end", 2)  # learners, not tries
    assert (water["learners"], water["right_at_first"], water["right_in_the_end"]) == (3, 2, 3)


def test_what_is_not_counted_is_named_with_the_reason(class_folder):
    (class_folder / "table-3").mkdir()
    (class_folder / "table-3" / "answers.xlsx").write_bytes(NOT_OURS["a workbook"])
    (class_folder / "short.csv").write_text(KEPT + "2026-05-01T19:06,01\n")
    (class_folder / "latin.csv").write_bytes(KEPT_AS["one Latin-1 byte"])
    found = class_answers.gather(class_folder)
    unread = dict(line.split(": ", 1) for line in found.attrs["unread"])
    assert set(unread) == {"empty.csv", "photo.csv", "ragged.csv", "short.csv", "table-3/answers.xlsx"}
    assert "workbook" in unread["table-3/answers.xlsx"] and "CSV" in unread["table-3/answers.xlsx"]
    assert "1 of its rows" in unread["short.csv"] and "no columns" in unread["ragged.csv"]
    assert found.learners.tolist() == [5, 3]  # short.csv and latin.csv count for what they hold


def test_excel_may_have_had_it_in_its_hands(class_folder):
    file = class_folder / "anna.csv"
    file.write_bytes(b"\xef\xbb\xbf" + file.read_bytes().replace(b",", b";"))
    assert class_answers.gather(class_folder).learners.tolist() == [3, 3]


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no named pipes here")
def test_what_is_no_file_is_named_and_not_waited_for(tmp_path):
    os.mkfifo(tmp_path / "pipe.csv")
    (tmp_path / "gone.csv").symlink_to(tmp_path / "nowhere.csv")
    (tmp_path / "ada.csv").write_text(KEPT, encoding="utf-8")
    code = (
        f"from woodcalc.leader.class_answers import gather; found = gather({str(tmp_path)!r});"
        "print(len(found)); print(*found.attrs['unread'], sep=chr(10))"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, timeout=60, check=True
    )
    assert done.stdout.splitlines() == ["1", "gone.csv: It is no file.", "pipe.csv: It is no file."]


def test_an_empty_folder_and_none_at_all(tmp_path):
    assert class_answers.gather(tmp_path).empty
    with pytest.raises(FileNotFoundError, match="no folder"):
        class_answers.gather(tmp_path / "nowhere")


def test_the_desk_says_what_to_talk_about(class_folder, my_wood):
    box = desk.gathered()
    find(box, "Button", "Read the answers").click()
    assert "no folder" in text(box)
    find(box, "Text")[0].value = str(class_folder)
    find(box, "Button", "Read the answers").click()
    said = text(box)
    assert (
        "Talk about <b>doyle-one-log</b> first: 1 of 3 had it right at the first try, 2 in the end." in said
    )
    assert "2 made this slip: large end for small end." in said
    assert "Not counted:" in said and "photo.csv: " in said and "no columns when, lesson" in said
    assert "both inside the bark" in said and "{" not in re.sub(r"<style>.*?</style>", "", said, flags=re.S)


def test_worksheets_with_broken_words_are_told_at_the_desk(monkeypatch):
    def broken(topic):
        raise InputError("logs.toml: Unterminated string (at line 9, column 11).")

    monkeypatch.setattr(exercise, "of_topic", broken)
    told = desk.sheets().children[1].value
    assert "No worksheets can be dealt: logs.toml: Unterminated string (at line 9, column 11)." in told
