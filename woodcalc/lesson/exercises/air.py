"""Formulas of lesson 05: the air, and where wood comes to rest in it."""

from __future__ import annotations

from woodcalc import air, climate, movement, tables
from woodcalc.figures.air import block_weight_oz, water_oz
from woodcalc.figures.climate import HEAT_F, PEOPLE_G_PER_M3
from woodcalc.lesson.exercise import Worked
from woodcalc.lesson.exercises.words import read
from woodcalc.units import fahrenheit

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


def _table(temp_f, rh_pct, low, high, left, right):
    tenths, rise = rh_pct - low, round(right - left, 1)
    part = tenths / 10 * rise
    return Worked(
        air.emc_pct(temp_f, rh_pct),
        dict(
            nearest_column=left if tenths < 5 else right,
            wrong_column=right - part,
            humidity=float(rh_pct),
        ),
        dict(tenths=tenths, share=tenths / 10, rise=rise, part=part, between=left + part),
    )


# A month at a place

_PLACES = ("Madison, WI", "Burlington, VT", "Asheville, NC", "Missoula, MT", "Eugene, OR", "Tallahassee, FL",
           "Springfield, MO", "Albuquerque, NM", "Duluth, MN", "Columbus, OH")  # fmt: skip
_NAMES = ("January", "February", "March", "April", "May", "June", "July", "August", "September", "October",
          "November", "December")  # fmt: skip


def _draw_month(rng):
    place = str(rng.choice(_PLACES))
    emc = climate.get(place).monthly.emc_pct
    # not those that the picture cannot tell from the next, nor those in which the house is as damp as outdoors
    far = [
        m
        for k, m in enumerate(_NAMES, 1)
        if abs(emc[k % 12 + 1] - emc[k]) > 0.35 and m not in ("July", "August")
    ]
    return {"place": place, "month_name": str(rng.choice(far))}


def _month(place, month_name):
    month = _NAMES.index(month_name) + 1
    year = climate.get(place).monthly
    house = movement.indoors(place, heat_f=HEAT_F, people_g_per_m3=PEOPLE_G_PER_M3)
    outdoors = year.loc[month]
    return Worked(
        float(outdoors.emc_pct),
        dict(
            house=float(house.emc_pct[month]),
            humidity=round(float(outdoors.rh_pct)),
            next_month=float(year.emc_pct[month % 12 + 1]),
        ),
        dict(temp_f=outdoors.temp_f, rh_pct=outdoors.rh_pct),
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


def _warmed(temp_f, rh_pct, indoor_f, cold_oz, room_oz):
    indoor_rh_pct = air.warmed_rh_pct(temp_f, rh_pct, indoor_f)
    carried_oz = round(rh_pct / 100 * cold_oz, 1)
    return Worked(
        indoor_rh_pct,
        dict(
            outdoor_humidity=float(rh_pct),
            saturated=100 * cold_oz / room_oz,
            upside_down=rh_pct * room_oz / cold_oz,
            wood=air.emc_pct(indoor_f, indoor_rh_pct),
        ),
        dict(carried_oz=carried_oz, share_pct=100 * carried_oz / room_oz),
    )


# A thermometer in Celsius


def _draw_celsius(rng):
    return {"temp_c": int(rng.choice([40, 45, 50, 55])), "rh_pct": int(5 * rng.integers(8, 16))}


def _celsius(temp_c, rh_pct):
    temp_f = fahrenheit(temp_c)
    return Worked(
        air.emc_pct(temp_f, rh_pct),
        dict(
            as_fahrenheit=air.emc_pct(temp_c, rh_pct),
            added_first=air.emc_pct(1.8 * (temp_c + 32), rh_pct),
            humidity=float(rh_pct),
        ),
        dict(temp_f=temp_f),
    )


# A block that tells the humidity of a shed


def _draw_shed(rng):
    return {
        "temp_f": int(rng.choice([50, 60, 70, 80])),
        "rh_pct": int(rng.integers(38, 84)),
        "dry_oz": float(rng.integers(80, 140)) / 10,
    }


def _shed(temp_f, rh_pct, dry_oz):
    def humidity_at(mc_pct):
        return air.rh_for_emc_pct(temp_f, min(mc_pct, air.emc_pct(temp_f, 100)))

    def mc_at(weight_oz):
        return 100 * (weight_oz - dry_oz) / dry_oz

    rest_pct = air.emc_pct(temp_f, rh_pct)
    last_oz = round(block_weight_oz(28, temp_f, rh_pct, dry_oz), 2)
    return Worked(
        float(rh_pct),
        dict(
            wet_basis=humidity_at(100 * rest_pct / (100 + rest_pct)),
            day_4=humidity_at(mc_at(block_weight_oz(4, temp_f, rh_pct, dry_oz))),
            day_2=humidity_at(mc_at(block_weight_oz(2, temp_f, rh_pct, dry_oz))),
            wood=rest_pct,
        ),
        dict(last_oz=last_oz, water_oz=last_oz - dry_oz, mc_pct=mc_at(last_oz)),
    )


EXERCISES = read(
    "air",
    {
        "emc-from-the-table": (_draw_table, _table),
        "emc-of-a-month": (_draw_month, _month),
        "winter-air-indoors": (_draw_warmed, _warmed),
        "celsius-thermometer": (_draw_celsius, _celsius),
        "the-block-and-the-shed": (_draw_shed, _shed),
    },
)
