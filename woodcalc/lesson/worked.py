"""Boxes that work something out from what the learner types or sets, in words and tables, with no picture."""

from __future__ import annotations

import contextlib
import html
import re
import warnings
from collections.abc import Callable, Sequence

import ipywidgets as w
import traitlets

from woodcalc.checks import InputError, RangeWarning, quoted
from woodcalc.disk import in_words
from woodcalc.figures.paper import with_names
from woodcalc.lesson import answers, kept
from woodcalc.lesson.box import Box, labelled, note
from woodcalc.lesson.panel import Dial, taken_by, told_by
from woodcalc.records.amounts import read_amount, unit_of
from woodcalc.sizes import PLAIN_SIGNS


def typed(name: str, label: str, text: str, rows: int = 1) -> Dial:
    """Return a field for text, of one line or more; sent when it is left, not letter by letter.

    Examples
    --------
    >>> typed("wet_g", "Wet section (g)", "98.55").widget.value
    '98.55'
    """
    Field = w.Text if rows == 1 else w.Textarea
    size = {} if rows == 1 else {"rows": rows}
    layout = w.Layout(width="170px" if rows == 1 else "320px")
    field = Field(value=text, continuous_update=False, layout=layout, **size)
    return Dial(name, label, field, labelled(label, field))


def numbers(text: str, label: str, unit: str = "") -> list[float]:
    """Return the numbers of one line, however they are parted: spaces, commas, semicolons, tabs.

    A whole number, a space and a fraction are one number: ``1 1/8``.

    Parameters
    ----------
    text : str
    label : str
        What to call the line in a message.
    unit : str
        That may stand behind each, ``"in"``.

    Examples
    --------
    >>> numbers("1 1/8 1-1/16 1,08 1.10", "Board 1", "in")
    [1.125, 1.0625, 1.08, 1.1]
    >>> numbers("1.08, 1.09 1.07; 1.10", "Board 1"), numbers("1,08 1,09", "Board 2"), numbers("1.125", "Board 3")
    ([1.08, 1.09, 1.07, 1.1], [1.08, 1.09], [1.125])
    """
    text = re.sub(r"(?<![\d.,/-])(\d+)[ \t\xa0]+(?=\d+/\d)", r"\1-", text.translate(PLAIN_SIGNS))
    # a comma parts numbers where they have points or spaces follow it; otherwise it is a decimal comma
    parts = re.split(r"[;\s]+|,(?=\s|$)|,(?=\d*\.)" if "." in text else r"[;\s]+|,(?=\s|$)", text.strip())
    found = []
    for part in filter(None, parts):
        try:
            found.append(read_amount(part if "." in text else part.replace(",", "."), unit))
        except InputError as why:
            raise InputError(f"{label}: found {quoted(part)}; expected a number like 1.08. {why}") from None
    return found


def one_number(text: str, label: str, low: float, high: float, unit: str = "") -> float:
    """Return the number that a field holds, or say what was expected; its unit is the one its label ends in.

    Examples
    --------
    >>> one_number("$500", "A thousand board feet ($)", 0, 1000)
    500.0
    >>> one_number("4,46", "Board", 0.1, 100, "lb")
    4.46
    >>> one_number("98.55 g", "Wet section", 0.1, 9999, "g"), one_number("1/8 in", "Kerf", 0.02, 0.5, "in")
    (98.55, 0.125)
    """
    found, why = None, ""
    name, _, in_label = label.removesuffix(")").rpartition(" (")
    unit, label = unit or unit_of(in_label), name if unit_of(in_label) else label
    try:
        found = read_amount(text, unit, label)
    except InputError as error:
        why = f" {error}"
    if found is None or not low <= found <= high:
        expected = f"a number from {low:,g} to {high:,g} {unit}".rstrip()
        raise InputError(f"{label}: found {quoted(text.strip())}; expected {expected}.{why}")
    return found


