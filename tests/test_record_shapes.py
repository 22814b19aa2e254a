"""Tables that are laid out otherwise than the book's: asked about once, and no cell of a row is lost by an answer."""

from datetime import date

import pytest

from woodcalc.lesson.box import plain
from woodcalc.lesson.doctor import doctor_panel
from woodcalc.records.questions import questions, settle
from woodcalc.records.usable import read_usable

TODAY = date(2026, 12, 1)


@pytest.fixture
def mine(tmp_path, monkeypatch):
    monkeypatch.setenv("WOODCALC_MY_WOOD", str(tmp_path))
    return tmp_path


def put(folder, table, text):
    path = folder / f"{table}.csv"
    path.write_text(text, encoding="utf-8", newline="")
    return path


def asked(folder):
    return questions(read_usable(folder, today=TODAY), TODAY)


def answer(folder, path, start):
    """Press the button whose words begin so, and read again."""
    found = [(q, a) for q in asked(folder) for a in q.answers if a.says.startswith(start)]
    assert len(found) == 1, [a.says for q in asked(folder) for a in q.answers]
    settle(path, *found[0])
    return read_usable(folder, today=TODAY).tables[path.stem]


# No header.


@pytest.mark.parametrize(
    ("table", "text", "says"),
    [
        ("logs", "1,red oak,14,12\n2,balm,15,12\n3,balm,16,12\n", "log 1, species red oak, small_in 14, length_ft 12"),
        ("logs", "1;red oak;14,5;12\n2;beech;15,5;12\n", "log 1, species red oak, small_in 14,5, length_ft 12"),
        ("logs", "red oak,14.5,10\nbeech,15,12\n", "species red oak, small_in 14.5, length_ft 10"),
        ("logs", "# from the yard\n1,beech,14,16,12\n2,beech,15,18,12\n",
         "log 1, species beech, small_in 14, large_in 16"),
        ("boards", "1-1,1,beech,4/4,7.5,10\n1-2,1,beech,4/4,8,10\n", "board 1-1, log 1, species beech, nominal 4/4"),
        ("stacks", "A,balm,4/4,Madison,2026-05-10\n", "stack A, species balm, nominal 4/4, place Madison, stacked 20"),
        (
            "readings",
            "2026-05-10,A,1,weight,16.6,lb\n2026-06-10,A,1,weight,14,lb\n",
            "date 2026-05-10, stack A, board 1, kind weight, value 16.6, unit lb",
        ),
        ("logs", "14,12,beech\n15,12,beech\n", "small_in 14, length_ft 12, species beech"),
    ],
)  # fmt: skip
def test_a_header_is_put_above_a_table_that_has_none(mine, table, text, says):
    path = put(mine, table, text)
    (question,) = asked(mine)
    assert question.asks.startswith("There is no header. Is the first row a ")
    before = text.splitlines()
    frame = answer(mine, path, f"Yes: {says}")
    after = path.read_text(encoding="utf-8").splitlines()
    assert [line for line in after if line in before] == before and len(after) == len(before) + 1
    assert len(frame) == sum(not line.startswith("#") for line in before)


def test_a_table_without_a_header_is_told_in_one_question(mine):
    put(mine, "logs", "1,red oak,14,12\n2,beech,15,12\n3,beech,16,12\n")
    page = doctor_panel()
    assert [says for says in page.buttons if says != "Look again"] == [
        "Yes: log 1, species red oak, small_in 14, length_ft 12"
    ]
    assert "There is no header. Is the first row a log? Then a header is put above it." in plain(page.said)


@pytest.mark.parametrize(
    "text", ["1,red oak,14\n2,beech,15\n", "1,oka,14,12\n2,beech,15,12\n", "1,14,,12\n2,15,,12\n"]
)
def test_no_name_is_written_over_a_cell_of_a_row(mine, text):
    put(mine, "logs", text)
    assert not [a.says for q in asked(mine) for a in q.answers]
    assert "no header" in plain(doctor_panel().said) or "no such column" in plain(doctor_panel().said)


