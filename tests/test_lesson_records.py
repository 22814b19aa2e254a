"""Lesson 08: the panels say what the calculators say, the form keeps what is typed."""

import base64
import errno
import html
import io
import json
import pathlib
import re
import shutil
import time
import warnings
import zipfile
from datetime import UTC, datetime

import ipywidgets as w
import numpy as np
import pandas as pd
import pytest

from woodcalc import drying, records
from woodcalc.dates import span_told
from woodcalc.figures import records as figures
from woodcalc.lesson import drafts, held
from woodcalc.lesson import form as form_module
from woodcalc.lesson import records as lesson
from woodcalc.lesson.before_saving import SAVE_ANYWAY
from woodcalc.lesson.box import plain
from woodcalc.lesson.doctor import doctor_panel
from woodcalc.lesson.exercise import every, seeded
from woodcalc.lesson.form import records_form
from woodcalc.records import backup as backups
from woodcalc.records import keep


@pytest.fixture
def my_wood(tmp_path, monkeypatch):
    monkeypatch.setenv("WOODCALC_MY_WOOD", str(tmp_path / "mine"))
    return tmp_path / "mine"


def test_learning_sentence_is_the_forecast(my_wood):
    panel = lesson.learning_panel()
    panel.dials["entered"].value = 5
    table = records.mc_readings(
        records.read(records.KETTLE_HOLLOW / "readings.csv"), "A", "northern red oak"
    ).head(5)
    forecast = drying.air_dry("northern red oak", "4/4", "Madison", "2025-05-10", pile_width_ft=4).update(
        table
    )
    assert f"dries at {forecast.pace.likely:.2f} of the usual pace" in panel.reading
    assert span_told(*forecast.date_of(20)) in panel.reading


def test_a_slip_of_the_pen_does_not_wreck_the_forecast():
    right, wrong = (figures.recorded(8, "both", slip)[1] for slip in (False, True))
    assert abs((right.date_of(20).likely - wrong.date_of(20).likely).days) <= 5


def test_made_up_stack_dries_as_the_forecast_does_at_the_usual_pace():
    f = drying.air_dry("northern red oak", "4/4", "Madison", "2026-05-10", start_mc_pct=80)
    assert figures.stack_truth(1.0)[:121] == pytest.approx(f.daily["likely"].to_numpy()[:121], abs=0.3)


def test_two_weighings_narrow_the_date_more_than_two_meter_readings():
    counts, widths = figures.days_open(10, 14, 0.8)
    assert list(counts) == [0, 2, 4, 6]
    none, two, by_meter = widths["weight"][0], widths["weight"][1], widths["meter"][1]
    assert two <= none - 7 and two <= by_meter - 7  # by a week and more
    # all are of one board, which may differ from its stack: more of them do not narrow it much further
    assert 0.5 * widths["weight"][0] < widths["weight"][3] < 0.75 * widths["weight"][0]
    _, of_four = figures.days_open(10, 14, 0.8, 4)
    assert of_four["weight"][3] < 0.75 * widths["weight"][3]


def test_the_hidden_pace_can_be_found_on_the_panel():
    exercise = every()["the-unknown-stack"]
    for turn in range(8):
        numbers = exercise.draw(seeded("test", turn))
        days = np.arange(7, 92, 7)
        seen = figures.made_up_readings(numbers["pace"], days, "weight", numbers["seed"])["mc_pct"].to_numpy()
        tries = np.arange(0.5, 1.51, 0.05)
        misses = [((seen - figures.stack_truth(p)[days]) ** 2).sum() for p in tries]
        right, _ = exercise.mark(float(tries[int(np.argmin(misses))]), numbers)
        assert right
        assert f"{numbers['pace']:g}" not in exercise.text(numbers)


def fill(form, **values):
    for name, value in values.items():
        form.fields[name].value = value


def press(widget, text):
    """Press the button with this text, anywhere in the widget."""
    found = [
        b
        for b in buttons(widget)
        if b.description in (text, f"{text} in {getattr(widget, 'path', pathlib.Path()).name}")
    ]
    assert len(found) == 1, (text, [b.description for b in buttons(widget)])
    found[0].click()


def texts(widget):
    """All that stands in a widget to be read."""
    for child in widget.children:
        if isinstance(child, w.HTML):
            yield plain(child.value)
        yield from texts(child) if hasattr(child, "children") else ()


def save_anyway(form):
    """Save a reading that the form asks about."""
    press(form, "Check and save")
    assert "Not saved yet" in form.said and form.question.asked
    press(form, SAVE_ANYWAY)


def buttons(widget):
    for child in widget.children:
        if isinstance(child, w.Button):
            yield child
        yield from buttons(child) if hasattr(child, "children") else ()


GOOD = {"date": "2025-06-21", "stack": "A", "board": "A1", "kind": "weight", "value": "12,4", "unit": "lb"}


def test_form_saves_a_row_and_shows_it(my_wood):
    form = records_form()
    fill(form, **GOOD)
    form.save()
    assert form.said.startswith("Saved as your first reading (row 2 of readings.csv).")
    table = records.read(my_wood / "readings.csv")
    assert table.loc[2, "value"] == 12.4
    assert table.loc[2, "date"] == pd.Timestamp("2025-06-21")
    assert 'data-name="Value">12.4\xa0lb</td>' in form.rows_line.value
    assert form.fields["stack"].value == "A"  # stays for the next row
    assert form.fields["value"].value == ""


def test_form_lists_a_weight_without_a_unit(my_wood):
    my_wood.mkdir(exist_ok=True)
    (my_wood / "readings.csv").write_text(
        "date,stack,board,kind,value\n2026-05-10,A,1-3,weight,16.6\n2026-05-24,A,1-3,weight,14.9\n"
    )
    form = records_form()
    listed = [label for label, _ in form.marked._options_full]
    assert any("14.9" in label for label in listed), listed
    assert "Error" not in form.said


def test_form_fits_the_unit_to_the_kind(my_wood):
    form = records_form()
    fill(form, kind="meter")
    assert form.fields["unit"].value == "%"
    fill(form, kind="weight", unit="g")
    fill(form, kind="oven-dry")
    assert form.fields["unit"].value == "g"


def test_form_says_what_is_wrong_and_keeps_what_was_typed(my_wood):
    form = records_form()
    fill(form, **GOOD | {"value": "twelve", "date": "5/6/2025"})
    form.save()
    assert "Not saved yet" in form.said
    assert "Value: found 'twelve'" in form.said
    assert (
        "6 May or 5 June? Write 2025-05-06 or 2025-06-05." in form.said and "head the column" not in form.said
    )
    assert form.fields["value"].value == "twelve"
    assert not (my_wood / "readings.csv").exists()


def test_form_corrects_and_takes_out(my_wood):
    form = records_form()
    for value in ("12.4", "14.2"):
        fill(form, **GOOD | {"value": value})
        form.save(replace=False)
    form.marked.value = 3
    assert form.fields["value"].value == "14.2"
    fill(form, value="11.8")
    form.save()
    assert "Row 3 of readings.csv is corrected." in form.said
    assert list(records.read(my_wood / "readings.csv")["value"]) == [12.4, 11.8]
    form.marked.value = 2
    press(form, "Take this row out")
    assert form.question.asked.startswith(
        "Take row 2 out of readings.csv? 2025-06-21, A, A1, weight, 12.4, lb"
    )
    press(form, "Keep it")
    assert form.question.asked == "" and len(records.read(my_wood / "readings.csv")) == 2
    press(form, "Take this row out")
    press(form, "Take it out")
    assert (
        "Row 2 is taken out of readings.csv: 2025-06-21, A, A1, weight, 12.4, lb. Undo brings it back."
        in form.said
    )
    assert list(records.read(my_wood / "readings.csv")["value"]) == [11.8]


def test_the_question_before_a_log_goes_says_what_came_from_it(my_wood):
    my_wood.mkdir(exist_ok=True)
    (my_wood / "logs.csv").write_text(
        "log,species,small_in,length_ft\n1,white ash,14,12\n2,white ash,15,12\n3,white ash,15,12\n"
    )
    boards = "".join(f"{log}-{i},{log},white ash,4/4,6,8\n" for log, i in ((2, 1), (2, 2), (3, 1)))
    (my_wood / "boards.csv").write_text(f"board,log,species,nominal,width_in,length_ft\n{boards}")
    form = records_form("logs")
    said = []
    for row in (2, 3, 4):
        form.marked.value = row
        press(form, "Take this row out")
        said.append(form.question.asked)
    assert "came from it" not in said[0]
    assert "2 boards came from it. They stay in boards.csv." in said[1]
    assert "One board came from it. It stays in boards.csv." in said[2]


