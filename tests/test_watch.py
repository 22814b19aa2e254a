"""What to do next with a stack: the next weighing, the loss against the safe one, the day it is ready."""

from datetime import date, timedelta

import numpy as np
import pandas as pd
import pytest

from woodcalc import drying, records, species
from woodcalc.drying.forecast import taught
from woodcalc.drying.safe_loss import bears
from woodcalc.drying.watch import LEAST_DAYS, MOST_DAYS, Loss, days_between_weighings, dry_weeks_ahead, watch
from woodcalc.plan.standing import SampleWeights
from woodcalc.plan.standing import watched as stack_watched

OAK, START = "northern red oak", date(2027, 5, 15)


def readings(*rows, kind="weight", board="A1", sure=True):
    """(days after stacking, % MC), or with the board's name and the kind behind them."""
    made = [(START + timedelta(days=r[0]), *(r[2:] or (board, kind)), r[1], sure) for r in rows]
    table = pd.DataFrame(made, columns=["date", "board", "kind", "mc_pct", "sure"])
    return table.assign(date=pd.to_datetime(table["date"]))


def watched(table, days, wood=OAK, **more):
    before = drying.air_dry(wood, "4/4", "Madison", START)
    after, no_date = taught(before, table[table["sure"]])
    return watch("A", after, table, START + timedelta(days=days), no_date, **more)


def test_the_rows_of_the_usual_practice():
    """Weekly at first, two to three weeks later; never sooner or later than that."""
    days = [days_between_weighings(loss / 100) for loss in range(0, 800)]
    assert days == sorted(days, reverse=True) and (days[0], days[-1]) == (MOST_DAYS, LEAST_DAYS)
    assert days_between_weighings(-1.0) == MOST_DAYS


def test_a_loss_by_hand():
    """78 to 50 % in 14 days is 2 points a day; FOR-128 table 9 has 3.8 for red oak 4/4."""
    found = watched(readings((0, 78.0), (14, 50.0)), 14)
    (loss,) = found.losses
    assert (loss.pct_per_day, loss.safe_pct_per_day, loss.since) == (2.0, 3.8, START)
    assert found.says[2] == "Board A1 lost 2.0 points a day since 15 May 2027: safe (under 3.8)."
    assert found.next_weighing == START + timedelta(days=21) and not found.too_fast


def test_a_loss_over_the_safe_one_comes_first_and_is_weighed_again_soon():
    found = watched(readings((0, 80.0), (7, 51.0)), 7)  # 4.1 points a day
    assert found.too_fast and "over the safe 3.8. Slow it down now: close the windward side" in found.says[0]
    assert found.next_weighing == START + timedelta(days=10)


@pytest.mark.parametrize(
    ("lost", "verdict"), [(2.84, "safe"), (2.86, "close"), (3.8, "close"), (3.81, "over"), (3.85, "over")]
)
def test_a_loss_never_reads_as_safe_by_rounding(lost, verdict):
    loss = Loss("A1", START, START + timedelta(days=7), lost, 70.0, 3.8)
    assert loss.verdict == verdict
    if verdict == "over":
        shown = float(loss.says().split(" points")[0].split()[-1])
        assert shown > float(loss.says().split("over the safe ")[1].split(". Slow")[0])


def test_a_loss_of_dry_wood_is_no_danger_and_a_gain_is_told():
    assert "no longer the danger" in Loss("A1", START, START + timedelta(days=5), 5.0, 25.0, 3.8).says()
    assert "gained 0.3 points a day" in Loss("A1", START, START + timedelta(days=10), -0.3, 25.0, 3.8).says()
    assert "hardly changed" in Loss("A1", START, START + timedelta(days=10), 0.05, 25.0, 3.8).says()


@pytest.mark.parametrize("wood", species.names())
def test_every_wood_is_held_against_its_own_limit_or_none(wood):
    (loss,) = watched(readings((0, 60.0), (14, 50.0)), 14, wood).losses
    borne = bears(wood, 1.0)
    limit = None if np.isnan(borne.loss_pct) else borne.loss_pct
    assert loss.safe_pct_per_day == limit
    assert bool(loss.note) == bool(limit is not None and borne.note)
    if borne.spread_pct:
        assert "1.0 to 3.8" in loss.says()
    assert ("No safe loss is published" in loss.says()) == (limit is None)


def test_a_winter_stack_is_told_of_the_dry_weeks_to_come():
    """Until they are there, and not once the boards are dry."""
    winter = drying.air_dry("pin oak", "8/4", "Madison", "2027-01-15")
    days = (date(2027, 2, 1), date(2027, 3, 31), date(2027, 4, 1))
    assert ["of April" in dry_weeks_ahead(winter, 70.0, day) for day in days] == [True, True, False]
    assert dry_weeks_ahead(winter, 24.0, days[0]) == ""
    assert (
        dry_weeks_ahead(drying.air_dry("pin oak", "8/4", "Madison", "2027-06-15"), 70.0, date(2027, 6, 20))
        == ""
    )


