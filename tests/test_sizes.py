"""Thickness names, fractions of an inch, feet and inches, dressed sizes, and the one rule of board feet."""

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from woodcalc import drying, logs, records, shrinkage, sizes, stack
from woodcalc.checks import InputError
from woodcalc.records import choices

few = settings(max_examples=60, deadline=None)


@pytest.mark.parametrize(
    ("written", "inches"),
    [
        ("4/4", 1.0),
        ("16/4", 4.0),
        ("5 / 4", 1.25),
        ("1 1/4", 1.25),
        ("1-1/4 in", 1.25),
        ('1¼"', 1.25),
        ("1.25", 1.25),
        ("1,25", 1.25),
        (1.125, 1.125),
        (np.float64(2), 2.0),
        ("2-3/8 in", 2.375),  # a live-edge slab
        ("5/8 in", 0.625),
        ("1/2", 0.5),
        ("2/4", 0.5),
        ("1,25", 1.25),
        ("2x8", 2.0),
        ("5/4 x 6", 1.25),
        ("0.1", 0.1),
        ("24", 24.0),  # a beam's width is a nominal size, too
        ("96/4", 24.0),
    ],
)
def test_a_thickness_is_read_however_it_is_written(written, inches):
    assert sizes.nominal_in(written) == inches


@pytest.mark.parametrize(
    "written",
    [
        "8/8",
        "9/8",
        "5/8",  # in inches, or a slip in 5/4 or 8/4?
        "9/8 in",
        "5/3",
        "4/0",
        "1 1/0",
        "4/4/4",
        "-1/4",
        "",
        "thick",
        "nan",
        "inf",
        None,
        0.09,
        "97/4",
        "1,250",  # a thousand, or a decimal comma
        "1,250 in",
        24.1,
    ],
)
def test_what_is_no_thickness_is_refused_and_says_what_was_expected(written):
    with pytest.raises(InputError, match="expected|Write 4/4"):
        sizes.nominal_in(written)


def test_the_same_thickness_is_taken_everywhere():
    """ "1 1/4" and 5/4 are one; 8/8 is refused alike, for it may stand for 4/4 or be a slip in 8/4."""
    board = pd.DataFrame({"nominal": ["5/4", "1 1/4", 1.25], "width_in": 8.0, "length_ft": 12.0})
    assert stack.plan_stack(board, "red oak").boards["board_feet"].tolist() == [10.0] * 3
    assert logs.board_feet("1 1/4", 8, 12) == logs.board_feet("5/4", 8, 12) == 10
    assert shrinkage.lumber_size_in("1 1/4") == shrinkage.lumber_size_in("5/4")
    assert stack.sticker_spacing("1 1/4") == stack.sticker_spacing(1.25)
    for call in (
        lambda: logs.board_feet("8/8", 8, 12),
        lambda: shrinkage.nominal_in("8/8"),
        lambda: shrinkage.lumber_size_in("8/8"),
        lambda: stack.sawn_in("8/8"),
        lambda: stack.sticker_spacing("8/8"),
        lambda: stack.boards_from_counts([(3, "8/8", 8, 12)], "red oak"),
    ):
        with pytest.raises(InputError, match="8/4 for 2 in"):
            call()


@few
@given(st.integers(1, 96))
def test_quarters_keep_their_name(quarters):
    name = f"{quarters}/4"
    assert sizes.thickness_name(name) == sizes.thickness_name(quarters / 4) == name


@few
@given(st.integers(4, 24 * 32))
def test_every_size_on_a_tape_has_a_name_that_is_read_back(parts):
    assert sizes.nominal_in(sizes.thickness_name(parts / 32)) == parts / 32
    assert sizes.read_inches(sizes.fraction(parts / 32, 32)) == parts / 32
    assert sizes.read_inches(sizes.fraction(parts / 32, 32) + '"') == parts / 32


@few
@given(st.integers(0, 12 * 60 * 16))
def test_feet_and_inches_are_read_back(parts):
    said = sizes.feet_and_inches(parts / 16, 16)
    assert sizes.read_inches(said) == pytest.approx(parts / 16)
    assert "12 in" not in said


@pytest.mark.parametrize(
    ("written", "inches"),
    [
        ("12'", 144),
        ("12' 6\"", 150),
        ("12 ft 6-1/2 in", 150.5),
        ("8 ft. 2", 98),
        ("6½", 6.5),
        ("9 7/16 in", 9.4375),
        (".5", 0.5),
    ],
)
def test_a_tape_is_read(written, inches):
    assert sizes.read_inches(written) == inches


@pytest.mark.parametrize("written", ["", "ft", "12 m", "1/0", "two", "12 ft 6 ft", "3//8"])
def test_no_tape_reading(written):
    with pytest.raises(InputError, match="expected"):
        sizes.read_inches(written)


def test_a_fraction_is_the_nearest_of_the_scale():
    assert [sizes.fraction(x) for x in (0, 0.02, 0.04, 0.97, 1.0625, 11.999)] == [
        "0",
        "0",
        "1/16",
        "1",
        "1-1/16",
        "12",
    ]
    for wrong in (-0.1, np.nan, np.inf):
        with pytest.raises(InputError, match="0 or more"):
            sizes.fraction(wrong)
        with pytest.raises(InputError, match="0 or more"):
            sizes.feet_and_inches(wrong)


