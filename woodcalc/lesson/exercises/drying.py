"""Formulas of lesson 07: thickness, warm days, the best month, what is left to do, a stack to save."""

from __future__ import annotations

import numpy as np

from woodcalc import climate, drying, species
from woodcalc.figures import drying as figures
from woodcalc.figures import spoil
from woodcalc.lesson.exercise import Worked
from woodcalc.lesson.exercises.words import read
from woodcalc.sizes import wood_ft3

_WOODS = ("northern red oak", "white oak", "black walnut", "black cherry", "sugar maple", "yellow-poplar")
_PLACES = ("Madison, WI", "Albany, NY", "Columbus, OH", "Asheville, NC", "Duluth, MN", "Springfield, MO")


# Thickness


def _draw_thickness(rng):
    return {
        "wood": str(rng.choice(_WOODS)),
        "thick": str(rng.choice(["6/4", "8/4"])),
        "days": int(rng.choice([40, 50, 60, 70, 80, 90])),
    }


def _thickness(wood, thick, days):
    times, inches = drying.THICKNESS_TIMES[thick], drying.thickness(thick)
    return Worked(
        days * times,
        dict(
            in_step=days * inches,
            square=days * inches**2,
            divided=days / times,
            other_times=days * (4.2 - times),
        ),
        dict(times=times, Wood=wood.capitalize()),
    )


# Warm days


def _walk(place, month, needed):
    """The months used up whole, each as name, warm days before it, worth, warm days after it, length; then the month
    that is used in part, as name, warm days still needed, worth, length."""
    worth = drying.warm_days(place).round().astype(int).to_numpy()
    whole, left, k = [], needed, month - 1
    while left > worth[k]:
        whole.append((climate.MONTHS[k], left, worth[k], left - worth[k], climate.MONTH_DAYS[k]))
        left, k = left - worth[k], k + 1
    return whole, (climate.MONTHS[k], int(left), int(worth[k]), int(climate.MONTH_DAYS[k]))


def _draw_ledger(rng):
    place, month = str(rng.choice(_PLACES)), int(rng.integers(4, 8))
    worth = drying.warm_days(place).round().astype(int).to_numpy()[month - 1 : month + 3]
    while True:  # until each usual slip gives another answer than the right one
        needed = int(5 * round(rng.uniform(worth[0] + 10, 0.95 * worth.sum()) / 5))
        numbers = {"place": place, "month": month, "needed": needed}
        worked = _ledger(**numbers)
        if min(abs(worked.answer - wrong) for wrong in worked.slips.values()) > 1.5:
            break
    ledger = ", ".join(f"{climate.MONTHS[month - 1 + k]} {w}" for k, w in enumerate(worth))
    return numbers | {"ledger": ledger}


def _ledger(place, month, needed, ledger=""):
    whole, (part_of, left, worth, length) = _walk(place, month, needed)
    days = int(sum(days for *_, days in whole))
    part_days = round(left / worth * length, 1)
    lists = {
        name: [row[column] for row in whole]
        for column, name in enumerate(("whole", "before", "whole_worth", "after", "whole_days"))
    }
    return Worked(
        days + part_days,
        dict(warm_days=needed, last_whole=days + length, warm_left=days + left, no_last=days),
        dict(part_of=part_of, left=left, worth=worth, length=length, part_days=part_days, days=days) | lists,
    )


# The best month


def _draw_best(rng):
    return {
        "wood": str(rng.choice(_WOODS)),
        "place": str(rng.choice(_PLACES)),
        "thick": str(rng.choice(["4/4", "5/4"])),
    }


def _best(wood, place, thick):
    year = drying.by_start(wood, thick, place).likely
    other = drying.by_start(wood, {"4/4": "5/4", "5/4": "4/4"}[thick], place).likely
    return Worked(
        year.min(),
        dict(worst=year.max(), other_thickness=other.min(), january=year[1]),
        dict(month_name=figures.month_name(year.idxmin())),
    )


# What is left


def _draw_left(rng):
    wood = str(rng.choice(_WOODS))
    feet = int(rng.choice([100, 200, 250, 300, 400]))
    # a board foot is 1/12 ft3; dry weight from basic specific gravity, water 62.4 lb/ft3
    dry = 10 * round(species.get(wood).basic_sg * species.WATER_LB_PER_FT3 * wood_ft3(feet) / 10)
    return {"wood": wood, "feet": feet, "dry_lb": dry, "stop_pct": int(rng.choice([12, 13, 15, 16]))}


def _left(wood, feet, dry_lb, stop_pct):
    points = stop_pct - 7
    return Worked(
        dry_lb * points / 100,
        dict(
            all_water=dry_lb * stop_pct / 100,
            wet_basis=dry_lb * (1 + stop_pct / 100) * points / 100,
            what_stays=dry_lb * 7 / 100,
        ),
        dict(points=points, point_lb=dry_lb / 100),
    )


# A stack to save


def _draw_save(rng):
    return {"wind_times": float(rng.choice([1.1, 1.4, 1.7, 2.0, 2.2, 2.5, 3.0, 3.6, 4.4]))}


def _save(wind_times):
    tried = np.arange(0, 91, 5)
    lost = spoil.windy_loss_pct(tried, wind_times)
    least = int(np.flatnonzero(lost <= spoil.WINDY_SAFE_PCT)[0])
    closed = float(tried[least])
    return Worked(
        closed,
        dict(what_stays_open=100 - closed, one_short=closed - 5, halfway=closed / 2),
        dict(before=lost[least - 1], less=closed - 5, after=lost[least]),
    )


EXERCISES = read(
    "drying",
    {
        "thicker-takes-longer": (_draw_thickness, _thickness),
        "warm-day-ledger": (_draw_ledger, _ledger),
        "best-month-to-stack": (_draw_best, _best),
        "water-left-after-outdoors": (_draw_left, _left),
        "a-stack-to-save": (_draw_save, _save),
    },
)
