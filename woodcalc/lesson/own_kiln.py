"""A kiln of one's own: the panel that designs a solar kiln and prints it, and a room with a dehumidifier."""

from __future__ import annotations

import asyncio
import base64
import html
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

import ipywidgets as w

from woodcalc.disk import in_words, short_path
from woodcalc.figures import own_kiln as figures
from woodcalc.kiln import room
from woodcalc.lesson.box import button, framed, note, table
from woodcalc.lesson.lists import THICKNESSES, months, place_names, wood_names
from woodcalc.lesson.panel import Panel, choice, slider
from woodcalc.lesson.worked import Worked, worked
from woodcalc.records import choices
from woodcalc.records.keep import save_made

if TYPE_CHECKING:
    from woodcalc.kiln.design import SolarKiln

__all__ = ["KilnPanel", "design_panel", "dehumidifier_room"]

PAGE = "kiln.html"  # in the learner's own folder
THIN = [each for each in THICKNESSES if int(each.split("/")[0]) <= 16]
_PAUSE_S, _BREATH_S = (
    0.3,
    0.01,
)  # after the last move of a dial; between one run and the next, for a move that waits
_LATER = "The months side by side, and what each change buys, follow a second or two after you move a dial."


class KilnPanel(Panel):
    """The panel that `design_panel` makes: the picture at once, its tables when the dials rest, and pages to print."""

    _waiting: asyncio.TimerHandle | None

    def __init__(self) -> None:
        self._made, self._waiting = False, None
        self._stood: dict[str, Any] = {}
        self.print_button = button("Print my kiln")
        self.printed_line, self.tables_line = w.HTML(), w.HTML(note(_LATER))
        dials = [
            slider("load_bf", "Load (bf)", 100, 2000, 50, 800),
            choice("wood", "Wood", wood_names(), "black cherry"),
            choice("thickness", "Thickness (quarters of an inch)", THIN, "5/4"),
            choice("start", "Moisture at the start", list(figures.STARTS)),
            choice("place", "Place", place_names(), "Madison, WI"),
            choice("month", "Loaded, middle of", months(), 5),
            slider("bf_per_ft2", "Board feet for each square foot of glass (bf)", 4, 25, 1, 10),
            slider("slope_deg", "Slope of the glass (degrees)", 20, 70, 1, 43),
            slider("facing_deg", "It faces, by the compass; south is 180 (degrees)", 90, 270, 5, 180),
            slider("shade_h", "Sun lost to trees, morning and evening together (h)", 0.0, 8.0, 0.5, 0.0),
            choice("glazing", "Layers of glazing", [1, 2, 3], 2),
            slider("insulation_r", "Walls (R-value)", 2, 40, 1, 11),
            slider("fan_ft_min", "Air between the boards (ft a minute)", 50, 300, 10, 150),
            slider("fan_w", "Fans draw; 0: figured from load and speed (W)", 0, 2000, 10, 0),
            choice("timer", "Fans run", list(figures.TIMERS)),
            slider("cents", "A kWh costs (cents)", 5, 60, 1, 17),
        ]
        super().__init__(figures.design, dials, "My solar kiln")
        right = self.children[1].children[
            1
        ]  # beside so many dials there is room for the sizes and the section
        right.children = (*right.children, self.below)
        more = w.VBox([self.tables_line, self.print_button, self.printed_line])
        *above, names = (each for each in self.children if each is not self.below)
        self.children = (*above, more, names)
        self.print_button.on_click(lambda _: self.write())
        self._made = True

    @property
    def kiln(self) -> SolarKiln:
        """The kiln that the dials stand for."""
        return figures.made(**{d.name: d.widget.value for d in self.all_dials if d.name != "month"})

    def _redraw(self, change: Any = None) -> None:
        super()._redraw(change)
        stand = {d.name: d.widget.value for d in self.all_dials}
        if self._made and stand != self._stood:  # not for its first picture: a lesson opens without them
            self._wait()
        self._stood = stand

    def close(self) -> None:
        """Take the panel off the page, and leave what it was working out."""
        if self._waiting:
            self._waiting.cancel()
        super().close()

    def _wait(self):
        """Begin the tables when the dials have rested; where nothing else goes on meanwhile, they are left."""
        if self._waiting:
            self._waiting.cancel()
        self.printed_line.value = ""
        try:
            loop = asyncio.get_running_loop()
        except RuntimeError:
            return
        self.tables_line.value = note("Working out the months and what each change buys ...")
        steps = self.work_out()
        self._waiting = loop.call_later(_PAUSE_S, self._go_on, loop, steps)

    def _go_on(self, loop, steps):
        try:
            if next(steps, None) is not None:
                self._waiting = loop.call_later(_BREATH_S, self._go_on, loop, steps)
        except Exception as error:  # said where the tables would stand
            self.tables_line.value = note(in_words(error), "warn")

    def work_out(self) -> Iterator[str]:
        """Work out the tables run by run, each time saying what for, and show them."""
        kiln, month = self.kiln, self.dials["month"].value
        yield "this kiln"
        for each in range(1, 13):
            kiln.looks(each)
            yield f"month {each}"
        for words, changed in kiln.changed().items():
            changed.looks(month)
            yield words
        self.tables_line.value = figures.tables_told(kiln, month)

    def write(self) -> None:
        """Write the pages of the kiln into the learner's own folder, and show them."""
        try:
            page = figures.kiln_page(self.kiln, self.dials["month"].value)
            path = save_made(choices.folder() / PAGE, page)
        except Exception as error:  # the panel stands all the same
            self.printed_line.value = note(f"The pages were not written: {in_words(error)}", "warn")
            return
        saved = base64.b64encode(page.encode("utf-8")).decode()
        self.printed_line.value = (
            note(f"Written to {short_path(path)}. Open it in a browser, and print it from there.", "good")
            + f'<p><a download="{PAGE}" href="data:text/html;base64,{saved}">Save a copy of these pages</a></p>'
            + framed(page, "My solar kiln, as it prints", 560, self.big)
        )


