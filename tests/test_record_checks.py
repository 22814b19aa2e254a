"""The learner's own tables read row by row: bad rows are set aside, doubtful ones told, the others used."""

import dataclasses
import os
import random
import sys
from datetime import date, timedelta

import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from woodcalc import disk, records
from woodcalc.checks import InputError
from woodcalc.records import across, choices, files, keep, neighbors, usable

TODAY = date(2026, 6, 30)
STACKS = "stack,species,nominal,place,stacked\nA,northern red oak,4/4,Madison,2025-05-10\n"
HEAD = "date,stack,board,kind,value,unit,temp_f\n"
# A sample board as it dries, 9.32 lb oven-dry: Kettle Hollow's stack A (invented).
WEIGHED = ("16.60", "14.90", "13.70", "12.70", "11.95")
DAYS = ("2025-05-10", "2025-05-24", "2025-06-07", "2025-06-21", "2025-07-05")
DRY = "2025-05-10,A,1-3,oven-dry,9.32,lb,\n"


def weighings(values=WEIGHED, unit="lb", dry=DRY):
    return HEAD + dry + "".join(f"{d},A,1-3,weight,{v},{unit},\n" for d, v in zip(DAYS, values, strict=True))


def own(tmp_path, **tables):
    for name, text in tables.items():
        data = text if isinstance(text, bytes) else text.encode()
        (tmp_path / f"{name}.csv").write_bytes(data)
    before = {p.name: p.read_bytes() for p in tmp_path.iterdir() if p.is_file()}
    found = records.read_usable(tmp_path, today=TODAY)
    assert {p.name: p.read_bytes() for p in tmp_path.iterdir() if p.is_file()} == before
    return found


def test_kettle_hollow_is_used_as_a_whole():
    found = records.read_usable(records.KETTLE_HOLLOW)
    assert list(found.tables) == ["logs", "boards", "stacks", "readings"]
    assert found.problems == ()
    assert found.doubts == () and found.remarks == (
        "readings.csv, rows 10 (32 %) and 14 (43 %): kept, not trusted: a meter tells little above 30 %.",
    )
    assert {found.verdict("readings.csv", row) for row in (10, 14)} == {"used"}
    for name, table in records.read_folder(records.KETTLE_HOLLOW).items():
        pd.testing.assert_frame_equal(found.tables[name], table)


def test_one_bad_row_does_not_take_the_others(tmp_path):
    text = weighings().replace("2025-05-24,A,1-3,weight,14.90", "5/6/26,A,1-3,weight,14.90")
    found = own(tmp_path, readings=text, stacks=STACKS)
    assert len(found.tables["readings"]) == 5
    assert list(found.tables["readings"].index) == [2, 3, 5, 6, 7]
    [problem] = found.problems
    assert (problem.file, problem.row, problem.column, problem.found) == (
        "readings.csv",
        4,
        "date",
        "'5/6/26'",
    )
    assert "2026-05-06 or 2026-06-05" in problem.expected
    assert problem.about == "board 1-3, stack A"
    assert "readings.csv, row 4, column date: found '5/6/26' (board 1-3, stack A); expected" in str(problem)
    told = records.mc_readings(found.tables["readings"], "A", "northern red oak")
    assert len(told) == 4


@pytest.mark.parametrize(
    ("table", "header", "row", "column", "mend"),
    [
        ("logs", "log,species,small_in,length_ft", "7,blck walnut,14,12", "species", "black walnut"),
        ("logs", "log,species,small_in,length_ft", "7,white oak,1O.5,12", "small_in", "10.5"),
        ("logs", "log,species,small_in,length_ft", "7,white oak,12..5,12", "small_in", "12.5"),
        ("logs", "log,species,small_in,length_ft", "7,white oak,-12,12", "small_in", "12"),
        (
            "logs",
            "log,species,small_in,length_ft",
            "7,white oak,101.6,12",
            "small_in",
            "40",
        ),  # 40 in is 101.6 cm
        ("logs", "log,species,small_in,length_ft", "7,white oak,14,144", "length_ft", "12"),  # 144 in
        ("logs", "log,species,small_in,length_ft", "7,white oak,abc,12", "small_in", ""),
        ("boards", "species,nominal,width_in,length_ft", "oak,4/4,6,8", "species", ""),  # red or white
        ("boards", "species,quarters,width_in,length_ft", "white oak,1,6,8", "nominal", "4/4"),
        ("stacks", "stack,species,nominal,stacked,place", "B,white oak,4/4,2025-05-10,Madson", "place", None),
        ("readings", "date,stack,board,kind,value,unit", "2025-06-01,A,1,wieght,9,lb", "kind", "weight"),
        ("readings", "date,stack,board,kind,value,unit", "2025-06-01,A,1,lb,9,lb", "kind", ""),
        ("readings", "date,stack,board,kind,value,unit", "2025-06-01,A,1,weight,9,lbss", "unit", "lb"),
        ("readings", "date,stack,board,kind,value,unit", "2025-06-31,A,1,weight,9,lb", "date", ""),
        ("readings", "date,stack,board,kind,value,unit", "0001-06-01,A,1,weight,9,lb", "date", ""),
        ("readings", "date,stack,board,kind,value,unit", "9999-06-01,A,1,weight,9,lb", "date", ""),
        ("readings", "date,stack,board,kind,value,unit", "2/1/9999,A,1,weight,9,lb", "date", ""),
        ("readings", "date,stack,board,kind,value,unit", "2025-06-01,A,1,weight,inf,lb", "value", ""),
        ("readings", "date,stack,board,kind,value,unit", "2025-06-01,A,1,weight,1e99,lb", "value", ""),
        (
            "readings",
            "date,stack,board,kind,value,unit",
            f"2025-06-01,A,1,weight,{'9' * 5000}/7,lb",
            "value",
            "",
        ),
    ],
)
def test_what_is_set_aside_and_the_likely_slip(tmp_path, table, header, row, column, mend):
    found = own(tmp_path, **{table: f"{header}\n{row}\n"})
    assert [(p.row, p.column) for p in found.problems] == [(2, column)]
    if mend is not None:
        assert found.problems[0].mend == mend
    assert found.tables[table].empty
    assert [c.name for c in records.TABLES[table] if c.name not in found.tables[table]] == []
    if found.problems[0].mend:
        path = tmp_path / f"{table}.csv"
        before = path.read_bytes()
        assert len(records.mend(path, found.problems[0])) == 1
        assert keep.versions(path)[0].path.read_bytes() == before
        assert own(tmp_path).problems == ()


