"""The sheet for the shed wall: what to do when for every wood, what to set the saw to, what the sample boards weigh."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from math import ceil
from typing import TYPE_CHECKING, Any

import numpy as np

from woodcalc.checks import capital
from woodcalc.dates import day_told, span_told
from woodcalc.kiln import loading
from woodcalc.kiln.runs import Run
from woodcalc.plan.standing import TARGETS_PCT, Standing
from woodcalc.plan.steps import FURNITURE_PCT, WEIGH_ON, Step, first_season, piles_of
from woodcalc.sawing.best import SCALE_IN
from woodcalc.sizes import fraction, sixteenths

if TYPE_CHECKING:
    from woodcalc.drying.forecast import Forecast
    from woodcalc.plan.job import Plan

BOARD_LB = 10.0  # of the sample board whose weights the sheet lists: others by proportion
RUN_DAYS = 120  # a solar kiln that takes longer has not got the sun
MOST_PCT = 25.5  # moisture content at which boards are loaded, at the most
CHARGE_BF = (200.0, 2000.0)  # of a solar kiln: small lots share it


@dataclass(frozen=True)
class KilnDay:
    """The day to load a solar kiln so that a wood is at 7 % soonest.

    Attributes
    ----------
    day : date
    mc_pct : float
        What the boards are likely at on that day.
    low, likely, high : date
        When they are at 7 %: the early, the likely, the late day; None if the last may never come.
    """

    day: date
    mc_pct: float
    low: date
    likely: date
    high: date | None


@dataclass(frozen=True)
class Wall:
    """The sheet for the shed wall.

    Attributes
    ----------
    todo, settings, weights : Step
        The dated checklist; saw, stickers and kiln by wood; what a sample board weighs from visit to visit.
    standing : tuple of Standing
        What to do next with the stacks that stand already, and what their sample boards are to weigh.
    kiln_days : dict
        Wood to its `KilnDay`, or None.
    """

    todo: Step
    settings: Step
    weights: Step
    standing: tuple[Standing, ...]
    kiln_days: dict[str, KilnDay | None]


def kiln_day(forecast: Forecast, load_bf: float) -> KilnDay | None:
    """Return the day to load a solar kiln so that the wood is at 7 % soonest, no day over its safe loss.

    Loaded no wetter than 25 %, and not so early that the kiln is longer at it than helps: see `kiln.loading`.

    Parameters
    ----------
    forecast : Forecast
        Of the stack outdoors.
    load_bf : float
        The charge (bf).

    Returns
    -------
    KilnDay or None
        None without figures of the sunshine, or where no day gets it there.

    Examples
    --------
    >>> from woodcalc import drying
    >>> found = kiln_day(drying.air_dry("black cherry", "4/4", "Madison", "2026-05-15"), 300)
    >>> found.day.month, round(found.mc_pct), found.likely < first_season(drying.air_dry(
    ...     "black cherry", "4/4", "Madison", "2026-05-15"))[0]
    (6, 23, True)
    """
    _, season_mc = first_season(forecast)
    if season_mc <= FURNITURE_PCT[1]:
        return None
    found = loading.best_loading(
        forecast, "solar kiln", load_bf, sum(FURNITURE_PCT) / 2, wettest_pct=MOST_PCT, longest_days=RUN_DAYS
    )
    if found is None or not found.runs:
        return None
    run = found.runs[0]
    assert isinstance(run, Run)  # no rough look was asked for
    low, high = run.between
    late = found.day + timedelta(days=round(high)) if np.isfinite(high) else None
    return KilnDay(found.day, found.mc_pct, found.day + timedelta(days=round(low)), found.ready, late)


def wall_sheet(plan: Plan) -> Wall:
    """Return the sheet for the shed wall of a plan.

    Parameters
    ----------
    plan : Plan

    Examples
    --------
    >>> from woodcalc.plan.job import make_plan
    >>> wall_sheet(make_plan(start="2026-05-15")).todo.shown()[1][2][0]
    '15 May 2026'
    """
    import pandas as pd

    forecasts, sizes, todo = plan.forecasts, plan.sizes, plan.step("todo")
    lots = plan.boards.groupby("species")["board_feet"].sum()
    days = {
        name: kiln_day(f, float(np.clip(round(lots[name], -1), *CHARGE_BF))) if name in lots else None
        for name, f in forecasts.items()
    }
    rows = [
        (
            found.day,
            f"{capital(name)} {sizes[name]}: best day for a solar kiln, at {found.mc_pct:.0f} %. "
            f"7 % about {span_told(found.low, found.likely, found.high, likely_first=True)}.",
        )
        for name, found in days.items()
        if found
    ]
    rows += [
        (stack.next_weighing, f"Stack {stack.stack}: weigh or read it again.")
        for stack in plan.standing
        if stack.next_weighing and stack.next_weighing >= plan.made_on
    ]
    table = pd.concat([todo.table[~todo.table["season_over"]], pd.DataFrame(rows, columns=["date", "what"])])
    table = table.sort_values("date", kind="stable", ignore_index=True)
    checklist = Step("wall-todo", todo.title, todo.says, table, todo.heads)
    settings = _settings(plan, days)
    weights = weights_step(forecasts, sizes)
    return Wall(checklist, settings, weights, plan.standing, days)


def _settings(plan, days):
    """Saw, stickers and kiln, a row each wood; a pile that woods share stands with the first of them."""
    import pandas as pd

    forecasts, sizes, piles, kerf_in = plan.forecasts, plan.sizes, plan.piles, plan.assumptions["kerf_in"]
    step_in = plan.mill.step_in if plan.mill else SCALE_IN
    rows = []
    for row in plan.step("target").table.itertuples(index=False):
        name = row.species
        drop = ceil((row.set_in + kerf_in) / step_in - 1e-6) * step_in
        own = piles_of(piles, name)
        shared = next((key for key, pile in piles.items() if not own and name in pile.species), "")
        stickers = (
            f"{sum(p.sticker_count for p in own):,}, {max(p.spacing_in for p in own):.0f} in apart"
            if own
            else f"in the {shared.partition(', pile')[0]}"
            if shared
            else "none: no boards"
        )
        found, (over, mc) = days.get(name), first_season(forecasts[name])
        kiln_none = "none needed" if mc <= FURNITURE_PCT[1] else "none found"
        rows.append({
            "wood": f"{name} {sizes[name]}", "set": row.set, "set_in": row.set_in,
            "drop_in": drop, "drop": sixteenths(drop), "stickers": stickers,
            "kiln_day": found.day if found else None, "kiln": day_told(found.day) if found else kiln_none,
            "ready": day_told(found.likely) if found else "", "season": f"{day_told(over)}, {mc:.0f} %",
        })  # fmt: skip
    table = pd.DataFrame(rows)
    heads = {
        "wood": ("Wood", ""), "set": ("Saw at (in)", ""), "drop": ("Drop (in)", ""), "stickers": ("Stickers", ""),
        "kiln": ("Best into a solar kiln", ""), "ready": ("Then 7 % about", ""),
    }  # fmt: skip
    small = {key.partition(", pile")[0]: p for key, p in piles.items() if key.startswith("small lots")}
    counts = [
        f"The {name}: {sum(p.sticker_count for p in piles_of(piles, name)):,} stickers, {p.spacing_in:.0f} in apart."
        for name, p in small.items()
    ]
    a, b = next(iter(piles.values())).sticker_section_in
    kerf = fraction(kerf_in, 32) if abs(32 * kerf_in - round(32 * kerf_in)) < 1e-6 else f"{kerf_in:g}"
    notes = (
        f"Drop: board and saw line ({kerf} in), up to the next mark of the scale; mill.html has every pass. "
        f"Stickers {sixteenths(a)} x {sixteenths(b)} in, as long as their pile is wide. " + " ".join(counts),
        f"Solar kiln: loaded then, {CHARGE_BF[0]:.0f} bf or more of it are at 7 % within {RUN_DAYS} days "
        "and a week of the soonest, with the usual glass and no day over the wood's safe loss. Where none is found, "
        "use a heated room or a dehumidifier. Season over: the air brings little after that day; "
        "bring in what you need.",
    )
    heads["season"] = ("Season over", "")
    return Step("wall-settings", "Saw, stickers, kiln", "", table, heads, notes)


def weights_step(forecasts: dict[str, Forecast], sizes: dict[str, str]) -> Step:
    """Return what a sample board that weighs `BOARD_LB` green is to weigh on each visit, and when it is dry.

    A board whose share of sapwood is a guess has no such weights (`Species.parts_guessed`), and the notes say so.

    Parameters
    ----------
    forecasts : dict of Forecast
        By name of the wood.
    sizes : dict of str
        Nominal thickness by name of the wood.

    Returns
    -------
    Step

    Examples
    --------
    >>> from woodcalc import drying
    >>> stack = drying.air_dry("Douglas-fir (coast)", "4/4", "Hillsboro, OR", "2027-04-15")
    >>> weights_step({"Douglas-fir (coast)": stack}, {"Douglas-fir (coast)": "4/4"}).notes[-1].partition(":")[0]
    'No weights for Douglas-fir (coast)'
    """
    import pandas as pd

    start = next(iter(forecasts.values())).start
    last = max((first_season(f)[0] for f in forecasts.values()), default=start)
    visits = [start + timedelta(days=days) for days in WEIGH_ON]
    visits = [day for n, day in enumerate(visits) if n < 2 or day <= last]
    rows, off, guessed = [], 0.0, []
    for name, f in forecasts.items():
        likely = f.daily["likely"].to_numpy()
        lightest, heaviest = (1 + float(f.daily[end].iloc[0]) / 100 for end in ("low", "high"))
        green = 1 + f.start_mc_pct / 100
        row: dict[str, Any] = {"wood": f"{name} {sizes[name]}", "yours": ""}
        if f.part == "mixed" and f.species.parts_guessed:
            guessed.append(name)
            blanks = [f"visit{n}" for n in range(len(visits))] + [f"mc{mc}" for mc in TARGETS_PCT]
            rows.append(row | dict.fromkeys(blanks, np.nan))
            continue
        off = max(off, green / lightest - 1, 1 - green / heaviest)
        for n, day in enumerate(visits):
            row[f"visit{n}"] = BOARD_LB * (1 + likely[min((day - start).days, len(likely) - 1)] / 100) / green
        for mc in TARGETS_PCT:
            row[f"mc{mc}"] = BOARD_LB * (1 + mc / 100) / green if mc < f.start_mc_pct else np.nan
        rows.append(row)
    heads = {"wood": ("Wood", ""), "yours": ("Yours, green", "")}
    heads |= {
        f"visit{n}": (_short(day, n == 0 or day.year != visits[n - 1].year), ".1f")
        for n, day in enumerate(visits)
    }
    heads |= {f"mc{mc}": (f"at {mc} %", ".1f") for mc in TARGETS_PCT}
    says = (
        f"What a sample board that weighs {BOARD_LB:g} lb green is to weigh (lb). Yours is 7 lb green: take seven "
        "tenths. Later, weigh every month."
    )
    notes: tuple[str, ...] = (
        f"Four stacks in five start within {100 * off:.0f} % of these; single boards differ more. Surer: dry a section "
        "in the oven (lesson 4). A board at 25 % weighs 1.25 times its oven-dry weight, at 20 % 1.20, at 15 % 1.15.",
    )
    notes = notes if off else (notes[0].partition(". ")[2].replace("Surer: dry", "Dry", 1),)
    if guessed:
        notes += (
            f"No weights for {', '.join(guessed)}: sapwood holds far more water than heartwood, and how much of either "
            "your board has is not known. Dry a section in the oven first.",
        )
    return Step("wall-weights", "When to weigh", says, pd.DataFrame(rows), heads, notes)


def _short(day, with_year):
    return f"{day.day} {day:%b}" + (f" {day.year}" if with_year else "")