def test_a_save_says_what_it_changed_and_says_so_if_that_is_nothing(my_wood):
    form = records_form()
    fill(form, **GOOD)
    form.save()
    before = lines(my_wood / "readings.csv")
    form.marked.value = 2
    form.save()
    assert "Nothing changed in row 2 of readings.csv" in form.said and "corrected" not in form.said
    assert form.marked.value == 2 and lines(my_wood / "readings.csv") == before
    fill(form, board="7", note="dry end")
    form.save()
    said = "Row 2 of readings.csv is corrected. Board: A1 becomes 7; Note: nothing becomes dry end."
    assert said in form.said and records.read(my_wood / "readings.csv")["board"].tolist() == ["7"]


def test_the_form_says_what_the_doctor_page_says_of_a_row(my_wood):
    """A meter above its scale, and a board that boards.csv lacks."""
    my_wood.mkdir(exist_ok=True)
    (my_wood / "stacks.csv").write_text("stack,species,nominal,stacked\nA,white ash,4/4,2025-05-10\n")
    boards = "1-1,white ash,4/4,6,8\n1-2,white ash,4/4,6,8\n"
    (my_wood / "boards.csv").write_text(f"board,species,nominal,width_in,length_ft\n{boards}")
    form = records_form()
    fill(form, date="2025-05-12", stack="A", board="1-1", kind="meter", value="45")
    form.save()
    assert "Good to know: kept, not trusted: a meter tells little above 30 %." in form.said
    fill(form, date="2025-05-26", stack="A", board="1-9", kind="meter", value="26")
    form.save()
    assert "Good to know: boards.csv has no board 1-9 (stack A)." in form.said


def test_two_forms_on_one_file_lose_nothing(my_wood):
    one, two = records_form(), records_form()
    for form, board in ((one, "A1"), (two, "A2"), (one, "A3")):
        fill(form, **GOOD | {"board": board})
        form.save()
    assert list(records.read(my_wood / "readings.csv")["board"]) == ["A1", "A2", "A3"]
    assert "1 more row came in from another window or program" in one.said
    one.marked.value = 2
    two.marked.value = 0
    two.read_again()
    two.marked.value = 2
    fill(one, value="11")
    one.save()
    fill(two, value="10")
    two.save()
    assert "changed by another program: row 2 now reads" in two.said
    assert two.fields["value"].value == "10"  # as it was typed
    assert two.marked.value == 0  # the row that it showed is nowhere any more
    assert "The form stands at a new row now" in two.said
    assert records.read(my_wood / "readings.csv").loc[2, "value"] == 11


def test_form_on_a_read_only_file_and_on_a_broken_one(my_wood):
    form = records_form()
    fill(form, **GOOD)
    form.save()
    path = my_wood / "readings.csv"
    path.chmod(0o444)
    fill(form, **GOOD | {"value": "11"})
    form.save(replace=False)
    assert form.said.startswith(f"{my_wood.name}/readings.csv was not saved: it may not be written.")
    assert str(my_wood.parent) not in form.said
    assert "What you typed is still in the form." in form.said
    assert form.fields["value"].value == "11"
    path.chmod(0o644)
    form.save(replace=False)
    assert len(records.read(path)) == 2
    path.write_text(path.read_text() + "some,nonsense\n")
    broken = path.read_text()
    form = records_form()
    assert "Row 4, Value" in form.bad.value
    fill(form, **GOOD)
    form.save(sure=True)
    assert "Saved as row 5 of readings.csv:" in form.said
    assert path.read_text().startswith(broken)


def test_form_has_a_field_for_each_column_of_each_table(my_wood):
    form = records_form()
    for table in records.TABLES:
        form.table.value = table
        assert list(form.fields) == [c.name for c in records.TABLES[table]]
    form.table.value = "logs"
    fill(form, species="red oak", small_in="14 1/2", length_ft="12'")
    form.save()
    assert records.read(my_wood / "logs.csv").loc[2, "small_in"] == 14.5
    assert records.folder() == my_wood


def test_own_stacks_with_troubles_are_told_not_thrown(my_wood):
    records.append(
        my_wood / "stacks.csv",
        {"stack": "A", "species": "red oak", "nominal": "4/4", "stacked": "2025-06-01"},
    )
    records.append(
        my_wood / "readings.csv", GOOD | {"kind": "meter", "unit": "%", "value": "22", "date": "2025-05-01"}
    )
    panel = lesson.own_stack_panel()
    assert "readings.csv, row 2, column date: found '2025-05-01'" in plain(panel.above)
    assert "no readings" in panel.reading
    records.append(
        my_wood / "stacks.csv",
        {"stack": "B", "species": "white ash", "nominal": "4/4", "stacked": "2025-06-01"},
    )
    frame = records.read(my_wood / "stacks.csv")
    records.correct(my_wood / "stacks.csv", 2, frame.loc[2], {**frame.loc[2], "stacked": "2025-03-01"})
    assert "1 reading: pace" in lesson.own_stack_panel().reading  # the corrected stack, without a restart
    path = my_wood / "readings.csv"
    path.write_text(path.read_text() + "soon,A,,meter,20,%,,\n")
    assert "readings.csv, row 3, column date: found 'soon'" in plain(lesson.own_stack_panel().above)


def last_day(page):
    """The last day that stands below the picture."""
    return max(int(n) for n in re.findall(r"<text[^>]*>(\d+)</text>", page.svg()))


def test_the_picture_of_an_own_stack_holds_its_readings_and_the_dates_that_it_tells():
    """Oak stacked in October is down to 20 % in summer; 8/4 takes a second year."""
    none = pd.DataFrame({"date": [], "kind": [], "mc_pct": []})
    for size, start in (("4/4", "2025-10-15"), ("8/4", "2025-05-10")):
        forecast = drying.air_dry("northern red oak", size, "Madison", start)
        page, says, _ = figures.own_stack("A", forecast, none)
        assert span_told(*forecast.date_of(20)) in says
        assert forecast.days_to(20).high > figures.SHOWN_DAYS
        assert figures.days_shown(none, forecast, None) >= forecast.days_to(20).high
        assert last_day(page) > 0.8 * forecast.days_to(20).high
    late = pd.DataFrame(
        {"date": pd.to_datetime(["2025-06-10", "2026-06-10"]), "kind": "meter", "mc_pct": [28.0, 15.0]}
    )
    forecast = drying.air_dry("northern red oak", "4/4", "Madison", "2025-05-10")
    for left_out in (0, 1, 2):  # the picture stays as wide while readings are left out
        assert last_day(figures.own_stack("A", forecast, late, left_out)[0]) >= 400


def three_rows(folder):
    for value in ("12.4", "12.2", "11.8"):
        records.append(folder / "readings.csv", GOOD | {"value": value})
    return folder / "readings.csv"


def values(path):
    return list(records.read(path)["value"])


def test_undo_names_what_it_undoes_and_can_be_undone(my_wood):
    form = records_form()
    assert form.undo_button.disabled
    path = three_rows(my_wood)
    form = records_form()
    assert "Undo: row 4 goes out: 2025-06-21, A, A1, weight, 11.8, lb" in plain(form.undoes.value)
    assert form.undo_button.description == "Undo the last save in readings.csv"  # no other table's
    press(form, "Undo the last save")
    assert values(path) == [12.4, 12.2]
    assert form.said.startswith("Undone: row 4 goes out") and "Undo: row 4 comes back" in plain(
        form.undoes.value
    )
    press(form, "Undo the last save")
    assert values(path) == [12.4, 12.2, 11.8]


def test_an_earlier_version_comes_back_after_a_question(my_wood):
    path = three_rows(my_wood)
    form = records_form()
    assert form.keeping.layout.display == "none"
    press(form, "Earlier versions and backup")
    assert form.keeping.layout.display == "flex"
    labels = [label for label, _ in form.keeping.versions.options]
    assert [label.rsplit(", ", 1)[1] for label in labels] == ["2 rows", "1 row"]
    form.keeping.versions.index = 1
    press(form.keeping, "Go back to this one")
    asked = form.keeping.question.asked
    assert "Put back readings.csv as it was on" in asked and "row 3 goes out: 2025-06-21" in asked
    press(form.keeping, "Leave it as it is")
    assert values(path) == [12.4, 12.2, 11.8]
    form.keeping.versions.index = 1
    press(form.keeping, "Go back to this one")
    press(form.keeping, "Go back to it")
    assert values(path) == [12.4] and "readings.csv is as it was on" in form.said
    press(form, "Undo the last save")
    assert values(path) == [12.4, 12.2, 11.8]


