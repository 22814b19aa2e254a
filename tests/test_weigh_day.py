"""The form of a weighing day: all boards of a stack, all or none, and what is typed stays."""

from datetime import date, timedelta

import ipywidgets as w
import pytest

from woodcalc import records
from woodcalc.lesson import row_words
from woodcalc.lesson.before_saving import CORRECT, REPLACE, SAVE_ANYWAY, SAVE_BOTH
from woodcalc.lesson.box import plain
from woodcalc.lesson.doctor import doctor_panel
from woodcalc.lesson.form import records_form
from woodcalc.lesson.weigh_day import SCALES, weigh_day
from woodcalc.records.amounts import UNITS

HEAD = "date,stack,board,kind,value,unit\n"
THREE = HEAD + "".join(
    f"2026-05-10,Oak1,A{k},{kind},{value},lb\n"
    for k in (1, 2, 3)
    for kind, value in (("oven-dry", f"{9 + k / 10:g}"), ("weight", f"{16 + k / 10:g}"))
)


@pytest.fixture
def mine(tmp_path, monkeypatch):
    folder = tmp_path / "mine"
    folder.mkdir()
    monkeypatch.setenv("WOODCALC_MY_WOOD", str(folder))
    stacks = [f"{name},northern red oak,4/4,2026-05-10" for name in ("Oak1", "Oak2")]
    (folder / "stacks.csv").write_text("\n".join(["stack,species,nominal,stacked", *stacks, ""]))
    (folder / "readings.csv").write_text(THREE)
    return folder


def pressed(form, words):
    boxes, found = [form], []
    while boxes:
        box = boxes.pop()
        boxes += getattr(box, "children", ())
        found += [box] if getattr(box, "description", "") == words else []
    found[0].click()


def labels_of(box):
    """The words above the fields, in order."""
    for part in getattr(box, "children", ()):
        if isinstance(part, w.Label):
            yield part.value
        yield from labels_of(part)


def filled(**values):
    form = weigh_day()
    form.stack.value, form.day.value = "Oak1", "2026-05-24"
    for board, text in values.items():
        form.lines[board].value = text
    return form


def test_each_board_has_a_line_with_its_last_weight(mine):
    form = filled()
    assert list(form.lines) == ["A1", "A2", "A3"]
    names = [label for label in labels_of(form) if "oard" in label]
    assert names[0] == "Board A1, last 16.1 lb on 10 May 2026" and names[3].startswith("Another board")


def test_all_are_saved_and_told(mine):
    form = filled(A1="14.6", A2="14.7", A3="14 3/4")
    before = (mine / "readings.csv").read_text()
    pressed(form, "Check and save all")
    assert (mine / "readings.csv").read_text().startswith(before)
    table = records.read(mine / "readings.csv").tail(3)
    assert table["value"].tolist() == [14.6, 14.7, 14.75] and set(table["kind"]) == {"weight"}
    said = form.said
    assert "Saved: 3 rows of readings.csv." in said and "Board A1: It tells 60 % moisture." in said
    assert (
        "Weigh boards A1, A2 and A3 again" in said and "lost 1.2 points a day since 10 May 2026: safe" in said
    )
    assert [line.value for line in form.lines.values()] == ["", "", ""]


def test_a_weight_that_names_its_unit_is_in_that_one(mine):
    form = filled(A1="6.62 kg", A2="14 lb 10 oz", A3="14.6")
    pressed(form, "Check and save all")
    table = records.read(mine / "readings.csv").tail(3)
    assert table["unit"].tolist() == ["kg", "lb", "lb"] and table["value"].tolist() == [6.62, 14.625, 14.6]


def test_what_is_the_same_of_several_boards_is_said_once(mine):
    form = filled(A1="14.6", A2="14.7", A3="14.75")
    form.day.value = "2026-13-45"
    pressed(form, "Check and save all")
    assert form.said.count("There is no such day") == 1
    assert "Boards A1, A2 and A3: Date: found '2026-13-45'" in form.said


def test_one_bad_line_saves_none_and_keeps_what_was_typed(mine):
    form = filled(A1="14.6", A2="fourteen")
    before = (mine / "readings.csv").read_bytes()
    pressed(form, "Check and save all")
    assert (mine / "readings.csv").read_bytes() == before
    assert "Not saved yet:" in form.said and "Board A2: Value: found 'fourteen'" in form.said
    assert (form.lines["A1"].value, form.lines["A2"].value) == ("14.6", "fourteen")


