"""A log as its owner measured it: two diameters an end, bark, flare, and what was seen by the hours of a clock."""

import re

import numpy as np
import pytest
from test_settings_sheet import words

from woodcalc import logs, records
from woodcalc.checks import InputError
from woodcalc.figures.settings_sheet import printed
from woodcalc.lesson import sawing as panels
from woodcalc.lesson.logs import own_log_panel
from woodcalc.logs import Log, logs_of
from woodcalc.records import choices
from woodcalc.records.columns import RecordsError
from woodcalc.sawing import rules, saw
from woodcalc.sawing.lay import lay, used
from woodcalc.sawing.limits import limits
from woodcalc.sawing.mill import Mill

HEAD = "log,species,small_in,large_in,length_ft"


@pytest.fixture
def own_folder(tmp_path, monkeypatch):
    monkeypatch.setenv(choices.VARIABLE, str(tmp_path))
    return tmp_path


def tally(folder, head, *rows):
    path = folder / "logs.csv"
    path.write_text("\n".join([head, *rows, ""]))
    return records.read(path)


def test_two_diameters_an_end_are_one_oval_and_the_flare_is_left_to_the_chain_saw(tmp_path):
    head = f"{HEAD},small_across_in,large_across_in,butt_flare_in,bark_thick_in"
    table = tally(tmp_path, head, "1,white oak,14,20,12,15.5,21,3,3/4", "2,white oak,14,,12,,,,")
    log, plain = logs_of(table)
    assert log.small_in == pytest.approx((14 * 15.5) ** 0.5) and log.oval_ratio == pytest.approx(15.5 / 14)
    assert log.large_in == pytest.approx((20 * 21) ** 0.5 - 3) and log.bark_in == 0.75
    assert (
        log.lifted_ft3 > 1.1 * Log(log.small_in, log.large_in, 12).lifted_ft3
    )  # it is lifted with its flare
    assert plain == Log(14, length_ft=12, species="white oak", label="2")
    half = (log.oval_ratio) ** 0.5 * log.small_in / 2
    assert saw(log, 1 / 8, [1.125]).half_in("x", "small") == pytest.approx(half) == pytest.approx(15.5 / 2)


@pytest.mark.parametrize(
    ("head", "row", "says"),
    [
        ("small_across_in", "30", "at most twice"),
        ("butt_flare_in", "7", "at most 3 in: what the large end is wider"),
        ("bow_clock", "13", "1 to 12"),
        ("bark_thick_in", "9", "a number from 0 to 4 in"),
        ("metal_check", "some", "found or likely or none found"),
    ],
)
def test_what_no_log_has_is_told_with_its_column(tmp_path, head, row, says):
    with pytest.raises(RecordsError, match=says) as told:
        tally(tmp_path, f"{HEAD},{head}", f"1,white oak,14,17,12,{row}")
    assert head in str(told.value)
    with pytest.raises(InputError):
        Log(14, worst_clock=13)


def test_a_table_without_the_new_columns_stays_as_it_is(tmp_path):
    table = tally(tmp_path, HEAD, "1,white oak,14,17,12")
    before = (tmp_path / "logs.csv").read_bytes()
    assert logs_of(table) == [Log(14, 17, 12, "white oak", "1")]
    records.read_folder(tmp_path)
    assert next(c.choices for c in records.TABLES["logs"] if c.name == "metal_check") == logs.METAL
    assert (tmp_path / "logs.csv").read_bytes() == before


def test_words_in_columns_of_ones_own_are_no_measures_of_the_book(tmp_path):
    table = tally(
        tmp_path,
        f"{HEAD},bark,flare,metal,worst face,check",
        "1,white oak,14,17,12,loose,yes,a nail,knotty,star",
    )
    assert logs_of(table) == [Log(14, 17, 12, "white oak", "1")]


