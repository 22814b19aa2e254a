"""What readings tell of moisture: whatever was written down, sentences and never an error."""

import math
from datetime import date

import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from woodcalc import drying, moisture, records
from woodcalc.weighings import readings_told

OAK = "northern red oak"


def table(*rows):
    """Rows of (day of May 2025, kind, value, unit), board 1-3 of stack A."""
    frame = pd.DataFrame(rows, columns=["date", "kind", "value", "unit"])
    return frame.assign(
        date=pd.to_datetime("2025-05-01") + pd.to_timedelta(frame["date"] - 1, "D"),
        stack="A",
        board="1-3",
        temp_f=float("nan"),
    )


def told(*rows, wood=OAK):
    found = records.mc_readings(table(*rows), "A", wood)
    for note in found.attrs["notes"]:
        assert note[0].isupper() and note[-1] in ".?" and ".." not in note, note
    return [round(mc, 1) for mc in found["mc_pct"]], found.attrs["notes"]


def test_one_weighing_waits_for_the_oven_dry_weight():
    mc, notes = told((10, "weight", 16.6, "lb"))
    assert mc == []
    assert notes == [
        "One weighing of board 1-3 on 2025-05-10 waits for the board's oven-dry weight: "
        "add it (a row of kind oven-dry)."
    ]
    _, notes = told((10, "weight", 16.6, "lb"), (24, "weight", 14.9, "lb"))
    assert notes[0].startswith(
        "Two weighings of board 1-3 since 2025-05-10 wait for the board's oven-dry weight"
    )


@pytest.mark.parametrize(
    ("value", "unit", "words"),
    [
        (8.9, "lb", "Are the wet and the dry weight swapped?"),
        (74, "lb", "Is 7.4 meant?"),
        (7.4, "kg", ""),  # 16.3 lb: good
        (7.4, "g", "Was it weighed in kg?"),
        (16300, "lb", "Check both weights."),
        (40, "lb", "more than the wood can hold"),
        (0.1, "oz", "it is under the board's oven-dry weight"),
    ],
)
def test_one_weighing_that_cannot_be_right(value, unit, words):
    dry = 4.5 if value == 74 else 9.32
    mc, notes = told((10, "oven-dry", dry, "lb"), (10, "weight", value, unit))
    if not words:
        assert len(mc) == 1 and notes == []
        return
    assert mc == []
    assert any(words in note for note in notes), notes
    assert any("The weight of board 1-3 on 2025-05-10" in note for note in notes)


def test_units_are_mixed_as_they_come():
    pounds, _ = told((1, "oven-dry", 9.32, "lb"), (10, "weight", 16.6, "lb"), (24, "weight", 14.9, "lb"))
    mixed, notes = told(
        (1, "oven-dry", 4227.5, "g"), (10, "weight", 7.5296, "kg"), (24, "weight", 238.4, "oz")
    )
    assert notes == [] and mixed == pytest.approx(pounds, abs=0.1)  # a gram, a tenth of an ounce


def test_a_moved_point_is_left_out_and_the_others_stay():
    rows = [
        (1, "oven-dry", 9.32, "lb"),
        (3, "weight", 16.6, "lb"),
        (10, "weight", 1.49, "lb"),
        (20, "weight", 13.7, "lb"),
    ]
    mc, notes = told(*rows)
    assert mc == [78.1, 47.0]
    assert notes == [
        "The weight of board 1-3 on 2025-05-10, 1.49 lb, is left out: it is under the board's oven-dry weight, "
        "9.32 lb, and the weighings around it are 16.6 lb and 13.7 lb. Is 14.9 meant?"
    ]
    good, notes = told(*rows[:2], (10, "weight", 14.9, "lb"), rows[3])
    assert len(good) == 3 and notes == []


def test_a_jump_that_the_oven_dry_weight_alone_does_not_show():
    """Kilograms written for pounds when the wood is wet: still above the oven-dry weight of a light board."""
    mc, notes = told(
        (1, "oven-dry", 4.0, "lb"), (3, "weight", 8.9, "lb"), (10, "weight", 8.6, "lb"), (17, "weight", 3.8, "kg"),
        (24, "weight", 8.1, "kg"), (30, "weight", 7.6, "lb"), wood="eastern white pine"
    )  # fmt: skip
    assert len(mc) == 4
    [note] = notes
    assert (
        note.startswith("The weight of board 1-3 on 2025-05-24, 8.1 kg, is left out")
        and "weighed in lb?" in note
    )


