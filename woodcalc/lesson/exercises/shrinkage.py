"""Exercises on shrinkage and how thick to saw."""

from woodcalc import shrinkage as sh
from woodcalc import species
from woodcalc.lesson.exercise import Exercise, Slip

_WOODS = (
    "northern red oak",
    "white oak",
    "black walnut",
    "black cherry",
    "sugar maple",
    "white ash",
    "yellow-poplar",
)


def _draw_width(rng):
    return {
        "wood": str(rng.choice(_WOODS)),
        "width_in": float(rng.choice([6, 8, 9, 10, 12])),
        "green_pct": int(rng.choice([60, 70, 75, 80, 90])),
        "mc_pct": int(rng.choice([6, 8, 9, 10, 12])),
    }


def _totals(wood):
    w = species.get(wood)
    return w.shrink_radial_pct, w.shrink_tangential_pct


def _width(wood, width_in, green_pct, mc_pct):
    return sh.size_after(width_in, wood, green_pct, mc_pct)


def _width_steps(wood, width_in, green_pct, mc_pct):
    total = _totals(wood)[1]
    part = total * (30 - mc_pct) / 30
    return [
        f"Flat-sawn, so the width lies along the rings: tangential shrinkage of {wood}, {total:g} %.",
        f"Nothing shrinks from {green_pct} % down to 30 %. From 30 to {mc_pct} % is {30 - mc_pct} of the 30 points.",
        f"{total:g} % x {30 - mc_pct}/30 = {part:.2f} %.",
        f"{width_in:g} in x (1 - {part / 100:.4f}) = {_width(wood, width_in, green_pct, mc_pct):.2f} in.",
    ]


_width_exercise = Exercise(
    key="width-when-dry",
    lesson="03",
    question=(
        "A flat-sawn board of {wood} is {width_in:g} in wide when green, at {green_pct} %. How wide is it "
        "at {mc_pct} %? (Total shrinkage, tangential and radial, is in the table.)"
    ),
    needs="shrinkage",
    draw=_draw_width,
    solve=_width,
    unit="in",
    tolerance=0.015,
    decimals=2,
    steps=_width_steps,
    slips=(
        Slip(
            "radial shrinkage for tangential",
            lambda wood, width_in, green_pct, mc_pct: sh.size_after(width_in, wood, green_pct, mc_pct, 90),
            "A flat-sawn board's width lies along the rings, so take the tangential figure, the larger one.",
        ),
        Slip(
            "shrinking from the green moisture content instead of from 30 %",
            lambda wood, width_in, green_pct, mc_pct: (
                width_in * (1 - _totals(wood)[1] / 100 * (green_pct - mc_pct) / green_pct)
            ),
            "Above 30 % only free water leaves and nothing shrinks: count the points below 30.",
        ),
        Slip(
            "all the way to oven-dry",
            lambda wood, width_in, green_pct, mc_pct: width_in * (1 - _totals(wood)[1] / 100),
            "The table's figure is for 0 %. Take the share (30 - MC)/30 of it.",
        ),
        Slip(
            "the share that is still to come, MC/30",
            lambda wood, width_in, green_pct, mc_pct: width_in * (1 - _totals(wood)[1] / 100 * mc_pct / 30),
            "The part already done is (30 - MC)/30.",
        ),
        Slip(
            "added instead of taken away",
            lambda wood, width_in, green_pct, mc_pct: (
                2 * width_in - _width(wood, width_in, green_pct, mc_pct)
            ),
            "Drying makes it narrower.",
        ),
    ),
)


def _draw_quarter(rng):
    return {
        "wood": str(
            rng.choice(
                ("northern red oak", "white oak", "American beech", "sugar maple", "American sycamore")
            )
        ),
        "thickness_in": float(rng.choice([1.125, 1.375, 2.125])),
        "mc_pct": int(rng.choice([6, 8, 9, 12])),
    }


def _quarter(wood, thickness_in, mc_pct):
    return 1000 * (thickness_in - sh.size_after(thickness_in, wood, 80, mc_pct, 0))


