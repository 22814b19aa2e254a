"""Panels of lesson 08: a forecast that learns, what a reading is worth, an unknown stack, the form for records."""

import html
from datetime import date

import ipywidgets as w

from woodcalc import choices, records
from woodcalc import species as woods
from woodcalc.checks import InputError
from woodcalc.figures import records as figures
from woodcalc.lesson.box import STYLE, Form, kept_choices, labelled
from woodcalc.lesson.panel import choice, panel, slider, switch


def learning_panel():
    """Panel: Kettle Hollow's stack A, its readings dropped in one by one."""
    return panel(
        figures.learning,
        [
            slider("entered", "Readings entered (number)", 0, 8, 1, 0),
            choice(
                "use",
                "Which readings",
                [("all", "both"), ("weighed board", "weight"), ("pin meter", "meter")],
            ),
            switch("slip", "One weighing written down wrong"),
        ],
        "Stack A at Kettle Hollow: what each reading adds",
    )


def worth_panel():
    """Panel: how the date of 20 % closes in with the number of readings, weighed or by meter."""
    return panel(
        figures.worth_of_readings,
        [
            slider("first_day", "First reading (days after stacking)", 5, 50, 5, 10),
            slider("every_days", "Then every (days)", 7, 21, 7, 14),
            slider("pace", "Pace of this stack (usual = 1)", 0.6, 1.4, 0.2, 0.8),
        ],
        "What a reading is worth",
    )


def unknown_stack_panel(pace, seed, **_):
    """Panel: a stack whose pace is hidden; try paces until the curve runs through its readings."""

    def draw(until_day, tried_pace, big=False):
        return figures.unknown_stack(pace, seed, until_day, tried_pace, big=big)

    return panel(
        draw,
        [
            slider("until_day", "Weighed every 7 days until (day)", 14, 91, 7, 28),
            slider("tried_pace", "Pace that you try (usual = 1)", 0.5, 1.5, 0.05, 1.0),
        ],
        "A stack with an unknown pace",
    )


def own_stack_panel():
    """Panel: the stacks that have readings, the learner's own or Kettle Hollow's, reading by reading."""
    folder = str(records.folder())
    try:
        tables = records.read_folder(folder)
        if not {"stacks", "readings"} <= set(tables) or tables["readings"].empty:
            folder = str(records.KETTLE_HOLLOW)
            tables = records.read_folder(folder)
    except InputError as error:
        return _note(f"{error}")
    have = [s for s in tables["stacks"]["stack"] if s in set(tables["readings"]["stack"])]
    if not have:
        return _note("None of the stacks in stacks.csv has a reading in readings.csv yet.")

    def draw(stack, left_out, big=False):
        return figures.own_stack(folder, stack, left_out, big=big)

    most = int(tables["readings"].groupby("stack").size().max())
    whose = "Kettle Hollow's stacks" if folder == str(records.KETTLE_HOLLOW) else "Your stacks"
    return panel(
        draw,
        [
            choice("stack", "Stack", have),
            slider("left_out", "Newest readings left out (number)", 0, most, 1, 0),
        ],
        f"{whose}, with their readings",
    )


def _note(text):
    lines = "<br>".join(html.escape(line) for line in text.split("\n"))
    return w.HTML(
        f'{STYLE}<div class="woodcalc"><div class="woodcalc-note woodcalc-warn">{lines}</div></div>'
    )


_SHOWN = 12  # rows of the table under the form


