"""Lesson 11: the panels say what the calculators say, the desk makes and writes the plan."""

import csv
import html
import re
from datetime import date

import numpy as np
import pandas as pd
import pytest

from woodcalc import drying, records
from woodcalc import plan as planning
from woodcalc.checks import InputError, RangeWarning
from woodcalc.figures import job as figures
from woodcalc.figures import plan_charts as charts
from woodcalc.lesson import plan as lesson
from woodcalc.lesson.box import plain
from woodcalc.lesson.exercise import every


@pytest.fixture(autouse=True)
def my_wood(tmp_path, monkeypatch):
    monkeypatch.setenv("WOODCALC_MY_WOOD", str(tmp_path / "mine"))
    return tmp_path / "mine"


def test_calendar_says_what_the_forecast_says():
    panel = lesson.calendar_panel()
    panel.dials["species"].value, panel.dials["month"].value = "sugar maple", 4
    days = drying.air_dry("sugar maple", "4/4", "Madison, WI", "2026-04-15").days_to(20).likely
    assert f"down to 20 % after {days:.0f} days" in panel.reading


def test_calendar_and_plan_take_the_part_of_the_log():
    """Loblolly sapwood starts at 110 %, heartwood at 33 %; of cherry's sapwood nothing is known, and that is said."""
    panel = lesson.calendar_panel()
    panel.dials["species"].value, panel.dials["part"].value = "white oak", "sapwood"
    days = drying.air_dry("white oak", "4/4", "Madison, WI", "2026-05-15").days_to(20).likely
    assert "White oak 4/4 on sticks" in panel.reading and f"after {days:.0f} days" in panel.reading
    assert "Its sapwood starts at 78 % and likely dries at a faster pace" in panel.reading
    panel.dials["species"].value = "black cherry"
    assert panel.reading.endswith("How wet its sapwood is, is not known here: this is a board of both.")
    plan = planning.make_plan(start="2026-05-15", part="heartwood")
    oak = plan.forecasts["northern red oak"]
    assert oak.start_mc_pct == 80 and oak.part == "heartwood"
    sap = planning.make_plan(start="2026-05-15", part="sapwood")
    whole = planning.make_plan(start="2026-05-15")
    for wood in (
        "northern red oak",
        "eastern white pine",
    ):  # the pace of their sapwood is not known: no date of its own
        assert sap.forecasts[wood].date_of(20) == whole.forecasts[wood].date_of(20)
        assert any(
            remark.startswith(f"{wood}: its sapwood") and "faster pace" in remark for remark in sap.remarks
        )
    assert any("cherry: how wet its sapwood is, is not known" in remark for remark in sap.remarks)
    with pytest.raises(InputError, match="part"):
        planning.make_plan(start="2026-05-15", part="bark")


def test_calendar_names_events_in_the_order_of_time():
    panel = lesson.calendar_panel()  # red oak at Madison, from May
    assert panel.reading.index("down to 20 % after 78 days") < panel.reading.index(
        "season ends after 143 days"
    )
    year = drying.start_date(5).year
    for day in (f"on sticks on 15 May {year}", f"(1 Aug {year})", f"(5 Oct {year})", f"Jan {year + 1})."):
        assert day in panel.reading  # each with its year

    panel.dials["nominal"].value = "8/4"
    assert panel.reading.index("season ends after 210 days") < panel.reading.index(
        "down to 20 % after 347 days"
    )


def test_calendar_names_its_years_and_never_one_that_is_past():
    for month in range(1, 13):
        page, says = figures.job_calendar("Madison, WI", "white ash", "4/4", month)
        start = drying.start_date(month)
        assert f"on sticks on 15 {start:%b %Y}" in says and start >= date.today()
        drawn = page.svg() if hasattr(page, "svg") else figures.style.to_svg(page)
        assert all(f">{start.year + n}<" in drawn for n in range(3)) and "year 1" not in drawn
    assert (
        "on sticks on 15 May 2031 "
        in figures.job_calendar("Madison, WI", "white ash", "4/4", 5, year=2031)[1]
    )


def test_cost_panel_adds_up_and_answers_to_each_dial():
    panel = lesson.cost_panel()
    step = figures.kettle_hollow_plan().step("costs").table.set_index("what")
    assert f"${step.loc['All', 'usd']:,.0f} paid" in panel.reading
    panel.dials["usd_per_hour"].value = 20
    total = (step.loc["All", "usd"] + 20 * step.loc["All", "hours"]) / step.loc["Saw", "amount"]
    assert f"${total:.2f} a board foot" in panel.reading