_quarter_exercise = Exercise(
    key="quarter-sawn-thickness",
    lesson="03",
    question=(
        "A quarter-sawn board of {wood} is {thickness_in:g} in thick when green. How many thousandths of an inch of "
        "thickness does it lose on the way to {mc_pct} %? (Total shrinkage is in the table.)"
    ),
    needs="shrinkage",
    draw=_draw_quarter,
    solve=_quarter,
    unit="thousandths",
    tolerance=1.5,
    steps=lambda wood, thickness_in, mc_pct: [
        "Quarter-sawn: the rings stand upright, so the thickness lies along the rings. Take the tangential figure.",
        f"{_totals(wood)[1]:g} % x {30 - mc_pct}/30 = {_totals(wood)[1] * (30 - mc_pct) / 30:.2f} %.",
        f"{1000 * thickness_in:.0f} thousandths x {_totals(wood)[1] * (30 - mc_pct) / 3000:.4f} = "
        f"{_quarter(wood, thickness_in, mc_pct):.0f} thousandths.",
    ],
    slips=(
        Slip(
            "radial shrinkage for tangential",
            lambda wood, thickness_in, mc_pct: 10 * thickness_in * _totals(wood)[0] * (30 - mc_pct) / 30,
            "That is right for the thickness of a flat-sawn board. Turn the rings upright and the two change places.",
        ),
        Slip(
            "all the way to oven-dry",
            lambda wood, thickness_in, mc_pct: 10 * thickness_in * _totals(wood)[1],
            "Take the share (30 - MC)/30 of the table's figure.",
        ),
        Slip(
            "the share that is still to come, MC/30",
            lambda wood, thickness_in, mc_pct: 10 * thickness_in * _totals(wood)[1] * mc_pct / 30,
            "The part already done is (30 - MC)/30.",
        ),
    ),
)


def _draw_target(rng):
    return {
        "finished_in": float(rng.choice([0.75, 0.8125, 0.875, 1.0, 1.0625])),
        "planing_in": float(rng.choice([0.10, 0.125, 0.15])),
        "shrink_pct": float(rng.choice([5.0, 6.0, 7.0, 8.0])),
        "sd_in": float(rng.choice([0.015, 0.02, 0.03])),
    }


def _target(finished_in, planing_in, shrink_pct, sd_in):
    return sh.green_target_in(finished_in, shrink_pct, planing_in, sd_in)


_target_exercise = Exercise(
    key="green-target",
    lesson="03",
    question=(
        "Boards must finish at {finished_in:g} in. Planing takes {planing_in:g} in off (both faces together), the "
        "thickness shrinks {shrink_pct:g} %, and the saw's spread is {sd_in:g} in. How thick should the boards be "
        "on average when green, if 5 in 100 may come out too thin?"
    ),
    draw=_draw_target,
    solve=_target,
    unit="in",
    tolerance=0.0016,
    decimals=3,
    steps=lambda finished_in, planing_in, shrink_pct, sd_in: [
        f"Before planing: {finished_in:g} + {planing_in:g} = {finished_in + planing_in:.4f} in.",
        f"Before shrinking: {finished_in + planing_in:.4f} / (1 - {shrink_pct / 100:g}) = "
        f"{sh.critical_size_in(finished_in, shrink_pct, planing_in):.3f} in, the least that still finishes.",
        f"Room for the saw: 1.645 x {sd_in:g} = {1.645 * sd_in:.3f} in.",
        f"Together {_target(finished_in, planing_in, shrink_pct, sd_in):.3f} in.",
    ],
    slips=(
        Slip(
            "multiplied by (1 + shrinkage) instead of dividing",
            lambda finished_in, planing_in, shrink_pct, sd_in: (
                (finished_in + planing_in) * (1 + shrink_pct / 100) + 1.645 * sd_in
            ),
            "The percentage is of the green size, the one you look for: divide by (1 - shrinkage).",
        ),
        Slip(
            "forgot the planing",
            lambda finished_in, planing_in, shrink_pct, sd_in: _target(finished_in, 0, shrink_pct, sd_in),
            "What the planer takes off has to be there first.",
        ),
        Slip(
            "planing counted twice",
            lambda finished_in, planing_in, shrink_pct, sd_in: _target(
                finished_in, 2 * planing_in, shrink_pct, sd_in
            ),
            "The planing allowance given is for both faces together.",
        ),
        Slip(
            "forgot the shrinkage",
            lambda finished_in, planing_in, shrink_pct, sd_in: _target(finished_in, planing_in, 0, sd_in),
            "The board must be thicker when green by what it loses in drying.",
        ),
        Slip(
            "no room for the saw",
            lambda finished_in, planing_in, shrink_pct, sd_in: sh.critical_size_in(
                finished_in, shrink_pct, planing_in
            ),
            "Set there, half the readings come out too thin: add 1.645 spreads.",
        ),
        Slip(
            "one spread instead of 1.645",
            lambda finished_in, planing_in, shrink_pct, sd_in: (
                _target(finished_in, planing_in, shrink_pct, 0) + sd_in
            ),
            "One spread leaves 16 in 100 too thin; 1.645 leaves 5.",
        ),
    ),
)


