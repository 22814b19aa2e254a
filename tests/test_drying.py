"""The forecast outdoors: published times, other solutions of the same problem, bands that hold what they promise."""

import datetime
import itertools
import warnings
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp
from scipy.stats import norm, qmc

from woodcalc import climate, drying, records, species, tables
from woodcalc.checks import InputError, RangeWarning
from woodcalc.drying import curves as drying_curves
from woodcalc.drying import fit as drying_fit
from woodcalc.drying import forecast as drying_forecast
from woodcalc.drying import readings as drying_readings
from woodcalc.drying import slab

START = "2026-05-15"
HILLS = ["Roanoke, VA", "Blacksburg, VA", "Hot Springs, VA", "Pulaski, VA", "Wise, VA", "Elkins, WV", "Beckley, WV",
         "Lewisburg, WV", "Charleston, WV"]  # fmt: skip
HILLS_PCT = 12, 14
STEADY = climate.from_monthly("steady", [70] * 12, [65] * 12)


@pytest.fixture(scope="module")
def oak():
    return drying.air_dry("northern red oak", "4/4", "Madison", START)


def test_red_oak_at_madison_in_may(oak, report, scored):
    """FOR-128 p. 82: northern red oak 4/4 stacked in May at Madison is at 25 % in about 50 days. "About": a quarter."""
    days = oak.days_to(25)
    table = pd.DataFrame(
        {"published": ["about 50"], "low": [days.low], "likely": [days.likely], "high": [days.high]}
    )
    report("Northern red oak 4/4, Madison, 15 May, days to 25 % (FOR-128 p. 82; not in the fit)", table)
    assert days.likely == pytest.approx(50, rel=0.25)
    assert days.low < 50 < days.high
    band = f"in {days.likely:.0f} days (four stacks in five: {days.low:.0f} to {days.high:.0f})"
    scored("days outdoors to 20 %", off_by=band)


MISSES = {  # published ranges that are missed by more than a quarter at an end, and why
    "American sycamore": "kiln days and density say slower than 30 days at best",
    "sweetgum": "300 days at worst; kiln days say faster",
    "loblolly pine": "a factor of five; one rate spans three between the best and the worst month",
    "shortleaf pine": "as loblolly pine",
    "ponderosa pine": "a factor of ten; our stations span six",
    "Douglas-fir (coast)": "a factor of ten; our stations span four",
    "black cherry": "70 days at best, as red oak, from two thirds of its water: 51, a day short of a quarter",
    "white ash": "60 days at best, near red oak's 70, from little more than half of its water",
}


@pytest.fixture(scope="module")
def ranges():
    """The woods with a published range: `off`, ours over theirs less 1 at both ends; `off_as_fitted`, the same from the
    moisture that the fit lets the published periods begin with (`fit.START_SHARE`)."""
    table = (
        tables.read("drying_rates")
        .query("status == 'fitted'")
        .dropna(subset="days_min_fit")
        .set_index("species")
    )
    begins = drying_fit.begins_pct()
    published = table[["days_min", "days_max"]].to_numpy()

    def off(name, **start):
        part = drying_fit.published_part(name)
        return drying_fit.range_over_year(name, drying_fit.regions()[name], part=part, **start)

    own, as_fitted = (
        np.array([off(n, start_mc_pct=start[n]) for n in table.index]) / published - 1
        for start in (dict.fromkeys(table.index), begins)
    )
    return table, own, as_fitted


def test_published_ranges(ranges, report, scored):
    """Published days from green to 20 % (FPL Technical Note 233; Agric. Handb. 402; FPL-GTR-117, all from memory).

    The rates answer to these ranges among other things, so this shows how well they can be met, not how good a forecast
    is. Seven in ten to a quarter at both ends, 85 % to 40 %; each one that misses a quarter has its reason in `MISSES`.
    How far woods may stray from their line was set with this count in sight, so it is no independent check either:
    `test_woods_treated_as_if_they_had_none` is one. From the moisture that the fit lets the periods begin with the
    count is how well it fits, and no forecast.
    """
    table, off, as_fitted = ranges
    worst = np.abs(off).max(1)
    ours = (1 + off) * table[["days_min", "days_max"]].to_numpy()
    shown = pd.DataFrame(
        {
            "wood": table.index,
            "published": [f"{a:.0f}-{b:.0f}" for a, b in zip(table.days_min, table.days_max, strict=True)],
            "ours": [f"{a:.0f}-{b:.0f}" for a, b in ours],
            "low end, %": (100 * off[:, 0]).round(),
            "high end, %": (100 * off[:, 1]).round(),
            "misses a quarter because": table.index.to_series()
            .map(MISSES)
            .where(worst > 0.25, "")
            .to_numpy(),
        }
    )
    good, fair = (worst <= 0.25).sum(), (worst <= 0.40).sum()
    fits = (np.abs(as_fitted).max(1) <= 0.25).sum()
    title = "Days outdoors from green to 20 %, 4/4, region and year (fitted)"
    title += f": {good} of {len(table)} within 25 %, {fair} within 40 %"
    report(f"{title}; from the moisture that the fit begins with {fits} within 25 %", shown)
    assert good >= 0.7 * len(table) and fair >= 0.85 * len(table)
    fit = f"{good} of {len(table)} ranges are within 25 % at both ends, {fair} within 40 %"
    known = f"{len(table)} published ranges and {len(drying_fit._kiln_days())} woods' kiln-drying days"
    scored("days outdoors to 20 %", fitted_to=known, off_by=fit)
    scored("days outdoors to 20 %", off_by=f"From the moisture that the fit begins with, {fits} are")
    assert set(table.index[worst > 0.25]) <= set(MISSES)
    assert worst[table.index == "northern red oak"] <= 0.25
    assert len(table) == species.table().query("in_fit == 'yes'").air_dry_days_min.notna().sum()


@pytest.fixture(scope="module")
def fitted():
    return drying_fit.fit_rates()


def test_rates_in_the_data_are_what_the_fit_gives(fitted, report):
    stored = tables.read("drying_rates")
    report(
        "Errors found with the rates (natural logarithm)",
        pd.DataFrame([fitted.attrs["errors"]]).rename(
            columns={
                "offset": "wood from its line",
                "range": "end of a range",
                "kiln": "kiln-drying days",
                "safe": "safe daily loss",
            }
        ),
    )
    assert list(stored.species) == list(fitted.species) == species.names()
    assert np.allclose(stored.rate_per_day, fitted.rate_per_day, rtol=5e-3)
    assert np.allclose(stored.sd_log_rate, fitted.sd_log_rate, atol=3e-3)
    assert (stored.basis == fitted.basis).all() and (stored.status == fitted.status).all()
    assert np.allclose(stored.sapwood_times, fitted.sapwood_times, atol=0.01, equal_nan=True)


def test_what_the_wide_spread_of_woods_bought(fitted, monkeypatch, report, scored):
    """With 0.30 expected in place of 0.40 the evidence is better, and one published range fewer is met.

    So the width is not what the evidence asks for, and the scorecard says what it was set for. It costs one published
    kiln run its quarter, too: white oak in a house, 24 % slower than published and now 26 (`test_kiln`).
    """

    def counted(table):
        ranged = table[table.status == "fitted"].dropna(subset="days_min_fit")
        ours, published = (
            np.array(ranged[c]) for c in (["days_min_fit", "days_max_fit"], ["days_min", "days_max"])
        )
        return int((np.abs(ours / published - 1).max(1) <= 0.25).sum())

    def evidence(table):
        return drying_fit._Evidence(set()).log_evidence(np.log(list(table.attrs["errors"].values())))

    rows = [(0.40, counted(fitted), evidence(fitted))]
    monkeypatch.setitem(drying_fit.EXPECTED, "offset", 0.30)
    narrow = drying_fit.fit_rates()
    rows.append((0.30, counted(narrow), evidence(narrow)))
    heads = ["spread of woods that is expected", "ranges within 25 %", "log evidence"]
    report("What the wide spread of woods bought", pd.DataFrame(rows, columns=heads))
    less = rows[1][2] - rows[0][2]
    assert less > 0
    said = f"with 0.30 it is {rows[1][1]}, and the evidence is {np.exp(less):.0f} times as good"
    scored("days outdoors to 20 %", off_by=said)


def test_the_fit_has_the_derivatives_of_its_misfit():
    evidence = drying_fit._Evidence({"red maple"})
    errors = np.array([0.27, 0.22, 0.2, 0.4])
    x = evidence.solve(errors).x + 0.003
    step = 1e-6 * np.eye(len(x))
    each = [(evidence.misfit(x + d, errors) - evidence.misfit(x - d, errors)) / 2e-6 for d in step]
    assert np.allclose(evidence.gradient(x, errors), np.transpose(each), atol=1e-4)


def test_lighter_softwoods_dry_faster(fitted):
    """Softwoods without times of their own stand on the slope that all woods share; on their own, it would be none."""
    rates = fitted.set_index("species").rate_per_day
    assert rates["western redcedar"] > rates["balsam fir"] > rates["white spruce"]
    assert rates["white spruce"] > rates["eastern redcedar"] > rates["Virginia pine"]


def test_how_sure_the_order_of_the_oaks_is(fitted, report):
    """The ratio of two woods' days (at one rate apart), and the chance that the first is the slower of the two.

    Three witnesses: air-drying ranges do not tell oak from walnut (70 to 200 days both), kiln-drying days from green
    say 1.67 with their schedules' temperatures in them, safe daily losses 2.2.
    """
    spread, names = np.array(fitted.attrs["spread"]), list(fitted.species)
    rates, rows = np.log(fitted.rate_per_day.to_numpy()), []
    for slow, fast in (
        ("northern red oak", "black walnut"),
        ("northern red oak", "black cherry"),
        ("northern red oak", "yellow-poplar"),
        ("white oak", "northern red oak"),
        ("sugar maple", "red maple"),
    ):
        i, j = names.index(slow), names.index(fast)
        sd = np.sqrt(spread[i, i] + spread[j, j] - 2 * spread[i, j])
        both = drying.grid("Madison", START, [slow, fast], 1).days
        rows.append(
            [slow, fast, np.exp(rates[j] - rates[i]), both[0] / both[1], norm.cdf((rates[j] - rates[i]) / sd)]
        )
    heads = [
        "slow",
        "fast",
        "ratio of rates",
        "ratio of days, Madison in May",
        "chance that its rate is the slower",
    ]
    table = pd.DataFrame(rows, columns=heads)
    report("Two woods side by side: how much slower, and how sure", table.round(2))
    walnut = table.iloc[0]
    assert walnut["ratio of rates"] > 1.05 and walnut.iloc[-1] > 0.6
    assert table.iloc[[2, 3, 4], -1].min() > 0.85


