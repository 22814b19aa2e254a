"""Exercises on water in wood."""

import warnings

from woodcalc import moisture as m
from woodcalc import species
from woodcalc.checks import RangeWarning
from woodcalc.lesson.exercise import Exercise, Slip


def _draw_section(rng):
    dry = float(rng.integers(520, 640)) / 10
    return {"wet_g": round(dry * (1 + float(rng.integers(35, 95)) / 100), 1), "dry_g": dry}


def _section(wet_g, dry_g):
    return m.mc_pct(wet_g, dry_g)


_section_exercise = Exercise(
    key="section-from-the-oven",
    lesson="04",
    question="A section weighs {wet_g:g} g when cut and {dry_g:g} g oven-dry. What was its moisture content?",
    draw=_draw_section,
    solve=_section,
    unit="%",
    tolerance=0.15,
    decimals=1,
    steps=lambda wet_g, dry_g: [
        f"Water: {wet_g:g} - {dry_g:g} = {wet_g - dry_g:.1f} g.",
        f"Against the oven-dry wood: {wet_g - dry_g:.1f} / {dry_g:g} x 100 = {_section(wet_g, dry_g):.1f} %.",
    ],
    slips=(
        Slip(
            "wet basis",
            lambda wet_g, dry_g: 100 * (wet_g - dry_g) / wet_g,
            "Divide the water by the oven-dry weight, not by the wet one.",
        ),
        Slip(
            "forgot to take 100 away",
            lambda wet_g, dry_g: 100 * wet_g / dry_g,
            "That is the whole wet piece as a percentage of the dry one; the water is what is above 100.",
        ),
        Slip(
            "grams for percent",
            lambda wet_g, dry_g: wet_g - dry_g,
            "Divide the water by the oven-dry weight.",
        ),
    ),
)


def _draw_board(rng):
    first = float(rng.integers(500, 850)) / 10
    board = {
        "first_pct": first,
        "second_pct": round(
            first + float(rng.choice([-9, -7, -5, 5, 7, 9])) + float(rng.integers(0, 9)) / 10, 1
        ),
        "green_lb": float(rng.integers(380, 620)) / 100,
    }
    dry = board["green_lb"] / (1 + (board["first_pct"] + board["second_pct"]) / 200)
    return board | {"now_lb": round(dry * (1 + float(rng.integers(18, 46)) / 100), 2)}


def _sample(first_pct, second_pct, green_lb):
    return m.SampleBoard(((100 + first_pct, 100.0), (100 + second_pct, 100.0)), green_lb)


def _board(first_pct, second_pct, green_lb, now_lb):
    return _sample(first_pct, second_pct, green_lb).mc_now_pct(now_lb)


def _board_steps(first_pct, second_pct, green_lb, now_lb):
    board = _sample(first_pct, second_pct, green_lb)
    return [
        f"Start: ({first_pct:g} + {second_pct:g}) / 2 = {board.start_mc_pct:.1f} %.",
        f"Oven-dry weight: {green_lb:g} lb / (1 + {board.start_mc_pct:.1f}/100) = {board.oven_dry:.2f} lb.",
        f"Now: ({now_lb:g} / {board.oven_dry:.2f} - 1) x 100 = {board.mc_now_pct(now_lb):.1f} %.",
    ]