def test_a_date_is_told_by_the_rows_around_it_and_by_the_other_table(tmp_path):
    rows = "A,1,weight,9,lb\n"
    text = f"date,stack,board,kind,value,unit\n2025-05-20,{rows}6/3/2025,{rows}2025-06-20,{rows}"
    found = own(tmp_path, readings=text)
    assert [(p.row, p.mend) for p in found.problems] == [
        (3, "2025-06-03")
    ]  # 6 March is not between the others
    stacks = STACKS.replace("2025-05-10", "5/14/2025")
    found = own(tmp_path, readings=text, stacks=stacks)
    assert found.problems == ()  # the stacks are written month first
    assert found.tables["readings"]["date"].iloc[1] == pd.Timestamp("2025-06-03")
    assert any("read as month/day/year" in note for note in found.notes)
    found = own(tmp_path, readings="# month/day/year\n" + text, stacks=STACKS)
    assert found.problems == ()


@pytest.mark.parametrize(
    ("day", "expected", "mend"),
    [
        ("2035-05-24", "a day up to today, 2026-06-30", "2025-05-24"),
        ("2062-05-24", "a day up to today", "2025-05-24"),
        ("2026-12-24", "a day up to today", "2025-12-24"),
        ("2025-05-01", "a day after 2025-05-10, when stack A was stacked", ""),
        ("2024-05-24", "a day after 2025-05-10", "2025-05-24"),
    ],
)
def test_readings_from_the_future_or_before_stacking_are_set_aside(tmp_path, day, expected, mend):
    text = weighings().replace("2025-05-24", day)
    found = own(tmp_path, readings=text, stacks=STACKS)
    [problem] = found.problems
    assert (problem.row, problem.column, problem.mend) == (4, "date", mend)
    assert expected in problem.expected
    assert 4 not in found.tables["readings"].index
    if mend:
        records.mend(tmp_path / "readings.csv", problem)
        assert own(tmp_path).problems == ()


def test_the_oven_dry_weight_may_be_older_than_the_stack(tmp_path):
    text = weighings(dry=DRY.replace("2025-05-10", "2025-05-01"))
    assert own(tmp_path, readings=text, stacks=STACKS).problems == ()


@pytest.mark.parametrize(
    ("text", "row", "column", "words", "mend"),
    [
        (weighings(("16.60", "14.90", "1.37", "12.70", "11.95")), 5, "value", "Is 13.7 meant", "13.7"),
        (weighings(("16.60", "149", "13.70", "12.70", "11.95")), 4, "value", "Is 14.9 meant", "14.9"),
        (weighings(("1.66", "14.90", "13.70", "12.70", "11.95")), 3, "value", "Is 16.6 meant", "16.6"),
        (weighings(("16.60", "14.90", "6.21", "12.70", "11.95")), 5, "unit", "weighed in kg", "kg"),
        (weighings(("16.60", "4.9", "13.70", "12.70", "11.95")), 4, "value", "first digit missing", ""),
        (weighings(("16.60", "14.90", "6214", "12.70", "11.95")), 5, "unit", "weighed in g", ""),
        (weighings(dry=DRY.replace("9.32", "93.2")), 2, "value", "Is 9.32 meant", "9.32"),
        (weighings(dry=DRY.replace("9.32", "4.23")), 2, "unit", "weighed in kg", "kg"),
        (HEAD + DRY + "2025-05-10,A,1-3,weight,9.32,lb,\n", 3, "value", "Which of the two did you read", ""),
        (HEAD + DRY + "2025-05-10,A,1-3,weight,74,lb,\n", 3, "value", "at most", None),
        (HEAD + DRY + "2025-05-10,A,1-3,weight,8.9,lb,\n", 3, "value", "swapped", ""),
        (HEAD + "2025-07-05,A,2,meter,5,%,\n", 2, "value", "at least 6 %", ""),
        (HEAD + "2025-07-05,A,2,meter,150,%,\n", 2, "value", "no meter shows more", ""),
        (HEAD + "2025-07-05,a,2,meter,25,%,\n", 2, "stack", "Is A meant", "A"),
        (HEAD + "2025-07-05,A.0,2,meter,25,%,\n", 2, "stack", "Is A meant", "A"),
        (HEAD + "2025-07-05,Z,2,meter,25,%,\n", 2, "stack", "a stack of stacks.csv, which has A", ""),
        (HEAD + "2025-05-15,A,2,meter,8,%,\n", 2, "value", "kiln-dry, 5 days after stacking", ""),
        (
            HEAD + "2025-07-05,A,2,meter,15,%,\n2025-07-19,A,2,meter,21,%,\n",
            3,
            "value",
            "Rain on the stack",
            "",
        ),
        (HEAD + "2025-07-05,A,2,meter,15,%,\n2025-07-05,A,2,meter,20,%,\n", 3, "value", "on that day", ""),
        (
            HEAD + "2025-07-05,A,2,meter,15,%,\n2025-07-05,A,2,meter,15,%,\n",
            3,
            "value",
            "each reading once",
            "",
        ),
        (HEAD + "2025-07-05,A,2,meter,15,%,21\n", 2, "temp_f", "Was it read in C", ""),
        (
            HEAD + "2025-07-05,A,2,meter,15,%,21\n2025-07-05,A,3,meter,15,%,22\n",
            2,
            "temp_f",
            "Was it read in C",
            "69.8",
        ),
    ],
)
def test_readings_that_look_wrong_are_told(tmp_path, text, row, column, words, mend):
    found = own(tmp_path, readings=text, stacks=STACKS)
    assert found.problems == ()
    told = [p for p in found.doubts if (p.row, p.column) == (row, column) and words in p.expected]
    assert len(told) == 1, [str(p) for p in found.doubts]
    assert told[0].file == "readings.csv"
    if mend is not None:
        assert told[0].mend == mend
    if mend:
        records.mend(tmp_path / "readings.csv", told[0])
        after = own(tmp_path)
        assert not [p for p in after.doubts if (p.row, p.column) == (row, column) and words in p.expected]


@pytest.mark.parametrize("reading", ["2025-09-28,A,2,meter,15,%,38", "2025-05-12,A,2,meter,28,%,39"])
def test_a_cold_morning_in_spring_or_fall_is_no_slip(tmp_path, reading):
    assert own(tmp_path, readings=f"{HEAD}{reading}\n", stacks=STACKS).doubts == ()


