"""Which rows are believed: the fewest that explain what does not fit are asked about, and the right ones are used."""

from datetime import date

import pytest

from woodcalc.plan.steps import reading_step
from woodcalc.records import usable
from woodcalc.records.usable import mends_well, read_usable

TODAY = date(2026, 11, 1)
HEAD = "date,stack,board,kind,value,unit,temp_f\n"
STACKS = "stack,species,nominal,place,stacked\nA,northern red oak,4/4,{place},2025-05-10\n"
DAYS = ("2025-05-10", "2025-05-24", "2025-06-07", "2025-06-21", "2025-07-05", "2025-07-19")
POUNDS = (16.60, 14.90, 13.70, 12.70, 11.95, 11.55)  # Kettle Hollow's board 1-3, 9.32 lb oven-dry (invented)


def weighed(dry, pounds=POUNDS, units=("lb",) * 6, board="1-3"):
    rows = [("2025-05-10", "oven-dry", f"{dry}", "lb"), *zip(DAYS, ["weight"] * 6, map(str, pounds), units)]  # noqa: B905
    return [f"{day},A,{board},{kind},{value},{unit},\n" for day, kind, value, unit in rows]


def judged(folder, *lines, place="Madison", **tables):
    (folder / "stacks.csv").write_text(tables.pop("stacks", STACKS.format(place=place)), encoding="utf-8")
    (folder / "readings.csv").write_text(HEAD + "".join(lines), encoding="utf-8")
    for name, text in tables.items():
        (folder / f"{name}.csv").write_text(text, encoding="utf-8")
    return read_usable(folder, today=tables.pop("today", TODAY))


def accused(found):
    return [(p.row, p.rivals) for p in (*found.problems, *found.doubts) if p.file == "readings.csv"]


def mends(found):
    return [p for p in (*found.problems, *found.doubts) if p.mend and mends_well(found, p)]


@pytest.mark.parametrize("share", [1.18, 1.2])
def test_an_oven_dry_weight_too_high_is_the_one_row_asked_about(share, tmp_path):
    """Outdoors in Madison the driest usual month leaves wood at 12.8 %."""
    found = judged(tmp_path, *weighed(round(9.32 * share, 2), pounds=(*POUNDS[:4], 11.60, 11.30)))
    assert accused(found) == [(2, ())] and not mends(found)
    [doubt] = [p for p in found.doubts if p.file == "readings.csv"]
    assert "wood outdoors in Madison hardly gets below 8 %" in str(doubt) and "bone dry" in str(doubt)
    assert "a kiln or a heated room, all is well" in str(doubt)


def test_a_board_that_came_into_the_house_is_good_to_know_and_used_as_it_is(tmp_path):
    inside = (
        "2025-11-15,A,1-1,weight,10.1,lb,\n",
        "2025-12-06,A,1-1,weight,9.9,lb,\n",
        "2025-12-20,A,1-1,weight,9.85,lb,\n",
    )
    for n, told in ((2, "or its oven-dry weight in row 2"), (3, "looks too high")):
        found = judged(tmp_path, *to_the_end("1-1", 9.32), *inside[:n])
        assert not found.doubts and not found.problems and not found.left_out
        assert (
            told in found.remarks[0] and found.remarks[0].endswith("all is well.") and len(found.remarks) == 1
        )
        assert {found.verdict("readings.csv", row) for row in range(2, 10 + n)} == {"used"}
        assert list(found.moistures("A")["sure"]) == [True] * (7 + n)


def test_a_weighing_below_outdoors_that_is_not_the_last_is_still_asked_about(tmp_path):
    low = "2025-10-18,A,1-1,weight,9.9,lb,\n"
    found = judged(tmp_path, *to_the_end("1-1", 9.32), low)
    assert any(10 in (row, *rivals) for row, rivals in accused(found)) and not found.remarks


def test_in_a_dry_place_the_same_weights_are_believed(tmp_path):
    found = judged(tmp_path, *weighed(10.4, pounds=(*POUNDS[:4], 11.60, 11.20)), place='"Phoenix, AZ"')
    assert accused(found) == []


@pytest.mark.parametrize("dry", [16.4, 16.6, 20, 16.2])
def test_of_one_weighing_and_its_oven_dry_weight_neither_is_accused_alone(dry, tmp_path):
    found = judged(tmp_path, *weighed(dry, pounds=POUNDS[:1]))
    rows = {row for row, _ in accused(found)} | {row for _, rivals in accused(found) for row in rivals}
    assert rows == {2, 3} and not mends(found)
    assert found.verdict("readings.csv", 2) == found.verdict("readings.csv", 3) != "used"


