"""Exercises of lesson 05: the air, and where wood comes to rest in it."""

from woodcalc import air, climate, movement, tables
from woodcalc.figures.air import block_weight_oz, water_oz
from woodcalc.figures.climate import HEAT_F, PEOPLE_G_PER_M3
from woodcalc.lesson.exercise import Exercise, Slip

# Between two columns of the printed table


def _columns(temp_f, rh_pct):
    """The two printed values on either side of a humidity, and the lower of the two humidities."""
    row = tables.read("emc_table").set_index("temp_f").loc[temp_f]
    low = rh_pct // 10 * 10
    return float(row[f"rh_{low:02d}"]), float(row[f"rh_{low + 10:02d}"]), low


def _draw_table(rng):
    temp = int(rng.choice([50, 60, 70, 80, 90]))
    rh = int(10 * rng.integers(3, 8) + rng.choice([3, 4, 6, 7]))
    left, right, low = _columns(temp, rh)
    return {"temp_f": temp, "rh_pct": rh, "low": low, "high": low + 10, "left": left, "right": right}


def _between(rh_pct, low, left, right, **_):
    return left + (rh_pct - low) / 10 * (right - left)


TABLE = Exercise(
    key="emc-from-the-table",
    lesson="05",
    question="A shed has air of {temp_f} F and {rh_pct} % relative humidity. The {temp_f} F row of the "
    "table says {left:.1f} % at {low} % humidity and {right:.1f} % at {high} %. Where does wood come to rest "
    "in that shed?",
    draw=_draw_table,
    solve=lambda temp_f, rh_pct, **_: air.emc_pct(temp_f, rh_pct),
    unit="% MC",
    tolerance=0.2,  # a straight line between printed columns strays up to 0.15 from the curve
    steps=lambda temp_f, rh_pct, low, high, left, right: [
        f"{rh_pct} % lies {rh_pct - low} tenths of the way from {low} % to {high} %.",
        f"From one column to the next the table rises {right:.1f} - {left:.1f} = {right - left:.1f} points.",
        f"{(rh_pct - low) / 10:.1f} x {right - left:.1f} = {_between(rh_pct, low, 0, right - left):.1f} "
        "points.",
        f"{left:.1f} + {_between(rh_pct, low, 0, right - left):.1f} = "
        f"{_between(rh_pct, low, left, right):.1f} % MC.",
    ],
    slips=(
        Slip(
            "the nearest column was taken as it stands",
            lambda rh_pct, low, left, right, **_: left if rh_pct - low < 5 else right,
            "Go the right part of the way from one column to the next.",
        ),
        Slip(
            "counted back from the wrong column",
            lambda rh_pct, low, left, right, **_: right - (rh_pct - low) / 10 * (right - left),
            "Start at the column of the lower humidity and go up.",
        ),
        Slip(
            "the relative humidity was taken for the moisture content",
            lambda rh_pct, **_: float(rh_pct),
            "Relative humidity belongs to the air. The table turns it into the moisture content of wood.",
        ),
    ),
    decimals=1,
)

# A month at a place

_PLACES = ("Madison, WI", "Burlington, VT", "Asheville, NC", "Missoula, MT", "Eugene, OR", "Tallahassee, FL",
           "Springfield, MO", "Albuquerque, NM", "Duluth, MN", "Columbus, OH")  # fmt: skip
_NAMES = ("January", "February", "March", "April", "May", "June", "July", "August", "September", "October",
          "November", "December")  # fmt: skip


def _month(place, month_name):
    return climate.get(place).monthly.loc[_NAMES.index(month_name) + 1]


def _house(place, month_name):
    house = movement.indoors(place, heat_f=HEAT_F, people_g_per_m3=PEOPLE_G_PER_M3)
    return float(house.emc_pct[_NAMES.index(month_name) + 1])


