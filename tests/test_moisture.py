"""Moisture content, weights, oven test, sample boards and meters, against printed examples and limits."""

import re
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from woodcalc import drying, kiln, logs, species, tables
from woodcalc import moisture as m
from woodcalc.checks import InputError, RangeWarning
from woodcalc.kiln import heat_treatment

WEIGHTS = pd.read_csv(Path(__file__).parent / "reference" / "lumber_weights.csv")
few = settings(max_examples=40, deadline=None)


def test_kiln_sample_board_from_start_to_end():
    # Dry Kiln Operator's Manual (Simpson ed., Agric. Handbook 188, 1991), ch. 6; numbers from memory
    board = m.SampleBoard(((98.55, 59.20), (86.92, 55.02)), 4.46)
    assert [round(mc, 1) for mc in board.section_mc_pct] == [66.5, 58.0]
    assert round(board.start_mc_pct, 1) == 62.2
    assert round(board.oven_dry, 2) == 2.75
    # the printed 50.5 divides by the rounded 2.75 lb; unrounded it is 50.6
    assert round(100 * (4.14 / 2.75 - 1), 1) == 50.5
    assert board.mc_now_pct(4.14) == pytest.approx(50.5, abs=0.1)


def test_red_oak_section():
    # 136 g green, 100 g oven-dry (common practice): the definition, not a check from outside
    assert m.mc_pct(136, 100) == pytest.approx(36, abs=0.01)


def test_density_at_12_percent():
    # Wood Handbook FPL-GTR-190 ch. 4, formula from memory: G_x = 0.40 at 12 %, 27.968 lb/ft3
    assert m.WATER_LB_PER_FT3 * 0.40 * 1.12 == pytest.approx(27.968, abs=0.002)


def test_density_against_sheets_of_two_woods():
    # Alden, FPL-GTR-83 and GTR-102: black walnut 0.51 green, 0.55 at 12 %; Virginia pine 0.45 and 0.52
    for name, dry in (("black walnut", 0.55), ("Virginia pine", 0.52)):
        ours = m.green_weight_lb_per_ft3(name, 12) / m.WATER_LB_PER_FT3 / 1.12
        print(f"\n{name}: specific gravity at 12 % {ours:.3f}, printed {dry}")
        # the pine sheet's dry figure is 8 % above what shrinkage allows
        assert ours == pytest.approx(dry, rel=0.08)


def test_meter_rule_of_the_wood_handbook():
    # GTR-190 p. 13-3: half a point for 10 F, "approximate"
    assert m.meter_corrected_pct(12.0, 50) == pytest.approx(13.0, abs=0.1)
    assert m.meter_corrected_pct(12.0, 90) == pytest.approx(11.0, abs=0.1)
    assert m.meter_corrected_pct(12.0, 50, kind="pinless") == 12.0


def test_meter_correction_grows_with_moisture(report, scored):
    """F. Pfaff & P. Garrahan 1986, Forest Prod. J. 36(3):28-30, their equation from memory, for a meter made for 70 F.

    To 0.6 points from 30 to 110 F: a rule to work out on paper, and the mean of corrected readings is good to a point.
    """

    def theirs(reading, temp_f):
        def parts(f):
            c = (f - 32) / 1.8
            return 0.567 - 0.0260 * c + 0.000051 * c**2, 0.881 * 1.0056**c

        (add, scale), (add_70, scale_70) = parts(temp_f), parts(70.0)
        return (reading + add) * scale_70 / scale - add_70

    t, reading = np.meshgrid([30.0, 50, 70, 90, 110], [8.0, 12, 16, 20, 24], indexing="ij")
    ours = m.meter_corrected_pct(reading, t)
    table = pd.DataFrame(
        {
            "wood, F": t.ravel(),
            "reading, %": reading.ravel(),
            "ours": ours.ravel(),
            "theirs": theirs(reading, t).ravel(),
        }
    )
    report(
        "Pin meter, corrected: 4 % of the reading for 10 F, and Pfaff & Garrahan (from memory)",
        table.round(1),
    )
    off = np.abs(ours - theirs(reading, t)).max()
    scored("pin meter at another temperature", off_by=f"at most {off:.1f} points")
    assert off < 0.6
    assert (np.diff(np.abs(ours - reading), axis=1)[t[:, 0] != 70] > 0).all()


