"""Exercises of lesson 08: what readings say, and what a tally holds."""

from woodcalc import moisture
from woodcalc.lesson.exercise import Exercise, Slip
from woodcalc.shrinkage import nominal_in

# A weight, and the oven-dry weight behind it


def _draw_sample(rng):
    dry = float(rng.integers(32, 60)) / 4
    mc = int(rng.integers(24, 76))
    return {"wet_lb": round(dry * (1 + mc / 100) * 20) / 20, "dry_lb": dry}


def _mc(wet_lb, dry_lb):
    return moisture.mc_pct(wet_lb, dry_lb)


SAMPLE = Exercise(
    key="mc-of-the-sample-board",
    lesson="08",
    question="The sample board in your stack weighs {wet_lb:.2f} lb today. From its two sections you worked out that "
    "it would weigh {dry_lb:.2f} lb oven-dry. What is its moisture content?",
    draw=_draw_sample,
    solve=_mc,
    unit="% MC",
    tolerance=0.6,
    steps=lambda wet_lb, dry_lb: [
        f"Water in the board: {wet_lb:.2f} - {dry_lb:.2f} = {wet_lb - dry_lb:.2f} lb.",
        f"For each pound of oven-dry wood: {wet_lb - dry_lb:.2f} / {dry_lb:.2f} = {(wet_lb - dry_lb) / dry_lb:.3f}.",
        f"x 100: {_mc(wet_lb, dry_lb):.1f} % MC.",
    ],
    slips=(
        Slip(
            "water divided by the wet weight",
            lambda wet_lb, dry_lb: 100 * (wet_lb - dry_lb) / wet_lb,
            "Wood's moisture content is water over oven-dry weight, the smaller of your two numbers.",
        ),
        Slip(
            "a share instead of percent",
            lambda wet_lb, dry_lb: (wet_lb - dry_lb) / dry_lb,
            "Times 100 makes it percent.",
        ),
        Slip(
            "wet weight over dry weight",
            lambda wet_lb, dry_lb: 100 * wet_lb / dry_lb,
            "Take the wood away first: only the water counts.",
        ),
    ),
    decimals=1,
)

# How fast is it losing


def _draw_loss(rng):
    first = float(rng.integers(46, 76))
    days = int(rng.choice([7, 10, 14, 21]))
    one = int(rng.integers(3, 20))
    drop = round(float(rng.uniform(0.45, 1.3)) * days, 0)
    return {"first_pct": first, "second_pct": first - drop, "day_one": one, "day_two": one + days}


def _loss(first_pct, second_pct, day_one, day_two):
    return (first_pct - second_pct) / (day_two - day_one)


LOSS = Exercise(
    key="loss-a-day",
    lesson="08",
    question="On day {day_one} the sample board stood at {first_pct:.0f} % MC, on day {day_two} at {second_pct:.0f} "
    "%. How "
    "many points of moisture content did it lose a day?",
    draw=_draw_loss,
    solve=_loss,
    unit="points a day",
    tolerance=0.02,
    steps=lambda first_pct, second_pct, day_one, day_two: [
        f"It lost {first_pct:.0f} - {second_pct:.0f} = {first_pct - second_pct:.0f} points.",
        f"In {day_two} - {day_one} = {day_two - day_one} days.",
        f"{first_pct - second_pct:.0f} / {day_two - day_one} = "
        f"{_loss(first_pct, second_pct, day_one, day_two):.2f} points a day. Compare it with the safe loss of your "
        f"wood.",
    ],
    slips=(
        Slip(
            "both end days counted",
            lambda first_pct, second_pct, day_one, day_two: (
                (first_pct - second_pct) / (day_two - day_one + 1)
            ),
            "From day 3 to day 4 is one day: take the smaller number from the larger.",
        ),
        Slip(
            "all days since stacking counted",
            lambda first_pct, second_pct, day_one, day_two: (first_pct - second_pct) / day_two,
            "Only the days between the two weighings count.",
        ),
        Slip(
            "a week's loss",
            lambda first_pct, second_pct, day_one, day_two: (
                7 * (first_pct - second_pct) / (day_two - day_one)
            ),
            "Divide by the days, not by the weeks.",
        ),
        Slip(
            "percent of what was there",
            lambda first_pct, second_pct, day_one, day_two: (
                100 * (1 - second_pct / first_pct) / (day_two - day_one)
            ),
            "Points: take one moisture content from the other and leave it at that.",
        ),
    ),
    decimals=2,
)

# Pace, and what it does to the days that are left


def _draw_pace(rng):
    usual = int(rng.choice([30, 40, 45, 50, 60, 75]))
    pace = float(rng.choice([0.6, 0.7, 0.75, 0.8, 1.2, 1.25, 1.4, 1.5]))
    return {"usual_days": usual, "days": round(usual / pace)}


PACE = Exercise(
    key="pace-from-days",
    lesson="08",
    question="Wood like yours usually takes {usual_days} days on sticks to come down to 30 %. Your stack took {days}. "
    "At "
    "what pace does it dry, if the usual pace is 1?",
    draw=_draw_pace,
    solve=lambda usual_days, days: usual_days / days,
    unit="of the usual pace",
    tolerance=0.015,
    steps=lambda usual_days, days: [
        f"Fewer days, faster pace: usual days over your days, {usual_days} / {days}.",
        f"That is {usual_days / days:.2f} of the usual pace: {'slower' if days > usual_days else 'faster'} than usual.",
    ],
    slips=(
        Slip(
            "turned upside down",
            lambda usual_days, days: days / usual_days,
            "More days than usual means a pace under 1: usual days over your days.",
        ),
        Slip(
            "the difference in days over the usual days",
            lambda usual_days, days: abs(days - usual_days) / usual_days,
            "Divide the usual days by your days; do not take them from each other first.",
        ),
    ),
    decimals=2,
)


