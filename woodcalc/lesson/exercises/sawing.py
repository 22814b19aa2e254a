"""Exercises of lesson 2: boards from a cant, width at the small end, blade height, overrun, a kerf to measure."""

from math import floor, sqrt

import numpy as np

from woodcalc import logs
from woodcalc.frustum import Frustum
from woodcalc.lesson.exercise import Exercise, Slip
from woodcalc.settings_sheet import sixteenths

_KERFS = {"1/16": 1 / 16, "1/8": 1 / 8, "3/16": 3 / 16, "1/4": 1 / 4}
_SIZES = {"1": 1.0, "1-1/8": 1.125, "1-1/4": 1.25}


def _pick(rng, values):
    return np.asarray(values)[rng.integers(len(values))].item()


# Boards from a cant


def _boards(cant_in, kerf, thick, **_):
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


CANT = Exercise(
    key="boards-from-a-cant",
    lesson="02",
    question=(
        "A squared cant is {cant_in:g} in high. You saw it from the top down to the bed into boards {thick} in "
        "thick; the saw's kerf is {kerf} in. How many whole boards come out?"
    ),
    draw=_draw_cant,
    solve=_boards,
    unit="boards",
    tolerance=0.1,
    steps=lambda cant_in, kerf, thick: [
        f"From one cut to the next: {thick} in + {kerf} in = {_SIZES[thick] + _KERFS[kerf]:g} in.",
        f"The last board lies on the bed and needs no cut under it, so add one kerf to the height: {cant_in:g} in "
        f"+ {kerf} in = {cant_in + _KERFS[kerf]:g} in.",
        f"{cant_in + _KERFS[kerf]:g} / {_SIZES[thick] + _KERFS[kerf]:g} = "
        f"{(cant_in + _KERFS[kerf]) / (_SIZES[thick] + _KERFS[kerf]):.2f}.",
        f"Whole boards only: {_boards(cant_in, kerf, thick)}.",
    ],
    slips=(
        Slip(
            "forgot the kerf",
            lambda cant_in, thick, **_: floor(cant_in / _SIZES[thick]),
            "Every cut turns a kerf to sawdust; the boards are a thickness and a kerf apart.",
        ),
        Slip(
            "a kerf under the last board too",
            lambda cant_in, kerf, thick: floor(cant_in / (_SIZES[thick] + _KERFS[kerf])),
            "Nothing is sawn under the last board: it lies on the bed. There is one kerf less than boards.",
        ),
        Slip(
            "counted a part of a board",
            lambda cant_in, kerf, thick: _boards(cant_in, kerf, thick) + 1,
            "What is left over is too thin to be a board: round down.",
        ),
    ),
)


# The width of a board


