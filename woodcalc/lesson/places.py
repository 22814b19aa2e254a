"""The place picker: a station found by ZIP code, town or position, twelve months of one's own, or a weather file."""

from __future__ import annotations

import html
import math
import re
from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import Any

import ipywidgets as w

from woodcalc import climate, units
from woodcalc.checks import InputError
from woodcalc.climate import Site, places
from woodcalc.climate.places import Offer, Spot
from woodcalc.lesson import own
from woodcalc.lesson.box import Ask, Form, button, labelled, note, table
from woodcalc.lesson.take_out import TakeOut
from woodcalc.lesson.worked import numbers, one_number
from woodcalc.records import choices
from woodcalc.records.choices import kept_choices
from woodcalc.records.columns import TABLES

WAYS = [
    ("ZIP code, town, or latitude and longitude", "map"),
    ("twelve months of my own figures", "months"),
    ("a weather file of mine (TMY3 or EPW)", "file"),
]
_NOT_WEATHER = {f"{name}.csv" for name in (*TABLES, "answers")}
_HEIGHT_MATTERS_FT = 300.0  # a map as far off moves the air by 1 F, and the order of the stations (judgment)
_LARGEST_FILE = 50_000_000  # bytes; a year of hours has 2
_MOST_FILES = 30


class PlacePicker(Form):
    """Choose the place for all lessons; made by `place_picker`."""

    not_lost = ""

    def __init__(self) -> None:
        wide, half = w.Layout(width="min(420px, 100%)"), w.Layout(width="170px")
        typed = {"continuous_update": False, "layout": wide}
        self._spots: list[Spot] = []
        self._offers: list[Offer] = []
        self._shown: list[Offer] = []
        self._busy = False
        self.way = w.Dropdown(options=WAYS, layout=wide)
        self.asked = w.Text(placeholder="54665, or Viroqua WI, or 43.56, -90.89", **typed)
        self.height = w.Text(placeholder="a map tells it roughly", continuous_update=False, layout=half)
        self.find = button("Find stations")
        self.which = w.Dropdown(layout=wide)
        self.shown, self.changes = w.HTML(), w.HTML()
        # one button a station: a list and a button beside it can reach the kernel in the other order
        self.stations = w.HBox(layout=w.Layout(flex_flow="row wrap", grid_gap="8px"))
        self.name = w.Text(value="My own air", **typed)
        self.degrees = w.Dropdown(options=[("Fahrenheit", "F"), ("Celsius", "C")], layout=half)
        self.temps = w.Text(placeholder="20 24 35 47 58 67 71 69 61 50 37 25", **typed)
        self.humid = w.Text(placeholder="78 76 73 68 68 70 74 78 79 75 78 80", **typed)
        self.keep_months, self.question = button("Check and use these months"), Ask()
        self.file = w.Combobox(options=_weather_files(), placeholder="my-station.epw", **typed)
        self.keep_file = button("Read and use this file")
        self._which_row = labelled("Which one do you mean", self.which)
        self._found = w.VBox([self.shown, self.stations, self.changes])
        self._parts = {
            "map": w.VBox([self.find, self._which_row, self._found]),
            "months": w.VBox(
                [
                    labelled("What to call it", self.name),
                    labelled("Degrees", self.degrees),
                    labelled("Mean temperature of each month, January to December", self.temps),
                    labelled("Mean relative humidity of each month (%), January to December", self.humid),
                    self.keep_months,
                ]
            ),
            "file": w.VBox(
                [labelled("The file: its path, or its name in my-wood", self.file), self.keep_file]
            ),
        }
        self._where = w.VBox(
            [
                labelled("ZIP code, town and state, or latitude and longitude", self.asked),
                labelled("Height above sea level (ft), if you know it", self.height),
            ]
        )
        above = [
            labelled("How do you want to give your place?", self.way),
            self._where,
            *self._parts.values(),
            self.question,
        ]
        super().__init__(above, [], "form: your place", "Your place")
        self.take_out = TakeOut(self, choices.OWN_PLACES)
        self.children = (*self.children[:-1], self.take_out, self.children[-1])
        self.way.observe(lambda _: self._show_way(), "value")
        self.find.on_click(lambda _: self.safely(self._look))
        self.asked.observe(
            lambda _: self.safely(self._look if self.way.value == "map" else self._show_way), "value"
        )
        self.height.observe(lambda _: self.safely(self._offer if self._spots else self._show_way), "value")
        self.which.observe(lambda _: self.safely(self._offer), "value")
        self.keep_months.on_click(lambda _: self.safely(self._use_months))
        for field in (
            self.name,
            self.degrees,
            self.temps,
            self.humid,
            self.asked,
            self.height,
            self.way,
            self.file,
        ):
            field.observe(lambda _: self.question.hide(), "value")
        self.keep_file.on_click(lambda _: self.safely(self._use_file))
        self._show_way()
        self.tell(f"The lessons use {kept_choices().place} now.")

    def _show_way(self):
        for way, part in self._parts.items():
            part.layout.display = "" if way == self.way.value else "none"
        self._where.layout.display = "none" if self.way.value == "file" else ""
        self._which_row.layout.display = "" if len(self._spots) > 1 else "none"
        self._found.layout.display = "" if self._offers else "none"

    def safely(self, do: Callable[[], Any]) -> None:
        """Do it, unless a list is just being filled, and show the way that is chosen."""
        if self._busy:
            return
        super().safely(do)
        self._busy = False
        self._show_way()

    def _look(self):
        """Find the place that was typed, and offer the stations for it."""
        self._spots, self._offers = [], []
        self._spots = places.find(self.asked.value)
        self._busy = True
        self.which.options = [(spot.name, i) for i, spot in enumerate(self._spots)]
        self.which.value = 0
        self._busy = False
        self._offer()

    def _height_ft(self, spot):
        """Height of the place, how far it may be off, and how it is known."""
        if self.height.value.strip():
            told = one_number(self.height.value, "Height above sea level", -300, 20_000, "ft")
            return told, 0.0, f"Your place lies {told:,.0f} ft above the sea, as you typed."
        if places.island(spot.latitude, spot.longitude):
            asks = "The map is too coarse for an island: how high your place lies isn't known here. Type it above."
            return math.nan, 0.0, asks
        told = places.map_elevation_ft(spot.latitude, spot.longitude)
        if math.isnan(told):
            return told, 0.0, "How high your place lies isn't known here. Type it if you know it."
        good_to = places.map_good_to_ft(spot.latitude, spot.longitude)
        ask = (
            "Height matters here: type it above, from a topographic map or a phone."
            if good_to >= _HEIGHT_MATTERS_FT
            else "If you know it better, type it above."
        )
        about = (
            f"Your place lies about {round(told, -2):,.0f} ft above the sea by a coarse map, which may be "
            f"{_round(good_to):,.0f} ft off."
        )
        return told, good_to, f"{about} {ask}"

    def _offer(self):
        """Offer the stations for the place that is chosen in the list."""
        self._offers = []
        spot = self._spots[self.which.value]
        height_ft, good_to, how = self._height_ft(spot)
        self._offers = places.near(spot.latitude, spot.longitude, height_ft, good_to_ft=good_to)
        if self._offers != self._shown:  # a second look leaves the buttons that somebody may be pressing
            self.stations.children = [self._button(offer) for offer in self._offers]
            self._shown = self._offers
        margin = (
            f"From one such station to the next, where wood rests over the year differs by {places.STANDS_FOR_PCT:g} "
            "points, and your place may differ as much."
        )
        said = spot.says or f"Found {spot.name}."
        if len(self._spots) > 1:
            said += f" There are {len(self._spots)} places to choose from: say which."
        sea = _of_the_sea(spot, self._offers)
        why = note("\n".join(filter(None, (how, why_first(self._offers), sea, margin))))
        self.shown.value = note(f"{said} Is that the place you mean?", "ask") + why + _as_table(self._offers)
        self.tell(f"{said} {self._offers[0].name} stands first among its stations.")
        self._tell_changes(self._offers[0])

    def _button(self, offer):
        """A button that keeps the station whose name it shows, whatever has been typed since."""
        made = button(f"Use {offer.name}")

        def use():
            self._keep(offer.name)
            self._tell_changes(offer)

        made.on_click(lambda _: self.safely(use))
        return made

    def _tell_changes(self, offer):
        self.changes.value = note(
            f"{offer.name}:\n"
            + "\n".join(places.what_changes(offer.name, _surely_higher(offer), by_map=offer.good_to_ft > 0))
        )

    def _use_months(self, sure=False):
        self.question.hide()
        temps = _twelve(self.temps.value, "Mean temperature", self.degrees.value)
        humid = _twelve(self.humid.value, "Mean relative humidity", "%")
        if self.degrees.value == "C":
            temps = [units.fahrenheit(t) for t in temps]
        spot: Spot | None = None
        offer: Offer | None = None
        if self.asked.value.strip():
            spot = places.find(self.asked.value)[0]
            height_ft, good_to, _ = self._height_ft(spot)
            offer = places.near(spot.latitude, spot.longitude, height_ft, good_to_ft=good_to)[0]
        if self.degrees.value == "C" and max(temps) > 113:
            raise InputError("These are more than 45 C. Are they Fahrenheit? Then choose that above.")
        if slip := places.slip_in_months(temps, humid, offer.name if offer else None):
            raise InputError(slip)
        site = places.own_year(self.name.value.strip(), temps, humid, offer, spot)
        beside = places.against_station(temps, humid, offer) if offer else ""
        asked = places.doubts_in_months(temps, humid, offer)
        if choices.another_year(site):
            asked.append(
                f"A year of {site.name} is kept already, with other figures. This one would take its place."
            )
        if asked and not sure:
            self.tell("Not kept yet. Look at the question.", "warn")
            self.question.ask(
                "\n".join(filter(None, [*asked, beside])),
                "Keep it all the same",
                "Correct it",
                lambda: self.safely(partial(self._use_months, sure=True)),
            )
            return
        more = (
            f"The day's range, wind and sun are those of {offer.name}."
            if offer
            else "With a ZIP code or town above, the book takes sun and wind from a station near by. Without them the "
            "solar kiln of lesson 9 has no sun to work with."
        )
        read = spot.says if spot else ""
        self._keep_own(site, " ".join(filter(None, [read, more, beside])))

    def _use_file(self, sure=False):
        self.question.hide()
        path = _path(self.file.value)
        site = climate.read_weather_file(path)
        temps, humid = list(site.monthly.temp_f.round(1)), list(site.monthly.rh_pct.round(1))
        if slip := places.slip_in_months(temps, humid):
            raise InputError(f"{path.name}: {slip}")
        asked = places.doubts_in_months(temps, humid) if site.latitude > 0 else []
        spot = places.find(self.asked.value)[0] if self.asked.value.strip() else None
        afar = _afar(site, spot)
        asked += [f"{afar} Is it the right file?"] if afar and spot else []
        if asked and not sure:
            self.tell("Not kept yet. Look at the question.", "warn")
            again = partial(self._use_file, sure=True)
            self.question.ask(
                "\n".join(asked), "Keep it all the same", "Leave it", lambda: self.safely(again)
            )
            return
        if not site.name.endswith("(my file)"):
            site = replace(site, name=f"{site.name} (my file)")
        kept = "The book keeps the twelve months of the file, not its hours."
        self._keep_own(site, f"{kept} {afar}".strip())

    def _keep_own(self, site: Site, more: str) -> None:
        choices.keep_place(site)
        emc = site.monthly.emc_pct
        dry, damp = int(emc.idxmin()), int(emc.idxmax())
        self._keep(
            site.name,
            f"{more} In its air wood rests at {emc[dry]:.1f} % in {climate.MONTHS[dry - 1]} and {emc[damp]:.1f} % in "
            f"{climate.MONTHS[damp - 1]}.",
        )

    def _keep(self, name: str, more: str = "") -> None:
        kept = choices.keep(place=name)
        self.tell(f"{kept.place} is kept for all lessons, the plan and the desk. {more}".strip(), "good")
        own.saved()

    def still(self) -> str:
        """What the lessons use now, and how to change it."""
        return (
            f"<p><b>Your place</b></p><p>{html.escape(self.said)}</p>"
            "<p><i>Press <b>Run this lesson</b> in the toolbar. Then type a ZIP code, a town, or latitude and "
            "longitude here, and press the button of a weather station.</i></p>"
        )


