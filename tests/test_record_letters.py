"""Files that a spreadsheet or an older program spoiled: they read right, and a save changes no other row."""

import pandas as pd
import pytest

from woodcalc import records
from woodcalc.records.sheet import Sheet, file_bytes
from woodcalc.records.usable import mends_well, read_usable

STACKS = "stack,species,nominal,place,stacked\nSüd,northern red oak,4/4,Madison,2025-05-10\n"
READINGS = "date,stack,board,kind,value,unit,note\n"
ROW = "2025-07-05,Süd,1,meter,{value},%,{note}\n"
MORE = {"date": pd.Timestamp("2025-08-02"), "stack": "Süd", "board": "2", "kind": "meter", "value": 21.0}


def test_one_line_of_an_older_program_spoils_no_other(tmp_path):
    (tmp_path / "stacks.csv").write_bytes(STACKS.encode())
    path = tmp_path / "readings.csv"
    lines = [READINGS.encode(), ROW.format(value=28, note="naß").encode()]
    lines += [ROW.format(value=25, note="68 °F").encode("cp1252"), ROW.format(value=24, note="grün").encode()]
    path.write_bytes(b"".join(lines))
    found = read_usable(tmp_path)
    assert found.problems == found.doubts == () and not found.waiting
    assert found.tables["readings"]["note"].tolist() == ["naß", "68 °F", "grün"]
    assert any(
        "one line ('2025-07-05,Süd,1,meter,25,%,68 °F') was written by an older program" in n
        for n in found.notes
    )
    records.append(path, MORE)
    assert path.read_bytes().startswith(b"".join(lines))
    again = read_usable(tmp_path).tables["readings"]
    assert again["note"].tolist()[:3] == ["naß", "68 °F", "grün"] and len(again) == 4


@pytest.mark.parametrize("bom", [b"", b"\xef\xbb\xbf"])
def test_a_stray_byte_survives_beside_a_mark_of_utf_8(tmp_path, bom):
    data = (
        bom
        + (READINGS + ROW.format(value=28, note="ok")).encode()
        + ROW.format(value=20, note="é").encode("cp1252")
    )
    sheet = Sheet.parse(data, "readings.csv", "readings")
    assert sheet.data == data and sheet.cell(3, "note") == "é" and sheet.cell(2, "stack") == "Süd"


def test_a_byte_that_stands_for_nothing_spoils_no_letter(tmp_path):
    path = tmp_path / "readings.csv"
    data = (READINGS + ROW.format(value=28, note="3 € – “wet”")).encode(
        "cp1252"
    ) + b"2025-07-06,A,1,meter,27,%,\x81\x9d\n"
    path.write_bytes(data)
    assert Sheet.parse(data, path.name, "readings").data == data
    records.append(path, MORE)
    assert path.read_bytes().startswith(data)
    sheet = Sheet.parse(file_bytes(path), path.name, "readings")
    assert sheet.cell(2, "note") == "3 € – “wet”" and sheet.cell(4, "stack") == "Süd"


BOARDS = "board,log,species,nominal,thickness_in,width_in,length_ft\n"


@pytest.mark.parametrize(
    ("head", "row", "column", "mend"),
    [
        (BOARDS, "1-1,1,white oak,4/4,1,125,8,12", "thickness_in", "1.125"),
        (BOARDS, "1-1,1,white oak,4/4,1,8,5,12", "width_in", "8.5"),
        (BOARDS.replace("\n", ",note\n"), "1-1,1,white oak,4/4,1,125,8,12,", "thickness_in", "1.125"),
    ],
)
def test_a_decimal_comma_in_a_file_with_commas_is_joined_by_a_press(tmp_path, head, row, column, mend):
    path = tmp_path / "boards.csv"
    path.write_text(f"{head}{row}\n1-2,1,white oak,4/4,1.125,8,12\n")
    found = read_usable(tmp_path)
    if column == "width_in":  # 1,8 and 5,12 could be meant as well
        assert not any(p.mend for p in found.problems) and found.problems
        assert "Write the row anew in the form" in str(found.problems[0])
        return
    (problem,) = found.problems
    assert (problem.row, problem.column, problem.mend) == (2, column, mend) and mends_well(found, problem)
    records.mend(path, problem)
    after = read_usable(tmp_path)
    assert after.problems == after.doubts == ()
    assert after.tables["boards"].loc[2, ["thickness_in", "width_in", "length_ft"]].tolist() == [1.125, 8, 12]


def test_a_thickness_turned_into_a_short_date_is_asked_about_and_mended(tmp_path):
    path = tmp_path / "boards.csv"
    path.write_text(BOARDS + "".join(f"1-{i},1,white oak,04/04/26,,8,12\n" for i in range(1, 10)))
    found = read_usable(tmp_path)
    assert len(found.problems) == 9
    assert "a spreadsheet took it for a date. Is 4/4 meant?" in str(found.problems[0])
    assert {p.mend for p in found.problems} == {"4/4"} and mends_well(found, *found.problems)


def test_board_marks_turned_into_dates_are_noted_once(tmp_path):
    (tmp_path / "boards.csv").write_text(
        BOARDS + "".join(f"{i}-Jan,1,white oak,4/4,,8,12\n" for i in range(2, 12))
    )
    notes = [n for n in read_usable(tmp_path).notes if "took for a date" in n]
    assert notes == ["boards.csv: 10 boards like '2-Jan' read as 1-2, which a spreadsheet took for a date"]


