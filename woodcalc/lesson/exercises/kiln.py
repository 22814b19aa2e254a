"""Exercises of lesson 09: the last points."""

import numpy as np

from woodcalc import kiln, species
from woodcalc.figures.kiln import sample_board
from woodcalc.lesson.exercise import Exercise, Slip

# Water to take out


def _draw_water(rng):
    wood = str(rng.choice(["northern red oak", "black cherry", "black walnut", "yellow-poplar", "white oak"]))
    return {
        "wood": wood,
        "sg": species.get(wood).basic_sg,
        "load_bf": int(rng.choice([240, 300, 360, 480, 600])),
        "mc_from": int(rng.choice([14, 16, 18, 20, 24])),
        "mc_to": int(rng.choice([6, 7, 8])),
    }


def _water(load_bf, sg, mc_from, mc_to, **_):
    return load_bf / 12 * species.WATER_LB_PER_FT3 * sg * (mc_from - mc_to) / 100


WATER = Exercise(
    key="water-to-take-out",
    lesson="09",
    question="A charge of {load_bf} bf of {wood} (specific gravity {sg:g}) goes from {mc_from} % to {mc_to} %. "
    "How many pounds of water must leave it? A cubic foot is 12 bf; water weighs 62.43 lb a cubic foot, and the "
    "specific gravity is that of the oven-dry wood.",
    draw=_draw_water,
    solve=_water,
    unit="lb",
    tolerance=1.5,
    steps=lambda load_bf, sg, mc_from, mc_to, **_: [
        f"{load_bf} bf / 12 = {load_bf / 12:g} ft3 of wood.",
        f"{load_bf / 12:g} ft3 x 62.43 lb/ft3 x {sg:g} = {load_bf / 12 * 62.43 * sg:,.0f} lb of oven-dry wood.",
        f"{mc_from} % - {mc_to} % = {mc_from - mc_to} % of the oven-dry weight.",
        f"{load_bf / 12 * 62.43 * sg:,.0f} lb x {(mc_from - mc_to) / 100:g} = "
        f"{_water(load_bf, sg, mc_from, mc_to):.0f} lb of water.",
    ],
    slips=(
        Slip(
            "a board foot was taken for a cubic foot",
            lambda **n: 12 * _water(**n),
            "Twelve board feet make one cubic foot: divide the load by 12 first.",
        ),
        Slip(
            "all the water at the start was counted",
            lambda **n: _water(**{**n, "mc_to": 0}),
            "Some water stays: count from the start down to the target only.",
        ),
        Slip(
            "the percent were taken of the wet weight",
            lambda mc_from, **n: _water(mc_from=mc_from, **n) * (1 + mc_from / 100),
            "Moisture content counts in percent of the oven-dry weight, not of the weight on the scale.",
        ),
        Slip(
            "the specific gravity was left out",
            lambda sg, **n: _water(sg=1.0, **n),
            "Wood is lighter than water: times the specific gravity.",
        ),
    ),
)

# Is it too fast?


def _draw_loss(rng):
    dry = float(rng.choice([4.2, 4.8, 5.0, 5.5, 6.0]))
    before = round(dry * (1 + float(rng.choice([62, 58, 54, 49, 45])) / 100), 2)
    return {
        "dry_lb": dry,
        "before_lb": before,
        "after_lb": round(before - dry * float(rng.choice([2.8, 3.4, 4.4, 5.2])) / 100, 2),
    }


def _loss(dry_lb, before_lb, after_lb):
    return 100 * (before_lb - after_lb) / dry_lb


