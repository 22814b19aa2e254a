"""Panels: sliders on the left, the picture they draw on the right, one sentence under it that reads it out."""

from __future__ import annotations

import gc
import html
import math
import warnings
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

import ipywidgets as w
import traitlets

from woodcalc.checks import InputError, RangeWarning, quoted
from woodcalc.dates import calendar_day
from woodcalc.disk import in_words, plainly
from woodcalc.figures.paper import with_names
from woodcalc.figures.style import to_img
from woodcalc.lesson import own
from woodcalc.lesson.box import Box, beside, labelled, note
from woodcalc.lesson.mine import BESIDE, DAY, EXAMPLE, STAYS, bears_on, for_all, offers, wanted
from woodcalc.records.amounts import read_amount_of_any_unit, unit_of
from woodcalc.sizes import fraction, length_told

AS_THE_TASKS, AS_MINE = "Set these dials as the tasks ask", "Set these dials to mine"
_MIDDLE = 15  # the day that a dial of months stands for


@dataclass(frozen=True)
class Dial:
    """One control of a panel: what `draw` calls it, the label with its unit, and the widget that shows it.

    Made by `slider`, `choice` and `switch`. A slider has a `field` beside it, for a number that is typed.
    """

    name: str
    label: str
    widget: w.Widget
    row: w.Widget
    field: TypedNumber | None = None


class TypedNumber(w.Text):
    """The field beside a slider: it takes a number as people write it, and says in `told` what became of it.

    A number in another unit of the same measure is taken, too; `taken` says what it is in the dial's own.

    Parameters
    ----------
    bar : FloatSlider or IntSlider
        The slider; the two stay in step.
    label : str
        What the learner reads, ending in the unit.

    Examples
    --------
    >>> bar = w.FloatSlider(16, min=8, max=24, step=0.5)
    >>> field = TypedNumber(bar, "Narrowest way, inside bark (in)")
    >>> field.value = "12 1/2"
    >>> bar.value, field.told
    (12.5, '')
    >>> field.value = "30 cm"
    >>> bar.value, field.taken
    (11.8125, '30 cm is 11-13/16 in.')
    >>> field.value = "30 in"
    >>> bar.value, field.value, field.told[:59]
    (11.8125, '30 in', "Narrowest way, inside bark: found '30 in'; expected a numbe")
    """

    told = traitlets.Unicode("")  # "" if the dial stands where it was asked to
    taken = traitlets.Unicode("")  # what was taken for what, if it was written in another unit

    def __init__(self, bar: w.Widget, label: str) -> None:
        self._bar, self._label = bar, label
        self._name, _, unit = label.partition(" (")
        self._unit = unit.removesuffix(")")
        self._taking, self._taken, self._step = False, float(bar.value), bar.step
        super().__init__(self.shows(bar.value), continuous_update=False, layout=w.Layout(width="84px"))
        bar.observe(lambda _: self._follow(), "value")
        self.observe(lambda _: self._take(), "value")

    def _follow(self):
        """Show where the slider stands; moved by hand, it goes by its usual steps again."""
        if self._taking or self._echoed():
            return
        if self._bar.step != self._step:
            self._taking = True
            self._bar.value = self._next(self._bar.value)  # before the step: see `_put`
            self._bar.step = self._step
            self._taking = False
        self.value, self.told, self.taken = self.shows(self._bar.value), "", ""

    def _take(self):
        """Move the slider to the number that was typed, exactly; or leave it, and say why."""
        bar = self._bar
        if self.value == self.shows(bar.value) or not self.value.strip():
            self._follow()
            return
        whole, taken = isinstance(bar.value, int), ""
        try:
            wanted, taken = read_amount_of_any_unit(self.value, self._unit, self._label)
            if not bar.min <= wanted <= bar.max or (whole and wanted != int(wanted)):
                raise InputError(taken)
        except InputError as why:
            self.taken = ""
            stands = self.shows(bar.value)
            self.told = (
                f"{self._name}: found {quoted(self.value.strip())}; expected a {'whole ' * whole}number from "
                f"{self.shows(bar.min)} to {self.shows(bar.max)}. {f'{why} ' * bool(str(why))}"
                f"The dial stays at {stands}."
            )
            return
        self._taking = True  # what was written stays as it was written
        self._put(wanted)
        self._taking = False
        self.told, self.taken = "", taken

    def put(self, value: float) -> None:
        """Set the slider to a value within its ends, exactly, also between its steps."""
        self._put(value)
        self.value, self.told, self.taken = self.shows(self._bar.value), "", ""

    def _put(self, value):
        self._taken = value
        # The page moves a value to the nearest step, and sends that back: no step that the old value is not on
        self._bar.step = _common(self._bar.step, value - self._bar.min)
        self._bar.value = type(self._bar.value)(value)

    def _next(self, value):
        """The next number that the usual steps lead to, the way the slider was moved."""
        bar = self._bar
        steps, most = (value - bar.min) / self._step, math.floor((bar.max - bar.min) / self._step + 1e-9)
        whole = math.ceil(steps - 1e-6) if value > self._taken else math.floor(steps + 1e-6)
        return type(bar.value)(bar.min + min(whole, most) * self._step)

    def _echoed(self):
        """True if the slider stands where the last number that was typed has put it, but for the page's rounding."""
        return self._bar.step != self._step and abs(self._bar.value - self._taken) < 0.9 * min(
            self._bar.step, 1e-4
        )

    def shows(self, value: float) -> str:
        """Return a value of the slider as the field shows it; inches as on a tape, if it goes by parts of one.

        A log that was measured in centimeters is shown to the nearest sixteenth, like one that is typed so.
        """
        by_tape = unit_of(self._unit) == "in" and self._step * 64 % 1 == 0 and value >= 0
        if by_tape and (value * 64 % 1 == 0 or value >= _BY_SIXTEENTHS_IN):
            return fraction(value, 64 if value * 64 % 1 == 0 else 16)
        return f"{round(value, 3):.7g}"


