"""Panels of lesson 07: a stack's way down, the month to saw, woods and thicknesses side by side, a stack to save."""

from __future__ import annotations

import html
from typing import TYPE_CHECKING, Any

from woodcalc import climate
from woodcalc.disk import in_words
from woodcalc.drying import of_stack
from woodcalc.drying.watch import wetter_since
from woodcalc.figures import drying as figures
from woodcalc.figures import spoil
from woodcalc.figures.records import no_stack
from woodcalc.lesson import own
from woodcalc.lesson.lists import PARTS, THICKNESSES, place_names, wood_names
from woodcalc.lesson.mine import picked
from woodcalc.lesson.panel import choice, panel, slider, switch
from woodcalc.records.choices import kept_choices
from woodcalc.records.usable import stack_taught

if TYPE_CHECKING:
    from woodcalc.lesson.box import Box, Shown
    from woodcalc.lesson.panel import Panel


__all__ = [
    "curve_panel",
    "my_stack_panel",
    "own_stacks",
    "side_by_side_panel",
    "stack_to_save_panel",
    "starts_panel",
]

LISTED = 40  # stacks shown one by one

_AIRFLOW = [
    ("sheltered: a hollow, between buildings", "sheltered"),
    ("ordinary", "ordinary"),
    ("open: a windy rise", "open"),
]


def _curve(wood, thickness, place, month, title):
    dials = [
        choice("wood", "Wood", wood_names(), wood),
        choice("thickness", "Thickness (quarters of an inch)", THICKNESSES, thickness),
        choice("place", "Place", place_names(), place),
        slider("month", "Stacked in the middle of (month)", 1, 12, 1, month),
        choice("airflow", "How the wind finds it", _AIRFLOW, "ordinary"),
        choice("part", "Boards cut from", PARTS, "mixed"),
    ]
    return panel(figures.curve, dials, title, takes_day=True)


def curve_panel() -> Panel:
    """Panel: the forecast of one stack, day by day."""
    return _curve("northern red oak", "4/4", "Madison, WI", 5, "One stack on its way down")


def my_stack_panel() -> Box | Shown:
    """Panel: the same for the learner's own stacks; before there are some, for the wood and month that they chose."""
    if own.own_wood("stacks", also=["readings"], lesson="07").whose == own.MINE:
        return own.show(_my_stacks, "stacks", also=["readings"], lesson="07")
    return own.show(_my_stack, lesson="07")


def _my_stacks(wood, say):
    """Each stack from its own day of stacking, with its readings on the curve."""
    stacks, place = wood.tables["stacks"], kept_choices().place
    if len(stacks) > LISTED:
        say.append(f"The first {LISTED} of {len(stacks):,} stacks are offered here.")
    rows = {str(row.stack): row for row in stacks.head(LISTED).itertuples()}
    readings = {name: own.told_by_readings(wood, row.stack, say) for name, row in rows.items()}
    names = sorted(rows, key=lambda name: readings[name].empty)  # those with readings have more to show

    def draw(stack, let_in, big=False):
        try:
            return figures.own_curve(stack, of_stack(rows[stack], place), readings[stack], let_in, big=big)
        except Exception as error:  # never another stack's picture and dates under this one's name
            return no_stack(f"Stack {stack} has no forecast: {in_words(error)}", big=big)

    dials = [
        choice("stack", "Stack", names, picked("stack", names)),
        switch("let_in", "Let its readings in", True),
    ]
    return panel(draw, dials, "My stacks, from the day of stacking", mine=False)


def _my_stack(_, say):
    mine = own.chosen(say, THICKNESSES)
    return _curve(
        mine.species, mine.thickness, climate.get(mine.place).name, mine.month, "What I chose in Start here"
    )


def own_stacks() -> Box | Shown:
    """Show when the stacks in the learner's records come down to 20 %: with their readings, as the plan has it.

    Examples
    --------
    >>> print(own_stacks())  # doctest: +ELLIPSIS
    These are Kettle Hollow's stacks and readings (an invented woodlot), as ...
    Stack A, northern red oak 4/4, with 8 readings from 10 May 2025 to 19 July 2025: 20 % from ...
    ...
    """
    return own.show(_stacks, "stacks", also=["readings"], lesson="07", listed_under="My stacks")


def _stacks(wood, say):
    place, told = kept_choices().place, ""
    stacks = wood.tables["stacks"]
    if len(stacks) > LISTED:
        say.append(f"The first {LISTED} of {len(stacks):,} stacks are shown.")
    refused = own.left_out(say, "Stack", "stack")
    for row in stacks.head(LISTED).itertuples():
        try:
            readings = own.told_by_readings(wood, row.stack, say)
            found, why = stack_taught(row, readings, place)
            stops = "is still near" if found.still_drying else "stops near"
            ends = f"It {stops} {found.stops_at_pct:.0f} %."
            says = " ".join(filter(None, [found.says(20), ends, wetter_since(found, readings)]))
            how = _with_readings(readings)
            if why:
                says = f"{why}."
        except Exception as error:  # the other stacks count
            refused(row, error)
        else:
            told += f"<p>{html.escape(f'Stack {row.stack}, {row.species} {row.nominal}, {how}: {says}')}</p>"
    return told


def _with_readings(readings):
    """What a forecast rests on."""
    if readings.empty:
        return "before any reading"
    days = [f"{day.day} {day:%B %Y}" for day in (readings["date"].min(), readings["date"].max())]
    many = f"{len(readings)} reading{'s' if len(readings) > 1 else ''}"
    when = f"of {days[0]}" if days[0] == days[1] else f"from {days[0]} to {days[1]}"
    return f"with {many} {when}"


def starts_panel() -> Panel:
    """Panel: the month of stacking against the day that the stack is done, with the danger of checks and of stain."""
    dials = [
        choice("wood", "Wood", wood_names(), "northern red oak"),
        choice("thickness", "Thickness (quarters of an inch)", THICKNESSES, "4/4"),
        choice("place", "Place", place_names(), "Madison, WI"),
        slider("mc_pct", "Down to (% MC)", 14, 30, 1, 20),
        choice("airflow", "How the wind finds it", _AIRFLOW, "ordinary"),
    ]
    return panel(figures.starts, dials, "The month to saw")


def side_by_side_panel() -> Panel:
    """Panel: eight woods and four thicknesses, likely days."""
    dials = [
        choice("place", "Place", place_names(), "Madison, WI"),
        slider("month", "Stacked in the middle of (month)", 1, 12, 1, 5),
        slider("mc_pct", "Down to (% MC)", 14, 30, 1, 20),
    ]
    return panel(figures.side_by_side, dials, "Woods and thicknesses side by side")


def stack_to_save_panel(wind_times: float, **_: Any) -> Panel:
    """Panel: a stack in more wind than is told, to be closed until it loses no more than is safe."""

    def draw(closed_pct, big=False):
        return spoil.windy_stack(closed_pct, wind_times, big=big)

    return panel(
        draw, [slider("closed_pct", "Close its windward side by (%)", 0, 90, 5, 0)], "A stack to save"
    )
