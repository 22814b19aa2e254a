"""The leader's desk: an evening put together from the lessons' own leader's parts, and what the class sent back."""

from __future__ import annotations

import html
import re
import warnings
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

import ipywidgets as w
import nbformat
from markupsafe import Markup

from woodcalc.checks import InputError
from woodcalc.disk import in_words
from woodcalc.figures.paper import page
from woodcalc.leader import class_answers, paper, slides, worksheets
from woodcalc.leader import evening as evenings
from woodcalc.leader import handouts as handout
from woodcalc.leader.handouts import lesson_files
from woodcalc.lesson import exercise
from woodcalc.lesson.box import Form, beside, button, labelled, note
from woodcalc.lesson.lists import place_names, wood_names
from woodcalc.lesson.panel import Dial, choice, slider, switch, told_by
from woodcalc.lesson.saved import RUN_IT
from woodcalc.records import choices
from woodcalc.records.choices import kept_choices

if TYPE_CHECKING:
    import pandas as pd

_SHOWN = 12  # files that could not be read, told one by one


@dataclass(frozen=True)
class Part:
    """One lesson of an evening: when it starts, how long it has, and what its notebook says to the leader.

    `tells` is that in parts, with the minutes of each and what to bring.
    """

    number: str
    title: str
    starts_min: int
    minutes: int
    usual_minutes: int
    question: str
    leader: str
    cautions: str
    tells: evenings.Leader


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
                 _body(leader), _body(text.get("Take care", "")), evenings.leader(text.get("For the leader", "")))
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


ALWAYS = (
    "projector, laptop and charger, extension cord",
    "a handout of each lesson and a worksheet for everybody; the key for you",
    "pencils, blank paper, a clock on the wall",
    "the sign-in sheet and the feedback sheets",
)


def minute_by_minute(parts: Sequence[Part], starts: str, minutes: int, on_paper: bool = True) -> pd.DataFrame:
    """Return an evening's script: `evening.script` of its parts.

    Parameters
    ----------
    parts : list of Part
        From `running_order`.
    starts : str
        Time of day of the welcome.
    minutes : int
        From the welcome to the close.
    on_paper : bool
        Time for worksheets.
    """
    return evenings.script([(p.title, p.minutes, p.tells) for p in parts], starts, minutes, on_paper)


def _to_bring(parts):
    return evenings.to_bring([(p.number, p.tells) for p in parts])


def write_evening(
    folder: str | Path,
    numbers: Sequence[str],
    minutes: int,
    chosen: choices.Choices,
    large_print: bool = False,
    told: Callable[[str], Any] = lambda text: None,
    starts: str = "7 pm",
    on_paper: bool = True,
    where: str = "",
    whole: bool = False,
) -> list[Path]:
    """Write an evening's papers: the running order, the sheets around it, and one handout a lesson.

    Parameters
    ----------
    folder : str or Path
    numbers : list of str
        Lessons in order.
    minutes : int
        From the welcome to the close.
    chosen : Choices
        The class's place, wood, thickness and month.
    large_print : bool
    told : callable
        Called with a line of progress.
    starts : str
        Time of day of the welcome, ``"7 pm"``.
    on_paper : bool
        Time for worksheets at the tables.
    where : str
        Hall and date, for the flyer and the sheets.
    whole : bool
        Each lesson with all of its tasks, in place of two pages to take home.

    Returns
    -------
    list of Path
    """
    parts = running_order(numbers, evenings.frame(minutes, len(numbers), on_paper)["lessons"])
    script = minute_by_minute(parts, starts, minutes, on_paper)
    safe = [replace(p, leader=Markup(p.leader), cautions=Markup(p.cautions)) for p in parts]
    first = evenings.clock(starts)
    words: dict[str, Any] = dict(
        parts=safe, minutes=minutes, chosen=chosen, points=16 if large_print else 12, script=script, always=ALWAYS,
        bring=_to_bring(parts), where=where, starts=evenings.told(first), ends=evenings.told(first + minutes),
        short=[(p.title, p.tells.short_way) for p in parts if p.tells.short_way],
    )  # fmt: skip
    made = []
    for name in ("evening", "sign_in", "feedback", "flyer"):
        file = {"evening": "running-order"}.get(name, name.replace("_", "-"))
        made += paper.write(Path(folder) / f"{file}.html", page(f"{name}.html", **words))
    for part in parts:
        told(f"Writing the handout of {part.title} ...")
        try:
            made += handout.make(lesson_files()[part.number], folder, chosen, large_print, whole)
        except Exception as error:
            raise InputError(
                f"The handout of {part.title} was not written: {in_words(error)} Untick that lesson to write the "
                f"others. What was written before it is in {folder}."
            ) from error
    return made


