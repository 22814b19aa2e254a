"""Exercises on drying outdoors: thickness, warm days, the best month, what is left to do, a stack's own pace."""

import numpy as np

from woodcalc import climate, drying, species
from woodcalc.figures import drying as figures
from woodcalc.lesson.exercise import Exercise, Slip

_WOODS = ("northern red oak", "white oak", "black walnut", "black cherry", "sugar maple", "yellow-poplar")
_PLACES = ("Madison, WI", "Albany, NY", "Columbus, OH", "Asheville, NC", "Duluth, MN", "Springfield, MO")


# Thickness


def _draw_thickness(rng):
    return {
        "wood": str(rng.choice(_WOODS)),
        "thick": str(rng.choice(["6/4", "8/4"])),
        "days": int(rng.choice([40, 50, 60, 70, 80, 90])),
    }


def _thicker(wood, thick, days):
    return days * drying.THICKNESS_TIMES[thick]


THICKNESS = Exercise(
    key="thicker-takes-longer",
    lesson="07",
    question=(
        "In one and the same warm weather, a stack of 4/4 {wood} is down to 20 % in {days} days. "
        "About how many days does {thick} of the same wood take? (6/4 takes 1.7 times, 8/4 2.5 times as "
        "long as 4/4.)"
    ),
    draw=_draw_thickness,
    solve=_thicker,
    unit="days",
    tolerance=1.0,
    steps=lambda wood, thick, days: [
        f"{thick} takes {drying.THICKNESS_TIMES[thick]:g} times as long as 4/4.",
        f"{drying.THICKNESS_TIMES[thick]:g} x {days} days = {_thicker(wood, thick, days):.0f} days. "
        f"{wood.capitalize()} or another: "
        "the times are the same.",
    ],
    slips=(
        Slip(
            "days in step with the thickness",
            lambda wood, thick, days: days * drying.thickness(thick),
            "Thicker stock loses twice: more water, and a longer way for it. 6/4 takes 1.7 times as "
            "long, 8/4 2.5 times.",
        ),
        Slip(
            "days with the square of the thickness",
            lambda wood, thick, days: days * drying.thickness(thick) ** 2,
            "That would hold if only the way inside counted. Outdoors half the hold-up is at the "
            "surface: 1.7 and 2.5 times.",
        ),
        Slip(
            "divided instead of multiplied",
            lambda wood, thick, days: days / drying.THICKNESS_TIMES[thick],
            "Thicker takes longer, so multiply.",
        ),
        Slip(
            "the times of the other thickness",
            lambda wood, thick, days: days * (4.2 - drying.THICKNESS_TIMES[thick]),
            "1.7 times belongs to 6/4, 2.5 times to 8/4.",
        ),
    ),
)


# Warm days


def _worth(place):
    return drying.warm_days(place).round().astype(int).to_numpy()


def _draw_ledger(rng):
    place, month = str(rng.choice(_PLACES)), int(rng.integers(4, 8))
    worth = _worth(place)[month - 1 : month + 3]
    while True:  # until each usual slip gives another answer than the right one
        needed = int(5 * round(rng.uniform(worth[0] + 10, 0.95 * worth.sum()) / 5))
        _, days, left, value, length = _walk(place, month, needed)
        truth = days + left / value * length
        if min(abs(truth - wrong) for wrong in (needed, days, days + left, days + length)) > 1.5:
            break
    ledger = ", ".join(f"{climate.MONTHS[month - 1 + k]} {w}" for k, w in enumerate(worth))
    return {"place": place, "month": month, "needed": needed, "ledger": ledger}


def _walk(place, month, needed):
    """Whole months used up, their calendar days, warm days left, warm days and length of the last month."""
    left, days, k = needed, 0, month - 1
    worth = _worth(place)
    while left > worth[k]:
        left, days, k = left - worth[k], days + climate.MONTH_DAYS[k], k + 1
    return k - month + 1, int(days), int(left), int(worth[k]), int(climate.MONTH_DAYS[k])