def test_lumber_weights_against_published():
    lines = []
    for row in WEIGHTS.itertuples():
        mc = None if np.isnan(row.mc_pct) else row.mc_pct
        ours = np.mean([m.lumber_weight_lb(1000, w, mc, row.sawn_over_nominal) for w in row.woods.split("|")])
        lines.append(
            (row.id, row.published_lb_per_mbf, round(ours), ours / row.published_lb_per_mbf, row.comparable)
        )
    table = pd.DataFrame(lines, columns=["what", "published", "ours", "ratio", "comparable"])
    print("\nlb per 1000 board feet\n", table.round(2).to_string(index=False))
    compared = table[table["comparable"] == "yes"]
    assert len(compared) == 6
    assert ((compared["ratio"] - 1).abs() < 0.10).all()  # the published classes span 7 % to 14 % each way


def test_published_green_moisture_of_three_woods():
    # Wengert, trade press (2006): southern pine about 100, red oak 75-80, white oak about 65
    assert species.get("northern red oak").green_mc_pct == pytest.approx(77.5, abs=7)
    assert species.get("white oak").green_mc_pct == pytest.approx(65, abs=7)


@few
@given(st.floats(0, 350, allow_subnormal=False), st.floats(0.01, 500))
def test_weights_and_bases_there_and_back(mc, dry):
    wet = dry * (1 + mc / 100)
    assert m.mc_pct(max(wet, dry), dry) == pytest.approx(mc, abs=1e-9)
    assert m.oven_dry_weight(wet, mc) == pytest.approx(dry)
    assert m.from_wet_basis_pct(m.wet_basis_pct(mc)) == pytest.approx(mc, abs=1e-9)
    assert m.wet_basis_pct(mc) <= mc + 1e-9
    bound, free = m.bound_and_free_pct(mc)
    assert bound + free == pytest.approx(mc) and bound <= 30 and free >= 0


@few
@given(st.sampled_from(species.names()), st.floats(0, 60))
def test_weight_directions(name, mc):
    green = m.green_weight_lb_per_ft3(name, mc, volume="green")
    now = m.green_weight_lb_per_ft3(name, mc)
    assert now >= green - 1e-9  # a dry cubic foot holds more wood than a green one
    assert m.lumber_weight_lb(12, name, mc) == pytest.approx(green)
    assert m.lumber_weight_lb(12, name, mc, nominal="3/4") == pytest.approx(0.75 * green)
    wood = species.get(name)
    assert m.green_weight_lb_per_ft3(name, 0, volume="green") == pytest.approx(62.43 * wood.basic_sg)
    assert m.water_to_remove_lb(12, name, mc, 0) == pytest.approx(62.43 * wood.basic_sg * mc / 100, abs=1e-9)


def test_published_green_moisture_fits_in_the_wood():
    for name in species.names():
        wood = species.get(name)
        assert wood.green_mc_pct < m.greatest_mc_pct(wood.basic_sg)


def test_solid_wood_holds_nothing_free():
    # at the specific gravity of the cell wall itself there is no cavity; within() stops at 1.2
    assert m.greatest_mc_pct(1.2) == pytest.approx(100 * (1.54 - 1.2) / (1.54 * 1.2))
    assert m.greatest_mc_pct(0.3) > m.greatest_mc_pct(0.6)


def test_oven_test_error_against_random_rounding():
    """Round true weights to the division many times; the spread must be the one we state."""
    rng = np.random.default_rng(4)
    dry = rng.uniform(57, 61, 20_000)
    wet = dry * rng.uniform(1.64, 1.69, dry.size)
    division = 0.5
    on_scale = np.round(wet / division), np.round(dry / division)
    error = 100 * (on_scale[0] / on_scale[1] - wet / dry)
    test = m.oven_test(98.3, 59.0, division)
    assert np.std(error) == pytest.approx(test.sd_pct, rel=0.03)
    assert np.abs(error).max() <= test.most_pct * 1.06  # the lightest section of the lot is 3.5 % lighter
    assert m.oven_test(98.3, 59.0, 0).sd_pct == 0


