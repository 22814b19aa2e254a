"""Panels of lesson 09: the last points, indoors, in a solar kiln, with a dehumidifier."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING, Any

import ipywidgets as w

from woodcalc import climate, drying, kiln
from woodcalc.checks import blank
from woodcalc.dates import day_told
from woodcalc.disk import in_words
from woodcalc.figures import kiln as figures
from woodcalc.figures import solar_kiln
from woodcalc.kiln import loading
from woodcalc.lesson import own
from woodcalc.lesson.box import Box, button, note, table
from woodcalc.lesson.lists import months, place_names, wood_names
from woodcalc.lesson.mine import DAY, stack_wanted, wanted
from woodcalc.lesson.panel import choice, panel, slider, switch
from woodcalc.records.choices import kept_choices
from woodcalc.sizes import nominal_in

if TYPE_CHECKING:
    from woodcalc.lesson.box import Shown
    from woodcalc.lesson.panel import Panel


__all__ = [
    "dehumidifier_panel",
    "house_panel",
    "inside_panel",
    "own_loading",
    "prongs_panel",
    "sample_board_panel",
    "solar_day_panel",
    "solar_weeks_panel",
    "three_ways_panel",
]


def three_ways_panel(
    place: str = "Madison, WI",
    wood: str = "northern red oak",
    month: int = 7,
    load_bf: float = 300,
    mc_start_pct: float = 14,
) -> Panel:
    """Panel: the house, the solar kiln and the dehumidifier for one load, month and place."""
    from woodcalc import species

    dials = [
        choice("wood", "Wood, 4/4", wood_names(), species.get(wood).name),
        choice("place", "Place", place_names(), climate.get(place).name),
        choice("month", "Start, middle of", months(), month),
        slider("load_bf", "Load (bf)", 100, 1000, 50, load_bf),
        slider("mc_start_pct", "Moisture at the start (% MC)", 10, 25, 1, mc_start_pct),
    ]
    return panel(figures.three_ways, dials, "Three ways to the last points")


def house_panel() -> Panel:
    """Panel: boards in a corner of the house."""
    dials = [
        choice("charge", "Charge", list(figures.CHARGES)),
        choice("place", "Place", place_names(), "Madison, WI"),
        choice("month", "Brought in, middle of", months(), 11),
        choice("room", "Room", ["heated", "heated, cooled in summer", "unheated"]),
        switch("covered", "A sheet over the stack, ends open"),
    ]
    return panel(figures.house, dials, "A corner of the house")


def solar_weeks_panel() -> Panel:
    """Panel: a charge in a solar kiln over the weeks."""
    dials = [
        choice("charge", "Charge (500 bf)", list(figures.CHARGES)),
        choice("place", "Place", place_names(), "Madison, WI"),
        choice("month", "Loaded, middle of", months(), 7),
        slider("collector_ft2", "Glass (ft2)", 20, 120, 10, 50),
        switch("sunny", "Every day cloudless"),
    ]
    return panel(figures.solar_weeks, dials, "A solar kiln, week by week")


def solar_day_panel() -> Panel:
    """Panel: three days in a solar kiln, hour by hour."""
    dials = [
        slider("day", "Last day shown (day)", 3, 40, 1, 10),
        choice("charge", "Charge (500 bf, 50 ft2 of glass)", list(figures.CHARGES)),
        choice("fans", "Fans run", list(figures.FANS)),
        choice("vents", "Vents", list(figures.VENTS)),
        choice("build", "Glazing and walls", list(figures.KILNS)),
    ]
    return panel(figures.solar_day, dials, "A solar kiln, hour by hour (Madison, July)")


def inside_panel() -> Panel:
    """Panel: a solar kiln cut open, one hour of its run."""
    dials = [
        slider("hour", "Hour of the day (h)", 0, 23, 1, 14),
        slider("day", "Day of the run (day)", 1, 40, 1, 10),
        choice("charge", "Charge (500 bf, 50 ft2 of glass)", list(figures.CHARGES)),
        choice("fans", "Fans run", list(figures.FANS)),
        choice("vents", "Vents", list(figures.VENTS)),
    ]
    return panel(solar_kiln.inside, dials, "Inside a solar kiln (Madison, July)")


def dehumidifier_panel() -> Panel:
    """Panel: an insulated chamber with a dehumidifier."""
    dials = [
        choice("charge", "Charge (500 bf)", list(figures.CHARGES)),
        choice("machine", "Dehumidifier", list(figures.MACHINES)),
        slider("pints_per_day", "Rating (pints a day)", 20, 100, 5, 50),
        slider("insulation_r", "Walls (R-value)", 2, 30, 1, 11),
        slider("room_f", "Room around it (F)", 50, 85, 1, 65),
    ]
    return panel(figures.dehumidifier, dials, "A chamber with a dehumidifier")


def prongs_panel() -> Panel:
    """Panel: the stress section and what its prongs say."""
    return panel(figures.prongs, [choice("seen", "The prongs", list(figures.PRONGS))], "What the prongs say")


def sample_board_panel(collector_ft2: float, start_pct: float, dry_lb: float, **_: Any) -> Panel:
    """Panel: a sample board in a kiln whose glass is not told; weigh it morning by morning."""

    def draw(day, big=False):
        return figures.board_in_the_kiln(day, collector_ft2, start_pct, dry_lb, big=big)

    return panel(draw, [slider("day", "Morning (day)", 0, 10, 1, 0)], "The sample board")


LISTED = 12  # stacks compared at most: a second or two
_INDOORS_PCT = 25.0  # wetter boards carry too much water into a house: common practice
_LOAD_BF = 300  # where a stack's board feet are not written down


def own_three_ways() -> Box | Shown:
    """Show the three ways to 8 % for each of the learner's stacks, from its last reading on.

    Examples
    --------
    >>> print(own_three_ways())  # doctest: +ELLIPSIS
    These are Kettle Hollow's stacks and readings (an invented woodlot), as ...
    stack  wood  bf  from (% MC)  indoors, days  solar kiln, days  dehumidifier, days  dehumidifier, kWh
    A  northern red oak 4/4  430  24  149 (133 to 223)  38 (25 to 70)  31 (22 to 46)  133
    ...
    """
    return own.show(_three_ways, "stacks", "readings", lesson="09")


def _three_ways(wood, say):
    rows: list[dict[str, str]] = []
    place = kept_choices().place
    refused = own.left_out(say, "Stack", "stack")
    for stack in wood.tables["stacks"].itertuples():
        if len(rows) == LISTED:
            say.append(f"The first {LISTED} stacks with a reading are compared.")
            break
        readings = own.told_by_readings(wood, stack.stack, say)
        if readings.empty:
            say.append(f"Stack {stack.stack} has no reading yet that tells its moisture.")
            continue
        try:
            rows.append(_compared(stack, wood.last_sure(stack.stack), place, say))
        except Exception as error:  # the other stacks count
            refused(stack, error)
    if not rows:
        return "<p>No stack to compare yet: it takes one reading that tells the moisture.</p>"
    ways = [key for key in dict.fromkeys(key for row in rows for key in row) if key not in rows[0]]
    heads = [*rows[0], *ways]
    return table(heads, [[row.get(head, "") for head in heads] for row in rows])


def _compared(stack, last, place, say):
    load_bf = stack.board_feet
    if blank(load_bf):
        say.append(f"Stack {stack.stack}: its board feet are not written down; {_LOAD_BF} are taken.")
        load_bf = _LOAD_BF
    ways = kiln.compare(
        stack.species,
        nominal_in(stack.nominal),
        stack.place or place,
        last.date,
        max(50, load_bf),
        last.mc_pct,
    ).set_index("way")
    return {
        "stack": stack.stack,
        "wood": f"{stack.species} {stack.nominal}",
        "bf": f"{load_bf:.0f}",
        "from (% MC)": f"{last.mc_pct:.0f}",
        **{f"{w.Index}, days": _took(w, unit=False) for w in ways.itertuples()},
        "dehumidifier, kWh": f"{ways.kwh['dehumidifier']:.0f}",
    }


def _took(way, unit=True):
    return kiln.took(way.days, way.too_hot, 180, unit=unit, between=way.between)


def _ones_own(say):
    """The wood, thickness, place and month of one's own stack; as chosen in Start here until there is one."""
    chosen, stack = own.chosen(say), stack_wanted()
    if not stack:
        return chosen
    say.append(f"These are the wood, thickness and place of your {wanted().stack.removeprefix('my ')}.")
    return replace(
        chosen, **{name: stack[name] for name in ("species", "thickness", "place", "month") if name in stack}
    )


