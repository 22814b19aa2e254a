"""Panels of lesson 08: a forecast that learns, what a reading is worth, an unknown stack, the form for records."""

from __future__ import annotations

import base64
import contextlib
import html
import re
import warnings
from collections.abc import Callable
from datetime import date
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

import ipywidgets as w

from woodcalc import disk, drying, records
from woodcalc import species as woods
from woodcalc.checks import InputError
from woodcalc.disk import in_words
from woodcalc.figures import records as figures
from woodcalc.lesson import drafts, history, own
from woodcalc.lesson.asks import Asks
from woodcalc.lesson.box import Ask, Form, button, labelled, note, table
from woodcalc.lesson.lists import place_names
from woodcalc.lesson.panel import choice, panel, slider, switch
from woodcalc.records import backup as backups
from woodcalc.records import choices, keep
from woodcalc.records.cells import as_measured, as_shown, same_row
from woodcalc.records.choices import kept_choices
from woodcalc.records.columns import MARKS
from woodcalc.records.files import cells_of, near_names, take_as, taken_apart
from woodcalc.records.questions import left_to_tell, questions
from woodcalc.records.usable import meant, mends_well

if TYPE_CHECKING:
    from woodcalc.lesson.box import Box, Shown
    from woodcalc.lesson.panel import Panel
    from woodcalc.records.questions import Question


def learning_panel() -> Panel:
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


def worth_panel() -> Panel:
    """Panel: how the date of 20 % closes in with the number of readings, weighed or by meter."""
    return panel(
        figures.worth_of_readings,
        [
            slider("first_day", "First reading (days after stacking)", 5, 50, 5, 10),
            slider("every_days", "Then every (days)", 7, 21, 7, 14),
            slider("boards", "Boards read each time (number)", 1, 4, 1, 1),
            slider("pace", "Pace of this stack (usual = 1)", 0.6, 1.4, 0.2, 0.8),
        ],
        "What a reading is worth",
    )


def unknown_stack_panel(pace: float, seed: int, **_: Any) -> Panel:
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


def own_stack_panel() -> Box | Shown:
    """Panel: the learner's stacks or Kettle Hollow's, reading by reading; follows what the form saves."""
    made = own.show(_own_stacks, "stacks", also=["readings"], lesson="08")
    own.follow("stacks", getattr(made, "look", None))
    return made


def _own_stacks(wood, say):
    now = {"stacks": _Stacks(wood, say)}

    def draw(stack, left_out, big=False):
        try:
            return figures.own_stack(stack, *now["stacks"].of(stack), left_out, big=big)
        except Exception as error:  # never another stack's picture and dates under this one's name
            return figures.no_stack(f"Stack {stack} has no forecast: {in_words(error)}", big=big)

    made = panel(
        draw,
        [
            choice("stack", "Stack", now["stacks"].names),
            slider("left_out", "Newest readings left out (number)", 0, now["stacks"].most, 1, 0),
        ],
        "Stacks, with their readings",
    )

    def look():
        said: list[str] = []
        found = own.own_wood("stacks", also=["readings"], lesson="08")
        now["stacks"] = _Stacks(found, said)
        stack, chosen = made.dials["stack"], made.dials["stack"].value
        made.dials["left_out"].max = now["stacks"].most
        stack.options = now["stacks"].names
        stack.value = chosen if chosen in stack.options else stack.options[0]
        made.tell_above(own.own_note(found, said))
        made.draw_again()

    made.look = look
    return made


class _Stacks:
    """The stacks of a wood with their readings and forecasts, each worked out when it is first asked for."""

    def __init__(self, wood, say):
        stacks, readings = wood.tables["stacks"], wood.tables.get("readings", ())
        if len(stacks) > _OFFERED:
            say.append(f"The first {_OFFERED} of {len(stacks):,} stacks are offered here.")
        self._rows = stacks.head(_OFFERED).set_index("stack")
        self._place, self._told = kept_choices().place, {}
        self._readings = {name: own.told_by_readings(wood, name, say) for name in self._rows.index}
        if len(readings) and all(told.empty for told in self._readings.values()):
            say.append(
                "No reading of these stacks tells its moisture yet: this is the forecast of the day of stacking."
            )
        # the ones with readings first: they have something to show
        self.names = sorted(self._readings, key=lambda name: self._readings[name].empty)
        self.most = max(1, *map(len, self._readings.values()))

    def of(self, stack):
        """The forecast of a stack before any reading, and its readings."""
        if stack not in self._told:
            self._told[stack] = drying.of_stack(self._rows.loc[stack], self._place)
        return self._told[stack], self._readings[stack]


_OFFERED = 60  # stacks in the list of the panel
_SHOWN = 12  # rows of the table under the form
_LISTED = 400  # rows that can be chosen to be corrected, the last ones: a longer list makes a browser slow
_TOLD = 5  # rows elsewhere that a saved row made doubtful
_TABLE, _ROW = "Table", "To fill in or correct"  # the lists above the fields
_NONE = [("none yet", 0)]
_KEPT = "What you typed is still in the form."
_TYPED = "this row"  # the file of a problem in what was typed


