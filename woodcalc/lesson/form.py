"""The form that adds a row to one of the learner's tables, checks it, shows it, and lets it be corrected."""

from __future__ import annotations

import contextlib
import html
import re
import warnings
from dataclasses import replace
from datetime import date
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

import ipywidgets as w

from woodcalc import disk, records
from woodcalc.checks import InputError, count_of
from woodcalc.disk import in_words
from woodcalc.lesson import drafts, history, own, row_words
from woodcalc.lesson.asks import Asks, MissingRows
from woodcalc.lesson.before_saving import (
    CORRECT,
    REPLACE,
    SAVE_ANYWAY,
    SAVE_BOTH,
    in_its_place,
    looks_wrong,
    of_the_file,
)
from woodcalc.lesson.box import NOT_LOST, Ask, Form, button, labelled, note
from woodcalc.lesson.held import rows
from woodcalc.lesson.history import Keeping
from woodcalc.lesson.lists import place_names, wood_names
from woodcalc.lesson.this_week import what_next
from woodcalc.records import choices, keep
from woodcalc.records.cells import as_measured
from woodcalc.records.choices import kept_choices
from woodcalc.records.columns import MARKS
from woodcalc.records.files import lost, near_names, take_as
from woodcalc.records.keep import content
from woodcalc.records.outside import forget_settled
from woodcalc.records.questions import left_to_tell, questions
from woodcalc.records.sheet import cells_of, taken_apart
from woodcalc.records.usable import mends_well
from woodcalc.records.which_file import meant

if TYPE_CHECKING:
    from woodcalc.records.questions import Question


