"""Sizes that each can be right and together hardly are: they are asked about, and used all the same."""

import pytest

from woodcalc import records
from woodcalc.records.questions import questions, settle
from woodcalc.records.usable import read_usable

LOGS = "log,species,small_in,large_in,length_ft\n"
BOARDS = "board,log,species,nominal,thickness_in,width_in,length_ft\n"
LOG = "1,white ash,18,19.5,12\n"


def doubts(folder, logs="", boards=""):
    for table, head, rows in (("logs", LOGS, logs), ("boards", BOARDS, boards)):
        if rows:
            (folder / f"{table}.csv").write_text(head + rows)
    found = read_usable(folder)
    assert not found.problems  # doubted, not refused
    return [(p.file, p.row, p.column) for p in found.doubts if p.column != "log" or p.file == "logs.csv"]


def test_the_demonstration_has_no_odd_sizes():
    assert read_usable(records.KETTLE_HOLLOW, ["logs", "boards"]).doubts == ()


def test_logs_in_cm_and_meters_under_bare_headers_are_asked_about(tmp_path):
    (tmp_path / "logs.csv").write_text(
        "log,species,diameter,length\n1,white ash,41,3.6\n2,white ash,38,3.6\n3,white ash,45,4.2\n"
    )
    (doubt,) = read_usable(tmp_path).doubts
    assert (doubt.row, doubt.column) == (2, "small_in") and "cm and meters" in str(doubt)
    (question,) = questions(read_usable(tmp_path))
    assert question.answers[0].says == "All in cm and m: the first is 16.1 in by 11.8 ft"
    settle(tmp_path / "logs.csv", question, question.answers[0])
    found = read_usable(tmp_path)
    assert found.tables["logs"]["small_in"].round(1).tolist() == [16.1, 15.0, 17.7]
    assert found.tables["logs"]["length_ft"].round(1).tolist() == [11.8, 11.8, 13.8]
    assert found.doubts == () and questions(found) == []


def test_one_thick_chunk_among_logs_is_not_asked_about(tmp_path):
    assert doubts(tmp_path, LOG + "2,white ash,36,37,4\n") == []


@pytest.mark.parametrize(("ends", "odd"), [("3,30,8", True), ("16,24,8", False), ("14,17,12", False)])
def test_two_ends_that_no_log_has_are_asked_about(tmp_path, ends, odd):
    assert doubts(tmp_path, f"1,white ash,{ends}\n") == ([("logs.csv", 2, "large_in")] if odd else [])


@pytest.mark.parametrize(
    ("sizes", "odd"),
    [
        ("4/4,4.25,6,8", "thickness_in"),
        ("8/4,1.06,6,8", "thickness_in"),
        ("4/4,1.125,6,8", ""),
        ("8/4,1.75,6,8", ""),
        ("4/4,0.75,6,8", ""),
        ("4/4,1,30,12", "width_in"),
        ("4/4,1,8,20", "length_ft"),
        ("4/4,1,18,12", ""),
    ],
)
def test_a_board_is_held_against_its_thickness_and_its_log(tmp_path, sizes, odd):
    assert doubts(tmp_path, LOG, f"1-1,1,white ash,{sizes}\n") == ([("boards.csv", 2, odd)] if odd else [])


@pytest.mark.parametrize(
    ("size", "feet", "asks", "mend"),
    [
        ("4/4,8.5,12", "120", "is it one board", ""),
        ("4/4,8.5,12", "0.9", "point in its right place", "8.5"),
        ("4/4,8.5,12", "85", "point in its right place", "8.5"),
        ("4/4,8.5,12", "102", "divided by 12", "8.5"),
        ("8/4,6,8", "4", "is it one board", ""),  # thickness left out
        ("4/4,8.5,12", "10", "", ""),
        ("4/4,8.5,12", "", "", ""),
        ("4/4,3,2", "1", "", ""),  # half a foot, rounded
        ("3/4,8,12", "6", "", ""),  # by its thickness; the trade counts it as an inch
        (",8.5,12", "120", "", ""),
    ],
)
def test_board_feet_are_held_against_the_size(tmp_path, size, feet, asks, mend):
    path = tmp_path / "boards.csv"
    path.write_text(f"board,species,nominal,width_in,length_ft,board_feet\n1,white ash,{size},{feet}\n")
    found = read_usable(tmp_path)
    told = [(d.column, d.mend) for d in found.doubts]
    assert told == ([("board_feet", mend)] if asks else [])
    assert all(asks in str(doubt) for doubt in found.doubts)
    if mend:
        records.mend(path, found.doubts[0])
        assert read_usable(tmp_path).doubts == ()


