"""Maps of lessons 05, 07 and 09: what the air of 925 places does to wood, with the learner's own place marked.

Any other dot is read off too: it is tapped, or its station, a town or a ZIP code is typed.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any

import ipywidgets as w

from woodcalc import climate
from woodcalc.checks import capital
from woodcalc.climate import places
from woodcalc.disk import in_words
from woodcalc.figures import maps as figures
from woodcalc.figures.climate import HEAT_F, PEOPLE_G_PER_M3
from woodcalc.lesson import own
from woodcalc.lesson.box import button, labelled, note
from woodcalc.lesson.lists import THICKNESSES, place_names, wood_names
from woodcalc.lesson.panel import Dial, Panel, choice, slider

if TYPE_CHECKING:
    from woodcalc.lesson.box import Box, Shown


__all__ = ["MapPanel", "houses_map_panel", "rests_map_panel", "stacks_map_panel"]

READ_OFF = "Read off another place: click or tap its dot, or type a ZIP code, a town or a station"
STEP = "Or go to the next station, from the one that is marked"
A_POINT_UNDER = 7  # % MC: the air of a room brings wood to 8 % in good time if it holds it at a point less


class MapPanel(Panel):
    """A panel of a map of which any dot can be read off; it stays marked while the dials move.

    Examples
    --------
    >>> shown = rests_map_panel()
    >>> shown.asked.value = "duluth minnesota"
    >>> shown.also, shown.reading[-19:]
    ('Duluth, MN', 'Duluth, MN: 12.5 %.')
    """

    def __init__(self, draw: Callable[..., tuple[Any, ...]], dials: Sequence[Dial], title: str) -> None:
        self.also, self._pointed = "", False
        self.asked = w.Text(
            placeholder="55802, or Duluth MN",
            continuous_update=False,
            layout=w.Layout(width="min(320px, 100%)"),
        )
        self.answer = w.HTML()
        self.steps = {toward: button(capital(toward)) for toward in figures.TOWARD}
        for toward, each in self.steps.items():
            each.on_click(lambda _, toward=toward: self._step(toward))
        super().__init__(lambda big=False, **values: draw(**values, also=self.also, big=big), dials, title)
        self.add_class("woodcalc-map")
        right = self.children[1].children[1]
        right.children = (
            right.children[0],
            labelled(READ_OFF, self.asked),
            labelled(
                STEP, w.HBox([*self.steps.values()], layout=w.Layout(flex_flow="row wrap", grid_gap="8px"))
            ),
            self.answer,
            *right.children[1:],
        )
        self.asked.observe(lambda _: self._read(), "value")
        self.children[-1].when_pointed = self.point

    def point(self, across: float, down: float) -> None:
        """Read off the dot next to a point of the picture, in shares of its width and height."""
        name = figures.station_at(across, down, self.big or self._narrow)
        if name:
            self._show(name)

    def _show(self, name):
        """Read off a station that was pointed at, and put its name where one types."""
        self._pointed = True
        self.asked.value = name
        self._pointed = False
        self._mark(name, "")

    def _step(self, toward):
        """Go on from what is read off, or from the place that is marked, to the next station."""
        start = climate.get(self.also or self.dials["place"].value)
        name = figures.next_station(start, toward) if figures.on_map(start) else ""
        if name:
            self._show(name)
        else:
            self.answer.value = note(_no_step(start, toward))

    def _read(self):
        """Find the station for what was typed; what goes wrong is said in plain words, and the map stays."""
        if self._pointed:
            return
        asked = self.asked.value.strip()
        try:
            self._mark(*(_station_for(asked) if asked else ("", "")))
        except Exception as error:  # in a callback it would end in a log that nobody reads
            self.answer.value = note(in_words(error), "warn")

    def _mark(self, name, said):
        self.also = name
        self.answer.value = note(said)
        self.draw_again()


def _no_step(start, toward):
    if not figures.on_map(start):
        return f"{start.name} is not on this map: type a town that is, and go on from there."
    return f"No station of this map lies {toward} of {start.name}."


def _station_for(asked):
    found = places.station_for(asked)
    figures.station_row(found[0])  # refuses a place of one's own
    return found


def rests_map_panel() -> Box | Shown:
    """Panel: where wood comes to rest outdoors, month by month, all over the 48 states."""
    return own.show(_rests, lesson="05")


def _rests(_, say):
    dials = [
        slider("month", "In the air of (month)", 1, 12, 1, 5),
        choice("place", "Place to mark", place_names(), _place(own.chosen(say))),
    ]
    return MapPanel(figures.rests_outdoors, dials, "A map: where wood comes to rest outdoors")


def stacks_map_panel() -> Box | Shown:
    """Panel: days outdoors to 20 %, or where drying outdoors stops, for the wood that the learner chose."""
    return own.show(_stacks, lesson="07")


def _stacks(_, say):
    mine = own.chosen(say, THICKNESSES)
    dials = [
        choice("wood", "Wood", wood_names(), mine.species),
        choice("thickness", "Thickness (quarters of an inch)", THICKNESSES, mine.thickness),
        slider("month", "Stacked in the middle of (month)", 1, 12, 1, mine.month),
        choice("place", "Place to mark", place_names(), _place(mine)),
        choice("shown", "The map shows", figures.SHOWN, "days"),
    ]
    return MapPanel(figures.stacks_outdoors, dials, "A map: drying outdoors")


def houses_map_panel() -> Box | Shown:
    """Panel: in how many months a heated house dries wood as far as furniture wants it."""
    return own.show(_houses, lesson="09")


def _houses(_, say):
    dials = [
        choice("place", "Place to mark", place_names(), _place(own.chosen(say))),
        slider("heat_f", "House heated to (F)", 55, 80, 1, HEAT_F),
        slider("people_g_per_m3", "People add water (g per m3 of air)", 0, 8, 1, PEOPLE_G_PER_M3),
        slider("mc_pct", "Air that holds wood at or under (% MC)", 5, 10, 1, A_POINT_UNDER),
    ]
    return MapPanel(figures.houses, dials, "A map: the heated house as a dryer")


def _place(mine):
    return climate.get(mine.place).name
