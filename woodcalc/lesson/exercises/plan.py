"""Exercises of lesson 11: the sums that decide whether a plan holds."""

import math

from woodcalc.lesson.exercise import Exercise, Slip
from woodcalc.logs import BARK_SHARE
from woodcalc.moisture import weight_margin

# Loads to the mill

_MARGIN = (1 + weight_margin()) * (1 + BARK_SHARE)  # heavy figure over likely, of a wood without wet sapwood


def _draw_loads(rng):
    # until the margin costs two trips, so that no two slips come out alike, and the last load is a part
    while True:
        likely = int(rng.integers(9, 30)) * 500
        high = round(_MARGIN * likely / 100) * 100
        rating = int(rng.choice([1500, 2000, 2500]))
        if math.ceil(high / rating) > math.ceil(likely / rating) + 1 and high % rating:
            return {"likely_lb": likely, "high_lb": high, "rating_lb": rating}


def _loads(likely_lb, high_lb, rating_lb):
    return float(math.ceil(high_lb / rating_lb))


LOADS = Exercise(
    key="loads-to-the-mill",
    lesson="11",
    question="The plan says that the logs weigh about {likely_lb:,} lb, and to load by {high_lb:,} lb. The trailer may "
    "carry {rating_lb:,} lb. In how many loads do you bring them, at the least?",
    draw=_draw_loads,
    solve=_loads,
    unit="loads",
    tolerance=0.01,
    steps=lambda likely_lb, high_lb, rating_lb: [
        f"Load by the heavier figure: {high_lb:,} lb.",
        f"{high_lb:,} / {rating_lb:,} = {high_lb / rating_lb:.2f} loads.",
        f"A part of a load is a trip too: {_loads(likely_lb, high_lb, rating_lb):.0f} loads, and one more if the logs "
        f"do "
        "not share out evenly.",
    ],
    slips=(
        Slip(
            "the likely weight in place of the heavy one",
            lambda likely_lb, high_lb, rating_lb: float(math.ceil(likely_lb / rating_lb)),
            "Half of all tallies are heavier than likely. Load by the figure with the margin.",
        ),
        Slip(
            "rounded down",
            lambda likely_lb, high_lb, rating_lb: float(math.floor(high_lb / rating_lb)),
            "The rest of the logs does not walk: round up.",
        ),
        Slip(
            "not rounded",
            lambda likely_lb, high_lb, rating_lb: high_lb / rating_lb,
            "Loads come whole: round up.",
        ),
    ),
)

# Board feet to reckon with


def _draw_reckon(rng):
    return {"best_bf": int(rng.integers(8, 40)) * 25, "lost_pct": int(rng.choice([10, 15, 20])),
            "defect_pct": int(rng.choice([10, 20, 25, 30]))}  # fmt: skip


def _reckon(best_bf, lost_pct, defect_pct):
    return best_bf * (1 - lost_pct / 100) * (1 - defect_pct / 100)


RECKON = Exercise(
    key="board-feet-to-reckon-with",
    lesson="11",
    question="The best sawing of some logs would give {best_bf} bf. {defect_pct} % of the wood is rotten, and of what "
    "is "
    "sound you reckon to lose {lost_pct} % to miscuts, wane and knots. What board feet do you plan with?",
    draw=_draw_reckon,
    solve=_reckon,
    unit="bf",
    tolerance=1.0,
    steps=lambda best_bf, lost_pct, defect_pct: [
        f"Sound: {best_bf} x {1 - defect_pct / 100:.2f} = {best_bf * (1 - defect_pct / 100):.1f} bf.",
        f"Of these {100 - lost_pct} % are left: x {1 - lost_pct / 100:.2f} = "
        f"{_reckon(best_bf, lost_pct, defect_pct):.1f} bf.",
    ],
    slips=(
        Slip(
            "the two shares added",
            lambda best_bf, lost_pct, defect_pct: best_bf * (1 - (lost_pct + defect_pct) / 100),
            "The second loss comes off what the first one leaves: multiply what is left twice.",
        ),
        Slip(
            "the rot forgotten",
            lambda best_bf, lost_pct, defect_pct: best_bf * (1 - lost_pct / 100),
            "Take the rotten share off too.",
        ),
        Slip(
            "what is lost in place of what is left",
            lambda best_bf, lost_pct, defect_pct: best_bf - _reckon(best_bf, lost_pct, defect_pct),
            "That is what is lost. How much is left?",
        ),
    ),
)

# Dollars for a board foot


def _draw_cost(rng):
    sawn = int(rng.integers(10, 41)) * 50
    return {"paid_usd": int(rng.integers(6, 21)) * 50, "hours": int(rng.integers(4, 13)) * 10,
            "usd_per_hour": int(rng.choice([10, 12, 15, 20])), "sawn_bf": sawn,
            "doyle_bf": round(sawn * 0.75 / 10) * 10}  # fmt: skip