def test_a_second_press_saves_nothing_twice(mine):
    form = filled(A1="14.6")
    pressed(form, "Check and save all")
    form.lines["A1"].value = "14.60"
    before = (mine / "readings.csv").read_bytes()
    pressed(form, "Check and save all")
    assert "Board A1: row 8 says just this already" in form.said
    assert (mine / "readings.csv").read_bytes() == before


def test_what_stops_it_half_way_is_said_and_only_the_rest_stays_typed(mine, monkeypatch):
    form = filled(A1="14.6", A2="14.7", A3="14.8")
    append, count = records.append, []

    def full(*args, **more):
        count.append(1)
        if len(count) > 1:
            raise OSError("No space left on device")
        return append(*args, **more)

    monkeypatch.setattr(row_words.records, "append", full)
    pressed(form, "Check and save all")
    assert "Saved so far: 1. Not saved: Board A2, Board A3." in form.said
    assert [line.value for line in form.lines.values()] == ["", "14.7", "14.8"]
    assert len(records.read(mine / "readings.csv")) == 7


def test_a_weight_that_would_not_be_used_is_asked_about_first(mine):
    form = filled(A1="146", A2="14.7")
    before = (mine / "readings.csv").read_bytes()
    pressed(form, "Check and save all")
    assert (mine / "readings.csv").read_bytes() == before and "Not saved yet" in form.said
    assert "Is 14.6 meant? Or are those two 91 and 161?" in form.question.asked  # each of one entry
    assert "Board A2" not in form.question.asked
    pressed(form, "Correct it")
    assert (mine / "readings.csv").read_bytes() == before and form.lines["A1"].value == "146"
    pressed(form, "Check and save all")
    pressed(form, "Save it all the same")
    assert "Look at it again:" in form.said
    assert records.read(mine / "readings.csv")["value"].tolist()[-2:] == [146, 14.7]


@pytest.mark.parametrize(
    ("day", "weight", "words"),
    [
        ("2026-05-24", "8.1", "more than the board's oven-dry weight"),
        ("2026-05-02", "15.1", "when stack Oak1 was stacked"),
        (str(date.today() + timedelta(days=40)), "15.1", "a day up to today"),
    ],
)
def test_a_weight_that_cannot_be_is_asked_about_and_replaced_when_it_is_typed_again(mine, day, weight, words):
    form = filled(A1=weight)
    form.day.value = day
    pressed(form, "Check and save all")
    assert words in form.question.asked and "It would not be used." in form.question.asked
    pressed(form, "Save it all the same")
    assert len(records.read(mine / "readings.csv")) == 7
    form.day.value, form.lines["A1"].value = "2026-05-24", "15.1"
    pressed(form, "Check and save all")
    assert "row 8 is not used as it is" in form.question.asked
    assert "Replace it with 15.1 lb on 2026-05-24?" in form.question.asked
    pressed(form, "Replace it")
    now = records.read(mine / "readings.csv")
    assert (
        len(now) == 7 and now["value"].iloc[-1] == 15.1 and str(now["date"].iloc[-1].date()) == "2026-05-24"
    )
    assert records.read_usable(mine).verdict("readings.csv", 8) == "used"
    assert "Saved: 1 row" in form.said and form.lines["A1"].value == ""


def test_a_retyped_row_may_stand_beside_the_bad_one(mine):
    form = filled(A1="1.49")
    pressed(form, "Check and save all")
    pressed(form, "Save it all the same")
    form.lines["A1"].value = "14.9"
    pressed(form, "Check and save all")
    pressed(form, "Save both")
    assert records.read(mine / "readings.csv")["value"].tolist()[-2:] == [1.49, 14.9]


def test_a_board_that_is_not_there_may_be_another(mine):
    text = THREE.replace("A1", "7").replace("A2", "12").replace(",A3,", ",12b,")
    (mine / "readings.csv").write_text(text)
    form = filled()
    form.new.value, form.new_value.value = "17", "15.1"
    pressed(form, "Check and save all")
    assert "Stack Oak1 has no board 17 so far. Is 7 or 12 meant?" in form.question.asked
    assert (mine / "readings.csv").read_text() == text
    form.new.value = "13"  # the next in the count
    pressed(form, "Check and save all")
    assert "Saved: 1 row" in form.said