def test_hidden_month_fits_itself_only():
    for month in (1, 3, 5, 8, 10, 12):
        gaps = [float(figures.unknown_month(month, m)[1].split(" by ")[1].split()[0]) for m in range(1, 13)]
        assert gaps[month - 1] == 0.0
        assert sorted(gaps)[1] > 0.05


def own_logs(my_wood, text="1,white oak,16,12\n2,black cherry,13,10\n"):
    my_wood.mkdir(exist_ok=True)
    (my_wood / "logs.csv").write_text("log,species,small_in,length_ft\n" + text)


def test_desk_makes_the_plan_of_ones_own_logs_and_writes_it(my_wood):
    own_logs(my_wood)
    desk = lesson.plan_desk(start="2026-05-15")
    assert desk.said == "" and "2 logs" in desk.showing.value and not desk.write_button.disabled
    assert not (my_wood / "plan").exists()  # nothing is written before the button is pressed
    desk.write()
    assert "plan.html to print" in desk.said
    assert (my_wood / "plan" / "plan.html").read_text(encoding="utf-8").startswith("<!DOCTYPE html>")
    assert len(list((my_wood / "plan").glob("*.csv"))) == len(desk.plan.steps) + 2


def test_desk_never_writes_kettle_hollow_into_a_learners_folder(my_wood):
    desk = lesson.plan_desk(start="2026-05-15")
    for folder in (lesson.INVENTED, str(records.KETTLE_HOLLOW), str(records.KETTLE_HOLLOW / "logs.csv")):
        desk.fields["folder"].value = folder
        desk.make()
        assert "18 logs" in desk.showing.value and desk.write_button.disabled
        assert "so it isn't written into your folder" in plain(desk.write_note.value)
        desk.write()
        assert "isn't written into your folder" in desk.said
    assert not my_wood.exists() and not (records.KETTLE_HOLLOW / "plan").exists()
    assert 'download="plan.html"' in desk.showing.value


def test_desk_writes_the_plan_of_another_woodlot_beside_its_own_logs(my_wood, tmp_path):
    own_logs(my_wood)
    other = tmp_path / "back forty.csv"
    other.write_text("species,diameter,length\nwhite oak,16,12\n")
    desk = lesson.plan_desk(start="2026-05-15")
    desk.fields["folder"].value = str(other)
    assert desk.write_button.disabled  # the plan shown is still that of one's own wood
    desk.make()
    desk.write()
    assert (tmp_path / "plan-back forty" / "plan.html").is_file() and not (my_wood / "plan").exists()


@pytest.mark.parametrize(
    ("name", "value"),
    [("thickness", "8/4"), ("start", "2027-04-01"), ("place", "Duluth, MN"), ("species", "black cherry"),
     ("pattern", "through-and-through"), ("part", "heartwood")],
)  # fmt: skip
def test_desk_writes_what_the_form_shows_or_nothing(my_wood, name, value):
    own_logs(my_wood)
    desk = lesson.plan_desk(start="2026-05-15")
    before = desk.fields[name].value
    desk.fields[name].value = value
    assert desk.write_button.disabled
    assert "The form has changed since this plan was made" in plain(desk.write_note.value)
    desk.write()  # a press that came with the change
    assert "The form has changed" in desk.said and not (my_wood / "plan").exists()
    desk.fields[name].value = before
    assert not desk.write_button.disabled


def test_desk_takes_a_thickness_for_each_wood_of_the_tally(my_wood):
    own_logs(my_wood)
    desk = lesson.plan_desk(start="2026-05-15")
    assert desk.sizes == {}
    desk.by_wood.value = True
    assert list(desk.sizes) == ["white oak", "black cherry"] and not desk.write_button.disabled
    desk.sizes["white oak"].value = "8/4"
    assert desk.write_button.disabled
    desk.fields["thickness"].value = "5/4"
    desk.make()
    assert desk.plan.sizes == {"white oak": "8/4", "black cherry": "5/4"} and not desk.write_button.disabled
    own_logs(my_wood, "1,white oak,16,12\n2,white ash,13,10\n")
    desk.make()
    assert desk.plan.sizes == {"white oak": "8/4", "white ash": "5/4"}
    desk.by_wood.value = False
    desk.make()
    assert set(desk.plan.sizes.values()) == {"5/4"}
    desk.by_wood.value = True
    desk.fields["folder"].value = "/no/such/folder"
    assert desk.sizes == {}
    desk.make()
    assert "found no such folder" in desk.said