_BY_SIXTEENTHS_IN = 3.0  # what is shorter is measured with a caliper


def _common(step, way):
    """The widest step that goes into the usual step and leads to a number typed between two of them."""
    common = math.gcd(round(step * 1e6), round(way * 1e6)) / 1e6
    return int(common) if isinstance(step, int) else common


def told_by(dials: Sequence[Dial]) -> str:
    """Return what the dials say of the numbers that were typed, a line for each; "" if all stand where asked.

    Examples
    --------
    >>> length = slider("length_ft", "Length (ft)", 8, 16, 2, 12)
    >>> length.field.value = "11.5"
    >>> told_by([length])
    "Length: found '11.5'; expected a whole number from 8 to 16. The dial stays at 12."
    """
    return "\n".join(d.field.told for d in dials if d.field and d.field.told)


def taken_by(dials: Sequence[Dial]) -> str:
    """Return what the dials took for what, where a number was typed in another unit, a line for each.

    Examples
    --------
    >>> length = slider("length_ft", "Length (ft)", 6.0, 24.0, 1.0, 12.0)
    >>> length.field.value = "3 m"
    >>> taken_by([length])
    'Length: 3 m is 9.843 ft.'
    """
    return "\n".join(
        f"{d.label.partition(' (')[0]}: {d.field.taken}" for d in dials if d.field and d.field.taken
    )


def slider(name: str, label: str, low: float, high: float, step: float, start: float) -> Dial:
    """Return a slider with a field for typing; neither can leave `low` to `high`.

    Parameters
    ----------
    name : str
        Keyword of the draw function, with the unit, e.g. ``"small_in"``.
    label : str
        What the learner reads, ending in the unit: ``"Small end, inside bark (in)"``.
    low, high, step, start : float
        Range, step and first value: the case that the text speaks of. All ints gives an int slider.

    Returns
    -------
    Dial

    Examples
    --------
    >>> slider("length_ft", "Length (ft)", 8, 16, 2, 12).widget.value
    12
    """
    whole = all(isinstance(v, int) for v in (low, high, step, start))
    bar = (w.IntSlider if whole else w.FloatSlider)(
        min=low,
        max=high,
        step=step,
        value=start,
        readout=False,
        continuous_update=True,
        layout=w.Layout(flex="1 1 auto", width="auto"),
    )
    field = TypedNumber(bar, label)
    return Dial(name, label, bar, labelled(label, w.HBox([bar, field])), field)


def choice(name: str, label: str, options: Sequence[Any], start: Any = None) -> Dial:
    """Return a drop-down list.

    Parameters
    ----------
    name : str
        Keyword of the draw function.
    label : str
        What the learner reads.
    options : list of str or of (str, value)
        In the order shown.
    start : value, optional
        First value; the first option if not given.

    Examples
    --------
    >>> choice("pattern", "Pattern", ["cant", "quartered"]).widget.value
    'cant'
    """
    menu = w.Dropdown(options=options, layout=w.Layout(width="auto"))
    if start is not None:
        menu.value = start
    return Dial(name, label, menu, labelled(label, menu))