def test_sweetgum_sapwood_against_its_own_range(report):
    """Sapwood 60 to 200 days, heartwood 70 to 300 (FPL Technical Note 233, from memory); both went into the ratio of
    their rates, with two kiln-drying days, so this shows how far the four agree."""
    rows = []
    for part, published in (("heartwood", (70, 300)), ("sapwood", (60, 200))):
        ends = drying_fit.range_over_year("sweetgum", drying_fit.regions()["sweetgum"], part=part)
        rows.append([part, "{}-{}".format(*published), "{:.0f}-{:.0f}".format(*ends)])
        assert ends[0] == pytest.approx(published[0], rel=0.25)
    witnesses = np.exp(drying_fit._sapwood_witnesses(species.get("sweetgum")))
    says = (
        "sapwood's rate over heartwood's: kiln from 20 % {:.2f}, from green {:.2f}, range {:.2f} and {:.2f}"
    )
    title = f"Sweetgum, days to 20 %; {says.format(*witnesses)}"
    report(title, pd.DataFrame(rows, columns=["part", "published", "ours"]))
    assert (witnesses > 1.1).all()


def test_woods_treated_as_if_they_had_none(fitted, report, scored):
    """Each wood's days from specific gravity alone, its own range and kiln days left out, against that range.

    How far off they are is how rough the forecast of a wood without a range is. The band that such a wood gets must
    hold the rate that all evidence gives in three woods of four, or more: that rate is not without error either.
    """
    errors, full, regions = fitted.attrs["errors"], fitted.set_index("species"), drying_fit.regions()
    rows = []
    for name in full.index[(full.basis != "specific gravity") & (full.status == "fitted")]:
        alone = drying_fit.fit_rates([name], errors).set_index("species").loc[name]
        assert alone.basis == "specific gravity"
        ends = (
            drying_fit.range_over_year(
                name, regions[name], alone.rate_per_day, part=drying_fit.published_part(name)
            )
            if name in regions
            else (np.nan,) * 2
        )
        published = full.days_min[name], full.days_max[name]
        inside = abs(np.log(full.rate_per_day[name] / alone.rate_per_day)) < 1.2816 * alone.sd_log_rate
        rows.append([name, full.kind[name], *published, *ends, inside])
    heads = [
        "wood",
        "kind",
        "published from",
        "to",
        "density alone from",
        "to ",
        "band holds the fitted rate",
    ]
    table = pd.DataFrame(rows, columns=heads)
    ranged = table.dropna()
    off = np.log(ranged.iloc[:, 4:6].to_numpy() / ranged.iloc[:, 2:4].to_numpy())
    worst = np.abs(np.expm1(off)).max(1)
    good, fair = (worst <= 0.25).sum(), (worst <= 0.40).sum()
    rms = pd.Series((off**2).mean(1)).groupby(ranged.kind.to_numpy()).mean() ** 0.5
    title = f"Days of each wood as if it had no evidence of its own: {good} of {len(ranged)} within 25 %"
    title += f", {fair} within 40 %; rms {rms['hardwood']:.2f} hardwoods, {rms['softwood']:.2f} softwoods"
    report(title, table.round(0))
    said = f"{good} of {len(ranged)} ranges are within 25 % at both ends and {fair} within 40 %"
    scored("days outdoors to 20 %", off_by=f"Left out, {said}")
    assert table["band holds the fitted rate"].mean() >= 0.75
    assert rms["hardwood"] < 0.30 and rms["softwood"] < 0.52  # what they are: rougher than the range itself


def test_woods_carried_over_against_their_own_ranges(fitted, report, scored):
    """Woods that are not in the fit, by the line of their kind alone, against their own ranges (all from memory).

    So this is a check from outside: the line has not seen them. Its band, give or take the spread of the stack, must
    hold what range and line say together in three woods of four or more. With their range they get a narrower one.
    """
    table = fitted[fitted.status == "carried over"].set_index("species")
    wood, line = species.table().set_index("name"), table[table.basis == "specific gravity"]
    rows = []
    for name, row in table[table.basis != "specific gravity"].iterrows():
        alone = line[line.kind == row.kind] if row.kind == "hardwood" else line
        x = alone.index.map(wood.basic_sg)
        sg = wood.basic_sg[name]
        rate = np.exp(np.polyval(np.polyfit(x, np.log(alone.rate_per_day), 1), sg))
        sd = np.sqrt(np.polyval(np.polyfit(x, alone.sd_log_rate**2, 2), sg))
        assert row.sd_log_rate < sd
        ends = drying_fit.range_over_year(name, drying_fit.regions()[name], rate)
        inside = abs(np.log(row.rate_per_day / rate)) < 1.2816 * sd
        whose = "a relative's" if "relative" in wood.air_dry_status[name] else "its own"
        rows.append(
            [name, whose, row.days_min, row.days_max, *ends, row.days_min_fit, row.days_max_fit, inside]
        )
    heads = [
        "wood",
        "range",
        "from",
        "to",
        "density alone from",
        "to ",
        "with its range from",
        "to  ",
        "band holds it",
    ]
    shown = pd.DataFrame(rows, columns=heads)
    off = np.log(shown.iloc[:, 4:6].to_numpy() / shown.iloc[:, 2:4].to_numpy())
    worst, own = np.abs(np.expm1(off)).max(1), (shown.range == "its own").to_numpy()
    rms = np.sqrt((off[own] ** 2).mean())
    good, fair = (worst[own] <= 0.25).sum(), (worst[own] <= 0.40).sum()
    title = f"Woods that the fit has not seen: {good} of {own.sum()} ranges of their own within 25 % by density alone"
    report(f"{title}, {fair} within 40 %; rms {rms:.2f}", shown.round(0))
    assert len(shown) == 37 and own.sum() == 23
    said = f"density alone meets {good} within 25 % and {fair} within 40 %"
    scored(
        "days outdoors to 20 %", off_by=f"Of {own.sum()} ranges of woods that the fit has not seen, {said}"
    )
    assert shown["band holds it"].mean() >= 0.75


SLOWER = [  # slow wood, fast wood: what anybody who has stacked both knows (common practice)
    ("white oak", "northern red oak"),
    *(("northern red oak", other) for other in (
        "black cherry", "black walnut", "white ash", "American beech", "sugar maple", "yellow birch",
        "eastern white pine")),
    ("sugar maple", "yellow-poplar"),
    ("sugar maple", "American basswood"),
    ("black walnut", "yellow-poplar"),
    ("American beech", "red maple"),
]  # fmt: skip


def everywhere(names):
    """Likely days of 4/4 from green to 20 %, a column a wood: 30 places and four starts."""
    places = [n for n in climate.sites().name if n != "Madison, WI"][::2][:29] + ["Madison, WI"]
    starts = ["2026-03-15", "2026-05-15", "2026-08-15", "2026-10-15"]
    days = drying.grid(places, starts, names, 1).days.fillna(2000).to_numpy()
    return pd.DataFrame(days.reshape(-1, len(names)), columns=names)


def test_woods_come_in_the_order_that_sawyers_know(report):
    """4/4 to 20 % at 30 places from four starts: the slow wood last in 95 % of them."""
    days = everywhere(sorted({n for pair in SLOWER for n in pair}))
    rows = [(a, b, 100 * (days[a] > days[b]).mean()) for a, b in SLOWER]
    table = pd.DataFrame(rows, columns=["slower", "faster", "% of cells"])
    report("Order of the woods, 4/4 to 20 %, 30 places and four starts", table)
    assert len(days) == 120
    assert (table["% of cells"] >= 95).all()


def test_ash_against_yellow_poplar(report):
    """Ash takes longer than yellow-poplar in every published figure. Ours has it so from one moisture on, and not from
    green: ash starts with half the water, and a forecast counts all of that, while published periods hardly do."""
    names = ["white ash", "yellow-poplar"]
    wood, kiln_days = species.table().set_index("name"), drying_fit._kiln_days()
    rows = [
        ("air-drying range, short end (FPL Technical Note 233)", *wood.air_dry_days_min[names]),
        ("air-drying range, long end", *wood.air_dry_days_max[names]),
        ("kiln days from 20 % (the same)", *kiln_days.dry_days[names]),
        ("kiln days from green", *kiln_days.green_days[names]),
        ("ours from one moisture, 1/rate", *(1 / drying.rate(n).per_day for n in names)),
        ("ours from green, Madison in May", *drying.grid("Madison", START, names, 1).days),
    ]
    table = pd.DataFrame(rows, columns=["days", *names])
    table["ash over yellow-poplar"] = table[names[0]] / table[names[1]]
    report("White ash against yellow-poplar", table.round(2))
    assert (table["ash over yellow-poplar"][:5] > 1.2).all()