def test_desk_starts_with_the_next_such_month(my_wood, monkeypatch):
    from woodcalc.records.choices import Choices

    monkeypatch.setattr(lesson, "kept_choices", lambda: Choices(month=5))
    start = date.fromisoformat(lesson.plan_desk().fields["start"].value)
    assert (start.month, start.day) == (5, 15) and 0 <= (start - date.today()).days < 366


@pytest.fixture(scope="module")
def planned_desk():
    """A desk whose plan stands: what is wrong is typed into it field by field."""
    return lesson.plan_desk(start="2026-05-15")


@pytest.mark.parametrize(
    ("field", "value", "words"),
    [
        ("place", "Atlantis", "unknown site"),
        ("start", "soon", "month"),
        ("start", "2026-13-01", "expected a date"),
        ("species", "red pine", "the tally has none"),
        ("start", "2/30/2027", "There is no such day"),
        ("start", "5/6/2026", "6 May or 5 June? Write 2026-05-06 or 2026-06-05."),
        ("start", "1/1/1850", "1850 cannot be right"),
        ("start", "", "unknown month"),
        ("folder", "/no/such/folder", "found no such folder"),
        ("folder", "~nobody-here/logs.csv", "found no such folder"),
        ("folder", "logs\0.csv", "Say where the logs are"),
        ("folder", "x" * 300, "cannot be read"),
        ("folder", "", "Say where the logs are"),
        ("folder", lesson.OWN, "no logs.csv yet"),
    ],
)
def test_desk_says_what_is_wrong_and_keeps_the_last_plan(field, value, words, planned_desk):
    desk, shown = planned_desk, planned_desk.showing.value
    was = desk.fields[field].value
    desk.fields[field].value = value
    desk.make()
    assert words in desk.said
    assert desk.showing.value == shown
    desk.fields[field].value = was


@pytest.mark.parametrize("typed", ["5/15/2027", "15 May 2027", "May 15, 2027", "2027-05-15"])
def test_desk_reads_a_day_as_people_write_it(typed):
    desk = lesson.plan_desk(start=typed)
    assert desk.said == "" and desk.plan.start == date(2027, 5, 15)


def test_plan_and_records_read_a_thickness_and_a_day_alike():
    for typed in ("5/4", "1 1/4", "1,25", "1.25"):
        row, bad = records.problems_in({"nominal": typed}, "stacks")
        assert row["nominal"] == planning.make_plan(thickness=typed).nominal == "5/4"
    for typed in ("5/6/2026", "31/12/2026", "06.05.2026", "2026-02-30"):
        day, bad = records.problems_in({"date": typed}, "readings")
        said = (
            "".join(p.expected for p in bad if p.column == "date")
            .partition(". ")[2]
            .partition(", or head")[0]
        )
        try:
            assert drying.start_date(typed) == day["date"].date() and not said
        except InputError as error:
            assert said and said in str(error)


def test_desk_takes_a_path_with_quotation_marks(tmp_path):
    path = tmp_path / "back forty.csv"
    path.write_text("species,diameter,length\nwhite oak,16,12\n")
    desk = lesson.plan_desk(start="5/15/2027")
    desk.fields["folder"].value = f'"{path}"'
    desk.make()
    assert desk.said == "" and desk.plan.name == "Back Forty"


def test_desk_begins_where_nothing_can_be_planned_and_takes_it_from_there(my_wood):
    my_wood.mkdir()
    (my_wood / "logs.csv").write_text("log,species,small_in,length_ft\n1,white oak,wide,12\n")
    desk = lesson.plan_desk(start="2026-05-15")
    assert desk.plan is None and desk.write_button.disabled
    assert "no log can be used" in desk.said and "logs.csv, row 2, column small_in: found 'wide'" in desk.said
    desk.write()
    assert "Make a plan first" in desk.said
    (my_wood / "logs.csv").write_text("log,species,small_in,length_ft\n1,white oak,16,12\n")
    desk.make()
    assert desk.said == "" and desk.plan and not desk.write_button.disabled


