"""Everyday slips that would be read as something else: each is told, and nothing is taken without a word."""

import unicodedata

import pytest

from woodcalc import records
from woodcalc.records import usable
from woodcalc.records.questions import questions, settle
from woodcalc.records.usable import mends_well, read_usable

BOARDS = "board,log,species,nominal,width_in,length_ft\n"
STACKS = "stack,species,nominal,place,stacked\n"


def put(folder, **tables):
    for table, text in tables.items():
        (folder / f"{table}.csv").write_text(text, encoding="utf-8")
    return read_usable(folder)


def test_a_plain_number_for_a_thickness_is_asked_however_it_is_written(tmp_path):
    texts = ["4", "4.0", "4.00", '"4,0"', "8.0", "5."]
    found = put(
        tmp_path, boards=BOARDS + "".join(f"{i},1,red oak,{text},8,10\n" for i, text in enumerate(texts))
    )
    asked = {p.row: p.mend for p in found.doubts if p.column == "nominal"}
    assert asked == {2: "4/4", 3: "4/4", 4: "4/4", 5: "4/4", 6: "8/4", 7: "5/4"}
    assert all(mends_well(found, p) for p in found.doubts if p.column == "nominal")


@pytest.mark.parametrize(("text", "mend"), [("8.0", "8/4"), ("8", "8/4"), ("5.0", "5/4"), ("32/4", "")])
def test_a_stack_thicker_than_any_is_mended_to_its_quarters(tmp_path, text, mend):
    found = put(tmp_path, stacks=f'{STACKS}A,red oak,{text},"Madison, WI",2026-05-10\n')
    (problem,) = found.problems
    assert problem.mend == mend and f"Did you mean {mend or '4/4'}?" in str(problem)


@pytest.mark.parametrize("text", ["4", "4.0", "4,0"])
def test_the_form_does_not_save_a_plain_number_for_a_thickness(text):
    row = {"stack": "A", "species": "red oak", "nominal": text, "stacked": "2026-05-01"}
    (problem,) = records.problems_in(row, "stacks")[1]
    assert "Is 4/4 meant, or 16/4, which is 4 in thick?" in str(problem)
    assert records.problems_in(row | {"nominal": "16/4"}, "stacks")[1] == []


STACK_A = f'{STACKS}A,red oak,4/4,"Madison, WI",2026-04-10\n'
READINGS = "date,stack,board,kind,value,unit,temp_f\n"


@pytest.mark.parametrize("text", ["0", "-5", "-40", "1", "37"])
def test_wood_colder_than_any_day_of_the_place_is_asked_about(tmp_path, text):
    found = put(tmp_path, stacks=STACK_A, readings=f"{READINGS}2026-07-10,A,1,meter,24,%,{text}\n")
    (doubt,) = found.doubts
    assert (doubt.row, doubt.column, doubt.mend) == (2, "temp_f", "")
    assert "it hardly gets below 38 F" in str(doubt)
    # 37 C is 99 F, which wood can have in July; 1 C is not
    assert ("Was it read in C?" in str(doubt)) == (text == "37")


def test_celsius_is_offered_for_the_temperatures_that_it_fits(tmp_path):
    rows = "".join(f"2026-07-1{i},A,1,meter,{24 - i},%,{t}\n" for i, t in enumerate(["20", "22", "0"]))
    found = put(tmp_path, stacks=STACK_A, readings=READINGS + rows)
    assert {p.row: p.mend for p in found.doubts} == {2: "68", 3: "71.6", 4: ""}


LOGS = "log,species,small_in,length_ft,defect_pct\n"


@pytest.mark.parametrize(
    ("texts", "yes", "no"),
    [
        (["0.15", "0", ".1"], [15, 0, 10], [0.15, 0, 0.1]),  # as a spreadsheet keeps per cent
        (["1/4", "", "0"], [25, 0, 0], [0.25, 0, 0]),
        (["0.2", "1", "0.05"], [20, 100, 5], [0.2, 1, 0.05]),
        (["0.2", "1", "15"], [20, 1, 15], [0.2, 1, 15]),
        (["1", "0", "1"], None, None),
        (["0.5 %", "10", ""], None, None),
    ],
)
def test_a_defect_that_a_spreadsheet_keeps_as_a_share_is_asked(tmp_path, texts, yes, no):
    text = LOGS + "".join(f"{i},red oak,14,12,{t}\n" for i, t in enumerate(texts))
    asked = questions(put(tmp_path, logs=text))
    if yes is None:
        assert asked == []
        return
    (question,) = asked
    assert "A spreadsheet keeps 15 % as 0.15" in question.asks
    for answer, becomes in zip(question.answers, (yes, no), strict=True):
        put(tmp_path, logs=text)
        settle(tmp_path / "logs.csv", question, answer)
        after = read_usable(tmp_path)
        assert after.tables["logs"]["defect_pct"].tolist() == becomes
        assert questions(after) == []


