"""Exercises of lesson 1: scaling a log, rounding, International by sections, weight, an oval end to measure."""

import numpy as np

from woodcalc import logs, species
from woodcalc.lesson.exercise import Exercise, Slip


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


def _doyle(small_in, length_ft, **_):
    return logs.doyle_bf(small_in, length_ft)


DOYLE = Exercise(
    key="doyle-one-log",
    lesson="01",
    question=(
        "A log is {small_in} in across at the small end and {large_in} in at the large end, both inside the bark, "
        "and {length_ft} ft long, trim not counted. How many board feet is it by Doyle?"
    ),
    draw=_draw_doyle,
    solve=_doyle,
    unit="bf",
    tolerance=1.0,
    steps=lambda small_in, length_ft, **_: [
        f"Doyle uses the small end: {small_in} in.",
        f"Take off 4 in for slabs and edgings: {small_in} in - 4 in = {small_in - 4} in.",
        f"A quarter of it: {small_in - 4} / 4 = {(small_in - 4) / 4:g}. Times itself: {((small_in - 4) / 4) ** 2:g}.",
        f"Times the length: {((small_in - 4) / 4) ** 2:g} x {length_ft} ft = {_doyle(small_in, length_ft):.1f} bf.",
    ],
    slips=(
        Slip(
            "large end for small end",
            lambda large_in, length_ft, **_: logs.doyle_bf(large_in, length_ft),
            "A log rule takes the small end: every full-length board must fit through it.",
        ),
        Slip(
            "mean of the two ends",
            lambda small_in, large_in, length_ft: logs.doyle_bf((small_in + large_in) / 2, length_ft),
            "The mean of the ends is for cubic feet; a log rule takes the small end alone.",
        ),
        Slip(
            "radius for diameter",
            lambda small_in, length_ft, **_: logs.doyle_bf(small_in / 2, length_ft),
            "Use the whole width of the end, not half of it.",
        ),
        Slip(
            "forgot to take off 4 in",
            lambda small_in, length_ft, **_: (small_in / 4) ** 2 * length_ft,
            "Doyle takes 4 in off the diameter before anything else.",
        ),
        Slip(
            "took 4 off after dividing by 4",
            lambda small_in, length_ft, **_: (small_in / 4 - 4) ** 2 * length_ft,
            "First take off 4 in, then divide by 4.",
        ),
        Slip(
            "forgot to square",
            lambda small_in, length_ft, **_: (small_in - 4) / 4 * length_ft,
            "A quarter of what is left is multiplied by itself, because an end is an area.",
        ),
        Slip(
            "length in inches",
            lambda small_in, length_ft, **_: ((small_in - 4) / 4) ** 2 * 12 * length_ft,
            "The length goes in as feet; only the diameter is in inches.",
        ),
    ),
    decimals=0,
)


# From a tape and a stick to what is paid for


_TAPES = ((10, 2), (12, 3), (14, 1), (11, 8), (13, 6), (15, 5))  # feet and inches, to be paid as even feet


def _draw_paid(rng):
    short_in = _pick(rng, range(11, 18))
    tape_ft, over_in = _TAPES[rng.integers(len(_TAPES))]
    return {"short_in": short_in, "long_in": short_in + 3, "tape_ft": tape_ft, "over_in": over_in}


def _paid_ft(tape_ft, over_in):
    return logs.scaling_length_ft(tape_ft + over_in / 12)


def _paid(short_in, long_in, tape_ft, over_in, halves="down"):
    d = logs.scaling_diameter_in(short_in, long_in, halves=halves)
    return logs.doyle_bf(d, _paid_ft(tape_ft, over_in))