@pytest.mark.parametrize(
    ("temps", "mends"),
    [
        ("12 15 21 18", ["53.6", "59", "69.8", "64.4"]),  # 12 alone might be F, early in May
        ("54 15 70 64", [""]),
        ("54 60 70 64", []),
        ("-4 39 70 64", [""]),  # no such frost in May, in F or in C
    ],
)
def test_a_column_in_celsius_is_one_question(tmp_path, temps, mends):
    days = ("2025-05-02", "2025-05-14", "2025-06-16", "2025-09-20")
    rows = "".join(
        f"{d},A,2,meter,{30 - 3 * i},%,{t}\n"
        for i, (d, t) in enumerate(zip(days, temps.split(), strict=True))
    )
    found = own(tmp_path, readings=HEAD + rows, stacks=STACKS.replace("05-10", "05-01"))
    doubts = [p for p in found.doubts if p.column == "temp_f"]
    assert [p.mend for p in doubts] == mends and len({p.expected for p in doubts}) <= 1
    if len(doubts) > 1:
        also = [(p, files.cells_of(found.sheets["readings"], p.row)) for p in doubts[1:]]
        records.mend(tmp_path / "readings.csv", doubts[0], also=also)
        assert not [p for p in own(tmp_path).doubts if p.column == "temp_f"]


def test_how_cold_it_gets_changes_from_day_to_day_without_a_jump():
    lows = [
        across.coldest_and_warmest_f("Madison, WI", d.month, d.day)[0]
        for d in pd.date_range("2024-01-01", "2024-12-31")
    ]
    assert max(abs(b - a) for a, b in zip(lows, lows[1:], strict=False)) < 1


BOARDS = "board,log,species,nominal,width_in,length_ft\n1-3,1,northern red oak,4/4,8,12\n"


def test_a_board_that_the_boards_lack_is_remarked_on_where_others_of_its_stack_are_there(tmp_path):
    text = weighings() + "2025-07-05,A,1-33,meter,28,%,\n"
    found = own(tmp_path, readings=text, stacks=STACKS, boards=BOARDS)
    assert found.remarks == ("readings.csv, row 8: boards.csv has no board 1-33 (stack A). Is 1-3 meant?",)
    assert found.doubts == () and found.verdict("readings.csv", 8) == "used"
    assert own(tmp_path, boards=BOARDS.replace("1-3,", "7-1,")).remarks == ()


@pytest.mark.parametrize("stacks", [None, b"", STACKS.encode() + b"\0" * 20])
def test_a_table_that_cannot_be_read_is_as_good_as_none(tmp_path, stacks):
    tables = {} if stacks is None else {"stacks": stacks}
    found = own(tmp_path, readings=weighings(), **tables)
    assert {*found.waiting.values()} == {("stack A",)} and len(found.waiting) == 6


def test_weighings_without_an_oven_dry_weight_wait(tmp_path):
    alone = weighings(dry="")
    found = own(tmp_path, readings=alone, stacks=STACKS)
    assert (
        found.waiting == dict.fromkeys(range(2, 7), ("the board's oven-dry weight",)) and found.doubts == ()
    )
    assert len(found.tables["readings"]) == 5
    slip = alone.replace("13.70", "1.37")
    assert own(tmp_path, readings=slip).waiting.keys() == {2, 3, 5, 6}  # what is left out does not wait
    meter = HEAD + "2025-07-05,A,2,meter,25,%,\n"
    for text in (weighings(), meter):
        assert own(tmp_path, readings=text).waiting == {}


def test_readings_of_a_stack_that_is_not_there_wait_for_it(tmp_path):
    found = own(tmp_path, readings=weighings(), stacks=STACKS.replace("A,", "B,"))
    assert {*found.waiting.values()} == {("stack A",)} and len(found.waiting) == len(found.tables["readings"])
    assert found.verdict("readings.csv", 2) == "waits for stack A"
    spoiled = own(tmp_path, stacks=STACKS.replace("2025-", "2025-99-", 1))
    assert "set aside" in spoiled.verdict("readings.csv", 2)
    (tmp_path / "stacks.csv").unlink()
    assert own(tmp_path).verdict("readings.csv", 3) == "waits for stack A"
    assert {*records.read_usable(tmp_path, ["readings"]).waiting.values()} == {("stack A",)}  # whoever asks
    assert records.read_usable(tmp_path / "readings.csv").waiting == {}


def test_a_good_run_of_readings_gives_no_doubt(tmp_path):
    assert own(tmp_path, readings=weighings(), stacks=STACKS).doubts == ()
    kilograms = weighings([f"{float(v) / 2.2046:.2f}" for v in WEIGHED], "kg", DRY)
    found = own(tmp_path, readings=kilograms, stacks=STACKS)
    assert found.doubts == ()
    told = records.mc_readings(found.tables["readings"], "A", "northern red oak")
    assert told["mc_pct"].iloc[0] == pytest.approx(100 * (16.60 / 9.32 - 1), abs=0.2)  # 10 g on the scale


def test_tables_held_against_each_other(tmp_path):
    found = own(
        tmp_path,
        logs="log,species,small_in,length_ft,felled\n1,black walnut,14,10,2026-03-01\n,white oak,13,10,\n"
        "3,whyte ok,12,10,\n",
        boards="board,log,species,nominal,width_in,length_ft,milled\n1-1,1,black cherry,4,6,10,2026-02-01\n"
        "9-1,9,white oak,4/4,6,10,\n3-1,3,white oak,4/4,6,10,\n",
        stacks=STACKS + "N,white oak,8/4,,2035-05-01\n",
    )
    told = {(p.file, p.row, p.column): p for p in found.doubts}
    assert told["boards.csv", 2, "species"].mend == "black walnut"
    assert "It is read as 16/4" in told["boards.csv", 2, "nominal"].expected
    assert told["boards.csv", 2, "nominal"].mend == "4/4"
    assert "the day of log 1" in told["boards.csv", 2, "milled"].expected
    assert told["boards.csv", 3, "log"].expected == "a log of logs.csv, which has 1, 2"
    assert "is set aside" in told["boards.csv", 4, "log"].expected  # log 3 has a wood that nobody knows
    assert "Is the year right?" in told["stacks.csv", 3, "stacked"].expected
    assert told["stacks.csv", 3, "stacked"].mend == "2026-05-01"
    assert any("one log has no mark" in note for note in found.notes)


