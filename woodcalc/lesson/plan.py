"""Panels of lesson 11: when it will be dry, what it costs, a hidden month, and the desk that makes the plan."""

from __future__ import annotations

import base64
import html
from pathlib import Path
from typing import TYPE_CHECKING, Any

import ipywidgets as w

from woodcalc import drying, records, tables
from woodcalc.checks import InputError, in_a_list
from woodcalc.disk import in_words, short_path
from woodcalc.figures import job as figures
from woodcalc.figures import plan as pages
from woodcalc.figures.paper import with_names
from woodcalc.lesson import mine
from woodcalc.lesson.box import Ask, Form, Shown, framed, labelled, note
from woodcalc.lesson.lists import PARTS, THICKNESSES, place_names, wood_names
from woodcalc.lesson.panel import choice, panel, slider
from woodcalc.plan import job as planning
from woodcalc.records import choices
from woodcalc.records.choices import kept_choices
from woodcalc.records.own_mill import kept_mill

if TYPE_CHECKING:
    from woodcalc.lesson.panel import Panel


SHOWN = 8  # remarks above the plan; the page has them all
OWN, INVENTED = "My own wood", "Kettle Hollow (invented)"
PATTERNS = ["cant", "through-and-through", "quartered"]
KEPT_AS, SET, WRITTEN = (
    "plan",
    "set",
    "written",
)  # beside the choices: the form's settings, and those of each folder
NAMES = {
    "folder": "Logs: a choice, or the path of a folder or CSV file",
    "place": "Place",
    "thickness": "Thickness",
    "start": "On sticks on (a date, or a month)",
    "species": "Wood to show in detail",
    "pattern": "How the logs are sawn",
    "part": "Boards cut from",
}


def scorecard() -> Shown:
    """Show every kind of number in the book: how far off it was, its weak spots, what to plan on.

    Examples
    --------
    >>> print(scorecard())  # doctest: +ELLIPSIS
    number  how far off, fitted or left out  plan on
    log rules  1 Doyle cell is off by more than a board foot, ...
    """
    heads = ("number", "how far off, fitted or left out", "plan on")
    card = tables.read("scorecard").itertuples()
    rows = [(r.number, f"{r.off_by}. Weak spots: {r.fails}.", r.plan_on) for r in card]

    def line(tag, texts):
        cells = (
            f'<{tag} style="text-align: left; vertical-align: top">{html.escape(t)}</{tag}>' for t in texts
        )
        return f"<tr>{''.join(cells)}</tr>"

    made = f"<table>{line('th', heads)}{''.join(line('td', row) for row in rows)}</table>"
    return Shown(with_names(made, most=2))


def calendar_panel() -> Panel:
    """Panel: place, wood, thickness, month of stacking and part of the log; when it is dry."""
    return panel(
        figures.job_calendar,
        [
            choice("place", "Place", place_names(), "Madison, WI"),
            choice("species", "Wood", wood_names(), "northern red oak"),
            choice("nominal", "Thickness (quarters of an inch)", THICKNESSES),
            slider("month", "Month of stacking (number)", 1, 12, 1, 5),
            choice("part", "Boards cut from", PARTS, "mixed"),
        ],
        "From the stack to the workbench",
        takes_day=True,
    )


def cost_panel() -> Panel:
    """Panel: what a board foot costs at Kettle Hollow, part by part."""
    return panel(
        figures.what_it_costs,
        [
            slider("mill_bf_per_hour", "The mill's pace (bf/h)", 50, 200, 10, 100),
            slider("usd_per_hour", "An hour of work is worth ($)", 0, 25, 1, 0),
            slider("usd_per_ft2_cover", "Roof over the pile ($/ft2)", 0.0, 3.0, 0.25, 1.5),
            slider("usd_per_sticker", "A sticker ($)", 0.0, 1.0, 0.1, 0.5),
            slider("lost_pct", "Boards lost (% of the best sawing)", 0, 40, 5, 15),
        ],
        "Where the hours and dollars go",
    )


def unknown_month_panel(month: int, **_: Any) -> Panel:
    """Panel: weighings of a stack whose month of stacking is hidden; try months until the forecast fits."""

    def draw(tried_month, big=False):
        return figures.unknown_month(month, tried_month, big=big)

    return panel(
        draw,
        [slider("tried_month", "Month that you try (number)", 1, 12, 1, 7)],
        f"When was it stacked? {figures.HIDDEN_WOOD.capitalize()} 4/4, {figures.HIDDEN_PLACE}",
    )