class Worked(Box):
    """Fields above, what follows from them below; made by `worked`."""

    def __init__(self, work: Callable[..., str], dials: Sequence[Dial], title: str, lesson: str) -> None:
        self._work, self.all_dials, self._title, self._lesson = work, dials, title, lesson
        self._first = {d.name: d.widget.value for d in dials}
        self.told, self.unkept_line, self._said, self._follows = w.HTML(), w.HTML(), "", ""
        self._bring_back()
        rows = w.Box([d.row for d in dials], layout=w.Layout(flex_flow="row wrap"))
        super().__init__([rows, self.told, self.unkept_line], f"box: {title}", title)
        self.add_class("woodcalc-form")
        self.add_class("woodcalc-told")
        for dial in dials:
            dial.row.add_class("woodcalc-dial")  # a switch, too, keeps its room
            if hasattr(
                dial.widget, "continuous_update"
            ):  # what follows takes a tenth of a second, and is kept
                dial.widget.continuous_update = False
            dial.widget.observe(self._changed, "value")
            if dial.field:
                dial.field.observe(lambda _: self._tell(), ["told", "taken"])
        answers.remember(self.name, self)
        self.again()

    @property
    def name(self) -> str:
        """What its numbers are kept under."""
        return f"own: {self._title}"

    @property
    def dials(self) -> dict[str, w.Widget]:
        """The fields by name, for tests."""
        return {d.name: d.widget for d in self.all_dials}

    def _bring_back(self):
        """Put the numbers of the last time into the fields, as far as they still fit."""
        then = kept.written().get(self.name, {})
        for dial in self.all_dials:
            text = then.get(dial.name)
            if isinstance(text, str) and text != str(dial.widget.value):
                with contextlib.suppress(ValueError, traitlets.TraitError):
                    ticked = isinstance(dial.widget.value, bool)
                    dial.widget.value = text == "True" if ticked else type(dial.widget.value)(text)

    def _changed(self, change):
        self.again()
        now = {name: field.value for name, field in self.dials.items()}
        mine = {name: str(value) for name, value in now.items() if value != self._first[name]}
        try:
            kept.keep(self.name, self._lesson, self._title, " ".join(mine), **mine)
        except Exception as error:  # whatever it is, the box goes on
            self.unkept_line.value = note(
                f"What you set here can't be kept for the next time. {in_words(error)}", "warn"
            )
        else:
            self.unkept_line.value = ""

    def start_over(self) -> None:
        """Put the first numbers back."""
        for dial in self.all_dials:
            dial.widget.value = self._first[dial.name]

    def _tell(self):
        """Say what became of a number that was typed beside a slider, then what follows from the fields."""
        self._said = note(taken_by(self.all_dials)) + note(told_by(self.all_dials), "warn")
        self.told.value = self._said + with_names(self._follows)

    def again(self) -> None:
        """Work it out once more: what it rests on has changed."""
        if self.comm is None:  # closed: its cell has run again
            return
        try:
            with warnings.catch_warnings(record=True) as doubts:
                warnings.simplefilter("always", RangeWarning)
                told = self._work(**{d.name: d.widget.value for d in self.all_dials})
            said = dict.fromkeys(str(d.message) for d in doubts if issubclass(d.category, RangeWarning))
            self._follows = note("\n".join(said), "warn") + told
        except Exception as error:  # what was typed stays in the fields
            self._follows = note(in_words(error), "warn")
        self._tell()

    def still(self) -> str:
        """What follows from the first values, without the files that it offers to save."""
        told = re.sub(r"<p><a download=.*?</p>", "", self._said + self._follows)
        return (
            f"<p><b>{html.escape(self._title)}</b></p>{self.above}{told}"
            "<p><i>Press <b>Run this lesson</b> in the toolbar to put in your own numbers.</i></p>"
        )


def worked(work: Callable[..., str], dials: Sequence[Dial], title: str, lesson: str) -> Worked:
    """Return a box that shows what `work` makes of its fields, at once and after each change.

    Parameters
    ----------
    work : callable
        Called with one keyword for each field; returns HTML. What it raises is shown in plain words, and what was
        typed stays.
    dials : list of Dial
        From `typed`, `panel.slider` and `panel.choice`.
    title : str
        Also the name that its numbers are kept under, for the next time.
    lesson : str
        Two digits.

    Returns
    -------
    Worked

    Examples
    --------
    >>> box = worked(lambda wet_g: f"<p>{one_number(wet_g, 'Wet', 1, 999, 'g'):.0f} g</p>",
    ...              [typed("wet_g", "Wet (g)", "98.55")], "A section", "04")
    >>> box.told.value
    '<p>99 g</p>'
    >>> box.dials["wet_g"].value = "ninety"
    >>> "Wet: found &#x27;ninety&#x27;; expected a number from 1 to 999 g" in box.told.value
    True
    """
    return Worked(work, dials, title, lesson)