class RecordsForm(Form):
    """A form that adds a row to one of the learner's tables, checks it, shows it, and lets it be corrected.

    Made by `records_form`. What is typed stays in the fields until it is saved, whatever goes wrong.
    """

    def __init__(self, table: str, folder: Path) -> None:
        self._folder = folder
        self.table = w.Dropdown(options=list(records.TABLES), value=table, layout=w.Layout(width="180px"))
        self._fields: dict[str, Any] = {}
        self._frame: Any = None  # the good rows, as soon as the file is read
        self._aside: dict[int, list[records.Problem]] = {}
        self._there, self._lines = False, 0
        self._held: dict[str, str] = {}  # what the marked row holds: a number is another row's tomorrow
        self._moved = ""  # what became of the marked row when the file was read anew
        self._undoes: history.Undo | None = None  # what the button does
        self._asked: list[Question] = []  # what the table leaves open as a whole
        self._found: Any = None  # all tables, and what becomes of each row
        self._seen: Any = None  # the files when this row was begun
        self._last_look: Any = None  # all tables just before a save
        self._told_twin: dict[str, str] = {}  # what was typed when a row just like it was told
        self._listing = self._filling = False
        self._started: dict[str, str] = {}  # what the fields held before anybody typed
        self._days: dict[tuple[str, str], str] = {}  # the day of the row saved last, by table and column
        self._near: list[Path] = []  # files that look like a table that is missing
        self._beside: list[Path] = []  # ... or like one that is there
        self._near_told = False
        self._unsaved = ""  # what the form said when it brought back what was typed earlier
        self._drafts = drafts.Drafts() if folder == choices.folder() else None
        self._inputs = w.Box(layout=w.Layout(flex_flow="row wrap"))
        self.bad, self.rows_line, self.mends, self.asked = w.HTML(), w.HTML(), w.VBox(), w.VBox()
        self.marked = w.Dropdown(
            options=[("a new row", 0)], layout=w.Layout(width="320px", max_width="calc(100% - 4px)")
        )
        self._keep, self._drop, self.undo_button, self._more = (
            button(text)
            for text in (
                "Check and save",
                "Take this row out",
                "Undo the last save",
                "Earlier versions and backup",
            )
        )
        self.undoes = w.HTML()
        self.question = Ask()
        self.keeping = Keeping(folder, self._done, self.tell)
        row = {"layout": w.Layout(flex_flow="row wrap", align_items="center")}
        top = w.Box(
            [labelled(_TABLE, self.table), labelled(_ROW, self.marked)],
            layout=w.Layout(flex_flow="row wrap"),
        )
        buttons = w.HBox([self._keep, self._drop, self.undo_button, self.undoes], **row)
        below = [self.mends, self.asked, self.bad, self.rows_line, self._more, self.keeping]
        super().__init__(
            [top, self._inputs, buttons, self.question], below, "form: your records", "Your records"
        )
        page = self.children[-1]
        page.when_typed = self._typing
        page.choosers = [_TABLE, _ROW]
        page.filled_by = lambda: {_TABLE: self.table.label, _ROW: self.marked.label}
        self.table.observe(lambda _: self._safely(self._open), "value")
        self.marked.observe(lambda _: self._listing or self._safely(self._fill), "value")
        self._keep.on_click(lambda _: self._safely(self.save))
        self._drop.on_click(lambda _: self._safely(self.ask_take_out))
        self.undo_button.on_click(lambda _: self._safely(self.undo))
        self._more.on_click(lambda _: self._safely(self._turn))
        self._safely(self._open)

    @property
    def path(self) -> Path:
        """The file of the table that the form shows."""
        return self._folder / f"{self.table.value}.csv"

    @property
    def fields(self) -> dict[str, w.Widget]:
        """The input fields by column name, for tests."""
        return self._fields

    def _safely(self, do):
        """What goes wrong in a button's work would end in a log that nobody reads: say it here."""
        try:
            do()
        except Exception as error:
            self.tell(f"{in_words(error)}\n{_KEPT}", "warn")

    def _open(self):
        """Show the fields of the chosen table, and its rows."""
        self._fields = {c.name: _field(c) for c in records.TABLES[self.table.value]}
        labels = {c.name: _label(c) for c in records.TABLES[self.table.value]}
        self._inputs.children = [labelled(labels[name], field) for name, field in self._fields.items()]
        if "kind" in self._fields:
            self._fields["kind"].observe(self._fit_unit, "value")
        for field in self._fields.values():
            field.observe(lambda _: self._draft(), "value")
        self.question.hide()
        self._listing, self.marked.value, self._listing = True, 0, False
        self._held = {}
        self.tell(own.folder_trouble(self._folder), "warn")
        self._near_told = False
        self.read_again()
        if self._near:
            self.tell(self._near_words(), "warn")
        self._fill(self.said)

    def _fit_unit(self, change):
        """A meter reads per cent, a scale does not."""
        unit = self._fields["unit"]
        if (change["new"] == "meter") != (unit.value == "%"):
            unit.value = "%" if change["new"] == "meter" else self._last_good_unit("")

    def read_again(self) -> None:
        """Read the table: its good rows, the rows set aside, and what is wrong with the file as a whole."""
        self._found = found = records.read_usable(self._folder)  # a row is judged beside the other tables
        self._frame, self._there = found.tables.get(self.table.value), history.is_there(self.path)
        near = near_names(self.path)
        self._near, self._beside = ([], near) if self._there else (near, [])
        asked = questions(found) if found.problems or found.notes else []
        self.asked.children = [Asks(self.path, asked, lambda said: self._done(said, "good"), self._safely)]
        self._asked = [q for q in asked if q.file == self.path.name]
        self._aside, whole = {}, []
        elsewhere = set(records.TABLES) - {self.table.value}
        for problem in found.problems:
            if (meant(problem.file) or problem.file.lower().partition(".")[0]) in elsewhere:
                continue
            if problem.row and self._frame is not None:
                self._aside.setdefault(problem.row, []).append(problem)
            elif problem.file in {near.name for near in self._near} or not left_to_tell([problem], asked):
                continue  # told with the button that takes it, or answers it
            elif self._frame is None or len(self._frame):  # a header without rows is a beginning
                whole.append(str(problem))
        if whole:
            told = "Mend the file before you add to it; nothing in it was changed."
            if self._frame is None and history.dated(self.path):
                told += f" Undo goes back to the version of {history.dated(self.path)[0][0]}."
            if self._frame is None and history.before_damage(self.path):
                told += " The doctor page in lesson 0 can keep the text before the damage."
            self.tell("\n".join([*whole[:8], told if self._frame is None else ""]).strip(), "warn")
        sheet = found.sheets.get(self.table.value)
        self._lines = len(sheet.row_numbers) if sheet else _rows_in(self.path)
        self._list()
        self._show()
        self._undoes = history.undoes(self.path)
        self.undo_button.disabled = self._undoes is None
        says = self._undoes.says if self._undoes else ()
        self.undoes.value = note("Undo: " + "; ".join(says)) if says else ""
        self.keeping.show(self.path, history.dated(self.path))

    def _list(self):
        """List the rows that can be chosen; what stands in the fields stays."""
        was = self.marked.value
        marked = self._find(self._held, was) if was else 0
        rows = [(f"row {n}, set aside: {_short(self._raw(n))}", n) for n in self._aside]
        if self._frame is not None:
            last = self._frame.tail(_LISTED)
            if marked in self._frame.index and marked not in last.index:
                last = self._frame.loc[[marked, *last.index]]
            cells = zip(last.index, last.to_dict("records"), strict=True)
            rows += [(f"row {n}: {_short(r)}{self._mark(n, ' ({})')}", n) for n, r in cells]
        shown = [row for k, row in enumerate(rows) if k >= len(rows) - _LISTED or row[1] == marked]
        self._listing = True
        self.marked.options = [("a new row", 0), *shown]
        self.marked.value = marked
        self._listing = False
        self._drop.disabled = not marked
        self._moved = self._go_along(was, marked) if was else ""

    def _raw(self, row):
        """What the cells of a row hold, as it was read."""
        return cells_of(self._found.sheets.get(self.table.value), row)

    def _find(self, held, near):
        """The row that holds this, the nearest to where it was if several do; 0 if none does."""
        rows = [*self._aside, *(self._frame.index if self._frame is not None else ())]
        if near in rows and self._raw(near) == held:
            return near
        return min((n for n in rows if self._raw(n) == held), key=lambda n: abs(n - near), default=0)

    def _go_along(self, was, marked):
        """Stay with the marked row in a file that was read anew, whatever its number; return what to say, or ""."""
        if marked:  # the same row may read in another way, as in other units
            typed = self._typed(self._shown())
            with self._untyped():
                self._put_in(marked)
                self._started = self._shown()
                for name, text in typed.items():
                    self._fields[name].value = text
            if marked == was:
                return ""
            self.question.hide()
            return f"The row that you were at is row {marked} now, and the form has gone along with it."
        self.question.hide()
        if self._drafts and (words := self._drafts.of(self.table.value, self._held)):
            if self._is_in(self._held | words):
                self._forget_draft()
            elif not self._drafts.of(self.table.value, {}):  # it is a new row's now
                self._drafts.keep(self.table.value, {}, self._shown())
                self._forget_draft()
        self._held, self._started = {}, {}
        self._offer(())
        self._offer_empty()
        return (
            f"The row that you were at is no longer in {self.path.name} as it was. The form stands at a new row now: "
            "Check and save would add what is in the fields as one more row. To correct a row, choose it above."
        )

    def _is_in(self, cells):
        """True if a row of the file says this."""
        return bool(cells) and any(
            drafts.alike(cells, self._raw(n))
            for n in (*self._aside, *(self._frame.index if self._frame is not None else ()))
        )

    def _mark(self, row, form="{}"):
        """What becomes of a row of the table shown, if it is not simply used."""
        told = self._found.verdict(self.path.name, row)
        return "" if told == "used" else form.format(told)

    def _show(self):
        aside = [p for problems in self._aside.values() for p in problems]
        lines = [self._told(p) for p in left_to_tell(aside, self._asked)]
        left = len(lines) - own.SHOWN
        lines = lines[: own.SHOWN] + ([f"and {left:,} more"] if left > 0 else [])
        first = "Set aside, and left in the file as they are. Choose such a row above to correct it:"
        beside = [p.name for p in self._beside if p.name.lower() != self.path.name]  # that one is told above
        told = "\n".join([first, *lines]) if lines else ""
        self.bad.value = note(told, "warn") + note("\n".join(map(self._lies_beside, beside[: own.SHOWN])))
        if self._frame is None or self._frame.empty:
            self.rows_line.value = "" if lines else note(f"No rows yet in {self.path.name}.")
            return
        last = self._frame.tail(_SHOWN)
        names = [c for c in last.columns if any(records.text(v) for v in last[c])]
        names = [c for c in names if c != "unit"]  # it stands behind its value
        rows = [[str(n), *(_cell(r, c) for c in names)] for n, r in last.iterrows()]
        marks = [self._mark(n) for n in last.index]
        if any(marks):
            names, rows = [*names, "used?"], [[*r, m] for r, m in zip(rows, marks, strict=True)]
        more = f", the last {len(last)} of {len(self._frame):,} rows" if len(self._frame) > len(last) else ""
        labels = {c.name: _label(c).removesuffix(" *") for c in records.TABLES[self.table.value]}
        shown = table(["row", *(labels.get(str(n), str(n)) for n in names)], rows, self.path.name + more)
        self.rows_line.value = f'<div style="overflow-x:auto">{shown}</div>'

    def _lies_beside(self, name):
        return f"The file {name} lies beside {self.path.name} and is not read. Does it hold more rows?"

    def _fill(self, said=""):
        """Put the marked row into the fields; a new row starts with what most often stays the same."""
        marked = self.marked.value
        self.question.hide()
        self._drop.disabled = not marked
        self._offer(p for p in self._of_row(marked) if marked)
        with self._untyped():
            self._put_in(marked)
        self._started, self._held = self._shown(), self._raw(marked) if marked else {}
        self._seen, self._told_twin = self._found.sheets, {}
        self._unsaved = self._bring_back(marked)
        if self._unsaved:
            self.tell("\n".join(filter(None, [said, self._unsaved])), "warn")

    def _put_in(self, marked):
        last = None if self._frame is None or self._frame.empty else self._frame.iloc[-1]
        written = self._raw(marked) if marked else {}
        for name, field in self._fields.items():
            if marked in self._aside:
                value = written.get(name, "")
            elif marked:
                value = as_measured(
                    self._frame.loc[marked, name], _KINDS.get(name, "")
                )  # 12' 4", and not 12.33333333
                typed = written.get(name, "")
                value = typed if re.search(r"\d\s*[a-z\"']", typed) and name in _KINDS else value
            elif last is not None and name in _STAYS:
                value = records.text(last[name])
                value = _ONCE.get(value, value) if name == "kind" else value
                value = self._last_good_unit(value) if name == "unit" else value
            else:
                value = self._last_day(name) or FIRST.get(name, lambda: "")()
            if isinstance(field, w.Dropdown) and value not in field.options:
                field.options = [*field.options, value]  # what stands in the file, right or not
            field.value = value

    @contextlib.contextmanager
    def _untyped(self):
        """What the form itself puts into its fields is nobody's typing."""
        self._filling = True
        try:
            yield
        finally:
            self._filling = False

    def _shown(self):
        """What the fields hold, by column."""
        return {name: field.value for name, field in self._fields.items()}

    def _typed(self, now):
        """What is otherwise than the form put it in."""
        return {name: text for name, text in now.items() if text != self._started.get(name)}

    def _typing(self, shown):
        """Keep what is being typed into a field of the page, by its label: the page may be closed before it is left."""
        names = {_label(c): c.name for c in records.TABLES[self.table.value]}
        self._draft({names[label]: text for label, text in shown.items() if label in names})

    def _draft(self, shown=()):
        """Keep what was typed and is not saved; forget it if nothing is left of it."""
        if not self._filling and self._drafts:
            now = self._shown() | dict(shown)
            typed = self._typed(now)
            if typed and not self.marked.value:  # tomorrow the form starts with another day
                typed = {name: text for name, text in now.items() if name in typed or name in _DAYS and text}
            self._drafts.keep(self.table.value, self._held, typed)

    def _bring_back(self, marked):
        """Put what was typed and not saved back into the fields; return a sentence that says so, or ""."""
        if not self._drafts:
            return ""
        self._drafts.take_over(self.table.value)
        typed = self._drafts.of(self.table.value, self._held)
        typed = {name: text for name, text in typed.items() if name in self._fields}
        with self._untyped():
            for name, text in typed.items():
                field = self._fields[name]
                if not isinstance(field, w.Dropdown) or text in field.options:
                    field.value = text
        labels = {c.name: _label(c).removesuffix(" *") for c in records.TABLES[self.table.value]}
        if typed:
            self._offer_empty()
            return (
                f"This was typed earlier and was not saved yet: {', '.join(labels[name] for name in typed)}."
            )
        rows, said = [], []
        for held, words in self._drafts.of_rows(self.table.value):
            if self._is_in(held | words):  # it was saved since, from somewhere else
                self._drafts.keep(self.table.value, held, {})
                continue
            if row := self._find(held, 0):
                rows.append(str(row))
                continue
            told = "; ".join(f"{labels.get(name, name)} {text or 'nothing'}" for name, text in words.items())
            said.append(
                f"Typed earlier and not saved, for a row that is no longer there as it was ({_short(held)}): {told}."
            )
        if self._drafts.left(self.table.value, living=True):
            self._offer_button(_FETCH, self._fetch)
        if said:
            self._offer_button(_FORGET, self._throw_lost_away)
        if rows:
            which = f"row {rows[0]} has" if len(rows) == 1 else f"rows {', '.join(rows)} have"
            said.insert(0, f"Typed earlier and not saved: {which} a correction. Choose it above.")
        return "\n".join(said[:_TOLD])

    def _fetch(self):
        """Take over what was typed into another open window and not saved there."""
        if self._drafts:
            self._drafts.take_over(self.table.value, also_living=True)
        self.tell("")
        self._fill()

    def _offer_button(self, words, do):
        press = button(words)
        press.on_click(lambda _: self._safely(do))
        self.mends.children = [*self.mends.children, press]

    def _offer_empty(self):
        self._offer_button(_EMPTY, self._throw_away)

    def _throw_lost_away(self):
        """Forget the corrections of rows that are no longer there."""
        mine = self._drafts
        for held, _ in mine.of_rows(self.table.value) if mine else ():
            if mine and not self._find(held, 0):
                mine.keep(self.table.value, held, {})
        self.tell("")
        self._fill()

    def _throw_away(self):
        """Empty the fields of what was typed and not saved."""
        self._forget_draft()
        self.tell("")
        self._fill()

    def _forget_draft(self, saved=()):
        if self._drafts:
            self._drafts.keep(self.table.value, self._held, {})
            self._drafts.forget_saved(self.table.value, self._held, dict(saved))

    def _near_words(self):
        """Say that a file looks like the table that is missing."""
        names = " and ".join(
            f"{near.name} ({history.rows(history.content(near), self.table.value)})"
            for near in self._near[:3]
        )
        hidden = any(near.name.lower().endswith((".csv.txt", ".csv.csv")) for near in self._near)
        why = " Windows may hide the end of that name." if hidden else ""
        take = "take it with the button below before you add to it"
        if not any(map(self._can_be_taken, self._near[:3])):
            take = f"as it is, it can't be taken for a table of {self.table.value}"
        return (
            f"There is no {self.path.name} in {self._folder.name}, but {names}.{why} The book reads it only under the "
            f"name {self.path.name}: {take}."
        )

    def _can_be_taken(self, near):
        """True for a file that reads as the table shown, or holds nothing yet."""
        data = history.content(near)
        return not data.strip() or taken_apart(data, self.table.value) is not None

    def _take(self, near):
        """Give a file the name of the table; what is typed stays."""
        left = take_as(self.path, near)
        self.read_again()
        self._offer(())
        rows = history.rows(history.content(self.path), self.table.value)
        told = f"{near.name} is {self.path.name} now, with {rows}. What you typed is still in the form."
        self.tell(
            f"{told} The file under the old name could not be removed ({left})." if left else told, "good"
        )
        own.saved()

    def _last_good_unit(self, unit):
        """The unit of the last row in which nothing looks wrong, for a row like the one written last."""
        meter = unit == "%"
        used: list[tuple[int, str]] = []
        if self._frame is not None:
            units = self._frame["unit"]
            used = [(n, u) for n, u in units[(units == "%") == meter].items() if u][::-1]
        good = [u for n, u in used if not self._of_row(n)]
        return next(iter([*good, *(u for _, u in used), "%" if meter else FIRST["unit"]()]))

    def _of_row(self, row):
        """What is wrong or looks wrong in a row of the table shown."""
        both = (*self._found.problems, *self._found.doubts)
        return [p for p in both if p.row == row and p.file == self.path.name]

    def _offer(self, problems):
        """Offer the mends that are known, and a file that seems to be the one that is missing."""
        self.mends.children = ()
        for near in filter(self._can_be_taken, self._near[:3]):
            self._offer_button(f"Take {near.name} as {self.path.name}", partial(self._take, near))
        for problem in problems:
            if mends_well(self._found, problem):
                sheet = self._found.sheets.get(Path(problem.file).stem.lower())
                holds = cells_of(sheet, problem.row)
                self._offer_button(f"Mend {own.mend_of(problem)}", partial(self._mend, problem, holds))

    def _mend(self, problem, holds):
        records.mend(self._folder / problem.file, problem, holds=holds)
        self._after(own.mended(problem))

    def save(self) -> None:
        """Check the row and save it; what is wrong is said, and the typed text stays."""
        self.question.hide()
        self._near = [] if history.is_there(self.path) else near_names(self.path)
        if self._near and not self._near_told:
            self._near_told = True
            self._offer(())
            again = (
                f"Or press Check and save once more, and the form begins a new {self.path.name} beside it."
            )
            self.tell(f"Not saved yet. {self._near_words()}\n{again}", "warn")
            return
        if self._there and not history.is_there(self.path):
            self._there = False
            self.tell(
                f"{self.path.name} is no longer in {self._folder}, where it was when this form opened. Was the folder "
                f"moved or renamed? Put it back and save again.\nIf it is meant to be gone: Check and save once more "
                f"begins a new one. {_KEPT}",
                "warn",
            )
            return
        typed = self._shown()
        marked = self.marked.value
        known = self._looks_wrong()
        if not marked and self._told_twin != typed and (twin := self._saved_elsewhere(typed)):
            self._told_twin = typed
            self._forget_draft(typed)
            self.read_again()
            self.tell(
                f"Row {twin} of {self.path.name} came in from another window and says just this. Nothing was saved "
                "now.\n"
                f"If you mean one more of the same: Check and save once more adds it. {_KEPT}",
                "warn",
            )
            return
        try:
            with warnings.catch_warnings(record=True) as doubts:  # saved, but its history could not be kept
                warnings.simplefilter("always", disk.HistoryWarning)
                if marked:
                    before = self._raw(marked)
                    records.correct(self.path, marked, self._before(marked), typed)
                    if not (changed := self._changes(marked, before)):
                        self._nothing_changed(marked)
                        return
                    row = marked
                    done = f"Row {marked} of {self.path.name} is corrected. {changed}."
                else:
                    row = records.append(self.path, typed).index[-1]
                    done = _saved(self.table.value, row, _rows_in(self.path))
        except records.RecordsError as error:
            said = [self._told(p) for p in error.problems[:8]]
            if found := re.fullmatch(r"\s*([\d.,/ ]+?)\s*(lb|kg|oz|g|%)\.?\s*", typed.get("value", "")):
                said.append(f"Is it {found[1]}, and {found[2]} put into Unit?")
            self.tell("\n".join(["Not saved yet:", *said]), "warn")
            return
        except (InputError, records.ChangedError) as error:
            self.read_again()
            shows = f"The table below shows the file as it is now. {_KEPT}"
            self.tell("\n".join(filter(None, [str(error), self._moved, shows])), "warn")
            return
        except OSError as error:
            self.tell(f"{error}\n{_KEPT}", "warn")
            return
        others = _rows_in(self.path) - self._lines - (not marked)
        self._forget_draft(typed)
        same_day = "" if marked else self._same_day(typed)
        try:
            self._after(done, row, [str(d.message) for d in doubts], known, others, same_day)
        except Exception as error:  # what was saved must not look as if it were not
            self.tell(f"{done} Save it no second time. Run this lesson again: {in_words(error)}", "warn")

    def _changes(self, row, before):
        """What a correction changed, as the file has it now: "Board: nothing becomes 7"."""
        sheet = taken_apart(history.content(self.path), self.table.value)
        now = cells_of(sheet, row)
        labels = {c.name: _label(c).removesuffix(" *") for c in records.TABLES[self.table.value]}
        cells = [(labels[name], before.get(name, ""), now.get(name, "")) for name in labels]
        return "; ".join(
            f"{label}: {was or 'nothing'} becomes {is_ or 'nothing'}"
            for label, was, is_ in cells
            if was != is_
        )

    def _nothing_changed(self, row):
        """Say so, and stay at the row: somebody who typed a correction must see that it is not in."""
        self._forget_draft()
        self.tell(f"Nothing changed in row {row} of {self.path.name}: it holds what the fields say.", "warn")

    def _saved_elsewhere(self, typed):
        """The row that another window has saved since this one was begun, and that says what is typed here; or 0."""
        sheet = self._seen if self._seen is None else self._seen.get(self.table.value)
        before = {sheet.text[r.start : r.end].strip() for r in sheet.records} if sheet else set()
        found = self._last_look.sheets.get(self.table.value)
        frame = self._last_look.tables.get(self.table.value)
        if found is None or frame is None:
            return 0
        values, problems = records.problems_in(typed, self.table.value)
        mark = MARKS.get(self.table.value, "")
        if mark and not values[mark]:  # the number that it was given
            values.pop(mark)
        for r in found.records[1:] if not problems else ():
            if r.row in frame.index and found.text[r.start : r.end].strip() not in before:
                if same_row(values, frame.loc[r.row]):
                    return r.row
        return 0

    def _last_day(self, name):
        """The day of the row saved last, in this form or in one of this calendar day: old notes come in batches."""
        if name not in _DAYS:
            return ""
        if (self.table.value, name) not in self._days and self._drafts:
            self._days[self.table.value, name] = self._drafts.day(self.table.value)
        return self._days.get((self.table.value, name), "")

    def _same_day(self, typed):
        """Keep the day of a row for the next one; say so if it is another day than the form would start with."""
        said = ""
        for name in _DAYS:
            if text := typed.get(name, "").strip():
                self._days[self.table.value, name] = text
                if self._drafts:
                    self._drafts.keep_day(self.table.value, text)
                if text != FIRST[name]():
                    said = f"The next row starts with the same day, {text}."
        return said

    def _before(self, row):
        """What stood in a row when the form read it."""
        return self._raw(row) if row in self._aside else self._frame.loc[row]

    def ask_take_out(self) -> None:
        """Ask before the marked row is taken out."""
        if marked := self.marked.value:
            row = ", ".join(t for t in (records.text(v) for v in dict(self._before(marked)).values()) if t)
            self.question.ask(
                "\n".join(
                    [f"Take row {marked} out of {self.path.name}? {row}", *self._named_elsewhere(marked)]
                ),
                "Take it out",
                "Keep it",
                lambda: self._safely(self.take_out),
            )

    def _named_elsewhere(self, row):
        """Say how many rows of another table are of the log, board or stack in a row."""
        other, one, tells = _TELLS.get(self.table.value, ("", "", ""))
        sheet = self._found.sheets.get(other)
        if sheet is None:
            return
        own_column = MARKS[self.table.value]
        mark = records.text(self._before(row)[own_column]).casefold()
        n = sum(sheet.cell(r, own_column).casefold() == mark for r in sheet.row_numbers) if mark else 0
        if n:
            what, they = (f"{n:,} {one}s", "They stay") if n > 1 else (f"One {one}", "It stays")
            yield f"{what} {tells}. {they} in {sheet.name}."

    def take_out(self) -> None:
        """Take the marked row out of the file."""
        marked = self.marked.value
        if not marked:
            return
        try:
            records.correct(self.path, marked, self._before(marked), None)
        except (InputError, OSError) as error:
            self.read_again()
            self.tell("\n".join(filter(None, [str(error), self._moved])), "warn")
            return
        self._forget_draft()
        self._after(f"Row {marked} is taken out of {self.path.name}. Undo brings it back.")

    def undo(self) -> None:
        """Put the version before the last save back, as the page tells it; the present one is kept, too."""
        try:
            self._done(history.undo(self.path, self._undoes), "good")
        except records.ChangedError:
            self.read_again()
            changed = f"{self.path.name} was changed by another program. Nothing was undone."
            self.tell("\n".join(filter(None, [changed, self._moved])), "warn")
            if self._undoes:
                says = self._undoes.says or ("Nothing would change.",)
                self.question.ask(
                    "\n".join(
                        [f"{changed} Undo would do this now:", *says, "The version of now is kept, too."]
                    ),
                    "Undo it",
                    "Leave it as it is",
                    lambda: self._safely(self.undo),
                )

    def _turn(self):
        """Show or hide the earlier versions and the backup."""
        hidden = self.keeping.layout.display == "none"
        self.keeping.layout.display = "flex" if hidden else "none"

    def _done(self, said, kind):
        """Show the file anew; a new row that is half typed stays in the fields."""
        if self.marked.value:
            self.marked.value = 0
        self.read_again()
        self.tell(said, kind)
        own.saved()

    def _after(self, done, row=None, doubts=(), known=(), others=0, last=""):
        if others > 0:
            rows = "row" if others == 1 else "rows"
            done += f" {others} more {rows} came in from another window or program; they are all kept."
        self.marked.value = 0
        self.read_again()
        self._fill()
        doubts = [*doubts, *self._doubts(row, known)]
        waits = self._found.waiting.get(row, ()) if self.table.value == "readings" else ()
        known_too = self._good_to_know(row)
        told = [done, self._worth(row), *known_too, *map(own.waits, waits), *doubts, last, self._unsaved]
        self.tell("\n".join(filter(None, told)), "warn" if doubts or known_too or self._unsaved else "good")
        own.saved()

    def _good_to_know(self, row):
        """What the doctor page would say of a row that is used, as that boards.csv has no such board."""
        file = self.path.name
        heads = (
            (*remark.partition(":"),) for remark in self._found.remarks if remark.startswith(f"{file}, row")
        )
        return [
            f"Good to know:{what}" for where, _, what in heads if row and re.search(rf"[ ]{row}\b", where)
        ]

    def _worth(self, row):
        """Say what moisture a reading tells; "" if it tells none, or is no reading."""
        if self.table.value != "readings" or self._frame is None or row not in self._frame.index:
            return ""
        told = self._found.told.get(self._frame.loc[row, "stack"], ())
        mc = next((mc for reading, mc in told if reading.row == row), None)
        return "" if mc is None else f"It tells {mc:.0f} % moisture."

    def _looks_wrong(self):
        """What looks wrong in any of the tables, by where it is."""
        found = self._last_look = records.read_usable(self._folder)
        return {(p.file, p.row, p.column): p for p in (*found.problems, *found.doubts) if p.row}

    def _doubts(self, row, known):
        """What looks wrong in the row that was saved, and what it made doubtful elsewhere."""
        if row is None:
            return []
        found = {(p.file, p.row, p.column): p for p in (*self._found.problems, *self._found.doubts) if p.row}
        waits = self._found.waiting.get(row, ()) if self.table.value == "readings" else ()
        mine = [p for p in self._of_row(row) if p.mend or p.column != "stack" or not waits]
        new = [
            p for where, p in found.items() if where not in known and (p.row, p.file) != (row, self.path.name)
        ]
        self._offer([*mine, *new[:_TOLD]])
        more = (
            [f"and {len(new) - _TOLD:,} more; look at the doctor page in lesson 0"]
            if len(new) > _TOLD
            else []
        )
        return [
            *(f"Look at it again: {self._told(p)} {own.becomes_of(self._found, p)}" for p in mine),
            *(
                f"With this row in, look again at: {self._told(p)} {own.becomes_of(self._found, p)}"
                for p in new[:_TOLD]
            ),
            *more,
        ]

    def _told(self, problem):
        """A problem in the words of the screen: the label in place of the column's name, no file if it is this one."""
        in_table = problem.file == self.path.name and problem.row and problem.cell is not None
        if not in_table and problem.file != _TYPED:
            return own.sentence(problem)
        label = next((_label(c) for c in records.TABLES[self.table.value] if c.name == problem.column), "")
        where = f"row {problem.row}" if problem.row else ""
        if problem.says:
            return f"Row {problem.row}: {problem.says}"
        about = f" ({problem.about})" if problem.about else ""
        where = ", ".join(filter(None, (where, label.removesuffix(" *")))) or problem.column
        told = f"{where[0].upper()}{where[1:]}: found {problem.found}{about}; expected {problem.expected}"
        return told + ("" if told.endswith(("?", ".")) else ".")

    def still(self) -> str:
        """The fields of the table."""
        names = ", ".join(_label(c) for c in records.TABLES[self.table.value])
        return (
            f"<p><b>Your records: {self.table.value}</b></p><p>One field for each of: {html.escape(names)}.</p>"
            "<p><i>Press <b>Run this lesson</b> in the toolbar to fill in the form.</i></p>"
        )