def test_pairs_that_come_in_an_order_that_no_published_figure_has(report, scored):
    """Every two woods with ranges of their own: both ends of the ranges, kiln days from 20 % and from green, and the
    safe loss, as far as they are given. Where none of these has the first wood the faster, one or more have it the
    slower, and ours from green has it the faster in 95 % of cells, the pair is listed here; the scorecard names the
    group.

    Where both have kiln days, the wood that comes sooner starts the drier of the two: all of a wood's water counts in a
    forecast, and hardly any of it shows in the published periods. Which is right, no dated stack tells.
    """
    wood, kiln_days = species.table().set_index("name"), drying_fit._kiln_days()
    own = wood[wood.air_dry_days_min.notna() & ~wood.air_dry_status.str.contains("relative", na=False)]
    figures = pd.DataFrame(
        {
            "range, short end": own.air_dry_days_min,
            "range, long end": own.air_dry_days_max,
            "kiln, from 20 %": kiln_days.dry_days,
            "kiln, from green": kiln_days.green_days,
            "safe loss": 1 / wood.safe_loss_4_4_pct_per_day,
        }
    ).loc[own.index]
    days, rows = everywhere(list(own.index)), []
    for slow, fast in itertools.permutations(own.index, 2):
        longer = (figures.loc[slow] / figures.loc[fast]).dropna()
        if (longer >= 1).all() and (longer > 1).any():
            sooner = 100 * (1 - (days[slow] / days[fast]).median())
            wet = wood.start_mc_pct[slow], wood.start_mc_pct[fast]
            cells, at_kiln = (days[slow] < days[fast]).mean(), "kiln, from 20 %" in longer
            rows.append([slow, fast, at_kiln, len(longer), (longer > 1).sum(), *wet, sooner, cells])
    first, second, both = "no figure has it faster", "than", "kiln days of both"
    heads = [first, second, both, "figures", "say slower", "starts at, %", "the other", "ours sooner by, %"]
    agreed = pd.DataFrame(rows, columns=[*heads, "share of cells"])
    table = agreed[agreed["share of cells"] >= 0.95].sort_values([both, heads[-1]], ascending=False)
    told, bare = table[table[both]], table[~table[both]]
    at_kilns = agreed[both].sum()
    title = f"Pairs in an order that no published figure has: {len(told)} with kiln days, {len(bare)} without"
    report(title, table.round(0))
    assert (told["starts at, %"] < told["the other"]).all()
    assert tuple(bare.iloc[0, :2]) == ("black cherry", "water tupelo")  # the widest
    sooner = table.set_index([first, second])["ours sooner by, %"].round().astype(int)
    dry_starting = ("black cherry", "sugar maple", "shagbark hickory", "American beech")
    cottonwood = [sooner[n, "eastern cottonwood"] for n in dry_starting]
    ash = [sooner["white ash", n] for n in ("American elm", "American sycamore", "yellow-poplar")]
    butternut = [sooner[n, "butternut"] for n in ("American beech", "yellow birch")]
    for said in (
        f"In {len(told)} of {at_kilns} pairs whose kiln days, ranges and safe losses agree, ours has the other order",
        f"cherry, sugar maple, hickory and beech {min(cottonwood)} to {max(cottonwood)} % sooner than cottonwood",
        "ash {} % sooner than elm, {} than sycamore, {} than yellow-poplar".format(*ash),
        "beech {} and yellow birch {} % sooner than butternut".format(*butternut),
        f"In {len(bare)} of {len(agreed) - at_kilns} pairs without kiln days it has it too, "
        f"by up to {sooner['black cherry', 'water tupelo']} % (cherry against water tupelo)",
    ):
        scored("days outdoors to 20 %", fails=said)


def test_how_far_published_ranges_go_with_water(report):
    """A wood with twice the water to lose should have the longer range; in the ranges hardly any of it shows.

    So the fit lets them begin with a moisture half way to the usual one (`fit.START_SHARE`).
    """
    share, error = drying_fit.how_far_periods_go_with_water()
    table = pd.DataFrame({"if all of it showed": [1.0], "found": [share], "give or take": [error]})
    report("How much of the woods' difference in green water their air-drying ranges show", table.round(2))
    assert share + 3 * error < 1 and share - error < drying_fit.START_SHARE < share + 2 * error


SLOWER_FROM_ONE_MOISTURE = [
    ("white oak", "northern red oak"),
    *(("northern red oak", other) for other in (
        "black cherry", "white ash", "American beech", "black walnut", "sugar maple", "yellow birch",
        "shagbark hickory")),
]  # fmt: skip


def test_from_the_same_moisture_too_the_order_is_the_sawyers(fitted, report, scored):
    """Pairs from one moisture on: our rates, what kilns take from 20 to 6 %, what a day may safely take.

    No check from outside: how the witnesses are weighed is judgment, and was chosen with this order in sight. What it
    cost is in `test_published_ranges`.
    """
    kiln_days, wood = drying_fit._kiln_days(), species.table().set_index("name")
    spread, names = np.array(fitted.attrs["spread"]), list(fitted.species)
    green, rows = drying.grid("Madison", START, names, 1).days.to_numpy(), []
    for slow, fast in SLOWER_FROM_ONE_MOISTURE:
        i, j = names.index(slow), names.index(fast)
        ratio = drying.rate(fast).per_day / drying.rate(slow).per_day
        sd = np.sqrt(spread[i, i] + spread[j, j] - 2 * spread[i, j])
        at_kiln = kiln_days.dry_days[slow] / kiln_days.dry_days[fast]
        safe = wood.safe_loss_4_4_pct_per_day[fast] / wood.safe_loss_4_4_pct_per_day[slow]
        rows.append([slow, fast, ratio, norm.cdf(np.log(ratio) / sd), at_kiln, safe, green[i] / green[j]])
    heads = [
        "slow",
        "fast",
        "times as fast",
        "chance that it is the faster",
        "kiln days from 20 %",
        "safe loss",
    ]
    table = pd.DataFrame(rows, columns=[*heads, "days from green"])
    report(
        "Two woods from the same moisture: slow over fast (more than 1: the fast one is faster)",
        table.round(2),
    )
    assert (table[["times as fast", "kiln days from 20 %", "safe loss", "days from green"]] > 1.0).all(
        axis=None
    )
    assert table["times as fast"].min() > 1.02 and table["chance that it is the faster"].min() > 0.55
    oak = table[table.slow == "northern red oak"]["times as fast"] - 1
    said = f"red oak is forecast slower than these seven, by {100 * oak.min():.0f} to {100 * oak.max():.0f} %"
    beech = table.set_index("fast")["chance that it is the faster"]["American beech"]
    scored("days outdoors to 20 %", fails=said)
    scored("days outdoors to 20 %", fails=f"the chance that beech is the faster is {100 * beech:.0f} in 100")


def test_every_dated_observation(report, scored):
    """All rows of data/air_dry_times.csv, none of them fitted, beside the forecast and its band.

    A row that leaves wood, place or start open is set against the mean of all that it may mean; shortest and longest
    times, against the fastest and the slowest of them. A row that is counted nowhere is printed with its reason.
    """
    data = tables.read("air_dry_times")
    left_out = data.note.str.startswith("counted nowhere: ")
    apart = data.loc[left_out, ["species", "place", "start", "days", "mc_start", "mc_end_pct", "note"]]
    report("Dated observations of air drying that are counted nowhere, and why", apart)
    assert apart.place.tolist() == ["Humboldt Bay CA, 2 ft between stacks"]
    data = data[~left_out].reset_index(drop=True)
    assert len(data) == 5  # a new row belongs in the list below

    def stacks(woods, places, months):
        made = [drying.air_dry(w, 1, p, m) for w in woods for p in places for m in months]
        return lambda mc: np.array([tuple(f.days_to(mc)) for f in made])

    oak = stacks(["northern red oak"], ["Madison"], ["2026-05-15"])(25)
    maple = stacks(["sugar maple"], ["Traverse City", "Green Bay", "Duluth"], range(1, 13))(20)
    fastest, slowest = maple[maple[:, 1].argmin()], maple[maple[:, 1].argmax()]
    usual = ["yellow-poplar", "red maple", "white ash", "black cherry"]
    usual += ["eastern white pine", "northern red oak"]
    spring = stacks(usual, ["Columbus", "Lexington", "Roanoke"], [4, 5, 6])(17.5)
    pine = stacks(["ponderosa pine"], ["Albuquerque", "Flagstaff"], [6, 7])(17.5)
    maple_row = "sugar maple 4/4, Upper Michigan, {} days to 20 % (Peck)"
    half = (data.days_min[3] + data.days_max[3]) / 2
    rows = [
        ("red oak 4/4, Madison, May, days to 25 % (FOR-128)", "summer", data.days[0], oak[0], ""),
        (maple_row.format("shortest"), "summer", data.days_min[1], fastest, ""),
        (maple_row.format("mean"), "both", data.days[1], maple.mean(0),
         "starts not listed in the part seen; ours counts the twelve months alike"),
        (maple_row.format("longest"), "winter", data.days_max[1], slowest, ""),
        ("redwood 1 in, Humboldt Bay, 11 Nov, % MC after 182 days (Peterson: common practice)", "winter",
         float(data.mc_end_pct[2]), redwood_at_humboldt_bay(int(data.days[2])),
         "heavy redwood has a published range of its own, three times as long as the light"),
        ("1 in boards, temperate, days to 15-20 % (a rule: common practice)", "summer", half, spring.mean(0), ""),
        ("pine 1 in, Southwest, days, shipping-dry (Kellogg)", "summer", data.days[4], pine.mean(0),
         "a loose 'two months'"),
    ]  # fmt: skip
    shown = []
    for what, when, seen, (low, likely, high), gap in rows:
        held = low <= seen <= high
        assert held or gap, what
        said = "yes" if held else f"NO: {gap}"
        shown.append([what, when, seen, round(likely), f"{low:.0f}-{high:.0f}", said])
    columns = ["what", "half of the year", "published", "ours", "four in five", "held"]
    table = pd.DataFrame(shown, columns=columns)
    report("Every dated observation of air drying, none of them fitted", table)
    real = table[~table.what.str.contains("a rule")]
    held = (real.held == "yes").sum()
    assert (held, len(real)) == (3, 6)
    # redwood's, and counted all the same: the band does not hold it
    assert data.status[2] == "common practice"
    hardwood = table[table.what.str.contains("oak|maple|boards, temperate")]
    slower = (hardwood.ours / hardwood.published).astype(float)
    assert len(slower) == 5 and (slower > 1).all() and 1.1 < np.exp(np.log(slower).mean()) < 1.3
    scored(
        "days outdoors to 20 %",
        left_out=f"{len(real)} dated observations from 4 sources, three of them from one report and one (redwood) a "
        f"talk's, common practice; the pair of that one ({apart.mc_start.iloc[0]} to {apart.mc_end_pct.iloc[0]} % in "
        f"{apart.days.iloc[0]:.0f} days) may be a misprint and is not counted",
        off_by=f"{held} of {len(real)} observations lie in the band; on all five hardwood figures",
        plan_on="held three of six dated observations",
    )
    assert 0.5 < (table.held == "yes").sum() / len(table) < 0.7
    assert (table.held == "yes").sum() >= 4


