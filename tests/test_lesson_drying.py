"""Lesson 07: its panels against the calculators, its exercises against arithmetic written out here."""

import datetime
import re

import numpy as np
import pandas as pd
import pytest
from second_answers import agree

from woodcalc import air, climate, drying, records, species
from woodcalc.climate.spells import spells
from woodcalc.dates import day_told
from woodcalc.drying import slab
from woodcalc.drying.forecast import taught
from woodcalc.figures import drying as figures
from woodcalc.lesson import drying as lesson
from woodcalc.lesson.answers import ask, hidden_truth
from woodcalc.lesson.exercises.drying import EXERCISES


@pytest.mark.parametrize("wood", species.names())
def test_every_wood_draws(wood):
    _, sentence, table = figures.curve(wood, "5/4", "Asheville, NC", 4, "ordinary")
    assert wood[1:] in sentence
    assert ("by its density" in sentence) == (drying.rate(wood).basis == "specific gravity")
    assert table.count("<tr>") == 5


def test_the_curve_panel_reads_out_the_forecast():
    panel = lesson.curve_panel()
    panel.dials["wood"].value, panel.dials["month"].value = "white oak", 3
    forecast = drying.air_dry("white oak", 1, "Madison, WI", f"{figures.YEAR}-03-15")
    low, likely, high = forecast.date_of(20)
    assert f"20 % on {likely.day} {likely:%B}" in panel.reading
    assert f"from {low.day} {low:%B} to {high.day} {high:%B}" in panel.reading
    assert f"no drier than {forecast.stops_at_pct:.0f} %" in panel.reading
    assert f">{forecast.days_to(25).likely:.0f}</td>" in panel.below.value


def test_the_year_panel_names_its_best_and_worst_month():
    panel = lesson.starts_panel()
    panel.dials["place"].value = "Mobile, AL"
    likely = drying.by_start("northern red oak", "4/4", "Mobile, AL").likely
    for month in (likely.idxmin(), likely.idxmax()):
        assert figures.month_name(month) in panel.reading and f"{likely[month]:.0f}" in panel.reading
    assert "Saw and stack in" in panel.reading  # the advice, with its reason


@pytest.mark.parametrize("place", ["Madison, WI", "Mobile, AL", "Denver, CO"])
def test_the_years_columns_are_single_forecasts(place):
    # one pace for all three causes of spread, against the forecast's three: to 4 days and 4 %
    table = drying.by_start("sugar maple", "4/4", place)
    for month in (2, 5, 8, 11):
        days = drying.air_dry("sugar maple", 1, place, datetime.date(2025, month, 15)).days_to(20)
        for name in ("low", "likely", "high"):
            assert table.loc[month, name] == pytest.approx(getattr(days, name), rel=0.04, abs=4), (
                month,
                name,
            )


def test_never_is_said_on_every_panel():
    _, sentence = figures.starts("white oak", "8/4", "Arcata, CA", 14)
    assert "no month of stacking" in sentence
    _, sentence = figures.side_by_side("Arcata, CA", 5, 14)
    assert "does not get there" in sentence


def test_day_names():
    start = datetime.date(2025, 11, 15)
    assert figures.day_name(start, 10) == "25 November"
    assert figures.day_name(start, 60) == "14 January of the next year"
    assert figures.day_name(start, 450) == "8 February two years on"
    assert figures.day_name(start, 900) == "3 May three years on"
    assert figures.day_name(start, 4 * 365) == "14 November four years on"
    assert figures.day_name(datetime.date(2025, 12, 31), 4 * 365 + 2) == "1 January five years on"
    assert figures.day_name(start, float("nan")) == "never"


def test_warm_days_are_days_times_the_temperature_factor():
    worth, m = drying.warm_days("Madison"), climate.get("Madison").monthly
    by_hand = climate.MONTH_DAYS * drying.temperature_factor(m.temp_f.to_numpy())
    assert np.allclose(worth, by_hand, rtol=0.05)  # a month's mean day is not the mean of its days
    assert worth.idxmax() == 7 and worth.idxmin() == 1


def test_the_pencils_worked_example():
    """84 warm days from 1 June at Madison: 30 in June, 37 in July, 17 of August's 33: 30 + 31 + 16 = 77 days."""
    needed = drying.warm_days_needed("northern red oak")
    assert round(needed) == 84
    assert drying.days_for_warm_days("Madison", "2025-06-01", needed) == pytest.approx(77, abs=1.5)


