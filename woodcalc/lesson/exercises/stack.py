"""Formulas of lesson 06: stickers to cut, what a pile weighs, what a footing carries, how spacing bends."""

from __future__ import annotations

import math

from woodcalc import moisture, stack
from woodcalc.lesson.exercise import Worked
from woodcalc.lesson.exercises.words import read
from woodcalc.sizes import board_feet, sawn_in

# How many stickers


def _draw_stickers(rng):
    length_ft = int(rng.choice([8, 10, 12, 14, 16]))
    return {
        "length_ft": length_ft,
        "spacing_in": int(rng.choice([12, 16, 24])),
        "layers": int(rng.integers(8, 21)),
    }


def _stickers(length_ft, spacing_in, layers):
    length_in = length_ft * 12
    span_in = length_in - 2
    spaces = math.ceil(span_in / spacing_in)
    return Worked(
        float(layers * len(stack.sticker_places_in(length_in, spacing_in, end_in=1.0))),
        dict(
            spaces=float(layers * spaces),
            no_cover_row=float((layers - 1) * (spaces + 1)),
            spaces_and_no_cover_row=float((layers - 1) * spaces),
        ),
        dict(length_in=length_in, span_in=span_in, ratio=span_in / spacing_in, spaces=spaces, in_a_row=spaces + 1),
    )  # fmt: skip


# What it weighs


def _draw_weight(rng):
    wood = str(
        rng.choice(["northern red oak", "white oak", "black walnut", "sugar maple", "eastern white pine"])
    )
    return {
        "boards": int(rng.integers(4, 13)) * 10,
        "width_in": int(rng.integers(5, 11)),
        "length_ft": int(rng.choice([8, 10, 12])),
        "species": wood,
        "lb_per_ft3": round(moisture.green_weight_lb_per_ft3(wood, None, "green")),
    }


def _cubic_ft3(boards, width_in, length_ft, thick_in):
    return boards * width_in / 12 * length_ft * thick_in / 12


def _weight(boards, width_in, length_ft, species, lb_per_ft3):
    volume_ft3 = _cubic_ft3(boards, width_in, length_ft, 1.125)
    weight_lb = lb_per_ft3 * volume_ft3
    return Worked(
        float(lb_per_ft3 * _cubic_ft3(boards, width_in, length_ft, sawn_in(1.0))),
        dict(
            one_inch=lb_per_ft3 * _cubic_ft3(boards, width_in, length_ft, 1.0),
            board_feet=float(lb_per_ft3 * boards * board_feet(1.0, width_in, length_ft)),
            width_in_feet=12 * lb_per_ft3 * volume_ft3,
        ),
        dict(
            board_ft3=_cubic_ft3(1, width_in, length_ft, 1.125),
            volume_ft3=volume_ft3,
            weight_lb=weight_lb,
            feet_for_lb=moisture.weight_range_lb_per_ft3(species)[1]
            * _cubic_ft3(boards, width_in, length_ft, sawn_in(1.0)),
        ),
    )


# What a footing carries


def _draw_footing(rng):
    spaces = int(rng.choice([4, 5, 6]))
    weight = int(rng.integers(150, 600)) * 2 * spaces  # comes out whole
    return {"weight_lb": weight, "bolsters": spaces + 1, "spaces": spaces}


def _footing(weight_lb, bolsters, spaces):
    bolster_lb = weight_lb / spaces
    return Worked(
        bolster_lb / 2,
        dict(evenly=weight_lb / bolsters / 2, no_footings=bolster_lb),
        dict(bolster_lb=bolster_lb),
    )


# Spacing


def _draw_spacing(rng):
    near, far = [(16, 24), (16, 32), (12, 24), (12, 18), (18, 24), (20, 30)][int(rng.integers(6))]
    return {"near_in": near, "far_in": far, "bend": int(rng.integers(2, 10))}


def _spacing(near_in, far_in, bend):
    ratio = far_in / near_in
    return Worked(
        bend * ratio**4,
        dict(proportion=bend * far_in / near_in, square=bend * ratio**2, cube=bend * ratio**3),
        dict(ratio=ratio, fourth=ratio**4),
    )


# Hidden: a pile that somebody else built


def _draw_plumb(rng):
    return {"shift_in": float(rng.integers(6, 21)) / 2, "spacing_in": 24}


def _plumb(shift_in, spacing_in):
    return Worked(
        shift_in,
        dict(to_the_left=spacing_in - shift_in, place=25 + shift_in, from_the_end=1 + shift_in),
        dict(place_in=25 + shift_in),
    )


EXERCISES = read(
    "stack",
    {
        "stickers-to-cut": (_draw_stickers, _stickers),
        "stack-weight": (_draw_weight, _weight),
        "footing-load": (_draw_footing, _footing),
        "spacing-fourth-power": (_draw_spacing, _spacing),
        "plumb-line": (_draw_plumb, _plumb),
    },
)