def redwood_at_humboldt_bay(days):
    """Old-growth redwood, specific gravity 0.38 (Wood Handbook, from memory), on the softwoods' line with its band."""
    table = tables.read("drying_rates").merge(
        species.table()[["name", "basic_sg"]], left_on="species", right_on="name"
    )
    line = table[
        (table.kind == "softwood") & (table.basis == "specific gravity") & (table.status == "fitted")
    ]
    rate = np.exp(np.polyval(np.polyfit(line.basic_sg, np.log(line.rate_per_day), 1), 0.38))
    sd = drying.Rate(rate, line.sd_log_rate.median(), "specific gravity").sd_log_pace
    factor, emc = drying.felt_weather(climate.get("Arcata"))
    day = (drying.day_of_year(datetime.date(2026, 11, 11)) + np.arange(days)) % 365
    rates = rate * np.exp(1.2816 * sd * np.array([1, 0, -1]))
    U, G = drying_curves.curves(rates, np.full(3, drying.biot("open", 8)), factor[day], emc[day])
    return U[-1] + 237 * G[-1]


def test_where_it_stops(report, scored):
    """The driest that covered stacks get, one place beside the other.

    Oregon State EM 8612-E: 12-14 % in western, 8-10 % in eastern Oregon. Hills of western Virginia and West Virginia:
    no lower than about 12 to 14 % (common practice). To a point: what long-term EMC is good to, and one year is off.
    """
    oregon, hills = "EM 8612-E", "common practice"
    places = [("Eugene, OR", 12, 14, oregon), ("Redmond, OR", 8, 10, oregon)]
    places += [(n, *HILLS_PCT, hills) for n in HILLS]
    rows = []
    for place, low, high, source in places:
        wood = "Douglas-fir (coast)" if source == oregon else "northern red oak"
        ours = drying.air_dry(wood, 1, place, "2026-05-15").stops_at_pct
        rows.append([place, f"{low}-{high}", round(ours, 1), ours - (low + high) / 2, ours - low, source])
        assert low - 1 <= ours <= high + 1, place
    columns = ["place", "published or practice", "ours", "over the middle", "over the driest", "source"]
    table = pd.DataFrame(rows, columns=columns)
    report("Where the stack stops outdoors, % MC", table.round(1))
    middle, below = table["over the middle"], table[table["over the driest"] < 0]
    drier, under = -middle.mean(), (middle.round(1) < 0).sum()
    named = " and ".join(f"{row.place.split(',')[0]} {row.ours:.1f}" for row in below.itertuples())
    assert len(below) == 2
    scored(
        "where a stack stops outdoors",
        left_out=f"{len(rows)} places",
        off_by="all within a point of the range",
        fails=f"ours is the drier, by {drier:.1f} points on the mean: under the middle of the range at {under} of "
        f"{len(table)} places, and under all of it at two ({named}, where {HILLS_PCT[0]} is the least)",
    )


def test_thickness_ratios(report):
    """6/4 takes 1.7 and 8/4 2.5 times as long as 4/4 (E. Wengert, answers to sawyers; common practice), in steady air.

    To 5 %. Not a check from outside: the Biot number was chosen so that these two come out.
    """
    days = drying.grid([STEADY], [START], ["northern red oak"], ["4/4", "6/4", "8/4"]).days.to_numpy()
    ratio = days / days[0]
    report(
        "Days against 4/4 in steady air (70 F, 65 %); the Biot number was chosen on these",
        pd.DataFrame({"thickness": ["6/4", "8/4"], "published": [1.7, 2.5], "ours": ratio[1:].round(2)}),
    )
    assert ratio[1] == pytest.approx(1.7, rel=0.05)
    assert ratio[2] == pytest.approx(2.5, rel=0.05)


def test_season_against_the_drying_calendar(report):
    """Rietz 1972, FPL-0224 (from memory): effective air-drying days a month, upper Midwest, 30 in the best months.

    From April to November to a third; the calendar's winter months are worth less than ours because the model
    has no frost. Its months were used when the temperature law was chosen, so this is a check of kind, not of proof.
    """
    table = pd.read_csv(Path(__file__).parent / "reference" / "drying_calendar.csv")
    factor, emc = drying.felt_weather(climate.get("Madison"))
    pull = factor * (50 - emc)  # a board at 50 %, halfway
    month = climate.get("Madison").daily().month.to_numpy()
    ours = pd.Series(pull).groupby(month).sum().to_numpy()
    table["ours"] = (ours / ours[5:8].mean() * 30).round(1)
    report(
        "Effective drying days a month, Madison (FPL-0224, from memory)",
        table[["month", "published", "ours"]],
    )
    warm = table.month.between(4, 10)
    assert (table.ours[warm] / table.published[warm]).between(2 / 3, 4 / 3).all()
    assert (table.ours[~warm] <= 12).all()


def test_solve_ivp_with_a_years_weather():
    """Finite volumes and `solve_ivp`, oak at Madison from May, 150 days: to 0.5 % of the moisture lost."""
    own, bi = drying.rate("northern red oak").per_day, drying.BIOT
    factor, emc = drying.felt_weather(climate.get("Madison"))
    day = (drying.day_of_year(datetime.date(2026, 5, 15)) + np.arange(150)) % 365
    cells = 60
    h = 1 / cells
    out = 1 / (h / 2 + 1 / bi)
    jac = (
        np.diag(-2.0 * np.ones(cells)) + np.diag(np.ones(cells - 1), 1) + np.diag(np.ones(cells - 1), -1)
    ) / h**2
    jac[0, 0], jac[-1, -1] = -1 / h**2, -1 / h**2 - out / h
    into = np.zeros(cells)
    into[-1] = out / h
    m, means = np.full(cells, 80.0), []
    for f, e in zip(factor[day], emc[day], strict=True):
        speed = own * f
        solved = solve_ivp(
            lambda _, y, s, e: s * (jac @ y + into * e), (0, 1), m, method="BDF", args=(speed, e),
            jac=lambda _, y, s, e: s * jac, rtol=1e-6, atol=1e-6,
        )  # fmt: skip
        m = solved.y[:, -1]
        means.append(m.mean())
    likely = drying.air_dry("northern red oak", 1, "Madison", START).daily.likely.to_numpy()[1:151]
    lost = 80.0 - np.array(means)
    assert np.max(np.abs(likely - means)[2:] / lost[2:]) < 0.005


def test_curves_equal_the_slab_step_by_step():
    """The two halves (air, start) put together are the slab of `drying.slab`; so water is conserved there as here."""
    factor, emc = drying.felt_weather(climate.get("Duluth"))
    U, G = drying_curves.curves(np.array([0.05]), np.array([1.3]), factor, emc)
    b, B = slab.roots(1.3, drying_curves.MODES), slab.weights(1.3, drying_curves.MODES)
    a, e = B * (70 - emc[0]), emc[0]
    for k in range(365):
        a, e = slab.step(a, b, B, emc[k] - e, 0.05 * factor[k]), emc[k]
        assert U[k + 1, 0] + 70 * G[k + 1, 0] == pytest.approx(slab.mean(a, e), abs=1e-9)


def test_water_lost_is_what_passes_the_face(oak):
    """The fall of the mean equals S (surface - EMC) summed over the days, to 2 % (daily sums of a smooth curve)."""
    d = oak.daily.iloc[5:60]
    factor, _ = drying.felt_weather(oak.site)
    day = (drying.day_of_year(oak.start) + d.day.to_numpy()[:-1]) % 365
    gap = (d.surface_mc_pct - d.emc_pct).to_numpy()
    through = drying.rate(oak.species).per_day * drying.BIOT * factor[day] * (gap[1:] + gap[:-1]) / 2
    assert through.sum() == pytest.approx(d.likely.iloc[0] - d.likely.iloc[-1], rel=0.02)


def test_grid_and_single_forecast_agree():
    """The grid's five-day air and fewer modes against the daily forecast: half a day and 1 %."""
    woods, thick = ["northern red oak", "yellow-poplar", "eastern white pine"], [1.0, 2.0]
    table = drying.grid(["Madison", "Mobile", "Denver"], [START, "2026-10-01"], woods, thick)
    for row in table.itertuples():
        one = drying.air_dry(row.species, row.thickness_in, row.site, row.start).daily
        under = one.likely <= 20
        day = one.day[under.idxmax()] if under.any() else np.nan
        assert abs(row.days - day) < 1.0 + 0.01 * day, row


@settings(max_examples=25, deadline=None)
@given(
    st.sampled_from(species.names()),
    st.sampled_from(list(climate.sites().name)),
    st.integers(1, 12),
    st.floats(0.75, 2.0),
)
def test_forecast_is_in_order(wood, place, month, thick):
    forecast = drying.air_dry(wood, thick, place, datetime.date(2026, month, 1))
    d = forecast.daily
    assert (d.low <= d.likely + 1e-9).all() and (d.likely <= d.high + 1e-9).all()
    assert d.likely.iloc[0] == pytest.approx(forecast.start_mc_pct)
    assert d.likely.between(2, forecast.start_mc_pct + 0.1).all()
    above = d.likely > 30
    assert (d.surface_mc_pct[above] <= d.likely[above] + 1e-6).all()
    assert (d.core_mc_pct[above] >= d.likely[above] - 1e-6).all()
    days = forecast.days_to(25)
    assert 0 <= days.low <= days.likely <= days.high or np.isnan(days.high)
    assert forecast.start <= forecast.stops_on