def _ledger(place, month, needed, ledger):
    _, days, left, worth, length = _walk(place, month, needed)
    return days + left / worth * length


def _ledger_steps(place, month, needed, ledger):
    worth, left, lines = _worth(place), needed, []
    months, days, last, value, length = _walk(place, month, needed)
    for k in range(month - 1, month - 1 + months):
        lines.append(
            f"{climate.MONTHS[k]}: {left} - {worth[k]} = {left - worth[k]} warm days to go, "
            f"{climate.MONTH_DAYS[k]} days gone by."
        )
        left -= worth[k]
    lines.append(
        f"{climate.MONTHS[month - 1 + months]}: {last} of its {value} warm days, so {last}/{value} x "
        f"{length} days = "
        f"{last / value * length:.1f} days."
    )
    return [
        *lines,
        f"Together {days} + {last / value * length:.1f} = {_ledger(place, month, needed, ledger):.1f} days.",
    ]


LEDGER = Exercise(
    key="warm-day-ledger",
    lesson="07",
    question=(
        "A stack needs {needed} warm days (days of 68 F). It is built at {place}, where the months "
        "are worth, in warm days: {ledger}. "
        "It is built on the first day of the first of them. How many days by the calendar until it "
        "has had them?"
    ),
    draw=_draw_ledger,
    solve=_ledger,
    unit="days",
    tolerance=1.0,
    steps=_ledger_steps,
    slips=(
        Slip(
            "warm days taken for days by the calendar",
            lambda place, month, needed, ledger: needed,
            "A cool month is worth fewer warm days than it has days, a hot one more: take off month by month.",
        ),
        Slip(
            "the last month counted whole",
            lambda place, month, needed, ledger: (w := _walk(place, month, needed))[1] + w[4],
            "Of the last month only a part is needed: warm days left, over its warm days, times its length.",
        ),
        Slip(
            "warm days left taken for days of the last month",
            lambda place, month, needed, ledger: (w := _walk(place, month, needed))[1] + w[2],
            "Turn the warm days left into days of that month: divide by its warm days, times its length.",
        ),
        Slip(
            "the last month left out",
            lambda place, month, needed, ledger: _walk(place, month, needed)[1],
            "The warm days still to go take a part of the next month.",
        ),
    ),
)


# The best month


def _draw_best(rng):
    return {
        "wood": str(rng.choice(_WOODS)),
        "place": str(rng.choice(_PLACES)),
        "thick": str(rng.choice(["4/4", "5/4"])),
    }


def _year(wood, place, thick):
    return drying.by_start(wood, thick, place).likely


BEST = Exercise(
    key="best-month-to-stack",
    lesson="07",
    needs="panel",
    question=(
        'On the panel "The best month to build a stack", set {wood}, {thick}, {place}, down to 20 %. '
        "How many days does the stack take if it is built in the best month?"
    ),
    draw=_draw_best,
    solve=lambda wood, place, thick: _year(wood, place, thick).min(),
    unit="days",
    tolerance=1.0,
    steps=lambda wood, place, thick: [
        f"The least of the twelve bold numbers stands over "
        f"{figures.month_name(_year(wood, place, thick).idxmin())}: "
        f"{_year(wood, place, thick).min():.0f} days."
    ],
    slips=(
        Slip(
            "the worst month",
            lambda wood, place, thick: _year(wood, place, thick).max(),
            "That is the longest wait. Look for the least of the bold numbers.",
        ),
        Slip(
            "the other thickness",
            lambda wood, place, thick: _year(wood, place, {"4/4": "5/4", "5/4": "4/4"}[thick]).min(),
            "Set the thickness on the panel as in the question.",
        ),
        Slip(
            "January, the first in the picture",
            lambda wood, place, thick: _year(wood, place, thick)[1],
            "Look along all twelve months for the least number.",
        ),
    ),
)


