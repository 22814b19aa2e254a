"""Formulas of lesson 02: boards from a cant, width at the small end, blade height, overrun, a kerf to measure."""

from __future__ import annotations

from math import floor, sqrt

import numpy as np

from woodcalc import logs
from woodcalc.lesson.exercise import Worked
from woodcalc.lesson.exercises.words import read
from woodcalc.sawing.frustum import Frustum
from woodcalc.sizes import sixteenths

_KERFS = {"1/16": 1 / 16, "1/8": 1 / 8, "3/16": 3 / 16, "1/4": 1 / 4}
_SIZES = {"1": 1.0, "1-1/8": 1.125, "1-1/4": 1.25}


def _pick(rng, values):
    return np.asarray(values)[rng.integers(len(values))].item()


# Boards from a cant


def _boards(cant_in, kerf, thick):
    return floor((cant_in + _KERFS[kerf]) / (_SIZES[thick] + _KERFS[kerf]) + 1e-9)


def _draw_cant(rng):
    while True:
        drawn = {
            "cant_in": 8 + _pick(rng, range(80)) / 8,
            "kerf": _pick(rng, list(_KERFS)),
            "thick": _pick(rng, list(_SIZES)),
        }
        thick, drop = _SIZES[drawn["thick"]], _SIZES[drawn["thick"]] + _KERFS[drawn["kerf"]]
        # The kerf must cost a board, and the kerf that is not needed under the last one must save it.
        if floor(drawn["cant_in"] / thick) > _boards(**drawn) > floor(drawn["cant_in"] / drop):
            return drawn


def _cant(cant_in, kerf, thick):
    drop_in, high_in = _SIZES[thick] + _KERFS[kerf], cant_in + _KERFS[kerf]
    boards = _boards(cant_in, kerf, thick)
    return Worked(
        boards,
        dict(
            no_kerf=floor(cant_in / _SIZES[thick]),
            kerf_under_last=floor(cant_in / drop_in),
            part_counted=boards + 1,
        ),
        dict(drop_in=drop_in, high_in=high_in, ratio=high_in / drop_in),
    )


# The width of a board


def _draw_width(rng):
    small_in = _pick(rng, range(12, 23, 2))
    return {"small_in": small_in, "outer_in": _pick(rng, [2, 3, 4, 5, 6][: small_in // 2 - 4])}


def _width(small_in, outer_in):
    radius_in = small_in / 2
    squares = small_in**2 / 4 - outer_in**2
    return Worked(
        2 * float(Frustum(radius_in, radius_in, 12).half_chord_in(outer_in, 0, "x")),
        dict(
            diameter=2 * sqrt(small_in**2 - outer_in**2),
            half=sqrt(squares),
            added=2 * sqrt(small_in**2 / 4 + outer_in**2),
            no_root=2 * squares,
        ),
        dict(radius_in=radius_in, squares=squares, root=sqrt(squares)),
    )


# The blade's height


def _draw_blade(rng):
    return {
        "start_in": _pick(rng, range(12, 19)) + _pick(rng, [0.0, 0.25, 0.5, 0.75]),
        "boards": _pick(rng, range(3, 7)),
        "kerf": _pick(rng, list(_KERFS)),
        "thick": _pick(rng, list(_SIZES)),
    }


def _blade(start_in, boards, kerf, thick):
    drop_in = _SIZES[thick] + _KERFS[kerf]
    height_in = start_in - boards * drop_in
    return Worked(
        height_in,
        dict(
            no_kerf=start_in - boards * _SIZES[thick],
            drop_too_few=start_in - (boards - 1) * drop_in,
            drops_alone=start_in - height_in,
            one_kerf=start_in - boards * _SIZES[thick] - _KERFS[kerf],
        ),
        dict(drop_in=drop_in, drops_in=boards * drop_in, on_the_scale=sixteenths(height_in)),
    )


# Overrun


def _overrun_pct(small_in, length_ft, tally_bf):
    return logs.overrun_pct(tally_bf, logs.doyle_bf(small_in, length_ft))


def _draw_overrun(rng):
    while True:
        small_in, length_ft = _pick(rng, range(10, 23, 2)), _pick(rng, [8, 10, 12, 16])
        large_in = small_in + _pick(rng, [2, 3])
        tally_bf = round(logs.scribner_bf(small_in, length_ft) * _pick(rng, [1.1, 1.2, 1.3]))
        # On a scale near 100 bf, board feet and percent are the same number.
        beyond_bf = tally_bf - logs.doyle_bf(small_in, length_ft)
        if abs(_overrun_pct(small_in, length_ft, tally_bf) - beyond_bf) > 2:
            return {"small_in": small_in, "large_in": large_in, "length_ft": length_ft, "tally_bf": tally_bf}


def _overrun(small_in, large_in, length_ft, tally_bf):
    scale_bf = logs.doyle_bf(small_in, length_ft)
    return Worked(
        _overrun_pct(small_in, length_ft, tally_bf),
        dict(
            share_of_tally=100 * (1 - scale_bf / tally_bf),
            whole_ratio=100 * tally_bf / scale_bf,
            large_end=_overrun_pct(large_in, length_ft, tally_bf),
            board_feet=tally_bf - scale_bf,
        ),
        dict(quarter=(small_in - 4) / 4, scale_bf=scale_bf, beyond_bf=tally_bf - scale_bf),
    )


# A kerf to measure


def _draw_kerf(rng):
    return {"kerf_in": _pick(rng, [1 / 16, 3 / 32, 1 / 8, 5 / 32, 3 / 16, 1 / 4])}


def _kerf(kerf_in):
    drop_in = 1 + kerf_in
    return Worked(
        kerf_in,
        dict(board_and_kerf=drop_in, eight_kerfs=8 * kerf_in),
        dict(on_the_scale=sixteenths(14 - 8 * drop_in), drops_in=8 * drop_in, drop_in=drop_in),
    )


EXERCISES = read(
    "sawing",
    {
        "boards-from-a-cant": (_draw_cant, _cant),
        "width-at-the-small-end": (_draw_width, _width),
        "blade-height": (_draw_blade, _blade),
        "over-the-scale": (_draw_overrun, _overrun),
        "kerf-of-an-unknown-mill": (_draw_kerf, _kerf),
    },
)