@pytest.mark.parametrize("kilos", [(2, 3), (3, 4, 5), (1, 2, 3, 4, 5), (0, 1, 2, 3), (0, 5)])
def test_kilograms_in_several_rows_do_not_accuse_a_right_oven_dry_weight(kilos, tmp_path):
    pounds = [round(p * 0.45359237, 2) if i in kilos else p for i, p in enumerate(POUNDS)]
    found = judged(tmp_path, *weighed(9.32, pounds=pounds))
    assert [row for row, _ in accused(found)] == [3 + i for i in kilos]
    assert all("weighed in kg" in str(p) for p in found.doubts) and found.verdict("readings.csv", 2) == "used"


def test_kilograms_in_every_row_name_the_oven_dry_weight_beside_them(tmp_path):
    found = judged(tmp_path, *weighed(9.32, pounds=[round(p * 0.45359237, 2) for p in POUNDS]))
    assert accused(found) == [(2, (3, 4, 5, 6, 7, 8))] and not mends(found)
    [doubt] = found.doubts
    assert doubt.says.endswith("Were they weighed in kg, or is that weight wrong?")


SLASHED = ("5/10/2025", "5/24/2025", "6/7/2025", "6/21/2025", "7/5/2025", "7/19/2025")


@pytest.mark.parametrize("odd", ["21/6/2025", "21/6/25"])
def test_one_date_in_another_order_is_named_and_the_others_are_used(odd, tmp_path):
    rows = weighed(9.32)
    rows = [
        row.replace(day, text) for row in rows for day, text in zip(DAYS, SLASHED, strict=True) if day in row
    ]
    found = judged(tmp_path, *[row.replace("6/21/2025", odd) for row in rows])
    assert accused(found) == [(6, ())] and len(found.tables["readings"]) == 7
    [mend] = mends(found)
    assert (mend.row, mend.column, mend.mend) == (6, "date", "2025-06-21")
    assert "The day stands first here, and it is read as 21 June 2025" in mend.expected
    assert found.verdict("readings.csv", 6) == "used, but doubtful"


def test_dates_in_two_orders_are_left_to_the_learner(tmp_path):
    text = HEAD + "".join(
        f"{day},A,2,meter,{25 - i},%,\n" for i, day in enumerate(("5/24/25", "21/6/25", "6/7/25"))
    )
    found = judged(tmp_path, text.removeprefix(HEAD))
    assert accused(found) == [(4, ())]


@pytest.mark.parametrize("today", [date(2025, 6, 12), date(2025, 3, 1), date(2000, 1, 1), date(1970, 1, 1)])
def test_a_clock_that_is_behind_is_told_once_and_no_row_is_accused(today, tmp_path):
    judged(tmp_path, *weighed(9.32))
    found = read_usable(tmp_path, today=today)
    assert not found.problems and len(found.tables["readings"]) == 7
    [doubt] = found.doubts
    assert doubt.row is None and not doubt.mend
    assert (
        f"clock says {today.day} {today:%B %Y}, which is before your newest rows, up to 19 July 2025"
        in str(doubt)
    )
    assert all(found.verdict("readings.csv", row) == "used" for row in range(2, 9))


def test_years_that_are_slips_are_still_set_aside(tmp_path):
    for change in (
        {"2025-06-07": "2035-06-07"},
        {"2025-06-07": "2027-06-07", "2025-06-21": "2027-06-21"},
        {"2025-07-05": "2062-07-05", "2025-07-19": "2062-07-19"},
    ):
        rows = "".join(weighed(9.32))
        for day, slip in change.items():
            rows = rows.replace(day, slip)
        found = judged(tmp_path, rows)
        assert [p.mend for p in found.problems] == list(change) and not found.doubts, change


def every_way(folder):
    """The verdicts on the readings, whichever tables a page asks for."""
    asked = (None, ["readings"], ["stacks", "readings"], ["logs", "readings"])
    found = [read_usable(folder, tables, TODAY) for tables in asked]
    rows = range(2, 2 + len(found[0].tables["readings"]) + len(found[0].problems))
    told = [{row: each.verdict("readings.csv", row) for row in rows} for each in found]
    doubts = [[str(p) for p in each.doubts if p.file == "readings.csv"] for each in found]
    assert all(each == told[0] for each in told) and all(each == doubts[0] for each in doubts)
    return told[0]