@pytest.mark.parametrize("division", [0.01, 0.1, 0.5])
def test_most_that_an_oven_test_is_off_is_both_weights_half_a_division_off(division):
    """Wet half a division low and oven-dry half a division high, or the other way: the ends of an interval."""
    wet, dry, half = 98.3, 59.0, division / 2
    ends = [100 * ((wet + s * half) / (dry - s * half) - 1) for s in (1, -1)]
    test = m.oven_test(wet, dry, division)
    # to first order; what that leaves out goes with the square of the division over the weight
    assert test.most_pct == pytest.approx(abs(ends[0] - ends[1]) / 2, rel=(division / dry) ** 2)
    assert test.most_pct > test.sd_pct


def test_sample_board_over_time():
    board = m.SampleBoard(((98.55, 59.20), (86.92, 55.02)), 4.46, label="A1")
    assert board.mc_now_pct(board.weight_at(20)) == pytest.approx(20)
    table = board.table([4, 10], [4.14, 3.70])
    assert list(table["day"]) == [0, 4, 10]
    assert table["mc_pct"].iloc[0] == pytest.approx(board.start_mc_pct)
    assert table["loss_pct_per_day"].iloc[1] == pytest.approx(
        (board.start_mc_pct - board.mc_now_pct(4.14)) / 4
    )


def test_second_section_repairs_a_bad_first_estimate():
    """True start is 70 %, the two ends read 60 %: the first estimate is off until a new section is cut."""
    true_dry = 3.0
    board = m.SampleBoard(((160, 100), (160, 100)), true_dry * 1.70)
    true_mc = 30.0
    assert board.mc_now_pct(true_dry * 1.30) < true_mc - 5
    shorter = board.corrected(((65.0, 50.0),), 0.95 * true_dry * 1.30)
    assert shorter.oven_dry == pytest.approx(0.95 * true_dry)
    assert shorter.mc_now_pct(0.95 * true_dry * 1.12) == pytest.approx(12)


def test_loads():
    load = m.trailer_load(2000, 3000)
    assert load.fits and load.trips == 1 and load.allow_for_lb == pytest.approx(2400)
    assert m.trailer_load(2600, 3000).trips == 2  # under the payload by itself, over it with the margin
    assert m.lift_in_people(40) == 1 and m.lift_in_people(43) == 2 and m.lift_in_people(0) == 1
    assert list(m.lift_in_people(np.array([40, 120]))) == [1, 3]


def wettest_lb_per_ft3(name):
    """The heaviest green figure that the tables hold for a wood: average, heartwood, sapwood, published.

    For a softwood with no figure for its sapwood, that of a relative.
    """
    row = species.table().set_index("name").loc[name]
    figures = ["green_mc_pct", "green_mc_heartwood_pct", "green_mc_sapwood_pct", "sapwood_stand_in_pct"]
    wet = row[figures].astype(float).max()
    printed = pd.read_csv(tables.folder() / "green_weights.csv").set_index("species")["green_lb_per_ft3"]
    return max(62.43 * row["basic_sg"] * (1 + wet / 100), printed.get(name, 0.0))


def test_the_wettest_figures_of_four_woods():
    """Sapwood of Douglas-fir at 115 %, red pine 134 %, baldcypress 171 %, sweetgum 137 % (data/species.csv)."""
    woods = ("Douglas-fir (coast)", "red pine", "baldcypress", "sweetgum")
    assert [round(wettest_lb_per_ft3(w)) for w in woods] == [60, 60, 71, 68]


@pytest.mark.parametrize("name", species.names())
def test_weights_to_load_for_are_at_least_the_wettest_figure(name):
    """Lumber and logs, whole margin on the wettest unless the cavities of so dense a tree are full first."""
    wettest = wettest_lb_per_ft3(name)
    likely = m.lumber_weight_lb(12, name)
    load = m.trailer_load(likely, 3000, margin=m.weight_margin(name)).allow_for_lb
    dense = (1 + m.WEIGHT_MARGIN) * species.get(name).basic_sg
    full = 62.43 * dense * (1 + m.greatest_mc_pct(dense) / 100)
    assert load == pytest.approx(min((1 + m.WEIGHT_MARGIN) * wettest, full))
    assert load > wettest
    # no less than the one without a wood, unless a log so dense has no room for more water
    assert m.weight_margin(name) >= m.weight_margin() - 1e-9 or load == pytest.approx(full)
    assert logs.log_weight_range_lb(name, 1.0)[1] == pytest.approx((1 + logs.BARK_SHARE) * load)