def write_slides(
    folder: str | Path,
    numbers: Sequence[str],
    chosen: choices.Choices,
    told: Callable[[str], Any] = lambda text: None,
) -> list[Path]:
    """Write the slides of an evening's lessons.

    Parameters
    ----------
    folder : str or Path
    numbers : list of str
        Lessons in order.
    chosen : Choices
        The class's place, wood, thickness and month.
    told : callable
        Called with a line of progress.

    Returns
    -------
    list of Path
    """
    files, made = lesson_files(), []
    if not numbers:
        raise InputError("Choose at least one lesson.")
    for number in numbers:
        told(f"Writing the slides of lesson {int(number)} ...")
        path = Path(folder) / f"{files[number].stem}-slides.html"
        made += slides.write(handout.ran(files[number], chosen), path)
    return made


class Desk(Form):
    """A form of the leader's: fields on the left, what they make on the right, and one line that says how it went.

    Parameters
    ----------
    name : str
        What the desk is for, where it is not live.
    fields, shown, below : list of Widget
        Beside the fields, and under the line.
    left_px : int
        Width of the fields where something is shown beside them.
    """

    def __init__(
        self,
        name: str,
        fields: Sequence[w.Widget],
        shown: Sequence[w.Widget] = (),
        below: Sequence[w.Widget] = (),
        left_px: int = 340,
    ) -> None:
        super().__init__([beside(fields, shown, left_px)] if shown else fields, below, f"desk: {name}", "")
        self._name = name

    def watch(self, dials: Iterable[Dial], do: Callable[..., Any]) -> None:
        """Call `do` whenever a dial moves, or its field refuses what was typed."""
        for dial in dials:
            dial.widget.observe(do, "value")
            if dial.field:
                dial.field.observe(do, "told")

    def attempt(self, action: Callable[[], Any]) -> None:
        """Run `action()`; what goes wrong is said in plain words, and the desk stays as it was."""
        try:
            with warnings.catch_warnings():
                warnings.simplefilter("ignore")
                action()
        except Exception as error:  # whoever teaches reads a sentence
            self.tell(in_words(error), "warn")

    def written(self, made: Sequence[Path]) -> None:
        """Say which files were written."""
        self.tell(Markup(f"Written:<ul>{_list_of(made)}</ul>"), "good")

    def still(self) -> str:
        """What the desk is for."""
        return f"<p><b>{html.escape(self._name)}</b></p><p><i>{RUN_IT}</i></p>"


def _list_of(paths):
    return "".join(f"<li>{html.escape(str(p))}</li>" for p in paths)