def test_a_header_with_odd_names_is_still_one(mine):
    put(mine, "logs", "log,what,thick,far\n1,beech,14,12\n2,beech,15,12\n")
    assert [a.says for q in asked(mine) for a in q.answers if a.says == "'what' is species"]


# A lost decimal point, or another unit.

LOGS = "log,species,small_in,large_in,length_ft,trim_in\n"


@pytest.mark.parametrize(
    ("table", "text", "becomes"),
    [
        (
            "logs",
            LOGS + "1,beech,14.5,,12,4\n2,beech,16.5,,12,4\n3,beech,145,,12,4\n4,beech,165,,10,4\n5,beech,180,,8,4\n",
            ["small_in: 145 becomes 14.5"],  # the others with it
        ),
        ("logs", LOGS + "1,beech,14,,12,4\n2,beech,15,,12,40\n", ["trim_in: 40 becomes 4"]),
        ("logs", LOGS + "1,beech,14,,12,4\n2,beech,14'5,,12,4\n", ["small_in: 14'5 becomes 14.5"]),
        ("logs", LOGS + "1,beech,60,,12,4\n2,beech,145,,12,4\n", ["small_in: 145 becomes 57.09"]),  # big trees
        ("logs", LOGS + "1,beech,14,,144,4\n2,beech,15,,12,4\n", ["length_ft: 144 becomes 12"]),
        ("logs", LOGS + "1,beech,14,,125,4\n2,beech,15,,12.5,4\n", ["length_ft: 125 becomes 12.5"]),
        ("logs", LOGS + "1,beech,14,,366,4\n2,beech,15,,12,4\n", ["length_ft: 366 becomes 12.01"]),  # 366 cm
        ("logs", LOGS + "1,beech,-14,,12,4\n2,beech,15,,12,4\n", ["small_in: -14 becomes 14"]),
        ("logs", LOGS + "1,beech,-70,,12,4\n2,beech,15,,12,4\n", []),
        ("logs", LOGS + "1,beech,l45,,12,4\n2,beech,15,,12,4\n", []),
        ("logs", LOGS + "1,beech,l4,,12,4\n2,beech,15,,12,4\n", ["small_in: l4 becomes 14"]),
        ("logs", LOGS + "1,beech,7O,,12,4\n2,beech,15,,12,4\n", []),  # the largest by far
        ("logs", LOGS + "1,beech,145,,12,4\n", ["small_in: 145 becomes 14.5", "small_in: 145 becomes 57.09"]),
        (
            "boards",
            "board,species,nominal,thickness_in,width_in,length_ft\n1,beech,4/4,1.125,85,10\n2,beech,4/4,1.1,7.5,10\n",
            ["width_in: 85 becomes 8.5"],
        ),
        (
            "boards",
            "board,species,nominal,thickness_in,width_in,length_ft\n1,beech,4/4,28,8,10\n2,beech,4/4,1.125,7,10\n",
            ["thickness_in: 28 becomes 1.1"],
        ),
    ],
)  # fmt: skip
def test_a_size_is_mended_to_what_lies_near_the_others(mine, table, text, becomes):
    put(mine, table, text)
    offered = [says.partition(", ")[2] for says in doctor_panel().buttons if says.startswith("Mend row")]
    assert offered == becomes


def test_of_two_readings_that_fit_each_has_a_button(mine):
    path = put(mine, "logs", LOGS + "1,beech,145,,12,4\n")
    page = doctor_panel()
    assert "Was its point lost? Then it is 14.5. Was it measured in cm? Then it is 57.09." in plain(page.said)
    page.buttons["Mend row 2, small_in: 145 becomes 57.09"].click()
    assert path.read_text(encoding="utf-8") == LOGS + "1,beech,57.09,,12,4\n"


def test_lost_points_are_mended_with_one_press(mine):
    path = put(
        mine,
        "logs",
        LOGS + "1,beech,14.5,,12,4\n2,beech,145,,12,4\n3,beech,165,,10,4\n4,beech,180,,8,4\n",
    )
    page = doctor_panel()
    assert "The same in rows 4 (165 becomes 16.5), 5 (180 becomes 18)." in plain(page.said)
    page.buttons["Mend all 3 like this"].click()
    assert read_usable(mine).tables["logs"]["small_in"].tolist() == [14.5, 14.5, 16.5, 18.0]
    assert path.read_text(encoding="utf-8").startswith(LOGS + "1,beech,14.5,,12,4\n")