def _draw_width(rng):
    small_in = _pick(rng, range(12, 23, 2))
    return {"small_in": small_in, "outer_in": _pick(rng, [2, 3, 4, 5, 6][: small_in // 2 - 4])}


def _width(small_in, outer_in):
    radius = small_in / 2
    return 2 * float(Frustum(radius, radius, 12).half_chord_in(outer_in, 0, "x"))


WIDTH = Exercise(
    key="width-at-the-small-end",
    lesson="02",
    question=(
        "A log is {small_in} in across at the small end. The outer face of a board lies {outer_in} in above the "
        "pith. How wide is that face at the small end, from bark to bark, before edging?"
    ),
    draw=_draw_width,
    solve=_width,
    unit="in",
    tolerance=0.1,
    decimals=1,
    steps=lambda small_in, outer_in: [
        f"Half the diameter: {small_in} in / 2 = {small_in / 2:g} in. It is the slanted side of a triangle with a "
        "square corner.",
        f"One of its other sides is the height of the face, {outer_in} in; the third is half the width.",
        f"Squares: {small_in / 2:g} x {small_in / 2:g} - {outer_in} x {outer_in} = {small_in**2 / 4 - outer_in**2:g}.",
        f"Its square root: {sqrt(small_in**2 / 4 - outer_in**2):.2f} in. "
        f"Twice that: {_width(small_in, outer_in):.1f} in.",
    ],
    slips=(
        Slip(
            "diameter for radius",
            lambda small_in, outer_in: 2 * sqrt(small_in**2 - outer_in**2),
            "The triangle's long side is half the diameter.",
        ),
        Slip(
            "half the width",
            lambda small_in, outer_in: sqrt(small_in**2 / 4 - outer_in**2),
            "The triangle gives one side of the pith only: double it.",
        ),
        Slip(
            "added the squares",
            lambda small_in, outer_in: 2 * sqrt(small_in**2 / 4 + outer_in**2),
            "The slanted side is known, a shorter one is looked for: subtract the squares.",
        ),
        Slip(
            "forgot the square root",
            lambda small_in, outer_in: 2 * (small_in**2 / 4 - outer_in**2),
            "Take the square root before you double it.",
        ),
    ),
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
    return start_in - boards * (_SIZES[thick] + _KERFS[kerf])


BLADE = Exercise(
    key="blade-height",
    lesson="02",
    question=(
        "The slab is off and the underside of the blade stands at {start_in:g} in above the bed. You saw boards "
        "{thick} in thick with a kerf of {kerf} in. At what height does the blade stand when board number {boards} "
        "comes off?"
    ),
    draw=_draw_blade,
    solve=_blade,
    unit="in",
    tolerance=0.03,
    decimals=3,
    steps=lambda start_in, boards, kerf, thick: [
        f"One drop: {thick} in + {kerf} in = {_SIZES[thick] + _KERFS[kerf]:g} in.",
        f"Board number {boards} needs {boards} drops: {boards} x {_SIZES[thick] + _KERFS[kerf]:g} in = "
        f"{boards * (_SIZES[thick] + _KERFS[kerf]):g} in.",
        f"{start_in:g} in - {boards * (_SIZES[thick] + _KERFS[kerf]):g} in = "
        f"{_blade(start_in, boards, kerf, thick):g} in, on the scale "
        f"{sixteenths(_blade(start_in, boards, kerf, thick))} in.",
    ],
    slips=(
        Slip(
            "forgot the kerf",
            lambda start_in, boards, thick, **_: start_in - boards * _SIZES[thick],
            "Drop by the board and the kerf, or every board comes out thin by a kerf.",
        ),
        Slip(
            "one drop too few",
            lambda start_in, boards, kerf, thick: _blade(start_in, boards - 1, kerf, thick),
            "The slab's cut is the top of board 1; board 1 itself needs a drop, so board n needs n.",
        ),
        Slip(
            "the drop for the height",
            lambda start_in, boards, kerf, thick: start_in - _blade(start_in, boards, kerf, thick),
            "That is how far the blade has come down. Take it off the height where it started.",
        ),
        Slip(
            "one kerf for all boards",
            lambda start_in, boards, kerf, thick: start_in - boards * _SIZES[thick] - _KERFS[kerf],
            "Each board costs a kerf of its own.",
        ),
    ),
)


# Overrun


def _draw_overrun(rng):
    while True:
        small_in, length_ft = _pick(rng, range(10, 23, 2)), _pick(rng, [8, 10, 12, 16])
        drawn = {
            "small_in": small_in,
            "large_in": small_in + _pick(rng, [2, 3]),
            "length_ft": length_ft,
            "tally_bf": round(logs.scribner_bf(small_in, length_ft) * _pick(rng, [1.1, 1.2, 1.3])),
        }
        # On a scale near 100 bf, board feet and percent are the same number.
        beyond_bf = drawn["tally_bf"] - logs.doyle_bf(small_in, length_ft)
        if abs(_overrun(**drawn) - beyond_bf) > 2:
            return drawn


def _overrun(small_in, length_ft, tally_bf, **_):
    return logs.overrun_pct(tally_bf, logs.doyle_bf(small_in, length_ft))


OVERRUN = Exercise(
    key="over-the-scale",
    lesson="02",
    question=(
        "A log of {length_ft} ft, {small_in} in at the small end and {large_in} in at the large end, gave "
        "{tally_bf} bf of boards. By how many percent did the boards overrun the Doyle scale?"
    ),
    draw=_draw_overrun,
    solve=_overrun,
    unit="%",
    tolerance=1.0,
    steps=lambda small_in, length_ft, tally_bf, **_: [
        f"Doyle at the small end: ({small_in} - 4)/4 = {(small_in - 4) / 4:g}; squared, times {length_ft} ft = "
        f"{logs.doyle_bf(small_in, length_ft):.1f} bf.",
        f"More than the scale: {tally_bf} - {logs.doyle_bf(small_in, length_ft):.1f} = "
        f"{tally_bf - logs.doyle_bf(small_in, length_ft):.1f} bf.",
        f"As a share of the scale: {_overrun(small_in, length_ft, tally_bf):.0f} %.",
    ],
    slips=(
        Slip(
            "share of the tally",
            lambda small_in, length_ft, tally_bf, **_: 100 * (1 - logs.doyle_bf(small_in, length_ft) / tally_bf),
            "Overrun is counted against the scale, which was there first.",
        ),
        Slip(
            "the whole ratio",
            lambda small_in, length_ft, tally_bf, **_: 100 * tally_bf / logs.doyle_bf(small_in, length_ft),
            "Only what goes beyond the scale is overrun: take 100 % off.",
        ),
        Slip(
            "large end for small end",
            lambda large_in, length_ft, tally_bf, **_: logs.overrun_pct(tally_bf, logs.doyle_bf(large_in, length_ft)),
            "The scale is read at the small end.",
        ),
        Slip(
            "board feet for percent",
            lambda small_in, length_ft, tally_bf, **_: tally_bf - logs.doyle_bf(small_in, length_ft),
            "Those are the board feet beyond the scale: divide them by the scale.",
        ),
    ),
)


# A kerf to measure


def _draw_kerf(rng):
    return {"kerf_in": _pick(rng, [1 / 16, 3 / 32, 1 / 8, 5 / 32, 3 / 16, 1 / 4])}


KERF = Exercise(
    key="kerf-of-an-unknown-mill",
    lesson="02",
    question=(
        "Saw boards on the panel and read the scale before and after. What is the kerf of this mill, in inches (a "
        "fraction or a decimal)?"
    ),
    draw=_draw_kerf,
    solve=lambda kerf_in: kerf_in,
    unit="in",
    tolerance=0.01,
    decimals=4,
    hidden=("kerf_in",),
    steps=lambda kerf_in: [
        "Saw 8 boards of 1 in and read both heights. One board would do, but the scale shows sixteenths only: over 8 "
        "boards that error counts an eighth.",
        f"The blade comes down from 14 in to {sixteenths(14 - 8 * (1 + kerf_in))} in: {8 * (1 + kerf_in):g} in "
        "for 8 boards.",
        f"For one: {8 * (1 + kerf_in):g} / 8 = {1 + kerf_in:g} in. Less the board of 1 in: {kerf_in:g} in.",
    ],
    slips=(
        Slip(
            "board and kerf together",
            lambda kerf_in: 1 + kerf_in,
            "That is the drop from one cut to the next. Take the thickness of the board off.",
        ),
        Slip(
            "the kerfs of all 8 boards",
            lambda kerf_in: 8 * kerf_in,
            "That is what 8 kerfs take together: divide by the number of boards.",
        ),
    ),
)

EXERCISES = (CANT, WIDTH, BLADE, OVERRUN, KERF)
