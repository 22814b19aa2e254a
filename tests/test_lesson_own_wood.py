"""Records that are only begun, or hold a slip: each lesson goes on with what is good and says the rest in sentences."""

import re

import pytest

from woodcalc import disk, records
from woodcalc.drying import of_stack
from woodcalc.lesson import air, drying, kept, kiln, logs, moisture, movement, own, sawing, shrinkage, stack
from woodcalc.lesson import records as lesson_8
from woodcalc.lesson.answers import start_over
from woodcalc.lesson.box import plain
from woodcalc.lesson.form import records_form
from woodcalc.lesson.panel import Panel
from woodcalc.lesson.this_week import this_week
from woodcalc.plan import make_plan
from woodcalc.records import choices
from woodcalc.records.usable import read_usable

BOXES = {
    logs.own_tally: "logs",
    sawing.own_sawing: "logs",
    sawing.own_order: "logs",
    moisture.own_readings: "readings",
    stack.own_panel: "boards",
    drying.own_stacks: "stacks readings",
    lesson_8.own_stack_panel: "stacks readings",
    lesson_8.own_sample_boards_panel: "stacks readings",
    this_week: "stacks readings",
    kiln.own_three_ways: "stacks readings",
}
OF_CHOICES = [
    shrinkage.own_spread,
    moisture.own_weights,
    air.own_months,
    air.shed_today_panel,
    drying.my_stack_panel,
    kiln.own_loading,
    movement.own_panel,
]


@pytest.fixture
def my_wood(tmp_path, monkeypatch):
    monkeypatch.setenv(choices.VARIABLE, str(tmp_path / "mine"))
    (tmp_path / "mine").mkdir()
    return tmp_path / "mine"


def put(folder, **tables):
    for name, text in tables.items():
        (folder / f"{name}.csv").write_text(text, encoding="utf-8")


def words(made):
    """All that a reader reads in a box, as plain text."""
    told = made.still() if hasattr(made, "still") else made._repr_html_()
    return plain(re.sub(r"<img[^>]*>", "", told))


STACK = "stack,species,nominal,stacked\nA,northern red oak,4/4,2025-05-10\n"
HEAD = "date,stack,board,kind,value,unit\n"
WEIGHED = (
    "2025-05-10,A,1-3,oven-dry,9.32,lb\n2025-05-10,A,1-3,weight,16.6,lb\n2025-06-07,A,1-3,weight,13.7,lb\n"
)


@pytest.mark.parametrize("make", BOXES, ids=lambda f: f"{f.__module__.split('.')[-1]}.{f.__name__}")
def test_without_records_it_is_kettle_hollows_and_says_so(make, my_wood):
    said = words(make())
    assert "These are Kettle Hollow's " in said and "(an invented woodlot)" in said
    for table in BOXES[make].split():
        assert f"{table}.csv" in said


@pytest.mark.parametrize("make", BOXES, ids=lambda f: f"{f.__module__.split('.')[-1]}.{f.__name__}")
def test_a_header_with_no_row_below_it_is_said(make, my_wood):
    put(
        my_wood,
        **{table: ",".join(c.name for c in columns) + "\n" for table, columns in records.TABLES.items()},
    )
    said = words(make())
    assert f"{BOXES[make].split()[0]}.csv has a header and no row yet." in said and "Set aside" not in said


def test_one_stack_and_one_weighing(my_wood):
    put(my_wood, stacks=STACK, readings=HEAD + "2025-06-07,A,1-3,weight,13.7,lb\n")
    panel = lesson_8.own_stack_panel()
    assert isinstance(panel, Panel) and panel.reading.startswith(
        "Stack A, northern red oak, no readings: pace 1.0"
    )
    for made in (panel, moisture.own_readings(), kiln.own_three_ways()):
        assert "One weighing of board 1-3 on 2025-06-07 waits for the board's oven-dry weight" in words(made)
    assert "Stack A has no reading yet that tells its moisture." in words(kiln.own_three_ways())
    panel.dials["left_out"].value = 1
    assert "<img" in panel.picture.value and panel.note_line.value == ""


