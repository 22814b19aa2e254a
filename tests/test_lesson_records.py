"""Lesson 08: the panels say what the calculators say, the form keeps what is typed."""

import numpy as np
import pandas as pd
import pytest

from woodcalc import drying, records
from woodcalc.figures import records as figures
from woodcalc.lesson import records as lesson
from woodcalc.lesson.exercise import every, seeded


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
    assert figures.dates(forecast.date_of(20)) in panel.reading


def test_a_slip_of_the_pen_does_not_wreck_the_forecast():
    right, wrong = (figures.recorded(8, "both", slip)[1] for slip in (False, True))
    assert abs((right.date_of(20).likely - wrong.date_of(20).likely).days) <= 5


def test_made_up_stack_dries_as_the_forecast_does_at_the_usual_pace():
    f = drying.air_dry("northern red oak", "4/4", "Madison", "2026-05-10", start_mc_pct=80)
    assert figures.stack_truth(1.0)[:121] == pytest.approx(f.daily["likely"].to_numpy()[:121], abs=0.3)


def test_two_weighings_narrow_the_date_more_than_two_meter_readings():
    counts, widths = figures.days_open(10, 14, 0.8)
    assert list(counts) == [0, 2, 4, 6]
    assert widths["weight"][3] < widths["weight"][1] < widths["weight"][0]
    assert widths["weight"][1] < widths["meter"][1]


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


GOOD = {"date": "2025-06-21", "stack": "A", "board": "A1", "kind": "weight", "value": "12,4", "unit": "lb"}


def test_form_saves_a_row_and_shows_it(my_wood):
    form = lesson.records_form()
    fill(form, **GOOD)
    form.save()
    assert form.said.startswith("Saved as row 2 of readings.csv.")
    table = records.read(my_wood / "readings.csv")
    assert table.loc[2, "value"] == 12.4
    assert table.loc[2, "date"] == pd.Timestamp("2025-06-21")
    assert "<td>12.4</td>" in form._rows.value
    assert form.fields["stack"].value == "A"  # stays for the next row
    assert form.fields["value"].value == ""


def test_form_fits_the_unit_to_the_kind(my_wood):
    form = lesson.records_form()
    fill(form, kind="meter")
    assert form.fields["unit"].value == "%"
    fill(form, kind="weight", unit="g")
    fill(form, kind="oven-dry")
    assert form.fields["unit"].value == "g"


def test_form_says_what_is_wrong_and_keeps_what_was_typed(my_wood):
    form = lesson.records_form()
    fill(form, **GOOD | {"value": "twelve", "date": "5/6/2025"})
    form.save()
    assert "Not saved yet" in form.said
    assert "value: found 'twelve'" in form.said
    assert "2025-05-06 or 2025-06-05" in form.said
    assert form.fields["value"].value == "twelve"
    assert not (my_wood / "readings.csv").exists()


def test_form_corrects_and_takes_out(my_wood):
    form = lesson.records_form()
    for value in ("12.4", "14.2"):
        fill(form, **GOOD | {"value": value})
        form.save()
    form._marked.value = 3
    assert form.fields["value"].value == "14.2"
    fill(form, value="11.8")
    form.save()
    assert "Row 3 of readings.csv is corrected." in form.said
    assert list(records.read(my_wood / "readings.csv")["value"]) == [12.4, 11.8]
    form._marked.value = 2
    form.take_out()
    assert list(records.read(my_wood / "readings.csv")["value"]) == [11.8]


def test_two_forms_on_one_file_lose_nothing(my_wood):
    one, two = lesson.records_form(), lesson.records_form()
    for form, board in ((one, "A1"), (two, "A2"), (one, "A3")):
        fill(form, **GOOD | {"board": board})
        form.save()
    assert list(records.read(my_wood / "readings.csv")["board"]) == ["A1", "A2", "A3"]
    assert "1 more rows came in from another program" in one.said
    one._marked.value = 2
    two._marked.value = 0
    two._read()
    two._marked.value = 2
    fill(one, value="11")
    one.save()
    fill(two, value="10")
    two.save()
    assert "changed by another program: row 2 now reads" in two.said
    assert two.fields["value"].value in ("10", "11")
    assert records.read(my_wood / "readings.csv").loc[2, "value"] == 11


def test_form_on_a_read_only_file_and_on_a_broken_one(my_wood):
    form = lesson.records_form()
    fill(form, **GOOD)
    form.save()
    path = my_wood / "readings.csv"
    path.chmod(0o444)
    fill(form, **GOOD | {"value": "11"})
    form.save()
    assert "was not saved" in form.said
    assert "What you typed is still in the form." in form.said
    assert form.fields["value"].value == "11"
    path.chmod(0o644)
    form.save()
    assert len(records.read(path)) == 2
    path.write_text(path.read_text() + "some,nonsense\n")
    broken = path.read_text()
    form = lesson.records_form()
    assert "row 4" in form.said
    fill(form, **GOOD)
    form.save()
    assert path.read_text() == broken


def test_form_has_a_field_for_each_column_of_each_table(my_wood):
    form = lesson.records_form()
    for table in records.TABLES:
        form._table.value = table
        assert list(form.fields) == [c.name for c in records.TABLES[table]]
    form._table.value = "logs"
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
    assert "The readings are not used: readings: 2025-05-01 lies before the stack was built" in panel.reading
    records.append(
        my_wood / "stacks.csv", {"stack": "B", "species": "ash", "nominal": "4/4", "stacked": "2025-06-01"}
    )
    frame = records.read(my_wood / "stacks.csv")
    records.correct(my_wood / "stacks.csv", 2, frame.loc[2], {**frame.loc[2], "stacked": "2025-03-01"})
    assert "1 reading: pace" in lesson.own_stack_panel().reading  # the corrected stack, without a restart
    path = my_wood / "readings.csv"
    path.write_text(path.read_text() + "soon,A,,meter,20,%,,\n")
    assert "row 3, column date" in lesson.own_stack_panel().value


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