def test_a_page_that_asks_for_fewer_tables_gives_the_same_verdicts(tmp_path):
    meter = "2025-06-07,A,2-4,meter,3,%,\n2025-06-21,A,1-1,meter,28,%,\n"
    judged(
        tmp_path,
        *weighed(9.32),
        meter,
        logs="log,species,small_in,length_ft\n1,white oak,14,12\n",
        boards="board,log,species,nominal,width_in,length_ft\n2-4,1,white oak,4/4,8,12\n",
    )
    assert every_way(tmp_path)[9] == "left out"
    assert not read_usable(tmp_path, ["logs"], TODAY).doubts


def test_only_readings_that_are_used_are_told_and_the_last_is_one_that_does_not_look_wrong(tmp_path):
    late = "2025-07-30,A,1-3,weight,12.60,lb,\n"  # heavier than the two before
    found = judged(tmp_path, *weighed(9.32), late, "2025-08-01,A,2-4,meter,3,%,\n")
    assert (
        found.verdict("readings.csv", 9) == "used, but doubtful"
        and found.verdict("readings.csv", 10) == "left out"
    )
    told = found.moistures("A")
    assert list(told["sure"]) == [True] * 6 + [False] and 3.0 not in list(told["mc_pct"])
    assert round(found.last_sure("A").mc_pct) == 24 and found.last_sure("B") is None
    every_way(tmp_path)
    stack = next(found.tables["stacks"].itertuples())
    step = reading_step({"A": usable.stack_taught(stack, told[told["sure"]])[0]}, found)
    assert list(step.table["last"]) == ["24 % on 19 Jul 2025"]


def test_weighings_far_down_the_file_that_are_left_out_wait_on_no_page(tmp_path):
    rows = [
        f"2025-{5 + i // 28:02}-{1 + i % 28:02},A,1-3,weight,{16.6 - 0.04 * i:.2f},lb,\n"
        for i in range(10, 90)
    ]
    found = judged(tmp_path, *rows, "2025-08-10,A,1-3,weight,1.31,lb,\n")
    assert every_way(tmp_path)[82] == "left out" and 82 not in found.waiting
    assert found.waits_for_weights["A"][0].startswith("80 weighings of board 1-3 since 2025-05-11 wait")


def second(share):
    """Another board beside 1-3, lighter or heavier all along."""
    return weighed(round(9.32 * share, 2), [round(p * share, 2) for p in POUNDS], board="2-9")


def without_board(rows, day):
    return [row.replace(",1-3,weight", ",,weight") if row.startswith(day) else row for row in rows]


@pytest.mark.parametrize("day", DAYS[1:])
@pytest.mark.parametrize("share", [0.7, 1.3])
def test_a_forgotten_board_number_is_asked_for_with_the_one_board_that_goes_on(day, share, tmp_path):
    rows = without_board(weighed(9.32), day)
    found = judged(tmp_path, *rows, *second(share))
    row = 3 + DAYS.index(day)
    [doubt] = found.doubts
    assert doubt.row == row and doubt.says.startswith("No board given in this row. Board 1-3 or 2-9?")
    assert found.verdict("readings.csv", row) == "waits for the board's number"
    taken = {(p.row, p.column, p.mend) for p in mends(found)}
    assert taken <= {(row, "board", "1-3")} and len(found.moistures("A")) == 11
    # a board is weighed once a day: the other one has its weighing of that day already
    assert taken or day == DAYS[0]


def test_a_weighing_of_no_board_is_dried_by_no_other_boards_weight(tmp_path):
    rows = [row.replace(",1-3,oven-dry", ",,oven-dry") for row in weighed(9.32)]
    found = judged(tmp_path, *rows)
    assert {*found.waiting.values()} == {("the board's oven-dry weight",), ("the board's number",)}
    assert found.moistures("A").empty and found.doubts[0].says == "No board given in this row. Board 1-3?"


def test_a_stack_whose_weighings_name_no_board_at_all_is_one_board(tmp_path):
    found = judged(tmp_path, *[row.replace(",1-3,", ",,") for row in weighed(9.32)])
    assert not found.doubts and len(found.moistures("A")) == 6