def test_a_stack_dated_after_all_its_readings_is_told_with_the_likely_year(tmp_path):
    found = own(tmp_path, readings=weighings(), stacks=STACKS.replace("2025-05-10", "2026-05-10"))
    [doubt] = [p for p in found.doubts if p.file == "stacks.csv"]
    assert (doubt.row, doubt.column, doubt.mend) == (2, "stacked", "2025-05-10")
    records.mend(tmp_path / "stacks.csv", doubt)
    assert own(tmp_path).problems == ()


def test_a_stack_of_the_same_letter_in_the_other_case_takes_no_readings_away(tmp_path):
    stacks = STACKS + "a,northern red oak,4/4,Madison,2026-05-10\n"
    found = own(
        tmp_path,
        readings=weighings(),
        stacks=stacks,
        logs="log,species,small_in,length_ft\nx,white oak,12,10\nX,white oak,13,10\n",
    )
    assert found.problems == () and len(found.tables["readings"]) == 6
    told = {(p.file, p.row): p for p in found.doubts}
    assert set(told) == {("stacks.csv", 3), ("logs.csv", 3)}
    assert "'A' of row 2; they are read as two stacks" in told["stacks.csv", 3].expected


@pytest.mark.parametrize("stacked", ["2024-05-10", "2023-05-10"])
def test_a_stack_that_is_still_green_a_year_later_was_stacked_another_year(tmp_path, stacked):
    found = own(tmp_path, readings=weighings(), stacks=STACKS.replace("2025-05-10", stacked))
    [doubt] = found.doubts
    assert (doubt.file, doubt.row, doubt.column, doubt.mend) == ("stacks.csv", 2, "stacked", "2025-05-10")
    assert "still tells 78 %" in doubt.expected and "Is the year right?" in doubt.expected
    records.mend(tmp_path / "stacks.csv", doubt)
    assert own(tmp_path).doubts == ()


@pytest.mark.parametrize("stacked", ["2025-04-10", "2024-11-20"])
def test_a_stack_of_the_winter_may_be_green_in_spring(tmp_path, stacked):
    doubts = own(tmp_path, readings=weighings(), stacks=STACKS.replace("2025-05-10", stacked)).doubts
    assert not any("nearer to its readings" in str(doubt) for doubt in doubts)


@pytest.mark.parametrize(
    ("data", "found"),
    [
        (b"", "an empty file"),
        (b"\n\n  \n", "an empty file"),
        (b"PK\x03\x04 and more", "a spreadsheet workbook"),
        (b"\x00\x01\x02\x00", "bytes that are no text"),
        (b"log,species,small_in,length_ft\n1,white oak,1\x002,10\n", "bytes that are no text"),
        (b"1,white oak,12,10\n2,white oak,12,10\n", "no header"),
        (b"log,species,small_in,length_ft\n", "a header and no rows"),
        (b"\x89PNG\r\n\x1a\n\xff\xfe", "no header"),
        (b"log,species,small_in,small_in,length_ft\n1,white oak,12,13,10\n", "two columns of that name"),
        (b"log,species,small_in,Diameter,length_ft\n1,white oak,12,13,10\n", "'small_in' and 'Diameter'"),
        (b"log,species,dia,Diameter (cm),length\n1,white oak,12,13,10\n", "'dia' and 'Diameter (cm)'"),
        (b"No,Tag,species,small_in,length_ft\n1,1,white oak,12,10\n", "'No' and 'Tag'"),
    ],
)
def test_a_file_that_cannot_be_used_is_one_problem(tmp_path, data, found):
    own_tables = own(tmp_path, logs=data, stacks=STACKS)
    [problem] = own_tables.problems
    assert problem.file == "logs.csv"
    assert found in problem.found
    assert list(own_tables.tables["stacks"]["stack"]) == ["A"]
    if found != "a header and no rows":
        assert "logs" not in own_tables.tables
    if found not in ("a header and no rows", "an empty file"):
        with pytest.raises(records.RecordsError):
            records.append(
                tmp_path / "logs.csv", {"species": "white oak", "small_in": 12, "length_ft": 10}, "logs"
            )
        assert (tmp_path / "logs.csv").read_bytes() == data


@pytest.mark.parametrize(
    "name", ["logs.csv.txt", "log.csv", "logs (1).csv", "LOGS.CSV", "logs", "Copy of logs.csv", "logs - Copy.csv",
             "logs_2026.csv", "loggs.csv", "logs.tsv"]
)  # fmt: skip
def test_a_table_under_nearly_the_right_name_is_named(tmp_path, name):
    (tmp_path / name).write_text("species,small_in,length_ft\nwhite oak,14,12\n")
    found = records.read_usable(tmp_path)
    if os.path.exists(tmp_path / "logs.csv"):  # a disk that makes no difference of capitals
        assert len(found.tables["logs"])
        return
    assert [str(p) for p in found.problems] == [
        f"{name}: found a file that is not read under this name; expected the name logs.csv. Rename it to logs.csv"
        + (" (Windows may hide the ending .txt)" if name.endswith("txt") else "")
    ]
    assert found.tables == {}
    (tmp_path / "logs.csv").write_text("species,small_in,length_ft\nwhite oak,14,12\n")
    found = records.read_usable(tmp_path)
    if name == "LOGS.CSV":
        assert found.problems[0].found == "a second file of that name"
    else:
        assert found.problems == () and f"{name} lies beside it and is not read" in found.notes[-1]


def test_files_that_mean_something_else_are_passed_over(tmp_path):
    for name in (
        "changelog.txt",
        "blog.csv",
        "log book.pdf",
        "board-photos.csv",
        "answers.csv",
        "plan.html",
        ".logs.csv",
    ):
        (tmp_path / name).write_text("x")
    (tmp_path / "logs").mkdir()
    (tmp_path / "stacks (1).csv").mkdir()
    found = records.read_usable(tmp_path)
    assert found.problems == () and found.notes == ()
    (tmp_path / "reading.csv").write_text("x")
    assert records.read_usable(tmp_path, tables=["logs"]).problems == ()  # told where readings are asked for


