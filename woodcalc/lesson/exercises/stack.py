"""Exercises of lesson 06: stickers to cut, what a pile weighs, what a footing carries, how spacing bends."""

import math

from woodcalc import moisture, stack
from woodcalc.lesson.exercise import Exercise, Slip

# How many stickers


def _draw_stickers(rng):
    length_ft = int(rng.choice([8, 10, 12, 14, 16]))
    return {
        "length_ft": length_ft,
        "spacing_in": int(rng.choice([12, 16, 24])),
        "layers": int(rng.integers(8, 21)),
    }


def _spaces(length_ft, spacing_in):
    return math.ceil((length_ft * 12 - 2) / spacing_in)


STICKERS = Exercise(
    key="stickers-to-cut",
    lesson="06",
    question="A pile of {length_ft} ft boards, {layers} layers. Stickers at most {spacing_in} in apart, the first "
    "and the last 1 in from the board ends. One row lies on every layer, the top one carries the cover; the lowest "
    "layer lies on the bolsters. How many stickers do you cut?",
    draw=_draw_stickers,
    solve=lambda length_ft, spacing_in, layers: float(
        layers * len(stack.sticker_places_in(length_ft * 12, spacing_in, end_in=1.0))
    ),
    unit="stickers",
    tolerance=0.0,
    steps=lambda length_ft, spacing_in, layers: [
        f"{length_ft} ft = {length_ft * 12} in; from first to last sticker {length_ft * 12 - 2} in.",
        f"{length_ft * 12 - 2} in / {spacing_in} in = {(length_ft * 12 - 2) / spacing_in:.2f}, so "
        f"{_spaces(length_ft, spacing_in)} spaces.",
        f"One more sticker than spaces: {_spaces(length_ft, spacing_in) + 1} in a row.",
        f"{layers} rows x {_spaces(length_ft, spacing_in) + 1} = "
        f"{layers * (_spaces(length_ft, spacing_in) + 1)} stickers.",
    ],
    slips=(
        Slip(
            "spaces were counted, not stickers",
            lambda length_ft, spacing_in, layers: float(layers * _spaces(length_ft, spacing_in)),
            "A fence of six panels has seven posts: there is one more sticker than spaces.",
        ),
        Slip(
            "the row under the cover was left out",
            lambda length_ft, spacing_in, layers: float((layers - 1) * (_spaces(length_ft, spacing_in) + 1)),
            "One row lies on every layer, the top one too.",
        ),
        Slip(
            "spaces were counted, and the row under the cover was left out",
            lambda length_ft, spacing_in, layers: float((layers - 1) * _spaces(length_ft, spacing_in)),
            "One more sticker than spaces in a row, and one row on every layer.",
        ),
    ),
)

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


def _cubic(boards, width_in, length_ft, thick_in):
    return boards * width_in / 12 * length_ft * thick_in / 12


def _heavy_lb(boards, width_in, length_ft, species):
    return moisture.weight_range_lb_per_ft3(species)[1] * _cubic(
        boards, width_in, length_ft, stack.sawn_in(1.0)
    )


WEIGHT = Exercise(
    key="stack-weight",
    lesson="06",
    question="{boards} boards of 4/4 {species}, sawn 1-1/8 in thick, {width_in} in wide and {length_ft} ft long. "
    "Green, the wood weighs {lb_per_ft3} lb per cubic foot. What does the pile weigh?",
    draw=_draw_weight,
    solve=lambda boards, width_in, length_ft, lb_per_ft3, **_: float(
        lb_per_ft3 * _cubic(boards, width_in, length_ft, stack.sawn_in(1.0))
    ),
    unit="lb",
    tolerance=15.0,  # a volume rounded to the tenth of a cubic foot
    steps=lambda boards, width_in, length_ft, species, lb_per_ft3: [
        f"One board: {width_in}/12 ft x {length_ft} ft x 1.125/12 ft = "
        f"{_cubic(1, width_in, length_ft, 1.125):.3f} ft3.",
        f"{boards} boards: {_cubic(boards, width_in, length_ft, 1.125):.1f} ft3.",
        f"x {lb_per_ft3} lb/ft3 = {lb_per_ft3 * _cubic(boards, width_in, length_ft, 1.125):,.0f} lb.",
        f"Build the feet for {_heavy_lb(boards, width_in, length_ft, species):,.0f} lb: up to a fifth over the wettest "
        f"figure for {species}.",
    ],
    slips=(
        Slip(
            "1 in for the sawn thickness",
            lambda boards, width_in, length_ft, lb_per_ft3, **_: (
                lb_per_ft3 * _cubic(boards, width_in, length_ft, 1.0)
            ),
            "A 4/4 board is sawn at 1-1/8 in green, and that eighth weighs too.",
        ),
        Slip(
            "board feet were taken for cubic feet",
            lambda boards, width_in, length_ft, lb_per_ft3, **_: float(
                lb_per_ft3 * boards * width_in * length_ft / 12
            ),
            "A board foot is a twelfth of a cubic foot.",
        ),
        Slip(
            "inches of width were taken for feet",
            lambda boards, width_in, length_ft, lb_per_ft3, **_: (
                12 * lb_per_ft3 * _cubic(boards, width_in, length_ft, 1.125)
            ),
            "Divide the width by 12 to have it in feet.",
        ),
    ),
)