def test_boards_that_are_more_than_their_log_are_asked_about_at_the_log(tmp_path):
    rows = [f"1-{i},1,white ash,4/4,1,11.5,12\n" for i in range(39)]
    assert doubts(tmp_path, LOG, "".join(rows)) == [("logs.csv", 2, "log")]
    assert doubts(tmp_path, LOG, "".join(rows[:16])) == []


IN_CM = (
    "log,species,{},length_ft\n1,white ash,41,12\n2,white ash,36,10\n3,white ash,47,12\n4,white ash,30,8\n"
)


@pytest.mark.parametrize("head", ["small_in", "diameter", "Small end"])
def test_diameters_that_would_be_ordinary_in_cm_are_asked_about_and_used(tmp_path, head):
    path = tmp_path / "logs.csv"
    path.write_text(IN_CM.format(head))
    found = read_usable(tmp_path)
    assert found.problems == found.doubts == () and found.tables["logs"]["small_in"].tolist() == [
        41,
        36,
        47,
        30,
    ]
    (question,) = questions(found)
    assert question.asks.startswith(
        "The small ends are 30 to 47: very big logs in inches, ordinary ones in cm."
    )
    settle(path, question, question.answers[0])
    assert read_usable(tmp_path).tables["logs"]["small_in"].round(1).tolist() == [16.1, 14.2, 18.5, 11.8]
    assert questions(read_usable(tmp_path)) == []


def test_big_logs_in_inches_are_asked_about_once(tmp_path):
    path = tmp_path / "logs.csv"
    path.write_text(IN_CM.format("small_in"))
    (question,) = questions(read_usable(tmp_path))
    settle(path, question, question.answers[1])
    found = read_usable(tmp_path)
    assert found.tables["logs"]["small_in"].tolist() == [41, 36, 47, 30] and questions(found) == []
    records.append(path, {"log": "5", "species": "white ash", "small_in": 33, "length_ft": 10})
    assert questions(read_usable(tmp_path)) == []


@pytest.mark.parametrize("ends", [(40, 41), (40, 14, 16, 18), (18, 22, 25, 20)])
def test_a_big_butt_or_two_are_not_asked_about(tmp_path, ends):
    rows = "".join(f"{i},white ash,{end},12\n" for i, end in enumerate(ends))
    (tmp_path / "logs.csv").write_text(f"log,species,small_in,length_ft\n{rows}")
    assert questions(read_usable(tmp_path)) == []


HEAD = "log,species,small_in,length_ft\n"


def logs_of(folder, rows, head=HEAD):
    (folder / "logs.csv").write_text(head + "".join(f"{i},red oak,{row}\n" for i, row in enumerate(rows, 1)))
    return records.read_usable(folder)


@pytest.mark.parametrize("rows", [("14,3.66", "15,3.05", "16,2.44", "13,4.27"), ("14,3", "15,4", "16,5")])
def test_lengths_that_may_be_in_meters_are_asked_about_until_the_header_says(tmp_path, rows):
    found = logs_of(tmp_path, rows)
    (asked,) = questions(found)
    assert "very short logs in feet, ordinary ones in meters" in asked.asks
    first = float(rows[0].partition(",")[2])
    for answer, length in zip(asked.answers, (first / 0.3048, first), strict=True):
        found = logs_of(tmp_path, rows)
        settle(tmp_path / "logs.csv", questions(found)[0], answer)
        found = records.read_usable(tmp_path)
        assert found.tables["logs"]["length_ft"].iloc[0] == pytest.approx(length, abs=1e-9) and not questions(
            found
        )


def test_one_length_in_meters_among_feet_and_one_log_in_inches_under_cm(tmp_path):
    found = logs_of(tmp_path, ("14,12", "15,3.05", "16,10", "13,12"))
    assert [(d.row, d.column, d.mend) for d in found.doubts] == [(3, "length_ft", "10")]
    assert "Was it measured in meters?" in found.doubts[0].expected
    assert not logs_of(tmp_path, ("14,12", "15,3.5", "16,10", "13,12")).doubts  # a short log
    head = "log,species,small (cm),length (m)\n"
    found = logs_of(tmp_path, ("36,3.66", "41,3.05", "14,12", "38,4.27"), head)
    assert [(d.row, d.column, d.mend) for d in found.doubts] == [(4, "small_in", "")]
    assert "Then it is 14 in by 12 ft." in found.doubts[0].expected