SLIPS = {  # what stands in readings.csv beside two good weighings: what is said of it
    "2025-06-21,A,1-3,weight,1.22,lb\n": [
        "readings.csv, row 5, column value: found '1.22'",
        "Is 12.2 meant, or is its first digit missing?",
    ],
    "2025-06-21,A,1-3,weight,122,lb\n": ["readings.csv, row 5", "Is 12.2 or 12 meant?"],
    "2025-06-21,A,1-3,weight,5.5,lb\n": ["readings.csv, row 5", "Was it weighed in kg?"],
    "5/6/26,A,1-3,weight,12.2,lb\n": [
        "readings.csv: A date in column date can be read two ways (5/6/26). Which comes first?",
    ],
    "2062-06-21,A,1-3,weight,12.2,lb\n": [
        "readings.csv, row 5, column date: found '2062-06-21'",
        "Is the year right?",
    ],
    "2025-04-21,A,1-3,weight,12.2,lb\n": ["readings.csv, row 5, column date", "when stack A was stacked"],
    "2025-06-21,A,1-3,weight,twelve,lb\n": ["readings.csv, row 5, column value: found 'twelve'"],
    "2025-06-21,B,1-3,weight,12.2,lb\n": [
        "readings.csv, row 5, column stack",
        "a stack of stacks.csv, which has A",
    ],
}


@pytest.mark.parametrize("row", SLIPS)
def test_a_slip_is_told_by_row_and_the_rest_is_used(row, my_wood):
    put(my_wood, stacks=STACK, readings=HEAD + WEIGHED + row)
    for make in (moisture.own_readings, lesson_8.own_stack_panel, kiln.own_three_ways):
        said = words(make())
        assert "Your own" in said and "Kettle Hollow" not in said
        for word in SLIPS[row]:
            assert word in said, make
    assert "Stack A, northern red oak, 2 readings" in lesson_8.own_stack_panel().reading
    rows = words(kiln.own_three_ways()).splitlines()
    assert any(line.startswith("A  northern red oak 4/4  300  47") for line in rows)
    assert "2025-06-07  1-3  weight  47.0" in words(moisture.own_readings())


OAK_ON_STICKS = (
    "2025-05-10,A,1,weight,16.6,lb\n2025-05-31,A,1,weight,14.2,lb\n2025-06-21,A,1,weight,12.9,lb\n"
)


@pytest.mark.parametrize(
    ("stacked", "dry", "contradicts"),
    [("2025-05-10", 9.32, False), ("2024-05-10", 9.32, True), ("2025-05-10", 12.0, True)],
)
def test_readings_that_contradict_the_forecast_teach_it_no_date(my_wood, stacked, dry, contradicts):
    readings = HEAD + OAK_ON_STICKS + f"2025-05-10,A,1,oven-dry,{dry},lb\n"
    put(my_wood, stacks=STACK.replace("2025-05-10", stacked), readings=readings)
    said = lesson_8.own_stack_panel().reading
    assert ("the readings contradict its forecast, so no date is told" in said) == contradicts
    assert ("likely" in said) != contradicts
    put(my_wood, logs="log,species,small_in,length_ft\n1,northern red oak,16,12\n")
    plan = make_plan(my_wood)
    assert any("stacks.csv, row 2" in r and "Used, but doubtful." in r for r in plan.remarks) == contradicts
    assert ("A" in plan.learned) != contradicts


def test_a_weight_under_the_oven_dry_weight_is_told_and_nothing_is_made_up(my_wood):
    put(
        my_wood,
        stacks=STACK,
        readings=HEAD + "2025-05-10,A,1-3,oven-dry,93.2,lb\n2025-06-07,A,1-3,weight,13.7,lb\n",
    )
    for make in (moisture.own_readings, lesson_8.own_stack_panel, kiln.own_three_ways):
        assert "93.2" in words(make()) and "readings.csv, row" in words(make())
    assert "no readings" in lesson_8.own_stack_panel().reading


def test_a_thickness_that_no_lesson_knows_is_said(my_wood):
    (my_wood / "choices.json").write_text('{"thickness": "48/4", "place": "Atlantis"}')
    for make in [*OF_CHOICES, *BOXES]:
        assert not re.search(r"Error\b|Traceback", words(make())), make
    for make in OF_CHOICES[1:]:
        assert "'Atlantis'" in words(make()) and "Choose again in Start here." in words(make())