@pytest.mark.parametrize("codec", ["cp437", "cp850"])
def test_a_row_with_a_sign_of_an_old_program_is_used_and_the_sign_is_told(tmp_path, codec):
    text = "log,species,small_in,length_ft,note\n\u00fc1,white oak,14,12,b\u00fctt\n2,white oak,16,12,\n"
    (tmp_path / "logs.csv").write_bytes(text.encode(codec))
    boards = "board,log,species,nominal,width_in,length_ft\n1,\u00fc1,white oak,4/4,6,12\n"
    (tmp_path / "boards.csv").write_bytes(boards.encode(codec))
    found = records.read_usable(tmp_path)
    assert found.problems == () and found.doubts == ()
    assert found.tables["logs"][["log", "note"]].to_numpy().tolist() == [["?1", "b?tt"], ["2", ""]]
    said = [note for note in found.notes if "cannot be shown" in note]
    assert len(said) == 3 and said[1].startswith(
        "logs.csv: a sign in column note that cannot be shown is read as ?"
    )
    records.append(tmp_path / "logs.csv", ROWS["logs"])
    assert (
        (tmp_path / "logs.csv").read_bytes().startswith(text.encode(codec))
    )  # the rows that were there stay
    with pytest.raises(records.RecordsError, match="a sign in it that cannot be shown"):
        records.append(tmp_path / "logs.csv", ROWS["logs"] | {"log": "98", "note": "b\x81tt"})


def test_folders_in_the_way_missing_and_unreadable(tmp_path, monkeypatch):
    (tmp_path / "logs.csv").mkdir()
    (tmp_path / "boards.xlsx").write_bytes(b"PK\x03\x04")
    (tmp_path / "Stacks.csv").write_text(STACKS)
    (tmp_path / "stacks.csv").write_text(STACKS)
    found = records.read_usable(tmp_path)
    assert [(p.file, p.found) for p in found.problems] == [
        ("boards.xlsx", "a spreadsheet workbook"),
        ("Stacks.csv", "a second file of that name"),
        ("logs.csv", "a folder"),
    ]
    assert list(found.tables) == ["stacks"]
    monkeypatch.setenv(choices.VARIABLE, str(tmp_path / "nothing yet"))
    assert records.read_usable().problems == ()  # nothing kept yet is no fault
    assert "no such folder" in records.read_usable(tmp_path / "elsewhere").problems[0].found
    (tmp_path / "a file").write_text("x")
    assert "Rename the file" in records.read_usable(tmp_path / "a file").problems[0].expected

    def refuse(*_args, **_more):
        raise PermissionError(13, "Permission denied")

    (tmp_path / "Stacks.csv").unlink()
    monkeypatch.setattr("woodcalc.records.usable.file_bytes", refuse)
    found = records.read_usable(tmp_path, tables=["stacks"])
    assert "Permission denied" in found.problems[0].found and not found.tables
    monkeypatch.setattr(type(tmp_path), "iterdir", refuse)
    assert "cannot be read (Permission denied)" in records.read_usable(tmp_path).problems[0].found


@pytest.mark.skipif(os.name == "nt", reason="no such files there")
@pytest.mark.parametrize(
    ("kind", "found"), [("device", "a device or a pipe"), ("pipe", "a device or a pipe")]
)
def test_what_has_no_end_is_not_read(tmp_path, kind, found):
    path = tmp_path / "boards.csv"
    if kind == "pipe":
        os.mkfifo(path)
    else:
        path.symlink_to("/dev/zero")
    usable = own(tmp_path)
    assert [(p.file, p.found) for p in usable.problems] == [("boards.csv", found)] and usable.doubts == ()
    assert keep.content(path) == b""
    board = {"species": "white ash", "nominal": "4/4", "width_in": "8", "length_ft": "8"}
    for use in (records.read, lambda path: records.append(path, board)):
        with pytest.raises(InputError, match="no file but a device or a pipe"):
            use(path)


def test_a_link_to_nothing_is_told_in_words(tmp_path):
    path = tmp_path / "boards.csv"
    path.symlink_to(tmp_path / "gone" / "boards.csv")
    (problem,) = own(tmp_path).problems
    assert problem.found == "a link to a file that is gone"
    with pytest.raises(InputError, match="the file that it leads to is gone"):
        records.read(path)


def test_a_single_file_and_a_few_tables(tmp_path):
    found = records.read_usable(records.KETTLE_HOLLOW / "logs.csv")
    assert list(found.tables) == ["logs"]
    assert list(records.read_usable(records.KETTLE_HOLLOW, ["stacks", "logs"]).tables) == ["logs", "stacks"]


def test_rows_after_a_quotation_mark_that_does_not_close(tmp_path):
    text = 'log,species,small_in,length_ft,note\n1,white oak,12,10,"8"" knot"\n2,white oak,"12,10,\n'
    text += '3,white oak,12,10,"wire, 2 ft up"\n4,white oak,13,10,5" scar\n5,white oak,13,10,"5" scar\n'
    found = own(tmp_path, logs=text)
    assert list(found.tables["logs"]["log"]) == ["1", "3", "4"]
    assert [(p.row, p.found) for p in found.problems] == [
        (3, "a quotation mark that does not close"),
        (6, "a quotation mark that does not close"),
    ]


def test_cells_that_are_too_many_or_too_long(tmp_path):
    text = "log,species,small_in,length_ft,note\n1,white oak,12,5,10,wire\n2,white oak,12,10,ok,and more\n"
    text += f"3,white oak,12,10,{'x' * 131_100}\n4,white oak,12,10,\n"
    found = own(tmp_path, logs=text)
    assert list(found.tables["logs"]["log"]) == ["4"]
    assert [p.found for p in found.problems] == ["6 cells", "6 cells", "a cell of 131,100 letters"]
    for note in ("x" * 131_100, "a\0b", "\ud800"):
        with pytest.raises(records.RecordsError, match="column note"):
            row = {"species": "white oak", "small_in": 12, "length_ft": 10, "note": note}
            records.append(tmp_path / "logs.csv", row)
    assert (tmp_path / "logs.csv").read_text() == text


def test_a_mend_changes_one_cell_and_nothing_that_changed_since(tmp_path):
    text = weighings(("16.60", "14.90", "1.37", "12.70", "11.95"))
    path = tmp_path / "readings.csv"
    path.write_text(
        text.replace(",\n", ",Ada\n").replace("temp_f", "Owner").replace(",", ";").replace(".", ",")
    )
    before = path.read_text()
    [doubt] = records.read_usable(tmp_path).doubts
    records.mend(path, doubt)
    assert path.read_text() == before.replace("1,37", "13,7")
    with pytest.raises(records.ChangedError, match="now holds '13,7'"):
        records.mend(path, doubt)
    with pytest.raises(InputError, match="correct it by hand"):
        records.mend(path, dataclasses.replace(doubt, mend=""))
    with pytest.raises(records.RecordsError):
        records.mend(path, dataclasses.replace(doubt, mend="soon", cell=None))
    assert path.read_text() == before.replace("1,37", "13,7")


