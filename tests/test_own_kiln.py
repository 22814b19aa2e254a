"""A kiln of one's own: section, list, run sheet and pages from the same figures; what a change buys; a room."""

import html
import math
import re
import warnings

import numpy as np
import pytest

from woodcalc import kiln, species
from woodcalc.figures import own_kiln as figures
from woodcalc.kiln import building, design, room
from woodcalc.lesson import own_kiln as lesson
from woodcalc.records import choices
from woodcalc.sizes import nominal_in

DIALS = dict(
    load_bf=800, wood="black cherry", thickness="5/4", start="green, from the saw", place="Madison, WI", bf_per_ft2=10,
    facing_deg=180, slope_deg=43, shade_h=0, glazing=2, insulation_r=11, fan_ft_min=150, fan_w=0,
    timer="day and night to 20 %, then 8 to 18 h", cents=17,
)  # fmt: skip


@pytest.fixture(scope="module")
def mine():
    return figures.made(**DIALS)


@pytest.fixture
def panel(tmp_path, monkeypatch):
    monkeypatch.setenv(choices.VARIABLE, str(tmp_path / "my-wood"))
    return lesson.design_panel()


@pytest.mark.parametrize("load", [100, 450, 800, 2000])
@pytest.mark.parametrize("slope", [20, 43, 70])
@pytest.mark.parametrize("bf_per_ft2", [5, 10, 20])
def test_a_section_holds_its_load_its_fans_and_all_of_its_glass(load, slope, bf_per_ft2):
    one = figures.made(**DIALS | dict(load_bf=load, slope_deg=slope, bf_per_ft2=bf_per_ft2))
    cut = building.section(one)
    south, north, foot, top = cut.load_ft
    assert cut.glass_up_ft * cut.length_ft == pytest.approx(one.glass)
    rise = cut.peak_ft - cut.south_ft
    assert math.hypot(rise, cut.peak_at_ft) == pytest.approx(cut.glass_up_ft)
    assert rise == pytest.approx(cut.peak_at_ft * math.tan(math.radians(slope)))
    # off the walls, off the floor, under the black sheet, with room for the fans
    assert south >= design.PLENUM_IN / 12 - 1e-9 and cut.width_ft - north >= design.PLENUM_IN / 12 - 1e-9
    assert foot > 0 and top - foot == pytest.approx(one.box.stack_ft[2]) and top - foot <= design.HIGHEST_FT
    for x in (south, north, cut.width_ft / 2):
        assert cut.roof_ft(x) - building.BLACK_FT >= top + building.OVER_LOAD_FT - 1e-9
    assert cut.roof_ft(cut.width_ft / 2) - building.BLACK_FT - top >= cut.fan_in / 12
    assert cut.fans * building.FANS_CFM[cut.fan_in] >= one.fan_cfm
    assert cut.vents * cut.vent_in[0] * cut.vent_in[1] >= one.vent_in2
    assert cut.north_ft < cut.peak_ft + 1e-9


def test_the_stack_of_a_section_has_the_load(mine):
    long, wide, high = mine.box.stack_ft
    boards = (
        long * wide * high * 12 * 0.9 * 1.25 / (1.25 + 0.75)
    )  # nine tenths of the layers, between stickers
    assert 800 <= boards < 800 + long * wide * 1.25 * 0.9


def test_the_list_counts_what_the_section_shows(mine):
    bought, cut = building.what_to_buy(mine).set_index("part"), building.section(mine)
    assert bought.how_much["glazing"] == f"2 layers of {1.1 * mine.glass:.0f} ft2"
    assert bought.how_much["black sheet"] == f"{1.1 * mine.glass:.0f} ft2"
    sheets = int(re.match(r"\d+", bought.how_much["floor, both sides"]).group())
    assert 2 * cut.floor_ft2 <= 32 * sheets < 2.2 * cut.floor_ft2 + 32
    stickers, long = (int(n) for n in re.findall(r"\d+", bought.how_much["stickers"]))
    assert long == mine.box.stack_ft[1] and stickers == (mine.box.layers + 1) * 7  # 16 in apart on 8 ft
    assert (
        f"{mine.fan_cfm:,.0f} cubic feet" in bought.what["fans"]
        and f"{mine.watts:.0f} W" in bought.how_much["fans"]
    )
    ends = cut.walls_ft2 - cut.length_ft * (
        cut.south_ft + cut.north_ft
    )  # two trapezoids, here by the shoelace
    x = np.array([0, 0, cut.peak_at_ft, cut.width_ft, cut.width_ft])
    y = np.array([0, cut.south_ft, cut.peak_ft, cut.north_ft, 0])
    assert ends == pytest.approx(2 * 0.5 * abs(np.dot(x, np.roll(y, 1)) - np.dot(y, np.roll(x, 1))))