def test_ten_quarter_stock_is_sawn_and_set(my_wood):
    choices.keep(thickness="10/4")
    assert "10/4 boards, green" in words(sawing.own_sawing())
    assert re.search(r"10/4  2\.2500  .* yours", words(shrinkage.own_spread()))
    assert "Northern red oak 10/4, stacked on 15 May" in words(drying.my_stack_panel())
    choices.keep(thickness="9/4")
    assert "This lesson has no numbers for 9/4" in words(drying.my_stack_panel())


def test_a_log_that_no_rule_takes_is_left_out_and_the_others_count(my_wood):
    head = "log,species,small_in,large_in,length_ft\n"
    put(my_wood, logs=head + "1,white oak,16,18,12\nbig,white oak,80,120,60\n3,white ash,12,13,8\n")
    said = words(logs.own_tally())
    assert "80 to 120 in by 60 ft (log big)" in said and "2 logs: Doyle" in said


def test_a_long_tally_is_shown_in_part_and_counted_whole(my_wood):
    put(my_wood, logs="species,small_in,length_ft\n" + "white oak,16,12\n" * 300)
    said = words(logs.own_tally())
    assert (
        "The table shows the first 60 of 300 logs; the sums count them all." in said
        and "300 logs: Doyle" in said
    )
    assert "The first 200 of 300 logs are sawn here." in words(sawing.own_sawing())


def test_a_dozen_is_told_one_by_one_and_the_doctor_page_knows_the_rest(my_wood):
    put(my_wood, logs="species,small_in,length_ft\nwhite oak,16,12\n" + "white oak,wide,12\n" * 30)
    note = own.own_note(own.own_wood("logs"))
    said = plain(note)
    assert said.count("column small_in: found 'wide'") == 12
    assert "and 18 more: see the doctor page in Start here" in said
    assert '<a href="00-start-here.ipynb">' in note


@pytest.mark.parametrize("make", BOXES, ids=lambda f: f"{f.__module__.split('.')[-1]}.{f.__name__}")
def test_whatever_goes_wrong_ends_in_a_sentence_that_names_the_table(make, my_wood, monkeypatch):
    def broken(*args, **kwargs):
        raise KeyError("a surprise")

    monkeypatch.setattr(own, "own_note", broken)
    said = words(make())
    for table in BOXES[make].split():
        assert f"{table}.csv" in said
    assert "This could not be worked out from" in said and "Nothing in your files was changed." in said
    assert "Traceback" not in said


def test_an_unreadable_file_and_a_file_in_the_way_are_said(my_wood, tmp_path, monkeypatch):
    (my_wood / "logs.csv").mkdir()
    assert "logs.csv" in words(logs.own_tally()) and "Kettle Hollow" in words(logs.own_tally())
    (tmp_path / "file").write_text("no folder")
    monkeypatch.setenv(choices.VARIABLE, str(tmp_path / "file"))
    for make in BOXES:
        assert "Kettle Hollow" in words(make())


def test_markup_in_the_records_stays_text(my_wood):
    put(
        my_wood,
        logs="log,species,small_in,length_ft\n<b>1</b>,white oak,16,12\n<img src=x>,white oak,<u>,12\n",
    )
    told = logs.own_tally().still()
    assert "&lt;b&gt;1&lt;/b&gt;" in told and "<b>1" not in told and "<u>" not in told


def test_the_panel_follows_what_the_form_saves(my_wood):
    panel, form = lesson_8.own_stack_panel(), records_form("stacks")
    assert "Kettle Hollow" in panel.still()
    for name, text in dict(stack="Mine", species="white ash", nominal="4/4", stacked="2025-05-01").items():
        form.fields[name].value = text
    form.save()
    assert list(panel.dials["stack"].options) == ["Mine"] and "Your own stacks" in panel.above
    assert panel.reading.startswith("Stack Mine, white ash, no readings")


def test_numbers_set_in_a_box_come_back_the_next_time_and_can_be_started_over(my_wood):
    box = shrinkage.own_spread()
    first = plain(box.told.value)
    box.dials["measured"].value = "1.00 1.10\n1.20 1.05\n"
    mill = sawing.own_order()
    mill.dials["count"].value, mill.dials["kerf_in"].value = 5, 0.25
    again, mill = shrinkage.own_spread(), sawing.own_order()
    assert again.dials["measured"].value == "1.00 1.10\n1.20 1.05\n" and plain(again.told.value) != first
    assert (mill.dials["count"].value, mill.dials["kerf_in"].value) == (5, 0.25)
    start_over("03").wipe()
    assert plain(again.told.value) == first and mill.dials["count"].value == 8
    assert plain(shrinkage.own_spread().told.value) == first