def _saved(table, row, count):
    """Say that a row was saved, as an owner counts and as the file does."""
    if count == 1:
        return f"Saved as your first {table.removesuffix('s')} (row {row} of {table}.csv)."
    return f"Saved as row {row} of {table}.csv: you have {count:,} {table} now."


class Keeping(w.VBox):
    """Earlier versions of a table, and all of the learner's folder in one file; hidden until it is asked for.

    Parameters
    ----------
    folder : Path
        The learner's own folder.
    done : callable
        Called with what to say and the look of it, after something was put back.
    tell : callable
        Called with what to say and the look of it, if something could not be done.
    """

    def __init__(
        self, folder: Path, done: Callable[[str, str], Any], tell: Callable[[str, str], Any]
    ) -> None:
        self._folder, self._done, self._tell = folder, done, tell
        self._path: Any = None  # the file that is shown
        auto = w.Layout(width="auto")
        self.versions = w.Dropdown(options=_NONE, layout=w.Layout(width="240px"))
        self.back = w.Button(description="Go back to this one", layout=auto, disabled=True)
        self.make = w.Button(description="Make a backup file", layout=auto)
        self.link = w.HTML()
        self.upload = w.FileUpload(accept=".zip", description="", layout=auto)
        self.upload.add_class(
            "woodcalc-upload"
        )  # its words stand in the style: the widget adds a count to its own
        self.question = Ask()
        row = w.Layout(flex_flow="row wrap", align_items="flex-end")
        super().__init__(
            [
                w.Box([labelled("Earlier versions of this table", self.versions), self.back], layout=row),
                w.Box([self.make, self.upload, self.link], layout=row),
                w.HTML(note(_IN_A_BACKUP)),
                self.question,
            ],
            layout=w.Layout(display="none"),
        )
        self.back.on_click(lambda _: self._safely(self.ask_back))
        self.make.on_click(lambda _: self._safely(self.back_up))
        self.upload.observe(lambda change: self._safely(self.ask_restore), "value")

    def _safely(self, do):
        try:
            do()
        except Exception as error:
            self._tell(f"{in_words(error)}\n{_KEPT}", "warn")

    def show(self, path: Path, earlier: list[tuple[str, keep.Version]]) -> None:
        """List the versions of a table."""
        self._path = path
        self.question.hide()
        self.versions.options = earlier or _NONE
        self.back.disabled = not earlier

    def ask_back(self, *first: str) -> None:
        """Say what an earlier version would change, and ask."""
        version = self.versions.value
        label = self.versions.label
        now = history.content(self._path)
        table = self._path.stem.lower()
        said = history.changes(now, history.content(version.path), table) or ["Nothing would change."]
        self.question.ask(
            "\n".join(
                [
                    *first,
                    f"Put back {self._path.name} as it was on {label}?",
                    *said,
                    "The version of now is kept, too.",
                ]
            ),
            "Go back to it",
            "Leave it as it is",
            lambda: self._safely(lambda: self._go_back(version, label, keep.fingerprint(now))),
        )

    def _go_back(self, version, label, shown):
        try:
            keep.restore_version(self._path, version, shown)
        except records.ChangedError as error:  # another answer may be right now
            self.ask_back(str(error))
            return
        self._done(f"{self._path.name} is as it was on {label}. Undo brings the later one back.", "good")

    def back_up(self) -> None:
        """Pack the learner's folder into one file, to be saved by a link."""
        data = backups.backup(self._folder)
        name = f"my-wood-{date.today().isoformat()}.zip"
        code = base64.b64encode(data).decode()
        self.link.value = (
            f'<div class="woodcalc-note"><a download="{name}" href="data:application/zip;base64,{code}">Save {name} '
            f"({max(1, round(len(data) / 1000)):,} kB)</a></div>"
        )
        held = backups.contents(data)
        self._tell(
            f"The backup is ready but not saved yet: click the link, and keep the file somewhere safe.\n{held}",
            "warn" if held.left_out else "",
        )

    def ask_restore(self) -> None:
        """Say what a backup would change, and ask."""
        if not self.upload.value:
            return
        file = self.upload.value[0]
        self.upload.value = ()
        self._ask_restore(file["name"], bytes(file["content"]))

    def _ask_restore(self, name, data, *first):
        said = history.backup_changes(self._folder, data)
        self.question.ask(
            "\n".join(
                [
                    *first,
                    f"Put back what is in {name}?",
                    *said,
                    "What is there now is kept among the earlier versions.",
                ]
            ),
            "Put it back",
            "Leave everything as it is",
            lambda: self._safely(lambda: self._restore(name, data, said)),
        )

    def _restore(self, name, data, said):
        if history.backup_changes(self._folder, data) != said:
            self._ask_restore(name, data, "Your files have changed meanwhile. Nothing was put back.")
            return
        done = backups.restore(self._folder, data)
        what = "What the book wrote" if done.told else "Everything"
        back = f"{what} in {name} is back in {self._folder}. Run the lessons again to see it."
        self._done("\n".join([back, *done.told[:_TOLD]]), "warn" if done.told else "good")