def test_the_run_sheet_is_the_run(mine):
    sheet = building.run_sheet(mine, 5)
    run = kiln.solar(
        "black cherry", "5/4", "Madison", 5, 800, None, 8, 250, 80, 43, fan_w=240, night_fans_above_pct=20
    )
    assert (run.daily.heat_gap.max(), run.daily.water_gap.max()) < (1e-6, 1e-6)
    shown = sheet.days.set_index("day")
    for column in ("mc_pct", "loss_pct"):
        assert np.allclose(shown[column], run.daily[column][shown.index])
    assert np.allclose(shown.weighs, 1 + run.daily.mc_pct[shown.index] / 100)
    assert list(shown.index[:14]) == list(range(1, 15)) and shown.index[-1] == len(run.daily) == math.ceil(
        run.days_to()
    )
    assert len(shown) <= building.MOST_ROWS + 1
    off = run.hourly[(run.hourly.hour == 2) & (run.hourly.fans == 0)].day.min()
    assert (shown.fans == "by the timer").equals(shown.index.to_series() >= off)
    assert shown.what[shown.what.str.contains("timer")].index[0] >= off
    assert "Stop here" in shown.what.iloc[-1] and "Weigh" in shown.what.iloc[0]
    text = " ".join(sheet.end)
    assert (
        "133 F" in text
        and "30 minutes" in text
        and "less than 120 F" in text
        and f"{sheet.hottest_f:.0f} F" in text
    )


def test_the_quick_look_is_near_the_run_in_full(report):
    """Four hours a step on the dials, half an hour on paper."""
    import pandas as pd

    rows = []
    for wood, thickness, start in (("northern red oak", "4/4", "green, from the saw"), ("black cherry", "5/4", "30 %"),
                                   ("white oak", "8/4", "25 %"), ("yellow-poplar", "4/4", "20 %")):  # fmt: skip
        for month in (2, 5, 8, 11):
            one = figures.made(**DIALS | dict(wood=wood, thickness=thickness, start=start))
            full = one.run(month, days=365)
            clear = one.run(month, days=20, sunny=True, stop=False)
            look = one.by_month(month)
            rows.append((wood, thickness, start, month, full.days_to(), look["days"], clear.daily.loss_pct.max(),
                         look["worst_loss_pct"]))  # fmt: skip
    table = pd.DataFrame(
        rows, columns=["wood", "thickness", "start", "month", "days", "quick", "loss", "quick loss"]
    )
    report("A kiln on its dials beside the run in full", table.round(2))
    near = np.abs(np.log(table.quick / table.days))
    # measured: a day or 5 % at most, and 6 % of a day's loss; a look of loading takes 6 % as well
    assert near.max() < 0.06 and (table["quick loss"] / table.loss - 1).abs().max() < 0.07


def test_glass_that_a_charge_bears_is_where_its_worst_day_is_safe():
    one = figures.made(**DIALS | dict(wood="northern red oak", thickness="4/4", load_bf=450))
    for month in (4, 7):
        bears = one.bears_ft2(month)
        losses = [
            one.run(month, k * bears, days=20, sunny=True, stop=False).daily.loss_pct.max()
            for k in (0.85, 1.15)
        ]
        assert losses[0] < one.safe_loss_pct_per_day < losses[1]
    assert figures.made(**DIALS | dict(wood="black locust")).bears_ft2(5) is None


def test_what_a_change_buys_is_the_difference_of_two_kilns(mine):
    changes = mine.changes(5)
    walls = figures.made(**DIALS | dict(insulation_r=21)).by_month(5)
    row = changes.loc["walls of R-21 in place of R-11"]
    assert row.days == walls["days"] and row.days_fewer == pytest.approx(
        mine.by_month(5)["days"] - walls["days"]
    )
    assert row.usd_less == pytest.approx(0.17 * (mine.by_month(5)["kwh"] - walls["kwh"]))
    # directions: more insulation and glass are quicker, shade and still nights slower; still nights cost less
    assert (changes.days_fewer[[n for n in changes.index if "R-21" in n or "glass again" in n]] > 0).all()
    assert (changes.days_fewer[[n for n in changes.index if "shade" in n or "at night" in n]] <= 0).all()
    assert changes.usd_less["fans off at night"] > 0
    shaded = figures.made(
        **DIALS | dict(shade_h=4, facing_deg=120, start="16 %", glazing=3, timer="8 to 18 h")
    )
    words = list(shaded.changed())
    assert (
        "an hour less of shade" in words
        and "facing south" in words
        and "fans on day and night until 20 %" in words
    )
    assert not [w for w in words if "glazing" in w or "outdoors" in w]
    assert sum(shaded.changed()["an hour less of shade"].shade_h) == pytest.approx(3)