def test_a_nameless_board_with_weights_of_its_own_stays_beside_the_named(tmp_path):
    found = judged(tmp_path, *[row.replace(",1-3,", ",,") for row in weighed(9.32)], *second(0.7))
    assert not found.doubts and len(found.moistures("A")) == 12


TWO = STACKS.format(place="Madison") + "B,{wood},4/4,Madison,2025-06-02\n"
BOARDS = "board,log,species,nominal,width_in,length_ft\n1-3,1,northern red oak,4/4,8,12\n5-1,5,black walnut,4/4,8,12\n"
OF_B = [
    f"{day},B,5-1,meter,{mc},%,\n" for day, mc in (("2025-07-05", 32), ("2025-07-19", 27), ("2025-08-02", 23))
]


@pytest.mark.parametrize("boards", [BOARDS, None])
@pytest.mark.parametrize("k", [0, 1, 2])
def test_a_board_filed_under_another_stack_is_named_with_its_own(k, boards, tmp_path):
    rows = [row.replace(",B,", ",A,") if i == k else row for i, row in enumerate(OF_B)]
    tables = {"stacks": TWO.format(wood="black walnut")} | ({"boards": boards} if boards else {})
    found = judged(tmp_path, *weighed(9.32), *rows, **tables)
    [doubt] = [p for p in found.doubts if p.file == "readings.csv"]
    assert (doubt.row, doubt.column, doubt.mend) == (9 + k, "stack", "B") and mends(found) == [doubt]
    assert found.verdict("readings.csv", 9 + k) == "left out" and "Is B meant?" in str(doubt)
    every_way(tmp_path)


def test_a_weighing_filed_under_a_stack_that_was_not_built_yet_is_named(tmp_path):
    rows = [row.replace(",A,", ",B,") if row.startswith("2025-05-24") else row for row in weighed(9.32)]
    found = judged(tmp_path, *rows, *OF_B, stacks=TWO.format(wood="black walnut"))
    [problem] = found.problems
    assert (problem.row, problem.column, problem.mend) == (4, "stack", "A") and mends(found) == [problem]


def test_boards_numbered_anew_in_each_stack_are_no_strangers(tmp_path):
    rows = [f"2025-06-{day:02},A,{n},meter,{40 - day},%,\n" for n in (1, 2, 3) for day in (5, 12, 19)]
    fresh = [f"2025-06-20,B,{n},meter,35,%,\n" for n in (1, 2, 3)]
    for more in (fresh, fresh[:1], ["2025-06-20,B,1,weight,12,lb,\n2025-06-20,B,1,oven-dry,8,lb,\n"]):
        assert not judged(tmp_path, *rows, *more, stacks=TWO.format(wood="white oak")).doubts


def test_a_mend_in_a_long_table_is_judged_by_its_own_stack_as_by_the_whole(tmp_path, monkeypatch):
    stacks = STACKS.format(place="Madison") + "".join(
        f"S{n},northern red oak,4/4,Madison,2025-05-10\n" for n in range(80)
    )
    rows = [row.replace(",A,", f",S{n},") for n in range(80) for row in weighed(9.32, board=f"{n}-1")]
    rows[2] = rows[2].replace("14.9", "1.49")
    rows[10] = rows[10].replace("13.7", "137")
    rows[15] = rows[15].replace("16.6,lb", "16.6,kg")
    rows[26] = rows[26].replace("2025-07-05", "2035-07-05")
    rows[40] = rows[40].replace(",S5,", ",S7,").replace("12.7", "127")
    found = judged(tmp_path, *rows, *weighed(9.32), stacks=stacks)
    about = [p for p in (*found.problems, *found.doubts) if p.mend and p.row]
    monkeypatch.setattr(usable, "stack_taught", lambda *_: (None, ""))
    in_parts = [mends_well(found, p) for p in about]
    monkeypatch.setattr(usable, "_FEW", 10_000)
    assert in_parts == [mends_well(found, p) for p in about] and len(about) >= 4 and any(in_parts)


@pytest.mark.parametrize(("dry", "rows"), [(11.7, (8,)), (11.97, (7, 8))])
def test_weighings_under_a_wrong_oven_dry_weight_are_named_beside_it_and_not_alone(dry, rows, tmp_path):
    """The third fortnight was quicker than the second: a weighing may be off as well."""
    found = judged(tmp_path, *weighed(dry, (16.60, 14.90, 14.00, 12.90, 11.95, 11.55)))
    assert accused(found) == [(2, rows)] and not mends(found)
    named = " and ".join(map(str, rows))
    assert f"{'are the weighings in rows' if rows[1:] else 'is the weighing in row'} {named} wrong?" in str(
        [*map(str, found.doubts)]
    )
    assert found.left_out == rows and found.verdict("readings.csv", 2) == "used, but doubtful"