@pytest.mark.parametrize("wood", ["red maple", "sugar maple", "northern red oak", "white oak"])
def test_the_pencil_keeps_near_the_forecast_in_a_humid_summer(wood):
    # one EMC for the whole summer, where the forecast has each day's: to 10 %
    pencil = drying.days_for_warm_days("Madison", "2025-06-01", drying.warm_days_needed(wood))
    assert pencil == pytest.approx(
        drying.air_dry(wood, 1, "Madison", "2025-06-01").days_to(20).likely, rel=0.1
    )


def test_pencil_limits():
    with pytest.raises(ValueError, match="never brings it there"):
        drying.warm_days_needed("red maple", mc_pct=14, emc_pct=15)
    assert drying.warm_days_needed("red maple", mc_pct=100) == 0
    ratio = drying.warm_days_needed("white oak", 2.0) / drying.warm_days_needed("white oak", 1.0)
    assert ratio == pytest.approx(drying.THICKNESS_TIMES["8/4"], rel=0.05)


def by_hand(exercise, n):
    """The answer in arithmetic of its own."""
    if exercise.key == "thicker-takes-longer":
        return n["days"] * {"6/4": 1.7, "8/4": 2.5}[n["thick"]]
    if exercise.key == "water-left-after-outdoors":
        return n["dry_lb"] * n["stop_pct"] / 100 - n["dry_lb"] * 0.07
    if exercise.key == "warm-day-ledger":
        left, days = n["needed"], 0
        for name, worth in re.findall(r"(\w{3}) (\d+)", n["ledger"]):
            length = climate.MONTH_DAYS[climate.month_number(name) - 1]
            part = min(1, left / int(worth))
            left, days = left - part * int(worth), days + part * length
        assert left < 1e-9
        return days
    if exercise.key == "best-month-to-stack":
        starts = [datetime.date(2025, m, 15) for m in range(1, 13)]
        return drying.grid([n["place"]], starts, [n["wood"]], [n["thick"]]).days.min()
    # a stack to save: its first day as a slab in the driest week's air, step by step over the closing
    rate, green, month = drying.rate("white oak").per_day / 4, species.get("white oak").start_mc_pct, 6
    dry, usual = spells("Madison").loc[month], climate.get("Madison").monthly.loc[month]
    temp, emc = usual.temp_f + dry.warmer_f, usual.emc_pct - dry.emc_drop_pct
    factor = slab.temperature_factor(temp)
    depression = temp - air.wet_bulb_f(temp, air.rh_for_emc_pct(temp, emc))
    for closed in range(0, 91, 5):
        bi = 2.0 * np.sqrt(n["wind_times"] * (1 - closed / 100)) * depression / 7.57 / factor
        b, B = slab.roots(bi, 40), slab.weights(bi, 40)
        mean = emc + (B * (green - emc) * np.exp(-(b**2) * rate * factor)).sum()
        if green - mean <= 1.0:
            return closed
    raise AssertionError


@pytest.mark.parametrize("exercise", EXERCISES, ids=lambda e: e.key)
def test_answers_worked_by_hand_are_right(exercise):
    agree(exercise, lambda **n: by_hand(exercise, n), within=0.2, turns=12)


def test_boxes():
    box = ask("warm-day-ledger")
    box.field.value = str(box.exercise.solve(**box.numbers))
    assert "Right" in box.feedback.value
    hidden = hidden_truth("a-stack-to-save", lesson.stack_to_save_panel)
    assert "1.00 point a day" in hidden.box.question_line.value


def test_the_curve_starts_with_the_part_of_the_log_and_says_what_is_not_known():
    start = [
        figures.curve("sweetgum", "4/4", "Roanoke, VA", 4, "ordinary", part)[1] for part in species.PARTS
    ]
    assert len(set(start)) == 3 and "Sweetgum, sapwood, 4/4" in start[2]
    assert (
        "Loblolly pine, heartwood, 4/4"
        in figures.curve("loblolly pine", "4/4", "Roanoke, VA", 4, "ordinary", "heartwood")[1]
    )
    cherry = figures.curve("black cherry", "4/4", "Madison, WI", 4, "ordinary", "sapwood")[1]
    assert "How wet its sapwood is, is not known here" in cherry and "Black cherry 4/4" in cherry