def test_a_board_that_is_new_gets_a_row_and_then_a_line(mine):
    form = filled()
    form.new.value, form.new_value.value = "A4", "15.2"
    pressed(form, "Check and save all")
    assert "oven-dry weight" in form.said and list(form.lines) == ["A1", "A2", "A3", "A4"]
    form.new_value.value = "15"
    pressed(form, "Check and save all")
    assert "expected its number" in form.said


def test_two_stacks_may_have_boards_of_one_number(mine):
    with open(mine / "readings.csv", "a") as file:
        file.write("2026-05-10,Oak2,A1,weight,20,lb\n")
    form = filled(A1="14.6")
    form.stack.value = "Oak2"
    assert form.lines["A1"].value == ""
    form.stack.value = "Oak1"
    assert form.lines["A1"].value == "14.6"


def test_a_meter_takes_its_temperature_with_it(mine):
    form = filled(A1="22")
    form.scale.value = "a meter, %"
    form.temp.value, form.day.value = "40", "2026-07-20"
    assert form.lines["A1"].value == "22"
    pressed(form, "Check and save all")
    last = records.read(mine / "readings.csv").iloc[-1]
    assert (last["kind"], last["unit"], last["temp_f"]) == ("meter", "%", 40)


def test_what_was_typed_is_there_again_the_next_day(mine):
    filled(A1="14.6")
    form = weigh_day()
    assert (form.stack.value, form.day.value, form.lines["A1"].value) == ("Oak1", "2026-05-24", "14.6")
    assert "not saved yet" in form.said
    form.empty()
    assert weigh_day().lines["A1"].value == ""


def test_the_form_for_records_and_this_one_follow_each_other(mine):
    form, other = filled(A1="14.6"), records_form("readings")
    pressed(form, "Check and save all")
    assert "14.6" in plain(other.rows_line.value)
    other.marked.value = 2
    other.take_out()
    assert "A1" in form.lines


def test_without_a_stack_it_says_where_to_begin(tmp_path, monkeypatch):
    monkeypatch.setenv("WOODCALC_MY_WOOD", str(tmp_path / "none"))
    form = weigh_day()
    assert "Add a stack first" in form.said
    pressed(form, "Check and save all")
    assert not (tmp_path / "none" / "readings.csv").exists()


def test_a_loss_over_the_safe_one_is_no_good_news(mine):
    with open(mine / "readings.csv", "a") as file:
        file.write("2026-05-17,Oak1,A1,weight,15.9,lb\n")
    form, other = filled(A1="14.6"), records_form("readings")  # 14 points in 3 days
    form.day.value = "2026-05-20"
    pressed(form, "Check and save all")
    assert "over the safe 3.8. Slow it down now" in form.said and "woodcalc-warn" in form.say_line.value
    for name, text in dict(date="2026-05-22", stack="Oak1", board="A1", value="13.7", kind="weight").items():
        other.fields[name].value = text
    other.save()
    assert "over the safe 3.8. Slow it down now" in other.said and "woodcalc-warn" in other.say_line.value


def test_what_was_typed_for_another_stack_stays_when_this_one_is_saved(mine):
    with open(mine / "readings.csv", "a", encoding="utf-8") as file:
        file.write("2026-05-10,Oak2,B1,oven-dry,9.2,lb\n2026-05-10,Oak2,B1,weight,16.2,lb\n")
    form = filled(A1="15.2")
    form.stack.value = "Oak2"
    form.lines["B1"].value = "15.3"
    form.save()
    assert "Saved: 1 row" in form.said and form.lines["B1"].value == ""
    form.stack.value = "Oak1"
    assert form.lines["A1"].value == "15.2"


SLIPS = {
    "110.9": ("lb", "Is 11.09 or 10.9 meant?"),  # no decimal too many, or a digit
    "10.9": ("kg", "Was it weighed in lb?"),
    "1.01": ("lb", "Is 10.1 meant, or is its first digit missing?"),
}


