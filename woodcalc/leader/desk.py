"""The leader's desk: an evening put together from the lessons' own leader's parts, and what the class sent back."""

from __future__ import annotations

import html
import re
import warnings
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import ipywidgets as w
import nbformat
from markupsafe import Markup

from woodcalc import climate, species, tables
from woodcalc.checks import InputError
from woodcalc.disk import in_words
from woodcalc.figures.paper import page
from woodcalc.leader import class_answers, paper, worksheets
from woodcalc.leader import handouts as handout
from woodcalc.lesson import exercise
from woodcalc.lesson.box import STYLE, beside, labelled, note
from woodcalc.lesson.names import ControlNames
from woodcalc.records import choices
from woodcalc.records.choices import kept_choices

_SHOWN = 12  # files that could not be read, told one by one


@dataclass(frozen=True)
class Part:
    """One lesson of an evening: when it starts, how long it has, and what its notebook says to the leader."""

    number: str
    title: str
    starts_min: int
    minutes: int
    usual_minutes: int
    question: str
    leader: str
    cautions: str


def lesson_files(folder: str | Path | None = None) -> dict[str, Path]:
    """Return the lessons by two-digit number.

    Examples
    --------
    >>> "05" in lesson_files()
    True
    """
    return {p.name[:2]: p for p in sorted(Path(folder or tables.lessons()).glob("[0-9][0-9]-*.ipynb"))}


def running_order(numbers: Sequence[str], minutes: int) -> list[Part]:
    """Return the evening: each lesson's share of the time, its leader's part, and its cautions to say aloud.

    Parameters
    ----------
    numbers : list of str
        Lessons, ``["01", "05"]``, in the order they are taught.
    minutes : int
        Time for all, without breaks.

    Returns
    -------
    list of Part

    Raises
    ------
    InputError
        No lesson, an unknown one, less than 8 minutes for each, or a notebook that is none.

    Examples
    --------
    >>> [p.minutes for p in running_order(["05"], 20)]
    [20]
    """
    files = lesson_files()
    if not numbers:
        raise InputError("Choose at least one lesson.")
    if unknown := [n for n in numbers if n not in files]:
        raise InputError(f"no lesson {', '.join(unknown)}. There are: {', '.join(files)}.")
    if minutes < 8 * len(numbers):
        raise InputError(
            f"{minutes} minutes for {len(numbers)} lessons: allow at least 8 for each, or choose fewer."
        )
    books = [_book(files[n]) for n in numbers]
    usual = [handout.minutes(b) for b in books]
    parts, start = [], 0
    for n, book, own in zip(numbers, books, usual, strict=True):
        share = round(minutes * own / sum(usual)) if n != numbers[-1] else minutes - start
        text = {
            k: "\n\n".join(c.source for c in v if c.cell_type == "markdown")
            for k, v in handout.sections(book).items()
        }
        leader = re.sub(r"</?details>|<summary>.*?</summary>", "", text.get("For the leader", ""), flags=re.S)
        asked = re.search(r"^\*.*?\*$", text.get("The question", ""), re.M | re.S)
        parts.append(
            Part(n, handout.title(book), start, share, own, asked[0].strip("*") if asked else "",
                 _body(leader), _body(text.get("Take care", "")))
        )  # fmt: skip
        start += share
    return parts


def _book(path):
    """A lesson's notebook, with a title; what is none is said by its name."""
    try:
        book = nbformat.read(path, as_version=4)
        handout.title(book)
    except Exception as error:
        raise InputError(
            f"{path.name} cannot be read as a lesson. Put a fresh copy of it in its place, then run this desk again."
        ) from error
    return book


def _body(text):
    return handout.markdown(re.sub(r"^## .*$", "", text, flags=re.M))


def write_evening(
    folder: str | Path,
    numbers: Sequence[str],
    minutes: int,
    chosen: choices.Choices,
    large_print: bool = False,
    told: Callable[[str], Any] = lambda text: None,
) -> list[Path]:
    """Write an evening's papers: the running order and one handout a lesson, for the class's place and wood.

    Parameters
    ----------
    folder : str or Path
    numbers : list of str
        Lessons in order.
    minutes : int
    chosen : Choices
        The class's place, wood, thickness and month.
    large_print : bool
    told : callable
        Called with a line of progress.

    Returns
    -------
    list of Path
    """
    parts = running_order(numbers, minutes)
    safe = [replace(p, leader=Markup(p.leader), cautions=Markup(p.cautions)) for p in parts]
    text = page("evening.html", parts=safe, minutes=minutes, chosen=chosen, points=16 if large_print else 12)
    made = paper.write(Path(folder) / "running-order.html", text)
    for part in parts:
        told(f"Writing the handout of {part.title} ...")
        try:
            made += handout.make(lesson_files()[part.number], folder, chosen, large_print)
        except Exception as error:
            raise InputError(
                f"The handout of {part.title} was not written: {in_words(error)} Untick that lesson to write the "
                f"others. What was written before it is in {folder}."
            ) from error
    return made