def _afar(site, spot):
    """That a file's station lies far from where its owner is, or from the place of the lessons so far; else ""."""
    before = kept_choices().place
    here = spot or climate.get(before)
    miles = float(climate.distance_miles(here.latitude, here.longitude, site.latitude, site.longitude))
    if not miles > places.FARTHEST_MILES:  # nor where one of the two has no place
        return ""
    whose = f"{spot.name}, which you typed" if spot else f"{before}, which the lessons used before"
    return f"The file's station, {site.name}, lies {miles:,.0f} miles from {whose}."


def _twelve(text, label, unit):
    """Twelve numbers of a line, January to December."""
    if not re.search(r"[\s;]", text.strip()):
        text = text.replace(",", " ")  # 44,48,53: commas between months
    found = numbers(text, label, unit)
    if len(found) != 12:
        slip = " Is a month missing?" if 6 <= len(found) < 12 else ""
        raise InputError(f"{label}: found {len(found)} numbers; expected 12, January to December.{slip}")
    return found


def _path(text):
    """The file that was named: by its path, or by its name in the learner's own folder."""
    named = text.strip().strip("\"'")
    if not named:
        raise InputError(
            f"No file was named. Put it into {choices.folder()} and type its name, or type its path."
        )
    path = Path(named).expanduser()
    if not path.is_absolute():
        path = choices.folder() / path
    path = choices.within_reach(path)
    if path.suffix.lower() not in (".csv", ".epw"):
        raise InputError(
            f"{path.name}: expected a weather file whose name ends in .csv (TMY3) or .epw. Is it still zipped?"
        )
    if path.is_file() and path.stat().st_size > _LARGEST_FILE:
        raise InputError(f"{path.name} is too large for one year of hours.")
    return path