@pytest.mark.parametrize("typed", SLIPS)
def test_the_form_for_records_asks_before_it_saves_as_this_one_does(mine, typed):
    unit, asks = SLIPS[typed]
    text = THREE + "2026-05-17,Oak1,A1,weight,13.1,lb\n"
    (mine / "readings.csv").write_text(text)
    form, other = filled(A1=typed), records_form("readings")
    form.scale.value = f"a scale, {unit}"
    pressed(form, "Check and save all")
    cells = dict(date="2026-05-24", stack="Oak1", board="A1", kind="weight", value=typed, unit=unit)
    for name, cell in cells.items():
        other.fields[name].value = cell
    pressed(other, "Check and save")
    for each in (form, other):
        assert asks in each.question.asked and each.question.asked == form.question.asked
        assert each.question.yes.description == SAVE_ANYWAY and each.question.no.description == CORRECT
        assert "Not saved yet" in each.said
    assert (mine / "readings.csv").read_text() == text
    pressed(other, CORRECT)
    assert (mine / "readings.csv").read_text() == text and other.fields["value"].value == typed
    pressed(other, "Check and save")
    other.fields["board"].value = "A2"  # the answer was to another row
    assert not other.question.asked
    other.fields["board"].value = "A1"
    pressed(other, "Check and save")
    pressed(other, SAVE_ANYWAY)
    assert "Saved as row 9" in other.said and "Look at it again:" in other.said


def test_the_form_for_records_asks_of_a_meter_and_of_a_correction(mine):
    form = records_form("readings")
    cells = dict(date="2026-05-24", stack="Oak1", board="A1", kind="meter", value="160", unit="%")
    for name, cell in cells.items():
        form.fields[name].value = cell
    pressed(form, "Check and save")
    assert "at most 120 %: no meter shows more" in form.question.asked
    form.marked.value = 3
    form.fields["value"].value = "161"
    pressed(form, "Check and save")
    assert "It would not be used." in form.question.asked and "row 2" in form.question.asked
    assert (mine / "readings.csv").read_text() == THREE
    pressed(form, SAVE_ANYWAY)
    assert "Row 3 of readings.csv is corrected" in form.said


def test_a_number_that_no_board_of_the_stack_has_is_asked_about_by_its_weight(mine):
    form = records_form("readings")
    cells = dict(date="2026-05-24", stack="Oak1", board="A4", kind="weight", value="1.52", unit="lb")
    for name, cell in cells.items():
        form.fields[name].value = cell
    pressed(form, "Check and save")
    assert "what the other boards of stack Oak1 weigh" in form.question.asked
    assert "Is 15.2 meant?" in form.question.asked


TWO = HEAD + "".join(
    f"2026-05-{day},Oak1,{k},{kind},{value},lb\n"
    for day, k, kind, value in (
        ("10", 1, "oven-dry", "9.05"), ("10", 1, "weight", "16.3"), ("10", 2, "oven-dry", "11.4"),
        ("10", 2, "weight", "20.5"), ("17", 1, "weight", "15.1"), ("17", 2, "weight", "19"),
    )
)  # fmt: skip
SWAPPED = "Board 2 reads like board 1{}, and board 1 like board 2. Swapped?"


def typed_into(form, **cells):
    for name, cell in (dict(stack="Oak1", kind="weight", unit="lb") | cells).items():
        form.fields[name].value = cell
    pressed(form, "Check and save")


def test_two_boards_that_are_swapped_on_one_day_are_asked_about(mine):
    (mine / "readings.csv").write_text(TWO)
    form = filled(**{"1": "17.6", "2": "14"})
    pressed(form, "Check and save all")
    assert "Board 1 reads like board 2, and board 2 like board 1. Swapped?" in form.question.asked
    assert (mine / "readings.csv").read_text() == TWO
    form.lines["1"].value, form.lines["2"].value = "14", "17.6"
    pressed(form, "Check and save all")
    assert "Saved: 2 rows" in form.said
    form.day.value, other = "2026-05-31", records_form("readings")
    typed_into(other, date="2026-05-31", board="1", value="16.3")
    assert not other.question.asked
    typed_into(other, date="2026-05-31", board="2", value="13")
    assert SWAPPED.format(" (row 10)") in other.question.asked
    typed_into(other, date="2026-05-31", board="2", value="16")  # as much as board 1, and no swap
    assert not other.question.asked


