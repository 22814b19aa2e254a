"""Formulas of lesson 01: scaling a log, rounding, International by sections, weight, an oval end to measure."""

from __future__ import annotations

import numpy as np

from woodcalc import logs, species
from woodcalc.lesson.exercise import Worked
from woodcalc.lesson.exercises.words import read
from woodcalc.sizes import wood_ft3


def _pick(rng, values):
    return np.asarray(values)[rng.integers(len(values))].item()


# Doyle, one log


def _draw_doyle(rng):
    small_in = _pick(rng, range(11, 23))
    return {
        "small_in": small_in,
        "large_in": small_in + _pick(rng, [2, 3]),
        "length_ft": _pick(rng, [8, 10, 12, 16]),
    }


def _doyle(small_in, large_in, length_ft):
    left_in = small_in - 4
    quarter = left_in / 4
    return Worked(
        logs.doyle_bf(small_in, length_ft),
        dict(
            large_end=logs.doyle_bf(large_in, length_ft),
            mean_of_ends=logs.doyle_bf((small_in + large_in) / 2, length_ft),
            radius=logs.doyle_bf(small_in / 2, length_ft),
            no_four_off=(small_in / 4) ** 2 * length_ft,
            four_off_late=(small_in / 4 - 4) ** 2 * length_ft,
            not_squared=quarter * length_ft,
            length_in_inches=quarter**2 * 12 * length_ft,
        ),
        dict(left_in=left_in, quarter=quarter, squared=quarter**2),
    )


# From a tape and a stick to what is paid for


_TAPES = ((10, 2), (12, 3), (14, 1), (11, 8), (13, 6), (15, 5))  # feet and inches, to be paid as even feet


def _draw_paid(rng):
    short_in = _pick(rng, range(11, 18))
    tape_ft, over_in = _TAPES[rng.integers(len(_TAPES))]
    return {"short_in": short_in, "long_in": short_in + 3, "tape_ft": tape_ft, "over_in": over_in}


def _paid(short_in, long_in, tape_ft, over_in):
    mean_in, whole_in = (short_in + long_in) / 2, (short_in + long_in) // 2
    paid_ft = logs.scaling_length_ft(tape_ft + over_in / 12)
    rounded_up_in = logs.scaling_diameter_in(short_in, long_in, halves="up")
    return Worked(
        logs.doyle_bf(logs.scaling_diameter_in(short_in, long_in, halves="down"), paid_ft),
        dict(
            half_up=logs.doyle_bf(rounded_up_in, paid_ft),
            not_rounded=logs.doyle_bf(mean_in, paid_ft),
            widest=logs.doyle_bf(long_in, paid_ft),
            narrowest=logs.doyle_bf(short_in, paid_ft),
            length_as_taped=logs.doyle_bf(whole_in, tape_ft),
            length_up=logs.doyle_bf(whole_in, paid_ft + 2),
        ),
        dict(
            mean_in=mean_in,
            whole_in=whole_in,
            paid_ft=paid_ft,
            less_trim_ft=tape_ft - (over_in < 4),
            less_trim_in=(over_in - 4) % 12,
        ),
    )


# International, section by section


def _draw_international(rng):
    return {"small_in": _pick(rng, range(10, 23))}


def _section_bf(d):
    return 0.22 * d**2 - 0.71 * d


def _international(small_in):
    section_bf = logs.international_bf(small_in, 4)
    first, second = _section_bf(small_in), _section_bf(small_in + 0.5)
    return Worked(
        logs.international_bf(small_in, 8),
        dict(
            no_taper=section_bf * 2,
            no_kerf=logs.international_bf(small_in, 8, kerf="1/8"),
            one_section=section_bf,
            to_five=logs.international_bf(small_in, 8, nearest_bf=5),
            taper_a_foot=section_bf + logs.international_bf(small_in + 2, 4),
        ),
        dict(
            squared=small_in**2,
            first=first,
            second_in=small_in + 0.5,
            second_squared=(small_in + 0.5) ** 2,
            second=second,
            both=first + second,
        ),
    )


# What a log weighs

_WOODS = ("northern red oak", "white oak", "black walnut", "black cherry", "white ash", "eastern white pine")


def _draw_weight(rng):
    small_in = _pick(rng, range(10, 21))
    name = _pick(rng, _WOODS)
    return {
        "small_in": small_in,
        "large_in": small_in + _pick(rng, [2, 3, 4]),
        "length_ft": _pick(rng, [8, 10, 12]),
        "wood": name,
        "density_lb_per_ft3": round(species.get(name).green_lb_per_ft3),
    }


def _weight(small_in, large_in, length_ft, wood, density_lb_per_ft3):
    volume_ft3 = logs.smalian_ft3(small_in, large_in, length_ft)
    weight_lb = volume_ft3 * density_lb_per_ft3
    small_ft2, large_ft2 = 0.005454 * small_in**2, 0.005454 * large_in**2
    return Worked(
        weight_lb,
        dict(
            small_end=logs.huber_ft3(small_in, length_ft) * density_lb_per_ft3,
            large_end=logs.huber_ft3(large_in, length_ft) * density_lb_per_ft3,
            not_halved=2 * weight_lb,
            radius=weight_lb / 4,
            board_feet=wood_ft3(logs.doyle_bf(small_in, length_ft)) * density_lb_per_ft3,
            inches=12 * weight_lb,
        ),
        dict(
            small_squared=small_in**2,
            small_ft2=small_ft2,
            large_squared=large_in**2,
            large_ft2=large_ft2,
            mean_ft2=(small_ft2 + large_ft2) / 2,
            volume_ft3=volume_ft3,
            load_for_lb=logs.log_weight_range_lb(wood, volume_ft3 * (1 + 4 / 12 / length_ft))[
                1
            ],  # trim, 4 in
        ),
    )


# An oval end, to be measured


def _draw_oval(rng):
    short_in = _pick(rng, range(11, 16))
    return {
        "short_in": short_in,
        "long_in": short_in + 4,
        "lies_deg": _pick(rng, range(20, 170, 10)),
        "length_ft": _pick(rng, [8, 10, 12]),
    }


def _oval(short_in, long_in, lies_deg, length_ft):
    mean_in = (short_in + long_in) / 2
    return Worked(
        logs.doyle_bf(logs.scaling_diameter_in(short_in, long_in), length_ft),
        dict(
            narrowest=logs.doyle_bf(short_in, length_ft),
            widest=logs.doyle_bf(long_in, length_ft),
            bark=logs.doyle_bf(mean_in + 1, length_ft),
            no_four_off=((short_in + long_in) / 8) ** 2 * length_ft,
            not_square=logs.doyle_bf(mean_in - 1, length_ft),
        ),
        dict(across_deg=(lies_deg + 90) % 180, whole_in=(short_in + long_in) // 2),
    )


EXERCISES = read(
    "logs",
    {
        "doyle-one-log": (_draw_doyle, _doyle),
        "round-as-the-buyer-does": (_draw_paid, _paid),
        "international-two-sections": (_draw_international, _international),
        "green-log-weight": (_draw_weight, _weight),
        "oval-log-on-the-stick": (_draw_oval, _oval),
    },
)