PLACE = Exercise(
    key="emc-of-a-month",
    lesson="05",
    question="Set the year panel to {place}. Under a roof outdoors, where does wood come to rest in the "
    "air of {month_name}?",
    needs="panel",
    draw=lambda rng: {
        "place": str(rng.choice(_PLACES)),
        "month_name": str(rng.choice([m for m in _NAMES if m not in ("July", "August")])),
    },
    solve=lambda place, month_name: float(_month(place, month_name).emc_pct),
    unit="% MC",
    tolerance=0.3,  # as well as the picture can be read; the table under it gives the tenth
    steps=lambda place, month_name: [
        f"Outdoors at {place} in {month_name}: {_month(place, month_name).temp_f:.0f} F and "
        f"{_month(place, month_name).rh_pct:.0f} % relative humidity (table under the picture).",
        f"In that air wood comes to rest at {_month(place, month_name).emc_pct:.1f} % MC: the line with "
        "round marks.",
    ],
    slips=(
        Slip(
            "the house was read, not the air outdoors",
            _house,
            "Outdoors is the line with round marks; the house is the one with square marks.",
        ),
        Slip(
            "the relative humidity was read, not the moisture content",
            lambda place, month_name: round(float(_month(place, month_name).rh_pct)),
            "Look one row further down: where wood rests, in % MC.",
        ),
        Slip(
            "the next month was read",
            lambda place, month_name: float(
                _month(place, _NAMES[(_NAMES.index(month_name) + 1) % 12]).emc_pct
            ),
            "J F M A M J J A S O N D: there are three J and two each of M and A.",
        ),
    ),
    decimals=1,
)

# Outdoor air, warmed


def _draw_warmed(rng):
    cold, room = int(rng.choice([10, 20, 30, 40])), int(rng.choice([60, 65, 70]))
    return {
        "temp_f": cold,
        "rh_pct": int(5 * rng.integers(12, 18)),
        "indoor_f": room,
        "cold_oz": round(water_oz(cold, 100), 1),
        "room_oz": round(water_oz(room, 100), 1),
    }


WARMED = Exercise(
    key="winter-air-indoors",
    lesson="05",
    question="On a winter day the air outdoors is at {temp_f} F and {rh_pct} % relative humidity. It leaks "
    "into a shop and is warmed to {indoor_f} F; nobody adds water. A roomful of air (100 lb) can carry "
    "{cold_oz:.1f} oz of water at {temp_f} F and {room_oz:.1f} oz at {indoor_f} F. What is the relative "
    "humidity in the shop?",
    draw=_draw_warmed,
    solve=lambda temp_f, rh_pct, indoor_f, **_: air.warmed_rh_pct(temp_f, rh_pct, indoor_f),
    unit="% RH",
    tolerance=1.0,  # ounces per 100 lb stand in for vapour pressure, and are rounded
    steps=lambda temp_f, rh_pct, indoor_f, cold_oz, room_oz: [
        f"The air carries {rh_pct} % of {cold_oz:.1f} oz: {rh_pct / 100 * cold_oz:.1f} oz of water.",
        f"Warming adds no water: {rh_pct / 100 * cold_oz:.1f} oz it stays.",
        f"At {indoor_f} F it could carry {room_oz:.1f} oz: {rh_pct / 100 * cold_oz:.1f} / {room_oz:.1f} = "
        f"{rh_pct * cold_oz / room_oz:.0f} % RH.",
    ],
    slips=(
        Slip(
            "the outdoor humidity was kept",
            lambda rh_pct, **_: float(rh_pct),
            "The water stays the same, but warmer air could carry more, so its share falls.",
        ),
        Slip(
            "the outdoor air was taken as saturated",
            lambda cold_oz, room_oz, **_: 100 * cold_oz / room_oz,
            "Outdoors the air carried only its relative humidity's share of the most it could.",
        ),
        Slip(
            "the fraction was turned upside down",
            lambda rh_pct, cold_oz, room_oz, **_: rh_pct * room_oz / cold_oz,
            "Divide what the air carries by what it could carry when warm; that is never above 100 %.",
        ),
        Slip(
            "the moisture content of the wood was given",
            lambda temp_f, rh_pct, indoor_f, **_: air.emc_pct(
                indoor_f, air.warmed_rh_pct(temp_f, rh_pct, indoor_f)
            ),
            "That is where wood would rest. The question asks for the humidity of the air.",
        ),
    ),
)

# A thermometer in Celsius