def test_what_makes_it_slower():
    def days(wood="red maple", thick=1.0, place="Madison", start=START, **more):
        return drying.air_dry(wood, thick, place, start, **more).days_to(20).likely

    usual = days()
    assert days(thick=1.25) > usual * 1.2
    assert days(start="2026-10-15") > usual * 2
    assert days(airflow="sheltered") > usual > days(airflow="open")
    assert days(pile_width_ft=8) > usual > days(pile_width_ft=2)
    assert days(quartersawn=True) == pytest.approx(1.15 * usual, rel=0.03)  # FOR-128 p. 74
    assert days(start_mc_pct=120) > usual > days(start_mc_pct=40)
    assert days(place="Duluth") > usual > days(place="Phoenix")
    assert days(wood="northern red oak") > usual


WATCHED = ([5, 20, 35, 50], [75.0, 60.0, 48.0, 38.0])  # days and moistures of one board of red oak


def watched(oak, day, mc, kind="weight"):
    """What the forecast has learned from four weighings of a board, and one more reading of it."""
    days, seen = WATCHED
    kinds = ["weight"] * len(days) + [kind]
    return oak.update(readings([*days, day], [*seen, mc], board="1", kind=kinds))


@pytest.mark.parametrize("kind", ["weight", "meter"])
@pytest.mark.parametrize("day", [60, 80, 95, 110])
def test_dates_move_smoothly_with_the_newest_reading(oak, day, kind):
    """A tenth of a point is a fraction of what a reading errs by: it moves no date by more than three days.

    So a reading a hair over 20 % does not pin the dates to its own day, as little as one a hair under it does.
    """
    for spans in (
        [watched(oak, day, mc, kind).date_of(20) for mc in np.arange(19, 24.05, 0.1)],
        [oak.update(readings([day], [mc], kind=kind)).date_of(20) for mc in np.arange(19, 24.05, 0.1)],
    ):
        days = np.array([[(when - oak.start).days for when in span] for span in spans])
        assert np.abs(np.diff(days, axis=0)).max() <= 3
        assert np.diff(days, axis=1).min() >= 7  # a reading of one board leaves a band of weeks


def test_the_wetter_a_reading_the_later_the_dates(oak):
    """One weighing on day 80, of 20.1 to 26 %: none of the three dates goes back."""
    spans = [oak.update(readings([80], [mc])).date_of(20) for mc in (20.1, 20.5, 21, 22, 23, 24, 26)]
    for ends in zip(*spans, strict=True):
        assert list(ends) == sorted(ends)
    assert spans[-1].low > spans[0].low + datetime.timedelta(days=14)


def test_a_reading_clearly_wetter_puts_the_dates_after_it(oak):
    """Three points over 20 %, more than two errors: one chance in thirty that the stack is dry before that day."""
    newest = oak.start + datetime.timedelta(days=80)
    for mc in (23.5, 26.0, 28.0):
        low, likely, high = watched(oak, 80, mc).date_of(20)
        assert newest <= low < likely < high
    hair = watched(oak, 80, 20.3)
    assert hair.date_of(20).low <= hair.start + datetime.timedelta(days=round(hair.days_to(20).low) + 4)
    assert oak.update(readings([80], [22.0])).date_of(22).low < newest  # not wetter than 22 %


def test_a_late_wet_reading_does_not_set_all_dates_at_once(oak):
    """28 % when all boards should be dry: the dates keep their width; a board still drying contradicts them."""
    for day in (80, 95, 110, 140):
        after = watched(oak, day, 28.0)
        low, likely, high = after.date_of(20)
        assert low < likely < high and (high - low).days > 14
    assert oak.contradicted_by(watched(oak, 110, 28.0).readings)
    assert oak.contradicted_by(watched(oak, 140, 25.0, "meter").readings)
    assert not oak.contradicted_by(watched(oak, 80, 28.0).readings)  # a slow board
    assert not oak.contradicted_by(watched(oak, 110, 20.5).readings)


BOARD = (["2026-05-18", "2026-06-15", "2026-07-10"], [78.0, 45.0, 28.0])
LAST = [20.1, 21, 22, 24, 25.5, 28, 30.5, 40]


def weighed_last(when, mc, earlier=3, kind="weight"):
    """The last weighings of one board of red oak, and one more reading of it."""
    days, seen = (part[len(part) - earlier :] for part in BOARD)
    kinds = ["weight"] * earlier + [kind]
    return pd.DataFrame({"date": [*days, when], "mc_pct": [*seen, mc], "board": "A", "kind": kinds})


@pytest.mark.parametrize("kind", ["weight", "meter"])
@pytest.mark.parametrize("earlier", [0, 1, 2, 3])
def test_once_a_late_reading_is_too_wet_every_wetter_one_is(oak, earlier, kind):
    """And until then no date goes back by more than two days: so little do the older readings yield to a stray.

    Past the end of a meter's scale a reading counts for less, and its date may be earlier, but never before its day.
    Beside weighings it counts for nothing, and is named.
    """
    last = LAST if kind == "weight" or not earlier else [mc for mc in LAST if mc <= 30]
    for mc in set(LAST) - set(last):
        table = weighed_last("2026-09-20", mc, earlier, kind)
        (with_it, why), (without, _) = (drying_forecast.taught(oak, t) for t in (table, table.iloc[:-1]))
        assert not why and with_it.date_of(20) == without.date_of(20)
        assert "Kept, not trusted" in drying_readings.not_trusted(
            table.assign(date=pd.to_datetime(table["date"]))
        )
    for when in ("2026-08-01", "2026-08-20", "2026-09-20", "2026-10-20"):
        told = [drying_forecast.taught(oak, weighed_last(when, mc, earlier, kind)) for mc in last]
        refused = [bool(why) for _, why in told]
        assert refused == sorted(refused)
        scale = 25 if kind == "meter" else 100
        likely = [
            a.date_of(20).likely for mc, (a, why) in zip(last, told, strict=True) if not why and mc <= scale
        ]
        back = [(a - b).days for a, b in itertools.pairwise(likely)]
        assert max(back, default=0) <= 2
        clear = 20 + 2 * drying.reading_sd_pct(24.0, kind) + drying_readings.SD_METER_SHARED_PCT
        for mc, (after, why) in zip(last, told, strict=True):
            assert why or mc < clear or after.date_of(20).likely >= datetime.date.fromisoformat(when)
    if earlier:
        assert refused[-1]
        assert not why or "Weigh it again; if it is right, the wood is not dry" in why


def test_dates_go_on_from_a_reading_that_is_believed(oak):
    """22 % on 20 August, where the curve loses a quarter of a point a day: a week more, and not the same day."""
    after, why = drying_forecast.taught(oak, weighed_last("2026-08-20", 22.0))
    assert not why and datetime.date(2026, 8, 25) <= after.date_of(20).likely <= datetime.date(2026, 9, 5)


def test_honest_stacks_are_not_refused(oak):
    """Boards of 60 stacks with paces and errors as they are taken to be, weighed until they are dry."""
    rng = np.random.default_rng(5)
    days, refused = [3, 20, 40, 60, 80, 110], 0
    for _ in range(60):
        pace = np.exp(rng.normal(0, 0.2))
        each = []
        for board in "AB":
            mc = oak.at_pace(pace * np.exp(rng.normal(0, 0.15)), days)
            mc = mc + rng.normal(0, drying.reading_sd_pct(mc))
            each.append(readings(days, mc, board=board))
        refused += oak.contradicted_by(pd.concat(each))
    assert refused == 0


@pytest.mark.filterwarnings("ignore:.* is thicker than 8/4:woodcalc.checks.RangeWarning")
def test_never_reached_is_said_and_not_looped(oak):
    days, dates = oak.days_to(8), oak.date_of(8)
    assert np.isnan(days.likely) and dates.likely is None
    assert oak.says(8) == (
        "8 % is not reached outdoors in Madison, WI. The stack stops drying near 13 % in April 2027, because the air "
        "there holds wood at 13 to 15 % through the year."
    )
    held = oak.daily.emc_pct  # the words are those numbers
    assert round(held.min()) == round(oak.stops_at_pct) == 13 and round(held.max()) == 15
    damp = climate.from_monthly("fog", [55] * 12, [99] * 12)
    assert drying.grid([damp], [5], ["red maple"], [1], mc_pct=15).days.isna().all()
    frozen = climate.from_monthly("ice", [-40] * 12, [70] * 12)
    words = drying.air_dry("white oak", 2, frozen, START).says(20)
    assert words == (
        "20 % is not reached outdoors in ice. On 12 May 2030, where this forecast ends, the stack is near 57 % and "
        "still drying: the air there holds wood at 13 %."
    )
    thick = drying.air_dry("northern red oak", "12/4", "Duluth", START)
    late = thick.update([{"date": "2030-05-09", "mc_pct": 24}])
    assert late.stops_at_pct < 20 and late.says(20) == (
        "20 % is not reached outdoors in Duluth, MN. It read 24 % on 9 May 2030, and this forecast ends on 12 May "
        "2030. It may dry further after that, as the air there holds wood at 12 to 16 %."
    )


def test_already_dry_takes_no_days():
    dry = drying.air_dry("red maple", 1, "Madison", START, start_mc_pct=15)
    assert dry.days_to(20).likely == 0
    assert dry.says(20) == "20 % or less already on 15 May 2026, the day it was stacked."
    assert drying.grid(["Madison"], [5], ["red maple"], [1], mc_pct=90).days.tolist() == [0.0]