def uploaded(name, data):
    return (
        {
            "name": name,
            "type": "application/zip",
            "size": len(data),
            "content": memoryview(data),
            "last_modified": datetime.now(UTC),
        },
    )


def test_a_backup_is_saved_and_put_back_after_a_plain_account(my_wood):
    path = three_rows(my_wood)
    form = records_form()
    assert any("doesn't hold the earlier versions" in text for text in texts(form.keeping))
    press(form.keeping, "Make a backup file")
    link = form.keeping.link.value
    assert 'download="my-wood-20' in link and 'href="data:application/zip;base64,' in link
    data = base64.b64decode(link.split("base64,")[1].split('"')[0])
    assert zipfile.ZipFile(io.BytesIO(data)).read("readings.csv") == path.read_bytes()
    records.correct(path, 2, records.read(path).loc[2], None)
    (my_wood / "stacks.csv").write_text("stack,species,nominal,stacked\n")
    form.keeping.upload.value = uploaded("my-wood-2026-05-24.zip", data)
    asked = form.keeping.question.asked
    assert "readings.csv: 3 rows in place of 2 rows" in asked and "my-wood-2026-05-24.zip" in asked
    press(form.keeping, "Leave everything as it is")
    assert len(values(path)) == 2
    form.keeping.upload.value = uploaded("my-wood-2026-05-24.zip", data)
    press(form.keeping, "Put it back")
    assert values(path) == [12.4, 12.2, 11.8] and "is back in" in form.said
    assert (my_wood / "stacks.csv").exists()
    shutil.rmtree(my_wood)
    form.keeping.upload.value = uploaded("b.zip", data)
    assert "readings.csv comes back: 3 rows" in form.keeping.question.asked


def test_the_form_says_what_is_in_the_backup_and_what_is_not(my_wood, monkeypatch):
    monkeypatch.setattr(backups, "LARGEST_OTHERS_MB", 0.02)
    three_rows(my_wood)
    for n in range(5):
        (my_wood / f"IMG_{n}.jpg").write_bytes(bytes(15_000))
    form = records_form()
    press(form.keeping, "Make a backup file")
    assert (
        "In it: 3 readings. Left out: 4 photos (no room)." in form.said
        and "woodcalc-warn" in form.say_line.value
    )
    assert "1 photo in it does not come back with Restore: open the zip yourself" in form.said
    for n in range(5):
        (my_wood / f"IMG_{n}.jpg").unlink()
    press(form.keeping, "Make a backup file")
    assert form.said.endswith("In it: 3 readings.") and "woodcalc-warn" not in form.say_line.value


def test_a_row_that_came_in_after_the_question_is_not_lost_to_a_backup(my_wood):
    path = three_rows(my_wood)
    data = backups.backup(my_wood)
    form = records_form()
    form.keeping.upload.value = uploaded("b.zip", data)
    records.append(
        path, dict(date="2026-07-04", stack="A", board="1-3", kind="weight", value="11", unit="lb")
    )
    press(form.keeping, "Put it back")
    assert len(values(path)) == 4 and "Nothing was put back" in form.keeping.question.asked
    press(form.keeping, "Put it back")
    assert len(values(path)) == 3


def test_a_saved_row_is_told_even_if_what_comes_after_fails(my_wood, monkeypatch):
    form = records_form()
    fill(form, **GOOD)
    monkeypatch.setattr(form, "_worth", lambda row: row / 0)
    form.save()
    assert len(values(my_wood / "readings.csv")) == 1
    assert "Saved" in form.said and "no second time" in form.said


def test_what_a_backup_holds_besides_is_said_before_and_after(my_wood):
    three_rows(my_wood)
    (my_wood / "holiday.jpg").write_bytes(b"sun")
    (my_wood / "stacks.csv").write_text("my shopping list\nmilk\n")
    data = backups.backup(my_wood)
    (my_wood / "holiday.jpg").unlink()
    form = records_form()
    form.keeping.upload.value = uploaded("b.zip", data)
    asked = form.keeping.question.asked
    assert (
        "holiday.jpg is not the book's, left out" in asked and "stacks.csv" in asked and "no header" in asked
    )
    press(form.keeping, "Put it back")
    assert "holiday.jpg is not the book's, left out" in form.said and "woodcalc-warn" in form.say_line.value
    assert not (my_wood / "holiday.jpg").exists()


@pytest.mark.parametrize("data", [b"", b"PK\x03\x04 cut off", b"date,stack\n"])
def test_what_is_no_backup_is_said_and_changes_nothing(my_wood, data):
    path = three_rows(my_wood)
    form = records_form()
    fill(form, value="11.1")
    form.keeping.upload.value = uploaded("holiday.zip", data)
    assert "backup" in form.said and form.keeping.question.asked == ""
    assert len(values(path)) == 3 and form.fields["value"].value == "11.1"


def test_a_row_that_is_set_aside_is_listed_and_corrected_in_the_form(my_wood):
    path = three_rows(my_wood)
    path.write_text(path.read_text().replace("12.2", "twelve"))
    form = records_form()
    assert "Row 3, Value: found 'twelve'" in plain(form.bad.value)
    assert ("row 3, set aside: 2025-06-21, A, A1, weight, twelve lb", 3) in form.marked.options
    form.marked.value = 3
    assert form.fields["value"].value == "twelve" and form.fields["board"].value == "A1"
    press(form, "Check and save")
    assert "Value: found 'twelve'" in form.said and form.fields["value"].value == "twelve"
    fill(form, value="12.2")
    press(form, "Check and save")
    assert "Row 3 of readings.csv is corrected." in form.said and values(path) == [12.4, 12.2, 11.8]


def test_a_row_that_is_set_aside_for_its_day_is_corrected_in_the_form(my_wood):
    path = three_rows(my_wood)
    path.write_text(path.read_text().replace("2025-06-21,A,A1,weight,12.2", "6/21/2035,A,A1,weight,12.2"))
    form = records_form()
    assert "Row 3, Date: found '6/21/2035'" in plain(form.bad.value)
    form.marked.value = 3
    assert form.fields["date"].value == "6/21/2035"
    fill(form, date="2025-06-21")
    press(form, "Check and save")
    assert "Row 3 of readings.csv is corrected." in form.said and form.bad.value == ""
    form.table.value = "stacks"
    assert form.marked.value == 0


def test_a_kind_that_no_list_offers_is_shown_as_it_stands(my_wood):
    path = three_rows(my_wood)
    path.write_text(path.read_text().replace("weight,12.2", "wait,12.2"))
    form = records_form()
    form.marked.value = 3
    assert form.fields["kind"].value == "wait"
    press(form, "Take this row out")
    press(form, "Take it out")
    assert values(path) == [12.4, 11.8]


def test_a_fault_of_the_whole_file_is_named_and_the_typed_text_stays(my_wood):
    form = records_form()
    my_wood.mkdir(parents=True)
    path = my_wood / "readings.csv"
    path.write_text("date,stack,board,kind,mc,reading,unit\n2025-06-21,A,1,meter,22,23,%\n")
    fill(form, **GOOD)
    press(form, "Check and save")
    assert "readings.csv, row 1, column value" in form.said and form.fields["value"].value == "12,4"
    assert "Mend the file before you add to it" in records_form().said


def test_a_saved_row_that_looks_wrong_is_told_at_once(my_wood):
    path = three_rows(my_wood)
    records.append(path, GOOD | {"kind": "oven-dry", "value": "9.32", "date": "2025-05-10"})
    form = records_form()
    fill(form, **GOOD | {"value": "116", "date": "2025-07-05"})
    save_anyway(form)
    assert form.said.startswith("Saved as row 6 of readings.csv: you have 5 readings now.")
    assert "Look at it again: Row 6, Value: found '116'" in form.said
    assert "Is 11.6 meant? Left out." in form.said
    press(form, "Mend row 6, value: 116 becomes 11.6")
    assert "Mended in readings.csv, row 6" in form.said and not form.mends.children
    assert records.read(path).loc[6, "value"] == 11.6


def board_of_oak(folder):
    folder.mkdir(parents=True)
    (folder / "readings.csv").write_text(
        "date,stack,board,kind,value,unit\n2025-05-10,A,1-1,oven-dry,9.0,lb\n2025-05-10,A,1-1,weight,16.0,lb\n"
        "2025-05-24,A,1-1,weight,14.0,lb\n2025-06-07,A,1-1,weight,12.6,lb\n"
    )