class PlanDesk(Form):
    """Choose folder, place, wood, thickness and day; read the plan; write its pages. Made by `plan_desk`."""

    def __init__(self, folder: str | Path | None = None, start: str | None = None) -> None:
        self._own = choices.folder()
        wide = w.Layout(width="230px")
        first = (OWN if self._has_own() else INVENTED) if folder is None else str(folder)
        begins = _begins(first)
        options = list(dict.fromkeys([INVENTED, OWN, first]))
        # Sent when the field is left, so that a button pressed at once does not overtake the last letters.
        typed = {"continuous_update": False, "layout": wide}
        self.fields = {
            "folder": w.Combobox(value=first, options=options, **typed),
            "place": w.Combobox(value=begins["place"], options=place_names(), **typed),
            "thickness": w.Dropdown(
                value=begins["thickness"],
                options=list(dict.fromkeys([*THICKNESSES, begins["thickness"]])),
                layout=wide,
            ),
            "start": w.Text(value=start or begins["start"], **typed),
            "species": w.Combobox(
                value=begins["species"],
                placeholder="the one with most lumber",
                options=[name for _, name in wood_names()],
                **typed,
            ),
            "pattern": w.Dropdown(value=begins["pattern"], options=PATTERNS, layout=wide),
            "part": w.Dropdown(value=begins["part"], options=PARTS, layout=wide),
        }
        self.by_wood = w.Checkbox(
            value=False,
            description="Each wood its own thickness",
            indent=False,
            layout=w.Layout(width="auto"),
        )
        self.sizes: dict[str, w.Dropdown] = {}  # by wood of the tally
        self._size_rows = w.Box(layout=w.Layout(flex_flow="row wrap", display="none"))
        self.showing, self.write_note, self.question = w.HTML(), w.HTML(), Ask()
        self._page = self._told = ""
        make = w.Button(description="Make the plan", layout=w.Layout(width="auto"))
        self.write_button = w.Button(
            description="Write the pages", layout=w.Layout(width="auto"), disabled=True
        )
        rows = [labelled(NAMES[key], field) for key, field in self.fields.items()]
        fields = w.Box(rows, layout=w.Layout(flex_flow="row wrap"))
        super().__init__(
            [
                fields,
                self.by_wood,
                self._size_rows,
                w.HBox([make, self.write_button]),
                self.write_note,
                self.question,
            ],
            [self.showing],
            "desk: the plan",
            "The plan",
        )
        make.on_click(lambda _: self.make(by_hand=True))
        self.write_button.on_click(lambda _: self.write())
        self.plan: planning.Plan | None = None
        self._made: tuple[Any, Path | None] = ((), None)  # what the form showed, and whose logs they were
        for field in self.fields.values():
            field.observe(lambda _: self._say_what_is_written(), "value")
        self.fields["folder"].observe(lambda _: self._list_woods(), "value")
        self.by_wood.observe(lambda _: self._list_woods(), "value")
        self.by_wood.value = bool(begins["sizes"])
        for wood, size in begins["sizes"].items():
            if wood in self.sizes and size in THICKNESSES:
                self.sizes[wood].value = size
        self.make()

    def _list_woods(self):
        """Give each wood of the tally a list of thicknesses, if that is wanted; what was chosen stays."""
        found: list[str] = []
        if self.by_wood.value:
            try:
                logs = records.read_usable(
                    self._folder(self.fields["folder"].value) or choices.KETTLE_HOLLOW, ["logs"]
                )
                found = list(dict.fromkeys(logs.tables["logs"]["species"]))
            except Exception:
                found = []  # what is wrong is said when the plan is made
        if list(self.sizes) != found:
            kept = {wood: field.value for wood, field in self.sizes.items()}
            offered = [("as above", ""), *((size, size) for size in THICKNESSES)]
            self.sizes = {
                wood: w.Dropdown(value=kept.get(wood, ""), options=offered, layout=w.Layout(width="230px"))
                for wood in found
            }
            for field in self.sizes.values():
                field.observe(lambda _: self._say_what_is_written(), "value")
            self._size_rows.children = [
                labelled(f"Thickness of {wood}", field) for wood, field in self.sizes.items()
            ]
        self._size_rows.layout.display = "flex" if found else "none"
        self._say_what_is_written()

    def _shown(self):
        """All that the form shows."""
        sizes = {wood: field.value for wood, field in self.sizes.items() if field.value}
        return {key: field.value.strip() for key, field in self.fields.items()}, sizes

    def _where(self):
        """The folder for the pages of the plan: beside its own logs. None for Kettle Hollow, which is nobody's."""
        logs = self._made[1]
        if logs is None or logs.absolute().is_relative_to(choices.KETTLE_HOLLOW):
            return None
        if logs.absolute() in (self._own, self._own / "logs.csv"):
            return self._own / "plan"
        return logs / "plan" if logs.is_dir() else logs.with_name(f"plan-{logs.stem}")

    def _off(self):
        """Why the pages can't be written now; "" if they can."""
        if self.plan is None:
            return "Make a plan first."
        if self._shown() != self._made[0]:
            return "The form has changed since this plan was made. Press Make the plan, then you can write its pages."
        if self._where() is None:
            return (
                "This is the plan of Kettle Hollow, so it isn't written into your folder. The link below, Save a copy "
                "of these pages, keeps one where you like."
            )
        return ""

    def _say_what_is_written(self):
        why = self._off()
        self.write_button.disabled = bool(why)
        self.write_note.value = note(why or f"Write the pages puts them into {short_path(self._where())}.")

    def _has_own(self):
        """True also where the folder cannot be looked into: then that is what there is to say."""
        try:
            return (self._own / "logs.csv").is_file()
        except OSError:
            return True

    def _folder(self, typed):
        """The folder or file that a learner names; None for Kettle Hollow."""
        typed = typed.strip("\"' ")  # a path that was copied may have quotation marks
        if not typed or "\0" in typed:
            raise InputError("Say where the logs are: a choice, or the path of a folder or CSV file.")
        if typed == OWN and not self._has_own():
            raise InputError(
                "Your own wood has no logs.csv yet: fill in the form of lesson 8, or choose a folder."
            )
        found = {INVENTED: None, OWN: self._own}.get(typed, typed)
        try:
            path = found and Path(found).expanduser()
        except RuntimeError:  # ~someone, who is not known here
            path = Path(found)
        return path and choices.within_reach(path)

    def _kept(self):
        """Say what the learner has kept and what is missing, where the plan is Kettle Hollow's for want of logs."""
        if self._has_own():
            return ""
        found = records.read_usable(self._own, ["boards", "stacks", "readings"]).tables
        held = {table: len(rows) for table, rows in found.items() if len(rows)}
        if not held:
            return ""
        kept = []
        if "stacks" in held:
            names = [str(name) for name in found["stacks"]["stack"]]
            kept.append(f"stack {names[0]}" if len(names) == 1 else f"{len(names)} stacks")
        kept += [f"{n:,} {name if n > 1 else name[:-1]}" for name, n in held.items() if name != "stacks"]
        are = "is" if len(kept) == 1 and (kept[0].startswith("stack ") or max(held.values()) == 1) else "are"
        return (
            "This is the plan of Kettle Hollow, which is invented, because a plan starts from logs and you have none "
            f"written down yet. Your {in_a_list(kept)} {are} kept: lesson 8 shows them. Write your logs into the form "
            "there (choose the table logs), and the plan here is yours."
        )

    def make(self, by_hand: bool = False) -> None:
        """Make the plan from the fields; what is wrong is said, and the last plan stays.

        Parameters
        ----------
        by_hand : bool
            The learner asked for it: what the form is set to is kept for the next run.
        """
        self.question.hide()
        self._list_woods()
        shown = values, sizes = self._shown()
        try:
            folder = self._folder(values["folder"])
            plan = planning.make_plan(
                folder,
                place=values["place"],
                thickness={"": values["thickness"], **sizes},
                start=values["start"],
                species=values["species"] or None,
                pattern=values["pattern"],
                part=values["part"],
                mill=None if values["folder"] == INVENTED else kept_mill(),
            )
            page = pages.plan_page(plan)
        except Exception as error:
            self.tell(f"The plan was not made: {in_words(error)}", "warn")
            self._say_what_is_written()
            return
        self.plan, self._made = plan, (shown, folder)
        self._say_what_is_written()
        said = self._kept() if values["folder"] == INVENTED else ""
        unkept = _keep({SET: {**values, "sizes": sizes}}) if by_hand else ""
        self.tell("\n".join(filter(None, [said, unkept])), "warn" if unkept else "")
        saved = base64.b64encode(page.encode("utf-8")).decode()
        lines = _items(plan.summary)
        if plan.remarks:
            first = _items(plan.remarks[:SHOWN])
            lines += (
                f"<li><b>What in these records could not be used, or is doubtful:</b><ul>{first}</ul></li>"
            )
        if (more := len(plan.remarks) - SHOWN) > 0:
            lines += f"<li>and {more:,} more: they stand in the pages, below Take care.</li>"
        self._page = page
        self._told = (
            f'<div class="woodcalc-note"><p><b>{html.escape(plan.name)}</b></p><ul>{lines}</ul>'
            f'<p><a download="plan.html" href="data:text/html;base64,{saved}">Save a copy of these pages</a></p></div>'
        )
        self._show()

    def enlarge(self, on: bool) -> None:
        """Show the form and the pages of the plan in larger print, or no longer."""
        super().enlarge(on)
        self._show()

    def _show(self):
        """The pages as they print, in the print of the lesson."""
        if self._page:
            self.showing.value = self._told + framed(self._page, "The plan, as it prints", 640, self.big)

    def write(self, sure: bool = False) -> None:
        """Write the pages and tables of the plan that the form shows into the folder of its logs.

        Parameters
        ----------
        sure : bool
            A plan made with other settings stands there, and is to give way.
        """
        self.question.hide()
        if why := self._off():
            self.tell(why, "warn")
            return
        assert self.plan
        where = self._where()
        values, sizes = self._made[0]
        settings = {**values, "sizes": sizes}
        if not sure and (asked := _other_plan(where, settings)):
            self.question.ask(asked, "Write over it", "Leave it as it is", lambda: self.write(sure=True))
            return
        try:
            page = pages.write(self.plan, where / "plan.html")
            mill = pages.write_mill(self.plan, where / "mill.html")
            tables = self.plan.to_csv(where)
        except Exception as error:
            self.tell(f"Not all pages were written to {short_path(where)}: {in_words(error)}", "warn")
            return
        unkept = _keep({WRITTEN: {**_kept_of_the_plan().get(WRITTEN, {}), str(where): settings}})
        none = "that says why a quartered log has no settings"
        held = "with the settings for the mill" if self.plan.settings else none
        self.tell(
            f"Written to {where}: {page.name} to print, {mill.name} {held}, and {len(tables)} "
            "tables (CSV). Open the pages in a browser and print them from there."
            + (f"\n{unkept}" if unkept else ""),
            "warn" if unkept else "good",
        )

    def still(self) -> str:
        """What the desk is for."""
        return (
            "<p><b>The plan.</b> Choose your logs, place, thickness, day and wood; read the plan; write its pages.</p>"
            "<p><i>Press <b>Run this lesson</b> in the toolbar to make the plan here.</i></p>"
        )