def _shell(*children):
    box = w.VBox([w.HTML(STYLE), *children, ControlNames()])
    box.add_class("woodcalc")
    if kept_choices().larger_print:
        box.add_class("woodcalc-big")
    return box


def _guarded(say_line, action):
    """Run `action()`; what goes wrong is said in plain words in `say_line`."""
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            action()
    except Exception as error:  # whoever teaches reads a sentence, and the desk stays as it was
        say_line.value = note(in_words(error), "warn")


def _list_of(paths):
    return "".join(f"<li>{html.escape(str(p))}</li>" for p in paths)


def evening() -> w.VBox:
    """Return the desk on which an evening is put together: lessons, place, wood, minutes; papers at one press."""
    titles, spoiled = {}, []
    for n, path in lesson_files().items():
        try:
            titles[n] = handout.title(_book(path))
        except InputError as error:
            spoiled.append(str(error))
    ticks = {
        n: w.Checkbox(
            value=n in ("01", "05", "07"), description=t, indent=False, layout=w.Layout(width="auto")
        )
        for n, t in titles.items()
    }
    now = kept_choices()
    places = sorted(climate.sites().name)
    place = w.Dropdown(options=places, value=climate.get(now.place).name, layout=w.Layout(width="260px"))
    wood = w.Dropdown(options=sorted(species.names()), value=now.species, layout=w.Layout(width="260px"))
    time_bar = w.IntSlider(value=90, min=20, max=240, step=5, readout=False, layout=w.Layout(width="200px"))
    time_box = w.BoundedIntText(value=90, min=20, max=240, step=5, layout=w.Layout(width="80px"))
    w.link((time_bar, "value"), (time_box, "value"))
    large = w.Checkbox(value=False, description="Large print", indent=False, layout=w.Layout(width="auto"))
    write = w.Button(description="Write running order and handouts", layout=w.Layout(width="auto"))
    say_line, order, unread = (
        w.HTML(),
        w.HTML(),
        w.HTML(note("\n".join(spoiled), "warn")),
    )

    def chosen():
        return [n for n, tick in ticks.items() if tick.value]

    def show(change=None):
        def action():
            parts = running_order(chosen(), time_bar.value)
            rows = "".join(
                f"<tr><td>{p.starts_min // 60}:{p.starts_min % 60:02d}</td>"
                f"<td style='text-align:left'>{html.escape(p.title)}</td><td>{p.minutes} min</td>"
                f"<td>(alone: {p.usual_minutes})</td></tr>"
                for p in parts
            )
            details = "".join(
                f"<details><summary><b>{html.escape(p.title)}</b>: the leader's part and the cautions to say aloud"
                f"</summary>{p.leader}<h4>Say aloud</h4>{p.cautions}</details>"
                for p in parts
            )
            heads = "<tr><th>From</th><th style='text-align:left'>Lesson</th><th>Time</th><th></th></tr>"
            order.value = f"<table>{heads}{rows}</table>{details}"
            say_line.value = ""

        _guarded(say_line, action)

    def put_on_paper(_):
        def action():
            pick = replace(now, place=place.value, species=wood.value)
            folder = choices.folder() / "class"
            made = write_evening(
                folder,
                chosen(),
                time_bar.value,
                pick,
                large.value,
                lambda text: setattr(say_line, "value", note(text)),
            )
            say_line.value = note(Markup(f"Written:<ul>{_list_of(made)}</ul>"), "good")

        _guarded(say_line, action)

    for control in (*ticks.values(), time_bar):
        control.observe(show, "value")
    write.on_click(put_on_paper)
    show()
    minutes = labelled("Minutes for all", w.HBox([time_bar, time_box]))
    who = [labelled("Place of the class", place), labelled("Wood of the class", wood)]
    return _shell(beside([*ticks.values(), minutes, *who, large, write], [unread, order, say_line], 310))