# Measured around, or on the standing tree.


@pytest.mark.parametrize(
    ("head", "cell", "says", "small_in"),
    [
        ("girth (in)", "44", "In in, the bark was off", 14.0),
        ("circumference", "44", "In in, bark 1/2 in thick: row 2 is 13 in across", 13.0),
        ("Girth cm", "112", "In cm, bark 1/4 in thick", 13.5),
        ("distance around", "44", "In in, bark 1 in", 12.0),
    ],
)
def test_a_distance_around_is_turned_into_a_diameter_inside_the_bark(mine, head, cell, says, small_in):
    path = put(mine, "logs", f"log,species,{head},length_ft\n1,red oak,{cell},12\n2,beech,50,12\n")
    (question,) = asked(mine)
    assert "divided by 3.14" in question.asks and not any("is small_in" in a.says for a in question.answers)
    frame = answer(mine, path, says)
    assert frame.loc[2, "small_in"] == small_in
    assert f"1,red oak,{cell},12,{small_in:g}\n" in path.read_text(encoding="utf-8")  # the cell stays
    assert asked(mine) == []


@pytest.mark.parametrize("head", ["DBH", "dbh (in)", "D.B.H.", "diameter at breast height", "GBH"])
def test_the_trunk_at_breast_height_is_no_small_end(mine, head):
    put(mine, "logs", f"log,species,{head},length_ft\n1,red oak,18,12\n2,beech,20,12\n")
    (question,) = asked(mine)
    assert question.answers == () and "breast height" in question.asks
    page = doctor_panel()
    assert "breast height" in plain(page.said) and not page.buttons


# Cells set apart otherwise, and other layouts.


def ruled(by, head="log,species,small_in,length_ft", *rows):
    return "\n".join(by.join(line.split(",")) for line in (head, *rows)) + "\n"


@pytest.mark.parametrize(
    ("text", "between"),
    [
        (ruled("|", "log,species,small_in,length_ft", "1,red oak,14.5,12", "2,beech,15,12"), "bars (|)"),
        (ruled(" | ", "log,species,small_in,length_ft", "1,red oak,14.5,12", "2,beech,15,12"), "bars (|)"),
        (
            "| log | species | small_in | length_ft |\n|---|---|---|---|\n"
            "| 1 | red oak | 14.5 | 12 |\n| 2 | beech | 15 | 12 |\n",
            "bars (|)",
        ),
        (ruled("   ", "log,species,small_in,length_ft", "1,red oak,14.5,12", "2,beech,15,12"), "runs of blanks"),
        ("log  species  small_in  length_ft\n1    red oak  14.5      12\n2    beech    15        12\n", "runs"),
        ("log\t\tspecies\tsmall_in\tlength_ft\n1\t\t\tred oak\t14.5\t12\n2\tbeech\t\t15\t12\n", "tabs"),
        ("log|species|small_in|length_ft\n1|red oak|14,5|12\n2|beech|15|12\n", "bars (|)"),
    ],
)  # fmt: skip
def test_cells_set_apart_otherwise_are_read_after_one_press(mine, text, between):
    path = put(mine, "logs", text)
    (question,) = asked(mine)
    assert question.asks.startswith(f"Cells are set apart by {between}")
    frame = answer(mine, path, "Yes: that gives 2 rows")
    assert frame["species"].tolist() == ["northern red oak", "American beech"] and frame[
        "small_in"
    ].tolist() == [
        14.5,
        15,
    ]
    assert asked(mine) == []


def test_tables_that_were_swapped_are_named_and_get_no_button(mine):
    head, row = (
        "stack,species,nominal,place,stacked,board_feet,width_ft",
        "A,beech,4/4,Madison,2026-05-10,430,4",
    )
    put(mine, "logs", f"{head}\n{row}\n")
    put(mine, "stacks", "log,species,small_in,length_ft\n1,beech,14,12\n")
    assert [(q.file, q.asks.partition(":")[0], q.answers) for q in asked(mine)] == [
        ("logs.csv", "This looks like your stacks", ()),
        ("stacks.csv", "This looks like your logs", ()),
    ]
    page = doctor_panel()
    assert "This looks like your stacks" in plain(page.said) and not page.buttons