_SHOWN = 12  # rows of the table under the form
_LISTED = 400  # rows that can be chosen to be corrected, the last ones: a longer list makes a browser slow
_TOLD = 5  # rows elsewhere that a saved row made doubtful
_TABLE, _ROW = "Table", "To fill in or correct"  # the lists above the fields
# of a new row, as in the row before
_STAYS = ("stack", "species", "nominal", "place", "kind", "unit", "board")
_DAYS = ("date", "stacked")  # of a new row, as in the row saved last in this form
_ME = "records form"  # the name by which it follows what others save
_EMPTY = "Empty these fields"
_UNDO = "Undo the last save"
_FETCH = "Bring here what was typed in another window and not saved"
_FORGET = "Forget what has lost its row"
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
        self._told_first: list[str] = []  # what of the file was told before a save
        self._meant: dict[Path, Any] = {}  # rows that were just said to be meant to be gone
        self._lost: Any = None  # what the table held, if it is gone or empty
        self._anew: Any = None  # ... and that a new one may begin
        self._unsaved = ""  # what the form said when it brought back what was typed earlier
        self._drafts = drafts.Drafts() if folder == choices.folder() else None
        self._inputs = w.Box(layout=w.Layout(flex_flow="row wrap"))
        self.bad, self.rows_line, self.mends, self.asked = w.HTML(), w.HTML(), w.VBox(), w.VBox()
        self.missing = w.VBox()  # rows that another program took out
        self.marked = w.Dropdown(
            options=[("a new row", 0)], layout=w.Layout(width="320px", max_width="calc(100% - 4px)")
        )
        self._keep, self._drop, self.undo_button, self._more = (
            button(text)
            for text in (
                "Check and save",
                "Take this row out",
                _UNDO,
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
        below = [self.missing, self.mends, self.asked, self.bad, self.rows_line, self._more, self.keeping]
        super().__init__(
            [top, self._inputs, buttons, self.question], below, "form: your records", "Your records"
        )
        page = self.children[-1]
        page.when_typed = self._typing
        page.choosers = [_TABLE, _ROW]
        page.filled_by = lambda: {_TABLE: self.table.label, _ROW: self.marked.label}
        self.table.observe(lambda _: self.safely(self._open), "value")
        self.marked.observe(lambda _: None if self._listing else self.safely(self._fill), "value")
        self._keep.on_click(lambda _: self.safely(self.save))
        self._drop.on_click(lambda _: self.safely(self.ask_take_out))
        self.undo_button.on_click(lambda _: self.safely(self.undo))
        self._more.on_click(lambda _: self.safely(self._turn))
        self.safely(self._open)

    @property
    def path(self) -> Path:
        """The file of the table that the form shows."""
        return self._folder / f"{self.table.value}.csv"

    @property
    def fields(self) -> dict[str, w.Widget]:
        """The input fields by column name, for tests."""
        return self._fields

    def _open(self):
        """Show the fields of the chosen table, and its rows."""
        self._fields = {c.name: _field(c) for c in records.TABLES[self.table.value]}
        labels = {c.name: row_words.label(c) for c in records.TABLES[self.table.value]}
        self._inputs.children = [labelled(labels[name], field) for name, field in self._fields.items()]
        if "kind" in self._fields:
            self._fields["kind"].observe(self._fit_unit, "value")
        for field in self._fields.values():
            field.observe(lambda _: self._draft(), "value")
        self.question.hide()
        self._listing, self.marked.value, self._listing = True, 0, False
        self._held = {}
        self.tell(
            "\n".join(filter(None, [own.folder_trouble(self._folder), *own.read_only_tables(self._folder)])),
            "warn",
        )
        self._near_told, self._anew, self._told_first = False, None, []
        self.read_again()
        if self._near:
            self.tell(self._near_told_as(), "warn")
        self._fill(self.said)

    def _fit_unit(self, change):
        """A meter reads per cent, a scale does not."""
        unit = self._fields["unit"]
        if (change["new"] == "meter") != (unit.value == "%"):
            unit.value = "%" if change["new"] == "meter" else self._last_good_unit("")

    def read_again(self) -> None:
        """Read the table: its good rows, the rows set aside, and what is wrong with the file as a whole."""
        forget_settled(self.path)
        given = self._meant.get(self.path)
        self.missing.children = [MissingRows(self.path, self._gone_answered, self.safely, given)]
        self._found = found = records.read_usable(self._folder)  # a row is judged beside the other tables
        self._frame, self._there = found.tables.get(self.table.value), history.is_there(self.path)
        near = near_names(self.path)
        self._near, self._beside = ([], near) if self._there else (near, [])
        asked = questions(found)
        self.asked.children = [Asks(self.path, asked, lambda said: self._done(said, "good"), self.safely)]
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
        self._lost = lost(self.path, self.table.value)
        if self._lost:
            self.tell(f"{self._lost} The button below goes back to it.", "warn")
        elif whole:
            what = "folder" if self._no_folder() else "file"
            told = f"Mend the {what} before you add to it; nothing in it was changed."
            if self._frame is None and history.dated(self.path):
                told += f" Undo goes back to the version of {history.dated(self.path)[0][0]}."
            self.tell("\n".join([*whole[:8], told if self._frame is None else ""]).strip(), "warn")
        sheet = found.sheets.get(self.table.value)
        self._lines = len(sheet.row_numbers) if sheet else row_words.rows_in(self.path)
        self._list()
        self._show()
        self._undoes = history.undoes(self.path)
        self.undo_button.disabled = self._undoes is None
        says = self._undoes.says if self._undoes else ()
        # On the button stands what it is about: another box may have saved into another table since.
        self.undo_button.description = f"{_UNDO} in {self.path.name}" if self._undoes else _UNDO
        self.undoes.value = note("Undo: " + "; ".join(says)) if says else ""
        self.keeping.show(self.path, history.dated(self.path))

    def _gone_answered(self, said, meant):
        """Show the file anew after an answer about rows that another program took out; what is typed stays."""
        self._meant[self.path] = meant
        self.read_again()
        self.tell(said, "good")
        own.saved(_ME)

    def _no_folder(self):
        """True if the folder itself cannot be read."""
        return any(p.file == self._folder.name for p in self._found.problems)

    def _list(self):
        """List the rows that can be chosen; what stands in the fields stays."""
        was = self.marked.value
        marked = self._find(self._held, was) if was else 0
        rows = [(f"row {n}, set aside: {row_words.short(self._raw(n))}", n) for n in self._aside]
        if self._frame is not None:
            last = self._frame.tail(_LISTED)
            if marked in self._frame.index and marked not in last.index:
                last = self._frame.loc[[marked, *last.index]]
            cells = zip(last.index, last.to_dict("records"), strict=True)
            rows += [(f"row {n}: {row_words.short(r)}{self._mark(n, ' ({})')}", n) for n, r in cells]
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
        lines = [row_words.told(p, self.path.name) for p in left_to_tell(aside, self._asked)]
        left = len(lines) - own.SHOWN
        lines = lines[: own.SHOWN] + ([f"and {left:,} more"] if left > 0 else [])
        first = "Set aside, and left in the file as they are. Choose such a row above to correct it:"
        beside = [p.name for p in self._beside if p.name.lower() != self.path.name]  # that one is told above
        told = "\n".join([first, *lines]) if lines else ""
        self.bad.value = note(told, "warn") + note("\n".join(map(self._lies_beside, beside[: own.SHOWN])))
        if self._frame is None or self._frame.empty:
            self.rows_line.value = (
                "" if lines or self._no_folder() else note(f"No rows yet in {self.path.name}.")
            )
            return
        last = self._frame.tail(_SHOWN)
        shown = row_words.rows_table(self.table.value, last, len(self._frame), self._mark)
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
                    self._frame.loc[marked, name], row_words.KINDS.get(name, "")
                )  # 12' 4", and not 12.33333333
                typed = written.get(name, "")
                value = typed if re.search(r"\d\s*[a-z\"']", typed) and name in row_words.KINDS else value
            elif last is not None and name in _STAYS and name != MARKS.get(self.table.value):
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
        names = {row_words.label(c): c.name for c in records.TABLES[self.table.value]}
        self._draft({names[label]: text for label, text in shown.items() if label in names})

    def _draft(self, shown=()):
        """Keep what was typed and is not saved; forget it if nothing is left of it."""
        if self._filling:
            return
        if not shown:  # what comes late from the page takes no question back
            self.question.hide()
        if self._drafts:
            now = self._shown() | dict(shown)
            typed = self._typed(now)
            if typed and not self.marked.value:  # next time the form starts with another day, stack and board
                typed = now
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
        labels = row_words.labels(self.table.value)
        if differs := self._typed(typed):
            self._offer_empty()
            filled = {} if marked else {n: text for n, text in differs.items() if n in (*_STAYS, *_DAYS)}
            named = [labels[name] for name in differs if name not in filled]
            beside = ", ".join(f"{labels[name]} {text or 'nothing'}" for name, text in filled.items())
            typed_first = ", ".join(named or [labels[name] for name in filled])
            goes_with = f" It goes with {beside}." if named and filled else ""
            return f"This was typed earlier and was not saved yet: {typed_first}.{goes_with}"
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
                "Typed earlier and not saved, for a row that is no longer there as it was "
                f"({row_words.short(held)}): {told}."
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
        press.on_click(lambda _: self.safely(do))
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

    def _near_told_as(self):
        taken = any(map(self._can_be_taken, self._near[:3]))
        return row_words.near_words(self._folder, self.path.name, self._near, taken)

    def _can_be_taken(self, near):
        """True for a file that reads as the table shown, or holds nothing yet."""
        data = content(near)
        return not data.strip() or taken_apart(data, self.table.value) is not None

    def _take(self, near):
        """Give a file the name of the table; what is typed stays."""
        left = take_as(self.path, near)
        self.read_again()
        self._offer(())
        many = rows(content(self.path), self.table.value)
        told = f"{near.name} is {self.path.name} now, with {many}. What you typed is still in the form."
        self.tell(
            f"{told} The file under the old name could not be removed ({left})." if left else told, "good"
        )
        own.saved(_ME)

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
        if was := self._lost:
            many = count_of(was.rows, "row")
            back = f"Go back to {was.file} as it was on {was.version}: {many}"
            self._offer_button(back, partial(self._go_back, was))
        for each in problems:
            holds = cells_of(self._found.sheets.get(Path(each.file).stem.lower()), each.row)
            for problem in (replace(each, mend=mend) for mend in (each.mend, *each.mends) if mend):
                if mends_well(self._found, problem):
                    self._offer_button(f"Mend {own.mend_of(problem)}", partial(self._mend, problem, holds))

    def _offer_typed(self, problems):
        """Offer what was likely meant by what stands in a field, and cannot be saved."""
        self._offer(())
        labels = row_words.labels(self.table.value)
        for problem in problems:
            for text in dict.fromkeys(filter(None, (problem.mend, *problem.mends))):
                if (field := self._fields.get(problem.column)) is not None:
                    says = f"Write {text} into {labels[problem.column]}"
                    self._offer_button(says, partial(setattr, field, "value", text))

    def _go_back(self, was):
        """Put the newest version with rows back in the place of a table that is gone or empty."""
        keep.restore_version(self.path, was.version)
        self._done(f"{was.file} is as it was on {was.version}.", "good")
        self._offer(())

    def _mend(self, problem, holds):
        records.mend(self._folder / problem.file, problem, holds=holds)
        self._after(own.mended(problem))

    def save(self, sure: bool = False, replace: bool | None = None) -> None:
        """Check the row and save it; what is wrong is said, and the typed text stays.

        Parameters
        ----------
        sure : bool
            What looks wrong was asked, and is to be saved all the same.
        replace : bool, optional
            A row of the same board and day is to give way to this one, or not. Asked if left out.
        """
        self.question.hide()
        self._near = [] if history.is_there(self.path) else near_names(self.path)
        if self._near and not self._near_told:
            self._near_told = True
            self._offer(())
            again = (
                f"Or press Check and save once more, and the form begins a new {self.path.name} beside it."
            )
            self.tell(f"Not saved yet. {self._near_told_as()}\n{again}", "warn")
            return
        was = None if self.marked.value else lost(self.path, self.table.value)
        before = f"\n{was} The button below goes back to it." if was else ""
        if self._there and not history.is_there(self.path):
            self._there, self._lost, self._anew = False, was, was
            self._offer(())
            self.tell(
                f"{self.path.name} is no longer in {self._folder}, where it was when this form opened. Was the folder "
                f"moved or renamed? Put it back and save again.\nIf it is meant to be gone: Check and save once more "
                f"begins a new one. {NOT_LOST}{before}",
                "warn",
            )
            return
        if was and was != self._anew:
            self._lost = self._anew = was
            self._offer(())
            begins = f"Or press Check and save once more, and the form begins a new {self.path.name}."
            self.tell(f"Not saved yet.{before}\n{begins} {NOT_LOST}", "warn")
            return
        if (first := of_the_file(self.path, "Below")) != self._told_first:
            self._told_first = first
            if first:
                self.read_again()
                again = f"Or press Check and save once more to save it all the same. {NOT_LOST}"
                self.tell("\n".join(["Not saved yet.", *first, again]), "warn")
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
                f"If you mean one more of the same: Check and save once more adds it. {NOT_LOST}",
                "warn",
            )
            return
        there, asks = self._in_its_place(typed, marked)
        if not sure and there is not None:
            if asked := looks_wrong(self._last_look, [(_called(typed), typed)], [there]):
                self.ask_first(asked, SAVE_ANYWAY, CORRECT, partial(self.save, sure=True, replace=replace))
                return
        if asks and replace is None:
            both = (partial(self.save, sure=True, replace=yes) for yes in (True, False))
            self.ask_first([asks], REPLACE, SAVE_BOTH, *both)
            return
        try:
            with warnings.catch_warnings(record=True) as doubts:  # saved, but its history could not be kept
                warnings.simplefilter("always", disk.HistoryWarning)
                if marked:
                    before = self._raw(marked)
                    records.correct(self.path, marked, self._before(marked), typed)
                    if not (changed := row_words.changes(self.path, marked, before)):
                        self._nothing_changed(marked)
                        return
                    row = marked
                    done = f"Row {marked} of {self.path.name} is corrected. {changed}."
                elif there and replace:
                    held = cells_of(self._last_look.sheets["readings"], there)
                    now = self._last_look.sheets["readings"].rows()[0].loc[there]
                    records.correct(self.path, there, now, {**now, **typed})
                    row = there
                    done = f"Row {row} of {self.path.name} is replaced. {row_words.changes(self.path, row, held)}."
                else:
                    row = records.append(self.path, typed, anew=was is not None).index[-1]
                    done = row_words.saved(self.table.value, row, row_words.rows_in(self.path))
        except records.RecordsError as error:
            said = [row_words.told(p, self.path.name) for p in error.problems[:8]]
            self._offer_typed(error.problems[:8])
            if found := re.fullmatch(r"\s*([\d.,/ ]+?)\s*(lb|kg|oz|g|%)\.?\s*", typed.get("value", "")):
                said.append(f"Is it {found[1]}, and {found[2]} put into Unit?")
            self.tell("\n".join(["Not saved yet:", *said]), "warn")
            return
        except (InputError, records.ChangedError) as error:
            self.read_again()
            shows = f"The table below shows the file as it is now. {NOT_LOST}"
            self.tell("\n".join(filter(None, [str(error), self._moved, shows])), "warn")
            return
        except OSError as error:
            self.tell(f"{error}\n{NOT_LOST}", "warn")
            return
        others = row_words.rows_in(self.path) - self._lines - (not marked and not (there and replace))
        self._forget_draft(typed)
        same_day = "" if marked else self._same_day(typed)
        try:
            self._after(done, row, [str(d.message) for d in doubts], known, others, same_day)
        except Exception as error:  # what was saved must not look as if it were not
            self.tell(f"{done} Save it no second time. Run this lesson again: {in_words(error)}", "warn")

    def _in_its_place(self, typed, marked):
        """(The row in whose place a reading would stand, 0 for a new one, the question); None where none is asked."""
        found = self._last_look
        sheet = found.sheets.get("readings")
        if self.table.value != "readings" or records.problems_in(typed, "readings")[1]:
            return None, ""
        if (sheet is None and history.is_there(self.path)) or (
            marked and cells_of(sheet, marked) != self._raw(marked)
        ):
            return None, ""  # the save itself will say what is wrong with the file
        return (marked, "") if marked else in_its_place(found, _called(typed), typed)

    def _nothing_changed(self, row):
        """Say so, and stay at the row: somebody who typed a correction must see that it is not in."""
        self._forget_draft()
        self.tell(f"Nothing changed in row {row} of {self.path.name}: it holds what the fields say.", "warn")

    def _saved_elsewhere(self, typed):
        return row_words.saved_since(self.table.value, typed, self._seen, self._last_look)

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
            row = self._quoted(marked)
            self.question.ask(
                "\n".join(
                    [f"Take row {marked} out of {self.path.name}? {row}", *self._named_elsewhere(marked)]
                ),
                "Take it out",
                "Keep it",
                lambda: self.safely(self.take_out),
            )

    def _quoted(self, row):
        """What a row says, cell by cell: after a removal the numbers below it are others."""
        cells = dict(self._before(row)).items()
        return ", ".join(filter(None, (row_words.seen_as(value, name) for name, value in cells)))

    def _named_elsewhere(self, row):
        mark = records.text(self._before(row).get(MARKS.get(self.table.value, ""), ""))
        return row_words.named_elsewhere(self._found, self.table.value, mark)

    def take_out(self) -> None:
        """Take the marked row out of the file."""
        marked = self.marked.value
        if not marked:
            return
        row, last = self._quoted(marked), marked == max(n for _, n in self.marked.options)
        try:
            records.correct(self.path, marked, self._before(marked), None)
        except (InputError, OSError) as error:
            self.read_again()
            self.tell("\n".join(filter(None, [str(error), self._moved])), "warn")
            return
        self._forget_draft()
        moved = "" if last else " The rows below it have moved up: each is one less now."
        self._after(f"Row {marked} is taken out of {self.path.name}: {row}. Undo brings it back.{moved}")

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
                    lambda: self.safely(self.undo),
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
        own.saved(_ME)

    def _after(self, done, row=None, doubts=(), known=(), others=0, last=""):
        if others > 0:
            rows = "row" if others == 1 else "rows"
            done += f" {others} more {rows} came in from another window or program; they are all kept."
        self.marked.value = 0
        self.read_again()
        self._fill()
        doubts = [*doubts, *self._doubts(row, known)]
        waits = self._found.waiting.get(row, ()) if self.table.value == "readings" else ()
        known_too = row_words.good_to_know(self._found, self.path.name, row)
        after, too_fast = self._next(row)
        told = [
            done,
            self._worth(row),
            *known_too,
            *map(own.waits, waits),
            *doubts,
            after,
            last,
            self._unsaved,
        ]
        self.tell(
            "\n".join(filter(None, told)),
            "warn" if doubts or known_too or too_fast or self._unsaved else "good",
        )
        own.saved(_ME)

    def _worth(self, row):
        """Say what moisture a reading tells; "" if it tells none, or is no reading."""
        if self.table.value != "readings" or self._frame is None or row not in self._frame.index:
            return ""
        return row_words.tells(self._found, self._frame.loc[row, "stack"], row)

    def _next(self, row):
        """What to do next with the stack of a reading or of the stacks, and whether it dries too fast."""
        if (
            self.table.value not in ("readings", "stacks")
            or self._frame is None
            or row not in self._frame.index
        ):
            return "", False
        return what_next(self._found, self._frame.loc[row, "stack"])

    def look(self) -> None:
        """Read the table anew: another form of this lesson has saved."""
        self.safely(self.read_again)

    def _looks_wrong(self):
        """What looks wrong in any of the tables, by where it is."""
        found = self._last_look = records.read_usable(self._folder)
        return {(p.file, p.row, p.column): p for p in (*found.problems, *found.doubts) if p.row}

    def _doubts(self, row, known):
        """What looks wrong in the row that was saved, and what it made doubtful elsewhere; its mends are offered."""
        if row is None:
            return []
        mine, new = row_words.doubts(self._found, self.path.name, row, known)
        self._offer([*mine, *new[:_TOLD]])
        more = len(new) - _TOLD
        return [
            *self._again("Look at it again", mine),
            *self._again("With this row in, look again at", new[:_TOLD]),
            *([f"and {more:,} more; look at the doctor page in lesson 0"] if more > 0 else []),
        ]

    def _again(self, what, problems):
        for p in problems:
            yield f"{what}: {row_words.told(p, self.path.name)} {own.becomes_of(self._found, p)}"

    def still(self) -> str:
        """The fields of the table."""
        names = ", ".join(row_words.label(c) for c in records.TABLES[self.table.value])
        return (
            f"<p><b>Your records: {self.table.value}</b></p><p>One field for each of: {html.escape(names)}.</p>"
            "<p><i>Press <b>Run this lesson</b> in the toolbar to fill in the form.</i></p>"
        )


def _field(column):
    """The field for a column of the records: a list where there is one, else a line to type in."""
    wide = w.Layout(width="170px")
    if column.kind == "choice":
        return w.Dropdown(
            options=["", *column.choices] if not column.needed else list(column.choices), layout=wide
        )
    # Sent when the field is left, not letter by letter: a button pressed at once must not overtake the last letters.
    if column.kind in ("species", "place"):
        names = [name for _, name in wood_names()] if column.kind == "species" else place_names()
        return w.Combobox(options=names, continuous_update=False, layout=wide)
    example = f"e.g. {column.example}" if column.example else ""
    return w.Text(placeholder=example, continuous_update=False, layout=wide)


def _called(reading):
    return f"Board {reading['board'].strip()}" if reading["board"].strip() else "This row"


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
    form = RecordsForm(table, Path(folder) if folder else choices.folder())
    own.follow(_ME, form.look)
    return form