# What is left


def _draw_left(rng):
    wood = str(rng.choice(_WOODS))
    feet = int(rng.choice([100, 200, 250, 300, 400]))
    # a board foot is 1/12 ft3; dry weight from basic specific gravity, water 62.4 lb/ft3
    dry = 10 * round(species.get(wood).basic_sg * 62.43 / 12 * feet / 10)
    return {"wood": wood, "feet": feet, "dry_lb": dry, "stop_pct": int(rng.choice([12, 13, 15, 16]))}


def _left(wood, feet, dry_lb, stop_pct):
    return dry_lb * (stop_pct - 7) / 100


LEFT = Exercise(
    key="water-left-after-outdoors",
    lesson="07",
    question=(
        "{feet} board feet of {wood} have come to rest outdoors at {stop_pct} %. Their wood alone, "
        "oven-dry, weighs {dry_lb} lb. How many "
        "pounds of water must still leave, indoors, to make it furniture wood of 7 %?"
    ),
    draw=_draw_left,
    solve=_left,
    unit="lb",
    tolerance=0.6,
    decimals=1,
    steps=lambda wood, feet, dry_lb, stop_pct: [
        f"From {stop_pct} % to 7 % is {stop_pct - 7} points.",
        f"Each point is a hundredth of the oven-dry weight: {dry_lb} lb / 100 = {dry_lb / 100:g} lb.",
        f"{stop_pct - 7} x {dry_lb / 100:g} lb = {_left(wood, feet, dry_lb, stop_pct):.1f} lb of water.",
    ],
    slips=(
        Slip(
            "all the water instead of what has to leave",
            lambda wood, feet, dry_lb, stop_pct: dry_lb * stop_pct / 100,
            "Furniture wood keeps 7 %: only the points above 7 have to leave.",
        ),
        Slip(
            "percent of the wet weight",
            lambda wood, feet, dry_lb, stop_pct: dry_lb * (1 + stop_pct / 100) * (stop_pct - 7) / 100,
            "Moisture content is counted on the oven-dry weight: take the percent of the dry pounds.",
        ),
        Slip(
            "what stays, 7 %",
            lambda wood, feet, dry_lb, stop_pct: dry_lb * 7 / 100,
            "7 % is what stays. Take the points from where it rests down to 7.",
        ),
    ),
)


# A stack with a pace of its own


def _days_at(pace):
    days = np.arange(0, 181)
    return float(np.interp(-20.0, -figures.hidden_mc(days, pace), days))


def _draw_pace(rng):
    return {
        "pace": float(rng.choice([0.75, 0.8, 0.85, 0.9, 1.15, 1.2, 1.3, 1.4])),
        "usual": round(_days_at(1.0)),
    }


PACE = Exercise(
    key="a-stack-of-its-own-pace",
    lesson="07",
    question=(
        "The usual stack (dashed) is down to 20 % on day {usual}. Weigh this one on the panel: how "
        "many days later is it down to 20 %? "
        "Write a minus sign if it is earlier."
    ),
    draw=_draw_pace,
    solve=lambda pace, usual: _days_at(pace) - usual,
    unit="days",
    tolerance=1.5,
    steps=lambda pace, usual: [
        f"The squares come down to 20 % on day {_days_at(pace):.0f}.",
        f"{_days_at(pace):.0f} - {usual} = {_days_at(pace) - usual:.0f} days. (It dries at {pace:g} "
        f"of the usual pace.)",
    ],
    slips=(
        Slip(
            "the day itself",
            lambda pace, usual: _days_at(pace),
            "Take off the day on which the usual stack gets there.",
        ),
        Slip(
            "the sign turned round",
            lambda pace, usual: usual - _days_at(pace),
            "Later is plus, earlier is minus.",
        ),
    ),
    hidden=("pace",),
)

EXERCISES = (THICKNESS, LEDGER, BEST, LEFT, PACE)