def test_numbers_kept_for_another_tally_do_not_stop_the_box(my_wood):
    sheet = sawing.own_sheet()
    sheet.dials["log"].value = "7"
    put(my_wood, logs="log,species,small_in,length_ft\nbutt,white oak,16,12\nthin,white oak,3,12\n")
    sheet = sawing.own_sheet()
    assert sheet.dials["log"].value == "butt" and "Log butt, white oak" in words(sheet)
    sheet.dials["log"].value = "thin"
    assert "Log thin gives no 4/4 board: it is too thin." in words(sheet)


def test_numbers_that_cannot_be_kept_still_count(my_wood, monkeypatch):
    monkeypatch.setattr(kept, "change", lambda how: (_ for _ in ()).throw(disk.SaveError("the disk is full")))
    box = moisture.own_sample_board()
    box.dials["weight"].value = "5,0"
    assert "oven-dry it would weigh 3.08 lb" in plain(box.told.value)
    assert "can't be kept for the next time. the disk is full" in plain(box.unkept_line.value)


@pytest.mark.parametrize(
    ("text", "words_said"),
    [
        ("1.08 wide\n1 1", "Line 1: found 'wide'; expected a number like 1.08."),
        ("", "expected two or more boards"),
        ("27.4 27.9\n27.0 27.1", "Is it in mm?"),
    ],
)
def test_what_is_no_thickness_is_said_and_stays_in_the_field(my_wood, text, words_said):
    box = shrinkage.own_spread()
    sheet = sawing.own_sheet(box)
    before = sheet.told.value
    box.dials["measured"].value = text
    assert words_said in plain(box.told.value) and box.dials["measured"].value == text
    assert sheet.told.value == before  # of the last numbers that could be read
    box.dials["measured"].value = "1,08 1,09\n1.10; 1.00"
    assert "average 1.067 in" in plain(box.told.value) and sheet.told.value != before


def test_a_thickness_with_a_space_is_one_number_and_one_far_from_the_rest_is_asked_about(my_wood):
    box = shrinkage.own_spread()
    box.dials["measured"].value = "1 1/8 1-1/16 1,08 1.10\n1.08 1.09 1.07"
    told = plain(box.told.value)
    assert "average 1.087 in" in told and "taken from 7 readings on 2 lines" in told
    box.dials["measured"].value = "1 1/8, 1/8 1-1/16 1,08 1.10\n1.08 1.09 10.7\n1.07 1.08"
    told = plain(box.told.value)
    assert "Line 1: 0.125 in: did you mean 1 1/8? It is left out." in told
    assert "Line 2: 10.7 in: did you mean 1.07? It is left out." in told
    assert "taken from 8 readings on 3 lines" in told and box.spread_in() < 0.03
    box.dials["measured"].value = "1.08 2.10\n1.06 2.12"
    assert "From 1.06 to 2.12 in: these are of more than one size." in plain(box.told.value)


def test_a_weight_is_read_with_its_unit_and_with_a_comma_as_it_is_written_in_america(my_wood):
    box = moisture.own_sample_board()
    box.dials["weight"].value = "5.0 lb"
    assert "oven-dry it would weigh 3.08 lb" in plain(box.told.value)
    box.dials["weight"].value = "1,250"
    assert "oven-dry it would weigh 770.54 lb" in plain(box.told.value)
    box.dials["weight"].value = "5,0"
    assert "oven-dry it would weigh 3.08 lb" in plain(box.told.value)


def test_the_numbers_of_a_sample_board_that_cannot_be_are_said(my_wood):
    box = moisture.own_sample_board()
    box.dials["dry_1"].value = "120"
    assert "swapped, or two different pieces or units?" in plain(box.told.value)
    box.dials["dry_1"].value = "about sixty"
    assert "First section, oven-dry: found 'about sixty'" in plain(box.told.value)
    assert "Traceback" not in words(box)