def test_the_scorecard_names_every_wood_with_no_room_for_a_fifth_more_water():
    """How much more than its wettest figure a tree a fifth denser weighs, full: whole percents, rounded down."""
    full = {n: m.weight_range_lb_per_ft3(n)[1] / wettest_lb_per_ft3(n) - 1 for n in species.names()}
    less = {n: int(100 * room) for n, room in full.items() if room < m.WEIGHT_MARGIN - 0.005}
    plan_on = tables.read("scorecard").set_index("number").plan_on["weight of logs and lumber"]
    named = {}
    for group in plan_on.partition(f"of {len(full)} woods {len(less)}: ")[2].partition(")")[0].split("; "):
        woods, pct = re.fullmatch(r"(.+) (\d+)(?: % over it)?", group).groups()
        named |= dict.fromkeys(re.split(", | and ", woods), int(pct))
    assert named == less


@pytest.mark.parametrize(
    ("name", "kin_pct", "lb_per_ft3"),
    [("eastern white pine", 148, 63), ("Virginia pine", 122, 74), ("eastern redcedar", 98, 65)],
)
def test_a_softwood_with_no_figure_for_its_sapwood_is_loaded_for_as_wet_as_its_kin(name, kin_pct, lb_per_ft3):
    """Sapwood of western white pine, shortleaf pine, Port-Orford cedar (Wood Handbook table 4-1), not brim-full."""
    wood = species.get(name)
    assert wood.green_mc_sapwood_pct is None and wood.mc_of_part_pct("sapwood") == kin_pct
    load = m.weight_range_lb_per_ft3(name)[1]
    assert load == pytest.approx(lb_per_ft3, abs=0.5)
    assert (
        62.43 * wood.basic_sg * (1 + kin_pct / 100)
        < load
        <= 62.43 * 1.2 * wood.basic_sg * (1 + kin_pct / 100) + 1e-9
    )
    assert load == m.weight_range_lb_per_ft3(name, part="sapwood")[1]


def test_every_softwood_has_a_figure_or_a_relative_for_its_sapwood():
    for name in species.names():
        wood = species.get(name)
        if wood.kind == "softwood":
            assert (wood.green_mc_sapwood_pct is None) == (wood.sapwood_stand_in_pct is not None)


@pytest.mark.parametrize("name", species.names())
@pytest.mark.parametrize("part", species.PARTS)
def test_one_start_for_drying_kilns_and_weight(name, part):
    """A green board weighs what it is dried from, and every way of drying takes whatever its wood can hold."""
    wood = species.get(name)
    try:
        start = m.start_mc_pct(wood, part=part)
    except InputError as said:
        assert f"how wet its {part} is" in str(said)
        return
    assert m.green_weight_lb_per_ft3(wood, part=part) == m.green_weight_lb_per_ft3(wood, start)
    assert m.lumber_weight_lb(12, wood, part=part) == m.green_weight_lb_per_ft3(wood, start, "green")
    assert start <= m.most_mc_pct(wood)
    assert drying.air_dry(wood, 1, "Madison", 5, part=part).start_mc_pct == start
    run = kiln.indoors(wood, 1, "Madison", 5, mc_start_pct=None, days=1, part=part)
    assert run.mc_start_pct == start


def test_a_start_that_no_wood_holds_is_refused_everywhere():
    for dry in (
        lambda mc: drying.air_dry("northern red oak", 1, "Madison", 5, start_mc_pct=mc),
        lambda mc: kiln.indoors("northern red oak", 1, "Madison", 5, mc),
        lambda mc: kiln.solar("northern red oak", 1, "Madison", 5, mc_start_pct=mc, days=1),
        lambda mc: kiln.dehumidifier("northern red oak", 1, mc_start_pct=mc, days=1),
        lambda mc: heat_treatment.minutes_to_core(1, 60, wood="northern red oak", mc_pct=mc),
    ):
        with pytest.raises(InputError, match="northern red oak cannot hold more than 131 %"):
            dry(200)
        dry(120)
    assert kiln.solar("western redcedar", 1, "Madison", 5, days=1, part="sapwood").mc_start_pct == 249