CELSIUS = Exercise(
    key="celsius-thermometer",
    lesson="05",
    question="The thermometer in a small drying chamber is marked in Celsius: it reads {temp_c} C. The "
    "hygrometer reads {rh_pct} %. Where does wood come to rest in that air? (Use the chart, or a table that goes "
    "above 100 F.)",
    needs="emc",
    draw=lambda rng: {"temp_c": int(rng.choice([40, 45, 50, 55])), "rh_pct": int(5 * rng.integers(8, 16))},
    solve=lambda temp_c, rh_pct: air.emc_pct(32 + 1.8 * temp_c, rh_pct),
    unit="% MC",
    tolerance=0.2,
    steps=lambda temp_c, rh_pct: [
        f"Celsius to Fahrenheit: 1.8 x {temp_c} + 32 = {32 + 1.8 * temp_c:.0f} F.",
        f"Chart at {32 + 1.8 * temp_c:.0f} F and {rh_pct} %: wood rests at "
        f"{air.emc_pct(32 + 1.8 * temp_c, rh_pct):.1f} % MC.",
    ],
    slips=(
        Slip(
            "degrees Celsius were set as Fahrenheit",
            lambda temp_c, rh_pct: air.emc_pct(temp_c, rh_pct),
            "Turn them into Fahrenheit first: times 1.8, plus 32.",
        ),
        Slip(
            "32 was added before multiplying",
            lambda temp_c, rh_pct: air.emc_pct(1.8 * (temp_c + 32), rh_pct),
            "First times 1.8, then plus 32.",
        ),
        Slip(
            "the relative humidity was taken for the moisture content",
            lambda temp_c, rh_pct: float(rh_pct),
            "Relative humidity belongs to the air; the chart turns it into moisture content.",
        ),
    ),
    decimals=1,
)

# A block that tells the humidity of a shed


def _last_weight(temp_f, rh_pct, dry_oz):
    return round(block_weight_oz(28, temp_f, rh_pct, dry_oz), 2)


def _rh_of(mc_pct, temp_f):
    return air.rh_for_emc_pct(temp_f, min(mc_pct, air.emc_pct(temp_f, 100)))


def _mc(weight, dry):
    return 100 * (weight - dry) / dry


def _wet_basis(mc_pct):
    return 100 * mc_pct / (100 + mc_pct)


SHED = Exercise(
    key="the-block-and-the-shed",
    lesson="05",
    question="A small block was dried in an oven, weighed ({dry_oz:.2f} oz) and hung up in a shed of "
    "{temp_f} F that has no hygrometer. Weigh it on the panel until it has come to rest. What is the "
    "relative humidity of the shed?",
    draw=lambda rng: {
        "temp_f": int(rng.choice([50, 60, 70, 80])),
        "rh_pct": int(rng.integers(38, 84)),
        "dry_oz": float(rng.integers(80, 140)) / 10,
    },
    solve=lambda temp_f, rh_pct, dry_oz: float(rh_pct),
    unit="% RH",
    tolerance=2.0,  # two hundredths of an ounce on an 8 oz block is 0.25 % MC, about 1 % RH
    steps=lambda temp_f, rh_pct, dry_oz: [
        f"From about day 16 the weight stays the same: {_last_weight(temp_f, rh_pct, dry_oz):.2f} oz.",
        f"Water: {_last_weight(temp_f, rh_pct, dry_oz):.2f} - {dry_oz:.2f} = "
        f"{_last_weight(temp_f, rh_pct, dry_oz) - dry_oz:.2f} oz.",
        f"Moisture content: {_last_weight(temp_f, rh_pct, dry_oz) - dry_oz:.2f} / {dry_oz:.2f} = "
        f"{_mc(_last_weight(temp_f, rh_pct, dry_oz), dry_oz):.1f} %.",
        f"Chart at {temp_f} F: wood rests at that moisture content in air of {rh_pct} % RH.",
    ],
    slips=(
        Slip(
            "the water was divided by the weight with the water in it (wet basis)",
            lambda temp_f, rh_pct, dry_oz: _rh_of(_wet_basis(air.emc_pct(temp_f, rh_pct)), temp_f),
            "Moisture content counts water against oven-dry wood: divide by the oven-dry weight.",
        ),
        *(
            Slip(
                f"the block was read on day {day}, before it had come to rest",
                lambda temp_f, rh_pct, dry_oz, day=day: _rh_of(
                    _mc(block_weight_oz(day, temp_f, rh_pct, dry_oz), dry_oz), temp_f
                ),
                "Move the day on until the weight no longer changes.",
            )
            for day in (4, 2)
        ),
        Slip(
            "the moisture content of the block was given",
            lambda temp_f, rh_pct, dry_oz: air.emc_pct(temp_f, rh_pct),
            "One step more: which humidity on the chart holds wood at that moisture content?",
        ),
    ),
    hidden=("rh_pct",),
)

EXERCISES = (TABLE, PLACE, WARMED, CELSIUS, SHED)