def test_starts():
    assert drying.start_date("May").month == 5 and drying.start_date(5).day == 15
    assert drying.start_date(pd.Timestamp("2026-02-03")) == datetime.date(2026, 2, 3)
    assert drying.start_date(datetime.datetime(2026, 2, 3, 4)) == datetime.date(2026, 2, 3)
    leap = drying.air_dry("red maple", 1, "Madison", "2024-02-29")
    assert leap.days_to(20).likely == pytest.approx(
        drying.air_dry("red maple", 1, "Madison", "2023-02-28").days_to(20).likely
    )
    assert leap.daily.date.iloc[1] == pd.Timestamp("2024-03-01")


def test_a_month_is_the_next_such_month_never_one_that_is_past():
    for day in ("2026-11-28", "2027-05-15", "2027-05-16", "2028-02-29"):
        today = datetime.date.fromisoformat(day)
        for month in range(1, 13):
            start = drying.start_date(month, today)
            assert (start.month, start.day) == (month, 15) and 0 <= (start - today).days < 366
            assert start == drying.start_date(str(month), today) == drying.start_date(f"{start:%B}", today)
    then = drying.start_date("May 20, 2026", datetime.date(2026, 11, 28))
    assert then == datetime.date(2026, 5, 20)  # a day is as it is given


@pytest.mark.parametrize(
    "typed", ["5/15/2027", "15 May 2027", "May 15, 2027", "2027-05-15", "15.5.2027", " 5-15-27"]
)
def test_a_start_as_people_write_it(typed):
    assert drying.start_date(typed) == datetime.date(2027, 5, 15)


