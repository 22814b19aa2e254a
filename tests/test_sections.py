"""A new sample board: its sections make its oven-dry weight, and its place shows in the picture of the stack."""

from datetime import date

import pytest
from svg_text import off_page, written_over
from test_weigh_day import THREE, pressed

from woodcalc import records
from woodcalc.figures.sample_boards import HEIGHTS, SIDES, Sample, place_in, sample_boards
from woodcalc.figures.style import to_svg
from woodcalc.lesson.before_saving import SAVE_ANYWAY
from woodcalc.lesson.box import plain
from woodcalc.lesson.form import records_form
from woodcalc.lesson.moisture import own_sample_board
from woodcalc.lesson.records import own_sample_boards_panel
from woodcalc.lesson.sections import sections_form
from woodcalc.lesson.this_week import this_week

BOTH = "Save the weight and the oven-dry weight"
# Dry Kiln Operator's Manual, USDA Agric. Handbook 188 (1991), ch. 6, figures from memory
MANUAL = ("98.55", "59.20", "86.92", "55.02", "4.46")


@pytest.fixture
def mine(tmp_path, monkeypatch):
    folder = tmp_path / "mine"
    folder.mkdir()
    monkeypatch.setenv("WOODCALC_MY_WOOD", str(folder))
    stack = "Oak1,northern red oak,4/4,2026-05-10"
    (folder / "stacks.csv").write_text(f"stack,species,nominal,stacked\n{stack}\n")
    return folder


def filled(board="7", weights=MANUAL):
    form = sections_form()
    names = [name for name in form.fields if "section" in name.lower() and "(g)" in name]
    texts = dict(zip([*names, "The board, right after cutting"], weights, strict=True))
    for name, text in {
        "Board: its number *": board,
        "Day the sections were cut *": "2026-05-10",
        **texts,
    }.items():
        form.fields[name].value = text
    return form


def test_the_sum_of_the_manual(mine):
    form = filled()
    told = plain(form.sum_line.value)
    assert "First section: (98.55 - 59.2) / 59.2 = 66.5 %" in told and "= 58.0 %" in told
    assert "Mean of the two: 62.2 %." in told and "4.46 lb / (1 + 0.622) = 2.749 lb" in told
    pressed(form, BOTH)
    table = records.read(mine / "readings.csv")
    assert table[["kind", "value"]].values.tolist() == [["oven-dry", 2.749], ["weight", 4.46]]
    assert table["note"].iloc[0] == "sections 98.55 to 59.2 and 86.92 to 55.02 g"
    assert (
        "Saved for board 7: oven-dry weight and weight." in form.said and "Next for stack Oak1:" in form.said
    )
    assert records.read_usable(mine).moistures("Oak1")["mc_pct"].round(0).tolist() == [62]


def test_one_section_will_do_and_a_half_one_will_not(mine):
    form = filled(weights=("98.55", "59.20", "", "", "4.46"))
    assert "One section only" in plain(form.sum_line.value)
    form.fields["Second section, green (g)"].value = "86.92"
    pressed(form, BOTH)
    assert "Second section, oven-dry (g): expected a weight" in form.said
    assert not (mine / "readings.csv").exists()


@pytest.mark.parametrize(
    ("weights", "words"),
    [
        (("59.20", "98.55", "86.92", "55.02", "4.46"), "Are the two swapped?"),
        (("98.55", "59 lb", "86.92", "55.02", "4.46"), "This is in grams, not in pounds"),
        (("98.55", "59.20", "86.92", "55.02", ""), "The board, right after cutting: found ''"),
        (("", "", "", "", "4.46"), "expected the green and the oven-dry weight of one section"),
    ],
)
def test_what_cannot_be_is_said_and_nothing_is_written(mine, weights, words):
    form = filled(weights=weights)
    pressed(form, BOTH)
    assert "Not saved yet:" in form.said and words in form.said
    assert not (mine / "readings.csv").exists()