@pytest.mark.parametrize("head", ["qty", "Count", "pcs", "Pieces", "# of boards", "number of", "Qty."])
def test_a_row_for_several_boards_is_asked_about(tmp_path, head):
    text = f"board,log,species,nominal,width_in,length_ft,board_feet,{head}\n"
    text += "7-1,7,red oak,4/4,8,12,24,3\n7-2,7,red oak,4/4,6,12,,1\n"
    (question,) = questions(put(tmp_path, boards=text))
    assert "row 2 says 3" in question.asks
    settle(tmp_path / "boards.csv", question, question.answers[0])
    after = read_usable(tmp_path)
    assert after.tables["boards"]["board"].tolist() == ["7-1", "7-1 (2)", "7-1 (3)", "7-2"]
    assert after.tables["boards"]["board_feet"].sum() == 3 * 8 + 6
    assert not after.problems and not after.doubts and questions(after) == []
    (question,) = questions(put(tmp_path, boards=text.replace(",24,3", ",8,3")))
    settle(tmp_path / "boards.csv", question, question.answers[1])
    assert questions(read_usable(tmp_path)) == [] and len(read_usable(tmp_path).tables["boards"]) == 2


def test_a_count_of_ones_asks_nothing(tmp_path):
    assert questions(put(tmp_path, logs=f"{LOGS[:-1]},qty\n1,red oak,14,12,0,1\n2,red oak,14,12,0,\n")) == []


WEIGHED = "date,stack,board,kind,value,unit\n"


@pytest.mark.parametrize(
    ("cells", "lb"),
    [("16.5 lb,lb", 16.5), ("16.5 lb,", 16.5), ("16.5 lbs.,pounds", 16.5), ("9 lb 5 oz,", 9.3125), ("16 oz,oz", 1),
     ("16 1/2 lb,", 16.5), ("6000 g,", 13.2277)],
)  # fmt: skip
def test_a_weight_may_name_its_unit_in_the_cell(tmp_path, cells, lb):
    found = put(tmp_path, stacks=STACK_A, readings=f"{WEIGHED}2026-05-10,A,1,weight,{cells}\n")
    assert found.problems == () and questions(found) == []
    row = found.tables["readings"].iloc[0]
    assert row["value"] * {"lb": 1, "oz": 1 / 16, "g": 1 / 453.592}[row["unit"]] == pytest.approx(
        lb, abs=1e-4
    )


def test_without_a_column_of_units_the_cells_tell_them(tmp_path):
    rows = "2026-05-10,A,1,oven-dry,9 lb 5 oz\n2026-05-10,A,1,weight,16.5 lb\n"
    found = put(tmp_path, stacks=STACK_A, readings=WEIGHED.replace(",unit", "") + rows)
    assert found.problems == () and questions(found) == []
    assert found.tables["readings"]["unit"].tolist() == ["lb", "lb"]


@pytest.mark.parametrize(
    ("cells", "says"),
    [("weight,13 lb,kg", "The cell says lb, and the column unit says kg"), ("meter,13 lb,", "% for a meter reading"),
     ("weight,9 lb 17 oz,lb", "Only one number"), ("weight,7 kg,lb", "The cell says kg")],
)  # fmt: skip
def test_a_unit_that_does_not_go_with_the_rest_is_told(tmp_path, cells, says):
    found = put(tmp_path, stacks=STACK_A, readings=f"{WEIGHED}2026-05-10,A,1,{cells}\n")
    (problem,) = found.problems
    assert says in str(problem) and questions(found) == []