def test_the_stacks_of_lesson_7_go_by_their_readings_as_the_plan_does(my_wood):
    put(my_wood, stacks=STACK)
    assert "Stack A, northern red oak 4/4, before any reading: " in words(drying.own_stacks())
    put(my_wood, stacks=STACK, readings=HEAD + WEIGHED)
    told = words(drying.own_stacks())
    assert "Stack A, northern red oak 4/4, with 2 readings from 10 May 2025 to 7 June 2025: " in told
    stack = read_usable(my_wood).tables["stacks"].loc[2]
    wood = own.own_wood("stacks", also=["readings"])
    readings = own.told_by_readings(wood, "A", [])
    after = of_stack(stack, choices.read().place).update(readings)
    assert after.says(20) in told and of_stack(stack, choices.read().place).says(20) not in told


def test_readings_that_contradict_a_stack_are_said_in_lesson_7(my_wood):
    wet = HEAD + WEIGHED.replace("13.7,", "16.5,").replace("2025-06-07", "2026-06-07")
    put(my_wood, stacks=STACK, readings=wet)
    told = words(drying.own_stacks())
    assert "to 7 June 2026: the readings contradict its forecast, so no date is told from them." in told
    assert " % from " not in told


def test_a_still_of_ones_own_says_of_which_hour_it_is(my_wood):
    printed = lesson_8.own_stack_panel().still()
    assert (
        "Kettle Hollow" in printed and "as printed with the book. Run this lesson to see your own" in printed
    )
    assert "Once " not in printed and "hold your own" not in printed
    put(my_wood, stacks=STACK, readings=HEAD + WEIGHED)
    mine = plain(re.sub(r"<img[^>]*>", "", lesson_8.own_stack_panel().still()))
    hour = r"\d+ [A-Z][a-z]+, \d\d:\d\d"
    assert re.search(rf"Your own stacks and readings as they stood on {hour}: stacks.csv", mine)
    assert re.search(rf"As it stood on {hour}\. Press Run this lesson in the toolbar for today\.", mine)
    assert "An example" not in mine
    assert "As it stood on" in drying.my_stack_panel().still()  # it is about the stack, once there is one
    assert "An example" in air.shed_today_panel().still()
    choices.keep(species="white oak")
    assert "An example" not in air.shed_today_panel().still()


def test_thick_stock_is_told_in_plain_words_each_time(my_wood):
    stacks = 'stack,species,nominal,place,stacked\nBeam,white oak,16/4,"Madison, WI",2026-04-01\n'
    put(my_wood, stacks=stacks)
    told = "16/4 is thicker than 8/4, the thickest that the drying times were checked on."
    box = this_week()
    assert plain(box.above).count(told) == 1 and "thickness_in" not in plain(box.above)
    box.look()
    assert plain(box.above).count(told) == 1
    assert words(drying.own_stacks()).count(told) == 1


def test_rows_that_look_wrong_are_listed_once_in_a_lesson_and_folded_below(my_wood):
    bad = "2025-06-21,A,1-3,weight,1.22,lb\n2025-06-22,A,1-3,weight,soon,lb\n"
    put(my_wood, stacks=STACK, readings=HEAD + WEIGHED + bad)
    first = {"My stacks": drying.my_stack_panel(), "What to do next": this_week()}
    again = {"My stacks": [drying.own_stacks()], "What to do next": [lesson_8.own_sample_boards_panel()]}
    again["What to do next"].append(lesson_8.own_stack_panel())
    for title, made in first.items():
        assert (
            "<details>" not in made.still() and "readings.csv, row 6" in words(made) and title in words(made)
        )
        for box in again[title]:
            if hasattr(box, "look"):
                box.look()  # after something was saved
            told = box.still() if hasattr(box, "still") else box._repr_html_()
            (head, rows), *more = re.findall(r"<details><summary>(.*?)</summary>(.*?)</details>", told)
            assert head == f"2 things in your files to look at, as listed under <i>{title}</i>" and not more
            assert "readings.csv, row 6" in rows and told.count("readings.csv, row 6") == 1


def test_where_there_is_no_stack_of_ones_own_the_rows_are_told_openly(my_wood):
    put(my_wood, stacks="stack,species,nominal,stacked\nA,northern red oka,4/4,2025-05-10\n")
    for box in (drying.own_stacks(), lesson_8.own_stack_panel()):
        told = box.still() if hasattr(box, "still") else box._repr_html_()
        assert "stacks.csv, row 2" in told and "<details>" not in told