def _weather_files():
    """Names of files in the learner's own folder that may hold weather."""
    try:
        there = sorted(choices.folder().glob("*.*"))
    except OSError:
        return []
    names = [p.name for p in there if p.suffix.lower() in (".csv", ".epw")]
    return [name for name in names if name.lower() not in _NOT_WEATHER][:_MOST_FILES]


def _round(feet):
    """Feet as a coarse map tells them: to 50 under 1,000, to 100 above."""
    step = 50 if feet < 1000 else 100
    return step * math.ceil(feet / step)


def _surely_higher(offer):
    """How much higher the station lies, if the height of the place tells; else NaN."""
    return offer.higher_ft if abs(offer.higher_ft) > offer.good_to_ft else math.nan


_AS_HIGH_FT, _SERVES_FT = (
    50.0,
    300.0,
)  # under which a height is none; from which another station may serve better


def _higher(offer):
    if math.isnan(offer.higher_ft):
        return ""
    if abs(offer.higher_ft) < _AS_HIGH_FT:
        return "as high as you"
    if abs(offer.higher_ft) <= offer.good_to_ft:
        return "the map can't tell"
    side = "above" if offer.higher_ft > 0 else "below"
    if offer.good_to_ft:
        return f"about {round(abs(offer.higher_ft), -2):,.0f} ft {side} you"
    return f"{abs(offer.higher_ft):,.0f} ft {side} you"