LOGS = "log,species,small_in,length_ft,note\n1,red oak,14.5,12,\n2,white ash,15,10,limby\n"
WHOLE = (
    "log,species,small_in,large_in,length_ft,trim_in,sweep_in,defect_pct,note\n"
    "1,red oak,14.5,17,12,4,0,0,\n2,red oak,13.5,16,12,4,0,0,butt\n"
)


@pytest.mark.parametrize(
    ("head", "row", "column", "mend", "reads"),
    [
        (
            LOGS,
            "3,red oak,14,5,12,",
            "small_in",
            "14.5",
            [14.5, 12],
        ),  # the comma at the end lets the cells shift
        (LOGS, "3,red oak,14,5,12", "small_in", "14.5", [14.5, 12]),  # 14 by 5 ft, with a note that says 12
        (WHOLE, "3,red oak,14,15,5,12", "large_in", "15.5", [14, 12]),  # 5 ft long, 12 in of trim
        (WHOLE, "3,red oak,13.5,,15,10,4,0,0,", "all", "", None),  # a comma twice, or 4.0 in of bow
        (LOGS.replace("12", "10"), "3,red oak,14,5,5", "note", "", None),
    ],
)
def test_a_row_that_a_comma_shifts_is_asked_about(tmp_path, head, row, column, mend, reads):
    path = tmp_path / "logs.csv"
    path.write_text(f"{head}{row}\n")
    found = read_usable(tmp_path)
    (problem,) = found.problems
    assert (problem.row, problem.column, problem.mend) == (4, column, mend)
    assert "comma" in str(problem) and len(found.tables["logs"]) == 2
    if mend:
        records.mend(path, problem)
        after = read_usable(tmp_path)
        assert after.problems == after.doubts == ()
        assert after.tables["logs"].loc[4, ["small_in", "length_ft"]].tolist() == reads


@pytest.mark.parametrize(
    "row",
    [
        "3,red oak,14,12,,",
        "3,red oak,14,12",
        "3,red oak,14.5,12,split",
        "3,red oak,14.5,8,99",
        '3,red oak,14,8,"10"',
    ],
)
def test_a_row_that_can_be_read_but_one_way_is_read(tmp_path, row):
    (tmp_path / "logs.csv").write_text(f"{LOGS}{row}\n")
    found = read_usable(tmp_path)
    assert found.problems == found.doubts == () and len(found.tables["logs"]) == 3


def test_commas_at_the_end_of_every_row_are_no_slip(tmp_path):
    (tmp_path / "logs.csv").write_text(
        "".join(f"{line},\n" for line in f"{LOGS}3,red oak,14,8,".splitlines())
    )
    found = read_usable(tmp_path)
    assert found.problems == found.doubts == () and len(found.tables["logs"]) == 3


def test_a_note_that_is_a_number_is_a_note_where_the_form_wrote_it(tmp_path):
    path = tmp_path / "logs.csv"
    path.write_text(LOGS)
    values = records.problems_in(
        {"species": "red oak", "small_in": "14", "length_ft": "8", "note": "10"}, "logs"
    )[0]
    records.append(path, values)
    assert path.read_text().endswith(',"10"\n')
    found = read_usable(tmp_path)
    assert found.problems == found.doubts == () and found.tables["logs"]["note"].tolist()[-1] == "10"
    records.mend(path, records.Problem("logs.csv", 4, "length_ft", "", "", "10", cell="8"))
    assert path.read_text().endswith(',"10"\n') and not read_usable(tmp_path).problems


@pytest.mark.parametrize("left", [b"250,red\0oak,14,12\n", b"\0" * 18])
def test_a_row_with_empty_bytes_is_set_aside_and_the_others_are_used(tmp_path, left):
    path = tmp_path / "logs.csv"
    rows = b"".join(b"%d,red oak,14,12\n" % n for n in range(1, 501))
    data = b"log,species,small_in,length_ft\n" + rows.replace(b"250,red oak,14,12\n", left)
    path.write_bytes(data)
    found = read_usable(tmp_path)
    assert len(found.tables["logs"]) == 500 - (1 if b"," in left else 2)
    assert [(p.row, "empty bytes" in str(p)) for p in found.problems] == [(251, True)]
    records.append(path, {"species": "red oak", "small_in": 14, "length_ft": 12})
    assert path.read_bytes().startswith(data)


@pytest.mark.parametrize("mark", ["+1", ".5", "5.", "1 000", "1,000", "1%", "$1", "1:1"])
def test_a_mark_that_a_spreadsheet_would_change_is_written_so_that_it_leaves_it(tmp_path, mark):
    path = tmp_path / "logs.csv"
    records.append(path, {"log": mark, "species": "red oak", "small_in": 14, "length_ft": 12})
    assert f"'{mark}" in path.read_text() and records.read(path)["log"].tolist() == [mark]


def test_a_log_length_with_inches_is_remarked_on_once(tmp_path):
    path = tmp_path / "logs.csv"
    path.write_text(
        'log,species,small_in,length_ft\n1,red oak,14,"12\' 4"""\n2,red oak,14,"8\' 6"""\n3,white ash,14,10\n'
    )
    notes = [note for note in records.read(path).attrs["notes"] if "trim" in note]
    assert notes == [
        "12' 4\" is read as a log of 12 ft and 4 in. If the 4 in are trim, write 12 as its length and 4 as its trim"
    ]