LOSS = Exercise(
    key="loss-in-a-day",
    lesson="09",
    question="A sample board of red oak, 4/4, has an oven-dry weight of {dry_lb:.2f} lb. Yesterday morning it "
    "weighed {before_lb:.2f} lb, this morning {after_lb:.2f} lb. How much moisture content did it lose in the day, in "
    "percent of the oven-dry weight? (Red oak 4/4 stands 3.8 % a day.)",
    draw=_draw_loss,
    solve=_loss,
    unit="% a day",
    tolerance=0.1,
    steps=lambda dry_lb, before_lb, after_lb: [
        f"{before_lb:.2f} lb - {after_lb:.2f} lb = {before_lb - after_lb:.2f} lb of water.",
        f"{before_lb - after_lb:.2f} lb / {dry_lb:.2f} lb x 100 = {_loss(dry_lb, before_lb, after_lb):.1f} % a day.",
        "Above 3.8 % a day: too fast, cover part of the glass."
        if _loss(dry_lb, before_lb, after_lb) > 3.8
        else "Below 3.8 % a day: carry on.",
    ],
    slips=(
        Slip(
            "divided by the weight of the wet board",
            lambda dry_lb, before_lb, after_lb: 100 * (before_lb - after_lb) / before_lb,
            "Divide by the oven-dry weight; it stays the same from day to day.",
        ),
        Slip(
            "the loss in pounds was taken for percent",
            lambda dry_lb, before_lb, after_lb: 100 * (before_lb - after_lb),
            "Set the pounds lost against the oven-dry weight.",
        ),
        Slip(
            "the moisture content of today was given",
            lambda dry_lb, before_lb, after_lb: 100 * (after_lb / dry_lb - 1),
            "The question is how much it lost in one day.",
        ),
    ),
    decimals=1,
)

# What it costs


def _draw_cost(rng):
    return {
        "fan_w": int(rng.choice([75, 120, 150, 180])),
        "fan_h": int(rng.choice([8, 10, 12])),
        "days": int(rng.choice([28, 30, 35, 42])),
        "cents": int(rng.choice([12, 15, 18, 20])),
    }


def _cost(fan_w, fan_h, days, cents):
    return fan_w * fan_h * days / 1000 * cents / 100


COST = Exercise(
    key="what-the-fans-cost",
    lesson="09",
    question="The fans of a solar kiln draw {fan_w} W together. They run {fan_h} hours a day for {days} days, and a "
    "kilowatt-hour costs {cents} cents. What do the fans cost?",
    draw=_draw_cost,
    solve=_cost,
    unit="dollars",
    tolerance=0.1,
    steps=lambda fan_w, fan_h, days, cents: [
        f"{fan_w} W x {fan_h} h = {fan_w * fan_h:,} Wh a day = {fan_w * fan_h / 1000:g} kWh a day.",
        f"{fan_w * fan_h / 1000:g} kWh x {days} days = {fan_w * fan_h * days / 1000:g} kWh.",
        f"{fan_w * fan_h * days / 1000:g} kWh x ${cents / 100:.2f} = ${_cost(fan_w, fan_h, days, cents):.2f}.",
    ],
    slips=(
        Slip(
            "watts were taken for kilowatts",
            lambda **n: 1000 * _cost(**n),
            "A kilowatt is 1,000 watts: divide by 1,000.",
        ),
        Slip(
            "the fans ran day and night",
            lambda fan_h, **n: _cost(fan_h=24, **n),
            "Count only the hours that they run.",
        ),
        Slip("cents were taken for dollars", lambda **n: 100 * _cost(**n), "100 cents are one dollar."),
        Slip("only one day was counted", lambda days, **n: _cost(days=1, **n), "Times the number of days."),
    ),
    decimals=2,
)

# The end of the run


def _draw_end(rng):
    return {
        "kind": str(rng.choice(["hardwood", "softwood"])),
        "target": int(rng.choice([6, 7, 8, 9])),
        "temp_f": int(rng.choice([160, 170, 180])),
    }


def _conditioning(kind, target, temp_f):
    return kiln.condition(target, temp_f, kind).emc_pct