def test_the_panel_says_first_how_long_it_takes_and_what_it_costs(panel):
    mine = figures.made(**DIALS)
    row = mine.by_month(5)
    low, high = kiln.give_or_take(row["days"])
    assert f"is down to 8 % in {row['days']:.0f} days ({low:.0f} to {high:.0f})" in panel.reading
    assert f"{row['kwh']:.0f} kWh, ${row['cost_usd']:.0f}." in panel.reading
    assert f"{mine.safe_loss_pct_per_day:.1f} % is safe, up to {mine.bears_ft2(5):.0f} ft2" in panel.reading
    panel.dials["wood"].value, panel.dials["bf_per_ft2"].value = "northern red oak", 4
    panel.dials["thickness"].value, panel.dials["month"].value = "4/4", 6
    assert "may check: cover the glass down to" in panel.reading
    panel.dials["wood"].value = "black locust"
    assert "No safe pace is published" in panel.reading and "no safe loss is published" not in panel.reading
    panel.dials["facing_deg"].value, panel.dials["shade_h"].value = 90, 8
    panel.dials["bf_per_ft2"].value, panel.dials["month"].value = 25, 10
    assert "too little sun" in panel.reading


def test_its_tables_come_when_the_dials_rest(panel):
    assert "after you move a dial" in panel.tables_line.value
    done = list(panel.work_out())
    assert len(done) == 13 + len(panel.kiln.changed())
    told = html.unescape(panel.tables_line.value)
    for month in (5, 7, 12):
        assert f"<td>{panel.kiln.by_month(month)['days']:.0f}</td>" in told
    assert "walls of R-21 in place of R-11" in told


def test_it_prints_into_the_learners_folder(panel):
    panel.write()
    page = html.unescape((choices.folder() / lesson.PAGE).read_text(encoding="utf-8"))
    cut = building.section(panel.kiln)
    assert "Written to" in panel.printed_line.value and page.count("<svg") == 2
    assert "glass 8 ft 11 in" in page and round(12 * cut.glass_up_ft) == 107
    for row in building.what_to_buy(panel.kiln).itertuples():
        assert row.what in page.replace("\xa0", " ")
    run = panel.kiln.run(5, days=250)
    assert (
        f"is down to 8\xa0% in {run.days_to():.0f} days ({run.between[0]:.0f} to {run.between[1]:.0f})"
        in page
    )
    for word in ("licensed electrician", "insurer", "wind and snow", "building department"):
        assert word in page
    assert not re.search(r"press|slider|dial", page)  # no screen talk on paper


def test_a_folder_that_cannot_be_written_is_said(panel, monkeypatch, tmp_path):
    (tmp_path / "a file").write_text("")
    monkeypatch.setenv(choices.VARIABLE, str(tmp_path / "a file"))
    panel.write()
    assert "The pages were not written" in panel.printed_line.value


def test_a_room_gets_the_smallest_machine_that_is_hardly_slower(report):
    sizes = room.machine_sizes("northern red oak", 1, 60)
    report("A room with a dehumidifier: 4/4 red oak from 60 %", sizes.round(1))
    assert (sizes.pints_per_day.diff().dropna() >= 0).all() and (sizes.water_lb.diff().dropna() > 0).all()
    for row in sizes.itertuples():
        runs = [
            kiln.dehumidifier("northern red oak", 1, row.load_bf, 60, 8, 150, pints, rough=4)
            for pints in (row.pints_per_day, 300)
        ]
        assert runs[0].days_to() == row.days <= 1.1 * runs[1].days_to() or row.pints_per_day == max(
            room.SOLD_PINTS
        )
        dry_lb = row.load_bf / 12 * 62.43 * species.get("northern red oak").basic_sg
        assert row.water_lb == pytest.approx(
            dry_lb * (60 - runs[0].mc_end_pct) / 100, rel=1e-3
        )  # 62.43, rounded
    steps = room.steps("northern red oak", 1, 60)
    assert steps.above_pct.tolist() == [40, 30, 20, 0] and np.allclose(steps.rh_pct, [80, 70, 55, 30])
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        assert "watch the faces" in room.advice("black locust", nominal_in("4/4"), sizes)[0]


def test_the_box_of_the_room_tells_the_table(panel):
    box = lesson.dehumidifier_room()
    sizes = room.machine_sizes("black cherry", "5/4", 25)
    told = re.sub(r"<td [^>]*>", "<td>", box.told.value)
    assert f"<td>{sizes.kwh[0]:.0f}</td><td>{sizes.cost_usd[0]:.0f}</td>" in told
    box.dials["cents"].value = 34
    told = re.sub(r"<td [^>]*>", "<td>", box.told.value)
    assert f"<td>{2 * sizes.cost_usd[4]:.0f}</td>" in told and "Defrost" in box.told.value