def test_after_an_oven_dry_weight_the_next_row_is_a_weighing(my_wood):
    form = records_form("readings")
    fill(form, date="2025-05-10", stack="A", board="1-1", kind="oven-dry", value="9.0")
    form.save()
    assert form.fields["kind"].value == "weight" and form.fields["board"].value == "1-1"


def test_an_oven_dry_weight_over_the_weighings_is_not_saved_in_green(my_wood):
    board_of_oak(my_wood)
    form = records_form("readings")
    fill(form, date="2025-07-01", stack="A", board="1-1", kind="oven-dry", value="30")
    form.save(sure=True, replace=False)
    assert "woodcalc-warn" in form.say_line.value and "a board has one" in form.said
    fill(form, date="2025-07-02", kind="weight", value="8.9")
    save_anyway(form)
    assert "woodcalc-warn" in form.say_line.value and "oven-dry weight, 9 lb" in form.said


def test_a_doubt_that_a_row_brings_to_another_row_is_told(my_wood):
    board_of_oak(my_wood)
    text = (my_wood / "readings.csv").read_text().replace("oven-dry,9.0", "oven-dry,13.4")
    (my_wood / "readings.csv").write_text(text.replace("2025-06-07,A,1-1,weight,12.6,lb\n", ""))
    form = records_form("readings")
    fill(form, date="2025-06-07", stack="A", board="1-1", kind="weight", value="12.6")
    save_anyway(form)
    assert "With this row in, look again at: Row 2" in form.said


def test_a_unit_typed_behind_the_value_is_told_where_to_go(my_wood):
    form = records_form("readings")
    fill(form, date="2025-05-10", stack="A", board="1-1", kind="weight", value="11.5 kg")
    form.save()
    assert "Is it 11.5, and kg put into Unit?" in form.said or records.read(form.path)["unit"].tolist() == [
        "kg"
    ]
    assert held.changes(b"board\n'1-1\n", b"board\n") == ["row 2 goes out: 1-1"]


def test_a_row_set_aside_for_its_day_is_no_other_programs(my_wood):
    board_of_oak(my_wood)
    form = records_form("readings")
    for day, weight in (("2099-07-01", "11.5"), ("2025-06-21", "11.7"), ("2025-07-05", "11.3")):
        fill(form, date=day, stack="A", board="1-1", kind="weight", value=weight)
        form.save(sure=True)
        assert "another program" not in form.said
    with (my_wood / "readings.csv").open("a") as file:
        file.write("2025-07-12,A,1-1,weight,11.1,lb\n")
    fill(form, date="2025-07-19", value="11.0")
    form.save()
    assert "1 more row came in from another window or program" in form.said


def test_a_file_or_folder_that_was_moved_away_is_said_and_nothing_typed_is_lost(my_wood):
    path = three_rows(my_wood)
    form = records_form()
    path.rename(my_wood / "elsewhere.csv")
    fill(form, **GOOD | {"value": "11.1"})
    press(form, "Check and save")
    assert f"readings.csv is no longer in {my_wood}" in form.said and form.fields["value"].value == "11.1"
    assert not path.exists()
    press(form, "Check and save")  # it is meant to be gone
    assert values(path) == [11.1]
    my_wood.rename(my_wood.with_name("moved"))
    fill(form, value="11.0")
    for _ in range(2):
        press(form, "Check and save")
        assert "moved" in form.said and form.fields["value"].value == "11.0"
    assert not my_wood.exists()


def test_a_history_that_cannot_be_kept_is_said(my_wood):
    path = three_rows(my_wood)
    shutil.rmtree(my_wood / "history")
    (my_wood / "history").write_text("in the way")
    form = records_form()
    fill(form, **GOOD | {"value": "11.1", "date": "2025-06-22"})
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        press(form, "Check and save")
    assert "Saved as row 5" in form.said and "could not be kept in history" in form.said
    assert len(values(path)) == 4


def test_a_full_disk_is_said_and_nothing_typed_is_lost(my_wood, monkeypatch):
    path = three_rows(my_wood)
    form = records_form()

    def full(*args, **kwargs):
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(keep, "_sync", full)
    for button in ("Check and save", "Undo the last save"):
        fill(form, **GOOD | {"value": "11.1", "date": "2025-06-22"})
        press(form, button)
        assert "the disk is full" in form.said and form.fields["value"].value == "11.1"
    assert values(path) == [12.4, 12.2, 11.8]


def test_a_folder_that_may_not_be_looked_into_is_said(my_wood, monkeypatch):
    three_rows(my_wood)

    def forbidden(self, *args, **kwargs):
        raise PermissionError(errno.EACCES, "Permission denied", str(self))

    for name in ("exists", "iterdir", "is_dir", "is_file", "read_bytes", "stat"):
        monkeypatch.setattr(pathlib.Path, name, forbidden)
    form = records_form()
    assert "Permission denied" in form.said or "permission denied" in form.said
    fill(form, **GOOD | {"value": "11.1"})
    press(form, "Check and save")
    assert form.fields["value"].value == "11.1" and form.said


@pytest.mark.parametrize("button", ["Check and save", "Undo the last save", "Make a backup file"])
def test_whatever_goes_wrong_in_a_button_is_said(my_wood, monkeypatch, button):
    three_rows(my_wood)
    form = records_form()
    fill(form, **GOOD | {"value": "11.1", "date": "2025-06-22"})

    def broken(*args, **kwargs):
        raise KeyError("a surprise")

    for module, name in ((records, "append"), (keep, "restore_version"), (backups, "backup")):
        monkeypatch.setattr(module, name, broken)
    press(form, button)
    assert "a surprise" in form.said and "What you typed is still in the form." in form.said
    assert form.fields["value"].value == "11.1"


def test_exercises_by_hand():
    found = every()
    assert found["mc-of-the-sample-board"].solve(wet_lb=15.0, dry_lb=10.0) == pytest.approx(50)
    assert found["pace-from-days"].solve(usual_days=60, days=75) == pytest.approx(0.8)
    assert found["days-left-at-your-pace"].solve(usual_left=40, pace=0.8) == pytest.approx(50)
    assert found["loss-a-day"].solve(first_pct=62.0, second_pct=48.0, day_one=3, day_two=24) == pytest.approx(
        14 / 21
    )
    assert (
        found["board-feet-of-a-tally"].solve(n=10, nominal="8/4", thickness_in=2.125, width_in=6, length_ft=8)
        == 80
    )


@pytest.mark.parametrize("damage", ["zeros at the end", "a workbook", "no header", "a folder"])
def test_form_of_a_table_that_cannot_be_read(my_wood, damage):
    form = records_form()
    for value in ("12.4", "12.2"):
        fill(form, **GOOD | {"value": value})
        form.save(replace=False)
    path = my_wood / "readings.csv"
    good = path.read_bytes()
    bad = {
        "zeros at the end": good + b"\0" * 300,
        "a workbook": b"PK\x03\x04" + good,
        "no header": b"rain\n1\n",
    }
    if damage == "a folder":
        path.unlink()
        path.mkdir()
    else:
        path.write_bytes(bad[damage])
    form = records_form()
    assert form.said.startswith("readings.csv") and "Mend the file before you add to it" in form.said
    assert "Undo goes back to the version of " in form.said and str(my_wood.parent) not in form.said
    asked = [child.value for child in form.asked.children[0].children if hasattr(child, "value")]
    assert any("before them? The last one is" in text for text in asked) == (damage == "zeros at the end")
    fill(form, **GOOD | {"value": "11.9"})
    form.save(replace=False)
    assert "Saved" not in form.said and form.fields["value"].value == "11.9"
    assert path.is_dir() if damage == "a folder" else path.read_bytes() == bad[damage]
    press(form, "Undo the last save")
    assert path.read_bytes() == good and form.fields["value"].value == "11.9"
    form.save(replace=False)
    assert list(records.read(path)["value"]) == [12.4, 12.2, 11.9]


def oak1(folder, readings=""):
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "stacks.csv").write_text(
        "stack,species,nominal,stacked\nOak1,northern red oak,4/4,2026-05-10\n", encoding="utf-8"
    )
    (folder / "readings.csv").write_text(f"date,stack,board,kind,value,unit\n{readings}", encoding="utf-8")
    return folder / "readings.csv"


NO_DRY = "It can't be turned into moisture until you add this board's oven-dry weight (lesson 4)."