_IN_A_BACKUP = (
    "A backup holds your records, choices and answers as they are now. It doesn't hold the earlier versions: they stay "
    f"in the folder {keep.HISTORY} on this computer. Photos and notes of yours go in as far as there is room. Restore "
    "doesn't put those back: to get them, open the zip yourself."
)
# of a new row, as in the row before
_STAYS = ("stack", "species", "nominal", "place", "kind", "unit", "board")
_KINDS = {
    c.name: c.kind for columns in records.TABLES.values() for c in columns if c.kind in ("in", "ft", "F")
}
_DAYS = ("date", "stacked")  # of a new row, as in the row saved last in this form
_EMPTY = "Empty these fields"
_FETCH = "Bring here what was typed in another window and not saved"
_FORGET = "Forget what has lost its row"
# where the logs, boards and stacks are named, too, and how it is said
_TELLS = {
    "logs": ("boards", "board", "came from it"),
    "boards": ("readings", "reading", "came from it"),
    "stacks": ("readings", "reading", "came from it"),
}
_ONCE = {"oven-dry": "weight"}  # a board has one oven-dry weight: the next row is a weighing
FIRST = {
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
    if column.kind in ("species", "place"):
        names = woods.names() if column.kind == "species" else place_names()
        return w.Combobox(options=names, continuous_update=False, layout=wide)
    example = f"e.g. {column.example}" if column.example else ""
    return w.Text(placeholder=example, continuous_update=False, layout=wide)


def _label(column):
    unit = f" ({column.unit})" if column.unit else " (F)" if column.kind == "F" else ""
    base = column.name.removesuffix("_" + column.unit) if column.unit else column.name
    for end in ("_pct", "_deg", "_f"):
        base = base.removesuffix(end)
    words = column.label or base.replace("_", " ").capitalize().replace(" mc", " MC")
    return words + unit + (" *" if column.needed else "")


def _rows_in(path):
    """Rows of a file, good or not."""
    return history.count(history.content(path), path.stem.lower())


def _seen_as(value, name):
    """A value as a page shows it: 12' 4", 30 cm, and no long decimals."""
    told = as_measured(value, _KINDS.get(name, ""))
    return told if re.search("[^0-9.]", told) else as_shown(value)


def _cell(row, column):
    """A cell of the table under the form; a value with its unit, which must not part on a narrow screen."""
    text = _seen_as(row[column], column)
    return f"{text}\xa0{records.text(row['unit'])}".rstrip() if column == "value" else text


def _short(row):
    """A row in a line of the list: its first cells; of a reading also what was read."""
    cells = {name: _seen_as(value, name) for name, value in dict(row).items()}
    told = [*cells.values()][:4]
    if "value" in cells:
        told.append(f"{cells['value']} {cells.get('unit', '')}".strip())  # a row set aside may have none
    return ", ".join(filter(None, told))


def records_form(table: str = "readings", folder: str | Path | None = None) -> RecordsForm:
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
