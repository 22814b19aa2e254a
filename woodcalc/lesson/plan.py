"""Panels of lesson 11: when it will be dry, what it costs, a hidden month, and the desk that makes the plan."""

from __future__ import annotations

import base64
import html
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

import ipywidgets as w

from woodcalc import records, tables
from woodcalc.checks import InputError
from woodcalc.disk import in_words, short_path
from woodcalc.figures import job as figures
from woodcalc.figures import plan as pages
from woodcalc.lesson.box import Form, Shown, labelled
from woodcalc.lesson.lists import PARTS, THICKNESSES, place_names
from woodcalc.lesson.panel import choice, panel, slider
from woodcalc.plan import job as planning
from woodcalc.records import choices
from woodcalc.records.choices import kept_choices
from woodcalc.records.own_mill import kept_mill

if TYPE_CHECKING:
    from woodcalc.lesson.panel import Panel


WOODS = ["northern red oak", "white oak", "black walnut", "black cherry", "sugar maple", "white ash",
         "American basswood", "eastern white pine", "shagbark hickory"]  # fmt: skip
SHOWN = 8  # remarks above the plan; the page has them all
OWN, INVENTED = "My own wood", "Kettle Hollow (invented)"


def scorecard() -> Shown:
    """Show every kind of number in the book: how far off it was, its weak spots, what to plan on.

    Examples
    --------
    >>> print(scorecard())  # doctest: +ELLIPSIS
    number  how far off where it was not fitted  plan on
    log rules  1 Doyle cell is off by more than a board foot, ...
    """
    heads = ("number", "how far off where it was not fitted", "plan on")
    card = tables.read("scorecard").itertuples()
    rows = [(r.number, f"{r.off_by}. Weak spots: {r.fails}.", r.plan_on) for r in card]

    def line(tag, texts):
        cells = (
            f'<{tag} style="text-align: left; vertical-align: top">{html.escape(t)}</{tag}>' for t in texts
        )
        return f"<tr>{''.join(cells)}</tr>"

    return Shown(f"<table>{line('th', heads)}{''.join(line('td', row) for row in rows)}</table>")