END = Exercise(
    key="air-for-conditioning",
    lesson="09",
    question="A kiln run of {kind} is at its target of {target} %, and the prongs turn in. The kiln is at {temp_f} F "
    "and has a mist nozzle. To what EMC do you set its air to take the stress out? (Equalizing holds the air 2 "
    "points of EMC below the target, 3 for softwoods; conditioning 4 points above it, 3 for softwoods.)",
    draw=_draw_end,
    solve=_conditioning,
    unit="% EMC",
    tolerance=0.25,
    steps=lambda kind, target, temp_f: [
        f"It wants air {_conditioning(kind, target, temp_f) - target:g} points above the target for {kind}.",
        f"{target} + {_conditioning(kind, target, temp_f) - target:g} = {_conditioning(kind, target, temp_f):g} % EMC.",
        f"At {temp_f} F that is {kiln.condition(target, temp_f, kind).rh_pct:.0f} % humidity, a wet bulb of "
        f"{kiln.condition(target, temp_f, kind).wet_bulb_f:.0f} F.",
    ],
    slips=(
        Slip(
            "that is equalizing, below the target",
            lambda kind, target, temp_f: kiln.equalize(target, temp_f, kind).emc_pct,
            "Equalizing, below the target, lets wet boards catch up. Taking stress out puts water back: go above it.",
        ),
        Slip(
            "hardwood and softwood were swapped",
            lambda kind, target, temp_f: _conditioning(
                "softwood" if kind == "hardwood" else "hardwood", target, temp_f
            ),
            "4 points for hardwoods, 3 for softwoods.",
        ),
        Slip(
            "the target itself was given",
            lambda target, **_: float(target),
            "Air at the target changes nothing: the dry shell must take up water.",
        ),
    ),
    decimals=1,
)

# Measure it on the panel


def _draw_hidden(rng):
    return {
        "collector_ft2": int(rng.choice([60, 80, 100, 120, 140])),
        "start_pct": int(rng.choice([70, 75, 80])),
        "dry_lb": float(rng.choice([4.8, 5.0, 5.6, 6.2])),
    }


def _worst(collector_ft2, start_pct, dry_lb):
    weight, _ = sample_board(collector_ft2, start_pct, dry_lb)
    return float(100 * (weight[:-1] - weight[1:]).max() / dry_lb)


def _mornings(collector_ft2, start_pct, dry_lb):
    weight, _ = sample_board(collector_ft2, start_pct, dry_lb)
    day = int(np.argmax(weight[:-1] - weight[1:]))
    return day, float(weight[day]), float(weight[day + 1])


def _hidden_steps(collector_ft2, start_pct, dry_lb):
    day, before, after = _mornings(collector_ft2, start_pct, dry_lb)
    worst = _worst(collector_ft2, start_pct, dry_lb)
    return [
        f"The greatest drop is from morning {day} ({before:.2f} lb) to morning {day + 1} ({after:.2f} lb): "
        f"{before - after:.2f} lb.",
        f"{before - after:.2f} lb / {dry_lb:.2f} lb x 100 = {worst:.1f} % a day.",
        f"That is {'more' if worst > 3.8 else 'less'} than the 3.8 % that red oak stands: "
        + ("cover part of the glass." if worst > 3.8 else "this kiln may go on as it is."),
    ]


BOARD = Exercise(
    key="kiln-sample-board",
    lesson="09",
    question="Green red oak, 4/4, is in a solar kiln. Weigh the sample board morning by morning (0 to 10). What is the "
    "greatest loss of moisture content in any one day, in percent of the oven-dry weight?",
    draw=_draw_hidden,
    solve=_worst,
    unit="% a day",
    tolerance=0.15,
    steps=_hidden_steps,
    slips=(
        Slip(
            "the mean of the ten days",
            lambda collector_ft2, start_pct, dry_lb: (
                10 * float(-np.diff(sample_board(collector_ft2, start_pct, dry_lb)[0][[0, -1]])[0]) / dry_lb
            ),
            "The worst day is what checks the wood, not the average one: look at each pair of mornings.",
        ),
        Slip(
            "divided by the weight of the wet board",
            lambda **n: 100 * (_mornings(**n)[1] - _mornings(**n)[2]) / _mornings(**n)[1],
            "Divide by the oven-dry weight.",
        ),
        Slip(
            "the first day was taken",
            lambda collector_ft2, start_pct, dry_lb: float(
                -100 * np.diff(sample_board(collector_ft2, start_pct, dry_lb)[0][:2])[0] / dry_lb
            ),
            "The kiln is still warming up on the first day: go on to the later mornings.",
        ),
    ),
    decimals=1,
    hidden=("collector_ft2", "start_pct"),
)

EXERCISES = (WATER, LOSS, COST, END, BOARD)