def test_a_jump_that_nothing_explains_is_used_and_told():
    mc, notes = told(
        (1, "oven-dry", 9.32, "lb"), (3, "weight", 16.6, "lb"), (10, "weight", 10.3, "lb"), (17, "weight", 13.7, "lb"),
        (24, "weight", 13.0, "lb")
    )  # fmt: skip
    assert len(mc) == 4
    assert notes == [
        "The weight of board 1-3 on 2025-05-10, 10.3 lb, is doubtful: the weighings around it are 16.6 lb and "
        "13.7 lb. Was another board on the scale?"
    ]


@pytest.mark.parametrize("wood", [OAK, "eastern white pine", "western redcedar", "yellow-poplar"])
@pytest.mark.parametrize("place", ["Madison, WI", "Phoenix, AZ"])
def test_no_board_that_dries_as_forecast_is_doubted(wood, place):
    """Weighed every two weeks from green to dry, and twice only: fast and slow drying are no slips."""
    forecast = drying.air_dry(wood, "4/4", place, "2025-05-01")
    for column in ("low", "likely", "high"):
        for days in (range(1, 120, 14), (1, 90), (1, 2, 60, 61)):
            mc = [forecast.daily[column].iloc[day] for day in days]
            rows = [(day, "weight", 10 * (1 + m / 100), "lb") for day, m in zip(days, mc, strict=True)]
            found, notes = told((1, "oven-dry", 10, "lb"), *rows, wood=wood)
            assert len(found) == len(rows) and notes == []


def test_an_oven_dry_weight_that_is_off_from_all_weighings():
    rows = [(3, "weight", 16.6, "lb"), (10, "weight", 14.9, "lb"), (20, "weight", 13.7, "lb")]
    for dry, words in (
        (93.2, "Is 9.32 meant?"),
        (0.932, "Is 9.32 meant?"),
        (4.2275, "Was it weighed in kg?"),
    ):
        mc, notes = told((1, "oven-dry", dry, "lb"), *rows)
        assert mc == []
        assert (
            len(notes) == 1 and notes[0].startswith("The oven-dry weight of board 1-3") and words in notes[0]
        )


def doubts(*rows):
    _, strays, _ = readings_told(table(*rows), OAK)
    return [(s.row, s.column, s.mend) for s in strays]


WEIGHED = [(3, "weight", 16.0, "lb"), (17, "weight", 14.0, "lb"), (31, "weight", 12.6, "lb")]


def test_of_two_oven_dry_weights_that_fit_alike_the_first_counts_and_that_is_said():
    rows = (1, "oven-dry", 9.32, "lb"), (2, "oven-dry", 9.0, "lb"), (3, "weight", 16.6, "lb")
    mc, notes = told(*rows)
    assert mc == [78.1]
    assert "9 lb, is not the one that counts: row 0 has 9.32 lb" in notes[0]
    assert doubts(*rows) == [(1, "value", "")]


def test_a_weighing_saved_as_a_second_oven_dry_weight_does_not_take_over():
    dry = (3, "oven-dry", 9.0, "lb")
    for rows in ([dry, (3, "oven-dry", 16.0, "lb"), *WEIGHED[1:]], [dry, (3, "oven-dry", 16.0, "lb")]):
        assert doubts(*rows) == [(1, "kind", "weight")]
    mc, _ = told(dry, (3, "oven-dry", 16.0, "lb"), *WEIGHED[1:])
    assert mc == [55.6, 40.0]
    assert doubts((3, "oven-dry", 16.0, "lb"), dry, *WEIGHED[1:]) == [(0, "kind", "weight")]