def test_the_next_weighing_is_no_later_than_the_likely_day_and_is_called_when_it_is_due():
    table = readings((0, 78), (14, 59.9), (28, 47), (42, 36.3), (56, 28.2), (70, 23.9))
    found = watched(table, 70)
    assert found.next_weighing == found.ready.likely
    assert "(the likely day of 20 %)" in found.weigh_says
    late = watched(table, 300)
    assert late.weigh_says.startswith("Weigh board A1 again now: that was due on ")
    assert late.ready_says.startswith(
        "Not known to be ready: board A1 read 24 % on 24 July 2027. By the forecast "
    )
    assert "Only a weighing or a meter says whether it is" in late.ready_says
    assert (
        watched(table, 800).says[0].startswith("No reading since 24 July 2027.")
        and len(watched(table, 800).says) == 1
    )


def test_no_weighing_is_told_sooner_than_a_week():
    """However near the likely day is: a board that was weighed on Monday is not weighed again on Tuesday."""
    table = readings((0, 78), (14, 59.9), (28, 47), (42, 36.3), (56, 28.2), (70, 23.9), (84, 20.6))
    found = watched(table, 84)
    assert START + timedelta(days=84) < found.ready.likely < START + timedelta(days=84 + LEAST_DAYS)
    assert found.next_weighing >= START + timedelta(days=84 + LEAST_DAYS)


def test_a_target_that_is_reached_is_none_to_wait_for():
    assert SampleWeights("1", "lb", 10.0, 20.0).targets == {25: None, 20: None, 15: 11.5}


def test_ready_is_said_of_boards_that_are_down_to_it_and_of_no_date():
    table = readings((0, 78), (30, 45), (60, 27), (80, 19.6))
    found = watched(table, 80)
    assert found.is_ready and found.next_weighing is None
    assert found.says[0].startswith("Ready for the kiln or indoors: board A1 read 20 % on 3 August 2027.")
    two = watched(pd.concat([table, readings((79, 24.0), board="A2")]), 80)
    assert not two.is_ready and "Weigh boards A1 and A2 again" in two.weigh_says


def test_a_meter_over_its_scale_is_kept_and_not_trusted():
    found = watched(readings((40, 43.0), kind="meter"), 40)
    assert "the reading is kept, but not trusted" in " ".join(found.says)
    assert not found.losses and found.weigh_says.startswith("Read board A1 with the meter again on ")
    dry = watched(readings((40, 5.0), kind="meter"), 40)
    assert not dry.is_ready  # past the low end of its scale it says nothing


def test_a_reading_that_looks_wrong_counts_for_nothing_and_is_asked_for_again():
    table = pd.concat([readings((0, 78.0), (14, 60.0)), readings((28, 100.0), sure=False)], ignore_index=True)
    found = watched(table, 28)
    assert found.next_weighing == START + timedelta(days=28) and "looks wrong" in " ".join(found.says)
    assert found.losses[0].until == START + timedelta(days=14)


def test_a_stack_without_readings_is_told_where_to_begin():
    empty = readings().astype({"sure": bool})
    assert "No board of it has been weighed yet" in watched(empty, 3).says[0]
    assert "the day it goes on sticks" in watched(empty, -3).says[0]
    assert "nothing of it was ever weighed" in watched(empty, 500).says[0]
    assert watched(empty, 3, waits=["Board 7 waits."]).says[0].startswith("Board 7 waits. Until then weigh")


def test_readings_that_contradict_the_forecast_tell_no_date():
    found = watched(readings((14, 60.0), (40, 75.0), (60, 75.0), (90, 76.0)), 90)
    assert found.ready is None and "No date yet: the readings contradict" in found.ready_says


def test_many_boards_are_told_in_few_words():
    table = pd.concat([readings((0, 78.0), (14, 60.0 - k), board=f"A{k}") for k in range(9)])
    says = watched(table, 14).says
    assert "A5 and the others again" in says[1] and "3 more boards lost less" in says[-1] and len(says) == 9


def test_a_board_that_was_just_read_wet_decides_and_no_date_lies_before_it():
    """Two sample boards of one stack, at 13 and 24 % when the forecast has had it dry for months."""
    one = readings((0, 78.0), (61, 30.0), (122, 16.0), (183, 14.0), (233, 15.0), board="1")
    two = readings((0, 78.0), (61, 39.0), (122, 26.0), (183, 24.0), (233, 23.0), board="2")
    found = watched(pd.concat([one, two]), 241)
    assert found.says[0] == (
        "Not ready: board 2 read 23 % on 3 January 2028; leave it. "
        "The forecast had it down to 20 % before that, so it tells no date."
    )
    assert found.ready is None and not found.is_ready and "Weigh boards 1 and 2 again on " in found.says[1]
    late = watched(pd.concat([one, two]), 330)
    assert late.says[0].startswith(
        "Not known to be ready: board 2 read 23 % on 3 January 2028. Weigh it before"
    )
    dry = watched(pd.concat([one, two, readings((240, 18.4), board="2")]), 241)
    assert dry.is_ready and dry.says[0].startswith(
        "Ready for the kiln or indoors: the wettest, board 2, read 18 % on 10 January 2028."
    )


