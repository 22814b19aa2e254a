"""Exercises of lesson 00: the trade's measure, its name for thickness, and how water is counted."""

from woodcalc import logs, moisture
from woodcalc.lesson.exercise import Exercise, Slip

BOARD = Exercise(
    key="board-feet-of-a-board",
    lesson="00",
    question="A rough board is {thickness_in:g} in thick, {width_in} in wide and {length_ft} ft long. How many board "
    "feet is it?",
    draw=lambda rng: {
        "thickness_in": float(rng.choice([1.25, 1.5, 2.0])),
        "width_in": int(rng.integers(5, 13)),
        "length_ft": int(rng.choice([8, 10, 14, 16])),
    },
    solve=lambda thickness_in, width_in, length_ft: logs.board_feet(thickness_in, width_in, length_ft),
    unit="bf",
    tolerance=0.1,
    steps=lambda thickness_in, width_in, length_ft: [
        f"Thickness times width: {thickness_in:g} in x {width_in} in = {thickness_in * width_in:g} square inches.",
        f"Times length in feet: {thickness_in * width_in:g} x {length_ft} ft = "
        f"{thickness_in * width_in * length_ft:g}.",
        f"Divided by 12: {thickness_in * width_in * length_ft / 12:.1f} bf.",
    ],
    slips=(
        Slip(
            "the 12 was forgotten",
            lambda thickness_in, width_in, length_ft: thickness_in * width_in * length_ft,
            "A board foot is 1 in x 12 in x 1 ft, so inches times inches times feet is divided by 12.",
        ),
        Slip(
            "the thickness was forgotten",
            lambda thickness_in, width_in, length_ft: width_in * length_ft / 12,
            "Board feet count wood, not area: a 2 in board holds twice the board feet of a 1 in board.",
        ),
        Slip(
            "divided by 144, as if the length were in inches",
            lambda thickness_in, width_in, length_ft: thickness_in * width_in * length_ft / 144,
            "Divide by 144 only if all three are in inches. With the length in feet it is 12.",
        ),
    ),
    decimals=1,
)

_SPOKEN = (
    (5, "five quarter"),
    (6, "six quarter"),
    (8, "eight quarter"),
    (10, "ten quarter"),
    (12, "twelve quarter"),
)

QUARTERS = Exercise(
    key="quarters-of-an-inch",
    lesson="00",
    question="A board is sold rough as {quarters}/4 (say it: {said}). How many inches thick does that promise?",
    draw=lambda rng: dict(zip(("quarters", "said"), _SPOKEN[int(rng.integers(len(_SPOKEN)))], strict=True)),
    solve=lambda quarters, said: quarters / 4,
    unit="in",
    tolerance=0.01,
    steps=lambda quarters, said: [f"{quarters} quarters of an inch: {quarters} / 4 = {quarters / 4:g} in."],
    slips=(
        Slip(
            "quarters were read as inches",
            lambda quarters, said: float(quarters),
            "Each counts a quarter inch: divide by 4.",
        ),
        Slip(
            "the fraction was turned upside down",
            lambda quarters, said: 4 / quarters,
            "Divide the quarters by 4.",
        ),
        Slip(
            "the planed thickness was given",
            lambda quarters, said: quarters / 4 - 0.25,
            "The name promises the rough thickness; about 1/4 in goes when it is planed.",
        ),
    ),
    decimals=2,
)

WATER = Exercise(
    key="water-in-a-board",
    lesson="00",
    question="A board weighs {wet_lb:g} lb. Dried in an oven until it loses no more, it would weigh {dry_lb:g} lb. "
    "What is its moisture content?",
    draw=lambda rng: (lambda dry, mc: {"wet_lb": dry * (100 + mc) / 100, "dry_lb": float(dry)})(
        int(rng.choice([10, 20])), int(rng.choice([30, 40, 50, 60, 80]))
    ),
    solve=lambda wet_lb, dry_lb: moisture.mc_pct(wet_lb, dry_lb),
    unit="%",
    tolerance=0.5,
    steps=lambda wet_lb, dry_lb: [
        f"Water: {wet_lb:g} - {dry_lb:g} = {wet_lb - dry_lb:g} lb.",
        f"Against the dry wood: {wet_lb - dry_lb:g} / {dry_lb:g} = {100 * (wet_lb - dry_lb) / dry_lb:.0f} %.",
    ],
    slips=(
        Slip(
            "the water was divided by the wet weight (wet basis)",
            lambda wet_lb, dry_lb: 100 * (wet_lb - dry_lb) / wet_lb,
            "In lumber, water is counted against the oven-dry wood: divide by the dry weight.",
        ),
        Slip(
            "wet weight over dry weight, with the wood left in",
            lambda wet_lb, dry_lb: 100 * wet_lb / dry_lb,
            "First take the dry weight away: only the water counts.",
        ),
    ),
)

EXERCISES = (BOARD, QUARTERS, WATER)