def test_sections_that_differ_and_too_much_water_are_doubted_before_saving(mine):
    told = plain(filled(weights=("98.55", "59.20", "86.92", "70.02", "4.46")).sum_line.value)
    assert "The two sections differ by 42 points" in told
    told = plain(filled(weights=("98.55", "32", "86.92", "28", "4.46")).sum_line.value)
    assert "is more water than northern red oak can hold" in told


def test_a_board_has_one_oven_dry_weight_and_a_new_one_may_take_its_place(mine):
    (mine / "readings.csv").write_text(THREE)
    form = filled(board="A1", weights=(*MANUAL[:4], "15.1"))
    pressed(form, BOTH)
    asked = form.question.asked
    assert "Board A1 has an oven-dry weight already: 9.1\xa0lb in row 2. Replace it with 9.308 lb?" in asked
    assert (
        "Board A1 has a weighing of that day already: 16.1\xa0lb in row 3. Replace it with 15.1 lb?" in asked
    )
    pressed(form, "Keep it")
    assert (mine / "readings.csv").read_text() == THREE
    pressed(form, BOTH)
    pressed(form, "Replace it")
    now = records.read(mine / "readings.csv")
    assert now.loc[[2, 3], "value"].tolist() == [9.308, 15.1] and len(now) == 6
    assert now.loc[2, "note"] == "sections 98.55 to 59.2 and 86.92 to 55.02 g"
    assert form.said.startswith("Saved for board A1")
    records_form().undo()
    assert records.read(mine / "readings.csv").loc[[2, 3], "value"].tolist() == [9.308, 16.1]


def test_sections_nobody_should_believe_are_saved_only_after_a_question(mine):
    form = filled(weights=("98.55", "55.3", "160.6", "55.02", "4.46"))
    pressed(form, BOTH)
    assert "The two sections differ by 114 points" in form.question.asked
    assert "is more water than northern red oak can hold" in form.question.asked
    assert not (mine / "readings.csv").exists() and "Not saved yet" in form.said
    pressed(form, "Save it all the same")
    assert len(records.read(mine / "readings.csv")) == 2
    form = filled()
    pressed(form, BOTH)
    pressed(form, "Replace it")
    assert records.read(mine / "readings.csv")["value"].tolist() == [2.749, 4.46]


def test_the_box_of_lesson_4_doubts_the_same_sections(mine):
    box = own_sample_board()
    assert "differ by" not in plain(box.told.value)
    for name, text in (("dry_1", "55.3"), ("wet_2", "160.6")):
        box.dials[name].value = text
    assert "The two sections differ by 114 points" in plain(box.told.value)
    assert "is more water than northern red oak can hold" in plain(box.told.value)


def test_the_weight_saved_on_the_day_of_cutting_is_not_saved_twice(mine):
    text = "date,stack,board,kind,value,unit\n2026-05-10,Oak1,7,weight,4.46,lb\n"
    (mine / "readings.csv").write_text(text)
    pressed(filled(), BOTH)
    assert records.read(mine / "readings.csv")["kind"].tolist() == ["weight", "oven-dry"]
    pressed(filled(), BOTH)
    assert len(records.read(mine / "readings.csv")) == 2


def test_a_board_far_lighter_than_its_stack_mates_is_asked_about_before_it_is_saved(mine):
    (mine / "readings.csv").write_text(THREE)
    form = filled(weights=(*MANUAL[:4], "1.66"))
    pressed(form, BOTH)
    assert (mine / "readings.csv").read_text() == THREE
    assert (
        "Board 7: 1.66 lb is under a fifth of what the other boards of stack Oak1 weigh"
        in form.question.asked
    )
    assert "Is 16.6 meant?" in form.question.asked
    form.fields["The board, right after cutting"].value = "16.60"
    assert not form.question.asked
    pressed(form, BOTH)
    assert form.said.startswith("Saved for board 7")
    form = filled(board="8", weights=(*MANUAL[:4], "1.66"))
    pressed(form, BOTH)
    pressed(form, "Save it all the same")
    assert records.read(mine / "readings.csv")["value"].tolist()[-2:] == [1.023, 1.66]