def test_a_first_weighing_is_told_what_it_waits_for(my_wood):
    form = records_form()
    fill(form, **GOOD | {"stack": "Oak1"})
    form.save()
    assert form.said.splitlines() == [
        "Saved as your first reading (row 2 of readings.csv).",
        "Stack Oak1 is not in your stacks yet: add it in the table stacks.",
        NO_DRY,
        "The next row starts with the same day, 2025-06-21.",
    ]
    (my_wood / "readings.csv").unlink()
    oak1(my_wood)
    keep.answered(my_wood / "readings.csv")
    form = records_form()
    fill(form, **GOOD | {"stack": "Oak1", "date": "2026-05-11"})
    form.save()
    said = form.said.splitlines()
    assert (said[1], said[-1]) == (NO_DRY, "The next row starts with the same day, 2026-05-11.")
    assert said[2] == "Next for stack Oak1:" and "Until then weigh once a week all the same" in said[3]
    for words in ("Row 2 waits for the board's oven-dry weight.", NO_DRY):
        assert words in plain(doctor_panel().said)


def test_a_weighing_with_an_oven_dry_weight_is_told_its_moisture(my_wood):
    oak1(my_wood, "2026-05-10,Oak1,1,oven-dry,10,lb\n2026-05-10,Oak1,1,weight,18,lb\n")
    form = records_form()
    fill(form, date="2026-06-10", value="15")
    form.save()
    said = form.said.splitlines()
    assert said[:2] == [
        "Saved as row 4 of readings.csv: you have 3 readings now.",
        "It tells 50 % moisture.",
    ]
    assert said[-1] == "The next row starts with the same day, 2026-06-10."
    # 80 to 50 % in 31 days; FOR-128 table 9 has 3.8 for red oak 4/4
    assert said[2] == "Next for stack Oak1:" and said[3].startswith(
        "Not known to be ready: board 1 read 50 % "
    )
    assert "Board 1 lost 1.0 points a day since 10 May 2026: safe (under 3.8)." in said[4:]


BAD_ROWS = [
    ("2026-05-01,Oak1,1,weight,16.0,lb", "set aside"),  # before stacking
    ("2026-05-12,Oak1,7,weight,16.0,lb", "waits for the board's oven-dry weight"),
    ("2026-05-12,Pine,,meter,25,%", "waits for stack Pine"),
    ("2026-05-12,Oak1,1,oven-dry,9.32,lb", "used"),
    ("2026-05-12,Oak1,1,weight,16.0,lb", "used"),
    ("2026-05-12,Oak1,1,weight,16.0,lb", "left out"),  # twice
    ("2026-06-12,Oak1,2,meter,2,%", "left out"),  # drier than the yard
]


@pytest.mark.parametrize(("row", "verdict"), [*enumerate([v for _, v in BAD_ROWS], start=2)])
def test_form_panel_and_doctor_say_the_same_of_a_row(my_wood, row, verdict):
    oak1(my_wood, "".join(f"{text}\n" for text, _ in BAD_ROWS))
    found = records.read_usable(my_wood)
    assert found.verdict("readings.csv", row) == verdict
    form = records_form()
    label = next(text for text, n in form.marked.options if n == row)
    if verdict == "set aside":
        assert label.startswith(f"row {row}, set aside: ")
    else:
        assert label.endswith(f" ({verdict})") or (verdict == "used" and "(" not in label)
    if verdict not in ("used", "set aside"):  # a mark in the table too
        [line] = [line for line in plain(form.rows_line.value).splitlines() if line.startswith(f"{row}  ")]
        assert line.endswith(f"  {verdict}")
    said = f"{verdict[0].upper()}{verdict[1:]}."
    for page in (doctor_panel().said, lesson.own_stack_panel().above):
        lines = [line for line in plain(page).splitlines() if f"readings.csv, row {row}" in line]
        if verdict == "set aside":
            assert "Set aside" in plain(page) and lines
        else:
            assert all(said in line for line in lines)
    assert "Pine" in plain(doctor_panel().said)


def test_the_list_of_rows_shows_what_was_read(my_wood):
    oak1(my_wood, "2026-05-12,Oak1,1,weight,16.0,lb\n")
    form = records_form()
    assert form.marked.options[1][0].endswith(
        "2026-05-12, Oak1, 1, weight, 16 lb (waits for the board's oven-dry weight)"
    )


def test_a_new_row_starts_with_the_last_unit_that_passed(my_wood):
    oak1(
        my_wood,
        "2026-05-10,Oak1,1,oven-dry,9.32,lb\n"
        + "".join(f"2026-0{n}-12,Oak1,1,weight,{lb},lb\n" for n, lb in ((5, 16.0), (6, 14.0), (7, 13.0))),
    )
    form = records_form()
    fill(form, date="2026-08-12", value="12", unit="kg")
    save_anyway(form)
    assert "Was it weighed in lb?" in form.said
    assert form.fields["unit"].value == "lb"
    press(form, "Mend row 6, unit: kg becomes lb")
    assert records.read(form.path).loc[6, "unit"] == "lb"


def test_a_reading_written_twice_counts_once_in_the_same_words(my_wood):
    row = "2026-06-15,Oak1,,weight,14.7,lb\n"
    oak1(my_wood, row + row)
    told = "The weight on 15 June, 14.7 lb, stands there twice (rows 2 and 3). It counts once."
    assert told in plain(doctor_panel().said) and told in plain(lesson.own_stack_panel().above)
    form = records_form()
    fill(form, date="2026-06-15", stack="Oak1", board="", kind="weight", value="14.7", unit="lb")
    save_anyway(form)
    assert told.replace("3)", "4)") in form.said


def test_the_form_names_its_fields_by_their_labels(my_wood):
    form = records_form("stacks")
    fill(form, stack="S", species="white oak", nominal="4/4", stacked="2026-05-10", place="La Crosse")
    fill(form, start_mc_pct="900")
    form.save()
    assert "Start MC (%): found '900'" in form.said and "start_mc_pct" not in form.said
    assert "a place that the book knows. Look for your nearest larger town in the list" in form.said
    assert "Shreveport" not in form.said
    fill(form, start_mc_pct="80", place="Madisson, WI")
    form.save()
    assert "Did you mean Madison, WI?" in form.said


def test_the_button_for_a_backup_shows_no_count(my_wood):
    assert records_form().keeping.upload.description == ""


# ---- a file under another name

LOGS = "log,species,small_in,length_ft\n1,white oak,16,12\n2,red oak,14,10\n"


@pytest.mark.parametrize("name", ["logs.csv.txt", "Logs.CSV", "logs (1).csv", "logs.csv.csv"])
def test_a_table_under_another_name_is_told_before_a_new_one_is_begun(my_wood, name):
    my_wood.mkdir()
    (my_wood / name).write_text(LOGS)
    form = records_form("logs")
    assert f"There is no logs.csv in mine, but {name} (2 rows)." in form.said
    row = {"species": "black walnut", "small_in": "15", "length_ft": "8"}
    fill(form, **row)
    form.save()
    assert form.said.startswith("Not saved yet. There is no logs.csv") and name in form.said
    assert sorted(p.name for p in my_wood.iterdir() if "log" in p.name.lower()) == [name]
    press(form, f"Take {name} as logs.csv")
    assert f"{name} is logs.csv now, with 2 rows." in form.said
    assert form.fields["species"].value == "black walnut"  # what was typed waits
    form.save()
    assert "Saved as row 4 of logs.csv" in form.said
    assert (my_wood / "logs.csv").read_text().startswith(LOGS) and not (my_wood / name).exists()
    assert [v.path.read_text() for v in keep.versions(my_wood / "logs.csv")] == [LOGS]
    assert not [b for b in buttons(form) if b.description.startswith("Take logs")]


def test_whoever_wants_a_new_table_beside_it_presses_twice(my_wood):
    my_wood.mkdir()
    (my_wood / "logs old.csv").write_text(LOGS)
    (my_wood / "logs.xlsx").write_bytes(b"PK")  # no table that could be taken
    form = records_form("logs")
    fill(form, species="black walnut", small_in="15", length_ft="8")
    form.save()
    assert "press Check and save once more, and the form begins a new logs.csv" in form.said
    form.save()
    assert "Saved as your first log (row 2 of logs.csv)." in form.said
    assert (my_wood / "logs old.csv").read_text() == LOGS


def test_a_file_that_cannot_be_taken_stays_and_is_told(my_wood, monkeypatch):
    my_wood.mkdir()
    (my_wood / "logs.csv.txt").write_text(LOGS)
    form = records_form("logs")

    def full(*args, **kwargs):
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(keep, "_written", full)
    press(form, "Take logs.csv.txt as logs.csv")
    assert "the disk is full" in form.said and (my_wood / "logs.csv.txt").read_text() == LOGS
    monkeypatch.undo()
    monkeypatch.setenv("WOODCALC_MY_WOOD", str(my_wood))
    (my_wood / "logs.csv").write_text("log,species,small_in,length_ft\n")  # another window made one
    press(form, "Take logs.csv.txt as logs.csv")
    assert "logs.csv is there by now. Nothing was renamed." in form.said


