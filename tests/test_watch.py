"""What to do next with a stack: the next weighing, the loss against the safe one, the day it is ready."""

from datetime import date, timedelta

import pandas as pd
import pytest

from woodcalc import drying, species
from woodcalc.drying.forecast import taught
from woodcalc.drying.safe_loss import safe_loss_pct_per_day
from woodcalc.drying.watch import LEAST_DAYS, MOST_DAYS, Loss, days_between_weighings, watch

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
    assert found.says[1] == "Board A1 lost 2.0 points a day since 15 May 2027: safe (under 3.8)."
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
    limit = safe_loss_pct_per_day(wood, 1.0)
    assert loss.safe_pct_per_day == limit
    assert ("No safe loss is published" in loss.says()) == (limit is None)


def test_the_next_weighing_is_no_later_than_the_likely_day_and_is_called_when_it_is_due():
    table = readings((0, 78), (14, 59.9), (28, 47), (42, 36.3), (56, 28.2), (70, 23.9))
    found = watched(table, 70)
    assert found.next_weighing == found.ready.likely
    assert "(the likely day of 20 %)" in found.weigh_says
    late = watched(table, 300)
    assert late.weigh_says.startswith("Weigh board A1 again now: that was due on ")
    assert "Only a weighing or a meter says whether it is" in late.ready_says
    assert (
        watched(table, 800).says[0].startswith("No reading since 24 July 2027.")
        and len(watched(table, 800).says) == 1
    )


def test_ready_is_said_of_boards_that_are_down_to_it_and_of_no_date():
    table = readings((0, 78), (30, 45), (60, 27), (80, 19.6))
    found = watched(table, 80)
    assert found.is_ready and found.next_weighing is None
    assert found.says[-1].startswith(
        "Ready for the kiln or indoors: the wettest board read 20 % on 3 August 2027."
    )
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
    assert found.ready is None and found.ready_says.startswith("No date yet: the readings contradict")


def test_many_boards_are_told_in_few_words():
    table = pd.concat([readings((0, 78.0), (14, 60.0 - k), board=f"A{k}") for k in range(9)])
    says = watched(table, 14).says
    assert "A5 and the others again" in says[0] and "3 more boards lost less" in says[-2] and len(says) == 9