def test_a_board_under_an_inch_counts_by_its_face_everywhere(tmp_path):
    """Less than 1 in counts as 1 in (W. Noyes, Handwork in Wood, 1910, ch. III): 3/4 x 8 in x 12 ft is 8 bf."""
    assert sizes.board_feet("3/4", 8, 12) == logs.board_feet(0.75, 8, 12) == 8
    assert stack.boards_from_counts([(1, "3/4", 8, 12)], "red oak")["board_feet"].item() == 8
    bare = pd.DataFrame({"nominal": ["3/4"], "width_in": [8.0], "length_ft": [12.0]})
    assert stack.plan_stack(bare, "red oak").board_feet == 8
    path = tmp_path / "boards.csv"
    path.write_text("species,nominal,width_in,length_ft\nred oak,3/4,8,12\nred oak,5/4,8,12\n")
    assert records.read(path)["board_feet"].tolist() == [8, 10]


@pytest.mark.parametrize(
    ("written", "name"),
    [
        ("5/4", "5/4"),
        ("1 1/4", "5/4"),
        ("1-1/4 in", "5/4"),
        ("1,25", "5/4"),
        ("2/4", "2/4"),
        ("48/4", "48/4"),
        ("4-May", "5/4"),
    ],
)
def test_records_take_the_same_names(tmp_path, written, name):
    path = tmp_path / "boards.csv"
    path.write_text(f'species,nominal,width_in,length_ft\nred oak,"{written}",8,12\n')
    assert records.read(path)["nominal"].tolist() == [name]


@pytest.mark.parametrize("written", ["8/8", "1/4", "49/4", "12.25", "1.125", "1/0", "4-Jan", "thick"])
def test_records_refuse_what_is_no_thickness_by_name(tmp_path, written):
    """Half an inch to 12 in: thinner is veneer, and 49/4 no board. 1-1/8 in is what 4/4 is sawn to, not its name."""
    path = tmp_path / "boards.csv"
    path.write_text(f"species,nominal,width_in,length_ft\nred oak,{written},8,12\n")
    with pytest.raises(InputError, match="quarters of an inch from 2/4 to 48/4, like 4/4"):
        records.read(path)


def test_board_feet_take_arrays_of_names_or_numbers():
    names = sizes.board_feet(np.array(["4/4", "8/4", "3/4"]), 6, [12, 12, 12])
    assert names.tolist() == [6, 12, 6]
    assert sizes.board_feet(pd.Series([1.0, 2.0, 0.75]), 6, 12).tolist() == [6, 12, 6]
    assert type(sizes.board_feet("4/4", 6, 12)) is float
    for wrong in (("4/4", 130, 12), ("4/4", 6, 80), (25, 6, 12), ("x", 6, 12)):
        with pytest.raises(InputError):
            sizes.board_feet(*wrong)


def test_dressed_sizes_follow_the_table_and_go_on_beyond_it():
    """3/16 in comes off up to 6/4 and 1/4 in from 7/4 on, in every row of the table."""
    table = shrinkage.lumber_size_in
    listed = [0.375, 0.5, 0.625, 0.75, 1, 1.25, 1.5, 1.75, 2, 3, 3.5, 4]
    assert [sizes.dressed_in(n) for n in listed] == [table(n) for n in listed]
    assert [sizes.dressed_in(n) for n in ("9/4", "10/4", "12/4", "16/4", "2-3/8")] == [
        2.0,
        2.25,
        2.75,
        3.75,
        2.125,
    ]
    assert sizes.dressed_in(1.125) == 0.9375
    with pytest.raises(InputError, match="0.375"):
        sizes.dressed_in("1/4")


def test_what_a_sawn_thickness_holds():
    assert [sizes.quarters_held(t) for t in (1.0, 1.125, 1.25, 1.9, 2.125, 3.9, 5.0)] == [
        "4/4", "4/4", "5/4", "6/4", "8/4", "12/4", "16/4",
    ]  # fmt: skip
    assert sizes.quarters_held(0.8) == "3/4" and sizes.quarters_held(0.2) == "1/4"
    assert sizes.sawn_in(np.array([1.0, 2.0])).tolist() == [1.125, 2.125]
    with pytest.raises(InputError, match="0.25 to 12"):
        sizes.sawn_in(12.5)


def test_drying_and_choices_take_the_same_names():
    assert drying.thickness("1 1/4") == choices.Choices(thickness="5/4").thickness_in == 1.25
    assert drying.thickness("2-3/8 in") == 2.375
    for call in (lambda: drying.thickness("8/8"), lambda: choices.Choices(thickness="8/8").thickness_in):
        with pytest.raises(InputError, match="8/4 for 2 in"):
            call()
    with pytest.raises(InputError, match="0.25 to 6"):
        drying.thickness("48/4")


@pytest.mark.parametrize("thickness", [0, 0.0, -1, 40, [1, 0]])
def test_no_board_has_such_a_thickness(thickness):
    with pytest.raises(InputError, match=r"expected 0\.1 to 24 in"):
        sizes.board_feet(thickness, 8, 12)


@pytest.mark.parametrize("nominal", ["5/8 in", "3/4", "4/4", "5/4", "8/4"])
def test_board_feet_turned_back_are_the_wood_of_the_board(nominal):
    tally = sizes.board_feet(nominal, 8, 12)
    assert sizes.wood_ft3(tally, nominal) == pytest.approx(sizes.nominal_in(nominal) / 12 * 8 / 12 * 12)


def test_a_fraction_of_quarters_is_no_slip_of_the_gap():
    """4/4 to 16/4 are names of thicknesses, and no tape has 2/4 or 4/8."""
    for text in ("12/4", "14/4", "16/4", "124/8", "1010/16", "18/8"):
        assert sizes.run_together(text) == (), text
    assert sizes.read_number("12/4") == 3