# ---- the next row, and what was typed and not saved


def test_ten_weighings_of_one_day_are_typed_with_the_day_written_once(my_wood):
    oak1(my_wood)
    form = records_form()
    fill(form, date="2026-06-10", stack="Oak1", board="1", value="15")
    form.save()
    assert form.said.splitlines()[-1] == "The next row starts with the same day, 2026-06-10."
    for number in range(2, 6):
        assert form.fields["date"].value == "2026-06-10" and form.fields["stack"].value == "Oak1"
        fill(form, board=str(number), value="15")
        form.save()
    assert set(records.read(my_wood / "readings.csv")["date"]) == {pd.Timestamp("2026-06-10")}
    assert records_form().fields["date"].value == "2026-06-10"  # the lesson run again
    words = json.loads((my_wood / "written.json").read_text())
    words["day of readings"]["asked"] = "2026-06-09"
    (my_wood / "written.json").write_text(json.dumps(words))
    today = datetime.now().date().isoformat()
    assert records_form().fields["date"].value == today  # another day begins with its own
    fill(form, date=today, value="14")
    form.save()
    assert "same day" not in form.said


def test_a_half_filled_form_is_there_again_the_next_day(my_wood, monkeypatch):
    oak1(my_wood)
    monkeypatch.setitem(form_module.FIRST, "date", lambda: "2026-06-10")
    form = records_form()
    fill(form, stack="Oak1", board="7", kind="oven-dry", value="9.3", note="the north end")
    monkeypatch.setitem(form_module.FIRST, "date", lambda: "2026-06-11")
    again = records_form()  # another engine, the lesson opened again
    assert {n: again.fields[n].value for n in ("stack", "board", "kind", "value", "note")} == {
        "stack": "Oak1", "board": "7", "kind": "oven-dry", "value": "9.3", "note": "the north end"
    }  # fmt: skip
    assert again.fields["date"].value == "2026-06-10"  # the day that it was typed for
    assert again.said == (
        "This was typed earlier and was not saved yet: Value, Note. "
        "It goes with Date 2026-06-10, Stack Oak1, Board 7, Kind oven-dry."
    )
    again.save()
    assert "Saved as your first reading" in again.said
    third = records_form()
    assert third.fields["value"].value == "" and "not saved" not in third.said
    fill(third, value="12")
    fourth = records_form()
    press(fourth, "Empty these fields")
    assert fourth.fields["value"].value == "" and fourth.said == ""
    assert "not saved" not in records_form().said


def test_a_half_typed_reading_stays_with_its_stack_and_board(my_wood):
    """A weighing of another stack that is saved in between gives a new row another stack, board and unit."""
    oak1(my_wood, "2026-06-09,Oak1,1,weight,13.1,kg\n")
    form = records_form()
    fill(form, value="13.05")
    records.append(my_wood / "readings.csv", GOOD | {"stack": "Oak8", "board": "a", "date": "2026-06-10"})
    again = records_form()
    kept = {n: again.fields[n].value for n in ("stack", "board", "kind", "value", "unit")}
    assert kept == {"stack": "Oak1", "board": "1", "kind": "weight", "value": "13.05", "unit": "kg"}
    assert again.said == (
        "This was typed earlier and was not saved yet: Value. It goes with Stack Oak1, Board 1."
    )


def test_half_a_word_is_kept_before_its_field_is_left(my_wood):
    form = records_form()
    names = form.children[-1]
    names._heard(names, {"typed": {"Note": "the north en"}}, [])
    assert form.fields["note"].value == ""  # the page holds it; nothing is put back under the hand
    assert records_form().fields["note"].value == "the north en"


def test_a_correction_that_was_not_saved_comes_back_with_its_row(my_wood):
    three_rows(my_wood)
    form = records_form()
    form.marked.value = 3
    fill(form, value="99")
    form.marked.value = 0
    assert form.fields["value"].value == ""
    again = records_form()
    assert again.said == "Typed earlier and not saved: row 3 has a correction. Choose it above."
    again.marked.value = 3
    assert again.fields["value"].value == "99" and "not saved yet: Value" in again.said
    records.correct(my_wood / "readings.csv", 2, records.read(my_wood / "readings.csv").loc[2], None)
    moved = records_form()
    moved.marked.value = 3  # another row by now
    assert moved.fields["value"].value == "11.8"


def test_a_file_of_drafts_that_the_book_did_not_write_harms_nothing(my_wood):
    three_rows(my_wood)
    for words in ("[]", '{"0": 5, "x": {}, "3": {"typed": 7}}', "no json"):
        held = {"form: readings": {"lesson": "", "asked": "", "typed": words}}
        (my_wood / "written.json").write_text(json.dumps(held))
        form = records_form()
        form.marked.value = 3
        assert form.fields["value"].value == str(values(my_wood / "readings.csv")[1])


# ---- a row is known by what it holds, and not by its number


def ten_rows(folder):
    rows = [f"2026-06-{day},A,A1,weight,{20 - day / 10:.1f},lb" for day in range(10, 20)]
    path = folder / "readings.csv"
    folder.mkdir(exist_ok=True)
    path.write_text("\n".join(["date,stack,board,kind,value,unit", *rows]) + "\n")
    return path


def lines(path):
    return path.read_text().splitlines()


def without_row(path, row):
    """Another program takes a row out."""
    there = lines(path)
    path.write_text("\n".join(there[: row - 1] + there[row:]) + "\n")


def test_a_correction_follows_its_row_when_another_program_takes_out_one_above(my_wood):
    path = ten_rows(my_wood)
    form = records_form()
    form.marked.value = 7
    fill(form, value="11.1")
    was = lines(path)
    without_row(path, 4)
    form.save()
    assert "changed by another program" in form.said and "Nothing was written." in form.said
    assert "The row that you were at is row 6 now" in form.said
    assert (form.marked.value, form.fields["value"].value, form.fields["date"].value) == (
        6,
        "11.1",
        "2026-06-15",
    )
    form.save()
    assert "Row 6 of readings.csv is corrected." in form.said
    assert lines(path) == [*was[:3], *was[4:6], "2026-06-15,A,A1,weight,11.1,lb", *was[7:]]


def test_a_correction_whose_row_is_gone_writes_over_no_other(my_wood):
    path = ten_rows(my_wood)
    form = records_form()
    form.marked.value = 7
    fill(form, value="11.1")
    without_row(path, 7)
    left = lines(path)
    form.save()
    assert "no longer in readings.csv as it was. The form stands at a new row now" in form.said
    assert (form.marked.value, form.fields["value"].value, form.fields["date"].value) == (
        0,
        "11.1",
        "2026-06-15",
    )
    again = records_form()  # kept for a new row, until it is saved or thrown away
    assert again.fields["value"].value == "11.1" and "This was typed earlier" in again.said
    form.save()
    assert lines(path) == [*left, "2026-06-15,A,A1,weight,11.1,lb"]
    assert "not saved" not in records_form().said


def test_a_row_that_is_to_be_taken_out_is_the_one_that_was_asked_about(my_wood):
    path = ten_rows(my_wood)
    form = records_form()
    form.marked.value = 7
    press(form, "Take this row out")
    without_row(path, 4)
    left = lines(path)
    press(form, "Take it out")
    assert lines(path) == left and "is row 6 now" in form.said
    press(form, "Take this row out")
    assert "Take row 6 out of readings.csv? 2026-06-15" in form.question.asked
    press(form, "Take it out")
    assert lines(path) == left[:5] + left[6:]


def test_a_row_set_aside_is_followed_too(my_wood):
    path = ten_rows(my_wood)
    path.write_text(path.read_text().replace("18.5,lb", "heavy,lb"))
    form = records_form()
    form.marked.value = 7
    assert form.fields["value"].value == "heavy"
    without_row(path, 3)
    fill(form, value="18.5")
    form.save()
    assert form.marked.value == 6
    form.save()
    assert (
        "Row 6 of readings.csv is corrected." in form.said
        and lines(path)[5] == "2026-06-15,A,A1,weight,18.5,lb"
    )