@pytest.mark.parametrize("thick", ["1/4", "4/4", "16/4", "24/4"])
@pytest.mark.parametrize("when", ["1950-01-01", "2100-12-31"])
@pytest.mark.parametrize("start_mc", [3, 5, 12, 131])
def test_ends_of_every_range_give_a_forecast(thick, when, start_mc):
    """Also wood that is stacked drier than its air: it takes up water, and nothing is negative or missing."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", RangeWarning)
        f = drying.air_dry("northern red oak", thick, "Mobile, AL", when, start_mc_pct=start_mc)
    for forecast in (
        f,
        f.update([{"date": when, "mc_pct": 0}, {"date": when, "mc_pct": 300, "kind": "meter"}]),
    ):
        daily = forecast.daily
        assert not daily.isna().any(axis=None)
        assert ((daily.low <= daily.likely) & (daily.likely <= daily.high) & (daily.low >= 0)).all()
        low, likely, high = forecast.days_to(20)
        assert not low > likely and not likely > high and not low < 0
        assert "nan" not in forecast.says(20) and "None" not in forecast.says(20)
        assert 0 < forecast.pace.low <= forecast.pace.likely <= forecast.pace.high


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: drying.air_dry("red oka", 1, "Madison", 5), "red oak"),
        (lambda: drying.air_dry("red maple", 25, "Madison", 5), "quarters or mm"),
        (lambda: drying.air_dry("red maple", "5/8", "Madison", 5), "8/4"),
        (lambda: drying.air_dry("red maple", 1, "Madisonn", 5), "Madison, WI"),
        (lambda: drying.air_dry("red maple", 1, "Madison", "02/30/2026"), "no such day"),
        (lambda: drying.air_dry("red maple", 1, "Madison", "1850-05-15"), "1850 cannot be right"),
        (lambda: drying.air_dry("red maple", 1, "Madison", datetime.date(9999, 1, 1)), "1950 to 2100"),
        (lambda: drying.air_dry("red maple", 1, "Madison", [5]), "expected a date"),
        (lambda: drying.air_dry("red maple", 1, "Madison", 5, airflow="breezy"), "airflow"),
        (lambda: drying.air_dry("red maple", 1, "Madison", 5, start_mc_pct=0.6), "fraction"),
        (lambda: drying.air_dry("red maple", 1, "Madison", 5, pile_width_ft=0), "pile_width_ft"),
        (lambda: drying.grid(["Madison"], [5], ["red maple"], [1], mc_pct=0.2), "fraction"),
    ],
)
def test_bad_input_says_what_is_wrong(call, words):
    with pytest.raises(InputError, match=words):
        call()


def test_a_beam_is_doubted():
    with pytest.warns(RangeWarning, match="16/4 is thicker than 8/4"):
        drying.air_dry("red maple", 4, "Madison", 5)


def test_a_wood_without_published_range_says_so_and_is_wider():
    locust, oak = (drying.air_dry(n, 1, "Madison", START) for n in ("black locust", "northern red oak"))
    assert locust.basis == "specific gravity" and oak.basis == "air-drying range and kiln days"
    assert locust.pace.high / locust.pace.low > oak.pace.high / oak.pace.low


def readings(days, mc, start=START, **more):
    date = pd.Timestamp(start) + pd.to_timedelta(np.asarray(days), "D")
    return pd.DataFrame({"date": date, "mc_pct": mc, **more})


def slow_oak(oak, days, pace=0.7):
    """What a stack at that pace would show."""
    U, G = drying_curves.curves(
        np.array([pace * drying.rate("northern red oak").per_day]), np.array([1.0]), *oak._air
    )
    knots = drying_curves.knots(oak.horizon_days)
    return np.interp(days, knots, U[:, 0] + oak.start_mc_pct * G[:, 0])


def test_readings_move_the_pace_and_narrow_the_band(oak):
    days = [5, 15, 25, 35, 45] * 3
    after = oak.update(readings(days, slow_oak(oak, days), board=list("AAAAABBBBBCCCCC")))
    assert after.pace.likely == pytest.approx(0.7, abs=0.06)
    assert after.pace.high - after.pace.low < 0.5 * (oak.pace.high - oak.pace.low)
    assert after.days_to(20).likely > oak.days_to(20).likely
    assert (after.daily.high - after.daily.low)[40] < 0.5 * (oak.daily.high - oak.daily.low)[40]


def test_one_wild_reading_does_not_wreck_it(oak):
    days = [5, 15, 25, 35, 45]
    clean = oak.update(readings(days, slow_oak(oak, days)))
    mc = np.append(slow_oak(oak, days), 150.0)
    wild = oak.update(readings([*days, 30], mc))
    assert wild.days_to(20).likely == pytest.approx(clean.days_to(20).likely, rel=0.03)


def test_a_meter_above_its_range_says_little(oak):
    quick = slow_oak(oak, [10, 15, 20], 1.5)
    assert quick.min() > 38
    metered = oak.update(readings([10, 15, 20], quick, kind="meter"))
    assert metered.days_to(20).likely == pytest.approx(oak.days_to(20).likely, rel=0.1)
    assert metered.pace.high / metered.pace.low > 0.9 * oak.pace.high / oak.pace.low
    weighed = oak.update(readings([10, 15, 20], quick, kind="weight"))
    assert weighed.pace.likely > metered.pace.likely * 1.15


def test_updating_twice_counts_once(oak):
    table = readings([10, 30], [70.0, 50.0])
    once = oak.update(table)
    assert once.update(table).days_to(20) == once.days_to(20)
    assert oak.update(table.iloc[:0]).days_to(20) == oak.days_to(20)


def test_own_error_of_a_reading_counts(oak):
    days = [10, 30]
    sharp = oak.update(readings(days, slow_oak(oak, days), sd_pct=0.5))
    blunt = oak.update(readings(days, slow_oak(oak, days), sd_pct=8.0))
    assert sharp.pace.high / sharp.pace.low < blunt.pace.high / blunt.pace.low


@pytest.mark.parametrize(
    ("table", "words"),
    [
        (pd.DataFrame({"date": ["2026-06-01"]}), "no column 'mc_pct'"),
        (pd.DataFrame({"date": ["soon"], "mc_pct": [30.0]}), "row 1.*year-month-day"),
        (pd.DataFrame({"date": ["2026-01-01"], "mc_pct": [30.0]}), "before the stack was built"),
        (pd.DataFrame({"date": ["2026-06-01"], "mc_pct": [-3.0]}), "mc_pct = -3"),
        (pd.DataFrame({"date": ["2026-06-01"], "mc_pct": [30.0], "kind": ["guess"]}), "'meter' or 'weight'"),
        ([1, 2], "DataFrame"),
        (pd.DataFrame({"date": [pd.NaT], "mc_pct": [30.0]}), "row 1"),
        (pd.DataFrame({"date": ["12026-06-01"], "mc_pct": [30.0]}), "row 1"),
        (pd.DataFrame({"date": ["2026-06-01"], "mc_pct": ["wet"]}), "wet"),
        (pd.DataFrame({"date": ["2026-06-01"], "mc_pct": [30.0], "sd_pct": ["much"]}), "sd_pct"),
        (
            pd.DataFrame([["2026-06-01", "2026-06-01", 30.0]], columns=["date", "date", "mc_pct"]),
            "two columns",
        ),
        (pd.DataFrame({"date": ["soon"], "kind": ["meter"], "value": [30.0]}), "row 1.*year-month-day"),
        (
            pd.DataFrame({"date": ["2026-06-01"], "kind": ["weight"], "value": [7.4], "unit": ["lb"]}),
            "oven-dry",
        ),
    ],
)
def test_bad_readings_say_what_is_wrong(oak, table, words):
    with pytest.raises(InputError, match=words):
        oak.update(table)


def test_bands_hold_what_they_promise(report, scored):
    """256 invented stacks with everything that the band is made of: the wood's own rate, pile and place, airflow,
    start, months of weather of their own, the place's own air; readings from boards that differ from their stack.

    The four-in-five band must hold the true day of 20 %, and the true moisture 1, 3 and 8 months after the last
    reading, in 75 to 85 % of them, without readings and with 2, 5 or 10 (two boards) in the first 45 days. The
    stacks are spread evenly over what may be (a Sobol sequence), so that chance adds little.
    """
    base = drying.air_dry("northern red oak", 1, "Madison", "2026-04-15")
    p, count, last, months = base._prior, 256, 45, 14
    rng = np.random.default_rng(7)
    even = qmc.Sobol(9 + 2 * months, seed=7).random(count).T
    normal = iter(norm.ppf(even[1:]))

    def by_month():
        return np.array([next(normal) for _ in range(months)])[month]

    dried, emc = base._air
    day = drying_curves.knots(base.horizon_days)
    month = np.minimum(day[:-1] // 30.4, months - 1).astype(int)
    year = base.site.monthly
    warm = drying_curves.TEMP_SD_F / 1.8 * slab.HEAT_K / 288**2
    rate = p.rate * np.exp(p.sd_pace * next(normal))
    biot = p.biot * np.exp(drying.SD_LOG_BIOT * next(normal))
    start = p.start * (1 + p.sd_start * next(normal))
    air = emc[:, None] + drying_curves.PLACE_EMC_SD_PCT * next(normal)

    often = np.cumsum(drying_readings.HOW_OFTEN)
    more = np.array(drying_readings.MORE)[np.searchsorted(often, even[0])]
    own = [
        (
            rate * np.exp(more * drying_readings.SD_BOARD_PACE * next(normal)),
            start * (1 + more * drying_readings.SD_BOARD_START * next(normal)),
        )
        for _ in range(2)
    ]
    weather = dried[:, None] * np.exp(warm * by_month())
    air = air + year.emc_sd_pct.mean() * by_month()

    def moisture(rate, start):
        U, G = drying_curves.curves(rate, biot, weather, air)
        return U + start * G

    stacks, boards = moisture(rate, start), [moisture(*board) for board in own]
    true_day = drying_curves.crossing(day, stacks, 20.0)
    ahead = {"1 month": last + 30, "3 months": last + 91, "8 months": last + 243}
    rows = []
    for n, watched in ((0, []), (2, boards[:1]), (5, boards[:1]), (10, boards)):
        inside, widths = [], []
        for i in range(count):
            forecast = base
            if watched:
                when = np.linspace(3, last, n // len(watched)).round().astype(int)
                tables = []
                for name, board in enumerate(watched):
                    real = np.interp(when, day, board[:, i])
                    stray = rng.random(len(when)) < 0.05
                    error = np.where(stray, 20.0, drying.reading_sd_pct(real)) * rng.standard_normal(
                        len(when)
                    )
                    tables.append(
                        readings(when, np.clip(real + error, 0, 300), "2026-04-15", board=str(name))
                    )
                forecast = base.update(pd.concat(tables))
            days, d = forecast.days_to(20), forecast.daily
            bands = [(days.low, days.high)] + [(d.low[t], d.high[t]) for t in ahead.values()]
            truth = [true_day[i]] + [np.interp(t, day, stacks[:, i]) for t in ahead.values()]
            inside.append([low <= x <= high for (low, high), x in zip(bands, truth, strict=True)])
            widths.append([high - low for low, high in bands])
        rows.append([n, *np.mean(inside, axis=0), *np.median(widths, axis=0)])
    names = ["day of 20 %", *(f"MC in {name}" for name in ahead)]
    table = pd.DataFrame(rows, columns=["readings", *names, *(f"width, {n}" for n in names)])
    report(
        "256 invented stacks, red oak, Madison, 15 April: how often the band holds the truth", table.round(2)
    )
    assert ((table[names] >= 0.75) & (table[names] <= 0.85)).all(axis=None)
    width = table.set_index("readings")["width, day of 20 %"]
    least, most = 100 * table[names].min(axis=None), 100 * table[names].max(axis=None)
    scored(
        "your own stack, with weighings",
        off_by=f"in {least:.0f} to {most:.0f} % of them, with 0 to 10 weighings",
    )
    narrower = (
        f"from {width[0]:.0f} days to {width[2]:.0f} with two weighings of one board, on days 3 and {last}"
    )
    narrower += f", and {width[10]:.0f} with ten, of two boards on five days up to day {last}"
    scored("your own stack, with weighings", off_by=narrower)
    assert width[10] < width[5] < width[2] < 0.75 * width[0]
    late = table.set_index("readings")["width, MC in 8 months"]
    assert late[10] > 0.8 * late[0] > 1.5  # next winter's weather is not in this summer's readings


def test_two_boards_that_disagree_widen_the_band(oak):
    """44 and 27 % on one day: less is known of the stack than from two boards alike, or from one board between them."""

    def band(*mc):
        d = oak.update(readings([40] * len(mc), list(mc), board=[str(k) for k in range(len(mc))])).daily
        return d.high[40] - d.low[40]

    assert band(35.5, 35.5) < band(35.5) < band(44.0, 27.0)
    assert band(44.0, 27.0) > 1.25 * band(35.5, 35.5)
    spread = [20, 30, 41, 52, 60]
    assert band(*spread) > 1.3 * band(*[38, 39, 40, 41, 42])


def test_one_board_weighed_often_is_still_one_board(oak):
    """Ten weighings of one board say less of the stack than one weighing each of ten boards."""
    days = np.linspace(5, 45, 10).round()
    same = oak.update(readings(days, slow_oak(oak, days), board="1"))
    each = oak.update(readings(days, slow_oak(oak, days), board=[str(k) for k in range(10)]))
    wide = [np.log(f.pace.high / f.pace.low) for f in (each, same, oak)]
    assert wide[0] < 0.9 * wide[1] < 0.7 * wide[2]
    # without names, the weighings of different days are taken for those of one board
    assert oak.update(readings(days, slow_oak(oak, days))).days_to(20) == same.days_to(20)


def test_readings_of_one_meter_share_what_the_meter_is_off(oak):
    """Twenty readings of one meter leave a point of doubt, twenty weighed boards do not."""
    day = 80
    seen = [float(oak.daily.likely[day])] * 20

    def band(**kind):
        after = oak.update(readings([day] * 20, seen, **kind)).daily
        return after.high[day] - after.low[day]

    one = oak.update(readings([day], seen[:1], kind="meter")).daily
    assert (
        band(kind="meter") > 1.9 * drying_readings.SD_METER_SHARED_PCT
    )  # ten to ninety in a hundred: 2.56 alone
    assert band(board=[str(k) for k in range(20)], sd_pct=1.5) < 0.8 * band(kind="meter")
    assert band(kind="meter") < (one.high - one.low)[day]


def test_boards_that_agree_find_the_start_that_they_share(oak):
    """Six boards of a stack that began wetter or drier than usual, all on its curve: the start is found, not pulled
    away from it, up to the edge of what may be."""
    days = np.repeat([4, 18, 32], 6)
    for share in (0.82, 0.9, 1.0, 1.1, 1.2):
        real = drying.air_dry("northern red oak", 1, "Madison", START, start_mc_pct=80 * share).daily.likely
        table = readings(days, real[days].to_numpy(), board=[str(k) for k in range(6)] * 3)
        p = oak.update(table)._points
        found = np.sum(p.weight * p.start_mc)
        assert found == pytest.approx(80 * share, abs=0.025 * 80), share


def test_readings_do_not_foretell_next_years_weather(oak):
    """Forty exact weighings of twenty boards: the band of next spring is what the weather and the place leave open."""
    days = np.repeat([20, 60], 20)
    table = readings(days, slow_oak(oak, days, 1.0), board=[str(k) for k in range(20)] * 2, sd_pct=0.2)
    after = oak.update(table).daily
    assert (after.high - after.low)[60] < 0.35 * (oak.daily.high - oak.daily.low)[60]
    spring = slice(300, 360)
    assert (after.high - after.low)[spring].mean() > 0.85 * (oak.daily.high - oak.daily.low)[spring].mean()
    assert (after.high - after.low)[spring].min() > 2.0


def test_heartwood_and_sapwood():
    pine = species.get("loblolly pine")
    made = {part: drying.air_dry(pine, 1, "Madison", START, part=part) for part in species.PARTS}
    assert [f.start_mc_pct for f in made.values()] == [80.7, 33.0, 110.0]
    assert made["heartwood"].days_to(20) < made["mixed"].days_to(20) < made["sapwood"].days_to(20)
    with pytest.raises(InputError, match="black cherry: how wet its sapwood is, is not known.*53 %"):
        drying.air_dry("black cherry", 1, "Madison", START, part="sapwood")
    with pytest.raises(InputError, match="heartwood"):
        drying.air_dry("black cherry", 1, "Madison", START, part="hartwood")


def test_every_table_takes_the_part_as_the_forecast_does():
    """Sweetgum's sapwood starts much wetter than its heartwood, and is dry before it all the same."""
    for wood in ("sweetgum", "loblolly pine"):
        days = {}
        for part in species.PARTS:
            one = drying.air_dry(wood, 1, "Madison", START, part=part).days_to(20).likely
            many = drying.grid("Madison", START, wood, 1, part=part).days[0]
            months = drying.by_start(wood, 1, "Madison", part=part).likely[5]
            assert many == pytest.approx(one, abs=2) and months == pytest.approx(one, abs=2)
            days[part] = one, drying.warm_days_needed(wood, part=part)
        faster = [s < h for s, h in zip(days["sapwood"], days["heartwood"], strict=True)]
        assert faster == [wood == "sweetgum"] * 2
    with pytest.raises(InputError, match="sapwood"):
        drying.grid("Madison", START, ["black cherry", "sweetgum"], 1, part="sapwood")
    with pytest.raises(InputError, match="part"):
        drying.air_dry("sweetgum", 1, "Madison", START, part="bark", start_mc_pct=80)


@pytest.mark.parametrize(
    ("wood", "thickness", "place"),
    [
        ("northern red oak", "4/4", "Madison"),
        ("white oak", "8/4", "Duluth"),
        ("yellow-poplar", "4/4", "Mobile, AL"),
    ],
)
@pytest.mark.parametrize("target", [20, 15])
def test_a_stack_has_one_band_whichever_table_tells_it(wood, thickness, place, target):
    """At 15 % the damp of a year's air moves the date by more than the pace does: both bands have it in them.

    Both are one reckoning, so they agree within two days also where the curve is flat, in the fall.
    """
    table = drying.by_start(wood, thickness, place, target)
    assert not ((table.low > table.likely) | (table.high < table.likely)).any()
    for month in (2, 5, 7, 10):
        one = drying.air_dry(wood, thickness, place, f"2026-{month:02}-15").days_to(target)
        assert tuple(table.loc[month]) == pytest.approx(tuple(one), abs=2, nan_ok=True), month