def test_where_a_log_is_laid_by_an_own_turn_of_the_clock():
    """Each hour carried round by hand: the outside of a bow to 3, a check upright, the worst as far down as it goes."""
    rng = np.random.default_rng(4)
    for _ in range(200):
        bow, worst, crack = (int(h) for h in rng.integers(0, 13, 3))
        log = Log(14, sweep_in=float(rng.integers(0, 2)), bow_clock=bow, worst_clock=worst, crack_clock=crack)
        laid = lay(log)
        if not laid.says:
            assert (log.sweep_in and not bow) or not (worst or crack)
            continue
        at = {
            seen: (hour - laid.top_clock) % 12
            for seen, hour in (("bow", bow), ("worst", worst), ("crack", crack))
        }
        if log.sweep_in:
            assert at["bow"] == 3 and laid.bow == 3 and "points to face 2" in laid.says
        elif crack:
            assert at["crack"] in (0, 6) and "to face " in laid.says
            assert not worst or 3 <= at["worst"] <= 9  # never the upper half
        else:
            assert at["worst"] == 6 and "down, at face 3" in laid.says
        assert not worst or laid.worst % 12 == at["worst"]
        assert 1 <= laid.top_clock < 13 and re.match(r"Lay it with [\d/-]+ o'clock up: ", laid.says)
    assert lay(Log(14, crack_clock=2), around_a_cant=False).top_clock in (
        5,
        11,
    )  # level, for a log sawn through


def test_what_is_told_of_a_log_is_on_its_sheet_and_what_is_not_used_is_said():
    log = Log(
        14, 17, 12, "white oak", flare_in=2, oval_ratio=1.1, worst_clock=7, crack_clock=2, metal_check="found"
    )
    page = printed(rules.sawn_by(log, 1 / 8, {"4/4": 1.0625}))
    said = words(page)
    for told in (
        lay(log).says, "Saw the butt flare off flush first, log chocked", "the heights are for its wide way level",
        "a check or shake at 2 o'clock", "Metal found. Metal breaks a blade", "zigzag the check or shake, strokes",
        "Boards at the heart may come apart.",
    ):  # fmt: skip
        assert told in said, told
    plain = words(printed(rules.sawn_by(Log(14, 17, 12, "white oak"), 1 / 8, {"4/4": 1.0625})))
    assert not re.search("o'clock|flare off|oval|Metal found|zigzag|strokes the", plain)
    unused, usual = used(Log(14, sweep_in=2, worst_clock=7))
    assert (
        unused == ["the worst face at 7: how the bow lies comes first, and its hour is open"]
        and len(usual) == 3
    )
    assert used(log)[0] == [] and "the ends as round" not in used(log)[1]


def test_bark_as_measured_counts_for_the_mill_and_the_load():
    """A mill that takes the log by the usual bark does not by twice that; a thick bark is loaded for, a thin never."""
    bare = Log(14, 17, 12, "white oak")
    thick, thin = (Log(14, 17, 12, "white oak", bark_in=bark) for bark in (1.25, 0.1))
    mill = Mill(largest_in=18.5)
    found = [limits(rules.sawn_by(each, 1 / 8, {"4/4": 1.0625}), mill) for each in (bare, thick, thin)]
    assert [bool(each) for each in found] == [False, True, False]
    high = [logs.log_weight_range_lb("white oak", each)[1] for each in (bare, thick, thin)]
    assert high[1] > 1.2 * high[0] and high[2] == high[0]
    scaled = logs.scale([bare, thick, thin])["weight_high_lb"]
    assert scaled.to_numpy() == pytest.approx(high)


def test_the_sheet_of_ones_own_log_follows_what_the_form_holds(own_folder):
    (own_folder / "logs.csv").write_text(
        f"{HEAD},sweep_in,bow_clock,bark_thick_in\n1,white oak,14,17,12,1,5,3/4\n"
    )
    made = panels.own_sheet()
    said = words(made.told.value)
    assert "Lay it with 2 o'clock up: the outside of the bow points to face 2." in said
    assert "Not measured, and taken: the ends as round." in said
    made.dials["bark"].value = panels.AS_IT_IS
    assert "with 3/4 in of bark left on" in words(made.told.value)


def test_the_end_of_ones_own_log_is_drawn_with_both_its_diameters_and_its_bark(own_folder):
    (own_folder / "logs.csv").write_text(
        f"{HEAD},small_across_in,bark_thick_in\n1,white oak,15.5,,12,14,3/4\n"
    )
    still = own_log_panel().still()
    assert "Scaled at 15 in and 12 ft" in still  # 14 and 15-1/2: the mean is 14-3/4


def test_the_end_is_shown_as_it_lies_by_the_hours_that_were_typed():
    from woodcalc.figures.as_it_lies import end_on_the_bed

    shown = end_on_the_bed(Log(14, sweep_in=2, bow_clock=5, worst_clock=8))
    assert "Lay it with 2 o'clock up" in shown and "to face 2" in shown and "base64" in shown
    assert end_on_the_bed(Log(14)) == ""