def _kept_of_the_plan():
    """What the form was set to last, and with what settings the plan in each folder was written."""
    return {name: each for name, each in choices.kept_under(KEPT_AS).items() if isinstance(each, dict)}


def _keep(what):
    """Keep something of the plan beside the choices; return a sentence if that could not be done, else ""."""
    try:
        choices.keep_under(KEPT_AS, what)
    except Exception as error:  # the plan stands all the same
        return f"The settings of the form can't be kept for the next time. {in_words(error)}"
    return ""


def _begins(folder):
    """What the form begins with: as it was set last; else the place, thickness and month of one's own stack."""
    chosen = kept_choices()
    stack = mine.stack_wanted() if folder == OWN else {}
    month = stack.get("month", chosen.month)
    begins = {
        "place": stack.get("place", chosen.place),
        "thickness": stack.get("thickness", chosen.thickness),
        "start": drying.start_date(month).isoformat(),
        "species": "",
        "pattern": "cant",
        "part": "mixed",
        "sizes": {},
    }
    last = _kept_of_the_plan().get(SET, {})
    if last.get("folder") != folder:
        return begins
    lists = {
        "pattern": PATTERNS,
        "part": [part for _, part in PARTS],
        "thickness": [*THICKNESSES, chosen.thickness],
    }
    for name, usual in begins.items():
        value = last.get(name, usual)
        if isinstance(value, type(usual)) and value in lists.get(name, [value]):
            begins[name] = value
    return begins