def test_a_sample_board_that_was_wet_and_not_weighed_since_is_weighed_before_the_stack_comes_in():
    table = pd.concat(
        [readings((0, 78.0), (60, 24.0), board="2"), readings((0, 78.0), (110, 17.0), board="1")]
    )
    found = watched(table, 112)
    assert not found.is_ready and found.says[0] == (
        "Not known to be ready: board 2 read 24 % on 14 July 2027, and not since. Weigh it before you take anything in."
    )


def test_a_meter_reading_over_20_decides_with_what_it_showed():
    wet = readings((240, 22.0), (240, 16.0, "2", "meter"), (240, 25.0, "", "meter"), kind="meter")
    says = watched(wet, 241).says[0]
    assert says.startswith("Not ready: a board read 25 % by meter on 10 January 2028; leave it.")
    cold = wet.head(2).assign(read_pct=[19.0, 14.0])
    told = (
        "board A1 read 22 % by meter on 10 January 2028 (it showed 19 %; corrected for the cold of the wood)"
    )
    assert watched(cold, 241).says[0].startswith(f"Not ready: {told}; leave it.")
    nameless = readings((240, 25.0), (240, 16.0), kind="meter", board="")
    assert not watched(nameless, 241).is_ready  # the last of them is not the wettest


@pytest.mark.parametrize(("mc", "told"), [(20.02, "just over 20 %"), (20.3, "20.3 %"), (20.6, "21 %")])
def test_a_board_that_is_not_ready_never_reads_as_20(mc, told):
    says = watched(readings((0, 78.0), (30, 45.0), (60, 27.0), (80, mc)), 80).says[0]
    assert says.startswith(f"Not ready: board A1 read {told} on 3 August 2027; leave it.")


def test_no_told_day_of_20_lies_before_a_wetter_reading():
    """Whatever the newest reading is, and whenever: the likely and the last day told are no earlier."""
    for day in range(50, 140, 10):
        for mc in (20.4, 21.0, 23.0, 28.0):
            found = watched(readings((0, 78.0), (20, 56.0), (40, 38.0), (day, mc)), day)
            assert found.says[0].startswith("Not ready: "), found.says
            if found.ready and found.ready.high:
                assert found.ready.high > found.last
            if " most likely from " in found.ready_says:
                assert found.ready.likely > found.last, found.says


@pytest.mark.parametrize(
    ("days", "points", "told"),
    [
        (50, -1.0, "has hardly changed since 15 May 2027."),
        (50, 1.0, "has hardly changed since 15 May 2027."),
        (120, -5.0, "gained 5 points since 15 May 2027. Look whether rain"),
        (120, 5.0, "lost 5 points since 15 May 2027: under 25 %"),
        (10, -1.0, "gained 0.1 points a day since 15 May 2027. Look whether rain"),
    ],
)
def test_no_board_gains_or_loses_nothing_a_day(days, points, told):
    loss = Loss("A1", START, START + timedelta(days=days), points / days, 15.0, 3.8)
    assert loss.says().startswith(f"Board A1 {told}")


def test_what_waits_is_said_beside_what_the_other_boards_tell():
    table = readings((0, 78.0), (14, 60.0))
    wait = "Two weighings of board 2 wait for the board's oven-dry weight."
    says = watched(table, 14, waits=[wait]).says
    assert says[:3] == (
        says[0],
        "Weigh board A1 again on 5 June 2027 (7 days after the last time: common practice).",
        wait,
    )
    assert says[0].startswith("Not ready: board A1 read 60 %")


def test_a_board_of_the_records_that_lacks_its_oven_dry_weight_is_named(tmp_path):
    (tmp_path / "stacks.csv").write_text(
        'stack,species,nominal,place,stacked\nW,northern red oak,4/4,"Madison, WI",2026-04-01\n'
    )
    weights = "".join(f"2026-0{m},W,{b},weight,{lb},lb\n" for m, b, lb in [
        ("4-01", 1, 17.8), ("6-01", 1, 13.0), ("4-01", 2, 18.1), ("6-01", 2, 13.9)])  # fmt: skip
    (tmp_path / "readings.csv").write_text(
        f"date,stack,board,kind,value,unit\n2026-04-01,W,1,oven-dry,10,lb\n{weights}"
    )
    wood = records.read_usable(tmp_path, today=date(2026, 6, 2))
    says = stack_watched(wood, next(wood.tables["stacks"].itertuples()), "Madison", date(2026, 6, 2)).says
    (wait,) = [said for said in says if "oven-dry" in said]
    assert wait.startswith("Two weighings of board 2 since 2026-04-01 wait for the board's oven-dry weight")
