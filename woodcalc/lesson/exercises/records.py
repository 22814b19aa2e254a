"""Formulas of lesson 08: what readings say, and what a tally holds."""

from __future__ import annotations

from woodcalc import moisture
from woodcalc.lesson.exercise import Worked
from woodcalc.lesson.exercises.words import read
from woodcalc.sizes import board_feet, nominal_in

# Boards tallied by hand


def _draw_tally(rng):
    nominal = str(rng.choice(["5/4", "6/4", "8/4"]))  # not 4/4, where an inch for all would come out right
    return {"n": int(rng.integers(6, 25)), "nominal": nominal, "thickness_in": nominal_in(nominal) + 0.125,
            "width_in": int(rng.integers(5, 12)), "length_ft": int(rng.choice([8, 10, 12]))}  # fmt: skip


def _tally(n, nominal, thickness_in, width_in, length_ft):
    named_in = nominal_in(nominal)
    board_bf = board_feet(nominal, width_in, length_ft)
    return Worked(
        n * board_bf,
        dict(
            sawn_thickness=n * board_feet(thickness_in, width_in, length_ft),
            one_inch=n * board_feet(1.0, width_in, length_ft),
            no_twelve=n * named_in * width_in * length_ft,
            one_board=board_bf,
        ),
        dict(named_in=named_in, board_bf=board_bf),
    )


# A weight, and the oven-dry weight behind it


def _draw_sample(rng):
    dry = float(rng.integers(32, 60)) / 4
    mc = int(rng.integers(24, 76))
    return {"wet_lb": round(dry * (1 + mc / 100) * 20) / 20, "dry_lb": dry}


def _sample(wet_lb, dry_lb):
    water_lb = wet_lb - dry_lb
    return Worked(
        moisture.mc_pct(wet_lb, dry_lb),
        dict(wet_basis=100 * water_lb / wet_lb, share=water_lb / dry_lb, wood_left_in=100 * wet_lb / dry_lb),
        dict(water_lb=water_lb, share=water_lb / dry_lb),
    )


# How fast is it losing


def _draw_loss(rng):
    first = float(rng.integers(46, 76))
    days = int(rng.choice([7, 10, 14, 21]))
    one = int(rng.integers(3, 20))
    drop = round(float(rng.uniform(0.45, 1.3)) * days, 0)
    return {"first_pct": first, "second_pct": first - drop, "day_one": one, "day_two": one + days}


def _loss(first_pct, second_pct, day_one, day_two):
    points, days = first_pct - second_pct, day_two - day_one
    return Worked(
        points / days,
        dict(
            both_ends=points / (days + 1),
            since_stacking=points / day_two,
            a_week=7 * points / days,
            percent=100 * (1 - second_pct / first_pct) / days,
        ),
        dict(points=points, days=days),
    )


# Pace, and what it does to the days that are left


def _draw_pace(rng):
    usual = int(rng.choice([30, 40, 45, 50, 60, 75]))
    pace = float(rng.choice([0.6, 0.7, 0.75, 0.8, 1.2, 1.25, 1.4, 1.5]))
    return {"usual_days": usual, "days": round(usual / pace)}


def _pace(usual_days, days):
    return Worked(
        usual_days / days,
        dict(upside_down=days / usual_days, difference=abs(days - usual_days) / usual_days),
        dict(slow=days > usual_days),
    )


def _draw_left(rng):
    return {"usual_left": int(rng.choice([20, 24, 28, 30, 36, 40, 42, 48])),
            "pace": float(rng.choice([0.6, 0.7, 0.75, 0.8, 1.2, 1.25, 1.5]))}  # fmt: skip


def _left(usual_left, pace):
    return Worked(usual_left / pace, dict(times_pace=usual_left * pace, usual=float(usual_left)))


# A stack with an unknown pace


def _draw_unknown(rng):
    return {"pace": float(rng.choice([0.6, 0.65, 0.7, 0.75, 0.8, 1.2, 1.25, 1.3, 1.35, 1.4])),
            "seed": int(rng.integers(1, 1000))}  # fmt: skip


def _unknown(pace, seed):
    return Worked(pace, dict(upside_down=1 / pace, usual=1.0))


EXERCISES = read(
    "records",
    {
        "board-feet-of-a-tally": (_draw_tally, _tally),
        "mc-of-the-sample-board": (_draw_sample, _sample),
        "loss-a-day": (_draw_loss, _loss),
        "pace-from-days": (_draw_pace, _pace),
        "days-left-at-your-pace": (_draw_left, _left),
        "the-unknown-stack": (_draw_unknown, _unknown),
    },
)