_board_exercise = Exercise(
    key="sample-board-now",
    lesson="04",
    question=(
        "Two sections of a sample board came out at {first_pct:g} % and {second_pct:g} %. The board weighed "
        "{green_lb:.2f} lb right after they were cut, and weighs {now_lb:.2f} lb now. What is its moisture content?"
    ),
    draw=_draw_board,
    solve=_board,
    unit="%",
    tolerance=0.6,  # weights kept to 0.01 lb on paper move the answer by half a point
    decimals=1,
    steps=_board_steps,
    slips=(
        Slip(
            "weight lost, in percent, taken off the start",
            lambda first_pct, second_pct, green_lb, now_lb: (
                (first_pct + second_pct) / 2 - 100 * (green_lb - now_lb) / green_lb
            ),
            "A percentage of the green weight is not a point of moisture content. Find the oven-dry weight first.",
        ),
        Slip(
            "wet basis",
            lambda first_pct, second_pct, green_lb, now_lb: m.wet_basis_pct(
                _board(first_pct, second_pct, green_lb, now_lb)
            ),
            "Divide the water that is left by the oven-dry weight, not by the weight now.",
        ),
        Slip(
            "only the first section",
            lambda first_pct, second_pct, green_lb, now_lb: _board(first_pct, first_pct, green_lb, now_lb),
            "Take the mean of both sections.",
        ),
        Slip(
            "only the second section",
            lambda first_pct, second_pct, green_lb, now_lb: _board(second_pct, second_pct, green_lb, now_lb),
            "Take the mean of both sections.",
        ),
        Slip(
            "took the moisture content off the weight as a percentage of the green weight",
            lambda first_pct, second_pct, green_lb, now_lb: (
                100 * (now_lb / (green_lb * (1 - (first_pct + second_pct) / 200)) - 1)
            ),
            "The oven-dry weight is the green weight divided by (1 + MC/100).",
        ),
    ),
)

_HEAVY = (
    "northern red oak",
    "white oak",
    "black walnut",
    "sugar maple",
    "white ash",
    "yellow-poplar",
    "red pine",
)


def _draw_load(rng):
    wood = species.get(str(rng.choice(_HEAVY)))
    return {
        "wood": wood.name,
        "sg": wood.basic_sg,
        "mc_pct": int(round(wood.green_mc_pct / 5) * 5),
        "board_feet": int(rng.choice([200, 300, 400, 480, 600])),
    }


def _load(wood, sg, mc_pct, board_feet):
    return m.lumber_weight_lb(board_feet, wood, mc_pct, 1.125)


def _load_for(wood, board_feet):
    return board_feet / 12 * 1.125 * m.weight_range_lb_per_ft3(wood)[1]


_load_exercise = Exercise(
    key="load-of-green-lumber",
    lesson="04",
    question=(
        "{board_feet} board feet of 4/4 {wood}, sawn 1-1/8 in thick, go on a trailer at {mc_pct} % moisture content. "
        "Specific gravity {sg:g}; water weighs 62.4 lb a cubic foot. What does the lumber weigh?"
    ),
    draw=_draw_load,
    solve=_load,
    unit="lb",
    tolerance=12,
    steps=lambda wood, sg, mc_pct, board_feet: [
        f"Wood and water in a green cubic foot: 62.4 x {sg:g} x (1 + {mc_pct}/100) = "
        f"{62.43 * sg * (1 + mc_pct / 100):.1f} lb.",
        f"Cubic feet: {board_feet} bf / 12 x 1.125 = {board_feet / 12 * 1.125:.1f} ft3.",
        f"Together {_load(wood, sg, mc_pct, board_feet):,.0f} lb.",
        f"Take a trailer that may carry {_load_for(wood, board_feet):,.0f} lb: up to a fifth over the wettest "
        f"figure for {wood}.",
    ],
    slips=(
        Slip(
            "forgot that 4/4 is sawn over an inch thick",
            lambda wood, sg, mc_pct, board_feet: m.lumber_weight_lb(board_feet, wood, mc_pct, 1.0),
            "A board foot is tallied at 1 in; the saw left 1-1/8 in. Multiply by 1.125.",
        ),
        Slip(
            "left the water out",
            lambda wood, sg, mc_pct, board_feet: m.lumber_weight_lb(board_feet, wood, 0, 1.125),
            "Multiply by (1 + MC/100): green lumber carries its water along.",
        ),
        Slip(
            "the water alone",
            lambda wood, sg, mc_pct, board_feet: (
                _load(wood, sg, mc_pct, board_feet) - m.lumber_weight_lb(board_feet, wood, 0, 1.125)
            ),
            "The wood itself weighs too: 1 + MC/100, not MC/100.",
        ),
        Slip(
            "board feet for cubic feet",
            lambda wood, sg, mc_pct, board_feet: 12 * _load(wood, sg, mc_pct, board_feet),
            "Twelve board feet make a cubic foot.",
        ),
    ),
)