class LoadingDay(Box):
    """The box that `own_loading` makes: it looks for the days when it is asked, which takes a second or two."""

    def __init__(self, say: list[str]) -> None:
        _ones_own(say)
        self.button = button("Find the day to load")
        self.told = w.HTML()
        super().__init__([self.button, self.told], "box: the day to load", _DAY_TO_LOAD)
        self.add_class("woodcalc-told")
        self.button.on_click(lambda _: self.find())

    def find(self) -> None:
        """Look for the best day by each way, and show them."""
        self.told.value = note("Looking through two years of days ...")
        said: list[str] = []
        try:
            rows = _days_to_load(said)
        except Exception as error:  # a learner reads a sentence
            self.told.value = note(in_words(error), "warn")
            return
        self.told.value = note("\n".join(dict.fromkeys(said)), "warn") + rows

    def still(self) -> str:
        """What the box is for."""
        return (
            f"<p><b>{_DAY_TO_LOAD}</b></p>{self.above}<p><i>Press <b>Run this lesson</b> in the toolbar, then the "
            "button here.</i></p>"
        )


_DAY_TO_LOAD = "The day to load, way by way"


def own_loading() -> Box | Shown:
    """Return the box that finds the best day to load, way by way, for the chosen wood, place, thickness and month.

    Examples
    --------
    >>> box = own_loading()
    >>> box.find()
    >>> "<th>load on</th>" in box.told.value and "dehumidifier, then indoors" in box.told.value
    True
    """
    return own.show(lambda _, say: LoadingDay(say), lesson="09")