@pytest.mark.parametrize("wood", ["white oak", "northern red oak", "loblolly pine", "sugar maple"])
def test_sapwood_whose_pace_is_not_known_is_promised_no_date_of_its_own(wood):
    """At the rate of the whole log it would come out slower for its wetter start, where it is likely faster."""
    *_, mixed, table = figures.curve(wood, "4/4", "Madison, WI", 5, "ordinary")
    *_, says, sap = figures.curve(wood, "4/4", "Madison, WI", 5, "ordinary", "sapwood")
    assert sap == table and says.startswith(mixed)
    green = species.get(wood).mc_of_part_pct("sapwood")
    assert f"Its sapwood starts at {green:.0f} % and likely dries at a faster pace" in says
    one = drying.air_dry(wood, 1, "Madison", "2026-05-15", part="sapwood").says(20)
    assert one.endswith("likely faster than this.")


@pytest.mark.parametrize("wood", sorted(set(species.names()) - {"sweetgum"}))
def test_no_part_of_the_log_is_dated_the_wrong_way_round(wood):
    """Sapwood lets water out faster: heartwood that is no sooner done for its lack of water is not dated before it."""
    made = {}
    for part in species.PARTS:
        of, why = drying.dated_part(wood, part)
        assert bool(why) == (of != part)
        made[part] = drying.air_dry(wood, 1, "Madison", "2026-05-15", part=of).days_to(20).likely
    assert made["sapwood"] == made["mixed"]
    assert made["heartwood"] >= made["mixed"] or species.get(wood).mc_of_part_pct("heartwood") <= 40


def test_the_curve_panel_has_its_dials():
    assert list(lesson.curve_panel().dials) == ["wood", "thickness", "place", "month", "airflow", "part"]


def kept(folder, readings=""):
    folder.mkdir()
    (folder / "stacks.csv").write_text(
        "stack,species,nominal,place,stacked\nPine,eastern white pine,4/4,Madison,2026-06-02\n"
        "Oak1,northern red oak,4/4,Madison,2026-05-21\n"
    )
    if readings:
        (folder / "readings.csv").write_text(f"date,stack,board,kind,value,unit\n{readings}")


def test_my_stack_starts_on_its_own_day_and_shows_its_readings(tmp_path, monkeypatch):
    monkeypatch.setenv("WOODCALC_MY_WOOD", str(tmp_path / "mine"))
    assert "month" in lesson.my_stack_panel().dials  # nothing kept: what was chosen
    weighed = "".join(
        f"2026-0{m},Oak1,1,weight,{lb},lb\n" for m, lb in (("5-21", 17.8), ("6-04", 15.5), ("6-18", 14.1))
    )
    kept(tmp_path / "mine", f"2026-05-21,Oak1,1,oven-dry,10,lb\n{weighed}")
    panel = lesson.my_stack_panel()
    assert list(panel.dials["stack"].options) == ["Oak1", "Pine"]  # those with readings first
    before = drying.air_dry("northern red oak", "4/4", "Madison", "2026-05-21")
    seen = [
        {"date": f"2026-0{m}", "mc_pct": mc, "board": "1"}
        for m, mc in (("5-21", 78), ("6-04", 55), ("6-18", 41))
    ]
    assert before.update(seen).says(20) in panel.reading
    assert "stacked on 21 May 2026 at Madison, WI, with 3 readings" in panel.reading
    assert "Aug 2026" in panel.below.value
    svg = figures.own_curve("Oak1", before, pd.DataFrame(seen).assign(kind="weight"))[0].svg()
    assert "weighed" in svg and ">2027<" in svg  # the key, and the year on the axis
    panel.dials["let_in"].value = False
    assert before.says(20) in panel.reading and "its 3 readings left out" in panel.reading
    panel.dials["stack"].value = "Pine"
    assert "stacked on 2 June 2026 at Madison, WI, with no readings" in panel.reading


def test_readings_that_contradict_my_stack_are_shown_and_tell_no_date(tmp_path, monkeypatch):
    monkeypatch.setenv("WOODCALC_MY_WOOD", str(tmp_path / "mine"))
    odd = "".join(
        f"2026-{day},Oak1,1,weight,{lb},lb\n" for day, lb in (("06-04", 16), ("06-30", 17.5), ("08-01", 17.5))
    )
    kept(tmp_path / "mine", f"2026-05-21,Oak1,1,oven-dry,10,lb\n{odd}")
    panel = lesson.my_stack_panel()
    assert "no date is told from them" in panel.reading and panel.below.value == ""
    assert "weighed" in figures.own_curve("Oak1", *_oak_and_its_readings())[0].svg()


def _oak_and_its_readings():
    before = drying.air_dry("northern red oak", "4/4", "Madison", "2026-05-21")
    days = pd.to_datetime(["2026-06-04", "2026-06-30", "2026-08-01"])
    return before, pd.DataFrame({"date": days, "kind": "weight", "board": "1", "mc_pct": [60.0, 75.0, 75.0]})