def _other_plan(where, settings):
    """A question, if pages stand in a folder that were made with other settings than these; "" if not."""
    page = where / "plan.html"
    try:
        if not page.is_file():
            return ""
    except OSError:  # said when it is written
        return ""
    was = _kept_of_the_plan().get(WRITTEN, {}).get(str(where))
    if was == settings:
        return ""
    here = short_path(where)
    if not isinstance(was, dict):
        return f"A plan stands in {here} already, and it isn't known with what settings it was made. Write over it?"
    differs = [
        f"{NAMES.get(name, 'Thickness of each wood').partition(' (')[0]}: {_in_few(was.get(name))} there, "
        f"{_in_few(now)} here"
        for name, now in settings.items()
        if was.get(name) != now
    ]
    return "\n".join([f"The plan in {here} was made with other settings. Write over it?", *differs])


def _in_few(value):
    if isinstance(value, dict):
        value = ", ".join(f"{wood} {size}" for wood, size in value.items())
    return str(value or "none")


def _items(lines):
    return "".join(f"<li>{html.escape(line)}</li>" for line in lines)


def plan_desk(folder: str | Path | None = None, start: str | None = None) -> PlanDesk:
    """Return the desk that makes the plan.

    Parameters
    ----------
    folder : path, optional
        Where it starts; the learner's own wood, or Kettle Hollow until there are records.
    start : str, optional
        Day that the wood goes on sticks; the middle of the learner's month if left out.

    Returns
    -------
    PlanDesk
    """
    return PlanDesk(folder, start)