def test_a_day_that_is_typed_again_replaces_its_rows_after_a_question(mine):
    (mine / "readings.csv").write_text(TWO)
    form = filled(**{"1": "15.2", "2": "19"})
    form.day.value = "2026-05-17"
    form.lines["2"].value = "19.1"
    pressed(form, "Check and save all")
    assert form.question.asked.splitlines() == [
        "Board 1 has a weighing of that day already, 15.1 lb in row 6. Replace it with 15.2 lb?",
        "Board 2 has a weighing of that day already, 19 lb in row 7. Replace it with 19.1 lb?",
    ]
    pressed(form, REPLACE)
    assert records.read(mine / "readings.csv")["value"].tolist()[-2:] == [15.2, 19.1]
    other = records_form("readings")
    typed_into(other, date="2026-05-17", board="1", value="15.3")
    assert "15.2 lb in row 6. Replace it with 15.3 lb?" in other.question.asked
    pressed(other, REPLACE)
    assert "Row 6 of readings.csv is replaced. Value: 15.2 becomes 15.3." in other.said
    typed_into(other, date="2026-05-17", board="1", value="15.1")
    pressed(other, SAVE_BOTH)
    assert "Saved as row 8" in other.said and "another window" not in other.said


def test_after_a_removal_the_form_says_which_row_went_and_that_the_others_moved_up(mine):
    (mine / "readings.csv").write_text(TWO)
    form = records_form("readings")
    form.marked.value = 6
    form.ask_take_out()
    assert "Take row 6 out of readings.csv? 2026-05-17, Oak1, 1, weight, 15.1, lb" in form.question.asked
    pressed(form, "Take it out")
    assert "Row 6 is taken out of readings.csv: 2026-05-17, Oak1, 1, weight, 15.1, lb." in form.said
    assert "each is one less now" in form.said
    assert "row 6: 2026-05-17, Oak1, 2, weight, 19 lb" in [text for text, _ in form.marked.options]
    form.marked.value = 6
    form.take_out()
    assert "moved up" not in form.said


def test_the_last_weight_beside_a_line_is_one_that_counts(mine):
    (mine / "readings.csv").write_text(TWO + "2026-05-20,Oak1,2,weight,1.01,lb\n")
    assert "Board 2, last 19 lb on 17 May 2026" in list(labels_of(filled()))


def test_the_doctor_has_a_button_for_each_value_that_the_question_names(mine):
    (mine / "readings.csv").write_text(TWO + "2026-05-24,Oak1,1,weight,110.9,lb\n")
    buttons = doctor_panel().buttons
    assert "Mend row 8, value: 110.9 becomes 11.09" in buttons
    buttons["Mend row 8, value: 110.9 becomes 10.9"].click()
    assert records.read(mine / "readings.csv")["value"].iloc[-1] == 10.9


@pytest.mark.parametrize("scale", list(SCALES))
@pytest.mark.parametrize("unit", UNITS)
def test_a_line_is_in_the_unit_that_it_names_or_refused_and_kept(mine, scale, unit):
    form = filled()
    form.scale.value = scale
    form.lines["A1"].value = f"13 {unit}"
    kind, of_list = SCALES[scale]
    fits = unit == "%" if kind == "meter" else unit in ("lb", "oz", "g", "kg")
    ((_, row),) = form.rows()
    values, problems = records.problems_in(row, "readings")
    assert (not problems) == fits
    if fits:
        assert (values["value"], values["unit"]) == (13, unit)
    before = (mine / "readings.csv").read_bytes()
    if not fits:
        pressed(form, "Check and save all")
        assert "Not saved yet:" in form.said and form.lines["A1"].value == f"13 {unit}"
        assert (mine / "readings.csv").read_bytes() == before
    if unit == "%" and kind == "weight":
        assert "Is that from the meter? Choose a meter, %" in form.said


def test_what_a_meter_cannot_tell_is_said_first(mine):
    form = filled(A1="38")
    form.scale.value = "a meter, %"
    form.day.value = "2026-05-24"
    pressed(form, "Check and save all")
    if "Saved" not in form.said:
        pressed(form, SAVE_ANYWAY)
    first = form.said.splitlines()[1]
    assert first == "Board A1: Kept, but not trusted: over 30 % a meter says wet and no more. It read 38 %."
    assert "tells 38 %" not in form.said