@pytest.mark.parametrize(
    ("value", "unit", "mend"), [(30, "lb", ""), (9.0, "kg", "lb"), (900, "lb", "9"), (10.5, "lb", "weight")]
)
def test_a_second_oven_dry_weight_that_is_off_leaves_the_moistures_as_they_were(value, unit, mend):
    rows = (3, "oven-dry", 9.0, "lb"), *WEIGHED, (40, "oven-dry", value, unit)
    assert told(*rows)[0] == [77.8, 55.6, 40.0]
    assert [(row, m) for row, _, m in doubts(*rows)] == [(4, mend)]


def test_an_only_oven_dry_weight_over_the_weighings_is_the_one_to_look_at():
    for value in (13, 20, 12.6):
        rows = *WEIGHED, (40, "oven-dry", value, "lb")
        found = doubts(*rows)
        assert (3, "value", "") in found, value
        assert not [mend for row, _, mend in found if row < 3 and mend], found
    rows = (1, "oven-dry", 9, "lb"), (2, "weight", 9, "lb"), (9, "weight", 9, "lb")
    assert told(*rows)[0] == [] and doubts(*rows) == [(0, "value", "")]


def test_no_other_unit_is_offered_where_most_weighings_would_need_it():
    rows = (3, "oven-dry", 9.0, "lb"), *((d, k, v / 2.2, u) for d, k, v, u in WEIGHED)
    assert not [mend for _, column, mend in doubts(*rows) if column == "unit" and mend]


@pytest.mark.parametrize("others", [[], [(17, "weight", 17, "lb")]])
def test_a_swapped_pair_is_asked_about_and_never_mended_by_halves(others):
    rows = (1, "oven-dry", 19, "lb"), (2, "weight", 16.4, "lb"), *others
    mc, notes = told(*rows)
    assert mc == [] and doubts(*rows) == [(0, "value", ""), (1, "value", "")]
    assert all("swap them in the form" in note for note in notes)


def test_a_first_weighing_swapped_with_the_oven_dry_weight_is_asked_about():
    rows = (1, "oven-dry", 16.0, "lb"), (3, "weight", 9.0, "lb"), *WEIGHED[1:]
    mc, notes = told(*rows)
    assert mc == [] and [(r, m) for r, _, m in doubts(*rows)] == [(0, ""), (1, "")]
    assert "the board's 3 weighings are left out. Are the wet and the dry weight swapped?" in notes[1]


def test_a_last_weighing_a_hair_under_the_oven_dry_weight_leaves_the_others_used():
    mc, _ = told((1, "oven-dry", 12.6, "lb"), *WEIGHED[:2], (31, "weight", 12.5, "lb"))
    assert mc == [27.0, 11.1]


@pytest.mark.parametrize(("value", "unit"), [(19, "lb"), (19 * 16, "oz"), (8.618, "kg")])
@pytest.mark.parametrize("more", [[], [(9, "weight", 19, "lb")], [(9, "weight", 24, "lb")]])
def test_a_weighing_that_is_the_oven_dry_weight_over_again_is_only_asked_about(value, unit, more):
    rows = (1, "oven-dry", 19, "lb"), (2, "weight", value, unit), *more
    assert not [mend for _, _, mend in doubts(*rows) if mend]
    if len(rows) == 2:
        [note] = told(*rows)[1]
        assert note.endswith("Which of the two did you read off the scale?")


@pytest.mark.parametrize(("good", "mend"), [(1, ""), (2, "kg"), (3, "kg")])
def test_another_unit_is_offered_only_where_two_other_weighings_bear_it_out(good, mend):
    """The weighing in question comes last: 5.4 for 12 lb."""
    rows = (1, "oven-dry", 9.0, "lb"), *WEIGHED[3 - good :], (40, "weight", 5.4, "lb")
    found = {row: (column, m) for row, column, m in doubts(*rows)}
    assert found[good + 1] == ("unit", mend)
    for n in range(1, 4):  # and of the oven-dry weight: 4.1 for 9 lb
        found = doubts((1, "oven-dry", 4.1, "lb"), *WEIGHED[:n])
        assert [m for _, column, m in found if column == "unit" and m] == (["kg"] if n > 1 else []), n


def test_a_reading_twice_counts_once():
    mc, notes = told((3, "meter", 25, "%"), (3, "meter", 25, "%"), (3, "meter", 26, "%"))
    assert mc == [25, 26]
    assert "It counts once." in notes[0]


