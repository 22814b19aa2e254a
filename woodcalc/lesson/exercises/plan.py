"""Formulas of lesson 11: the sums that decide whether a plan holds."""

from __future__ import annotations

import math

from woodcalc.lesson.exercise import Worked
from woodcalc.lesson.exercises.words import read
from woodcalc.logs import BARK_SHARE
from woodcalc.moisture import weight_margin

# Loads to the mill

_MARGIN = (1 + weight_margin()) * (1 + BARK_SHARE)  # heavy figure over likely, of a wood without wet sapwood


def _draw_loads(rng):
    # until the margin costs two trips, so that no two slips come out alike, and the last load is a part
    while True:
        likely = int(rng.integers(9, 30)) * 500
        high = round(_MARGIN * likely / 100) * 100
        rating = int(rng.choice([1500, 2000, 2500]))
        if math.ceil(high / rating) > math.ceil(likely / rating) + 1 and high % rating:
            return {"likely_lb": likely, "high_lb": high, "rating_lb": rating}


def _loads(likely_lb, high_lb, rating_lb):
    loads = high_lb / rating_lb
    return Worked(
        float(math.ceil(loads)),
        dict(
            likely=float(math.ceil(likely_lb / rating_lb)), down=float(math.floor(loads)), not_rounded=loads
        ),
        dict(loads=loads),
    )


# Board feet to reckon with


def _draw_reckon(rng):
    return {"best_bf": int(rng.integers(8, 40)) * 25, "lost_pct": int(rng.choice([10, 15, 20])),
            "defect_pct": int(rng.choice([10, 20, 25, 30]))}  # fmt: skip


def _reckon(best_bf, lost_pct, defect_pct):
    sound, kept = 1 - defect_pct / 100, 1 - lost_pct / 100
    left_bf = best_bf * kept * sound
    return Worked(
        left_bf,
        dict(
            added=best_bf * (1 - (lost_pct + defect_pct) / 100), no_rot=best_bf * kept, lost=best_bf - left_bf
        ),
        dict(sound=sound, sound_bf=best_bf * sound, kept_pct=100 - lost_pct, kept=kept),
    )


# How much of the water leaves outdoors


def _draw_share(rng):
    return {
        "green_pct": int(rng.integers(55, 100)),
        "stop_pct": int(rng.integers(12, 18)),
        "target_pct": int(rng.choice([6, 7, 8])),
    }


def _share(green_pct, stop_pct, target_pct):
    outdoors, all_points = green_pct - stop_pct, green_pct - target_pct
    share_pct = 100 * outdoors / all_points
    return Worked(
        share_pct,
        dict(all_water=100 * outdoors / green_pct, indoors=100 - share_pct, fraction=share_pct / 100),
        dict(outdoors=outdoors, all_points=all_points),
    )


# Dollars for a board foot


def _draw_cost(rng):
    sawn = int(rng.integers(10, 41)) * 50
    return {"paid_usd": int(rng.integers(6, 21)) * 50, "hours": int(rng.integers(4, 13)) * 10,
            "usd_per_hour": int(rng.choice([10, 12, 15, 20])), "sawn_bf": sawn,
            "doyle_bf": round(sawn * 0.75 / 10) * 10}  # fmt: skip


def _cost(paid_usd, hours, usd_per_hour, sawn_bf, doyle_bf):
    work_usd = hours * usd_per_hour
    all_usd = paid_usd + work_usd
    return Worked(
        all_usd / sawn_bf,
        dict(doyle=all_usd / doyle_bf, no_hours=paid_usd / sawn_bf, no_money=work_usd / sawn_bf),
        dict(work_usd=work_usd, all_usd=all_usd),
    )


# A hidden month


def _draw_month(rng):
    return {"month": int(rng.choice([1, 2, 3, 4, 5, 8, 9, 10, 11, 12]))}


def _month(month):
    return Worked(float(month), dict(late=float(month % 12 + 1), early=float((month - 2) % 12 + 1)))


EXERCISES = read(
    "plan",
    {
        "loads-to-the-mill": (_draw_loads, _loads),
        "board-feet-to-reckon-with": (_draw_reckon, _reckon),
        "share-of-water-outdoors": (_draw_share, _share),
        "dollars-a-board-foot": (_draw_cost, _cost),
        "the-hidden-month": (_draw_month, _month),
    },
)