PAID = Exercise(
    key="round-as-the-buyer-does",
    lesson="01",
    question=(
        "Your stick reads {short_in} in one way and {long_in} in the other, inside the bark at the small end. The "
        "tape reads {tape_ft} ft {over_in} in. The buyer takes the mean, drops an exact half inch, wants 4 in of "
        "trim, and pays for even feet by Doyle. How many board feet are you paid for?"
    ),
    draw=_draw_paid,
    solve=_paid,
    unit="bf",
    tolerance=0.6,
    steps=lambda short_in, long_in, tape_ft, over_in: [
        f"Mean of the readings: ({short_in} + {long_in}) / 2 = {(short_in + long_in) / 2:g} in; the half is dropped: "
        f"{(short_in + long_in) // 2} in.",
        f"Tape less trim: {tape_ft} ft {over_in} in - 4 in = {tape_ft - (over_in < 4)} ft {(over_in - 4) % 12} in; "
        f"down to even feet: {_paid_ft(tape_ft, over_in):g} ft.",
        f"Doyle: (({(short_in + long_in) // 2} - 4) / 4) squared x {_paid_ft(tape_ft, over_in):g} ft = "
        f"{_paid(short_in, long_in, tape_ft, over_in):.1f} bf.",
    ],
    slips=(
        Slip(
            "half inch rounded up",
            lambda **numbers: _paid(**numbers, halves="up"),
            "This buyer drops an exact half inch; others round it up. Ask before you sell.",
        ),
        Slip(
            "mean not rounded",
            lambda short_in, long_in, tape_ft, over_in: logs.doyle_bf(
                (short_in + long_in) / 2, _paid_ft(tape_ft, over_in)
            ),
            "The scaler works in whole inches: drop the half.",
        ),
        Slip(
            "widest way only",
            lambda long_in, tape_ft, over_in, **_: logs.doyle_bf(long_in, _paid_ft(tape_ft, over_in)),
            "Take the mean of the narrowest way and the way at right angles to it.",
        ),
        Slip(
            "narrowest way only",
            lambda short_in, tape_ft, over_in, **_: logs.doyle_bf(short_in, _paid_ft(tape_ft, over_in)),
            "Some buyers do that; this one takes the mean of both ways.",
        ),
        Slip(
            "length not taken down to even feet",
            lambda short_in, long_in, tape_ft, **_: logs.doyle_bf((short_in + long_in) // 2, tape_ft),
            "First 4 in of trim come off the tape reading, then the rest goes down to the even foot.",
        ),
        Slip(
            "length taken up",
            lambda short_in, long_in, tape_ft, over_in: logs.doyle_bf(
                (short_in + long_in) // 2, _paid_ft(tape_ft, over_in) + 2
            ),
            "Lengths go down to the even foot, never up.",
        ),
    ),
    decimals=0,
)


# International, section by section


def _draw_international(rng):
    return {"small_in": _pick(rng, range(10, 23))}


def _sections(d):
    return 0.22 * d**2 - 0.71 * d


def _international(small_in):
    return logs.international_bf(small_in, 8)


INTERNATIONAL = Exercise(
    key="international-two-sections",
    lesson="01",
    question=(
        "Scale an 8 ft log, {small_in} in at the small end inside the bark, by International 1/4. It is two sections "
        "of 4 ft; each gives 0.905 x (0.22 x D x D - 0.71 x D) board feet, D being the section's own small end, and "
        "the log grows half an inch from one section to the next. Do not round to 5 bf."
    ),
    draw=_draw_international,
    solve=_international,
    unit="bf",
    tolerance=0.4,
    steps=lambda small_in: [
        f"First section, D = {small_in} in: 0.22 x {small_in**2} - 0.71 x {small_in} = {_sections(small_in):.2f}.",
        f"Second section, D = {small_in + 0.5} in: 0.22 x {(small_in + 0.5) ** 2:g} - 0.71 x {small_in + 0.5:g} = "
        f"{_sections(small_in + 0.5):.2f}.",
        f"Together {_sections(small_in) + _sections(small_in + 0.5):.2f}; times 0.905 for the 1/4 in kerf: "
        f"{_international(small_in):.1f} bf.",
    ],
    slips=(
        Slip(
            "no taper",
            lambda small_in: logs.international_bf(small_in, 4) * 2,
            "The second section starts half an inch wider.",
        ),
        Slip(
            "forgot the kerf",
            lambda small_in: logs.international_bf(small_in, 8, kerf="1/8"),
            "Without the 0.905 this is the rule for a 1/8 in kerf.",
        ),
        Slip(
            "one section only",
            lambda small_in: logs.international_bf(small_in, 4),
            "An 8 ft log is two sections of 4 ft.",
        ),
        Slip(
            "rounded to 5 bf",
            lambda small_in: logs.international_bf(small_in, 8, nearest_bf=5),
            "Printed tables round to 5 bf; here the figure before rounding is asked for.",
        ),
        Slip(
            "half an inch per foot",
            lambda small_in: logs.international_bf(small_in, 4) + logs.international_bf(small_in + 2, 4),
            "The taper is half an inch in 4 ft, that is from one section to the next.",
        ),
    ),
    decimals=1,
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


def _weight(small_in, large_in, length_ft, density_lb_per_ft3, **_):
    return logs.smalian_ft3(small_in, large_in, length_ft) * density_lb_per_ft3


def _load_for(small_in, large_in, length_ft, wood):
    return logs.log_weight_range_lb(wood, logs.smalian_ft3(small_in, large_in, length_ft))[1]


def _area_ft2(across_in):
    return 0.005454 * across_in**2


WEIGHT = Exercise(
    key="green-log-weight",
    lesson="01",
    question=(
        "A green {wood} log is {small_in} and {large_in} in across inside the bark and {length_ft} ft long. Green "
        "{wood} weighs about {density_lb_per_ft3} lb per cubic foot. What does the log weigh, without bark and margin? "
        "Use Smalian; the area of an end is 0.005454 x D x D square feet."
    ),
    draw=_draw_weight,
    solve=_weight,
    unit="lb",
    tolerance=8.0,
    steps=lambda small_in, large_in, length_ft, wood, density_lb_per_ft3: [
        f"End areas: 0.005454 x {small_in**2} = {_area_ft2(small_in):.3f} ft2 and 0.005454 x {large_in**2} = "
        f"{_area_ft2(large_in):.3f} ft2; mean {(_area_ft2(small_in) + _area_ft2(large_in)) / 2:.3f} ft2.",
        f"Times {length_ft} ft: {logs.smalian_ft3(small_in, large_in, length_ft):.2f} ft3.",
        f"Times {density_lb_per_ft3} lb/ft3: {_weight(small_in, large_in, length_ft, density_lb_per_ft3):,.0f} lb.",
        f"Load for {_load_for(small_in, large_in, length_ft, wood):,.0f} lb: up to a fifth over the wettest figure for "
        f"{wood}, and a tenth for the bark.",
    ],
    slips=(
        Slip(
            "small end only",
            lambda small_in, length_ft, density_lb_per_ft3, **_: (
                logs.huber_ft3(small_in, length_ft) * density_lb_per_ft3
            ),
            "The small end is for log rules. All the wood weighs: take the mean of both end areas.",
        ),
        Slip(
            "large end only",
            lambda large_in, length_ft, density_lb_per_ft3, **_: (
                logs.huber_ft3(large_in, length_ft) * density_lb_per_ft3
            ),
            "Take the mean of both end areas.",
        ),
        Slip(
            "areas added, not averaged",
            lambda **numbers: 2 * _weight(**numbers),
            "Smalian takes the mean of the two end areas: add them, then halve.",
        ),
        Slip(
            "radius for diameter",
            lambda **numbers: _weight(**numbers) / 4,
            "0.005454 goes with the diameter; with half of it the area comes out a quarter.",
        ),
        Slip(
            "board feet for cubic feet",
            lambda small_in, length_ft, density_lb_per_ft3, **_: (
                logs.doyle_bf(small_in, length_ft) / 12 * density_lb_per_ft3
            ),
            "A log rule counts only the boards. The slabs and the sawdust have to be lifted too.",
        ),
        Slip(
            "inches for feet",
            lambda **numbers: 12 * _weight(**numbers),
            "The length goes in as feet.",
        ),
    ),
    decimals=0,
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


def _oval(short_in, long_in, length_ft, **_):
    return logs.doyle_bf(logs.scaling_diameter_in(short_in, long_in), length_ft)


OVAL = Exercise(
    key="oval-log-on-the-stick",
    lesson="01",
    question=(
        "Carry the stick round the log end until it lies the narrowest way, and read it; carry it 90 degrees further "
        "and read it again. Take the mean in whole inches. The log is {length_ft} ft long. How many board feet is it "
        "by Doyle?"
    ),
    draw=_draw_oval,
    solve=_oval,
    unit="bf",
    tolerance=1.5,
    steps=lambda short_in, long_in, lies_deg, length_ft: [
        f"The narrowest way lies at {lies_deg} degrees and reads {short_in} in.",
        f"At {(lies_deg + 90) % 180} degrees, at right angles, the stick reads {long_in} in.",
        f"Mean: ({short_in} + {long_in}) / 2 = {(short_in + long_in) // 2} in.",
        f"Doyle: (({(short_in + long_in) // 2} - 4) / 4) squared x {length_ft} ft = "
        f"{_oval(short_in, long_in, length_ft):.1f} bf.",
    ],
    slips=(
        Slip(
            "narrowest way only",
            lambda short_in, length_ft, **_: logs.doyle_bf(short_in, length_ft),
            "Read it the other way too, and take the mean.",
        ),
        Slip(
            "widest way only",
            lambda long_in, length_ft, **_: logs.doyle_bf(long_in, length_ft),
            "Read it the narrowest way too, and take the mean.",
        ),
        Slip(
            "bark measured too",
            lambda short_in, long_in, length_ft, **_: logs.doyle_bf((short_in + long_in) / 2 + 1, length_ft),
            "Read where the wood ends: the bark makes no boards.",
        ),
        Slip(
            "forgot to take off 4 in",
            lambda short_in, long_in, length_ft, **_: ((short_in + long_in) / 8) ** 2 * length_ft,
            "Doyle takes 4 in off the diameter before anything else.",
        ),
        Slip(
            "an inch too small: the two readings were not at right angles",
            lambda short_in, long_in, length_ft, **_: logs.doyle_bf((short_in + long_in) / 2 - 1, length_ft),
            "Find the narrowest way first; the second reading lies 90 degrees from it.",
        ),
    ),
    decimals=0,
    hidden=("short_in", "long_in", "lies_deg"),
)

EXERCISES = (DOYLE, PAID, INTERNATIONAL, WEIGHT, OVAL)
