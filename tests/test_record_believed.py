"""Which rows are believed: the fewest that explain what does not fit are asked about, and the right ones are used."""

from datetime import date

import pytest

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