def evening() -> Desk:
    """Return the desk on which an evening is put together: lessons, place, wood, minutes; papers at one press."""
    titles, spoiled = {}, []
    for n, path in lesson_files().items():
        try:
            titles[n] = handout.title(_book(path))
        except InputError as error:
            spoiled.append(str(error))
    ticks = {n: switch(n, t, n in ("01", "05", "07")) for n, t in titles.items()}
    now = kept_choices()
    place = choice("place", "Place of the class", place_names(), now.place)
    wood = choice("species", "Wood of the class", wood_names(), now.species)
    minutes = slider("minutes", "From welcome to close (min)", 30, 300, 5, 120)
    starts = w.Text(value="7 pm", continuous_update=False, layout=w.Layout(width="auto"))
    where = w.Text(placeholder="Grange hall, Friday 12 March", layout=w.Layout(width="auto"))
    on_paper = switch("on_paper", "Time for worksheets", True)
    whole = switch("whole", "Whole lessons, not two pages each")
    large, write = switch("large", "Large print"), button("Write running order and handouts")
    order, unread = w.HTML(), w.HTML(note("\n".join(spoiled), "warn"))
    rows = [dial.row for dial in (*ticks.values(), minutes)]
    rows += [labelled("It begins at", starts), on_paper.row, place.row, wood.row]
    rows += [labelled("Hall and date, for the flyer", where), whole.row, large.row]
    on_wall = button("Write the slides")
    desk = Desk("The evening", [*rows, write, on_wall], [unread, order], left_px=310)

    def chosen():
        return [n for n, tick in ticks.items() if tick.widget.value]

    def show(change=None):
        def action():
            long, sheets = minutes.widget.value, on_paper.widget.value
            parts = running_order(chosen(), evenings.frame(long, len(chosen()), sheets)["lessons"])
            order.value = _in_order(parts, minute_by_minute(parts, starts.value, long, sheets))
            desk.tell(told_by([minutes]), "warn")

        desk.attempt(action)

    def pick():
        return replace(now, place=place.widget.value, species=wood.widget.value)

    def put_on_wall(_):
        desk.attempt(
            lambda: desk.written(write_slides(choices.folder() / "class", chosen(), pick(), desk.tell))
        )

    def put_on_paper(_):
        def action():
            folder, large_print = choices.folder() / "class", large.widget.value
            desk.written(
                write_evening(
                    folder,
                    chosen(),
                    minutes.widget.value,
                    pick(),
                    large_print,
                    desk.tell,
                    starts.value,
                    on_paper.widget.value,
                    where.value.strip(),
                    whole.widget.value,
                )  # fmt: skip
            )

        desk.attempt(action)

    desk.watch((*ticks.values(), minutes, on_paper), show)
    starts.observe(show, "value")
    write.on_click(put_on_paper)
    on_wall.on_click(put_on_wall)
    show()
    return desk


def _in_order(parts, script):
    """An evening as a table of times, what to bring, and each lesson's leader's part to fold open."""
    rows, before = "", ""
    for row in script.itertuples():
        if row.lesson and row.lesson != before:
            rows += f"<tr><th colspan='3' style='text-align:left'>{html.escape(row.lesson)}</th></tr>"
        rows += (
            f"<tr><td>{row.clock}</td><td>{row.minutes} min</td>"
            f"<td style='text-align:left'>{html.escape(row.part)}</td></tr>"
        )
        before = row.lesson
    things = "".join(f"<li>{html.escape(thing)}</li>" for thing, _ in _to_bring(parts))
    bring = f"<details><summary><b>Bring</b></summary><ul>{things}</ul></details>"
    details = "".join(
        f"<details><summary><b>{html.escape(p.title)}</b>: the leader's part and the cautions to say aloud"
        f"</summary>{p.leader}<h3>Say aloud</h3>{p.cautions}</details>"
        for p in parts
    )
    heads = "<tr><th>At</th><th>Time</th><th style='text-align:left'>What</th></tr>"
    return f"<table>{heads}{rows}</table>{bring}{details}"