def design_panel() -> KilnPanel:
    """Panel: a solar kiln of one's own, its glass, box, vents, fans, days and dollars, and its pages to print."""
    return KilnPanel()


def dehumidifier_room() -> Worked:
    """Return the box that sizes a dehumidifier for a room: machine against load, steps, power at one's price.

    Examples
    --------
    >>> "pints a day" in dehumidifier_room().told.value
    True
    """
    dials = [
        choice("wood", "Wood", wood_names(), "black cherry"),
        choice("thickness", "Thickness", THIN, "5/4"),
        choice("start", "Moisture at the start", list(figures.STARTS), "25 %"),
        slider("room_f", "Room around it (F)", 50, 85, 1, 65),
        slider("cents", "A kWh costs (cents)", 5, 60, 1, 17),
    ]
    return worked(_room, dials, "A room with a dehumidifier", "09")


def _room(wood: str, thickness: str, start: str, room_f: int, cents: int) -> str:
    sizes = room.machine_sizes(wood, thickness, figures.STARTS[start], room_f=room_f, usd_per_kwh=cents / 100)
    rows: list[list[Any]] = [
        [
            f"{r.load_bf:.0f} bf", f"{r.water_lb:.0f} lb", f"{r.most_pints:.0f}", f"{r.pints_per_day:.0f}",
            "-" if r.days != r.days else f"{r.days:.0f}", f"{r.kwh:.0f}", f"{r.cost_usd:.0f}",
        ]
        for r in sizes.itertuples()
    ]  # fmt: skip
    steps = room.steps(wood, thickness, figures.STARTS[start])
    told = [
        [f"over {s.above_pct:.0f} %" if s.above_pct else "below that, to the end", f"{s.rh_pct:.0f} %"]
        for s in steps.itertuples()
    ]
    items = "".join(f"<li>{html.escape(line)}</li>" for line in room.advice(wood, thickness, sizes))
    return (
        f"<ul>{items}</ul>"
        + table(
            ["load", "water", "most a day (pints)", "machine (pints a day)", "days to 8 %", "kWh", "dollars"],
            rows,
        )
        + table(["while the wettest sample board is", "keep the air at"], told)
    )
