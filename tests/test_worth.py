"""What logs bring as logs and as lumber: sums by hand, and the boxes that show them."""

import re

import pytest

from woodcalc.checks import InputError
from woodcalc.lesson import logs as log_boxes
from woodcalc.lesson import sawing as boxes
from woodcalc.lesson.box import plain
from woodcalc.logs import Log, paid_scale
from woodcalc.plan import make_plan
from woodcalc.records.own_mill import keep_mill
from woodcalc.sawing import saw_tally
from woodcalc.sawing.mill import Mill
from woodcalc.sawing.worth import Terms, sales, sawing_usd

LOGS = [Log(16, 18.5, 12, label="1"), Log(12, 13.5, 10, label="2", defect_pct=20)]


@pytest.fixture(scope="module")
def sawn():
    return saw_tally(LOGS, 1 / 8, {"4/4": 1.0625})


def test_each_way_to_sell_adds_up_by_hand(sawn):
    terms = Terms(
        green_usd=0.9, air_dried_usd=1.4, dry_usd=3, lost_pct=20, shrunk_pct=8, hour_usd=90, bf_per_hour=150,
        air_drying_usd=0.25, drying_usd=0.8, blades=2, blade_usd=25, cord_usd=100, sawdust_usd=9,
    )  # fmt: skip
    by = {sale.sold_as: sale for sale in sales(sawn, 100, 60, terms)}
    green = 0.8 * (sawn.plans[0].board_feet + 0.8 * sawn.plans[1].board_feet)
    mill = green * 90 / 150 + 50
    beside = sawn.firewood_cords * 100 + 9 * 3 / 27 * sawn.logs["sawdust_ft3"].sum()
    assert by["as logs"].left_usd == 60 and by["as logs"].beside_usd == 0
    assert by["as green lumber"].left_usd == pytest.approx(0.9 * green + beside - mill)
    assert by["as air-dried lumber"].left_usd == pytest.approx(
        1.4 * 0.92 * green + beside - mill - 0.25 * green
    )
    assert by["as dry lumber"].left_usd == pytest.approx(3 * 0.92 * green + beside - mill - 0.8 * green)
    assert all(s.left_usd == pytest.approx(s.brings_usd + s.beside_usd - s.costs_usd) for s in by.values())


def test_by_the_foot_goes_before_by_the_hour_and_no_price_is_below_nothing(sawn):
    assert sawing_usd(300, Terms(sawing_usd=0.4, hour_usd=900)) == pytest.approx(120)
    assert sawing_usd(300, Terms(hour_usd=90, bf_per_hour=150)) == pytest.approx(180)
    lost, none = (sales(sawn, 0, 0, Terms(blades=b, blade_usd=25))[1].left_usd for b in (3, 0))
    assert none - lost == pytest.approx(75)
    for wrong in ({"dry_usd": -1}, {"bf_per_hour": 0}, {"lost_pct": 100}):
        with pytest.raises(InputError):
            Terms(**wrong)


def test_the_box_shows_the_same_sums_and_keeps_what_is_mistyped():
    box = boxes.own_worth()
    assert "The prices that stand here are invented: type your own." in box.told.value
    left = {
        row[0]: float(row[-1].replace(",", ""))
        for row in (re.findall(r"<td[^>]*>(.*?)</td>", r) for r in box.told.value.split("<tr>"))
        if row
    }
    assert set(left) == {"as logs", "as green lumber", "as air-dried lumber", "as dry lumber"}
    box.dials["blades"].value = "4"
    assert f"{left['as dry lumber'] - 120:,.0f}" in box.told.value
    before = box.told.value
    box.dials["dry_usd"].value = "much"
    assert box.dials["dry_usd"].value == "much" and "Dry lumber" in box.told.value != before


def test_a_price_by_the_piece_stands_beside_the_one_by_the_thousand():
    box = log_boxes.own_price()
    assert "By the piece" not in box.told.value
    box.dials["piece"].value = "40"
    told = re.search(
        r"By the piece: (\d+) at \$40.00 are <b>\$([\d,]+)</b>, \$([\d,]+) a thousand", box.told.value
    )
    assert int(told[1]) * 40 == int(told[2].replace(",", ""))
    net = float(re.search(r"net ([\d,]+) bf", box.told.value)[1].replace(",", ""))
    assert float(told[3].replace(",", "")) == pytest.approx(1000 * 40 * int(told[1]) / net, rel=0.001)
    assert paid_scale(LOGS, "Doyle", 500)["usd"].sum() > 0


def test_the_plan_and_the_prices_tell_one_figure_of_one_tally(tmp_path, monkeypatch):
    monkeypatch.setenv("WOODCALC_MY_WOOD", str(tmp_path))
    rows = "A,northern red oak,45 cm,52 cm,12,1,5\nB,white oak,15.4,18,10,2,0\nC,sugar maple,13,15.5,8,0,10\n"
    (tmp_path / "logs.csv").write_text("log,species,small_in,large_in,length_ft,sweep_in,defect_pct\n" + rows)
    mill = Mill(kerf_in=0.1, step_in=0.125)
    keep_mill(mill)
    plan = make_plan(tmp_path, start="2026-05-15", mill=mill, assumptions={"kerf_in": mill.kerf_in})
    said = plain(boxes.own_worth().told.value)
    assert f"as green lumber  {plan.step('saw').table.iloc[-1].expected_bf:,.0f}  " in said
    assert (
        f"As measured, as in the plan, they hold {plan.step('scale').table.iloc[-1].doyle_bf:,.0f} bf."
        in said
    )