def test_meters_outside_their_range_and_wild_temperatures():
    rows = table((3, "meter", 45, "%"), (4, "meter", 150, "%"), (5, "meter", 20, "%"), (6, "meter", 20, "%"))
    rows["temp_f"] = [70, 70, 500, 50]
    found = records.mc_readings(rows, "A", OAK)
    expected = moisture.meter_corrected_pct(20, 50)
    assert list(found["mc_pct"]) == [45, 20, expected]
    notes = found.attrs["notes"]
    assert "45 %, is outside 6 to 30 %" in notes[0] and "Was it a weight?" in notes[1]
    assert "its temperature of 500 F cannot be right" in notes[2]


def test_boards_and_their_oven_dry_weight_in_other_letters():
    rows = table((1, "oven-dry", 9.32, "lb"), (3, "weight", 16.6, "lb")).assign(board=["a1", "A1"])
    assert len(records.mc_readings(rows, "A", OAK)) == 1


@pytest.mark.parametrize("wood", ["no such wood", None, ""])
def test_a_wood_that_nobody_knows(wood):
    assert told((1, "oven-dry", 9.32, "lb"), (3, "weight", 16.6, "lb"), wood=wood)[0] == [78.1]


@pytest.mark.parametrize(
    "change",
    [
        {"value": None}, {"value": float("nan")}, {"value": "twelve"}, {"value": -3}, {"value": 0}, {"value": math.inf},
        {"kind": "guess"}, {"kind": None}, {"unit": "stone"}, {"unit": ""}, {"date": None}, {"date": pd.NaT},
        {"date": "2025-05-03"}, {"board": None}, {"board": float("nan")}, {"board": 7}, {"temp_f": "warm"},
    ],
)  # fmt: skip
def test_rows_that_are_no_readings(change):
    rows = table((1, "oven-dry", 9.32, "lb"), (3, "weight", 16.6, "lb"), (4, "meter", 20, "%")).astype(object)
    for name, value in change.items():
        rows.loc[1, name] = value
    found = records.mc_readings(rows, "A", OAK)
    assert list(found["kind"]) in (["meter"], ["weight", "meter"])
    if list(found["kind"]) == ["meter"]:
        assert found.attrs["notes"]


def test_no_readings_and_missing_columns():
    empty = records.mc_readings(table().iloc[:0], "A", OAK)
    assert list(empty.columns) == ["date", "board", "kind", "mc_pct"] and empty.attrs["notes"] == []
    assert records.mc_readings(table((3, "meter", 20, "%")), "B", OAK).empty
    few = table((3, "meter", 20, "%")).drop(columns=["temp_f", "board", "unit"])
    assert list(records.mc_readings(few, "A", OAK)["mc_pct"]) == [20]


values = st.one_of(
    st.floats(allow_nan=True, allow_infinity=True), st.floats(0.1, 100), st.integers(-5, 10**9)
)


@settings(max_examples=40, deadline=None)
@given(
    st.lists(
        st.tuples(
            st.integers(1, 200),
            st.sampled_from(["weight", "meter", "oven-dry"]),
            values,
            st.sampled_from(["lb", "kg", "g", "oz", "%"]),
        ),
        max_size=12,
    )
)
def test_any_values(rows):
    found = records.mc_readings(table(*rows), "A", OAK)
    assert found["mc_pct"].between(0, 300).all()
    assert found["date"].is_monotonic_increasing
    forecast = drying.air_dry(OAK, "4/4", "Madison, WI", "2025-05-01")
    if len(found):
        forecast.update(found)  # what is told can be learned from


def test_a_weight_of_next_to_nothing_is_looked_at_like_any_other():
    found = records.mc_readings(
        table((0, "weight", 16.6, "lb"), (14, "weight", 1.2e-5, "lb"), (20, "oven-dry", 9.32, "lb")), "A", OAK
    )
    assert len(found) <= 1