class RecordsForm(Form):
    """A form that adds a row to one of the learner's tables, checks it, shows it, and lets it be corrected.

    Made by `records_form`. What is typed stays in the fields until it is saved.
    """

    def __init__(self, table, folder):
        self._folder = folder
        self._table = w.Dropdown(options=list(records.TABLES), value=table, layout=w.Layout(width="180px"))
        self._fields, self._frame = {}, None
        self._inputs = w.Box(layout=w.Layout(flex_flow="row wrap"))
        self._rows = w.HTML()
        self._marked = w.Dropdown(options=[("a new row", 0)], layout=w.Layout(width="220px"))
        self._keep = w.Button(description="Check and save", layout=w.Layout(width="auto"))
        self._drop = w.Button(description="Take this row out", layout=w.Layout(width="auto"), disabled=True)
        top = w.HBox([labelled("Table", self._table), labelled("To fill in or correct", self._marked)])
        buttons = w.HBox([self._keep, self._drop])
        super().__init__([top, self._inputs, buttons], [self._rows], "form: your records", "Your records")
        self._table.observe(lambda _: self._open(), "value")
        self._marked.observe(lambda _: self._fill(), "value")
        self._keep.on_click(lambda _: self.save())
        self._drop.on_click(lambda _: self.take_out())
        self._open()

    @property
    def path(self):
        """The file of the table that the form shows."""
        return self._folder / f"{self._table.value}.csv"

    @property
    def fields(self):
        """The input fields by column name, for tests."""
        return self._fields

    def _open(self):
        """Show the fields of the chosen table, and its rows."""
        self._fields = {c.name: _field(c) for c in records.TABLES[self._table.value]}
        labels = {c.name: _label(c) for c in records.TABLES[self._table.value]}
        self._inputs.children = [labelled(labels[name], field) for name, field in self._fields.items()]
        if "kind" in self._fields:
            self._fields["kind"].observe(self._fit_unit, "value")
        self.tell("")
        self._read()
        self._fill()

    def _fit_unit(self, change):
        """A meter reads per cent, a scale does not."""
        unit = self._fields["unit"]
        if (change["new"] == "meter") != (unit.value == "%"):
            unit.value = "%" if change["new"] == "meter" else "lb"

    def _read(self):
        try:
            self._frame = records.read(self.path) if self.path.exists() else None
        except InputError as error:
            self._frame = None
            self.tell(f"{error}\nMend the file before you add to it; nothing in it was changed.", "warn")
        rows = (
            [] if self._frame is None else [(f"row {n}: {_short(r)}", n) for n, r in self._frame.iterrows()]
        )
        marked = self._marked.value
        self._marked.options = [("a new row", 0), *rows]
        self._marked.value = marked if marked in dict((n, t) for t, n in rows) else 0
        self._show()

    def _show(self):
        if self._frame is None or self._frame.empty:
            self._rows.value = (
                f'<div class="woodcalc-note">No rows yet in {html.escape(self.path.name)}.</div>'
            )
            return
        last = self._frame.tail(_SHOWN)
        names = [c for c in last.columns if any(records.text(v) for v in last[c])]
        head = "".join(f"<th>{html.escape(str(n))}</th>" for n in ["row", *names])
        body = "".join(
            "<tr>"
            + "".join(f"<td>{html.escape(v)}</td>" for v in [str(n), *(records.text(r[c]) for c in names)])
            + "</tr>"
            for n, r in last.iterrows()
        )
        more = len(self._frame) - len(last)
        self._rows.value = (
            f"<table><caption>{html.escape(self.path.name)}{f', the last {len(last)} rows' if more else ''}</caption>"
            f"<tr>{head}</tr>{body}</table>"
        )

    def _fill(self):
        """Put the marked row into the fields; a new row starts with what most often stays the same."""
        marked = self._marked.value
        self._drop.disabled = not marked
        for name, field in self._fields.items():
            if marked:
                value = records.text(self._frame.loc[marked, name])
            elif self._frame is not None and len(self._frame) and name in _STAYS:
                value = records.text(self._frame[name].iloc[-1])
            else:
                value = _FIRST.get(name, lambda: "")()
            if isinstance(field, w.Dropdown) and value not in field.options:
                value = field.options[0]
            field.value = value

    def save(self):
        """Check the row and save it; what is wrong is said, and the typed text stays."""
        typed = {name: field.value for name, field in self._fields.items()}
        marked = self._marked.value
        try:
            if marked:
                frame = records.correct(self.path, marked, self._frame.loc[marked], typed)
                done = f"Row {marked} of {self.path.name} is corrected."
            else:
                frame = records.append(self.path, typed)
                done = f"Saved as row {frame.index[-1]} of {self.path.name}."
        except records.RecordsError as error:
            self.tell("Not saved yet:\n" + "\n".join(_plain(p) for p in error.problems[:8]), "warn")
            return
        except (InputError, records.ChangedError) as error:
            self._read()
            self.tell(
                f"{error}\nThe table below shows the file as it is now. What you typed is still in the form.",
                "warn",
            )
            return
        except OSError as error:
            self.tell(f"{error}\nWhat you typed is still in the form.", "warn")
            return
        self._after(frame, done)

    def take_out(self):
        """Take the marked row out of the file."""
        marked = self._marked.value
        if not marked:
            return
        try:
            frame = records.correct(self.path, marked, self._frame.loc[marked], None)
        except (InputError, OSError) as error:
            self._read()
            self.tell(str(error), "warn")
            return
        self._after(frame, f"Row {marked} is taken out of {self.path.name}.")

    def _after(self, frame, done):
        others = [n for n in frame.index if self._frame is None or n not in self._frame.index]
        known = 0 if self._frame is None else len(self._frame)
        if len(others) > 1 and len(frame) > known + 1:
            done += f" {len(frame) - known - 1} more rows came in from another program; they are all kept."
        kept = records.last_version(self.path)
        done += f" The version before is {kept.name}." if kept.exists() else ""
        self._marked.value = 0
        self._read()
        self._fill()
        self.tell(done, "good")

    def still(self):
        """The fields of the table."""
        names = ", ".join(_label(c) for c in records.TABLES[self._table.value])
        return (
            f"<p><b>Your records: {self._table.value}</b></p><p>One field for each of: {html.escape(names)}.</p>"
            "<p><i>Press <b>Run this lesson</b> in the toolbar to fill in the form.</i></p>"
        )