def sheets() -> w.VBox:
    """Return the desk on which worksheets are dealt: class name, how many, which exercises; papers at one press."""
    name = w.Text(value="Our class", layout=w.Layout(width="260px"))
    count = w.BoundedIntText(value=6, min=1, max=60, layout=w.Layout(width="80px"))
    large = w.Checkbox(value=False, description="Large print", indent=False, layout=w.Layout(width="auto"))
    try:
        possible = worksheets.on_paper()
    except InputError as error:  # the words of an exercise are not as they should be
        told = f"No worksheets can be dealt: {error}"
        return _shell(w.HTML(note(told, "warn")))
    ticks = {
        e.key: w.Checkbox(value=n < 4, description=f"{e.lesson}: {e.key.replace('-', ' ')}", indent=False,
                          layout=w.Layout(width="auto"))
        for n, e in enumerate(possible)
    }  # fmt: skip
    write = w.Button(description="Write worksheets and key", layout=w.Layout(width="auto"))
    say_line, first = w.HTML(), w.HTML()

    def deal():
        return worksheets.make(name.value, [k for k, t in ticks.items() if t.value], count.value)

    def show(change=None):
        def action():
            items = "".join(
                f"<li>{html.escape(i.text)} <details><summary>Answer</summary>{html.escape(i.answer)}</details></li>"
                for i in deal()[0].items
            )
            first.value, say_line.value = f"<b>Worksheet 1 of {count.value}</b><ol>{items}</ol>", ""

        _guarded(say_line, action)

    def put_on_paper(_):
        def action():
            made = worksheets.write(choices.folder() / "class", name.value, deal(), large.value)
            say_line.value = note(Markup(f"Written:<ul>{_list_of(made)}</ul>"), "good")

        _guarded(say_line, action)

    for control in (name, count, *ticks.values()):
        control.observe(show, "value")
    write.on_click(put_on_paper)
    show()
    which = [labelled("Name of the class", name), labelled("Worksheets", count)]
    return _shell(beside([*which, large, write, *ticks.values()], [first, say_line], 340))


def gathered() -> w.VBox:
    """Return the desk that reads a folder of learners' answers and says what to talk about."""
    place = w.Text(value=str(choices.folder() / "class-answers"), layout=w.Layout(width="420px"))
    read = w.Button(description="Read the answers", layout=w.Layout(width="auto"))
    say_line, unread = w.HTML(), w.HTML()

    def show(_):
        unread.value = ""

        def action():
            found = class_answers.gather(place.value)
            unread.value = _unread(found.attrs["unread"])
            if found.empty:
                say_line.value = note("No answers in that folder yet.", "warn")
                return
            worst = found.iloc[0]
            questions = exercise.every()
            slip = f" {worst.slips} made this slip: {worst.usual_slip}." if worst.slips else ""
            about = questions.get(worst.exercise)  # none if it comes from another version of the book
            example = f"Like this: {about.text(about.draw(exercise.seeded('desk')))}" if about else ""
            line = (
                f"Talk about <b>{html.escape(worst.exercise)}</b> first: {worst.right_at_first} of {worst.learners}"
                f" had it right at the first try, {worst.right_in_the_end} in the end.{html.escape(slip)}"
            )
            table = found.rename(columns=lambda c: c.replace("_", " ")).to_html(index=False, border=0)
            say_line.value = note(Markup(f"{line}<br><i>{html.escape(example)}</i>"), "good") + table

        _guarded(say_line, action)

    read.on_click(show)
    return _shell(labelled("Folder with the learners' answers.csv files", place), read, say_line, unread)


def _unread(reasons):
    """Say which files of a class are not counted, and why."""
    if not reasons:
        return ""
    listed = _list_of(reasons[:_SHOWN])
    more = f"<p>And {len(reasons) - _SHOWN} more.</p>" if len(reasons) > _SHOWN else ""
    return note(Markup(f"<b>Not counted:</b><ul>{listed}</ul>{more}"), "warn")


def larger_print() -> w.VBox:
    """Return the switch that makes all panels start in larger type, and keeps it for the other lessons."""
    now = kept_choices()
    tick = w.Checkbox(value=now.larger_print, description="Larger print in every lesson", indent=False)
    say_line = w.HTML()

    def keep(change):
        def action():
            choices.keep(larger_print=change["new"])
            say_line.value = note("Kept. Run a lesson again to see it.", "good")

        _guarded(say_line, action)

    tick.observe(keep, "value")
    return _shell(tick, say_line)