@pytest.mark.parametrize("name", species.names())
def test_the_least_weight_is_no_more_than_the_driest_figure(name):
    wood = species.get(name)
    driest = min(
        mc
        for mc in (wood.green_mc_pct, wood.green_mc_heartwood_pct, wood.green_mc_sapwood_pct)
        if mc is not None
    )
    assert m.weight_range_lb_per_ft3(name)[0] <= 62.43 * wood.basic_sg * (1 + driest / 100)


def test_a_measured_moisture_content_takes_the_plain_margin():
    low, high = m.weight_range_lb_per_ft3("sweetgum", np.array([20.0, 60.0]))
    likely = m.green_weight_lb_per_ft3("sweetgum", np.array([20.0, 60.0]), "green")
    assert low == pytest.approx(0.8 * likely) and high == pytest.approx(1.2 * likely)
    full = m.greatest_mc_pct(species.get("sweetgum").basic_sg)
    low, high = m.weight_range_lb_per_ft3("sweetgum", 1.1 * full)  # a lighter tree than its species, and full
    assert low < high == m.green_weight_lb_per_ft3("sweetgum", 1.1 * full, "green")


def test_arrays_broadcast_and_scalars_are_floats():
    assert m.mc_pct(np.array([[150.0], [120.0]]), np.array([100.0, 90.0])).shape == (2, 2)
    assert type(m.mc_pct(150, 100)) is float
    assert type(m.green_weight_lb_per_ft3("white oak", 60)) is float


@pytest.mark.parametrize(
    ("call", "says"),
    [
        (lambda: m.mc_pct(100, 136), "swapped"),
        (lambda: m.mc_pct(4.46, 0.0592), "same unit"),
        (lambda: m.mc_pct("heavy", 1), "expected a number"),
        (lambda: m.green_weight_lb_per_ft3("northern red oak", 200), "cavities are full at 114"),
        (lambda: m.green_weight_lb_per_ft3("northern red oak", 20, volume="dry"), "now"),
        (lambda: m.oven_test(98, 59, 28), "unit of the weights"),
        (lambda: m.SampleBoard((), 4.4), "one or more pairs"),
        (lambda: m.SampleBoard(((1, 2, 3),), 4.4), "pairs"),
        (lambda: m.SampleBoard(((98, 59),), 4.4).mc_now_pct(1900), "Is it this board"),
        (lambda: m.SampleBoard(((98, 59),), 4.4).corrected(((98, 59),), 4.5), "cannot weigh"),
        (lambda: m.SampleBoard(((98, 59),), 4.4).table([3, 2], [4.2, 4.1]), "each later"),
        (lambda: m.meter_corrected_pct(12, 50, kind="needle"), "pinless"),
        (lambda: m.meter_corrected_pct(12, 300), "wood's temperature"),
        (lambda: m.trailer_load(2000, 0), "Payload"),
        (lambda: m.trailer_load(2000, 3000, margin=20), "20 % is 0.2"),
    ],
)
def test_bad_input_says_why(call, says):
    with pytest.raises(InputError, match=says):
        call()


@pytest.mark.parametrize(("reading", "kind"), [(35, "pin"), (5, "pin"), (3, "pinless")])
def test_meter_warns_outside_its_range(reading, kind):
    with pytest.warns(RangeWarning, match=kind):
        m.meter_corrected_pct(reading, 70, kind=kind)


def test_a_pair_without_its_brackets_is_named():
    with pytest.raises(InputError, match="expected pairs"):
        m.SampleBoard((98.55, 59.20), 4.46)


def test_in_use():
    assert m.in_use_mc_pct("exterior", "dry southwest") == (9.0, 7.0, 12.0)
    with pytest.raises(InputError, match="Known"):
        m.in_use_mc_pct("attic")


def test_a_wet_basis_figure_that_must_be_dry_basis():
    with pytest.raises(InputError, match="dry basis already"):
        m.from_wet_basis_pct(100)