def _agrees_with_itself(stack, forecast, readings):
    """The row of 20 % in the table below a stack has the days of the sentence above it; the rows go on in time."""
    _, said, table = figures.own_curve(stack, forecast, readings)
    rows = [re.findall(r"<td>(.*?)</td>", row)[2:] for row in table.split("</tr>")[1:5]]
    after = taught(forecast, readings)[0].date_of(20)
    assert rows[2] == [day_told(day) for day in after]
    assert all(drying.day_words(day) in said for day in after if day)
    for column in zip(*rows, strict=True):
        days = [datetime.datetime.strptime(day, "%d %b %Y") for day in column if day != "never"]
        assert days == sorted(days), column


@pytest.mark.parametrize("stack", ["A", "B", "C"])
def test_the_table_of_a_stack_has_the_days_of_its_sentence(stack):
    wood = records.read_usable(records.KETTLE_HOLLOW)
    row = next(row for row in wood.tables["stacks"].itertuples() if row.stack == stack)
    _agrees_with_itself(stack, drying.of_stack(row, "Madison, WI"), wood.moistures(stack))


@pytest.mark.parametrize("newest", [20.6, 22.0, 24.0])
def test_the_table_has_the_days_of_its_sentence_where_two_boards_disagree(newest):
    oak = drying.air_dry("northern red oak", "4/4", "Madison, WI", "2026-04-01")
    seen = [
        ("2026-06-01", "1", 30.0),
        ("2026-06-01", "2", 39.0),
        ("2026-08-01", "1", 18.0),
        ("2026-08-01", "2", 26.0),
    ]
    seen += [("2026-08-20", "2", newest)]
    table = pd.DataFrame(seen, columns=["date", "board", "mc_pct"]).assign(kind="weight")
    _agrees_with_itself("W", oak, table.assign(date=pd.to_datetime(table["date"])))


@pytest.mark.filterwarnings("ignore:.* is thicker than 8/4:woodcalc.checks.RangeWarning")
@pytest.mark.parametrize("month", [1, 6, 12])
@pytest.mark.parametrize("thickness", ["8/4", "12/4", "16/4"])
def test_the_days_of_thick_stock_go_on_in_time(thickness, month):
    """White oak at Duluth takes up to four years; each row and column of its table is later than the one before."""
    table = figures.curve("white oak", thickness, "Duluth, MN", month, "ordinary")[2]
    rows = [re.findall(r"<td>(.*?)</td>", row)[2:] for row in table.split("</tr>")[1:5]]

    def when(told):
        if told == "never":
            return datetime.date.max
        day, name, after = re.fullmatch(r"(\d+) (\w+)(.*)", told).groups()
        words = (
            "",
            " of the next year",
            " two years on",
            " three years on",
            " four years on",
            " five years on",
        )
        year = figures.YEAR + words.index(after)
        return datetime.datetime.strptime(f"{day} {name} {year}", "%d %B %Y").date()

    days = [[when(told) for told in row] for row in rows]
    for line in (*days, *zip(*days, strict=True)):
        assert list(line) == sorted(line), rows
    forecast = drying.air_dry("white oak", thickness, "Duluth, MN", figures.stacked(month))
    assert [day for day in days[2]] == [day or datetime.date.max for day in forecast.date_of(20)]


def test_a_board_that_was_wetter_after_all_days_of_the_sentence_is_named_beside_them():
    oak = drying.air_dry("northern red oak", "4/4", "Madison, WI", "2026-04-01")
    seen = [
        ("2026-06-01", "1", 30.0),
        ("2026-06-01", "2", 39.0),
        ("2026-11-20", "1", 15.0),
        ("2026-11-20", "2", 23.0),
    ]
    table = pd.DataFrame(seen, columns=["date", "board", "mc_pct"]).assign(kind="weight")
    table["date"] = pd.to_datetime(table["date"])
    said = figures.own_curve("W", oak, table)[1]
    assert taught(oak, table)[0].date_of(20).high < datetime.date(2026, 11, 20)
    assert said.endswith(
        "But board 2 read 23 % on 20 November 2026, after all of these days: the stack is not ready."
    )
    assert "But " not in figures.own_curve("W", oak, table, let_in=False)[1]
    assert "But " not in figures.own_curve("W", oak, table.assign(mc_pct=[30.0, 39.0, 15.0, 19.0]))[1]
