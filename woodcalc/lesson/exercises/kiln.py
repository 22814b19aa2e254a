"""Formulas of lesson 09: the last points."""

from __future__ import annotations

import numpy as np

from woodcalc import kiln, species
from woodcalc.figures.kiln import sample_board
from woodcalc.lesson.exercise import Worked
from woodcalc.lesson.exercises.words import read
from woodcalc.sizes import wood_ft3

# Water to take out


def _draw_water(rng):
    wood = str(rng.choice(["northern red oak", "black cherry", "black walnut", "yellow-poplar", "white oak"]))
    return {
        "wood": wood,
        "sg": species.get(wood).basic_sg,
        "load_bf": int(rng.choice([240, 300, 360, 480, 600])),
        "mc_from": int(rng.choice([14, 16, 18, 20, 24])),
        "mc_to": int(rng.choice([6, 7, 8])),
    }


def _water_lb(load_bf, sg, mc_from, mc_to):
    return wood_ft3(load_bf) * species.WATER_LB_PER_FT3 * sg * (mc_from - mc_to) / 100


def _water(wood, sg, load_bf, mc_from, mc_to):
    water_lb = _water_lb(load_bf, sg, mc_from, mc_to)
    return Worked(
        water_lb,
        dict(
            board_foot=12 * water_lb,
            all_water=_water_lb(load_bf, sg, mc_from, 0),
            wet_basis=water_lb * (1 + mc_from / 100),
            no_gravity=_water_lb(load_bf, 1.0, mc_from, mc_to),
        ),
        dict(
            volume_ft3=wood_ft3(load_bf),
            dry_lb=wood_ft3(load_bf) * species.WATER_LB_PER_FT3 * sg,
            points=mc_from - mc_to,
            share=(mc_from - mc_to) / 100,
        ),
    )


# Is it too fast?


def _draw_loss(rng):
    dry = float(rng.choice([4.2, 4.8, 5.0, 5.5, 6.0]))
    before = round(dry * (1 + float(rng.choice([62, 58, 54, 49, 45])) / 100), 2)
    return {
        "dry_lb": dry,
        "before_lb": before,
        "after_lb": round(before - dry * float(rng.choice([2.8, 3.4, 4.4, 5.2])) / 100, 2),
    }


def _loss(dry_lb, before_lb, after_lb):
    water_lb = before_lb - after_lb
    loss_pct = 100 * water_lb / dry_lb
    return Worked(
        loss_pct,
        dict(
            wet_basis=100 * water_lb / before_lb,
            pounds=100 * water_lb,
            mc_today=100 * (after_lb / dry_lb - 1),
        ),
        dict(water_lb=water_lb, too_fast=loss_pct > 3.8),
    )


# What it costs


def _draw_cost(rng):
    return {
        "fan_w": int(rng.choice([75, 120, 150, 180])),
        "fan_h": int(rng.choice([8, 10, 12])),
        "days": int(rng.choice([28, 30, 35, 42])),
        "cents": int(rng.choice([12, 15, 18, 20])),
    }


def _usd(fan_w, fan_h, days, cents):
    return fan_w * fan_h * days / 1000 * cents / 100


def _cost(fan_w, fan_h, days, cents):
    cost_usd = _usd(fan_w, fan_h, days, cents)
    return Worked(
        cost_usd,
        dict(
            watts=1000 * cost_usd,
            day_and_night=_usd(fan_w, 24, days, cents),
            cents=100 * cost_usd,
            one_day=_usd(fan_w, fan_h, 1, cents),
        ),
        dict(
            day_wh=fan_w * fan_h,
            day_kwh=fan_w * fan_h / 1000,
            kwh=fan_w * fan_h * days / 1000,
            kwh_usd=cents / 100,
        ),
    )


# The end of the run


def _draw_end(rng):
    return {
        "kind": str(rng.choice(["hardwood", "softwood"])),
        "target": int(rng.choice([6, 7, 8, 9])),
        "temp_f": int(rng.choice([160, 170, 180])),
    }


def _end(kind, target, temp_f):
    air = kiln.condition(target, temp_f, kind)
    other = kiln.condition(target, temp_f, "softwood" if kind == "hardwood" else "hardwood")
    return Worked(
        air.emc_pct,
        dict(
            equalizing=kiln.equalize(target, temp_f, kind).emc_pct,
            swapped=other.emc_pct,
            target_itself=float(target),
        ),
        dict(above=air.emc_pct - target, rh_pct=air.rh_pct, wet_bulb_f=air.wet_bulb_f),
    )


# Measure it on the panel


def _draw_board(rng):
    return {
        "collector_ft2": int(rng.choice([60, 80, 100, 120, 140])),
        "start_pct": int(rng.choice([70, 75, 80])),
        "dry_lb": float(rng.choice([4.8, 5.0, 5.6, 6.2])),
    }


def _board(collector_ft2, start_pct, dry_lb):
    weight, _ = sample_board(collector_ft2, start_pct, dry_lb)
    lost = weight[:-1] - weight[1:]
    day = int(np.argmax(lost))
    before_lb, after_lb = float(weight[day]), float(weight[day + 1])
    worst_pct = float(100 * lost.max() / dry_lb)
    return Worked(
        worst_pct,
        dict(
            mean=10 * float(weight[0] - weight[-1]) / dry_lb,
            wet_basis=100 * (before_lb - after_lb) / before_lb,
            first_day=float(100 * lost[0] / dry_lb),
        ),
        dict(
            day=day,
            next_day=day + 1,
            before_lb=before_lb,
            after_lb=after_lb,
            water_lb=before_lb - after_lb,
            too_fast=worst_pct > 3.8,
        ),
    )


EXERCISES = read(
    "kiln",
    {
        "water-to-take-out": (_draw_water, _water),
        "loss-in-a-day": (_draw_loss, _loss),
        "what-the-fans-cost": (_draw_cost, _cost),
        "air-for-conditioning": (_draw_end, _end),
        "kiln-sample-board": (_draw_board, _board),
    },
)