def test_two_first_rows_of_one_entry_are_one_witness(mine):
    """Weighings ten times a first weight and its oven-dry weight: the two are asked, and nothing is mended."""
    later = "2026-05-24,Oak1,7,weight,15.9,lb\n2026-06-07,Oak1,7,weight,15.1,lb\n"
    first = "2026-05-10,Oak1,7,oven-dry,0.93,lb\n2026-05-10,Oak1,7,weight,1.66,lb\n"
    (mine / "readings.csv").write_text(THREE + first + later)
    found = records.read_usable(mine)
    assert not any(p.mend for p in (*found.problems, *found.doubts))
    (doubt,) = found.doubts
    assert (doubt.row, "Are 9.3 and 16.6 meant?" in str(doubt)) == (8, True)
    assert "row 8" in str(doubt) and "row 9" in str(doubt)


def test_green_weights_wait_for_the_oven_until_tomorrow(mine):
    filled(weights=("98.55", "", "86.92", "", "4.46"))
    form = sections_form()
    assert form.fields["First section, green (g)"].value == "98.55" and "not saved yet" in form.said


def test_the_place_typed_there_is_drawn(mine):
    form = filled()
    form.side.value, form.height.value = "lee side", "top"
    pressed(form, BOTH)
    said = own_sample_boards_panel().reading
    assert "Board 7 (lee side, top): 62 % on 10 May 2026." in said


@pytest.mark.parametrize("side", SIDES)
@pytest.mark.parametrize("height", HEIGHTS)
def test_what_the_form_writes_is_read_again(side, height):
    assert place_in(f"sections 1 to 2 g; {side}, {height}") == (side, height)


def test_words_that_only_look_like_a_place():
    for note in ("stopped", "sleet", "windy side or lee side, nobody knows", ""):
        assert place_in(note) == ("", "")


@pytest.mark.parametrize("big", [False, True])
@pytest.mark.parametrize("width", [None, 1.0, 4.0, 20.0])
def test_no_words_leave_the_picture(big, width):
    day = date(2027, 9, 30)
    every = [
        Sample(f"Long name {k}", SIDES[k % 3], HEIGHTS[k // 3], 100.0, day, "meter", k > 2) for k in range(9)
    ]
    for samples in ([], every, every[:2], [Sample("x" * 90), Sample("", "", "", 8.0, day)], [every[4]] * 6):
        page, said, _ = sample_boards(
            "A stack with a long name", "northern red oak", "4/4", width, samples, big=big
        )
        assert not off_page(to_svg(page)) + written_over(to_svg(page))
        assert said.count("Board ") == min(len(samples), 6)


def test_a_meter_past_its_scale_is_drawn_as_wet(mine):
    (mine / "readings.csv").write_text("date,stack,board,kind,value,unit\n2026-06-10,Oak1,7,meter,43,%\n")
    assert "wet, over the meter's scale, on 10 June 2026" in own_sample_boards_panel().reading


def test_the_box_of_the_week_follows_what_is_saved(mine):
    box = this_week()
    assert "has been weighed yet" in plain(box.told.value) or "nothing of it was ever weighed" in plain(
        box.told.value
    )
    pressed(filled(), BOTH)
    assert "Weigh board 7 again" in plain(box.told.value)


@pytest.mark.parametrize(
    ("weight", "asks"),
    [("1.66", "Is 16.6 meant?"), ("166", "Is 16.6 meant?"), ("7.5", ""), ("16.6", ""), ("50", "")],
)
def test_the_first_weight_of_a_board_is_held_against_its_sections(mine, weight, asks):
    """24 to 30 in of board to a section of 1 in is common practice; 7.5 to 50 lb are 17 to 111 of these sections."""
    form = filled(weights=("212", "119.1", "198.5", "111.5", weight))
    pressed(form, BOTH)
    assert asks in form.question.asked and (form.question.asked == "") == (asks == "")
    assert (mine / "readings.csv").exists() == (asks == "")
    if asks:
        pressed(form, SAVE_ANYWAY)
        assert "Saved for board 7" in form.said