def calendar_panel() -> Panel:
    """Panel: place, wood, thickness, month of stacking and part of the log; when it is dry."""
    return panel(
        figures.job_calendar,
        [
            choice("place", "Place", place_names(), "Madison, WI"),
            choice("species", "Wood", WOODS),
            choice("nominal", "Thickness (quarters of an inch)", THICKNESSES),
            slider("month", "Month of stacking (number)", 1, 12, 1, 5),
            choice("part", "Boards cut from", PARTS, "mixed"),
        ],
        "From the stack to the workbench",
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


def _next_middle_of(month):
    """The next 15th of a month: a plan is for what is still to come."""
    today = date.today()
    return date(today.year + (date(today.year, month, 15) < today), month, 15)


class PlanDesk(Form):
    """Choose folder, place, wood, thickness and day; read the plan; write its pages. Made by `plan_desk`."""

    def __init__(self, folder: str | Path | None = None, start: str | None = None) -> None:
        mine = kept_choices()
        self._own = choices.folder()
        wide = w.Layout(width="230px")
        first = (OWN if self._has_own() else INVENTED) if folder is None else str(folder)
        options = list(dict.fromkeys([INVENTED, OWN, first]))
        # Sent when the field is left, so that a button pressed at once does not overtake the last letters.
        typed = {"continuous_update": False, "layout": wide}
        self.fields = {
            "folder": w.Combobox(value=first, options=options, **typed),
            "place": w.Combobox(value=mine.place, options=place_names(), **typed),
            "thickness": w.Dropdown(
                value=mine.thickness, options=list(dict.fromkeys([*THICKNESSES, mine.thickness])), layout=wide
            ),
            "start": w.Text(value=start or _next_middle_of(mine.month).isoformat(), **typed),
            "species": w.Combobox(value="", placeholder="the one with most lumber", options=WOODS, **typed),
            "pattern": w.Dropdown(
                value="cant", options=["cant", "through-and-through", "quartered"], layout=wide
            ),
            "part": w.Dropdown(value="mixed", options=PARTS, layout=wide),
        }
        names = {
            "folder": "Logs: a choice, or the path of a folder or CSV file",
            "place": "Place",
            "thickness": "Thickness",
            "start": "On sticks on (a date, or a month)",
            "species": "Wood to show in detail",
            "pattern": "How the logs are sawn",
            "part": "Boards cut from",
        }
        self.showing = w.HTML()
        make = w.Button(description="Make the plan", layout=w.Layout(width="auto"))
        self.write_button = w.Button(
            description="Write the pages", layout=w.Layout(width="auto"), disabled=True
        )
        rows = [labelled(names[key], field) for key, field in self.fields.items()]
        fields = w.Box(rows, layout=w.Layout(flex_flow="row wrap"))
        super().__init__(
            [fields, w.HBox([make, self.write_button])], [self.showing], "desk: the plan", "The plan"
        )
        make.on_click(lambda _: self.make())
        self.write_button.on_click(lambda _: self.write())
        self.plan: planning.Plan | None = None
        self.make()

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
            return found and Path(found).expanduser()
        except RuntimeError:  # ~someone, who is not known here
            return Path(found)

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
        listed = " and ".join(filter(None, [", ".join(kept[:-1]), kept[-1]]))
        are = "is" if len(kept) == 1 and (kept[0].startswith("stack ") or max(held.values()) == 1) else "are"
        return (
            "This is the plan of Kettle Hollow, which is invented, because a plan starts from logs and you have none "
            f"written down yet. Your {listed} {are} kept: lesson 8 shows them. Write your logs into the form there "
            "(choose the table logs), and the plan here is yours."
        )

    def make(self) -> None:
        """Make the plan from the fields; what is wrong is said, and the last plan stays."""
        values = {key: field.value.strip() for key, field in self.fields.items()}
        try:
            plan = planning.make_plan(
                self._folder(values["folder"]),
                place=values["place"],
                thickness=values["thickness"],
                start=values["start"],
                species=values["species"] or None,
                pattern=values["pattern"],
                part=values["part"],
                mill=None if values["folder"] == INVENTED else kept_mill(),
            )
            page = pages.plan_page(plan)
        except Exception as error:
            self.tell(f"The plan was not made: {in_words(error)}", "warn")
            return
        self.plan, self.write_button.disabled = plan, False
        self.tell(self._kept() if values["folder"] == INVENTED else "")
        saved = base64.b64encode(page.encode("utf-8")).decode()
        lines = _items(plan.summary)
        if plan.remarks:
            first = _items(plan.remarks[:SHOWN])
            lines += (
                f"<li><b>What in these records could not be used, or is doubtful:</b><ul>{first}</ul></li>"
            )
        if (more := len(plan.remarks) - SHOWN) > 0:
            lines += f"<li>and {more:,} more: they stand in the pages, below Take care.</li>"
        self.showing.value = (
            f'<div class="woodcalc-note"><p><b>{html.escape(plan.name)}</b></p><ul>{lines}</ul>'
            f'<p><a download="plan.html" href="data:text/html;base64,{saved}">Save a copy of these pages</a></p></div>'
            f'<iframe title="The plan, as it prints" srcdoc="{html.escape(page, quote=True)}" '
            'style="width:100%;max-width:860px;height:640px;border:1px solid #6b6b6b;background:#fff"></iframe>'
        )

    def write(self) -> None:
        """Write the pages and tables into the learner's own folder."""
        where = self._own / "plan"
        if self.plan is None:
            self.tell("Make a plan first.", "warn")
            return
        try:
            page = pages.write(self.plan, where / "plan.html")
            mill = pages.write_mill(self.plan, where / "mill.html")
            tables = self.plan.to_csv(where)
        except Exception as error:
            self.tell(f"Not all pages were written to {short_path(where)}: {in_words(error)}", "warn")
            return
        none = "that says why a quartered log has no settings"
        held = "with the settings for the mill" if self.plan.settings else none
        self.tell(
            f"Written to {where}: {page.name} to print, {mill.name} {held}, and {len(tables)} "
            "tables (CSV). Open the pages in a browser and print them from there.",
            "good",
        )

    def still(self) -> str:
        """What the desk is for."""
        return (
            "<p><b>The plan.</b> Choose your logs, place, thickness, day and wood; read the plan; write its pages.</p>"
            "<p><i>Press <b>Run this lesson</b> in the toolbar to make the plan here.</i></p>"
        )


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
