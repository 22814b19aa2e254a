"""Formulas of lesson 00: the trade's measure, its name for thickness, and how water is counted."""

from __future__ import annotations

from woodcalc import moisture
from woodcalc.lesson.exercise import Worked
from woodcalc.lesson.exercises.words import read
from woodcalc.sizes import board_feet


def _draw_board(rng):
    return {
        "thickness_in": float(rng.choice([1.25, 1.5, 2.0])),
        "width_in": int(rng.integers(5, 13)),
        "length_ft": int(rng.choice([8, 10, 14, 16])),
    }


def _board(thickness_in, width_in, length_ft):
    section_in2 = thickness_in * width_in
    return Worked(
        board_feet(thickness_in, width_in, length_ft),
        dict(
            no_twelve=section_in2 * length_ft,
            no_thickness=board_feet(1.0, width_in, length_ft),
            by_144=section_in2 * length_ft / 144,
            no_length=section_in2,
        ),
        dict(section_in2=section_in2, product=section_in2 * length_ft),
    )


_SPOKEN = (
    (5, "five quarter"),
    (6, "six quarter"),
    (8, "eight quarter"),
    (10, "ten quarter"),
    (12, "twelve quarter"),
)


def _draw_quarters(rng):
    return dict(zip(("quarters", "said"), _SPOKEN[int(rng.integers(len(_SPOKEN)))], strict=True))


def _quarters(quarters, said):
    return Worked(
        quarters / 4, dict(inches=float(quarters), upside_down=4 / quarters, planed=quarters / 4 - 0.25)
    )


def _draw_water(rng):
    dry, mc = int(rng.choice([10, 20])), int(rng.choice([30, 40, 50, 60, 80]))
    return {"wet_lb": dry * (100 + mc) / 100, "dry_lb": float(dry)}


def _water(wet_lb, dry_lb):
    water_lb = wet_lb - dry_lb
    return Worked(
        moisture.mc_pct(wet_lb, dry_lb),
        dict(
            wet_basis=100 * water_lb / wet_lb,
            wood_left_in=100 * wet_lb / dry_lb,
            no_hundred=water_lb / dry_lb,
        ),
        dict(water_lb=water_lb),
    )


EXERCISES = read(
    "start",
    {
        "board-feet-of-a-board": (_draw_board, _board),
        "quarters-of-an-inch": (_draw_quarters, _quarters),
        "water-in-a-board": (_draw_water, _water),
    },
)
