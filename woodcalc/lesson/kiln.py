"""Panels of lesson 09: the last points, indoors, in a solar kiln, with a dehumidifier."""

from woodcalc import climate
from woodcalc.figures import kiln as figures
from woodcalc.lesson.box import kept_choices
from woodcalc.lesson.lists import months, place_names
from woodcalc.lesson.panel import choice, panel, slider, switch

__all__ = [
    "dehumidifier_panel",
    "house_panel",
    "my_three_ways_panel",
    "prongs_panel",
    "sample_board_panel",
    "solar_day_panel",
    "solar_weeks_panel",
    "three_ways_panel",
]

_WOODS = [
    "northern red oak",
    "white oak",
    "black cherry",
    "black walnut",
    "sugar maple",
    "yellow-poplar",
    "eastern white pine",
]


def three_ways_panel(place="Madison, WI", wood="northern red oak", month=7, load_bf=300, mc_start_pct=14):
    """Panel: the house, the solar kiln and the dehumidifier for one load, month and place."""
    from woodcalc import species

    woods = sorted({*_WOODS, species.get(wood).name})
    dials = [
        choice("wood", "Wood, 4/4", woods, species.get(wood).name),
        choice("place", "Place", place_names(), climate.get(place).name),
        choice("month", "Start, middle of", months(), month),
        slider("load_bf", "Load (bf)", 100, 1000, 50, load_bf),
        slider("mc_start_pct", "Moisture at the start (% MC)", 10, 25, 1, mc_start_pct),
    ]
    return panel(figures.three_ways, dials, "Three ways to the last points")


def my_three_ways_panel():
    """Panel: the three ways with the learner's own place, wood and month."""
    mine = kept_choices()
    return three_ways_panel(mine.place, mine.species, mine.month)


def house_panel():
    """Panel: boards in a corner of the house."""
    dials = [
        choice("charge", "Charge", list(figures.CHARGES)),
        choice("place", "Place", place_names(), "Madison, WI"),
        choice("month", "Brought in, middle of", months(), 11),
        choice("room", "Room", ["heated", "heated, cooled in summer", "unheated"]),
        switch("covered", "A sheet over the stack, ends open"),
    ]
    return panel(figures.house, dials, "A corner of the house")


def solar_weeks_panel():
    """Panel: a charge in a solar kiln over the weeks."""
    dials = [
        choice("charge", "Charge (500 bf)", list(figures.CHARGES)),
        choice("place", "Place", place_names(), "Madison, WI"),
        choice("month", "Loaded, middle of", months(), 7),
        slider("collector_ft2", "Glass (ft2)", 20, 120, 10, 50),
        switch("sunny", "Every day cloudless"),
    ]
    return panel(figures.solar_weeks, dials, "A solar kiln, week by week")


def solar_day_panel():
    """Panel: three days in a solar kiln, hour by hour."""
    dials = [
        slider("day", "Last day shown (day)", 3, 40, 1, 10),
        choice("charge", "Charge (500 bf, 50 ft2 of glass)", list(figures.CHARGES)),
        choice("fans", "Fans run", list(figures.FANS)),
        choice("vents", "Vents", list(figures.VENTS)),
        choice("build", "Glazing and walls", list(figures.KILNS)),
    ]
    return panel(figures.solar_day, dials, "A solar kiln, hour by hour (Madison, July)")


def dehumidifier_panel():
    """Panel: an insulated chamber with a dehumidifier."""
    dials = [
        choice("charge", "Charge (500 bf)", list(figures.CHARGES)),
        choice("machine", "Dehumidifier", list(figures.MACHINES)),
        slider("pints_per_day", "Rating (pints a day)", 20, 100, 5, 50),
        slider("insulation_r", "Walls (R-value)", 2, 30, 1, 11),
        slider("room_f", "Room around it (F)", 50, 85, 1, 65),
    ]
    return panel(figures.dehumidifier, dials, "A chamber with a dehumidifier")


def prongs_panel():
    """Panel: the stress section and what its prongs say."""
    return panel(figures.prongs, [choice("seen", "The prongs", list(figures.PRONGS))], "What the prongs say")


def sample_board_panel(collector_ft2, start_pct, dry_lb, **_):
    """Panel: a sample board in a kiln whose glass is not told; weigh it morning by morning."""

    def draw(day, big=False):
        return figures.board_in_the_kiln(day, collector_ft2, start_pct, dry_lb, big=big)

    return panel(draw, [slider("day", "Morning (day)", 0, 10, 1, 0)], "The sample board")
