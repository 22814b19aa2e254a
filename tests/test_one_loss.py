"""One law for what a day takes from a wet board: the picture of the first weeks, the weighings and the months agree."""

from datetime import date, timedelta

import numpy as np
import pandas as pd
import pytest

from woodcalc import climate, drying, species
from woodcalc.drying import slab
from woodcalc.drying.danger import checks_by_month, greatest_day_pct
from woodcalc.drying.months import month_to_saw
from woodcalc.drying.safe_loss import bears, pace, wet_face
from woodcalc.drying.watch import watch

PLACES = (
    "Phoenix, AZ", "Albuquerque, NM", "Denver, CO", "Boise, ID", "Reno, NV", "Madison, WI", "Duluth, MN", "Memphis, TN",
    "Atlanta, GA", "Shreveport, LA", "Mobile, AL", "Key West, FL",
)  # fmt: skip
WOODS = (("northern red oak", "8/4"), ("white oak", "4/4"), ("black walnut", "8/4"), ("sugar maple", "4/4"))
START = date(2027, 6, 15)


def story(wood, thick, site, days):
    """Moisture of a board in the pile on each ordinary day: the slab, its face as wet as the month's air has it."""
    kind, place, inches = species.get(wood), climate.get(site), drying.thickness(thick)
    month = place.monthly.loc[6]
    bi = float(drying.biot(thickness_in=inches) * wet_face(month.temp_f, month.rh_pct))
    factor, emc = drying.felt_weather(place)
    b, B = slab.roots(bi), slab.weights(bi)
    first = drying.day_of_year(START)
    e = emc[first]
    a, found = B * (kind.start_mc_pct - e), [kind.start_mc_pct]
    for day in range(first, first + days):
        a = slab.step(a, b, B, emc[day] - e, drying.rate(wood).per_day / inches**2 * factor[day])
        e = emc[day]
        found.append(float(a.sum() + e))
    return found


@pytest.mark.parametrize("site", PLACES)
@pytest.mark.parametrize(("wood", "thick"), WOODS)
def test_weighings_are_judged_as_the_first_weeks_are(wood, thick, site):
    """Weighed after three, seven and fourteen days, a board is called over or not as its fastest day is."""
    row, safe = checks_by_month(wood, thick, site).loc[6], bears(wood, thick).loss_pct
    told = story(wood, thick, site, 28)
    assert max(-np.diff(told)) == pytest.approx(greatest(wood, thick, site, told, 28), rel=0.01)
    first = pace(max(-np.diff(told)), safe)
    stack = drying.air_dry(wood, thick, site, START)
    for days in (3, 7, 14):
        seen = pd.DataFrame(
            {"date": pd.to_datetime([START, START + timedelta(days=days)]), "board": "A1", "kind": "weight",
             "mc_pct": [told[0], told[days]]}
        )  # fmt: skip
        (loss,) = watch("A", stack, seen, START + timedelta(days=days)).losses
        assert loss.greatest_pct_per_day == pytest.approx(max(-np.diff(told[: days + 1])), rel=0.02)
        assert loss.verdict == pace(max(-np.diff(told[: days + 1])), safe)
        assert loss.verdict == first or days < 14
    if row.usual_month == 6 and row.usual_by == "loss":
        assert (row.usual > 1) == (first == "over")
        assert row.usual_loss_pct == pytest.approx(max(-np.diff(told)), rel=0.01)


def greatest(wood, thick, site, told, days):
    weighed = (START, START + timedelta(days=days))
    return greatest_day_pct(wood, thick, site, weighed, (told[0], told[days]), START)


def test_a_mean_under_the_safe_loss_hides_no_first_day_over_it():
    """8/4 walnut in Phoenix in June: 2.4 points a day in the mean of two weeks, and twice that on the first."""
    told = story("black walnut", "8/4", "Phoenix, AZ", 14)
    stack = drying.air_dry("black walnut", "8/4", "Phoenix, AZ", START)
    seen = pd.DataFrame(
        {"date": pd.to_datetime([START, START + timedelta(days=14)]), "board": "A1", "kind": "weight",
         "mc_pct": [told[0], told[14]]}
    )  # fmt: skip
    (loss,) = watch("A", stack, seen, START + timedelta(days=14)).losses
    assert loss.pct_per_day < loss.safe_pct_per_day < loss.greatest_pct_per_day
    assert loss.verdict == "over" and "the first of these days were faster, likely up to" in loss.says()
    assert "over the safe 3.3" in loss.says()


def test_the_greatest_day_is_no_less_than_the_mean_and_falls_with_the_days_since_stacking():
    after = [
        greatest_day_pct(
            "northern red oak", "8/4", "Madison",
            (START + timedelta(days=wait), START + timedelta(days=wait + 7)), (70.0, 63.0), START,
        )
        for wait in (0, 10, 20)
    ]  # fmt: skip
    assert after[0] > after[1] > after[2] >= 1.0


def test_the_dates_own_fastest_day_is_told_beside():
    """What the forecast loses on its fastest day: the same slab at one pace for dry air and damp."""
    for site in ("Phoenix, AZ", "Mobile, AL"):
        row = checks_by_month("northern red oak", "8/4", site).loc[6]
        likely = drying.air_dry("northern red oak", "8/4", site, START).daily.likely
        # 3 %: the forecast's knots are days apart, and its modes fewer
        assert row.dated_loss_pct == pytest.approx(float(-likely.diff().min()), rel=0.03)
        months = month_to_saw("northern red oak", "8/4", site)
        differ = (row.first_loss_pct > 1.5) != (row.dated_loss_pct > 1.5)  # 1.5: FOR-128 table 9
        assert ("one pace for all air" in months.says_of_dates(6)) == differ == (site == "Mobile, AL")
