"""Panels of lesson 07: a stack's way down, the best month to build it, woods and thicknesses side by side."""

from woodcalc import climate
from woodcalc.figures import drying as figures
from woodcalc.lesson.box import kept_choices
from woodcalc.lesson.lists import place_names
from woodcalc.lesson.panel import choice, panel, slider

__all__ = ["curve_panel", "hidden_stack_panel", "my_stack_panel", "side_by_side_panel", "starts_panel"]

_AIRFLOW = [
    ("sheltered: a hollow, between buildings", "sheltered"),
    ("ordinary", "ordinary"),
    ("open: a windy rise", "open"),
]


def _curve(wood, thickness, place, month, title):
    dials = [
        choice("wood", "Wood", figures.wood_names(), wood),
        choice("thickness", "Thickness (quarters of an inch)", list(figures.THICKNESSES), thickness),
        choice("place", "Place", place_names(), place),
        slider("month", "Stacked in the middle of (month)", 1, 12, 1, month),
        choice("airflow", "How the wind finds it", _AIRFLOW, "ordinary"),
    ]
    return panel(figures.curve, dials, title)


def curve_panel():
    """Panel: the forecast of one stack, day by day."""
    return _curve("northern red oak", "4/4", "Madison, WI", 5, "One stack on its way down")


def my_stack_panel():
    """Panel: the same for the learner's own wood, thickness, place and month."""
    mine = kept_choices()
    thickness = mine.thickness if mine.thickness in figures.THICKNESSES else "8/4"
    return _curve(mine.species, thickness, climate.get(mine.place).name, mine.month, "My stack")


def starts_panel():
    """Panel: the month of stacking against the day that the stack is done."""
    dials = [
        choice("wood", "Wood", figures.wood_names(), "northern red oak"),
        choice("thickness", "Thickness (quarters of an inch)", list(figures.THICKNESSES), "4/4"),
        choice("place", "Place", place_names(), "Madison, WI"),
        slider("mc_pct", "Down to (% MC)", 14, 30, 1, 20),
    ]
    return panel(figures.starts, dials, "The best month to build a stack")


def side_by_side_panel():
    """Panel: eight woods and four thicknesses, likely days."""
    dials = [
        choice("place", "Place", place_names(), "Madison, WI"),
        slider("month", "Stacked in the middle of (month)", 1, 12, 1, 5),
        slider("mc_pct", "Down to (% MC)", 14, 30, 1, 20),
    ]
    return panel(figures.side_by_side, dials, "Woods and thicknesses side by side")


def hidden_stack_panel(pace, **_):
    """Panel: weigh a stack whose pace is not told."""

    def draw(day, big=False):
        return figures.hidden_stack(day, pace, big=big)

    return panel(draw, [slider("day", "Weigh it on day", 0, 180, 1, 0)], "A stack with a pace of its own")