def test_the_form_takes_a_weight_with_its_unit(tmp_path):
    path = tmp_path / "readings.csv"
    row = {
        "date": "2026-06-10",
        "stack": "A",
        "board": "1",
        "kind": "weight",
        "value": "9 lb 5 oz",
        "unit": "lb",
    }
    assert records.append(path, row)["value"].tolist() == [9.3125]
    assert "9 lb" not in path.read_text() and not records.read(path).empty


@pytest.mark.parametrize(
    ("head", "is_"),
    [("dob", "over the bark"), ("Diameter OB", "over the bark"), ("diameter (outside bark)", "over the bark"),
     ("diameter at butt", "the large end"), ("mid diameter", "the middle"), ("DBH", "breast height")],
)  # fmt: skip
def test_a_diameter_that_is_none_of_the_small_end_is_not_offered_as_it(tmp_path, head, is_):
    (question,) = questions(put(tmp_path, logs=f"log,species,{head},length_ft\n1,red oak,16,12\n"))
    assert is_ in question.asks and question.answers == ()


@pytest.mark.parametrize(
    ("head", "text"), [("radius", "7"), ("Radius (cm)", "17.8"), ("small end radius (in)", "7")]
)
def test_a_radius_is_doubled_by_a_press(tmp_path, head, text):
    (question,) = questions(put(tmp_path, logs=f"log,species,{head},length_ft\n1,red oak,{text},12\n"))
    off = {answer.says.partition(",")[2]: answer for answer in question.answers}
    settle(tmp_path / "logs.csv", question, off[" bark 1/2 in thick: row 2 is 13 in across"])
    after = read_usable(tmp_path)
    assert after.tables["logs"]["small_in"].tolist() == [13] and questions(after) == []


ALL_OF_A_STACK = "stack,species,nominal,place,stacked,start_mc_pct,board_feet,width_ft,note\n"


@pytest.mark.parametrize(
    "row",
    ["A,red oak,4/4,Madison, WI,2026-05-10", "A,red oak,4/4,Madison,wi,2026-05-10,75,430,4,by the barn"],
)
def test_a_place_that_a_comma_parts_from_its_state_is_put_together(tmp_path, row):
    found = put(tmp_path, stacks=f"{ALL_OF_A_STACK}{row}\n")
    assert found.problems == found.doubts == ()
    stack = found.tables["stacks"].iloc[0]
    assert (stack["place"], f"{stack['stacked']:%Y-%m-%d}") == ("Madison, WI", "2026-05-10")
    assert any("in two cells read as Madison, WI" in note for note in found.notes)
    mended = found.sheets["stacks"].with_cells({2: "5/4"}, "nominal").text
    assert '"Madison, WI",2026-05-10' in mended


def test_an_unknown_town_with_its_state_is_told_as_a_place(tmp_path):
    found = put(tmp_path, stacks=f"{ALL_OF_A_STACK}A,red oak,4/4,Viroqua, WI,2026-05-10,,,,\n")
    (problem,) = found.problems
    assert problem.column == "place" and "In that state it knows" in str(problem)


@pytest.mark.parametrize(
    ("row", "says"), [("14,12,big knots, north side", "in the note"), ("14,5,12,5,x", "decimal")]
)
def test_of_two_commas_the_likelier_is_told(tmp_path, row, says):
    (problem,) = put(tmp_path, logs=f"log,species,small_in,length_ft,note\n1,red oak,{row}\n").problems
    assert says in str(problem)


def test_the_rows_before_empty_bytes_are_asked_for(tmp_path):
    text = "log,species,small_in,length_ft\n1,red oak,14,12\n2,white ash,15,1"
    path = tmp_path / "logs.csv"
    path.write_bytes(text.encode() + b"\0" * 4096)
    found = read_usable(tmp_path)
    assert "as a power cut leaves them" in str(found.problems[0])
    (question,) = questions(found)
    assert "4,096 empty bytes" in question.asks and "The last one is 2, white ash, 15, 1" in question.asks
    settle(path, question, question.answers[0])
    assert path.read_bytes() == text.encode()
    assert "1" in read_usable(tmp_path).tables["logs"]["log"].tolist()