@pytest.mark.parametrize("dry", [11.7, 11.97, 13.2])
def test_weighings_that_slow_down_evenly_are_not_named_beside_a_wrong_oven_dry_weight(dry, tmp_path):
    found = judged(tmp_path, *weighed(dry))
    assert accused(found) == [(2, ())] and found.verdict("readings.csv", 2) == "left out"


LATE = ("2025-05-10", "2025-06-07", "2025-07-05", "2025-08-02", "2025-09-06", "2025-10-04", "2025-11-01")
DOWN = (16.6, 13.7, 12.2, 11.3, 10.85, 10.7, 10.6)  # board 1-1, 9.32 lb oven-dry, to 13.7 % (invented)


def to_the_end(board, dry, share=1.0, pounds=DOWN, days=LATE):
    rows = [f"{day},A,{board},weight,{p * share:.2f},lb,\n" for day, p in zip(days, pounds, strict=True)]
    return [f"2025-05-10,A,{board},oven-dry,{dry:.2f},lb,\n", *rows]


@pytest.mark.parametrize("k", [0.95, 0.93, 0.9, 0.87, 0.85])
def test_of_two_boards_that_stop_far_apart_the_one_off_the_air_has_its_oven_dry_row_named(k, tmp_path):
    rows = [*to_the_end("1-1", 9.32), *to_the_end("1-2", 9.32 * 0.8 * k, 0.8)]
    found = judged(tmp_path, *rows)
    [doubt] = found.doubts
    assert (doubt.file, doubt.row, doubt.rivals, doubt.mend) == ("readings.csv", 10, (), "")
    assert "board 1-2 comes to" in str(doubt) and "board 1-1 to 14 %" in str(doubt)
    assert "Is the oven-dry weight of board 1-2, in row 10, right" in str(doubt)
    # a third right board makes no other row wrong
    more = judged(tmp_path, *rows, *to_the_end("1-3", 9.32 * 1.1, 1.1))
    assert accused(more) == [(10, ())]


def test_where_the_air_does_not_tell_which_of_two_boards_is_off_both_are_named(tmp_path):
    rows = [*to_the_end("1-1", 9.32 * 0.955), *to_the_end("1-2", 9.32 * 0.8 * 1.025, 0.8)]
    found = judged(tmp_path, *rows)
    assert accused(found) == [(10, (2,))] and not mends(found)
    assert "board 1-2 comes to 11 % and board 1-1 to 19 %" in str(found.doubts[0])


def test_a_board_that_is_only_slower_is_not_asked_about(tmp_path):
    slow = [9.32 * (1 + mc / 100) for mc in (78, 62, 49, 39, 30, 25.5, 22.5)]
    found = judged(tmp_path, *to_the_end("1-1", 9.32), *to_the_end("1-2", 9.32, pounds=slow))
    assert not found.doubts
    # nor are boards that are far apart while both still dry
    found = judged(tmp_path, *to_the_end("1-1", 9.32)[:5], *to_the_end("1-2", 8.5)[:5])
    assert not found.doubts


def rows_of(board, dry, pairs, unit):
    rows = [f"{day},A,{board},weight,{value},{unit},\n" for day, value in pairs]
    return [f"{pairs[0][0]},A,{board},oven-dry,{dry},{unit},\n", *rows]


def test_a_question_that_would_not_put_the_row_right_is_not_asked(tmp_path):
    """46 oz is written 73.97: with 37.97 the board would have started at 113 %, as no such oak is sawn."""
    ounces = (81.0, 75.9, 71.5, 68.6, 66.5, 65.1)
    found = judged(tmp_path, *rows_of("1-3", 73.97, list(zip(DAYS, ounces, strict=True)), "oz"))
    [doubt] = [p for p in found.doubts if p.row == 2]
    assert "meant" not in str(doubt) and "Was it weighed bone dry" in str(doubt) and not mends(found)