@pytest.mark.parametrize("head", ["board 1,board 2", "Sample 1,Sample 2", "1-1,1-2", "B1 (lb),B2 (lb)"])
def test_a_column_for_each_board_is_told_how_rows_go(mine, head):
    path = put(mine, "readings", f"date,stack,{head}\n2026-07-12,A,16.1,15.2\n2026-08-12,A,14.9,14.1\n")
    before = path.read_bytes()
    (question,) = asked(mine)
    assert question.answers == () and "Write one row for each weighing instead" in question.asks
    assert not doctor_panel().buttons and path.read_bytes() == before


def test_an_empty_cell_between_blanks_is_not_guessed(mine):
    put(mine, "logs", "log  species  small_in  large_in  length_ft\n1  beech  14  16  12\n2  beech  15  12\n")
    (question,) = asked(mine)
    assert question.answers == () and "an empty cell cannot be told" in question.asks


# Rows and cells that are not what they seem.

METER = "date,stack,board,kind,value,unit\n"


@pytest.mark.parametrize("unit", ["%", ""])
def test_a_spreadsheets_share_of_one_is_asked_about_once(mine, unit):
    days = (("05-10", "0.45"), ("06-10", "0.28"), ("07-10", "0.19"))
    put(mine, "stacks", "stack,species,nominal,place,stacked\nA,beech,4/4,Madison,2026-05-10\n")
    path = put(mine, "readings", METER + "".join(f"2026-{day},A,1,meter,{v},{unit}\n" for day, v in days))
    (question,) = asked(mine)
    assert question.asks.startswith("3 meter readings are under 1 %") and len(question.answers) == 1
    page = doctor_panel()
    assert plain(page.said).count("0.45") == 1 and "found" not in plain(page.said)
    assert answer(mine, path, "Yes: 0.45 is 45 %")["value"].tolist() == [45, 28, 19]
    assert asked(mine) == []


def test_a_header_that_stands_again_is_one_thing(mine):
    head, row = "log,species,small_in,length_ft\n", "{},beech,15,12\n"
    path = put(mine, "logs", head + row.format(1) + head + row.format(2) + head + row.format(3))
    (question,) = asked(mine)
    assert question.asks == "In rows 3 and 5 the header stands again. Take them out?"
    assert "found" not in plain(doctor_panel().said)
    assert answer(mine, path, "Take rows 3 and 5 out")["log"].tolist() == ["1", "2", "3"]
    assert path.read_text(encoding="utf-8") == head + "".join(row.format(i) for i in (1, 2, 3))


@pytest.mark.parametrize(
    ("text", "says", "small_in"),
    [
        ("log,species,small_in,length_ft\n,,in,ft\n1,beech,14,12\n", "Take row 2 out", 14),
        ("log,species,small,length\n,,(cm),(m)\n1,balm,36,3.6\n", "Take row 2 out, and read small_in in cm", 36 / 2.54),
        ("log,species,small_in,length_ft\n,,cm,ft\n1,beech,30,12\n", "Take row 2 out, and read small_in", 30 / 2.54),
    ],
)  # fmt: skip
def test_a_row_of_units_goes_into_the_header(mine, text, says, small_in):
    path = put(mine, "logs", text)
    (question,) = asked(mine)
    assert question.asks.startswith("Row 2 says in what each column is, and is no log.")
    assert "row 2, column" not in plain(doctor_panel().said)
    frame = answer(mine, path, says)
    assert frame["small_in"].tolist() == [pytest.approx(small_in)] and asked(mine) == []