def _cost(paid_usd, hours, usd_per_hour, sawn_bf, doyle_bf):
    return (paid_usd + hours * usd_per_hour) / sawn_bf


COST = Exercise(
    key="dollars-a-board-foot",
    lesson="11",
    question="A tally of {doyle_bf:,} bf by Doyle was sawn to {sawn_bf:,} bf of boards. ${paid_usd:,} were paid, and "
    "the work "
    "took {hours} hours, worth ${usd_per_hour} each. What does a board foot of lumber cost?",
    draw=_draw_cost,
    solve=_cost,
    unit="$ a board foot",
    tolerance=0.011,
    steps=lambda paid_usd, hours, usd_per_hour, sawn_bf, doyle_bf: [
        f"Worth of the hours: {hours} x ${usd_per_hour} = ${hours * usd_per_hour:,}.",
        f"In all ${paid_usd:,} + ${hours * usd_per_hour:,} = ${paid_usd + hours * usd_per_hour:,}.",
        f"Over the boards that are there: / {sawn_bf:,} bf = "
        f"${_cost(paid_usd, hours, usd_per_hour, sawn_bf, doyle_bf):.2f} a board foot.",
    ],
    slips=(
        Slip(
            "divided by the Doyle scale of the logs",
            lambda paid_usd, hours, usd_per_hour, sawn_bf, doyle_bf: (
                (paid_usd + hours * usd_per_hour) / doyle_bf
            ),
            "Divide by the boards that you have, not by what a log rule promised.",
        ),
        Slip(
            "the hours left out",
            lambda paid_usd, hours, usd_per_hour, sawn_bf, doyle_bf: paid_usd / sawn_bf,
            "Add the worth of the hours.",
        ),
        Slip(
            "the money paid left out",
            lambda paid_usd, hours, usd_per_hour, sawn_bf, doyle_bf: hours * usd_per_hour / sawn_bf,
            "Add what was paid.",
        ),
    ),
    decimals=2,
)

# How much of the water leaves outdoors


def _draw_share(rng):
    return {
        "green_pct": int(rng.integers(55, 100)),
        "stop_pct": int(rng.integers(12, 18)),
        "target_pct": int(rng.choice([6, 7, 8])),
    }


def _share(green_pct, stop_pct, target_pct):
    return 100 * (green_pct - stop_pct) / (green_pct - target_pct)


SHARE = Exercise(
    key="share-of-water-outdoors",
    lesson="11",
    question="Boards are sawn at {green_pct} % moisture content, stop at {stop_pct} % outdoors, and must come to "
    "{target_pct} % for "
    "a table. What share of all the water that must leave goes outdoors, for nothing?",
    draw=_draw_share,
    solve=_share,
    unit="%",
    tolerance=0.6,
    steps=lambda green_pct, stop_pct, target_pct: [
        f"All that must leave: {green_pct} - {target_pct} = {green_pct - target_pct} points.",
        f"Outdoors: {green_pct} - {stop_pct} = {green_pct - stop_pct} points.",
        f"{green_pct - stop_pct} / {green_pct - target_pct} = {_share(green_pct, stop_pct, target_pct):.0f} %.",
    ],
    slips=(
        Slip(
            "a share of all the water in the board",
            lambda green_pct, stop_pct, target_pct: 100 * (green_pct - stop_pct) / green_pct,
            "The last points stay in the table: divide by the water that must leave.",
        ),
        Slip(
            "the share that is left for indoors",
            lambda green_pct, stop_pct, target_pct: 100 - _share(green_pct, stop_pct, target_pct),
            "That is the indoor share. The question is about outdoors.",
        ),
        Slip(
            "a fraction instead of percent",
            lambda green_pct, stop_pct, target_pct: _share(green_pct, stop_pct, target_pct) / 100,
            "Times 100 makes it percent.",
        ),
    ),
)

# A hidden month

MONTH = Exercise(
    key="the-hidden-month",
    lesson="11",
    question="Somebody weighed a stack of red oak 4/4 at Madison every two weeks and forgot to write down when it was "
    "built. "
    "Try months until the forecast runs through the weighings. In the middle of which month was it stacked (1 to 12)?",
    draw=lambda rng: {"month": int(rng.choice([1, 2, 3, 4, 5, 8, 9, 10, 11, 12]))},
    solve=lambda month: float(month),
    unit="",
    tolerance=0.01,
    steps=lambda month: [
        "Look at the first 60 days: steep means summer, flat means winter.",
        "Move the month until the sentence under the picture says 0.0 points.",
        f"That is month {month}.",
    ],
    slips=(
        Slip(
            "a month too late",
            lambda month: float(month % 12 + 1),
            "Look at the first weeks again: one month earlier?",
        ),
        Slip(
            "a month too early",
            lambda month: float((month - 2) % 12 + 1),
            "Look at the first weeks again: one month later?",
        ),
    ),
    hidden=("month",),
)

EXERCISES = (LOADS, RECKON, SHARE, COST, MONTH)