def test_a_start_that_the_wood_cannot_hold_is_refused():
    with pytest.raises(InputError, match="start_mc_pct = 150.*red oak cannot hold more than 131 %"):
        drying.air_dry("northern red oak", 1, "Madison", START, start_mc_pct=150)
    assert drying.air_dry("eastern white pine", 1, "Madison", START, start_mc_pct=150).start_mc_pct == 150


def test_one_thing_or_several_and_plain_readings(oak):
    """A single place, a table of places, readings as dicts, moistures as an array: all say the same."""
    one = drying.grid("Madison", 5, "white oak", "4/4").days
    assert one.tolist() == drying.grid(["Madison"], [5], ["white oak"], [1.0]).days.tolist()
    assert len(drying.grid(climate.sites(), 5, species.table().head(2), 1.0)) == 122
    rows = [{"date": "2026-06-10", "mc_pct": 60.0}, {"date": "2026-07-01", "mc_pct": 45.0}]
    likely = oak.update(pd.DataFrame(rows)).days_to(20)
    assert oak.update(rows).days_to(20) == likely
    assert oak.update({"date": [r["date"] for r in rows], "mc_pct": [60.0, 45.0]}).days_to(20) == likely
    assert oak.update(pd.DataFrame(rows).set_index("date")).days_to(20) == likely
    assert oak.update([]).days_to(20) == oak.days_to(20)
    assert oak.days_to([25, 20]).likely.tolist() == [oak.days_to(25).likely, oak.days_to(20).likely]
    with pytest.raises(InputError, match="one moisture content"):
        oak.date_of([25, 20])
    assert drying.start_date(np.datetime64("2026-05-15")) == datetime.date(2026, 5, 15)
    for missing in (None, pd.NaT):
        with pytest.raises(InputError, match="start = N"):
            drying.start_date(missing)
    assert drying.thickness("1.25") == drying.thickness("5/4") == 1.25
    with pytest.raises(InputError, match="grid"):
        drying.thickness([1, 2])


def test_a_reading_with_an_hour_and_a_time_zone_counts_on_its_day(oak):
    plain = oak.update([{"date": "2026-06-10", "mc_pct": 60.0}])
    late = oak.update(
        pd.DataFrame({"date": pd.to_datetime(["2026-06-10 18:30"]).tz_localize("UTC"), "mc_pct": [60.0]})
    )
    assert late.days_to(20) == plain.days_to(20)


STACK = {"stack": "A", "species": "white oak", "nominal": "4/4", "stacked": pd.Timestamp("2026-05-15"),
         "place": "", "start_mc_pct": np.nan, "width_ft": np.nan}  # fmt: skip


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"species": ""}, "stack A: no species"),
        ({"nominal": "", "stacked": pd.NaT}, "no nominal and no stacked"),
        ({"nominal": "48/4"}, "thickness_in"),
        ({"species": "beach"}, "unknown species"),
        ({"place": "Atlantis"}, "unknown site"),
        ({"start_mc_pct": 1.0}, "start_mc_pct"),
        ({"width_ft": 0.5}, "pile_width_ft"),
        ({"stacked": pd.Timestamp("1850-01-01")}, "1950 to 2100"),
    ],
)
def test_a_stack_that_cannot_be_forecast_is_said(change, words):
    with pytest.raises(InputError, match=words):
        drying.of_stack(pd.Series(STACK | change), "Madison")


def test_a_stack_needs_no_more_than_wood_thickness_and_day():
    whole = drying.of_stack(pd.Series(STACK | {"place": float("nan")}), "Madison")
    few = drying.of_stack(pd.Series({k: STACK[k] for k in ("species", "nominal", "stacked")}), "Madison")
    assert few.days_to(20) == whole.days_to(20)
    with pytest.raises(InputError, match="no species and no nominal and no stacked"):
        drying.of_stack(pd.Series({"stack": "A"}), "Madison")


def test_a_readings_table_is_understood():
    table = records.read(records.KETTLE_HOLLOW / "readings.csv")
    before = drying.air_dry("northern red oak", "4/4", "Madison", "2025-05-10")
    told = records.mc_readings(table, "A", "northern red oak")
    assert before.update(table[table["stack"] == "A"]).days_to(20) == before.update(told).days_to(20)
    row = {"date": "2025-07-20", "kind": "meter", "value": 24.0}
    assert before.update([row]).days_to(20) == before.update(
        [{"date": "2025-07-20", "kind": "meter", "mc_pct": 24.0}]
    ).days_to(20)
    with pytest.raises(InputError, match="3 stacks"):
        before.update(table)
    with pytest.raises(InputError, match="none can be used.*oven-dry"):
        before.update([{"date": "2025-07-20", "kind": "weight", "value": 9.0, "unit": "lb"}])


def series(values, board="", kind="meter", first="2025-05-20", every=7):
    days = pd.date_range(first, periods=len(values), freq=f"{every}D")
    return pd.DataFrame({"date": days, "board": board, "kind": kind, "mc_pct": [float(v) for v in values]})


def dried(pace, board="1", count=9):
    """Weighings of a board that dries at a pace of its own, from the tenth day."""
    oak = drying.air_dry("northern red oak", "4/4", "Madison", "2025-05-10")
    return series(oak.at_pace(pace, 10 + 7 * np.arange(count)), board, "weight")


UP = 16 + 1.5 * np.arange(9)
NO_DRYING = {
    "a meter rises": series(UP),
    "the meter on one board rises": series(UP, "1"),
    "weights rise": series(20 + 1.5 * np.arange(9), "1", "weight"),
    "weights stand still": series([40] * 9, "1", "weight"),
    "a meter stands still": series([22] * 9),
    "three boards stand still": pd.concat([series([v] * 6, str(v)) for v in (12, 20, 29)]),
    "far too wet at last": dried(1.0).assign(mc_pct=[*dried(1.0).mc_pct[:-1], 45]),
    "dates the wrong way round": dried(1.0).assign(mc_pct=dried(1.0).mc_pct[::-1].to_numpy()),
}


@pytest.mark.parametrize("readings", NO_DRYING.values(), ids=NO_DRYING)
def test_readings_that_rise_or_stand_still_contradict_the_forecast(readings):
    oak = drying.air_dry("northern red oak", "4/4", "Madison", "2025-05-10")
    assert oak.contradicted_by(readings)
    assert oak.contradicted_by(readings.sample(frac=1, random_state=1))  # in whatever order they are written


HONEST = {
    "a meter falls": series(28 - 1.5 * np.arange(9)),
    "a slow board": dried(0.6),
    "a fast board": dried(1.6),
    "a slow and a fast board": pd.concat([dried(0.6, "1"), dried(1.4, "2")]),
    "a slip of the pen, the oldest": dried(1.0).assign(mc_pct=[12, *dried(1.0).mc_pct[1:]]),
    "two readings": dried(1.0, count=2),
    "dry since the summer": series([14, 13, 14, 15, 14, 15], first="2025-09-10", every=14),
}


@pytest.mark.parametrize("readings", HONEST.values(), ids=HONEST)
def test_boards_that_dry_at_a_pace_of_their_own_do_not(readings):
    oak = drying.air_dry("northern red oak", "4/4", "Madison", "2025-05-10")
    assert not oak.contradicted_by(readings)


def test_all_stations_at_once_are_what_each_is_alone():
    """`everywhere` and `driest_everywhere` against `grid` and the forecast; these take finer steps, so 0.02 points."""
    at = list(range(0, 1011, 60))
    sites = [climate.get(number) for number in climate.stations().station_id[at]]
    for wood, name, month in (("northern red oak", "4/4", 5), ("eastern white pine", "8/4", 11)):
        alone = drying.grid(sites, [month], wood, name).days
        assert np.allclose(drying.everywhere(wood, name, month)[at], alone, rtol=1e-9, equal_nan=True)
        stops = [drying.air_dry(wood, name, site, month).stops_at_pct for site in sites]
        assert np.abs(drying.driest_everywhere(wood, name, month)[at] - stops).max() < 0.02


@pytest.mark.parametrize("name", ["10/4", "12/4", "16/4", 2.25])
def test_stock_thicker_than_8_4_is_carried_on_with_a_word(name):
    """8/4 is the thickest with a published time (`THICKNESS_TIMES`)."""
    with pytest.warns(RangeWarning) as said:
        drying.thickness(name)
    (one,) = said
    told = "9/4" if name == 2.25 else name
    assert str(one.message).startswith(
        f"{told} is thicker than 8/4, the thickest that the drying times were checked on."
    )
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        for usual in (0.5, "3/4", "4/4", "5/4", "6/4", "8/4"):
            drying.thickness(usual)


def test_a_meter_over_its_scale_takes_no_date_from_the_weighings():
    before = drying.air_dry("northern red oak", 1.0, "Burlington, VT", "2026-05-15")
    days = (1, 14, 28, 42, 56, 70, 84, 98)
    weighed = [
        {
            "date": before.start + datetime.timedelta(days=d),
            "mc_pct": float(before.at_pace(1.0, d)),
            "board": "A1",
        }
        for d in days
    ]
    metered = {"date": datetime.date(2026, 8, 25), "mc_pct": 43.0, "board": "A1", "kind": "meter"}
    with_it = [{**each, "kind": "weight"} for each in weighed] + [metered]
    after, why = drying_forecast.taught(before, pd.DataFrame(with_it))
    assert why == "" and after.date_of(20) == drying_forecast.taught(before, pd.DataFrame(weighed))[
        0
    ].date_of(20)
    assert not before.too_wet_at_last(with_it)
    alone = before.update([metered])
    assert len(alone.readings) == 1  # wet, and no more, is then all that is known
