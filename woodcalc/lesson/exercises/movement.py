"""Formulas of lesson 10: a table top, a gap, a floor, a cup, and a house told by its wood."""

from __future__ import annotations

from woodcalc import species
from woodcalc.figures.movement import GAUGE_IN, gauge_width_in
from woodcalc.lesson.exercise import Worked
from woodcalc.lesson.exercises.words import read
from woodcalc.movement import VARIES

_WOODS = ("black cherry", "black walnut", "sugar maple", "white ash", "yellow-poplar", "American beech")


# A table top


def _draw_top(rng):
    wood = species.get(str(rng.choice(_WOODS)))
    assert wood.c_t and wood.c_r  # published for each of `_WOODS`
    low = int(rng.integers(5, 8))
    return {
        "wood": wood.name, "width_in": int(rng.integers(9, 19)) * 2, "low": low, "high": low + int(rng.integers(4, 7)),
        "c_t": round(1e5 * wood.c_t) / 1e5, "c_r": round(1e5 * wood.c_r) / 1e5,
    }  # fmt: skip


def _top(wood, width_in, low, high, c_t, c_r):
    points = high - low
    return Worked(
        width_in * c_t * points,
        dict(quarter_sawn=width_in * c_r * points, one_point=width_in * c_t, no_change=width_in * c_t * high),
        dict(points=points),
    )


# A gap


def _draw_gap(rng):
    made = int(rng.integers(6, 9))
    return {
        "panel_in": int(rng.integers(8, 21)), "made": made, "low": made - int(rng.integers(1, 3)),
        "high": made + int(rng.integers(3, 6)), "c_t": 0.00365,
    }  # fmt: skip


def _gap(panel_in, made, low, high, c_t):
    more = 1 + VARIES
    more_in = more * panel_in * c_t * (high - made)
    return Worked(
        more_in / 2,
        dict(
            whole_growth=more_in,
            from_driest=more * panel_in * c_t * (high - low) / 2,
            no_fifth=panel_in * c_t * (high - made) / 2,
        ),
        dict(points=high - made, growth_in=panel_in * c_t * (high - made), more_in=more_in),
    )


# A floor


def _draw_floor(rng):
    low = int(rng.integers(5, 8))
    return {
        "board_in": float(rng.choice([2.25, 3.25, 5.0, 7.0])), "room_ft": int(rng.integers(10, 21)),
        "laid": low + int(rng.integers(3, 7)), "low": low, "c_t": 0.00365, "c_r": 0.0018,
    }  # fmt: skip


def _floor(board_in, room_ft, laid, low, c_t, c_r):
    points = laid - low
    return Worked(
        1000 * board_in * c_t * points,
        dict(
            whole_room=1000 * 12 * room_ft * c_t * points,
            quarter_sawn=1000 * board_in * c_r * points,
            inches=board_in * c_t * points,
        ),
        dict(points=points, opens_in=board_in * c_t * points),
    )


# A cup


def _draw_cup(rng):
    return {
        "width_in": int(rng.integers(5, 11)), "radius_in": int(rng.integers(10, 17)), "s_t": 6.3, "s_r": 2.9,
    }  # fmt: skip


def _cup_in(width_in, radius_in, difference_pct):
    return width_in**2 * difference_pct / 100 / (4 * radius_in)


def _cup(width_in, radius_in, s_t, s_r):
    difference_pct = s_t - s_r
    cup_in = _cup_in(width_in, radius_in, difference_pct)
    return Worked(
        cup_in,
        dict(
            diameter=_cup_in(width_in, 2 * radius_in, difference_pct),
            rings_alone=_cup_in(width_in, radius_in, s_t),
            not_squared=cup_in / width_in,
        ),
        dict(
            difference_pct=difference_pct,
            difference=difference_pct / 100,
            product=width_in**2 * difference_pct / 100,
            four_radii=4 * radius_in,
        ),
    )


# Hidden: a house told by its wood


def _draw_gauge(rng):
    low = float(rng.integers(9, 15)) / 2
    return {
        "low_mc_pct": low,
        "high_mc_pct": low + float(rng.integers(7, 13)) / 2,
        "dampest": int(rng.integers(6, 10)),
    }


_BEECH_CT = 0.00431  # American beech, tangential: Wood Handbook FPL-GTR-190 (2010) table 13-5


def _gauge(low_mc_pct, high_mc_pct, dampest):
    house = low_mc_pct, high_mc_pct, dampest
    swing_in = gauge_width_in(dampest, *house) - gauge_width_in((dampest + 5) % 12 + 1, *house)
    point_in = GAUGE_IN * _BEECH_CT
    return Worked(
        high_mc_pct - low_mc_pct,
        dict(inches=swing_in, from_the_drawing=max(high_mc_pct - 8, 0.0)),
        dict(
            swing_in=swing_in,
            wide_in=GAUGE_IN,
            point_in=point_in,
            points=round(swing_in, 2) / round(point_in, 3),
        ),
    )


EXERCISES = read(
    "movement",
    {
        "table-top-movement": (_draw_top, _top),
        "gap-beside-a-panel": (_draw_gap, _gap),
        "gaps-in-a-floor": (_draw_floor, _floor),
        "cup-of-a-board": (_draw_cup, _cup),
        "a-board-tells-the-air": (_draw_gauge, _gauge),
    },
)