def _days_to_load(say):
    mine = _ones_own(say)
    own_day = stack_wanted().get(DAY)
    forecast = drying.air_dry(mine.species, mine.thickness_in, mine.place, own_day or mine.month)
    named = partial(_day, start=None if own_day else forecast.start)
    found = {
        way: loading.best_loading(
            forecast, way, _LOAD_BF, wettest_pct=_INDOORS_PCT if way == "indoors" else None, rough=True
        )
        for way in loading.WAYS
    }
    rows = []
    for way, best in found.items():
        alone = found[loading.WAYS[way][0]]
        if best is None:
            rows.append([way, "no day does it safely", "", "", "", ""])
        elif not best.runs:
            rows.append([way, "not needed", f"{best.mc_pct:.0f}", named(best.ready), "0", "0"])
        elif best is alone or alone is None or best.ready < alone.ready or best.kwh < alone.kwh:
            on = "straight from the saw" if best.straight else named(best.day)
            rows.append(
                [way, on, f"{best.mc_pct:.0f}", named(best.ready), f"{best.days}", f"{best.kwh:.0f}"]
            )  # fmt: skip
    if not all(best is None or best.pace_known for best in found.values()):
        say.append(f"No safe loss is published for {mine.species}: watch its faces, whatever the table says.")
    stacked = named(forecast.start)
    return f"<p>{mine.species} {mine.thickness}, {mine.place}, stacked {stacked}, to 8 %</p>" + table(
        ["way", "load on", "at (% MC)", "dry on", "days in it", "kWh"], rows
    )


def _day(day, start):
    """A day within a year by day and month, a later one with "next year"; of a real stack with its year."""
    if start is None:
        return day_told(day)
    return f"{day:%d %B}".lstrip("0") + (" next year" if day.year > start.year else "")