def test_desk_shows_what_could_not_be_used_above_the_plan_and_in_it(my_wood):
    my_wood.mkdir()
    rows = "".join(f"{n},white oak,16,12\n" for n in range(5)) + "x<b>,white oak,wide,12\n" * 12
    (my_wood / "logs.csv").write_text("log,species,small_in,length_ft\n" + rows)
    desk = lesson.plan_desk(start="2026-05-15")
    note, _, page = desk.showing.value.partition("<iframe")
    for text in (note, page):
        assert "What in these records could not be used, or is doubtful" in text
        assert "logs.csv, row 7, column small_in: found" in html.unescape(html.unescape(text))
    assert re.search(r"and \d+ more: they stand in the pages, below Take care.", note)
    assert "<b>,white" not in note and "x<b>" not in note


def test_a_table_that_a_spreadsheet_would_run_is_written_so_that_it_does_not(my_wood):
    my_wood.mkdir()
    (my_wood / "logs.csv").write_text('log,species,small_in,length_ft\n"=HYPERLINK(""x"")",white oak,16,12\n')
    desk = lesson.plan_desk(start="2026-05-15")
    desk.write()
    assert "Written to" in desk.said
    for path in (my_wood / "plan").glob("*.csv"):
        with path.open(encoding="utf-8", newline="") as file:
            cells = [cell for row in csv.reader(file) for cell in row]
        assert cells and not [cell for cell in cells if cell.startswith(("=", "+", "@", "\t"))]


def test_whatever_goes_wrong_the_last_plan_stays(my_wood, monkeypatch):
    own_logs(my_wood)
    desk = lesson.plan_desk(start="2026-05-15")
    shown, made = desk.showing.value, desk.plan
    with monkeypatch.context() as broken:
        broken.setattr(lesson.pages, "plan_page", lambda plan: {}["A1"])
        desk.make()
    assert "KeyError: 'A1'" in desk.said and desk.showing.value == shown and desk.plan is made
    monkeypatch.setattr(lesson.planning, "make_plan", lambda *a, **k: open(my_wood / "no" / "file"))
    desk.make()
    assert "cannot be used (no such file or directory)" in desk.said and desk.showing.value == shown
    desk.write()
    assert "Written to" in desk.said


@pytest.mark.parametrize("size", ["48/4", "2/4", "16/4", "3/4"])
def test_desk_with_a_thickness_that_was_chosen_by_hand(my_wood, size, recwarn):
    my_wood.mkdir()
    (my_wood / "choices.json").write_text(f'{{"thickness": "{size}"}}')
    desk = lesson.plan_desk(start="2026-05-15")
    assert desk.plan or "thickness" in desk.said
    assert not [w for w in recwarn if issubclass(w.category, RangeWarning)]


@pytest.mark.filterwarnings("ignore:.* is thicker than 8/4:woodcalc.checks.RangeWarning")
@pytest.mark.parametrize("place", ["Phoenix, AZ", "Duluth, MN", "Mobile, AL"])
@pytest.mark.parametrize("month", [1, 2, 7, 12])
def test_the_calendar_of_any_place_is_drawn_without_a_made_up_start(place, month):
    for size in lesson.THICKNESSES:
        says = figures.job_calendar(place, "eastern white pine", size, month)[1]
        assert "nan" not in says
        stops = float(re.search(r"near (\d+) %", says)[1])
        assert (
            "dry enough for furniture as it is" in says if stops < 7 else "heated room" in says or stops == 7
        )


def test_desk_reads_a_learners_own_tally(my_wood):
    my_wood.mkdir()
    (my_wood / "logs.csv").write_text("Log;Species;Diameter;Length\n1;white ash;14,5;12\n2;white ash;13;10\n")
    desk = lesson.plan_desk(start="2026-05-15")
    assert desk.fields["folder"].value == lesson.OWN
    assert desk.plan.species.name == "white ash"
    (my_wood / "logs.csv").write_text("Log;Species;Diameter;Length\n1;white ash;minus;12\n")
    desk.make()
    assert "logs.csv, row 2, column small_in: found 'minus'" in desk.said