def test_a_mend_of_a_column_that_the_file_lacks(tmp_path):
    text = "date,stack,board,kind,value\n2025-05-10,A,1,weight,9\n2025-05-24,A,1,meter,28\n"
    other = "date,stack,board,kind,value,unit\n2025-05-10,A,1,weight,9,\n2025-05-24,A,1,weight,8,kg\n"
    found = own(tmp_path, readings=other)
    assert [(p.row, p.column, p.mend) for p in found.problems] == [(2, "unit", "kg")]
    found = own(tmp_path, readings=text)
    [problem] = found.problems
    assert (problem.row, problem.column, problem.mend) == (2, "unit", "")
    records.mend(tmp_path / "readings.csv", dataclasses.replace(problem, mend="lb"))
    assert (tmp_path / "readings.csv").read_text().splitlines() == [
        "date,stack,board,kind,value,unit",
        "2025-05-10,A,1,weight,9,lb",
        "2025-05-24,A,1,meter,28",
    ]


def test_marks_that_a_spreadsheet_spoiled(tmp_path):
    head = "board,log,species,nominal,width_in,length_ft\n"
    rest = ",white oak,4/4,6,10\n"
    certain = own(tmp_path, boards=f"{head}1-1,1{rest}2-Jan,1{rest}3-Jan,1{rest}2-Feb,2{rest}")
    assert list(certain.tables["boards"]["board"]) == ["1-1", "1-2", "1-3", "2-2"]
    assert any("'2-Jan' read as 1-2" in note for note in certain.notes)
    open_ = own(tmp_path, boards=f"{head}2-Jan,9{rest}1.00E+05,9{rest}")
    assert list(open_.tables["boards"]["board"]) == ["2-Jan", "1.00E+05"]
    assert [("1-2 or 2-1" in p.expected, p.mend) for p in open_.doubts] == [(True, ""), (False, "")]
    text = weighings(dry=DRY.replace("1-3", "3-Jan"))
    red = rest.replace("white", "northern red")
    found = own(tmp_path, boards=f"{head}1-3,1{red}", readings=text, stacks=STACKS)
    assert [(p.row, p.column, p.mend) for p in found.doubts] == [(2, "board", "1-3")]


