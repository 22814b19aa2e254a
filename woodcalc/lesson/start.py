"""Panels of lesson 00: the job as a strip, the learner's choices, and whether this computer is ready."""

from __future__ import annotations

import html
import sys
import time
import warnings
from dataclasses import dataclass
from importlib import metadata
from pathlib import Path
from typing import TYPE_CHECKING, Any

import ipywidgets as w
from IPython.display import HTML

from woodcalc import air, climate, logs, species, tables
from woodcalc.checks import RangeWarning
from woodcalc.disk import in_words
from woodcalc.figures import start as figures
from woodcalc.figures.style import to_img
from woodcalc.lesson import own
from woodcalc.lesson.answers import QuestionBox
from woodcalc.lesson.box import note
from woodcalc.lesson.lists import months, place_names, wood_names
from woodcalc.lesson.panel import choice, panel, slider
from woodcalc.records import choices
from woodcalc.records.choices import kept_choices
from woodcalc.sizes import nominal_in

if TYPE_CHECKING:
    from woodcalc.lesson.panel import Panel


__all__ = ["Check", "checks", "choices_panel", "job_strip", "practice_panel", "ready_panel", "switches_panel"]

SLOW_MS = 50  # ten times what it takes elsewhere: a slider would lag behind the hand


def job_strip() -> HTML:
    """Show the job on one page: eleven small pictures, each a link to its lesson."""
    return HTML(figures.strip_html())


def choices_panel() -> Any:
    """Panel: place, wood, thickness and month of stacking; each change is kept for the other lessons."""
    with warnings.catch_warnings(record=True) as doubts:  # a file that cannot be read is told below
        warnings.simplefilter("always", RangeWarning)
        mine = choices.read()
        thicknesses = sorted({*figures.THICKNESSES, mine.thickness}, key=nominal_in)
        dials = [
            choice("place", "Place", place_names(), mine.place),
            choice("species_name", "Wood", wood_names(), mine.species),
            choice("thickness", "Rough thickness (quarter inches)", thicknesses, mine.thickness),
            choice("month", "Month of stacking", months(), mine.month),
        ]
        made = panel(figures.your_wood, dials, "Your wood, your place, your month", mine=False)
    told = w.HTML(note("Change a list and it is kept for all lessons. These stand until you do."))
    following = []
    if doubts:
        told.value = note(" ".join({str(doubt.message): None for doubt in doubts}), "warn")
    made.children = (*made.children[:-1], told, made.children[-1])
    made.kept = told

    def follow():
        """Show the place and the wood that were chosen in their pickers."""
        now = kept_choices()
        for name, chosen, offered in (
            ("place", now.place, place_names),
            ("species_name", now.species, wood_names),
        ):
            dial = made.dials[name]
            if chosen != dial.value:
                following.append(chosen)
                dial.options = offered()
                dial.value = chosen
                following.clear()

    def keep(change):
        if following:
            return
        now = {name: dial.value for name, dial in made.dials.items()}
        now["species"] = now.pop("species_name")
        try:
            choices.keep(**now)
        except Exception as error:  # in a callback it would end in a log that nobody reads
            told.value = note(f"Not kept: {in_words(error)} The picture shows it all the same.", "warn")
        else:
            told.value = note(f"Kept for all lessons, in {choices.folder() / 'choices.json'}", "good")
            own.saved()

    for dial in dials:
        dial.widget.observe(keep, "value")
    own.follow("place of the choices", follow)
    return made


def switches_panel() -> QuestionBox:
    """Panel: two switches for every lesson, larger print and kept answers; each is kept as it is turned."""
    mine = kept_choices()
    labels = {
        "larger_print": "Larger print in every panel, for a class or tired eyes",
        "keep_answers": "Keep the answers I type in a file, answers.csv, for whoever leads the class",
    }
    ticks = {
        name: w.Checkbox(
            value=getattr(mine, name), description=label, indent=False, layout=w.Layout(width="auto")
        )
        for name, label in labels.items()
    }
    told = w.HTML()

    def keep(change):
        try:
            choices.keep(**{name: tick.value for name, tick in ticks.items()})
        except Exception as error:  # in a callback it would end in a log that nobody reads
            told.value = note(f"Not kept: {in_words(error)}", "warn")
        else:
            told.value = note("Kept. It counts when a lesson is run the next time.", "good")

    for tick in ticks.values():
        tick.observe(keep, "value")
    listed = "".join(f"<li>{html.escape(label)}</li>" for label in labels.values())
    box = QuestionBox(
        [*ticks.values(), told], f"<p>Two switches, off until you turn them:</p><ul>{listed}</ul>"
    )
    box.ticks, box.kept = ticks, told
    return box


@dataclass(frozen=True)
class Check:
    """One thing looked at: good or not, and what to say about it (what to do, if it is not good)."""

    good: bool
    what: str
    says: str


def checks() -> list[Check]:
    """Look at what the lessons need of this computer; nothing is changed.

    Returns
    -------
    list of Check

    Examples
    --------
    >>> [c.what for c in checks() if not c.good]
    []
    """
    return [look() for look in (_python, _libraries, _button, _tables, _sums, _folder, _drawing)]