def test_desk_without_own_logs_says_what_is_kept_and_what_is_missing(my_wood):
    my_wood.mkdir()
    (my_wood / "stacks.csv").write_text("stack,species,nominal,stacked\nA,white oak,4/4,2025-05-10\n")
    desk = lesson.plan_desk(start="2026-05-15")
    assert desk.plan.name == "Kettle Hollow"
    assert "you have none written down yet. Your stack A is kept: lesson 8 shows" in desk.said
    (my_wood / "readings.csv").write_text(
        "date,stack,kind,value\n2025-06-10,A,meter,28\n2025-06-20,A,meter,25\n"
    )
    desk.make()
    assert (
        "Your 2 readings and stack A are kept" in desk.said
        or "Your stack A and 2 readings are kept" in desk.said
    )
    (my_wood / "logs.csv").write_text("log,species,small_in,length_ft\n1,white oak,16,12\n")
    desk.make()
    assert desk.said == "" and desk.plan.name == "Kettle Hollow"  # as it was chosen
    desk.fields["folder"].value = lesson.OWN
    desk.make()
    assert desk.said == "" and desk.plan.name != "Kettle Hollow"


def test_desk_tells_of_a_folder_that_cannot_be_written(my_wood):
    own_logs(my_wood)
    desk = lesson.plan_desk(start="2026-05-15")
    (my_wood / "plan").write_text("a file where the folder should be")
    desk.write()
    assert desk.said.startswith("Not all pages were written to mine/plan: plan/plan.html was not saved: ")
    assert str(my_wood.parent) not in desk.said


def test_desk_begins_with_the_stack_and_keeps_what_it_was_set_to(my_wood):
    own_logs(my_wood)
    stacks = 'stack,species,nominal,stacked,place\nW8,white oak,8/4,2026-06-15,"Burlington, VT"\n'
    (my_wood / "stacks.csv").write_text(stacks)
    desk = lesson.plan_desk()
    assert (desk.fields["place"].value, desk.fields["thickness"].value) == ("Burlington, VT", "8/4")
    assert desk.fields["start"].value[5:] == "06-15"
    assert not (my_wood / "choices.json").exists()  # nothing is kept that nobody set
    desk.fields["thickness"].value = "5/4"
    desk.fields["start"].value = "2027-04-20"
    desk.make(by_hand=True)
    again = lesson.plan_desk()
    assert (again.fields["place"].value, again.fields["thickness"].value) == ("Burlington, VT", "5/4")
    assert again.fields["start"].value == "2027-04-20"


def test_desk_asks_before_it_writes_over_a_plan_with_other_settings(my_wood):
    own_logs(my_wood)
    desk = lesson.plan_desk(start="2026-05-15")
    desk.write()
    page = my_wood / "plan" / "plan.html"
    was = page.read_bytes()
    desk.write()
    assert not desk.question.asked  # the same plan
    desk.fields["thickness"].value = "8/4"
    desk.make()
    desk.write()
    assert "Thickness: 4/4 there, 8/4 here" in desk.question.asked and page.read_bytes() == was
    desk.question.no.click()
    assert page.read_bytes() == was
    desk.write()
    desk.question.yes.click()
    assert page.read_bytes() != was and "Written to" in desk.said


def test_exercises_by_hand():
    found = every()
    assert found["loads-to-the-mill"].solve(likely_lb=8000, high_lb=10100, rating_lb=5000) == 3
    assert found["board-feet-to-reckon-with"].solve(
        best_bf=1000, lost_pct=10, defect_pct=20
    ) == pytest.approx(720)
    cost = found["dollars-a-board-foot"].solve(
        paid_usd=500, hours=50, usd_per_hour=10, sawn_bf=1000, doyle_bf=700
    )
    assert cost == pytest.approx(1.0)
    assert found["share-of-water-outdoors"].solve(green_pct=80, stop_pct=14, target_pct=8) == pytest.approx(
        100 * 66 / 72
    )


def test_pictures_of_a_plan_with_one_log_and_with_none_of_the_readings(tmp_path):
    from woodcalc.plan import make_plan

    path = tmp_path / "one.csv"
    pd.DataFrame({"species": ["white oak"], "small_in": [16.0], "length_ft": [12.0]}).to_csv(
        path, index=False
    )
    plan = make_plan(path, start="2026-05-15", thickness="8/4")
    for draw in (charts.year_of_the_job, charts.way_down, charts.year_of_air, charts.promise_and_saw):
        figure, sentence = draw(plan)
        assert np.isfinite(figure.get_size_inches()).all()
        assert "nan" not in sentence