def switch(name: str, label: str, start: bool = False) -> Dial:
    """Return a check box; its value is True or False.

    Examples
    --------
    >>> switch("roof", "Roof over the pile", True).widget.value
    True
    """
    tick = w.Checkbox(value=start, description=label, indent=False, layout=w.Layout(width="auto"))
    return Dial(name, label, tick, tick)


class Panel(Box):
    """Sliders, picture and reading line in one box; made by `panel`.

    Before the lesson runs, a reader sees the picture of the first values and one sentence (the HTML beside the
    widget in the saved output); after the run, the live sliders.
    """

    invitation = "An example, until you press <b>Run this lesson</b> in the toolbar and move the sliders."

    def __init__(
        self,
        draw: Callable[..., tuple[Any, ...]],
        dials: Sequence[Dial],
        title: str,
        mine: bool = True,
        takes_day: bool = False,
        printed: Mapping[str, Any] | None = None,
    ) -> None:
        self.draw, self.all_dials, self._takes_day = draw, dials, takes_day
        self._printed, self._beside = dict(printed or {}), dict[str, Any]()
        self._day: date | None = None  # that the stack went up which the dials are set to
        self._first = {d.name: d.widget.value for d in dials}
        self._setting, self._not_set, self._ready, self._narrow = False, "", False, False
        self._sentence = ""
        self._still: tuple[str, str] | None = None  # until a setting draws
        self.picture = w.HTML(layout=w.Layout(min_width="0"))
        self.reading_line = w.HTML()
        self.below = w.HTML()
        self.note_line = w.HTML()
        self.whose = w.Dropdown(options=[(EXAMPLE, EXAMPLE)], layout=w.Layout(width="auto"))
        self.whose_row = labelled("Set the dials to", self.whose)
        self.stays_line, self.day_line = w.HTML(), w.HTML()
        self._wanted: tuple[str, dict[str, Any]] | None = None  # by the switch at the top of the lesson
        both = beside(
            [self.whose_row, self.stays_line, *(d.row for d in dials), self.day_line],
            [self.picture, self.reading_line, self.note_line],
            270,
        )
        self.tasks_line = w.HTML()
        self.tasks_button = w.Button(layout=w.Layout(width="auto", display="none"))
        self.tasks_button.on_click(lambda _: self._other_way())
        tasks = w.HBox([self.tasks_line, self.tasks_button], layout=w.Layout(flex_flow="row wrap"))
        super().__init__([both, self.below, tasks], f"panel: {title}", title)
        self.add_class("woodcalc-panel")
        self.children[-1].when_narrow = self.narrow
        self._title = title
        for dial in dials:
            dial.widget.observe(self._redraw, "value")
            if dial.field:
                dial.field.observe(lambda _: self._tell(), ["told", "taken"])
        self._doubts = ""
        self.whose.observe(self._set, "value")
        if mine:
            own.follow(f"mine: {title}", self._offer)
        self._offer(mine)
        self._ready = True
        gc.freeze()  # what is loaded by now stays: later collections need not walk through it
        self._redraw()

    @property
    def dials(self) -> dict[str, w.Widget]:
        """The controls by name, for tests: ``panel.dials["small_in"].value = 20``."""
        return {d.name: d.widget for d in self.all_dials}

    @property
    def reading(self) -> str:
        """The sentence that reads the picture out."""
        return self._sentence

    def _offer(self, mine=True):
        """List what is the learner's own and can set these dials; no list where there is nothing."""
        labels = {name: STAYS for name in self._printed} | {d.name: d.label for d in self.all_dials}
        found = offers(labels) if mine else []
        asked = for_all(labels) if mine and wanted().on else None
        if asked and asked[1] and asked not in found:
            found = [asked, *(each for each in found if each[0] != asked[0])]
        told = [(EXAMPLE, EXAMPLE), *found]
        if told != list(self.whose.options):
            self._setting = True  # a list that changes is no choice
            self.whose.options = told
            now = {d.name: d.widget.value for d in self.all_dials}  # a panel may start from the learner's own
            stands = (
                fit for _, fit in found if len(bears_on(fit)) > 2 and bears_on(fit).items() <= now.items()
            )
            self.whose.value = next(stands, EXAMPLE)
            if asked in found and asked == self._wanted:
                self.whose.index = 1 + found.index(asked)
            self._setting = False
        self.whose_row.layout.display = "" if found else "none"
        if asked != self._wanted:
            self._wanted = asked
            self._follow(asked)
        self._tell_tasks()

    def _follow(self, asked):
        """Show what all dials of the lesson are to show, or why these stay; as printed, if that is what is asked."""
        stays = asked and not asked[1]
        self.stays_line.value = note(f"These dials stay as printed: {asked[0]}") if stays else ""
        if asked and asked[1]:
            stood = f"Your own, as it stood on {own.hour_in_words()}."
            self.invitation = f"{stood} Press <b>Run this lesson</b> in the toolbar for today."
        if asked and not stays:  # by its place: two stacks may set these dials alike
            self.whose.index = self.whose.options.index(asked)
        elif not asked:  # the list may stand there already, and then it tells of no change
            self._setting, self.whose.index = True, 0
            self._setting = False
            self._set({"new": EXAMPLE})

    def _set(self, change):
        """Set the dials to the learner's own log, stack or choices, or back; say what a dial can't show."""
        if self._setting:
            return
        cannot = []
        self._setting = True  # one picture for all of them
        for dial in self.all_dials:
            values = self._first if change["new"] == EXAMPLE else change["new"]
            if dial.name in values and not _goes(dial, values[dial.name]):
                cannot.append(f"{dial.label.partition(' (')[0]}: {values[dial.name]} is not on this dial.")
        self._setting, self._not_set = False, "\n".join(cannot)
        fit = {} if change["new"] == EXAMPLE else change["new"]
        self._day, self._beside = fit.get(DAY), fit.get(BESIDE, {})
        self._tell_tasks()
        self._redraw()

    def _tell_tasks(self):
        """Say under the panel that the tasks speak of the example, where the dials show one's own, with a button."""
        fit = {} if self.whose.value == EXAMPLE else self.whose.value
        differs = [d for d in self.all_dials if d.name in fit and d.widget.value != self._first[d.name]]
        back = self._wanted and self._wanted[1] and not fit
        self.tasks_button.description = AS_MINE if back else AS_THE_TASKS
        self.tasks_button.layout.display = "" if differs or back else "none"
        example = "; ".join(_in_words(d, self._first[d.name]) for d in differs)
        said = (
            "These dials stand as the tasks ask."
            if back
            else f"The tasks speak of the book's example: {example}."
        )
        self.tasks_line.value = note(said) if differs or back else ""

    def _other_way(self):
        """Set the dials as the tasks ask, or back to one's own."""
        self.whose.index = 0 if self.whose.value != EXAMPLE else self.whose.options.index(self._wanted)

    def _stacked_on(self):
        """The day that the stack of the dials went up, as long as the dial shows its month."""
        return self._day if self._day and self.dials["month"].value == self._day.month else None

    def _tell_day(self):
        """Say under the dials what of the learner's own they can't show: the stack's day, what stays as printed."""
        day, said = self._stacked_on(), []
        if day and not self._takes_day and day.day != _MIDDLE:
            said.append(f"Your stack went up on {calendar_day(day)}. The dial shows mid-{day:%B}.")
        said += [
            _as_printed(name, stands, self._beside[name])
            for name, stands in self._printed.items()
            if self._beside.get(name, stands) != stands
        ]
        self.day_line.value = note("\n".join(said)) if said else ""

    def draw_again(self) -> None:
        """Draw the setting once more: what it is drawn from has changed."""
        self._redraw()

    def _tell(self):
        """Say under the picture what became of a number that was typed, then what the drawing has to say."""
        self.note_line.value = note(taken_by(self.all_dials)) + note(
            "\n".join(filter(None, [told_by(self.all_dials), self._not_set, self._doubts])), "warn"
        )

    def _redraw(self, change=None):
        if self._setting or not self._ready:
            return
        if change:
            self._not_set = ""
        self._tell_day()
        gc.disable()  # a collection in the middle of a drawing would be felt on the slider
        try:
            with warnings.catch_warnings(record=True) as doubts:
                warnings.simplefilter("always", RangeWarning)
                asked = {d.name: d.widget.value for d in self.all_dials}
                if self._takes_day and (day := self._stacked_on()):
                    asked[DAY] = day
                figure, sentence, *below = self.draw(**asked, big=self.big or self._narrow)
            picture = to_img(figure, sentence)
        except (
            Exception
        ) as error:  # said where the learner looks; the last good picture stays without a sentence
            self._doubts = self._why(error)
            self._sentence = self.reading_line.value = ""
        else:
            self._sentence, self._still = sentence, self._still or (picture, sentence)
            self.picture.value = picture
            self.reading_line.value = (
                f'<div class="woodcalc-note" aria-live="polite">{html.escape(sentence)}</div>'
            )
            self.below.value = with_names(below[0]) if below else ""
            said = dict.fromkeys(
                plainly(str(d.message)) for d in doubts if issubclass(d.category, RangeWarning)
            )
            self._doubts = "\n".join(said)
        finally:
            gc.enable()
        self._tell()

    def _why(self, error):
        said = in_words(error)
        if not isinstance(error, ValueError):
            said = f"This panel could not draw that setting ({said})."
        return said if self._still else f"{said} There is no picture yet: change a dial, and it tries again."

    def enlarge(self, on: bool) -> None:
        """Show the panel in larger print, its picture drawn anew."""
        super().enlarge(on)
        if self._ready:
            self._redraw()

    def narrow(self, on: bool) -> None:
        """Draw for a box as narrow as a phone, where all of the picture is small: its type and lines grow."""
        if on != self._narrow:
            self._narrow = on
            self._redraw()

    def still(self) -> str:
        """The picture of the first values and its sentence; why there is none, if nothing could be drawn."""
        if self._still is None:
            return f"<p><b>{html.escape(self._title)}</b></p>{self.above}{self.note_line.value}"
        picture, sentence = self._still
        return (
            f"<p><b>{html.escape(self._title)}</b></p>{self.above}{picture}<p>{html.escape(sentence)}</p>"
            f"<p><i>{self.invitation}</i></p>"
        )