def bad_tables():
    """Kettle Hollow's tables, spoiled in many ways: (name, table, bytes)."""
    dice = random.Random(7)
    for table in records.TABLES:
        data = (records.KETTLE_HOLLOW / f"{table}.csv").read_bytes()
        text = data.decode()
        lines = text.splitlines()
        head, rows = lines[1], lines[2:8]
        body = "\n".join([head, *rows]) + "\n"
        cells = [row.split(",") for row in rows]
        spoiled = {
            "cut": data[: len(data) // 2],
            "cut in the header": data[:120],
            "reversed": data[::-1],
            "utf-16 without a mark": body.encode("utf-16-le"),
            "utf-32": body.encode("utf-32"),
            "latin-1": (body + "9,Häckberry,1,2\n").encode("latin-1"),
            "bom twice": b"\xef\xbb\xbf\xef\xbb\xbf" + body.encode(),
            "nul": body.replace(",", ",\0", 1).encode(),
            "only nul": b"\0" * 100,
            "zip": b"PK\x03\x04" + data,
            "header only": head.encode(),
            "header twice": (head + "\n" + body).encode(),
            "header below": ("\n".join([*rows, head])).encode(),
            "no header": "\n".join(rows).encode(),
            "header with a double": (head + "," + head.split(",")[2] + "\n" + "\n".join(rows)).encode(),
            "header upper": body.replace(head, head.upper()).encode(),
            "empty header cells": body.replace(head, "," * head.count(",")).encode(),
            "quotes everywhere": body.replace(",", '","').encode(),
            "one quote": body.replace(",", ',"', 7).encode(),
            "quote at the end": (body + '"').encode(),
            "pipe": body.replace(",", "|").encode(),
            "spaces": body.replace(",", "  ").encode(),
            "tabs and semicolons": body.replace(",", "\t", 9).replace(",", ";").encode(),
            "carriage returns": body.replace("\n", "\r").encode(),
            "no end": body.rstrip("\n").encode(),
            "blank lines": body.replace("\n", "\n\n\n").encode(),
            "long": (body + "x" * 200_000).encode(),
            "long cell": (body + ",".join(["1"] * 4) + ',"' + "y" * 131_100 + '"\n').encode(),
            "many cells": (body + "1," * 5000 + "\n").encode(),
            "formulas": body.replace(",", ",=1+1", 12).encode(),
            "emoji": body.replace("oak", "🪵").encode(),
            "right to left": body.replace("oak", "\u202eoak").encode(),
            "surrogate": body.encode() + "\ud800".encode("utf-8", "surrogatepass"),
            "control signs": body.replace(",", ",\x07", 20).encode(),
            "nan": "\n".join([head, *[",".join("nan" for _ in c) for c in cells]]).encode(),
            "inf": "\n".join([head, *[",".join("1e308" for _ in c) for c in cells]]).encode(),
            "minus": "\n".join([head, *[",".join("-1" for _ in c) for c in cells]]).encode(),
            "zeros": "\n".join([head, *[",".join("0" for _ in c) for c in cells]]).encode(),
            "slashes": "\n".join([head, *[",".join("1/0" for _ in c) for c in cells]]).encode(),
            "dates": "\n".join([head, *[",".join("5/6/26" for _ in c) for c in cells]]).encode(),
            "year 1": "\n".join([head, *[",".join("0001-01-01" for _ in c) for c in cells]]).encode(),
            "year 9999": "\n".join([head, *[",".join("31/12/9999" for _ in c) for c in cells]]).encode(),
            "digits": "\n".join([head, *[",".join("9" * 5000 for _ in c) for c in cells]]).encode(),
            "the same row": "\n".join([head, *[rows[0]] * 6]).encode(),
            "a title": ("My wood\n\n" + body).encode(),
            "forty titles": ("My wood\n" * 40 + body).encode(),
            "json": b'[{"log": 1, "species": "oak"}]',
            "html": b"<table><tr><td>log</td></tr></table>",
            "python": b"import os\nprint(1)\n",
            "a lesson": b'{"cells": [], "nbformat": 4}',
        }
        for n in range(11):  # a few bytes changed anywhere
            noisy = bytearray(body.encode())
            for _ in range(dice.randrange(1, 12)):
                noisy[dice.randrange(len(noisy))] = dice.randrange(256)
            spoiled[f"noise {n}"] = bytes(noisy)
        for name, bad in spoiled.items():
            yield name, table, bad


ROWS = {
    "logs": {"log": "99", "species": "white oak", "small_in": 12, "length_ft": 10},
    "boards": {"board": "99-1", "species": "white oak", "nominal": "4/4", "width_in": 6, "length_ft": 10},
    "stacks": {"stack": "Z", "species": "white oak", "nominal": "4/4", "stacked": "2025-05-01"},
    "readings": {"date": "2025-05-01", "stack": "Z", "kind": "meter", "value": 20},
}


@pytest.mark.parametrize("table", list(records.TABLES))
def test_spoiled_tables(tmp_path, table):
    """61 spoilings of each table: sentences come back, the file stays, and no row is added to a bad file."""
    path = tmp_path / f"{table}.csv"
    count = added = 0
    for name, kind, data in bad_tables():
        if kind != table:
            continue
        count += 1
        path.write_bytes(data)
        found = records.read_usable(tmp_path, today=TODAY)
        assert path.read_bytes() == data, name
        assert all(str(p) for p in (*found.problems, *found.doubts)), name
        for stack in found.tables["readings"]["stack"].unique() if "readings" in found.tables else ():
            records.mc_readings(found.tables["readings"], stack, "white oak")
        try:
            after = records.append(path, ROWS[table])
        except (InputError, disk.SaveError):
            assert path.read_bytes() == data, name
        else:
            added += 1
            before = found.tables.get(table, ())
            again = records.read_usable(tmp_path, [table], today=TODAY)
            assert len(again.tables[table]) == len(after) == len(before) + 1, name
            assert len(again.problems) == len([p for p in found.problems if p.row]), name
            if not found.problems:
                pd.testing.assert_frame_equal(records.read(path), after)
    assert count == 61
    assert added > 20


@settings(max_examples=60, deadline=None)
@given(
    st.lists(
        st.lists(
            st.sampled_from(
                ("", "A", "1-3", "a", "weight", "meter", "oven-dry", "9.32", "16.6", "0", "-1", "lb", "kg", "%", "9999",
                 "2025-05-24", "5/6/26", "2035-01-01", "1e5", "red oak", "4/4", '"', "=1", "\u00bd", "12,5")
            ),
            min_size=1, max_size=8,
        ),
        max_size=12,
    )
)  # fmt: skip
def test_any_rows_give_tables_and_sentences(tmp_path_factory, rows):
    folder = tmp_path_factory.mktemp("any")
    text = HEAD + "".join(",".join(row) + "\n" for row in rows)
    (folder / "readings.csv").write_text(text)
    (folder / "stacks.csv").write_text(STACKS)
    found = records.read_usable(folder, today=TODAY)
    for stack in ("A", "1-3", ""):
        told = records.mc_readings(found.tables["readings"], stack, "northern red oak")
        assert told["mc_pct"].between(0, 300).all()
    assert len(found.tables["readings"]) <= len(rows)


def test_ten_thousand_rows_with_and_without_slips(tmp_path):
    """A stack of 500 boards, each weighed twenty times; then the same with a letter in every weight."""
    days = [date(2025, 6, 2) + timedelta(days=3 * n) for n in range(20)]
    text = HEAD + "".join(
        f"{day},A,{board},weight,{16 - 0.2 * n:.1f},lb,\n"
        for n, day in enumerate(days)
        for board in range(500)
    )
    found = own(tmp_path, readings=text, stacks=STACKS)
    assert len(found.tables["readings"]) == 10_000
    bad = own(tmp_path, readings=text.replace("weight,1", "weight,x"), stacks=STACKS)
    assert len(bad.problems) == 10_000


def test_many_stacks_are_looked_through_at_once(tmp_path, monkeypatch):
    """Steps are counted, not seconds: about 200 for a stack with one reading; 2,000 to pick each out of the table.

    Without those of the forecasts, which are made for so many stacks at most.
    """
    forecasts = []
    monkeypatch.setattr(usable, "stack_taught", lambda *_: forecasts.append(1) or (None, ""))
    head = "stack,species,nominal,place,stacked\n"
    for n in (1, 301):  # the first time loads what has to be loaded
        rows = "".join(f"S{i},northern red oak,4/4,Madison,2025-05-{1 + i % 27:02}\n" for i in range(n))
        readings = "".join(f"2025-{6 + i % 4:02}-15,S{i},B,meter,{29 - i % 9},%,\n" for i in range(n))
        steps = 0

        def count(frame, event, arg):
            nonlocal steps
            steps += event == "call"

        (tmp_path / "stacks.csv").write_text(head + rows)
        (tmp_path / "readings.csv").write_text(HEAD + readings)
        before = sys.getprofile()
        sys.setprofile(count)
        try:
            found = records.read_usable(tmp_path, today=TODAY)
        finally:
            sys.setprofile(before)
        assert len(found.tables["readings"]) == n and not found.problems
    assert steps < 500 * n and len(forecasts) == 1 + neighbors.JUDGED


@pytest.mark.skipif(os.name != "posix" or os.geteuid() != 0, reason="only root can become somebody else")
def test_a_folder_that_may_not_be_read(tmp_path):
    """In a child that is not root, as rights do not bind root."""
    folder = tmp_path / "my-wood"
    folder.mkdir()
    (folder / "stacks.csv").write_text(STACKS)
    folder.chmod(0o700)
    child = os.fork()
    if child == 0:
        try:
            os.setuid(65534)
            found = records.read_usable(folder)
            good = (
                len(found.problems) == 1 and "cannot be read" in found.problems[0].found and not found.tables
            )
            os._exit(0 if good else 3)
        except BaseException:
            os._exit(4)
    assert os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) == 0


# Marks as people write them, and woods that two tables tell otherwise.

WOODS = {
    "stacks": "stack,species,nominal,stacked\nA,northern red oak,4/4,2026-05-01\nB,white ash,4/4,2026-05-01\n",
    "logs": "log,species,small_in,length_ft\n1,white oak,14,8\n2,white oak,14,8\n3,northern red oak,15,8\n",
    "boards": "board,log,species,nominal,width_in,length_ft\n1-1,1,white oak,4/4,6,8\n3-1,3,northern red oak,4/4,6,8\n",
}