def test_tangled_readings_are_not_judged_anew_for_each_question(tmp_path, monkeypatch):
    """Boards 1 to 5 in each of many stacks, and weights that go with none: each question costs a look at all rows."""
    judged, real = [], usable.judge_readings
    monkeypatch.setattr(usable, "judge_readings", lambda held: judged.append(1) or real(held))
    stacks = "".join(f'S{i},red oak,4/4,"Madison, WI",2024-0{1 + i % 9}-10\n' for i in range(30))
    rows = "".join(
        f"2024-{1 + i % 12:02}-{1 + i % 28:02},S{i % 30},{i % 5},{('weight', 'meter')[i % 2]},{20 + i % 7},"
        f"{('lb', '%')[i % 2]}\n"
        for i in range(1500)
    )
    found = put(tmp_path, stacks=STACKS + stacks, readings=WEIGHED + rows)
    assert len(found.doubts) > 50 and len(judged) <= 1 + 2 * 6_000 // 1_000


def test_a_cell_of_millions_of_letters_is_refused_before_its_letters_are_looked_at(tmp_path, monkeypatch):
    looked, real = [], unicodedata.category
    monkeypatch.setattr(unicodedata, "category", lambda sign: looked.append(1) or real(sign))
    long = "x, " * 100_000
    found = put(tmp_path, logs=f'{LOGS[:-1]},note\n1,red oak,14,12,0,ok\n2,red oak,14,12,0,"{long}"\n')
    (problem,) = found.problems
    assert "a cell of 300,000 letters" in str(problem) or "at most 10,000 letters" in str(problem)
    assert len(looked) < 1_000 and len(found.tables["logs"]) == 1


@pytest.mark.parametrize(
    ("column", "text", "value"),
    [
        ("value", "14.90#", 14.9),
        ("date", "20 November 2026", "2026-11-20"),
        ("date", "Friday, November 20, 2026", "2026-11-20"),
        ("date", "Fri. 20 Nov 2026", "2026-11-20"),
        ("date", "the 20th of November 2026".removeprefix("the "), "2026-11-20"),
    ],
)
def test_what_is_but_one_thing_is_read(column, text, value):
    row = {"date": "2026-05-10", "stack": "A", "board": "1", "kind": "weight", "value": "12", "unit": ""} | {
        column: text
    }
    row["unit"] = "" if "#" in text else "lb"
    values, problems = records.problems_in(row, "readings")
    assert not problems and records.text(values[column]) == str(value) and values["unit"] == "lb"


@pytest.mark.parametrize(
    ("table", "column", "text", "ways", "words"),
    [
        ("readings", "value", ">30", (), "end of the meter's scale"),
        ("readings", "value", "ca. 12", ("12",), ""),
        ("readings", "value", "~12", ("12",), ""),
        ("readings", "value", "12ish", ("12",), ""),
        ("readings", "value", "OL", (), "A meter shows OL where the wood is wetter than it can read"),
        ("readings", "date", "Nov. 20th", (), "Which year? Write "),
        ("logs", "length_ft", "8' 14\"", ("9' 2\"", "8' 1.4\""), "the inches are more than a foot"),
        ("logs", "trim_in", "17/16", ("1-7/16", "1-1/16"), "could be 1-7/16, or 1.0625"),
        ("logs", "trim_in", "141/2", ("14-1/2",), ""),
        ("logs", "species", "w oak", ("white oak",), ""),
        ("logs", "species", "W. Oak", ("white oak",), ""),
        ("logs", "species", "r oak", ("northern red oak",), ""),
        ("logs", "species", "s maple", ("silver maple", "sugar maple"), "Which one"),
        ("logs", "species", "b walnut", ("black walnut",), ""),
        ("logs", "species", "y poplar", ("yellow-poplar",), ""),
        ("logs", "species", "e w pine", ("eastern white pine",), ""),
        ("logs", "species", "blk cherry", ("black cherry",), ""),
    ],
)
def test_what_may_be_meant_is_offered_and_not_mended_silently(table, column, text, ways, words):
    row = {
        "logs": {"species": "red oak", "small_in": "14", "length_ft": "12"},
        "readings": {
            "date": "2026-05-10",
            "stack": "A",
            "board": "1",
            "kind": "weight",
            "value": "12",
            "unit": "lb",
        },
    }[table]
    (problem,) = records.problems_in(row | {column: text}, table)[1]
    offered = tuple(filter(None, (problem.mend, *problem.mends)))
    assert set(ways) <= set(offered) and words in str(problem)
    if table == "logs":
        assert len(ways) == len(offered) or "Which one" in words
