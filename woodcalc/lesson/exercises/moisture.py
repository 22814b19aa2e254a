"""Formulas of lesson 04: water in wood."""

from __future__ import annotations

import warnings

from woodcalc import moisture as m
from woodcalc import species
from woodcalc.checks import RangeWarning
from woodcalc.figures.moisture import mc_along_pct, section_weights_g
from woodcalc.lesson.exercise import Worked
from woodcalc.lesson.exercises.words import read
from woodcalc.sizes import wood_ft3

# A section from the oven


def _draw_section(rng):
    dry = float(rng.integers(520, 640)) / 10
    return {"wet_g": round(dry * (1 + float(rng.integers(35, 95)) / 100), 1), "dry_g": dry}


def _section(wet_g, dry_g):
    water_g = wet_g - dry_g
    return Worked(
        m.mc_pct(wet_g, dry_g),
        dict(
            wet_basis=100 * water_g / wet_g,
            wood_left_in=100 * wet_g / dry_g,
            grams=water_g,
            no_hundred=water_g / dry_g,
        ),
        dict(water_g=water_g),
    )


# A sample board


def _draw_board(rng):
    first = float(rng.integers(500, 850)) / 10
    board = {
        "first_pct": first,
        "second_pct": round(
            first + float(rng.choice([-9, -7, -5, 5, 7, 9])) + float(rng.integers(0, 9)) / 10, 1
        ),
        "green_lb": float(rng.integers(380, 620)) / 100,
    }
    dry = board["green_lb"] / (1 + (board["first_pct"] + board["second_pct"]) / 200)
    return board | {"now_lb": round(dry * (1 + float(rng.integers(18, 46)) / 100), 2)}


def _sample(first_pct, second_pct, green_lb):
    return m.SampleBoard(((100 + first_pct, 100.0), (100 + second_pct, 100.0)), green_lb)


def _board(first_pct, second_pct, green_lb, now_lb):
    board = _sample(first_pct, second_pct, green_lb)
    dry_lb = round(board.oven_dry, 2)  # as on paper
    now_pct = m.mc_pct(now_lb, dry_lb)
    return Worked(
        now_pct,
        dict(
            points_of_green=(first_pct + second_pct) / 2 - 100 * (green_lb - now_lb) / green_lb,
            wet_basis=m.wet_basis_pct(now_pct),
            first_section=_sample(first_pct, first_pct, green_lb).mc_now_pct(now_lb),
            second_section=_sample(second_pct, second_pct, green_lb).mc_now_pct(now_lb),
            percent_of_green=100 * (now_lb / (green_lb * (1 - (first_pct + second_pct) / 200)) - 1),
        ),
        dict(start_pct=board.start_mc_pct, dry_lb=dry_lb),
    )


# A load of green lumber

_HEAVY = (
    "northern red oak", "white oak", "black walnut", "sugar maple", "white ash", "yellow-poplar", "red pine",
)  # fmt: skip


def _draw_load(rng):
    wood = species.get(str(rng.choice(_HEAVY)))
    return {
        "wood": wood.name,
        "sg": wood.basic_sg,
        "mc_pct": int(round(wood.start_mc_pct / 5) * 5),
        "board_feet": int(rng.choice([200, 300, 400, 480, 600])),
    }


def _load(wood, sg, mc_pct, board_feet):
    lb_per_ft3 = round(species.WATER_LB_PER_FT3 * sg * (1 + mc_pct / 100), 1)
    volume_ft3 = wood_ft3(board_feet) * 1.125
    weight_lb, dry_lb = lb_per_ft3 * volume_ft3, m.lumber_weight_lb(board_feet, wood, 0, 1.125)
    return Worked(
        weight_lb,
        dict(
            one_inch=m.lumber_weight_lb(board_feet, wood, mc_pct, 1.0),
            no_water=dry_lb,
            water_alone=weight_lb - dry_lb,
            board_feet=12 * weight_lb,
        ),
        dict(
            lb_per_ft3=lb_per_ft3,
            volume_ft3=volume_ft3,
            load_for_lb=volume_ft3 * m.weight_range_lb_per_ft3(wood)[1],
        ),
    )


# A cold meter


def _draw_meter(rng):
    return {
        "reading_pct": float(rng.integers(34, 49)) / 2,
        "temp_f": int(rng.choice([30, 40, 50, 55, 85, 90, 95])),
    }


def _meter(reading_pct, temp_f):
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", RangeWarning)
        corrected_pct = m.meter_corrected_pct(reading_pct, temp_f)
    return Worked(
        corrected_pct,
        dict(
            wrong_way=2 * reading_pct - corrected_pct,
            half_a_point=reading_pct + (70 - temp_f) / 20,
            no_correction=reading_pct,
        ),
        dict(
            away_f=abs(70 - temp_f),
            cold=temp_f < 70,
            tens=abs(70 - temp_f) / 10,
            points=abs(corrected_pct - reading_pct),
        ),
    )


# A board to be tested on the panel


def _draw_hidden(rng):
    return {"board_mc_pct": float(rng.integers(96, 190)) / 2}


def _hidden(board_mc_pct):
    wet_g = round(55 * (1 + board_mc_pct / 100), 1)
    return Worked(
        board_mc_pct,
        dict(
            dry_end=float(mc_along_pct(2, board_mc_pct)),
            too_early=m.mc_pct(*section_weights_g(6, 30, 0.1, board_mc_pct)),
            as_it_stood=m.mc_pct(*section_weights_g(6, 2, 1.0, board_mc_pct)),
            wet_basis=m.wet_basis_pct(board_mc_pct),
        ),
        dict(wet_g=wet_g, read_pct=m.mc_pct(wet_g, 55)),
    )


EXERCISES = read(
    "moisture",
    {
        "section-from-the-oven": (_draw_section, _section),
        "sample-board-now": (_draw_board, _board),
        "load-of-green-lumber": (_draw_load, _load),
        "cold-meter": (_draw_meter, _meter),
        "oven-test-of-a-board": (_draw_hidden, _hidden),
    },
)