# of a new row, as in the row before
_STAYS = ("stack", "species", "nominal", "place", "kind", "unit", "board")
_FIRST = {
    "date": lambda: date.today().isoformat(),
    "stacked": lambda: date.today().isoformat(),
    "species": lambda: kept_choices().species,
    "place": lambda: kept_choices().place,
    "nominal": lambda: kept_choices().thickness,
    "kind": lambda: "weight",
    "unit": lambda: "lb",
}


def _field(column):
    wide = w.Layout(width="170px")
    if column.kind == "choice":
        return w.Dropdown(
            options=["", *column.choices] if not column.needed else list(column.choices), layout=wide
        )
    # Sent when the field is left, not letter by letter: a button pressed at once must not overtake the last letters.
    if column.kind == "species":
        return w.Combobox(options=woods.names(), continuous_update=False, layout=wide)
    example = f"e.g. {column.example}" if column.example else ""
    return w.Text(placeholder=example, continuous_update=False, layout=wide)


def _label(column):
    unit = f" ({column.unit})" if column.unit else " (F)" if column.kind == "F" else ""
    base = column.name.removesuffix("_" + column.unit) if column.unit else column.name
    for end in ("_pct", "_deg", "_f"):
        base = base.removesuffix(end)
    return base.replace("_", " ").capitalize() + unit + (" *" if column.needed else "")


def _short(row):
    return ", ".join(t for t in (records.text(v) for v in row.iloc[:4]) if t)


def _plain(problem):
    return f"{problem.column}: found {problem.found}; expected {problem.expected}"


def records_form(table="readings", folder=None):
    """Return a form for one's own records; the table can be changed in it.

    Parameters
    ----------
    table : str
        The table that it opens with.
    folder : path, optional
        The learner's own folder if left out.

    Returns
    -------
    RecordsForm
    """
    from pathlib import Path

    return RecordsForm(table, Path(folder) if folder else choices.folder())