def test_rows_that_differ_in_a_column_of_the_learners_own_are_two(my_wood):
    my_wood.mkdir()
    path = my_wood / "logs.csv"
    head, *rows = ["species,small_in,length_ft,photo", *(f"white oak,14,12,{n}.jpg" for n in range(1, 5))]
    path.write_text("\n".join([head, *rows]) + "\n")
    form = records_form("logs")
    form.marked.value = 4
    without_row(path, 2)
    fill(form, length_ft="10")
    form.save()
    assert form.marked.value == 3
    form.save()
    assert "is corrected" in form.said
    assert [line.split(",")[2:4] for line in lines(path)[1:]] == [
        ["12", "2.jpg"],
        ["10", "3.jpg"],
        ["12", "4.jpg"],
    ]


def test_a_header_in_other_units_does_not_turn_a_number_into_another(my_wood):
    my_wood.mkdir()
    path = my_wood / "logs.csv"
    path.write_text("log,species,small_in,length_ft\n1,white oak,20,12\n2,red oak,24,10\n")
    form = records_form("logs")
    form.marked.value = 2
    path.write_text(path.read_text().replace("small_in", "Diameter (cm)"))
    fill(form, length_ft="9")
    form.save()
    assert "changed by another program" in form.said and form.fields["small_in"].value != "20"
    form.save()
    assert lines(path)[1] == "1,white oak,20,9"


def test_undo_does_what_it_shows_or_asks(my_wood):
    path = ten_rows(my_wood)
    records.append(path, GOOD | {"value": "9.1"})
    one = records_form()
    assert "Undo: row 12 goes out" in plain(one.undoes.value)
    records.append(path, GOOD | {"value": "9.2"})  # another window
    both = lines(path)
    press(one, "Undo the last save")
    assert lines(path) == both and "Nothing was undone." in one.said
    assert "row 13 goes out" in one.question.asked and "Undo: row 13 goes out" in plain(one.undoes.value)
    press(one, "Leave it as it is")
    assert lines(path) == both
    press(one, "Undo the last save")  # by now it shows the right thing
    assert lines(path) == both[:-1]


def test_undo_does_what_it_shows_after_another_window_saved_and_undid(my_wood):
    path = ten_rows(my_wood)
    before = lines(path)
    records.append(path, GOOD | {"value": "9.1"})
    one, two = records_form(), None
    records.append(path, GOOD | {"value": "9.2"})
    two = records_form()
    press(two, "Undo the last save")
    press(one, "Undo the last save")  # the file is as it was shown; the last version is not
    assert lines(path) == before


def test_the_doctor_undoes_what_it_shows(my_wood):
    path = ten_rows(my_wood)
    records.append(path, GOOD | {"value": "9.1"})
    page = doctor_panel()
    records.append(path, GOOD | {"value": "9.2"})
    both = lines(path)
    page.buttons["Undo the last change of readings.csv"].click()
    assert lines(path) == both and "changed by another program" in plain(page.said)


def test_going_back_is_asked_again_when_the_file_has_changed(my_wood):
    path = three_rows(my_wood)
    form = records_form()
    press(form.keeping, "Go back to this one")
    records.append(path, GOOD | {"value": "9.2"})
    press(form.keeping, "Go back to it")
    asked = form.keeping.question.asked
    assert len(values(path)) == 4 and "changed by another program" in asked and "row 5 goes out" in asked
    press(form.keeping, "Go back to it")
    assert values(path) == [12.4, 12.2]


def test_a_row_with_a_cell_too_many_is_corrected_in_the_form(my_wood):
    my_wood.mkdir()
    path = my_wood / "logs.csv"
    path.write_text(
        "log,species,small_in,length_ft,photo\n1,white oak,16,12,a.jpg\n2,red oak,14,5,10,b.jpg\n"
    )
    form = records_form("logs")
    assert "found 6 cells" in plain(form.bad.value)
    form.marked.value = 3
    fill(form, small_in="14.5", length_ft="10")
    form.save()
    assert "Row 3 of logs.csv is corrected." in form.said
    assert lines(path)[1:] == ["1,white oak,16,12,a.jpg", "2,northern red oak,14.5,10,b.jpg"]


def test_a_correction_that_was_not_saved_is_found_by_what_its_row_holds(my_wood):
    path = ten_rows(my_wood)
    form = records_form()
    form.marked.value = 6
    fill(form, value="11.1")
    without_row(path, 3)
    again = records_form()
    assert again.said == "Typed earlier and not saved: row 5 has a correction. Choose it above."
    again.marked.value = 5
    assert again.fields["value"].value == "11.1"
    without_row(path, 5)
    third = records_form()
    assert (
        "for a row that is no longer there as it was (2026-06-14, A, A1, weight, 18.6 lb): Value 11.1."
        in third.said
    )
    press(third, "Forget what has lost its row")
    assert third.said == "" and records_form().said == ""


def test_what_stands_above_the_header_is_no_row(my_wood):
    my_wood.mkdir()
    path = my_wood / "logs.csv"
    path.write_text("our logs of 2026\n# at the landing\nlog,species,small_in,length_ft\n1,white oak,16,12\n")
    form = records_form("logs")
    fill(form, species="red oak", small_in="14", length_ft="10")
    form.save()
    assert "Saved as row 5 of logs.csv: you have 2 logs now." in form.said
    assert "Undo: row 5 goes out: 2, northern red oak, 14, 10" in plain(form.undoes.value)
    assert form.keeping.versions.options[0][0].endswith(", 1 row")
    path.rename(my_wood / "Logs.csv")
    assert "but Logs.csv (2 rows)" in records_form("logs").said


@pytest.mark.parametrize(
    "name", ["logs conflicted copy 2026-11-28.csv", "logs-DESKTOP-4K2.csv", "logs-backup.csv"]
)
def test_a_copy_with_more_words_in_its_name_is_named(my_wood, name):
    my_wood.mkdir()
    (my_wood / name).write_text(LOGS)
    assert name in records_form("logs").said and name not in records_form("readings").said
    (my_wood / "logs.csv").write_text(LOGS)
    form = records_form("logs")
    assert f"{name} lies beside logs.csv and is not read." in plain(form.bad.value)
    assert not [b for b in buttons(form) if b.description.startswith("Take logs")]
    assert f"{name} lies beside it and is not read." in plain(doctor_panel().said)


def test_a_copy_that_is_no_table_has_no_button(my_wood):
    my_wood.mkdir()
    (my_wood / "logs-backup.csv").write_text("Dear all,\nthe logs are sold.\n")
    form = records_form("logs")
    assert "as it is, it can't be taken for a table of logs" in form.said
    assert not [b for b in buttons(form) if b.description.startswith("Take logs")]


def test_a_mend_is_written_into_the_row_that_it_was_offered_for(my_wood):
    path = ten_rows(my_wood)
    text = path.read_text()
    path.write_text(text.replace("18.5,lb", "18.5,lbx").replace("18.4,lb", "18.4,lbx"))
    page, form = doctor_panel(), records_form()
    form.marked.value = 7
    offered = [
        b for b in (*page.buttons.values(), *buttons(form)) if b.description.startswith("Mend row 7, unit")
    ]
    assert len(offered) == 2
    without_row(path, 3)
    left = lines(path)
    for button in offered:  # row 7 is the other one now, with the same slip in the same cell
        button.click()
        assert lines(path) == left
    assert "row 7 is another row now" in form.said and "row 7 is another row now" in plain(page.said)


# ---- two windows


@pytest.fixture
def window(monkeypatch):
    """Open the form in a program of its own, named by a letter; those in `gone` have ended."""
    gone = set()
    monkeypatch.setattr(drafts, "_lives", lambda by, at: by not in gone and bool(by))

    def opened(name, table="logs"):
        monkeypatch.setattr(drafts, "this_program", lambda: name)
        return records_form(table)

    opened.gone = gone
    return opened


LOG = {"species": "white oak", "small_in": "16", "length_ft": "12"}


def test_each_window_keeps_its_own_half_typed_row(my_wood, window):
    one, two = window("A"), window("B")
    fill(one, **LOG)
    assert two.fields["small_in"].value == "" and window("C").fields["small_in"].value == ""
    fill(two, species="white ash", small_in="11", length_ft="8", note="the crooked one")
    two.save()
    assert one.fields["small_in"].value == "16"
    again = window("A")  # the lesson of the first window, run again
    assert again.fields["small_in"].value == "16" and "not saved yet" in again.said
    again.save()
    assert records.read(my_wood / "logs.csv")["small_in"].tolist() == [11, 16]
    window.gone |= {"A", "B"}
    assert "not saved" not in window("D").said  # nothing comes back after it was saved