@pytest.mark.parametrize("mark", ['"', '""""', "ditto", "Ditto", "do.", "''"])
def test_ditto_marks_are_written_out_after_one_press(mine, mark):
    path = put(
        mine,
        "logs",
        f"log,species,small_in,length_ft\n1,beech,14,12\n2,{mark},15,{mark}\n3,{mark},16,10\n",
    )
    (question,) = asked(mine)
    assert question.asks.startswith("3 cells say only that it is the same as above")
    assert "found" not in plain(doctor_panel().said)
    frame = answer(mine, path, "Yes: write what stands above")
    assert frame["species"].tolist() == ["American beech"] * 3 and frame["length_ft"].tolist() == [12, 12, 10]
    assert path.read_text(encoding="utf-8").splitlines()[2] == "2,beech,15,12" and asked(mine) == []


def test_a_quotation_with_a_comma_at_its_end_is_no_ditto_mark(mine):
    put(
        mine,
        "logs",
        'log,species,small_in,length_ft,note\n1,beech,14,12,"near,",\n2,beech,15,12,"far, "\n',
    )
    assert not [q for q in asked(mine) if "ditto" in q.asks]


def test_a_slip_in_the_name_of_the_marks_is_asked_about(mine):
    path = put(mine, "logs", "og,species,small_in,length_ft\nx7,beech,14,12\n")
    assert answer(mine, path, "'og' is log")["log"].tolist() == ["x7"]


def test_a_column_whose_cells_would_set_rows_aside_is_not_offered(mine):
    put(
        mine,
        "logs",
        "log,species,small_in,large_edn,length_ft\n1,beech,14.5,17,12\n2,beech,16,18,12\n",
    )
    assert [a.says for q in asked(mine) for a in q.answers] == [
        "'large_edn' is large_in, in in"
    ]  # in cm it is below


def test_cells_set_apart_otherwise_come_before_what_their_header_leaves_open(mine):
    path = put(mine, "logs", "log|species|girth|length_ft\n1|red oak|44|12\n2|beech|50|12\n")
    (question,) = asked(mine)
    assert question.asks.startswith("Cells are set apart by bars (|)")
    settle(path, question, question.answers[0])
    assert asked(mine)[0].asks.startswith("Is column 'girth' the distance around the small end?")


@pytest.mark.parametrize(
    ("table", "text", "column", "first"),
    [
        ("readings", "date,stack,board,kind,lb,oz\n2025-06-02,A,1,weight,16,10\n", "value", 16.625),
        (
            "readings",
            "date,stack,board,kind,Weight (lb),Weight (oz)\n2025-06-02,A,1,weight,16,10\n",
            "value",
            16.625,
        ),
        ("logs", "log,species,small_in,ft,in\n1,red oak,14,12,6\n", "length_ft", 12.5),
        ("logs", "log,species,small_in,length_ft,length_in\n1,red oak,14,12,6\n", "length_ft", 12.5),
    ],
)
def test_one_value_in_two_columns_is_put_together_and_no_half_of_it_is_offered(
    tmp_path, table, text, column, first
):
    path = tmp_path / f"{table}.csv"
    path.write_text(text)
    (asked,) = questions(read_usable(tmp_path))
    (answer,) = asked.answers
    assert answer.says.startswith("Yes: row 2 is ")
    settle(path, asked, answer)
    found = read_usable(tmp_path)
    assert found.tables[table][column].iloc[0] == pytest.approx(first) and not questions(found)


def test_inches_across_beside_feet_along_are_no_length(tmp_path):
    (tmp_path / "logs.csv").write_text("log,species,in,ft\n1,red oak,11,12\n")
    assert not any("one length" in q.asks for q in questions(read_usable(tmp_path)))


@pytest.mark.parametrize(
    "head", ["wet weight,oven dry weight,MC", "weight,meter", "Weight (lb),Moisture %", "od,scale"]
)
def test_readings_of_several_kinds_side_by_side_are_told_how_to_be_written(tmp_path, head):
    cells = ",".join(["16.6", "9.3", "78.5"][: head.count(",") + 1])
    path = tmp_path / "readings.csv"
    path.write_text(f"date,stack,board,{head}\n2025-06-02,A,1,{cells}\n")
    (asked,) = questions(read_usable(tmp_path))
    assert not asked.answers and "Write one row for each reading instead" in asked.asks