def why_first(offers: Sequence[Offer]) -> str:
    """Return why the first station stands first, where a nearer one does not, in sentences.

    Parameters
    ----------
    offers : sequence of Offer
        As `climate.places.near` has them.

    Returns
    -------
    str

    Examples
    --------
    >>> why_first(places.near(43.07, -89.4))
    'Madison, WI is the nearest station.'
    """
    first, nearest = offers[0], min(offers, key=lambda offer: offer.miles)
    if first is nearest:
        told = f"{first.name} is the nearest station."
        if not abs(_surely_higher(first)) >= _SERVES_FT or not first.good_to_ft:
            return told
        return (
            f"{told} By the map it lies {_higher(first)}. If that is so, a station farther off may serve better: "
            "type your height, and the list goes by it."
        )
    if math.isnan(_surely_higher(nearest)):
        return f"{nearest.name} is nearest of all. {first.name} stands first for its height and distance together."
    lies = f"is {_higher(first)}"
    if not abs(first.higher_ft) < _AS_HIGH_FT and math.isnan(_surely_higher(first)):
        lies = "may lie as high as you: the map can't tell"
    return (
        f"{nearest.name} is nearer, but {_higher(nearest)}. {first.name} {lies}. In a list like this, 660 ft of height "
        "count as much as 60 miles."
    )


def _of_the_sea(spot, offers):
    """A word on the sea, where it is near the place and not near the station that stands first; else ""."""
    site = climate.get(offers[0].name)
    if not places.by_the_sea(spot.latitude, spot.longitude) or places.by_the_sea(
        site.latitude, site.longitude
    ):
        return ""
    coast = [
        offer.name
        for offer in offers[1:]
        if places.by_the_sea(climate.get(offer.name).latitude, climate.get(offer.name).longitude)
    ]
    better = f" {coast[0]} is by the sea, too: it may serve better." if coast else ""
    return f"The sea is near your place, and not near {site.name}: by the sea the air is damper and more even.{better}"


def _as_table(offers):
    rows = []
    for offer in offers:
        emc = climate.get(offer.name).monthly.emc_pct
        rows.append(
            [
                offer.name,
                f"{offer.miles:,.0f}",
                f"{offer.elevation_ft:,.0f}",
                _higher(offer),
                f"{offer.observed_pct:.0f} %",
                f"{emc.min():.1f} to {emc.max():.1f} %",
            ]
        )
    heads = ["Station", "Miles off", "Height (ft)", "Against you", "Measured there", "Wood rests at"]
    caption = "Stations that could stand for your place. What was not measured, the file's makers filled in."
    return table(heads, rows, caption, named=True)


def place_picker() -> PlacePicker:
    """Return the form that chooses the place for all lessons.

    Returns
    -------
    PlacePicker

    Examples
    --------
    >>> picker = place_picker()
    >>> picker.asked.value = "Beckley, WV"
    >>> picker.find.click()
    >>> picker.stations.children[0].description
    'Use Beckley, WV'
    """
    return PlacePicker()
