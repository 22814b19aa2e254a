"""When to load: the search against all days, the season's end, and the runs themselves."""

import itertools
import math
import warnings
from datetime import date, timedelta

import numpy as np
import pandas as pd
import pytest

from woodcalc import climate, drying, kiln, species
from woodcalc.checks import InputError
from woodcalc.kiln import loading, ways

OAK = "northern red oak"
EIGHT_PLACES = (
    "Madison", "Duluth, MN", "Portland, ME", "Roanoke", "Memphis, TN", "Mobile, AL", "Albuquerque, NM", "Fresno, CA",
)  # fmt: skip


def test_a_look_is_near_the_run(report):
    rows = []
    house = ways.house_year(climate.get("Madison"))
    for way, month, start in itertools.product(loading.WAYS, (1, 4, 7), (None, 25)):
        if "then" in way:
            continue
        day = date(2026, month, 15)
        mc = start or species.get("black cherry").start_mc_pct
        look = ways.looker(way, "black cherry", 1, "Madison")(day, mc, 8, 300)
        charge = dict(load_bf=300, mc_start_pct=mc, days=300)
        if way == "dehumidifier":
            room = np.roll(house, 1 - day.timetuple().tm_yday, axis=0)
            run = kiln.dehumidifier(
                "black cherry", 1, mc_target_pct=8, room_f=room[:, 0], room_rh_pct=room[:, 1], **charge
            )
        else:
            run = {"indoors": kiln.indoors, "solar kiln": kiln.solar}[way](
                "black cherry", 1, "Madison", day, **charge
            )
        assert bool(look.too_fast_days) == bool(run.too_fast_days) and look.too_hot == run.too_hot
        rows.append((way, month, mc, run.days_to(8), look.days_to(8)))
    table = pd.DataFrame(rows, columns=["way", "month", "from %", "run, days", "look, days"])
    report("A look in steps of four hours beside the run", table)
    assert np.abs(np.log(table["look, days"] / table["run, days"])).max() < 0.06  # three days in fifty


@pytest.mark.parametrize("way", list(loading.WAYS))
def test_no_day_of_two_years_is_much_sooner_than_the_one_that_is_found(way):
    """Every tenth day tried, against the search."""
    forecast = drying.air_dry("black cherry", "4/4", "Roanoke", "2026-08-15")
    found = loading.best_loading(forecast, way, 300)
    search = loading._Search(forecast, loading.WAYS[way], 300, 8, math.inf, 300)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        soonest = min(search.run(n, True)[0] for n in range(0, 400, 10))
    # a week is given for fewer days in the kiln, and two days for the roughness of the looks
    assert (found.ready - found.stacked).days <= soonest + loading.WEEK_DAYS + 3
    assert (
        found.day >= found.stacked
        and found.ready > found.day
        and all(not r.too_fast_days for r in found.runs)
    )


@pytest.mark.parametrize("wood", ["northern red oak", "eastern white pine"])
@pytest.mark.parametrize("place", EIGHT_PLACES[::3])
@pytest.mark.parametrize("month", [2, 6, 10])
def test_loading_is_never_worse_than_at_the_seasons_end(wood, place, month):
    forecast = drying.air_dry(wood, 1, place, date(2026, month, 15))
    when, mc = loading.season_end(forecast)
    found = loading.best_loading(forecast, "solar kiln", 300)
    late = kiln.solar(wood, 1, place, when, 300, mc, 8, days=300)
    if late.too_fast_days or late.too_hot or np.isnan(late.days_to()):
        assert found is None or found.ready_at_season_end is None
        return
    ready = when + timedelta(days=late.days_to())
    assert found.ready <= ready + timedelta(days=1) and abs((found.ready_at_season_end - ready).days) <= 1


def test_what_no_day_can_do_is_told():
    oak = drying.air_dry("northern red oak", 1, "Madison", "2026-05-15")
    with pytest.raises(InputError, match="way"):
        loading.best_loading(oak, "attic")
    with pytest.raises(InputError, match="wettest_pct"):
        loading.best_loading(oak, wettest_pct=0.2)
    assert (
        loading.best_loading(oak, longest_days=2) is None
        or not loading.best_loading(oak, longest_days=2).runs
    )
    home = climate.from_monthly("Home", [20, 25, 35, 45, 58, 67, 72, 70, 61, 50, 37, 25], [70] * 12)
    assert loading.best_loading(drying.air_dry("northern red oak", 1, home, 5), "solar kiln") is None


@pytest.mark.parametrize("wood", [OAK, "black cherry", "yellow-poplar", "eastern white pine"])
def test_straight_from_the_saw_half_dry_or_air_dried(wood, report):
    """Eight places and all months of stacking: the plan's choice is never worse than the season's end."""
    rows = []
    for place, month in itertools.product(EIGHT_PLACES, range(1, 13)):
        forecast = drying.air_dry(wood, 1, place, date(2026, month, 15))
        search = loading._Search(forecast, loading.WAYS["solar kiln"], 300, 8, math.inf, 300)
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            found = search.best("solar kiln", rough=True)
            half, dry = (int(np.argmax(search.likely <= mc)) for mc in ((search.likely[0] + 20) / 2, 20))
            row = [place, month]
            for n in (0, half, dry, search.season):
                ready, *_ = search.tried.get(n, (math.inf,))  # infinity: perhaps only over its deadline
                ready = search.run(n, True)[0] if math.isinf(ready) and n else ready
                row += [ready, ready - n]
        row += [math.inf] * 2 if found is None else [(found.ready - found.stacked).days, found.days]
        rows.append(row)
    names = ("from the saw", "half-dry", "from 20 %", "season's end", "the plan's choice")
    columns = ["place", "month"] + [f"{n}: {c}" for n in names for c in ("days in all", "in kiln")]
    table = pd.DataFrame(rows, columns=columns)
    report(f"Solar kiln, {wood}: days from the saw to 8 %, by when it is loaded", table.round(0))
    chosen = table["the plan's choice: days in all"]
    for name in names[:4]:  # infinity: unsafe, or not in 300 days; half a day, by which a day is rounded
        week = 0 if name == "season's end" else loading.WEEK_DAYS
        worse = table[~(chosen <= table[f"{name}: days in all"] + week + 0.5)]
        assert worse.empty, f"{name}\n{worse}"
    # the kiln is free again sooner after wood from the yard, while nothing is dry sooner for it by more than a week
    safe = table[np.isfinite(table.drop(columns="place")).all(axis=1)]
    # of one wood alone, over all months: white pine 89 %, oak and yellow-poplar over 90 (all four together, over 90)
    assert (safe["from 20 %: in kiln"] < safe["from the saw: in kiln"] + 7).mean() > 5 / 6
    assert (safe["from the saw: days in all"] <= safe["from 20 %: days in all"] + 7).all()