def _draw_thin(rng):
    sd = float(rng.choice([0.02, 0.03, 0.04]))
    z = float(rng.choice([0.5, 1.0, 1.5, 2.0]))
    critical = float(rng.choice([1.0, 1.01, 1.02, 1.25]))
    return {"critical_in": critical, "set_in": round(critical + z * sd, 3), "sd_in": sd}


def _thin(critical_in, set_in, sd_in):
    return 100 * sh.undersize_share(set_in, critical_in, sd_in)


_thin_exercise = Exercise(
    key="too-thin-in-100",
    lesson="03",
    question=(
        "A saw with a spread of {sd_in:g} in is set to {set_in:g} in. Boards below {critical_in:g} in will not finish. "
        "How many readings in 100 come out too thin? (Use the table of spreads.)"
    ),
    needs="spreads",
    draw=_draw_thin,
    solve=_thin,
    unit="in 100",
    tolerance=0.8,
    decimals=1,
    steps=lambda critical_in, set_in, sd_in: [
        f"Room: {set_in:g} - {critical_in:g} = {set_in - critical_in:.3f} in.",
        f"In spreads: {set_in - critical_in:.3f} / {sd_in:g} = {(set_in - critical_in) / sd_in:.1f}.",
        f"The table gives {_thin(critical_in, set_in, sd_in):.1f} in 100 below.",
    ],
    slips=(
        Slip(
            "counted the good ones",
            lambda critical_in, set_in, sd_in: 100 - _thin(critical_in, set_in, sd_in),
            "The question asks for those below.",
        ),
        Slip(
            "both tails of the bell",
            lambda critical_in, set_in, sd_in: 2 * _thin(critical_in, set_in, sd_in),
            "Boards that come out too thick still finish: count one side only.",
        ),
        Slip(
            "half of them",
            lambda critical_in, set_in, sd_in: 50.0,
            "Half would be below if the saw were set right at the least thickness.",
        ),
    ),
)


def _hidden(shrink_pct):
    return shrink_pct


_hidden_exercise = Exercise(
    key="shrinkage-of-a-block",
    lesson="03",
    question=(
        "The block in the caliper was 6.000 in wide when green. Dry it, read the caliper, and work out the total "
        "shrinkage of its width from green to oven-dry. (The slider stops at 8 %, as a room does.)"
    ),
    draw=lambda rng: {"shrink_pct": float(rng.integers(45, 119)) / 10},
    solve=_hidden,
    unit="%",
    tolerance=0.15,
    decimals=1,
    steps=lambda shrink_pct: [
        f"At 8 % the caliper shows {6 * sh.size_ratio(shrink_pct, 100, 8):.3f} in.",
        f"Lost: 6.000 - {6 * sh.size_ratio(shrink_pct, 100, 8):.3f} = {6 * shrink_pct / 100 * 22 / 30:.3f} in, or "
        f"{shrink_pct * 22 / 30:.2f} % of 6.000 in.",
        f"That is 22 of the 30 points: {shrink_pct * 22 / 30:.2f} % x 30/22 = {shrink_pct:.1f} %.",
    ],
    slips=(
        Slip(
            "stopped at 8 %",
            lambda shrink_pct: shrink_pct * 22 / 30,
            "The table's figure runs on to 0 %: scale it up by 30/22.",
        ),
        Slip(
            "counted from 60 % instead of from 30 %",
            lambda shrink_pct: shrink_pct * 22 / 30 * 60 / 52,
            "Watch the caliper between 60 and 30 %: nothing happens. Count the points below 30.",
        ),
        Slip(
            "inches for percent",
            lambda shrink_pct: 6 * shrink_pct / 100,
            "Divide the inches lost by the green width, 6 in.",
        ),
        Slip(
            "percent of the dry width",
            lambda shrink_pct: 100 * (1 / sh.size_ratio(shrink_pct, 100, 8) - 1) * 30 / 22,
            "Shrinkage is a percentage of the green size.",
        ),
    ),
    hidden=("shrink_pct",),
)

EXERCISES = (_width_exercise, _quarter_exercise, _target_exercise, _thin_exercise, _hidden_exercise)
