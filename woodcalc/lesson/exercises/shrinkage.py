"""Formulas of lesson 03: shrinkage, and how thick to saw."""

from __future__ import annotations

from woodcalc import shrinkage as sh
from woodcalc import species
from woodcalc.lesson.exercise import Worked
from woodcalc.lesson.exercises.words import read

_WOODS = (
    "northern red oak", "white oak", "black walnut", "black cherry", "sugar maple", "white ash", "yellow-poplar",
)  # fmt: skip
_QUARTERED = ("northern red oak", "white oak", "American beech", "sugar maple", "American sycamore")


def _totals(wood):
    w = species.get(wood)
    return w.shrink_radial_pct, w.shrink_tangential_pct


# A width


def _draw_width(rng):
    return {
        "wood": str(rng.choice(_WOODS)),
        "width_in": float(rng.choice([6, 8, 9, 10, 12])),
        "green_pct": int(rng.choice([60, 70, 75, 80, 90])),
        "mc_pct": int(rng.choice([6, 8, 9, 10, 12])),
    }


def _width(wood, width_in, green_pct, mc_pct):
    _, total_pct = _totals(wood)
    part_pct = total_pct * (30 - mc_pct) / 30
    dry_in = sh.size_after(width_in, wood, green_pct, mc_pct)
    return Worked(
        dry_in,
        dict(
            radial=sh.size_after(width_in, wood, green_pct, mc_pct, 90),
            from_green=width_in * (1 - total_pct / 100 * (green_pct - mc_pct) / green_pct),
            to_oven_dry=width_in * (1 - total_pct / 100),
            still_to_come=width_in * (1 - total_pct / 100 * mc_pct / 30),
            added=2 * width_in - dry_in,
        ),
        dict(total_pct=total_pct, points=30 - mc_pct, part_pct=part_pct, part=part_pct / 100),
    )


# A thickness, quarter-sawn


def _draw_quarter(rng):
    return {
        "wood": str(rng.choice(_QUARTERED)),
        "thickness_in": float(rng.choice([1.125, 1.375, 2.125])),
        "mc_pct": int(rng.choice([6, 8, 9, 12])),
    }


def _quarter(wood, thickness_in, mc_pct):
    radial_pct, total_pct = _totals(wood)
    return Worked(
        1000 * (thickness_in - sh.size_after(thickness_in, wood, 80, mc_pct, 0)),
        dict(
            radial=10 * thickness_in * radial_pct * (30 - mc_pct) / 30,
            to_oven_dry=10 * thickness_in * total_pct,
            still_to_come=10 * thickness_in * total_pct * mc_pct / 30,
        ),
        dict(
            total_pct=total_pct,
            points=30 - mc_pct,
            part_pct=total_pct * (30 - mc_pct) / 30,
            thousandths=1000 * thickness_in,
            part=total_pct * (30 - mc_pct) / 3000,
        ),
    )


# The green target


def _draw_target(rng):
    return {
        "finished_in": float(rng.choice([0.75, 0.8125, 0.875, 1.0, 1.0625])),
        "planing_in": float(rng.choice([0.10, 0.125, 0.15])),
        "shrink_pct": float(rng.choice([5.0, 6.0, 7.0, 8.0])),
        "sd_in": float(rng.choice([0.015, 0.02, 0.03])),
    }


def _target(finished_in, planing_in, shrink_pct, sd_in):
    rough_in = finished_in + planing_in
    least_in = sh.critical_size_in(finished_in, shrink_pct, planing_in)
    return Worked(
        sh.green_target_in(finished_in, shrink_pct, planing_in, sd_in),
        dict(
            multiplied=rough_in * (1 + shrink_pct / 100) + 1.645 * sd_in,
            no_planing=sh.green_target_in(finished_in, shrink_pct, 0, sd_in),
            planing_twice=sh.green_target_in(finished_in, shrink_pct, 2 * planing_in, sd_in),
            no_shrinkage=sh.green_target_in(finished_in, 0, planing_in, sd_in),
            no_room=least_in,
            one_spread=sh.green_target_in(finished_in, shrink_pct, planing_in, 0) + sd_in,
        ),
        dict(rough_in=rough_in, shrink=shrink_pct / 100, least_in=least_in, room_in=1.645 * sd_in),
    )


# How many come out too thin


def _draw_thin(rng):
    sd = float(rng.choice([0.02, 0.03, 0.04]))
    z = float(rng.choice([0.5, 1.0, 1.5, 2.0]))
    critical = float(rng.choice([1.0, 1.01, 1.02, 1.25]))
    return {"critical_in": critical, "set_in": round(critical + z * sd, 3), "sd_in": sd}


def _thin(critical_in, set_in, sd_in):
    thin = 100 * sh.undersize_share(set_in, critical_in, sd_in)
    room_in = set_in - critical_in
    return Worked(
        thin, dict(good_ones=100 - thin, both_tails=2 * thin, half=50.0), dict(room_in=room_in, spreads=room_in / sd_in)
    )  # fmt: skip


# A block in a caliper, to be measured


def _draw_block(rng):
    return {"shrink_pct": float(rng.integers(45, 119)) / 10}


def _block(shrink_pct):
    ratio = sh.size_ratio(shrink_pct, 100, 8)
    at_8_pct = shrink_pct * 22 / 30
    return Worked(
        shrink_pct,
        dict(
            stopped_at_8=at_8_pct,
            from_60=at_8_pct * 60 / 52,
            inches=6 * shrink_pct / 100,
            dry_width=100 * (1 / ratio - 1) * 30 / 22,
        ),
        dict(read_in=6 * ratio, lost_in=6 * shrink_pct / 100 * 22 / 30, lost_pct=at_8_pct),
    )


EXERCISES = read(
    "shrinkage",
    {
        "width-when-dry": (_draw_width, _width),
        "quarter-sawn-thickness": (_draw_quarter, _quarter),
        "green-target": (_draw_target, _target),
        "too-thin-in-100": (_draw_thin, _thin),
        "shrinkage-of-a-block": (_draw_block, _block),
    },
)