def test_what_a_window_that_is_gone_left_comes_back_and_of_two_one_after_the_other(my_wood, window):
    fill(window("A"), **LOG)
    fill(window("B"), **LOG | {"small_in": "20"})
    window.gone |= {"A", "B"}
    form = window("C")
    seen = [form.fields["small_in"].value]
    form.save()
    seen.append(form.fields["small_in"].value)
    form.save()
    assert sorted(seen) == ["16", "20"] and form.fields["small_in"].value == ""
    assert sorted(records.read(my_wood / "logs.csv")["small_in"]) == [16, 20]


def test_one_press_in_each_of_two_windows_saves_a_log_once(my_wood, window):
    one = window("A")
    fill(one, **LOG)
    again = window("A")  # run again in a second window: both show the log
    again.save()
    one.save()
    assert (
        "Row 2 of logs.csv came in from another window and says just this. Nothing was saved now." in one.said
    )
    assert len(records.read(my_wood / "logs.csv")) == 1
    one.save()  # two logs of one size are common
    assert len(records.read(my_wood / "logs.csv")) == 2


def test_what_was_refused_does_not_come_back_once_its_row_is_saved_from_another_window(my_wood, window):
    """1,250 is refused; 1250 is saved elsewhere, as a new row and as a correction."""
    row = GOOD | {"unit": "g"}
    one = window("A", "readings")
    fill(one, **row | {"value": "1,250"})
    one.save()
    assert "Not saved yet" in one.said
    two = window("B", "readings")
    fill(two, **row | {"value": "1250"})
    two.save()
    window.gone |= {"A"}
    three = window("C", "readings")
    assert three.fields["value"].value == "" and "not saved" not in three.said
    three.marked.value = two.marked.value = 2
    fill(three, value="1,350")
    three.save()
    fill(two, value="1350")
    two.save()
    three.marked.value = 0
    three.read_again()
    window.gone |= {"B", "C"}
    four = window("D", "readings")
    assert four.fields["value"].value == "" and "not saved" not in four.said


def test_what_another_open_window_holds_is_fetched_by_a_button(my_wood, window):
    fill(window("A"), **LOG)
    two = window("B")
    press(two, "Bring here what was typed in another window and not saved")
    assert two.fields["small_in"].value == "16"
    two.save()
    assert len(records.read(my_wood / "logs.csv")) == 1


def test_a_board_column_that_another_program_adds_while_the_form_is_open_loses_nothing(my_wood):
    path = my_wood / "readings.csv"
    my_wood.mkdir()
    path.write_text("date,stack,kind,value,unit\n2026-06-10,A,meter,24,%\n")
    new, old = records_form(), records_form()
    fill(new, date="2026-06-20", stack="A", board="2", kind="meter", value="22")
    old.marked.value = 2
    fill(old, value="25")
    path.write_text("date,stack,kind,value,unit,board\n2026-06-10,A,meter,24,%,1\n")
    new.save()
    old.save()
    assert "changed by another program" in old.said and old.fields["value"].value == "25"
    frame = records.read(path)
    assert frame["board"].tolist() == ["1", "2"] and frame["value"].tolist() == [24, 22]


def test_a_program_is_known_by_its_start_and_not_only_by_its_number():
    by = drafts.this_program()
    assert drafts._lives(by, 0)
    number, born, host = by.split(" ", 2)
    assert not drafts._lives(f"{number} {int(born) - 100} {host}", 0)  # another had that number before
    assert not drafts._lives("", 0)
    assert drafts._lives("1 1 elsewhere", time.time()) and not drafts._lives("1 1 elsewhere", 0)


# ---- nothing typed is changed without a word


@pytest.mark.parametrize(
    ("typed", "value"),
    [("12' 4\"", 12 + 1 / 3), ("3.75 m", 3.75 / 0.3048), ("12 ft 4-1/2 in", 12.375), ("12.5", 12.5)],
)
def test_a_length_is_shown_back_as_it_was_measured(my_wood, typed, value):
    form = records_form("logs")
    fill(form, **LOG | {"length_ft": typed})
    form.save()
    path = my_wood / "logs.csv"
    shown = {"12 ft 4-1/2 in": "12.375"}.get(typed, typed)
    assert records.read(path).loc[2, "length_ft"] == pytest.approx(value, rel=1e-9)
    assert html.escape(shown) in form.rows_line.value
    form.marked.value = 2
    assert form.fields["length_ft"].value == shown
    before = path.read_text().splitlines()[1]
    fill(form, note="wet")
    form.save()
    assert path.read_text().splitlines()[1] == f"{before}wet"  # the length keeps its text


def test_the_unit_is_the_one_used_last_and_not_a_default(my_wood):
    oak1(
        my_wood,
        "2026-05-10,Oak1,1,oven-dry,4.2,kg\n2026-05-12,Oak1,1,weight,7.2,kg\n2026-05-14,Oak1,1,meter,50,%\n",
    )
    form = records_form()
    fill(form, kind="weight")
    assert form.fields["unit"].value == "kg"
    fill(form, kind="meter")
    assert form.fields["unit"].value == "%"
    fill(form, kind="oven-dry")
    assert form.fields["unit"].value == "kg"


def test_one_board_after_another_each_gets_a_number_of_its_own(my_wood):
    """Counted in the boards alone: the readings may be of a board 9 that is in no table of boards."""
    oak1(my_wood, "2026-05-12,Oak1,9,weight,16.0,lb\n")
    form = records_form("boards")
    for width in ("6", "7", "8"):
        assert form.fields["board"].value == ""
        fill(form, species="northern red oak", nominal="4/4", width_in=width, length_ft="8")
        form.save()
        assert "Saved as" in form.said
    form.fields["board"].value = "8"
    fill(form, width_in="6", length_ft="8")
    form.save()
    fill(form, width_in="6", length_ft="8")
    form.save()  # 9 is taken, by a reading
    assert records.read(my_wood / "boards.csv")["board"].tolist() == ["1", "2", "3", "8", "10"]
    form.table.value = "stacks"
    assert form.fields["stack"].value == ""


@pytest.mark.parametrize(
    ("typed", "says"),
    [("Jan 2", "Add the year: 20"), ("1/15", "Add the year: 20"), ("2 January", "-01-02."), ("5/6", "Add the year."),
     ("rain", "like 2025-05-24.")],
)  # fmt: skip
def test_a_day_without_its_year_is_told_to_add_it(my_wood, typed, says):
    form = records_form()
    fill(form, **GOOD | {"date": typed})
    form.save()
    assert says in form.said.splitlines()[1] and ("Add the year" in form.said) == (typed != "rain")


def test_a_length_in_feet_and_inches_is_told_so_wherever_it_is_told(my_wood):
    form = records_form("logs")
    fill(form, species="red oak", small_in="35 cm", length_ft="10' 4\"")
    form.save()
    form.marked.value = 2
    fill(form, length_ft="11' 4\"")
    form.save()
    assert "Length (ft): 10' 4\" becomes 11' 4\"." in form.said
    assert "35 cm, 11' 4\"" in plain(form.undoes.value) and "becomes" in plain(form.undoes.value)
    form.marked.value = 2
    form.ask_take_out()
    assert "35 cm, 11' 4\"" in form.question.asked
    from woodcalc.plan import make_plan

    sent = make_plan(my_wood, place="Madison, WI", thickness="4/4", start="2026-05-15").steps[0].shown()[1]
    assert any("11.33" in row for row in sent)


def test_form_asks_before_it_saves_over_what_another_program_wrote(my_wood):
    form = records_form()
    path = my_wood / "readings.csv"
    fill(form, **GOOD)
    form.save()
    older = path.read_bytes()
    fill(form, **GOOD | {"date": "2026-06-01", "value": "9"})
    form.save(sure=True)
    path.write_bytes(older)
    fill(form, **GOOD | {"date": "2026-06-09", "value": "8.5"})
    form.save(sure=True)
    assert form.said.startswith("Not saved yet.\nOne row that you saved is no longer in readings.csv")
    assert path.read_bytes() == older and form.fields["value"].value == "8.5"
    buttons = [b for each in form.missing.children for b in each.children[1].children]
    assert [b.description for b in buttons] == ["Put it back", "It is meant to be gone"]
    buttons[0].click()
    assert "One row of readings.csv put back." in form.said and form.fields["value"].value == "8.5"
    form.save(sure=True)
    assert list(records.read(path)["value"])[1:] == [9, 8.5]
    lock = path.with_name(".~lock.readings.csv#")
    lock.write_text("")
    fill(form, **GOOD | {"date": "2026-06-20", "value": "8.2"})
    form.save(sure=True)
    assert "Not saved yet.\nreadings.csv is open in another program: close it there first" in form.said
    assert len(records.read(path)) == 3
    form.save(sure=True)
    assert len(records.read(path)) == 4