def _draw_meter(rng):
    return {
        "reading_pct": float(rng.integers(20, 50)) / 2,
        "temp_f": int(rng.choice([30, 40, 50, 55, 85, 90, 95])),
    }


def _meter(reading_pct, temp_f):
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", RangeWarning)
        return m.meter_corrected_pct(reading_pct, temp_f)


_meter_exercise = Exercise(
    key="cold-meter",
    lesson="04",
    question=(
        "A pin meter made for wood at 70 F shows {reading_pct:g} % on boards at {temp_f} F. "
        "What is the reading once corrected for temperature?"
    ),
    draw=_draw_meter,
    solve=_meter,
    unit="%",
    tolerance=0.1,
    decimals=2,
    steps=lambda reading_pct, temp_f: [
        f"The wood is {abs(70 - temp_f)} F {'colder' if temp_f < 70 else 'warmer'} than 70 F.",
        f"Half a point for 10 F: {abs(70 - temp_f) / 20:.2f} points, "
        f"{'added' if temp_f < 70 else 'taken off'}: {_meter(reading_pct, temp_f):.2f} %.",
    ],
    slips=(
        Slip(
            "the wrong way",
            lambda reading_pct, temp_f: 2 * reading_pct - _meter(reading_pct, temp_f),
            "Cold wood reads too dry, so add; warm wood reads too wet, so take off.",
        ),
        Slip(
            "a whole point for 10 F",
            lambda reading_pct, temp_f: 2 * _meter(reading_pct, temp_f) - reading_pct,
            "It is half a point for every 10 F.",
        ),
        Slip("no correction", lambda reading_pct, temp_f: reading_pct, "Correct for the wood's temperature."),
    ),
)


def _end_mc(board_mc_pct):
    from woodcalc.figures.moisture import mc_along_pct

    return float(mc_along_pct(2, board_mc_pct))


def _first_setting(board_mc_pct):
    from woodcalc.figures.moisture import section_weights_g

    return m.mc_pct(*section_weights_g(6, 2, 1.0, board_mc_pct))


def _short(board_mc_pct):
    from woodcalc.figures.moisture import section_weights_g

    return m.mc_pct(*section_weights_g(6, 30, 0.1, board_mc_pct))


_hidden_exercise = Exercise(
    key="oven-test-of-a-board",
    lesson="04",
    question=(
        "Nobody has told you the moisture content of this board, away from its ends. Set the panel so that the test "
        "can be trusted, read the two weights, and work it out."
    ),
    draw=lambda rng: {"board_mc_pct": float(rng.integers(96, 190)) / 2},
    solve=lambda board_mc_pct: board_mc_pct,
    unit="%",
    tolerance=1.0,
    decimals=1,
    steps=lambda board_mc_pct: [
        "Cut the section as far from the bare end as you can, weigh to 0.1 g or better, leave it in 24 h or more.",
        f"Wet {55 * (1 + board_mc_pct / 100):.1f} g or close to it, oven-dry 55.0 g.",
        f"({55 * (1 + board_mc_pct / 100):.1f} / 55.0 - 1) x 100 = {board_mc_pct:.1f} %.",
    ],
    slips=(
        Slip(
            "section from the dry end",
            _end_mc,
            "Wood dries fastest through its ends. Cut the section well away from there.",
        ),
        Slip(
            "taken out of the oven too early",
            _short,
            "Leave it in until it loses no more weight: a day, as a rule.",
        ),
        Slip(
            "every dial where it stood",
            _first_setting,
            "Six hours, two inches from the end, and a scale that reads whole grams: three mistakes at once.",
        ),
        Slip(
            "wet basis",
            lambda board_mc_pct: m.wet_basis_pct(board_mc_pct),
            "Divide the water by the oven-dry weight, not by the wet one.",
        ),
    ),
    hidden=("board_mc_pct",),
)

EXERCISES = (_section_exercise, _board_exercise, _load_exercise, _meter_exercise, _hidden_exercise)