def _python():
    version = ".".join(map(str, sys.version_info[:3]))
    if sys.version_info >= (3, 11):  # noqa: UP036 - whoever runs it on an older one is to be told so
        return Check(True, "Python", f"{version}; 3.11 or newer is needed.")
    return Check(False, "Python", f"{version} is too old: install Python 3.11 or newer, then start over.")


def _libraries():
    from packaging.requirements import Requirement

    wrong, count = [], 0
    for line in metadata.requires("woodcalc") or ():
        need = Requirement(line)
        if need.marker and not need.marker.evaluate({"extra": ""}):
            continue
        count += 1
        try:
            have = metadata.version(need.name)
        except metadata.PackageNotFoundError:
            wrong.append(f"{need.name} is missing")
        else:
            if not need.specifier.contains(have, prereleases=True):
                wrong.append(f"{need.name} {have} (needs {need.specifier})")
    if wrong:
        remedy = "Delete the folder .venv in the book's folder and start the book again."
        return Check(False, "Libraries", f"{'; '.join(wrong)}. {remedy}")
    lab = metadata.version("jupyterlab")
    return Check(True, "Libraries", f"all {count} are here, in the right version; JupyterLab is {lab}.")


def _button():
    settings = Path(sys.prefix) / "share/jupyter/lab/settings/overrides.d/woodcalc.json"
    if settings.is_file():
        return Check(True, "Button", "Run this lesson stands in the toolbar.")
    return Check(
        False,
        "Button",
        "Run this lesson is not in this JupyterLab. Use the menu Run, Run All Cells; or start JupyterLab as the "
        "README says.",
    )


def _tables():
    try:
        listed = [name for name in tables.read("SOURCES").file if not (tables.folder() / name).is_file()]
        woods, places = len(species.names()), len(climate.stations())
    except OSError as error:
        return Check(False, "Tables", f"the data folder cannot be read ({error}). Install again.")
    if listed:
        return Check(False, "Tables", f"{', '.join(listed[:3])} missing from the data folder. Install again.")
    return Check(
        True,
        "Tables",
        f"{woods} woods and {places:,} weather stations are here. No lesson needs the internet.",
    )


def _sums():
    doyle, rest = logs.doyle_bf(16, 16), air.emc_pct(70, 65)
    good = abs(doyle - 144) < 0.5 and abs(rest - 12.0) < 0.1
    if good:
        return Check(
            True,
            "Sums",
            "two known answers come out: a 16 in log of 16 ft is 144 bf, 70 F and 65 % is 12.0 %.",
        )
    return Check(False, "Sums", f"got {doyle:g} bf for 144 and {rest:.1f} % for 12.0. Install again.")


def _folder():
    if trouble := own.folder_trouble():
        return Check(False, "Your folder", trouble)
    return Check(True, "Your folder", f"can be written: {choices.folder()}")


def _drawing():
    began = time.perf_counter()
    for rings in (20, 30, 40):
        to_img(*figures.practice(rings))
    ms = (time.perf_counter() - began) / 3 * 1000
    if ms < SLOW_MS:
        return Check(
            True, "Pictures", f"they are drawn fast enough ({ms:.0f} ms each): sliders will run smoothly."
        )
    return Check(
        False,
        "Pictures",
        f"they are drawn slowly ({ms:.0f} ms each): sliders will lag. Close other programs. All answers stay right.",
    )


def ready_panel() -> QuestionBox:
    """Panel: what the lessons need of this computer, each with a mark in words, and a slider to try."""
    found = checks()
    rows = "".join(
        f'<tr><td style="text-align:left"><b style="color:{"#00674b" if c.good else "#a33c00"}">'
        f"{'&#10003; Good' if c.good else '! Look here'}</b></td>"
        f'<td style="text-align:left">{html.escape(c.what)}</td>'
        f'<td style="text-align:left;overflow-wrap:anywhere">{html.escape(c.says)}</td></tr>'
        for c in found
    )
    bad = [c.what for c in found if not c.good]
    verdict = (
        note(f"Look at: {', '.join(bad)}. The other checks are good.", "warn")
        if bad
        else note("This computer is ready. Now try the slider below: that is the last check.", "good")
    )
    box = QuestionBox(
        [w.HTML(f"<table>{rows}</table>"), w.HTML(verdict)],
        "<p><i>Press <b>Run this lesson</b> in the toolbar, and this place says whether your computer is "
        "ready.</i></p>",
    )
    box.found = found
    return box


def practice_panel() -> Panel:
    """Panel: one slider to try; when it moves, the front end is alive, and the panel says so."""
    made = panel(
        figures.practice, [slider("rings", "Growth rings (count)", 1, 60, 1, 20)], "Try a slider", mine=False
    )
    told = w.HTML(note("Drag the slider, or click it and press an arrow key."))
    made.children = (*made.children[:-1], told, made.children[-1])
    made.alive = told

    def say(change):
        told.value = note("Good: the slider moves the picture. Everything works.", "good")

    made.dials["rings"].observe(say, "value")
    return made