@pytest.mark.parametrize("dry", [True, False])
def test_weights_that_rise_because_day_and_month_are_the_wrong_way_round(dry):
    """Weighed on 9 May, 8 June, 7 July, 6 August and 5 September; a spreadsheet made 5 September of 9 May."""
    days = ("2025-09-05", "2025-08-06", "2025-07-07", "2025-06-08", "2025-05-09")
    rows = [(0, "weight", value, "lb") for value in (16.6, 14.9, 13.7, 12.7, 11.95)]
    frame = table(*rows, *[(0, "oven-dry", 9.32, "lb")] * dry)
    frame["date"] = pd.to_datetime([*days, *["2025-05-09"] * dry])
    found = records.mc_readings(frame, "A", OAK)
    [note] = [n for n in found.attrs["notes"] if "oven-dry weight: add it" not in n]
    assert "go from 11.95 lb on 2025-05-09 to 16.6 lb on 2025-09-05" in note
    assert note.endswith("Are the dates the wrong way round (day and month)?")
    assert "kg" not in note and found.empty
    _, [stray], _ = readings_told(frame, OAK)
    assert (stray.row, stray.column, stray.used, stray.mend) == (4, "date", not dry, "")
    frame["date"] = [day.replace(month=day.day, day=day.month) for day in frame["date"]]
    assert readings_told(frame, OAK)[1] == [] and len(records.mc_readings(frame, "A", OAK)) == 5 * dry


@pytest.mark.parametrize(
    ("first", "second", "words"),
    [
        ((10, 16.6, "lb"), (24, 1.66, "lb"), "before it, 16.6 lb. Is the point in its place in both"),
        ((10, 166, "lb"), (24, 14.9, "lb"), "before it, 166 lb. Is the point in its place in both"),
        ((10, 16.6, "lb"), (24, 16.6, "kg"), "the unit right? If so: are the dates the wrong way"),
        ((10, 16.6, "lb"), (24, 14.9, "lb"), ""),
        ((10, 16.6, "lb"), (24, 17.2, "lb"), ""),  # rain
    ],
)
def test_two_weighings_and_a_jump_between_them(first, second, words):
    rows = [(day, "weight", value, unit) for day, value, unit in (first, second)]
    mc, notes = told(*rows)
    assert mc == [] and notes[-1].startswith("Two weighings of board")
    assert words in notes[0] if words else len(notes) == 1
    assert [s.used for s in readings_told(table(*rows), OAK)[1]] == [True] * bool(words)


@pytest.mark.parametrize(("second_lb", "together"), [(13.30, True), (13.26, False)])
def test_weighings_that_lose_a_fifth_at_most_stand_together_against_an_oven_dry_weight(second_lb, together):
    """16.6 lb less a fifth is 13.28 lb."""
    days, pounds = (1, 29, 57, 85, 120), (16.6, second_lb, 12.2, 11.3, 9.32)
    weighings = [(day, "weight", lb, "lb") for day, lb in zip(days, pounds, strict=True)]
    notes = records.mc_readings(table((1, "oven-dry", 10.6, "lb"), *weighings), "A", OAK).attrs["notes"]
    assert ("The weighings go with each other" in str(notes)) == together


@pytest.mark.parametrize(
    ("days", "mend"),
    [
        (("2025-11-20", "2025-12-20", "2025-01-10", "2025-02-10"), {5: "2026-01-10", 6: "2026-02-10"}),
        (("2025-11-20", "2025-12-20", "2025-01-20"), {5: "2026-01-20"}),
        (
            ("2025-07-20", "2025-01-08", "2025-08-20"),
            {4: "2025-08-01"},
        ),  # day and month, as the row below tells
        (("2025-07-20", "2025-01-08"), {4: ""}),  # either
    ],
)
def test_in_january_the_old_year_is_written_on(tmp_path, days, mend):
    (tmp_path / "stacks.csv").write_text("stack,species,nominal,stacked\nA,red oak,4/4,2025-06-02\n")
    rows = [f"{day},A,1-3,weight,{14 - k / 10},lb" for k, day in enumerate(days)]
    head = "date,stack,board,kind,value,unit\n2025-06-02,A,1-3,oven-dry,9.3,lb\n"
    (tmp_path / "readings.csv").write_text(head + "\n".join(rows) + "\n")
    found = records.read_usable(tmp_path, today=date(2026, 11, 28))
    assert {p.row: p.mend for p in found.problems} == mend