def _draw_left(rng):
    return {"usual_left": int(rng.choice([20, 24, 28, 30, 36, 40, 42, 48])),
            "pace": float(rng.choice([0.6, 0.7, 0.75, 0.8, 1.2, 1.25, 1.5]))}  # fmt: skip


LEFT = Exercise(
    key="days-left-at-your-pace",
    lesson="08",
    question="From where your stack is now, wood like it usually takes {usual_left} more days to 20 %. Your readings "
    "say "
    "that it dries at {pace:g} of the usual pace. How many more days do you reckon with, if the weather stays the "
    "same?",
    draw=_draw_left,
    solve=lambda usual_left, pace: usual_left / pace,
    unit="days",
    tolerance=0.6,
    steps=lambda usual_left, pace: [
        f"A pace of {pace:g} stretches or shortens the days: {usual_left} / {pace:g}.",
        f"That is {usual_left / pace:.1f} days. In autumn add more: the air turns damp and cold, and the forecast "
        f"knows it.",
    ],
    slips=(
        Slip(
            "times the pace instead of divided by it",
            lambda usual_left, pace: usual_left * pace,
            "A slower pace needs more days: divide.",
        ),
        Slip(
            "the usual days left as they are",
            lambda usual_left, pace: float(usual_left),
            "Your stack has a pace of its own: divide the days by it.",
        ),
    ),
    decimals=1,
)

# Boards tallied by hand


def _draw_tally(rng):
    nominal = str(rng.choice(["5/4", "6/4", "8/4"]))  # not 4/4, where an inch for all would come out right
    return {"n": int(rng.integers(6, 25)), "nominal": nominal, "thickness_in": nominal_in(nominal) + 0.125,
            "width_in": int(rng.integers(5, 12)), "length_ft": int(rng.choice([8, 10, 12]))}  # fmt: skip


def _tally(n, nominal, thickness_in, width_in, length_ft):
    return n * nominal_in(nominal) * width_in * length_ft / 12


TALLY = Exercise(
    key="board-feet-of-a-tally",
    lesson="08",
    question="Your tally says: {n} boards of {nominal}, sawn {thickness_in:g} in thick, {width_in} in wide, "
    "{length_ft} ft long. How many board feet do you write down?",
    draw=_draw_tally,
    solve=_tally,
    unit="bf",
    tolerance=0.6,
    steps=lambda n, nominal, thickness_in, width_in, length_ft: [
        f"The tally goes by the name: {nominal} counts as {nominal_in(nominal):g} in, though it is sawn "
        f"{thickness_in:g} in.",
        f"One board: {nominal_in(nominal):g} in x {width_in} in x {length_ft} ft / 12 = "
        f"{nominal_in(nominal) * width_in * length_ft / 12:.2f} bf.",
        f"{n} boards: {n} x {nominal_in(nominal) * width_in * length_ft / 12:.2f} bf = "
        f"{_tally(n, nominal, thickness_in, width_in, length_ft):.1f} bf.",
    ],
    slips=(
        Slip(
            "the sawn thickness in place of the name",
            lambda n, nominal, thickness_in, width_in, length_ft: (
                n * thickness_in * width_in * length_ft / 12
            ),
            "The extra eighth is for shrinking and planing; it is not counted.",
        ),
        Slip(
            "every board counted as an inch thick",
            lambda n, nominal, thickness_in, width_in, length_ft: n * width_in * length_ft / 12,
            "Multiply by the named thickness: 5/4 is 1.25 in.",
        ),
        Slip(
            "not divided by 12",
            lambda n, nominal, thickness_in, width_in, length_ft: (
                n * nominal_in(nominal) * width_in * length_ft
            ),
            "Width is in inches, length in feet: divide by 12.",
        ),
        Slip(
            "one board only",
            lambda n, nominal, thickness_in, width_in, length_ft: (
                nominal_in(nominal) * width_in * length_ft / 12
            ),
            "Times the number of boards.",
        ),
    ),
    decimals=1,
)

# A stack with an unknown pace


def _draw_unknown(rng):
    return {"pace": float(rng.choice([0.6, 0.65, 0.7, 0.75, 0.8, 1.2, 1.25, 1.3, 1.35, 1.4])),
            "seed": int(rng.integers(1, 1000))}  # fmt: skip


UNKNOWN = Exercise(
    key="the-unknown-stack",
    lesson="08",
    question="This stack dries at a pace of its own. Weigh it as often as you like and try paces until the curve runs "
    "through the readings. At what pace does it dry, if the usual pace is 1?",
    draw=_draw_unknown,
    solve=lambda pace, seed: pace,
    unit="of the usual pace",
    tolerance=0.1,  # thirteen weighings with their usual errors settle the pace to about this
    steps=lambda pace, seed: [
        "Weigh until day 91: one reading may be off by 2 or 3 points, thirteen together are not.",
        "Move the pace until about as many readings lie over the curve as under it, early and late ones alike.",
        f"This stack was made with a pace of {pace:g}.",
    ],
    slips=(
        Slip(
            "turned upside down",
            lambda pace, seed: 1 / pace,
            "Readings over the usual curve: it dries slower, the pace is under 1.",
        ),
        Slip("the usual pace", lambda pace, seed: 1.0, "Weigh on: the readings leave the dotted curve."),
    ),
    decimals=2,
    hidden=("pace", "seed"),
)

EXERCISES = (TALLY, SAMPLE, LOSS, PACE, LEFT, UNKNOWN)