# What a footing carries


def _draw_footing(rng):
    spaces = int(rng.choice([4, 5, 6]))
    weight = int(rng.integers(150, 600)) * 2 * spaces  # comes out whole
    return {"weight_lb": weight, "bolsters": spaces + 1, "spaces": spaces}


FOOTING = Exercise(
    key="footing-load",
    lesson="06",
    question="A pile weighs {weight_lb:,} lb green. It stands on {bolsters} bolsters, evenly spaced from end to "
    "end, each on two footings. An inner bolster carries the wood half-way to its neighbors on both sides. What is "
    "the load on one footing of an inner bolster?",
    draw=_draw_footing,
    solve=lambda weight_lb, spaces, **_: weight_lb / spaces / 2,
    unit="lb",
    tolerance=5.0,
    steps=lambda weight_lb, spaces, bolsters: [
        f"{bolsters} bolsters leave {spaces} spaces. An inner one carries half of two, so one whole space.",
        f"{weight_lb:,} lb / {spaces} = {weight_lb / spaces:,.0f} lb on an inner bolster.",
        f"Two footings: {weight_lb / spaces:,.0f} lb / 2 = {weight_lb / spaces / 2:,.0f} lb.",
    ],
    slips=(
        Slip(
            "the weight was shared evenly among all bolsters",
            lambda weight_lb, bolsters, **_: weight_lb / bolsters / 2,
            "The two at the ends carry only half a space each, so the inner ones carry more than an even share.",
        ),
        Slip(
            "the two footings were forgotten",
            lambda weight_lb, spaces, **_: weight_lb / spaces,
            "Each bolster stands on two footings: halve it.",
        ),
    ),
)

# Spacing


def _draw_spacing(rng):
    near, far = [(16, 24), (16, 32), (12, 24), (12, 18), (18, 24), (20, 30)][int(rng.integers(6))]
    return {"near_in": near, "far_in": far, "bend": int(rng.integers(2, 10))}


SPACING = Exercise(
    key="spacing-fourth-power",
    lesson="06",
    question="Under its own weight a board bends {bend} thousandths of an inch between stickers {near_in} in apart. "
    "How many thousandths does the same board bend between stickers {far_in} in apart?",
    draw=_draw_spacing,
    solve=lambda near_in, far_in, bend: bend * (far_in / near_in) ** 4,
    unit="thousandths of an inch",
    tolerance=0.6,
    steps=lambda near_in, far_in, bend: [
        f"The spacing grows {far_in}/{near_in} = {far_in / near_in:.3f} times.",
        "Bend goes with the fourth power of the span, the ratio four times over: "
        f"{' x '.join(4 * [f'{far_in / near_in:.3f}'])} = {(far_in / near_in) ** 4:.2f}.",
        f"{bend} x {(far_in / near_in) ** 4:.2f} = {bend * (far_in / near_in) ** 4:.1f} thousandths.",
    ],
    slips=(
        Slip("in proportion", lambda near_in, far_in, bend: bend * far_in / near_in,
             "Twice the span bends sixteen times as much: take the ratio to the fourth power."),
        Slip("the square", lambda near_in, far_in, bend: bend * (far_in / near_in) ** 2,
             "The weight grows with the span too: the ratio counts four times over, not twice."),
        Slip("the third power", lambda near_in, far_in, bend: bend * (far_in / near_in) ** 3,
             "That is for one load in the middle. A board's own weight grows with the span: fourth power."),
    ),
    decimals=1,
)  # fmt: skip

# Hidden: a pile that somebody else built


def _draw_plumb(rng):
    return {"shift_in": float(rng.integers(6, 21)) / 2, "spacing_in": 24}


PLUMB = Exercise(
    key="plumb-line",
    lesson="06",
    question="In this pile the even rows of stickers (2, 4, 6) stand in their columns; the odd rows (1, 3, 5, 7) were "
    "laid beside them. Hang the plumb line and find how far the odd rows are off, to the right.",
    draw=_draw_plumb,
    solve=lambda shift_in, **_: shift_in,
    unit="in",
    tolerance=0.5,
    steps=lambda shift_in, spacing_in: [
        "Hang the line through the even rows: it meets one of their stickers at 25.0 in.",
        f"Move it right until it runs through the odd rows: {25 + shift_in:.1f} in.",
        f"The difference is {25 + shift_in:.1f} - 25.0 = {shift_in:.1f} in.",
    ],
    slips=(
        Slip("measured to the left", lambda shift_in, spacing_in: spacing_in - shift_in,
             "That is the way to the next column. Go from a sticker of the even rows to the right."),
        Slip("the place was read, not the difference", lambda shift_in, spacing_in: 25 + shift_in,
             "Take the place of the even rows away from it."),
        Slip("measured from the end of the board", lambda shift_in, spacing_in: 1 + shift_in,
             "The first column stands 1 in from the end. Take that inch away."),
    ),
    decimals=1,
    hidden=("shift_in", "spacing_in"),
)  # fmt: skip

EXERCISES = (STICKERS, WEIGHT, FOOTING, SPACING, PLUMB)