def test_a_swap_of_digits_that_tells_green_wood_is_still_asked(tmp_path):
    ounces = (81.0, 75.9, 71.5, 68.6, 66.5, 65.1)
    found = judged(tmp_path, *rows_of("1-3", 84.5, list(zip(DAYS, ounces, strict=True)), "oz"))
    assert "Is 48.5 meant, with two digits swapped?" in str(found.doubts[0]) and not mends(found)


def test_one_weighing_under_the_oven_dry_weight_is_the_suspect(tmp_path):
    days = ("2025-07-27", "2025-08-10", "2025-08-24", "2025-09-07", "2025-09-21", "2025-10-05")
    grams = list(zip(days, (8512, 7566, 6903, 6431, 6100, 5850), strict=True))
    strange = "2025-09-28,A,1-3,weight,4428,g,\n"  # of another board
    found = judged(tmp_path, *rows_of("1-3", 4729, grams, "g"), strange)
    assert accused(found) == [(9, ())] and found.left_out == (9,) and "meant" not in str(found.doubts[0])


def test_weighings_in_a_row_too_heavy_for_an_oven_dry_weight_accuse_that_weight(tmp_path):
    kilos = (10.75, 10.33, 10.15, 9.3, 8.63, 8.36, 8.27, 7.78, 7.56, 8.18, 7.99)
    days = ("05-16", "05-30", "06-06", "07-06", "08-05", "08-19", "08-26", "09-25", "10-16", "11-13", "12-04")
    rows = rows_of("1-2", 3.801, [(f"2025-{d}", k) for d, k in zip(days, kilos, strict=True)], "kg")
    found = judged(tmp_path, *rows)
    assert accused(found) == [(2, (3, 4, 5, 6))] and not mends(found)
    assert "Or are the weighings in rows 3, 4, 5 and 6 wrong?" in str(found.doubts[0])


def test_an_oven_dry_weight_is_swapped_with_no_weighing_but_the_first(tmp_path):
    ounces = (330.1, 312.0, 290.4, 271.5, 255.2, 236.8, 222.3, 207.3)
    days = ("05-11", "05-18", "05-25", "06-15", "07-06", "08-03", "09-07", "10-05")
    rows = rows_of("1-1", 214.1, [(f"2025-{d}", o) for d, o in zip(days, ounces, strict=True)], "oz")
    found = judged(tmp_path, *rows)
    assert [row for row, _ in accused(found)] == [2] and "swap" not in str([*map(str, found.doubts)])
    swapped = judged(tmp_path, *rows_of("1-1", 330.1, [("2025-05-11", 186.2)], "oz"))
    assert all("swap them in the form" in str(p) for p in swapped.doubts) and len(swapped.doubts) == 2


@pytest.mark.parametrize("wrong_first", [True, False])
@pytest.mark.parametrize("wrong", [40, 19])
def test_of_two_readings_on_a_day_the_one_that_its_neighbors_reject_is_asked_about(
    wrong, wrong_first, tmp_path
):
    dry = 9.32  # lb
    two = (
        [("2025-07-04", wrong), ("2025-07-04", 29)]
        if wrong_first
        else [("2025-07-04", 29), ("2025-07-04", wrong)]
    )
    told = [("2025-06-20", 31), *two, ("2025-07-18", 27)]
    pounds = [(day, f"{dry * (1 + mc / 100):.2f}") for day, mc in told]
    found = judged(tmp_path, *rows_of("1-3", dry, pounds, "lb"))
    named = {row for row, rivals in accused(found) if not rivals}
    assert named <= {4 if wrong_first else 5} and accused(found)


def test_of_two_meter_readings_on_a_day_the_one_that_fits_is_not_accused(tmp_path):
    for k, two in enumerate(((12, 26), (26, 12))):
        told = [("2025-06-20", 28), ("2025-07-04", two[0]), ("2025-07-04", two[1]), ("2025-07-18", 25)]
        found = judged(tmp_path, *[f"{day},A,1-3,meter,{mc},%,\n" for day, mc in told])
        assert accused(found)[0] == (3 + k, ()), k


def test_of_two_readings_on_a_day_that_both_go_with_the_others_both_are_named(tmp_path):
    meters = [("2025-06-20", 30), ("2025-07-04", 28), ("2025-07-04", 23), ("2025-07-18", 21)]
    found = judged(tmp_path, *[f"{day},A,1-3,meter,{mc},%,\n" for day, mc in meters])
    assert accused(found) == [(4, (3,))] and "Is row 3 or row 4 wrong?" in str(found.doubts[0])