def _in_words(dial, value):
    """A dial's name and a value of it, as it shows them."""
    name, _, unit = dial.label.partition(" (")
    if dial.field:
        unit = unit.removesuffix(")").removeprefix("number")  # a plain number has none
        return f"{name.lower()}: {dial.field.shows(value)} {unit}".rstrip()
    return f"{name.lower()}: {next((label for label, known in dial.widget._options_full if known == value), value)}"


def _as_printed(name, stands, own):
    """A sentence on a length or a thickness that a panel has no dial for."""
    if name == "length_ft":
        return f"A {stands:g} ft log, as printed: your log is {length_told(own)}."
    return f"{stands} boards, as printed: your stack is {own}."


def _goes(dial, value):
    """Set a dial to a value; False if it is past its ends or not in its list."""
    bar = dial.widget
    if hasattr(bar, "options"):
        if value not in [known for _, known in bar._options_full]:
            return False
        bar.value = value
    elif dial.field:
        if not bar.min <= value <= bar.max or type(bar.value)(value) != value:
            return False
        dial.field.put(value)
    return True


def panel(
    draw: Callable[..., tuple[Any, ...]],
    dials: Sequence[Dial],
    title: str,
    mine: bool = True,
    takes_day: bool = False,
    printed: Mapping[str, Any] | None = None,
) -> Panel:
    """Return a panel: each slider move calls `draw` and shows what it returns.

    Parameters
    ----------
    draw : callable
        Called as ``draw(**values, big=False)`` with one keyword for each dial; returns
        ``(Drawing, sentence)`` or ``(Drawing, sentence, html)``, the last shown across the full width below.
        Whatever it raises is shown in plain words where the learner looks, and the last good picture stays.
    dials : list of Dial
        From `slider`, `choice` and `switch`.
    title : str
        One line above the picture.
    mine : bool
        The learner's own log, stack and choices are offered as settings, once there are some.
    takes_day : bool
        `draw` takes ``stacked_on``, too: the day that the learner's stack went up, while the dials are set to it. If
        not, a line under the dials tells the day.
    printed : mapping, optional
        What has no dial and is drawn as printed, ``{"length_ft": 12, "nominal": "4/4"}``: a line says so where the
        learner's own differs.

    Returns
    -------
    Panel

    Examples
    --------
    >>> from woodcalc.figures.drawing import Drawing
    >>> from woodcalc.figures.style import drawn
    >>> @drawn
    ... def draw(length_ft):
    ...     return Drawing(), f"A log of {length_ft} ft."
    >>> p = panel(draw, [slider("length_ft", "Length (ft)", 8, 16, 2, 12)], "A log")
    >>> p.dials["length_ft"].value = 16
    >>> p.reading
    'A log of 16 ft.'
    """
    return Panel(draw, dials, title, mine, takes_day, printed)