def metered(*marks, stack="A"):
    rows = "".join(f"2026-05-{10 + i},{stack},{mark},meter,{29 - i},%,\n" for i, mark in enumerate(marks))
    return HEAD + rows


def about(found, *columns):
    return [(p.file, p.row, p.column, p.mend) for p in found.doubts if p.column in columns]


@pytest.mark.parametrize("told_by", ["boards", "logs"])
def test_a_stack_of_another_wood_than_its_sample_board_is_asked_about(tmp_path, told_by):
    found = own(tmp_path, readings=metered("1-1", "1-1"), stacks=WOODS["stacks"], **{told_by: WOODS[told_by]})
    assert about(found, "species") == [("stacks.csv", 2, "species", "")]
    (doubt,) = [p for p in found.doubts if p.column == "species"]
    assert "expected white oak, the wood of board 1-1 in" in str(doubt)


def test_one_board_of_another_wood_in_a_stack_is_asked_about_itself(tmp_path):
    tables = {name: WOODS[name] for name in ("stacks", "boards")}
    found = own(tmp_path, readings=metered("3-1", "1-1", "3-1"), **tables)
    assert about(found, "species", "board") == [("readings.csv", 3, "board", "")]


@pytest.mark.parametrize("mark", ["Stack A", "stack a", "STACK: A", "Pile A"])
def test_the_word_before_a_mark_is_no_other_stack(tmp_path, mark):
    found = own(tmp_path, readings=metered("7", stack=mark), stacks=WOODS["stacks"])
    assert about(found, "stack") == [("readings.csv", 2, "stack", "A")]


@pytest.mark.parametrize("mark", ["3–1", "3−1", "Board 3-1", "board #3-1"])
def test_a_board_written_in_two_ways_is_one_board(tmp_path, mark):
    found = own(tmp_path, readings=metered("3-1", mark, "3-1"), stacks=WOODS["stacks"])
    assert about(found, "board") == [("readings.csv", 3, "board", "3-1")]


@pytest.mark.parametrize("mark", ["1–3", "1-3", "1 to 3", "1 & 3"])
def test_a_range_of_logs_or_boards_in_one_row_is_asked_about(tmp_path, mark):
    boards = f"{WOODS['boards']}x,{mark},white oak,4/4,6,8\n"
    found = own(tmp_path, boards=boards, logs=WOODS["logs"])
    (doubt,) = found.doubts
    assert (doubt.row, doubt.column) == (4, "log")
    assert "one log in each row, such as 1. Is it 1 to 3, or 1 and 3?" in doubt.expected
    found = own(tmp_path, readings=metered("1", mark, "3"), stacks=WOODS["stacks"], boards="", logs="")
    assert about(found, "board") == [("readings.csv", 3, "board", "")]


def test_a_board_named_by_its_log_is_no_range(tmp_path):
    found = own(tmp_path, readings=metered("1", "1-3", "3"), stacks=WOODS["stacks"].replace("northern red", "white"),
                logs=WOODS["logs"])  # fmt: skip
    assert about(found, "board") == []


def test_a_doubted_temperature_corrects_no_reading(tmp_path):
    told = {}
    for temp in ("", "-5", "70", "40"):
        found = own(tmp_path, readings=f"{HEAD}2025-07-05,A,2,meter,20,%,{temp}\n", stacks=STACKS)
        told[temp] = found.moistures("A")["mc_pct"].tolist()
        assert bool(found.doubts) == (temp == "-5")
        if found.doubts:
            assert "counts as the meter showed it, not corrected" in str(found.doubts[0])
    assert told["-5"] == told[""] == [20] and told["40"] != [20]


@pytest.mark.parametrize("typed", ["#N/A", "same", "n/a", "Eiche", "roble"])
def test_a_far_fetched_wood_is_not_offered(tmp_path, typed):
    (tmp_path / "logs.csv").write_text(f"log,species,small_in,length_ft\n1,{typed},14,12\n")
    (problem,) = usable.read_usable(tmp_path).problems
    assert not problem.mend and not problem.mends and "goes by that name" in problem.expected


@pytest.mark.parametrize(
    ("typed", "wood"),
    [
        *(("oka", "white oak"), ("popler", "yellow-poplar"), ("tulip", "yellow-poplar"), ("ickory", "pecan")),
        *(("redoak", "northern red oak"), ("bass", "American basswood"), ("hrad maple", "hard maple")),
    ],
)
def test_a_slip_of_the_pen_in_a_wood_is_offered(tmp_path, typed, wood):
    (tmp_path / "logs.csv").write_text(f"log,species,small_in,length_ft\n1,{typed},14,12\n")
    (problem,) = usable.read_usable(tmp_path).problems
    assert wood in (problem.mend, *problem.mends)


@pytest.mark.parametrize("typed", [">30", ">30%", "30+", "<6", "> 30"])
def test_the_end_of_a_meters_scale_is_no_reading(tmp_path, typed):
    row = f"2025-06-02,A,1,meter,{typed},%"
    (tmp_path / "readings.csv").write_text(f"date,stack,board,kind,value,unit\n{row}\n")
    (problem,) = usable.read_usable(tmp_path).problems
    assert not problem.mend and not problem.mends and "end of the meter's scale" in problem.expected


def test_green_wood_gains_no_weight_from_the_air_in_march_either(tmp_path):
    (tmp_path / "stacks.csv").write_text("stack,species,nominal,stacked\nA,red oak,4/4,2026-03-02\n")
    head = "date,stack,board,kind,value,unit\n2026-03-02,A,1,oven-dry,9.3,lb\n"
    weights = zip((2, 9, 16, 23, 30), (16.6, 15.8, 15.1, 16.4, 15.9), strict=True)
    rows = "".join(f"2026-03-{day:02},A,1,weight,{lb},lb\n" for day, lb in weights)
    (tmp_path / "readings.csv").write_text(head + rows)
    assert 6 in [d.row for d in usable.read_usable(tmp_path, today=date(2026, 11, 28)).doubts]
    rows = "2026-02-02,A,1,weight,10.9,lb\n2026-03-02,A,1,weight,11.5,lb\n"  # dry, in damp winter air
    (tmp_path / "stacks.csv").write_text("stack,species,nominal,stacked\nA,red oak,4/4,2025-03-02\n")
    (tmp_path / "readings.csv").write_text(head.replace("2026", "2025") + rows)
    found = usable.read_usable(tmp_path, today=date(2026, 11, 28))
    assert not [d for d in found.doubts if d.file == "readings.csv"]