def sheets() -> Desk:
    """Return the desk on which worksheets are dealt: class name, how many, which exercises; papers at one press."""
    title = "Worksheets for a class"
    try:
        possible = worksheets.on_paper()
    except InputError as error:  # the words of an exercise are not as they should be
        desk = Desk(title, [])
        desk.tell(f"No worksheets can be dealt: {error}", "warn")
        return desk
    name = w.Text(value="Our class", layout=w.Layout(width="auto"))
    count = slider("count", "Worksheets (how many)", 1, 60, 1, 6)
    large, write = switch("large", "Large print"), button("Write worksheets and key")
    ticks = [switch(e.key, f"{e.lesson}: {e.key.replace('-', ' ')}", n < 4) for n, e in enumerate(possible)]
    first = w.HTML()
    fields = [labelled("Name of the class", name), count.row, large.row, write, *(tick.row for tick in ticks)]
    desk = Desk(title, fields, [first])

    def deal():
        return worksheets.make(name.value, [t.name for t in ticks if t.widget.value], count.widget.value)

    def show(change=None):
        def action():
            items = "".join(
                f"<li>{html.escape(i.text)} <details><summary>Answer</summary>{html.escape(i.answer)}</details></li>"
                for i in deal()[0].items
            )
            first.value = f"<b>Worksheet 1 of {count.widget.value}</b><ol>{items}</ol>"
            desk.tell(told_by([count]), "warn")

        desk.attempt(action)

    def put_on_paper(_):
        folder = choices.folder() / "class"
        desk.attempt(lambda: desk.written(worksheets.write(folder, name.value, deal(), large.widget.value)))

    name.observe(show, "value")
    desk.watch((count, *ticks), show)
    write.on_click(put_on_paper)
    show()
    return desk


def gathered() -> Desk:
    """Return the desk that reads a folder of learners' answers and says what to talk about."""
    place = w.Text(value=str(choices.folder() / "class-answers"), layout=w.Layout(width="420px"))
    read, found, unread = button("Read the answers"), w.HTML(), w.HTML()
    fields = [labelled("Folder with the learners' answers.csv files", place), read]
    desk = Desk("What the class answered", fields, below=[found, unread])

    def action():
        answers = class_answers.gather(place.value)
        unread.value = _unread(answers.attrs["unread"])
        if answers.empty:
            desk.tell("No answers in that folder yet.", "warn")
            return
        desk.tell(_talk_about(answers.iloc[0]), "good")
        found.value = answers.rename(columns=lambda c: c.replace("_", " ")).to_html(index=False, border=0)

    def show(_):
        found.value = unread.value = ""
        desk.attempt(action)

    read.on_click(show)
    return desk


def _talk_about(worst):
    """What a class had wrong most, how often, by which slip, and how such a question reads."""
    slip = f" {worst.slips} made this slip: {worst.usual_slip}." if worst.slips else ""
    about = exercise.every().get(worst.exercise)  # none if it comes from another version of the book
    example = f"Like this: {about.text(about.draw(exercise.seeded('desk')))}" if about else ""
    return Markup(
        f"Talk about <b>{html.escape(worst.exercise)}</b> first: {worst.right_at_first} of {worst.learners}"
        f" had it right at the first try, {worst.right_in_the_end} in the end.{html.escape(slip)}"
        f"<br><i>{html.escape(example)}</i>"
    )


def _unread(reasons):
    """Say which files of a class are not counted, and why."""
    if not reasons:
        return ""
    listed = _list_of(reasons[:_SHOWN])
    more = f"<p>And {len(reasons) - _SHOWN} more.</p>" if len(reasons) > _SHOWN else ""
    return note(Markup(f"<b>Not counted:</b><ul>{listed}</ul>{more}"), "warn")


def larger_print() -> Desk:
    """Return the switch that makes all panels start in larger type, and keeps it for the other lessons."""
    tick = switch("larger_print", "Larger print in every lesson", kept_choices().larger_print)
    desk = Desk("Larger print", [tick.row])

    def keep(change):
        def action():
            choices.keep(larger_print=change["new"])
            desk.tell("Kept. Run a lesson again to see it.", "good")

        desk.attempt(action)

    desk.watch([tick], keep)
    return desk
